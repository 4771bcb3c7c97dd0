// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
)

// write prints the answer in the form that was asked for. examples/formats/README.md
// describes the last two, which are for other programs.
func write(out io.Writer, answer *inspect.Answer, format string) error {
	switch strings.ToLower(format) {
	case "text":
		return answer.WriteText(out)
	case "markdown":
		return answer.WriteMarkdown(out)
	case "csv":
		return answer.WriteCSV(out)
	case "json":
		text, err := json.MarshalIndent(answer, "", "  ")
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(out, "%s\n", text)
		return err
	}
	return fmt.Errorf("format %q; expected text, markdown, csv or json", format)
}

// writePlan writes the sheet to take to the bench: settings that determine every element
// and check it, with room for three values each. The decimal mark, if any, is that of the
// spreadsheet which it is filled in with.
func writePlan(out io.Writer, boxFile, decimal string) error {
	box, err := read(boxFile, "box.json", decade.ReadBox)
	if err != nil {
		return err
	}
	plan, err := verify.NewPlan(box, verify.ExtentRecommended)
	if err != nil {
		return err
	}
	switch strings.ToLower(decimal) {
	case "":
		return plan.WriteCSV(out, 3)
	case "point", "comma":
		return plan.WriteSheet(out, verify.Sheet{Repeats: 3, DecimalComma: strings.ToLower(decimal) == "comma"})
	}
	return fmt.Errorf("-decimal %q; expected point or comma", decimal)
}
