// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "math"

// curve follows a Call along the jets of its arguments: differences of f along the
// curve give v1 and v2, differences of these between displaced arguments give how they
// change.
type curve struct {
	f      func(x []float64) float64
	x      []float64
	v1, v2 []float64 // of the arguments
	bound  []float64 // on the uncertainty of each, never 0 where it varies
}

// curveStep is the step of differences, of a standard uncertainty. What the difference leaves out
// goes with its square, 1/16 or less of what higher derivatives do over one u. Rounding of f is
// divided by its square: of four roundings of 2⁻⁵³ each it makes 7e-15 of f in v2.
const curveStep = 0.25

// curve collects the arguments of a Call with their jets.
func (s *jets) curve(i int, x *many) curve {
	c := curve{f: x.call.f}
	for k, e := range s.model.below(i) {
		c.x = append(c.x, x.args[k].value)
		v := &s.v[e.to]
		c.v1, c.v2 = append(c.v1, v.v1), append(c.v2, v.v2)
		// An argument without an uncertainty of its own may still bend along the line.
		c.bound = append(c.bound, max(x.args[k].bound, math.Abs(v.v2)))
	}
	return c
}

// valueAt returns f at step i−1 along the curve, argument k displaced.
func (c curve) valueAt(i, k int, by float64) float64 {
	h := curveStep * float64(i-1)
	x := make([]float64, len(c.x))
	for j, v := range c.x {
		// x + h·x′ + h²·x″/2: along the curve, not along its tangent.
		x[j] = v + float64(h*c.v1[j]) + float64(h*h*c.v2[j])/2
	}
	x[k] += by
	return c.f(x)
}

// pullCall hands the adjoints of a Call down to its arguments.
func (s *jets) pullCall(i int, w adjoint) {
	x := s.model.nodes[i].aux.(*many)
	c := s.curve(i, x)
	for k, e := range s.model.below(i) {
		// The derivative that the first-order pass found serves again, where it found one.
		d := e.d
		if x.args[k].bound == 0 && c.bound[k] > 0 {
			d = c.slope(k) // no derivative was needed to first order
		}
		to := &s.adj[e.to]
		to.add(float64(w.v*d), float64(w.v1*d), float64(w.v2*d))
		if c.bound[k] > 0 && (w.v1 != 0 || w.v2 != 0) {
			d1, d2 := c.change(k)
			to.add(float64(w.v1*d1)+float64(w.v2*d2), 2*float64(w.v2*d1), 0)
		}
	}
}

// here returns v1 and v2 at the estimates.
func (c curve) here() (v1, v2 float64) {
	// A function without arguments is a constant.
	if len(c.x) == 0 {
		return 0, 0
	}
	// Three points along the curve suffice for both derivatives.
	low, mid, high := c.valueAt(0, 0, 0), c.valueAt(1, 0, 0), c.valueAt(2, 0, 0)
	return c.first(low, high), c.second(low, mid, high)
}

// first and second are the central differences of the first and the second order.
func (c curve) first(low, high float64) float64 { return (high - low) / (2 * curveStep) }

func (c curve) second(low, mid, high float64) float64 {
	return (high - 2*mid + low) / (curveStep * curveStep)
}

// slope is the derivative of f by argument k, a central difference of a quarter of its
// uncertainty: small enough to be local, large enough to stand above rounding.
func (c curve) slope(k int) float64 {
	e := curveStep * c.bound[k]
	return (c.valueAt(1, k, e) - c.valueAt(1, k, -e)) / (2 * e)
}

// change returns the derivatives of v1 and v2 by argument k.
func (c curve) change(k int) (d1, d2 float64) {
	e := curveStep * c.bound[k]
	var f [2][3]float64
	for side := range f {
		for i := range f[side] {
			// The mixed derivatives are differences of differences, of six values of f.
			f[side][i] = c.valueAt(i, k, e*float64(2*side-1))
		}
	}
	up, down := f[1], f[0]
	d1 = (c.first(up[0], up[2]) - c.first(down[0], down[2])) / (2 * e)
	d2 = (c.second(up[0], up[1], up[2]) - c.second(down[0], down[1], down[2])) / (2 * e)
	return d1, d2
}
