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
// session: the first n of the quantities are the errors at the standards, the others the
// values of the box.
type beyond struct {
	n       int
	factor  []float64             // by which the errors of the meter are widened, of each quantity
	budgets []*uncertainty.Budget // of each quantity
	shared  *mat.Dense            // covariance by the errors of the meter, with the first n
}

// newBeyond finds by how much the limits of the meter must be widened on each range and in each
// session, for the quantities of m: the errors at the standards, then the values of rows at.
func newBeyond(e *evaluation, m *uncertainty.Multivariate, groups []standardAt, at []int) *beyond {
	n, total := len(groups), len(m.Budgets)
	w := &beyond{n: n, factor: make([]float64, total), budgets: m.Budgets,
		shared: mat.NewDense(total, n, nil)}
	for j := range n {
		// Covariance by shared sources alone (GUM F.1.2.3): the value of a standard and what is
		// of one reading say nothing about the limits.
		of := make(map[string]float64)
		for _, c := range m.Budgets[j].Components {
			if familyOf(c.Name) == causeMeter {
				of[c.Name+"\x00"+c.ID] += c.Contribution
			}
		}
		for i, b := range m.Budgets {
			sum := 0.0
			for _, c := range b.Components {
				sum += float64(of[c.Name+"\x00"+c.ID] * c.Contribution)
			}
			w.shared.Set(i, j, sum)
		}
	}
	widest := make(map[group]float64)
	for j, g := range groups {
		b := m.Budgets[j]
		u := math.Sqrt(w.shared.At(j, j))
		// Within 99 % the limits explain what was found, and stay.
		x, err := b.ExpandedAt(0.99)
		if err != nil || u == 0 || x.Lower <= 0 && x.Upper >= 0 {
			continue
		}
		value := math.Abs(g.value)
		if math.Abs(b.Estimate) <= believed*value {
			// So wide that what was found is one standard uncertainty of the widened error.
			widest[g.group] = max(widest[g.group], math.Abs(b.Estimate)/u)
		}
	}
	for j, g := range groups {
		w.factor[j] = max(1, widest[g.group])
	}
	for k, i := range at {
		w.factor[n+k] = max(1, widest[group{e.readings[i].Session, e.ranges[i].Name}])
	}
	return w
}

// covariance is that of the quantities with the errors of the meter widened, as far as
// regression looks at it.
func (w *beyond) covariance(of *mat.SymDense) *mat.SymDense {
	out := mat.NewSymDense(of.SymmetricDim(), nil)
	out.CopySym(of)
	for i := range of.SymmetricDim() {
		// The covariance of the box's values among each other is not asked for by the
		// regression.
		for j := range min(i+1, w.n) {
			out.SetSym(i, j,
				of.At(i, j)+float64((float64(w.factor[i]*w.factor[j])-1)*w.shared.At(i, j)))
		}
	}
	return out
}

// left is the standard uncertainty in Ω that the widened errors of the meter leave in a
// quantity, beside what its own budget says, where gain·y is subtracted.
func (w *beyond) left(i int, gain []float64) float64 {
	if w.factor[i] == 1 {
		return 0
	}
	variance := 0.0
	for _, c := range w.budgets[i].Components {
		if familyOf(c.Name) == causeMeter {
			variance += square(c.Contribution)
		}
	}
	// var(x − g·y) = var x − 2 g·cov(x, y) + gᵀ·cov(y)·g, by the errors of the meter alone (GUM
	// 5.2.2).
	for j, g := range gain {
		variance -= float64(2 * g * w.shared.At(i, j))
		for l, h := range gain {
			variance += float64(float64(g*h) * w.shared.At(j, l))
		}
	}
	return math.Sqrt(max(0, variance) * (square(w.factor[i]) - 1))
}
