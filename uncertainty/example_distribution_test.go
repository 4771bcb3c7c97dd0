// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
)

// The mass of 100 g of the uncertainty statements of NIST TN 1297 (1994), which prints
// u = 0.35 mg and, with k = 2, U = 0.70 mg.
func ExampleNormal() {
	m := uncertainty.Input("mass", uncertainty.Normal(100.02147, 0.35e-3))
	b, err := uncertainty.Evaluate(m)
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := b.ExpandedAt(uncertainty.P2)
	fmt.Println(b.Concise(2), "g")
	fmt.Printf("U = %.2f mg, k = %.0f %v\n", 1e3*e.U, e.K, err)
	// Output:
	// 100.02147(35) g
	// U = 0.70 mg, k = 2 <nil>
}

// The expansion coefficient of copper from a handbook, in 1e-6/°C, with the limits
// that it gives: JCGM 100:2008, 4.3.7, example 1 prints u = 0.23.
func ExampleRectangular() {
	alpha := uncertainty.Input("alpha", uncertainty.Rectangular(16.52, 0.40))
	fmt.Println(alpha)
	// Output: 16.52(23)
}

// A temperature that lies about 100 °C rather than near the limits of 96 °C and
// 104 °C: JCGM 100:2008, 4.4.6 prints u = 1.6 °C, and 2.3 °C for the rectangle of 4.4.5.
func ExampleTriangular() {
	fmt.Println("triangle: ", uncertainty.Input("t", uncertainty.Triangular(100, 4)), "°C")
	fmt.Println("rectangle:", uncertainty.Input("t", uncertainty.Rectangular(100, 4)), "°C")
	// Output:
	// triangle:  100.0(1.6) °C
	// rectangle: 100.0(2.3) °C
}

// Limits of −0.12 and +0.40 about a handbook value of 16.52 (1e-6/°C): the estimate is
// the middle of them. JCGM 100:2008, 4.3.8 prints u = 0.15.
func ExampleBetween() {
	alpha := uncertainty.Input("alpha", uncertainty.Between(16.40, 16.92))
	fmt.Println(alpha)
	// Output: 16.66(15)
}

// A bath that is regulated on and off cycles by ±0.5 °C, and the reading may fall on
// any moment: JCGM 100:2008, H.1.3.4 prints u = 0.35 °C.
func ExampleArcsine() {
	t := uncertainty.Source{Name: "bath", Unit: "°C", Distribution: uncertainty.Arcsine(20, 0.5)}.Input()
	fmt.Println(t)
	// Output: 20.00(35) °C
}

// A mass standard of 1 kg with U = 240 µg at k = 3 in its certificate: JCGM 100:2008,
// 4.3.3 prints u = 80 µg.
func ExampleCertificate() {
	m := uncertainty.Source{Name: "standard", Unit: "g",
		Distribution: uncertainty.Certificate(1000.000325, 240e-6, 3)}.Input()
	fmt.Println(m)
	// Output: 1000.000325(80) g
}

// The contacts of six switches in series: of each is known that it has about 1 mΩ, and
// that it cannot have less than none.
func ExampleExponential() {
	contacts := uncertainty.Exact(0)
	for dial := range 6 {
		contacts = contacts.Add(uncertainty.Input(fmt.Sprint("contact ", dial+1), uncertainty.Exponential(1)))
	}
	fmt.Println(contacts, "mΩ")
	// Output: 6.0(2.4) mΩ
}

// A meter of 6½ digits shows steps of 0.01 Ω in its range for 10 kΩ.
func ExampleResolution() {
	r := uncertainty.Source{Name: "reading", Unit: "Ω", Distribution: uncertainty.Resolution(10000.18, 0.01)}.Input()
	fmt.Println(r)
	// Output: 10000.1800(29) Ω
}

// A product of three means of 10, 5 and 15 observations, with relative uncertainties
// of 0.25 %, 0.57 % and 0.82 %: JCGM 100:2008, G.4.1 prints u = 1.03 %, 19.0 degrees of
// freedom and U = 2.2 %.
func ExampleStudentT() {
	x1 := uncertainty.Input("X1", uncertainty.StudentT(1, 0.0025, 9))
	x2 := uncertainty.Input("X2", uncertainty.StudentT(1, 0.0057, 4))
	x3 := uncertainty.Input("X3", uncertainty.StudentT(1, 0.0082, 14))
	b, err := uncertainty.Evaluate(x1.Mul(x2).Mul(x3))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("u = %.2f %%, ν = %.1f, U = %.1f %%\n", 100*b.StandardUncertainty, b.DOF, 100*b.Expanded.U)
	// Output: u = 1.03 %, ν = 19.0, U = 2.2 %
}

// Five readings of a difference, and a standard deviation of 13 nm from 25 earlier
// ones: JCGM 100:2008, H.1.3.2 prints u = 5.8 nm with 24 degrees of freedom. Only the
// mean of the five is printed there; the pooled s makes the uncertainty.
func ExampleTypeAPooled() {
	d := uncertainty.Input("difference", uncertainty.TypeAPooled(13, 24, 215, 215, 215, 215, 215))
	b, err := uncertainty.Evaluate(d)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.Concise(2), "nm with", b.DOF, "degrees of freedom")
	// Output: 215.0(5.8) nm with 24 degrees of freedom
}
