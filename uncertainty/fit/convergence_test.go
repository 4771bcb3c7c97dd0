// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"errors"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// Four points in zigzag with abscissas as uncertain as they are apart: the adjustment to a
// parabola jumps from one side to the other, and says so.
func TestNoConvergence(t *testing.T) {
	var x, y []uncertainty.Quantity
	for i, v := range []float64{9.548, -6.296, 9.236, -7.090} {
		at := string(rune('0' + i))
		x = append(x, uncertainty.Input("x"+at, uncertainty.Normal(float64(i), 1)))
		y = append(y, uncertainty.Input("y"+at, uncertainty.Normal(v, 0.06)))
	}
	_, err := fit.Polynomial(2, x, y)
	if own, ok := errors.AsType[*fit.Error](err); !errors.Is(err, fit.ErrConvergence) || !ok ||
		own.Op != "fit.Polynomial" {
		t.Errorf("error %v; expected ErrConvergence", err)
	}
}
