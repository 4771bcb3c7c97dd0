// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// This file is what a report says of itself: notes, how the figures came about, which are the
// same for every report of one kind of data; and warnings, what a reader must know before he
// uses it. A note never depends on the verdicts, a warning may. Both name what was assumed: an
// assumption that nobody sees is the worst defect of a report.

// notesAndColumns are the notes with what the columns of a report mean.
func (r *Report) notesAndColumns() []string {
	return append(r.Notes(),
		"Probability is that of conformity: of a true deviation inside its limits, by this "+
			"reading alone, without a prior.",
		"TUR is the test uncertainty ratio, half the width of the limits over U. #2 is the "+
			"second dialling of a setting.")
}

// notes says how the results were obtained, so that a reader can repeat them: convention,
// temperature, wiring, meter, contacts, repeats, U, in this order, a sentence or two each.
func (e *evaluation) notes() []string {
	out := []string{e.conventionNote(), e.temperatureNote(), e.wiringNote()}
	out = append(out, e.meterNotes()...)
	// The contacts of all reports, repeats only where there were any.
	out = append(out, e.contact.report.String())
	if len(e.scatter) > 0 {
		out = append(out, fmt.Sprintf("Repeats: up to %d readings of a dialling take the "+
			"standard deviation pooled over the range, more readings take their own; re-dialling "+
			"is counted separately.", fewRepeats))
	}
	return append(out,
		"U has the stated coverage probability. Its coverage factor follows from the effective "+
			"degrees of freedom; where that is wrong by more than 5 %, U follows from the "+
			"distributions of all contributions (convolution).")
}

// meterNotes says how the limits of each range in use combine and what is assumed.
func (e *evaluation) meterNotes() []string {
	var out []string
	assumedE, assumedHalf := false, false
	for _, rg := range e.meter.Ranges {
		if !slices.ContainsFunc(e.ranges, func(r *Range) bool { return r.Name == rg.Name }) {
			continue
		}
		// Ranges in the order of the meter file, not of the readings, as a reader compares them
		// with it.
		s := fmt.Sprintf("Meter range %s: %v", rg.Name, rg)
		if e, assumed := rg.LinearityLimit(); assumed {
			s += ", linearity ±" + wording.Ohms(e) + " (assumed)"
			assumedE = true
		} else if e > 0 {
			s += ", linearity ±" + unit.Format(e, unit.Ohm)
		}
		switch {
		case rg.Noise > 0:
			s += ", noise " + unit.Format(rg.Noise, unit.Ohm)
		default:
			s += ", noise not stated"
		}
		// Where all is new in each reading, there is nothing to split between sessions.
		assumedHalf = assumedHalf || rg.ShortTerm == nil && rg.Combine != CombineIndependent
		out = append(out, s+e.calibrationNote(rg)+".")
	}
	text := "One limit bounds gain, zero and their common part, for all readings of a range; " +
		"linearity is what differs from value to value. Where no coverage factor is stated, the " +
		"limit bounds all of these together, and their contribution to a result is rectangular."
	if assumedE {
		text += fmt.Sprintf(" Where linearity is not stated, it is assumed to be %.0f %% of the "+
			"range part, and at least a step of the display.", 100*assumedLinearity)
	}
	if assumedHalf {
		text += " Half of each variance is assumed common to all sessions under one certificate " +
			"of the meter, half to one session."
	}
	return append(out, text)
}

// calibrationNote says how the certificate of a range enters.
func (e *evaluation) calibrationNote(rg Range) string {
	c := rg.Calibration
	switch {
	case c == nil:
		return ""
	case c.Stability == nil:
		return "; corrected by its certificate between the points, with its U on its day, else " +
			"with the limits added"
	}
	return fmt.Sprintf("; corrected by its certificate between the points, with its U on its "+
		"day, else with %v added", *c.Stability)
}

// conventionNote says what a deviation is counted from. The four cases are those of
// byConvention: the residual included; a null that took it out; the zero that was read; the
// residual that is stated.
func (e *evaluation) conventionNote() string {
	if e.spec.ResidualIncluded {
		return "Deviation is measured minus nominal at the terminals: this box is stated with " +
			"its residual included."
	}
	if e.meter.Leads.Null == NullBoxAtZero {
		return "Deviation is measured minus nominal above the zero setting: the null was taken " +
			"with the box at zero."
	}
	// One session without a zero is enough for the longer sentence.
	for i := range e.readings {
		if _, ok := e.zero(&e.readings[i]); !ok {
			return "Deviation is measured minus nominal above the zero setting. Where no reading " +
				"at zero belongs to a session, the stated residual with its tolerance is " +
				"subtracted."
		}
	}
	return "Deviation is measured minus nominal above the zero setting: the mean of the readings " +
		"at zero of the same session is subtracted."
}

// temperatureNote says whether readings are corrected for temperature, and if not, what is missing
// for it: the law of the box, or the temperatures. That some readings had none
// recorded is a warning.
func (e *evaluation) temperatureNote() string {
	if !e.box.HasTemperatureLaw() {
		return "Temperature: not corrected, because the description of the box states no " +
			"temperature law."
	}
	at := ""
	if t, ok := e.box.ReferenceTemperature(); ok {
		at = fmt.Sprintf(" of %g °C", t)
	}
	if !slices.ContainsFunc(e.readings, func(rd Reading) bool { return rd.Temperature != nil }) {
		return "Temperature: not corrected, because no reading states that of the box; all are " +
			"taken at the reference temperature" + at + "."
	}
	return "Temperature: readings are brought to the reference temperature" + at +
		" by the temperature law of the box."
}

// wiringNote says what is in the readings beside the box. A two-wire meter states a null or the
// resistance of its leads, never both (Meter.Check); with neither the leads are in every value, of
// which warnOmissions warns.
func (e *evaluation) wiringNote() string {
	s := "Wiring: " + e.meter.Wiring.String()
	switch {
	case e.meter.Leads.Null != NullNone:
		s += ", null taken with " + map[Null]string{NullLeadsJoined: "the leads joined",
			NullBoxAtZero: "the box at zero"}[e.meter.Leads.Null]
	case e.meter.Wiring == WiringTwoWire:
		s += fmt.Sprintf(", leads of %s subtracted",
			unit.Format(e.meter.Leads.Resistance, unit.Ohm))
	}
	return s + "."
}

// warnings says what a reader must know before using the report: of class and meter, of what the
// readings show, of what nobody stated, and last that the box was out of its class as found.
// Each has a sentinel for errors.Is: ErrUnusual, ErrTooCoarse, ErrInconsistent, ErrNotStated,
// ErrAsFound.
func (e *evaluation) warnings(r *Report) []error {
	var out []error
	warn := func(sentinel error, format string, args ...any) {
		out = append(out, &Error{Op: "verify.Evaluate", Err: unit.Errorf(sentinel, format,
			args...)})
	}
	r.warnUnusual(warn)
	e.warnRecord(warn)
	e.warnCoarse(r, warn)
	for _, d := range r.Switching.Dials {
		warn(ErrInconsistent, "diallings of the %s dial scatter by %s, more than other dials do "+
			"or the stated variation explains: budgets with this dial off zero include it.",
			r.dialName(d.Dial), wording.Ohms(d.Estimated))
	}
	if c := r.Switching; c.Used && c.Stated > 0 {
		warn(ErrInconsistent, "diallings of one setting scatter by more than the stated contact "+
			"of %s explains (chi-squared %.3g with %s, 95 %% point %.3g): budgets take %s a "+
			"closed contact, from the diallings.", wording.Ohms(c.Stated), c.ChiSquared,
			wording.Freedom(c.DOF), c.Limit, wording.Ohms(c.Estimated))
	}
	// Too small a χ² is as telling as too large a one: readings that were copied, or
	// uncertainties that are far too wide.
	if c := r.Switching; wording.AgreeTooWell(c.ChiSquared, c.DOF) {
		warn(ErrInconsistent, "%s", wording.TooWell("diallings of one setting", c.ChiSquared,
			c.DOF))
	}
	e.warnOmissions(warn)
	if r.anyFailed(StageAsFound) {
		warn(ErrAsFound, "the box was out of its class as found: earlier work with it may be "+
			"affected.")
	}
	return out
}

// warnCoarse says once for each range where it cannot decide: a finding about the meter. At U =
// 12 mΩ and a limit of ±10 mΩ the acceptance interval under w = U is empty, and 40 rows of
// "undecided" would say nothing else.
func (e *evaluation) warnCoarse(r *Report, warn func(error, string, ...any)) {
	// By setting, not by row: three diallings of one setting are one place where the meter is
	// too coarse.
	count := make(map[string]map[decade.Setting]bool)
	var order []string
	for i := range r.Rows {
		row := &r.Rows[i]
		// Where a contact scatters, a better meter decides no more.
		if !row.Judged || row.Overload || r.Switching.scattersApart(row.Setting) {
			continue
		}
		// An empty acceptance interval is a fact about the meter (JCGM 106, 8.3.2), said once
		// and not row by row.
		if _, ok := r.Rule.Acceptance(row.Limits, row.Expanded.U); !ok {
			if count[row.Range] == nil {
				order = append(order, row.Range)
				count[row.Range] = make(map[decade.Setting]bool)
			}
			count[row.Range][row.Setting] = true
		}
	}
	// In the order in which the ranges were read; a map has none.
	for _, name := range order {
		warn(ErrTooCoarse, "on range %s U exceeds the limit at %s: no reading there could show "+
			"that the box conforms. Use a better range or meter, substitution, or comparison "+
			"inside the box.", name, wording.Plural(len(count[name]), "setting"))
	}
}

// lowOhms is the range in Ω up to which a thermal EMF of 1 µV counts at usual test currents
// (common practice): at 1 mA it reads 1 mΩ, which is 1 ppm of 1 kΩ and 100 ppm of 10 Ω.
const lowOhms = 1000

// omissions counts the readings that leave something out.
type omissions struct {
	noTemperature int // of the box
	onePolarity   int // on ranges up to lowOhms
	redialled     int // second and further diallings
	noMeter       int // no temperature of the meter, where its limits depend on it
}

// omissions counts what the readings do not state.
func (e *evaluation) omissions() (out omissions) {
	for i := range e.readings {
		rd := &e.readings[i]
		rg := e.ranges[i]
		if rd.Temperature == nil {
			out.noTemperature++
		}
		if rd.Dialling > 1 {
			out.redialled++
		}
		// Values of both polarities average the EMFs away; offset compensation is asked for
		// once, below.
		bothPolarities := len(rd.Values) > 0 && len(rd.Reversed) > 0
		if !rd.Overload && rg.FullScale <= lowOhms && !bothPolarities {
			out.onePolarity++
		}
		if rd.MeterTemperature == nil && (rg.OfReadingPerKelvin > 0 || rg.OfRangePerKelvin > 0) {
			out.noMeter++
		}
	}
	return out
}

// warnOmissions names what was not stated and matters: what would have to be in the budgets.
// Each condition asks both, whether it was stated and whether this box or meter would have used
// it; a list of all that a file could have said would be read by nobody.
func (e *evaluation) warnOmissions(warn func(error, string, ...any)) {
	n := e.omissions()
	law := e.box.HasTemperatureLaw()
	// Without a law the temperature would not be used, so that nobody misses it.
	if law && n.noTemperature > 0 {
		warn(ErrNotStated, "%s without the temperature of the box: taken at reference temperature.",
			wording.Plural(n.noTemperature, "reading"))
	}
	if law && n.noTemperature < len(e.readings) && e.meter.Thermometer == 0 {
		warn(ErrNotStated, "limits of the thermometer not stated: the temperature is taken as "+
			"exact.")
	}
	if n.onePolarity > 0 && !e.meter.OffsetCompensated && e.meter.ThermalEMF == 0 {
		warn(ErrNotStated, "%s on ranges up to 1 kΩ with one polarity, no offset compensation "+
			"and no limit of thermal EMFs stated: these are not in the budgets (1 µV at 1 mA is "+
			"1 mΩ).", wording.Plural(n.onePolarity, "reading"))
	}
	if n.redialled == 0 && e.spec.Contact == 0 {
		warn(ErrNotStated, "no setting was dialled twice and no switching variation is stated: "+
			"contact variation is not in the budgets.")
	}
	if n.noMeter > 0 {
		warn(ErrNotStated, "%s without the temperature of the meter: it is taken as inside the "+
			"band of its limits.", wording.Plural(n.noMeter, "reading"))
	}
	if e.meter.Wiring == WiringTwoWire && e.meter.Leads.Null == NullNone &&
		e.meter.Leads.Resistance == 0 {
		warn(ErrNotStated, "two-wire without a null and no lead resistance stated: the leads are "+
			"in every value.")
	}
}

// anyFailed reports whether any row of a stage does not conform.
func (r *Report) anyFailed(s Stage) bool {
	for i := range r.Rows {
		if row := &r.Rows[i]; row.Reading.Stage == s &&
			row.Verdict == conformity.VerdictDoesNotConform {
			return true
		}
	}
	return false
}
