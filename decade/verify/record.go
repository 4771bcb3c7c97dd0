// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"slices"
	"time"

	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// This file is about the record as a record: what looks wrong in it though each value by itself is
// plausible, so that no verdict is withheld and somebody has to look. The values of a box say
// nothing about it:
//
//	a line that was copied                repeats that are none make the noise too small
//	digits that the range does not show   the wrong range is named, and its limits are taken
//	a time far from all others            the record of the box would have a wrong date

// warnRecord warns of it.
func (e *evaluation) warnRecord(warn func(error, string, ...any)) {
	var copied []string
	for i := range e.readings {
		if rd := &e.readings[i]; rd.copied > 0 {
			copied = append(copied, rd.placeInFile(rd.copied))
		}
	}
	if len(copied) > 0 {
		warn(ErrRecord, "%s of a dialling with the same values once more: %s. Copied? They are "+
			"counted as repeats, which make the noise smaller than it is.",
			wording.Plural(len(copied), "line"), wording.Short(copied))
	}
	e.warnDigits(warn)
	e.warnTimes(warn)
}

// placeInFile names the reading with a line of its file, if there is one.
func (r *Reading) placeInFile(line int) string {
	other := *r
	other.Line = line
	return other.place()
}

// warnDigits warns of values that the display of the range which was named cannot show: 10.01139 Ω
// on a range with steps of 10 mΩ. A mean that was written down in place of values is one too.
func (e *evaluation) warnDigits(warn func(error, string, ...any)) {
	found := make(map[*Range][]string)
	for i := range e.readings {
		rd, rg := &e.readings[i], e.ranges[i]
		if rd.Range == "" || rg.Resolution == 0 {
			continue // the range was chosen for the value, or its step is not known
		}
		finer := func(v float64) bool { return !wholeSteps(v, rg.Resolution) }
		if slices.ContainsFunc(rd.Values, finer) || slices.ContainsFunc(rd.Reversed, finer) {
			found[rg] = append(found[rg], rd.placeInFile(rd.Line))
		}
	}
	// In the order of the meter, not that of a map.
	for i := range e.meter.Ranges {
		rg := &e.meter.Ranges[i]
		if list := found[rg]; len(list) > 0 {
			warn(ErrRecord, "%s on range %s with digits that its display, in steps of %s, does "+
				"not show: %s. Read on another range, or written down as a mean?",
				wording.Plural(len(list), "reading"), rg.Name,
				unit.Format(rg.Resolution, unit.Ohm), wording.Short(list))
		}
	}
}

// wholeSteps reports whether a value in Ω is a whole number of steps of a display. A hundredth of
// a step is no digit but rounding, of float64 or of somebody who writes kΩ.
func wholeSteps(v, step float64) bool {
	const rounding = 0.01
	n := v / step
	return math.Abs(n-math.Round(n)) <= rounding
}

// longestSession is what readings of one stage in one session may lie apart without a question: a
// month, since a box is read in an afternoon, and a session is one setting-up of the meter.
const longestSession = 31 * 24 * time.Hour

// warnTimes warns of readings whose time lies far from the median of their session and stage: a
// year that was mistyped would become the date of the calibration.
func (e *evaluation) warnTimes(warn func(error, string, ...any)) {
	at := make(map[zeroKey][]int)
	var order []zeroKey
	for i := range e.readings {
		rd := &e.readings[i]
		if rd.Time.IsZero() {
			continue
		}
		k := zeroKey{rd.Session, rd.Stage}
		if at[k] == nil {
			order = append(order, k)
		}
		at[k] = append(at[k], i)
	}
	for _, k := range order {
		times := make([]time.Time, len(at[k]))
		for n, i := range at[k] {
			times[n] = e.readings[i].Time
		}
		slices.SortFunc(times, time.Time.Compare)
		median := times[len(times)/2]
		var far []string
		for _, i := range at[k] {
			rd := &e.readings[i]
			if rd.Time.Sub(median).Abs() > longestSession {
				far = append(far, rd.placeInFile(rd.Line)+" of "+rd.Time.Format(time.DateOnly))
			}
		}
		if len(far) > 0 {
			warn(ErrRecord, "%s more than a month from the others of the session, which are of "+
				"%s: %s. A date that was mistyped, or another session?",
				wording.Plural(len(far), "reading"), median.Format(time.DateOnly),
				wording.Short(far))
		}
	}
}
