// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/conformity"
)

// What looks wrong in a record though each value is plausible is a warning that names the lines;
// what may be right is none.
func TestRecordWarnings(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "tens", Residual: 0.01, ResidualTolerance: 0.01,
		Contact: 1e-3, Decades: []decade.Decade{{Step: 10, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	m := &Meter{Name: "m", Wiring: WiringFourWire, OffsetCompensated: true, Ranges: []Range{
		{Name: "100 Ω", FullScale: 100, OverRange: 1.2, OfReading: 1e-4, OfRange: 1e-5, Resolution: 1e-3},
		{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 1e-4, OfRange: 1e-5, Resolution: 1e-2},
	}}
	for _, c := range []struct{ name, lines, want string }{
		{"copied behind", "1,1,100 Ω,2026-03-02 09:00,10.011,10.012\n2,1,100 Ω,2026-03-02 09:01,20.011,20.012\n1,1,100 Ω,2026-03-02 09:00,10.011,10.012\n",
			"1 line of a dialling with the same values once more: line 4: setting 1. Copied?"},
		{"copied at once", "1,1,100 Ω,,10.011,10.012\n1,1,100 Ω,,10.011,10.012\n", "line 3: setting 1. Copied?"},
		{"a display that stands still", "1,1,100 Ω,,10.011,\n1,1,100 Ω,,10.011,\n2,1,100 Ω,,20.011,20.011\n2,1,100 Ω,,20.011,20.011\n", ""},
		{"another dialling", "1,1,100 Ω,,10.011,10.012\n2,1,100 Ω,,20.011,20.012\n1,2,100 Ω,,10.011,10.012\n", ""},
		{"the wrong range", "1,1,1 kΩ,,10.011,10.012\n2,1,1 kΩ,,20.01,20.01\n",
			"1 reading on range 1 kΩ with digits that its display, in steps of 10 mΩ, does not show: line 2: setting 1."},
		{"a mistyped year", "1,1,100 Ω,2026-03-02 09:00,10.011,10.012\n2,1,100 Ω,2062-03-02 09:01,20.011,20.012\n3,1,100 Ω,2026-03-02 09:02,30.011,30.012\n",
			"1 reading more than a month from the others of the session, which are of 2026-03-02: line 3: setting 2 of 2062-03-02."},
		{"two days", "1,1,100 Ω,2026-03-02 09:00,10.011,10.012\n2,1,100 Ω,2026-03-04 09:01,20.011,20.012\n", ""},
	} {
		rs, err := ReadReadings(strings.NewReader("setting,dialling,range,time,value 1,value 2\n"+c.lines), b)
		if err != nil {
			t.Fatal(c.name, err)
		}
		r := evaluated(t, b, m, rs, conformity.Guarded(1))
		var got []string
		for _, w := range r.Warnings {
			if errors.Is(w, ErrRecord) {
				got = append(got, w.Error())
			}
		}
		if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || !strings.Contains(got[0], c.want)) {
			t.Errorf("%s: %q; want %q", c.name, got, c.want)
		}
	}
}
