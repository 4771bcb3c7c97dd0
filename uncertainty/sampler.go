// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "math"

// A filler fills a block with draws from one distribution.
type filler interface {
	fill(dst []float64, g *generator)
}

// A sampler is the filler of an input. The usual ones are values, which an instruction
// holds without memory of their own.
type sampler struct {
	usual usual
	x, a  float64
	z     *ziggurat
	other filler
}

type usual int

const (
	otherDraw usual = iota
	rectangleDraw
	triangleDraw
	bellDraw
)

func (s *sampler) fill(dst []float64, g *generator) {
	switch s.usual {
	case rectangleDraw:
		uniform{s.x, s.a}.fill(dst, g)
	case triangleDraw:
		twoEqual{s.x, s.a}.fill(dst, g)
	case bellDraw:
		s.z.fill(dst, s.x, s.a, g)
	default:
		s.other.fill(dst, g)
	}
}

// samplerOf finds how to draw from an independent source that is uncertain.
func samplerOf(s *source) sampler {
	l, own := s.dist.(law)
	if !own {
		return sampler{other: newTable(s.dist, s.u)}
	}
	switch l.kind {
	case rectangular:
		return sampler{usual: rectangleDraw, x: l.x, a: l.a}
	case triangular:
		return sampler{usual: triangleDraw, x: l.x, a: l.a}
	case student:
		return studentSampler(l)
	case trapezoidal:
		return sampler{other: twoUniforms{l.x, l.a * (1 + l.b) / 2, l.a * (1 - l.b) / 2}}
	case curvilinear:
		return sampler{other: randomWidth{l.x, l.a, l.b}}
	case arcsine:
		return sampler{other: cosine{l.x, l.a}}
	case exponential:
		return sampler{other: decay{l.x}}
	case gamma:
		return sampler{other: &gammaSampler{shape: l.x, normal: unitNormal()}}
	default:
		return sampler{usual: bellDraw, x: l.x, a: l.a, z: unitNormal()}
	}
}

type uniform struct{ x, a float64 }

func (s uniform) fill(dst []float64, g *generator) {
	x, a := s.x, s.a*0x1p-63
	m, state := splitMix, g.state
	for i := range dst {
		var w uint64
		w, state = m.next(state)
		dst[i] = x + float64(a*float64(int64(w)))
	}
	g.state = state
}

// twoEqual is the sum of two equal rectangles, a triangle of half-width a (JCGM 101
// 6.4.5.4): each is half a random word, and they are added as integers.
type twoEqual struct{ x, a float64 }

func (s twoEqual) fill(dst []float64, g *generator) {
	x, a := s.x, s.a*0x1p-32
	m, state := splitMix, g.state
	for i := range dst {
		var w uint64
		w, state = m.next(state)
		dst[i] = x + float64(a*float64(int64(w)>>32+int64(int32(w))+1))
	}
	g.state = state
}

// twoUniforms is the sum of two rectangles (JCGM 101 6.4.4.4).
type twoUniforms struct{ x, a, b float64 }

func (s twoUniforms) fill(dst []float64, g *generator) {
	for i := range dst {
		p, q := halves(g.Uint64())
		dst[i] = s.x + (float64(s.a*p) + float64(s.b*q))
	}
}

// randomWidth is a rectangle of random width (JCGM 101 6.4.3.4).
type randomWidth struct{ x, a, d float64 }

func (s randomWidth) fill(dst []float64, g *generator) {
	for i := range dst {
		p, q := halves(g.Uint64())
		dst[i] = s.x + float64((s.a+float64(s.d*p))*q)
	}
}

// cosine is the cosine of a random angle (JCGM 101 6.4.6.4), taken as that of twice
// the angle of a point in the unit disc (von Neumann 1951), without a trigonometric
// function.
type cosine struct{ x, a float64 }

func (s cosine) fill(dst []float64, g *generator) {
	for i := range dst {
		for {
			p, q := signed(g.Uint64()), signed(g.Uint64())
			p, q = float64(p*p), float64(q*q)
			if r := p + q; r < 1 && r > 0 {
				dst[i] = s.x + float64(s.a*((p-q)/r))
				break
			}
		}
	}
}

// decay is −x·ln r (JCGM 101 6.4.10.4).
type decay struct{ x float64 }

func (s decay) fill(dst []float64, g *generator) {
	for i := range dst {
		dst[i] = -float64(s.x * sameLog(open(g.Uint64())))
	}
}

// studentSampler draws t variates: by a ziggurat of their own density, beyond
// a thousand degrees of freedom from normal ones by the expansion of the quantile in
// 1/ν, below one as the quotient that defines them.
func studentSampler(l law) sampler {
	switch {
	case l.dof < 1:
		return sampler{other: quotient{unitNormal(), l.x, l.a, newMixing(l.dof)}}
	case l.dof > fisherFrom:
		return sampler{other: nearlyNormal{l.x, l.a, l.dof, unitNormal()}}
	default:
		return sampler{usual: bellDraw, x: l.x, a: l.a, z: studentZiggurat(l.dof)}
	}
}

type nearlyNormal struct {
	x, a, dof float64
	z         *ziggurat
}

func (s nearlyNormal) fill(dst []float64, g *generator) {
	s.z.fill(dst, 0, 1, g)
	for i, v := range dst {
		dst[i] = s.x + float64(s.a*cornishFisher(v, s.dof))
	}
}

type quotient struct {
	normal *ziggurat
	x, a   float64
	mixing mixing
}

func (s quotient) fill(dst []float64, g *generator) {
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

func newMixing(dof float64) mixing {
	return mixing{dof, &gammaSampler{shape: dof / 2, normal: unitNormal()}}
}

func (m mixing) draw(g *generator) float64 { return math.Sqrt(m.dof / (2 * m.g.draw(g))) }

// gammaSampler draws gamma variates of unit scale by the rejection of Marsaglia and
// Tsang (ACM Transactions on Mathematical Software 26, 2000, 363–372).
type gammaSampler struct {
	shape  float64
	normal *ziggurat
}

func (s *gammaSampler) fill(dst []float64, g *generator) {
	for i := range dst {
		dst[i] = s.draw(g)
	}
}

func (s *gammaSampler) draw(g *generator) float64 {
	if s.shape < 1 {
		boost := sameExp(sameLog(open(g.Uint64())) / s.shape)
		return float64(boost * s.atLeastOne(s.shape+1, g))
	}
	return s.atLeastOne(s.shape, g)
}

func (s *gammaSampler) atLeastOne(shape float64, g *generator) float64 {
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		z := s.normal.draw(g)
		v := 1 + float64(c*z)
		if v <= 0 {
			continue
		}
		v = float64(float64(v*v) * v)
		u, z2 := open(g.Uint64()), float64(z*z)
		if u < 1-0.0331*float64(z2*z2) || sameLog(u) < 0.5*z2+float64(d*(1-v+sameLog(v))) {
			return float64(d * v)
		}
	}
}
