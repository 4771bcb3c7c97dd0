// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"fmt"
	"math"
	"strings"

	"example.com/ohmwright/uncertainty/elementary"
)

// Covering is what insulates a winding wire.
type Covering uint8

// The coverings. The zero Covering is none: bare wire.
const (
	CoveringNone Covering = iota
	// Enamel of grades 1 to 3 of IEC 60317.
	CoveringGrade1
	CoveringGrade2
	CoveringGrade3
	// Film of NEMA MW 1000: single and heavy build.
	CoveringSingleFilm
	CoveringHeavyFilm
	// Silk and cotton, one and two layers, as in boxes and standards of the first half
	// of the twentieth century.
	CoveringSingleSilk
	CoveringDoubleSilk
	CoveringSingleCotton
	CoveringDoubleCotton
)

var coverings = [...]string{
	"bare", "enamel grade 1", "enamel grade 2", "enamel grade 3", "single film", "heavy film",
	"single silk", "double silk", "single cotton", "double cotton",
}

// String returns "enamel grade 1", "double silk" and the like.
func (c Covering) String() string {
	if int(c) < len(coverings) {
		return coverings[c]
	}
	return fmt.Sprintf("covering %d", uint8(c))
}

// ParseCovering reads what [Covering.String] writes.
func ParseCovering(text string) (Covering, error) {
	for i, name := range coverings {
		if text == name {
			return Covering(i), nil
		}
	}
	return 0, refuse("wire.ParseCovering", "covering", text, ErrUnknown,
		"expected one of "+strings.Join(coverings[:], ", "))
}

// Covered are the limits of the diameter of a covered wire, m.
type Covered struct {
	Least, Greatest float64
	// Interpolated says that the table has no such size: the increase of its neighbours
	// was interpolated by the logarithm of the diameter.
	Interpolated bool
}

// Middle returns the diameter in metres half way between the limits, with which turns are
// counted.
func (c Covered) Middle() float64 { return (c.Least + c.Greatest) / 2 }

// fibre is what silk and cotton add to the diameter, in mil: Cyclopedia of Telephony and
// Telegraphy vol. 1 (1911), table IV, all sizes from 20 to 26 B&S.
var fibre = map[Covering]float64{
	CoveringSingleSilk: 2.3, CoveringDoubleSilk: 4.2, CoveringSingleCotton: 5.9,
	CoveringDoubleCotton: 10.2,
}

// Diameter returns the limits of the outside diameter of a wire with the covering.
//
// Enamel follows IEC 60317-0-1 table 1: at least nominal diameter + least increase, at
// most the greatest outside diameter; 0.03 to 5 mm, grade 3 from 0.125 mm. Film follows
// NEMA MW 1000, 6 to 39 AWG; that table has the diameters of [RoundedAWG]. A size
// between those of a table is interpolated, see [Covered]. Silk and cotton add a fixed
// 2.3, 4.2, 5.9 and 10.2 mil, measured on 20 to 26 B&S in 1911; thinner silk was in use
// on fine wire. Sizes outside a table are refused ([ErrNoGauge]).
func (c Covering) Diameter(g Gauge) (Covered, error) {
	const op = "wire.Covering.Diameter"
	if !g.IsValid() {
		return Covered{}, noWire(op)
	}
	d := g.Diameter()
	switch c {
	case CoveringNone:
		return Covered{Least: d, Greatest: d}, nil
	// The grades stand in the order of the columns.
	case CoveringGrade1, CoveringGrade2, CoveringGrade3:
		grade := int(c - CoveringGrade1)
		return interpolated(op, c, g, func(yield func(bare, least, greatest float64)) {
			for _, s := range enamelTable {
				// Grade 3 begins at 0.125 mm.
				if s.greatest[grade] > 0 {
					yield(s.nominal/1e6, s.increase[grade]/1e6, (s.greatest[grade]-s.nominal)/1e6)
				}
			}
		})
	case CoveringSingleFilm, CoveringHeavyFilm:
		return interpolated(op, c, g, func(yield func(bare, least, greatest float64)) {
			// The table falls, from thick to thin, and is read from its end.
			for i := len(filmTable) - 1; i >= 0; i-- {
				s := filmTable[i]
				increase, greatest := s.single, s.singleMax
				if c == CoveringHeavyFilm {
					increase, greatest = s.heavy, s.heavyMax
				}
				if greatest > 0 {
					// NEMA gives increases over the diameter as printed, rounded to 0.1 mil.
					bare := math.Round(diameterAWG(s.number)/mil*10) / 10
					yield(bare*mil, increase*mil, (greatest-bare)*mil)
				}
			}
		})
	}
	if f, ok := fibre[c]; ok {
		// One addition serves both limits: the tables of 1911 have no others.
		return Covered{Least: d + float64(f*mil), Greatest: d + float64(f*mil)}, nil
	}
	return Covered{}, refuse(op, "covering", c.String(), ErrUnknown,
		"expected a covering of this package")
}

// sameSize is how near two diameters are one size of a table: film tables round to 0.1
// mil.
const sameSize = 0.004

// interpolated looks up the increase of the diameter, or interpolates it.
func interpolated(op string, c Covering, g Gauge,
	sizes func(func(bare, least, greatest float64))) (Covered, error) {
	d := g.Diameter()
	var below, above [3]float64
	sizes(func(bare, least, greatest float64) { // in rising order
		at := [3]float64{bare, least, greatest}
		// The last size up to d, and the first from d on; both at once where d is a size.
		if bare <= d*(1+sameSize) {
			below = at
		}
		if above[0] == 0 && bare >= d*(1-sameSize) {
			above = at
		}
	})
	if below[0] == 0 || above[0] == 0 {
		return Covered{}, refuse(op, "gauge", g.String(), ErrNoGauge,
			"expected a size within the table of "+c.String())
	}
	// A size of the table itself.
	if below == above {
		return Covered{Least: d + below[1], Greatest: d + below[2]}, nil
	}
	// The increase is interpolated by ratios, as it grows with a power of the diameter.
	x := elementary.Log(d/below[0]) / elementary.Log(above[0]/below[0])
	between := func(a, b float64) float64 { return a * elementary.Pow(b/a, x) }
	return Covered{
		Least: d + between(below[1], above[1]), Greatest: d + between(below[2], above[2]),
		Interpolated: true,
	}, nil
}

// Window is a winding space, seen in the section of the wires.
type Window struct {
	Width, Height float64 // m
}

// Fill is how a wire fills a [Window].
type Fill struct {
	Turns  float64 // whole turns, in whole layers
	Layers float64
	Metal  float64 // part of the window's area that is metal
}

// Fill returns how many turns of a wire of the given outside diameter go into the window,
// in layers that lie on each other as squares, and how much of the window is metal. By
// hand, 5 to 15 % fewer go in (common practice). covered and bare are diameters in metres.
func (w Window) Fill(bare, covered float64) (Fill, error) {
	const op = "wire.Window.Fill"
	for _, f := range []struct {
		name  string
		value float64
	}{{"Width", w.Width}, {"Height", w.Height}, {"bare", bare}, {"covered", covered}} {
		if err := positive(op, f.name, f.value, "m"); err != nil {
			return Fill{}, err
		}
	}
	if covered < bare {
		return Fill{}, refuse(op, "covered", covered, ErrDomain,
			"expected the bare diameter at least")
	}
	// A hair of slack, so that 60 wires of 0.5 mm go into 30 mm whatever the last bit says.
	perLayer := math.Floor(w.Width / covered * (1 + 1e-12))
	layers := math.Floor(w.Height / covered * (1 + 1e-12))
	if perLayer < 1 || layers < 1 {
		return Fill{}, refuse(op, "covered", covered, ErrDomain,
			"expected a wire that goes into the window")
	}
	turns, err := result(op, "turns", perLayer*layers)
	if err != nil {
		return Fill{}, err
	}
	// Ratios first: the areas of fine wires underflow long before their ratio does.
	metal := turns * math.Pi / 4 * bare / w.Width * bare / w.Height
	return Fill{Turns: turns, Layers: layers, Metal: metal}, nil
}

// ResistancePerVolume returns the resistance in Ω/m³ that a winding space holds, one wire
// of resistivity in Ω·m wound in squares: ρ/(A d²) with the section A of the metal and
// the outside diameter d. Of wire half as thick
// it is sixteen times as much.
func ResistancePerVolume(resistivity, bare, covered float64) (float64, error) {
	const op = "wire.ResistancePerVolume"
	for _, f := range []struct {
		name  string
		value float64
		unit  string
	}{{"resistivity", resistivity, "Ω·m"}, {"bare", bare, "m"}, {"covered", covered, "m"}} {
		if err := positive(op, f.name, f.value, f.unit); err != nil {
			return 0, err
		}
	}
	if covered < bare {
		return 0, refuse(op, "covered", covered, ErrDomain, "expected the bare diameter at least")
	}
	// One wire in each square of the covered diameter.
	return result(op, "resistance per volume", resistivity/(math.Pi/4*bare*bare)/covered/covered)
}
