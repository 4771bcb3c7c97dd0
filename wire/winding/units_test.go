// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// Every twin of quantities states the unit of its result, whether its arguments state
// theirs or not, and refuses arguments whose units make another kind of quantity.
func TestUnitsOfResults(t *testing.T) {
	for _, stated := range []bool{false, true} {
		in := func(name string, x float64, unit string) uncertainty.Quantity {
			if !stated {
				unit = ""
			}
			return uncertainty.Source{Name: name, Unit: unit, Distribution: uncertainty.Normal(x, 1e-3*x)}.Input()
		}
		r, s, big := in("r", 100, "Ω"), in("s", 105, "Ω"), in("pad", 1e4, "Ω")
		l, d, a, h := in("l", 2, "m"), in("d", 1e-3, "m"), in("a", 0.3, "m"), in("h", 1e-6, "H")
		n, k, p, c := in("n", 50, ""), in("k", 0.9, ""), in("p", 2, "W"), in("c", 1e-11, "F")
		exact := uncertainty.Exact
		for _, c := range []struct {
			name string
			q    uncertainty.Quantity
			unit string
		}{
			{"SolenoidOf.Inductance", winding.SolenoidOf{Turns: n, Radius: exact(0.02), Pitch: in("pitch", 1.5e-3, "m"), Diameter: d}.Inductance(), "H"},
			{"LoopInductanceOf", winding.LoopInductanceOf(a, d, exact(1)), "H"},
			{"RectangleOf.Inductance", winding.RectangleOf{A: l, B: a, Diameter: d, Internal: exact(1)}.Inductance(), "H"},
			{"AyrtonPerryInductanceOf", winding.AyrtonPerryInductanceOf(h, k), "H"},
			{"StraightInductanceOf", winding.StraightInductanceOf(l, d, exact(1)), "H"},
			{"PairOf.Inductance", winding.PairOf{Length: l, Spacing: a, Diameter: d, Internal: exact(1)}.Inductance(), "H"},
			{"PairOf.Capacitance", winding.PairOf{Length: l, Spacing: a, Diameter: d}.Capacitance(exact(3)), "F"},
			{"TimeConstantOf", winding.TimeConstantOf(r, h, c), "s"},
			{"PadOf", winding.PadOf(s, exact(100)), "Ω"},
			{"LinkOf", winding.LinkOf(r, exact(110)), "Ω"},
			{"PaddedOf", winding.PaddedOf(exact(105), big), "Ω"},
			{"PaddedOf, stated", winding.PaddedOf(s, big), "Ω"},
			{"LinkedOf", winding.LinkedOf(exact(100), s), "Ω"},
			{"WireChangeOf", winding.WireChangeOf(r, exact(100), exact(3.2)), "m"},
			{"WireChangeOf, stated", winding.WireChangeOf(r, s, in("per metre", 3.2, "Ω/m")), "m"},
			{"SkinEffectOf.Parameter", winding.SkinEffectOf{Resistivity: exact(1.7e-8), Permeability: exact(1), Frequency: in("f", 1e5, "Hz")}.Parameter(d), "1"},
			{"ResistanceRatioOf", winding.ResistanceRatioOf(k), "1"},
			{"TemperatureRiseOf", winding.TemperatureRiseOf(p, exact(0.01), exact(10)), "K"},
			{"MaxCurrentOf", winding.MaxCurrentOf(p, r), "A"},
		} {
			b, err := uncertainty.Evaluate(c.q)
			if err != nil || b.Unit != c.unit {
				t.Errorf("%s, units stated: %v: %+v, error %v; want the unit %s", c.name, stated, b, err, c.unit)
			}
		}
	}
	mm := uncertainty.Source{Name: "radius", Unit: "mm", Distribution: uncertainty.Normal(20, 0.1)}.Input()
	if _, err := uncertainty.Evaluate(winding.LoopInductanceOf(mm, uncertainty.Exact(1),
		uncertainty.Exact(1))); !errors.Is(err, uncertainty.ErrUnitMismatch) {
		t.Errorf("millimetres for metres: %v", err)
	}
}

// The sensitivities of the twins are the slopes of the functions of numbers, by central
// differences with steps of 1e-5.
func TestGradientsAgainstDifferences(t *testing.T) {
	type numbers = func(x []float64) (float64, error)
	type quantities = func(x []uncertainty.Quantity) uncertainty.Quantity
	solenoid := func(x []float64) (float64, error) {
		return winding.Solenoid{Turns: x[0], Radius: x[1], Pitch: x[2], Diameter: x[3]}.Inductance()
	}
	solenoidOf := func(x []uncertainty.Quantity) uncertainty.Quantity {
		return winding.SolenoidOf{Turns: x[0], Radius: x[1], Pitch: x[2], Diameter: x[3]}.Inductance()
	}
	ratio := func(x []float64) (float64, error) { return winding.ResistanceRatio(x[0]) }
	ratioOf := func(x []uncertainty.Quantity) uncertainty.Quantity {
		return winding.ResistanceRatioOf(x[0])
	}
	for _, c := range []struct {
		name string
		x    []float64
		f    numbers
		of   quantities
	}{
		{"pad", []float64{10500, 10000}, func(x []float64) (float64, error) { return winding.Pad(x[0], x[1]) }, func(x []uncertainty.Quantity) uncertainty.Quantity { return winding.PadOf(x[0], x[1]) }},
		{"link", []float64{99, 100}, func(x []float64) (float64, error) { return winding.Link(x[0], x[1]) }, func(x []uncertainty.Quantity) uncertainty.Quantity { return winding.LinkOf(x[0], x[1]) }},
		{"loop", []float64{0.03, 1e-3, 1}, func(x []float64) (float64, error) { return winding.LoopInductance(x[0], x[1], x[2]) }, func(x []uncertainty.Quantity) uncertainty.Quantity { return winding.LoopInductanceOf(x[0], x[1], x[2]) }},
		{"rectangle", []float64{0.3, 0.1, 1e-3, 0.8}, func(x []float64) (float64, error) {
			return winding.Rectangle{A: x[0], B: x[1], Diameter: x[2], Internal: x[3]}.Inductance()
		}, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.RectangleOf{A: x[0], B: x[1], Diameter: x[2], Internal: x[3]}.Inductance()
		}},
		{"Ayrton–Perry", []float64{1e-6, 0.9}, func(x []float64) (float64, error) { return winding.AyrtonPerryInductance(x[0], x[1]) }, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.AyrtonPerryInductanceOf(x[0], x[1])
		}},
		{"straight", []float64{0.3, 1e-3, 1}, func(x []float64) (float64, error) { return winding.StraightInductance(x[0], x[1], x[2]) }, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.StraightInductanceOf(x[0], x[1], x[2])
		}},
		{"pair", []float64{0.3, 0.05, 1e-2, 1}, func(x []float64) (float64, error) {
			return winding.Pair{Length: x[0], Spacing: x[1], Diameter: x[2], Internal: x[3]}.Inductance()
		}, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.PairOf{Length: x[0], Spacing: x[1], Diameter: x[2], Internal: x[3]}.Inductance()
		}},
		{"pair capacitance", []float64{0.3, 3e-3, 1e-3, 2.3}, func(x []float64) (float64, error) {
			return winding.Pair{Length: x[0], Spacing: x[1], Diameter: x[2]}.Capacitance(x[3])
		}, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.PairOf{Length: x[0], Spacing: x[1], Diameter: x[2]}.Capacitance(x[3])
		}},
		{"time constant", []float64{100, 1e-6, 1e-11}, func(x []float64) (float64, error) {
			return winding.Equivalent{R: x[0], L: x[1], C: x[2]}.TimeConstant()
		}, func(x []uncertainty.Quantity) uncertainty.Quantity { return winding.TimeConstantOf(x[0], x[1], x[2]) }},
		{"skin parameter", []float64{1e-3, 1.7e-8, 1, 1e5}, func(x []float64) (float64, error) {
			return winding.SkinEffect{Resistivity: x[1], Permeability: x[2], Frequency: x[3]}.Parameter(x[0])
		}, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.SkinEffectOf{Resistivity: x[1], Permeability: x[2], Frequency: x[3]}.Parameter(x[0])
		}},
		{"solenoid", []float64{10.5, 0.01, 1e-3, 0.8e-3}, solenoid, solenoidOf},
		{"long solenoid", []float64{400.25, 0.01, 1e-3, 0.8e-3}, solenoid, solenoidOf},
		{"short solenoid", []float64{1.5, 0.3, 1e-3, 1e-3 * (1 - 1e-4)}, solenoid, solenoidOf},
		{"coil of few turns", []float64{4.5, 0.0092, 1e-3, 0.2e-3}, solenoid, solenoidOf}, // u = 4.09
		{"coil of few turns", []float64{4.5, 0.0088, 1e-3, 0.2e-3}, solenoid, solenoidOf}, // u = 3.91
		{"resistance ratio", []float64{0.7}, ratio, ratioOf},
		{"resistance ratio", []float64{3}, ratio, ratioOf},
		{"resistance ratio", []float64{40}, ratio, ratioOf},
		{"resistance ratio", []float64{900}, ratio, ratioOf},
		{"resistance ratio", []float64{1100}, ratio, ratioOf},
		{"rise", []float64{2, 0.01, 10}, func(x []float64) (float64, error) { return winding.TemperatureRise(x[0], x[1], x[2]) }, func(x []uncertainty.Quantity) uncertainty.Quantity {
			return winding.TemperatureRiseOf(x[0], x[1], x[2])
		}},
		{"current", []float64{2, 100}, func(x []float64) (float64, error) { return winding.MaxCurrent(x[0], x[1]) }, func(x []uncertainty.Quantity) uncertainty.Quantity { return winding.MaxCurrentOf(x[0], x[1]) }},
	} {
		in := make([]uncertainty.Quantity, len(c.x))
		for i, x := range c.x {
			in[i] = uncertainty.Input(string(rune('a'+i)), uncertainty.Normal(x, 1e-6*x))
		}
		b, err := uncertainty.Evaluate(c.of(in))
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for i, row := range b.Components {
			h := 1e-5 * c.x[i]
			var y [2]float64
			for side := range y {
				x := append([]float64(nil), c.x...)
				x[i] += h * float64(2*side-1)
				if y[side], err = c.f(x); err != nil {
					t.Fatalf("%s: %v", c.name, err)
				}
			}
			// The error of the difference: h² f'''/6, and rounding of f over h.
			if slope := (y[1] - y[0]) / (2 * h); math.Abs(row.Sensitivity-slope) > 1e-7*math.Abs(
				slope)+1e-9*math.Abs(b.Estimate/c.x[i]) {
				t.Errorf("%s: derivative %d is %v; the difference %v", c.name, i, row.Sensitivity, slope)
			}
		}
	}
}

// A gain of 2 % that the meter has in both readings cancels in the pad: its sensitivity is
// that of the true difference, not of the far larger one of each reading.
func TestPadOfReadingsWithOneGain(t *testing.T) {
	gain := uncertainty.Input("gain", uncertainty.Normal(1, 0.02))
	r, target := gain.Mul(uncertainty.Exact(1020)), gain.Mul(uncertainty.Exact(1000))
	b, err := uncertainty.Evaluate(winding.PadOf(r, target))
	if err != nil {
		t.Fatal(err)
	}
	// pad = gain·1020·1000/20
	if want := 0.02 * 51000; math.Abs(b.StandardUncertainty/want-1) > 1e-9 {
		t.Errorf("u = %v; want %v", b.StandardUncertainty, want)
	}
}
