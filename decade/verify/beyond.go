// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// Where a standard shows the meter outside its limits, a regression by these limits leaves a
// part of its error in the values: it believes the limits more than the reading. The errors of
// the meter are therefore widened on that range and in that session until they explain what was
// found.
//
// A budget gives a value x as contributions c(x, k) of its sources k. Those of the meter share
//
//	s(x, y) = Σ c(x, k)·c(y, k)   over the sources of the meter alone
//
// of the covariance of x and y. To widen the errors of a range by f is to multiply each of its
// contributions by f, so that cov(x, y) grows by (f(x)·f(y) − 1)·s(x, y), and nothing that is not
// the meter's grows. Of two values on one range both factors are the same; ranges of one
// reference share a source and may have two.
//
// With f = 1 everywhere, the usual case, all this leaves every number as it was.

// largestMeterError is the part of a standard's value by which a meter may be off; beyond it the
// value of the standard is in doubt rather than the meter: the wrong resistor, or a lost digit.
// Meters that still measure at all are not off by a fifth, and limits of error are refused above
// it (tooLarge).
const largestMeterError = 0.2

// standardAt is where a standard was read.
type standardAt struct {
	group
	value float64 // Ω, of the standard
	name  string
}

// beyond widens the limits of a meter that standards show to be outside them, by range and
// session.
type beyond struct {
	// meter has the contributions of the errors of the meter in Ω, by source, for each standard
	// in the order of groups. A source is known by its name and ID, joined by a zero byte that no
	// name has.
	meter  []map[string]float64
	shared *mat.SymDense     // Ω², s(y_i, y_j): the covariance of the standards by them
	widest map[group]float64 // f of the ranges and sessions that are widened, above 1
	groups []standardAt
}

// newBeyond finds by how much the limits of the meter must be widened on each range and in each
// session, from the budgets of the errors at the standards, which have the expectation 0: an
// estimate in them is what was found.
func newBeyond(budgets []*uncertainty.Budget, groups []standardAt) *beyond {
	n := len(groups)
	w := &beyond{shared: mat.NewSymDense(n, nil), widest: make(map[group]float64), groups: groups}
	for _, b := range budgets {
		// Covariance by shared sources alone (GUM F.1.2.3): the value of a standard and what is
		// of one reading say nothing about the limits.
		of := make(map[string]float64)
		for i := range b.Components {
			if c := &b.Components[i]; familyOf(c.Name) == causeMeter {
				of[c.Name+"\x00"+c.ID] += c.Contribution
			}
		}
		w.meter = append(w.meter, of)
	}
	for i, b := range budgets {
		for j, v := range w.sharedWith(b)[:i+1] {
			w.shared.SetSym(i, j, v)
		}
	}
	for j, g := range groups {
		b := budgets[j]
		u := math.Sqrt(w.shared.At(j, j))
		// Within 99 % the limits explain what was found, and stay.
		x, err := b.ExpandedAt(0.99)
		if err != nil || u == 0 || x.Lower <= 0 && x.Upper >= 0 {
			continue
		}
		value := math.Abs(g.value)
		if math.Abs(b.Estimate) <= largestMeterError*value {
			// So wide that what was found is one standard uncertainty of the widened error. The
			// largest of several standards on one range counts: a smaller one is explained too.
			w.widest[g.group] = max(w.widest[g.group], math.Abs(b.Estimate)/u)
		}
	}
	return w
}

// sharedWith is s(x, y_j) in Ω² for the quantity x of a budget and each standard j.
func (w *beyond) sharedWith(b *uncertainty.Budget) []float64 {
	out := make([]float64, len(w.meter))
	for i := range b.Components {
		c := &b.Components[i]
		if familyOf(c.Name) != causeMeter {
			continue
		}
		name := c.Name + "\x00" + c.ID
		for j, of := range w.meter {
			out[j] += float64(of[name] * c.Contribution)
		}
	}
	return out
}

// factor is f, by which the errors of the meter are widened on a range in a session; limits are
// never narrowed, however well a standard agrees.
func (w *beyond) factor(g group) float64 { return max(1, w.widest[g]) }

// standards is the covariance of the standards, given as of, with the errors of the meter widened.
// It stays positive definite: with D the diagonal matrix of the factors it is D·S·D in place of S,
// beside what is not the meter's.
func (w *beyond) standards(of mat.Symmetric) *mat.SymDense {
	out := mat.NewSymDense(len(w.groups), nil)
	for i := range w.groups {
		for j := range i + 1 {
			out.SetSym(i, j, w.widened(of.At(i, j), w.shared.At(i, j),
				w.factor(w.groups[i].group), j))
		}
	}
	return out
}

// widened is the covariance with standard j of a quantity whose errors of the meter are widened
// by a factor: cov + (f·f_j − 1)·s, all in Ω².
func (w *beyond) widened(covariance, shared, factor float64, j int) float64 {
	return covariance + float64((float64(factor*w.factor(w.groups[j].group))-1)*shared)
}

// remainder is the standard uncertainty in Ω that the widened errors of the meter leave in a
// quantity, beside what its own budget b says, where gain·y is subtracted. The budget has the
// variance v of what is left of the errors as they were stated; widened by f it is f²·v, so that
// (f² − 1)·v is missing. The factor is that of the quantity's own range: a standard on another
// range has had little to subtract.
func (w *beyond) remainder(b *uncertainty.Budget, shared []float64, factor float64,
	gain []float64) float64 {
	if factor == 1 {
		return 0
	}
	variance := 0.0
	for i := range b.Components {
		if c := &b.Components[i]; familyOf(c.Name) == causeMeter {
			variance += square(c.Contribution)
		}
	}
	// var(x − g·y) = var x − 2 g·cov(x, y) + gᵀ·cov(y)·g, by the errors of the meter alone (GUM
	// 5.2.2).
	for j, g := range gain {
		variance -= float64(2 * g * shared[j])
		for l, h := range gain {
			variance += float64(float64(g*h) * w.shared.At(j, l))
		}
	}
	// A difference that cancels wholly may come out a rounding below 0.
	return math.Sqrt(max(0, variance) * (square(factor) - 1))
}
