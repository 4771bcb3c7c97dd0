// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network

import (
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Bridge is a bridge of four resistors in balance, with a box as its adjustable arm:
//
//	X = Adjusted·A/B
//
// Any number of goroutines may read one at once.
type Bridge struct {
	A, B           float64 // Ω, the ratio arms, A on the side of the unknown X
	LimitA, LimitB float64 // of the ratio arms, as fractions; 0: exact
}

// checkArms refuses arms that are no resistors and limits that are no fractions.
func (b Bridge) checkArms(op string) error {
	for _, err := range []error{
		checkOhms(op, "A", b.A, false), checkOhms(op, "B", b.B, false),
		numbers.Fraction(op, "limit of A", b.LimitA), numbers.Fraction(op, "limit of B", b.LimitB),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Unknown returns the unknown resistance in ohms at balance, with the adjusted arm at a
// resistance in ohms.
func (b Bridge) Unknown(adjusted float64) (float64, error) {
	const op = "network.Bridge.Unknown"
	if err := b.checkArms(op); err != nil {
		return 0, err
	}
	if err := checkOhms(op, "adjusted", adjusted, true); err != nil {
		return 0, err
	}
	// Wheatstone's condition: no voltage at the detector where X/A = Adjusted/B.
	x := adjusted * (b.A / b.B)
	return x, numbers.Finite(op, "unknown", x)
}

// LimitingError returns the worst case of the unknown as a fraction, to first order, as it is
// usually stated: the limits of the three known arms, as fractions, added. adjusted is the limit
// of the adjusted arm.
func (b Bridge) LimitingError(adjusted float64) (float64, error) {
	const op = "network.Bridge.LimitingError"
	if err := b.checkArms(op); err != nil {
		return 0, err
	}
	if err := numbers.Fraction(op, "limit of the adjusted arm", adjusted); err != nil {
		return 0, err
	}
	// Relative limits of a product and a quotient add, whatever their signs.
	return adjusted + b.LimitA + b.LimitB, nil
}

// Limits returns the worst case of the unknown in ohms without approximation, the adjusted
// arm lying between limits ([decade.Setting.Limits]), with a and b the limits of the ratio
// arms:
//
//	lower·A(1 − a)/(B(1 + b)) … upper·A(1 + a)/(B(1 − b))
func (b Bridge) Limits(adjusted uncertainty.Interval) (uncertainty.Interval, error) {
	const op = "network.Bridge.Limits"
	if err := b.checkArms(op); err != nil {
		return uncertainty.Interval{}, err
	}
	if err := numbers.Finite(op, "lower limit", adjusted.Lower); err != nil {
		return uncertainty.Interval{}, err
	}
	if err := numbers.Finite(op, "upper limit", adjusted.Upper); err != nil {
		return uncertainty.Interval{}, err
	}
	if adjusted.Lower > adjusted.Upper || adjusted.Upper < 0 {
		return uncertainty.Interval{}, &Error{Op: op, Name: "adjusted", Value: adjusted.Lower,
			Err: unit.Errorf(ErrDomain, "%v Ω to %v Ω; expected a lower limit, then an upper one "+
				"that is not negative", adjusted.Lower, adjusted.Upper)}
	}
	ratio := b.A / b.B
	if err := numbers.Finite(op, "ratio", ratio); err != nil {
		return uncertainty.Interval{}, err
	}
	// The quotient is largest with A at its upper and B at its lower limit, and the reverse. A
	// box may have a lower limit below 0 near its zero, a resistor none.
	limits := uncertainty.Interval{
		Lower: max(0, adjusted.Lower) * ratio * (1 - b.LimitA) / (1 + b.LimitB),
		Upper: adjusted.Upper * ratio * (1 + b.LimitA) / (1 - b.LimitB),
	}
	return limits, numbers.Finite(op, "limit", limits.Upper)
}

// A Deflection is what the detector of a bridge shows near balance. Any number of goroutines
// may read one at once.
type Deflection struct {
	Resistance float64 // Ω, of the box
	Detector   float64 // in any unit, the same for both; negative to the left
}

// Interpolate returns in ohms the resistance at which a bridge would balance, between two
// settings r of its box at which the detector shows deflections d of opposite sign:
//
//	R = r₁ + (r₂ − r₁)·d₁/(d₁ − d₂)
//
// It returns an error unless the deflections differ in sign or one of them is 0.
func Interpolate(first, second Deflection) (float64, error) {
	const op = "network.Interpolate"
	r1, d1, r2, d2 := first.Resistance, first.Detector, second.Resistance, second.Detector
	for _, err := range []error{
		numbers.Finite(op, "first resistance", r1), numbers.Finite(op, "first deflection", d1),
		numbers.Finite(op, "second resistance", r2), numbers.Finite(op, "second deflection", d2),
	} {
		if err != nil {
			return 0, err
		}
	}
	if d1 == d2 || d1 > 0 && d2 > 0 || d1 < 0 && d2 < 0 {
		return 0, &Error{Op: op, Name: "deflections", Value: d1,
			Err: unit.Errorf(ErrDomain, "%v and %v; expected one on each side of the balance",
				d1, d2)}
	}
	// Half of each where their difference is beyond a float64; their ratio alone counts.
	if math.IsInf(d1-d2, 0) {
		d1, d2 = d1/2, d2/2
	}
	// Near balance the detector is linear in the change of an arm, so that a line through the
	// two deflections crosses zero at the balance.
	r := r1 + float64((r2-r1)*(d1/(d1-d2)))
	if err := numbers.Finite(op, "balance", r); err != nil {
		return 0, err
	}
	return r, nil
}

// Interchange returns the unknown of a bridge in ohms from two balances of the box, before
// and after unknown and box have been interchanged in a bridge of nearly equal ratio arms:
//
//	X = √(S₁·S₂)
//
// The ratio of the arms drops out.
func Interchange(first, second float64) (float64, error) {
	const op = "network.Interchange"
	if err := checkOhms(op, "first", first, false); err != nil {
		return 0, err
	}
	if err := checkOhms(op, "second", second, false); err != nil {
		return 0, err
	}
	return math.Sqrt(first * second), nil
}

// BalanceOf is [Bridge.Unknown] of quantities in ohms: adjusted arm and ratio arms.
func BalanceOf(adjusted, a, b uncertainty.Quantity) uncertainty.Quantity {
	return adjusted.Mul(a).Div(b).DefaultUnit("Ω")
}

// InterchangeOf is [Interchange] of quantities in ohms.
func InterchangeOf(first, second uncertainty.Quantity) uncertainty.Quantity {
	return uncertainty.Sqrt(first.Mul(second)).DefaultUnit("Ω")
}

// Sensitivity returns what the detector of a bridge sees, in volts per relative change of
// the unknown about balance, without load by the detector:
//
//	V·r/(1 + r)², r = X/A
//
// where supply is the voltage in volts across X in series with A, and across the adjusted
// arm in series with B. It is largest, V/4, for X equal to A.
func (b Bridge) Sensitivity(supply, unknown float64) (voltsPerUnit float64, err error) {
	const op = "network.Bridge.Sensitivity"
	if err := b.checkArms(op); err != nil {
		return 0, err
	}
	if err := numbers.Finite(op, "supply", supply); err != nil {
		return 0, err
	}
	if err := checkOhms(op, "unknown", unknown, false); err != nil {
		return 0, err
	}
	r := unknown / b.A
	// The slope of the divider V·X/(X + A) in ln X.
	v := supply * (r / (1 + r)) / (1 + r)
	return v, numbers.Finite(op, "sensitivity", v)
}
