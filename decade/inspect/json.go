// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"encoding/json"
	"fmt"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A file holds what answers follow from and no answer: read by a later version of the package, it
// gives the answer of that version. Zero values are left out, and absent keys are zero values, so
// that a default that is improved later is improved for old files too. Progress and Circuit of the
// options are of the running program.
//
// Reading goes through NewInspection and Add: what a program could not make, no file can.

// The form of an Inspection in JSON; examples/formats/README.md lists the keys.
type (
	jsonInspection struct {
		Box         *decade.Box         `json:"box"`
		Calibration *decade.Calibration `json:"calibration,omitempty"`
		Meter       *verify.Meter       `json:"meter"`
		Rule        jsonRule            `json:"decisionRule"`
		Causes      jsonOptions         `json:"causes"`
		Readings    []json.RawMessage   `json:"readings"` // read later: they need the box
	}
	jsonRule struct {
		Kind     conformity.RuleKind `json:"kind"`
		Multiple float64             `json:"guardBandOverU,omitempty"`
		Risk     float64             `json:"risk,omitempty"`
		Coverage float64             `json:"coverageProbability,omitempty"`
		Smallest float64             `json:"smallestU,omitempty"`
	}
	jsonOptions struct {
		Faults   int           `json:"faultsAtOnce,omitempty"`
		Distance float64       `json:"distance,omitempty"`       // as fault.Options has it
		Strapped int           `json:"caseAtTerminal,omitempty"` // 0: the case floats
		Weights  fault.Weights `json:"weights,omitempty"`
	}
)

// MarshalJSON writes what the answers follow from: box, its calibration if it has one, meter,
// rule, options and readings. UnmarshalJSON reads it back. The answers are not in it; an
// [Answer] writes itself. An Inspection without a box is an error, and so is a rule with a
// prior distribution, which has no form in a file. examples/formats/README.md lists the keys.
func (in *Inspection) MarshalJSON() ([]byte, error) {
	const op = "inspect.Inspection.MarshalJSON"
	m := in.moment()
	if m == nil {
		return nil, noBox(op)
	}
	in.mu.Lock()
	rule, o, meter := in.rule, in.faults, in.meter
	in.mu.Unlock()
	// A rule without its prior would judge differently when it is read back.
	if rule.Prior != nil {
		return nil, &Error{Op: op, Name: "rule", Err: unit.Errorf(unit.ErrDomain,
			"a rule with a prior distribution; expected one without: a distribution has no form "+
				"in a file")}
	}
	out := jsonInspection{
		Box: in.Box(), Calibration: in.Box().Calibration(), Meter: meter,
		Rule:     jsonRule{rule.Kind, rule.Multiple, rule.Risk, rule.Coverage, rule.Smallest},
		Causes:   jsonOptions{o.Faults, o.Distance, o.Strapped, o.Weights},
		Readings: []json.RawMessage{},
	}
	for i := range m.readings {
		text, err := m.readings[i].MarshalJSON()
		if err != nil {
			return nil, &Error{Op: op, Name: fmt.Sprintf("readings[%d]", i), Err: err}
		}
		out.Readings = append(out.Readings, text)
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON writes into an Inspection that has no box yet. The
// settings are those of a new box, [Inspection.Box]. Unknown keys, and whatever
// [NewInspection] and [Inspection.Add] refuse, are refused by name.
func (in *Inspection) UnmarshalJSON(text []byte) error {
	const op = "inspect.Inspection.UnmarshalJSON"
	if in == nil {
		return &Error{Op: op, Err: unit.Errorf(unit.ErrNotStated, "nil; expected the address of "+
			"an Inspection")}
	}
	if in.moment() != nil {
		return &Error{Op: op, Name: "box", Err: unit.Errorf(unit.ErrDomain, "the inspection has "+
			"begun already; expected a zero Inspection")}
	}
	var from jsonInspection
	if err := file.DecodePart(op, text, &from); err != nil {
		return err
	}
	for _, missing := range []struct {
		key string
		is  bool
	}{{"box", from.Box == nil}, {"meter", from.Meter == nil}} {
		if missing.is {
			return &Error{Op: op, Name: missing.key, Err: unit.Errorf(unit.ErrNotStated,
				"missing; expected the description of the %s", missing.key)}
		}
	}
	box := from.Box
	if from.Calibration != nil {
		calibrated, err := box.With(from.Calibration)
		if err != nil {
			return &Error{Op: op, Name: "calibration", Err: err}
		}
		box = calibrated
	}
	rule := conformity.Rule{Kind: from.Rule.Kind, Multiple: from.Rule.Multiple,
		Risk: from.Rule.Risk, Coverage: from.Rule.Coverage, Smallest: from.Rule.Smallest}
	o := fault.Options{Faults: from.Causes.Faults, Distance: from.Causes.Distance,
		Strapped: from.Causes.Strapped, Weights: from.Causes.Weights}
	made, err := NewInspection(box, from.Meter, rule, o)
	if err != nil {
		return err
	}
	readings := make([]verify.Reading, len(from.Readings))
	// A reading needs its box before its setting can be read: two passes.
	for i, text := range from.Readings {
		readings[i].Setting = box.Zero()
		if err := readings[i].UnmarshalJSON(text); err != nil {
			return &Error{Op: op, Name: fmt.Sprintf("readings[%d]", i), Err: unit.Cause(err)}
		}
	}
	if err := made.Add(readings...); err != nil {
		return err
	}
	in.mu.Lock()
	defer in.mu.Unlock()
	in.box, in.meter, in.rule = made.box, made.meter, made.rule
	in.faults, in.now = made.faults, made.now
	return nil
}
