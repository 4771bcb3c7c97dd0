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
		got, err := OffsetCompensated(i[0]*r+emf, i[0], i[1]*r+emf, i[1])
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

// The signs of the table: a source gives one value, or a magnitude, which is ±, and
// ranges for three alloys. That constantan, nickel, platinum, lead and silver are
// negative against copper, and iron positive, is common knowledge of the trade; where
// a source states a magnitude, both signs are in.
func TestSignsOfTheEMFs(t *testing.T) {
	ranges := map[[2]string]bool{
		{"gold-chromium", "RP737"}: true, {"manganin", "MEMO"}: true, {"nickel-chromium-aluminium-copper", "VENDOR"}: true,
	}
	negative := map[string]bool{"constantan": true, "nickel": true, "platinum": true, "lead": true}
	for _, row := range emfTable {
		switch {
		case negative[row.material] && row.high >= 0:
			t.Errorf("%+v: not negative against copper", row)
		case row.material == "iron" && row.low <= 0:
			t.Errorf("%+v: not positive against copper", row)
		case ranges[[2]string{row.material, row.source}]:
			if row.low == -row.high || row.low == row.high {
				t.Errorf("%+v: no range", row)
			}
		case row.source == "VOLTS", row.source == "B267" && row.material != "constantan", row.source == "GSE" && row.material == "manganin":
			if row.low != -row.high || row.high <= 0 {
				t.Errorf("%+v: a magnitude that is not ±", row)
			}
		case row.low != row.high:
			t.Errorf("%+v: neither one value nor ±", row)
		}
	}
	if e, err := FindEMF("gold-chromium"); err != nil || e.High >= 0 {
		t.Errorf("gold-chromium: %+v, %v; want negative against copper", e, err)
	}
}

// Thermometers, wire and names at the ends of what they take.
func TestEndsOfDomains(t *testing.T) {
	for conductivity, want := range map[float64]error{0.8: nil, 1.1: nil, math.Nextafter(0.8, 0): ErrDomain, math.Nextafter(1.1, 2): ErrDomain} {
		l, err := CopperOfConductivity(conductivity)
		if !errors.Is(err, want) || err == nil && l.Alpha() != CopperAlpha20*conductivity {
			t.Errorf("conductivity %v: %v, %v; want %v", conductivity, l, err, want)
		}
	}
	for alpha, want := range map[float64]error{0.003: nil, 0.005: nil, math.Nextafter(0.003, 0): ErrDomain, math.Nextafter(0.005, 1): ErrDomain} {
		r, err := CopperLinear(10, alpha).Resistance(100)
		if !errors.Is(err, want) || err == nil && math.Abs(r-10*(1+100*alpha)) > 1e-13 {
			t.Errorf("α = %v: %v, %v; want %v", alpha, r, err, want)
		}
	}
	past := Construction(len(constructions))
	if got := past.String(); got != "construction 5" {
		t.Errorf("construction after the last: %q; want construction 5", got)
	}
	for _, c := range []Construction{0, past} {
		if text, err := c.MarshalText(); !errors.Is(err, ErrUnknown) {
			t.Errorf("%v: %q, %v; want ErrUnknown", c, text, err)
		}
	}
	_, err := ConstantanTemperature(1)
	if err == nil || !strings.Contains(err.Error(), "expected -0.006") || !strings.Contains(err.Error(), "to 0.020") {
		t.Errorf("an EMF of 1 V: %v; want the range in volts", err)
	}
	if _, err := FindAlloy(strings.Repeat("x", longestName)); err == nil || strings.Contains(err.Error(), "…") {
		t.Errorf("a name of %d letters: %v; want it whole", longestName, err)
	}
	if _, err := FindAlloy(strings.Repeat("x", longestName+1)); err == nil || !strings.Contains(err.Error(), "…") {
		t.Errorf("a name of %d letters: %v; want it cut", longestName+1, err)
	}
}

// The quadratic coefficient of the alloy that is flattest at 25 °C is negative: its
// resistance has a maximum there (common practice).
func TestBendOfTheFlatAlloy(t *testing.T) {
	a, err := FindAlloy("nickel-chromium-aluminium-copper")
	if err != nil {
		t.Fatal(err)
	}
	for _, at := range []float64{-55, 125} {
		if r, err := a.Law.Ratio(at); err != nil || !(r < 1) {
			t.Errorf("R(%v °C)/R(25 °C) = %v, %v; want less than 1", at, r, err)
		}
	}
}
