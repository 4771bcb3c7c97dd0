// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// The drift of a standard: certificates of four years make a line, which gives the value of
// today with the uncertainty that they leave.
func Example() {
	var years, values []uncertainty.Quantity
	for i, ohms := range []float64{100.00012, 100.00019, 100.00025, 100.00034} {
		years = append(years, uncertainty.Exact(float64(2022+i)))
		values = append(values, uncertainty.Source{
			Name: fmt.Sprintf("certificate of %d", 2022+i), Unit: "Ω",
			Distribution: uncertainty.Certificate(ohms, 30e-6, 2),
		}.Input())
	}
	line, err := fit.Line(years, values)
	if err != nil {
		fmt.Println(err)
		return
	}
	budget, err := uncertainty.Evaluate(line.At(uncertainty.Exact(2026)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(budget.PlusMinus(2))
	fmt.Printf("chi-squared %.2f with %d degrees of freedom, probability %.2f\n",
		line.ChiSquared, line.DOF, line.Probability())
	// Output:
	// (100.000405 ± 0.000036) Ω
	// chi-squared 0.80 with 2 degrees of freedom, probability 0.67
}
