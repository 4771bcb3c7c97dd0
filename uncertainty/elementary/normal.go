// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary

import "math"

// Erf returns the error function of x, 2/√π times the integral of e^(−t²) from 0 to x,
// to 2 units of the last digit.
func Erf(x float64) float64 {
	switch {
	case x == 0:
		return x // also the zero with a sign
	case math.Abs(x) < seriesUpTo:
		return erfSeries(x)
	}
	// Odd: the sign is taken over.
	return math.Copysign(1-Erfc(math.Abs(x)), x)
}

// Erfc returns 1 − Erf(x) without loss of digits where x is large, to 6 units of the last
// digit.
func Erfc(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x < -6: // 2e-17 is left
		return 2
	case x < -seriesUpTo:
		return 2 - Erfc(-x)
	case x < seriesUpTo:
		return 1 - erfSeries(x)
	case x > 27.3: // 4e-326 is left, less than half of the smallest number
		return 0
	}
	// e^(−x²)/(1 + x/4) times a series of Chebyshev polynomials (see complement), summed by
	// Clenshaw's recurrence.
	t := 1 / (1 + x/4)
	u := float64(2*t*(1+seriesUpTo/4)) - 1
	a, b := 0.0, 0.0
	for i := len(complement) - 1; i > 0; i-- {
		a, b = complement[i]+(float64(2*u*a)-b), a
	}
	sum := complement[0] + (float64(u*a) - b)
	// The rounding of x² would be an error of x²·2⁻⁵³ in the result: its lost part is carried.
	square := float64(x * x)
	return float64(expSum(double{-square, -math.FMA(x, x, -square)}) * float64(t*sum))
}

// seriesUpTo is where the series about 0 ends; 1 − 0.52 loses a digit at most.
const seriesUpTo = 0.5

// erfSeries is Σ (−1)ⁿ x^(2n+1)/(n! (2n+1)), times 2/√π.
func erfSeries(x float64) float64 {
	z := float64(x * x)
	return float64(x*(2/math.SqrtPi)) + float64(float64(x*z)*polynomial(z, errorSeries[:]))
}

// errorSeries are 2/√π times −1/(1!·3), 1/(2!·5) and so on.
// Computed at the start by products and quotients alone, which are the same everywhere.
var errorSeries = func() (out [13]float64) {
	factorial := 1.0
	for i := range out {
		n := float64(i + 1)
		factorial *= -n
		out[i] = 2 / math.SqrtPi / (factorial * (2*n + 1))
	}
	return out
}()

// complement are the coefficients of Chebyshev polynomials for (1 + x/4) e^(x²) erfc x,
// x ≥ 1/2, of the argument that is 1 at x = 1/2 and −1 at infinity. Computed with 60
// digits; what follows is below 2e-20.
var complement = [...]float64{
	0.32668784752500925087,
	0.24985000344460850328,
	0.083626411598907775783,
	0.024531922883083915865,
	0.0062757639809030695821,
	0.0013823909534494077948,
	0.00025567281259028973754,
	0.000037689786460748190274,
	3.864576748937643151e-6,
	1.2215935505779875422e-7,
	-4.3607728728676147838e-8,
	-8.6930278957454313064e-9,
	-3.5636854618481219846e-10,
	1.31832146299507494e-10,
	2.2510609740972072723e-11,
	-6.8033955052282152362e-13,
	-5.9506869351136761158e-13,
	-3.1898263933942238444e-14,
	1.3013426648289363682e-14,
	1.6819551068934874866e-15,
	-2.6817865093985403028e-16,
	-6.0840133958628753183e-17,
	5.5600591465661484482e-18,
	2.0318938907838908381e-18,
	-1.2516661514501275026e-19,
}

// NormalCDF returns the probability that a standard normal quantity is below x, to
// 6 units of the last digit and, in the lower tail, 2x² more: the argument is rounded.
func NormalCDF(x float64) float64 { return Erfc(-x/math.Sqrt2) / 2 }

// NormalDensity returns the density of the standard normal distribution at x, to 2 units of
// the last digit.
func NormalDensity(x float64) float64 {
	square := float64(x * x)
	switch {
	case math.IsNaN(x):
		return x
	case square > 1500: // below the smallest number
		return 0
	}
	// As in Erfc.
	low := math.FMA(x, x, -square)
	return expSum(double{-square / 2, -low / 2}) / (math.Sqrt2 * math.SqrtPi)
}

// NormalQuantile returns the x with NormalCDF(x) = p: −Inf at 0, +Inf at 1,
// NaN outside; to 8 units of the last digit.
func NormalQuantile(p float64) float64 {
	switch {
	case !(p >= 0 && p <= 1):
		return math.NaN()
	case p == 0 || p == 1:
		return math.Inf(int(2*p - 1))
	// From the tail that p itself is, which has all digits.
	case p < 0.5:
		return -NormalUpper(p, 0.5-p)
	}
	return NormalUpper(1-p, p-0.5)
}

// NormalUpper returns the x ≥ 0 with the probability q above it and d between 0 and it,
// q + d = 1/2: +Inf for q = 0, NaN for negative ones. A caller that knows the smaller of the
// two gives it without rounding.
func NormalUpper(q, d float64) float64 {
	// Written so that NaN is refused too.
	if !(q > 0) || !(d >= 0) {
		if q == 0 {
			return math.Inf(1)
		}
		return math.NaN()
	}
	if d < 0.25 {
		// From the straight line through the middle.
		x := float64(d * (math.Sqrt2 * math.SqrtPi))
		// Halley's method converges with the third power: two steps reach the last digit, four are
		// never needed.
		for range 4 {
			e := (float64(0.5*Erf(x/math.Sqrt2)) - d) / NormalDensity(x)
			x -= e / (1 + float64(x*e)/2)
			if math.Abs(e) < 1e-6*x {
				break
			}
		}
		return x
	}
	// Start: Handbook of Mathematical Functions, 26.2.23, off by at most 4.5e-4.
	l := math.Sqrt(-2 * Log(q))
	x := l - polynomial(l, upperStart[:3])/polynomial(l, upperStart[3:])
	for range 4 {
		e := (NormalCDF(-x) - q) / NormalDensity(x)
		x += e / (1 - float64(x*e)/2)
		// What a step leaves is about x²e³/6: below the last digit where x is small, and 30 units
		// of it at 14, where e of the start may be just below the bound.
		if limit := float64(1e-6 * x); math.Abs(e) < limit && (x < 9 || math.Abs(e) < limit/100) {
			break
		}
	}
	return x
}

// upperStart are the coefficients of 26.2.23: those above the line, then those below.
var upperStart = [...]float64{2.515517, 0.802853, 0.010328, 1, 1.432788, 0.189269, 0.001308}
