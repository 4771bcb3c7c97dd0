// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"math"
	"math/big"
	"strconv"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func ratio(v float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(v, 'e', -1, 64))
	return r
}

func rat(p int, factors ...float64) *big.Rat {
	r := new(big.Rat).SetInt64(int64(p))
	for _, f := range factors {
		r.Mul(r, ratio(f))
	}
	return r
}

func toFloat(r *big.Rat) float64 {
	v, _ := r.Float64()
	return v
}

// exactly computes nominal value and limits by rational arithmetic of the stated
// decimals, from the definition.
func exactly(s decade.Setting) (nominal, class, lower, upper float64) {
	spec := s.Box().Spec()
	n, c := new(big.Rat), new(big.Rat)
	for i, d := range spec.Decades {
		p := s.Position(i)
		if p == 0 {
			continue
		}
		n.Add(n, rat(p, d.Step))
		c.Add(c, rat(p, d.Step, d.Tolerance))
		c.Add(c, rat(1, d.Floor))
	}
	lo, hi := ratio(spec.Residual), ratio(spec.Residual)
	lo.Sub(lo, ratio(spec.ResidualTolerance))
	hi.Add(hi, ratio(spec.ResidualTolerance))
	if s.AllZero() {
		return 0, 0, toFloat(lo), toFloat(hi)
	}
	c.Add(c, new(big.Rat).Mul(n, ratio(spec.Tolerance)))
	c.Add(c, ratio(spec.Floor))
	if spec.ResidualIncluded {
		lo, hi = new(big.Rat), new(big.Rat)
	}
	lo.Add(lo, n).Sub(lo, c)
	hi.Add(hi, n).Add(hi, c)
	return toFloat(n), toFloat(c), toFloat(lo), toFloat(hi)
}

// Nominal values and limits are the correctly rounded sums of the stated decimals, in
// both conventions.
func TestExact(t *testing.T) {
	everything := bench()
	everything.Tolerance, everything.Floor = 0.00013, 0.0021
	for i := range everything.Decades {
		everything.Decades[i].Floor = 0.0007 * float64(i)
		everything.Decades[i].Positions = 4
	}
	included := everything
	included.ResidualIncluded = true
	for name, spec := range map[string]decade.Spec{
		"plain": {Decades: steps(0.0002, 1000, 100, 10, 0.1)}, "school": school(), "everything": everything, "included": included,
		"large": {Decades: steps(0.01, 1e17, 1e16)}, "small": {Decades: steps(0.01, 1e-11, 1e-12)},
		"fine steps": {Decades: steps(0.001, 0.3333333333333333, 0.012345678901234)},
	} {
		b := box(t, spec)
		skip, i := 1+b.NumSettings()/2000, uint64(0)
		for s := range b.Settings() {
			if i++; i%skip != 0 {
				continue // enough of large boxes
			}
			n, c, lo, hi := exactly(s)
			limits := s.Limits()
			if s.Nominal() != n || s.ClassLimit() != c || limits.Lower != lo || limits.Upper != hi {
				t.Fatalf("%s %v: %v ± %v, %v; want %v ± %v, {%v %v}", name, s, s.Nominal(),
					s.ClassLimit(), limits, n, c, lo, hi)
			}
			if v := s.Value(); v < lo || v > hi {
				t.Fatalf("%s %v: value %v outside %v", name, s, v, limits)
			}
		}
	}
}

// Steps without a common decimal unit below 2⁵³ fall back to sums in twice the precision
// of float64: here too the result is off by half a unit of the last place at most.
func TestExactFallback(t *testing.T) {
	b := box(t, decade.Spec{Residual: 1e-9, Decades: steps(1.0/3, 1e9/3, 1.0/3, 1e-9/3)})
	worst := 0.0
	for s := range b.Settings() {
		n, c, lo, hi := exactly(s)
		for _, d := range []struct{ got, want float64 }{{s.Nominal(), n}, {s.ClassLimit(), c}, {s.Limits().Lower, lo}, {s.Limits().Upper, hi}} {
			worst = max(worst, math.Abs(d.got-d.want)/math.Max(d.want, 1e-300))
		}
	}
	if worst > 0x1p-53 {
		t.Errorf("relative error %.3g; want at most half a unit of the last place", worst)
	}
}

func TestLimitsOnTheDot(t *testing.T) {
	b := box(t, decade.Spec{Decades: steps(0.0002, 1000)})
	if got := at(t, b, 7).ClassLimit(); got != 1.4 {
		t.Errorf("0.02 %% of 7 kΩ is %v; want 1.4", got)
	}
	if l := at(t, b, 7).Limits(); l.Lower != 6998.6 || l.Upper != 7001.4 {
		t.Errorf("limits %v; want 6998.6 to 7001.4", l)
	}
}

func TestConventions(t *testing.T) {
	spec := bench()
	excluded := at(t, box(t, spec), 1, 2, 3, 4, 5)
	spec.ResidualIncluded = true
	included := at(t, box(t, spec), 1, 2, 3, 4, 5)
	if excluded.Nominal() != 1234.5 || included.Nominal() != 1234.5 ||
		excluded.ClassLimit() != 1.275 || included.ClassLimit() != 1.275 {
		t.Error("nominal value or class limit depend on the convention")
	}
	if l := excluded.Limits(); l.Lower != 1233.24 || l.Upper != 1235.8 || excluded.Value() != 1234.52 {
		t.Errorf("excluded: %v, value %v", l, excluded.Value())
	}
	if l := included.Limits(); l.Lower != 1233.225 || l.Upper != 1235.775 || included.Value() != 1234.5 {
		t.Errorf("included: %v, value %v", l, included.Value())
	}
	for _, s := range []decade.Setting{excluded, included} {
		zero := s.Box().Zero()
		if l := zero.Limits(); l != s.Box().Residual() || l.Lower != 0.015 || l.Upper != 0.025 ||
			zero.ClassLimit() != 0 || zero.Value() != 0.02 {
			t.Errorf("zero: %v, class %v, value %v", l, zero.ClassLimit(), zero.Value())
		}
	}
}

const (
	companion = "open textbook-companion collection for electrical measurements, decade-box limiting-error example"
	computed  = "computed independently of this package, decimal arithmetic"
)

// Limits of error in the forms that are published.
func TestPublishedLimits(t *testing.T) {
	four := at(t, box(t, decade.Spec{Decades: steps(0.001, 1000, 100, 10, 1)}), 4, 6, 3, 9)
	row := func(name, source, place, printed string, p uncertaintytest.Provenance) uncertaintytest.Published {
		return uncertaintytest.Published{Name: name, Source: source, Place: place, Printed: printed, Provenance: p}
	}
	seen, common, memory := uncertaintytest.Seen, uncertaintytest.CommonPractice, uncertaintytest.FromMemory
	row("form a, four dials of 0.1 %, limit", companion, "4639 Ω", "4.639", seen).Run(t, four.ClassLimit())
	row("form a, four dials of 0.1 %, lower", companion, "4639 Ω", "4634.361", seen).Run(t, four.Limits().Lower)
	row("form a, four dials of 0.1 %, upper", companion, "4639 Ω", "4643.639", seen).Run(t, four.Limits().Upper)
	row("form a, four dials of 0.1 %, per cent", companion, "4639 Ω", "0.1", seen).Run(t,
		100*four.ClassLimit()/four.Nominal())

	mixed := bench()
	mixed.ResidualTolerance = 0
	s := at(t, box(t, mixed), 1, 2, 3, 4, 5)
	row("form a, classes 0.1, 0.5 and 5 %", computed, "1234.5 Ω", "1.275", common).Run(t, s.ClassLimit())
	row("form a with the residual as allowance", computed, "1234.5 Ω", "1.295", common).Run(t,
		s.Limits().Upper-s.Nominal())
	row("form a with the residual, per cent", computed, "1234.5 Ω", "0.1049", common).Run(t,
		100*(s.Limits().Upper-s.Nominal())/s.Nominal())

	b := at(t, box(t, decade.Spec{Tolerance: 0.0005, Floor: 0.02, Decades: steps(0, 1000, 100, 10)}), 1, 2, 3)
	row("form b, ±(0.05 % + 20 mΩ)", computed, "1230 Ω", "0.635", common).Run(t, b.ClassLimit())

	c := at(t, box(t, decade.Spec{Floor: 0.001*1000 + 2*0.1, Decades: steps(0, 1000, 100, 10, 1, 0.1)}), 1, 2, 3, 4, 5)
	row("form c, 0.1 % of the highest step and two units of the lowest dial", computed,
		"any setting", "1.2", common).Run(t, c.ClassLimit())

	tolerance, floor, err := decade.TwoNumberClass(0.05, 4e-6, 99999.9)
	if err != nil {
		t.Fatal(err)
	}
	d := at(t, box(t, decade.Spec{Tolerance: tolerance, Floor: floor,
		Decades: steps(0, 10000, 1000, 100, 10, 1, 0.1)}), 0, 0, 1, 0, 0, 0)
	gost := "GOST 23737-79, two-number class; example " + computed
	row("form d, class 0.05/4e-6, per cent", gost, "100 Ω of 99999.9 Ω", "0.053996", memory).Run(t,
		100*d.ClassLimit()/d.Nominal())
	row("form d, class 0.05/4e-6, milliohms", gost, "100 Ω of 99999.9 Ω", "54.0", memory).Run(t, 1000*d.ClassLimit())

	e := at(t, box(t, decade.Spec{Tolerance: 0.001, Floor: 0.002 * 6,
		Decades: steps(0, 10000, 1000, 100, 10, 1, 0.1)}), 0, 0, 3, 6, 0, 5)
	row("form e, 0.1 % and 2 mΩ for each of six dials", computed, "360.5 Ω", "0.3725", common).Run(t, e.ClassLimit())
}

func TestTwoNumberClassRefuses(t *testing.T) {
	for _, c := range [][3]float64{{math.NaN(), 0, 1}, {-1, 0, 1}, {0.05, 0.06, 1},
		{0.05, 0.01, math.Inf(1)}, {0.05, 0.01, -1}} {
		if tolerance, floor, err := decade.TwoNumberClass(c[0], c[1], c[2]); err == nil {
			t.Errorf("TwoNumberClass(%v) = %v, %v; want an error", c, tolerance, floor)
		}
	}
	if _, _, err := decade.TwoNumberClass(1000, 1000, math.MaxFloat64); err == nil {
		t.Error("overflow of the floor: want an error")
	}
}
