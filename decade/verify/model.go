// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
)

// This file makes the value of one reading from what the meter showed: the terms of the model in
// the package comment, each as an uncertain quantity with the coefficient with which it enters,
// and mean 0 unless it corrects.
//
// A reading of 1000.012 Ω at 1-0-0 on a range of 1 kΩ becomes a linear form of its sources:
//
//	stated   1000.012
//	c·q      −1000.012·gain − 1·zero − 1·cross − 1·e(1 kΩ)
//	own      −1·resolution − 1·repeatability − 1·contacts
//
// Two readings that hold the same q share it, and their difference has the coefficient c₁ − c₂:
// zero for the zero error, 0.1·gain for readings 0.1 Ω apart. That is all there is to
// correlation here; nothing computes a covariance of readings (GUM 5.2.2, and F.1.2.3 on common
// sources). The sum itself is taken to first order by package uncertainty; the model is linear
// but for the corrections, whose coefficients are their derivatives at the reading.
//
// What is of one reading alone stands apart, in own: a mean of a thousand zeros would carry
// thousands of quantities, of which only the sum of squares matters (meanOf).

// result is a value built from readings: what the displays say, exact in their
// decimals, and the quantities that correct it. Adding and subtracting such results
// keeps the decimals exact until one rounding at the end, so that a deviation that
// stands on a limit is on it.
type result struct {
	// What the display said, in Ω, corrected by what is exact (leads, certificate); the value is
	// stated + Σ c[k]·q[k] + Σ own.c·own.q.
	stated exact
	// c[k] is the coefficient of q[k]. A quantity may occur twice: nothing joins them before
	// they are used. A copy of a result shares these slices: append, plus and minus clip them
	// before they add, with does not.
	c   []float64
	q   []uncertainty.Quantity
	own []private // sources of one reading alone

	// Of one reading: where the parts of the meter's error stand, and whether they are those of
	// its limits alone, see wholes.
	meterFrom, meterTo int32
	limited            bool
	noiseKnown         []private // where diallings took its place
	scatter            float64   // Ω, of a dialling by what is stated of contacts and noise
}

// private is a source of one reading alone, q with coefficient c: in a mean of n readings there
// remains of it a share c·u/n, added in squares. noise and contact say what diallings can
// replace; pool is empty, or names the pooled standard deviation that u rests on, so that the
// degrees of freedom of several readings are counted once.
type private struct {
	c       float64
	q       uncertainty.Quantity
	u       float64 // of q
	dof     float64
	noise   bool   // of the values of one dialling
	contact bool   // of the contacts of one dialling, or of both
	pool    string // see uncertainty.Source
}

// with adds a source and its coefficient. It appends in place: r must not share its slices with
// another result that is still in use.
func (r *result) with(c float64, q uncertainty.Quantity) {
	r.c = append(r.c, c)
	r.q = append(r.q, q)
}

// plus adds s.
func (r *result) plus(s result) {
	// Decimals: 0.1 has no exact float64, and a sum of such would leave the limit.
	r.stated = r.stated.plus(s.stated)
	r.append(1, s)
}

// minus subtracts s.
func (r *result) minus(s result) {
	r.stated = r.stated.minus(s.stated)
	r.append(-1, s)
}

// append adds the sources of s times a factor, ±1 of a sum or a difference, −gain of a
// correction. Cost: the sources of both, since the slices are copied.
func (r *result) append(factor float64, s result) {
	// Clip, so that append copies and cannot write behind the end of a slice that two results
	// share.
	// What r has may be that of another result.
	r.c, r.q = slices.Grow(slices.Clip(r.c), len(s.c)), slices.Grow(slices.Clip(r.q), len(s.q))
	for i, q := range s.q {
		r.with(factor*s.c[i], q)
	}
	r.own = slices.Grow(slices.Clip(r.own), len(s.own))
	for _, p := range s.own {
		p.c *= factor
		r.own = append(r.own, p)
	}
}

// estimate is the value, in Ω.
func (r result) estimate() float64 {
	// The decimals are rounded once; what is added are corrections, small beside them, with
	// estimates of 0 for most.
	v := r.stated.nearest()
	for i, q := range r.q {
		v += float64(r.c[i] * q.Estimate())
	}
	for _, p := range r.own {
		v += float64(p.c * p.q.Estimate())
	}
	return v
}

// quantity is the value as a quantity; without a name where that is empty.
func (r result) quantity(name string) uncertainty.Quantity {
	c, q := slices.Clip(r.c), slices.Clip(r.q)
	if n := len(r.own); n > 0 {
		c, q = slices.Grow(c, n), slices.Grow(q, n)
	}
	// Behind those that are shared, so that budgets list the meter first and the reading last.
	for _, p := range r.own {
		c, q = append(c, p.c), append(q, p.q)
	}
	// Relative errors have coefficients in ohms.
	out := uncertainty.LinearInUnit("Ω", r.stated.nearest(), c, q)
	if name == "" {
		return out
	}
	return out.Named(name)
}

// sources makes each input quantity of a report once, so that readings share what they share.
// Made is by name: two sources of one name are one quantity, and names therefore say of which
// range, session or value they are. It is used by one goroutine, until the evaluation is done.
type sources struct {
	meter *Meter
	box   *decade.Box
	spec  decade.Spec
	// Made has the sources by name, scatter that of repeats by session and range. Changes and
	// often are there for speed alone: what they hold would come out the same if made again.
	made    map[string]uncertainty.Quantity
	scatter map[group]scatter
	many    bool                           // more than one session: names say which
	anchors map[anchorKey]anchor           // where the linearity is a source
	bounds  map[uncertainty.Quantity]bound // of the parts of the meter's error
	current int                            // reading that is evaluated: anchors note it
	changes map[corrected]uncertainty.Quantity
	contact contacts
	often   map[lawKey]uncertainty.Distribution
}

// corrected is what a temperature correction is made for: readings that agree in all three have
// one and the same correction, error of the thermometer included.
type corrected struct {
	setting decade.Setting
	session string
	celsius float64
}

// lawKey is a law that many single readings have: a step of the display, or a normal law. Of the
// thousands of readings of a session most have one step and a few noises.
type lawKey struct {
	step  bool
	width float64 // Ω, of the step, or its standard uncertainty
}

// lawOnce makes a law once, not for each of a hundred thousand readings.
func (s *sources) lawOnce(k lawKey) uncertainty.Distribution {
	if d, ok := s.often[k]; ok {
		return d
	}
	d := uncertainty.Normal(0, k.width)
	if k.step {
		// GUM F.2.2.1: a step δ is a rectangle of half-width δ/2.
		d = uncertainty.Resolution(0, k.width)
	}
	s.often[k] = d
	return d
}

// group is the readings that share a meter range in one session; rangeName is that of the range,
// not what the reading calls it ("1kΩ" for "1 kΩ").
type group struct{ session, rangeName string }

// scatter is the pooled standard deviation of repeats (GUM 4.2.4): squares is Σ(n − 1)·s² in Ω²
// and dof Σ(n − 1), over the diallings of a group, each polarity for itself. The zero scatter is
// that of no repeats.
type scatter struct {
	squares float64
	dof     int
}

// deviation is the pooled standard deviation of one value, in Ω; NaN without repeats, which
// callers exclude.
func (s scatter) deviation() float64 { return math.Sqrt(s.squares / float64(s.dof)) }

// fewRepeats is the number of readings up to which their own standard deviation is replaced by
// the pooled one of the range: that of three readings is itself uncertain by 52 %, of four by 42
// % (GUM table E.1), and t for two degrees of freedom is 4.3, more than twice the usual factor.
// A larger bound would hide a setting that is noisier than the others.
const fewRepeats = 3

// addOwn adds a source that belongs to one reading of this box only.
func (s *sources) addOwn(out *result, c float64, name string, rd *Reading,
	d uncertainty.Distribution,
	note string) {
	s.addPrivate(out, private{c: c, dof: math.Inf(1)}, name, rd, d, note)
}

// addPrivate adds a source that belongs to one reading of this box only, of a pool or of noise. It
// is made anew for each reading, and not looked up by its name. The box is in its ID, since the
// same meter may read another one in the same session.
func (s *sources) addPrivate(out *result, p private, name string, rd *Reading,
	d uncertainty.Distribution, note string) {
	p.q = s.describe(source{name: name, session: rd.Session,
		of: s.box.Name() + " " + s.box.Serial() +
			"/", unit: "Ω", note: note, pool: p.pool, law: d}).Input()
	// Callers that know u pass it: the standard deviation of a scaled t costs more than a field.
	// That of a noise is known, and may be 0: repeats that all show one number. A t scaled by 0
	// would have an infinite one.
	if p.u == 0 && !p.noise {
		p.u = d.StdDev()
	}
	out.own = append(out.own, p)
}

// input returns the source with this name, made on first use. The ID makes it the same
// quantity when the file is read again, where serial and session say which it is.
func (s *sources) input(name, session string, d uncertainty.Distribution, unit,
	note string) uncertainty.Quantity {
	return s.sessionSource(source{name: name, session: session, unit: unit, note: note, law: d})
}

// source is an input of a session: of is what stands before its name in its ID, pool as in
// uncertainty.Source, law its distribution in the unit given.
type source struct {
	name, session, of, unit, note, pool string
	law                                 uncertainty.Distribution
}

// sessionSource returns the source of a session, made on first use.
func (s *sources) sessionSource(x source) uncertainty.Quantity {
	return s.sourceOnce(s.describe(x))
}

// describe gives a source of a session its name and, where session and meter are known, an ID.
// An ID makes sources of two reports one quantity: the zero of a range in the session "monday",
// read with the meter of serial 7, is the same error in the report of one box and of the next.
func (s *sources) describe(x source) uncertainty.Source {
	// Sources of two sessions are different, and a budget must not show one name twice.
	if s.many && x.session != "" {
		x.name += ", session " + x.session
	}
	id := ""
	// Without both nobody can say that a source of another file is the same one.
	if s.meter.Serial != "" && x.session != "" {
		id = s.meter.Serial + "/" + x.session + "/" + x.of + x.name
	}
	return uncertainty.Source{Name: x.name, Distribution: x.law, Unit: x.unit, Note: x.note,
		Pool: x.pool, ID: id}
}

// meterSource returns the source with this name, made on first use, with the ID that is given: for
// what belongs to the meter and its certificate, whatever the session.
func (s *sources) meterSource(name, id string, d uncertainty.Distribution, unit,
	note string) uncertainty.Quantity {
	return s.sourceOnce(uncertainty.Source{Name: name, Distribution: d, Unit: unit, Note: note,
		ID: id})
}

// sourceOnce makes a source, or returns the one of that name.
func (s *sources) sourceOnce(x uncertainty.Source) uncertainty.Quantity {
	if q, ok := s.made[x.Name]; ok {
		return q
	}
	q := x.Input()
	s.made[x.Name] = q
	return q
}

// measured is the resistance at the terminals at reference temperature that a reading stands
// for. Where the null was taken with the box at zero, it is the resistance above the zero
// setting. Contacts are not in it: they are added once all diallings are known, see
// evaluation.addContactVariation.
func (s *sources) measured(rd *Reading, rg Range) (result, error) {
	v := rd.value()
	out := result{stated: v}
	reading := v.nearest()
	// No term depends on one before it: each takes the reading as it was shown, since a
	// correction of 10⁻⁴ would change an error of 10⁻⁴ by 10⁻⁸.
	// In the order of the model in the package comment.
	s.addMeterErrors(&out, rd, rg, reading)
	s.addDisplay(&out, rd, rg)
	s.addLeads(&out, rd)
	s.addEMF(&out, rd, rg)
	s.addLeak(&out, rd, reading)
	return out, s.addTemperature(&out, rd)
}

// outside is how far the meter was outside the temperature band of its limits, in K: at 30 °C,
// for limits stated at 23 °C ± 5 °C, 2 K. Without a band, or without the temperature of the
// meter, it is 0: taken as inside, which the report says (warnOmissions).
func (s *sources) outside(rd *Reading) float64 {
	if s.meter.Temperature == nil || rd.MeterTemperature == nil {
		return 0
	}
	// The limits hold to the edge of the band, so the distance counts from there.
	return max(0, math.Abs(*rd.MeterTemperature-*s.meter.Temperature)-s.meter.Band)
}

// addDisplay adds what the display does to a value: its step, and the scatter of the
// repeats. Both polarities are averaged.
func (s *sources) addDisplay(out *result, rd *Reading, rg Range) {
	if rg.Resolution > 0 {
		s.addOwn(out, -1, "resolution at "+rd.Label()+", "+rg.Name, rd,
			s.lawOnce(lawKey{true, rg.Resolution}), "step of the display")
	}
	weight := 1.0
	if len(rd.Values) > 0 && len(rd.Reversed) > 0 {
		// The mean of both polarities, in which thermal EMFs cancel, has half of each.
		weight = 0.5
	}
	for _, side := range []struct {
		name   string
		values []float64
	}{{"repeatability at ", rd.Values}, {"repeatability, current reversed, at ", rd.Reversed}} {
		if d, u, dof, note := s.repeatability(side.values, group{rd.Session, rg.Name},
			rg); d != nil {
			s.addPrivate(out, private{c: -weight, u: u, dof: dof, noise: true},
				side.name+rd.Label()+", "+rg.Name, rd, d, note)
		}
	}
}

// repeatability is the distribution about 0 of the mean of n repeats: Type A from their own
// standard deviation, or from that of the range where they are few; from the stated noise,
// unless they show more. It returns the law, its standard uncertainty u in Ω, the degrees of
// freedom, and the note of the budget; a nil law where nothing is known of the noise or there
// are no values.
//
//	stated noise 1 mΩ, 5 values that scatter by 0.9 mΩ   1 mΩ/√5, infinite degrees of freedom
//	the same, that scatter by 3 mΩ                       3 mΩ/√5, 4 degrees of freedom
//	nothing stated, 2 values                             pooled over the range, its degrees
//	nothing stated, 1 value, nothing pooled              nil
func (s *sources) repeatability(values []float64, g group,
	rg Range) (d uncertainty.Distribution, u, dof float64, note string) {
	n := len(values)
	if n == 0 {
		return nil, 0, 0, ""
	}
	pool := s.scatterOf(values, g)
	// GUM 4.2.3: the experimental standard deviation of the mean.
	root := math.Sqrt(float64(n))
	switch {
	// A stated noise rests on more readings than these, and has no degrees of freedom to lose.
	case rg.Noise > 0 && !pool.exceeds(rg):
		u = rg.Noise / root
		return s.lawOnce(lawKey{false, u}), u, math.Inf(1), "stated noise, " +
			wording.Plural(n, "value")
	case pool.dof == 0:
		return nil, 0, 0, ""
	}
	u = pool.deviation() / root
	return uncertainty.TypeAPooled(pool.deviation(), float64(pool.dof), make([]float64, n)...), u,
		float64(pool.dof), fmt.Sprintf("%d readings", n)
}

// scatterOf is that of the values of one dialling and polarity, or that of their range where
// they are few; zero where neither says anything.
func (s *sources) scatterOf(values []float64, g group) scatter {
	n := len(values)
	// GUM 4.2.4: a pooled estimate is better than one from so few.
	if n <= fewRepeats {
		return s.scatter[g]
	}
	_, sd, err := uncertainty.MeanStdDev(values)
	if err != nil {
		return scatter{} // values are checked: they are finite
	}
	return scatter{squares: float64(n-1) * sd * sd, dof: n - 1}
}

// exceeds reports whether the scatter is larger than the stated noise and the step of the
// display explain: (n − 1)·s²/σ² is χ² of n − 1 degrees of freedom (a test of a variance),
// compared with its 95 % point. Repeats that all show one number, a display coarser than the
// noise, exceed nothing.
func (s scatter) exceeds(rg Range) bool {
	if s.dof == 0 {
		return false
	}
	// The display rounds: δ²/12 (GUM F.2.2.1) adds to the variance of repeats.
	expected := float64(rg.Noise*rg.Noise) + float64(rg.Resolution*rg.Resolution)/12
	return s.squares > expected*distuv.ChiSquared{K: float64(s.dof)}.Quantile(1-scatterAlarm)
}

// scatterAlarm is the probability of replacing a stated scatter that is right. What replaces it
// is then too large, once in twenty; a smaller probability would keep a stated noise that the
// repeats contradict.
const scatterAlarm = 0.05

// addLeads takes off what the leads add, and adds the uncertainty of them or of the null.
func (s *sources) addLeads(out *result, rd *Reading) {
	l := s.meter.Leads
	// Four wires or a null leave the leads out of the reading.
	// As decimals: 100.26 Ω less leads of 0.21 Ω is 100.05 Ω, and on a limit of 0.05 Ω.
	if s.meter.Wiring == WiringTwoWire && l.Null == NullNone {
		out.stated = out.stated.minus(decimal(l.Resistance))
		if l.Tolerance > 0 {
			out.with(-1, s.input("leads", rd.Session, uncertainty.Rectangular(0, l.Tolerance), "Ω",
				"both leads together"))
		}
	}
	// VIM 4.29, null measurement uncertainty: that at the null is in every reading after it.
	if l.Null != NullNone && l.NullTolerance > 0 {
		out.with(-1, s.input("null", rd.Session, uncertainty.Rectangular(0, l.NullTolerance), "Ω",
			"null with "+l.Null.String()))
	}
}

// addEMF adds the limit of thermal EMFs where neither the meter nor a reversal of the
// current takes them out.
func (s *sources) addEMF(out *result, rd *Reading, rg Range) {
	if s.meter.OffsetCompensated || s.meter.ThermalEMF == 0 || rg.Current == 0 ||
		len(rd.Values) > 0 &&
			len(rd.Reversed) > 0 {
		return
	}
	// An EMF E reads as E/I (Ohm's law); it changes from reading to reading with the
	// temperatures of the joints.
	s.addOwn(out, -1, "thermal EMF at "+rd.Label()+", "+rg.Name, rd,
		uncertainty.Rectangular(0, s.meter.ThermalEMF/rg.Current), "current not reversed")
}

// addLeak adds the effect of a leakage resistance known only to exceed X: the reading is
// low by a value between 0 and R²/X.
func (s *sources) addLeak(out *result, rd *Reading, reading float64) {
	if s.meter.Insulation == 0 {
		return
	}
	// R·X/(R + X) = R − R²/(R + X): the term left out is R³/X², at 1 MΩ and 1 TΩ 1 µΩ of 1 Ω.
	// R parallel to X is R − R²/X to first order, as X is far above R.
	most := reading * reading / s.meter.Insulation
	if most > 0 && finite(most) {
		// GUM 4.3.8: limits that are not symmetric; the middle between them is the correction.
		// Rectangular between 0 and R²/X: mean R²/(2X), u = R²/(√12·X). The reading is low, so
		// that the correction is positive.
		s.addOwn(out, 1, "leakage at "+rd.Label(), rd, uncertainty.Between(0, most),
			"insulation known only to exceed its limit")
	}
}

// addTemperature brings the value to the reference temperature of the box: what the law of the
// setting gives at the temperature that was recorded is taken off, with the uncertainty of its
// coefficients and of the thermometer, which all readings of a session share. A reading without
// a temperature is taken as at reference temperature, and the report says so. A temperature that
// the law does not cover is refused.
func (s *sources) addTemperature(out *result, rd *Reading) error {
	// Nothing to correct by, or nothing to correct: the residual alone may have no law.
	if rd.Temperature == nil || !s.box.HasTemperatureLaw() || rd.Setting.AllZero() &&
		s.spec.ResidualLaw.IsZero() {
		return nil
	}
	if _, err := rd.Setting.TemperatureChange(*rd.Temperature); err != nil {
		return &Error{Op: "verify.Evaluate", Name: rd.place(), Value: *rd.Temperature, Err: err}
	}
	t := uncertainty.Exact(*rd.Temperature)
	if s.meter.Thermometer > 0 {
		t = t.Add(s.input("thermometer", rd.Session,
			uncertainty.Rectangular(0, s.meter.Thermometer),
			"°C", "temperature of the box"))
	}
	// One correction for one setting, session and temperature, however often it is dialled.
	k := corrected{rd.Setting, rd.Session, *rd.Temperature}
	q, ok := s.changes[k]
	if !ok {
		q = rd.Setting.TemperatureChangeOf(t)
		s.changes[k] = q
	}
	out.with(-1, q)
	return nil
}
