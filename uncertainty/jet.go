// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file finds second and third derivatives without a table of them for each node. Along a line
// x(s) = x + s·t through the estimates the measurand is a function of one variable s, and a sweep
// forward carries its first two derivatives from the inputs up:
//
//	v1 = Σ f_i·t_i, v2 = Σ Σ f_ij·t_i·t_j.
//
// That number v2 is again a function of the inputs x and of the direction t. A sweep backward, by
// the rule of gradient.go, gives its derivatives by all of them at once:
//
//	½·∂v2/∂t_i = Σ_j f_ij·t_j (slope), ∂v2/∂x_i = Σ_j Σ_k f_ijk·t_j·t_k (bend).
//
// With t along input j alone these are f_ij·u_j and f_ijj·u_j², all that the variance of second
// order needs of j (GUM 5.1.2, note). So n inputs cost 2n sweeps, where differences would cost n²
// evaluations for each of the two, and digits.

// A jet is the value of a node along a line through the estimates,
//
//	v(s) = v + v1·s + v2·s²/2 + …
//
// v itself is node.value, the same for all lines.
type jet struct{ v1, v2 float64 }

// jets carries them through the model. Forward, one sweep gives both derivatives along
// a direction; backward from v2 of the measurand, one sweep gives how it changes with
// every input, third derivatives summed along the direction, and how it changes with v1
// of every input, which is twice a row of the second derivatives.
type jets struct {
	model *model
	steps []jetStep // by node
	v     []jet     // by node
	adj   []adjoint // by node: of v2 of the measurand

	along       []float64 // by input: the direction
	slope, bend []float64 // by input: results of backward
}

// adjoint holds the derivatives of the measurand's v2 with respect to v, v1 and v2 of a node.
type adjoint struct{ v, v1, v2 float64 }

// add collects what one use of the node contributes.
func (d *adjoint) add(v, v1, v2 float64) {
	d.v += v
	d.v1 += v1
	d.v2 += v2
}

// jetStep is what the sweeps need of a node.
type jetStep struct {
	form jetForm
	a, b int32    // places of the arguments; of an input, a is its slot
	d    partials // of a node of one argument: a, aa and aaa
}

type jetForm uint8

const (
	jetFixed jetForm = iota
	jetInput
	jetChain   // of one argument, by the chain rule
	jetSum     // of two, linear in both
	jetProduct // of two, with no second derivative but the mixed one
	jetPair    // of two, by all partial derivatives
	jetLinear  // of many, by coefficients
	jetCall    // of many, by differences
)

// newJets prepares the sweeps over a compiled model; one serves all directions.
func newJets(m *model) *jets {
	s := &jets{
		model: m, steps: make([]jetStep, len(m.nodes)), v: make([]jet, len(m.nodes)),
		adj:   make([]adjoint, len(m.nodes)),
		along: make([]float64, len(m.inputs)), slope: make([]float64, len(m.inputs)),
		bend: make([]float64, len(m.inputs)),
	}
	for i, n := range m.nodes {
		s.steps[i] = m.jetStep(i, n)
	}
	return s
}

// jetStep finds the rule of a node and the derivatives that it needs.
func (m *model) jetStep(i int, n *node) jetStep {
	below := m.below(i)
	switch {
	case m.slot[i] >= 0:
		return jetStep{form: jetInput, a: int32(m.slot[i])}
	case n.op == opCall:
		return jetStep{form: jetCall}
	case n.op == opLinear:
		return jetStep{form: jetLinear}
	case n.a == nil:
		return jetStep{}
	// opExact: it does not vary along any line.
	case n.b == nil:
		g1, g2, g3 := n.curvatures()
		return jetStep{form: jetChain, a: below[0].to, d: partials{a: g1, aa: g2, aaa: g3}}
	}
	t := jetStep{form: jetPair, a: below[0].to, b: below[1].to, d: n.local()}
	switch n.op {
	case opAdd, opSub:
		t.form = jetSum
	case opMul:
		t.form = jetProduct
	}
	return t
}

// below returns the edges to the arguments of a node.
func (m *model) below(i int) []edge {
	// The edges of all nodes stand one after the other; ends[i] is where those of node i end.
	first := 0
	if i > 0 {
		first = m.ends[i-1]
	}
	return m.edges[first:m.ends[i]]
}

// forward returns v2 of the node in the given place.
func (s *jets) forward(top int, d direction) float64 {
	// v = x + s·step along the line: v1 is the step and v2 is 0.
	clear(s.along)
	for k, slot := range d.slots {
		s.along[slot] = d.step[k]
	}
	for i := range s.steps {
		t := &s.steps[i]
		switch t.form {
		case jetFixed:
		case jetInput:
			s.v[i].v1 = s.along[t.a]
		case jetChain:
			a := s.v[t.a]
			// (g∘a)′ = g′·a′ and (g∘a)″ = g″·a′² + g′·a″
			s.v[i] = jet{float64(t.d.a * a.v1), float64(t.d.aa*float64(a.v1*a.v1)) +
				float64(t.d.a*a.v2)}
		case jetLinear:
			s.v[i] = s.sum(i)
		case jetCall:
			s.v[i].v1, s.v[i].v2 = s.curve(i, s.model.nodes[i].aux.(*many)).here()
		// jetPair, jetSum and jetProduct.
		default:
			s.v[i] = t.pair(s.v[t.a], s.v[t.b])
		}
	}
	return s.v[top].v2
}

// pair is the jet of a node of two arguments.
func (t *jetStep) pair(a, b jet) jet {
	v := jet{float64(t.d.a*a.v1) + float64(t.d.b*b.v1), float64(t.d.a*a.v2) + float64(t.d.b*b.v2)}
	switch t.form {
	case jetSum: // without second derivatives
	case jetProduct:
		// (a·b)″ = a″·b + 2·a′·b′ + a·b″
		v.v2 += 2 * float64(a.v1*b.v1)
	default:
		// f_aa·a′² + 2·f_ab·a′·b′ + f_bb·b′²
		v.v2 += float64(t.d.aa*float64(a.v1*a.v1)) + 2*float64(t.d.ab*float64(a.v1*b.v1)) +
			float64(t.d.bb*float64(b.v1*b.v1))
	}
	return v
}

// sum is the jet of a linear combination.
func (s *jets) sum(i int) (v jet) {
	for _, e := range s.model.below(i) {
		v.v1 += float64(e.d * s.v[e.to].v1)
		v.v2 += float64(e.d * s.v[e.to].v2)
	}
	return v
}

// backward returns, by input, the derivatives of v1 and of v2 of the node in the given
// place with respect to the input, until the next call.
func (s *jets) backward(top int) (slope, bend []float64) {
	clear(s.adj)
	clear(s.slope)
	clear(s.bend)
	// The result is v2 of the measurand: its derivative by itself is 1.
	s.adj[top].v2 = 1
	for i := top; i >= 0; i-- {
		w := s.adj[i]
		// Nothing above depends on the node.
		if w == (adjoint{}) {
			continue
		}
		t := &s.steps[i]
		switch t.form {
		case jetFixed:
		case jetInput:
			// v2 holds f_ij·s_i·s_j twice, as (i, j) and (j, i): half its derivative is the row.
			s.slope[t.a] += w.v1 / 2
			s.bend[t.a] += w.v
		case jetChain:
			t.pullOne(w, s.v[t.a], &s.adj[t.a])
		case jetLinear:
			// A linear node changes nothing but the scale.
			for _, e := range s.model.below(i) {
				s.adj[e.to].add(float64(w.v*e.d), float64(w.v1*e.d), float64(w.v2*e.d))
			}
		case jetCall:
			s.pullCall(i, w)
		default:
			t.pullPair(w, s.v[t.a], s.v[t.b], &s.adj[t.a], &s.adj[t.b])
		}
	}
	return s.slope, s.bend
}

// pullOne hands the adjoints of a node down to its argument, pullPair to both.
func (t *jetStep) pullOne(w adjoint, a jet, to *adjoint) {
	g1, g2, g3 := t.d.a, t.d.aa, t.d.aaa
	// v, v1 and v2 of the node are g, g′·a1 and g″·a1² + g′·a2: their derivatives by a, a1 and a2.
	to.add(float64(w.v*g1)+float64(w.v1*g2*a.v1)+
		float64(w.v2*(float64(g3*a.v1*a.v1)+float64(g2*a.v2))),
		float64(w.v1*g1)+2*float64(w.v2*g2*a.v1), float64(w.v2*g1))
}

// pullPair is the same with the jets of the two first derivatives in place of g″·a.
func (t *jetStep) pullPair(w adjoint, a, b jet, toA, toB *adjoint) {
	// v1 and v2 of the first derivatives themselves
	var da, db jet
	switch t.form {
	case jetSum:
	case jetProduct:
		da, db = b, a // ∂(a·b)/∂a is b, and the other way round
	default:
		da, db = t.d.change(a, b)
	}
	toA.add(float64(w.v*t.d.a)+float64(w.v1*da.v1)+float64(w.v2*da.v2),
		float64(w.v1*t.d.a)+2*float64(w.v2*da.v1), float64(w.v2*t.d.a))
	toB.add(float64(w.v*t.d.b)+float64(w.v1*db.v1)+float64(w.v2*db.v2),
		float64(w.v1*t.d.b)+2*float64(w.v2*db.v1), float64(w.v2*t.d.b))
}
