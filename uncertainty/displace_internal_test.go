// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "testing"

// Inputs of a sum are straight, those below a product, a quotient or a function are not, and an
// input that is below both is not either.
func TestStraightInputs(t *testing.T) {
	input := func(name string) Quantity { return Input(name, Rectangular(2, 0.1)) }
	a, b, c, d, e := input("a"), input("b"), input("c"), input("d"), input("e")
	y := Linear(1, []float64{1, -2, 1}, []Quantity{a.Add(c).Scale(3), b.Mul(c), d.Sub(e.Neg()).Add(Exp(e))}).Named("y")
	m := newModel()
	if err := m.compile(y.n); err != nil {
		t.Fatal(err)
	}
	m.backward(y.n)
	straight := m.linearInputs(m.place(y.n))
	want := map[string]bool{"a": true, "b": false, "c": false, "d": true, "e": false}
	for i, s := range m.inputs {
		if straight[i] != want[s.name] {
			t.Errorf("%s: straight %v; expected %v", s.name, straight[i], want[s.name])
		}
	}
	if len(m.inputs) != len(want) {
		t.Errorf("%d inputs; expected %d", len(m.inputs), len(want))
	}
}

// A unit reads the same whether it is one of the ordinary ones or not.
func TestOrdinaryUnits(t *testing.T) {
	for symbol, u := range ordinary() {
		if v := read(symbol); !u.same(v) || u.symbol != v.symbol {
			t.Errorf("%s: %v; expected %v", symbol, u, v)
		}
	}
	if u := state(""); u.symbol != "" || !u.IsZero() {
		t.Errorf("no unit: %v", u)
	}
}

// A factor or divisor that is exact bends nothing, on either side of a product; an uncertain
// one does, and so does an exact number over an uncertain one.
func TestExactFactorsBendNothing(t *testing.T) {
	x, y, two := Input("x", Normal(3, 0.1)), Input("y", Normal(4, 0.1)), Exact(2)
	for _, c := range []struct {
		what  string
		q     Quantity
		bends bool
	}{
		{"x·2", x.Mul(two), false},
		{"2·x", two.Mul(x), false},
		{"x/2", x.Div(two), false},
		{"x·y", x.Mul(y), true},
		{"x/y", x.Div(y), true},
		{"2/y", two.Div(y), true},
		{"x^2", Pow(x, two), true},
		{"2^x", Pow(two, x), true},
		{"exp x", Exp(x), true},
	} {
		m := newModel()
		if err := m.compile(c.q.n); err != nil {
			t.Fatal(err)
		}
		m.backward(c.q.n)
		if got := m.isCurved(m.place(c.q.n)); got != c.bends {
			t.Errorf("%s: bends %v; expected %v", c.what, got, c.bends)
		}
	}
}
