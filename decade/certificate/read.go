// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

// Reading goes the way of write.go backwards: by name where the schema has one element for one
// thing, by refType where it has a list of like elements (conditions, statements, quantities), by
// issuer among identifications. Names without a prefix below are in dcc:.
//
//	coreData             uniqueIdentifier, performanceLocation, four dates
//	items/item           name: Box, description: Class, identifications: Serial and Inventory
//	statements           by refType: Accreditation, Rule; all of box_remark: Remarks
//	usedMethods          description of the first: Method
//	measuringEquipments  Equipment
//	influenceConditions  by refType: Temperature, Humidity
//	measurementResult    one for each stage: name: Stage, description: Notes, results: Rows,
//	                     measurementMetaData of box_repair: Repair
//
// Not read is what follows from the rest and is written for other programs: software, languages
// and country of the core data, deviations, the statement on each stage, the state of the box.
// Reading goes on after an error, with empty values, and reports the first one: the code needs no
// test after each part, and a file costs at most one pass over its tree.

import (
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// Read reads a certificate that [Certificate.WriteXML] wrote, of at most 16 MiB. Certificates
// of other origin say the same in other words and other order: they are refused, with the part
// that is not there. A signature is ignored, not verified.
func Read(r io.Reader) (*Certificate, error) {
	// A certificate of some ten dials is of the order of 0.1 MiB; the limit keeps an endless stream
	// out of the memory.
	const op, limit = "certificate.Read", 16 << 20
	if r == nil {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrNotStated, "nil reader; expected a "+
			"certificate")}
	}
	// One byte more than the limit: N = 0 afterwards tells a file that is too long from one that
	// ends with the last byte allowed.
	limited := &io.LimitedReader{R: r, N: limit + 1}
	root, err := parseDocument(limited)
	// Cut short, the text would look like a broken certificate: the size is the real cause.
	if limited.N <= 0 {
		err = unit.Errorf(ErrDomain, "more than %d bytes; expected a certificate", limit)
	}
	if err != nil {
		return nil, &Error{Op: op, Err: err}
	}
	c := new(Certificate)
	in := &reader{}
	in.readAdministrative(c, root.first(dcc+"administrativeData"))
	in.readMeasured(c, root.first(dcc+"measurementResults"))
	// After an error a part that is missing would only repeat it.
	if in.err == nil {
		// What is read back must be fit to be written again.
		if key, err := c.checkCertificate(); err != nil {
			in.refuse(key, err)
		} else if len(c.Results) == 0 {
			in.refuse("measurementResults", unit.Errorf(ErrEmpty,
				"no result; expected the residual and the dials"))
		}
	}
	if in.err != nil {
		return nil, &Error{Op: op, Name: in.name, Err: in.err}
	}
	return c, nil
}

// reader keeps the first error; the zero reader has none.
type reader struct {
	name string // of what is wrong: a key of the parties, an element, a refType or a setting
	err  error
}

// refuse keeps the first error; what follows is often its consequence.
func (in *reader) refuse(name string, err error) {
	if in.err == nil {
		in.name, in.err = name, err
	}
}

// readAdministrative reads what is not a measurement from administrativeData. Texts that are
// absent are empty afterwards; checkCertificate decides which of them may be.
func (in *reader) readAdministrative(c *Certificate, e *element) {
	core := e.first(dcc + "coreData")
	c.Number = core.first(dcc + "uniqueIdentifier").text
	c.Place = core.first(dcc + "performanceLocation").text
	c.Received, c.Issued = in.date(core, "receiptDate"), in.date(core, "issueDate")
	c.Begin, c.End = in.date(core, "beginPerformanceDate"), in.date(core, "endPerformanceDate")
	item := e.first(dcc+"items", dcc+"item")
	c.Box, c.Class = item.content(dcc+"name"), item.content(dcc+"description")
	c.Maker, c.Model = item.content(dcc+"manufacturer", dcc+"name"), item.first(dcc+"model").text
	ids := item.first(dcc + "identifications")
	c.Serial, c.Inventory = identification(ids, "manufacturer"), identification(ids, "customer")
	laboratory := e.first(dcc + "calibrationLaboratory")
	c.Code = laboratory.first(dcc + "calibrationLaboratoryCode").text
	readAddress(laboratory.first(dcc+"contact"), &c.Laboratory)
	readAddress(e.first(dcc+"customer"), &c.Customer)
	for _, p := range e.first(dcc + "respPersons").children(dcc + "respPerson") {
		c.Persons = append(c.Persons, Person{
			Name: p.content(dcc+"person", dcc+"name"), Role: p.first(dcc + "role").text,
			Signs: p.first(dcc+"mainSigner").text == "true",
		})
	}
	statements := e.first(dcc + "statements")
	c.Accreditation = statements.byRefType(asAccredited).content(dcc + "declaration")
	// The sentence that there is none stands in the file for an empty field.
	if c.Accreditation == notAccredited {
		c.Accreditation = ""
	}
	c.Rule = statements.byRefType(asRule).content(dcc + "declaration")
	// Remarks are the only statement of which there may be several.
	for _, s := range statements.children(dcc + "statement") {
		if s.refType == asRemark {
			c.Remarks = append(c.Remarks, s.content(dcc+"declaration"))
		}
	}
}

// date reads an xs:date of the core data, as midnight in UTC (see startOfDay); the zero Time where
// there is none. XML Schema allows a time zone after a date ("2026-03-17Z"): it is refused, since
// the day of a calibration is that of its place.
func (in *reader) date(e *element, name string) time.Time {
	text := e.first(dcc + name).text
	if text == "" {
		return time.Time{}
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		in.refuse(name, unit.Errorf(ErrSyntax, "%q; expected a date such as 2026-03-17", text))
	}
	return t
}

// readAddress reads an organisation (contactType of the schema) with its address. The parts of a
// location come in any order (locationType is a repeated choice); of each the first counts.
func readAddress(e *element, c *Contact) {
	at := e.first(dcc + "location")
	*c = Contact{
		Name: e.content(dcc + "name"), Email: e.first(dcc + "eMail").text,
		Phone:  e.first(dcc + "phone").text,
		Street: at.first(dcc + "street").text, Number: at.first(dcc + "streetNo").text,
		PostCode: at.first(dcc + "postCode").text, City: at.first(dcc + "city").text,
		Province: at.first(dcc + "state").text, Country: at.first(dcc + "countryCode").text,
	}
}

// identification is the number that an issuer gave, empty where there is none. Issuers are words
// of the schema: "manufacturer" for a serial number, "customer" for an inventory number, "other"
// for the certificate of a meter or standard.
func identification(ids *element, issuer string) string {
	for _, id := range ids.children(dcc + "identification") {
		if id.first(dcc+"issuer").text == issuer {
			return id.first(dcc + "value").text
		}
	}
	return ""
}

// readMeasured reads method, equipment, conditions and results. Those above the first
// measurementResult hold for all stages, as New has one meter and one rule for all.
func (in *reader) readMeasured(c *Certificate, e *element) {
	c.Method = e.first(dcc+"usedMethods", dcc+"usedMethod").content(dcc + "description")
	for _, q := range e.first(dcc + "measuringEquipments").children(dcc + "measuringEquipment") {
		ids := q.first(dcc + "identifications")
		c.Equipment = append(c.Equipment, Equipment{
			Name: q.content(dcc + "name"), Serial: identification(ids, "manufacturer"),
			Certificate: identification(ids, "other"),
		})
	}
	conditions := e.first(dcc + "influenceConditions")
	c.Temperature = in.interval(conditions, asTemperature)
	// 12.3/100 is 0.12300000000000001 in binary: without rounding, what Read returns would not be
	// what was written.
	h := in.interval(conditions, asHumidity)
	c.Humidity = uncertainty.Interval{Lower: roundTo12(h.Lower / 100),
		Upper: roundTo12(h.Upper / 100)}
	for _, m := range e.children(dcc + "measurementResult") {
		r := Result{Notes: m.content(dcc + "description")}
		switch name := m.content(dcc + "name"); name {
		case stageName(verify.StageAsFound): // the zero Stage
		case stageName(verify.StageAsLeft):
			r.Stage = verify.StageAsLeft
		default:
			in.refuse("measurementResult", unit.Errorf(ErrUnknown,
				"%q; expected \"As found\" or \"As left\"", name))
		}
		for _, one := range m.first(dcc + "results").children(dcc + "result") {
			in.addRows(&r, one)
		}
		for _, d := range m.first(dcc + "measurementMetaData").children(dcc + "metaData") {
			if d.refType == asRepair {
				c.Repair = append(c.Repair, d.content(dcc+"declaration"))
			}
		}
		if len(r.Rows) == 0 {
			in.refuse("results", unit.Errorf(ErrEmpty,
				"none %s; expected the residual and the dials", r.Stage))
		}
		c.Results = append(c.Results, r)
	}
}

// interval is the condition of a refType, in the unit of the file (°C, %): two values of their own
// refType, with Min and Max behind that of the condition. Without the condition it is the zero
// Interval, not stated; with only one of the values it is an error.
func (in *reader) interval(e *element, as string) uncertainty.Interval {
	data := e.byRefType(as).first(dcc + "data")
	if len(data.in) == 0 {
		return uncertainty.Interval{}
	}
	end := func(suffix string) float64 {
		return in.number(as+suffix, data.byRefType(as+suffix).first(si+"real", si+"value").text)
	}
	return uncertainty.Interval{Lower: end("Min"), Upper: end("Max")}
}

// number is a decimal number; NaN where the certificate says so, in the spelling of the schema:
// strconv would take "nan", "Inf" and "+infinity" as well, which decimalType of D-SI 2.2.1 has not.
func (in *reader) number(name, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) && text != notANumber {
		in.refuse(name, unit.Errorf(ErrSyntax, "%q; expected a decimal number", text))
	}
	return v
}

// columns are the lists of a result, one figure for each setting: all as long as settings, once
// the reader has no error, except those that nothing was judged by.
type columns struct {
	settings       []string
	nominal, value []float64 // Ω
	u, k, p        []float64 // expanded uncertainty in Ω, coverage factor, coverage probability
	verdicts       []string  // words of the schema; empty: nothing was judged
	lower, upper   []float64 // Ω, limits of the value; nil without verdicts, NaN in single rows
}

// addRows adds the rows of one element result, in its order. Its refType says what they are of:
// the residual, the dial that it is named for, or settings of several dials.
func (in *reader) addRows(r *Result, e *element) {
	if !slices.Contains([]string{asResidual, asDial, asSettings}, e.refType) {
		in.refuse("result", unit.Errorf(ErrUnknown, "refType %q; expected %s, %s or %s", e.refType,
			asResidual, asDial, asSettings))
		return
	}
	lists := in.columns(e)
	// Lists that do not fit each other make no rows.
	if in.err != nil {
		return
	}
	for i := range lists.settings {
		row := in.row(&lists, i)
		row.Residual = e.refType == asResidual
		if e.refType == asDial {
			row.Dial = e.content(dcc + "name")
		}
		r.Rows = append(r.Rows, row)
	}
}

// columns reads the lists of a result. That of the settings comes first and sets the length: the
// others are measured against it, so that a list that lost a figure is found and not shifted.
func (in *reader) columns(e *element) (out columns) {
	data := e.first(dcc+"data", dcc+"list")
	out.settings = strings.Fields(data.byRefType(asSetting).first(dcc + "charsXMLList").text)
	if len(out.settings) == 0 {
		in.refuse(e.refType, unit.Errorf(ErrNotStated, "no setting; expected a list"))
	}
	numbers := func(name, text string) []float64 {
		return in.numbers(name, text, len(out.settings))
	}
	// Other units are no error of the file, but they are not what WriteXML writes: taken for ohms,
	// kilohms would be wrong by a factor of 1000 without a word.
	values := func(as string) []float64 {
		q := data.byRefType(as).first(si + "realListXMLList")
		if u := q.first(si + "unitXMLList").text; u != `\ohm` {
			in.refuse(as, unit.Errorf(ErrSyntax, "unit %q; expected \\ohm", u))
		}
		return numbers(as, q.first(si+"valueXMLList").text)
	}
	measured := data.byRefType(asMeasured)
	expanded := measured.first(si+"realListXMLList",
		si+"measurementUncertaintyUnivariateXMLList", si+"expandedMUXMLList")
	out.nominal, out.value = values(asNominal), values(asMeasured)
	out.u = numbers("valueExpandedMUXMLList", expanded.first(si+"valueExpandedMUXMLList").text)
	out.k = numbers("coverageFactorXMLList", expanded.first(si+"coverageFactorXMLList").text)
	out.p = numbers("coverageProbabilityXMLList",
		expanded.first(si+"coverageProbabilityXMLList").text)
	out.verdicts = strings.Fields(measured.first(dcc+"measurementMetaData", dcc+"metaData",
		dcc+"conformityXMLList").text)
	// Without a verdict there are no limits: the schema has no list of nothing.
	if len(out.verdicts) == 0 {
		return out
	}
	out.lower, out.upper = values(asLower), values(asUpper)
	if len(out.verdicts) != len(out.settings) {
		in.refuse(asConformity, unit.Errorf(ErrSyntax, "%d words for %d settings; expected as many",
			len(out.verdicts), len(out.settings)))
	}
	return out
}

// row is one row of the lists. NaN is the word of the schema for what does not exist: the value
// of an open circuit, and a coverage factor below 1.
func (in *reader) row(lists *columns, i int) Row {
	row := Row{Setting: lists.settings[i], Nominal: lists.nominal[i],
		Open: math.IsNaN(lists.value[i])}
	if !row.Open {
		row.Value, row.U, row.K, row.P = lists.value[i], lists.u[i], lists.k[i], lists.p[i]
		// D-SI 2.2.1, kValueType: a factor begins with a digit of 1 to 9, or is NaN.
		if math.IsNaN(row.K) {
			row.K = 0
		}
	}
	// noPass has limits of NaN, which stay the zero Interval.
	if len(lists.verdicts) > 0 && lists.verdicts[i] != "noPass" {
		row.Judged = true
		row.Limits = uncertainty.Interval{Lower: lists.lower[i], Upper: lists.upper[i]}
		row.Verdict = in.verdict(lists.verdicts[i])
	}
	if err := row.checkRow(); err != nil {
		in.refuse(row.Setting, err)
	}
	return row
}

// numbers is a list of n numbers: one for each setting, or one that all share, such as 0.95. After
// an error the list has its length all the same, so that nobody reads past its end.
func (in *reader) numbers(name, text string, n int) []float64 {
	words := strings.Fields(text)
	if len(words) != n && len(words) != 1 {
		in.refuse(name, unit.Errorf(ErrSyntax,
			"%d numbers for %d settings; expected as many, or one", len(words), n))
		return make([]float64, n)
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = in.number(name, words[min(i, len(words)-1)])
	}
	return out
}

// verdict is what a word of the schema says of a row. noFail has no meaning here: it is refused,
// as no row is written with it. Whether an undecided value lay inside or
// outside its limits follows from the numbers.
func (in *reader) verdict(word string) conformity.Verdict {
	switch word {
	case "pass":
		return conformity.VerdictConforms
	case "fail":
		return conformity.VerdictDoesNotConform
	case "conditionalPass", "conditionalFail":
		return conformity.VerdictUndecided
	}
	in.refuse(asConformity, unit.Errorf(ErrUnknown,
		"%q; expected pass, fail, conditionalPass, conditionalFail or noPass", word))
	return conformity.VerdictUndecided
}
