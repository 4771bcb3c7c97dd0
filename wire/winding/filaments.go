// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// Filaments are two straight parallel filaments of which the middles lie opposite each
// other.
type Filaments struct {
	Length1, Length2 float64 // m
	Distance         float64 // m
}

// MutualInductance returns the mutual inductance in henries of the two filaments, for
// currents of one direction:
//
//	M = (µ0/2π) [F((l+m)/2) − F((l−m)/2)],  F(x) = x arsinh(x/d) − √(x² + d²)
//
// for lengths l and m at the distance d (Rosa 1908; Grover, Inductance calculations,
// ch. 5 and 6).
func (f Filaments) MutualInductance() (float64, error) {
	const op = "winding.Filaments.MutualInductance"
	if err := positive(op, arg{"Length1", f.Length1, "m"}, arg{"Length2", f.Length2, "m"},
		arg{"Distance", f.Distance, "m"}); err != nil {
		return 0, err
	}
	return result(op, "mutual inductance", MagneticConstant*filaments(f.Length1, f.Length2,
		f.Distance))
}

// filaments is M/µ0, in metres.
func filaments(l, m, d float64) float64 {
	// The integral of arsinh(x/d), of which the double integral of Neumann's formula is made.
	f := func(x float64) float64 {
		return float64(x*elementary.Asinh(x/d)) - elementary.Hypot(x, d)
	}
	return (f((l+m)/2) - f((l-m)/2)) / (2 * math.Pi)
}

// A rectangle is one rectangular turn, between the middles of the wire.
type rectangle struct{ breadth, thickness float64 }

// rectangles is M/µ0 of two coaxial rectangles with parallel sides, in planes d apart:
// each side with the parallel ones of the other turn, near and far.
func rectangles(p, q rectangle, d float64) float64 {
	// Sides that run the same way add, those that run the other way subtract.
	side := func(l, m, across1, across2 float64) float64 {
		near, far := elementary.Hypot((across1-across2)/2,
			d), elementary.Hypot((across1+across2)/2, d)
		return 2 * (filaments(l, m, near) - filaments(l, m, far))
	}
	return side(p.breadth, q.breadth, p.thickness, q.thickness) +
		side(p.thickness, q.thickness, p.breadth, q.breadth)
}

// raised is the turn that lies higher on the former all round.
func (p rectangle) raised(by float64) rectangle {
	return rectangle{p.breadth + 2*by, p.thickness + 2*by}
}
