// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

// A Certificate is what a file says, in the digits in which it says it. It is made in one
// direction only: report and parties, then New, then WriteXML; Read ends in the same type, and
// what it returns can be written again to the same bytes. So everything is rounded in New, texts
// are made of words with one space between them, and times are days in UTC.
//
// The demands of ISO/IEC 17025:2017, 7.8.2 and 7.8.4, are met by fields that must be stated
// (laboratory, customer, unique number, dates, item) and by texts that New takes from the report
// (method, rule, conditions, traceability). What only the laboratory knows is in Parties.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// A Certificate holds the contents of a digital calibration certificate of a decade box. Any
// number of goroutines may read one at once.
type Certificate struct {
	Parties // complete: with the dates and the temperature of the readings

	Box, Serial string      // name and serial number of the box
	Class       string      // limits of error of the box, in words; may be empty
	Equipment   []Equipment // the meter, then each known resistor that was read
	Method      string      // of measurement and of its uncertainty, in words
	Rule        string      // by which verdicts were made, in words
	Results     []Result    // of each stage that was read: as found before as left
}

// Equipment is a meter or a standard that was used. Any number of goroutines may read one at
// once.
type Equipment struct {
	Name                string
	Serial, Certificate string // may be empty
}

// A Result holds what a box measured in one stage: the residual first, then each position of each
// dial. Any number of goroutines may read one at once.
type Result struct {
	Stage verify.Stage
	Notes string // how the values were made, and what readings do not agree with them
	Rows  []Row  // each run of rows of one dial is a table of the file
}

// A Row is one setting of a result. Numbers are those that the certificate states: U has two
// significant digits, and Value ends where U does. Any number of goroutines may read one at
// once.
type Row struct {
	Dial     string  // of the only dial off zero; empty: none, or more than one
	Setting  string  // positions of all dials, "0-3-0"
	Nominal  float64 // Ω; of the residual as stated
	Open     bool    // the circuit was open: no Value, no U
	Value    float64 // Ω, in the convention of the box: above the zero setting, or at the terminals
	U, P     float64 // expanded uncertainty in Ω, coverage probability
	K        float64 // coverage factor; 0: below 1, for which the schema has no number
	Judged   bool
	Limits   uncertainty.Interval // Ω, of Value; the zero Interval where nothing was judged
	Verdict  conformity.Verdict
	Residual bool // all dials at zero
}

// New makes the certificate of a calibration from the readings of a report.
//
// Where the readings of a stage determine every element and agree (see package calibrate), the
// values are those of the fit, at every position of every dial. Where they do not, as with a
// faulty box as found, they are the readings, of each setting the first dialling; Notes of the
// result says which and why.
//
// It returns an error where a required part of the parties is missing, where neither parties nor
// readings state dates or temperature ([ErrNotStated]), and where there are no readings
// ([ErrEmpty]).
func New(r *verify.Report, p *Parties) (*Certificate, error) {
	const op = "certificate.New"
	if r == nil || r.Box.NumDecades() == 0 || len(r.Rows) == 0 {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrEmpty,
			"no report with readings; expected one of verify.Evaluate")}
	}
	if p == nil {
		return nil, &Error{Op: op, Name: "parties", Err: unit.Errorf(ErrNotStated,
			"none; expected laboratory, persons and customer")}
	}
	c := &Certificate{Parties: p.clone(), Box: singleSpaced(r.Box.Name()),
		Serial: singleSpaced(r.Box.Serial())}
	// Before the check: what readings state is not missing.
	c.completeFrom(r)
	if len(c.Repair) > 0 && !slices.Contains(r.Stages(), verify.StageAsLeft) {
		return nil, &Error{Op: op, Name: "repair",
			Err: unit.Errorf(ErrNotStated,
				"stated without a reading as left; expected readings after the repair too")}
	}
	if key, err := c.checkCertificate(); err != nil {
		return nil, &Error{Op: op, Name: key, Err: err}
	}
	for _, line := range r.Heading() {
		// The words of the report, so that certificate and report say the same of class and
		// rule. A heading is pairs of title and text.
		switch line[0] {
		case "Class":
			c.Class = singleSpaced(line[1])
		case "Decision rule":
			c.Rule = singleSpaced(line[1])
		}
	}
	// ISO/IEC 17025, 7.8.2.1: identification of the method used.
	c.Method = methodText(r)
	// ISO/IEC 17025, 7.8.4.1: what the values are traceable through.
	c.Equipment = []Equipment{{wordsOr(r.Meter.Name, "meter"), singleSpaced(r.Meter.Serial),
		singleSpaced(r.Meter.Certificate)}}
	for _, s := range r.Standards {
		one := Equipment{Name: wordsOr(s.Name, "standard resistor")}
		if !slices.Contains(c.Equipment, one) { // each was read more than once
			c.Equipment = append(c.Equipment, one)
		}
	}
	for _, stage := range r.Stages() {
		result, err := newResult(r, stage, c.Number)
		if err != nil {
			return nil, &Error{Op: op, Name: stage.String(), Err: err}
		}
		c.Results = append(c.Results, result)
	}
	return c, nil
}

// clone copies the parties, whose dates count as such, so that New neither changes what its
// caller has nor follows later changes of it.
func (p *Parties) clone() Parties {
	out := *p
	out.Persons = slices.Clone(p.Persons)
	out.Repair, out.Remarks = slices.Clone(p.Repair), slices.Clone(p.Remarks)
	for _, d := range out.dates() {
		if !d.to.IsZero() {
			// A certificate states days: with a time of day a reader would get back another
			// value.
			*d.to = startOfDay(*d.to)
		}
	}
	return out
}

// startOfDay is the beginning of a date, in UTC, as a date read from a file is. The date is that
// of the time zone in which the time was stated: a reading at 23:30 was taken on that day.
func startOfDay(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

// completeFrom takes from the readings what the parties do not state: place, temperature and the
// first and last day. What they do state stays, since a room may have been watched for longer
// than readings were taken.
func (c *Certificate) completeFrom(r *verify.Report) {
	if c.Place == "" {
		c.Place = places[0]
	}
	temperature, stated := uncertainty.Interval{}, c.Temperature != uncertainty.Interval{}
	begin, end := time.Time{}, time.Time{}
	for i := range r.Rows {
		in := &r.Rows[i].Reading // readings without a temperature or a time say nothing of it
		// The interval from the lowest to the highest reading: what is stated must hold for all.
		if t := in.Temperature; t != nil {
			if temperature == (uncertainty.Interval{}) {
				temperature = uncertainty.Interval{Lower: *t, Upper: *t}
			}
			temperature.Lower, temperature.Upper = min(temperature.Lower, *t),
				max(temperature.Upper, *t)
		}
		if t := in.Time; !t.IsZero() {
			if begin.IsZero() || t.Before(begin) {
				begin = t
			}
			if t.After(end) {
				end = t
			}
		}
	}
	if !stated {
		c.Temperature = temperature
	}
	if c.Begin.IsZero() && !begin.IsZero() {
		c.Begin = startOfDay(begin)
	}
	if c.End.IsZero() && !end.IsZero() {
		c.End = startOfDay(end)
	}
}

// checkCertificate refuses a certificate that lacks what it must have, and returns the key or the
// name by which its owner knows it. New, Read and WriteXML all ask it, so that nothing can be
// read that could not be written. A box without a number cannot be told from another one
// (ISO/IEC 17025:2017, 7.8.2.1 g, from memory: unambiguous identification of the item).
func (c *Certificate) checkCertificate() (key string, err error) {
	if key, err := c.Parties.checkParties(); err != nil {
		return key, err
	}
	missing := func(text string) error { return unit.Errorf(ErrNotStated, "%s", text) }
	switch {
	case c.Box == "":
		return "name of the box", missing("not stated; expected it in the description of the box")
	case c.Serial == "" && c.Inventory == "":
		return "item.inventory", missing("neither a serial number in the description of the box " +
			"nor an inventory number; expected one of them")
	case c.Begin.IsZero():
		return "begin", missing("neither stated nor in the readings (column time); expected the " +
			"first day of the calibration")
	case c.End.IsZero():
		return "end", missing("neither stated nor in the readings (column time); expected the " +
			"last day of the calibration")
	case c.Temperature == uncertainty.Interval{}:
		return "environment.temperature",
			missing("neither stated nor in the readings (column temperature); expected the " +
				"temperature of the box")
	}
	return "", nil
}

// methodText says how the values came about: the notes of the report are those on choices of the
// meter's law, linearity and noise that a reader could make otherwise.
func methodText(r *verify.Report) string {
	sentences := []string{
		"Readings of the box with an ohmmeter.",
		"Uncertainty by the law of propagation (JCGM 100:2008); what readings share is one " +
			"source of error.",
	}
	return singleSpaced(strings.Join(append(sentences, r.Notes()...), " "))
}

// singleSpaced puts one space between words, as a certificate keeps them: indentation by other
// tools may break a text into lines, and must not change what Read returns.
func singleSpaced(text string) string { return strings.Join(strings.Fields(text), " ") }

// wordsOr is a text, or what stands for one that is not stated.
func wordsOr(text, otherwise string) string {
	if w := singleSpaced(text); w != "" {
		return w
	}
	return otherwise
}

// Verdict returns the verdict of the last result, as left where that was read. It is undecided
// without a result.
func (c *Certificate) Verdict() conformity.Verdict {
	if c == nil || len(c.Results) == 0 {
		return conformity.VerdictUndecided
	}
	return c.Results[len(c.Results)-1].Verdict()
}

// Verdict says that the box conforms if every judged setting does, that it does not conform if
// one does not, and else that it cannot be decided, also where no setting was judged. Each setting
// keeps its own risk: of a hundred that conform with 2.5 % risk each, some may well not.
func (r *Result) Verdict() conformity.Verdict {
	if r == nil {
		return conformity.VerdictUndecided
	}
	// Rows that were not judged, such as an overload, speak neither way.
	verdict, judged := conformity.VerdictConforms, false
	for _, row := range r.Rows {
		if !row.Judged {
			continue
		}
		judged = true
		switch {
		case row.Verdict == conformity.VerdictDoesNotConform:
			return row.Verdict
		case row.Verdict != conformity.VerdictConforms:
			verdict = row.Verdict
		}
	}
	if !judged {
		return conformity.VerdictUndecided
	}
	return verdict
}

// counts says how many rows were judged, and how: the numbers beside the verdict, since "does not
// conform" is one setting of a hundred or all of them.
func (r *Result) counts() string {
	n := make(map[conformity.Verdict]int)
	judged := 0
	for _, row := range r.Rows {
		if row.Judged {
			judged++
			n[row.Verdict]++
		}
	}
	return fmt.Sprintf("%d of %s judged: %s, %s, %d cannot be decided.", judged,
		wording.Plural(len(r.Rows), "setting"),
		unit.Counted(n[conformity.VerdictConforms], "conforms", "conform"),
		unit.Counted(n[conformity.VerdictDoesNotConform], "does not conform", "do not conform"),
		n[conformity.VerdictUndecided])
}

// decimals is the number of decimals of a value whose uncertainty has two significant digits,
// negative where the last of them stands before the point; −1, all digits, without one.
//
//	u = 0.012    1.2e−02    3 decimals     1.234
//	u = 1.2      1.2e+00    1              1000.1
//	u = 120      1.2e+02    −1             12340
//	u = 0.0999   1.0e−01    2              0.10 and not 0.100: rounding comes before counting
func decimals(u float64) int {
	// Negated, so that NaN, whose text has no exponent, does not pass.
	if !(u > 0) {
		return -1
	}
	// In the form d.de±xx the exponent is that of the first of two digits; +Inf has none.
	exponent, err := strconv.Atoi(strconv.FormatFloat(u, 'e', 1, 64)[len("1.0e"):])
	if err != nil {
		return -1
	}
	return 1 - exponent
}
