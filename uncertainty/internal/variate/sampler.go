// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import "example.com/ohmwright/uncertainty/elementary"

// A Sampler draws from one distribution. The usual ones are values, which an instruction
// holds without memory of their own. Several goroutines may use one.
type Sampler struct {
	usual usual
	x, a  float64
	z     *ziggurat
	other filler
}

// usual are the laws that nearly all inputs have.
type usual int

const (
	otherDraw usual = iota
	rectangleDraw
	triangleDraw
	bellDraw
)

// A filler fills a column with draws from one distribution.
type filler interface {
	fill(dst []float64, g *Generator)
}

// Fill fills the column with draws.
// Usual laws without a call through an interface, which would cost as much as a draw.
func (s *Sampler) Fill(dst []float64, g *Generator) {
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

// Rectangle draws from the uniform distribution on x ± a.
func Rectangle(x, a float64) Sampler { return Sampler{usual: rectangleDraw, x: x, a: a} }

// Triangle draws from the symmetric triangular distribution on x ± a.
func Triangle(x, a float64) Sampler { return Sampler{usual: triangleDraw, x: x, a: a} }

// TwoRectangles draws x plus the sum of two rectangles of half-widths a and b.
func TwoRectangles(x, a, b float64) Sampler { return Sampler{other: twoUniforms{x, a, b}} }

// RandomWidth draws from a rectangle about x whose half-width is itself uniform on a ± d.
func RandomWidth(x, a, d float64) Sampler { return Sampler{other: randomWidth{x, a, d}} }

// Arcsine draws from the U-shaped distribution between x − a and x + a.
func Arcsine(x, a float64) Sampler { return Sampler{other: cosine{x, a}} }

// Exponential draws from the exponential distribution with expectation x.
func Exponential(x float64) Sampler { return Sampler{other: decay{x}} }

// Gamma draws from the gamma distribution of unit scale with the shape given.
func Gamma(shape float64) Sampler {
	return Sampler{other: &gammaSampler{shape: shape, normal: unitNormal()}}
}

// Normal draws from the normal distribution with expectation x and standard deviation u.
func Normal(x, u float64) Sampler {
	return Sampler{usual: bellDraw, x: x, a: u, z: unitNormal()}
}

// Inversion draws by the quantile function of any continuous distribution, whose standard
// uncertainty u sets the tolerance of a table.
func Inversion(quantile func(p float64) float64, u float64) Sampler {
	return Sampler{other: newTable(quantile, u)}
}

// uniform is a rectangle on x ± a.
type uniform struct{ x, a float64 }

// fill needs one random word for a draw.
func (s uniform) fill(dst []float64, g *Generator) {
	// The unit of a signed word of 64 bits is a·2⁻⁶³.
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

// fill needs one random word for two numbers, which are added before they are scaled.
func (s twoEqual) fill(dst []float64, g *Generator) {
	x, a := s.x, s.a*0x1p-32
	// The generator in variables of the loop, see mixer.
	m, state := splitMix, g.state
	for i := range dst {
		var w uint64
		w, state = m.next(state)
		// The sum of two halves of 32 bits, each with half a unit: together one.
		dst[i] = x + float64(a*float64(int64(w)>>32+int64(int32(w))+1))
	}
	g.state = state
}

// twoUniforms is the sum of two rectangles (JCGM 101 6.4.4.4).
type twoUniforms struct{ x, a, b float64 }

// fill adds two rectangles of different width.
func (s twoUniforms) fill(dst []float64, g *Generator) {
	for i := range dst {
		// Two numbers from one word: 32 bits are enough where two are added.
		p, q := halves(g.Uint64())
		dst[i] = s.x + (float64(s.a*p) + float64(s.b*q))
	}
}

// randomWidth is a rectangle of random width (JCGM 101 6.4.3.4).
type randomWidth struct{ x, a, d float64 }

// fill draws the half-width, then the place.
func (s randomWidth) fill(dst []float64, g *Generator) {
	for i := range dst {
		p, q := halves(g.Uint64())
		// The half-width is drawn first, then the place within it.
		dst[i] = s.x + float64((s.a+float64(s.d*p))*q)
	}
}

// cosine is the cosine of a random angle (JCGM 101 6.4.6.4), taken as that of twice
// the angle of a point in the unit disc (von Neumann 1951), without a trigonometric
// function.
type cosine struct{ x, a float64 }

// fill takes points of a square until one lies in the disc.
func (s cosine) fill(dst []float64, g *Generator) {
	for i := range dst {
		// Four in π points of the square lie in the disc.
		for {
			p, q := signed(g.Uint64()), signed(g.Uint64())
			p, q = float64(p*p), float64(q*q)
			// (p² − q²)/(p² + q²) is the cosine of twice the angle.
			if r := p + q; r < 1 && r > 0 {
				dst[i] = s.x + float64(s.a*((p-q)/r))
				break
			}
		}
	}
}

// decay is −x·ln r (JCGM 101 6.4.10.4).
type decay struct{ x float64 }

// fill inverts the distribution function.
func (s decay) fill(dst []float64, g *Generator) {
	for i := range dst {
		dst[i] = -float64(s.x * elementary.Log(open(g.Uint64())))
	}
}
