// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"math/big"
)

// resistor joins two nodes of a network. A resistance of 0 makes them one node, one that is
// infinite is none.
type resistor struct {
	a, b int
	ohms float64
}

// between returns the resistance in ohms between two nodes of a network of n nodes; +Inf
// where nothing joins them.
func between(network []resistor, n, a, b int) float64 {
	g := newGraph(network, n, a, b)
	if g.find(a) == g.find(b) {
		return 0
	}
	g.reduce()
	return nodal(g.rest(), g.n, g.a, g.b)
}

// graph is a network from which nodes are taken out: dead ends, and nodes between two
// resistors in series.
type graph struct {
	n, a, b int
	same    []int // representative of nodes joined by 0 Ω
	near    [][]branch
}

type branch struct {
	to   int
	ohms float64
}

func newGraph(network []resistor, n, a, b int) *graph {
	g := &graph{n: n, same: make([]int, n), near: make([][]branch, n)}
	for i := range g.same {
		g.same[i] = i
	}
	for _, r := range network {
		if r.ohms == 0 {
			g.same[g.find(r.a)] = g.find(r.b)
		}
	}
	g.a, g.b = g.find(a), g.find(b)
	for _, r := range network {
		if r.ohms != 0 && !math.IsInf(r.ohms, 1) {
			g.join(g.find(r.a), g.find(r.b), r.ohms)
		}
	}
	return g
}

func (g *graph) find(i int) int {
	for g.same[i] != i {
		i = g.same[i]
	}
	return i
}

// join adds a resistor, in parallel to what is there.
func (g *graph) join(a, b int, ohms float64) {
	if a == b {
		return
	}
	for i, x := range g.near[a] {
		if x.to == b {
			ohms = 1 / (1/x.ohms + 1/ohms)
			g.near[a][i].ohms = ohms
			for j, y := range g.near[b] {
				if y.to == a {
					g.near[b][j].ohms = ohms
				}
			}
			return
		}
	}
	g.near[a] = append(g.near[a], branch{b, ohms})
	g.near[b] = append(g.near[b], branch{a, ohms})
}

func (g *graph) cut(a, b int) {
	list := g.near[a]
	for i, x := range list {
		if x.to == b {
			list[i] = list[len(list)-1]
			g.near[a] = list[:len(list)-1]
			return
		}
	}
}

// reduce takes out nodes with one or two resistors until none is left.
func (g *graph) reduce() {
	work := make([]int, 0, 2*g.n)
	for i := range g.n {
		work = append(work, i)
	}
	for len(work) > 0 {
		i := work[len(work)-1]
		work = work[:len(work)-1]
		near := g.near[i]
		if i == g.a || i == g.b || len(near) == 0 || len(near) > 2 {
			continue
		}
		g.near[i] = nil
		for _, x := range near {
			g.cut(x.to, i)
			work = append(work, x.to)
		}
		if len(near) == 2 {
			g.join(near[0].to, near[1].to, near[0].ohms+near[1].ohms)
		}
	}
}

// rest lists the resistors that are left.
func (g *graph) rest() []resistor {
	var out []resistor
	for i, list := range g.near {
		for _, x := range list {
			if i < x.to {
				out = append(out, resistor{i, x.to, x.ohms})
			}
		}
	}
	return out
}

// precision of the nodal analysis in bits: conductances from 1e-15 S to 1e9 S, twice over.
const precision = 300

// nodal returns the resistance between nodes a and b by nodal analysis: b is grounded, one
// ampere enters at a, and the matrix of conductances gives the voltages.
func nodal(network []resistor, n, a, b int) float64 {
	if len(network) == 1 && a != b {
		return network[0].ohms // nothing but the one resistor between the two
	}
	index := reached(network, n, a)
	if index[b] < 0 {
		return math.Inf(1)
	}
	// The order of the unknowns: node a last, so that its voltage comes out first.
	size := 0
	for i := range index {
		if i == a || i == b || index[i] < 0 {
			continue
		}
		index[i] = size
		size++
	}
	index[a], index[b] = size, -1
	return 1 / lastPivot(conductances(network, index, size+1, b))
}

// conductances returns the matrix of the unknowns, which index gives the nodes: on the diagonal
// the sum of the conductances at a node, beside it less that between two.
func conductances(network []resistor, index []int, size, ground int) [][]*big.Float {
	m := make([][]*big.Float, size)
	for i := range m {
		m[i] = make([]*big.Float, size)
	}
	add := func(i, j int, g *big.Float) {
		if i < 0 || j < 0 {
			return
		}
		if m[i][j] == nil {
			m[i][j] = new(big.Float).SetPrec(precision)
		}
		if i == j {
			m[i][j].Add(m[i][j], g)
		} else {
			m[i][j].Sub(m[i][j], g)
		}
	}
	one := new(big.Float).SetPrec(precision).SetInt64(1)
	for _, r := range network {
		i, j := index[r.a], index[r.b]
		if i < 0 && r.a != ground || j < 0 && r.b != ground || i == j {
			continue // of a part that the terminals do not reach
		}
		ohms := new(big.Float).SetPrec(precision).SetFloat64(r.ohms)
		g := new(big.Float).SetPrec(precision).Quo(one, ohms)
		add(i, i, g)
		add(j, j, g)
		add(i, j, g)
		add(j, i, g)
	}
	return m
}

// lastPivot eliminates all unknowns but the last one from a symmetric matrix, nil being 0.
func lastPivot(m [][]*big.Float) float64 {
	f, t := new(big.Float).SetPrec(precision), new(big.Float).SetPrec(precision)
	last := len(m) - 1
	for k := range last {
		for i := k + 1; i <= last; i++ {
			if m[i][k] == nil {
				continue
			}
			f.Quo(m[i][k], m[k][k])
			for j := k + 1; j <= last; j++ {
				if m[k][j] == nil {
					continue
				}
				if m[i][j] == nil {
					m[i][j] = new(big.Float).SetPrec(precision)
				}
				m[i][j].Sub(m[i][j], t.Mul(f, m[k][j]))
			}
		}
	}
	v, _ := m[last][last].Float64()
	return v
}

// reached marks with 0 the nodes that a path joins with a, others with −1.
func reached(network []resistor, n, a int) []int {
	near := make([][]int, n)
	for _, r := range network {
		near[r.a] = append(near[r.a], r.b)
		near[r.b] = append(near[r.b], r.a)
	}
	out := make([]int, n)
	for i := range out {
		out[i] = -1
	}
	out[a] = 0
	work := []int{a}
	for len(work) > 0 {
		i := work[len(work)-1]
		work = work[:len(work)-1]
		for _, j := range near[i] {
			if out[j] < 0 {
				out[j] = 0
				work = append(work, j)
			}
		}
	}
	return out
}
