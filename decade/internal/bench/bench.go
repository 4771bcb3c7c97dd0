// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"example.com/ohmwright/decade"
)

// Options say what a bench is like beyond its box, its meter and its faults.
type Options struct {
	// Temperature is that of the box above its reference, in K; Thermometer is the ± limit
	// of what the record says of it. With both 0 no temperature is recorded.
	Temperature, Thermometer float64
	// Leak is the insulation resistance across the terminals in ohms; 0: perfect.
	Leak float64
	// Strapped is the terminal that the case is joined to, 1 or 2; 0: it floats.
	Strapped int
}

// Bench is a box with true values and faults, read with a meter with true errors. It is not
// safe for concurrent use.
type Bench struct {
	Box    *decade.Box
	Meter  Meter
	Faults []Fault
	Options

	made    *made
	meter   *instrument
	rng     *rand.Rand // of diallings
	session int
	count   map[string]int // diallings of each setting
	slipped bool
	shown   float64 // °C, as recorded
}

// Reading is one dialling and what is true of it.
type Reading struct {
	Positions []int // in dial order
	Dialling  int   // 1, 2, … of this setting
	Session   int   // from 1
	Range     string
	Values    []float64 // Ω; none: above all ranges
	Recorded  *float64  // °C of the box, as recorded; nil: not recorded

	True  float64 // Ω at the terminals in this dialling, as the box was; +Inf: open
	Sound float64 // Ω, the same without the faults, the same contacts
	// Shift is all that the faults change in the mean of Values, in Ω; +Inf: they take the
	// reading above every range; −Inf: it shows only because of them.
	Shift   float64
	rangeOf int
}

// New makes a bench. The faults, up to four, leave the draws of all else as they are:
// benches of one seed have the same elements, contacts and errors of the meter.
func New(box *decade.Box, m Meter, seed uint64, o Options, faults ...Fault) (*Bench, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	c := newCircuit(box)
	for _, f := range faults {
		if err := c.check(f, len(m.Ranges)); err != nil {
			return nil, err
		}
	}
	b := &Bench{Box: box, Meter: m, Faults: faults, Options: o, count: make(map[string]int),
		session: 1}
	b.made = newMade(c, rand.New(rand.NewPCG(seed, 1)))
	b.meter = newInstrument(m, rand.New(rand.NewPCG(seed, 2)))
	b.rng = rand.New(rand.NewPCG(seed, 3))
	b.shown = b.temperature() + float64(o.Thermometer*even(b.rng))
	for _, f := range faults {
		switch f.Kind {
		case MeterGain:
			b.meter.gain[f.A.Number] += f.Value
		case MeterZero:
			b.meter.offset[f.A.Number] += f.Value
		}
	}
	return b, nil
}

func (b *Bench) temperature() float64 { return b.made.reference() + b.Temperature }

// NewSession sets the meter up again.
func (b *Bench) NewSession() {
	b.session++
	b.meter.newSession()
}

// Residual is the true resistance in ohms of the sound box with all dials at 0, contacts
// at their means.
func (b *Bench) Residual() float64 { return b.made.residual }

// Element is the true resistance of an element in ohms, dials from 0 and elements from 1,
// before any fault.
func (b *Bench) Element(dial, number int) float64 {
	return b.made.ohms[b.made.element(dial, number)]
}

// Mean is the true resistance in ohms at positions, faults included: the mean over
// diallings, at the reference temperature, without leak.
func (b *Bench) Mean(positions ...int) float64 {
	s := b.made.healthy()
	b.fail(s, nil)
	return b.made.terminals(s, positions, b.made.reference())
}

// Dial is the true resistance in ohms of a new dialling that nobody reads, at the reference
// temperature, without leak.
func (b *Bench) Dial(positions ...int) float64 {
	s := b.drawn()
	b.fail(s, b.fresh())
	return b.made.terminals(s, positions, b.made.reference())
}

// drawn is the sound box with its contacts as they are in a new dialling.
func (b *Bench) drawn() *state {
	s := b.made.healthy()
	for i, mean := range s.contacts {
		s.contacts[i] = max(mean+float64(b.made.spec.Contact*b.rng.NormFloat64()), mean/50)
	}
	return s
}

// mostFaults is the number of faults up to which the draws of all else do not depend on it.
const mostFaults = 4

// fresh draws a factor for each fault.
func (b *Bench) fresh() []float64 {
	out := make([]float64, max(mostFaults, len(b.Faults)))
	for i := range out {
		out[i] = 1 + 0.6*even(b.rng)
	}
	return out
}

// fail puts the faults in; without factors they have their means.
func (b *Bench) fail(s *state, fresh []float64) {
	if b.Strapped > 0 {
		s.bridges = append(s.bridges, resistor{caseNode, terminal1 + b.Strapped - 1, 0})
	}
	for i, f := range b.Faults {
		if f.Kind >= numNetworkKinds {
			continue
		}
		x := 1.0
		if fresh != nil {
			x = fresh[i]
		}
		b.made.apply(s, f, x)
	}
}

func (b *Bench) leaks(s *state) {
	if b.Leak > 0 {
		s.bridges = append(s.bridges, resistor{terminal1, terminal2, b.Leak})
	}
}

// Read dials a setting and reads it a number of times on the smallest range that shows it.
func (b *Bench) Read(repeats int, positions ...int) Reading {
	key := fmt.Sprint(positions)
	b.count[key]++
	r := Reading{Positions: slices.Clone(positions), Dialling: b.count[key], Session: b.session,
		rangeOf: -1}
	if b.Temperature != 0 || b.Thermometer != 0 {
		r.Recorded = &b.shown
	}
	contacts, fresh := b.drawn(), b.fresh()
	b.leaks(contacts)
	r.Sound = b.made.terminals(contacts, positions, b.temperature())
	b.fail(contacts, fresh)
	r.True = r.Sound
	if len(b.Faults) > 0 {
		r.True = b.made.terminals(contacts, positions, b.temperature())
	}
	for _, f := range b.Faults {
		if f.Kind == OneSlip && !b.slipped && alone(positions, f.A.Dial) == f.A.Number {
			b.slipped = true
			r.True += f.Value
		}
	}
	b.show(&r, repeats)
	return r
}

// alone is the position of a dial if the others are at 0, else −1.
func alone(positions []int, dial int) int {
	for d, p := range positions {
		if d != dial && p != 0 {
			return -1
		}
	}
	return positions[dial]
}

// show reads what is at the terminals.
func (b *Bench) show(r *Reading, repeats int) {
	rg := b.meter.choose(r.True + b.meter.leads)
	sound := r.Sound + b.meter.leads
	if rg < 0 {
		if b.meter.choose(sound) >= 0 {
			r.Shift = math.Inf(1)
		}
		return
	}
	r.Range, r.rangeOf = b.meter.Ranges[rg].Name, rg
	r.Values = b.meter.read(rg, r.True+b.meter.leads, repeats)
	r.Shift = r.True - r.Sound + float64(b.meter.gain[rg]*r.True) + b.meter.offset[rg]
	if b.meter.choose(sound) < 0 {
		r.Shift = math.Inf(-1)
	}
}

// ReadAll reads the settings of a plan in order.
func (b *Bench) ReadAll(plan [][]int, repeats int) []Reading {
	out := make([]Reading, len(plan))
	for i, p := range plan {
		out[i] = b.Read(repeats, p...)
	}
	return out
}

// Resistor reads a resistor of so many ohms in the place of the box, on a range of this
// name or the smallest that shows it; no values: none does.
func (b *Bench) Resistor(ohms float64, name string, repeats int) (values []float64, used string) {
	rg := slices.IndexFunc(b.meter.Ranges, func(r MeterRange) bool { return r.Name == name })
	if rg < 0 {
		rg = b.meter.choose(ohms + b.meter.leads)
	}
	if rg < 0 || math.Abs(ohms+b.meter.leads) > b.meter.Ranges[rg].Reach() {
		return nil, ""
	}
	return b.meter.read(rg, ohms+b.meter.leads, repeats), b.meter.Ranges[rg].Name
}
