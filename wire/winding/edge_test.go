// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/wire/winding"
)

// Skin effect in a magnetic wire: a permeability of 4 halves the depth, doubles the
// argument and halves the diameter that a rise of the resistance allows, as four times
// the frequency does.
func TestPermeabilityCountsAsFrequencyDoes(t *testing.T) {
	get := must[float64](t)
	const rho, f = 1e-7, 1e4
	for _, c := range []struct {
		name   string
		value  func(permeability, frequency float64) (float64, error)
		factor float64
	}{
		{"depth", func(p, f float64) (float64, error) {
			return winding.SkinEffect{Resistivity: rho, Permeability: p, Frequency: f}.Depth()
		}, 0.5},
		{"argument", func(p, f float64) (float64, error) {
			return winding.SkinEffect{Resistivity: rho, Permeability: p, Frequency: f}.Parameter(1e-3)
		}, 2},
		{"diameter", func(p, f float64) (float64, error) {
			return winding.SkinEffect{Resistivity: rho, Permeability: p, Frequency: f}.DiameterForIncrease(0.01)
		}, 0.5},
	} {
		want := c.factor * get(c.value(1, f))
		if magnetic, faster := get(c.value(4, f)),
			get(c.value(1, 4*f)); !near(magnetic, want, 1e-12) || !near(faster, want, 1e-12) {
			t.Errorf("%s: %v with a permeability of 4, %v with four times the frequency; want %v",
				c.name, magnetic, faster, want)
		}
	}
}

// Between whole numbers of turns the correction goes straight; at whole ones it is that
// of the formula.
func TestTurnsCorrectionBetweenTurns(t *testing.T) {
	get := must[float64](t)
	two, three := get(winding.TurnsCorrection(2)), get(winding.TurnsCorrection(3))
	if want := two + 0.25*(three-two); !near(get(winding.TurnsCorrection(2.25)), want, 1e-14) {
		t.Errorf("2.25 turns: %v; want %v", get(winding.TurnsCorrection(2.25)), want)
	}
	if last := get(winding.TurnsCorrection(1e6)); !near(last, math.Log(2*math.Pi)-1.5, 1e-4) {
		t.Errorf("a million turns: %v; want ln 2π − 3/2", last)
	}
	for _, turns := range []float64{math.Nextafter(1, 0), math.Nextafter(1e6, 2e6)} {
		if _, err := winding.TurnsCorrection(turns); !errors.Is(err, winding.ErrDomain) {
			t.Errorf("%v turns: %v; want ErrDomain", turns, err)
		}
	}
}

// The flux inside the wire adds µ0/8π for each metre of it at low frequency (textbook).
func TestRectangleInternalInductance(t *testing.T) {
	get := must[float64](t)
	const a, b, d = 0.3, 0.2, 1e-3
	inside := get(winding.Rectangle{A: a, B: b, Diameter: d,
		Internal: winding.LowFrequency}.Inductance()) - get(winding.Rectangle{A: a, B: b,
		Diameter: d, Internal: 0}.Inductance())
	if want := winding.MagneticConstant / (8 * math.Pi) * 2 * (a + b); !near(inside, want, 1e-9) {
		t.Errorf("inside the wire %v H; want %v H", inside, want)
	}
	if _, err := (winding.Rectangle{A: d, B: b, Diameter: d}).Inductance(); err != nil {
		t.Errorf("wires that touch: %v; want an inductance", err)
	}
}

// By hand: 100 Ω and a link of 5 Ω ± 10 %; 110 Ω and a pad of 1100 Ω ± 10 %.
func TestTrimLimitsByHand(t *testing.T) {
	link := winding.Trim{Part: 100, Added: 5}
	if got, err := link.Limits(0.1); err != nil || !near(got.Lower, 104.5, 1e-14) || !near(got.Upper, 105.5, 1e-14) {
		t.Errorf("link: %+v, %v; want 104.5 Ω to 105.5 Ω", got, err)
	}
	pad := winding.Trim{Part: 110, Added: 1100, Parallel: true}
	if got, err := pad.Limits(0.1); err != nil || !near(got.Lower, 99, 1e-14) ||
		!near(got.Upper, 110*1210.0/1320, 1e-14) {
		t.Errorf("pad: %+v, %v; want 99 Ω to 100.83 Ω", got, err)
	}
	if _, err := winding.Link(100, 100); !errors.Is(err, winding.ErrUnreachable) {
		t.Errorf("link that adds nothing: %v; want ErrUnreachable", err)
	}
	if _, err := link.Limits(1); !errors.Is(err, winding.ErrDomain) {
		t.Errorf("tolerance of 1: %v; want ErrDomain", err)
	}
}
