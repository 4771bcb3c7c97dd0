// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// A plan is written twice: as text, for the screen beside the bench, and as a table to be filled
// in. The table is one that ReadReadings reads, so that nobody copies values from one form to
// another, which is where most exchanged rows come from.

// A Pace holds the times that [Plan.Duration] counts with. Zero fields take the defaults, which
// are assumptions of this package for a patient person with a bench meter. Any number of
// goroutines may read one at once.
type Pace struct {
	Prepare time.Duration // warm-up of the meter, box to room temperature; default 1 h
	Turn    time.Duration // one position of one dial; default 1 s
	Settle  time.Duration // before the first value of a dialling; default 10 s
	Read    time.Duration // one value, noted; default 5 s
	Repeats int           // values for each dialling; default 3
}

// withDefaults takes the defaults for what is 0. A time of 0 cannot be asked for; one nanosecond
// can.
func (p Pace) withDefaults() Pace {
	for _, f := range []struct {
		field *time.Duration
		value time.Duration
	}{
		{&p.Prepare, time.Hour}, {&p.Turn, time.Second},
		{&p.Settle, 10 * time.Second}, {&p.Read, 5 * time.Second},
	} {
		if *f.field == 0 {
			*f.field = f.value
		}
	}
	if p.Repeats == 0 {
		p.Repeats = 3
	}
	return p
}

// checkPace refuses negative times, and such as nobody takes for one step; what they add up to is
// asked in Duration.
func (p Pace) checkPace() error {
	for _, t := range []time.Duration{p.Prepare, p.Turn, p.Settle, p.Read} {
		if t < 0 || t > 7*24*time.Hour {
			return &Error{Op: "verify.Plan.Duration", Name: "pace", Value: t.Seconds(),
				Err: unit.Errorf(ErrDomain, "a time of %v; expected 0 to a week", t)}
		}
	}
	if p.Repeats < 0 || p.Repeats > mostRepeats {
		return &Error{Op: "verify.Plan.Duration", Name: "pace", Value: float64(p.Repeats),
			Err: unit.Errorf(ErrDomain, "%d repeats; expected 0 to %d", p.Repeats, mostRepeats)}
	}
	return nil
}

// mostRepeats bounds the values of one dialling. It is also the base in which compositionOf
// counts two numbers of values in one.
const mostRepeats = 1000

// Duration estimates the time at the bench: preparation, every position that a dial
// passes from one setting to the next beginning at zero, settling, and the values.
func (p *Plan) Duration(pace Pace) (time.Duration, error) {
	p = cmp.Or(p, &Plan{})
	if err := pace.checkPace(); err != nil {
		return 0, err
	}
	pace = pace.withDefaults()
	// Where the box is found at zero, at which its owner should leave it.
	at := p.Box.Zero()
	passed := 0
	for _, step := range p.Steps {
		// Every position passed takes its time: a knob has no shortcut from 10 to 0.
		passed += positionsPassed(at.Positions(), step.Setting.Positions())
		at = step.Setting
	}
	steps := len(p.Steps)
	// A Duration counts nanoseconds in 64 bits, 292 years, and would turn negative beyond.
	sum := float64(pace.Prepare) + float64(float64(passed)*float64(pace.Turn)) +
		float64(float64(steps)*float64(pace.Settle)) +
		float64(float64(steps)*float64(pace.Repeats)*float64(pace.Read))
	if sum >= math.MaxInt64 {
		return 0, &Error{Op: "verify.Plan.Duration", Name: "pace", Value: sum / 1e9,
			Err: unit.Errorf(ErrDomain, "%d steps take %.3g s; expected less than 292 years", steps,
				sum/1e9)}
	}
	return pace.Prepare + time.Duration(passed)*pace.Turn +
		time.Duration(steps)*(pace.Settle+time.Duration(pace.Repeats)*pace.Read), nil
}

// positionsPassed counts the positions that are passed from one setting to another: from 9-0 to 0-1
// ten.
func positionsPassed(from, to []int) int {
	n := 0
	for i := range from {
		n += max(to[i]-from[i], from[i]-to[i])
	}
	return n
}

// planCaution stands where readings are advised: whoever reads "dial 1 kΩ" with the box still in a
// circuit is the one whom it is for.
const planCaution = "Disconnect the box from everything and discharge it; keep the test current " +
	"within the rating of the smallest dial in use. Read before cleaning or exercising anything: " +
	"that is the as-found record. Local codes and licensed practice come first."

// WriteText writes the plan for a screen or a clipboard.
func (p *Plan) WriteText(w io.Writer) error {
	p = cmp.Or(p, &Plan{})
	var s strings.Builder
	fmt.Fprintln(&s, p)
	if d, err := p.Duration(Pace{}); err == nil {
		fmt.Fprintf(&s, "About %v at the bench.\n", d.Round(time.Minute))
	}
	s.WriteString(wording.Wrap("", planCaution))
	s.WriteString("\n")
	t := tabwriter.NewWriter(&s, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "Setting\tNominal/Ω\tFor")
	for _, step := range p.Steps {
		fmt.Fprintf(t, "%s\t%s\t%s\n", step.label(), wording.Number(step.Setting.Nominal()),
			step.Purpose)
	}
	t.Flush() // a strings.Builder takes everything
	_, err := io.WriteString(w, s.String())
	return err
}

// label is the setting, with the number of the dialling where it is not the first: "0-0-0 #2".
func (s PlanStep) label() string {
	if s.Dialling > 1 {
		return fmt.Sprintf("%v #%d", s.Setting, s.Dialling)
	}
	return s.Setting.String()
}

// WriteCSV writes the plan as a table of readings to be filled in, of the form that
// [ReadReadings] reads, with room for a number of repeats (at least 1) of each dialling.
// [Plan.WriteSheet] writes it for a spreadsheet.
func (p *Plan) WriteCSV(w io.Writer, repeats int) error {
	p = cmp.Or(p, &Plan{})
	return p.writeTable("verify.Plan.WriteCSV", csv.NewWriter(w), repeats,
		decade.Setting.String, nil)
}

// A Sheet describes the spreadsheet that a plan or readings are written for. Any number of
// goroutines may read one at once.
type Sheet struct {
	Repeats int // values of each dialling, side by side; 0: 3
	// DecimalComma is true for a spreadsheet that writes decimal commas; cells are then
	// separated by semicolons.
	DecimalComma bool
}

// WriteSheet writes the plan as a table to be filled in with a spreadsheet, and read by
// [ReadReadings] once it is saved as CSV or Unicode text. It begins with a byte-order mark, by
// which spreadsheets know UTF-8, has a column for remarks, and writes the settings of two or
// three dials with blanks between the positions, since spreadsheets take 1-2 for a date.
func (p *Plan) WriteSheet(w io.Writer, s Sheet) error {
	p = cmp.Or(p, &Plan{})
	out := csv.NewWriter(&markedWriter{w: w})
	if s.DecimalComma {
		out.Comma = ';'
	}
	setting := decade.Setting.String
	// Four numbers and more are no date to any spreadsheet.
	if n := p.Box.NumDecades(); n == 2 || n == 3 {
		setting = spaced
	}
	repeats := cmp.Or(s.Repeats, 3)
	return p.writeTable("verify.Plan.WriteSheet", out, repeats, setting, []string{colRemarks})
}

// writeTable writes the head and a row for each step; op is the exported function that was
// called, setting how a setting is written, further are columns behind the values. Range and
// temperature are left for the bench: both are known only there.
func (p *Plan) writeTable(
	op string, out *csv.Writer, repeats int, setting func(decade.Setting) string, further []string,
) error {
	if repeats < 1 || repeats > mostRepeats {
		return &Error{Op: op, Name: "repeats", Value: float64(repeats),
			Err: unit.Errorf(ErrDomain, "%d; expected 1 to %d", repeats, mostRepeats)}
	}
	head := []string{colSetting, colDialling, colRange, colTemperature + " (°C)"}
	for i := range repeats {
		head = append(head, colValue+" "+strconv.Itoa(i+1)+" (Ω)")
	}
	head = append(head, further...)
	if err := out.Write(head); err != nil {
		return err
	}
	// One row for all: what is to be filled in stays empty, and the writer keeps nothing of it.
	row := make([]string, len(head))
	for _, step := range p.Steps {
		row[0], row[1] = setting(step.Setting), strconv.Itoa(step.Dialling)
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// markedWriter writes a byte-order mark before the first text, and nothing where no text follows:
// an error before the first line leaves an empty file.
type markedWriter struct {
	w    io.Writer
	done bool
}

func (m *markedWriter) Write(text []byte) (int, error) {
	if !m.done {
		if _, err := io.WriteString(m.w, "\ufeff"); err != nil {
			return 0, err
		}
		m.done = true
	}
	return m.w.Write(text)
}
