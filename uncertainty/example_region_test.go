// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// compared are the deviations of two resistors, in ppm, from comparisons with u = 1 ppm
// each with one standard, also known to 1 ppm: the numbers of JCGM 102:2011, 9.2.2.
func compared() []uncertainty.Quantity {
	standard := uncertainty.Input("standard", uncertainty.Normal(0, 1))
	first := uncertainty.Input("comparison 1", uncertainty.Normal(0, 1))
	second := uncertainty.Input("comparison 2", uncertainty.Normal(0, 1))
	return []uncertainty.Quantity{first.Add(standard), second.Add(standard)}
}

// Factors for one, two and three quantities together (JCGM 102:2011, table 1 prints
// 1.96, 2.45 and 2.80).
func ExampleEllipseFactor() {
	for m := 1; m <= 3; m++ {
		k, err := uncertainty.EllipseFactor(0.95, m, math.Inf(1))
		fmt.Printf("%.2f %v\n", k, err)
	}
	// Output:
	// 1.96 <nil>
	// 2.45 <nil>
	// 2.80 <nil>
}

// All ten steps of a dial inside their intervals at once: each needs a wider one
// (JCGM 102:2011, table 2 prints 2.81).
func ExampleRectangleFactor() {
	k, err := uncertainty.RectangleFactor(0.95, 10, math.Inf(1))
	fmt.Printf("k = %.2f instead of 1.96 %v\n", k, err)
	// Output: k = 2.81 instead of 1.96 <nil>
}

// Two resistors that were compared with one standard: JCGM 102:2011, 9.2.2 prints
// u = 1.414 and r = 0.500.
func ExampleMultivariate() {
	m, err := uncertainty.EvaluateAll(compared()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, b := range m.Budgets {
		fmt.Printf("u = %.3f ppm\n", b.StandardUncertainty)
	}
	r, err := m.Correlation(0, 1)
	fmt.Printf("covariance %.0f ppm², r = %.3f %v\n", m.Covariance.At(0, 1), r, err)
	// Output:
	// u = 1.414 ppm
	// u = 1.414 ppm
	// covariance 1 ppm², r = 0.500 <nil>
}

// Resistance, reactance and impedance from the same readings: JCGM 100:2008, table H.3
// prints −0.588, −0.485 and 0.993.
func ExampleMultivariate_Correlation() {
	v, i, phi := measured()
	z := v.Div(i)
	m, err := uncertainty.EvaluateAll(z.Mul(uncertainty.Cos(phi)), z.Mul(uncertainty.Sin(phi)), z)
	if err != nil {
		fmt.Println(err)
		return
	}
	names := []string{"R", "X", "Z"}
	for _, pair := range [][2]int{{0, 1}, {0, 2}, {1, 2}} {
		r, err := m.Correlation(pair[0], pair[1])
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("r(%s, %s) = %.3f\n", names[pair[0]], names[pair[1]], r)
	}
	_, err = m.Correlation(0, 5)
	fmt.Println(err)
	// Output:
	// r(R, X) = -0.588
	// r(R, Z) = -0.485
	// r(X, Z) = 0.993
	// uncertainty.Multivariate.Correlation: no result 5 among 3; expected one from 0 to 2
}

// Intervals for two settings of a box that hold both with 95 %.
func ExampleMultivariate_Rectangle() {
	m, err := uncertainty.EvaluateAll(
		uncertainty.Input("1 kΩ", uncertainty.Normal(1000.12, 0.01)),
		uncertainty.Input("10 kΩ", uncertainty.Normal(10001.3, 0.1)))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := m.Rectangle(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, side := range r.Sides {
		fmt.Printf("%.2f Ω to %.2f Ω\n", side.Lower, side.Upper)
	}
	// Output:
	// 1000.10 Ω to 1000.14 Ω
	// 10001.08 Ω to 10001.52 Ω
}

// The region of both deviations together: JCGM 102:2011, 9.2.2 and table 3 print
// k = 2.45.
func ExampleEllipse() {
	m, err := uncertainty.EvaluateAll(compared()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := m.Ellipse(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %%: k = %.2f about %.0f\n", 100*e.P, e.K, e.Center)
	// Output: 95 %: k = 2.45 about [0 0]
}

// That both are off by 2.5 ppm to one side, as a standard would make them, is likely
// enough; that they are off to different sides is not.
func ExampleEllipse_Contains() {
	m, _ := uncertainty.EvaluateAll(compared()...)
	e, err := m.Ellipse(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e.Contains(2.5, 2.5), e.Contains(2.5, -2.5))
	// Output: true false
}

// The same as numbers, to be compared with k: √(2/3) and √2 for 1 ppm each.
func ExampleEllipse_Distance() {
	m, _ := uncertainty.EvaluateAll(compared()...)
	e, err := m.Ellipse(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f %.3f\n", e.Distance([]float64{1, 1}), e.Distance([]float64{1, -1}))
	// Output: 0.816 1.414
}

// The long axis points along the common standard, k·√3, the short one across, k·1.
func ExampleEllipse_SemiAxes() {
	m, _ := uncertainty.EvaluateAll(compared()...)
	e, err := m.Ellipse(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	lengths, directions := e.SemiAxes()
	along := directions.At(1, 0) / directions.At(0, 0)
	across := directions.At(1, 1) / directions.At(0, 1)
	fmt.Printf("%.2f ppm with slope %.1f, %.2f ppm with slope %.1f\n", lengths[0], along, lengths[1], across)
	// Output: 4.24 ppm with slope 1.0, 2.45 ppm with slope -1.0
}

// The ellipse is smaller than the rectangle that does not know of the correlation:
// π·k²·√3 against (2·2.24·√2)².
func ExampleEllipse_Volume() {
	m, _ := uncertainty.EvaluateAll(compared()...)
	e, err := m.Ellipse(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := m.Rectangle(0.95)
	fmt.Printf("ellipse %.1f ppm², rectangle %.1f ppm² %v\n", e.Volume(), r.Volume(), err)
	// Output: ellipse 32.6 ppm², rectangle 40.2 ppm² <nil>
}

// One interval for each deviation, both true together with 95 % (JCGM 102:2011, 9.2.2,
// table 3 prints k = 2.24).
func ExampleRectangle() {
	m, err := uncertainty.EvaluateAll(compared()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := m.Rectangle(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("k = %.2f: ±%.2f ppm for each\n", r.K, r.Sides[0].Width()/2)
	// Output: k = 2.24: ±3.17 ppm for each
}

// The rectangle takes the corner that the ellipse refuses.
func ExampleRectangle_Contains() {
	m, _ := uncertainty.EvaluateAll(compared()...)
	r, err := m.Rectangle(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Contains(2.5, -2.5), r.Contains(0, 3.5))
	// Output: true false
}

// Three elements, each known to 1 mΩ: (2·2.39 mΩ)³.
func ExampleRectangle_Volume() {
	m, err := uncertainty.EvaluateAll(
		uncertainty.Input("element 1", uncertainty.Normal(1000, 1)),
		uncertainty.Input("element 2", uncertainty.Normal(2000, 1)),
		uncertainty.Input("element 3", uncertainty.Normal(3000, 1)))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := m.Rectangle(0.95)
	fmt.Printf("%.0f mΩ³ %v\n", r.Volume(), err)
	// Output: 110 mΩ³ <nil>
}

// The smallest region of two outputs, from the trials themselves: here no larger than
// the rectangle of the same run.
func ExampleRegion() {
	s, err := uncertainty.MonteCarlo{Trials: 20_000, Regions: true}.Run(context.Background(), compared()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	r := s.Smallest
	fmt.Printf("%.0f %% in a part of %d × %d cells\n", 100*r.P, r.Cells, r.Cells)
	fmt.Println(r.Area() < s.Rectangle.Volume())
	// Output:
	// 95 % in a part of 23 × 23 cells
	// true
}

// Of normal distributions it is the ellipse, of area π·k²·√3.
func ExampleRegion_Area() {
	s, err := uncertainty.MonteCarlo{Trials: 20_000, Regions: true}.Run(context.Background(), compared()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	ellipse := math.Pi * math.Pow(2.45, 2) * math.Sqrt(3)
	fmt.Printf("%.1f times the ellipse\n", s.Smallest.Area()/ellipse)
	// Output: 1.0 times the ellipse
}

// A phasor of known length and unknown phase: its mean is 0, and that is where it never
// is. The region is a ring.
func ExampleRegion_Contains() {
	length := uncertainty.Input("length", uncertainty.Normal(1, 0.05))
	phase := uncertainty.Input("phase", uncertainty.Rectangular(0, math.Pi))
	s, err := uncertainty.MonteCarlo{Trials: 20_000, Regions: true}.Run(context.Background(),
		length.Mul(uncertainty.Cos(phase)), length.Mul(uncertainty.Sin(phase)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Smallest.Contains(0, 0), s.Smallest.Contains(1, 0), s.Smallest.Contains(0, -1))
	// Output: false true true
}
