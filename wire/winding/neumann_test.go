// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"math"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire/winding"
)

// The oracle of the loops is Neumann's integral
//
//	L = (µ0/4π) ∮∮ dl·dl′/√(R² + g²)
//
// along the wires as they run in space: helices, inclined sides of a card, wires that rise
// over each other. Along one wire g is the mean distance e^(−1/4) r of a round section
// from itself, else 0. No formula of a loop, of a pair or of a coil is used.

type vector [3]float64

func (a vector) minus(b vector) vector { return vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vector) dot(b vector) float64  { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// piece is a smooth part of a wire, from t = 0 to 1.
type piece func(t float64) vector

func (p piece) tangent(t float64) vector {
	const h = 1e-5
	a, b := p(t-h), p(t+h)
	return vector{(b[0] - a[0]) / (2 * h), (b[1] - a[1]) / (2 * h), (b[2] - a[2]) / (2 * h)}
}

// track is one wire with its share of the current; pieces up to near apart are near along
// the wire.
type track struct {
	pieces  []piece
	current float64
	near    int
}

// Gauss–Legendre on [0, 1], by Newton's iteration on the polynomials.
func legendre(n int) (x, w []float64) {
	for i := range n {
		z := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		var slope float64
		for range 50 {
			p0, p1 := 1.0, z
			for k := 2; k <= n; k++ {
				p0, p1 = p1, (float64(2*k-1)*z*p1-float64(k-1)*p0)/float64(k)
			}
			slope = float64(n) * (z*p1 - p0) / (z*z - 1)
			z -= p1 / slope
		}
		x, w = append(x, (1+z)/2), append(w, 1/((1-z*z)*slope*slope))
	}
	return x, w
}

var outerX, outerW = legendre(8)
var innerX, innerW = legendre(12)
var farX, farW = legendre(4)

// neumannPair is ∫∫ dl·dl′/√(R² + g²) over two pieces.
func neumannPair(a, b piece, g float64) float64 {
	apart := a(0.5).minus(b(0.5))
	ta, tb := a.tangent(0.5), b.tangent(0.5)
	length := math.Sqrt(math.Max(ta.dot(ta), tb.dot(tb)))
	sum := 0.0
	if apart.dot(apart) > 4*length*length {
		for i, t := range farX {
			pa, ta := a(t), a.tangent(t)
			for j, u := range farX {
				r := pa.minus(b(u))
				sum += farW[i] * farW[j] * ta.dot(b.tangent(u)) / math.Sqrt(r.dot(r))
			}
		}
		return sum
	}
	for i, x := range outerX {
		t := x * x * (3 - 2*x) // denser at the ends, where pieces join
		weight := outerW[i] * 6 * x * (1 - x)
		pa, ta := a(t), a.tangent(t)
		distance := func(u float64) float64 { r := pa.minus(b(u)); return r.dot(r) + g*g }
		u0 := 0.0
		for k := 1; k <= 6; k++ {
			if u := float64(k) / 6; distance(u) < distance(u0) {
				u0 = u
			}
		}
		low, high := math.Max(0, u0-1.0/6), math.Min(1, u0+1.0/6)
		for range 10 { // golden section
			m, n := high-0.618034*(high-low), low+0.618034*(high-low)
			if distance(m) < distance(n) {
				high = n
			} else {
				low = m
			}
		}
		u0 = (low + high) / 2
		tangent := b.tangent(u0)
		scale := math.Sqrt(distance(u0) / tangent.dot(tangent))
		from, to := math.Asinh(-u0/scale), math.Asinh((1-u0)/scale)
		for j, y := range innerX {
			s := from + (to-from)*y
			u := u0 + scale*math.Sinh(s)
			sum += weight * innerW[j] * (to - from) * scale * math.Cosh(s) * ta.dot(
				b.tangent(u)) / math.Sqrt(distance(u))
		}
	}
	return sum
}

func neumann(tracks []track, wireRadius float64) float64 {
	g := wireRadius * math.Exp(-0.25)
	sum := 0.0
	for i, a := range tracks {
		for j, b := range tracks[:i+1] {
			for m, pa := range a.pieces {
				for n, pb := range b.pieces {
					if i == j && n > m {
						continue
					}
					soft, times := 0.0, 2.0
					if i == j {
						if m-n <= a.near {
							soft = g
						}
						if m == n {
							times = 1
						}
					}
					sum += times * a.current * b.current * neumannPair(pa, pb, soft)
				}
			}
		}
	}
	return 1e-7 * sum
}

const piecesPerTurn = 4

// helix of radius a about (x0, 0) from z = first, rising by pitch a turn in the sense of
// rotation sense.
func helix(a, x0, first, pitch float64, turns int, sense, current float64) track {
	t := track{current: current, near: piecesPerTurn / 2}
	for k := range turns * piecesPerTurn {
		t.pieces = append(t.pieces, func(u float64) vector {
			n := (float64(k) + u) / piecesPerTurn
			sin, cos := math.Sincos(sense * 2 * math.Pi * n)
			return vector{x0 + a*cos, a * sin, first + pitch*n}
		})
	}
	return t
}

// crossed is a helix in the other sense that rises over one of radius a and equal pitch,
// covered diameter d, wherever it crosses it.
func crossed(a, pitch, d float64, turns int, current float64) track {
	const per = 8
	t := track{current: current, near: per / 2}
	for k := range turns * per {
		t.pieces = append(t.pieces, func(u float64) vector {
			n := (float64(k) + u) / per
			away := math.Abs(math.Remainder(2*n, 1)) * pitch // along the axis from the nearest wire
			rise := 0.0
			switch x := away / d; { // it lies on the other, and comes down beside it
			case x < 0.9:
				rise = d * math.Sqrt(1-x*x)
			case x < 1.3:
				s := (x - 0.9) / 0.4
				rise = d * math.Sqrt(1-0.81) * (1 - s) * (1 - s) * (1 + 2*s)
			}
			sin, cos := math.Sincos(-2 * math.Pi * n)
			return vector{(a + rise) * cos, (a + rise) * sin, pitch * n}
		})
	}
	return t
}

// card is wire round a rectangle b by c, rising evenly.
func card(b, c, first, pitch float64, turns int, sense, current float64) track {
	t := track{current: current, near: 1}
	corners := [...][2]float64{{b / 2, c / 2}, {-b / 2, c / 2}, {-b / 2, -c / 2}, {b / 2, -c / 2}}
	way := [...]float64{0, b, b + c, 2*b + c, 2 * (b + c)}
	for k := range turns * 4 {
		t.pieces = append(t.pieces, func(u float64) vector {
			side := k % 4
			p, q := corners[side], corners[(side+1)%4]
			n := float64(k/4) + (way[side]+u*(way[side+1]-way[side]))/way[4]
			return vector{p[0] + u*(q[0]-p[0]), sense * (p[1] + u*(q[1]-p[1])), first + pitch*n}
		})
	}
	return t
}

// crossedCard is wire round a rectangle in the other sense, which rises over wire of equal
// pitch as [crossed] does.
func crossedCard(b, c, pitch, d float64, turns int, current float64) track {
	flat := card(b, c, 0, pitch, turns, -1, current)
	t := track{current: current, near: 7}
	for k := range turns * 16 { // each side in four pieces
		side := flat.pieces[k/4]
		t.pieces = append(t.pieces, func(u float64) vector {
			p := side((float64(k%4) + u) / 4)
			away := math.Abs(math.Remainder(2*p[2], pitch)) / d
			rise := 0.0
			switch {
			case away < 0.9:
				rise = d * math.Sqrt(1-away*away)
			case away < 1.3:
				s := (away - 0.9) / 0.4
				rise = d * math.Sqrt(1-0.81) * (1 - s) * (1 - s) * (1 + 2*s)
			}
			return vector{p[0] * (b + 2*rise) / b, p[1] * (c + 2*rise) / c, p[2]}
		})
	}
	return t
}

func TestLoopsAgainstNeumann(t *testing.T) {
	wire := winding.Wire{Bare: 0.45e-3, Covered: 0.485e-3}
	const d = 0.485e-3
	rod, mica := winding.Cylinder(0.020, 0.1), winding.Card(0.030, 0.001, 0.1)
	radius := 0.010 + d/2
	broad, thick := 0.030+d, 0.001+d
	bifilar := func(turns int, pitch, spacing float64) []track {
		return []track{
			helix(radius, 0, 0, pitch, turns, 1, 1), helix(radius, 0, spacing, pitch, turns, 1, -1),
		}
	}
	many, some := 6, 5
	if uncertaintytest.Long() {
		many, some = 28, 12
	}
	short := rod
	short.Length = 6*d + d/10
	var alternating, woven []track
	for k := range 10 {
		sign := float64(1 - 2*(k%2))
		alternating = append(alternating, helix(radius, 0, float64(k)*d, 0, 1, 1, sign))
		woven = append(woven, track{current: sign, pieces: []piece{func(u float64) vector {
			return vector{u * 0.030, 0, float64(k) * 1e-3}
		}}})
	}
	for _, c := range []struct {
		name   string
		w      winding.Winding
		tracks []track
	}{
		{"plain, close", winding.Winding{Former: rod, Turns: float64(some)}, []track{helix(radius, 0, 0, d, some, 1, 1)}},
		{"plain, spaced", winding.Winding{Former: rod, Turns: float64(some), Pitch: 1.5e-3}, []track{helix(radius, 0, 0, 1.5e-3, some, 1, 1)}},
		{"plain, three layers", winding.Winding{Former: short, Turns: 18}, []track{
			helix(radius, 0, 0, d, 6, 1, 1), helix(radius+d, 0, 6*d, -d, 6, 1, 1), helix(radius+2*d, 0, 0, d, 6, 1, 1),
		}},
		{"bifilar, 2 turns", winding.Winding{Construction: winding.BifilarWinding, Former: rod, Turns: 2}, bifilar(2, 2*d, d)},
		{"bifilar, many turns", winding.Winding{Construction: winding.BifilarWinding, Former: rod, Turns: float64(many)}, bifilar(many, 2*d, d)},
		{"bifilar, spaced", winding.Winding{Construction: winding.BifilarWinding, Former: rod, Turns: float64(some), Pitch: 4e-3, Spacing: 1.2e-3}, bifilar(some, 4e-3, 1.2e-3)},
		{"Ayrton–Perry", winding.Winding{Construction: winding.AyrtonPerryWinding, Former: rod, Turns: float64(some)}, []track{
			helix(radius, 0, 0, 2*d, some, 1, 0.5), crossed(radius, 2*d, d, some, 0.5),
		}},
		{"Ayrton–Perry, spaced", winding.Winding{Construction: winding.AyrtonPerryWinding, Former: rod, Turns: float64(some), Pitch: 3e-3}, []track{
			helix(radius, 0, 0, 3e-3, some, 1, 0.5), crossed(radius, 3e-3, d, some, 0.5),
		}},
		{"reversed layers", winding.Winding{Construction: winding.ReversedLayersWinding, Former: short, Turns: 12}, []track{
			helix(radius, 0, 0, d, 6, 1, 1), helix(radius+d, 0, 6*d, -d, 6, -1, 1),
		}},
		{"reversed turns", winding.Winding{Construction: winding.ReversedTurnsWinding, Former: rod, Turns: 10}, alternating},
		{"figure of eight", winding.Winding{Construction: winding.FigureEightWinding, Former: rod, Turns: float64(some)}, []track{
			helix(radius, 0, 0, 2*d, some, 1, 1), helix(radius, 0.020+2*d, 0, 2*d, some, -1, 1),
		}},
		{"woven", winding.Winding{Construction: winding.WovenWinding, Former: mica, Turns: 10, Pitch: 1e-3}, woven},
		{"card", winding.Winding{Former: mica, Turns: float64(some)}, []track{card(broad, thick, 0, d, some, 1, 1)}},
		{"card, bifilar", winding.Winding{Construction: winding.BifilarWinding, Former: mica, Turns: float64(some)}, []track{
			card(broad, thick, 0, 2*d, some, 1, 1), card(broad, thick, d, 2*d, some, 1, -1),
		}},
		{"card, Ayrton–Perry", winding.Winding{Construction: winding.AyrtonPerryWinding, Former: mica, Turns: 4, Pitch: 2e-3}, []track{
			card(broad, thick, 0, 2e-3, 4, 1, 0.5), crossedCard(broad, thick, 2e-3, d, 4, 0.5),
		}},
	} {
		c.w.Wire, c.w.Ohms = wire, 10
		r, err := c.w.Residuals()
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		want := neumann(c.tracks, wire.Bare/2)
		off := r.L/want - 1
		t.Logf("%-22s loops %8.4f µH, integral %8.4f µH, %+.2f %% (stated %.0f %%)", c.name,
			r.L*1e6, want*1e6, off*100, r.InductanceWithin*100)
		if math.Abs(off) > r.InductanceWithin {
			t.Errorf("%s: loops %v H, integral %v H", c.name, r.L, want)
		}
	}
}
