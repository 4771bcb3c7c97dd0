// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
)

// A refusal of a floor above is found by the causes of this one, and says where it comes
// from: 500 °C is outside the range of the temperature law.
func TestCauseOfAFloorAbove(t *testing.T) {
	law := thermal.NewLaw(20, 50e-6, 0).Within(-20, 100)
	b := box(t, decade.Spec{Decades: []decade.Decade{{Name: "tens", Step: 10, Law: law}}})
	_, err := at(t, b, 3).TemperatureChange(500)
	e, ok := errors.AsType[*decade.Error](err)
	if !ok || !errors.Is(err, decade.ErrDomain) || e.Op != "decade.Setting.TemperatureChange" {
		t.Fatalf("%v (%T); want a *decade.Error of Setting.TemperatureChange with ErrDomain", err, err)
	}
	if !strings.HasPrefix(err.Error(), "decade.Setting.TemperatureChange: ") ||
		!strings.Contains(err.Error(), "500; expected -20 to 100 °C") {
		t.Errorf("text is %q", err)
	}
}
