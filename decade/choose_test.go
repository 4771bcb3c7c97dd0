// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"fmt"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// U of a choice is that of the budget of its best setting in every digit, where k·u gives it: the
// width of an interval about 1 kΩ has lost four of them.
func TestUncertaintyOfAChoiceIsThatOfItsBudget(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "a", Decades: []decade.Decade{{Name: "×1 kΩ", Step: 1000,
		Positions: 3, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	record := &decade.Calibration{Box: "a", Values: uncertainty.Record{ID: "r"}}
	add := func(name string, law uncertainty.Distribution) {
		record.Values.Quantities = append(record.Values.Quantities,
			uncertainty.Source{Name: name, Unit: "Ω", ID: name, Distribution: law}.Input())
	}
	add("residual", uncertainty.Normal(0.012, 0.0003))
	for i := range 3 {
		add(fmt.Sprintf("×1 kΩ element %d", i+1), uncertainty.Normal(1000.01, 0.007))
	}
	if box, err = box.With(record); err != nil {
		t.Fatal(err)
	}
	got, err := box.Choose(t.Context(), 1999, decade.Search{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := uncertainty.Evaluate(got.Best[0].Setting.Resistance())
	if err != nil {
		t.Fatal(err)
	}
	if got.U != b.Expanded.U {
		t.Errorf("U = %v; want %v of the budget", got.U, b.Expanded.U)
	}
}
