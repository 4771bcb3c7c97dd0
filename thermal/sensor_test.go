// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty"
)

func thermometers() []Sensor {
	return []Sensor{
		Platinum(100), Platinum(1000), PlatinumIPTS68(25.5), Copper(50), CopperLinear(9.035, 0.00427), Nickel(100), Nickel617(500),
		Platinum391(100), Copper426(50), Nickel500(1000), Nickel672(120),
	}
}

// t → R → t to 1e-9 K, over the whole range and at its ends; the claim asked of
// platinum is 1e-6 K.
func TestTemperatureInvertsResistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for _, th := range thermometers() {
		low, high := th.Range()
		at := []float64{low, math.Nextafter(low, high), math.Nextafter(0, low), 0,
			math.Nextafter(0, high), 100, math.Nextafter(high, low), high}
		for range 5000 {
			at = append(at, low+(high-low)*rng.Float64())
		}
		worst := 0.0
		for _, want := range at {
			r, err := th.Resistance(want)
			if err != nil {
				t.Fatalf("%v at %v: %v", th, want, err)
			}
			got, err := th.Value(r)
			if err != nil {
				t.Fatalf("%v: Temperature(%v): %v", th, r, err)
			}
			worst = max(worst, math.Abs(got-want))
		}
		if worst > 1e-9 {
			t.Errorf("%v: round trip off by %v K", th, worst)
		}
	}
}

// Above 0 °C the platinum formula is a quadratic with a solution in closed form.
func TestPlatinumInverseAgainstClosedForm(t *testing.T) {
	for r := 100.0; r < 390.4; r += 0.37 {
		got := must(t, "")(Platinum(100).Value(r))
		want := (-platinumA + math.Sqrt(platinumA*platinumA-4*platinumB*(1-r/100))) / (2 * platinumB)
		if math.Abs(got-want) > 1e-10 {
			t.Errorf("Temperature(%v) = %.13f, want %.13f", r, got, want)
		}
	}
}

// Below 0 °C, against halving of the interval on the formula as the standard
// prints it.
func TestPlatinumInverseAgainstHalving(t *testing.T) {
	printed := func(t float64) float64 {
		return 100 * (1 + platinumA*t + platinumB*t*t + platinumC*(t-100)*t*t*t)
	}
	for r := 18.6; r < 100; r += 0.41 {
		lo, hi := -200.0, 0.0
		for range 80 {
			if mid := (lo + hi) / 2; printed(mid) < r {
				lo = mid
			} else {
				hi = mid
			}
		}
		if got := must(t, "")(Platinum(100).Value(r)); math.Abs(got-hi) > 1e-10 {
			t.Errorf("Temperature(%v) = %v, want %v", r, got, hi)
		}
	}
}

// Metals: resistance rises with temperature everywhere, and the slope is the
// derivative.
func TestCurvesRise(t *testing.T) {
	curves := []*curve{&copperConstantan, &platinum, &platinumIPTS68, &copper, &nickel, &nickel617,
		&platinum391, &copper426, &nickel500, &nickel672}
	for _, c := range curves {
		before := math.Inf(-1)
		for x := c.low; x <= c.high; x += (c.high - c.low) / 4000 {
			v, s := c.evaluate(x)
			if v <= before || s <= 0 {
				t.Fatalf("%s does not rise at %v", c.name, x)
			}
			before = v
			const h = 1e-3
			if !sameBranch(c, x-h, x+h) {
				continue
			}
			up, _ := c.evaluate(x + h)
			down, _ := c.evaluate(x - h)
			if want := (up - down) / (2 * h); math.Abs(s-want) > 1e-6*math.Abs(want)+1e-7 {
				t.Fatalf("%s: slope at %v = %v, want %v", c.name, x, s, want)
			}
		}
	}
}

// sameBranch reports whether one polynomial serves from a to b.
func sameBranch(c *curve, a, b float64) bool {
	for _, p := range c.pieces[1:] {
		if a < p.from && b >= p.from {
			return false
		}
	}
	return true
}

// Where one formula takes over from another the curve does not jump.
func TestCurvesAreContinuous(t *testing.T) {
	joints := 0
	for _, c := range []*curve{&platinum, &platinumIPTS68, &copper, &nickel617, &copperConstantan} {
		for i, p := range c.pieces[1:] {
			below, _ := c.pieces[i].evaluate(p.from)
			above, _ := p.evaluate(p.from)
			if math.Abs(above-below) > 1e-15*max(1, math.Abs(above)) {
				t.Errorf("%s jumps at %v by %v", c.name, p.from, above-below)
			}
			joints++
		}
	}
	if joints != 5 {
		t.Errorf("%d joints, want 5", joints)
	}
}

// The ranges and constructions as the standards state them, see the comments of
// the functions.
func TestRanges(t *testing.T) {
	for _, c := range []struct {
		th        Sensor
		low, high float64
	}{
		{Platinum(100), -200, 850}, {PlatinumIPTS68(100), -200, 850}, {Copper(100), -180, 200},
		{CopperLinear(100, 0.00427), -50, 150}, {Nickel(100), -60, 250}, {Nickel617(100), -60, 180},
		{Platinum391(100), -200, 850}, {Copper426(50), -50, 200}, {Nickel500(1000), -50, 150}, {Nickel672(120), -50, 250},
	} {
		if low, high := c.th.Range(); low != c.low || high != c.high {
			t.Errorf("%v: %v to %v, want %v to %v", c.th, low, high, c.low, c.high)
		}
	}
	want := map[ToleranceClass][8]float64{
		ClassAA: {-100, 350, 0, 150, -50, 250, 0, 150},
		ClassA:  {-100, 450, -30, 300, -100, 450, -30, 300},
		ClassB:  {-196, 660, -50, 500, -196, 600, -50, 500},
		ClassC:  {-196, 660, -50, 600, -196, 600, -50, 600},
	}
	for c, w := range want {
		for how := WireWoundResistor; how <= FilmThermometer; how++ {
			i := 2 * int(how-1)
			if got, err := c.Range(how); err != nil || got.Lower != w[i] || got.Upper != w[i+1] {
				t.Errorf("class %v, construction %d: %v, %v; want %v to %v", c, how, got, err, w[i], w[i+1])
			}
		}
	}
}

func TestSensorOfQuantities(t *testing.T) {
	for _, th := range thermometers() {
		for _, at := range []float64{-45, 0, 25, 120} {
			in := uncertainty.Input("t", uncertainty.Normal(at, 0.01))
			r := th.ResistanceOf(in)
			b := evaluate(t, r)
			near(t, "R", b.Estimate, must(t, "")(th.Resistance(at)), 1e-15)
			near(t, "u(R)", b.StandardUncertainty, 0.01*must(t, "")(th.Slope(at)), 1e-12)
			// There and back is the same quantity: the difference has no uncertainty.
			d := evaluate(t, th.ValueOf(r).Sub(in))
			if math.Abs(d.Estimate) > 1e-9 || d.StandardUncertainty > 1e-12 {
				t.Errorf("%v at %v: there and back %v, u %v", th, at, d.Estimate, d.StandardUncertainty)
			}
		}
	}
}

func TestSensorRefusals(t *testing.T) {
	nan := math.NaN()
	pt := Platinum(100)
	refused(t, ErrDomain, "temperature")(pt.Resistance(-200.1))
	refused(t, ErrDomain, "temperature")(pt.Resistance(850.1))
	refused(t, ErrNotFinite, "temperature")(pt.Slope(nan))
	refused(t, ErrDomain, "resistance")(pt.Value(18.5))
	refused(t, ErrDomain, "resistance")(pt.Value(390.5))
	refused(t, ErrNotFinite, "resistance")(pt.Value(math.Inf(1)))
	refused(t, ErrDomain, "resistance at 0 °C")(Platinum(0).Resistance(20))
	refused(t, ErrNotFinite, "resistance at 0 °C")(Copper(nan).Value(20))
	refused(t, ErrUnknown, "sensor")(Sensor{}.Resistance(20))
	refused(t, ErrDomain, "alpha")(CopperLinear(10, 0.39).Resistance(20))
	refused(t, ErrNotFinite, "alpha")(CopperLinear(10, nan).Resistance(20))
	refusedOf(t, ErrDomain, pt.ResistanceOf(uncertainty.Exact(900)))
	refusedOf(t, ErrDomain, pt.ValueOf(uncertainty.Exact(400)))
	refusedOf(t, uncertainty.ErrNoQuantity, pt.ValueOf(uncertainty.Quantity{}))
	cause := errors.New("open circuit")
	refusedOf(t, cause, pt.ValueOf(uncertainty.Fail(cause)))
	refusedOf(t, cause, pt.ResistanceOf(uncertainty.Fail(cause)))
}

func TestSensorText(t *testing.T) {
	if got, want := Platinum(100).String(), "platinum IEC 60751, R0 = 100 Ω"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := (Sensor{}).String(); got != "no sensor" {
		t.Errorf("%q", got)
	}
	if low, high := (Sensor{}).Range(); low != 0 || high != 0 {
		t.Errorf("Range of the zero Sensor %v, %v", low, high)
	}
}

func TestToleranceClasses(t *testing.T) {
	for c, name := range map[ToleranceClass]string{0: "no class", ClassAA: "AA", ClassA: "A",
		ClassB: "B", ClassC: "C", 9: "no class"} {
		if c.String() != name {
			t.Errorf("%d is %q, want %q", c, c, name)
		}
	}
	refused(t, ErrUnknown, "class")(ToleranceClass(0).Tolerance(20))
	refused(t, ErrUnknown, "class")(ToleranceClass(5).ToleranceResistance(Platinum(100), 20))
	refused(t, ErrDomain, "temperature")(ClassA.Tolerance(900))
	refused(t, ErrDomain, "temperature")(ClassA.ToleranceResistance(Copper(100), 300))
	for c := ClassAA; c <= ClassC; c++ {
		for how := WireWoundResistor; how <= FilmThermometer; how++ {
			span, err := c.Range(how)
			if err != nil || span.Lower >= span.Upper {
				t.Errorf("class %v, construction %d: %v, %v", c, how, span, err)
			}
			// A coarser class holds at least as far.
			if finer, err := (c - 1).Range(how); err == nil && (span.Lower > finer.Lower || span.Upper < finer.Upper) {
				t.Errorf("class %v, construction %d: %v inside %v of the finer class", c, how, span, finer)
			}
		}
	}
	_, err := ClassA.Range(0)
	refused(t, ErrUnknown, "construction")(0, err)
	_, err = ToleranceClass(0).Range(FilmResistor)
	refused(t, ErrUnknown, "class")(0, err)

	b := evaluate(t, ClassB.Departure("sensor", -100))
	near(t, "u of class B at −100 °C", b.StandardUncertainty, 0.8/math.Sqrt(3), 1e-15)
	refusedOf(t, ErrDomain, ClassB.Departure("sensor", -300))
}

// Leads of 2 × 50 mΩ on a Pt100, figures by hand: +0.258 K at 25 °C, +0.264 K at 100 °C.
func TestLeadError(t *testing.T) {
	pt := Platinum(100)
	for at, want := range map[float64]float64{25: 0.258, 100: 0.264} {
		r := must(t, "")(pt.Resistance(at))
		if got := must(t, "")(pt.Value(r+0.1)) - at; math.Abs(got-want) > 0.0005 {
			t.Errorf("at %v °C: %v K, want %v", at, got, want)
		}
	}
}
