// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A report becomes numbers here: one observation for each dialling with a value, and what all of
// them are uncertain by. Two readings share the gain error of their range, the leads, a known
// resistor; their covariance is Σ c_i·c_j over the inputs that both have, c being what a standard
// uncertainty of the input changes each by (GUM F.1.2.3). The box is not in it: whether an element
// is off is the question, and its class comes in with the model.
//
// Nor is the scatter that the diallings of the report show: with a contact that differs from
// dialling to dialling it would be as large as the fault, and explain it away. What is stated for
// contacts and noise takes its place.
//
// Readings above range have no value. They bound it from below (contradiction).

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
)

// evidence is what readings say, in plain numbers.
type evidence struct {
	// settings are what was dialled, each once for each range of the meter that read it. A
	// dialling that differs from the others of its setting stands apart.
	settings     []decade.Setting
	meter        []meterRange           // nil: the meter is not looked at
	rangeOf      []int                  // of each setting, in meter
	row          []int                  // of each setting: its row; absent where it has several
	dialled      map[decade.Setting]int // how often, with what is not used; nil: as observed
	observations []observation
	overloads    []overload
	covariance   *mat.SymDense // Ω², of the observations: meter and contacts, without the box
}

// observation is one dialling with a value.
type observation struct {
	setting int     // in settings
	ohms    float64 // Ω at the terminals
	row     int     // in the report
}

// meterRange is what can be wrong with a range of the meter: more than its limits allow.
// What a known resistor has shown is corrected, and no cause any more.
type meterRange struct {
	name       string
	gainLimit  float64 // a fraction
	zeroLimit  float64 // Ω
	fullScale  float64 // Ω
	gain, zero bool    // may be off
}

// overload is one dialling above the range of the meter. reach is the largest value of that range;
// 0: not known, and nothing follows.
type overload struct {
	setting int
	reach   float64 // Ω
	row     int
}

// addMeter lists the ranges of the meter, with what of each a known resistor has shown.
func (e *evidence) addMeter(r *verify.Report) {
	for _, rg := range r.Meter.Ranges {
		x := meterRange{name: rg.Name, gainLimit: rg.OfReading, zeroLimit: rg.RangePart(),
			fullScale: rg.FullScale, gain: true, zero: true}
		for _, s := range r.Standards {
			if s.Reading.Range != rg.Name {
				continue
			}
			// A standard in the upper part of a range shows the gain, one in the lower
			// part the zero.
			if v := s.Value.Estimate(); math.Abs(v) >= showsGain*rg.FullScale {
				x.gain = false
			} else {
				x.zero = false
			}
		}
		e.meter = append(e.meter, x)
	}
}

// showsGain is the part of a range from which a standard tells its gain rather than its
// zero. A short is below it, the end of a range ten times smaller above it.
const showsGain = 0.05

// indexOf returns the index of a setting on a range, which is added where it is new. Read on two
// ranges it is two settings that the box cannot tell apart, since a fault of the meter is of one
// range.
func (e *evidence) indexOf(r *verify.Report, row *verify.Row) int {
	rg := slices.IndexFunc(r.Meter.Ranges, func(x verify.Range) bool { return x.Name == row.Range })
	for k, s := range e.settings {
		if s == row.Setting && e.rangeOf[k] == rg {
			return k
		}
	}
	e.settings, e.rangeOf = append(e.settings, row.Setting), append(e.rangeOf, rg)
	return len(e.settings) - 1
}

// differsBy is how many standard uncertainties of their difference a dialling lies apart
// from the middle of its setting. Sound diallings do so once in 16,000 times.
const differsBy = 4

// separateOdd gives a dialling that differs from the others of its setting and range an
// entry of its own, so that it can be what is wrong. Of two either may be the odd one.
func (e *evidence) separateOdd() {
	// Those added on the way have one dialling each and need no look.
	for k := range len(e.settings) {
		var rows []int
		for i, o := range e.observations {
			if o.setting == k {
				rows = append(rows, i)
			}
		}
		// One reading has nothing of its own to differ from.
		if len(rows) < 2 {
			continue
		}
		slices.SortStableFunc(rows, func(a, b int) int {
			return cmp.Compare(e.observations[a].ohms, e.observations[b].ohms)
		})
		// The farther of both ends from the median, which one odd dialling does not move.
		low, high := rows[0], rows[len(rows)-1]
		middle := rows[len(rows)/2]
		odd := high
		below := e.observations[middle].ohms - e.observations[low].ohms
		if above := e.observations[high].ohms - e.observations[middle].ohms; below > above {
			odd = low
		}
		// Either may be: the later one, so that the order in the report decides and not the values.
		if len(rows) == 2 {
			odd, middle = max(low, high), min(low, high)
		}
		// GUM 5.2.2 of a difference: what both readings share cancels; max, since rounding may
		// leave −0.
		u := math.Sqrt(max(0, e.covariance.At(odd, odd)+e.covariance.At(middle,
			middle)-2*e.covariance.At(odd, middle)))
		if math.Abs(e.observations[odd].ohms-e.observations[middle].ohms) > differsBy*u {
			e.observations[odd].setting = len(e.settings)
			e.settings, e.rangeOf = append(e.settings, e.settings[k]), append(e.rangeOf,
				e.rangeOf[k])
		}
	}
	// Only a setting that was dialled once can be a dialling that differs from all others.
	e.row = make([]int, len(e.settings))
	for k := range e.row {
		e.row[k] = absent
	}
	count := make([]int, len(e.settings))
	for _, o := range e.observations {
		count[o.setting]++
		e.row[o.setting] = o.row
		if count[o.setting] > 1 {
			e.row[o.setting] = absent
		}
	}
}

// lastStage is the one that a report is diagnosed for: the state of the box now.
func lastStage(r *verify.Report) verify.Stage {
	stages := r.Stages()
	if len(stages) == 0 {
		return verify.StageAsFound
	}
	return stages[len(stages)-1]
}

// gather reads a report. It is an error where a budget cannot be evaluated or checkReadings
// refuses.
func gather(r *verify.Report) (*evidence, error) {
	e := &evidence{}
	stage := lastStage(r)
	shared := make(map[string][]contribution) // by input: its part in each observation
	var own []float64                         // variance that an observation shares with no other
	e.addMeter(r)
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		// The state of the box now; and no cause is sought for what was written down wrong.
		case row.Reading.Stage != stage || row.Discarded:
		case row.Overload:
			e.overloads = append(e.overloads, overload{e.indexOf(r, row), reach(r, row), i})
		default:
			b, err := uncertainty.Evaluate(row.Measured)
			if err != nil {
				return nil, &Error{Op: "fault.Diagnose", Name: "setting " + row.Setting.String(),
					Err: err}
			}
			at := len(e.observations)
			e.observations = append(e.observations, observation{e.indexOf(r, row), b.Estimate, i})
			own = append(own, smallestVariance(b.Estimate))
			statedOnly := false
			for _, c := range b.Components {
				if verify.FromDiallings(c) {
					statedOnly = true
					continue
				}
				// GUM F.1.2.3: the same source in two readings makes their covariance.
				shared[c.Name+"\x00"+c.ID] = append(shared[c.Name+"\x00"+c.ID],
					contribution{at, c.Contribution})
			}
			if statedOnly {
				// What is stated in place of what the diallings show: a fault must not widen its
				// own uncertainty.
				own[at] += row.StatedScatter * row.StatedScatter
			}
		}
	}
	if err := e.checkReadings(); err != nil {
		return nil, err
	}
	e.covariance = covariance(own, shared)
	e.separateOdd()
	return e, nil
}

// contribution is what an input contributes to an observation, in Ω.
type contribution struct {
	observation int
	ohms        float64
}

// smallestVariance keeps the covariance matrix regular where a meter claims no error: a
// tenth of a part per million and a microohm, in Ω². Without it two readings that share all their
// sources would be one, and what they differ by infinitely unlikely.
func smallestVariance(y float64) float64 {
	u := 1e-7*math.Abs(y) + 1e-6
	return u * u
}

// covariance is that of observations from the inputs they share. It costs the square of the number
// of observations for an input that all of them have.
func covariance(own []float64, shared map[string][]contribution) *mat.SymDense {
	out := mat.NewSymDense(len(own), nil)
	for i, v := range own {
		out.SetSym(i, i, v)
	}
	names := make([]string, 0, len(shared))
	for name := range shared {
		names = append(names, name)
	}
	slices.Sort(names) // sums in a fixed order: same bits
	for _, name := range names {
		list := shared[name]
		for i, a := range list {
			for _, b := range list[:i+1] {
				out.SetSym(a.observation, b.observation,
					out.At(a.observation, b.observation)+float64(a.ohms*b.ohms))
			}
		}
	}
	return out
}

// reach is the largest value that the range of a row shows, in Ω; 0 of a range that the meter has
// not.
func reach(r *verify.Report, row *verify.Row) float64 {
	for _, rg := range r.Meter.Ranges {
		if rg.Name == row.Range {
			return rg.Reach()
		}
	}
	return 0
}

// checkReadings refuses readings from which nothing follows.
func (e *evidence) checkReadings() error {
	switch {
	// A report of another stage alone, or of rows that were discarded.
	case len(e.observations) == 0 && len(e.overloads) == 0:
		return refuse("fault.Diagnose", "report", nil, ErrEmpty,
			"no readings; expected at least two settings")
	case len(e.observations) == 0:
		return refuse("fault.Diagnose", "report", float64(len(e.overloads)), ErrOpen,
			"all %d readings are above the range of the meter, so the circuit is open at every "+
				"setting read: "+
				"a lead, terminal, link or wiper, or the range is too small; "+
				"expected a reading with a value, such as the zero setting", len(e.overloads))
	// By setting and not by entry: one that was read on two ranges has two.
	case !slices.ContainsFunc(e.settings,
		func(s decade.Setting) bool { return s != e.settings[0] }):
		return refuse("fault.Diagnose", "report", e.settings[0].String(), ErrUndetermined,
			"readings of one setting only (%v); expected the zero setting and every position of "+
				"each dial that is in doubt",
			e.settings[0])
	}
	return nil
}
