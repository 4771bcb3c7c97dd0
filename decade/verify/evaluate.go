// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// This file is the way from readings to a report. prepare makes the value of each reading from
// what the meter showed and what is known of the meter, the leads and the box (model.go,
// metererror.go); only then are the contacts found, since their scatter is pooled over all
// diallings (diallings.go), and the zeros, which are means. report makes the rows from these
// values, withholds what is not plausible, and judges the rest; what readings have in common and
// which steps are outside their class follow from the rows.
//
// Sources of error are made once (sources): two rows that use one share it, and differences of
// rows lose it.
//
// Of what is found on the way some depends on all readings, and the order of prepare and report
// follows from that:
//
//	needs                            gives
//	repeats of a range and session   the noise of a value, pooled where repeats are few
//	values without contacts          the scatter of diallings, and so the values with contacts
//	values at zero                   the zero of a session and stage, which other values subtract
//	values, zeros                    rows with U
//	rows with U                      what is not plausible; what is, is found again without it
//	rows, plausible                  verdicts, steps, what is common, findings
//
// The cost is linear in the readings but for what compares settings with each other. A report of
// 100,000 readings keeps the sources of its rows and no budgets, which are made on demand.

// A Report holds the verdicts on the readings of a box, and the facts that they show. Any number
// of goroutines may read one at once.
type Report struct {
	Box        *decade.Box
	Meter      Meter
	Rule       conformity.Rule
	Rows       []Row // one for each dialling, in the order of the readings
	Increments []Increment
	Switching  Switching       // what the diallings say about the contacts
	Settings   []SettingResult // of each setting that was dialled more than once

	// Implausible is what no box can show, most of it recording errors. Verdicts that rest on it
	// are withheld.
	Implausible []Finding
	Findings    []Finding     // facts about the box
	Common      []Common      // what readings share, by stage: all, ranges, dials, jumps
	Shared      []SharedError // results near their limits that are not independent
	Compared    []Comparison  // inside the box, where the meter is too coarse for it
	ClassMet    []ClassMet    // of each dial and of the box, by stage
	Warnings    []error
	Standards   []Standard   // that corrected the meter; see Substitute
	MeterErrors []MeterError // what the meter was off by at each of Standards

	notes []string // how the results were obtained, for people
	from  *evaluation
}

// A Row is one dialling of a setting, judged. Any number of goroutines may read one at once.
type Row struct {
	Setting decade.Setting
	Reading Reading // what it comes from
	Range   string  // of the meter
	Nominal float64 // Ω

	// Overload: the meter showed that the reading is above its range. Open: the range reaches
	// beyond the setting too, so that the circuit is open. With an overload there is no Measured,
	// no Deviation and no budget.
	Overload, Open bool

	// Measured is the resistance at the terminals at reference temperature, in Ω. Where a caller
	// combines it with others, uncertainties and what cancels are right; the parts of one limit are
	// taken as independent there, where the report takes them together, so that a 95 % interval is
	// too wide, by up to a fifth, rather than too narrow.
	Measured uncertainty.Quantity
	// StatedScatter is the standard deviation of a dialling in Ω by what is stated of contacts and
	// noise; where no contact is stated, by what good ones do: as the diallings allow, at most
	// 1 mΩ each (common practice).
	StatedScatter float64

	// Deviation is measured − nominal in Ω, in the convention of the box; at zero the residual
	// itself. See Budget. In combinations of a caller it is as Measured; Expanded has what the
	// report knows of its law.
	Deviation uncertainty.Quantity
	from      *evaluation
	index     int                  // in from
	u, dof    float64              // Ω, of Deviation
	Expanded  uncertainty.Expanded // of Deviation, as the rule takes it

	Limits  uncertainty.Interval // Ω, of Deviation
	Judged  bool                 // there is a limit to judge against
	Verdict conformity.Verdict
	// Withheld: the reading is not plausible, or rests on one that is not. It is not judged;
	// Note says why.
	Withheld bool
	// Discarded: its value is of no use for anything else either, such as causes or a fit.
	Discarded bool
	// Probability is the probability of conformity, that the true deviation lies inside
	// Limits, by what is known best of its distribution; NaN where nothing is judged. No
	// prior is in it.
	Probability float64
	// UncertaintyRatio is the test uncertainty ratio: half-width of Limits / U. It is
	// NaN where there is none: at the zero setting, without limits, without a value.
	UncertaintyRatio float64
	Note             string
}

// Evaluate judges readings of the box b, taken with the meter m, by a decision rule. The package
// comment states the model.
//
// Readings of known resistors correct all others, see [Known] and [Report.MeterErrors].
//
// It returns an error that names the box, meter, rule or reading that is not valid. Readings that
// no sound box or meter would give are no error: they are findings.
func Evaluate(b *decade.Box, m *Meter, readings []Reading, rule conformity.Rule) (*Report, error) {
	if b == nil {
		return nil, &Error{Op: "verify.Evaluate",
			Err: unit.Errorf(ErrEmpty, "nil box; expected a box")}
	}
	if err := m.Check(); err != nil {
		return nil, err
	}
	if err := rule.Check(); err != nil {
		return nil, err
	}
	return evaluate(nil, b, m, readings, rule)
}

// report judges every reading.
func (e *evaluation) report(rule conformity.Rule) (*Report, error) {
	r := &Report{Box: e.box, Meter: e.meter.clone(), Rule: rule, from: e,
		Rows: make([]Row, 0, len(e.readings))}
	if len(e.readings) <= mostKept {
		e.budgetsOfLaws = make(map[uncertainty.Quantity]*uncertainty.Budget)
	}
	if err := r.makeRows(e); err != nil {
		return nil, err
	}
	// Plausibility first: a recording error must not reach a verdict, a contact or a finding.
	r.checkPlausibility(e)
	if e.leaveOut(r.implausibleRows()) {
		if err := r.remakeRows(e); err != nil {
			return nil, err
		}
	}
	if err := r.judge(e); err != nil {
		return nil, err
	}
	// After the verdicts, with which those of the least linearity are compared.
	if err := r.noteLinearity(e); err != nil {
		return nil, err
	}
	r.Switching = e.contact.report
	if err := r.settingResults(e); err != nil {
		return nil, err
	}
	r.notes = e.notes()
	r.Warnings = e.warnings(r)
	var err error
	if r.Increments, err = r.increments(); err != nil {
		return nil, err
	}
	if r.Common, err = r.common(); err != nil {
		return nil, err
	}
	r.Shared = r.sharedErrors()
	if r.Compared, err = r.compared(); err != nil {
		return nil, err
	}
	if r.ClassMet, err = r.classesMet(); err != nil {
		return nil, err
	}
	r.Findings, err = r.findFacts()
	e.releaseEarlier()
	return r, err
}

// makeRows makes the row of every reading, without verdicts.
func (r *Report) makeRows(e *evaluation) error {
	for i := range e.readings {
		row, err := e.row(i, r.Rule)
		if err != nil {
			return err
		}
		r.Rows = append(r.Rows, row)
	}
	return nil
}

// remakeRows makes all rows again, after values have changed, with what was found of their
// plausibility. It is not looked for twice: with the smaller U of the second time a slip could
// miss the setting that its value is of, and would be judged.
func (r *Report) remakeRows(e *evaluation) error {
	before := r.Rows
	r.Rows = make([]Row, 0, len(before))
	if err := r.makeRows(e); err != nil {
		return err
	}
	for i := range r.Rows {
		row, was := &r.Rows[i], &before[i]
		row.Withheld, row.Discarded = was.Withheld, was.Discarded
		row.Judged, row.Note = was.Judged, was.Note
	}
	return nil
}

// implausibleRows marks the rows that are not plausible themselves, by index; those that rest on
// them, as on a zero, are not marked. It is nil where there are none.
func (r *Report) implausibleRows() []bool {
	var out []bool
	for _, f := range r.Implausible {
		if out == nil {
			out = make([]bool, len(r.Rows))
		}
		for _, i := range f.Rows {
			if i < len(out) { // a caller may have cut the report
				out[i] = true
			}
		}
	}
	return out
}

// evaluation is what rows are made from. Its slices have one element for each reading of the box,
// in the order in which they were given; readings of known resistors are not among them. Once a
// report is made of it nothing changes it: fork makes what may be changed.
type evaluation struct {
	*sources
	readings []Reading
	ranges   []*Range  // of each reading, in m
	values   []result  // resistance at the terminals; after a null at zero, above the zero setting
	shown    []float64 // Ω, of each reading: the mean of what was displayed
	// Of each reading: its values are no repeats of one another.
	contradicting []bool
	leftOut       []bool              // of each reading: contacts are found without it; nil: none
	zeros         map[zeroKey]*result // means; by pointer: the same where taken over
	// zeroAtOnce has the zeros as one quantity each, without what is stated.
	zeroAtOnce  map[zeroKey]uncertainty.Quantity
	residual    result                          // Ω, as the box states it
	corrections [][]Standard                    // by which values are corrected, in order
	spreads     map[group][]spread              // of repeats, made when asked for
	factors     map[composition]shapes[float64] // coverage factors by the rule
	plain       *evaluation                     // where values are corrected: the one before that
	before      *earlier                        // while it is made: has what is the same
	// Budgets with the law of a row, by its deviation, while a report is made; nil: not kept.
	budgetsOfLaws map[uncertainty.Quantity]*uncertainty.Budget
	*kept
}

// zeroKey says which readings at zero belong together: those of one session, since leads, null and
// zero of the meter are the session's, and of one stage, since cleaning changes the residual.
type zeroKey struct {
	session string
	stage   Stage
}

// prepare evaluates what the values of readings are; before is nil, or an earlier evaluation of
// the same box and meter.
func prepare(before *earlier, b *decade.Box, m *Meter, readings []Reading) (*evaluation, error) {
	e := newEvaluation(before, b, m, readings)
	if err := e.findRanges(); err != nil {
		return nil, err
	}
	e.poolRepeats()
	if err := e.checkUnique(); err != nil {
		return nil, err
	}
	if before != nil {
		before.handOver(e)
	} else {
		residual := b.Zero().Resistance()
		e.residual = result{stated: decimal(e.spec.Residual)}
		// The stated value is a decimal already: what is left of the quantity is its uncertainty.
		e.residual.with(1, residual.Sub(uncertainty.Exact(e.spec.Residual)))
	}
	n := len(e.readings)
	e.values, e.shown = make([]result, 0, n), make([]float64, 0, n)
	if n <= mostKept {
		e.unswitched = make([][]private, n)
	}
	for i := range e.readings {
		if err := e.measureReading(i); err != nil {
			return nil, err
		}
	}
	// After all readings: the contacts are pooled over all diallings (GUM 4.2.4).
	e.contact = e.findContacts()
	if before != nil {
		before.contacts = slices.Equal(e.contact.groups, before.contact.groups)
	}
	for i := range e.readings {
		e.addContactVariation(i)
	}
	e.meanZeros()
	return e, nil
}

// newEvaluation is an evaluation of which nothing is known but the readings.
func newEvaluation(before *earlier, b *decade.Box, m *Meter, readings []Reading) *evaluation {
	own := m
	if before == nil {
		// A copy: a caller who changes the meter later must not change rows that are made on
		// demand.
		own = new(m.clone())
	}
	return &evaluation{
		sources: &sources{meter: own, box: b, spec: b.Spec(),
			made: make(map[string]uncertainty.Quantity), scatter: make(map[group]scatter),
			anchors: make(map[anchorKey]anchor), bounds: make(map[uncertainty.Quantity]bound),
			changes: make(map[corrected]uncertainty.Quantity),
			often:   make(map[lawKey]uncertainty.Distribution)},
		readings: cloneReadings(readings),
		zeros:    make(map[zeroKey]*result),
		before:   before,
		kept:     newKept(),
	}
}

// cloneReadings copies what a caller could change behind a report: laws of rows are made on demand
// from the values, and a reading that was corrected in its place must differ from what a report
// that grows has of it.
func cloneReadings(readings []Reading) []Reading {
	out := slices.Clone(readings)
	n := 0
	for i := range out {
		n += len(out[i].Values) + len(out[i].Reversed)
	}
	// One array for all: a hundred thousand readings have one value each as a rule.
	all := make([]float64, 0, n)
	clone := func(values []float64) []float64 {
		if values == nil {
			return nil
		}
		from := len(all)
		all = append(all, values...)
		return all[from:len(all):len(all)]
	}
	for i := range out {
		rd := &out[i]
		rd.Values, rd.Reversed = clone(rd.Values), clone(rd.Reversed)
		rd.Turned, rd.Known = slices.Clone(rd.Turned), copied(rd.Known)
		rd.Temperature, rd.MeterTemperature = copied(rd.Temperature), copied(rd.MeterTemperature)
	}
	return out
}

// findRanges checks every reading, finds the range of the meter that it was taken on, and counts
// the diallings of its setting where it does not state which it is.
func (e *evaluation) findRanges() error {
	e.ranges = make([]*Range, 0, len(e.readings))
	counted := make(map[dialled]int)
	for i := range e.readings {
		rd := &e.readings[i]
		of := dialled{rd.Setting, "", rd.Stage}
		if rd.Dialling == 0 {
			rd.Dialling = counted[of] + 1
		}
		// A stated number may run ahead: the next one that is not stated follows it.
		counted[of] = max(counted[of], rd.Dialling)
		rg, err := e.rangeOf(i)
		if err != nil {
			return err
		}
		e.ranges = append(e.ranges, rg)
		// Names of sources say which session they are of only where there are several.
		e.many = e.many || rd.Session != e.readings[0].Session
	}
	return nil
}

// poolRepeats pools the scatter of repeats by range and session, and marks the diallings whose
// values are no repeats of one another.
func (e *evaluation) poolRepeats() {
	e.contradicting = make([]bool, len(e.readings))
	for i := range e.readings {
		// A recording error among the values of one dialling must not widen the budgets of others.
		rd := &e.readings[i]
		if len(rd.Values) < 2 && len(rd.Reversed) < 2 {
			continue
		}
		if _, e.contradicting[i] = e.contradiction(i); !e.contradicting[i] && e.unitSlip(rd) == 1 {
			e.addScatter(rd, e.ranges[i].Name)
		}
	}
}

// rangeOf checks reading i and finds its range, or takes it from an earlier evaluation in which the
// reading was the same: that is where matchesReading counts the readings at the front.
func (e *evaluation) rangeOf(i int) (*Range, error) {
	rd := &e.readings[i]
	if e.before.matchesReading(i, rd) {
		return e.before.ranges[i], nil
	}
	if err := rd.checkReading(e.box); err != nil {
		return nil, err
	}
	return e.meter.rangeFor(rd)
}

// checkUnique refuses two readings that claim to be one dialling on one range: each would get
// contacts of its own, which one dialling does not have. On another range a dialling may be read
// once more.
func (e *evaluation) checkUnique() error {
	first := make(map[key]int)
	for i := range e.readings {
		rd := &e.readings[i]
		k := key{rd.Setting, "", rd.Dialling, rd.Stage, rd.Session, e.ranges[i].Name}
		if at, ok := first[k]; ok {
			return &Error{Op: "verify.Evaluate", Name: rd.place(), Value: float64(rd.Dialling),
				Err: unit.Errorf(ErrContradiction,
					"dialling %d on range %s occurs in readings %d and %d; expected its repeats "+
						"in one reading (a row with value, value 2, …; values in JSON)",
					rd.Dialling, k.rangeOf, at+1, i+1)}
		}
		first[k] = i
	}
	return nil
}

// addScatter adds the scatter of the repeats to that of the range in the session: Σ(n − 1)·s² in Ω²
// and Σ(n − 1). Both polarities scatter alike, each about its own mean.
func (e *evaluation) addScatter(rd *Reading, rangeName string) {
	g := group{rd.Session, rangeName}
	for _, values := range [][]float64{rd.Values, rd.Reversed} {
		if n := len(values); n > 1 {
			if _, sd, err := uncertainty.MeanStdDev(values); err == nil {
				p := e.scatter[g]
				// GUM 4.2.4: variances are pooled with their degrees of freedom as weights.
				p.squares += float64(float64(n-1) * sd * sd)
				p.dof += n - 1
				e.scatter[g] = p
			}
		}
	}
}

// rangeFor returns the range of a reading: the one it names, or the smallest that can
// show its values. Any other error of the record is found later, with its row; a value that no
// range shows is one unless a unit was lost:
//
//	range named, value within its reach    that range
//	range named, value above               that range if a lost unit explains it, else an error
//	none named, overload                   the largest
//	none named, a value                    the smallest that shows it, the one that shows it with
//	                                       its unit set right, else an error
func (m *Meter) rangeFor(rd *Reading) (*Range, error) {
	largest := 0.0
	for _, v := range slices.Concat(rd.Values, rd.Reversed) {
		largest = max(largest, math.Abs(v))
	}
	if rd.Range != "" {
		rg, ok := m.named(rd.Range)
		if !ok {
			return nil, &Error{Op: "verify.Evaluate", Name: rd.place(),
				Err: unit.Errorf(ErrUnknown, "range %q; expected one of the meter: %s", rd.Range,
					m.rangeNames())}
		}
		if largest <= rg.Reach() {
			return rg, nil
		}
		// A unit that was lost is found later, with the row that has it.
		if _, slip := m.rangeOfSlip(rd, largest); !slip {
			return nil, &Error{Op: "verify.Evaluate", Name: rd.place(), Value: largest,
				Err: unit.Errorf(ErrNoRange, "reading %v Ω on range %s; expected at most %v Ω, "+
					"which that range shows", largest, rg.Name, rg.Reach())}
		}
		return rg, nil
	}
	// An overload names no value to choose by; the largest range leaves the fewest doubts.
	if rd.Overload {
		return m.largest(), nil
	}
	if rg := m.smallestFor(largest); rg != nil {
		return rg, nil
	}
	if rg, ok := m.rangeOfSlip(rd, largest); ok {
		return rg, nil
	}
	last := m.largest()
	return nil, &Error{Op: "verify.Evaluate", Name: rd.place(), Value: largest,
		Err: unit.Errorf(ErrNoRange, "reading %v Ω; expected at most %v Ω, which the largest "+
			"range, %s, shows", largest, last.Reach(), last.Name)}
}

// largest is the range with the largest full scale; a meter that was checked has at least one.
func (m *Meter) largest() *Range {
	last := &m.Ranges[0]
	for i := range m.Ranges {
		// Of two ranges of one size the later, as in the file: any fixed choice is repeatable.
		if rg := &m.Ranges[i]; rg.FullScale >= last.FullScale {
			last = rg
		}
	}
	return last
}

// smallestFor is the smallest range that shows a value in Ω, nil where none does.
func (m *Meter) smallestFor(value float64) *Range {
	var best *Range
	for i := range m.Ranges {
		if rg := &m.Ranges[i]; value <= rg.Reach() &&
			(best == nil || rg.FullScale < best.FullScale) {
			best = rg
		}
	}
	return best
}

// named finds a range by its name, or by its full scale written in another way.
func (m *Meter) named(name string) (*Range, bool) {
	for i := range m.Ranges {
		if rg := &m.Ranges[i]; rg.Name == name {
			return rg, true
		}
	}
	// "1kΩ" for a range named "1 kΩ".
	if scale, err := unit.Parse(name, unit.Ohm); err == nil {
		for i := range m.Ranges {
			if rg := &m.Ranges[i]; rg.FullScale == scale {
				return rg, true
			}
		}
	}
	return nil, false
}

// rangeNames lists the ranges for a message.
func (m *Meter) rangeNames() string {
	names := make([]string, len(m.Ranges))
	for i, rg := range m.Ranges {
		names[i] = rg.Name
	}
	return wording.List(names)
}

// measureReading finds the value of reading i before its contacts are added. An overload has the
// zero result, which keeps the indexes of values those of readings.
func (e *evaluation) measureReading(i int) error {
	rd := &e.readings[i]
	if rd.Overload {
		e.values, e.shown = append(e.values, result{}), append(e.shown, 0)
		return nil
	}
	if v, ok := e.before.valueWithoutContacts(e, i); ok {
		e.shown = append(e.shown, e.before.shown[i])
		e.appendValue(i, v)
		e.before.takeAnchors(e, i)
		return nil
	}
	e.current = i
	e.shown = append(e.shown, rd.value().nearest())
	v, err := e.measured(rd, *e.ranges[i])
	v.own = slices.Clip(v.own) // contacts are added to a copy
	e.appendValue(i, v)
	return err
}

// appendValue appends the value of reading i, and keeps what it consists of without contacts.
func (e *evaluation) appendValue(i int, v result) {
	e.values = append(e.values, v)
	if e.unswitched != nil {
		e.unswitched[i] = v.own
	}
}

// meanZeros averages the readings at zero of each session and stage.
func (e *evaluation) meanZeros() {
	e.zeroAtOnce = make(map[zeroKey]uncertainty.Quantity)
	found := make(map[zeroKey][]int)
	for i := range e.readings {
		rd := &e.readings[i]
		if rd.Setting.AllZero() && !rd.Overload {
			k := zeroKey{rd.Session, rd.Stage}
			found[k] = append(found[k], i)
		}
	}
	for k, at := range found {
		e.zeroRows[k] = at
		if z := e.before.zeroMean(k, at); z != nil {
			e.zeros[k] = z
			continue
		}
		name := fmt.Sprintf("mean of %d readings at zero", len(at))
		if k.stage == StageAsLeft {
			name += " as left"
		}
		// A mean of several: its own errors shrink, those that the readings share do not (GUM
		// 4.2.3, 5.2.2).
		z := e.meanOf(at, name)
		e.zeros[k] = &z
	}
}

// zero is the residual to be subtracted from a reading, and whether it was measured: in its session
// and stage. Else it is what the box states, with its tolerance.
func (e *evaluation) zero(rd *Reading) (result, bool) {
	if z, ok := e.zeros[zeroKey{rd.Session, rd.Stage}]; ok {
		return *z, true
	}
	return e.residual, false
}

// row makes the row of reading i with its U, without a verdict. Probability and ratio are NaN until
// the row is judged.
func (e *evaluation) row(i int, rule conformity.Rule) (Row, error) {
	rd, rg := &e.readings[i], e.ranges[i]
	row := Row{Setting: rd.Setting, Reading: *rd, Range: rg.Name, Nominal: rd.Setting.Nominal(),
		Probability: math.NaN(), UncertaintyRatio: math.NaN()}
	row.from, row.index = e, i
	e.setLimits(&row)
	if rd.Overload {
		e.setOverload(&row, *rg)
		return row, nil
	}
	if e.before.takeRow(e, i, &row) {
		return row, nil
	}
	// All rows share the zero of their session as one quantity, not its sources one by one.
	terminals, deviation := e.byConvention(rd, e.values[i], (*evaluation).minusZeroAtOnce)
	row.StatedScatter = e.values[i].scatter
	// Without names, which the budgets have: of very many rows they would be a tenth of a report.
	row.Measured, row.Deviation = terminals.quantity(""), deviation.quantity("")
	var err error
	if row.u, row.dof, err = uncertainty.Propagate(row.Deviation); err != nil {
		return row, &Error{Op: "verify.Evaluate", Name: rd.place(), Err: err}
	}
	return row, e.setExpanded(rule, &row)
}

// Budget returns the budget of Deviation in ohms; nil where there is no value. It is made
// again by each call: those of a hundred thousand rows would be most of a report.
func (row *Row) Budget() *uncertainty.Budget {
	if row == nil || row.Deviation.IsZero() {
		return nil
	}
	return row.named(budgetInOhms(row.Deviation))
}

// named gives a budget the name of its row.
func (row *Row) named(b *uncertainty.Budget) *uncertainty.Budget {
	if b != nil {
		b.Name = "deviation at " + row.Reading.Label()
	}
	return b
}

// known is the budget with the law of the deviation as far as it is known: U and verdicts come from
// it, where Budget lists the sources that other rows share. U, the verdict and the tolerance that
// is still met ask for it one after the other, so that it is kept while a report is made; later any
// number of goroutines may ask, and each makes its own.
func (row *Row) known() *uncertainty.Budget {
	if row.from == nil || row.from.budgetsOfLaws == nil {
		return row.makeKnown()
	}
	b, ok := row.from.budgetsOfLaws[row.Deviation]
	if !ok {
		b = row.makeKnown()
		row.from.budgetsOfLaws[row.Deviation] = b
	}
	return b
}

// makeKnown makes the budget of known.
func (row *Row) makeKnown() *uncertainty.Budget {
	if row.from != nil {
		if q, ok := row.from.lawOf(row.index); ok {
			if b := row.named(budgetInOhms(q)); b != nil {
				return b
			}
		}
	}
	return row.Budget()
}

// budgetInOhms is that of a quantity that was evaluated before without an error.
func budgetInOhms(q uncertainty.Quantity) *uncertainty.Budget {
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		return nil
	}
	b.Unit = "Ω"
	return b
}

// setLimits sets what the deviation is judged against, in Ω: the class at the setting, as a
// deviation from nominal; at zero the limits of the residual itself.
func (e *evaluation) setLimits(row *Row) {
	if row.Setting.AllZero() {
		row.Limits = row.Setting.Box().Residual()
		// After a null at zero the reading is near 0 by construction, and a verdict would be
		// empty.
		row.Judged = row.Limits.Width() > 0 && e.meter.Leads.Null != NullBoxAtZero
		switch {
		case e.meter.Leads.Null == NullBoxAtZero:
			row.Note = "the null was taken here: not judged"
		case !row.Judged:
			row.Note = "no limits of the residual stated: not judged"
		}
		return
	}
	limit := row.Setting.ClassLimit()
	row.Limits = uncertainty.Interval{Lower: -limit, Upper: limit}
	row.Judged = limit > 0
	if !row.Judged {
		row.Note = "no class stated: not judged"
	}
}

// setOverload says what a reading above its range means. A setting of at most 1012 Ω that is above
// a range up to 1200 Ω is open; above one up to 1000 Ω it may be sound.
func (e *evaluation) setOverload(row *Row, rg Range) {
	row.Overload = true
	// The range reaches beyond all that the class allows: only an open path explains the
	// overload.
	if rg.Reach() >= row.Setting.Limits().Upper {
		row.Open = true
		if row.Judged {
			row.Verdict = conformity.VerdictDoesNotConform
		}
		row.Note = fmt.Sprintf("open: above range %s, which reaches %s", rg.Name,
			unit.Format(rg.Reach(), unit.Ohm))
		return
	}
	row.Judged = false
	row.Note = fmt.Sprintf("above range %s, which does not reach this setting: says nothing",
		rg.Name)
}

// convention returns the resistance at the terminals and the deviation from nominal in
// the convention of the box.
func (e *evaluation) convention(rd *Reading, v result) (terminals, deviation result) {
	return e.byConvention(rd, v, func(e *evaluation, deviation *result, rd *Reading) {
		z, _ := e.zero(rd)
		deviation.minus(z)
	})
}

// minusZeroAtOnce subtracts the zero of the session as one quantity, made once for all rows. A
// hundred thousand rows would otherwise repeat its sources; what a reading shares with the zero
// cancels all the same, since a quantity knows the sources that it is made of. The stated part is
// subtracted as a decimal.
func (e *evaluation) minusZeroAtOnce(deviation *result, rd *Reading) {
	z, read := e.zero(rd)
	if !read {
		deviation.minus(z)
		return
	}
	k := zeroKey{rd.Session, rd.Stage}
	q, ok := e.zeroAtOnce[k]
	if !ok {
		apart := z
		apart.stated = exact{} // stays a decimal
		q = apart.quantity("")
		e.zeroAtOnce[k] = q
	}
	deviation.stated = deviation.stated.minus(z.stated)
	deviation.append(-1, result{c: []float64{1}, q: []uncertainty.Quantity{q}})
}

// byConvention is convention with a way of subtracting the zero of the session.
//
//	null          residual included      residual not included
//	box at zero   v + R0 − nominal       v − nominal
//	otherwise     v − nominal            v − zero − nominal
//
// with v the value of the reading, R0 the stated residual and zero that of the session, read or
// stated. The zero setting itself has the terminals, v or v + R0, as its deviation.
func (e *evaluation) byConvention(rd *Reading, v result,
	minusZero func(e *evaluation, deviation *result, rd *Reading)) (terminals, deviation result) {
	terminals = v
	nulled := e.meter.Leads.Null == NullBoxAtZero
	if nulled {
		terminals.plus(e.residual)
	}
	if rd.Setting.AllZero() {
		return terminals, terminals
	}
	deviation = v
	if e.spec.ResidualIncluded {
		deviation = terminals
	}
	// As decimals, so that 7002.60 Ω is on a limit of 7000 Ω ± 2.6 Ω and not beside it.
	deviation.stated = deviation.stated.minus(decimal(rd.Setting.Nominal()))
	if !e.spec.ResidualIncluded && !nulled {
		// The zero of the same session: errors that both readings share cancel (GUM 5.2.2,
		// F.1.2.3).
		minusZero(e, &deviation, rd)
	}
	return terminals, deviation
}
