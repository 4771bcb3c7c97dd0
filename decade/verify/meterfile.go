// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"io"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

const (
	largestMeterFile = 1 << 20 // bytes
	mostRanges       = 1000
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
// "5 mΩ"}. Further keys: "zeroShare", "thermalEMF" and "insulation" of the meter; "k",
// "ofReadingPerKelvin", "ofRangePerKelvin" and "reference" of a range. They are the
// fields of [Meter] and [Range].
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
	o.Optional("zeroShare", unit.Fraction, &m.ZeroShare)
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

func readRange(o *file.Object) (r Range) {
	o.Require("name")
	o.Require("fullScale")
	o.Text("name", &r.Name)
	o.Quantity("fullScale", unit.Ohm, &r.FullScale)
	o.Quantity("overRange", unit.Fraction, &r.OverRange)
	o.Quantity("ofReading", unit.Fraction, &r.OfReading)
	o.Quantity("ofRange", unit.Fraction, &r.OfRange)
	o.Quantity("k", unit.Fraction, &r.K)
	o.Quantity("resolution", unit.Ohm, &r.Resolution)
	o.Quantity("current", unit.Ampere, &r.Current)
	o.Quantity("ofReadingPerKelvin", unit.PerKelvin, &r.OfReadingPerKelvin)
	o.Quantity("ofRangePerKelvin", unit.PerKelvin, &r.OfRangePerKelvin)
	o.Text("reference", &r.Reference)
	return r
}

type jsonMeter struct {
	Name              string      `json:"name,omitempty"`
	Serial            string      `json:"serial,omitempty"`
	Certificate       string      `json:"certificate,omitempty"`
	Due               string      `json:"due,omitempty"`
	Specification     string      `json:"specification,omitempty"`
	Wiring            string      `json:"wiring"`
	Leads             *jsonLeads  `json:"leads,omitempty"`
	ZeroShare         *float64    `json:"zeroShare,omitempty"`
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
	K                  float64 `json:"k,omitempty"`
	Resolution         string  `json:"resolution,omitempty"`
	Current            string  `json:"current,omitempty"`
	OfReadingPerKelvin string  `json:"ofReadingPerKelvin,omitempty"`
	OfRangePerKelvin   string  `json:"ofRangePerKelvin,omitempty"`
	Reference          string  `json:"reference,omitempty"`
}

// MarshalJSON writes what [ReadMeter] reads.
func (m *Meter) MarshalJSON() ([]byte, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	out := jsonMeter{
		Name: m.Name, Serial: m.Serial, Certificate: m.Certificate, Due: m.Due, Specification: m.Specification, Wiring: m.Wiring.String(),
		ZeroShare: m.ZeroShare, Thermometer: stated(m.Thermometer, unit.Kelvin), Band: stated(m.Band, unit.Kelvin),
		OffsetCompensated: m.OffsetCompensated, ThermalEMF: stated(m.ThermalEMF, unit.Volt), Insulation: stated(m.Insulation, unit.Ohm),
	}
	if m.Temperature != nil {
		out.Temperature = unit.Format(*m.Temperature, unit.Celsius)
	}
	if l := m.Leads; l != (Leads{}) {
		out.Leads = &jsonLeads{stated(l.Resistance, unit.Ohm), stated(l.Tolerance, unit.Ohm), "", stated(l.NullTolerance, unit.Ohm)}
		if l.Null != NullNone {
			out.Leads.Null = l.Null.String()
		}
	}
	for _, r := range m.Ranges {
		out.Ranges = append(out.Ranges, jsonRange{
			Name: r.Name, FullScale: unit.Format(r.FullScale, unit.Ohm), OverRange: r.OverRange, OfReading: stated(r.OfReading, unit.Fraction),
			OfRange: stated(r.OfRange, unit.Fraction), K: r.K, Resolution: stated(r.Resolution, unit.Ohm), Current: stated(r.Current, unit.Ampere),
			OfReadingPerKelvin: stated(r.OfReadingPerKelvin, unit.PerKelvin), OfRangePerKelvin: stated(r.OfRangePerKelvin, unit.PerKelvin), Reference: r.Reference,
		})
	}
	return json.Marshal(out)
}

// stated writes a quantity, or nothing for 0: not stated.
func stated(v float64, d unit.Dimension) string {
	if v == 0 {
		return ""
	}
	return unit.Format(v, d)
}
