// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// world is a box with true values and a meter with true errors, drawn from the laws that
// the model of package verify assigns to them. It is written from the description of that
// model and shares no code with it: gain, zero and what one limit has of both are common
// to the range, by half in each variance to all sessions; a quarter of the range part is
// new at each value.
type world struct {
	rnd      *rand.Rand
	box      *decade.Box
	meter    *verify.Meter
	residual float64
	elements [][]float64             // by dial and element − 1
	always   map[string][3]float64   // by range: gain, zero and both, of limit 1
	now      map[string][3]float64   // the same, of the session
	line     map[string][][2]float64 // by range: values in Ω and the linearity there, of limit 1
}

func newWorld(seed uint64, box *decade.Box, m *verify.Meter) *world {
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
func (w *world) off(r float64, rg verify.Range) float64 {
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
func (w *world) law(rg verify.Range, limit float64) float64 {
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
func (w *world) reading(s decade.Setting) verify.Reading {
	r := w.truth(s) + w.box.Spec().Contact*math.Sqrt(float64(s.Contacts()))*w.rnd.NormFloat64()
	rg := w.meter.Ranges[slices.IndexFunc(w.meter.Ranges,
		func(rg verify.Range) bool { return r <= rg.FullScale*rg.OverRange })]
	v := r + w.off(r, rg)
	return verify.Reading{Setting: s, Values: []float64{math.Round(v/rg.Resolution) * rg.Resolution}, Range: rg.Name}
}

func (w *world) readings(ss []decade.Setting) []verify.Reading {
	var out []verify.Reading
	for _, s := range ss {
		out = append(out, w.reading(s))
	}
	return out
}

func (w *world) report(t testing.TB, plan *verify.Plan) *verify.Report {
	t.Helper()
	return evaluated(t, w.box, w.meter, w.readings(plan.Settings()), conformity.Guarded(1))
}

func recommended(t testing.TB, b *decade.Box) *verify.Plan {
	t.Helper()
	p, err := verify.NewPlan(b, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// labMeter has normal errors (k = 2) and ranges of a decade each.
func labMeter() *verify.Meter {
	m := &verify.Meter{Name: "simulated", Serial: "S1", Wiring: verify.WiringFourWire, OffsetCompensated: true}
	for _, fs := range []struct {
		name string
		ohms float64
	}{{"10 Ω", 10}, {"100 Ω", 100}, {"1 kΩ", 1e3}} {
		m.Ranges = append(m.Ranges,
			verify.Range{Name: fs.name, FullScale: fs.ohms, OverRange: 1.2, OfReading: 1e-4,
				OfRange: 2e-5, K: 2, Resolution: 1e-6 * fs.ohms})
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

// newBox makes a box of dials, each named by its step.
func newBox(t testing.TB, dials ...decade.Decade) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "test box", Serial: "T1", Residual: 0.01,
		ResidualTolerance: 0.005, Decades: dials})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func settings(t testing.TB, b *decade.Box, texts ...string) []decade.Setting {
	t.Helper()
	var out []decade.Setting
	for _, text := range texts {
		s, err := b.ParseSetting(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, s)
	}
	return out
}

// read makes readings of settings, one value each.
func read(t testing.TB, box *decade.Box, values map[string]float64) []verify.Reading {
	t.Helper()
	var out []verify.Reading
	for text, v := range values {
		s, err := box.ParseSetting(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, verify.Reading{Setting: s, Values: []float64{v}})
	}
	slices.SortFunc(out, func(a, b verify.Reading) int {
		return strings.Compare(a.Setting.String(), b.Setting.String())
	})
	return out
}

func evaluated(t testing.TB, box *decade.Box, m *verify.Meter, rs []verify.Reading,
	rule conformity.Rule) *verify.Report {
	t.Helper()
	r, err := verify.Evaluate(box, m, rs, rule)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fourWire is a meter of one range of 1 kΩ that shows 12 kΩ.
func fourWire() *verify.Meter {
	return &verify.Meter{
		Name: "test meter", Serial: "M1", Wiring: verify.WiringFourWire, OffsetCompensated: true,
		Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 12, OfReading: 1e-4,
			OfRange: 1e-6, Resolution: 1e-4}},
	}
}

// simulate reads every position of a one-dial box whose elements are given.
func simulate(t testing.TB, box *decade.Box, elements []float64, contact map[int]float64) []verify.Reading {
	t.Helper()
	values := map[string]float64{}
	sum := 0.01
	for p := range len(elements) + 1 {
		if p > 0 {
			sum += elements[p-1]
		}
		values[fmt.Sprint(p)] = math.Round(1e5*(sum+contact[p])) / 1e5
	}
	return read(t, box, values)
}

func oneDial(t testing.TB) *decade.Box {
	t.Helper()
	box, err := decade.New(decade.Spec{Name: "one dial", Residual: 0.01, ResidualTolerance: 0.005,
		Decades: []decade.Decade{{Name: "100 Ω", Step: 100, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	return box
}

func elements(changed map[int]float64) []float64 {
	out := make([]float64, 10)
	for i := range out {
		out[i] = 100
		if v, ok := changed[i+1]; ok {
			out[i] = v
		}
	}
	return out
}

func certificate(name string, ohms, U float64) uncertainty.Quantity {
	return uncertainty.Source{Name: name, Unit: "Ω", Distribution: uncertainty.Certificate(ohms, U, 2)}.Input()
}
