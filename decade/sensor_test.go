// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// fine is a box in steps of 10 mΩ that shows nothing at zero.
func fine() decade.Spec {
	return decade.Spec{Decades: steps(0.0002, 100, 10, 1, 0.1, 0.01)}
}

// A box in steps of 10 mΩ against the table of IEC 60751: the setting is the printed value.
func TestPublishedSensorTable(t *testing.T) {
	b := box(t, fine())
	for _, c := range []struct {
		celsius float64
		printed string
	}{{-200, "18.52"}, {15, "105.85"}, {20, "107.79"}, {35, "113.61"}} {
		rows, err := b.SensorTable(context.Background(), decade.StandIn{Sensor: thermal.Platinum(100)}, c.celsius, c.celsius, 1, decade.Search{})
		if err != nil {
			t.Fatal(err)
		}
		seen(fmt.Sprintf("Pt100 at %v °C", c.celsius), "IEC 60751, table of resistances", "R0 = 100 Ω, in Ω", c.printed).Run(t, rows[0].Setting.Nominal())
	}
}

// What ohms in series do to a platinum thermometer, from the slope of IEC 60751.
func TestPublishedSensorError(t *testing.T) {
	pt := thermal.Platinum(100)
	for _, c := range []struct {
		name             string
		celsius, extra   float64
		printed, printIn string
	}{
		{"leads of 2 × 50 mΩ at 25 °C", 25, 0.1, "0.258", "K"},
		{"leads of 2 × 50 mΩ at 100 °C", 100, 0.1, "0.264", "K"},
		{"residual of 30 mΩ", 25, 0.03, "0.08", "K"},
		{"half of a step of 0.1 Ω", 0, 0.05, "0.13", "K"},
		{"half of a step of 0.01 Ω", 0, 0.005, "0.013", "K"},
	} {
		e, err := decade.SensorError(pt, c.celsius, c.extra)
		if err != nil {
			t.Fatal(err)
		}
		common(c.name, "ΔR over the slope of Pt100, in "+c.printIn, c.printed).Run(t, e)
	}
}

func TestSensorTable(t *testing.T) {
	spec := bench()
	pt := thermal.Platinum(100)
	for name, b := range map[string]*decade.Box{"nominal": box(t, spec), "measured": measuredBox(t, spec, spread(rand.New(rand.NewPCG(15, 0)), 0.001))} {
		rows, err := b.SensorTable(context.Background(), decade.StandIn{Sensor: pt, Leads: decade.SensorLeads{Wires: 2, Each: 0.025}}, -50, 150, 12.5, decade.Search{})
		if err != nil || len(rows) != 17 || rows[16].Value != 150 {
			t.Fatalf("%s: %d rows, %v", name, len(rows), err)
		}
		for _, row := range rows {
			r, _ := pt.Resistance(row.Value)
			least := math.Inf(1)
			for s := range b.Settings() {
				least = min(least, math.Abs(s.Value()+0.05-r))
			}
			if got := math.Abs(row.Setting.Value() + 0.05 - r); got > least+1e-12 || row.Resistance != r {
				t.Errorf("%s, %v °C: %v is %v Ω off; want %v", name, row.Value, row.Setting, got, least)
			}
			shown, err := pt.Value(row.Setting.Value() + 0.05)
			if err != nil || math.Abs(row.Error-(shown-row.Value)) > 1e-9 {
				t.Errorf("%s, %v °C: error %v K; want %v", name, row.Value, row.Error, shown-row.Value)
			}
			slope, _ := pt.Slope(row.Value)
			if u := halfInterval(t, row.Setting.Resistance()) / slope; math.Abs(row.U/u-1) > 1e-9 {
				t.Errorf("%s, %v °C: U = %v K; want %v", name, row.Value, row.U, u)
			}
			// Above it, the linear one of the temperature: k·u is never far below the interval.
			if q := evaluate(t, pt.ValueOf(row.Setting.Resistance().Add(uncertainty.Exact(0.05)))); row.U > 1.05*q.Expanded.U || row.U < 0.8*q.Expanded.U {
				t.Errorf("%s, %v °C: U = %v K; by k·u %v", name, row.Value, row.U, q.Expanded.U)
			}
		}
	}
}

// Up to the end of the curve, where the setting may lie beyond it.
func TestSensorTableAtTheEnd(t *testing.T) {
	rows, err := box(t, bench()).SensorTable(context.Background(), decade.StandIn{Sensor: thermal.Platinum(100)}, 850, 850, 1, decade.Search{})
	if err != nil || math.Abs(rows[0].Error) > 0.18 || rows[0].Error == 0 {
		t.Errorf("%+v, %v", rows, err)
	}
}

// 51 steps of 850/51 °C add up to more than 850 °C in float64, where the curve ends.
func TestSensorTableRoundedSteps(t *testing.T) {
	x := decade.StandIn{Sensor: thermal.Platinum(100)}
	rows, err := box(t, fine()).SensorTable(t.Context(), x, 0, 850, 850.0/51, decade.Search{})
	if err != nil || len(rows) != 52 || rows[51].Value != 850 {
		t.Errorf("%d rows, %v; want 52, to 850 °C", len(rows), err)
	}
}

func TestSensorTableStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	x := decade.StandIn{Sensor: thermal.Platinum(100)}
	rows, err := box(t, fine()).SensorTable(ctx, x, 0, 100, 1, decade.Search{})
	if !errors.Is(err, context.Canceled) || rows != nil {
		t.Errorf("%d rows, %v; want %v", len(rows), err, context.Canceled)
	}
}

// A table that moves few dials keeps more of them than one that does not ask for it.
func TestSensorTableMoves(t *testing.T) {
	b := box(t, bench())
	count := func(s decade.Search) int {
		rows, err := b.SensorTable(context.Background(), decade.StandIn{Sensor: thermal.Platinum(100)}, 0, 100, 1, s)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for i := 1; i < len(rows); i++ {
			for d := range 5 {
				if rows[i].Setting.Position(d) != rows[i-1].Setting.Position(d) {
					n++
				}
			}
		}
		return n
	}
	if plain, few := count(decade.Search{}), count(decade.Search{Prefer: decade.PreferFewestMoves, Slack: 0.3}); few >= plain {
		t.Errorf("%d moves with the preference, %d without", few, plain)
	}
}

func TestSensorRefuses(t *testing.T) {
	nan := math.NaN()
	pt := decade.StandIn{Sensor: thermal.Platinum(100)}
	b := box(t, bench())
	table := func(b *decade.Box, x decade.StandIn, low, high, step float64) error {
		return second(b.SensorTable(context.Background(), x, low, high, step, decade.Search{}))
	}
	for name, c := range map[string]struct {
		err      error
		contains string
	}{
		"nil":            {table(nil, pt, 0, 1, 1), "box is nil"},
		"NaN":            {table(b, pt, nan, 1, 1), "low: NaN"},
		"infinite":       {table(b, pt, 0, math.Inf(1), 1), "high: +Inf"},
		"step":           {table(b, pt, 0, 1, 0), "step: 0"},
		"order":          {table(b, pt, 1, 0, 1), "expected not less than low, 1"},
		"many":           {table(b, pt, 0, 800, 1e-3), "expected at most 100000"},
		"leads":          {table(b, decade.StandIn{Sensor: pt.Sensor, Leads: decade.SensorLeads{Wires: 2, Each: -1}}, 0, 1, 1), "resistance of a lead: -1 Ω"},
		"no thermometer": {table(b, decade.StandIn{}, 0, 1, 1), "sensor"},
		"off the curve":  {table(b, pt, 800, 900, 10), "temperature"},
		"small box":      {table(box(t, decade.Spec{Decades: steps(0, 1)}), pt, 0, 1, 1), "within reach of the settings, 0 Ω to 10 Ω"},
		"extra":          {second(decade.SensorError(pt.Sensor, 0, nan)), "extra: NaN"},
		"temperature":    {second(decade.SensorError(pt.Sensor, 900, 0)), "temperature"},
	} {
		if _, ok := errors.AsType[*decade.Error](c.err); !ok || !strings.Contains(c.err.Error(), c.contains) {
			t.Errorf("%s: %v; want a *decade.Error with %q", name, c.err, c.contains)
		}
	}
}

// Neighbours against the sorted nominal values of all settings.
func TestNeighbours(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 0))
	for range 60 {
		b := box(t, randomSpec(r))
		all := slices.Collect(b.Settings())
		slices.SortStableFunc(all, higher)
		slices.SortStableFunc(all, func(x, y decade.Setting) int { return rank(x.Nominal(), y.Nominal()) })
		for i, s := range all {
			first := func(ok func(v float64) bool, order []decade.Setting) decade.Setting {
				for _, x := range order {
					if ok(x.Nominal()) {
						return x
					}
				}
				return decade.Setting{}
			}
			next := first(func(v float64) bool { return v > s.Nominal()*(1+1e-14) }, all[i:])
			before := slices.Clone(all[:i])
			slices.Reverse(before)
			previous := first(func(v float64) bool { return v < s.Nominal()*(1-1e-14) }, before)
			gotNext, errNext := s.Next()
			gotPrevious, errPrevious := s.Previous()
			if gotNext != next || (errNext == nil) != next.IsValid() {
				t.Fatalf("after %v: %v; want %v", s, gotNext, next)
			}
			if (errPrevious == nil) != previous.IsValid() || errPrevious == nil && math.Abs(gotPrevious.Nominal()-previous.Nominal()) > 1e-14*s.Nominal() {
				t.Fatalf("before %v: %v; want %v", s, gotPrevious, previous)
			}
		}
	}
	if _, err := (decade.Setting{}).Next(); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("neighbours of the zero Setting: %v; want ErrNoBox", err)
	}
	if _, err := (decade.Setting{}).Resolution(); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("resolution of the zero Setting: %v; want ErrNoBox", err)
	}
	b := box(t, school())
	if d, err := at(t, b, 1, 0, 10, 10, 10).Resolution(); err != nil || math.Abs(d-0.1) > 1e-12 { // 1111 Ω; above it nothing up to 2 kΩ
		t.Errorf("resolution at 1111 Ω: %v, %v", d, err)
	}
}

func rank(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func TestChangeTo(t *testing.T) {
	b := box(t, bench())
	a, c := at(t, b, 1, 2, 3, 4, 5), at(t, b, 1, 2, 3, 5, 5)
	change := evaluate(t, a.ChangeTo(c))
	// One step of 1 Ω at 0.5 %, as a rectangle; all else drops out.
	if math.Abs(change.Estimate-1) > 1e-12 || math.Abs(change.StandardUncertainty-0.005/math.Sqrt(3)) > 1e-12 {
		t.Errorf("%v, u %v", change.Estimate, change.StandardUncertainty)
	}
	if a.ChangeTo(decade.Setting{}).Err() == nil || a.ChangeTo(box(t, bench()).Zero()).Err() == nil {
		t.Error("want errors for no setting and another box")
	}
}

// Contact change of 3 mΩ: 300 ppm at 10 Ω and 0.3 ppm at 10 kΩ.
func TestPublishedContactChange(t *testing.T) {
	b := box(t, decade.Spec{Contact: 0.003, Decades: steps(0, 10000, 10)})
	for dial, printed := range []string{"0.3", "300"} {
		s, _ := b.Zero().With(dial, 1)
		one := evaluate(t, s.Resistance()).StandardUncertainty / math.Sqrt2 // two dials, two contacts
		common(fmt.Sprintf("3 mΩ at %v Ω", s.Nominal()), "change over resistance, in ppm", printed).Run(t, 1e6*one/s.Nominal())
	}
}

// Settings for a Pt100 in steps of 0.1 Ω, and what each is off by.
func ExampleBox_SensorTable() {
	rows, err := newBench().SensorTable(context.Background(), decade.StandIn{Sensor: thermal.Platinum(100)}, 0, 100, 25, decade.Search{})
	if err != nil {
		log.Fatal(err)
	}
	for _, row := range rows {
		fmt.Printf("%5.1f °C %8.3f Ω %v %+.2f K, U %.2f K\n", row.Value, row.Resistance, row.Setting, row.Error, row.U)
	}
	// Output:
	//   0.0 °C  100.000 Ω 0-1-0-0-0 +0.05 K, U 0.24 K
	//  25.0 °C  109.735 Ω 0-1-0-9-7 -0.04 K, U 0.32 K
	//  50.0 °C  119.397 Ω 0-1-1-9-4 +0.06 K, U 0.31 K
	//  75.0 °C  128.987 Ω 0-1-2-9-0 +0.09 K, U 0.31 K
	// 100.0 °C  138.505 Ω 0-1-3-8-5 +0.04 K, U 0.32 K
}

// The worst case of the table is that of the class, corner by corner.
func TestSensorTableLimit(t *testing.T) {
	b := box(t, bench())
	pt := thermal.Platinum(100)
	for _, c := range []struct {
		leads        decade.SensorLeads
		add, unknown float64
	}{
		{decade.SensorLeads{}, 0, 0},
		{decade.SensorLeads{Wires: 2, Each: 0.2}, 0.4, 0},
		{decade.SensorLeads{Wires: 3, Each: 5, Difference: -0.03, Unequal: 0.02}, -0.03, 0.02},
		{decade.SensorLeads{Wires: 4, Each: 5}, 0, 0},
	} {
		rows, err := b.SensorTable(context.Background(), decade.StandIn{Sensor: pt, Leads: c.leads}, -50, 150, 50, decade.Search{})
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			limits := row.Setting.Limits()
			low, _ := pt.Value(limits.Lower + c.add - c.unknown)
			high, _ := pt.Value(limits.Upper + c.add + c.unknown)
			want := max(row.Value-low, high-row.Value)
			if math.Abs(row.Limit-want) > 1e-9 || row.Limit < math.Abs(row.Error) {
				t.Errorf("%+v, %v °C: limit %v K, error %v K; want %v", c.leads, row.Value, row.Limit, row.Error, want)
			}
			slope, _ := pt.Slope(row.Value)
			q := row.Setting.Resistance().Add(uncertainty.Input("leads", uncertainty.Rectangular(c.add, c.unknown)))
			if c.unknown == 0 {
				q = row.Setting.Resistance()
			}
			if u := halfInterval(t, q) / slope; math.Abs(row.U/u-1) > 1e-9 {
				t.Errorf("%+v, %v °C: U = %v K; want %v", c.leads, row.Value, row.U, u)
			}
		}
	}
}

// halfInterval is half the interval of 95 % by the laws of the inputs.
func halfInterval(t *testing.T, q uncertainty.Quantity) float64 {
	t.Helper()
	i, err := evaluate(t, q).BestInterval(0.95)
	if err != nil {
		t.Fatal(err)
	}
	return 0.5 * (i.Upper - i.Lower)
}

// With one dial in use the interval keeps inside the class, where k·u would not.
func TestSensorTableUncertaintyInsideTheClass(t *testing.T) {
	sender, err := thermal.ParseSensor("0 Ω at 0 %, 1000 Ω at 100 %")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := box(t, decade.Spec{Decades: steps(0.001, 100, 10)}).SensorTable(context.Background(), decade.StandIn{Sensor: sender}, 10, 100, 10, decade.Search{})
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		if row.Error != 0 || row.U > row.Limit || row.U < 0.9*row.Limit {
			t.Errorf("%v %%: U %v, class %v, error %v", row.Value, row.U, row.Limit, row.Error)
		}
	}
}

// A thermistor falls: too many ohms are too few kelvins. The increment leaves the residual
// out of its limit.
func TestSensorTableOfOtherSensors(t *testing.T) {
	ntc, err := thermal.ParseSensor("NTC 10 kΩ 3977 K")
	if err != nil {
		t.Fatal(err)
	}
	if e, err := decade.SensorError(ntc, 25, 0.3); err != nil || math.Abs(e+0.00067056) > 1e-7 {
		t.Errorf("leads of 2 × 0.15 Ω at 10 kΩ: %v K, %v; want −0.67 mK", e, err)
	}
	b := box(t, decade.Spec{Residual: 0.05, ResidualTolerance: 0.02, Decades: steps(0.001, 10000, 1000, 100, 10, 1)})
	for _, target := range []decade.Target{decade.TargetTotal, decade.TargetIncrement} {
		rows, err := b.SensorTable(context.Background(), decade.StandIn{Sensor: ntc}, 0, 100, 25, decade.Search{Target: target})
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			r, class, residual := row.Setting.Value(), row.Setting.ClassLimit(), 0.02
			if target == decade.TargetIncrement {
				r, residual = r-0.05, 0
			}
			warm, _ := ntc.Value(r - class - residual)
			cold, _ := ntc.Value(r + class + residual)
			want := max(warm-row.Value, row.Value-cold)
			if shown, _ := ntc.Value(r); math.Abs(row.Limit-want) > 1e-9 || math.Abs(row.Error-(shown-row.Value)) > 1e-9 {
				t.Errorf("%v, %v °C: error %v, limit %v; want %v, %v", target, row.Value, row.Error, row.Limit, shown-row.Value, want)
			}
		}
	}
	sender, err := thermal.ParseSensor("240 Ω at 0 %, 33 Ω at 100 %")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := b.SensorTable(context.Background(), decade.StandIn{Sensor: sender}, 0, 100, 25, decade.Search{})
	if err != nil || len(rows) != 5 || rows[1].Setting.Nominal() != 188 || math.Abs(rows[1].Error-(188.25-188.05)/2.07) > 1e-9 {
		t.Errorf("sender: %+v, %v", rows, err)
	}
}

// The current warms the sensor, which the box does not show, and the box by what it says.
func TestSensorTableCurrent(t *testing.T) {
	pt := decade.StandIn{Sensor: thermal.Platinum(100), Current: 1e-3, ThermalResistance: 30}
	table := func(spec decade.Spec, x decade.StandIn) (decade.SensorPoint, error) {
		rows, err := box(t, spec).SensorTable(context.Background(), x, 100, 100, 1, decade.Search{})
		if err != nil {
			return decade.SensorPoint{}, err
		}
		return rows[0], nil
	}
	p, err := table(fine(), pt)
	if err != nil || math.Abs(p.SelfHeating-138.5055*30e-6) > 1e-12 || p.BoxHeatingKnown || p.RatingKnown {
		t.Errorf("%+v, %v", p, err)
	}
	rated := fine()
	for i := range rated.Decades {
		rated.Decades[i].ElementPower = 0.3
		rated.Decades[i].ThermalResistance = 100
		rated.Decades[i].Law = thermal.NewLaw(20, 20e-6, 0)
	}
	pt.Current = 10e-3
	p, err = table(rated, pt)
	// Elements of 100, 10, 1 … Ω: Σ P·Rth·20 ppm/K·R over the element in circuit, over 0.379 Ω/K.
	ohms, _ := p.Setting.SelfHeating(10e-3)
	if err != nil || !p.BoxHeatingKnown || !p.RatingKnown || ohms <= 0 || math.Abs(p.BoxHeating-ohms/0.37930) > 1e-4*p.BoxHeating {
		t.Errorf("%+v, %v", p, err)
	}
	pt.Current = 60e-3 // √(0.3 W/100 Ω) is 55 mA
	if _, err = table(rated, pt); !errors.Is(err, decade.ErrDomain) || !strings.Contains(err.Error(), "at most 0.0548 A") {
		t.Errorf("above the rating: %v", err)
	}
}

func TestStandInRefuses(t *testing.T) {
	b := box(t, bench())
	gauge, err := thermal.StrainGauge{R0: 350, Factor: 2}.Sensor()
	if err != nil {
		t.Fatal(err)
	}
	hump, err := thermal.Table{Unit: "°C", Interpolation: thermal.InterpolationSmooth, Points: []thermal.TablePoint{{Value: 0, Resistance: 120}, {Value: 40, Resistance: 90}, {Value: 80, Resistance: 250}}}.Sensor()
	if err != nil {
		t.Fatal(err)
	}
	pt := thermal.Platinum(100)
	for want, x := range map[string]decade.StandIn{
		"current: -1 A":                            {Sensor: pt, Current: -1},
		"thermal resistance: NaN":                  {Sensor: pt, ThermalResistance: math.NaN()},
		"only a thermometer":                       {Sensor: gauge, ThermalResistance: 30},
		"5 wires; expected 2, 3 or 4":              {Sensor: pt, Leads: decade.SensorLeads{Wires: 5}},
		"difference of the leads: +Inf":            {Sensor: pt, Leads: decade.SensorLeads{Wires: 3, Difference: math.Inf(1)}},
		"limit of unequal leads: -1 Ω":             {Sensor: pt, Leads: decade.SensorLeads{Wires: 3, Unequal: -1}},
		"0.1 Ω; expected it with three wires only": {Sensor: pt, Leads: decade.SensorLeads{Wires: 2, Unequal: 0.1}},
		"resistance of the sensor changes":         {Sensor: hump},
	} {
		_, err := b.SensorTable(context.Background(), x, 40, 40, 1, decade.Search{})
		if _, ok := errors.AsType[*decade.Error](err); !ok || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
	// Where the curve turns further on, the error follows the tangent.
	if e, err := decade.SensorError(hump, 20, 0.1); err != nil || e >= 0 {
		t.Errorf("falling side: %v, %v", e, err)
	}
}

// What leads make of a temperature, by hand: ohms over the slope of the curve, evaluated
// with 30 digits. Three wires are two readings that are subtracted, R3 − R1.
func TestLeads(t *testing.T) {
	pt := thermal.Platinum(100)
	for _, c := range []struct {
		leads  decade.SensorLeads
		sensor thermal.Sensor
		at     float64
		want   float64
	}{
		{decade.SensorLeads{Wires: 2, Each: 0.15}, pt, 0, 0.7677},
		{decade.SensorLeads{Wires: 3, Difference: 0.50 - 0.52}, pt, 100, -0.05273},
		{decade.SensorLeads{Wires: 2, Each: 0.15}, thermal.CopperLinear(9.035, 0.004274), 25, 7.769},
		{decade.SensorLeads{Wires: 4, Each: 0.15}, pt, 0, 0},
	} {
		ohms, _, err := c.leads.Counted()
		if err != nil {
			t.Fatal(err)
		}
		e, err := decade.SensorError(c.sensor, c.at, ohms)
		if err != nil || math.Abs(e-c.want) > 1e-3*math.Abs(c.want)+1e-12 {
			t.Errorf("%+v: %v K, %v; want %v", c.leads, e, err, c.want)
		}
	}
}
