// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// A box from 0.01 Ω to 10 MΩ a step has readings whose variances are 10²⁰ apart: bad
// scaling, no contradiction. Healthy with nominal readings it is healthy, and a fault in
// its smallest or its largest dial is found.
func TestScale(t *testing.T) {
	steps := []float64{1e7, 1e6, 1e5, 1e4, 1e3, 100, 10, 1, 0.1, 0.01}
	for _, n := range []int{9, 10} {
		spec := decade.Spec{Residual: 0.02, ResidualTolerance: 0.005, Contact: 0.0002, Decades: dials(0.0005, steps[:n]...)}
		for i := range spec.Decades {
			if s := spec.Decades[i].Step; s <= 1 {
				spec.Decades[i].Tolerance = 0.005 / s
			}
		}
		spec.Decades[n-1].Tolerance = min(0.05, spec.Decades[n-1].Tolerance)
		b := box(t, spec)
		meter := testMeter()
		meter.Ranges = append(meter.Ranges, verify.Range{Name: "1 GΩ", FullScale: 1e9, OverRange: 1.2, OfReading: 1e-3, OfRange: 1e-5, Resolution: 100})
		meter.Ranges[0].OfRange = 1e-5
		settings := []decade.Setting{b.Zero()}
		for d, dec := range b.Decades() {
			for p := 1; p <= dec.Positions; p++ {
				x, err := b.Zero().With(d, p)
				if err != nil {
					t.Fatal(err)
				}
				settings = append(settings, x)
			}
		}
		diagnose := func(f ...Fault) *Diagnosis {
			t.Helper()
			var rs []verify.Reading
			for _, x := range settings {
				v, err := Predict(x, f...)
				if err != nil {
					t.Fatal(err)
				}
				rs = append(rs, verify.Reading{Setting: x, Values: []float64{v}})
			}
			m := newModel(b, settings, 0)
			d, err := Options{Faults: 1}.withDefaults(t).diagnose(newWork(t.Context(), nil), m, quick(m, meter, rs))
			if err != nil {
				t.Fatalf("%d dials: %v", n, err)
			}
			return d
		}
		if d := diagnose(); !d.Healthy || d.Probability < 0.9 {
			t.Errorf("%d dials, nominal: healthy %v, %v, %v", n, d.Healthy, d.Probability, d.Causes)
		}
		for _, dial := range []int{0, n - 1} {
			f := Fault{Kind: KindShorted, A: Place{PartElement, dial, 4}}
			if d := diagnose(f); d.Healthy || len(d.Causes) == 0 || !hasFault(d.Causes[0], f.A) {
				t.Errorf("%d dials, %v: %v", n, f.In(b), d.Causes)
			}
		}
	}
}

// withDefaults completes options.
func (o Options) withDefaults(t testing.TB) Options {
	t.Helper()
	o, err := o.complete()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func hasFault(c Cause, at Place) bool {
	return slices.Contains(c.Places(), at)
}

// A matrix that is badly scaled has a factor; its inverse and determinant are those of the
// scaled matrix (a diagonal matrix on either side, by hand). What is indefinite has none.
func TestFactor(t *testing.T) {
	scale := []float64{1e-6, 1, 1e8}
	rho := mat.NewSymDense(3, []float64{1, 0.5, 0, 0.5, 1, 0.25, 0, 0.25, 1})
	c := mat.NewSymDense(3, nil)
	for i, a := range scale {
		for j, b := range scale {
			c.SetSym(i, j, rho.At(i, j)*a*b)
		}
	}
	var f factor
	if !f.factorize(c) {
		t.Fatal("no factor of a positive definite matrix")
	}
	// |ρ| = 1 − 1/16 − 1/4 = 11/16.
	if got, want := f.logDet(), math.Log(11.0/16)+2*math.Log(1e-6*1e8); math.Abs(got-want) > 1e-12 {
		t.Errorf("logarithm of the determinant %v; want %v", got, want)
	}
	inv := f.inverse()
	for i := range 3 {
		b := mat.NewVecDense(3, nil)
		b.SetVec(i, 1)
		x, y := f.solveVec(b), f.solve(b)
		for j := range 3 {
			want := inv.At(j, i)
			unit := 1 / (scale[i] * scale[j])
			if math.Abs(x.AtVec(j)-want) > 1e-12*unit || math.Abs(y.At(j, 0)-want) > 1e-12*unit {
				t.Errorf("column %d, row %d: %v, %v; want %v", i, j, x.AtVec(j), y.At(j, 0), want)
			}
		}
	}
	for name, m := range map[string]*mat.SymDense{
		"indefinite": mat.NewSymDense(2, []float64{1, 2, 2, 1}),
		"singular":   mat.NewSymDense(2, []float64{1, 1, 1, 1}),
		"zero":       mat.NewSymDense(2, []float64{1, 0, 0, 0}),
		"infinite":   mat.NewSymDense(2, []float64{1, 0, 0, math.Inf(1)}),
	} {
		if new(factor).factorize(m) {
			t.Errorf("%s: has a factor", name)
		}
	}
}

// Readings without any uncertainty of their own contradict each other or say nothing new.
func TestIndefinite(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: dials(0.001, 10)})
	m := newModel(b, []decade.Setting{at(t, b, 0), at(t, b, 1)}, 0)
	ev := quick(m, testMeter(), []verify.Reading{{Setting: m.settings[0], Values: []float64{0.02}}, {Setting: m.settings[1], Values: []float64{10.02}}})
	ev.covariance.SetSym(0, 1, 1)
	if _, err := newLinearAccount(m, ev); !errors.Is(err, ErrContradiction) {
		t.Errorf("%v; want a contradiction", err)
	}
}
