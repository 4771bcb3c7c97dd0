// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/thermal"
)

// Power returns how a power in watts, dissipated in both, divides between the part and
// what was added:
//
//	P(added) = Share × P
//
// in parallel as in series. A pad of 0.3 % takes 0.3 % of the power, however small its
// rating; across a high resistance look at its voltage instead, which is the whole.
func (t Trim) Power(power float64) (part, added float64, err error) {
	const op = "winding.Trim.Power"
	if err := notNegative(op, arg{"power", power, "W"}, arg{"Share", t.Share, ""}); err != nil {
		return 0, 0, err
	}
	return (1 - t.Share) * power, t.Share * power, nil
}

// Drift returns the relative change of the pair from the temperature from to the
// temperature to, in °C, with Part and Added at from and a law for each; the zero law is
// none. It is exact where [Trim.Law] is a series, so that it holds over wide ranges too.
func (t Trim) Drift(part, added thermal.Law, from, to float64) (float64, error) {
	const op = "winding.Trim.Drift"
	if err := positive(op, arg{"Part", t.Part, "Ω"}, arg{"Added", t.Added, "Ω"}); err != nil {
		return 0, err
	}
	a, err := relativeChange(part, from, to)
	if err != nil {
		return 0, err
	}
	b, err := relativeChange(added, from, to)
	if err != nil {
		return 0, err
	}
	// With x the share: in series (1−x)a + xb. In parallel the conductances change by
	// −a/(1+a) and −b/(1+b), with the same shares; written so, nothing cancels.
	x := t.Share
	if !t.Parallel {
		return result(op, "drift", float64((1-x)*a)+float64(x*b))
	}
	less := float64((1-x)*a/(1+a)) + float64(x*b/(1+b))
	return result(op, "drift", less/(1-less))
}

// relativeChange is R(to)/R(from) − 1 by a law.
func relativeChange(l thermal.Law, from, to float64) (float64, error) {
	if l.IsZero() {
		l = thermal.NewLaw(from, 0, 0)
	}
	a, err := l.Ratio(from)
	if err != nil {
		return 0, err
	}
	if _, err := l.Ratio(to); err != nil {
		return 0, err
	}
	// the difference of the polynomials, divided by to − from
	u, v := from-l.Reference(), to-l.Reference()
	return (to - from) * (l.Alpha() + float64(l.Beta()*(u+v))) / a, nil
}

// Sample is a resistor with its temperature law: Ohms at the law's reference temperature;
// the zero law is none.
type Sample struct {
	Ohms float64 // Ω
	Law  thermal.Law
}

// AgreementTemperature returns the temperature in °C at which two resistors have the same
// resistance, the one nearest to the reference temperature of the first where there are
// two: where a comparison of the two is blind to their difference, or the oven of a pair
// should stand. Resistors that never agree within the limits of their laws are
// [ErrUnreachable].
func AgreementTemperature(a, b Sample) (float64, error) {
	const op = "winding.AgreementTemperature"
	if err := positive(op, arg{"first Ohms", a.Ohms, "Ω"},
		arg{"second Ohms", b.Ohms, "Ω"}); err != nil {
		return 0, err
	}
	if a.Law.IsZero() {
		a.Law = thermal.NewLaw(b.Law.Reference(), 0, 0)
	}
	reference := a.Law.Reference()
	if _, err := a.Law.Ratio(reference); err != nil {
		return 0, err
	}
	moved, there := thermal.NewLaw(reference, 0, 0), b.Ohms
	if !b.Law.IsZero() {
		var err error
		if moved, err = b.Law.Rebase(reference); err != nil {
			return 0, err
		}
		if there, err = b.Law.Correct(b.Ohms, b.Law.Reference(), reference); err != nil {
			return 0, err
		}
	}
	// c + b u + a u² = 0 with u = t − reference
	c2 := float64(a.Ohms*a.Law.Beta()) - float64(there*moved.Beta())
	c1 := float64(a.Ohms*a.Law.Alpha()) - float64(there*moved.Alpha())
	c0 := a.Ohms - there
	best, found := 0.0, false
	for _, u := range roots(c2, c1, c0) {
		if _, err := a.Law.Ratio(reference + u); err != nil {
			continue
		}
		if _, err := moved.Ratio(reference + u); err != nil {
			continue
		}
		if !found || math.Abs(u) < math.Abs(best) {
			best, found = u, true
		}
	}
	if !found {
		return 0, unreachable(op, arg{"first Ohms", a.Ohms, ""},
			"the two agree at no temperature within the limits of their laws, or at every one")
	}
	return reference + best, nil
}

// roots returns the real roots of a u² + b u + c.
func roots(a, b, c float64) []float64 {
	if a == 0 {
		if b == 0 {
			return nil
		}
		return []float64{-c / b}
	}
	d := float64(b*b) - float64(4*a*c)
	if d < 0 {
		return nil
	}
	q := -(b + math.Copysign(math.Sqrt(d), b)) / 2
	if q == 0 {
		return []float64{0}
	}
	return []float64{q / a, c / q}
}
