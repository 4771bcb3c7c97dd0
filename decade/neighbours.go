// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Next returns the setting with the next higher nominal value; of several with that value
// the one with the highest dials. It is false at the largest value, and for the zero
// Setting.
func (s Setting) Next() (Setting, bool) { return s.beside(above) }

// Previous returns the setting with the next lower nominal value, like [Setting.Next].
func (s Setting) Previous() (Setting, bool) { return s.beside(below) }

func (s Setting) beside(on side) (Setting, bool) {
	if s.box == nil {
		return Setting{}, false
	}
	f := &s.box.search
	total := int64(0) // in quarters of the unit
	for k := range f.n {
		total += f.step[k] * int64(s.positions.at(f.dial[k]))
	}
	if on == above {
		total++
	} else {
		total--
	}
	next, ok := s.box.nearest(total, on)
	if !ok {
		return Setting{}, false
	}
	return next, true
}

// Resolution returns in ohms the smallest change of the nominal value from this setting to
// another, up or down. Where decades share a switch it is not everywhere the same. It is 0
// for the zero Setting.
func (s Setting) Resolution() float64 {
	smallest := 0.0
	for _, neighbour := range []func() (Setting, bool){s.Next, s.Previous} {
		if n, ok := neighbour(); ok {
			if d := max(n.Nominal()-s.Nominal(), s.Nominal()-n.Nominal()); smallest == 0 || d < smallest {
				smallest = d
			}
		}
	}
	return smallest
}

// ChangeTo returns by how many ohms the resistance changes from this setting to another of
// the same box. What both have in common, such as residual and elements in circuit at both,
// drops out of the uncertainty; the contact of a dial that moves does not.
func (s Setting) ChangeTo(to Setting) uncertainty.Quantity {
	const op = "decade.Setting.ChangeTo"
	if s.box == nil || to.box == nil {
		return uncertainty.Fail(noSetting(op))
	}
	if s.box != to.box {
		return uncertainty.Fail(&Error{Op: op, Name: "to",
			Err: unit.Errorf(ErrNoBox, "%v is a setting of another box; expected one of the same (see Setting.On)", to)})
	}
	return to.Resistance().Sub(s.Resistance())
}
