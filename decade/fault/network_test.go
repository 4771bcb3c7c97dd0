// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// solved is the resistance between the last two of n nodes.
func solved(n int, edges []edge) float64 {
	s := newSolver(n)
	s.eliminateAll(edges)
	return s.resistance()
}

func relative(got, want float64) float64 { return math.Abs(got-want) / math.Abs(want) }

// Closed forms of textbooks: n in series, n in parallel, the balanced and unbalanced
// bridge of five resistors, the infinite ladder cut at n sections.
func TestSolverClosedForms(t *testing.T) {
	const terminalA, terminalB = 3, 4
	for _, r := range []float64{1e-3, 1, 47, 1e6, 1e12} {
		series := []edge{{terminalA, 0, 1 / r}, {0, 1, 1 / r}, {1, 2, 1 / r}, {2, terminalB, 1 / r}}
		if got := solved(5, series); relative(got, 4*r) > 1e-14 {
			t.Errorf("four of %v Ω in series: %v", r, got)
		}
		parallel := []edge{{terminalA, terminalB, 1 / r}, {terminalA, terminalB, 1 / r}, {terminalA, 0, 2 / r}, {0, terminalB, 2 / r}}
		if got := solved(5, parallel); relative(got, r/3) > 1e-14 {
			t.Errorf("three of %v Ω in parallel: %v", r, got)
		}
	}
	// A bridge with arms 1-2 | 3-4 and 5 Ω across: by the mesh equations 145/69 Ω.
	bridge := []edge{{2, 0, 1}, {0, 3, 1.0 / 2}, {2, 1, 1.0 / 3}, {1, 3, 1.0 / 4}, {0, 1, 1.0 / 5}}
	if got, want := solved(4, bridge), bridgeOfFive(1, 2, 3, 4, 5); relative(got, want) > 1e-14 {
		t.Errorf("bridge of five: %v, want %v", got, want)
	}
	if got := solved(4, []edge{{2, 0, 1}, {0, 3, 1}, {2, 1, 1}, {1, 3, 1}, {0, 1, 1e9}}); relative(got, 1) > 1e-12 {
		t.Errorf("balanced bridge: %v, want 1", got)
	}
}

// bridgeOfFive is the resistance of a bridge by delta-star transformation: a and c at the
// first terminal, b and d at the second, e across.
func bridgeOfFive(a, b, c, d, e float64) float64 {
	sum := a + c + e
	p, q, r := a*c/sum, a*e/sum, c*e/sum
	return p + (q+b)*(r+d)/(q+b+r+d)
}

// A chain of series 1 Ω and shunt 1 Ω has resistances F(2n+1)/F(2n) of Fibonacci numbers.
func TestSolverFibonacciLadder(t *testing.T) {
	const n = 20
	var edges []edge
	a, b := n+1, n+2 // terminals; nodes 0 … n
	edges = append(edges, edge{a, 0, 1})
	for i := range n {
		edges = append(edges, edge{i, b, 1}, edge{i, i + 1, 1})
	}
	edges = append(edges, edge{n, b, 1})
	f, g := 1.0, 1.0 // F(1), F(2)
	for range 2 * n {
		f, g = g, f+g
	}
	if got, want := solved(n+3, edges), (f+g)/g; relative(got, want) > 1e-14 {
		t.Errorf("ladder: %v, want %v", got, want)
	}
}

// random makes a connected network with resistances from 1 mΩ to 1 TΩ.
func random(rng *rand.Rand, n int) []edge {
	var out []edge
	ohms := func() float64 { return math.Pow(10, -3+15*rng.Float64()) }
	for i := 1; i < n; i++ {
		out = append(out, edge{rng.IntN(i), i, 1 / ohms()})
	}
	for range n {
		if a, b := rng.IntN(n), rng.IntN(n); a != b {
			out = append(out, edge{a, b, 1 / ohms()})
		}
	}
	return out
}

// exactly solves the equations of the nodes by Gauss elimination in 600 bits.
func exactly(n int, edges []edge) float64 {
	const prec = 600
	num := func(v float64) *big.Float { return new(big.Float).SetPrec(prec).SetFloat64(v) }
	k := n - 1 // the last node is ground
	a := make([][]*big.Float, k)
	for i := range a {
		a[i] = make([]*big.Float, k+1)
		for j := range a[i] {
			a[i][j] = num(0)
		}
	}
	a[k-1][k] = num(1)
	for _, e := range edges {
		for _, p := range [][2]int{{e.from, e.to}, {e.to, e.from}} {
			if p[0] < k {
				a[p[0]][p[0]].Add(a[p[0]][p[0]], num(e.siemens))
				if p[1] < k {
					a[p[0]][p[1]].Sub(a[p[0]][p[1]], num(e.siemens))
				}
			}
		}
	}
	for c := range k {
		for r := c + 1; r < k; r++ {
			if a[r][c].Sign() == 0 {
				continue
			}
			f := new(big.Float).SetPrec(prec).Quo(a[r][c], a[c][c])
			for j := c; j <= k; j++ {
				a[r][j].Sub(a[r][j], new(big.Float).SetPrec(prec).Mul(f, a[c][j]))
			}
		}
	}
	v, _ := new(big.Float).SetPrec(prec).Quo(a[k-1][k], a[k-1][k-1]).Float64()
	return v
}

func TestSolverAgainstBig(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	worst := 0.0
	for range 200 {
		n := 4 + rng.IntN(20)
		edges := random(rng, n)
		if e := relative(solved(n, edges), exactly(n, edges)); e > worst {
			worst = e
		}
	}
	if worst > 1e-13 {
		t.Errorf("largest relative error %.2g; expected 1e-13 or less for 1 mΩ to 1 TΩ", worst)
	}
}

// Bridges by the formula, or by elimination where the formula loses digits, against
// 600-bit arithmetic.
func TestBridgedAgainstBig(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	worst := 0.0
	for range numTrials(100, 40, 40) {
		n := 4 + rng.IntN(16)
		edges := random(rng, n)
		s, again := newSolver(n), newSolver(n)
		s.eliminateAll(edges)
		s.impedances()
		for range 20 {
			c, d := rng.IntN(n), rng.IntN(n)
			if c == d {
				continue
			}
			r := math.Pow(10, -3+15*rng.Float64())
			want := exactly(n, append(append([]edge(nil), edges...), edge{c, d, 1 / r}))
			worst = max(worst, relative(s.bridged(again, edges, c, d, r), want))
		}
	}
	if worst > 1e-11 {
		t.Errorf("largest relative error %.2g; expected 1e-11 or less", worst)
	}
}

func TestOpenNetwork(t *testing.T) {
	if got := solved(4, []edge{{2, 0, 1}, {1, 3, 1}}); !math.IsInf(got, 1) {
		t.Errorf("no path: %v, want +Inf", got)
	}
	if got := solved(5, []edge{{3, 4, 1}, {0, 1, 1}, {1, 2, 1}}); got != 1 {
		t.Errorf("an island beside 1 Ω: %v, want 1", got)
	}
	if got := solved(2, nil); !math.IsInf(got, 1) {
		t.Errorf("nothing: %v, want +Inf", got)
	}
}

// An open contact beside a leakage of 1 TΩ: a factorisation of the matrix of nodes loses
// its digits, the elimination does not.
func TestOpenContactBesideLeakage(t *testing.T) {
	edges := []edge{{3, 0, 1e3}, {0, 1, 1e2}, {1, 2, 10}, {2, 4, 1e-12}}
	want := 1e-3 + 1e-2 + 0.1 + 1e12
	if got := solved(5, edges); relative(got, want) > 1e-15 {
		t.Errorf("got %v, want %v", got, want)
	}
	edges = append(edges, edge{0, 4, 1e-12}, edge{1, 4, 1e-12})
	if got, want := solved(5, edges), exactly(5, edges); relative(got, want) > 1e-14 {
		t.Errorf("got %v, want %v", got, want)
	}
}

// dense is the matrix of the nodes but the grounded one.
func dense(n int, edges []edge) *mat.SymDense {
	m := mat.NewSymDense(n-1, nil)
	add := func(i, j int, v float64) {
		if i < n-1 && j < n-1 {
			m.SetSym(i, j, m.At(i, j)+v)
		}
	}
	for _, e := range edges {
		add(e.from, e.from, e.siemens)
		add(e.to, e.to, e.siemens)
		add(min(e.from, e.to), max(e.from, e.to), -e.siemens)
	}
	return m
}

// cholesky is the resistance by gonum's factorisation.
func cholesky(n int, edges []edge) float64 {
	var chol mat.Cholesky
	if !chol.Factorize(dense(n, edges)) {
		return math.NaN()
	}
	b := mat.NewVecDense(n-1, nil)
	b.SetVec(n-2, 1)
	var x mat.VecDense
	if chol.SolveVecTo(&x, b) != nil {
		return math.NaN()
	}
	return x.AtVec(n - 2)
}

// Where resistances lie close together gonum's nodal analysis agrees.
func TestSolverAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		n := 4 + rng.IntN(30)
		edges := random(rng, n)
		for i := range edges {
			edges[i].siemens = 1 / (1 + 9*rng.Float64())
		}
		if got, want := solved(n, edges), cholesky(n, edges); relative(got, want) > 1e-12 {
			t.Fatalf("%v, gonum %v", got, want)
		}
		s := newSolver(n)
		s.eliminateAll(edges)
		s.impedances()
		var inv mat.Dense
		if err := inv.Inverse(dense(n, edges)); err != nil {
			t.Fatal(err)
		}
		v := make([]float64, n)
		s.potentials(v)
		for i := range n - 1 {
			for j := range n - 1 {
				if relative(s.impedance[i*n+j], inv.At(i, j)) > 1e-11 {
					t.Fatalf("z[%d][%d] = %v, gonum %v", i, j, s.impedance[i*n+j], inv.At(i, j))
				}
			}
			if relative(v[i], inv.At(i, n-2)) > 1e-11 {
				t.Fatalf("potential of %d: %v, gonum %v", i, v[i], inv.At(i, n-2))
			}
		}
	}
}

// The numbers of all bridges of a node, row by row, against a network with the bridge in it:
// where resistances lie close together, so that subtraction costs little.
func TestBridgesAgainstElimination(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 30 {
		n := 4 + rng.IntN(20)
		edges := random(rng, n)
		for i := range edges {
			edges[i].siemens = 1 / (1 + 9*rng.Float64())
		}
		s := newSolver(n)
		s.eliminateAll(edges)
		s.impedances()
		num, den := make([]float64, n), make([]float64, n)
		for c := range n {
			s.bridgeTerms(c, num, den)
			for d := c + 1; d < n; d++ {
				r := 0.1 + rng.Float64()
				got := s.resistance() - num[d]*num[d]/(den[d]+r)
				if want := solved(n, append(edges[:len(edges):len(edges)], edge{c, d, 1 / r})); relative(got, want) > 1e-11 {
					t.Fatalf("%v Ω between nodes %d and %d of %d: %v, eliminated %v", r, c, d, n, got, want)
				}
			}
		}
	}
}
