// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

// answer is what is known of the box in the end; what does not exist is nil.
type answer struct {
	box    *decade.Box
	report *verify.Report

	fit        *calibrate.Fit
	record     *decade.Calibration
	table      *calibrate.DeviationTable
	adjustment *calibrate.Adjustment
	drift      *calibrate.Drift
	notes      []string // sentences about drift and prediction
	expected   *calibrate.DeviationTable
}

// answered makes it of the files.
func answered(p *files.Program, o options) (*answer, error) {
	a := new(answer)
	var err error
	if a.box, err = files.Open(p, o.box, "", decade.ReadBox); err != nil {
		return nil, err
	}
	var found *decade.Calibration // with which the drift ends
	if o.record != "" {
		records, err := files.OpenEarlier(p, []string{o.record}, a.box)
		if err != nil {
			return nil, err
		}
		a.record, found = records[0], records[0]
	} else {
		if a.report, err = evaluate(p, o); err != nil {
			return nil, err
		}
		if found, err = a.calibrate(); err != nil {
			return nil, err
		}
	}
	measured, err := a.box.With(a.record)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", cmp.Or(o.record, o.readings), unit.Cause(err))
	}
	if a.table, err = calibrate.Deviations(measured, 0.95); err != nil {
		return nil, err
	}
	earlier, err := files.OpenEarlier(p, o.earlier, a.box)
	if err != nil {
		return nil, err
	}
	for i, c := range earlier {
		if found != nil && c.Date.After(found.Date) && !found.Date.IsZero() {
			return nil, fmt.Errorf("%s: of %s, later than what it is compared with, of %s; "+
				"expected an earlier record", o.earlier[i], c.Date.Format(time.DateOnly),
				found.Date.Format(time.DateOnly))
		}
	}
	return a, a.follow(earlier, found, o.date)
}

// calibrate makes the record of the last stage. It returns that of the box as found, nil
// where its readings do not determine it or contradict each other.
func (a *answer) calibrate() (found *decade.Calibration, err error) {
	r := a.report
	stages := r.Stages()
	last := stages[len(stages)-1]
	if a.fit, err = calibrate.NewFit(r, last); err != nil {
		return nil, unit.Cause(err)
	}
	if a.record, err = calibrate.NewCalibration(r, files.RecordID(a.box, a.fit)); err != nil {
		return nil, unit.Cause(err) // readings that contradict each other
	}
	if len(stages) == 1 {
		return a.record, nil
	}
	if a.adjustment, err = calibrate.NewAdjustment(r); err != nil {
		return nil, unit.Cause(err)
	}
	return files.RecordAsFound(r)
}

// follow finds the drift from earlier records to the box as found, and what it leads to. An
// adjustment is a step: what was measured before says nothing of what comes after.
func (a *answer) follow(earlier []*decade.Calibration, found *decade.Calibration,
	date time.Time) (err error) {
	if len(earlier) == 0 {
		return nil
	}
	if found == nil {
		a.notes = append(a.notes, "The readings as found do not give a value of every element: "+
			"no drift is computed.")
		return nil
	}
	if a.drift, err = calibrate.NewDrift(a.box, append(slices.Clone(earlier),
		found)...); err != nil {
		return unit.Cause(err)
	}
	if a.adjustment != nil {
		a.notes = append(a.notes, "The box was adjusted after this. Drift begins anew with the "+
			"record as left: nothing is predicted.")
		return nil
	}
	first, due, ok, err := a.drift.FirstDue(0.95)
	switch {
	case errors.Is(err, calibrate.ErrNotStated): // no class
	case err != nil:
		return unit.Cause(err)
	case !ok:
		a.notes = append(a.notes, "With 95 % probability every setting of one dial stays inside "+
			"its class for 100 years, if the drift goes on as it was.")
	case !due.After(found.Date):
		a.notes = append(a.notes, fmt.Sprintf("%v is inside its class (±%.3g Ω) with less than "+
			"95 %% probability already on %s: it is too near its limit for what is known of it.",
			first, first.ClassLimit(), found.Date.Format(time.DateOnly)))
	default:
		a.notes = append(a.notes, fmt.Sprintf("%v is the first to leave its class (±%.3g Ω): it "+
			"stays inside with 95 %% probability until %s, if the drift goes on as it was.",
			first, first.ClassLimit(), due.Format(time.DateOnly)))
	}
	if date.IsZero() {
		return nil
	}
	record, err := a.drift.At(date)
	if err != nil {
		return unit.Cause(err)
	}
	box, err := a.box.With(record)
	if err != nil {
		return unit.Cause(err)
	}
	a.expected, err = calibrate.Deviations(box, 0.95)
	return err
}

// writeRecord writes a record with a line for each distribution, source and quantity.
func (a *answer) writeRecord(w io.Writer) error {
	text, err := json.Marshal(a.record)
	if err != nil {
		return err
	}
	// None of these can be within a text, where a quotation mark has a backslash before it.
	for _, key := range []string{`{"id":`, `{"name":`, `{"kind":`} {
		for _, before := range []string{"[", "},"} {
			text = bytes.ReplaceAll(text, []byte(before+key), []byte(before+"\n"+key))
		}
	}
	_, err = w.Write(append(text, '\n'))
	return err
}
