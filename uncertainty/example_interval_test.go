// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// Calibration of a mass, where the uncertainty of a product of two differences that are
// 0 is missing from the first order: JCGM 101:2008, 9.3, table 6 prints u = 0.0539 mg
// and, with the terms of second order, 0.0750 mg.
func ExampleHigherOrder() {
	in := uncertainty.Input
	y, err := uncertainty.Formula("(mR + dmR)*(1 + (rhoA - 1.2)*(1/rhoW - 1/rhoR)) - 100000",
		in("mR", uncertainty.Normal(100_000, 0.05)), in("dmR", uncertainty.Normal(1.234, 0.02)), // mg
		in("rhoA", uncertainty.Rectangular(1.2, 0.1)), // kg/m³
		in("rhoW", uncertainty.Rectangular(8000, 1000)), in("rhoR", uncertainty.Rectangular(8000, 50)))
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := uncertainty.SecondOrder(y)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("first order %.4f mg, second order %.4f mg\n", b.Higher.FirstOrder, b.StandardUncertainty)
	// Output: first order 0.0539 mg, second order 0.0750 mg
}

// Which pairs of inputs make the second-order part, for a gauge block of 50 mm
// (nanometres and degrees Celsius): JCGM 100:2008, H.1.7 prints 11.7 nm and 1.7 nm.
func ExampleHigherTerm() {
	in := uncertainty.Input
	l, err := uncertainty.Formula("lS + d - lS*(dalpha*theta + alphaS*dtheta)",
		in("lS", uncertainty.Certificate(50_000_623, 75, 3)), in("d", uncertainty.Normal(215, 9.7)),
		in("dalpha", uncertainty.Rectangular(0, 1e-6)), in("theta", uncertainty.Normal(-0.1, math.Sqrt(0.165))),
		in("alphaS", uncertainty.Rectangular(11.5e-6, 2e-6)), in("dtheta", uncertainty.Rectangular(0, 0.05)))
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := uncertainty.SecondOrder(l)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range b.Higher.Terms[:2] {
		fmt.Printf("%s and %s: %.1f nm\n", t.A, t.B, math.Sqrt(t.Variance))
	}
	// Output:
	// dalpha and theta: 11.7 nm
	// alphaS and dtheta: 1.7 nm
}

// The limits of a setting of 100 Ω in class 0.1, and readings against them.
func ExampleInterval() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	for _, ohms := range []float64{100.04, 100.1, 100.13} {
		fmt.Println(ohms, "Ω in", limits, limits.Contains(ohms))
	}
	// Output:
	// 100.04 Ω in [99.9, 100.1] true
	// 100.1 Ω in [99.9, 100.1] true
	// 100.13 Ω in [99.9, 100.1] false
}

// Width and precision of a verb are those of each end. JCGM 100:2008, G.4.1 prints 0.978
// and 1.022 for a product known to 1.03 % with 19.0 degrees of freedom.
func ExampleInterval_Format() {
	b, err := uncertainty.Evaluate(uncertainty.Input("product", uncertainty.StudentT(1, 0.0103, 19)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f\n%7.2f\n", b.Expanded.Interval, b.Expanded.Interval)
	// Output:
	// [0.978, 1.022]
	// [   0.98,    1.02]
}

// Is the zero of a meter inside the interval of its offset?
func ExampleInterval_Contains() {
	b, err := uncertainty.Evaluate(uncertainty.Input("offset", uncertainty.TypeA(1.2, 0.9, 1.4, 1.1, 0.9)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("offset %s µV, not significant: %v\n", b.PlusMinus(2), b.Expanded.Contains(0))
	// Output: offset 1.10 ± 0.26 µV, not significant: false
}

// Half the width of an interval is what stands behind ±: four equal rectangles with
// u = 1 (JCGM 101:2008, 9.2.3 and table 3 print ±3.88, and ±3.92 for k·u).
func ExampleInterval_Width() {
	y := uncertainty.Exact(0)
	for _, name := range []string{"X1", "X2", "X3", "X4"} {
		y = y.Add(uncertainty.Input(name, uncertainty.Rectangular(0, math.Sqrt(3))))
	}
	b, err := uncertainty.Evaluate(y)
	if err != nil {
		fmt.Println(err)
		return
	}
	i, err := b.Convolution(0.95)
	fmt.Printf("±%.2f, ±%.2f %v\n", i.Width()/2, b.Expanded.Width()/2, err)
	// Output: ±3.88, ±3.92 <nil>
}
