// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// A Comparison reports whether the law of propagation of uncertainty is confirmed by
// Monte Carlo (JCGM 101 clause 8).
type Comparison struct {
	Digits int    // significant digits of u that were asked for
	Unit   string // of the measurand

	// Tolerance is δ, half a unit of the last of those digits, in the unit of the measurand
	// (JCGM 101 7.9.2).
	Tolerance float64

	Linear    Interval // y ± U of the budget
	Simulated Interval // probabilistically symmetric
	DLow      float64  // distance of the lower ends
	DHigh     float64  // distance of the upper ends

	// Stands is true where both distances are within the tolerance: the linear result
	// may be used.
	Stands bool

	// Holds is the greatest number of significant digits of u for which the linear
	// result stands; 0 if not even one.
	Holds int

	// Settled is false where sampling moves an end of the simulated interval by more
	// than a fifth of the tolerance (one standard deviation; JCGM 101 8.2 asks for
	// that much): with more trials the verdict may change. A [Twin] settles it with fewer.
	Settled bool
}

// Compare sets the interval y ± U of a budget against the probabilistically symmetric
// interval of a simulation of the same measurand, at the coverage probability of the
// simulation, for 1 to 9 significant digits of the standard uncertainty that are
// regarded as meaningful; 1 or 2 are usual. It refuses nil arguments, a budget and an output
// of different measurands, by their names or units, and other numbers of digits ([ErrDomain]).
func Compare(b *Budget, o *Output, digits int) (Comparison, error) {
	refuse := func(err error) (Comparison, error) {
		return Comparison{}, refused("uncertainty.Compare", "", err)
	}
	switch {
	case b == nil:
		return refuse(unit.Errorf(ErrNoQuantity, "budget is nil; expected the result of Evaluate"))
	case o == nil:
		return refuse(unit.Errorf(ErrNoQuantity, "output is nil; expected one of a Simulation"))
	case digits < 1 || digits > 9:
		return refuse(&Error{Value: float64(digits), Err: unit.Errorf(ErrDomain, "%d significant "+
			"digits; expected 1 to 9", digits)})
	// A measurand without a name may be any.
	case b.Name != o.Name && b.Name != "" && o.Name != "":
		return refuse(unit.Errorf(ErrDomain, "budget of %q, output %q; expected the same measurand",
			b.Name, o.Name))
	}
	if b.Unit != o.Unit && b.Unit != "" && o.Unit != "" {
		return refuse(unit.Errorf(ErrUnitMismatch, "budget in %s, output in %s; expected one unit",
			b.Unit, o.Unit))
	}
	e, err := b.ExpandedAt(o.Coverage)
	if err != nil {
		return refuse(err)
	}
	// δ is half a unit of the last digit of u that matters (JCGM 101 7.9.2).
	c := Comparison{Digits: digits, Unit: cmp.Or(b.Unit, o.Unit),
		Tolerance: numericalTolerance(b.StandardUncertainty, digits),
		Linear:    e.Interval, Simulated: o.Symmetric}
	// d_low and d_high (JCGM 101 8.1).
	c.DLow = math.Abs(c.Linear.Lower - c.Simulated.Lower)
	c.DHigh = math.Abs(c.Linear.Upper - c.Simulated.Upper)
	for _, v := range []float64{c.DLow, c.DHigh} {
		if err := number("distance of the intervals", v); err != nil {
			return refuse(err)
		}
	}
	// Both ends must agree (JCGM 101 8.1): an interval that is only shifted is wrong too. For u =
	// 0.0034 and two digits δ is 0.000 05.
	worst := max(c.DLow, c.DHigh)
	c.Stands = worst <= c.Tolerance
	// The tolerance falls by ten with each digit: the first that fails ends it.
	for n := 1; n <= 9 && worst <= numericalTolerance(b.StandardUncertainty, n); n++ {
		c.Holds = n
	}
	// One standard deviation of the ends against a fifth of δ (JCGM 101 8.2).
	c.Settled = max(o.Sampling.Lower, o.Sampling.Upper) <= c.Tolerance/5
	return c, nil
}

// String returns the verdict in one line.
func (c Comparison) String() string {
	verdict := "the linear result does not stand"
	if c.Stands {
		verdict = "the linear result stands"
	}
	doubt := ""
	if !c.Settled {
		doubt = "; more trials may change this"
	}
	digits := "digits"
	if c.Digits == 1 {
		digits = "digit"
	}
	return fmt.Sprintf("%s to %d significant %s: ends differ by %s and %s, tolerance %s%s",
		verdict, c.Digits, digits, significant(c.DLow, 2),
		withUnit(significant(c.DHigh, 2), c.Unit), withUnit(significant(c.Tolerance, 2), c.Unit),
		doubt)
}
