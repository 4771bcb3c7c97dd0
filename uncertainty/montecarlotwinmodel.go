// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/sumlaw"
	"example.com/ohmwright/uncertainty/internal/tape"
)

// This file finds sums Z = Σ g_i(x_i) of functions of one input each that rise and fall with the
// output f, and the law of each. Such a sum can be convolved, since the inputs are independent; in
// the trials it costs an addition for each input. With x° the estimates and f_i(x_i) the model
// where input i alone is moved,
//
//	linear         g_i = c_i·(x_i − x°_i), the budget
//	main effects   g_i = f_i(x_i) − f(x°)
//	logarithmic    g_i = ±ln(f_i(x_i)/f(x°)), the sign that of f(x°)
//
// For V/R the logarithm is the whole of the model, ln V − ln R, and the main effects miss the
// product of both deviations; for V + R² it is the other way round. Members of a group are not
// independent: they enter by their slopes alone, and a group is one term of the sum.
//
// The functions g that are not straight lines are splines in cells of one width (package tape),
// with 257 evaluations of the model for each; inputs that move the result in a straight line take
// 9.

// twinModel is a sum of functions of one input each. It is 0 at the estimates and rises
// with the output. It is not changed once it is made: without returns another.
type twinModel struct {
	kind    TwinKind
	effects []twinEffect // in the order of the slots
}

// twinEffect is the part of a twin that comes from the input of a slot, in the unit of the output,
// or a pure number of a logarithmic twin.
type twinEffect struct {
	tape.Effect
	slot   int
	spread float64 // about its standard deviation, to tell what can be left out
	fall   float64 // of a curve: see fallOf
}

const (
	// curveCells of the spline of a curve: over ± 6 u a cell is h = u/21, and a spline is off by
	// 5/384·h⁴ times the fourth derivative, 7e-8 of a function that bends on the scale of u.
	curveCells = 256
	// probeCells says whether a curve is needed: a bend that nine values on a line do not show is
	// none, or one that a twin may miss.
	probeCells = 8
	// straight is the departure from a straight line, as a part of the standard
	// uncertainty of the output, that leaves an effect linear: a linear effect costs less,
	// and its distribution is known in closed form.
	straight = 1e-3
	// negligible is the part of the spread of a twin below which an effect is left out: so
	// small a part moves one trial in 10 000 across an end.
	negligible = 1e-4
	// mostEffectWork bounds the evaluations of nodes for the curves of one output: as many as 1000
	// trials of a model of 128 nodes make.
	mostEffectWork = 1 << 17
)

// twinModels returns what may be the twins of a measurand: one, exact, for a linear model,
// else several or none, the cheapest first. The backward pass is its own.
func (m *model) twinModels(root *node) []twinModel {
	c, reached := m.backward(root)
	top := m.place(root)
	var linear []twinEffect
	scale := 0.0
	for i, s := range m.inputs {
		if !reached[i] || s.u == 0 {
			continue
		}
		e := newLinearEffect(s, i, c[i])
		linear = append(linear, e)
		scale += float64(e.spread * e.spread)
	}
	scale = math.Sqrt(scale) // of correlated inputs too: a measure, not the standard uncertainty
	if math.IsInf(scale, 0) || math.IsNaN(scale) {
		return nil
	}
	out := []twinModel{{TwinLinear, notZero(linear)}}
	if !m.isCurved(top) {
		if len(out[0].effects) == 0 {
			return nil
		}
		out[0].kind = TwinExact
		return out
	}
	if main, ok := m.newMainEffects(top, linear, scale); ok {
		if t, ok := main.additive(); ok {
			out = append(out, t)
		}
		if t, ok := main.logarithmic(); ok {
			out = append(out, t)
		}
	}
	return slices.DeleteFunc(out, func(t twinModel) bool { return len(t.effects) == 0 })
}

// newLinearEffect is that of the input of a slot with a sensitivity coefficient: c·(x − x°).
func newLinearEffect(s *source, slot int, c float64) twinEffect {
	return twinEffect{Effect: tape.Effect{Centre: s.x, Slope: c}, slot: slot,
		spread: math.Abs(c) * s.u}
}

// notZero leaves out the inputs that move nothing to first order, such as x of x² at 0.
func notZero(effects []twinEffect) []twinEffect {
	return slices.DeleteFunc(slices.Clone(effects), func(e twinEffect) bool { return e.Slope == 0 })
}

// mainEffects are the values of a model where one input moves at a time. All lists are by effect,
// in the order of linear.
type mainEffects struct {
	linear []twinEffect // every input that is uncertain, those of slope 0 too
	values [][]float64  // of the output at equal distances; nil for members of a group
	ends   [][2]float64 // values of the input at the first and the last
	// Whether the law of the input has ends, where its density falls to 0 at once.
	bounded []bool
	y       float64 // the output at the estimates
	scale   float64 // standard uncertainty of the linear budget
}

// newMainEffects evaluates the model. It is false where that would take too long.
// Each input is probed first: most of them enter in a line, and a curve costs thirty times as much.
func (m *model) newMainEffects(top int, linear []twinEffect, scale float64) (*mainEffects, bool) {
	f := &mainEffects{linear: linear, y: m.nodes[top].value, scale: scale,
		values: make([][]float64, len(linear)), ends: make([][2]float64, len(linear)),
		bounded: make([]bool, len(linear))}
	m.displaced = cleared(m.displaced, len(m.inputs))
	for i, s := range m.inputs {
		m.displaced[i] = s.x
	}
	pass := 1
	for _, n := range m.nodes[:top+1] {
		if pass++; n.op == opCall {
			pass += callWeight
		}
	}
	work := 0
	for k, e := range linear {
		s := m.inputs[e.slot]
		if s.group != nil {
			continue // members of a group move together: only linear effects of theirs add up
		}
		low, high, ok := s.curveRange()
		if !ok {
			continue
		}
		f.ends[k] = [2]float64{low, high}
		l, own := s.dist.(law)
		f.bounded[k] = own && l.bounded()
		cells := probeCells
		if work += cells * pass; work > mostEffectWork {
			return nil, false
		}
		f.values[k] = m.valuesAlong(top, e.slot, low, high, cells)
		size := math.Abs(f.y)
		if f.straight(k, 1, f.scale, f.additively) &&
			f.straight(k, 1/size, f.scale/size, f.logarithmically) {
			continue
		}
		if work += curveCells * pass; work > mostEffectWork {
			return nil, false
		}
		f.values[k] = m.valuesAlong(top, e.slot, low, high, curveCells)
	}
	return f, true
}

// valuesAlong returns the values of the model at equal distances of one input, cells + 1 of them,
// from low to high; NaN where the model has none. The other inputs stay at m.displaced, their
// estimates.
func (m *model) valuesAlong(top, slot int, low, high float64, cells int) []float64 {
	home := m.displaced[slot]
	v := make([]float64, cells+1)
	for i := range v {
		m.displaced[slot] = low + float64((high-low)*float64(i))/float64(cells)
		v[i] = m.valueAt(top)
	}
	m.displaced[slot] = home
	return v
}

// curveRange returns where the curve of an effect of the source begins and ends: with the law, or
// where 1e-9 is left on either side, ± 6 u of a normal input. It is false for a range that is empty
// or not finite, of an input that then stays linear.
func (s *source) curveRange() (low, high float64, ok bool) {
	l, own := s.dist.(law)
	switch {
	case own && !math.IsInf(l.reach(), 1):
		low, high = l.x-l.reach(), l.x+l.reach()
	default:
		// So far out that what the straight line beyond misses is of no account, but not so
		// far that heavy tails take all the cells.
		low, high = s.dist.Quantile(1e-9), s.dist.Quantile(1-1e-9)
		low, high = max(low, s.x-float64(40*s.u)), min(high, s.x+float64(40*s.u))
	}
	return low, high, low < high && !math.IsInf(high-low, 0)
}

// additive are the main effects themselves. They are nothing new, and not returned, where
// all are straight.
func (f *mainEffects) additive() (twinModel, bool) {
	return f.effects(TwinMainEffects, 1, f.scale, f.additively)
}

// logarithmic are the main effects of ln|y|. They add up to the whole of a product or a
// quotient of powers.
func (f *mainEffects) logarithmic() (twinModel, bool) {
	if f.y == 0 {
		return twinModel{}, false
	}
	return f.effects(TwinLogarithmic, 1/math.Abs(f.y), f.scale/math.Abs(f.y), f.logarithmically)
}

func (f *mainEffects) additively(y float64) float64 { return y - f.y }

// logarithmically is ±ln(y/y₀) with the sign of y₀, the value at the estimates, so that it rises
// with y where both are negative too. An output that changes its sign has no logarithm: NaN, which
// is not straight, and for which effects returns no twin.
func (f *mainEffects) logarithmically(y float64) float64 {
	if !(y/f.y > 0) {
		return math.NaN()
	}
	return math.Copysign(1, f.y) * elementary.Log(y/f.y)
}

// straight reports whether effect k under a function g, whose slope at the estimates is g1,
// stays near its tangent: within a part of scale, the linear standard uncertainty under g.
func (f *mainEffects) straight(k int, g1, scale float64, g func(y float64) float64) bool {
	e := f.linear[k]
	low, high := f.ends[k][0], f.ends[k][1]
	for i, y := range f.values[k] {
		x := low + float64((high-low)*float64(i))/float64(len(f.values[k])-1)
		off := math.Abs(g(y) - float64(g1*e.Slope*(x-e.Centre)))
		if !(off <= straight*scale) {
			return false
		}
	}
	return true
}

// effects makes a twin of the values under a function g, curves where straight says so. It is false
// where nothing is curved, since the linear twin is that already, and where g has no value.
func (f *mainEffects) effects(
	kind TwinKind, g1, scale float64, g func(y float64) float64,
) (twinModel, bool) {
	t := twinModel{kind: kind}
	curved := false
	for k, e := range f.linear {
		if f.values[k] != nil && !f.straight(k, g1, scale, g) {
			values := make([]float64, len(f.values[k]))
			square := 0.0
			for i, y := range f.values[k] {
				v := g(y)
				if math.IsNaN(v) || math.IsInf(v, 0) {
					return twinModel{}, false
				}
				values[i] = v
				square += float64(v*v) / float64(len(values))
			}
			e.Curve = tape.NewCurve(f.ends[k][0], f.ends[k][1], values)
			e.fall = fallOf(values, f.bounded[k])
			// Much of the range lies in the tails: a third of the root mean square will do.
			e.spread = math.Sqrt(square) / 3
			curved = true
		} else {
			e.Slope *= g1
			e.spread *= g1
		}
		if e.Curve != nil || e.Slope != 0 {
			t.effects = append(t.effects, e)
		}
	}
	return t, curved
}

// mostJumps of a curve can be told apart by the sum of laws.
const mostJumps = 4

// fallOf is the power with which the characteristic function of a curve of an input falls: ½
// where the curve turns round, which makes a pole of the density, 1 where the density has an
// edge, 0 for several jumps between flat parts. It is infinite for a smooth rise of a law without
// ends, where it falls faster than any power.
//
// Examples, of ∫ exp(it·g(x))·f(x) dx by the method of stationary phase: a rectangle is
// sin(at)/(at), 1/t; x² of any law about 0 has dg = 0 at 0, so that 1/√t is left of an interval of
// that width; a reading rounded to 0.1 is a sum of phases that come back to 1, t⁰.
func fallOf(values []float64, bounded bool) float64 {
	fall := math.Inf(1)
	if bounded {
		fall = 1
	}
	last, flat, changes := 0.0, 0, 0
	for i := 1; i < len(values); i++ {
		switch d := values[i] - values[i-1]; {
		case d == 0:
			flat++
		default:
			changes++
			if float64(d*last) < 0 {
				fall = 0.5
			}
			last = d
		}
	}
	// A function that rounds is flat nearly everywhere.
	if flat > len(values)/2 && changes > mostJumps {
		return 0
	}
	return fall
}

// lawOutOfReach reports whether the law of a twin with curves would surely be looked for in vain:
// nothing in it is smooth, and its characteristic function falls too slowly for a lattice. To
// find that out by the lattice takes longer than 100 000 trials.
//
// The powers of the terms of a product add up. A lattice has 65 536 frequencies at most, the last
// of them at t·a of 1e4 to 1e5, a being the width of a term: t⁻² leaves 1e-8 to 1e-10 there, t^−2.5
// 1e-10 and less, where 1e-9 is wanted. A normal term or one with tails makes φ vanish long
// before.
func (m *model) lawOutOfReach(t twinModel) bool {
	const enough = 2.5
	curved, smooth, power := false, false, 0.0
	for _, e := range t.effects {
		l, own := m.inputs[e.slot].dist.(law)
		switch {
		case e.Curve != nil && e.fall == 0:
			return true
		case e.Curve != nil:
			curved = true
			power += e.fall
		case !own || !l.bounded():
			smooth = true
		case l.kind == arcsine: // J_0
			power += 0.5
		case l.kind == rectangular: // sin(x)/x
			power++
		default: // as of two rectangles
			power += 2
		}
	}
	return curved && !smooth && power < enough
}

// without leaves out effects that are smaller than a part of all together: each would be a term of
// the convolution, and many small ones make no difference that the trials could show.
func (t twinModel) without(part float64) twinModel {
	total := 0.0
	for _, e := range t.effects {
		total += float64(e.spread * e.spread)
	}
	least := part * math.Sqrt(total)
	t.effects = slices.DeleteFunc(slices.Clone(t.effects), func(e twinEffect) bool {
		return e.spread < least
	})
	return t
}

// twinLaw is the distribution of a twin: its 0 is the output at the estimates.
type twinLaw struct {
	*sumlaw.Law
	mean     float64 // 0 but for curves and for inputs whose estimate is not their mean
	variance float64 // infinite where there is none
	u        float64 // its root, also where float64 does not hold the variance
}

// law finds the distribution of a twin. It is false where that cannot be told to 1e-9.
// Terms of one input each, and one for each group, whose members are no terms by themselves.
func (m *model) law(t twinModel) (twinLaw, bool) {
	if m.lawOutOfReach(t) {
		return twinLaw{}, false
	}
	var terms []sumlaw.Term
	mean, variance := 0.0, 0.0
	slopes := make([]float64, len(m.inputs)) // of the members of groups
	for _, e := range t.effects {
		s := m.inputs[e.slot]
		if s.group != nil {
			slopes[e.slot] = e.Slope
			continue
		}
		m1, v := e.moments(s)
		mean, variance = mean+m1, variance+v
		term, closed := e.term(s.dist)
		if len(t.effects) == 1 && e.Curve == nil && !closed {
			// The law of the one input is that of the sum: nothing to convolve.
			return twinLaw{sumlaw.Single(e.quantile(s.dist)), mean, variance,
				m.rootOf(t, variance)}, true
		}
		terms = append(terms, term)
	}
	for _, g := range m.groups {
		term, v, ok := m.groupTerm(g, slopes)
		if ok {
			terms = append(terms, term)
			variance += v
		}
	}
	known, ok := sumlaw.New(terms...)
	if !ok {
		return twinLaw{}, false
	}
	m1, v := known.Known()
	return twinLaw{known, mean + m1, variance + v, m.rootOf(t, variance+v)}, true
}

// rootOf is the standard deviation of a twin of the given variance. Squares that float64 does not
// hold are added up by Hypot; of curves and groups no more is known then, and it is 0.
func (m *model) rootOf(t twinModel, variance float64) float64 {
	u := math.Sqrt(variance)
	if variance > smallestSquare {
		return u
	}
	u = 0
	for _, e := range t.effects {
		s := m.inputs[e.slot]
		if e.Curve != nil || s.group != nil {
			return 0
		}
		u = elementary.Hypot(u, e.Slope*s.dist.StdDev())
	}
	return u
}

// moments returns expectation and variance of an effect as far as they follow from those of its
// input. Those of a curve are 0 here: the law of the sum finds them by quadrature
// ([sumlaw.Law.Known]); but a curve of an input without a variance is taken to have none either.
func (e *twinEffect) moments(s *source) (mean, variance float64) {
	u := s.dist.StdDev()
	if e.Curve == nil {
		mean, variance = e.At(s.dist.Mean()), float64(float64(e.Slope*u)*float64(e.Slope*u))
	}
	if math.IsInf(u, 1) {
		variance = math.Inf(1)
	}
	return mean, variance
}

// term is the part of a sum that an effect makes of the law of its input: in closed form where
// package sumlaw has one, else by the quantiles of the input, which the effect moves.
func (e *twinEffect) term(d Distribution) (t sumlaw.Term, closed bool) {
	if l, own := d.(law); own && e.Curve == nil {
		if t, closed = termOf(l, math.Abs(e.Slope)); closed {
			return t, true
		}
	}
	return sumlaw.Known(func(p float64) float64 { return e.At(d.Quantile(p)) }, e.Curve != nil),
		false
}

// quantile is the quantile function of a linear effect alone: a falling line takes the upper
// quantiles of the input to its own lower ones.
func (e *twinEffect) quantile(d Distribution) func(p float64) float64 {
	return func(p float64) float64 {
		if e.Slope < 0 {
			p = 1 - p
		}
		return e.At(d.Quantile(p))
	}
}

// termOf returns a law of this package about its estimate, times c > 0, where the package
// sumlaw has it in closed form. The laws of that package are symmetric, so that the sign of a
// sensitivity does not matter; exponential and counts are not, and go by their quantiles. A
// triangle is two rectangles of half its width, a trapezoid two of half-widths a(1 ± β)/2 (JCGM 101
// 6.4.4 and 6.4.5).
func termOf(l law, c float64) (sumlaw.Term, bool) {
	a := c * l.a
	switch l.kind {
	case normal:
		return sumlaw.Normal(a), true
	case student:
		return sumlaw.StudentT(a, l.dof), true
	case rectangular:
		return sumlaw.Rectangles(a, 0), true
	case triangular:
		return sumlaw.Rectangles(a/2, a/2), true
	case trapezoidal:
		return sumlaw.Rectangles(a*(1+l.b)/2, a*(1-l.b)/2), true
	case arcsine:
		return sumlaw.Arcsine(a), true
	case curvilinear:
		return sumlaw.RandomWidth(a, c*l.b), true
	}
	return sumlaw.Term{}, false
}

// groupTerm is the part of a linear twin that comes from correlated inputs: a linear
// function of jointly normal quantities is normal, one of a multivariate t-distribution has
// a t-distribution of as many degrees of freedom (JCGM 102 5.3.2). With V the covariance matrix and
// c the slopes, square = cᵀ·V·c is the squared scale, and ν/(ν − 2) times that the variance of the
// t; the mean is 0. It is false for a group that the twin does not contain.
func (m *model) groupTerm(g members,
	slopes []float64) (term sumlaw.Term, variance float64, ok bool) {
	square := m.within(g, slopes, slopes)
	if !(square > 0) {
		return sumlaw.Term{}, 0, false
	}
	dof := m.inputs[g.slots[0]].drawnDOF()
	if math.IsInf(dof, 1) {
		return sumlaw.Normal(math.Sqrt(square)), square, true
	}
	if g.observed > 0 {
		square *= g.dof / dof // as jointOf scales it
	}
	variance = math.Inf(1)
	if dof > 2 {
		variance = square * dof / (dof - 2)
	}
	return sumlaw.StudentT(math.Sqrt(square), dof), variance, true
}
