// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// A plan follows from linear algebra: each reading is an equation in the residual and the
// elements in circuit. A minimal plan is a basis of these equations, and has no reading to
// contradict it; closure settings add equations that follow from the others, so that a slip or a
// bridge between dials shows as a contradiction.
//
// Of a box of two ladders, 100 Ω and 10 Ω, ten steps each, there are 1 + 10 + 10 unknowns. The
// unknown vector is x = (R₀, r₁ … r₁₀, s₁ … s₁₀), and the reading at p-q is the row with a 1 for
// R₀ and for the elements up to r_p and s_q:
//
//	full          0-0, 1-0 … 10-0, 0-1 … 0-10, 10-10   22 readings, 1 degree of freedom
//	minimal       the same without 10-10               21 readings, none
//	recommended   minimal, 5-5, 10-10, 0-0 again       24 readings, 3
//
// Of a ladder every position is a new equation. A code of four elements has ten positions and
// four equations among them: the minimal plan reads four, the recommended one also those left
// out, which test contacts and the assumed code.

// Extent is how much of a box a plan reads. Any number of goroutines may use one at once.
type Extent uint8

const (
	// ExtentFull reads zero, every position of every dial, and all dials at their highest
	// positions.
	ExtentFull Extent = iota
	// ExtentMinimal reads as few settings as determine the residual and every element. It
	// leaves no degree of freedom: nothing contradicts a recording error, and a contact
	// cannot be told from an element.
	ExtentMinimal
	// ExtentRecommended is the minimal plan and what checks it: closure settings, in which
	// dials meet that were read alone, and zero again at the end.
	ExtentRecommended
)

// String returns "full", "minimal" or "recommended".
func (e Extent) String() string { return extents.String(e) }

// A Plan is a list of settings to be read, in the order of dialling. Any number of goroutines
// may read one at once.
type Plan struct {
	Box    *decade.Box
	Extent Extent
	Steps  []PlanStep
}

// A PlanStep is one dialling of a [Plan]. Any number of goroutines may read one at once.
type PlanStep struct {
	Setting  decade.Setting
	Dialling int // 1, 2, … of this setting
	Purpose  string
}

const (
	// What settings are read for, as the column "For" prints it.
	forElements = "elements"
	forResidual = "residual"
	forClosure  = "closure"
)

// NewPlan returns the plan of an extent for a box.
//
// Where ranges share a switch, all dials cannot be at their highest positions: the
// ranges with the largest steps are.
func NewPlan(b *decade.Box, e Extent) (*Plan, error) {
	switch {
	case b == nil:
		return nil, &Error{Op: "verify.NewPlan",
			Err: unit.Errorf(ErrEmpty, "nil box; expected a box")}
	case e > ExtentRecommended:
		return nil, &Error{Op: "verify.NewPlan", Name: "extent", Value: float64(e),
			Err: unit.Errorf(ErrUnknown,
				"%d; expected ExtentFull, ExtentMinimal or ExtentRecommended", e)}
	}
	p := planner{Plan: &Plan{Box: b, Extent: e}, u: determination.New(b),
		count: make(map[decade.Setting]int)}
	switch e {
	case ExtentFull:
		p.addAll()
		// All dials together close the additive model: a bridge or a leak between dials shows
		// only here.
		p.addSetting(p.highest(), forClosure)
	case ExtentMinimal:
		p.addMinimal()
	case ExtentRecommended:
		p.addMinimal()
		p.addClosures()
		p.addSetting(b.Zero(), "residual again")
	}
	return p.Plan, nil
}

// planner builds a plan. Unknowns number the residual 0 and the elements from 1, dial by dial;
// count has the diallings of each setting so far.
type planner struct {
	*Plan
	u     determination.Unknowns
	count map[decade.Setting]int
}

// addSetting appends a dialling.
func (p *planner) addSetting(s decade.Setting, purpose string) {
	p.count[s]++
	p.Steps = append(p.Steps, PlanStep{s, p.count[s], purpose})
}

// purpose is what a setting of one dial, or none, is read for.
func purpose(s decade.Setting) string {
	if s.AllZero() {
		return forResidual
	}
	return forElements
}

// addAll reads the zero setting and each position of each dial, others at zero, in the order of
// the dials: Σ(positions) + 1 readings.
func (p *planner) addAll() {
	for _, s := range p.u.Singles() {
		p.addSetting(s, purpose(s))
	}
}

// addMinimal takes the zero setting and each position that tells something new, the lowest that
// does: of a ladder all, of a code as many as it has elements. Exact arithmetic decides what is
// new, at a cost of unknowns² for each reading that is.
func (p *planner) addMinimal() {
	space := determination.NewSpace(p.u.N)
	for _, s := range p.u.Singles() {
		// Equations that follow from those before are left out: what is left is a basis.
		if space.Add(p.u.Of(s)) {
			p.addSetting(s, purpose(s))
		}
	}
}

// highest has each switch at its range with the largest step, at the highest position. A range
// of a switch that is taken already refuses any position, and is passed over.
func (p *planner) highest() decade.Setting {
	// The larger step has a switch first, since it adds most: 10 × 1 kΩ before 10 × 100 Ω.
	order := p.bySteps()
	s := p.Box.Zero()
	for _, d := range order {
		if next, err := s.With(d, p.u.Dials[d].Positions); err == nil {
			s = next
		}
	}
	return s
}

// bySteps lists the dials by index, largest steps first; of equal steps in the order of the box.
func (p *planner) bySteps() []int {
	order := make([]int, len(p.u.Dials))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch a, b := p.u.Dials[i].Step, p.u.Dials[j].Step; {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	return order
}

// addClosures are settings of two dials of neighbouring steps, so that the smaller of the
// two is still read with some resolution, and all dials at their highest positions. Of
// a ladder the middle and the last position take part, of a code the positions that
// the minimal plan leaves out. A dial that no other one can meet is dialled again.
func (p *planner) addClosures() {
	order := p.bySteps()
	met := make(map[int]bool)
	// Each dial with the next smaller one that it can meet: 1 kΩ with 100 Ω, 100 Ω with 10 Ω. Of
	// 1 kΩ with 0.1 Ω the meter would see the larger alone.
	for k, d := range order {
		for _, e := range order[k+1:] {
			if !p.oneSwitch(d, e) {
				p.addPair(d, e)
				met[d], met[e] = true, true
				break
			}
		}
	}
	for _, d := range order {
		if met[d] {
			continue
		}
		for _, at := range p.checkPositions(d) {
			p.addClosure(p.Box.Zero(), d, at)
		}
	}
	if s := p.highest(); p.count[s] == 0 {
		p.addSetting(s, forClosure)
	}
}

// oneSwitch reports whether two dials are ranges of one switch, which cannot meet.
func (p *planner) oneSwitch(d, e int) bool {
	return p.u.Dials[d].Switch != "" && p.u.Dials[d].Switch == p.u.Dials[e].Switch
}

// addPair reads two dials at their check positions together.
func (p *planner) addPair(d, e int) {
	a, b := p.checkPositions(d), p.checkPositions(e)
	// Side by side: all pairs would be as many as both lists multiplied.
	for k := range max(len(a), len(b)) {
		// The shorter list begins again, so that each check position of either dial is met.
		s, err := p.Box.Zero().With(d, a[k%len(a)])
		if err == nil {
			p.addClosure(s, e, b[k%len(b)])
		}
	}
}

// addClosure adds the setting with one more dial off zero. A position that cannot be set,
// because a range of the same switch is off zero, adds nothing.
func (p *planner) addClosure(s decade.Setting, dial, position int) {
	if s, err := s.With(dial, position); err == nil {
		p.addSetting(s, forClosure)
	}
}

// checkPositions are the positions of dial d for closure settings, never none: of a code those
// that are not read yet, of a ladder the middle and the last (5 and 10 of ten), of one step that
// step. The middle tells a step that is off below from one above; the last has all steps.
func (p *planner) checkPositions(d int) []int {
	n := p.u.Dials[d].Positions
	var out []int
	if !p.u.Dials[d].Tapped() {
		for at := 1; at <= n; at++ {
			if s, err := p.Box.Zero().With(d, at); err == nil && p.count[s] == 0 {
				out = append(out, at)
			}
		}
	}
	if len(out) > 0 {
		return out
	}
	if n == 1 {
		return []int{1}
	}
	middle := (n + 1) / 2
	for !p.u.Dials[d].HasPosition(middle) {
		middle++ // the highest position is always there
	}
	return []int{middle, n}
}

// Settings lists the settings in the order of dialling; a setting that is dialled again
// is in it again.
func (p *Plan) Settings() []decade.Setting {
	p = cmp.Or(p, &Plan{})
	out := make([]decade.Setting, len(p.Steps))
	for i, s := range p.Steps {
		out[i] = s.Setting
	}
	return out
}

// Determination returns which elements the readings of the plan determine.
func (p *Plan) Determination() (*Determination, error) {
	p = cmp.Or(p, &Plan{})
	return Determine(p.Box, p.Settings()...)
}

// DegreesOfFreedom returns the number of readings beyond those that determine the unknowns.
func (p *Plan) DegreesOfFreedom() int {
	p = cmp.Or(p, &Plan{})
	d, err := p.Determination()
	if err != nil {
		return 0
	}
	// At least one of these is needed for a contradiction; at 0 χ² says nothing (GUM G.3.3
	// counts them so).
	// Readings less the parameters that they determine.
	return len(p.Steps) - d.Rank
}

// String returns the extent and the length of the plan in a line.
func (p *Plan) String() string {
	p = cmp.Or(p, &Plan{})
	return fmt.Sprintf("%s plan of %q: %s, %s", p.Extent, p.Box.Name(),
		wording.Plural(len(p.Steps), "reading"), wording.Freedom(p.DegreesOfFreedom()))
}
