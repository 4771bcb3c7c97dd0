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

// believed is the part of a standard's value by which a meter may be off; beyond it the
// value of the standard is in doubt rather than the meter.
const believed = 0.2

// standardAt is where a standard was read.
type standardAt struct {
	group
	value float64 // Ω, of the standard
	name  string
}

// beyond widens the limits of a meter that standards show to be outside them, by range and
// session.
type beyond struct {
	meter  []map[string]float64 // contributions of the errors of the meter, of each standard
	shared *mat.SymDense        // covariance of the standards by them
	widest map[group]float64    // factor by which they are widened
	groups []standardAt
}

// newBeyond finds by how much the limits of the meter must be widened on each range and in each
// session, from the budgets of the errors at the standards.
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
		if math.Abs(b.Estimate) <= believed*value {
			// So wide that what was found is one standard uncertainty of the widened error.
			w.widest[g.group] = max(w.widest[g.group], math.Abs(b.Estimate)/u)
		}
	}
	return w
}

// sharedWith is the covariance of a quantity with each standard by the errors of the meter.
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

// factor is the one by which the errors of the meter are widened on a range in a session.
func (w *beyond) factor(g group) float64 { return max(1, w.widest[g]) }

// standards is the covariance of the standards with the errors of the meter widened.
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
// by a factor.
func (w *beyond) widened(covariance, shared, factor float64, j int) float64 {
	return covariance + float64((float64(factor*w.factor(w.groups[j].group))-1)*shared)
}

// left is the standard uncertainty in Ω that the widened errors of the meter leave in a
// quantity, beside what its own budget b says, where gain·y is subtracted.
func (w *beyond) left(b *uncertainty.Budget, shared []float64, factor float64,
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
	return math.Sqrt(max(0, variance) * (square(factor) - 1))
}
