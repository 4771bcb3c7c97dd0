// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package tape evaluates a model on columns of trials. A [Tape] is the model as a list of
// instructions that each work on a whole block of trials, so that one decision serves 256
// of them and the loops hold no call; a [Machine] runs it; a [Builder] writes it and uses
// registers again, so that a long chain needs few.
//
// The package has instructions of its own and knows nothing of how a model was built:
// values come as columns, samplers and functions.
//
// Each element is computed with the operations of the formula in their order, each rounded
// by itself: the bits are those of the same formula in Go, where the compiler fuses
// nothing. They are the same on every processor: + − × ÷ and √ are, and the others are those
// of package [example.com/ohmwright/uncertainty/elementary]. A run allocates nothing.
package tape
