// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// oldRecord is a certificate of one element of 1 MΩ in the ohm named.
func oldRecord(ohm string) string {
	return fmt.Sprintf(`{"box": "b", "date": "1988-05-04T00:00:00Z", %s "values": {"id": "old",
	"sources": [{"id": "standard", "distribution":
		{"kind": "normal", "estimate": 1e6, "standardUncertainty": 0.2}, "column": 1}],
	"quantities": [{"name": "residual", "unit": "Ω", "estimate": 0, "standardUncertainty": 0},
		{"name": "×1 MΩ element 1", "unit": "Ω", "estimate": 1e6, "standardUncertainty": 0.2,
		"columns": [1], "c": [1]}]}}`, ohm)
}

func readOld(t *testing.T, ohm string) *decade.Calibration {
	t.Helper()
	c, err := decade.ReadCalibration(strings.NewReader(oldRecord(ohm)))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The ohm of the United States grew by 1.69 ppm on 1 January 1990.
func TestPublishedOhmOf1990(t *testing.T) {
	p := uncertaintytest.Published{
		Name: "US ohm, ppm that a value loses", Source: "NIST Technical Note 1263",
		Place: "new representation of the ohm on 1 January 1990 (CCE 1988, Recommendation 2)", Printed: "1.69",
		Provenance: uncertaintytest.FromMemory,
	}
	c := readOld(t, `"ohm": "US before 1990",`)
	p.Run(t, 1e6-c.Values.Quantity("×1 MΩ element 1").Estimate())
}

func TestOhm(t *testing.T) {
	for ohm, want := range map[string]float64{
		``: 1e6, `"ohm": "since 1990",`: 1e6, `"ohm": "US before 1990",`: 1e6 / 1.00000169,
		`"ohm": "0.6 ppm",`: 1e6 / 1.0000006, `"ohm": "-2 ppm",`: 1e6 / 0.999998,
	} {
		c := readOld(t, ohm)
		if got := c.Values.Quantity("×1 MΩ element 1").Estimate(); got < want-1e-9 || got > want+1e-9 {
			t.Errorf("%s: %.10g Ω; want %.10g", ohm, got, want)
		}
		// A value is converted once, however often it is written and read.
		text, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		var again decade.Calibration
		if err := json.Unmarshal(text, &again); err != nil {
			t.Fatal(err)
		}
		was, is := c.Values.Quantity("×1 MΩ element 1"), again.Values.Quantity("×1 MΩ element 1")
		if was.Estimate() != is.Estimate() || again.Ohm != c.Ohm {
			t.Errorf("%s: written %v in ohms %q, read %v, %q", ohm, was, c.Ohm, is, again.Ohm)
		}
	}
	var c decade.Calibration
	if err := json.Unmarshal([]byte(oldRecord(`"ohm": "US before 1990",`)), &c); err != nil ||
		c.Ohm != decade.OhmSince1990 {
		t.Errorf("ohm %q after reading, error %v; want %q", c.Ohm, err, decade.OhmSince1990)
	}
}

func TestOhmRefused(t *testing.T) {
	for ohm, want := range map[string]struct {
		cause error
		text  string
	}{
		`"ohm": "old",`:  {decade.ErrSyntax, `line 1, column 53: ohm: "old"; expected "since 1990"`},
		`"ohm": "2 %",`:  {decade.ErrDomain, "expected a few ppm"},
		`"ohm": "10 Ω",`: {decade.ErrSyntax, "US before 1990"},
	} {
		_, err := decade.ReadCalibration(strings.NewReader(oldRecord(ohm)))
		if !errors.Is(err, want.cause) || !strings.Contains(fmt.Sprint(err), want.text) {
			t.Errorf("%s: %v; want %q", ohm, err, want.text)
		}
		var c decade.Calibration
		if err := json.Unmarshal([]byte(oldRecord(ohm)), &c); !errors.Is(err, want.cause) {
			t.Errorf("%s, as part of a file: %v; want %v", ohm, err, want.cause)
		}
	}
}
