// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// This file is the error of a meter in a reading. Its parts (see [Combination]) are sources
// that readings share: of a range, and half of each variance of a session, half of all
// sessions under one certificate of the meter, unless the range says otherwise.
//
//	source         coefficient     the same for
//	gain           −R              all readings of a range
//	zero           −1              all readings of a range
//	cross term     −√(R/V)         all readings of a range
//	linearity      −1              a value (0.1 % of V), whatever the session
//	certificate    −weights        the points of a certificate, or each point
//	independent    −1              nothing: new in each reading
//
// Coefficients are negative, since a value is the reading less its error. The limit of a source
// has the unit of limit × coefficient = Ω: the gain is a fraction, the others are in Ω; the cross
// term is √(2ab)·V, so that its coefficient is 1 at full scale.
//
// Two readings of one value share all of it and their difference is free of the meter; a sum of
// ten steps has ten times the gain of one, where independent errors would give √10 times.

// law is the distribution about 0 of an error stated by the maker: limits without coverage
// factor are rectangular, others normal, in the unit of limit.
func (r Range) law(limit float64) uncertainty.Distribution {
	if r.K == 0 {
		// GUM 4.3.7: limits alone say nothing of where between them the error lies.
		return uncertainty.Rectangular(0, limit)
	}
	// GUM 4.3.3: a stated U divided by its coverage factor.
	return uncertainty.Normal(0, limit/r.K)
}

// single is the value of reading i in which the parts of the meter's error are the rectangles
// that they are together: the law of a reading alone, with nothing to be shared. False where they
// stand for themselves.
func (e *evaluation) single(i int) (result, bool) {
	r, rg := e.values[i], e.ranges[i]
	if !r.limited {
		return r, false
	}
	rd := &e.readings[i]
	whole := wholes(*rg, rd.value().nearest(), e.outside(rd))
	if len(whole) == 0 {
		return r, false
	}
	// All sources but those of the meter, for which the whole limits stand.
	out := r
	out.c = slices.Concat(r.c[:r.meterFrom], r.c[r.meterTo:])
	out.q = slices.Concat(r.q[:r.meterFrom], r.q[r.meterTo:])
	for k, limit := range whole {
		if limit > 0 {
			out.with(-1, uncertainty.Input(fmt.Sprintf("limit %d of the meter, %s", k+1, rg.Name),
				uncertainty.Rectangular(0, limit)))
		}
	}
	return out, true
}

// root is √square, 0 of what rounding leaves below 0: limits that are equal by what they mean may
// differ in their last bits.
func root(square float64) float64 { return math.Sqrt(max(0, square)) }

// addMeterErrors adds the error of the meter in a reading: by its certificate where that has points
// on both sides, else by the limits. reading is the mean of what was displayed, in Ω.
//
// What the kelvins outside the band add is one source for the range, with a coefficient for each
// reading: nothing is known of how gain and zero share it.
func (s *sources) addMeterErrors(out *result, rd *Reading, rg Range, reading float64) {
	from := len(out.q)
	outside := s.outside(rd)
	if c := rg.Calibration; c != nil && c.covers(reading) {
		s.addCertificate(out, rd, rg, reading)
	} else {
		s.addLimits(out, rd, rg, rg.limits(), "", reading)
		out.limited = true
	}
	// In quadrature: together with the limits inside the band, the squares (GUM 5.1.2) give the
	// wide limit.
	if wide, l := rg.Limit(reading, outside), rg.Limit(reading, 0); wide > l {
		out.with(-root(float64(wide*wide)-float64(l*l)), s.input("meter outside its band, "+rg.Name,
			rd.Session, rg.law(1), "", "what the temperature adds to the limits"))
	}
	out.meterFrom, out.meterTo = int32(from), int32(len(out.q))
}

// wholes are the limits that make up the error of a single reading, in Ω: the rectangles whose
// standard uncertainties its parts have together.
//
//	one limit     a·R + b·V     one rectangle
//	two limits    a·R, b·V      two
//	otherwise     none: the sources of the reading are independent or normal already
func wholes(rg Range, reading, outside float64) []float64 {
	switch {
	case rg.K > 0 || rg.Combine == CombineIndependent:
		return nil // the parts are the whole already
	case rg.Combine == CombineTwoLimits:
		zero := rg.Limit(0, outside)
		return []float64{rg.Limit(reading, outside) - zero, zero}
	}
	return []float64{rg.Limit(reading, outside)}
}

// addLimits adds the error of a reading whose limits are l, by the combination of the range.
// of is what the sources are called beside the range: empty for its own limits, of which alone the
// linearity is a part. The squares of all that is added make the square of the limit,
//
//	(aR)² + (b²V² − e²) + 2abV·R + e² = (aR + bV)²
//
// so that u of the reading is the limit over √3 whatever the linearity is taken for.
func (s *sources) addLimits(out *result, rd *Reading, rg Range, l Limits,
	of string, reading float64) {
	a, part := l.OfReading, rg.rangePart(l)
	if rg.Combine == CombineIndependent {
		if limit := float64(a*math.Abs(reading)) + part; limit > 0 {
			s.addOwn(out, -1, "meter limits"+of+" at "+rd.Label()+", "+rg.Name, rd, rg.law(limit),
				"new in each reading")
		}
		return
	}
	var e float64
	if of == "" {
		// At most the range part: what is stated is checked, what is assumed is cut to it.
		e, _ = rg.LinearityLimit()
	}
	name := rg.Name + of
	s.addGain(out, rd, rg, a, of, reading)
	// The linearity is a part of the range part, so its square comes off: both together are the
	// stated limit.
	zero := root(float64(part*part) - float64(e*e))
	s.addShared(out, rd, rg, sharedPart{name: "meter zero " + name, of: of, limit: zero, unit: "Ω",
		factor: -1, session: rg.zeroSession(zero, e)})
	// (a·R + b)² = a²R² + 2abR + b²: gain and zero have the outer terms, this source the middle
	// one.
	if rg.Combine == CombineOneLimit {
		s.addShared(out, rd, rg, sharedPart{name: "meter cross term " + name, of: of,
			limit: math.Sqrt(2*a*part) * math.Sqrt(rg.FullScale), unit: "Ω",
			factor: -math.Sqrt(math.Abs(reading) / rg.FullScale),
			session: rg.sessionShare(func(t Limits) float64 {
				return t.OfReading * rg.rangePart(t)
			})})
	}
	s.addLinearity(out, rg, e, reading)
}

// addGain adds the gain error: of the internal reference, and of the range beside it. a is a
// fraction. With a reference at 10 ppm and a range at 30 ppm the range has √(30² − 10²) = 28 ppm
// of its own: two such ranges have a correlation of 1/9 in their gains.
func (s *sources) addGain(out *result, rd *Reading, rg Range, a float64,
	of string, reading float64) {
	ofGain := func(t Limits) float64 { return t.OfReading * t.OfReading }
	share := rg.sessionShare(ofGain)
	// Ranges of one reference share at most what the best of them is stated to have.
	if best, ok := s.bestOf(rg.Reference); ok && of == "" {
		common := best.OfReading
		s.addShared(out, rd, best, sharedPart{name: "meter reference " + rg.Reference,
			reference: true, limit: common, factor: -reading, session: best.sessionShare(ofGain)})
		// What the range adds to the reference that it shares.
		a = root(float64(a*a) - float64(common*common))
	}
	s.addShared(out, rd, rg, sharedPart{name: "meter gain " + rg.Name + of, of: of, limit: a,
		factor: -reading, session: share})
}

// bestOf finds the range with the smallest gain error of an internal reference, the first of
// several; false where the reference has no name.
func (s *sources) bestOf(reference string) (best Range, ok bool) {
	for _, r := range s.meter.Ranges {
		if reference != "" && r.Reference == reference && (!ok || r.OfReading < best.OfReading) {
			best, ok = r, true
		}
	}
	return best, ok
}

// halfSession is the part of a variance that is taken for that of a session where nobody states
// the split. The mean over many sessions keeps √(1 − 0.5) = 0.71 of the limit's u: with 1 it would
// vanish as sessions are added, with 0 a second session would tell nothing new.
const halfSession = 0.5

// sessionShare is the part of a variance that belongs to a session, 0 to 1: that of the short-term
// limits where they are stated, else one half. square takes from limits what the variance is
// proportional to: a² for the gain, a·b for the cross term.
func (r Range) sessionShare(square func(Limits) float64) float64 {
	if r.ShortTerm == nil {
		// Nobody states the split; halves make both correlations, within and between sessions,
		// plausible.
		return halfSession
	}
	whole := square(r.limits())
	if whole == 0 {
		return 0
	}
	return min(1, square(*r.ShortTerm)/whole)
}

// zeroSession is the part of the variance of a zero error that belongs to a session, with zero =
// √(b²V² − e²) in Ω. The linearity is in the short-term limits too: (b_s²V² − e²)/(b²V² − e²), at
// least 0 where the short-term range part is all linearity.
func (r Range) zeroSession(zero, e float64) float64 {
	if r.ShortTerm == nil || zero == 0 {
		return halfSession
	}
	part := r.rangePart(*r.ShortTerm)
	return min(1, max(0, float64(part*part)-float64(e*e))/float64(zero*zero))
}

// sharedPart is a part of an error that readings share.
type sharedPart struct {
	name      string
	of        string  // what the limits are called beside the range
	reference bool    // of an internal reference, not of a range alone
	limit     float64 // ±, in unit
	unit      string  // Ω; empty: a fraction
	factor    float64 // sensitivity: limit·factor is in Ω
	session   float64 // part of the variance that is of the session
}

// addShared adds a part as one source where readings of one session share it, else as one of
// the session and one of the certificate. The split is one of variances, so that the limits are
// l·√s and l·√(1 − s): with s = ½ each is 0.71·l, and both together have the u of l.
//
//	sessions   certificate, serial, session   sources
//	one        one of them unknown            one
//	one        all known                      two: another file may have the same certificate
//	several    any                            two
//
// Where all are known the source of the certificate has an ID without the session, by which
// results of another file share it; else the source is common within this report alone.
func (s *sources) addShared(out *result, rd *Reading, rg Range, p sharedPart) {
	if p.limit == 0 {
		return
	}
	certificate := ""
	if s.meter.Serial != "" && s.meter.Certificate != "" && rd.Session != "" {
		certificate = s.meter.Serial + "/certificate " + s.meter.Certificate + "/"
	}
	// Within one session the two parts always occur together, so that one source says the same
	// (GUM F.1.2.3).
	if !s.many && certificate == "" {
		q := s.input(p.name, rd.Session, rg.law(p.limit), p.unit,
			"common to the readings of the range")
		s.noteBound(q, rg, p, sessionOf(rd), p.limit)
		out.with(p.factor, q)
		return
	}
	if c := p.limit * math.Sqrt(1-p.session); c > 0 {
		name := p.name + " (certificate)"
		if certificate != "" {
			certificate += name
		}
		q := s.meterSource(name, certificate, rg.law(c), p.unit, "common to all sessions")
		s.noteBound(q, rg, p, "", c)
		out.with(p.factor, q)
	}
	if c := p.limit * math.Sqrt(p.session); c > 0 {
		q := s.input(p.name+" (session)", rd.Session, rg.law(c), p.unit,
			"common to the readings of the session")
		s.noteBound(q, rg, p, sessionOf(rd), c)
		out.with(p.factor, q)
	}
}

// sameValue is the part of full scale within which values have one linearity error. Smaller, and
// repeated diallings of one setting would seem to have errors of their own; larger, and errors of
// neighbouring steps would cancel that in a meter do not.
const sameValue = 0.001

// addLinearity adds the linearity error ±e, in Ω, at a value: a property of the meter, the same
// whenever it shows that value. Its name has the value of the anchor, and its ID the limit too: a
// meter whose limit was assumed otherwise has another source.
func (s *sources) addLinearity(out *result, rg Range, e, reading float64) {
	if e == 0 {
		return
	}
	name := linearityName + unit.Format(s.anchor(rg, reading), unit.Ohm) + ", " + rg.Name
	id := ""
	if s.meter.Serial != "" {
		id = s.meter.Serial + "/" + name + ", ±" + strconv.FormatFloat(e, 'g', -1, 64)
	}
	out.with(-1, s.meterSource(name, id, rg.law(e), "Ω", "the same whenever this value is read"))
}

// linearityName begins the name of a linearity error; familyOf knows the meter's sources by their
// first word.
const linearityName = "meter linearity near "

// anchorKey is a cell of one thousandth of full scale: that around cell·step, half a step to
// either side.
type anchorKey struct {
	rangeName string
	cell      int
}

// anchor is a value at which a linearity error was met first.
type anchor struct {
	ohms float64
	by   int // index of the reading
}

// anchor is the value for which the linearity error at a reading is made, as a whole
// multiple of a thousandth of full scale: that of an earlier reading nearby, so that two
// readings of one value never fall on either side of a border.
//
// On a range of 1 kΩ the step is 1 Ω. A first reading of 100.49 Ω begins the cell 100; one of
// 100.52 Ω, which rounds to 101, finds it 0.03 steps away and has the same error; one of 101.6 Ω
// lies more than a step from it and begins the cell 102. Which values share one depends on the
// order of the readings, as it must where nearness is not transitive.
func (s *sources) anchor(rg Range, reading float64) float64 {
	step := sameValue * rg.FullScale
	cell := int(math.Round(reading / step))
	best, found := anchorKey{rg.Name, cell}, false
	// In billionths of a step: decimals that lie a step apart do so in binary, too, and of two
	// anchors as far away the one that was read first is taken, whatever their last bits say.
	apart := func(v anchor) float64 { return math.Round(1e9 * math.Abs(v.ohms-reading) / step) }
	var nearby anchor
	// The neighbours too: rounding may have put the same value into either of two cells.
	for k := cell - 1; k <= cell+1; k++ {
		at := anchorKey{rg.Name, k}
		v, ok := s.anchors[at]
		if !ok || apart(v) > 1e9 {
			continue
		}
		if d := apart(v) - apart(nearby); !found || d < 0 || d == 0 && v.by < nearby.by {
			best, nearby, found = at, v, true
		}
	}
	if !found {
		s.anchors[best] = anchor{reading, s.current}
	}
	// As a decimal: a multiple of a binary fraction would show its rounding.
	return decimal(step).times(best.cell).nearest()
}

// covers reports whether a reading lies between the first and the last point. Nothing is
// extrapolated: beyond them the limits hold.
func (c *RangeCalibration) covers(reading float64) bool {
	return reading >= c.Points[0].Reading && reading <= c.Points[len(c.Points)-1].Reading
}

// interpolation finds the points on either side of a reading, i and i+1, and their weights 1 − f
// and f in a straight line between them; of a single point it has the weight 1. Points rise
// strictly (checkCalibration), so that no interval is empty.
func (c *RangeCalibration) interpolation(reading float64) (i int, weights map[int]float64) {
	// The last interval stays the last: covers has excluded readings beyond it.
	for i+2 < len(c.Points) && reading > c.Points[i+1].Reading {
		i++
	}
	if i+1 == len(c.Points) {
		return i, map[int]float64{i: 1}
	}
	p, q := c.Points[i].Reading, c.Points[i+1].Reading
	f := (reading - p) / (q - p)
	return i, map[int]float64{i: 1 - f, i + 1: f}
}

// addCertificate corrects a reading by the certificate of its range, and adds the uncertainty of
// the correction. Between two points with weights w the uncertainty depends on what their errors
// have in common:
//
//	independent   one source for each point, −w_k: in quadrature, smallest in the middle
//	otherwise     one source for all points, −Σ w_k·u_k in units of the largest u: linear
//
// The second is the default, since the points come from one standard on one day. Whatever the
// meter has done since then is added by its stability, or by all of its limits.
func (s *sources) addCertificate(out *result, rd *Reading, rg Range, reading float64) {
	c := rg.Calibration
	i, weights := c.interpolation(reading)
	atPoint := false
	correction, u := 0.0, 0.0
	for k := i; k < min(i+2, len(c.Points)); k++ {
		p := c.Points[k]
		correction += float64(weights[k] * p.Error)
		u += float64(weights[k] * p.u())
		atPoint = atPoint || math.Abs(reading-p.Reading) <= sameValue*rg.FullScale
		if c.Independent && p.U > 0 && weights[k] > 0 {
			name := "certificate of the meter at " + unit.Format(p.Reading, unit.Ohm) + ", " +
				rg.Name
			out.with(-weights[k], s.meterSource(name, s.certificateID(name),
				uncertainty.Normal(0, p.u()),
				"Ω", "one point"))
		}
	}
	// GUM 3.2.4: a known error is corrected, and the uncertainty of its correction enters
	// instead.
	out.stated = out.stated.minus(decimal(correction))
	if most := c.largest(); !c.Independent && most > 0 {
		name := "certificate of the meter, " + rg.Name
		// One source scaled to each point: errors of a certificate come from the same standards
		// (GUM F.1.2.3).
		out.with(-u/most, s.meterSource(name, s.certificateID(name), uncertainty.Normal(0, most),
			"Ω",
			"common to its points"))
	}
	// On the day of the certificate its U holds; afterwards the meter may have drifted (VIM 4.21,
	// instrumental drift).
	sameDay := !c.Date.IsZero() && !rd.Time.IsZero() &&
		rd.Time.Format(dayLayout) == c.Date.Format(dayLayout)
	switch {
	case !sameDay && c.Stability == nil:
		s.addLimits(out, rd, rg, rg.limits(), "", reading)
		return
	case !sameDay:
		s.addLimits(out, rd, rg, *c.Stability, " after its certificate", reading)
	}
	// Between the points the line is interpolated; at a point the certificate has seen the
	// linearity.
	if e, _ := rg.LinearityLimit(); !atPoint {
		s.addLinearity(out, rg, e, reading)
	}
}

// dayLayout is a date without its time, in the zone that the time was written in: the day of the
// laboratory.
const dayLayout = "2006-01-02"

// certificateID makes a source of the meter's certificate the same one in every file; empty, which
// is a source of this report alone, where serial or certificate are not stated.
func (s *sources) certificateID(name string) string {
	if s.meter.Serial == "" || s.meter.Certificate == "" {
		return ""
	}
	return s.meter.Serial + "/certificate " + s.meter.Certificate + "/" + name
}

// u is the standard uncertainty of a point, in Ω.
func (p CalibrationPoint) u() float64 {
	if p.K == 0 {
		// GUM 6.3.3: k = 2 for about 95 %, as certificates usually state it.
		return p.U / 2
	}
	return p.U / p.K
}

// largest is the largest standard uncertainty of the points, in Ω: the scale of their common
// source. 0 means a certificate without uncertainty.
func (c *RangeCalibration) largest() float64 {
	most := 0.0
	for _, p := range c.Points {
		most = max(most, p.u())
	}
	return most
}
