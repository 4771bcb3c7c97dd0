// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade/internal/wording"
)

// A reading that the others contradict is found by the score test for an error of this reading
// alone, in standard deviations. The worst is taken out and the fit repeated, since one bad
// reading pulls its neighbours along.
//
// The test asks how far chi-squared would fall if reading k had an unknown error of its own, one
// more column with a single 1 in A: by the square of the statistic. Unlike a residual over its
// uncertainty it uses V⁻¹, and so it sees a reading that is 5 mΩ off between neighbours with the
// same gain error, whose own uncertainty of 50 mΩ is nearly all gain.
//
// Taking out one at a time fails where two bad readings agree with each other and hide one
// another; a search over pairs would need n²/2 statistics and another limit.

// An Outlier is a reading that the others contradict, or a group of readings one of which must
// be wrong, though nothing says which. Any number of goroutines may read one at once.
type Outlier struct {
	Rows      []int   // indices in Report.Rows
	Statistic float64 // how far off, in standard deviations; signed, of the first row
	Text      string
}

const (
	// falseAlarm is the probability of naming any reading of a good set. With 100 readings the
	// limit is 3.9 standard deviations, with 20 it is 3.5.
	falseAlarm = 0.01
	// equalStatistics is how far, as a fraction, rounding may set equal statistics apart. Two
	// readings that check only each other have the same statistic whatever they read; readings
	// with more to check them agree in six digits by accident only.
	equalStatistics = 1e-6
)

// outliers names readings one after the other, the worst first, each time fitting what
// is left: a bad reading spoils the statistics of its neighbours. The indices of what it
// returns are those of Report.Rows; freedom is the number of readings beyond the unknowns.
func (f *fitter) outliers(freedom int) ([]Outlier, error) {
	var out []Outlier
	rows := slices.Clone(f.rows)
	// Two-sided, shared among all readings (Bonferroni's correction): one false alarm in a
	// hundred boxes, not readings.
	limit := distuv.UnitNormal.Quantile(1 - falseAlarm/2/float64(len(rows)))
	// One at a time: a gross value pulls the fit and makes sound readings look bad.
	for ; freedom > 0; freedom-- {
		_, s, err := f.solve(rows)
		if err != nil {
			return nil, err
		}
		worst := -1
		for k, w := range s.Statistic {
			if !math.IsNaN(w) && (worst < 0 || math.Abs(w) > math.Abs(s.Statistic[worst])) {
				worst = k
			}
		}
		if worst < 0 || math.Abs(s.Statistic[worst]) <= limit {
			return out, nil
		}
		out = append(out, f.outlier(rows, s.Statistic, worst))
		// One fewer reading, and so one degree of freedom fewer: at 0 nothing is left to
		// contradict.
		rows = slices.Delete(rows, worst, worst+1)
	}
	return out, nil
}

// outlier lists every reading with the same statistic: where one degree of freedom is
// left among them, all are equally suspect. Two diallings of a position whose element no other
// setting has are the usual case: one of them is wrong, and only a third tells which.
func (f *fitter) outlier(rows []int, statistic []float64, worst int) Outlier {
	w := statistic[worst]
	o := Outlier{Statistic: w}
	var tags []string
	for k, v := range statistic {
		// Readings that only check each other have equal statistics, but for rounding: none may
		// be blamed alone.
		if math.Abs(v) > (1-equalStatistics)*math.Abs(w) {
			o.Rows = append(o.Rows, rows[k])
			tags = append(tags, f.Rows[rows[k]].Reading.Label())
		}
	}
	if len(tags) == 1 {
		o.Text = fmt.Sprintf("%s reads %.3g standard deviations %s what the other readings say: "+
			"%s.", tags[0], math.Abs(w), aboveOrBelow(w), f.advice(o.Rows))
		return o
	}
	advice := strings.Replace(f.advice(o.Rows), "dial it", "dial them", 1)
	o.Text = fmt.Sprintf("One of these readings is off by %.3g standard deviations, and the "+
		"others do not say which: %s. %s.",
		math.Abs(w), strings.Join(tags, "; "), wording.Upper(advice))
	return o
}

// advice is what to do about readings, listed by index in Report.Rows: after five diallings of
// one setting a sixth says nothing new.
func (f *fitter) advice(rows []int) string {
	for _, i := range rows {
		n := 0
		for k := range f.Rows {
			if f.Rows[k].Setting == f.Rows[i].Setting &&
				f.Rows[k].Reading.Stage == f.Rows[i].Reading.Stage {
				n++
			}
		}
		if n >= enoughDiallings+1 {
			return "state or estimate the contact"
		}
	}
	return "dial it again"
}

// aboveOrBelow is the word for the sign of a statistic, which is that of measured − expected.
func aboveOrBelow(w float64) string {
	if w < 0 {
		return "below"
	}
	return "above"
}
