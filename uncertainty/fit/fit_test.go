// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// normal returns independent quantities with one standard uncertainty each.
func normal(name string, values, us []float64) []uncertainty.Quantity {
	out := make([]uncertainty.Quantity, len(values))
	for i, v := range values {
		out[i] = uncertainty.Input(fmt.Sprint(name, " ", i), uncertainty.Normal(v, us[i]))
	}
	return out
}

func near(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*max(1e-300, math.Abs(want))
}

// Weighted line against the textbook sums Σw, Σwx, Σwx², Σwy, Σwxy.
func TestWeightedLineAgainstSums(t *testing.T) {
	x := []float64{1, 2, 3.5, 4, 7}
	y := []float64{2.1, 3.9, 7.2, 8.1, 13.6}
	us := []float64{0.1, 0.2, 0.1, 0.3, 0.2}
	f := must(fit.Line(exact(x...), normal("y", y, us)))(t)
	var s, sx, sxx, sy, sxy float64
	for i := range x {
		w := 1 / us[i] / us[i]
		s, sx, sxx, sy, sxy = s+w, sx+w*x[i], sxx+w*x[i]*x[i], sy+w*y[i], sxy+w*x[i]*y[i]
	}
	d := s*sxx - sx*sx
	a, b := (sxx*sy-sx*sxy)/d, (s*sxy-sx*sy)/d
	var chi float64
	for i := range x {
		chi += math.Pow((y[i]-a-b*x[i])/us[i], 2)
		if !near(f.Fitted[i], a+b*x[i], 1e-12) || !near(f.Residuals[i], y[i]-a-b*x[i], 1e-10) {
			t.Errorf("point %d: fitted %v, residual %v", i, f.Fitted[i], f.Residuals[i])
		}
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"intercept", f.Parameters[0].Estimate(), a}, {"slope", f.Parameters[1].Estimate(), b},
		{"u intercept", u(t, f.Parameters[0]), math.Sqrt(sxx / d)}, {"u slope", u(t, f.Parameters[1]), math.Sqrt(s / d)},
		{"covariance", f.Covariance.At(0, 1), -sx / d}, {"chi-squared", f.ChiSquared, chi},
		{"u at 10", u(t, f.At(uncertainty.Exact(10))), math.Sqrt((sxx - 20*sx + 100*s) / d)},
	} {
		if !near(c.got, c.want, 1e-11) {
			t.Errorf("%s = %v; want %v", c.name, c.got, c.want)
		}
	}
	if f.FromScatter || f.DOF != 3 || f.StandardDeviation != 0 {
		t.Errorf("from scatter %v, dof %d, s %v; want false, 3, 0", f.FromScatter, f.DOF, f.StandardDeviation)
	}
}

// What all readings share moves the line as a whole: it must neither be averaged away
// nor be taken for scatter.
func TestSharedErrorsStayShared(t *testing.T) {
	standard := uncertainty.Input("standard", uncertainty.Normal(0, 0.5))
	x := exact(0, 1, 2, 3)
	var y, bare []uncertainty.Quantity
	for i, v := range []float64{1, 3.1, 4.9, 7} {
		own := uncertainty.Input(fmt.Sprint("reading ", i), uncertainty.Normal(v, 0.1))
		bare, y = append(bare, own), append(y, own.Add(standard))
	}
	own, shared := must(fit.Line(x, bare))(t), must(fit.Line(x, y))(t)
	if got, want := u(t, shared.Parameters[0]), math.Hypot(0.5, u(t, own.Parameters[0])); !near(got, want, 1e-12) {
		t.Errorf("u of the intercept %v; want %v", got, want)
	}
	if got, want := u(t, shared.Parameters[1]), u(t, own.Parameters[1]); !near(got, want, 1e-12) {
		t.Errorf("u of the slope %v; want %v, without the standard", got, want)
	}
	// A result against the same standard: it cancels.
	if got, want := u(t, shared.At(uncertainty.Exact(1.5)).Sub(standard)),
		u(t, own.At(uncertainty.Exact(1.5))); !near(got, want, 1e-12) {
		t.Errorf("u less the standard %v; want %v", got, want)
	}
	// Shared errors alone: scatter and standard are both there.
	only := must(fit.Line(x,
		[]uncertainty.Quantity{standard.Add(exact(1)[0]), standard.Add(exact(3.1)[0]),
			standard.Add(exact(4.9)[0]), standard.Add(exact(7)[0])}))(t)
	plain := must(fit.Line(x, exact(1, 3.1, 4.9, 7)))(t)
	if !only.FromScatter || !near(u(t, only.Parameters[0]), math.Hypot(0.5, u(t, plain.Parameters[0])), 1e-12) {
		t.Errorf("from scatter %v, u %v; want true, %v", only.FromScatter, u(t, only.Parameters[0]),
			math.Hypot(0.5, u(t, plain.Parameters[0])))
	}
	if b := evaluate(t, plain.Parameters[0]); b.Components[0].Type != uncertainty.EvaluationA ||
		!near(b.DOF, 2, 1e-12) {
		t.Errorf("scatter is of type %v with %v degrees of freedom; want A, 2", b.Components[0].Type, b.DOF)
	}
}

// Correlated readings in general: against the normal equations, written out.
func TestGeneralisedLeastSquares(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	n := 6
	l := mat.NewDense(n, n, nil)
	for i := range n {
		for k := range i {
			l.Set(i, k, random.NormFloat64())
		}
		l.Set(i, i, 1+random.Float64())
	}
	var product mat.Dense
	product.Mul(l, l.T())
	v := mat.NewSymDense(n, nil)
	names, values := make([]string, n), make([]float64, n)
	x := mat.NewDense(n, 3, nil)
	for i := range n {
		names[i], values[i] = fmt.Sprint("y", i), 10+random.NormFloat64()
		x.SetRow(i, []float64{1, random.Float64(), random.Float64()})
		for k := range i + 1 {
			v.SetSym(i, k, product.At(i, k))
		}
	}
	f := must(fit.Weighted(x, uncertainty.Joint(names, values, v)))(t)
	var inverse, xv, normal, covariance, beta mat.Dense
	if err := inverse.Inverse(v); err != nil {
		t.Fatal(err)
	}
	xv.Mul(x.T(), &inverse)
	normal.Mul(&xv, x)
	if err := covariance.Inverse(&normal); err != nil {
		t.Fatal(err)
	}
	beta.Mul(&xv, mat.NewVecDense(n, values))
	beta.Mul(&covariance, &beta)
	for i := range 3 {
		if got, want := f.Parameters[i].Estimate(), beta.At(i, 0); !near(got, want, 1e-9) {
			t.Errorf("parameter %d: %v; want %v", i, got, want)
		}
		for k := range 3 {
			if got, want := f.Covariance.At(i, k),
				covariance.At(i, k); math.Abs(got-want) > 1e-9*math.Abs(covariance.At(i, i)) {
				t.Errorf("covariance %d, %d: %v; want %v", i, k, got, want)
			}
		}
	}
	row := []float64{1, 0.5, 0.5}
	want := math.Sqrt(mat.Inner(mat.NewVecDense(3, row), &covariance, mat.NewVecDense(3, row)))
	if got := u(t, f.Predict(row)); !near(got, want, 1e-9) {
		t.Errorf("u of the prediction %v; want %v", got, want)
	}
}

// Uncertain x, a parabola: at the solution the sum of squares in both directions, each
// point taken to its nearest place on the curve, is stationary and least.
func TestUncertainAbscissaeAreLeastSquares(t *testing.T) {
	xs, ys := []float64{0, 1.1, 1.9, 3.2, 4.1, 4.8}, []float64{0.2, 1.5, 4.1, 10.4, 16.5, 23.6}
	ux, uy := []float64{0.1, 0.05, 0.1, 0.1, 0.05, 0.1}, []float64{0.1, 0.2, 0.3, 0.2, 0.4, 0.3}
	f := must(fit.Polynomial(2, normal("x", xs, ux), normal("y", ys, uy)))(t)
	distance := func(p []float64, i int, x float64) float64 {
		return math.Pow((x-xs[i])/ux[i], 2) + math.Pow((p[0]+p[1]*x+p[2]*x*x-ys[i])/uy[i], 2)
	}
	sum := func(p []float64) float64 {
		var s float64
		for i := range xs {
			low, high := xs[i]-1, xs[i]+1
			for range 200 { // ternary search
				a, b := low+(high-low)/3, high-(high-low)/3
				if distance(p, i, a) < distance(p, i, b) {
					high = b
				} else {
					low = a
				}
			}
			s += distance(p, i, low)
		}
		return s
	}
	best := make([]float64, 3)
	for k, q := range f.Parameters {
		best[k] = q.Estimate()
	}
	if got := sum(best); !near(f.ChiSquared, got, 1e-9) {
		t.Errorf("chi-squared %v; sum of squares %v", f.ChiSquared, got)
	}
	for k, q := range f.Parameters {
		step := 0.01 * u(t, q)
		p := append([]float64{}, best...)
		p[k] = best[k] + step
		above := sum(p) - sum(best)
		p[k] = best[k] - step
		below := sum(p) - sum(best)
		if above <= 0 || below <= 0 || math.Abs(above-below) > 1e-2*(above+below) {
			t.Errorf("parameter %d: a hundredth of u to both sides raises the sum by %v and %v; "+
				"want the same", k, above, below)
		}
	}
}

// The estimate is as wide as it scatters: simulated lines, uncertain in x and y.
func TestUncertaintyAgainstSimulation(t *testing.T) {
	runs := 200
	if uncertaintytest.Long() {
		runs = 4000
	}
	seed := uint64(7)
	random := rand.New(rand.NewPCG(seed, 1))
	ux, uy := []float64{0.05, 0.1, 0.1, 0.2, 0.1}, []float64{0.2, 0.1, 0.2, 0.1, 0.1}
	var sum, squares, stated float64
	for range runs {
		x, y := make([]float64, 5), make([]float64, 5)
		for i := range x {
			x[i] = float64(i) + ux[i]*random.NormFloat64()
			y[i] = 1 + 2*float64(i) + uy[i]*random.NormFloat64()
		}
		f := must(fit.Line(normal("x", x, ux), normal("y", y, uy)))(t)
		d := f.Parameters[1].Estimate() - 2
		sum, squares, stated = sum+d, squares+d*d, stated+f.Covariance.At(1, 1)
	}
	// Three standard deviations of each, for normal errors. A line that is uncertain in x is
	// biased in second order, here by some 0.03 standard uncertainties.
	n := float64(runs)
	ratio, bias := squares/stated, sum/n/math.Sqrt(stated/n)
	if math.Abs(ratio-1) > 3*math.Sqrt(2/n) {
		t.Errorf("seed %d: the slope scatters %v times as much, in variance, as stated", seed, ratio)
	}
	if math.Abs(bias) > 0.05+3/math.Sqrt(n) {
		t.Errorf("seed %d: the slope is off by %v standard uncertainties on average", seed, bias)
	}
	t.Logf("%d lines: the slope scatters %.3f times as much, in variance, as stated, about a "+
		"mean off by %+.3f u", runs, ratio, bias)
}

// Drift of +10, +16, +24 ppm at 0, 2, 4 years, in years of the calendar: 3.5 ppm a year
// (worked by hand). The far origin must not cost digits of the prediction.
func TestCalendarYears(t *testing.T) {
	values := []float64{10, 16, 24}
	near0 := must(fit.Line(exact(0, 2, 4), exact(values...)))(t)
	years := must(fit.Line(exact(2020, 2022, 2024), exact(values...)))(t)
	if got := years.Parameters[1].Estimate(); got != 3.5 {
		t.Errorf("drift %v ppm a year; want 3.5", got)
	}
	a, b := evaluate(t, near0.At(uncertainty.Exact(6))), evaluate(t, years.At(uncertainty.Exact(2026)))
	if !near(a.Estimate, 92.0/3, 1e-14) || !near(b.Estimate, a.Estimate, 1e-13) ||
		!near(b.StandardUncertainty, a.StandardUncertainty, 1e-12) {
		t.Errorf("after 6 years %v, u %v; in 2026 %v, u %v; want 30.667 and equal u", a.Estimate,
			a.StandardUncertainty, b.Estimate, b.StandardUncertainty)
	}
	cubic := must(fit.Polynomial(3, exact(2019, 2020, 2021, 2022, 2023, 2024), exact(1, 8, 27, 64, 125, 217)))(t)
	small := must(fit.Polynomial(3, exact(1, 2, 3, 4, 5, 6), exact(1, 8, 27, 64, 125, 217)))(t)
	if got, want := evaluate(t, cubic.At(uncertainty.Exact(2026))),
		evaluate(t, small.At(uncertainty.Exact(8))); !near(got.Estimate, want.Estimate, 1e-12) ||
		!near(got.StandardUncertainty, want.StandardUncertainty, 1e-10) {
		t.Errorf("cubic in years: %v, u %v; want %v, %v", got.Estimate, got.StandardUncertainty,
			want.Estimate, want.StandardUncertainty)
	}
}

// A prediction interval for one reading: s²·(1 + 1/n + (x − x̄)²/Sxx) with n − 2
// degrees of freedom (textbook formula).
func TestNextReading(t *testing.T) {
	x, y := []float64{1, 2, 3, 4, 5, 6}, []float64{1.1, 1.9, 3.2, 3.9, 5.2, 5.8}
	f := must(fit.Line(exact(x...), exact(y...)))(t)
	b := evaluate(t, f.NextReading(uncertainty.Exact(8)))
	want := f.StandardDeviation * math.Sqrt(1+1.0/6+4.5*4.5/17.5)
	if !near(b.StandardUncertainty, want, 1e-12) || !near(b.DOF, 4, 1e-12) {
		t.Errorf("u = %v, dof %v; want %v, 4", b.StandardUncertainty, b.DOF, want)
	}
	if at := evaluate(t, f.At(uncertainty.Exact(8))); !near(at.DOF, 4, 1e-12) ||
		!near(math.Hypot(at.StandardUncertainty, f.StandardDeviation), want, 1e-12) {
		t.Errorf("u on the curve %v, dof %v", at.StandardUncertainty, at.DOF)
	}
	// At an uncertain x the slope counts.
	at := f.At(uncertainty.Input("x", uncertainty.Normal(8, 0.1)))
	if got, want := u(t, at),
		math.Hypot(u(t, f.At(uncertainty.Exact(8))), 0.1*f.Parameters[1].Estimate()); !near(got,
		want, 1e-9) {
		t.Errorf("u at an uncertain x %v; want %v", got, want)
	}
}

func TestWarnings(t *testing.T) {
	us := []float64{0.1, 0.1, 0.1, 0.1}
	for _, c := range []struct {
		name string
		f    func() (*fit.Fit, error)
		want error
	}{
		{"two certificates", func() (*fit.Fit, error) { return fit.Line(exact(0, 1), normal("y", []float64{1, 2}, us)) }, fit.ErrNoFreedom},
		{"three exact points", func() (*fit.Fit, error) { return fit.Line(exact(0, 1, 2), exact(1, 2, 3)) }, fit.ErrFewPoints},
		{"wrong curve", func() (*fit.Fit, error) { return fit.Line(exact(0, 1, 2, 3), normal("y", []float64{0, 1, 4, 9}, us)) }, fit.ErrInconsistent},
		{"right curve", func() (*fit.Fit, error) {
			return fit.Line(exact(0, 1, 2, 3), normal("y", []float64{0, 1.1, 2, 2.9}, us))
		}, nil},
	} {
		f := must(c.f())(t)
		if c.want == nil && len(f.Warnings) != 0 ||
			c.want != nil && (len(f.Warnings) != 1 || !errors.Is(f.Warnings[0], c.want)) {
			t.Errorf("%s: warnings %v; want %v", c.name, f.Warnings, c.want)
		}
		if p := f.Probability(); !(p >= 0 && p <= 1) || c.want == fit.ErrNoFreedom && p != 1 {
			t.Errorf("%s: probability %v", c.name, p)
		}
	}
	// A lucky scatter does not make the uncertainty smaller.
	lucky := must(fit.Line(exact(0, 1, 2), normal("y", []float64{1, 2, 3}, us)))(t)
	unlucky := must(fit.Line(exact(0, 1, 2), normal("y", []float64{1, 2.2, 2.9}, us)))(t)
	if a, b := u(t, lucky.Parameters[1]), u(t, unlucky.Parameters[1]); !near(a, b, 1e-12) ||
		!near(a, 0.1/math.Sqrt2, 1e-12) {
		t.Errorf("u of the slope %v and %v; want 0.0707 for both", a, b)
	}
	if p := lucky.Probability(); p != 1 && !near(p, 1, 1e-9) {
		t.Errorf("probability of the lucky fit %v; want 1", p)
	}
}

func TestRefusals(t *testing.T) {
	us := []float64{0.1, 0.1, 0.1, 0.1}
	ys := normal("y", []float64{1, 2, 3, 4}, us)
	x := exact(0, 1, 2, 3)
	for _, c := range []struct {
		name string
		f    func() (*fit.Fit, error)
		want error
		text string
	}{
		{"degree", func() (*fit.Fit, error) { return fit.Polynomial(-1, x, ys) }, fit.ErrDomain, "degree"},
		{"lengths", func() (*fit.Fit, error) { return fit.Line(x, ys[:3]) }, fit.ErrDomain, "4 abscissae for 3 readings"},
		{"no points", func() (*fit.Fit, error) { return fit.Line(nil, nil) }, fit.ErrPoints, "0 points for 2"},
		{"two exact points", func() (*fit.Fit, error) { return fit.Line(x[:2], exact(1, 2)) }, fit.ErrPoints, "stated uncertainties"},
		{"one abscissa", func() (*fit.Fit, error) { return fit.Line(exact(1, 1, 1, 1), ys) }, fit.ErrRank, "2 parameters"},
		{"too few abscissae", func() (*fit.Fit, error) { return fit.Polynomial(2, exact(1, 1, 2, 2), exact(1, 2, 3, 4)) }, fit.ErrRank, "3 parameters"},
		{"exact among uncertain", func() (*fit.Fit, error) { return fit.Line(x, append(exact(1), ys[1:]...)) }, fit.ErrCovariance, "some readings are exact"},
		{"same reading twice", func() (*fit.Fit, error) {
			return fit.Weighted(mat.NewDense(2, 1, []float64{1, 1}), []uncertainty.Quantity{ys[0], ys[0]})
		}, fit.ErrCovariance, ""},
		{"weighted exact", func() (*fit.Fit, error) { return fit.Weighted(mat.NewDense(2, 1, []float64{1, 1}), exact(1, 2)) }, fit.ErrCovariance, ""},
		{"error in a reading", func() (*fit.Fit, error) { return fit.Line(x, append(exact(math.NaN()), ys[1:]...)) }, uncertainty.ErrNotFinite, "constant"},
		{"zero quantity", func() (*fit.Fit, error) { return fit.Line(append([]uncertainty.Quantity{{}}, x[1:]...), ys) }, uncertainty.ErrNoQuantity, ""},
		{"no design", func() (*fit.Fit, error) { return fit.Weighted(nil, ys) }, fit.ErrDomain, "no design"},
		{"nil design", func() (*fit.Fit, error) { return fit.Weighted((*mat.Dense)(nil), ys) }, fit.ErrDomain, "panics"},
		{"rows", func() (*fit.Fit, error) { return fit.Weighted(mat.NewDense(3, 1, nil), ys) }, fit.ErrDomain, "3 rows"},
		{"more columns than rows", func() (*fit.Fit, error) { return fit.Weighted(mat.NewDense(4, 5, nil), ys) }, fit.ErrPoints, "4 readings for 5"},
		{"NaN in the design", func() (*fit.Fit, error) { return fit.Weighted(mat.NewDense(4, 1, []float64{1, 1, math.NaN(), 1}), ys) }, fit.ErrNotFinite, "row 3, column 1"},
		{"zero column", func() (*fit.Fit, error) { return fit.Unweighted(mat.NewDense(4, 1, nil), ys) }, fit.ErrRank, ""},
		{"unweighted without scatter", func() (*fit.Fit, error) { return fit.Unweighted(mat.NewDense(1, 1, []float64{1}), ys[:1]) }, fit.ErrPoints, ""},
		{"huge abscissae", func() (*fit.Fit, error) { return fit.Line(exact(-1e308, 1e308, 1), ys[:3]) }, fit.ErrDomain, "width"},
	} {
		f, err := c.f()
		if f != nil || !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) ||
			!strings.HasPrefix(err.Error(), "fit.") {
			t.Errorf("%s: error %v; want %v with %q", c.name, err, c.want, c.text)
		}
		if _, ok := errors.AsType[*fit.Error](err); !ok {
			t.Errorf("%s: %T is no *fit.Error", c.name, err)
		}
	}
}

func TestQuantitiesThatCarryErrors(t *testing.T) {
	line := must(fit.Line(exact(0, 1, 2, 3), exact(1, 2, 3.1, 4)))(t)
	weighted := must(fit.Line(exact(0, 1), normal("y", []float64{1, 2}, []float64{1, 1})))(t)
	constant := must(fit.Polynomial(0, exact(0, 1, 2), exact(1, 2, 3)))(t)
	design := must(fit.Unweighted(mat.NewDense(2, 1, []float64{1, 1}), exact(1, 2)))(t)
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		want error
	}{
		{"At without abscissa", design.At(uncertainty.Exact(1)), fit.ErrDomain},
		{"NextReading without abscissa", design.NextReading(uncertainty.Exact(1)), fit.ErrDomain},
		{"At of nil", (*fit.Fit)(nil).At(uncertainty.Exact(1)), fit.ErrDomain},
		{"At the zero Quantity", line.At(uncertainty.Quantity{}), uncertainty.ErrNoQuantity},
		{"constant at the zero Quantity", constant.At(uncertainty.Quantity{}), uncertainty.ErrNoQuantity},
		{"NextReading, weighted", weighted.NextReading(uncertainty.Exact(1)), fit.ErrDomain},
		{"Predict, length", line.Predict([]float64{1}), fit.ErrDomain},
		{"Predict, nil", (*fit.Fit)(nil).Predict(nil), fit.ErrDomain},
		{"Predict, NaN", line.Predict([]float64{1, math.NaN()}), fit.ErrNotFinite},
	} {
		if err := c.q.Err(); !errors.Is(err, c.want) {
			t.Errorf("%s: error %v; want %v", c.name, err, c.want)
		}
	}
	if got := constant.At(uncertainty.Exact(9)); got.Estimate() != 2 || !near(u(t, got), 1/math.Sqrt(3), 1e-12) {
		t.Errorf("mean %v; want 2, u 0.577", got)
	}
}

func TestUnits(t *testing.T) {
	in := func(unit string, values ...float64) (out []uncertainty.Quantity) {
		for i, v := range values {
			out = append(out, uncertainty.Source{Name: fmt.Sprint(unit, " ", i), Unit: unit,
				Distribution: uncertainty.Normal(v, 0.01)}.Input())
		}
		return out
	}
	ohms, kelvins, rates := in("Ω", 1, 2, 3.02, 4, 5), in("K", 1, 2, 3, 4, 5), in("K/s", 1, 2, 3, 4, 5)
	for _, c := range []struct {
		name string
		x    uncertainty.Quantity
		f    *fit.Fit
		want []string // of the parameters; of the curve at an x with and without unit
	}{
		{"both", kelvins[0], must(fit.Polynomial(2, kelvins, ohms))(t), []string{"Ω", "Ω/K", "Ω/K^2", "Ω", "Ω"}},
		{"quotient", rates[0], must(fit.Line(rates, ohms))(t), []string{"Ω", "Ω/(K/s)", "Ω", "Ω"}},
		{"readings", kelvins[0], must(fit.Line(exact(1, 2, 3, 4, 5), ohms))(t), []string{"Ω", "", "Ω", "Ω"}},
		{"abscissae", kelvins[0], must(fit.Line(kelvins, exact(1, 2, 3.02, 4, 5)))(t), []string{"", "", "", ""}},
		{"numbers", uncertainty.Exact(1).InUnit("1"), must(fit.Line(in("1", 1, 2, 3, 4, 5), ohms))(t), []string{"Ω", "Ω", "Ω", "Ω"}},
	} {
		var got []string
		for _, q := range append(append([]uncertainty.Quantity{}, c.f.Parameters...), c.f.At(c.x),
			c.f.At(uncertainty.Exact(2))) {
			got = append(got, evaluate(t, q).Unit)
		}
		if fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%s: units %q; want %q", c.name, got, c.want)
		}
	}
}

// Two fits from scatter in one model are told apart by their names or their readings; the
// fit of the same readings is the same.
func TestNames(t *testing.T) {
	x, y := exact(0, 1, 2, 3), exact(1, 2, 3.1, 4)
	a, b := must(fit.Line(x, y))(t), must(fit.Settings{Name: "second"}.Line(x, y))(t)
	at := uncertainty.Exact(1)
	if got, want := u(t, a.At(at).Sub(b.At(at))), math.Sqrt2*u(t, a.At(at)); !near(got, want, 1e-12) {
		t.Errorf("two fits: u of the difference %v; want %v", got, want)
	}
	c := must(fit.Line(x, y))(t)
	if got := u(t, a.At(at).Sub(c.At(at))); got > 1e-15 {
		t.Errorf("one fit made twice: u of the difference %v", got)
	}
	d := must(fit.Line(x, exact(1, 2, 3.1, 4.1)))(t)
	if got, want := u(t, a.At(at).Sub(d.At(at))), math.Hypot(u(t, a.At(at)), u(t, d.At(at))); !near(got, want, 1e-12) {
		t.Errorf("two lines: u of the difference %v; want %v", got, want)
	}
	named := fit.Settings{Name: "line"}
	e, f := must(named.Line(x, y))(t), must(named.Line(x, exact(1, 2, 3.1, 4.1)))(t)
	if _, err := uncertainty.Evaluate(e.At(at).Sub(f.At(at))); !errors.Is(err, uncertainty.ErrSameName) {
		t.Errorf("two fits of one name: %v; want ErrSameName", err)
	}
}

// The degrees of freedom of a line are whole, and nothing warns of them (JCGM 100 H.3); a
// simulation draws with them.
func TestDegreesOfFreedomOfALine(t *testing.T) {
	f := must(fit.Line(exact(0, 1, 2, 3), exact(0.1, 1.3, 1.7, 3.2)))(t)
	for _, x := range []float64{0, 0.3, 1.5, 1.7, 2.9, 8} {
		b := evaluate(t, f.At(uncertainty.Exact(x)))
		if b.DOF != 2 {
			t.Errorf("at %v: %v degrees of freedom; want 2", x, b.DOF)
		}
		for _, w := range b.Warnings {
			if errors.Is(w, uncertainty.ErrJointDOF) {
				t.Errorf("at %v: %v", x, w)
			}
		}
	}
	g := must(fit.Line(exact(0, 1, 2, 3, 4, 5), exact(0.1, 1.3, 1.7, 3.2, 3.9, 5.2)))(t)
	at := g.At(uncertainty.Exact(7))
	sim, err := uncertainty.MonteCarlo{Trials: 50_000, Seed: 1}.Run(context.Background(), at)
	if err != nil {
		t.Fatal(err)
	}
	// The interval is that of Student's distribution with n − p = 4 degrees of freedom.
	if want, got := evaluate(t, at).Expanded.U, sim.Outputs[0].Symmetric.Width()/2; !near(got, want, 0.04) {
		t.Errorf("half the interval %v; want %v", got, want)
	}
}

// A year that is given in ohms is refused as what it is.
func TestAbscissaInAnotherUnit(t *testing.T) {
	years := exact(2020, 2021, 2022)
	for i := range years {
		years[i] = years[i].InUnit("a")
	}
	line := must(fit.Line(years, exact(1, 2.1, 2.9)))(t)
	_, err := uncertainty.Evaluate(line.At(uncertainty.Exact(2027).InUnit("Ω")))
	if !errors.Is(err, uncertainty.ErrUnitMismatch) ||
		!strings.Contains(err.Error(), "a constant in Ω, stated in a") {
		t.Errorf("an abscissa in ohms: %v", err)
	}
}
