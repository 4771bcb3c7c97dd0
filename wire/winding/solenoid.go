// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/wire/internal/quantity"
)

// CurrentSheetInductance returns the inductance in henries of an ideal
// single-layer coil, whose current flows in a thin cylinder:
//
//	Ls = µ0 N² πa² K/l
//
// with N turns, mean radius a and length l in metres and K of
// [NagaokaCoefficient]. l is turns times pitch, to half a pitch beyond the
// outer wires.
func CurrentSheetInductance(turns, radius, length float64) (float64, error) {
	const op = "winding.CurrentSheetInductance"
	if err := positive(op, arg{"turns", turns, ""}, arg{"radius", radius, "m"},
		arg{"length", length, "m"}); err != nil {
		return 0, err
	}
	k, err := NagaokaCoefficient(2 * radius / length)
	if err != nil {
		return 0, err
	}
	return result(op, "inductance", MagneticConstant*turns*turns*math.Pi*radius*radius*k/length)
}

// A Solenoid is a single-layer coil of round wire; lengths in metres.
type Solenoid struct {
	Turns    float64 // 1 to a million
	Radius   float64 // mean, from the axis to the middle of the wire
	Pitch    float64 // between turns
	Diameter float64 // of the bare wire, at most the pitch
}

// SolenoidOf is [Solenoid] of quantities.
type SolenoidOf struct{ Turns, Radius, Pitch, Diameter uncertainty.Quantity }

// Inductance returns the inductance in henries at low frequency: the current sheet of length
// turns × pitch, corrected for the shape of the wire and the gaps,
//
//	L = Ls − µ0 a N (A + B)
//
// (Rosa and Grover, Bulletin of the Bureau of Standards 8, 1912; NBS Circular
// 74), with A of [WireCorrection] and B of [TurnsCorrection], a being the mean radius.
func (s Solenoid) Inductance() (float64, error) {
	const op = "winding.Solenoid.Inductance"
	turns, radius, pitch, wireDiameter := s.Turns, s.Radius, s.Pitch, s.Diameter
	if err := positive(op, arg{"turns", turns, ""}, arg{"radius", radius, "m"},
		arg{"pitch", pitch, "m"}, arg{"diameter", wireDiameter, "m"}); err != nil {
		return 0, err
	}
	if wireDiameter >= 2*radius {
		// Thicker, the wire would reach across the axis.
		return 0, domain(op, arg{"diameter", wireDiameter, ""},
			"expected less than twice the mean radius")
	}
	// Bare wires that overlap are refused by the correction.
	a, err := WireCorrection(wireDiameter / pitch)
	if err != nil {
		return 0, domain(op, arg{"diameter", wireDiameter, ""}, "expected the pitch at most")
	}
	b, err := TurnsCorrection(turns)
	if err != nil {
		return 0, err
	}
	sheet, err := CurrentSheetInductance(turns, radius, turns*pitch)
	if err != nil {
		return 0, err
	}
	return result(op, "inductance", sheet-float64(MagneticConstant*radius*turns*(a+b)))
}

// Inductance is [Solenoid.Inductance] of quantities.
func (s SolenoidOf) Inductance() uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "solenoid inductance", Unit: "H", Units: []string{"", "m", "m", "m"},
		Of: func(x []float64) (float64, error) {
			return Solenoid{x[0], x[1], x[2], x[3]}.Inductance()
		},
		Change: func(d, x []float64) { Solenoid{x[0], x[1], x[2], x[3]}.change(d) },
	}, s.Turns, s.Radius, s.Pitch, s.Diameter)
}

// change sets the partial derivatives of the inductance with respect to turns, radius, pitch
// and diameter; what Inductance refuses is left out. With u = 2a/l and g = u K′/K,
//
//	dLs = Ls [(1 − g) dN/N + (2 + g) da/a − (1 + g) dp/p]
func (s Solenoid) change(dst []float64) {
	total, err := s.Inductance()
	if err != nil {
		return
	}
	// D/l, the argument of Nagaoka's coefficient.
	u := 2 * s.Radius / (s.Turns * s.Pitch)
	g := nagaokaChange(u) / nagaoka(u)
	sheet, err := CurrentSheetInductance(s.Turns, s.Radius, s.Turns*s.Pitch)
	if err != nil {
		return
	}
	turn := MagneticConstant * s.Radius // of the correction, for each turn
	correction := sheet - total         // for all turns
	dst[0] = (float64(sheet*(1-g))-correction)/s.Turns - float64(turn*s.Turns*turnsSlope(s.Turns))
	dst[1] = (float64(sheet*(2+g)) - correction) / s.Radius
	dst[2] = -(float64(sheet*(1+g)) - float64(turn*s.Turns)) / s.Pitch
	dst[3] = -turn * s.Turns / s.Diameter
}

// turnsSlope is the derivative of TurnsCorrection. At whole turns, where the slope of the
// interpolation changes, it is the mean of both sides; at the ends it is that of the one side.
func turnsSlope(turns float64) float64 {
	below, above := math.Floor(turns), math.Ceil(turns)
	// On a whole number the neighbours on both sides.
	if below == above {
		below, above = max(1, turns-1), min(mostTurns, turns+1)
	}
	return (turnsCorrection(int(above)) - turnsCorrection(int(below))) / (above - below)
}

// WireCorrection returns Rosa's A, for the self-inductance of a turn of round
// wire in place of its strip of the current sheet, from the ratio of bare wire
// diameter to pitch:
//
//	A = 5/4 − ln 2 + ln(d/D),  0 < d/D <= 1
func WireCorrection(diameterOverPitch float64) (float64, error) {
	const op = "winding.WireCorrection"
	a := arg{"diameterOverPitch", diameterOverPitch, ""}
	if err := positive(op, a); err != nil {
		return 0, err
	}
	if diameterOverPitch > 1 {
		return 0, domain(op, a, "expected 1 at most: bare wires would overlap")
	}
	return 1.25 - math.Ln2 + elementary.Log(diameterOverPitch), nil
}

// TurnsCorrection returns Rosa's B, for the mutual inductances between turns
// of round wire in place of strips:
//
//	B = (2/N) Σ (N−n) δn, n = 1 … N−1
//	δn = 3/2 − (n²/2)[(1+1/n)² ln(1+1/n) + (1−1/n)² ln(1−1/n)]
//
// It rises from 0 for one turn to ln 2π − 3/2 for many. Between whole numbers
// of turns it is interpolated. Turns from 1 to a million. Printed tables are
// up to 0.0014 higher above 20 turns, from rounded arithmetic.
func TurnsCorrection(turns float64) (float64, error) {
	const op = "winding.TurnsCorrection"
	a := arg{"turns", turns, ""}
	if err := positive(op, a); err != nil {
		return 0, err
	}
	if turns < 1 || turns > mostTurns {
		return 0, domain(op, a, "expected 1 to 1e6")
	}
	whole := int(turns)
	b := turnsCorrection(whole)
	// Linear between whole numbers of turns.
	if part := turns - float64(whole); part > 0 {
		b += float64(part * (turnsCorrection(whole+1) - b))
	}
	return b, nil
}

// mostTurns bounds the work of the sum.
const mostTurns = 1e6

// turnsCorrection is B of a whole number of turns.
func turnsCorrection(n int) float64 {
	sum := 0.0
	// From the smallest terms up.
	for i := n - 1; i >= 1; i-- {
		sum += float64(float64(n-i) * stripCorrection(i))
	}
	return 2 / float64(n) * sum
}

// stripCorrection is δn. From n = 12 on it is its series Σ
// 1/(2k(2k+1)(k+1)n^2k), which does not cancel.
func stripCorrection(n int) float64 {
	if n == 1 {
		return 1.5 - 2*math.Ln2
	}
	x := float64(n)
	if n < 12 {
		up, down := 1+1/x, 1-1/x
		n2 := x * x / 2
		above := float64(up * up * elementary.Log1p(1/x))
		below := float64(down * down * elementary.Log1p(-1/x))
		return 1.5 - float64(n2*(above+below))
	}
	y := 1 / (x * x)
	return y * (1.0/12 + float64(y*(1.0/60+float64(y*(1.0/168+float64(
		y*(1.0/360+float64(y*(1.0/660+float64(y/1092))))))))))
}

// WheelerInductance returns the inductance in henries of a single-layer coil
// of a mean radius and a length in metres by Wheeler's formula of 1928, which is
// printed for inches and microhenries:
//
//	L = a² N²/(9a + 10l) µH, a and l in inches
//
// Its author claimed 1 % for l > 0.8a; shorter coils are refused. The diameter of
// the wire is not in it. Use [Solenoid] unless the formula itself is wanted.
func WheelerInductance(turns, radius, length float64) (float64, error) {
	const op = "winding.WheelerInductance"
	if err := positive(op, arg{"turns", turns, ""}, arg{"radius", radius, "m"},
		arg{"length", length, "m"}); err != nil {
		return 0, err
	}
	if length < 0.8*radius {
		return 0, domain(op, arg{"length", length, ""},
			"expected at least 0.8 of the radius; a Solenoid has no such limit")
	}
	const inch = 0.0254
	return result(op, "inductance",
		// Inches on both sides leave one factor, 1/inch.
		1e-6*turns*turns*radius*radius/(float64(9*radius)+float64(10*length))/inch)
}
