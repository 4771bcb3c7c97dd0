// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "math"

// Operations on columns of one length, element by element. Those that nearly every
// model consists of take four elements a turn: the turns of a loop cost as much as an
// addition.

func bothColumns(o op, dst, a, b []float64) {
	a, b = a[:len(dst)], b[:len(dst)]
	switch o {
	case opAdd:
		add(dst, a, b)
	case opSub:
		subtract(dst, a, b)
	case opMul:
		multiply(dst, a, b)
	case opDiv:
		for i := range dst {
			dst[i] = a[i] / b[i]
		}
	case opPow:
		for i := range dst {
			dst[i] = math.Pow(a[i], b[i])
		}
	}
}

// rightConstant also does the functions of one argument.
func rightConstant(o op, dst, a []float64, b float64) {
	a = a[:len(dst)]
	switch o {
	case opAdd:
		for i := range dst {
			dst[i] = a[i] + b
		}
	case opSub:
		for i := range dst {
			dst[i] = a[i] - b
		}
	case opMul:
		for i := range dst {
			dst[i] = a[i] * b
		}
	case opDiv:
		for i := range dst {
			dst[i] = a[i] / b
		}
	case opPow:
		raise(dst, a, b)
	case opSqrt:
		for i := range dst {
			dst[i] = math.Sqrt(a[i])
		}
	default:
		f := elementary[o]
		for i := range dst {
			dst[i] = f(a[i])
		}
	}
}

var elementary = [...]func(float64) float64{
	opExp: math.Exp, opLog: math.Log, opSin: math.Sin, opCos: math.Cos, opTan: math.Tan,
	opAsin: math.Asin, opAcos: math.Acos, opAtan: math.Atan,
}

// raise squares without math.Pow, which gives the same bits.
func raise(dst, a []float64, b float64) {
	a = a[:len(dst)]
	if b == 2 {
		for i := range dst {
			dst[i] = a[i] * a[i]
		}
		return
	}
	for i := range dst {
		dst[i] = math.Pow(a[i], b)
	}
}

func leftConstant(o op, dst []float64, a float64, b []float64) {
	b = b[:len(dst)]
	switch o {
	case opAdd:
		for i := range dst {
			dst[i] = a + b[i]
		}
	case opSub:
		for i := range dst {
			dst[i] = a - b[i]
		}
	case opMul:
		for i := range dst {
			dst[i] = a * b[i]
		}
	case opDiv:
		for i := range dst {
			dst[i] = a / b[i]
		}
	case opPow:
		for i := range dst {
			dst[i] = math.Pow(a, b[i])
		}
	}
}

func add(dst, a, b []float64) {
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

func subtract(dst, a, b []float64) {
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

func multiply(dst, a, b []float64) {
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
