// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"

	"gonum.org/v1/gonum/diff/fd"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// A Quantity is a node of a measurement model: an input quantity, an exact
// constant, or a function of other quantities. It is immutable and safe for use
// by several goroutines. Two quantities are equal (==) when they are the same
// node, not when their values agree.
//
// Building never fails and never panics: whatever is wrong (a negative
// half-width, a quotient by zero) is carried in the quantity and in all that is
// built from it, and comes out of [Quantity.Err] and [Evaluate] as one error that
// names every cause.
//
// The zero Quantity is not a quantity at all, and not the number 0: any use of it is
// an error. Start a sum from Exact(0), or use [Sum].
type Quantity struct{ n *node }

// node is one vertex of the graph. The estimate and the partial derivatives are
// computed once, when it is built, so that every later evaluation is a single
// sweep of multiplications.
type node struct {
	op     op
	bad    bool    // this node or one below carries an error
	lost   bool    // the value of this node or of one below is lost to underflow
	tag    uint32  // random: where tables of nodes look first; changes no result
	value  float64 // estimate; NaN if bad
	da, db float64 // ∂value/∂a, ∂value/∂b
	bound  float64 // Σ|c|u over the inputs below: no u can exceed it
	a, b   *node
	aux    any // *source, *many, label or error, by op
}

type op uint8

const (
	opInput op = iota // a source; aux is its *source
	opExact           // a constant
	opFail            // a cause of its own, no value
	opAdd
	opSub
	opMul
	opDiv
	opNeg
	opScale // factor is da
	opSqrt  // from here to opAtan: functions of one argument
	opExp
	opLog
	opSin
	opCos
	opTan
	opAsin
	opAcos
	opAtan
	opPow    // two arguments
	opLinear // c0 + Σ d·args; aux is a *many
	opCall   // f(args); aux is a *many
	opNamed  // the same value under a name; aux is a label
)

// opNames are the names in error texts, which follow those of the exported functions.
var opNames = [...]string{
	"input", "exact", "fail", "Add", "Sub", "Mul", "Div", "Neg", "Scale",
	"Sqrt", "Exp", "Log", "Sin", "Cos", "Tan", "Asin", "Acos", "Atan", "Pow", "Linear", "Call",
	"Named",
}

// linear reports whether a node of this kind is linear in its arguments whatever they are: second
// derivatives are 0, and a simulation can be replaced by a convolution.
func (o op) linear() bool {
	switch o {
	// Mul and Div are linear in each factor alone, see node.nonlinear.
	case opInput, opExact, opAdd, opSub, opNeg, opScale, opLinear, opNamed:
		return true
	}
	return false
}

// many holds the arguments of a node that may have more than two.
type many struct {
	args []*node
	d    []float64 // ∂value/∂args[i]
	c0   float64   // opLinear
	*about
}

// about is what few of these nodes have: in each of a hundred thousand sums it would be most of
// the memory. It is never nil, and shared where it says nothing.
type about struct {
	name string
	unit string // of the value, where it is known
	sum  bool   // opLinear: a plain sum, the terms of which have one unit

	fallback bool // unit is that of DefaultUnit

	call *call // opCall: the function
}

var aboutNothing, aboutSum = &about{}, &about{sum: true}

// call is the function of a node.
type call struct {
	f        func(x []float64) float64
	function string   // name of a function of this package
	rule     callRule // unit of the result
	corner   bool     // the estimates lie where the function has a corner: d is NaN

	doubt []float64 // by differences: how far d moves with the step
}

// label is the name that Named gives.
type label string

// Exact returns the constant v, which has no uncertainty.
func Exact(v float64) Quantity {
	if err := number("constant", v); err != nil {
		return fail(refused("uncertainty.Exact", "", err))
	}
	return Quantity{&node{op: opExact, tag: rand.Uint32(), value: v}}
}

// Fail returns a quantity that carries err, for functions that must refuse their
// arguments but return a Quantity. A nil err is an error of its own.
func Fail(err error) Quantity {
	if err == nil {
		err = &Error{Op: "uncertainty.Fail", Err: unit.Errorf(ErrDomain, "err is nil; expected "+
			"an error")}
	}
	return fail(err)
}

// fail makes a node that carries an error.
func fail(err error, below ...*node) Quantity {
	n := &node{op: opFail, tag: rand.Uint32(), bad: true, value: math.NaN(), aux: err}
	// A cause may sit on top of others: keep them reachable.
	if len(below) > 0 {
		n.a = below[0]
	}
	if len(below) > 1 {
		n.b = below[1]
	}
	return Quantity{n}
}

// IsZero reports whether q is the zero Quantity, which is not a quantity.
func (q Quantity) IsZero() bool { return q.n == nil }

// Estimate returns the value of the model at the estimates of its inputs, in the
// unit of the model. It is NaN exactly when Err is not nil.
func (q Quantity) Estimate() float64 {
	if q.n == nil {
		return math.NaN()
	}
	return q.n.value
}

// Name returns the name of an input quantity, of a Call, or the one given by
// Named; otherwise it is empty.
func (q Quantity) Name() string {
	if q.n == nil {
		return ""
	}
	switch x := q.n.aux.(type) {
	case *source:
		return x.name
	case label:
		return string(x)
	case *many:
		return x.name
	}
	return ""
}

// Named returns the same quantity under a name, for Formula and for printed
// models. It is not a new source: both stay fully correlated.
func (q Quantity) Named(name string) Quantity {
	// A node of its own: the name belongs to this use, not to the quantity below.
	n := &node{op: opNamed, tag: rand.Uint32(), da: 1, a: q.operand("Named").n, aux: label(name)}
	// What is wrong below stays wrong under another name.
	n.bad, n.lost, n.value, n.bound = n.a.bad, n.a.lost, n.a.value, n.a.bound
	return Quantity{n}
}

// operand replaces the zero Quantity by one that carries the reason.
func (q Quantity) operand(where string) Quantity {
	if q.n != nil {
		return q
	}
	return fail(&Error{Op: "uncertainty." + where, Err: ErrNoQuantity})
}

// Add returns q + r.
func (q Quantity) Add(r Quantity) Quantity { return binary(opAdd, q, r) }

// Sub returns q − r.
func (q Quantity) Sub(r Quantity) Quantity { return binary(opSub, q, r) }

// Mul returns q·r.
func (q Quantity) Mul(r Quantity) Quantity { return binary(opMul, q, r) }

// Div returns q/r. A divisor whose estimate is 0 is an error ([ErrDomain]).
func (q Quantity) Div(r Quantity) Quantity { return binary(opDiv, q, r) }

// Neg returns −q.
func (q Quantity) Neg() Quantity { return scale(opNeg, q, -1) }

// Scale returns c·q for an exact factor c.
func (q Quantity) Scale(c float64) Quantity { return scale(opScale, q, c) }

// scale makes c·q. o is the operation that the caller asked for, by whose name an error is known.
func scale(o op, q Quantity, c float64) Quantity {
	a := q.operand(opNames[o]).n
	if err := number("factor", c); err != nil {
		return fail(refused("uncertainty."+opNames[o], "", err), a)
	}
	return finish(&node{op: o, a: a, value: c * a.value, da: c})
}

// binary makes a node of two arguments with its partial derivatives.
func binary(o op, q, r Quantity) Quantity {
	a, b := q.operand(opNames[o]).n, r.operand(opNames[o]).n
	n := &node{op: o, a: a, b: b}
	x, y := a.value, b.value
	switch o {
	case opAdd:
		n.value, n.da, n.db = x+y, 1, 1
	case opSub:
		n.value, n.da, n.db = x-y, 1, -1
	case opMul:
		n.value, n.da, n.db = x*y, y, x
	case opDiv:
		// Even an exact 0: the quotient has no estimate.
		if y == 0 {
			return fail(&Error{Op: "uncertainty.Div", Name: inputNames(b),
				Err: unit.Errorf(ErrDomain,
					"division by a quantity whose estimate is 0; expected a divisor other than 0")},
				a, b)
		}
		n.value = x / y
		// ∂(x/y)/∂y = −x/y², from the quotient that is at hand.
		n.da, n.db = 1/y, -n.value/y
	case opPow:
		return power(n)
	}
	return finish(n)
}

// finish closes a node of one or two arguments: it inherits errors, refuses what
// is not finite, and bounds the uncertainty.
func finish(n *node) Quantity {
	n.tag = rand.Uint32()
	n.bad = n.a.bad || n.b != nil && n.b.bad
	if n.bad {
		// NaN on everything above, so that a number is never mistaken for a result.
		n.value = math.NaN()
		return Quantity{n}
	}
	if err := number("result", n.value); err != nil {
		return refuse(n, unit.Cause(err))
	}
	// A derivative matters only where the argument is uncertain: √0 of an exact 0 is allowed.
	// The bound adds up |c|·u as if all inputs were fully correlated in the worst direction, and
	// so limits every u that can come out.
	n.bound = reach(&n.da, n.a)
	if n.b != nil {
		n.bound += reach(&n.db, n.b)
	}
	n.small()
	if err := number("sensitivity", n.bound); err != nil {
		if n.lost {
			return refuse(n, unit.Cause(tooSmall(n.a.value, "an argument is a product or a power "+
				"below the smallest number")))
		}
		return refuse(n, unit.Errorf(ErrDomain, "the derivative is not finite at the estimate of "+
			"the argument; expected an argument inside the domain"))
	}
	return Quantity{n}
}

// reach is what an argument adds to the bound; the derivative by an exact one becomes 0 where
// it is not finite, since 0·∞ would make NaN of sums in which it does not count.
func reach(d *float64, arg *node) float64 {
	if arg.bound == 0 {
		if math.IsNaN(*d) || math.IsInf(*d, 0) {
			*d = 0
		}
		return 0
	}
	return math.Abs(*d) * arg.bound
}

// refuse makes a failed node that keeps its arguments, for the errors below them.
func refuse(n *node, err error) Quantity {
	below := []*node{n.a}
	names := inputNames(n.a)
	if n.b != nil {
		below = append(below, n.b)
		names = inputNames(n.a, n.b)
	}
	return fail(&Error{Op: "uncertainty." + opNames[n.op], Name: names, Value: n.a.value, Err: err},
		below...)
}

// Sqrt returns √q. A negative estimate is an error ([ErrDomain]), and so is an
// uncertain 0, where the derivative is infinite.
func Sqrt(q Quantity) Quantity {
	return unary(opSqrt, q, "a value that is not negative", func(x float64) bool { return x >= 0 },
		func(x float64) (v, d float64) { v = math.Sqrt(x); return v, 0.5 / v }) // 1/(2√x)
}

// Exp returns e to the power q.
func Exp(q Quantity) Quantity {
	return unary(opExp, q, "", everywhere,
		func(x float64) (v, d float64) { v = elementary.Exp(x); return v, v })
}

// Log returns the natural logarithm of q. An estimate that is not positive is an
// error ([ErrDomain]).
func Log(q Quantity) Quantity {
	return unary(opLog, q, "a positive value", func(x float64) bool { return x > 0 },
		func(x float64) (v, d float64) { return elementary.Log(x), 1 / x })
}

// Sin returns the sine of q, in radians.
func Sin(q Quantity) Quantity {
	return unary(opSin, q, "", everywhere,
		func(x float64) (v, d float64) { return elementary.Sincos(x) })
}

// Cos returns the cosine of q, in radians.
func Cos(q Quantity) Quantity {
	return unary(opCos, q, "", everywhere,
		func(x float64) (v, d float64) { s, c := elementary.Sincos(x); return c, -s })
}

// Tan returns the tangent of q, in radians.
func Tan(q Quantity) Quantity {
	return unary(opTan, q, "", everywhere,
		func(x float64) (v, d float64) { v = elementary.Tan(x); return v, 1 + float64(v*v) })
}

// Asin returns the arcsine of q in radians; the estimate lies within [−1, 1]. At
// the ends an uncertain q is an error ([ErrDomain]).
func Asin(q Quantity) Quantity {
	return unary(opAsin, q, "a value from -1 to 1", upToOne,
		// (1 − x)(1 + x) keeps the digits that 1 − x² loses near ±1
		func(x float64) (v, d float64) { return elementary.Asin(x), 1 / math.Sqrt((1-x)*(1+x)) })
}

// Acos returns the arccosine of q in radians; domain as [Asin].
func Acos(q Quantity) Quantity {
	return unary(opAcos, q, "a value from -1 to 1", upToOne,
		func(x float64) (v, d float64) { return elementary.Acos(x), -1 / math.Sqrt((1-x)*(1+x)) })
}

// Atan returns the arctangent of q, in radians.
func Atan(q Quantity) Quantity {
	return unary(opAtan, q, "", everywhere,
		func(x float64) (v, d float64) { return elementary.Atan(x), 1 / (1 + float64(x*x)) })
}

// everywhere and upToOne are domains.
func everywhere(float64) bool { return true }
func upToOne(x float64) bool  { return x >= -1 && x <= 1 }

// unary makes a node of one argument: f returns the value and the derivative at an estimate inside
// the domain, expected says in an error what that is. An infinite derivative, at 0 of a root, is
// left to finish, which knows whether the argument is uncertain.
func unary(o op, q Quantity, expected string, domain func(float64) bool,
	f func(float64) (v, d float64)) Quantity {
	a := q.operand(opNames[o]).n
	n := &node{op: o, a: a}
	// Of what is wrong below no value is asked.
	if a.bad {
		return finish(n)
	}
	if !domain(a.value) {
		return refuse(n, unit.Errorf(ErrDomain, "argument is %v; expected %s", a.value, expected))
	}
	n.value, n.da = f(a.value)
	return finish(n)
}

// Pow returns q to the power r. A negative q needs an exact whole exponent; 0 needs
// a positive one.
func Pow(q, r Quantity) Quantity { return binary(opPow, q, r) }

// power completes a node of x^r.
func power(n *node) Quantity {
	x, r := n.a.value, n.b.value
	n.value = elementary.Pow(x, r)
	// ∂(x^r)/∂x
	n.da = r * elementary.Pow(x, r-1)
	// The derivative by the exponent needs a logarithm, which an exact exponent does not ask for.
	if n.b.bound > 0 {
		switch {
		case x > 0:
			n.db = n.value * elementary.Log(x)
		case x < 0:
			// No whole exponent is uncertain: there is no derivative.
			n.db = math.NaN()
		}
	}
	if !n.a.bad && !n.b.bad && math.IsNaN(n.value) {
		return refuse(n, unit.Errorf(ErrDomain, "%v to the power %v; expected a base that is not "+
			"negative, or a whole exponent", x, r))
	}
	return finish(n)
}

// Linear returns c0 + Σ c[i]·qs[i] as one node, for exact coefficients: least
// squares, records, sums of many. The coefficients are numbers: the terms have one unit, as
// in [Sum], and the result has it. [LinearInUnit] takes coefficients that carry units.
func Linear(c0 float64, c []float64, qs []Quantity) Quantity {
	return linear(aboutNothing, c0, c, qs)
}

// LinearInUnit is [Linear] with coefficients that carry units, such as ohms per kelvin, in which
// the terms need not agree: symbol states what they make of the terms. Where it is empty, the
// result has no unit. Nothing is converted.
func LinearInUnit(symbol string, c0 float64, c []float64, qs []Quantity) Quantity {
	return linear(&about{unit: cmp.Or(symbol, mixed)}, c0, c, qs)
}

// linear makes the node of a combination.
func linear(of *about, c0 float64, c []float64, qs []Quantity) Quantity {
	if len(c) != len(qs) {
		return fail(&Error{Op: "uncertainty.Linear",
			Err: unit.Errorf(ErrDomain, "%s for %s; expected as many of one as of the other",
				unit.Counted(len(c), "coefficient", "coefficients"),
				unit.Counted(len(qs), "quantity", "quantities"))})
	}
	m := &many{args: operands("Linear", qs), d: slices.Clone(c), c0: c0, about: of}
	sum := c0
	// Started with the constant: the sum runs in the order of the terms.
	for i, a := range m.args {
		sum += float64(c[i] * a.value)
	}
	return finishMany(opLinear, m, sum)
}

// Sum returns the sum of all qs; of none it is the exact 0.
func Sum(qs ...Quantity) Quantity {
	c := make([]float64, len(qs))
	for i := range c {
		c[i] = 1
	}
	return linear(aboutSum, 0, c, qs)
}

// Call returns f(args), for any Go function f that gives the same result for the
// same arguments. The derivatives are central differences with steps fitted to the
// uncertainty of each argument: relative error about 1e-6 or better where f is smooth
// on that scale and the uncertainty moves it by more than 1e-8 of its value. Use
// [CallWithGradient] where exact ones are known. f must not keep x and must be safe
// for several goroutines. A panic in f reaches the caller; a result that is
// not finite is an error. The name appears in errors and printed models.
//
// Nobody can look into f: where it goes to infinity, or has no value, beside the estimates is
// looked for by its values, up to eight standard uncertainties along each input below it and along
// eight combinations of all of them. A pole that only another combination of inputs reaches is not
// noticed before trials of [MonteCarlo] meet it. A model of the functions of this package shows it.
func Call(name string, f func(x []float64) float64, args ...Quantity) Quantity {
	return CallWithGradient(name, f, nil, args...)
}

// CallWithGradient is [Call] for a function whose partial derivatives are known:
// gradient stores ∂f/∂x[i] at x in dst[i]. A nil gradient means central
// differences.
func CallWithGradient(name string, f func(x []float64) float64, gradient func(dst, x []float64),
	args ...Quantity) Quantity {
	return callOf(name, f, gradient, false, args)
}

// callOf is CallWithGradient. With corners, a function whose slopes are nowhere beyond ±1 may
// have none at the estimates: there its gradient is NaN.
func callOf(name string, f func(x []float64) float64, gradient func(dst, x []float64),
	corners bool, args []Quantity) Quantity {
	m := &many{args: operands("Call", args), d: make([]float64, len(args)),
		about: &about{name: name, call: &call{f: f}}}
	if f == nil {
		return fail(&Error{Op: "uncertainty.Call", Name: name,
			Err: unit.Errorf(ErrDomain, "function is nil; expected a function")})
	}
	// f gets copies, so that one that writes to x cannot change what the others see.
	x := make([]float64, len(args))
	for i, a := range m.args {
		if a.bad {
			// No call: f would see NaN, for which it was not written.
			return finishMany(opCall, m, math.NaN())
		}
		x[i] = a.value
	}
	value := f(slices.Clone(x))
	if gradient != nil {
		for i := range m.d {
			m.d[i] = math.NaN() // what gradient leaves out is refused
		}
		gradient(m.d, slices.Clone(x))
		if corners {
			return finishCorner(m, value)
		}
		return finishMany(opCall, m, value)
	}
	m.call.doubt = make([]float64, len(args))
	for i, a := range m.args {
		// Without uncertainty the derivative has no use, and f may not be smooth there.
		if a.bound > 0 {
			m.d[i], m.call.doubt[i] = difference(f, x, i, a.uncertainty())
		}
	}
	return finishMany(opCall, m, value)
}

// finishCorner closes a node that may be at a corner: simulations need no slope there, all other
// evaluations refuse it, see [model.compile].
func finishCorner(m *many, value float64) Quantity {
	var without []int
	for i, a := range m.args {
		if a.bound > 0 && math.IsNaN(m.d[i]) {
			without = append(without, i)
			m.d[i] = 1 // the largest slope beside the corner bounds the uncertainty
		}
	}
	q := finishMany(opCall, m, value)
	for _, i := range without {
		// NaN again, so that no result can be made of it.
		m.d[i], m.call.corner = math.NaN(), true
	}
	return q
}

// fivePoint is the central difference of fourth order (Handbook of Mathematical Functions,
// National Bureau of Standards, 1964, table 25.2): its error falls with the fourth power of
// the step, so that the step may be wide enough to stay above rounding.
var fivePoint = fd.Formula{
	Stencil: []fd.Point{{Loc: -2, Coeff: 1.0 / 12}, {Loc: -1, Coeff: -8.0 / 12},
		{Loc: 1, Coeff: 8.0 / 12}, {Loc: 2, Coeff: -1.0 / 12}},
	Derivative: 1,
	Step:       1,
}

// uncertainty is the standard uncertainty of a node to first order, or the bound on it
// where it is not known or cancels.
func (n *node) uncertainty() float64 {
	// Its own u is stated: no pass is needed.
	if n.stated() {
		return n.bound
	}
	m := models.Get().(*model)
	defer m.free()
	if m.compile(n) != nil {
		return n.bound // the evaluation says why
	}
	c, _ := m.backward(n)
	// A bound that cancels nearly whole leaves a u of rounding alone.
	if u := m.standardUncertainty(c); u > 1e-9*n.bound && !math.IsInf(u, 0) {
		return u
	}
	return n.bound
}

// difference returns ∂f/∂x[i], and how far it moves with a step four times as wide: a
// kink, a jump or noise shows there. The step is a small part of the standard uncertainty
// of x[i], the scale on which f is taken as linear. Where that comes near the resolution of
// x[i] the step is wider, unless f is not defined there.
// At step u/32 the error of fourth order is about (1/32)⁴ of the change of f.
func difference(f func(x []float64) float64, x []float64, i int, u float64) (d, doubt float64) {
	at := func(step float64) float64 {
		return fd.Derivative(func(xi float64) float64 {
			y := slices.Clone(x)
			y[i] = xi
			return f(y)
		}, x[i], &fd.Settings{Formula: fivePoint, Step: step})
	}
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	step := u / 32
	// A step below 1e-9 of x[i] would be lost in the rounding of x[i] + step.
	if wide := float64(1e-9 * math.Abs(x[i])); wide > step {
		if d := at(wide); finite(d) {
			return d, math.Abs(at(2*wide) - d)
		}
	}
	d = at(step)
	if far := at(4 * step); finite(far) {
		doubt = math.Abs(far - d)
	}
	return d, doubt
}

// operands are the nodes of the arguments; a zero Quantity becomes one that carries why. where is
// the function that errors name.
func operands(where string, qs []Quantity) []*node {
	args := make([]*node, len(qs))
	for i, q := range qs {
		args[i] = q.operand(where).n
	}
	return args
}

// finishMany closes a node of many arguments, as finish does.
func finishMany(o op, m *many, value float64) Quantity {
	n := &node{op: o, tag: rand.Uint32(), value: value, aux: m}
	for i, a := range m.args {
		n.bad = n.bad || a.bad
		n.bound += reach(&m.d[i], a)
	}
	if n.bad {
		n.value = math.NaN()
		return Quantity{n}
	}
	n.smallMany(m)
	for _, v := range [...]struct {
		what  string
		value float64
	}{{"result", value}, {"sensitivity", n.bound}} {
		if err := number(v.what, v.value); err != nil {
			// A function without a name is found by the inputs below it.
			name := m.name
			if name == "" {
				name = inputNames(m.args...)
			}
			return fail(refused("uncertainty."+opNames[o], name, err))
		}
	}
	return Quantity{n}
}

// Err returns everything that is wrong below q, each cause once, or nil.
func (q Quantity) Err() error {
	if q.n == nil {
		return &Error{Op: "uncertainty.Quantity", Err: ErrNoQuantity}
	}
	if !q.n.bad {
		return nil
	}
	return errorsBelow([]*node{q.n})
}

// errorsBelow collects what is wrong below the roots, in the order of the arguments: one error, or
// several as causes. The caller has seen that there is one.
func errorsBelow(roots []*node) error {
	var found causes
	walk(roots, func(n *node) {
		var err error
		switch x := n.aux.(type) {
		case error:
			err = x
		case *source:
			err = x.err
		}
		// One wrong input that is used twice is one cause.
		if err != nil && !slices.ContainsFunc(found,
			func(old error) bool { return same(old, err) }) {
			found = append(found, err)
		}
	})
	if len(found) == 1 {
		return found[0]
	}
	return found
}

// same compares errors that may be of a type without ==.
// The comparison of two errors of a type with slices would panic.
func same(a, b error) bool {
	return reflect.ValueOf(a).Comparable() && reflect.ValueOf(b).Comparable() && a == b
}

// causes is several errors in one line.
type causes []error

// Error joins the texts on one line.
func (c causes) Error() string {
	texts := make([]string, len(c))
	for i, err := range c {
		texts[i] = err.Error()
	}
	return strings.Join(texts, "; ")
}

// Unwrap lets errors.Is find each of the causes.
func (c causes) Unwrap() []error { return c }

// argument returns the i-th argument of n, or nil after the last.
func (n *node) argument(i int) *node {
	if m, ok := n.aux.(*many); ok {
		if i < len(m.args) {
			return m.args[i]
		}
		return nil
	}
	// Leaves have neither: a and b are nil, and the first argument already is "after the last".
	switch i {
	case 0:
		return n.a
	case 1:
		return n.b
	}
	return nil
}

// derivative returns the partial derivative with respect to the i-th argument, at the estimates:
// that of the node alone, which backward multiplies along the edges.
func (n *node) derivative(i int) float64 {
	if m, ok := n.aux.(*many); ok {
		return m.d[i]
	}
	if i == 0 {
		return n.da
	}
	return n.db
}

// inputNames lists the first few inputs below the nodes, for errors: a node has no name of its own,
// but whoever built it knows the inputs.
func inputNames(below ...*node) string {
	const most = 3
	var names []string
	// One more than is shown, to know whether there are more.
	walk(below, func(n *node) {
		s, ok := n.aux.(*source)
		if !ok || len(names) > most {
			return
		}
		if name := unit.Shown(s.name); !slices.Contains(names, name) {
			names = append(names, name)
		}
	})
	if len(names) > most {
		names = append(names[:most], "…")
	}
	return strings.Join(names, ", ")
}
