// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
)

// evidence is what readings say, in plain numbers.
type evidence struct {
	settings     []decade.Setting // each once
	observations []observation
	overloads    []overload
	covariance   *mat.SymDense // of obs: meter and contacts, without the box
}

// observation is one dialling with a value.
type observation struct {
	setting int     // in settings
	ohms    float64 // Ω at the terminals
	row     int     // in the report
}

// overload is one dialling above the range of the meter.
type overload struct {
	setting int
	reach   float64 // Ω
	row     int
}

// settingIndex returns the index of a setting, which is added where it is new.
func (e *evidence) settingIndex(s decade.Setting) int {
	i := slices.Index(e.settings, s)
	if i < 0 {
		i = len(e.settings)
		e.settings = append(e.settings, s)
	}
	return i
}

// lastStage is the one that a report is diagnosed for: the state of the box now.
func lastStage(r *verify.Report) verify.Stage {
	stages := r.Stages()
	if len(stages) == 0 {
		return verify.StageAsFound
	}
	return stages[len(stages)-1]
}

// gather reads a report.
func gather(r *verify.Report) (*evidence, error) {
	e := &evidence{}
	stage := lastStage(r)
	shared := make(map[string][]contribution)
	var own []float64
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		case row.Reading.Stage != stage:
		case row.Overload:
			e.overloads = append(e.overloads, overload{e.settingIndex(row.Setting), reach(r, row), i})
		default:
			b, err := uncertainty.Evaluate(row.Measured)
			if err != nil {
				return nil, &Error{Op: "fault.Diagnose", Name: "setting " + row.Setting.String(), Err: err}
			}
			at := len(e.observations)
			e.observations = append(e.observations, observation{e.settingIndex(row.Setting), b.Estimate, i})
			own = append(own, smallestVariance(b.Estimate))
			for _, c := range b.Components {
				shared[c.Name+"\x00"+c.ID] = append(shared[c.Name+"\x00"+c.ID], contribution{at, c.Contribution})
			}
		}
	}
	if err := e.checkReadings(); err != nil {
		return nil, err
	}
	e.covariance = covariance(own, shared)
	return e, nil
}

// contribution is what an input contributes to an observation, in Ω.
type contribution struct {
	observation int
	ohms        float64
}

// smallestVariance keeps the covariance matrix regular where a meter claims no error: a
// tenth of a part per million and a microohm.
func smallestVariance(y float64) float64 {
	u := 1e-7*math.Abs(y) + 1e-6
	return u * u
}

// covariance is that of observations from the inputs they share.
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
				out.SetSym(a.observation, b.observation, out.At(a.observation, b.observation)+float64(a.ohms*b.ohms))
			}
		}
	}
	return out
}

// reach is the largest value that the range of a row shows.
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
	case len(e.observations) == 0 && len(e.overloads) == 0:
		return refuse("fault.Diagnose", "report", nil, ErrEmpty, "no readings; expected at least two settings")
	case len(e.observations) == 0:
		return refuse("fault.Diagnose", "report", float64(len(e.overloads)), ErrOpen,
			"all %d readings are above the range of the meter, so the circuit is open at every setting read: "+
				"a lead, terminal, link or wiper, or the range is too small; "+
				"expected a reading with a value, such as the zero setting", len(e.overloads))
	case len(e.settings) < 2:
		return refuse("fault.Diagnose", "report", e.settings[0].String(), ErrUndetermined,
			"readings of one setting only (%v); expected the zero setting and every position of each dial that is in doubt",
			e.settings[0])
	}
	return nil
}
