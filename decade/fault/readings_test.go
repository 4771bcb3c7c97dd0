// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// fullPlan reads every setting of the full plan once, each by what add makes of it.
func fullPlan(t *testing.T, b *decade.Box, add func(x decade.Setting) float64) []verify.Reading {
	t.Helper()
	p, err := verify.NewPlan(b, verify.ExtentFull)
	if err != nil {
		t.Fatal(err)
	}
	var rs []verify.Reading
	for _, x := range p.Settings() {
		rs = append(rs, verify.Reading{Setting: x, Values: []float64{x.Value() + add(x)}})
	}
	return rs
}

// Ohms in series that are new at each dialling, the full plan read once: they scatter, which
// is no ageing and no mean.
func TestScatterInSeries(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.0005, 1000, 100, 10, 1)})
	for seed := range uint64(2) {
		rng := rand.New(rand.NewPCG(13, seed))
		d := diagnosed(t, b, fullPlan(t, b, func(decade.Setting) float64 { return 0.12 + 0.33*rng.Float64() }))
		c := d.Causes[0]
		if d.Healthy || c.Kind != KindSeries || len(c.Faults) != 1 || !(c.Faults[0].Scatter > 0.05 && c.Faults[0].Scatter < 0.2) {
			t.Errorf("seed %d: %v, scatter %v", seed, c, c.Faults[0].Scatter)
		}
		if text := c.String(); !strings.Contains(text, "does not read the same twice (standard deviation ") {
			t.Errorf("seed %d: %q does not give the scatter", seed, text)
		}
		for _, c := range d.Causes {
			for _, f := range c.Faults {
				if f.Kind == KindAged && c.Probability > 1e-3 {
					t.Errorf("seed %d: aged: %v", seed, c)
				}
			}
		}
	}
}

// Position 10 of ×100 Ω once 1001.119, all else right: one more dialling decides, before
// anything is opened.
func TestOnceHigh(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.0005, 100)})
	rs := ladderReadings(t, b, 0.02, 100.02, 200.02, 300.02, 400.02, 500.02, 600.02, 700.02, 800.02, 900.02, 1001.119)
	d := diagnosed(t, b, rs)
	if d.Healthy || d.Next.Act != ActDialAgain || d.Next.Setting != at(t, b, 10) {
		t.Errorf("%v: %v", d.Causes, d.Next)
	}
	again := append(rs, verify.Reading{Setting: at(t, b, 10), Values: []float64{1000.02}})
	if d := diagnosed(t, b, again); !d.Healthy && d.Next.Act == ActOpen {
		t.Errorf("right when dialled again: %v", d.Next)
	}
}

// The contacts of code dials add up to the residual that the description states: a box that
// reads 20 mΩ at zero as stated is healthy.
func TestResidualOfCodes(t *testing.T) {
	for _, code := range []decade.Code{decade.Code1225(), decade.Code1242(), decade.Code1234()} {
		b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.005, Contact: 0.0005, Decades: coded(0.0005, code, 1000, 100, 10, 1)})
		// An element R beside its contact c of 1 mΩ takes c²/R off, 2 µΩ in all.
		p := newProbe(newLayout(b))
		if got := p.solve(p.healthy, b.Zero()); math.Abs(got-0.02) > 1e-5 {
			t.Errorf("%v: %v Ω at zero; want 0.02", code, got)
		}
		rs := fullPlan(t, b, func(decade.Setting) float64 { return 0 })
		if rs[0].Setting != b.Zero() || math.Abs(rs[0].Values[0]-0.02) > 1e-9 {
			t.Fatalf("%v reads %v", rs[0].Setting, rs[0].Values)
		}
		if d := diagnosed(t, b, rs); !d.Healthy || d.Probability < 0.9 {
			t.Errorf("%v: healthy %v, %v: %v", code, d.Healthy, d.Probability, d.Causes)
		}
	}
}

// Readings that no cause of the list gives: something else comes first, and the next step
// takes no cause for found.
func TestSomethingElse(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.0005, 100, 10, 1)})
	for seed := range uint64(2) {
		rng := rand.New(rand.NewPCG(14, seed))
		d := diagnosed(t, b, fullPlan(t, b, func(x decade.Setting) float64 {
			return 0.01 * x.Value() * math.Sin(math.Pow(x.Value(), 1.3)+6*rng.Float64())
		}))
		if d.Healthy || d.Causes[0].Kind != KindUnexplained {
			t.Errorf("seed %d: %v", seed, d.Causes[0])
		}
		if a := d.Next.Act; a == ActNothing || a == ActClean || a == ActOpen || strings.Contains(d.Next.Text, "cause is left") {
			t.Errorf("seed %d: %v", seed, d.Next)
		}
	}
}
