// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

import "example.com/ohmwright/uncertainty/internal/variate"

// A Builder writes a tape: [Builder.Begin], then the instructions in the order in which
// they run, then [Builder.Finish]. Each value is given the number of its readers, and its
// register is used again as soon as the last of them is done. A Builder may be used again
// for another tape.
type Builder struct {
	tape  *Tape // that is being written
	reads []int // by register: readers to come; 0 where it is free
	free  []int // registers without readers, the last of them to be taken first
}

// An example: y = (a + b)·a − 3, a being read twice and everything else once.
//
//	a  = Draw(0, …, 2)                 register 0
//	b  = Draw(1, …, 1)                 register 1
//	s  = Operation(Add, a, b, 1)       b is done: register 1 again
//	p  = Operation(Mul, s, a, 1)       s and a are done: register 0, the last that was freed
//	y  = Operation(Sub, p, Fixed(3), 1)  register 0
//
// Two columns of 256 numbers do for the whole model, and stay in the first-level cache.

// Begin starts a tape of about so many instructions, with so many outputs.
func (b *Builder) Begin(instructions, outputs int) {
	b.tape = &Tape{scratch: -1, Code: make([]Instruction, 0, instructions),
		Outputs: make([]Ref, 0, outputs)}
	b.reads, b.free = b.reads[:0], b.free[:0]
}

// Finish returns the tape. An output counts as a reader that is never done.
func (b *Builder) Finish() *Tape {
	t := b.tape
	// The tape is the caller's: the builder begins a new one.
	b.tape = nil
	return t
}

// Output adds an output.
func (b *Builder) Output(r Ref) { b.tape.Outputs = append(b.tape.Outputs, r) }

// Draw draws an input from its own stream of random numbers.
func (b *Builder) Draw(stream int, s variate.Sampler, readers int) Ref {
	// The register is taken when the value is made, and given back by its last reader.
	r := b.take(readers)
	b.tape.Code = append(b.tape.Code, Instruction{Op: Draw, dst: r, Stream: stream, Sampler: s})
	return Ref{Register: r}
}

// DrawJoint draws inputs together and writes where they are to dst, whose length is that
// of readers.
func (b *Builder) DrawJoint(stream int, j *variate.Joint, readers []int, dst []Ref) {
	in := Instruction{Op: Draw, Stream: stream, Joint: j}
	for k, n := range readers {
		r := b.take(n)
		dst[k] = Ref{Register: r}
		in.dsts = append(in.dsts, r)
	}
	b.tape.mostDrawn = max(b.tape.mostDrawn, len(readers))
	// One column serves all joint draws, one after the other.
	if b.tape.scratch < 0 {
		b.tape.scratch = b.take(1) // never released
	}
	b.tape.Code = append(b.tape.Code, in)
}

// Operation writes an operation on one or two values, of which at least one varies; a
// function of one argument takes any constant for y. The target may be the register of an
// operand that is read for the last time: element i is read before it is written.
func (b *Builder) Operation(o Op, x, y Ref, readers int) Ref {
	// Released before the target is taken, so that the target may be one of them.
	b.release(x)
	b.release(y)
	in := Instruction{Op: o, a: x, b: y, dst: b.take(readers)}
	b.tape.Code = append(b.tape.Code, in)
	return Ref{Register: in.dst}
}

// Linear writes constant + Σ factors[i]·args[i]. The slices are kept.
func (b *Builder) Linear(constant float64, factors []float64, args []Ref, readers int) Ref {
	return b.many(Linear, &many{args: args, constant: constant, factors: factors}, readers)
}

// Call writes a call of f for each trial. The slice is kept.
func (b *Builder) Call(f func(x []float64) float64, args []Ref, readers int) Ref {
	b.tape.mostArgs = max(b.tape.mostArgs, len(args))
	return b.many(Call, &many{args: args, function: f}, readers)
}

// Accumulate adds the effect of x to a sum, or begins one where sum is none ([None]); the
// value x is at hand and keeps its readers.
func (b *Builder) Accumulate(sum, x Ref, e *Effect) Ref {
	begins := sum == None
	if begins {
		sum = Ref{Register: b.take(1)} // never released: it is an output
	}
	in := Instruction{Op: Accumulate, dst: sum.Register, a: x, effect: e, begins: begins}
	b.tape.Code = append(b.tape.Code, in)
	return sum
}

// many takes a register of its own, not one of the arguments: they are read after it is written.
func (b *Builder) many(o Op, m *many, readers int) Ref {
	in := Instruction{Op: o, dst: b.take(readers), many: m}
	for _, r := range m.args {
		b.release(r)
	}
	b.tape.Code = append(b.tape.Code, in)
	return Ref{Register: in.dst}
}

// Rename gives the value to so many readers more, in place of one.
func (b *Builder) Rename(r Ref, readers int) {
	if !r.IsFixed() {
		// The name has readers of its own, in place of the one that it is.
		b.reads[r.Register] += readers
		b.release(r)
	}
}

// take returns a free register for a value that is read n times.
func (b *Builder) take(n int) int {
	// The register that was freed last is the one most likely in the cache.
	if k := len(b.free); k > 0 {
		r := b.free[k-1]
		b.free = b.free[:k-1]
		b.reads[r] = n
		return r
	}
	b.reads = append(b.reads, n)
	b.tape.Registers++
	return b.tape.Registers - 1
}

// release counts one reader of a register as done; the last of them frees it. A constant has none.
func (b *Builder) release(r Ref) {
	if r.IsFixed() {
		return
	}
	b.reads[r.Register]--
	if b.reads[r.Register] == 0 {
		b.free = append(b.free, r.Register)
	}
}
