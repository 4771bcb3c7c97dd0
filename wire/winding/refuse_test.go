// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// call is a function with arguments that it accepts.
type call struct {
	f      func(x []float64) (float64, error)
	good   []float64
	zeroOK []int // arguments that may be 0
}

func calls() map[string]call {
	w := winding.Cylinder(0.01, 0.03)
	e := func(x []float64) winding.Equivalent { return winding.Equivalent{R: x[0], L: x[1], C: x[2]} }
	value := func(t winding.Trim, err error) (float64, error) { return t.Value, err }
	first := func(t []winding.Trim, err error) (float64, error) {
		if err != nil {
			return 0, err
		}
		return t[0].Value, nil
	}
	one := func(f func(float64) (float64, error)) func([]float64) (float64, error) {
		return func(x []float64) (float64, error) { return f(x[0]) }
	}
	two := func(f func(a, b float64) (float64, error)) func([]float64) (float64, error) {
		return func(x []float64) (float64, error) { return f(x[0], x[1]) }
	}
	three := func(f func(a, b, c float64) (float64, error)) func([]float64) (float64, error) {
		return func(x []float64) (float64, error) { return f(x[0], x[1], x[2]) }
	}
	four := func(f func(a, b, c, d float64) (float64, error)) func([]float64) (float64, error) {
		return func(x []float64) (float64, error) { return f(x[0], x[1], x[2], x[3]) }
	}
	width := func(i uncertainty.Interval, err error) (float64, error) { return i.Upper - i.Lower, err }
	return map[string]call{
		"SkinEffect.Depth": {three(func(r, p, f float64) (float64, error) {
			return winding.SkinEffect{Resistivity: r, Permeability: p, Frequency: f}.Depth()
		}), []float64{1e-8, 1, 50}, nil},
		"SkinEffect.Parameter": {four(func(d, r, p, f float64) (float64, error) {
			return winding.SkinEffect{Resistivity: r, Permeability: p, Frequency: f}.Parameter(d)
		}), []float64{1e-3, 1e-8, 1, 50}, nil},
		"ResistanceRatio":         {one(winding.ResistanceRatio), []float64{1}, []int{0}},
		"ResistanceIncrease":      {one(winding.ResistanceIncrease), []float64{1}, []int{0}},
		"InternalInductanceRatio": {one(winding.InternalInductanceRatio), []float64{1}, []int{0}},
		"ProximityFactor":         {one(winding.ProximityFactor), []float64{1}, []int{0}},
		"SkinEffect.DiameterForIncrease": {four(func(i, r, p, f float64) (float64, error) {
			return winding.SkinEffect{Resistivity: r, Permeability: p, Frequency: f}.DiameterForIncrease(i)
		}), []float64{0.01, 1e-8, 1, 1e5}, nil},
		"NagaokaCoefficient":     {one(winding.NagaokaCoefficient), []float64{1}, []int{0}},
		"CurrentSheetInductance": {three(winding.CurrentSheetInductance), []float64{10, 0.01, 0.02}, nil},
		"Solenoid.Inductance": {four(func(n, r, p, d float64) (float64, error) {
			return winding.Solenoid{Turns: n, Radius: r, Pitch: p, Diameter: d}.Inductance()
		}), []float64{10, 0.01, 1e-3, 0.8e-3}, nil},
		"WireCorrection":         {one(winding.WireCorrection), []float64{0.9}, nil},
		"TurnsCorrection":        {one(winding.TurnsCorrection), []float64{9}, nil},
		"WheelerInductance":      {three(winding.WheelerInductance), []float64{10, 0.01, 0.02}, nil},
		"StraightInductance":     {three(winding.StraightInductance), []float64{1, 1e-3, 1}, []int{2}},
		"PairInductancePerMetre": {three(winding.PairInductancePerMetre), []float64{2e-3, 1e-3, 1}, []int{2}},
		"ClosePair":              {two(winding.ClosePairInductancePerMetre), []float64{2e-3, 1e-3}, nil},
		"Pair.Inductance": {four(func(l, s, d, i float64) (float64, error) {
			return winding.Pair{Length: l, Spacing: s, Diameter: d, Internal: i}.Inductance()
		}), []float64{1, 2e-3, 1e-3, 1}, []int{3}},
		"Pair.HandbookInductance": {four(func(l, s, d, i float64) (float64, error) {
			return winding.Pair{Length: l, Spacing: s, Diameter: d, Internal: i}.HandbookInductance()
		}), []float64{1, 2e-3, 1e-3, 1}, []int{3}},
		"Pair.Capacitance": {four(func(l, s, d, e float64) (float64, error) {
			return winding.Pair{Length: l, Spacing: s, Diameter: d}.Capacitance(e)
		}), []float64{1, 2e-3, 1e-3, 3}, nil},
		"LoopInductance":        {three(winding.LoopInductance), []float64{0.1, 1e-3, 1}, []int{2}},
		"LoopInductanceRefined": {two(winding.LoopInductanceRefined), []float64{0.1, 1e-3}, nil},
		"Rectangle.Inductance": {four(func(a, b, d, i float64) (float64, error) {
			return winding.Rectangle{A: a, B: b, Diameter: d, Internal: i}.Inductance()
		}), []float64{0.1, 0.2, 1e-3, 1}, []int{3}},
		"AyrtonPerryInductance": {two(winding.AyrtonPerryInductance), []float64{1e-4, 0.98}, []int{1}},
		"SelfCapacitance":       {two(winding.SelfCapacitance), []float64{0.01, 0.02}, nil},
		"StripTimeConstant":     {three(winding.StripTimeConstant), []float64{5e-5, 1e-4, 4.9e-7}, nil},
		"TemperatureRise":       {three(winding.TemperatureRise), []float64{1, 0.01, 10}, []int{0}},
		"PowerForRise":          {three(winding.PowerForRise), []float64{1, 0.01, 10}, nil},
		"Loading":               {two(winding.Loading), []float64{1, 0.01}, []int{0}},
		"MaxCurrent":            {two(winding.MaxCurrent), []float64{1, 10}, nil},
		"Pad":                   {two(winding.Pad), []float64{1001, 1000}, nil},
		"Link":                  {two(winding.Link), []float64{999, 1000}, nil},
		"Padded":                {func(x []float64) (float64, error) { return value(winding.Padded(x[0], x[1])) }, []float64{1001, 1e6}, nil},
		"Linked":                {func(x []float64) (float64, error) { return value(winding.Linked(x[0], x[1])) }, []float64{999, 1}, nil},
		"Pads":                  {func(x []float64) (float64, error) { return first(winding.Pads(x[0], x[1], winding.E24)) }, []float64{1001, 1000}, nil},
		"Links":                 {func(x []float64) (float64, error) { return first(winding.Links(x[0], x[1], winding.E24)) }, []float64{999, 1000}, nil},
		"PadRange":              {func(x []float64) (float64, error) { return width(winding.PadRange(x[0], x[1], x[2])) }, []float64{1001, 1000, 1e-4}, []int{2}},
		"LinkRange":             {func(x []float64) (float64, error) { return width(winding.LinkRange(x[0], x[1], x[2])) }, []float64{999, 1000, 1e-4}, []int{2}},
		"WireChange":            {three(winding.WireChange), []float64{99, 100, 13}, nil},
		"TimeConstant":          {func(x []float64) (float64, error) { return e(x).TimeConstant() }, []float64{100, 1e-6, 1e-12}, []int{1, 2}},
		"Line.TimeConstant":     {func(x []float64) (float64, error) { return winding.Line(e(x)).TimeConstant() }, []float64{100, 1e-6, 1e-12}, []int{1, 2}},
		"Impedance": {func(x []float64) (float64, error) { z, err := e(x).Impedance(x[3]); return z.Magnitude, err },
			[]float64{100, 1e-6, 1e-12, 1e6}, []int{1, 2}},
		"Line.Impedance": {func(x []float64) (float64, error) {
			z, err := winding.Line(e(x)).Impedance(x[3])
			return z.Magnitude, err
		},
			[]float64{100, 1e-6, 1e-12, 1e6}, []int{1, 2}},
		"FrequencyForMagnitude": {func(x []float64) (float64, error) { return e(x).FrequencyForMagnitude(x[3]) }, []float64{100, 1e-6, 1e-12, 0.01}, []int{1, 2}},
		"FrequencyForPhase":     {func(x []float64) (float64, error) { return e(x).FrequencyForPhase(x[3]) }, []float64{100, 1e-6, 1e-12, 0.01}, []int{1, 2}},
		"ZeroTimeConstant":      {func(x []float64) (float64, error) { return e(x).CapacitanceForZeroTimeConstant() }, []float64{100, 1e-6, 1e-12}, []int{1, 2}},
		"FlatMagnitude":         {func(x []float64) (float64, error) { return e(x).CapacitanceForFlatMagnitude() }, []float64{100, 1e-6, 1e-12}, []int{1, 2}},
		"Wind":                  {func(x []float64) (float64, error) { l, err := w.Wind(x[0], x[1], x[2]); return l.Turns, err }, []float64{1, 1e-3, 2e-3}, []int{2}},
		"WireLength":            {func(x []float64) (float64, error) { l, err := w.WireLength(x[0], x[1], x[2]); return l.Turns, err }, []float64{10, 1e-3, 2e-3}, []int{2}},
		"Former": {func(x []float64) (float64, error) {
			l, err := winding.Former{Diameter: x[0], Length: x[1]}.Wind(1, 1e-3, 0)
			return l.Turns, err
		}, []float64{0.03, 0.03}, nil},
		"Surface": {func(x []float64) (float64, error) {
			return winding.Former{Diameter: x[0]}.Surface(winding.Lay{Width: x[1], Build: x[2]})
		}, []float64{0.03, 0.03, 1e-3}, []int{2}},
		"Bifilar": {func(x []float64) (float64, error) {
			r, err := winding.Winding{
				Construction: winding.BifilarWinding, Former: winding.Cylinder(x[0], x[1]), Ohms: x[2], Turns: x[3],
				Wire: winding.Wire{Bare: x[4], Covered: x[5]},
			}.Residuals()
			return r.L, err
		}, []float64{0.01, 0.03, 10, 20, 0.3e-3, 0.4e-3}, nil},
		"pitch and permittivities": {func(x []float64) (float64, error) {
			r, err := winding.Winding{
				Former: winding.Card(0.02, 1e-3, 0.03), Ohms: 10, Turns: 10, Pitch: x[0], Medium: x[1],
				Wire: winding.Wire{Bare: 0.3e-3, Covered: 0.4e-3, Permittivity: x[2], Resistivity: x[3], Permeability: x[4]},
			}.Residuals()
			return r.L, err
		}, []float64{0.8e-3, 2, 3, 4e-7, 2}, []int{0, 1, 2, 3, 4}},
		"WithWire": {func(x []float64) (float64, error) {
			w, err := winding.Winding{Former: w, Ohms: 10, Wire: winding.Wire{Bare: 0.3e-3, Covered: 0.4e-3}}.WithWire(x[0])
			return w.Turns, err
		}, []float64{1}, nil},
		"Circles": {func(x []float64) (float64, error) {
			return winding.Circles{Radius1: x[0], Radius2: x[1], Distance: 0.01}.MutualInductance()
		}, []float64{0.25, 0.2}, nil},
		"Filaments": {func(x []float64) (float64, error) {
			return winding.Filaments{Length1: x[0], Length2: x[1], Distance: x[2]}.MutualInductance()
		}, []float64{0.25, 0.2, 0.01}, nil},
		"Around": {func(x []float64) (float64, error) { b, _, err := winding.E24.Around(x[0]); return b, err }, []float64{5}, nil},
		"Limits": {func(x []float64) (float64, error) {
			t := winding.Trim{Part: x[0], Added: x[1]}
			return width(t.Limits(x[2]))
		}, []float64{1000, 10, 0.05}, []int{2}},
	}
}

// Every argument of every function refuses NaN, the infinities, negative numbers, and zero where
// that has no meaning; with an error that names function and argument, and no number.
func TestEveryArgumentIsChecked(t *testing.T) {
	for name, c := range calls() {
		if v, err := c.f(c.good); err != nil || v == 0 || math.IsNaN(v) {
			t.Errorf("%s(%v) = %v, %v", name, c.good, v, err)
		}
		for i := range c.good {
			for bad, want := range map[float64]error{
				math.Inf(1): winding.ErrNotFinite, math.Inf(-1): winding.ErrNotFinite, -1: winding.ErrDomain, 0: winding.ErrDomain,
			} {
				zeroOK := false
				for _, k := range c.zeroOK {
					zeroOK = zeroOK || k == i
				}
				if bad == 0 && zeroOK {
					continue
				}
				refused(t, name, c, i, bad, want)
			}
			refused(t, name, c, i, math.NaN(), winding.ErrNotFinite)
		}
	}
}

func refused(t *testing.T, name string, c call, i int, bad float64, want error) {
	t.Helper()
	x := append([]float64(nil), c.good...)
	x[i] = bad
	v, err := c.f(x)
	e, ok := errors.AsType[*winding.Error](err)
	if !errors.Is(err, want) || !ok || v != 0 || e.Name == "" || !strings.HasPrefix(err.Error(), "winding.") {
		t.Errorf("%s(%v) = %v, %v; want %v", name, x, v, err, want)
	}
}

// Huge and tiny arguments give numbers or errors, never NaN or infinities.
func TestNoNaNOut(t *testing.T) {
	for name, c := range calls() {
		for i := range c.good {
			for _, extreme := range []float64{1e-308, 1e-200, 1e-30, 1e30, 1e200, 1e308,
				math.SmallestNonzeroFloat64, math.MaxFloat64} {
				x := append([]float64(nil), c.good...)
				x[i] = extreme
				v, err := c.f(x)
				if name == "PadRange" && math.IsInf(v, 1) {
					continue // the range is open
				}
				if math.IsNaN(v) || math.IsInf(v, 0) || err != nil && v != 0 {
					t.Errorf("%s(%v) = %v, %v", name, x, v, err)
				}
			}
		}
	}
}

func TestDomains(t *testing.T) {
	f := func(_ float64, err error) error { return err }
	lay := func(_ winding.Lay, err error) error { return err }
	w := winding.Cylinder(0.01, 0.03)
	_, limits := winding.Trim{Part: 1, Added: 1, Parallel: true}.Limits(5)
	_, padRange := winding.PadRange(1001, 1000, 1)
	_, _, series := winding.Series(7).Around(5)
	_, _, tiny := winding.E24.Around(1e-12)
	_, law := winding.Trim{Share: math.NaN()}.Law(thermal.Law{}, thermal.Law{})
	for name, c := range map[string]struct{ err, want error }{
		"shortest coil":          {f(winding.NagaokaCoefficient(1e9)), winding.ErrDomain},
		"overlapping wires":      {f(winding.WireCorrection(1.01)), winding.ErrDomain},
		"wire beyond pitch":      {f(winding.Solenoid{Turns: 10, Radius: 0.01, Pitch: 1e-3, Diameter: 1.1e-3}.Inductance()), winding.ErrDomain},
		"wire thicker than coil": {f(winding.Solenoid{Turns: 10, Radius: 0.01, Pitch: 0.05, Diameter: 0.03}.Inductance()), winding.ErrDomain},
		"half a turn":            {f(winding.TurnsCorrection(0.5)), winding.ErrDomain},
		"too many turns":         {f(winding.Solenoid{Turns: 2e6, Radius: 0.01, Pitch: 1e-3, Diameter: 1e-3}.Inductance()), winding.ErrDomain},
		"stub of wire":           {f(winding.StraightInductance(1e-3, 2e-3, 1)), winding.ErrDomain},
		"overlapping pair":       {f(winding.Pair{Length: 1, Spacing: 1e-3, Diameter: 2e-3, Internal: 1}.Inductance()), winding.ErrDomain},
		"short pair":             {f(winding.Pair{Length: 1e-3, Spacing: 2e-3, Diameter: 1e-3, Internal: 1}.Inductance()), winding.ErrDomain},
		"touching pair":          {f(winding.Pair{Length: 1, Spacing: 1e-3, Diameter: 1e-3}.Capacitance(1)), winding.ErrDomain},
		"thick loop":             {f(winding.LoopInductance(1e-3, 2e-3, 1)), winding.ErrDomain},
		"thick rectangle":        {f(winding.Rectangle{A: 0.1, B: 1e-3, Diameter: 2e-3, Internal: 1}.Inductance()), winding.ErrDomain},
		"coupling":               {f(winding.AyrtonPerryInductance(1, 1.1)), winding.ErrDomain},
		"flat coil":              {f(winding.SelfCapacitance(1, 0.05)), winding.ErrDomain},
		"long coil":              {f(winding.SelfCapacitance(1, 51)), winding.ErrDomain},
		"a pad cannot raise":     {f(winding.Pad(999, 1000)), winding.ErrUnreachable},
		"nor keep":               {f(winding.Pad(1000, 1000)), winding.ErrUnreachable},
		"a link cannot lower":    {f(winding.Link(1001, 1000)), winding.ErrUnreachable},
		"tolerance in per cent":  {limits, winding.ErrDomain},
		"within in per cent":     {padRange, winding.ErrDomain},
		"no such series":         {series, winding.ErrDomain},
		"tiny value":             {tiny, winding.ErrDomain},
		"share":                  {law, winding.ErrNotFinite},
		"pitch below covered":    {lay(w.Wind(1, 1e-3, 0.5e-3)), winding.ErrDomain},
		"former in millimetres":  {lay(winding.Cylinder(6, 12).Wind(1, 1e-3, 0)), winding.ErrDomain},
		"card in millimetres":    {lay(winding.Card(10e-3, 1, 20).Wind(1, 1e-3, 0)), winding.ErrDomain},
		"no room":                {lay(w.Wind(1, 0.05, 0)), winding.ErrDomain},
		"absurd length":          {lay(w.Wind(1e12, 1e-3, 0)), winding.ErrDomain},
		"absurd turns":           {lay(w.WireLength(1e12, 1e-3, 0)), winding.ErrDomain},
		"phase of 90°":           {f(winding.Equivalent{R: 1, L: 1}.FrequencyForPhase(2)), winding.ErrDomain},
		"100 %":                  {f(winding.Equivalent{R: 1, L: 1}.FrequencyForMagnitude(1)), winding.ErrDomain},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: %v", name, c.err)
		}
	}
}

// The twins of quantities have the estimates of the numbers, and carry their errors.
func TestOfQuantities(t *testing.T) {
	q := func(x []float64) []uncertainty.Quantity {
		var qs []uncertainty.Quantity
		for _, v := range x {
			qs = append(qs, uncertainty.Exact(v))
		}
		return qs
	}
	all := calls()
	for name, f := range map[string]func(a []uncertainty.Quantity) uncertainty.Quantity{
		"Solenoid.Inductance": func(a []uncertainty.Quantity) uncertainty.Quantity {
			return winding.SolenoidOf{Turns: a[0], Radius: a[1], Pitch: a[2], Diameter: a[3]}.Inductance()
		},
		"StraightInductance": func(a []uncertainty.Quantity) uncertainty.Quantity {
			return winding.StraightInductanceOf(a[0], a[1], a[2])
		},
		"Pair.Inductance": func(a []uncertainty.Quantity) uncertainty.Quantity {
			return winding.PairOf{Length: a[0], Spacing: a[1], Diameter: a[2], Internal: a[3]}.Inductance()
		},
		"Pair.Capacitance": func(a []uncertainty.Quantity) uncertainty.Quantity {
			return winding.PairOf{Length: a[0], Spacing: a[1], Diameter: a[2]}.Capacitance(a[3])
		},
		"LoopInductance": func(a []uncertainty.Quantity) uncertainty.Quantity { return winding.LoopInductanceOf(a[0], a[1], a[2]) },
		"Rectangle.Inductance": func(a []uncertainty.Quantity) uncertainty.Quantity {
			return winding.RectangleOf{A: a[0], B: a[1], Diameter: a[2], Internal: a[3]}.Inductance()
		},
		"TimeConstant": func(a []uncertainty.Quantity) uncertainty.Quantity { return winding.TimeConstantOf(a[0], a[1], a[2]) },
		"MaxCurrent":   func(a []uncertainty.Quantity) uncertainty.Quantity { return winding.MaxCurrentOf(a[0], a[1]) },
		"Padded":       func(a []uncertainty.Quantity) uncertainty.Quantity { return winding.PaddedOf(a[0], a[1]) },
		"Linked":       func(a []uncertainty.Quantity) uncertainty.Quantity { return winding.LinkedOf(a[0], a[1]) },
		"WireChange":   func(a []uncertainty.Quantity) uncertainty.Quantity { return winding.WireChangeOf(a[0], a[1], a[2]) },
	} {
		c := all[name]
		want := must[float64](t)(c.f(c.good))
		got := f(q(c.good))
		if got.Err() != nil || !near(got.Estimate(), want, 1e-14) {
			t.Errorf("%sOf: %v, want %v", name, got, want)
		}
		if name == "Padded" || name == "Linked" || name == "WireChange" {
			continue // plain arithmetic of quantities
		}
		bad := append([]float64(nil), c.good...)
		bad[0] = -1
		if err := f(q(bad)).Err(); !errors.Is(err, winding.ErrDomain) {
			t.Errorf("%sOf of -1: %v", name, err)
		}
	}
}

// A limit that is none is named with what it has to be, and a text does not end in a blank.
func TestRefusalsSayWhatIsExpected(t *testing.T) {
	_, magnitude := winding.Equivalent{R: 1, L: 1}.FrequencyForMagnitude(5)
	_, former := winding.Cylinder(6, 12e-3).Wind(1, 1e-3, 0)
	_, depth := winding.SkinEffect{Resistivity: 1.7e-8, Frequency: 1e6}.Depth()
	for want, err := range map[string]error{
		"expected less than 1":                                            magnitude,
		"expected at most 2 m; is it in millimetres?":                     former,
		"winding.SkinEffect.Depth: permeability: 0; expected more than 0": depth,
	} {
		if err == nil || !strings.HasSuffix(err.Error(), want) {
			t.Errorf("%v; want it to end in %q", err, want)
		}
	}
}
