// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// A reading is what is at the terminals and the leads, less what was nulled.
func TestLeadsOfSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: dials(0.001, 100)})
	meter := &verify.Meter{Wiring: verify.WiringTwoWire, Ideal: true, Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2}}}
	for _, c := range []struct{ leads, nulled float64 }{{0, 0}, {0.5, 0}, {0.5, 0.125}, {-0.25, 0.125}} {
		sp, err := newSpecimen("test", newModel(b, nil, 0), meter, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		sp.leads, sp.nulled = c.leads, c.nulled
		for _, p := range []int{0, 1, 7} {
			x := at(t, b, p)
			r, err := sp.Read(x)
			if want := sp.terminals(x) + c.leads - c.nulled; err != nil || len(r.Values) != 1 || math.Abs(r.Values[0]-want) > 1e-9 {
				t.Errorf("leads %v, nulled %v, position %d: %v, %v; want %v", c.leads, c.nulled, p, r.Values, err, want)
			}
		}
	}
}

// The errors of a reading are the gain of its range times the value, the zero of the range,
// what one limit has of both, and a linearity that is the same when the value is read again.
func TestErrorsOfSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	r := verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 0.005, OfRange: 0.005, Linearity: 3} // at 400 Ω: 2, √(25 − 9), √(2·2·5) Ω
	for _, c := range []struct {
		combine verify.Combination
		want    float64
	}{
		{verify.CombineOneLimit, 0.5*2 + 0.25*4 - 0.5*math.Sqrt(20) + 0.75*3},
		{verify.CombineTwoLimits, 0.5*2 + 0.25*4 + 0.75*3},
	} {
		r.Combine = c.combine
		sp, err := NewSpecimen(b, &verify.Meter{Wiring: verify.WiringFourWire, Ranges: []verify.Range{r}}, 1)
		if err != nil {
			t.Fatal(err)
		}
		sp.errors = []rangeError{{gain: 0.5, zero: 0.25, both: -0.5, values: []float64{400.5}, line: []float64{0.75}}}
		for range 2 {
			if got := sp.readingError(0, 400); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("%v: off by %v; want %v", c.combine, got, c.want)
			}
		}
		if sp.readingError(0, 402); len(sp.errors[0].line) != 2 {
			t.Errorf("%v: %d linearity errors, want a new one at 402 Ω", c.combine, len(sp.errors[0].line))
		}
	}
	// Even between ± the limit, or normal with the limit over k, new in each reading.
	for _, k := range []float64{0, 2} {
		r := verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 0.005, OfRange: 0.005, Combine: verify.CombineIndependent, K: k}
		sp, err := NewSpecimen(b, &verify.Meter{Wiring: verify.WiringFourWire, Ranges: []verify.Range{r}}, 1)
		if err != nil {
			t.Fatal(err)
		}
		sp.rng = rand.New(rand.NewPCG(3, 4))
		same := rand.New(rand.NewPCG(3, 4)) // the same draws
		for range 4 {
			want := 7 * (2*same.Float64() - 1)
			if k > 0 {
				same = rand.New(rand.NewPCG(3, 4))
				sp.rng = rand.New(rand.NewPCG(3, 4))
				want = 7 * same.NormFloat64() / k
			}
			if got := sp.readingError(0, 400); math.Abs(got-want) > 1e-9 {
				t.Errorf("k %v: off by %v; want %v", k, got, want)
			}
		}
	}
}

// Ranges of one reference share the gain error of the best of them and no more: errors of
// a = 4, 1 and 1 parts in 10⁴ have covariances of the square of the smallest over 3, whatever
// the order of the ranges, and each has its own variance a²/3. A range without a reference keeps
// its own, though it is the best of all.
func TestSharedReferenceOfSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	meter := &verify.Meter{Wiring: verify.WiringFourWire, Ranges: []verify.Range{
		{Name: "100 Ω", FullScale: 100, OfReading: 4e-4, Reference: "A"},
		{Name: "1 kΩ", FullScale: 1e3, OfReading: 1e-4, Reference: "A"},
		{Name: "10 kΩ", FullScale: 1e4, OfReading: 1e-4, Reference: "A"},
		{Name: "100 kΩ", FullScale: 1e5, OfReading: 5e-5},
	}}
	const n = 4000
	var sum [4][4]float64
	for seed := range uint64(n) {
		sp, err := NewSpecimen(b, meter, seed)
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range meter.Ranges {
			for j, y := range meter.Ranges {
				sum[i][j] += 1e8 * x.OfReading * y.OfReading * sp.errors[i].gain * sp.errors[j].gain / n
			}
		}
	}
	// In (1e-4)²: a_best²/3 within a reference, 0 beside it, a²/3 on the diagonal.
	want := [4][4]float64{{16. / 3, 1. / 3, 1. / 3, 0}, {1. / 3, 1. / 3, 1. / 3, 0},
		{1. / 3, 1. / 3, 1. / 3, 0}, {0, 0, 0, 0.25 / 3}}
	for i := range want {
		for j := range want {
			// Four standard deviations of a mean of n products.
			if d := math.Sqrt(want[i][i]*want[j][j]) * 4 / math.Sqrt(n); math.Abs(sum[i][j]-want[i][j]) > d {
				t.Errorf("%d, %d: covariance %.4f; want %.4f ± %.4f", i, j, sum[i][j], want[i][j], d)
			}
		}
	}
}

// The residual of a specimen is drawn evenly inside its limits, and no resistance below
// zero comes of limits wider than the residual: a tenth of it is always left.
func TestResidualOfSpecimen(t *testing.T) {
	meter := &verify.Meter{Wiring: verify.WiringFourWire, Ideal: true,
		Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2}}}
	for _, c := range []struct{ residual, limit, least float64 }{
		{0.1, 0.05, 0.05}, {0.01, 0.05, 0.001}, {0, 0.05, 0},
	} {
		spec := decade.Spec{Residual: c.residual, ResidualTolerance: c.limit, Decades: dials(0, 100)}
		b := box(t, spec)
		low, high := math.Inf(1), math.Inf(-1)
		for seed := range uint64(400) {
			sp, err := NewSpecimen(b, meter, seed)
			if err != nil {
				t.Fatal(err)
			}
			ohms := sp.terminals(b.Zero())
			low, high = min(low, ohms), max(high, ohms)
		}
		within := 0.02 * c.limit // of 400 draws the outermost lies nearer than this
		if low < c.least-1e-12 || low > c.least+within {
			t.Errorf("residual %v ± %v Ω: lowest %v, want %v", c.residual, c.limit, low, c.least)
		}
		if most := c.residual + c.limit; high > most+1e-12 || high < most-within {
			t.Errorf("residual %v ± %v Ω: highest %v, want %v", c.residual, c.limit, high, most)
		}
	}
}
