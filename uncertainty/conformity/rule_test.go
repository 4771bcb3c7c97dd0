// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/uncertainty/unit"
)

func budget(t testing.TB, y, u float64) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(uncertainty.Input("y", uncertainty.Normal(y, u)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

const jcgm106 = "JCGM 106:2012"

// The resistors of JCGM 106, 9.5.3.2: 1500 ± 0.2 Ω measured with u = 0.04 Ω and
// accepted from 1499.82 Ω to 1500.18 Ω.
func TestPublishedResistorAcceptance(t *testing.T) {
	rule := conformity.Rule{Multiple: 0.25, Coverage: uncertainty.P2}
	e, err := rule.Expanded(budget(t, 1500, 0.04))
	if err != nil {
		t.Fatal(err)
	}
	tolerance := uncertainty.Interval{Lower: 1499.8, Upper: 1500.2}
	accept, ok := rule.Acceptance(tolerance, e.U)
	if !ok {
		t.Error("no acceptance interval")
	}
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"guard band", "0.02", accept.Lower - tolerance.Lower},
		{"lower limit of acceptance", "1499.82", accept.Lower},
		{"upper limit of acceptance", "1500.18", accept.Upper},
	} {
		uncertaintytest.Published{Name: c.name, Source: jcgm106, Place: "9.5.3.2 example",
			Printed: c.printed, Provenance: uncertaintytest.Seen}.Run(t, c.got)
	}
}

// With w = U = 2u a result on the limit of acceptance is outside with 2.3 % (JCGM 106
// 8.3.2.3), for the other multiples of U with no more than the guide says (ILAC-G8
// table 1). The probability is that of gonum's normal distribution.
func TestPublishedGuardBandRisk(t *testing.T) {
	risk := func(multiple float64) float64 {
		rule := conformity.Rule{Multiple: multiple, Coverage: uncertainty.P2}
		tolerance := uncertainty.Interval{Lower: math.Inf(-1), Upper: 10}
		e, err := rule.Expanded(budget(t, 0, 0.25))
		if err != nil {
			t.Fatal(err)
		}
		accept, _ := rule.Acceptance(tolerance, e.U)
		if v, err := rule.Decide(tolerance,
			budget(t, accept.Upper, 0.25)); v != conformity.VerdictConforms || err != nil {
			t.Errorf("multiple %v: on the limit of acceptance: %v, %v", multiple, v, err)
		}
		return 1 - distuv.Normal{Mu: accept.Upper, Sigma: 0.25}.CDF(10)
	}
	uncertaintytest.Published{Name: "w = U", Source: jcgm106, Place: "8.3.2.3 example",
		Printed: "2.3", Provenance: uncertaintytest.Seen}.Run(t, 100*risk(1))
	for _, c := range []struct {
		name            string
		multiple, bound float64
		provenance      string
	}{
		{"six sigma", 3, 1e-6, "from memory"},
		{"three sigma", 1.5, 0.0016, "from memory"},
		{"w = U", 1, 0.025, "seen"},
		{"w = 0.83 U", 0.83, 0.05, "from memory"},
		{"simple acceptance", 0, 0.5, "seen"},
	} {
		if got := risk(c.multiple); got > c.bound+1e-12 {
			t.Errorf("ILAC-G8:09/2019 table 1 (%s), %s: risk %v; published below %v", c.provenance,
				c.name, got, c.bound)
		}
	}
}

// The measurement capability index of JCGM 106, 7.6, is the ratio to U at k = 2.
func TestPublishedCapability(t *testing.T) {
	tolerance := uncertainty.Interval{Lower: -8, Upper: 8}
	ratio := func(u float64) float64 {
		r, err := conformity.TestUncertaintyRatio(tolerance, u)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	e, err := budget(t, 0, 1).ExpandedAt(uncertainty.P2) // u = T/16
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, printed string
		got           float64
	}{{"u = T/16", "4", ratio(e.U)}, {"U = Emax/3", "3", ratio(8. / 3)}} {
		uncertaintytest.Published{Name: c.name, Source: jcgm106, Place: "7.6.2 to 7.6.5",
			Printed: c.printed, Provenance: uncertaintytest.Seen}.Run(t, c.got)
	}
}

// The states of ILAC-G8:09/2019, 4.2 (seen; the numbers are our own): pass below the
// limit less w, fail above it plus w. What the guide calls conditional is undecided.
func TestDecisionStates(t *testing.T) {
	upper := uncertainty.Interval{Lower: math.Inf(-1), Upper: 10}
	lower := uncertainty.Interval{Lower: -10, Upper: math.Inf(1)}
	guarded := conformity.Rule{Multiple: 1, Coverage: uncertainty.P2}
	simple := conformity.Rule{Coverage: uncertainty.P2}
	for _, c := range []struct {
		y               float64
		simple, guarded conformity.Verdict
	}{
		{8.5, conformity.VerdictConforms, conformity.VerdictConforms},
		{8.99, conformity.VerdictConforms, conformity.VerdictConforms},
		{9.5, conformity.VerdictConforms, conformity.VerdictUndecided},
		{10, conformity.VerdictConforms, conformity.VerdictUndecided},
		{10.5, conformity.VerdictDoesNotConform, conformity.VerdictUndecided},
		{10.99, conformity.VerdictDoesNotConform, conformity.VerdictUndecided},
		{11.5, conformity.VerdictDoesNotConform, conformity.VerdictDoesNotConform},
	} {
		for _, side := range []struct {
			y float64
			t uncertainty.Interval
		}{{c.y, upper}, {-c.y, lower}} {
			b := budget(t, side.y, 0.5)
			s, err1 := simple.Decide(side.t, b)
			g, err2 := guarded.Decide(side.t, b)
			if s != c.simple || g != c.guarded || err1 != nil || err2 != nil {
				t.Errorf("y = %v: simple %v, guarded %v; want %v, %v", side.y, s, g, c.simple, c.guarded)
			}
		}
	}
}

func TestRules(t *testing.T) {
	b := budget(t, 5, 1)
	for _, c := range []struct {
		rule conformity.Rule
		U    float64
		text string
	}{
		{conformity.Guarded(1), 1.959964, "guard band w = 1·U on each side of a limit, U at 95 %"},
		{conformity.Simple(), 1.959964, "simple acceptance, no guard band; U at 95 %"},
		{conformity.Rule{Multiple: 0.5, Coverage: uncertainty.P2}, 2, "guard band w = 0.5·U on each side of a limit, U at 95.45 %"},
		{conformity.Rule{Multiple: 1, Smallest: 3}, 3, "guard band w = 1·U on each side of a limit, U at 95 % and never below 3"},
	} {
		e, err := c.rule.Expanded(b)
		if err != nil || math.Abs(e.U-c.U) > 1e-6 || e.Lower != 5-e.U || e.Upper != 5+e.U {
			t.Errorf("%v: %+v, %v; want U = %v", c.rule, e, err, c.U)
		}
		if c.rule.String() != c.text || c.rule.Check() != nil {
			t.Errorf("%q, %v; want %q", c.rule, c.rule.Check(), c.text)
		}
	}
}

func TestFloorDecides(t *testing.T) {
	limits := uncertainty.Interval{Lower: 0, Upper: 10}
	b := budget(t, 9, 0.1)
	if v, err := conformity.Guarded(1).Decide(limits, b); v != conformity.VerdictConforms || err != nil {
		t.Errorf("without a floor: %v, %v", v, err)
	}
	if v, err := (conformity.Rule{Multiple: 1, Smallest: 1.5}).Decide(limits,
		b); v != conformity.VerdictUndecided || err != nil {
		t.Errorf("with a floor of 1.5: %v, %v", v, err)
	}
}

func TestEmptyAcceptanceInterval(t *testing.T) {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	if i, ok := conformity.Guarded(1).Acceptance(limits, 1.5); ok || i.Lower <= i.Upper {
		t.Errorf("guard bands that meet: %v, %v", i, ok)
	}
	if i, ok := conformity.Guarded(1).Acceptance(limits, 1); !ok || i.Lower != 0 || i.Upper != 0 {
		t.Errorf("guard bands that touch: %v, %v; want the point 0", i, ok)
	}
	for y, want := range map[float64]conformity.Verdict{0: conformity.VerdictUndecided,
		5: conformity.VerdictDoesNotConform} {
		if v, err := conformity.Guarded(1).Decide(limits, budget(t, y, 1)); v != want || err != nil {
			t.Errorf("y = %v: %v, %v; want %v", y, v, err, want)
		}
	}
}

func TestVerdictText(t *testing.T) {
	for _, v := range []conformity.Verdict{conformity.VerdictUndecided, conformity.VerdictConforms,
		conformity.VerdictDoesNotConform} {
		text, err := json.Marshal(v)
		var back conformity.Verdict
		if err != nil || json.Unmarshal(text, &back) != nil || back != v || string(text) != `"`+v.String()+`"` {
			t.Errorf("%v is written %s and reads back as %v", v, text, back)
		}
	}
	var zero conformity.Verdict
	if zero.String() != "cannot be decided" || conformity.Verdict(9).String() != "Verdict(9)" {
		t.Errorf("%q, %q", zero, conformity.Verdict(9))
	}
	if err := zero.UnmarshalText([]byte("perhaps")); !errors.Is(err, unit.ErrUnknown) {
		t.Errorf("perhaps: %v", err)
	}
}

func TestRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	b := budget(t, 0, 0.1)
	decide := func(r conformity.Rule, i uncertainty.Interval, b *uncertainty.Budget) error {
		v, err := r.Decide(i, b)
		if v != conformity.VerdictUndecided {
			t.Errorf("verdict %v beside an error", v)
		}
		return err
	}
	ratio := func(i uncertainty.Interval, u float64) error {
		_, err := conformity.TestUncertaintyRatio(i, u)
		return err
	}
	for _, c := range []struct {
		name string
		err  error
		want error
	}{
		{"NaN limit", decide(conformity.Simple(), uncertainty.Interval{Lower: nan, Upper: 1}, b), conformity.ErrNotFinite},
		{"limits turned round", decide(conformity.Simple(), uncertainty.Interval{Lower: 1, Upper: -1}, b), conformity.ErrInterval},
		{"no limits", decide(conformity.Simple(), uncertainty.Interval{Lower: -inf, Upper: inf}, b), conformity.ErrInterval},
		{"lower limit +Inf", decide(conformity.Simple(), uncertainty.Interval{Lower: inf, Upper: inf}, b), conformity.ErrInterval},
		{"negative multiple", decide(conformity.Guarded(-1), limits, b), conformity.ErrDomain},
		{"NaN multiple", decide(conformity.Guarded(nan), limits, b), conformity.ErrNotFinite},
		{"infinite floor", decide(conformity.Rule{Smallest: inf}, limits, b), conformity.ErrNotFinite},
		{"coverage 95", decide(conformity.Rule{Coverage: 95}, limits, b), conformity.ErrDomain},
		{"coverage NaN", decide(conformity.Rule{Coverage: nan}, limits, b), conformity.ErrDomain},
		{"no budget", decide(conformity.Simple(), limits, nil), conformity.ErrDomain},
		{"zero budget", decide(conformity.Simple(), limits, &uncertainty.Budget{}), uncertainty.ErrDomain},
		{"budget of NaN", decide(conformity.Simple(), limits, &uncertainty.Budget{Estimate: nan, DOF: inf}), conformity.ErrNotFinite},
		{"ratio, negative U", ratio(limits, -1), conformity.ErrDomain},
		{"ratio, NaN U", ratio(limits, nan), conformity.ErrNotFinite},
		{"ratio, one limit", ratio(uncertainty.Interval{Lower: -inf, Upper: 1}, 1), conformity.ErrInterval},
		{"ratio, NaN limit", ratio(uncertainty.Interval{Lower: nan, Upper: 1}, 1), conformity.ErrNotFinite},
	} {
		if !errors.Is(c.err, c.want) || c.err != nil && strings.Contains(c.err.Error(), "\n") {
			t.Errorf("%s: error %v; want %v", c.name, c.err, c.want)
		}
	}
	if e, ok := errors.AsType[*conformity.Error](decide(conformity.Guarded(-1), limits, b)); !ok ||
		e.Name != "Multiple" || e.Value != -1.0 {
		t.Errorf("details: %+v", e)
	}
	if r, err := conformity.TestUncertaintyRatio(limits, 0); !math.IsInf(r, 1) || err != nil {
		t.Errorf("ratio with U = 0: %v, %v; want +Inf", r, err)
	}
}
