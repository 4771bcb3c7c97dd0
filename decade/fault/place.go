// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"fmt"
	"strconv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// Part is a part of a box.
type Part uint8

const (
	NoPart    Part = iota // of a fault that has no such place
	Element               // of a dial, numbered from 1 as in decade.Code
	Tap                   // node of a dial: 0 to the number of elements; of a ladder tap p is position p
	Wiper                 // of a dial
	Position              // of a dial
	WholeDial             // all of a dial
	Link                  // numbered from 0: before the first dial, between dials, after the last
	Terminal              // 1 or 2
	WholeBox              // all of it
)

// A Place is a part of a box.
type Place struct {
	Part   Part
	Dial   int // from 0, where the part belongs to one
	Number int // as the Part counts; 0 where it is all of something
}

// In describes the place in the words of the box: "element 4 of ×100".
func (p Place) In(b *decade.Box) string {
	dial := fmt.Sprintf("dial %d", p.Dial)
	if d := b.Decades(); p.Dial >= 0 && p.Dial < len(d) {
		dial = d[p.Dial].Name
	}
	switch p.Part {
	case Element:
		return fmt.Sprintf("element %d of %s", p.Number, dial)
	case Tap:
		return fmt.Sprintf("tap %d of %s", p.Number, dial)
	case Wiper:
		return "wiper of " + dial
	case Position:
		return fmt.Sprintf("position %d of %s", p.Number, dial)
	case WholeDial:
		return dial
	case Link:
		return fmt.Sprintf("link %d", p.Number)
	case Terminal:
		return fmt.Sprintf("terminal %d", p.Number)
	case WholeBox:
		return "the whole box"
	}
	return "no part"
}

// A Fault is one thing wrong with a box.
type Fault struct {
	Kind  Kind
	A, B  Place   // B: the other end of a bridge, the other tap or element, the last element
	Value float64 // see Kind; 0 where the kind has none
	// Wraps is for a Slip: beyond its last contact the switch turns all round to the
	// first. Where it does not, there is no contact.
	Wraps bool
	// Scatter is the standard deviation of Value from dialling to dialling, in Ω, for
	// contacts, series resistance and unsteady elements.
	Scatter float64
}

// In describes the fault in the words of the box: "bridge between dials, tap 4 of ×100
// and tap 6 of ×10: 120 Ω".
func (f Fault) In(b *decade.Box) string {
	if f.Kind == Healthy {
		return "healthy"
	}
	s := f.Kind.String()
	if at := f.at(b); at != "" {
		s += ", " + at
	}
	if v := f.value(); v != "" {
		s += ": " + v
	}
	return s
}

// at names the places of the fault, where they are less than all of the box.
func (f Fault) at(b *decade.Box) string {
	switch {
	case f.A.Part == NoPart || f.A.Part == WholeBox:
		return ""
	case f.Kind == Overloaded:
		return fmt.Sprintf("elements %d to %d of %s", f.A.Number, f.B.Number, Place{WholeDial, f.A.Dial, 0}.In(b))
	case f.B.Part != NoPart:
		return f.A.In(b) + " and " + f.B.In(b)
	}
	return f.A.In(b)
}

// valueUnit is the unit of Value; empty where there is none.
func (k Kind) valueUnit() string {
	switch k {
	case Drift, WrongPart, Unsteady, Series, Contact, ElementLeak, DialLeak, TerminalLeak, Bridge, DialBridge, CaseLeak:
		return "Ω"
	case Overloaded, DialDrift, BoxDrift, Aged:
		return "1"
	}
	return ""
}

func (f Fault) value() string {
	switch f.Kind.valueUnit() {
	case "Ω":
		return ohms(f.Value)
	case "1":
		return fmt.Sprintf("%+.3g %%", 100*f.Value)
	}
	if f.Kind == Slip && f.Wraps {
		return fmt.Sprintf("by %+d, turning all round", int(f.Value))
	}
	if f.Kind == Slip {
		return fmt.Sprintf("by %+d", int(f.Value))
	}
	return ""
}

// ohms prints a resistance with three digits.
func ohms(v float64) string {
	if r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64); err == nil {
		v = r
	}
	return unit.Format(v, unit.Ohm)
}
