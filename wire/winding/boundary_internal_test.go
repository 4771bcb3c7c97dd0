// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// boundaryElements solves the field of a section again, by charges on the surfaces: on
// every metal, so that it has its potential, and on every covering, so that the flux
// passes it. It shares no formula with the multipoles.
func boundaryElements(s section, from, elements int) []float64 {
	type element struct {
		at, normal complex128
		wire       int
		metal      bool
		length     float64
	}
	var all []element
	for w, z := range s.centres {
		for _, r := range []float64{s.metal, s.outside} {
			for k := range elements {
				u := cmplx.Rect(1, 2*math.Pi*(float64(k)+0.5)/float64(elements))
				all = append(all, element{z + complex(r, 0)*u, u, w, r == s.metal,
					2 * r * math.Sin(math.Pi/float64(elements))})
			}
		}
	}
	n := len(all)
	a, b := mat.NewDense(n+1, n+1, nil), mat.NewVecDense(n+1, nil)
	ratio := (s.covering - s.medium) / (s.covering + s.medium)
	const parts = 8 // points of charge in an element near by
	for i, p := range all {
		for j, q := range all {
			var potential, field float64 // of unit charge density, times 2πε0
			along := q.normal * complex(0, q.length/parts)
			for k := range parts {
				d := p.at - q.at - along*complex(float64(k)-(parts-1)/2.0, 0)
				if i == j {
					continue
				}
				potential -= q.length / parts * math.Log(cmplx.Abs(d))
				field += q.length / parts * real(d*cmplx.Conj(p.normal)) / real(d*cmplx.Conj(d))
			}
			if i == j {
				potential = q.length * (1 - math.Log(q.length/2))
				field = -q.length / 2 / cmplx.Abs(p.at-s.centres[p.wire]) // of a circle on itself
			}
			if p.metal {
				a.Set(i, j, potential)
			} else { // σ/2ε0 (ε1+ε2)/(ε1−ε2) = mean field: what is polarised is the difference
				v := -ratio * field / math.Pi
				if i == j {
					v++
				}
				a.Set(i, j, v)
			}
		}
		if p.metal {
			a.Set(i, n, 1)
			if p.wire == from {
				b.SetVec(i, 1)
			}
		}
	}
	// Free charge on a metal in a covering of ε is ε times what is there in all.
	for j, q := range all {
		if q.metal {
			a.Set(n, j, q.length)
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return nil
	}
	out := make([]float64, len(s.centres))
	for j, q := range all {
		if q.metal {
			out[q.wire] -= x.AtVec(j) * q.length * s.covering * 2 * math.Pi * ElectricConstant
		}
	}
	return out
}

func TestSectionAgainstBoundaryElements(t *testing.T) {
	for name, s := range map[string]section{
		"pair in air": {metal: 0.45, outside: 0.5, covering: 3.5, medium: 1, centres: []complex128{0, 1.02}},
		"row, spaced": {metal: 0.40, outside: 0.5, covering: 3, medium: 1, centres: []complex128{-1.2, 0, 1.05, 2.4}},
		"row, soaked": {metal: 0.40, outside: 0.5, covering: 3.5, medium: 2.5, centres: []complex128{-1.05, 0, 1.05}},
		"two layers":  {metal: 0.40, outside: 0.5, covering: 3.5, medium: 1, centres: []complex128{-1.05, 0, 1.05, -1.05 + 1.05i, 1.05i, 1.05 + 1.05i}},
	} {
		got, err := s.capacitances(1)
		if err != nil {
			t.Fatal(err)
		}
		coarse, want := boundaryElements(s, 1, 36), boundaryElements(s, 1, 72)
		for i := range want {
			want[i] += want[i] - coarse[i] // the elements converge with the first power of their size
			if i != 1 && math.Abs(got[i]-want[i]) > 0.01*math.Abs(got[1]) {
				t.Errorf("%s: to wire %d %.2f pF/m, by elements %.2f pF/m", name, i, got[i]*1e12, want[i]*1e12)
			}
		}
		t.Logf("%s: %.2f and by elements %.2f pF/m", name, scaled(got), scaled(want))
	}
}

func scaled(c []float64) []float64 {
	out := make([]float64, len(c))
	for i, v := range c {
		out[i] = v * 1e12
	}
	return out
}
