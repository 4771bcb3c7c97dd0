// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"slices"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/internal/quantity"
)

// Pad returns the resistance in ohms that, in parallel with r, brings it down
// to target:
//
//	P = r target/(r − target)
//
// A target that is not below r cannot be reached ([ErrUnreachable]); a link in
// series goes up.
func Pad(r, target float64) (float64, error) {
	const op = "winding.Pad"
	if err := checkTrim(op, r, target); err != nil {
		return 0, err
	}
	if target >= r {
		return 0, refuse(op, "target", target, ErrUnreachable,
			"expected less than the resistance: a pad in parallel only lowers it")
	}
	// The quotient first: r·target may overflow.
	return result(op, "pad", r/(r-target)*target)
}

// Link returns the resistance in ohms that, in series with r, brings it up to
// target, target − r. A target that is not above r cannot be reached
// ([ErrUnreachable]).
func Link(r, target float64) (float64, error) {
	const op = "winding.Link"
	if err := checkTrim(op, r, target); err != nil {
		return 0, err
	}
	if target <= r {
		return 0, refuse(op, "target", target, ErrUnreachable,
			"expected more than the resistance: a link in series only raises it")
	}
	return target - r, nil
}

// PadOf is [Pad] of quantities.
func PadOf(r, target uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "pad", Unit: "Ω", Units: []string{"Ω", "Ω"},
		Of: func(x []float64) (float64, error) { return Pad(x[0], x[1]) },
		Change: func(d, x []float64) {
			// dP/dr = −(t/(r − t))², dP/dt = (r/(r − t))²
			a, b := x[0]/(x[0]-x[1]), x[1]/(x[0]-x[1])
			d[0], d[1] = -b*b, a*a
		},
	}, r, target)
}

// LinkOf is [Link] of quantities.
func LinkOf(r, target uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "link", Unit: "Ω", Units: []string{"Ω", "Ω"},
		Of: func(x []float64) (float64, error) { return Link(x[0], x[1]) },
		Change: func(d, x []float64) {
			d[0], d[1] = -1, 1
		},
	}, r, target)
}

// checkTrim refuses what are no resistances.
func checkTrim(op string, r, target float64) error {
	return positive(op, arg{"resistance", r, "Ω"}, arg{"target", target, "Ω"})
}

// Trim is a resistor with another added in parallel or in series.
type Trim struct {
	Part  float64 // Ω, the resistor
	Added float64 // Ω, the pad or link
	Value float64 // Ω, both together
	// Share is by what fraction of its own relative change the added part
	// changes Value: the pad may be coarser than the result by 1/Share. The
	// part itself counts with 1 − Share.
	Share float64
	// Parallel: Added is a pad in parallel; otherwise it is a link in series.
	Parallel bool
}

// Padded returns r with a pad in parallel, both in ohms: the value is
// rp/(r+p), the share of the pad r/(r+p).
func Padded(r, pad float64) (Trim, error) {
	const op = "winding.Padded"
	if err := positive(op, arg{"resistance", r, "Ω"}, arg{"pad", pad, "Ω"}); err != nil {
		return Trim{}, err
	}
	// rp/(r + p), without a product or a sum that overflows.
	value, err := result(op, "value", r/(1+r/pad))
	return Trim{Part: r, Added: pad, Value: value, Share: 1 / (1 + pad/r), Parallel: true}, err
}

// Linked returns r with a link in series, both in ohms: the value is r + s,
// the share of the link s/(r+s).
func Linked(r, link float64) (Trim, error) {
	const op = "winding.Linked"
	if err := positive(op, arg{"resistance", r, "Ω"}, arg{"link", link, "Ω"}); err != nil {
		return Trim{}, err
	}
	value, err := result(op, "value", r+link)
	return Trim{Part: r, Added: link, Value: value, Share: 1 / (1 + r/link)}, err
}

// PaddedOf returns rp/(r+p) of quantities.
func PaddedOf(r, pad uncertainty.Quantity) uncertainty.Quantity {
	return r.Mul(pad).Div(r.Add(pad)).DefaultUnit("Ω")
}

// LinkedOf returns r + s of quantities.
func LinkedOf(r, link uncertainty.Quantity) uncertainty.Quantity {
	return r.Add(link).DefaultUnit("Ω")
}

// Limits returns the smallest and largest value in ohms when the added part
// keeps its own value to ± tolerance, a fraction, and the part is exact.
func (t Trim) Limits(tolerance float64) (uncertainty.Interval, error) {
	const op = "winding.Trim.Limits"
	if err := positive(op, arg{"Part", t.Part, "Ω"}, arg{"Added", t.Added, "Ω"}); err != nil {
		return uncertainty.Interval{}, err
	}
	if err := notNegative(op, arg{"tolerance", tolerance, ""}); err != nil {
		return uncertainty.Interval{}, err
	}
	if tolerance >= 1 {
		return uncertainty.Interval{}, domain(op, arg{"tolerance", tolerance, ""},
			"expected less than 1; a fraction, not per cent")
	}
	low, high := t.with(t.Added*(1-tolerance)), t.with(t.Added*(1+tolerance))
	if _, err := result(op, "value", high); err != nil {
		return uncertainty.Interval{}, err
	}
	return uncertainty.Interval{Lower: low, Upper: high}, nil
}

// with returns the value with another added part.
func (t Trim) with(added float64) float64 {
	if t.Parallel {
		return t.Part / (1 + t.Part/added)
	}
	return t.Part + added
}

// Law returns the temperature law of the trimmed resistor from those of its
// parts, about the reference temperature of the first; Part and Added are
// taken to be the values at that temperature. In series the law is exact; in
// parallel the coefficients are those of the second-order series:
//
//	α = (1−x) αp + x αa
//	β = α² − (1−x)(αp² − βp) − x(αa² − βa)   parallel
//	β = (1−x) βp + x βa                       series
//
// with x = Share. A pad of 0.1 % changes a coefficient of 1 ppm/K by 0.1 ppm/K
// if it has 100.
func (t Trim) Law(part, added thermal.Law) (thermal.Law, error) {
	const op = "winding.Trim.Law"
	if err := notNegative(op, arg{"Share", t.Share, ""}); err != nil {
		return thermal.Law{}, err
	}
	if part.IsZero() {
		part = thermal.NewLaw(added.Reference(), 0, 0)
	}
	if added.IsZero() {
		added = thermal.NewLaw(part.Reference(), 0, 0)
	}
	if _, err := part.Ratio(part.Reference()); err != nil {
		return thermal.Law{}, err
	}
	added, err := added.Rebase(part.Reference())
	if err != nil {
		return thermal.Law{}, err
	}
	x, y := t.Share, 1-t.Share
	alpha := float64(y*part.Alpha()) + float64(x*added.Alpha())
	beta := float64(y*part.Beta()) + float64(x*added.Beta())
	if t.Parallel {
		beta += float64(alpha*alpha) - float64(y*part.Alpha()*part.Alpha()) -
			float64(x*added.Alpha()*added.Alpha())
	}
	return thermal.NewLaw(part.Reference(), alpha, beta), nil
}

// PadRange returns the pads in ohms that bring r to target ± within, a
// fraction of the target: how coarse the pad may be. The upper limit is +Inf
// where no pad at all would do.
func PadRange(r, target, within float64) (uncertainty.Interval, error) {
	const op = "winding.PadRange"
	if err := checkWithin(op, r, target, within); err != nil {
		return uncertainty.Interval{}, err
	}
	low, err := Pad(r, target*(1-within))
	if err != nil {
		return uncertainty.Interval{}, err
	}
	high := math.Inf(1)
	if top := target * (1 + within); top < r {
		if high, err = Pad(r, top); err != nil {
			return uncertainty.Interval{}, err
		}
	}
	return uncertainty.Interval{Lower: low, Upper: high}, nil
}

// LinkRange returns the links in ohms that bring r to target ± within, a
// fraction of the target. The lower limit is 0 where no link at all would do.
func LinkRange(r, target, within float64) (uncertainty.Interval, error) {
	const op = "winding.LinkRange"
	if err := checkWithin(op, r, target, within); err != nil {
		return uncertainty.Interval{}, err
	}
	high, err := Link(r, target*(1+within))
	if err != nil {
		return uncertainty.Interval{}, err
	}
	return uncertainty.Interval{Lower: max(0, float64(target*(1-within))-r), Upper: high}, nil
}

// checkWithin refuses a tolerance that is not between 0 and 1.
func checkWithin(op string, r, target, within float64) error {
	if err := checkTrim(op, r, target); err != nil {
		return err
	}
	a := arg{"within", within, ""}
	if err := notNegative(op, a); err != nil {
		return err
	}
	if within >= 1 {
		return domain(op, a, "expected less than 1; a fraction, not per cent")
	}
	return nil
}

// Pads returns r with the two pads of a preferred series that come nearest to
// target, the better one first; one if the wanted pad is a preferred value.
func Pads(r, target float64, s Series) ([]Trim, error) {
	pad, err := Pad(r, target)
	if err != nil {
		return nil, err
	}
	return preferredTrims(r, target, pad, s, Padded)
}

// Links returns r with the two links of a preferred series that come nearest
// to target, the better one first; one if the wanted link is a preferred
// value.
func Links(r, target float64, s Series) ([]Trim, error) {
	link, err := Link(r, target)
	if err != nil {
		return nil, err
	}
	return preferredTrims(r, target, link, s, Linked)
}

// preferredTrims returns the values of the series on both sides of the ideal one, the better
// first.
func preferredTrims(r, target, ideal float64, s Series, add func(r, added float64) (Trim,
	error)) ([]Trim, error) {
	below, above, err := s.Around(ideal)
	if err != nil {
		return nil, err
	}
	trims := make([]Trim, 0, 2)
	for _, v := range slices.Compact([]float64{below, above}) {
		t, err := add(r, v)
		if err != nil {
			return nil, err
		}
		trims = append(trims, t)
	}
	slices.SortStableFunc(trims, func(a, b Trim) int {
		switch da, db := math.Abs(a.Value-target), math.Abs(b.Value-target); {
		case da < db:
			return -1
		case da > db:
			return +1
		}
		return 0
	})
	return trims, nil
}

// WireChange returns the length in metres of wire to add, or where negative to
// remove, in order to bring a resistor from r to target, both in ohms at one
// temperature, with the wire's own resistance in Ω/m. Take off less than
// computed, let it cool, and measure again.
func WireChange(r, target, perMetre float64) (float64, error) {
	const op = "winding.WireChange"
	if err := checkTrim(op, r, target); err != nil {
		return 0, err
	}
	if err := positive(op, arg{"perMetre", perMetre, "Ω/m"}); err != nil {
		return 0, err
	}
	return result(op, "length", (target-r)/perMetre)
}

// WireChangeOf returns (target − r)/perMetre of quantities.
func WireChangeOf(r, target, perMetre uncertainty.Quantity) uncertainty.Quantity {
	return target.Sub(r).Div(perMetre).DefaultUnit("m")
}
