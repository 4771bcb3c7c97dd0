// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"iter"
	"math"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// MaxCurrent returns the largest current in amperes, direct or RMS, that the ratings of the
// description allow at a setting, and names what limits it:
//
//	min over elements in circuit √(P/(w·r)), min over dials V/(p·r)
//
// with P the rating of an element (Decade.ElementPower), w its weight in steps of r ohms,
// and V the limit across a dial that is at p (Decade.MaxVoltage), where one is stated.
// limiting names the element, the first of several alike ("×100 Ω element 1"), or the
// voltage ("×100 kΩ voltage"). Nominal values count, on a calibrated box too.
//
// The error ([ErrNotStated]) names every dial off zero whose ElementPower is not stated.
// With all dials at zero only wiring and contacts are in circuit, of which the description
// says nothing: an error of the same kind.
//
// Caution: the rating is a limit of safety, not of accuracy: for the class, stay below about a
// third of it (common practice). Settings passed on the way to this one may allow less, see
// [Setting.Turn]. A box has no rating for mains and is not a current limiter; local codes and
// licensed practice come first.
func (s Setting) MaxCurrent() (amperes float64, limiting string, err error) {
	return s.maxCurrent("decade.Setting.MaxCurrent")
}

// maxCurrent is MaxCurrent for the operation that an error names.
func (s Setting) maxCurrent(op string) (amperes float64, limiting string, err error) {
	if err := s.checkRatings(op); err != nil {
		return 0, "", err
	}
	least := rating{current: math.Inf(1)}
	for i := range s.box.spec.Decades {
		if r := s.box.rating(i, s.positions.at(i)); r.current < least.current {
			least = r
		}
	}
	return least.current, s.box.limiting(least), nil
}

// rating is the largest current of a dial at a position, +Inf at 0.
type rating struct {
	current float64
	dial    int
	element int // that limits it; 0: the voltage
}

// rating is the largest current of a dial at a position.
func (b *Box) rating(dial, position int) rating {
	return b.spec.Decades[dial].rating(dial, position, b.spec.Decades[dial].weights(position))
}

// rating of elements of a dial that add up to so many steps.
func (d *Decade) rating(dial, steps int, elements iter.Seq2[int, int]) rating {
	out := rating{current: math.Inf(1), dial: dial}
	heaviest := 0
	for e, w := range elements {
		if w > heaviest {
			heaviest, out.element = w, e
		}
	}
	if heaviest > 0 {
		// P = I²·R (Joule's law): at one current the largest resistance takes the most power.
		out.current = math.Sqrt(d.ElementPower / float64(d.Step*float64(heaviest)))
	}
	// U = I·R (Ohm's law): the dial as a whole, where insulation and not heat limits.
	if steps > 0 && d.MaxVoltage > 0 {
		if i := d.MaxVoltage / float64(d.Step*float64(steps)); i < out.current {
			out.current, out.element = i, 0
		}
	}
	return out
}

// limiting is the text for what limits a current.
func (b *Box) limiting(r rating) string {
	if r.element == 0 {
		return b.spec.Decades[r.dial].Name + " voltage"
	}
	return b.ElementName(r.dial, r.element)
}

// weights yields the elements in circuit at a position and their weights. Unlike InCircuit
// it allocates nothing.
func (d *Decade) weights(position int) iter.Seq2[int, int] {
	return func(yield func(element, weight int) bool) {
		if d.Tapped() {
			element, low := 0, 0
			for p := 1; p <= position; p++ {
				if len(d.Missing) > 0 && !d.HasPosition(p) {
					continue
				}
				element++
				// From the tap before to its own: one step, or more where taps are missing.
				if !yield(element, p-low) {
					return
				}
				low = p
			}
			return
		}
		for _, e := range d.Code.InCircuit[position] {
			if !yield(e, d.Code.Weights[e-1]) {
				return
			}
		}
	}
}

// checkRatings names every dial off zero without a rating.
func (s *Setting) checkRatings(op string) error {
	if s.box == nil {
		return noSetting(op)
	}
	if s.positions == (positions{}) {
		return &Error{Op: op, Name: "setting",
			Err: unit.Errorf(ErrNotStated, "all dials at zero: only wiring and contacts, whose "+
				"rating is not stated; expected a dial off zero")}
	}
	return s.requireStated(op, "elementPower", "the rating of an element in watts",
		func(d *Decade) bool { return d.ElementPower > 0 })
}

// requireStated names every dial off zero for which something is not stated.
func (s *Setting) requireStated(op, field, expected string, stated func(*Decade) bool) error {
	var missing []string
	for i := range s.box.spec.Decades {
		if d := &s.box.spec.Decades[i]; s.positions.at(i) > 0 && !stated(d) {
			missing = append(missing, d.Name)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return &Error{Op: op, Name: field,
		Err: unit.Errorf(ErrNotStated, "not stated for %s; expected %s",
			strings.Join(missing, ", "), expected)}
}

// MaxVoltage returns the voltage in volts across the terminals at the largest current,
//
//	MaxCurrent·Value
//
// and what limits it, under the conditions and with the caution of [Setting.MaxCurrent].
// The insulation to the case has a limit of its own. Above about 50 V a terminal is a
// danger to life.
func (s Setting) MaxVoltage() (volts float64, limiting string, err error) {
	i, limiting, err := s.maxCurrent("decade.Setting.MaxVoltage")
	if err != nil {
		return 0, "", err
	}
	return i * s.Value(), limiting, nil
}

// MaxPower returns the power in watts of the whole box at the largest current,
//
//	MaxCurrent²·Value
//
// and what limits it, under the conditions and with the caution of [Setting.MaxCurrent]. The
// elements share it in proportion to their resistance, and the case must carry away all of it.
func (s Setting) MaxPower() (watts float64, limiting string, err error) {
	i, limiting, err := s.maxCurrent("decade.Setting.MaxPower")
	if err != nil {
		return 0, "", err
	}
	return i * i * s.Value(), limiting, nil
}
