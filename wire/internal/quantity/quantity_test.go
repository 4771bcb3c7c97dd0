// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package quantity_test

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/internal/quantity"
)

var errBelow = errors.New("below zero")

func root(x []float64) (float64, error) {
	if x[0] < 0 {
		return 0, errBelow
	}
	return math.Sqrt(x[0]), nil
}

func TestOf(t *testing.T) {
	b, err := uncertainty.Evaluate(quantity.Of(quantity.Function{Name: "root", Of: root},
		uncertainty.Input("x", uncertainty.Normal(4, 0.1))))
	if err != nil || b.Estimate != 2 || math.Abs(b.StandardUncertainty-0.025) > 1e-8 {
		t.Errorf("root of 4(0.1): %v, %v", b, err)
	}
	if err := quantity.Of(quantity.Function{Name: "root", Of: root},
		uncertainty.Exact(-1)).Err(); !errors.Is(err, errBelow) {
		t.Errorf("root of -1: %v", err)
	}
	if err := quantity.Of(quantity.Function{Name: "root", Of: root},
		uncertainty.Quantity{}).Err(); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("root of no quantity: %v", err)
	}
}

// An argument of another unit is refused; one without a unit takes that of the function.
func TestUnitsOfArguments(t *testing.T) {
	side := quantity.Function{Name: "side", Unit: "m", Units: []string{"m²"}, Of: root}
	in := func(unit string) uncertainty.Quantity {
		return uncertainty.Source{Name: "area", Unit: unit, Distribution: uncertainty.Normal(4, 0.1)}.Input()
	}
	for _, stated := range []string{"", "m²"} {
		b, err := uncertainty.Evaluate(quantity.Of(side, in(stated)))
		if err != nil || b.Unit != "m" {
			t.Errorf("area in %q: %+v, %v; want a side in m", stated, b, err)
		}
	}
	if _, err := uncertainty.Evaluate(quantity.Of(side, in("mm²"))); !errors.Is(err, uncertainty.ErrUnitMismatch) {
		t.Errorf("area in mm²: %v; want %v", err, uncertainty.ErrUnitMismatch)
	}
}

// Trials that the function refuses are counted as invalid.
func TestRefusedTrials(t *testing.T) {
	q := quantity.Of(quantity.Function{Name: "root", Of: root}, uncertainty.Input("x", uncertainty.Normal(0.5, 1)))
	_, err := uncertainty.MonteCarlo{Trials: 10000, Seed: 1}.Run(t.Context(), q)
	if !errors.Is(err, uncertainty.ErrInvalid) {
		t.Errorf("root of 0.5(1): %v; want %v", err, uncertainty.ErrInvalid)
	}
}
