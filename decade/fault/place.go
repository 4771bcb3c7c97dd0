// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A place is where a fault is, in the words that a diagram and the inside of the box share: an
// element by its number from tap 0, a tap by its position. A dial has its index from 0 in Go and
// from 1 in files and for people; elements, ranges and rows count from 1 everywhere, positions,
// taps and links from 0, as the scale and the path have them.
//
// Which kinds have which places is in placeRules; which of them the circuit has is in layout.

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// Part is a part of a box. Any number of goroutines may use one at once.
type Part uint8

const (
	PartNone     Part = iota // of a fault that has no such place
	PartElement              // of a dial, numbered from 1 as in decade.Code
	PartTap                  // node of a dial, from 0; of a ladder tap p is position p
	PartWiper                // of a dial
	PartPosition             // of a dial
	PartDial                 // all of a dial
	PartLink                 // from 0: before the first dial, between dials, after the last
	PartTerminal             // 1 or 2
	PartBox                  // all of it
	PartRange                // of the meter, numbered from 1 in its order
	PartReading              // a row of the report, numbered from 1
)

// In the order of the constants. Files have these texts.
var partNames = file.Words[Part]{Type: "fault.Part", Texts: []string{
	"none", "element", "tap", "wiper", "position", "dial", "link", "terminal", "box", "range",
	"reading",
}}

// String returns the part in words: "element".
func (p Part) String() string { return partNames.String(p) }

// MarshalText returns the text of String.
func (p Part) MarshalText() ([]byte, error) { return partNames.Marshal(p) }

// UnmarshalText reads what MarshalText writes.
func (p *Part) UnmarshalText(text []byte) error { return partNames.Unmarshal(text, p) }

// A Place is where a fault is: a part of a box, of the meter or of the readings. Any number of
// goroutines may read one at once.
//
// Taps of a ladder have the numbers of their positions, and there is none at a missing position;
// those of a code have the numbers of the elements before them.
type Place struct {
	Part   Part
	Dial   int // from 0, where the part belongs to one
	Number int // as the Part counts; 0 where it is all of something
}

// In describes the place in the words of the box: "element 4 of ×100". Places that the box does
// not have are named all the same, by the numbers they come with: a message about them needs a
// name.
func (p Place) In(b *decade.Box) string {
	dial := fmt.Sprintf("dial %d", p.Dial)
	if d := b.Decades(); p.Dial >= 0 && p.Dial < len(d) {
		dial = d[p.Dial].Name
		// A dial is called by its step in most boxes, "×100", which needs no noun before it.
		if !strings.HasPrefix(dial, "×") {
			dial = "dial " + dial
		}
	}
	switch p.Part {
	case PartElement:
		return fmt.Sprintf("element %d of %s", p.Number, dial)
	case PartTap:
		return fmt.Sprintf("tap %d of %s", p.Number, dial)
	case PartWiper:
		return "wiper of " + dial
	case PartPosition:
		return fmt.Sprintf("position %d of %s", p.Number, dial)
	case PartDial:
		return dial
	case PartLink:
		return fmt.Sprintf("link %d", p.Number)
	case PartTerminal:
		return fmt.Sprintf("terminal %d", p.Number)
	case PartBox:
		return "the whole box"
	case PartRange:
		return fmt.Sprintf("range %d of the meter", p.Number)
	case PartReading:
		return fmt.Sprintf("row %d of the readings", p.Number)
	}
	return "no part"
}

// A Fault is one thing wrong with a box. Any number of goroutines may read one at once.
type Fault struct {
	Kind  Kind    // never KindHealthy in an answer: a healthy box has no faults
	A, B  Place   // B: the other end of a bridge, the other tap or element, the last element
	Value float64 // see Kind; 0 where the kind has none
	// Name is that of what is not part of the box: the range of the meter, or the setting
	// that was dialled.
	Name string
	// Uncertainty is the standard uncertainty of a Value that was fitted to readings, in
	// its unit; 0: not fitted.
	Uncertainty float64
	// Wraps and Stops are for KindSlip: beyond its last contact the switch turns all round to
	// the first, or stops there, not both. Where it does neither, there is no contact.
	Wraps, Stops bool
	// Scatter is the standard deviation of Value from dialling to dialling, in Ω, for
	// contacts, series resistance and unsteady elements.
	Scatter float64
}

// In describes the fault in the words of the box: "bridge between dials, tap 4 of ×100 and tap 6
// of ×10: 120 Ω". It is for lists and messages; the sentence of a cause says more.
func (f Fault) In(b *decade.Box) string {
	if f.Kind == KindHealthy {
		return "healthy"
	}
	s := f.Kind.String()
	if at := f.placesText(b); at != "" {
		s += ", " + at
	}
	if v := f.valueText(); v != "" {
		s += ": " + v
	}
	return s
}

// placesText names the places of the fault, where they are less than all of the box.
func (f Fault) placesText(b *decade.Box) string {
	switch {
	case f.A.Part == PartNone || f.A.Part == PartBox:
		return ""
	// Where the report is at hand, range and setting have their names; a Fault read from a file
	// may have lost them.
	case f.A.Part == PartRange && f.Name != "":
		return fmt.Sprintf("range %s of the meter", f.Name)
	case f.A.Part == PartReading && f.Name != "":
		return fmt.Sprintf("setting %s, %s", f.Name, f.A.In(b))
	case f.Kind == KindOverloaded:
		return fmt.Sprintf("elements %d to %d of %s", f.A.Number, f.B.Number,
			Place{PartDial, f.A.Dial, 0}.In(b))
	case f.B.Part != PartNone:
		return f.A.In(b) + " and " + f.B.In(b)
	}
	return f.A.In(b)
}

// valueUnit is the unit of Value; empty where there is none. It decides as well whether a value
// is fitted at all (fitted), and how wide its prior is (freedomPenalty).
func (k Kind) valueUnit() string {
	switch k {
	case KindDrift, KindWrongPart, KindUnsteady, KindSeries, KindContact, KindElementLeak,
		KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge, KindCaseLeak, KindMeterZero,
		KindDialling:
		return "Ω"
	case KindOverloaded, KindDialDrift, KindBoxDrift, KindAged, KindMeterGain:
		return "1"
	}
	return ""
}

// valueText prints the value: a fraction in per cent with its sign, ohms without an uncertainty; a
// kind without a value has no text.
func (f Fault) valueText() string {
	// The value of what scatters is a mean that no single dialling need show.
	if f.Scatter > 0 {
		return fmt.Sprintf("differing by %s from dialling to dialling, %s in the mean",
			ohms(f.Scatter), ohms(f.Value))
	}
	switch f.Kind.valueUnit() {
	case "Ω":
		return ohms(f.Value)
	case "1":
		return fmt.Sprintf("%+.3g %%", 100*f.Value)
	}
	if f.Kind == KindSlip && f.Wraps {
		return fmt.Sprintf("by %+d, turning all round", int(f.Value))
	}
	if f.Kind == KindSlip && f.Stops {
		return fmt.Sprintf("by %+d, stopping at the end", int(f.Value))
	}
	if f.Kind == KindSlip {
		return fmt.Sprintf("by %+d", int(f.Value))
	}
	return ""
}

// ohms prints a resistance with three digits: what causes differ by is far more, and a value with
// its uncertainty goes through amount.
func ohms(v float64) string {
	if r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64); err == nil {
		v = r
	}
	return unit.Format(v, unit.Ohm)
}
