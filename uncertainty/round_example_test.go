// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
)

// A 10 kΩ resistor, then uncertainties that reach past the decimal point and past the
// units.
func ExampleFormatConcise() {
	fmt.Println(uncertainty.FormatConcise(10000.1780008, 0.0083280, 2), "Ω")
	fmt.Println(uncertainty.FormatConcise(127.7322, 1.2, 2), "Ω")
	fmt.Println(uncertainty.FormatConcise(1234567, 2300, 2), "Ω")
	// Output:
	// 10000.1780(83) Ω
	// 127.7(1.2) Ω
	// 1.2346(23)e6 Ω
}

// The expanded uncertainty of the same resistor; the reader is told k as well.
func ExampleFormatPlusMinus() {
	fmt.Printf("(%s) Ω, k = 2\n", uncertainty.FormatPlusMinus(10000.1780008, 0.016656, 2))
	// Output:
	// (10000.178 ± 0.017) Ω, k = 2
}
