// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

var update = flag.Bool("update", false, "write testdata/certificate.xml anew")

// What is written stands in testdata as a whole: order and content. Sentences of other packages
// have their tests there.
func TestWritten(t *testing.T) {
	c := repaired(t)
	c.Class, c.Method, c.Rule = "its class", "how it was measured", "the rule"
	for i := range c.Results {
		c.Results[i].Notes = "how values were made"
	}
	got := write(t, c)
	name := filepath.Join("testdata", "certificate.xml")
	if *update {
		if err := os.WriteFile(name, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"),
		strings.Split(string(got), "\n")); diff != "" {
		t.Errorf("%s (-file +written); go test -update writes it:\n%s", name, diff)
	}
}

// What is written is read as what it was.
func TestRoundTrip(t *testing.T) {
	inf := math.Inf(1)
	bare := readParties(t, parties)
	bare.Code, bare.Maker, bare.Model, bare.Inventory, bare.Accreditation = "", "", "", "",
		"Accredited for direct current resistance."
	bare.Humidity, bare.Repair, bare.Remarks = noInterval, nil, nil
	for name, c := range map[string]*certificate.Certificate{
		"repaired": repaired(t),
		"one stage": newCertificate(t, report(t, twoDials(t),
			map[verify.Stage]float64{verify.StageAsFound: 0}), bare),
		"open": newCertificate(t, report(t, twoDials(t),
			map[verify.Stage]float64{verify.StageAsFound: inf, verify.StageAsLeft: 0}), bare),
	} {
		text := write(t, c)
		read, err := certificate.Read(bytes.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, text)
			continue
		}
		if diff := cmp.Diff(c, read); diff != "" {
			t.Errorf("%s (-written +read):\n%s", name, diff)
		}
		if again := write(t, read); !bytes.Equal(text, again) {
			t.Errorf("%s: written anew it differs:\n%s", name,
				cmp.Diff(string(text), string(again)))
		}
	}
}

func find(t *testing.T, r certificate.Result, setting string) certificate.Row {
	t.Helper()
	for _, row := range r.Rows {
		if row.Setting == setting {
			return row
		}
	}
	t.Fatalf("no row of %s in %+v", setting, r.Rows)
	return certificate.Row{}
}

// By hand: nominal value, 20 ppm, and what is off; limits of 0.1 %.
func TestValues(t *testing.T) {
	c := repaired(t)
	if len(c.Results) != 2 || c.Verdict() != conformity.VerdictConforms {
		t.Fatalf("%d results, verdict %v; want 2 that end in conforms", len(c.Results), c.Verdict())
	}
	for i, want := range []struct {
		value   float64
		verdict conformity.Verdict
	}{{30.2006, conformity.VerdictDoesNotConform}, {30.0106, conformity.VerdictConforms}} {
		row := find(t, c.Results[i], "3-0")
		if math.Abs(row.Value-want.value) > row.U || row.U > 3e-3 || row.U <= 0 ||
			row.Verdict != want.verdict {
			t.Errorf("%v: %+v; want %v, %v", c.Results[i].Stage, row, want.value, want.verdict)
		}
		if row.Dial != "×10" || row.Nominal != 30 || row.P != 0.95 || row.K < 1.6 || row.K > 2.1 ||
			!row.Judged ||
			row.Limits != (uncertainty.Interval{Lower: 29.97, Upper: 30.03}) {
			t.Errorf("%v: %+v", c.Results[i].Stage, row)
		}
		if n := len(c.Results[i].Rows); n != 1+4+3 {
			t.Errorf("%v: %d rows; want the residual and every position", c.Results[i].Stage, n)
		}
	}
	zero := c.Results[1].Rows[0]
	if !zero.Residual || zero.Nominal != 0.01 || zero.Limits != (uncertainty.Interval{Lower: 0.005,
		Upper: 0.015}) {
		t.Errorf("residual %+v", zero)
	}
	if c.Begin.Day() != 2 || c.End.Day() < 3 || !strings.Contains(c.Class, "0.1 %") ||
		!strings.Contains(c.Rule, "guard band") {
		t.Errorf("from %v to %v, class %q, rule %q", c.Begin, c.End, c.Class, c.Rule)
	}
}

// An open circuit has no value, fails, and keeps the readings of that stage from being fitted.
func TestOpen(t *testing.T) {
	off := map[verify.Stage]float64{verify.StageAsFound: math.Inf(1)}
	p := readParties(t, parties)
	p.Repair = nil
	c := newCertificate(t, report(t, twoDials(t), off), p)
	row := find(t, c.Results[0], "3-0")
	if !row.Open || row.Value != 0 || row.Verdict != conformity.VerdictDoesNotConform ||
		c.Verdict() != row.Verdict {
		t.Errorf("%+v", row)
	}
	good := find(t, c.Results[0], "2-0")
	if good.Open || math.Abs(good.Value-20.0004) > 2e-3 ||
		!strings.Contains(c.Results[0].Notes, "open") {
		t.Errorf("%+v, notes %q", good, c.Results[0].Notes)
	}
	if text := string(write(t, c)); !strings.Contains(text, " NaN") ||
		!strings.Contains(text, " fail") {
		t.Error(text)
	}
}

// What lies within U of a limit is conditional, on the side of its value.
func TestConditional(t *testing.T) {
	for word, off := range map[string]float64{"conditionalPass": 0.0290,
		"conditionalFail": 0.0300} {
		p := readParties(t, parties)
		p.Repair = nil
		r := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: off})
		c := newCertificate(t, r, p)
		row := find(t, c.Results[0], "3-0")
		if row.Verdict != conformity.VerdictUndecided ||
			row.Limits.Contains(row.Value) != (word == "conditionalPass") {
			t.Errorf("%s: %+v", word, row)
		}
		text := string(write(t, c))
		if !strings.Contains(text, " "+word) || !strings.Contains(text,
			"<dcc:conformity>noPass</dcc:conformity>") {
			t.Errorf("no %s, or a verdict on the whole, in\n%s", word, text)
		}
		if c.Verdict() != conformity.VerdictUndecided {
			t.Errorf("%s: the box %v", word, c.Verdict())
		}
	}
}

// Without a class nothing is judged, and nothing is said to conform.
func TestNoClass(t *testing.T) {
	spec := twoDials(t).Spec()
	spec.ResidualTolerance = 0
	for i := range spec.Decades {
		spec.Decades[i].Tolerance = 0
	}
	bare, err := decade.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	p := readParties(t, parties)
	p.Repair = nil
	c := newCertificate(t, report(t, bare, map[verify.Stage]float64{verify.StageAsFound: 0}), p)
	text := string(write(t, c))
	if strings.Contains(text, "XMLList>pass") || strings.Contains(text, "toleranceLimit") ||
		strings.Contains(text, ">pass<") {
		t.Errorf("something conforms in\n%s", text)
	}
	read, err := certificate.Read(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(c, read); diff != "" {
		t.Errorf("(-written +read):\n%s", diff)
	}
}

// Two ranges on one switch, and positions that a switch does not have, are described as they are.
func TestSwitches(t *testing.T) {
	odd, err := decade.New(decade.Spec{
		Name: "odd box", Serial: "O-1", Residual: 0.01, ResidualTolerance: 0.005, Contact: 1e-4,
		Decades: []decade.Decade{
			{Name: "×10", Step: 10, Positions: 4, Tolerance: 1e-3, Switch: "A"},
			{Name: "×5", Step: 5, Positions: 3, Tolerance: 1e-3, Switch: "A"},
			{Name: "×1", Step: 1, Positions: 5, Missing: []int{3}, Tolerance: 1e-3},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	p := readParties(t, parties)
	p.Repair = nil
	c := newCertificate(t, report(t, odd, map[verify.Stage]float64{verify.StageAsFound: 0}), p)
	var settings []string
	for _, row := range c.Results[0].Rows {
		settings = append(settings, row.Setting)
	}
	want := "0-0-0 1-0-0 2-0-0 3-0-0 4-0-0 0-1-0 0-2-0 0-3-0 0-0-1 0-0-2 0-0-4 0-0-5"
	if got := strings.Join(settings, " "); got != want {
		t.Errorf("settings %s; want %s", got, want)
	}
	read, err := certificate.Read(bytes.NewReader(write(t, c)))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(c, read); diff != "" {
		t.Errorf("(-written +read):\n%s", diff)
	}
}

// Resistors of known value that corrected the meter are equipment, each once.
func TestKnownResistors(t *testing.T) {
	box := twoDials(t)
	r := report(t, box, map[verify.Stage]float64{verify.StageAsFound: 0})
	var readings []verify.Reading
	for i := range r.Rows {
		readings = append(readings, r.Rows[i].Reading)
	}
	known := &verify.Known{Name: "standard 10 Ω, serial 7", Value: 10.0003, U: 1e-4}
	for range 2 {
		readings = append(readings, verify.Reading{Known: known, Values: []float64{10.0004},
			Session: "as found"})
	}
	corrected, err := verify.Evaluate(box, &r.Meter, readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	p := readParties(t, parties)
	p.Repair = nil
	c := newCertificate(t, corrected, p)
	want := []certificate.Equipment{
		{Name: "laboratory meter", Serial: "M-1", Certificate: "demo 4/2026"}, {Name: known.Name},
	}
	if diff := cmp.Diff(want, c.Equipment); diff != "" {
		t.Errorf("equipment (-want +got):\n%s", diff)
	}
	if !strings.Contains(c.Method, "Substitution") || len(c.Results[0].Rows) != 8 {
		t.Errorf("%d rows by %q", len(c.Results[0].Rows), c.Method)
	}
}

// What nobody stated is refused by its key, and not invented.
func TestNotStated(t *testing.T) {
	r := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: 0})
	undated := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: 0})
	for i := range undated.Rows {
		undated.Rows[i].Reading.Time = time.Time{}
	}
	nameless := report(t, box(t, "", "T-2"), map[verify.Stage]float64{verify.StageAsFound: 0})
	unnumbered := report(t, box(t, "two dials", ""),
		map[verify.Stage]float64{verify.StageAsFound: 0})
	for key, c := range map[string]struct {
		r      *verify.Report
		change func(*certificate.Parties)
	}{
		"number":             {r, func(p *certificate.Parties) { p.Number = "" }},
		"laboratory.name":    {r, func(p *certificate.Parties) { p.Laboratory.Name = "" }},
		"laboratory.city":    {r, func(p *certificate.Parties) { p.Laboratory.City = "" }},
		"laboratory.country": {r, func(p *certificate.Parties) { p.Laboratory.Country = "" }},
		"customer.name": {r,
			func(p *certificate.Parties) { p.Customer = certificate.Contact{} }},
		"persons":                 {r, func(p *certificate.Parties) { p.Persons = nil }},
		"persons[1].name":         {r, func(p *certificate.Parties) { p.Persons[1].Name = "" }},
		"environment.temperature": {r, func(p *certificate.Parties) { p.Temperature = noInterval }},
		"begin":                   {undated, func(*certificate.Parties) {}},
		"end":                     {undated, func(p *certificate.Parties) { p.Begin = p.Issued }},
		"item.inventory":          {unnumbered, func(p *certificate.Parties) { p.Inventory = "" }},
		"repair":                  {r, func(*certificate.Parties) {}},
		"name of the box":         {nameless, func(*certificate.Parties) {}},
	} {
		p := readParties(t, parties)
		if p.Repair = nil; key == "repair" {
			p.Repair = []string{"Contacts cleaned."}
		}
		c.change(p)
		_, err := certificate.New(c.r, p)
		e, ok := errors.AsType[*certificate.Error](err)
		if !ok || e.Name != key || !errors.Is(err, certificate.ErrNotStated) {
			t.Errorf("%s: %v; want it refused as not stated", key, err)
		}
	}
	for name, c := range map[string]struct {
		r *verify.Report
		p *certificate.Parties
	}{"no report": {nil, readParties(t, parties)}, "empty report": {new(verify.Report),
		readParties(t, parties)}, "no parties": {r, nil}} {
		if _, err := certificate.New(c.r, c.p); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if err := new(certificate.Certificate).WriteXML(io.Discard); !errors.Is(err,
		certificate.ErrEmpty) {
		t.Errorf("zero certificate: %v", err)
	}
}

// What New made may be changed before it is written: what a list of the schema cannot hold is
// refused by the setting, and a text that XML would not give back by its key.
func TestChangedContentsAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*certificate.Certificate)
		key    string
		cause  error
	}{
		"U is NaN": {func(c *certificate.Certificate) { c.Results[0].Rows[1].U = math.NaN() }, "1-0",
			certificate.ErrNotStated},
		"value is infinite": {
			func(c *certificate.Certificate) { c.Results[0].Rows[1].Value = math.Inf(-1) }, "1-0",
			certificate.ErrDomain},
		"negative U": {func(c *certificate.Certificate) { c.Results[0].Rows[1].U = -1 }, "1-0",
			certificate.ErrDomain},
		"setting of two words": {
			func(c *certificate.Certificate) { c.Results[0].Rows[1].Setting = "1 0" }, "1 0",
			certificate.ErrSyntax},
		"no setting": {func(c *certificate.Certificate) { c.Results[0].Rows[1].Setting = "" }, "",
			certificate.ErrSyntax},
		"coverage factor below 1": {func(c *certificate.Certificate) { c.Results[0].Rows[1].K = 0.5 },
			"1-0", certificate.ErrDomain},
		"no row": {func(c *certificate.Certificate) { c.Results[1].Rows = nil }, "as left",
			certificate.ErrEmpty},
		"rule with a control character": {
			func(c *certificate.Certificate) { c.Rule = "simple\x01acceptance" }, "rule",
			certificate.ErrSyntax},
	} {
		t.Run(name, func(t *testing.T) {
			made := repaired(t)
			c.change(made)
			err := made.WriteXML(io.Discard)
			e, ok := errors.AsType[*certificate.Error](err)
			if !ok || e.Name != c.key || !errors.Is(err, c.cause) {
				t.Errorf("%v; want %v of %q", err, c.cause, c.key)
			}
		})
	}
}

// What may be empty leaves no empty list or word behind, which the schema DCC 3.3.0 refuses: it
// wants one measuringEquipment or more (measuringEquipmentListType) and a performanceLocation.
func TestEmptyContents(t *testing.T) {
	c := repaired(t)
	c.Equipment, c.Place = nil, ""
	text := string(write(t, c))
	if strings.Contains(text, "measuringEquipment") ||
		!strings.Contains(text, "<dcc:performanceLocation>laboratory<") {
		t.Errorf("an empty list, or no location, in\n%s", text)
	}
	read, err := certificate.Read(strings.NewReader(text))
	if err != nil || len(read.Equipment) != 0 || read.Place != "laboratory" {
		t.Errorf("read back %+v, %v", read, err)
	}
}

// A value that no resistance has, by a sign that slipped in, is discarded by the report and not
// stated as measured here; the notes say that it is left out.
func TestDiscarded(t *testing.T) {
	p := readParties(t, parties)
	p.Repair = nil
	r := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: math.Inf(1)})
	readings := make([]verify.Reading, len(r.Rows))
	for i := range r.Rows {
		readings[i] = r.Rows[i].Reading
		if r.Rows[i].Setting.String() == "0-2" {
			readings[i].Values = []float64{-readings[i].Values[0]}
		}
	}
	r, err := verify.Evaluate(r.Box, &r.Meter, readings, r.Rule)
	if err != nil {
		t.Fatal(err)
	}
	result := newCertificate(t, r, p).Results[0]
	if !strings.Contains(result.Notes, "not plausible are left out: 0-2.") {
		t.Errorf("notes %q", result.Notes)
	}
	for _, row := range result.Rows {
		if row.Setting == "0-2" {
			t.Errorf("%+v is stated", row)
		}
	}
}

// A report that a caller changed to an uncertainty that is none makes rows that WriteXML refuses.
func TestChangedReport(t *testing.T) {
	p := readParties(t, parties)
	p.Repair = nil
	for _, u := range []float64{math.NaN(), math.Inf(1)} {
		r := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: math.Inf(1)})
		for i := range r.Rows {
			r.Rows[i].Expanded.U = u
		}
		c, err := certificate.New(r, p)
		if err == nil {
			err = c.WriteXML(io.Discard)
		}
		if err == nil {
			t.Errorf("U = %v was written", u)
		}
	}
}

// The readings say when, and at which temperature, where the parties do not.
func TestFromReadings(t *testing.T) {
	r := report(t, twoDials(t), map[verify.Stage]float64{verify.StageAsFound: 0})
	for i := range r.Rows {
		r.Rows[i].Reading.Temperature = new(22.5 + 0.1*float64(i))
	}
	p := readParties(t, parties)
	p.Temperature, p.Repair = noInterval, nil
	c := newCertificate(t, r, p)
	if want := 22.5 + 0.1*float64(len(r.Rows)-1); c.Temperature != (uncertainty.Interval{Lower: 22.5, Upper: want}) {
		t.Errorf("temperature %v; want 22.5 to %v", c.Temperature, want)
	}
	if p.Temperature != noInterval || !p.Begin.IsZero() {
		t.Error("New changed the parties of its caller")
	}
}

// sequences are the elements of the schema DCC 3.3.0 that are written, in its order.
var sequences = map[string]string{
	"digitalCalibrationCertificate": "administrativeData measurementResults",
	"administrativeData": "dccSoftware coreData items calibrationLaboratory " +
		"respPersons customer statements",
	"software": "name release type",
	"coreData": "countryCodeISO3166_1 usedLangCodeISO639_1 mandatoryLangCodeISO639_1 " +
		"uniqueIdentifier receiptDate " +
		"beginPerformanceDate endPerformanceDate performanceLocation issueDate",
	"item":                  "name description manufacturer model identifications",
	"identification":        "issuer value name",
	"calibrationLaboratory": "calibrationLaboratoryCode contact",
	"contact":               "name eMail phone location",
	"customer":              "name eMail phone location",
	"respPerson":            "person role mainSigner",
	"statement":             "name declaration conformity",
	"metaData":              "name declaration conformityXMLList",
	"measurementResults": "usedMethods measuringEquipments influenceConditions " +
		"measurementResult",
	"usedMethod":         "name description norm",
	"measuringEquipment": "name identifications",
	"influenceCondition": "name status data",
	"measurementResult":  "name description influenceConditions results measurementMetaData",
	"result":             "name data",
	"quantity":           "name charsXMLList real realListXMLList measurementMetaData",
	"real":               "value unit",
	"realListXMLList":    "valueXMLList unitXMLList measurementUncertaintyUnivariateXMLList",
	"expandedMUXMLList": "valueExpandedMUXMLList coverageFactorXMLList " +
		"coverageProbabilityXMLList",
	"location":            "street streetNo postCode city state countryCode",
	"list":                "quantity",
	"measurementMetaData": "metaData",
	"results":             "result",
	"data":                "quantity list text",
	"statements":          "statement",
	"respPersons":         "respPerson",
	"identifications":     "identification",
	"items":               "item",
	"influenceConditions": "influenceCondition",
	"measuringEquipments": "measuringEquipment",
	"usedMethods":         "usedMethod",
	"dccSoftware":         "software",
	"person":              "name",
	"manufacturer":        "name",
	"measurementUncertaintyUnivariateXMLList": "expandedMUXMLList",
}

// Every element stands where the schema has it. (.ci/run validates against the schema itself.)
func TestOrder(t *testing.T) {
	in := xml.NewDecoder(bytes.NewReader(write(t, repaired(t))))
	type open struct {
		name string
		last int // place of the last child in the sequence
	}
	var path []open
	seen := make(map[string]bool)
	for {
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			name := token.Name.Local
			space := "https://ptb.de/dcc"
			if strings.HasPrefix(name, "real") || strings.HasSuffix(name, "XMLList") &&
				!strings.HasPrefix(name, "c") ||
				strings.HasPrefix(name, "coverage") || name == "expandedMUXMLList" ||
				len(path) > 0 && path[len(path)-1].name == "real" {
				space = "https://ptb.de/si"
			}
			if token.Name.Space != space {
				t.Errorf("%s is in name space %s; want %s", name, token.Name.Space, space)
			}
			if len(path) > 0 && name != "content" {
				parent := &path[len(path)-1]
				place := slices.Index(strings.Fields(sequences[parent.name]), name)
				if place < parent.last {
					t.Errorf("%s stands in %s in place %d after place %d of %q", name, parent.name,
						place, parent.last, sequences[parent.name])
				}
				parent.last = place
			}
			seen[name] = true
			path = append(path, open{name: name})
		case xml.EndElement:
			path = path[:len(path)-1]
		}
	}
	for name := range sequences {
		if !seen[name] {
			t.Errorf("no %s is written: the sequence says nothing", name)
		}
	}
}

// Units, numbers and words are those of the schema.
func TestNotation(t *testing.T) {
	text := string(write(t, repaired(t)))
	for _, want := range []string{
		"zero setting", "JCGM 100:2008", "by least squares", "guard band", "±0.1 %",
		`schemaVersion="3.3.0"`, `xmlns:dcc="https://ptb.de/dcc"`, `xmlns:si="https://ptb.de/si"`,
		`<si:unitXMLList>\ohm</si:unitXMLList>`, `<si:unit>\degreecelsius</si:unit>`,
		`<si:unit>\percent</si:unit>`,
		`refType="basic_measuredValue"`, `refType="basic_toleranceLimitLower"`,
		`<dcc:status>afterRepair</dcc:status>`,
		`<dcc:conformityXMLList>pass pass fail fail</dcc:conformityXMLList>`,
		"without accreditation", "not signed", "relate only to the box",
		"<dcc:content lang=\"en\">Element 3 of dial ×10 replaced.</dcc:content>",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s in\n%s", want, text)
		}
	}
}

// Numbers keep the digits that are stated: a 0 at the end, too.
func TestDigits(t *testing.T) {
	c := repaired(t)
	for _, row := range []struct {
		value, u float64
		want     string
	}{
		{100.003, 0.0016, "100.0030|0.0016"}, {100, 0.010, "100.000|0.010"},
		{99999.6, 12, "100000|12"},
		{1234567, 1200, "1234600|1200"}, {5, 0, "5|0"}, {1.5, 9.96e-4, "1.5000|0.0010"},
	} {
		r := &c.Results[1].Rows[1]
		r.Value, r.U = row.value, row.u
		text := string(write(t, c))
		value, u, _ := strings.Cut(row.want, "|")
		if !strings.Contains(text, "<si:valueXMLList>"+value+" ") ||
			!strings.Contains(text, "<si:valueExpandedMUXMLList>"+u+" ") {
			t.Errorf("%v ± %v: want %s\n%s", row.value, row.u, row.want, text)
		}
	}
}
