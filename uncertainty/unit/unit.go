// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// A Unit is a unit of measurement: a factor times a product of powers of the SI base units. °C
// counts as K, since only differences can be multiplied and added, and angles count as numbers:
// rad is 1. The zero Unit is one that is not known. Units are comparable; [Unit.Equal] reports
// whether two mean the same.
type Unit struct {
	powers      powers  // of the base units
	times, over float64 // the factor is times/over·10^exponent; 0: not known
	exponent    int     // of ten in the factor
	angle       bool    // a plane or solid angle, and no other number
	celsius     bool    // °C by itself
}

const (
	longestUnit     = 100  // bytes
	largestPower    = 99   // of a base unit
	largestExponent = 1000 // of ten
)

// ParseUnit reads a unit such as "mΩ", "ppm/K", "V·s", "kg·m²/s²" or "g/cm^3". The
// package comment has the list of symbols. One that is not in it is an error
// ([ErrUnit]), and so is text that is no product of symbols.
func ParseUnit(symbol string) (Unit, error) {
	u, err := parseUnit(symbol)
	if err != nil {
		return Unit{}, &Error{Op: "unit.ParseUnit", Value: symbol, Err: err}
	}
	return u, nil
}

// parseUnit is [ParseUnit] with errors that have no operation yet.
func parseUnit(symbol string) (Unit, error) {
	if len(symbol) > longestUnit {
		return Unit{}, Errorf(ErrUnit, "unit of %d bytes beginning %.20q; expected one such as "+
			"mΩ or ppm/K", len(symbol), symbol)
	}
	text := oneLetter.Replace(symbol)
	// Nearly all units are a symbol with or without a prefix.
	if u, ok := known()[text]; ok {
		u.celsius = text == celsius || text == "degC"
		return u, nil
	}
	p := parser{rest: text}
	u := p.product()
	if p.rest != "" || !u.isKnown() {
		return Unit{}, Errorf(ErrUnit, "unknown unit %q%s", symbol, p.why)
	}
	return u, nil
}

// parser reads a product of symbols from the left.
type parser struct {
	rest  string // what has not been read yet
	depth int    // of parentheses
	why   string // what is wrong
}

const (
	raisedDigits = "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"
	afterSymbol  = "/·⋅* ()^" + raisedDigits
)

// product reads factors with ·, *, blanks or / between them; each / divides by the next
// factor alone.
func (p *parser) product() Unit {
	u, number := p.factor()
	for u.isKnown() && p.rest != "" && p.rest[0] != ')' {
		r, size := utf8.DecodeRuneInString(p.rest)
		// Two factors must have something between them.
		if !strings.ContainsRune("/·⋅* ", r) {
			return Unit{}
		}
		p.rest = p.rest[size:]
		next, also := p.factor()
		switch {
		case r == '/':
			u = u.Div(next)
		// A number is no unit to multiply with: "1 000 Ω".
		case number || also: // "1 000 Ω" is a number with a blank
			return Unit{}
		default:
			u = u.Mul(next)
		}
		number = false
	}
	return u
}

// factor reads a symbol or a product in parentheses, and its exponent. It reports
// whether the symbol is the number 1.
func (p *parser) factor() (u Unit, number bool) {
	// Eight levels: a text cannot exhaust the stack.
	if strings.HasPrefix(p.rest, "(") && p.depth < 8 {
		p.rest, p.depth = p.rest[1:], p.depth+1
		u = p.product()
		if !strings.HasPrefix(p.rest, ")") {
			return Unit{}, false
		}
		p.rest, p.depth = p.rest[1:], p.depth-1
	} else {
		end := strings.IndexAny(p.rest, afterSymbol)
		if end < 0 {
			end = len(p.rest)
		}
		symbol := p.rest[:end]
		p.rest = p.rest[end:]
		// A symbol that is not known explains why the whole is not.
		var ok bool
		if u, ok = known()[symbol]; !ok {
			// Lengths alone: H2 is no square of a henry.
			if u, ok = plainPower(symbol); ok {
				return u, false
			}
			p.why = unknown(symbol)
			return Unit{}, false
		}
		number = symbol == "1"
	}
	power, ok := p.exponent()
	if !ok {
		return Unit{}, false
	}
	return u.Pow(power), number
}

// plainPower reads the square or cube of a length with a plain digit behind it, "mm2".
func plainPower(symbol string) (u Unit, ok bool) {
	length, two := strings.CutSuffix(symbol, "2")
	length, three := strings.CutSuffix(length, "3")
	u, ok = known()[length]
	if two == three || !ok || !u.SameKind(known()["m"]) {
		return Unit{}, false
	}
	if two {
		return u.Pow(2), true
	}
	return u.Pow(3), true
}

// lowered turns raised digits into plain ones.
var lowered = strings.NewReplacer(
	"⁻", "-", "⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸",
	"8", "⁹", "9")

// exponent reads ², ⁻¹, ^2 or ^-1; without one it is 1.
func (p *parser) exponent() (power float64, ok bool) {
	end := strings.IndexFunc(p.rest,
		func(r rune) bool { return !strings.ContainsRune("^-0123456789"+raisedDigits, r) })
	if end < 0 {
		end = len(p.rest)
	}
	text := p.rest[:end]
	p.rest = p.rest[end:]
	if text == "" {
		return 1, true
	}
	n, err := strconv.Atoi(lowered.Replace(strings.TrimPrefix(text, "^")))
	// One digit: beyond it no unit of measurement goes.
	return float64(n), err == nil && n >= -9 && n <= 9
}

// isKnown reports whether u is not the zero Unit.
func (u Unit) isKnown() bool { return u.times != 0 }

// IsZero reports whether u is the zero Unit, which is not known.
func (u Unit) IsZero() bool { return !u.isKnown() }

// Factor returns the size of the unit in coherent SI units: 0.001 for mΩ, 60 for min, 1000 for
// g/cm³, 0 for the zero Unit.
func (u Unit) Factor() float64 {
	if !u.isKnown() {
		return 0
	}
	// Decimal factors exactly, as the text of a number.
	if u.times == 1 && u.over == 1 {
		v, _ := strconv.ParseFloat("1e"+strconv.Itoa(u.exponent), 64)
		return v
	}
	return u.times / u.over * math.Pow10(u.exponent)
}

// SameKind reports whether both units are known and measure the same kind of quantity,
// so that one can be converted to the other: kΩ and V/mA, but not Ω and V.
func (u Unit) SameKind(v Unit) bool { return u.isKnown() && v.isKnown() && u.powers == v.powers }

// Equal reports whether both units are known and the same, so that figures in them add as
// they stand: Ω and V/A, but not kΩ and Ω.
func (u Unit) Equal(v Unit) bool {
	// Roots of powers leave rounding in the factor.
	return u.SameKind(v) && math.Abs(u.Factor()-v.Factor()) <= 1e-9*u.Factor()
}

// Mul returns the product u·v of the units; it is unknown where one of them is.
func (u Unit) Mul(v Unit) Unit {
	if !u.isKnown() || !v.isKnown() {
		return Unit{}
	}
	for i := range u.powers {
		u.powers[i] += v.powers[i]
	}
	// Numerators and denominators apart, so that min/min cancels exactly.
	u.times, u.over = u.times*v.times, u.over*v.over
	u.exponent += v.exponent
	u.angle, u.celsius = false, false
	return u.checked()
}

// Div returns the quotient u/v of the units; it is unknown where one of them is.
func (u Unit) Div(v Unit) Unit { return u.Mul(v.Pow(-1)) }

// Pow returns u to a power, which need not be whole. The result is unknown where the power is not
// finite or an exponent of a base unit would become too large for any use.
func (u Unit) Pow(power float64) Unit {
	switch {
	case !u.isKnown():
		return Unit{}
	case power == 1:
		return u
	case power < 0:
		// 1/u exactly, without a root or power of the factor.
		u.times, u.over = u.over, u.times
		u.exponent = -u.exponent
		for i := range u.powers {
			u.powers[i] = -u.powers[i]
		}
		u.angle, u.celsius = false, false
		if power == -1 {
			return u
		}
		power = -power
	}
	if !(power <= largestPower) {
		// NaN is refused too.
		return Unit{}
	}
	for i := range u.powers {
		u.powers[i] = float32(float64(u.powers[i]) * power)
	}
	// The exponent may become broken: its fraction moves to the factor.
	whole, part := math.Modf(float64(u.exponent) * power)
	u.times, u.over = float64(math.Pow(u.times, power)*math.Pow(10, part)), math.Pow(u.over, power)
	u.exponent, u.angle, u.celsius = int(whole), false, false
	return u.checked()
}

// checked cancels equal factors and drops units beyond all use.
func (u Unit) checked() Unit {
	if u.times == u.over {
		u.times, u.over = 1, 1
	}
	ok := u.times > 0 && u.over > 0 && !math.IsInf(u.times, 0) && !math.IsInf(u.over, 0) &&
		max(u.exponent, -u.exponent) <= largestExponent
	for i, p := range u.powers {
		ok = ok && p >= -largestPower && p <= largestPower
		// Adding 0 turns −0 into 0, so that units are comparable by ==.
		u.powers[i] += 0 // no negative zero
	}
	// Beyond float64 no figure could be given in it.
	if f := u.Factor(); !ok || f == 0 || math.IsInf(f, 0) {
		return Unit{}
	}
	return u
}

// Coherent returns the symbol of the coherent SI unit of the kind of u, such as Ω for mΩ and for
// V/A. It is "1" for numbers and empty where the unit has no symbol of its own.
func (u Unit) Coherent() string {
	if !u.isKnown() {
		return ""
	}
	// Those that a result is most likely in; powers alone decide, so °C finds K.
	for _, symbol := range [...]string{"1", "Ω", "V", "A", "W", "s", "m", "K", "F", "H", "S", "C"} {
		if known()[symbol].powers == u.powers {
			return symbol
		}
	}
	return ""
}
