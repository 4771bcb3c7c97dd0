// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import "math"

// Stranded is a conductor of several like wires side by side, twisted together: the lead
// of a box, a flexible cord.
type Stranded struct {
	Wire    Conductor // one of the wires
	Strands int
	// Lay is by what fraction the wires are longer than the cable, because they are
	// twisted; common practice: 0.01 to 0.05.
	Lay float64
	// Tin is the thickness in metres of the tin on each wire, inside its diameter; 0:
	// plain. Electroplated wire has 1 µm, hot-dipped wire 2 to 10 µm (common practice).
	Tin float64
}

// tinResistivity is that of tin over that of copper; the tin carries a little of the
// current.
const tinResistivity = 6.3

// checkStranded refuses what is no conductor.
func (s Stranded) checkStranded(op string) error {
	if !s.Wire.Gauge.IsValid() {
		return noWire(op)
	}
	if s.Strands < 1 || s.Strands > 1e6 {
		return refuse(op, "Strands", float64(s.Strands), ErrDomain, "expected 1 to 1e6")
	}
	if err := notNegative(op, "Lay", s.Lay, ""); err != nil {
		return err
	}
	if s.Lay > 0.5 {
		return refuse(op, "Lay", s.Lay, ErrDomain, "expected 0.5 at most; a fraction, not per cent")
	}
	if err := notNegative(op, "Tin", s.Tin, "m"); err != nil {
		return err
	}
	if s.Tin >= s.Wire.Gauge.Diameter()/2 {
		return refuse(op, "Tin", s.Tin, ErrDomain,
			"expected less than the radius of a wire; metres, not micrometres")
	}
	return nil
}

// PerMetre returns the resistance in ohms of one metre of the conductor at t °C,
//
//	r (1 + lay)/n
//
// with r of one wire. Tin takes the place of metal that conducts about six times as well,
// as in copper.
func (s Stranded) PerMetre(t float64) (float64, error) {
	const op = "wire.Stranded.PerMetre"
	if err := s.checkStranded(op); err != nil {
		return 0, err
	}
	one, err := s.Wire.PerMetre(t)
	if err != nil {
		return 0, err
	}
	// Tin replaces copper from outside: the core is what is left of the diameter.
	core := 1 - 2*s.Tin/s.Wire.Gauge.Diameter()
	// The tin conducts beside the core, 1/6.3 as well.
	metal := float64(core*core) + (1-float64(core*core))/tinResistivity
	// Each wire is longer by the lay, and all of them are in parallel.
	return result(op, "resistance per metre", one/metal*(1+s.Lay)/float64(s.Strands))
}

// Area returns the section of all wires together in m², tin included, across each wire.
func (s Stranded) Area() (float64, error) {
	const op = "wire.Stranded.Area"
	if err := s.checkStranded(op); err != nil {
		return 0, err
	}
	return result(op, "area", float64(s.Strands)*s.Wire.Gauge.Area())
}

// Diameter returns the diameter in metres of the circle about the wires: exact for the
// concentric layers of 7, 19, 37, 61 … wires, (2k + 1) d with k layers about the middle
// one, and d √(n/0.75) for bunched wires in other numbers (common practice).
func (s Stranded) Diameter() (float64, error) {
	const op = "wire.Stranded.Diameter"
	if err := s.checkStranded(op); err != nil {
		return 0, err
	}
	d, n := s.Wire.Gauge.Diameter(), float64(s.Strands)
	// 3k(k + 1) + 1 wires make k full layers about one: solved for k, and checked.
	if k := math.Round((math.Sqrt(float64(12*n)-3) - 3) / 6); float64(3*k*(k+1))+1 == n {
		return result(op, "diameter", (2*k+1)*d)
	}
	return result(op, "diameter", d*math.Sqrt(n/0.75))
}
