// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A fault is a change of the network of the box, or of what stands behind it. Each kind changes
// one thing, and the edges of a setting are made from all of them anew (appendEdges):
//
//	elements   their ohms: drift, wrong part, unsteady, open, overloaded, dial drift, exchange
//	bridges    an edge more: shorts, leaks, bridges
//	links      ohms in series: series resistance, open path
//	contacts   the edge from a wiper to its tap, or beside elements of a code: bad, open, overlap
//	positions  which tap that edge leads to: slips, exchanged tap wires
//	gain       a factor on the resistance of the network: box drift, aged
//	outside    after the terminals: gain and zero of the meter, one dialling
//
// Faults are applied in the order that they are stated in, each to what those before it left. The
// order matters where one multiplies and the other adds: a drift of 50 Ω counts as 50.5 Ω before
// one of its dial by 1 %, and as 50 Ω after it.
//
// Nothing is ever 0 Ω or 0 S: a short is shortOhms, and what is open is no edge. So the solver
// has positive numbers only (network.go).

import (
	"math"
	"slices"

	"example.com/ohmwright/decade"
)

// change is what faults do to the circuit of a box. It does not depend on the setting. Solving only
// reads it, applying changes it: one that is shared, as the healthy one of a search, is not applied
// to.
type change struct {
	layout    *layout
	ohms      []float64       // of the elements, as adjusted (inPlace); +Inf: open
	bridges   []edge          // beside the edges of the sound box
	contacts  []contactChange // several at one contact add up
	links     []float64       // Ω more in each link; +Inf: open
	positions map[int][]tap   // by dial and position: where its wiper is; none: as dialled
	gain      float64         // 1 of a sound box
	outside   []Fault         // of the meter and of diallings
}

// tap is a tap of one of the dials of a section, or none, between contacts. which counts the dials
// of the section, number the positions of the dial.
type tap struct {
	which, number int
	none          bool
}

// contactChange is resistance in a contact. Of a ladder: at a position. Of a code: in the
// contact of an element, or in all contacts at a position.
type contactChange struct {
	at      Place
	ohms    float64 // +Inf: open
	overlap bool    // the tap below is touched too
}

// atPosition reports whether the change is in the contact of a dial at a position. Of a code that
// is every contact closed there.
func (x *contactChange) atPosition(dial, position int) bool {
	return x.at == Place{PartPosition, dial, position}
}

// shorts reports whether the change is in the contact that shorts a run of elements. One over
// several elements is that of each of them.
func (x *contactChange) shorts(dial int, run elementRun) bool {
	return x.at.Part == PartElement && x.at.Dial == dial && x.at.Number >= run.from &&
		x.at.Number <= run.to
}

// shortOhms is the resistance of a bridge or short of 0 Ω: a hundredth of the smallest contact
// (smallestContact), and below what any meter of such boxes resolves. The solver would take less as
// well; its relative error does not grow with the ratio of the conductances.
const shortOhms = 1e-6

// unchanged is the sound box with every element at nominal value. It costs the elements of the box,
// far less than a solution.
func (l *layout) unchanged() *change {
	c := &change{layout: l, ohms: make([]float64, len(l.elements)),
		links: make([]float64, len(l.links)), gain: 1}
	for i := range l.elements {
		c.ohms[i] = l.inPlace(i)
	}
	return c
}

// apply adds a fault to those that the change has already. A place that does not exist, or a
// value that makes no sense beside those, is an error with the op of the caller, and changes
// nothing. Where the caller is Diagnose itself the error says that the box cannot have the fault.
func (c *change) apply(op string, f Fault) error {
	if err := c.checkFault(op, f); err != nil {
		return err
	}
	// Seven kinds are an edge between two nodes and differ in the nodes only.
	if a, b, ok := c.layout.bridgedNodes(f); ok {
		ohms := f.Value
		if f.Kind == KindShorted {
			ohms = 0 // the kind has no value
		}
		// A short is a bridge of next to nothing: at 0 Ω its conductance would not be finite.
		c.bridges = append(c.bridges, edge{a, b, 1 / max(shortOhms, ohms)})
		return nil
	}
	switch f.Kind {
	case KindBoxDrift, KindAged:
		// The residual drifts along, as it would by the gain of a meter: the two are one class.
		c.gain *= 1 + f.Value
	case KindSeries:
		c.links[c.linkOf(f.A)] += f.Value
	case KindOpenPath:
		c.links[c.linkOf(f.A)] = math.Inf(1)
	case KindContact, KindOpenContact, KindOverlap:
		c.contacts = append(c.contacts, contactOf(f))
	case KindSlip, KindTapsExchanged:
		c.moveTaps(f)
	case KindMeterGain, KindMeterZero, KindDialling:
		// The current does not know of the meter: its errors come after the network is solved.
		c.outside = append(c.outside, f)
	default:
		c.changeElements(f)
	}
	return nil
}

// changeElements applies a fault of the elements themselves; those of other kinds change none. An
// element that is open stays open whatever is added to it or multiplies it.
func (c *change) changeElements(f Fault) {
	l := c.layout
	// absent for the kinds that are not about one element.
	at := l.elementAt(f.A.Dial, f.A.Number)
	switch f.Kind {
	case KindDrift, KindUnsteady:
		c.ohms[at] += f.Value
	case KindWrongPart:
		c.ohms[at] = f.Value
	case KindOpenElement:
		// Infinite ohms are no edge at all, so that the solver never sees a tiny conductance.
		c.ohms[at] = math.Inf(1)
	case KindOverloaded:
		for j := f.A.Number; j <= f.B.Number; j++ {
			c.ohms[l.elementAt(f.A.Dial, j)] *= 1 + f.Value
		}
	case KindDialDrift:
		for i := l.firstElement[f.A.Dial]; i < l.firstElement[f.A.Dial+1]; i++ {
			c.ohms[i] *= 1 + f.Value
		}
	case KindElementsExchanged:
		// What was wrong with either goes along with it.
		b := l.elementAt(f.B.Dial, f.B.Number)
		c.ohms[at], c.ohms[b] = c.ohms[b], c.ohms[at]
	}
}

// bridgedNodes returns the two nodes that a fault joins; ok is false where it is no bridge. The
// fault was checked: its places exist.
func (l *layout) bridgedNodes(f Fault) (a, b int, ok bool) {
	switch f.Kind {
	case KindShorted, KindElementLeak:
		e := l.elements[l.elementAt(f.A.Dial, f.A.Number)]
		return e.from, e.to, true
	case KindDialLeak:
		// From tap 0 to the last one, whichever of them the wiper stands on.
		u, w := l.sectionOf(f.A.Dial)
		return u.taps[w][0], u.taps[w][len(u.taps[w])-1], true
	case KindTerminalLeak:
		return len(l.nodes) - 2, len(l.nodes) - 1, true
	// The case is the terminal that it is strapped to: a leak to it has that as its other end.
	case KindBridge, KindDialBridge, KindCaseLeak:
		return l.nodeAt(f.A), l.nodeAt(f.B), true
	}
	return absent, absent, false
}

// contactOf is the change of a contact by a fault. An overlap leaves the contact itself good.
func contactOf(f Fault) contactChange {
	out := contactChange{at: f.A, ohms: f.Value, overlap: f.Kind == KindOverlap}
	switch f.Kind {
	case KindOpenContact:
		out.ohms = math.Inf(1)
	case KindOverlap:
		out.ohms = 0
	}
	return out
}

// linkOf is the link that series resistance at a place stands in: that place itself, or the link
// beside a terminal or on the wiper's side of a dial. Link i leads to section i, the one after the
// last to terminal 2. The place was checked.
func (c *change) linkOf(p Place) int {
	switch p.Part {
	case PartTerminal:
		// The first link leads to terminal 1, the last one to terminal 2.
		return (p.Number - 1) * (len(c.links) - 1)
	case PartWiper, PartDial:
		for i, u := range c.layout.sections {
			if slices.Contains(u.dials, p.Dial) {
				// Of a code, which has no wiper, either side does: the link before it.
				if u.wiper == u.out {
					return i + 1
				}
				return i
			}
		}
	// Ohms anywhere in the path read the same, so that the first link stands for all of it.
	case PartBox:
		return 0
	}
	return p.Number
}

// moveTaps changes which tap a wiper stands on. A dial of ten taps whose knob is two positions on
// stands, at 3, on tap 5; at 9 beyond its last contact: on no tap, on tap 10 where it stops, on
// tap 0 where it turns round, since tap 0 follows tap 10.
func (c *change) moveTaps(f Fault) {
	if f.Kind == KindTapsExchanged {
		// Wires are exchanged behind the positions: what was moved before moves along.
		a, b := c.tapAt(f.A), c.tapAt(f.B)
		*a, *b = *b, *a
		return
	}
	// The positions of a switch in order of turning: the taps of its second range down
	// to the common zero, then up those of the first.
	u, _ := c.layout.sectionOf(f.A.Dial)
	high, low := c.layout.decades[u.dials[0]].Positions, 0
	if len(u.dials) == 2 {
		low = -c.layout.decades[u.dials[1]].Positions
	}
	for _, d := range u.dials {
		m := c.tapMap(d)
		for p, to := range m {
			// From where the wiper stands with the faults before: exchanged wires stay exchanged,
			// and the answer does not depend on which of two faults is stated first.
			if to.none {
				continue
			}
			at := to.number
			if to.which == 1 {
				at = -at
			}
			m[p] = slippedTap(at+int(f.Value), low, high, f)
			if to := m[p]; !to.none && !c.layout.decades[u.dials[to.which]].HasPosition(to.number) {
				m[p] = tap{none: true} // a mark of the scale without a contact
			}
		}
	}
}

// tapAt is where the wiper stands at a position. Two ranges of a switch have position 0 in
// common, which belongs to the first of them.
func (c *change) tapAt(p Place) *tap {
	u, _ := c.layout.sectionOf(p.Dial)
	if p.Number == 0 {
		return &c.tapMap(u.dials[0])[0]
	}
	return &c.tapMap(p.Dial)[p.Number]
}

// slippedTap is the tap, from low to high in order of turning, that a wiper comes to. Below 0 are
// the taps of the second range.
func slippedTap(at, low, high int, f Fault) tap {
	switch n := high - low + 1; {
	case f.Wraps:
		// The remainder of a negative number is negative in Go; the switch turns on all the same.
		at = low + ((at-low)%n+n)%n
	case f.Stops:
		// The detent holds the wiper at its last contact while the knob goes on.
		at = max(low, min(high, at))
	}
	switch {
	case at < low || at > high:
		return tap{none: true}
	case at < 0:
		return tap{which: 1, number: -at}
	}
	return tap{number: at}
}

// tapMap is where the wiper of a dial stands at each position; made, as the dial says, when the
// first fault moves it.
func (c *change) tapMap(dial int) []tap {
	if c.positions == nil {
		c.positions = make(map[int][]tap)
	}
	if m := c.positions[dial]; m != nil {
		return m
	}
	// Missing positions have an entry, too: positions are indices.
	_, which := c.layout.sectionOf(dial)
	m := make([]tap, c.layout.decades[dial].Positions+1)
	for i := range m {
		m[i] = tap{which: which, number: i}
	}
	c.positions[dial] = m
	return m
}

// appendEdges appends the resistors of the circuit at a setting. All elements are there at every
// setting, those beyond the wiper of a ladder as an open end, since a bridge may lead back from
// there. Between two nodes there may be several edges; the solver adds them up.
func (c *change) appendEdges(dst []edge, s decade.Setting) []edge {
	l := c.layout
	for i, e := range l.elements {
		// 1/+Inf is 0, and no edge.
		if g := 1 / c.ohms[i]; g > 0 {
			dst = append(dst, edge{e.from, e.to, g})
		}
	}
	for i, e := range l.links {
		if x := c.links[i]; x != 0 {
			// What is added is in series with the good link, whose conductance is part of e.
			e.siemens = 1 / (l.contact + x)
		}
		dst = append(dst, e)
	}
	for i := range l.sections {
		if u := &l.sections[i]; u.wiper != absent {
			dst = c.appendWiper(dst, u, s)
		} else {
			dst = c.appendShorts(dst, u, s)
		}
	}
	return append(dst, c.bridges...)
}

// appendWiper appends the contact of a ladder at a setting. A fault of the contact is looked up at
// the position that the scale shows; the edge leads to the tap that positions has for it. Ohms in a
// contact that overlaps are in the way to its own tap, not to the one below.
func (c *change) appendWiper(dst []edge, u *section, s decade.Setting) []edge {
	// Of ranges on one switch one at most is off zero: there is but one wiper.
	which, p := 0, 0
	for w, d := range u.dials {
		if q := s.Position(d); q > 0 {
			which, p = w, q
		}
	}
	dial := u.dials[which]
	ohms := c.layout.contact
	below := false
	for _, x := range c.contacts {
		// Ladders on one switch share position 0, which is named by the first of them.
		if x.atPosition(dial, p) || p == 0 && x.atPosition(u.dials[0], 0) {
			ohms += x.ohms
			below = below || x.overlap
		}
	}
	at := tap{which: which, number: p}
	if m := c.positions[dial]; m != nil {
		at = m[p]
	}
	// Between contacts the wiper joins nothing, and the ladder ends there.
	if at.none {
		return dst
	}
	taps := u.taps[at.which]
	if below && at.number > 0 {
		next := at.number - 1
		// Where a position is missing the next contact below is farther down.
		for taps[next] == absent {
			next--
		}
		dst = append(dst, edge{u.wiper, taps[next], 1 / c.layout.contact})
	}
	if g := 1 / ohms; g > 0 {
		dst = append(dst, edge{u.wiper, taps[at.number], g})
	}
	return dst
}

// appendShorts appends the closed contacts of a code. Each lies beside the elements that it takes
// out of circuit: an open one puts them in, a bad one its ohms in parallel with them.
func (c *change) appendShorts(dst []edge, u *section, s decade.Setting) []edge {
	dial := u.dials[0]
	dialled := s.Position(dial)
	p := dialled
	if m := c.positions[dial]; m != nil {
		if m[p].none {
			return dst // no contact is closed: all elements are in circuit
		}
		p = m[p].number
	}
	for _, gp := range c.layout.shortedRuns(dial, p) {
		ohms := c.layout.contact
		for _, x := range c.contacts {
			// A position is that which the scale shows, as of a ladder; an element is the part.
			if x.atPosition(dial, dialled) || x.shorts(dial, gp) {
				ohms += x.ohms
			}
		}
		if g := 1 / ohms; g > 0 {
			dst = append(dst, edge{u.taps[0][gp.from-1], u.taps[0][gp.to], g})
		}
	}
	return dst
}
