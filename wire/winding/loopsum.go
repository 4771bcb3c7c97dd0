// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// inductance adds up the self and mutual inductances of the turns, each with the
// currents of both and their senses, and what the way along the former adds. In H.
func (g geometry) inductance(rows []row) float64 {
	// Each pair of rows once, hence twice below.
	sum := g.axial()
	for i, a := range rows {
		sum += float64(a.current * a.current * g.rowInductance(a))
		for _, b := range rows[:i] {
			sum += float64(2 * a.current * b.current * g.between(a, b))
		}
	}
	return MagneticConstant * sum
}

// rowInductance is that of the turns of one row, over µ0. A part of a turn has that part
// of the self-inductance and of each mutual inductance, which interpolates linearly
// between whole turns.
func (g geometry) rowInductance(a row) float64 {
	// Turns k apart occur n − k times, in both orders.
	m := g.mutual(a, a)
	n := float64(a.turns)
	sum := n*g.self(a) + sumAway(1, a.turns-1, 0, func(k float64) float64 {
		return 2 * (n - k) * m(float64(k*a.pitch))
	})
	return a.weight * sum
}

// between is the sum of the mutual inductances of the turns of two rows, over µ0. The
// rows have one pitch or one turn, so that few distances occur, each many times: turn i
// of a and turn i − k of b are shift + k pitches apart.
func (g geometry) between(a, b row) float64 {
	m := g.mutual(a, b)
	pitch, shift := g.rowPitch(a, b), a.first-b.first
	na, nb := float64(a.turns), float64(b.turns)
	// So many pairs of turns have this distance.
	f := func(k float64) float64 {
		pairs := min(na, nb+k) - max(0, k)
		return pairs * m(math.Abs(shift+float64(k*pitch)))
	}
	origin := -shift / pitch // where the distance is 0
	middle := int(math.Ceil(origin))
	sum := 0.0
	// The number of pairs has corners at 0 and na − nb: sums end there.
	// Above the place of distance 0, then below it, each outwards.
	for _, part := range split(max(middle, 1-b.turns), a.turns-1, 0, a.turns-b.turns) {
		sum += sumAway(part[0], part[1], origin, f)
	}
	for _, part := range split(max(1-middle, 1-a.turns), b.turns-1, 0, b.turns-a.turns) {
		sum += sumAway(part[0], part[1], -origin, func(k float64) float64 { return f(-k) })
	}
	return min(a.weight, b.weight) * sum
}

// split divides the whole numbers from low to high after each corner.
func split(low, high int, corners ...int) (out [][2]int) {
	slices.Sort(corners)
	// Sorted corners cut the range into pieces between which nothing bends.
	for _, c := range append(corners, high) {
		if c = min(c, high); c >= low {
			out = append(out, [2]int{low, c})
			low = c + 1
		}
	}
	return out
}

// sumAway adds f(k) for k from low to high, where f is singular no nearer than origin and
// at low or below. Far away f hardly changes from one k to the next: a block of at most
// half its distance is an integral, from half a step before to half a step behind, less
// the first term of Euler and Maclaurin, the difference of f′/24 at its ends.
func sumAway(low, high int, origin float64, f func(k float64) float64) float64 {
	const shortest = 12
	sum := 0.0
	for low <= high {
		// Within half the distance to the singularity a block is smooth.
		n := min(int((float64(low)-origin)/2), high-low+1)
		if n < shortest {
			sum += f(float64(low))
			low++
			continue
		}
		first, last := float64(low), float64(low+n-1)
		// Slopes half a step outside, from within: f has a corner where a sum ends.
		before := -2*f(first) + 3*f(first+1) - f(first+2)
		behind := 2*f(last) - 3*f(last-1) + f(last-2)
		sum += gauss(f, first-0.5, last+0.5) - (behind-before)/24
		low += n
	}
	return sum
}

// rowPitch is that of the row with more than one turn.
func (g geometry) rowPitch(a, b row) float64 {
	if a.turns > 1 {
		return a.pitch
	}
	return b.pitch
}

// self is the inductance of one turn over µ0: the field outside, with the current along
// the middle of the wire, and that inside.
func (g geometry) self(a row) float64 {
	wire := g.winding.Wire
	r, inside := wire.Bare/2, wire.permeability()/4
	side := func(l float64) float64 { return filaments(l, l, r) + float64(l*inside)/(2*math.Pi) }
	switch {
	case g.winding.Construction == WovenWinding:
		return side(g.winding.Former.Breadth)
	case g.winding.Former.Diameter > 0:
		// The refined loop of LoopInductanceRefined, with the inside apart.
		x := g.radius(a.layer) + a.rise
		y := r / x * r / x
		return x * (float64((1+y/8)*elementary.Log(8*x/r)) + y/24 - 2 + inside)
	}
	// Four sides, less what opposite ones take away.
	q := g.rectangle(a.layer).raised(a.rise)
	return 2 * (side(q.breadth) + side(q.thickness) -
		filaments(q.breadth, q.breadth, q.thickness) - filaments(q.thickness, q.thickness,
		q.breadth))
}

// mutual returns the mutual inductance over µ0 of a turn of a and one of b as a function
// of their distance along the former. The wires count as filaments in their middles,
// which is exact for straight round wires.
func (g geometry) mutual(a, b row) func(d float64) float64 {
	switch {
	case g.winding.Construction == WovenWinding:
		l := g.winding.Former.Breadth
		return func(d float64) float64 { return filaments(l, l, d) }
	case a.core != b.core:
		radius := g.radius(a.layer)
		return func(d float64) float64 { return circlesApart(radius, g.spacing, d) }
	}
	if g.winding.Construction == AyrtonPerryWinding && a.current != b.current {
		return g.crossing()
	}
	if g.winding.Former.Diameter > 0 {
		// Coaxial circles, of one radius or of two layers.
		p, q := g.radius(a.layer)+a.rise, g.radius(b.layer)+b.rise
		return func(d float64) float64 { return circles(p, q, d) }
	}
	p, q := g.rectangle(a.layer).raised(a.rise), g.rectangle(b.layer).raised(b.rise)
	return func(d float64) float64 { return rectangles(p, q, d) }
}

// crossing is the mutual inductance of two turns of opposite senses, averaged over the
// angle: once round the former, a turn of one wire passes a turn of the other from one
// pitch on this side to one pitch on that side. Where it is nearer to any turn than the
// covered diameter it lies on it.
func (g geometry) crossing() func(d float64) float64 {
	covered := g.winding.Wire.Covered
	at := func(d float64) float64 {
		// The nearest turn of the other wire, within half a pitch.
		away := math.Remainder(d, g.pitch)
		rise := math.Sqrt(max(0, float64(covered*covered)-float64(away*away)))
		if g.winding.Former.Diameter > 0 {
			return circles(g.radius(0), g.radius(0)+rise, d)
		}
		return rectangles(g.rectangle(0), g.rectangle(0).raised(rise), d)
	}
	pieces := map[int]float64{} // ∫ over the distances from k to k+1 pitches
	piece := func(k int) float64 {
		// The other side of distance 0 is its image.
		if k < 0 {
			k = -1 - k
		}
		v, ok := pieces[k]
		if !ok {
			low, high := float64(k)*g.pitch, float64(k+1)*g.pitch
			// The integrand bends where the wire begins to rise and where it has come down.
			v = integrate(at, low, low+covered) + integrate(at, low+covered, high-covered) +
				integrate(at, high-covered, high)
			pieces[k] = v
		}
		return v
	}
	return func(d float64) float64 {
		k := int(math.Round(d / g.pitch))
		if k > 8 { // by now the average is the value in the middle, but for the rise
			rise := g.meanRise()
			if g.winding.Former.Diameter > 0 {
				return circles(g.radius(0), g.radius(0)+rise, d)
			}
			return rectangles(g.rectangle(0), g.rectangle(0).raised(rise), d)
		}
		return (piece(k-1) + piece(k)) / (2 * g.pitch)
	}
}

// meanRise is how high the second wire of an Ayrton–Perry winding lies on the average
// because it crosses the first: half a circle of the covered diameter in each pitch.
func (g geometry) meanRise() float64 {
	return math.Pi / 2 * g.winding.Wire.Covered * g.winding.Wire.Covered / g.pitch
}

// integrate is the integral of a function that varies as a logarithm near 0, in pieces
// that at most double the distance.
func integrate(f func(float64) float64, low, high float64) float64 {
	sum := 0.0
	for low < high {
		next := high
		// In doubling steps a logarithm is smooth.
		if low > 0 {
			next = min(2*low, high)
		}
		sum += gauss(f, low, next)
		low = next
	}
	return sum
}

// gauss integrates by four points of Gauss and Legendre.
func gauss(f func(float64) float64, low, high float64) float64 {
	// Points and weights of four-point quadrature (Handbook of Mathematical Functions, table
	// 25.4).
	const x1, x2 = 0.33998104358485626, 0.86113631159405258
	const w1, w2 = 0.65214515486254614, 0.34785484513745386
	middle, half := (low+high)/2, (high-low)/2
	inner := f(middle-float64(half*x1)) + f(middle+float64(half*x1))
	outer := f(middle-float64(half*x2)) + f(middle+float64(half*x2))
	return half * (float64(w1*inner) + float64(w2*outer))
}

// axial is the inductance of the way along the former, over µ0, that of a tube of
// current: a winding that begins at one end and ends at the other goes that way once,
// whatever its turns do. The leads are not part of the winding.
func (g geometry) axial() float64 {
	// A pair returns to where it began, and so does an even number of layers.
	if g.winding.Construction == BifilarWinding || g.layers%2 == 0 {
		return 0
	}
	length := min(g.winding.Turns, g.perLayer) * g.pitch
	// the distance whose logarithm is the mean: the radius of a tube; of a flat one
	// as of a rectangle, 0.2235 of the two sides (Lyle 1914, table 1)
	mean := g.radius(0)
	switch {
	case g.winding.Construction == WovenWinding:
		mean = 0.2235 * g.winding.Former.Breadth
	case g.winding.Construction == FigureEightWinding:
		mean = math.Sqrt(g.spacing * mean)
	case g.winding.Former.Diameter == 0:
		mean = 0.2235 * (g.winding.Former.Breadth + g.winding.Former.Thickness)
	}
	return filaments(length, length, mean)
}
