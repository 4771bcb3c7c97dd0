// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	si "gonum.org/v1/gonum/unit"
)

// dimension is a unit of measurement: a factor times a product of powers of the SI base
// units. The zero dimension is one that is not known.
type dimension struct {
	known  bool
	power  [8]float32 // of the base dimensions of gonum's unit package
	factor float64    // in coherent SI units; °C counts as K, since only differences add
}

var pure = dimension{known: true, factor: 1}

// same tells whether two known units can be added as they stand: kΩ and Ω cannot.
func (d dimension) same(e dimension) bool {
	return d.power == e.power && math.Abs(d.factor-e.factor) <= 1e-9*d.factor
}

// times returns d·e^power; what is not known makes the result unknown.
func (d dimension) times(e dimension, power float64) dimension {
	if !d.known || !e.known {
		return dimension{}
	}
	for i := range d.power {
		d.power[i] += float32(float64(e.power[i]) * power)
	}
	d.factor *= math.Pow(e.factor, power)
	d.known = d.factor > 0 && !math.IsInf(d.factor, 0)
	return d
}

// The units that a bench uses, without prefix. Angles are numbers: rad is 1.
var baseUnits = map[string]si.Uniter{
	"s": si.Time(1), "m": si.Length(1), "g": si.Mass(1e-3), "A": si.Current(1), "K": si.Temperature(1), "mol": si.Mole(1),
	"cd": si.LuminousIntensity(1), "Hz": si.Frequency(1), "N": si.Force(1), "Pa": si.Pressure(1), "J": si.Energy(1), "W": si.Power(1),
	"C": si.Charge(1), "V": si.Voltage(1), "F": si.Capacitance(1), "Ω": si.Resistance(1), "S": si.Conductance(1),
	"Wb": si.MagneticFlux(1), "T": si.MagneticFluxDensity(1), "H": si.Inductance(1),
}

var prefixes = map[string]float64{
	"": 1, "f": 1e-15, "p": 1e-12, "n": 1e-9, "µ": 1e-6, "μ": 1e-6, "u": 1e-6, "m": 1e-3, "c": 1e-2, "d": 0.1,
	"h": 100, "k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12,
}

// Units that take no prefix, and second spellings.
var plainUnits = map[string]struct {
	of     string
	factor float64
}{
	"1": {"", 1}, "rad": {"", 1}, "sr": {"", 1}, "°": {"", math.Pi / 180}, "%": {"", 1e-2}, "‰": {"", 1e-3}, "ppm": {"", 1e-6}, "ppb": {"", 1e-9},
	"°C": {"K", 1}, "min": {"s", 60}, "h": {"s", 3600}, "d": {"s", 86400}, "a": {"s", 31557600}, "yr": {"s", 31557600},
}

// units lists every symbol with its prefixes.
var units = sync.OnceValue(func() map[string]dimension {
	all := make(map[string]dimension)
	for symbol, u := range baseUnits {
		d := dimension{known: true, factor: u.Unit().Value()}
		for base, power := range u.Unit().Dimensions() {
			d.power[base%8] = float32(power)
		}
		spellings := []string{symbol}
		if symbol == "Ω" {
			spellings = []string{"\u03a9", "\u2126", "ohm", "Ohm"} // letter omega, ohm sign, words
		}
		for _, s := range spellings {
			for prefix, factor := range prefixes {
				scaled := d
				scaled.factor *= factor
				all[prefix+s] = scaled
			}
		}
	}
	for symbol, p := range plainUnits {
		d := pure
		if p.of != "" {
			d = all[p.of]
		}
		d.factor *= p.factor
		all[symbol] = d
	}
	return all
})

// parseUnit reads a unit such as "mΩ", "ppm/K", "V·s" or "kg·m²/s²". A symbol that is
// not known gives an unknown dimension: it is printed, and not checked.
func parseUnit(symbol string) dimension {
	if d, ok := units()[symbol]; ok {
		return d
	}
	p := unitParser{rest: symbol}
	d := p.product()
	if p.rest != "" {
		return dimension{}
	}
	return d
}

type unitParser struct {
	rest  string
	depth int
}

// product reads factors with ·, *, spaces or / between them; each / divides by the
// next factor alone.
func (p *unitParser) product() dimension {
	d, power := p.factor(), 1.0
	for d.known && p.rest != "" && p.rest[0] != ')' {
		power = 1
		switch r, size := utf8.DecodeRuneInString(p.rest); r {
		case '/':
			power = -1
			p.rest = p.rest[size:]
		case '·', '⋅', '*', ' ':
			p.rest = p.rest[size:]
		default:
			return dimension{}
		}
		d = d.times(p.factor(), power)
	}
	return d
}

// factor reads a symbol or a product in parentheses, and its exponent.
func (p *unitParser) factor() dimension {
	var d dimension
	if strings.HasPrefix(p.rest, "(") && p.depth < 8 {
		p.rest, p.depth = p.rest[1:], p.depth+1
		d = p.product()
		if !strings.HasPrefix(p.rest, ")") {
			return dimension{}
		}
		p.rest, p.depth = p.rest[1:], p.depth-1
	} else {
		end := strings.IndexAny(p.rest, "/·⋅* ()^⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
		if end < 0 {
			end = len(p.rest)
		}
		d = units()[p.rest[:end]]
		p.rest = p.rest[end:]
	}
	power, ok := p.exponent()
	if !ok || !d.known {
		return dimension{}
	}
	return pure.times(d, power)
}

var raised = strings.NewReplacer("⁻", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// exponent reads ², ⁻¹, ^2 or ^-1; without one it is 1.
func (p *unitParser) exponent() (power float64, ok bool) {
	end := strings.IndexFunc(p.rest, func(r rune) bool { return !strings.ContainsRune("^-0123456789⁻⁰¹²³⁴⁵⁶⁷⁸⁹", r) })
	if end < 0 {
		end = len(p.rest)
	}
	text := p.rest[:end]
	p.rest = p.rest[end:]
	if text == "" {
		return 1, true
	}
	n, err := strconv.Atoi(raised.Replace(strings.TrimPrefix(text, "^")))
	return float64(n), err == nil && n >= -9 && n <= 9
}

// coherent names the units without a factor in which results are printed.
var coherent = sync.OnceValue(func() map[[8]float32]string {
	names := map[[8]float32]string{{}: "1"}
	for _, symbol := range []string{"Ω", "V", "A", "W", "s", "m", "K", "F", "H", "S", "C"} {
		names[units()[symbol].power] = symbol
	}
	return names
})
