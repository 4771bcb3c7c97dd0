// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"example.com/ohmwright/uncertainty/unit"
)

// This file checks the stated units of a model and finds that of the result.
//
// No honest model is refused: what states no unit fits everything; so do exact constants
// and the factor of Scale and the coefficients of LinearInUnit, which may carry any unit, and the
// results of exp, log and Call. A sum of ohms and volts, or of ohms and milliohms without a factor,
// is not honest; nor is the sine of degrees. A symbol that is not in the list of package unit is a
// unit of its own: it adds to itself and to nothing else.
//
// Three things may be known of a node: the unit itself, with its dimensions and factor; that it is
// made of symbols outside the list; its symbol alone, behind a factor that may carry a unit of its
// own.
//
//	Ω + Ω            Ω                    W = V·A         W, by its dimensions and factor 1
//	Ω + mΩ           refused              kΩ·mA           V
//	Ω + nothing      Ω                    √(Ω²)           Ω
//	digit + digit    digit                digit·V         known, but no symbol
//	Ω·Exact(2)       Ω                    exp(Ω)          refused; exp(nothing) may be anything
//	Scale(Ω, 1000)   symbol Ω, no check   °C + 296 K      refused: two temperatures
//
// It costs a few operations for each node, and nothing where no source states a unit.

// measured is what is known of the unit of a node. The zero value: nothing is.
type measured struct {
	unit.Unit         // zero where nothing is known, also beside a symbol
	foreign   foreign // the part that is made of symbols outside the list
	symbol    string  // as printed; empty where it cannot be told
}

// foreign is a product of powers of symbols outside the list, in the order of the
// symbols; no power is 0.
type foreign []factor

// factor is a symbol and its power: 2 for digit², −1 below the line.
type factor struct {
	symbol string
	of     float64
}

// mul is the product with the k-th power of g.
// Most units have no foreign part.
func (f foreign) mul(g foreign, k float64) foreign {
	// A copy: units of other nodes share the list.
	if len(g) == 0 || k == 0 {
		return f
	}
	out := slices.Clone(f)
	for _, p := range g {
		i, ok := slices.BinarySearchFunc(out, p,
			func(a, b factor) int { return cmp.Compare(a.symbol, b.symbol) })
		// In order, so that equal products have equal lists.
		if !ok {
			out = slices.Insert(out, i, factor{symbol: p.symbol})
		}
		// 1/2 and −1/2 add up to exactly 0; thirds may not.
		if out[i].of += float64(k * p.of); out[i].of == 0 {
			out = slices.Delete(out, i, i+1)
		}
	}
	return out
}

// same reports whether figures in both units add as they stand.
func (u measured) same(v measured) bool {
	return u.Equal(v.Unit) && slices.Equal(u.foreign, v.foreign)
}

// isNumber reports whether the unit is known to be that of a number.
func (u measured) isNumber() bool { return u.Equal(pure()) && len(u.foreign) == 0 }

// findUnits finds the unit of each node, m.units by place, or leaves m.units nil where no source
// states one. All mismatches of a model come as one error.
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
	// Nothing is stated: no check, and no unit of the result.
	if !stated {
		return nil
	}
	m.units = slices.Grow(m.unitRoom[:0], len(m.nodes))[:len(m.nodes)]
	m.unitRoom = m.units
	var found causes
	for i, n := range m.nodes {
		var err error
		// All that is wrong is reported at once, like other errors of a model.
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

// unitOf finds the unit of a node from those of its arguments, which have been found: places rise
// from arguments to what uses them. The error is a mismatch at this very node.
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
	// A root of Ω² is in Ω again.
	case opSqrt:
		return at(n.a).pow(0.5), nil
	case opPow:
		return m.powerUnit(n)
	case opLinear:
		return m.linear(n)
	// An exponential or logarithm may carry a scale of its own (dB): any unit.
	case opExp, opLog:
		return measured{}, m.number(n)
	case opSin, opCos, opTan, opAsin, opAcos, opAtan:
		return measured{Unit: pure(), symbol: "1"}, m.number(n)
	}
	if n.op == opCall {
		return m.callUnit(n)
	}
	return measured{}, nil // constants
}

// ordinary holds the units that most sources state: reading them costs as much as the rest of
// the evaluation of a small model.
var ordinary = sync.OnceValue(func() map[string]measured {
	out := make(map[string]measured)
	for _, symbol := range []string{"1", "Ω", "V", "A", "W", "K", "°C", "m", "mm", "s", "Hz", "F",
		"H"} {
		out[symbol] = read(symbol)
	}
	return out
})

// state finds a stated unit.
func state(symbol string) measured {
	if u, ok := ordinary()[symbol]; ok {
		return u
	}
	return read(symbol)
}

// read finds a unit in the list of package unit, and makes one of its own of a symbol that is not
// there.
func read(symbol string) measured {
	if symbol == "" {
		return measured{}
	}
	if u, err := unit.ParseUnit(symbol); err == nil {
		return measured{Unit: u, symbol: symbol}
	}
	return measured{Unit: pure(), foreign: foreign{{symbol, 1}}, symbol: symbol}
}

// pow is a power of the unit.
func (u measured) pow(power float64) measured {
	return named(u.Pow(power), foreign(nil).mul(u.foreign, power))
}

// named gives a derived unit the symbol under which it is printed, if it has one: V/A is printed as
// Ω, Ω/K as nothing at all, since a sheet that says nothing is better than one with
// m²·kg·s⁻³·A⁻²·K⁻¹.
func named(u unit.Unit, f foreign) measured {
	out := measured{Unit: u, foreign: f}
	switch {
	case u.IsZero():
		out.foreign = nil
	case len(f) == 0:
		out.symbol = coherent(u)
	case len(f) == 1 && f[0].of == 1 && u.Equal(pure()):
		out.symbol = f[0].symbol
	}
	return out
}

// coherent is the symbol of a unit that is a named one of the SI, or that with a prefix.
func coherent(u unit.Unit) string {
	symbol := u.Coherent()
	// A factor of 1: coherent already. A number with another factor has no name.
	if f := u.Factor(); f == 1 || symbol == "" || symbol == "1" {
		if f != 1 {
			return ""
		}
		return symbol
	}
	// Only the prefixes that people use with derived units: no daV, no hΩ.
	for _, prefix := range [...]string{"k", "M", "G", "T", "m", "µ", "n", "p"} {
		if v, err := unit.ParseUnit(prefix + symbol); err == nil && v.Equal(u) {
			return prefix + symbol
		}
	}
	return ""
}

// pure is the unit of numbers: one with a factor of 1, unlike % and ppm.
func pure() unit.Unit { return unit.Fraction.Unit() }

// sum is the unit of a sum: that of its terms, which must agree where they are known. The first
// known term decides, so that the error names it and the one that differs.
func (m *model) sum(n *node, terms []*node) (measured, error) {
	var sum measured
	var first *node
	for _, term := range terms {
		u := m.units[m.place(term)]
		switch {
		// Nothing is known of this term: it fits.
		case u.IsZero():
		case sum.IsZero():
			sum, first = u, term
		// Ω and mΩ are different: figures add as they stand.
		case !sum.same(u):
			return measured{}, mismatch(inputNames(n), "%s %s and %s; expected terms of one unit%s",
				n.joins(), sum.describe(first), u.describe(term), n.orStated())
		// A unit that was found without a symbol takes that of an equal one, and a difference in K
		// with a temperature in °C behind it is a temperature.
		case sum.symbol == "", u.isCelsius() && !sum.isCelsius() && n.op != opSub:
			sum.symbol = u.symbol
		}
	}
	// Nothing is known of any term, but all may say the same.
	if sum.IsZero() {
		sum.symbol = m.commonSymbol(terms)
		return sum, nil
	}
	return sum, m.temperatures(n, terms)
}

// joins says what a node does with terms of one unit.
func (n *node) joins() string {
	if x, ok := n.aux.(*many); ok && x.call != nil && x.call.function != "" {
		return x.call.function + " of"
	}
	switch n.op {
	case opAdd:
		return "a sum of"
	case opSub:
		return "a difference of"
	}
	return opNames[n.op] + " adds"
}

// orStated says what else a combination whose coefficients carry units may do.
func (n *node) orStated() string {
	if x, ok := n.aux.(*many); ok && n.op == opLinear && !x.sum {
		return ", or LinearInUnit, which states what the coefficients make of them"
	}
	return ""
}

// mismatch is the refusal of units that do not fit, under the names of the inputs below.
func mismatch(name, format string, args ...any) error {
	text := fmt.Sprintf(format, args...)
	return &Error{Op: "uncertainty.Evaluate", Name: name, Err: unit.Errorf(ErrUnitMismatch, "%s",
		text)}
}

// absolute is the least estimate in kelvin, of an input that is added to temperatures in
// degrees Celsius, that is taken for a temperature and not for a difference. Laboratories are near
// 300 K, differences of 200 K and more occur in furnaces, where InUnit can say so.
const absolute = 200

// temperatures refuses a sum of a temperature in °C and an input in K that is no
// difference: kelvins and degrees Celsius have one size and not one zero.
func (m *model) temperatures(n *node, terms []*node) error {
	var celsius, kelvin *node
	for _, term := range terms {
		u := m.units[m.place(term)]
		switch {
		case u.isCelsius():
			celsius = term
		case m.isKelvinTemperature(term):
			kelvin = term
		}
	}
	if celsius == nil || kelvin == nil {
		return nil
	}
	return mismatch(inputNames(n), "%s %s and %s of %v K, a temperature and no difference; "+
		"expected both in °C, or a difference (InUnit(\"K\") states one)", n.joins(),
		m.units[m.place(celsius)].describe(celsius), m.units[m.place(kelvin)].describe(kelvin),
		kelvin.value)
}

// isCelsius reports whether the unit is printed as the degree Celsius, in one of its spellings.
func (u measured) isCelsius() bool { return isCelsius(u.symbol) }

// isKelvinTemperature reports whether the node is an input in kelvin that is a temperature.
// Differences are small, temperatures in kelvin are above 200 K in nearly any laboratory.
func (m *model) isKelvinTemperature(n *node) bool {
	u := m.units[m.place(n)]
	return n.stated() && u.Equal(unit.Kelvin.Unit()) && !u.isCelsius() &&
		math.Abs(n.value) >= absolute
}

// stated reports whether the node is an input, perhaps under another name.
func (n *node) stated() bool {
	for n.op == opNamed {
		n = n.a
	}
	return n.op == opInput
}

// commonSymbol returns the symbol of all terms that have one, if it is the same.
func (m *model) commonSymbol(terms []*node) string {
	var symbol string
	for _, term := range terms {
		switch s := m.units[m.place(term)].symbol; {
		// A term without a symbol may have any.
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
	switch {
	case symbol == "" && len(u.foreign) > 0:
		symbol = "a unit made of " + u.foreign.String()
	case symbol == "":
		// The factor shows how the two differ: 1e-3 for mΩ.
		symbol = fmt.Sprintf("another unit (%.4g times a coherent one)", u.Factor())
	case len(u.foreign) > 0:
		symbol += " (not a known unit)"
	}
	name := Quantity{n}.Name()
	if name == "" {
		name = "a result of " + inputNames(n)
		if inputNames(n) == "" {
			name = "a constant"
		}
	}
	return fmt.Sprintf("%s in %s", name, symbol)
}

// String lists the symbols.
func (f foreign) String() string {
	names := make([]string, len(f))
	for i, p := range f {
		names[i] = p.symbol
	}
	return strings.Join(names, ", ")
}

// productUnit is the unit of a product or quotient.
func productUnit(n *node, a, b measured) measured {
	power := 1.0
	if n.op == opDiv {
		power = -1
	}
	u := named(a.Mul(b.Pow(power)), a.foreign.mul(b.foreign, power))
	// A factor without a unit of its own leaves the symbol of the other.
	switch {
	case u.symbol != "":
	case b.neutral(n.b):
		u.symbol = a.symbol
	case n.op == opMul && a.neutral(n.a):
		u.symbol = b.symbol
	// Two equal units that are not known divide to a number.
	case n.op == opDiv && a.symbol != "" && a.symbol == b.symbol:
		u.symbol = "1"
	}
	return u
}

// neutral reports whether a factor leaves the unit of the other: a constant or a number.
func (u measured) neutral(n *node) bool { return n.op == opExact || u.symbol == "1" }

// powerUnit is the unit of a power with an exact exponent; others need a plain number, or
// cannot be told: Ω to the power 2 ± 0.1 is in no unit, and its value depends on whether R is in Ω
// or kΩ.
func (m *model) powerUnit(n *node) (measured, error) {
	base, exponent := m.units[m.place(n.a)], m.units[m.place(n.b)]
	if !exponent.IsZero() && !exponent.isNumber() {
		return measured{}, mismatch(inputNames(n.b), "Pow has the exponent %s; expected a number",
			exponent.describe(n.b))
	}
	// A power that is itself uncertain has no fixed unit.
	if n.b.op != opExact {
		if base.isNumber() {
			return named(pure(), nil), nil
		}
		return measured{}, nil
	}
	return base.pow(n.b.value), nil
}

// linear is the unit of a sum with coefficients: the one stated, or that of its terms.
func (m *model) linear(n *node) (measured, error) {
	x := n.aux.(*many)
	if x.unit != "" {
		return m.statedUnit(n, x)
	}
	return m.sum(n, x.args)
}

// mixed marks a unit that cannot be told: no text that a person enters, and different from "",
// which says that nothing is stated.
const mixed = "\x00"

// statedUnit is the unit of a record, or that given by InUnit, which must not contradict
// the model, or that of DefaultUnit. Of a record nothing can be checked: its sensitivities are
// numbers, whose units are not written.
//
//	stated Ω, by the inputs    InUnit    DefaultUnit
//	nothing                    Ω         Ω
//	Ω                          Ω         Ω
//	kΩ                         refused   kΩ
//	V                          refused   refused
func (m *model) statedUnit(n *node, x *many) (measured, error) {
	if x.unit == mixed {
		return measured{}, nil
	}
	own := state(x.unit)
	if !x.sum {
		return own, nil
	}
	// InUnit and DefaultUnit have one argument.
	u := m.units[m.place(x.args[0])]
	switch {
	// A place on one scale is another number on the other.
	case own.isCelsius() && m.isKelvinTemperature(x.args[0]):
		return measured{}, mismatch(inputNames(n), "%s of %v K, stated in °C; expected a "+
			"temperature in °C", u.describe(x.args[0]), x.args[0].value)
	case u.IsZero() || u.same(own):
		return own, nil
	// The same kind in another size, such as kΩ: what follows from the inputs is kept.
	case x.fallback && u.SameKind(own.Unit) && slices.Equal(u.foreign, own.foreign):
		if u.symbol == "" {
			u.symbol = coherent(u.Unit)
		}
		// A result without a unit would be read as one in the unit of the function.
		if u.symbol == "" {
			return measured{}, mismatch(inputNames(n), "the units of the inputs make a result in "+
				"%.4g times %s; expected inputs whose result is in %s, or in a multiple that has "+
				"a prefix", u.Factor()/own.Factor(), x.unit, x.unit)
		}
		return u, nil
	case x.fallback:
		return measured{},
			mismatch(inputNames(n), "the units of the inputs make %s; expected inputs whose "+
				"result is in %s", u.describe(x.args[0]), x.unit)
	}
	return measured{}, mismatch(inputNames(n), "%s, stated in %s; expected the same unit",
		u.describe(x.args[0]), x.unit)
}

// InUnit returns the same quantity with its unit stated, for results whose unit cannot
// be told from the inputs: after exact factors, functions and slopes. Nothing is
// converted. If the units of the inputs say otherwise, the evaluation is an error
// ([ErrUnitMismatch]). An empty symbol takes a unit away.
func (q Quantity) InUnit(symbol string) Quantity {
	if symbol == "" {
		symbol = mixed
	}
	// A linear node with slope 1, so that source and correlations stay as they are.
	return finishMany(opLinear, &many{args: []*node{q.operand("InUnit").n}, d: []float64{1},
		about: &about{name: q.Name(), unit: symbol, sum: true}}, q.Estimate())
}

// DefaultUnit returns the same quantity in a unit that the inputs may overrule: for
// functions that know in which unit their result is. Where the inputs state their units,
// the result keeps the one that follows from them, kΩ for Ω, if it is of the same kind; of
// another kind, or a multiple that has no symbol, it is an error ([ErrUnitMismatch]).
// Elsewhere the unit is symbol.
func (q Quantity) DefaultUnit(symbol string) Quantity {
	if symbol == "" {
		return q
	}
	return finishMany(opLinear, &many{args: []*node{q.operand("DefaultUnit").n}, d: []float64{1},
		about: &about{name: q.Name(), unit: symbol, sum: true, fallback: true}}, q.Estimate())
}

// number refuses the argument of a function if it is stated not to be a number. ° is refused too:
// sin of 30 would be taken in radians.
func (m *model) number(n *node) error {
	u := m.units[m.place(n.a)]
	// What states no unit may be a number.
	if u.IsZero() || u.isNumber() {
		return nil
	}
	want := "a number"
	switch n.op {
	case opSin, opCos, opTan:
		want = "a number, an angle in radians"
	case opExp, opLog:
		want = "a number, such as the ratio to a unit"
	}
	return mismatch(inputNames(n.a), "%s of %s; expected %s", opNames[n.op], u.describe(n.a), want)
}
