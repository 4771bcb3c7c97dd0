// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

import "example.com/ohmwright/uncertainty/internal/variate"

// Op is what an instruction does.
type Op uint8

// Draw, Linear and Call take as many registers as they need, the others one or two.
// Accumulate adds the effect of a to dst, which the first of them begins.
const (
	Draw Op = iota
	Add
	Sub
	Mul
	Div
	Pow
	Sqrt
	Exp
	Log
	Sin
	Cos
	Tan
	Asin
	Acos
	Atan
	Linear
	Call
	Accumulate
)

// A Tape is a model as a list of instructions that each work on whole columns. It does not
// change once it is finished, and serves several machines.
type Tape struct {
	Code      []Instruction
	Registers int   // that the code needs
	Outputs   []Ref // one for each measurand

	scratch   int // register of joint draws, or -1
	mostArgs  int // of a Call
	mostDrawn int // together
}

// A Ref is a register, or a constant where the register is -1.
type Ref struct {
	Register int
	Value    float64
}

// Fixed returns the constant v.
func Fixed(v float64) Ref { return Ref{-1, v} }

// None is no value at all.
var None = Ref{Register: -2}

// IsFixed reports whether r is a constant.
func (r Ref) IsFixed() bool { return r.Register < 0 }

// An Instruction fills one column, or those of quantities that are drawn together.
type Instruction struct {
	Op   Op
	dst  int // register of the result
	a, b Ref // operands

	Stream  int // of random numbers
	Sampler variate.Sampler
	Joint   *variate.Joint // in place of Sampler
	dsts    []int          // of Joint

	// Only these two need memory of their own.
	many *many // of Linear and Call

	effect *Effect // of Accumulate
	begins bool    // the sum
}

// many is what an instruction of more than two arguments needs.
type many struct {
	args     []Ref
	constant float64 // of Linear
	factors  []float64
	function func(x []float64) float64 // of Call
}
