// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A Model is a curve y = f(x; β) with parameters β in any place, made by the arithmetic and
// the functions of package uncertainty, whose derivatives are exact:
//
//	func(x uncertainty.Quantity, b []uncertainty.Quantity) uncertainty.Quantity {
//		return b[0].Mul(uncertainty.Exact(1).Sub(uncertainty.Exp(b[1].Mul(x).Neg())))
//	}
//
// It must give the same result for the same arguments, and may be called several times for
// each point.
type Model func(x uncertainty.Quantity, parameters []uncertainty.Quantity) uncertainty.Quantity

// Nonlinear fits a model that is not linear in its parameters, from start values that are
// roughly right, by damped Gauss and Newton steps (Levenberg and Marquardt) until the sum of
// the squared residuals, weighted as by [Line], is least. Readings with uncertainties of their
// own are weighted by them; where there are none, s comes from the scatter.
//
// The uncertainty of the parameters is that of the model linearised at the result. It is good
// where the model is nearly linear over the uncertainties of the parameters; a budget of
// [Fit.At] says more. Another start may lead to another minimum: look at the residuals.
//
// The abscissae must be exact: one that is uncertain is refused ([ErrDomain]), as are fewer
// points than start values ([ErrPoints]), a model without a finite value or slope at the start
// or with uncertain inputs of its own ([ErrDomain]), parameters that the points cannot tell
// apart ([ErrRank]) and steps that do not settle ([ErrConvergence]).
func Nonlinear(model Model, x, y []uncertainty.Quantity, start ...float64) (*Fit, error) {
	return Settings{}.Nonlinear(model, x, y, start...)
}

// Nonlinear is the function [Nonlinear] with settings.
func (s Settings) Nonlinear(
	model Model, x, y []uncertainty.Quantity, start ...float64,
) (*Fit, error) {
	const op = opNonlinear
	refuse := func(name string, v any, err error) (*Fit, error) {
		return nil, &Error{Op: "fit." + op, Name: name, Value: v, Err: err}
	}
	switch {
	case model == nil:
		return refuse("model", nil, unit.Errorf(ErrDomain, "nil; expected a function"))
	case len(start) == 0:
		return refuse("start", nil, unit.Errorf(ErrDomain,
			"no values; expected one for each parameter"))
	case len(x) != len(y):
		return refuse("", nil, unit.Errorf(ErrDomain,
			"%d abscissae for %d readings; expected as many", len(x), len(y)))
	case len(y) < len(start):
		return refuse("", nil, unit.Errorf(ErrPoints,
			"%d points for %d parameters; expected at least as many points", len(y), len(start)))
	}
	for k, v := range start {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return refuse(fmt.Sprintf("start value %d", k+1), v,
				unit.Errorf(ErrNotFinite, "%v; expected a finite number", v))
		}
	}
	e, err := observe(op, y, x)
	if err != nil {
		return nil, err
	}
	// What x leaves open moves a reading by an amount that the model must say.
	if e.uncertainX() {
		return refuse("x", nil, unit.Errorf(ErrDomain,
			"uncertain abscissae; expected exact ones, and what they leave open as a part of the "+
				"readings"))
	}
	n := &nonlinear{model: model, e: e, slopes: mat.NewDense(len(y), len(start), nil),
		values: make([]float64, len(y))}
	// Where V has no inverse, weights are equal, as for a line.
	if w, regular := newWhitening(e.covariance(nil)); regular {
		n.weights = w
	}
	a, err := n.adjust(start)
	if err != nil {
		return nil, err
	}
	f, err := s.assemble(e, a, nil, nil)
	if err != nil {
		return nil, err
	}
	f.model = model
	return f, nil
}

// opNonlinear is the operation that errors name.
const opNonlinear = "Nonlinear"

const (
	// mostDamped bounds the damped steps, of which a narrow curved valley takes many.
	mostDamped = 1000
	// mostDamping leaves nothing of a step: nowhere around is it downhill.
	mostDamping = 1e30
	// A step uphill is damped by more, one downhill by less. The factors have no common power, so
	// that damping does not go round in circles.
	moreDamping, lessDamping = 4, 9
	// leastDamping is small enough for steps of Gauss and Newton.
	leastDamping = 1e-12
	// longestStep is the step, against the parameter, that is damped without a look: it would
	// triple the parameter or turn its sign, and many models are flat far from where they fit.
	longestStep = 2
	// leastGain ends the damped steps: ten digits of the sum of squares are five of the parameters,
	// since it is flat at its minimum. settle does the rest.
	leastGain = 1e-10
	// mostSettling bounds the undamped steps, lastSettling are those made once nothing moves, by
	// which the slopes reach their last digits too.
	mostSettling, lastSettling = 200, 3
)

// nonlinear is a model with its points. Values and slopes are those of the last call of evaluate.
type nonlinear struct {
	model   Model         // y at x with parameters
	e       *observations // the points
	weights *whitening    // nil: equal

	values []float64  // of the model at the last parameters
	slopes *mat.Dense // by parameter
}

// evaluate computes values and slopes of the model, or returns an error where one of them is not
// finite.
func (n *nonlinear) evaluate(parameters []float64) (err error) {
	b := make([]uncertainty.Quantity, len(parameters))
	place := make(map[string]int, len(b))
	for k, v := range parameters {
		name := fmt.Sprintf("parameter %d of the fitted model", k+1)
		// Without uncertainty, but an input: its sensitivity is the slope.
		b[k], place[name] = uncertainty.Input(name, uncertainty.Normal(v, 0)), k
	}
	n.slopes.Zero()
	for i, x := range n.e.x {
		f, err := n.point(x, b)
		if err != nil {
			return &Error{Op: "fit." + n.e.op, Name: fmt.Sprintf("model at point %d", i+1),
				Value: x, Err: unit.Errorf(ErrDomain,
					"%v; expected a finite value and slopes at the parameters %.6g", err,
					parameters)}
		}
		// The slopes are those of a budget: exact, without differences.
		n.values[i] = f.Estimate
		for _, c := range f.Components {
			if k, ok := place[c.Name]; ok {
				n.slopes.Set(i, k, c.Sensitivity)
			}
		}
	}
	return nil
}

// point evaluates the model at one abscissa. The model of somebody else's may panic.
func (n *nonlinear) point(x float64, b []uncertainty.Quantity) (f *uncertainty.Budget, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the model panics: %v", r)
		}
	}()
	f, err = uncertainty.Evaluate(n.model(uncertainty.Exact(x), slices.Clone(b)))
	if err != nil {
		return nil, unit.Cause(err)
	}
	for _, c := range f.Components {
		// What the model does not share with the fit would get no weight.
		if c.StandardUncertainty > 0 {
			return nil, fmt.Errorf("the model has an uncertain input of its own, %q", c.Name)
		}
		if math.IsNaN(c.Sensitivity) || math.IsInf(c.Sensitivity, 0) {
			return nil, fmt.Errorf("slope %v by %s", c.Sensitivity, c.Name)
		}
	}
	return f, nil
}

// white returns the weighted residuals and slopes, and the sum of squares.
func (n *nonlinear) white() (residual []float64, slopes *mat.Dense, squares float64) {
	r := mat.NewDense(len(n.values), 1, nil)
	// r = y − f, of which the steps seek the least sum of squares.
	for i, v := range n.values {
		r.Set(i, 0, n.e.y[i]-v)
	}
	slopes = mat.DenseCopyOf(n.slopes)
	if n.weights != nil {
		r, slopes = n.weights.apply(r), n.weights.apply(slopes)
	}
	residual = mat.Col(nil, 0, r)
	for _, v := range residual {
		squares += float64(v * v)
	}
	return residual, slopes, squares
}

// adjust finds the minimum by damped steps, and then lets undamped ones, in full precision,
// say that nothing moves any more.
func (n *nonlinear) adjust(start []float64) (*adjustment, error) {
	b := slices.Clone(start)
	if err := n.evaluate(b); err != nil {
		return nil, err
	}
	scale := make([]float64, len(b)) // largest length of each column
	// Damping in proportion to the largest slopes seen, so that units of parameters do not
	// matter.
	damping := 1.0
	for range mostDamped {
		residual, slopes, squares := n.white()
		for k := range scale {
			scale[k] = max(scale[k], mat.Norm(slopes.ColView(k), 2))
			if scale[k] == 0 {
				return nil, n.e.rank(len(b))
			}
		}
		// A step uphill is taken back and damped more; one downhill frees the next.
		step, ok := dampedStep(slopes, residual, scale, damping)
		if !ok {
			return nil, n.e.rank(len(b))
		}
		next, moved, far := advance(b, step)
		// No float64 lies between the last parameters and the next.
		if !moved || damping > mostDamping {
			break
		}
		if far {
			damping *= moreDamping
			continue // values and slopes are still those of b
		}
		// A step to where the model has no value is too long, as is one uphill.
		if n.evaluate(next) == nil {
			if _, _, now := n.white(); now < squares {
				gain := (squares - now) / squares
				b, damping = next, max(damping/lessDamping, leastDamping)
				if gain < leastGain {
					break
				}
				continue
			}
		}
		damping *= moreDamping
		if err := n.evaluate(b); err != nil {
			return nil, err
		}
	}
	return n.settle(b)
}

// advance returns b + step, whether that is another point in float64, and whether some step is too
// long to be tried. A parameter of 0 has no size to compare its step with.
func advance(b, step []float64) (next []float64, moved, far bool) {
	next = make([]float64, len(b))
	for k := range b {
		next[k] = b[k] + step[k]
		moved = moved || next[k] != b[k]
		far = far || b[k] != 0 && math.Abs(step[k]) > longestStep*math.Abs(b[k])
	}
	return next, moved, far
}

// dampedStep solves (JᵀJ + damping·D²)·step = Jᵀ·residual, with the slopes J and the diagonal D of
// the scales, by QR of J above √damping·D: these are the normal equations of the least squares
// J·step = residual, √damping·D·step = 0. QR squares nothing, and so loses half as many digits as
// JᵀJ would. It is false where a step is not finite.
func dampedStep(slopes *mat.Dense, residual, scale []float64, damping float64) ([]float64, bool) {
	n, p := slopes.Dims()
	a, r := mat.NewDense(n+p, p, nil), mat.NewVecDense(n+p, nil)
	a.Slice(0, n, 0, p).(*mat.Dense).Copy(slopes)
	for k := range p {
		a.Set(n+k, k, math.Sqrt(damping)*scale[k])
	}
	for i, v := range residual {
		r.SetVec(i, v)
	}
	var qr mat.QR
	qr.Factorize(a)
	var step mat.VecDense
	if err := qr.SolveVecTo(&step, false, r); err != nil {
		// A poor condition is what damping is for.
		if _, poor := err.(mat.Condition); !poor {
			return nil, false
		}
	}
	for _, v := range step.RawVector().Data {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, false
		}
	}
	return step.RawVector().Data, true
}

// settle repeats the linear adjustment about the last parameters b until they stay: there f(b′) is
// f + J·(b′ − b), so that y = f(b′) becomes z = y − f + J·b = J·b′, which is linear in b′, and the
// adjustment of lines applies. What it returns has the covariances of that last line.
func (n *nonlinear) settle(b []float64) (*adjustment, error) {
	z := make([]float64, len(n.values))
	refuse := func(err error) (*adjustment, error) {
		return nil, &Error{Op: "fit." + n.e.op, Err: unit.Errorf(errors.Join(ErrConvergence, err),
			"the parameters do not settle, last at %.6g (%v); expected other start values, or a "+
				"model with fewer parameters", b, unit.Cause(err))}
	}
	left := lastSettling
	for range mostSettling {
		if err := n.evaluate(b); err != nil {
			return refuse(err)
		}
		for i, v := range n.values {
			// In twice the precision, since y − f is small beside J·b.
			sum := doubled{high: n.e.y[i]}
			sum.add(-v)
			for k := range b {
				sum.addProduct(n.slopes.At(i, k), b[k])
			}
			z[i] = sum.value()
		}
		a, err := n.e.adjust(mat.DenseCopyOf(n.slopes), z, n.e.covariance(nil), byChoice)
		if err != nil {
			return nil, err
		}
		still := a.still(b)
		b = a.high
		if still {
			left--
		}
		if left == 0 {
			return a, nil
		}
	}
	return refuse(fmt.Errorf("after %d steps", mostSettling))
}
