// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// The laws against those of gonum; where it has none, against the formula of the
// guide.
func TestDistributions(t *testing.T) {
	arcsine := func(p float64) float64 { return 5 + 2*math.Sin(math.Pi*(p-0.5)) } // JCGM 101 6.4.6.4
	for _, c := range []struct {
		name      string
		d         uncertainty.Distribution
		mean, std float64
		quantile  func(p float64) float64
	}{
		{"normal", uncertainty.Normal(5, 2), 5, 2, distuv.Normal{Mu: 5, Sigma: 2}.Quantile},
		{"certificate", uncertainty.Certificate(5, 4, 2), 5, 2, distuv.Normal{Mu: 5, Sigma: 2}.Quantile},
		{"rectangular", uncertainty.Rectangular(5, 2), 5, 2 / math.Sqrt(3), distuv.Uniform{Min: 3, Max: 7}.Quantile},
		{"between", uncertainty.Between(3, 7), 5, 2 / math.Sqrt(3), distuv.Uniform{Min: 3, Max: 7}.Quantile},
		{"resolution", uncertainty.Resolution(5, 4), 5, 4 / math.Sqrt(12), distuv.Uniform{Min: 3, Max: 7}.Quantile},
		{"triangular", uncertainty.Triangular(5, 2), 5, 2 / math.Sqrt(6), distuv.NewTriangle(3, 7, 5, nil).Quantile},
		{"arcsine", uncertainty.Arcsine(5, 2), 5, 2 / math.Sqrt2, arcsine},
		{"t", uncertainty.StudentT(5, 2, 7), 5, 2 * math.Sqrt(7./5), distuv.StudentsT{Mu: 5, Sigma: 2, Nu: 7}.Quantile},
		{"t without a standard deviation", uncertainty.StudentT(5, 2, 1.5), 5, infinity, distuv.StudentsT{Mu: 5, Sigma: 2, Nu: 1.5}.Quantile},
		{"t of infinite ν", uncertainty.StudentT(5, 2, infinity), 5, 2, distuv.Normal{Mu: 5, Sigma: 2}.Quantile},
		{"readings", uncertainty.TypeA(3, 5, 7), 5, infinity, distuv.StudentsT{Mu: 5, Sigma: 2 / math.Sqrt(3), Nu: 2}.Quantile},
	} {
		if !near(c.d.Mean(), c.mean, 1e-15) || !near(c.d.StdDev(), c.std, 1e-14) {
			t.Errorf("%s: mean %v, standard deviation %v; want %v, %v", c.name, c.d.Mean(), c.d.StdDev(), c.mean, c.std)
		}
		for _, p := range []float64{1e-6, 0.025, 0.3, 0.5, 0.7, 0.975, 1 - 1e-6} {
			if got, want := c.d.Quantile(p), c.quantile(p); !near(got, want, 1e-9) {
				t.Errorf("%s: quantile %v is %v; want %v", c.name, p, got, want)
			}
		}
		for _, p := range []float64{0, 1, -1, 2, math.NaN()} {
			if got := c.d.Quantile(p); !math.IsNaN(got) {
				t.Errorf("%s: quantile %v is %v; want NaN", c.name, p, got)
			}
		}
	}
}

func TestCertificateDOF(t *testing.T) {
	// GUM H.1.3: ±0.01 µm at 95 % with 5 degrees of freedom, factor 2.57.
	b := evaluate(t, uncertainty.Input("d1",
		uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 0, U: 10, P: 0.95, DOF: 5})))
	if !near(b.StandardUncertainty, 10/2.5705818366, 1e-9) || b.DOF != 5 ||
		!near(b.Expanded.U, 10, 1e-12) || b.Components[0].Type != uncertainty.EvaluationB {
		t.Errorf("u = %v, ν = %v, U = %v; want 3.890, 5, 10", b.StandardUncertainty, b.DOF, b.Expanded.U)
	}
}

// Distributions of somebody else's: gonum's as they are, and one that separates the
// uncertainty of JCGM 100 from the standard deviation of the law.
type twoFaced struct{ distuv.Normal }

func (twoFaced) Uncertainty() (u, dof float64) { return 3, 4 }
func (twoFaced) String() string                { return "two-faced" }

func TestForeignDistributions(t *testing.T) {
	b := evaluate(t, uncertainty.Input("x", distuv.Uniform{Min: 1, Max: 3}))
	if b.Estimate != 2 || !near(b.StandardUncertainty, 1/math.Sqrt(3), 1e-15) ||
		!math.IsInf(b.DOF, 1) || b.Components[0].Distribution != "distuv.Uniform" {
		t.Errorf("uniform: %+v", b)
	}
	b = evaluate(t, uncertainty.Input("x", twoFaced{distuv.Normal{Mu: 1, Sigma: 9}}))
	if b.Estimate != 1 || b.StandardUncertainty != 3 || b.DOF != 4 || b.Components[0].Distribution != "two-faced" {
		t.Errorf("Uncertainty method: %+v", b)
	}
}

func TestReliability(t *testing.T) {
	if got, err := uncertainty.Reliability(0); err != nil || !math.IsInf(got, 1) {
		t.Errorf("Reliability(0) = %v, %v; want +Inf", got, err)
	}
	for fraction, want := range map[float64]error{
		-1: uncertainty.ErrDomain, -0.1: uncertainty.ErrDomain, 1.1e9: uncertainty.ErrDomain, 1e200: uncertainty.ErrDomain,
		math.NaN(): uncertainty.ErrNotFinite, math.Inf(1): uncertainty.ErrNotFinite, math.Inf(-1): uncertainty.ErrNotFinite,
	} {
		if got, err := uncertainty.Reliability(fraction); !errors.Is(err, want) || got != 0 {
			t.Errorf("Reliability(%v) = %v, %v; want %v", fraction, got, err, want)
		}
	}
}

// reliability is that of a fraction that makes sense.
func reliability(t testing.TB, fraction float64) (dof float64) {
	t.Helper()
	dof, err := uncertainty.Reliability(fraction)
	if err != nil {
		t.Fatal(err)
	}
	return dof
}

func TestEvaluationType(t *testing.T) {
	for _, want := range []uncertainty.EvaluationType{uncertainty.EvaluationA, uncertainty.EvaluationB} {
		text, err := want.MarshalText()
		var got uncertainty.EvaluationType
		if err != nil || got.UnmarshalText(text) != nil || got != want ||
			string(text) != want.String() || fmt.Sprint(want) != want.String() {
			t.Errorf("%v reads back as %v from %q", want, got, text)
		}
	}
	if got := uncertainty.EvaluationA.String() + uncertainty.EvaluationB.String(); got != "AB" {
		t.Errorf("types print as %q", got)
	}
	var e uncertainty.EvaluationType
	if err := e.UnmarshalText([]byte("C")); err == nil {
		t.Error("type C is accepted")
	}
	if text, err := uncertainty.EvaluationType(2).MarshalText(); text != nil || !errors.Is(err, uncertainty.ErrDomain) {
		t.Errorf("an unknown type is written as %q, %v", text, err)
	}
}

func TestInterval(t *testing.T) {
	i := uncertainty.Interval{Lower: -1, Upper: 3}
	if i.Width() != 4 || !i.Contains(-1) || !i.Contains(3) || i.Contains(3.1) || i.Contains(-1.1) ||
		i.Contains(math.NaN()) {
		t.Errorf("%v: width %v", i, i.Width())
	}
}

// A coverage probability in place of a coverage factor is noticed by every evaluation, a
// factor of 1 or more is not, and a record does not make two statements of one.
func TestCertificateWithSmallFactor(t *testing.T) {
	for k, want := range map[float64]bool{0.95: true, 0.6745: true, 1: false, 2: false} {
		q := uncertainty.Source{Name: "standard", ID: "S-1",
			Distribution: uncertainty.Certificate(100, 0.01, k)}.Input()
		b := evaluate(t, q)
		sim, err := uncertainty.MonteCarlo{Trials: 10_000}.Run(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		for what, warnings := range map[string][]error{"budget": b.Warnings, "simulation": sim.Warnings} {
			got := slices.ContainsFunc(warnings, func(err error) bool {
				return errors.Is(err, uncertainty.ErrSmallFactor)
			})
			if got != want {
				t.Errorf("k = %v: warnings of the %s %v; want one: %v", k, what, warnings, want)
			}
		}
		if !near(b.StandardUncertainty, 0.01/k, 1e-15) {
			t.Errorf("k = %v: u = %v", k, b.StandardUncertainty)
		}
		r := uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{q}}
		text, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var read uncertainty.Record
		if err := json.Unmarshal(text, &read); err != nil {
			t.Fatal(err)
		}
		if u := evaluate(t, q.Sub(read.Quantity("standard"))).StandardUncertainty; u != 0 {
			t.Errorf("k = %v: as read and as stated differ by %v", k, u)
		}
	}
}
