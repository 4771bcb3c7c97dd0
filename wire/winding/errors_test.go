// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

// What refuses does not change what the refusal is: the causes of the packages are the
// same values.
func TestCausesAreShared(t *testing.T) {
	_, fromThermal := thermal.NewLaw(20, 0.00393, 0).Within(0, 100).Ratio(500)
	_, fromWire := wire.Metric(20)
	_, fromWinding := winding.Pad(100, -1)
	for _, err := range []error{fromThermal, fromWire, fromWinding} {
		for _, cause := range []error{unit.ErrDomain, thermal.ErrDomain, wire.ErrDomain, winding.ErrDomain} {
			if !errors.Is(err, cause) {
				t.Errorf("%v is not %v", err, cause)
			}
		}
	}
	_, fromThermal = thermal.MeanCoefficient(thermal.ResistanceAtTemperature{Resistance: math.NaN(),
		Temperature: 20}, thermal.ResistanceAtTemperature{Resistance: 1, Temperature: 30})
	if !errors.Is(fromThermal, winding.ErrNotFinite) || !errors.Is(fromThermal, wire.ErrNotFinite) {
		t.Errorf("%v; expected the same cause in all packages", fromThermal)
	}
	if e, ok := errors.AsType[*winding.Error](fromWire); !ok || e.Op != "wire.Metric" || e.Value != 20.0 {
		t.Errorf("%+v; expected wire.Metric and 20", e)
	}
}
