// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"log"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// Cells, sentences and warnings are those of the text.
func TestTableIsThatOfTheText(t *testing.T) {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(10, 0.01)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Between(70, 130)}.Input()
	b, err := uncertainty.Evaluate(v.Div(r).Named("I"))
	if err != nil {
		t.Fatal(err)
	}
	head, rows, hidden := b.Table()
	if len(head) != 8 || len(rows) != 3 || rows[2][0] != "I" || hidden != 0 {
		t.Errorf("%q, %q, %d", head, rows, hidden)
	}
	text := b.String()
	for _, row := range rows {
		for _, cell := range row {
			if !strings.Contains(text, cell) {
				t.Errorf("the text lacks %q", cell)
			}
		}
	}
	warnings := b.WarningTexts()
	for _, line := range append(b.Statement(), warnings...) {
		if !strings.Contains(text, line) {
			t.Errorf("the text lacks %q", line)
		}
	}
	if len(warnings) == 0 {
		t.Error("no warning of a wide divisor")
	}
	var none *uncertainty.Budget
	if _, rows, _ := none.Table(); len(rows) != 1 || none.WarningTexts() != nil || len(none.Statement()) == 0 {
		t.Errorf("of no budget: %q", rows)
	}
}

func smallBudget() *uncertainty.Budget {
	b, err := uncertainty.Evaluate(uncertainty.Source{Name: "R", Unit: "Ω",
		Distribution: uncertainty.Certificate(100.002, 0.004, 2)}.Input().Named("R"))
	if err != nil {
		log.Fatal(err)
	}
	return b
}

func ExampleBudget_Table() {
	head, rows, _ := smallBudget().Table()
	for i, cell := range rows[0][:4] {
		fmt.Printf("%s: %s\n", head[i], cell)
	}
	// Output:
	// Quantity: R
	// Estimate: 100.0020 Ω
	// Standard uncertainty: 0.0020 Ω
	// Type: B
}

func ExampleBudget_Statement() {
	fmt.Println(smallBudget().Statement()[0])
	// Output: R = (100.0020 ± 0.0039) Ω, k = 1.96, coverage probability 95 %
}

func ExampleBudget_WarningTexts() {
	x := uncertainty.Input("x", uncertainty.TypeA(1.0, 1.2, 1.1))
	b, err := uncertainty.Evaluate(x)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(strings.Join(b.WarningTexts(), "\n"))
	// Output: x: standard uncertainty from 2 degrees of freedom: the t-distribution of JCGM 101 has no standard deviation; take more readings or a pooled standard deviation
}
