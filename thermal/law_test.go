// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %v, want %v within %v of it", what, got, want, relative)
	}
}

func TestZeroLawIsNoDependence(t *testing.T) {
	var l Law
	for _, at := range []float64{-200, 0, 23, 850} {
		if q, err := l.Ratio(at); q != 1 || err != nil {
			t.Errorf("Ratio(%v) = %v, %v; want 1", at, q, err)
		}
	}
	if !l.IsZero() || NewLaw(20, 0, 0).IsZero() {
		t.Error("IsZero: want true for Law{} alone")
	}
	if r, err := l.Rebase(25); err != nil || r != l {
		t.Errorf("Rebase = %v, %v; want the zero Law", r, err)
	}
	if _, ok := l.Extremum(); ok {
		t.Error("Extremum: want none")
	}
}

func TestLawAccessors(t *testing.T) {
	l := NewLaw(25, 4.2e-6, -0.56e-6)
	if l.Reference() != 25 || l.Alpha() != 4.2e-6 || l.Beta() != -0.56e-6 {
		t.Errorf("got %v %v %v", l.Reference(), l.Alpha(), l.Beta())
	}
	if l != NewLaw(25, 4.2e-6, -0.56e-6) {
		t.Error("equal laws must compare equal")
	}
}

func TestLawString(t *testing.T) {
	for _, c := range []struct {
		law  Law
		want string
	}{
		{Law{}, "1"},
		{NewLaw(25, 4.2e-6, -5.6e-7), "1 +4.2e-06 (t−25) −5.6e-07 (t−25)²"},
		{NewLaw(-20, 0, 1e-7), "1 +1e-07 (t+20)²"},
		{NewLaw(20, 0.00393, 0), "1 +0.00393 (t−20)"},
		{NewLaw(0, 0.00177, 1e-7), "1 +0.00177 t +1e-07 t²"},
	} {
		if got := c.law.String(); got != c.want {
			t.Errorf("String = %q, want %q", got, c.want)
		}
	}
}

// The oracle evaluates the parabola in exact rational arithmetic.
func TestRatioAgainstExactArithmetic(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		l := NewLaw(rng.Float64()*50, rng.NormFloat64()*1e-3, rng.NormFloat64()*1e-6)
		at := rng.Float64()*200 - 50
		rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
		d := new(big.Rat).Sub(rat(at), rat(l.reference))
		q := new(big.Rat).Mul(rat(l.beta), d)
		q.Add(q, rat(l.alpha)).Mul(q, d).Add(q, rat(1))
		want, _ := q.Float64()
		got, err := l.Ratio(at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Ratio", got, want, 1e-15)
	}
}

// The parabola is one curve, whatever temperature it is told from.
func TestRebaseKeepsTheCurve(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		l := NewLaw(25, rng.NormFloat64()*1e-4, rng.NormFloat64()*1e-6)
		ref := rng.Float64()*100 - 20
		m, err := l.Rebase(ref)
		if err != nil {
			t.Fatal(err)
		}
		q, _ := l.Ratio(ref)
		at := rng.Float64()*100 - 20
		want, _ := l.Ratio(at)
		got, _ := m.Ratio(at)
		near(t, "Ratio about the other reference", got*q, want, 4e-15)
		back, err := m.Rebase(25)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(back.alpha-l.alpha) > 1e-18*200 || math.Abs(back.beta-l.beta) > 1e-20 {
			t.Errorf("there and back: %v, want %v", back, l)
		}
	}
}

func TestSlopeIsTheDerivative(t *testing.T) {
	l := NewLaw(20, 3e-4, -5e-7)
	for _, at := range []float64{-50, 20, 120} {
		a, _ := l.Ratio(at - 1)
		b, _ := l.Ratio(at + 1)
		got, err := l.Slope(at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Slope", got, (b-a)/2, 1e-11)
	}
}

func TestTemperatureInvertsRatio(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 2000 {
		l := NewLaw(20, rng.NormFloat64()*4e-3, rng.NormFloat64()*1e-6)
		at := 20 + rng.Float64()*80 - 40
		if p, ok := l.Extremum(); ok && (p-at)*(p-20) <= 0 {
			continue // the other branch: not asked for
		}
		q, err := l.Ratio(at)
		if err != nil {
			t.Fatal(err)
		}
		got, err := l.Temperature(q)
		if err != nil {
			t.Fatalf("%v at %v: %v", l, at, err)
		}
		// A ratio is known to 1.1e-16, so the temperature to that over the slope.
		s, _ := l.Slope(at)
		if tol := 1e-13 + 1e-15/math.Abs(s); math.Abs(got-at) > tol {
			t.Errorf("%v: Temperature(Ratio(%v)) = %v", l, at, got)
		}
	}
}

func TestTemperatureRefusals(t *testing.T) {
	peak := NewLaw(25, 1e-5, -5e-7)
	for _, c := range []struct {
		law   Law
		ratio float64
		want  error
	}{
		{NewLaw(25, 0, -5e-7), 0.9999, ErrDomain}, // two roots alike
		{peak, 1.001, ErrDomain},                  // above the peak
		{peak, -1, ErrDomain},                     // no resistance
		{peak, math.NaN(), ErrNotFinite},
		{NewLaw(20, 0.00393, 0), 0.001, nil},     // just above absolute zero's side
		{NewLaw(20, 0.003, 0), 0.001, ErrDomain}, // would be below absolute zero
		{NewLaw(20, math.NaN(), 0), 1, ErrNotFinite},
	} {
		got, err := c.law.Temperature(c.ratio)
		if !errors.Is(err, c.want) || (err != nil && got != 0) {
			t.Errorf("%v.Temperature(%v) = %v, %v; want %v", c.law, c.ratio, got, err, c.want)
		}
	}
}

func TestExtremum(t *testing.T) {
	if got, ok := NewLaw(25, 4.2e-6, -0.56e-6).Extremum(); !ok || math.Abs(got-28.75) > 1e-12 {
		t.Errorf("Extremum = %v, %v; want 28.75", got, ok)
	}
	for _, l := range []Law{NewLaw(25, 1e-5, 0), NewLaw(25, math.NaN(), 1), NewLaw(25, 1, 1e-320)} {
		if got, ok := l.Extremum(); ok || got != 0 {
			t.Errorf("%v.Extremum = %v, %v; want none", l, got, ok)
		}
	}
}

func TestLawRefusesByName(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		law  Law
		at   float64
		want error
		name string
	}{
		{NewLaw(nan, 0, 0), 20, ErrNotFinite, "reference"},
		{NewLaw(-300, 0, 0), 20, ErrDomain, "reference"},
		{NewLaw(20, inf, 0), 20, ErrNotFinite, "alpha"},
		{NewLaw(20, 0, -inf), 20, ErrNotFinite, "beta"},
		{Law{}, nan, ErrNotFinite, "temperature"},
		{Law{}, -273.2, ErrDomain, "temperature"},
		{NewLaw(20, 0.00393, 0), -260, ErrDomain, "temperature"},
		{NewLaw(20, 1e300, 1e300), 1e9, ErrNotFinite, "ratio"},
	} {
		got, err := c.law.Ratio(c.at)
		e, ok := errors.AsType[*Error](err)
		if !ok || !errors.Is(err, c.want) || e.Name != c.name || got != 0 {
			t.Errorf("%v.Ratio(%v) = %v, %v; want %v about %s", c.law, c.at, got, err, c.want, c.name)
		}
		if _, err := c.law.Rebase(c.at); !errors.Is(err, c.want) {
			t.Errorf("%v.Rebase(%v): %v; want %v", c.law, c.at, err, c.want)
		}
		if _, err := c.law.Correct(1, 20, c.at); err == nil {
			t.Errorf("%v.Correct(1, 20, %v): no error", c.law, c.at)
		}
	}
	if _, err := (Law{}).Correct(nan, 20, 20); !errors.Is(err, ErrNotFinite) {
		t.Errorf("Correct(NaN): %v", err)
	}
	if _, err := NewLaw(nan, 0, 0).Slope(20); !errors.Is(err, ErrNotFinite) {
		t.Errorf("Slope of a bad law: %v", err)
	}
	if _, err := (Law{}).Slope(-300); !errors.Is(err, ErrDomain) {
		t.Errorf("Slope below absolute zero: %v", err)
	}
}

func TestErrorText(t *testing.T) {
	_, err := NewLaw(20, 0.00393, 0).Ratio(-260)
	const want = "thermal.Law.Ratio: temperature: -260; expected a temperature at which the law " +
		"1 +0.00393 (t−20) gives a positive resistance"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}

// A change near the extremum of the parabola keeps its digits: against rational numbers, to
// a few roundings of its terms, where the difference of two ratios has an error of 1e-16.
func TestChangeNearExtremum(t *testing.T) {
	rational := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	for _, l := range []Law{NewLaw(25, 0, -5e-7), NewLaw(25, 4e-6, -5e-7), NewLaw(20, -3e-6, 2.5e-7)} {
		peak, _ := l.Extremum()
		ratio := func(celsius float64) *big.Rat {
			d := new(big.Rat).Sub(rational(celsius), rational(l.reference))
			q := new(big.Rat).Mul(d, rational(l.beta))
			q.Add(q, rational(l.alpha)).Mul(q, d)
			return q.Add(q, big.NewRat(1, 1))
		}
		for _, d := range [][2]float64{{-0.5, 0.501}, {0, 1e-3}, {-1e-3, 1e-3}, {1e-6, 2e-6}, {-2, 7}, {3, 3}} {
			from, to := peak+d[0], peak+d[1]
			exact := new(big.Rat).Quo(ratio(to), ratio(from))
			want, _ := exact.Sub(exact, big.NewRat(1, 1)).Float64()
			got := must(t, l.String())(l.Change(from, to))
			distances := math.Abs(from-l.reference) + math.Abs(to-l.reference)
			slopes := math.Abs(l.alpha) + math.Abs(l.beta)*distances
			if reach := 4 * 0x1p-53 * math.Abs(to-from) * slopes; math.Abs(got-want) > reach {
				t.Errorf("%v from %v to %v °C: %v; want %v ± %v", l, from, to, got, want, reach)
			}
		}
	}
	// βd² alone, at the reference and beside it.
	l := NewLaw(25, 0, -5e-7)
	if got := must(t, "")(l.LargestChange(25-0x1p-10, 25+0x1p-11)); got != 5e-7*0x1p-20 {
		t.Errorf("largest change within 1/1024 K of the peak: %v; want %v", got, 5e-7*0x1p-20)
	}
	refused(t, ErrDomain, "from")(l.Change(-300, 20))
	refused(t, ErrDomain, "to")(l.Within(15, 35).Change(20, 40))
	refused(t, ErrNotFinite, "to")(l.Change(20, math.NaN()))
}
