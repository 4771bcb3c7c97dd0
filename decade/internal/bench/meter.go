// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// A meter reads R on a range V with an error that its limits L = a·R + b·V allow. Limits do not
// say how errors of several readings hang together; the laws here are three answers, with draws
// z that are common to the readings of a range, and the linearity e that is common to readings
// of one value (0.1 % of the range):
//
//	error = z_g·a·R + z_0·√(b²V² − e²) + z_c·√(2·a·b·V·|R|) + e(R)
//
// The squares of the factors add up to (a·R + b·V)²: with z of variance 1/3 a reading has u =
// L/√3 (GUM 4.3.7), with a coverage factor K stated, z normal, L/K (GUM 4.3.3). Two readings of
// one value cancel all but their noise, a reading of zero shows z_0 alone, a ratio of two
// readings is free of z_g.
//
// Each z is (certificate + session)/√2 of two draws: half of the variance is the same as long as
// the certificate is, half is new when the meter is set up.
//
// Sphere. For one limit, (z_g, z_0, z_c) even in [−1, 1] each would let the sum exceed L. A
// point that is even on the unit sphere has coordinates that are even on [−1, 1] by themselves,
// and so is its projection on any direction (Archimedes: slices of a sphere of equal height have
// equal area): the error of any reading, and of any difference of readings, is then even between
// ± the length of its vector of factors, which for a reading is √(L² − e²). Certificate and
// session are two such points at a right angle, whose sum over √2 is a point of the sphere
// again.
//
// Besides: noise, normal and new in each value; resolution, by rounding; leads of a two-wire
// meter, even inside their tolerance for a session. Not modelled: temperature of the meter, time
// since its calibration, input current, settling, thermal EMF, ranges that disagree in the
// middle of a dialling.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Law says how the parts of a meter's limits combine in an error.
type Law uint8

// The laws, of a reading R of a range V with the limit L = a·R + b·V, z being draws with
// the limit 1 that readings share:
const (
	OneLimit    Law = iota // z_g·a·R + z_0·√(b²V² − e²) + z_c·√(2ab·V·|R|) + e(R)
	TwoLimits              // the same without z_c
	Independent            // everything new in each dialling, ± L
)

// String returns the law in words.
func (l Law) String() string {
	return [...]string{"one limit", "two limits", "independent"}[min(l, Independent)]
}

// Shape says how the draws of one limit are made where no coverage factor is stated. Of
// normal laws (Range.K) both are the same.
type Shape uint8

const (
	// Sum draws each part evenly between its limits; half of the variance of each is of
	// the certificate, half of the session. A sum of them may exceed L, as the standard
	// uncertainties of a budget allow it.
	Sum Shape = iota
	// Sphere draws what one limit bounds as a point of the unit sphere, evenly: z_g, z_0 and z_c
	// of one limit, each by itself of two. The certificate is one such point, the session
	// another at a right angle to it. A reading alone is even between its limits then, and so
	// is every difference.
	Sphere
)

// Meter is an ohmmeter as its limits state it. The zero Shape is Sum.
type Meter struct {
	Name   string
	Law    Law
	Shape  Shape
	Ranges []MeterRange

	// Of a two-wire measurement: the leads, Ω, ±; what they are after a null.
	TwoWire               bool
	Leads, LeadsTolerance float64
	Nulled                bool
	NullTolerance         float64 // Ω, ±
}

// MeterRange is a range of a meter. Limits are ±, in the unit beside them.
//
// For example 100 Ω with ±(0.01 % of reading + 0.004 % of the 100 Ω range): L = 10 + 4 = 14 mΩ
// and u = 14/√3 = 8.08 mΩ. With a linearity of a quarter of the range part the factors are 10,
// √(16 − 1), √(2·10·4) and 1 mΩ, whose squares add up to 196 = 14².
type MeterRange struct {
	Name       string
	FullScale  float64 // Ω
	OverRange  float64 // largest reading as a multiple of FullScale; 0: 1
	OfReading  float64 // a
	OfRange    float64 // b; with Digits
	Digits     float64 // multiples of the resolution, part of b·V
	K          float64 // coverage factor of the limits: normal draws; 0: even ones
	Linearity  float64 // Ω, limit e; 0: a quarter of b·V, at least the resolution
	Noise      float64 // Ω, standard deviation of a value
	Resolution float64 // Ω
	Reference  string  // ranges of one label share z_g at the smallest a
}

// Reach is the largest resistance in ohms that the range shows.
func (r MeterRange) Reach() float64 {
	if r.OverRange == 0 {
		return r.FullScale
	}
	return r.FullScale * r.OverRange
}

// ofRange is b·V with the digits, in ohms.
func (r MeterRange) ofRange() float64 {
	return float64(r.OfRange*r.FullScale) + float64(r.Digits*r.Resolution)
}

// linearity is the limit e in ohms. A quarter of the range part is common practice where nothing
// is stated; less than a step of the display cannot be seen.
func (r MeterRange) linearity() float64 {
	if r.Linearity > 0 {
		return r.Linearity
	}
	return min(r.ofRange(), max(r.ofRange()/4, r.Resolution))
}

// divisor turns a limit into a standard deviation.
func (r MeterRange) divisor() float64 {
	if r.K > 0 {
		return r.K
	}
	return math.Sqrt(3)
}

// zero is √(b²V² − e²), cross √(2ab·V·|R|), in ohms.
func (r MeterRange) zero() float64 {
	b, e := r.ofRange(), r.linearity()
	return math.Sqrt(max(0, float64(b*b)-float64(e*e)))
}

// cross is √(2ab·V·|R|), in ohms: what is missing of (a·R + b·V)² in the squares of both.
func (r MeterRange) cross(ohms float64) float64 {
	return math.Sqrt(2 * r.OfReading * r.ofRange() * math.Abs(ohms))
}

// Check returns the first thing that makes no sense. An ideal meter has zeros all over; a
// linearity beyond the range part would have no room in the limit.
func (m *Meter) Check() error {
	if len(m.Ranges) == 0 {
		return fmt.Errorf("bench: meter %q: no ranges; expected at least one", m.Name)
	}
	for _, r := range m.Ranges {
		for _, x := range []float64{r.FullScale, r.Reach(), r.OfReading, r.ofRange(), r.K,
			r.Linearity, r.Noise, r.Resolution} {
			// Negated, so that NaN is refused too.
			if !(x >= 0) || math.IsInf(x, 1) {
				return fmt.Errorf("bench: meter %q, range %q: %v; expected finite numbers of 0 "+
					"or more", m.Name, r.Name, x)
			}
		}
		if r.FullScale == 0 || r.Linearity > r.ofRange() {
			return fmt.Errorf("bench: meter %q, range %q: full scale %v Ω, linearity %v Ω of a "+
				"range part of %v Ω; expected a full scale above 0 and no more linearity than "+
				"range part",
				m.Name, r.Name, r.FullScale, r.Linearity, r.ofRange())
		}
	}
	return nil
}

// instrument is a meter with its true errors. cert, session, gain and offset have an entry for
// each range. gain is a fraction and offset in Ω: faults, not errors within the limits.
type instrument struct {
	Meter
	rng     *rand.Rand
	cert    []parts // of each range: common to all sessions
	session []parts
	line    [][]anchor
	leads   float64   // Ω in series with what is read, less the null
	gain    []float64 // faults: fraction and Ω
	offset  []float64
}

// parts are draws of standard deviation 1 (normal ones) or of limit 1.
type parts struct {
	gain, zero, cross float64
	spheres           [3]vector // of Sphere: the points that the draws are of
}

type vector [3]float64

// even3 draws a point of the unit sphere. A normal vector has no direction of its own: over its
// length it is even on the sphere.
func (i *instrument) even3() vector {
	for {
		var v vector
		sum := 0.0
		for k := range v {
			v[k] = i.rng.NormFloat64()
			sum += float64(v[k] * v[k])
		}
		// Three normal draws of exactly 0 have no direction.
		if sum > 0 {
			for k := range v {
				v[k] /= math.Sqrt(sum)
			}
			return v
		}
	}
}

// beside draws a unit vector at a right angle to v. The part along v is taken out of an even
// point; what is left, over its length, is even on the circle at a right angle to v.
func (i *instrument) beside(v vector) vector {
	w := i.even3()
	along := float64(v[0]*w[0]) + float64(v[1]*w[1]) + float64(v[2]*w[2])
	length := math.Sqrt(1 - float64(along*along))
	for k := range w {
		w[k] = (w[k] - float64(along*v[k])) / length
	}
	return w
}

// onSpheres draws the parts of a certificate, or of a session beside it. from is the certificate
// that a session stands beside; nil: the certificate itself.
func (i *instrument) onSpheres(from *parts) parts {
	var out parts
	for k := range out.spheres {
		if from == nil {
			out.spheres[k] = i.even3()
		} else {
			out.spheres[k] = i.beside(from.spheres[k])
		}
	}
	s := out.spheres
	// Each of two limits bounds its own part: three spheres, a coordinate of each.
	if i.Law == TwoLimits {
		out.gain, out.zero, out.cross = s[0][0], s[1][0], s[2][0]
	} else {
		out.gain, out.zero, out.cross = s[0][0], s[0][1], s[0][2]
	}
	return out
}

// anchor is a value in ohms at which the linearity has been drawn. e is of limit 1, or of
// standard deviation 1 where the law is normal.
type anchor struct{ ohms, e float64 }

// The first session begins at once.
func newInstrument(m Meter, rng *rand.Rand) *instrument {
	n := len(m.Ranges)
	i := &instrument{Meter: m, rng: rng, line: make([][]anchor, n), gain: make([]float64, n),
		offset: make([]float64, n)}
	i.cert = i.drawParts(nil)
	i.newSession()
	return i
}

// draw has the limit 1, or the standard deviation 1 where the law is normal. r is the index of
// the range.
func (i *instrument) draw(r int) float64 {
	if i.normal(r) {
		return i.rng.NormFloat64()
	}
	return even(i.rng)
}

// normal reports whether parts are normal.
func (i *instrument) normal(r int) bool { return i.Ranges[r].K > 0 }

// Leads are connected anew, the null is taken anew.
func (i *instrument) newSession() {
	i.session = i.drawParts(i.cert)
	i.leads = 0
	switch {
	case i.TwoWire && i.Nulled:
		i.leads = i.NullTolerance * even(i.rng)
	case i.TwoWire:
		i.leads = i.Leads + float64(i.LeadsTolerance*even(i.rng))
	}
}

// drawParts draws those of the certificate, or of a session beside them.
//
// A range with the limit a has f·z + √(1 − f²)·(its own) for its gain, z being that of the
// reference and f the smallest limit of the ranges that share it over a: all share the same Ω/Ω.
func (i *instrument) drawParts(beside []parts) []parts {
	out := make([]parts, len(i.Ranges))
	shared := make(map[string]float64)
	for r, rg := range i.Ranges {
		own := i.draw(r)
		out[r] = parts{own, i.draw(r), i.draw(r), [3]vector{}}
		if i.Shape == Sphere && !i.normal(r) {
			var from *parts
			if beside != nil {
				from = &beside[r]
			}
			out[r] = i.onSpheres(from)
			own = out[r].gain
		}
		if rg.Reference == "" || rg.OfReading == 0 {
			continue
		}
		z, ok := shared[rg.Reference]
		if !ok {
			z = i.draw(r)
			shared[rg.Reference] = z
		}
		f := i.smallest(rg.Reference) / rg.OfReading
		// The variance stays that of one draw: f² + (1 − f²).
		out[r].gain = float64(f*z) + float64(math.Sqrt(1-float64(f*f))*own)
	}
	return out
}

// smallest is the smallest a of the ranges of one reference.
func (i *instrument) smallest(reference string) float64 {
	a := math.Inf(1)
	for _, r := range i.Ranges {
		if r.Reference == reference && r.OfReading > 0 {
			a = min(a, r.OfReading)
		}
	}
	return a
}

// at is the linearity at a value: one draw for values within 0.1 % of the range. It does not
// depend on the session: linearity is a property of the converter.
func (i *instrument) at(r int, ohms float64) float64 {
	if k := i.anchorAt(r, ohms); k >= 0 {
		return i.line[r][k].e
	}
	e := i.draw(r)
	i.line[r] = append(i.line[r], anchor{ohms, e})
	return e
}

// anchorAt finds the first draw for a value, −1 where there is none.
func (i *instrument) anchorAt(r int, ohms float64) int {
	return slices.IndexFunc(i.line[r],
		func(x anchor) bool { return math.Abs(x.ohms-ohms) <= 0.001*i.Ranges[r].FullScale })
}

// err is the error in ohms of a dialling on a range, without noise and resolution. r is the
// index of the range, ohms what is at the terminals with the leads.
func (i *instrument) err(r int, ohms float64) float64 {
	rg := i.Ranges[r]
	limit := float64(rg.OfReading*math.Abs(ohms)) + rg.ofRange()
	fault := float64(i.gain[r]*ohms) + i.offset[r]
	// Nothing is common: each dialling is the single reading of another meter.
	if i.Law == Independent {
		if rg.K > 0 {
			return fault + float64(i.rng.NormFloat64()*limit/rg.K)
		}
		return fault + float64(even(i.rng)*limit)
	}
	c, s := i.cert[r], i.session[r]
	// Half of the variance each.
	half := math.Sqrt(0.5)
	gain := rg.OfReading * ohms
	sum := float64(half*(c.gain+s.gain)*gain) + float64(half*(c.zero+s.zero)*rg.zero()) +
		float64(i.at(r, ohms)*rg.linearity())
	if i.Law == OneLimit {
		sum += float64(half * (c.cross + s.cross) * rg.cross(ohms))
	}
	if rg.K > 0 {
		sum /= rg.K
	}
	return fault + sum
}

// choose returns the smallest range that shows a resistance, −1 where none does. 0.999 leaves
// room for the errors: what is chosen by the true value shows the one that is read.
func (i *instrument) choose(ohms float64) int {
	best := -1
	for r, rg := range i.Ranges {
		if math.Abs(ohms) <= 0.999*rg.Reach() &&
			(best < 0 || rg.FullScale < i.Ranges[best].FullScale) {
			best = r
		}
	}
	return best
}

// read shows a resistance on a range n times, without a change in between. The error is one for
// all n values, noise and rounding are of each.
func (i *instrument) read(r int, ohms float64, n int) []float64 {
	rg := i.Ranges[r]
	v := ohms + i.err(r, ohms)
	out := make([]float64, n)
	for k := range out {
		out[k] = v + float64(rg.Noise*i.rng.NormFloat64())
		if rg.Resolution > 0 {
			out[k] = math.Round(out[k]/rg.Resolution) * rg.Resolution
		}
	}
	return out
}
