// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

// The elements of a certificate, in the order of the schema: most of its types are sequences,
// which refuse any other. Names are in dcc: unless they say si:.
//
//	digitalCalibrationCertificate
//	  administrativeData        dccSoftware, coreData, items, calibrationLaboratory, respPersons,
//	                            customer, statements
//	  measurementResults        usedMethods, measuringEquipments, influenceConditions: of all
//	    measurementResult       as found; as left: name, description, state of the box
//	      results/result        the residual; each dial; settings of several dials
//	        data/list           quantities: settings, nominal, measured with U, k and p,
//	                            deviation, lower and upper limit
//	      measurementMetaData   what was repaired
//
// Lists (XMLList elements) hold one word or number for each setting, separated by blanks:
// an element for each number would be mostly markup. What a row does not have is NaN in a list,
// since an empty place would shift the rest.
//
// Where ISO/IEC 17025:2017 (letters from memory) finds what it demands of a certificate:
//
//	7.8.2.1 b, c    laboratory, performanceLocation
//	7.8.2.1 d, e    uniqueIdentifier, customer
//	7.8.2.1 f, n    usedMethod; notes of a result say where values deviate from the method
//	7.8.2.1 g       item with its numbers; state of the box
//	7.8.2.1 h, i, j receiptDate; beginPerformanceDate, endPerformanceDate; issueDate
//	7.8.2.1 l       statement box_scope
//	7.8.2.1 m, o    lists with unit \ohm; respPersons
//	7.8.4.1 a, b    U, k and p with each value; influenceConditions
//	7.8.4.1 c       measuringEquipments with the numbers of their certificates
//	7.8.4.1 d       two results, before and after the adjustment or repair
//	7.8.6.2         conformity of each row; limits; statement box_decisionRule

import (
	"cmp"
	"io"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// Texts that every certificate has. Another release of the schema may mean other elements: Read
// refuses a file with another version.
const (
	schemaVersion = "3.3.0"
	rootName      = dcc + "digitalCalibrationCertificate"

	software = "ohmwright"
	release  = "development" // there are no numbered releases yet

	notAccredited = "This certificate was issued without accreditation. It claims conformity " +
		"with no accreditation body and with no arrangement between such bodies."
	scopeText = "The results relate only to the box with the numbers stated here, as it was " +
		"when it was read."
	notSigned = "This document is not signed. A signature or seal, if any, was added with other " +
		"tools and covers it as it was written."
	uncertaintyText = "Uncertainties are expanded uncertainties, each the product of the " +
		"standard uncertainty and the coverage factor stated with it, by JCGM 100:2008, for the " +
		"coverage probability stated with them."
)

// The refType attributes; see the package comment. The first group is our own, with the prefix
// that the schema's good practice leaves to others, the second that of the good practice. Read
// finds values by them, so that changing one makes older files unreadable.
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
	asScope      = "box_scope"
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

// WriteXML writes the certificate by the schema DCC 3.3.0. It returns an error where a required
// part is missing, a text cannot be written, a result has no row, or a row has a number that is
// NaN or infinite, a negative uncertainty or a coverage factor below 1; then nothing is written.
func (c *Certificate) WriteXML(w io.Writer) error {
	const op = "certificate.Certificate.WriteXML"
	if c == nil || len(c.Results) == 0 {
		return &Error{Op: op, Err: unit.Errorf(ErrEmpty, "no certificate; expected one from New")}
	}
	if key, err := c.checkCertificate(); err != nil {
		return &Error{Op: op, Name: key, Err: err}
	}
	if key, err := c.checkContents(); err != nil {
		return &Error{Op: op, Name: key, Err: err}
	}
	return node(rootName, c.administrativeElement(), c.measuredElement()).write(w)
}

// checkContents refuses rows and texts of New that a caller changed to what XML or its lists
// would not give back. The key is that of the text, or the setting of the row. Texts of Parties
// are checked by checkParties. Cost: one pass over texts and rows.
func (c *Certificate) checkContents() (key string, err error) {
	texts := []field{{"name of the box", &c.Box, true}, {"serial", &c.Serial, false},
		{"class", &c.Class, false}, {"method", &c.Method, false}, {"rule", &c.Rule, false}}
	for i := range c.Equipment {
		e := &c.Equipment[i]
		texts = append(texts, field{"equipment", &e.Name, true},
			field{"serial of " + e.Name, &e.Serial, false},
			field{"certificate of " + e.Name, &e.Certificate, false})
	}
	for i := range c.Results {
		r := &c.Results[i]
		texts = append(texts, field{"notes " + r.Stage.String(), &r.Notes, false})
		if len(r.Rows) == 0 {
			return r.Stage.String(), unit.Errorf(ErrEmpty,
				"no row; expected the residual and the dials")
		}
		for k := range r.Rows {
			row := &r.Rows[k]
			if err := row.checkRow(); err != nil {
				return row.Setting, err
			}
			texts = append(texts, field{"dial", &row.Dial, false})
		}
	}
	for _, f := range texts {
		if err := checkText(*f.to, f.required); err != nil {
			return f.key, err
		}
	}
	return "", nil
}

// administrativeElement is what is not a measurement. The country and the languages of coreData
// are those of the certificate itself: where it is issued, and in what it binds.
func (c *Certificate) administrativeElement() *element {
	signs := func(p Person) *element {
		if p.Signs {
			return leaf(dcc+"mainSigner", "true")
		}
		return nil
	}
	persons := node(dcc + "respPersons")
	for _, p := range c.Persons {
		persons.in = append(persons.in, node(dcc+"respPerson",
			node(dcc+"person", texts(dcc+"name", p.Name)), leaf(dcc+"role", p.Role), signs(p)))
	}
	return node(dcc+"administrativeData",
		node(dcc+"dccSoftware", node(dcc+"software", texts(dcc+"name", software),
			leaf(dcc+"release", release), leaf(dcc+"type", "library"))),
		node(dcc+"coreData",
			leaf(dcc+"countryCodeISO3166_1", c.Laboratory.Country),
			leaf(dcc+"usedLangCodeISO639_1", "en"), leaf(dcc+"mandatoryLangCodeISO639_1", "en"),
			leaf(dcc+"uniqueIdentifier", c.Number),
			dateLeaf("receiptDate", c.Received), dateLeaf("beginPerformanceDate", c.Begin),
			dateLeaf("endPerformanceDate", c.End),
			leaf(dcc+"performanceLocation", cmp.Or(c.Place, places[0])),
			dateLeaf("issueDate", c.Issued)),
		node(dcc+"items", c.itemElement()),
		node(dcc+"calibrationLaboratory", leaf(dcc+"calibrationLaboratoryCode", c.Code),
			contactElement(dcc+"contact", &c.Laboratory)),
		persons,
		contactElement(dcc+"customer", &c.Customer),
		c.statementsElement())
}

// dateLeaf is an xs:date; nil for one that is not stated, which the schema allows of receiptDate
// and issueDate alone.
func dateLeaf(name string, t time.Time) *element {
	if t.IsZero() {
		return nil
	}
	return leaf(dcc+name, dateText(t))
}

// contactElement is an organisation with its address (contactType: name and location required,
// and of its location one part at least, here city and country).
func contactElement(name string, c *Contact) *element {
	return node(name, texts(dcc+"name", c.Name), leaf(dcc+"eMail", c.Email),
		leaf(dcc+"phone", c.Phone),
		node(dcc+"location", leaf(dcc+"street", c.Street), leaf(dcc+"streetNo", c.Number),
			leaf(dcc+"postCode", c.PostCode), leaf(dcc+"city", c.City),
			leaf(dcc+"state", c.Province), leaf(dcc+"countryCode", c.Country)))
}

// itemElement is the box. Its class is the description: the schema has no element for limits of
// error in words.
func (c *Certificate) itemElement() *element {
	var maker *element
	if c.Maker != "" {
		maker = node(dcc+"manufacturer", texts(dcc+"name", c.Maker))
	}
	class := texts(dcc+"description", c.Class)
	return node(dcc+"item", texts(dcc+"name", c.Box), class, maker, leaf(dcc+"model", c.Model),
		listOf(dcc+"identifications", identified("manufacturer", "Serial number", c.Serial),
			identified("customer", "Inventory number", c.Inventory)))
}

// identified is a number and who gave it (a word of identificationType, see identification); nil
// for an empty one, since the schema wants a value. The name is for people.
func identified(issuer, name, value string) *element {
	if value == "" {
		return nil
	}
	return node(dcc+"identification", leaf(dcc+"issuer", issuer), leaf(dcc+"value", value),
		texts(dcc+"name", name))
}

// statementsElement are those about accreditation, scope, uncertainty, rule, conformity and
// signature, and the remarks. Of conformity there is one for each stage, which repeats the verdicts
// of the rows in sum: a reader who wants one word for the box finds it here, with what it does not
// mean.
func (c *Certificate) statementsElement() *element {
	// In statementMetaDataType the declaration comes before conformity.
	statement := func(as, name, text string, more ...*element) *element {
		in := append([]*element{texts(dcc+"name", name), texts(dcc+"declaration", text)}, more...)
		return node(dcc+"statement", in...).typed(as)
	}
	accreditation := c.Accreditation
	if accreditation == "" {
		// Said outright: a certificate without the statement would leave it open.
		accreditation = notAccredited
	}
	out := node(dcc+"statements",
		statement(asAccredited, "Accreditation", accreditation),
		statement(asScope, "Scope", scopeText),
		statement(asUncertainty, "Uncertainty", uncertaintyText),
		statement(asRule, "Decision rule", c.Rule))
	for i := range c.Results {
		r := &c.Results[i]
		// A rule is for a single scalar quantity (JCGM 106, clause 1), not for all together.
		text := r.counts() +
			" Each setting was judged on its own; this is no probability for the box as a whole."
		// conditionalPass would say "inside the limits" of a box with values on both sides.
		verdict := "noPass"
		switch r.Verdict() {
		case conformity.VerdictConforms:
			verdict = "pass"
		case conformity.VerdictDoesNotConform:
			verdict = "fail"
			// The owner has to look at earlier work, which the laboratory does not know of.
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

// measuredElement is methods, equipment, conditions and results. Of each stage there is one result;
// what the stages share stands before them once.
func (c *Certificate) measuredElement() *element {
	var equipment []*element
	for _, e := range c.Equipment {
		equipment = append(equipment,
			node(dcc+"measuringEquipment", texts(dcc+"name", e.Name),
				listOf(dcc+"identifications", identified("manufacturer", "Serial number", e.Serial),
					identified("other", "Calibration certificate", e.Certificate))).
				typed(asStandard))
	}
	conditions := node(dcc+"influenceConditions",
		conditionElement("Temperature of the box", asTemperature,
			`\degreecelsius`, c.Temperature.Lower, c.Temperature.Upper))
	// The zero Interval is not stated. The unit of the file is the percent.
	if h := c.Humidity; h.Upper > 0 {
		conditions.in = append(conditions.in,
			conditionElement("Relative humidity", asHumidity, `\percent`,
				roundTo12(100*h.Lower), roundTo12(100*h.Upper)))
	}
	method := node(dcc+"usedMethod", texts(dcc+"name", "Calibration of a resistance decade box"),
		texts(dcc+"description", c.Method), leaf(dcc+"norm", "JCGM 100:2008")).typed(asUncertainty)
	out := node(dcc+"measurementResults", node(dcc+"usedMethods", method),
		listOf(dcc+"measuringEquipments", equipment...), conditions)
	for i := range c.Results {
		out.in = append(out.in, c.resultOfStage(&c.Results[i]))
	}
	return out
}

// conditionElement is a quantity that lay between two values, in a unit by the notation of D-SI
// (\degreecelsius, \percent). The good practice has a refType for each end: that of the condition
// with Min and Max.
func conditionElement(name, as, unit string, low, high float64) *element {
	end := func(suffix, text string, v float64) *element {
		return node(dcc+"quantity", texts(dcc+"name", text),
			node(si+"real",
				leaf(si+"value", shortest(v)), leaf(si+"unit", unit))).typed(as + suffix)
	}
	return node(dcc+"influenceCondition", texts(dcc+"name", name),
		node(dcc+"data", end("Min", "lowest", low), end("Max", "highest", high))).typed(as)
}

// shortest writes as many digits of a number as make it the same when it is read, without an
// exponent: probabilityValueType and kValueType of D-SI 2.2.1 allow none.
func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// resultOfStage is a stage. Where there are two, each says on which side of the adjustment it lies:
// status has the words beforeAdjustment, afterAdjustment, beforeRepair and afterRepair
// (conditionType). A single result has no status, since nothing says that the box was ever touched.
func (c *Certificate) resultOfStage(r *Result) *element {
	var state *element
	if len(c.Results) > 1 {
		status, text := "before", "Before anything was cleaned, adjusted or repaired."
		if r.Stage == verify.StageAsLeft {
			status, text = "after", "After the work on the box."
		}
		act := "Adjustment"
		if len(c.Repair) > 0 {
			act = "Repair"
		}
		state = node(dcc+"influenceConditions", node(dcc+"influenceCondition",
			texts(dcc+"name", "State of the box"), leaf(dcc+"status", status+act),
			node(dcc+"data", texts(dcc+"text", text))).typed(asAdjustment))
	}
	results := node(dcc + "results")
	for rows := r.Rows; len(rows) > 0; {
		n := 1
		// Rows of one dial lie together: each run is a table of its own.
		for n < len(rows) && rows[n].Dial == rows[0].Dial && rows[n].Residual == rows[0].Residual {
			n++
		}
		results.in = append(results.in, resultElement(rows[:n]))
		rows = rows[n:]
	}
	out := node(dcc+"measurementResult", texts(dcc+"name", stageName(r.Stage)),
		texts(dcc+"description", r.Notes), state, results)
	if r.Stage == verify.StageAsLeft && len(c.Repair) > 0 {
		done := node(dcc + "measurementMetaData")
		for _, text := range c.Repair {
			done.in = append(done.in, node(dcc+"metaData", texts(dcc+"name", "What was done"),
				texts(dcc+"declaration", text)).typed(asRepair))
		}
		out.in = append(out.in, done)
	}
	return out
}

// stageName is the name of a result; Read knows the stage by it, as the good practice has no
// refType for stages.
func stageName(s verify.Stage) string {
	if s == verify.StageAsLeft {
		return "As left"
	}
	return "As found"
}

// resultElement is a run of rows that belong together: the residual, a dial, or settings of
// several dials. All lists go through the rows in one order, so that the figures of row i stand at
// place i of each. Limits and conformity are left out where no row was judged, and are NaN and
// noPass for single rows that were not.
func resultElement(rows []Row) *element {
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
		value = append(value, row.valueOrNaN(row.Value))
		deviation = append(deviation, row.valueOrNaN(row.Value-row.Nominal))
		u, k = append(u, row.expandedText()), append(k, row.factorText())
		p = append(p, row.probabilityText())
		lower = append(lower, row.limitText(row.Limits.Lower))
		upper = append(upper, row.limitText(row.Limits.Upper))
		verdict = append(verdict, row.conformityWord())
		judged = judged || row.Judged
	}
	out := node(dcc+"list",
		node(dcc+"quantity", texts(dcc+"name", "Setting"),
			leaf(dcc+"charsXMLList", strings.Join(settings, " "))).typed(asSetting),
		quantityElement("Nominal value", asNominal, nominal),
		quantityElement("Measured value", asMeasured, value,
			node(si+"measurementUncertaintyUnivariateXMLList", node(si+"expandedMUXMLList",
				listElement("valueExpandedMUXMLList", u), listElement("coverageFactorXMLList", k),
				listElement("coverageProbabilityXMLList", p)))),
		quantityElement("Deviation, measured minus nominal", asDeviation, deviation))
	if judged {
		// Conformity belongs to the measured value, not to the nominal one or the deviation.
		measured := out.byRefType(asMeasured)
		measured.in = append(measured.in, node(dcc+"measurementMetaData", node(dcc+"metaData",
			texts(dcc+"name", "Conformity"),
			leaf(dcc+"conformityXMLList", strings.Join(verdict, " "))).typed(asConformity)))
		out.in = append(out.in, quantityElement("Lower limit", asLower, lower),
			quantityElement("Upper limit", asUpper, upper))
	}
	return node(dcc+"result", texts(dcc+"name", name), node(dcc+"data", out)).typed(as)
}

// listElement is a list of numbers, in the spelling of si:decimalXMLListType: blanks between.
func listElement(name string, values []string) *element {
	return leaf(si+name, strings.Join(values, " "))
}

// quantityElement is a list of resistances in Ω. One unit stands for all values (unitXMLListType);
// more is what follows it in the sequence, the uncertainty.
func quantityElement(name, as string, values []string, more ...*element) *element {
	in := append([]*element{listElement("valueXMLList", values),
		leaf(si+"unitXMLList", `\ohm`)}, more...)
	return node(dcc+"quantity", texts(dcc+"name", name),
		node(si+"realListXMLList", in...)).typed(as)
}

// notANumber stands for what does not exist: decimalType, kValueType and probabilityValueType of
// D-SI 2.2.1 allow the word in this spelling.
const notANumber = "NaN"

// valueOrNaN is a value or deviation in Ω as the certificate states it. A difference of two rounded
// numbers has binary noise behind the last digit of U, which valueText cuts off.
func (row *Row) valueOrNaN(v float64) string {
	if row.Open {
		return notANumber
	}
	return valueText(v, row.U)
}

// expandedText is U in Ω as the certificate states it, with its own two digits: 0.010, not 0.01.
func (row *Row) expandedText() string {
	if row.Open {
		return notANumber
	}
	return valueText(row.U, row.U)
}

// factorText is the coverage factor with two decimals. The schema has none below 1: K is 0 there.
func (row *Row) factorText() string {
	if row.Open || row.K == 0 {
		return notANumber
	}
	return strconv.FormatFloat(row.K, 'f', 2, 64)
}

// probabilityText is the coverage probability as a fraction: the schema has no percent here.
func (row *Row) probabilityText() string {
	if row.Open {
		return notANumber
	}
	return shortest(row.P)
}

// limitText is a limit in Ω of a row that was judged. It has all its digits: a limit is given, not
// measured, and has no uncertainty to end at.
func (row *Row) limitText(v float64) string {
	if !row.Judged {
		return notANumber
	}
	return shortest(v)
}
