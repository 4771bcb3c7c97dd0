// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/unit"
)

// Evaluate applies the law of propagation of uncertainty to first order
// (GUM 5.1.2, and 5.2.2 for correlated inputs) and returns the budget of y:
//
//	u_c² = Σ_i Σ_k c_i·c_k·u(x_i, x_k)
//
// with the sensitivity coefficients c_i = ∂y/∂x_i at the estimates, u(x_i, x_i) = u(x_i)²
// and the covariance u(x_i, x_k), which is 0 for inputs that are not correlated. The
// sensitivity coefficients are exact derivatives, found in one backward pass over
// the model; only those of a [Call] are differences.
//
// The effective degrees of freedom follow Welch and Satterthwaite (GUM G.4.1,
// eq. G.2b), not truncated:
//
//	ν_eff = u_c⁴/Σ_i (c_i·u(x_i))⁴/ν_i
//
// That formula holds for independent components only: a group of correlated inputs
// therefore enters as one component with its degrees of freedom. For the scatter of
// observations that is exact; elsewhere the budget warns of it ([ErrJointDOF]).
//
// Findings that do not stop the answer are Warnings of the budget. [ErrFirstOrder] says that the
// model departs from its tangent by more than 5 % of U within two standard uncertainties, or as far
// as 95 % of an input of few degrees of freedom reach; that
// it has no value there, or with a probability of 0.1 % or more; or that a divisor may be 0, or
// a tangent at its pole, with one of 1e-7 or more. An error names everything that is wrong below
// y; two different sources of one name are an error too ([ErrSameName]), since building a source
// twice is the most common way of losing a correlation.
func Evaluate(y Quantity) (*Budget, error) {
	root := y.operand("Evaluate").n
	// What is wrong below y is known already: no pass is needed.
	if root.bad {
		return nil, errorsBelow([]*node{root})
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(root); err != nil {
		return nil, err
	}
	c, reached := m.backward(root)
	return m.budget(y, c, reached)
}

// Propagate returns the combined standard uncertainty of y, in its unit, and the effective
// degrees of freedom, as [Evaluate] does and with its errors, without the budget: for many
// results, few of which are looked at in detail.
func Propagate(y Quantity) (u, dof float64, err error) {
	root := y.operand("Propagate").n
	if root.bad {
		return 0, 0, errorsBelow([]*node{root})
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(root); err != nil {
		return 0, 0, err
	}
	// Only the sensitivities are needed here, not which inputs are below.
	c, _ := m.backward(root)
	u = m.standardUncertainty(c)
	if err := m.checkUncertainty(root, c, u); err != nil {
		return 0, 0, refused("uncertainty.Propagate", y.Name(), err)
	}
	return u, m.effectiveDOF(c, u), nil
}

// Multivariate is the result for several measurands of one set of inputs
// (JCGM 102).
type Multivariate struct {
	Budgets    []*Budget
	Covariance *mat.SymDense // of the measurands, in their order
}

// Correlation returns the correlation coefficient of measurands i and j, counted from 0;
// it is 0 where one of them has no uncertainty. It is an error where there is no such
// measurand, and where a variance is below the smallest number with all digits ([ErrRange]).
func (m *Multivariate) Correlation(i, j int) (float64, error) {
	m = cmp.Or(m, &Multivariate{})
	u := func(k int) float64 { return cmp.Or(m.Budgets[k], &Budget{}).StandardUncertainty }
	return correlation("Multivariate.Correlation", m.Covariance, len(m.Budgets), u, i, j)
}

// correlation is that of the results i and j of n with the covariance matrix c and the standard
// uncertainties u, for budgets and for simulations. A result correlates with itself by 1 even where
// c is missing or u is 0.
func correlation(op string, c *mat.SymDense, n int, u func(k int) float64, i, j int) (float64,
	error) {
	for _, k := range []int{i, j} {
		if k < 0 || k >= n {
			return 0, refusal(op, float64(k), ErrRange,
				"no result %d among %d; expected one from 0 to %d", k, n, n-1)
		}
	}
	if i == j {
		return 1, nil
	}
	if c == nil || max(i, j) >= c.SymmetricDim() {
		return 0, refusal(op, float64(n), ErrCovariance,
			"no covariances of the %d results; expected those of an evaluation", n)
	}
	for _, k := range []int{i, j} {
		if err := checkVariance(u(k)); err != nil {
			return 0, refused("uncertainty."+op, "", err)
		}
	}
	return coefficient(c, i, j), nil
}

// coefficient is that of two quantities with the covariance matrix c, 0 where one is exact.
func coefficient(c mat.Symmetric, i, j int) float64 {
	// The product of the roots does not overflow where that of the variances does.
	d := math.Sqrt(c.At(i, i)) * math.Sqrt(c.At(j, j))
	if d == 0 {
		return 0
	}
	// Rounding may carry it a bit beyond ±1.
	return max(-1, min(1, c.At(i, j)/d))
}

// rootsOf are the nodes of the measurands, at least one, for the function name. What is wrong below
// any of them is the error: no pass over the model is needed to find it.
func rootsOf(name string, ys []Quantity) ([]*node, error) {
	if len(ys) == 0 {
		return nil, &Error{Op: "uncertainty." + name, Err: unit.Errorf(ErrNoQuantity,
			"no measurand; expected at least one")}
	}
	roots := make([]*node, len(ys))
	bad := false
	for i, y := range ys {
		roots[i] = y.operand(name).n
		bad = bad || roots[i].bad
	}
	if bad {
		return nil, errorsBelow(roots)
	}
	return roots, nil
}

// EvaluateAll is [Evaluate] for several measurands: each budget, and the covariance
// matrix that the shared inputs give them (JCGM 102 6.2).
func EvaluateAll(ys ...Quantity) (*Multivariate, error) {
	roots, err := rootsOf("Evaluate", ys)
	if err != nil {
		return nil, err
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(roots...); err != nil {
		// One compiled model for all: shared inputs are one slot, which is what correlates them.
		return nil, err
	}
	c := make([][]float64, len(ys)) // sensitivities, one row a measurand
	result := &Multivariate{Budgets: make([]*Budget, len(ys)), Covariance: mat.NewSymDense(len(ys),
		nil)}
	for i, y := range ys {
		// One pass a measurand gives a row of the matrix of sensitivities (JCGM 102 6.2).
		sensitivities, reached := m.backward(y.n)
		// The next pass writes to the same memory.
		c[i] = slices.Clone(sensitivities)
		b, err := m.budget(y, sensitivities, reached)
		if err != nil {
			return nil, err
		}
		if err := checkVariance(b.StandardUncertainty); err != nil && len(ys) > 1 {
			b.Warnings = append(b.Warnings, refused("uncertainty.Evaluate", b.Name, err))
		}
		result.Budgets[i] = b
	}
	for i := range ys {
		for k := range i + 1 {
			v := m.covariance(c[i], c[k])
			// The same figure as in the budget, to the last bit.
			if i == k {
				u := result.Budgets[i].StandardUncertainty
				v = u * u
			}
			result.Covariance.SetSym(i, k, v)
		}
	}
	return result, nil
}
