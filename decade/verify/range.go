// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/uncertainty/unit"
)

// A range states up to nine figures, and people take them from data sheets in several forms. All
// are sums of three parts of a limit ±L at a reading R:
//
//	data sheet                          here
//	±(0.003 % + 8 ppm of range)         OfReading 3e-5, OfRange 8e-6
//	±(0.05 % + 2 digits), 0.1 Ω steps   OfReading 5e-4, Digits 2, Resolution 0.1
//	±(… + 1 ppm/K) outside 18–28 °C     OfReadingPerKelvin 1e-6, with the meter's band
//	99 % limits                         K 2.576
//
// At 100.02 Ω on a range of 1 kΩ the first is 3.0006 mΩ + 8 mΩ = 11.0006 mΩ. Of reading is of
// the absolute value, so that a reading just below zero is no better than one above. How the
// parts are split into sources is Combination's, and in metererror.go.

// Combination is the way in which the parts of the limits of a range combine in one error. Any
// number of goroutines may use one at once. With a of reading, b·V of range, the linearity e and
// z_g, z_0, z_c uncorrelated errors with the limit 1, all common to the readings R of the range:
type Combination uint8

const (
	// CombineOneLimit: z_g·a·R + z_0·√(b²V² − e²) + z_c·√(2ab·V·|R|) + e(R), so that u is
	// (a·R + b·V)/√3.
	CombineOneLimit Combination = iota
	// CombineTwoLimits: the same without z_c, two independent limits.
	CombineTwoLimits
	// CombineIndependent: ±(a·R + b·V) new in each reading, for single measurements of unknown
	// history.
	CombineIndependent
)

// String returns "one limit", "two limits" or "independent".
func (c Combination) String() string { return combinations.String(c) }

// Limits are limits of error ±(OfReading·|reading| + OfRange·full scale + Digits·resolution).
// Any number of goroutines may read one at once.
type Limits struct {
	OfReading float64 // fraction
	OfRange   float64 // fraction
	Digits    float64 // steps of the display, also called counts
}

// A Range is a range of a meter with its limits of error ±(OfReading·|reading| +
// OfRange·FullScale + Digits·Resolution). Any number of goroutines may read one at once.
type Range struct {
	Name      string  // "1 kΩ"
	FullScale float64 // Ω
	OverRange float64 // largest reading as a multiple of FullScale; 0: 1

	OfReading float64     // fraction
	OfRange   float64     // fraction; with Digits the range part
	Digits    float64     // steps of the display (counts): multiples of Resolution
	Combine   Combination // how the parts combine
	K         float64     // coverage factor of the limits; 0: none is stated (rectangular)

	// Linearity is the ± limit of the part of the range part that differs from value to
	// value, in Ω; 0: not stated, a quarter of the range part is assumed, see
	// [Range.LinearityLimit].
	Linearity  float64
	Noise      float64 // Ω, standard deviation of a value, unless repeats show more; 0: not stated
	Resolution float64 // Ω, step of the display

	Current float64 // A, test current; 0: not stated

	OfReadingPerKelvin float64 // 1/K, added for each kelvin outside the band
	OfRangePerKelvin   float64 // 1/K

	// Reference is the label of the internal reference; ranges of one label share the
	// gain error of the best of them. Empty: the range has its own.
	Reference string

	// ShortTerm is the part of the limits that is of one session, where it is stated apart:
	// the 24-hour figures beside those of a year. The rest is common to the sessions under
	// one certificate of the meter. Nil: half of each variance is assumed for either.
	ShortTerm *Limits

	Calibration *RangeCalibration // nil: none
}

// A RangeCalibration is what a certificate of the meter states about a range: its error at some
// readings. Between two of them the error is interpolated linearly; beyond the first and the last
// the range has its limits only.
//
// The certificate corrects the readings. On its day its uncertainty, with the linearity
// between the points, replaces the limits; at any other time, and for readings without a
// time, Stability is added, else the full limits. Any number of goroutines may read one at
// once.
type RangeCalibration struct {
	Date   time.Time // the day is what counts
	Points []CalibrationPoint
	// Independent: the errors of the points are independent. Otherwise one standard is
	// behind them all, and their error is common.
	Independent bool
	Stability   *Limits // since the certificate; nil: the limits of the range
}

// A CalibrationPoint is the error of a range at one reading, from a certificate of the meter. Any
// number of goroutines may read one at once.
type CalibrationPoint struct {
	Reading float64 // Ω, what the meter showed
	Error   float64 // Ω, reading less true value
	U       float64 // Ω, expanded uncertainty of Error
	K       float64 // coverage factor of U; 0: 2
}

// Reach returns the largest resistance that the range can show, in Ω.
func (r Range) Reach() float64 {
	if r.OverRange == 0 {
		return r.FullScale
	}
	// "1 kΩ with 20 % over-range" shows up to 1.2 kΩ; the range part b·V stays that of full scale.
	return r.FullScale * r.OverRange
}

// Limit returns the limit of error of a reading, in Ω: OfReading·|reading| +
// OfRange·FullScale + Digits·Resolution, with what the kelvins outside the temperature
// band add.
func (r Range) Limit(reading, outside float64) float64 {
	// The kelvins outside the band widen both parts (the maker's temperature coefficients).
	ofReading := r.OfReading + float64(r.OfReadingPerKelvin*outside)
	ofRange := r.OfRange + float64(r.OfRangePerKelvin*outside)
	limit := float64(ofReading*math.Abs(reading)) + float64(ofRange*r.FullScale)
	return limit + float64(r.Digits*r.Resolution)
}

// RangePart returns the part of the limit that does not depend on the reading, in Ω.
func (r Range) RangePart() float64 { return r.Limit(0, 0) }

// LinearityLimit returns the ± limit e of the linearity in Ω, and whether it is assumed. What
// is not stated is taken as a quarter of the range part (common practice: 5 to 25 %), at
// least the resolution and at most the range part. It is 0 where readings are independent.
func (r Range) LinearityLimit() (e float64, assumed bool) {
	part := r.RangePart()
	switch {
	case r.Combine == CombineIndependent:
		return 0, false
	case r.Linearity > 0:
		return r.Linearity, false
	}
	// A display cannot show a smaller difference than its step, so that no less can be claimed
	// for the linearity; more than the range part would leave a negative rest for the zero.
	return min(part, max(assumedLinearity*part, r.Resolution)), part > 0
}

const (
	// assumedLinearity is the share of the range part taken for the linearity (common practice:
	// 5 to 25 %), and leastLinearity the smallest that is met: a verdict that depends on it says
	// so. The larger of the two is assumed, since the linearity is what does not cancel between
	// two readings.
	assumedLinearity = 0.25
	leastLinearity   = 0.05
)

// String states the limits: "±(0.003 % of reading + 8 ppm of range), one limit".
func (r Range) String() string {
	s := r.limits().String()
	if r.K > 0 {
		s += fmt.Sprintf(", k = %g", r.K)
	}
	return s + ", " + r.Combine.String()
}

// limits is what the range states, without its temperature coefficients. Digits stay digits:
// only with the resolution of the range do they have ohms (rangePart).
func (r Range) limits() Limits { return Limits{r.OfReading, r.OfRange, r.Digits} }

// IsZero reports whether no limit is stated.
func (l Limits) IsZero() bool { return l == Limits{} }

// String states the limits: "±(0.003 % of reading + 8 ppm of range + 2 digits)".
func (l Limits) String() string {
	var parts []string
	if l.OfReading > 0 {
		parts = append(parts, unit.Format(l.OfReading, unit.Fraction)+" of reading")
	}
	if l.OfRange > 0 {
		parts = append(parts, unit.Format(l.OfRange, unit.Fraction)+" of range")
	}
	if l.Digits > 0 {
		parts = append(parts, digitsText(l.Digits))
	}
	switch len(parts) {
	case 0:
		return "no limit"
	case 1:
		return "±" + parts[0]
	}
	return "±(" + strings.Join(parts, " + ") + ")"
}

// digitsText writes a number of digits, which data sheets give in halves as well: "1 digit",
// "0.5 digits".
func digitsText(n float64) string {
	if n == 1 {
		return "1 digit"
	}
	return strconv.FormatFloat(n, 'f', -1, 64) + " digits"
}

// divisor turns a limit into a standard uncertainty: √3 of a rectangle, or K where the maker
// states the coverage (GUM 4.3.3). It is 1.73 for limits without a word, 2.576 for normal ones
// of 99 %.
func (r Range) divisor() float64 {
	if r.K == 0 {
		// GUM 4.3.7: the standard uncertainty of a rectangle is its half-width over √3.
		return math.Sqrt(3)
	}
	return r.K
}
