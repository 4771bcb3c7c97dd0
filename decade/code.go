// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// Code is the switching code of a dial: which resistors are in circuit at each position. The zero
// Code is the common one: a ladder of equal resistors in series with a tap after each, position p
// taking the first p of them. Other codes use fewer resistors of different weights.
//
// Elements are numbered from 1, in the order of Weights (of a ladder: from the 0 tap). Any
// number of goroutines may use one at once.
type Code struct {
	// Weights are the resistances of the elements, in steps.
	Weights []int
	// InCircuit lists the elements in circuit at position 0, 1, 2 …; nothing at 0 and at
	// missing positions. Their weights add up to the position.
	InCircuit [][]int
	// Contacts is the number of closed contacts in the path of the current at each
	// position. Nil: one beside every element that is not in circuit (elements are
	// shorted one by one, so that no contact is left at full scale), and of a ladder one
	// at every position.
	Contacts []int
}

// IsZero reports whether c is the code of a tapped ladder.
func (c Code) IsZero() bool {
	return len(c.Weights) == 0 && len(c.InCircuit) == 0 && len(c.Contacts) == 0
}

// The presets are combinations in common use, for positions up to the sum of the
// weights or to the position that the trade gives the code. Where several combinations
// make a position, the preset takes the one with the fewest elements, and of two equal
// elements the first; a diagram that differs is written as a Code of its own.

// Code1125 returns the code with weights 1-1-2-5, positions 0 to 9.
func Code1125() Code {
	return preset([]int{1, 1, 2, 5}, "", "1", "3", "13", "123", "4", "14", "34", "134", "1234")
}

// Code1225 returns the code with weights 1-2-2-5, positions 0 to 10.
func Code1225() Code {
	return preset([]int{1, 2, 2, 5}, "", "1", "2", "12", "23", "4", "14", "24", "124", "234",
		"1234")
}

// Code1234 returns the code with weights 1-2-3-4, positions 0 to 10.
func Code1234() Code {
	return preset([]int{1, 2, 3, 4}, "", "1", "2", "3", "4", "14", "24", "34", "134", "234", "1234")
}

// Code1242 returns the code with weights 1-2-4-2, positions 0 to 9.
func Code1242() Code {
	return preset([]int{1, 2, 4, 2}, "", "1", "2", "12", "3", "13", "23", "123", "234", "1234")
}

// Code1236 returns the code with weights 1-2-3-6, positions 0 to 12.
func Code1236() Code {
	return preset([]int{1, 2, 3, 6}, "", "1", "2", "3", "13", "23", "4", "14", "24", "34", "134",
		"234", "1234")
}

// Code1248 returns the code with weights 1-2-4-8, positions 0 to 15.
func Code1248() Code {
	return preset([]int{1, 2, 4, 8}, "", "1", "2", "12", "3", "13", "23", "123", "4", "14", "24",
		"124", "34", "134", "234", "1234")
}

// Code12222 returns the code with weights 1-2-2-2-2, positions 0 to 9: the 1 at odd
// positions, half of the rest in twos.
func Code12222() Code {
	return preset([]int{1, 2, 2, 2, 2}, "", "1", "2", "12", "23", "123", "234", "1234", "2345",
		"12345")
}

// Code222221 returns the code with weights 2-2-2-2-2-1, positions 0 to 11: twos in
// series, and the 1 switched in at odd positions.
func Code222221() Code {
	return preset([]int{2, 2, 2, 2, 2, 1}, "", "6", "1", "16", "12", "126", "123", "1236", "1234",
		"12346", "12345", "123456")
}

// Code1332 returns the code with weights 1-3-3-2 of plug boxes, positions 0 to 9: four
// coils in series between five nodes, of which one plug joins two. At 9 no plug is in.
func Code1332() Code {
	c := preset([]int{1, 3, 3, 2}, "", "1", "4", "14", "12", "34", "124", "123", "234", "1234")
	c.Contacts = []int{1, 1, 1, 1, 1, 1, 1, 1, 1, 0}
	return c
}

// preset reads the elements at each position from one digit each: "134" is elements 1, 3 and 4 in
// circuit. The lists are new at each call, so that a caller may change his.
func preset(weights []int, elements ...string) Code {
	c := Code{Weights: weights, InCircuit: make([][]int, len(elements))}
	for p, digits := range elements {
		for _, d := range digits {
			// One digit an element: no preset has more than nine.
			c.InCircuit[p] = append(c.InCircuit[p], int(d-'0'))
		}
	}
	return c
}

// clone copies the lists, so that a code and a description do not share them.
func (c Code) clone() Code {
	out := Code{Weights: slices.Clone(c.Weights), Contacts: slices.Clone(c.Contacts)}
	if c.InCircuit != nil {
		out.InCircuit = make([][]int, len(c.InCircuit))
		for p, e := range c.InCircuit {
			if len(e) > 0 {
				out.InCircuit[p] = slices.Clone(e)
			}
		}
	}
	return out
}

// checkCode returns what is wrong with a code that is not zero, of a switch with missing
// positions. The caller adds operation and field. Lengths come before what they index.
func (c Code) checkCode(missing []int) error {
	if len(c.Weights) == 0 || len(c.InCircuit) == 0 {
		return unit.Errorf(ErrCode, "weights without positions or positions without weights; "+
			"expected both, or neither for a tapped ladder")
	}
	if len(c.Weights) > maxPosition {
		return unit.Errorf(ErrCode, "%d elements; expected at most %d", len(c.Weights), maxPosition)
	}
	for i, w := range c.Weights {
		if w < 1 || w > maxPosition {
			return unit.Errorf(ErrCode, "weight of element %d is %d; expected 1 to %d", i+1, w,
				maxPosition)
		}
	}
	if n := len(c.InCircuit); n < 2 || n > maxPosition+1 {
		return unit.Errorf(ErrCode, "%s with 0; expected 2 to %d",
			unit.Counted(n, "position", "positions"), maxPosition+1)
	}
	for p := range c.InCircuit {
		// A position that the switch does not have needs no combination.
		if slices.Contains(missing, p) {
			continue
		}
		if err := c.checkPosition(p); err != nil {
			return err
		}
	}
	return c.checkContacts()
}

// checkPosition refuses elements that do not exist or stand twice, and a sum of weights other
// than the position.
func (c Code) checkPosition(p int) error {
	sum := 0
	seen := make(map[int]bool)
	for _, e := range c.InCircuit[p] {
		if e < 1 || e > len(c.Weights) {
			return unit.Errorf(ErrCode, "position %d: element %d; expected 1 to %d", p, e,
				len(c.Weights))
		}
		if seen[e] {
			return unit.Errorf(ErrCode, "position %d: element %d twice; expected once", p, e)
		}
		seen[e] = true
		sum += c.Weights[e-1]
	}
	if sum != p {
		return unit.Errorf(ErrCode, "position %d: the weights of its elements add up to %d; "+
			"expected %d", p, sum, p)
	}
	return nil
}

// checkContacts refuses a list of contacts that does not go with the positions. 0 contacts are
// possible: at the highest position of a plug box no plug is in.
func (c Code) checkContacts() error {
	if c.Contacts == nil {
		return nil
	}
	if len(c.Contacts) != len(c.InCircuit) {
		return unit.Errorf(ErrCode, "contacts for %s; expected %d, or none",
			unit.Counted(len(c.Contacts), "position", "positions"), len(c.InCircuit))
	}
	for p, n := range c.Contacts {
		if n < 0 || n > maxContacts {
			return unit.Errorf(ErrCode, "position %d: %d contacts; expected 0 to %d", p, n,
				maxContacts)
		}
	}
	return nil
}

// maxContacts bounds the closed contacts of one dial, about four for each element of the largest
// code there can be.
const maxContacts = 1000

// contacts returns the number of closed contacts in the path at a position that exists.
func (c Code) contacts(p int) int {
	switch {
	case c.Contacts != nil:
		return c.Contacts[p]
	case c.IsZero():
		return 1
	}
	// Elements that are not in circuit are shorted one by one, each by a contact of its own.
	return len(c.Weights) - len(c.InCircuit[p])
}
