// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// broken distributions and matrices of somebody else's.
type fallingQuantiles struct{}

func (fallingQuantiles) Mean() float64              { return 0 }
func (fallingQuantiles) StdDev() float64            { return 1 }
func (fallingQuantiles) Quantile(p float64) float64 { return -p }

type nilDistribution struct{ mu float64 }

func (d *nilDistribution) Mean() float64            { return d.mu }
func (d *nilDistribution) StdDev() float64          { return 1 }
func (d *nilDistribution) Quantile(float64) float64 { return d.mu }

type infiniteMoment struct{ fallingQuantiles }

func (infiniteMoment) StdDev() float64            { return math.Inf(1) }
func (infiniteMoment) Quantile(p float64) float64 { return p }

func good() uncertainty.Quantity { return uncertainty.Input("x", uncertainty.Normal(2, 0.1)) }

func source(d uncertainty.Distribution) uncertainty.Quantity { return uncertainty.Input("x", d) }

func joint(estimates []float64, names []string, c mat.Symmetric) uncertainty.Quantity {
	return uncertainty.Sum(uncertainty.Joint(names, estimates, c)...)
}

// Whatever is wrong is carried, never panics, and names itself.
func TestBadInputIsRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	var zero uncertainty.Quantity
	ab := []string{"a", "b"}
	exact := uncertainty.Exact
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		want error
		text string // in the error
	}{
		{"Exact NaN", exact(nan), uncertainty.ErrNotFinite, "constant is NaN"},
		{"Exact infinite", exact(-inf), uncertainty.ErrNotFinite, "-Inf"},
		{"zero Quantity", zero, uncertainty.ErrNoQuantity, "zero Quantity"},
		{"zero Quantity in a sum", good().Add(zero), uncertainty.ErrNoQuantity, "Add"},
		{"zero Quantity in a product", zero.Mul(good()), uncertainty.ErrNoQuantity, "Mul"},
		{"zero Quantity in a function", uncertainty.Sqrt(zero), uncertainty.ErrNoQuantity, "Sqrt"},
		{"zero Quantity in Sum", uncertainty.Sum(good(), zero), uncertainty.ErrNoQuantity, "Linear"},
		{"zero Quantity in Call", uncertainty.Call("f", func(x []float64) float64 { return x[0] }, zero), uncertainty.ErrNoQuantity, "Call"},
		{"zero Quantity named", zero.Named("x"), uncertainty.ErrNoQuantity, "Named"},
		{"zero Quantity scaled", zero.Scale(2), uncertainty.ErrNoQuantity, "Scale"},
		{"zero Quantity negated", zero.Neg(), uncertainty.ErrNoQuantity, "Neg"},

		{"Fail", uncertainty.Fail(errors.ErrUnsupported), errors.ErrUnsupported, ""},
		{"Fail nil", uncertainty.Fail(nil), uncertainty.ErrDomain, "err is nil"},

		{"no distribution", source(nil), uncertainty.ErrNoDistribution, "no distribution"},
		{"Normal NaN", source(uncertainty.Normal(nan, 1)), uncertainty.ErrNotFinite, "estimate is NaN"},
		{"Normal negative", source(uncertainty.Normal(1, -0.1)), uncertainty.ErrDomain, "standard uncertainty is -0.1"},
		{"Normal infinite", source(uncertainty.Normal(1, inf)), uncertainty.ErrNotFinite, "+Inf"},
		{"Rectangular negative", source(uncertainty.Rectangular(1, -1)), uncertainty.ErrDomain, "half-width is -1"},
		{"Triangular NaN", source(uncertainty.Triangular(1, nan)), uncertainty.ErrNotFinite, "half-width is NaN"},
		{"Arcsine infinite estimate", source(uncertainty.Arcsine(inf, 1)), uncertainty.ErrNotFinite, "estimate is +Inf"},
		{"Resolution negative", source(uncertainty.Resolution(1, -2)), uncertainty.ErrDomain, "step is -2"},
		{"Resolution infinite estimate", source(uncertainty.Resolution(inf, 2)), uncertainty.ErrNotFinite, "estimate"},
		{"Certificate k = 0", source(uncertainty.Certificate(1, 1, 0)), uncertainty.ErrDomain, "coverage factor is 0"},
		{"Certificate U < 0", source(uncertainty.Certificate(1, -1, 2)), uncertainty.ErrDomain, "expanded uncertainty is -1"},
		{"Certificate k tiny", source(uncertainty.Certificate(1, 1e300, 1e-300)), uncertainty.ErrNotFinite, "standard uncertainty is +Inf"},
		{"CertificateDOF p = 95", source(uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 1, U: 1, P: 95, DOF: 10})), uncertainty.ErrDomain, "coverage probability is 95"},
		{"CertificateDOF p NaN", source(uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 1, U: 1, P: nan, DOF: 10})), uncertainty.ErrDomain, "NaN"},
		{"CertificateDOF dof 0", source(uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 1, U: 1, P: 0.95, DOF: 0})), uncertainty.ErrDomain, "degrees of freedom are 0"},
		{"StudentT dof NaN", source(uncertainty.StudentT(1, 1, nan)), uncertainty.ErrDomain, "degrees of freedom are NaN"},
		{"Between turned round", source(uncertainty.Between(2, 1)), uncertainty.ErrDomain, "lower limit 2 above"},
		{"Between NaN", source(uncertainty.Between(nan, 1)), uncertainty.ErrNotFinite, "lower limit is NaN"},
		{"Between all numbers", source(uncertainty.Between(-math.MaxFloat64, math.MaxFloat64)), uncertainty.ErrNotFinite, "half-width"},
		{"TypeA of nothing", source(uncertainty.TypeA()), uncertainty.ErrObservations, "0 observations"},
		{"TypeA of one", source(uncertainty.TypeA(1)), uncertainty.ErrObservations, "1 observation;"},
		{"TypeA NaN", source(uncertainty.TypeA(1, nan)), uncertainty.ErrNotFinite, "observation 2 is NaN"},
		{"TypeAPooled of nothing", source(uncertainty.TypeAPooled(1, 9)), uncertainty.ErrObservations, "0 observations"},
		{"TypeAPooled s < 0", source(uncertainty.TypeAPooled(-1, 9, 1)), uncertainty.ErrDomain, "pooled standard deviation is -1"},
		{"TypeAPooled dof < 0", source(uncertainty.TypeAPooled(1, -9, 1)), uncertainty.ErrDomain, "degrees of freedom are -9"},

		{"foreign t, ν < 0", source(distuv.StudentsT{Mu: 1, Sigma: 1, Nu: -1}), uncertainty.ErrDomain, "StudentsT"},
		{"foreign uniform turned round", source(distuv.Uniform{Min: 1, Max: 0}), uncertainty.ErrDomain, "Uniform"},
		{"foreign quantiles fall", source(fallingQuantiles{}), uncertainty.ErrDomain, "fall"},
		{"foreign nil pointer", source((*nilDistribution)(nil)), uncertainty.ErrDomain, "panics"},
		{"foreign infinite moment", source(infiniteMoment{}), uncertainty.ErrNotFinite, "standard uncertainty"},

		{"DOF < 0", uncertainty.Source{Name: "x", Distribution: uncertainty.Normal(1, 1), DOF: -3}.Input(), uncertainty.ErrDomain, "degrees of freedom are -3"},
		{"DOF NaN", uncertainty.Source{Name: "x", Distribution: uncertainty.Normal(1, 1), DOF: nan}.Input(), uncertainty.ErrDomain, "NaN"},

		{"division by 0", good().Div(exact(0)), uncertainty.ErrDomain, "division"},
		{"root of a negative", uncertainty.Sqrt(good().Neg()), uncertainty.ErrDomain, "-2"},
		{"root of an uncertain 0", uncertainty.Sqrt(good().Sub(exact(2))), uncertainty.ErrDomain, "derivative"},
		{"logarithm of 0", uncertainty.Log(exact(0)), uncertainty.ErrDomain, "positive"},
		{"arcsine of 2", uncertainty.Asin(good()), uncertainty.ErrDomain, "-1 to 1"},
		{"arccosine of an uncertain 1", uncertainty.Acos(good().Sub(exact(1))), uncertainty.ErrDomain, "derivative"},
		{"exponential overflows", uncertainty.Exp(exact(1e4)), uncertainty.ErrNotFinite, "+Inf"},
		{"negative to a fraction", uncertainty.Pow(good().Neg(), exact(0.5)), uncertainty.ErrDomain, "to the power"},
		{"negative to an uncertain power", uncertainty.Pow(exact(-2), good()), uncertainty.ErrDomain, "derivative"},
		{"0 to a negative power", uncertainty.Pow(exact(0), exact(-1)), uncertainty.ErrNotFinite, "+Inf"},
		{"factor NaN", good().Scale(nan), uncertainty.ErrNotFinite, "factor is NaN"},
		{"product overflows", exact(1e200).Mul(exact(1e200)), uncertainty.ErrNotFinite, "result is +Inf"},
		{"Linear lengths", uncertainty.Linear(0, []float64{1}, nil), uncertainty.ErrDomain, "1 coefficient for 0"},
		{"Linear coefficient NaN", uncertainty.Linear(0, []float64{nan}, []uncertainty.Quantity{good()}), uncertainty.ErrNotFinite, "NaN"},
		{"Linear constant infinite", uncertainty.Linear(inf, nil, nil), uncertainty.ErrNotFinite, "+Inf"},
		{"Call nil", uncertainty.Call("f", nil, good()), uncertainty.ErrDomain, "function is nil"},
		{"Call NaN", uncertainty.Call("f", func([]float64) float64 { return nan }, good()), uncertainty.ErrNotFinite, "NaN"},
		{"Call slope not finite", uncertainty.CallWithGradient("f", func(x []float64) float64 { return x[0] }, func(dst, x []float64) { dst[0] = inf }, good()), uncertainty.ErrNotFinite, "sensitivity"},

		{"joint r = 2", joint([]float64{1, 2}, ab, mat.NewSymDense(2, []float64{1, 2, 2, 1})), uncertainty.ErrCovariance, "is 2; expected -1 to 1"},
		{"joint negative variance", joint([]float64{1, 2}, ab, mat.NewSymDense(2, []float64{-1, 0, 0, 1})), uncertainty.ErrCovariance, "variance of a"},
		{"joint NaN", joint([]float64{1, 2}, ab, mat.NewSymDense(2, []float64{1, nan, nan, 1})), uncertainty.ErrCovariance, "covariance of a and b"},
		{"joint not semidefinite", joint([]float64{1, 2, 3}, []string{"a", "b", "c"}, mat.NewSymDense(3, []float64{1, 0.9, -0.9, 0.9, 1, 0.9, -0.9, 0.9, 1})), uncertainty.ErrCovariance, "semidefinite"},
		{"joint without a matrix", joint([]float64{1, 2}, ab, nil), uncertainty.ErrCovariance, "no covariance"},
		{"joint nil pointer", joint([]float64{1, 2}, ab, (*mat.SymDense)(nil)), uncertainty.ErrCovariance, "panics"},
		{"joint order", joint([]float64{1, 2}, ab, mat.NewSymDense(3, nil)), uncertainty.ErrCovariance, "order 3 for 2 names"},
		{"joint lengths", joint([]float64{1}, ab, mat.NewSymDense(2, nil)), uncertainty.ErrCovariance, "1 estimate for 2 names"},
		{"joint name twice", joint([]float64{1, 2}, []string{"a", "a"}, mat.NewSymDense(2, nil)), uncertainty.ErrSameName, `name "a" twice`},
		{"joint estimate infinite", joint([]float64{inf, 2}, ab, mat.NewSymDense(2, nil)), uncertainty.ErrNotFinite, "estimate of a"},
		{"joint units", uncertainty.Sum(uncertainty.JointSource{Names: ab, Units: []string{"V"}, Estimates: []float64{1, 2}, Covariance: mat.NewSymDense(2, nil)}.Inputs()...), uncertainty.ErrCovariance, "1 unit for 2 names"},
		{"joint dof", uncertainty.Sum(uncertainty.JointSource{Names: ab, Estimates: []float64{1, 2}, Covariance: mat.NewSymDense(2, nil), DOF: -1}.Inputs()...), uncertainty.ErrDomain, "degrees of freedom are -1"},
		{"joint observations missing", uncertainty.Sum(uncertainty.JointTypeA(ab, [][]float64{{1, 2}}).Inputs()...), uncertainty.ErrObservations, "1 series for 2 names"},
		{"joint observations of different length", uncertainty.Sum(uncertainty.JointTypeA(ab, [][]float64{{1, 2}, {1, 2, 3}}).Inputs()...), uncertainty.ErrObservations, `2 observations of "a", 3 of "b"`},
		{"joint observation single", uncertainty.Sum(uncertainty.JointTypeA(ab, [][]float64{{1}, {2}}).Inputs()...), uncertainty.ErrObservations, "1 joint observations"},
		{"joint observation NaN", uncertainty.Sum(uncertainty.JointTypeA(ab, [][]float64{{1, 2}, {2, nan}}).Inputs()...), uncertainty.ErrNotFinite, `series "b": observation 2 is NaN`},

		{"name twice", good().Add(good()), uncertainty.ErrSameName, `: x: `},
		{"no name twice", uncertainty.Input("", uncertainty.Normal(1, 1)).Add(uncertainty.Input("", uncertainty.Normal(1, 1))), uncertainty.ErrSameName, "without a name"},
		{"variance overflows", source(uncertainty.Normal(0, 1e200)), uncertainty.ErrNotFinite, "variance is +Inf"},
		{"factor beyond float64", source(uncertainty.StudentT(1, 1, 1e-4)), uncertainty.ErrDomain, "degrees of freedom"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, err := uncertainty.Evaluate(c.q)
			if b != nil || !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
				t.Fatalf("budget %v, error %v; want an error with %q that is %q", b, err, c.text, c.want)
			}
			if c.q.Err() != nil && !math.IsNaN(c.q.Estimate()) {
				t.Errorf("estimate %v beside an error; want NaN", c.q.Estimate())
			}
			// Whatever is built on it carries the cause.
			if after := uncertainty.Exp(good().Mul(c.q)); c.q.Err() != nil && !errors.Is(after.Err(), c.want) {
				t.Errorf("a product with it has the error %v", after.Err())
			}
			if got := c.q.String(); !strings.HasPrefix(got, "!(") || strings.Contains(got, "\n") {
				t.Errorf("String() = %q; want !(…) on one line", got)
			}
		})
	}
}

func TestErrorsAreGatheredOnce(t *testing.T) {
	a := uncertainty.Input("a", uncertainty.Normal(1, -1))
	b := uncertainty.Input("b", uncertainty.TypeA(1))
	y := a.Mul(b).Add(a.Div(b))
	err := y.Err()
	if !errors.Is(err, uncertainty.ErrDomain) || !errors.Is(err, uncertainty.ErrObservations) {
		t.Fatalf("error %v; want both causes", err)
	}
	if n := strings.Count(err.Error(), ": a: "); n != 1 || strings.Contains(err.Error(), "\n") {
		t.Errorf("%d mentions of a in %q; want 1, on one line", n, err)
	}
	_, all := uncertainty.EvaluateAll(y, a, b, good())
	if all == nil || all.Error() != err.Error() {
		t.Errorf("several measurands with the same causes: %v; want %v", all, err)
	}
	// An error of several causes can be carried on, also twice.
	if err := uncertainty.Fail(err).Add(uncertainty.Fail(err)).Err(); !errors.Is(err, uncertainty.ErrObservations) {
		t.Errorf("carried error: %v", err)
	}
	if e, ok := errors.AsType[*uncertainty.Error](a.Err()); !ok || e.Name != "a" || e.Op != "uncertainty.Normal" {
		t.Errorf("details %+v; want name a of Normal", e)
	}
	if text := (&uncertainty.Error{Op: "f"}).Error(); text == "" {
		t.Error("an Error without a cause has no text")
	}
}

func TestNothingToEvaluate(t *testing.T) {
	if m, err := uncertainty.EvaluateAll(); m != nil || !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("EvaluateAll() = %v, %v", m, err)
	}
	var b *uncertainty.Budget
	if _, err := b.ExpandedAt(0.95); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("ExpandedAt of no budget: %v", err)
	}
	if _, err := b.Convolution(0.95); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("Convolution of no budget: %v", err)
	}
	for _, p := range []float64{0, 1, -1, 95, math.NaN(), math.Inf(1)} {
		b := evaluate(t, good())
		if _, err := b.ExpandedAt(p); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("ExpandedAt(%v): %v", p, err)
		}
		if _, err := b.Convolution(p); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("Convolution(%v): %v", p, err)
		}
	}
}

// A refused number stands in the error, not in its text only.
func TestRefusalCarriesTheNumber(t *testing.T) {
	for name, c := range map[string]struct {
		d    uncertainty.Distribution
		want float64
	}{
		"half-width":  {uncertainty.Rectangular(100, -0.1), -0.1},
		"step":        {uncertainty.Resolution(100, -0.2), -0.2},
		"u":           {uncertainty.Normal(100, -3), -3},
		"estimate":    {uncertainty.Normal(math.Inf(1), 1), math.Inf(1)},
		"k":           {uncertainty.Certificate(1, 1, -2), -2},
		"probability": {uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 1, U: 1, P: 1.5, DOF: 4}), 1.5},
		"dof":         {uncertainty.StudentT(1, 1, -4), -4},
		"beta":        {uncertainty.Trapezoidal(1, 1, 7), 7},
	} {
		err := uncertainty.Input("x", c.d).Err()
		e, ok := errors.AsType[*uncertainty.Error](err)
		if !ok || e.Value != c.want {
			t.Errorf("%s: %v with value %+v; want %v", name, err, e, c.want)
		}
	}
	err := uncertainty.Source{Name: "x", Distribution: uncertainty.Normal(1, 1), DOF: -5}.Input().Err()
	if e, ok := errors.AsType[*uncertainty.Error](err); !ok || e.Value != -5.0 {
		t.Errorf("degrees of freedom of a source: %v", err)
	}
}

func TestJointRefusalCarriesTheNumber(t *testing.T) {
	err := uncertainty.Joint([]string{"a"}, []float64{1}, mat.NewSymDense(1, []float64{-4}))[0].Err()
	if e, ok := errors.AsType[*uncertainty.Error](err); !ok || e.Value != -4.0 {
		t.Errorf("variance -4: %v with value %+v", err, e)
	}
	_, err = uncertainty.EllipseFactor(0.95, -2, 5)
	if e, ok := errors.AsType[*uncertainty.Error](err); !ok || e.Value != -2.0 {
		t.Errorf("-2 outputs: %v with value %+v", err, e)
	}
}
