// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// What a Specimen has of a bench, each with its unit and law:
//
//   elements     Ω; even inside their class, with a part common to the dial; the part is drawn, too
//   residual     Ω; even inside its limits, a tenth of the stated one at least
//   contacts     Ω; normal at each dialling, with the stated variation of each that is closed
//   faults       by the network, as Predict has them; what scatters is drawn at each dialling
//   meter        gain, zero and cross term of each range once, linearity once for each value,
//                resolution at each reading
//   leads        Ω; of a two-wire meter, once, less what the null takes
//
// Even draws are a + (b − a)·r and normal ones x + u·z (JCGM 101, 6.4.2.4 and 6.4.7.4, from
// memory).
//
// It leaves out temperature, noise beyond the resolution, drift of the meter between sessions,
// leakage that is no fault, thermal EMF and settling. It solves the circuit by the network that
// Diagnose uses: it is for training and examples; what a test needs from outside is drawn by
// another simulator.

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// A Specimen is a simulated box with a simulated meter, to train on and to test with: its
// elements lie somewhere inside their class, its faults are known, and every reading is a
// new dialling. The same seed gives the same specimen and the same readings in the same
// order. It is not safe for concurrent use.
type Specimen struct {
	model    *model
	probe    *probe
	meter    verify.Meter
	rng      *rand.Rand
	faults   []Fault
	ohms     []float64    // of the elements, drawn
	residual float64      // Ω, deviation from the stated one
	errors   []rangeError // of each range, drawn
	leads    float64      // Ω
	nulled   float64      // Ω, subtracted by a null with the box at zero
}

// NewSpecimen draws a box and a meter.
//
// Elements and residual are drawn evenly inside their class, with a part that the
// elements of a dial share. The meter has a gain and a zero error for each range, an error
// that both share where one limit covers them, and for every value a linearity error of its own
// (see [verify.Combination]), each drawn from its law.
func NewSpecimen(b *decade.Box, m *verify.Meter, seed uint64, faults ...Fault) (*Specimen, error) {
	const op = "fault.NewSpecimen"
	if b == nil {
		return nil, refuse(op, "box", nil, ErrEmpty, "nil; expected a box")
	}
	if err := m.Check(); err != nil {
		return nil, &Error{Op: op, Name: "meter", Err: err}
	}
	bare := &model{layout: newLayout(b)}
	bare.setClassLimits()
	return newSpecimen(op, bare, m, seed, faults)
}

// specimenStream, "ohmw" in ASCII, keeps the numbers of a specimen apart from those that a caller
// draws with the same seed.
const specimenStream = 0x6f686d77

// m needs its layout and class limits only. The faults are checked once here; terminals applies
// them anew at each dialling.
func newSpecimen(op string, m *model, meter *verify.Meter, seed uint64,
	faults []Fault) (*Specimen, error) {
	s := &Specimen{model: m, probe: newProbe(m.layout), meter: *meter,
		rng: rand.New(rand.NewPCG(seed, specimenStream)), faults: faults}
	c := m.layout.unchanged()
	for _, f := range faults {
		if err := checkOfBox(op, f); err != nil {
			return nil, err
		}
		if err := c.apply(op, f); err != nil {
			return nil, err
		}
	}
	s.drawElements()
	s.drawMeter()
	// The null takes away what the box reads at zero in one dialling, faults and contacts of
	// that dialling included.
	if meter.Leads.Null == verify.NullBoxAtZero {
		s.nulled = s.terminals(m.layout.box.Zero())
	}
	return s, nil
}

// It is even from −1 to 1.
func (s *Specimen) uniform() float64 { return 2*s.rng.Float64() - 1 }

// For each dial x = p·common + (1 − p)·own with p even from 0 to 1: |x| ≤ 1 whatever is drawn,
// and boxes range from dials whose elements are alike to such whose elements have nothing in
// common.
func (s *Specimen) drawElements() {
	last := len(s.model.classLimit) - 1
	common := make([]float64, len(s.model.layout.decades))
	part := make([]float64, len(common))
	for i := range common {
		common[i], part[i] = s.uniform(), s.rng.Float64()
	}
	s.ohms = make([]float64, last)
	for i, e := range s.model.layout.elements {
		// The sum of both parts stays inside the class, whatever the share.
		x := part[e.dial]*common[e.dial] + (1-part[e.dial])*s.uniform()
		s.ohms[i] = s.model.layout.inPlace(i) + x*s.model.classLimit[i]
	}
	// A residual below 0 in all would read as less than no resistance.
	s.residual = max(s.uniform()*s.model.classLimit[last], -0.9*s.model.layout.box.Spec().Residual)
}

// drawError is an error of a law with the limit of a range: even, or normal where the limit
// has a coverage factor.
func (s *Specimen) drawError(r *verify.Range, limit float64) float64 {
	if r.K > 0 {
		return s.rng.NormFloat64() * limit / r.K
	}
	return s.uniform() * limit
}

// rangeError holds the errors of a range, each of limit 1.
type rangeError struct {
	gain, zero, both float64
	values, line     []float64 // Ω read so far, and the linearity there
}

// One draw of each part for each range, for the life of the specimen: its readings are one
// session under one certificate.
func (s *Specimen) drawMeter() {
	for i := range s.meter.Ranges {
		r := &s.meter.Ranges[i]
		s.errors = append(s.errors, rangeError{gain: s.drawError(r, 1), zero: s.drawError(r, 1),
			both: s.drawError(r, 1)})
	}
	s.shareReferences()
	// Of a null there is left what it is stated good for; without one, the leads themselves.
	if l := s.meter.Leads; s.meter.Wiring == verify.WiringTwoWire {
		s.leads = s.uniform() * l.NullTolerance
		if l.Null == verify.NullNone {
			s.leads = l.Resistance + s.uniform()*l.Tolerance
		}
	}
}

// shareReferences gives the ranges of one reference the gain error of the best of them: a range
// with the limit a has f·z + √(1 − f²)·(its own), with z the gain error of the range with the
// smallest limit a_best and f = a_best/a, so that a·f is the same Ω/Ω on all of them.
func (s *Specimen) shareReferences() {
	for i := range s.meter.Ranges {
		r := &s.meter.Ranges[i]
		best := slices.IndexFunc(s.meter.Ranges, func(o verify.Range) bool {
			return o.Reference == r.Reference
		})
		for k, o := range s.meter.Ranges {
			if o.Reference == r.Reference && o.OfReading < s.meter.Ranges[best].OfReading {
				best = k
			}
		}
		// The best range itself keeps what it has, so that the order of the ranges does not matter.
		if r.Reference == "" || r.OfReading == 0 || best == i {
			continue
		}
		f := s.meter.Ranges[best].OfReading / r.OfReading
		s.errors[i].gain = float64(f*s.errors[best].gain) +
			float64(math.Sqrt(1-float64(f*f))*s.errors[i].gain)
	}
}

// terminals is the resistance at the terminals at one dialling: contacts and what is unsteady
// are drawn again. It comes in Ω, +Inf where the circuit is open in this dialling.
func (s *Specimen) terminals(x decade.Setting) float64 {
	c := s.model.layout.unchanged()
	copy(c.ohms, s.ohms)
	for _, f := range s.faults {
		if f.Scatter > 0 {
			// A resistance is never below 0 Ω: what would be is folded back. A folded normal
			// distribution: its mean is a little above Value where Scatter is as large.
			f.Value = math.Abs(f.Value + f.Scatter*s.rng.NormFloat64())
		}
		_ = c.apply("fault.Specimen.Read", f) // a draw beyond what the box can have changes nothing
	}
	r := s.probe.predict(c, x) + s.residual
	spec := s.model.layout.box.Spec()
	// Variations of independent contacts add in squares (GUM 5.1.2).
	return r + s.rng.NormFloat64()*spec.Contact*math.Sqrt(float64(x.Contacts()))
}

// Read dials a setting and reads it on the smallest range that shows it. Where none does, the
// reading is an Overload. Its Dialling is 0: verify.Evaluate counts them in order. A setting of
// another box is an error ([ErrPlace]).
func (s *Specimen) Read(x decade.Setting) (verify.Reading, error) {
	if s == nil || s.model == nil {
		return verify.Reading{}, refuse("fault.Specimen.Read", "specimen", "", ErrPlace,
			"the specimen is none; expected one made by NewSpecimen")
	}
	if x.Box() != s.model.layout.box {
		return verify.Reading{}, refuse("fault.Specimen.Read", "setting", x.String(), ErrPlace,
			"%v of another box; expected one of %q", x, s.model.layout.box.Name())
	}
	v := s.terminals(x) + s.leads - s.nulled
	// The smallest range that shows the value; 0.999 leaves room for the errors, so that no
	// reading runs out of the range that was taken.
	at := absent
	for i, r := range s.meter.Ranges {
		if math.Abs(v) <= 0.999*r.Reach() &&
			(at == absent || r.FullScale < s.meter.Ranges[at].FullScale) {
			at = i
		}
	}
	if at == absent {
		return verify.Reading{Setting: x, Overload: true}, nil
	}
	r := &s.meter.Ranges[at]
	v += s.readingError(at, v)
	if r.Resolution > 0 {
		v = math.Round(v/r.Resolution) * r.Resolution
	}
	return verify.Reading{Setting: x, Values: []float64{v}, Range: r.Name}, nil
}

// readingError is the error of a reading of v Ω on a range.
//
// The law is that of package verify: with a and b the limits of reading and range, b in Ω with
// its digits, e the linearity, the error is z_g·a·v + z_0·√(b² − e²) + z_c·√(2·a·b·|v|) + z_e·e,
// and of squares the sum is (a·v + b)².
func (s *Specimen) readingError(at int, v float64) float64 {
	r, e := &s.meter.Ranges[at], &s.errors[at]
	part := float64(r.OfRange*r.FullScale) + float64(r.Digits*r.Resolution)
	if r.Combine == verify.CombineIndependent {
		return s.drawError(r, float64(r.OfReading*math.Abs(v))+part)
	}
	linearity := r.Linearity
	if linearity == 0 {
		// Where none is stated a quarter of the range part is common practice, at least a step
		// of the display (VIM 4.14, resolution, from memory).
		linearity = min(part, max(part/4, r.Resolution))
	}
	sum := float64(e.gain*r.OfReading*v) +
		float64(e.zero*math.Sqrt(max(0, float64(part*part)-float64(linearity*linearity))))
	if r.Combine == verify.CombineOneLimit {
		// (a + b)² = a² + b² + 2ab: one limit for both has the cross term, too.
		sum += float64(e.both * math.Sqrt(2*r.OfReading*part*math.Abs(v)))
	}
	// Linearity is a property of the converter: the same value is read with the same error.
	// Values within a thousandth of the range are one.
	k := slices.IndexFunc(e.values,
		func(x float64) bool { return math.Abs(x-v) <= r.FullScale/1000 })
	if k < 0 {
		k = len(e.values)
		e.values, e.line = append(e.values, v), append(e.line, s.drawError(r, 1))
	}
	return sum + float64(linearity*e.line[k])
}

// ReadAll dials and reads settings one after the other, with the errors of Read.
func (s *Specimen) ReadAll(settings ...decade.Setting) ([]verify.Reading, error) {
	out := make([]verify.Reading, 0, len(settings))
	for _, x := range settings {
		r, err := s.Read(x)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}
