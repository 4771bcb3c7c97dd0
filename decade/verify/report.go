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
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// A Summary counts the settings of one stage by the verdicts of all their diallings: a setting
// conforms only if each of them does. Any number of goroutines may read one at once.
type Summary struct {
	Settings     int
	Conform      int
	DoNotConform int // open ones included
	Undecided    int
	NotJudged    int // no limit, or above a range that says nothing
	Withheld     int // not plausible, see Report.Implausible
}

// Stages returns the stages that have readings, in order.
func (r *Report) Stages() []Stage {
	r = cmp.Or(r, &Report{})
	// By stage, as many as there are; min keeps a Stage that a caller made up inside.
	var found [StageAsLeft + 1]bool
	for i := range r.Rows { // a Row is large: not by value
		found[min(r.Rows[i].Reading.Stage, StageAsLeft)] = true
	}
	var out []Stage
	for s, ok := range found {
		if ok {
			out = append(out, Stage(s))
		}
	}
	return out
}

// SettingVerdict returns the joint verdict of all diallings of a setting in a stage: does not
// conform if one of them does not, else cannot be decided if one of them cannot, else conforms.
// judged is false where none was judged.
func (r *Report) SettingVerdict(s decade.Setting, stage Stage) (v conformity.Verdict, judged bool) {
	r = cmp.Or(r, &Report{})
	for i := range r.Rows {
		if row := &r.Rows[i]; row.Setting == s && row.Reading.Stage == stage {
			v, judged = joinVerdict(v, judged, row)
		}
	}
	return v, judged
}

// joinVerdict joins the verdict of a row to that of the rows before it; the zero Verdict is
// undecided. judged is false until the first row that was judged:
//
//	before          row              together
//	none            any              that of the row
//	any             not judged       that before
//	any             does not conform does not conform
//	conforms        undecided        undecided
//	undecided       conforms         undecided
func joinVerdict(v conformity.Verdict, judged bool, row *Row) (conformity.Verdict, bool) {
	switch {
	case !row.Judged:
		return v, judged
	// The worst verdict stands: one failure fails a setting, one doubt leaves it open.
	case !judged || row.Verdict == conformity.VerdictDoesNotConform ||
		v == conformity.VerdictConforms:
		return row.Verdict, true
	}
	return v, true
}

// settingVerdicts are those of all settings of a stage, in one pass over the rows:
// SettingVerdict for each would cost the square of the rows.
func (r *Report) settingVerdicts(stage Stage) map[decade.Setting]settingVerdict {
	out := make(map[decade.Setting]settingVerdict)
	for i := range r.Rows {
		if row := &r.Rows[i]; row.Reading.Stage == stage {
			x := out[row.Setting]
			x.verdict, x.judged = joinVerdict(x.verdict, x.judged, row)
			out[row.Setting] = x
		}
	}
	return out
}

// settingVerdict is what all diallings of a setting say; verdict means nothing where judged is
// false.
type settingVerdict struct {
	verdict conformity.Verdict
	judged  bool
}

// Summary counts the settings of a stage.
func (r *Report) Summary(stage Stage) Summary {
	r = cmp.Or(r, &Report{})
	var out Summary
	seen := make(map[decade.Setting]bool)
	// Few at most, so that a list will do; verdicts are as many as settings.
	withheld := r.withheld(stage)
	verdicts := r.settingVerdicts(stage)
	for i := range r.Rows {
		s := r.Rows[i].Setting
		if r.Rows[i].Reading.Stage != stage || seen[s] {
			continue
		}
		// The first row of a setting counts it, with what all of its rows say.
		seen[s] = true
		out.Settings++
		v, judged := verdicts[s].verdict, verdicts[s].judged
		switch {
		// A setting of which one dialling was withheld and another judged has a verdict.
		case !judged && slices.Contains(withheld, s):
			out.Withheld++
		case !judged:
			out.NotJudged++
		case v == conformity.VerdictConforms:
			out.Conform++
		case v == conformity.VerdictDoesNotConform:
			out.DoNotConform++
		default:
			out.Undecided++
		}
	}
	return out
}

// String returns the counts in words.
func (s Summary) String() string {
	return wording.Plural(s.Settings, "setting") + ": " + s.counts()
}

// counts are the verdicts in numbers, without the number of settings: "58 conform, 3 do not
// conform, 1 cannot be decided". Zeros are left out but for the first two, which a reader looks
// for.
func (s Summary) counts() string {
	parts := []string{unit.Counted(s.Conform, "conforms", "conform"),
		unit.Counted(s.DoNotConform, "does not conform", "do not conform")}
	if s.Undecided > 0 {
		parts = append(parts, fmt.Sprintf("%d cannot be decided", s.Undecided))
	}
	if s.NotJudged > 0 {
		parts = append(parts, fmt.Sprintf("%d not judged", s.NotJudged))
	}
	if s.Withheld > 0 {
		parts = append(parts, fmt.Sprintf("%d withheld", s.Withheld))
	}
	return strings.Join(parts, ", ")
}

// Verdict judges the box by the last stage read: it does not conform if one judged setting
// does not; it conforms if every judged setting does, none is withheld, and of every dial
// with a class at least one setting was judged; else it cannot be decided. It is no
// statement of probability for the whole box.
func (r *Report) Verdict() conformity.Verdict {
	r = cmp.Or(r, &Report{})
	stages := r.Stages()
	if len(stages) == 0 {
		return conformity.VerdictUndecided
	}
	// As left where there is such a stage: the box as its owner gets it back. That it failed as
	// found is a warning.
	last := stages[len(stages)-1]
	switch s := r.Summary(last); {
	case s.DoNotConform > 0:
		return conformity.VerdictDoesNotConform
	// A box conforms only where every dial that has a class was looked at.
	case s.Undecided > 0 || s.Conform == 0 || s.Withheld > 0 || len(r.undecidedDials(last)) > 0:
		return conformity.VerdictUndecided
	default:
		return conformity.VerdictConforms
	}
}

// Conforms reports whether the verdict on the box is that it conforms.
func (r *Report) Conforms() bool { return r.Verdict() == conformity.VerdictConforms }

// At returns the rows of a setting, one for each dialling.
func (r *Report) At(s decade.Setting) []Row {
	r = cmp.Or(r, &Report{})
	var out []Row
	for _, row := range r.Rows {
		if row.Setting == s {
			out = append(out, row)
		}
	}
	return out
}

// Notes returns sentences on how the results were obtained: convention, temperature, wiring,
// meter limits, repeats.
func (r *Report) Notes() []string {
	r = cmp.Or(r, &Report{})
	return slices.Clone(r.notes)
}
