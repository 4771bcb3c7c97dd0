// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// The resistance between two nodes, by a method that has nothing in common with package fault's
// elimination in float64: first what a technician would do on paper, then the equations of the
// nodes in 300 bits.
//
//   1. nodes joined by 0 Ω are one; open resistors are none
//   2. dead ends go: a node with one resistor carries no current
//   3. a node with two resistors is their sum, in parallel with what is there
//   4. what remains has nodes of three resistors or more: a nodal analysis
//
// A sound box ends at step 3 with one resistor; bridges leave the few nodes between their feet.
// So the cost is that of the reduction, and k³/3 operations in 300 bits for the k nodes that are
// left. Sums in step 3 are float64: series and parallel resistors add positive numbers and lose
// nothing.
//
// The Schur complement of all nodes but a, with b grounded, is the conductance that a source at
// a sees: elimination in the usual order leaves it as the last pivot, and the voltages are not
// needed.

import (
	"math"
	"math/big"
)

// resistor joins two nodes of a network. A resistance of 0 makes them one node, one that is
// infinite is none. ohms is never below 0.
type resistor struct {
	a, b int
	ohms float64
}

// between returns the resistance in ohms between two nodes of a network of n nodes; +Inf where
// nothing joins them. n counts the numbers of nodes; most need not be in the network.
func between(network []resistor, n, a, b int) float64 {
	g := newGraph(network, n, a, b)
	// Joined by 0 Ω, as a strapped case may do it.
	if g.find(a) == g.find(b) {
		return 0
	}
	g.reduce()
	return nodal(g.rest(), g.n, g.a, g.b)
}

// graph is a network from which nodes are taken out: dead ends, and nodes between two resistors
// in series. near lists for each node the resistors at it, each pair of nodes once; a and b are
// the representatives of the terminals, which are never taken out.
type graph struct {
	n, a, b int
	same    []int // representative of nodes joined by 0 Ω
	near    [][]branch
}

type branch struct {
	to   int
	ohms float64
}

// All nodes of 0 Ω are joined before the first resistor is put in: its ends are representatives
// then.
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

// Chains are short: a few links of 0 Ω.
func (g *graph) find(i int) int {
	for g.same[i] != i {
		i = g.same[i]
	}
	return i
}

// join adds a resistor, in parallel to what is there. A resistor from a node to itself carries
// nothing.
func (g *graph) join(a, b int, ohms float64) {
	if a == b {
		return
	}
	for i, x := range g.near[a] {
		if x.to == b {
			// A conductance is never 0 here: infinite resistors were left out.
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

// cut takes the resistor to b out of the list of a, if it is there.
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

// reduce takes out nodes with one or two resistors until none is left. A node that has lost a
// resistor is looked at again, so that chains fall from their ends.
func (g *graph) reduce() {
	work := make([]int, 0, 2*g.n)
	for i := range g.n {
		work = append(work, i)
	}
	for len(work) > 0 {
		i := work[len(work)-1]
		work = work[:len(work)-1]
		near := g.near[i]
		// Three resistors or more stay for the nodal analysis.
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

// rest lists the resistors that are left. Each is listed once, from its lower node.
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

// precision of the nodal analysis in bits: conductances from 1e-15 S to 1e9 S, twice over. That
// ratio of 10²⁴ is 80 bits; elimination subtracts numbers of it once more, so that 160 may be
// lost and 140 are left, of which float64 takes 53.
const precision = 300

// nodal returns the resistance between nodes a and b by nodal analysis: b is grounded, one
// ampere enters at a, and the matrix of conductances gives the voltages.
//
// With the voltages v of all nodes but b, G·v = i, i being 1 at a and 0 elsewhere; eliminating
// all but v_a leaves (last pivot)·v_a = 1.
func nodal(network []resistor, n, a, b int) float64 {
	if len(network) == 1 && a != b {
		return network[0].ohms // nothing but the one resistor between the two
	}
	// Parts that no path joins with a would make the matrix singular.
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
// the sum of the conductances at a node, beside it less that between two. size is the number of
// unknowns; nil stands for 0. The ground has no row: what leads to it stands on the diagonal
// alone.
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

// lastPivot eliminates all unknowns but the last one from a symmetric matrix, nil being 0. The
// matrix is diagonally dominant, so that no pivot is small beside what stands below it and none
// has to be looked for.
func lastPivot(m [][]*big.Float) float64 {
	f, t := new(big.Float).SetPrec(precision), new(big.Float).SetPrec(precision)
	last := len(m) - 1
	for k := range last {
		for i := k + 1; i <= last; i++ {
			// No entry, nothing to eliminate: the matrix has few.
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

// reached marks with 0 the nodes that a path joins with a, others with −1. A search in depth.
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
