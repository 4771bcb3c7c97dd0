// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

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

// Meter is an ohmmeter as its limits state it.
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

// MeterRange is a range of a meter.
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

// linearity is the limit e in ohms.
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

func (r MeterRange) cross(ohms float64) float64 {
	return math.Sqrt(2 * r.OfReading * r.ofRange() * math.Abs(ohms))
}

// Check returns the first thing that makes no sense.
func (m *Meter) Check() error {
	if len(m.Ranges) == 0 {
		return fmt.Errorf("bench: meter %q: no ranges; expected at least one", m.Name)
	}
	for _, r := range m.Ranges {
		for _, x := range []float64{r.FullScale, r.Reach(), r.OfReading, r.ofRange(), r.K,
			r.Linearity, r.Noise, r.Resolution} {
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

// instrument is a meter with its true errors.
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

// even3 draws a point of the unit sphere.
func (i *instrument) even3() vector {
	for {
		var v vector
		sum := 0.0
		for k := range v {
			v[k] = i.rng.NormFloat64()
			sum += float64(v[k] * v[k])
		}
		if sum > 0 {
			for k := range v {
				v[k] /= math.Sqrt(sum)
			}
			return v
		}
	}
}

// beside draws a unit vector at a right angle to v.
func (i *instrument) beside(v vector) vector {
	w := i.even3()
	along := float64(v[0]*w[0]) + float64(v[1]*w[1]) + float64(v[2]*w[2])
	length := math.Sqrt(1 - float64(along*along))
	for k := range w {
		w[k] = (w[k] - float64(along*v[k])) / length
	}
	return w
}

// onSpheres draws the parts of a certificate, or of a session beside it.
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
	if i.Law == TwoLimits {
		out.gain, out.zero, out.cross = s[0][0], s[1][0], s[2][0]
	} else {
		out.gain, out.zero, out.cross = s[0][0], s[0][1], s[0][2]
	}
	return out
}

// anchor is a value in ohms at which the linearity has been drawn.
type anchor struct{ ohms, e float64 }

func newInstrument(m Meter, rng *rand.Rand) *instrument {
	n := len(m.Ranges)
	i := &instrument{Meter: m, rng: rng, line: make([][]anchor, n), gain: make([]float64, n),
		offset: make([]float64, n)}
	i.cert = i.drawParts(nil)
	i.newSession()
	return i
}

// draw has the limit 1, or the standard deviation 1 where the law is normal.
func (i *instrument) draw(r int) float64 {
	if i.normal(r) {
		return i.rng.NormFloat64()
	}
	return even(i.rng)
}

// normal reports whether parts are normal.
func (i *instrument) normal(r int) bool { return i.Ranges[r].K > 0 }

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

// at is the linearity at a value: one draw for values within 0.1 % of the range.
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

// err is the error in ohms of a dialling on a range, without noise and resolution.
func (i *instrument) err(r int, ohms float64) float64 {
	rg := i.Ranges[r]
	limit := float64(rg.OfReading*math.Abs(ohms)) + rg.ofRange()
	fault := float64(i.gain[r]*ohms) + i.offset[r]
	if i.Law == Independent {
		if rg.K > 0 {
			return fault + float64(i.rng.NormFloat64()*limit/rg.K)
		}
		return fault + float64(even(i.rng)*limit)
	}
	c, s := i.cert[r], i.session[r]
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

// choose returns the smallest range that shows a resistance, −1 where none does.
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

// read shows a resistance on a range n times, without a change in between.
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
