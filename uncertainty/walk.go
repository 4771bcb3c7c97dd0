// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "sync"

// walker visits the nodes of a graph. It keeps its own stack, since models can be deep,
// and is used again, since most models are small and evaluated often.
type walker struct {
	place   map[*node]int // of a node in the order of visits; waiting while it is on the stack
	visited int
	stack   []frame
}

type frame struct {
	n    *node
	next int // argument to look at
}

const waiting = -1

var walkers = sync.Pool{New: func() any { return &walker{place: make(map[*node]int, 32), stack: make([]frame, 0, 8)} }}

// walk visits every node below the roots once, arguments before the nodes that use
// them and in their order.
func walk(roots []*node, visit func(*node)) {
	w := walkers.Get().(*walker)
	w.run(roots, visit)
	w.free()
}

// largest is the number of nodes up to which the memory of a walk is kept.
const largest = 1 << 12

// free gives the walker back for another walk.
func (w *walker) free() {
	if len(w.place) > largest {
		return
	}
	clear(w.place)
	clear(w.stack[:cap(w.stack)]) // hold no graph alive
	w.visited, w.stack = 0, w.stack[:0]
	walkers.Put(w)
}

func (w *walker) run(roots []*node, visit func(*node)) {
	for _, root := range roots {
		w.push(root)
		for len(w.stack) > 0 {
			top := &w.stack[len(w.stack)-1]
			child := top.n.argument(top.next)
			top.next++
			if child != nil {
				w.push(child)
				continue
			}
			n := top.n
			w.stack = w.stack[:len(w.stack)-1]
			w.place[n] = w.visited
			w.visited++
			visit(n)
		}
	}
}

func (w *walker) push(n *node) {
	if _, ok := w.place[n]; !ok {
		w.place[n] = waiting
		w.stack = append(w.stack, frame{n: n})
	}
}
