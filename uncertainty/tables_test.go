// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// A line break in a name ends no row, not even that of a covariance.
func TestNamesStayInTheirRows(t *testing.T) {
	q := uncertainty.Joint([]string{"a\nb", "c\r\nd"}, []float64{1, 2}, mat.NewSymDense(2, []float64{1, 0.5, 0.5, 1}))
	b, err := uncertainty.Evaluate(q[0].Add(q[1]).Named("y\nz"))
	if err != nil {
		t.Fatal(err)
	}
	for name, write := range map[string]func(*strings.Builder) error{
		"text":     func(s *strings.Builder) error { return b.WriteText(s) },
		"Markdown": func(s *strings.Builder) error { return b.WriteMarkdown(s) },
	} {
		var s strings.Builder
		if err := write(&s); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(s.String()) {
			if first := strings.TrimRight(line, "\r\n"); first == "b" ||
				strings.HasPrefix(first, "d ") || strings.HasPrefix(first, "z ") ||
				strings.HasPrefix(first, "b ") {
				t.Errorf("%s: the line %q begins inside a name", name, line)
			}
		}
		if name == "text" && !strings.Contains(s.String(), "covariance of a b and c  d") {
			t.Errorf("no covariance in one line:\n%s", s.String())
		}
	}
}

// Degrees of freedom and shares in CSV have no digits of rounding.
func TestDigitsInCSV(t *testing.T) {
	a := uncertainty.Input("a", uncertainty.StudentT(1, 0.1, 4.000000000000001))
	b := uncertainty.Input("b", uncertainty.Normal(2, 0.2))
	budget, err := uncertainty.Evaluate(a.Add(b))
	if err != nil {
		t.Fatal(err)
	}
	var s strings.Builder
	if err := budget.WriteCSV(&s); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(s.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, column := range rows[0] {
		if column == "Degrees of freedom" && rows[1][i] != "4" {
			t.Errorf("degrees of freedom %q; want 4", rows[1][i])
		}
		if column == "Share of variance" && (len(rows[1][i]) > 8 || len(rows[2][i]) > 8) {
			t.Errorf("shares %q and %q; want six digits", rows[1][i], rows[2][i])
		}
	}
}

// One degree of freedom is no plural.
func TestOneDegreeOfFreedom(t *testing.T) {
	m, err := uncertainty.WeightedMean(uncertainty.Input("a", uncertainty.Normal(1, 0.1)),
		uncertainty.Input("b", uncertainty.Normal(3, 0.1)))
	if err != nil {
		t.Fatal(err)
	}
	said := fmt.Sprint(m.Warnings)
	s, err := uncertainty.MonteCarlo{Trials: 1000, Seed: 1}.Run(t.Context(),
		uncertainty.Input("t", uncertainty.StudentT(1, 0.1, 1)))
	if err != nil {
		t.Fatal(err)
	}
	said += fmt.Sprint(s.Warnings)
	if strings.Contains(said, "1 degrees") || strings.Count(said, "1 degree of freedom") < 2 {
		t.Errorf("%s", said)
	}
}
