// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

// An Effect is a function of one value: Slope·(x − Centre), or a curve.
type Effect struct {
	Centre, Slope float64
	Curve         *Curve // in place of them
}

// At returns the effect at x, with the bits that a machine gives.
func (e *Effect) At(x float64) float64 {
	if e.Curve != nil {
		return e.Curve.at(x)
	}
	return float64(e.Slope * (x - e.Centre))
}

// add adds the effect of each element of a to dst.
func (e *Effect) add(dst, a []float64) {
	a = a[:len(dst)]
	if e.Curve != nil {
		for i := range dst {
			dst[i] += e.Curve.at(a[i])
		}
		return
	}
	centre, slope := e.Centre, e.Slope
	for i := range dst {
		dst[i] += float64(slope * (a[i] - centre))
	}
}

// A Curve is a function between two ends, in cells of one width with a cubic each, and a
// straight line beyond either end. Its first two derivatives have no jumps between the ends:
// those would make its distribution hard to integrate.
type Curve struct {
	low, inverse float64 // lower end, and cells per unit of the argument
	last         float64 // number of cells between the ends
	// Coefficients of 1, s, s² and s³, s being the place in the cell, 0 to 1. The first and the
	// last are the lines, in which s is below 0 and above 0 without end.
	cells [][4]float64
}

// NewCurve makes the spline through values at equal distances from low to high, four or
// more, whose slopes at the ends are those of the cubics through the last four values.
func NewCurve(low, high float64, values []float64) *Curve {
	n := len(values) - 1
	// One cell more at either end, for the straight lines.
	c := &Curve{low, float64(n) / (high - low), float64(n), make([][4]float64, n+2)}
	slopes := splineSlopes(values)
	for i := range n {
		rise := values[i+1] - values[i]
		a, b := slopes[i], slopes[i+1]
		// Hermite's cubic of the values and slopes at both ends of the cell: with the rise v, the
		// coefficients of s² and s³ are 3v − 2a − b and a + b − 2v.
		c.cells[i+1] = [4]float64{values[i], a, float64(3*rise) - float64(2*a) - b, a + b -
			float64(2*rise)}
	}
	// A line has no square and no cube.
	c.cells[0] = [4]float64{values[0], slopes[0]}
	c.cells[n+1] = [4]float64{values[n], slopes[n]}
	return c
}

// splineSlopes solves m[i−1] + 4·m[i] + m[i+1] = 3·(v[i+1] − v[i−1]) for the slopes of a
// cubic spline, per cell, by elimination.
func splineSlopes(v []float64) []float64 {
	n := len(v) - 1
	// The slope at an end of the cubic through the last four values.
	edge := func(a, b, c, d float64) float64 {
		return (float64(-11*a) + float64(18*b) - float64(9*c) + float64(2*d)) / 6
	}
	m := make([]float64, n+1)
	m[0], m[n] = edge(v[0], v[1], v[2], v[3]), -edge(v[n], v[n-1], v[n-2], v[n-3])
	pivots := make([]float64, n+1) // of the rows, after elimination
	// Forward elimination of the tridiagonal system, of which the diagonal is 4.
	for i := 1; i < n; i++ {
		r := float64(3 * (v[i+1] - v[i-1]))
		if i == 1 {
			pivots[i] = 4
			m[i] = r - m[0]
			continue
		}
		pivots[i] = 4 - 1/pivots[i-1]
		m[i] = r - m[i-1]/pivots[i-1]
	}
	// Backward, from the slope at the upper end.
	for i := n - 1; i > 0; i-- {
		m[i] = (m[i] - m[i+1]) / pivots[i]
	}
	return m
}

// at finds the cell and evaluates its cubic; beyond the ends the line.
func (c *Curve) at(x float64) float64 {
	// In cells from the lower end.
	s := float64((x - c.low) * c.inverse)
	i := 0
	switch {
	case s >= c.last:
		i = len(c.cells) - 1
		s -= c.last
	case s >= 0:
		i = int(s)
		s -= float64(i)
		i++
	}
	k := &c.cells[i]
	return k[0] + float64(s*(k[1]+float64(s*(k[2]+float64(s*k[3])))))
}
