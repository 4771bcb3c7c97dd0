// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// drawn draws the errors of a meter and the contacts of a box from the laws that the
// model assigns, independently of the code that evaluates them.
type drawn struct {
	*rand.Rand
	rg                Range
	switchU           float64
	gain, zero, cross float64 // of limit 1
	line              [][2]float64
}

func newDrawn(r *rand.Rand, rg Range, contact float64, contacts int) *drawn {
	b := &drawn{Rand: r, rg: rg, switchU: contact * math.Sqrt(float64(contacts))}
	b.gain, b.zero, b.cross = b.flat(1), b.flat(1), b.flat(1)
	return b
}

func (b *drawn) flat(a float64) float64 { return a * (2*b.Float64() - 1) }

// reads is what the meter shows of a resistance at the terminals.
func (b *drawn) reads(ohms float64) float64 {
	v := ohms + b.switchU*b.NormFloat64()
	a, span := b.rg.OfReading, b.rg.OfRange*b.rg.FullScale
	e := math.Max(span/4, b.rg.Resolution)
	at := slices.IndexFunc(b.line, func(x [2]float64) bool { return math.Abs(x[0]-v) <= b.rg.FullScale/1000 })
	if at < 0 {
		at = len(b.line)
		b.line = append(b.line, [2]float64{v, b.flat(e)})
	}
	v += v*a*b.gain + math.Sqrt(span*span-e*e)*b.zero + math.Sqrt(2*a*span*math.Abs(v))*b.cross + b.line[at][1]
	return math.Round(v/b.rg.Resolution) * b.rg.Resolution
}

// Over many boxes and meters the stated intervals contain the truth at least as often
// as they say (a rectangle at k = 1.96 covers more), and a setting that is called
// conforming is outside its class in no more than 2.5 % of the cases, however the
// elements lie.
func TestIntervalsCoverTheTruth(t *testing.T) {
	const seed = 20260301
	sessions := 25
	if uncertaintytest.Long() {
		sessions = 400
	}
	random := rand.New(rand.NewPCG(seed, 1))
	rg := Range{Name: "1 kΩ", FullScale: 1000, OverRange: 12, OfReading: 2e-5, OfRange: 1e-5, Resolution: 1e-4}
	box, err := decade.New(decade.Spec{Name: "b", Residual: 0.02, ResidualTolerance: 0.02,
		Contact: 1e-3, Decades: []decade.Decade{
			{Name: "100 Ω", Step: 100, Tolerance: 1e-4}, {Name: "10 Ω", Step: 10, Tolerance: 5e-4}}})
	if err != nil {
		t.Fatal(err)
	}
	m := fourWire()
	m.Ranges = []Range{rg}
	var covered, intervals, accepted, outside int
	for range sessions {
		b := newDrawn(random, rg, 1e-3, 2)
		truth, readings := simulateSession(box, b)
		r := evaluated(t, box, m, readings, conformity.Guarded(1))
		for i, row := range r.Rows {
			if row.Setting.AllZero() {
				continue
			}
			intervals++
			if row.Expanded.Contains(truth[i]) {
				covered++
			}
			if row.Verdict == conformity.VerdictConforms {
				accepted++
				if !row.Limits.Contains(truth[i]) {
					outside++
				}
			}
		}
	}
	// Rows of a session share the gain: the sessions are what is independent.
	noise := 3 * math.Sqrt(0.05*0.95/float64(sessions))
	share := float64(covered) / float64(intervals)
	t.Logf("%d of %d intervals contain the truth (%.1f %%); %d of %d accepted settings are "+
		"outside (%.2f %%); seed %d", covered, intervals, 100*share, outside, accepted,
		100*float64(outside)/float64(accepted), seed)
	if share < 0.95-noise {
		t.Errorf("%.1f %% of the intervals contain the truth, want 95 %%", 100*share)
	}
	if wrong := float64(outside) / float64(accepted); wrong > 0.025 {
		t.Errorf("%.2f %% of the accepted settings are outside, want at most 2.5 %%", 100*wrong)
	}
}

// simulateSession makes a box with elements up to twice their class off, and reads zero
// three times and every position of its dials. The truth is the deviation above the
// residual.
func simulateSession(box *decade.Box, b *drawn) (truth []float64, readings []Reading) {
	residual := 0.02 + 0.005*b.NormFloat64()
	add := func(s decade.Setting, deviation float64) {
		truth = append(truth, deviation)
		readings = append(readings, Reading{Setting: s, Values: []float64{b.reads(residual + s.Nominal() + deviation)}})
	}
	for range 3 {
		add(box.Zero(), 0)
	}
	for d, dec := range box.Decades() {
		deviation := 0.0
		for p := 1; p <= dec.Positions; p++ {
			deviation += b.flat(2 * dec.Tolerance * dec.Step)
			s, err := box.Zero().With(d, p)
			if err != nil {
				continue
			}
			add(s, deviation)
		}
	}
	return truth, readings
}
