// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"

	"example.com/ohmwright/uncertainty/unit"
)

// This file checks the stated units of a model and finds that of the result.
//
// No honest model is refused: what states no unit, or one that is not known, fits
// everything; so do exact constants and the coefficients of Linear and Scale, which may
// carry any unit, and the results of exp, log and Call. A sum of ohms and volts, or of
// ohms and milliohms without a factor, is not honest; nor is the sine of degrees.

// measured is what is known of the unit of a node.
type measured struct {
	unit.Unit
	symbol string // as printed; empty where it cannot be told
}

// findUnits finds the unit of each node. It costs nothing where no source states one.
func (m *model) findUnits() error {
	stated := false
	for _, n := range m.nodes {
		switch x := n.aux.(type) {
		case *source:
			stated = stated || x.unit != ""
		case *many:
			stated = stated || x.unit != ""
		}
	}
	if !stated {
		return nil
	}
	m.units = make([]measured, len(m.nodes))
	var found causes
	for i, n := range m.nodes {
		var err error
		if m.units[i], err = m.unitOf(n); err != nil {
			found = append(found, err)
		}
	}
	switch len(found) {
	case 0:
		return nil
	case 1:
		return found[0]
	}
	return found
}

// unit returns the unit of a measurand as printed, where it can be told.
func (m *model) unit(y *node) string {
	if m.units == nil {
		return ""
	}
	return m.units[m.place(y)].symbol
}

func (m *model) unitOf(n *node) (measured, error) {
	at := func(arg *node) measured { return m.units[m.place(arg)] }
	switch n.op {
	case opInput:
		return state(n.aux.(*source).unit), nil
	case opNamed, opNeg:
		return at(n.a), nil
	case opScale: // the factor may carry a unit
		return measured{symbol: at(n.a).symbol}, nil
	case opAdd, opSub:
		return m.sum(n, []*node{n.a, n.b})
	case opMul, opDiv:
		return productUnit(n, at(n.a), at(n.b)), nil
	case opSqrt:
		return named(at(n.a).Pow(0.5)), nil
	case opPow:
		return m.raise(n)
	case opLinear:
		return m.linear(n)
	case opExp, opLog:
		return measured{}, m.number(n)
	case opSin, opCos, opTan, opAsin, opAcos, opAtan:
		return measured{pure(), "1"}, m.number(n)
	}
	return measured{}, nil // constants and calls
}

func state(symbol string) measured {
	if symbol == "" {
		return measured{}
	}
	u, _ := unit.ParseUnit(symbol) // one that is not known is printed and not checked
	return measured{u, symbol}
}

// named gives a derived unit the symbol under which it is printed, if it has one.
func named(u unit.Unit) measured {
	if u.Factor() != 1 {
		return measured{Unit: u}
	}
	return measured{u, u.Coherent()}
}

// pure is the unit of numbers.
func pure() unit.Unit { return unit.Fraction.Unit() }

// sum is the unit of a sum: that of its terms, which must agree where they are known.
func (m *model) sum(n *node, terms []*node) (measured, error) {
	var sum measured
	var first *node
	for _, term := range terms {
		u := m.units[m.place(term)]
		switch {
		case u.IsZero():
		case sum.IsZero():
			sum, first = u, term
		case !sum.Equal(u.Unit):
			text := fmt.Sprintf("%s adds %s and %s; expected terms of one unit", opNames[n.op], sum.describe(first), u.describe(term))
			return measured{}, &Error{Op: "uncertainty.Evaluate", Name: inputNames(n), Err: unit.Errorf(ErrUnitMismatch, "%s", text)}
		case sum.symbol == "":
			sum.symbol = u.symbol
		}
	}
	if sum.IsZero() {
		sum.symbol = m.commonSymbol(terms)
	}
	return sum, nil
}

// commonSymbol returns the symbol of all terms that have one, if it is the same.
func (m *model) commonSymbol(terms []*node) string {
	var symbol string
	for _, term := range terms {
		switch s := m.units[m.place(term)].symbol; {
		case s == "" || s == symbol:
		case symbol == "":
			symbol = s
		default:
			return ""
		}
	}
	return symbol
}

// describe names a term and its unit in an error.
func (u measured) describe(n *node) string {
	symbol := u.symbol
	if symbol == "" {
		symbol = fmt.Sprintf("another unit (%.4g times a coherent one)", u.Factor())
	}
	name := Quantity{n}.Name()
	if name == "" {
		name = "a result of " + inputNames(n)
	}
	return fmt.Sprintf("%s in %s", name, symbol)
}

func productUnit(n *node, a, b measured) measured {
	power := 1.0
	if n.op == opDiv {
		power = -1
	}
	u := named(a.Mul(b.Pow(power)))
	// A factor without a unit of its own leaves the symbol of the other.
	switch {
	case u.symbol != "":
	case b.neutral(n.b):
		u.symbol = a.symbol
	case n.op == opMul && a.neutral(n.a):
		u.symbol = b.symbol
	case n.op == opDiv && a.symbol != "" && a.symbol == b.symbol:
		u.symbol = "1"
	}
	return u
}

func (u measured) neutral(n *node) bool { return n.op == opExact || u.symbol == "1" }

// raise is the unit of a power with an exact exponent; others need a plain number, or
// cannot be told.
func (m *model) raise(n *node) (measured, error) {
	base, exponent := m.units[m.place(n.a)], m.units[m.place(n.b)]
	if !exponent.IsZero() && !exponent.Equal(pure()) {
		text := fmt.Sprintf("Pow has the exponent %s; expected a number", exponent.describe(n.b))
		return measured{}, &Error{Op: "uncertainty.Evaluate", Name: inputNames(n.b), Err: unit.Errorf(ErrUnitMismatch, "%s", text)}
	}
	if n.b.op != opExact {
		if base.Equal(pure()) {
			return named(pure()), nil
		}
		return measured{}, nil
	}
	return named(base.Pow(n.b.value)), nil
}

// linear is the unit of a sum with coefficients, which may carry units of their own.
func (m *model) linear(n *node) (measured, error) {
	x := n.aux.(*many)
	switch {
	case x.unit != "":
		return m.stated(n, x)
	case x.sum:
		return m.sum(n, x.args)
	}
	return measured{symbol: m.commonSymbol(x.args)}, nil
}

// mixed marks a unit that cannot be told.
const mixed = "\x00"

// stated is the unit of a record, or that given by InUnit, which must not contradict
// the model.
func (m *model) stated(n *node, x *many) (measured, error) {
	if x.unit == mixed {
		return measured{}, nil
	}
	own := state(x.unit)
	if !x.sum {
		return own, nil
	}
	if u := m.units[m.place(x.args[0])]; !u.IsZero() && !own.IsZero() && !u.Equal(own.Unit) {
		text := fmt.Sprintf("%s, stated in %s; expected the same unit", u.describe(x.args[0]), x.unit)
		return measured{}, &Error{Op: "uncertainty.Evaluate", Name: inputNames(n), Err: unit.Errorf(ErrUnitMismatch, "%s", text)}
	}
	return own, nil
}

// InUnit returns the same quantity with its unit stated, for results whose unit cannot
// be told from the inputs: after exact factors, functions and slopes. Nothing is
// converted. If the units of the inputs say otherwise, the evaluation is an error
// ([ErrUnitMismatch]). An empty symbol takes a unit away.
func (q Quantity) InUnit(symbol string) Quantity {
	if symbol == "" {
		symbol = mixed
	}
	return finishMany(opLinear, &many{name: q.Name(), args: []*node{q.operand("InUnit").n}, d: []float64{1}, unit: symbol, sum: true}, q.Estimate())
}

// number refuses the argument of a function if it is stated not to be a number.
func (m *model) number(n *node) error {
	u := m.units[m.place(n.a)]
	if u.IsZero() || u.Equal(pure()) {
		return nil
	}
	text := fmt.Sprintf("%s of %s; expected a number, angles in radians", opNames[n.op], u.describe(n.a))
	return &Error{Op: "uncertainty.Evaluate", Name: inputNames(n.a), Err: unit.Errorf(ErrUnitMismatch, "%s", text)}
}
