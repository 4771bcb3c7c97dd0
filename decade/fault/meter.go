// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

// addMeterFaults considers gain and zero of each range beyond the limits of the meter. Of a
// range that reads one dial alone, or all of the box, they are not told from that dial or
// box: then they are one cause, and a known resistor on the range separates them.
func (s *search) addMeterFaults() {
	for r, x := range s.model.meter {
		gain, zero, most := make([]float64, s.numSettings), make([]float64, s.numSettings), 0.0
		for k, of := range s.model.rangeOf {
			if of == r {
				gain[k], zero[k] = s.model.nominal[k], 1
				most = max(most, s.model.nominal[k])
			}
		}
		at := Place{Part: PartRange, Number: r + 1}
		if x.gain && s.affectsReading(gain) {
			// Gain and zero may add up to more than the limit, where they are independent.
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

// largestGain is the part by which a meter may be off before it is broken rather than off.
const largestGain = 0.2

// addDiallings considers that one dialling differs from what all others say: a knob
// between two detents, a writing error, a contact that was bad this once. To dial again
// decides.
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
		// Beside another fault, a contact that no other setting uses says as much.
		contact := s.view != nil && s.model.ownContact[k]
		s.addProportional(Fault{
			Kind: KindDialling, A: Place{Part: PartReading, Number: row + 1},
			Name: s.model.settings[k].String(),
		}, one, func(v float64) bool { return v < 0 || !contact })
	}
}
