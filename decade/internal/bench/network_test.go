// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// near reports whether two numbers agree to a relative error.
func near(a, b, relative float64) bool {
	return a == b || math.Abs(a-b) <= relative*max(math.Abs(a), math.Abs(b))
}

func TestNetworksByHand(t *testing.T) {
	inf := math.Inf(1)
	for name, c := range map[string]struct {
		n       int
		network []resistor
		want    float64
	}{
		"one":                      {2, []resistor{{0, 1, 5}}, 5},
		"in series":                {3, []resistor{{0, 2, 5}, {2, 1, 7}}, 12},
		"in parallel":              {2, []resistor{{0, 1, 3}, {1, 0, 6}}, 2},
		"nothing":                  {3, []resistor{{0, 2, 5}}, inf},
		"open":                     {3, []resistor{{0, 2, 5}, {2, 1, inf}}, inf},
		"joined":                   {3, []resistor{{0, 2, 0}, {2, 1, 0}, {0, 1, 4}}, 0},
		"joined in between":        {4, []resistor{{0, 2, 5}, {2, 3, 0}, {3, 1, 7}}, 12},
		"a dead end and an island": {7, []resistor{{0, 1, 8}, {1, 2, 3}, {3, 4, 1}, {4, 5, 1}, {5, 3, 1}, {3, 6, 1}, {4, 6, 1}, {5, 6, 1}}, 8},
		// Balanced: the bridge branch carries nothing. (1+1)∥(1+1).
		"balanced bridge": {4, []resistor{{0, 2, 1}, {2, 1, 1}, {0, 3, 1}, {3, 1, 1}, {2, 3, 9}}, 1},
		// By delta-star of 1, 2, 3 over 6: stars 1·2/6, 1·3/6, 2·3/6; (1/3) + (1/2+4)∥(1+5).
		"unbalanced bridge": {4, []resistor{{0, 2, 1}, {0, 3, 2}, {2, 3, 3}, {2, 1, 4}, {3, 1, 5}}, 1.0/3 + 1/(1/4.5+1/6.0)},
		// A cube of twelve ohms, corner to corner: 5/6.
		"cube": {8, []resistor{{0, 2, 1}, {0, 3, 1}, {0, 4, 1}, {2, 5, 1}, {2, 6, 1}, {3, 5, 1}, {3, 7, 1}, {4, 6, 1}, {4, 7, 1}, {5, 1, 1}, {6, 1, 1}, {7, 1, 1}}, 5.0 / 6},
		// 1 µΩ beside 1 PΩ: three ways of 1 PΩ side by side.
		"far apart": {4, []resistor{{0, 2, 1e-6}, {2, 1, 1e15}, {0, 3, 1e15}, {3, 1, 1e-6}, {2, 3, 1e15}}, 1e15 / 3},
	} {
		if got := between(c.network, c.n, 0, 1); !near(got, c.want, 1e-14) {
			t.Errorf("%s: %v Ω, want %v", name, got, c.want)
		}
	}
}

// random makes a network of which every node has a resistor to an earlier one.
func random(rng *rand.Rand, n int, spread float64) []resistor {
	var out []resistor
	value := func() float64 { return math.Pow(10, spread*even(rng)) }
	for i := 1; i < n; i++ {
		out = append(out, resistor{i, rng.IntN(i), value()})
	}
	for range n {
		if a, b := rng.IntN(n), rng.IntN(n); a != b {
			out = append(out, resistor{a, b, value()})
		}
	}
	return out
}

// What is left after the reduction has the resistance of the whole, as the nodal analysis
// of the whole and a dense factorisation by gonum have it.
func TestReductionAgreesWithTheWholeNetwork(t *testing.T) {
	rng := rand.New(rand.NewPCG(20260401, 1))
	for i := range 60 {
		n := 2 + rng.IntN(20)
		spread := 1.5
		if i%2 == 0 {
			spread = 9
		}
		network := random(rng, n, spread)
		got, whole := between(network, n, 0, 1), nodal(network, n, 0, 1)
		if !near(got, whole, 1e-12) {
			t.Errorf("network %d: %v Ω reduced, %v by the nodal analysis of all nodes", i, got, whole)
		}
		if spread > 2 {
			continue // beyond what float64 factorises
		}
		g := mat.NewDense(n-1, n-1, nil) // node 1 is grounded
		at := func(k int) int { return max(0, k-1) }
		for _, r := range network {
			for _, k := range []int{r.a, r.b} {
				if k != 1 {
					g.Set(at(k), at(k), g.At(at(k), at(k))+1/r.ohms)
				}
			}
			if r.a != 1 && r.b != 1 {
				a, b := at(r.a), at(r.b)
				g.Set(a, b, g.At(a, b)-1/r.ohms)
				g.Set(b, a, g.At(b, a)-1/r.ohms)
			}
		}
		one := mat.NewVecDense(n-1, nil)
		one.SetVec(0, 1)
		var v mat.VecDense
		if err := v.SolveVec(g, one); err != nil {
			t.Fatal(err)
		}
		if !near(got, v.AtVec(0), 1e-9) {
			t.Errorf("network %d: %v Ω, gonum %v", i, got, v.AtVec(0))
		}
	}
}
