// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// OneWay is a one-way analysis of variance: observations in groups, such as the readings of
// several days or the repeats of several settings of a switch, vary within their group and
// from group to group (GUM H.5). Groups may differ in size.
type OneWay struct {
	Groups       int     // J ≥ 2
	Observations int     // N
	Mean         float64 // of the means of the groups: each group counts alike
	GroupSize    float64 // n_0 = (N − Σn²/N)/(J − 1), the size of all groups where they are alike

	SumBetween, SumWithin float64 // sums of squares
	DOFBetween, DOFWithin int     // J − 1 and N − J
	MeanSquareBetween     float64 // SumBetween/(J − 1)
	MeanSquareWithin      float64 // SumWithin/(N − J); NaN without repeats
	VarianceOfMeans       float64 // of the means of the groups, divisor J − 1
}

// NewOneWay analyses groups of observations in one unit, each group with one observation at
// least. Sums of squares are those of deviations from compensated means, so that observations
// that differ only in their last digits keep them. Fewer than two groups, an empty group
// ([ErrObservations]) and values that are not finite ([ErrNotFinite]) are refused.
func NewOneWay(groups ...[]float64) (*OneWay, error) {
	const op = "NewOneWay"
	if len(groups) < 2 {
		return nil, &Error{Op: "uncertainty." + op, Value: float64(len(groups)),
			Err: unit.Errorf(ErrObservations, "%s; expected 2 or more",
				unit.Counted(len(groups), "group", "groups"))}
	}
	a := &OneWay{Groups: len(groups), DOFBetween: len(groups) - 1}
	var all, means, sizes []float64
	var within compensated
	var squares float64 // Σn²
	for i, g := range groups {
		if len(g) == 0 {
			return nil, &Error{Op: "uncertainty." + op, Value: 0, Err: unit.Errorf(ErrObservations,
				"group %d has no observation; expected 1 or more", i+1)}
		}
		m, err := mean(op, g)
		if err != nil {
			return nil, err
		}
		within.add(squaresAbout(m, g))
		means, sizes, all = append(means, m), append(sizes, float64(len(g))), append(all, g...)
		squares += float64(len(g)) * float64(len(g))
	}
	// The sums of squares refer to the mean of all observations, Mean to that of the groups.
	grand, err := mean(op, all)
	if err != nil {
		return nil, err
	}
	if a.Mean, err = mean(op, means); err != nil {
		return nil, err
	}
	var between compensated
	for i, m := range means {
		d := m - grand
		// n_j·(x̄_j − x̄)² (GUM H.5.2.2)
		between.add(float64(sizes[i] * d * d))
	}
	n := float64(len(all))
	a.Observations, a.DOFWithin = len(all), len(all)-len(groups)
	// n_0 is smaller than the mean size where groups differ, for the expectation of MSB.
	a.GroupSize = (n - squares/n) / float64(a.DOFBetween)
	a.SumBetween, a.SumWithin = between.sum+between.lost, within.sum+within.lost
	a.MeanSquareBetween = a.SumBetween / float64(a.DOFBetween)
	// Without repeats there is no scatter within groups, and 0 would be a claim.
	a.MeanSquareWithin = math.NaN()
	if a.DOFWithin > 0 {
		a.MeanSquareWithin = a.SumWithin / float64(a.DOFWithin)
	}
	a.VarianceOfMeans = squaresAbout(a.Mean, means) / float64(a.DOFBetween)
	for _, x := range []float64{a.SumBetween, a.SumWithin, a.VarianceOfMeans} {
		if err := number("sum of squares", x); err != nil {
			return nil, refused("uncertainty."+op, "", err)
		}
	}
	return a, nil
}

// squaresAbout is Σ(x − m)² for a rounded mean m of x.
func squaresAbout(m float64, x []float64) float64 {
	var squares, rest compensated
	for _, v := range x {
		d := v - m
		squares.add(float64(d * d))
		rest.add(d)
	}
	// The deviations from a rounded mean do not add up to 0: their square over n is too much.
	r := rest.sum + rest.lost
	return max(0, squares.sum+squares.lost-float64(r*r)/float64(len(x)))
}

// F returns the ratio of the mean squares between and within groups, NaN where there are no
// repeats. Without differences between groups it is distributed as F(J − 1, N − J).
func (a *OneWay) F() float64 {
	a = cmp.Or(a, &OneWay{})
	return a.MeanSquareBetween / a.MeanSquareWithin
}

// Probability returns that of an F at least as large by chance, where groups do not differ;
// NaN without repeats.
func (a *OneWay) Probability() float64 {
	a = cmp.Or(a, &OneWay{})
	f := a.F()
	switch {
	case a.DOFWithin == 0 || math.IsNaN(f):
		return math.NaN()
	// No scatter within groups, some between: not by chance.
	case math.IsInf(f, 1):
		return 0
	}
	return distuv.F{D1: float64(a.DOFBetween), D2: float64(a.DOFWithin)}.Survival(f)
}

// Within returns the standard deviation of an observation inside its group, √MSW.
func (a *OneWay) Within() float64 {
	a = cmp.Or(a, &OneWay{})
	return math.Sqrt(a.MeanSquareWithin)
}

// Between returns the standard deviation from group to group, √((MSB − MSW)/n_0); 0 where
// the groups differ less than their observations, NaN without repeats.
func (a *OneWay) Between() float64 {
	a = cmp.Or(a, &OneWay{})
	v := (a.MeanSquareBetween - a.MeanSquareWithin) / a.GroupSize
	// NaN is not above 0, and max would keep it only by accident.
	if math.IsNaN(v) {
		return v
	}
	return math.Sqrt(max(0, v))
}

// Reproducibility returns the standard deviation of one observation of any group,
// √(Within² + Between²): where groups are laboratories, the reproducibility standard
// deviation of ISO 5725-2, and Within the repeatability one; NaN without repeats.
func (a *OneWay) Reproducibility() float64 { return elementary.Hypot(a.Within(), a.Between()) }

// MeanOfGroups returns the mean with the uncertainty of what varies within and between
// groups: u = s/√J with the standard deviation s of the means of the groups, J − 1 degrees of
// freedom. Where groups are alike, u² = MSB/N (GUM H.5.2.5).
func (a *OneWay) MeanOfGroups() Distribution {
	a = cmp.Or(a, &OneWay{})
	return StudentT(a.Mean, math.Sqrt(a.VarianceOfMeans/float64(a.Groups)), float64(a.DOFBetween))
}

// NextGroup returns what the mean of one more group is expected to be: u = s·√(1 + 1/J),
// J − 1 degrees of freedom. It assumes groups of one size.
func (a *OneWay) NextGroup() Distribution {
	a = cmp.Or(a, &OneWay{})
	return StudentT(a.Mean, math.Sqrt(a.VarianceOfMeans*(1+1/float64(a.Groups))),
		float64(a.DOFBetween))
}
