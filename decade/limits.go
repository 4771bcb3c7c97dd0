// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math/big"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// tables are the values of a setting that are sums over its dials.
type tables struct {
	nominal, value, class, lower, upper table
}

// tables forms the sums of a description.
func (s *Spec) tables() tables {
	positions := make([]int, len(s.Decades))
	for i, d := range s.Decades {
		positions[i] = d.Positions
	}
	nominal, class := s.nominalSum(), s.classSum()
	// A table for each question: lower and upper limit are rounded once from stated decimals, and
	// not sums of two rounded numbers.
	return tables{
		nominal: nominal.compile(positions),
		value:   s.limitSum(nominal, s.newSum(), ignoreLimits).compile(positions),
		class:   class.compile(positions),
		lower:   s.limitSum(nominal, class, minus).compile(positions),
		upper:   s.limitSum(nominal, class, plus).compile(positions),
	}
}

// newSum is a sum of zeros for the dials of a box.
func (s *Spec) newSum() sum {
	n := len(s.Decades)
	out := sum{make([]*big.Rat, n), make([]*big.Rat, n), new(big.Rat), new(big.Rat)}
	for i := range n {
		out.perStep[i], out.offZero[i] = new(big.Rat), new(big.Rat)
	}
	return out
}

// nominalSum is Σ p·step.
func (s *Spec) nominalSum() sum {
	out := s.newSum()
	for i, d := range s.Decades {
		out.perStep[i] = decimal(d.Step)
	}
	return out
}

// classSum is what the class allows: Σ (tolerance·p·step + floor) and the whole-box
// terms; nothing at the zero setting.
func (s *Spec) classSum() sum {
	out := s.newSum()
	for i, d := range s.Decades {
		// A class limits the dialled value of its dial (IEC 60477-1). Limits of dial and box are
		// worst cases: they add, and not their squares.
		out.perStep[i] = product(decimal(d.Step), plus(decimal(d.Tolerance), decimal(s.Tolerance)))
		out.offZero[i] = decimal(d.Floor)
	}
	out.off = decimal(s.Floor)
	return out
}

// ignoreLimits takes the middle of the limits.
func ignoreLimits(value, _ *big.Rat) *big.Rat { return value }

// limitSum is the lower or upper limit at the terminals: nominal − class or nominal +
// class, with the residual and its tolerance where the nominal value does not include it.
func (s *Spec) limitSum(nominal, class sum, combine func(a, b *big.Rat) *big.Rat) sum {
	out := s.newSum()
	for i := range s.Decades {
		out.perStep[i] = combine(nominal.perStep[i], class.perStep[i])
		out.offZero[i] = combine(nominal.offZero[i], class.offZero[i])
	}
	out.zero = combine(decimal(s.Residual), decimal(s.ResidualTolerance))
	out.off = combine(new(big.Rat), class.off)
	// Off zero the residual is beside the dials; where the nominal value includes it, it is
	// there already.
	if !s.ResidualIncluded {
		out.off = plus(out.off, out.zero)
	}
	return out
}

// TwoNumberClass turns a class c/d with the limits
//
//	±[c + d·(largest/R − 1)] % of R
//
// into the terms Tolerance = (c − d)/100 and Floor = d·largest/100 of a [Spec], c and d being
// per cent as the class is written, largest the highest resistance of the box in ohms
// (two-number classes of resistance boxes, GOST 23737-79; form from memory). Both results are
// correctly rounded. It returns an error where c, d or largest is not finite or negative, or d
// greater than c.
func TwoNumberClass(c, d, largest float64) (tolerance, floor float64, err error) {
	const op = "decade.TwoNumberClass"
	if err := checkAll(op, "", []stated{{"c", " %", c}, {"d", " %", d},
		{"largest", " Ω", largest}}); err != nil {
		return 0, 0, err
	}
	if d > c {
		return 0, 0, &Error{Op: op, Name: "d", Value: d,
			Err: unit.Errorf(ErrDomain, "%v %%, above c = %v %%; expected d ≤ c", d, c)}
	}
	percent := big.NewRat(1, 100)
	// R·(c − d) + d·largest, the bracket multiplied by R.
	tolerance = nearest(product(minus(decimal(c), decimal(d)), percent))
	floor = nearest(product(product(decimal(d), decimal(largest)), percent))
	return tolerance, floor, numbers.Finite(op, "floor", floor)
}
