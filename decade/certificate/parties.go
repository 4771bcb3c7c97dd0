// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

// The texts of the parties are listed with their keys in one place, fields, which checkParties
// goes through. Reading has the keys again, by object: a key that is in one list and not in the
// other is a text that is not checked or cannot be stated, which a test of the formats page
// notices for files (examples/formats).

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// Parties names the laboratory, persons and customer of a certificate, and states what readings
// do not say about a calibration. Times count by their date. Fields are required unless they say
// otherwise. Any number of goroutines may read one at once.
type Parties struct {
	Number string // of the certificate: unique, for ever
	// Place is where the calibration was made: "laboratory", "customer",
	// "laboratoryBranch", "customerBranch" or "other"; empty: in the laboratory.
	Place string

	Received time.Time // of the box; zero: not stated
	Begin    time.Time // of the calibration; zero: the first reading
	End      time.Time // zero: the last reading
	Issued   time.Time // zero: not stated

	Laboratory Contact
	Code       string // of the laboratory, by its accreditation body; may be empty
	// Accreditation is the statement of an accreditation for this calibration. Empty: the
	// certificate says that there is none.
	Accreditation string
	Persons       []Person // responsible, one or more
	Customer      Contact

	Maker, Model string // of the box; may be empty
	// Inventory is the number that the customer gave to the box; required of one without serial
	// number.
	Inventory string

	// Temperature of the box in °C; the zero Interval: as the readings say, which is an
	// error where they do not.
	Temperature uncertainty.Interval
	// Humidity is the relative humidity as a fraction; the zero Interval: not stated.
	Humidity uncertainty.Interval

	Repair  []string // what was cleaned, adjusted or replaced, a sentence each; may be empty
	Remarks []string // may be empty
}

// A Contact is an organisation with its address. Name, City and Country are required. Any
// number of goroutines may read one at once.
type Contact struct {
	Name                                     string
	Street, Number, PostCode, City, Province string
	Country                                  string // two capital letters (ISO 3166-1)
	Email, Phone                             string
}

// A Person is responsible for a certificate. Any number of goroutines may read one at once.
type Person struct {
	Name  string
	Role  string // "head of calibration"; may be empty
	Signs bool   // the main signer
}

// ReadParties reads a file of parties, at most 1 MiB. Unknown keys are refused, and so is
// whatever [New] would refuse. examples/formats/README.md describes the file.
func ReadParties(r io.Reader) (*Parties, error) {
	const limit = 1 << 20
	o, err := file.Read("certificate.ReadParties", r, limit)
	if err != nil {
		return nil, err
	}
	p := new(Parties)
	o.Text("number", &p.Number)
	o.Text("place", &p.Place)
	for _, d := range p.dates() {
		readDate(o, d.key, d.to)
	}
	readContact(o, "laboratory", &p.Laboratory, func(in *file.Object) { in.Text("code", &p.Code) })
	readContact(o, "customer", &p.Customer, nil)
	o.Text("accreditation", &p.Accreditation)
	for _, in := range o.Objects("persons", mostPersons) {
		var one Person
		in.Text("name", &one.Name)
		in.Text("role", &one.Role)
		in.Bool("signs", &one.Signs)
		p.Persons = append(p.Persons, one)
	}
	if in := o.Object("item"); in != nil {
		in.Text("maker", &p.Maker)
		in.Text("model", &p.Model)
		in.Text("inventory", &p.Inventory)
	}
	if in := o.Object("environment"); in != nil {
		readInterval(in, "temperature", unit.Celsius, &p.Temperature)
		readInterval(in, "humidity", unit.Fraction, &p.Humidity)
	}
	o.Texts("repair", &p.Repair)
	o.Texts("remarks", &p.Remarks)
	// Close first: a key that is misspelled is not one that is missing.
	if err := o.Close(); err != nil {
		return nil, err
	}
	if key, err := p.checkParties(); err != nil {
		return nil, &Error{Op: "certificate.ReadParties", Name: key, Err: err}
	}
	return p, nil
}

// mostPersons bounds the list of a file, of which a certificate names a few.
const mostPersons = 100

// date is a date of the parties with its key, and where it stands.
type date struct {
	key string
	to  *time.Time
}

// dates lists the dates, so that reading and cloning treat them alike.
func (p *Parties) dates() []date {
	return []date{{"received", &p.Received}, {"begin", &p.Begin}, {"end", &p.End},
		{"issued", &p.Issued}}
}

// readDate reads a date without a time of day (ISO 8601, year-month-day), as midnight in UTC; a
// key that is absent leaves the time as it is.
func readDate(o *file.Object, key string, to *time.Time) {
	var text string
	if !o.Text(key, &text) {
		return
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		o.Fail(key, unit.Errorf(ErrSyntax, "%q; expected a date such as 2026-03-17", text))
	}
	*to = t
}

// readContact reads an organisation, and with more the further keys of its object, which must be
// asked for before the object closes; nil: there are none.
func readContact(o *file.Object, key string, to *Contact, more func(*file.Object)) {
	in := o.Object(key)
	if in == nil {
		return
	}
	for _, f := range to.fields() {
		in.Text(f.key, f.to)
	}
	if more != nil {
		more(in)
	}
}

// readInterval reads an interval, both ends of which are required; numbers without a unit are in
// that of the dimension. Its order is checked with the other parties.
func readInterval(o *file.Object, key string, d unit.Dimension, to *uncertainty.Interval) {
	in := o.Object(key)
	if in == nil {
		return
	}
	in.Require("low")
	in.Require("high")
	in.Quantity("low", d, &to.Lower)
	in.Quantity("high", d, &to.Upper)
}

// A field is a text with its key. It points into the parties, so that one list serves reading,
// which fills the texts, and checking.
type field struct {
	key      string // as an error names it: "laboratory.city"
	to       *string
	required bool // must not be empty
}

// fields are the texts of a contact.
func (c *Contact) fields() []field {
	return []field{
		{"name", &c.Name, true}, {"street", &c.Street, false}, {"number", &c.Number, false},
		{"postCode", &c.PostCode, false}, {"city", &c.City, true}, {"province", &c.Province, false},
		{"country", &c.Country, true}, {"email", &c.Email, false}, {"phone", &c.Phone, false},
	}
}

// fields are the texts of all parties.
func (p *Parties) fields() []field {
	out := []field{{"number", &p.Number, true}, {"place", &p.Place, false}}
	contact := func(key string, c *Contact) {
		for _, f := range c.fields() {
			out = append(out, field{key + "." + f.key, f.to, f.required})
		}
	}
	contact("laboratory", &p.Laboratory)
	out = append(out, field{"laboratory.code", &p.Code, false},
		field{"accreditation", &p.Accreditation, false})
	for i := range p.Persons {
		key := fmt.Sprintf("persons[%d].", i)
		out = append(out, field{key + "name", &p.Persons[i].Name, true},
			field{key + "role", &p.Persons[i].Role, false})
	}
	contact("customer", &p.Customer)
	out = append(out, field{"item.maker", &p.Maker, false}, field{"item.model", &p.Model, false},
		field{"item.inventory", &p.Inventory, false})
	for i := range p.Repair {
		out = append(out, field{fmt.Sprintf("repair[%d]", i), &p.Repair[i], true})
	}
	for i := range p.Remarks {
		out = append(out, field{fmt.Sprintf("remarks[%d]", i), &p.Remarks[i], true})
	}
	return out
}

// places are the words of the schema for Parties.Place.
var places = []string{"laboratory", "customer", "laboratoryBranch", "customerBranch", "other"}

// checkParties returns the key of what is missing or cannot be written, and the cause. What the
// readings may say is not missed here.
func (p *Parties) checkParties() (key string, err error) {
	for _, f := range p.fields() {
		if err := checkText(*f.to, f.required); err != nil {
			return f.key, err
		}
	}
	if len(p.Persons) == 0 {
		return "persons", unit.Errorf(ErrNotStated,
			"none; expected who is responsible for the certificate")
	}
	for _, f := range []field{{"laboratory.country", &p.Laboratory.Country, true},
		{"customer.country", &p.Customer.Country, true}} {
		if c := *f.to; len(c) != countryLetters || strings.Trim(c, capitals) != "" {
			return f.key, unit.Errorf(ErrSyntax,
				"%q; expected two capital letters (ISO 3166-1), such as \"FI\"", c)
		}
	}
	if p.Place != "" && !slices.Contains(places, p.Place) {
		return "place", file.Unknown("place", p.Place, places...)
	}
	if b, e := p.Begin, p.End; !b.IsZero() && !e.IsZero() && e.Before(b) {
		return "end", unit.Errorf(ErrDomain, "%s is before %s; expected the last day", dateText(e),
			dateText(b))
	}
	return p.checkEnvironment()
}

// coldest and hottest bound the temperature of a box in °C: beyond them a unit was mistaken.
const coldest, hottest = -100, 200

// checkEnvironment refuses an interval that is none, or that no laboratory has. The zero Interval
// passes: 0 °C to 0 °C stands for what is not stated.
func (p *Parties) checkEnvironment() (key string, err error) {
	for _, q := range []struct {
		key       string
		of        uncertainty.Interval
		low, high float64
	}{
		{"environment.temperature", p.Temperature, coldest, hottest},
		{"environment.humidity", p.Humidity, 0, 1},
	} {
		// Negated, so that NaN does not pass.
		if !(q.low <= q.of.Lower && q.of.Lower <= q.of.Upper && q.of.Upper <= q.high) {
			return q.key, unit.Errorf(ErrDomain, "%v to %v; expected low to high, within %v and %v",
				q.of.Lower, q.of.Upper, q.low, q.high)
		}
	}
	return "", nil
}

// Country codes are those of ISO 3166-1, alpha-2. Only their form is checked: the list changes,
// and an old certificate keeps the code of its day.
const (
	countryLetters = 2
	capitals       = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
)

// dateText is a date as the schema writes it (ISO 8601).
func dateText(t time.Time) string { return t.Format(time.DateOnly) }

// checkText refuses what XML cannot hold, and what it would not give back: control characters,
// which the encoder of Go replaces without a word, and spaces that indentation would change.
func checkText(text string, required bool) error {
	if text == "" && required {
		return unit.Errorf(ErrNotStated,
			"not stated; expected it, since a certificate must name it")
	}
	// XML 1.0, section 2.2: characters that no document may contain, however they are escaped.
	bad := func(r rune) bool {
		return unicode.IsControl(r) || r == unicode.ReplacementChar || r == 0xFFFE || r == 0xFFFF
	}
	if !utf8.ValidString(text) || strings.ContainsFunc(text, bad) ||
		text != strings.Join(strings.Fields(text), " ") {
		return unit.Errorf(ErrSyntax, "%q; expected words with one space between them, on one line",
			text)
	}
	return nil
}
