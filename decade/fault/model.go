// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"example.com/ohmwright/decade"
)

// model is what hypotheses about a box predict at a list of settings. It does not depend
// on what was read, is not changed after newModel, and may serve several goroutines.
type model struct {
	l        *layout
	settings []decade.Setting
	base     []float64   // Ω, the healthy box at nominal values
	network  []float64   // Ω, the same by the network
	column   [][]float64 // of each element: 1 where it is in circuit; the last: residual
	half     []float64   // Ω, of each element and the residual: what the class allows
	assumed  bool        // a class was not stated
	pairs    []pair
	moves    []move
}

// A pair of nodes that a bridge may join, with what it does at the settings it affects:
// r ohms take num²/(den + r) away.
type pair struct {
	c, d     int
	kind     Kind
	setting  []int32
	num, den []float64
}

// assumedClass is the fraction taken for elements of a dial without a stated class, and
// assumedResidual the ± limit of a residual without one, in Ω for each switch.
const (
	assumedClass    = 0.01
	assumedResidual = 0.01
)

func newModel(b *decade.Box, settings []decade.Setting, strapped int) *model {
	m := &model{l: newLayout(b), settings: settings}
	m.base = make([]float64, len(settings))
	m.network = make([]float64, len(settings))
	for i, s := range settings {
		m.base[i] = s.Value()
	}
	m.columns()
	m.classes()
	m.bridges(strapped)
	m.listMoves()
	return m
}

func (m *model) columns() {
	n := len(m.l.elements)
	m.column = make([][]float64, n+1)
	for i := range m.column {
		m.column[i] = make([]float64, len(m.settings))
	}
	for k, s := range m.settings {
		for d, dec := range m.l.decades {
			for _, e := range dec.InCircuit(s.Position(d)) {
				m.column[m.l.first[d]+e-1][k] = 1
			}
		}
		m.column[n][k] = 1
	}
}

// classes sets what each element may be off while the box is healthy. The floor of a dial
// belongs to its smallest element.
func (m *model) classes() {
	spec := m.l.box.Spec()
	m.half = make([]float64, len(m.l.elements)+1)
	for i, e := range m.l.elements {
		d := m.l.decades[e.dial]
		m.half[i] = float64((d.Tolerance+spec.Tolerance)*e.ohms) + d.Floor + spec.Floor
		if m.half[i] == 0 {
			m.half[i] = assumedClass * e.ohms
			m.assumed = true
		}
	}
	last := len(m.half) - 1
	m.half[last] = spec.ResidualTolerance
	if spec.ResidualTolerance == 0 {
		m.half[last] = max(spec.Residual, assumedResidual*float64(len(m.l.sections)))
	}
}

// notable is the part of a reading below which an effect of a bridge is left out.
const notable = 1e-9

func (m *model) bridges(strapped int) {
	p := newProbe(m.l)
	nodes := m.l.representatives()
	for i, c := range nodes {
		for _, d := range nodes[i+1:] {
			m.pairs = append(m.pairs, pair{c: c, d: d, kind: m.kindOf(c, d, strapped)})
		}
	}
	m.makeRoom()
	num, den := make([]float64, len(m.l.nodes)), make([]float64, len(m.l.nodes))
	for k, s := range m.settings {
		m.network[k] = p.solve(p.healthy, s)
		p.solver.impedances()
		least := notable * m.network[k]
		c := -1
		for i := range m.pairs {
			q := &m.pairs[i]
			if q.c != c {
				c = q.c
				p.solver.bridges(c, num, den)
			}
			if n, d := num[q.d], den[q.d]; d > 0 && float64(n*n) > least*d {
				q.setting = append(q.setting, int32(k))
				q.num = append(q.num, n)
				q.den = append(q.den, d)
			}
		}
	}
}

// makeRoom gives every pair room for every setting, in three pieces of memory and not in
// thousands.
func (m *model) makeRoom() {
	s := len(m.settings)
	setting, num, den := make([]int32, s*len(m.pairs)), make([]float64, s*len(m.pairs)), make([]float64, s*len(m.pairs))
	for i := range m.pairs {
		q, from, to := &m.pairs[i], i*s, (i+1)*s
		q.setting, q.num, q.den = setting[from:from:to], num[from:from:to], den[from:from:to]
	}
}

// kindOf names the bridge between two nodes.
func (m *model) kindOf(c, d, strapped int) Kind {
	l := m.l
	n := len(l.nodes)
	first, second := l.joined[n-2], l.joined[n-1]
	switch {
	case c == first && d == second || c == second && d == first:
		return TerminalLeak
	case strapped == 1 && (c == first || d == first), strapped == 2 && (c == second || d == second):
		return CaseLeak
	}
	if m.elementBetween(c, d) >= 0 {
		return ElementLeak
	}
	for i := range l.sections {
		for w, taps := range l.sections[i].taps {
			a, b := l.joined[taps[0]], l.joined[taps[len(taps)-1]]
			if c == a && d == b || c == b && d == a {
				return DialLeak
			}
			if w >= 0 && contains(l, taps, c) && contains(l, taps, d) {
				return Bridge
			}
		}
	}
	return DialBridge
}

func contains(l *layout, taps []int, node int) bool {
	for _, t := range taps {
		if l.joined[t] == node {
			return true
		}
	}
	return false
}

// elementBetween returns the element whose ends two nodes are; −1 where none is.
func (m *model) elementBetween(c, d int) int {
	for i, e := range m.l.elements {
		a, b := m.l.joined[e.a], m.l.joined[e.b]
		if a == c && b == d || a == d && b == c {
			return i
		}
	}
	return -1
}

// fault describes the bridge of a pair.
func (m *model) fault(q *pair, r float64) Fault {
	f := Fault{Kind: q.kind, A: m.l.nodes[q.c], B: m.l.nodes[q.d], Value: r}
	switch q.kind {
	case ElementLeak:
		e := m.l.elements[m.elementBetween(q.c, q.d)]
		f.A, f.B = Place{Element, e.dial, e.number}, Place{}
	case TerminalLeak:
		f.A, f.B = Place{Terminal, 0, 1}, Place{Terminal, 0, 2}
	case DialLeak:
		f.A, f.B = Place{WholeDial, m.dialBetween(q.c, q.d), 0}, Place{}
	}
	return f
}

func (m *model) dialBetween(c, d int) int {
	for i := range m.l.sections {
		for w, taps := range m.l.sections[i].taps {
			a, b := m.l.joined[taps[0]], m.l.joined[taps[len(taps)-1]]
			if c == a && d == b || c == b && d == a {
				return m.l.sections[i].dials[w]
			}
		}
	}
	return -1
}

// signature sets dst to the change of each setting by a bridge of r ohms.
func (q *pair) signature(dst []float64, r float64) {
	clear(dst)
	for i, k := range q.setting {
		dst[k] = -q.num[i] * q.num[i] / (q.den[i] + r)
	}
}

// exact predicts the settings with faults by the network, with the sensitivities to the
// elements, one row a setting.
func (m *model) exact(p *probe, faults []Fault, value []float64, a [][]float64) error {
	c := m.l.unchanged()
	for _, f := range faults {
		if err := c.apply("fault.Diagnose", f); err != nil {
			return err
		}
	}
	for k, s := range m.settings {
		value[k] = m.sensitivities(p, c, k, s, a)
	}
	return nil
}

func (m *model) sensitivities(p *probe, c *change, k int, s decade.Setting, a [][]float64) float64 {
	r := p.solve(c, s)
	if math.IsInf(r, 1) {
		return r
	}
	if a != nil {
		p.currents(c, a[k])
		a[k][len(m.l.elements)] = c.gain
	}
	return c.gain * (m.base[k] + (r - m.network[k]))
}
