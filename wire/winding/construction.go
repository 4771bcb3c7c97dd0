// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"fmt"
	"math"
)

// Construction is the way in which a wire lies on its former.
type Construction uint8

// The constructions. The zero Construction is the plain winding.
const (
	// PlainWinding is one wire in one sense, in one layer or in several, wound to and
	// fro.
	PlainWinding Construction = iota
	// BifilarWinding is a wire folded in the middle and wound as a pair, so that go
	// and return lie side by side: little inductance, much capacitance, since the
	// ends of the wire lie together.
	BifilarWinding
	// AyrtonPerryWinding is two wires in one layer, wound in opposite senses from end
	// to end and joined in parallel: little of both. The second crosses over the first
	// twice in a turn.
	AyrtonPerryWinding
	// ReversedLayersWinding is one wire whose sense is reversed after each layer.
	ReversedLayersWinding
	// ReversedTurnsWinding is one wire in one layer whose sense is reversed after each
	// turn, through a slot along the former.
	ReversedTurnsWinding
	// FigureEightWinding is one wire in one layer, each turn an 8 about two equal round
	// formers of that diameter side by side. It neither makes nor picks up a field far away;
	// it does not cancel its own inductance.
	FigureEightWinding
	// WovenWinding is one wire that runs to and fro in a plane, as a weft between
	// threads. The breadth of the former is the length of one run, and Turns counts
	// the runs.
	WovenWinding
)

var constructions = [...]string{"plain", "bifilar", "Ayrton–Perry", "reversed layers",
	"reversed turns", "figure of eight", "woven"}

// String returns the name of the construction: "bifilar", "Ayrton–Perry".
func (c Construction) String() string {
	if int(c) < len(constructions) {
		return constructions[c]
	}
	return fmt.Sprintf("construction %d", uint8(c))
}

// wireCount is how many wires lie side by side and turn together.
func (c Construction) wireCount() float64 {
	if c == BifilarWinding || c == AyrtonPerryWinding {
		return 2
	}
	return 1
}

// A row is turns of one shape at equal distances along a former.
type row struct {
	layer   int     // from 0, the innermost
	core    int     // the second former of a figure of eight is 1
	first   float64 // m, place of the first turn along the former
	pitch   float64 // m, more than 0
	turns   int     //
	weight  float64 // 1, or the part of a turn that ends a wire
	current float64 // share of the current, negative in the other sense
	rise    float64 // m, above the layer, on the average
	// The potential of turn i, as a fraction of the whole voltage, is start + i×step,
	// and along more once round the former, counted the same way in all rows.
	start, step, along float64
}

// place is where turn i lies along the former, m.
func (r row) place(i int) float64 { return r.first + float64(float64(i)*r.pitch) }

// strand is one wire of a layer on its way: turns full turns and a part of another.
type strand struct {
	row           // of the full turns, as if wound in the rising direction
	part  float64 // of a turn, at the end
	total float64 // turns of the layer, for a strand that comes back
	back  bool    // wound in the falling direction of the former
}

// rows returns the full turns and the last part. A row that was wound backwards is told
// from its other end.
func (s strand) rows() []row {
	full, last := s.row, s.row
	full.weight = 1
	last.turns, last.weight = 1, s.part
	last.start += float64(float64(s.turns) * s.step)
	last.first = s.place(s.turns)
	if s.back {
		mirror := s.total - 1
		last.first = s.first + float64((mirror-float64(s.turns))*s.pitch)
		full.first = s.first + float64((mirror-float64(s.turns-1))*s.pitch)
		full.start += float64(float64(s.turns-1) * s.step)
		full.step = -s.step
	}
	var out []row
	if s.turns > 0 {
		out = append(out, full)
	}
	if s.part > 0 {
		out = append(out, last)
	}
	return out
}

// rows lays the turns.
func (w Winding) rows(g geometry) []row {
	var out []row
	rest, done := w.Turns, 0.0 // turns; part of the way along the wire
	for layer := 0; layer < g.layers; layer++ {
		here := min(rest, g.perLayer)
		rest -= here
		step := g.turn(layer) / g.wire // of the potential, a turn
		s := strand{
			row: row{layer: layer, first: g.first, pitch: g.pitch, turns: int(here), weight: 1,
				current: 1, start: done, step: step, along: step},
			part: here - math.Floor(here), total: g.perLayer, back: layer%2 == 1,
		}
		if s.part < 1e-9 { // rounding of a whole number of turns
			s.part = 0
		}
		done += float64(here * step)
		out = append(out, w.strands(g, s)...)
	}
	return out
}

// strands lists the rows into which the construction divides the turns of a layer.
func (w Winding) strands(g geometry, s strand) []row {
	switch w.Construction {
	case BifilarWinding: // the return runs the same way, at the other end of the voltage
		back := s
		s.start, s.step, s.along = s.start/2, s.step/2, s.along/2
		back.start, back.step, back.along = 1-s.start, -s.step, -s.along
		back.current, back.first = -1, s.first+g.spacing
		return append(s.rows(), back.rows()...)
	case AyrtonPerryWinding:
		other := s
		s.current, other.current, other.rise = 0.5, -0.5, g.meanRise()
		other.start, other.along = s.start+s.step, -s.along
		return append(s.rows(), other.rows()...)
	case ReversedLayersWinding:
		if s.layer%2 == 1 {
			s.current, s.start, s.along = -1, s.start+s.along, -s.along
		}
		return s.rows()
	case ReversedTurnsWinding, WovenWinding:
		return alternate(s)
	case FigureEightWinding: // half of the 8 on either former
		s.along /= 2
		other := s
		other.current, other.core, other.start = -1, 1, s.start+s.along
		other.start, other.along = other.start+other.along, -other.along
		return append(s.rows(), other.rows()...)
	default:
		return s.rows()
	}
}

// alternate divides the turns of a strand into the first, third, … and the second,
// fourth, …, which run in the other sense.
func alternate(s strand) []row {
	even, odd := s, s
	even.turns, odd.turns = (s.turns+1)/2, s.turns/2
	even.pitch, odd.pitch = 2*s.pitch, 2*s.pitch
	even.step, odd.step = 2*s.step, 2*s.step
	odd.first, odd.start = s.first+s.pitch, s.start+s.step
	if s.turns%2 == 0 { // the part follows a turn of the odd ones
		odd.part = 0
	} else {
		even.part = 0
	}
	odd.current, odd.start, odd.along = -1, odd.start+odd.along, -odd.along
	return append(even.rows(), odd.rows()...)
}
