// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func TestFormatConcise(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		x, u   float64
		digits int
		want   string
	}{
		{10000.1780008, 0.008328, 2, "10000.1780(83)"},
		{10000.1780008, 0.008328, 1, "10000.178(8)"},
		{-10000.1780008, 0.008328, 2, "-10000.1780(83)"},
		{127.7322, 1.2, 2, "127.7(1.2)"},
		{127.7322, 1.2, 3, "127.73(1.20)"},
		{127.7322, 1.2, 1, "128(1)"},
		{1234.6, 12.3, 2, "1235(12)"},
		{1234.6, 12.3, 3, "1234.6(12.3)"},
		// To the left of the units.
		{1234567, 2300, 2, "1.2346(23)e6"},
		{1234567, 2300, 1, "1.235(2)e6"},
		{999999, 2300, 2, "1.0000(23)e6"},
		{1234567, 23, 1, "1.23457(2)e6"},
		{12, 2300, 2, "0.0(2.3)e3"},
		{0, 2300, 2, "0.0(2.3)e3"},
		{2300, 2300, 1, "2(2)e3"},
		{1e300, 1e298, 2, "1.000(10)e300"},
		// The rounding of u gains a digit.
		{50, 9.96, 2, "50(10)"},
		{50, 9.96, 3, "50.00(9.96)"},
		{50, 0.0996, 2, "50.00(10)"},
		{50, 0.0996, 1, "50.0(1)"},
		{50, 99.6, 2, "0.5(1.0)e2"},
		// Small and large numbers.
		{1.2e-4, 3e-6, 1, "0.000120(3)"},
		{1.2e-5, 3e-6, 1, "1.2(3)e-5"},
		{1.2345e-9, 3e-11, 2, "1.234(30)e-9"},
		{0, 3e-9, 2, "0.0(3.0)e-9"},
		{9.9999e-5, 3e-6, 1, "0.000100(3)"},
		{1e21, 0.5, 1, "1.0000000000000000000000(5)e21"},
		{123456789012, 0.25, 2, "123456789012.00(25)"},
		// Zero and numbers that vanish in the rounding have no sign.
		{0, 0.0083, 2, "0.0000(83)"},
		{math.Copysign(0, -1), 0.0083, 2, "0.0000(83)"},
		{-0.00001, 0.0083, 2, "0.0000(83)"},
		{-0.00006, 0.0083, 2, "-0.0001(83)"},
		// Ties of the decimal text go to the even digit: estimate and uncertainty.
		{100.145, 0.33, 2, "100.14(33)"},
		{100.155, 0.33, 2, "100.16(33)"},
		{1, 0.125, 2, "1.00(12)"},
		{1, 0.135, 2, "1.00(14)"},
		// Digits are held between 1 and 17.
		{1, 0.25, 0, "1.0(2)"},
		{1, 0.25, -5, "1.0(2)"},
		{1, 0.25, 99, "1.00000000000000000(25000000000000000)"},
		// No uncertainty to round to.
		{10000.178, 0, 2, "10000.178"},
		{1e6, 0, 2, "1000000"},
		{0, 0, 2, "0"},
		{-2.5e-7, 0, 2, "-2.5e-7"},
		{nan, 0.1, 2, "NaN(0.1)"},
		{1, nan, 2, "1(NaN)"},
		{inf, 0.1, 2, "+Inf(0.1)"},
		{1, inf, 2, "1(+Inf)"},
		{1, -0.1, 2, "1(-0.1)"},
	} {
		if got := FormatConcise(c.x, c.u, c.digits); got != c.want {
			t.Errorf("FormatConcise(%v, %v, %d) = %q, want %q", c.x, c.u, c.digits, got, c.want)
		}
	}
}

func TestFormatPlusMinus(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		x, U   float64
		digits int
		want   string
	}{
		{10000.1780008, 0.016656, 2, "10000.178 ± 0.017"},
		{-127.7322, 1.2, 2, "-127.7 ± 1.2"},
		{1234567, 2300, 2, "1234600 ± 2300"},
		{12, 2300, 2, "0 ± 2300"},
		{50, 9.96, 2, "50 ± 10"},
		{1.2e-9, 3e-11, 1, "1.20e-9 ± 0.03e-9"},
		{2e22, 3e20, 1, "2.00e22 ± 0.03e22"},
		{-3e-12, 1e-9, 2, "0.0e-9 ± 1.0e-9"},
		{10000.178, 0, 2, "10000.178 ± 0"},
		{nan, 1, 2, "NaN ± 1"},
		{1, nan, 2, "1 ± NaN"},
		{math.Inf(-1), 1, 2, "-Inf ± 1"},
		{1, inf, 2, "1 ± +Inf"},
		{1, -0.1, 2, "1 ± -0.1"},
	} {
		if got := FormatPlusMinus(c.x, c.U, c.digits); got != c.want {
			t.Errorf("FormatPlusMinus(%v, %v, %d) = %q, want %q", c.x, c.U, c.digits, got, c.want)
		}
	}
}

// Both sides of the places where the leading digit moves.
func TestLastPlaceBoundaries(t *testing.T) {
	below := func(v float64) float64 { return math.Nextafter(v, 0) }
	for _, c := range []struct {
		u      float64
		digits int
		want   int
	}{
		{0.0995, 2, -2}, // a tie: 0.099|5 goes to the even 0.10
		{below(0.0995), 2, -3},
		{0.0945, 2, -3},
		{0.995, 2, -1}, // to 1.0
		{below(0.995), 2, -2},
		{9.96, 2, 0},
		{9.5, 1, 1}, // to 10
		{below(9.5), 1, 0},
		{8.5, 1, 0},
		{1, 2, -1},
		{below(1), 2, -1},
		{99.5, 2, 1},
		{below(99.5), 2, 0},
		{2300, 2, 2},
		{-2300, 2, 2},
		{5e-324, 2, -325},
		{math.MaxFloat64, 1, 308},
		{0, 2, -1},
		{math.NaN(), 2, -1},
		{math.Inf(1), 1, 0},
	} {
		if got := lastPlace(c.u, c.digits); got != c.want {
			t.Errorf("lastPlace(%v, %d) = %d, want %d", c.u, c.digits, got, c.want)
		}
	}
}

func TestRoundDecimal(t *testing.T) {
	for _, c := range []struct {
		x     float64
		place int
		want  string
	}{
		{100.145, -2, "100.14"},
		{100.135, -2, "100.14"},
		{math.Nextafter(100.145, 101), -2, "100.15"},
		{2.5, 0, "2"},
		{3.5, 0, "4"},
		{0.5, 0, "0"},
		{math.Nextafter(0.5, 1), 0, "1"},
		{-0.5, 0, "0"},
		{0.04, 0, "0"},
		{99.96, -1, "100.0"},
		{999, 1, "1000"},
		{1234567, 2, "1234600"},
		{60, 2, "100"},
		{50, 2, "0"},
		{4, 2, "0"},
		{0, -3, "0.000"},
		{0, 3, "0"},
		{7, -3, "7.000"},
		{-0.0012, -3, "-0.001"},
		{1e22, -1, "10000000000000000000000.0"},
		{math.NaN(), -1, "NaN"},
		{math.Inf(-1), -1, "-Inf"},
	} {
		if got := roundDecimal(c.x, c.place); got != c.want {
			t.Errorf("roundDecimal(%v, %d) = %q, want %q", c.x, c.place, got, c.want)
		}
	}
}

// exactlyRounded is the slow way: the shortest text as a rational number, rounded to
// the nearest multiple of 10^place, ties to even.
func exactlyRounded(x float64, place int) *big.Rat {
	v, _ := new(big.Rat).SetString(strconv.FormatFloat(x, 'e', -1, 64))
	unit, _ := new(big.Rat).SetString("1e" + strconv.Itoa(place))
	v.Quo(v, unit)
	twice := new(big.Int).Mul(v.Num(), big.NewInt(2))
	twice.Add(twice, v.Denom())
	n, rest := new(big.Int).DivMod(twice, new(big.Int).Mul(v.Denom(), big.NewInt(2)), new(big.Int))
	if rest.Sign() == 0 && n.Bit(0) == 1 {
		n.Sub(n, big.NewInt(1))
	}
	return v.Mul(new(big.Rat).SetInt(n), unit)
}

func TestRoundDecimalAgainstRational(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 2026))
	for range 20000 {
		x, place := randomDecimal(random), random.IntN(16)-10
		text := roundDecimal(x, place)
		got, ok := new(big.Rat).SetString(text)
		if !ok || got.Cmp(exactlyRounded(x, place)) != 0 {
			t.Errorf("roundDecimal(%v, %d) = %q, want the value %v", x, place, text, exactlyRounded(x, place))
		}
		if _, fraction, _ := strings.Cut(text, "."); len(fraction) != max(0, -place) {
			t.Errorf("roundDecimal(%v, %d) = %q, want %d decimals", x, place, text, max(0, -place))
		}
	}
}

// randomDecimal has one to six digits, so that ties are frequent, or all of them.
func randomDecimal(random *rand.Rand) float64 {
	if random.IntN(4) == 0 {
		return (random.Float64() - 0.5) * math.Pow10(random.IntN(12)-4)
	}
	text := strconv.Itoa(random.IntN(2_000_001)-1_000_000) + "e" + strconv.Itoa(random.IntN(16)-10)
	x, _ := strconv.ParseFloat(text, 64)
	return x
}

// The text reads back as numbers that are within half a unit of the last digit, and
// the uncertainty has the digits asked for.
func TestFormatConciseReadsBack(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 2026))
	for range 20000 {
		x, digits := randomDecimal(random), 1+random.IntN(3)
		u := (1 + 9*random.Float64()) * math.Pow10(random.IntN(14)-8)
		text := FormatConcise(x, u, digits)
		gotX, gotU, gotDigits := readConcise(t, text)
		if gotDigits != digits {
			t.Fatalf("FormatConcise(%v, %v, %d) = %q: %d digits in the parentheses", x, u, digits, text, gotDigits)
		}
		place := lastPlace(u, digits)
		if gotX.Cmp(exactlyRounded(x, place)) != 0 || gotU.Cmp(exactlyRounded(u, place)) != 0 {
			t.Fatalf("FormatConcise(%v, %v, %d) = %q: reads as %v and %v", x, u, digits, text, gotX, gotU)
		}
		// What is rounded stays as it is.
		roundX, _ := gotX.Float64()
		roundU, _ := gotU.Float64()
		if again := FormatConcise(roundX, roundU, digits); again != text {
			t.Fatalf("FormatConcise(%v, %v, %d) = %q, rounded before %q", roundX, roundU, digits, again, text)
		}
	}
}

// readConcise reads the concise form by its definition: without a point, the digits in
// the parentheses count units of the last digit of the estimate.
func readConcise(t *testing.T, text string) (x, u *big.Rat, digits int) {
	t.Helper()
	estimate, rest, ok := strings.Cut(text, "(")
	inside, exponent, ok2 := strings.Cut(rest, ")")
	if !ok || !ok2 {
		t.Fatalf("%q has no parentheses", text)
	}
	_, fraction, _ := strings.Cut(estimate, ".")
	uncertainty := inside + exponent
	if !strings.Contains(inside, ".") && fraction != "" {
		e, _ := strconv.Atoi(strings.TrimPrefix(exponent, "e"))
		uncertainty = inside + "e" + strconv.Itoa(e-len(fraction))
	}
	x, ok = new(big.Rat).SetString(estimate + exponent)
	u, ok2 = new(big.Rat).SetString(uncertainty)
	if !ok || !ok2 {
		t.Fatalf("%q cannot be read", text)
	}
	return x, u, len(strings.TrimLeft(strings.Replace(inside, ".", "", 1), "0"))
}

// Rounded values of the guides, and what they were rounded from.
func TestPublishedRounding(t *testing.T) {
	const gum = "JCGM 100:2008"
	for _, c := range []struct {
		row   uncertaintytest.Published
		x     float64
		place int
	}{
		{uncertaintytest.Published{Name: "mean of 20 temperatures", Source: gum, Place: "4.4.3", Printed: "100.14", Provenance: uncertaintytest.Seen}, 100.145, -2},
		{uncertaintytest.Published{Name: "standard deviation of 20 temperatures", Source: gum, Place: "4.4.3", Printed: "1.49", Provenance: uncertaintytest.Seen}, 1.489, -2},
		{uncertaintytest.Published{Name: "standard deviation of their mean", Source: gum, Place: "4.4.3", Printed: "0.33", Provenance: uncertaintytest.Seen}, 0.333, -2},
		{uncertaintytest.Published{Name: "estimate to the place of its uncertainty", Source: gum, Place: "7.2.6", Printed: "10.058", Provenance: uncertaintytest.FromMemory}, 10.05762, lastPlace(0.027, 2)},
		{uncertaintytest.Published{Name: "28.05 kHz", Source: gum, Place: "7.2.6", Printed: "28", Provenance: uncertaintytest.FromMemory}, 28.05, lastPlace(28.05, 2)},
		{uncertaintytest.Published{
			Name: "10.47 mΩ", Source: gum, Place: "7.2.6", Printed: "11", Provenance: uncertaintytest.FromMemory,
			Exception: "the guide allows an uncertainty to be rounded up here; this package rounds to nearest, 10",
		}, 10.47, lastPlace(10.47, 2)},
	} {
		text := roundDecimal(c.x, c.place)
		got, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		c.row.Run(t, got)
		if c.row.Exception == "" && text != c.row.Printed {
			t.Errorf("%s: %q, published %q", c.row.Name, text, c.row.Printed)
		}
	}
}

// The forms of the guide for a result, from its example of a mass standard.
func TestPublishedForms(t *testing.T) {
	// JCGM 100:2008, 7.2.2 (second form) and 7.2.4, from memory; the guide prints digits
	// in groups of three.
	if got, want := FormatConcise(100.02147, 0.00035, 2), "100.02147(35)"; got != want {
		t.Errorf("FormatConcise gives %q, JCGM 100:2008, 7.2.2, prints %q", got, want)
	}
	if got, want := FormatPlusMinus(100.02147, 0.00079, 2), "100.02147 ± 0.00079"; got != want {
		t.Errorf("FormatPlusMinus gives %q, JCGM 100:2008, 7.2.4, prints %q", got, want)
	}
	// EA-4/02 M:2022, S3, from memory: a 10 kΩ resistor.
	if got, want := FormatPlusMinus(10000.1780007665, 0.01665600810518587, 2), "10000.178 ± 0.017"; got != want {
		t.Errorf("FormatPlusMinus gives %q, EA-4/02, S3, prints %q", got, want)
	}
}
