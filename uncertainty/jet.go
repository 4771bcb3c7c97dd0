// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"
)

// A jet is the value of a node along a line through the estimates,
//
//	v(s) = v + v1·s + v2·s²/2 + …
//
// jets carries them through the model. Forward, one sweep gives both derivatives along
// a direction; backward from v1 and v2 of the measurand, one sweep gives how these
// change with every input: a row of the second derivatives, and third derivatives
// summed along the direction.
type jets struct {
	m      *model
	v1, v2 []float64
	adj    [2][3][]float64 // of v1 and of v2: adjoints of v, v1 and v2
}

// below returns the edges to the arguments of a node.
func (m *model) below(i int) []edge {
	first := 0
	if i > 0 {
		first = m.ends[i-1]
	}
	return m.edges[first:m.ends[i]]
}

func newJets(m *model) *jets {
	s := &jets{m: m, v1: make([]float64, len(m.nodes)), v2: make([]float64, len(m.nodes))}
	for i := range s.adj {
		for k := range s.adj[i] {
			s.adj[i][k] = make([]float64, len(m.nodes))
		}
	}
	return s
}

// forward returns v2 of the measurand.
func (s *jets) forward(y *node, d direction) float64 {
	for i, n := range s.m.nodes {
		s.v1[i], s.v2[i] = s.node(i, n, d)
	}
	return s.v2[s.m.place(y)]
}

func (s *jets) node(i int, n *node, d direction) (v1, v2 float64) {
	if slot := s.m.slot[i]; slot >= 0 {
		if k := slices.Index(d.slots, slot); k >= 0 {
			return d.step[k], 0
		}
		return 0, 0
	}
	if x, ok := n.aux.(*many); ok {
		if n.op == opCall {
			return s.curve(i, x).here()
		}
		for _, e := range s.m.below(i) {
			v1 += float64(e.d * s.v1[e.to])
			v2 += float64(e.d * s.v2[e.to])
		}
		return v1, v2
	}
	if n.a == nil {
		return 0, 0
	}
	below := s.m.below(i)
	a := int(below[0].to)
	a1, a2 := s.v1[a], s.v2[a]
	if n.b == nil {
		g1, g2, _ := n.bends()
		return float64(g1 * a1), float64(g2*float64(a1*a1)) + float64(g1*a2)
	}
	b := int(below[1].to)
	b1, b2 := s.v1[b], s.v2[b]
	t := n.local()
	v1 = float64(t.a*a1) + float64(t.b*b1)
	v2 = float64(t.a*a2) + float64(t.b*b2) + float64(t.aa*float64(a1*a1)) + 2*float64(t.ab*float64(a1*b1)) + float64(t.bb*float64(b1*b1))
	return v1, v2
}

// backward returns, by source, the derivatives of v1 and of v2 of the measurand.
func (s *jets) backward(y *node) (slope, bend []float64) {
	var out [2][]float64
	top := s.m.place(y)
	for f := range s.adj {
		adj := &s.adj[f]
		for k := range adj {
			clear(adj[k])
		}
		adj[f+1][top] = 1
		out[f] = make([]float64, len(s.m.inputs))
		for i := top; i >= 0; i-- {
			p, q, r := adj[0][i], adj[1][i], adj[2][i]
			if p == 0 && q == 0 && r == 0 {
				continue
			}
			if slot := s.m.slot[i]; slot >= 0 {
				out[f][slot] += p
				continue
			}
			s.pull(adj, i, p, q, r)
		}
	}
	return out[0], out[1]
}

// pull hands the adjoints p, q, r of a node's v, v1 and v2 down to its arguments.
func (s *jets) pull(adj *[3][]float64, i int, p, q, r float64) {
	n := s.m.nodes[i]
	add := func(k int, dp, dq, dr float64) {
		adj[0][k] += dp
		adj[1][k] += dq
		adj[2][k] += dr
	}
	if x, ok := n.aux.(*many); ok {
		s.pullMany(adj, i, x, p, q, r)
		return
	}
	if n.a == nil {
		return
	}
	below := s.m.below(i)
	a := int(below[0].to)
	a1, a2 := s.v1[a], s.v2[a]
	if n.b == nil {
		g1, g2, g3 := n.bends()
		add(a, float64(p*g1)+float64(q*g2*a1)+float64(r*(float64(g3*a1*a1)+float64(g2*a2))), float64(q*g1)+2*float64(r*g2*a1), float64(r*g1))
		return
	}
	b := int(below[1].to)
	b1, b2 := s.v1[b], s.v2[b]
	t := n.local()
	// v1 and v2 of the first and second derivatives themselves.
	daa := float64(t.aa*a1) + float64(t.ab*b1)
	dbb := float64(t.ab*a1) + float64(t.bb*b1)
	taa := float64(t.aaa*a1*a1) + 2*float64(t.aab*a1*b1) + float64(t.abb*b1*b1) + float64(t.aa*a2) + float64(t.ab*b2)
	tbb := float64(t.aab*a1*a1) + 2*float64(t.abb*a1*b1) + float64(t.bbb*b1*b1) + float64(t.ab*a2) + float64(t.bb*b2)
	add(a, float64(p*t.a)+float64(q*daa)+float64(r*taa), float64(q*t.a)+2*float64(r*daa), float64(r*t.a))
	add(b, float64(p*t.b)+float64(q*dbb)+float64(r*tbb), float64(q*t.b)+2*float64(r*dbb), float64(r*t.b))
}

func (s *jets) pullMany(adj *[3][]float64, i int, x *many, p, q, r float64) {
	var c curve
	if s.m.nodes[i].op == opCall {
		c = s.curve(i, x)
	}
	for k, e := range s.m.below(i) {
		d := e.d
		if c.f != nil && x.args[k].bound == 0 && c.bound[k] > 0 {
			d = c.slope(k) // no derivative was needed to first order
		}
		dp, dq, dr := float64(p*d), float64(q*d), float64(r*d)
		if c.f != nil && c.bound[k] > 0 && (q != 0 || r != 0) {
			d1, d2 := c.change(k)
			dp += float64(q*d1) + float64(r*d2)
			dq += 2 * float64(r*d1)
		}
		adj[0][e.to] += dp
		adj[1][e.to] += dq
		adj[2][e.to] += dr
	}
}

// partials are the derivatives of a node of two arguments, to third order.
type partials struct{ a, b, aa, ab, bb, aaa, aab, abb, bbb float64 }

func (n *node) local() partials {
	x, y := n.a.value, n.b.value
	switch n.op {
	case opMul:
		return partials{a: y, b: x, ab: 1}
	case opDiv:
		i := 1 / y
		i2 := i * i
		return partials{a: i, b: -x * i2, ab: -i2, bb: 2 * x * i2 * i, abb: 2 * i2 * i, bbb: -6 * x * i2 * i2}
	case opPow:
		return n.powerPartials(x, y)
	default: // sums
		return partials{a: n.da, b: n.db}
	}
}

// powerPartials are those of x^y; a fixed exponent needs no logarithm.
func (n *node) powerPartials(x, y float64) partials {
	falling := func(k float64) float64 { // of x^(y−k): its coefficient vanishes first
		c := 1.0
		for i := range int(k) {
			c *= y - float64(i)
		}
		if c == 0 {
			return 0
		}
		return c * math.Pow(x, y-k)
	}
	t := partials{a: falling(1), aa: falling(2), aaa: falling(3)}
	if n.b.op == opExact || x <= 0 {
		return t
	}
	v, l := n.value, math.Log(x)
	p1, p2 := math.Pow(x, y-1), math.Pow(x, y-2)
	t.b, t.bb, t.bbb = v*l, v*l*l, v*l*l*l
	t.ab = p1 * (1 + y*l)
	t.aab = p2 * (2*y - 1 + y*(y-1)*l)
	t.abb = p1 * (2*l + y*l*l)
	return t
}

// bends returns the first three derivatives of a node of one argument.
func (n *node) bends() (g1, g2, g3 float64) {
	x, v := n.a.value, n.value
	g1 = n.da
	switch n.op {
	case opSqrt:
		if x == 0 {
			return 0, 0, 0 // an exact 0
		}
		g2 = -g1 / (2 * x)
		g3 = -3 * g2 / (2 * x)
	case opExp:
		g2, g3 = v, v
	case opLog:
		g2, g3 = -g1*g1, 2*g1*g1*g1
	case opSin, opCos:
		g2, g3 = -v, -g1
	case opTan:
		g2 = 2 * v * g1
		g3 = 2 * g1 * (g1 + 2*v*v)
	case opAsin, opAcos:
		w := 1 / ((1 - x) * (1 + x))
		g2 = g1 * x * w
		g3 = g1 * w * (1 + 3*x*x*w)
	case opAtan:
		g2 = -2 * x * g1 * g1
		g3 = g1 * g1 * (8*x*x*g1 - 2)
	}
	return g1, g2, g3
}

// curve follows a Call along the jets of its arguments: differences of f along the
// curve give v1 and v2, differences of these between displaced arguments give how they
// change.
type curve struct {
	f      func(x []float64) float64
	x      []float64
	v1, v2 []float64 // of the arguments
	bound  []float64 // on the uncertainty of each, never 0 where it varies
}

const curveStep = 0.25 // of a standard uncertainty

func (s *jets) curve(i int, x *many) curve {
	c := curve{f: x.f}
	for k, e := range s.m.below(i) {
		c.x = append(c.x, x.args[k].value)
		c.v1, c.v2 = append(c.v1, s.v1[e.to]), append(c.v2, s.v2[e.to])
		c.bound = append(c.bound, max(x.args[k].bound, math.Abs(s.v2[e.to])))
	}
	return c
}

// at returns f at step i−1 along the curve, argument k displaced.
func (c curve) at(i, k int, by float64) float64 {
	h := curveStep * float64(i-1)
	x := make([]float64, len(c.x))
	for j, v := range c.x {
		x[j] = v + float64(h*c.v1[j]) + float64(h*h*c.v2[j])/2
	}
	x[k] += by
	return c.f(x)
}

// here returns v1 and v2 at the estimates.
func (c curve) here() (v1, v2 float64) {
	if len(c.x) == 0 {
		return 0, 0
	}
	low, mid, high := c.at(0, 0, 0), c.at(1, 0, 0), c.at(2, 0, 0)
	return c.first(low, high), c.second(low, mid, high)
}

func (c curve) first(low, high float64) float64 { return (high - low) / (2 * curveStep) }

func (c curve) second(low, mid, high float64) float64 {
	return (high - 2*mid + low) / (curveStep * curveStep)
}

// slope is the derivative of f by argument k.
func (c curve) slope(k int) float64 {
	e := curveStep * c.bound[k]
	return (c.at(1, k, e) - c.at(1, k, -e)) / (2 * e)
}

// change returns the derivatives of v1 and v2 by argument k.
func (c curve) change(k int) (d1, d2 float64) {
	e := curveStep * c.bound[k]
	var f [2][3]float64
	for side := range f {
		for i := range f[side] {
			f[side][i] = c.at(i, k, e*float64(2*side-1))
		}
	}
	up, down := f[1], f[0]
	d1 = (c.first(up[0], up[2]) - c.first(down[0], down[2])) / (2 * e)
	d2 = (c.second(up[0], up[1], up[2]) - c.second(down[0], down[1], down[2])) / (2 * e)
	return d1, d2
}
