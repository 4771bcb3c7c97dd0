// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/unit"
)

// Complex is a complex quantity by its parts (JCGM 102, 6.4), which are quantities like any
// others: what they share makes them correlated. It is used for impedances, admittances and
// transfer coefficients:
//
//	z := uncertainty.Polar(v.Div(i), phi) // V/I at an angle
//	m, err := z.Evaluate()                // both parts, their covariance, a region
//	b, err := uncertainty.Evaluate(z.Abs())
//
// The parts carry errors along. The zero Complex is no quantity.
type Complex struct{ Re, Im Quantity }

// Polar returns the complex quantity of a magnitude and a phase in radians.
func Polar(magnitude, phase Quantity) Complex {
	return Complex{magnitude.Mul(Cos(phase)), magnitude.Mul(Sin(phase))}
}

// ExactComplex returns the constant z, which has no uncertainty.
func ExactComplex(z complex128) Complex { return Complex{Exact(real(z)), Exact(imag(z))} }

// Estimate returns the value at the estimates of the inputs; its parts are NaN where they
// carry an error.
func (z Complex) Estimate() complex128 { return complex(z.Re.Estimate(), z.Im.Estimate()) }

// Add returns z + w.
func (z Complex) Add(w Complex) Complex { return Complex{z.Re.Add(w.Re), z.Im.Add(w.Im)} }

// Sub returns z − w.
func (z Complex) Sub(w Complex) Complex { return Complex{z.Re.Sub(w.Re), z.Im.Sub(w.Im)} }

// Mul returns z·w.
func (z Complex) Mul(w Complex) Complex {
	// (a + jb)(c + jd) = ac − bd + j(ad + bc)
	return Complex{z.Re.Mul(w.Re).Sub(z.Im.Mul(w.Im)), z.Re.Mul(w.Im).Add(z.Im.Mul(w.Re))}
}

// Div returns z/w. A divisor whose estimate is 0 is an error ([ErrDomain]). The square of its
// magnitude must lie in the range of float64: 1e-150 to 1e150 or so for the magnitude.
func (z Complex) Div(w Complex) Complex {
	// The conjugate makes the divisor real: z/w = z·w̄/|w|².
	square := w.Re.Mul(w.Re).Add(w.Im.Mul(w.Im))
	q := z.Mul(w.Conj())
	return Complex{q.Re.Div(square), q.Im.Div(square)}
}

// Neg returns −z.
func (z Complex) Neg() Complex { return Complex{z.Re.Neg(), z.Im.Neg()} }

// Conj returns the complex conjugate of z.
func (z Complex) Conj() Complex { return Complex{z.Re, z.Im.Neg()} }

// ScaleBy returns z times a real quantity.
func (z Complex) ScaleBy(q Quantity) Complex { return Complex{z.Re.Mul(q), z.Im.Mul(q)} }

// Abs returns the magnitude of z. See [Hypot].
func (z Complex) Abs() Quantity { return Hypot(z.Re, z.Im) }

// Phase returns the phase of z in radians. See [Atan2].
func (z Complex) Phase() Quantity { return Atan2(z.Im, z.Re) }

// Evaluate returns the budgets of the real and the imaginary part with their covariance;
// [Multivariate.Ellipse] makes a coverage region of them. See [EvaluateAll].
func (z Complex) Evaluate() (*Multivariate, error) { return EvaluateAll(z.Re, z.Im) }

// EffectiveDOF returns the effective degrees of freedom of z as a quantity of two
// dimensions. With the covariance matrices v of z and v_i of what the independent inputs or
// groups of inputs contribute to it, it is
//
//	ν = (2·v11² + v11·v22 + v12² + 2·v22²)/Σ_i (2·v11² + v11·v22 + v12² + 2·v22²)_i/ν_i
//
// (R. Willink, B. D. Hall, Metrologia 39, 2002), which does not depend on how the complex
// plane is turned. It may be infinite. Pass it to [EllipseFactor].
func (z Complex) EffectiveDOF() (float64, error) {
	re, im := z.Re.operand("Complex").n, z.Im.operand("Complex").n
	if err := errorsOf([]*node{re, im}); err != nil {
		return 0, err
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(re, im); err != nil {
		return 0, err
	}
	first, _ := m.backward(re)
	// The next pass writes to the same memory.
	c := [2][]float64{append([]float64(nil), first...), nil}
	c[1], _ = m.backward(im)
	var sum [3]float64 // v11, v12, v22 of all contributions
	below := 0.0       // the denominator
	contribute := func(v [3]float64, dof float64) {
		for i := range sum {
			sum[i] += v[i]
		}
		// The formula of the doc comment has a sum of weights over ν_i in its denominator.
		below += weightOfDOF(v) / dof
	}
	// Each input is independent of all others, unless a group holds it.
	for i, s := range m.inputs {
		if s.group == nil {
			a, b := c[0][i]*s.u, c[1][i]*s.u
			contribute([3]float64{a * a, a * b, b * b}, s.dof)
		}
	}
	for _, g := range m.groups {
		contribute(m.groupCovariance(g, c), g.dof)
	}
	// Only inputs of infinite degrees of freedom, or none.
	if below == 0 {
		return math.Inf(1), nil
	}
	dof := weightOfDOF(sum) / below
	if err := number("degrees of freedom", dof); err != nil {
		return 0, &Error{Op: "uncertainty.Complex.EffectiveDOF", Err: unit.Cause(err)}
	}
	return dof, nil
}

// weightOfDOF is the numerator 2·v11² + v11·v22 + v12² + 2·v22² of [Complex.EffectiveDOF], of
// v11, v12, v22. With ν degrees of freedom the elements of an observed covariance matrix have the
// variances 2·v11²/ν, (v11·v22 + v12²)/ν and 2·v22²/ν (Wishart's distribution): the number adds
// up those of the three different elements. A real z has v12 = v22 = 0, and the formula is that
// of Welch and Satterthwaite.
func weightOfDOF(v [3]float64) float64 {
	return 2*float64(v[0]*v[0]) + float64(v[0]*v[2]) + float64(v[1]*v[1]) + 2*float64(v[2]*v[2])
}

// groupCovariance is what a group of correlated inputs contributes to the covariance matrix of two
// measurands, as v11, v12, v22; c are the sensitivities of each, by slot.
func (m *model) groupCovariance(g members, c [2][]float64) (v [3]float64) {
	n := len(g.slots)
	cov := mat.NewDense(n, n, nil)
	for i, a := range g.slots {
		for k, b := range g.slots {
			cov.Set(i, k, g.cov.At(m.inputs[a].index, m.inputs[b].index))
		}
	}
	x := [2]*mat.VecDense{mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)}
	for part := range x {
		for i, slot := range g.slots {
			x[part].SetVec(i, c[part][slot])
		}
	}
	// v = C·V·Cᵀ with the rows of C for the two parts (JCGM 102 6.2).
	return [3]float64{mat.Inner(x[0], cov, x[0]), mat.Inner(x[0], cov, x[1]),
		mat.Inner(x[1], cov, x[1])}
}
