// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// The nodes of a ladder of three steps, the wiper standing at 2 (W is the wiper, — an element, a
// contact drawn as |):
//
//   in = tap 0 — tap 1 — tap 2 — tap 3        out = W
//                           |
//                           W
//
// and of a code of four elements with the second and fourth in circuit, their neighbours shorted
// by a contact each:
//
//   in = tap 0 — tap 1 — tap 2 — tap 3 — tap 4 = out
//         |_______|       |_______|
//
// The circuit has no resistances but the nominal ones of its elements: those are made's. Nothing
// here is shared with package fault, which has the same circuit in its own form; what both take
// from decade is the description: which elements are in circuit at a position, and how many
// contacts are closed.

import (
	"slices"

	"example.com/ohmwright/decade"
)

// circuit is the wiring of a healthy box.
//
// A ladder has a node for each tap and one for its wiper. Ranges of one switch share tap 0
// and the wiper. A weighted code is a chain of its elements with a contact beside each that
// is not in circuit, or beside each run of them where its description says that there are
// so few contacts. Links join what stands between two switches, the first and the last one
// the terminals.
type circuit struct {
	box      *decade.Box
	spec     decade.Spec
	nodes    int
	elements []element
	first    []int // of each dial, in elements
	switches []rotary
	of       []int // switch of each dial
	contacts []contact
}

// The first nodes.
const (
	terminal1 = iota
	terminal2
	caseNode
	firstNode
)

// a is the end towards tap 0.
type element struct {
	dial, number int // number from 1
	a, b         int
	nominal      float64 // Ω
}

// rotary is one switch: a ladder, ladders with a common zero, or a code.
type rotary struct {
	dials    []int
	code     bool
	runs     bool // of a code: one contact shorts a run of elements
	in, out  int
	wiper    int
	taps     [][]int // of each of its dials; of a code the nodes between its elements
	contacts map[at]int
}

// at names a contact of a switch: a position of one of its ladders or of a code with runs
// (which 0), or an element of a code (number from 1).
type at struct{ which, number int }

// contact is one contact of the box. There are as many as a dial has positions with a tap, the
// common zero once; of a code as many as elements, or as positions.
type contact struct {
	dial, number int     // position of a ladder, element of a code
	beside       float64 // Ω, nominal, of the element that it shorts; 0: of a ladder
	atZero       bool    // closed with all dials at 0
}

// Switches are numbered in the order of their first dials. Dials that share a switch are one
// rotary, with the taps of each on a side of the common zero.
func newCircuit(b *decade.Box) *circuit {
	c := &circuit{box: b, spec: b.Spec(), nodes: firstNode}
	c.of = make([]int, len(c.spec.Decades))
	c.first = make([]int, len(c.spec.Decades)+1)
	done := make([]bool, len(c.spec.Decades))
	for i, d := range c.spec.Decades {
		c.first[i+1] = c.first[i] + d.NumElements()
		if done[i] {
			continue
		}
		s := rotary{dials: []int{i}, code: !d.Tapped(), contacts: make(map[at]int)}
		for j := i + 1; j < len(c.spec.Decades); j++ {
			if e := c.spec.Decades[j]; d.Switch != "" && e.Switch == d.Switch && d.Tapped() &&
				e.Tapped() {
				s.dials = append(s.dials, j)
			}
		}
		for _, j := range s.dials {
			done[j], c.of[j] = true, len(c.switches)
		}
		if s.code {
			c.chain(&s, d)
		} else {
			c.ladders(&s, d.WiperFirst)
		}
		c.switches = append(c.switches, s)
	}
	// A shared switch has brought the elements of a later dial before those of dials in between.
	slices.SortStableFunc(c.elements, func(x, y element) int { return x.dial - y.dial })
	return c
}

// noTap stands for the tap of a position that a ladder does not have.
const noTap = -1

// node makes a new node, without a name.
func (c *circuit) node() int {
	c.nodes++
	return c.nodes - 1
}

// contact makes a contact and gives the switch its place; dial and number are those of its first
// dial where position 0 is shared.
func (c *circuit) contact(s *rotary, which, dial, number int, beside float64, atZero bool) {
	s.contacts[at{which, number}] = len(c.contacts)
	c.contacts = append(c.contacts, contact{dial, number, beside, atZero})
}

// ladders makes zero and wiper of a switch and the taps of its dials; a missing position has no
// tap, and the element beside it is as many steps larger.
func (c *circuit) ladders(s *rotary, wiperFirst bool) {
	zero := c.node()
	s.wiper = c.node()
	s.in, s.out = zero, s.wiper
	if wiperFirst {
		s.in, s.out = s.wiper, zero
	}
	for which, dial := range s.dials {
		d := c.spec.Decades[dial]
		taps := []int{zero}
		if which == 0 {
			c.contact(s, 0, dial, 0, 0, true)
		}
		below, e := 0, 0 // the tap and the element before a position
		for p := 1; p <= d.Positions; p++ {
			if slices.Contains(d.Missing, p) {
				taps = append(taps, noTap)
				continue
			}
			e++
			taps = append(taps, c.node())
			c.elements = append(c.elements, element{dial, e, taps[below], taps[p],
				float64(p-below) * d.Step})
			c.contact(s, which, dial, p, 0, false)
			below = p
		}
		s.taps = append(s.taps, taps)
	}
}

// chain makes the elements of a code in series. Where the description counts exactly one contact
// for each run of shorted elements at every position, the contacts are those of positions; else
// each element has one.
func (c *circuit) chain(s *rotary, d decade.Decade) {
	dial := s.dials[0]
	taps := []int{c.node()}
	for e := 1; e <= d.NumElements(); e++ {
		taps = append(taps, c.node())
		c.elements = append(c.elements, element{dial, e, taps[e-1], taps[e],
			float64(d.Weight(e)) * d.Step})
	}
	s.in, s.out, s.taps = taps[0], taps[len(taps)-1], [][]int{taps}
	s.runs = d.Code.Contacts != nil
	for p, n := range d.Code.Contacts {
		s.runs = s.runs && n == len(shorted(d, p, true))
	}
	if s.runs {
		for p := range d.Positions + 1 {
			c.contact(s, 0, dial, p, 0, p == 0)
		}
		return
	}
	for e := 1; e <= d.NumElements(); e++ {
		c.contact(s, 0, dial, e, float64(d.Weight(e))*d.Step, true)
	}
}

// shorted lists the elements that are not in circuit at a position of a code, one by one or in
// runs, as pairs of first and last. runs asks for runs.
func shorted(d decade.Decade, position int, runs bool) [][2]int {
	in := d.InCircuit(position)
	var out [][2]int
	for e := 1; e <= d.NumElements(); e++ {
		switch n := len(out); {
		case slices.Contains(in, e):
		case runs && n > 0 && out[n-1][1] == e-1:
			out[n-1][1] = e
		default:
			out = append(out, [2]int{e, e})
		}
	}
	return out
}

// closed is a closed contact: from node to node, and which it is of the box. A contact may be
// listed twice, where a wiper overlaps.
type closed struct{ a, b, contact int }

// stand is where a switch really stands: at a position of one of its dials, or between
// contacts.
type stand struct {
	which, position int
	between         bool
}

// asked is where a switch stands at positions of the box. A shared switch is off zero on one of
// its dials at most; the zero belongs to the first.
func (c *circuit) asked(s *rotary, positions []int) stand {
	for which, d := range s.dials {
		if p := positions[d]; p > 0 {
			return stand{which: which, position: p}
		}
	}
	return stand{}
}

// closures appends the contacts that a switch closes. overlap is a position of the ladder in use
// where the wiper touches the tap below too, or 0. Between contacts none is closed: a ladder is
// open then, a code has all its elements in circuit.
func (c *circuit) closures(dst []closed, s *rotary, x stand, overlap int) []closed {
	switch {
	case x.between:
		return dst
	case s.code:
		d := c.spec.Decades[s.dials[0]]
		for _, run := range shorted(d, x.position, s.runs) {
			k := at{0, run[0]}
			if s.runs {
				k.number = x.position
			}
			dst = append(dst, closed{s.taps[0][run[0]-1], s.taps[0][run[1]], s.contacts[k]})
		}
		return dst
	}
	dst = append(dst, closed{s.taps[x.which][x.position], s.wiper, s.contact(x)})
	if overlap > 0 && overlap == x.position {
		below := x.position - 1
		for s.taps[x.which][below] == noTap {
			below--
		}
		dst = append(dst, closed{s.taps[x.which][below], s.wiper,
			s.contact(stand{which: x.which, position: below})})
	}
	return dst
}

// contact is that of a ladder at a position. Position 0 has one contact, whichever dial is
// asked.
func (s *rotary) contact(x stand) int {
	if x.position == 0 {
		x.which = 0
	}
	return s.contacts[at{x.which, x.position}]
}

// links lists the pairs of nodes that wires join: terminal 1, the switches in dial order,
// terminal 2. One more than there are switches.
func (c *circuit) links() [][2]int {
	var out [][2]int
	from := terminal1
	for i := range c.switches {
		out = append(out, [2]int{from, c.switches[i].in})
		from = c.switches[i].out
	}
	return append(out, [2]int{from, terminal2})
}

// element finds an element by dial and number from 1; −1 where there is none.
func (c *circuit) element(dial, number int) int {
	if dial < 0 || dial >= len(c.of) || number < 1 || c.first[dial]+number > c.first[dial+1] {
		return -1
	}
	return c.first[dial] + number - 1
}
