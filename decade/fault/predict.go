// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// What the box states and what its network reads are not the same: a stated residual is one
// number for all settings, the network has contacts and links in series whose sum differs by
// some of them, and elements of a code in parallel with closed contacts. So a prediction is the
// stated value and the difference of two solutions, with the faults and without,
//
//	R = g·(stated + (network with faults − network without)),
//
// in which all that both have alike goes out; g is the gain of a box that drifted as a whole.

import (
	"math"

	"example.com/ohmwright/decade"
)

// Predict returns the resistance at the terminals in ohms that a setting of a box with
// these faults has, all else at nominal value; +Inf where the circuit is open. It solves
// the network of the box with every tap, wiper and link as a node.
//
// It returns an error for the zero Setting, for a fault at a place that the box does not have
// ([ErrPlace]), and for a value that the fault cannot have ([ErrDomain], [ErrNotFinite]); the
// number beside an error is NaN.
func Predict(s decade.Setting, faults ...Fault) (float64, error) {
	const op = "fault.Predict"
	if !s.IsValid() {
		return math.NaN(), refuse(op, "setting", nil, ErrEmpty,
			"the zero Setting belongs to no box; expected one of a box")
	}
	// The layout is made for each call; whoever predicts many settings has a probe (Diagnose,
	// Specimen).
	l := newLayout(s.Box())
	c := l.unchanged()
	for _, f := range faults {
		if err := checkOfBox(op, f); err != nil {
			return math.NaN(), err
		}
		if err := c.apply(op, f); err != nil {
			return math.NaN(), err
		}
	}
	p := newProbe(l)
	return p.predict(c, s), nil
}

// probe solves the circuit of a box at settings. It holds the memory of the solver and is used
// again for each setting; not by two goroutines at once.
type probe struct {
	layout     *layout
	healthy    *change
	solver     *solver
	edges      []edge
	potentials []float64 // of the nodes

	numerators, denominators []float64 // of bridges from one node to each other one
}

// healthy is the change that changes nothing, for the second of the two solutions.
func newProbe(l *layout) *probe {
	return &probe{layout: l, healthy: l.unchanged(), solver: newSolver(len(l.nodes)),
		potentials: make([]float64, len(l.nodes))}
}

// terms is room for the terms of bridges from one node.
func (p *probe) terms() (num, den []float64) {
	if p.numerators == nil {
		n := len(p.layout.nodes)
		p.numerators, p.denominators = make([]float64, n), make([]float64, n)
	}
	return p.numerators, p.denominators
}

// It is the network alone, +Inf without a path, and leaves the solver eliminated for what is
// asked next: potentials, impedances, bridges.
func (p *probe) solve(c *change, s decade.Setting) float64 {
	p.edges = c.appendEdges(p.edges[:0], s)
	p.solver.eliminateAll(p.edges)
	return p.solver.resistance()
}

// predict is the value that the box states with what the faults change in the network.
func (p *probe) predict(c *change, s decade.Setting) float64 {
	r := p.solve(c, s)
	// Inf − x is no contribution of a fault; an open circuit reads as open whatever the box
	// states.
	if math.IsInf(r, 1) {
		return r
	}
	return c.gain * (s.Value() + (r - p.solve(p.healthy, s)))
}

// contactOhms sets dst to what the contacts of each switch, and the wire after it, add to the
// resistance just solved: the square of the share of the current in each, times its ohms. dst
// has an entry for each section. By Tellegen's theorem with 1 A through the terminals R = Σ i²·r
// over all resistors, so that these are parts of R and not approximations.
func (p *probe) contactOhms(c *change, s decade.Setting, dst []float64) {
	p.solver.potentials(p.potentials)
	l := p.layout
	ohms := func(e edge) float64 {
		current := (p.potentials[e.from] - p.potentials[e.to]) * e.siemens
		return current * current * l.contact
	}
	for i := range l.sections {
		// The list of edges is made again for the contacts of one switch: the solver keeps no
		// copy of it.
		if u := &l.sections[i]; u.wiper != absent {
			p.edges = c.appendWiper(p.edges[:0], u, s)
		} else {
			p.edges = c.appendShorts(p.edges[:0], u, s)
		}
		dst[i] = 0
		for _, e := range p.edges {
			dst[i] += ohms(e)
		}
		link := l.links[i+1]
		if x := c.links[i+1]; x != 0 {
			link.siemens = 1 / (l.contact + x)
		}
		dst[i] += ohms(link)
	}
}

// currents sets dst to the derivatives of the resistance just solved with respect to the
// elements: the square of the share of the current that flows in each. dst has an entry for each
// element. A derivative is in Ω/Ω, between 0 and 1 for a circuit without a gain.
func (p *probe) currents(c *change, dst []float64) {
	p.solver.potentials(p.potentials)
	for i, e := range p.layout.elements {
		dst[i] = 0
		if ohms := c.ohms[i]; !math.IsInf(ohms, 1) {
			// dR/dr is the square of the share of the current in r (R. M. Cohn, Proc. Amer. Math.
			// Soc. 1, 1950, from memory).
			share := (p.potentials[e.from] - p.potentials[e.to]) / ohms
			dst[i] = c.gain * share * share
		}
	}
}
