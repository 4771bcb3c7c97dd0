// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"time"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A Reading in JSON is written as in a table: setting as text, dials that were turned counted
// from 1, stage in words, and what is not stated left out. Only the box is not in it. The two
// forms have one check (checkWritable), so that what one can hold the other can.

// The form of a Reading in JSON; examples/formats/README.md lists the keys.
type (
	jsonReading struct {
		Setting          string     `json:"setting,omitempty"`
		Known            *jsonKnown `json:"known,omitempty"`
		Dialling         int        `json:"dialling,omitempty"`
		Values           []float64  `json:"values,omitempty"`   // Ω
		Reversed         []float64  `json:"reversed,omitempty"` // Ω, current reversed
		Overload         bool       `json:"aboveRange,omitempty"`
		Range            string     `json:"range,omitempty"`
		Session          string     `json:"session,omitempty"`
		Stage            Stage      `json:"stage"`
		Turned           []int      `json:"turned,omitempty"`           // dials, from 1
		Temperature      *float64   `json:"temperature,omitempty"`      // °C, of the box
		MeterTemperature *float64   `json:"meterTemperature,omitempty"` // °C
		Approach         string     `json:"approach,omitempty"`
		Time             time.Time  `json:"time,omitzero"`
		Remarks          string     `json:"remarks,omitempty"`
		Line             int        `json:"line,omitempty"` // of the file of readings it came from
	}
	jsonKnown struct {
		Name  string  `json:"name"`
		Value float64 `json:"value"`                         // Ω
		U     float64 `json:"expandedUncertainty,omitempty"` // Ω
		K     float64 `json:"coverageFactor,omitempty"`      // of U
	}
)

// MarshalJSON writes the reading in ohms and °C; dials that were turned are counted from 1. It
// refuses what [WriteReadings] refuses. examples/formats/README.md lists the keys.
func (r Reading) MarshalJSON() ([]byte, error) {
	if err := r.checkWritable(); err != nil {
		return nil, &Error{Op: "verify.Reading.MarshalJSON", Name: r.place(), Err: err}
	}
	out := jsonReading{
		Dialling: r.Dialling, Values: r.Values, Reversed: r.Reversed, Overload: r.Overload,
		Range: r.Range, Session: r.Session, Stage: r.Stage,
		Temperature: r.Temperature, MeterTemperature: r.MeterTemperature, Approach: r.Approach,
		Time: r.Time, Remarks: r.Remarks, Line: r.Line,
	}
	if r.Known == nil {
		out.Setting = r.Setting.String()
	} else {
		out.Known = new(jsonKnown(*r.Known))
	}
	for _, d := range r.Turned {
		out.Turned = append(out.Turned, d+1)
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON writes, into a reading whose setting belongs to a box,
// such as Reading{Setting: box.Zero()}: text alone does not say which box is meant. A reading of
// a known resistor needs none. Unknown keys, and what MarshalJSON refuses, are refused by name.
func (r *Reading) UnmarshalJSON(text []byte) error {
	const op = "verify.Reading.UnmarshalJSON"
	if r == nil {
		return &Error{Op: op, Err: unit.Errorf(unit.ErrNotStated, "nil; expected the address of "+
			"a Reading")}
	}
	var from jsonReading
	if err := file.DecodePart(op, text, &from); err != nil {
		return err
	}
	// Into a new Reading, which replaces the receiver as a whole or, after an error, not at all.
	out := Reading{
		Dialling: from.Dialling, Values: from.Values, Reversed: from.Reversed,
		Overload: from.Overload, Range: from.Range, Session: from.Session, Stage: from.Stage,
		Temperature: from.Temperature, MeterTemperature: from.MeterTemperature,
		Approach: from.Approach, Time: from.Time, Remarks: from.Remarks, Line: from.Line,
	}
	if from.Known != nil {
		out.Known = new(Known(*from.Known))
	}
	// The box is that of the receiver: text alone does not say which one is meant.
	if from.Setting != "" {
		out.Setting = r.Setting
		if err := out.Setting.UnmarshalText([]byte(from.Setting)); err != nil {
			return &Error{Op: op, Name: "setting", Err: unit.Cause(err)}
		}
	}
	for _, d := range from.Turned {
		if d < 1 {
			return &Error{Op: op, Name: "turned", Value: float64(d),
				Err: unit.Errorf(ErrDomain, "dial %d; expected dials from 1", d)}
		}
		out.Turned = append(out.Turned, d-1)
	}
	// What was not written by MarshalJSON may hold anything, such as a value beside an overload.
	if err := out.checkWritable(); err != nil {
		return &Error{Op: op, Name: out.place(), Err: err}
	}
	*r = out
	return nil
}
