// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// seriesExample is one example of testdata/type-a.json: series of observations with what is
// printed of them.
type seriesExample struct {
	example
	Data [][]float64
}

func readSeries(t *testing.T) map[string]seriesExample {
	t.Helper()
	text, err := os.ReadFile("testdata/type-a.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []seriesExample }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	all := map[string]seriesExample{}
	for _, e := range file.Examples {
		all[e.ID] = e
	}
	return all
}

// run compares every printed figure with the computed one of its name.
func (e example) run(t *testing.T, computed map[string]float64) {
	t.Helper()
	for _, row := range e.Published {
		got, ok := computed[row.Name]
		if !ok {
			t.Errorf("%s: %s is published and not computed", e.ID, row.Name)
			continue
		}
		uncertaintytest.Published{
			Name: e.ID + " " + row.Name, Source: e.Source, Place: e.Place, Provenance: e.Provenance,
			Printed: row.Printed, Exception: row.Exception,
		}.Run(t, got)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func TestPublishedRobustMeans(t *testing.T) {
	all := readSeries(t)
	for id, e := range all {
		if len(e.Data) > 1 {
			continue // groups, see below
		}
		x := e.Data[0]
		a := must(uncertainty.AlgorithmA(x...))
		m := must(uncertainty.MedianMAD(x...))
		q := must(uncertainty.QHampel(x...))
		iqr := must(uncertainty.NormalizedIQR(x...))
		mean, s, err := uncertainty.MeanStdDev(x)
		if err != nil {
			t.Fatal(err)
		}
		assigned := 0.0041 // u of the reference value 0.044 of E.7
		e.run(t, map[string]float64{
			"x_star": a.Location, "s_star": a.Scale, "u_x_star": a.StandardUncertainty(),
			"u_diff": math.Hypot(assigned, a.StandardUncertainty()), "x_diff": 0.044 - a.Location,
			"median": m.Location, "MADe": m.Scale, "nIQR": iqr,
			"u_median": uncertainty.RobustMean{Scale: iqr,
				Observations: len(x)}.StandardUncertainty(),
			"algA_location": a.Location, "algA_scale": a.Scale, "algA_u": a.StandardUncertainty(),
			"Q_scale": q.Scale, "hampel_location": q.Location, "Q_hampel_u": q.StandardUncertainty(),
			"mean": mean, "sd": s, "sd_of_cell_means": s, "u_mean": s / math.Sqrt(float64(len(x))),
		})
		delete(all, id)
	}
}

// Repeatability and reproducibility between laboratories, and the homogeneity of bottles.
func TestPublishedRepeatability(t *testing.T) {
	for _, e := range readSeries(t) {
		if len(e.Data) == 1 {
			continue
		}
		a := must(uncertainty.NewOneWay(e.Data...))
		var observed []float64
		for _, g := range e.Data {
			observed = append(observed, g...)
		}
		mean, _, err := uncertainty.MeanStdDev(observed)
		if err != nil {
			t.Fatal(err)
		}
		spread := math.Sqrt(a.VarianceOfMeans)
		e.run(t, map[string]float64{
			"mean": mean, "s_r": a.Within(), "s_R": a.Reproducibility(), "s_xbar": spread,
			"r": 2.8 * a.Within(), "R": 2.8 * a.Reproducibility(),
			"s_x": spread, "s_w": a.Within(), "s_s": a.Between(),
		})
	}
}

// GUM table E.1: the relative standard deviation of the standard deviation of a mean.
func TestPublishedStdDevUncertainty(t *testing.T) {
	for n, printed := range map[int]string{2: "76", 3: "52", 4: "42", 5: "36", 10: "24", 20: "16",
		30: "13", 50: "10"} {
		uncertaintytest.Published{
			Name: fmt.Sprintf("relative standard deviation of s, n = %d, %%",
				n), Source: "JCGM 100:2008", Place: "E.4.3, table E.1",
			Printed: printed, Provenance: uncertaintytest.FromMemory,
		}.Run(t, 100*must(uncertainty.StdDevUncertainty(float64(n-1))))
	}
}

func TestPublishedC4(t *testing.T) {
	printed := []string{ // from n = 2 on
		"0.7979", "0.8862", "0.9213", "0.9400", "0.9515", "0.9594", "0.9650", "0.9693", "0.9727", "0.9754", "0.9776", "0.9794",
		"0.9810", "0.9823", "0.9835", "0.9845", "0.9854", "0.9862", "0.9869", "0.9876", "0.9882", "0.9887", "0.9892", "0.9896",
	}
	for i, p := range printed {
		uncertaintytest.Published{
			Name: fmt.Sprintf("c4, n = %d",
				i+2), Source: "ISO 7870-2:2013, factors of control charts", Place: "table of c4",
			Printed: p, Provenance: uncertaintytest.FromMemory,
		}.Run(t, must(uncertainty.C4(float64(i+1))))
	}
}

// Factors for the homogeneity of test items: F1 = χ²_0.95(g−1)/(g−1), F2 = (F_0.95 − 1)/2.
func TestPublishedHomogeneityFactors(t *testing.T) {
	// From g = 7 on.
	f1 := []string{"2.10", "2.01", "1.94", "1.88", "1.83", "1.79", "1.75", "1.72", "1.69", "1.67",
		"1.64", "1.62", "1.60", "1.59"}
	f2 := []string{"1.43", "1.25", "1.11", "1.01", "0.93", "0.86", "0.80", "0.75", "0.71", "0.68",
		"0.64", "0.62", "0.59", "0.57"}
	for i := range f1 {
		g := float64(i + 7)
		p := uncertaintytest.Published{
			Name: fmt.Sprintf("F1, %v items",
				g), Source: "ISO 13528:2022, as quoted", Place: "B.2.3, table B.1",
			Printed: f1[i], Provenance: uncertaintytest.Seen,
		}
		p.Run(t, must(uncertainty.FQuantile(0.95, g-1, math.Inf(1))))
		p.Name, p.Printed = fmt.Sprintf("F2, %v items", g), f2[i]
		p.Run(t, (must(uncertainty.FQuantile(0.95, g-1, g))-1)/2)
	}
}

// Quantiles of F that the guides and handbooks quote.
func TestPublishedFQuantiles(t *testing.T) {
	const handbook = "NIST/SEMATECH e-Handbook of Statistical Methods"
	for _, row := range []struct {
		p, dof1, dof2          float64
		printed, source, place string
	}{
		{0.95, 9, 40, "2.12", "JCGM 100:2008", "H.5.2.3"},
		{0.975, 9, 40, "2.45", "JCGM 100:2008", "H.5.2.3"},
		{0.95, 4, 40, "2.61", handbook, "3.2.3.3.1"},
		{0.95, 1, 1, "161.448", handbook, "1.3.6.7.3"},
		{0.95, 2, 1, "199.500", handbook, "1.3.6.7.3"},
		{0.95, 1, 2, "18.513", handbook, "1.3.6.7.3"},
		{0.95, 1, 10, "4.965", handbook, "1.3.6.7.3"},
		{0.95, 5, 10, "3.326", handbook, "1.3.6.7.3"},
		{0.95, 10, 10, "2.978", handbook, "1.3.6.7.3"},
		{0.99, 1, 1, "4052.19", handbook, "1.3.6.7.3"},
		{0.99, 10, 20, "3.368", handbook, "1.3.6.7.3"},
	} {
		p := uncertaintytest.Published{
			Name: fmt.Sprintf("F, %v, %v and %v degrees of freedom", row.p, row.dof1,
				row.dof2), Source: row.source, Place: row.place,
			Printed: row.printed, Provenance: uncertaintytest.FromMemory,
		}
		if row.printed == "4052.19" {
			p.Exception = "the table is off in its last digit: the quantile is 4052.18"
		}
		p.Run(t, must(uncertainty.FQuantile(row.p, row.dof1, row.dof2)))
	}
}

// gears are ten batches of ten diameters of gears (handbook data set of Bartlett's test).
var gears = [][]float64{
	{1.006, 0.996, 0.998, 1.000, 0.992, 0.993, 1.002, 0.999, 0.994, 1.000},
	{0.998, 1.006, 1.000, 1.002, 0.997, 0.998, 0.996, 1.000, 1.006, 0.988},
	{0.991, 0.987, 0.997, 0.999, 0.995, 0.994, 1.000, 0.999, 0.996, 0.996},
	{1.005, 1.002, 0.994, 1.000, 0.995, 0.994, 0.998, 0.996, 1.002, 0.996},
	{0.998, 0.998, 0.982, 0.990, 1.002, 0.984, 0.996, 0.993, 0.980, 0.996},
	{1.009, 1.013, 1.009, 0.997, 0.988, 1.002, 0.995, 0.998, 0.981, 0.996},
	{0.990, 1.004, 0.996, 1.001, 0.998, 1.000, 1.018, 1.010, 0.996, 1.002},
	{0.998, 1.000, 1.006, 1.000, 1.002, 0.996, 0.998, 0.996, 1.002, 1.006},
	{1.002, 0.998, 0.996, 0.995, 0.996, 1.004, 1.004, 0.998, 0.999, 0.991},
	{0.991, 0.995, 0.984, 0.994, 0.997, 0.997, 0.991, 0.998, 1.004, 0.997},
}

// machined are the diameters that five machines (rows) made under two operators (columns),
// five each.
var machined = [][][]float64{
	{{0.125, 0.127, 0.125, 0.126, 0.128}, {0.124, 0.128, 0.127, 0.126, 0.129}},
	{{0.118, 0.122, 0.120, 0.124, 0.119}, {0.116, 0.125, 0.119, 0.125, 0.120}},
	{{0.123, 0.125, 0.125, 0.124, 0.126}, {0.122, 0.121, 0.124, 0.126, 0.125}},
	{{0.126, 0.128, 0.126, 0.127, 0.129}, {0.126, 0.129, 0.125, 0.130, 0.124}},
	{{0.118, 0.129, 0.127, 0.120, 0.121}, {0.125, 0.123, 0.114, 0.124, 0.117}},
}

// leaves are two determinations of each of three leaves of four plants.
var leaves = [][][]float64{
	{{3.28, 3.09}, {3.52, 3.48}, {2.88, 2.80}}, {{2.46, 2.44}, {1.87, 1.92}, {2.19, 2.19}},
	{{2.77, 2.66}, {3.74, 3.44}, {2.55, 2.55}}, {{3.78, 3.87}, {4.07, 4.12}, {3.31, 3.31}},
}

// Data and figures are from memory; that the figures follow from the data is the check on
// the memory.
func TestPublishedAnalysisOfVariance(t *testing.T) {
	const handbook = "NIST/SEMATECH e-Handbook of Statistical Methods"
	const plants = "Snedecor and Cochran, Statistical Methods"
	pooled := must(uncertainty.Pool(gears...))
	batches := must(uncertainty.NewOneWay(gears...))
	nested := must(uncertainty.NewNested(machined...))
	crossed := must(uncertainty.NewTwoWay(machined))
	plant := must(uncertainty.NewNested(leaves...))
	c := plant.Components()
	f, _ := nested.Between.F(nested.Within)
	among, _ := nested.Among.F(nested.Within)
	byRow, _ := crossed.Row.F(crossed.Within)
	for _, row := range []struct {
		name, source, place, printed string
		got                          float64
	}{
		{"gears, Bartlett's statistic", handbook, "1.3.5.7", "20.78587", pooled.ChiSquared},
		{"gears, degrees of freedom within", handbook, "1.3.5.4", "90", pooled.DOF},
		{"gears, sum of squares between", handbook, "1.3.5.4", "0.000729", batches.SumBetween},
		{"gears, sum of squares within", handbook, "1.3.5.4", "0.003174", batches.SumWithin},
		{"gears, F", handbook, "1.3.5.4", "2.2969", batches.F()},
		{"machines, nested, sum of squares", handbook, "3.2.3.3", "0.000303", nested.Between.Sum},
		{"operators within machines, sum of squares", handbook, "3.2.3.3", "0.0000186",
			nested.Among.Sum},
		{"residual, sum of squares", handbook, "3.2.3.3", "0.000346", nested.Within.Sum},
		{"machines, nested, F", handbook, "3.2.3.3", "8.77", f},
		{"operators within machines, F", handbook, "3.2.3.3", "0.43", among},
		{"machines, crossed, sum of squares", handbook, "3.2.3.2", "0.000303", crossed.Row.Sum},
		{"coolant, sum of squares", handbook, "3.2.3.2", "0.00000392", crossed.Column.Sum},
		{"interaction, sum of squares", handbook, "3.2.3.2", "0.00001468", crossed.Interaction.Sum},
		{"crossed, residual, sum of squares", handbook, "3.2.3.2", "0.000346", crossed.Within.Sum},
		{"machines, crossed, F", handbook, "3.2.3.2", "8.8", byRow},
		{"plants, sum of squares", plants, "nested classifications, calcium of leaves", "7.5603",
			plant.Between.Sum},
		{"leaves in plants, sum of squares", plants, "nested classifications, calcium of leaves",
			"2.6302", plant.Among.Sum},
		{"determinations, sum of squares", plants, "nested classifications, calcium of leaves",
			"0.0799", plant.Within.Sum},
		{"plants, mean square", plants, "nested classifications, calcium of leaves", "2.5201",
			plant.Between.MeanSquare()},
		{"leaves in plants, mean square", plants, "nested classifications, calcium of leaves",
			"0.3288", plant.Among.MeanSquare()},
		{"determinations, mean square", plants, "nested classifications, calcium of leaves",
			"0.0067", plant.Within.MeanSquare()},
		{"variance of plants", plants, "nested classifications, calcium of leaves", "0.3652",
			c.Between * c.Between},
		{"variance of leaves", plants, "nested classifications, calcium of leaves", "0.1611",
			c.Among * c.Among},
	} {
		uncertaintytest.Published{
			Name: row.name, Source: row.source, Place: row.place, Printed: row.printed,
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, row.got)
	}
}
