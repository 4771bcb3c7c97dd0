// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "math"

// Law is the linear or quadratic temperature law of a resistance between fixed
// points,
//
//	R(t) = R(ref) [1 + α(t − ref) + β(t − ref)²]
//
// Laws are made by [NewLaw], so that the reference temperature cannot be
// forgotten, and are comparable values. The zero Law means no dependence on
// temperature: its ratio is 1 at every temperature.
//
// A law may know the range of temperature that it holds in, see [Law.Within];
// one from NewLaw alone has no limits.
type Law struct {
	reference, alpha, beta float64
	low, high              float64 // °C, with limited
	limited                bool
}

// NewLaw returns the law with the coefficients alpha in 1/K and beta in 1/K² at
// the reference temperature in °C. Beta 0 makes it linear. Bad values (not
// finite, a reference below absolute zero) are reported by the law's use.
func NewLaw(reference, alpha, beta float64) Law {
	return Law{reference: reference, alpha: alpha, beta: beta}
}

// Within returns the law for use between the temperatures low and high in °C
// only: outside them it answers with [ErrDomain]. It replaces limits that the
// law has; NewLaw with the same coefficients takes them away.
func (l Law) Within(low, high float64) Law {
	l.low, l.high, l.limited = low, high, true
	return l
}

// Limits returns the range of use in °C, and false where the law has none.
func (l Law) Limits() (low, high float64, ok bool) { return l.low, l.high, l.limited }

// Reference returns the reference temperature in °C.
func (l Law) Reference() float64 { return l.reference }

// Alpha returns the linear coefficient in 1/K: the relative change per kelvin
// at the reference temperature.
func (l Law) Alpha() float64 { return l.alpha }

// Beta returns the quadratic coefficient in 1/K².
func (l Law) Beta() float64 { return l.beta }

// IsZero reports whether l is the zero Law.
func (l Law) IsZero() bool { return l == Law{} }

// String returns the law as text: "1 +4.2e-06 (t−25) −5.6e-07 (t−25)²".
func (l Law) String() string {
	if l.alpha == 0 && l.beta == 0 {
		return "1"
	}
	d := "t"
	if l.reference != 0 {
		d = "(t" + signed(-l.reference) + ")"
	}
	s := "1"
	if l.alpha != 0 {
		s += " " + signed(l.alpha) + " " + d
	}
	if l.beta != 0 {
		s += " " + signed(l.beta) + " " + d + "²"
	}
	return s
}

// signed returns the number with a sign before it, set off as in the law's text.
func signed(v float64) string {
	sign := "+"
	if v < 0 {
		sign, v = "−", -v
	}
	return sign + text(v)
}

// Ratio returns R(t)/R(ref) = 1 + α(t − ref) + β(t − ref)² for t in °C.
//
// It returns an error where the law has bad coefficients ([ErrNotFinite]), for a temperature
// below absolute zero or outside the law's limits, and where the law gives no positive
// resistance ([ErrDomain]). A law without limits is still a fit to some stretch of temperature:
// keep to the one it was taken from.
func (l Law) Ratio(t float64) (float64, error) {
	return l.ratio("thermal.Law.Ratio", "temperature", t)
}

// ratio is Ratio for the operation and the argument that an error names.
func (l Law) ratio(op, name string, t float64) (float64, error) {
	if err := l.checkLaw(op); err != nil {
		return 0, err
	}
	if err := l.checkInside(op, name, t); err != nil {
		return 0, err
	}
	q, err := finiteResult(op, "ratio", l.ratioAt(t))
	if err != nil {
		return 0, err
	}
	if q <= 0 {
		return 0, domainError(op, name, t,
			"expected a temperature at which the law "+l.String()+" gives a positive resistance")
	}
	return q, nil
}

// ratioAt is the ratio without checks.
func (l Law) ratioAt(t float64) float64 {
	d := t - l.reference
	return 1 + float64(d*(l.alpha+float64(l.beta*d)))
}

// checkLaw refuses bad coefficients.
func (l Law) checkLaw(op string) error {
	if err := checkTemperature(op, "reference", l.reference); err != nil {
		return err
	}
	if err := checkNumber(op, "alpha", l.alpha); err != nil {
		return err
	}
	if err := checkNumber(op, "beta", l.beta); err != nil {
		return err
	}
	if err := checkTemperature(op, "lower limit", l.low); err != nil {
		return err
	}
	if err := checkNumber(op, "upper limit", l.high); err != nil {
		return err
	}
	if l.low > l.high {
		return domainError(op, "lower limit", l.low,
			"expected at most the upper one, "+text(l.high)+" °C")
	}
	return nil
}

// checkInside refuses temperatures below absolute zero or outside the limits.
func (l Law) checkInside(op, name string, t float64) error {
	if err := checkTemperature(op, name, t); err != nil {
		return err
	}
	if l.limited && (t < l.low || t > l.high) {
		return domainError(op, name, t,
			"expected "+text(l.low)+" to "+text(l.high)+" °C, where the law holds")
	}
	return nil
}

// Slope returns the local coefficient of the ratio in 1/K at t in °C,
//
//	d(R/R(ref))/dt = α + 2β(t − ref)
func (l Law) Slope(t float64) (float64, error) {
	const op = "thermal.Law.Slope"
	if err := l.checkLaw(op); err != nil {
		return 0, err
	}
	if err := l.checkInside(op, "temperature", t); err != nil {
		return 0, err
	}
	return finiteResult(op, "slope", l.slope(t))
}

// slope is Slope without checks.
func (l Law) slope(t float64) float64 {
	return l.alpha + float64(2*(l.beta*(t-l.reference)))
}

// Rebase returns the same law about another reference temperature in °C. The
// parabola is the same one, exactly: with D = reference − ref and
// q = 1 + αD + βD²,
//
//	α' = (α + 2βD)/q    β' = β/q    R(reference) = q R(ref)
//
// The ratios of the new law are to the resistance at the new reference. It returns an error
// where q is not positive.
func (l Law) Rebase(reference float64) (Law, error) {
	q, err := l.ratio("thermal.Law.Rebase", "reference", reference)
	if err != nil {
		return Law{}, err
	}
	// No dependence on temperature has no reference to move.
	if l.IsZero() {
		return l, nil
	}
	l.alpha, l.beta, l.reference = l.slope(reference)/q, l.beta/q, reference
	if err := l.checkLaw("thermal.Law.Rebase"); err != nil {
		return Law{}, err
	}
	return l, nil
}

// Correct returns in ohms the resistance at the temperature to of a resistor
// that has r ohms at the temperature from, both in °C:
//
//	R(to) = r Ratio(to)/Ratio(from)
func (l Law) Correct(r, from, to float64) (float64, error) {
	const op = "thermal.Law.Correct"
	if err := checkNumber(op, "resistance", r); err != nil {
		return 0, err
	}
	qf, err := l.ratio(op, "from", from)
	if err != nil {
		return 0, err
	}
	qt, err := l.ratio(op, "to", to)
	if err != nil {
		return 0, err
	}
	// The quotient first: it is near 1, and the product cannot overflow before it.
	return finiteResult(op, "corrected resistance", r*(qt/qf))
}

// Extremum returns the temperature in °C of the peak (β < 0) or trough (β > 0)
// of the parabola, ref − α/(2β). It is false for a linear law and where the
// extremum is not a finite temperature.
func (l Law) Extremum() (t float64, ok bool) {
	if l.beta == 0 || l.checkLaw("thermal.Law.Extremum") != nil {
		return 0, false
	}
	t = l.reference - l.alpha/(2*l.beta)
	if math.IsInf(t, 0) {
		return 0, false
	}
	return t, true
}

// Temperature returns the temperature in °C at which R/R(ref) is ratio. Of the
// two roots of a parabola it is the one on the reference's side of the extremum:
//
//	t = ref + 2(ratio − 1)/(α + sgn(α)√(α² + 4β(ratio − 1)))
//
// It returns an error where there is none: α = 0 (the reference is the extremum and the two
// sides are alike), and a ratio beyond the extremum.
func (l Law) Temperature(ratio float64) (float64, error) {
	const op = "thermal.Law.Temperature"
	if err := l.checkLaw(op); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "ratio", ratio, "R/R(ref)"); err != nil {
		return 0, err
	}
	// At the extremum both roots are equally near, and nothing says which is meant.
	if l.alpha == 0 {
		return 0, domainError(op, "alpha", l.alpha, "expected a law with a slope at its reference")
	}
	disc := float64(l.alpha*l.alpha) + float64(4*l.beta*(ratio-1))
	if disc < 0 {
		return 0, domainError(op, "ratio", ratio, "expected a ratio that the law reaches")
	}
	// This form of the root has no cancellation and holds for β = 0.
	t := l.reference + 2*(ratio-1)/(l.alpha+math.Copysign(math.Sqrt(disc), l.alpha))
	if err := l.checkInside(op, "temperature", t); err != nil {
		return 0, err
	}
	return t, nil
}
