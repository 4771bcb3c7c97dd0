// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"errors"
	"strings"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// This file reads limits as plates and data sheets state them: "0.05 % + 5 mΩ" is a
// tolerance and a floor, "max 30 mΩ" and "≤ 30 mΩ" are what a residual does not exceed.
//
//	key         text                  read as
//	tolerance   "0.05 %", 0.0005      tolerance 0.0005
//	tolerance   "±(0.05 % + 5 mΩ)"    tolerance 0.0005, floor 5 mΩ
//	residual    "20 mΩ", 0.02         20 mΩ
//	residual    "max 30 mΩ"           15 mΩ, residualTolerance 15 mΩ
//
// Faults are left with the object (file.Object.Fail), which reports the first when it closes; what
// is returned beside one is not used.

// readLimits reads tolerance (a fraction) and floor (in Ω), which the text of the tolerance may
// state both, of a box or of a decade.
func readLimits(o *file.Object) (tolerance, floor float64) {
	o.Quantity("floor", unit.Ohm, &floor)
	if !o.IsText("tolerance") {
		o.Quantity("tolerance", unit.Fraction, &tolerance)
	} else if text := ""; o.Text("tolerance", &text) {
		var also float64
		var err error
		tolerance, also, err = parseLimits(text)
		// Two statements of one limit may differ, and neither is the better one.
		if err == nil && also != 0 {
			if o.Has("floor") {
				err = unit.Errorf(uncertainty.ErrContradiction,
					"%q states a floor, and so does the key floor; expected one of the two", text)
			}
			floor = also
		}
		o.Fail("tolerance", err)
	}
	// A number without a unit is a fraction; 0.05 where 0.05 % was meant cannot be told, 5 can.
	if tolerance > tooTolerant {
		o.Fail("tolerance", unit.Errorf(ErrDomain, "%v, that is %v %%; expected a fraction of at "+
			"most %v (write \"0.05 %%\" or 0.0005)", tolerance, 100*tolerance, tooTolerant))
	}
	return tolerance, floor
}

// parseLimits reads "0.05 %", "±0.05 %", "0.05 % + 5 mΩ" or "±(0.05 % + 5 mΩ)". The fraction comes
// first, as on plates; floor is 0 where there is no second term.
func parseLimits(text string) (tolerance, floor float64, err error) {
	sum := strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), "±"))
	// A bracket without its partner stays, and is refused as a part of the number.
	if inner, ok := strings.CutPrefix(sum, "("); ok && strings.HasSuffix(inner, ")") {
		sum = strings.TrimSuffix(inner, ")")
	}
	first, second, both := cutSum(sum)
	tolerance, err = unit.Parse(first, unit.Fraction)
	if errors.Is(err, unit.ErrUnitMismatch) {
		// A resistance in this place is the commonest slip: the message says where it belongs.
		if _, wrong := unit.Parse(first, unit.Ohm); wrong == nil {
			return 0, 0,
				unit.Errorf(err, "%q: %s is a resistance; expected a fraction such as \"0.05 "+
					"%%\" or \"0.05 %% + 5 mΩ\" (a resistance alone is the key floor)", text, first)
		}
	}
	if err != nil || !both {
		return tolerance, 0, unit.Cause(err)
	}
	floor, err = unit.Parse(second, unit.Ohm)
	switch {
	case err != nil:
		return 0, 0, unit.Errorf(err, "%q: %v; expected a fraction and a resistance, such as "+
			"\"0.05 %% + 5 mΩ\"", text, unit.Cause(err))
	case floor < 0:
		return 0, 0, unit.Errorf(ErrDomain, "%q: a negative floor; expected 0 Ω or more", text)
	}
	return tolerance, floor, nil
}

// cutSum cuts a text at its first plus sign that is no sign of a number; both is false where there
// is none. It works on bytes: no byte of a character beyond ASCII is a plus sign.
func cutSum(text string) (first, second string, both bool) {
	for i := 1; i < len(text); i++ {
		// From the second character, so that a leading sign belongs to its number; as does that
		// of 1e+3.
		if text[i] == '+' && text[i-1] != 'e' && text[i-1] != 'E' {
			return strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:]), true
		}
	}
	return text, "", false
}

// readResidual reads the residual and its ± limit. Of a residual that does not exceed L it is
// known only that it lies between 0 and L: L/2 ± L/2 (JCGM 100:2008, 4.3.7).
func readResidual(o *file.Object) (residual, tolerance float64) {
	o.Quantity("residualTolerance", unit.Ohm, &tolerance)
	var text string
	if !o.IsText("residual") {
		o.Quantity("residual", unit.Ohm, &residual)
		return residual, tolerance
	}
	if !o.Text("residual", &text) {
		return 0, tolerance
	}
	// By case: a value with its own ±, which two keys state here; no resistance; a limit beside
	// another; a limit; a value.
	limit, is := cutLimit(text)
	v, err := unit.Parse(limit, unit.Ohm)
	switch {
	case err != nil && strings.Contains(text, "±"):
		before, after, _ := strings.Cut(text, "±")
		err = unit.Errorf(ErrSyntax, "%q; expected \"residual\": %q and \"residualTolerance\": %q",
			text, strings.TrimSpace(before), strings.TrimSpace(after))
	case err != nil:
		err = unit.Errorf(err, "%v (write a limit as \"max 30 mΩ\" or \"≤ 30 mΩ\")",
			unit.Cause(err))
	case is && o.Has("residualTolerance"):
		err = unit.Errorf(uncertainty.ErrContradiction,
			"%q is a limit, and residualTolerance another; expected one of the two", text)
	case is:
		return v / 2, v / 2
	}
	o.Fail("residual", err)
	return v, tolerance
}

// cutLimit takes the word or sign off a limit that is not exceeded; is says whether there was one.
func cutLimit(text string) (rest string, is bool) {
	text = strings.TrimSpace(text)
	// "max." before "max", which is the beginning of it.
	for _, word := range []string{"max.", "max", "≤", "<="} {
		if rest, ok := strings.CutPrefix(text, word); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return text, false
}
