// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package files

import (
	"cmp"
	"fmt"
	"io"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// OpenReport judges the readings of a box: three texts in, a report out. An empty name stands
// for a file of the demonstration; its readings have the name demonstration.
func OpenReport(p *Program, box, meter, readings, demonstration string) (*verify.Report, error) {
	// 1. What the box is: dials, class, residual, temperature law.
	b, err := Open(p, box, "box.json", decade.ReadBox)
	if err != nil {
		return nil, err
	}
	// 2. What the meter promises.
	m, err := Open(p, meter, "meter.json", verify.ReadMeter)
	if err != nil {
		return nil, err
	}
	// 3. What it showed.
	shown, err := Open(p, readings, demonstration,
		func(r io.Reader) ([]verify.Reading, error) { return verify.ReadReadings(r, b) })
	if err != nil {
		return nil, err
	}
	// 4. The verdict, with a guard band as wide as the uncertainty: what conforms does so
	// with a risk of at most 2.5 %, and what is too close to a limit stays undecided.
	return verify.Evaluate(b, m, shown, conformity.Guarded(1))
}

// OpenEarlier reads earlier records of the box, or tables of certificates on paper.
func OpenEarlier(p *Program, names []string, box *decade.Box) ([]*decade.Calibration, error) {
	var out []*decade.Calibration
	for _, name := range names {
		c, err := Open(p, name, "", func(r io.Reader) (*decade.Calibration, error) {
			return calibrate.ReadEarlier(r, box)
		})
		if err != nil {
			return nil, err
		}
		if _, err := box.With(c); err != nil {
			return nil, fmt.Errorf("%s: %w", name, unit.Cause(err))
		}
		out = append(out, c)
	}
	return out, nil
}

// RecordID names the record of a fit by the box and the day, and by the stage, since a repair
// may take less than a day.
func RecordID(b *decade.Box, f *calibrate.Fit) string {
	text := cmp.Or(b.Serial(), b.Name())
	if !f.Date.IsZero() {
		text += " " + f.Date.Format(time.DateOnly)
	}
	if f.Stage == verify.StageAsLeft {
		text += " as left"
	}
	return text
}

// RecordAsFound is the record of the box as found, nil where the readings do not determine
// every element or contradict each other.
func RecordAsFound(r *verify.Report) (*decade.Calibration, error) {
	fit, err := calibrate.NewFit(r, verify.StageAsFound)
	if err != nil || len(fit.Outliers) > 0 {
		return nil, nil
	}
	return fit.Calibration(RecordID(r.Box, fit))
}
