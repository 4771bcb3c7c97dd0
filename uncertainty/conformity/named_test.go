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

// The multiples of U that go with the names.
func TestPublishedNamedRules(t *testing.T) {
	printed := map[string]string{"6 sigma": "3", "3 sigma": "1.5", "ILAC G8:2009": "1",
		"ISO 14253-1:2017": "0.83", "simple acceptance": "0", "uncritical": "-1"}
	for name, rule := range conformity.NamedRules() {
		acceptance, ok := rule.Acceptance(interval(nothing, 10), 1)
		if !ok {
			t.Errorf("%s accepts nothing", name)
		}
		uncertaintytest.Published{
			Name: "guard band over U, " +
				name, Source: "ILAC-G8:09/2019", Place: "table 1", Printed: printed[name],
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, 10-acceptance.Upper)
		same, err := conformity.RuleNamed(" " + strings.ToUpper(name))
		if err != nil || same != rule {
			t.Errorf("%q gives %v, %v", name, same, err)
		}
		delete(printed, name)
		if len(printed) == 2 {
			break // the sequence may be left
		}
	}
	if _, err := conformity.RuleNamed("simple aceptance"); !errors.Is(err, unit.ErrUnknown) ||
		!strings.Contains(err.Error(), `did you mean "simple acceptance"`) {
		t.Errorf("%v", err)
	}
	if _, err := conformity.RuleNamed("no such rule"); !errors.Is(err, unit.ErrUnknown) ||
		!strings.Contains(err.Error(), "uncritical") {
		t.Errorf("%v", err)
	}
}

func TestGuardedRejection(t *testing.T) {
	rule := conformity.GuardedRejection(1)
	tolerance := interval(9, 11)
	U := 1.959963984540054 * 0.1
	for y, want := range map[float64]conformity.Verdict{
		10: conformity.VerdictConforms, 11 + U*0.999: conformity.VerdictConforms, 11 +
			U*1.001: conformity.VerdictDoesNotConform,
		9 - U*0.999: conformity.VerdictConforms, 9 - U*1.001: conformity.VerdictDoesNotConform,
	} {
		v, err := rule.Decide(tolerance, budget(t, y, 0.1))
		if err != nil || v != want {
			t.Errorf("y = %v: %v, %v; want %v", y, v, err, want)
		}
		s, err := rule.Statement(tolerance, budget(t, y, 0.1))
		if err != nil ||
			(s == conformity.StatementPass) != (want == conformity.VerdictConforms) ||
			s == conformity.StatementConditionalFail {
			t.Errorf("y = %v: %v, %v", y, s, err)
		}
	}
	// The smallest tolerance is the one at which the verdict turns.
	small, err := rule.SmallestTolerance(budget(t, 0.5, 0.1))
	if err != nil || math.Abs(small-(0.5-U)) > 1e-12 {
		t.Errorf("smallest tolerance %v, %v; want %v", small, err, 0.5-U)
	}
	if small, err = rule.SmallestTolerance(budget(t, 0.1, 0.1)); err != nil || small != 0 {
		t.Errorf("smallest tolerance of a result that is 0 within U: %v, %v", small, err)
	}
	// A rectangle: certain bounds reject what k·u would let pass.
	flat, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.Rectangular(11.1, 0.1)))
	if err != nil {
		t.Fatal(err)
	}
	if v, err := rule.Decide(tolerance, flat); err != nil || v != conformity.VerdictDoesNotConform {
		t.Errorf("95 %% of a rectangle outside: %v, %v", v, err)
	}
	if s := rule.String(); !strings.Contains(s, "guarded rejection") ||
		!strings.Contains(s, "1·U beyond") {
		t.Errorf("rule reads %q", s)
	}
	text, err := json.Marshal(conformity.RuleGuardedRejection)
	if err != nil || string(text) != `"guarded rejection"` {
		t.Errorf("%s, %v", text, err)
	}
	for _, bad := range []conformity.Rule{
		conformity.GuardedRejection(-1), conformity.GuardedRejection(math.NaN()), {Kind: conformity.RuleGuardedRejection, Risk: 0.1},
		{Kind: conformity.RuleGuardedRejection + 1},
	} {
		if err := bad.Check(); err == nil {
			t.Errorf("%+v is a rule", bad)
		}
	}
}

func TestGuardForRejection(t *testing.T) {
	g, err := conformity.GuardForRejection(interval(9, 11), 0.1, math.Inf(1), 0.95)
	if err != nil || math.Abs(g.Width+0.16448536269514722) > 1e-12 {
		t.Fatalf("%+v, %v", g, err)
	}
	// An item measured at its edge is outside with that probability.
	if p := specificRisk(t, interval(9, 11), known(t, g.Acceptance.Upper,
		0.1)); math.Abs(p-0.95) > 1e-12 {
		t.Errorf("risk at the edge %v", p)
	}
	for _, c := range []struct {
		tolerance uncertainty.Interval
		u, dof, p float64
		want      error
	}{
		{interval(1, 0), 1, 1, 0.9, conformity.ErrInterval}, {interval(0, 1), -1, 1, 0.9,
			conformity.ErrDomain},
		{interval(0, 1), 1, 0, 0.9, conformity.ErrDomain}, {interval(0, 1), 1, 1, 0.4,
			conformity.ErrDomain},
	} {
		if _, err := conformity.GuardForRejection(c.tolerance, c.u, c.dof, c.p); !errors.Is(err,
			c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}
