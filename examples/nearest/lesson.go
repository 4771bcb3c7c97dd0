// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"

	"example.com/ohmwright/decade"
)

// lesson chooses a setting of an invented box.
func lesson(out io.Writer) error {
	box, err := describedBox()
	if err != nil {
		return err
	}
	measured, err := calibrated(box)
	if err != nil {
		return err
	}
	const wanted = 4711.5
	if err := compare(out, box, measured, wanted); err != nil {
		return err
	}
	if err := conditions(out, measured, wanted); err != nil {
		return err
	}
	return onTheWay(out, measured)
}

// compare dials the wanted number, and searches for it.
func compare(out io.Writer, box, measured *decade.Box, wanted float64) error {
	byDials, err := box.Nearest(wanted)
	if err != nil {
		return err
	}
	dialled, err := byDials.On(measured) // the same positions, on the calibrated box
	if err != nil {
		return err
	}
	choice, err := measured.Choose(context.Background(), wanted, decade.Search{})
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Wanted: %v Ω at the terminals of a calibrated box.\n\n", wanted)
	fmt.Fprintf(out, "The number on the dials     %-10v %+.3f Ω from wanted\n", dialled,
		dialled.Value()-wanted)
	best := choice.Best[0]
	fmt.Fprintf(out, "The best of all             %-10v %+.3f Ω\n", best.Setting, best.Deviation)
	fmt.Fprintf(out, "\nThe best is known to ±%.2f Ω (95 %%); these lie within that and are as "+
		"good:\n", choice.U)
	for _, c := range choice.Within {
		fmt.Fprintf(out, "                            %-10v %+.3f Ω\n", c.Setting, c.Deviation)
	}
	fmt.Fprintf(out, "Trying one dial after another would not have found it: the errors of "+
		"all\ndials decide together. The search excluded %d settings by proof.\n\n",
		measured.NumSettings()-1)
	return nil
}

// conditions asks for more than nearness.
func conditions(out io.Writer, box *decade.Box, wanted float64) error {
	now, err := box.At(4, 7, 0, 10)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "With a condition, the dials standing at %v:\n", now)
	for _, c := range []struct {
		text   string
		search decade.Search
	}{
		{"the ones stay at 10", decade.Search{From: now, Hold: []int{3}}},
		{"few dials moved, for 0.5 Ω", decade.Search{From: now, Slack: 0.5,
			Prefer: decade.PreferFewestMoves}},
		{"smallest U, for 5 Ω", decade.Search{Slack: 5, Prefer: decade.PreferSmallestUncertainty}},
		{"60 mA through every dial", decade.Search{MinCurrent: 0.06}},
	} {
		s, err := box.NearestN(context.Background(), wanted, c.search)
		switch {
		case errors.Is(err, decade.ErrDomain):
			fmt.Fprintf(out, "  %-27s none: a 1 kΩ element of %v W carries %.0f mA, so the first "+
				"dial stays at 0\n", c.text, power, 1e3*math.Sqrt(power/1000))
		case err != nil:
			return err
		default:
			fmt.Fprintf(out, "  %-27s %-10v %+.3f Ω\n", c.text, s[0], s[0].Value()-wanted)
		}
	}
	return nil
}

// onTheWay turns the dials with a source connected, which is the lesson.
func onTheWay(out io.Writer, box *decade.Box) error {
	from, err := box.At(1, 0, 0, 0)
	if err != nil {
		return err
	}
	to, err := box.At(0, 9, 9, 0)
	if err != nil {
		return err
	}
	source := decade.Supply{Voltage: 12, Series: 10}
	fmt.Fprintf(out, "\nFrom %v to %v with %v V through %v Ω connected (do not do this):\n", from,
		to, source.Voltage, source.Series)
	for _, order := range []struct {
		name  string
		dials []int
	}{{"large dials first", []int{0, 1, 2}}, {"small dials first", []int{2, 1, 0}}} {
		for _, how := range []decade.Switching{decade.SwitchingMakeBeforeBreak,
			decade.SwitchingBreakBeforeMake} {
			p, err := from.Turn(to, source, how, order.dials...)
			if err != nil {
				return err
			}
			worst := p.Moments[p.Worst]
			fmt.Fprintf(out, "  %s, %v: at most %.3f A; %s reaches %.0f %% of its rating\n",
				order.name, how, p.Moments[p.Highest].Current, worst.Limiting, 100*worst.Use)
		}
	}
	fmt.Fprint(out, "Setting.TurnLeastLoaded finds the best order of any number of dials.\n")
	return nil
}
