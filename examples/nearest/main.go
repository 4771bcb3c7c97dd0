// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Nearest chooses a setting: the nearest to a wanted resistance under conditions, those
// that are as good, what is known of it with its budget, its rating, and in which order to
// turn the dials.
//
//	go run ./examples/nearest
//	go run ./examples/nearest -box mybox/box.json -record mybox/record.json -ohms 4711.5
//	go run ./examples/nearest -box mybox/box.json -ohms "1.2 kΩ" -dials-at 0-4-7-0 \
//		-voltage "5 V" -series "10 Ω"
//
// Without flags it is a lesson on an invented box: why the dials do not say which setting
// is the nearest, what conditions cost, and what is passed on the way there.
//
// A box has no rating for mains and is not a current limiter: disconnect the source before
// turning, and defer to local codes and licensed practice.
package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "nearest:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

// options are what the flags say beside the files.
type options struct {
	ohms, temperature float64
	search            decade.Search
	supply            decade.Supply
	switching         decade.Switching
}

func run(out io.Writer, arguments []string) error {
	if len(arguments) == 0 {
		return lesson(out)
	}
	var o options
	p := files.New("nearest", nil,
		"go run ./examples/nearest -box mybox/box.json -ohms 4711.5",
		`go run ./examples/nearest -box mybox/box.json -record mybox/record.json -ohms "1.2 kΩ" `+
			`-dials-at 0-4-7-0 -voltage "5 V" -series "10 Ω"`)
	boxFile, recordFile := p.File("box"), p.File("record")
	p.Quantity(&o.ohms, "ohms", "`resistance` wanted", unit.Ohm, "Ω")
	p.Quantity(&o.temperature, "temperature",
		"`temperature` of the box (none: its reference temperature)", unit.Celsius, "°C")
	p.Quantity(&o.search.MinCurrent, "current",
		"`current` that every element in circuit must carry", unit.Ampere, "A")
	p.Quantity(&o.search.Slack, "slack", "`resistance` by which a setting that -prefer ranks "+
		"first may be farther off than the nearest", unit.Ohm, "Ω")
	p.Word(&o.search.Prefer, "prefer",
		"`which` of equally near settings comes first: highest dials, fewest moves, smallest "+
			"uncertainty")
	p.Word(&o.search.Target, "target",
		"`what` is compared: usual value, total at the terminals, increment over zero")
	p.Flags.IntVar(&o.search.N, "count", 5, "`number` of settings to list")
	from := p.Flags.String("dials-at", "", "`setting` where the dials are now, such as 0-4-7-0 "+
		"(none: all at zero)")
	hold := p.Flags.String("hold", "", "`dials` that stay where they are: numbers counted from 1 "+
		"at the left, or names, separated by commas")
	p.Quantity(&o.supply.Voltage, "voltage", "`voltage` of a source that stays connected while "+
		"the dials are turned", unit.Volt, "V")
	p.Quantity(&o.supply.Series, "series", "`resistance` in series with the source", unit.Ohm, "Ω")
	p.Word(&o.switching, "switching",
		"what the `switches` do between positions: make before break, break before make")
	rows := p.Rows()
	p.Formats("text", "csv", "json")
	if run, err := p.Parse(arguments, out); !run {
		return err
	}
	switch {
	case *boxFile == "":
		return errors.New("no -box; expected the file that describes the box, also beside a " +
			"-record")
	case !p.Given("ohms"):
		return errors.New("no -ohms; expected the resistance wanted")
	}
	box, err := files.OpenBox(p, *boxFile, *recordFile)
	if err != nil {
		return err
	}
	if o.search.From, err = dialsAt(box, *from); err != nil {
		return err
	}
	if o.search.Hold, err = held(box, *hold); err != nil {
		return err
	}
	var temperature *float64
	if p.Given("temperature") {
		temperature = &o.temperature
	}
	a, err := choose(context.Background(), box, o, temperature)
	if err != nil {
		return err
	}
	a.rows = *rows
	return p.Write(out, "nearest",
		files.Form{Format: "text", Write: a.writeText},
		files.Form{Format: "csv", Write: a.writeCSV},
		files.JSON(a))
}

func dialsAt(box *decade.Box, text string) (decade.Setting, error) {
	if text == "" {
		return box.Zero(), nil
	}
	s, err := box.ParseSetting(text)
	if err != nil {
		return s, fmt.Errorf("-dials-at: %w", unit.Cause(err))
	}
	return s, nil
}

// held reads dials by number, from 1 as people count them, or by name.
func held(box *decade.Box, text string) (dials []int, err error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	var names []string
	for _, d := range box.Decades() {
		names = append(names, d.Name)
	}
	for word := range strings.SplitSeq(text, ",") {
		word = strings.TrimSpace(word)
		i := slices.Index(names, word)
		if n, err := strconv.Atoi(word); i < 0 && err == nil {
			i = n - 1
		}
		if i < 0 || i >= len(names) {
			return nil, fmt.Errorf("-hold %q; expected numbers from 1 to %d or names of %q", word,
				len(names), names)
		}
		dials = append(dials, i)
	}
	return dials, nil
}

// choose searches, and asks of the best setting all that its user needs to know.
func choose(ctx context.Context, box *decade.Box, o options,
	temperature *float64) (*answer, error) {
	selection, err := selected(ctx, box, o, temperature)
	if err != nil {
		return nil, unit.Cause(err)
	}
	best := selection.Best[0].Setting
	a := &answer{Box: box.Name(), Wanted: o.ohms, Target: o.search.Target, U: selection.U,
		More: selection.More, setting: best}
	a.Best, a.AsGood = choices(selection.Best, temperature), choices(selection.Within, temperature)
	if c := box.Calibration(); c != nil {
		a.Calibrated = c.Date.Format("2006-01-02")
	}
	limits := best.Limits()
	a.Limits = &limits
	a.Temperature = temperature
	if a.Budget, err = uncertainty.Evaluate(resistance(best, temperature)); err != nil {
		return nil, unit.Cause(err)
	}
	if current, limiting, err := best.MaxCurrent(); err == nil {
		a.Rating = &rating{current, limiting}
	} else if !errors.Is(err, decade.ErrNotStated) && !best.AllZero() {
		return nil, unit.Cause(err)
	}
	if o.supply.Voltage != 0 {
		a.Way, err = way(ctx, o, best)
		if errors.Is(err, decade.ErrNotStated) {
			a.NoWay = `"elementPower" is ` + unit.Cause(err).Error()
			err = nil
		}
		if err != nil {
			return nil, unit.Cause(err)
		}
	}
	return a, nil
}

// resistance is that of a setting at the terminals, in Ω: at a temperature in °C, or at its
// reference conditions.
func resistance(s decade.Setting, temperature *float64) uncertainty.Quantity {
	if temperature == nil {
		return s.Resistance()
	}
	return s.ResistanceAt(decade.Conditions{Temperature: uncertainty.Exact(*temperature)})
}

// selected is the choice of the library, at a temperature if one is given. The library compares
// values at reference conditions; so the resistance wanted is taken to these by what the
// temperature adds to the best setting, the search is repeated until that one stays, and what it
// found is compared at the temperature.
func selected(ctx context.Context, box *decade.Box, o options,
	temperature *float64) (*decade.Selection, error) {
	out, err := box.Choose(ctx, o.ohms, o.search)
	if err != nil || temperature == nil {
		return out, err
	}
	// What the temperature adds to what is compared, in Ω.
	added := func(s decade.Setting) float64 {
		change := resistance(s, temperature).Estimate() - s.Resistance().Estimate()
		if comparesTotal(box, o.search.Target) {
			return change
		}
		zero := box.Zero()
		return change - (resistance(zero, temperature).Estimate() - zero.Resistance().Estimate())
	}
	const mostSearches = 4 // two settle it, unless dials have very different coefficients
	for range mostSearches {
		best := out.Best[0].Setting
		if out, err = box.Choose(ctx, o.ohms-added(best), o.search); err != nil {
			return nil, err
		}
		if out.Best[0].Setting == best {
			break
		}
	}
	for _, list := range [][]decade.Candidate{out.Best, out.Within} {
		for i := range list {
			list[i].Deviation += out.Wanted + added(list[i].Setting) - o.ohms
		}
	}
	if o.search.Slack == 0 {
		slices.SortStableFunc(out.Best, func(a, b decade.Candidate) int {
			return cmp.Compare(math.Abs(a.Deviation), math.Abs(b.Deviation))
		})
	}
	compared := resistance(out.Best[0].Setting, temperature)
	if o.search.Target == decade.TargetIncrement && !out.Best[0].Setting.AllZero() {
		compared = compared.Sub(resistance(box.Zero(), temperature))
	}
	budget, err := uncertainty.Evaluate(compared)
	if err != nil {
		return nil, err
	}
	interval, err := budget.BestInterval(0.95)
	if err != nil {
		return nil, err
	}
	if out.U = interval.Width() / 2; interval == budget.Expanded.Interval {
		out.U = budget.Expanded.U
	}
	// Which others are as good follows from the deviations and U at the temperature.
	bound := math.Abs(out.Best[0].Deviation) + out.U
	for i := range out.Best {
		out.Best[i].Indistinguishable = i > 0 && math.Abs(out.Best[i].Deviation) <= bound
	}
	out.Within = slices.DeleteFunc(out.Within,
		func(c decade.Candidate) bool { return math.Abs(c.Deviation) > bound })
	return out, nil
}

// comparesTotal reports whether a target is the total at the terminals.
func comparesTotal(box *decade.Box, target decade.Target) bool {
	switch target {
	case decade.TargetTotal:
		return true
	case decade.TargetIncrement:
		return false
	}
	return box.Spec().ResidualIncluded || box.Calibration() != nil
}

func choices(candidates []decade.Candidate, temperature *float64) (out []choice) {
	for _, c := range candidates {
		value := c.Setting.Value()
		if temperature != nil {
			value = resistance(c.Setting, temperature).Estimate()
		}
		out = append(out, choice{c.Setting, value, c.Deviation, c.Indistinguishable})
	}
	return out
}

// way is the best order in which to turn the dials with the source connected.
func way(ctx context.Context, o options, to decade.Setting) (*turning, error) {
	p, err := o.search.From.TurnLeastLoaded(ctx, to, o.supply, o.switching)
	if err != nil {
		return nil, err
	}
	worst := p.Moments[p.Worst]
	w := &turning{From: o.search.From, Voltage: o.supply.Voltage, Series: o.supply.Series,
		Switching: o.switching,
		Highest:   p.Moments[p.Highest].Current, Use: worst.Use, Limiting: worst.Limiting,
		Overloaded: len(p.Overloaded()) > 0}
	for _, dial := range p.Order {
		w.Order = append(w.Order, step{to.Box().Decades()[dial].Name, to.Position(dial)})
	}
	for _, m := range p.Moments {
		w.Opens = w.Opens || m.Open()
	}
	return w, nil
}
