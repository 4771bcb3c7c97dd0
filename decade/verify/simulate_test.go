// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
)

// world is a box with true values and a meter with true errors, drawn from the laws that
// the model of this package assigns to them. It is written from the description of that
// model and shares no code with it: gain, zero and what one limit has of both are common
// to the range, by half in each variance to all sessions; a quarter of the range part is
// new at each value.
type world struct {
	rnd      *rand.Rand
	box      *decade.Box
	meter    *Meter
	residual float64
	elements [][]float64             // by dial and element − 1
	always   map[string][3]float64   // by range: gain, zero and both, of limit 1
	now      map[string][3]float64   // the same, of the session
	line     map[string][][2]float64 // by range: values in Ω and the linearity there, of limit 1
}

func newWorld(seed uint64, box *decade.Box, m *Meter) *world {
	w := &world{rnd: rand.New(rand.NewPCG(seed, 77)), box: box, meter: m, line: make(map[string][][2]float64)}
	spec := box.Spec()
	w.residual = spec.Residual + spec.ResidualTolerance*w.flat()
	for _, d := range spec.Decades {
		var dial []float64
		for e := 1; e <= d.NumElements(); e++ {
			dial = append(dial, d.Step*float64(d.Weight(e))*(1+d.Tolerance*w.flat()))
		}
		w.elements = append(w.elements, dial)
	}
	w.always = w.drawMeter()
	w.newSession()
	return w
}

func (w *world) newSession() { w.now = w.drawMeter() }

func (w *world) drawMeter() map[string][3]float64 {
	out := make(map[string][3]float64)
	for _, rg := range w.meter.Ranges {
		out[rg.Name] = [3]float64{w.law(rg, 1), w.law(rg, 1), w.law(rg, 1)}
	}
	return out
}

// off is the error of the meter at a resistance, in Ω.
func (w *world) off(r float64, rg Range) float64 {
	gain, span := rg.OfReading*r, rg.OfRange*rg.FullScale
	e := math.Max(span/4, rg.Resolution)
	at := slices.IndexFunc(w.line[rg.Name], func(x [2]float64) bool { return math.Abs(x[0]-r) <= rg.FullScale/1000 })
	if at < 0 {
		at = len(w.line[rg.Name])
		w.line[rg.Name] = append(w.line[rg.Name], [2]float64{r, w.law(rg, 1)})
	}
	sum := e * w.line[rg.Name][at][1]
	for k, part := range []float64{gain, math.Sqrt(span*span - e*e), math.Sqrt(2 * math.Abs(gain) * span)} {
		sum += part * (w.always[rg.Name][k] + w.now[rg.Name][k]) / math.Sqrt2
	}
	return sum
}

func (w *world) flat() float64 { return 2*w.rnd.Float64() - 1 }

// law draws an error of the meter from its limit.
func (w *world) law(rg Range, limit float64) float64 {
	if rg.K == 0 {
		return limit * w.flat()
	}
	return limit / rg.K * w.rnd.NormFloat64()
}

// truth is the resistance at the terminals, without contact variation.
func (w *world) truth(s decade.Setting) float64 {
	r := w.residual
	for d, e := range s.Elements() {
		r += w.elements[d][e-1]
	}
	return r
}

// reading dials a setting once, on the smallest range that shows it.
func (w *world) reading(s decade.Setting) Reading {
	r := w.truth(s) + w.box.Spec().Contact*math.Sqrt(float64(s.Contacts()))*w.rnd.NormFloat64()
	rg := w.meter.Ranges[slices.IndexFunc(w.meter.Ranges,
		func(rg Range) bool { return r <= rg.FullScale*rg.OverRange })]
	return Reading{Setting: s, Values: []float64{w.shown(r, rg)}, Range: rg.Name}
}

// shown is what the meter makes of a resistance.
func (w *world) shown(r float64, rg Range) float64 {
	return math.Round((r+w.off(r, rg))/rg.Resolution) * rg.Resolution
}

func (w *world) readings(ss []decade.Setting) []Reading {
	var out []Reading
	for _, s := range ss {
		out = append(out, w.reading(s))
	}
	return out
}

func recommended(t testing.TB, b *decade.Box) *Plan {
	t.Helper()
	p, err := NewPlan(b, ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// labMeter has normal errors (k = 2) and ranges of a decade each.
func labMeter() *Meter {
	m := &Meter{Name: "simulated", Serial: "S1", Wiring: WiringFourWire, OffsetCompensated: true}
	for _, fs := range []struct {
		name string
		ohms float64
	}{{"10 Ω", 10}, {"100 Ω", 100}, {"1 kΩ", 1e3}} {
		m.Ranges = append(m.Ranges,
			Range{Name: fs.name, FullScale: fs.ohms, OverRange: 1.2, OfReading: 1e-4, OfRange: 2e-5,
				K: 2, Resolution: 1e-6 * fs.ohms})
	}
	return m
}

// trialBox is small, with a ladder and a code.
func trialBox(t testing.TB) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{
		Name: "trial box", Serial: "T2", Residual: 0.01, ResidualTolerance: 0.005, Contact: 2e-4,
		Decades: []decade.Decade{
			{Name: "×10", Step: 10, Positions: 4, Tolerance: 0.001},
			{Name: "×1", Step: 1, Code: decade.Code1225(), Tolerance: 0.002},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}
