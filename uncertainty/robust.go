// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The factors of ISO 13528:2022 as that prints them, which is what its examples are computed with.
const (
	// ofMedian is what the median of normal observations loses against their mean: √(π/2) = 1.2533.
	ofMedian = 1.25
	// ofMAD makes the median absolute deviation of normal observations their standard deviation:
	// 1/Φ⁻¹(3/4) = 1.4826.
	ofMAD = 1.483
	// ofIQR does that for the distance of their quartiles: 1/(2·Φ⁻¹(3/4)) = 0.7413.
	ofIQR = 0.7413
	// movedAt is the number of scales beyond which algorithm A moves an observation: 13 of 100
	// normal ones.
	movedAt = 1.5
	// ofMoved undoes what moving takes from the standard deviation of normal observations: those
	// moved at 1.5 have the variance 0.7785, and 1/√0.7785 = 1.133.
	ofMoved = 1.134
	// manyTurns of an iteration that shrinks what is left by a constant factor: some dozens are
	// enough where a few observations are wrong, and ties take more.
	manyTurns = 10_000
)

// A RobustMean is an estimate from observations of which a few may be wrong: they move it little,
// wherever they lie. Make it with [MedianMAD], [AlgorithmA] or [QHampel]. It is for mistakes that
// cannot be found and corrected; leave out observations that are known to be wrong.
type RobustMean struct {
	Location     float64 // in the unit of the observations
	Scale        float64 // standard deviation of one good observation
	Observations int
}

// StandardUncertainty returns 1.25·Scale/√n (ISO 13528:2022, formula 6). The factor is that
// of the median of normal observations, √(π/2); the other estimates lose less. It is NaN
// without observations.
func (r RobustMean) StandardUncertainty() float64 {
	if r.Observations <= 0 {
		return math.NaN()
	}
	return ofMedian * r.Scale / math.Sqrt(float64(r.Observations))
}

// Distribution returns the t-distribution with location, standard uncertainty and n − 1
// degrees of freedom, which are nominal: a robust scale is known less well than s.
// It is a Type A evaluation: it comes from observations, whatever the weights.
func (r RobustMean) Distribution() Distribution {
	l := bell(student, r.Location, r.StandardUncertainty(), float64(r.Observations-1), nil)
	l.n = r.Observations
	if r.Observations < 2 {
		l.cause = fewObservations("RobustMean.Distribution", r.Observations, "2 or more")
	} else {
		l.cause = firstRefusal("RobustMean.Distribution", width("scale", r.Scale),
			number("location", r.Location))
	}
	return l
}

// MedianMAD returns the median, and the median of the absolute deviations from it times
// 1.483, which makes it a standard deviation for normal observations (ISO 13528:2022, C.2).
// Up to half of the observations may be wrong. Three or more are needed; where more than
// half are equal, and others differ, they have no scale and are refused ([ErrDomain]).
func MedianMAD(observations ...float64) (RobustMean, error) {
	x, err := sortedObservations("MedianMAD", observations)
	if err != nil {
		return RobustMean{}, err
	}
	return medianMAD("MedianMAD", x)
}

// medianMAD takes sorted observations.
func medianMAD(op string, sorted []float64) (RobustMean, error) {
	m := medianOf(sorted)
	d := make([]float64, len(sorted))
	for i, v := range sorted {
		d[i] = math.Abs(v - m)
	}
	slices.Sort(d)
	r := RobustMean{Location: m, Scale: ofMAD * medianOf(d), Observations: len(sorted)}
	// Where all are equal, a scale of 0 is right.
	if r.Scale == 0 && d[len(d)-1] > 0 {
		return RobustMean{}, refusal(op, m, ErrDomain,
			"more than half of the %d observations are %v, so that the median deviation is 0; "+
				"expected observations that differ (QHampel takes some ties)", len(sorted), m)
	}
	return r, nil
}

// AlgorithmA returns the robust mean and standard deviation of algorithm A (ISO 13528:2022,
// C.3.1; ISO 5725-5): observations beyond Location ± 1.5·Scale are moved there, and
//
//	Location = mean, Scale = 1.134·(standard deviation of what results),
//
// begun with [MedianMAD] and repeated until nothing changes. It loses little where all is
// well, and holds with about a quarter of the observations wrong. It refuses what MedianMAD
// refuses.
func AlgorithmA(observations ...float64) (RobustMean, error) {
	const op = "AlgorithmA"
	x, err := sortedObservations(op, observations)
	if err != nil {
		return RobustMean{}, err
	}
	r, err := medianMAD(op, x)
	// With scale 0 all observations are equal, and nothing can move.
	if err != nil || r.Scale == 0 {
		return r, err
	}
	moved := make([]float64, len(x))
	for range manyTurns {
		// ISO 13528 C.3.1, to both sides.
		low, high := r.Location-movedAt*r.Scale, r.Location+movedAt*r.Scale
		for i, v := range x {
			// Moved to the limit, not left out: the number of observations stays.
			moved[i] = min(max(v, low), high)
		}
		m, s, err := meanStdDev(op, moved)
		if err != nil {
			return RobustMean{}, err
		}
		s *= ofMoved
		// Compared with the scale, on which both are known.
		still := math.Abs(m-r.Location)+math.Abs(s-r.Scale) <= 1e-14*s
		r.Location, r.Scale = m, s
		if still {
			break
		}
	}
	return r, nil
}

// QHampel returns the Q estimate of the standard deviation, made of the differences of all
// pairs, and with it Hampel's estimate of location (ISO 13528:2022, C.5.2 and C.5.3, for one
// observation a participant). Both hold with up to half of the observations wrong, and the
// scale takes ties. Three or more observations are needed, and not more than 10,000, since
// the pairs are written down.
func QHampel(observations ...float64) (RobustMean, error) {
	const op = "QHampel"
	x, err := sortedObservations(op, observations)
	if err != nil {
		return RobustMean{}, err
	}
	if len(x) > mostForPairs {
		return RobustMean{}, refusal(op, float64(len(x)), ErrDomain,
			"%d observations; expected at most %d", len(x), mostForPairs)
	}
	// The scale first: Hampel's estimate measures deviations by it.
	s := qScale(x)
	if err := number("scale", s); err != nil {
		return RobustMean{}, refused("uncertainty."+op, "", err)
	}
	return RobustMean{Location: hampel(x, s), Scale: s, Observations: len(x)}, nil
}

// mostForPairs bounds the memory for pairs: 400 MB at 10,000 observations.
const mostForPairs = 10_000

// qScale inverts the distribution of the absolute differences of pairs, drawn as a polygon,
// where a quarter of what is not tied lies below.
// All n(n − 1)/2 differences, of which none is negative since x is sorted.
func qScale(sorted []float64) float64 {
	n := len(sorted)
	d := make([]float64, 0, n*(n-1)/2)
	for i, v := range sorted {
		for _, w := range sorted[:i] {
			d = append(d, v-w)
		}
	}
	slices.Sort(d)
	pairs := float64(len(d))
	// Ties are differences of exactly 0.
	tied, _ := slices.BinarySearch(d, math.SmallestNonzeroFloat64)
	h0 := float64(tied) / pairs
	// A quarter of the way from the share of ties to 1.
	wanted := 0.25 + 0.75*h0
	// The polygon goes through (0, 0) and the middles of the steps.
	lastX, lastG, below := 0.0, 0.0, h0
	// Equal differences are one step of the distribution function.
	for i := tied; i < len(d); {
		next := i
		for next < len(d) && d[next] == d[i] {
			next++
		}
		// The polygon passes through the middle of each step.
		g := (below + float64(next)/pairs) / 2
		if g >= wanted {
			// Linear between two middles.
			x := lastX + (d[i]-lastX)*(wanted-lastG)/(g-lastG)
			// The difference of two normal observations has √2 times their deviation.
			return x / (math.Sqrt2 * distuv.UnitNormal.Quantile(0.625+0.375*h0))
		}
		lastX, lastG, below = d[i], g, float64(next)/pairs
		i = next
	}
	// The last middle lies below the wanted probability: few pairs, many ties.
	return lastX / (math.Sqrt2 * distuv.UnitNormal.Quantile(min(0.625+0.375*h0, 1-1e-16)))
}

// hampel solves Σψ((x − location)/s) = 0 from the median on, by weights ψ(q)/q: a mean whose
// weights follow from the last location.
func hampel(sorted []float64, s float64) float64 {
	m := medianOf(sorted)
	if s == 0 {
		return m
	}
	for range manyTurns {
		var sum, weights float64
		for _, v := range sorted {
			// Weights are computed with the last location.
			w := hampelWeight(math.Abs(v-m) / s)
			sum += float64(w * (v - m))
			weights += w
		}
		if weights == 0 {
			break // the median of two clusters lies between them
		}
		step := sum / weights
		m += step
		if math.Abs(step) <= 1e-15*s {
			break
		}
	}
	return m
}

// hampelWeight is ψ(q)/q with ψ as of ISO 13528 C.5.3: straight to 1.5, level to 3, down to 0
// at 4.5.
func hampelWeight(q float64) float64 {
	switch {
	case q <= 1.5:
		return 1
	case q <= 3:
		return 1.5 / q
	case q <= 4.5:
		return (4.5 - q) / q
	}
	return 0
}

// NormalizedIQR returns 0.7413 times the distance of the quartiles of 3 or more
// observations, another robust standard deviation (ISO 13528:2022, C.2.3). The quartiles
// are interpolated linearly at the places 1 + (n − 1)/4 and 1 + 3(n − 1)/4.
func NormalizedIQR(observations ...float64) (float64, error) {
	x, err := sortedObservations("NormalizedIQR", observations)
	if err != nil {
		return 0, err
	}
	// The quartiles lie between observations.
	at := func(share float64) float64 {
		whole, part := math.Modf(share * float64(len(x)-1))
		i := int(whole)
		return x[i] + float64(part*(x[min(i+1, len(x)-1)]-x[i]))
	}
	return ofIQR * (at(0.75) - at(0.25)), nil
}

// sortedObservations checks 3 or more observations and sorts a copy.
func sortedObservations(op string, observations []float64) ([]float64, error) {
	if len(observations) < 3 {
		return nil, fewObservations(op, len(observations), "3 or more")
	}
	// The mean refuses what is not finite, and sums that float64 cannot hold.
	if _, _, err := meanStdDev(op, observations); err != nil {
		return nil, err
	}
	return slices.Sorted(slices.Values(observations)), nil
}

// medianOf takes sorted observations; the middle of two is formed without overflow.
func medianOf(sorted []float64) float64 {
	n := len(sorted)
	return sorted[(n-1)/2] + (sorted[n/2]-sorted[(n-1)/2])/2
}
