// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// sixDials is a box of six dials with temperature laws and one element that drifted, and
// 69 readings of it in the order of the recommended plan, with so many values each.
func sixDials(tb testing.TB, repeats int) (*decade.Box, *verify.Meter, []verify.Reading) {
	tb.Helper()
	spec := decade.Spec{Name: "six dials", Residual: 0.012, ResidualTolerance: 0.003, Contact: 1e-4}
	m := &verify.Meter{Name: "6½ digits", Serial: "M-1", Wiring: verify.WiringFourWire,
		OffsetCompensated: true, Thermometer: 0.3}
	for _, step := range []float64{1e4, 1e3, 100, 10, 1, 0.1} {
		spec.Decades = append(spec.Decades, decade.Decade{Step: step, Tolerance: 2e-4, Floor: 5e-4})
	}
	for _, scale := range []float64{10, 100, 1e3, 1e4, 1e5} {
		m.Ranges = append(m.Ranges,
			verify.Range{Name: fmt.Sprint(scale, " Ω"), FullScale: scale, OverRange: 1.2,
				OfReading: 3e-5, OfRange: 8e-6, Resolution: 1e-6 * scale})
	}
	b, err := decade.New(spec)
	if err != nil {
		tb.Fatal(err)
	}
	plan, err := verify.NewPlan(b, verify.ExtentRecommended)
	if err != nil {
		tb.Fatal(err)
	}
	f := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 1, Number: 1}, Value: 1.5}
	r := rand.New(rand.NewPCG(1, 16))
	var out []verify.Reading
	for _, s := range plan.Settings() {
		v, err := fault.Predict(s, f)
		if err != nil {
			tb.Fatal(err)
		}
		rd := verify.Reading{Setting: s}
		for range repeats {
			rd.Values = append(rd.Values, v+2e-6*(v+10)*r.NormFloat64()/3)
		}
		out = append(out, rd)
	}
	return b, m, slices.Concat(out, out)[:69]
}

// BenchmarkAdd adds each of 69 readings to the 68 others, and the causes of single faults after
// it: the metrics are the median and the largest over the readings, in milliseconds, of the
// fastest of all rounds, and the time of the batch over the median.
func BenchmarkAdd(b *testing.B) {
	for _, repeats := range []int{1, 3} {
		b.Run(fmt.Sprintf("verdicts, %d values a reading", repeats), func(b *testing.B) {
			benchmarkAdd(b, repeats, func(in *Inspection, r verify.Reading) error { return in.Add(r) },
				func(box *decade.Box, m *verify.Meter, readings []verify.Reading) error {
					_, err := verify.Evaluate(box, m, readings, conformity.Guarded(1))
					return err
				})
		})
	}
	b.Run("verdicts and causes", func(b *testing.B) {
		benchmarkAdd(b, 1, func(in *Inspection, r verify.Reading) error {
			if err := in.Add(r); err != nil {
				return err
			}
			_, err := in.Answer(context.Background())
			return err
		}, func(box *decade.Box, m *verify.Meter, readings []verify.Reading) error {
			r, err := verify.Evaluate(box, m, readings, conformity.Guarded(1))
			if err != nil {
				return err
			}
			_, err = New(context.Background(), r, fault.Options{Faults: 1})
			return err
		})
	})
}

func benchmarkAdd(b *testing.B, repeats int, one func(*Inspection, verify.Reading) error,
	batch func(*decade.Box, *verify.Meter, []verify.Reading) error) {
	box, m, readings := sixDials(b, repeats)
	fastest := make([]time.Duration, len(readings))
	whole := time.Hour
	for i := range fastest {
		fastest[i] = time.Hour
	}
	b.ReportAllocs()
	for b.Loop() {
		for i, last := range readings {
			in, err := NewInspection(box, m, conformity.Guarded(1), fault.Options{})
			if err != nil {
				b.Fatal(err)
			}
			if err := in.Add(slices.Concat(readings[:i], readings[i+1:])...); err != nil {
				b.Fatal(err)
			}
			began := time.Now()
			if err := one(in, last); err != nil {
				b.Fatal(err)
			}
			fastest[i] = min(fastest[i], time.Since(began))
			if i%10 == 0 {
				began = time.Now()
				if err := batch(box, m, readings); err != nil {
					b.Fatal(err)
				}
				whole = min(whole, time.Since(began))
			}
		}
	}
	slices.Sort(fastest)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	b.ReportMetric(ms(fastest[len(fastest)/2]), "median-ms")
	b.ReportMetric(ms(fastest[len(fastest)-1]), "largest-ms")
	b.ReportMetric(float64(whole)/float64(fastest[len(fastest)/2]), "batch/median")
}
