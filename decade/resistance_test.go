// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// The statistical combination of rectangles, one for each dial, dials independent.
func TestPublishedUncertainty(t *testing.T) {
	spec := bench()
	spec.ResidualTolerance = 0
	b := evaluate(t, at(t, box(t, spec), 1, 2, 3, 4, 5).Resistance())
	row := func(name, place, printed string) uncertaintytest.Published {
		return uncertaintytest.Published{Name: name, Source: computed, Place: place,
			Printed: printed, Provenance: uncertaintytest.CommonPractice}
	}
	row("classes 0.1, 0.5 and 5 %", "1234.5 Ω", "0.5893").Run(t, b.StandardUncertainty)
	row("estimate with the residual", "1234.5 Ω", "1234.52").Run(t, b.Estimate)

	// Two equal resistors of 0.01 % in parallel: the trade claims 0.01 %/√2 for
	// independent ones, and the worst case stays 0.01 %. The same holds for two in
	// series, which a decade makes.
	each := decade.Spec{Decades: []decade.Decade{{Step: 200e3, Positions: 2, Tolerance: 0.0001,
		Spread: decade.LevelElement}}}
	s := at(t, box(t, each), 2)
	relative := evaluate(t, s.Resistance()).StandardUncertainty * math.Sqrt(3) / s.Nominal() * 100
	two := uncertaintytest.Published{
		Name:   "two independent resistors of 0.01 %",
		Source: "metrology forum, two 200 kΩ resistors", Place: "claim in per cent",
		Printed: "0.007", Provenance: uncertaintytest.Seen,
	}
	two.Run(t, relative)
	two.Name, two.Place, two.Printed = "two resistors of 0.01 %, worst case", "worst case in per cent", "0.01"
	two.Run(t, 100*s.ClassLimit()/s.Nominal())
}

// u is the standard uncertainty of a setting.
func u(t *testing.T, s decade.Setting) float64 {
	t.Helper()
	return evaluate(t, s.Resistance()).StandardUncertainty
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*math.Abs(want)) {
		t.Errorf("%s: %v; want %v", what, got, want)
	}
}

// The levels of a tolerance against their closed forms.
func TestSpread(t *testing.T) {
	root3 := math.Sqrt(3)
	two := func(l decade.Level, c decade.Code) *decade.Box {
		return box(t, decade.Spec{Decades: []decade.Decade{{Step: 100, Tolerance: 0.001, Spread: l,
			Code: c}, {Step: 10, Tolerance: 0.002, Spread: l}}})
	}
	near(t, "per decade", u(t, at(t, two(decade.LevelDecade, decade.Code{}), 9, 4)), math.Hypot(0.9, 0.08)/root3)
	near(t, "per box", u(t, at(t, two(decade.LevelBox, decade.Code{}), 9, 4)), (0.9+0.08)/root3)
	near(t, "per element, ladder", u(t, at(t, two(decade.LevelElement, decade.Code{}), 9, 4)),
		math.Sqrt(9*0.01+4*0.0004)/root3)
	near(t, "per element, 1-2-2-5", u(t, at(t, two(decade.LevelElement, decade.Code1225()), 8, 0)),
		math.Sqrt(0.01+0.04+0.25)/root3)
	near(t, "whole box", u(t,
		at(t, box(t, decade.Spec{Tolerance: 0.001, Floor: 0.5, Decades: steps(0, 100, 10)}), 9, 4)),
		math.Hypot(0.94, 0.5)/root3)
	floors := decade.Spec{Decades: []decade.Decade{{Step: 100, Floor: 0.3}, {Step: 10, Floor: 0.4}}}
	near(t, "floors", u(t, at(t, box(t, floors), 1, 1)), 0.5/root3)
	near(t, "floor of a dial at zero", u(t, at(t, box(t, floors), 1, 0)), 0.3/root3)
}

// The worst case bounds what every source can do together, at every setting: it is the
// sum of the half-widths, √3·|c|·u.
func TestLimitsAreTheSumOfTheBudget(t *testing.T) {
	spec := bench()
	spec.Tolerance, spec.Floor = 0.0001, 0.002
	spec.Decades[0].Spread, spec.Decades[1].Spread, spec.Decades[2].Spread = decade.LevelElement,
		decade.LevelBox, decade.LevelBox
	spec.Decades[2].Code, spec.Decades[2].Positions = decade.Code1225(), 0
	spec.Decades[3].Floor = 0.001
	for _, included := range []bool{false, true} {
		spec.ResidualIncluded = included
		b := box(t, spec)
		for _, p := range [][]int{{0, 0, 0, 0, 0}, {1, 2, 3, 4, 5}, {0, 0, 7, 0, 1}, {10, 10, 10, 10, 10}} {
			s := at(t, b, p...)
			budget := evaluate(t, s.Resistance())
			half := 0.0
			for _, c := range budget.Components {
				half += math.Sqrt(3) * math.Abs(c.Contribution)
			}
			l := s.Limits()
			if math.Abs(budget.Estimate-half-l.Lower) > 1e-9 || math.Abs(budget.Estimate+half-l.Upper) > 1e-9 {
				t.Errorf("%v, included %v: %v ± %v; limits %v", s, included, budget.Estimate, half, l)
			}
			if math.Abs(budget.Estimate-s.Value()) > 1e-11 ||
				budget.Unit != "Ω" && len(budget.Components) > 0 && s.AllZero() {
				t.Errorf("%v: estimate %v %q; want value %v", s, budget.Estimate, budget.Unit, s.Value())
			}
		}
	}
}

// Settings of one box share their sources; contacts are drawn for each position.
func TestResistanceShares(t *testing.T) {
	b := box(t, bench())
	s := at(t, b, 1, 2, 3, 4, 5)
	near(t, "the same setting twice", 1+u0(t, s.Resistance().Sub(at(t, b, 1, 2, 3, 4, 5).Resistance())), 1)
	near(t, "one dial apart", u0(t, s.Resistance().Sub(at(t, b, 1, 2, 3, 4, 0).Resistance())), 0.5*0.05/math.Sqrt(3))
	other := box(t, decade.Spec{Serial: "x", Decades: steps(0.001, 10)})
	same := box(t, decade.Spec{Serial: "x", Decades: steps(0.001, 10)})
	near(t, "two readings of one file", 1+u0(t, at(t, other, 5).Resistance().Sub(at(t, same, 5).Resistance())), 1)
}

func u0(t *testing.T, q uncertainty.Quantity) float64 {
	t.Helper()
	return evaluate(t, q).StandardUncertainty
}

func TestContactVariation(t *testing.T) {
	b := box(t, school())
	s := at(t, b, 1, 0, 3, 0, 0)
	budget := evaluate(t, s.Resistance())
	var names []string
	for _, c := range budget.Components {
		if strings.Contains(c.Name, "contact") {
			names = append(names, c.Name)
			near(t, c.Name, math.Abs(c.Contribution), 0.001)
		}
	}
	want := "×1 kΩ contact at 1, ×10 Ω contact at 3, ×1 Ω contact at 0, ×0.1 Ω contact at 0"
	if got := strings.Join(names, ", "); got != want {
		t.Errorf("contacts %s; want %s", got, want)
	}
	coded := box(t, decade.Spec{Contact: 0.001, Decades: []decade.Decade{{Step: 1, Code: decade.Code1225()}}})
	for p, want := range map[int]float64{0: 0.002, 3: 0.001 * math.Sqrt(2), 10: 0} {
		got := u(t, at(t, coded, p))
		if math.Abs(got-want) > 1e-15 {
			t.Errorf("1-2-2-5 at %d: u %v; want %v", p, got, want)
		}
	}
}

// A box of which nothing is stated has exact resistances and no empty lines in its budget.
func TestNothingStated(t *testing.T) {
	budget := evaluate(t, at(t, box(t, decade.Spec{Decades: steps(0, 10, 1)}), 3, 4).Resistance())
	if budget.Estimate != 34 || budget.StandardUncertainty != 0 || len(budget.Components) != 0 {
		t.Errorf("%v, u %v, %d components; want 34, none", budget.Estimate,
			budget.StandardUncertainty, len(budget.Components))
	}
}
