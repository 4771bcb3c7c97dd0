// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/thermal"
)

func TestLawRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	laws := []thermal.Law{{}, thermal.NewLaw(0, 0.004, 0), thermal.NewLaw(20, 0, 0),
		thermal.NewLaw(25, 4.2e-6, -5.6e-7).Within(0, 60)}
	for range 200 {
		laws = append(laws, thermal.NewLaw(50*r.NormFloat64(), 1e-5*r.NormFloat64(), 1e-7*r.NormFloat64()))
	}
	for _, want := range laws {
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got thermal.Law
		if err := json.Unmarshal(text, &got); err != nil || got != want {
			t.Errorf("%v written as %s, read as %v, %v", want, text, got, err)
		}
	}
}

func TestLawText(t *testing.T) {
	text, err := json.Marshal(thermal.NewLaw(25, 4.2e-6, -5.6e-7).Within(0, 60))
	const want = `{"reference":25,"alpha":0.0000042,"beta":-5.6e-7,"low":0,"high":60}`
	if err != nil || string(text) != want {
		t.Errorf("%s, %v; expected %s", text, err, want)
	}
}

func TestLawRefuses(t *testing.T) {
	if _, err := json.Marshal(thermal.NewLaw(20, math.NaN(), 0)); !errors.Is(err, thermal.ErrNotFinite) {
		t.Errorf("NaN is written: %v", err)
	}
	for text, want := range map[string]error{
		`{"alpha":1e-6}`: thermal.ErrSyntax, `{"reference":20,"low":0}`: thermal.ErrSyntax, `{"reference":20,"gamma":1}`: thermal.ErrUnknown,
		`{"reference":-300}`: thermal.ErrDomain, `{"reference":"20 °C"}`: thermal.ErrSyntax, `[]`: thermal.ErrSyntax, `7`: thermal.ErrSyntax,
	} {
		l := thermal.NewLaw(1, 2, 3)
		if err := json.Unmarshal([]byte(text), &l); !errors.Is(err, want) || l != thermal.NewLaw(1, 2, 3) {
			t.Errorf("%s: %v, law %v", text, err, l)
		}
	}
}

func TestToleranceClassRoundTrip(t *testing.T) {
	for _, want := range []thermal.ToleranceClass{thermal.ClassAA, thermal.ClassA, thermal.ClassB, thermal.ClassC} {
		text, err := json.Marshal(want)
		if err != nil || string(text) != `"`+want.String()+`"` {
			t.Errorf("%v is written %s, %v", want, text, err)
		}
		var got thermal.ToleranceClass
		if err := json.Unmarshal(text, &got); err != nil || got != want {
			t.Errorf("%s is read %v, %v", text, got, err)
		}
	}
	var c thermal.ToleranceClass
	if err := json.Unmarshal([]byte(`"D"`), &c); !errors.Is(err, thermal.ErrUnknown) {
		t.Errorf("class D: %v", err)
	}
	if _, err := json.Marshal(c); !errors.Is(err, thermal.ErrUnknown) {
		t.Errorf("no class is written: %v", err)
	}
}

func TestConstructionRoundTrip(t *testing.T) {
	for want, name := range map[thermal.Construction]string{
		thermal.WireWoundResistor: "wire-wound resistor", thermal.FilmResistor: "film resistor",
		thermal.WireWoundThermometer: "wire-wound thermometer", thermal.FilmThermometer: "film thermometer",
	} {
		text, err := json.Marshal(want)
		if err != nil || string(text) != `"`+name+`"` || want.String() != name {
			t.Errorf("%v is written %s, %v; expected %s", want, text, err, name)
		}
		var got thermal.Construction
		if err := json.Unmarshal(text, &got); err != nil || got != want {
			t.Errorf("%s is read %v, %v", text, got, err)
		}
	}
	var none thermal.Construction
	if err := json.Unmarshal([]byte(`"none"`), &none); !errors.Is(err, thermal.ErrUnknown) {
		t.Errorf("none is read: %v", err)
	}
	for _, c := range []thermal.Construction{0, 9} {
		if _, err := json.Marshal(c); !errors.Is(err, thermal.ErrDomain) {
			t.Errorf("%v is written: %v", c, err)
		}
	}
	if got := none.String() + " " + thermal.Construction(9).String(); got != "none Construction(9)" {
		t.Errorf("no constructions print %q", got)
	}
}
