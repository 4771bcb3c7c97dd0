// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// The values after the last of an enumeration have no name, and say which they are.
func TestNamesEnd(t *testing.T) {
	if got := (conformity.VerdictDoesNotConform + 1).String(); got != "Verdict(3)" {
		t.Errorf("verdict after the last: %q; want Verdict(3)", got)
	}
	if got := (conformity.StatementPass + 1).String(); got != "Statement(5)" {
		t.Errorf("statement after the last: %q; want Statement(5)", got)
	}
}

// A result that is outside by just the guard band is undecided: only one that is outside
// by more does not conform.
func TestOutsideByJustTheGuardBand(t *testing.T) {
	rule := conformity.Rule{Multiple: 1, Smallest: 0.25}
	for y, want := range map[float64]conformity.Verdict{
		1.25: conformity.VerdictUndecided, -1.25: conformity.VerdictUndecided,
		math.Nextafter(1.25, 2): conformity.VerdictDoesNotConform, math.Nextafter(-1.25, -2): conformity.VerdictDoesNotConform,
		0.75: conformity.VerdictConforms, -0.75: conformity.VerdictConforms,
	} {
		b := &uncertainty.Budget{Estimate: y, StandardUncertainty: 0.01, DOF: math.Inf(1)}
		if got, err := rule.Decide(interval(-1, 1), b); err != nil || got != want {
			t.Errorf("%v in -1 to 1 with w = 0.25: %v, %v; want %v", y, got, err, want)
		}
	}
}

func TestRefusedAtTheEndsOfARange(t *testing.T) {
	if err := (conformity.Rule{Coverage: 1}).Check(); !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("coverage probability 1: %v; want ErrDomain", err)
	}
	refused := func(what, name string, err error) {
		t.Helper()
		e, ok := errors.AsType[*conformity.Error](err)
		if !ok || !errors.Is(err, conformity.ErrDomain) || e.Name != name {
			t.Errorf("%s: %v; want ErrDomain about %s", what, err, name)
		}
	}
	_, err := conformity.GuardForSpecificRisk(interval(0, 1), 0.1, 0, 0.05)
	refused("no degrees of freedom", "degrees of freedom", err)
	for _, risk := range []float64{0, math.Nextafter(0.5, 1)} {
		_, err = conformity.GuardForSpecificRisk(interval(0, 1), 0.1, 5, risk)
		refused("specific risk", "risk", err)
		if err != nil && !strings.Contains(err.Error(), "not more than 0.5") {
			t.Errorf("specific risk %v: %v; want the range in the text", risk, err)
		}
	}
	for _, risk := range []float64{0, 1} {
		_, _, err = conformity.GuardForGlobalRisk(interval(0, 1), uncertainty.Normal(0, 1), 0.1, risk)
		refused("global risk", "risk", err)
	}
	// U as large as the half-width leaves the middle of the interval.
	g, err := conformity.RootDifference(interval(-4, 4), 4)
	if err != nil || g.Width != 4 || g.Acceptance.Lower != 0 || g.Acceptance.Upper != 0 {
		t.Errorf("U = T: %+v, %v; want w = 4", g, err)
	}
}

// bounded is a distribution that knows nothing of infinite values.
type bounded struct{ t *testing.T }

func (b bounded) CDF(x float64) float64 {
	if math.IsInf(x, 0) {
		b.t.Errorf("the distribution is asked for its CDF at %v", x)
	}
	return 0.25
}

// An infinite limit is never crossed, and no distribution is asked about it.
func TestInfiniteLimitsAreNotAsked(t *testing.T) {
	if p := probability(t, interval(nothing, 1), bounded{t}); p != 0.25 {
		t.Errorf("upper limit alone: %v; want 0.25", p)
	}
	if p := probability(t, interval(1, inf), bounded{t}); p != 0.75 {
		t.Errorf("lower limit alone: %v; want 0.75", p)
	}
}

// Items all alike, far outside an acceptance interval or on a limit of it.
func TestGlobalRiskOfItemsAllAlike(t *testing.T) {
	limits := interval(100, 102)
	tail := math.Erfc(10/math.Sqrt2) / 2 // ten standard uncertainties: 7.6e-24
	for _, x := range []float64{90, 112} {
		g := globalRisk(t, limits, limits, uncertainty.Normal(x, 0), 1)
		if !near(g.Consumer, tail, 1e-9) || g.Producer != 0 || g.Conforming != 0 {
			t.Errorf("all items at %v: %+v; want a consumer's risk of %v", x, g, tail)
		}
	}
	for _, x := range []float64{100, 102} {
		g := globalRisk(t, limits, limits, uncertainty.Normal(x, 0), 0)
		if g.Consumer != 0 || g.Producer != 0 || g.Conforming != 1 || g.Accepted != 1 {
			t.Errorf("perfect meter, all items on the limit %v: %+v; want all to conform and be accepted", x, g)
		}
	}
	// All items on one limit of acceptance, which lies outside the tolerance.
	for _, x := range []float64{99, 103} {
		g := globalRisk(t, limits, interval(99, 103), uncertainty.Normal(x, 0), 0)
		if g.Consumer != 1 || g.Accepted != 1 {
			t.Errorf("perfect meter, all items on the acceptance limit %v: %+v; want all accepted wrongly", x, g)
		}
	}
}

// A density p at each limit and a small u: ∫ Q(x/u) dx from 0 up is u/√(2π), so that
// both risks are 2p·u/√(2π) for simple acceptance.
func TestGlobalRiskOfAFlatPriorAgainstClosedForm(t *testing.T) {
	for _, u := range []float64{0.1, 1e-2, 1e-4, 1e-6} {
		g := globalRisk(t, interval(-1, 1), interval(-1, 1), uncertainty.Rectangular(0, 2), u)
		want := 2 * 0.25 * u / math.Sqrt(2*math.Pi)
		if !near(g.Consumer, want, 1e-8) || !near(g.Producer, want, 1e-8) {
			t.Errorf("u = %v: consumer's risk %v, producer's risk %v; want both %v", u, g.Consumer, g.Producer, want)
		}
	}
}

// evenTail is Pr(T > t) of Student's distribution for an even number of degrees of
// freedom, by the finite series of the Handbook of Mathematical Functions (National
// Bureau of Standards, 1964), 26.7.4, with 200 binary digits:
//
//	A = sin θ·{1 + 1/2 cos²θ + (1·3)/(2·4) cos⁴θ + … }, θ = arctan(t/√dof)
func evenTail(t float64, dof int) float64 {
	number := func(v float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(v) }
	square := number(t)
	square.Mul(square, number(t))
	all := number(float64(dof))
	all.Add(all, square)
	cos2 := number(float64(dof))
	cos2.Quo(cos2, all)
	sin := number(0)
	sin.Sqrt(sin.Quo(square, all))
	sum, term := number(1), number(1)
	for k := 2; k <= dof-2; k += 2 {
		term.Mul(term, cos2)
		term.Mul(term, number(float64(k-1)))
		term.Quo(term, number(float64(k)))
		sum.Add(sum, term)
	}
	tail := number(1)
	tail.Sub(tail, sum.Mul(sum, sin))
	v, _ := tail.Quo(tail, number(2)).Float64()
	return v
}

// On both sides of the change from the incomplete beta function to the expansion in
// 1/dof, at 5000 degrees of freedom.
func TestStudentTailsAgainstFiniteSeries(t *testing.T) {
	for _, c := range []struct {
		dof       int
		tolerance float64
	}{{10, 1e-13}, {500, 1e-12}, {4998, 1e-11}, {5002, 3e-13}, {8000, 3e-13}} {
		for _, x := range []float64{0.25, 1, 2, 3} {
			b := &uncertainty.Budget{StandardUncertainty: 1, DOF: float64(c.dof)}
			d, err := conformity.FromBudget(b)
			if err != nil {
				t.Fatal(err)
			}
			got, want := specificRisk(t, interval(nothing, x), d), evenTail(x, c.dof)
			tolerance := c.tolerance
			if x > 2 { // the next term of the expansion is 2e-12 at t = 3
				tolerance = max(tolerance, 5e-12)
			}
			if !near(got, want, tolerance) {
				t.Errorf("t = %v, %d degrees of freedom: tail %v; want %v (relative %.2g)", x,
					c.dof, got, want, got/want-1)
			}
		}
	}
}

// Of eight trials one lies below all bins and one above: the CDF has steps there.
func TestHistogramWithTrialsOutside(t *testing.T) {
	o := &uncertainty.Output{Histogram: uncertainty.Histogram{Lower: 2, Width: 0.5,
		Counts: []int{2, 4}, Below: 1, Above: 1}}
	d, err := conformity.FromOutput(o)
	if err != nil {
		t.Fatal(err)
	}
	for x, want := range map[float64]float64{1.9: 0, 2: 0.125, 2.25: 0.25, 2.5: 0.375, 2.75: 0.625,
		3: 0.875, 9: 1, math.Inf(1): 1} {
		if got := d.CDF(x); got != want {
			t.Errorf("CDF(%v) = %v; want %v", x, got, want)
		}
	}
	o.Histogram.Width = 0
	if _, err := conformity.FromOutput(o); !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("bins of no width: %v; want ErrDomain", err)
	}
}

// What could not be read back is not written.
func TestUnknownWordsAreNotWritten(t *testing.T) {
	if text, err := conformity.Verdict(3).MarshalText(); text != nil || !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("verdict 3 is written as %q, %v", text, err)
	}
	text, err := conformity.Statement(5).MarshalText()
	if text != nil || !errors.Is(err, conformity.ErrDomain) ||
		err.Error() != "conformity.Statement.MarshalText: 5; expected 0 to 4" {
		t.Errorf("statement 5 is written as %q, %v", text, err)
	}
}

// A refusal names the method that refused, as the comment of [conformity.Error] says.
func TestRefusalsNameTheMethod(t *testing.T) {
	swapped := uncertainty.Interval{Lower: 1, Upper: -1}
	_, decide := conformity.Simple().Decide(swapped, budget(t, 0, 0.1))
	_, expanded := conformity.Simple().DecideExpanded(swapped, 0, 0.1)
	for op, err := range map[string]error{"conformity.Rule.Decide": decide,
		"conformity.Rule.DecideExpanded": expanded} {
		if e, ok := errors.AsType[*conformity.Error](err); !ok || e.Op != op {
			t.Errorf("%s: %v", op, err)
		}
	}
}
