// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// A resistance from voltage and current. The model is a value that prints itself; what
// is wrong in it is printed in place of it.
func ExampleQuantity() {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1, 20e-6)}.Input()
	i := uncertainty.Source{Name: "I", Unit: "A", Distribution: uncertainty.Normal(100e-6, 3e-9)}.Input()
	fmt.Println(v.Div(i))
	fmt.Println(v.Div(uncertainty.Exact(0)))
	// Output:
	// 10000.00(36) Ω
	// !(uncertainty.Div: division by a quantity whose estimate is 0; expected a divisor other than 0)
}

// One digit of the uncertainty in parentheses, two, and the estimate alone: the 10 kΩ of
// EA-4/02, S3 (from memory).
func ExampleQuantity_Format() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(10000.178, 0.0083)}.Input()
	fmt.Printf("%.1v\n%v\n%.2f Ω\n", r, r, r)
	// Output:
	// 10000.178(8) Ω
	// 10000.1780(83) Ω
	// 10000.18 Ω
}

// Two dials of a box in series.
func ExampleQuantity_Add() {
	tens := uncertainty.Source{Name: "dial x10 kΩ", Unit: "Ω", Distribution: uncertainty.Normal(10000, 0.3)}.Input()
	ones := uncertainty.Source{Name: "dial x1 kΩ", Unit: "Ω", Distribution: uncertainty.Normal(1000, 0.04)}.Input()
	fmt.Println(tens.Add(ones))
	// Output: 11000.00(30) Ω
}

// A reading with 1 kΩ dialled, less the one with all dials at zero.
func ExampleQuantity_Sub() {
	reading := uncertainty.Source{Name: "reading", Unit: "Ω", Distribution: uncertainty.Normal(1000.152, 0.008)}.Input()
	zero := uncertainty.Source{Name: "zero", Unit: "Ω", Distribution: uncertainty.Normal(0.062, 0.003)}.Input()
	fmt.Println(reading.Sub(zero))
	// Output: 1000.0900(85) Ω
}

// A standard resistor, times the ratio of two readings on one meter.
func ExampleQuantity_Mul() {
	standard := uncertainty.Source{Name: "standard", Unit: "Ω",
		Distribution: uncertainty.Normal(100.0012, 0.0004)}.Input()
	ratio := uncertainty.Source{Name: "ratio", Unit: "1", Distribution: uncertainty.Normal(1.000024, 2e-6)}.Input()
	fmt.Println(standard.Mul(ratio))
	// Output: 100.00360(45) Ω
}

// A divider of 9 kΩ and 1 kΩ, each known to 10 ppm. The lower one stands above and below
// the stroke; the model knows that it is one resistor.
func ExampleQuantity_Div() {
	upper := uncertainty.Input("upper", uncertainty.Normal(9000, 0.09))
	lower := uncertainty.Input("lower", uncertainty.Normal(1000, 0.01))
	fmt.Println(lower.Div(upper.Add(lower)))
	// Output: 0.1000000(13)
}

// A correction is the error with the other sign.
func ExampleQuantity_Neg() {
	meterError := uncertainty.Input("error of the meter", uncertainty.Normal(0.12, 0.03))
	correction := meterError.Neg()
	fmt.Println(correction, "Ω")
	fmt.Println(uncertainty.Exact(10000.18).Add(correction), "Ω")
	// Output:
	// -0.120(30) Ω
	// 10000.060(30) Ω
}

// The deviation of a resistor from 10 kΩ, in parts per million.
func ExampleQuantity_Scale() {
	r := uncertainty.Input("R", uncertainty.Normal(10000.178, 0.0083))
	fmt.Println(r.Sub(uncertainty.Exact(10000)).Scale(1e6/10000), "ppm")
	// Output: 17.80(83) ppm
}

// The number alone, to go on with outside the model.
func ExampleQuantity_Estimate() {
	v := uncertainty.Input("V", uncertainty.Normal(5, 0.001))
	r := uncertainty.Input("R", uncertainty.Normal(1000, 0.1))
	power := v.Mul(v).Div(r)
	fmt.Printf("%.0f mW\n", 1e3*power.Estimate())
	fmt.Println(uncertainty.Log(v.Neg()).Estimate(), "where the model has an error")
	// Output:
	// 25 mW
	// NaN where the model has an error
}

// A correction that a caller may leave out.
func ExampleQuantity_IsZero() {
	corrected := func(reading float64, correction uncertainty.Quantity) uncertainty.Quantity {
		if correction.IsZero() {
			return uncertainty.Exact(reading)
		}
		return uncertainty.Exact(reading).Add(correction)
	}
	fmt.Println(corrected(10.02, uncertainty.Quantity{}))
	fmt.Println(corrected(10.02, uncertainty.Input("correction", uncertainty.Normal(-0.01, 0.002))))
	// Output:
	// 10.02
	// 10.0100(20)
}

// A quantity does not go into a file by itself, since there it would lose what it
// shares with others: put it into a Record.
func ExampleQuantity_MarshalJSON() {
	r := uncertainty.Input("R", uncertainty.Normal(100, 0.01))
	_, err := json.Marshal(map[string]uncertainty.Quantity{"R": r})
	fmt.Println(err != nil)
	text, err := json.Marshal(uncertainty.Record{ID: "box 17, 2026-03-01", Quantities: []uncertainty.Quantity{r}})
	fmt.Println(len(text) > 0, err)
	// Output:
	// true
	// true <nil>
}

// Inputs have a name; what is computed of them has one when it is given one.
func ExampleQuantity_Name() {
	a := uncertainty.Input("element 1", uncertainty.Normal(100, 0.1))
	b := uncertainty.Input("element 2", uncertainty.Normal(100, 0.1))
	dial := a.Add(b)
	fmt.Printf("%q %q %q\n", a.Name(), dial.Name(), dial.Named("dial at 2").Name())
	// Output: "element 1" "" "dial at 2"
}

// An uncertainty that is itself a judgement, good to 25 %: JCGM 100:2008, H.1.3.2 and
// H.1.6 print u = 6.7 nm and 8 degrees of freedom.
func ExampleSource_Input() {
	dof, err := uncertainty.Reliability(0.25)
	if err != nil {
		fmt.Println(err)
		return
	}
	d2 := uncertainty.Source{
		Name: "systematic error of the comparator", Unit: "nm", Note: "judged",
		Distribution: uncertainty.Certificate(0, 20, 3), DOF: dof,
	}.Input()
	b, err := uncertainty.Evaluate(d2)
	fmt.Println(b.Concise(2), "with", b.DOF, "degrees of freedom", err)
	// Output: 0.0(6.7) nm with 8 degrees of freedom <nil>
}

// Intercept and slope of a calibration line as a report prints them, with their
// correlation, and the correction at 30 °C, 10 K from the reference temperature:
// JCGM 100:2008, H.3.4 prints −0.1494 °C and u = 0.0041 °C.
func ExampleJointSource() {
	const u1, u2, r = 0.0029, 0.00067, -0.930
	line := uncertainty.JointSource{
		Names:      []string{"intercept", "slope"},
		Estimates:  []float64{-0.1712, 0.00218},
		Covariance: mat.NewSymDense(2, []float64{u1 * u1, r * u1 * u2, r * u1 * u2, u2 * u2}),
		DOF:        9,
	}.Inputs()
	b, err := uncertainty.Evaluate(line[0].Add(line[1].Scale(10)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s °C with %.0f degrees of freedom\n", b.Concise(2), b.DOF)
	// Output: -0.1494(41) °C with 9 degrees of freedom
}

// Two standards that one laboratory compared with one of its own: r = 0.9.
func ExampleJointSource_Inputs() {
	const u, r = 0.4e-3, 0.9
	standards := uncertainty.JointSource{
		Names: []string{"S1", "S2"}, Units: []string{"Ω", "Ω"}, Estimates: []float64{100.0012, 100.0018},
		Covariance: mat.NewSymDense(2, []float64{u * u, r * u * u, r * u * u, u * u}),
	}.Inputs()
	fmt.Println("in series: ", standards[0].Add(standards[1]))
	fmt.Println("difference:", standards[1].Sub(standards[0]))
	// Output:
	// in series:  200.00300(78) Ω
	// difference: 0.00060(18) Ω
}

// What was refused, for a program that must say so in words of its own.
func ExampleError() {
	_, err := uncertainty.CoverageFactor(95, 10)
	if e, ok := errors.AsType[*uncertainty.Error](err); ok {
		fmt.Printf("%s does not take %s = %v\n", e.Op, e.Name, e.Value)
	}
	fmt.Println(errors.Is(err, uncertainty.ErrDomain))
	fmt.Println(err)
	// Output:
	// uncertainty.CoverageFactor does not take p = 95
	// true
	// uncertainty.CoverageFactor: p: 95; expected a coverage probability between 0 and 1, such as 0.95
}
