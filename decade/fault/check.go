// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The faults of three sources are looked at here: those of a caller (Predict, NewSpecimen), those
// that stand in a file, and those that a fit proposes. For the first two the error is read by a
// person, who wants to know what was given and what is expected; of a fit it says only that no
// box is like that (search.impossible, change.apply).
//
// The order is kind, numbers, places, value, and each may rely on those before it: a rule for
// places asks for the places of its kind, the value of a drift is compared with the element at
// the place. What faults before it have done counts for the value and not for the places: a box
// with an open element still has the element.

import (
	"math"

	"example.com/ohmwright/decade"
)

// checkOfBox refuses what is wrong elsewhere: with the meter, a dialling, or nothing known. A
// caller of Predict asks what a box reads, and there is none of these. A kind that is no kind is
// left to checkFault, which says so.
func checkOfBox(op string, f Fault) error {
	if f.Kind < numKinds && f.Kind > KindHealthy && !f.Kind.ofBox() {
		return refuse(op, f.Kind.String(), nil, ErrDomain, "%v; expected a fault of the box",
			f.Kind)
	}
	return nil
}

// checkFault refuses a fault that the box cannot have, beside those that the change has already.
// The error names the kind and has the op of the caller.
func (c *change) checkFault(op string, f Fault) error {
	if f.Kind == KindHealthy || f.Kind >= numKinds {
		return refuse(op, "fault", float64(f.Kind), ErrDomain, "%v; expected a kind of fault",
			f.Kind)
	}
	// Also of kinds without a value: a number that means nothing is passed over, NaN is an
	// accident.
	for _, v := range []float64{f.Value, f.Scatter} {
		if !finite(v) {
			return refuse(op, f.Kind.String(), v, ErrNotFinite, "%v; expected a finite number", v)
		}
	}
	if f.Scatter < 0 {
		return refuse(op, f.Kind.String()+": scatter", f.Scatter, ErrDomain,
			"%v Ω; expected 0 or more", f.Scatter)
	}
	if err := c.checkPlaces(op, f); err != nil {
		return err
	}
	return c.checkValue(op, f)
}

// placeRule says which places a kind of fault can have, in words for the error and as a test. The
// words follow "expected" in the message. B is asked only where the kind has a second place.
type placeRule struct {
	expected string
	holds    func(c *change, f Fault) bool
}

// The rules that several kinds share.
var (
	oneElement = placeRule{"an element of the box",
		func(c *change, f Fault) bool { return c.isElement(f.A) }}
	oneDial = placeRule{"a dial of the box",
		func(c *change, f Fault) bool { return f.A.Part == PartDial && c.isDial(f.A) }}
	// More than two ranges on a switch: nobody states in which order its contacts lie, so that
	// what the wiper reaches beyond a range is not known.
	oneKnob = placeRule{"a dial of the box, of a switch with one range or two",
		func(c *change, f Fault) bool {
			if !oneDial.holds(c, f) {
				return false
			}
			u, _ := c.layout.sectionOf(f.A.Dial)
			return len(u.dials) <= 2
		}}
	// Anywhere in the path of the current: ohms there read alike.
	inPath = placeRule{"a wiper, dial, link or terminal of the box, or all of it",
		func(c *change, f Fault) bool { return c.isPath(f.A) }}
	// Ladders have a contact at each position. Those of a code are named by their elements, or
	// where the description counts fewer of them than elements, by the positions at which they are
	// closed.
	oneContact = placeRule{"a position of a dial, or an element that a switch of its own puts in",
		func(c *change, f Fault) bool {
			return c.isPosition(f.A) || c.isElement(f.A) && !c.layout.decades[f.A.Dial].Tapped()
		}}
	// The box does not know how many ranges the meter has, or how many rows the report.
	oneRange = placeRule{"a range of the meter",
		func(_ *change, f Fault) bool { return f.A.Part == PartRange && f.A.Number > 0 }}
	// By node and not by name: tap 0 of two ranges on one switch is one place.
	twoNodes = placeRule{"two different places of the box that can touch",
		func(c *change, f Fault) bool {
			a, b := c.layout.nodeAt(f.A), c.layout.nodeAt(f.B)
			return a != absent && b != absent && a != b
		}}
)

// placeRules has the rule of each kind. The kinds without one, of the whole box, of its terminals
// or of nothing known, have their place by what they are. A run of elements is stated from its
// first to its last, an exchange either way round.
var placeRules = [numKinds]placeRule{
	KindDrift: oneElement, KindWrongPart: oneElement, KindShorted: oneElement,
	KindOpenElement: oneElement, KindUnsteady: oneElement, KindElementLeak: oneElement,
	KindDialDrift: oneDial, KindDialLeak: oneDial, KindSlip: oneKnob,
	KindSeries: inPath, KindOpenPath: inPath,
	KindContact: oneContact, KindOpenContact: oneContact,
	KindMeterGain: oneRange, KindMeterZero: oneRange,
	KindBridge: twoNodes, KindDialBridge: twoNodes, KindCaseLeak: twoNodes,
	KindOverloaded: {"the first and the last element of a run in one dial",
		func(c *change, f Fault) bool {
			return c.isElement(f.A) && c.isElement(f.B) && f.A.Dial == f.B.Dial &&
				f.A.Number <= f.B.Number
		}},
	KindElementsExchanged: {"two elements of the box",
		func(c *change, f Fault) bool {
			return c.isElement(f.A) && c.isElement(f.B) && f.A != f.B
		}},
	KindOverlap: {"a position above 0 of a dial whose wiper runs over taps",
		func(c *change, f Fault) bool { return c.isTapped(f.A) && f.A.Number > 0 }},
	KindTapsExchanged: {"two positions of one dial whose wiper runs over taps",
		func(c *change, f Fault) bool {
			return c.isTapped(f.A) && c.isTapped(f.B) && f.A.Dial == f.B.Dial && f.A != f.B
		}},
	KindDialling: {"a row of the readings",
		func(_ *change, f Fault) bool { return f.A.Part == PartReading && f.A.Number > 0 }},
}

// checkPlaces refuses a fault at a place that its kind cannot have in this box.
func (c *change) checkPlaces(op string, f Fault) error {
	if rule := placeRules[f.Kind]; rule.holds != nil && !rule.holds(c, f) {
		return refuse(op, f.Kind.String(), f.places(c.layout.box), ErrPlace, "%s; expected %s",
			f.places(c.layout.box), rule.expected)
	}
	return nil
}

// places says where a refused fault was to be: "at element 4 of ×100", "at tap 4 of ×100 and tap 6
// of ×10", "nowhere".
func (f Fault) places(b *decade.Box) string {
	switch {
	case f.A.Part == PartNone && f.B.Part == PartNone:
		return "nowhere"
	case f.B.Part == PartNone:
		return "at " + f.A.In(b)
	case f.A.Part == PartNone:
		return "at " + f.B.In(b) + " as the second place, without a first"
	}
	return "at " + f.A.In(b) + " and " + f.B.In(b)
}

// exists reports whether the box has a place, whatever may be wrong there: for places that stand in
// a file without a kind. Of what is not part of the box, ranges and readings, only the count from 1
// can be looked at here.
func (c *change) exists(p Place) bool {
	switch p.Part {
	case PartElement:
		return c.isElement(p)
	case PartTap:
		return c.layout.nodeAt(p) != absent
	case PartPosition:
		return c.isPosition(p)
	case PartRange, PartReading:
		return p.Number > 0
	}
	return p.Part == PartNone || c.isPath(p)
}

// isDial reports whether the dial of a place exists; what part it is does not matter.
func (c *change) isDial(p Place) bool { return p.Dial >= 0 && p.Dial < len(c.layout.decades) }
func (c *change) isElement(p Place) bool {
	return p.Part == PartElement && c.layout.elementAt(p.Dial, p.Number) != absent
}
func (c *change) isPosition(p Place) bool {
	return p.Part == PartPosition && c.isDial(p) && c.layout.decades[p.Dial].HasPosition(p.Number)
}

// isTapped reports whether a place is a position of a ladder, which has a tap of its own.
func (c *change) isTapped(p Place) bool {
	return c.isPosition(p) && c.layout.decades[p.Dial].Tapped()
}

// isPath reports whether all current between the terminals flows through a place, or through a part
// of it: a dial counts as its wiper, and with a code as the link before it (linkOf).
func (c *change) isPath(p Place) bool {
	switch p.Part {
	case PartBox:
		return true
	case PartTerminal:
		return p.Number == 1 || p.Number == 2
	case PartLink:
		return p.Number >= 0 && p.Number < len(c.links)
	case PartWiper, PartDial:
		return c.isDial(p)
	}
	return false
}

// checkValue refuses a value, in Ω or as a fraction, that a fault of its kind cannot have beside
// the faults before it. The places of the fault exist. Kinds that are not named here take any
// finite value, as a zero of the meter, or have none. It is asked for fitted values as well, which
// may be NaN: comparisons are such that this is refused.
func (c *change) checkValue(op string, f Fault) error {
	refuse := func(expected string) error {
		return refuse(op, f.Kind.String(), f.Value, ErrDomain, "%v; expected %s", f.Value, expected)
	}
	switch f.Kind {
	case KindDrift, KindUnsteady:
		// What earlier faults left of it counts.
		if r := c.ohms[c.layout.elementAt(f.A.Dial, f.A.Number)]; !(r+f.Value > 0) {
			return refuse("more than minus the element, in ohms")
		}
	case KindWrongPart:
		if !(f.Value > 0) {
			return refuse("more than 0 Ω") // a part of 0 Ω is a short, which is a kind
		}
	case KindContact, KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge,
		KindCaseLeak:
		// 0 Ω is a touch, of a contact a good one.
		if !(f.Value >= 0) {
			return refuse("0 Ω or more")
		}
	case KindSeries:
		// Less than stated is a finding, less than nothing is none: with what faults before it put
		// into the same link.
		if !(c.layout.contact+c.links[c.linkOf(f.A)]+f.Value > 0) {
			return refuse("0 Ω or more")
		}
	case KindOverloaded, KindDialDrift, KindBoxDrift, KindAged, KindMeterGain:
		// Less 100 % all of it is shorted.
		if !(f.Value > -1) {
			return refuse("a fraction above -1")
		}
	case KindSlip:
		return f.checkSlip(op)
	}
	return nil
}

// mostPositions is the last position of the longest dial.
const mostPositions = 255

// checkSlip refuses a knob that sits where no knob can. A knob that is no position off is in its
// place; one that is more off than any dial has positions is a number that somebody mistook, and
// beyond the integers what becomes of a float64 is left to each processor by the language.
func (f Fault) checkSlip(op string) error {
	v := f.Value
	if v == 0 || v != math.Trunc(v) || !(math.Abs(v) <= mostPositions) {
		return refuse(op, f.Kind.String(), v, ErrDomain,
			"%v; expected a whole number of positions, 1 to %d either way", v, mostPositions)
	}
	// The network would take the one and the sentence say the other.
	if f.Wraps && f.Stops {
		return refuse(op, f.Kind.String()+", beyond the last contact", "turns round and stops",
			ErrDomain, "the switch turns all round and stops; expected one of these or neither")
	}
	return nil
}
