// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// What is wrong may be the meter, or what was written down. A box cannot tell: a range that reads
// 1 % high and a dial whose elements are all 1 % high read alike where the range reads that dial
// only. So both are hypotheses, at the places that a report has for them: the range and the row.
//
// A meter inside its limits is no fault; its errors are in the covariance of the readings. A fault
// of it is what is left beyond them. With a the limit of the gain, b that of the zero in Ω, and
// the cross term of one limit for both (verify, Combination), three independent parts at their
// limits make at a value v
//
//	a·v + b + √(2·a·b·v)
//
// which over v is the gain that a sound meter may seem to have there: least for the largest value
// that was read on the range.

import "math"

// addMeterFaults considers gain and zero of each range beyond the limits of the meter. Of a
// range that reads one dial alone, or all of the box, they are not told from that dial or
// box: then they are one cause, and a known resistor on the range separates them.
func (s *search) addMeterFaults() {
	for r, x := range s.model.meter {
		// A gain of 1 moves a setting by its nominal value, a zero of 1 Ω by that.
		gain, zero, most := make([]float64, s.numSettings), make([]float64, s.numSettings), 0.0
		for k, of := range s.model.rangeOf {
			if of == r {
				gain[k], zero[k] = s.model.nominal[k], 1
				most = max(most, s.model.nominal[k])
			}
		}
		at := Place{Part: PartRange, Number: r + 1}
		if x.gain && s.affectsReading(gain) {
			// Gain, zero and cross term at their limits, over the value. u is taken off what was
			// found: it must be outside by more than the readings leave open.
			b := x.zeroLimit / most
			_, u := s.fitFactor(gain)
			s.addProportional(Fault{Kind: KindMeterGain, A: at, Name: x.name}, gain,
				func(v float64) bool {
					return math.Abs(v) < largestGain &&
						math.Abs(v)-u > x.gainLimit+b+math.Sqrt(2*x.gainLimit*b)
				})
		}
		if x.zero && s.affectsReading(zero) {
			_, u := s.fitFactor(zero)
			s.addProportional(Fault{Kind: KindMeterZero, A: at, Name: x.name}, zero,
				func(v float64) bool {
					return math.Abs(v) < largestGain*x.fullScale && math.Abs(v)-u > x.zeroLimit
				})
		}
	}
}

// largestGain is the part by which a meter may be off before it is broken rather than off: of a
// reading for the gain, of full scale for the zero.
const largestGain = 0.2

// addDiallings considers that one dialling differs from what all others say: a knob
// between two detents, a recording error, a contact that was bad this once. Dialling again
// decides. Only settings with a single dialling are asked: where there are more, the odd one was
// given a setting of its own (separateOdd), and counts as single.
func (s *search) addDiallings() {
	if s.view != nil && s.view.first.firstKind() == KindDialling {
		return // two at once are no longer one that differs
	}
	for k, row := range s.model.row {
		if row == absent || len(s.diallings[k]) != 1 {
			continue
		}
		one := make([]float64, s.numSettings)
		one[k] = 1
		// Beside another fault, a contact that no other setting uses says as much, when the reading
		// is high: dirt never reads low.
		contact := s.view != nil && s.model.ownContact[k]
		s.addProportional(Fault{
			Kind: KindDialling, A: Place{Part: PartReading, Number: row + 1},
			Name: s.model.settings[k].String(),
		}, one, func(v float64) bool { return v < 0 || !contact })
	}
}
