// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
)

// Two settings of one nominal value need no meter that is better than the box. Both are read by the
// same error of gain and zero, which leaves the difference d = a − b of their deviations; what is
// known of d alone, that its true value lies between least and most in size, gives three
// statements without a word on the meter's gain:
//
//	least > A + B     since |a − b| ≤ |a| + |b|, not both |a| ≤ A and |b| ≤ B
//	B + most ≤ A      if |b| ≤ B then |a| ≤ |b| + |d| ≤ A
//	A + most ≤ B      the same the other way round
//
// with A and B the limits of the two settings. Ten steps of 10 Ω at 0.02 %, 20 mΩ, against one of
// 100 Ω at 0.01 %, 10 mΩ: a difference of 8 mΩ with U = 1 mΩ shows that if the 100 Ω step is in
// class, so are the ten together (10 + 9 ≤ 20), and that of 40 mΩ that one of them is not.

// A Comparison is a comparison inside the box: two settings of one nominal value, such as
// ten steps of a dial against one step of the next, read on one range in one session.
// The gain and the zero of the meter cancel in the difference, so that a joint statement
// can be certain where the meter is too coarse for either setting alone. Any number of
// goroutines may read one at once.
type Comparison struct {
	Stage   Stage
	A, B    decade.Setting
	Nominal float64 // Ω

	Difference uncertainty.Quantity // Ω, resistance at A − resistance at B
	Budget     *uncertainty.Budget
	Expanded   uncertainty.Expanded // as the rule of the report takes it
	LimitA     float64              // Ω, ± of the class; 0: not stated
	LimitB     float64

	// NotBoth: the two differ by more than their limits and the uncertainty allow. At
	// least one of them is outside its class, whatever the meter's gain.
	NotBoth bool
	// AFollows: if B is inside its class, so is A. BFollows the other way round.
	AFollows, BFollows bool
}

// Comparisons finds every pair of settings with equal nominal values that were read on
// one range, in one session and stage; of settings dialled several times the first
// dialling with a plausible value. Pairs come in the order of the readings.
func (r *Report) Comparisons() ([]Comparison, error) {
	r = cmp.Or(r, &Report{})
	return r.comparisons(func(a, b *Row) (Comparison, bool, error) {
		c, err := r.comparison(a, b)
		return c, true, err
	})
}

// comparisons makes those that compare wants, of pairs in the order of the second of them. Of m
// settings of one value on one range there are m(m − 1)/2.
func (r *Report) comparisons(compare func(a, b *Row) (c Comparison, wanted bool,
	err error)) ([]Comparison, error) {
	var out []Comparison
	first := make(map[dialled]bool)
	// What two readings must have in common for the errors of the meter to cancel.
	type bench struct {
		stage              Stage
		session, rangeName string
		nominal            float64
	}
	before := make(map[bench][]*Row)
	implausible := r.implausibleRows()
	for i := range r.Rows {
		row := &r.Rows[i]
		of := dialled{row.Setting, "", row.Reading.Stage}
		// A slip of the pen is no setting outside its class. Rows that are withheld for their zero
		// alone stay: it cancels in the difference.
		if implausible != nil && implausible[i] {
			continue
		}
		// The first dialling of each setting: several would count one contact more than once.
		if row.Overload || row.Setting.AllZero() || first[of] {
			continue
		}
		first[of] = true
		k := bench{row.Reading.Stage, row.Reading.Session, row.Range, row.Nominal}
		for _, a := range before[k] {
			c, wanted, err := compare(a, row)
			if err != nil {
				return nil, err
			}
			if wanted {
				out = append(out, c)
			}
		}
		before[k] = append(before[k], row)
	}
	return out, nil
}

// comparison makes the joint statement on two rows of one nominal value.
func (r *Report) comparison(a, b *Row) (Comparison, error) {
	c := Comparison{
		Stage: a.Reading.Stage, A: a.Setting, B: b.Setting, Nominal: a.Nominal,
		LimitA: a.Setting.ClassLimit(), LimitB: b.Setting.ClassLimit(),
		Difference: a.Measured.Sub(b.Measured),
	}
	where := fmt.Sprintf("%v against %v", c.A, c.B)
	var err error
	if c.Budget, err = uncertainty.Evaluate(c.Difference); err != nil {
		return c, &Error{Op: "verify.Comparisons", Name: where, Err: err}
	}
	c.Budget.Unit = "Ω"
	known := c.Budget
	if e := a.from; e != nil && e == b.from {
		difference := e.values[a.index]
		difference.minus(e.values[b.index])
		known = e.withLaw(difference, c.Budget)
	}
	if c.Expanded, err = r.Rule.Expanded(known); err != nil {
		return c, &Error{Op: "verify.Comparisons", Name: where, Err: err}
	}
	// The interval of the difference, seen from both ends: what it is at least and at most.
	least := max(c.Expanded.Lower, -c.Expanded.Upper, 0) // of the true difference
	most := max(math.Abs(c.Expanded.Lower), math.Abs(c.Expanded.Upper))
	stated := c.LimitA > 0 && c.LimitB > 0
	c.NotBoth = stated && least > c.LimitA+c.LimitB
	// |a| ≤ |b| + |a − b|: if B is within its limit, A is within that and the largest
	// difference.
	c.AFollows = stated && c.LimitB+most <= c.LimitA
	c.BFollows = stated && c.LimitA+most <= c.LimitB
	return c, nil
}

// String returns the joint statement in a sentence.
func (c Comparison) String() string {
	if c.Budget == nil {
		return "no comparison"
	}
	s := fmt.Sprintf("%v reads %s against %v, U = %s", c.A, signedOhms(c.Budget.Estimate), c.B,
		wording.Ohms(c.Expanded.U))
	switch {
	case c.NotBoth:
		return s + fmt.Sprintf(": more than both classes together allow (%s). At least one of "+
			"the two is outside its class; the comparison does not say which.",
			wording.Ohms(c.LimitA+c.LimitB))
	case c.AFollows:
		return s + fmt.Sprintf(": if %v is inside its class (%s), so is %v (%s).", c.B,
			wording.Ohms(c.LimitB), c.A, wording.Ohms(c.LimitA))
	case c.BFollows:
		return s + fmt.Sprintf(": if %v is inside its class (%s), so is %v (%s).", c.A,
			wording.Ohms(c.LimitA), c.B, wording.Ohms(c.LimitB))
	case c.LimitA == 0 || c.LimitB == 0:
		return s + "."
	}
	return s + ": both may be inside their classes."
}

// signedOhms prints a resistance with its sign.
func signedOhms(v float64) string {
	if v > 0 {
		return "+" + wording.Ohms(v)
	}
	return wording.Ohms(v)
}
