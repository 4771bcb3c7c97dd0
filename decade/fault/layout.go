// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The nodes of a box of two ladders of two steps, one with two resistors of a code, in the order
// in which they are eliminated:
//
//	0 tap 2   1 tap 1   2 tap 0   3 wiper      the first dial
//	4 tap 2   5 tap 1   6 tap 0   7 wiper      the second
//	8, 9, 10  taps 0, 1, 2                     the code
//	11, 12                                     terminals 1 and 2
//
// and its links: 11–2, 3–6, 7–8, 10–12. At setting 1, 2, 0 the wipers are joined with nodes 1 and
// 4, and each element of the code has a contact beside it, 8–9 and 9–10. The tap behind the wiper
// dangles with its element, which carries no current; it is eliminated first and joins nothing.
//
// Two ranges on a switch have the taps of both, one tap 0 and one wiper. So a tap has one number
// in the switch: fault places name it by the dial that it is of.
//
// What the residual resistance is made of nobody states. It is shared in equal parts by links and
// the contacts in the path at zero: 20 mΩ in a box of six ladders, with seven links and six
// contacts, is 1.5 mΩ each. Diagnoses do not hang on it: predictions are differences of two
// networks with the same shares (sensitivities), and a fault that changes which contacts are in
// the path has half of each share as its uncertainty (contactShare).

import (
	"math"
	"slices"

	"example.com/ohmwright/decade"
)

// layout is the circuit of a box: its nodes, and what joins them at each setting.
//
// A ladder has a node for each tap and one for its wiper; ranges that share a switch have
// tap 0 and the wiper in common. A weighted code has a node between any two elements, and
// a contact beside each element that is not in circuit, or beside each run of them where
// the code says that there are so few contacts. Dials are joined by links in dial order;
// the first and the last link lead to the terminals. In-circuit order is chosen so that
// the solver, which eliminates nodes by number, makes next to no new edges.
type layout struct {
	box          *decade.Box
	decades      []decade.Decade // dials, from 0
	nodes        []Place         // names; the last two are the terminals
	elements     []element       // in the order of the dials
	firstElement []int           // of each dial, in elements, and the end of the last
	sections     []section
	links        []edge  // of good links, in dial order: one more than sections
	contact      float64 // Ω of a good contact or link
	joined       []int   // of each node: representative of the nodes that links join
}

// element is a resistor between two neighbouring nodes of a dial.
type element struct {
	dial, number int     // number from 1
	from, to     int     // nodes; from is nearer to tap 0
	ohms         float64 // nominal
}

// absent is the index of a node, element, dial or range that does not exist.
const absent = -1

// A section is what stands between two links: a ladder, ladders with a common zero, or a code.
type section struct {
	dials   []int // on one switch
	in, out int   // nodes that the links before and after lead to
	wiper   int   // absent: a code
	// taps are those of each dial, by position, absent where one is missing; of a code the nodes
	// between its elements.
	taps [][]int
}

// newLayout is the circuit of a box, which was checked when it was made. Ladders that name the same
// switch are one section, at the place of the first of them, also where a dial stands between.
func newLayout(b *decade.Box) *layout {
	l := &layout{box: b, decades: b.Decades()}
	l.firstElement = make([]int, len(l.decades)+1)
	done := make([]bool, len(l.decades))
	for i, d := range l.decades {
		if done[i] {
			continue
		}
		u := section{dials: []int{i}, wiper: absent}
		for j := i + 1; j < len(l.decades) && d.Tapped() && d.Switch != ""; j++ {
			if o := l.decades[j]; o.Tapped() && o.Switch == d.Switch {
				u.dials = append(u.dials, j)
			}
		}
		// The others of the switch have their turn here.
		for _, j := range u.dials {
			done[j] = true
		}
		if d.Tapped() {
			l.addLadders(&u, d.WiperFirst)
		} else {
			l.addCode(&u)
		}
		l.sections = append(l.sections, u)
	}
	l.sortElements()
	l.addLinks()
	return l
}

// addNode returns the number of a new node, which is its turn to be eliminated.
func (l *layout) addNode(p Place) int {
	l.nodes = append(l.nodes, p)
	return len(l.nodes) - 1
}

// addLadders makes the nodes of tapped dials on one switch: taps from the far end, then the
// common tap 0, then the wiper.
func (l *layout) addLadders(u *section, wiperFirst bool) {
	// From the far end to the wiper: each node then has few later neighbours, and the elimination
	// makes next to no new edges.
	for _, d := range u.dials {
		taps := make([]int, l.decades[d].Positions+1)
		for p := len(taps) - 1; p > 0; p-- {
			taps[p] = absent
			if l.decades[d].HasPosition(p) {
				taps[p] = l.addNode(Place{PartTap, d, p})
			}
		}
		u.taps = append(u.taps, taps)
	}
	zero := l.addNode(Place{PartTap, u.dials[0], 0})
	u.wiper = l.addNode(Place{PartWiper, u.dials[0], 0})
	u.in, u.out = zero, u.wiper
	if wiperFirst {
		u.in, u.out = u.wiper, zero
	}
	for i, d := range u.dials {
		u.taps[i][0] = zero
		dec := &l.decades[d]
		for e := 1; e <= dec.NumElements(); e++ {
			low, high := dec.Taps(e)
			ohms := dec.Step * float64(high-low)
			l.elements = append(l.elements, element{d, e, u.taps[i][low], u.taps[i][high], ohms})
		}
	}
}

// addCode makes the nodes of a code: its elements in series, whether in circuit or shorted, with a
// node before each and one after the last.
func (l *layout) addCode(u *section) {
	d := u.dials[0]
	taps := make([]int, l.decades[d].NumElements()+1)
	for p := range taps {
		taps[p] = l.addNode(Place{PartTap, d, p})
		if p > 0 {
			l.elements = append(l.elements, element{d, p, taps[p-1], taps[p],
				l.decades[d].Step * float64(l.decades[d].Weight(p))})
		}
	}
	u.taps, u.in, u.out = [][]int{taps}, taps[0], taps[len(taps)-1]
}

// tapNumber is the number, among the taps of a section, of the one behind an element.
func (l *layout) tapNumber(dial, element int) int {
	if d := &l.decades[dial]; d.Tapped() {
		_, high := d.Taps(element)
		return high
	}
	return element
}

// sortElements brings the elements into dial order and notes where each dial begins. They are out
// of order where a switch takes a later dial along.
func (l *layout) sortElements() {
	slices.SortStableFunc(l.elements, func(a, b element) int { return a.dial - b.dial })
	for i := range l.decades {
		l.firstElement[i+1] = l.firstElement[i] + l.decades[i].NumElements()
	}
}

// smallestContact is the resistance of a good contact where the box has no residual, Ω: less than a
// good wiper has, and not 0, so that its conductance is finite.
const smallestContact = 1e-4

// addLinks joins the sections and the terminals, and shares the residual resistance out to links
// and contacts.
func (l *layout) addLinks() {
	a := l.addNode(Place{PartTerminal, 0, 1})
	b := l.addNode(Place{PartTerminal, 0, 2})
	l.joined = make([]int, len(l.nodes))
	for i := range l.joined {
		l.joined[i] = i
	}
	// The residual in equal parts: nobody states how links and contacts share it.
	l.contact = max(smallestContact,
		l.box.Spec().Residual/float64(len(l.sections)+1+l.contactsAtZero()))
	from := a
	for _, u := range l.sections {
		l.joinNodes(from, u.in)
		from = u.out
	}
	l.joinNodes(from, b)
}

// contactsAtZero counts the contacts in the path with all dials at 0: one of each ladder, of
// a code as many as short its elements there.
func (l *layout) contactsAtZero() int {
	n := 0
	for _, u := range l.sections {
		if u.wiper != absent {
			n++
		} else {
			n += len(l.shortedRuns(u.dials[0], 0))
		}
	}
	return n
}

// joinNodes links two nodes. Both are one place for bridges from then on, with all that they were
// joined with before.
func (l *layout) joinNodes(a, b int) {
	l.links = append(l.links, edge{a, b, 1 / l.contact})
	keep, drop := l.joined[b], l.joined[a]
	// A tap has a number on the switch, by which a technician finds it.
	if l.nodes[keep].Part != PartTap && l.nodes[drop].Part == PartTap {
		keep, drop = drop, keep
	}
	for i, r := range l.joined {
		if r == drop {
			l.joined[i] = keep
		}
	}
}

// representatives lists one node of each group that links join.
func (l *layout) representatives() []int {
	var out []int
	for i, r := range l.joined {
		if i == r {
			out = append(out, i)
		}
	}
	return out
}

// sectionOf returns the section of a dial and which of its dials it is; nil where there is no such
// dial.
func (l *layout) sectionOf(dial int) (u *section, which int) {
	for i := range l.sections {
		if w := slices.Index(l.sections[i].dials, dial); w >= 0 {
			return &l.sections[i], w
		}
	}
	return nil, 0
}

// nodeAt finds the node of a place; absent where it has none: at a missing position, of a wiper of
// a code, and for parts that are no node.
func (l *layout) nodeAt(p Place) int {
	switch p.Part {
	case PartTerminal:
		// Terminal 2 is the last node, the ground of the solver.
		if p.Number == 1 || p.Number == 2 {
			return len(l.nodes) - 3 + p.Number
		}
	case PartTap, PartWiper:
		u, w := l.sectionOf(p.Dial)
		switch {
		case u == nil:
		case p.Part == PartWiper:
			return u.wiper
		case p.Number >= 0 && p.Number < len(u.taps[w]):
			return u.taps[w][p.Number]
		}
	}
	return absent
}

// elementAt finds an element by dial and number; absent where there is none.
func (l *layout) elementAt(dial, number int) int {
	if dial < 0 || dial >= len(l.decades) || number < 1 || number > l.decades[dial].NumElements() {
		return absent
	}
	return l.firstElement[dial] + number - 1
}

// allowsSeries reports whether so many ohms in series with everything leave a resistance: less
// than the box states is a finding, less than nothing is none. The thousandth is room for the six
// digits of a diagnosis in a file.
func (l *layout) allowsSeries(ohms float64) bool { return float64(0.999*l.contact)+ohms > 0 }

// elementRun is a run of elements of a code, from..to in numbers, that a contact shorts.
type elementRun struct{ from, to int }

// shortedRuns lists the closed contacts of a code at a position, each with the elements that it
// shorts. With 1-2-4-2 at 6, elements 2 and 3 in circuit, they are {1, 1} and {4, 4}; at 2, element
// 2, a code of one contact for neighbours has {1, 1} and {3, 4}.
func (l *layout) shortedRuns(dial, position int) []elementRun {
	d := l.decades[dial]
	in := d.InCircuit(position)
	var single, runs []elementRun
	for e := 1; e <= d.NumElements(); e++ {
		if slices.Contains(in, e) {
			continue
		}
		single = append(single, elementRun{e, e})
		// Neighbours that are out of circuit together may have one contact over all of them.
		if n := len(runs); n > 0 && runs[n-1].to == e-1 {
			runs[n-1].to = e
		} else {
			runs = append(runs, elementRun{e, e})
		}
	}
	// Only where the description counts as many contacts as there are runs is there one for each.
	if c := d.Code.Contacts; c != nil && position < len(c) && c[position] == len(runs) {
		return runs
	}
	return single
}

// separateContacts reports whether the elements of a code have a contact each, which a fault may
// then name by its element; otherwise contacts are named by position.
func (l *layout) separateContacts(dial int) bool {
	return l.decades[dial].Code.Contacts == nil
}

// contactsClosed sets dst to the resistance of the closed contacts of each switch at a setting,
// with the wire after it. dst is in Ω and has an entry for each section. They are in series: those
// of a code lie in the path one after the other.
func (l *layout) contactsClosed(s decade.Setting, dst []float64) {
	for i, u := range l.sections {
		n := 1
		if u.wiper == absent {
			n = len(l.shortedRuns(u.dials[0], s.Position(u.dials[0])))
		}
		dst[i] = l.contact * float64(1+n)
	}
}

// inPlace is the resistance of an element as it was adjusted: the class is about what the
// dial adds. An element of a code with a contact c of its own beside it adds R − R∥c, so that
// R is a little larger than what it adds, and the box reads the same residual at all
// positions, however many contacts are closed.
func (l *layout) inPlace(i int) float64 {
	e := l.elements[i]
	if d := l.decades[e.dial]; d.Tapped() || !l.separateContacts(e.dial) {
		return e.ohms
	}
	// R − R·c/(R + c) = e solved for R: e·(R + c) = R², the positive root.
	return (e.ohms + math.Sqrt(float64(e.ohms*e.ohms)+float64(4*e.ohms*l.contact))) / 2
}

// dialOhms is the resistance of all elements of a dial in ohms: nominal, of a code more than its
// highest position where the weights add up to more.
func (l *layout) dialOhms(dial int) float64 {
	sum := 0.0
	for _, e := range l.elements[l.firstElement[dial]:l.firstElement[dial+1]] {
		sum += e.ohms
	}
	return sum
}
