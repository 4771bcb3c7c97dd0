// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

const (
	// typed is what can be typed at the bench.
	typed = `  300.02            what the meter shows, in ohms; or with its unit: 0.30002 kΩ, 12 mΩ
  300.02; 300.03    repeated readings, with no dial turned in between
  OL                above the range, as the meter shows it
  0-3-0 = 300.02    a reading of another setting than the one asked for
  again             ask for the last setting once more: dial it anew
  more              ask for the next setting of the plan instead
  undo              take the last reading back
  left              what follows is as left: something was cleaned, adjusted or repaired
  session NAME      a new session: the meter was set up again
  temperature 23.4  temperature of the box in °C, from here on
  stop              end; the same command resumes later
`
)

// patience is how long two faults at once are looked for before a reading is asked for.
var patience = time.Second

// bench is the work at the terminal.
type bench struct {
	inspection *inspect.Inspection
	file       string // of the readings
	lines      *bufio.Scanner
	out        io.Writer

	// Of the readings to come.
	stage       verify.Stage
	session     string
	temperature *float64

	cautions []string       // that were told
	asked    decade.Setting // the last one
	instead  *fault.Step    // is asked for in place of what the answer says
	advised  bool           // the advice was told, and nothing was read since
	kept     bool           // there is a copy of the file as it was
	sheet    *verify.Sheet  // the spreadsheet that the file came from; nil: none
	err      error          // of the output
}

func newBench(in *inspect.Inspection, file string, from io.Reader, out io.Writer) *bench {
	b := &bench{inspection: in, file: file, lines: bufio.NewScanner(from), out: out}
	if list := in.Readings(); len(list) > 0 {
		last := list[len(list)-1]
		b.stage, b.session, b.temperature = last.Stage, last.Session, last.Temperature
	}
	return b
}

// printf keeps the first error of the output.
func (b *bench) printf(format string, args ...any) {
	if b.err == nil {
		_, b.err = fmt.Fprintf(b.out, format, args...)
	}
}

// work asks for readings until there are no more.
func (b *bench) work(ctx context.Context) error {
	if n := len(b.inspection.Readings()); n > 0 {
		b.printf("%s in %s: the session resumes there.\n",
			unit.Counted(n, "reading", "readings"), b.file)
	}
	b.printf("Type what the meter shows, such as 300.02, 0.3 kΩ or OL; again, undo, stop; " +
		"or ? for more.\n")
	for b.err == nil {
		answer, err := b.think(ctx)
		if err != nil {
			return err
		}
		b.tell(answer)
		step := b.step(answer)
		b.announce(step)
		line, ok := b.ask(step)
		for ok && !b.take(line, step) {
			line, ok = b.ask(step)
		}
		if !ok {
			return b.end(ctx)
		}
	}
	return b.err
}

// think answers, with two faults at once where that does not take long.
func (b *bench) think(ctx context.Context) (*inspect.Answer, error) {
	within, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	answer, err := b.inspection.Complete(within)
	if errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil {
		return b.inspection.Answer(ctx)
	}
	return answer, err
}

// tell says what there is to say before the next reading.
func (b *bench) tell(a *inspect.Answer) {
	b.advised = false
	switch {
	case b.instead != nil || len(a.Report.Rows) == 0:
	case !a.Next.Act.IsReading():
		b.advised = true
		b.printf("\n")
		if b.err == nil {
			b.err = a.WriteAdvice(b.out)
		}
		b.cautions = slices.Concat(b.cautions, a.Cautions())
		b.printf("\n%s %s\n", a.Reason(), b.inspection.Coverage())
	case a.Diagnosis != nil && a.Diagnosis.Healthy && a.Diagnosis.Probability > 0.99:
		b.printf("No fault so far.\n")
	case a.Diagnosis != nil:
		b.printf("\nAfter %s\n", unit.Counted(len(a.Report.Rows), "reading", "readings"))
		for _, cause := range a.Causes() {
			b.printf("  %s\n", cause)
		}
	}
}

// step is what is asked for.
func (b *bench) step(a *inspect.Answer) fault.Step {
	if b.instead != nil {
		return *b.instead
	}
	return a.Next
}

// announce says what is asked for, with the cautions that were not told yet.
func (b *bench) announce(step fault.Step) {
	if !step.Act.IsReading() {
		return
	}
	b.asked = step.Setting
	b.printf("\n%s\n", step.Text)
	for _, c := range step.Cautions {
		if !slices.Contains(b.cautions, c) {
			b.cautions = append(b.cautions, c)
			b.printf("  %s\n", c)
		}
	}
	if step.Act == fault.ActKnownResistor {
		b.printf("Type NAME; VALUE; U = what the meter shows, " +
			"such as: standard 7; 100.0012 Ω; 0.4 mΩ = 100.003\n")
	}
}

// ask prompts, and returns what was typed; false at the end of the input and after stop.
func (b *bench) ask(step fault.Step) (line string, ok bool) {
	switch {
	case step.Act == fault.ActKnownResistor:
		b.printf("resistor on range %s> ", step.Range)
	case step.Act.IsReading():
		b.printf("%v> ", step.Setting)
	default:
		b.printf("stop, more, left, or SETTING = value> ")
	}
	if b.err != nil || !b.lines.Scan() {
		b.printf("\n")
		b.err = errors.Join(b.err, b.lines.Err())
		return "", false
	}
	line = strings.TrimSpace(b.lines.Text())
	return line, !strings.EqualFold(line, "stop")
}

// take does what was typed; false: ask again.
func (b *bench) take(line string, step fault.Step) bool {
	word, rest, _ := strings.Cut(line, " ")
	rest = strings.TrimSpace(rest)
	switch strings.ToLower(word) {
	case "":
		return false
	case "?", "help":
		b.printf("%s", typed)
		return false
	case "again":
		return b.again()
	case "more":
		return b.more()
	case "undo":
		return b.undo()
	case "left":
		b.stage = verify.StageAsLeft
		b.printf("From here on, readings are as left. Read again, beginning at zero.\n")
		b.instead = dial(b.inspection.Box().Zero())
		return true
	case "session":
		b.session = rest
		b.printf("From here on, session %q. Read zero in it first: "+
			"it is subtracted from what follows.\n", rest)
		return false
	case "temperature":
		// With either mark, as the values are typed.
		bare := strings.Replace(strings.TrimRight(rest, "°C "), ",", ".", 1)
		t, err := unit.Parse(bare+" °C", unit.Celsius)
		if err != nil {
			b.printf("Not taken: temperature %q; expected degrees Celsius, such as 23.4.\n", rest)
			return false
		}
		b.temperature = &t
		b.printf("From here on %v °C.\n", t)
		return false
	}
	r, err := b.reading(line, step)
	if err == nil {
		err = b.inspection.Add(r)
	}
	if err != nil {
		b.printf("Not taken: %s.\n", cause(err))
		return false
	}
	b.instead = nil
	b.recorded(r)
	return b.save()
}

// column is what a message about a file begins with.
var column = regexp.MustCompile(`^column "[^"]*": `)

// cause is an error without the names of functions, files, lines and columns.
func cause(err error) string {
	for {
		e, ok := errors.AsType[*verify.Error](err)
		if !ok || e.Err == nil {
			return strings.TrimSuffix(column.ReplaceAllString(err.Error(), ""), ".")
		}
		err = e.Err
	}
}

// reading makes a reading of what was typed.
func (b *bench) reading(line string, step fault.Step) (verify.Reading, error) {
	setting, shown, other := strings.Cut(line, "=")
	columns := map[string]string{"session": b.session, "stage": b.stage.String()}
	values := line
	switch {
	case other && strings.Contains(setting, ";"):
		parts := strings.SplitN(setting+";;", ";", 4)
		for i, name := range []string{"standard", "standard value", "standard u"} {
			columns[name] = parts[i]
		}
		columns["range"], values = step.Range, shown
	case other:
		columns["setting"], values = setting, shown
	case step.Act == fault.ActKnownResistor:
		return verify.Reading{},
			errors.New("no resistor; expected NAME; VALUE; U = what the meter " +
				"shows, or more for a setting instead")
	case !step.Setting.IsValid():
		return verify.Reading{}, errors.New("no setting; expected it before the value, " +
			"such as 0-3-0 = 300.02")
	default:
		columns["setting"], columns["range"] = step.Setting.String(), step.Range
	}
	r, err := readLine(b.inspection.Box(), columns, strings.Split(values, ";"))
	if err != nil {
		return r, err
	}
	if b.temperature != nil && r.Known == nil {
		r.Temperature = new(*b.temperature)
	}
	if step.Act == fault.ActReverse && !other {
		r.Values, r.Reversed = nil, r.Values
	}
	r.Dialling, r.Line = 0, 0 // counted by the inspection
	return r, nil
}

// readLine reads one reading as a line of a file of readings, so that what holds there holds
// here: units, decimal commas, what displays show above their range.
func readLine(box *decade.Box, columns map[string]string, values []string) (verify.Reading, error) {
	head, line, mark := []string{}, []string{}, []string{}
	add := func(name, cell, before string) {
		head, line, mark = append(head, name), append(line, strings.TrimSpace(cell)), append(mark,
			before)
	}
	before := ""
	if columns["setting"] != "" {
		before = another(box, columns["setting"])
	}
	add("setting", columns["setting"], before)
	known := map[string]string{"standard": "before", "standard value": "1", "standard u": ""}
	for _, name := range []string{"range", "session", "stage", "standard", "standard value",
		"standard u"} {
		if columns[name] != "" {
			add(name, columns[name], known[name])
		}
	}
	// A mark that stands alone is a decimal mark: nobody types a thousand with one. A line
	// before says so.
	decimal := "0.5"
	if all := strings.Join(values, ""); strings.Contains(all, ",") && !strings.Contains(all, ".") {
		decimal = "0,5"
	}
	for i, v := range values {
		add(fmt.Sprintf("value %d", i+1), v, decimal)
	}
	var table strings.Builder
	for _, cells := range [][]string{head, mark, line} {
		table.WriteString(strings.Join(cells, "\t") + "\n")
	}
	readings, err := verify.ReadReadings(strings.NewReader(table.String()), box)
	if err != nil {
		return verify.Reading{}, err
	}
	return readings[len(readings)-1], nil
}

// another is a setting that the text does not mean: zero, or the first one that is not.
func another(box *decade.Box, text string) string {
	out := box.Zero()
	if s, err := box.ParseSetting(text); err == nil && s == out {
		out, _ = out.Next()
	}
	return out.String()
}

// recorded says what was taken.
func (b *bench) recorded(r verify.Reading) {
	report := b.inspection.Report()
	if r.Known != nil {
		if n := len(report.MeterErrors); n > 0 {
			b.printf("%v\n", report.MeterErrors[n-1])
		} else {
			b.printf("Taken; it corrects the readings of its session once there are some.\n")
		}
		return
	}
	row := &report.Rows[len(report.Rows)-1]
	switch {
	case row.Overload:
		b.printf("%v: %s\n", row.Setting, row.Note)
		return
	case row.Withheld:
		b.printf("%v: %s\n", row.Setting, row.Note)
		for _, f := range report.Implausible {
			if slices.Contains(f.Rows, len(report.Rows)-1) {
				b.printf("  %v\n", f)
			}
		}
		return
	}
	verdict := "not judged"
	if row.Judged {
		verdict = row.Verdict.String()
	}
	// To the third digit of U: what corrections add beyond it says nothing.
	value := row.Measured.Estimate()
	digits := elementary.DecimalExponent(value) - elementary.DecimalExponent(row.Expanded.U) + 3
	b.printf("%v: %s, deviation %s, U = %s: %s\n", row.Setting,
		files.Ohms(value, min(max(digits, 1), 10)), files.Ohms(row.Deviation.Estimate(), 3),
		files.Ohms(row.Expanded.U, 3), verdict)
}

func (b *bench) again() bool {
	list := b.inspection.Readings()
	for _, r := range slices.Backward(list) {
		if r.Known == nil {
			b.instead = new(fault.Reading(fault.ActDialAgain, r.Setting,
				fmt.Sprintf("Turn every dial away and back to %v and read it again.", r.Setting)))
			return true
		}
	}
	b.printf("Nothing has been read yet.\n")
	return false
}

// more asks for what the plan has next.
func (b *bench) more() bool {
	open := b.inspection.Coverage().Open
	at := slices.Index(open, b.asked) + 1 // the one after that which is asked for
	if at == len(open) {
		at = 0
	}
	if len(open) == 0 || len(open) == 1 && open[0] == b.asked && b.instead != nil {
		b.printf("Everything in the recommended plan has been read.\n")
		return false
	}
	b.instead = dial(open[at])
	return true
}

// dial asks for a setting.
func dial(s decade.Setting) *fault.Step {
	return new(fault.Reading(fault.ActDial, s, fmt.Sprintf("Set the dials to %v and read.", s)))
}

func (b *bench) undo() bool {
	r, ok := b.inspection.Undo()
	if !ok {
		b.printf("Nothing has been read yet.\n")
		return false
	}
	b.instead = nil
	if r.Known != nil {
		b.printf("Taken back: %s.\n", r.Known.Name)
	} else {
		b.printf("Taken back: %v.\n", r.Setting)
	}
	return b.save()
}

// save writes the file of readings as a whole or not at all. What was in it at the start is
// kept beside it once: a spreadsheet may have had more than readings.
func (b *bench) save() bool {
	if !b.kept {
		b.kept = true
		switch text, err := os.ReadFile(b.file); {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			b.err = err
		default:
			b.sheet = sheetOf(text)
			copyOf := b.file + ".before"
			b.err = files.Save(copyOf,
				func(w io.Writer) error { _, err := w.Write(text); return err })
			b.printf("%s as it was is kept as %s.\n", b.file, copyOf)
		}
	}
	if b.err != nil {
		return true // the work ends with it
	}
	readings := b.inspection.Readings()
	if len(readings) == 0 {
		b.err = os.Remove(b.file)
		return true
	}
	b.err = files.Save(b.file, func(w io.Writer) error {
		if b.sheet != nil {
			return b.sheet.WriteReadings(w, readings)
		}
		return verify.WriteReadings(w, readings)
	})
	return true
}

// sheetOf says for what spreadsheet a table is, so that the one it came from opens it again: a
// byte-order mark or semicolons are those of one, and semicolons go with decimal commas. Nil:
// for none.
func sheetOf(table []byte) *verify.Sheet {
	mark := bytes.HasPrefix(table, []byte("\ufeff"))
	for line := range bytes.Lines(table) {
		if bytes.HasPrefix(line, []byte("#")) {
			continue
		}
		if semicolons := bytes.ContainsRune(line, ';'); semicolons || mark {
			return &verify.Sheet{DecimalComma: semicolons}
		}
		break // that was the head
	}
	return nil
}

// end says what there is to say at the end.
func (b *bench) end(ctx context.Context) error {
	answer, err := b.think(ctx)
	if err != nil || b.err != nil {
		return errors.Join(err, b.err)
	}
	if !b.advised {
		if len(answer.Report.Rows) > 0 {
			b.printf("\n")
			b.err = errors.Join(b.err, answer.WriteAdvice(b.out))
		}
		b.printf("\n%s %s\n", answer.Reason(), b.inspection.Coverage())
	}
	if len(b.inspection.Readings()) > 0 {
		b.printf("The readings are in %s; the same command resumes with them.\n", b.file)
	}
	return b.err
}
