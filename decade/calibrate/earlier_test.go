// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"errors"
	"fmt"
	"log"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/uncertainty"
)

// paperBox has a ladder of three steps and a dial of the code 1-2-2-5.
func paperBox(t testing.TB, included bool) *decade.Box {
	t.Helper()
	b, err := decade.ReadBox(strings.NewReader(fmt.Sprintf(`{"name": "old box", "serial": "17", "residual": "20 mΩ",
		"residualTolerance": "5 mΩ", "residualIncluded": %v, "decades": [
		{"name": "×100", "step": "100 Ω", "positions": 3, "tolerance": "0.1 %%"},
		{"name": "×10", "step": "10 Ω", "code": "1-2-2-5", "tolerance": "0.1 %%"}]}`, included)))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// paper is the table of an invented certificate: 100 ppm high, the second step of the ladder 1 Ω
// too high, in the ohm named.
func paper(ohm string) string {
	var s strings.Builder
	fmt.Fprintf(&s, `{"box": "old box", "serial": "17", "certificate": "117/1987", "date": "1987-05-04", %s "k": 2,
	"settings": [{"setting": "0-0", "value": "21 mΩ", "U": "2 mΩ"},
	{"setting": "1-0", "value": 100.01, "U": "10 mΩ"}, {"setting": "2-0", "value": 201.02, "U": "20 mΩ"},
	{"setting": "3-0", "value": "301.03 Ω", "U": "45 mΩ", "k": 3}`, ohm)
	terminals := 0.0
	if strings.Contains(ohm, "residualIncluded") {
		terminals = 0.021
	}
	for p := 1; p <= 10; p++ {
		fmt.Fprintf(&s, `, {"setting": "0-%d", "value": %.6f, "U": "2 mΩ"}`, p,
			10*float64(p)*1.0001+terminals)
	}
	return s.String() + "]}"
}

func readEarlier(t testing.TB, text string, b *decade.Box) *decade.Calibration {
	t.Helper()
	c, err := calibrate.ReadEarlier(strings.NewReader(text), b)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The record gives back the table: each setting of a ladder with its value and its U.
func TestReadEarlier(t *testing.T) {
	box := paperBox(t, false)
	c := readEarlier(t, paper(""), box)
	measured, err := box.With(c)
	if err != nil {
		t.Fatal(err)
	}
	table, err := calibrate.Deviations(measured, 0.9545)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ value, u float64 }{{100.01, 0.005}, {201.02, 0.010},
		{301.03, 0.015}} {
		row := table.Dials[0].Rows[i]
		if math.Abs(row.Value-want.value) > 1e-9 ||
			math.Abs(row.Budget.StandardUncertainty-want.u) > 1e-9 {
			t.Errorf("%v: %v, u %v; want %v, %v", row.Setting, row.Value,
				row.Budget.StandardUncertainty, want.value, want.u)
		}
	}
	// By hand: the second element is the difference of two independent values.
	second, err := uncertainty.Evaluate(c.Values.Quantity("×100 element 2"))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(second.Estimate-101.01) > 1e-9 ||
		math.Abs(second.StandardUncertainty-math.Hypot(0.005, 0.010)) > 1e-9 {
		t.Errorf("element 2: %v, u %v", second.Estimate, second.StandardUncertainty)
	}
	// Ten positions of four elements agree, and know them better than one alone.
	if row := table.Dials[1].Rows[9]; math.Abs(row.Value-100.01) > 1e-6 ||
		row.Budget.StandardUncertainty > 0.001 {
		t.Errorf("%v: %v, u %v", row.Setting, row.Value, row.Budget.StandardUncertainty)
	}
	if r := table.Residual; math.Abs(r.Value-0.021) > 1e-12 ||
		math.Abs(r.Budget.StandardUncertainty-0.001) > 1e-9 {
		t.Errorf("residual %v, u %v", r.Value, r.Budget.StandardUncertainty)
	}
}

// A certificate in the ohm of the United States before 1990 is converted once, and joins later
// records in a drift.
func TestReadEarlierOhm(t *testing.T) {
	box := paperBox(t, false)
	now, then := readEarlier(t, paper(""), box), readEarlier(t, paper(`"ohm": "US before 1990",`),
		box)
	for _, q := range then.Values.Quantities {
		was := now.Values.Quantity(q.Name()).Estimate()
		if want := was / 1.00000169; math.Abs(q.Estimate()-want) > 1e-12*want {
			t.Errorf("%s: %v; want %v", q.Name(), q.Estimate(), want)
		}
	}
	if then.Ohm != decade.OhmSince1990 || now.Ohm != "" {
		t.Errorf("ohm %q and %q", then.Ohm, now.Ohm)
	}
	later := readEarlier(t, strings.NewReplacer("1987", "1995").Replace(paper("")), box)
	if _, err := calibrate.NewDrift(box, then, later); err != nil {
		t.Error(err)
	}
}

// Without a line for zero the residual is the stated one; at the terminals it is in all values.
func TestReadEarlierResidual(t *testing.T) {
	zero := `{"setting": "0-0", "value": "21 mΩ", "U": "2 mΩ"},`
	box := paperBox(t, false)
	c := readEarlier(t, strings.Replace(paper(""), zero, "", 1), box)
	b, err := uncertainty.Evaluate(c.Values.Quantity(decade.ResidualName))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.Estimate-0.020) > 1e-12 ||
		math.Abs(b.StandardUncertainty-0.005/math.Sqrt(3)) > 1e-12 {
		t.Errorf("residual %v, u %v; want the stated one", b.Estimate, b.StandardUncertainty)
	}
	c = readEarlier(t, paper(`"residualIncluded": true,`), box)
	if v := c.Values.Quantity("×100 element 1").Estimate(); math.Abs(v-(100.01-0.021)) > 1e-3 {
		t.Errorf("element 1 %v; want the value less the residual", v)
	}
	included := paperBox(t, true)
	if v := readEarlier(t, paper(`"residualIncluded": true,`),
		included).Values.Quantity("×100 element 1").Estimate(); math.Abs(v-99.989) > 1e-3 {
		t.Errorf("element 1 of a box stated at its terminals %v", v)
	}
	// Positions of a code add the same elements in several ways: their sums tell the residual.
	noZero := strings.Replace(paper(`"residualIncluded": true,`), zero, "", 1)
	residual := readEarlier(t, noZero, included).Values.Quantity(decade.ResidualName)
	if v := residual.Estimate(); math.Abs(v-0.021) > 1e-3 {
		t.Errorf("residual %v; want it from the sums", v)
	}
	// A residual that is stated as exact.
	exact, err := decade.New(decade.Spec{Name: "old box", Serial: "17", Decades: box.Decades()})
	if err != nil {
		t.Fatal(err)
	}
	readEarlier(t, strings.Replace(paper(""), zero, "", 1), exact)
}

func TestReadEarlierRefuses(t *testing.T) {
	box := paperBox(t, false)
	for _, c := range []struct{ name, old, new, text string }{
		{"no JSON", paper(""), "setting,value", "line 1"},
		{"no certificate", `"certificate": "117/1987",`, ``, `certificate`},
		{"no date", `"date": "1987-05-04",`, ``, "date"},
		{"date", `1987-05-04`, `4.5.1987`, `"4.5.1987"; expected a date`},
		{"ohm", `"k": 2`, `"ohm": "old", "k": 2`, `expected "since 1990"`},
		{"unknown key", `"k": 2`, `"kk": 2`, `unknown key "kk"`},
		{"setting", `"2-0"`, `"4-0"`, "line 3"},
		{"setting twice", `"2-0"`, `"1-0"`, "occurs twice"},
		{"no U", `, "U": "20 mΩ"`, ``, "settings[2].U"},
		{"U of nothing", `"U": "20 mΩ"`, `"U": 0`, "more than 0"},
		{"k", `"k": 3`, `"k": 0.95`, "1 or more"},
		{"a setting missing", `{"setting": "2-0", "value": 201.02, "U": "20 mΩ"},`, ``, "×100"},
		{"a slip of the pen", `"value": 50.005000`, `"value": 50.050000`,
			"look for a recording error"},
	} {
		bad := strings.Replace(paper(""), c.old, c.new, 1)
		got, err := calibrate.ReadEarlier(strings.NewReader(bad), box)
		if bad == paper("") || err == nil || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: %v, %v; want %q", c.name, got, err, c.text)
		}
	}
	if _, err := calibrate.ReadEarlier(nil, box); !errors.Is(err, calibrate.ErrEmpty) {
		t.Errorf("nil reader: %v", err)
	}
	if _, err := calibrate.ReadEarlier(strings.NewReader(paper("")), nil); !errors.Is(err,
		calibrate.ErrEmpty) {
		t.Errorf("nil box: %v", err)
	}
}

func FuzzReadEarlier(f *testing.F) {
	box := paperBox(f, false)
	f.Add([]byte(paper("")))                                     // a whole table
	f.Add([]byte(`{"settings": [], "box": "old box"}`))          // an empty one
	f.Add([]byte(`{"box": "old box", "values": {"id": "old"}}`)) // a record
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := calibrate.ReadEarlier(strings.NewReader(string(text)), box)
		if (c == nil) == (err == nil) {
			t.Fatalf("%v, %v", c, err)
		}
	})
}

// A certificate on paper, typed in, from the days of the old ohm.
func ExampleReadEarlier() {
	box, err := decade.New(decade.Spec{Name: "old box", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Positions: 2, Tolerance: 1e-4}}})
	if err != nil {
		log.Fatal(err)
	}
	c, err := calibrate.ReadEarlier(strings.NewReader(`{
		"box": "old box", "certificate": "117/1987", "date": "1987-05-04", "ohm": "US before 1990", "k": 2,
		"settings": [
			{"setting": "0", "value": "21 mΩ",     "U": "1 mΩ"},
			{"setting": "1", "value": "1000.050 Ω", "U": "4 mΩ"},
			{"setting": "2", "value": "2000.080 Ω", "U": "8 mΩ"}
		]}`), box)
	if err != nil {
		log.Fatal(err)
	}
	for _, q := range c.Values.Quantities {
		fmt.Println(q.Name(), q)
	}
	// Output:
	// residual 0.02100(50) Ω
	// ×1k element 1 1000.0483(20) Ω
	// ×1k element 2 1000.0283(45) Ω
}
