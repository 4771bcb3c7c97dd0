// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"io"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/conformity"
)

// manyDiallings reads a box of seven dials n times, every 71st time at zero.
func manyDiallings(tb testing.TB, n int) (*decade.Box, *Meter, []Reading) {
	tb.Helper()
	spec := decade.Spec{Name: "seven dials", Residual: 0.02, ResidualTolerance: 0.02, Contact: 1e-4}
	m := &Meter{Name: "m", Serial: "1", Wiring: WiringFourWire, OffsetCompensated: true}
	for _, step := range []float64{1e5, 1e4, 1e3, 100, 10, 1, 0.1} {
		spec.Decades = append(spec.Decades, decade.Decade{Step: step, Tolerance: 1e-3, Floor: 1e-3})
		m.Ranges = append(m.Ranges,
			Range{Name: fmt.Sprint(10*step, " Ω"), FullScale: 10 * step, OverRange: 1.2,
				OfReading: 1e-4, OfRange: 1e-5, Resolution: 1e-5 * step})
	}
	b, err := decade.New(spec)
	if err != nil {
		tb.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 2))
	rs := make([]Reading, n)
	for i := range rs {
		s := b.Zero()
		if i%71 != 0 {
			s, _ = s.With(r.IntN(7), 1+r.IntN(10))
		}
		rs[i] = Reading{Setting: s, Values: []float64{s.Nominal()*(1+1e-5) + 0.02 + 2.6e-4*r.NormFloat64()}}
	}
	return b, m, rs
}

// BenchmarkDiallings shows how a report grows with its diallings: the metric x2 is the time of
// one size over that of half of it, which is 2 where it is in proportion.
func BenchmarkDiallings(b *testing.B) {
	sizes := []int{1000, 2000, 4000, 8000, 16000, 32000, 64000}
	if testing.Short() {
		sizes = sizes[:2]
	}
	previous := 0.0
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			box, m, rs := manyDiallings(b, n)
			b.ReportAllocs()
			b.ResetTimer()
			began := time.Now()
			for range b.N {
				r, err := Evaluate(box, m, rs, conformity.Guarded(1))
				if err != nil {
					b.Fatal(err)
				}
				if err := r.WriteText(io.Discard); err != nil {
					b.Fatal(err)
				}
			}
			each := time.Since(began).Seconds() / float64(b.N)
			if previous > 0 {
				b.ReportMetric(each/previous, "x2")
			}
			previous = each
		})
	}
}

// BenchmarkKnownResistors shows how a report with a known resistor among its readings grows:
// x2 as in BenchmarkDiallings.
func BenchmarkKnownResistors(b *testing.B) {
	previous := 0.0
	for _, n := range []int{500, 1000, 2000, 4000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			box, m, rs := manyDiallings(b, n)
			rs = append(rs, knownKilohm())
			b.ResetTimer()
			began := time.Now()
			for range b.N {
				if _, err := Evaluate(box, m, rs, conformity.Guarded(1)); err != nil {
					b.Fatal(err)
				}
			}
			each := time.Since(began).Seconds() / float64(b.N)
			if previous > 0 {
				b.ReportMetric(each/previous, "x2")
			}
			previous = each
		})
	}
}

func knownKilohm() Reading {
	return Reading{Known: &Known{Name: "standard 1 kΩ", Value: 1000, U: 1e-3}, Values: []float64{1000.02}}
}

// Three times the readings take three times the memory where a known resistor corrects them, read
// once or before every ten of them: no matrix of all readings is made.
func TestKnownResistorsGrowInProportion(t *testing.T) {
	memory := func(n, known int) float64 {
		box, m, rs := manyDiallings(t, n)
		for range known {
			rs = append(rs, knownKilohm())
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := Evaluate(box, m, rs, conformity.Guarded(1)); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	for _, c := range []struct {
		small, large float64
		most         float64
	}{{memory(800, 1), memory(2400, 1), 2.7}, {memory(400, 40), memory(1200, 120), 3.6}} {
		if ratio := c.large / c.small; ratio > c.most {
			t.Errorf("three times the readings take %.3g times the memory, want at most %g", ratio,
				c.most)
		}
	}
}
