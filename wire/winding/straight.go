// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/wire/internal/quantity"
)

// The argument internal of the functions below is µr T(x): the relative
// permeability of the wire times [InternalInductanceRatio].
const (
	// LowFrequency is internal for a non-magnetic wire whose current fills it
	// evenly.
	LowFrequency = 1.0
	// HighFrequency is internal for a current that flows in the skin only.
	HighFrequency = 0.0
)

// StraightInductance returns the inductance in henries of a straight round
// wire,
//
//	L = (µ0 l/2π)[ln(2l/r) − 1 + internal/4],  r = d/2
//
// (Rosa, Bulletin of the Bureau of Standards 4, 1908, p. 301), with length and
// diameter in metres, the length at least the diameter. A wire alone has no
// inductance that can be measured: this is its share in a circuit whose other
// parts are far away.
func StraightInductance(length, diameter, internal float64) (float64, error) {
	const op = "winding.StraightInductance"
	if err := checkWires(op, internal, arg{"length", length, "m"},
		arg{"diameter", diameter, "m"}); err != nil {
		return 0, err
	}
	// Shorter than it is thick, a wire is no filament.
	if length < diameter {
		return 0, domain(op, arg{"length", length, ""}, "expected the diameter at least")
	}
	return result(op, "inductance",
		MagneticConstant*length/(2*math.Pi)*(elementary.Log(4*length/diameter)-1+internal/4))
}

// StraightInductanceOf is [StraightInductance] of quantities.
func StraightInductanceOf(length, diameter, internal uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "straight wire inductance", Unit: "H", Units: []string{"m", "m", ""},
		Of: func(x []float64) (float64, error) { return StraightInductance(x[0], x[1], x[2]) },
		Change: func(d, x []float64) {
			const c = MagneticConstant / (2 * math.Pi)
			// d/dl of l·(ln(4l/d) − 1 + …): the −1 cancels.
			d[0] = c * (elementary.Log(4*x[0]/x[1]) + x[2]/4)
			d[1] = -c * x[0] / x[1]
			d[2] = c * x[0] / 4
		},
	}, length, diameter, internal)
}

// checkWires checks lengths and the internal factor.
func checkWires(op string, internal float64, lengths ...arg) error {
	if err := positive(op, lengths...); err != nil {
		return err
	}
	return notNegative(op, arg{"internal", internal, ""})
}

// PairInductancePerMetre returns the inductance in H/m of a long pair of
// parallel round wires that carry a current there and back, for spacing
// between centres and wire diameter in metres:
//
//	L/l = (µ0/π)[ln(D/r) + internal/4]
//
// It is the value for current evenly spread (or evenly round the skin): exact
// at low frequency.
func PairInductancePerMetre(spacing, diameter, internal float64) (float64, error) {
	const op = "winding.PairInductancePerMetre"
	if err := checkPair(op, internal, spacing, diameter); err != nil {
		return 0, err
	}
	return result(op, "inductance per metre",
		MagneticConstant/math.Pi*(elementary.Log(2*spacing/diameter)+internal/4))
}

// checkPair refuses what is no pair of wires.
func checkPair(op string, internal, spacing, diameter float64) error {
	if err := checkWires(op, internal, arg{"spacing", spacing, "m"},
		arg{"diameter", diameter, "m"}); err != nil {
		return err
	}
	if spacing < diameter {
		return domain(op, arg{"spacing", spacing, ""},
			"expected the wire diameter at least, between centres")
	}
	return nil
}

// ClosePairInductancePerMetre returns the inductance in H/m of a long pair at
// high frequency, with the current crowded to the near sides:
//
//	L/l = (µ0/π) arcosh(D/d)
func ClosePairInductancePerMetre(spacing, diameter float64) (float64, error) {
	const op = "winding.ClosePairInductancePerMetre"
	if err := checkPair(op, 0, spacing, diameter); err != nil {
		return 0, err
	}
	return result(op, "inductance per metre",
		MagneticConstant/math.Pi*elementary.Acosh(spacing/diameter))
}

// A Pair is two parallel round wires that carry a current there and back; lengths in
// metres.
type Pair struct {
	Length   float64 // of either wire
	Spacing  float64 // between the middles of the wires
	Diameter float64 // of the bare wire
	Internal float64 // of the inductance inside the wire: LowFrequency, HighFrequency or between
}

// PairOf is [Pair] of quantities.
type PairOf struct{ Length, Spacing, Diameter, Internal uncertainty.Quantity }

// Inductance returns the inductance in henries of a pair of parallel wires
// of finite length, there and back, without the end pieces: twice the partial
// self-inductance less the mutual one,
//
//	L = 2(Lp − M)
//	M  = (µ0 l/2π)[arsinh(l/D) − √(1 + D²/l²) + D/l]
//	Lp = (µ0 l/2π)[arsinh(l/r) − √(1 + r²/l²) + r/l + internal/4]
//
// (Rosa 1908). It is the inductance of a bifilar winding, with l half of the
// wire's length, as far as turns that lie farther off than the two wires of
// the pair do not matter.
func (p Pair) Inductance() (float64, error) {
	const op = "winding.Pair.Inductance"
	length, spacing, diameter, internal := p.Length, p.Spacing, p.Diameter, p.Internal
	if err := checkPairOfLength(op, internal, length, spacing, diameter); err != nil {
		return 0, err
	}
	// The two values of arsinh are nearly equal for a long pair; what is left
	// of them is ln(D/r) and the ratio of 1 + √(1+…).
	u, v := spacing/length, diameter/(2*length)
	hu, hv := math.Sqrt(1+float64(u*u)), math.Sqrt(1+float64(v*v))
	logs := elementary.Log(2*spacing/diameter) + elementary.Log((1+hv)/(1+hu))
	return result(op, "inductance", MagneticConstant*length/math.Pi*(logs+(hu-hv)-(u-v)+internal/4))
}

// Inductance is [Pair.Inductance] of quantities.
func (p PairOf) Inductance() uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "pair inductance", Unit: "H", Units: []string{"m", "m", "m", ""},
		Of: func(x []float64) (float64, error) { return Pair{x[0], x[1], x[2], x[3]}.Inductance() },
		Change: func(d, x []float64) {
			l, u, v := x[0], x[1]/x[0], x[2]/(2*x[0])
			hu, hv := math.Sqrt(1+float64(u*u)), math.Sqrt(1+float64(v*v))
			bracket := elementary.Log(2*x[1]/x[2]) + elementary.Log((1+hv)/(1+hu)) + (hu - hv) -
				(u - v) + x[3]/4
			// The derivatives of (hu − u) and (hv − v) with their logarithms, by u and by v.
			du, dv := u/(1+hu)-1, 1-v/(1+hv)
			const c = MagneticConstant / math.Pi
			d[0] = c * (bracket - float64(u*du) - float64(v*dv))
			d[1] = c * (l/x[1] + du)
			d[2] = c * (dv/2 - l/x[2])
			d[3] = c * l / 4
		},
	}, p.Length, p.Spacing, p.Diameter, p.Internal)
}

// checkPairOfLength refuses what is no pair of a finite length.
func checkPairOfLength(op string, internal, length, spacing, diameter float64) error {
	if err := positive(op, arg{"length", length, "m"}); err != nil {
		return err
	}
	if err := checkPair(op, internal, spacing, diameter); err != nil {
		return err
	}
	// Nearer to a square than to a pair.
	if length < spacing {
		return domain(op, arg{"length", length, ""}, "expected the spacing at least")
	}
	return nil
}

// HandbookInductance returns [Pair.Inductance] by the handbook form of NBS
// Circular 74, which drops r/l and the square of D/l:
//
//	L = (µ0 l/π)[ln(D/r) − D/l + internal/4]
//
// It is lower by about (µ0/π)(r + D²/4l): by 0.03 % for 1 mm wires 2 mm apart
// and 1 m long.
func (p Pair) HandbookInductance() (float64, error) {
	const op = "winding.Pair.HandbookInductance"
	length, spacing, diameter, internal := p.Length, p.Spacing, p.Diameter, p.Internal
	if err := checkPairOfLength(op, internal, length, spacing, diameter); err != nil {
		return 0, err
	}
	return result(op, "inductance",
		MagneticConstant*length/math.Pi*
			(elementary.Log(2*spacing/diameter)-spacing/length+internal/4))
}

// Capacitance returns the capacitance in farads between the two wires in a medium of
// relative permittivity εr that fills the space,
//
//	C = π ε0 εr l/arcosh(D/d)
//
// with lengths in metres. For enamel on a former take εr between 1 and that of
// the enamel (3 to 4, common practice), and trust a measurement more.
func (p Pair) Capacitance(permittivity float64) (float64, error) {
	const op = "winding.Pair.Capacitance"
	length, spacing, diameter := p.Length, p.Spacing, p.Diameter
	if err := positive(op, arg{"length", length, "m"}, arg{"permittivity", permittivity,
		""}); err != nil {
		return 0, err
	}
	if err := checkPair(op, 0, spacing, diameter); err != nil {
		return 0, err
	}
	// arcosh(1) is 0: wires that touch have no finite capacitance.
	if spacing == diameter {
		return 0, domain(op, arg{"spacing", spacing, ""},
			"expected more than the wire diameter: the wires touch")
	}
	return result(op, "capacitance",
		math.Pi*ElectricConstant*permittivity*length/elementary.Acosh(spacing/diameter))
}

// Capacitance is [Pair.Capacitance] of quantities.
func (p PairOf) Capacitance(permittivity uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "pair capacitance", Unit: "F", Units: []string{"m", "m", "m", ""},
		Of: func(x []float64) (float64, error) {
			return Pair{Length: x[0], Spacing: x[1], Diameter: x[2]}.Capacitance(x[3])
		},
		Change: func(d, x []float64) {
			ratio := x[1] / x[2]
			arc := elementary.Acosh(ratio)
			c := math.Pi * ElectricConstant * x[3] * x[0] / arc
			// d arcosh(x)/dx = 1/√(x² − 1), as a product that does not cancel near 1.
			slope := -c / arc / math.Sqrt((ratio-1)*(ratio+1)) // by the ratio
			d[0], d[3] = c/x[0], c/x[3]
			d[1], d[2] = slope/x[2], -slope*ratio/x[2]
		},
	}, p.Length, p.Spacing, p.Diameter, permittivity)
}
