// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// The boxes and meters of the trials: none of a maker, but with numbers as they are sold (common
// practice). A construction, a number of dials, the smallest step and a class make a box.
//
// Classes widen towards small steps, where contacts and wires are as large as what is trimmed: 5
// % of 0.01 Ω, 2 % of 0.1 Ω, 0.5 % of 1 Ω, 0.1 % of 10 Ω, then that of the box. The residual is
// 5 mΩ for posts and wires and 1.5 mΩ for each contact in the path at zero, ±25 %; a contact
// comes back to its mean with a standard deviation of 0.2 mΩ.

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.com/ohmwright/decade"
)

// Construction is how the dials of a box are built.
type Construction uint8

// The constructions.
const (
	Ladders    Construction = iota // tapped ladders, the 0 tap towards the first terminal
	WiperFirst                     // the wiper of each towards the first terminal
	Codes1225
	Codes1234
	Codes1242
	Codes1125
	SharedSwitches // two ranges on one switch with a common zero
	NumConstructions
)

// String returns the construction in words.
func (c Construction) String() string {
	return [...]string{"ladders", "ladders, wiper first", "code 1-2-2-5", "code 1-2-3-4",
		"code 1-2-4-2", "code 1-1-2-5", "two ranges on a switch", "?"}[min(c, NumConstructions)]
}

// Decades of steps between 0.01 Ω and 10 MΩ.
const (
	lowestStep  = -2
	highestStep = 7
)

// DrawBox draws a box of a construction with fewest to most dials of neighbouring steps, the
// largest first: the whole between 0.01 Ω and 10 MΩ. Classes widen towards small steps as is
// common practice. The class of the box is 0.02, 0.05 or 0.1 %.
func DrawBox(c Construction, rng *rand.Rand, fewest, most int) (*decade.Box, error) {
	n := fewest + rng.IntN(most-fewest+1)
	// The largest step is low + n − 1 and must not be above highestStep.
	low := lowestStep + rng.IntN(highestStep-lowestStep+2-n)
	return MakeBox(c, low, n, []float64{0.0002, 0.0005, 0.001}[rng.IntN(3)])
}

// MakeBox makes a box of a construction with n dials, the smallest step 10^low Ω, and a class
// from 100 Ω a step up. An error is that of package decade for a box that cannot be.
func MakeBox(c Construction, low, n int, class float64) (*decade.Box, error) {
	s := decade.Spec{Name: fmt.Sprintf("%v, %d dials from 1e%d Ω", c, n, low)}
	contacts := 0
	for i := n - 1; i >= 0; i-- {
		exponent := low + i
		d := decade.Decade{Step: decimalPower(exponent), Positions: 10, Tolerance: class}
		switch {
		case exponent <= -2:
			d.Tolerance = 0.05
		case exponent == -1:
			d.Tolerance = 0.02
		case exponent == 0:
			d.Tolerance = 0.005
		case exponent == 1:
			d.Tolerance = max(class, 0.001)
		}
		// A ladder closes one contact at zero, a code four of its elements.
		contacts++
		switch c {
		case WiperFirst:
			d.WiperFirst = true
		case Codes1225:
			d.Code = decade.Code1225()
		case Codes1234:
			d.Code = decade.Code1234()
		case Codes1242:
			d.Code = decade.Code1242()
		case Codes1125:
			d.Code = decade.Code1125()
		case SharedSwitches:
			d.Positions = 9
			// Dials in pairs from the largest; an odd one at the end stands by itself.
			if n%2 == 0 || i > 0 {
				d.Switch = fmt.Sprint("S", (n-1-i)/2)
			}
		}
		if !d.Tapped() {
			d.Positions = 0
			contacts += 3
		}
		s.Decades = append(s.Decades, d)
	}
	s.Residual = math.Round(5+1.5*float64(contacts)) / 1000
	s.ResidualTolerance = s.Residual / 4
	s.Contact = 0.0002
	return decade.New(s)
}

// decimalPower is 10^e, correctly rounded. Powers up to 10²² are exact in float64, and a
// quotient of exact numbers is rounded once.
func decimalPower(e int) float64 {
	if e < 0 {
		return 1 / math.Pow10(-e)
	}
	return math.Pow10(e)
}

// Meters lists three meters of no maker: 4½, 6½ and 7½ digits, four-wire. Their full scales
// stand beside the decades, so that no step of a box is as large as the part of a range that
// has one linearity: noise would have it on either side.
//
//	digits   of reading on the best range   of the decade       noise
//	4½       500 ppm                        2 digits of 1e-4    0.5 digit
//	6½       80 ppm                         20 ppm              1.5 digits of 1e-6
//	7½       8 ppm                          3 ppm               2 digits of 1e-7
func Meters() []Meter {
	return []Meter{
		digital("4½ digits", 2.1, []float64{100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8}, 1e-4,
			[]float64{1e-3, 5e-4, 5e-4, 5e-4, 1e-3, 3e-3, 2e-2}, 0, 2, 0.5),
		digital("6½ digits", 1.2, []float64{10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}, 1e-6,
			[]float64{1e-4, 8e-5, 8e-5, 8e-5, 8e-5, 1e-4, 4e-4, 8e-3, 2e-2}, 2e-5, 0, 1.5),
		digital("7½ digits", 1.2, []float64{10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9}, 1e-7,
			[]float64{1.5e-5, 1e-5, 8e-6, 8e-6, 8e-6, 1.5e-5, 5e-5, 5e-4, 5e-3}, 3e-6, 0, 2),
	}
}

// digital makes a meter: ranges named by their decade in ohms, which they reach by so many
// times; resolution as a fraction of the decade, limits of reading, one limit as a fraction of
// the decade or in digits, noise in digits. A full scale that is 1.2 or 2.1 times the decade,
// with limits stated of the decade, as they are sold.
func digital(name string, reach float64, decades []float64, digit float64, ofReading []float64,
	ofDecade, digits, noise float64) Meter {
	m := Meter{Name: name}
	for i, v := range decades {
		r := MeterRange{
			Name: rangeName(v), FullScale: reach * v, OverRange: 1, OfReading: ofReading[i],
			OfRange: ofDecade / reach, Digits: digits, Resolution: digit * v,
			Noise: noise * digit * v,
		}
		if v < 100 {
			r.OfRange *= 5 // the lowest range
		}
		m.Ranges = append(m.Ranges, r)
	}
	return m
}

func rangeName(ohms float64) string {
	switch {
	case ohms >= 1e9:
		return fmt.Sprintf("%g GΩ", ohms/1e9)
	case ohms >= 1e6:
		return fmt.Sprintf("%g MΩ", ohms/1e6)
	case ohms >= 1e3:
		return fmt.Sprintf("%g kΩ", ohms/1e3)
	}
	return fmt.Sprintf("%g Ω", ohms)
}
