// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// An error that all abscissae share moves the curve along, so that a value at an
// abscissa with the same error does not know it.
func TestSharedErrorOfTheAbscissae(t *testing.T) {
	thermometer := uncertainty.Input("thermometer", uncertainty.Normal(0, 0.5))
	y := normal("reading", []float64{1, 3, 5, 7}, []float64{0.1, 0.1, 0.1, 0.1})
	bare := exact(0, 1, 2, 3)
	var x []uncertainty.Quantity
	for _, q := range bare {
		x = append(x, q.Add(thermometer))
	}
	own, shared := must(fit.Line(bare, y))(t), must(fit.Line(x, y))(t)
	want := u(t, own.At(uncertainty.Exact(5)))
	if got := u(t, shared.At(uncertainty.Exact(5).Add(thermometer))); !near(got, want, 1e-9) {
		t.Errorf("u at an abscissa of the same thermometer %v; want %v, as without its error", got, want)
	}
	// At a true abscissa it counts with the slope 2.
	if got, want := u(t, shared.At(uncertainty.Exact(5))), math.Hypot(want, 2*0.5); !near(got, want, 1e-9) {
		t.Errorf("u at a true abscissa %v; want %v", got, want)
	}
}

// One error in abscissae and readings alike moves the points along a line of slope 1,
// and leaves that line where it is.
func TestErrorAlongTheLine(t *testing.T) {
	both := uncertainty.Input("meter", uncertainty.Normal(0, 3))
	own := normal("reading", []float64{1, 2, 3, 4, 5}, []float64{0.1, 0.1, 0.2, 0.1, 0.1})
	bare := exact(1, 2, 3, 4, 5)
	var x, y []uncertainty.Quantity
	for i := range own {
		x, y = append(x, bare[i].Add(both)), append(y, own[i].Add(both))
	}
	moved, still := must(fit.Line(x, y))(t), must(fit.Line(bare, own))(t)
	for k := range 2 {
		if got, want := u(t, moved.Parameters[k]), u(t, still.Parameters[k]); !near(got, want, 1e-8) {
			t.Errorf("u of parameter %d: %v; want %v, as without the common error", k, got, want)
		}
	}
}

// Abscissae of which the first is exact: the uncertainty of the others counts. With
// slope 1 and independent errors a point has the variance u(x)² + u(y)².
func TestSomeAbscissaeUncertain(t *testing.T) {
	values := []float64{0, 1, 2, 3}
	y := normal("y", values, []float64{0.5, 0.3, 0.3, 0.3})
	x := append(exact(0), normal("x", values[1:], []float64{0.4, 0.4, 0.4})...)
	all := normal("all", values, []float64{0.5, 0.5, 0.5, 0.5})
	got, want := must(fit.Line(x, y))(t), must(fit.Line(exact(values...), all))(t)
	for k := range 2 {
		if got, want := u(t, got.Parameters[k]), u(t, want.Parameters[k]); !near(got, want, 1e-8) {
			t.Errorf("u of parameter %d: %v; want %v", k, got, want)
		}
	}
}

// Points that each err along the line, by an error of their own, have no scatter about
// it: neither weights nor equal weights apply.
func TestPointsThatErrAlongTheLine(t *testing.T) {
	x := normal("x", []float64{1, 2, 3, 4}, []float64{0.1, 0.1, 0.1, 0.1})
	var y []uncertainty.Quantity
	for _, q := range x {
		y = append(y, q.Scale(2))
	}
	if f, err := fit.Line(x, y); f != nil || !errors.Is(err, fit.ErrCovariance) {
		t.Errorf("error %v; want ErrCovariance", err)
	}
}

// Chi-squared of a fit whose s comes from the scatter is its expectation, the degrees
// of freedom.
func TestChiSquaredFromScatter(t *testing.T) {
	f := must(fit.Line(exact(0, 1, 2, 3, 4), exact(1, 2.1, 2.9, 4, 5)))(t)
	if f.DOF != 3 || f.ChiSquared != 3 {
		t.Errorf("dof %d, chi-squared %v; want 3 and 3", f.DOF, f.ChiSquared)
	}
}

// Two degrees of freedom are few, three are not; as many readings as parameters are
// enough where their uncertainties are stated.
func TestFewestPoints(t *testing.T) {
	f := must(fit.Line(exact(0, 1, 2, 3), exact(1, 2, 3.1, 4)))(t)
	if len(f.Warnings) != 1 || !errors.Is(f.Warnings[0], fit.ErrFewPoints) {
		t.Errorf("2 degrees of freedom: warnings %v; want ErrFewPoints", f.Warnings)
	}
	if f = must(fit.Line(exact(0, 1, 2, 3, 4), exact(1, 2, 3.1, 4, 5)))(t); len(f.Warnings) != 0 {
		t.Errorf("3 degrees of freedom: warnings %v; want none", f.Warnings)
	}
	ys := normal("y", []float64{5, 1}, []float64{0.3, 0.4})
	f = must(fit.Weighted(mat.NewDense(2, 2, []float64{1, 1, 1, -1}), ys))(t) // sum 5, difference 1
	for k, want := range []float64{3, 2} {
		if b := evaluate(t, f.Parameters[k]); !near(b.Estimate, want, 1e-14) ||
			!near(b.StandardUncertainty, 0.25, 1e-14) {
			t.Errorf("two readings for two parameters: %v, u %v; want %v, 0.25", b.Estimate,
				b.StandardUncertainty, want)
		}
	}
	if f.DOF != 0 {
		t.Errorf("two readings for two parameters: dof %d; want 0", f.DOF)
	}
	if _, err := fit.Polynomial(2, exact(0, 1), ys); !errors.Is(err, fit.ErrPoints) ||
		!strings.Contains(err.Error(), "2 points for 3 parameters") {
		t.Errorf("parabola through two points: %v; want ErrPoints, 2 points for 3 parameters", err)
	}
}

// The text of an error names the place as it is counted on paper, and the whole value.
func TestErrorsNameTheValue(t *testing.T) {
	if _, err := fit.Polynomial(-12, exact(1), exact(1)); err == nil ||
		!strings.Contains(err.Error(), "degree: -12; ") {
		t.Errorf("degree -12: %v", err)
	}
	f := must(fit.Line(exact(0, 1, 2, 3), exact(1, 2, 3.1, 4)))(t)
	for i, row := range [][]float64{{math.NaN(), 1}, {1, math.Inf(1)}} {
		if err := f.Predict(row).Err(); err == nil ||
			!strings.Contains(err.Error(), fmt.Sprintf("coefficient %d: ", i+1)) {
			t.Errorf("row %v: %v; want coefficient %d named", row, err, i+1)
		}
	}
}

// Readings or abscissae in several units make no line, not even with a symbol that nobody knows;
// what states no unit fits the others. A value is asked for in the unit of the abscissae.
func TestMixedUnits(t *testing.T) {
	in := func(units ...string) (out []uncertainty.Quantity) {
		for i, unit := range units {
			out = append(out, uncertainty.Source{Name: fmt.Sprint("point ", i, unit), Unit: unit,
				Distribution: uncertainty.Normal(float64(i), 0.1)}.Input())
		}
		return out
	}
	for _, c := range []struct {
		x, y []uncertainty.Quantity
		want string // of the slope; empty: refused
	}{
		{in("K", "K", "K"), in("Ω", "Ω", "Ω"), "Ω/K"},
		{in("K", "K", "K"), in("Ω", "kΩ", "kΩ"), ""},
		{in("K", "K", "K"), in("milliohm", "Ω", "Ω"), ""},
		{in("K", "K", "K"), in("", "Ω", "Ω"), "Ω/K"},
		{in("mK", "K", "K"), in("Ω", "Ω", "Ω"), ""},
		{in("", "K", "K"), in("Ω", "Ω", "V/A"), "Ω/K"},
	} {
		f, err := fit.Line(c.x, c.y)
		if c.want == "" {
			if !errors.Is(err, uncertainty.ErrUnitMismatch) {
				t.Errorf("a line of mixed units: %v; want ErrUnitMismatch", err)
			}
			if _, err := fit.Unweighted(mat.NewDense(3, 1, []float64{1, 1, 1}),
				append(c.x[:1:1], c.y[1], c.y[2])); !errors.Is(err, uncertainty.ErrUnitMismatch) {
				t.Errorf("a mean of mixed units: %v; want ErrUnitMismatch", err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, err := uncertainty.Evaluate(f.At(uncertainty.Exact(2).InUnit("mK"))); !errors.Is(err,
			uncertainty.ErrUnitMismatch) {
			t.Errorf("value at 2 mK of a line over kelvins: %v; want ErrUnitMismatch", err)
		}
		if got := evaluate(t, f.Parameters[1]).Unit; got != c.want {
			t.Errorf("unit of the slope %q; want %q", got, c.want)
		}
	}
}
