// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"math"
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
	if _, err := uncertainty.Evaluate(thermal.EMFErrorOf(current,
		uncertainty.Exact(1).InUnit("A"))); !errors.Is(err, uncertainty.ErrUnitMismatch) {
		t.Errorf("amperes for an EMF: %v", err)
	}
}

// Figures in multiples of units, and temperatures in kelvin: the result is the same resistance in
// the unit that it states, or it is refused; never a number of ohms that are kiloohms. The values
// are those of the functions of numbers in SI units.
func TestArgumentsInMultiplesOfUnits(t *testing.T) {
	in := func(name string, x float64, symbol string) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: symbol, Distribution: uncertainty.Normal(x, 1e-6*x)}.Input()
	}
	exact := uncertainty.Exact
	law := thermal.NewLaw(20, 4e-3, 0)
	table, err := thermal.NewTableLaw([]thermal.RatioAtTemperature{{Temperature: 0, Ratio: 0.92},
		{Temperature: 20, Ratio: 1}, {Temperature: 40, Ratio: 1.08}}, thermal.InterpolationLinear)
	if err != nil {
		t.Fatal(err)
	}
	kilohms := in("R", 0.1, "kΩ")
	warm := in("t", 30, "°C")
	alpha := thermal.UncertainLaw{Reference: 20, Alpha: in("alpha", 4e-3, "1/K")}
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		unit string
		want float64
	}{
		// 100 Ω at 20 °C is 104 Ω at 30 °C.
		{"Law.CorrectOf", law.CorrectOf(kilohms, exact(20), warm), "kΩ", 0.104},
		{"UncertainLaw.Correct", alpha.Correct(kilohms, exact(20), warm), "kΩ", 0.104},
		{"TableLaw.CorrectOf", table.CorrectOf(kilohms, exact(20), warm), "kΩ", 0.104},
		{"Rebase, α", alpha.Rebase(30).Alpha, "1/K", 4e-3 / 1.04},
		{"Rebase, β", alpha.Rebase(30).Beta, "1/K²", 0},
	} {
		b, err := uncertainty.Evaluate(c.q)
		if err != nil || b.Unit != c.unit || math.Abs(b.Estimate-c.want) > 1e-12 {
			t.Errorf("%s: %v, error %v; want %v %s", c.name, b, err, c.want, c.unit)
		}
	}
	fit, err := thermal.FitLawOf(20, 1, []uncertainty.Quantity{exact(20), exact(30)},
		[]uncertainty.Quantity{exact(100), exact(104)})
	if err != nil {
		t.Fatal(err)
	}
	if b, err := uncertainty.Evaluate(fit.Resistance); err != nil || b.Unit != "Ω" {
		t.Errorf("resistance of a fit of plain numbers: %+v, %v", b, err)
	}
	if b, err := uncertainty.Evaluate(fit.Law.Alpha); err != nil || b.Unit != "1/K" ||
		math.Abs(b.Estimate-4e-3) > 1e-12 {
		t.Errorf("coefficient of a fit of plain numbers: %+v, %v", b, err)
	}
	kelvin, parts := in("T", 303.15, "K"), in("alpha", 4000, "ppm/K")
	wide := thermal.UncertainLaw{Reference: 20, Alpha: parts}
	element := thermal.UncertainElement{Resistance: kilohms, ThermalResistance: exact(50), Law: alpha}
	at := func(r, i uncertainty.Quantity) thermal.ResistanceAtCurrentOf {
		return thermal.ResistanceAtCurrentOf{Resistance: r, Current: i}
	}
	for name, q := range map[string]uncertainty.Quantity{
		"a temperature in K":            law.RatioOf(kelvin),
		"a change to one in K":          law.ChangeOf(exact(20), kelvin),
		"α in ppm/K":                    wide.RatioOf(warm),
		"a change by α in ppm/K":        wide.ChangeOf(exact(20), warm),
		"a thermometer at 303 K":        thermal.Platinum(100).ResistanceOf(kelvin),
		"a thermometer of kΩ":           thermal.Platinum(1).ValueOf(in("R", 1.1, "kΩ")),
		"a couple at 303 K":             thermal.ConstantanEMFOf(kelvin),
		"heat of kΩ":                    element.RiseOf(exact(20), exact(1e-3)),
		"heat by mA":                    thermal.UncertainElement{Resistance: exact(100), ThermalResistance: exact(50)}.RiseOf(exact(20), in("I", 1, "mA")),
		"a coefficient for each mA²·kΩ": thermal.PowerCoefficientOf(at(in("r1", 1, "kΩ"), in("i1", 1, "mA")), at(in("r2", 1.001, "kΩ"), in("i2", 10, "mA"))),
	} {
		if b, err := uncertainty.Evaluate(q); !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("%s: %v, error %v", name, b, err)
		}
	}
}
