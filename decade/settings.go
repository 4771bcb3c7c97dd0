// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import "iter"

// Settings yields every setting of the box in the order of an odometer: dials in dial
// order, the last one turning fastest, from all at zero. Settings with two ranges of one
// switch off zero do not exist and are left out. The sequence can be used again; nothing
// is allocated for a setting.
func (b *Box) Settings() iter.Seq[Setting] {
	return func(yield func(Setting) bool) {
		if b.none() {
			return
		}
		last := b.NumDecades() - 1
		step := positions{}.with(last, 1)
		for row, more := b.Zero(), true; more; row, more = row.carry(last) {
			// The last dial has a loop of its own, which does nearly all of the work. All
			// of this is short enough for the compiler to put the body of the caller's
			// loop in the place of yield; then a setting costs no call.
			s := row
			for p := s.highest(last); p >= 0; p-- {
				if !yield(s) {
					return
				}
				s.positions.low += step.low
				s.positions.high += step.high
			}
		}
	}
}

// highest is the highest position of a dial beside the dials before it.
func (s Setting) highest(dial int) int {
	if s.box.earlier[dial] != 0 && s.blocked(dial) {
		return 0
	}
	return s.box.spec.Decades[dial].Positions
}

// carry returns the next combination of the dials before one; false after the last. The
// dials from there on are at zero.
func (s Setting) carry(dial int) (Setting, bool) {
	for i := dial - 1; i >= 0; i-- {
		if s.positions.at(i) < s.highest(i) {
			s.positions.set(i, s.positions.at(i)+1)
			return s, true
		}
		s.positions.set(i, 0)
	}
	return s, false
}
