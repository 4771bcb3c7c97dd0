// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"io"
	"slices"
	"strings"
	"time"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A meter in JSON. Reading goes key by key through file.Object, which collects the first error with
// its line, column and key: the functions that read a part return no error, and Close of the whole
// does. A quantity is a number in the SI unit or a text with its unit; what is not stated stays 0.
//
// Writing goes through structs with tags, since their order of keys is the order of the file, and
// writes every quantity as text with its unit, in the shortest form that reads back to the same
// bits.

// The bounds of a file that is one: meters have some ten ranges, certificates some ten points for
// each.
const (
	largestMeterFile = 1 << 20 // bytes
	mostRanges       = 1000
	mostPoints       = 1000
)

// ReadMeter reads the description of a meter from JSON:
//
//	{
//	  "name": "bench meter", "serial": "M-1", "certificate": "17/2026", "due": "2027-03",
//	  "specification": "1 year, 23 °C ± 5 °C",
//	  "wiring": "four-wire",
//	  "offsetCompensated": true,
//	  "temperature": "23 °C", "band": "5 K", "thermometer": "0.3 K",
//	  "ranges": [
//	    {"name": "1 kΩ", "fullScale": "1 kΩ", "overRange": 1.2,
//	     "ofReading": "0.003 %", "ofRange": "8 ppm", "resolution": "1 mΩ", "current": "1 mA"}
//	  ]
//	}
//
// Wiring is "four-wire" or "two-wire", the latter with "leads": {"resistance": "0.3 Ω",
// "tolerance": "50 mΩ"}, or {"null": "leads joined" or "box at zero", "nullTolerance":
// "5 mΩ"}. The range part is a fraction, "3 digits" (or counts, steps of the display) or a
// sum, "8 ppm + 3 digits". Further keys: "ideal", "thermalEMF" and "insulation" of the
// meter; "combine", "k", "linearity", "noise", "ofReadingPerKelvin", "ofRangePerKelvin",
// "reference", "shortTerm" and "calibration" of a range. They are the fields of [Meter]
// and [Range].
//
// A number is in the SI unit, a string carries its unit. Unknown keys, trailing data and
// values that make no sense are one error that names the field. examples/formats/README.md
// describes the file in full.
func ReadMeter(r io.Reader) (*Meter, error) {
	o, err := file.Read("verify.ReadMeter", r, largestMeterFile)
	if err != nil {
		return nil, err
	}
	return readMeter(o)
}

// UnmarshalJSON reads what [ReadMeter] reads.
func (m *Meter) UnmarshalJSON(text []byte) error {
	if m == nil {
		return &Error{Op: "verify.Meter.UnmarshalJSON", Err: unit.Errorf(unit.ErrNotStated,
			"nil; expected the address of a Meter")}
	}
	o, err := file.Unmarshal("verify.Meter.UnmarshalJSON", text)
	if err != nil {
		return err
	}
	read, err := readMeter(o)
	if err == nil {
		*m = *read
	}
	return err
}

// readMeter reads the keys of a meter and checks the whole: a key that cannot be read is named with
// its place in the file, figures that contradict each other by Check.
func readMeter(o *file.Object) (*Meter, error) {
	m := &Meter{}
	o.Text("name", &m.Name)
	o.Text("serial", &m.Serial)
	o.Text("certificate", &m.Certificate)
	o.Text("due", &m.Due)
	o.Text("specification", &m.Specification)
	o.Require("wiring")
	wirings.Read(o, "wiring", &m.Wiring)
	m.Leads = readLeads(o.Object("leads"))
	// A key of older files: it says what stands in its place, instead of being unknown.
	if o.Has("zeroShare") {
		o.Fail("zeroShare", unit.Errorf(ErrUnknown, "no longer read; expected \"linearity\" of a "+
			"range instead: as much of its range part as differs from value to value"))
	}
	o.Bool("ideal", &m.Ideal)
	o.Quantity("thermometer", unit.Kelvin, &m.Thermometer)
	o.Optional("temperature", unit.Celsius, &m.Temperature)
	o.Quantity("band", unit.Kelvin, &m.Band)
	o.Bool("offsetCompensated", &m.OffsetCompensated)
	o.Quantity("thermalEMF", unit.Volt, &m.ThermalEMF)
	o.Quantity("insulation", unit.Ohm, &m.Insulation)
	o.Require("ranges")
	for _, part := range o.Objects("ranges", mostRanges) {
		m.Ranges = append(m.Ranges, readRange(part))
	}
	if err := o.Close(); err != nil {
		return nil, err
	}
	return m, m.Check()
}

// readLeads reads the leads; the zero Leads where the file has none.
func readLeads(o *file.Object) (l Leads) {
	if o == nil {
		return l
	}
	o.Quantity("resistance", unit.Ohm, &l.Resistance)
	o.Quantity("tolerance", unit.Ohm, &l.Tolerance)
	nulls.Read(o, "null", &l.Null)
	o.Quantity("nullTolerance", unit.Ohm, &l.NullTolerance)
	return l
}

// readRange reads the keys of a range. The full scale comes before the linearity, which may be a
// fraction of it.
func readRange(o *file.Object) (r Range) {
	o.Require("name")
	o.Require("fullScale")
	o.Text("name", &r.Name)
	o.Quantity("fullScale", unit.Ohm, &r.FullScale)
	o.Quantity("overRange", unit.Fraction, &r.OverRange)
	o.Quantity("ofReading", unit.Fraction, &r.OfReading)
	readRangePart(o, "ofRange", &r.OfRange, &r.Digits)
	combinations.Read(o, "combine", &r.Combine)
	o.Quantity("k", unit.Fraction, &r.K)
	readLinearity(o, &r)
	o.Quantity("noise", unit.Ohm, &r.Noise)
	o.Quantity("resolution", unit.Ohm, &r.Resolution)
	o.Quantity("current", unit.Ampere, &r.Current)
	o.Quantity("ofReadingPerKelvin", unit.PerKelvin, &r.OfReadingPerKelvin)
	o.Quantity("ofRangePerKelvin", unit.PerKelvin, &r.OfRangePerKelvin)
	o.Text("reference", &r.Reference)
	r.ShortTerm = readLimits(o.Object("shortTerm"))
	r.Calibration = readCalibration(o.Object("calibration"))
	return r
}

// readRangePart reads the range part: a fraction, a number of digits or counts, or a sum of
// both, such as "8 ppm + 2 digits". Digits stay apart from the fraction, since their size in
// ohms is the resolution's, which may be read later.
func readRangePart(o *file.Object, key string, ofRange, digits *float64) {
	if !o.IsText(key) {
		o.Quantity(key, unit.Fraction, ofRange)
		return
	}
	var text string
	if !o.Text(key, &text) {
		return
	}
	seen := [2]bool{} // a fraction, digits
	for part := range strings.SplitSeq(text, "+") {
		n, isDigits := digitsOf(part)
		to, which := digits, 1
		if !isDigits {
			to, which = ofRange, 0
			var err error
			if n, err = unit.Parse(strings.TrimSpace(part), unit.Fraction); err != nil {
				o.Fail(key, unit.Errorf(ErrSyntax, "%q; expected a fraction of the range, such "+
					"as \"8 ppm\", or digits, such as \"3 digits\" or \"3 counts\", or a sum of "+
					"both", text))
				return
			}
		}
		// Two terms of one kind would be added or one lost; which of them was meant is not
		// known.
		if seen[which] {
			o.Fail(key, unit.Errorf(ErrContradiction, "%q: two terms of one kind; expected one "+
				"fraction, one number of digits, or one of each", text))
			return
		}
		seen[which], *to = true, n
	}
}

// digitsOf reads "3 digits" or "3 counts"; ok is false for anything else, such as a fraction.
func digitsOf(text string) (n float64, ok bool) {
	fields := strings.Fields(text)
	if len(fields) != 2 || !slices.Contains([]string{"digit", "digits", "count", "counts"},
		fields[1]) {
		return 0, false
	}
	n, err := unit.ParseNumber(fields[0])
	return n, err == nil
}

// readLinearity reads a limit in ohms or as a fraction of full scale. Only a text can be a
// fraction: a bare number is in ohms, as everywhere.
func readLinearity(o *file.Object, r *Range) {
	var text string
	if o.IsText("linearity") && o.Text("linearity", &text) {
		if f, err := unit.Parse(text, unit.Fraction); err == nil {
			// Read after the full scale, of which it is a fraction.
			r.Linearity = f * r.FullScale
			return
		}
	}
	o.Quantity("linearity", unit.Ohm, &r.Linearity)
}

// readLimits reads limits of error; nil where the file has none.
func readLimits(o *file.Object) *Limits {
	if o == nil {
		return nil
	}
	l := &Limits{}
	o.Quantity("ofReading", unit.Fraction, &l.OfReading)
	readRangePart(o, "ofRange", &l.OfRange, &l.Digits)
	return l
}

// readCalibration reads what a certificate says of a range; nil where the file has none.
func readCalibration(o *file.Object) *RangeCalibration {
	if o == nil {
		return nil
	}
	c := &RangeCalibration{}
	var date string
	if o.Text("date", &date) {
		t, err := time.Parse(time.DateOnly, date)
		if err != nil {
			o.Fail("date", unit.Errorf(ErrSyntax, "%q; expected a date such as 2026-03-17", date))
		}
		c.Date = t
	}
	o.Require("points")
	for _, p := range o.Objects("points", mostPoints) {
		var x CalibrationPoint
		p.Require("reading")
		p.Require("error")
		p.Require("U")
		p.Quantity("reading", unit.Ohm, &x.Reading)
		p.Quantity("error", unit.Ohm, &x.Error)
		p.Quantity("U", unit.Ohm, &x.U)
		p.Quantity("k", unit.Fraction, &x.K)
		c.Points = append(c.Points, x)
	}
	o.Bool("independent", &c.Independent)
	c.Stability = readLimits(o.Object("stability"))
	return c
}

// jsonMeter and the types after it are the shape of the file, numbers as text with their unit. What
// is not stated is left out, so that a file that was read and written has no keys more.
type jsonMeter struct {
	Name              string      `json:"name,omitempty"`
	Serial            string      `json:"serial,omitempty"`
	Certificate       string      `json:"certificate,omitempty"`
	Due               string      `json:"due,omitempty"`
	Specification     string      `json:"specification,omitempty"`
	Wiring            string      `json:"wiring"`
	Leads             *jsonLeads  `json:"leads,omitempty"`
	Ideal             bool        `json:"ideal,omitempty"`
	Thermometer       string      `json:"thermometer,omitempty"`
	Temperature       string      `json:"temperature,omitempty"`
	Band              string      `json:"band,omitempty"`
	OffsetCompensated bool        `json:"offsetCompensated,omitempty"`
	ThermalEMF        string      `json:"thermalEMF,omitempty"`
	Insulation        string      `json:"insulation,omitempty"`
	Ranges            []jsonRange `json:"ranges"`
}

type jsonLeads struct {
	Resistance    string `json:"resistance,omitempty"`
	Tolerance     string `json:"tolerance,omitempty"`
	Null          string `json:"null,omitempty"`
	NullTolerance string `json:"nullTolerance,omitempty"`
}

type jsonRange struct {
	Name               string  `json:"name"`
	FullScale          string  `json:"fullScale"`
	OverRange          float64 `json:"overRange,omitempty"`
	OfReading          string  `json:"ofReading,omitempty"`
	OfRange            string  `json:"ofRange,omitempty"`
	Combine            string  `json:"combine,omitempty"`
	K                  float64 `json:"k,omitempty"`
	Linearity          string  `json:"linearity,omitempty"`
	Noise              string  `json:"noise,omitempty"`
	Resolution         string  `json:"resolution,omitempty"`
	Current            string  `json:"current,omitempty"`
	OfReadingPerKelvin string  `json:"ofReadingPerKelvin,omitempty"`
	OfRangePerKelvin   string  `json:"ofRangePerKelvin,omitempty"`
	Reference          string  `json:"reference,omitempty"`

	ShortTerm   *jsonLimits      `json:"shortTerm,omitempty"`
	Calibration *jsonCalibration `json:"calibration,omitempty"`
}

type jsonLimits struct {
	OfReading string `json:"ofReading,omitempty"`
	OfRange   string `json:"ofRange,omitempty"`
}

type jsonCalibration struct {
	Date        string      `json:"date,omitempty"`
	Points      []jsonPoint `json:"points"`
	Independent bool        `json:"independent,omitempty"`
	Stability   *jsonLimits `json:"stability,omitempty"`
}

type jsonPoint struct {
	Reading string  `json:"reading"`
	Error   string  `json:"error"`
	U       string  `json:"U"`
	K       float64 `json:"k,omitempty"`
}

// MarshalJSON writes what [ReadMeter] reads.
func (m *Meter) MarshalJSON() ([]byte, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	out := jsonMeter{
		Name: m.Name, Serial: m.Serial, Certificate: m.Certificate, Due: m.Due,
		Specification: m.Specification, Wiring: m.Wiring.String(),
		Ideal: m.Ideal, Thermometer: stated(m.Thermometer, unit.Kelvin),
		Band:              stated(m.Band, unit.Kelvin),
		OffsetCompensated: m.OffsetCompensated, ThermalEMF: stated(m.ThermalEMF, unit.Volt),
		Insulation: stated(m.Insulation, unit.Ohm),
	}
	if m.Temperature != nil {
		out.Temperature = unit.Format(*m.Temperature, unit.Celsius)
	}
	if l := m.Leads; l != (Leads{}) {
		out.Leads = &jsonLeads{stated(l.Resistance, unit.Ohm), stated(l.Tolerance, unit.Ohm), "",
			stated(l.NullTolerance, unit.Ohm)}
		if l.Null != NullNone {
			out.Leads.Null = l.Null.String()
		}
	}
	for _, r := range m.Ranges {
		out.Ranges = append(out.Ranges, r.json())
	}
	return json.Marshal(out)
}

// json is the range as it is written. Over-range and k are pure numbers, and written as such.
func (r Range) json() jsonRange {
	out := jsonRange{
		Name: r.Name, FullScale: unit.Format(r.FullScale, unit.Ohm), OverRange: r.OverRange,
		OfReading: stated(r.OfReading, unit.Fraction),
		OfRange:   r.limits().rangeText(), K: r.K, Linearity: stated(r.Linearity, unit.Ohm),
		Noise:      stated(r.Noise, unit.Ohm),
		Resolution: stated(r.Resolution, unit.Ohm), Current: stated(r.Current, unit.Ampere),
		OfReadingPerKelvin: stated(r.OfReadingPerKelvin, unit.PerKelvin),
		OfRangePerKelvin:   stated(r.OfRangePerKelvin, unit.PerKelvin), Reference: r.Reference,
		ShortTerm: r.ShortTerm.json(),
	}
	if r.Combine != CombineOneLimit {
		out.Combine = r.Combine.String()
	}
	if c := r.Calibration; c != nil {
		out.Calibration = &jsonCalibration{Independent: c.Independent,
			Stability: c.Stability.json()}
		if !c.Date.IsZero() {
			out.Calibration.Date = c.Date.Format(time.DateOnly)
		}
		for _, p := range c.Points {
			out.Calibration.Points = append(out.Calibration.Points,
				jsonPoint{unit.Format(p.Reading, unit.Ohm), unit.Format(p.Error, unit.Ohm),
					unit.Format(p.U, unit.Ohm), p.K})
		}
	}
	return out
}

// json is the limits as they are written; nil, which leaves the key out, where there are none.
func (l *Limits) json() *jsonLimits {
	if l == nil {
		return nil
	}
	return &jsonLimits{stated(l.OfReading, unit.Fraction), l.rangeText()}
}

// rangeText writes the range part as readRangePart reads it: "8 ppm", "3 digits" or a sum.
func (l Limits) rangeText() string {
	switch {
	case l.Digits == 0:
		return stated(l.OfRange, unit.Fraction)
	case l.OfRange == 0:
		return digitsText(l.Digits)
	}
	return stated(l.OfRange, unit.Fraction) + " + " + digitsText(l.Digits)
}

// stated writes a quantity, or nothing for 0: not stated.
func stated(v float64, d unit.Dimension) string {
	if v == 0 {
		return ""
	}
	return unit.Format(v, d)
}
