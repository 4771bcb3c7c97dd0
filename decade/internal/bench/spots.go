// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// What a bridge does to a sound box, without solving a network for each of thousands of them.
// While the path has no loops, the circuit at a setting is a tree: a path from terminal to
// terminal, with taps that hang off it at dead ends. A bridge of r between two nodes makes one
// loop; with p the resistance of the part of the path between their feet, and all the resistance
// between them, the current divides and the path loses
//
//	p²/(all + r),   p·(all + r − p)/(all + r) being p beside the rest of the loop.
//
// So each node has a place along the path and a distance off it, in Ω, which is a sum over a
// switch; contacts and links count as touch (100 µΩ) each, so that feet of different switches
// are apart. It is exact for a sound tree but for those contacts, and near enough beside a
// drift.

import (
	"math"
	"slices"
)

// spot is where a node of a sound box lies: how far along the path of the current from the first
// terminal, and how far off it, in Ω. The path with what hangs off it is a tree, so that the
// resistance between two nodes is a sum. ladder is not 0 where two nodes may share a part of the
// way off the path.
//
// A ladder of ten steps of 100 Ω at 5 reads 500 Ω. 200 Ω from tap 2 to tap 4: path and all are
// 200 Ω, 200²/400 = 100 Ω go, and 400 Ω are left (300 + 200∥200). 500 Ω from tap 3 to tap 8: the
// path is 200 Ω, from 3 to 5, and all is 500 Ω, since tap 8 hangs 300 Ω off the wiper; 200²/1000
// = 40 Ω go.
type spot struct {
	along, off float64
	ladder     int // of the taps of one ladder the same; 0: of no ladder
}

// between returns what a bridge between two spots shorts: the part of the path between them, and
// the resistance between them. Ohms r across take path²/(all + r) away. Two taps of one ladder
// beyond its wiper hang on one branch: the way between them is the difference of their
// distances.
func (s spot) between(t spot) (path, all float64) {
	path = math.Abs(s.along - t.along)
	if s.ladder == t.ladder && s.ladder > 0 {
		return path, path + math.Abs(s.off-t.off)
	}
	return path, path + s.off + t.off
}

// spots lists those of all nodes at positions, with elements of these resistances. out goes by
// node; the case has none and stays at 0.
func (c *circuit) spots(positions []int, ohms []float64) []spot {
	out := make([]spot, c.nodes)
	// The first link.
	x := touch
	for i := range c.switches {
		w := &c.switches[i]
		if w.code {
			x = c.chainSpots(out, w, x, positions, ohms)
		} else {
			x = c.ladderSpots(out, w, x, c.asked(w, positions), ohms)
		}
		x += touch
	}
	out[terminal2].along = x
	return out
}

// chainSpots puts the nodes of a code on the path, an element that is shorted being a touch, and
// returns where it ends.
func (c *circuit) chainSpots(out []spot, w *rotary, x float64, positions []int,
	ohms []float64) float64 {
	d := c.spec.Decades[w.dials[0]]
	in := d.InCircuit(positions[w.dials[0]])
	out[w.taps[0][0]].along = x
	for e := 1; e < len(w.taps[0]); e++ {
		// A contact that shorts the element.
		by := touch
		if slices.Contains(in, e) {
			by = ohms[c.element(w.dials[0], e)]
		}
		x += by
		out[w.taps[0][e]].along = x
	}
	return x
}

// ladderSpots puts a switch of ladders on the path from x on and returns where it ends. Taps
// between zero and wiper are on the path, those above the wiper, and all of a ladder not in use,
// off it.
func (c *circuit) ladderSpots(out []spot, w *rotary, x float64, at stand, ohms []float64) float64 {
	below := func(which, tap int) float64 { // from 0 to the tap
		sum := 0.0
		for _, r := range ohms[c.first[w.dials[which]]:][:tap] {
			sum += r
		}
		return sum
	}
	// Below the wiper lie the elements in circuit, and its contact.
	zero, wiper := x, x+below(at.which, at.position)+touch
	end := wiper
	if w.in == w.wiper {
		zero, wiper, end = wiper, x, wiper
	}
	out[w.wiper] = spot{along: wiper}
	for which, taps := range w.taps {
		for p, n := range taps {
			s := spot{along: zero, ladder: 1 + w.taps[which][0]*len(c.of) + which}
			all := below(which, p)
			switch on := below(which, min(p, at.position)); {
			case which != at.which:
				s.off = all
			// The current goes from zero to the wiper, or from the wiper to zero: then taps
			// count back.
			case zero <= wiper:
				s.along, s.off = zero+on, all-on
			default:
				s.along, s.off = zero-on, all-on
			}
			out[n] = s
		}
	}
	// The zero is on the path whichever ladder is in use.
	out[w.taps[0][0]].off = 0
	return end
}

// mostBridges is where the search for more ends: a fault with as many alternatives is beyond
// telling.
const mostBridges = 12

// bridges yields the bridges of any two nodes: their key, their effect on the readings at a
// resistance, which is valid until the next call, and resistances to try, the second of them
// the largest that the bridge shorts.
//
// Pairs of nodes go by the representatives of links, so that each is yielded once; a bridge that
// shorts nothing in any reading is none. trial spans the resistances at which the shape of an
// effect over the readings changes: from a touch (the path itself) to 10⁴ times what it shorts
// (the square of the path).
func (b *Bench) bridges(rows []Reading, yield func(key string, effect func(ohms float64) []float64,
	trial []float64) (more bool)) {
	c := b.made.circuit
	same, spots := c.joined(), b.spotsOf(rows)
	path, all := make([]float64, len(rows)), make([]float64, len(rows))
	effect := make([]float64, len(rows))
	for x := range c.nodes {
		for y := range x {
			if x == caseNode || y == caseNode || same[x] != x || same[y] != y {
				continue
			}
			most := 0.0
			for i := range rows {
				// Ten contacts are no distance: nodes that the model has apart by touch alone
				// are one.
				if path[i], all[i] = spots[i][x].between(spots[i][y]); path[i] > 10*touch {
					most = max(most, all[i])
				} else {
					path[i] = 0
				}
			}
			if most == 0 {
				continue
			}
			of := func(ohms float64) []float64 {
				for i := range rows {
					effect[i] = -path[i] * path[i] / (all[i] + ohms)
				}
				return effect
			}
			trial := []float64{0, most}
			// Fractions and multiples of the largest resistance shorted.
			for _, r := range []float64{0.03, 0.1, 0.3, 3, 10, 30, 1e4} {
				trial = append(trial, r*most)
			}
			if !yield(b.keyOfBridge(same, x, y), of, trial) {
				return
			}
		}
	}
}

// spotsOf lists the spots of each reading, with the faults in the elements. An element that is
// open has its nominal value: a tree has no gap.
func (b *Bench) spotsOf(rows []Reading) [][]spot {
	c, s := b.made.circuit, b.made.healthy()
	b.fail(s, nil)
	for i, r := range s.ohms {
		if math.IsInf(r, 1) {
			s.ohms[i] = c.elements[i].nominal
		}
	}
	out := make([][]spot, len(rows))
	for i, r := range rows {
		out[i] = c.spots(r.Positions, s.ohms)
	}
	return out
}

// keyOfBridge is the key of a bridge between two nodes: from the terminal that the case is
// strapped to it is a leak to the case. same gives the representatives of nodes, of which x and
// y are two.
func (b *Bench) keyOfBridge(same []int, x, y int) string {
	c := b.made.circuit
	if b.Strapped > 0 && x+y != same[terminal1]+same[terminal2] {
		if t := same[terminal1+b.Strapped-1]; x == t || y == t {
			return c.key(Fault{Kind: LeakCase, A: c.placeOf(x + y - t)})
		}
	}
	return c.bridgeKey(x, y)
}

// placeOf names a node that is a tap, a wiper or a terminal. A node of two names has the first
// of them; it is the inverse of nodeOf but for that.
func (c *circuit) placeOf(node int) Place {
	for i := range c.switches {
		w := &c.switches[i]
		for which, taps := range w.taps {
			if p := slices.Index(taps, node); p >= 0 {
				return Place{Tap, w.dials[which], p}
			}
		}
		if !w.code && w.wiper == node {
			return Place{Part: Wiper, Dial: w.dials[0]}
		}
	}
	return Place{Part: Terminal, Number: node - terminal1 + 1}
}
