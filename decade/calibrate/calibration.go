// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// Calibration, prediction and a certificate that was typed in end in the same type, which
// decade.Box.With takes. Each goes through its JSON form once, so that a program sees what the
// next reader of the file will see.

import (
	"encoding/json"
	"errors"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// NewCalibration fits the elements to the readings of the last stage of a report and
// returns them as a calibration of the box. Its record is named id, which should hold the
// serial number and the date.
//
// It fails where NewFit does, and where a reading contradicts the others ([ErrInconsistent]):
// a bad contact would end up in the elements. Read the named settings again, or leave rows
// out with [NewFit] and use [Fit.Calibration].
func NewCalibration(r *verify.Report, id string) (*decade.Calibration, error) {
	const op = "calibrate.NewCalibration"
	if r == nil {
		return nil, noReport(op)
	}
	stage := verify.StageAsFound
	if stages := r.Stages(); len(stages) > 0 {
		// As left where it was read: that is the box the calibration will be used with.
		stage = stages[len(stages)-1]
	}
	f, err := NewFit(r, stage)
	if err != nil {
		return nil, err
	}
	if len(f.Outliers) > 0 {
		return nil, &Error{Op: op, Name: stage.String(), Value: f.Outliers[0].Statistic,
			Err: unit.Errorf(ErrInconsistent, "%s", f.Outliers[0].Text)}
	}
	return f.Calibration(id)
}

// Calibration returns the values of the fit as a calibration of the box, as they will be
// read back from its file: to first order, each source of error with an ID.
func (f *Fit) Calibration(id string) (*decade.Calibration, error) {
	if f == nil || f.Box.NumDecades() == 0 {
		return nil, &Error{Op: "calibrate.Fit.Calibration",
			Err: unit.Errorf(ErrEmpty, "no fit; expected one from NewFit")}
	}
	// The order of determination.Unknowns, residual first: a record is read by name, but people
	// compare files line by line.
	values := []uncertainty.Quantity{f.Residual}
	for _, dial := range f.Elements {
		values = append(values, dial...)
	}
	return readBack(f.Box, decade.Calibration{Date: f.Date,
		Values: uncertainty.Record{ID: id, Quantities: values}})
}

// readBack completes a calibration, writes its record and reads it back. The result does not
// hold on to the readings, and two calibrations of one program differ in the IDs of the
// sources that they do not share. It also gives the program that calibrated the box the same
// values as one that reads the file next year: a record holds the sources to first order only.
func readBack(b *decade.Box, c decade.Calibration) (*decade.Calibration, error) {
	c.Box, c.Serial = b.Name(), b.Serial()
	text, err := json.Marshal(c.Values)
	if err != nil {
		return nil, &Error{Op: "calibrate.Fit.Calibration", Name: "record", Err: unwrapMarshal(err)}
	}
	if err := json.Unmarshal(text, &c.Values); err != nil {
		return nil, &Error{Op: "calibrate.Fit.Calibration", Name: "record", Err: err}
	}
	return &c, nil
}

// unwrapMarshal takes the error of the record out of what json wraps around it: the name of a
// Go type, which says nothing to the owner of a file.
func unwrapMarshal(err error) error {
	if e, ok := errors.AsType[*json.MarshalerError](err); ok {
		return e.Unwrap()
	}
	return err
}
