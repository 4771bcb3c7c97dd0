// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// tangle is a graph of n nodes, each a sum, product or Sum of earlier ones.
func tangle(rnd *rand.Rand, n int) []Quantity {
	qs := []Quantity{Input("x", Normal(1, 0.1)), Exact(2)}
	pick := func() Quantity { return qs[rnd.IntN(len(qs))] }
	for len(qs) < n {
		switch rnd.IntN(4) {
		case 0:
			qs = append(qs, Sum(pick(), pick(), pick(), pick()))
		case 1:
			qs = append(qs, Atan(pick()))
		case 2:
			qs = append(qs, Input(fmt.Sprint("x", len(qs)), Normal(1, 0.1)))
		default:
			qs = append(qs, pick().Sub(pick()))
		}
	}
	return qs
}

// postorder is the walk by recursion and a map.
func postorder(n *node, place map[*node]int, order []*node) []*node {
	if _, ok := place[n]; ok {
		return order
	}
	for i := 0; n.argument(i) != nil; i++ {
		order = postorder(n.argument(i), place, order)
	}
	place[n] = len(order)
	return append(order, n)
}

// The walk finds the nodes, their order and the places of their arguments, whatever the
// tags are, in small graphs and in those that outgrow the table.
func TestWalkAgainstRecursion(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for _, size := range []int{1, 5, 31, 32, 33, 64, 500, 3000} {
		for _, collide := range []bool{false, true} {
			qs := tangle(rnd, size)
			for _, q := range qs {
				if collide {
					q.n.tag = 0xffffffff
				}
			}
			roots := []*node{qs[rnd.IntN(len(qs))].n, qs[len(qs)-1].n, qs[0].n}
			place := make(map[*node]int)
			var want, got []*node
			for _, root := range roots {
				want = postorder(root, place, want)
			}
			w := walkers.Get().(*walker)
			w.run(roots, func(n *node, args []int32) {
				got = append(got, n)
				for i, at := range args {
					if n.argument(i) == nil || got[at] != n.argument(i) {
						t.Fatalf("%d nodes: argument %d of node %d is not at place %d", size, i, len(got)-1, at)
					}
				}
				if n.argument(len(args)) != nil {
					t.Fatalf("%d nodes: node %d has more than %d arguments", size, len(got)-1, len(args))
				}
			})
			if !slices.Equal(got, want) {
				t.Errorf("%d nodes, equal tags %v: another order than by recursion", size, collide)
			}
			for n, at := range place {
				if w.place(n) != at {
					t.Errorf("%d nodes: place %d, want %d", size, w.place(n), at)
				}
			}
			w.free()
		}
	}
}

// A walker that is used again remembers nothing.
func TestWalkForgets(t *testing.T) {
	w := walkers.New().(*walker)
	for i := range 100 {
		w.run([]*node{Exact(float64(i)).Add(Exact(1)).n}, func(*node, []int32) {})
	}
	big := cap(w.table)
	w.free()
	if len(w.found) != 0 || len(w.table) != smallTable || cap(w.table) != big || w.visited != 0 ||
		len(w.stack) != 0 || len(w.args) != 0 {
		t.Errorf("after free: %d nodes, table of %d, %d visited", len(w.found), len(w.table), w.visited)
	}
	for _, f := range w.found[:cap(w.found)] {
		if f.node != nil {
			t.Fatal("a node is held alive")
		}
	}
	if slices.ContainsFunc(w.table, func(k int32) bool { return k != 0 }) {
		t.Error("the table is not empty")
	}
}

// A name that comes twice is found among few inputs and among many, wherever it is.
func TestSameNameAmongMany(t *testing.T) {
	for n := range 2*fewNames + 2 {
		var qs []Quantity
		for i := range n {
			qs = append(qs, Input(fmt.Sprint("x", i), Normal(1, 0.1)))
		}
		if _, err := Evaluate(Sum(qs...)); err != nil {
			t.Errorf("%d names: %v", n, err)
		}
		for i := range n {
			if _, err := Evaluate(
				Sum(append(qs, Input(fmt.Sprint("x", i), Normal(1, 0.1)))...)); !errors.Is(err,
				ErrSameName) {
				t.Errorf("name %d of %d twice: error %v, want ErrSameName", i, n, err)
			}
		}
	}
}
