// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
)

// Coverage says what was read of a box in the stage that was read last, and what is still worth
// reading. It is a copy that nothing changes: any number of goroutines may read one at once.
type Coverage struct {
	Stage    verify.Stage
	Readings int            // diallings in the stage, those above a range included
	Settings int            // that were read, each once
	Dials    []DialCoverage // in the order of the box

	// Planned is the number of diallings of the recommended plan of the box, Done how many of
	// them were read. Open lists the settings of the others in the order of the plan.
	Planned, Done int
	Open          []decade.Setting

	// Determined: the values read are enough to compute every element and the residual.
	Determined bool
}

// DialCoverage says which positions of a dial were read, other dials at zero or not. It is
// a copy that nothing changes: any number of goroutines may read one at once.
type DialCoverage struct {
	Dial      int    // index in the box
	Name      string // of the dial
	Positions []int  // off zero that were read with a value, in order, each once
	Of        int    // positions off zero that there are
}

// Whether the values read determine all elements is the rank of their equations
// (verify.Determine), not a count: two readings of one setting are one equation. The plan and what
// was determined are therefore counted apart: readings beside the plan may determine a box of
// which half the plan is open.

// Coverage returns what was read so far, and what is still worth reading by the recommended
// plan of the box: where no cause is suspected it is read from top to bottom, else
// Answer.Next comes first. It is empty for an Inspection without a box.
func (in *Inspection) Coverage() Coverage {
	m := in.moment()
	if m == nil {
		return Coverage{}
	}
	r := m.report
	c := Coverage{Stage: lastStage(r)}
	count := make(map[decade.Setting]int)            // diallings that the plan has not used yet
	read := make([]map[int]bool, r.Box.NumDecades()) // by dial, its positions; nil: none
	var values []decade.Setting                      // of readings with a value
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Reading.Stage != c.Stage {
			continue
		}
		c.Readings++
		count[row.Setting]++
		// An overload was read, but determines no element.
		if row.Overload {
			continue
		}
		values = append(values, row.Setting)
		for d, p := range row.Setting.Positions() {
			if p > 0 {
				if read[d] == nil {
					read[d] = make(map[int]bool)
				}
				read[d][p] = true
			}
		}
	}
	c.Settings = len(count)
	for d, dec := range r.Box.Decades() {
		x := DialCoverage{Dial: d, Name: dec.Name, Of: dec.Positions - len(dec.Missing)}
		for p := range read[d] {
			x.Positions = append(x.Positions, p)
		}
		slices.Sort(x.Positions)
		c.Dials = append(c.Dials, x)
	}
	// No value at all is an error of Determine, and so determines nothing.
	if d, err := verify.Determine(r.Box, values...); err == nil {
		c.Determined = d.Complete()
	}
	if plan, err := verify.NewPlan(r.Box, verify.ExtentRecommended); err == nil {
		c.Planned = len(plan.Steps)
		for _, step := range plan.Steps {
			// The plan dials some settings more than once: each dialling stands for one of them.
			if count[step.Setting] == 0 {
				c.Open = append(c.Open, step.Setting)
				continue
			}
			count[step.Setting]--
			c.Done++
		}
	}
	return c
}

// String returns the coverage in two sentences, and "No box." for the zero Coverage.
func (c Coverage) String() string {
	if c.Planned == 0 {
		return "No box."
	}
	var dials []string
	for _, d := range c.Dials {
		if len(d.Positions) == 0 {
			dials = append(dials, d.Name)
		}
	}
	s := fmt.Sprintf("%s of %s, %d of the %d of the recommended plan",
		wording.Plural(c.Readings, "reading"), wording.Plural(c.Settings, "setting"), c.Done,
		c.Planned)
	if len(dials) > 0 {
		s += "; no reading of " + strings.Join(dials, ", ")
	}
	if c.Determined {
		return s + ". They determine every element."
	}
	return s + ". They do not determine every element."
}
