// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/bits"
)

// An edge is a resistor between two nodes, as its conductance in siemens.
type edge struct {
	from, to int
	siemens  float64
}

// A solver finds the resistance between the last two nodes of a network, the first
// terminal n−2 and the second, grounded, n−1.
//
// Nodes are eliminated in the order of their numbers by star-mesh transformation: the
// conductances g_i of a node to its later neighbours are replaced by g_i·g_j/Σg between
// these. Only positive numbers are added, multiplied and divided, never subtracted (the
// elimination of W. K. Grassmann, M. I. Taksar and D. P. Heyman, Oper. Res. 33, 1985,
// known there for Markov chains), so every result has a relative error of a few units
// of rounding however far apart the resistances are. A factorisation of the matrix of
// nodes loses all digits where a contact is open beside a leakage of 1 TΩ.
//
// A node without a path to later ones has s = 0: it belongs to an open part.
type solver struct {
	numNodes, words         int
	later                   []uint64  // n rows of bits: later neighbours
	siemens                 []float64 // n×n, valid where the bit is set, row < column
	start                   []int32   // of each node in nbr and l
	neighbours              []int32
	fraction                []float64 // g / s
	sum                     []float64 // sum of conductances to later nodes
	impedance               []float64 // n×n
	firstTerminal, diagonal []float64 // of z: the row of the first terminal, the diagonal
	list                    []int32
}

func newSolver(n int) *solver {
	w := (n + 63) / 64
	return &solver{
		numNodes: n, words: w, later: make([]uint64, n*w), siemens: make([]float64, n*n),
		start:      make([]int32, n+1),
		neighbours: make([]int32, 0, 8*n), fraction: make([]float64, 0, 8*n),
		sum: make([]float64, n), list: make([]int32, 0, n),
	}
}

func (s *solver) addSiemens(a, b int, g float64) {
	// Conductances stand where the row comes first in the order of elimination.
	if a > b {
		a, b = b, a
	}
	bit := &s.later[a*s.words+b>>6]
	if *bit&(1<<(b&63)) != 0 {
		s.siemens[a*s.numNodes+b] += g
		return
	}
	*bit |= 1 << (b & 63)
	s.siemens[a*s.numNodes+b] = g
}

// eliminateAll eliminates all nodes but the last.
func (s *solver) eliminateAll(edges []edge) { s.eliminateWith(edges, edge{}) }

// eliminateWith does so with one edge more.
func (s *solver) eliminateWith(edges []edge, more edge) {
	clear(s.later)
	for _, e := range edges {
		// An edge from a node to itself carries nothing, and one without conductance is none.
		if e.from != e.to && e.siemens > 0 {
			s.addSiemens(e.from, e.to, e.siemens)
		}
	}
	if more.from != more.to {
		s.addSiemens(more.from, more.to, more.siemens)
	}
	s.neighbours, s.fraction = s.neighbours[:0], s.fraction[:0]
	for k := range s.numNodes - 1 {
		s.eliminateNode(k)
	}
	s.start[s.numNodes-1] = int32(len(s.neighbours))
	s.start[s.numNodes] = int32(len(s.neighbours))
}

func (s *solver) eliminateNode(k int) {
	s.start[k] = int32(len(s.neighbours))
	list := s.list[:0]
	row := s.siemens[k*s.numNodes:]
	sum := 0.0
	for w := k >> 6; w < s.words; w++ {
		for m := s.later[k*s.words+w]; m != 0; m &= m - 1 {
			j := w<<6 + bits.TrailingZeros64(m)
			list = append(list, int32(j))
			sum += row[j]
		}
	}
	s.sum[k] = sum
	for i, a := range list {
		f := row[a] / sum
		s.neighbours = append(s.neighbours, a)
		s.fraction = append(s.fraction, f)
		// Star to mesh: g_a·g_b/Σg between any two neighbours, products and quotients only.
		for _, b := range list[i+1:] {
			s.addSiemens(int(a), int(b), f*row[b])
		}
	}
}

// resistance is that between the terminals in ohms; +Inf where there is no path.
func (s *solver) resistance() float64 { return 1 / s.sum[s.numNodes-2] }

// potentials sets v to those of the nodes with 1 A from the first terminal to the second.
// It is for networks with a path; open parts have potential 0.
func (s *solver) potentials(v []float64) {
	v[s.numNodes-1], v[s.numNodes-2] = 0, s.resistance()
	for k := s.numNodes - 3; k >= 0; k-- {
		sum := 0.0
		for i := s.start[k]; i < s.start[k+1]; i++ {
			sum += float64(s.fraction[i] * v[s.neighbours[i]])
		}
		v[k] = sum
	}
}

// impedances sets z to the matrix of transfer resistances: z[i][k] is the potential of
// node i with 1 A into node k, out at the second terminal. All terms are positive. It is
// for networks without open parts.
func (s *solver) impedances() {
	n := s.numNodes
	if s.impedance == nil {
		s.impedance = make([]float64, n*n)
		s.firstTerminal, s.diagonal = s.impedance[(n-2)*n:(n-1)*n], make([]float64, n)
	}
	clear(s.impedance[(n-1)*n:])
	for k := n - 2; k >= 0; k-- {
		row := s.impedance[k*n : k*n+n]
		clear(row)
		// 1 A into the node finds its way through what was left of the network when it was eliminated.
		own := 1 / s.sum[k]
		for i := s.start[k]; i < s.start[k+1]; i++ {
			l, other := s.fraction[i], s.impedance[int(s.neighbours[i])*n:]
			for j := k + 1; j < n; j++ {
				row[j] += float64(l * other[j])
			}
		}
		for i := s.start[k]; i < s.start[k+1]; i++ {
			own += float64(s.fraction[i] * row[s.neighbours[i]])
		}
		row[k], s.diagonal[k] = own, own
		for j := k + 1; j < n; j++ {
			s.impedance[j*n+k] = row[j]
		}
	}
}

// bridgeTerms sets the two numbers on which the effect of a resistor r between node c and each
// node d after it depends: the resistance between the terminals falls by
// num[d]²/(den[d] + r). They come from impedances by subtraction; see [solver.bridged] for
// when that will not do.
func (s *solver) bridgeTerms(c int, num, den []float64) {
	n := s.numNodes
	top, diag, row := s.firstTerminal[:n], s.diagonal[:n], s.impedance[c*n:c*n+n]
	num, den = num[:n], den[:n]
	for d := c + 1; d < n; d++ {
		num[d] = top[c] - top[d]
		den[d] = diag[c] + diag[d] - 2*row[d]
	}
}

// mostLost is how far subtraction may magnify rounding in the formula of a bridge.
const mostLost = 3e4

// bridged returns the resistance between the terminals with r ohms between nodes c and
// d, where factor(edges) and impedances were called. The formula costs a few nanoseconds;
// where subtraction would lose more than four digits or so, the network is eliminated
// again in the other solver with the bridge in it.
func (s *solver) bridged(again *solver, edges []edge, c, d int, r float64) float64 {
	n := s.numNodes
	rowC, rowD := s.impedance[c*n:c*n+n], s.impedance[d*n:d*n+n]
	num := rowC[n-2] - rowD[n-2]
	sum := rowC[c] + rowD[d]
	total := sum - 2*rowC[d] + r
	change := num * num / total
	left := s.impedance[(n-2)*n+n-2] - change
	// The inverse with one edge more is M. A. Woodbury's identity for rank one; this is how much its
	// two differences magnify the rounding of their terms.
	if change*sum+math.Abs(num)*(rowC[n-2]+rowD[n-2]) <= mostLost*total*left {
		return left
	}
	again.eliminateWith(edges, edge{c, d, 1 / r})
	return again.resistance()
}
