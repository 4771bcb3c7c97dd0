// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// observations are the readings with all that is known of their uncertainty; for n points cov has
// n rows for y and, where there are abscissae, n more for x.
type observations struct {
	op           string                 // that errors name
	ys, xs       []uncertainty.Quantity // xs is nil for a design
	y, x         []float64              // estimates
	cov          *mat.SymDense          // of y, then of x
	own          bool                   // some reading has a source that no other shares
	yUnit, xUnit string                 // common to all; empty where there is none
}

// observe evaluates all readings at once, so that what they share is known.
func observe(op string, ys, xs []uncertainty.Quantity) (*observations, error) {
	all := append(append([]uncertainty.Quantity{}, ys...), xs...)
	m, err := uncertainty.EvaluateAll(all...)
	if err != nil {
		return nil, &Error{Op: "fit." + op, Err: err}
	}
	e := &observations{op: op, ys: ys, xs: xs, cov: m.Covariance}
	owner := make(map[[2]string]int) // point of each source, by name and ID
	// A source that reaches two points is shared; one that reaches x and y of one point is its
	// own.
	shared := make(map[[2]string]bool)
	for i, b := range m.Budgets {
		if i < len(ys) {
			e.y = append(e.y, b.Estimate)
		} else {
			e.x = append(e.x, b.Estimate)
		}
		// x and y of one point have one number.
		point := i % len(ys)
		for _, c := range b.Components {
			if c.Contribution == 0 {
				continue
			}
			key := [2]string{c.Name, c.ID}
			if before, ok := owner[key]; ok && before != point {
				shared[key] = true
			}
			owner[key] = point
		}
	}
	// The elements of a design may carry units, so that its readings need not have one in common.
	if op == opWeighted {
		e.yUnit = common(m.Budgets[:len(ys)])
	} else if e.yUnit, err = unitOfAll(op, "readings", ys); err != nil {
		return nil, err
	}
	if e.xUnit, err = unitOfAll(op, "abscissae", xs); err != nil {
		return nil, err
	}
	// Some source is nobody else's: then readings have an uncertainty of their own.
	e.own = len(shared) < len(owner)
	return e, nil
}

// opWeighted is the operation that errors name.
const opWeighted = "Weighted"

// unitOfAll is the unit of quantities that must add, empty where none states one.
func unitOfAll(op, what string, list []uncertainty.Quantity) (string, error) {
	if len(list) == 0 {
		return "", nil
	}
	b, err := uncertainty.Evaluate(uncertainty.Sum(list...))
	if errors.Is(err, uncertainty.ErrUnitMismatch) {
		return "", &Error{Op: "fit." + op, Name: what, Err: unit.WithoutOp(err)}
	}
	if err != nil {
		return "", nil // a sum beyond float64 says nothing about units
	}
	return b.Unit, nil
}

// common is the unit of all readings, empty where they differ.
func common(readings []*uncertainty.Budget) string {
	for _, b := range readings {
		if b.Unit != readings[0].Unit {
			return ""
		}
	}
	return readings[0].Unit
}

// covariance returns that of y − slope·x.
func (e *observations) covariance(slope []float64) *mat.SymDense {
	n := len(e.y)
	v := mat.NewSymDense(n, nil)
	for i := range n {
		for k := range i + 1 {
			c := e.cov.At(i, k)
			if slope != nil {
				// Var(y − b·x) = Var(y) − 2b·Cov(x, y) + b²·Var(x), and so for two points.
				c -= float64(slope[k]*e.cov.At(i, n+k)) + float64(slope[i]*e.cov.At(n+i, k))
				c += float64(slope[i] * slope[k] * e.cov.At(n+i, n+k))
			}
			v.SetSym(i, k, c)
		}
	}
	return v
}

// uncertainX reports whether any abscissa has an uncertainty.
func (e *observations) uncertainX() bool {
	n := len(e.y)
	for i := range e.x {
		if e.cov.At(n+i, n+i) > 0 {
			return true
		}
	}
	return false
}

// adjustment is the solution for the parameters.
type adjustment struct {
	high, low []float64     // parameters as sums
	c         *mat.Dense    // parameters by readings
	residual  []float64     // readings less the curve, in their unit
	pull      []float64     // V⁻¹·residual; nil for equal weights
	cofactor  *mat.SymDense // C·V·Cᵀ, or C·Cᵀ for equal weights
	chi, s    float64       // χ²; s of one reading, for equal weights only
	dof       int           // readings less parameters
}

// adjust solves z = X·β for readings z with covariance matrix v. How the weights follow:
//
//	V has an inverse   own uncertainty   mode        weights
//	yes                                  not scatter V⁻¹
//	no                 none has any      by choice   equal, s from the scatter
//	no                 some have         by choice   refused
//	no                                   weighted    refused
//	                                     by scatter  equal, s from the scatter
func (e *observations) adjust(x *mat.Dense, z []float64, v *mat.SymDense,
	m mode) (*adjustment, error) {
	w, regular := newWhitening(v)
	// By choice weights are equal only where no reading has an uncertainty of its own.
	switch {
	case m == byScatter, m == byChoice && !regular && !e.own:
		return e.adjustEqually(x, z)
	case !regular:
		return nil, &Error{Op: "fit." + e.op, Err: unit.Errorf(ErrCovariance,
			"some readings are exact or share all their uncertainty, and others do not; "+
				"expected an uncertainty of its own for each reading, or for none")}
	}
	n, p := x.Dims()
	// W turns y and X into readings of unit variance, which are fitted with equal weights.
	s, ok := newLeastSquares(w.apply(x))
	if !ok {
		return nil, e.rank(p)
	}
	white := w.apply(mat.NewDense(n, 1, append([]float64{}, z...)))
	got := s.solve(mat.Col(nil, 0, white))
	a := &adjustment{high: got.high, low: got.low, dof: n - p}
	c := s.inverse()
	// Of independent readings of variance 1 the covariance of β is C·Cᵀ.
	a.cofactor = gram(c)
	// β = C·W·y: back takes W to the other side.
	a.c = mat.DenseCopyOf(w.back(c.T()).T())
	a.pull = mat.Col(nil, 0, w.back(mat.NewDense(n, 1, got.residual)))
	a.residual = residuals(x, z, got.high)
	for _, r := range got.residual {
		a.chi += float64(r * r)
	}
	// As many parameters as points: the curve goes through all of them.
	if a.dof == 0 {
		a.chi = 0 // what is left is rounding
	}
	return a, nil
}

// residuals are z − X·β in the unit of y. A reading of 10 kΩ with a residual of 1 mΩ loses seven of
// sixteen digits in the difference, so that the products are added in twice the precision.
func residuals(x *mat.Dense, z, beta []float64) []float64 {
	n, p := x.Dims()
	out := make([]float64, n)
	for i := range n {
		sum := doubled{high: z[i]}
		for k := range p {
			sum.addProduct(-x.At(i, k), beta[k])
		}
		out[i] = sum.value()
	}
	return out
}

// adjustEqually is the case of equal weights, s from the scatter: χ² is then n − p by definition.
func (e *observations) adjustEqually(x *mat.Dense, z []float64) (*adjustment, error) {
	n, p := x.Dims()
	if n <= p {
		return nil, &Error{Op: "fit." + e.op,
			Err: unit.Errorf(ErrPoints, "%d readings for %d parameters leave no scatter to take "+
				"an uncertainty from; expected more readings, or readings with stated "+
				"uncertainties", n, p)}
	}
	s, ok := newLeastSquares(x)
	if !ok {
		return nil, e.rank(p)
	}
	// GUM H.3.2, for any design.
	got := s.solve(z)
	c := s.inverse()
	a := &adjustment{high: got.high, low: got.low, c: c, residual: got.residual, cofactor: gram(c),
		dof: n - p, chi: float64(n - p)}
	var sum doubled
	for _, r := range got.residual {
		// s² = Σr²/(n − p)
		sum.addProduct(r, r)
	}
	a.s = math.Sqrt(sum.value() / float64(n-p))
	return a, nil
}

// rank is the refusal of points that leave a parameter open.
func (e *observations) rank(p int) error {
	return &Error{Op: "fit." + e.op, Err: unit.Errorf(ErrRank, "the points do not determine %d "+
		"parameters; expected abscissae, or rows of the design, that differ enough", p)}
}

// gram returns C·Cᵀ, p × p, in twice the precision: rows of C that nearly cancel are what makes
// strongly correlated parameters.
func gram(c *mat.Dense) *mat.SymDense {
	p, n := c.Dims()
	g := mat.NewSymDense(p, nil)
	for i := range p {
		for k := range i + 1 {
			var sum doubled
			for j := range n {
				sum.addProduct(c.At(i, j), c.At(k, j))
			}
			g.SetSym(i, k, sum.value())
		}
	}
	return g
}

// whitening turns readings of covariance matrix V into independent ones of unit variance: W =
// L⁻¹·D⁻¹ for V = D·(L·Lᵀ)·D with the standard uncertainties D. D is taken out first, so that
// readings of very different size do not spoil the condition.
type whitening struct {
	u []float64     // D
	l *mat.TriDense // of the correlation matrix
}

// newWhitening reports false where V has no inverse.
func newWhitening(v *mat.SymDense) (*whitening, bool) {
	n := v.SymmetricDim()
	w := &whitening{u: make([]float64, n), l: mat.NewTriDense(n, mat.Lower, nil)}
	for i := range n {
		w.u[i] = math.Sqrt(v.At(i, i))
		if !(w.u[i] > 0) {
			return nil, false
		}
	}
	r := mat.NewSymDense(n, nil)
	for i := range n {
		for k := range i + 1 {
			r.SetSym(i, k, v.At(i, k)/w.u[i]/w.u[k])
		}
	}
	var c mat.Cholesky
	// As for the weights of a mean.
	if !c.Factorize(r) || !(c.Cond() < 1e12) {
		return nil, false
	}
	c.LTo(w.l)
	return w, true
}

// apply returns W·x.
func (w *whitening) apply(x *mat.Dense) *mat.Dense {
	out := mat.DenseCopyOf(x)
	rows, columns := out.Dims()
	for i := range rows {
		for k := range columns {
			out.Set(i, k, out.At(i, k)/w.u[i])
		}
	}
	_ = out.Solve(w.l, out) // regular by newWhitening
	return out
}

// back returns Wᵀ·x.
func (w *whitening) back(x mat.Matrix) *mat.Dense {
	var out mat.Dense
	_ = out.Solve(w.l.T(), x)
	rows, columns := out.Dims()
	for i := range rows {
		for k := range columns {
			out.Set(i, k, out.At(i, k)/w.u[i])
		}
	}
	return &out
}
