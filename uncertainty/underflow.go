// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// This file refuses results that the range of float64 makes wrong. Below 2.2e-308 a number has
// fewer digits, below 4.9e-324 it is 0: the product of 1e-200 ± 1e-202 and another of that size is
// 0 in every trial, and so is the sensitivity times u. What is found:
//
//	x·y, both 1e-200 ± 1e-202        u = 0 from inputs that have an effect
//	x², x = 0 ± 1e-170               u = 0, and the square of a step is 0
//	x², x = 1e-161 ± 1e-163          u of a few units of 4.9e-324
//	x·y·1e300, both 1e-200 ± 1e-202  u = 1.4e-102, and an estimate of 0 in place of 1e-100
//
// and what is nothing to refuse: x − x, the greater of x and 5, 1 + x·y, whose u of 0 is right to
// hundreds of digits.

const (
	// leastU is a standard uncertainty of 512 times the smallest number, 2.5e-321: any smaller one
	// has fewer than three digits.
	leastU = 0x1p-1065
	// leastNormal is the smallest number with all digits of float64.
	leastNormal = 0x1p-1022
	// dwarfs is an estimate beside which an uncertainty below float64 is 0 to fifty digits.
	dwarfs = 0x1p-900
	// leastFactor is what has a square of fewer digits.
	leastFactor = 0x1p-511
)

// vanishes reports whether the value v of a node, at the arguments x and y, has lost digits or all
// of itself to underflow. A function of somebody else's is taken to have done so where it makes
// less than leastNormal, but not 0, of its arguments; see also squaresVanish. y is the factor of a
// scaling.
func (o op) vanishes(v, x, y float64) bool {
	if !(math.Abs(v) < leastNormal) {
		return false
	}
	switch o {
	case opMul, opScale:
		return x != 0 && y != 0
	case opDiv, opPow:
		return x != 0
	case opExp:
		return true
	case opCall, opLinear:
		return v != 0
	}
	return false
}

// squaresVanish reports whether a function is 0 of arguments of which one is so small that its
// square would be: 0 may be what underflow left of its value.
func squaresVanish(v float64, x []float64) bool {
	for _, a := range x {
		if v == 0 && a != 0 && math.Abs(a) < leastFactor {
			return true
		}
	}
	return false
}

// small marks a node of one or two arguments whose value underflows, and keeps what is uncertain
// below it from passing for exact.
func (n *node) small() {
	y := n.da
	if n.b != nil {
		y = n.b.value
	}
	n.lost = n.op.vanishes(n.value, n.a.value, y)
	uncertain := n.a.bound > 0 && (n.da != 0 || n.lost) ||
		n.b != nil && n.b.bound > 0 && (n.db != 0 || n.lost)
	if n.bound == 0 && uncertain {
		n.bound = math.SmallestNonzeroFloat64
	}
	n.lost = n.lost || n.a.lost || n.b != nil && n.b.lost
}

// smallMany is small for a node of many arguments.
func (n *node) smallMany(m *many) {
	n.lost = n.op.vanishes(n.value, 0, 0)
	uncertain := false
	for i, a := range m.args {
		n.lost = n.lost || a.lost
		uncertain = uncertain || a.bound > 0 && m.d[i] != 0
	}
	if n.bound == 0 && uncertain {
		n.bound = math.SmallestNonzeroFloat64
	}
}

// tooSmall is the refusal of a figure v that float64 does not hold, with what is said of it.
func tooSmall(v float64, format string, args ...any) error {
	return &Error{Value: v, Err: unit.Errorf(ErrRange, format+"; expected units in which figures "+
		"are larger", args...)}
}

// checkUncertainty refuses a combined uncertainty u that float64 does not hold, and an estimate
// that underflow moved by more than u. It follows the backward pass of y, whose sensitivities are
// c.
func (m *model) checkUncertainty(y *node, c []float64, u float64) error {
	// The root of a variance that overflows may be finite: figures made of squares are not.
	if err := number("variance", u*u); err != nil {
		return err
	}
	if u < leastU {
		if err := m.checkSmall(y, c, u); err != nil {
			return err
		}
	}
	if !y.lost {
		return nil
	}
	return m.checkLost(y, u)
}

// checkSmall refuses an uncertainty u below leastU that comes of underflow.
func (m *model) checkSmall(y *node, c []float64, u float64) error {
	if u > 0 {
		return tooSmall(u, "standard uncertainty is %v, which has fewer than three digits", u)
	}
	if math.Abs(y.value) > dwarfs {
		return nil
	}
	// An input that is uncertain and has an effect leaves more than 0.
	uncertain := false
	for i, s := range m.inputs {
		if s.group == nil && s.u > 0 && c[i] != 0 && !math.IsNaN(c[i]) {
			return tooSmall(u, "standard uncertainty is %v·%v, below the smallest number", c[i],
				s.u)
		}
		uncertain = uncertain || s.u > 0 && m.reached[i]
	}
	if uncertain && m.underflows(m.place(y)) {
		return tooSmall(u, "standard uncertainty comes of a product or a power below the smallest "+
			"number")
	}
	return nil
}

// underflows reports whether a value below the node of a place underflows at the estimates, or
// where all inputs are shifted by their standard uncertainties.
func (m *model) underflows(top int) bool {
	m.reach(top)
	m.displaced = cleared(m.displaced, len(m.inputs))
	for k := range len(signVectors) + 1 {
		m.resetInputs()
		if k > 0 {
			for i, s := range m.inputs {
				m.displaced[i] += float64((1 - 2*float64(signVectors[k-1]>>(i%64)&1)) * s.u)
			}
		}
		m.valueAt(top)
		for i, n := range m.nodes[:top+1] {
			if m.concerns(i) && m.vanishes(i, n) {
				return true
			}
		}
	}
	return false
}

// vanishes is that of the node in a place, at the values of the last valueAt.
func (m *model) vanishes(i int, n *node) bool {
	args := m.below(i)
	at := make([]float64, 0, 2)
	for _, e := range args {
		at = append(at, m.values[e.to])
	}
	switch {
	case len(args) == 0:
		return false
	case n.op == opCall:
		return n.op.vanishes(m.values[i], 0, 0) || squaresVanish(m.values[i], at)
	case n.op == opLinear:
		for k, d := range n.aux.(*many).d {
			if opMul.vanishes(float64(d*at[k]), d, at[k]) {
				return true
			}
		}
		return false
	case len(args) == 1:
		at = append(at, n.da)
	}
	return n.op.vanishes(m.values[i], at[0], at[1])
}

// checkLost refuses an estimate that values lost to underflow may have moved: each by the smallest
// number at least, of which the adjoint of the last pass says how much reaches the top.
func (m *model) checkLost(y *node, u float64) error {
	off := 0.0
	for i, n := range m.nodes[:m.place(y)+1] {
		if m.adjoint[i] != 0 && n.op != opInput && math.Abs(n.value) < leastNormal {
			off += float64(math.Abs(m.adjoint[i]) * math.SmallestNonzeroFloat64)
		}
	}
	if off <= max(noticed*u, 0x1p-53*math.Abs(y.value)) {
		return nil
	}
	return tooSmall(y.value, "the result rests on a product or a power below the smallest number")
}

// checkVariance refuses a standard uncertainty whose square float64 does not hold: covariances with
// such a result have lost digits or are 0.
func checkVariance(u float64) error {
	if u > 0 && float64(u*u) < leastNormal {
		return tooSmall(u, "standard uncertainty is %v, so that covariances are below the "+
			"smallest number with all digits", u)
	}
	return nil
}

// leastResolved is the least standard deviation of trials in units of what rounding adds to it: at
// three the root of the sum of squares is 5 % more.
const leastResolved = 3

// checkResolved refuses simulated results that float64 does not hold, as checkUncertainty does, and
// warns of trials that differ by their rounding: 1 + 1e-17·x·y is 1 in each of them. What a
// convolution found does not come of trials.
func (r *run) checkResolved(sim *Simulation) error {
	for i, root := range r.roots {
		o := &sim.Outputs[i]
		if r.tape.Outputs[i].IsFixed() {
			continue
		}
		c, _ := r.model.backward(root)
		u, first := o.StandardUncertainty, r.model.standardUncertainty(c)
		var err error
		// Where the slopes make more of the inputs than trials of 0 show, rounding did it.
		switch {
		case u > 0 || !(first >= leastU):
			err = r.model.checkUncertainty(root, c, u)
		case root.lost:
			err = r.model.checkLost(root, u)
		}
		if err != nil {
			return refused("uncertainty.MonteCarlo", r.ys[i].Name(), err)
		}
		if err := checkVariance(u); err != nil && len(r.roots) > 1 {
			sim.Warnings = append(sim.Warnings, refused("uncertainty.MonteCarlo", o.Name, err))
		}
		off := r.model.roundingSpread(r.model.place(root))
		if o.Twin.Kind == TwinExact || u >= leastResolved*off || !(u > 0 || first > 0) {
			continue
		}
		sim.Warnings = append(sim.Warnings, &Error{Op: "uncertainty.MonteCarlo", Name: o.Name,
			Value: u, Err: unit.Errorf(ErrRange, "the standard deviation of the trials, %s, is "+
				"not above their rounding, about %s; expected a model of the deviation from a "+
				"constant",
				significant(u, 2), significant(off, 2))})
	}
	return nil
}

// roundingSpread is the standard deviation that rounding may give to the node in the given place:
// that of each node below is half a unit of its last place or less, and independent of the others.
func (m *model) roundingSpread(top int) float64 {
	sum := 0.0
	for i, n := range m.nodes[:top+1] {
		// Inputs are drawn, and constants are the same in all trials.
		if m.concerns(i) && n.op != opInput && n.op != opExact && n.bound > 0 {
			sum = elementary.Hypot(sum, m.adjoint[i]*n.value)
		}
	}
	return float64(0x1p-53 * sum)
}
