// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/elementary"
)

// Former is what the wire is wound on: a rod or tube, or a flat card. Make one with
// [Cylinder] or [Card].
type Former struct {
	Diameter           float64 // m, of a round former; 0: flat
	Breadth, Thickness float64 // m, of a flat former; 0: round
	Length             float64 // m, of the space for the winding along the axis
}

// Cylinder returns a round former of a diameter and a winding length in
// metres.
func Cylinder(diameter, length float64) Former {
	return Former{Diameter: diameter, Length: length}
}

// Card returns a flat former of a breadth, thickness and winding length in
// metres.
func Card(breadth, thickness, length float64) Former {
	return Former{Breadth: breadth, Thickness: thickness, Length: length}
}

// Perimeter returns the length in metres once round the surface.
func (f Former) Perimeter() float64 {
	return float64(math.Pi*f.Diameter) + float64(2*(f.Breadth+f.Thickness))
}

// largestFormer is beyond any resistor, in metres: what is longer was meant in millimetres.
const largestFormer = 2

// checkSize refuses a former that is larger than any.
func (f Former) checkSize(op string) error {
	for _, a := range []arg{{"Diameter", f.Diameter, ""}, {"Breadth", f.Breadth, ""},
		{"Thickness", f.Thickness, ""}, {"Length", f.Length, ""}} {
		if a.value > largestFormer && !math.IsInf(a.value, 1) {
			return domain(op, a, "expected at most "+number(largestFormer)+
				" m; is it in millimetres?")
		}
	}
	return nil
}

// checkShape refuses a former that is neither round nor flat, or larger than any.
func (f Former) checkShape(op string) error {
	if err := f.checkSize(op); err != nil {
		return err
	}
	// With neither a diameter nor sides, the message asks for a diameter.
	if f.Diameter == 0 && (f.Breadth != 0 || f.Thickness != 0) {
		return positive(op, arg{"Breadth", f.Breadth, "m"}, arg{"Thickness", f.Thickness, "m"},
			arg{"Length", f.Length, "m"})
	}
	if err := positive(op, arg{"Diameter", f.Diameter, "m"},
		arg{"Length", f.Length, "m"}); err != nil {
		return err
	}
	if f.Breadth != 0 || f.Thickness != 0 {
		return domain(op, arg{"Breadth", f.Breadth, ""},
			"expected 0 beside a diameter: a former is round or flat")
	}
	return nil
}

// leastBend is how many diameters of the wire a round former has at least: common
// practice for winding by hand; enamel of IEC 60317 endures a mandrel of one diameter,
// but stiff wire springs off and strained alloys drift.
const leastBend = 10

// takes refuses wire that is too thick to lie on the former.
func (f Former) takes(op string, w Wire) error {
	// Round formers are limited by the bend, cards by their edges too.
	most, rule := f.thickest(), "a tenth of its diameter"
	if f.Diameter == 0 {
		rule = "the thickness of the card and a tenth of its breadth"
	}
	if w.Covered > most*(1+1e-12) {
		return domain(op, arg{"Covered", w.Covered, ""},
			"too thick for the former: expected "+rule+" at most, "+millimetres(most))
	}
	return nil
}

// thickest is the outside diameter of the thickest wire that lies on the former, m.
func (f Former) thickest() float64 {
	if f.Diameter > 0 {
		return f.Diameter / leastBend
	}
	return min(f.Thickness, f.Breadth/leastBend)
}

// millimetres writes a length for the text of an error.
func millimetres(v float64) string { return strconv.FormatFloat(v*1e3, 'g', 4, 64) + " mm" }

// number writes a figure for the text of an error.
func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// Lay is how a wire lies on a former.
type Lay struct {
	Turns      float64 // in all; of pairs where a pair is wound
	PerLayer   float64 // turns of a full layer
	Layers     int     // begun
	WireLength float64 // m
	Build      float64 // m, height of the winding above the former
	Width      float64 // m, along the former: of the only layer, or all of the former
}

// mostLayers bounds the work for a length or a number of turns that is absurd.
const mostLayers = 10000

// Wind lays wireLength metres of a wire of overall diameter covered,
// insulation included, on the former with the given pitch between turns; 0 is
// close-wound. For a bifilar pair give half of the wire's length and a pitch
// of twice the covered diameter. Layers lie square on each other; turn k
// counts with the length
//
//	√((P + (2k−1)π covered)² + pitch²)
//
// in layer k on the perimeter P: along the middle of the wire, with rounded
// corners on a card. Hand-wound layers nest and bulge; allow some per cent.
func (f Former) Wind(wireLength, covered, pitch float64) (Lay, error) {
	const op = "winding.Former.Wind"
	perLayer, pitch, err := f.fitTurns(op, covered, pitch)
	if err != nil {
		return Lay{}, err
	}
	if err := positive(op, arg{"wireLength", wireLength, "m"}); err != nil {
		return Lay{}, err
	}
	rest := wireLength
	for k := 1; k <= mostLayers; k++ {
		turn := f.turn(k, covered, pitch)
		// Whole layers first; the last one is begun.
		if full := perLayer * turn; rest > full {
			rest -= full
			continue
		}
		turns := float64(k-1)*perLayer + rest/turn
		return f.lay(k, turns, perLayer, wireLength, covered, pitch), nil
	}
	return Lay{}, domain(op, arg{"wireLength", wireLength, ""},
		"expected at most 10000 layers of it")
}

// WireLength returns the lay of a number of turns; it inverts [Former.Wind], whose other
// arguments it has. WireLength of the result is the length to cut, without ends.
func (f Former) WireLength(turns, covered, pitch float64) (Lay, error) {
	const op = "winding.Former.WireLength"
	perLayer, pitch, err := f.fitTurns(op, covered, pitch)
	if err != nil {
		return Lay{}, err
	}
	if err := positive(op, arg{"turns", turns, ""}); err != nil {
		return Lay{}, err
	}
	length, rest := 0.0, turns
	for k := 1; k <= mostLayers; k++ {
		turn := f.turn(k, covered, pitch)
		if rest > perLayer {
			rest -= perLayer
			length += float64(perLayer * turn)
			continue
		}
		length += float64(rest * turn)
		return f.lay(k, turns, perLayer, length, covered, pitch), nil
	}
	return Lay{}, domain(op, arg{"turns", turns, ""}, "expected at most 10000 layers of them")
}

// fitTurns returns the turns of a layer and the pitch to use.
func (f Former) fitTurns(op string, covered, pitch float64) (perLayer, used float64, err error) {
	if err := f.checkSize(op); err != nil {
		return 0, 0, err
	}
	if err := positive(op, arg{"Perimeter", f.Perimeter(), "m"}, arg{"Length", f.Length, "m"},
		arg{"covered", covered, "m"}); err != nil {
		return 0, 0, err
	}
	if err := notNegative(op, arg{"pitch", pitch, "m"}); err != nil {
		return 0, 0, err
	}
	if pitch == 0 {
		pitch = covered
	}
	if pitch < covered {
		return 0, 0, domain(op, arg{"pitch", pitch, ""},
			"expected the covered diameter at least, or 0 for close-wound")
	}
	// A hair of slack: 30 mm hold 60 turns of 0.5 mm whatever the last bit
	// says.
	perLayer = math.Floor(f.Length / pitch * (1 + 1e-12))
	if perLayer < 1 || perLayer > 1e9 {
		return 0, 0, domain(op, arg{"Length", f.Length, ""},
			"expected room for 1 to 1e9 turns; metres, not millimetres")
	}
	return perLayer, pitch, nil
}

// turn is the length of a turn in a layer, counted from 1: √(perimeter² + pitch²) along the
// middle of the wire, which lies (2k − 1)/2 diameters above the surface.
func (f Former) turn(layer int, covered, pitch float64) float64 {
	return elementary.Hypot(f.Perimeter()+float64(math.Pi*covered*float64(2*layer-1)), pitch)
}

// lay sums up what lies on the former.
func (f Former) lay(layers int, turns, perLayer, length, covered, pitch float64) Lay {
	width := perLayer * pitch
	// Of several layers the first ones are full.
	if layers == 1 {
		width = turns * pitch
	}
	return Lay{Turns: turns, PerLayer: perLayer, Layers: layers, WireLength: length,
		Build: float64(layers) * covered, Width: width}
}
