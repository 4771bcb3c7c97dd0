// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func box(t testing.TB, s decade.Spec) *decade.Box {
	t.Helper()
	b, err := decade.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func at(t testing.TB, b *decade.Box, positions ...int) decade.Setting {
	t.Helper()
	s, err := b.At(positions...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func predicted(t testing.TB, s decade.Setting, faults ...Fault) float64 {
	t.Helper()
	v, err := Predict(s, faults...)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// computed is a value computed by hand from the rules of common practice that the
// package is built on, with the digits that were kept.
func computed(name, place, printed string) uncertaintytest.Published {
	return uncertaintytest.Published{Name: name, Source: "common practice, computed by hand", Place: place, Printed: printed, Provenance: uncertaintytest.CommonPractice}
}

func TestPublishedTouchInsideADial(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100}}})
	touch := Fault{Kind: KindBridge, A: Place{PartTap, 0, 3}, B: Place{PartTap, 0, 6}}
	for p, printed := range []string{"0", "100", "200", "300", "366.667", "366.667", "300", "400", "500", "600", "700"} {
		if p == 0 {
			continue // nothing to compare to half a digit of 0
		}
		x := computed(fmt.Sprintf("×100 dial, taps 3 and 6 touch, position %d", p), "example 18", printed)
		v := predicted(t, at(t, b, p), touch)
		x.Run(t, math.Round(v*1e4)/1e4) // the touch is 1 µΩ here, 0 there
	}
}

func TestPublishedTouchBetweenDials(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100}, {Step: 10}}})
	touch := Fault{Kind: KindDialBridge, A: Place{PartTap, 0, 4}, B: Place{PartTap, 1, 6}}
	for _, x := range []struct {
		a, b    int
		printed string
	}{{4, 6, "-60"}, {6, 6, "-260"}, {6, 0, "-153.8"}, {0, 3, "-2.0"}} {
		s := at(t, b, x.a, x.b)
		computed(fmt.Sprintf("tap 4 of ×100 and tap 6 of ×10 touch at (%d, %d)", x.a, x.b), "example 30", x.printed).Run(t, predicted(t, s, touch)-s.Nominal())
	}
}

func TestPublishedShortedWeight(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1000, Code: decade.Code1225()}}})
	short := Fault{Kind: KindShorted, A: Place{PartElement, 0, 3}} // the 2 that is not used at 2
	for p := 1; p <= 10; p++ {
		printed := "0"
		if p == 4 || p == 9 || p == 10 {
			printed = "2000"
		}
		s := at(t, b, p)
		computed(fmt.Sprintf("1-2-2-5 dial, second 2 shorted, position %d, nominal − reading", p), "example 29", printed).Run(t, s.Nominal()-predicted(t, s, short))
	}
}

// The signatures of the table of faults of a ladder, e(p) for r = 10 Ω, as formulas: common
// practice.
func TestSignatures(t *testing.T) {
	const r, n = 10.0, 10
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: r, Positions: n}}})
	inf := math.Inf(1)
	step := func(j int, v float64) func(int) float64 {
		return func(p int) float64 {
			if p >= j {
				return v
			}
			return 0
		}
	}
	only := func(j int, v float64) func(int) float64 {
		return func(p int) float64 {
			if p == j {
				return v
			}
			return 0
		}
	}
	bridge := func(a, c int, rb float64) func(int) float64 {
		return func(p int) float64 {
			x := r * float64(min(max(p-a, 0), c-a))
			return -x * x / (r*float64(c-a) + rb)
		}
	}
	whole := Place{PartDial, 0, 0}
	for _, x := range []struct {
		name string
		f    Fault
		e    func(p int) float64
	}{
		{"step 4 shorted", Fault{Kind: KindShorted, A: Place{PartElement, 0, 4}}, step(4, -r)},
		{"step 4 open", Fault{Kind: KindOpenElement, A: Place{PartElement, 0, 4}}, step(4, inf)},
		{"step 4 drifted", Fault{Kind: KindDrift, A: Place{PartElement, 0, 4}, Value: 0.3}, step(4, 0.3)},
		{"step 4 unsteady", Fault{Kind: KindUnsteady, A: Place{PartElement, 0, 4}, Value: 0.3}, step(4, 0.3)},
		{"wrong part", Fault{Kind: KindWrongPart, A: Place{PartElement, 0, 4}, Value: 11}, step(4, 1)},
		{"overloaded at 6", Fault{Kind: KindOverloaded, A: Place{PartElement, 0, 1}, B: Place{PartElement, 0, 6}, Value: 0.02}, func(p int) float64 { return 0.02 * r * float64(min(p, 6)) }},
		{"dial off", Fault{Kind: KindDialDrift, A: whole, Value: 0.01}, func(p int) float64 { return 0.01 * r * float64(p) }},
		{"box off", Fault{Kind: KindBoxDrift, Value: 0.01}, func(p int) float64 { return 0.01 * r * float64(p) }},
		{"series", Fault{Kind: KindSeries, A: Place{PartTerminal, 0, 1}, Value: 2}, step(0, 2)},
		{"wiper", Fault{Kind: KindSeries, A: Place{PartWiper, 0, 0}, Value: 2}, step(0, 2)},
		{"open link", Fault{Kind: KindOpenPath, A: Place{PartLink, 0, 1}}, step(0, inf)},
		{"taps 4 and 5 exchanged", Fault{Kind: KindTapsExchanged, A: Place{PartPosition, 0, 4}, B: Place{PartPosition, 0, 5}}, func(p int) float64 { return only(4, r)(p) + only(5, -r)(p) }},
		{"slipped by 2", Fault{Kind: KindSlip, A: whole, Value: 2}, func(p int) float64 {
			if p > n-2 {
				return inf
			}
			return 2 * r
		}},
		{"slipped by −1, turns round", Fault{Kind: KindSlip, A: whole, Wraps: true, Value: -1}, func(p int) float64 {
			if p == 0 {
				return n * r
			}
			return -r
		}},
		{"wiper bridges 3 and 4", Fault{Kind: KindOverlap, A: Place{PartPosition, 0, 4}}, only(4, -r)},
		{"dirty contact at 4", Fault{Kind: KindContact, A: Place{PartPosition, 0, 4}, Value: 5}, only(4, 5)},
		{"no contact at 4", Fault{Kind: KindOpenContact, A: Place{PartPosition, 0, 4}}, only(4, inf)},
		{"taps 3 and 7 touch", Fault{Kind: KindBridge, A: Place{PartTap, 0, 3}, B: Place{PartTap, 0, 7}}, bridge(3, 7, 0)},
		{"120 Ω between taps 3 and 7", Fault{Kind: KindBridge, A: Place{PartTap, 0, 3}, B: Place{PartTap, 0, 7}, Value: 120}, bridge(3, 7, 120)},
		{"1 kΩ across element 4", Fault{Kind: KindElementLeak, A: Place{PartElement, 0, 4}, Value: 1000}, bridge(3, 4, 1000)},
		{"100 kΩ across the dial", Fault{Kind: KindDialLeak, A: whole, Value: 1e5}, bridge(0, n, 1e5)},
	} {
		for p := range n + 1 {
			s := at(t, b, p)
			got, want := predicted(t, s, x.f)-s.Nominal(), x.e(p)
			if math.IsInf(want, 1) != math.IsInf(got, 1) || !math.IsInf(want, 1) && math.Abs(got-want) > 1e-3 {
				t.Errorf("%s at %d: %+.6g, want %+.6g", x.name, p, got, want)
			}
		}
	}
}

// Leakage across the terminals takes R²/(R + Rl): 1 MΩ beside 10 GΩ loses 99.99 ppm.
func TestPublishedLeakage(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1e6}}})
	leak := Fault{Kind: KindTerminalLeak, Value: 1e10}
	for _, x := range []struct {
		p       int
		printed string
	}{{1, "-99.99"}, {10, "-999.0"}} {
		s := at(t, b, x.p)
		computed(fmt.Sprintf("%d MΩ beside a leak of 10 GΩ, in ppm", x.p), "example 17", x.printed).Run(t, 1e6*(predicted(t, s, leak)/s.Nominal()-1))
	}
}

// Elements of two dials exchanged: the sum of both dials at full scale does not change.
func TestExchangedElements(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100}, {Step: 10}}})
	f := Fault{Kind: KindElementsExchanged, A: Place{PartElement, 0, 4}, B: Place{PartElement, 1, 7}}
	for _, x := range []struct {
		a, b int
		e    float64
	}{{3, 0, 0}, {4, 0, -90}, {10, 0, -90}, {0, 6, 0}, {0, 7, 90}, {10, 10, 0}} {
		s := at(t, b, x.a, x.b)
		if got := predicted(t, s, f) - s.Nominal(); math.Abs(got-x.e) > 1e-6 {
			t.Errorf("at (%d, %d): %v, want %v", x.a, x.b, got, x.e)
		}
	}
}

// Which end of a ladder joins the next dial changes a bridge between dials, and nothing
// else.
func TestWiperFirst(t *testing.T) {
	touch := Fault{Kind: KindDialBridge, A: Place{PartTap, 0, 4}, B: Place{PartTap, 1, 6}}
	plain := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100}, {Step: 10}}})
	turned := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100, WiperFirst: true}, {Step: 10}}})
	if a, b := predicted(t, at(t, plain, 6, 6)), predicted(t, at(t, turned, 6, 6)); math.Abs(a-b) > 1e-9 || a != 660 {
		t.Errorf("healthy: %v and %v, want 660", a, b)
	}
	// Turned: the tap 0 of ×100 joins ×10, so that the bridge shorts taps 0 to 4, 400 Ω,
	// through the 60 Ω below tap 6, and then leads on to tap 6.
	if got, want := predicted(t, at(t, turned, 6, 6), touch), 200.0; math.Abs(got-want) > 1e-3 {
		t.Errorf("turned: %v, want %v", got, want)
	}
}

// Two ranges on one switch: a slipped knob carries over the common zero.
func TestSharedSwitch(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 9, Switch: "A"}, {Step: 1, Positions: 9, Switch: "A"}}})
	slip := Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 1}
	for _, x := range []struct {
		a, b int
		want float64
	}{{0, 0, 10}, {3, 0, 40}, {0, 1, 0}, {0, 5, 4}, {9, 0, math.Inf(1)}} {
		if got := predicted(t, at(t, b, x.a, x.b), slip); got != x.want && math.Abs(got-x.want) > 1e-6 {
			t.Errorf("slipped at (%d, %d): %v, want %v", x.a, x.b, got, x.want)
		}
	}
	bridge := Fault{Kind: KindDialBridge, A: Place{PartTap, 0, 2}, B: Place{PartTap, 1, 5}}
	if got, want := predicted(t, at(t, b, 2, 0), bridge), 20*5/25.0; math.Abs(got-want) > 1e-3 {
		t.Errorf("bridge between the ranges at (2, 0): %v, want %v", got, want)
	}
}

// One contact of a weighted code is in parallel with the element that it shorts.
func TestContactOfCode(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100, Code: decade.Code1225()}}})
	f := Fault{Kind: KindContact, A: Place{PartElement, 0, 2}, Value: 50}
	if got, want := predicted(t, at(t, b, 1), f), 100+200*50/250.0; math.Abs(got-want) > 1e-2 {
		t.Errorf("unselected: %v, want %v", got, want)
	}
	if got := predicted(t, at(t, b, 2), f); math.Abs(got-200) > 1e-2 {
		t.Errorf("selected: %v, want 200", got)
	}
	open := Fault{Kind: KindOpenContact, A: Place{PartElement, 0, 2}}
	if got := predicted(t, at(t, b, 0), open); math.Abs(got-200) > 1e-2 {
		t.Errorf("open at 0: %v, want 200", got)
	}
}

func TestPredictRefuses(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100}, {Step: 10, Code: decade.Code1225()}}})
	s := at(t, b, 1, 1)
	for _, x := range []struct {
		name string
		s    decade.Setting
		f    Fault
		err  error
	}{
		{"no box", decade.Setting{}, Fault{Kind: KindBoxDrift}, ErrEmpty},
		{"healthy is no fault", s, Fault{}, ErrDomain},
		{"unknown kind", s, Fault{Kind: 200}, ErrDomain},
		{"no such element", s, Fault{Kind: KindDrift, A: Place{PartElement, 0, 11}}, ErrPlace},
		{"no such dial", s, Fault{Kind: KindDialDrift, A: Place{PartDial, 2, 0}}, ErrPlace},
		{"no such tap", s, Fault{Kind: KindBridge, A: Place{PartTap, 0, 12}, B: Place{PartTap, 0, 1}}, ErrPlace},
		{"bridge from a node to itself", s, Fault{Kind: KindBridge, A: Place{PartTap, 0, 1}, B: Place{PartTap, 0, 1}}, ErrPlace},
		{"wiper of a code", s, Fault{Kind: KindBridge, A: Place{PartWiper, 1, 0}, B: Place{PartTap, 0, 1}}, ErrPlace},
		{"overlap of a code", s, Fault{Kind: KindOverlap, A: Place{PartPosition, 1, 1}}, ErrPlace},
		{"overlap at 0", s, Fault{Kind: KindOverlap, A: Place{PartPosition, 0, 0}}, ErrPlace},
		{"NaN", s, Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: math.NaN()}, ErrNotFinite},
		{"infinite", s, Fault{Kind: KindSeries, A: Place{PartLink, 0, 0}, Value: math.Inf(1)}, ErrNotFinite},
		{"negative resistor", s, Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: -100}, ErrDomain},
		{"negative bridge", s, Fault{Kind: KindTerminalLeak, Value: -1}, ErrDomain},
		{"negative scatter", s, Fault{Kind: KindContact, A: Place{PartPosition, 0, 1}, Value: 1, Scatter: -1}, ErrDomain},
		{"part of 0 Ω", s, Fault{Kind: KindWrongPart, A: Place{PartElement, 0, 1}}, ErrDomain},
		{"overload from above to below", s, Fault{Kind: KindOverloaded, A: Place{PartElement, 0, 3}, B: Place{PartElement, 0, 2}, Value: 0.1}, ErrPlace},
		{"overload without a last element", s, Fault{Kind: KindOverloaded, A: Place{PartElement, 0, 3}, Value: 0.1}, ErrPlace},
		{"contact that is no number", s, Fault{Kind: KindContact, A: Place{PartPosition, 0, 1}, Value: math.NaN()}, ErrNotFinite},
		{"leak that is no number", s, Fault{Kind: KindTerminalLeak, Value: math.NaN()}, ErrNotFinite},
		{"a kind behind the last", s, Fault{Kind: numKinds}, ErrDomain},
		{"slip by half a position", s, Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 0.5}, ErrDomain},
		{"a knob that turns round and stops", s, Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 1, Wraps: true, Stops: true}, ErrDomain},
		{"drift below nothing", s, Fault{Kind: KindDialDrift, A: Place{PartDial, 0, 0}, Value: -1}, ErrDomain},
		{"no such terminal", s, Fault{Kind: KindOpenPath, A: Place{PartTerminal, 0, 3}}, ErrPlace},
		{"no such link", s, Fault{Kind: KindOpenPath, A: Place{PartLink, 0, 3}}, ErrPlace},
	} {
		_, err := Predict(x.s, x.f)
		if !errors.Is(err, x.err) {
			t.Errorf("%s: %v; want %v", x.name, err, x.err)
		}
		if e, ok := errors.AsType[*Error](err); !ok || e.Op != "fault.Predict" {
			t.Errorf("%s: %v is no *Error of Predict", x.name, err)
		}
	}
}

// The sum of both ranges of position and elements: R = Σ (∂R/∂r)·r in any network of
// resistors (Euler's theorem on homogeneous functions).
func TestCurrentsAddUp(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, Decades: []decade.Decade{{Step: 100}, {Step: 10}}})
	l := newLayout(b)
	p := newProbe(l)
	c := l.unchanged()
	if err := c.apply("test", Fault{Kind: KindOpenElement, A: Place{PartElement, 0, 9}}); err != nil {
		t.Fatal(err)
	}
	dst := make([]float64, len(l.elements))
	r := p.solve(c, at(t, b, 7, 3))
	p.currents(c, dst)
	sum := 0.0
	for i, e := range l.elements {
		sum += dst[i] * e.ohms
	}
	contacts := float64(len(l.links)+len(l.sections)) * l.contact
	if math.Abs(sum+contacts-r) > 1e-9 {
		t.Errorf("Σ = %v, R = %v", sum+contacts, r)
	}
}
