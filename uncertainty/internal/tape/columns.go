// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// Operations on columns of one length, element by element. Those that nearly every
// model consists of take four elements a turn: the turns of a loop cost as much as an
// addition.

// bothColumns does o for two columns. dst may be one of them: each element is read before it is
// written.
func bothColumns(o Op, dst, a, b []float64) {
	// The same length is known to the compiler, which leaves out the checks of indices.
	a, b = a[:len(dst)], b[:len(dst)]
	switch o {
	case Add:
		addColumns(dst, a, b)
	case Sub:
		subtractColumns(dst, a, b)
	case Mul:
		multiplyColumns(dst, a, b)
	case Div:
		for i := range dst {
			dst[i] = a[i] / b[i]
		}
	case Pow:
		for i := range dst {
			dst[i] = elementary.Pow(a[i], b[i])
		}
	}
}

// rightConstant also does the functions of one argument.
func rightConstant(o Op, dst, a []float64, b float64) {
	a = a[:len(dst)]
	switch o {
	case Add:
		for i := range dst {
			dst[i] = a[i] + b
		}
	case Sub:
		for i := range dst {
			dst[i] = a[i] - b
		}
	case Mul:
		for i := range dst {
			dst[i] = a[i] * b
		}
	case Div:
		for i := range dst {
			dst[i] = a[i] / b
		}
	case Pow:
		raiseColumn(dst, a, b)
	case Sqrt:
		for i := range dst {
			dst[i] = math.Sqrt(a[i])
		}
	default:
		// One call for each element: these functions cost far more than a call.
		f := functions[o]
		for i := range dst {
			dst[i] = f(a[i])
		}
	}
}

// functions are those of one argument, by operation.
var functions = [...]func(float64) float64{
	Exp: elementary.Exp, Log: elementary.Log, Sin: elementary.Sin, Cos: elementary.Cos,
	Tan:  elementary.Tan,
	Asin: elementary.Asin, Acos: elementary.Acos, Atan: elementary.Atan,
}

// raiseColumn squares without Pow, which gives the same bits.
func raiseColumn(dst, a []float64, b float64) {
	a = a[:len(dst)]
	// The most frequent exponent; the square of Pow is the same product.
	if b == 2 {
		for i := range dst {
			dst[i] = a[i] * a[i]
		}
		return
	}
	for i := range dst {
		dst[i] = elementary.Pow(a[i], b)
	}
}

// leftConstant does o for a constant and a column. Functions of one argument never come here: their
// second operand is the constant, see Builder.Operation.
func leftConstant(o Op, dst []float64, a float64, b []float64) {
	b = b[:len(dst)]
	switch o {
	case Add:
		for i := range dst {
			dst[i] = a + b[i]
		}
	case Sub:
		for i := range dst {
			dst[i] = a - b[i]
		}
	case Mul:
		for i := range dst {
			dst[i] = a * b[i]
		}
	case Div:
		for i := range dst {
			dst[i] = a / b[i]
		}
	case Pow:
		for i := range dst {
			dst[i] = elementary.Pow(a, b[i])
		}
	}
}

// addColumns, subtractColumns and multiplyColumns are the loops of nearly every model.
func addColumns(dst, a, b []float64) {
	a, b = a[:len(dst)], b[:len(dst)]
	i := 0
	for ; i < len(dst)-3; i += 4 {
		dst[i] = a[i] + b[i]
		dst[i+1] = a[i+1] + b[i+1]
		dst[i+2] = a[i+2] + b[i+2]
		dst[i+3] = a[i+3] + b[i+3]
	}
	for ; i < len(dst); i++ {
		dst[i] = a[i] + b[i]
	}
}

// subtractColumns is a − b, four at a time.
func subtractColumns(dst, a, b []float64) {
	a, b = a[:len(dst)], b[:len(dst)]
	i := 0
	for ; i < len(dst)-3; i += 4 {
		dst[i] = a[i] - b[i]
		dst[i+1] = a[i+1] - b[i+1]
		dst[i+2] = a[i+2] - b[i+2]
		dst[i+3] = a[i+3] - b[i+3]
	}
	for ; i < len(dst); i++ {
		dst[i] = a[i] - b[i]
	}
}

// multiplyColumns is a·b, four at a time.
func multiplyColumns(dst, a, b []float64) {
	a, b = a[:len(dst)], b[:len(dst)]
	i := 0
	for ; i < len(dst)-3; i += 4 {
		dst[i] = a[i] * b[i]
		dst[i+1] = a[i+1] * b[i+1]
		dst[i+2] = a[i+2] * b[i+2]
		dst[i+3] = a[i+3] * b[i+3]
	}
	for ; i < len(dst); i++ {
		dst[i] = a[i] * b[i]
	}
}

// fillColumn sets all elements to v.
func fillColumn(dst []float64, v float64) {
	for i := range dst {
		dst[i] = v
	}
}
