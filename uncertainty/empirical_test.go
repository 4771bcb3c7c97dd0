// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// JCGM 101 annex D: mean and variance of the polygon through M draws, term by term.
func TestEmpiricalMoments(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{2, 3, 10, 101} {
		draws := make([]float64, n)
		for i := range draws {
			draws[i] = 100 + r.NormFloat64()
		}
		e := must(uncertainty.NewEmpirical(draws))
		y := slices.Sorted(slices.Values(draws))
		var mean, second, steps float64
		for _, v := range y {
			mean += v / float64(n)
		}
		for i, v := range y {
			second += (v - mean) * (v - mean)
			if i > 0 {
				steps += (v - y[i-1]) * (v - y[i-1])
			}
		}
		if want := math.Sqrt((second - steps/6) / float64(n)); !near(e.Mean(), mean, 1e-14) ||
			!near(e.StdDev(), want, 1e-12) {
			t.Errorf("%d draws: %v, %v; want %v, %v", n, e.Mean(), e.StdDev(), mean, want)
		}
		// The polygon passes through the draws, and its quantile is its inverse.
		for i, v := range y {
			p := (float64(i) + 0.5) / float64(n)
			if i == n-1 { // what is above the last probability is at the last draw
				p = 1
			} else if !near(e.Quantile(p), v, 1e-14) {
				t.Errorf("%d draws: quantile %v is %v, want %v", n, p, e.Quantile(p), v)
			}
			if !near(e.CDF(v), p, 1e-12) || !near(e.Survival(v), 1-p, 1e-12) {
				t.Errorf("%d draws, draw %d: quantile %v of %v, probability %v", n, i,
					e.Quantile(p), v, e.CDF(v))
			}
		}
		for _, p := range []float64{0.2, 0.5, 0.77} {
			if q := e.Quantile(p); n > 3 && !near(e.CDF(q), p, 1e-12) {
				t.Errorf("%d draws: %v → %v → %v", n, p, q, e.CDF(q))
			}
		}
		if e.CDF(y[0]-1e-9) != 0 || e.CDF(y[n-1]) != 1 || e.Quantile(1e-9) != y[0] ||
			e.Quantile(1-1e-9) != y[n-1] {
			t.Errorf("%d draws: ends", n)
		}
	}
}

func TestEmpiricalOfTies(t *testing.T) {
	e := must(uncertainty.NewEmpirical([]float64{1, 1, 1, 2}))
	if e.CDF(1) != 0.625 || e.CDF(1-1e-15) != 0 || e.Quantile(0.5) != 1 || e.Mean() != 1.25 {
		t.Errorf("CDF(1) = %v, quantile %v, mean %v", e.CDF(1), e.Quantile(0.5), e.Mean())
	}
	same := must(uncertainty.NewEmpirical([]float64{3, 3}))
	if same.StdDev() != 0 || same.CDF(3) != 1 || same.CDF(2.9) != 0 {
		t.Errorf("equal draws: %v, %v", same.StdDev(), same.CDF(3))
	}
	if b := evaluate(t, source(same)); b.StandardUncertainty != 0 {
		t.Errorf("u = %v", b.StandardUncertainty)
	}
}

func TestEmpiricalHistogram(t *testing.T) {
	// One bin is a rectangle; two of one density are one.
	for _, counts := range [][]float64{{7}, {1, 3}} {
		edges := []float64{-1, 1}
		if len(counts) == 2 {
			edges = []float64{-1, -0.5, 1}
		}
		e := must(uncertainty.NewEmpiricalHistogram(edges, counts))
		if !near(e.StdDev(), 1/math.Sqrt(3), 1e-14) || math.Abs(e.Mean()) > 1e-15 ||
			!near(e.Quantile(0.9), 0.8, 1e-14) || e.String() != "histogram" {
			t.Errorf("%v: %v ± %v, %v", counts, e.Mean(), e.StdDev(), e.Quantile(0.9))
		}
	}
	// An empty bin is never drawn from.
	gap := must(uncertainty.NewEmpiricalHistogram([]float64{0, 1, 2, 3}, []float64{1, 0, 1}))
	if gap.CDF(1.5) != 0.5 || !near(gap.StdDev(), math.Sqrt(13./12), 1e-14) {
		t.Errorf("gap: %v, %v", gap.CDF(1.5), gap.StdDev())
	}
	s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000},
		uncertainty.Event("in the gap", func(x []float64) bool { return x[0] > 1 && x[0] < 2 },
			source(gap)))
	if s.Outputs[0].Estimate != 0 {
		t.Errorf("a share of %v is drawn from an empty bin", s.Outputs[0].Estimate)
	}
}

// The output of a simulation as the input of the next keeps what the guide prints of it.
func TestPublishedEmpiricalChain(t *testing.T) {
	sum := uncertainty.Exact(0)
	for _, name := range []string{"a", "b", "c", "d"} {
		sum = sum.Add(uncertainty.Input(name, uncertainty.Rectangular(0, math.Sqrt(3))))
	}
	for name, m := range map[string]uncertainty.MonteCarlo{
		"streamed": {Trials: 200_000, Seed: 3}, "kept": {Trials: 200_000, Seed: 3,
			Quantiles: []float64{0.5}},
	} {
		first := simulate(t, m, sum)
		e := must(first.Outputs[0].Empirical(5_000))
		second := simulate(t, uncertainty.MonteCarlo{Trials: 200_000, Seed: 4}, source(e))
		o := second.Outputs[0]
		for _, row := range []struct {
			what, printed string
			got           float64
		}{
			{"u", "2.0", o.StandardUncertainty}, {"half-width of the interval", "3.9",
				o.Symmetric.Width() / 2},
			{"u of the representation", "2.0", e.StdDev()}, {"half-width of the representation",
				"3.9", (e.Quantile(0.975) - e.Quantile(0.025)) / 2},
		} {
			uncertaintytest.Published{
				Name: name + ", " +
					row.what, Source: "JCGM 101:2008", Place: "9.2.3, table 3",
				Printed: row.printed, Provenance: uncertaintytest.FromMemory,
			}.Run(t, row.got)
		}
		// The values are quantiles of the output, inside and beyond the interval.
		for _, p := range []float64{0.001, 0.02, 0.3, 0.5, 0.9, 0.999} {
			if got := first.Outputs[0].CDF(e.Quantile(p)); math.Abs(got-p) > 3e-4 {
				t.Errorf("%s: quantile %v lies above a share of %v", name, p, got)
			}
		}
	}
}

func TestEmpiricalIsDrawnAsItIs(t *testing.T) {
	e := must(uncertainty.NewEmpirical([]float64{0, 0.2, 0.7, 2.5, 2.6, 7}))
	s := simulate(t, uncertainty.MonteCarlo{Trials: 100_000,
		Quantiles: []float64{0.1, 0.3, 0.5, 0.8}}, source(e))
	o := s.Outputs[0]
	if math.Abs(o.Estimate-e.Mean()) > 4*o.Sampling.Estimate ||
		math.Abs(o.StandardUncertainty-e.StdDev()) > 4*o.Sampling.StandardUncertainty {
		t.Errorf("%v, %v; want %v, %v", o.Estimate, o.StandardUncertainty, e.Mean(), e.StdDev())
	}
	for i, p := range []float64{0.1, 0.3, 0.5, 0.8} {
		if math.Abs(e.CDF(o.Quantiles[i])-p) > 0.006 {
			t.Errorf("quantile %v at %v, want %v", p, o.Quantiles[i], e.Quantile(p))
		}
	}
	b := evaluate(t, source(e))
	if b.Components[0].Distribution != "draws" || b.StandardUncertainty != e.StdDev() ||
		!math.IsInf(b.DOF, 1) {
		t.Errorf("%+v", b.Components[0])
	}
}

func TestEmpiricalFilesReturn(t *testing.T) {
	for name, e := range map[string]*uncertainty.Empirical{
		"draws": must(uncertainty.NewEmpirical([]float64{3.25, 1e-300, -7, 3.25, 0.1})),
		"histogram": must(uncertainty.NewEmpiricalHistogram([]float64{-1, 0.1, 4},
			[]float64{1, 2})),
		"table": must(uncertainty.NewEmpiricalTable([]float64{0.1, 0.1, 0.5, 0.9},
			[]float64{1, 2, 2, 5})),
	} {
		var file bytes.Buffer
		if err := e.WriteCSV(&file); err != nil {
			t.Fatal(err)
		}
		back, err := uncertainty.ReadEmpirical(&file)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, p := range []float64{0.01, 0.1, 0.3, 0.5, 0.99} {
			if back.Quantile(p) != e.Quantile(p) {
				t.Errorf("%s: quantile %v is %v, was %v", name, p, back.Quantile(p), e.Quantile(p))
			}
		}
		if back.Mean() != e.Mean() || back.StdDev() != e.StdDev() {
			t.Errorf("%s: %v ± %v, was %v ± %v", name, back.Mean(), back.StdDev(), e.Mean(),
				e.StdDev())
		}
	}
}

func TestReadEmpirical(t *testing.T) {
	e := must(uncertainty.ReadEmpirical(
		strings.NewReader("\ufeff# a comment\n count , upper, lower\n\n1,1,0\n# and another\n 3 ,2,1\n")))
	if e.String() != "histogram" || !near(e.Mean(), 0.5*0.25+1.5*0.75, 1e-15) {
		t.Errorf("%v with mean %v", e, e.Mean())
	}
	table := must(uncertainty.ReadEmpirical(strings.NewReader("value,probability\n5,0\n7,1\n")))
	if table.Quantile(0.25) != 5.5 {
		t.Errorf("quarter at %v", table.Quantile(0.25))
	}
	for text, want := range map[string]string{
		"": "an empty file", "value\n": "0 draws", "value\n1\nx\n": `line 3, column "value": "x"`, "value\n1\n1,5\n": "line 3",
		"valu\n1\n2\n": `did you mean "value"`, "value,count\n1,2\n": "columns value, count", "value,value\n1,2\n2,3\n": "columns value, value",
		"value\n1\nNaN\n": "NaN", "value\n1\n1e400\n": "1e400", "probability,value\n0,1\n1.5,2\n": "probability 2 is 1.5",
		"probability,value\n0.5,1\n0.4,2\n": "row 2 falls", "lower,upper,count\n1,0,1\n": "expected edges that rise",
		"lower,upper,count\n0,2,1\n1,3,1\n": "bin 2 begins at 1", "lower,upper,count\n0,1,0\n": "sum of the counts", "lower,upper,count\n0,1,-1\n": "count of bin 1",
		"value\n\"1\n": "line",
	} {
		if _, err := uncertainty.ReadEmpirical(strings.NewReader(text)); err == nil ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	if _, err := uncertainty.ReadEmpirical(nil); !errors.Is(err, uncertainty.ErrNotStated) {
		t.Errorf("no file: %v", err)
	}
}

func TestEmpiricalRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	histogram := func(counts []float64, edges ...float64) error {
		_, err := uncertainty.NewEmpiricalHistogram(edges, counts)
		return err
	}
	table := func(probabilities []float64, values ...float64) error {
		_, err := uncertainty.NewEmpiricalTable(probabilities, values)
		return err
	}
	draws := func(values ...float64) error {
		_, err := uncertainty.NewEmpirical(values)
		return err
	}
	output := func(n int) error {
		_, err := uncertainty.Output{}.Empirical(n)
		return err
	}
	for name, c := range map[string]struct{ err, want error }{
		"one draw":    {draws(1), uncertainty.ErrObservations},
		"NaN draw":    {draws(1, nan), uncertainty.ErrNotFinite},
		"wide draws":  {draws(-1e300, 1e300), uncertainty.ErrNotFinite},
		"edges":       {histogram(nil, 1, 2), uncertainty.ErrDomain},
		"falling":     {histogram([]float64{1}, 2, 1), uncertainty.ErrDomain},
		"Inf edge":    {histogram([]float64{1}, 2, inf), uncertainty.ErrNotFinite},
		"one row":     {table([]float64{1}, 1), uncertainty.ErrDomain},
		"NaN p":       {table([]float64{0, nan}, 1, 2), uncertainty.ErrDomain},
		"NaN value":   {table([]float64{0, 1}, 1, nan), uncertainty.ErrNotFinite},
		"few values":  {output(1), uncertainty.ErrDomain},
		"many values": {output(1 << 30), uncertainty.ErrDomain},
		"no trials":   {output(10), uncertainty.ErrTrials},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: %v; want %v", name, c.err, c.want)
		}
	}
	var none *uncertainty.Empirical
	for _, e := range []*uncertainty.Empirical{none, {}} {
		if !math.IsNaN(e.Quantile(0.5)) || !math.IsNaN(e.CDF(0)) ||
			e.String() != "no distribution" {
			t.Errorf("no distribution has values: %v", e)
		}
		for range e.Points() {
			t.Error("no distribution has points")
		}
		if err := source(e).Err(); err == nil {
			t.Error("no distribution is an input")
		}
	}
	// A record could not read it back, and says so.
	q := source(must(uncertainty.NewEmpirical([]float64{1, 2}))).Named("x")
	if _, err := json.Marshal(uncertainty.Record{ID: "r",
		Quantities: []uncertainty.Quantity{q}}); !errors.Is(err, uncertainty.ErrDomain) {
		t.Errorf("record: %v", err)
	}
}

func TestModelOfDraws(t *testing.T) {
	read := func(input string) (uncertainty.Quantity, error) {
		return uncertainty.ReadModel(strings.NewReader(`{"formula": "2*x", "inputs": [{"name": "x", ` + input + `}]}`))
	}
	q := must(read(`"unit": "V", "distribution": "draws", "draws": ["1 V", "1200 mV", 1.6]`))
	if b := evaluate(t, q); !near(b.Estimate, 2*3.8/3, 1e-14) ||
		b.Components[0].Distribution != "draws" || b.Components[0].Unit != "V" {
		t.Errorf("%v", b)
	}
	q = must(read(`"distribution": "histogram", "edges": [0, 1, 3], "counts": [1, 1]`))
	s, err := uncertainty.MonteCarlo{Trials: 20_000}.Run(context.Background(), q)
	if err != nil || math.Abs(s.Outputs[0].Estimate-2.5) > 0.05 {
		t.Errorf("%v, %v", s, err)
	}
	for input, want := range map[string]string{
		`"distribution": "draws", "draws": [1]`:                                    "1 draw; expected 2 or more",
		`"distribution": "draws"`:                                                  "expected draws",
		`"distribution": "histogram", "edges": [0, 1], "counts": [1, 2]`:           "2 counts for 2 edges",
		`"distribution": "histogram", "edges": [0, 1], "counts": [1], "draws": []`: "expected edges, counts",
		`"distribution": "draws", "unit": "V", "draws": ["1 A", 2]`:                "draws is given in A",
	} {
		if _, err := read(input); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", input, err, want)
		}
	}
}

func FuzzReadEmpirical(f *testing.F) {
	f.Add("value\n1\n2\n")                         // draws
	f.Add("lower,upper,count\n0,1,2\n1,2,0\n")     // a histogram with an empty bin
	f.Add("probability,value\n0,1\n0.5,1\n1,2\n")  // a table with a step
	f.Add("# c\n\nvalue , probability\n1e308,0\n") // order, comments, large values
	f.Add("lower,upper,count\n-1e308,1e308,1e308") // a width beyond float64
	f.Fuzz(func(t *testing.T, text string) {
		e, err := uncertainty.ReadEmpirical(strings.NewReader(text))
		if err != nil {
			return
		}
		last := math.Inf(-1)
		for _, p := range []float64{1e-9, 0.1, 0.5, 0.9, 1 - 1e-9} {
			q := e.Quantile(p)
			if math.IsNaN(q) || math.IsInf(q, 0) || q < last {
				t.Fatalf("quantile %v is %v after %v", p, q, last)
			}
			last = q
		}
		if math.IsNaN(e.Mean()) || !(e.StdDev() >= 0) {
			t.Fatalf("mean %v, standard deviation %v", e.Mean(), e.StdDev())
		}
	})
}
