// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"math"
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
