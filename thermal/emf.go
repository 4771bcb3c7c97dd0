// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "example.com/ohmwright/uncertainty"

// EMF is the thermal EMF of a material against copper near room temperature. Package
// material has those that are published.
type EMF struct {
	Material string

	// Low and High bound the Seebeck coefficient against copper in V/K; negative: the
	// material is the negative wire. They are equal where one value is known; a magnitude
	// or an upper limit without a sign is ±.
	Low, High float64
}

// Coefficient returns the Seebeck coefficient against copper in V/K as an input
// quantity of that name, rectangular between Low and High. Call it once for one
// pair of materials in the circuit and share the result.
func (e EMF) Coefficient(name string) uncertainty.Quantity {
	if e.Low == e.High {
		return uncertainty.Exact(e.Low)
	}
	// GUM 4.3.7: between the two limits nothing is known.
	return uncertainty.Source{
		Name: name, Unit: "V/K", Distribution: uncertainty.Between(e.Low, e.High),
		Note: e.Material + " against copper",
	}.Input()
}

// Largest returns the largest magnitude in volts of the EMF that a difference of
// temperature in K between the two contacts with copper makes.
func (e EMF) Largest(difference float64) (float64, error) {
	const op = "thermal.EMF.Largest"
	if err := checkNumber(op, "temperature difference", difference); err != nil {
		return 0, err
	}
	// Limits of either sign: which of the four products is largest depends on both.
	return finiteResult(op, "EMF", max(e.Low*difference, -e.Low*difference, e.High*difference,
		-e.High*difference))
}
