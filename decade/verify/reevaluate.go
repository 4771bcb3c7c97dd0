// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"maps"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// This file is the report of an inspection that grows: what the readings at the front, which an
// earlier report had already, leave as it was is taken over from there and not computed again.
// It is taken over only where everything that it is made of is the same, so that a report is
// the one that [Evaluate] makes of all its readings.
//
// What a part of the report is made of, and so when it is taken over:
//
//	value without contacts   the reading; scatter of its range and session; names of sources
//	value with contacts      the same; the diallings of the whole box, since they are pooled
//	mean at zero             the values of the same readings at zero
//	row and its U            its value; the mean at zero; coverage factors found before it
//	verdict, probability     its row; laws found before it
//	result of a setting      the rows of the same diallings
//	step, comparison         the two quantities that it is the difference of
//
// Sources are kept by name: the next evaluation begins with the map of the one before, so that a
// new reading on a range shares its gain with rows that are not computed again.
//
// One reading more of n then costs its own budget and a pass of comparisons over the n before,
// in place of n budgets and convolutions. The proof of "the same" is a test that compares reports
// that grow, reading by reading, with those made at once.

// Reevaluate judges other readings of the same box with the meter and the rule of the report, as
// [Evaluate] does. It is meant for readings that come one by one: those that both lists begin
// with are not evaluated again, and only what the new ones change is computed. A new reading on a
// range whose scatter is pooled, or of the zero setting, changes the uncertainty of others.
// Readings of known resistors correct all values, which are then computed again; those of an
// explicit [Report.Substitute] are not repeated.
//
// The report itself does not change: any number of goroutines may ask it at once. It returns an
// error where r does not come from Evaluate, and under the conditions of Evaluate.
func (r *Report) Reevaluate(readings []Reading) (*Report, error) {
	const op = "verify.Report.Reevaluate"
	if r == nil || r.from == nil {
		return nil, &Error{Op: op,
			Err: unit.Errorf(ErrEmpty, "no report; expected one from Evaluate")}
	}
	before := &earlier{evaluation: r.from, report: r}
	if r.from.plain != nil { // the values of the report are corrected
		before = &earlier{evaluation: r.from.plain}
	}
	out, err := evaluate(before, before.box, before.meter, readings, r.Rule)
	return out, inOp(op, err)
}

// mostKept is the number of readings up to which a report keeps what the next one can use.
// Budgets and laws of more would be most of the memory of the report; whoever has so many readings
// has them all at once, from a logger, and not one by one.
const mostKept = 20_000

// kept is what a later evaluation may take over, beside values and rows.
type kept struct {
	// By reading, row or setting as its key says; each is filled while a report is made, and
	// read by the evaluation that follows. Quantities are keys by identity: two rows with the
	// same numbers have different ones.
	unswitched [][]private // sources of single readings before contacts were added, by reading
	zeroRows   map[zeroKey][]int
	settings   map[dialled][]int // rows of the settings in Report.Settings
	laws       lawsOfSettings
	shifts     []shiftOf
	between    map[[2]uncertainty.Quantity]*uncertainty.Budget
	budgets    map[uncertainty.Quantity]*uncertainty.Budget
	tolerances map[uncertainty.Quantity]float64 // smallest, in Ω, by deviation
	compared   map[[2]uncertainty.Quantity]Comparison
	least      map[int]conformity.Verdict // by row: with the least linearity
}

// newKept keeps nothing so far.
func newKept() *kept {
	return &kept{
		zeroRows: make(map[zeroKey][]int), settings: make(map[dialled][]int),
		laws:       make(lawsOfSettings),
		between:    make(map[[2]uncertainty.Quantity]*uncertainty.Budget),
		budgets:    make(map[uncertainty.Quantity]*uncertainty.Budget),
		tolerances: make(map[uncertainty.Quantity]float64),
		compared:   make(map[[2]uncertainty.Quantity]Comparison),
		least:      make(map[int]conformity.Verdict),
	}
}

// earlier is an evaluation from which the next one takes over what is the same. It lives while
// the next one is made: what is here beside the evaluation says how far the two agree, and its
// slices have an element for each reading of the new one. A nil earlier agrees in nothing, so
// that Evaluate asks the same questions.
type earlier struct {
	*evaluation
	report *Report // nil where its rows are of no use

	// Which cells of linearity each reading of the earlier evaluation began, see sources.anchor.
	anchorsBy map[int][]anchorKey // by the reading that began them

	same int // readings at the front that are the same
	// Whether repeats scatter as before, by range and session; found when asked for.
	scatter map[group]bool
	// Whether the diallings are the same, and so what contacts add to every value.
	contacts bool
	value    []bool // the value is the same, contacts included
	row      []bool // and so is the row
}

// handOver gives a new evaluation, the readings of which are compared, what does not depend on
// them. Where there are more sessions than before, or fewer, sources have other names.
func (w *earlier) handOver(e *evaluation) {
	e.residual = w.evaluation.residual
	// Names of sources have their session in them where there are several, so that none is the
	// same.
	if e.many != w.many {
		w.same = 0
	}
	// Cloned, since the earlier report may be asked again, for another reading than this one.
	if w.same > 0 {
		e.made, e.changes = maps.Clone(w.made), maps.Clone(w.changes)
		e.bounds = maps.Clone(w.bounds)
	}
	w.scatter, w.anchorsBy = make(map[group]bool), make(map[int][]anchorKey)
	for k, a := range w.anchors {
		w.anchorsBy[a.by] = append(w.anchorsBy[a.by], k)
	}
	w.value, w.row = make([]bool, len(e.readings)), make([]bool, len(e.readings))
}

// matchesReading compares reading i, if all before it were the same, and counts it. It must be
// asked in the order of the readings: the first that differs ends what is the same, as a reading
// that is taken out in the middle would shift the rows behind it.
func (w *earlier) matchesReading(i int, rd *Reading) bool {
	if w == nil || w.same != i || i >= len(w.readings) || w.unswitched == nil ||
		!rd.equal(&w.readings[i]) {
		return false
	}
	w.same++
	return true
}

// equal reports whether two readings are the same in everything, one condition for each field of
// a Reading; a test that changes one field after the other finds a field that is missing here.
func (r *Reading) equal(s *Reading) bool {
	// Nil and empty differ in Turned alone: nil stands for all dials.
	return r.Setting == s.Setting && r.Dialling == s.Dialling && slices.Equal(r.Values, s.Values) &&
		slices.Equal(r.Reversed, s.Reversed) &&
		r.Overload == s.Overload && (r.Turned == nil) == (s.Turned == nil) &&
		slices.Equal(r.Turned, s.Turned) &&
		r.Range == s.Range && r.Session == s.Session && r.Stage == s.Stage &&
		equalAt(r.Temperature, s.Temperature) && equalAt(r.MeterTemperature, s.MeterTemperature) &&
		r.Approach == s.Approach && r.Time.Equal(s.Time) && r.Remarks == s.Remarks &&
		r.Line == s.Line && equalAt(r.Known, s.Known) && r.object == s.object &&
		r.copied == s.copied
}

// equalAt reports whether two pointers lead to equal values, or to none both.
func equalAt[T comparable](a, b *T) bool {
	return a == b || a != nil && b != nil && *a == *b
}

// valueWithoutContacts returns the value of reading i before its contacts were added, if it is the
// same.
func (w *earlier) valueWithoutContacts(e *evaluation, i int) (result, bool) {
	if w == nil || i >= w.same || !w.sameScatter(e, i) {
		return result{}, false
	}
	w.value[i] = true
	v := w.values[i]
	v.own, v.noiseKnown, v.scatter = slices.Clip(w.unswitched[i]), nil, 0
	return v, true
}

// sameScatter reports whether repeats on the range of a reading scatter as before. One new
// repeat on the range changes the pooled standard deviation, and with it the budget of every
// reading of three values or fewer there.
func (w *earlier) sameScatter(e *evaluation, i int) bool {
	g := group{e.readings[i].Session, e.ranges[i].Name}
	same, ok := w.scatter[g]
	if !ok {
		a, b := e.scatter[g], w.evaluation.scatter[g]
		same = a == b
		w.scatter[g] = same
	}
	return same
}

// takeAnchors gives a new evaluation the places at which reading i began a linearity error. In
// the order of the readings, as they were begun: a reading nearby that comes later must find
// them.
func (w *earlier) takeAnchors(e *evaluation, i int) {
	for _, k := range w.anchorsBy[i] {
		e.anchors[k] = w.anchors[k]
	}
}

// valueWithContacts returns the value of reading i with its contacts, if it is the same. Where the
// contacts are not, it unmarks the value: rows and zeros that are made of it ask the same mark.
func (w *earlier) valueWithContacts(i int) (result, bool) {
	if w == nil || !w.value[i] {
		return result{}, false
	}
	if !w.contacts {
		w.value[i] = false
		return result{}, false
	}
	return w.values[i], true
}

// zeroMean returns the mean of the readings at zero, if they are the same.
func (w *earlier) zeroMean(k zeroKey, at []int) *result {
	if w == nil || !slices.Equal(w.zeroRows[k], at) || !w.allSame(at) {
		return nil
	}
	return w.zeros[k]
}

// allSame reports whether the values of some rows are the same.
func (w *earlier) allSame(rows []int) bool {
	return !slices.ContainsFunc(rows, func(i int) bool { return !w.value[i] })
}

// takeRow fills in what a row of the earlier report is made of, if it is the same.
func (w *earlier) takeRow(e *evaluation, i int, row *Row) bool {
	if w == nil || w.report == nil || !w.value[i] {
		return false
	}
	k := zeroKey{row.Reading.Session, row.Reading.Stage}
	// The zero is subtracted: another zero makes another deviation of the same reading.
	if e.zeros[k] != w.zeros[k] {
		return false
	}
	// Factors are interpolated between those of rows of one composition (setExpanded), which
	// depends on the order in which they were found.
	// A coverage factor may be that of another dialling, which must be the same, too.
	of := compositionOf(&row.Reading, row.Range)
	old := w.factors[of]
	if !old.sameUpTo(i, e.factors[of]) {
		return false
	}
	if f, ok := old.addedBy(i); ok {
		e.addFactor(of, f)
	}
	was := &w.report.Rows[i]
	row.Measured, row.StatedScatter, row.Deviation = was.Measured, was.StatedScatter, was.Deviation
	row.u, row.dof, row.Expanded = was.u, was.dof, was.Expanded
	w.row[i] = true
	return true
}

// takeVerdict takes over verdict and probability of a row, if they are the same.
func (w *earlier) takeVerdict(laws lawsOfSettings, i int, row *Row) bool {
	if w == nil || !w.row[i] || !w.report.Rows[i].Judged {
		return false
	}
	of := compositionOf(&row.Reading, row.Range)
	// The law may have been made by another dialling of the setting, which must be the same too.
	list := w.laws[of]
	if !list.sameUpTo(i, laws[of]) || slices.ContainsFunc(list,
		func(x shape[lawOfRow]) bool { return x.by < i && !w.row[x.by] }) {
		return false
	}
	if l, ok := list.addedBy(i); ok {
		laws[of] = laws[of].inserted(l)
	}
	old := &w.report.Rows[i]
	row.Verdict, row.Probability = old.Verdict, old.Probability
	row.UncertaintyRatio = old.UncertaintyRatio
	return true
}

// leastVerdict returns the verdict on a row with the least linearity, if it is known: the
// dearest part of a row near its limit, since it takes another evaluation (withLeast).
func (w *earlier) leastVerdict(i int) (conformity.Verdict, bool) {
	if w == nil || !w.row[i] {
		return conformity.VerdictUndecided, false
	}
	v, ok := w.least[i]
	return v, ok
}

// result returns what the diallings of a setting said, if they are the same.
func (w *earlier) result(k dialled, rows []int) (SettingResult, bool) {
	if w == nil || w.report == nil || !slices.Equal(w.settings[k], rows) ||
		slices.ContainsFunc(rows, func(i int) bool { return !w.row[i] }) {
		return SettingResult{}, false
	}
	for _, x := range w.report.Settings {
		if x.Setting == k.setting && x.Stage == k.stage {
			return x, true
		}
	}
	return SettingResult{}, false
}

// increment returns the step between two rows, if it is the same: by the quantities that it is
// the difference of, which taken-over rows have kept.
func (w *earlier) increment(above, below *Row) (Increment, bool) {
	if w == nil || w.report == nil {
		return Increment{}, false
	}
	for i := range w.report.Increments {
		if x := &w.report.Increments[i]; x.above == above.Measured && x.below == below.Measured {
			return *x, true
		}
	}
	return Increment{}, false
}

// shiftOf is what some readings have in common, before scopes are weighed against each other,
// with the samples that it was fitted to.
type shiftOf struct {
	samples []sample
	common  Common
	ok      bool
}

// shift returns what readings of one scope have in common, if they are the same.
func (w *earlier) shift(c *Common, samples []sample) (shiftOf, bool) {
	if w == nil {
		return shiftOf{}, false
	}
	for _, x := range w.shifts {
		if x.common.Stage == c.Stage && x.common.Scope == c.Scope && x.common.Range == c.Range &&
			x.common.Dial == c.Dial && slices.Equal(x.samples, samples) {
			return x, true
		}
	}
	return shiftOf{}, false
}

// difference is the budget of a − b, which is made once for a report and its successors. The
// order counts: that of b − a has other signs.
func (e *evaluation) difference(a, b uncertainty.Quantity) (*uncertainty.Budget, error) {
	k := [2]uncertainty.Quantity{a, b}
	if e.before != nil {
		if x, ok := e.before.between[k]; ok {
			e.between[k] = x
			return x, nil
		}
	}
	x, err := uncertainty.Evaluate(a.Sub(b))
	if err == nil {
		e.between[k] = x
	}
	return x, err
}

// budgetOf is the budget of a row, which is made once for a report and its successors; nil in a
// report of very many rows, whose budgets would be most of it.
func (e *evaluation) budgetOf(row *Row) *uncertainty.Budget {
	if len(e.readings) > mostKept {
		return nil
	}
	// First what this report has made itself, then what the one before had.
	b := e.budgets[row.Deviation]
	if b == nil && e.before != nil {
		b = e.before.budgets[row.Deviation]
	}
	if b == nil {
		b = row.Budget()
	}
	e.budgets[row.Deviation] = b
	return b
}

// tolerance is the smallest for which a row conforms, in Ω. It is found once for a report and
// its successors, since it is a search with a decision in every step.
func (e *evaluation) tolerance(row *Row, rule conformity.Rule) (float64, error) {
	if e.before != nil {
		if x, ok := e.before.tolerances[row.Deviation]; ok {
			e.tolerances[row.Deviation] = x
			return x, nil
		}
	}
	x, err := rule.SmallestTolerance(row.known())
	if err == nil {
		e.tolerances[row.Deviation] = x
	}
	return x, err
}

// comparison is made once for a report and its successors.
func (w *earlier) comparison(k [2]uncertainty.Quantity) (Comparison, bool) {
	if w == nil {
		return Comparison{}, false
	}
	c, ok := w.compared[k]
	return c, ok
}

// releaseEarlier lets go of the earlier report, and of what is kept where that is much: a chain of
// a thousand reports, each holding the one before, would hold all of them.
func (e *evaluation) releaseEarlier() {
	e.before, e.budgetsOfLaws = nil, nil
	if len(e.readings) > mostKept {
		e.kept = newKept()
	}
}

// evaluate is Evaluate, with an earlier evaluation of the same box and meter or without. Readings
// of known resistors are taken out first: an evaluation of the readings of the box alone is what
// Reevaluate can go on from, whatever the standards say then.
func evaluate(before *earlier, b *decade.Box, m *Meter, readings []Reading,
	rule conformity.Rule) (*Report, error) {
	if len(readings) == 0 {
		return nil, &Error{Op: "verify.Evaluate",
			Err: unit.Errorf(ErrEmpty, "no readings; expected at least one")}
	}
	ofBox, standards, err := splitReadings(readings)
	if err != nil {
		return nil, err
	}
	if len(ofBox) == 0 {
		return nil, &Error{Op: "verify.Evaluate",
			Err: unit.Errorf(ErrEmpty, "readings of known resistors only; expected at least one "+
				"of the box")}
	}
	e, err := prepare(before, b, m, ofBox)
	if err != nil {
		return nil, err
	}
	// Without notes and verdicts: Substitute needs the evaluation alone.
	if len(standards) > 0 { // nothing is judged by values that are corrected anyway
		e.releaseEarlier()
		r, err := (&Report{Rule: rule, from: e}).Substitute(standards...)
		return r, inOp("verify.Evaluate", err)
	}
	return e.report(rule)
}

// inOp returns an error under the name of the exported function that was called: what refuses a
// reading or a line serves several of them, and a caller looks for the one that he wrote.
func inOp(op string, err error) error {
	e, ok := err.(*Error)
	if !ok || e.Op == op {
		return err
	}
	out := *e
	out.Op = op
	return &out
}
