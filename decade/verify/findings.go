// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// Facts are found in an order in which each leaves out what the ones before have said: open
// circuits, settings that do not read the same twice, positions that read high alone, steps, and
// at last the settings outside their class that nothing else accounts for. Causes are not named
// here; package decade/fault weighs all readings together.
//
// Two sets carry what has been said. unsteady has the places whose contact is in doubt: a step
// from or to one says nothing of an element. covered has the places that some fact accounts for:
// their settings are not listed again as outside the class. With a ×1 dial that reads
//
//	position    1      2      3      4      5       Ω, residual 0.02
//	            1.02   2.02   3.41   4.02   5.02    3 alone: a position, no step
//	            1.02   2.02   3.41   4.41   5.41    3 and all above: the step to 3
//	            1.02   2.02   3.41   4.02   5.02    and 3.07 at 3 again: the setting scatters
//
// the first and the third are contacts as a rule, the second an element.

// FindingKind is what a [Finding] is about. Any number of goroutines may use one at once.
type FindingKind uint8

const (
	// Of Report.Implausible: what no box can show. Verdicts that rest on it are withheld.
	FindingTemperature   FindingKind = iota // outside 5 °C to 50 °C
	FindingContradiction                    // values of one dialling contradict each other
	FindingUnitLost                         // a value is off by a factor of 1000
	FindingSwapped                          // two rows have each other's values
	FindingNull                             // the zero setting contradicts the null
	FindingNegative                         // a value is below zero by more than its uncertainty

	// Of Report.Findings: facts about the box.
	FindingOpen       // above a range that reaches beyond the setting
	FindingStep       // a step between two positions is outside its class
	FindingPosition   // a position alone reads high: the next one does not carry it
	FindingScatter    // diallings of one setting differ
	FindingOutOfClass // settings that do not conform and that no other finding covers
)

// String returns "temperature", "contradiction", "unit lost", "swapped rows", "null",
// "negative", "open circuit", "step", "position", "scatter" or "out of class".
func (k FindingKind) String() string { return kinds.String(k) }

// A Finding is a fact that readings show, with the rows that show it. It names no part as
// its cause: that is the work of package decade/fault, which weighs all readings together.
// Any number of goroutines may read one at once.
type Finding struct {
	Kind     FindingKind
	Stage    Stage
	Settings []decade.Setting // that show it, each once
	Rows     []int            // indexes of these rows in the report

	Dial, Position int // of a step or position; Dial is −1 where there is none

	// Value is what was found, in Ω: the deviation of a step, the height of a position, the
	// distance between diallings. U is its expanded uncertainty at 95 %; of a scatter what meter
	// and stated switching variation, or that of good contacts, explain (99 %). Limit is what the
	// class allows.
	// All are 0 where a finding has none.
	Value, U, Limit float64

	text string
}

// String returns the finding in a sentence or two.
func (f Finding) String() string { return f.text }

// finder collects facts and what they cover.
type finder struct {
	*Report
	singles  map[place][]*Row
	index    map[*Row]int   // of each row in the report
	unsteady map[place]bool // positions that read high alone: steps to and from them say nothing
	covered  map[place]bool // positions that a fact accounts for
	open     map[decade.Setting]bool
	out      []Finding // in the order in which they were found
}

// findFacts reads the facts. The probability of a difference by chance is 1 % for each pair of
// diallings, 5 % for each step. A step outside its class by more than U is rarer by far in a sound
// box, since the class is in front of U.
func (r *Report) findFacts() ([]Finding, error) {
	f := &finder{
		Report: r, singles: r.rowsByPlace(), index: make(map[*Row]int),
		unsteady: make(map[place]bool), covered: make(map[place]bool),
		open: make(map[decade.Setting]bool),
	}
	for i := range r.Rows {
		f.index[&r.Rows[i]] = i
	}
	// In this order: scatter and peaks mark positions that the steps must leave out.
	f.findOpen()
	if err := f.findScatter(); err != nil {
		return nil, err
	}
	if err := f.findPeaks(); err != nil {
		return nil, err
	}
	f.findSteps()
	f.findOutOfClass()
	// What decides most comes first.
	slices.SortStableFunc(f.out, func(a, b Finding) int { return cmp.Compare(a.Kind, b.Kind) })
	return f.out, nil
}

// addFinding appends a fact with the indexes and the settings of its rows, in the order of rows.
func (f *finder) addFinding(x Finding, rows []*Row, format string, args ...any) {
	for _, row := range rows {
		x.Rows = append(x.Rows, f.index[row])
		if !slices.Contains(x.Settings, row.Setting) {
			x.Settings = append(x.Settings, row.Setting)
		}
	}
	x.text = fmt.Sprintf(format, args...)
	f.out = append(f.out, x)
}

// findOpen reports open settings, all of a stage in one fact: one open path shows at many settings.
func (f *finder) findOpen() {
	for _, stage := range f.Stages() {
		var rows []*Row
		var settings []decade.Setting
		for i := range f.Rows {
			row := &f.Rows[i]
			if !row.Open || row.Reading.Stage != stage {
				continue
			}
			rows = append(rows, row)
			if !f.open[row.Setting] {
				settings = append(settings, row.Setting)
				f.open[row.Setting] = true
			}
		}
		if len(rows) > 0 {
			f.addFinding(Finding{Kind: FindingOpen, Stage: stage, Dial: -1}, rows,
				"The circuit is open at %s: above a range that reaches beyond the setting.",
				wording.Settings(settings))
		}
	}
}

// findScatter compares the diallings of each setting, whatever their session and range: what
// differs between these is in the U of the difference.
func (f *finder) findScatter() error {
	order, at := f.diallingsOf(func(row *Row) bool { return !row.Overload && !row.Withheld })
	for _, k := range order {
		if len(at[k]) < 2 {
			continue
		}
		var rows []*Row
		for _, i := range at[k] {
			rows = append(rows, &f.Rows[i])
		}
		if err := f.compareDiallings(k, rows); err != nil {
			return err
		}
	}
	return nil
}

// diallingsOf groups the rows that are asked for by setting and stage, in the order in which they
// were first read.
func (r *Report) diallingsOf(wanted func(*Row) bool) (order []dialled, at map[dialled][]int) {
	at = make(map[dialled][]int)
	for i := range r.Rows {
		row := &r.Rows[i]
		if !wanted(row) {
			continue
		}
		k := dialled{row.Setting, "", row.Reading.Stage}
		if at[k] == nil {
			order = append(order, k)
		}
		at[k] = append(at[k], i)
	}
	return order, at
}

// compareDiallings reports diallings of one setting that differ by more than their uncertainty:
// the highest and the lowest. The bound is that of two, 2.58·√2·σ = 3.64·σ at 99 %, and the range
// of n values grows with n (five have 4.60·σ, by the studentised range, from memory): a setting
// that was dialled often is named more often than once in a hundred.
func (f *finder) compareDiallings(k dialled, rows []*Row) error {
	low := lowest(rows)
	high := rows[0]
	for _, row := range rows {
		if row.Measured.Estimate() > high.Measured.Estimate() {
			high = row
		}
	}
	budget, err := f.from.difference(high.Measured, low.Measured)
	if err != nil {
		return &Error{Op: "verify.Evaluate", Name: "diallings of " + k.setting.String(), Err: err}
	}
	u, err := byStatement(budget, 0.99, high, low)
	if err != nil {
		return err
	}
	// GUM 5.2.2: what both diallings share has cancelled in the difference.
	if budget.Estimate <= u {
		return nil
	}
	x := Finding{Kind: FindingScatter, Stage: k.stage, Dial: -1, Value: budget.Estimate, U: u}
	if d, p := onlyDialOffZero(k.setting); d >= 0 {
		x.Dial, x.Position = d, p
		f.unsteady[place{k.stage, d, p}] = true
		f.covered[place{k.stage, d, p}] = true
	}
	only := ""
	if f.Switching.scattersApart(k.setting) {
		only = " No other setting scatters like it (Cochran's test, 1 %): its own U includes " +
			"this scatter, the U of other settings does not."
	}
	contacts := "the stated switching variation"
	if f.Switching.Stated == 0 {
		contacts = fmt.Sprintf("good contacts (%s each; nothing is stated)",
			wording.Ohms(f.from.contact.good))
	}
	f.addFinding(x, rows, "Setting %s does not read the same twice: %d diallings lie up to %s "+
		"apart, where the meter and %s explain %s (99 %%).%s",
		k.setting, len(rows), wording.Ohms(x.Value), contacts, wording.Ohms(x.U), only)
	return nil
}

// dialName is the name of the dial with index d; empty where the box has none.
func (r *Report) dialName(d int) string {
	for i, dec := range r.Box.Decades() {
		if i == d {
			return dec.Name
		}
	}
	return ""
}

// increment returns the increment to a position, nil if it was not measured.
func (f *finder) increment(p place) *Increment {
	for i := range f.Increments {
		inc := &f.Increments[i]
		if inc.Stage == p.stage && inc.Dial == p.dial && inc.Position == p.position {
			return inc
		}
	}
	return nil
}

// next is the place of the position above one, as far as there is one; else a place beyond the
// dial, at which nothing was read. Some dials have gaps between their positions.
func (f *finder) next(p place) place {
	for dials := f.Box.Decades(); ; {
		p.position++
		if d := &dials[p.dial]; p.position >= d.Positions || d.HasPosition(p.position) {
			return p
		}
	}
}

func (i *Increment) begin() place { return place{i.Stage, i.Dial, i.From} }

// findPeaks finds positions that read high while the next one does not carry it: the step up is
// high and the step down as low, both outside the class. At the highest position there is no next
// one, and contact and last element cannot be told apart.
func (f *finder) findPeaks() error {
	for i := range f.Increments {
		up := &f.Increments[i]
		here := place{up.Stage, up.Dial, up.Position}
		// A bad contact at a tap adds to one position and is gone at the next: up by as much as
		// down.
		down := f.increment(f.next(here))
		if down == nil || up.Budget.Estimate <= 0 || !up.Outside() || !down.Outside() ||
			down.Budget.Estimate >= 0 {
			continue
		}
		both, err := uncertainty.Evaluate(up.Deviation.Add(down.Deviation))
		if err != nil {
			return err
		}
		// Up and down must cancel: else the two steps are off for reasons of their own.
		if math.Abs(both.Estimate)-both.Expanded.U > up.Limit+down.Limit {
			continue
		}
		known := f.unsteady[here]
		f.unsteady[here], f.covered[here] = true, true
		if known {
			continue // its diallings differ: said already
		}
		x := Finding{Kind: FindingPosition, Stage: here.stage, Dial: here.dial,
			Position: here.position, Value: up.Budget.Estimate, U: up.Budget.Expanded.U,
			Limit: up.Limit}
		f.addFinding(x, f.singles[here][:1],
			"Position %d of the %s dial alone reads high, by %s, U = %s: position %d does not "+
				"show it.",
			here.position, f.dialName(here.dial), wording.Ohms(x.Value), wording.Ohms(x.U),
			down.Position)
	}
	return nil
}

// fewSteps is how many steps of one dial, or temperatures, are listed one by one.
const fewSteps = 3

// findSteps reports steps outside their class, many of one dial in one fact: a leak is not
// nine.
func (f *finder) findSteps() {
	byDial := make(map[place][]*Increment)
	var order []place
	for i := range f.Increments {
		inc := &f.Increments[i]
		here := place{inc.Stage, inc.Dial, inc.Position}
		// A step from or to a contact that does not read the same twice says nothing of an element.
		if f.unsteady[here] || f.unsteady[inc.begin()] || !inc.Outside() {
			continue
		}
		dial := place{stage: inc.Stage, dial: inc.Dial}
		if byDial[dial] == nil {
			order = append(order, dial)
		}
		byDial[dial] = append(byDial[dial], inc)
	}
	for _, dial := range order {
		list := byDial[dial]
		// Many steps of one dial have one cause more often than many.
		if len(list) > fewSteps {
			f.manySteps(dial, list)
			continue
		}
		for _, inc := range list {
			f.oneStep(inc)
		}
	}
}

// carryingRows returns the rows of all positions from one up that carry what the step to it adds,
// and marks these positions as covered. What was read without a gap carries it, since each further
// step is judged by itself. Positions that were not read alone do, as the elements below are in
// circuit at them too; one behind such a gap does if its deviation differs from that before the gap
// by no more than the class allows the steps between, and U.
func (f *finder) carryingRows(here place) []*Row {
	var rows []*Row
	gap := false
	dials := f.Box.Decades()
	for p := here; p.position <= dials[p.dial].Positions; p = f.next(p) {
		if len(f.singles[p]) == 0 {
			f.covered[p], gap = true, true
			continue
		}
		row := f.singles[p][0]
		if gap && len(rows) > 0 && !f.carries(row, rows[len(rows)-1], p.dial) {
			break
		}
		rows, gap = append(rows, row), false
		f.covered[p] = true
	}
	return rows
}

// carries reports whether two rows of a dial have the deviation of one another, but for what the
// class allows the steps between them.
func (f *finder) carries(above, below *Row, dial int) bool {
	b, err := f.from.difference(above.Deviation, below.Deviation)
	if err != nil {
		return false
	}
	dec, spec := f.Box.Decades()[dial], f.Box.Spec()
	allowed := float64((dec.Tolerance+spec.Tolerance)*(above.Nominal-below.Nominal)) + dec.Floor +
		spec.Floor
	return math.Abs(b.Estimate)-b.Expanded.U <= allowed
}

// oneStep reports a step, with the positions above that carry it, and that the range of the meter
// changes there: then it may be the step from one range's error to another's.
func (f *finder) oneStep(inc *Increment) {
	here := place{inc.Stage, inc.Dial, inc.Position}
	rows := f.carryingRows(here)
	x := Finding{Kind: FindingStep, Stage: inc.Stage, Dial: inc.Dial, Position: inc.Position,
		Value: inc.Budget.Estimate, U: inc.Budget.Expanded.U, Limit: inc.Limit}
	text := f.stepText(inc)
	if n := len(rows); n > 1 {
		text += fmt.Sprintf(" Positions %s show it.", f.positionsOf(rows, here.dial))
	}
	if below := f.singles[inc.begin()]; len(rows) > 0 && len(below) > 0 && here.position > 1 &&
		below[0].Range != rows[0].Range {
		text += fmt.Sprintf(" The range changes there, from %s to %s: read both positions on one "+
			"range.", below[0].Range, rows[0].Range)
	}
	f.addFinding(x, rows, "%s", text)
}

// positionsOf lists the positions of a dial in rows, in runs of those that follow each other on the
// switch: "4 to 6, 9 to 10".
func (f *finder) positionsOf(rows []*Row, dial int) string {
	var runs []string
	for i := 0; i < len(rows); {
		first := rows[i].Setting.Position(dial)
		last := first
		for i++; i < len(rows); i++ {
			p := rows[i].Setting.Position(dial)
			if f.next(place{dial: dial, position: last}).position != p {
				break
			}
			last = p
		}
		if last == first {
			runs = append(runs, strconv.Itoa(first))
		} else {
			runs = append(runs, fmt.Sprintf("%d to %d", first, last))
		}
	}
	return wording.List(runs)
}

// stepText is the sentence on a step: by how much it is off in Ω and as a part of the step.
func (r *Report) stepText(inc *Increment) string {
	dev := inc.Budget
	direction := "high"
	if dev.Estimate < 0 {
		direction = "low"
	}
	return fmt.Sprintf("The step from position %d to %d of the %s dial is %s by %s, %s of it, U "+
		"= %s; its class allows %s.",
		inc.From, inc.Position, r.dialName(inc.Dial), direction,
		wording.Ohms(math.Abs(dev.Estimate)),
		wording.Percent(math.Abs(dev.Estimate)/inc.Nominal), wording.Ohms(dev.Expanded.U),
		wording.Ohms(inc.Limit))
}

// manySteps reports the steps of a dial in one sentence, with the smallest and the largest.
func (f *finder) manySteps(dial place, list []*Increment) {
	by := func(a, b *Increment) int { return cmp.Compare(a.Budget.Estimate, b.Budget.Estimate) }
	least, most := slices.MinFunc(list, by), slices.MaxFunc(list, by)
	largest := most
	if -least.Budget.Estimate > most.Budget.Estimate {
		largest = least
	}
	steps := 0
	for i := range f.Increments {
		if inc := &f.Increments[i]; inc.Stage == dial.stage && inc.Dial == dial.dial {
			steps++
		}
	}
	x := Finding{Kind: FindingStep, Stage: dial.stage, Dial: dial.dial,
		Value: largest.Budget.Estimate, U: largest.Budget.Expanded.U, Limit: largest.Limit}
	f.addFinding(x, f.carryingRows(place{dial.stage, dial.dial, list[0].Position}),
		"%d of the %d steps of the %s dial are outside their class, by %s (to position %d) to %s "+
			"(to position %d), U = %s; the class allows %s each.",
		len(list), steps, f.dialName(dial.dial), signedOhms(least.Budget.Estimate), least.Position,
		signedOhms(most.Budget.Estimate), most.Position, wording.Ohms(x.U), wording.Ohms(x.Limit))
}

// findOutOfClass reports rows that do not conform and that no fact covers.
func (f *finder) findOutOfClass() {
	for _, stage := range f.Stages() {
		var settings []decade.Setting
		var rows []*Row
		for i := range f.Rows {
			row := &f.Rows[i]
			if row.Verdict != conformity.VerdictDoesNotConform || row.Reading.Stage != stage ||
				f.open[row.Setting] || f.isCovered(row) {
				continue
			}
			rows = append(rows, row)
			if !slices.Contains(settings, row.Setting) {
				settings = append(settings, row.Setting)
			}
		}
		if len(rows) > 0 {
			f.addFinding(Finding{Kind: FindingOutOfClass, Stage: stage, Dial: -1}, rows,
				"Outside the class, and no single step or position accounts for it: %s.",
				wording.Settings(settings))
		}
	}
}

// isCovered reports whether one of the dials of the setting stands at a place that a fact
// covers: a setting of several dials has the deviation of each.
func (f *finder) isCovered(row *Row) bool {
	for d, p := range row.Setting.Positions() {
		if f.covered[place{row.Reading.Stage, d, p}] {
			return true
		}
	}
	return false
}
