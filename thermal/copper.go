// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

// CopperAlpha20 is the temperature coefficient of resistance in 1/K at 20 °C of
// annealed copper of 100 % conductivity (IACS), between points fixed to the
// wire: NBS Handbook 100, section 1; IEC 60228, annex B.
const CopperAlpha20 = 0.00393

// CopperConductor returns the law of annealed copper wire, α = 0.00393 /K at
// 20 °C, straight.
//
// Copper has several temperature coefficients, all of them right in their place:
//
//   - by what is held fixed: the resistance between points fixed to the wire
//     (0.00393 /K, the one of this package), the volume resistivity, which has
//     the expansion added, and the mass resistivity, which has it subtracted
//     twice. Package material converts between the three.
//   - by reference temperature: 0.00427 /K at 0 °C is 0.00393 /K at 20 °C, see
//     [Law.Rebase].
//   - by rule: α = 0.00393 at 20 °C leads to no resistance at −234.453 °C. Rules of
//     the trade round that to −234.5 °C, see [CopperConductorByZero]; the
//     coefficients differ by 2 parts in 10 000.
//   - by conductivity: proportional to it, see [CopperOfConductivity].
//   - in thermometers: 0.00428 or 0.00427 /K at 0 °C, see [Copper].
func CopperConductor() Law { return NewLaw(20, CopperAlpha20, 0) }

// CopperConductorByZero returns the law of copper wire by the rule of motor and
// transformer practice,
//
//	R(t)/R(ref) = (234.5 + t)/(234.5 + ref)
//
// (IEC 60228, annex B, and NBS Handbook 100).
func CopperConductorByZero(reference float64) Law { return LawFromZero(reference, -234.5) }

// CopperOfConductivity returns the law at 20 °C of copper of the given conductivity
// as a fraction of the annealed standard, 0.975 for usual hard-drawn wire:
//
//	α(20 °C) = 0.00393 × conductivity
//
// and so α(t) = 1/(1/α(20 °C) + t − 20) after [Law.Rebase]: NBS Circular 31,
// Table II. The domain is 0.8 to 1.1: the rule is for commercial copper, not for
// alloys.
func CopperOfConductivity(conductivity float64) (Law, error) {
	const op = "thermal.CopperOfConductivity"
	if err := checkNumber(op, "conductivity", conductivity); err != nil {
		return Law{}, err
	}
	const least, most = 0.8, 1.1 // below are alloys, of which the rule does not hold
	if conductivity < least || conductivity > most {
		return Law{}, domainError(op, "conductivity", conductivity,
			"expected a fraction from 0.8 to 1.1 of the annealed standard")
	}
	// Impurities add a resistance that does not depend on temperature (Matthiessen's rule): the
	// slope stays, and the coefficient falls with the conductivity.
	return NewLaw(20, CopperAlpha20*conductivity, 0), nil
}
