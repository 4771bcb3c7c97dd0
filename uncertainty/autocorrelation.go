// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// ErrCorrelated is the cause of an error about a series that is correlated throughout.
var ErrCorrelated = fmt.Errorf("%w: series correlated throughout", ErrObservations)

// TypeAAutocorrelated returns what n ≥ 8 observations say that were taken in equal
// intervals and depend on those before them, as readings of a drifting or filtered
// meter do: less than as many independent ones (GUM 4.2.7). The variance of the mean of
// such a series is
//
//	v = (γ_0 + 2·Σ (1 − k/n)·γ_k)/n, k = 1 … K,
//
// with its autocovariances γ. Those found in the series, c_k = Σ (x_i − x̄)(x_(i+k) − x̄)/n,
// are too small by (1 − k/n)·v, since the mean follows the series; with this
//
//	v = (c_0 + 2·Σ c_k)/(n − 1 − 2K + K(K + 1)/n).
//
// K is the lag before the coefficient first falls to 0 or below: beyond it there is
// nothing but noise. The standard uncertainty is √v with n_eff − 1 degrees of freedom,
// n_eff = 1 + c_0/v being the effective number of observations. (The variance formula is
// that of Metrologia 43 (2006) S276; the cut at the first zero that of Metrology and
// Measurement Systems 18 (2011) 529; both from memory and tested by simulation: for 200
// observations √v is right to 10 %, on the cautious side.)
//
// Alternating series are not credited: n_eff is never above n. A series that is worth
// less than three independent observations, such as one that drifts from one end to the
// other, has no mean to speak of and is refused ([ErrCorrelated]): take more readings,
// or fit the drift.
func TypeAAutocorrelated(observations ...float64) Distribution {
	const op = "TypeAAutocorrelated"
	n := len(observations)
	// With fewer there are not enough pairs at the lags that decide.
	if n < 8 {
		return law{cause: &Error{Op: "uncertainty." + op, Value: float64(n),
			Err: unit.Errorf(ErrObservations, "%s; expected 8 or more",
				unit.Counted(n, "observation", "observations"))}}
	}
	m, s, err := meanStdDev(op, observations)
	if err != nil {
		return law{cause: err}
	}
	effective := float64(n)
	if s > 0 {
		// Beyond half of the series a coefficient rests on fewer pairs than it leaves out.
		r, err := autocorrelation(op, observations, n/2)
		if err != nil {
			return law{cause: err}
		}
		effective = effectiveNumber(r, float64(n))
	}
	if effective < 3 {
		return law{cause: &Error{Op: "uncertainty." + op, Value: effective,
			Err: unit.Errorf(ErrCorrelated,
				"the %d observations are worth %.2g independent ones; expected 3 or more", n,
				effective)}}
	}
	// From n_eff = 1 + c_0/v follows v = c_0/(n_eff − 1), and c_0 = s²·(n − 1)/n since its divisor
	// is n. Independent readings have n_eff = n: v is s²/n, as in TypeA.
	u := s * math.Sqrt((float64(n)-1)/float64(n)/(effective-1))
	l := bell(student, m, u, effective-1, nil)
	l.n = n
	return l
}

// effectiveNumber returns 1 + c_0/v from the coefficients r_k = c_k/c_0, r[0] = 1, of n
// observations; 1 where no end of the correlation is in sight. With the v of
// [TypeAAutocorrelated] it is
//
//	c_0/v = (n − 1 − 2K + K(K + 1)/n)/(1 + 2·Σ r_k), k = 1 … K.
//
// Without correlation K = 0, and n_eff = 1 + (n − 1) = n.
func effectiveNumber(r []float64, n float64) float64 {
	sum, last := 0.0, 0
	for k := 1; r[k] > 0; k++ {
		// All lags that were computed are positive: the correlation is as long as the series.
		if k == len(r)-1 {
			return 1
		}
		sum += r[k]
		last = k
	}
	K := float64(last)
	// The divisor n − 1 − 2K + K(K + 1)/n of the formula for v, which allows for the mean being
	// that of the series itself.
	free := n - 1 - 2*K + K*(K+1)/n
	// Alternating readings would be worth more than n, which no one can rely on.
	return min(n, 1+free/(1+2*sum))
}

// Autocorrelation returns the autocorrelation coefficients of a series for lags 0 to
// the given one, 0 ≤ lags < n,
//
//	r_k = Σ (x_i − x̄)(x_(i+k) − x̄) / Σ (x_i − x̄)²,
//
// so that r_0 = 1 (NIST/SEMATECH Handbook of Statistical Methods, 1.3.5.12). A series
// that does not vary has none ([ErrDomain]).
func Autocorrelation(observations []float64, lags int) ([]float64, error) {
	return autocorrelation("Autocorrelation", observations, lags)
}

// autocorrelation is [Autocorrelation], with the operation that errors name.
func autocorrelation(op string, x []float64, lags int) ([]float64, error) {
	if len(x) < 2 {
		return nil, &Error{Op: "uncertainty." + op, Value: float64(len(x)),
			Err: unit.Errorf(ErrObservations, "%s; expected 2 or more",
				unit.Counted(len(x), "observation", "observations"))}
	}
	if lags < 0 || lags >= len(x) {
		return nil, &Error{Op: "uncertainty." + op, Value: float64(lags),
			Err: unit.Errorf(ErrDomain, "lag %d of %d observations; expected 0 to %d", lags, len(x),
				len(x)-1)}
	}
	d, err := deviations(op, x)
	if err != nil {
		return nil, err
	}
	r := make([]float64, lags+1)
	for k := range r {
		// Products of nearly equal size and different sign cancel: their sum is compensated.
		var sum compensated
		for i := range len(d) - k {
			sum.add(float64(d[i] * d[i+k]))
		}
		r[k] = sum.sum + sum.lost
	}
	// The coefficient at lag 0 is the sum of squares itself, by which all are divided.
	variance := r[0]
	if !(variance > 0) || math.IsInf(variance, 0) {
		return nil, &Error{Op: "uncertainty." + op, Value: variance,
			Err: unit.Errorf(ErrDomain, "the observations do not vary, or by more than float64 "+
				"can square; expected a series that does")}
	}
	for k := range r {
		r[k] /= variance
	}
	return r, nil
}

// deviations returns the observations less their mean, whose rounding is taken out.
func deviations(op string, x []float64) ([]float64, error) {
	m, err := mean(op, x)
	if err != nil {
		return nil, err
	}
	d := make([]float64, len(x))
	var rest compensated
	for i, v := range x {
		d[i] = v - m
		rest.add(d[i])
	}
	// The mean of float64 values is rounded; for a series that hardly varies what is left would
	// pass for a correlation at every lag.
	shift := (rest.sum + rest.lost) / float64(len(x))
	for i := range d {
		d[i] -= shift
	}
	return d, nil
}
