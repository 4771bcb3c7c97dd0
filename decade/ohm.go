// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// The words of [Calibration.Ohm].
const (
	// OhmSince1990 is the ohm of the conventional value of the von Klitzing constant,
	// R_K-90 = 25 812.807 Ω (CCE 1988, Recommendation 2). That of the SI of 2019 is the same
	// to 0.02 ppm.
	OhmSince1990 = "since 1990"
	// OhmUSBefore1990 is the national ohm of the United States up to 31 December 1989. It
	// was smaller by 1.69 ppm (NIST Technical Note 1263), so that values in it are
	// larger.
	OhmUSBefore1990 = "US before 1990"
)

const (
	// usStep is how much the national ohm of the United States grew on 1 January 1990.
	// It had drifted before by some hundredths of a ppm a year: certificates that are
	// decades older want the figure of their own date.
	usStep = 1.69e-6
	// largestStep: national ohms differed by a few ppm. More is a slip.
	largestStep = 1e-4
)

// ohmSmaller is how much smaller the ohm is that a calibration states, as a fraction; negative for
// one that was larger. The error lacks operation and field.
func ohmSmaller(text string) (float64, error) {
	switch text {
	case "", OhmSince1990:
		return 0, nil
	case OhmUSBefore1990:
		return usStep, nil
	}
	v, err := unit.Parse(text, unit.Fraction)
	if err != nil {
		return 0, unit.Errorf(ErrSyntax,
			"%q; expected %q, %q, or by how much the ohm was smaller than that of 1990, such as "+
				"\"1.69 ppm\"",
			text, OhmSince1990, OhmUSBefore1990)
	}
	if math.Abs(v) > largestStep {
		return 0, unit.Errorf(ErrDomain, "%q; expected a few ppm", text)
	}
	return v, nil
}

// setOhm converts the values to the ohm since 1990. The sources of error stay what they are,
// so that two records still share them.
func (c *Calibration) setOhm() error {
	smaller, err := ohmSmaller(c.Ohm)
	if err != nil || smaller == 0 {
		return err
	}
	c.Ohm = OhmSince1990
	c.Values.Quantities = slices.Clone(c.Values.Quantities)
	for i, q := range c.Values.Quantities {
		// A smaller ohm gives larger numbers. The step says by how much the old ohm grew, so that
		// the old one is 1/(1 + step) of that of 1990.
		c.Values.Quantities[i] = q.Scale(1 / (1 + smaller)).Named(q.Name())
	}
	return nil
}
