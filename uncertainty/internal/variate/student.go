// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/studentt"
)

// StudentT draws x + a·T for a t variate T of dof degrees of freedom: by a ziggurat of its
// own density, beyond a thousand degrees of freedom from a normal variate by the expansion
// of the quantile in 1/ν, below one as the quotient that defines it.
func StudentT(x, a, dof float64) Sampler {
	switch {
	case dof < 1:
		return Sampler{other: quotient{unitNormal(), x, a, newMixing(dof)}}
	case dof > studentt.ExpansionFrom:
		return Sampler{other: nearlyNormal{x, a, dof, unitNormal()}}
	default:
		return Sampler{usual: bellDraw, x: x, a: a, z: studentZiggurat(dof)}
	}
}

// nearlyNormal draws a t variate of many degrees of freedom.
type nearlyNormal struct {
	x, a, dof float64
	z         *ziggurat
}

// fill maps normal variates, a column at a time.
func (s nearlyNormal) fill(dst []float64, g *Generator) {
	s.z.fill(dst, 0, 1, g)
	// The expansion maps the normal quantile to that of t, so it maps the variate too.
	for i, v := range dst {
		dst[i] = s.x + float64(s.a*studentt.CornishFisher(v, s.dof))
	}
}

// quotient draws by the definition of t, a normal variate over √(χ²/ν).
type quotient struct {
	normal *ziggurat
	x, a   float64
	mixing mixing
}

// fill makes a normal column and divides it, one variate after the other.
func (s quotient) fill(dst []float64, g *Generator) {
	s.normal.fill(dst, 0, s.a, g)
	for i, v := range dst {
		dst[i] = s.x + float64(v*s.mixing.draw(g))
	}
}

// mixing is √(ν/χ²) of ν degrees of freedom: a normal variate times it is a t
// variate.
type mixing struct {
	dof float64
	g   *gammaSampler
}

// newMixing takes χ² of ν degrees of freedom as twice a gamma variate of shape ν/2.
func newMixing(dof float64) mixing {
	return mixing{dof, &gammaSampler{shape: dof / 2, normal: unitNormal()}}
}

// χ² is twice a gamma variate of shape ν/2.
func (m mixing) draw(g *Generator) float64 { return math.Sqrt(m.dof / (2 * m.g.draw(g))) }

// gammaSampler draws gamma variates of unit scale by the rejection of Marsaglia and
// Tsang (ACM Transactions on Mathematical Software 26, 2000, 363–372).
type gammaSampler struct {
	shape  float64
	normal *ziggurat
}

// fill makes a column of draws; rejection makes their number of words vary.
func (s *gammaSampler) fill(dst []float64, g *Generator) {
	for i := range dst {
		dst[i] = s.draw(g)
	}
}

// draw makes one variate; a shape below 1 is raised by 1 and corrected by a power of a uniform
// variate.
func (s *gammaSampler) draw(g *Generator) float64 {
	if s.shape < 1 {
		boost := elementary.Exp(elementary.Log(open(g.Uint64())) / s.shape)
		return float64(boost * s.atLeastOne(s.shape+1, g))
	}
	return s.atLeastOne(s.shape, g)
}

// atLeastOne is the rejection itself, for shape ≥ 1.
func (s *gammaSampler) atLeastOne(shape float64, g *Generator) float64 {
	// d·v with v = (1 + c·z)³ is close to a gamma variate for a normal z.
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		z := s.normal.draw(g)
		v := 1 + float64(c*z)
		// v must be positive; z below −1/c is very rare.
		if v <= 0 {
			continue
		}
		v = float64(float64(v*v) * v)
		u, z2 := open(g.Uint64()), float64(z*z)
		// A cheap test that nearly always decides; the exact one needs a logarithm.
		if u < 1-float64(0.0331*float64(z2*z2)) ||
			elementary.Log(u) < 0.5*z2+float64(d*(1-v+elementary.Log(v))) {
			return float64(d * v)
		}
	}
}
