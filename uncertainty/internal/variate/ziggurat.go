// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import "math"

// ziggurat draws from a density that is symmetric about 0 and falls on both sides
// (Marsaglia and Tsang, Journal of Statistical Software 5, 2000, no. 8): the area
// under it is cut into layers of equal area, of which nearly all draws need the
// rectangular core only. One 64-bit word gives the layer (8 bits) and the place in
// it (53 bits), which share no bits.
type ziggurat struct {
	core   [layers]core
	x      [layers + 1]float64 // right edges, x[0] that of the base strip taken as a rectangle
	f      [layers + 1]float64 // density at x[i], of height 1 at 0
	sag    [layers]float64     // bound of |density − chord|, as a part of the height
	radius float64             // where the tail begins
	law    density
}

// core is what nearly every draw needs to know of its layer.
type core struct {
	unit  float64 // right edge in units of a random word
	inner int64   // places from −inner to inner − 1 are below the density for sure
}

// at returns layer and place of a random word, and whether that is in the core.
func (z *ziggurat) at(w uint64) (layer uint64, x float64, inside bool) {
	// Eight bits of the word for the layer, its upper 53 bits for the place.
	layer = w & (layers - 1)
	c := &z.core[layer]
	place := int64(w) >> 11
	// One comparison of unsigned numbers does for both ends.
	return layer, float64(float64(place) * c.unit), uint64(place+c.inner) < uint64(2*c.inner)
}

const layers = 256

// density is a density of height 1 at 0, its inverse and what lies beyond r.
type density interface {
	density(x float64) float64
	inverse(f float64) float64
	area(r float64) float64               // beyond r
	tail(r float64, g *Generator) float64 // a draw beyond r
}

// newZiggurat finds the radius for which the layers close at the top, between low
// and high, by bisection.
func newZiggurat(law density, low, high float64) *ziggurat {
	z := &ziggurat{law: law}
	// A larger radius makes smaller layers: they close at the top for one radius.
	for range 200 {
		r := low + (high-low)/2
		if r == low || r == high {
			break
		}
		if z.stack(r) {
			low = r
		} else {
			high = r
		}
	}
	// high closes without passing the top.
	z.stack(high)
	// All numbers are known: the units and cores that draws use.
	for i := range z.core {
		unit := z.x[i] * 0x1p-52
		z.core[i] = core{unit, int64(z.x[i+1] / unit)}
		z.sag[i] = z.measureSag(i)
	}
	return z
}

// measureSag looks at nine points of a layer; twice the largest distance is more than
// that of any point between them.
func (z *ziggurat) measureSag(layer int) float64 {
	const points = 10
	sag := 0.0
	for k := 1; k < points; k++ {
		// Nine points inside the layer.
		x := z.x[layer+1] + float64((z.x[layer]-z.x[layer+1])*float64(k)/points)
		chord := z.chord(layer, x)
		f := (z.law.density(x) - z.f[layer]) / (z.f[layer+1] - z.f[layer])
		sag = max(sag, math.Abs(f-chord))
	}
	return 2*sag + 1e-9
}

// stack builds the layers on the radius r and reports whether they pass the top: r is
// then too small.
func (z *ziggurat) stack(r float64) (passed bool) {
	z.radius = r
	f := z.law.density(r)
	// The area of each layer: the base strip with the tail.
	v := float64(r*f) + z.law.area(r)
	z.x[0], z.x[1], z.f[1] = v/f, r, f
	// Layer upon layer, each of the same area.
	for i := 1; i < layers; i++ {
		f := z.f[i] + v/z.x[i]
		if f >= 1 && i < layers-1 {
			return true
		}
		if i == layers-1 {
			z.x[layers], z.f[layers] = 0, 1
			return f > 1
		}
		z.x[i+1], z.f[i+1] = z.law.inverse(f), f
	}
	return false
}

// fill makes draws of x + a·Z.
func (z *ziggurat) fill(dst []float64, x, a float64, g *Generator) {
	for len(dst) > 0 {
		// Most draws are made by a loop without calls; one that misses its core ends it.
		n, layer, v := z.cores(dst, x, a, g)
		if n == len(dst) {
			return
		}
		dst[n] = x + float64(a*z.edge(layer, v, g))
		dst = dst[n+1:]
	}
}

// cores makes draws until one misses the core of its layer, and returns their number
// and that draw. A loop without calls keeps its variables in registers.
func (z *ziggurat) cores(dst []float64, x, a float64,
	g *Generator) (n int, layer uint64, v float64) {
	m, state := splitMix, g.state
	for i := range dst {
		var w uint64
		w, state = m.next(state)
		layer, v, inside := z.at(w)
		if !inside {
			g.state = state
			return i, layer, v
		}
		dst[i] = x + float64(a*v)
	}
	g.state = state
	return len(dst), 0, 0
}

// draw makes one draw, for callers that need no column.
func (z *ziggurat) draw(g *Generator) float64 {
	layer, x, inside := z.at(g.Uint64())
	if inside {
		return x
	}
	return z.edge(layer, x, g)
}

// edge decides on a point outside the core of its layer: a second number gives its
// height there. Far from the chord of the density, that tells on which side of the
// density it is.
func (z *ziggurat) edge(layer uint64, x float64, g *Generator) float64 {
	// The base strip beyond the radius is the tail.
	if layer == 0 {
		return math.Copysign(z.law.tail(z.radius, g), x)
	}
	height := open(g.Uint64())
	under := z.chord(int(layer), math.Abs(x)) - height
	// Near the chord the density itself decides.
	if math.Abs(under) < z.sag[layer] {
		under = z.law.density(x) - (z.f[layer] + float64(height*(z.f[layer+1]-z.f[layer])))
	}
	if under > 0 {
		return x
	}
	// A point above the density is dropped, and the draw begins anew.
	return z.draw(g)
}

// chord is the height in a layer, 0 to 1, of the straight line between the ends of
// the density there.
func (z *ziggurat) chord(layer int, x float64) float64 {
	return (z.x[layer] - x) / (z.x[layer] - z.x[layer+1])
}
