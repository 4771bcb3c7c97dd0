// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"iter"
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// System is a series of wire sizes.
type System uint8

// The gauge systems. The zero System is none.
const (
	_ System = iota
	// American is the American Wire Gauge, also called Brown & Sharpe, by its
	// exact geometric definition, unrounded.
	American
	// AmericanRounded is the American Wire Gauge with the diameters of ASTM
	// B258: rounded to 0.1 mil down to 44 AWG and to 0.01 mil from 45 AWG on.
	// Wire tables made since NBS Handbook 100 (1966) rest on it, older ones on
	// American; they differ by up to 3 % in resistance among the fine sizes.
	AmericanRounded
	// Imperial is the British legal Standard Wire Gauge of 1883.
	Imperial
	// MetricSizes are sizes named by their diameter; [Gauges] walks the
	// preferred ones.
	MetricSizes
)

const (
	mil = 25.4e-6 // metre, exact: 0.001 inch

	// Sizes that the American gauge is offered for. ASTM B258 lists 0000 to
	// 56; the definition is continued by two sizes upwards and four downwards.
	thickestAWG, finestAWG = -5, 60
	lastTenthMil           = 44
)

// Gauge is one wire size: a solid round wire of a stated bare diameter. It is
// a small comparable value. The zero Gauge is not a wire: [Gauge.IsValid] reports
// false and every computation with it is an error.
type Gauge struct {
	system   System
	number   int
	diameter float64
}

// AWG returns size n of the American Wire Gauge by its definition,
//
//	d = 0.127 mm × 92^((36−n)/39)
//
// with 0, 00, 000, 0000 written as n = 0, −1, −2, −3: 0000 is 0.4600 inch, 36
// is 0.0050 inch, and 38 sizes lie between them in geometric progression (NBS
// Handbook 100, section 2.2; ASTM B258). n runs from −5 (6/0) to 60.
func AWG(n int) (Gauge, error) {
	if n < thickestAWG || n > finestAWG {
		return Gauge{}, noGauge("wire.AWG", n, "expected -5 (6/0 AWG) to 60")
	}
	return Gauge{American, n, diameterAWG(n)}, nil
}

// RoundedAWG returns size n of the American Wire Gauge with the rounded
// nominal diameter of ASTM B258: to 0.1 mil for 44 AWG and thicker, to 0.01
// mil for finer sizes. See [AmericanRounded].
func RoundedAWG(n int) (Gauge, error) {
	if n < thickestAWG || n > finestAWG {
		return Gauge{}, noGauge("wire.RoundedAWG", n, "expected -5 (6/0 AWG) to 60")
	}
	// ASTM B258: 0.1 mil down to 44 AWG, 0.01 mil below.
	steps := 10.0 // of a mil
	if n > lastTenthMil {
		steps = 100
	}
	d := math.Round(diameterAWG(n)/mil*steps) / steps
	return Gauge{AmericanRounded, n, d * mil}, nil
}

// diameterAWG is the geometric series of [AWG] (NBS Handbook 100, 2.2).
func diameterAWG(n int) float64 {
	// 0.127 mm is 0.005 inch, the 36 of the series; 92 is the ratio of its two ends.
	return 0.127e-3 * elementary.Pow(92, float64(36-n)/39)
}

// SWG returns size n of the British legal Standard Wire Gauge, with 2/0 … 7/0
// written as n = −1 … −6. n runs from −6 to 50. No formula makes the list; the
// table in this package is that of the Order in Council of 23 August 1883 (BS
// 3737:1964).
func SWG(n int) (Gauge, error) {
	if n < thickestSWG || n > finestSWG {
		// The table begins at 7/0, which is number −6.
		return Gauge{}, noGauge("wire.SWG", n, "expected -6 (7/0 SWG) to 50")
	}
	return Gauge{Imperial, n, float64(legalTenthMils[n-thickestSWG]) / 10 * mil}, nil
}

// Metric returns the wire of diameter d metres. Any diameter from 1e-9 m to 0.06 m, that of the
// thickest conductors of cables, is a size, preferred or not.
func Metric(d float64) (Gauge, error) {
	if err := positive("wire.Metric", "diameter", d, "m"); err != nil {
		return Gauge{}, err
	}
	// 0.2 is millimetres in nearly every case, and 200 micrometres.
	if d < thinnest || d > thickest {
		return Gauge{}, refuse("wire.Metric", "diameter", d, ErrDomain,
			"expected 1e-9 m to 0.06 m; is it in millimetres?")
	}
	return Gauge{system: MetricSizes, diameter: d}, nil
}

// thinnest is below any drawn wire; it keeps areas far from underflow.
const thinnest = 1e-9

// thickest is above the 2500 mm² of IEC 60228, 56 mm in diameter.
const thickest = 0.06

// noGauge is the refusal of a number that the system does not have.
func noGauge(op string, n int, want string) error {
	return refuse(op, "n", float64(n), ErrNoGauge, want)
}

// IsValid reports whether g is a wire size; the zero Gauge is not.
func (g Gauge) IsValid() bool { return g.diameter > 0 }

// System returns the series that g belongs to.
func (g Gauge) System() System { return g.system }

// Number returns the gauge number, 0 for a metric size; see [AWG] and [SWG]
// for the sizes thicker than 0.
func (g Gauge) Number() int { return g.number }

// Diameter returns the bare diameter in metres.
func (g Gauge) Diameter() float64 { return g.diameter }

// Area returns the cross-section in square metres, π d²/4.
func (g Gauge) Area() float64 { return math.Pi / 4 * g.diameter * g.diameter }

// CircularMils returns the cross-section in circular mils, the square of the
// diameter in mils (1 mil = 0.001 inch = 25.4 µm exactly).
func (g Gauge) CircularMils() float64 {
	d := g.diameter / mil
	return d * d
}

// Compare orders wires by diameter, thinner first: −1, 0 or +1.
func (g Gauge) Compare(h Gauge) int {
	switch {
	case g.diameter < h.diameter:
		return -1
	case g.diameter > h.diameter:
		return +1
	}
	return 0
}

// Gauges returns the sizes of a system, from the thickest to the finest. The
// metric ones are the preferred diameters 5.00 mm to 0.0200 mm of the series R
// 20 of ISO 3, the series that IEC 60317 takes for winding wire (both from
// memory). An unknown system has no sizes.
func Gauges(s System) iter.Seq[Gauge] {
	return func(yield func(Gauge) bool) {
		switch s {
		case American:
			walk(thickestAWG, finestAWG, AWG, yield)
		case AmericanRounded:
			walk(thickestAWG, finestAWG, RoundedAWG, yield)
		case Imperial:
			walk(thickestSWG, finestSWG, SWG, yield)
		case MetricSizes:
			walk(0, finestPreferred, preferred, yield)
		}
	}
}

// walk yields the sizes of numbers first to last.
func walk(first, last int, size func(int) (Gauge, error), yield func(Gauge) bool) {
	for n := first; n <= last; n++ {
		g, err := size(n)
		if err != nil || !yield(g) {
			return
		}
	}
}
