// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Rewind plans a resistor in place of a burnt-out element of a decade box: which wire,
// how long, how many turns, what it will do at frequency and under load, and how to trim it.
//
//	go run ./examples/rewind
//	go run ./examples/rewind -ohms 100 -tau "20 ns" -tcr "20 ppm/K"
//	go run ./examples/rewind -ohms "1 kΩ" -card "30 mm" -thick "1 mm" -covering "double silk" -gauges AWG
//	go run ./examples/rewind -ohms 100 -measured "29.1 Ω/m" -reading "100.31 Ω"
//	go run ./examples/rewind -material "spool 3" -materials examples/formats/files/materials.json
//
// Every flag has a default; rewind -help lists them. What cannot be wound is refused with
// the limit that stands in the way.
//
// Disconnect and discharge the box before opening it. Ageing ovens, varnish, solvents and
// solder have their own dangers; local codes and licensed practice come first.
package main

import (
	"errors"
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
		fmt.Fprintln(os.Stderr, "rewind:", err)
		os.Exit(1)
	}
}

func rewind(out io.Writer, o options) error {
	j := &job{out: out}
	r := o.requirement
	// 1. Which wire, and wound how? All that keep the limits, ranked.
	plans, err := r.Plans()
	if errors.Is(err, winding.ErrUnreachable) && !o.given["power"] { // nobody asked for the power
		var without error
		r.Power = 0
		if plans, without = r.Plans(); without == nil {
			j.printf("Not at %v: %v.\nWithout that power:\n\n", unit.Format(o.requirement.Power, unit.Watt), unit.Cause(err))
			err = nil
		}
	}
	if errors.Is(err, winding.ErrUnreachable) {
		return unit.Cause(err) // says the limit that binds
	}
	if err != nil {
		return err
	}
	j.printf("%s at 20 °C on %s; temperature rise at most %.0f K\n", unit.Format(r.Ohms, unit.Ohm), o.former(), r.MaxRise)
	for i, p := range plans[:min(o.plans, len(plans))] {
		j.printf("\n%d. %v\n", i+1, p)
		j.plan(r, p)
	}
	if j.err != nil {
		return j.err
	}
	best := plans[0]
	j.printf("\nThe first plan, step by step:\n")
	// 2. How long? By the table only roughly, alloys differ by maker; so measure a metre of the spool.
	wires, cold := 1.0, uncertainty.Exact(20) // wires: how often the resistance is in all the wire
	if best.Winding.Construction == winding.AyrtonPerryWinding {
		wires = 4 // two of twice the resistance
	}
	rough, u := j.budget(best.Conductor.Spool("spool", 0.01*best.Winding.Wire.Bare).LengthOf(uncertainty.Exact(r.Ohms*wires), cold))
	j.printf("By the table it takes %.2f m ± %.2f m of wire", rough, u)
	perMetre := j.number(best.Conductor.PerMetre(20))
	if o.measured > 0 {
		if off := o.measured/perMetre - 1; math.Abs(off) > 0.15 {
			j.printf(" (the spool measured is %+.0f %% off: is it this wire?)", off*100)
		}
		perMetre = o.measured
		length, u := j.budget(measured(best.Conductor, perMetre).LengthOf(uncertainty.Exact(r.Ohms*wires), cold))
		j.printf("; by the %s measured, %.3f m ± %.0f mm.\n", unit.Format(o.measured, unit.OhmPerMetre), length, u*1e3)
	} else {
		j.printf(": measure a metre of the spool first, and give it as -measured.\n")
	}
	j.printf("Leave 20 mm more at each end for the joints.\n")

	// 3. Wound and read. The order of the work: coarse by wire, bake, fine by a pad.
	work := winding.TrimWork{Reading: o.reading, Target: r.Ohms, PerMetre: perMetre / wires, Within: 1e-4, Power: r.Power, Ageing: ageing(best)}
	if o.reading == 0 { // as wound, with all that is spare
		work.Reading = r.Ohms * (1 + r.Spare)
		j.printf("Wound with all that is spare it reads about %s:\n", unit.Format(rounded(work.Reading), unit.Ohm))
	} else {
		work.Ageing = 0
		j.printf("Baked, it reads %s:\n", unit.Format(o.reading, unit.Ohm))
	}
	steps, err := work.Steps()
	j.number(0, err)
	for _, s := range steps {
		j.printf("  %-6v %s\n", s.Operation, s.Text)
		if s.Operation == winding.TrimFine { // a film resistor of 1 % and 100 ppm/K
			law, err := s.Pad.Law(best.Conductor.Material.Law.Exact(), thermal.NewLaw(20, 100e-6, 0))
			j.number(0, err)
			j.printf("         its 1 %% is %.0f ppm of the whole, its 100 ppm/K add %+.2f ppm/K\n", 0.01*s.Pad.Share*1e6, (law.Alpha()-best.Conductor.Material.Law.Alpha.Value)*1e6)
		}
	}
	j.printf("\nMeasure the rise in the case. Bake in a vented oven, away from solvents; heat and mains by local codes and licensed practice.\n")
	return j.err
}
