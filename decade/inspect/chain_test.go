// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// FuzzReadings takes readings the whole way: report, causes, next step, every form in
// which they are written, a record, and the box with what the record says.
func FuzzReadings(f *testing.F) {
	// Healthy.
	f.Add("setting,value\n0-0,0.012\n1-0,100.02\n0-1,10.01\n0-2,20.02\n")
	// An element has drifted.
	f.Add("setting,value\n0-0,0.012\n1-0,100.52\n2-0,200.52\n0-1,10.01\n")
	// A contact scatters.
	f.Add("setting,value,dialling\n0-0,0.012,1\n0-1,10.01,1\n0-1,10.31,2\n0-1,10.02,3\n")
	// Open, then repaired.
	f.Add("setting,value,stage\n0-0,0.012,as found\n1-0,OL,as found\n0-0,0.011,as left\n1-0,100.01,as left\n")
	// A sign is lost.
	f.Add("setting,value 1,value 2,temperature (°C)\n0-0,0.012,0.013,20\n3-2,320.1,320.11,27\n0-3,-30.02,30.02,\n")
	// Less in series than there is at all.
	f.Add("setting,value\n0-1,10.01\n0-2,20.02\n")
	box, err := decade.New(decade.Spec{
		Residual: 0.012, ResidualTolerance: 0.003, Contact: 0.0005,
		Decades: []decade.Decade{{Step: 100, Positions: 3, Tolerance: 0.0005},
			{Step: 10, Positions: 3, Tolerance: 0.001}},
	})
	if err != nil {
		f.Fatal(err)
	}
	meter, err := verify.ReadMeter(strings.NewReader(`{"wiring": "four-wire", "ranges": [
		{"name": "1 kΩ", "fullScale": "1 kΩ", "ofReading": "0.005 %", "ofRange": "0.001 %"}]}`))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		readings, err := verify.ReadReadings(strings.NewReader(text), box)
		if err != nil || len(readings) > 40 {
			return
		}
		report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
		if err != nil {
			return
		}
		ctx := context.Background()
		answer, err := inspect.New(ctx, report, fault.Options{})
		if err != nil {
			return
		}
		for name, write := range map[string]func(io.Writer) error{
			"text": answer.WriteText, "markdown": answer.WriteMarkdown, "CSV": answer.WriteCSV, "advice": answer.WriteAdvice,
			"report": report.WriteCSV,
		} {
			var out bytes.Buffer
			if err := write(&out); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if s := out.String(); strings.Contains(s, "NaN") || strings.Contains(s, "%!") {
				t.Errorf("%s: %s", name, s)
			}
		}
		if _, err := json.Marshal(answer); err != nil {
			t.Error(err)
		}
		if diagnosis, err := fault.Diagnose(ctx, report); err == nil {
			sameAgain(t, diagnosis)
		}
		record, err := calibrate.NewCalibration(report, "record")
		if err != nil {
			return
		}
		written, err := json.Marshal(record)
		if err != nil {
			t.Fatal(err)
		}
		again, err := decade.ReadCalibration(bytes.NewReader(written))
		if err != nil {
			t.Fatalf("%v: %s", err, written)
		}
		measured, err := box.With(again)
		if err != nil {
			t.Fatalf("%v: %s", err, written)
		}
		if _, err := calibrate.Deviations(measured, 0.95); err != nil {
			t.Error(err)
		}
	})
}

// sameAgain writes a diagnosis, reads it and writes it again.
func sameAgain(t *testing.T, d *fault.Diagnosis) {
	t.Helper()
	written, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	var read fault.Diagnosis
	if err := json.Unmarshal(written, &read); err != nil {
		t.Fatalf("%v: %s", err, written)
	}
	if again, err := json.Marshal(&read); err != nil || !bytes.Equal(again, written) {
		t.Errorf("%v: %s\nread and written again\n%s", err, written, again)
	}
}
