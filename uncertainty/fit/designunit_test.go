// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// The elements of a design may carry units: its parameters state none, and what is predicted
// from them is in the unit of the readings. A slope in ohms was wrong without a word.
func TestUnitsOfADesign(t *testing.T) {
	var y []uncertainty.Quantity
	for i, v := range []float64{100, 100.4, 100.81} {
		y = append(y, uncertainty.Source{Name: fmt.Sprintf("R%d", i), Unit: "Ω",
			Distribution: uncertainty.Normal(v, 0.01)}.Input())
	}
	f, err := fit.Weighted(mat.NewDense(3, 2, []float64{1, 0, 1, 1, 1, 2}), y)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		want string
	}{
		{"parameter", f.Parameters[1], ""},
		{"parameter with its unit", f.Parameters[1].InUnit("Ω/K"), "Ω/K"},
		{"prediction", f.Predict([]float64{1, 1.5}), "Ω"},
		{"prediction and a reading", f.Predict([]float64{1, 1.5}).Sub(y[0]), "Ω"},
	} {
		if b, err := uncertainty.Evaluate(c.q); err != nil || b.Unit != c.want {
			t.Errorf("%s: %v, %v; want the unit %q", c.name, b, err, c.want)
		}
	}
}
