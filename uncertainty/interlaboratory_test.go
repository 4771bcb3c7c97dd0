// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

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
)

// interlaboratory is one example of testdata/interlaboratory.json: results, with their
// uncertainties where they state any.
type interlaboratory struct {
	example
	Data  [][]float64
	Names []string
}

func readInterlaboratory(t *testing.T, id string) interlaboratory {
	t.Helper()
	text, err := os.ReadFile("testdata/interlaboratory.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []interlaboratory }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(file.Examples, func(e interlaboratory) bool { return e.ID == id })
	if i < 0 {
		t.Fatalf("no example %q", id)
	}
	return file.Examples[i]
}

// Scores of laboratories against an assigned value: U has k = 2, sigma is 0.0066.
func TestPublishedScores(t *testing.T) {
	e := readInterlaboratory(t, "iso13528-E.4-scores-two-thirds")
	const sigma = 0.0066
	assigned, U := e.Data[0][0], e.Data[0][1]
	computed := map[string]float64{}
	for i, name := range e.Names[1:] {
		x, UX := e.Data[i+1][0], e.Data[i+1][1]
		computed[name+"_z"] = must(uncertainty.ZScore(x, assigned, sigma))
		computed[name+"_z_prime"] = must(uncertainty.ZPrimeScore(x, assigned, sigma, U/2))
		computed[name+"_zeta"] = must(uncertainty.ZetaScore(x, UX/2, assigned, U/2))
		computed[name+"_En"] = must(uncertainty.EnScore(x, UX, assigned, U))
	}
	e.run(t, computed)

	e = readInterlaboratory(t, "iso13528-E.12-allergen-a")
	mean, s, err := uncertainty.MeanStdDev(e.Data[0])
	if err != nil {
		t.Fatal(err)
	}
	computed = map[string]float64{"mean": mean, "sd": s}
	for i, x := range e.Data[0] {
		computed[fmt.Sprint("z_", i+1)] = must(uncertainty.ZScore(x, mean, s))
	}
	e.run(t, computed)
}

func pairs(data [][]float64) []uncertainty.Quantity {
	var flat []float64
	for _, d := range data {
		flat = append(flat, d...)
	}
	return results(flat...)
}

func TestPublishedConsistency(t *testing.T) {
	e := readInterlaboratory(t, "ccqm-k30-lead-in-wine")
	var values []float64
	for _, d := range e.Data {
		values = append(values, d[0])
	}
	b := evaluate(t, source(uncertainty.TypeA(values...)))
	e.run(t, map[string]float64{"kcrv": b.Estimate, "U_kcrv": b.Expanded.U})

	e = readInterlaboratory(t, "codata-2018-G-birge")
	m := weightedMean(t, pairs(e.Data)...)
	g := evaluate(t, m.Value)
	var worst float64 // deviation from the mean in standard uncertainties
	for _, d := range e.Data {
		worst = max(worst, math.Abs(must(uncertainty.ZScore(d[0], g.Estimate, d[1]))))
	}
	e.run(t, map[string]float64{
		"G": g.Estimate, "expansion_factor_for_max_residual_2": worst / 2, "u_expanded_by_3.9": 3.9 * g.StandardUncertainty,
	})
}

func TestAgree(t *testing.T) {
	lab := results(10, 0.3, 11, 0.4)
	a := must(uncertainty.Agree(lab[0], lab[1]))
	if !near(a.Zeta, -2, 1e-14) || !near(a.En, must(uncertainty.EnScore(10, 0.3*2, 11,
		0.4*2))*2/a.Expanded.K, 1e-12) {
		t.Errorf("%+v", a)
	}
	if want := math.Erfc(math.Sqrt2); !near(a.Probability, want, 1e-12) ||
		!near(a.StandardUncertainty, 0.5, 1e-14) {
		t.Errorf("probability %v, want %v; u %v", a.Probability, want, a.StandardUncertainty)
	}
	// What is shared cancels: one standard, and a mean of which the result is part.
	standard := uncertainty.Input("standard", uncertainty.Normal(0, 5))
	b := must(uncertainty.Agree(lab[0].Add(standard), lab[1].Add(standard)))
	if !near(b.Zeta, a.Zeta, 1e-12) {
		t.Errorf("with a common standard ζ is %v, want %v", b.Zeta, a.Zeta)
	}
	m := weightedMean(t, lab...)
	d := must(uncertainty.Agree(lab[0], m.Value))
	if u := evaluate(t, m.Value).StandardUncertainty; !near(d.StandardUncertainty,
		math.Sqrt(0.09-u*u), 1e-12) {
		t.Errorf("u of a degree of equivalence is %v, want √(u² − u(mean)²)", d.StandardUncertainty)
	}
	// Few degrees of freedom: twice the tail of Student's distribution.
	few := must(uncertainty.Agree(source(uncertainty.StudentT(12.706204736432095, 1, 1)),
		uncertainty.Exact(0)))
	if !near(few.Probability, 0.05, 1e-9) {
		t.Errorf("probability of t = 12.7 with one degree of freedom: %v", few.Probability)
	}
	if _, err := uncertainty.Agree(uncertainty.Exact(1), uncertainty.Exact(2)); !errors.Is(err,
		uncertainty.ErrDomain) {
		t.Errorf("exact results: %v", err)
	}
	if _, err := uncertainty.Agree(uncertainty.Quantity{}, lab[0]); !errors.Is(err,
		uncertainty.ErrNoQuantity) {
		t.Errorf("no result: %v", err)
	}
}

func TestScoresRefuse(t *testing.T) {
	for name, c := range map[string]struct {
		f    func() (float64, error)
		want error
	}{
		"NaN": {func() (float64, error) {
			return uncertainty.EnScore(math.NaN(), 1, 0,
				1)
		}, uncertainty.ErrNotFinite},
		"assigned": {func() (float64, error) {
			return uncertainty.ZScore(1, math.Inf(1),
				1)
		}, uncertainty.ErrNotFinite},
		"negative U": {func() (float64, error) { return uncertainty.EnScore(1, -1, 0, 1) },
			uncertainty.ErrDomain},
		"no uncertainty": {func() (float64, error) { return uncertainty.ZetaScore(1, 0, 0, 0) },
			uncertainty.ErrDomain},
		"no sigma": {func() (float64, error) { return uncertainty.ZScore(1, 0, 0) },
			uncertainty.ErrDomain},
		"u of assigned": {func() (float64, error) {
			return uncertainty.ZPrimeScore(1, 0, 1,
				math.NaN())
		}, uncertainty.ErrNotFinite},
		"overflow": {func() (float64, error) {
			return uncertainty.ZScore(1e300, 0,
				1e-300)
		}, uncertainty.ErrDomain},
	} {
		if v, err := c.f(); !errors.Is(err, c.want) || v != 0 {
			t.Errorf("%s: %v, %v; want %v", name, v, err, c.want)
		}
	}
}

func TestPerformance(t *testing.T) {
	for score, want := range map[float64]string{0: "satisfactory", -2: "satisfactory",
		2.0001: "questionable", -2.999: "questionable", 3: "unsatisfactory", math.Inf(1): "unsatisfactory"} {
		if got := uncertainty.JudgeZ(score).String(); got != want {
			t.Errorf("z = %v is %s, want %s", score, got, want)
		}
	}
	for score, want := range map[float64]string{1: "satisfactory", -1: "satisfactory",
		1.0001: "unsatisfactory"} {
		if got := uncertainty.JudgeEn(score).String(); got != want {
			t.Errorf("En = %v is %s, want %s", score, got, want)
		}
	}
	if uncertainty.JudgeZ(math.NaN()) != uncertainty.PerformanceNone ||
		uncertainty.JudgeEn(math.NaN()) != uncertainty.PerformanceNone {
		t.Error("NaN is judged")
	}
	text := must(json.Marshal(uncertainty.PerformanceQuestionable))
	var p uncertainty.Performance
	if err := json.Unmarshal(text, &p); err != nil || p != uncertainty.PerformanceQuestionable {
		t.Errorf("%s reads as %v, %v", text, p, err)
	}
	if err := json.Unmarshal([]byte(`"good"`), &p); err == nil {
		t.Error("an unknown performance is read")
	}
}

func TestLargestConsistentSubset(t *testing.T) {
	lab := results(10.0, 0.1, 10.1, 0.1, 12, 0.1, 9.95, 0.2, 8, 0.05)
	s := must(uncertainty.LargestConsistentSubset(lab...))
	if !slices.Equal(s.Inside, []int{0, 1, 3}) || !slices.Equal(s.Outside, []int{2, 4}) ||
		s.Mean.DOF != 2 || s.Mean.Probability < 0.05 {
		t.Errorf("%+v, mean %+v", s, s.Mean)
	}
	// Of two pairs that agree the closer one is taken; χ² is that of the weighted mean.
	two := must(uncertainty.LargestConsistentSubset(results(1, 0.1, 1.2, 0.1, 5, 0.1, 5.1, 0.1)...))
	if !slices.Equal(two.Inside, []int{2, 3}) {
		t.Errorf("%+v", two)
	}
	if all := must(uncertainty.LargestConsistentSubset(results(1, 0.1, 1.1,
		0.2)...)); len(all.Outside) != 0 || len(all.Inside) != 2 {
		t.Errorf("%+v", all)
	}
	// A common standard hides nothing between the results.
	standard := uncertainty.Input("standard", uncertainty.Normal(0, 50))
	for i, q := range lab {
		lab[i] = q.Add(standard)
	}
	if c := must(uncertainty.LargestConsistentSubset(lab...)); !slices.Equal(c.Inside, s.Inside) {
		t.Errorf("with a common standard %+v", c)
	}
	for _, c := range []struct {
		results []uncertainty.Quantity
		want    error
	}{
		{nil, uncertainty.ErrObservations}, {[]uncertainty.Quantity{uncertainty.Exact(1)},
			uncertainty.ErrCovariance},
		{make([]uncertainty.Quantity, 17), uncertainty.ErrDomain},
	} {
		if _, err := uncertainty.LargestConsistentSubset(c.results...); !errors.Is(err, c.want) {
			t.Errorf("%v, want %v", err, c.want)
		}
	}
}

func TestMeanWithBetween(t *testing.T) {
	// Equal uncertainties: the mean, and between² = s² − u².
	m := must(uncertainty.MeanWithBetween(results(1, 0.1, 2, 0.1, 4, 0.1)...))
	b := evaluate(t, m.Mean.Value)
	if want := math.Sqrt(7./3 - 0.01); !near(m.Between, want, 1e-12) ||
		!near(b.Estimate, 7./3, 1e-12) || !near(b.StandardUncertainty, math.Sqrt(7./9), 1e-12) {
		t.Errorf("%v between, %v; want %v", m.Between, b, want)
	}
	// u² has 1 % with infinite degrees of freedom, the rest with two.
	if !(b.DOF > 2 && b.DOF < 2.03) || !near(m.Mean.ChiSquared, 2, 1e-9) {
		t.Errorf("%v degrees of freedom, χ² %v", b.DOF, m.Mean.ChiSquared)
	}
	// Unequal ones: χ² is n − 1, whatever they share.
	standard := uncertainty.Input("standard", uncertainty.Normal(0, 3))
	var lab []uncertainty.Quantity
	for _, q := range results(10, 0.1, 10.9, 0.5, 12, 0.02, 9, 1) {
		lab = append(lab, q.Add(standard))
	}
	if m := must(uncertainty.MeanWithBetween(lab...)); !near(m.Mean.ChiSquared, 3, 1e-9) ||
		m.Between <= 0 {
		t.Errorf("χ² %v, between %v", m.Mean.ChiSquared, m.Between)
	}
	agree := must(uncertainty.MeanWithBetween(results(1, 0.1, 1.05, 0.2)...))
	if agree.Between != 0 || agree.Mean.DOF != 1 {
		t.Errorf("results that agree: %+v", agree)
	}
	for _, c := range []struct {
		results []uncertainty.Quantity
		want    error
	}{
		{nil, uncertainty.ErrObservations}, {results(1, 0.1), uncertainty.ErrObservations},
		{[]uncertainty.Quantity{uncertainty.Exact(1), uncertainty.Exact(2)},
			uncertainty.ErrCovariance},
	} {
		if _, err := uncertainty.MeanWithBetween(c.results...); !errors.Is(err, c.want) {
			t.Errorf("%v, want %v", err, c.want)
		}
	}
}

// Of two subsets of one size and one χ² the first in the order of the results is taken: 0 and 5
// with u = 2 agree as well as 5 and 10, and all three do not (χ² = 12.5).
func TestConsistentSubsetOfTies(t *testing.T) {
	s, err := uncertainty.LargestConsistentSubset(in("a", uncertainty.Normal(0, 2)),
		in("b", uncertainty.Normal(5, 2)), in("c", uncertainty.Normal(10, 2)))
	if err != nil || !slices.Equal(s.Inside, []int{0, 1}) || !slices.Equal(s.Outside, []int{2}) {
		t.Errorf("%+v, %v; want the first two inside", s, err)
	}
}

// One uncertainty is not several together.
func TestScoreOfNoSigma(t *testing.T) {
	_, one := uncertainty.ZScore(1, 0, 0)
	_, two := uncertainty.ZetaScore(1, 0, 0, 0)
	if one == nil || strings.Contains(one.Error(), "together") ||
		!strings.Contains(two.Error(), "u and uAssigned: 0; expected more than 0 together") {
		t.Errorf("%v; %v", one, two)
	}
}
