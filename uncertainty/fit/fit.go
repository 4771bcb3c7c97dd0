// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A Fit is the result of a least-squares adjustment.
type Fit struct {
	// Parameters are β0, β1, … of β0 + β1·x + β2·x² + …, or one for each column of the
	// design matrix. They are quantities, correlated by what the readings share and by
	// the adjustment.
	Parameters []uncertainty.Quantity
	Covariance *mat.SymDense // of the parameters, in the products of their units

	// FromScatter reports that the uncertainty was evaluated from the scatter about the
	// curve, and not from what the readings state.
	FromScatter       bool
	StandardDeviation float64 // s of one reading about the curve, unit of y; 0 unless FromScatter

	// ChiSquared is the sum of the squared residuals, weighted by the inverse of their
	// covariance matrix. It equals DOF where s comes from the scatter.
	ChiSquared float64
	DOF        int // n − p, readings minus parameters

	Fitted    []float64 // value of the curve at each point, in the unit of y
	Residuals []float64 // reading less Fitted
	Warnings  []error

	name  string
	curve *curve                 // nil: no abscissa, or a model
	xUnit string                 // of the abscissae, empty where none is stated
	yUnit string                 // of the readings, empty where none is stated, or several are
	model Model                  // of Nonlinear
	gamma []uncertainty.Quantity // coefficients in the reduced abscissa
	next  uncertainty.Quantity   // scatter of a reading to come; zero unless FromScatter
}

// Settings holds the options that all ways of fitting have in common. The functions of the
// package are the methods of the zero Settings.
type Settings struct {
	// Name distinguishes fits from scatter in one model: their sources are named after
	// it. Empty: "fit".
	Name string
}

// name is the one that sources are called after.
func (s Settings) name() string {
	if s.Name == "" {
		return "fit"
	}
	return s.Name
}

// Probability returns the probability of a chi-squared as large as ChiSquared or
// larger, if the stated uncertainties and the curve are right; it is 1 where there is
// no degree of freedom, and no test where the uncertainty comes from the scatter.
func (f *Fit) Probability() float64 {
	f = cmp.Or(f, &Fit{})
	// No test without a degree of freedom.
	if f.DOF <= 0 || !(f.ChiSquared >= 0) {
		return 1
	}
	return mathext.GammaIncRegComp(float64(f.DOF)/2, f.ChiSquared/2)
}

// Weighted fits y = X·β to readings with stated uncertainties: generalised least
// squares with the inverse of their covariance matrix V as weight, shared errors
// included,
//
//	β = (Xᵀ·V⁻¹·X)⁻¹·Xᵀ·V⁻¹·y.
//
// The design X has a row for each reading and a column for each parameter, no more
// columns than rows. It refuses readings whose covariance matrix cannot be inverted
// ([ErrCovariance]: exact readings, or ones that differ by nothing uncertain) and
// parameters that the design cannot tell apart ([ErrRank]).
func Weighted(design mat.Matrix, y []uncertainty.Quantity) (*Fit, error) {
	return Settings{}.Weighted(design, y)
}

// Weighted is the function [Weighted] with settings.
func (s Settings) Weighted(design mat.Matrix, y []uncertainty.Quantity) (*Fit, error) {
	return s.design(opWeighted, design, y, byUncertainty)
}

// Unweighted fits y = X·β with equal weights and takes the standard deviation s of one
// reading from the scatter (GUM H.3.2, H.3.3):
//
//	s² = Σ(residual²)/(n − p), V(β) = s²·(Xᵀ·X)⁻¹, n − p degrees of freedom.
//
// It needs more readings than parameters. What is stated of the uncertainty of the
// readings is propagated too; state only what they share, or their own scatter counts
// twice. The design is as in [Weighted].
func Unweighted(design mat.Matrix, y []uncertainty.Quantity) (*Fit, error) {
	return Settings{}.Unweighted(design, y)
}

// Unweighted is the function [Unweighted] with settings.
func (s Settings) Unweighted(design mat.Matrix, y []uncertainty.Quantity) (*Fit, error) {
	return s.design("Unweighted", design, y, byScatter)
}

// mode says where the uncertainty comes from.
type mode uint8

const (
	byChoice      mode = iota // weighted where the covariance matrix allows it
	byUncertainty             // always weighted
	byScatter                 // never weighted
)

// design fits the parameters of a design matrix for the operation op: a row for each y.
func (s Settings) design(op string, design mat.Matrix, y []uncertainty.Quantity,
	m mode) (*Fit, error) {
	x, err := copyDesign(op, design, len(y))
	if err != nil {
		return nil, err
	}
	e, err := observe(op, y, nil)
	if err != nil {
		return nil, err
	}
	a, err := e.adjust(x, e.y, e.covariance(nil), m)
	if err != nil {
		return nil, err
	}
	return s.assemble(e, a, nil, nil)
}

// copyDesign checks the design. The methods of a matrix of somebody else's may panic.
func copyDesign(op string, design mat.Matrix, readings int) (x *mat.Dense, err error) {
	refuse := func(err error) (*mat.Dense, error) { return nil, &Error{Op: "fit." + op, Err: err} }
	defer func() {
		if r := recover(); r != nil {
			x, err = refuse(unit.Errorf(ErrDomain, "design matrix %T panics: %v; expected a "+
				"valid matrix", design, r))
		}
	}()
	if design == nil {
		return refuse(unit.Errorf(ErrDomain, "no design matrix; expected one"))
	}
	n, p := design.Dims()
	switch {
	case p == 0 || n != readings:
		return refuse(unit.Errorf(ErrDomain, "design of %d rows and %d columns for %d readings; "+
			"expected a row for each reading and a column for each parameter", n, p, readings))
	case n < p:
		return refuse(unit.Errorf(ErrPoints, "%d readings for %d parameters; expected at least "+
			"as many readings", n, p))
	}
	// A copy: the caller's matrix may change.
	x = mat.DenseCopyOf(design)
	for i := range n {
		for k := range p {
			if v := x.At(i, k); math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, &Error{Op: "fit." + op, Name: fmt.Sprintf("design, row %d, column %d",
					i+1, k+1), Value: v, Err: unit.Errorf(ErrNotFinite,
					"%v; expected a finite number", v)}
			}
		}
	}
	return x, nil
}
