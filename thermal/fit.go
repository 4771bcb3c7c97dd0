// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
	"gonum.org/v1/gonum/mat"
)

// LawFit is a temperature law found from readings of one resistor at several
// temperatures. Resistance and the coefficients of Law are correlated; being
// quantities they carry that with them:
//
//	r := fit.Law.Correct(fit.Resistance, uncertainty.Exact(fit.Law.Reference), t)
type LawFit struct {
	Resistance uncertainty.Quantity // Ω at the law's reference
	Law        UncertainLaw
	Residuals  []float64 // Ω, reading minus law, in the order of the readings
	StdDev     float64   // Ω, √(Σ residual²/DOF); 0 if DOF is 0
	DOF        int       // readings minus coefficients
}

// FitLaw fits a law of the degree 1 or 2 about the reference temperature in °C to resistances in
// ohms read at temperatures in °C, by least squares with equal weights. The uncertainty of the
// result comes from the scatter of the readings about the law (GUM H.3, Type A, with readings −
// degree − 1 degrees of freedom, so one reading more than coefficients at least): what is common
// to all readings, such as the gain of the meter, is not in it, and a meter too coarse to
// scatter looks perfect. Use [FitLawOf] for that.
//
// The name is the resistor's; the sources of uncertainty are called after it.
func FitLaw(name string, reference float64, degree int, temperatures,
	resistances []float64) (*LawFit, error) {
	const op = "thermal.FitLaw"
	s, err := fitSystem(op, reference, degree, 1, temperatures, resistances)
	if err != nil {
		return nil, err
	}
	cov := mat.NewSymDense(s.params(), nil)
	// The covariance of the coefficients is s²·h·hᵀ, h being linear in the readings (GUM H.3.3).
	cov.SymOuterK(s.stdDev*s.stdDev, s.h)
	names := []string{name + " R", name + " R·α", name + " R·β"}[:s.params()]
	dof := float64(len(temperatures) - s.params())
	// Readings that lie on a law exactly have no scatter to draw from.
	if s.stdDev == 0 {
		return s.fit(exactQuantities(s.theta)), nil
	}
	joint := uncertainty.JointSource{Names: names, Estimates: s.theta, Covariance: cov, DOF: dof}
	theta := joint.Inputs()
	// The one way in which a joint source of these figures fails.
	if theta[0].Err() != nil {
		return nil, domainError(op, "scatter", s.stdDev,
			"expected a value whose square float64 can hold")
	}
	return s.fit(theta), nil
}

// FitLawOf is [FitLaw] for readings that are quantities. The result carries, to
// first order, every source of the readings: repeatability, the one meter's gain
// (which drops out of the coefficients), the one thermometer's correction. The
// scatter about the law is not a source of its own here; compare StdDev with the
// readings' uncertainty. Readings may be as few as coefficients.
func FitLawOf(reference float64, degree int, temperatures,
	resistances []uncertainty.Quantity) (*LawFit, error) {
	const op = "thermal.FitLawOf"
	t, r := estimates(temperatures), estimates(resistances)
	s, err := fitSystem(op, reference, degree, 0, t, r)
	if err != nil {
		return nil, firstError(err, temperatures, resistances)
	}
	// θ = h·r, and a thermometer that errs by dt acts as a reading that errs by
	// −slope·dt.
	n := len(t)
	celsius := make([]uncertainty.Quantity, n)
	for i, q := range temperatures {
		celsius[i] = q.InUnit("°C")
	}
	theta := make([]uncertainty.Quantity, s.params())
	for i := range theta {
		c := make([]float64, 2*n)
		c0 := s.theta[i]
		for j := range n {
			c[j] = s.h.At(i, j)
			c[n+j] = -c[j] * s.slope(t[j])
			// The constant makes the estimate that of the fit, whatever rounding did to the
			// coefficients.
			c0 -= float64(c[j]*r[j]) + float64(c[n+j]*t[j])
		}
		// The coefficients of the temperatures carry units. So do those of the resistances in slope
		// and curvature, while R is in the unit of the resistances.
		byTemperature := uncertainty.LinearInUnit("", 0, c[n:], celsius)
		if i == 0 {
			theta[i] = uncertainty.Linear(c0, c[:n], resistances).Add(byTemperature)
		} else {
			theta[i] = uncertainty.LinearInUnit("", c0, c[:n], resistances).Add(byTemperature)
		}
	}
	return s.fit(theta), nil
}

// exactQuantities are numbers without uncertainty.
func exactQuantities(v []float64) []uncertainty.Quantity {
	qs := make([]uncertainty.Quantity, len(v))
	for i := range v {
		qs[i] = uncertainty.Exact(v[i])
	}
	return qs
}

// lawSystem is one least-squares problem solved: R = Σ θi (t − reference)^i.
type lawSystem struct {
	reference float64
	theta     []float64
	h         *mat.Dense // θ = h·r: one row a coefficient, one column a reading
	residuals []float64
	stdDev    float64
}

func (s *lawSystem) params() int { return len(s.theta) }

// slope is dR/dt of the fitted law in Ω/K.
func (s *lawSystem) slope(t float64) float64 {
	d := t - s.reference
	v := 0.0
	for i := len(s.theta) - 1; i > 0; i-- {
		v = float64(v*d) + float64(float64(i)*s.theta[i])
	}
	return v
}

// fit turns the coefficients R, Rα, Rβ into R, α, β.
func (s *lawSystem) fit(theta []uncertainty.Quantity) *LawFit {
	law := UncertainLaw{Reference: s.reference, Alpha: theta[1].Div(theta[0]).InUnit("1/K")}
	if len(theta) > 2 {
		law.Beta = theta[2].Div(theta[0]).InUnit("1/K²")
	}
	return &LawFit{
		Resistance: theta[0].DefaultUnit("Ω"), Law: law,
		Residuals: s.residuals, StdDev: s.stdDev, DOF: len(s.residuals) - len(theta),
	}
}

// fitSystem solves for the coefficients, spare readings more than those needed.
func fitSystem(op string, reference float64, degree, spare int,
	t, r []float64) (*lawSystem, error) {
	if err := checkTemperature(op, "reference", reference); err != nil {
		return nil, err
	}
	if degree < 1 || degree > 2 {
		return nil, domainError(op, "degree", float64(degree), "expected 1 or 2")
	}
	if err := checkReadings(op, degree+1+spare, t, r); err != nil {
		return nil, err
	}
	// Two readings at one temperature are one point of the curve.
	if d := distinct(t); d <= degree {
		return nil, refuse(op, "different temperatures", float64(d), ErrObservations,
			"expected at least "+text(float64(degree+1)))
	}
	h, ok := estimatorMatrix(reference, degree, t)
	if !ok {
		return nil, refuse(op, "temperatures", t[0], ErrDomain,
			"expected them far enough apart to tell the coefficients from each other")
	}
	s := &lawSystem{reference: reference, h: h}
	s.setCoefficients(t, r)
	for _, v := range append(s.theta[:len(s.theta):len(s.theta)], s.stdDev) {
		if err := checkNumber(op, "coefficients", v); err != nil {
			return nil, err
		}
	}
	// A reference far outside the readings: α and β are fractions of the resistance there.
	if s.theta[0] <= 0 {
		return nil, domainError(op, "resistance at the reference", s.theta[0],
			"expected a reference near the readings, where the fit gives a positive resistance")
	}
	for _, v := range s.theta[1:] {
		if err := checkNumber(op, "coefficients", v/s.theta[0]); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// distinct counts the different temperatures.
func distinct(t []float64) int {
	return len(slices.Compact(slices.Sorted(slices.Values(t))))
}

// worstCondition is that of the normal equations in the scaled temperatures; it is about 14 for
// readings that are spread evenly.
const worstCondition = 1e12

// estimatorMatrix returns h of θ = h·r. It solves in u = (t − mean)/scale, where powers
// are nearly orthogonal, and moves the polynomial to the reference afterwards.
func estimatorMatrix(reference float64, degree int, t []float64) (h *mat.Dense, ok bool) {
	n, p := len(t), degree+1
	mean, scale := 0.0, 0.0
	for _, v := range t {
		mean += v / float64(n)
	}
	for _, v := range t {
		scale = max(scale, math.Abs(v-mean))
	}
	x := mat.NewDense(n, p, nil)
	for i, v := range t {
		u := (v - mean) / scale
		for j, power := 0, 1.0; j < p; j++ {
			x.Set(i, j, power)
			power *= u
		}
	}
	var normal mat.SymDense
	normal.SymOuterK(1, x.T())
	var chol mat.Cholesky
	// Beyond this condition the normal equations have lost all but a few digits.
	if !chol.Factorize(&normal) || chol.Cond() > worstCondition {
		return nil, false
	}
	h = mat.NewDense(p, n, nil)
	if err := chol.SolveTo(h, x.T()); err != nil {
		return nil, false
	}
	var moved mat.Dense
	moved.Mul(shiftMatrix((reference-mean)/scale, scale, p), h)
	return &moved, true
}

// shiftMatrix maps the coefficients of 1, u, u² to those of 1, (t−ref), (t−ref)² where
// u = u0 + (t−ref)/scale.
func shiftMatrix(u0, scale float64, p int) mat.Matrix {
	full := mat.NewDense(3, 3, []float64{
		1, u0, u0 * u0,
		0, 1 / scale, 2 * u0 / scale,
		0, 0, 1 / (scale * scale),
	})
	return full.Slice(0, p, 0, p)
}

// setCoefficients computes coefficients and residuals. The first reading is subtracted
// before and added after, so that ppm changes of a large resistance keep their
// digits.
func (s *lawSystem) setCoefficients(t, r []float64) {
	p, n := s.h.Dims()
	s.theta = make([]float64, p)
	for i := range s.theta {
		for j := range n {
			s.theta[i] += float64(s.h.At(i, j) * (r[j] - r[0]))
		}
	}
	s.residuals = make([]float64, n)
	sum := 0.0
	for j := range n {
		d, v := t[j]-s.reference, 0.0
		for i := p - 1; i >= 0; i-- {
			v = float64(v*d) + s.theta[i]
		}
		s.residuals[j] = (r[j] - r[0]) - v
		sum += float64(s.residuals[j] * s.residuals[j])
	}
	s.theta[0] += r[0]
	if n > p {
		s.stdDev = math.Sqrt(sum / float64(n-p))
	}
}
