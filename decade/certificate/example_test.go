// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate_test

import (
	"bytes"
	"errors"
	"fmt"
	"log"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// oneDial is a report on a box with three steps of 100 Ω, read once at each position, twice at
// zero and once more at the end.
func oneDial() *verify.Report {
	box, err := decade.New(decade.Spec{
		Name: "one dial", Serial: "D-1", Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002,
		Decades: []decade.Decade{{Name: "×100", Step: 100, Positions: 3, Tolerance: 0.001}},
	})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Name: "bench meter", Serial: "M-9", Wiring: verify.WiringFourWire,
		OffsetCompensated: true,
		Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OfReading: 5e-5, OfRange: 5e-6,
			Resolution: 0.001}}}
	var readings []verify.Reading
	for i, r := range []struct {
		position int
		ohms     float64
	}{{0, 0.021}, {1, 100.023}, {2, 200.02}, {3, 300.031}, {0, 0.022}} {
		s, err := box.At(r.position)
		if err != nil {
			log.Fatal(err)
		}
		readings = append(readings, verify.Reading{Setting: s, Values: []float64{r.ohms},
			Time: time.Date(2026, 3, 2, 9, i, 0, 0, time.UTC), Temperature: new(22.9)})
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	return report
}

// bench are parties as code makes them; most programs read them from a file.
func bench() *certificate.Parties {
	return &certificate.Parties{
		Number:     "demo 1/2026",
		Laboratory: certificate.Contact{Name: "Bench 4", City: "Exampleton", Country: "FI"},
		Persons:    []certificate.Person{{Name: "A. Example", Signs: true}},
		Customer:   certificate.Contact{Name: "School", City: "Exampleton", Country: "FI"},
	}
}

func exampleCertificate() *certificate.Certificate {
	c, err := certificate.New(oneDial(), bench())
	if err != nil {
		log.Fatal(err)
	}
	return c
}

// A certificate states what the readings give, rounded once.
// From a report and the parties to a certificate in XML, and back.
func Example() {
	c, err := certificate.New(oneDial(), bench())
	if err != nil {
		log.Fatal(err)
	}
	var file bytes.Buffer
	if err := c.WriteXML(&file); err != nil {
		log.Fatal(err)
	}
	read, err := certificate.Read(&file)
	if err != nil {
		log.Fatal(err)
	}
	row := read.Results[0].Rows[1]
	fmt.Printf("%s, %s: %s %v Ω, U = %v Ω; the box %v\n",
		read.Number, read.Box, row.Setting, row.Value, row.U, read.Verdict())
	// Output:
	// demo 1/2026, one dial: 1 100.001 Ω, U = 0.011 Ω; the box conforms
}

func ExampleNew() {
	c, err := certificate.New(oneDial(), bench())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(c.Box, c.Serial, c.Begin.Format(time.DateOnly), c.Temperature.Lower, "°C")
	fmt.Println(c.Verdict())
	_, err = certificate.New(oneDial(), &certificate.Parties{Number: "2"})
	fmt.Println(err)
	// Output:
	// one dial D-1 2026-03-02 22.9 °C
	// conforms
	// certificate.New: laboratory.name: not stated; expected it, since a certificate must name it
}

func ExampleCertificate() {
	c := exampleCertificate()
	for _, r := range c.Results {
		for _, row := range r.Rows {
			fmt.Printf("%s: %v Ω, U = %v Ω (k = %v, %v), limits %v to %v Ω: %v\n",
				row.Setting, row.Value, row.U, row.K, row.P, row.Limits.Lower, row.Limits.Upper,
				row.Verdict)
		}
	}
	// Output:
	// 0: 0.0215 Ω, U = 0.0059 Ω (k = 1.84, 0.95), limits 0.01 to 0.03 Ω: conforms
	// 1: 100.001 Ω, U = 0.011 Ω (k = 1.96, 0.95), limits 99.9 to 100.1 Ω: conforms
	// 2: 199.998 Ω, U = 0.017 Ω (k = 1.96, 0.95), limits 199.8 to 200.2 Ω: conforms
	// 3: 300.009 Ω, U = 0.022 Ω (k = 1.96, 0.95), limits 299.7 to 300.3 Ω: conforms
}

// The file is read by whatever knows the schema; its digits are those of the certificate.
func ExampleCertificate_WriteXML() {
	var file bytes.Buffer
	if err := exampleCertificate().WriteXML(&file); err != nil {
		log.Fatal(err)
	}
	for line := range strings.Lines(file.String()) {
		if strings.Contains(line, "uniqueIdentifier") || strings.Contains(line, "ExpandedMU") {
			fmt.Println(strings.TrimSpace(line))
		}
	}
	// Output:
	// <dcc:uniqueIdentifier>demo 1/2026</dcc:uniqueIdentifier>
	// <si:valueExpandedMUXMLList>0.0059</si:valueExpandedMUXMLList>
	// <si:valueExpandedMUXMLList>0.011 0.017 0.022</si:valueExpandedMUXMLList>
}

func ExampleCertificate_Verdict() {
	c := exampleCertificate()
	fmt.Println(c.Verdict(), c.Rule)
	// Output:
	// conforms guard band w = 1·U on each side of a limit, U at 95 %
}

func ExampleResult_Verdict() {
	for _, r := range exampleCertificate().Results {
		fmt.Println(r.Stage, r.Verdict(), len(r.Rows))
	}
	// Output:
	// as found conforms 4
}

func ExampleRow() {
	row := exampleCertificate().Results[0].Rows[2]
	fmt.Println(row.Dial, row.Setting, row.Nominal, row.Value, row.U, row.Judged)
	// Output:
	// ×100 2 200 199.998 0.017 true
}

func ExampleEquipment() {
	for _, e := range exampleCertificate().Equipment {
		fmt.Println(e.Name, e.Serial)
	}
	// Output:
	// bench meter M-9
}

// What is written is read back as it was.
func ExampleRead() {
	var file bytes.Buffer
	if err := exampleCertificate().WriteXML(&file); err != nil {
		log.Fatal(err)
	}
	c, err := certificate.Read(&file)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(c.Number, c.Laboratory.Name, c.Results[0].Rows[1].Value)
	// Output:
	// demo 1/2026 Bench 4 100.001
}

func ExampleReadParties() {
	p, err := certificate.ReadParties(strings.NewReader(`{
		"number": "demo 1/2026",
		"laboratory": {"name": "Bench 4", "city": "Exampleton", "country": "FI"},
		"persons": [{"name": "A. Example", "signs": true}],
		"customer": {"name": "School", "city": "Exampleton", "country": "FI"},
		"environment": {"temperature": {"low": "22.8 °C", "high": "23.2 °C"}, "humidity": {"low": "41 %", "high": "46 %"}}
	}`))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(p.Laboratory.Name, p.Persons[0].Name, p.Temperature, p.Humidity)
	// Output:
	// Bench 4 A. Example [22.8, 23.2] [0.41, 0.46]
}

func ExampleParties() {
	p := bench()
	p.Temperature = uncertainty.Interval{Lower: 22.8, Upper: 23.2} // °C; else from the readings
	p.Issued = time.Date(2026, 3, 5, 0, 0, 0, 0, time.UTC)
	c, err := certificate.New(oneDial(), p)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(c.Place, c.Temperature, c.Issued.Format(time.DateOnly))
	// Output:
	// laboratory [22.8, 23.2] 2026-03-05
}

func ExampleContact() {
	p := bench()
	p.Customer = certificate.Contact{Name: "School", City: "Exampleton", Country: "Finland"}
	_, err := certificate.New(oneDial(), p)
	text, _, _ := strings.Cut(err.Error(), " (ISO")
	fmt.Println(text)
	// Output:
	// certificate.New: customer.country: "Finland"; expected two capital letters
}

func ExamplePerson() {
	p := bench()
	p.Persons = append(p.Persons, certificate.Person{Role: "deputy"})
	_, err := certificate.New(oneDial(), p)
	fmt.Println(err)
	// Output:
	// certificate.New: persons[1].name: not stated; expected it, since a certificate must name it
}

func ExampleError() {
	_, err := certificate.New(oneDial(), &certificate.Parties{Number: "demo 1/2026"})
	if e, ok := errors.AsType[*certificate.Error](err); ok {
		fmt.Println(e.Name, errors.Is(err, certificate.ErrNotStated))
	}
	// Output:
	// laboratory.name true
}
