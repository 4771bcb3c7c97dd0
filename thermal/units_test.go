// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// Every twin of quantities states the unit of its result, whether its arguments state
// theirs or not, and refuses arguments whose units make another kind of quantity.
func TestUnitsOfResults(t *testing.T) {
	for _, stated := range []bool{false, true} {
		in := func(name string, x float64, unit string) uncertainty.Quantity {
			if !stated {
				unit = ""
			}
			return uncertainty.Source{Name: name, Unit: unit, Distribution: uncertainty.Normal(x, 1e-6)}.Input()
		}
		r1, r2 := in("r1", 100, "Ω"), in("r2", 100.4, "Ω")
		t1, t2 := in("t1", 20, "°C"), in("t2", 30, "°C")
		i1, i2 := in("i1", 1e-3, "A"), in("i2", 3e-3, "A")
		v1, v2 := in("v1", 0.1, "V"), in("v2", -0.1, "V")
		exact := uncertainty.Exact
		law := thermal.UncertainLaw{Reference: 20, Alpha: in("alpha", 1e-5, "1/K"), Beta: in("beta", -5e-7, "1/K²")}
		element := thermal.UncertainElement{Resistance: r1, Law: law, ThermalResistance: in("Rth", 50, "K/W")}
		sensor := thermal.Platinum(100)
		for _, c := range []struct {
			name string
			q    uncertainty.Quantity
			unit string
		}{
			{"CurrentReversalOf", thermal.CurrentReversalOf(i1, v1, v2), "Ω"},
			{"CurrentReversalOf, exact current", thermal.CurrentReversalOf(exact(1e-3), v1, v2), "Ω"},
			{"EMFErrorOf", thermal.EMFErrorOf(v1, exact(1e-3)), "Ω"},
			{"OffsetCompensatedOf", thermal.OffsetCompensatedOf(thermal.VoltageAtCurrentOf{Voltage: v1, Current: i1}, thermal.VoltageAtCurrentOf{Voltage: v2, Current: exact(0)}), "Ω"},
			{"MeanCoefficientOf", thermal.MeanCoefficientOf(thermal.ResistanceAtTemperatureOf{Resistance: r1, Temperature: t1}, thermal.ResistanceAtTemperatureOf{Resistance: r2, Temperature: t2}), "1/K"},
			{"BoxCoefficientOf", thermal.BoxCoefficientOf(20, []uncertainty.Quantity{t1, t2}, []uncertainty.Quantity{r1, exact(101)}), "1/K"},
			{"ZeroPowerOf", thermal.ZeroPowerOf(thermal.ResistanceAtCurrentOf{Resistance: r1, Current: i1}, thermal.ResistanceAtCurrentOf{Resistance: r2, Current: exact(3e-3)}), "Ω"},
			{"PowerCoefficientOf", thermal.PowerCoefficientOf(thermal.ResistanceAtCurrentOf{Resistance: r1, Current: i1}, thermal.ResistanceAtCurrentOf{Resistance: r2, Current: i2}), "1/W"},
			{"Law.RatioOf", thermal.NewLaw(20, 1e-5, 0).RatioOf(t1), "1"},
			{"Law.ChangeOf", thermal.NewLaw(20, 1e-5, 0).ChangeOf(exact(20), t2), "1"},
			{"UncertainLaw.ChangeOf", law.ChangeOf(exact(20), t2), "1"},
			{"Law.CorrectOf", thermal.NewLaw(20, 1e-5, 0).CorrectOf(r1, exact(20), t2), "Ω"},
			{"UncertainLaw.RatioOf", law.RatioOf(t2), "1"},
			{"UncertainLaw.Correct", law.Correct(exact(100), t1, t2), "Ω"},
			{"UncertainElement.RiseOf", element.RiseOf(t1, i2), "K"},
			{"Sensor.ResistanceOf", sensor.ResistanceOf(t1), "Ω"},
			{"Sensor.ValueOf", sensor.ValueOf(r2), "°C"},
			{"ConstantanEMFOf", thermal.ConstantanEMFOf(t2), "V"},
		} {
			b, err := uncertainty.Evaluate(c.q)
			if err != nil || b.Unit != c.unit {
				t.Errorf("%s, units stated: %v: %+v, error %v; want the unit %s", c.name, stated, b, err, c.unit)
			}
		}
	}
	current := uncertainty.Source{Name: "current", Unit: "A", Distribution: uncertainty.Normal(1, 0.1)}.Input()
	if _, err := uncertainty.Evaluate(thermal.EMFErrorOf(current, uncertainty.Exact(1).InUnit("A"))); !errors.Is(err, uncertainty.ErrUnitMismatch) {
		t.Errorf("amperes for an EMF: %v", err)
	}
}
