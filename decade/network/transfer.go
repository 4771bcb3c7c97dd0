// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network

import (
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Transfer is a set of nearly equal resistors that can be connected in series, in parallel
// and in series–parallel: a device that carries a value over ratios of 10 and 100 by
// arithmetic. The ratio of two connections of the same resistors does not depend, to first
// order, on how well they are matched: ten in series against ten in parallel is
//
//	100·(1 + mean of δ²/(1 + δ))
//
// exactly, with δ the deviation of each from the mean of all. Contacts and connecting
// resistances, which good devices keep out by their construction, are not in it. Any number
// of goroutines may read one at once.
type Transfer []float64 // Ω

// checkResistors refuses resistances that are not positive, and groups of a size that does not
// divide their number.
func (t Transfer) checkResistors(op string, parallel int) error {
	if len(t) == 0 {
		return &Error{Op: op, Name: "resistors",
			Err: unit.Errorf(ErrDomain, "none; expected one or more")}
	}
	for _, r := range t {
		if err := checkOhms(op, "resistor", r, false); err != nil {
			return err
		}
	}
	if parallel < 1 || len(t)%parallel != 0 {
		return &Error{Op: op, Name: "parallel", Value: float64(parallel),
			Err: unit.Errorf(ErrDomain, "groups of %d; expected a divisor of the %d resistors",
				parallel, len(t))}
	}
	return nil
}

// Resistance returns the resistance in ohms of groups in series, each of parallel resistors
// taken one after the other: 1 puts all in series, the number of resistors all in parallel, and
// 3 makes of nine the square that has about the resistance of one.
func (t Transfer) Resistance(parallel int) (float64, error) {
	const op = "network.Transfer.Resistance"
	if err := t.checkResistors(op, parallel); err != nil {
		return 0, err
	}
	total := 0.0
	for i := 0; i < len(t); i += parallel {
		// Within a group conductances add, from group to group resistances.
		g := 0.0
		for _, r := range t[i : i+parallel] {
			g += 1 / r
		}
		total += 1 / g
	}
	return total, numbers.Finite(op, "resistance", total)
}

// SeriesParallelOf is [Transfer.Resistance] of quantities in ohms.
func SeriesParallelOf(parallel int, resistors ...uncertainty.Quantity) uncertainty.Quantity {
	t := make(Transfer, len(resistors))
	for i, r := range resistors {
		t[i] = r.Estimate()
		if err := r.Err(); err != nil {
			return uncertainty.Fail(err)
		}
	}
	if err := t.checkResistors("network.SeriesParallelOf", parallel); err != nil {
		return uncertainty.Fail(err)
	}
	var groups []uncertainty.Quantity
	for i := 0; i < len(resistors); i += parallel {
		groups = append(groups, ParallelOf(resistors[i:i+parallel]...))
	}
	return uncertainty.Sum(groups...).DefaultUnit("Ω")
}

// RatioError returns by how much the ratio of two connections of the same resistors,
//
//	Resistance(first)/Resistance(second), nominally (second/first)²
//
// differs from nominal, as a fraction. It is computed from the deviations, without the
// cancellation of a quotient close to 1, and is of second order in them: 2.5e-9 for
// resistors at ±50 ppm.
func (t Transfer) RatioError(first, second int) (float64, error) {
	const op = "network.Transfer.RatioError"
	if err := t.checkResistors(op, first); err != nil {
		return 0, err
	}
	if err := t.checkResistors(op, second); err != nil {
		return 0, err
	}
	a, b := t.excessOverNominal(first), t.excessOverNominal(second)
	// (1 + a)/(1 + b) − 1 without forming a quotient close to 1.
	e := (a - b) / (1 + b)
	return e, numbers.Finite(op, "error", e)
}

// excessOverNominal is Resistance(parallel)/(mean·n/parallel²) − 1. With u of a group the mean of δ
// less that of s = δ²/(1 + δ), the group has 1/(1 − u) times its nominal resistance, and
// as the deviations of all add up to nothing
//
//	excess = mean over groups of u²/(1 − u) − mean over all of s
func (t Transfer) excessOverNominal(parallel int) float64 {
	mean := 0.0
	for _, r := range t {
		mean += r / float64(len(t))
	}
	total, squares := 0.0, 0.0
	for i := 0; i < len(t); i += parallel {
		u := 0.0
		for _, r := range t[i : i+parallel] {
			d := (r - mean) / mean
			s := d * d / (1 + d)
			u += d - s
			squares += s
		}
		u /= float64(parallel)
		total += u * u / (1 - u)
	}
	n := float64(len(t))
	return total*float64(parallel)/n - squares/n
}

// BuildUp returns the ratio of all resistors in series to all but the last as a square of
// m times m: nominally their number m² + 1, ten for ten. It needs one more comparison,
// lastToSquare: the ratio of the last resistor to the square, which have the same nominal value.
// The ratio
//
//	m²·(1 + RatioError of the square) + lastToSquare
//
// then depends on the matching of the others in second order only.
func (t Transfer) BuildUp(lastToSquare float64) (ratio float64, err error) {
	const op = "network.Transfer.BuildUp"
	if err := numbers.Positive(op, "lastToSquare", "", lastToSquare); err != nil {
		return 0, err
	}
	m := int(math.Round(math.Sqrt(float64(max(0, len(t)-1)))))
	if m < 2 || m*m+1 != len(t) {
		return 0, &Error{Op: op, Name: "resistors", Value: float64(len(t)),
			Err: unit.Errorf(ErrDomain, "%d; expected a square number and one more, such as ten",
				len(t))}
	}
	square := t[:m*m]
	if err := t.checkResistors(op, 1); err != nil {
		return 0, err
	}
	e, err := square.RatioError(1, m)
	if err != nil {
		return 0, err
	}
	// All in series are the m² of the square and the last one; the square is what they are
	// measured with, so that its own value drops out.
	return float64(m*m)*(1+e) + lastToSquare, nil
}
