// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// This file holds the linear and the second-order result against the model itself, at
// values of the inputs that lie one and two standard uncertainties away. A model that
// bends between them, or has no value there, is no longer what its derivatives say. With f(s) the
// model at s steps of u along one input, the test of the linear result is
//
//	|f(s) − f(0) − s·c·u| ≤ U/20, s = ±1, ±2,
//
// and that of the second-order result has the terms to third order in place of s·c·u. A finding is
// the worst place, in numbers that the reader can check by hand. What shows what:
//
//	model                place
//	x² at 0              one step: the change is u², the slope says 0
//	x·z at 0, 0          both inputs by a step: each alone changes nothing
//	x·y·z at 0, 0, 0     all inputs by a step
//	√x at 1.5·u          two steps down: no value
//	cos x, u = 2π        0.618 of a step: whole ones lead from crest to crest
//	f(x), x at 3·u       three steps down, where an f of somebody else's ends at 0
//
// An evaluation visits all nodes below the measurand, and n inputs need about 8 + 4·n of them: a
// model of 80 nodes with 20 inputs takes 7,000 steps of one node. It is a spot check: a kink or a
// bump that lies between the places, or in a direction of several inputs beside the eight patterns,
// is missed. Monte Carlo is the answer to all of them.

// noticed is the part of the expanded uncertainty up to which the model may leave its
// expansion without a warning: what changes U by more changes its second digit.
const noticed = 0.05

// What bounds the work of the check, counted in evaluations of a node: the sign vectors come
// first, then directions one by one, those that the derivatives do not see before the largest.
const (
	mostPasses = 1 << 13
	// callWeight is the work of a Call, which is somebody else's function: some microseconds are
	// taken for granted.
	callWeight = 64
)

const (
	// leftOutShare is the part of u that terms may have which the variance of second order leaves
	// out: u is then too small by √(1 + 0.3²) − 1 = 4.4 %.
	leftOutShare = 0.3
	// roundings is how many times what one rounding of each node does to the result may pass for
	// rounding.
	roundings = 16
	// betweenSteps is the golden section, which is far from all simple fractions: waves that return
	// to their value at whole steps, halves or thirds do not return there.
	betweenSteps = 0.618
	// endSteps is how far a normal input goes with the probability leastEnd.
	endSteps = 3.09
	// doubtful is the part of a derivative by which it may change with its step.
	doubtful = 0.02
)

// signVectors are the eight sign vectors: of input i, bit i of the word, repeated, 1 for minus. No
// two of the first 64 inputs have one sign in all of them: words 1 to 6 are the binary digits of i,
// word 0 is all inputs up, word 7 the parity of i. So any two inputs move the same way in word 0
// and opposite ways in another: their product changes its sign, and cannot hide.
var signVectors = [8]uint64{
	0x0000000000000000, 0xaaaaaaaaaaaaaaaa, 0xcccccccccccccccc, 0xf0f0f0f0f0f0f0f0,
	0xff00ff00ff00ff00, 0xffff0000ffff0000, 0xffffffff00000000, 0x6996966996696996,
}

// expansion is what the derivatives say of a direction of one standard uncertainty: the first,
// second and third derivative by the number s of steps, all in the unit of the measurand. To first
// order bend and twist are 0.
type expansion struct{ slope, bend, twist float64 }

// changeAt is the series of Taylor to third order, slope·s + bend·s²/2 + twist·s³/6.
func (e expansion) changeAt(s float64) float64 {
	return s * (e.slope + float64(s*(e.bend/2+float64(s*e.twist)/6)))
}

// departure is the worst place at which a model leaves its expansion.
type departure struct {
	name      string  // of the input, empty where several move together
	steps     float64 // standard uncertainties
	says, is  float64 // change by the expansion, and of the model
	excess    float64 // of their difference over what goes unnoticed
	undefined bool    // the model has no value there

	along []direction // in which the model may go to infinity, see lineFinding
}

// isCurved reports whether the model below the node is not linear in its inputs.
func (m *model) isCurved(top int) bool {
	for i, n := range m.nodes[:top+1] {
		if m.concerns(i) && n.nonlinear() {
			return true
		}
	}
	return false
}

// nonlinear reports whether the node is not linear in what is uncertain below it. A power of fixed
// exponent counts as bent even where that is 1, and a call always, which only costs a look.
func (n *node) nonlinear() bool {
	if n.op.linear() {
		return false
	}
	switch n.op {
	// A product of one uncertain factor is linear; "bound" is 0 for what is exact.
	case opMul:
		return n.a.bound > 0 && n.b.bound > 0
	case opDiv:
		return n.b.bound > 0
	case opPow:
		return n.b.bound > 0 || n.a.bound > 0
	}
	for k := 0; n.argument(k) != nil; k++ {
		if n.argument(k).bound > 0 {
			return true
		}
	}
	return false
}

// linearInputs marks the inputs, by slot, in which the model below the node is linear whatever the
// others are: no node above them is curved. Such an input alone changes the result exactly as its
// slope says. In x·z both are bent, though the model is straight in each: the mark is about nodes,
// and errs on the side of looking.
func (m *model) linearInputs(top int) []bool {
	bent := make([]bool, top+1)
	out := make([]bool, len(m.inputs))
	for i := range out {
		out[i] = true
	}
	// From the top down: whatever bends above a node bends what is below it, and every reader of a
	// node has a higher place, so that its mark is final when it is met.
	for i := top; i >= 0; i-- {
		n := m.nodes[i]
		if !m.concerns(i) {
			continue
		}
		bent[i] = bent[i] || n.nonlinear()
		if !bent[i] {
			continue
		}
		// A bent node that is an input: it does not enter in a straight line.
		if m.slot[i] >= 0 {
			out[m.slot[i]] = false
		}
		for _, e := range m.below(i) {
			bent[e.to] = true
		}
	}
	return out
}

// concerns reports whether the node of a place is below the measurand of the last pass.
func (m *model) concerns(place int) bool { return m.whole || m.under[place] }

// valueAt returns the value of the node in the given place at m.displaced, NaN where a
// function has none or panics; the values of all nodes below it are left in m.values. The
// operations are those that built the model, so that at the estimates the bits are those of
// node.value, and a difference from it is the change alone.
func (m *model) valueAt(top int) (v float64) {
	defer func() {
		// A function that was written for values near the estimates may panic elsewhere.
		if recover() != nil {
			v = math.NaN()
		}
	}()
	if cap(m.values) < len(m.nodes) {
		m.values = make([]float64, len(m.nodes))
	}
	values := m.values[:len(m.nodes)]
	first := 0
	// The nodes are evaluated in the order in which they were compiled: arguments first.
	for i, n := range m.nodes[:top+1] {
		args := m.edges[first:m.ends[i]]
		first = m.ends[i]
		// Other measurands of the same model are not asked for.
		if !m.concerns(i) {
			continue
		}
		if m.slot[i] >= 0 {
			values[i] = m.displaced[m.slot[i]]
			continue
		}
		switch {
		case len(args) == 0: // a constant, or a function of nothing
			values[i] = n.value
		case n.op == opLinear, n.op == opCall:
			values[i] = m.manyAt(n, args, values)
		case len(args) == 1:
			values[i] = n.single(values[args[0].to])
		default:
			values[i] = n.double(values[args[0].to], values[args[1].to])
		}
	}
	return values[top]
}

// manyAt is the value of a node of many arguments, a linear combination or a Call, which gets a
// slice of its own: f may keep or change what it is given.
func (m *model) manyAt(n *node, args []edge, values []float64) float64 {
	x := n.aux.(*many)
	if n.op == opLinear {
		sum := x.c0
		for k, e := range args {
			sum += float64(x.d[k] * values[e.to])
		}
		return sum
	}
	at := make([]float64, len(args))
	for k, e := range args {
		at[k] = values[e.to]
	}
	return x.call.f(at)
}

// single is the value of a node of one argument, NaN outside the domain of its function. da is the
// factor of a scaling.
func (n *node) single(x float64) float64 {
	switch n.op {
	case opNamed:
		return x
	case opNeg:
		return -x
	case opScale:
		return n.da * x
	case opSqrt:
		return math.Sqrt(x)
	case opExp:
		return elementary.Exp(x)
	case opLog:
		return elementary.Log(x)
	case opSin:
		return elementary.Sin(x)
	case opCos:
		return elementary.Cos(x)
	case opTan:
		return elementary.Tan(x)
	case opAsin:
		return elementary.Asin(x)
	case opAcos:
		return elementary.Acos(x)
	case opAtan:
		return elementary.Atan(x)
	}
	return math.NaN()
}

// double is the value of a node of two arguments.
func (n *node) double(x, y float64) float64 {
	switch n.op {
	case opAdd:
		return x + y
	case opSub:
		return x - y
	case opMul:
		return x * y
	case opDiv:
		return x / y
	case opPow:
		return elementary.Pow(x, y)
	}
	return math.NaN()
}

// worstDeparture returns the worst departure of the model from its expansion: c are the
// sensitivities, second the expansions by direction, nil to first order. It follows a
// backward pass of the same measurand. The zero departure means that none was noticed. To second
// order interactions has made the sign patterns, with the terms that two inputs share.
func (m *model) worstDeparture(top int, c []float64, U float64, second []expansion) departure {
	if !m.isCurved(top) {
		return departure{}
	}
	s := m.displacements(top, c, U)
	s.directions = m.directionsOf(mostFactored)
	if second != nil {
		s.directions = m.directions()
	}
	// All inputs at once, by sign patterns: an interaction of two inputs shows in some of the
	// eight, where moving one after the other never would. Several interactions may cancel in one
	// pattern, hardly in all.
	if second == nil && len(s.directions) > 1 {
		for _, signs := range signVectors {
			s.moveAll(signs)
		}
	}
	straight := m.linearInputs(top)
	order := s.order()
	for _, i := range order {
		d := s.directions[i]
		// An input in which the model is linear changes the result alone as its slope says: there
		// is nothing to find.
		if second == nil && !slices.ContainsFunc(d.slots,
			func(slot int) bool { return !straight[slot] }) {
			continue
		}
		e := expansion{slope: d.along(c)}
		if second != nil {
			e = second[i]
		}
		// At least one direction is looked at, however large the model is: the first in the order,
		// which is the likeliest to depart.
		if s.left -= stepsAlong * s.weight; s.left < 0 && i != order[0] {
			break
		}
		s.moveAlong(d, e, second == nil)
	}
	if second == nil && s.calls && s.left > 0 {
		bent := slices.DeleteFunc(slices.Clone(s.directions), func(d direction) bool {
			return !slices.ContainsFunc(d.slots, func(slot int) bool { return !straight[slot] })
		})
		s.along = append(s.along, m.commonDirections(bent)...)
	}
	s.worst.along = s.along
	return s.worst
}

// displacements compares a model at displaced inputs with its expansion. The inputs are displaced
// in model.displaced, which every move begins at the estimates.
type displacements struct {
	*model
	top        int       // place of the measurand
	c          []float64 // sensitivities
	directions []direction
	unnoticed  float64     // difference that is no departure
	weight     int         // work of one evaluation
	left       int         // work that is left
	calls      bool        // somebody else's function is part of the model
	periodic   bool        // or a function that may return to its value after a step
	kinks      bool        // or one of this package that may have a corner, such as max
	worst      departure   // so far
	along      []direction // in which a pole may lie, so far
}

// stepsAlong is the number of places at which each direction is looked at.
const stepsAlong = 4

// rounding is what rounding may do to a difference of two values of the node in the given place:
// each node below is off by half a unit of its last place, and the adjoint of the last pass says
// how much of it reaches the top.
func (m *model) rounding(top int) float64 {
	sum := 0.0
	for i, n := range m.nodes[:top+1] {
		if m.concerns(i) {
			sum += math.Abs(float64(m.adjoint[i] * n.value))
		}
	}
	return roundings * 0x1p-52 * sum
}

// displacements finds what a difference must exceed, and what an evaluation costs.
func (m *model) displacements(top int, c []float64, U float64) *displacements {
	s := &displacements{model: m, top: top, c: c, left: mostPasses}
	for i, n := range m.nodes[:top+1] {
		if m.concerns(i) {
			// The work is counted in nodes, since that is what an evaluation costs.
			s.weight++
			switch n.op {
			case opCall:
				s.weight += callWeight
				free := n.aux.(*many).call.rule == callFree
				s.calls, s.kinks = s.calls || free, s.kinks || !free
			case opSin, opCos, opTan:
				s.periodic = true
			}
		}
	}
	s.unnoticed = float64(noticed*U) + m.rounding(top)
	m.displaced = cleared(m.displaced, len(m.inputs))
	return s
}

// resetInputs puts all inputs at their estimates.
func (m *model) resetInputs() {
	for i, s := range m.inputs {
		m.displaced[i] = s.x
	}
}

// compare holds the displaced value of the model against what the expansion says, a change from
// the estimate, and returns the value. The name is that of the input that was moved by so many
// steps, empty for all of them. A place without a value exceeds every other.
func (s *displacements) compare(name string, steps, says float64) float64 {
	v := s.valueAt(s.top)
	is := v - s.nodes[s.top].value
	d := departure{name: name, steps: steps, says: says, is: is}
	if math.IsNaN(is) || math.IsInf(is, 0) {
		d.undefined, d.excess = true, math.Inf(1)
	} else if off := math.Abs(is - says); off > s.unnoticed {
		d.excess = off - s.unnoticed
	}
	if d.excess > s.worst.excess {
		s.worst = d
	}
	return v
}

// moveAll displaces all directions by one standard uncertainty, each by its sign, and compares with
// the sum of the slopes. The word 0 for signs moves all up.
func (s *displacements) moveAll(signs uint64) {
	s.resetInputs()
	says := 0.0
	for i, d := range s.directions {
		steps := d.signed(i, signs)
		d.move(s.displaced, steps)
		says += float64(steps * d.along(s.c))
	}
	s.compare("", 1, says)
	s.left -= s.weight
}

// order is that of the directions, by their places in s.directions. Where the work does not suffice
// for all, those come first of which the derivatives say nothing (slope 0), then the largest;
// otherwise the order of the inputs stays, so that equal departures name the first.
func (s *displacements) order() []int {
	order := make([]int, len(s.directions))
	for i := range order {
		order[i] = i
	}
	if stepsAlong*s.weight*len(order) > s.left {
		slices.SortStableFunc(order, func(i, k int) int {
			a, b := math.Abs(s.directions[i].along(s.c)), math.Abs(s.directions[k].along(s.c))
			if (a == 0) != (b == 0) {
				return cmp.Compare(a, b)
			}
			return cmp.Compare(b, a)
		})
	}
	return order
}

// moveAlong displaces one direction, the others at home. Both signs, since a bend shows on both
// sides and a twist with opposite ones; one and two standard uncertainties, since 95 % reaches
// to two. With ends, it also looks for what lies beyond.
func (s *displacements) moveAlong(d direction, e expansion, ends bool) {
	var at, v [stepsAlong]float64
	far := 2.0
	if ends { // to first order: the terms of second order take all inputs as normal
		far = d.far
	}
	for i, steps := range [stepsAlong]float64{1, -1, far, -far} {
		at[i] = d.within(steps)
		v[i] = s.moveBy(d, e, at[i])
	}
	// A period that divides the standard uncertainty hides a wave from the steps above.
	if s.periodic || s.calls {
		s.moveBy(d, e, d.within(betweenSteps))
	}
	// So does a jump on whose other side the model comes back to its line.
	if s.kinks || s.calls {
		s.moveBy(d, e, d.within(1+betweenSteps))
		s.moveBy(d, e, d.within(-1-betweenSteps))
		s.farKink(d, e)
	}
	if !ends {
		return
	}
	home := s.nodes[s.top].value
	for i := range 2 { // one step and two to the same side
		near, far := at[i], at[i+2]
		p := hyperbolaPole([3]float64{0, near, far}, [3]float64{home, v[i], v[i+2]})
		// A law that ends within one step has no two places; it is looked at by itself.
		if near == far || p*near > 0 && math.Abs(p) <= lineFirst {
			s.along = append(s.along, d)
			break
		}
	}
	// Somebody else's function may end where no argument of ours tells.
	if s.calls && s.worst.excess == 0 {
		for _, steps := range [2]float64{endSteps, -endSteps} {
			if steps = d.within(steps); math.Abs(steps) <= 2 {
				continue // the law ends where it has been looked at
			}
			s.resetInputs()
			d.move(s.displaced, steps)
			if v := s.valueAt(s.top); math.IsNaN(v) || math.IsInf(v, 0) {
				s.worst = departure{name: d.name, steps: steps, undefined: true,
					excess: math.Inf(1)}
				return
			}
		}
	}
}

// farKink looks for a corner beyond two standard uncertainties, behind which the model leaves its
// expansion so far that the probability of a thousandth there decides the standard uncertainty: by
// five times U, of which (5U)²/1000 is a tenth of u².
func (s *displacements) farKink(d direction, e expansion) {
	if s.worst.excess > 0 {
		return // there is a nearer finding
	}
	near := s.unnoticed
	s.unnoticed = 5 / noticed * near
	for _, steps := range [2]float64{endSteps, -endSteps} {
		if steps = d.within(steps); math.Abs(steps) <= 2 {
			continue // the law ends where it has been looked at
		}
		s.resetInputs()
		d.move(s.displaced, steps)
		// Where the model ends is said with its probability, see poleFinding.
		if v := s.valueAt(s.top); !math.IsNaN(v) && !math.IsInf(v, 0) {
			s.compare(d.name, steps, e.changeAt(steps))
		}
	}
	s.unnoticed = near
}

// moveBy displaces one direction by so many steps and returns the value of the model.
func (s *displacements) moveBy(d direction, e expansion, steps float64) float64 {
	s.resetInputs()
	d.move(s.displaced, steps)
	return s.compare(d.name, steps, e.changeAt(steps))
}

// within returns the steps, or those to the end of the law of the input, beyond which the model
// need not exist: a rectangle ends 1.73 steps from its middle.
func (d direction) within(steps float64) float64 { return max(d.least, min(d.most, steps)) }

// signed is one step of direction i by its sign in a word of signVectors.
func (d direction) signed(i int, signs uint64) float64 {
	if signs>>(i%64)&1 == 1 {
		return d.within(-1)
	}
	return d.within(1)
}

// move displaces the inputs x, by slot, along the direction.
func (d direction) move(x []float64, steps float64) {
	for k, slot := range d.slots {
		x[slot] += float64(steps * d.step[k])
	}
}

// linearFinding warns where the linear result is not what the model does, nil where it is: of a
// departure first, else of a pole or an end farther away. c are the sensitivities of the last pass.
func (m *model) linearFinding(b *Budget, top int, c []float64) error {
	d := m.worstDeparture(top, c, b.Expanded.U, nil)
	switch {
	case d.excess == 0:
		return m.poleFinding(m.nodes[top], "uncertainty.Evaluate", ErrFirstOrder, d.along)
	// u = 0 from uncertain inputs: x² at 0, for example.
	case b.StandardUncertainty == 0:
		return &Error{Op: "uncertainty.Evaluate", Err: unit.Errorf(ErrFirstOrder,
			"the model is at a stationary point, where uncertain inputs have no first-order "+
				"effect: the uncertainty 0 is wrong; use second-order terms or Monte Carlo")}
	}
	return &Error{Op: "uncertainty.Evaluate", Name: d.name, Value: d.says,
		Err: unit.Errorf(ErrFirstOrder, "%s; use second-order terms or Monte Carlo",
			d.text("the slope predicts"))}
}

// secondFinding warns where the terms of second order do not suffice, nil where they do: in one
// direction, which the message names, in two, in three or more, and last at the places where the
// model itself is asked.
func (m *model) secondFinding(b *Budget, top int, t curvature) error {
	// The mean square of a term of third order, which the variance leaves out, is 15/36·twist²:
	// twist·z³/6 with E(z⁶) = 15 for a normal z.
	for i, e := range t.expansions {
		left := math.Abs(e.twist) * math.Sqrt(15) / 6
		if left > leftOutShare*b.StandardUncertainty {
			return &Error{Op: "uncertainty.SecondOrder", Name: t.names[i], Value: left,
				Err: unit.Errorf(ErrSecondOrder,
					"a term of third order moves the result by %s, which u = %s leaves out; use "+
						"Monte Carlo", significant(left, 3), significant(b.StandardUncertainty, 3))}
		}
	}
	if left := t.leftOut(); left > leftOutShare*b.StandardUncertainty {
		return &Error{Op: "uncertainty.SecondOrder", Value: left, Err: unit.Errorf(ErrSecondOrder,
			"the terms of third order together move the result by %s, which u = %s leaves out; "+
				"use Monte Carlo", significant(left, 3), significant(b.StandardUncertainty, 3))}
	}
	if err := m.interactions(b.StandardUncertainty, top, t); err != nil {
		return err
	}
	d := m.worstDeparture(top, m.sensitivities, b.Expanded.U, t.expansions)
	if d.excess == 0 {
		return nil
	}
	return &Error{Op: "uncertainty.SecondOrder", Name: d.name, Value: d.says,
		Err: unit.Errorf(ErrSecondOrder, "%s; use Monte Carlo",
			d.text("the terms to third order predict"))}
}

// leftOut is the root of what the variance leaves out of the terms of third order in one and two
// directions, x·z² about 0 for example: it has their products with the slopes, not their squares.
// For normal factors, by Hermite polynomials, ½·c_ijj·x·z² is ½·c_ijj·x, which adds to the slope
// along i, and ½·c_ijj·x·(z² − 1), whose variance is ½·c_ijj²; that of c_iii is c_iii²/6.
func (t curvature) leftOut() float64 {
	sum := 0.0
	for i, thirds := range t.thirds {
		slope := 0.0
		for j, c := range thirds {
			slope += c / 2
			if i == j {
				sum += float64(c*c) / 6
			} else {
				sum += float64(c*c) / 2
			}
		}
		sum += float64(slope * slope)
	}
	return math.Sqrt(sum)
}

// interactions warns where inputs move the result together by terms of higher order, x·y·z or
// x²·y² about 0 for example: the variance has no term of that, and no input moved alone shows it.
// With all inputs at ± u the mean square of what the terms to third order leave is the variance of
// the rest, for factors that do not correlate.
func (m *model) interactions(u float64, top int, t curvature) error {
	directions := m.directions()
	if len(directions) < 2 || !m.isCurved(top) {
		return nil
	}
	m.displaced = cleared(m.displaced, len(m.inputs))
	rest := 0.0
	steps := make([]float64, len(directions))
	for _, signs := range signVectors {
		m.resetInputs()
		for i, d := range directions {
			steps[i] = d.signed(i, signs)
			d.move(m.displaced, steps[i])
		}
		is := m.valueAt(top) - m.nodes[top].value
		if math.IsNaN(is) || math.IsInf(is, 0) {
			return nil // beyond where the model exists; the inputs one by one tell of it
		}
		rest = math.Hypot(rest, is-t.jointly(steps))
	}
	rest /= math.Sqrt(float64(len(signVectors)))
	if rest <= float64(leftOutShare*u)+m.rounding(top) {
		return nil
	}
	return &Error{Op: "uncertainty.SecondOrder", Value: rest, Err: unit.Errorf(ErrSecondOrder,
		"terms of higher order of several inputs move the result by %s, which u = %s leaves "+
			"out; use Monte Carlo", significant(rest, 3), significant(u, 3))}
}

// jointly is the change of the result by the terms to third order that the variance has, for so
// many steps in each direction: Σ changeAt(s_i) + Σ_(i<j) (c_ij·s_i·s_j + ½·c_ijj·s_i·s_j² +
// ½·c_iij·s_i²·s_j). What it leaves out has three different directions, c_ijk, or higher orders.
func (t curvature) jointly(steps []float64) float64 {
	sum := 0.0
	for i, s := range steps {
		sum += t.expansions[i].changeAt(s)
		for j, r := range steps {
			if i != j {
				// Each pair comes twice, hence the half of c_ij; c_ijj and c_iij are two terms.
				sum += float64(s*r*t.mixed[i][j])/2 + float64(s*r*r*t.thirds[i][j])/2
			}
		}
	}
	return sum
}

// stepFinding warns of derivatives by differences that depend on the step: a kink, a jump or the
// noise of a function inside a [Call]. The doubt of a derivative is how far it moved with a step
// four times as wide; times the adjoint and the bound on the uncertainty of the argument it is what
// the result may be off by. Gradients that are stated have no doubt.
func (m *model) stepFinding(b *Budget, top int) error {
	for i, n := range m.nodes[:top+1] {
		x, ok := n.aux.(*many)
		if !ok || x.call == nil || x.call.doubt == nil || !m.concerns(i) {
			continue
		}
		for k, doubt := range x.call.doubt {
			off := math.Abs(m.adjoint[i]*doubt) * x.args[k].bound
			if doubt > doubtful*math.Abs(x.d[k]) && off > noticed*b.Expanded.U {
				return &Error{Op: "uncertainty.Evaluate", Name: x.name, Value: x.d[k],
					Err: unit.Errorf(ErrFirstOrder,
						"the derivative by argument %d, %s, changes by %s with the step: the "+
							"function is not smooth; use Monte Carlo, or state the gradient",
						k+1, significant(x.d[k], 3), significant(doubt, 2))}
			}
		}
	}
	return nil
}

// text says what was found; who is what predicted the change, "the slope predicts".
func (d departure) text(who string) string {
	where := "all inputs are shifted by their standard uncertainties"
	if d.name != "" {
		where = "it is shifted by " + significant(d.steps, 3) + " standard uncertainties"
	}
	if d.undefined {
		return "the model has no finite value where " + where
	}
	return "where " + where + " the result changes by " + significant(d.is, 3) + ", " + who + " " +
		significant(d.says, 3)
}
