// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// What is true of a healthy box, and the network that it is at one dialling.
//
//   elements   R_n·(1 + x·t) with t the class and x = p·common + (1 − p)·own, all even; p by dial
//   contacts   a share of 0.4 to 0.8 of the residual, those of one ladder alike, of a code each
//   wires      what is left of the residual, unevenly in the links between the switches
//   residual   even inside its limits, a tenth of the stated one at least
//   spools     the temperature coefficient of each dial, even inside its tolerance
//
// So |x| ≤ 1 whatever is drawn, and boxes range from dials whose elements move as one to such
// whose elements have nothing in common: a class limits the dialled value and says nothing of
// this.
//
// The box that the description states is linear: a setting adds up steps. The network that is
// solved here is not quite, since contacts of codes are in parallel with elements. An element of
// a code is therefore made a little larger: with R beside a contact c, what it adds when the
// contact opens is R − R·c/(R + c) = R²/(R + c), which is set to the wanted value a and solved
// for R: R = (a + √(a² + 4·a·c))/2. With 10 Ω and 5 mΩ that is 5 mΩ more.
//
// Temperature changes elements and residual by their laws, relative to the reference temperature
// of the box. Power does not: no element is heated by the test current.

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.com/ohmwright/decade"
)

// made is a box as it was made: the true values of everything in it at the reference
// temperature. Slices go by the indices of the circuit: elements, contacts, links between
// switches.
type made struct {
	*circuit
	ohms     []float64 // of the elements
	contacts []float64 // Ω, mean of each contact over diallings
	links    []float64 // Ω
	alpha    []float64 // 1/K, deviation of the temperature coefficient of each dial
	residual float64   // Ω, with all dials at 0 and contacts at their means
}

// It is a draw between −1 and 1.
func even(rng *rand.Rand) float64 { return 2*rng.Float64() - 1 }

// make draws the true values of a healthy box.
//
// The residual lies inside its limits. A part between 0.4 and 0.8 of it is in the contacts
// that are closed with all dials at 0, shared out unevenly, the rest in the wires. An
// element of a code is larger than its class by what the contact beside it takes away, as
// one who adjusts a dial makes it: the class is about what the dial adds.
func newMade(c *circuit, rng *rand.Rand) *made {
	m := &made{circuit: c, ohms: make([]float64, len(c.elements)),
		contacts: make([]float64, len(c.contacts)),
		links:    make([]float64, len(c.switches)+1), alpha: make([]float64, len(c.of))}
	// Limits wider than the residual would make less than nothing of it.
	m.residual = max(c.spec.Residual+float64(c.spec.ResidualTolerance*even(rng)),
		c.spec.Residual/10)
	m.drawContacts(rng)
	m.drawElements(rng)
	m.drawLinks(rng)
	for d := range m.alpha {
		m.alpha[d] = c.spec.Decades[d].AlphaTolerance * even(rng)
	}
	return m
}

// drawContacts shares out 40 to 80 % of the residual over the contacts that are closed with all
// dials at 0; the others are as large as these.
func (m *made) drawContacts(rng *rand.Rand) {
	share := 0.4 + 0.4*rng.Float64()
	n := 0
	for _, k := range m.circuit.contacts {
		// With all dials at 0 a code with a contact for each element has all of them closed, any
		// other switch has one.
		if k.atZero {
			n++
		}
	}
	// The contacts of one ladder are alike: what differs from dialling to dialling is the
	// variation, and no position of a new switch stands out.
	like := make(map[int]float64)
	for i, k := range m.circuit.contacts {
		s := m.of[k.dial]
		x, ok := like[s]
		if !ok || m.switches[s].code {
			x = 0.8 + 0.4*rng.Float64()
			like[s] = x
		}
		// x is 0.8 to 1.2.
		m.contacts[i] = share * m.residual / float64(max(n, 1)) * x
	}
}

// drawElements draws the elements of dial after dial. A spread of level box is one error for all
// dials that have it.
func (m *made) drawElements(rng *rand.Rand) {
	box := even(rng)
	for d, dec := range m.spec.Decades {
		common, part := even(rng), rng.Float64()
		if dec.Spread == decade.LevelBox {
			common, part = box, 1
		}
		for i := m.first[d]; i < m.first[d+1]; i++ {
			e := m.elements[i]
			// Its largest amount is 1, at a corner of the draws that is rare: most elements lie
			// well inside.
			x := float64(part*common) + float64((1-part)*even(rng))
			adds := e.nominal + float64(x*m.half(i))
			m.ohms[i] = adds
			s := &m.switches[m.of[d]]
			if s.code && !s.runs {
				// R − R∥c = adds, solved for R.
				c := m.contacts[s.contacts[at{0, e.number}]]
				m.ohms[i] = (adds + math.Sqrt(float64(adds*adds)+float64(4*adds*c))) / 2
			}
		}
	}
}

// half is the half-width in ohms that the class allows an element.
func (m *made) half(i int) float64 {
	e := m.elements[i]
	return (m.spec.Decades[e.dial].Tolerance + m.spec.Tolerance) * e.nominal
}

// drawLinks gives the wires what the contacts leave of the residual. The contacts are solved
// first, without wires: what they read at zero is theirs, elements of codes beside closed
// contacts included.
func (m *made) drawLinks(rng *rand.Rand) {
	zero := m.terminals(m.healthy(), make([]int, len(m.of)), m.reference())
	rest := max(0, m.residual-zero)
	sum := 0.0
	for i := range m.links {
		m.links[i] = 0.5 + rng.Float64()
		sum += m.links[i]
	}
	for i := range m.links {
		// Weights between 0.5 and 1.5 over their sum.
		m.links[i] *= rest / sum
	}
}

// reference is the reference temperature in °C; 20 where none is stated.
func (m *made) reference() float64 {
	if t, ok := m.box.ReferenceTemperature(); ok {
		return t
	}
	return 20
}

// ratio is that of the elements of a dial at a temperature to those at the reference. A
// quadratic law 1 + α·Δt + β·Δt², over its value at the reference temperature of the box, which
// need not be that of the law.
func (m *made) ratio(dial int, t float64) float64 {
	law := m.spec.Decades[dial].Law
	alpha := law.Alpha() + m.alpha[dial]
	at := func(t float64) float64 {
		dt := t - law.Reference()
		return 1 + float64(alpha*dt) + float64(law.Beta()*dt*dt)
	}
	if law.IsZero() && m.alpha[dial] == 0 {
		return 1
	}
	return at(t) / at(m.reference())
}

// Contacts and wires have one law, mostly that of copper.
func (m *made) residualRatio(t float64) float64 {
	law := m.spec.ResidualLaw
	if law.IsZero() {
		return 1
	}
	at := func(t float64) float64 {
		dt := t - law.Reference()
		return 1 + float64(law.Alpha()*dt) + float64(law.Beta()*dt*dt)
	}
	return at(t) / at(m.reference())
}

// state is the network of one dialling: true values with what faults and chance do. It belongs
// to one dialling and is changed by faults; moves are looked at when switches are set.
type state struct {
	ohms     []float64 // of the elements, +Inf: open
	contacts []float64
	links    []float64
	bridges  []resistor // beside what the circuit has
	overlaps []Place    // positions at which a wiper touches the tap below, too
	moves    []Fault    // slips and exchanged taps
}

// It is a copy: faults change it.
func (m *made) healthy() *state {
	return &state{ohms: slices.Clone(m.ohms), contacts: slices.Clone(m.contacts),
		links: slices.Clone(m.links)}
}

// terminals is the resistance between the terminals at positions of the dials, at a temperature
// in °C. Elements, links, contacts and bridges make the network; positions decide which contacts
// are in it. +Inf: nothing joins the terminals.
func (m *made) terminals(s *state, positions []int, t float64) float64 {
	// Bridges have no law of temperature: they are dirt or solder.
	network := slices.Clone(s.bridges)
	for d := range m.of {
		ratio := m.ratio(d, t)
		for i := m.first[d]; i < m.first[d+1]; i++ {
			network = append(network, resistor{m.elements[i].a, m.elements[i].b, s.ohms[i] * ratio})
		}
	}
	ratio := m.residualRatio(t)
	for i, l := range m.circuit.links() {
		network = append(network, resistor{l[0], l[1], s.links[i] * ratio})
	}
	for _, k := range m.closed(s, positions) {
		network = append(network, resistor{k.a, k.b, s.contacts[k.contact] * ratio})
	}
	return between(network, m.nodes, terminal1, terminal2)
}

// closed lists the contacts that are closed at positions of the dials. An overlap counts where
// the wiper stands at its position.
func (m *made) closed(s *state, positions []int) []closed {
	var out []closed
	for i := range m.switches {
		w := &m.switches[i]
		x := m.stand(s, i, positions)
		overlap := 0
		for _, p := range s.overlaps {
			if m.of[p.Dial] == i && !x.between && w.dials[x.which] == p.Dial &&
				p.Number == x.position {
				overlap = p.Number
			}
		}
		out = m.closures(out, w, x, overlap)
	}
	return out
}

// stand is where a switch really stands when its dials show positions. Faults that move it are
// applied in their order: a slip turns the shaft, exchanged wires change what a position is
// joined to.
func (m *made) stand(s *state, i int, positions []int) stand {
	w := &m.switches[i]
	x := m.asked(w, positions)
	for _, f := range s.moves {
		if m.of[f.A.Dial] != i || x.between {
			continue
		}
		switch {
		case f.Kind == Slip:
			x = m.slipped(w, x, int(f.Value), f.B.Number)
		case w.dials[x.which] != f.A.Dial && x.position > 0:
		case x.position == f.A.Number:
			x = stand{which: slices.Index(w.dials, f.A.Dial), position: f.B.Number}
		case x.position == f.B.Number:
			x = stand{which: slices.Index(w.dials, f.A.Dial), position: f.A.Number}
		}
	}
	return x
}

// slipped turns a switch: the first of its ranges lies to one side of 0, the second to the
// other.
//
// The contacts of a switch lie on a circle, positions −low … 0 … high of its ranges in a row: by
// steps further, then what the end says. Positions of the second range count downwards from 0.
func (m *made) slipped(w *rotary, x stand, by, end int) stand {
	high, low := m.spec.Decades[w.dials[0]].Positions, 0
	if len(w.dials) > 1 {
		low = -m.spec.Decades[w.dials[1]].Positions
	}
	p := x.position
	if x.which == 1 {
		p = -p
	}
	p += by
	if p < low || p > high {
		switch end {
		case SlipStops:
			p = min(max(p, low), high)
		case SlipTurns:
			n := high - low + 1
			p = ((p-low)%n+n)%n + low
		default:
			return stand{between: true}
		}
	}
	x = stand{which: 0, position: p}
	if p < 0 {
		x = stand{which: 1, position: -p}
	}
	// A mark of the scale without a contact.
	x.between = slices.Contains(m.spec.Decades[w.dials[x.which]].Missing, x.position)
	return x
}

// touch is the resistance of metal that touches, in Ω. Wires that are pressed together; of
// soldered ones it is less, which no reading tells.
const touch = 1e-4

// apply changes the network of one dialling by a fault. fresh is what Value is multiplied by in
// this dialling. A list of cases, one for each kind that changes the network. Values are in Ω or
// fractions as the kinds say, and nothing is checked: New has done that.
func (m *made) apply(s *state, f Fault, fresh float64) {
	value := f.Value
	if f.Fresh {
		value *= fresh
	}
	scale := func(from, to int, fraction float64) {
		for i := from; i < to; i++ {
			s.ohms[i] *= 1 + fraction
		}
	}
	e := m.element(f.A.Dial, f.A.Number)
	switch f.Kind {
	case Drift, CrackedJoint:
		// An element that lost more than it has is a short.
		s.ohms[e] = max(0, s.ohms[e]+value)
	case WrongPart:
		s.ohms[e] = value
	case OpenElement:
		s.ohms[e] = math.Inf(1)
	// Metal beside the element, which stays.
	case ShortElement:
		s.bridges = append(s.bridges, resistor{m.elements[e].a, m.elements[e].b, touch})
	case TrimLifted:
		scale(e, e+1, value)
	// Element 1 to A.Number, which is e.
	case Overloaded:
		scale(m.first[f.A.Dial], e+1, value)
	case DialDrift:
		scale(m.first[f.A.Dial], m.first[f.A.Dial+1], value)
	case BoxDrift:
		scale(0, len(s.ohms), value)
	case Aged:
		// Each element by its own part, from a third less to a third more.
		rng := rand.New(rand.NewPCG(math.Float64bits(value), 4)) // the same at each dialling
		for i := range s.ohms {
			scale(i, i+1, value*(1+even(rng)/3))
		}
	case Contact:
		s.contacts[m.contactOf(f.A)] += value
	case OpenContact:
		// An infinite resistor is none in the network.
		s.contacts[m.contactOf(f.A)] = math.Inf(1)
	case Series:
		m.series(s, f.A, value)
	case OpenPath:
		m.series(s, f.A, math.Inf(1))
	case Overlap:
		s.overlaps = append(s.overlaps, f.A)
	// Where a switch stands is asked when its contacts are.
	case Slip, Taps:
		s.moves = append(s.moves, f)
	case Exchanged:
		o := m.element(f.B.Dial, f.B.Number)
		s.ohms[e], s.ohms[o] = s.ohms[o], s.ohms[e]
	// Never 0 Ω: two nodes with names stay two.
	case BridgeInDial, BridgeDials, LeakTerminals, LeakCase, LeakDial:
		a, b := m.ends(f)
		s.bridges = append(s.bridges, resistor{a, b, max(value, touch)})
	}
}

// contactOf finds the contact at a position of a ladder, or beside an element of a code. p is a
// place that hasContact admits.
func (m *made) contactOf(p Place) int {
	w := &m.switches[m.of[p.Dial]]
	which := slices.Index(w.dials, p.Dial)
	if !w.code && p.Number == 0 {
		which = 0
	}
	return w.contacts[at{which, p.Number}]
}

// series puts ohms into a link, beside a terminal, or into the lead of a wiper. The lead of a
// wiper is in series with every contact of its switch, one of which is closed.
func (m *made) series(s *state, p Place, ohms float64) {
	switch p.Part {
	case Link:
		s.links[p.Number] += ohms
	case Terminal:
		// The first link leads to terminal 1, the last one to terminal 2.
		s.links[(p.Number-1)*(len(s.links)-1)] += ohms
	case Wiper:
		for i, k := range m.circuit.contacts {
			if m.of[k.dial] == m.of[p.Dial] {
				s.contacts[i] += ohms
			}
		}
	}
}
