// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"context"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

func exampleBox() *decade.Box {
	box, err := decade.New(decade.Spec{
		Residual: 0.020, ResidualTolerance: 0.010, Contact: 0.002,
		Decades: []decade.Decade{{Step: 100, Tolerance: 0.0005}, {Step: 10, Tolerance: 0.001}},
	})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

func exampleMeter() *verify.Meter {
	return &verify.Meter{Wiring: verify.WiringFourWire, OffsetCompensated: true,
		Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 0.0001, OfRange: 0.00001}}}
}

// The ×100 dial reads right up to position 3, and 100 Ω low from position 4.
func ExampleDiagnose() {
	box := exampleBox()
	var readings []verify.Reading
	for p, ohms := range []float64{0.02, 100.02, 200.03, 300.02, 300.03, 400.02, 500.02, 600.03, 700.02, 800.03, 900.02} {
		s, err := box.At(p, 0)
		if err != nil {
			log.Fatal(err)
		}
		readings = append(readings, verify.Reading{Setting: s, Values: []float64{ohms}})
	}
	report, err := verify.Evaluate(box, exampleMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	d, err := fault.Diagnose(context.Background(), report)
	if err != nil {
		log.Fatal(err)
	}
	c := d.Causes[0]
	fmt.Println(d.Healthy, c.Probability > 0.99)
	fmt.Println(c.Faults[0].A.In(box), c.Settings)
	// Output:
	// false true
	// element 4 of ×100 Ω [4-0 5-0 6-0 7-0 8-0 9-0 10-0]
}

// Tap 4 of the ×100 dial touches tap 6 of the ×10 dial: the error depends on both dials.
func ExamplePredict() {
	box := exampleBox()
	touch := fault.Fault{
		Kind: fault.KindDialBridge,
		A:    fault.Place{Part: fault.PartTap, Dial: 0, Number: 4},
		B:    fault.Place{Part: fault.PartTap, Dial: 1, Number: 6},
	}
	for _, positions := range [][]int{{4, 6}, {6, 6}, {6, 0}, {0, 3}} {
		s, err := box.At(positions...)
		if err != nil {
			log.Fatal(err)
		}
		ohms, err := fault.Predict(s, touch)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%-5v %+.0f Ω\n", s, ohms-s.Value())
	}
	// Output:
	// 4-6   -60 Ω
	// 6-6   -260 Ω
	// 6-0   -154 Ω
	// 0-3   -2 Ω
}

// A simulated box to train on: the same seed gives the same box.
func ExampleNewSpecimen() {
	box := exampleBox()
	open := fault.Fault{Kind: fault.KindOpenElement, A: fault.Place{Part: fault.PartElement, Dial: 0, Number: 3}}
	specimen, err := fault.NewSpecimen(box, exampleMeter(), 1, open)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range []int{2, 3} {
		s, err := box.At(p, 0)
		if err != nil {
			log.Fatal(err)
		}
		r, err := specimen.Read(s)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(s, "above range:", r.Overload)
	}
	// Output:
	// 2-0 above range: false
	// 3-0 above range: true
}
