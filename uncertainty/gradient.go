// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file finds all sensitivities of a measurand in one sweep. With the adjoint a_n = ∂y/∂n of
// a node n, the chain rule over the nodes that read it is
//
//	a_n = Σ a_reader·∂reader/∂n, a_y = 1.
//
// The partial derivatives were computed when the nodes were built and stand in the edges. Nodes
// are in the order of evaluation, so that going through the edges from the last to the first every
// adjoint is complete before it is handed on. The cost is a multiplication and an addition for each
// edge, whatever the number of inputs; the forward rule would cost that for each input.
//
// Sums are added up in the order of the edges, backward. That order is the same on every machine,
// and so are the bits.

import (
	"math"
	"slices"
)

// backward finds ∂y/∂input for every input, and which inputs y depends on: a
// sensitivity of 0 still makes a row of the budget. It is one sweep over the edges, from
// y down (reverse accumulation), and costs the same for any number of inputs.
//
// The results are by slot and valid until the next pass. The adjoints of all nodes stay in
// m.adjoint until then; the checks of a budget and Monte Carlo's choice of twins read them.
func (m *model) backward(y *node) (c []float64, reached []bool) {
	m.adjoint = cleared(m.adjoint, len(m.nodes))
	top := m.place(y)
	m.adjoint[top] = 1
	// With one measurand, everything that was compiled is below it.
	if m.single && top == len(m.nodes)-1 {
		m.followAllEdges()
	} else {
		m.sweepBelow(top)
	}
	m.collectSensitivities()
	return m.sensitivities, m.reach(top)
}

// followAllEdges follows all edges, without looking where they belong: with everything below the
// top there is no edge that could be passed over, and a loop without a branch is the faster one.
func (m *model) followAllEdges() {
	adjoint := m.adjoint
	// From the top down: an adjoint is complete before it is handed on, since edges are in the
	// order of the nodes they come from.
	for k := len(m.edges) - 1; k >= 0; k-- {
		e := &m.edges[k]
		adjoint[e.to] += float64(adjoint[e.from] * e.d)
	}
}

// sweepBelow passes over the nodes that are not below the top: with many roots most are
// not, and k measurands of n nodes each would cost k²·n. A node of adjoint 0 that is below the top
// hands down nothing but zeros and is passed over, too.
func (m *model) sweepBelow(top int) {
	end := m.ends[top]
	for i := top; i > 0; i-- {
		start := m.ends[i-1]
		// Above the top nothing has an adjoint, and beside it nothing does.
		if above := m.adjoint[i]; above != 0 {
			for k := end - 1; k >= start; k-- {
				e := &m.edges[k]
				m.adjoint[e.to] += float64(above * e.d)
			}
		}
		end = start
	}
}

// collectSensitivities adds up the sensitivities of the nodes of each input.
func (m *model) collectSensitivities() {
	m.sensitivities = cleared(m.sensitivities, len(m.inputs))
	c := m.sensitivities
	// Backward, as the sweep itself ran: the order of a sum is part of its bits.
	for _, l := range slices.Backward(m.leaves) {
		c[l.slot] += m.adjoint[l.place]
	}
	// One node for each input: nothing was added, so nothing can have cancelled.
	if len(m.leaves) == len(m.inputs) {
		return
	}
	m.parts = cleared(m.parts, len(m.inputs))
	for _, l := range m.leaves {
		m.parts[l.slot] += math.Abs(m.adjoint[l.place])
	}
	for k := range c {
		// Equal sources that cancel leave rounding behind, 2⁻⁵³ of their parts or a few times that.
		if math.Abs(c[k]) < cancelled*m.parts[k] {
			c[k] = 0
		}
	}
}

// cancelled is the part of Σ|part| below which a sum of two or three terms is rounding: nine units
// of 2⁻⁵³. A true sensitivity that small would need two sources of one ID that differ in the
// sixteenth digit of what the model makes of them.
const cancelled = 1e-15

// reach says which inputs, by slot, are below the node in the given place. Beside the result it
// leaves behind what [model.concerns] answers from.
func (m *model) reach(top int) []bool {
	m.reached = cleared(m.reached, len(m.inputs))
	// Everything is below the only measurand.
	m.whole = m.single && top == len(m.nodes)-1
	if m.whole {
		for k := range m.reached {
			m.reached[k] = true
		}
		return m.reached
	}
	m.under = cleared(m.under, len(m.nodes))
	m.under[top] = true
	// Marks run down the edges, as adjoints do; an adjoint may cancel to 0, a mark cannot.
	for i := top; i > 0; i-- {
		if m.under[i] {
			for _, e := range m.edges[m.ends[i-1]:m.ends[i]] {
				m.under[e.to] = true
			}
		}
	}
	for _, l := range m.leaves {
		m.reached[l.slot] = m.reached[l.slot] || m.under[l.place]
	}
	return m.reached
}

// cleared returns a slice of n zeros, in the memory of s if that is enough: models and their passes
// are made thousands of times for the report of a box, and would else allocate each time.
func cleared[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	s = s[:n]
	clear(s)
	return s
}
