// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

func calibratedSpec() decade.Spec {
	return decade.Spec{
		Name: "bench box", Serial: "17", Residual: 0.02, ResidualTolerance: 0.005, Contact: 0.001,
		Decades: []decade.Decade{
			{Name: "×10", Step: 10, Positions: 3, Tolerance: 0.001},
			{Name: "×1", Step: 1, Code: decade.Code1225(), Tolerance: 0.002},
		},
	}
}

// measuredValues has every element 1 % high, the residual 15 mΩ, and one gain for all.
func measuredValues(b *decade.Box) []uncertainty.Quantity {
	gain := uncertainty.Source{Name: "gain", Distribution: uncertainty.Normal(0, 1e-4), ID: "meter/gain"}.Input()
	value := func(name string, ohms float64) uncertainty.Quantity {
		own := uncertainty.Input("reading of "+name, uncertainty.Normal(0, 1e-3))
		return uncertainty.Linear(ohms, []float64{ohms, 1}, []uncertainty.Quantity{gain, own}).Named(name)
	}
	out := []uncertainty.Quantity{value(decade.ResidualName, 0.015)}
	for d, dec := range b.Decades() {
		for e := 1; e <= dec.NumElements(); e++ {
			out = append(out, value(b.ElementName(d, e), 1.01*dec.Step*float64(dec.Weight(e))))
		}
	}
	return out
}

func calibrated(t testing.TB) (box, measured *decade.Box, c *decade.Calibration) {
	t.Helper()
	box, err := decade.New(calibratedSpec())
	if err != nil {
		t.Fatal(err)
	}
	c = &decade.Calibration{
		Box: "bench box", Serial: "17", Date: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC),
		Values: uncertainty.Record{ID: "bench box 17 2026-03-01", Quantities: measuredValues(box)},
	}
	if measured, err = box.With(c); err != nil {
		t.Fatal(err)
	}
	return box, measured, c
}

// Estimates are taken as ohms: values in another unit, or beyond any resistor, are refused.
func TestWithRefusesUnitsAndMagnitudes(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1000, Positions: 1}}})
	with := func(symbol string, v float64) error {
		name := b.ElementName(0, 1)
		c := &decade.Calibration{Values: uncertainty.Record{Quantities: []uncertainty.Quantity{
			uncertainty.Exact(0).InUnit("Ω").Named(decade.ResidualName),
			uncertainty.Source{Name: name, Unit: symbol, Distribution: uncertainty.Normal(v, 1e-3)}.Input().Named(name),
		}}}
		_, err := b.With(c)
		return err
	}
	for _, symbol := range []string{"kΩ", "mΩ", "V", "1"} {
		if err := with(symbol, 1.0001); !errors.Is(err, unit.ErrUnitMismatch) {
			t.Errorf("a value in %q: %v; want ErrUnitMismatch", symbol, err)
		}
	}
	for _, symbol := range []string{"Ω", ""} {
		if err := with(symbol, 1000.1); err != nil {
			t.Errorf("a value in %q: %v", symbol, err)
		}
	}
	if err := with("Ω", 1e30); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("1e30 Ω: %v; want ErrDomain", err)
	}
}

func TestCalibratedValues(t *testing.T) {
	box, measured, _ := calibrated(t)
	for s := range measured.Settings() {
		want := 0.015 + 1.01*s.Nominal()
		if got := s.Value(); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: value %v, want %v", s, got, want)
		}
		b, err := uncertainty.Evaluate(s.Resistance())
		if err != nil {
			t.Fatal(err)
		}
		// The gain is common, each element and the residual has a reading of its own, each
		// contact in the path a fresh draw.
		n := 1
		for range s.Elements() {
			n++
		}
		wantU := math.Sqrt(math.Pow(1e-4*want, 2) + float64(n)*1e-6 + float64(s.Contacts())*1e-6)
		if math.Abs(b.Estimate-want) > 1e-12 || math.Abs(b.StandardUncertainty-wantU) > 1e-12 {
			t.Errorf("%v: %v, u %v; want %v, u %v", s, b.Estimate, b.StandardUncertainty, want, wantU)
		}
		plain, err := s.On(box)
		if err != nil {
			t.Fatal(err)
		}
		if s.Nominal() != plain.Nominal() || s.Limits() != plain.Limits() {
			t.Errorf("%v: nominal value or limits changed", s)
		}
		if got, want := plain.Value(), 0.02+plain.Nominal(); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v of the box itself: value %v, want %v", plain, got, want)
		}
	}
}

// The nominal values of positions are those of the settings.
func TestNominalPositions(t *testing.T) {
	for _, included := range []bool{false, true} {
		spec := calibratedSpec()
		spec.ResidualIncluded = included
		box, err := decade.New(spec)
		if err != nil {
			t.Fatal(err)
		}
		for s := range box.Settings() {
			total := 0.0
			if s.AllZero() || !included {
				total = spec.Residual
			}
			for d, e := range s.Elements() {
				total += float64(spec.Decades[d].Weight(e)) * spec.Decades[d].Step
			}
			if math.Abs(s.Value()-total) > 1e-12 {
				t.Errorf("%v, included %v: value %v, sum of elements %v", s, included, s.Value(), total)
			}
		}
	}
}

func TestCalibrationFile(t *testing.T) {
	box, measured, c := calibrated(t)
	text, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	var boxes []*decade.Box
	for range 2 {
		back, err := decade.ReadCalibration(strings.NewReader(string(text)))
		if err != nil {
			t.Fatal(err)
		}
		if !back.Date.Equal(c.Date) || back.Values.ID != c.Values.ID {
			t.Errorf("read %+v", back)
		}
		b, err := box.With(back)
		if err != nil {
			t.Fatal(err)
		}
		boxes = append(boxes, b)
	}
	for s := range measured.Settings() {
		var r []uncertainty.Quantity
		for _, b := range boxes {
			on, err := s.On(b)
			if err != nil {
				t.Fatal(err)
			}
			r = append(r, on.Resistance())
		}
		for _, d := range []uncertainty.Quantity{r[0].Sub(r[1]), r[0].Sub(s.Resistance())} {
			b, err := uncertainty.Evaluate(d)
			if err != nil {
				t.Fatal(err)
			}
			if b.Estimate != 0 || b.StandardUncertainty > 1e-18 {
				t.Errorf("%v: difference of a calibration read twice, or and its original: %v, u "+
					"%v; want 0", s, b.Estimate, b.StandardUncertainty)
			}
		}
	}
	if got := boxes[0].Calibration(); got == nil || got.Values.ID != c.Values.ID {
		t.Errorf("calibration of the box: %+v", got)
	}
	if box.Calibration() != nil {
		t.Error("the box itself has a calibration")
	}
}

// The temperature law acts on what was measured.
func TestCalibratedTemperature(t *testing.T) {
	spec := calibratedSpec()
	spec.Decades[0].Law = thermal.NewLaw(20, 1e-5, 0)
	box, err := decade.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	_, _, c := calibrated(t)
	measured, err := box.With(c)
	if err != nil {
		t.Fatal(err)
	}
	s, err := measured.At(2, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := s.TemperatureChange(30); err != nil || math.Abs(got-20.2e-4) > 1e-15 {
		t.Errorf("%v, %v; want 20.2 Ω · 10 K · 10 ppm/K", got, err)
	}
}

func TestWithRefuses(t *testing.T) {
	box, _, c := calibrated(t)
	change := func(f func(c *decade.Calibration)) *decade.Calibration {
		out := *c
		out.Values.Quantities = measuredValues(box)
		f(&out)
		return &out
	}
	for _, tc := range []struct {
		name string
		c    *decade.Calibration
		text string
	}{
		{"none", nil, "no calibration"},
		{"other box", change(func(c *decade.Calibration) { c.Box = "shelf" }), `of box "shelf", serial "17"; expected one of box "bench box", serial "17"`},
		{"other serial", change(func(c *decade.Calibration) { c.Serial = "18" }), `serial "18"`},
		{"element missing", change(func(c *decade.Calibration) { c.Values.Quantities = c.Values.Quantities[:4] }), "no value of ×1 element 1, ×1 element 2, ×1 element 3, ×1 element 4; expected the residual and all 7 elements"},
		{"nothing", change(func(c *decade.Calibration) { c.Values.Quantities = nil }), "residual, ×10 element 1, ×10 element 2, ×10 element 3 and 4 more"},
		{"one too many", change(func(c *decade.Calibration) {
			c.Values.Quantities = append(c.Values.Quantities, uncertainty.Exact(1).Named("×1 element 5"))
		}), `"×1 element 5"`},
		{"twice", change(func(c *decade.Calibration) { c.Values.Quantities = append(c.Values.Quantities, c.Values.Quantities[1]) }), "×10 element 1: twice"},
	} {
		_, err := box.With(tc.c)
		if !errors.Is(err, decade.ErrCalibration) || !strings.Contains(err.Error(), tc.text) {
			t.Errorf("%s: %v", tc.name, err)
		}
	}
	bad := change(func(c *decade.Calibration) {
		c.Values.Quantities[2] = uncertainty.Exact(math.NaN()).Named("×10 element 2")
	})
	if _, err := box.With(bad); err == nil || !strings.Contains(err.Error(), "×10 element 2") {
		t.Errorf("a value that is not finite: %v", err)
	}
	var none *decade.Box
	if _, err := none.With(c); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("nil box: %v", err)
	}
}

func TestReadCalibrationRefuses(t *testing.T) {
	for name, text := range map[string]string{
		"empty": " ", "no JSON": "{", "other JSON": `{"box": "b", "serials": "1"}`, "behind": `{"box": "b"} {}`,
		"no record": `{"box": "b", "values": {"id": ""}}`, "list": "[]",
	} {
		if c, err := decade.ReadCalibration(strings.NewReader(text)); err == nil {
			t.Errorf("%s: %+v; want an error", name, c)
		} else if _, ok := errors.AsType[*decade.Error](err); !ok {
			t.Errorf("%s: %T %v; want *decade.Error", name, err, err)
		}
	}
	if _, err := decade.ReadCalibration(nil); err == nil {
		t.Error("nil reader: want an error")
	}
}

func ExampleBox_With() {
	box, err := decade.New(decade.Spec{Name: "two steps",
		Decades: []decade.Decade{{Name: "×10", Step: 10, Positions: 2, Tolerance: 0.001}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	// What a certificate says, U with k = 2. Package calibrate makes one from readings.
	value := func(name string, ohms, U float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: "Ω", Distribution: uncertainty.Certificate(ohms, U, 2)}.Input()
	}
	measured, err := box.With(&decade.Calibration{Box: "two steps",
		Values: uncertainty.Record{ID: "two steps 2026", Quantities: []uncertainty.Quantity{
			value("residual", 0.012, 0.001), value("×10 element 1", 10.003, 0.0006), value("×10 element 2", 9.998, 0.0006),
		}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for s := range measured.Settings() {
		b, err := uncertainty.Evaluate(s.Resistance())
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v: nominal %v Ω, measured %s\n", s, s.Nominal(), b.PlusMinus(2))
	}
	// Output:
	// 0: nominal 0 Ω, measured (0.01200 ± 0.00098) Ω
	// 1: nominal 10 Ω, measured (10.0150 ± 0.0011) Ω
	// 2: nominal 20 Ω, measured (20.0130 ± 0.0013) Ω
}

// Whatever is read can be written and read again; nothing panics.
func FuzzReadCalibration(f *testing.F) {
	box, err := decade.New(calibratedSpec())
	if err != nil {
		f.Fatal(err)
	}
	text, err := json.Marshal(decade.Calibration{Box: "bench box", Serial: "17",
		Values: uncertainty.Record{ID: "r", Quantities: measuredValues(box)}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(text)) // a whole calibration
	f.Add(`{"box": "bench box", "serial": "17", "date": "2026-03-01T00:00:00Z", "values": {"id": "r", "quantities": [{"name": "residual", "estimate": 1e999}]}}`)
	f.Add(`{"date": "yesterday"}`)
	f.Add(`{"values": null}`)
	f.Fuzz(func(t *testing.T, text string) {
		c, err := decade.ReadCalibration(strings.NewReader(text))
		if err != nil {
			return
		}
		if _, err := box.With(c); err != nil && !errors.Is(err, decade.ErrCalibration) {
			t.Errorf("With: %v", err)
		}
		if c.Values.ID == "" {
			return // no record in the file
		}
		again, err := json.Marshal(c)
		if err != nil {
			t.Fatalf("written again: %v", err)
		}
		if _, err := decade.ReadCalibration(strings.NewReader(string(again))); err != nil {
			t.Errorf("read again: %v", err)
		}
	})
}
