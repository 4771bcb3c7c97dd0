// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"log"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// Relative uncertainties that the guides print.
func TestPublishedRelativeUncertainties(t *testing.T) {
	relative := func(x, u float64) float64 {
		return must(evaluate(t, source(uncertainty.Normal(x, u))).RelativeStandardUncertainty())
	}
	dvm := evaluate(t, uncertainty.Input("V", uncertainty.TypeAPooled(12e-6, math.Inf(1), 0.928571)).Add(
		uncertainty.Input("correction", uncertainty.Normal(0, 8.7e-6))))
	for _, row := range []struct {
		name, source, place, printed string
		got                          float64
	}{
		{"mass standard, u/m", "JCGM 100:2008", "4.3.3", "80e-9", relative(1, 240e-6/3/1000)},
		{"resistor, u/R", "JCGM 100:2008", "4.3.4", "5.0e-6", relative(10.000742, 129e-6/2.58)},
		{"voltage, u/V", "JCGM 100:2008", "5.1.5", "16e-6", must(dvm.RelativeStandardUncertainty())},
	} {
		uncertaintytest.Published{
			Name: row.name, Source: row.source, Place: row.place, Printed: row.printed,
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, row.got)
	}
}

// In a product of powers the relative sensitivities are the exponents, and the relative
// contributions combine to the relative uncertainty (GUM 5.1.6).
func TestRelativeBudget(t *testing.T) {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(-5, 0.01)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(100, 0.1)}.Input()
	zero := uncertainty.Source{Name: "loss", Unit: "W", Distribution: uncertainty.Normal(0, 0.0005)}.Input()
	b := evaluate(t, v.Mul(v).Div(r).Add(zero).Named("P"))
	rel := must(b.Relative())
	if want := math.Sqrt(0.004*0.004 + 0.001*0.001 + 0.002*0.002); !near(
		must(b.RelativeStandardUncertainty()), want, 1e-12) {
		t.Errorf("%v, want %v", must(b.RelativeStandardUncertainty()), want)
	}
	text := rel.String()
	words := strings.Join(strings.Fields(text), " ")
	for _, part := range []string{
		"Relative", "V -5.000 V 0.0020 B normal ∞ 2.000 -0.0040", "R 100.00 Ω 0.0010 B normal ∞ -1.000 -0.0010",
		"loss 0 W – B normal ∞ – 0.0020", "P 0.2500 W 0.0046 ∞",
		"relative to the estimate: standard uncertainty 0.0046, expanded uncertainty 0.0090", "(0.2500 ± 0.0022) W",
	} {
		if !strings.Contains(words, part) {
			t.Errorf("%q is not in\n%s", part, text)
		}
	}
	var markdown, latex strings.Builder
	if err := errors.Join(rel.WriteMarkdown(&markdown), rel.WriteLaTeX(&latex)); err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{markdown.String(), latex.String()} {
		if !strings.Contains(s, "Relative standard uncertainty") || !strings.Contains(s, "relative to the estimate") {
			t.Errorf("not relative:\n%s", s)
		}
	}
	if b.String() == text || strings.Contains(b.String(), "elative") {
		t.Error("the budget itself has changed")
	}
	at := must(rel.AtCoverage(uncertainty.P2))
	if !strings.Contains(at.String(), "expanded uncertainty 0.0092") {
		t.Errorf("at another coverage:\n%s", at)
	}
}

func TestRelativeRefuses(t *testing.T) {
	var none *uncertainty.Budget
	for _, b := range []*uncertainty.Budget{none, {}, evaluate(t, source(uncertainty.Normal(0, 1))),
		{Estimate: 1e-320, StandardUncertainty: 1}} {
		if _, err := b.Relative(); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("%+v: %v", b, err)
		}
		if v, err := b.RelativeStandardUncertainty(); v != 0 || !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("%+v: %v, %v", b, v, err)
		}
	}
}

// power is that of a current in a resistor.
func power() *uncertainty.Budget {
	i := uncertainty.Source{Name: "I", Unit: "A", Distribution: uncertainty.Normal(0.1, 2e-5)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(100, 0.012)}.Input()
	b, err := uncertainty.Evaluate(i.Mul(i).Mul(r).Named("P"))
	if err != nil {
		log.Fatal(err)
	}
	return b
}

// The exponents of a product are its relative sensitivities.
func ExampleBudget_Relative() {
	relative, err := power().Relative()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Print(relative)
	// Output:
	// Quantity  Estimate    Relative     Type  Distribution  Degrees of  Relative     Relative
	//                       uncertainty                      freedom     sensitivity  contribution
	// I         0.100000 A  0.00020      B     normal        ∞           2.000        0.00040
	// R         100.000 Ω   0.00012      B     normal        ∞           1.000        0.00012
	// P         1.00000 W   0.00042                          ∞
	//
	// P = (1.00000 ± 0.00082) W, k = 1.96, coverage probability 95 %
	// P = 1.00000(42) W, standard uncertainty in parentheses
	// relative to the estimate: standard uncertainty 0.00042, expanded uncertainty 0.00082
	//
	// Share of variance
	// I   91.74 %  ██████████████████
	// R    8.26 %  ██
}

func ExampleBudget_RelativeStandardUncertainty() {
	r, err := power().RelativeStandardUncertainty()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f %%\n", 100*r)
	// Output: 0.04 %
}
