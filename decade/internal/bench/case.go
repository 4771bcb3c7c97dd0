// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// A trial is a box, a meter, a plan and faults, drawn so that its answer is known and can be
// asked for. Three things make that less than simple.
//
// Size. A fault of 0.1 u is not to be found, and one of 10⁶ u by everybody. So each fault whose
// value can be chosen gets a size in u that is even in its logarithm over the wanted span, and
// its value is brought there by some steps of a secant in logarithms (adjust): the size is in
// proportion to a power of the value, 1 for ohms in the path, −1 for ohms across it, until
// something saturates.
//
// Two faults. The size of each is that of what it changes beside the other, and the trial has
// the smaller of both (marginal): of a drift under a bridge that hides it nothing is to be
// found.
//
// Alternatives. Of a drift in a dial of which one position was read no method can say which
// element it is. Trials with more causes that read the same than an answer may have are drawn
// again.
//
// A trial that cannot be made is drawn anew from the next seed, up to 200 times; the index of
// the trial and of the attempt are the seed, so that any trial can be made alone.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"example.com/ohmwright/decade"
)

// Mix says of what trials are drawn. Fields left out take everything there is. The zero Mix
// takes every sort, construction, meter and plan, from 3 u to 300 u.
type Mix struct {
	Seed          uint64
	Sorts         []What
	Constructions []Construction
	Fewest, Most  int // dials; 0: 3 and 10
	Meters        []Meter
	Extents       []Extent
	Diallings     []int // of each setting of the plan; nil: 1
	Repeats       int   // values of a dialling; 0: 1

	// Least and Largest are the sizes wanted, beyond the class in u, of every fault where
	// its value can be chosen, evenly in the logarithm; 0: 3 and 300. Faults whose value
	// cannot be chosen are at least Least.
	Least, Largest float64

	// Alternatives is the largest number of causes that the readings do not tell apart, see
	// Bench.Alternatives; of two faults the product. 0: any, and they are not counted.
	Alternatives int
}

// Case is one trial: a bench, what was read at it, and the truth. Readings are those of Bench
// with its faults, in the order of the plan.
type Case struct {
	Index        int
	Sort         What
	Construction Construction
	Extent       Extent
	Diallings    int
	*Bench
	Readings []Reading
	// Size of the fault beyond the class, in u; of two faults that of the smaller one
	// beside the other. 0: healthy.
	Size float64
	// Alternatives is the number of causes that the readings do not tell from the truth, itself
	// among them, as far as Bench.Alternatives looks; of two faults the product, a thousand where
	// one cause alone explains both. 1: of a healthy box and where a reading is open.
	Alternatives int
}

// It does not change what is stated.
func (m Mix) complete() Mix {
	if m.Sorts == nil {
		m.Sorts = slices.Concat(HealthyBoxes(), Singles(), MeterFaults(), Pairs())
	}
	if m.Constructions == nil {
		for c := range NumConstructions {
			m.Constructions = append(m.Constructions, c)
		}
	}
	if m.Meters == nil {
		m.Meters = Meters()
	}
	if m.Extents == nil {
		m.Extents = []Extent{Minimal, Recommended, Full}
	}
	if m.Diallings == nil {
		m.Diallings = []int{1}
	}
	if m.Fewest == 0 {
		m.Fewest = 3
	}
	if m.Most == 0 {
		m.Most = 10
	}
	if m.Repeats == 0 {
		m.Repeats = 1
	}
	if m.Least == 0 {
		m.Least = 3
	}
	if m.Largest == 0 {
		m.Largest = 300
	}
	return m
}

// Case makes trial i, the same whenever it is asked for: sorts in turn, then meters, plans and
// constructions. Some sorts need several attempts; the error says that none of many could be
// made. A mix asks for what is rare at its own risk: two faults with few alternatives may take a
// hundred attempts.
func (m Mix) Case(i int) (*Case, error) {
	m = m.complete()
	c := &Case{Index: i, Sort: m.Sorts[i%len(m.Sorts)]}
	for try := range 200 {
		// Attempts below 256 do not run into the next trial.
		rng := rand.New(rand.NewPCG(m.Seed, uint64(i)<<8|uint64(try)))
		ok, err := m.attempt(c, rng)
		if ok || err != nil {
			return c, err
		}
	}
	return nil, fmt.Errorf("bench: trial %d: no %q of %v to %v u found in 200 attempts", i,
		c.Sort.Name, m.Least, m.Largest)
}

// It is false where another draw may do; an error is a mistake of the caller or of this package.
// The first reading of the plan is of the sound box: it shows that the meter reaches, and which
// ranges a fault of the meter can be seen on.
func (m Mix) attempt(c *Case, rng *rand.Rand) (bool, error) {
	c.Construction = m.Constructions[rng.IntN(len(m.Constructions))]
	c.Extent = m.Extents[rng.IntN(len(m.Extents))]
	c.Diallings = m.Diallings[rng.IntN(len(m.Diallings))]
	meter := m.Meters[rng.IntN(len(m.Meters))]
	box, err := DrawBox(c.Construction, rng, m.Fewest, m.Most)
	if err != nil {
		return false, err
	}
	d := &drawing{circuit: newCircuit(box), rng: rng}
	read := m.readerOf(box, meter, rng.Uint64(), Plan(box, c.Extent, c.Diallings))
	if c.Bench, c.Readings, err = read(); err != nil {
		return false, err
	}
	for _, r := range c.Readings {
		if len(r.Values) == 0 {
			return false, nil // a box beyond the meter
		}
		d.used = append(d.used, r.rangeOf)
	}
	c.Alternatives = 1
	// After the healthy readings, since a fault of the meter has to be on a range that was used.
	faults, ok := c.Sort.draw(d)
	if !ok || len(faults) == 0 {
		return ok, nil
	}
	if !c.Sort.asDrawn && !m.adjustAll(faults, d, read) {
		return false, nil
	}
	// Each was brought to a size by itself; now the second takes the value of the first, kept
	// inside 90 % of the smaller element.
	if c.Sort.Name == cancels {
		least := min(d.nominal(faults[0]), d.nominal(faults[1]))
		faults[0].Value = max(-0.9*least, min(0.9*least, faults[0].Value))
		faults[1].Value = -faults[0].Value
	}
	if c.Bench, c.Readings, err = read(faults...); err != nil {
		return false, err
	}
	err = c.marginal(read, m)
	return c.Size >= m.Least && (m.Alternatives == 0 || c.Alternatives <= m.Alternatives), err
}

// nominal is that of the element of a fault, in ohms.
func (c *circuit) nominal(f Fault) float64 {
	return c.elements[c.element(f.A.Dial, f.A.Number)].nominal
}

// cancels is the sort of pairs of which the second value is the first one reversed.
const cancels = "two drifts that cancel at the top"

// reader makes the bench of a trial with faults, and reads its plan.
type reader func(faults ...Fault) (*Bench, []Reading, error)

// The bench is made anew for each reading, from the same seed: everything but the faults is the
// same.
func (m Mix) readerOf(box *decade.Box, meter Meter, seed uint64, plan [][]int) reader {
	return func(faults ...Fault) (*Bench, []Reading, error) {
		o := Options{}
		for _, f := range faults {
			if f.Kind == LeakCase {
				o.Strapped = 1 + int(seed%2)
			}
		}
		b, err := New(box, meter, seed, o, faults...)
		if err != nil {
			return nil, nil, err
		}
		return b, b.ReadAll(plan, m.Repeats), nil
	}
}

// beyondTelling is the number of alternatives of two faults that one alone explains. It is more
// than any number of alternatives that a mix admits.
const beyondTelling = 1000

// marginal finds the size of the smallest fault beside the others, and the alternatives
// where the mix asks for them.
//
// For fault k it is the difference of the readings with all faults and with all but k, in which
// contacts and errors cancel; for the alternatives the other fault may have any size beside it.
func (c *Case) marginal(read reader, m Mix) error {
	c.Size, c.Alternatives = math.Inf(1), 1
	var shifts [][]float64
	for k := range c.Faults {
		_, without, err := read(slices.Delete(slices.Clone(c.Faults), k, k+1)...)
		if err != nil {
			return err
		}
		shift := make([]float64, len(without))
		for i, r := range without {
			shift[i] = c.Readings[i].Shift - r.Shift
			if math.IsNaN(shift[i]) {
				shift[i] = 0 // open with it and without it
			}
		}
		c.Size = min(c.Size, c.Bench.size(c.Readings, shift).Beyond)
		shifts = append(shifts, shift)
	}
	if c.Size < m.Least || m.Alternatives == 0 {
		return nil
	}
	for k, shift := range shifts {
		var other []float64
		if len(shifts) == 2 {
			other = shifts[1-k]
		}
		c.Alternatives *= max(1, len(c.Bench.alternatives(c.Readings, shift, c.Faults[k].Fresh,
			other)))
	}
	c.Alternatives *= c.sameBridges()
	// Where one cause alone reads like both there is no second fault to find.
	if len(c.Faults) > 1 && len(c.Bench.Alternatives(c.Readings)) > 0 {
		c.Alternatives = beyondTelling
	}
	return nil
}

// sameBridges counts the bridges in a ladder around an open element that read the same at
// every position: from tap a below the element with R Ω, or from tap a + 1 with an element
// less, and so on as far as R goes. Beyond the element the current takes the bridge, below it
// no current flows in it. 1: there is none such.
//
// With the bridge from tap a and R Ω the current leaves the ladder at a and takes R + the way
// back from b: from tap a + 1 with R less one step it reads the same, down to R of less than a
// step or the element itself.
func (c *Case) sameBridges() int {
	if len(c.Faults) != 2 || c.Faults[0].Kind != OpenElement || c.Faults[1].Kind != BridgeInDial {
		return 1
	}
	e, f := c.Faults[0].A, c.Faults[1]
	dial := c.Box.Decades()[e.Dial]
	if !dial.Tapped() || f.A.Dial != e.Dial {
		return 1
	}
	a := min(f.A.Number, f.B.Number)
	highest := min(e.Number-1, a+int(f.Value/dial.Step))
	return 1 + highest
}

// adjustAll brings each fault to a size of its own; false where one cannot be. It changes
// faults; d has the generator.
func (m Mix) adjustAll(faults []Fault, d *drawing, read reader) (ok bool) {
	for k := range faults {
		target := m.Least * math.Pow(m.Largest/m.Least, d.rng.Float64())
		if faults[k], ok = m.adjust(faults[k], target, read); !ok {
			return false
		}
	}
	return true
}

// adjust brings a fault to a size where its value can be chosen; false where it is too small and
// cannot be. Sizes are measured with the fault alone. Twelve steps of at most 20 times go from
// any value to any other; it ends within a third of the target, or at the bound of the value.
func (m Mix) adjust(f Fault, target float64, read reader) (Fault, bool) {
	for range 12 {
		b, readings, err := read(f)
		if err != nil {
			return f, false
		}
		size := b.Size(readings).Beyond
		grows, low, high := b.bounds(f)
		if grows == 0 || math.Abs(math.Log(size/target)) < 0.3 {
			return f, size >= m.Least
		}
		// A size of +Inf (open) or 0 moves the value by the largest step.
		by := min(max(target/size, 0.05), 20)
		if math.IsNaN(by) {
			return f, false
		}
		value := math.Abs(f.Value) * math.Pow(by, grows)
		to := math.Copysign(min(max(value, low), high), f.Value)
		if to == f.Value {
			return f, size >= m.Least
		}
		f.Value = to
	}
	return f, false
}

// bounds say whether a fault grows with its value (1), with less of it (−1) or has none to
// choose (0), and between which amounts it makes sense.
//
// What a bound means: an element is not below a tenth of its value nor above eleven times; a
// trimming resistor makes 10 ppm to 2 %; a contact of a code shorts its element, and with half
// the ohms of that it still looks like one; ohms in series are those of dirt and leads, not of a
// broken wire; the zero of a range is off by a hundredth of it, its gain by 3 %. For a touch, a
// bridge of value 0, there is no size to choose.
func (b *Bench) bounds(f Fault) (grows, low, high float64) {
	nominal := func() float64 { return b.made.nominal(f) }
	switch f.Kind {
	case Drift:
		if f.Value < 0 {
			return 1, 0, 0.9 * nominal()
		}
		return 1, 0, 10 * nominal()
	case CrackedJoint:
		return 1, 0, 10 * nominal()
	case TrimLifted:
		return 1, 1e-5, 0.02
	case Overloaded, DialDrift, Aged:
		return 1, 0, 0.3
	case MeterGain:
		return 1, 0, 0.03
	case Contact:
		if f.A.Part == Element {
			return 1, 0, nominal() / 2
		}
		return 1, 0, 30
	case MeterZero:
		return 1, 0, b.meter.Ranges[f.A.Number].FullScale / 100
	case Series:
		return 1, 0, 30
	case BridgeInDial, BridgeDials, LeakTerminals, LeakCase, LeakDial:
		if f.Value > 0 {
			return -1, 0.01, 1e14
		}
	}
	return 0, 0, 0
}
