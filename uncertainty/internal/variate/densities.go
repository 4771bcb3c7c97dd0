// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"math"
	"sync"

	"example.com/ohmwright/uncertainty/elementary"
)

// unitNormal is the ziggurat of the standard normal distribution, whose radius lies between 3
// and 5.
var unitNormal = sync.OnceValue(func() *ziggurat { return newZiggurat(normalDensity{}, 3, 5) })

// normalDensity is exp(−x²/2).
type normalDensity struct{}

// density has height 1 at 0, as the ziggurat wants it, and inverse is its positive branch.
func (normalDensity) density(x float64) float64 { return elementary.Exp(-0.5 * float64(x*x)) }
func (normalDensity) inverse(f float64) float64 { return math.Sqrt(-2 * elementary.Log(f)) }

// area is the continued fraction of the normal tail (Handbook of Mathematical
// Functions, National Bureau of Standards, 1964, 26.2.14).
func (s normalDensity) area(r float64) float64 {
	// From the far end of the fraction, where t is r to all digits.
	t := r
	for k := 200.0; k >= 1; k-- {
		t = r + k/t
	}
	return s.density(r) / t
}

// tail is the method of Marsaglia (Technometrics 6, 1964, 101–102).
func (normalDensity) tail(r float64, g *Generator) float64 {
	// An exponential variate beyond r, accepted with the part of the density that it lacks.
	for {
		x := -elementary.Log(open(g.Uint64())) / r
		if y := -elementary.Log(open(g.Uint64())); 2*y > float64(x*x) {
			return r + x
		}
	}
}

// studentDensity is the density (1 + x²/ν)^(−(ν+1)/2), 1 ≤ ν ≤ 1000.
type studentDensity struct{ dof float64 }

// density has height 1 at 0.
func (s studentDensity) density(x float64) float64 {
	return elementary.Exp(-0.5 * float64((s.dof+1)*elementary.Log(1+float64(x*x)/s.dof)))
}

// inverse solves the density for the positive x.
func (s studentDensity) inverse(f float64) float64 {
	return math.Sqrt(s.dof * (elementary.Exp(-2*elementary.Log(f)/(s.dof+1)) - 1))
}

// area is an incomplete beta function: with y = ν/(ν + x²) it is
//
//	½√ν ∫ y^(ν/2−1) (1−y)^(−½) dy from 0 to y(r)
//
// whose series has positive terms only.
func (s studentDensity) area(r float64) float64 {
	h := s.dof / 2
	y := s.dof / (s.dof + float64(r*r))
	sum, c := 0.0, 1.0
	for k := 0.0; k < 1e5; k++ {
		term := c / (h + k)
		sum += term
		if term < 1e-17*sum {
			break
		}
		c = float64(c*y) * ((k + 0.5) / (k + 1))
	}
	return float64(0.5 * math.Sqrt(s.dof) * elementary.Exp(float64(h*elementary.Log(y))) * sum)
}

// tail draws y from its power and accepts by the other factor of the density.
func (s studentDensity) tail(r float64, g *Generator) float64 {
	// y runs from 0, at infinity, to y(r).
	top := s.dof / (s.dof + float64(r*r))
	for {
		y := float64(top * elementary.Exp(2*elementary.Log(open(g.Uint64()))/s.dof))
		// Accepted with probability √((1 − y(r))/(1 − y)), squared to avoid the root.
		if u := open(g.Uint64()); float64(float64(u*u)*(1-y)) < 1-top {
			return math.Sqrt(s.dof * ((1 - y) / y))
		}
	}
}

// Building a ziggurat takes a few milliseconds: those of small whole degrees of
// freedom are kept.
var studentZiggurats [100]struct {
	once sync.Once
	z    *ziggurat
}

// studentZiggurat returns the ziggurat of so many degrees of freedom.
func studentZiggurat(dof float64) *ziggurat {
	build := func() *ziggurat { return newZiggurat(studentDensity{dof}, 1, 1e4) }
	// Those of readings are whole and few.
	if n := int(dof); float64(n) == dof && n < len(studentZiggurats) {
		kept := &studentZiggurats[n]
		kept.once.Do(func() { kept.z = build() })
		return kept.z
	}
	return build()
}
