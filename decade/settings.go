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
		for row, more := b.Zero(), true; more; row, more = row.nextCombination(last) {
			// The last dial has a loop of its own, which does nearly all of the work. All
			// of this is short enough for the compiler to put the body of the caller's
			// loop in the place of yield; then a setting costs no call.
			s := row
			for p := s.runLength(last); p >= 0; p-- {
				if !yield(s) {
					return
				}
				s.positions.low += step.low
				s.positions.high += step.high
			}
		}
	}
}

// runLength counts the positions that follow that of a dial without one missing.
func (s Setting) runLength(dial int) int {
	at, end := s.positions.at(dial), s.highest(dial)
	for _, missing := range s.box.spec.Decades[dial].Missing {
		// The run ends before the first missing position; nextCombination goes on
		// behind it.
		if missing > at && missing <= end {
			end = missing - 1
		}
	}
	return end - at
}

// nextPosition is the position that follows one of a dial; false after the highest.
func (s Setting) nextPosition(dial, position int) (int, bool) {
	end := s.highest(dial)
	for p := position + 1; p <= end; p++ {
		if d := &s.box.spec.Decades[dial]; len(d.Missing) == 0 || d.HasPosition(p) {
			return p, true
		}
	}
	return 0, false
}

// highest is the highest position of a dial beside the dials before it.
func (s Setting) highest(dial int) int {
	if s.box.earlier[dial] != 0 && s.blocked(dial) {
		return 0
	}
	return s.box.spec.Decades[dial].Positions
}

// nextCombination is the step of an odometer: the last wheel that can goes on, those behind it go
// to zero (mixed-radix generation, D. E. Knuth, The Art of Computer Programming, 7.2.1.1, from
// memory). It returns the next combination of the dials before the last; false after all. The last
// dial is then at zero, or behind its next missing position before the others move.
func (s Setting) nextCombination(last int) (Setting, bool) {
	at := s.positions.at(last)
	if p, more := s.nextPosition(last, at+s.runLength(last)); more {
		s.positions.set(last, p)
		return s, true
	}
	s.positions.set(last, 0)
	for i := last - 1; i >= 0; i-- {
		if p, more := s.nextPosition(i, s.positions.at(i)); more {
			s.positions.set(i, p)
			return s, true
		}
		s.positions.set(i, 0)
	}
	return s, false
}
