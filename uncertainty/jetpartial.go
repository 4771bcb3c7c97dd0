// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"example.com/ohmwright/uncertainty/elementary"
)

// partials are the derivatives of a node f(a, b) of two arguments, to third order: ab is ∂²f/∂a∂b,
// aab is ∂³f/∂a²∂b. Of a node of one argument a, aa and aaa are used.
type partials struct{ a, b, aa, ab, bb, aaa, aab, abb, bbb float64 }

// change returns the jets of the first derivatives by a and by b.
func (t *partials) change(a, b jet) (da, db jet) {
	// The three products of slopes that second derivatives are made of.
	aa, ab, bb := float64(a.v1*a.v1), float64(a.v1*b.v1), float64(b.v1*b.v1)
	// f_a and f_b are functions of a and b: their jets follow as that of f did.
	da.v1 = float64(t.aa*a.v1) + float64(t.ab*b.v1)
	db.v1 = float64(t.ab*a.v1) + float64(t.bb*b.v1)
	da.v2 = float64(t.aaa*aa) + 2*float64(t.aab*ab) + float64(t.abb*bb) + float64(t.aa*a.v2) +
		float64(t.ab*b.v2)
	db.v2 = float64(t.aab*aa) + 2*float64(t.abb*ab) + float64(t.bbb*bb) + float64(t.ab*a.v2) +
		float64(t.bb*b.v2)
	return da, db
}

// local finds the derivatives of a node of two arguments at the estimates.
func (n *node) local() partials {
	x, y := n.a.value, n.b.value
	switch n.op {
	case opMul:
		return partials{a: y, b: x, ab: 1} // every other one is 0
	case opDiv:
		i := 1 / y
		i2 := float64(i * i)
		// x/y: ∂/∂b = −x/y², ∂²/∂b² = 2x/y³, ∂³/∂b³ = −6x/y⁴
		return partials{a: i, b: -x * i2, ab: -i2, bb: 2 * x * i2 * i, abb: 2 * i2 * i,
			bbb: -6 * x * i2 * i2}
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
		if c == 0 { // 0·x^negative would be NaN at x = 0
			return 0
		}
		return c * elementary.Pow(x, y-k)
	}
	// ∂/∂x of x^y is y·x^(y−1), and so on.
	t := partials{a: falling(1), aa: falling(2), aaa: falling(3)}
	// Of a fixed exponent nothing more is asked; of x ≤ 0 there is no logarithm.
	if n.b.op == opExact || x <= 0 {
		return t
	}
	v, l := n.value, elementary.Log(x)
	p1, p2 := elementary.Pow(x, y-1), elementary.Pow(x, y-2)
	// ∂/∂y of x^y is x^y·ln x.
	t.b, t.bb, t.bbb = v*l, v*l*l, v*l*l*l
	// ∂²/∂x∂y = x^(y−1)·(1 + y·ln x), and its derivatives.
	t.ab = p1 * (1 + float64(y*l))
	t.aab = p2 * (2*y - 1 + float64(y*(y-1)*l))
	t.abb = p1 * (2*l + float64(y*l*l))
	return t
}

// curvatures returns the first three derivatives of a node of one argument.
func (n *node) curvatures() (g1, g2, g3 float64) {
	x, v := n.a.value, n.value
	g1 = n.da
	switch n.op {
	case opSqrt:
		if x == 0 {
			return 0, 0, 0 // an exact 0
		}
		// g = ½·x^(−½), and each derivative divides by x: −½, −3/2.
		g2 = -g1 / (2 * x)
		g3 = -3 * g2 / (2 * x)
	case opExp:
		g2, g3 = v, v // its own derivative
	case opLog:
		g2, g3 = -g1*g1, 2*g1*g1*g1 // 1/x, −1/x², 2/x³
	case opSin, opCos:
		g2, g3 = -v, -g1 // the second derivative is minus the function
	case opTan:
		// g = 1 + tan²
		g2 = 2 * v * g1
		g3 = 2 * g1 * (g1 + float64(2*v*v))
	case opAsin, opAcos:
		// 1 − x² loses digits near ±1, this product does not.
		w := 1 / ((1 - x) * (1 + x))
		g2 = g1 * x * w
		g3 = g1 * w * (1 + float64(3*x*x*w))
	case opAtan:
		// g = 1/(1 + x²)
		g2 = -2 * x * g1 * g1
		g3 = g1 * g1 * (float64(8*x*x*g1) - 2)
	}
	return g1, g2, g3
}
