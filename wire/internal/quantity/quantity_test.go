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
	b, err := uncertainty.Evaluate(quantity.Of(quantity.Function{Name: "root", Of: root}, uncertainty.Input("x", uncertainty.Normal(4, 0.1))))
	if err != nil || b.Estimate != 2 || math.Abs(b.StandardUncertainty-0.025) > 1e-8 {
		t.Errorf("root of 4(0.1): %v, %v", b, err)
	}
	if err := quantity.Of(quantity.Function{Name: "root", Of: root}, uncertainty.Exact(-1)).Err(); !errors.Is(err, errBelow) {
		t.Errorf("root of -1: %v", err)
	}
	if err := quantity.Of(quantity.Function{Name: "root", Of: root}, uncertainty.Quantity{}).Err(); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("root of no quantity: %v", err)
	}
}
