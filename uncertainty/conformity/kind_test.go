// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/uncertainty/unit"
)

var priorOfTwo = uncertainty.Normal(0, 0.5)

// kinds are rules of every kind.
func rulesOfKinds() map[string]conformity.Rule {
	return map[string]conformity.Rule{
		"simple": conformity.Simple(), "guarded": conformity.Guarded(1), "root difference": conformity.ByRootDifference(),
		"specific": conformity.BySpecificRisk(0.025), "global": conformity.ByGlobalRisk(0.002, priorOfTwo),
	}
}

// A rule judges as the function that chooses its guard band, for limits of any size.
func TestKindsTakeTheirGuardBand(t *testing.T) {
	for _, c := range []struct{ half, u float64 }{{1, 0.05}, {1, 0.2}, {250, 30}, {1e-3, 1e-4}} {
		limits := uncertainty.Interval{Lower: -c.half, Upper: c.half}
		e, err := budget(t, 0, c.u).ExpandedAt(0.95)
		if err != nil {
			t.Fatal(err)
		}
		widths := map[string]float64{"simple": 0, "guarded": e.U}
		for name, of := range map[string]func() (conformity.Guard, error){
			"root difference": func() (conformity.Guard, error) { return conformity.RootDifference(limits, e.U) },
			"specific": func() (conformity.Guard, error) {
				return conformity.GuardForSpecificRisk(limits, c.u, math.Inf(1), 0.025)
			},
			"global": func() (conformity.Guard, error) {
				g, _, err := conformity.GuardForGlobalRisk(limits, uncertainty.Normal(0, c.half/2), c.u, 0.002)
				return g, err
			},
		} {
			g, err := of()
			if err != nil {
				t.Fatal(err)
			}
			widths[name] = g.Width
		}
		for name, rule := range rulesOfKinds() {
			w := widths[name]
			if a, ok := rule.Acceptance(limits, e.U); !ok || math.Abs(a.Upper-(c.half-w)) > 1e-6*c.half {
				t.Errorf("%s, T = %v, u = %v: acceptance %v, %v; want up to %v", name, c.half, c.u, a, ok, c.half-w)
			}
			const by = 1e-6
			for _, y := range []struct {
				at   float64
				want conformity.Verdict
			}{
				{c.half - w - by*c.half, conformity.VerdictConforms}, {-(c.half - w - by*c.half), conformity.VerdictConforms},
				{c.half + w + by*c.half, conformity.VerdictDoesNotConform},
			} {
				v, err := rule.Decide(limits, budget(t, y.at, c.u))
				if v != y.want || err != nil {
					t.Errorf("%s, T = %v, u = %v, y = %v: %v, %v; want %v", name, c.half, c.u, y.at, v, err, y.want)
				}
			}
			if w > 0 {
				if v, err := rule.Decide(limits,
					budget(t, c.half-w/2, c.u)); v != conformity.VerdictUndecided || err != nil {
					t.Errorf("%s: %v, %v inside the guard band", name, v, err)
				}
			}
		}
	}
}

// With U = T/4 the root difference accepts up to 0.968 T, where the specific risk is near
// 40 %: figures printed for the rule are global ones.
func TestPublishedRootDifferenceRule(t *testing.T) {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	accept, ok := conformity.ByRootDifference().Acceptance(limits, 0.25)
	if !ok {
		t.Fatal("empty acceptance")
	}
	d, err := conformity.FromBudget(budget(t, accept.Upper, 0.25/1.959964))
	if err != nil {
		t.Fatal(err)
	}
	risk, err := conformity.SpecificRisk(limits, d)
	if err != nil {
		t.Fatal(err)
	}
	const practice = "rule of common practice"
	uncertaintytest.Published{Name: "half-width at a ratio of 4", Source: practice,
		Place: "A = √(T² − U²)", Printed: "0.968",
		Provenance: uncertaintytest.CommonPractice}.Run(t, accept.Upper)
	uncertaintytest.Published{Name: "specific risk there, in per cent", Source: practice,
		Place: "near 40 %", Printed: "4e1", Provenance: uncertaintytest.CommonPractice}.Run(t,
		100*risk)
}

// The smallest tolerance is met, and one a little smaller is not.
func TestSmallestTolerance(t *testing.T) {
	for name, rule := range rulesOfKinds() {
		for _, y := range []float64{0, 0.3, -2} {
			b := budget(t, y, 0.1)
			T, err := rule.SmallestTolerance(b)
			if err != nil {
				t.Fatal(err)
			}
			for factor, want := range map[float64]bool{1 + 1e-8: true, 1 - 1e-6: false} {
				if T == 0 {
					continue
				}
				v, err := rule.Decide(uncertainty.Interval{Lower: -T * factor, Upper: T * factor}, b)
				if err != nil || (v == conformity.VerdictConforms) != want {
					t.Errorf("%s, y = %v: T = %v, times %v: %v, %v", name, y, T, factor, v, err)
				}
			}
		}
	}
}

// A floor of U counts in every rule.
func TestFloorOfKinds(t *testing.T) {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	for name, rule := range rulesOfKinds() {
		rule.Smallest = 0.9
		v, err := rule.Decide(limits, budget(t, 0.8, 0.01))
		want := conformity.VerdictUndecided
		if name == "simple" {
			want = conformity.VerdictConforms
		}
		if v != want || err != nil {
			t.Errorf("%s: %v, %v; want %v", name, v, err, want)
		}
	}
}

// Where nothing could be accepted, nothing is rejected that is not outside by more than U.
func TestKindsWithTooLargeUncertainty(t *testing.T) {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	for name, rule := range map[string]conformity.Rule{"root difference": conformity.ByRootDifference(), "specific": conformity.BySpecificRisk(0.01)} {
		if _, ok := rule.Acceptance(limits, 8); ok {
			t.Errorf("%s accepts with U = 8 T", name)
		}
		for y, want := range map[float64]conformity.Verdict{0: conformity.VerdictUndecided,
			1.5: conformity.VerdictUndecided, 20: conformity.VerdictDoesNotConform} {
			if v, err := rule.Decide(limits, budget(t, y, 4)); v != want || err != nil {
				t.Errorf("%s, y = %v: %v, %v; want %v", name, y, v, err, want)
			}
		}
	}
}

// A rectangle 100 ± 1 inside limits of 99 to 101: certain, whatever 1.96·u says. A rule
// takes the interval of the rectangle, 0.95 at 95 %.
func TestBestIntervalDecides(t *testing.T) {
	b, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Rectangular(100, 1)))
	if err != nil {
		t.Fatal(err)
	}
	limits := uncertainty.Interval{Lower: 99, Upper: 101}
	rules := rulesOfKinds()
	delete(rules, "global") // knows a normal meter only
	for name, rule := range rules {
		if v, err := rule.Decide(limits, b); v != conformity.VerdictConforms || err != nil {
			t.Errorf("%s: %v, %v", name, v, err)
		}
	}
	e, err := conformity.Guarded(1).Expanded(b)
	if err != nil || math.Abs(e.U-0.95) > 1e-9 || math.Abs(e.K-0.95*math.Sqrt(3)) > 1e-9 ||
		math.Abs(e.Lower-99.05) > 1e-9 {
		t.Errorf("%+v, %v", e, err)
	}
	d, err := conformity.FromBudget(b)
	if err != nil {
		t.Fatal(err)
	}
	if p, err := conformity.Probability(limits, d); p != 1 || err != nil {
		t.Errorf("probability %v, %v", p, err)
	}
}

func TestKindsAreRefused(t *testing.T) {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	for _, c := range []struct {
		rule conformity.Rule
		says string
	}{
		{conformity.Rule{Kind: 9}, "expected guard band, root difference, specific risk, global risk, guarded rejection"},
		{conformity.Rule{Kind: conformity.RuleRootDifference, Multiple: 1}, "expected 0"},
		{conformity.Rule{Kind: conformity.RuleRootDifference, Risk: 0.1}, "expected 0"},
		{conformity.BySpecificRisk(0), "more than 0 and not more than 0.5"},
		{conformity.BySpecificRisk(0.6), "more than 0 and not more than 0.5"},
		{conformity.BySpecificRisk(math.NaN()), "more than 0 and not more than 0.5"},
		{conformity.ByGlobalRisk(1, priorOfTwo), "more than 0 and less than 1"},
		{conformity.ByGlobalRisk(0.01, nil), "what the items are like"},
		{conformity.ByGlobalRisk(0.01, uncertainty.Normal(0, math.NaN())), "finite"},
		{conformity.Rule{Multiple: 1, Prior: priorOfTwo}, "with a global risk only"},
		{conformity.Rule{Multiple: 1, Risk: 0.1}, "expected 0"},
	} {
		err := c.rule.Check()
		if !errors.Is(err, conformity.ErrDomain) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%+v: %v; want %q", c.rule, err, c.says)
		}
		if v, err := c.rule.Decide(limits, budget(t, 0, 0.1)); err == nil || v != conformity.VerdictUndecided {
			t.Errorf("%+v decides %v, %v", c.rule, v, err)
		}
		if _, ok := c.rule.Acceptance(limits, 0.1); ok {
			t.Errorf("%+v accepts", c.rule)
		}
	}
	one := uncertainty.Interval{Lower: math.Inf(-1), Upper: 1}
	for name, rule := range rulesOfKinds() {
		_, err := rule.Decide(one, budget(t, 0, 0.1))
		if want := name == "root difference" || name == "global"; want != errors.Is(err, conformity.ErrInterval) {
			t.Errorf("%s, one limit: %v", name, err)
		}
	}
	var k conformity.RuleKind
	if err := k.UnmarshalText([]byte("majority vote")); !errors.Is(err, unit.ErrUnknown) ||
		!strings.Contains(err.Error(), "majority vote") ||
		!strings.Contains(err.Error(), "root difference") {
		t.Errorf("an unknown rule: %v", err)
	}
}

func TestKindText(t *testing.T) {
	for want, rule := range map[string]conformity.Rule{
		"acceptance up to √(T² − U²), U at 95 %": conformity.ByRootDifference(),
		"specific risk at most 2.5 %, U at 95 %": conformity.BySpecificRisk(0.025),
		"global consumer's risk at most 0.2 %, prior of mean 0 and standard deviation 0.5 in units of the limits, U at 95 %": conformity.ByGlobalRisk(0.002, priorOfTwo),
	} {
		if rule.String() != want {
			t.Errorf("%v; want %s", rule, want)
		}
	}
	for k := range conformity.RuleGlobalRisk + 1 {
		text, err := json.Marshal(k)
		var back conformity.RuleKind
		if err != nil || json.Unmarshal(text, &back) != nil || back != k {
			t.Errorf("%v is written %s and reads back as %v", k, text, back)
		}
	}
}

// With the U of a result, an estimate is decided as the result is; what is no number or asks
// for a distribution is refused.
func TestDecideExpandedAgainstDecide(t *testing.T) {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	laws := []uncertainty.Distribution{uncertainty.Normal(0, 0.2), uncertainty.Rectangular(0, 0.4),
		uncertainty.Normal(0, 3)}
	for _, rule := range []conformity.Rule{conformity.Simple(), conformity.Guarded(1),
		{Kind: conformity.RuleRootDifference}, {Multiple: 1, Smallest: 0.5}} {
		for _, law := range laws {
			for _, y := range []float64{0, 0.3, 0.61, 0.65, 0.95, 1, 1.2, 1.39, 1.45, -1.5, -9} {
				b := budgetOf(t, y, law)
				e, err := rule.Expanded(b)
				if err != nil {
					t.Fatal(err)
				}
				want, err := rule.Decide(limits, b)
				if err != nil {
					t.Fatal(err)
				}
				if got, err := rule.DecideExpanded(limits, y, e.U); err != nil || got != want {
					t.Errorf("%v, %v, U = %v: %v, %v; want %v", rule, y, e.U, got, err, want)
				}
			}
		}
	}
	for _, c := range []struct {
		rule   conformity.Rule
		limits uncertainty.Interval
		y, U   float64
		want   error
	}{
		{conformity.Rule{Kind: conformity.RuleSpecificRisk, Risk: 0.025}, limits, 0, 1, conformity.ErrDomain},
		{conformity.Simple(), limits, math.NaN(), 1, conformity.ErrNotFinite},
		{conformity.Simple(), limits, 0, math.Inf(1), conformity.ErrNotFinite},
		{conformity.Simple(), limits, 0, -1, conformity.ErrDomain},
		{conformity.Simple(), uncertainty.Interval{Lower: 1, Upper: -1}, 0, 1, conformity.ErrInterval},
		{conformity.Rule{Kind: 99}, limits, 0, 1, conformity.ErrDomain},
	} {
		if _, err := c.rule.DecideExpanded(c.limits, c.y, c.U); !errors.Is(err, c.want) {
			t.Errorf("%v, limits %v, %v, U = %v: %v; want %v", c.rule, c.limits, c.y, c.U, err, c.want)
		}
	}
}

func budgetOf(t *testing.T, y float64, law uncertainty.Distribution) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(uncertainty.Exact(y).Add(uncertainty.Input("error", law)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}
