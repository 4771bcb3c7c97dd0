// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// RelativeStandardUncertainty returns u_c(y)/|y|, a pure number (GUM 5.1.6). An estimate of 0
// has none ([ErrDomain]).
func (b *Budget) RelativeStandardUncertainty() (float64, error) {
	b = cmp.Or(b, &Budget{})
	// An estimate of 0, or so near to it that the quotient overflows.
	r := b.relativeTo(b.StandardUncertainty)
	if math.IsNaN(r) || math.IsInf(r, 0) {
		return 0, refusal("Budget.RelativeStandardUncertainty", b.Estimate, ErrDomain,
			"estimate is %v with standard uncertainty %v; expected an estimate other than 0, "+
				"beside which u can be seen", b.Estimate, b.StandardUncertainty)
	}
	return r, nil
}

// Relative returns the budget with texts that state uncertainties relative to the estimates,
// as products and quotients want it (GUM 5.1.6): u(x)/|x| for the standard uncertainties,
// the relative sensitivity p = c·x/y, which is the exponent of x in a product of powers, and
// c·u(x)/|y| for the contributions, which is p·u(x)/|x| except for the sign. Inputs whose
// estimate is 0, as corrections have, show their contribution alone. The figures of the budget
// stay as they are, and so do CSV and JSON. A budget whose estimate is 0 is refused
// ([ErrDomain]).
func (b *Budget) Relative() (*Budget, error) {
	if _, err := b.RelativeStandardUncertainty(); err != nil {
		return nil, err
	}
	// A copy: the figures are the same; only the texts differ.
	relative := *b
	relative.relative = true
	return &relative, nil
}

// relativeTo divides by the magnitude of the estimate.
func (b *Budget) relativeTo(v float64) float64 { return v / math.Abs(b.Estimate) }

// relativeCells are those of a row with relative figures.
func (b *Budget) relativeCells(c Component) []string {
	// A dash where nothing can be divided.
	u, p := "–", "–"
	if c.Estimate != 0 {
		u = significant(c.StandardUncertainty/math.Abs(c.Estimate), 2)
		// c·x/y by quotients first: c·x may overflow.
		p = significant(c.Sensitivity*(c.Estimate/b.Estimate), 4)
	}
	return []string{
		c.title(), withUnit(roundedTo(c.Estimate, c.StandardUncertainty),
			c.Unit), u, c.Type.String(), c.Distribution,
		degrees(c.DOF), p, significant(b.relativeTo(c.Contribution), 2),
	}
}

// relativeLine states both uncertainties of the result.
func (b *Budget) relativeLine() string {
	return fmt.Sprintf("relative to the estimate: standard uncertainty %s, expanded uncertainty %s",
		significant(b.relativeTo(b.StandardUncertainty), 2),
		significant(b.relativeTo(b.bestU()), 2))
}

// bestU is half the width of the interval that is stated first.
func (b *Budget) bestU() float64 {
	if i, err := b.BestInterval(b.Expanded.P); err == nil && i.Width() > 0 {
		return i.Width() / 2
	}
	return b.Expanded.U
}

// columns are the names of the columns in the terms and order of the guides; the contribution
// carries the unit of the measurand, or is relative.
func (b *Budget) columns() []string {
	// The order is that of the guides, whichever figures are shown.
	names := slices.Clone(columns)
	if b.relative {
		names[2] = "Relative standard uncertainty"
		names[6], names[7] = "Relative sensitivity", "Relative contribution"
	}
	return names
}

// headings are the columns in two lines.
func (b *Budget) headings() (above, below []string) {
	above = []string{"Quantity", "Estimate", "Standard", "Type", "Distribution", "Degrees of",
		"Sensitivity", "Uncertainty"}
	below = []string{"", "", "uncertainty", "", "", "freedom", "coefficient", "contribution"}
	if b.relative {
		above[2], above[6], above[7] = "Relative", "Relative", "Relative"
		below[6] = "sensitivity"
	}
	return above, below
}
