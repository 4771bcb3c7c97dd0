// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
)

// Where the linearity of a meter is not stated, a quarter of the range part is assumed, and 5 to
// 25 % are met in practice. It moves no U of a single reading (the squares of zero and linearity
// add up to those of the range part), but U of a difference, from which the zero goes out and the
// linearity does not: above all where the zero setting is subtracted. What is assumed must not
// decide a verdict in silence, so that rows near a limit are judged once more with the least.

// noteLinearity says where a verdict rests on a linearity that is assumed: it would be another
// with the least that is met in practice. Only rows near a limit are evaluated again.
func (r *Report) noteLinearity(e *evaluation) error {
	least := e.meter.clone()
	assumed := make(map[string]bool)
	for i := range least.Ranges {
		rg := &least.Ranges[i]
		// Only what is assumed can be assumed otherwise.
		if _, ok := rg.LinearityLimit(); ok {
			assumed[rg.Name] = true
			rg.Linearity = leastLinearity * rg.RangePart()
		}
	}
	var near []int
	for i := range r.Rows {
		if row := &r.Rows[i]; row.Judged && !row.Overload && assumed[row.Range] && row.nearLimit() {
			near = append(near, i)
		}
	}
	if len(near) == 0 {
		return nil
	}
	anew := slices.DeleteFunc(slices.Clone(near), func(i int) bool {
		v, ok := e.before.leastVerdict(i)
		if ok {
			e.least[i] = v
		}
		return ok
	})
	if err := r.withLeast(e, &least, anew); err != nil {
		return err
	}
	for _, i := range near {
		if row, v := &r.Rows[i], e.least[i]; v != row.Verdict {
			row.Note = joinNotes(row.Note, fmt.Sprintf("%v with a linearity of %.0f %% of the "+
				"range part", v, 100*leastLinearity))
		}
	}
	return nil
}

// withLeast judges rows, by their indexes, by a meter with the least linearity, and keeps the
// verdicts in e.least.
func (r *Report) withLeast(e *evaluation, least *Meter, rows []int) error {
	if len(rows) == 0 {
		return nil
	}
	other, err := e.withMeter(least, rows)
	if err != nil {
		return err
	}
	for _, i := range rows {
		x, err := other.row(i, r.Rule)
		if err != nil {
			return err
		}
		v, err := r.verdictOf(&x, x.Limits)
		if err != nil {
			return &Error{Op: "verify.Evaluate", Name: x.Reading.place(), Err: err}
		}
		e.least[i] = v
	}
	return nil
}

// withMeter evaluates some readings, and those at zero, by other limits of the meter, corrected by
// the same known resistors. Contacts and scatter do not depend on the limits. The evaluation that
// it returns has right values for these rows only: the others still have the old limits.
func (e *evaluation) withMeter(m *Meter, rows []int) (*evaluation, error) {
	out := cmp.Or(e.plain, e).fork()
	out.meter = m
	out.contact = e.contact // found anew where readings were not plausible
	// Sources are known by name: those of the old limits would be found in place of new ones.
	out.made = make(map[string]uncertainty.Quantity)
	remade := slices.Clone(rows)
	for i := range e.readings {
		rd := &e.readings[i]
		// A known resistor corrects all values together.
		if !rd.Overload && (rd.Setting.AllZero() || len(e.corrections) > 0) {
			remade = append(remade, i)
		}
	}
	out.ranges = slices.Clone(e.ranges)
	slices.Sort(remade)
	for _, i := range slices.Compact(remade) {
		rg, ok := m.named(e.ranges[i].Name)
		if !ok {
			continue // every range of a reading is one of the meter
		}
		out.ranges[i] = rg
		var err error
		if out.values[i], err = out.measured(&e.readings[i], *rg); err != nil {
			return nil, err
		}
		out.addContactVariation(i)
	}
	out.meanZeros()
	for _, standards := range e.corrections {
		y, groups, err := out.standardErrors(standards)
		if err != nil {
			return nil, err
		}
		if _, _, err := out.correctValues(y, groups); err != nil {
			return nil, &Error{Op: "verify.Substitute", Err: err}
		}
	}
	return out, nil
}

// nearLimit reports whether another U could change the verdict: the deviation lies within 1.5·U of
// a limit, on either side.
func (row *Row) nearLimit() bool {
	const reachOfU = 1.5 // U changes by less than half with the linearity
	y, reach := row.Deviation.Estimate(), reachOfU*row.Expanded.U
	return math.Abs(y-row.Limits.Lower) <= reach || math.Abs(y-row.Limits.Upper) <= reach
}

// joinNotes puts a note behind another.
func joinNotes(a, b string) string {
	if a == "" {
		return b
	}
	return a + "; " + b
}
