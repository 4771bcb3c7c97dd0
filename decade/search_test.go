// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The target by digits against the target by rational arithmetic.
func TestDecimalTarget(t *testing.T) {
	b, err := New(Spec{Decades: []Decade{{Step: 1000}, {Step: 0.1}, {Step: 0.025}}})
	if err != nil {
		t.Fatal(err)
	}
	large, err := New(Spec{Decades: []Decade{{Step: 1e9}, {Step: 1e8}}})
	if err != nil {
		t.Fatal(err)
	}
	values := []float64{0, 0.1, 0.3, 0.0005, 0.00049999, 0.00050001, 1e-5, 5e-324, 1e-30, 1e-19, 1e-15, 10001, 10001.25, 10001.251, 10002, 1e15, 1e22, 1e23, math.MaxFloat64, 123456789012345678, 5e7, 1.5e8, 1e8, 1.1e10, 1.11e10}
	r := rand.New(rand.NewPCG(1, 0))
	for range 5000 {
		values = append(values, r.Float64()*11000, math.Exp(100*(r.Float64()-0.5)), float64(r.IntN(1e6))/1e4)
	}
	for _, f := range []*search{b.search, large.search} {
		for _, v := range values {
			got, whole := f.target(v)
			want, wantWhole := f.rationalTarget(product(decimal(v), f.unit))
			if got != want || whole != wantWhole {
				t.Errorf("target(%v) = %v, %v; want %v, %v", v, got, whole, want, wantWhole)
			}
		}
	}
}
