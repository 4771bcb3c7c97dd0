// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary

import "math"

// Log returns the natural logarithm of x: −Inf at 0, NaN below 0, +Inf at +Inf.
func Log(x float64) float64 {
	if !(x > 0) || math.IsInf(x, 1) {
		return math.Log(x) // a special case
	}
	// x = m·2^e with √½ ≤ m < √2, so that log m is as near to 0 as it can be.
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = 2*m, e-1
	}
	return logSum(m-1, 0, float64(e))
}

// Log1p returns the natural logarithm of 1 + x without loss of digits where x is small:
// −Inf at −1, NaN below −1, +Inf at +Inf.
func Log1p(x float64) float64 {
	if !(x > -1) || math.IsInf(x, 1) {
		return math.Log1p(x) // a special case
	}
	switch {
	case math.Abs(x) < 1e-17:
		return x // also the zero with a sign
	// Near 1 the argument itself is the f of the series.
	case x > -0.29 && x < 0.41:
		return logSum(x, 0, 0)
	}
	// 1 + x as a double: what the sum loses is added to the logarithm, divided by the sum.
	u := exactSum(x, 1)
	m, e := math.Frexp(u.high)
	if m < math.Sqrt2/2 {
		m, e = 2*m, e-1
	}
	return logSum(m-1, u.low/u.high, float64(e))
}

// logSum is log(1 + f) + rest + e·ln 2 for √½ − 1 ≤ f ≤ √2 − 1. With s = f/(2 + f)
//
//	log(1 + f) = f − (f²/2 − s (f²/2 + s²(2/3 + 2/5 s² + …)))
func logSum(f, rest, e float64) float64 {
	// With s the series has odd powers only, and converges as if for a smaller argument.
	s := f / (2 + f)
	z := float64(s * s)
	r := float64(z * polynomial(z, logSeries[:]))
	half := float64(0.5 * float64(f*f))
	low := float64(s*(half+r)) + float64(e*ln2Low) + rest
	// The order of the differences keeps what each rounding loses small.
	return float64(e*ln2High) - ((half - low) - f)
}

// logSeries is 2/3, 2/5 and so on; s² ≤ 0.0295, and what follows is below 1e-18.
var logSeries = [...]float64{2. / 3, 2. / 5, 2. / 7, 2. / 9, 2. / 11, 2. / 13, 2. / 15, 2. / 17,
	2. / 19, 2. / 21, 2. / 23}

// logDouble is log x for finite x > 0 to about 2⁻⁶⁵ of it, as a power of x needs it.
func logDouble(x float64) double {
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = 2*m, e-1
	}
	// log m = 2 (s + s³/3 + s⁵/5 + …): the first two terms as doubles.
	f := m - 1
	s := quotient(double{high: f}, exactSum(2, f))
	z := product(s, s)
	cube := product(product(s, z), double{0x1.5555555555555p-1, 0x1.5555555555555p-55}) // 2/3
	rest := float64(float64(s.high*z.high) * float64(z.high*polynomial(z.high, logSeries[1:])))
	n := float64(e)
	sum := exactSum(float64(n*ln2High), 2*s.high)
	next := exactSum(cube.high, float64(n*ln2Low))
	low := sum.low + next.low + 2*s.low + cube.low + rest + float64(ln2Rest*n)
	sum = addTo(sum.high, next.high, low)
	return sum
}

// ln2Rest is ln 2 − ln2High − ln2Low.
const ln2Rest = 0x1.cc01f97b57a08p-87

// addTo is a + b + low, low being small.
func addTo(a, b, low float64) double {
	// exactSum is without error; low joins what it lost.
	s := exactSum(a, b)
	return fastSum(s.high, s.low+low)
}

// product is a·b.
func product(a, b double) double {
	p := float64(a.high * b.high)
	// The product of the leading parts exactly, by FMA, and the two mixed ones.
	low := math.FMA(a.high, b.high, -p) + (float64(a.high*b.low) + float64(a.low*b.high))
	return fastSum(p, low)
}

// Pow returns x to the power y, with the special cases of [math.Pow]: x < 0 with a y that
// is not whole gives NaN. Powers from −4 to 4 are products, to 3 units of the last digit;
// those to 2, 1/2 and −1 are correctly rounded.
func Pow(x, y float64) float64 {
	whole := y == math.Trunc(y)
	switch {
	case x == 1 || isSpecial(x) || isSpecial(y):
		return math.Pow(x, y) // exact, or by rule: the same on every processor
	case x < 0 && !whole:
		return math.NaN()
	case y == 0.5:
		return math.Sqrt(x)
	case y == -1:
		return 1 / x
	case whole && math.Abs(y) <= 4:
		// Inside the range where no square on the way overflows.
		if p := wholePower(x, int(math.Abs(y))); math.Abs(p) > 1e-300 && math.Abs(p) < 1e300 {
			if y < 0 {
				return 1 / p
			}
			return p
		}
	}
	result := generalPower(math.Abs(x), y)
	// An odd power of a negative number.
	if x < 0 && math.Mod(y, 2) != 0 {
		return -result
	}
	return result
}

// isSpecial reports whether v is 0, infinite or not a number.
func isSpecial(v float64) bool { return v == 0 || math.IsNaN(v) || math.IsInf(v, 0) }

// generalPower is exp(y·ln x) for finite x > 0 and y. The exponent, up to 745, is also the factor
// by which its relative error comes back in the power: ln x is therefore known to 2⁻⁶⁵, which
// leaves 745·2⁻⁶⁵, a tenth of a unit of the last digit.
func generalPower(x, y float64) float64 {
	p := product(logDouble(x), double{high: y})
	// One more than the limits: the sum may round to them, and expSum goes a little beyond.
	switch {
	case p.high > highestExponent+1:
		return math.Inf(1)
	case p.high < lowestExponent-1:
		return 0
	}
	return expSum(p)
}

// wholePower multiplies x with itself.
// By squaring: x⁴ is two products.
func wholePower(x float64, n int) float64 {
	power := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			power = float64(power * x)
		}
		x = float64(x * x)
	}
	return power
}

// Acosh returns the inverse hyperbolic cosine of x, to 3 units of the last digit: NaN for
// x < 1.
func Acosh(x float64) float64 {
	t := x - 1
	// x + √(x² − 1) is 2x to the last digit, and its square would overflow.
	if t > 1e150 {
		return Log(x) + math.Ln2
	}
	// x + √(x² − 1) = 1 + t + √(2t + t²) without cancelling near 1.
	return Log1p(t + math.Sqrt(2*t+float64(t*t)))
}

// Asinh returns the inverse hyperbolic sine of x, to 3 units of the last digit.
func Asinh(x float64) float64 {
	a := math.Abs(x)
	y := 0.0
	if a > 1e150 { // the square would come near the end of float64
		y = Log(a) + math.Ln2
	} else {
		square := float64(a * a)
		// a + √(1 + a²) = 1 + a + a²/(1 + √(1 + a²)) without cancelling near 0.
		y = Log1p(a + square/(1+math.Sqrt(1+square)))
	}
	return math.Copysign(y, x)
}
