// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// table draws from any continuous distribution by inversion. Asking a Quantile for
// every draw costs microseconds; so it is asked once, at points that are dense in the
// tails: each half of the probability is cut into octaves, ½ to ¼ to ⅛ and on, each
// octave into cells with a cubic. A cell that does not reproduce the quantile, and
// what lies beyond the last octave, asks the distribution itself.
type table struct {
	law   func(p float64) float64  // quantile
	cells [2][octaves * parts]cell // lower and upper half
}

const (
	octaves = 32
	parts   = 16

	// tableTolerance is the error of the cubic at its worst places, as a part of the
	// standard uncertainty u.
	tableTolerance = 1e-6
)

// cell is a cubic in the place within the cell, 0 to 1.
type cell struct {
	c      [4]float64
	direct bool
}

// newTable asks for the quantile at some 9,000 places, once for a source.
func newTable(quantile func(p float64) float64, u float64) *table {
	t := &table{law: quantile}
	for half := range t.cells {
		for i := range t.cells[half] {
			t.cells[half][i] = t.newCell(half, i, u)
		}
	}
	return t
}

// newCell fits the cubic at Chebyshev points and checks it between them and at the
// ends.
func (t *table) newCell(half, i int, u float64) cell {
	// Cell i lies in octave i/parts below ½, which its exponent names.
	low := math.Ldexp(1+float64(i%parts)/parts, -2-i/parts)
	size := math.Ldexp(1.0/parts, -2-i/parts)
	at := func(s float64) (place, value float64) {
		q := low + float64(s*size)
		// Near 1 the distribution cannot be asked for every q: the place is that of the one it
		// gets.
		if half == 1 {
			q = 1 - (1 - q) // what the distribution can be told
		}
		return (q - low) / size, t.quantile(half, q)
	}
	var x, d [4]float64
	for k := range x {
		// Chebyshev points keep the error nearly the same all over the cell.
		x[k], d[k] = at(0.5 - 0.5*elementary.Cos(math.Pi*(float64(k)+0.5)/4))
	}
	c := cell{c: cubic(x, d)}
	for _, s := range []float64{0, 0.13, 0.5, 0.87, 1} {
		place, v := at(s)
		// A NaN counts as an error.
		if e := math.Abs(c.at(place) - v); !(e <= tableTolerance*u) {
			c.direct = true
		}
	}
	return c
}

// cubic is the polynomial through four points (Newton's divided differences), in
// powers of x.
func cubic(x, d [4]float64) [4]float64 {
	for n := 1; n < 4; n++ {
		for k := 3; k >= n; k-- {
			d[k] = (d[k] - d[k-1]) / (x[k] - x[k-n])
		}
	}
	// From divided differences to powers, by Horner's scheme.
	c := [4]float64{d[3]}
	for n := 2; n >= 0; n-- { // times (x − x[n]), plus d[n]
		for k := 3; k > 0; k-- {
			c[k] = c[k-1] - float64(c[k]*x[n])
		}
		c[0] = d[n] - float64(c[0]*x[n])
	}
	return c
}

// at evaluates the cubic.
func (c *cell) at(s float64) float64 {
	return c.c[0] + float64(s*(c.c[1]+float64(s*(c.c[2]+float64(s*c.c[3])))))
}

// quantile counts q from the lower or the upper end.
func (t *table) quantile(half int, q float64) float64 {
	if half == 1 {
		// 1 itself is no probability that a quantile is asked for.
		return t.law(min(1-q, 1-0x1p-53))
	}
	return t.law(q)
}

// fill takes one random word for a draw.
func (t *table) fill(dst []float64, g *Generator) {
	for i := range dst {
		// One bit of the word chooses the half, others the place.
		w := g.Uint64()
		q := 0.5 * open(w) // 53 bits; the side is one of the others
		dst[i] = t.value(int(w&1), q)
	}
}

// value is the quantile for 0 < q < ½.
func (t *table) value(half int, q float64) float64 {
	const mantissa = 52
	// The exponent of q is its octave, the next four bits the cell: no logarithm is needed. Octave
	// 0 is q from ¼ to ½, of biased exponent 1023 − 2.
	bits := math.Float64bits(q)
	octave := 1021 - int(bits>>mantissa)
	// So far out that a cubic would not serve; it happens once in 2³² draws.
	if octave >= octaves {
		return t.quantile(half, q)
	}
	c := &t.cells[half][octave*parts+int(bits>>(mantissa-4)&(parts-1))]
	if c.direct {
		return t.quantile(half, q)
	}
	// The bits below the index are the place in the cell.
	s := float64(bits&(1<<(mantissa-4)-1)) * 0x1p-48
	return c.at(s)
}
