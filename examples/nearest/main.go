// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Nearest is a lesson on choosing a setting: why the dials do not say which setting is the
// nearest, what conditions cost, which settings are as good as the best, and what is passed
// on the way there.
//
//	go run ./examples/nearest
//
// The box and its calibration are invented: four dials, the elements up to 0.3 % from
// nominal, known to 50 ppm. A box has no rating for mains and is no current limiter:
// disconnect the source before turning, and defer to local codes and licensed practice.
package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

func main() {
	if err := run(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "nearest:", err)
		os.Exit(1)
	}
}

func run(out io.Writer) error {
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

func describedBox() (*decade.Box, error) {
	dial := func(step float64) decade.Decade {
		return decade.Decade{Step: step, Tolerance: 0.005, ElementPower: 0.5}
	}
	return decade.New(decade.Spec{Name: "lesson box", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{dial(1000), dial(100), dial(10), dial(1)}})
}

// calibrated invents what the elements measured: a slow wave over the box, and one meter.
func calibrated(box *decade.Box) (*decade.Box, error) {
	gain := uncertainty.Source{Name: "meter gain", ID: "lesson meter/gain", Distribution: uncertainty.Normal(0, 25e-6)}.Input()
	c := decade.Calibration{Box: box.Name(), Date: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), Values: uncertainty.Record{ID: "lesson box 2026-03-01"}}
	add := func(name string, ohms float64) {
		q := uncertainty.Input("offset of "+name, uncertainty.Rectangular(0, 0.001)).Add(uncertainty.Exact(1).Add(gain).Scale(ohms))
		c.Values.Quantities = append(c.Values.Quantities, q.Named(name))
	}
	add(decade.ResidualName, 0.023)
	for i, d := range box.Decades() {
		for e := 1; e <= d.NumElements(); e++ {
			add(box.ElementName(i, e), d.Step*(1+0.003*math.Sin(float64(3*i+e))))
		}
	}
	return box.With(&c)
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
	choice, err := measured.Choose(wanted, decade.Search{})
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Wanted: %v Ω at the terminals of a calibrated box.\n\n", wanted)
	fmt.Fprintf(out, "The number on the dials   %-10v %+.3f Ω from wanted\n", dialled, dialled.Value()-wanted)
	best := choice.Best[0]
	fmt.Fprintf(out, "The best of all           %-10v %+.3f Ω\n", best.Setting, best.Deviation)
	fmt.Fprintf(out, "\nThe best is known to ±%.2f Ω (95 %%); within that of it lie, and are as good:\n", choice.U)
	for _, c := range choice.Within {
		fmt.Fprintf(out, "                          %-10v %+.3f Ω\n", c.Setting, c.Deviation)
	}
	fmt.Fprintf(out, "Trying one dial after the other would not have found it: the errors of all\ndials together decide, and %d settings were excluded by proof.\n\n", measured.NumSettings()-1)
	return nil
}

// conditions asks for more than nearness.
func conditions(out io.Writer, box *decade.Box, wanted float64) error {
	now, err := box.At(4, 7, 0, 10)
	if err != nil {
		return err
	}
	for _, c := range []struct {
		text   string
		search decade.Search
	}{
		{"the tens stay at 0", decade.Search{From: now, Hold: []int{2}}},
		{"few dials moved, for 0.5 Ω", decade.Search{From: now, Slack: 0.5, Prefer: decade.FewestMoves}},
		{"known best, for 0.5 Ω", decade.Search{Slack: 0.5, Prefer: decade.SmallestUncertainty}},
		{"60 mA through every dial", decade.Search{MinCurrent: 0.06}},
	} {
		s, err := box.NearestN(wanted, c.search)
		if err != nil {
			fmt.Fprintf(out, "%-27s none: %v\n", c.text, err)
			continue
		}
		fmt.Fprintf(out, "%-27s %-10v %+.3f Ω, from %v\n", c.text, s[0], s[0].Value()-wanted, now)
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
	fmt.Fprintf(out, "\nFrom %v to %v with %v V behind %v Ω connected (do not do this):\n", from, to, source.Voltage, source.Series)
	for _, order := range []struct {
		name  string
		dials []int
	}{{"large dials first", []int{0, 1, 2}}, {"small dials first", []int{2, 1, 0}}} {
		for _, how := range []decade.Switching{decade.MakeBeforeBreak, decade.BreakBeforeMake} {
			p, err := from.Turn(to, source, how, order.dials...)
			if err != nil {
				return err
			}
			worst := p.Moments[p.Worst]
			fmt.Fprintf(out, "  %s, %v: at most %.3f A; %s reaches %.0f %% of its rating\n", order.name, how, p.Moments[p.Highest].Current, worst.Limiting, 100*worst.Use)
		}
	}
	return nil
}
