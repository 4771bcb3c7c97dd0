// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

// Figures beyond all that there is are refused where they enter: their products would be infinite,
// and an infinite current stands for a short circuit.
func TestAbsurdFigures(t *testing.T) {
	for name, change := range map[string]func(*decade.Decade, float64){
		"elementPower":      func(d *decade.Decade, v float64) { d.ElementPower = v },
		"maxVoltage":        func(d *decade.Decade, v float64) { d.MaxVoltage = v },
		"thermalResistance": func(d *decade.Decade, v float64) { d.ThermalResistance = v },
		"inductance":        func(d *decade.Decade, v float64) { d.Inductance = v },
		"capacitance":       func(d *decade.Decade, v float64) { d.Capacitance = v },
		"dialInductance":    func(d *decade.Decade, v float64) { d.DialInductance = v },
		"dialCapacitance":   func(d *decade.Decade, v float64) { d.DialCapacitance = v },
	} {
		for _, v := range []float64{1e19, 1e308, 1e-31, 5e-324} {
			d := decade.Decade{Step: 1}
			change(&d, v)
			if _, err := decade.New(decade.Spec{Decades: []decade.Decade{d}}); !errors.Is(err, decade.ErrDomain) || !strings.Contains(err.Error(), name+": ") {
				t.Errorf("%s %v: %v; want ErrDomain", name, v, err)
			}
		}
	}
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1e-12, ElementPower: 1e18, MaxVoltage: 1e18}, {Step: 1e18, ElementPower: 1e-30, Inductance: 1e18, Capacitance: 1e18}}})
	for _, s := range []decade.Setting{at(t, b, 10, 0), at(t, b, 0, 10), at(t, b, 10, 10)} {
		i, _, err := s.MaxCurrent()
		volts, _, err2 := s.MaxVoltage()
		watts, _, err3 := s.MaxPower()
		for _, v := range []float64{i, volts, watts} {
			if err != nil || err2 != nil || err3 != nil || math.IsInf(v, 0) || v <= 0 {
				t.Errorf("%v: %v A, %v V, %v W; %v, %v, %v", s, i, volts, watts, err, err2, err3)
			}
		}
		if l, err := s.Under(decade.Supply{Voltage: 1e18}); err != nil || math.IsInf(l.Use, 0) || !l.Overload() {
			t.Errorf("%v under 1e18 V: %+v, %v; want an overload", s, l, err)
		}
		if l, err := s.Under(decade.Supply{Voltage: -1e308}); !errors.Is(err, decade.ErrDomain) {
			t.Errorf("%v under 1e308 V: %+v, %v; want ErrDomain", s, l, err)
		}
	}
}

// New takes a tolerance that a file may not state; then there is no file of it.
func TestNoFileThatIsNotRead(t *testing.T) {
	for _, s := range []decade.Spec{
		{Tolerance: 0.3, Decades: []decade.Decade{{Step: 1}}}, {Decades: []decade.Decade{{Step: 1, Tolerance: 0.21}}},
	} {
		b := box(t, s)
		for _, v := range []json.Marshaler{s, b} {
			if text, err := v.MarshalJSON(); !errors.Is(err, decade.ErrDomain) {
				t.Errorf("%T: %s, %v; want ErrDomain", v, text, err)
			}
		}
	}
}

// On a calibrated box the residual is part of what is compared: the nearest setting is
// that of a look at every one, and the reach in the error text begins with the residual.
func TestNearestMeasuredWithResidual(t *testing.T) {
	const seed = 7
	r := rand.New(rand.NewPCG(seed, 0))
	spec := decades(3, 1, 10)
	spec.Residual = 3.25
	b := measuredBox(t, spec, spread(r, 0.002))
	all := func(decade.Setting) bool { return true }
	for range 50 {
		ohms := 2 + 1100*r.Float64()
		s, err := b.Nearest(ohms)
		if err != nil {
			t.Fatal(err)
		}
		want := brute(b, ohms, decade.TargetUsual, all)[0]
		if got := math.Abs(s.Value() - ohms); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v Ω (seed %d): %v misses by %v; want %v", ohms, seed, s, got, want)
		}
	}
	for _, ohms := range []float64{0.5, 1e6} {
		_, err := b.Nearest(ohms)
		if !errors.Is(err, decade.ErrDomain) || !strings.Contains(err.Error(), "3.25 Ω to 111") {
			t.Errorf("%v Ω: %v; want ErrDomain with the reach from 3.25 Ω to 111… Ω", ohms, err)
		}
	}
}

// The ends of enumerations.
func TestEndsOfEnumerations(t *testing.T) {
	b := box(t, bench())
	if _, err := b.NearestN(context.Background(), 100, decade.Search{Target: decade.TargetIncrement + 1}); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("target after the last: %v; want ErrDomain", err)
	}
	spec := bench()
	spec.Decades[1].Spread = decade.LevelBox + 1
	if _, err := decade.New(spec); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("spread after the last: %v; want ErrDomain", err)
	}
	short := bench()
	short.Decades[0].Code = decade.Code{Weights: []int{1}, InCircuit: [][]int{nil}}
	if _, err := decade.New(short); !errors.Is(err, decade.ErrCode) || !strings.Contains(err.Error(), "1 position with 0; expected 2 to 256") {
		t.Errorf("code of one position: %v; want ErrCode with the range", err)
	}
}

// The elements of a dial are counted from 1 in a budget.
func TestElementsAreCountedFromOne(t *testing.T) {
	b := box(t, decade.Spec{Name: "box", Decades: []decade.Decade{{Name: "tens", Step: 10, Tolerance: 0.001, Spread: decade.LevelElement}}})
	budget := evaluate(t, at(t, b, 2).Resistance())
	found := map[string]bool{}
	for _, c := range budget.Components {
		if c.Contribution != 0 {
			found[c.Name] = true
		}
	}
	if len(found) != 2 || !found["tens element 1"] || !found["tens element 2"] {
		t.Errorf("two elements in circuit: contributions of %v; want tens element 1 and 2", found)
	}
}

// Dials that share a switch count as one contact: at zero, and with either of them off it.
func TestContactsOfASharedSwitch(t *testing.T) {
	b := box(t, school()) // five dials, the first two on one switch
	for _, positions := range [][]int{{0, 0, 0, 0, 0}, {3, 0, 0, 0, 0}, {0, 3, 0, 0, 0}, {0, 9, 1, 2, 3}} {
		if got := at(t, b, positions...).Contacts(); got != 4 {
			t.Errorf("%v: %d contacts; want 4", positions, got)
		}
	}
}
