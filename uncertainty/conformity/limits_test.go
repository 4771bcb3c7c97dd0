// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// The limits of a box are printed in milliohms, the result is in ohms.
func ExampleLimitsIn() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(0.1002, 0.0001)}.Input()
	b, err := uncertainty.Evaluate(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	limits, err := conformity.LimitsIn(uncertainty.Interval{Lower: 99, Upper: 101}, "mΩ", b)
	if err != nil {
		fmt.Println(err)
		return
	}
	verdict, err := conformity.Guarded(1).Decide(limits, b)
	fmt.Println(limits, verdict, err)
	// Output:
	// [0.099, 0.101] Ω conforms <nil>
}

// The factors between the units are those of the SI prefixes; limits are never compared with a
// result of another unit as numbers.
func TestLimitsIn(t *testing.T) {
	result := func(symbol string) *uncertainty.Budget {
		b, err := uncertainty.Evaluate(uncertainty.Source{Name: "x", Unit: symbol,
			Distribution: uncertainty.Normal(1, 0.1)}.Input())
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	inf := math.Inf(1)
	for _, c := range []struct {
		symbol, of string
		in, want   uncertainty.Interval
	}{
		{"mΩ", "Ω", uncertainty.Interval{Lower: 99, Upper: 101}, uncertainty.Interval{Lower: 0.099, Upper: 0.101}},
		{"Ω", "kΩ", uncertainty.Interval{Lower: -inf, Upper: 12.1}, uncertainty.Interval{Lower: -inf, Upper: 0.0121}},
		{"ohm", "Ω", uncertainty.Interval{Lower: 99, Upper: 101}, uncertainty.Interval{Lower: 99, Upper: 101}},
		{"°C", "°C", uncertainty.Interval{Lower: 22, Upper: 24}, uncertainty.Interval{Lower: 22, Upper: 24}},
		{"shade", "shade", uncertainty.Interval{Lower: 2, Upper: 3}, uncertainty.Interval{Lower: 2, Upper: 3}},
	} {
		c.want.Unit = c.of
		if got, err := conformity.LimitsIn(c.in, c.symbol, result(c.of)); err != nil || got != c.want {
			t.Errorf("%v %s in %s: %v, error %v; want %v", c.in, c.symbol, c.of, got, err, c.want)
		}
	}
	for _, c := range [][2]string{{"V", "Ω"}, {"°C", "K"}, {"K", "°C"}, {"shade", "Ω"},
		{"Ω", "shade"}, {"", "Ω"}, {"Ω", ""}} {
		got, err := conformity.LimitsIn(uncertainty.Interval{Lower: 1, Upper: 2}, c[0], result(c[1]))
		if !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("limits in %q of a result in %q: %v, error %v", c[0], c[1], got, err)
		}
	}
	if _, err := conformity.LimitsIn(uncertainty.Interval{Lower: 2, Upper: 1}, "mΩ", result("Ω")); err == nil {
		t.Error("limits the wrong way round: no error")
	}
	if _, err := conformity.LimitsIn(uncertainty.Interval{Lower: 1, Upper: 2}, "mΩ",
		nil); !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("no budget: %v", err)
	}
}

// Limits that state their unit are brought to that of the result, or refused, wherever a result or
// its distribution meets them.
func TestLimitsThatStateTheirUnit(t *testing.T) {
	q := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(0.1, 0.0001)}.Input()
	b := must(uncertainty.Evaluate(q))(t)
	limits := func(symbol string) uncertainty.Interval {
		return uncertainty.Interval{Lower: 99, Upper: 101, Unit: symbol}
	}
	s := must(uncertainty.MonteCarlo{Trials: 20_000, Twin: uncertainty.TwinOff}.Run(t.Context(), q))(t)
	few := must(uncertainty.Evaluate(uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(0.1, 0.0001), DOF: 5}.Input()))(t)
	known := must(conformity.FromBudget(b))(t)
	student := must(conformity.FromBudget(few))(t)
	trials := must(conformity.FromOutput(&s.Outputs[0]))(t)
	m := must(uncertainty.EvaluateAll(q, q.Scale(2)))(t)
	free := uncertainty.Interval{Lower: 0, Upper: 1}
	ways := map[string]func(i uncertainty.Interval) (bool, error){
		"Decide": func(i uncertainty.Interval) (bool, error) {
			v, err := conformity.Guarded(1).Decide(i, b)
			return v == conformity.VerdictConforms, err
		},
		"Statement": func(i uncertainty.Interval) (bool, error) {
			v, err := conformity.Guarded(4).Statement(i, b)
			return v == conformity.StatementPass, err
		},
		"conditional Statement": func(i uncertainty.Interval) (bool, error) {
			v, err := conformity.Guarded(6).Statement(i, b)
			return v == conformity.StatementConditionalPass, err
		},
		"Jointly": func(i uncertainty.Interval) (bool, error) {
			p, err := conformity.Jointly([]uncertainty.Interval{i, free}, m)
			return p.Conforming > 0.99, err
		},
		"JointlySimulated": func(i uncertainty.Interval) (bool, error) {
			p, err := conformity.JointlySimulated(t.Context(), uncertainty.MonteCarlo{Trials: 20_000}, []uncertainty.Interval{i, free}, q, q.Scale(2))
			return p.Conforming > 0.99, err
		},
		"GlobalRisk": func(i uncertainty.Interval) (bool, error) {
			g, err := conformity.GlobalRisk(uncertainty.Interval{Lower: 0.099, Upper: 0.101, Unit: "Ω"}, i, uncertainty.Normal(0.1, 0.0001), 0.0001)
			return g.Producer < 0.01, err
		},
	}
	for name, d := range map[string]conformity.CDF{"known": known, "student": student, "trials": trials, "output": &s.Outputs[0]} {
		ways["Probability, "+name] = func(i uncertainty.Interval) (bool, error) {
			p, err := conformity.Probability(i, d)
			return p > 0.99, err
		}
	}
	for name, way := range ways {
		if ok, err := way(limits("mΩ")); !ok || err != nil {
			t.Errorf("%s: 100 mΩ inside 99 mΩ to 101 mΩ: %v, error %v; want true", name, ok, err)
		}
		for _, wrong := range []string{"mV", "shade", "°C"} {
			if ok, err := way(limits(wrong)); !errors.Is(err, uncertainty.ErrUnitMismatch) {
				t.Errorf("%s: limits in %s for a result in Ω: %v, error %v; want ErrUnitMismatch", name, wrong, ok, err)
			}
		}
		if ok, err := way(uncertainty.Interval{Lower: 0.099, Upper: 0.101}); !ok || err != nil {
			t.Errorf("%s: limits without a unit: %v, error %v; want true", name, ok, err)
		}
	}
	// What is made of limits keeps their unit, and LimitsIn does not overrule it.
	if a, ok := conformity.Guarded(1).Acceptance(limits("mΩ"), 0.5); !ok || a.Unit != "mΩ" {
		t.Errorf("acceptance %v, %v; want [99.5, 100.5] mΩ", a, ok)
	}
	if g, err := conformity.RootDifference(limits("mΩ"), 0.5); err != nil || g.Acceptance.Unit != "mΩ" {
		t.Errorf("root difference %v, error %v; want mΩ", g, err)
	}
	if i, err := conformity.LimitsIn(limits("mΩ"), "Ω", b); !errors.Is(err, uncertainty.ErrUnitMismatch) {
		t.Errorf("limits in mΩ taken as Ω: %v, error %v", i, err)
	}
	if i, err := conformity.LimitsIn(limits("mΩ"), "mΩ", b); err != nil || i.Unit != "Ω" || i.Lower != 0.099 {
		t.Errorf("LimitsIn: %v, error %v; want [0.099, 0.101] Ω", i, err)
	}
}

// must returns the result of a call that has to succeed.
func must[T any](v T, err error) func(t testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
