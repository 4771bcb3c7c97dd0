// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

func spooled(spool string) decade.Spec {
	law := thermal.NewLaw(20, 8e-6, -0.5e-6)
	dial := func(step float64) decade.Decade {
		return decade.Decade{Step: step, Tolerance: 1e-4, Law: law, AlphaTolerance: 5e-6,
			BetaTolerance: 0.1e-6, Spool: spool}
	}
	return decade.Spec{Name: "b", Decades: []decade.Decade{dial(1000), dial(100)}}
}

// correlationOf is that of full dials ×1k and ×100 in a quantity of a setting.
func correlationOf(t *testing.T, s decade.Spec, of func(decade.Setting) uncertainty.Quantity) float64 {
	t.Helper()
	b, err := decade.New(s)
	if err != nil {
		t.Fatal(err)
	}
	x, _ := b.At(10, 0)
	y, _ := b.At(0, 10)
	all, err := uncertainty.EvaluateAll(of(x), of(y))
	if err != nil {
		t.Fatal(err)
	}
	r, err := all.Correlation(0, 1)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Dials of one spool go with temperature together, those of two do not; what a ratio of them
// keeps is nothing.
func TestSpoolIsOneSource(t *testing.T) {
	warm := uncertainty.Input("temperature", uncertainty.Rectangular(30, 0.001))
	at30 := func(s decade.Setting) uncertainty.Quantity { return s.TemperatureChangeOf(warm) }
	if r := correlationOf(t, spooled("A"), at30); r < 0.9999 {
		t.Errorf("one spool: correlation %v, want 1", r)
	}
	if r := correlationOf(t, spooled(""), at30); math.Abs(r) > 0.01 {
		t.Errorf("a spool each: correlation %v, want 0", r)
	}
	b, err := decade.New(spooled("A"))
	if err != nil {
		t.Fatal(err)
	}
	x, _ := b.At(10, 0)
	// By hand: α in 10 K, β in 10² K².
	want := math.Hypot(1e4*5e-6*10, 1e4*0.1e-6*100) / math.Sqrt(3)
	budget, err := uncertainty.Evaluate(x.TemperatureChangeOf(uncertainty.Exact(30)))
	if err != nil || math.Abs(budget.StandardUncertainty-want) > 1e-12 {
		t.Errorf("u %v, %v; want %v", budget.StandardUncertainty, err, want)
	}
}

// The batch part of a tolerance is common to the dials; each dial keeps its whole.
func TestBatchTolerance(t *testing.T) {
	s := spooled("A")
	for i := range s.Decades {
		s.Decades[i].BatchTolerance = 0.8e-4
	}
	resistance := decade.Setting.Resistance
	if r := correlationOf(t, s, resistance); math.Abs(r-0.64) > 1e-12 {
		t.Errorf("correlation %v, want 0.8² = 0.64", r)
	}
	if r := correlationOf(t, spooled("A"), resistance); r != 0 {
		t.Errorf("without a batch part: correlation %v, want 0", r)
	}
	b, err := decade.New(s)
	if err != nil {
		t.Fatal(err)
	}
	x, _ := b.At(10, 0)
	budget, err := uncertainty.Evaluate(x.Resistance())
	if want := 1. / math.Sqrt(3); err != nil || math.Abs(budget.StandardUncertainty-want) > 1e-12 {
		t.Errorf("u %v, %v; want %v", budget.StandardUncertainty, err, want)
	}
	text, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	back, err := decade.ReadBox(strings.NewReader(string(text)))
	if err != nil || back.Spec().Decades[1].Spool != "A" ||
		back.Spec().Decades[1].BatchTolerance != 0.8e-4 ||
		back.Spec().Decades[1].BetaTolerance != 0.1e-6 {
		t.Errorf("%v\n%s", err, text)
	}
}

func TestSpoolRefuses(t *testing.T) {
	for name, change := range map[string]func(d []decade.Decade){
		"another law":            func(d []decade.Decade) { d[1].Law = thermal.NewLaw(20, 9e-6, -0.5e-6) },
		"another tolerance":      func(d []decade.Decade) { d[1].AlphaTolerance = 1e-6 },
		"another batch":          func(d []decade.Decade) { d[1].BatchTolerance = 1e-5 },
		"batch above tolerance":  func(d []decade.Decade) { d[0].BatchTolerance = 2e-4 },
		"batch without a spool":  func(d []decade.Decade) { d[0].Spool, d[0].BatchTolerance = "", 1e-5 },
		"negative beta":          func(d []decade.Decade) { d[0].BetaTolerance = -1 },
		"batch of box tolerance": func(d []decade.Decade) { d[0].Spread, d[0].BatchTolerance = decade.LevelBox, 1e-5 },
	} {
		s := spooled("A")
		change(s.Decades)
		if _, err := decade.New(s); !errors.Is(err, decade.ErrDomain) {
			t.Errorf("%s: %v, want ErrDomain", name, err)
		}
	}
	s := spooled("A")
	s.Decades[1].Law = thermal.NewLaw(20, 9e-6, -0.5e-6)
	if _, err := decade.New(s); err == nil || !strings.Contains(err.Error(), `"A"`) ||
		!strings.Contains(err.Error(), "expected the same") {
		t.Errorf("a spool with two laws: %v", err)
	}
}

// The sources of a dial have other names than those of a dial that is named nearly so: with one
// name and a serial number they would be one error, and add up instead of in quadrature.
func TestSourcesOfLikeNames(t *testing.T) {
	b := box(t, decade.Spec{Serial: "S-9", ReferenceTemperature: new(20.0), Decades: []decade.Decade{
		{Name: "A", Step: 100, BetaTolerance: 1e-7},
		{Name: "A quadratic", Step: 200, AlphaTolerance: 1e-6},
	}})
	change := func(p ...int) float64 {
		budget, err := uncertainty.Evaluate(at(t, b, p...).TemperatureChangeOf(uncertainty.Exact(30)))
		if err != nil {
			t.Fatal(err)
		}
		return budget.StandardUncertainty
	}
	if got, want := change(1, 1), math.Hypot(change(1, 0), change(0, 1)); math.Abs(got-want) > 1e-12*want {
		t.Errorf("both dials: u = %v Ω; want %v Ω, in quadrature", got, want)
	}
}
