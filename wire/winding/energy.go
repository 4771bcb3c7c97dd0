// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// At low frequency the potential falls evenly along the wire, and what the charges
// between its parts do to the time constant is as if one capacitance
//
//	C = Σ C(i,j) ⟨(v(i) − v(j))²⟩
//
// lay across the terminals, with v the potential as a fraction of the voltage, the mean
// taken along the turns: twice the energy of the field over the square of the voltage,
// the first order of the impedance in frequency. For a folded pair it gives the C/3 of a
// short-circuited line.

// charged is one turn with its potential at the start and at the end of the way round.
type charged struct {
	layer, core int
	place       float64 // m
	weight      float64
	start, end  float64
	odd         bool // second wire of a pair
}

// difference is the mean square of the difference of potential of two turns.
func (a charged) difference(b charged) float64 {
	// The difference falls evenly along the turn: the mean of the square of a straight line.
	first, last := a.start-b.start, a.end-b.end
	return (float64(first*first) + float64(first*last) + float64(last*last)) / 3
}

const (
	rowReach  = 3  // neighbours along a row that are computed, on either side
	rowLimit  = 64 // neighbours along a row that are counted at all
	planeLast = 1  // of several layers: neighbours next to the wire alone, others are screened
)

// capacitance is that across the terminals, in F.
func (g geometry) capacitance(rows []row) (float64, error) {
	layers := g.charged(rows)
	near, err := g.nearWires()
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for i, turns := range layers {
		for j, a := range turns {
			// Each pair of turns once, by how many places they are apart.
			for k := 1; k <= near.reach && j+k < len(turns); k++ {
				b := turns[j+k]
				c := near.along(k, a.odd)
				// A part of a turn faces its neighbour over that part.
				sum += float64(c * min(a.weight, b.weight) * g.loop(a.layer) * a.difference(b))
			}
		}
		// The two formers of an 8 do not face each other.
		if i+1 < len(layers) && layers[i+1][0].core == turns[0].core {
			sum += g.acrossLayers(near, turns, layers[i+1])
		}
	}
	return sum, nil
}

// acrossLayers is what the turns of one layer and those above it contribute.
func (g geometry) acrossLayers(near neighbours, turns, above []charged) float64 {
	length := (g.loop(turns[0].layer) + g.loop(above[0].layer)) / 2
	sum, low := 0.0, 0
	for _, a := range turns {
		// Both layers are sorted, so that the window of neighbours moves on.
		for low < len(above) && above[low].place < a.place-g.pitch {
			low++
		}
		for _, b := range above[low:] {
			if b.place > a.place+g.pitch {
				break
			}
			sum += float64(near.across(a, b) * length * min(a.weight, b.weight) *
				a.difference(b))
		}
	}
	return sum
}

// loop is the length over which a turn faces its neighbours on one former, m.
func (g geometry) loop(layer int) float64 {
	// Half of an 8 lies on either former.
	if g.winding.Construction == FigureEightWinding {
		return g.turn(layer) / 2
	}
	return g.turn(layer)
}

// charged returns the turns layer by layer, in each by place.
func (g geometry) charged(rows []row) [][]charged {
	var out [][]charged
	for _, r := range rows {
		at := slices.IndexFunc(out,
			func(l []charged) bool { return l[0].layer == r.layer && l[0].core == r.core })
		if at < 0 {
			at = len(out)
			out = append(out, nil)
		}
		for i := range r.turns {
			v := r.start + float64(float64(i)*r.step)
			c := charged{layer: r.layer, core: r.core, place: r.place(i), weight: r.weight,
				start: v, end: v + r.along, odd: r.current < 0}
			// Each turn lies on both sides of the other wire: its mean potential and place stand
			// for it.
			// The wires of the two senses lie between each other on the average.
			if g.winding.Construction == AyrtonPerryWinding {
				c.start = v + r.along/2
				if c.odd {
					c.place += g.pitch / 2
					c.start = v - r.along/2
				}
				c.end = c.start
			}
			out[at] = append(out[at], c)
		}
	}
	// Layers that were wound backwards come in falling order.
	for _, l := range out {
		slices.SortStableFunc(l, func(a, b charged) int { return cmp.Compare(a.place, b.place) })
	}
	return out
}

// neighbours are the capacitances per metre of a wire to those about it.
type neighbours struct {
	reach     int
	right     [rowReach + 1]float64 // F/m by how many wires away, from the first wire of a pair
	left      [rowReach + 1]float64
	over      map[int]float64 // F/m to the next layer, by places
	pair      bool
	medium    float64
	tolerance float64 // m, of a place
	gaps      [2]float64
}

// along is the capacitance per metre from a wire to the k-th to its right. Far away the
// row is as good as a sheet of strips, (2ε/π) ln(k²/(k²−1)).
func (n neighbours) along(k int, odd bool) float64 {
	// The exact sum beyond three neighbours is lost in what the rest leaves open.
	if k > rowReach {
		x := float64(k * k)
		return 2 / math.Pi * ElectricConstant * n.medium * elementary.Log(x/(x-1))
	}
	if odd && n.pair {
		return n.left[k]
	}
	return n.right[k]
}

// across is the capacitance per metre to a wire of the next layer.
func (n neighbours) across(a, b charged) float64 {
	d := b.place - a.place
	if math.Abs(d) < n.tolerance {
		return n.over[0]
	}
	side := 1 // to the right, from the first wire of a pair
	// Seen from the second wire of a pair, right and left change places.
	if (d < 0) != (n.pair && a.odd) {
		side = -1
	}
	gap := n.gaps[0]
	if side < 0 {
		gap = n.gaps[1]
	}
	// Only wires that touch or nearly touch across layers count.
	if math.Abs(math.Abs(d)-gap) < n.tolerance {
		return n.over[side]
	}
	return 0
}

// nearWires computes the capacitances of a wire in the middle.
func (g geometry) nearWires() (neighbours, error) {
	n := neighbours{medium: max(g.winding.Medium, 1), tolerance: g.pitch * 1e-6,
		over: map[int]float64{}}
	right, left := g.pitch, g.pitch
	// Of a pair the partner lies to the right, the next pair beyond.
	switch g.winding.Construction {
	case BifilarWinding:
		n.pair, right, left = true, g.spacing, g.pitch-g.spacing
	case AyrtonPerryWinding:
		right, left = g.pitch/2, g.pitch/2
	}
	n.gaps = [2]float64{right, left}
	s := section{
		metal: g.winding.Wire.Bare / 2, outside: g.winding.Wire.Covered / 2,
		covering: g.winding.Wire.permittivity(), medium: n.medium,
	}
	// The equations want a covering, however thin.
	if s.outside == s.metal {
		s.outside *= 1 + 1e-9 // no covering
	}
	// In one layer the neighbours see each other past the next ones.
	if g.layers == 1 {
		n.reach = rowLimit
		return n, n.row(s, right, left)
	}
	n.reach = planeLast
	return n, n.plane(s, right, left, g.winding.Wire.Covered, g.layers > 2)
}

// row takes the wire in the middle of nine.
func (n *neighbours) row(s section, right, left float64) error {
	const side = rowReach + 1
	for k := -side; k <= side; k++ {
		pairs := float64(k / 2)
		place := pairs * (right + left)
		switch {
		case k%2 == 1:
			place += right
		case k%2 == -1:
			place -= left
		}
		s.centres = append(s.centres, complex(place, 0))
	}
	c, err := s.capacitances(side)
	if err != nil {
		return err
	}
	for k := 1; k <= rowReach; k++ {
		n.right[k], n.left[k] = c[side+k], c[side-k]
	}
	return nil
}

// plane takes a wire with the eight about it, or, of two layers only, with five.
func (n *neighbours) plane(s section, right, left, layer float64, many bool) error {
	for _, y := range []float64{0, layer} {
		s.centres = append(s.centres, complex(-left, y), complex(0, y), complex(right, y))
	}
	s.mirrored = many
	c, err := s.capacitances(1)
	if err != nil {
		return err
	}
	n.left[1], n.right[1] = c[0], c[2]
	n.over[-1], n.over[0], n.over[1] = c[3], c[4], c[5]
	return nil
}
