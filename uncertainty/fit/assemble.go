// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// assemble turns an adjustment into quantities: each parameter is linear in the
// readings (C·y) and, where s comes from the scatter, in a Type A part of expectation 0. The
// covariance matrix of the parameters is then that of any quantities, C·V·Cᵀ + s²·(XᵀX)⁻¹, found
// by propagation and not here. Slope is that of the curve at each point where x is uncertain, nil
// elsewhere; c is nil for a design.
func (s Settings) assemble(e *observations, a *adjustment, c *curve,
	slope []float64) (*Fit, error) {
	f := &Fit{FromScatter: a.pull == nil, StandardDeviation: a.s, ChiSquared: a.chi, DOF: a.dof,
		Residuals: a.residual, name: s.name(), curve: c, xUnit: e.xUnit,
		yUnit: e.yUnit}
	// What the curve says at each point.
	for i, r := range f.Residuals {
		f.Fitted = append(f.Fitted, e.y[i]-r)
	}
	p := len(a.high)
	// With stated uncertainties the scatter is no source of its own.
	scatter := f.scatter(s.id(e, a), a)
	// Each parameter takes its own part of the scatter, so the matrix of factors is the identity.
	identity := mat.NewDiagDense(p, nil)
	for k := range p {
		identity.SetDiag(k, 1)
	}
	for k := range p {
		// A coefficient of the reduced abscissa has the unit of y; what the elements of a design
		// carry is not known.
		symbol := e.yUnit
		if c == nil {
			symbol = ""
		}
		f.gamma = append(f.gamma, e.linear(symbol, a.high[k]+a.low[k], mat.Row(nil, k, a.c), slope,
			mat.Row(nil, k, identity), scatter))
	}
	f.Parameters = f.gamma
	// Powers of x itself, as linear functions of the same sources.
	if c != nil {
		f.Parameters = c.parameters(e, a, slope, scatter)
	}
	m, err := uncertainty.EvaluateAll(f.Parameters...)
	if err != nil {
		return nil, &Error{Op: "fit." + e.op, Err: err}
	}
	f.Covariance = m.Covariance
	f.warn(e.op)
	return f, nil
}

// scatter makes the Type A sources: one for each parameter and one for a reading to
// come, which is independent of them and judged by the same s.
func (f *Fit) scatter(id string, a *adjustment) []uncertainty.Quantity {
	if !f.FromScatter {
		return nil
	}
	// Joint: the parameters share the scatter, and one number of degrees of freedom.
	p := len(a.high)
	j := uncertainty.JointSource{ID: id, Estimates: make([]float64, p+1), DOF: float64(a.dof),
		Type: uncertainty.EvaluationA}
	v := mat.NewSymDense(p+1, nil)
	for i := range p {
		j.Names = append(j.Names, "scatter of "+f.name+", "+f.term(i))
		for k := range i + 1 {
			// V = s²·(XᵀV⁻¹X)⁻¹, s² times the cofactors (GUM H.3.3).
			v.SetSym(i, k, a.s*a.s*a.cofactor.At(i, k))
		}
	}
	j.Names = append(j.Names, "scatter of the next reading of "+f.name)
	// The next reading has the variance of one reading and shares nothing but s.
	v.SetSym(p, p, a.s*a.s)
	j.Covariance = v
	all := j.Inputs()
	f.next = all[p]
	return all[:p]
}

// term says what the i-th parameter of the adjustment is: that of a curve acts in the
// abscissa from the middle of the points.
func (f *Fit) term(i int) string {
	switch {
	case f.curve == nil:
		return fmt.Sprintf("parameter %d", i)
	case i == 0:
		return "level in the middle of the points"
	case i == 1:
		return "slope there"
	case i == 2:
		return "curvature there"
	}
	return fmt.Sprintf("power %d from there", i)
}

// id tells the scatter of one fit from that of another where neither has a name: fits of
// other readings are other sources, and that of the same readings is the same.
// A named fit is told from others by its name.
func (s Settings) id(e *observations, a *adjustment) string {
	if s.Name != "" {
		return ""
	}
	h := fnv.New64a()
	lists := [][]float64{{float64(len(a.high)), float64(len(e.y))}, e.y, e.x}
	if e.op == opNonlinear { // the points do not tell one model from another
		// The result does: it stands for the model.
		lists = append(lists, a.high)
	}
	for _, list := range lists {
		for _, v := range list {
			_ = binary.Write(h, binary.LittleEndian, v) // a hash takes everything
		}
	}
	return fmt.Sprintf("fit %016x", h.Sum64())
}

// linear returns the quantity with the given unit and value, c·(y − slope·x) + t·scatter: c and
// slope are by reading, t by parameter. The value is that of the adjustment, which has more digits
// than the sum of the products would have.
func (e *observations) linear(symbol string, value float64, c, slope, t []float64,
	scatter []uncertainty.Quantity) uncertainty.Quantity {
	var coefficients []float64
	var terms []uncertainty.Quantity
	// What is subtracted from the constant keeps the value at the estimates exact.
	n := len(e.y)
	constant := value
	term := func(c, estimate float64, q uncertainty.Quantity) {
		coefficients, terms = append(coefficients, c), append(terms, q)
		constant -= float64(c * estimate)
	}
	for i := range n {
		// What is exact is in the constant.
		if e.cov.At(i, i) > 0 {
			term(c[i], e.y[i], e.ys[i])
		}
		// y − slope·x: an error of x moves the point along the curve.
		if slope != nil && e.cov.At(n+i, n+i) > 0 {
			term(-c[i]*slope[i], e.x[i], e.xs[i])
		}
	}
	for k, q := range scatter {
		if t[k] != 0 {
			term(t[k], 0, q)
		}
	}
	return uncertainty.LinearInUnit(symbol, constant, coefficients, terms)
}

// parameters expands the curve in powers of x: β = T·γ with the coefficients γ in the reduced
// abscissa. Column k of T is the expansion of the k-th reduced power, so that β = T·C·y has the
// coefficients T·C by readings, and T by the scatter of each γ.
func (c *curve) parameters(e *observations, a *adjustment, slope []float64,
	scatter []uncertainty.Quantity) []uncertainty.Quantity {
	p := len(a.high)
	t := mat.NewDense(p, p, nil)
	for k := range p {
		// Column k of the matrix that turns reduced coefficients into powers of x.
		unit := make([]float64, p)
		unit[k] = 1
		t.SetCol(k, c.expand(unit, nil))
	}
	var byReadings mat.Dense
	byReadings.Mul(t, a.c)
	out := make([]uncertainty.Quantity, p)
	for k, value := range c.expand(a.high, a.low) {
		out[k] = e.linear(e.unitOf(k), value, mat.Row(nil, k, &byReadings), slope,
			mat.Row(nil, k, t), scatter)
	}
	return out
}

// unitOf is the unit of the coefficient of x^k, "Ω/K" or "Ω/K^2"; empty where it cannot be told.
// Units of several factors are put in parentheses, Ω/(m·K): without them the second factor would
// stand above the line.
func (e *observations) unitOf(k int) string {
	x := e.xUnit
	switch {
	case k == 0 || x == "1":
		return e.yUnit
	case e.yUnit == "" || x == "":
		return ""
	case strings.ContainsAny(x, "/·* "):
		x = "(" + x + ")"
	}
	if k > 1 {
		x += "^" + strconv.Itoa(k)
	}
	return e.yUnit + "/" + x
}

// warn says what a reader must know before using the fit. With one degree of freedom s may be a
// tenth of σ once in thirteen fits, and the t-factor of 12.7 is all that allows for it.
func (f *Fit) warn(op string) {
	add := func(err error) { f.Warnings = append(f.Warnings, &Error{Op: "fit." + op, Err: err}) }
	// A probability needs stated uncertainties and a degree of freedom.
	switch p := f.Probability(); {
	case f.FromScatter && f.DOF <= 2:
		add(unit.Errorf(ErrFewPoints, "s rests on only %s and may be small by chance; take "+
			"more points, or state the uncertainty of each reading", freedoms(f.DOF)))
	case f.FromScatter:
	case f.DOF == 0:
		add(unit.Errorf(ErrNoFreedom, "as many parameters as points: the uncertainty is that of "+
			"the readings, and nothing checks the shape of the curve"))
	// At 5 %, as for a weighted mean.
	case p < 0.05:
		add(unit.Errorf(ErrInconsistent, "chi-squared is %.3g with %s, probability %.2g: the "+
			"stated uncertainties are too small, or the curve does not fit",
			f.ChiSquared, freedoms(f.DOF), p))
	}
}

// freedoms is a number of degrees of freedom with its name.
func freedoms(n int) string { return unit.Counted(n, "degree of freedom", "degrees of freedom") }

// At returns the value of the curve at x: the true value there, if the curve is right.
// Its interval does not hold the next reading, which scatters about the curve: see
// [Fit.NextReading]. An x far outside the points is an extrapolation that no
// uncertainty of this fit answers for. An x in another unit than the abscissae is an error of
// the evaluation ([uncertainty.ErrUnitMismatch]). For a fit with a design matrix use
// [Fit.Predict].
func (f *Fit) At(x uncertainty.Quantity) uncertainty.Quantity {
	if f != nil && f.model != nil {
		return f.model(x, slices.Clone(f.Parameters))
	}
	if f == nil || f.curve == nil {
		return uncertainty.Fail(&Error{Op: "fit.Fit.At",
			Err: unit.Errorf(ErrDomain, "no abscissa: the fit is nil or has a design matrix; "+
				"expected a line or polynomial (see Predict)")})
	}
	// Points in seconds say nothing about 2.5 ms.
	if f.xUnit != "" {
		x = x.InUnit(f.xUnit)
	}
	// In the reduced abscissa powers stay of the size of 1.
	reduced := x.Sub(uncertainty.Exact(f.curve.middle)).Scale(1 / f.curve.half).InUnit("1")
	sum := f.gamma[f.curve.degree]
	for k := f.curve.degree - 1; k >= 0; k-- {
		// Horner's form, in quantities.
		sum = sum.Mul(reduced).Add(f.gamma[k])
	}
	// A constant curve does not look at x, but must not hide its error.
	if f.curve.degree == 0 && x.Err() != nil {
		return uncertainty.Fail(x.Err())
	}
	return sum
}

// NextReading returns one reading to come at x: the curve and the scatter s about it,
// with the degrees of freedom of s. It stands for one and the same reading in whatever
// it is used. Where the readings had stated uncertainties the fit does not know the
// next one: add it to [Fit.At].
func (f *Fit) NextReading(x uncertainty.Quantity) uncertainty.Quantity {
	at := f.At(x)
	if f != nil && (f.curve != nil || f.model != nil) && !f.FromScatter {
		return uncertainty.Fail(&Error{Op: "fit.Fit.NextReading",
			Err: unit.Errorf(ErrDomain, "the uncertainty comes from the stated ones, not from "+
				"the scatter; expected the next reading to be stated too and added to At")})
	}
	if at.Err() != nil {
		return at
	}
	// Always the same source, so that two uses of it are one reading.
	return at.Add(f.next)
}

// Predict returns Σ row[k]·β[k] for a row like those of the design matrix, in the unit
// of y: the true value, as for [Fit.At]. It carries [ErrDomain] where the row does not have one
// coefficient for each parameter.
func (f *Fit) Predict(row []float64) uncertainty.Quantity {
	if f != nil && f.model != nil {
		return uncertainty.Fail(&Error{Op: "fit.Fit.Predict",
			Err: unit.Errorf(ErrDomain, "the model has no design matrix; expected one that is "+
				"linear in its parameters (see At)")})
	}
	if f == nil || len(row) != len(f.Parameters) {
		p := 0
		if f != nil {
			p = len(f.Parameters)
		}
		return uncertainty.Fail(&Error{Op: "fit.Fit.Predict",
			Err: unit.Errorf(ErrDomain, "%d coefficients for %d parameters; expected as many",
				len(row), p)})
	}
	for i, v := range row {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return uncertainty.Fail(&Error{Op: "fit.Fit.Predict",
				Name: fmt.Sprintf("coefficient %d", i+1), Value: v, Err: unit.Errorf(ErrNotFinite,
					"%v; expected a finite number", v)})
		}
	}
	// The parameters are the quantities, the row is exact.
	return uncertainty.LinearInUnit(f.yUnit, 0, row, f.Parameters)
}
