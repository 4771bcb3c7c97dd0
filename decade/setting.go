// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Setting is one position for every dial of a box. It is small and comparable: two
// settings are equal (==) when box and positions are. The settings of two boxes are never
// equal; [Setting.On] converts.
//
// The zero Setting belongs to no box and is not valid ([Setting.IsValid]). It has no dials,
// so that its sums over dials ([Setting.Nominal], [Setting.ClassLimit], [Setting.Value],
// [Setting.Limits]) are 0, as the text of one is "no setting"; whatever else is computed from
// it is an error. Any number of goroutines may use one at once.
type Setting struct {
	box       *Box
	positions positions // 0 beyond the dials of the box
}

// IsValid reports whether s belongs to a box.
func (s Setting) IsValid() bool { return s.box != nil }

// AllZero reports whether s is the zero setting of a box: every dial at 0, the residual
// alone at the terminals.
func (s Setting) AllZero() bool { return s.box != nil && s.positions == positions{} }

// Box returns the box, nil for the zero Setting.
func (s Setting) Box() *Box { return s.box }

// Position returns the position of a dial, numbered from 0; −1 for one that does not
// exist.
func (s Setting) Position(dial int) int {
	if dial < 0 || dial >= s.box.NumDecades() {
		return -1
	}
	return s.positions.at(dial)
}

// Positions returns the positions in dial order.
func (s Setting) Positions() []int {
	return s.appendPositions(make([]int, 0, s.box.NumDecades()))
}

// appendPositions appends the positions in dial order.
func (s Setting) appendPositions(list []int) []int {
	for i := range s.box.NumDecades() {
		list = append(list, s.positions.at(i))
	}
	return list
}

// With returns the setting with one dial at another position, under the conditions of
// [Box.At].
func (s Setting) With(dial, position int) (Setting, error) {
	const op = "decade.Setting.With"
	if s.box == nil {
		return Setting{}, noSetting(op)
	}
	if err := s.box.checkPosition(op, dial, position); err != nil {
		return Setting{}, err
	}
	s.positions.set(dial, position)
	if err := s.checkSwitches(op); err != nil {
		return Setting{}, err
	}
	return s, nil
}

// On returns the same positions on another box, under the conditions of [Box.At].
func (s Setting) On(b *Box) (Setting, error) {
	if s.box == nil {
		return Setting{}, noSetting("decade.Setting.On")
	}
	var list [maxDials]int
	return b.At(s.appendPositions(list[:0])...)
}

// noSetting is the error of every method that needs a setting of a box.
func noSetting(op string) error {
	return &Error{Op: op,
		Err: unit.Errorf(ErrNoBox, "the zero Setting belongs to no box; expected one from "+
			"Box.At, ParseSetting or SettingFor")}
}

// Nominal returns the nominal value Σ position·step in ohms, correctly rounded from the
// stated decimals. It is the same in both conventions of stating a box: whether the
// residual is part of the resistance that it stands for is Spec.ResidualIncluded.
func (s Setting) Nominal() float64 { return s.value(func(t *tables) *table { return &t.nominal }) }

// value evaluates one of the tables of the box.
func (s Setting) value(of func(*tables) *table) float64 {
	if s.box == nil {
		return 0 // the sum over no dials
	}
	return of(&s.box.tables).valueAt(s.positions, len(s.box.spec.Decades))
}

// ClassLimit returns in ohms the half-width that the class allows for the deviation of
// the resistance from nominal, in the convention in which the box is stated:
//
//	Σ over dials off zero (tolerance·position·step + floor)
//	+ tolerance·nominal + floor of the whole box
//
// correctly rounded from the stated decimals. The zero setting has no class, its limit
// here is 0; see [Box.Residual].
func (s Setting) ClassLimit() float64 { return s.value(func(t *tables) *table { return &t.class }) }

// Limits returns the worst-case limits of the resistance at the terminals in ohms, each
// correctly rounded from the stated decimals. Off zero they are
//
//	nominal + residual ± (ClassLimit + residual tolerance)
//
// where the nominal value excludes the residual, and nominal ± ClassLimit where it
// includes it. At the zero setting they are residual ± its tolerance.
func (s Setting) Limits() uncertainty.Interval {
	return uncertainty.Interval{
		Lower: s.value(func(t *tables) *table { return &t.lower }),
		Upper: s.value(func(t *tables) *table { return &t.upper }),
	}
}

// Value returns the estimate of the resistance at the terminals in ohms: nominal and
// residual, or nominal alone where it includes the residual; the residual at zero. On a
// calibrated box it is the measured value.
func (s Setting) Value() float64 {
	if s.box != nil && s.box.measured != nil {
		return s.box.values.sumAt(&s)
	}
	return s.value(func(t *tables) *table { return &t.value })
}

// Contacts returns the number of closed contacts in the path of the current: one for
// each switch of a tapped dial, whatever its position, one for two ranges on one switch;
// of other dials what their [Code] says.
func (s Setting) Contacts() int {
	if s.box == nil {
		return 0
	}
	n := 0
	for i := range s.box.spec.Decades {
		n += s.contacts(i)
	}
	return n
}

// DialContacts returns the number of closed contacts of one dial, counted from 0; their sum
// over the dials is Contacts. A switch that two dials share is counted at the dial that is off
// zero, or at its first. It is 0 where there is no such dial.
func (s Setting) DialContacts(dial int) int {
	if s.box == nil || dial < 0 || dial >= len(s.box.spec.Decades) {
		return 0
	}
	return s.contacts(dial)
}

// contacts counts those of one dial. A shared switch is counted at the dial that is off
// zero, or at its first dial.
func (s *Setting) contacts(dial int) int {
	b := s.box
	d := &b.spec.Decades[dial]
	// One switch has one wiper, on whichever of its ranges is off zero.
	if s.positions.at(dial) == 0 && d.Switch != "" && (b.earlier[dial] != 0 ||
		s.switchInUse(dial)) {
		return 0
	}
	return d.Code.contacts(s.positions.at(dial))
}

// switchInUse reports whether another dial on the switch of this one is off zero.
func (s *Setting) switchInUse(dial int) bool {
	for j := range s.box.spec.Decades {
		if s.positions.at(j) != 0 && s.box.earlier[j]&(1<<dial) != 0 {
			return true
		}
	}
	return s.blocked(dial)
}
