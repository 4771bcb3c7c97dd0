// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// Which settings a trial reads. The minimal plan is the least that determines every element and
// the residual, with no degree of freedom left; recommended is what one reads to see that steps
// add up; full is every position of every dial. Rows are in the order in which one turns: dial
// after dial, upwards.
//
// For one ladder of ten steps that is 11, 13 and 13 settings; for three of them 31, 37 and 33:
// recommended adds two settings for each pair of neighbours, all at the top and zero again.

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

// middle is the position in the middle of a dial, or the next above that there is. A dial has
// its highest position, so that there is one.
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
//
// Rounds follow each other, so that two diallings of a setting have all other settings between
// them: each is a new dialling of every dial.
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
				// Two dials of one switch cannot be off zero at once; the next one that can is
				// its neighbour.
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

// at1 is a setting with one dial at another position. The positions it is given stay as they
// are.
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

// highest has every switch at its highest position, of the range with the largest step. A shared
// switch has one dial off zero: that with the largest step, which comes first in the order.
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
//
// known holds rows of 0 and 1 that elimination has brought to a form in which each has a leading
// column; what is left of a new row after all of them is nothing where it is a combination. A
// code 1-2-2-5 tells something new at 1, 2, 4 and 5.
func tellsNew(known *[][]float64, d decade.Decade, position int) bool {
	row := make([]float64, d.NumElements())
	for _, e := range d.InCircuit(position) {
		row[e-1] = 1
	}
	// lead is the column in which this row has the only entry that counts.
	for _, k := range *known {
		lead := slices.IndexFunc(k, func(x float64) bool { return x != 0 })
		f := row[lead] / k[lead]
		for i := range row {
			row[i] -= float64(f * k[i])
		}
	}
	for i, x := range row {
		// Quotients of 0 and 1 with few rows: rounding leaves 1e-16.
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
