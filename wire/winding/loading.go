// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/internal/quantity"
)

// StillAir is a coefficient of heat transfer in W/(m²·K) for
// [TemperatureRise]: the outside of a small body near room temperature in
// still air, convection and radiation together (common practice, good to a
// third or so). Thin free wires give off several times as much for their
// surface; enclosed windings far less.
const StillAir = 10

// TemperatureRise returns the rise in kelvin of a surface over its
// surroundings,
//
//	ΔT = P/(h A)
//
// for a power in watts, a surface in m² and a coefficient of heat transfer in
// W/(m²·K), [StillAir] for a first guess. The inside of a winding is hotter.
//
// Caution: an estimate for planning. Measure the rise before trusting it, and
// remember that neighbours in a closed case heat each other.
func TemperatureRise(power, surface, transfer float64) (float64, error) {
	const op = "winding.TemperatureRise"
	if err := notNegative(op, arg{"power", power, "W"}); err != nil {
		return 0, err
	}
	if err := positive(op, arg{"surface", surface, "m²"},
		arg{"transfer", transfer, "W/(m²·K)"}); err != nil {
		return 0, err
	}
	return result(op, "rise", power/surface/transfer)
}

// TemperatureRiseOf is [TemperatureRise] of quantities.
func TemperatureRiseOf(power, surface, transfer uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "temperature rise", Unit: "K", Units: []string{"W", "m²", ""},
		Of: func(x []float64) (float64, error) { return TemperatureRise(x[0], x[1], x[2]) },
		Change: func(d, x []float64) {
			d[0] = 1 / x[1] / x[2]
			rise := x[0] * d[0]
			// Each factor changes the quotient in inverse proportion.
			d[1], d[2] = -rise/x[1], -rise/x[2]
		},
	}, power, surface, transfer)
}

// PowerForRise returns the power in watts at which a surface in m² is warmer than its
// surroundings by rise kelvins, with a coefficient of heat transfer in W/(m²·K). It inverts
// [TemperatureRise] and has its cautions.
func PowerForRise(rise, surface, transfer float64) (float64, error) {
	const op = "winding.PowerForRise"
	if err := positive(op, arg{"rise", rise, "K"}, arg{"surface", surface, "m²"},
		arg{"transfer", transfer, "W/(m²·K)"}); err != nil {
		return 0, err
	}
	return result(op, "power", rise*surface*transfer)
}

// Loading returns the power for each square metre of surface, in W/m².
func Loading(power, surface float64) (float64, error) {
	const op = "winding.Loading"
	if err := notNegative(op, arg{"power", power, "W"}); err != nil {
		return 0, err
	}
	if err := positive(op, arg{"surface", surface, "m²"}); err != nil {
		return 0, err
	}
	return result(op, "loading", power/surface)
}

// MaxCurrent returns the current in amperes at which a resistance in ohms
// dissipates a power in watts, √(P/R). It is a safe current only as far as the
// power is a safe power for that resistor where it is mounted: the power comes
// from its maker's rating, derated for the surroundings, or from
// [PowerForRise] and a measured rise.
func MaxCurrent(power, ohms float64) (float64, error) {
	const op = "winding.MaxCurrent"
	if err := positive(op, arg{"power", power, "W"}, arg{"resistance", ohms, "Ω"}); err != nil {
		return 0, err
	}
	return result(op, "current", math.Sqrt(power/ohms))
}

// MaxCurrentOf is [MaxCurrent] of quantities.
func MaxCurrentOf(power, ohms uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "maximum current", Unit: "A", Units: []string{"W", "Ω"},
		Of: func(x []float64) (float64, error) { return MaxCurrent(x[0], x[1]) },
		Change: func(d, x []float64) {
			// I = √(P/R), so dI/I = ½·dP/P − ½·dR/R.
			i := math.Sqrt(x[0] / x[1])
			d[0], d[1] = i/(2*x[0]), -i/(2*x[1])
		},
	}, power, ohms)
}

// Surface returns the outer surface in m² of a lay on its former, the ends
// left out: the surface for [TemperatureRise] of a winding in the open.
func (f Former) Surface(l Lay) (float64, error) {
	const op = "winding.Former.Surface"
	if err := positive(op, arg{"Perimeter", f.Perimeter(), "m"},
		arg{"Width", l.Width, "m"}); err != nil {
		return 0, err
	}
	if err := notNegative(op, arg{"Build", l.Build, "m"}); err != nil {
		return 0, err
	}
	// The surface above the winding: one build higher on all sides.
	return result(op, "surface", (f.Perimeter()+2*math.Pi*l.Build)*l.Width)
}
