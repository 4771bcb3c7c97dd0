// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// Nested is an analysis of variance of two stages: observations in subgroups, and subgroups
// in groups, such as readings of each dialling on each of several days. A subgroup belongs
// to its group alone: the first dialling of one day has nothing to do with that of another.
// Groups and subgroups may differ in size.
type Nested struct {
	Groups, Subgroups, Observations int

	Mean float64 // of the means of the groups, each of its subgroups: groups count alike

	Between SumOfSquares // groups
	Among   SumOfSquares // subgroups within their group
	Within  SumOfSquares // observations within their subgroup

	VarianceOfMeans float64 // of the means of the groups, divisor Groups − 1

	// Sizes are the mean numbers of observations that the expectations of the mean squares
	// contain, E(MS_among) = σ² + Sizes[0]·σ_among² and E(MS_between) = σ² +
	// Sizes[1]·σ_among² + Sizes[2]·σ_between². Where all groups are alike, the first two are
	// the number in a subgroup, the last that in a group.
	Sizes [3]float64
}

// What is expected of the mean squares, for groups of different size (in textbooks of the analysis
// of variance, from memory; with equal sizes those of GUM H.5): N observations in all, n_i in group
// i, n_ik in its subgroup k, J groups and K subgroups,
//
//	E(MS_within)  = σ²
//	E(MS_among)   = σ² + s0·σ_among²
//	E(MS_between) = σ² + s1·σ_among² + s2·σ_between²
//
//	s0 = (N − Σ_i Σ_k n_ik²/n_i)/(K − J)
//	s1 = (Σ_i Σ_k n_ik²/n_i − Σ n_ik²/N)/(J − 1)
//	s2 = (N − Σ n_i²/N)/(J − 1)
//
// Example: 3 days, on each 2 diallings of 4 readings: s0 = s1 = 4, s2 = 8.

// NewNested analyses groups of subgroups of observations in one unit. Fewer than two groups,
// an empty group or subgroup, and no group with two subgroups ([ErrObservations]) are
// refused, and values that are not finite ([ErrNotFinite]).
func NewNested(groups ...[][]float64) (*Nested, error) {
	const op = "NewNested"
	a, err := nestedShape(groups)
	if err != nil {
		return nil, err
	}
	// Means of the groups: with subgroups that count alike, with observations that count alike.
	var all, equal, weighted []float64
	// Compensated, since sums of squares of readings differ in their last digits only.
	var among, within compensated
	for _, group := range groups {
		var observed, means []float64
		for _, x := range group {
			m, err := mean(op, x)
			if err != nil {
				return nil, err
			}
			within.add(squaresAbout(m, x))
			means, observed = append(means, m), append(observed, x...)
		}
		m, err := mean(op, observed)
		if err != nil {
			return nil, err
		}
		// n_ik·(x̄_ik − x̄_i)²: each observation of a subgroup is as far off as its mean.
		for i, v := range means {
			d := v - m
			among.add(float64(float64(len(group[i])) * d * d))
		}
		// Two means of a group: Mean weighs subgroups alike, the sums of squares weigh
		// observations.
		middle, err := mean(op, means)
		if err != nil {
			return nil, err
		}
		equal, weighted, all = append(equal, middle), append(weighted, m), append(all, observed...)
	}
	grand, err := mean(op, all)
	if err != nil {
		return nil, err
	}
	if a.Mean, err = mean(op, equal); err != nil {
		return nil, err
	}
	var between compensated
	// n_i·(x̄_i − x̄)²
	for i, m := range weighted {
		d := m - grand
		between.add(float64(float64(observations(groups[i])) * d * d))
	}
	a.Between.Sum = between.sum + between.lost
	a.Among.Sum = among.sum + among.lost
	a.Within.Sum = within.sum + within.lost
	a.VarianceOfMeans = squaresAbout(a.Mean, equal) / float64(a.Groups-1)
	for _, v := range []float64{a.Between.Sum, a.Among.Sum, a.Within.Sum, a.VarianceOfMeans} {
		if err := number("sum of squares", v); err != nil {
			return nil, refused("uncertainty."+op, "", err)
		}
	}
	return a, nil
}

// observations counts those of all subgroups.
func observations(group [][]float64) (n int) {
	for _, x := range group {
		n += len(x)
	}
	return n
}

// nestedShape counts, and finds degrees of freedom and mean sizes.
func nestedShape(groups [][][]float64) (*Nested, error) {
	refuse := func(v int, format string, args ...any) (*Nested, error) {
		return nil, &Error{Op: "uncertainty.NewNested", Value: float64(v),
			Err: unit.Errorf(ErrObservations, format, args...)}
	}
	a := &Nested{Groups: len(groups)}
	if a.Groups < 2 {
		return refuse(a.Groups, "%s; expected 2 or more", unit.Counted(a.Groups, "group", "groups"))
	}
	// The sums in the coefficients of the expected mean squares of unbalanced groups:
	// Σn_i², Σ_i Σ_k n_ik²/n_i, Σn_ik².
	var ofGroups, inGroups, ofSubgroups float64
	for i, group := range groups {
		if len(group) == 0 {
			return refuse(0, "group %d has no subgroup; expected 1 or more", i+1)
		}
		var squares float64
		for k, x := range group {
			if len(x) == 0 {
				return refuse(0, "group %d, subgroup %d has no observation; expected 1 or more",
					i+1, k+1)
			}
			squares += float64(len(x)) * float64(len(x))
		}
		n := observations(group)
		a.Subgroups += len(group)
		a.Observations += n
		ofGroups += float64(n) * float64(n)
		inGroups += squares / float64(n)
		ofSubgroups += squares
	}
	n := float64(a.Observations)
	// Each mean takes one degree of freedom from the stage below.
	a.Between.DOF = a.Groups - 1
	a.Among.DOF = a.Subgroups - a.Groups
	a.Within.DOF = a.Observations - a.Subgroups
	// Without a second subgroup nothing varies between subgroups.
	if a.Among.DOF == 0 {
		return refuse(a.Subgroups,
			"one subgroup in each group; expected two or more in one of them (for groups alone: "+
				"NewOneWay)")
	}
	a.Sizes = [3]float64{
		(n - inGroups) / float64(a.Among.DOF),
		(inGroups - ofSubgroups/n) / float64(a.Between.DOF),
		(n - ofGroups/n) / float64(a.Between.DOF),
	}
	return a, nil
}

// NestedComponents are the standard deviations of the stages, in the unit of the
// observations; 0 where a stage contributes less than chance.
type NestedComponents struct {
	Between, Among, Within float64
}

// Components returns the standard deviations from group to group, from subgroup to subgroup
// within a group, and from observation to observation: the mean squares less what lies
// below, over the mean sizes. Without repeats within subgroups Within is NaN, and Among
// holds both.
func (a *Nested) Components() NestedComponents {
	a = cmp.Or(a, &Nested{})
	within, among, between := a.Within.MeanSquare(), a.Among.MeanSquare(), a.Between.MeanSquare()
	// Without repeats, MS_among is all there is below the groups.
	if a.Within.DOF == 0 {
		// With equal numbers the ratio is 1, and MS_among is what has to be subtracted.
		ratio := a.Sizes[1] / a.Sizes[0]
		return NestedComponents{
			Between: math.Sqrt(max(0, (between-float64(ratio*among))/a.Sizes[2])),
			Among:   math.Sqrt(among), Within: math.NaN(),
		}
	}
	// A negative estimate means that chance alone explains the stage.
	v := max(0, (among-within)/a.Sizes[0])
	return NestedComponents{
		Between: math.Sqrt(max(0, (between-within-float64(a.Sizes[1]*v))/a.Sizes[2])),
		Among:   math.Sqrt(v), Within: math.Sqrt(within),
	}
}

// MeanOfGroups returns the mean with the uncertainty of what varies on all stages: u = s/√J
// with the standard deviation s of the means of the J groups, J − 1 degrees of freedom. For
// groups of one size it is exact, u² = MS_between/N.
func (a *Nested) MeanOfGroups() Distribution {
	a = cmp.Or(a, &Nested{})
	return StudentT(a.Mean, math.Sqrt(a.VarianceOfMeans/float64(a.Groups)), float64(a.Between.DOF))
}
