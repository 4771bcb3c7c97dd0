// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// One reading of a bench is made in this order, and each step is one of the parts below:
//
//   1. the contacts of all switches are drawn for this dialling (made.go)
//   2. the faults that are new at each dialling draw their factors
//   3. the sound network is solved at the positions and the temperature: Reading.Sound
//   4. the same with the faults in it: Reading.True (network.go)
//   5. leads are added, a range is chosen, the meter errs: Reading.Values (meter.go)
//
// Three generators are seeded apart: one makes the box, one the meter, one the diallings. Steps
// 1 and 2 draw for all contacts, closed or not, and for four faults, present or not, so that a
// bench with a fault and one without have the same elements, the same contacts at each dialling
// and the same errors of the meter. What the fault does is then a difference of two benches
// without noise: sizes and alternatives rest on it.
//
// A bench has no time: nothing drifts between readings, nothing warms up, no dielectric or meter
// settles. There are no thermal EMF, no input current of the meter, no voltage coefficient, no
// dependence on humidity or position but those that a fault stands for.

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
//
// Of the fields that are not exported, session counts the settings-up of the meter from 1, count
// the diallings of each setting by its text, slipped says that the one slip of the reader has
// been made.
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
//
// An error is that of a meter that makes no sense or of a fault that the box cannot have; box
// itself is right, since decade made it. Faults of the meter are added to its errors here,
// faults of the network at each dialling.
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
	// What the record says of the temperature is wrong by the same at every reading: one
	// thermometer.
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

// It is in °C.
func (b *Bench) temperature() float64 { return b.made.reference() + b.Temperature }

// NewSession sets the meter up again. Its certificate, and what is wrong with it, stay.
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

// drawn is the sound box with its contacts as they are in a new dialling. A contact is normal
// about its mean with the stated variation; a fiftieth of the mean is left where that would be
// below 0, since metal does not go away.
func (b *Bench) drawn() *state {
	s := b.made.healthy()
	for i, mean := range s.contacts {
		s.contacts[i] = max(mean+float64(b.made.spec.Contact*b.rng.NormFloat64()), mean/50)
	}
	return s
}

// mostFaults is the number of faults up to which the draws of all else do not depend on it. A
// bench with more faults has other contacts from the second dialling on.
const mostFaults = 4

// fresh draws a factor for each fault. It is even between 0.4 and 1.6: what is new at each
// dialling is of one order of magnitude, as dirt under one wiper is.
func (b *Bench) fresh() []float64 {
	out := make([]float64, max(mostFaults, len(b.Faults)))
	for i := range out {
		out[i] = 1 + 0.6*even(b.rng)
	}
	return out
}

// fail puts the faults in; without factors they have their means. The case is joined to its
// terminal by 0 Ω, which makes them one node, before faults that lead to it.
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

// It is across the terminals, beside everything else: −R²/Leak of a reading of R Ω.
func (b *Bench) leaks(s *state) {
	if b.Leak > 0 {
		s.bridges = append(s.bridges, resistor{terminal1, terminal2, b.Leak})
	}
}

// Read dials a setting and reads it a number of times on the smallest range that shows it. The
// values differ by the noise of the meter and its resolution only; positions are in dial order.
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
	// Before the faults are put into the same contacts.
	r.Sound = b.made.terminals(contacts, positions, b.temperature())
	b.fail(contacts, fresh)
	r.True = r.Sound
	if len(b.Faults) > 0 {
		r.True = b.made.terminals(contacts, positions, b.temperature())
	}
	for _, f := range b.Faults {
		// Once, at the first dialling of the setting: dialled again it reads as it should.
		if f.Kind == OneSlip && !b.slipped && alone(positions, f.A.Dial) == f.A.Number {
			b.slipped = true
			r.True += f.Value
		}
	}
	b.show(&r, repeats)
	return r
}

// alone is the position of a dial if the others are at 0, else −1. A setting with all dials at 0
// is alone for each of them.
func alone(positions []int, dial int) int {
	for d, p := range positions {
		if d != dial && p != 0 {
			return -1
		}
	}
	return positions[dial]
}

// show reads what is at the terminals. Where the faults open the circuit, or lift it above all
// ranges, there is no value; the shift is then no number.
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
	// The error of the meter at another reading is another, too: that is left out, a product of
	// two small parts.
	r.Shift = r.True - r.Sound + float64(b.meter.gain[rg]*r.True) + b.meter.offset[rg]
	if b.meter.choose(sound) < 0 {
		r.Shift = math.Inf(-1)
	}
}

// ReadAll reads the settings of a plan in order. Each row is a dialling of its own.
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
