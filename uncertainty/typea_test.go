// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"golang.org/x/exp/stats"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// dataset is one set of testdata/nist-strd-univariate.json.
type dataset struct {
	Name, Source, Place string
	Provenance          uncertaintytest.Provenance
	N                   int
	Data                []float64
	Rule                *struct {
		Pairs       int
		First, A, B string
	}
	Mean      string `json:"mean"`
	StdDev    string `json:"standard_deviation"`
	Exception string // of the standard deviation
	fullData  []float64
}

func readDatasets(t *testing.T) []dataset {
	t.Helper()
	text, err := os.ReadFile("testdata/nist-strd-univariate.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Datasets []dataset }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	for i := range file.Datasets {
		d := &file.Datasets[i]
		d.fullData = d.Data
		if d.Rule != nil {
			d.fullData = []float64{number(d.Rule.First)}
			for range d.Rule.Pairs {
				d.fullData = append(d.fullData, number(d.Rule.A), number(d.Rule.B))
			}
		}
		if len(d.fullData) != d.N {
			t.Fatalf("%s: %d values; want %d", d.Name, len(d.fullData), d.N)
		}
	}
	return file.Datasets
}

// NIST certifies the results for the decimal data to 15 digits. Most sets lose some of
// them when the decimals become float64, before anything is computed: the second
// comparison is with exact arithmetic on the float64 values.
func TestPublishedReferenceDatasets(t *testing.T) {
	for _, d := range readDatasets(t) {
		mean, s, err := uncertainty.MeanStdDev(d.fullData)
		if err != nil {
			t.Fatal(err)
		}
		p := uncertaintytest.Published{Name: d.Name + " mean", Source: d.Source, Place: d.Place,
			Printed: d.Mean, Provenance: d.Provenance}
		p.Run(t, mean)
		p.Name, p.Printed, p.Exception = d.Name+" standard deviation", d.StdDev, d.Exception
		p.Run(t, s)
		wantMean, wantS := exactMeanStdDev(d.fullData)
		if mean != wantMean || !near(s, wantS, 1e-15) {
			t.Errorf("%s: mean %v, s %v; exact arithmetic gives %v, %v", d.Name, mean, s, wantMean, wantS)
		}
	}
}

// exactMeanStdDev is the oracle: rational arithmetic, one rounding at the end.
func exactMeanStdDev(x []float64) (mean, s float64) {
	n := new(big.Rat).SetInt64(int64(len(x)))
	sum := new(big.Rat)
	for _, v := range x {
		sum.Add(sum, new(big.Rat).SetFloat64(v))
	}
	m := new(big.Rat).Quo(sum, n)
	squares := new(big.Rat)
	for _, v := range x {
		d := new(big.Rat).Sub(new(big.Rat).SetFloat64(v), m)
		squares.Add(squares, d.Mul(d, d))
	}
	squares.Quo(squares, new(big.Rat).SetInt64(int64(len(x)-1)))
	mean, _ = m.Float64()
	v, _ := new(big.Float).SetPrec(200).Sqrt(new(big.Float).SetPrec(200).SetRat(squares)).Float64()
	return mean, v
}

func TestMeanStdDevAgainstExactArithmetic(t *testing.T) {
	const seed = 17
	r := rand.New(rand.NewPCG(seed, 1))
	for n := range 300 {
		offset := math.Pow(10, float64(r.IntN(9)))
		x := make([]float64, 2+r.IntN(40))
		for i := range x {
			x[i] = offset + r.NormFloat64()
		}
		if n%3 == 0 { // a constant series
			for i := range x {
				x[i] = x[0]
			}
		}
		mean, s, err := uncertainty.MeanStdDev(x)
		wantMean, wantS := exactMeanStdDev(x)
		if err != nil || mean != wantMean || !near(s, wantS, 1e-15) {
			t.Fatalf("seed %d, series %d: mean %v, s %v, error %v; want %v, %v", seed, n, mean, s, err, wantMean, wantS)
		}
		// An independent library, where it keeps its digits.
		if offset == 1 && n%3 != 0 {
			m, d := stats.MeanAndStdDev(x)
			if !near(mean, m, 1e-12) || !near(s, d, 1e-12) {
				t.Errorf("seed %d, series %d: mean %v, s %v; the other library gives %v, %v", seed, n, mean, s, m, d)
			}
		}
	}
}

func TestTypeA(t *testing.T) {
	b := evaluate(t, uncertainty.Input("x", uncertainty.TypeA(9, 10, 11, 10)))
	c := b.Components[0]
	// s² = 2/3, u = s/2, ν = 3: by hand.
	if b.Estimate != 10 || !near(b.StandardUncertainty, math.Sqrt(2./3)/2, 1e-15) || b.DOF != 3 ||
		c.Type != uncertainty.EvaluationA || c.Distribution != "t" {
		t.Errorf("got %v, %v, ν = %v, type %v, %s", b.Estimate, b.StandardUncertainty, b.DOF, c.Type, c.Distribution)
	}
	// Pooled: the division by √n is done, ν is that of s, one reading will do.
	for n := 1; n <= 4; n++ {
		x := []float64{10, 10, 10, 10}[:n]
		b := evaluate(t, uncertainty.Input("x", uncertainty.TypeAPooled(0.6, 24, x...)))
		if !near(b.StandardUncertainty, 0.6/math.Sqrt(float64(n)), 1e-15) || b.DOF != 24 ||
			b.Components[0].Type != uncertainty.EvaluationA {
			t.Errorf("pooled, n = %d: u = %v, ν = %v", n, b.StandardUncertainty, b.DOF)
		}
	}
	// Observations that do not differ have no uncertainty and no opinion on ν.
	if b := evaluate(t, uncertainty.Input("x",
		uncertainty.TypeA(0.1, 0.1, 0.1))); b.StandardUncertainty != 0 || b.Estimate != 0.1 ||
		!math.IsInf(b.DOF, 1) {
		t.Errorf("constant series: %v, u = %v, ν = %v", b.Estimate, b.StandardUncertainty, b.DOF)
	}
}

func TestTypeAWarnsOfFewObservations(t *testing.T) {
	for n, want := range map[int]bool{2: true, 3: true, 4: false} {
		b := evaluate(t, uncertainty.Input("x", uncertainty.TypeA([]float64{1, 2, 4, 3}[:n]...)))
		if got := errors.Is(errors.Join(b.Warnings...), uncertainty.ErrFewObservations); got != want {
			t.Errorf("%d observations: warning %v; want %v", n, got, want)
		}
	}
}

func TestMeanStdDevRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		x    []float64
		want error
	}{
		{"none", nil, uncertainty.ErrObservations},
		{"one", []float64{1}, uncertainty.ErrObservations},
		{"NaN", []float64{1, math.NaN()}, uncertainty.ErrNotFinite},
		{"infinite", []float64{math.Inf(-1), 1}, uncertainty.ErrNotFinite},
		{"sum overflows", []float64{math.MaxFloat64, math.MaxFloat64}, uncertainty.ErrNotFinite},
	} {
		_, _, err := uncertainty.MeanStdDev(c.x)
		if e, ok := errors.AsType[*uncertainty.Error](err); !errors.Is(err, c.want) || !ok ||
			e.Op != "uncertainty.MeanStdDev" {
			t.Errorf("%s: error %v; want %v", c.name, err, c.want)
		}
	}
}
