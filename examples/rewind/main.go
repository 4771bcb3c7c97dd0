// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Rewind plans a resistor in place of a burnt-out element of a decade box: which wire,
// how long, how many turns, what it will do at frequency and under load, and how to trim it.
//
//	go run ./examples/rewind
//	go run ./examples/rewind -ohms 100 -tau "20 ns" -tcr "20 ppm/K"
//	go run ./examples/rewind -ohms "1 kΩ" -card "30 mm" -thick "1 mm" \
//		-covering "double silk" -gauges AWG
//	go run ./examples/rewind -ohms 100 -measured "29.1 Ω/m" -reading "100.31 Ω"
//	go run ./examples/rewind -material "spool 3" -materials examples/formats/files/materials.json
//
// Every flag has a default; rewind -h lists them. What cannot be wound is refused with
// the limit that stands in the way.
//
// Disconnect and discharge the box before opening it. Ageing ovens, varnish, solvents and
// solder have their own dangers; local codes and licensed practice come first.
package main

import (
	"fmt"
	"io"
	"math"
	"os"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire/winding"
)

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "rewind:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

// work is what was planned.
type work struct {
	options
	refused string // why it does not go as it was asked for, and what gave way
	ranked  []winding.Plan

	// Of the first plan:
	rough    length // by the table
	spool    length // by the measured spool, if one was
	off      float64
	trimFrom float64 // Ω
	steps    []winding.TrimStep
}

const caution = "Measure the rise in the case. Bake in a vented oven, away from solvents; " +
	"for heat and mains, follow local codes and licensed practice."

// length of wire in metres, with its expanded uncertainty (95 %).
type length struct{ estimate, expanded float64 }

func newWork(o options) (*work, error) {
	w := &work{options: o}
	// 1. Which wire, and wound how? All that keep the limits, ranked.
	plans, err := w.plans()
	if err != nil {
		return nil, err
	}
	r := &w.requirement
	w.ranked = plans[:min(o.plans, len(plans))]

	// 2. How long? By the table only roughly, alloys differ by maker; so measure a metre of the
	// spool.
	best := plans[0]
	wires := 1.0 // how often the resistance is in all the wire
	if best.Winding.Construction == winding.AyrtonPerryWinding {
		wires = 4 // two of twice the resistance
	}
	ohms, cold := uncertainty.Exact(r.Ohms*wires), uncertainty.Exact(20)
	byTable := best.Conductor.Spool("spool", 0.01*best.Winding.Wire.Bare)
	if w.rough, err = evaluated(byTable.LengthOf(ohms, cold)); err != nil {
		return nil, err
	}
	perMetre, err := best.Conductor.PerMetre(20)
	if err != nil {
		return nil, err
	}
	if o.measured > 0 {
		w.off, perMetre = o.measured/perMetre-1, o.measured
		if w.spool, err = evaluated(measured(best.Conductor, perMetre).LengthOf(ohms,
			cold)); err != nil {
			return nil, err
		}
	}

	// 3. Wound and read. The order of the work: coarse by wire, bake, fine by a pad.
	trim := winding.TrimWork{Reading: o.reading, Target: r.Ohms, PerMetre: perMetre / wires,
		Within: 1e-4, Power: r.Power}
	if o.reading == 0 { // as wound, with all that is spare
		trim.Reading, trim.Ageing = r.Ohms*(1+r.Spare), ageing(best)
	}
	w.trimFrom = trim.Reading
	w.steps, err = trim.Steps()
	return w, err
}

func (w *work) writeText(out io.Writer) error {
	j := &job{out: out}
	r, best := w.requirement, w.ranked[0]
	j.printf("%s", w.refused)
	j.printf("%s at 20 °C on %s; temperature rise at most %.0f K\n", unit.Format(r.Ohms, unit.Ohm),
		w.former(), r.MaxRise)
	for i, p := range w.ranked {
		j.printf("\n%d. %v\n", i+1, p)
		j.plan(r, p)
	}
	j.printf("\nThe first plan, step by step:\n")
	j.printf("By the table it takes %.2f m ± %.2f m of wire", w.rough.estimate, w.rough.expanded)
	if w.measured > 0 {
		if math.Abs(w.off) > 0.15 {
			j.printf(" (the spool measured is %+.0f %% off: is it this wire?)", w.off*100)
		}
		j.printf("; by the %s measured, %.3f m ± %.0f mm.\n",
			unit.Format(w.measured, unit.OhmPerMetre), w.spool.estimate, w.spool.expanded*1e3)
	} else {
		j.printf(": measure a metre of the spool first, and give it as -measured.\n")
	}
	j.printf("Leave 20 mm more at each end for the joints.\n")
	if w.reading == 0 {
		j.printf("Wound with all of the spare, it reads about %s:\n",
			unit.Format(rounded(w.trimFrom), unit.Ohm))
	} else {
		j.printf("Baked, it reads %s:\n", unit.Format(w.trimFrom, unit.Ohm))
	}
	for _, s := range w.steps {
		j.printf("  %-6v %s\n", s.Operation, s.Text)
		if s.Operation == winding.TrimFine { // a film resistor of 1 % and 100 ppm/K
			law, err := s.Pad.Law(best.Conductor.Material.Law.Exact(),
				thermal.NewLaw(20, 100e-6, 0))
			j.number(0, err)
			j.printf("         1 %% of it is %.0f ppm of the whole, 100 ppm/K of it adds %+.2f "+
				"ppm/K\n",
				0.01*s.Pad.Share*1e6, (law.Alpha()-best.Conductor.Material.Law.Alpha.Value)*1e6)
		}
	}
	j.printf("\n%s\n", caution)
	return j.err
}
