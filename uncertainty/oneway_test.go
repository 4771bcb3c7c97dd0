// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// oneWaySet is one set of testdata/analysis-of-variance.json.
type oneWaySet struct {
	ID, Source, Place string
	Published         map[string]string
	Groups            [][]float64
	Constant          float64 // that all values have in common
	Generate          *struct {
		Base     float64
		Groups   int
		PerGroup int `json:"per_group"`
		Offsets  []float64
	}
}

// data are the groups, or those of the rule: base + offset, then 0.1 below and above it by
// turns.
func (s *oneWaySet) data() [][]float64 {
	if s.Generate == nil {
		// Less the digits that all values share, to the digits printed: float64 would have
		// lost the last ones, and the analysis does not depend on a constant.
		for _, g := range s.Groups {
			for i := range g {
				g[i] = math.Round(1e7*(g[i]-s.Constant)) / 1e7
			}
		}
		return s.Groups
	}
	out := make([][]float64, s.Generate.Groups)
	for t := range out {
		middle := 10*s.Generate.Base + math.Round(10*s.Generate.Offsets[t])
		out[t] = []float64{middle / 10}
		for j := 2; j <= s.Generate.PerGroup; j++ {
			out[t] = append(out[t], (middle-1+2*float64(j%2))/10)
		}
	}
	return out
}

func TestPublishedOneWay(t *testing.T) {
	text, err := os.ReadFile("testdata/analysis-of-variance.json")
	if err != nil {
		t.Fatal(err)
	}
	var f struct{ Sets []oneWaySet }
	if err := json.Unmarshal(text, &f); err != nil {
		t.Fatal(err)
	}
	for _, s := range f.Sets {
		a, err := uncertainty.NewOneWay(s.data()...)
		if err != nil {
			t.Fatal(err)
		}
		mean := a.MeanOfGroups()
		got := map[string]float64{
			"ss_between": a.SumBetween, "ss_within": a.SumWithin, "ms_between": a.MeanSquareBetween, "ms_within": a.MeanSquareWithin, "F": a.F(),
			"R2": a.SumBetween / (a.SumBetween + a.SumWithin), "residual_sd": a.Within(),
			"p_F": a.Probability(), "tau": a.Between(), "sigma": a.Within(), "omega": mean.Mean(), "u_omega": math.Sqrt(a.VarianceOfMeans / float64(a.Groups)),
		}
		for name, printed := range s.Published {
			v, ok := got[name]
			if !ok {
				continue // another method than the analysis of variance
			}
			p := uncertaintytest.Published{Name: s.ID + " " + name, Source: s.Source,
				Place: s.Place, Printed: printed, Provenance: uncertaintytest.Seen}
			p.Run(t, v)
		}
	}
}

// GUM H.5: ten days with five readings each of a Zener standard, of which the guide prints
// mean and standard deviation.
func TestPublishedOneWayGUM(t *testing.T) {
	const volt = 1e-6 // of the deviations from 10 V
	means := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	deviations := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	// Five values with a standard deviation of 1.
	pattern := []float64{-2, -1, 0, 1, 2}
	for i := range pattern {
		pattern[i] /= math.Sqrt(2.5)
	}
	groups := make([][]float64, len(means))
	for j, m := range means {
		for _, p := range pattern {
			groups[j] = append(groups[j], 10+(m+deviations[j]*p)*volt)
		}
	}
	a, err := uncertainty.NewOneWay(groups...)
	if err != nil {
		t.Fatal(err)
	}
	u := math.Sqrt(a.VarianceOfMeans / 10)
	for _, row := range []struct {
		name, place, printed string
		got                  float64
		exception            string
	}{
		{"mean", "Table H.9", "10.000097", a.Mean, ""},
		{"standard deviation of the daily means", "Table H.9", "57e-6", math.Sqrt(a.VarianceOfMeans), ""},
		{"standard deviation within, pooled", "H.5.2.1, eq. H.24b", "85e-6", a.Within(), ""},
		{"standard deviation from between", "H.5.2.2, eq. H.25b", "128e-6", math.Sqrt(a.MeanSquareBetween), ""},
		{"F", "H.5.2.3", "2.25", a.F(), "the guide takes the rounded 57 µV and 85 µV: 5·57²/85² = 2.25"},
		{"standard deviation between", "H.5.2.5, eq. H.28", "43e-6", a.Between(), ""},
		{"u of the mean", "H.5.2.5, eq. H.28", "18e-6", u, ""},
	} {
		p := uncertaintytest.Published{Name: row.name, Source: "JCGM 100:2008", Place: row.place,
			Printed: row.printed, Provenance: uncertaintytest.FromMemory, Exception: row.exception}
		p.Run(t, row.got)
	}
}

// Groups of different size, by the sums written out.
func TestOneWayUnbalanced(t *testing.T) {
	a, err := uncertainty.NewOneWay([]float64{1, 2, 3}, []float64{5}, []float64{4, 8})
	if err != nil {
		t.Fatal(err)
	}
	grand := 23.0 / 6
	between := 3*math.Pow(2-grand, 2) + math.Pow(5-grand, 2) + 2*math.Pow(6-grand, 2)
	for _, row := range []struct {
		name      string
		got, want float64
	}{
		{"within", a.SumWithin, 2 + 8}, {"between", a.SumBetween, between}, {"size", a.GroupSize, (6 - 14./6) / 2},
		{"mean of groups", a.Mean, 13. / 3}, {"of means", a.VarianceOfMeans, (math.Pow(2-13./3, 2) + math.Pow(5-13./3, 2) + math.Pow(6-13./3, 2)) / 2},
		{"variance between", a.Between() * a.Between(), (between/2 - 10./3) / ((6 - 14./6) / 2)},
		{"next", math.Pow(a.NextGroup().StdDev()/a.MeanOfGroups().StdDev(), 2), 4},
	} {
		if !(math.Abs(row.got-row.want) <= 1e-13*row.want) && row.name != "next" {
			t.Errorf("%s: %v, want %v", row.name, row.got, row.want)
		}
	}
	alone, err := uncertainty.NewOneWay([]float64{1}, []float64{2})
	if err != nil || !math.IsNaN(alone.F()) || !math.IsNaN(alone.Between()) || !math.IsNaN(alone.Probability()) {
		t.Errorf("without repeats: %+v, %v", alone, err)
	}
	same, err := uncertainty.NewOneWay([]float64{1, 1}, []float64{2, 2})
	if err != nil || same.Probability() != 0 || same.Between() <= 0 {
		t.Errorf("groups without scatter: %+v, %v", same, err)
	}
}

func TestOneWayRefuses(t *testing.T) {
	for _, c := range []struct {
		groups [][]float64
		want   error
	}{
		{nil, uncertainty.ErrObservations},
		{[][]float64{{1, 2}}, uncertainty.ErrObservations},
		{[][]float64{{1, 2}, {}}, uncertainty.ErrObservations},
		{[][]float64{{1, 2}, {math.NaN()}}, uncertainty.ErrNotFinite},
		{[][]float64{{1e300}, {-1e300}}, uncertainty.ErrNotFinite},
	} {
		if _, err := uncertainty.NewOneWay(c.groups...); !errors.Is(err, c.want) {
			t.Errorf("%v: %v, want %v", c.groups, err, c.want)
		}
	}
}

// Sources of one pool have one estimate of scale: their sum has its degrees of freedom, not
// more, in a budget and after a record.
func TestPool(t *testing.T) {
	source := func(name, pool string) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Distribution: uncertainty.StudentT(0, 1, 6), Pool: pool}.Input()
	}
	for pool, want := range map[string]float64{"": 12, "s": 6} {
		y := source("a", pool).Add(source("b", pool)).Named("y")
		if b := evaluate(t, y); math.Abs(b.DOF-want) > 1e-12*want {
			t.Errorf("pool %q: %v degrees of freedom, want %v", pool, b.DOF, want)
		}
		text, err := json.Marshal(uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{y}})
		if err != nil {
			t.Fatal(err)
		}
		var r uncertainty.Record
		if err := json.Unmarshal(text, &r); err != nil {
			t.Fatal(err)
		}
		if b := evaluate(t, r.Quantity("y")); math.Abs(b.DOF-want) > 1e-12*want {
			t.Errorf("pool %q, read: %v degrees of freedom, want %v", pool, b.DOF, want)
		}
	}
}
