// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// measured are voltage, current and phase of JCGM 100:2008, H.2, observed together five
// times (table H.2).
func measured() (v, i, phi uncertainty.Quantity) {
	q := uncertainty.JointTypeA([]string{"V", "I", "phi"}, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	}).Inputs()
	return q[0], q[1], q[2]
}

// The resistance of an impedance, from voltage, current and phase angle: JCGM 100:2008,
// table H.3 prints 127.732 Ω and u = 0.071 Ω.
func ExampleCos() {
	v, i, phi := measured()
	b, err := uncertainty.Evaluate(v.Div(i).Mul(uncertainty.Cos(phi)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("R = %.3f Ω, u = %.3f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: R = 127.732 Ω, u = 0.071 Ω
}

// The reactance from the same readings, which correlate it with the resistance:
// JCGM 100:2008, table H.3 prints 219.847 Ω and r(R, X) = −0.588.
func ExampleSin() {
	v, i, phi := measured()
	z := v.Div(i)
	m, err := uncertainty.EvaluateAll(z.Mul(uncertainty.Cos(phi)), z.Mul(uncertainty.Sin(phi)))
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := m.Correlation(0, 1)
	fmt.Printf("X = %.3f Ω, r(R, X) = %.3f %v\n", m.Budgets[1].Estimate, r, err)
	// Output: X = 219.847 Ω, r(R, X) = -0.588 <nil>
}

// The time constant of an element of 10 kΩ, from its phase angle of 1.0 mrad at 1 kHz.
func ExampleTan() {
	phi := uncertainty.Input("phi", uncertainty.Normal(1.0e-3, 0.1e-3))
	tau := uncertainty.Tan(phi).Scale(1 / (2 * math.Pi * 1000))
	fmt.Println(tau.Scale(1e9), "ns")
	// Output: 159(16) ns
}

// Phase angle from power, voltage and current, in degrees.
func ExampleAcos() {
	p := uncertainty.Input("P", uncertainty.Normal(4.00, 0.02)) // W
	va := uncertainty.Exact(10 * 0.5)                           // V·A
	fmt.Println(uncertainty.Acos(p.Div(va)).Scale(180/math.Pi), "°")
	// Output: 36.87(38) °
}

// Phase angle from reactance and impedance, in radians; more than the whole impedance
// the reactance cannot be.
func ExampleAsin() {
	x := uncertainty.Input("X", uncertainty.Normal(30, 0.3))
	fmt.Println(uncertainty.Asin(x.Div(uncertainty.Exact(50))), "rad")
	fmt.Println(uncertainty.Asin(x.Div(uncertainty.Exact(20))))
	// Output:
	// 0.6435(75) rad
	// !(uncertainty.Asin: X: argument is 1.5; expected a value from -1 to 1)
}

// Phase angle at 10 kHz of 10 Ω with an inductance of 50 µH that is known to 10 %.
func ExampleAtan() {
	l := uncertainty.Input("L", uncertainty.Normal(50e-6, 5e-6))
	phi := uncertainty.Atan(l.Scale(2 * math.Pi * 10e3 / 10))
	fmt.Println(phi, "rad")
	// Output: 0.304(29) rad
}

// What is left of a change of the reading 30 s after switching, when it dies away with
// a time constant of 10 s that is known to 10 %.
func ExampleExp() {
	tau := uncertainty.Input("tau", uncertainty.Normal(10, 1))
	left := uncertainty.Exp(uncertainty.Exact(-30).Div(tau))
	fmt.Println(left.Scale(100), "%")
	// Output: 5.0(1.5) %
}

// Insulation of a box, from the charge that a capacitor of 1 µF loses through it in 60 s:
// R = t/(C·ln(V0/V)).
func ExampleLog() {
	c := uncertainty.Input("C", uncertainty.Normal(1e-6, 0.01e-6))
	v0 := uncertainty.Input("V0", uncertainty.Normal(10, 0.02))
	v := uncertainty.Input("V", uncertainty.Normal(9, 0.02))
	r := uncertainty.Exact(60).Div(c.Mul(uncertainty.Log(v0.Div(v))))
	fmt.Println(r.Scale(1e-6), "MΩ")
	// Output: 569(17) MΩ
}

// Resistance of a metre of manganin wire, ρ = 0.43 µΩ·m (common practice), from its
// diameter: R = 4·ρ·d⁻²/π. The relative uncertainty doubles.
func ExamplePow() {
	d := uncertainty.Input("d", uncertainty.Normal(0.500e-3, 0.002e-3))
	r := uncertainty.Pow(d, uncertainty.Exact(-2)).Scale(4 * 0.43e-6 / math.Pi)
	fmt.Println(r, "Ω/m")
	// Output: 2.190(18) Ω/m
}

// The current at which an element of 1 kΩ ± 0.1 % takes 0.25 W: √(P/R). Half the
// relative uncertainty remains. What the box itself is rated for goes first.
func ExampleSqrt() {
	r := uncertainty.Input("R", uncertainty.Normal(1000, 1))
	i := uncertainty.Sqrt(uncertainty.Exact(0.25).Div(r))
	fmt.Println(i.Scale(1e3), "mA")
	// Output: 15.8114(79) mA
}

// Ten resistors of 1 kΩ in series, all calibrated against one standard with
// u = 0.1 Ω: JCGM 100:2008, 5.2.2 prints u = 1 Ω, and 0.32 Ω if each had an error of
// its own.
func ExampleSum() {
	standard := uncertainty.Input("standard", uncertainty.Normal(1000, 0.1))
	var alike, apart []uncertainty.Quantity
	for i := range 10 {
		alike = append(alike, standard.Mul(uncertainty.Exact(1)))
		apart = append(apart, uncertainty.Input(fmt.Sprint("resistor ", i+1), uncertainty.Normal(1000, 0.1)))
	}
	fmt.Println(uncertainty.Sum(alike...), "Ω")
	fmt.Println(uncertainty.Sum(apart...), "Ω")
	// Output:
	// 10000.0(1.0) Ω
	// 10000.00(32) Ω
}
