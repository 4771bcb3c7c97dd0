// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestFraction(t *testing.T) {
	near(t, "one part in 1e9 of τ", must(t, "")(FirstOrder(1).Fraction(1e-9)), 1e-9-0.5e-18, 1e-15)
	two := TwoTimeConstants(0.7, 10, 300)
	near(t, "two", must(t, "")(two.Fraction(60)), 1-0.7*math.Exp(-6)-0.3*math.Exp(-0.2), 1e-15)
	for _, tr := range []Transient{FirstOrder(5), two, TwoTimeConstants(1.4, 3, 40)} {
		if f := must(t, "")(tr.Fraction(0)); f != 0 {
			t.Errorf("%+v: Fraction(0) = %v", tr, f)
		}
		if f := must(t, "")(tr.Fraction(1e5)); f != 1 {
			t.Errorf("%+v: at the end %v", tr, f)
		}
	}
}

// After the settling time the distance stays inside, and just before it is outside:
// against a walk along the curve.
func TestSettlingTime(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	near(t, "ln 2000", must(t, "")(FirstOrder(120).SettlingTime(-2000, 1)), 120*math.Log(2000), 1e-15)
	for range 300 {
		tr := TwoTimeConstants(3*rng.Float64()-1, 1+20*rng.Float64(), 1+200*rng.Float64())
		change, within := 100*rng.NormFloat64(), math.Exp(-8*rng.Float64())*100
		at := must(t, "")(tr.SettlingTime(change, within))
		outside := func(at float64) bool { return math.Abs(change*tr.remaining(at)) > within*(1+1e-9) }
		for i := range 3000 {
			if later := at + float64(i)*tr.slow/100; outside(later) {
				t.Fatalf("%+v: %v within %v: settled at %v, outside at %v", tr, change, within, at, later)
			}
		}
		if at > 0 && math.Abs(change*tr.remaining(at*(1-1e-6))) < within {
			t.Fatalf("%+v: %v within %v: inside before %v", tr, change, within, at)
		}
	}
}

func TestSettlingTimeOfNothing(t *testing.T) {
	for _, tr := range []Transient{FirstOrder(10), TwoTimeConstants(0.5, 1, 10)} {
		for _, change := range []float64{0, 1, -5} {
			if got := must(t, "")(tr.SettlingTime(change, 5)); got != 0 {
				t.Errorf("%+v: a change of %v within 5 settles in %v", tr, change, got)
			}
		}
	}
	// A start the wrong way leaves a band that held the start itself: the curve rises
	// from 1 to 1.18 first.
	if got := must(t, "")(TwoTimeConstants(1.5, 20, 2).SettlingTime(1, 1.1)); got < 2.6 {
		t.Errorf("settled at %v, before the turn", got)
	}
	// Equal time constants are one.
	one, two := FirstOrder(30), TwoTimeConstants(0.3, 30, 30)
	if a, b := must(t, "")(one.SettlingTime(100, 1)), must(t, "")(two.SettlingTime(100, 1)); math.Abs(a-b) > 1e-12 {
		t.Errorf("%v and %v", a, b)
	}
}

func TestTransientRefusals(t *testing.T) {
	nan := math.NaN()
	refused(t, ErrDomain, "time constant")(FirstOrder(0).Fraction(1))
	refused(t, ErrDomain, "time constant")(Transient{}.SettlingTime(1, 1))
	refused(t, ErrNotFinite, "time constant")(TwoTimeConstants(0.5, 1, nan).Fraction(1))
	refused(t, ErrNotFinite, "share")(TwoTimeConstants(nan, 1, 2).Fraction(1))
	refused(t, ErrNotFinite, "time")(FirstOrder(1).Fraction(nan))
	refused(t, ErrDomain, "time")(FirstOrder(1).Fraction(-1))
	refused(t, ErrNotFinite, "change")(FirstOrder(1).SettlingTime(nan, 1))
	refused(t, ErrDomain, "within")(FirstOrder(1).SettlingTime(1, 0))
}

func TestDerating(t *testing.T) {
	d := Derating{Rated: 0.5, Full: 40, Zero: 120}
	// Continuous at both corners, falling between them.
	for _, c := range []struct{ at, want float64 }{
		{-20, 0.5}, {40, 0.5}, {math.Nextafter(40, 41), 0.5}, {80, 0.25}, {100, 0.125}, {math.Nextafter(120, 0), 0}, {120, 0}, {200, 0},
	} {
		if got := must(t, "")(d.Power(c.at)); math.Abs(got-c.want) > 1e-14 {
			t.Errorf("Power(%v) = %v, want %v", c.at, got, c.want)
		}
	}
	near(t, "thermal resistance", must(t, "")(d.ThermalResistance()), 160, 1e-15)
	refused(t, ErrNotFinite, "rated power")(Derating{math.NaN(), 40, 120}.Power(20))
	refused(t, ErrDomain, "rated power")(Derating{-1, 40, 120}.Power(20))
	refused(t, ErrDomain, "full")(Derating{1, -400, 120}.Power(20))
	refused(t, ErrNotFinite, "zero")(Derating{1, 40, math.Inf(1)}.Power(20))
	refused(t, ErrDomain, "zero")(Derating{1, 40, 40}.Power(20))
	refused(t, ErrDomain, "ambient")(d.Power(-300))
	refused(t, ErrDomain, "rated power")(Derating{0, 40, 120}.ThermalResistance())
	refused(t, ErrDomain, "zero")(Derating{1, 40, 40}.ThermalResistance())
}

func TestRatings(t *testing.T) {
	// Rated voltage and current make the rated power.
	v, i := must(t, "")(RatedVoltage(0.5, 470)), must(t, "")(RatedCurrent(0.5, 470))
	near(t, "power", v*i, 0.5, 1e-15)
	refused(t, ErrDomain, "power")(RatedCurrent(-1, 10))
	refused(t, ErrNotFinite, "power")(RatedVoltage(math.NaN(), 10))
	refused(t, ErrDomain, "resistance")(RatedCurrent(1, 0))
	refused(t, ErrDomain, "resistance")(RatedVoltage(1, -1))
}
