// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"math"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Line fits the straight line y = β0 + β1·x. It is [Polynomial] of degree 1.
func Line(x, y []uncertainty.Quantity) (*Fit, error) { return Settings{}.Line(x, y) }

// Line is the function [Line] with settings.
func (s Settings) Line(x, y []uncertainty.Quantity) (*Fit, error) {
	return s.polynomial("Line", 1, x, y)
}

// Polynomial fits y = β0 + β1·x + … + βn·x^n of degree n ≥ 0 to as many y as x. The
// readings are weighted as [Weighted] does if their covariance matrix allows it;
// readings without an uncertainty of their own are treated as by [Unweighted].
//
// Uncertain x count with the slope of the curve (x and y may be correlated). The
// weights and the points on the curve are iterated until the weighted distances of the
// points from the curve, in both directions, are least.
//
// Internally the abscissa is centred and scaled: years such as 2026 or kilohms given in ohms do
// no harm, and a standard uncertainty is predicted well away from x = 0.
func Polynomial(degree int, x, y []uncertainty.Quantity) (*Fit, error) {
	return Settings{}.Polynomial(degree, x, y)
}

// Polynomial is the function [Polynomial] with settings.
func (s Settings) Polynomial(degree int, x, y []uncertainty.Quantity) (*Fit, error) {
	return s.polynomial("Polynomial", degree, x, y)
}

// polynomial is [Settings.Polynomial] for a function that errors name.
func (s Settings) polynomial(op string, degree int, x, y []uncertainty.Quantity) (*Fit, error) {
	switch {
	case degree < 0:
		return nil, &Error{Op: "fit." + op, Name: "degree", Value: float64(degree),
			Err: unit.Errorf(ErrDomain, "%d; expected 0 or more", degree)}
	case len(x) != len(y):
		return nil, &Error{Op: "fit." + op,
			Err: unit.Errorf(ErrDomain, "%d abscissae for %d readings; expected as many", len(x),
				len(y))}
	// As many points as parameters determine the curve, without a check of it.
	case len(y) <= degree:
		return nil, &Error{Op: "fit." + op,
			Err: unit.Errorf(ErrPoints, "%d points for %d parameters; expected at least as many "+
				"points", len(y), degree+1)}
	}
	e, err := observe(op, y, x)
	if err != nil {
		return nil, err
	}
	c, err := newCurve(op, degree, e.x)
	if err != nil {
		return nil, err
	}
	a, slope, err := c.adjust(e)
	if err != nil {
		return nil, err
	}
	return s.assemble(e, a, c, slope)
}

// curve is a polynomial in the reduced abscissa (x − middle)/half. The middle has few
// digits and the half-width is a power of two, so that the reduction is exact for
// abscissae of few digits.
type curve struct {
	degree       int
	middle, half float64
}

// newCurve chooses the reduction of the abscissa for the points x, of which there is one or more.
// Powers of numbers between about −1 and 1 are nearly independent: the condition of a parabola over
// the years 2016 to 2026, columns of unit length, is 2e6 as they are and 2.6 reduced.
func newCurve(op string, degree int, x []float64) (*curve, error) {
	low, high := slices.Min(x), slices.Max(x)
	// Two abscissae at the ends of float64.
	width := high - low
	if math.IsInf(width, 0) {
		return nil, &Error{Op: "fit." + op, Name: "width of the abscissae", Value: width,
			Err: unit.Errorf(ErrDomain, "%v; expected a finite number", width)}
	}
	c := &curve{degree: degree, half: 1}
	if width > 0 {
		_, exponent := math.Frexp(width / 2)
		// A power of two near half the width: dividing by it changes no digit.
		c.half = math.Ldexp(1, max(-900, exponent))
	}
	// The middle to a thousandth of the half-width has few digits of its own.
	grid := c.half / 1024
	c.middle = math.Round((low+width/2)/grid) * grid
	// Abscissae so near together, compared with their size, that rounding the middle would move
	// all of them.
	if math.IsNaN(c.middle) || math.IsInf(c.middle, 0) || math.Abs(c.middle) > 1e15*c.half {
		c.middle = low
	}
	return c, nil
}

// reduced is the abscissa between about −1 and 1.
func (c *curve) reduced(x float64) float64 { return (x - c.middle) / c.half }

// design has a row of powers of the reduced abscissa for each point.
func (c *curve) design(x []float64) *mat.Dense {
	d := mat.NewDense(len(x), c.degree+1, nil)
	for i, v := range x {
		power := 1.0
		for k := range c.degree + 1 {
			d.Set(i, k, power)
			power *= c.reduced(v)
		}
	}
	return d
}

// slope returns the derivative by x, Σ k·γ_k·x'^(k−1)/half in the reduced abscissa x', by Horner's
// scheme.
func (c *curve) slope(gamma []float64, x float64) float64 {
	var sum float64
	for k := c.degree; k > 0; k-- {
		sum = float64(sum*c.reduced(x)) + float64(float64(k)*gamma[k])
	}
	// By the chain rule, dx' = dx/half.
	return sum / c.half
}

// adjust fits the curve. With uncertain x it iterates the points on the curve (Gauss
// and Newton on the conditions y = f(x), textbook adjustment with conditions and
// unknowns); the slope at each point is returned too.
func (c *curve) adjust(e *observations) (a *adjustment, slope []float64, err error) {
	x := slices.Clone(e.x)
	// Exact abscissae need no iteration.
	if !e.uncertainX() {
		a, err = e.adjust(c.design(x), e.y, e.covariance(nil), byChoice)
		return a, nil, err
	}
	// The first curve takes x as exact.
	s, ok := newLeastSquares(c.design(x))
	if !ok {
		return nil, nil, e.rank(c.degree + 1)
	}
	gamma := s.solve(e.y).high
	z := make([]float64, len(x))
	slope = make([]float64, len(x))
	const mostRounds = 200
	for range mostRounds {
		for i := range x {
			slope[i] = c.slope(gamma, x[i])
			// The line that touches the curve at the adjusted point, taken back to the measured
			// one.
			z[i] = e.y[i] - float64(slope[i]*(e.x[i]-x[i]))
		}
		// With x uncertain, V is the covariance of y − slope·x.
		if a, err = e.adjust(c.design(x), z, e.covariance(slope), byChoice); err != nil {
			return nil, nil, err
		}
		// The points and the curve both move: it ends when the parameters no longer do.
		still := a.still(gamma)
		gamma = a.high
		if still {
			return a, slope, nil
		}
		e.move(x, slope, a.pull)
	}
	return nil, nil, &Error{Op: "fit." + e.op, Err: unit.Errorf(ErrConvergence,
		"the points on the curve do not settle; expected uncertainties of x that are small "+
			"compared with the width of the curve")}
}

// still reports whether the parameters stay where they are, by their uncertainty.
// Weighted, the cofactors are variances already; unweighted they want s².
func (a *adjustment) still(gamma []float64) bool {
	u := 1.0
	if a.pull == nil {
		u = a.s
	}
	for k, g := range gamma {
		step := math.Abs(a.high[k] - g)
		// A step that no digit of the uncertainty shows, or none of the parameter itself.
		if step > 1e-10*u*math.Sqrt(a.cofactor.At(k, k)) && step > 1e-14*math.Abs(g) {
			return false
		}
	}
	return true
}

// move sets x to the adjusted abscissae, x_i − cov(x_i, y − slope·x)·V⁻¹·residual: each takes its
// share of the residuals, by its covariance with them. For one point with exact y it is all of it:
// the covariance −b·u², V = b²·u² and the residual r move x by r/b, onto the line. For equal u(y)
// and b·u(x) the point moves half way.
func (e *observations) move(x, slope, pull []float64) {
	n := len(x)
	for i := range pull {
		x[i] = e.x[i]
		for k, p := range pull {
			x[i] -= float64((e.cov.At(n+i, k) - float64(slope[k]*e.cov.At(n+i, n+k))) * p)
		}
	}
}

// expand returns the coefficients in x of a polynomial given by high + low in the
// reduced abscissa. Far from x = 0 the terms cancel, hence the long numbers.
func (c *curve) expand(high, low []float64) []float64 {
	// 400 bits: 120 digits, of which cancelling may take a hundred.
	number := func(v float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(v) }
	n := len(high)
	coefficients := make([]*big.Float, n)
	scale := number(1)
	for k := range n {
		g := number(high[k])
		if low != nil {
			g.Add(g, number(low[k]))
		}
		// The k-th power of the reduced abscissa has half^k in its denominator.
		coefficients[k] = g.Quo(g, scale)
		scale.Mul(scale, number(c.half))
	}
	middle, step := number(c.middle), number(0)
	// Shifting by Horner's scheme, one power after the other.
	for i := range n {
		for k := n - 2; k >= i; k-- {
			coefficients[k].Sub(coefficients[k], step.Mul(middle, coefficients[k+1]))
		}
	}
	out := make([]float64, n)
	for k, b := range coefficients {
		out[k], _ = b.Float64()
	}
	return out
}
