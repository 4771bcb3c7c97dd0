// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// constants are readings without an uncertainty of their own.
func constants(values ...float64) (out []uncertainty.Quantity) {
	for _, v := range values {
		out = append(out, uncertainty.Exact(v))
	}
	return out
}

// JCGM 100:2008, H.3: corrections of a thermometer at eleven temperatures (table H.6),
// and the correction at 30 °C. The reference temperature is 20 °C.
func ExampleLine() {
	t := constants(1.521, 2.012, 2.512, 3.003, 3.507, 3.999, 4.513, 5.002, 5.503, 6.010, 6.511)
	b := constants(-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
	line, err := fit.Line(t, b)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("correction at 20 °C", line.Parameters[0])
	fmt.Println("slope", line.Parameters[1])
	fmt.Println("correction at 30 °C", line.At(uncertainty.Exact(10)))
	fmt.Printf("s = %.4f with %d degrees of freedom\n", line.StandardDeviation, line.DOF)
	// Output:
	// correction at 20 °C -0.1712(29)
	// slope 0.00218(67)
	// correction at 30 °C -0.1494(41)
	// s = 0.0035 with 9 degrees of freedom
}

// Drift of a standard between two certificates of one laboratory, and its value today.
// The laboratory's own standard is in both: it cancels in the drift, not in the value.
// Both parts are needed, since two points leave no degree of freedom to take an
// uncertainty from. Values are deviations from 10 kΩ in ppm.
func ExampleLine_drift() {
	reference := uncertainty.Input("standard of the laboratory", uncertainty.Certificate(0, 0.4, 2))
	first := uncertainty.Input("comparison 2022", uncertainty.Normal(3.1, 0.1)).Add(reference)
	second := uncertainty.Input("comparison 2024", uncertainty.Normal(4.2, 0.1)).Add(reference)
	drift, err := fit.Line(constants(2022, 2024), []uncertainty.Quantity{first, second})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("ppm a year", drift.Parameters[1])
	fmt.Println("today, true value", drift.At(uncertainty.Exact(2026)))
	fmt.Println(drift.Warnings[0])
	// Output:
	// ppm a year 0.550(71)
	// today, true value 5.30(30)
	// fit.Line: as many parameters as points: the uncertainty is that of the readings, and nothing checks the shape of the curve
}

// The next reading scatters about the curve, the true value does not.
func ExampleFit_NextReading() {
	line, err := fit.Line(constants(0, 1, 2, 3, 4, 5), constants(0.02, 1.01, 1.97, 3.04, 3.99, 5.02))
	if err != nil {
		fmt.Println(err)
		return
	}
	x := uncertainty.Exact(6)
	fmt.Println("true value  ", line.At(x))
	fmt.Println("next reading", line.NextReading(x))
	// Output:
	// true value   6.009(26)
	// next reading 6.009(38)
}

// A parabola through the resistance of a coil at five temperatures (ohms, kelvins from
// 20 °C), weighted by what is stated of each reading; then the temperature law.
func ExamplePolynomial() {
	var r []uncertainty.Quantity
	for i, v := range []float64{999.915, 999.9781, 1000.0003, 999.9805, 999.9197} {
		r = append(r, uncertainty.Input(fmt.Sprint("reading ", i+1), uncertainty.Normal(v, 0.0005)))
	}
	law, err := fit.Polynomial(2, constants(-10, -5, 0, 5, 10), r)
	if err != nil {
		fmt.Println(err)
		return
	}
	reference := law.Parameters[0]
	fmt.Println("R at 20 °C, Ω:", reference)
	fmt.Println("alpha, ppm/K:", law.Parameters[1].Div(reference).Scale(1e6))
	fmt.Println("beta, ppm/K²:", law.Parameters[2].Div(reference).Scale(1e6))
	fmt.Printf("chi-squared %.2f with %d degrees of freedom\n", law.ChiSquared, law.DOF)
	// Output:
	// R at 20 °C, Ω: 1000.00012(35)
	// alpha, ppm/K: 0.236(32)
	// beta, ppm/K²: -0.8280(53)
	// chi-squared 0.26 with 2 degrees of freedom
}

// Three resistors measured alone and in series: the readings overdetermine them.
func ExampleWeighted() {
	reading := func(name string, ohms float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(ohms, 0.002))
	}
	design := mat.NewDense(4, 3, []float64{
		1, 0, 0,
		0, 1, 0,
		0, 0, 1,
		1, 1, 1,
	})
	f, err := fit.Weighted(design,
		[]uncertainty.Quantity{reading("a", 10.001), reading("b", 20.003), reading("c", 29.998),
			reading("all", 60.006)})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range f.Parameters {
		fmt.Println(p)
	}
	fmt.Println("a + b:", f.Predict([]float64{1, 1, 0}))
	// Output:
	// 10.0020(17)
	// 20.0040(17)
	// 29.9990(17)
	// a + b: 30.0060(20)
}

// Readings without a stated uncertainty: the scatter judges them.
func ExampleUnweighted() {
	design := mat.NewDense(4, 2, []float64{1, 0, 0, 1, 1, 1, 1, -1})
	f, err := fit.Unweighted(design, constants(10.01, 5.02, 15.00, 4.98))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Parameters[0], f.Parameters[1], f.DOF)
	// Output:
	// 9.9967(75) 5.0133(75) 2
}

// The true value on the curve, at an abscissa that is itself uncertain.
func ExampleFit_At() {
	line, err := fit.Line(constants(0, 10, 20, 30), constants(100.002, 103.899, 107.791, 111.673))
	if err != nil {
		fmt.Println(err)
		return
	}
	t := uncertainty.Input("t", uncertainty.Rectangular(25, 0.05))
	fmt.Println(line.At(t))
	// Output: 109.732(12)
}

// One step of a dial from the fitted elements, with their correlation.
func ExampleFit_Predict() {
	design := mat.NewDense(3, 2, []float64{1, 0, 0, 1, 1, 1})
	f, err := fit.Unweighted(design, constants(10.01, 20.02, 30.00))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Predict([]float64{1, 1}))
	// Output: 30.010(14)
}

// The stated uncertainties are too small for a straight line through these points.
func ExampleFit_Probability() {
	var y []uncertainty.Quantity
	for i, v := range []float64{0.00, 1.02, 2.09, 2.97} {
		y = append(y, uncertainty.Input(fmt.Sprint("y", i), uncertainty.Normal(v, 0.01)))
	}
	line, err := fit.Line(constants(0, 1, 2, 3), y)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("chi-squared %.1f with %d degrees of freedom: probability %.1g\n", line.ChiSquared,
		line.DOF, line.Probability())
	// Output: chi-squared 77.8 with 2 degrees of freedom: probability 1e-17
}

// Two fits whose uncertainty comes from their scatter, in one model: each needs a name.
func ExampleSettings() {
	before, err := fit.Settings{Name: "before cleaning"}.Line(constants(0, 1, 2, 3), constants(5.01, 6.02, 6.98, 8.01))
	if err != nil {
		fmt.Println(err)
		return
	}
	after, err := fit.Settings{Name: "after cleaning"}.Line(constants(0, 1, 2, 3), constants(5.00, 6.01, 6.99, 8.00))
	if err != nil {
		fmt.Println(err)
		return
	}
	x := uncertainty.Exact(1.5)
	fmt.Println(before.At(x).Sub(after.At(x)))
	// Output: 0.005(11)
}
