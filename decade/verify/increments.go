// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// A reading of position p holds the elements 1 to p of a ladder, the residual, the leads and the
// errors of the meter; the difference of two neighbouring positions holds one element and what the
// gain makes of it. With a gain of 30 ppm a step of 100 Ω at 900 Ω is off by 3 mΩ, the reading
// itself by 27 mΩ. That is what makes an element visible with a meter that cannot judge a setting.

// An Increment is the resistance that one step of a dial adds: the difference of two readings
// that differ by this step alone. Errors that both readings share (meter zero, leads, residual)
// cancel, and the gain error acts on the step only. Any number of goroutines may read one at
// once.
type Increment struct {
	Stage    Stage
	Dial     int // index in the box
	From     int // where the step begins: Position − 1, unless that position is missing
	Position int // where it ends
	Nominal  float64

	Deviation uncertainty.Quantity // Ω: measured − nominal step
	Budget    *uncertainty.Budget
	// Limit is what the class allows for one step in Ω: the fraction of the step and the floor, of
	// dial and box.
	Limit float64

	above, below uncertainty.Quantity // that it is the difference of
}

// Outside reports whether the deviation exceeds the class of one step by more than its
// expanded uncertainty.
func (i Increment) Outside() bool {
	return i.Limit > 0 && i.Budget != nil &&
		math.Abs(i.Budget.Estimate)-i.Budget.Expanded.U > i.Limit
}

// onlyDialOffZero finds the dial that is the only one off zero; −1 if there are others or none.
func onlyDialOffZero(s decade.Setting) (dial, position int) {
	dial = -1
	for i := range s.Box().NumDecades() {
		p := s.Position(i)
		if p == 0 {
			continue
		}
		if dial >= 0 {
			return -1, 0
		}
		dial, position = i, p
	}
	return dial, position
}

// place is a position of a dial with the others at zero. Without a position it stands for the dial.
type place struct {
	stage          Stage
	dial, position int
}

// rowsByPlace lists the rows with a plausible value at each place, in the order of the readings.
// The zero setting is position 0 of every dial.
func (r *Report) rowsByPlace() map[place][]*Row {
	out := make(map[place][]*Row)
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Overload || row.Withheld {
			continue
		}
		stage := row.Reading.Stage
		if row.Setting.AllZero() {
			for d := range r.Box.NumDecades() {
				k := place{stage, d, 0}
				out[k] = append(out[k], row)
			}
			continue
		}
		if d, p := onlyDialOffZero(row.Setting); d >= 0 {
			k := place{stage, d, p}
			out[k] = append(out[k], row)
		}
	}
	return out
}

// lowest is the row with the smallest deviation: a bad contact only adds.
func lowest(rows []*Row) *Row {
	best := rows[0]
	for _, row := range rows[1:] {
		if row.Measured.Estimate() < best.Measured.Estimate() {
			best = row
		}
	}
	return best
}

// increments finds every step of a tapped dial whose two ends were read with the other
// dials at zero.
func (r *Report) increments() ([]Increment, error) {
	singles := r.rowsByPlace()
	spec := r.Box.Spec()
	var out []Increment
	for _, stage := range []Stage{StageAsFound, StageAsLeft} {
		for d, dec := range spec.Decades {
			if !dec.Tapped() {
				continue
			}
			for e := 1; e <= dec.NumElements(); e++ {
				low, p := dec.Taps(e)
				above, below := singles[place{stage, d, p}], singles[place{stage, d, low}]
				if len(above) == 0 || len(below) == 0 {
					continue
				}
				// The lowest of several diallings: what a bad contact adds is no part of the
				// element.
				inc, err := r.stepDeviation(lowest(above), lowest(below))
				if err != nil {
					return nil, err
				}
				inc.Stage, inc.Dial, inc.From, inc.Position = stage, d, low, p
				inc.Nominal = dec.Step * float64(p-low)
				inc.Limit = float64((dec.Tolerance+spec.Tolerance)*inc.Nominal) + dec.Floor +
					spec.Floor
				out = append(out, inc)
			}
		}
	}
	return out, nil
}

// stepDeviation is the deviation of the difference of two rows from nominal, in Ω. The nominal step
// is the difference of two decimals: 0.3 − 0.2 in float64 is not 0.1.
func (r *Report) stepDeviation(above, below *Row) (Increment, error) {
	if inc, ok := r.from.before.increment(above, below); ok {
		return inc, nil
	}
	nominal := decimal(above.Nominal).minus(decimal(below.Nominal)).nearest()
	q := uncertainty.Linear(-nominal, []float64{1, -1}, []uncertainty.Quantity{above.Measured,
		below.Measured})
	budget, err := uncertainty.Evaluate(q)
	if err != nil {
		return Increment{}, &Error{Op: "verify.Evaluate", Name: "step to " + above.Reading.Label(),
			Err: err}
	}
	budget.Unit = "Ω"
	return Increment{Deviation: q, Budget: budget, above: above.Measured,
		below: below.Measured}, nil
}
