// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"slices"
	"testing"

	"example.com/ohmwright/decade"
)

// The common zero of a shared switch carries the current only where all its ranges stand
// at 0; another position wherever its own range does.
func TestContactOfSharedZero(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 3, Switch: "S1"}, {Step: 1, Positions: 2, Switch: "S1"}}})
	m := newModel(b, []decade.Setting{at(t, b, 0, 0), at(t, b, 2, 0), at(t, b, 0, 1)}, 0)
	for _, c := range []struct {
		contact Place
		want    []float64
	}{
		{Place{PartPosition, 0, 0}, []float64{1, 0, 0}},
		{Place{PartPosition, 0, 2}, []float64{0, 1, 0}},
		{Place{PartPosition, 1, 1}, []float64{0, 0, 1}},
	} {
		if got := m.contactInUse(c.contact); !slices.Equal(got, c.want) {
			t.Errorf("%v: touched %v; want %v", c.contact, got, c.want)
		}
	}
}

// With the case strapped to a terminal, whatever leaks to this terminal may leak to the
// case; what leaks to the other one may not.
func TestBridgesOfStrappedCase(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	for strapped := range 3 {
		m := newModel(b, []decade.Setting{b.Zero()}, strapped)
		n := len(m.layout.nodes)
		ends := []int{m.layout.joined[n-2], m.layout.joined[n-1]}
		cases := 0
		for _, q := range m.pairs {
			first, second := q.from == ends[0] || q.to == ends[0], q.from == ends[1] || q.to == ends[1]
			toCase := first != second && (strapped == 1 && first || strapped == 2 && second)
			if (q.kind == KindCaseLeak) != toCase || (q.kind == KindTerminalLeak) != (first && second) {
				t.Errorf("strapped %d: %v between %v and %v", strapped, q.kind, m.layout.nodes[q.from], m.layout.nodes[q.to])
			}
			if toCase {
				cases++
			}
			if got := m.kindOf(q.to, q.from, strapped); got != q.kind {
				t.Errorf("strapped %d: %v of the nodes in the other order; want %v", strapped, got, q.kind)
			}
		}
		if want := len(m.layout.representatives()) - 2; strapped > 0 && cases != want {
			t.Errorf("strapped %d: %d leaks to the case; want %d", strapped, cases, want)
		}
	}
}

// Joined nodes go by the name of a tap where there is one, and of two taps by that of the
// later dial.
func TestNamesOfJoinedNodes(t *testing.T) {
	ladders, turned := dials(0.001, 100, 10), dials(0.001, 100, 10)
	turned[0].WiperFirst, turned[1].WiperFirst = true, true
	for _, c := range []struct {
		name  string
		dials []decade.Decade
		want  map[Place]Place
	}{
		{"ladders", ladders, map[Place]Place{
			{PartTerminal, 0, 1}: {PartTap, 0, 0}, {PartTap, 0, 0}: {PartTap, 0, 0},
			{PartWiper, 0, 0}: {PartTap, 1, 0}, {PartTap, 1, 0}: {PartTap, 1, 0},
			{PartWiper, 1, 0}: {PartTerminal, 0, 2}, {PartTerminal, 0, 2}: {PartTerminal, 0, 2},
		}},
		{"wiper first", turned, map[Place]Place{
			{PartTerminal, 0, 1}: {PartWiper, 0, 0}, {PartWiper, 0, 0}: {PartWiper, 0, 0},
			{PartWiper, 1, 0}: {PartTap, 0, 0}, {PartTap, 0, 0}: {PartTap, 0, 0},
			{PartTerminal, 0, 2}: {PartTap, 1, 0}, {PartTap, 1, 0}: {PartTap, 1, 0},
		}},
		{"codes", coded(0.001, decade.Code1242(), 100, 10), map[Place]Place{
			{PartTerminal, 0, 1}: {PartTap, 0, 0}, {PartTap, 0, 4}: {PartTap, 1, 0}, {PartTap, 1, 0}: {PartTap, 1, 0}, {PartTerminal, 0, 2}: {PartTap, 1, 4},
		}},
	} {
		l := newLayout(box(t, decade.Spec{Decades: c.dials}))
		for node, want := range c.want {
			if i := slices.Index(l.nodes, node); i < 0 || l.nodes[l.joined[i]] != want {
				t.Errorf("%s: %v (node %d) does not go by the name of %v", c.name, node, i, want)
			}
		}
	}
}

// Where a code says how few contacts it closes, one of them shorts a run of elements.
func TestRunsOfContacts(t *testing.T) {
	code := decade.Code{Weights: []int{1, 2, 4}, InCircuit: [][]int{nil, {1}, {2}, {1, 2}, {3}, {1, 3}, {2, 3}, {1, 2, 3}}}
	single := [][]elementRun{{{1, 1}, {2, 2}, {3, 3}}, {{2, 2}, {3, 3}}, {{1, 1}, {3, 3}}, {{3, 3}}, {{1, 1}, {2, 2}}, {{2, 2}}, {{1, 1}}, nil}
	runs := [][]elementRun{{{1, 3}}, {{2, 3}}, {{1, 1}, {3, 3}}, {{3, 3}}, {{1, 2}}, {{2, 2}}, {{1, 1}}, nil}
	for _, c := range []struct {
		contacts []int
		want     [][]elementRun
	}{{nil, single}, {[]int{1, 1, 2, 1, 1, 1, 1, 0}, runs}, {[]int{3, 2, 2, 1, 2, 1, 1, 0}, single}} {
		code.Contacts = c.contacts
		l := newLayout(box(t, decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 7, Code: code}}}))
		for p, want := range c.want {
			if got := l.shortedRuns(0, p); !slices.Equal(got, want) {
				t.Errorf("contacts %v, position %d: %v; want %v", c.contacts, p, got, want)
			}
		}
	}
}
