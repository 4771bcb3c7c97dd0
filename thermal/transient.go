// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// Transient describes how a resistor approaches its new state after a step of power or of
// ambient temperature, with one or two time constants:
//
//	fraction(t) = 1 − share·exp(−t/τ1) − (1 − share)·exp(−t/τ2)
//
// Transients are made by [FirstOrder] and [TwoTimeConstants].
type Transient struct{ share, fast, slow float64 }

// FirstOrder returns the transient with the one time constant tau in seconds,
// the thermal resistance in K/W times the heat capacity in J/K. At tau it has come
// 63.2 % of the way. Bad values are reported by use.
func FirstOrder(tau float64) Transient { return Transient{1, tau, tau} }

// TwoTimeConstants returns a transient in which a share of the change follows the time constant
// fast and the rest follows slow, both in seconds: a wire and its bobbin, a box and its room. A
// share above 1 or below 0 describes an overshoot or a start the wrong way, as when wire and
// lead differ in the sign of their coefficients. Bad values are reported by use.
func TwoTimeConstants(share, fast, slow float64) Transient { return Transient{share, fast, slow} }

// checkTransient refuses a share that is no number and time constants that are not positive.
func (tr Transient) checkTransient(op string) error {
	if err := checkNumber(op, "share", tr.share); err != nil {
		return err
	}
	if err := checkPositive(op, "time constant", tr.fast, "seconds"); err != nil {
		return err
	}
	return checkPositive(op, "time constant", tr.slow, "seconds")
}

// remaining is 1 − fraction(t).
func (tr Transient) remaining(t float64) float64 {
	return float64(tr.share*elementary.Exp(-t/tr.fast)) +
		float64((1-tr.share)*elementary.Exp(-t/tr.slow))
}

// Fraction returns how much of the change has happened t seconds after the step.
func (tr Transient) Fraction(t float64) (float64, error) {
	const op = "thermal.Transient.Fraction"
	if err := tr.checkTransient(op); err != nil {
		return 0, err
	}
	if err := checkNumber(op, "time", t); err != nil {
		return 0, err
	}
	if t < 0 {
		return 0, domainError(op, "time", t, "expected seconds from 0 up")
	}
	if tr.share == 1 {
		return -elementary.Expm1(-t / tr.fast), nil // keeps the digits of a short time
	}
	return finiteResult(op, "fraction", 1-tr.remaining(t))
}

// SettlingTime returns the time in seconds after which the resistance stays
// within the given distance of its final value, for the whole change of the step.
// Both are in one unit: with the change in ppm, within is in ppm. The change is
// the temperature step times the temperature coefficient, for example. With one
// time constant,
//
//	t = τ ln(|change|/within)
//
// and 0 if the change is no larger than that.
func (tr Transient) SettlingTime(change, within float64) (float64, error) {
	const op = "thermal.Transient.SettlingTime"
	if err := tr.checkTransient(op); err != nil {
		return 0, err
	}
	if err := checkNumber(op, "change", change); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "within", within, "the change's unit"); err != nil {
		return 0, err
	}
	if change == 0 {
		return 0, nil
	}
	return finiteResult(op, "settling time", tr.lastCrossing(within/math.Abs(change)))
}

// lastCrossing returns the last time at which the remaining fraction is x.
func (tr Transient) lastCrossing(x float64) float64 {
	if tr.share == 1 || tr.fast == tr.slow {
		return max(0, -tr.fast*elementary.Log(x))
	}
	// From its turning point on what remains dies away evenly; up to there it has
	// gone evenly from 1. The last crossing is after the turn if enough remains
	// there, before it otherwise.
	turn := tr.turningPoint()
	if math.Abs(tr.remaining(turn)) <= x {
		if x >= 1 {
			return 0
		}
		return fallingCrossing(tr.remaining, x, 0, turn)
	}
	// Doubling finds a bracket in a few steps, however small the fraction.
	end := turn + max(tr.fast, tr.slow)
	for math.Abs(tr.remaining(end)) > x {
		end += end - turn
	}
	left := func(t float64) float64 { return math.Abs(tr.remaining(t)) }
	return fallingCrossing(left, x, turn, end)
}

// turningPoint is the time from which |remaining| falls for good: 0 unless the
// two terms have opposite signs.
func (tr Transient) turningPoint() float64 {
	ratio := -tr.share * tr.slow / ((1 - tr.share) * tr.fast)
	if !(ratio > 0) {
		return 0
	}
	return max(0, elementary.Log(ratio)/(1/tr.fast-1/tr.slow))
}

// mostHalvings exhausts the interval between any two float64.
const mostHalvings = 1100

// fallingCrossing returns where a falling function comes to y between lo and hi, by halving.
func fallingCrossing(f func(float64) float64, y, lo, hi float64) float64 {
	for range mostHalvings {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			break
		}
		if f(mid) > y {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
