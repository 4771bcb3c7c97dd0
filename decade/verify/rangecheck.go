// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// Figures of a meter are typed from a data sheet, and a slip in them is in every verdict that
// follows. What is refused here is what no meter has: negative figures, per cent written as a
// number ("0.01" for 0.01 %, which is taken as 1 %, cannot be told; 1.5 for 1.5 % can), digits
// without a resolution, parts larger than their whole. What is merely unusual is a warning of
// the report.
//
// Where names the place in the file for a message, such as ranges[0] "1 kΩ".

// checkRange refuses a range whose figures make no sense, the first that does. Each figure is
// looked at by itself; checkParts compares them.
func (r Range) checkRange(where string) error {
	const op = "verify.Meter"
	if r.Name == "" {
		return &Error{Op: op, Name: where,
			Err: unit.Errorf(ErrEmpty, "no name; expected one, such as 1 kΩ")}
	}
	// By the keys of the meter file, which is where somebody will look for them.
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"fullScale", r.FullScale}, {"overRange", r.OverRange}, {"ofReading", r.OfReading},
		{"ofRange", r.OfRange}, {"digits", r.Digits}, {"k", r.K},
		{"linearity", r.Linearity}, {"noise", r.Noise}, {"resolution", r.Resolution},
		{"current", r.Current}, {"ofReadingPerKelvin", r.OfReadingPerKelvin},
		{"ofRangePerKelvin", r.OfRangePerKelvin},
	} {
		if err := notNegative(op, where+": "+f.name, f.value); err != nil {
			return err
		}
	}
	switch {
	case r.FullScale == 0:
		return &Error{Op: op, Name: where + ": fullScale",
			Err: unit.Errorf(ErrDomain, "0; expected more than 0 Ω")}
	case r.OverRange != 0 && r.OverRange < 1:
		return &Error{Op: op, Name: where + ": overRange", Value: r.OverRange,
			Err: unit.Errorf(ErrDomain, "%v; expected 1 or more, or 0 for 1", r.OverRange)}
	case r.Combine > CombineIndependent:
		return &Error{Op: op, Name: where + ": combine", Value: float64(r.Combine),
			Err: unit.Errorf(ErrUnknown, "%d; expected one limit, two limits or independent",
				r.Combine)}
	// Two finite numbers whose product is not: 1e300 Ω ten times over.
	case !finite(r.Reach()):
		return &Error{Op: op, Name: where + ": overRange", Value: r.OverRange,
			Err: unit.Errorf(ErrNotFinite, "largest reading overflows; expected a finite one")}
	}
	return r.checkParts(where)
}

// checkParts compares the parts of the limits with each other: what is a part of something must
// not exceed it, since the rest is a variance (metererror.go takes a root of b² − e²).
func (r Range) checkParts(where string) error {
	const op = "verify.Meter"
	if err := r.limits().checkLimits(where, r.Resolution); err != nil {
		return err
	}
	part := r.RangePart()
	switch {
	case !finite(r.Limit(r.Reach(), 0)):
		return &Error{Op: op, Name: where + ": digits", Value: r.Digits,
			Err: unit.Errorf(ErrNotFinite, "limit of error overflows; expected a finite one")}
	case r.Linearity > 0 && r.Combine == CombineIndependent:
		return &Error{Op: op, Name: where + ": linearity", Value: r.Linearity,
			Err: unit.Errorf(ErrContradiction,
				"%v Ω where the parts are independent, new in each reading; expected none",
				r.Linearity)}
	case r.Linearity > part:
		return &Error{Op: op, Name: where + ": linearity", Value: r.Linearity,
			Err: unit.Errorf(ErrContradiction,
				"%v Ω, above the range part of %v Ω; expected at most that", r.Linearity, part)}
	}
	if s := r.ShortTerm; s != nil {
		if err := s.checkLimits(where+": shortTerm", r.Resolution); err != nil {
			return err
		}
		// The short term is a part of the whole; more than the whole would leave a negative
		// rest.
		if s.OfReading > r.OfReading || r.rangePart(*s) > part {
			return &Error{Op: op, Name: where + ": shortTerm", Value: s.OfReading,
				Err: unit.Errorf(ErrContradiction,
					"%v, above the limits of the range, %v; expected at most these", *s,
					r.limits())}
		}
	}
	if r.Calibration == nil {
		return nil
	}
	return r.Calibration.checkCalibration(where+": calibration", r)
}

// rangePart is that of other limits on this range, in Ω: 8 ppm and 2 digits of 1 mΩ on 1 kΩ are
// 10 mΩ.
func (r Range) rangePart(l Limits) float64 {
	return float64(l.OfRange*r.FullScale) + float64(l.Digits*r.Resolution)
}

// checkLimits refuses limits that are negative, too large, or digits without a resolution.
func (l Limits) checkLimits(where string, resolution float64) error {
	const op = "verify.Meter"
	for _, f := range []struct {
		name  string
		value float64
	}{{"ofReading", l.OfReading}, {"ofRange", l.OfRange}, {"digits", l.Digits}} {
		if err := notNegative(op, where+": "+f.name, f.value); err != nil {
			return err
		}
	}
	switch {
	// Limits of one session or after a certificate as well, which come through here.
	case l.OfReading > tooLarge || l.OfRange > tooLarge:
		most := max(l.OfReading, l.OfRange)
		return &Error{Op: op, Name: where, Value: most,
			Err: unit.Errorf(ErrDomain,
				"limit of error of %v, that is %v %%; expected a fraction of at most %v (write "+
					"\"0.01 %%\" or 0.0001)", most, 100*most, tooLarge)}
	case l.Digits > 0 && resolution == 0:
		return &Error{Op: op, Name: where + ": ofRange", Value: l.Digits,
			Err: unit.Errorf(ErrNotStated, "%s without a resolution; expected the resolution of "+
				"the range, in Ω", digitsText(l.Digits))}
	}
	return nil
}

// checkCalibration refuses a certificate without points, or whose points do not rise: a line is
// drawn from each to the next, by interpolation of the reading. One point alone serves readings
// at it.
func (c *RangeCalibration) checkCalibration(where string, r Range) error {
	const op = "verify.Meter"
	if len(c.Points) == 0 {
		return &Error{Op: op, Name: where, Err: unit.Errorf(ErrEmpty, "no points; expected at "+
			"least one")}
	}
	for i, p := range c.Points {
		at := fmt.Sprintf("%s: points[%d]", where, i)
		for _, f := range []struct {
			name  string
			value float64
		}{{"U", p.U}, {"k", p.K}} {
			if err := notNegative(op, at+": "+f.name, f.value); err != nil {
				return err
			}
		}
		switch {
		case !finite(p.Reading) || !finite(p.Error):
			return &Error{Op: op, Name: at, Value: p.Error,
				Err: unit.Errorf(ErrNotFinite, "error of %v Ω at %v Ω; expected finite numbers",
					p.Error, p.Reading)}
		// A point that the range cannot show was meant for another range.
		case math.Abs(p.Reading) > r.Reach():
			return &Error{Op: op, Name: at + ": reading", Value: p.Reading,
				Err: unit.Errorf(ErrDomain, "%v Ω; expected at most %v Ω, which the range shows",
					p.Reading, r.Reach())}
		case i > 0 && p.Reading <= c.Points[i-1].Reading:
			return &Error{Op: op, Name: at + ": reading", Value: p.Reading,
				Err: unit.Errorf(ErrContradiction,
					"%v Ω after %v Ω; expected points with rising readings", p.Reading,
					c.Points[i-1].Reading)}
		}
	}
	if c.Stability == nil {
		return nil
	}
	return c.Stability.checkLimits(where+": stability", r.Resolution)
}

// tooLarge is the fraction above which a limit of error is taken for per cent written as a
// number: 0.5 for 0.5 % and 1 for 1 % lie above it, and a meter with limits of 20 % would decide
// nothing.
const tooLarge = 0.2
