// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/cmplx"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/wire/internal/quantity"
)

// Equivalent is the three-element circuit of a resistor at frequency:
// resistance R in ohms with inductance L in henries in series, and capacitance
// C in farads across both. L and C may be 0. It is good while the resistor is short compared
// with the wavelength and its elements do not depend on frequency; skin effect is added
// ([ResistanceRatio]).
type Equivalent struct{ R, L, C float64 }

// checkEquivalent refuses what is no circuit.
func (e Equivalent) checkEquivalent(op string) error {
	if err := positive(op, arg{"R", e.R, "Ω"}); err != nil {
		return err
	}
	return notNegative(op, arg{"L", e.L, "H"}, arg{"C", e.C, "F"})
}

// TimeConstant returns τ = L/R − RC in seconds. The phase of the impedance is
// ωτ to first order; a positive τ is an inductive resistor.
func (e Equivalent) TimeConstant() (float64, error) {
	const op = "winding.Equivalent.TimeConstant"
	if err := e.checkEquivalent(op); err != nil {
		return 0, err
	}
	return result(op, "time constant", e.tau())
}

// tau is the time constant, without checks.
func (e Equivalent) tau() float64 { return e.L/e.R - float64(e.R*e.C) }

// TimeConstantOf returns τ = L/R − RC in seconds of R in ohms, L in henries
// and C in farads.
func TimeConstantOf(r, l, c uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "time constant", Unit: "s", Units: []string{"Ω", "H", "F"},
		Of: func(x []float64) (float64, error) {
			return Equivalent{x[0], x[1], x[2]}.TimeConstant()
		},
		Change: func(d, x []float64) {
			d[0] = -x[1]/x[0]/x[0] - x[2]
			d[1], d[2] = 1/x[0], -x[0]
		},
	}, r, l, c)
}

// Impedance is the impedance of a resistor at one frequency, set against its
// resistance R.
type Impedance struct {
	Z          complex128 // Ω
	Resistance float64    // Re Z/R − 1: change of the series resistance
	Reactance  float64    // Im Z/R
	Magnitude  float64    // |Z|/R − 1
	Phase      float64    // rad, positive: inductive
}

// impedance makes an Impedance of d = Z/R − 1, so that small changes keep
// their digits.
func impedance(op string, r float64, d complex128) (Impedance, error) {
	re, im := real(d), imag(d)
	// |1+d|² − 1
	square := float64(re*(2+re)) + float64(im*im)
	i := Impedance{
		Z: complex(r, 0) * (1 + d), Resistance: re, Reactance: im,
		Magnitude: square / (1 + math.Sqrt(1+square)), Phase: math.Atan2(im, 1+re),
	}
	if cmplx.IsNaN(i.Z) || cmplx.IsInf(i.Z) || math.IsNaN(i.Magnitude) {
		_, err := result(op, "impedance", cmplx.Abs(i.Z))
		return Impedance{}, err
	}
	return i, nil
}

// Impedance returns the impedance at a frequency in Hz:
//
//	Z = (R + jωL)/(1 − ω²LC + jωRC)
//
// To first order phase = ωτ and |Z|/R − 1 = (ω²/2)(L²/R² + 2LC − R²C²).
func (e Equivalent) Impedance(frequency float64) (Impedance, error) {
	const op = "winding.Equivalent.Impedance"
	if err := e.checkEquivalent(op); err != nil {
		return Impedance{}, err
	}
	if err := positive(op, arg{"frequency", frequency, "Hz"}); err != nil {
		return Impedance{}, err
	}
	w := 2 * math.Pi * frequency
	// ω²LC in an order in which no product overflows before the other can make up for it.
	lc := float64(w * e.L * w * e.C)
	// Z/R − 1 = (ω²LC + jωτ)/(1 − ω²LC + jωRC)
	d := complex(lc, w*e.tau()) / complex(1-lc, w*e.R*e.C)
	return impedance(op, e.R, d)
}

// FrequencyForMagnitude returns the frequency in Hz at which |Z| first differs
// from R by the given fraction (0.001 for 0.1 %), below 1. It is an error,
// [ErrUnreachable], if that never happens.
func (e Equivalent) FrequencyForMagnitude(fraction float64) (float64, error) {
	const op = "winding.Equivalent.FrequencyForMagnitude"
	if err := e.limit(op, fraction, 1); err != nil {
		return 0, err
	}
	// |Z/R|² = (1 + au)/(1 + bu + cu²) with u = ω²; equal to K = (1 ±
	// fraction)² where Kcu² + (Kb − a)u + (K − 1) = 0.
	lr, rc, lc := e.L/e.R, e.R*e.C, e.L*e.C
	a, b, c := lr*lr, float64(rc*rc)-2*lc, lc*lc
	first := math.Inf(1)
	// From above and from below: the first one reached counts.
	for _, sign := range []float64{+1, -1} {
		excess := sign * fraction * (2 + sign*fraction) // K − 1
		k := 1 + excess
		if u, ok := smallestRoot(k*c, float64(k*b)-a, excess); ok {
			first = min(first, u)
		}
	}
	if math.IsInf(first, 1) {
		return 0, refuse(op, "fraction", fraction, ErrUnreachable,
			"expected less: the magnitude stays nearer to R at every frequency")
	}
	return result(op, "frequency", math.Sqrt(first)/(2*math.Pi))
}

// limit refuses a circuit, or a limit, for which the question has no answer.
func (e Equivalent) limit(op string, v, below float64) error {
	if err := e.checkEquivalent(op); err != nil {
		return err
	}
	a := arg{"limit", v, ""}
	if err := positive(op, a); err != nil {
		return err
	}
	if v >= below {
		return domain(op, a, "expected less than "+number(below))
	}
	return nil
}

// smallestRoot returns the smallest positive root of au² + bu + c.
func smallestRoot(a, b, c float64) (float64, bool) {
	// Without capacitance or inductance the equation is linear.
	if a == 0 {
		u := -c / b
		return u, b != 0 && u > 0 && !math.IsInf(u, 0)
	}
	d := float64(b*b) - float64(4*a*c)
	if d < 0 {
		return 0, false
	}
	// The root without cancellation; the other follows from their product c/a.
	q := -(b + math.Copysign(math.Sqrt(d), b)) / 2
	best, ok := math.Inf(1), false
	for _, u := range []float64{q / a, c / q} {
		if u > 0 && u < best {
			best, ok = u, true
		}
	}
	return best, ok
}

// FrequencyForPhase returns the frequency in Hz at which the phase of Z first
// reaches the given angle in radians, of either sign, below π/2. It is an
// error, [ErrUnreachable], if that never happens. The phase is exactly
//
//	tan φ = ω(τ − ω²L²C/R)
func (e Equivalent) FrequencyForPhase(radians float64) (float64, error) {
	const op = "winding.Equivalent.FrequencyForPhase"
	if err := e.limit(op, radians, math.Pi/2); err != nil {
		return 0, err
	}
	tau, k, want := e.tau(), e.L/e.R*e.L*e.C, elementary.Tan(radians)
	if v, err := result(op, "time constant", math.Abs(tau)+k); err != nil {
		return v, err
	}
	tangent := func(w float64) float64 { return w * (tau - float64(k*w*w)) }
	// An inductive resistor rises first, to a maximum at √(τ/(3k)).
	low := 0.0
	if tau > 0 {
		top := math.Sqrt(tau / 3 / k) // the phase rises up to there and falls from there on
		if math.IsInf(top, 1) {
			return result(op, "frequency", want/tau/(2*math.Pi))
		}
		if tangent(top) >= want {
			return bisect(0, top,
				func(w float64) bool { return tangent(w) >= want }) / (2 * math.Pi), nil
		}
		low = top
	}
	// A circuit without phase never reaches any.
	if tau == 0 && k == 0 {
		return 0, refuse(op, "radians", radians, ErrUnreachable,
			"expected less: the phase stays smaller at every frequency")
	}
	// Beyond the maximum the phase falls without end, and reaches −want for certain.
	fallen := func(w float64) bool { return tangent(w) <= -want }
	return result(op, "frequency", bisect(low, bracket(fallen, max(low, 1)), fallen)/(2*math.Pi))
}

// CapacitanceForZeroTimeConstant returns the capacitance in farads across the
// resistor at which its time constant vanishes, L = R²C.
func (e Equivalent) CapacitanceForZeroTimeConstant() (float64, error) {
	const op = "winding.Equivalent.CapacitanceForZeroTimeConstant"
	if err := e.checkEquivalent(op); err != nil {
		return 0, err
	}
	return result(op, "capacitance", e.L/e.R/e.R)
}

// CapacitanceForFlatMagnitude returns the capacitance in farads across the
// resistor at which |Z| is flattest, L = (√2 − 1) R²C: the second-order error
// vanishes, a time constant of −√2 L/R stays.
func (e Equivalent) CapacitanceForFlatMagnitude() (float64, error) {
	const op = "winding.Equivalent.CapacitanceForFlatMagnitude"
	if err := e.checkEquivalent(op); err != nil {
		return 0, err
	}
	return result(op, "capacitance", e.L/e.R/e.R/(math.Sqrt2-1))
}
