// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/unit"
)

// ErrSingular says that outputs depend on each other exactly, so that their joint
// distribution fills no volume.
var ErrSingular = unit.Errorf(ErrCovariance,
	"covariance matrix of the outputs is singular; expected outputs that do not determine each "+
		"other")

// EllipseFactor returns the coverage factor k of the hyper-ellipsoid
// (η − y)ᵀ·V⁻¹·(η − y) ≤ k² that m jointly normal outputs lie in with probability p
// (JCGM 102 6.5.2 and Table 1): k² is the chi-squared quantile with m degrees of
// freedom. With finite dof, for a multivariate t-distribution with scale matrix V, it
// is m times the quantile of Fisher's distribution with m and dof.
//
// Domain: 0 < p < 1, m ≥ 1, dof > 0 or +Inf; anything else is refused ([ErrDomain]),
// and so are the few p and dof for which no quantile can be found.
func EllipseFactor(p float64, m int, dof float64) (k float64, err error) {
	if err := checkFactor("EllipseFactor", p, m, dof); err != nil {
		return 0, err
	}
	// The inverse of the incomplete gamma and beta functions panics or is NaN at absurd
	// probabilities.
	none := &Error{Op: "uncertainty.EllipseFactor", Value: p,
		// One error for all ways in which an inverse can fail.
		Err: unit.Errorf(ErrDomain, "no factor found for p = %v and %d outputs with %v degrees "+
			"of freedom; expected a probability not so near to 0 or 1, or more degrees of freedom",
			p, m, dof)}
	defer func() {
		if r := recover(); r != nil || err == nil && !(k > 0 && k <= math.MaxFloat64) {
			k, err = 0, none
		}
	}()
	n := float64(m)
	// So many degrees of freedom are as good as infinite but for one term.
	if dof > manyDOF {
		x := distuv.ChiSquared{K: n}.Quantile(p)
		return math.Sqrt(x * (1 + (x-n+2)/(2*dof))), nil
	}
	f := distuv.F{D1: n, D2: dof}
	q := f.Quantile(p)
	// The quantile is held against its own distribution function: 1e-6 of the smaller tail.
	if reached := f.CDF(q); !(math.Abs(reached-p) < 1e-6*min(p, 1-p)) {
		return 0, none
	}
	// k² is m times the quantile of F (JCGM 102 6.5.2).
	return math.Sqrt(n * q), nil
}

// Beyond manyDOF the quantile of Fisher's distribution is found from that of
// chi-squared, x, by the first term of its expansion in 1/ν, x·(x − m + 2)/(2ν)
// (Handbook of Mathematical Functions, National Bureau of Standards, 1964, 26.6,
// 26.7.5 for m = 1). The next one is below 1e-8 of the factor, and the incomplete beta
// function loses digits there.
const manyDOF = 1e6

// RectangleFactor returns the coverage factor k of the hyper-rectangle y ± k·u that m
// outputs lie in with probability p at least, however they are correlated
// (JCGM 102 6.5.3 and Table 2): the two-sided factor of one output at the
// probability 1 − (1 − p)/m, of a t-distribution where dof is finite. Domain as of
// [EllipseFactor].
func RectangleFactor(p float64, m int, dof float64) (float64, error) {
	if err := checkFactor("RectangleFactor", p, m, dof); err != nil {
		return 0, err
	}
	// Bonferroni: m outputs miss their intervals with (1 − p)/m each, together with 1 − p at
	// most.
	each := (1 - p) / float64(m)
	// Both tails are given, so that a p close to 1 keeps its digits.
	k := studentt.Upper(each/2, 0.5-each/2, dof)
	if err := number("coverage factor", k); err != nil {
		return 0, refused("uncertainty.RectangleFactor", "", err)
	}
	return k, nil
}

// checkFactor refuses arguments outside the domain that both factors share, under the name op.
func checkFactor(op string, p float64, m int, dof float64) error {
	err := probability(p)
	if err == nil {
		err = freedom(dof)
	}
	if err == nil && m < 1 {
		err = &Error{Value: float64(m),
			Err: unit.Errorf(ErrDomain, "%d outputs; expected 1 or more", m)}
	}
	if err != nil {
		return refused("uncertainty."+op, "", err)
	}
	return nil
}

// An Ellipse is a coverage region bounded by a hyper-ellipsoid: an ellipse for two
// outputs.
type Ellipse struct {
	P, K   float64 // coverage probability and factor
	Center []float64
	Shape  *mat.SymDense // V, covariance of the outputs

	factor mat.Cholesky
}

// A Rectangle is a coverage region y ± K·u for each output.
type Rectangle struct {
	P, K  float64    // coverage probability and factor
	Sides []Interval // one for each output, in its unit
}

// Ellipse returns the coverage region of all measurands together at probability p,
// 0 < p < 1, bounded by a hyper-ellipsoid (JCGM 102 6.5.2). The factor is that of the
// normal distribution, or of the multivariate t-distribution with the smallest
// effective degrees of freedom of the budgets.
func (m *Multivariate) Ellipse(p float64) (*Ellipse, error) {
	center, dof, err := m.center("Ellipse")
	if err != nil {
		return nil, err
	}
	k, err := EllipseFactor(p, len(center), dof)
	if err != nil {
		return nil, err
	}
	return newEllipse(p, k, center, m.Covariance)
}

// Rectangle returns the intervals y ± k·u that hold all measurands together with
// probability p at least, 0 < p < 1 (JCGM 102 6.5.3).
func (m *Multivariate) Rectangle(p float64) (*Rectangle, error) {
	center, dof, err := m.center("Rectangle")
	if err != nil {
		return nil, err
	}
	k, err := RectangleFactor(p, len(center), dof)
	if err != nil {
		return nil, err
	}
	u := make([]float64, len(center))
	for i := range u {
		u[i] = m.Budgets[i].StandardUncertainty
	}
	return newRectangle(p, k, center, u), nil
}

// center returns the estimates, and the smallest degrees of freedom.
func (m *Multivariate) center(op string) (y []float64, dof float64, err error) {
	if m == nil || len(m.Budgets) == 0 || m.Covariance == nil ||
		m.Covariance.SymmetricDim() != len(m.Budgets) {
		return nil, 0, &Error{Op: "uncertainty." + op, Err: unit.Errorf(ErrNoQuantity,
			"no measurands; expected the result of EvaluateAll")}
	}
	dof = math.Inf(1)
	// The smallest of the effective degrees of freedom makes the widest region.
	for _, b := range m.Budgets {
		y = append(y, b.Estimate)
		dof = min(dof, b.DOF)
	}
	return y, dof, nil
}

// newEllipse factorizes the covariance matrix once, for all points that are asked.
func newEllipse(p, k float64, center []float64, shape *mat.SymDense) (*Ellipse, error) {
	e := &Ellipse{P: p, K: k, Center: center, Shape: shape}
	if err := factorize(&e.factor, shape); err != nil {
		return nil, refused("uncertainty.Ellipse", "", err)
	}
	return e, nil
}

// worstCondition of the correlation matrix: beyond it three digits or less are left of the inverse.
const worstCondition = 1e13

// factorize refuses a matrix that is singular to working precision: outputs that determine each
// other, such as a resistance in series and in parallel with what does not vary.
func factorize(c *mat.Cholesky, v *mat.SymDense) error {
	// As correlations, so that quantities of very different size are no reason to refuse.
	n := v.SymmetricDim()
	scaled := mat.NewSymDense(n, nil)
	for i := range n {
		for k := range i + 1 {
			r := v.At(i, k) / (math.Sqrt(v.At(i, i)) * math.Sqrt(v.At(k, k)))
			if i == k {
				r = 1
			}
			// An output without uncertainty has no extent.
			if math.IsNaN(r) || v.At(i, i) == 0 {
				return ErrSingular
			}
			scaled.SetSym(i, k, r)
		}
	}
	var test mat.Cholesky
	if !test.Factorize(scaled) || test.Cond() > worstCondition || !c.Factorize(v) {
		return ErrSingular
	}
	return nil
}

// Distance returns √((η − y)ᵀ·V⁻¹·(η − y)), the distance of a point from the centre
// as the region measures it. It is +Inf for a point of another number of coordinates.
func (e *Ellipse) Distance(point []float64) float64 {
	e = cmp.Or(e, &Ellipse{})
	n := len(e.Center)
	if len(point) != n || e.factor.IsEmpty() || e.factor.SymmetricDim() != n {
		return math.Inf(1)
	}
	d := mat.NewVecDense(n, nil)
	for i, v := range point {
		d.SetVec(i, v-e.Center[i])
	}
	// x = V⁻¹·d, without the inverse.
	var x mat.VecDense
	if err := e.factor.SolveVecTo(&x, d); err != nil {
		return math.Inf(1)
	}
	if r := math.Sqrt(mat.Dot(d, &x)); !math.IsNaN(r) {
		return r
	}
	return math.Inf(1)
}

// Contains reports whether a point, a coordinate for each output, lies in the region:
// whether its [Ellipse.Distance] is K or less. A point of another number of coordinates
// does not.
func (e *Ellipse) Contains(point ...float64) bool {
	e = cmp.Or(e, &Ellipse{})
	return e.Distance(point) <= e.K
}

// SemiAxes returns the half-lengths of the principal axes, longest first, K·√λ with the
// eigenvalues λ of V, and their directions as the columns of a matrix: its eigenvectors,
// of length 1 and either sign. It is meant for outputs of one unit.
func (e *Ellipse) SemiAxes() (lengths []float64, directions *mat.Dense) {
	e = cmp.Or(e, &Ellipse{})
	n := len(e.Center)
	var eigen mat.EigenSym
	if n == 0 || e.Shape == nil || e.Shape.SymmetricDim() != n || !eigen.Factorize(e.Shape, true) {
		return nil, nil // a covariance matrix that was factorized has eigenvalues
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	// gonum sorts them from the smallest up.
	values := eigen.Values(nil)
	directions = mat.NewDense(n, n, nil)
	for i := range n {
		lengths = append(lengths, e.K*math.Sqrt(max(0, values[n-1-i])))
		directions.SetCol(i, mat.Col(nil, n-1-i, &vectors))
	}
	return lengths, directions
}

// Volume returns the content of the region, its area for two outputs, in the product of
// their units: π^(m/2)/Γ(m/2 + 1)·K^m·√det V for m outputs.
func (e *Ellipse) Volume() float64 {
	e = cmp.Or(e, &Ellipse{})
	if e.factor.IsEmpty() {
		return 0
	}
	n := float64(len(e.Center))
	ball := elementary.Pow(math.Pi, n/2) / math.Gamma(n/2+1) // volume of the ball of radius 1
	return ball * elementary.Pow(e.K, n) * math.Sqrt(e.factor.Det())
}

// newRectangle puts k·u to both sides of each estimate.
func newRectangle(p, k float64, center, u []float64) *Rectangle {
	r := &Rectangle{P: p, K: k}
	for i, y := range center {
		r.Sides = append(r.Sides, Interval{Lower: y - float64(k*u[i]), Upper: y + float64(k*u[i])})
	}
	return r
}

// Contains reports whether a point, a coordinate for each output, lies in the region, its
// sides included. A point of another number of coordinates does not.
func (r *Rectangle) Contains(point ...float64) bool {
	r = cmp.Or(r, &Rectangle{})
	if len(point) != len(r.Sides) {
		return false
	}
	for i, side := range r.Sides {
		if !side.Contains(point[i]) {
			return false
		}
	}
	return true
}

// Volume returns the content of the region in the product of the units of the outputs:
// the product of the widths of its sides.
func (r *Rectangle) Volume() float64 {
	r = cmp.Or(r, &Rectangle{})
	v := 1.0
	for _, side := range r.Sides {
		v *= side.Width()
	}
	return v
}

// regions finds the coverage regions of JCGM 102 from the trials of all outputs: values by output,
// room for the sort of one. Both have the shape that the covariance of the trials gives, and the K
// that holds q trials; the smallest region has whatever shape it takes. The cost for m outputs is
// m²/2 products a trial and two sorts.
func (s *Simulation) regions(values [][]float64, p float64, room []float64,
	stop func() bool) error {
	// One output has an interval, no region.
	m := len(values)
	if m < 2 {
		return nil
	}
	n := len(values[0])
	// q of the n trials make the probability p, as for one output.
	q, _, _ := orderstat.Ranks(n, p)
	center, u := make([]float64, m), make([]float64, m)
	for i, o := range s.Outputs {
		center[i], u[i] = o.Estimate, o.StandardUncertainty
	}
	e, err := newEllipse(p, 0, center, s.Covariance)
	if err != nil {
		return err
	}
	// By trial: what K would be if the region just held it, for the ellipse and the rectangle.
	round, square := make([]float64, n), make([]float64, n)
	point := make([]float64, m)
	lower := make([][]float64, m)
	var factor mat.TriDense
	// Of V = L·Lᵀ: the distance is |L⁻¹·d|.
	e.factor.LTo(&factor)
	for i := range lower {
		lower[i] = mat.Row(nil, i, &factor)
	}
	// A cancelled run is left at the end of a block.
	for t := range n {
		if t%tape.BlockSize == 0 && stop() {
			return nil // Run says so
		}
		for i := range values {
			point[i] = values[i][t] - center[i]
			// A rectangle in proportion to the standard uncertainties.
			square[t] = max(square[t], math.Abs(point[i])/u[i])
		}
		round[t] = solvedLength(lower, point)
	}
	// The q-th of the ordered distances is the least K that holds q of the trials.
	orderstat.Sort(round, room, stop)
	orderstat.Sort(square, room, stop)
	e.K = round[q-1] // JCGM 102 7.7.2
	s.Ellipse = e
	s.Rectangle = newRectangle(p, square[q-1], center, u) // JCGM 102 7.7.3
	if m == 2 && !stop() {
		s.Smallest = smallest(values[0], values[1], q, p)
	}
	return nil
}

// solvedLength is the length of the x with L·x = d, by forward substitution, row by row; d is
// overwritten. Since V = L·Lᵀ, dᵀ·V⁻¹·d = |L⁻¹·d|²: half of the work of solving with V.
func solvedLength(l [][]float64, d []float64) float64 {
	sum := 0.0
	for i := range d {
		for k := range i {
			d[i] -= float64(l[i][k] * d[k])
		}
		d[i] /= l[i][i]
		sum += float64(d[i] * d[i])
	}
	return math.Sqrt(sum)
}
