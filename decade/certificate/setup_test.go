// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// parties are invented.
const parties = `{
	"number": "demo 93/2026",
	"received": "2026-02-26", "issued": "2026-03-05",
	"laboratory": {"name": "Resistance bench of the demonstration", "code": "X-00", "street": "Bench Lane", "number": "3",
		"postCode": "00100", "city": "Exampleton", "province": "Middle", "country": "FI", "email": "bench@example.com", "phone": "+358 0"},
	"persons": [{"name": "A. Example", "role": "calibration", "signs": true}, {"name": "B. Example"}],
	"customer": {"name": "School of the demonstration", "city": "Exampleton", "country": "FI"},
	"item": {"maker": "workshop", "model": "two dials", "inventory": "I-7"},
	"environment": {"temperature": {"low": "22.8 °C", "high": 23.2}, "humidity": {"low": "41 %", "high": "46 %"}},
	"repair": ["Contacts of dial ×10 cleaned.", "Element 3 of dial ×10 replaced."],
	"remarks": ["The knob of dial ×1 is loose."]
}`

func readParties(t testing.TB, text string) *certificate.Parties {
	t.Helper()
	p, err := certificate.ReadParties(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func twoDials(t testing.TB) *decade.Box { return box(t, "two dials", "T-2") }

// box has two dials, with a class for them and the residual.
func box(t testing.TB, name, serial string) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{
		Name: name, Serial: serial, Residual: 0.01, ResidualTolerance: 0.005, Contact: 1e-4,
		Decades: []decade.Decade{{Name: "×10", Step: 10, Positions: 4, Tolerance: 1e-3},
			{Step: 1, Positions: 3, Tolerance: 1e-3}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// report is of readings after the recommended plan, in each stage with the third element of the
// first dial off by what is given; +Inf: open.
func report(t testing.TB, b *decade.Box, off map[verify.Stage]float64) *verify.Report {
	t.Helper()
	m := &verify.Meter{
		Name: "laboratory meter", Serial: "M-1", Certificate: "demo 4/2026",
		Wiring: verify.WiringFourWire,
		Ranges: []verify.Range{{Name: "100 Ω", FullScale: 100, OfReading: 2e-5, OfRange: 1e-5,
			Resolution: 1e-5}},
	}
	plan, err := verify.NewPlan(b, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	var readings []verify.Reading
	when := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	for _, stage := range []verify.Stage{verify.StageAsFound, verify.StageAsLeft} {
		third, read := off[stage]
		if !read {
			continue
		}
		for i, step := range plan.Steps {
			s := step.Setting
			value := s.Nominal()*(1+2e-5) + 0.0112 + 1e-5*float64(i%3)
			r := verify.Reading{Setting: s, Dialling: step.Dialling, Stage: stage,
				Session: stage.String(), Time: when}
			when = when.Add(time.Hour)
			switch {
			case s.Position(0) < 3:
			case third > 1e9:
				r.Overload, value = true, 0
			default:
				value += third
			}
			if !r.Overload {
				r.Values = []float64{value}
			}
			readings = append(readings, r)
		}
	}
	out, err := verify.Evaluate(b, m, readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func newCertificate(t testing.TB, r *verify.Report,
	p *certificate.Parties) *certificate.Certificate {
	t.Helper()
	c, err := certificate.New(r, p)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func write(t testing.TB, c *certificate.Certificate) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := c.WriteXML(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// repaired is a certificate of a box whose element was high by 0.2 Ω and was replaced.
func repaired(t testing.TB) *certificate.Certificate {
	off := map[verify.Stage]float64{verify.StageAsFound: 0.2, verify.StageAsLeft: 0.01}
	return newCertificate(t, report(t, twoDials(t), off), readParties(t, parties))
}

var noInterval uncertainty.Interval
