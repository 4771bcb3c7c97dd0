// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// Wiring is the way of connecting the meter to the box. Any number of goroutines may use one
// at once.
type Wiring uint8

const (
	WiringNotStated Wiring = iota // refused by Evaluate: the leads decide low values
	WiringTwoWire                 // the leads are in the reading
	WiringFourWire                // separate current and potential leads (Kelvin): they are not
)

// String returns "not stated", "two-wire" or "four-wire".
func (w Wiring) String() string { return wirings.String(w) }

// Null is what the meter subtracts from every reading. Any number of goroutines may use one at
// once.
type Null uint8

const (
	NullNone        Null = iota // nothing
	NullLeadsJoined             // one with the leads joined: they are out, the residual is in
	NullBoxAtZero               // one of the box at zero: leads and residual are out
)

// String returns "none", "leads joined" or "box at zero".
func (n Null) String() string { return nulls.String(n) }

// Leads describes the leads of a two-wire measurement, both together. Any number of
// goroutines may read one at once.
type Leads struct {
	Resistance float64 // Ω; subtracted where nothing is nulled
	Tolerance  float64 // Ω, ± limit of Resistance

	Null Null
	// NullTolerance is the ± limit in Ω of the change of the null over the session; half of what a
	// second null shows is customary.
	NullTolerance float64
}

// A Meter describes an ohmmeter: its limits of error, and how it is connected to the box. Ranges
// need not be in order. A zero field means "not stated"; the warnings of a report name it where
// it matters. Any number of goroutines may read one at once.
type Meter struct {
	Name          string
	Serial        string
	Certificate   string // number and date of its last calibration
	Due           string // when the next one is due
	Specification string // which interval the ranges state: "1 year, 23 °C ± 5 °C"

	Wiring Wiring
	Leads  Leads // two-wire only
	Ranges []Range

	// Ideal admits ranges without limits of error: they are taken as without error. A
	// range without limits is refused otherwise.
	Ideal bool

	Thermometer float64  // K, ± limit of the temperature readings of the box; 0: not stated
	Temperature *float64 // °C, middle of the band in which the limits hold; nil: not stated
	Band        float64  // K, half-width of that band

	OffsetCompensated bool    // thermal EMFs are taken out by the meter
	ThermalEMF        float64 // V, ± limit of the EMFs in the circuit otherwise; 0: not stated

	// Insulation is a leakage resistance across the terminals, of box, leads and meter,
	// known only to exceed this value, in Ω; 0: not stated. It makes readings low by
	// between 0 and R²/Insulation.
	Insulation float64
}

// clone copies what a caller could change behind a report.
func (m *Meter) clone() Meter {
	out := *m
	out.Ranges, out.Temperature = slices.Clone(m.Ranges), copied(m.Temperature)
	for i := range out.Ranges {
		r := &out.Ranges[i]
		r.ShortTerm, r.Calibration = copied(r.ShortTerm), copied(r.Calibration)
		if c := r.Calibration; c != nil {
			c.Points, c.Stability = slices.Clone(c.Points), copied(c.Stability)
		}
	}
	return out
}

// copied is a pointer to a copy of what p leads to; nil of nil.
func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	return new(*p)
}

// Check returns an error that names the first field of the meter that is not valid.
func (m *Meter) Check() error {
	const op = "verify.Meter"
	if m == nil {
		return &Error{Op: op, Err: unit.Errorf(ErrEmpty, "nil; expected a meter")}
	}
	if err := m.checkConnection(op); err != nil {
		return err
	}
	if len(m.Ranges) == 0 {
		return &Error{Op: op, Name: "ranges",
			Err: unit.Errorf(ErrEmpty, "none; expected at least one range")}
	}
	if err := m.checkNumbers(op); err != nil {
		return err
	}
	return m.checkRanges(op)
}

// checkConnection refuses a connection that is not stated or contradicts itself: leads that are
// subtracted twice, or that are not in the reading.
func (m *Meter) checkConnection(op string) error {
	switch {
	case m.Wiring == WiringNotStated:
		return &Error{Op: op, Name: "wiring",
			Err: unit.Errorf(ErrNotStated, "not stated; expected two-wire or four-wire")}
	case m.Wiring > WiringFourWire:
		return &Error{Op: op, Name: "wiring", Value: float64(m.Wiring),
			Err: unit.Errorf(ErrUnknown, "%d; expected two-wire or four-wire", m.Wiring)}
	case m.Leads.Null > NullBoxAtZero:
		return &Error{Op: op, Name: "leads: null", Value: float64(m.Leads.Null),
			Err: unit.Errorf(ErrUnknown, "%d; expected none, leads joined or box at zero",
				m.Leads.Null)}
	case m.Wiring == WiringFourWire && (m.Leads.Resistance != 0 || m.Leads.Tolerance != 0):
		return &Error{Op: op, Name: "leads", Value: m.Leads.Resistance,
			Err: unit.Errorf(ErrContradiction,
				"leads of %v Ω in a four-wire measurement, where they are not in the reading; "+
					"expected none", m.Leads.Resistance)}
	case m.Wiring == WiringTwoWire && m.Leads.Null != NullNone && m.Leads.Resistance != 0:
		return &Error{Op: op, Name: "leads", Value: m.Leads.Resistance,
			Err: unit.Errorf(ErrContradiction,
				"leads of %v Ω to subtract and a null (%v) that has done so; expected one of the "+
					"two", m.Leads.Resistance, m.Leads.Null)}
	}
	return nil
}

// checkNumbers refuses figures of the meter as a whole that are negative or not finite.
func (m *Meter) checkNumbers(op string) error {
	if m.Temperature != nil && !finite(*m.Temperature) {
		return &Error{Op: op, Name: "temperature", Value: *m.Temperature,
			Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number of degrees Celsius",
				*m.Temperature)}
	}
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"leads: resistance", m.Leads.Resistance}, {"leads: tolerance", m.Leads.Tolerance},
		{"leads: nullTolerance", m.Leads.NullTolerance},
		{"thermometer", m.Thermometer}, {"band", m.Band}, {"thermalEMF", m.ThermalEMF},
		{"insulation", m.Insulation},
	} {
		if err := notNegative(op, f.name, f.value); err != nil {
			return err
		}
	}
	return nil
}

// checkRanges refuses the first range that makes no sense, has no limits, or a name of another.
func (m *Meter) checkRanges(op string) error {
	seen := make(map[string]bool)
	for i, r := range m.Ranges {
		where := fmt.Sprintf("ranges[%d] %q", i, r.Name)
		if err := r.checkRange(where); err != nil {
			return err
		}
		if r.limits().IsZero() && !m.Ideal {
			return &Error{Op: op, Name: where,
				Err: unit.Errorf(ErrNotStated,
					"no limit of error; expected ofReading or ofRange, or \"ideal\": true for a "+
						"meter without error")}
		}
		if seen[r.Name] {
			return &Error{Op: op, Name: "ranges",
				Err: unit.Errorf(ErrContradiction, "two ranges named %q; expected different names",
					r.Name)}
		}
		seen[r.Name] = true
	}
	return nil
}
