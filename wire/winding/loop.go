// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/wire/internal/quantity"
)

// LoopInductance returns the inductance in henries of one circular turn of
// round wire, with mean radius a of the turn and wire diameter in metres:
//
//	L = µ0 a [ln(8a/r) − 2 + internal/4],  r = d/2
//
// (NBS Circular 74), good where the wire is thin: at r = a/10 it is 0.2 % low.
// See [LoopInductanceRefined].
func LoopInductance(radius, diameter, internal float64) (float64, error) {
	const op = "winding.LoopInductance"
	if err := checkLoop(op, internal, radius, diameter); err != nil {
		return 0, err
	}
	return result(op, "inductance",
		MagneticConstant*radius*(elementary.Log(16*radius/diameter)-2+internal/4))
}

// LoopInductanceOf is [LoopInductance] of quantities.
func LoopInductanceOf(radius, diameter, internal uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "loop inductance", Unit: "H", Units: []string{"m", "m", ""},
		Of: func(x []float64) (float64, error) { return LoopInductance(x[0], x[1], x[2]) },
		Change: func(d, x []float64) {
			bracket := elementary.Log(16*x[0]/x[1]) - 2 + x[2]/4
			d[0] = MagneticConstant * (bracket + 1)
			// d/da of a·(ln(16a/d) − 2 + …) has 1 more than the bracket.
			d[1] = -MagneticConstant * x[0] / x[1]
			d[2] = MagneticConstant * x[0] / 4
		},
	}, radius, diameter, internal)
}

// checkLoop refuses what is no turn of a wire.
func checkLoop(op string, internal, radius, diameter float64) error {
	if err := checkWires(op, internal, arg{"radius", radius, "m"},
		arg{"diameter", diameter, "m"}); err != nil {
		return err
	}
	// A wire thicker than that leaves no hole, and the formula no meaning.
	if diameter > radius {
		return domain(op, arg{"diameter", diameter, ""}, "expected the radius of the turn at most")
	}
	return nil
}

// LoopInductanceRefined returns [LoopInductance] at low frequency with the
// next terms in the thickness of the wire (Rosa and Grover 1912):
//
//	L = µ0 a [(1 + r²/8a²) ln(8a/r) + r²/24a² − 7/4]
func LoopInductanceRefined(radius, diameter float64) (float64, error) {
	const op = "winding.LoopInductanceRefined"
	if err := checkLoop(op, LowFrequency, radius, diameter); err != nil {
		return 0, err
	}
	// y is (r/a)².
	y := diameter / (2 * radius)
	y *= y
	return result(op, "inductance",
		MagneticConstant*radius*(float64((1+y/8)*elementary.Log(16*radius/diameter))+y/24-1.75))
}

// A Rectangle is one rectangular turn of round wire with sides A and B between the
// middles of the wires, in metres; a hairpin is one with B small.
type Rectangle struct {
	A, B     float64
	Diameter float64 // of the bare wire, m
	Internal float64 // of the inductance inside the wire: LowFrequency, HighFrequency or between
}

// RectangleOf is [Rectangle] of quantities.
type RectangleOf struct{ A, B, Diameter, Internal uncertainty.Quantity }

// Inductance returns the inductance in henries of the turn:
//
//	L = (µ0/π)[a ln(2ab/(r(a+g))) + b ln(2ab/(r(b+g))) + 2(g+r) − 2(a+b) + (a+b) internal/4]
//
// with the diagonal g = √(a²+b²) and r = d/2 (Rosa 1908; NBS Circular 74).
func (r Rectangle) Inductance() (float64, error) {
	return rectangleInductance(r.A, r.B, r.Diameter, r.Internal)
}

// rectangleInductance is [Rectangle.Inductance] of bare numbers.
func rectangleInductance(a, b, diameter, internal float64) (float64, error) {
	const op = "winding.Rectangle.Inductance"
	if err := checkWires(op, internal, arg{"a", a, "m"}, arg{"b", b, "m"},
		arg{"diameter", diameter, "m"}); err != nil {
		return 0, err
	}
	if diameter > min(a, b) {
		return 0, domain(op, arg{"diameter", diameter, ""}, "expected the shorter side at most")
	}
	r, g := diameter/2, elementary.Hypot(a, b)
	// g − a − b = −2ab/(g + a + b), without cancellation for a hairpin
	sides := float64(a*elementary.Log(2*b/r*(a/(a+g)))) + float64(b*elementary.Log(2*a/r*(b/(b+g))))
	return result(op, "inductance",
		MagneticConstant/math.Pi*(sides-float64(4*a*(b/(g+a+b)))+2*r+float64((a+b)*internal/4)))
}

// Inductance is [Rectangle.Inductance] of quantities.
func (q RectangleOf) Inductance() uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "rectangle inductance", Unit: "H", Units: []string{"m", "m", "m", ""},
		Of: func(x []float64) (float64, error) {
			return rectangleInductance(x[0], x[1], x[2], x[3])
		},
		Change: func(d, x []float64) {
			a, b, r, g := x[0], x[1], x[2]/2, elementary.Hypot(x[0], x[1])
			side := func(a, b float64) float64 {
				return elementary.Log(2*b/r*(a/(a+g))) - 1 + g/a + x[3]/4
			}
			// By the symmetry of a and b one function serves both sides.
			const c = MagneticConstant / math.Pi
			d[0], d[1] = c*side(a, b), c*side(b, a)
			d[2] = c * (1 - (a+b)/x[2])
			d[3] = c * (a + b) / 4
		},
	}, q.A, q.B, q.Diameter, q.Internal)
}
