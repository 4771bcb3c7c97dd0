// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
)

// One zero reading is no conforming box: a report says how much of the box it has looked at before
// it says anything of verdicts. The measure is the full plan, and settings beside it count too.

// A Headline counts how much of a box was judged in one stage. Any number of goroutines may read
// one at once.
type Headline struct {
	Stage    Stage
	Judged   int      // settings with a verdict
	Planned  int      // of the full plan: zero, each position of each dial, all at their highest
	OfPlan   int      // of the planned settings, those with a verdict
	Withheld int      // settings whose verdict is withheld, see Report.Implausible
	NotRead  []string // dials of which no position off zero was read with a value
}

// Headline counts what was judged in a stage, and names the dials that were not read.
func (r *Report) Headline(stage Stage) Headline {
	r = cmp.Or(r, &Report{})
	out := Headline{Stage: stage, Withheld: len(r.withheld(stage))}
	judged := make(map[decade.Setting]bool)
	read := make([]bool, r.Box.NumDecades())
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Reading.Stage != stage {
			continue
		}
		if row.Judged {
			judged[row.Setting] = true
		}
		for d, p := range row.Setting.Positions() {
			// An open circuit is a reading; an overload on too small a range says nothing.
			read[d] = read[d] || p > 0 && (!row.Overload || row.Open)
		}
	}
	out.Judged = len(judged)
	// A box without a full plan has no measure; the settings that were judged are counted all the
	// same.
	if plan, err := NewPlan(r.Box, ExtentFull); err == nil {
		seen := make(map[decade.Setting]bool)
		for _, s := range plan.Settings() {
			if seen[s] {
				continue
			}
			seen[s] = true
			out.Planned++
			if judged[s] {
				out.OfPlan++
			}
		}
	}
	for d, dec := range r.Box.Decades() {
		if !read[d] {
			out.NotRead = append(out.NotRead, dec.Name)
		}
	}
	return out
}

// String returns the headline in a line: "1 of 62 settings judged; 6 dials not read: …".
func (h Headline) String() string {
	return strings.Join(append([]string{h.judgedText()}, h.missingTexts()...), "; ")
}

// judgedText says how many settings were judged, and how many of the full plan are among them.
func (h Headline) judgedText() string {
	if h.Judged == h.OfPlan {
		return fmt.Sprintf("%d of %d settings judged", h.Judged, h.Planned)
	}
	if h.OfPlan == h.Planned {
		return fmt.Sprintf("%s judged, among them all %d of a full plan",
			wording.Plural(h.Judged, "setting"), h.Planned)
	}
	return fmt.Sprintf("%s judged, among them %d of the %d of a full plan",
		wording.Plural(h.Judged, "setting"), h.OfPlan, h.Planned)
}

// missingTexts says what was not judged.
func (h Headline) missingTexts() []string {
	var out []string
	if h.Withheld > 0 {
		out = append(out, fmt.Sprintf("%s withheld as not plausible",
			wording.Plural(h.Withheld, "setting")))
	}
	if n := len(h.NotRead); n > 0 {
		out = append(out, fmt.Sprintf("%s not read: %s", wording.Plural(n, "dial"),
			strings.Join(h.NotRead, ", ")))
	}
	return out
}

// undecidedDials lists the dials that have a class and no judged setting in a stage: nothing is
// said about them, so that the box cannot conform.
func (r *Report) undecidedDials(stage Stage) []string {
	judged := make([]bool, r.Box.NumDecades())
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Reading.Stage != stage || !row.Judged {
			continue
		}
		for d, p := range row.Setting.Positions() {
			judged[d] = judged[d] || p > 0
		}
	}
	spec := r.Box.Spec()
	var out []string
	for d, dec := range spec.Decades {
		classed := dec.Tolerance > 0 || dec.Floor > 0 || spec.Tolerance > 0 || spec.Floor > 0
		if classed && !judged[d] && !slices.Contains(out, dec.Name) {
			out = append(out, dec.Name)
		}
	}
	return out
}
