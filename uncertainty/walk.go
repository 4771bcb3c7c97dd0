// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "sync"

// walker visits the nodes of a graph. It keeps its own stack, since models can be deep,
// and is used again, since most models are small and evaluated often.
//
// It finds nodes again in a table of its own, open addressing by the tag of a node: a
// map costs more than all the rest of the evaluation of a small model.
type walker struct {
	found   []found // in order of discovery
	table   []int32 // 1 + the index of what is found, or 0; its length is a power of 2
	stack   []frame
	args    []int32 // indexes of the arguments seen so far of the nodes on the stack
	visited int32
}

// found is a node of the graph and its place among the visited.
type found struct {
	*node
	place int32 // in the order of visits, when visited
}

// frame is a node whose arguments are being visited.
type frame struct {
	index int32 // of the node
	next  int32 // argument to look at
}

// smallTable has room for half as many nodes.
const smallTable = 64

var walkers = sync.Pool{New: func() any {
	return &walker{
		found: make([]found, 0, smallTable/2), table: make([]int32, smallTable),
		stack: make([]frame, 0, smallTable/4), args: make([]int32, 0, smallTable/4),
	}
}}

// walk visits every node below the roots once, arguments before the nodes that use
// them and in their order.
func walk(roots []*node, visit func(*node)) {
	w := walkers.Get().(*walker)
	w.run(roots, func(n *node, _ []int32) { visit(n) })
	w.free()
}

// largest is the number of nodes up to which the memory of a walk is kept.
const largest = 1 << 12

// free gives the walker back for another walk.
func (w *walker) free() {
	// One very large graph must not hold its memory for the rest of the program.
	if len(w.found) > largest {
		return
	}
	clear(w.found) // hold no graph alive
	w.found, w.table, w.visited = w.found[:0], w.table[:smallTable], 0
	clear(w.table)
	walkers.Put(w)
}

// run visits the nodes with the places of their arguments, valid during the visit.
func (w *walker) run(roots []*node, visit func(n *node, args []int32)) {
	for _, root := range roots {
		// A root below another root has been visited already: nothing goes on the stack.
		w.indexOf(root)
		for len(w.stack) > 0 {
			top := &w.stack[len(w.stack)-1]
			n := w.found[top.index].node
			// Go down to the next argument before the node itself.
			if arg := n.argument(int(top.next)); arg != nil {
				top.next++
				w.args = append(w.args, w.indexOf(arg))
				continue
			}
			// All arguments have been visited: their indexes become places, which the visitor
			// knows.
			first := len(w.args) - int(top.next)
			for i, index := range w.args[first:] {
				w.args[first+i] = w.found[index].place
			}
			visit(n, w.args[first:])
			w.found[top.index].place = w.visited
			w.visited++
			w.args, w.stack = w.args[:first], w.stack[:len(w.stack)-1]
		}
	}
}

// indexOf returns the index of a node. One that is new goes on the stack.
func (w *walker) indexOf(n *node) int32 {
	slot := w.slot(n)
	// 0 is empty, so that a cleared table needs no other mark.
	if k := w.table[slot]; k > 0 {
		return k - 1
	}
	index := int32(len(w.found))
	w.found = append(w.found, found{node: n})
	w.table[slot] = index + 1
	// At most half full, so that a search ends after a few steps.
	if 2*len(w.found) > len(w.table) {
		w.grow()
	}
	w.stack = append(w.stack, frame{index: index})
	return index
}

// slot returns where the node is in the table, or where it belongs.
func (w *walker) slot(n *node) uint32 {
	// The length is a power of 2: the mask does what a remainder would.
	mask := uint32(len(w.table) - 1)
	for slot := n.tag & mask; ; slot = (slot + 1) & mask {
		if k := w.table[slot]; k == 0 || w.found[k-1].node == n {
			return slot
		}
	}
}

// grow doubles the table; the indexes stay, only their slots change.
func (w *walker) grow() {
	w.table = cleared(w.table, 2*len(w.table))
	for i, f := range w.found {
		w.table[w.slot(f.node)] = int32(i) + 1
	}
}

// place returns the place of a node that was visited.
func (w *walker) place(n *node) int {
	return int(w.found[w.table[w.slot(n)]-1].place)
}
