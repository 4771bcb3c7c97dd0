// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Where no fault of the list explains the readings, what they have in common is all there is to
// go by. It is stated in one sentence, of facts and without a cause:
//
//	"1 of 22 is outside its limits, 7-0 low"
//	"9 of 22 are outside their limits, all high; all with ×10 Ω off zero"
//	"12 of 60 are outside their limits, some high and some low; all on range 10 kΩ of the meter"
//	"each is inside its limits, but they contradict each other; 0-4 did not read the same twice"

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
)

// outsideAt is how many standard uncertainties of a reading beyond the class it is outside. A sound
// box at the very limit reads farther out once in 740 times.
const outsideAt = 3

// outside are the observations that are off by more than the class of their elements and the
// meter explain. Limits and uncertainty add: the class is a limit that holds, the meter has no
// such one.
func (s *search) outside() []int {
	var out []int
	residual := s.model.classLimit[s.numParts-1]
	for i, o := range s.evidence.observations {
		// The reading is at the terminals, so the residual adds its own limit.
		limit := s.model.settings[o.setting].ClassLimit() + residual
		u := math.Sqrt(s.evidence.covariance.At(i, i))
		if math.Abs(s.byDialling.deviation[i]) > limit+outsideAt*u {
			out = append(out, i)
		}
	}
	return out
}

// inCommon says what the readings have in common that no fault explains: how many are off, to
// which side, what was dialled in all of them, and what did not read the same twice. It is
// what one goes by where no cause is known.
func (s *search) inCommon() string {
	out := s.outside()
	n := len(s.evidence.observations)
	var words []string // facts, most general first
	switch {
	// Each by itself may be sound: the sum of two dials reads otherwise than both alone.
	case len(out) == 0:
		words = append(words, "each is inside its limits, but they contradict each other")
	case len(out) == n:
		words = append(words, "all are outside their limits"+s.side(out))
	case len(out) == 1:
		// Its setting says more than what it has in common with itself.
		x := s.model.settings[s.evidence.observations[out[0]].setting]
		side := strings.TrimPrefix(s.side(out), ", all")
		words = append(words, fmt.Sprintf("1 of %d is outside its limits, %v%s", n, x, side))
	default:
		side := s.side(out)
		words = append(words, fmt.Sprintf("%d of %d are outside their limits%s", len(out), n, side))
	}
	// Only where some are outside and some are not is there something that marks them.
	if dial := s.dialledInAll(out); dial != "" && len(out) > 1 && len(out) < n {
		words = append(words, dial)
	}
	if name := s.rangeOfAll(out); name != "" && len(out) > 1 && len(out) < n {
		words = append(words, "all on range "+name+" of the meter")
	}
	if x, ok := s.unlike(); ok {
		words = append(words, x.String()+" did not read the same twice")
	}
	// They have no value that could be outside.
	if k := len(s.evidence.overloads); k > 0 {
		words = append(words, wording.Plural(k, "reading")+" above range")
	}
	return strings.Join(words, "; ")
}

// side says to which side these observations, at least one, are off: ", all high", ", all low" or
// ", some high and some low".
func (s *search) side(rows []int) string {
	high := 0
	for _, i := range rows {
		// Outside its limits none of them is 0.
		if s.byDialling.deviation[i] > 0 {
			high++
		}
	}
	switch high {
	case 0:
		return ", all low"
	case len(rows):
		return ", all high"
	}
	return ", some high and some low"
}

// dialledInAll names the dial that is off zero in all of these observations, with its position
// where that is one; empty where none is. A dial of which as much is true in all the others sets
// these apart from nothing and is passed over: a box read with its top dial at 1 throughout.
func (s *search) dialledInAll(rows []int) string {
	// The dials come from the first to the last; one name is enough to look there.
	for d, dec := range s.model.layout.decades {
		position := func(i int) int {
			return s.model.settings[s.evidence.observations[i].setting].Position(d)
		}
		var at []int
		for _, i := range rows {
			if p := position(i); !slices.Contains(at, p) {
				at = append(at, p)
			}
		}
		// A dial at zero in one of them has nothing in circuit there, and is not the cause.
		if len(at) == 0 || slices.Contains(at, 0) {
			continue
		}
		// The same of every reading, by the words that would be said of these.
		alike := true
		for i := range s.evidence.observations {
			p := position(i)
			alike = alike && p != 0 && (len(at) > 1 || p == at[0])
		}
		if alike {
			continue
		}
		if len(at) == 1 {
			return fmt.Sprintf("all with %s at position %d", dec.Name, at[0])
		}
		return fmt.Sprintf("all with %s off zero", dec.Name)
	}
	return ""
}

// rangeOfAll names the range of the meter that all of these observations were read on, where
// others were read on another; else it is empty. What is wrong with a range beside its gain and its
// zero, which are faults of the list, shows like that.
func (s *search) rangeOfAll(rows []int) string {
	if len(rows) == 0 || len(s.model.meter) == 0 {
		return ""
	}
	// absent for a range that is not of the meter.
	of := func(i int) int { return s.model.rangeOf[s.evidence.observations[i].setting] }
	first := of(rows[0])
	if first < 0 || slices.ContainsFunc(rows, func(i int) bool { return of(i) != first }) {
		return ""
	}
	// A range on which all of them were read is no mark of these.
	for i := range s.evidence.observations {
		if of(i) != first {
			return s.model.meter[first].name
		}
	}
	return ""
}

// unlike finds a setting of which two diallings differ by more than they are uncertain by. Settings
// are compared and not their indices: an odd dialling has an index of its own (separateOdd), and a
// setting that was read on two ranges has two.
func (s *search) unlike() (decade.Setting, bool) {
	for i, a := range s.evidence.observations {
		for j, b := range s.evidence.observations[:i] {
			x := s.model.settings[a.setting]
			if x != s.model.settings[b.setting] {
				continue
			}
			c := s.evidence.covariance
			// GUM 5.2.2 of a difference.
			v := c.At(i, i) + c.At(j, j) - 2*c.At(i, j)
			if d := a.ohms - b.ohms; d*d > differsBy*differsBy*max(v, 0) {
				return x, true
			}
		}
	}
	return decade.Setting{}, false
}
