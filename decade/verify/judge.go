// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// A verdict needs U alone under a guard band; a probability of conformity and a rule by risk
// need the distribution, which takes a convolution. Diallings of one setting on one range have
// one composition, so that one coverage factor and one distribution serve thousands of them.
//
// What is saved rests on scale: if two deviations have the same sources with the same ratios of
// their contributions, (x − y)/u has one law, so that k = U/u is the same and a probability inside
// limits is found at the limits moved by y and scaled by u. Repeats that scatter differently
// change one ratio a little. Rows are therefore kept by u, and a row takes
//
//	k              of a row within 10⁻⁴ of its u; or between two rows at most 2 % apart, in a
//	               straight line between theirs; else its own
//	distribution   of the nearer of two such rows; else its own
//
// Where the answer could decide a verdict (closeToLimit) a row is given its own k. The first rows
// of a composition are always computed, so that a report of single diallings shares nothing.

// judge gives every row with limits and a plausible value its verdict and the probability
// of conformity, row by row under the rule.
func (r *Report) judge(e *evaluation) error {
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		case !row.Judged:
			continue
		// An open circuit needs no uncertainty: it is outside any class.
		case row.Overload: // open: its verdict stands
			row.Probability = 0
			continue
		}
		if e.before.takeVerdict(e.laws, i, row) {
			continue
		}
		if err := r.judgeRow(i, e.laws); err != nil {
			return &Error{Op: "verify.Evaluate", Name: row.Reading.place(), Err: err}
		}
	}
	return nil
}

// shape is what the distribution of a row says of those of its composition, which differ in
// place and, where their repeats scatter differently, in width and a little in shape. Thousands of
// diallings cost a few convolutions.
type shape[T any] struct {
	u    float64 // Ω, standard uncertainty
	by   int     // index of the row that it was computed for
	says T
}

// shapes are those of one composition, the smallest standard uncertainty first.
type shapes[T any] []shape[T]

// The relative differences of standard uncertainties up to which two rows of one composition
// have one shape, and up to which there is nothing but a straight line between the shapes of two:
// coverage factors so found are right to 0.01 %, printed probabilities have three digits.
const (
	sameShape = 1e-4
	nearShape = 0.02
)

// search is the index of the first shape with a standard uncertainty of u or more.
func (list shapes[T]) search(u float64) int {
	i, _ := slices.BinarySearchFunc(list, u,
		func(x shape[T], u float64) int { return cmp.Compare(x.u, u) })
	return i
}

// around returns the shapes whose standard uncertainties enclose u, twice the same one where it
// has that of u; ok is false where they are too far apart.
func (list shapes[T]) around(u float64) (below, above *shape[T], ok bool) {
	i := list.search(u)
	for _, k := range [...]int{i - 1, i} {
		if k >= 0 && k < len(list) && math.Abs(list[k].u-u) <= sameShape*u {
			return &list[k], &list[k], true
		}
	}
	if i == 0 || i == len(list) {
		return nil, nil, false
	}
	below, above = &list[i-1], &list[i]
	return below, above, above.u-below.u <= nearShape*u
}

// inserted is the list with one shape more, in its place. The backing array may be that of the
// list.
func (list shapes[T]) inserted(x shape[T]) shapes[T] {
	return slices.Insert(list, list.search(x.u), x)
}

// sameUpTo reports whether two lists have the same shapes of rows before row i, which are all
// that the row can have used.
func (list shapes[T]) sameUpTo(i int, other shapes[T]) bool {
	earlier := func(l shapes[T]) shapes[T] {
		return slices.DeleteFunc(slices.Clone(l), func(x shape[T]) bool { return x.by >= i })
	}
	return slices.EqualFunc(earlier(list), earlier(other),
		func(a, b shape[T]) bool { return a.u == b.u && a.by == b.by })
}

// addedBy returns the shape that row i has added.
func (list shapes[T]) addedBy(i int) (shape[T], bool) {
	k := slices.IndexFunc(list, func(x shape[T]) bool { return x.by == i })
	if k < 0 {
		return shape[T]{}, false
	}
	return list[k], true
}

// lawsOfSettings holds the distributions of each composition.
type lawsOfSettings map[composition]shapes[lawOfRow]

// lawOfRow is the distribution of the deviation of a row, in Ω, where the row is.
type lawOfRow struct {
	known conformity.CDF
	y     float64 // Ω, of the row that it is of
}

// lawFor is a distribution for row i and the limits of the row as that distribution sees them. Of
// another row, with the estimate Y and the standard uncertainty V, a limit L is at
// Y + (L − y)·V/u: as many standard uncertainties from Y as it is from y.
func (l lawsOfSettings) lawFor(i int, row *Row) (conformity.CDF, uncertainty.Interval, error) {
	k := compositionOf(&row.Reading, row.Range)
	y, u := row.Deviation.Estimate(), row.u
	if x, above, ok := l[k].around(u); ok {
		if above.u-u < u-x.u {
			x = above // the nearer of the two
		}
		at := func(limit float64) float64 { return x.says.y + float64((limit-y)*(x.u/u)) }
		return x.says.known, uncertainty.Interval{Lower: at(row.Limits.Lower),
			Upper: at(row.Limits.Upper)}, nil
	}
	known, err := conformity.FromBudget(row.known())
	l[k] = l[k].inserted(shape[lawOfRow]{u, i, lawOfRow{known, y}})
	return known, row.Limits, err
}

// judgeRow gives row i its verdict, its probability and its ratio. The zero setting has no test
// uncertainty ratio: its residual has no class.
func (r *Report) judgeRow(i int, laws lawsOfSettings) (err error) {
	row := &r.Rows[i]
	if row.Verdict, err = r.verdictOf(row, row.Limits); err != nil {
		return err
	}
	if row.Probability, err = probability(i, row, laws); err != nil {
		return err
	}
	if !row.Setting.AllZero() {
		row.UncertaintyRatio, err = conformity.TestUncertaintyRatio(row.Limits, row.Expanded.U)
	}
	return err
}

// verdictOf judges a row with the U that it has, which costs nothing; a rule by risk asks for the
// distribution.
func (r *Report) verdictOf(row *Row, limits uncertainty.Interval) (conformity.Verdict, error) {
	switch r.Rule.Kind {
	// Guarded acceptance asks only for U (JCGM 106 8.3.2).
	case conformity.RuleGuardBand, conformity.RuleRootDifference:
		return r.Rule.DecideExpanded(limits, row.Deviation.Estimate(), row.Expanded.U)
	}
	return r.Rule.Decide(limits, row.known())
}

// composition is what diallings have in common whose budgets have the same sources, and the same
// contributions but for what repeats scatter by. The session is in the group: its zero is
// subtracted.
type composition struct {
	setting          decade.Setting
	stage            Stage
	group            group
	values, reversed int  // numbers of repeats
	warm             bool // its temperature was recorded
}

// compositionOf is that of a reading.
func compositionOf(rd *Reading, rangeName string) composition {
	return composition{rd.Setting, rd.Stage, group{rd.Session, rangeName}, len(rd.Values),
		len(rd.Reversed), rd.Temperature != nil}
}

// setExpanded sets U of a row as the rule takes it. Diallings of one setting on one
// range have one composition and so coverage factors between those of a few: a verdict that a
// thousandth of U could decide takes its own. Between two rows 2 % apart in u the straight line is
// off by 0.01 % of k, a tenth of that margin.
func (e *evaluation) setExpanded(rule conformity.Rule, row *Row) error {
	key := compositionOf(&row.Reading, row.Range)
	u := row.u
	if below, above, ok := e.factors[key].around(u); ok {
		k := below.says
		if between := above.u - below.u; between > 0 {
			k += float64((above.says - k) * ((u - below.u) / between))
		}
		// A laboratory may not state less than its best capability, rule.Smallest (ILAC-P14).
		U, y := max(k*u, rule.Smallest), row.Deviation.Estimate()
		if below == above || !closeToLimit(row, U) {
			// Coverage 0 means 95 %, as in package conformity.
			row.Expanded = uncertainty.Expanded{P: cmp.Or(rule.Coverage, 0.95), K: k, U: U,
				Interval: uncertainty.Interval{Lower: y - U, Upper: y + U}}
			return nil
		}
	}
	x, err := rule.Expanded(row.known())
	if err != nil {
		return err
	}
	row.Expanded = x
	if u > 0 {
		e.addFactor(key, shape[float64]{u, row.index, x.K})
	}
	return nil
}

// closeToLimit reports whether a thousandth of U could decide on a row with w = r·U, for usual r:
// a guard band inwards (1), none (0), outwards (−1). Limits are taken as symmetric; those of a
// residual, which are not, lie at the zero setting, which few diallings share.
func closeToLimit(row *Row, U float64) bool {
	y := math.Abs(row.Deviation.Estimate())
	for _, r := range [...]float64{-1, 0, 1} {
		if math.Abs(y+float64(r*U)-row.Limits.Upper) <= 1e-3*U {
			return true
		}
	}
	return false
}

// addFactor keeps the coverage factor of a composition.
func (e *evaluation) addFactor(of composition, f shape[float64]) {
	if e.factors == nil {
		e.factors = make(map[composition]shapes[float64])
	}
	e.factors[of] = e.factors[of].inserted(f)
}

// probability is that of conformity, from the distributions of the inputs where they are known.
// Where both limits are farther than eight standard uncertainties from a result with a normal
// tail or none it is 0 or 1, which saves the convolution: 1.2·10⁻¹⁵ of a normal distribution lies
// farther out, a few roundings of 1.
func probability(i int, row *Row, laws lawsOfSettings) (float64, error) {
	// Only with infinite degrees of freedom: a t-distribution has tails that reach farther
	// (GUM G.3).
	if far := 8 * row.u; math.IsInf(row.dof, 1) && far > 0 {
		switch y := row.Deviation.Estimate(); {
		case y-row.Limits.Lower > far && row.Limits.Upper-y > far:
			return 1, nil
		case row.Limits.Lower-y > far || y-row.Limits.Upper > far:
			return 0, nil
		}
	}
	known, limits, err := laws.lawFor(i, row)
	if err != nil {
		return 0, err
	}
	// JCGM 106 clause 7: the probability that the distribution has inside the limits.
	return conformity.Probability(limits, known)
}

// probabilityText prints a probability of conformity with the digits that mean something: the laws
// of the inputs are assumptions, so that their tails beyond 0.05 % say nothing.
func probabilityText(p float64) string {
	switch {
	case p > 0.9995:
		return "> 99.9 %"
	case p < 0.0005:
		return "< 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}
