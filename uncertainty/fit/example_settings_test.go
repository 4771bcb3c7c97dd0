// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// What the curve says at each point and what the reading says beyond it: JCGM 100:2008,
// table H.6 prints −0.1679, −0.1668, −0.1657 and, for the differences, −0.0031, −0.0022
// and −0.0003 in its first rows (°C).
func ExampleFit() {
	t := constants(1.521, 2.012, 2.512, 3.003, 3.507, 3.999, 4.513, 5.002, 5.503, 6.010, 6.511)
	b := constants(-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
	line, err := fit.Line(t, b)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("fitted    %.4f\n", line.Fitted[:3])
	fmt.Printf("residuals %.4f\n", line.Residuals[:3])
	fmt.Println("uncertainty from the scatter:", line.FromScatter)
	// Output:
	// fitted    [-0.1679 -0.1668 -0.1657]
	// residuals [-0.0031 -0.0022 -0.0003]
	// uncertainty from the scatter: true
}

// The scatter about a line is a source like others, named after the fit: here it stands
// in a budget beside the correction of the meter.
func ExampleSettings_Line() {
	drift, err := fit.Settings{Name: "drift"}.Line(constants(2022, 2023, 2024, 2025),
		constants(1000.01, 1000.02, 1000.05, 1000.06))
	if err != nil {
		fmt.Println(err)
		return
	}
	meter := uncertainty.Input("meter", uncertainty.Rectangular(0, 0.02))
	b, err := uncertainty.Evaluate(drift.At(uncertainty.Exact(2026)).Add(meter))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("value of 2026:", b.Concise(2), "Ω")
	for _, c := range b.Components {
		fmt.Printf("%s: %.1f mΩ\n", c.Name, 1e3*c.Contribution)
	}
	// Output:
	// value of 2026: 1000.080(14) Ω
	// scatter of drift, slope there: 7.1 mΩ
	// scatter of drift, level in the middle of the points: 3.2 mΩ
	// meter: 11.5 mΩ
}

// A polynomial of degree 0 is a mean: the twenty temperatures of JCGM 100:2008, 4.4.3,
// table 1, which prints 100.14 °C and u = 0.33 °C.
func ExampleSettings_Polynomial() {
	t := constants(96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
		100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72)
	var number []uncertainty.Quantity
	for i := range t {
		number = append(number, uncertainty.Exact(float64(i)))
	}
	f, err := fit.Settings{Name: "readings"}.Polynomial(0, number, t)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Parameters[0], "°C with", f.DOF, "degrees of freedom")
	// Output: 100.14(33) °C with 19 degrees of freedom
}

// Two dials read in the same way, each with a scatter of its own: the names keep them
// apart in the sum. The columns are the element and the residual of the box.
func ExampleSettings_Unweighted() {
	design := mat.NewDense(4, 2, []float64{0, 1, 1, 1, 2, 1, 3, 1})
	tens, err := fit.Settings{Name: "dial x10"}.Unweighted(design, constants(0.05, 10.06, 20.05, 30.08))
	if err != nil {
		fmt.Println(err)
		return
	}
	ones, err := fit.Settings{Name: "dial x1"}.Unweighted(design, constants(0.05, 1.05, 2.06, 3.06))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(tens.Parameters[0].Add(ones.Parameters[0]), "Ω")
	// Output: 11.0120(55) Ω
}

// Two laboratories on one resistor, a column of ones: weights 1/u² and no scatter, so
// that the name is of no importance.
func ExampleSettings_Weighted() {
	f, err := fit.Settings{Name: "mean"}.Weighted(mat.NewDense(2, 1, []float64{1, 1}), []uncertainty.Quantity{
		uncertainty.Input("laboratory A", uncertainty.Normal(100.0021, 0.0004)),
		uncertainty.Input("laboratory B", uncertainty.Normal(100.0028, 0.0006)),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Parameters[0], "Ω")
	fmt.Printf("chi-squared %.2f with %d degree of freedom\n", f.ChiSquared, f.DOF)
	// Output:
	// 100.00232(33) Ω
	// chi-squared 0.94 with 1 degree of freedom
}

// Three certificates of one year tell nothing of the drift.
func ExampleError() {
	_, err := fit.Line(constants(2024, 2024, 2024), constants(1000.01, 1000.02, 1000.01))
	if e, ok := errors.AsType[*fit.Error](err); ok {
		fmt.Println("refused by", e.Op)
	}
	fmt.Println(errors.Is(err, fit.ErrRank))
	fmt.Println(err)
	// Output:
	// refused by fit.Line
	// true
	// fit.Line: the points do not determine 2 parameters; expected abscissae, or rows of the design, that differ enough
}
