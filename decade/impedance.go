// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"
	"math/cmplx"
	"slices"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The equivalent circuit of a setting. An element of weight w is w·(R + jωL) with C across
// it; the elements of a dial in circuit are in series, with the capacitance of the dial
// across them and its inductance in series; the dials and the residual are in series, with
// the capacitance of the box across the whole.
//
// Three forms of it stand below: in complex numbers (impedance), in quantities with their
// uncertainties (circuit.impedance), and its limit ω → 0 as resistance and inductance
// (lowFrequency). A term that is added to one belongs to all three.

// Impedance returns the impedance at the terminals in ohms at a frequency in hertz: real
// part the resistance, imaginary part the reactance, positive where inductance predominates.
// [cmplx.Phase] returns its phase.
//
// The model is that of small stray reactances: skin effect, dielectric loss and mutual
// inductance of the dials are not in it. Figures stated to one digit give an answer of that
// kind; strapping the case to the other terminal changes the capacitances.
//
// The error ([ErrNotStated]) names the dials off zero for which neither inductance nor
// capacitance is stated, so that an ideal resistor is not taken for a property of the box;
// at the zero setting the inductance of a dial or the capacitance of the box is needed.
func (s Setting) Impedance(hertz float64) (complex128, error) {
	const op = "decade.Setting.Impedance"
	if err := s.checkAC(op); err != nil {
		return 0, err
	}
	if err := numbers.NotNegative(op, "hertz", " Hz", hertz); err != nil {
		return 0, err
	}
	z := s.impedance(2 * math.Pi * hertz)
	// Near the largest float64 products overflow, and a quotient of two infinities is NaN.
	if cmplx.IsInf(z) || cmplx.IsNaN(z) {
		return 0, &Error{Op: op, Name: "hertz", Value: hertz,
			Err: unit.Errorf(ErrDomain, "%v Hz overflows; expected a lower frequency", hertz)}
	}
	return z, nil
}

// checkAC refuses a setting for which no stray reactance is stated.
func (s *Setting) checkAC(op string) error {
	if s.box == nil {
		return noSetting(op)
	}
	// At zero no element is in circuit: what is left are the wiring of the dials and the case.
	if s.positions == (positions{}) && s.box.spec.Capacitance == 0 &&
		!slices.ContainsFunc(s.box.spec.Decades,
			func(d Decade) bool { return d.DialInductance > 0 }) {
		return &Error{Op: op, Name: "dialInductance, capacitance",
			Err: unit.Errorf(ErrNotStated, "not stated, with all dials at zero; expected the "+
				"inductance of a dial or the capacitance of the box")}
	}
	return s.requireStated(op, "inductance, capacitance",
		"a stray reactance of the elements or of the dial", func(d *Decade) bool {
			return d.Inductance > 0 || d.Capacitance > 0 || d.DialInductance > 0 ||
				d.DialCapacitance > 0
		})
}

// withShunt is z with a capacitance across it, at ω in rad/s.
func withShunt(z complex128, farads, omega float64) complex128 {
	// Two impedances in parallel, z ∥ 1/jωC; this form needs no division where C is 0.
	return z / (1 + z*complex(0, omega*farads))
}

// impedance is the equivalent circuit at ω in rad/s.
func (s *Setting) impedance(omega float64) complex128 {
	b := s.box
	total := complex(b.values.off, 0)
	// At the zero setting the residual alone is in circuit.
	if s.positions == (positions{}) {
		total = complex(b.values.zero, 0)
	}
	for i := range b.spec.Decades {
		d := &b.spec.Decades[i]
		dial := complex(0, 0)
		for e, w := range d.weights(s.positions.at(i)) {
			z := complex(b.elementValue(i, e), omega*d.Inductance*float64(w))
			// Series resistance and inductance of one element, with its capacitance across both.
			dial += withShunt(z, d.Capacitance, omega)
		}
		// In series the impedances add (Kirchhoff's voltage law).
		total += withShunt(dial, d.DialCapacitance, omega) + complex(0, omega*d.DialInductance)
	}
	return withShunt(total, b.spec.Capacitance, omega)
}

// ImpedanceOf is [Setting.Impedance] at an uncertain frequency in hertz, with what is known
// of the resistance ([Setting.Resistance]) and the limits of the stray reactances
// ([Spec.StrayTolerance]). Where the resistance is off, that of every element is taken to be
// off in the same proportion. The parts are in ohms. Errors are those of Setting.Impedance,
// carried by both parts.
func (s Setting) ImpedanceOf(hertz uncertainty.Quantity) uncertainty.Complex {
	const op = "decade.Setting.ImpedanceOf"
	refuse := func(err error) uncertainty.Complex {
		return uncertainty.Complex{Re: uncertainty.Fail(err), Im: uncertainty.Fail(err)}
	}
	if err := s.checkAC(op); err != nil {
		return refuse(err)
	}
	if err := hertz.Err(); err != nil {
		return refuse(&Error{Op: op, Name: "hertz", Err: err})
	}
	if err := numbers.NotNegative(op, "hertz", " Hz", hertz.Estimate()); err != nil {
		return refuse(err)
	}
	// The uncertainty of the resistance is passed on as a part of it: 0 Ω has no parts.
	if s.Value() == 0 {
		return refuse(&Error{Op: op, Name: "resistance", Value: 0.0,
			Err: unit.Errorf(ErrDomain, "0 Ω; expected a setting or a residual that is more")})
	}
	c := circuit{setting: &s, omega: hertz.InUnit("Hz").Scale(2 * math.Pi).InUnit("1"),
		part: s.Resistance().Scale(1 / s.Value()).InUnit("1")}
	z := c.impedance()
	return uncertainty.Complex{Re: z.Re.InUnit("Ω"), Im: z.Im.InUnit("Ω")}
}

// circuit is the equivalent circuit of a setting in quantities, numbers of SI units.
type circuit struct {
	setting *Setting
	omega   uncertainty.Quantity
	part    uncertainty.Quantity // resistance as a part of its estimate
}

// reactance is ω times a figure, with the factor by which the figure may be off.
func (c *circuit) reactance(figure float64, factor uncertainty.Quantity) uncertainty.Quantity {
	q := c.omega.Scale(figure)
	if factor.IsZero() {
		return q
	}
	return q.Mul(factor)
}

// withShunt is z with a susceptance across it.
func (c *circuit) withShunt(z uncertainty.Complex, farads float64,
	factor uncertainty.Quantity) uncertainty.Complex {
	if farads == 0 {
		return z
	}
	y := z.Mul(uncertainty.Complex{Re: uncertainty.Exact(0), Im: c.reactance(farads, factor)})
	return z.Div(uncertainty.ExactComplex(1).Add(y))
}

// impedance is that of Setting.impedance, term by term.
func (c *circuit) impedance() uncertainty.Complex {
	s := c.setting
	b := s.box
	off := b.values.off
	if s.positions == (positions{}) {
		off = b.values.zero
	}
	total := uncertainty.Complex{Re: c.part.Scale(off), Im: uncertainty.Exact(0)}
	for i := range b.spec.Decades {
		d, stray := &b.spec.Decades[i], &b.sources.dials[i].stray
		dial := uncertainty.ExactComplex(0)
		for e, w := range d.weights(s.positions.at(i)) {
			z := uncertainty.Complex{Re: c.part.Scale(b.elementValue(i, e)),
				Im: c.reactance(d.Inductance*float64(w), stray.inductance)}
			dial = dial.Add(c.withShunt(z, d.Capacitance, stray.capacitance))
		}
		dial = c.withShunt(dial, d.DialCapacitance, stray.dialCapacitance)
		if d.DialInductance > 0 {
			dial.Im = dial.Im.Add(c.reactance(d.DialInductance, stray.dialInductance))
		}
		total = total.Add(dial)
	}
	return c.withShunt(total, b.spec.Capacitance, b.sources.stray)
}

// TimeConstant returns the time constant in seconds at low frequencies,
//
//	τ = lim X/(ω·R) as ω → 0
//
// that is L/R − R·C for one resistance with one inductance in series and one capacitance across
// it: positive where inductance predominates. The phase is about ω·τ. Errors are those of
// [Setting.Impedance]; without resistance there is no time constant ([ErrDomain]).
func (s Setting) TimeConstant() (seconds float64, err error) {
	const op = "decade.Setting.TimeConstant"
	if err := s.checkAC(op); err != nil {
		return 0, err
	}
	r, x := s.lowFrequency()
	if r <= 0 {
		return 0, &Error{Op: op, Name: "resistance", Value: r,
			Err: unit.Errorf(ErrDomain, "%v Ω; expected a resistance above 0", r)}
	}
	return x / r, nil
}

// lowFrequency returns resistance and inductance of the series equivalent at ω → 0, in
// ohms and henries: a capacitance C across R takes R²·C from the inductance.
func (s *Setting) lowFrequency() (ohms, henries float64) {
	b := s.box
	ohms = b.values.off
	if s.positions == (positions{}) {
		ohms = b.values.zero
	}
	for i := range b.spec.Decades {
		d := &b.spec.Decades[i]
		r, l := 0.0, 0.0
		for e, w := range d.weights(s.positions.at(i)) {
			v := b.elementValue(i, e)
			r += v
			// Z ≈ R + jω(L − R²·C) for ω → 0: a capacitance across R acts as a negative
			// inductance.
			l += float64(d.Inductance*float64(w)) - float64(v*v*d.Capacitance)
		}
		ohms += r
		henries += l - float64(r*r*d.DialCapacitance) + d.DialInductance
	}
	return ohms, henries - float64(ohms*ohms*b.spec.Capacitance)
}

// Frequencies at which the search for a limit begins and ends, its steps, and its end.
const (
	lowestHertz    = 1e-3
	highestHertz   = 1e15
	scanRatio      = 1.02
	hertzPrecision = 1e-13 // relative, a tenth of what UpperFrequency promises
	mostHalvings   = 200   // more than a float64 has bits, so that the loop ends by itself
)

// UpperFrequency returns the frequency in hertz up to which the magnitude of the impedance
// stays within a fraction of the resistance at direct current,
//
//	| |Z|/R − 1 | ≤ fraction
//
// the first at which it leaves, to about 1e-12 of the frequency. It is the error of a box
// whose magnitude counts; a reactance that matters by its phase needs
// [Setting.UpperPhaseFrequency]. Besides the errors of [Setting.Impedance], a fraction that is
// not between 0 and 1 ([ErrDomain]) is an error, and so is one that is never reached.
func (s Setting) UpperFrequency(fraction float64) (hertz float64, err error) {
	const op = "decade.Setting.UpperFrequency"
	return s.upperFrequency(op, "fraction", fraction, 1, func(z complex128, r float64) float64 {
		return math.Abs(cmplx.Abs(z)/r - 1)
	})
}

// UpperPhaseFrequency returns the frequency in hertz up to which the phase of the impedance
// stays within ± radians; see [Setting.UpperFrequency].
func (s Setting) UpperPhaseFrequency(radians float64) (hertz float64, err error) {
	const op = "decade.Setting.UpperPhaseFrequency"
	phase := func(z complex128, _ float64) float64 { return math.Abs(cmplx.Phase(z)) }
	return s.upperFrequency(op, "radians", radians, math.Pi/2, phase)
}

// upperFrequency scans from lowestHertz in steps of 2 %, some 2,100 to highestHertz, to the first
// frequency outside, and halves the last step: 38 times, to 1e-13 of the frequency. name and most
// are those of the limit in a message.
func (s Setting) upperFrequency(op, name string, limit, most float64,
	deviation func(z complex128, r float64) float64) (float64, error) {
	if err := s.checkAC(op); err != nil {
		return 0, err
	}
	if err := numbers.Finite(op, name, limit); err != nil {
		return 0, err
	}
	if limit <= 0 || limit >= most {
		return 0, &Error{Op: op, Name: name, Value: limit,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0 and less than %.4g", limit, most)}
	}
	// The limit at direct current: the model has no other resistance at ω = 0.
	r, _ := s.lowFrequency()
	if r <= 0 {
		return 0, &Error{Op: op, Name: "resistance", Value: r,
			Err: unit.Errorf(ErrDomain, "%v Ω; expected a resistance above 0", r)}
	}
	// Negated, so that NaN of an overflow counts as outside.
	outside := func(f float64) bool { return !(deviation(s.impedance(2*math.Pi*f), r) <= limit) }
	low, high := 0.0, lowestHertz
	// A scan first: deviations of both signs may cancel, and bisection alone would pass over
	// the first exit.
	for ; !outside(high); low, high = high, high*scanRatio {
		if high > highestHertz {
			return 0, &Error{Op: op, Name: name, Value: limit,
				Err: unit.Errorf(ErrDomain, "%v is not reached up to %.0g Hz; expected a smaller "+
					"one", limit, highestHertz)}
		}
	}
	for range mostHalvings {
		middle := low + (high-low)/2
		// No float64 lies between them any more, or the digits that count are settled.
		if middle <= low || middle >= high || high-low <= hertzPrecision*high {
			break
		}
		if outside(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return low, nil
}
