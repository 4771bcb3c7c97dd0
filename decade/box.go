// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Box is a decade box: it finds settings and answers what is asked of them. It is made from a
// [Spec], which is checked; the quantities of the description are made once, so that the
// settings of a box share their sources of error. It is immutable and safe for concurrent use.
type Box struct {
	spec        Spec
	tables      tables
	earlier     [maxDials]uint16 // dials before this one on the same switch, as bits
	search      *search
	ladder      *ladder // of values that the integers of the finder do not hold, else nil
	finder      *finder // of the values below
	values      values
	sources     sources
	measured    *measured    // of a calibrated box, else nil
	deviations  *deviations  // of the same from nominal
	calibration *Calibration // where they come from
	reference   float64
	hasLaw      bool
	hasRef      bool
}

// New checks a description and returns the box. The error names the first field that
// makes no sense, its value and what was expected.
func New(s Spec) (*Box, error) { return build("decade.New", s) }

// build is New for the operation that an error names. The order matters: the tables and searches
// rely on a description that has passed its checks, and the sources on the values.
func build(op string, s Spec) (*Box, error) {
	s = s.clone()
	if err := s.checkSpec(op); err != nil {
		return nil, err
	}
	b := &Box{spec: s}
	if err := b.setReference(op); err != nil {
		return nil, err
	}
	for i, d := range s.Decades {
		// Decades of one switch are told by their label; an empty label is a switch of its own.
		for j := range i {
			if d.Switch != "" && s.Decades[j].Switch == d.Switch {
				b.earlier[i] |= 1 << j
			}
		}
	}
	b.tables = s.tables()
	b.search = newSearch(&b.spec)
	b.values = b.spec.nominalValues()
	b.setSearch()
	b.sources = newSources(b)
	return b, nil
}

// none reports whether there is no box: nil, or the zero Box, which has no dials.
func (b *Box) none() bool { return b == nil || len(b.spec.Decades) == 0 }

// Name returns the name of the description.
func (b *Box) Name() string {
	if b.none() {
		return ""
	}
	return b.spec.Name
}

// Serial returns the serial number of the description.
func (b *Box) Serial() string {
	if b.none() {
		return ""
	}
	return b.spec.Serial
}

// Spec returns a copy of the description, with names and positions that were left out
// filled in.
func (b *Box) Spec() Spec {
	if b.none() {
		return Spec{}
	}
	return b.spec.clone()
}

// Decades returns a copy of the decades in dial order, with names and positions that
// were left out filled in.
func (b *Box) Decades() []Decade { return b.Spec().Decades }

// NumDecades returns the number of dials.
func (b *Box) NumDecades() int {
	if b.none() {
		return 0
	}
	return len(b.spec.Decades)
}

// At returns the setting with these positions, one for each dial in order. It returns an error
// where their number differs, a position does not exist ([ErrPosition]), or two decades of one
// switch are off zero ([ErrSharedDials]).
func (b *Box) At(positions ...int) (Setting, error) {
	const op = "decade.Box.At"
	if b.none() {
		return Setting{}, noBox(op)
	}
	s := Setting{box: b}
	if len(positions) != b.NumDecades() {
		return Setting{}, &Error{Op: op, Name: "positions", Value: float64(len(positions)),
			Err: unit.Errorf(ErrPosition, "%s; expected %d, one for each dial",
				unit.Counted(len(positions), "position", "positions"), b.NumDecades())}
	}
	for i, p := range positions {
		if err := b.checkPosition(op, i, p); err != nil {
			return Setting{}, err
		}
		s.positions.set(i, p)
	}
	// Last: whether two ranges are off zero shows when all dials are known.
	if err := s.checkSwitches(op); err != nil {
		return Setting{}, err
	}
	return s, nil
}

// noBox is the error of every method that needs a box and has none.
func noBox(op string) error {
	return &Error{Op: op,
		Err: unit.Errorf(ErrNoBox, "the box is nil or empty; expected one made by New or ReadBox")}
}

// checkPosition refuses a dial that the box does not have and a position that its switch lacks.
func (b *Box) checkPosition(op string, dial, position int) error {
	if dial < 0 || dial >= b.NumDecades() {
		return &Error{Op: op, Name: "dial", Value: float64(dial),
			Err: unit.Errorf(ErrPosition, "dial %d; expected 0 to %d", dial, b.NumDecades()-1)}
	}
	d := &b.spec.Decades[dial]
	if !d.HasPosition(position) {
		return &Error{Op: op, Name: "dial " + d.Name, Value: float64(position),
			Err: unit.Errorf(ErrPosition, "position %d; expected %s", position, d.positionsText())}
	}
	return nil
}

// checkSwitches refuses two ranges of one switch off zero: a knob stands at one place. The message
// names both.
func (s Setting) checkSwitches(op string) error {
	for i := range s.box.NumDecades() {
		if s.positions.at(i) != 0 && s.blocked(i) {
			d, other := s.box.spec.Decades, s.otherOffZero(i)
			return &Error{Op: op, Name: "dial " + d[i].Name, Value: float64(s.positions.at(i)),
				Err: unit.Errorf(ErrSharedDials,
					"position %d while %s is at %d, both on switch %q; expected at most one of "+
						"them off zero",
					s.positions.at(i), d[other].Name, s.positions.at(other), d[i].Switch)}
		}
	}
	return nil
}

// blocked reports whether a dial before this one on its switch is off zero.
func (s *Setting) blocked(dial int) bool { return s.otherOffZero(dial) >= 0 }

// otherOffZero returns the dial before this one on its switch that is off zero, else −1.
func (s *Setting) otherOffZero(dial int) int {
	mask := s.box.earlier[dial]
	// Without a shared switch, which is the rule, the loop has nothing to do.
	for j := 0; mask != 0; j, mask = j+1, mask>>1 {
		if mask&1 != 0 && s.positions.at(j) != 0 {
			return j
		}
	}
	return -1
}

// Zero returns the setting with all dials at zero; of a nil box the zero Setting.
func (b *Box) Zero() Setting {
	if b.none() {
		return Setting{}
	}
	return Setting{box: b}
}

// Residual returns the limits of the resistance with all dials at zero in ohms: residual
// ± its tolerance.
func (b *Box) Residual() uncertainty.Interval { return b.Zero().Limits() }

// Max returns the setting with all dials at their highest position. It does not exist
// where decades share a switch ([ErrSharedDials]).
func (b *Box) Max() (Setting, error) {
	const op = "decade.Box.Max"
	if b.none() {
		return Setting{}, noBox(op)
	}
	// Ranges of one switch are refused and not left out: which of them is meant is not said.
	s := Setting{box: b}
	for i, d := range b.spec.Decades {
		s.positions.set(i, d.Positions)
	}
	if err := s.checkSwitches(op); err != nil {
		return Setting{}, err
	}
	return s, nil
}

// NumSettings returns the number of settings that [Box.Settings] yields; where it exceeds
// the range of uint64 it stays at the largest.
func (b *Box) NumSettings() uint64 {
	if b.none() {
		return 0
	}
	total := uint64(1)
	for i := range b.spec.Decades {
		if b.earlier[i] != 0 {
			continue // counted with the first dial of the switch
		}
		// Dials of one switch add their positions and share the zero; switches multiply.
		n := uint64(1 + b.spec.Decades[i].Positions - len(b.spec.Decades[i].Missing))
		for j := i + 1; j < b.NumDecades(); j++ {
			if b.earlier[j]&(1<<i) != 0 {
				n += uint64(b.spec.Decades[j].Positions - len(b.spec.Decades[j].Missing))
			}
		}
		// Sixteen dials of 255 positions pass 2⁶⁴: the product is compared before it wraps.
		if total > math.MaxUint64/n {
			return math.MaxUint64
		}
		total *= n
	}
	return total
}
