// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// The resistance of a fitted law is in the unit of its readings, whatever that of the
// temperatures; readings in two units are refused.
func TestFitLawOfUnits(t *testing.T) {
	readings := func(symbols ...string) (temperatures, resistances []uncertainty.Quantity) {
		for i, symbol := range symbols {
			at := float64(20 + 5*i)
			temperatures = append(temperatures, uncertainty.Source{
				Name: fmt.Sprintf("t%d", i), Unit: "°C", Distribution: uncertainty.Normal(at, 0.01),
			}.Input())
			resistances = append(resistances, uncertainty.Source{
				Name: fmt.Sprintf("R%d", i), Unit: symbol,
				Distribution: uncertainty.Normal(1+0.004*(at-20), 1e-5),
			}.Input())
		}
		return temperatures, resistances
	}
	temperatures, resistances := readings("kΩ", "kΩ", "kΩ")
	fit, err := FitLawOf(20, 1, temperatures, resistances)
	if err != nil {
		t.Fatal(err)
	}
	b, err := uncertainty.Evaluate(fit.Resistance)
	if err != nil || b.Unit != "kΩ" || math.Abs(b.Estimate-1) > 1e-12 {
		t.Errorf("resistance %v %q, %v; want 1 kΩ", b.Estimate, b.Unit, err)
	}
	temperatures, resistances = readings("Ω", "kΩ", "Ω")
	fit, err = FitLawOf(20, 1, temperatures, resistances)
	if err == nil {
		_, err = uncertainty.Evaluate(fit.Resistance)
	}
	if !errors.Is(err, uncertainty.ErrUnitMismatch) {
		t.Errorf("readings in Ω and kΩ: %v", err)
	}
}
