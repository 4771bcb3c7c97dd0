// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// This file says what everything else was judged by: the class of the box and the limits of the
// meter, as they were understood. A class that was typed with a slip makes every verdict wrong and
// none of them odd, so that it stands in every report.

// unusualTolerance is the fraction above which a tolerance may be per cent written as a
// number: 0.02 for 0.02 %. Dials of 0.1 Ω have 5 % at times: the warning asks, and
// refuses nothing.
const unusualTolerance = 0.01

// levelWords say to what a tolerance belongs.
var levelWords = map[decade.Level]string{
	decade.LevelDecade:  "of the dialled value of each dial",
	decade.LevelElement: "of each element",
	decade.LevelBox:     "of the box, common to its dials",
}

// classText echoes the limits of the box in Ω: every dial with its tolerance, to what they
// belong, the box and the residual. Dials of one class that follow each other are one term,
//
//	±0.02 % (1 kΩ, 100 Ω), ±(0.2 % + 500 µΩ) (1 Ω) of the dialled value of each dial; …
//
// and where all dials have one level it is said once, behind the last of them.
func (r *Report) classText() string {
	spec := r.Box.Spec()
	one := true // level for all dials
	for _, d := range spec.Decades {
		one = one && d.Spread == spec.Decades[0].Spread
	}
	var parts, names []string
	for i, d := range spec.Decades {
		names = append(names, d.Name)
		// Neighbours of one class are listed in one term.
		if i+1 < len(spec.Decades) && sameClass(d, spec.Decades[i+1]) {
			continue
		}
		if text := toleranceText(d.Tolerance, d.Floor); text != "" {
			if !one {
				text += " " + levelWords[d.Spread]
			}
			parts = append(parts, text+" ("+wording.List(names)+")")
		}
		names = nil
	}
	if one && len(parts) > 0 {
		parts = []string{wording.List(parts) + " " + levelWords[spec.Decades[0].Spread]}
	}
	if text := toleranceText(spec.Tolerance, spec.Floor); text != "" {
		parts = append(parts, text+" of the setting (box)")
	}
	if len(parts) == 0 {
		parts = append(parts, "not stated")
	}
	residual := "residual not stated"
	if spec.Residual > 0 || spec.ResidualTolerance > 0 {
		residual = fmt.Sprintf("residual %s ± %s", unit.Format(spec.Residual, unit.Ohm),
			unit.Format(spec.ResidualTolerance, unit.Ohm))
	}
	if spec.ResidualIncluded {
		residual += ", included"
	} else {
		residual += ", not included"
	}
	return strings.Join(append(parts, residual, "limits in Ω"), "; ")
}

// sameClass reports whether two dials are stated alike, so that a report names them together.
func sameClass(a, b decade.Decade) bool {
	return a.Tolerance == b.Tolerance && a.Floor == b.Floor && a.Spread == b.Spread
}

// toleranceText writes a tolerance and a floor; empty where neither is stated.
func toleranceText(tolerance, floor float64) string {
	switch {
	case tolerance > 0 && floor > 0:
		return fmt.Sprintf("±(%s + %s)", wording.Percent(tolerance), unit.Format(floor, unit.Ohm))
	case tolerance > 0:
		return "±" + wording.Percent(tolerance)
	case floor > 0:
		return "±" + unit.Format(floor, unit.Ohm)
	}
	return ""
}

// limitsText echoes the limits of error of the ranges that were used.
func (r *Report) limitsText() string {
	var parts []string
	for _, rg := range r.Meter.Ranges {
		if r.used(rg.Name) {
			parts = append(parts, rg.Name+": "+rg.String())
		}
	}
	return strings.Join(parts, "; ")
}

// used reports whether a reading was taken on a range.
func (r *Report) used(name string) bool {
	for i := range r.Rows {
		if r.Rows[i].Range == name {
			return true
		}
	}
	return false
}

// warnUnusual points out what is seldom meant: a tolerance that may be per cent, a range without an
// error that was used. warn takes a cause, a format and its arguments.
func (r *Report) warnUnusual(warn func(error, string, ...any)) {
	spec := r.Box.Spec()
	var names []string
	most := 0.0
	for _, d := range spec.Decades {
		if d.Tolerance > unusualTolerance {
			names = append(names, d.Name)
			most = max(most, d.Tolerance)
		}
	}
	if spec.Tolerance > unusualTolerance {
		names = append(names, "box")
		most = max(most, spec.Tolerance)
	}
	if len(names) > 0 {
		warn(ErrUnusual, "tolerance above 1 %% (%s: up to %s): is that intended? A number "+
			"without a unit is a fraction: 0.02 is 2 %%; write \"0.02 %%\".",
			wording.List(names), wording.Percent(most))
	}
	// Only ranges in use: an ideal one that nothing was read on changes nothing.
	var without []string
	for _, rg := range r.Meter.Ranges {
		if r.used(rg.Name) && rg.limits().IsZero() {
			without = append(without, rg.Name)
		}
	}
	if len(without) > 0 {
		warn(ErrUnusual, "no limits of error for range %s: its error is taken as 0 (ideal).",
			wording.List(without))
	}
}
