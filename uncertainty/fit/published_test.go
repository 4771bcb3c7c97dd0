// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"cmp"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// example is one worked example of testdata/published.json: figures as printed.
type example struct {
	ID, Source, Place string
	Provenance        uncertaintytest.Provenance
	Data              struct{ X, Y []float64 }
	Published         []struct{ Name, What, Printed, Exact string }
}

func readExample(t *testing.T, id string) example {
	t.Helper()
	text, err := os.ReadFile("testdata/published.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []example }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	for _, e := range file.Examples {
		if e.ID == id {
			return e
		}
	}
	t.Fatalf("no example %q", id)
	return example{}
}

// check compares every published figure with the computed one.
func (e example) check(t *testing.T, computed map[string]float64) {
	t.Helper()
	for _, row := range e.Published {
		got, ok := computed[row.Name]
		if !ok {
			t.Errorf("%s is published and not computed", row.Name)
			continue
		}
		if row.Exact != "" {
			t.Run(cmp.Or(row.What, row.Name), func(t *testing.T) {
				if want, err := strconv.ParseFloat(row.Exact, 64); err != nil || !near(got, want, 4e-16) {
					t.Errorf("%v; want %s, published %s (%s)", got, row.Exact, row.Printed, e.Source)
				}
			})
			continue
		}
		uncertaintytest.Published{
			Name: cmp.Or(row.What, row.Name), Source: e.Source, Place: e.Place,
			Provenance: e.Provenance, Printed: row.Printed,
		}.Run(t, got)
	}
}

// scaled returns exact quantities, each value times factor rounded to a whole number.
func scaled(v []float64, factor float64) []uncertainty.Quantity {
	out := make([]uncertainty.Quantity, len(v))
	for i, x := range v {
		out[i] = uncertainty.Exact(math.Round(x * factor))
	}
	return out
}

func exact(v ...float64) []uncertainty.Quantity {
	out := make([]uncertainty.Quantity, len(v))
	for i, x := range v {
		out[i] = uncertainty.Exact(x)
	}
	return out
}

func minus(v []float64, c float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = x - c
	}
	return out
}

func evaluate(t testing.TB, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func u(t testing.TB, q uncertainty.Quantity) float64 { return evaluate(t, q).StandardUncertainty }

func mean(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func must(f *fit.Fit, err error) func(testing.TB) *fit.Fit {
	return func(t testing.TB) *fit.Fit {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
}

// The calibration line of a thermometer, unweighted.
func TestPublishedThermometerLine(t *testing.T) {
	e := readExample(t, "gum-H.3-thermometer-line")
	f := must(fit.Line(exact(minus(e.Data.X, 20)...), exact(e.Data.Y...)))(t)
	at30 := evaluate(t, f.At(uncertainty.Exact(10)))
	centred := must(fit.Line(exact(minus(e.Data.X, mean(e.Data.X))...), exact(e.Data.Y...)))(t)
	computed := map[string]float64{
		"y1": f.Parameters[0].Estimate(), "y2": f.Parameters[1].Estimate(), "s_y1": u(t, f.Parameters[0]), "s_y2": u(t, f.Parameters[1]),
		"r_y1_y2": f.Covariance.At(0, 1) / math.Sqrt(f.Covariance.At(0, 0)*f.Covariance.At(1, 1)), "s": f.StandardDeviation,
		"b_30": at30.Estimate, "var_b_30": at30.StandardUncertainty * at30.StandardUncertainty, "u_b_30": at30.StandardUncertainty, "dof": at30.DOF,
		"t_mean": mean(e.Data.X), "y1_centred": centred.Parameters[0].Estimate(), "s_y1_centred": u(t, centred.Parameters[0]), "s_y2_centred": u(t, centred.Parameters[1]),
	}
	for i := range e.Data.X {
		computed["predicted_"+strconv.Itoa(i+1)] = f.Fitted[i]
		computed["residual_"+strconv.Itoa(i+1)] = f.Residuals[i]
	}
	e.check(t, computed)
}

// Certified results of a reference data set to 15 digits. The data have one decimal;
// they are entered in tenths, which float64 holds exactly, and the results scaled back.
func TestPublishedNorris(t *testing.T) {
	e := readExample(t, "strd-norris")
	f := must(fit.Line(scaled(e.Data.X, 10), scaled(e.Data.Y, 10)))(t)
	var residual, total float64
	m := mean(e.Data.Y)
	for i, r := range f.Residuals {
		residual += float64(r * r)
		total += float64((e.Data.Y[i] - m) * (e.Data.Y[i] - m))
	}
	residual /= 100
	e.check(t, map[string]float64{
		"B0": f.Parameters[0].Estimate() / 10, "B1": f.Parameters[1].Estimate(), "sd_B0": u(t, f.Parameters[0]) / 10, "sd_B1": u(t, f.Parameters[1]),
		"residual_sd": f.StandardDeviation / 10, "R2": 1 - residual/total, "ss_regression": total - residual, "ss_residual": residual,
		"ms_residual": f.StandardDeviation * f.StandardDeviation / 100, "F": (total - residual) / (f.StandardDeviation * f.StandardDeviation / 100),
	})
}

// Ten points with weights in both directions, a standard test of straight-line fits:
// data and results to the digits that are remembered.
func TestPublishedLineWithUncertaintyInBothCoordinates(t *testing.T) {
	var x, y []uncertainty.Quantity
	for i, row := range [][4]float64{ // x, its weight 1/u², y, its weight
		{0, 1000, 5.9, 1}, {0.9, 1000, 5.4, 1.8}, {1.8, 500, 4.4, 4}, {2.6, 800, 4.6, 8}, {3.3, 200, 3.5, 20},
		{4.4, 80, 3.7, 20}, {5.2, 60, 2.8, 70}, {6.1, 20, 2.8, 70}, {6.5, 1.8, 2.4, 100}, {7.4, 1, 1.5, 500},
	} {
		x = append(x, uncertainty.Input("x"+strconv.Itoa(i), uncertainty.Normal(row[0], 1/math.Sqrt(row[1]))))
		y = append(y, uncertainty.Input("y"+strconv.Itoa(i), uncertainty.Normal(row[2], 1/math.Sqrt(row[3]))))
	}
	f := must(fit.Line(x, y))(t)
	for name, row := range map[string]struct {
		printed string
		got     float64
	}{
		"intercept":          {"5.47991022", f.Parameters[0].Estimate()},
		"slope":              {"-0.480533407", f.Parameters[1].Estimate()},
		"chi-squared":        {"11.866353", f.ChiSquared},
		"u of the intercept": {"0.29497", u(t, f.Parameters[0])},
		"u of the slope":     {"0.057985", u(t, f.Parameters[1])},
	} {
		uncertaintytest.Published{
			Name: name, Source: "American Journal of Physics 72 (2004) 367",
			Place: "example with the weights of 1966", Printed: row.printed,
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, row.got)
	}

}
