// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
)

// At 10 µA the change is a part in 10¹³ of the resistance, and keeps its digits: it goes
// with the square of the current. The peak of the law, where the slope is 0, too.
func TestSelfHeatingOfMicroamperes(t *testing.T) {
	for name, law := range map[string]thermal.Law{
		"slope": thermal.NewLaw(20, 2e-5, -3e-7), "peak": thermal.NewLaw(23, 0, -5e-7),
	} {
		b := box(t, decade.Spec{ReferenceTemperature: new(23.0),
			Decades: []decade.Decade{{Step: 100, ThermalResistance: 50, Law: law}}})
		s := at(t, b, 3)
		slope := law.Alpha() + 2*law.Beta()*(23-law.Reference())
		base, err := law.Ratio(23) // the law counts from its own reference
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range []float64{1e-5, 1e-4, 1e-3} {
			got, err := s.SelfHeating(i)
			if err != nil {
				t.Fatal(err)
			}
			rise := 100 * i * i * 50
			want := 3 * 100 / base * rise * (slope + law.Beta()*rise)
			if math.Abs(got-want) > 1e-6*math.Abs(want) {
				t.Errorf("%s, %v A: %v Ω; want %v", name, i, got, want)
			}
		}
	}
}

// A current that no box survives has no change of resistance: the law would answer with one of
// a resistor that is no longer there.
func TestSelfHeatingBeyondTheBox(t *testing.T) {
	b := box(t, decade.Spec{ReferenceTemperature: new(20.0), Decades: []decade.Decade{{Step: 1000,
		ThermalResistance: 80, Law: thermal.NewLaw(20, 8e-6, -0.5e-6)}}})
	s := at(t, b, 1)
	// 300 K at 80 K/W are 3.75 W in about 955 Ω.
	if _, err := s.SelfHeating(0.0620); err != nil {
		t.Error(err)
	}
	for _, i := range []float64{0.0640, 1, 100} {
		if v, err := s.SelfHeating(i); !errors.Is(err, decade.ErrDomain) || v != 0 ||
			!strings.Contains(err.Error(), "warms it by 300 K at most") {
			t.Errorf("%v A: %v, %v", i, v, err)
		}
	}
}
