// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"fmt"
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/elementary"
)

// The ends of the British gauge: 7/0 is number −6.
const thickestSWG, finestSWG = -6, 50

// legalTenthMils are the diameters of the British legal Standard Wire Gauge,
// 7/0 to 50, in tenths of a mil: Order in Council of 23 August 1883, in force
// 1 March 1884 (BS 3737:1964).
var legalTenthMils = [...]int{
	5000, 4640, 4320, 4000, 3720, 3480, 3240, // 7/0 … 2/0, 0
	3000, 2760, 2520, 2320, 2120, 1920, 1760, 1600, 1440, 1280, // 1 … 10
	1160, 1040, 920, 800, 720, 640, 560, 480, 400, 360, // 11 … 20
	320, 280, 240, 220, 200, 180, 164, 148, 136, 124, // 21 … 30
	116, 108, 100, 92, 84, 76, 68, 60, 52, 48, // 31 … 40
	44, 40, 36, 32, 28, 24, 20, 16, 12, 10, // 41 … 50
}

// r20 is one decade of the preferred numbers R 20 of ISO 3, downwards.
var r20 = [...]int{
	1000, 900, 800, 710, 630, 560, 500, 450, 400, 355,
	315, 280, 250, 224, 200, 180, 160, 140, 125, 112,
}

// finestPreferred is the step of 0.0200 mm, counted from 5.00 mm.
const finestPreferred = 48

// preferred returns the preferred metric diameter that lies n steps below 5
// mm.
func preferred(n int) (Gauge, error) {
	i := n + 6 // 5.00 mm is the sixth step below 10 mm
	text := fmt.Sprintf("%de-%d", r20[i%len(r20)], 5+i/len(r20))
	d, err := strconv.ParseFloat(text, 64) // the float64 nearest to the decimal size
	if err != nil {
		return Gauge{}, err
	}
	return Metric(d)
}

// Nearest returns the size of system s whose diameter is nearest to d metres.
// Nearness is the ratio of diameters, so nearest by diameter is also nearest
// by area and by resistance; of two equally near sizes it is the thicker. A
// diameter more than 6 % beyond the ends of the system is refused.
func Nearest(s System, d float64) (Gauge, error) {
	return nearest("wire.Nearest", "diameter", s, d, d)
}

// NearestArea returns the size of system s whose cross-section is nearest to a
// square metres; see [Nearest].
func NearestArea(s System, a float64) (Gauge, error) {
	return nearest("wire.NearestArea", "area", s, math.Sqrt(a/(math.Pi/4)), a)
}

// nearest finds the size; given is the argument as it was, for errors.
func nearest(op, name string, s System, d, given float64) (Gauge, error) {
	if err := positive(op, name, given, "m or m²"); err != nil {
		return Gauge{}, err
	}
	best, distance := Gauge{}, math.Inf(1)
	for g := range Gauges(s) {
		// By ratio: the same distance up and down in diameter, section and resistance. The
		// thicker one comes first and stays where two are equally near.
		if x := math.Abs(elementary.Log(g.diameter / d)); x < distance {
			best, distance = g, x
		}
	}
	if !best.IsValid() {
		return Gauge{}, refuse(op, "system", float64(s), ErrDomain,
			"expected American, AmericanRounded, Imperial or MetricSizes")
	}
	// Between two sizes any distance is right; beyond the ends it is another wire.
	if distance > beyond && isEnd(s, best) {
		return Gauge{}, refuse(op, name, given, ErrNoGauge,
			fmt.Sprintf("expected a size of the system; the nearest is %v, %.3g m thick", best,
				best.diameter))
	}
	return best, nil
}

// beyond is half of the usual step between sizes, ln(1.12)/2, rounded up.
const beyond = 0.06

// isEnd reports whether g is the thickest or the finest size of a system.
func isEnd(s System, g Gauge) bool {
	var first, last Gauge
	for h := range Gauges(s) {
		if !first.IsValid() {
			first = h
		}
		last = h
	}
	return g == first || g == last
}
