// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// Wiring is the way of connecting the meter to the box.
type Wiring uint8

const (
	WiringNotStated Wiring = iota // refused by Evaluate: the leads decide low values
	WiringTwoWire                 // the leads are in the reading
	WiringFourWire                // separate current and potential leads (Kelvin): they are not
)

// String returns "not stated", "two-wire" or "four-wire".
func (w Wiring) String() string { return wirings.String(w) }

// Null says what the meter subtracts from every reading.
type Null uint8

const (
	NullNone        Null = iota // nothing
	NullLeadsJoined             // a reading with the leads joined: leads are out, the residual is in
	NullBoxAtZero               // a reading of the box at zero: leads and residual are out
)

// String returns "none", "leads joined" or "box at zero".
func (n Null) String() string { return nulls.String(n) }

// Leads describes the leads of a two-wire measurement, both together.
type Leads struct {
	Resistance float64 // Ω; subtracted where nothing is nulled
	Tolerance  float64 // Ω, ± limit of Resistance

	Null          Null
	NullTolerance float64 // Ω, ± limit of the change of the null over the session; half of what a second null shows is customary
}

// A Meter is what an ohmmeter promises and how it is connected. Ranges need not be in
// order. Zero fields that mean "not stated" are named in the warnings of a report
// where they matter.
type Meter struct {
	Name          string
	Serial        string
	Certificate   string // number and date of its last calibration
	Due           string // when the next one is due
	Specification string // which interval of the specification the ranges state: "1 year, 23 °C ± 5 °C"

	Wiring Wiring
	Leads  Leads // two-wire only
	Ranges []Range

	// ZeroShare is the part of the range term that is a zero error common to all
	// readings of a range and session, 0 to 1; nil: one half. The rest is linearity and
	// noise, new in each reading. If all of it were common it would cancel where the
	// zero reading is subtracted, and the low dials would look better than they are.
	ZeroShare *float64

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

// A Range of a meter with its limits of error ±(OfReading·|reading| +
// OfRange·FullScale).
type Range struct {
	Name      string  // "1 kΩ"
	FullScale float64 // Ω
	OverRange float64 // largest reading as a multiple of FullScale; 0: 1

	OfReading  float64 // fraction
	OfRange    float64 // fraction
	K          float64 // coverage factor of the limits; 0: they are limits without one (rectangular)
	Resolution float64 // Ω, step of the display

	Current float64 // A, test current; 0: not stated

	OfReadingPerKelvin float64 // 1/K, added for each kelvin outside the band
	OfRangePerKelvin   float64 // 1/K

	// Reference is the label of the internal reference; ranges of one label share their
	// gain error. Empty: the range has its own.
	Reference string
}

// Reach returns the largest resistance that the range can show, in Ω.
func (r Range) Reach() float64 {
	if r.OverRange == 0 {
		return r.FullScale
	}
	return r.FullScale * r.OverRange
}

// Limit returns the limit of error of a reading, in Ω: OfReading·|reading| +
// OfRange·FullScale, with what the kelvins outside the temperature band add.
func (r Range) Limit(reading, outside float64) float64 {
	ofReading := r.OfReading + float64(r.OfReadingPerKelvin*outside)
	ofRange := r.OfRange + float64(r.OfRangePerKelvin*outside)
	return float64(ofReading*math.Abs(reading)) + float64(ofRange*r.FullScale)
}

// divisor turns a limit into a standard uncertainty.
func (r Range) divisor() float64 {
	if r.K == 0 {
		return math.Sqrt(3)
	}
	return r.K
}

func (m *Meter) clone() Meter {
	out := *m
	out.Ranges = slices.Clone(m.Ranges)
	return out
}

func (m *Meter) zeroShare() float64 {
	if m.ZeroShare == nil {
		return 0.5
	}
	return *m.ZeroShare
}

// Check returns an error naming the first field of the meter that makes no sense.
func (m *Meter) Check() error {
	const op = "verify.Meter"
	if m == nil {
		return &Error{Op: op, Err: unit.Errorf(ErrEmpty, "nil; expected a meter")}
	}
	switch {
	case m.Wiring == WiringNotStated:
		return &Error{Op: op, Name: "wiring",
			Err: unit.Errorf(ErrNotStated, "not stated; expected two-wire or four-wire")}
	case m.Wiring > WiringFourWire:
		return &Error{Op: op, Name: "wiring", Value: float64(m.Wiring),
			Err: unit.Errorf(ErrUnknown, "%d; expected two-wire or four-wire", m.Wiring)}
	case m.Leads.Null > NullBoxAtZero:
		return &Error{Op: op, Name: "leads: null", Value: float64(m.Leads.Null),
			Err: unit.Errorf(ErrUnknown, "%d; expected none, leads joined or box at zero", m.Leads.Null)}
	case m.Wiring == WiringFourWire && (m.Leads.Resistance != 0 || m.Leads.Tolerance != 0):
		return &Error{Op: op, Name: "leads", Value: m.Leads.Resistance,
			Err: unit.Errorf(ErrContradiction, "leads of %v Ω in a four-wire measurement, where they are not in the reading; expected none", m.Leads.Resistance)}
	case m.Wiring == WiringTwoWire && m.Leads.Null != NullNone && m.Leads.Resistance != 0:
		return &Error{Op: op, Name: "leads", Value: m.Leads.Resistance,
			Err: unit.Errorf(ErrContradiction, "leads of %v Ω to subtract and a null (%v) that has done so; expected one of the two", m.Leads.Resistance, m.Leads.Null)}
	case len(m.Ranges) == 0:
		return &Error{Op: op, Name: "ranges",
			Err: unit.Errorf(ErrEmpty, "none; expected at least one range")}
	}
	share := m.zeroShare()
	if !(share >= 0 && share <= 1) {
		return &Error{Op: op, Name: "zeroShare", Value: share,
			Err: unit.Errorf(ErrDomain, "%v; expected 0 to 1", share)}
	}
	if m.Temperature != nil && !finite(*m.Temperature) {
		return &Error{Op: op, Name: "temperature", Value: *m.Temperature,
			Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number of degrees Celsius", *m.Temperature)}
	}
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"leads: resistance", m.Leads.Resistance}, {"leads: tolerance", m.Leads.Tolerance}, {"leads: nullTolerance", m.Leads.NullTolerance},
		{"thermometer", m.Thermometer}, {"band", m.Band}, {"thermalEMF", m.ThermalEMF}, {"insulation", m.Insulation},
	} {
		if err := notNegative(op, f.name, f.value); err != nil {
			return err
		}
	}
	seen := make(map[string]bool)
	for i, r := range m.Ranges {
		if err := r.check(fmt.Sprintf("ranges[%d] %q", i, r.Name)); err != nil {
			return err
		}
		if seen[r.Name] {
			return &Error{Op: op, Name: "ranges",
				Err: unit.Errorf(ErrContradiction, "two ranges named %q; expected different names", r.Name)}
		}
		seen[r.Name] = true
	}
	return nil
}

func (r Range) check(where string) error {
	const op = "verify.Meter"
	if r.Name == "" {
		return &Error{Op: op, Name: where,
			Err: unit.Errorf(ErrEmpty, "no name; expected one, such as 1 kΩ")}
	}
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"fullScale", r.FullScale}, {"overRange", r.OverRange}, {"ofReading", r.OfReading}, {"ofRange", r.OfRange}, {"k", r.K},
		{"resolution", r.Resolution}, {"current", r.Current}, {"ofReadingPerKelvin", r.OfReadingPerKelvin}, {"ofRangePerKelvin", r.OfRangePerKelvin},
	} {
		if err := notNegative(op, where+": "+f.name, f.value); err != nil {
			return err
		}
	}
	switch {
	case r.FullScale == 0:
		return &Error{Op: op, Name: where + ": fullScale",
			Err: unit.Errorf(ErrDomain, "0; expected more than 0 Ω")}
	case r.OverRange != 0 && r.OverRange < 1:
		return &Error{Op: op, Name: where + ": overRange", Value: r.OverRange,
			Err: unit.Errorf(ErrDomain, "%v; expected 1 or more, or 0 for 1", r.OverRange)}
	case r.OfReading > tooLarge || r.OfRange > tooLarge:
		return &Error{Op: op, Name: where, Value: max(r.OfReading, r.OfRange),
			Err: unit.Errorf(ErrDomain, "limit of error of %v, that is %v %%; expected a fraction of at most %v (write \"0.01 %%\" or 0.0001)", max(r.OfReading, r.OfRange), 100*max(r.OfReading, r.OfRange), tooLarge)}
	case !finite(r.Reach()):
		return &Error{Op: op, Name: where + ": overRange", Value: r.OverRange,
			Err: unit.Errorf(ErrNotFinite, "largest reading overflows; expected a finite one")}
	}
	return nil
}

// tooLarge is the fraction above which a limit of error is taken for per cent written
// as a number.
const tooLarge = 0.2
