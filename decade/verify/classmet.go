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
	"example.com/ohmwright/uncertainty/elementary"
)

// The class that is still met is the inverse of a verdict: in place of limits that are given, the
// smallest limit is asked for under which a row conforms by the rule of the report. Under w = U
// that is |y| + U; under other rules the package conformity searches for it. From the limit L of a
// setting of nominal value R the constant part b comes off,
//
//	tolerance = (L − b)/R
//
// and the largest over the settings is what the dial meets. Example: a ×10 dial at 30 Ω that reads
// 4 mΩ high with U = 1 mΩ, floor 2 mΩ, needs (5 mΩ − 2 mΩ)/30 Ω = 0.01 %.

// ClassMet is the class that a dial or the box still meets in one stage: the smallest
// tolerance for which all its judged settings conform under the rule of the report. The
// constant part of the class (floor, second number) stays as stated. Any number of goroutines
// may read one at once.
type ClassMet struct {
	Stage Stage
	Dial  int    // index in the box; −1: the box, one tolerance for all its dials
	Name  string // of the dial, or "box"

	Stated float64 // fraction: the tolerance of the class; of the box, the largest of its dials
	// Exact is the tolerance that is met, as a fraction, Series the next one of the series
	// 1-2-5. Both are infinite where a setting is open: no class is met.
	Exact, Series float64

	Settings int            // that were judged
	Decisive decade.Setting // the one that needs Exact
}

// coarsestClass is the largest class index of resistance boxes, 10 % (IEC 60477-1, from
// memory). Beyond it no class is named: the figure alone is printed.
const coarsestClass = 0.1

// String returns the result in a sentence.
func (c ClassMet) String() string {
	name, stated := "The box", "stated up to "+wording.Percent(c.Stated)
	if c.Dial >= 0 {
		name, stated = "The "+c.Name+" dial", "stated "+wording.Percent(c.Stated)
	}
	switch settings := wording.Plural(c.Settings, "setting"); {
	case math.IsInf(c.Exact, 1):
		return fmt.Sprintf("%s meets no class: open at %v (%s).", name, c.Decisive, stated)
	case c.Series > coarsestClass:
		return fmt.Sprintf("%s meets no class up to %s: it needs %s, at %v (%s; %s).", name,
			wording.Percent(coarsestClass), wording.Percent(c.Exact), c.Decisive, stated, settings)
	case c.Exact == 0:
		return fmt.Sprintf("%s conforms by its constant limits alone (%s; %s).", name,
			stated, settings)
	default:
		return fmt.Sprintf("%s meets %s: it needs %s, at %v (%s; %s).", name,
			wording.Percent(c.Series), wording.Percent(c.Exact), c.Decisive, stated, settings)
	}
}

// classesMet finds the class met by every dial that was judged and by the box, for each
// stage: the dials by the settings with the others at zero, the box by all settings. A setting of
// several dials says nothing of one of them. Where no tolerance is stated there is no class to
// compare with, and nothing is said.
func (r *Report) classesMet() ([]ClassMet, error) {
	spec := r.Box.Spec()
	var out []ClassMet
	for _, stage := range r.Stages() {
		var all []*Row
		byDial := make([][]*Row, len(spec.Decades))
		for i := range r.Rows {
			row := &r.Rows[i]
			if row.Reading.Stage != stage || !row.Judged || row.Setting.AllZero() {
				continue
			}
			all = append(all, row)
			if d, _ := onlyDialOffZero(row.Setting); d >= 0 {
				byDial[d] = append(byDial[d], row)
			}
		}
		largest := 0.0
		for d, dec := range spec.Decades {
			stated := dec.Tolerance + spec.Tolerance
			largest = max(largest, stated)
			if len(byDial[d]) == 0 || stated == 0 {
				continue
			}
			met, err := r.classMet(ClassMet{Stage: stage, Dial: d, Name: dec.Name, Stated: stated},
				byDial[d])
			if err != nil {
				return nil, err
			}
			out = append(out, met)
		}
		if len(all) == 0 || largest == 0 {
			continue
		}
		// One tolerance for all dials, judged by the rows of all: the box as it would be sold
		// again.
		met, err := r.classMet(ClassMet{Stage: stage, Dial: -1, Name: "box", Stated: largest}, all)
		if err != nil {
			return nil, err
		}
		out = append(out, met)
	}
	return out, nil
}

// classMet finds what rows need, the most demanding first, so that most others are passed
// over with one decision.
func (r *Report) classMet(c ClassMet, rows []*Row) (ClassMet, error) {
	seen := make(map[decade.Setting]bool)
	for _, row := range rows {
		seen[row.Setting] = true
	}
	c.Settings = len(seen)
	spec := r.Box.Spec()
	demands := make([]demand, len(rows))
	for i, row := range rows {
		d := demand{row: row, about: math.Inf(1)}
		if !row.Overload {
			d.constant = constantLimit(spec, row)
			// The tolerance with a guard band of U: near enough to what every rule asks for to
			// choose the order by.
			d.about = (math.Abs(row.Deviation.Estimate()) + row.Expanded.U -
				d.constant) / row.Nominal
		}
		demands[i] = d
	}
	slices.SortStableFunc(demands, func(a, b demand) int { return cmp.Compare(b.about, a.about) })
	for k, d := range demands {
		need, err := r.neededTolerance(d, c.Exact, k == 0)
		if err != nil {
			return c, &Error{Op: "verify.Evaluate", Name: d.row.Reading.place(), Err: err}
		}
		if k == 0 || need > c.Exact {
			c.Exact, c.Decisive = need, d.row.Setting
		}
	}
	c.Series = nextInSeries(c.Exact)
	return c, nil
}

// demand is what a row asks for.
type demand struct {
	row      *Row
	constant float64 // Ω, of its limit
	about    float64 // tolerance with w = U, as a fraction
}

// neededTolerance is the tolerance that a row needs, as a fraction; or met, which is enough for it.
// An open circuit needs an infinite one, and so does all that comes after it.
func (r *Report) neededTolerance(d demand, met float64, first bool) (float64, error) {
	row := d.row
	if row.Overload || math.IsInf(met, 1) {
		return math.Inf(1), nil
	}
	// Most rows need less than what is met already: one decision in place of a search.
	if limit := float64(met*row.Nominal) + d.constant; !first && limit > 0 {
		v, err := r.verdictOf(row, uncertainty.Interval{Lower: -limit, Upper: limit})
		if err != nil || v == conformity.VerdictConforms {
			return met, err
		}
	}
	limit, err := r.from.tolerance(row, r.Rule)
	return max(0, limit-d.constant) / row.Nominal, err
}

// constantLimit is the part of the limit of a row that is no fraction of its nominal value, in Ω:
// what is left once the tolerances of dials and box, each times what it is a fraction of, are taken
// off.
func constantLimit(spec decade.Spec, row *Row) float64 {
	limit := row.Limits.Upper
	rest := limit - float64(spec.Tolerance*row.Nominal)
	for d, p := range row.Setting.Positions() {
		rest -= float64(spec.Decades[d].Tolerance * float64(p) * spec.Decades[d].Step)
	}
	if rest < 1e-9*limit { // what rounding leaves
		return 0
	}
	return rest
}

// nextInSeries is the smallest number of the series 1-2-5 that is not below x: class indices go in
// these steps (IEC 60477-1, from memory). 0.00012 gives 0.0002, 0.0006 gives 0.001.
func nextInSeries(x float64) float64 {
	if x == 0 || math.IsInf(x, 1) {
		return x
	}
	power := elementary.DecimalExponent(x)
	for _, digit := range []string{"1", "2", "5", "10"} {
		v, err := strconv.ParseFloat(digit+"e"+strconv.Itoa(power), 64)
		// The figures are decimals, and a tolerance that is met exactly may lie a rounding
		// above.
		if err == nil && x <= v*(1+1e-9) {
			return v
		}
	}
	return x
}
