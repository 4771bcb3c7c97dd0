// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

func results(xu ...float64) []uncertainty.Quantity {
	var out []uncertainty.Quantity
	for i := 0; i < len(xu); i += 2 {
		out = append(out, uncertainty.Source{Name: fmt.Sprint("laboratory ", i/2+1), Unit: "Ω",
			Distribution: uncertainty.Normal(xu[i], xu[i+1])}.Input())
	}
	return out
}

func weightedMean(t testing.TB, qs ...uncertainty.Quantity) *uncertainty.Mean {
	t.Helper()
	m, err := uncertainty.WeightedMean(qs...)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Two independent results: the posterior of a normal prior and a normal measurement
// (JCGM 106:2012, A.4.4, eqs. A.13 and A.14) is their weighted mean.
func TestWeightedMeanIsThePosterior(t *testing.T) {
	const y0, u0, ym, um = 1500, 0.12, 1500.17, 0.04
	m := weightedMean(t, results(y0, u0, ym, um)...)
	w0, wm := 1/(u0*u0), 1/(um*um)
	b := evaluate(t, m.Value)
	if !near(b.Estimate, (w0*y0+wm*ym)/(w0+wm), 1e-15) ||
		!near(b.StandardUncertainty, u0*um/math.Sqrt(u0*u0+um*um), 1e-12) || b.Unit != "Ω" {
		t.Errorf("%v; want 1500.153, u 0.03795 Ω", m.Value)
	}
	if !near(m.Weights[0], w0/(w0+wm), 1e-12) ||
		!near(m.ChiSquared, 0.17*0.17/(u0*u0+um*um), 1e-9) || m.DOF != 1 ||
		m.BirgeRatio != math.Sqrt(m.ChiSquared) || len(m.Warnings) != 0 {
		t.Errorf("%+v", m)
	}
	// One degree of freedom: chi-squared is the square of a normal deviate.
	if want := math.Erfc(math.Sqrt(m.ChiSquared / 2)); !near(m.Probability, want, 1e-9) {
		t.Errorf("probability %v; want %v", m.Probability, want)
	}
}

// Correlated results against generalised least squares with one parameter.
func TestWeightedMeanOfCorrelatedResults(t *testing.T) {
	common := uncertainty.Input("common standard", uncertainty.Normal(0, 0.3))
	var qs []uncertainty.Quantity
	for i, q := range results(10, 0.1, 10.3, 0.2, 9.9, 0.4, 10.1, 0.15) {
		qs = append(qs, q.Add(common.Scale(1+0.1*float64(i))))
	}
	m := weightedMean(t, qs...)
	f, err := fit.Weighted(mat.NewDense(4, 1, []float64{1, 1, 1, 1}), qs)
	if err != nil {
		t.Fatal(err)
	}
	got, want := evaluate(t, m.Value), evaluate(t, f.Parameters[0])
	if !near(got.Estimate, want.Estimate, 1e-12) ||
		!near(got.StandardUncertainty, want.StandardUncertainty, 1e-10) ||
		!near(m.ChiSquared, f.ChiSquared, 1e-9) || !near(m.Probability, f.Probability(), 1e-9) {
		t.Errorf("mean %v, u %v, chi-squared %v; want %v, %v, %v", got.Estimate,
			got.StandardUncertainty, m.ChiSquared, want.Estimate, want.StandardUncertainty,
			f.ChiSquared)
	}
	if got.StandardUncertainty < 0.3 {
		t.Errorf("u = %v: the common standard was averaged away", got.StandardUncertainty)
	}
	// The mean keeps its sources: less the standard, only the rest is left.
	if rest := evaluate(t, m.Value.Sub(qs[0])).StandardUncertainty; rest > 0.2 {
		t.Errorf("u of mean less first result is %v; want the common part to cancel", rest)
	}
}

func TestWeightedMeanFindings(t *testing.T) {
	one := weightedMean(t, results(5, 0.1)...)
	if one.Value.Estimate() != 5 || one.DOF != 0 || one.BirgeRatio != 0 || one.Probability != 1 ||
		len(one.Warnings) != 0 {
		t.Errorf("one result: %+v", one)
	}
	apart := weightedMean(t, results(10, 0.1, 11, 0.1, 10.5, 0.1)...)
	if !near(apart.BirgeRatio, 5, 1e-9) || !near(apart.ChiSquared, 50, 1e-9) ||
		len(apart.Warnings) != 1 || !errors.Is(apart.Warnings[0], uncertainty.ErrInconsistent) {
		t.Errorf("contradiction: %+v; want a Birge ratio of 5 and a warning", apart)
	}
	if u := evaluate(t, apart.Value).StandardUncertainty; !near(u, 0.1/math.Sqrt(3), 1e-12) {
		t.Errorf("u = %v of contradicting results; want that of the stated ones", u)
	}
	pair := uncertainty.Joint([]string{"a", "b"}, []float64{1, 1.1}, mat.NewSymDense(2, []float64{1, 1.8, 1.8, 4}))
	if m := weightedMean(t, pair...); m.Weights[1] >= 0 || !errors.Is(m.Warnings[0], uncertainty.ErrNegativeWeight) {
		t.Errorf("strong correlation: %+v; want a negative weight and a warning", m)
	}
	if m := weightedMean(t, results(1, 1e-100, 2, 1e100)...); m.Weights[0] != 1 {
		t.Errorf("weights %v; want 1 and 0", m.Weights)
	}
}

func TestWeightedMeanRefuses(t *testing.T) {
	x := results(1, 0.1)[0]
	for _, c := range []struct {
		name string
		qs   []uncertainty.Quantity
		want error
	}{
		{"nothing", nil, uncertainty.ErrObservations},
		{"exact", []uncertainty.Quantity{x, uncertainty.Exact(1)}, uncertainty.ErrCovariance},
		{"one result twice", []uncertainty.Quantity{x, x}, uncertainty.ErrCovariance},
		{"zero Quantity", []uncertainty.Quantity{x, {}}, uncertainty.ErrNoQuantity},
	} {
		if m, err := uncertainty.WeightedMean(c.qs...); m != nil || !errors.Is(err, c.want) {
			t.Errorf("%s: %v, %v; want %v", c.name, m, err, c.want)
		}
	}
}

// Three laboratories measured one resistor.
func ExampleWeightedMean() {
	laboratory := func(name string, ohms, u float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: "Ω", Distribution: uncertainty.Normal(ohms, u)}.Input()
	}
	m, err := uncertainty.WeightedMean(laboratory("A", 100.0021, 0.0004),
		laboratory("B", 100.0028, 0.0006), laboratory("C", 100.0019, 0.0012))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(m.Value)
	fmt.Printf("weights %.2f, Birge ratio %.2f, probability %.2f\n", m.Weights, m.BirgeRatio, m.Probability)
	// Output:
	// 100.00229(32) Ω
	// weights [0.64 0.29 0.07], Birge ratio 0.73, probability 0.59
}

// Results in different units have no mean, not even where a symbol is unknown: 1 Ω and 50 mΩ
// would make 1.49 of no unit.
func TestWeightedMeanOfUnits(t *testing.T) {
	of := func(name, symbol string, x, u float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: symbol, Distribution: uncertainty.Normal(x, u)}.Input()
	}
	for _, symbol := range []string{"mΩ", "milliohm", "V", "1"} {
		if m, err := uncertainty.WeightedMean(of("a", "Ω", 1, 0.1),
			of("b", symbol, 50, 1)); !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("mean of Ω and %s: %+v, %v; want ErrUnitMismatch", symbol, m, err)
		}
	}
	for _, symbol := range []string{"Ω", "ohm", "V/A", ""} {
		m, err := uncertainty.WeightedMean(of("a", "Ω", 1, 0.1), of("b", symbol, 1.1, 0.1))
		if err != nil {
			t.Errorf("mean of Ω and %q: %v", symbol, err)
			continue
		}
		if b := evaluate(t, m.Value); b.Unit != "Ω" {
			t.Errorf("mean of Ω and %q is in %q; want Ω", symbol, b.Unit)
		}
	}
}
