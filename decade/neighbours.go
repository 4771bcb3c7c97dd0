// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"errors"
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Next returns the setting with the next higher nominal value; among several with that value it
// is the one with the highest dials. It returns an error at the largest value ([ErrNoSetting]),
// for the zero Setting, and where dials of odd steps leave too many combinations to look at
// ([ErrSearch]).
func (s Setting) Next() (Setting, error) { return s.neighbour("decade.Setting.Next", above) }

// Previous returns the setting with the next lower nominal value, like [Setting.Next].
func (s Setting) Previous() (Setting, error) {
	return s.neighbour("decade.Setting.Previous", below)
}

// neighbour finds the next nominal value on one side.
func (s Setting) neighbour(op string, on side) (Setting, error) {
	if s.box == nil {
		return Setting{}, noSetting(op)
	}
	f := s.box.search
	// A quarter of the unit lies between two values, so that the setting itself is not the
	// answer.
	target := wideOf(1) // a quarter of the unit above or below
	if on == below {
		target = wideOf(-1)
	}
	for k := range f.n {
		target = target.plus(f.ladder.value[k][s.positions.at(f.dial[k])])
	}
	best, ok, done := f.ladder.first(target, on)
	switch {
	case !done:
		return Setting{}, unfinished(context.Background(), op, s.box)
	case !ok:
		return Setting{}, &Error{Op: op, Name: "setting", Value: s.Nominal(),
			Err: unit.Errorf(ErrNoSetting, "%s is the last on that side; expected a setting with "+
				"another beyond it", textOf(s))}
	}
	return Setting{s.box, best.positions}, nil
}

// Resolution returns in ohms the smallest change of the nominal value from this setting to
// another, up or down. Where decades share a switch it is not everywhere the same. It returns an
// error under the conditions of [Setting.Next], except at the lowest and the highest value.
func (s Setting) Resolution() (float64, error) {
	smallest := math.Inf(1)
	for _, side := range []side{above, below} {
		n, err := s.neighbour("decade.Setting.Resolution", side)
		switch {
		case err == nil:
			smallest = min(smallest, math.Abs(n.Nominal()-s.Nominal()))
		// At an end of the values there is a neighbour on one side only (VIM 4.14, resolution).
		case !errors.Is(err, ErrNoSetting):
			return 0, err
		}
	}
	return smallest, nil
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
			Err: unit.Errorf(ErrNoBox, "%v is a setting of another box; expected one of the same "+
				"(see Setting.On)", to)})
	}
	return to.Resistance().Sub(s.Resistance())
}
