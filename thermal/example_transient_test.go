// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"
	"math"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

func ExampleZeroPower() {
	r0, err := thermal.ZeroPower(
		thermal.ResistanceAtCurrent{Resistance: 1.00000210, Current: 0.1},
		thermal.ResistanceAtCurrent{Resistance: 1.00000690, Current: 0.2},
	)
	if err != nil {
		log.Fatal(err)
	}
	k, err := thermal.PowerCoefficient(
		thermal.ResistanceAtCurrent{Resistance: 1.00000210, Current: 0.1},
		thermal.ResistanceAtCurrent{Resistance: 1.00000690, Current: 0.2},
	)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.8f Ω without power, %.0f ppm/W\n", r0, k*1e6)
	// Output: 1.00000050 Ω without power, 160 ppm/W
}

// 1 mA and √2 mA, the pair at which R0 = 2 r1 − r2. The price is √5 times the
// scatter of one reading.
func ExampleZeroPowerOf() {
	r1 := uncertainty.Input("r1", uncertainty.Normal(100.00412, 0.00002))
	r2 := uncertainty.Input("r2", uncertainty.Normal(100.00466, 0.00002))
	r0 := thermal.ZeroPowerOf(
		thermal.ResistanceAtCurrentOf{Resistance: r1, Current: uncertainty.Exact(1e-3)},
		thermal.ResistanceAtCurrentOf{Resistance: r2, Current: uncertainty.Exact(math.Sqrt2 * 1e-3)},
	)
	b, err := uncertainty.Evaluate(r0)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f Ω, u = %.0f µΩ\n", b.Estimate, b.StandardUncertainty*1e6)
	// Output: 100.00358 Ω, u = 45 µΩ
}

// Whether 10 mA was a good choice for this element of 1 kΩ: its coefficient, and
// what the tenth of a watt of that reading makes of it.
func ExamplePowerCoefficient() {
	k, err := thermal.PowerCoefficient(
		thermal.ResistanceAtCurrent{Resistance: 1000.0300, Current: 0.005},
		thermal.ResistanceAtCurrent{Resistance: 1000.1200, Current: 0.010},
	)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm/W, %.0f ppm at 10 mA\n", k*1e6, k*0.1*1e6)
	// Output: 1200 ppm/W, 120 ppm at 10 mA
}

// The same with a scatter of 1 ppm in each reading: √2 ppm over 75 mW.
func ExamplePowerCoefficientOf() {
	r1 := uncertainty.Input("5 mA", uncertainty.Normal(1000.0300, 0.001))
	r2 := uncertainty.Input("10 mA", uncertainty.Normal(1000.1200, 0.001))
	k := thermal.PowerCoefficientOf(
		thermal.ResistanceAtCurrentOf{Resistance: r1, Current: uncertainty.Exact(0.005)},
		thermal.ResistanceAtCurrentOf{Resistance: r2, Current: uncertainty.Exact(0.010)},
	)
	b, err := uncertainty.Evaluate(k.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm/W, u = %.0f ppm/W\n", b.Estimate, b.StandardUncertainty)
	// Output: 1200 ppm/W, u = 19 ppm/W
}

// A bobbin that follows the room with a time constant of two minutes: how long to
// wait after carrying it in from 10 K colder, at 15 ppm/K, for 1 ppm.
func ExampleTransient() {
	t := thermal.FirstOrder(120)
	s, err := t.SettlingTime(10*15, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f min\n", s/60) // 2 min × ln 150
	// Output: 10 min
}

// After one time constant 63 % of a change has happened, after five all but 1 %.
func ExampleFirstOrder() {
	t := thermal.FirstOrder(120)
	for _, s := range []float64{60, 120, 600} {
		f, err := t.Fraction(s)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g s: %.1f %%\n", s, f*100)
	}
	// Output:
	//  60 s: 39.3 %
	// 120 s: 63.2 %
	// 600 s: 99.3 %
}

// A wire that settles in seconds on a bobbin that takes minutes. A reading that
// stands still after a minute has 18 % of the change before it.
func ExampleTwoTimeConstants() {
	t := thermal.TwoTimeConstants(0.8, 5, 600)
	f, err := t.Fraction(60)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f %% to come\n", (1-f)*100) // 0.2 e^(−60/600)
	// Output: 18 % to come
}

// A reading taken 20 s after the current was switched on, at a time constant of
// 40 s: the self-heating in it, of 90 ppm in the end.
func ExampleTransient_Fraction() {
	f, err := thermal.FirstOrder(40).Fraction(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm\n", 90*f)
	// Output: 35 ppm
}

func ExampleTransient_SettlingTime() {
	// A step of 6 K at 15 ppm/K: 90 ppm, of which one third is slow.
	t := thermal.TwoTimeConstants(2./3, 40, 600)
	s, err := t.SettlingTime(90, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f min to within 1 ppm\n", s/60)
	// Output: 34 min to within 1 ppm
}
