// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

type (
	quantity  = uncertainty.Quantity
	nonlinear struct {
		ID, Source, Place string
		Provenance        uncertaintytest.Provenance
		Data              map[string][]float64
		Starts            [][]float64
		Published         []struct{ Name, Printed string }
	}
)

func one() quantity { return uncertainty.Exact(1) }

// The models of testdata/nonlinear.json.
var models = map[string]fit.Model{
	"strd-boxbod": growth, "strd-misra1a": growth,
	"strd-eckerle4": func(x quantity, b []quantity) quantity {
		z := x.Sub(b[2]).Div(b[1])
		return b[0].Div(b[1]).Mul(uncertainty.Exp(z.Mul(z).Scale(-0.5)))
	},
	"strd-rat42": func(x quantity, b []quantity) quantity {
		return b[0].Div(one().Add(uncertainty.Exp(b[1].Sub(b[2].Mul(x)))))
	},
	"gum6-8.3.6-langmuir": func(x quantity, b []quantity) quantity {
		return b[0].Mul(b[1]).Mul(x).Div(one().Add(b[1].Mul(x)))
	},
}

// growth is b0·(1 − exp(−b1·x)).
func growth(x quantity, b []quantity) quantity {
	return b[0].Mul(one().Sub(uncertainty.Exp(b[1].Mul(x).Neg())))
}

func readNonlinear(t *testing.T) []nonlinear {
	t.Helper()
	text, err := os.ReadFile("testdata/nonlinear.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []nonlinear }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	return file.Examples
}

// Certified to 11 digits, from the far and from the near start.
func TestPublishedNonlinear(t *testing.T) {
	for _, e := range readNonlinear(t) {
		for i, start := range e.Starts {
			x, y := e.Data["x"], e.Data["y"]
			if x == nil {
				x, y = e.Data["c"], e.Data["Gamma"]
			}
			f, err := fit.Nonlinear(models[e.ID], exact(x...), exact(y...), start...)
			if err != nil {
				t.Errorf("%s from start %d: %v", e.ID, i+1, err)
				continue
			}
			got := map[string]float64{"ss_residual": f.StandardDeviation * f.StandardDeviation * float64(f.DOF)}
			for k, p := range f.Parameters {
				got[fmt.Sprint("b", k+1)] = p.Estimate()
				got[fmt.Sprint("sd_b", k+1)] = math.Sqrt(f.Covariance.At(k, k))
			}
			got["Gmax_nls"], got["u_Gmax_nls"] = got["b1"], got["sd_b1"]
			if e.ID == "gum6-8.3.6-langmuir" {
				reciprocal(t, x, y, got)
			}
			for _, row := range e.Published {
				uncertaintytest.Published{
					Name: fmt.Sprintf("%s %s, start %d", e.ID, row.Name,
						i+1), Source: e.Source, Place: e.Place,
					Provenance: e.Provenance, Printed: row.Printed,
				}.Run(t, got[row.Name])
			}
		}
	}
}

// reciprocal is the same model made linear, 1/Γ over 1/c, which weighs the points otherwise.
func reciprocal(t *testing.T, c, gamma []float64, got map[string]float64) {
	t.Helper()
	var x, y []uncertainty.Quantity
	for i := range c {
		x, y = append(x, uncertainty.Exact(1/c[i])), append(y, uncertainty.Exact(1/gamma[i]))
	}
	f, err := fit.Line(x, y)
	if err != nil {
		t.Fatal(err)
	}
	b, err := uncertainty.Evaluate(uncertainty.Exact(1).Div(f.Parameters[0]))
	if err != nil {
		t.Fatal(err)
	}
	got["recip_Gmax"], got["u_recip_Gmax"] = f.Parameters[0].Estimate(), math.Sqrt(f.Covariance.At(0, 0))
	got["Gmax_ols"], got["u_Gmax_ols"] = b.Estimate, b.StandardUncertainty
}

// A model that is linear gives what Line gives, weighted and by scatter, whatever the start.
func TestNonlinearOfLinearModel(t *testing.T) {
	line := func(x quantity, b []quantity) quantity { return b[0].Add(b[1].Mul(x)) }
	x := exact(1, 2, 4, 7, 8)
	values := []float64{1.1, 2.3, 3.9, 7.2, 7.7}
	common := uncertainty.Input("common", uncertainty.Normal(0, 0.3))
	var stated []uncertainty.Quantity
	for i, v := range values {
		stated = append(stated, uncertainty.Source{Name: fmt.Sprint("y", i), Unit: "V",
			Distribution: uncertainty.Normal(v, 0.1+0.05*float64(i))}.Input().Add(common))
	}
	for name, y := range map[string][]uncertainty.Quantity{"scatter": exact(values...),
		"stated": stated} {
		want, err := fit.Line(x, y)
		if err != nil {
			t.Fatal(err)
		}
		got, err := fit.Nonlinear(line, x, y, 100, -3)
		if err != nil {
			t.Fatal(err)
		}
		for k := range 2 {
			if math.Abs(got.Parameters[k].Estimate()-want.Parameters[k].Estimate()) > 1e-12 ||
				math.Abs(got.Covariance.At(k, 0)-want.Covariance.At(k, 0)) > 1e-12 {
				t.Errorf("%s, parameter %d: %v, want %v", name, k, got.Parameters[k],
					want.Parameters[k])
			}
		}
		if math.Abs(got.ChiSquared-want.ChiSquared) > 1e-9 || got.DOF != want.DOF ||
			got.FromScatter != want.FromScatter {
			t.Errorf("%s: %+v, want %+v", name, got, want)
		}
		for i := range values {
			if math.Abs(got.Fitted[i]-want.Fitted[i]) > 1e-12 ||
				math.Abs(got.Residuals[i]-want.Residuals[i]) > 1e-12 {
				t.Errorf("%s, point %d: %v, %v; want %v, %v", name, i, got.Fitted[i],
					got.Residuals[i], want.Fitted[i], want.Residuals[i])
			}
		}
		at := uncertainty.Input("x", uncertainty.Normal(5, 0.1))
		a, err := uncertainty.EvaluateAll(got.At(at), want.At(at))
		if err != nil {
			t.Fatal(err)
		}
		if u, w := a.Budgets[0].StandardUncertainty, a.Budgets[1].StandardUncertainty; math.Abs(u-w) > 1e-12 {
			t.Errorf("%s: u of a prediction %v, want %v", name, u, w)
		}
		if _, err := uncertainty.Evaluate(got.NextReading(exact(5)[0])); (err == nil) != got.FromScatter {
			t.Errorf("%s: next reading: %v", name, err)
		}
		if err := got.Predict([]float64{1, 2}).Err(); !errors.Is(err, fit.ErrDomain) {
			t.Errorf("%s: a model predicts by coefficients: %v", name, err)
		}
		// Their units are those of the model, which says nothing of them.
		for _, p := range got.Parameters {
			if b, err := uncertainty.Evaluate(p); err != nil || b.Unit != "" {
				t.Errorf("%s: unit %q, %v", name, b.Unit, err)
			}
		}
	}
}

func TestNonlinearRefuses(t *testing.T) {
	x, y := exact(1, 2, 3, 4), exact(1, 3, 5, 9)
	uncertain := append(exact(1, 2, 3), uncertainty.Input("x", uncertainty.Normal(4, 1)))
	for name, c := range map[string]struct {
		model fit.Model
		x, y  []uncertainty.Quantity
		start []float64
		want  error
		text  string
	}{
		"no model": {nil, x, y, []float64{1}, fit.ErrDomain, "model: nil"}, "no start": {growth,
			x, y, nil, fit.ErrDomain, "start: no values"},
		"lengths": {growth, x[:3], y, []float64{1, 1}, fit.ErrDomain,
			"3 abscissae for 4 readings"},
		"few points": {growth, x[:1], y[:1], []float64{1, 1}, fit.ErrPoints,
			"1 points for 2 parameters"},
		"start": {growth, x, y, []float64{1, math.NaN()}, fit.ErrNotFinite,
			"start value 2"},
		"uncertain x": {growth, uncertain, y, []float64{1, 1}, fit.ErrDomain,
			"uncertain abscissae"},
		"overflow": {growth, x, y, []float64{1, -1e6}, fit.ErrDomain, "model at point 1"},
		"panics": {func(quantity, []quantity) quantity { panic("no") }, x, y,
			[]float64{1}, fit.ErrDomain, "the model panics: no"},
		"too many indices": {func(_ quantity, b []quantity) quantity { return b[3] }, x, y,
			[]float64{1}, fit.ErrDomain, "panics"},
		"unused parameter": {growth, x, y, []float64{1, 1, 1}, fit.ErrRank, "3 parameters"},
		"one of two": {func(x quantity,
			b []quantity) quantity {
			return b[0].Add(b[1]).Mul(x)
		}, x, y, []float64{1, 1}, fit.ErrRank, "2 parameters"},
		"scatter of none": {growth, x[:2], y[:2], []float64{3, 0.5}, fit.ErrPoints,
			"leave no scatter"},
		"uncertain": {func(_ quantity, b []quantity) quantity {
			return b[0].Add(uncertainty.Input("z", uncertainty.Normal(0, 1)))
		}, x, y, []float64{1}, fit.ErrDomain, "uncertain input of its own"},
		"no quantity": {func(quantity, []quantity) quantity { return quantity{} }, x, y,
			[]float64{1}, fit.ErrDomain, "model at point 1"},
	} {
		f, err := fit.Nonlinear(c.model, c.x, c.y, c.start...)
		if f != nil || !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: %v; want %v, %q", name, err, c.want, c.text)
		}
	}
	// A model with its minimum at infinity does not settle, or says that slopes vanish.
	falling := func(x quantity, b []quantity) quantity { return uncertainty.Exp(b[0].Neg()).Mul(x) }
	if _, err := fit.Nonlinear(falling, x, exact(-1, -2, -3, -4), 0); err == nil {
		t.Error("a minimum at infinity is found")
	}
}

// The parameters of many simulated data sets scatter as stated.
func TestNonlinearCoverage(t *testing.T) {
	trials := 150
	if uncertaintytest.Long() {
		trials = 3000
	}
	var inside int
	noise := uncertainty.Normal(0, 1)
	for trial := range trials {
		var x, y []float64
		for i := range 12 {
			// A lattice of normal quantiles: no generator, the same everywhere.
			_, p := math.Modf(0.5 + float64(trial*12+i+1)*0.6180339887498949)
			x = append(x, float64(i+1))
			y = append(y, 5*(1-math.Exp(-0.3*float64(i+1)))+0.05*noise.Quantile(scramble(p, trial,
				i)))
		}
		f, err := fit.Nonlinear(growth, exact(x...), exact(y...), 4, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		b, err := uncertainty.Evaluate(f.Parameters[1])
		if err != nil {
			t.Fatal(err)
		}
		if b.Expanded.Contains(0.3) {
			inside++
		}
	}
	if share := float64(inside) / float64(trials); math.Abs(share-0.95) > 4*math.Sqrt(0.95*0.05/float64(trials)) {
		t.Errorf("95 %% intervals hold the true value in %v of %d trials", share, trials)
	}
}

// scramble makes a share between 0 and 1 of three numbers.
func scramble(p float64, a, b int) float64 {
	_, s := math.Modf(math.Abs(math.Sin(p*12.9898+float64(a)*78.233+float64(b)*37.719)) * 43758.5453)
	return min(max(s, 1e-6), 1-1e-6)
}

// The order of the points does not matter.
func TestNonlinearOrder(t *testing.T) {
	x, y := []float64{1, 2, 3, 5, 7, 10}, []float64{109, 149, 149, 191, 213, 224}
	f, err := fit.Nonlinear(growth, exact(x...), exact(y...), 100, 0.75)
	if err != nil {
		t.Fatal(err)
	}
	slices.Reverse(x)
	slices.Reverse(y)
	g, err := fit.Nonlinear(growth, exact(x...), exact(y...), 100, 0.75)
	if err != nil {
		t.Fatal(err)
	}
	for k := range 2 {
		if !near(f.Parameters[k].Estimate(), g.Parameters[k].Estimate(), 1e-11) {
			t.Errorf("%v and %v", f.Parameters[k], g.Parameters[k])
		}
	}
}
