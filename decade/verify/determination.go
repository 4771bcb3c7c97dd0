// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// A Determination is the answer of [Determine]: which elements of a box follow from readings at
// some settings. The unknowns are the residual and every element; a reading is the sum of the
// residual and the elements in circuit. Any number of goroutines may read one at once.
type Determination struct {
	Unknowns int // residual and elements
	Rank     int // how many of them the readings determine, counting combinations

	// Undetermined names what does not follow from the readings, in dial order.
	Undetermined []string
	// Together groups those that the readings contain in fixed combinations only: the
	// readings determine a sum or difference of each group, not its members.
	Together [][]string
	// Missing names those that are in circuit in none of the readings.
	Missing []string
	// Add lists further settings, others at zero, that determine the rest.
	Add []decade.Setting
	// Never names those that no setting of the box can separate: two elements that are
	// always in circuit together.
	Never []string
}

// Complete reports whether the readings determine the residual and every element.
func (d *Determination) Complete() bool {
	d = cmp.Or(d, &Determination{})
	return len(d.Undetermined) == 0
}

// Determine finds which elements readings at the given settings determine, by the rank of their
// equations. It returns an error where a setting belongs to another box.
func Determine(b *decade.Box, settings ...decade.Setting) (*Determination, error) {
	if b == nil {
		return nil, &Error{Op: "verify.Determine",
			Err: unit.Errorf(ErrEmpty, "nil box; expected a box")}
	}
	for i, s := range settings {
		if s.Box() != b {
			return nil, &Error{Op: "verify.Determine", Name: fmt.Sprintf("settings[%d]", i),
				Err: unit.Errorf(ErrContradiction,
					"%v is a setting of another box; expected one of %q (see Setting.On)", s,
					b.Name())}
		}
	}
	u := determination.New(b)
	space := determination.NewSpace(u.N)
	for _, s := range settings {
		space.Add(u.Of(s))
	}
	out := &Determination{Unknowns: u.N, Rank: space.Rank()}
	open := space.Undetermined()
	out.Undetermined = u.Names(open)
	// What is left open falls into groups that occur only together, and parts that no reading
	// has. A ladder read at 0, 3 and 10 has two groups, elements 1 to 3 and 4 to 10: their sums
	// are known.
	groups, missing := space.Groups(open)
	for _, g := range groups {
		out.Together = append(out.Together, u.Names(g))
	}
	out.Missing = u.Names(missing)
	for _, s := range u.Singles() {
		// Greedily: any position that adds an equation serves, and each adds one at most.
		if space.Rank() < u.N && space.Add(u.Of(s)) {
			out.Add = append(out.Add, s)
		}
	}
	out.Never = u.Names(space.Undetermined())
	return out, nil
}

// String returns a sentence or two on what is determined and what is missing.
func (d *Determination) String() string {
	d = cmp.Or(d, &Determination{})
	if d.Complete() {
		return fmt.Sprintf("the readings determine the residual and all %d elements", d.Unknowns-1)
	}
	var parts []string
	if len(d.Missing) > 0 {
		parts = append(parts, "not in any reading: "+wording.Short(d.Missing))
	}
	for i, g := range d.Together {
		if i == 3 {
			parts = append(parts, fmt.Sprintf("and %d more groups", len(d.Together)-i))
			break
		}
		parts = append(parts, "only together: "+wording.Short(g))
	}
	if len(d.Add) > 0 {
		words := make([]string, len(d.Add))
		for i, s := range d.Add {
			words[i] = s.String()
		}
		parts = append(parts, "to be read as well: "+wording.Short(words))
	}
	if len(d.Never) > 0 {
		parts = append(parts, "inseparable at any setting of this box: "+wording.Short(d.Never))
	}
	return fmt.Sprintf("%d of %d elements and residual are undetermined; %s", len(d.Undetermined),
		d.Unknowns, strings.Join(parts, "; "))
}
