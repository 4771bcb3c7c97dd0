// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"cmp"
	"slices"

	"example.com/ohmwright/decade"
)

// Extent says how much a plan reads.
type Extent uint8

const (
	// Minimal reads zero and what determines every element: each position of a ladder, of
	// a code the positions that tell something new.
	Minimal Extent = iota
	// Recommended adds settings of two neighbouring dials, all dials at their highest
	// positions, and zero again.
	Recommended
	// Full reads zero, every position of every dial, all at their highest, zero again.
	Full
)

// String returns the word.
func (e Extent) String() string {
	return [...]string{"minimal", "recommended", "full"}[min(e, Full)]
}

// middle is the position in the middle of a dial, or the next above that there is.
func (c *circuit) middle(dial int) int {
	d := c.spec.Decades[dial]
	p := (d.Positions + 1) / 2
	for slices.Contains(d.Missing, p) {
		p++
	}
	return p
}

// Plan lists the settings to read, each dialled a number of times one round after the
// other.
func Plan(b *decade.Box, e Extent, diallings int) [][]int {
	c := newCircuit(b)
	zero := make([]int, len(c.of))
	plan := [][]int{zero}
	for d, dec := range c.spec.Decades {
		var known [][]float64
		for p := 1; p <= dec.Positions; p++ {
			if slices.Contains(dec.Missing, p) || e != Full && !dec.Tapped() &&
				!tellsNew(&known, dec, p) {
				continue
			}
			plan = append(plan, at1(zero, d, p))
		}
	}
	order := c.bySteps()
	if e == Recommended {
		for k, d := range order {
			for _, o := range order[k+1:] {
				if c.of[o] != c.of[d] {
					n, m := c.spec.Decades[d].Positions, c.spec.Decades[o].Positions
					plan = append(plan, at1(at1(zero, d, c.middle(d)), o, m),
						at1(at1(zero, d, n), o, c.middle(o)))
					break
				}
			}
		}
	}
	if e != Minimal {
		plan = append(plan, c.highest(order), zero)
	}
	out := plan
	for range diallings - 1 {
		out = append(out, plan...)
	}
	return out
}

// at1 is a setting with one dial at another position.
func at1(positions []int, dial, position int) []int {
	out := slices.Clone(positions)
	out[dial] = position
	return out
}

// bySteps lists the dials, largest steps first.
func (c *circuit) bySteps() []int {
	order := make([]int, len(c.of))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order,
		func(i, j int) int { return cmp.Compare(c.spec.Decades[j].Step, c.spec.Decades[i].Step) })
	return order
}

// highest has every switch at its highest position, of the range with the largest step.
func (c *circuit) highest(order []int) []int {
	out := make([]int, len(c.of))
	done := make(map[int]bool)
	for _, d := range order {
		if !done[c.of[d]] {
			out[d], done[c.of[d]] = c.spec.Decades[d].Positions, true
		}
	}
	return out
}

// tellsNew reports whether the elements at a position are no combination of those before,
// and adds them.
func tellsNew(known *[][]float64, d decade.Decade, position int) bool {
	row := make([]float64, d.NumElements())
	for _, e := range d.InCircuit(position) {
		row[e-1] = 1
	}
	for _, k := range *known {
		lead := slices.IndexFunc(k, func(x float64) bool { return x != 0 })
		f := row[lead] / k[lead]
		for i := range row {
			row[i] -= float64(f * k[i])
		}
	}
	for i, x := range row {
		if x > -1e-9 && x < 1e-9 {
			row[i] = 0
		}
	}
	if slices.IndexFunc(row, func(x float64) bool { return x != 0 }) < 0 {
		return false
	}
	*known = append(*known, row)
	return true
}
