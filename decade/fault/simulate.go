// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/rand/v2"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// A Specimen is a simulated box with a simulated meter, to train on and to test with: its
// elements lie somewhere inside their class, its faults are known, and every reading is a
// new dialling. The same seed gives the same specimen and the same readings in the same
// order. It is not safe for concurrent use.
type Specimen struct {
	model     *model
	probe     *probe
	meter     verify.Meter
	rng       *rand.Rand
	faults    []Fault
	ohms      []float64 // of the elements, drawn
	residual  float64   // Ω, deviation from the stated one
	gainError []float64 // of each range, drawn
	zeroError []float64 // Ω, of each range
	leads     float64   // Ω
	nulled    float64   // Ω, subtracted by a null with the box at zero
}

// NewSpecimen draws a box and a meter.
//
// Elements and residual are drawn evenly inside their class, with a part that the
// elements of a dial share. The meter has one gain and one zero error for each range, as
// verify splits its limits, drawn from their laws.
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

func newSpecimen(op string, m *model, meter *verify.Meter, seed uint64, faults []Fault) (*Specimen, error) {
	s := &Specimen{model: m, probe: newProbe(m.layout), meter: *meter, rng: rand.New(rand.NewPCG(seed, 0x6f686d77)), faults: faults}
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
	if meter.Leads.Null == verify.NullBoxAtZero {
		s.nulled = s.terminals(m.layout.box.Zero())
	}
	return s, nil
}

func (s *Specimen) uniform() float64 { return 2*s.rng.Float64() - 1 }

func (s *Specimen) drawElements() {
	last := len(s.model.classLimit) - 1
	common := make([]float64, len(s.model.layout.decades))
	part := make([]float64, len(common))
	for i := range common {
		common[i], part[i] = s.uniform(), s.rng.Float64()
	}
	s.ohms = make([]float64, last)
	for i, e := range s.model.layout.elements {
		x := part[e.dial]*common[e.dial] + (1-part[e.dial])*s.uniform()
		s.ohms[i] = e.ohms + x*s.model.classLimit[i]
	}
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

func (s *Specimen) drawMeter() {
	shared := make(map[string]float64)
	for i := range s.meter.Ranges {
		r := &s.meter.Ranges[i]
		g := s.drawError(r, r.OfReading)
		if r.Reference != "" && r.OfReading > 0 {
			if _, ok := shared[r.Reference]; !ok {
				shared[r.Reference] = g / r.OfReading
			}
			g = shared[r.Reference] * r.OfReading
		}
		s.gainError = append(s.gainError, g)
		s.zeroError = append(s.zeroError, s.drawError(r, s.zeroShare()*r.OfRange*r.FullScale))
	}
	if l := s.meter.Leads; s.meter.Wiring == verify.WiringTwoWire {
		s.leads = s.uniform() * l.NullTolerance
		if l.Null == verify.NullNone {
			s.leads = l.Resistance + s.uniform()*l.Tolerance
		}
	}
}

func (s *Specimen) zeroShare() float64 {
	if s.meter.ZeroShare != nil {
		return *s.meter.ZeroShare
	}
	return 0.5
}

// terminals is the resistance at the terminals at one dialling: contacts and what is
// unsteady are drawn anew.
func (s *Specimen) terminals(x decade.Setting) float64 {
	c := s.model.layout.unchanged()
	copy(c.ohms, s.ohms)
	for _, f := range s.faults {
		if f.Scatter > 0 {
			f.Value = math.Abs(f.Value + f.Scatter*s.rng.NormFloat64())
		}
		if c.apply("fault.Specimen.Read", f) != nil {
			continue // a draw beyond what the box can have
		}
	}
	r := s.probe.predict(c, x) + s.residual
	spec := s.model.layout.box.Spec()
	return r + s.rng.NormFloat64()*spec.Contact*math.Sqrt(float64(x.Contacts()))
}

// Read dials a setting and reads it on the smallest range that shows it. Where none does,
// the reading is an Overload. Its Dialling is 0: verify.Evaluate counts them in order.
func (s *Specimen) Read(x decade.Setting) (verify.Reading, error) {
	if x.Box() != s.model.layout.box {
		return verify.Reading{}, refuse("fault.Specimen.Read", "setting", x.String(), ErrPlace, "%v of another box; expected one of %q", x, s.model.layout.box.Name())
	}
	v := s.terminals(x) + s.leads - s.nulled
	at := absent
	for i, r := range s.meter.Ranges {
		if math.Abs(v) <= 0.999*r.Reach() && (at == absent || r.FullScale < s.meter.Ranges[at].FullScale) {
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

// readingError draws those of one reading: gain and zero of the range, and the rest that makes
// up the one limit of the reading.
func (s *Specimen) readingError(at int, v float64) float64 {
	r := &s.meter.Ranges[at]
	total := r.Limit(v, 0)
	gain := r.OfReading * math.Abs(v)
	zero := s.zeroShare() * r.OfRange * r.FullScale
	rest := math.Sqrt(max(0, total*total-gain*gain-zero*zero))
	return s.gainError[at]*v + s.zeroError[at] + s.drawError(r, rest)
}

// ReadAll dials settings one after the other.
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
