// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// FindingKind says what a finding is about.
type FindingKind uint8

const (
	FindingCircuitOpen FindingKind = iota // above the range of the meter
	FindingElementOff                     // one step of a dial is outside its class, and all positions above carry it
	FindingContactBad                     // a position reads high and the next does not carry it, or it differs from dialling to dialling
	FindingOutOfClass                     // rows that do not conform and that no other finding explains
)

// String returns "open circuit", "element", "contact" or "out of class".
func (k FindingKind) String() string { return kinds.String(k) }

// A Finding is what the pattern of the readings says about the inside of the box, as
// far as single readings and differences of two show it.
type Finding struct {
	Kind     FindingKind
	Stage    Stage
	Settings []decade.Setting // that show it
	Text     string           // a sentence or two
}

// finder collects findings and what they explain.
type finder struct {
	*Report
	singles  map[place][]*Row
	suspect  map[place]bool // contact positions: their steps say nothing about elements
	explains map[place]bool // positions that a finding accounts for
	open     map[decade.Setting]bool
	out      []Finding
}

// find reads the patterns. The probability of a difference by chance is 1 % for each
// pair of diallings, 5 % for each step.
func (r *Report) find() ([]Finding, error) {
	f := &finder{Report: r, singles: r.singles(), suspect: make(map[place]bool), explains: make(map[place]bool), open: make(map[decade.Setting]bool)}
	f.circuits()
	if err := f.diallings(); err != nil {
		return nil, err
	}
	if err := f.peaks(); err != nil {
		return nil, err
	}
	if err := f.elements(); err != nil {
		return nil, err
	}
	f.others()
	// What decides most comes first.
	slices.SortStableFunc(f.out, func(a, b Finding) int { return cmp.Compare(a.Kind, b.Kind) })
	return f.out, nil
}

func (f *finder) add(k FindingKind, stage Stage, settings []decade.Setting, format string, args ...any) {
	f.out = append(f.out, Finding{k, stage, settings, fmt.Sprintf(format, args...)})
}

// circuits reports open settings, those of one dial together.
func (f *finder) circuits() {
	for _, stage := range []Stage{StageAsFound, StageAsLeft} {
		var settings []decade.Setting
		for i := range f.Rows {
			if row := &f.Rows[i]; row.Open && row.Reading.Stage == stage && !slices.Contains(settings, row.Setting) {
				settings = append(settings, row.Setting)
				f.open[row.Setting] = true
			}
		}
		if len(settings) > 0 {
			f.add(FindingCircuitOpen, stage, settings, "The circuit is open at %s: the meter was above its range there. Look for an open element, wiper, link or terminal; what is open at zero too is no element.", wording.Settings(settings))
		}
	}
}

// diallings compares the diallings of each setting.
func (f *finder) diallings() error {
	byStage := make(map[dialled][]*Row)
	var order []dialled
	for i := range f.Rows {
		row := &f.Rows[i]
		if row.Overload {
			continue
		}
		k := dialled{row.Setting, row.Reading.Stage}
		if byStage[k] == nil {
			order = append(order, k)
		}
		byStage[k] = append(byStage[k], row)
	}
	for _, k := range order {
		if rows := byStage[k]; len(rows) > 1 {
			if err := f.compare(k, rows); err != nil {
				return err
			}
		}
	}
	return nil
}

// compare reports diallings of one setting that differ by more than their uncertainty.
func (f *finder) compare(k dialled, rows []*Row) error {
	low := lowest(rows)
	high := rows[0]
	for _, row := range rows {
		if row.Measured.Estimate() > high.Measured.Estimate() {
			high = row
		}
	}
	budget, err := uncertainty.Evaluate(high.Measured.Sub(low.Measured))
	if err != nil {
		return &Error{Op: "verify.Evaluate", Name: "diallings of " + k.setting.String(), Err: err}
	}
	e, err := budget.ExpandedAt(0.99)
	if err != nil {
		return err
	}
	if budget.Estimate <= e.U {
		return nil
	}
	where := "one contact in the path"
	if d, p := alone(k.setting); d >= 0 {
		where = fmt.Sprintf("the contact at position %d of the %s dial", p, f.dial(d))
		f.suspect[place{k.stage, d, p}] = true
		f.explains[place{k.stage, d, p}] = true
	}
	f.add(FindingContactBad, k.stage, []decade.Setting{k.setting}, "Setting %s does not read the same twice: %d diallings lie up to %s apart; by the meter and the stated switching variation %s would be the most (99 %%). That is %s, not an element: resistors do not change by turning.",
		k.setting, len(rows), wording.Ohms(budget.Estimate), wording.Ohms(e.U), where)
	return nil
}

func (f *finder) dial(d int) string {
	for i, dec := range f.Box.Decades() {
		if i == d {
			return dec.Name
		}
	}
	return ""
}

// at returns the increment to a position, nil if it was not measured.
func (f *finder) at(p place) *Increment {
	for i := range f.Increments {
		inc := &f.Increments[i]
		if inc.Stage == p.stage && inc.Dial == p.dial && inc.Position == p.position {
			return inc
		}
	}
	return nil
}

func (p place) next(n int) place { return place{p.stage, p.dial, p.position + n} }

// peaks finds positions that read high while the next one does not carry it.
func (f *finder) peaks() error {
	for i := range f.Increments {
		up := &f.Increments[i]
		here := place{up.Stage, up.Dial, up.Position}
		down := f.at(here.next(1))
		if down == nil || up.Budget.Estimate <= 0 || !up.Outside() || !down.Outside() || down.Budget.Estimate >= 0 {
			continue
		}
		both, err := uncertainty.Evaluate(up.Deviation.Add(down.Deviation))
		if err != nil {
			return err
		}
		if math.Abs(both.Estimate)-both.Expanded.U > up.Limit+down.Limit {
			continue
		}
		known := f.suspect[here]
		f.suspect[here], f.explains[here] = true, true
		if known {
			continue // its diallings differ: said already
		}
		f.add(FindingContactBad, here.stage, f.settingsAt(here), "Position %d of the %s dial reads high by %s and position %d does not carry it: the contact at %d, not an element.",
			here.position, f.dial(here.dial), wording.Ohms(up.Budget.Estimate), here.position+1, here.position)
	}
	return nil
}

func (f *finder) settingsAt(p place) []decade.Setting {
	if rows := f.singles[p]; len(rows) > 0 {
		return []decade.Setting{rows[0].Setting}
	}
	return nil
}

// elements finds steps that are outside their class and carried by what is above.
func (f *finder) elements() error {
	for i := range f.Increments {
		inc := &f.Increments[i]
		here := place{inc.Stage, inc.Dial, inc.Position}
		if f.suspect[here] || f.suspect[here.next(-1)] || !inc.Outside() {
			continue
		}
		var settings []decade.Setting
		for p := here; f.carries(p); p = p.next(1) {
			settings = append(settings, f.settingsAt(p)...)
			f.explains[p] = true
		}
		dev := inc.Budget
		direction := "high"
		if dev.Estimate < 0 {
			direction = "low"
		}
		text := fmt.Sprintf("Step %d of the %s dial (from position %d to %d) is %s by %s, %s of it, U = %s; its class allows %s.",
			here.position, f.dial(here.dial), here.position-1, here.position, direction, wording.Ohms(math.Abs(dev.Estimate)),
			wording.Percent(math.Abs(dev.Estimate)/inc.Nominal), wording.Ohms(dev.Expanded.U), wording.Ohms(inc.Limit))
		if last := f.lastPosition(here.dial); here.position == last {
			text += fmt.Sprintf(" Element %d, or the contact at the last position: this reading cannot tell which.", here.position)
		} else {
			text += fmt.Sprintf(" Every position from %d up contains it: look at element %d.", here.position, here.position)
		}
		f.add(FindingElementOff, here.stage, settings, "%s", text)
	}
	return nil
}

// carries reports whether a position of a dial was read.
func (f *finder) carries(p place) bool { return len(f.singles[p]) > 0 }

func (f *finder) lastPosition(d int) int {
	for i, dec := range f.Box.Decades() {
		if i == d {
			return dec.Positions
		}
	}
	return 0
}

// others reports rows that do not conform and that no finding accounts for.
func (f *finder) others() {
	for _, stage := range []Stage{StageAsFound, StageAsLeft} {
		var settings []decade.Setting
		for i := range f.Rows {
			row := &f.Rows[i]
			if row.Verdict != conformity.VerdictDoesNotConform || row.Reading.Stage != stage || f.open[row.Setting] || f.explained(row) || slices.Contains(settings, row.Setting) {
				continue
			}
			settings = append(settings, row.Setting)
		}
		if len(settings) > 0 {
			f.add(FindingOutOfClass, stage, settings, "Outside the class without one step or contact that explains it: %s.", wording.Settings(settings))
		}
	}
}

// explained reports whether one of the dials of the setting stands at a place that a
// finding accounts for.
func (f *finder) explained(row *Row) bool {
	for d, p := range row.Setting.Positions() {
		if f.explains[place{row.Reading.Stage, d, p}] {
			return true
		}
	}
	return false
}
