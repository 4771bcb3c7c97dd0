// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire"
)

// The twins of a spool state the units of their results, also where what they are given
// is exact.
func TestUnitsOfResults(t *testing.T) {
	exact := uncertainty.Exact
	stated := &wire.Spool{
		Name: "spool",
		Resistivity: uncertainty.Source{Name: "rho", Unit: "Ω·m",
			Distribution: uncertainty.Normal(4.9e-7, 1e-9)}.Input(),
		Diameter: uncertainty.Source{Name: "d", Unit: "m", Distribution: uncertainty.Normal(2e-4, 1e-6)}.Input(),
	}
	bare := &wire.Spool{Name: "spool",
		Resistivity: uncertainty.Input("rho", uncertainty.Normal(4.9e-7, 1e-9)),
		Diameter:    exact(2e-4)}
	for _, s := range []*wire.Spool{stated, bare} {
		for _, c := range []struct {
			name string
			q    uncertainty.Quantity
			unit string
		}{
			{"PerMetreOf", s.PerMetreOf(exact(20)), "Ω/m"},
			{"LengthOf", s.LengthOf(exact(100), exact(20)), "m"},
			{"ResistanceOf", s.ResistanceOf(exact(6.4), exact(20)), "Ω"},
		} {
			b, err := uncertainty.Evaluate(c.q)
			if err != nil || b.Unit != c.unit {
				t.Errorf("%s: %+v, error %v; want the unit %s", c.name, b, err, c.unit)
			}
		}
	}
}
