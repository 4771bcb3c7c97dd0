// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary_test

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

func ExampleExp() {
	fmt.Printf("%.12g\n", elementary.Exp(1))
	// Output: 2.71828182846
}

func ExampleExpm1() {
	fmt.Printf("%.12g\n", elementary.Expm1(1e-10))
	// Output: 1.00000000005e-10
}

func ExampleLog() {
	fmt.Printf("%.12g\n", elementary.Log(10))
	// Output: 2.30258509299
}

func ExampleLog1p() {
	fmt.Printf("%.12g\n", elementary.Log1p(1e-10))
	// Output: 9.9999999995e-11
}

func ExamplePow() {
	fmt.Printf("%.12g\n", elementary.Pow(92, 1.0/39))
	// Output: 1.12293219653
}

func ExampleSin() {
	fmt.Printf("%.12g\n", elementary.Sin(math.Pi/6))
	// Output: 0.5
}

func ExampleCos() {
	fmt.Printf("%.12g\n", elementary.Cos(math.Pi/3))
	// Output: 0.5
}

func ExampleTan() {
	fmt.Printf("%.12g\n", elementary.Tan(math.Pi/4))
	// Output: 1
}

func ExampleAsin() {
	fmt.Printf("%.12g\n", elementary.Asin(1))
	// Output: 1.57079632679
}

func ExampleAcos() {
	fmt.Printf("%.12g\n", elementary.Acos(-1))
	// Output: 3.14159265359
}

func ExampleAtan() {
	fmt.Printf("%.12g\n", elementary.Atan(1))
	// Output: 0.785398163397
}

func ExampleAcosh() {
	fmt.Printf("%.12g\n", elementary.Acosh(2))
	// Output: 1.31695789692
}

func ExampleAsinh() {
	fmt.Printf("%.12g\n", elementary.Asinh(1))
	// Output: 0.88137358702
}

func ExampleHypot() {
	fmt.Printf("%.12g\n", elementary.Hypot(3, 4))
	// Output: 5
}

func ExampleErf() {
	fmt.Printf("%.12g\n", elementary.Erf(1))
	// Output: 0.84270079295
}

func ExampleErfc() {
	fmt.Printf("%.12g\n", elementary.Erfc(3))
	// Output: 2.20904969986e-05
}

func ExampleNormalCDF() {
	fmt.Printf("%.12g\n", elementary.NormalCDF(1.96))
	// Output: 0.975002104852
}

func ExampleNormalDensity() {
	fmt.Printf("%.12g\n", elementary.NormalDensity(0))
	// Output: 0.398942280401
}

func ExampleNormalQuantile() {
	fmt.Printf("%.12g\n", elementary.NormalQuantile(0.975))
	// Output: 1.95996398454
}

func ExampleNormalUpper() {
	fmt.Printf("%.12g\n", elementary.NormalUpper(0.025, 0.475))
	// Output: 1.95996398454
}

func ExampleSincos() {
	sin, cos := elementary.Sincos(math.Pi / 6)
	fmt.Printf("%.12g %.12g\n", sin, cos)
	// Output: 0.5 0.866025403784
}

func ExampleDecimalExponent() {
	fmt.Println(elementary.DecimalExponent(1000), elementary.DecimalExponent(0.0999))
	// Output: 3 -2
}
