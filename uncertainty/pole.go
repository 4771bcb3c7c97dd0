// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// This file finds results that have no standard deviation because a divisor may be 0, or the
// argument of a tangent at a pole, and results that may have no value at all. With a density f of
// the divisor at 0, the integral of f/x² that would be the variance diverges, but the trials of
// one seed, or the values one and two standard uncertainties away, may well keep away from 0 and
// show nothing.
//
// What is found, for 1/d:
//
//	d = 100 Ω, rectangular ± 99 Ω           no pole: the law ends before 0
//	d = 100 Ω, rectangular ± 100 Ω or more  a pole: the density is there at 0
//	d = 100 Ω, normal, u = 19 Ω             no pole: 5.26 u away, 7e-8 are beyond
//	d = 100 Ω, normal, u = 20 Ω             a pole: 5 u away, 3e-7 are beyond
//	d = 1 + 1/x                             none at x = 0: 1/(1 + 1/x) = x/(1 + x) stays
//	                                        finite; the pole is at x = −1
//
// Nodes are looked at first, whose critical values are known by their kind; each takes a backward
// pass, some evaluations of the model on the way there and, where these show a pole, the law of a
// sum. What no node shows, since somebody else's function hides it, is looked for along lines: a
// model near a pole at p is a + b/(t − p), and three values tell the p of that hyperbola.

const (
	// leastPole is the probability of a divisor at or beyond 0 from which on a result is said to
	// have a pole. Below it not one of ten million trials lies there, and the standard deviation
	// of the rest is what a user means: 1/x at 5.2 standard uncertainties of a normal x.
	leastPole = 1e-7
	// normalReach is how many standard uncertainties off a normal quantity is with leastPole.
	normalReach = 5.2
	// leastEnd is the probability of no value from which on that is said: 3.1 standard
	// uncertainties of a normal argument. What lies beyond moves no 95 % interval that is printed.
	leastEnd = 1e-3
	// poleSteps are standard uncertainties, or spreads of all inputs together, beyond which no
	// divisor is looked at.
	poleSteps = 1000
	mostPoles = 64  // divisors of one output that are looked at
	mostNodes = 256 // nodes below divisors that are looked at: shared ones come again and again
)

// A critical is a value of a node at which the result goes to infinity, or beyond which it does
// not exist.
type critical struct {
	n    *node
	at   float64
	what string // "divisor"
	end  bool   // no pole, but an end of where the model exists
}

// criticals are those of one output, with the work that is left.
type criticals struct {
	list []critical
	left int
	far  float64 // standard uncertainties beyond which nothing is looked at
}

// poleFinding warns, on behalf of an evaluation and with its cause, of a divisor below the root
// that may be 0, where the result goes to infinity with it, and on behalf of an expansion of the
// model of arguments for which the model may have no value. Poles that no divisor shows, inside a
// [Call] for example, are looked for along the directions. The last pass over the model is that
// of the root, before and after.
func (m *model) poleFinding(root *node, op string, cause error, along []direction) error {
	top := m.place(root)
	m.reach(top)
	k := criticals{left: mostNodes, far: m.farthest()}
	for i, n := range m.nodes[:top+1] {
		if m.concerns(i) {
			k.node(n)
		}
	}
	if len(k.list) > 0 {
		defer m.backward(root)
	}
	var worst critical
	most := 0.0
	for _, c := range k.list[:min(len(k.list), mostPoles)] {
		// Trials that have no value are counted by the run itself.
		if c.end && cause == ErrNoMoments {
			continue
		}
		if p := m.probabilityBeyond(c, top); p > most &&
			(p >= leastPole && !c.end || p >= leastEnd) {
			worst, most = c, p
		}
	}
	if most > 0 {
		return &Error{Op: op, Name: inputNames(worst.n), Value: worst.n.value,
			Err: unit.Errorf(cause, "%s", worst.text(most))}
	}
	m.reach(top) // the passes of the divisors forgot what is below the root
	return m.lineFinding(top, op, cause, along)
}

// text says what is critical with the probability p.
func (k critical) text(p float64) string {
	if k.end {
		return "the " + k.what + ", estimated as " + significant(k.n.value, 3) + ", is beyond " +
			significant(k.at, 3) + " with a probability of " + significant(p, 2) +
			", where the model has no value"
	}
	return "the " + k.what + ", estimated as " + significant(k.n.value, 3) + ", is at or beyond " +
		significant(k.at, 3) + " with a probability of " + significant(p, 2) + noMoments
}

// noMoments is what follows from a pole.
const noMoments = ": the result has no standard deviation, and no mean; only the coverage " +
	"intervals of Monte Carlo hold"

// node adds what is critical for a node itself.
func (k *criticals) node(n *node) {
	switch n.op {
	case opDiv:
		if n.a.value != 0 || n.a.bound > 0 {
			k.zeros(n.b, 1)
		}
	case opPow:
		if n.b.bound == 0 && n.b.value < 0 {
			k.zeros(n.a, -n.b.value)
		}
		if n.b.bound > 0 || n.b.value != math.Trunc(n.b.value) {
			k.add(critical{n.a, 0, "base of a power", true})
		}
	case opTan:
		k.periodic(n.a, math.Pi/2, "argument of a tangent")
	case opSqrt:
		k.add(critical{n.a, 0, "argument of a square root", true})
	case opLog:
		k.add(critical{n.a, 0, "argument of a logarithm", true})
	case opAsin, opAcos:
		k.add(critical{n.a, 1, "argument of an arc function", true})
		k.add(critical{n.a, -1, "argument of an arc function", true})
	case opCall:
		if x := n.aux.(*many); x.call.function == "log10" {
			k.add(critical{x.args[0], 0, "argument of a logarithm", true})
		}
	}
}

// zeros adds the values of the nodes below a divisor at which that becomes 0 with the given
// order: that of x² is 2, that of √x is ½.
func (k *criticals) zeros(d *node, order float64) {
	// The variance of x^−p exists near 0 for p < ½ only.
	if order < 0.5 || d.bound == 0 || k.left <= 0 {
		return
	}
	k.left--
	const what = "divisor"
	switch d.op {
	case opMul:
		k.zeros(d.a, order)
		k.zeros(d.b, order)
	case opDiv, opNeg, opScale:
		k.zeros(d.a, order)
	case opSqrt:
		k.zeros(d.a, order/2)
	case opPow:
		if d.b.bound == 0 && d.b.value > 0 {
			k.zeros(d.a, order*d.b.value)
		}
	case opExp: // never 0
	case opLog:
		k.add(critical{d.a, 1, "argument of a logarithm that is divided by", false})
	case opSin, opTan:
		k.periodic(d.a, 0, "argument of a sine or tangent that is divided by")
	case opCos:
		k.periodic(d.a, math.Pi/2, "argument of a cosine that is divided by")
	default:
		k.add(critical{d, 0, what, false})
	}
}

// periodic adds the two values next to the estimate among those that are the first one and
// multiples of π away.
func (k *criticals) periodic(n *node, first float64, what string) {
	below := math.Floor((n.value - first) / math.Pi)
	for _, multiple := range []float64{below, below + 1} {
		k.add(critical{n, first + float64(multiple*math.Pi), what, false})
	}
}

// add keeps what is near enough to be looked at.
func (k *criticals) add(c critical) {
	// Where the node bends, the way may be a third of what its slope says, see zeroAlong.
	if c.n.bound > 0 && math.Abs(c.n.value-c.at) <= 3*k.far*c.n.bound {
		k.list = append(k.list, c)
	}
}

// farthest returns how many standard uncertainties from its estimate any input still is with the
// probability leastPole: 5.2 of a normal law, hundreds of a t-distribution.
func (m *model) farthest() float64 {
	far := normalReach
	for _, s := range m.inputs {
		l, own := s.dist.(law)
		switch {
		case !(s.u > 0), own && s.group == nil && (l.kind == normal || !math.IsInf(l.reach(), 1)):
		case s.group != nil || own && l.kind == student:
			// The tail of t lies below √ν·p^(−1/ν), up to a factor that is near 1.
			switch dof := s.drawnDOF(); {
			case dof <= 1:
				far = poleSteps
			case !math.IsInf(dof, 1):
				far = max(far, normalReach+math.Sqrt(dof)*(math.Pow(leastPole/2, -1/dof)-1))
			}
		default:
			far = poleSteps
		}
	}
	return min(far, poleSteps)
}

// probabilityBeyond returns the probability of a node at its critical value or on the other side of
// it, or 0 where the value at the top stays finite there. It takes the law of the linear node, at
// the place where the node itself has the critical value on the steepest way there.
func (m *model) probabilityBeyond(k critical, top int) float64 {
	c, _ := m.backward(k.n)
	bends := m.isCurved(m.place(k.n))
	square, reach := m.linearSpread(c)
	if bends {
		reach *= 3 // as far as zeroAlong looks
	}
	a := approach{model: m, critical: k, top: top, away: k.n.value - k.at,
		part: make([]float64, len(m.inputs))}
	if math.Abs(a.away) > reach || !(square > 0) || math.IsInf(square, 1) {
		return 0
	}
	var linear []twinEffect
	for i, s := range m.inputs {
		if s.u > 0 && c[i] != 0 && !math.IsNaN(c[i]) {
			linear = append(linear, newLinearEffect(s, i, c[i]))
			a.part[i] = float64(c[i]*s.u) * s.u / square
		}
	}
	zero, pole := a.find(bends)
	if !pole || math.IsInf(zero, 1) {
		return 0
	}
	return m.tailProbability(linear, square, float64(zero*a.away))
}

// linearSpread returns the variance of a node of sensitivities c, as if no inputs were correlated,
// and how far from its estimate it may come with the probability leastPole, infinite where a law
// has heavy tails or is not known: bounded inputs by their bounds, normal ones by 5.2 standard
// uncertainties of all of them.
func (m *model) linearSpread(c []float64) (square, reach float64) {
	bounded, rest := 0.0, 0.0
	for i, s := range m.inputs {
		spread := math.Abs(c[i]) * s.u
		if !(spread > 0) {
			continue
		}
		square += float64(spread * spread)
		l, own := s.dist.(law)
		switch {
		case own && s.group == nil && !math.IsInf(l.reach(), 1):
			bounded += math.Abs(c[i]) * l.reach()
		case own && s.group == nil && l.kind == normal:
			rest += float64(spread * spread)
		default:
			reach = math.Inf(1)
		}
	}
	return square, reach + bounded + float64(normalReach*math.Sqrt(rest))
}

// approach is the steepest way on which a node becomes critical: of all displacements that carry
// its linear model there, the one with the least Σ(Δx/u)², which moves each input in proportion to
// c·u². At t = 0 the inputs are where it starts, at t = 1 the linear model is critical.
type approach struct {
	*model
	critical critical
	top      int       // place of the measurand
	away     float64   // of the node from its critical value, at the estimates
	part     []float64 // by slot: change of the input for a change of the node by 1, c·u²/Σ(c·u)²
}

// from returns the way from one of the starts: the estimates for 0, else all inputs half a standard
// uncertainty off, by their signs. It returns how far the node is from its critical value, and the
// measurand.
func (a *approach) from(start int, signs uint64) func(t float64) (v, y float64) {
	m, place := a.model, a.place(a.critical.n)
	return func(t float64) (v, y float64) {
		m.displaced = cleared(m.displaced, len(m.inputs))
		for i, s := range m.inputs {
			x := s.x
			if start > 0 {
				x += (float64(signs>>(i%64)&1) - 0.5) * s.u
			}
			m.displaced[i] = x - float64(t*a.away*a.part[i])
		}
		y = m.valueAt(a.top)
		return m.values[place] - a.critical.at, y
	}
}

// find returns the t at which the node is critical on the way from the estimates, infinite where it
// is nowhere, and whether the measurand shows it from any start. Other inputs may hide the pole at
// their estimates, a numerator of 0 for example: hence two more starts. The way of a node that does
// not bend needs no search.
func (a *approach) find(bends bool) (zero float64, pole bool) {
	a.reach(a.top) // valueAt evaluates what is below the top
	zero = math.Inf(1)
	for start, signs := range []uint64{0, signVectors[1], signVectors[6]} {
		step, here := a.from(start, signs), 1.0
		if bends || start > 0 {
			begin, _ := step(0)
			if begin > 0 != (a.away > 0) {
				continue // critical between the estimates and this start
			}
			here = a.zeroAlong(begin, step)
		}
		if start == 0 {
			zero = here
		}
		if !math.IsInf(here, 1) && a.critical.reached(here, step) {
			return zero, true
		}
	}
	return zero, false
}

// reached reports whether the value at the top goes to infinity where the node becomes critical,
// or does not exist beyond that.
func (k critical) reached(zero float64, step func(t float64) (v, y float64)) bool {
	if k.end {
		_, y := step(zero * (1 + 1e-6))
		return math.IsNaN(y)
	}
	// Near a pole of first order the value grows a thousandfold here; x/(1 + x), written as
	// 1/(1 + 1/x), does not grow at 0. Twentyfold is far from both.
	_, far := step(zero * (1 - 1e-3))
	_, near := step(zero * (1 - 1e-6))
	_, nearer := step(zero * (1 - 1e-9))
	return math.Abs(near) > 20*math.Abs(far) ||
		// Beside another large term the differences grow.
		math.Abs(nearer-near) > 20*math.Abs(near-far)
}

// tailProbability returns the probability that the sum of the linear effects, whose variance is the
// square, carries a node that is away from its critical value there or beyond.
func (m *model) tailProbability(linear []twinEffect, square, away float64) float64 {
	known, ok := m.law(twinModel{TwinLinear, linear})
	level := math.Abs(away) * (1 - 1e-6) // an edge of the law at 0 counts
	switch {
	case !ok: // as of a normal law
		return math.Erfc(level/math.Sqrt(2*square)) / 2
	case away > 0:
		return known.CDF(-level)
	}
	return 1 - known.CDF(level)
}

// zeroAlong returns how often the way to the zero of the linear divisor leads to that of the
// divisor itself, infinite where it has none up to three times. The divisor counts from its
// critical value.
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

// The search along lines: up to lineReach steps, eight standard uncertainties of one direction,
// since beyond 5.2 only heavy tails matter.
const (
	lineReach = 8
	lineFirst = 24 // of the first prediction
)

// lines are the directions in which the model below the node bends, one by one, and all together
// where somebody else's function is part of it.
func (m *model) lines(top int) []direction {
	m.reach(top)
	if !m.isCurved(top) {
		return nil
	}
	straight, weight, calls := m.linearInputs(top), 0, false
	for i, n := range m.nodes[:top+1] {
		if m.concerns(i) {
			weight++
			calls = calls || n.op == opCall && n.aux.(*many).call.rule == callFree
		}
	}
	var out []direction
	for _, d := range m.directionsOf(mostFactored) {
		if weight*stepsAlong*len(out) > mostPasses*callWeight {
			break
		}
		if slices.ContainsFunc(d.slots, func(slot int) bool { return !straight[slot] }) {
			out = append(out, d)
		}
	}
	if calls {
		// An input that only adds would hide a pole by its slope.
		out = append(out, m.commonDirections(out)...)
	}
	return out
}

// commonDirections are eight directions in which all inputs move, each by its sign: the difference
// of two is 0 in one of these long before one of them gets there alone.
func (m *model) commonDirections(directions []direction) []direction {
	n := float64(len(directions))
	if n < 2 || n > mostFactored {
		return nil
	}
	var out []direction
	for _, signs := range signVectors {
		all := direction{least: math.Inf(-1), most: math.Inf(1)}
		for i, d := range directions {
			sign := 1 / math.Sqrt(n) // so that one step is one standard deviation
			least, most := d.least, d.most
			if signs>>(i%64)&1 == 1 {
				sign, least, most = -sign, -most, -least
			}
			for k, slot := range d.slots {
				all.slots = append(all.slots, slot)
				all.step = append(all.step, float64(sign*d.step[k]))
			}
			all.least = max(all.least, float64(least*math.Sqrt(n)))
			all.most = min(all.most, float64(most*math.Sqrt(n)))
		}
		out = append(out, all)
	}
	return out
}

// lineFinding warns of a pole on the way along one of the directions.
func (m *model) lineFinding(top int, op string, cause error, along []direction) error {
	if len(along) == 0 {
		return nil
	}
	l := line{m: m, top: top}
	var worst direction
	at, most := 0.0, 0.0
	for _, l.d = range along {
		for _, sign := range []float64{1, -1} {
			t, found := l.pole(sign)
			if !found {
				continue
			}
			if p := m.beyondStep(l.d, t); p >= leastPole && p > most {
				worst, at, most = l.d, t, p
			}
		}
	}
	if most == 0 {
		return nil
	}
	where := "it is"
	if worst.name == "" {
		where = "all inputs together are"
	}
	return &Error{Op: op, Name: worst.name, Value: at, Err: unit.Errorf(cause, "the result goes "+
		"to infinity where %s shifted by %s standard uncertainties or more, which has a "+
		"probability of %s%s", where, significant(at, 3), significant(most, 2), noMoments)}
}

// beyondStep is the probability of so many steps of a direction or more: by the law of the one
// input, or as of a normal law, which a sum of several comes near.
func (m *model) beyondStep(d direction, t float64) float64 {
	if len(d.slots) > 1 {
		return math.Erfc(math.Abs(t)/math.Sqrt2) / 2
	}
	u := d.step[0]
	e := newLinearEffect(m.inputs[d.slots[0]], d.slots[0], 1)
	return m.tailProbability([]twinEffect{e}, u*u, -float64(t*u))
}

// A line holds a model along one direction, the other inputs at their estimates.
type line struct {
	m   *model
	top int
	d   direction
}

// valueAt is the value of the model so many steps away.
func (l line) valueAt(t float64) float64 {
	l.m.displaced = cleared(l.m.displaced, len(l.m.inputs))
	for i, s := range l.m.inputs {
		l.m.displaced[i] = s.x
	}
	l.d.move(l.m.displaced, t)
	return l.m.valueAt(l.top)
}

// pole returns the step at which the model goes to infinity first, if there is one, in the
// direction of the sign. The first three values, at none, one and two standard uncertainties,
// predict a pole; from there the three points move up to the prediction, each time half as far
// before it, until two of them agree to 2 %. A prediction that leaves the law or the reach of the
// search is the end of it. Some thirty evaluations at most.
func (l line) pole(sign float64) (t float64, found bool) {
	far := l.d.within(2 * sign)
	near := l.d.within(sign)
	if near == far {
		near = far / 2
	}
	p := hyperbolaPole([3]float64{0, near, far}, [3]float64{l.m.nodes[l.top].value,
		l.valueAt(near), l.valueAt(far)})
	if !(p*sign > 0 && math.Abs(p) <= lineFirst) {
		return 0, false
	}
	// The first prediction of a model that bends more and more lies too far away.
	p = sign * min(math.Abs(p), 0.75*lineReach)
	// In the last of eight rounds the nearest value is a thousandth of p before the pole.
	for k := range 8 {
		if !l.within(p, sign) {
			return 0, false
		}
		// Three values before the pole that the last three say tell where it is more closely.
		h := 0.1 * p / float64(int(1)<<k)
		var at, v [3]float64
		for i := range at {
			at[i] = p - float64(3-i)*h
			v[i] = l.valueAt(at[i])
			if math.IsNaN(v[i]) {
				return l.end(at[i])
			}
		}
		next := hyperbolaPole(at, v)
		// Near enough for grows, which searches 5 % to either side.
		if math.Abs(next-p) < 0.02*math.Abs(p) {
			return l.grows(next, sign)
		}
		p = next
	}
	return 0, false
}

// within reports whether the step is one that the law and the search reach.
func (l line) within(t, sign float64) bool {
	// The edge of a bounded law counts, hence the billionth.
	return t*sign > 0 && math.Abs(t) <= lineReach &&
		t <= float64(l.d.most*(1+1e-9)) && t >= float64(l.d.least*(1+1e-9))
}

// hyperbolaPole returns the pole of the hyperbola a + b/(t − p) through three points, infinite
// or NaN where they lie on a straight line.
func hyperbolaPole(t, v [3]float64) float64 {
	// Of a hyperbola (v_i − v_k)/(t_i − t_k) is −b/((t_i − p)·(t_k − p)).
	r := (v[1] - v[0]) / (t[1] - t[0]) / ((v[2] - v[1]) / (t[2] - t[1]))
	return (float64(r*t[0]) - t[2]) / (r - 1)
}

// end reports whether the model goes to infinity where it ends, before a step at which it has no
// value: 1/√x at 0.
func (l line) end(beyond float64) (t float64, found bool) {
	for range 60 { // halving: to the last bits
		middle := (t + beyond) / 2
		if math.IsNaN(l.valueAt(middle)) {
			beyond = middle
		} else {
			t = middle
		}
	}
	return t, l.infinite(t)
}

// infinite reports whether the model goes to infinity before a step, with order ½ or more: |t|^−½
// grows a hundredfold over four decades, and below that order the variance exists.
func (l line) infinite(t float64) bool {
	home := l.m.nodes[l.top].value
	// 60 of the hundred, for a model that is more than its pole.
	return math.Abs(l.valueAt(t*(1-1e-8))-home) > 60*math.Abs(l.valueAt(t*(1-1e-4))-home)
}

// grows finds the place near p where the model goes to infinity.
func (l line) grows(p, sign float64) (t float64, found bool) {
	if !l.within(p*(1-1e-6), sign) {
		return 0, false
	}
	home := l.m.nodes[l.top].value
	size := func(t float64) float64 { return math.Abs(l.valueAt(t) - home) }
	// A search for the largest value by the golden section; where there is none, the place is
	// beyond an end of the model.
	const golden = 0.6180339887498949
	low, high := p*0.95, p*1.05
	a, b := high-float64(golden*(high-low)), low+float64(golden*(high-low))
	va, vb := size(a), size(b)
	// 0.618⁸⁰ = 2e-17: down to the last digit.
	for range 80 {
		if math.IsNaN(vb) || va > vb {
			high, b, vb = b, a, va
			a = high - float64(golden*(high-low))
			va = size(a)
		} else {
			low, a, va = a, b, vb
			b = low + float64(golden*(high-low))
			vb = size(b)
		}
	}
	return low, l.infinite(low)
}
