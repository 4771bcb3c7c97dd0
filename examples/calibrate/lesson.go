// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
)

// lesson takes the demonstration from the plan to the drift, step for step.
func lesson(out io.Writer) error {
	box, err := open("box.json", decade.ReadBox)
	if err != nil {
		return err
	}

	// 1. What to read. A minimal plan determines every element and nothing more; the
	// recommended one adds settings that check it.
	plan, err := verify.NewPlan(box, verify.ExtentRecommended)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "1. The %v.\n\n", plan)

	// 2. From readings to elements, and into a file and back. What readings share, such as
	// the gain error of a meter range, stays one source of error of all elements.
	found, err := measure(out, "2. Readings of 2026", box, "readings-2026.csv", "T-0093 2026-03-02")
	if err != nil {
		return err
	}
	file, err := json.Marshal(found)
	if err != nil {
		return err
	}
	record, err := decade.ReadCalibration(bytes.NewReader(file))
	if err != nil {
		return err
	}

	// 3. The box with measured values answers for every setting, also for 347 Ω, which was
	// never read.
	measured, err := box.With(record)
	if err != nil {
		return err
	}
	setting, err := measured.SettingFor(347)
	if err != nil {
		return err
	}
	if err := explain(out, "3. Measured", setting); err != nil {
		return err
	}

	// 4. What a certificate prints.
	table, err := calibrate.Deviations(measured, 0.95)
	if err != nil {
		return err
	}
	fmt.Fprint(out, "4. Deviations\n\n")
	if err := table.WriteText(out); err != nil {
		return err
	}

	// 5. A year later: the change of every element, with its uncertainty.
	again, err := measure(out, "\n5. Readings of 2027", box, "readings-2027.csv",
		"T-0093 2027-03-09")
	if err != nil {
		return err
	}
	drift, err := calibrate.NewDrift(box, record, again)
	if err != nil {
		return err
	}
	if err := drift.WriteText(out); err != nil {
		return err
	}

	// 6. What is expected at a later date, if the drift goes on: further from the records
	// the uncertainty grows.
	later := time.Date(2027, time.October, 1, 0, 0, 0, 0, time.UTC)
	expected, err := drift.At(later)
	if err != nil {
		return err
	}
	if measured, err = box.With(expected); err != nil {
		return err
	}
	if setting, err = measured.At(7, 0, 0); err != nil {
		return err
	}
	if err := explain(out, "\n6. Expected on "+later.Format(time.DateOnly), setting); err != nil {
		return err
	}
	due, _, err := drift.Due(setting, 0.95)
	fmt.Fprintf(out, "%v stays inside its class (±%.3g Ω) with 95 %% probability until %s.\n",
		setting, setting.ClassLimit(), due.Format(time.DateOnly))
	return err
}
