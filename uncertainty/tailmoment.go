// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/unit"
)

// This file finds results whose standard deviation rests on values so rare that trials hardly show
// them, whatever the seed: x² of a t-distribution with three degrees of freedom has none, and the
// trials of one seed have an u of their own. Each input that bends the model is followed into its
// tails, decade by decade of probability; the part of the variance that a decade adds is its
// probability times the square of the change,
//
//	C_k = 0.9·10^−k·((f(x₊) − y)² + (f(x₋) − y)²)/2, k = 0 … 6,
//
// x₊ and x₋ being the quantiles in its middle. For f of the power p and a t-distribution of ν
// degrees of freedom C_(k+1)/C_k tends to 10^(2p/ν − 1): 2.2 for x² and ν = 3, 1 for 4, 0.6 for 5.
// Where it is not below 1 at the end, the variance does not exist, or lies beyond what ten million
// trials show; where that is no part worth mention of the whole, nobody would notice.

const (
	tailDecades = 7    // the last ends at leastPole
	tailGrowth  = 0.9  // least C_6/C_5 of a variance that does not end
	tailPart    = 0.08 // least part of the variance that the last decade adds
)

// tailFinding warns of an input whose far values decide the standard deviation of the node. c are
// its sensitivities. It displaces the other inputs by none and by one standard uncertainty, since
// a factor of 0 would hide what it multiplies.
func (m *model) tailFinding(root *node, op string) error {
	top := m.place(root)
	c, _ := m.backward(root)
	if !m.isCurved(top) {
		return nil
	}
	u := m.standardUncertainty(c)
	straight, weight := m.linearInputs(top), m.evaluationWeight(top)
	left := mostPasses * callWeight
	m.displaced = cleared(m.displaced, len(m.inputs))
	for _, d := range m.directionsOf(mostFactored) {
		quantile, heavy := m.tailOf(d)
		bent := slices.ContainsFunc(d.slots, func(slot int) bool { return !straight[slot] })
		if !heavy || !bent {
			continue
		}
		for _, shift := range []float64{0, 1} {
			if left -= 2 * tailDecades * weight; left < 0 {
				return nil
			}
			if m.tailGrows(top, d, quantile, shift, u) {
				return &Error{Op: op, Name: d.name, Value: root.value,
					Err: unit.Errorf(ErrNoMoments,
						"far values of it move the result so much that the standard deviation "+
							"is infinite, or rests on values that trials hardly show; only the "+
							"coverage intervals hold")}
			}
		}
	}
	return nil
}

// evaluationWeight is the work of one evaluation of the model, in nodes.
func (m *model) evaluationWeight(top int) int {
	weight := 0
	for i, n := range m.nodes[:top+1] {
		if m.concerns(i) {
			weight++
			if n.op == opCall {
				weight += callWeight
			}
		}
	}
	return weight
}

// tailOf returns the quantiles of a direction, in steps from the estimates, where its law has no
// ends. Factors of a group are normal or have the t-distribution of the group.
func (m *model) tailOf(d direction) (quantile func(p float64) float64, heavy bool) {
	s := m.inputs[d.slots[0]]
	l, own := s.dist.(law)
	switch {
	case s.group != nil:
		dof := s.drawnDOF()
		return func(p float64) float64 { return studentt.Quantile(p, dof) }, true
	case own && l.bounded():
		return nil, false
	}
	return func(p float64) float64 { return (s.dist.Quantile(p) - s.x) / s.u }, true
}

// tailGrows reports whether the variance does not end along a direction, with all other inputs
// shifted by so many standard uncertainties. u is the standard uncertainty to first order.
func (m *model) tailGrows(top int, d direction, quantile func(p float64) float64, shift,
	u float64) bool {
	valueAt := func(steps float64) float64 {
		m.resetInputs()
		for i, s := range m.inputs {
			if shift != 0 && !slices.Contains(d.slots, i) && s.reach > 0 {
				m.displaced[i] += float64(shift * s.u)
			}
		}
		d.move(m.displaced, steps)
		return m.valueAt(top)
	}
	home := valueAt(0)
	var part [tailDecades]float64
	total := float64(u * u)
	for k := range part {
		p := 0.5 * math.Pow10(-k) / math.Sqrt(10)
		for _, steps := range []float64{quantile(p), quantile(1 - p)} {
			change := valueAt(steps) - home
			if math.IsNaN(change) {
				return false // beyond an end of the model, which is found elsewhere
			}
			part[k] += float64(change*change) / 2
		}
		part[k] = float64(0.9 * math.Pow10(-k) * part[k])
		total += part[k]
	}
	last := part[tailDecades-1]
	return last > 0 && last >= float64(tailGrowth*part[tailDecades-2]) &&
		(last >= float64(tailPart*total) || math.IsInf(total, 1))
}
