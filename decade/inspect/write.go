// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/internal/document"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
)

// Heading returns the lines above every form of the answer, each a title and a text: those of
// the report.
func (a *Answer) Heading() [][2]string {
	a = a.orEmpty()
	return a.Report.Heading()
}

// Sections returns the parts of the answer in order: what is not plausible, verdicts and
// facts, what is wrong, the next step, the repair, the cautions, and then the details.
func (a *Answer) Sections() []verify.Section {
	a = a.orEmpty()
	facts := a.Report.Sections()
	detail := slices.IndexFunc(facts, func(s verify.Section) bool { return s.Detail })
	if detail < 0 {
		detail = len(facts)
	}
	return a.withWarnings(slices.Concat(facts[:detail], a.advice(), a.changes(), facts[detail:]))
}

// changes are the settings as found and as left, where both were read; none otherwise.
func (a *Answer) changes() []verify.Section {
	// ISO/IEC 17025:2017, 7.8.4.1 (from memory): results before and after an adjustment, where both
	// are there.
	if len(a.Report.Stages()) < 2 {
		return nil
	}
	adjustment, err := calibrate.NewAdjustment(a.Report)
	if err != nil {
		return nil // nothing was read in both
	}
	return adjustment.Sections()
}

// advice is what is wrong, the next step, the repair and the cautions: what somebody with the box
// in front of him needs, in the order in which he needs it.
func (a *Answer) advice() []verify.Section {
	out := []verify.Section{{Title: "What is wrong", Texts: a.Causes()},
		{Title: "Next step", Texts: []string{a.Next.Text}}}
	if c := a.repaired(); c != nil {
		title := "Repair"
		// The reading may say that nothing is to be repaired.
		if a.Next.Act.IsReading() {
			title = "Repair, if the next step confirms it"
		}
		out = append(out, verify.Section{Title: title, Texts: slices.Concat(c.Repair.Steps,
			[]string{c.Repair.After}), Numbered: true})
	}
	if list := a.Cautions(); len(list) > 0 {
		out = append(out, verify.Section{Title: "Cautions", Texts: list})
	}
	return out
}

// withWarnings adds the warnings of the diagnosis to those of the report, or at the end where the
// report has none. The list is the caller's own; its texts are not, and are copied.
func (a *Answer) withWarnings(list []verify.Section) []verify.Section {
	if a.Diagnosis == nil || len(a.Diagnosis.Warnings) == 0 {
		return list
	}
	texts := a.Diagnosis.WarningTexts()
	for i := range list {
		if list[i].Title == "Warnings" {
			list[i].Texts = slices.Concat(list[i].Texts, texts)
			return list
		}
	}
	return append(list, verify.Section{Title: "Warnings", Texts: texts, Detail: true})
}

// Strongest returns the setting whose budget is of interest: the first one at which the first
// cause shows and that was read with a value, or else the last one read with a value. It is not
// valid where none has one.
func (a *Answer) Strongest() decade.Setting {
	a = a.orEmpty()
	if d := a.Diagnosis; d != nil && !d.Healthy && len(d.Causes) > 0 {
		for _, s := range d.Causes[0].Settings {
			if a.row(s) != nil {
				return s
			}
		}
	}
	for _, row := range slices.Backward(a.Report.Rows) {
		if !row.Overload {
			return row.Setting
		}
	}
	return decade.Setting{}
}

// row is the first row of a setting that has a value and so a budget; nil where there is none.
func (a *Answer) row(s decade.Setting) *verify.Row {
	for i := range a.Report.Rows {
		if r := &a.Report.Rows[i]; r.Setting == s && !r.Overload {
			return r
		}
	}
	return nil
}

// String returns the answer as WriteText writes it.
func (a *Answer) String() string {
	a = a.orEmpty()
	var s strings.Builder
	a.WriteText(&s) // a strings.Builder takes everything
	return s.String()
}

// WriteText writes the answer for a screen, with the budget that was asked for.
func (a *Answer) WriteText(w io.Writer) error {
	a = a.orEmpty()
	if err := document.Text(w, a.Heading(), a.Sections()); err != nil {
		return err
	}
	return a.writeBudget(w, (*uncertainty.Budget).WriteText)
}

// WriteAdvice writes what is wrong, the next step, the repair and the cautions for a
// screen, without facts and details.
func (a *Answer) WriteAdvice(w io.Writer) error {
	a = a.orEmpty()
	return document.Text(w, nil, a.advice())
}

// WriteMarkdown writes the answer in Markdown, with the budget that was asked for.
func (a *Answer) WriteMarkdown(w io.Writer) error {
	a = a.orEmpty()
	if err := document.Markdown(w, a.Heading(), a.Sections()); err != nil {
		return err
	}
	return a.writeBudget(w, (*uncertainty.Budget).WriteMarkdown)
}

// writeBudget writes the budget that Budget asks for, in one of the forms of a budget; nothing
// where that setting was not read.
func (a *Answer) writeBudget(w io.Writer, form func(*uncertainty.Budget, io.Writer) error) error {
	row := a.row(a.Budget)
	if row == nil {
		return nil
	}
	if _, err := fmt.Fprintf(w, "\nOne budget in full: the deviation at %v, nominal %v Ω\n\n",
		row.Setting, row.Nominal); err != nil {
		return err
	}
	return form(row.Budget(), w)
}

// WriteCSV writes the rows of the report, one line each; causes and steps are in JSON.
// examples/formats/README.md lists the columns.
func (a *Answer) WriteCSV(w io.Writer) error {
	a = a.orEmpty()
	return a.Report.WriteCSV(w)
}

// MarshalJSON writes the keys of the report with those of the answer: diagnosis, whether
// it is incomplete, whether the inspection is finished and why, next, cautions.
// Resistances are in ohms. examples/formats/README.md lists the keys.
func (a *Answer) MarshalJSON() ([]byte, error) {
	a = a.orEmpty()
	report, err := json.Marshal(a.Report)
	if err != nil {
		return nil, err
	}
	rest := struct {
		Diagnosis   *fault.Diagnosis `json:"diagnosis,omitempty"`
		NoDiagnosis string           `json:"noDiagnosis,omitempty"`
		Incomplete  bool             `json:"incomplete,omitempty"`
		Finished    bool             `json:"finished"`
		Reason      string           `json:"reason"`
		Next        fault.Step       `json:"next"`
		Cautions    []string         `json:"cautions,omitempty"`
	}{Diagnosis: a.Diagnosis, Incomplete: a.Incomplete, Finished: a.Finished(),
		Reason: a.Reason(), Next: a.Next, Cautions: a.Cautions()}
	if a.NoDiagnosis != nil {
		rest.NoDiagnosis = reason(a.NoDiagnosis)
	}
	more, err := json.Marshal(rest)
	if err != nil {
		return nil, err
	}
	// Both are objects, {…} and {…}: one of the keys of both. Neither is empty, and no key is in
	// both. Embedding the report instead would promote its MarshalJSON and lose the other keys.
	return slices.Concat(report[:len(report)-1], []byte(","), more[1:]), nil
}
