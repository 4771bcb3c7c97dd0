// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// This file finds results that have no standard deviation because a divisor may be 0. With a
// density f of the divisor at 0, the integral of f/x² that would be the variance diverges, but
// the trials of one seed may well keep away from 0 and show nothing.

const (
	// leastPole is the probability of a divisor at or beyond 0 from which on a result is said to
	// have a pole. Below it not one of ten million trials lies there, and the standard deviation
	// of the rest is what a user means: 1/x at 5.2 standard uncertainties of a normal x.
	leastPole = 1e-7
	// poleSteps are standard uncertainties, or spreads of all inputs together, beyond which no
	// divisor is looked at.
	poleSteps = 1000
	mostPoles = 64 // divisors of one output that are looked at
)

// poleFinding warns, on behalf of an evaluation and with its cause, of a divisor below the root
// that may be 0, where the result goes to infinity with it. The backward pass is its own.
func (m *model) poleFinding(root *node, op string, cause error) error {
	top := m.place(root)
	looked := 0
	m.reach(top)
	below := make([]bool, top+1) // a pass of another node forgets them
	for i := range below {
		below[i] = m.concerns(i)
	}
	for i, n := range m.nodes[:top+1] {
		d := n.divisor()
		if d == nil || !below[i] || math.Abs(d.value) > poleSteps*d.bound {
			continue
		}
		if looked++; looked > mostPoles {
			break
		}
		if p := m.beyondZero(d, top); p >= leastPole {
			return &Error{Op: op, Name: inputNames(d), Value: d.value,
				Err: unit.Errorf(cause, "the divisor, estimated as %s, is at or beyond 0 with a "+
					"probability of %s: the result has no standard deviation, and no mean; only the "+
					"coverage intervals of Monte Carlo hold", significant(d.value, 3), significant(p, 2))}
		}
	}
	return nil
}

// divisor returns what the node divides by, if that is uncertain and what is divided is not 0.
func (n *node) divisor() *node {
	switch {
	case n.op == opDiv && n.b.bound > 0 && (n.a.value != 0 || n.a.bound > 0):
		return n.b
	// The variance of x^p exists near 0 for p > −½ only.
	case n.op == opPow && n.b.bound == 0 && n.b.value <= -0.5 && n.a.bound > 0:
		return n.a
	}
	return nil
}

// beyondZero returns the probability of a divisor at 0 or on its other side, or 0 where the
// value at the top stays finite there. It takes the law of the linear divisor, at the place where
// the divisor itself becomes 0 on the steepest way there.
func (m *model) beyondZero(d *node, top int) float64 {
	c, _ := m.backward(d)
	place := m.place(d)
	var linear []twinEffect
	way := make([]float64, len(m.inputs)) // c·u² of each input
	square, bounded, heavy, rest := 0.0, 0.0, false, 0.0
	for i, s := range m.inputs {
		if s.u == 0 || c[i] == 0 || math.IsNaN(c[i]) {
			continue
		}
		e := newLinearEffect(s, i, c[i])
		linear = append(linear, e)
		way[i] = float64(c[i]*s.u) * s.u
		square += float64(e.spread * e.spread)
		l, own := s.dist.(law)
		switch {
		case own && s.group == nil && !math.IsInf(l.reach(), 1):
			bounded += math.Abs(c[i]) * l.reach()
		case own && s.group == nil && l.kind == normal:
			rest += float64(e.spread * e.spread)
		default:
			heavy = true
		}
	}
	// A normal deviate beyond 5.2 has a probability below leastPole.
	if !heavy && math.Abs(d.value) > bounded+float64(5.2*math.Sqrt(rest)) || !(square > 0) ||
		math.IsInf(square, 1) {
		return 0
	}
	bends := m.bends(place)
	m.reach(top) // valueAt evaluates what is below the top
	step := func(t float64) (divisor, y float64) {
		m.displaced = cleared(m.displaced, len(m.inputs))
		for i, s := range m.inputs {
			m.displaced[i] = s.x - float64(t*d.value*(way[i]/square))
		}
		y = m.valueAt(top)
		return m.values[place], y
	}
	zero := 1.0
	if bends {
		zero = m.zeroAlong(d.value, step)
	}
	// Near a pole of first order the value grows a thousandfold here; x/(1 + x), written as
	// 1/(1 + 1/x), does not grow at 0.
	_, far := step(zero * (1 - 1e-3))
	_, near := step(zero * (1 - 1e-6))
	if math.IsInf(zero, 1) || !(math.Abs(near) > 20*math.Abs(far)) {
		return 0
	}
	known, ok := m.law(twinModel{TwinLinear, linear})
	level := math.Abs(float64(zero*d.value)) * (1 - 1e-6) // an edge of the law at 0 counts
	switch {
	case !ok: // as of a normal law
		return math.Erfc(level/math.Sqrt(2*square)) / 2
	case d.value > 0:
		return known.CDF(-level)
	}
	return 1 - known.CDF(level)
}

// zeroAlong returns how often the way to the zero of the linear divisor leads to that of the
// divisor itself, infinite where it has none up to three times.
func (m *model) zeroAlong(home float64, step func(t float64) (divisor, y float64)) float64 {
	const cells = 16 // of the way
	for k := 1; k <= 3*cells; k++ {
		high := float64(k) / cells
		v, _ := step(high)
		switch {
		// An even power touches 0; a divisor that is not finite is none.
		case math.Abs(v) <= 1e-9*math.Abs(home):
			return high
		case math.IsNaN(v) || math.IsInf(v, 0):
			return math.Inf(1)
		case v > 0 == (home > 0):
			continue
		}
		low := high - 1.0/cells
		for range 50 { // halving: to the last bits
			middle := (low + high) / 2
			if v, _ := step(middle); v > 0 == (home > 0) {
				low = middle
			} else {
				high = middle
			}
		}
		return high
	}
	return math.Inf(1)
}
