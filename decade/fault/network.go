// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A decade box is a network of some tens to two hundred resistors, from a short of 1 µΩ to a leak
// of 10 TΩ. Its resistance between the terminals is needed anew for each setting and each set of
// faults. So conductances of 1e6 S and 1e-13 S stand in one network, and a
// result must not depend on their differences.
//
// Nodes are eliminated one after the other by star-mesh transformation. Kirchhoff's current law
// at a node with conductances g_i to neighbours at potentials v_i, and no current from outside,
// gives v = Σ(g_i/Σg)·v_i; put into the equations of the neighbours, this joins each pair of
// them by g_i·g_j/Σg. A node with w later neighbours costs w²/2 products. The layout numbers a
// ladder from its far end, where w is 2 or 3, so that a box of n nodes costs some multiple of n;
// an order that makes w large would cost n³/6, as a full matrix does.
//
// What follows from one elimination: the resistance in O(1), the potentials of all nodes in
// O(n·w), and the transfer resistances of all pairs of nodes in O(n²·w), from which each bridge
// costs one division.

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
	numNodes int // n
	words    int // of 64 bits in a row of later

	// The network while it is eliminated. Bits say which conductances there are, so that a new
	// network clears n²/64 words and not n² numbers.
	later   []uint64  // n rows of bits: the neighbours with larger numbers
	siemens []float64 // n×n, row < column; what stands where no bit is set is of a former network

	// The stars as they were eliminated: those of node k are start[k] to start[k+1].
	start      []int32   // n+1
	neighbours []int32   // later ones, in the order of their numbers
	fraction   []float64 // of the current into the star that each neighbour takes, g/Σg
	sum        []float64 // Σg in siemens; 0 of a node without a path to later ones

	impedance     []float64 // n×n in Ω, symmetric; nil until impedances is asked for
	firstTerminal []float64 // its row n−2
	diagonal      []float64 // a copy: read for every pair of nodes
	list          []int32   // scratch: the neighbours of the node that is eliminated
}

// newSolver makes a solver for n nodes. It takes any number of networks of so many nodes, one
// after the other, without a further allocation, but not from two goroutines at once.
func newSolver(n int) *solver {
	w := (n + 63) / 64
	return &solver{
		numNodes: n, words: w, later: make([]uint64, n*w), siemens: make([]float64, n*n),
		start:      make([]int32, n+1),
		neighbours: make([]int32, 0, 8*n), fraction: make([]float64, 0, 8*n),
		sum: make([]float64, n), list: make([]int32, 0, n),
	}
}

// addSiemens joins two different nodes, in parallel with what joins them already.
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

// eliminateAll eliminates all nodes but the last. A circuit without a path between the terminals
// is no error: its resistance is +Inf.
func (s *solver) eliminateAll(edges []edge) { s.eliminateWith(edges, edge{}) }

// eliminateWith does so with one edge more. An edge more with from == to is none. It stands
// apart from the list so that a bridge costs no copy of the edges.
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
	// The ground has no star; its empty one closes the list.
	s.start[s.numNodes-1] = int32(len(s.neighbours))
	s.start[s.numNodes] = int32(len(s.neighbours))
}

// eliminateNode records the star of node k and joins its neighbours with each other. An edge
// stands in the row of its first node, so that row k holds what the nodes before k have made of
// the edges of k, and no earlier node.
func (s *solver) eliminateNode(k int) {
	s.start[k] = int32(len(s.neighbours))
	list := s.list[:0]
	row := s.siemens[k*s.numNodes:]
	sum := 0.0
	for w := k >> 6; w < s.words; w++ {
		// m &= m − 1 takes the lowest bit away: neighbours come in the order of their numbers,
		// and the roundings of their sum are the same on every processor.
		for m := s.later[k*s.words+w]; m != 0; m &= m - 1 {
			j := w<<6 + bits.TrailingZeros64(m)
			list = append(list, int32(j))
			sum += row[j]
		}
	}
	// A node of an open part has no neighbour left and the sum 0; the loop below then has
	// nothing to divide by it.
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

// resistance is that between the terminals in ohms; +Inf where there is no path. With all but
// the terminals eliminated the star of the first one is the conductance between them.
func (s *solver) resistance() float64 { return 1 / s.sum[s.numNodes-2] }

// potentials sets v to those of the nodes with 1 A from the first terminal to the second. It is
// for networks with a path; open parts have potential 0. v has a place for each node and is set
// in volts.
func (s *solver) potentials(v []float64) {
	v[s.numNodes-1], v[s.numNodes-2] = 0, s.resistance()
	// Backwards, since the neighbours in the star of a node have larger numbers.
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
//
// It is the inverse of the matrix of conductances without the ground, found from the last node
// back: of 1 A into node k the fraction f_i goes on to neighbour i, so that z[k][j] =
// Σf_i·z[i][j] for every later j, and z[k][k] = 1/Σg + Σf_i·z[k][i] with the star itself in
// between. The column follows by reciprocity.
func (s *solver) impedances() {
	n := s.numNodes
	if s.impedance == nil {
		s.impedance = make([]float64, n*n)
		s.firstTerminal, s.diagonal = s.impedance[(n-2)*n:(n-1)*n], make([]float64, n)
	}
	// The ground is at 0 V whatever flows.
	clear(s.impedance[(n-1)*n:])
	for k := n - 2; k >= 0; k-- {
		row := s.impedance[k*n : k*n+n]
		clear(row)
		// 1 A into the node finds its way through what was left when it was eliminated.
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
//
// With z as above and t the first terminal, 1 A from terminal to terminal leaves z[t][c] −
// z[t][d] volts between c and d, which is num, and between c and d alone one sees the resistance
// z[c][c] + z[d][d] − 2·z[c][d], which is den. By Thévenin's theorem r carries num/(den + r)
// there, and by reciprocity this current takes num times itself from the voltage at the
// terminals.
func (s *solver) bridgeTerms(c int, num, den []float64) {
	n := s.numNodes
	top, diag, row := s.firstTerminal[:n], s.diagonal[:n], s.impedance[c*n:c*n+n]
	num, den = num[:n], den[:n]
	for d := c + 1; d < n; d++ {
		num[d] = top[c] - top[d]
		den[d] = diag[c] + diag[d] - 2*row[d]
	}
}

// mostLost is how far subtraction may magnify rounding in the formula of a bridge. 3e4 roundings
// of 2⁻⁵³ are 3 parts in 10¹², far below what any meter resolves. With a smaller bound more
// bridges cost a whole elimination.
const mostLost = 3e4

// bridged returns the resistance between the terminals with r ohms between nodes c and
// d, where factor(edges) and impedances were called. The formula costs a few nanoseconds;
// where subtraction would lose more than four digits or so, the network is eliminated
// again in the other solver with the bridge in it.
//
// With ε the rounding of the entries of z, num is wrong by ε·(z[t][c] + z[t][d]) and den by
// about ε·(z[c][c] + z[d][d]), the sum below; so num²/total is wrong by some ε·(|num|·(z[t][c] +
// z[t][d]) + change·sum)/total. Over what is left this is the condition.
func (s *solver) bridged(again *solver, edges []edge, c, d int, r float64) float64 {
	n := s.numNodes
	rowC, rowD := s.impedance[c*n:c*n+n], s.impedance[d*n:d*n+n]
	num := rowC[n-2] - rowD[n-2]
	sum := rowC[c] + rowD[d]
	total := sum - 2*rowC[d] + r
	change := num * num / total
	left := s.impedance[(n-2)*n+n-2] - change
	// The inverse with one edge more is M. A. Woodbury's identity for rank one; this is how much
	// its two differences magnify the rounding of their terms. The formula is also that of
	// Sherman and Morrison (G. H. Golub and C. F. Van Loan, Matrix Computations, section 2.1.4,
	// from memory).
	if change*sum+math.Abs(num)*(rowC[n-2]+rowD[n-2]) <= mostLost*total*left {
		return left
	}
	again.eliminateWith(edges, edge{c, d, 1 / r})
	return again.resistance()
}
