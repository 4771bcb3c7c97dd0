// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
)

// The ×0.1 dial is worn and shall stay where it is, at 4.
func ExampleSearch() {
	box := newBench()
	now, _ := box.At(0, 0, 0, 0, 4)
	settings, err := box.NearestN(context.Background(), 470.3, decade.Search{From: now, Hold: []int{4}})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: %.1f Ω\n", settings[0], settings[0].Nominal())
	// Output:
	// 0-4-7-0-4: 470.4 Ω
}

// 0.26 Ω: by the dials 0.3 Ω is nearer, but at the terminals, with 20 mΩ in series, it
// is 0.2 Ω.
func ExampleTarget() {
	box := newBench()
	for _, target := range []decade.Target{decade.TargetUsual, decade.TargetTotal, decade.TargetIncrement} {
		settings, err := box.NearestN(context.Background(), 0.26, decade.Search{Target: target})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.1f Ω\n", target, settings[0].Nominal())
	}
	// Output:
	// usual value: 0.3 Ω
	// total at the terminals: 0.2 Ω
	// increment over zero: 0.3 Ω
}

// 1 kΩ can be dialled in five ways. From 10 times 100 Ω nothing needs to move, and a part
// of it in independent tens has the smallest uncertainty.
func ExamplePreference() {
	box := newBench()
	now, _ := box.At(0, 10, 0, 0, 0)
	for _, p := range []decade.Preference{decade.PreferHighestDials, decade.PreferFewestMoves,
		decade.PreferSmallestUncertainty} {
		settings, err := box.NearestN(context.Background(), 1000, decade.Search{From: now, Prefer: p})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%-20v %v\n", p, settings[0])
	}
	// Output:
	// highest dials        1-0-0-0-0
	// fewest moves         0-10-0-0-0
	// smallest uncertainty 0-9-10-0-0
}

// The two nearest settings and how far each is off.
func ExampleCandidate() {
	c, err := newBench().Choose(context.Background(), 42.34, decade.Search{N: 2})
	if err != nil {
		log.Fatal(err)
	}
	for _, candidate := range c.Best {
		fmt.Printf("%v: %+.2f Ω\n", candidate.Setting, candidate.Deviation)
	}
	// Output:
	// 0-0-4-2-3: -0.04 Ω
	// 0-0-4-2-4: +0.06 Ω
}

// What the choice is worth: no other setting is as near, given what is known of the box.
func ExampleSelection() {
	c, err := newBench().Choose(context.Background(), 42.34, decade.Search{Target: decade.TargetTotal})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω as %v: %v, %+.2f Ω\n", c.Wanted, c.Target, c.Best[0].Setting, c.Best[0].Deviation)
	fmt.Printf("U %.2f Ω, %d others within it\n", c.U, len(c.Within))
	// Output:
	// 42.34 Ω as total at the terminals: 0-0-4-2-3, -0.02 Ω
	// U 0.05 Ω, 0 others within it
}

// newFine is a box in steps of 10 mΩ without a residual.
func newFine() *decade.Box {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 100, Tolerance: 0.0002}, {Step: 10, Tolerance: 0.0002}, {Step: 1, Tolerance: 0.0002},
		{Step: 0.1, Tolerance: 0.0002}, {Step: 0.01, Tolerance: 0.0002},
	}})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// Two leads of 50 mΩ count as part of the thermometer: the box is set lower by 0.1 Ω.
func ExampleStandIn() {
	pt := thermal.Platinum(100)
	for _, leads := range []decade.SensorLeads{{Wires: 4}, {Wires: 2, Each: 0.05}} {
		rows, err := newFine().SensorTable(context.Background(),
			decade.StandIn{Sensor: pt, Leads: leads}, 20, 20, 1, decade.Search{})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%d wires: %.2f Ω\n", leads.Wires, rows[0].Setting.Nominal())
	}
	// Output:
	// 4 wires: 107.79 Ω
	// 2 wires: 107.69 Ω
}

// An instrument for three wires takes one lead off: what is left is their difference, known
// or not.
func ExampleSensorLeads() {
	leads := decade.SensorLeads{Wires: 3, Difference: 0.50 - 0.52, Unequal: 0.01}
	rows, err := newFine().SensorTable(context.Background(),
		decade.StandIn{Sensor: thermal.Platinum(100), Leads: leads}, 100, 100, 1, decade.Search{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("set %.2f Ω for %.4f Ω, within ±%.2f K by class and leads\n",
		rows[0].Setting.Nominal(), rows[0].Resistance, rows[0].Limit)
	// Output:
	// set 138.53 Ω for 138.5055 Ω, within ±0.11 K by class and leads
}

// Two leads of 0.15 Ω count as 0.3 Ω.
func ExampleSensorLeads_Counted() {
	fmt.Println(decade.SensorLeads{Wires: 2, Each: 0.15}.Counted())
	// Output: 0.3 0 <nil>
}

// IEC 60751, table of resistances: a Pt100 has 107.79 Ω at 20 °C.
func ExampleSensorPoint() {
	rows, err := newFine().SensorTable(context.Background(),
		decade.StandIn{Sensor: thermal.Platinum(100)}, 20, 20, 1, decade.Search{})
	if err != nil {
		log.Fatal(err)
	}
	p := rows[0]
	fmt.Printf("%v °C: %.4f Ω, set %v (%.2f Ω), %+.3f K\n", p.Value, p.Resistance, p.Setting,
		p.Setting.Nominal(), p.Error)
	// Output:
	// 20 °C: 107.7935 Ω, set 1-0-7-7-9 (107.79 Ω), -0.009 K
}

// What two leads of 50 mΩ make of a Pt100, by the slope of IEC 60751.
func ExampleSensorError() {
	for _, t := range []float64{25, 100} {
		e, err := decade.SensorError(thermal.Platinum(100), t, 0.1)
		fmt.Printf("at %v °C: %+.3f K %v\n", t, e, err)
	}
	// Output:
	// at 25 °C: +0.258 K <nil>
	// at 100 °C: +0.264 K <nil>
}
