// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// The value of a drift, and what it is uncertain by, come from the readings: the class of
// that element has no part in it. Generalised least squares with that element free, by the
// full covariance.
func TestStatedDrift(t *testing.T) {
	d := repeated(t)
	s := d.s
	s.evidence.overloads[0].reach = 0
	const e = 4 // element 2 of the second dial
	h := &hypothesis{faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 1, 2}, Value: 0.3}}, uncertainty: []float64{1}}
	if err := s.fitCircuit(newProbe(s.model.layout), h); err != nil {
		t.Fatal(err)
	}
	got := s.stated(newProbe(s.model.layout), h)[0]

	prior := mat.NewSymDense(6, nil)
	prior.CopySym(d.p)
	for i := range 6 {
		prior.SetSym(i, e, 0)
	}
	n := s.numReadings
	var ap, apa mat.Dense
	ap.Mul(d.a, prior)
	apa.Mul(&ap, d.a.T())
	cov := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			cov.SetSym(i, j, s.evidence.covariance.At(i, j)+apa.At(i, j))
		}
	}
	var chol mat.Cholesky
	var w mat.VecDense
	col := mat.NewVecDense(n, mat.Col(nil, e, d.a))
	if !chol.Factorize(cov) || chol.SolveVecTo(&w, col) != nil {
		t.Fatal("not positive definite")
	}
	information := mat.Dot(col, &w)
	value := mat.Dot(&w, mat.NewVecDense(n, s.byDialling.deviation)) / information
	if u := 1 / math.Sqrt(information); math.Abs(got.Value-value) > 0.01*u || relative(got.Uncertainty, u) > 1e-3 || got.Uncertainty > 0.999*h.uncertainty[0] {
		t.Errorf("%v ± %v, fitted ± %v; want %v ± %v", got.Value, got.Uncertainty, h.uncertainty[0], value, u)
	}
}

// On a good meter the uncertainty of a drift is that of the meter, though the class is a
// hundred times wider; each of two faults has its own, and the value of a cause is that of
// its first fault.
func TestStatedValues(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 1e-5, Decades: dials(0.01, 100, 10, 1)})
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 2, 4}, Value: 0.1}
	dial := Fault{Kind: KindDialDrift, A: Place{PartDial, 1, 0}, Value: 0.05}
	bridge := Fault{Kind: KindBridge, A: Place{PartTap, 0, 3}, B: Place{PartTap, 0, 5}, Value: 1e-5}
	for _, faults := range [][]Fault{{drift}, {drift, dial}, {bridge}} {
		c := diagnosed(t, b, noiseless(t, b, faults...)).Causes[0]
		if len(c.Faults) != len(faults) {
			t.Fatalf("%v", c)
		}
		for _, f := range c.Faults {
			var want Fault
			for _, x := range faults {
				if x.Kind == f.Kind {
					want = x
				}
			}
			if f.Kind == KindDrift && !(f.Uncertainty < 1e-3 && f.Uncertainty > 1e-5) {
				t.Errorf("%s ± %v; want the uncertainty of the readings, not of 10 mΩ of class", f.In(b), f.Uncertainty)
			}
			if !(f.Uncertainty > 0) || math.Abs(f.Value-want.Value) > 2*f.Uncertainty {
				t.Errorf("%s ± %v; want %v", f.In(b), f.Uncertainty, want.Value)
			}
		}
		u, err := evaluateQuantity(c.Value)
		if err != nil || relative(c.Value.Estimate(), c.Faults[0].Value) > 1e-12 || relative(u, c.Faults[0].Uncertainty) > 1e-9 {
			t.Errorf("the cause is %v ± %v, its fault %v ± %v", c.Value.Estimate(), u, c.Faults[0].Value, c.Faults[0].Uncertainty)
		}
	}
}

// Beside a contact that scatters, a drift is as uncertain as its own readings, and not as the
// class of its element is wide.
func TestStatedBesideScatter(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 1e-5, Decades: dials(0.01, 100, 10)})
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: 9}
	rs := noiseless(t, b, drift)
	alone := diagnosed(t, b, rs).Causes[0].Faults[0]
	for _, by := range []float64{0.4, 1.1, 0.7} { // dirt at position 6 of ×10 Ω, three times
		v := predicted(t, at(t, b, 0, 6), drift)
		rs = append(rs, verify.Reading{Setting: at(t, b, 0, 6), Values: []float64{v + by}})
	}
	rs = slices.DeleteFunc(rs, func(r verify.Reading) bool {
		return r.Setting == at(t, b, 0, 6) && r.Values[0] < 60.2
	})
	c := diagnosed(t, b, rs).Causes[0]
	i := slices.IndexFunc(c.Faults, drift.samePlace)
	if len(c.Faults) != 2 || i < 0 || !(c.Faults[1-i].Scatter > 0.1) {
		t.Fatalf("%v", c)
	}
	if f := c.Faults[i]; relative(f.Uncertainty, alone.Uncertainty) > 0.1 || math.Abs(f.Value-9) > 2*f.Uncertainty {
		t.Errorf("%v ± %v; alone ± %v", f.Value, f.Uncertainty, alone.Uncertainty)
	}
}
