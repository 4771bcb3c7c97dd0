// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "example.com/ohmwright/uncertainty"

// UncertainLaw is a [Law] with uncertain coefficients:
//
//	R(t) = R(ref) [1 + α(t − ref) + β(t − ref)²]
//
// One UncertainLaw is one particular resistor or spool of wire: everything that
// is computed from it shares its coefficients, as the resistors of one box share
// the temperature when they are given the same quantity for it.
//
// A zero Alpha or Beta is exactly 0. The zero UncertainLaw, like the zero Law, is
// no dependence on temperature.
type UncertainLaw struct {
	Reference float64              // °C
	Alpha     uncertainty.Quantity // 1/K
	Beta      uncertainty.Quantity // 1/K²

	// Low and High are the limits of use in °C; both 0: none. They are held
	// against estimates, not against the trials of a Monte Carlo run.
	Low, High float64
}

// ExactLaw returns l with exact coefficients.
func ExactLaw(l Law) UncertainLaw {
	return UncertainLaw{
		Reference: l.reference,
		Alpha:     uncertainty.Exact(l.alpha), Beta: uncertainty.Exact(l.beta),
		Low: l.low, High: l.high,
	}
}

// Law returns the law of the estimates.
func (u UncertainLaw) Law() (Law, error) {
	alpha, beta := orZero(u.Alpha), orZero(u.Beta)
	if err := alpha.Err(); err != nil {
		return Law{}, err
	}
	if err := beta.Err(); err != nil {
		return Law{}, err
	}
	l := NewLaw(u.Reference, alpha.Estimate(), beta.Estimate())
	if u.Low != 0 || u.High != 0 {
		l = l.Within(u.Low, u.High)
	}
	return l, nil
}

// orZero reads the zero Quantity as exactly 0.
func orZero(q uncertainty.Quantity) uncertainty.Quantity {
	if q.IsZero() {
		return uncertainty.Exact(0)
	}
	return q
}

// coefficients are α and β in the units that a law takes them in: one in ppm/K is refused.
func (u UncertainLaw) coefficients() (alpha, beta uncertainty.Quantity) {
	return orZero(u.Alpha).InUnit("1/K"), orZero(u.Beta).InUnit("1/K²")
}

// RatioOf returns R(t)/R(ref) for the temperature t in °C. It carries an error
// where [Law.Ratio] of the estimates has one.
func (u UncertainLaw) RatioOf(t uncertainty.Quantity) uncertainty.Quantity {
	return u.ratioOf("thermal.UncertainLaw.RatioOf", "temperature", t)
}

// ratioOf is RatioOf for the operation and the argument that an error names.
func (u UncertainLaw) ratioOf(op, name string, t uncertainty.Quantity) uncertainty.Quantity {
	alpha, beta := u.coefficients()
	d := t.InUnit("°C").Sub(uncertainty.Exact(u.Reference))
	// The unit is that of a number: 1 added to ppm would be another one.
	q := uncertainty.Exact(1).Add(d.Mul(alpha.Add(beta.Mul(d)))).InUnit("1")
	if q.Err() != nil {
		return q
	}
	// The law of the estimates says in words where there is no resistance or no law.
	l, err := u.Law()
	if err == nil {
		_, err = l.ratio(op, name, t.Estimate())
	}
	if err != nil {
		return uncertainty.Fail(err)
	}
	return q
}

// Correct returns in ohms the resistance at the temperature to of a resistor
// that has r ohms at the temperature from, both in °C:
//
//	R(to) = r Ratio(to)/Ratio(from)
//
// For a resistor known at its reference temperature, from is the exact
// reference.
func (u UncertainLaw) Correct(r, from, to uncertainty.Quantity) uncertainty.Quantity {
	const op = "thermal.UncertainLaw.Correct"
	return r.Mul(u.ratioOf(op, "to", to)).Div(u.ratioOf(op, "from", from)).DefaultUnit("Ω")
}

// ChangeOf returns the relative change R(to)/R(from) − 1 between two temperatures in °C,
//
//	(to − from) [α + β(to + from − 2 ref)]/Ratio(from)
//
// which keeps its digits and its slopes where the change is far below 1, see [Law.Change].
// It carries an error where [Law.Ratio] of the estimates has one at either temperature.
func (u UncertainLaw) ChangeOf(from, to uncertainty.Quantity) uncertainty.Quantity {
	return u.changeOf("thermal.UncertainLaw.ChangeOf", from, to)
}

func (u UncertainLaw) changeOf(op string, from, to uncertainty.Quantity) uncertainty.Quantity {
	base := u.ratioOf(op, "from", from)
	if err := u.ratioOf(op, "to", to).Err(); err != nil {
		return uncertainty.Fail(err)
	}
	reference := uncertainty.Exact(u.Reference)
	from, to = from.InUnit("°C"), to.InUnit("°C")
	sum := from.Sub(reference).Add(to.Sub(reference))
	alpha, beta := u.coefficients()
	return to.Sub(from).Mul(alpha.Add(beta.Mul(sum))).Div(base).InUnit("1")
}

// Rebase returns the same parabola about another reference temperature in °C,
// as [Law.Rebase] does. Errors stay in the coefficients of the result.
func (u UncertainLaw) Rebase(reference float64) UncertainLaw {
	if u.Alpha.IsZero() && u.Beta.IsZero() {
		return u
	}
	q := u.ratioOf("thermal.UncertainLaw.Rebase", "reference", uncertainty.Exact(reference))
	alpha, beta := u.coefficients()
	change := uncertainty.Exact(2 * (reference - u.Reference)).InUnit("K")
	slope := alpha.Add(beta.Mul(change))
	u.Reference, u.Alpha, u.Beta = reference, slope.Div(q).InUnit("1/K"), beta.Div(q).InUnit("1/K²")
	return u
}

// RatioOf returns R(t)/R(ref) for the uncertain temperature t in °C, with the
// law's coefficients exact.
func (l Law) RatioOf(t uncertainty.Quantity) uncertainty.Quantity {
	return ExactLaw(l).ratioOf("thermal.Law.RatioOf", "temperature", t)
}

// ChangeOf is [Law.Change] of quantities, with the law's coefficients exact.
func (l Law) ChangeOf(from, to uncertainty.Quantity) uncertainty.Quantity {
	return ExactLaw(l).changeOf("thermal.Law.ChangeOf", from, to)
}

// CorrectOf is [Law.Correct] of quantities, with the law's coefficients exact.
func (l Law) CorrectOf(r, from, to uncertainty.Quantity) uncertainty.Quantity {
	return ExactLaw(l).Correct(r, from, to)
}
