// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty/unit"
)

// What a plate and a data sheet say, as numbers in SI units, and what comes of them as text.
func Example() {
	r, err := unit.Parse("10.1 kΩ", unit.Ohm)
	if err != nil {
		fmt.Println(err)
		return
	}
	tolerance, err := unit.Parse("0.05 %", unit.Fraction)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r, tolerance)
	fmt.Println(unit.Format(r, unit.Ohm), "±", unit.Format(r*tolerance, unit.Ohm))

	_, err = unit.Parse("10,1 kΩ", unit.Ohm)
	fmt.Println(err)
	// Output:
	// 10100 0.0005
	// 10.1 kΩ ± 5.05 Ω
	// unit.Parse: "10,1 kΩ": a decimal comma; expected a decimal point: "10.1 kΩ"
}
