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

// noteLinearity says where a verdict rests on a linearity that is assumed: it would be another
// with the least that is met in practice. Only rows near a limit are evaluated again.
func (r *Report) noteLinearity(e *evaluation) error {
	least := e.m.clone()
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

// withLeast judges rows by a meter with the least linearity.
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
		v, err := r.decide(&x, x.Limits)
		if err != nil {
			return &Error{Op: "verify.Evaluate", Name: x.Reading.place(), Err: err}
		}
		e.least[i] = v
	}
	return nil
}

// withMeter evaluates some readings, and those at zero, by other limits of the meter, corrected by
// the same known resistors. Contacts and scatter do not depend on the limits.
func (e *evaluation) withMeter(m *Meter, rows []int) (*evaluation, error) {
	out := cmp.Or(e.plain, e).fork()
	out.m = m
	out.contact = e.contact // found anew where readings were not plausible
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
		out.switched(i)
	}
	out.meanZeros()
	for _, standards := range e.corrections {
		y, groups, err := out.standardErrors(standards)
		if err != nil {
			return nil, err
		}
		if _, _, err := out.condition(y, groups); err != nil {
			return nil, &Error{Op: "verify.Substitute", Err: err}
		}
	}
	return out, nil
}

// nearLimit reports whether another U could change the verdict.
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
