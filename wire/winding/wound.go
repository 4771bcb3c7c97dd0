// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// Winding is a resistor of wire as it lies on its former, as a set of loops.
type Winding struct {
	Construction Construction
	Former       Former
	Wire         Wire
	// Turns of the wire on the former: of the pair in a bifilar winding, of each of the
	// two wires of an Ayrton–Perry winding, runs of a woven one. A part of a turn
	// counts in proportion.
	Turns float64
	// Pitch in metres between turns, of the pairs where a pair is wound; 0: close-wound.
	// The turns of an Ayrton–Perry winding leave room for the other wire: 0 is two
	// covered diameters.
	Pitch float64
	// Spacing in metres between the middles of the two wires of a bifilar pair; 0: they
	// touch. Of a figure of eight: the gap between the formers, beyond that of two
	// wires.
	Spacing float64
	Ohms    float64 // Ω, of the finished resistor, of Ayrton–Perry the two wires in parallel
	// Medium is the relative permittivity of what surrounds the covered wires: 1 for
	// air, 2 to 4 for wax, varnish or shellac that fills the spaces. 0 is air.
	Medium float64
}

// geometry is what follows from the sizes alone.
type geometry struct {
	winding        Winding
	pitch, spacing float64 // m, as wound
	first          float64 // m, place of the first turn
	perLayer       float64
	layers         int
	wire           float64 // m, one wire
}

// mostTurnsModelled and mostLayersModelled bound the work.
const (
	mostTurnsModelled  = 100_000
	mostLayersModelled = 200
)

// geometry refuses what cannot be wound, by name.
func (w Winding) geometry(op string) (geometry, error) {
	g := geometry{winding: w}
	if int(w.Construction) >= len(constructions) {
		return g, domain(op, arg{"Construction", float64(w.Construction), ""},
			"expected one of the constructions of this package")
	}
	if err := w.Wire.checkWire(op); err != nil {
		return g, err
	}
	if err := w.Former.checkShape(op); err != nil {
		return g, err
	}
	if err := positive(op, arg{"Turns", w.Turns, ""}, arg{"Ohms", w.Ohms, "Ω"}); err != nil {
		return g, err
	}
	if err := notNegative(op, arg{"Pitch", w.Pitch, "m"}, arg{"Spacing", w.Spacing, "m"},
		arg{"Medium", w.Medium, ""}); err != nil {
		return g, err
	}
	if w.Medium > 0 && w.Medium < 1 {
		return g, domain(op, arg{"Medium", w.Medium, ""},
			"expected a relative permittivity of 1 or more, or 0 for air")
	}
	if w.Turns < 1 || w.Turns > mostTurnsModelled {
		return g, domain(op, arg{"Turns", w.Turns, ""}, "expected 1 to 1e5 turns")
	}
	if err := w.former(op); err != nil {
		return g, err
	}
	return g.layTurns(op)
}

// former refuses formers that the construction cannot use, and wire too thick for them.
func (w Winding) former(op string) error {
	f, d := w.Former, w.Wire.Covered
	switch w.Construction {
	case WovenWinding:
		if f.Breadth == 0 {
			return domain(op, arg{"Diameter", f.Diameter, ""},
				"expected a flat former: its breadth is the length of a run")
		}
		if f.Breadth < 5*d {
			return domain(op, arg{"Breadth", f.Breadth, ""},
				"expected runs of five covered diameters at least")
		}
		return nil
	case FigureEightWinding:
		if f.Diameter == 0 {
			return domain(op, arg{"Breadth", f.Breadth, ""},
				"expected two round formers; make one with Cylinder")
		}
	}
	return w.Former.takes(op, w.Wire)
}

// setSpacing sets the spacing, and returns the least pitch at which turns do not overlap, both in
// metres between middles of wires:
//
//	bifilar           covered diameter or Spacing      spacing + covered diameter
//	Ayrton–Perry      none                             two diameters: the wires cross
//	figure of eight   that of the axes of the formers  two diameters: the 8 crosses itself
//	others            none                             covered diameter
func (g *geometry) setSpacing(op string) (leastPitch float64, err error) {
	w, d := g.winding, g.winding.Wire.Covered
	switch w.Construction {
	case BifilarWinding:
		g.spacing = d
		if w.Spacing > 0 {
			g.spacing = w.Spacing
		}
		if g.spacing < d {
			return 0, domain(op, arg{"Spacing", g.spacing, ""},
				"expected the covered diameter at least: the wires of the pair would overlap")
		}
		return g.spacing + d, nil
	case AyrtonPerryWinding:
		return 2 * d, nil
	case FigureEightWinding:
		g.spacing = w.Former.Diameter + 2*d + w.Spacing
		return 2 * d, nil
	}
	if w.Spacing > 0 {
		return 0, domain(op, arg{"Spacing", w.Spacing, ""},
			"expected 0: only a bifilar winding and a figure of eight have it")
	}
	return d, nil
}

// layTurns sets pitch, spacing, turns a layer and layers, and refuses turns that overlap. Whole
// turns that rounding puts just past the end of a layer, a part in 1e12, still belong to it.
func (g geometry) layTurns(op string) (geometry, error) {
	w, d := g.winding, g.winding.Wire.Covered
	least, err := g.setSpacing(op)
	if err != nil {
		return g, err
	}
	g.pitch = least
	if w.Pitch > 0 {
		g.pitch = w.Pitch
	}
	if g.pitch < least*(1-1e-12) {
		return g, domain(op, arg{"Pitch", w.Pitch, ""},
			"the turns would overlap: expected "+millimetres(least)+" at least")
	}
	g.first = g.pitch / 2
	g.perLayer = math.Floor(w.Former.Length / g.pitch * (1 + 1e-12))
	if g.perLayer < 1 {
		return g, domain(op, arg{"Length", w.Former.Length, ""},
			"expected room for one turn; metres, not millimetres")
	}
	g.layers = int(math.Ceil(w.Turns / g.perLayer * (1 - 1e-12)))
	if g.layers > mostLayersModelled {
		return g, domain(op, arg{"Turns", w.Turns, ""}, "expected 200 layers at most")
	}
	if g.layers > 1 && w.Construction.oneLayer() {
		return g, domain(op, arg{"Turns", w.Turns, ""},
			"expected one layer: the winding space holds "+number(g.perLayer)+" turns")
	}
	if w.Wire.Covered == w.Wire.Bare && g.nearest() <= d*(1+1e-12) {
		return g, domain(op, arg{"Covered", w.Wire.Covered, ""},
			"expected more than the bare diameter: bare wires would touch")
	}
	rest := w.Turns
	for layer := range g.layers {
		here := min(rest, g.perLayer)
		g.wire += float64(here * g.turn(layer))
		rest -= here
	}
	return g, nil
}

// nearest is the smallest distance between the middles of wires, m.
func (g geometry) nearest() float64 {
	switch {
	case g.layers > 1, g.winding.Construction == AyrtonPerryWinding,
		g.winding.Construction == FigureEightWinding:
		return g.winding.Wire.Covered
	case g.winding.Construction == BifilarWinding:
		return min(g.spacing, g.pitch-g.spacing)
	}
	return g.pitch
}

// radius is that of a turn of a layer on a round former, m, to the middle of the wire.
func (g geometry) radius(layer int) float64 {
	return (g.winding.Former.Diameter + float64(float64(2*layer+1)*g.winding.Wire.Covered)) / 2
}

// rectangle is a turn of a layer on a flat former.
func (g geometry) rectangle(layer int) rectangle {
	around := float64(2*layer+1) * g.winding.Wire.Covered
	return rectangle{g.winding.Former.Breadth + around, g.winding.Former.Thickness + around}
}

// turn is the length of wire in a turn of a layer, m.
func (g geometry) turn(layer int) float64 {
	switch {
	case g.winding.Construction == WovenWinding:
		return g.winding.Former.Breadth
	case g.winding.Construction == FigureEightWinding:
		return 2 * elementary.Hypot(2*math.Pi*g.radius(layer), g.pitch/2)
	}
	return g.winding.Former.turn(layer+1, g.winding.Wire.Covered, g.pitch)
}

// oneLayer reports whether a construction cannot have several.
func (c Construction) oneLayer() bool {
	switch c {
	case PlainWinding, BifilarWinding, ReversedLayersWinding:
		return false
	}
	return true
}

// WithWire returns the winding with the turns that wireLength metres make, of all wires
// together: half of it for each wire of a bifilar or Ayrton–Perry winding. It need not
// fit: [Winding.Residuals] refuses what does not.
func (w Winding) WithWire(wireLength float64) (Winding, error) {
	const op = "winding.Winding.WithWire"
	w.Turns = 1
	g, err := w.geometry(op)
	if err != nil {
		return Winding{}, err
	}
	if err := positive(op, arg{"wireLength", wireLength, "m"}); err != nil {
		return Winding{}, err
	}
	rest := wireLength / w.Construction.wireCount()
	for layer := range mostLayersModelled {
		turn := g.turn(layer)
		if full := g.perLayer * turn; rest > full*(1+1e-12) {
			rest -= full
			continue
		}
		w.Turns = float64(layer)*g.perLayer + rest/turn
		return w, nil
	}
	return Winding{}, domain(op, arg{"wireLength", wireLength, ""}, "it makes more than 200 layers")
}
