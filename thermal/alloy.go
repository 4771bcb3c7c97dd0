// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"iter"

	"example.com/ohmwright/uncertainty"
)

// Alloy is a resistance alloy or metal with the temperature law that is
// published of it.
//
// Alloys differ by maker, by melt and by heat treatment; the tolerances are the
// ranges over which published values scatter, not what one maker promises. For
// a wire with a certificate, use [NewLaw] or an [UncertainLaw] of your own.
type Alloy struct {
	Name        string
	Composition string // mass per cent

	// Law has the coefficients followed, with the range of temperature that they
	// serve as limits.
	Law Law
	// AlphaTolerance and BetaTolerance are the half-widths of the published ranges
	// about the coefficients followed, in 1/K and 1/K²; 0: no range published.
	AlphaTolerance, BetaTolerance float64

	MaxTemperature float64 // °C, highest working temperature of the bare metal; 0: not stated

	Source string // documents followed
	Memory string // what of it no document was seen for; empty: nothing
}

// Alloys returns the table: metals first, then alloys.
func Alloys() iter.Seq[Alloy] {
	return func(yield func(Alloy) bool) {
		for _, a := range alloyTable() {
			if !yield(a) {
				return
			}
		}
	}
}

// FindAlloy returns the alloy or metal of that name. Case, spaces, hyphens and
// commas do not matter, and usual other names are known ("nichrome", "German
// silver", "aluminum", "Cu"). An unknown name is [ErrUnknown] with the nearest
// known ones.
//
// Where sources disagree the table follows one and says which;
// [PublishedCoefficients] has the others.
func FindAlloy(name string) (Alloy, error) {
	want := key(name)
	var known []string
	for a := range Alloys() {
		if fold(a.Name) == want {
			return a, nil
		}
		known = append(known, a.Name)
	}
	return Alloy{}, unknown("thermal.FindAlloy", name, known)
}

// UncertainLaw returns the law of one spool of the alloy: the coefficients are
// inputs, rectangular over the published ranges, called after name ("spool 3
// alpha"). Call it once for a spool and share the result: published ranges are
// from spool to spool, so resistors of one spool have them in common.
func (a Alloy) UncertainLaw(name string) UncertainLaw {
	low, high, _ := a.Law.Limits()
	return UncertainLaw{
		Reference: a.Law.reference,
		Alpha:     coefficient(name+" alpha", "1/K", a.Name, a.Law.alpha, a.AlphaTolerance),
		Beta:      coefficient(name+" beta", "1/K²", a.Name, a.Law.beta, a.BetaTolerance),
		Low:       low, High: high,
	}
}

func coefficient(name, unit, alloy string, v, halfWidth float64) uncertainty.Quantity {
	if halfWidth == 0 {
		return uncertainty.Exact(v)
	}
	return uncertainty.Source{
		Name: name, Unit: unit, Distribution: uncertainty.Rectangular(v, halfWidth),
		Note: "published range of " + alloy,
	}.Input()
}
