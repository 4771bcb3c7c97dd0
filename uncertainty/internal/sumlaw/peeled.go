// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

// peeled is the law of one or two wide rectangles and a narrow rest: each rectangle integrates
// the distribution function once and takes the difference of two places, as [closed] has it.
type peeled struct {
	a, b float64 // half-widths; b may be 0: one rectangle
	rest integrals
	low  float64 // ends of the rest
	high float64
	// Up to the upper end: the integral of the distribution function of the rest, and the
	// integral of that.
	first, second float64
}

// integrals are those of a distribution function from its beginning to x, where that is between
// the ends.
type integrals interface {
	integral(count int, x float64) float64
	ends() (low, high float64)
}

// newPeeled takes away so many of the widest rectangles, one or two; pieces are all rectangles of
// the terms, widest first. The rest is returned as terms: nobody knows yet whether its law can be
// found.
func newPeeled(terms []Term, pieces []float64, count int) (f *peeled, rest []Term) {
	f = &peeled{a: pieces[0]}
	if count == 2 {
		f.b = pieces[1]
	}
	for _, a := range pieces[count:] {
		rest = append(rest, Rectangles(a, 0))
	}
	for _, t := range terms {
		if t.kind != rectangles {
			rest = append(rest, t)
		}
	}
	return f, rest
}

// over sets the rest.
func (f *peeled) over(rest integrals) {
	f.rest = rest
	f.low, f.high = rest.ends()
	f.first, f.second = rest.integral(1, f.high), rest.integral(2, f.high)
}

// twice is a lattice with its integrals, each a lattice of the same points.
type twice struct {
	*lattice
	first, second *lattice
}

func (l *lattice) twice() *twice {
	first := l.integrated()
	return &twice{l, first, first.integrated()}
}

// ends leave out what cannot be interpolated.
func (t *twice) ends() (low, high float64) {
	middle := len(t.values) / 2
	return t.centre + float64(float64(t.lattice.first()-middle)*t.step),
		t.centre + float64(float64(t.last()-middle)*t.step)
}

func (t *twice) integral(count int, x float64) float64 {
	l := t.first
	if count == 2 {
		l = t.second
	}
	// Held to the intervals that can be interpolated: at asks for no x outside the ends.
	j, s := l.place(x)
	return l.between(max(l.first(), min(l.last(), j)), s)
}

// integrated is the integral of a lattice from its beginning, where its values are 0. The
// weights are those of the polynomial through eight points between the middle two.
func (l *lattice) integrated() *lattice {
	out := &lattice{centre: l.centre, step: l.step, values: make([]float64, len(l.values))}
	weights := [...]float64{-191, 1879, -9531, 68323, 68323, -9531, 1879, -191}
	for j := l.first(); j < len(l.values)-1; j++ {
		v := (l.values[j] + l.values[j+1]) / 2 // beyond the end values are constant, or rise evenly
		if j <= l.last() {
			v = 0
			for k, w := range weights {
				v += float64(w / 120960 * l.values[j-3+k])
			}
		}
		out.values[j+1] = out.values[j] + float64(v*l.step)
	}
	return out
}

// at is the integral up to x: once for one rectangle, twice for two. Above the upper end h,
// where F = 1, it goes on as I₁(h) + (x − h), or as I₂(h) + (x − h)·I₁(h) + (x − h)²/2.
func (f *peeled) at(x float64) float64 {
	count := 1
	if f.b > 0 {
		count = 2
	}
	d := x - f.high // beyond, the distribution function is 1
	switch {
	case x <= f.low:
		return 0
	case d < 0:
		return f.rest.integral(count, x)
	case count == 2:
		return f.second + float64(d*(f.first+d/2))
	}
	return f.first + d
}

// cdf takes the differences: for one rectangle (I₁(z + a) − I₁(z − a))/2a, for two the same
// again, with the four places ±a ± b, divided by 4ab.
func (f *peeled) cdf(z float64) float64 {
	if f.b > 0 {
		p, q := f.a+f.b, f.a-f.b
		sum := f.at(z+p) - f.at(z+q) - f.at(z-q) + f.at(z-p)
		return max(0, min(1, sum/(4*f.a*f.b)))
	}
	return max(0, min(1, (f.at(z+f.a)-f.at(z-f.a))/(2*f.a)))
}

func (f *peeled) ends() (low, high float64) { return f.low - f.a - f.b, f.high + f.a + f.b }
