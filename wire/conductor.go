// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/elementary"
)

// Conductor is a wire of one material and one size. Its resistance is that of
// direct current; see package winding for alternating current.
type Conductor struct {
	Material material.Material
	Gauge    Gauge
}

// PerMetre returns the resistance in ohms of one metre at t °C,
//
//	r = ρ(t)/A
//
// with the nominal diameter and the nominal resistivity. Drawn wire keeps the
// diameter to about 1 % and the resistivity to 5 or 10 % (ASTM B267), so a
// spool's own measured Ω/m is better than any table: [Conductor.Spool] makes
// the budget.
func (c Conductor) PerMetre(t float64) (float64, error) {
	return c.perMetre("wire.Conductor.PerMetre", t)
}

// perMetre is [Conductor.PerMetre] for a function that errors name.
func (c Conductor) perMetre(op string, t float64) (float64, error) {
	if !c.Gauge.IsValid() {
		return 0, noWire(op)
	}
	rho, err := c.Material.Resistivity(t)
	if err != nil {
		return 0, err
	}
	return result(op, "resistance per metre", rho/c.Gauge.Area())
}

// noWire is the refusal of the zero Gauge.
func noWire(op string) error {
	return refuse(op, "gauge", nil, ErrNoGauge,
		"expected a gauge from AWG, SWG, Metric or ParseGauge")
}

// Resistance returns the resistance in ohms at t °C of length metres.
func (c Conductor) Resistance(length, t float64) (float64, error) {
	const op = "wire.Conductor.Resistance"
	if err := positive(op, "length", length, "m"); err != nil {
		return 0, err
	}
	r, err := c.perMetre(op, t)
	if err != nil {
		return 0, err
	}
	return result(op, "resistance", r*length)
}

// Length returns the length in metres that has the given resistance, in ohms,
// at t °C. It inverts [Conductor.Resistance]. Cut longer: ends for the joints,
// 1 to 2 % for trimming, and for manganin up to 1 % that the resistance falls
// in ageing (common practice).
func (c Conductor) Length(ohms, t float64) (float64, error) {
	const op = "wire.Conductor.Length"
	if err := positive(op, "resistance", ohms, "Ω"); err != nil {
		return 0, err
	}
	r, err := c.perMetre(op, t)
	if err != nil {
		return 0, err
	}
	return result(op, "length", ohms/r)
}

// Mass returns the mass in kilograms of length metres.
func (c Conductor) Mass(length float64) (float64, error) {
	const op = "wire.Conductor.Mass"
	if err := positive(op, "length", length, "m"); err != nil {
		return 0, err
	}
	if !c.Gauge.IsValid() {
		return 0, noWire(op)
	}
	// An unstated density is 0, and would make a wire without mass.
	if !c.Material.Density.Stated() {
		return 0, unstated(op, c.Material.Name, "density")
	}
	density := c.Material.Density.Value
	if err := positive(op, "density", density, "kg/m³"); err != nil {
		return 0, err
	}
	return result(op, "mass", density*c.Gauge.Area()*length)
}

// Bar is a straight bar, strip or link of a rectangular section, in metres.
type Bar struct{ Length, Width, Thickness float64 }

// Resistance returns the resistance in ohms at t °C of a bar of that material, with the
// current evenly spread over the section. Near the joints of a short link it is not,
// and the joints come on top: measure important links with four terminals.
func (b Bar) Resistance(m material.Material, t float64) (float64, error) {
	const op = "wire.Bar.Resistance"
	if err := positive(op, "Length", b.Length, "m"); err != nil {
		return 0, err
	}
	if err := positive(op, "Width", b.Width, "m"); err != nil {
		return 0, err
	}
	if err := positive(op, "Thickness", b.Thickness, "m"); err != nil {
		return 0, err
	}
	rho, err := m.Resistivity(t)
	if err != nil {
		return 0, err
	}
	return result(op, "resistance", rho*b.Length/b.Width/b.Thickness)
}

// LeadResistance returns what a pair of leads adds to a two-wire measurement,
// in ohms: both wires together, each length metres long, at t °C. Plugs and
// contacts come on top; a few milliohms for each is common. For a budget take
// twice [Spool.ResistanceOf] of a spool of the lead.
func LeadResistance(lead Conductor, length, t float64) (float64, error) {
	r, err := lead.Resistance(length, t)
	if err != nil {
		return 0, err
	}
	return result("wire.LeadResistance", "resistance", 2*r)
}

// SectionFor returns the cross-section in square metres with which length
// metres of the material have the given resistance, in ohms, at t °C;
// [NearestArea] finds the gauge, or take the next thicker one when the
// resistance is a limit.
func SectionFor(m material.Material, ohms, length, t float64) (float64, error) {
	const op = "wire.SectionFor"
	if err := positive(op, "resistance", ohms, "Ω"); err != nil {
		return 0, err
	}
	if err := positive(op, "length", length, "m"); err != nil {
		return 0, err
	}
	rho, err := m.Resistivity(t)
	if err != nil {
		return 0, err
	}
	return result(op, "section", rho*length/ohms)
}

// Constants C of [FusingCurrent], A/in^1.5: Preece's table as a technical page
// quotes it; the original was not seen.
const (
	FusingCopper       = 10244
	FusingAluminium    = 7585
	FusingPlatinum     = 5172
	FusingNickelSilver = 5230
	FusingPlatinoid    = 4750
	FusingIron         = 3148
	FusingTin          = 1642
	FusingLead         = 1379
	FusingTinLead      = 1318
)

// FusingCurrent returns the current in amperes that melts a straight
// horizontal wire, long and bare in still air, by the old empirical rule
//
//	I = C d^1.5, d in inches
//
// (Preece's rule). The first argument is C, [FusingCopper] and the others; the
// second the diameter in metres.
//
// Caution: this is where a wire is destroyed, within tens of per cent, and no
// working current. Short wires, enclosures, coils and cables behave otherwise.
// Wiring and fuses are chosen by local codes and licensed practice.
func FusingCurrent(constant, diameter float64) (float64, error) {
	const op = "wire.FusingCurrent"
	if err := positive(op, "constant", constant, ""); err != nil {
		// C is of inches, so the diameter is brought to them.
		return 0, err
	}
	if err := positive(op, "diameter", diameter, "m"); err != nil {
		return 0, err
	}
	// Constant and diameter are easily swapped.
	if diameter > thickest {
		return 0, refuse(op, "diameter", diameter, ErrDomain, "expected at most 0.06 m")
	}
	return result(op, "current", constant*elementary.Pow(diameter/(1000*mil), 1.5))
}

// FusingDiameter returns the diameter in metres of the wire that a current in amperes
// melts by the rule of [FusingCurrent], d = (I/C)^(2/3) inches, with its caution: wire
// of 30 to 36 SWG melted 3 % below to 10 % above it in a works test of 1933.
func FusingDiameter(constant, current float64) (float64, error) {
	const op = "wire.FusingDiameter"
	if err := positive(op, "constant", constant, ""); err != nil {
		// d^1.5 turned round.
		return 0, err
	}
	if err := positive(op, "current", current, "A"); err != nil {
		return 0, err
	}
	return result(op, "diameter", 1000*mil*elementary.Pow(current/constant, 2.0/3))
}
