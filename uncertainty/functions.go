// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// This file holds the functions that are nodes of many arguments with known gradients. To
// first order they are exact; second order and Monte Carlo take them as [CallWithGradient].

// callRule says how the unit of a function follows from those of its arguments.
type callRule uint8

const (
	callFree   callRule = iota // somebody else's function: any unit, none known
	callNumber                 // of numbers; the result is one
	callSame                   // of arguments of one unit; the result has it
	callRatio                  // of arguments of one unit; the result is a number
)

// functionNode makes a node of a function of this package, named as in a formula, with the rule for
// its unit.
func functionNode(name string, rule callRule, f func(x []float64) float64,
	gradient func(dst, x []float64),
	args ...Quantity) Quantity {
	return nameCall(name, rule, CallWithGradient("", f, gradient, args...))
}

// corneredNode is functionNode for a function that has corners, and slopes within ±1 beside them.
func corneredNode(name string, f func(x []float64) float64, gradient func(dst, x []float64),
	args ...Quantity) Quantity {
	return nameCall(name, callSame, callOf("", f, gradient, true, args))
}

// nameCall gives the node of a call its name in formulas and its rule.
func nameCall(name string, rule callRule, q Quantity) Quantity {
	if m, ok := q.n.aux.(*many); ok {
		m.call.function, m.call.rule = name, rule
	}
	return q
}

// functionNode1 is functionNode for one argument.
func functionNode1(name string, rule callRule, f func(x float64) (v, d float64),
	q Quantity) Quantity {
	return functionNode(name, rule,
		func(x []float64) float64 { v, _ := f(x[0]); return v },
		func(dst, x []float64) { _, dst[0] = f(x[0]) }, q)
}

// sinhCosh returns both. Near 0 the difference of two exponentials would lose digits:
// sinh x = (E + E/(E+1))/2 with E = exp x − 1.
func sinhCosh(x float64) (sinh, cosh float64) {
	// Of |x|, so that E stays above 0 and nothing cancels; the sign returns at the end.
	e := elementary.Expm1(math.Abs(x))
	// With 1/(E + 1) = exp(−x), no second exponential is needed.
	sinh = (e + e/(e+1)) / 2
	if math.IsInf(e, 1) { // E/(E + 1) is NaN there
		sinh = e
	}
	cosh = (e + 1 + 1/(e+1)) / 2
	return math.Copysign(sinh, x), cosh
}

// Sinh returns the hyperbolic sine of q, a number.
func Sinh(q Quantity) Quantity { return functionNode1("sinh", callNumber, sinhCosh, q) }

// Cosh returns the hyperbolic cosine of q, a number.
func Cosh(q Quantity) Quantity {
	return functionNode1("cosh", callNumber,
		func(x float64) (v, d float64) { s, c := sinhCosh(x); return c, s }, q)
}

// Tanh returns the hyperbolic tangent of q, a number.
func Tanh(q Quantity) Quantity {
	return functionNode1("tanh", callNumber, func(x float64) (v, d float64) {
		if math.Abs(x) > 20 { // 1 to the last bit; the sinh of more overflows sooner or later
			return math.Copysign(1, x), 4 * elementary.Exp(-2*math.Abs(x))
		}
		s, c := sinhCosh(x)
		// tanh′ = 1/cosh²
		return s / c, 1 / float64(c*c)
	}, q)
}

// Log10 returns the decimal logarithm of q, a number. An estimate that is not positive is
// an error ([ErrDomain]).
func Log10(q Quantity) Quantity {
	a := q.operand("Log10").n
	if !a.bad && !(a.value > 0) {
		return fail(&Error{Op: "uncertainty.Log10", Name: inputNames(a), Value: a.value,
			Err: unit.Errorf(ErrDomain, "argument is %v; expected a positive value", a.value)}, a)
	}
	return functionNode1("log10", callNumber, func(x float64) (v, d float64) {
		return elementary.Log(x) / math.Ln10, 1 / float64(x*math.Ln10)
	}, q)
}

// Abs returns the magnitude |q|, in its unit. At an uncertain 0 the function has a corner and
// no slope: there only [MonteCarlo] evaluates it; anything else is an error ([ErrDomain]).
func Abs(q Quantity) Quantity {
	return corneredNode("abs",
		func(x []float64) float64 { return math.Abs(x[0]) },
		func(dst, x []float64) {
			dst[0] = math.Copysign(1, x[0])
			if x[0] == 0 {
				dst[0] = math.NaN()
			}
		}, q)
}

// Min returns the smaller of q and r, which have one unit. At equal estimates that are
// uncertain the function has a corner and no slope: there only [MonteCarlo] evaluates it;
// anything else is an error ([ErrDomain]). Where the two come within a few uncertainties of each
// other, use Monte Carlo.
func Min(q, r Quantity) Quantity {
	return corneredNode("min",
		func(x []float64) float64 { return min(x[0], x[1]) }, minGradient(0, 1), q, r)
}

// Max returns the greater of q and r, under the conditions of [Min].
func Max(q, r Quantity) Quantity {
	return corneredNode("max",
		func(x []float64) float64 { return max(x[0], x[1]) }, minGradient(1, 0), q, r)
}

// minGradient is the gradient of Min, or that of Max with the places exchanged.
func minGradient(smaller, greater int) func(dst, x []float64) {
	return func(dst, x []float64) {
		switch {
		// At equal estimates either argument may be the smaller: there is no slope.
		case x[0] == x[1]:
			dst[0], dst[1] = math.NaN(), math.NaN()
		case x[0] < x[1]:
			dst[smaller], dst[greater] = 1, 0
		default:
			dst[smaller], dst[greater] = 0, 1
		}
	}
}

// Hypot returns √(q² + r²), the magnitude of a complex quantity, in the unit that both
// have. Where both estimates are 0 and uncertain, only [MonteCarlo] evaluates it; anything else
// is an error ([ErrDomain]).
func Hypot(q, r Quantity) Quantity {
	return corneredNode("hypot",
		func(x []float64) float64 { return elementary.Hypot(x[0], x[1]) },
		func(dst, x []float64) {
			h := elementary.Hypot(x[0], x[1])
			// ∂h/∂x = x/h; at 0/0 it is NaN, which is refused as everywhere.
			dst[0], dst[1] = x[0]/h, x[1]/h
		}, q, r)
}

// Atan2 returns the angle of the point (x, y) from the positive x axis in radians, −π to π:
// the phase of a complex quantity x + jy. The two have one unit. Where both estimates are 0
// it is an error ([ErrDomain]). Near the negative x axis the angle jumps by 2π, which the
// law of propagation does not see: turn the quantity first, or use Monte Carlo.
func Atan2(y, x Quantity) Quantity {
	// The angle of (0, 0) does not exist, even without uncertainty.
	a, b := y.operand("Atan2").n, x.operand("Atan2").n
	if !a.bad && !b.bad && a.value == 0 && b.value == 0 {
		return fail(&Error{Op: "uncertainty.Atan2", Name: inputNames(a, b), Value: 0.0,
			Err: unit.Errorf(ErrDomain,
				"both arguments are 0; expected a point that has an angle")}, a, b)
	}
	return functionNode("atan2", callRatio, func(v []float64) float64 {
		return arctangent2(v[0], v[1])
	},
		func(dst, v []float64) {
			h := elementary.Hypot(v[0], v[1])
			// ∂/∂y = x/h², ∂/∂x = −y/h²: one division after the other, since h² may overflow.
			dst[0], dst[1] = v[1]/h/h, -v[0]/h/h
		}, y, x)
}

// arctangent2 is math.Atan2 on the arctangent that is the same on every processor.
func arctangent2(y, x float64) float64 {
	if x == 0 || y == 0 || math.IsInf(x, 0) || math.IsInf(y, 0) || math.IsNaN(x) || math.IsNaN(y) {
		return math.Atan2(y, x) // exact cases: multiples of π/4
	}
	switch angle := elementary.Atan(y / x); {
	// In the right half plane the arctangent is the angle itself; to the left it is half a turn
	// off, up or down by the sign of y.
	case x > 0:
		return angle
	case y > 0:
		return angle + math.Pi
	default:
		return angle - math.Pi
	}
}

// callUnit is the unit of a node of several arguments by its rule.
func (m *model) callUnit(n *node) (measured, error) {
	x := n.aux.(*many)
	switch x.call.rule {
	case callSame:
		return m.sum(n, x.args)
	case callRatio:
		// The two arguments must have one unit, their quotient has none.
		_, err := m.sum(n, x.args)
		return measured{Unit: pure(), symbol: "1"}, err
	case callNumber:
		for _, arg := range x.args {
			if u := m.units[m.place(arg)]; !u.IsZero() && !u.isNumber() {
				return measured{}, mismatch(inputNames(arg), "%s of %s; expected a number",
					x.call.function, u.describe(arg))
			}
		}
		return measured{Unit: pure(), symbol: "1"}, nil
	}
	return measured{}, nil
}
