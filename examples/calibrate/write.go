// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

// write writes the parts: one after the other to the terminal, each to a file of its own into
// a folder.
func (a *answer) write(p *files.Program, out io.Writer) error {
	whole := []files.Form{{Format: "text", Write: a.writeText},
		{Format: "markdown", Write: a.writeMarkdown}}
	record := files.Form{Format: "json", Write: a.writeRecord}
	table := files.Form{Format: "csv", Write: a.table.WriteCSV}
	if !p.Given("out") {
		return p.Write(out, "calibration", append(whole, table, record)...)
	}
	parts := map[string][]files.Form{"calibration": whole, "record": {record},
		"deviations": {table}}
	if a.adjustment != nil {
		parts["adjustment"] = []files.Form{{Format: "csv", Write: a.adjustment.WriteCSV}}
	}
	if a.drift != nil {
		parts["drift"] = []files.Form{{Format: "csv", Write: a.drift.WriteCSV}}
	}
	if a.expected != nil {
		parts["expected"] = []files.Form{{Format: "csv", Write: a.expected.WriteCSV}}
	}
	for _, name := range []string{"calibration", "record", "deviations", "adjustment", "drift",
		"expected"} {
		forms := parts[name]
		if format := p.Flags.Lookup("format").Value.String(); format != "" {
			forms = of(forms, format)
		}
		if len(forms) == 0 {
			continue
		}
		if err := p.Write(out, name, forms...); err != nil {
			return err
		}
	}
	return nil
}

// of are the forms of a format.
func of(forms []files.Form, format string) (out []files.Form) {
	for _, f := range forms {
		if f.Format == format {
			out = append(out, f)
		}
	}
	return out
}

func (a *answer) writeText(w io.Writer) error {
	return a.writeParts(w, "\n\n%s\n\n", parts{
		table: (*calibrate.DeviationTable).WriteText, adjustment: (*calibrate.Adjustment).WriteText,
		drift: (*calibrate.Drift).WriteText,
	})
}

func (a *answer) writeMarkdown(w io.Writer) error {
	return a.writeParts(w, "\n\n# %s\n\n", parts{
		table:      (*calibrate.DeviationTable).WriteMarkdown,
		adjustment: (*calibrate.Adjustment).WriteMarkdown,
		drift:      (*calibrate.Drift).WriteMarkdown,
	})
}

// parts are the writers of a form.
type parts struct {
	table      func(*calibrate.DeviationTable, io.Writer) error
	adjustment func(*calibrate.Adjustment, io.Writer) error
	drift      func(*calibrate.Drift, io.Writer) error
}

func (a *answer) writeParts(w io.Writer, title string, to parts) error {
	var s strings.Builder
	head := func(text string) { fmt.Fprintf(&s, title, text) }
	head("Calibration")
	if a.fit != nil {
		fmt.Fprintf(&s, "Record %q: %v.\n", a.record.Values.ID, a.fit)
		for _, err := range a.fit.Warnings {
			fmt.Fprintf(&s, "%s\n", sentence(err))
		}
		s.WriteString("\n")
	}
	if err := to.table(a.table, &s); err != nil {
		return err
	}
	if a.adjustment != nil {
		head("Before and after")
		if err := to.adjustment(a.adjustment, &s); err != nil {
			return err
		}
	}
	if a.drift != nil {
		head("Drift")
		if err := to.drift(a.drift, &s); err != nil {
			return err
		}
	}
	for _, note := range a.notes {
		fmt.Fprintf(&s, "\n%s\n", note)
	}
	if a.expected != nil {
		head("Expected on " + a.expected.Calibration.Date.Format("2006-01-02"))
		if err := to.table(a.expected, &s); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, strings.TrimLeft(s.String(), "\n"))
	return err
}

// sentence is a warning for a person: without the name of a function.
func sentence(err error) string {
	if _, ok := errors.AsType[*unit.Error](err); ok {
		err = unit.Cause(err)
	}
	text := err.Error()
	return strings.ToUpper(text[:1]) + text[1:]
}
