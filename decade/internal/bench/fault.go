// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// A fault is a kind, a place and a value; what it does to the network is in made.apply, to the
// meter in New, to the record in Read. Here is what can be said of faults without a bench:
// whether a box can have one, and which of them are one answer.
//
// Key. Readings at the terminals do not tell a drift of an element from a wrong part in its
// place, a lifted trim, a leak across it or a crack in its joint; nor a bridge to one end of a
// link from one to the other end. Whoever repairs the box goes for one place in all of these. So
// the truth of a trial and the answers of a diagnosis are compared by keys, and not by kinds:
//
//   element d.n      all that is wrong with it, open and shorted too, and a bridge of its ends
//   dial d           all of its elements together, overloaded to the last one too
//   bridge x y       any resistance between two nodes, links made one; a leak is one
//   case x           the same to the case, named by the end that is not strapped
//   series           ohms in the path, wherever they sit
//   slip d k         k positions on, all round taken as nothing

import (
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
)

// Kind is a kind of fault.
type Kind uint8

// The kinds. Value in the comments is Fault.Value.
const (
	Healthy Kind = iota

	// Of one element, A an Element.
	Drift        // Value Ω off
	WrongPart    // Value Ω in its place
	OpenElement  //
	ShortElement // shorted step
	TrimLifted   // its parallel trimming resistor is off: high by the fraction Value
	CrackedJoint // Value Ω more

	// Of many elements.
	Overloaded // elements 1 to A.Number of a dial off by the fraction Value
	DialDrift  // all elements of dial A off by the fraction Value
	BoxDrift   // all elements of the box
	Aged       // all elements off without a pattern: the fraction Value ± a third of it, evenly

	// Of contacts and wires.
	Contact     // Value Ω in contact A, a Position of a ladder or an Element of a code
	OpenContact //
	Series      // Value Ω in series: A a Link, a Wiper or a Terminal
	OpenPath    // the same, open
	Overlap     // the wiper at Position A touches the tap below too
	Slip        // the knob of dial A sits Value positions off; Number of B says what is at the end
	Taps        // the wires of Positions A and B of a ladder are exchanged
	Exchanged   // elements A and B are exchanged

	// Resistance Value Ω between two nodes, A and B.
	BridgeInDial  // both of one dial
	BridgeDials   // of two dials
	LeakTerminals // the terminals
	LeakCase      // A to the case, which is strapped to a terminal (Options.Strapped)
	LeakDial      // across all of dial A

	numNetworkKinds // those above change the network

	// Of the meter, A.Number the index of a range.
	MeterGain // off by the fraction Value
	MeterZero // off by Value Ω

	// Of the record.
	OneSlip // Value Ω more in the first dialling of Position A alone
	numKinds
)

// They are the bench's own: a test that compares texts compares nothing.
var kindNames = map[Kind]string{
	Healthy: "healthy", Drift: "drifted element", WrongPart: "wrong part",
	OpenElement: "open element", ShortElement: "shorted step",
	TrimLifted: "lifted trim", CrackedJoint: "cracked joint", Overloaded: "overloaded elements",
	DialDrift: "whole dial off", BoxDrift: "whole box off",
	Aged: "aged throughout", Contact: "dirty contact", OpenContact: "open contact",
	Series: "series resistance", OpenPath: "open path",
	Overlap: "wiper overlap", Slip: "slipped knob", Taps: "exchanged taps",
	Exchanged: "exchanged elements", BridgeInDial: "bridge in a dial",
	BridgeDials: "bridge of two dials", LeakTerminals: "leak across terminals",
	LeakCase: "leak to the case", LeakDial: "leak across a dial",
	MeterGain: "meter gain", MeterZero: "meter zero", OneSlip: "one dialling off",
}

// String returns the kind in words.
func (k Kind) String() string {
	if s, ok := kindNames[k]; ok {
		return s
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

// Part is a part of a box or a meter.
type Part uint8

// The parts, with the Number of their Place.
const (
	NoPart   Part = iota
	Element       // of a dial, from 1
	Tap           // of a dial, from 0; of a code the nodes between its elements
	Wiper         // of a dial
	Position      // of a dial
	Dial          // all of it
	Link          // 0: before the first switch, then between switches, after the last
	Terminal      // 1 or 2
	Range         // of the meter, index
)

// Place is where a fault is. The zero Place is none.
type Place struct {
	Part   Part
	Dial   int // from 0
	Number int
}

// What happens to a slipped knob beyond the last position, as Number of Fault.B.
const (
	SlipStops = iota // it stops: the last position once more
	SlipTurns        // the switch turns all round
	SlipOpens        // there is no contact
)

// Fault is one thing wrong with a bench.
type Fault struct {
	Kind  Kind
	A, B  Place
	Value float64 // see Kind
	// Fresh: Value is another at each dialling, between 0.4 and 1.6 of it, evenly.
	Fresh bool
}

// String describes the fault. For lists of what went wrong, with the numbers of dials and not
// their names.
func (f Fault) String() string {
	var s strings.Builder
	s.WriteString(f.Kind.String())
	for _, p := range []Place{f.A, f.B} {
		switch p.Part {
		case NoPart:
		case Link, Terminal, Range:
			fmt.Fprintf(&s, ", %s %d", partNames[p.Part], p.Number)
		case Wiper, Dial:
			fmt.Fprintf(&s, ", %s %d", partNames[p.Part], p.Dial)
		default:
			fmt.Fprintf(&s, ", dial %d %s %d", p.Dial, partNames[p.Part], p.Number)
		}
	}
	if f.Value != 0 {
		fmt.Fprintf(&s, ": %.4g", f.Value)
	}
	if f.Fresh {
		s.WriteString(", new each time")
	}
	return s.String()
}

// In the order of the parts.
var partNames = [...]string{"", "element", "tap", "wiper", "position", "dial", "link", "terminal",
	"range"}

// Key names what one who repairs the box would go for: it is equal for faults that no reading at
// the terminals separates by their place (a drift, a wrong part, a lifted trim, a short or a
// break of one element; a bridge of two taps that an element joins; any resistance in series).
// Two faults have both keys, sorted, so that which one is named first does not matter. For
// example a drift of element 4 of the second dial beside 2 Ω in a lead: "element 1.4 & series".
func Key(b *decade.Box, faults []Fault) string {
	c := newCircuit(b)
	keys := make([]string, 0, len(faults))
	for _, f := range faults {
		if f.Kind != Healthy {
			keys = append(keys, c.key(f))
		}
	}
	if len(keys) == 0 {
		return "healthy"
	}
	slices.Sort(keys)
	return strings.Join(keys, " & ")
}

// key is the same text for faults that no reading can tell apart, such as the two orders of
// exchanged elements. A list of cases: each brings the places that are one answer to one form.
func (c *circuit) key(f Fault) string {
	switch f.Kind {
	case Drift, WrongPart, OpenElement, ShortElement, TrimLifted, CrackedJoint:
		return elementKey(f.A.Dial, f.A.Number)
	case Overloaded:
		switch f.A.Number {
		case 1:
			return elementKey(f.A.Dial, 1)
		// Overloaded to the first element is that element, to the last the dial.
		case c.first[f.A.Dial+1] - c.first[f.A.Dial]:
			return fmt.Sprint("dial ", f.A.Dial)
		}
		return fmt.Sprint("elements to ", f.A.Dial, ".", f.A.Number)
	case DialDrift:
		return fmt.Sprint("dial ", f.A.Dial)
	case Contact, OpenContact:
		p := f.A
		// Position 0 of a shared switch is one contact.
		if p.Part == Position && p.Number == 0 {
			p.Dial = c.switches[c.of[p.Dial]].dials[0]
		}
		return fmt.Sprint(f.Kind, " ", p.Part, " ", p.Dial, ".", p.Number)
	case Series:
		return "series"
	case Slip:
		// Once round is nowhere: one position on is all but one back.
		s := &c.switches[c.of[f.A.Dial]]
		n := 1
		for _, d := range s.dials {
			n += c.spec.Decades[d].Positions
		}
		return fmt.Sprint("slip ", s.dials[0], " ", (int(f.Value)%n+n)%n)
	case Taps, Exchanged:
		a, b := f.A, f.B
		if a.Dial > b.Dial || a.Dial == b.Dial && a.Number > b.Number {
			a, b = b, a
		}
		return fmt.Sprint(f.Kind, " ", a.Dial, ".", a.Number, " ", b.Dial, ".", b.Number)
	case BridgeInDial, BridgeDials, LeakTerminals, LeakDial:
		return c.bridgeKey(c.ends(f))
	case LeakCase:
		same := c.joined()
		a := same[c.nodeOf(f.A)]
		if a == same[terminal1] || a == same[terminal2] { // the case is strapped to the other one
			return c.bridgeKey(terminal1, terminal2)
		}
		return fmt.Sprint("case ", a)
	case OneSlip, Overlap:
		return fmt.Sprint(f.Kind, " ", f.A.Dial, ".", f.A.Number)
	case MeterGain, MeterZero:
		return fmt.Sprint(f.Kind, " ", f.A.Number)
	}
	return f.Kind.String() // of the whole box or path
}

func elementKey(dial, number int) string { return fmt.Sprint("element ", dial, ".", number) }

// x and y are nodes.
func (c *circuit) bridgeKey(x, y int) string {
	same := c.joined()
	x, y = same[x], same[y]
	for _, e := range c.elements {
		if a, b := same[e.a], same[e.b]; a == x && b == y || a == y && b == x {
			return elementKey(e.dial, e.number)
		}
	}
	return fmt.Sprint("bridge ", min(x, y), " ", max(x, y))
}

// joined gives the lowest of the nodes that links join with a node. The union of sets by
// relabelling costs nodes × links, a hundred times ten.
func (c *circuit) joined() []int {
	same := make([]int, c.nodes)
	for i := range same {
		same[i] = i
	}
	for _, l := range c.links() {
		keep, drop := min(same[l[0]], same[l[1]]), max(same[l[0]], same[l[1]])
		for i, r := range same {
			if r == drop {
				same[i] = keep
			}
		}
	}
	return same
}

// ends are the nodes of a bridge; −1 where there is none. A touch is a bridge as any other.
func (c *circuit) ends(f Fault) (a, b int) {
	switch f.Kind {
	case LeakTerminals:
		return terminal1, terminal2
	case LeakCase:
		return c.nodeOf(f.A), caseNode
	case LeakDial:
		if f.A.Dial < 0 || f.A.Dial >= len(c.of) {
			return -1, -1
		}
		s := &c.switches[c.of[f.A.Dial]]
		taps := s.taps[slices.Index(s.dials, f.A.Dial)]
		return taps[0], taps[len(taps)-1]
	}
	return c.nodeOf(f.A), c.nodeOf(f.B)
}

// nodeOf finds the node of a tap, a wiper or a terminal; −1 where there is none. The wiper of a
// code is none, and a missing position of a ladder has no tap (noTap is −1, too).
func (c *circuit) nodeOf(p Place) int {
	if p.Part == Terminal && p.Number >= 1 && p.Number <= 2 {
		return terminal1 + p.Number - 1
	}
	if p.Part != Tap && p.Part != Wiper || p.Dial < 0 || p.Dial >= len(c.of) {
		return -1
	}
	s := &c.switches[c.of[p.Dial]]
	if p.Part == Wiper {
		if s.code {
			return -1
		}
		return s.wiper
	}
	taps := s.taps[slices.Index(s.dials, p.Dial)]
	if p.Number < 0 || p.Number >= len(taps) {
		return -1
	}
	return taps[p.Number]
}

// check returns what is wrong with a fault of this box and of a meter with so many ranges; nil:
// nothing.
func (c *circuit) check(f Fault, ranges int) error {
	switch {
	case f.Kind >= numKinds || f.Kind == numNetworkKinds:
		return fmt.Errorf("bench: fault %v: no such kind", f)
	case !c.has(f, ranges):
		return fmt.Errorf("bench: fault %v: no such place, or not of this kind; expected one that "+
			"the box has", f)
	}
	return nil
}

// has reports whether the place of a fault exists and is one that its kind can be at. A list of
// cases, one for each group of kinds that share a sort of place.
func (c *circuit) has(f Fault, ranges int) bool {
	switch f.Kind {
	case Drift, WrongPart, OpenElement, ShortElement, TrimLifted, CrackedJoint, Overloaded:
		return c.hasElement(f.A)
	case DialDrift, LeakDial:
		return c.hasDial(f.A)
	case Slip:
		return c.hasDial(f.A) && f.Value == float64(int(f.Value)) &&
			f.B.Number >= SlipStops && f.B.Number <= SlipOpens
	case Contact, OpenContact:
		return c.hasContact(f.A)
	case Series, OpenPath:
		return c.inPath(f.A)
	case Overlap:
		return c.hasTap(f.A) && f.A.Number > 0
	case Taps:
		return c.hasTap(f.A) && c.hasTap(f.B) && f.A.Dial == f.B.Dial
	case Exchanged:
		return c.hasElement(f.A) && c.hasElement(f.B) && f.A != f.B
	case BridgeInDial, BridgeDials, LeakTerminals, LeakCase:
		a, b := c.ends(f)
		return min(a, b) >= 0
	case MeterGain, MeterZero:
		return f.A.Part == Range && f.A.Number >= 0 && f.A.Number < ranges
	case OneSlip:
		return c.hasPosition(f.A)
	}
	return true // of the whole box, or none
}

func (c *circuit) hasElement(p Place) bool {
	return p.Part == Element && c.element(p.Dial, p.Number) >= 0
}

func (c *circuit) hasDial(p Place) bool {
	return p.Part == Dial && p.Dial >= 0 && p.Dial < len(c.of)
}

// hasPosition reports whether a dial has a position that can be dialled.
func (c *circuit) hasPosition(p Place) bool {
	return p.Part == Position && p.Dial >= 0 && p.Dial < len(c.of) && p.Number >= 0 &&
		p.Number <= c.spec.Decades[p.Dial].Positions &&
		!slices.Contains(c.spec.Decades[p.Dial].Missing, p.Number)
}

// hasTap reports whether a position is one of a ladder, whose wiper stands on a tap there.
func (c *circuit) hasTap(p Place) bool {
	return c.hasPosition(p) && !c.switches[c.of[p.Dial]].code
}

// hasContact reports whether there is a contact of its own: beside an element of a code, or at
// a position of a ladder and of a code whose contacts short runs of elements.
func (c *circuit) hasContact(p Place) bool {
	if c.hasElement(p) {
		s := &c.switches[c.of[p.Dial]]
		return s.code && !s.runs
	}
	return c.hasTap(p) || c.hasPosition(p) && c.switches[c.of[p.Dial]].runs
}

// inPath reports whether a place is in series with everything: a link, a terminal or a wiper.
func (c *circuit) inPath(p Place) bool {
	if p.Part == Link {
		return p.Number >= 0 && p.Number <= len(c.switches)
	}
	return p.Part != Tap && c.nodeOf(p) >= 0
}
