// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.com/ohmwright/decade"
)

// made is a box as it was made: the true values of everything in it at the reference
// temperature.
type made struct {
	*circuit
	ohms     []float64 // of the elements
	contacts []float64 // Ω, mean of each contact over diallings
	links    []float64 // Ω
	alpha    []float64 // 1/K, deviation of the temperature coefficient of each dial
	residual float64   // Ω, with all dials at 0 and contacts at their means
}

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

func (m *made) drawContacts(rng *rand.Rand) {
	share := 0.4 + 0.4*rng.Float64()
	n := 0
	for _, k := range m.circuit.contacts {
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
		m.contacts[i] = share * m.residual / float64(max(n, 1)) * x
	}
}

func (m *made) drawElements(rng *rand.Rand) {
	box := even(rng)
	for d, dec := range m.spec.Decades {
		common, part := even(rng), rng.Float64()
		if dec.Spread == decade.LevelBox {
			common, part = box, 1
		}
		for i := m.first[d]; i < m.first[d+1]; i++ {
			e := m.elements[i]
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

// drawLinks gives the wires what the contacts leave of the residual.
func (m *made) drawLinks(rng *rand.Rand) {
	zero := m.terminals(m.healthy(), make([]int, len(m.of)), m.reference())
	rest := max(0, m.residual-zero)
	sum := 0.0
	for i := range m.links {
		m.links[i] = 0.5 + rng.Float64()
		sum += m.links[i]
	}
	for i := range m.links {
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

// ratio is that of the elements of a dial at a temperature to those at the reference.
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

// state is the network of one dialling: true values with what faults and chance do.
type state struct {
	ohms     []float64 // of the elements, +Inf: open
	contacts []float64
	links    []float64
	bridges  []resistor
	overlaps []Place
	moves    []Fault // slips and exchanged taps
}

func (m *made) healthy() *state {
	return &state{ohms: slices.Clone(m.ohms), contacts: slices.Clone(m.contacts),
		links: slices.Clone(m.links)}
}

// terminals is the resistance between the terminals at positions of the dials, at a
// temperature in °C.
func (m *made) terminals(s *state, positions []int, t float64) float64 {
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

// closed lists the contacts that are closed at positions of the dials.
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

// stand is where a switch really stands when its dials show positions.
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
	x.between = slices.Contains(m.spec.Decades[w.dials[x.which]].Missing, x.position)
	return x
}

// touch is the resistance of metal that touches, in Ω.
const touch = 1e-4

// apply changes the network of one dialling by a fault. fresh is what Value is multiplied
// by in this dialling; strapped is the terminal that the case is joined to.
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
		s.ohms[e] = max(0, s.ohms[e]+value)
	case WrongPart:
		s.ohms[e] = value
	case OpenElement:
		s.ohms[e] = math.Inf(1)
	case ShortElement:
		s.bridges = append(s.bridges, resistor{m.elements[e].a, m.elements[e].b, touch})
	case TrimLifted:
		scale(e, e+1, value)
	case Overloaded:
		scale(m.first[f.A.Dial], e+1, value)
	case DialDrift:
		scale(m.first[f.A.Dial], m.first[f.A.Dial+1], value)
	case BoxDrift:
		scale(0, len(s.ohms), value)
	case Aged:
		rng := rand.New(rand.NewPCG(math.Float64bits(value), 4)) // the same at each dialling
		for i := range s.ohms {
			scale(i, i+1, value*(1+even(rng)/3))
		}
	case Contact:
		s.contacts[m.contactOf(f.A)] += value
	case OpenContact:
		s.contacts[m.contactOf(f.A)] = math.Inf(1)
	case Series:
		m.series(s, f.A, value)
	case OpenPath:
		m.series(s, f.A, math.Inf(1))
	case Overlap:
		s.overlaps = append(s.overlaps, f.A)
	case Slip, Taps:
		s.moves = append(s.moves, f)
	case Exchanged:
		o := m.element(f.B.Dial, f.B.Number)
		s.ohms[e], s.ohms[o] = s.ohms[o], s.ohms[e]
	case BridgeInDial, BridgeDials, LeakTerminals, LeakCase, LeakDial:
		a, b := m.ends(f)
		s.bridges = append(s.bridges, resistor{a, b, max(value, touch)})
	}
}

// contactOf finds the contact at a position of a ladder, or beside an element of a code.
func (m *made) contactOf(p Place) int {
	w := &m.switches[m.of[p.Dial]]
	which := slices.Index(w.dials, p.Dial)
	if !w.code && p.Number == 0 {
		which = 0
	}
	return w.contacts[at{which, p.Number}]
}

// series puts ohms into a link, beside a terminal, or into the lead of a wiper.
func (m *made) series(s *state, p Place, ohms float64) {
	switch p.Part {
	case Link:
		s.links[p.Number] += ohms
	case Terminal:
		s.links[(p.Number-1)*(len(s.links)-1)] += ohms
	case Wiper:
		for i, k := range m.circuit.contacts {
			if m.of[k.dial] == m.of[p.Dial] {
				s.contacts[i] += ohms
			}
		}
	}
}
