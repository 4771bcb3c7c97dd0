// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// String returns the gauge as it is written in the trade: "24 AWG", "4/0 AWG",
// "20 SWG", "0.2 mm"; "24 AWG B258" with the rounded diameter. The text of a
// metric size is the shortest that [ParseGauge] reads back exactly. An invalid
// gauge reads "no wire".
func (g Gauge) String() string {
	switch g.system {
	case American:
		return numberText(g.number) + " AWG"
	case AmericanRounded:
		return numberText(g.number) + " AWG B258"
	case Imperial:
		return numberText(g.number) + " SWG"
	case MetricSizes:
		return millimetres(g.diameter) + " mm"
	}
	return "no wire"
}

// Format prints the gauge. The verbs v, s and q print the text of [Gauge.String], the
// verbs e, f and g the diameter in metres as a float64.
func (g Gauge) Format(f fmt.State, verb rune) {
	switch verb {
	case 'v', 's', 'q':
		// FormatString would make %v of it, and Fprintf would call Format again.
		if verb == 'v' {
			verb = 's'
		}
		fmt.Fprintf(f, fmt.FormatString(f, verb), g.String())
	case 'e', 'E', 'f', 'F', 'g', 'G':
		fmt.Fprintf(f, fmt.FormatString(f, verb), g.Diameter())
	default:
		fmt.Fprintf(f, "%%!%c(wire.Gauge=%v)", verb, g)
	}
}

// AppendText appends the text of [Gauge.String] to b; an invalid gauge is an
// error.
func (g Gauge) AppendText(b []byte) ([]byte, error) {
	if !g.IsValid() {
		return b, refuse("wire.Gauge.AppendText", "gauge", nil, ErrNoGauge,
			"expected a gauge that was made by this package")
	}
	return append(b, g.String()...), nil
}

// MarshalText returns the text of [Gauge.String]; see [Gauge.AppendText].
func (g Gauge) MarshalText() ([]byte, error) { return g.AppendText(nil) }

// UnmarshalText reads what [ParseGauge] reads.
func (g *Gauge) UnmarshalText(text []byte) error {
	parsed, err := ParseGauge(string(text))
	if err != nil {
		return err
	}
	if g == nil {
		return &Error{Op: "wire.Gauge.UnmarshalText", Value: string(text),
			Err: unit.Errorf(unit.ErrNotStated, "nil; expected the address of a Gauge")}
	}
	*g = parsed
	return nil
}

// ParseGauge reads a wire size:
//
//	"24 AWG"  "4/0 AWG"  "0000 AWG"  "AWG 24"    exact American gauge
//	"24 AWG B258"                               the same, rounded diameter
//	"20 SWG"  "7/0 SWG"                         British legal gauge
//	"36 B&S"  "B&S 36"                          Brown & Sharpe, the American gauge
//	"0.2 mm"  "200 µm"  "200 um"                bare diameter
//	"8 mil"  "0.008 in"                         the same in inches
//	"0.5 mm²"  "0.5 mm2"  "0.5 mm^2"            a round wire of that cross-section
//
// Letter case and spaces do not matter.
func ParseGauge(s string) (Gauge, error) {
	// Case and blanks are dropped: nobody writes them alike.
	t := strings.ToLower(strings.Join(strings.Fields(s), ""))
	switch {
	// Before "awg", which its text contains.
	case strings.HasSuffix(t, "awgb258"):
		return parseNumbered(s, strings.TrimSuffix(t, "awgb258"), RoundedAWG)
	case strings.Contains(t, "awg"):
		return parseNumbered(s, trimEither(t, "awg"), AWG)
	case strings.Contains(t, "swg"):
		return parseNumbered(s, trimEither(t, "swg"), SWG)
	}
	for _, mark := range []string{"b&s", "b.&s."} {
		// Brown & Sharpe is the older name of the same series.
		if strings.Contains(t, mark) {
			return parseNumbered(s, trimEither(t, mark), AWG)
		}
	}
	// A section, of which the diameter follows.
	if square, ok := strings.CutSuffix(square2.Replace(t), "mm²"); ok {
		v, err := unit.ParseNumber(square)
		if err != nil {
			return Gauge{}, notGauge(s)
		}
		return metricOf(s, math.Sqrt(v/1e6/(math.Pi/4)))
	}
	// The longer spellings first, since "mil" ends "mils" only in part.
	for _, u := range []struct{ suffix, symbol string }{{"mils", "mil"}, {"mil", "mil"},
		{"inch", "in"}, {"in", "in"}} {
		if number, ok := strings.CutSuffix(t, u.suffix); ok {
			d, err := unit.Parse(number+" "+u.symbol, unit.Metre)
			if err != nil {
				return Gauge{}, notGauge(s)
			}
			return metricOf(s, d)
		}
	}
	for _, u := range []struct {
		suffix string
		exp    string
		// Micro has two code points, and some keyboards neither.
	}{{"mm", "e-3"}, {"µm", "e-6"}, {"μm", "e-6"}, {"um", "e-6"}} {
		if number, ok := strings.CutSuffix(t, u.suffix); ok {
			return parseDiameter(s, number, u.exp)
		}
	}
	return Gauge{}, notGauge(s)
}

// square2 writes the square of a millimetre with a raised digit.
var square2 = strings.NewReplacer("mm2", "mm²", "mm^2", "mm²")

// notGauge is the refusal of a text that names no size.
func notGauge(s string) error {
	if strings.Contains(s, ",") {
		return refuse("wire.ParseGauge", "gauge", s, ErrSyntax,
			`a comma; expected a decimal point, such as "0.2 mm"`)
	}
	return refuse("wire.ParseGauge", "gauge", s, ErrSyntax,
		`expected "24 AWG", "4/0 AWG", "36 B&S", "20 SWG", "0.2 mm", "8 mil" or "0.5 mm²"`)
}

// ofText is the refusal of a size with the text that names it.
func ofText(s string, e *Error) error {
	return &Error{Op: "wire.ParseGauge", Name: "gauge", Value: s, Err: unit.Errorf(e.Err, "%s: %v",
		given(s), e.Err)}
}

// trimEither cuts a mark that stands before or after the number.
func trimEither(t, mark string) string {
	if rest, ok := strings.CutSuffix(t, mark); ok {
		return rest
	}
	return strings.TrimPrefix(t, mark)
}

// parseNumbered reads a gauge number and looks it up.
func parseNumbered(s, number string, size func(int) (Gauge, error)) (Gauge, error) {
	n, ok := parseNumber(number)
	if !ok {
		return Gauge{}, notGauge(s)
	}
	g, err := size(n)
	if e, ok := errors.AsType[*Error](err); ok {
		return Gauge{}, ofText(s, e)
	}
	return g, err
}

// parseNumber reads "24", "0", "4/0" or "0000"; "k/0" and k zeros are 1−k.
func parseNumber(t string) (n int, ok bool) {
	// 4/0 stands for 0000, whose number is 1 − 4.
	if zeros, ok := strings.CutSuffix(t, "/0"); ok {
		k, err := parseDigits(zeros)
		return 1 - k, err == nil && k > 0
	}
	// Zeros alone: as many as there are.
	if t != "" && strings.Trim(t, "0") == "" {
		return 1 - len(t), true
	}
	n, err := parseDigits(t)
	return n, err == nil && n > 0
}

// parseDigits is strconv.Atoi without signs, and far from overflow.
func parseDigits(t string) (int, error) {
	n, err := strconv.ParseUint(t, 10, 16)
	return int(n), err
}

// numberText writes 1 − k as k/0.
func numberText(n int) string {
	if n < 0 {
		return strconv.Itoa(1-n) + "/0"
	}
	return strconv.Itoa(n)
}

// parseDiameter reads a decimal number with the exponent of its unit appended:
// "0.2" and "e-3" give the float64 nearest to 0.0002, which a product would
// miss.
func parseDiameter(s, number, exp string) (Gauge, error) {
	// Exponents and signs are no part of a size as the trade writes it.
	if strings.Trim(number, "0123456789.") != "" {
		return Gauge{}, notGauge(s)
	}
	d, err := strconv.ParseFloat(number+exp, 64)
	if err != nil {
		return Gauge{}, notGauge(s)
	}
	return metricOf(s, d)
}

// metricOf returns the size of diameter d metres that the text s gave.
func metricOf(s string, d float64) (Gauge, error) {
	g, err := Metric(d)
	if e, ok := errors.AsType[*Error](err); ok {
		return Gauge{}, ofText(s, e)
	}
	return g, err
}

// millimetres writes d metres in millimetres by moving the decimal point of
// the shortest text, so that no arithmetic can change the last digit.
func millimetres(d float64) string {
	digits, exp, _ := strings.Cut(strconv.FormatFloat(d, 'e', -1, 64), "e")
	point, _ := strconv.Atoi(exp) // d = 0.digits × 10^(point+1)
	digits = strings.Replace(digits, ".", "", 1)
	switch point += 1 + 3; {
	case point <= 0:
		return "0." + strings.Repeat("0", -point) + digits
	case point >= len(digits):
		return digits + strings.Repeat("0", point-len(digits))
	default:
		return digits[:point] + "." + digits[point:]
	}
}
