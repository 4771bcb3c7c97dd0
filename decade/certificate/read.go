// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

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
	const op, limit = "certificate.Read", 16 << 20
	if r == nil {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrNotStated, "nil reader; expected a "+
			"certificate")}
	}
	limited := &io.LimitedReader{R: r, N: limit + 1}
	root, err := parse(limited)
	if limited.N <= 0 {
		err = unit.Errorf(ErrDomain, "more than %d bytes; expected a certificate", limit)
	}
	if err != nil {
		return nil, &Error{Op: op, Err: err}
	}
	c := new(Certificate)
	in := &reader{}
	in.administrative(c, root.at(dcc+"administrativeData"))
	in.measured(c, root.at(dcc+"measurementResults"))
	if in.err == nil {
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

// reader keeps the first error.
type reader struct {
	name string
	err  error
}

func (in *reader) refuse(name string, err error) {
	if in.err == nil {
		in.name, in.err = name, err
	}
}

func (in *reader) administrative(c *Certificate, e *element) {
	core := e.at(dcc + "coreData")
	c.Number = core.at(dcc + "uniqueIdentifier").text
	c.Place = core.at(dcc + "performanceLocation").text
	c.Received, c.Issued = in.date(core, "receiptDate"), in.date(core, "issueDate")
	c.Begin, c.End = in.date(core, "beginPerformanceDate"), in.date(core, "endPerformanceDate")
	item := e.at(dcc+"items", dcc+"item")
	c.Box, c.Class = item.content(dcc+"name"), item.content(dcc+"description")
	c.Maker, c.Model = item.content(dcc+"manufacturer", dcc+"name"), item.at(dcc+"model").text
	ids := item.at(dcc + "identifications")
	c.Serial, c.Inventory = identification(ids, "manufacturer"), identification(ids, "customer")
	laboratory := e.at(dcc + "calibrationLaboratory")
	c.Code = laboratory.at(dcc + "calibrationLaboratoryCode").text
	readAddress(laboratory.at(dcc+"contact"), &c.Laboratory)
	readAddress(e.at(dcc+"customer"), &c.Customer)
	for _, p := range e.at(dcc + "respPersons").all(dcc + "respPerson") {
		c.Persons = append(c.Persons, Person{
			Name: p.content(dcc+"person", dcc+"name"), Role: p.at(dcc + "role").text,
			Signs: p.at(dcc+"mainSigner").text == "true",
		})
	}
	statements := e.at(dcc + "statements")
	if c.Accreditation = statements.as(asAccredited).content(dcc +
		"declaration"); c.Accreditation == notAccredited {
		c.Accreditation = ""
	}
	c.Rule = statements.as(asRule).content(dcc + "declaration")
	for _, s := range statements.all(dcc + "statement") {
		if s.refType == asRemark {
			c.Remarks = append(c.Remarks, s.content(dcc+"declaration"))
		}
	}
}

func (in *reader) date(e *element, name string) time.Time {
	text := e.at(dcc + name).text
	if text == "" {
		return time.Time{}
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		in.refuse(name, unit.Errorf(ErrSyntax, "%q; expected a date such as 2026-03-17", text))
	}
	return t
}

func readAddress(e *element, c *Contact) {
	at := e.at(dcc + "location")
	*c = Contact{
		Name: e.content(dcc + "name"), Email: e.at(dcc + "eMail").text,
		Phone:  e.at(dcc + "phone").text,
		Street: at.at(dcc + "street").text, Number: at.at(dcc + "streetNo").text,
		PostCode: at.at(dcc + "postCode").text, City: at.at(dcc + "city").text,
		Province: at.at(dcc + "state").text, Country: at.at(dcc + "countryCode").text,
	}
}

func identification(ids *element, issuer string) string {
	for _, id := range ids.all(dcc + "identification") {
		if id.at(dcc+"issuer").text == issuer {
			return id.at(dcc + "value").text
		}
	}
	return ""
}

func (in *reader) measured(c *Certificate, e *element) {
	c.Method = e.at(dcc+"usedMethods", dcc+"usedMethod").content(dcc + "description")
	for _, q := range e.at(dcc + "measuringEquipments").all(dcc + "measuringEquipment") {
		ids := q.at(dcc + "identifications")
		c.Equipment = append(c.Equipment, Equipment{
			Name: q.content(dcc + "name"), Serial: identification(ids, "manufacturer"),
			Certificate: identification(ids, "other"),
		})
	}
	conditions := e.at(dcc + "influenceConditions")
	c.Temperature = in.interval(conditions, asTemperature)
	h := in.interval(conditions, asHumidity)
	c.Humidity = uncertainty.Interval{Lower: rounded(h.Lower / 100), Upper: rounded(h.Upper / 100)}
	for _, m := range e.all(dcc + "measurementResult") {
		r := Result{Notes: m.content(dcc + "description")}
		switch name := m.content(dcc + "name"); name {
		case stageName(verify.StageAsFound):
		case stageName(verify.StageAsLeft):
			r.Stage = verify.StageAsLeft
		default:
			in.refuse("measurementResult", unit.Errorf(ErrUnknown,
				"%q; expected \"As found\" or \"As left\"", name))
		}
		for _, one := range m.at(dcc + "results").all(dcc + "result") {
			in.rows(&r, one)
		}
		for _, d := range m.at(dcc + "measurementMetaData").all(dcc + "metaData") {
			if d.refType == asRepair {
				c.Repair = append(c.Repair, d.content(dcc+"declaration"))
			}
		}
		c.Results = append(c.Results, r)
	}
}

// interval is the condition of a refType.
func (in *reader) interval(e *element, as string) uncertainty.Interval {
	data := e.as(as).at(dcc + "data")
	if len(data.in) == 0 {
		return uncertainty.Interval{}
	}
	end := func(suffix string) float64 {
		return in.number(as+suffix, data.as(as+suffix).at(si+"real", si+"value").text)
	}
	return uncertainty.Interval{Lower: end("Min"), Upper: end("Max")}
}

// number is a decimal number; NaN where the certificate says so.
func (in *reader) number(name, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) && text != notANumber {
		in.refuse(name, unit.Errorf(ErrSyntax, "%q; expected a decimal number", text))
	}
	return v
}

// rows adds the rows of a result.
func (in *reader) rows(r *Result, e *element) {
	if !slices.Contains([]string{asResidual, asDial, asSettings}, e.refType) {
		in.refuse("result", unit.Errorf(ErrUnknown, "refType %q; expected %s, %s or %s", e.refType,
			asResidual, asDial, asSettings))
		return
	}
	data := e.at(dcc+"data", dcc+"list")
	settings := strings.Fields(data.as(asSetting).at(dcc + "charsXMLList").text)
	if len(settings) == 0 {
		in.refuse(e.refType, unit.Errorf(ErrNotStated, "no setting; expected a list"))
	}
	numbers := func(name, text string) []float64 { return in.numbers(name, text, len(settings)) }
	values := func(as string) []float64 {
		q := data.as(as).at(si + "realListXMLList")
		if u := q.at(si + "unitXMLList").text; u != `\ohm` {
			in.refuse(as, unit.Errorf(ErrSyntax, "unit %q; expected \\ohm", u))
		}
		return numbers(as, q.at(si+"valueXMLList").text)
	}
	expanded := data.as(asMeasured).at(si+"realListXMLList",
		si+"measurementUncertaintyUnivariateXMLList", si+"expandedMUXMLList")
	nominal, value := values(asNominal), values(asMeasured)
	u := numbers("valueExpandedMUXMLList", expanded.at(si+"valueExpandedMUXMLList").text)
	k := numbers("coverageFactorXMLList", expanded.at(si+"coverageFactorXMLList").text)
	p := numbers("coverageProbabilityXMLList", expanded.at(si+"coverageProbabilityXMLList").text)
	verdicts := strings.Fields(data.as(asMeasured).at(dcc+"measurementMetaData", dcc+"metaData",
		dcc+"conformityXMLList").text)
	judged := len(verdicts) > 0
	var lower, upper []float64
	if judged {
		lower, upper = values(asLower), values(asUpper)
		if len(verdicts) != len(settings) {
			in.refuse(asConformity, unit.Errorf(ErrSyntax,
				"%d words for %d settings; expected as many", len(verdicts), len(settings)))
		}
	}
	if in.err != nil {
		return
	}
	for i, s := range settings {
		row := Row{Setting: s, Nominal: nominal[i], Residual: e.refType == asResidual,
			Open: math.IsNaN(value[i])}
		if e.refType == asDial {
			row.Dial = e.content(dcc + "name")
		}
		if !row.Open {
			row.Value, row.U, row.K, row.P = value[i], u[i], k[i], p[i]
			if math.IsNaN(row.K) {
				row.K = 0
			}
		}
		if judged && verdicts[i] != "noPass" {
			row.Judged, row.Limits = true, uncertainty.Interval{Lower: lower[i], Upper: upper[i]}
			row.Verdict = in.verdict(verdicts[i])
		}
		if row.U < 0 || row.P < 0 || row.P > 1 || row.K < 0 {
			in.refuse(s, unit.Errorf(ErrDomain,
				"U = %v, k = %v, probability %v; expected no negative number, and a probability "+
					"up to 1",
				row.U, row.K, row.P))
		}
		if math.IsNaN(row.Nominal + row.U + row.P + row.Limits.Lower + row.Limits.Upper) {
			in.refuse(s, unit.Errorf(ErrNotStated, "NaN; expected a number"))
		}
		r.Rows = append(r.Rows, row)
	}
}

// numbers is a list of numbers, one for each setting, or one for all.
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
