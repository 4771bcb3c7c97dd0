// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate_test

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/verify"
)

// What is no certificate of ours is refused with the place.
func TestReadRefuses(t *testing.T) {
	good := string(write(t, repaired(t)))
	for _, c := range []struct{ name, old, new, text string }{
		{"nothing", good, "", "unexpected end"},
		{"no XML", good, "{}", "unexpected end"},
		{"cut", good, good[:len(good)/2], "unexpected EOF"},
		{"another version", `schemaVersion="3.3.0"`, `schemaVersion="2.1.1"`,
			`"2.1.1"; expected a digitalCalibrationCertificate of version 3.3.0`},
		{"another document", "digitalCalibrationCertificate", "invoice",
			"invoice with schemaVersion"},
		{"another name space", "https://ptb.de/dcc", "https://example.com/dcc",
			"expected a digitalCalibrationCertificate"},
		{"no number", "<dcc:uniqueIdentifier>demo 93/2026</dcc:uniqueIdentifier>", "",
			"number: not stated"},
		{"no laboratory", "calibrationLaboratory>", "laboratory>", "laboratory.name: not stated"},
		{"no person", "respPerson>", "person2>", "persons"},
		{"no customer", "customer>", "owner>", "customer.name"},
		{"a date that is none", "<dcc:issueDate>2026-03-05", "<dcc:issueDate>5 March",
			`issueDate: "5 March"; expected a date`},
		{"no date", "beginPerformanceDate", "firstDay", "begin"},
		{"no results", "measurementResult>", "measurementFigure>", "no result"},
		{"another stage", ">As found<", ">Before<", `"Before"; expected "As found" or "As left"`},
		{"another result", `refType="box_dial"`, `refType="basic_resistance"`,
			`refType "basic_resistance"`},
		{"no rows", "dcc:results>", "dcc:figures>", "results: none as found"},
		{"coverage factor below 1", "<si:coverageFactorXMLList>1.96", "<si:coverageFactorXMLList>0.96",
			"k = 0.96"},
		{"no settings", `<dcc:charsXMLList>0-1 0-2 0-3</dcc:charsXMLList>`, "", "no setting"},
		{"another unit", `\ohm`, `\kilo\ohm`, `unit "\\kilo\\ohm"; expected \ohm`},
		{"a number that is none", "<si:valueXMLList>1 2 3", "<si:valueXMLList>1 two 3",
			`"two"; expected a decimal number`},
		{"infinity", "<si:valueXMLList>1 2 3", "<si:valueXMLList>1 Inf 3",
			`"Inf"; expected a decimal number`},
		{"no number for a nominal value", "<si:valueXMLList>1 2 3", "<si:valueXMLList>1 NaN 3",
			"0-2: NaN"},
		{"negative uncertainty", "<si:valueExpandedMUXMLList>0.0011",
			"<si:valueExpandedMUXMLList>-0.0011", "0-0: U = -0.0011"},
		{"probability above 1", "0.95 0.95 0.95<", "0.95 95 0.95<", "probability 95"},
		{"a number too few", "<si:valueXMLList>1 2 3", "<si:valueXMLList>1 2",
			"2 numbers for 3 settings"},
		{"a verdict too few", "pass pass pass<", "pass pass<", "2 words for 3 settings"},
		{"an unknown verdict", "pass pass pass<", "pass pass maybe<", `"maybe"; expected pass`},
		{"elements without end", good, strings.Replace(good[:strings.Index(good, "<dcc:admin")],
			"\n", "", -1) +
			strings.Repeat("<dcc:list>", 200), "more than 100 elements"},
	} {
		bad := strings.ReplaceAll(good, c.old, c.new)
		got, err := certificate.Read(strings.NewReader(bad))
		e, ok := errors.AsType[*certificate.Error](err)
		if bad == good || !ok || e.Op != "certificate.Read" ||
			!strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: %v, %v; want %q", c.name, got, err, c.text)
		}
	}
	if _, err := certificate.Read(nil); !errors.Is(err, certificate.ErrNotStated) {
		t.Errorf("nil reader: %v", err)
	}
	if _, err := certificate.Read(io.MultiReader(strings.NewReader(good[:len(good)-50]),
		blanks{})); err == nil ||
		!strings.Contains(err.Error(), "more than 16777216 bytes") {
		t.Errorf("an endless file: %v", err)
	}
}

type blanks struct{}

func (blanks) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// Prefixes are the writer's, one number may stand for all, and a signature does not disturb.
func TestReadOtherSpelling(t *testing.T) {
	c := repaired(t)
	text := string(write(t, c))
	other := strings.NewReplacer("dcc:", "d:", "xmlns:dcc", "xmlns:d", "0.95 0.95 0.95 0.95",
		"0.95", "    ", "\t").Replace(text)
	other = strings.Replace(other, "</d:digitalCalibrationCertificate>",
		`<s:Signature xmlns:s="http://www.w3.org/2000/09/xmldsig#"><s:Id>1</s:Id></s:Signature></d:digitalCalibrationCertificate>`, 1)
	read, err := certificate.Read(strings.NewReader(other))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(c, read); diff != "" {
		t.Errorf("(-written +read):\n%s", diff)
	}
}

func TestPartiesRefused(t *testing.T) {
	for _, c := range []struct{ name, old, new, text string }{
		{"nothing", parties, "", "empty"},
		{"misspelled key", `"issued"`, `"isued"`, `unknown key "isued"; did you mean "issued"?`},
		{"misspelled key that is required", `"number": "demo 93/2026"`, `"nummber": "demo 93/2026"`,
			`unknown key "nummber"; did you mean "number"?`},
		{"no number", `"number": "demo 93/2026",`, ``, "number: not stated"},
		{"no customer", `"customer": {"name": "School of the demonstration", "city": "Exampleton", "country": "FI"},`, ``, "customer.name: not stated"},
		{"no person", `{"name": "A. Example", "role": "calibration", "signs": true}, {"name": "B. Example"}`, ``, "persons: none"},
		{"date", `"2026-03-05"`, `"5.3.2026"`,
			`line 3, column 38: issued: "5.3.2026"; expected a date such as 2026-03-17`},
		{"country", `"country": "FI", "email"`, `"country": "Finland", "email"`,
			`laboratory.country: "Finland"; expected two capital letters`},
		{"line break", `"two dials"`, `"two\ndials"`, "item.model"},
		{"two spaces", `"two dials"`, `"two  dials"`, "one space between them"},
		{"control character", `"two dials"`, `"two\u0007dials"`, "item.model"},
		{"place", `"received"`, `"place": "laboratorium", "received"`,
			`unknown place "laboratorium"; did you mean "laboratory"?`},
		{"order of days", `"received": "2026-02-26"`, `"begin": "2026-03-02", "end": "2026-03-01"`,
			"end: 2026-03-01 is before 2026-03-02"},
		{"temperature without a unit of its own", `"22.8 °C"`, `"22.8 K"`,
			"environment.temperature.low"},
		{"temperatures upside down", `"22.8 °C"`, `"25 °C"`, "environment.temperature: 25 to 23.2"},
		{"half a temperature", `"low": "22.8 °C", `, ``, "environment.temperature.low"},
		{"humidity", `"46 %"`, `"146 %"`, "environment.humidity"},
		{"empty remark", `"The knob of dial ×1 is loose."`, `""`, "remarks[0]: not stated"},
	} {
		bad := strings.Replace(parties, c.old, c.new, 1)
		p, err := certificate.ReadParties(strings.NewReader(bad))
		e, ok := errors.AsType[*certificate.Error](err)
		if bad == parties || !ok || e.Op != "certificate.ReadParties" ||
			!strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: %v, %v; want %q", c.name, p, err, c.text)
		}
	}
}

// Parties that Go code made are refused as those of a file.
func TestTextRefused(t *testing.T) {
	r := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: 0})
	for _, text := range []string{"\xff", "a\x00b", " a", "a\u00a0b", "a\ufffe", "\ufffd"} {
		p := readParties(t, parties)
		p.Repair, p.Laboratory.Street = nil, text
		if _, err := certificate.New(r, p); err == nil ||
			!strings.Contains(err.Error(), "laboratory.street") {
			t.Errorf("%q: %v", text, err)
		}
		c := repaired(t)
		c.Remarks = []string{text}
		if err := c.WriteXML(io.Discard); err == nil ||
			!strings.Contains(err.Error(), "remarks[0]") {
			t.Errorf("%q written: %v", text, err)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

func TestWriterThatFails(t *testing.T) {
	if err := repaired(t).WriteXML(fullDisk{}); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("%v", err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(write(f, repaired(f)))                                           // a whole one
	f.Add([]byte(`<a xmlns="https://ptb.de/dcc" schemaVersion="3.3.0"/>`)) // nothing in it
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := certificate.Read(bytes.NewReader(text))
		if err != nil {
			return
		}
		again := write(t, c)
		back, err := certificate.Read(bytes.NewReader(again))
		if err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, again)
		}
		if twice := write(t, back); !bytes.Equal(twice, again) {
			t.Fatalf("written\n%s\nread and written anew\n%s", again, twice)
		}
	})
}

func FuzzReadParties(f *testing.F) {
	f.Add([]byte(parties))                                           // a whole one
	f.Add([]byte(`{"number": "1", "environment": {"humidity": 1}}`)) // wrong kinds
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := certificate.ReadParties(bytes.NewReader(text))
		if (p == nil) == (err == nil) {
			t.Fatalf("%v, %v", p, err)
		}
	})
}
