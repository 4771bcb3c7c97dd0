// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/wire/internal/quantity"
)

const (
	// MagneticConstant is µ0 in H/m, taken as 4π × 1e-7, which the present SI
	// keeps to 1.3 parts in 1e10.
	MagneticConstant = 4e-7 * math.Pi
	// ElectricConstant is ε0 in F/m (CODATA 2018).
	ElectricConstant = 8.8541878128e-12
)

// SkinEffect is what decides how far an alternating current is crowded to the surface of
// a conductor.
type SkinEffect struct {
	Resistivity float64 // Ω·m
	// Permeability is relative: 1 for copper and the resistance alloys, but not for iron,
	// nickel and the iron alloys.
	Permeability float64
	Frequency    float64 // Hz
}

// SkinEffectOf is [SkinEffect] of quantities.
type SkinEffectOf struct{ Resistivity, Permeability, Frequency uncertainty.Quantity }

// Depth returns the depth in metres at which the current density in a flat conductor has
// fallen to 1/e,
//
//	δ = √(2ρ/(ωµ0µr))
func (s SkinEffect) Depth() (float64, error) {
	const op = "winding.SkinEffect.Depth"
	if err := s.refuse(op); err != nil {
		return 0, err
	}
	return result(op, "skin depth",
		math.Sqrt(2*s.Resistivity/(2*math.Pi*s.Frequency*MagneticConstant*s.Permeability)))
}

// Parameter returns the argument of the functions of this package for a round wire of a
// diameter in metres:
//
//	x = (d/2) √(ωµ0µr/ρ) = √2 (d/2)/δ
//
// Tables call it x or mr; some use d/δ = √2 x or (d/2)/δ = x/√2 instead.
func (s SkinEffect) Parameter(diameter float64) (float64, error) {
	const op = "winding.SkinEffect.Parameter"
	if err := positive(op, arg{"diameter", diameter, "m"}); err != nil {
		return 0, err
	}
	if err := s.refuse(op); err != nil {
		return 0, err
	}
	return result(op, "x",
		// The root of all at once: products of µ0 and frequency stay far from the limits of
		// float64.
		diameter/2*math.Sqrt(2*math.Pi*s.Frequency*MagneticConstant*s.Permeability/s.Resistivity))
}

// Parameter is [SkinEffect.Parameter] of quantities.
func (s SkinEffectOf) Parameter(diameter uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "skin parameter", Unit: "1", Units: []string{"m", "Ω·m", "", "Hz"},
		Of: func(x []float64) (float64, error) {
			return SkinEffect{x[1], x[2], x[3]}.Parameter(x[0])
		},
		Change: func(d, x []float64) {
			v, err := SkinEffect{x[1], x[2], x[3]}.Parameter(x[0])
			if err != nil {
				return // what is left out is refused
			}
			d[0] = v / x[0]
			// x goes with d and with the root of µ·f/ρ.
			d[1], d[2], d[3] = -v/(2*x[1]), v/(2*x[2]), v/(2*x[3])
		},
	}, diameter, s.Resistivity, s.Permeability, s.Frequency)
}

// refuse refuses what is no conductor at a frequency.
func (s SkinEffect) refuse(op string) error {
	return positive(op, arg{"resistivity", s.Resistivity, "Ω·m"},
		arg{"permeability", s.Permeability, ""}, arg{"frequency", s.Frequency, "Hz"})
}

// ResistanceRatio returns Rac/Rdc of a single straight round wire,
//
//	(x/2) (ber x bei′x − bei x ber′x)/(ber′²x + bei′²x)
//
// exact at every x >= 0 of [SkinEffect.Parameter] to about 1e-15 relative (NBS
// Circular 74, skin effect). Other wires near by add the proximity effect, see
// [ProximityFactor].
func ResistanceRatio(x float64) (float64, error) {
	// Written so that NaN is refused.
	if !(x >= 0 && x <= math.MaxFloat64) { // the check costs as much as the rest
		return 0, notNegative("winding.ResistanceRatio", arg{"x", x, ""})
	}
	increase, _ := surfaceImpedance(x)
	return 1 + increase, nil
}

// ResistanceRatioOf is [ResistanceRatio] of a quantity.
func ResistanceRatioOf(x uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "Rac/Rdc", Unit: "1", Units: []string{""},
		Of:     func(x []float64) (float64, error) { return ResistanceRatio(x[0]) },
		Change: func(d, x []float64) { d[0] = resistanceSlope(x[0]) },
	}, x)
}

// slopeAtSurface is the x from which resistanceSlope is its asymptotic series: the next term
// is below 1e-12 of it there, and the products of the closed form lose x parts in 1e16.
const slopeAtSurface = 1000

// resistanceSlope is d(Rac/Rdc)/dx. From I0′ = I1 and I1′ = I0 − I1/z the ratio w(x) of
// kelvin.go has
//
//	x dw/dx = 2w(1 − w) + j x²/2
//
// and so, with w = 1 + p + jq, the real part −2(p + p² − q²)/x.
func resistanceSlope(x float64) float64 {
	// The formula is 0/0 there, and the ratio begins with x⁴.
	if x == 0 {
		return 0
	}
	if x > slopeAtSurface { // of w = z/2 + 1/4 + 3/(16z) + 3/(16z²) + …
		return 1/(2*math.Sqrt2) - 3/(16*math.Sqrt2)/x/x
	}
	p, t := surfaceImpedance(x)
	// q = Im w = T·x²/8
	q := t * x * x / 8
	return -2 * (p + float64((p-q)*(p+q))) / x
}

// ResistanceIncrease returns Rac/Rdc − 1 of [ResistanceRatio] without the loss
// of digits at small x, where it is x⁴/192.
func ResistanceIncrease(x float64) (float64, error) {
	if err := notNegative("winding.ResistanceIncrease", arg{"x", x, ""}); err != nil {
		return 0, err
	}
	increase, _ := surfaceImpedance(x)
	return increase, nil
}

// InternalInductanceRatio returns T(x), the inductance of the field inside a
// round wire over its value µ0µr/8π per metre at low frequency:
//
//	(4/x) (ber x ber′x + bei x bei′x)/(ber′²x + bei′²x)
//
// It falls from 1 to 2√2/x. Multiplied by µr it is the argument internal of
// the inductance functions of this package.
func InternalInductanceRatio(x float64) (float64, error) {
	if err := notNegative("winding.InternalInductanceRatio", arg{"x", x, ""}); err != nil {
		return 0, err
	}
	_, t := surfaceImpedance(x)
	return t, nil
}

// ProximityFactor returns G(x), with which the nearness of the other wire
// raises the resistance of a go-and-return pair,
//
//	ΔR/Rdc = G(x) (d/D)² + …,  G = (x/4) (ber ber′ + bei bei′)/(ber² + bei²)
//
// for wires of diameter d, D apart between centres. It is the first term of a
// series in (d/D)²: good for wires several diameters apart, only an indication
// for a closely wound bifilar pair, where the further terms are out of scope
// here.
func ProximityFactor(x float64) (float64, error) {
	if err := notNegative("winding.ProximityFactor", arg{"x", x, ""}); err != nil {
		return 0, err
	}
	increase, t := surfaceImpedance(x)
	re, im := 1+increase, float64(t*x)*x/8
	// (x²/8) Im w/|w|², ordered so that no square overflows
	h := elementary.Hypot(re, im)
	return result("winding.ProximityFactor", "G", x/h*(im/h)*x/8)
}

// DiameterForIncrease returns the diameter in metres of the wire whose
// resistance skin effect raises by the given fraction (0.01 for 1 %). Thinner
// wires rise less.
func (s SkinEffect) DiameterForIncrease(fraction float64) (float64, error) {
	const op = "winding.SkinEffect.DiameterForIncrease"
	if err := positive(op, arg{"fraction", fraction, ""}); err != nil {
		return 0, err
	}
	if err := s.refuse(op); err != nil {
		return 0, err
	}
	x := bisect(0, bracket(func(x float64) bool {
		increase, _ := surfaceImpedance(x)
		return increase >= fraction
	}, 1), func(x float64) bool {
		increase, _ := surfaceImpedance(x)
		return increase >= fraction
	})
	// From x back to d.
	return result(op, "diameter",
		2*x*math.Sqrt(s.Resistivity/(2*math.Pi*s.Frequency*MagneticConstant*s.Permeability)))
}

// bracket doubles x from start until reached holds.
func bracket(reached func(float64) bool, start float64) float64 {
	x := start
	// Far below overflow: beyond, the condition never holds.
	for !reached(x) && x < math.MaxFloat64/4 {
		x *= 2
	}
	return x
}

// bisect returns the smallest x in (low, high] from which on reached holds,
// for a condition that changes once, to the last bit.
func bisect(low, high float64, reached func(float64) bool) float64 {
	for {
		middle := low + (high-low)/2
		if !(low < middle && middle < high) { // adjacent, or not numbers
			return high
		}
		if reached(middle) {
			high = middle
		} else {
			low = middle
		}
	}
}
