// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import "math"

// panel is an interval of probability with its Gauss points.
type panel struct {
	low, high float64
	upper     bool // probabilities count from 1 downwards
}

// The points and weights of the Gauss rule of 16 points on −1 to 1 (Handbook of Mathematical
// Functions, National Bureau of Standards, 1964, Table 25.4), those above 0.
var gaussPoints = [...]weighted{
	{0.0950125098376374402, 0.1894506104550684963}, {0.2816035507792589132, 0.1826034150449235889},
	{0.4580167776572273863, 0.1691565193950025382}, {0.6178762444026437484, 0.1495959888165767321},
	{0.7554044083550030339, 0.1246289712555338720}, {0.8656312023878317439, 0.0951585116824927848},
	{0.9445750230732325761, 0.0622535239386478929}, {0.9894009349916499326, 0.0271524594117540949},
}

// points adds the values and weights of the panel.
func (t *Term) points(dst []weighted, p panel) []weighted {
	middle, half := p.low+(p.high-p.low)/2, (p.high-p.low)/2
	for _, g := range gaussPoints {
		for _, s := range [...]float64{-1, 1} {
			q := middle + float64(s*float64(half*g.value))
			if p.upper {
				// Counted from 1 the small probability itself keeps its digits until this
				// difference.
				q = 1 - q
			}
			dst = append(dst, weighted{t.value(q), float64(half * g.weight)})
		}
	}
	return dst
}

const (
	mostPanels = 1 << 12
	leastPanel = 0x1p-44 // a jump of the quantile function lies in one of these
)

// discrete makes a discrete distribution of the term that has its characteristic function up to
// the frequency t. It is false where too many points would be needed.
func (t *Term) discrete(centre, frequency float64) (out []weighted, ok bool) {
	// Panels shrink towards the ends of the probabilities, where quantile functions have
	// their singularities; the distance to the end is a seventh of their length at least.
	var todo []panel
	for _, upper := range [...]bool{false, true} {
		// Eleven panels on either side, each an eighth of the last, down to 1e-10.
		high := 0.5
		for high > outside {
			todo = append(todo, panel{high / 8, high, upper})
			high /= 8
		}
		// What is left at the end, less than 1e-10, stands at one point.
		p := high / 2
		if upper {
			p = 1 - p
		}
		out = append(out, weighted{t.value(p) - centre, high})
	}
	var room, parts []weighted
	for panels := 0; len(todo) > 0; panels++ {
		if panels == mostPanels {
			return nil, false
		}
		p := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		middle := p.low + (p.high-p.low)/2
		low, high := panel{p.low, middle, p.upper}, panel{middle, p.high, p.upper}
		// One rule of 16 points against two: their difference bounds the error of the one that
		// is kept.
		room = t.points(room[:0], p)
		parts = t.points(t.points(parts[:0], low), high)
		if p.high-p.low > leastPanel && !agree(room, parts, centre, frequency) {
			// The lower half on top: panels, and with them the points, stay in the order of
			// probability.
			todo = append(todo, high, low)
			continue
		}
		for _, w := range room {
			out = append(out, weighted{w.value - centre, w.weight})
		}
	}
	return out, true
}

// agree reports whether two rules for one panel give one characteristic function at the
// highest frequency and at two below it: at one alone they may agree by chance.
func agree(a, b []weighted, centre, frequency float64) bool {
	// A hundredth of the 1e-9 that the law may be off by.
	const agreement = 1e-11
	for _, part := range [...]float64{1, 0.63, 0.21} {
		x := frequency * part
		re, im := 0.0, 0.0
		for k, rule := range [...][]weighted{a, b} {
			sign := float64(1 - 2*k)
			for _, w := range rule {
				s, c := sinCos(float64(x * (w.value - centre)))
				re += float64(float64(sign*w.weight) * c)
				im += float64(float64(sign*w.weight) * s)
			}
		}
		if !(math.Abs(re)+math.Abs(im) < agreement) {
			return false
		}
	}
	return true
}

// multiply multiplies φ by the characteristic function of a discrete distribution, Σ
// w·exp(i·t·x), at points whose number is a multiple of four. From one frequency to the next the
// exponential turns by a constant angle, four products in place of a sine and a cosine. It
// returns the largest size of that function among the later half of the points, from which
// affordable foresees its fall. The cost is that of all nodes times all points.
func multiply(nodes []weighted, re, im []float64, first int, step float64) (largest float64) {
	sumRe, sumIm := make([]float64, len(re)), make([]float64, len(re))
	const run = 256 // points after which a rotation starts afresh: each step rounds
	for _, w := range nodes {
		angle := float64(step * w.value)
		turnS, turnC := sinCos(4 * angle)
		for from := 0; from < len(re); from += run {
			a, b := sumRe[from:min(len(re), from+run)], sumIm[from:min(len(re), from+run)]
			// Four rotations at the same time, of every fourth point each: one alone would
			// wait for its last result.
			var s, c [4]float64
			for k := range s {
				s[k], c[k] = sinCos((float64(first+from+k) + 0.5) * angle)
				s[k], c[k] = float64(s[k]*w.weight), float64(c[k]*w.weight)
			}
			s0, s1, s2, s3 := s[0], s[1], s[2], s[3]
			c0, c1, c2, c3 := c[0], c[1], c[2], c[3]
			for ; len(a) >= 4 && len(b) >= 4; a, b = a[4:], b[4:] {
				a[0], a[1], a[2], a[3] = a[0]+c0, a[1]+c1, a[2]+c2, a[3]+c3
				b[0], b[1], b[2], b[3] = b[0]+s0, b[1]+s1, b[2]+s2, b[3]+s3
				s0, c0 = float64(s0*turnC)+float64(c0*turnS), float64(c0*turnC)-float64(s0*turnS)
				s1, c1 = float64(s1*turnC)+float64(c1*turnS), float64(c1*turnC)-float64(s1*turnS)
				s2, c2 = float64(s2*turnC)+float64(c2*turnS), float64(c2*turnC)-float64(s2*turnS)
				s3, c3 = float64(s3*turnC)+float64(c3*turnS), float64(c3*turnC)-float64(s3*turnS)
			}
		}
	}
	for i := range re {
		if i >= len(re)/2 {
			largest = max(largest, math.Abs(sumRe[i])+math.Abs(sumIm[i]))
		}
		// Complex product, each rounding by itself.
		x := float64(re[i]*sumRe[i]) - float64(im[i]*sumIm[i])
		im[i] = float64(re[i]*sumIm[i]) + float64(im[i]*sumRe[i])
		re[i] = x
	}
	return largest
}
