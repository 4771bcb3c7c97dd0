// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// box makes a box that a test knows to be right.
func box(t testing.TB, s decade.Spec) *decade.Box {
	t.Helper()
	b, err := decade.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func at(t testing.TB, b *decade.Box, positions ...int) decade.Setting {
	t.Helper()
	s, err := b.At(positions...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func evaluate(t testing.TB, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// steps makes decades with these steps and one tolerance.
func steps(tolerance float64, ohms ...float64) []decade.Decade {
	var out []decade.Decade
	for _, step := range ohms {
		out = append(out, decade.Decade{Step: step, Tolerance: tolerance})
	}
	return out
}

// bench is a box of our own with everything plain: five dials from 1 kΩ to 0.1 Ω.
func bench() decade.Spec {
	return decade.Spec{
		Name: "bench box", Residual: 0.02, ResidualTolerance: 0.005,
		Decades: []decade.Decade{
			{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001}, {Step: 10, Tolerance: 0.001},
			{Step: 1, Tolerance: 0.005}, {Step: 0.1, Tolerance: 0.05},
		},
	}
}

// school is a box with two ranges on one switch.
func school() decade.Spec {
	return decade.Spec{
		Name: "school box", Residual: 0.02, ResidualTolerance: 0.005, Contact: 0.001,
		Decades: []decade.Decade{
			{Step: 1000, Positions: 9, Tolerance: 0.001, Switch: "A"}, {Step: 100, Positions: 9, Tolerance: 0.001, Switch: "A"},
			{Step: 10, Tolerance: 0.001}, {Step: 1, Tolerance: 0.005}, {Step: 0.1, Tolerance: 0.05},
		},
	}
}

func TestNewRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	one := func(d decade.Decade) decade.Spec { return decade.Spec{Decades: []decade.Decade{d}} }
	with := func(change func(*decade.Spec)) decade.Spec {
		s := bench()
		change(&s)
		return s
	}
	for _, c := range []struct {
		name, contains string
		spec           decade.Spec
		err            error
	}{
		{"no decades", "0 decades; expected 1 to 16", decade.Spec{}, decade.ErrDomain},
		{"many decades", "17 decades", decade.Spec{Decades: make([]decade.Decade, 17)}, decade.ErrDomain},
		{"step NaN", "decades[0]: step: NaN; expected a finite number", one(decade.Decade{Step: nan}), decade.ErrNotFinite},
		{"step infinite", "step: +Inf", one(decade.Decade{Step: inf}), decade.ErrNotFinite},
		{"step zero", "step: 0 Ω; expected more than 0", one(decade.Decade{}), decade.ErrDomain},
		{"step negative", "step: -1 Ω", one(decade.Decade{Step: -1}), decade.ErrDomain},
		{"positions negative", "positions: -3; expected 1 to 255", one(decade.Decade{Step: 1, Positions: -3}), decade.ErrDomain},
		{"positions many", "positions: 256", one(decade.Decade{Step: 1, Positions: 256}), decade.ErrDomain},
		{"tolerance negative", `decades[0] "ones": tolerance: -0.1`, one(decade.Decade{Name: "ones", Step: 1, Tolerance: -0.1}), decade.ErrDomain},
		{"tolerance in per cent", "that is 500 %", one(decade.Decade{Step: 1, Tolerance: 5}), decade.ErrDomain},
		{"tolerance NaN", "tolerance: NaN", one(decade.Decade{Step: 1, Tolerance: nan}), decade.ErrNotFinite},
		{"floor", "floor: -1 Ω", one(decade.Decade{Step: 1, Floor: -1}), decade.ErrDomain},
		{"spread", "level 9", one(decade.Decade{Step: 1, Spread: 9}), decade.ErrDomain},
		{"power", "elementPower: -1 W", one(decade.Decade{Step: 1, ElementPower: -1}), decade.ErrDomain},
		{"voltage", "maxVoltage: NaN", one(decade.Decade{Step: 1, MaxVoltage: nan}), decade.ErrNotFinite},
		{"inductance", "inductance: -1 H", one(decade.Decade{Step: 1, Inductance: -1}), decade.ErrDomain},
		{"capacitance", "capacitance: -1 F", one(decade.Decade{Step: 1, Capacitance: -1}), decade.ErrDomain},
		{"alpha tolerance", "alphaTolerance: -1 1/K", one(decade.Decade{Step: 1, AlphaTolerance: -1}), decade.ErrDomain},
		{"one step twice", `"×1 Ω" like decades[0]`, decade.Spec{Decades: steps(0, 1, 1)}, decade.ErrName},
		{"dial named box", `"box" stands for the whole box`, one(decade.Decade{Name: "box", Step: 1}), decade.ErrName},
		{"dial named like a spool", `decades[0]: name: "spool A" stands for the spool of decades[1]`, decade.Spec{Decades: []decade.Decade{{Name: "spool A", Step: 10}, {Step: 1, Spool: "A"}}}, decade.ErrName},
		{"residual", "residual: -1 Ω", with(func(s *decade.Spec) { s.Residual = -1 }), decade.ErrDomain},
		{"residual tolerance", "residualTolerance: +Inf", with(func(s *decade.Spec) { s.ResidualTolerance = inf }), decade.ErrNotFinite},
		{"box tolerance", "tolerance: -1", with(func(s *decade.Spec) { s.Tolerance = -1 }), decade.ErrDomain},
		{"box floor", "floor: NaN", with(func(s *decade.Spec) { s.Floor = nan }), decade.ErrNotFinite},
		{"contact", "contact: -1 Ω", with(func(s *decade.Spec) { s.Contact = -1 }), decade.ErrDomain},
		{"name", "control character", with(func(s *decade.Spec) { s.Name = "a\nb" }), decade.ErrName},
		{"serial", "not UTF-8", with(func(s *decade.Spec) { s.Serial = "\xff" }), decade.ErrName},
		{"long name", "201 bytes", with(func(s *decade.Spec) { s.Decades[1].Name = strings.Repeat("a", 201) }), decade.ErrName},
		{"too large", "1e-12 to 1e+18", one(decade.Decade{Step: math.MaxFloat64}), decade.ErrDomain},
		{"too small", "1e-12 to 1e+18", one(decade.Decade{Step: 1e-13}), decade.ErrDomain},
		{"absurd residual", "residual: 1e+305", decade.Spec{Residual: 1e305, Decades: steps(0, 1)}, decade.ErrDomain},
		{"absurd floor", "floor: 1e+19", one(decade.Decade{Step: 1, Floor: 1e19}), decade.ErrDomain},
		{"absurd contact", "contact: 1e-13", decade.Spec{Contact: 1e-13, Decades: steps(0, 1)}, decade.ErrDomain},
		{"reference", "referenceTemperature: -300 °C", with(func(s *decade.Spec) { s.ReferenceTemperature = new(-300.0) }), decade.ErrDomain},
	} {
		b, err := decade.New(c.spec)
		if b != nil || !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("%s: %v, error %v; want %v with %q", c.name, b, err, c.err, c.contains)
			continue
		}
		if e, ok := errors.AsType[*decade.Error](err); !ok || e.Op != "decade.New" {
			t.Errorf("%s: error %T, want *decade.Error of New", c.name, err)
		}
	}
}

func TestSpecIsCopied(t *testing.T) {
	spec := decade.Spec{ReferenceTemperature: new(20.0), Decades: []decade.Decade{{Step: 1, Code: decade.Code1225()}}}
	b := box(t, spec)
	spec.Decades[0].Code.InCircuit[1][0] = 2
	*spec.ReferenceTemperature = 0
	b.Spec().Decades[0].Code.Weights[0] = 9
	b.Decades()[0].Step = 9
	d := b.Decades()[0]
	if d.Step != 1 || d.Code.Weights[0] != 1 || d.Code.InCircuit[1][0] != 1 || *b.Spec().ReferenceTemperature != 20 {
		t.Errorf("the box changed with a copy of its description: %+v", d)
	}
}

func TestDefaults(t *testing.T) {
	d := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100}, {Step: 0.1, Code: decade.Code1125()}}}).Decades()
	if d[0].Name != "×100 Ω" || d[0].Positions != 10 || !d[0].Tapped() || d[0].NumElements() != 10 {
		t.Errorf("ladder: %+v", d[0])
	}
	if d[1].Name != "×0.1 Ω" || d[1].Positions != 9 || d[1].Tapped() || d[1].NumElements() != 4 {
		t.Errorf("1-1-2-5: %+v", d[1])
	}
}

func TestAtRefuses(t *testing.T) {
	b := box(t, school())
	for _, c := range []struct {
		positions []int
		err       error
		contains  string
	}{
		{[]int{1, 0, 0, 0}, decade.ErrPosition, "4 positions; expected 5"},
		{nil, decade.ErrPosition, "0 positions"},
		{[]int{10, 0, 0, 0, 0}, decade.ErrPosition, "dial ×1 kΩ: position 10; expected 0 to 9"},
		{[]int{0, 0, -1, 0, 0}, decade.ErrPosition, "dial ×10 Ω: position -1"},
		{[]int{1, 1, 0, 0, 0}, decade.ErrSharedDials, `dial ×100 Ω: position 1 while ×1 kΩ is at 1, both on switch "A"`},
	} {
		if s, err := b.At(c.positions...); s.IsValid() || !errors.Is(err, c.err) ||
			!strings.Contains(err.Error(), c.contains) {
			t.Errorf("At(%v) = %v, %v; want %v with %q", c.positions, s, err, c.err, c.contains)
		}
	}
	s := at(t, b, 1, 0, 0, 0, 0)
	if _, err := s.With(1, 3); !errors.Is(err, decade.ErrSharedDials) {
		t.Errorf("With: %v; want both off zero refused", err)
	}
	if _, err := s.With(7, 3); !errors.Is(err, decade.ErrPosition) {
		t.Errorf("With: %v; want dial refused", err)
	}
	if s, err := s.With(4, 10); err != nil || s.String() != "1-0-0-0-10" {
		t.Errorf("With = %v, %v", s, err)
	}
	if _, err := b.Max(); !errors.Is(err, decade.ErrSharedDials) {
		t.Errorf("Max: %v; want shared switch refused", err)
	}
	if s, err := box(t, bench()).Max(); err != nil || s.Nominal() != 11111 {
		t.Errorf("Max = %v, %v; want 11111 Ω", s, err)
	}
}

func TestOn(t *testing.T) {
	a, b := box(t, bench()), box(t, bench())
	s := at(t, a, 1, 2, 3, 4, 5)
	u, err := s.On(b)
	if err != nil || u == s || u.Box() != b || u.String() != s.String() {
		t.Errorf("On = %v, %v", u, err)
	}
	if u != at(t, b, 1, 2, 3, 4, 5) {
		t.Error("settings of one box with equal dials are unequal")
	}
	if _, err := s.On(box(t, decade.Spec{Decades: steps(0, 1)})); !errors.Is(err, decade.ErrPosition) {
		t.Errorf("other dials: %v", err)
	}
	if _, err := s.On(nil); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("nil box: %v", err)
	}
}

// Nothing panics without a box; sums over no dials are 0, and all else is refused.
func TestNoBox(t *testing.T) {
	var s decade.Setting
	for name, v := range map[string]float64{
		"Nominal": s.Nominal(), "Value": s.Value(), "ClassLimit": s.ClassLimit(),
		"Limits": s.Limits().Lower, "lower limit": s.Limits().Lower,
		"upper limit": s.Limits().Upper, "Residual": s.Box().Residual().Upper,
	} {
		if v != 0 {
			t.Errorf("%s of the zero Setting is %v; want 0, the sum over no dials", name, v)
		}
	}
	if err := s.Resistance().Err(); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("resistance of the zero Setting: %v; want ErrNoBox", err)
	}
	if s.IsValid() || s.AllZero() || s.Box() != nil || s.Position(0) != -1 ||
		len(s.Positions()) != 0 || s.Contacts() != 0 || s.String() != "no setting" {
		t.Error("the zero Setting passes for one")
	}
	var b *decade.Box
	if b.Name() != "" || b.Serial() != "" || b.NumDecades() != 0 || len(b.Decades()) != 0 ||
		b.NumSettings() != 0 || b.HasTemperatureLaw() || b.Zero() != s {
		t.Error("the nil Box passes for one")
	}
	if _, ok := b.ReferenceTemperature(); ok {
		t.Error("the nil Box has a reference temperature")
	}
	for range b.Settings() {
		t.Error("the nil Box has settings")
	}
	var errs []error
	for _, err := range b.SettingsFor(context.Background(), 1) {
		errs = append(errs, err)
	}
	if len(errs) != 1 {
		t.Errorf("settings of the nil Box: %v; want one error", errs)
	}
	add := func(_ any, err error) { errs = append(errs, err) }
	add(b.At(1))
	add(b.Max())
	add(b.ParseSetting("1"))
	add(b.SettingFor(1))
	add(b.Nearest(1))
	add(b.MarshalJSON())
	add(s.With(0, 1))
	add(s.On(b))
	add(s.MarshalText())
	add(s.TemperatureChange(20))
	add(nil, s.UnmarshalText([]byte("1")))
	add(nil, s.Resistance().Err())
	add(nil, s.TemperatureChangeOf(uncertainty.Exact(20)).Err())
	for i, err := range errs {
		if !errors.Is(err, decade.ErrNoBox) {
			t.Errorf("call %d: %v; want ErrNoBox", i, err)
		}
	}
}
