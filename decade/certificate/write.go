// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

import (
	"io"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

const (
	schemaVersion = "3.3.0"
	rootName      = dcc + "digitalCalibrationCertificate"

	software = "ohmwright"
	release  = "development" // there are no numbered releases yet

	notAccredited = "This certificate was issued without accreditation. It claims conformity " +
		"with no " +
		"accreditation body and with no arrangement between such bodies."
	notSigned = "This document is not signed. A signature or seal, if any, was added with other " +
		"tools " +
		"and covers it as it was written."
	uncertaintyText = "Uncertainties are expanded uncertainties, each the product of the " +
		"standard uncertainty and " +
		"the coverage factor stated with it, by JCGM 100:2008, for the coverage probability " +
		"stated with them."
)

// The refType attributes; see the package comment.
const (
	asResidual   = "box_residual"
	asDial       = "box_dial"
	asSettings   = "box_settings"
	asSetting    = "box_setting"
	asNominal    = "box_nominalValue"
	asDeviation  = "box_deviation"
	asRepair     = "box_repair"
	asRemark     = "box_remark"
	asAccredited = "box_accreditation"
	asUnsigned   = "box_signature"
	asRule       = "box_decisionRule"

	asMeasured    = "basic_measuredValue"
	asLower       = "basic_toleranceLimitLower"
	asUpper       = "basic_toleranceLimitUpper"
	asConformity  = "basic_conformity"
	asUncertainty = "basic_uncertainty"
	asStandard    = "basic_normalUsed"
	asTemperature = "basic_temperature"
	asHumidity    = "basic_humidityRelative"
	asAdjustment  = "basic_adjustment"
)

// WriteXML writes the certificate by the schema DCC 3.3.0. It is an error where a required
// part is missing or a text cannot be written.
func (c *Certificate) WriteXML(w io.Writer) error {
	const op = "certificate.Certificate.WriteXML"
	if c == nil || len(c.Results) == 0 {
		return &Error{Op: op, Err: unit.Errorf(ErrEmpty, "no certificate; expected one from New")}
	}
	if key, err := c.checkCertificate(); err != nil {
		return &Error{Op: op, Name: key, Err: err}
	}
	return of(rootName, c.administrative(), c.measured()).write(w)
}

func (c *Certificate) administrative() *element {
	signs := func(p Person) *element {
		if p.Signs {
			return leaf(dcc+"mainSigner", "true")
		}
		return nil
	}
	persons := of(dcc + "respPersons")
	for _, p := range c.Persons {
		persons.in = append(persons.in, of(dcc+"respPerson", of(dcc+"person", texts(dcc+"name",
			p.Name)),
			leaf(dcc+"role", p.Role), signs(p)))
	}
	return of(dcc+"administrativeData",
		of(dcc+"dccSoftware", of(dcc+"software", texts(dcc+"name", software),
			leaf(dcc+"release", release),
			leaf(dcc+"type", "library"))),
		of(dcc+"coreData",
			leaf(dcc+"countryCodeISO3166_1", c.Laboratory.Country),
			leaf(dcc+"usedLangCodeISO639_1", "en"), leaf(dcc+"mandatoryLangCodeISO639_1", "en"),
			leaf(dcc+"uniqueIdentifier", c.Number),
			dateLeaf("receiptDate", c.Received), dateLeaf("beginPerformanceDate", c.Begin),
			dateLeaf("endPerformanceDate", c.End), leaf(dcc+"performanceLocation", c.Place),
			dateLeaf("issueDate", c.Issued)),
		of(dcc+"items", c.item()),
		of(dcc+"calibrationLaboratory", leaf(dcc+"calibrationLaboratoryCode", c.Code),
			contact(dcc+"contact", &c.Laboratory)),
		persons,
		contact(dcc+"customer", &c.Customer),
		c.statements())
}

func dateLeaf(name string, t time.Time) *element {
	if t.IsZero() {
		return nil
	}
	return leaf(dcc+name, dateText(t))
}

func contact(name string, c *Contact) *element {
	return of(name, texts(dcc+"name", c.Name), leaf(dcc+"eMail", c.Email),
		leaf(dcc+"phone", c.Phone),
		of(dcc+"location", leaf(dcc+"street", c.Street), leaf(dcc+"streetNo", c.Number),
			leaf(dcc+"postCode", c.PostCode), leaf(dcc+"city", c.City),
			leaf(dcc+"state", c.Province),
			leaf(dcc+"countryCode", c.Country)))
}

// item is the box. Its class is the description.
func (c *Certificate) item() *element {
	var maker *element
	if c.Maker != "" {
		maker = of(dcc+"manufacturer", texts(dcc+"name", c.Maker))
	}
	class := texts(dcc+"description", c.Class)
	return of(dcc+"item", texts(dcc+"name", c.Box), class, maker, leaf(dcc+"model", c.Model),
		identifications(identified("manufacturer", "Serial number", c.Serial),
			identified("customer", "Inventory number", c.Inventory)))
}

func identifications(in ...*element) *element {
	e := of(dcc+"identifications", in...)
	if len(e.in) == 0 {
		return nil
	}
	return e
}

func identified(issuer, name, value string) *element {
	if value == "" {
		return nil
	}
	return of(dcc+"identification", leaf(dcc+"issuer", issuer), leaf(dcc+"value", value),
		texts(dcc+"name", name))
}

func (c *Certificate) statements() *element {
	statement := func(as, name, text string, more ...*element) *element {
		in := append([]*element{texts(dcc+"name", name), texts(dcc+"declaration", text)}, more...)
		return of(dcc+"statement", in...).named(as)
	}
	accreditation := c.Accreditation
	if accreditation == "" {
		accreditation = notAccredited
	}
	out := of(dcc+"statements",
		statement(asAccredited, "Accreditation", accreditation),
		statement(asUncertainty, "Uncertainty", uncertaintyText),
		statement(asRule, "Decision rule", c.Rule))
	for i := range c.Results {
		r := &c.Results[i]
		text := r.counts() +
			" Each setting was judged for itself; this is no probability for the box as a whole."
		verdict := "noPass"
		switch r.Verdict() {
		case conformity.VerdictConforms:
			verdict = "pass"
		case conformity.VerdictDoesNotConform:
			verdict = "fail"
			if r.Stage == verify.StageAsFound {
				text += " Earlier work with the box may be affected."
			}
		}
		out.in = append(out.in, statement(asConformity, "Conformity "+r.Stage.String(), text,
			leaf(dcc+"conformity", verdict)))
	}
	out.in = append(out.in, statement(asUnsigned, "Signature", notSigned))
	for _, text := range c.Remarks {
		out.in = append(out.in, statement(asRemark, "Remark", text))
	}
	return out
}

func (c *Certificate) measured() *element {
	equipment := of(dcc + "measuringEquipments")
	for _, e := range c.Equipment {
		equipment.in = append(equipment.in, of(dcc+"measuringEquipment", texts(dcc+"name", e.Name),
			identifications(identified("manufacturer", "Serial number", e.Serial),
				identified("other", "Calibration certificate", e.Certificate))).named(asStandard))
	}
	conditions := of(dcc+"influenceConditions", condition("Temperature of the box", asTemperature,
		`\degreecelsius`, c.Temperature.Lower, c.Temperature.Upper))
	if h := c.Humidity; h.Upper > 0 {
		conditions.in = append(conditions.in, condition("Relative humidity", asHumidity, `\percent`,
			rounded(100*h.Lower), rounded(100*h.Upper)))
	}
	method := of(dcc+"usedMethod", texts(dcc+"name", "Calibration of a resistance decade box"),
		texts(dcc+"description", c.Method), leaf(dcc+"norm", "JCGM 100:2008")).named(asUncertainty)
	out := of(dcc+"measurementResults", of(dcc+"usedMethods", method), equipment, conditions)
	for i := range c.Results {
		out.in = append(out.in, c.result(&c.Results[i]))
	}
	return out
}

// condition is a quantity that lay between two values.
func condition(name, as, unit string, low, high float64) *element {
	end := func(suffix, text string, v float64) *element {
		return of(dcc+"quantity", texts(dcc+"name", text),
			of(si+"real", leaf(si+"value", shortest(v)), leaf(si+"unit", unit))).named(as + suffix)
	}
	return of(dcc+"influenceCondition", texts(dcc+"name", name),
		of(dcc+"data", end("Min", "lowest", low), end("Max", "highest", high))).named(as)
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// result is a stage. Where there are two, each says on which side of the adjustment it lies.
func (c *Certificate) result(r *Result) *element {
	var state *element
	if len(c.Results) > 1 {
		status, text := "before", "Before anything was cleaned, adjusted or repaired."
		if r.Stage == verify.StageAsLeft {
			status, text = "after", "After what was done to the box."
		}
		act := "Adjustment"
		if len(c.Repair) > 0 {
			act = "Repair"
		}
		state = of(dcc+"influenceConditions", of(dcc+"influenceCondition",
			texts(dcc+"name", "State of the box"), leaf(dcc+"status", status+act),
			of(dcc+"data", texts(dcc+"text", text))).named(asAdjustment))
	}
	results := of(dcc + "results")
	for rows := r.Rows; len(rows) > 0; {
		n := 1
		for n < len(rows) && rows[n].Dial == rows[0].Dial && rows[n].Residual == rows[0].Residual {
			n++
		}
		results.in = append(results.in, group(rows[:n]))
		rows = rows[n:]
	}
	out := of(dcc+"measurementResult", texts(dcc+"name", stageName(r.Stage)),
		texts(dcc+"description", r.Notes), state, results)
	if r.Stage == verify.StageAsLeft && len(c.Repair) > 0 {
		done := of(dcc + "measurementMetaData")
		for _, text := range c.Repair {
			done.in = append(done.in, of(dcc+"metaData", texts(dcc+"name", "What was done"),
				texts(dcc+"declaration", text)).named(asRepair))
		}
		out.in = append(out.in, done)
	}
	return out
}

func stageName(s verify.Stage) string {
	if s == verify.StageAsLeft {
		return "As left"
	}
	return "As found"
}

// group is the residual, a dial, or settings of several dials.
func group(rows []Row) *element {
	name, as := "Settings of several dials", asSettings
	switch {
	case rows[0].Residual:
		name, as = "Residual resistance, all dials at zero", asResidual
	case rows[0].Dial != "":
		name, as = rows[0].Dial, asDial
	}
	settings := make([]string, len(rows))
	var nominal, value, deviation, u, k, p, lower, upper, verdict []string
	judged := false
	for i := range rows {
		row := &rows[i]
		settings[i] = row.Setting
		nominal = append(nominal, shortest(row.Nominal))
		value, deviation = append(value, row.number(row.Value)),
			append(deviation, row.number(row.Value-row.Nominal))
		u, k, p = append(u, row.uncertainty()), append(k, row.factor()),
			append(p, row.probability())
		lower, upper = append(lower, row.limit(row.Limits.Lower)),
			append(upper, row.limit(row.Limits.Upper))
		verdict = append(verdict, row.conformity())
		judged = judged || row.Judged
	}
	out := of(dcc+"list",
		of(dcc+"quantity", texts(dcc+"name", "Setting"),
			leaf(dcc+"charsXMLList", strings.Join(settings, " "))).named(asSetting),
		quantity("Nominal value", asNominal, nominal),
		quantity("Measured value", asMeasured, value,
			of(si+"measurementUncertaintyUnivariateXMLList", of(si+"expandedMUXMLList",
				list("valueExpandedMUXMLList", u), list("coverageFactorXMLList", k),
				list("coverageProbabilityXMLList", p)))),
		quantity("Deviation, measured less nominal", asDeviation, deviation))
	if judged {
		measured := out.as(asMeasured)
		measured.in = append(measured.in, of(dcc+"measurementMetaData", of(dcc+"metaData",
			texts(dcc+"name", "Conformity"), leaf(dcc+"conformityXMLList", strings.Join(verdict,
				" "))).named(asConformity)))
		out.in = append(out.in, quantity("Lower limit", asLower, lower),
			quantity("Upper limit", asUpper, upper))
	}
	return of(dcc+"result", texts(dcc+"name", name), of(dcc+"data", out)).named(as)
}

func list(name string, values []string) *element { return leaf(si+name, strings.Join(values, " ")) }

func quantity(name, as string, values []string, more ...*element) *element {
	in := append([]*element{list("valueXMLList", values), leaf(si+"unitXMLList", `\ohm`)}, more...)
	return of(dcc+"quantity", texts(dcc+"name", name), of(si+"realListXMLList", in...)).named(as)
}

// notANumber stands for what does not exist, as the schema has it.
const notANumber = "NaN"

func (row *Row) number(v float64) string {
	if row.Open {
		return notANumber
	}
	return valueText(v, row.U)
}

func (row *Row) uncertainty() string {
	if row.Open {
		return notANumber
	}
	return valueText(row.U, row.U)
}

// factor is the coverage factor. The schema has none below 1.
func (row *Row) factor() string {
	if row.Open || row.K == 0 {
		return notANumber
	}
	return strconv.FormatFloat(row.K, 'f', 2, 64)
}

func (row *Row) probability() string {
	if row.Open {
		return notANumber
	}
	return shortest(row.P)
}

func (row *Row) limit(v float64) string {
	if !row.Judged {
		return notANumber
	}
	return shortest(v)
}
