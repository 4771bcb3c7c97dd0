// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// unknowns numbers what readings of a box determine: 0 is the residual, then come the
// elements dial by dial.
type unknowns struct {
	b     *decade.Box
	dials []decade.Decade
	first []int // number of element 1 of each dial
	n     int
}

func newUnknowns(b *decade.Box) unknowns {
	u := unknowns{b: b, dials: b.Decades(), n: 1}
	for _, d := range u.dials {
		u.first = append(u.first, u.n)
		u.n += d.NumElements()
	}
	return u
}

// of lists the unknowns that a reading of a setting adds up.
func (u unknowns) of(s decade.Setting) []int {
	out := []int{0}
	for d, e := range s.Elements() {
		out = append(out, u.first[d]+e-1)
	}
	return out
}

// place is the dial and the number of the element; dial −1 is the residual.
func (u unknowns) place(j int) (dial, element int) {
	for d := len(u.first) - 1; d >= 0; d-- {
		if j >= u.first[d] {
			return d, j - u.first[d] + 1
		}
	}
	return -1, 0
}

func (u unknowns) name(j int) string {
	d, e := u.place(j)
	if d < 0 {
		return decade.ResidualName
	}
	return u.b.ElementName(d, e)
}

func (u unknowns) names(js []int) []string {
	out := make([]string, len(js))
	for i, j := range js {
		out[i] = u.name(j)
	}
	return out
}

// nominal is the stated value of an unknown, in Ω.
func (u unknowns) nominal(j int) float64 {
	d, e := u.place(j)
	if d < 0 {
		return u.b.Spec().Residual
	}
	return float64(u.dials[d].Weight(e)) * u.dials[d].Step
}

// singles are the zero setting and every position of every dial with the others at
// zero. Their readings span those of all settings.
func (u unknowns) singles() []decade.Setting {
	out := []decade.Setting{u.b.Zero()}
	for d := range u.dials {
		for p := 1; p <= u.dials[d].Positions; p++ {
			if s, err := u.b.Zero().With(d, p); err == nil {
				out = append(out, s)
			}
		}
	}
	return out
}

// A Determination says which elements of a box follow from readings at some settings.
// The unknowns are the residual and every element; a reading is the sum of the residual
// and the elements in circuit.
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

// Complete tells whether the readings determine the residual and every element.
func (d *Determination) Complete() bool { return len(d.Undetermined) == 0 }

// Determine finds what readings at the given settings determine, by the rank of their
// equations. It is an error where a setting belongs to another box.
func Determine(b *decade.Box, settings ...decade.Setting) (*Determination, error) {
	if b == nil {
		return nil, &Error{Op: "verify.Determine",
			Err: unit.Errorf(ErrEmpty, "nil box; expected a box")}
	}
	for i, s := range settings {
		if s.Box() != b {
			return nil, &Error{Op: "verify.Determine", Name: fmt.Sprintf("settings[%d]", i),
				Err: unit.Errorf(ErrContradiction, "%v is a setting of another box; expected one of %q (see Setting.On)", s, b.Name())}
		}
	}
	u := newUnknowns(b)
	space := newRowSpace(u.n)
	for _, s := range settings {
		space.add(u.of(s))
	}
	out := &Determination{Unknowns: u.n, Rank: len(space.rows)}
	open := space.undetermined()
	out.Undetermined = u.names(open)
	groups, missing := space.groups(open)
	for _, g := range groups {
		out.Together = append(out.Together, u.names(g))
	}
	out.Missing = u.names(missing)
	for _, s := range u.singles() {
		if len(space.rows) < u.n && space.add(u.of(s)) {
			out.Add = append(out.Add, s)
		}
	}
	out.Never = u.names(space.undetermined())
	return out, nil
}

func (s *rowSpace) undetermined() []int {
	var out []int
	for j := range s.n {
		if !s.determines(j) {
			out = append(out, j)
		}
	}
	return out
}

// groups splits the undetermined unknowns into those that rows link with each other and
// those that are in no row.
func (s *rowSpace) groups(open []int) (linked [][]int, missing []int) {
	group := make(map[int]int, len(open)) // smallest member found so far
	for _, j := range open {
		group[j] = j
	}
	find := func(j int) int {
		for group[j] != j {
			j = group[j]
		}
		return j
	}
	used := make(map[int]bool)
	for pivot, r := range s.rows {
		for i, v := range r.c {
			if j := pivot + i; v != 0 && len(r.c) > 1 {
				used[j] = true
				a, b := find(pivot), find(j)
				group[max(a, b)] = min(a, b)
			}
		}
	}
	members := make(map[int][]int)
	for _, j := range open {
		if !used[j] {
			missing = append(missing, j)
			continue
		}
		members[find(j)] = append(members[find(j)], j)
	}
	for _, j := range open {
		if m := members[j]; m != nil {
			linked = append(linked, m)
		}
	}
	return linked, missing
}

// String says in a sentence or two what is determined and what is missing.
func (d *Determination) String() string {
	if d.Complete() {
		return fmt.Sprintf("the readings determine the residual and all %d elements", d.Unknowns-1)
	}
	var parts []string
	if len(d.Missing) > 0 {
		parts = append(parts, "not in any reading: "+shortList(d.Missing))
	}
	for i, g := range d.Together {
		if i == 3 {
			parts = append(parts, fmt.Sprintf("and %d more groups", len(d.Together)-i))
			break
		}
		parts = append(parts, "only together: "+shortList(g))
	}
	if len(d.Add) > 0 {
		words := make([]string, len(d.Add))
		for i, s := range d.Add {
			words[i] = s.String()
		}
		parts = append(parts, "to be read as well: "+shortList(words))
	}
	if len(d.Never) > 0 {
		parts = append(parts, "inseparable at any setting of this box: "+shortList(d.Never))
	}
	return fmt.Sprintf("%d of %d elements and residual are undetermined; %s", len(d.Undetermined), d.Unknowns, strings.Join(parts, "; "))
}

// shortList joins words, leaving out what would not be read.
func shortList(words []string) string {
	const most = 8
	if len(words) <= most {
		return strings.Join(words, ", ")
	}
	return strings.Join(slices.Concat(words[:most-1], []string{fmt.Sprintf("%d more", len(words)-most+1)}), ", ")
}
