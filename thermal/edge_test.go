// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// Two currents that are both there: R = 100 Ω and an EMF of 5 µV, by hand.
func TestOffsetCompensatedOfTwoCurrents(t *testing.T) {
	const r, emf = 100, 5e-6
	for _, i := range [][2]float64{{1e-3, 3e-3}, {3e-3, 1e-3}, {-1e-3, 2e-3}, {-2e-3, -1e-3}} {
		got, err := OffsetCompensated(
			VoltageAtCurrent{i[0]*r + emf, i[0]},
			VoltageAtCurrent{i[1]*r + emf, i[1]},
		)
		if err != nil || math.Abs(got-r) > 1e-11 {
			t.Errorf("currents %v: %v, %v; want %v", i, got, err, r)
		}
	}
}

// The largest EMF has no sign, whichever contact is the warmer one.
func TestLargestEMF(t *testing.T) {
	for _, c := range []struct {
		low, high, difference, want float64
	}{
		{0, 2e-6, 10, 20e-6}, {0, 2e-6, -10, 20e-6}, {-8e-6, -7e-6, 10, 80e-6}, {-8e-6, -7e-6, -10, 80e-6}, {-3e-6, 3e-6, -2, 6e-6}, {1e-6, 1e-6, 0, 0},
	} {
		got, err := EMF{Low: c.low, High: c.high}.Largest(c.difference)
		if err != nil || math.Abs(got-c.want) > 1e-18 {
			t.Errorf("%v to %v V/K at %v K: %v, %v; want %v", c.low, c.high, c.difference, got, err, c.want)
		}
	}
}

// Thermometers, wire and names at the ends of what they take.
func TestEndsOfDomains(t *testing.T) {
	for conductivity, want := range map[float64]error{0.8: nil, 1.1: nil,
		math.Nextafter(0.8, 0): ErrDomain, math.Nextafter(1.1, 2): ErrDomain} {
		l, err := CopperOfConductivity(conductivity)
		if !errors.Is(err, want) || err == nil && l.Alpha() != CopperAlpha20*conductivity {
			t.Errorf("conductivity %v: %v, %v; want %v", conductivity, l, err, want)
		}
	}
	for alpha, want := range map[float64]error{0.003: nil, 0.005: nil,
		math.Nextafter(0.003, 0): ErrDomain, math.Nextafter(0.005, 1): ErrDomain} {
		r, err := CopperLinear(10, alpha).Resistance(100)
		if !errors.Is(err, want) || err == nil && math.Abs(r-10*(1+100*alpha)) > 1e-13 {
			t.Errorf("α = %v: %v, %v; want %v", alpha, r, err, want)
		}
	}
	past := Construction(len(constructions.Texts))
	if got := past.String(); got != "Construction(5)" {
		t.Errorf("construction after the last: %q; want Construction(5)", got)
	}
	for _, c := range []Construction{0, past} {
		if text, err := c.MarshalText(); !errors.Is(err, ErrDomain) {
			t.Errorf("%v: %q, %v; want ErrDomain", c, text, err)
		}
	}
	_, err := ConstantanTemperature(1)
	if err == nil || !strings.Contains(err.Error(), "expected -0.006") || !strings.Contains(err.Error(), "to 0.020") {
		t.Errorf("an EMF of 1 V: %v; want the range in volts", err)
	}
}
