// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/uncertainty/unit"
	"github.com/google/go-cmp/cmp"
)

var sameLaw = cmp.Comparer(func(a, b thermal.Law) bool { return a == b })

// anySpec invents a description: every field is sometimes there, with all its digits.
func anySpec(r *rand.Rand) decade.Spec {
	some := func(scale float64) float64 {
		if r.IntN(3) == 0 {
			return 0
		}
		return scale * r.Float64()
	}
	// Laws about different temperatures need a reference temperature of the box.
	stated := r.IntN(2) == 0
	law := func() thermal.Law {
		reference := 20.0
		if stated {
			reference = 40 * r.Float64()
		}
		switch r.IntN(4) {
		case 0:
			return thermal.Law{}
		case 1:
			return thermal.NewLaw(reference, 1e-5*r.NormFloat64(),
				1e-6*r.NormFloat64()).Within(-40*r.Float64(), 40+60*r.Float64())
		}
		return thermal.NewLaw(reference, 1e-5*r.NormFloat64(), 1e-6*r.NormFloat64())
	}
	codes := []func() decade.Code{
		decade.Code1125, decade.Code1225, decade.Code1234, decade.Code1236, decade.Code1242, decade.Code1332,
	}
	s := decade.Spec{
		Name: fmt.Sprintf("box \"%d\" <µΩ>", r.IntN(100)), Serial: []string{"", "17/2026"}[r.IntN(2)],
		Residual: some(0.1), ResidualIncluded: r.IntN(2) == 0, Tolerance: some(0.001),
		Floor: some(0.01), Contact: some(0.001),
		Capacitance: some(1e-10), ResidualLaw: law(),
	}
	s.ResidualTolerance = s.Residual * r.Float64()
	if stated {
		s.ReferenceTemperature = new(30 * r.Float64())
	}
	step := 0.1 / 3
	for range 1 + r.IntN(6) {
		d := decade.Decade{
			Name: fmt.Sprintf("dial %.3g", step), Step: step, Positions: 1 + r.IntN(20),
			Tolerance: some(0.1), Floor: some(0.001),
			Spread: decade.Level(r.IntN(3)), WiperFirst: r.IntN(2) == 0, Law: law(),
			ElementPower: some(1), MaxVoltage: some(500),
			ThermalResistance: some(200), Inductance: some(1e-6), Capacitance: some(1e-11),
			DialInductance: some(1e-7), DialCapacitance: some(1e-11),
		}
		if d.Positions > 2 && r.IntN(3) == 0 {
			d.Missing = []int{1 + r.IntN(d.Positions-1)}
		}
		if !d.Law.IsZero() {
			d.AlphaTolerance = some(1e-5)
		}
		if r.IntN(3) == 0 {
			d.Code, d.Positions, d.Missing = codes[r.IntN(len(codes))](), 0, nil
		}
		s.Decades = append(s.Decades, d)
		step *= 10
	}
	return s
}

// What is written is read back equal, to the last bit: the box, its description, and the
// description inside a larger document.
func TestDescriptionsRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	boxes := 60
	if uncertaintytest.Long() {
		boxes = 500
	}
	for range boxes {
		b, err := decade.New(anySpec(r))
		if err != nil {
			t.Fatal(err)
		}
		var document struct {
			Box  decade.Box
			Spec decade.Spec
		}
		text, err := json.Marshal(map[string]any{"Box": b, "Spec": b.Spec()})
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, &document); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		for name, got := range map[string]decade.Spec{"Box": document.Box.Spec(), "Spec": document.Spec} {
			if diff := cmp.Diff(b.Spec(), got, sameLaw); diff != "" {
				t.Fatalf("%s written and read (-, +):\n%s", name, diff)
			}
		}
		highest, err := document.Box.Max()
		if err != nil {
			t.Fatal(err)
		}
		if near, err := document.Box.SettingFor(highest.Nominal()); err != nil ||
			near.Box() != &document.Box || near.Nominal() != highest.Nominal() {
			t.Fatalf("setting of a box that was read for %v: %v, %v", highest, near, err)
		}
	}
}

func TestBoxReadsOnce(t *testing.T) {
	b := box(t, bench())
	if err := b.UnmarshalJSON([]byte(`{"decades":[{"step":1}]}`)); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("a box that is described already: %v", err)
	}
	var zero decade.Box
	if err := zero.UnmarshalJSON([]byte(`{"decades":[{"step":-1}]}`)); !errors.Is(err,
		decade.ErrDomain) || zero.NumDecades() > 0 {
		t.Errorf("a step below zero: %v", err)
	}
	if err := (*decade.Box)(nil).UnmarshalJSON([]byte("{}")); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("no box: %v", err)
	}
	if _, err := json.Marshal(decade.Spec{}); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("a description without decades is written: %v", err)
	}
}

// A law that holds within limits keeps them, and half a limit is refused.
func TestLawLimitsInFile(t *testing.T) {
	for _, fields := range []string{`"low":"0 °C"`, `"high":"60 °C"`} {
		var s decade.Spec
		text := `{"decades":[{"step":1,"temperature":{"reference":"20 °C","alpha":"8 ppm/K",` + fields + `}}]}`
		if err := json.Unmarshal([]byte(text), &s); err == nil {
			t.Errorf("%s alone is accepted", fields)
		}
	}
}

// Types that write themselves as text read themselves.
func TestWordsRoundTrip(t *testing.T) {
	type words struct {
		Level      decade.Level
		Target     decade.Target
		Preference decade.Preference
		Measure    decade.Measure
		Switching  decade.Switching
	}
	want := words{decade.LevelElement, decade.TargetIncrement, decade.PreferSmallestUncertainty,
		decade.MeasureOfClass, decade.SwitchingBreakBeforeMake}
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	const written = `{"Level":"per element","Target":"increment over zero","Preference":"smallest uncertainty","Measure":"of class","Switching":"break before make"}`
	if string(text) != written {
		t.Errorf("written %s; expected %s", text, written)
	}
	var got words
	if err := json.Unmarshal(text, &got); err != nil || got != want {
		t.Errorf("read %+v, %v; expected %+v", got, err, want)
	}
	for name, v := range map[string]any{"Level": decade.Level(9), "Target": decade.Target(9),
		"Preference": decade.Preference(9), "Measure": decade.Measure(9),
		"Switching": decade.Switching(9)} {
		if _, err := json.Marshal(v); !errors.Is(err, decade.ErrDomain) {
			t.Errorf("%s 9 is written: %v", name, err)
		}
		if err := json.Unmarshal([]byte(`{"`+name+`":"sideways"}`), &got); !errors.Is(err, unit.ErrUnknown) {
			t.Errorf("%s sideways is read: %v", name, err)
		}
		if s := fmt.Sprint(v); s != name+"(9)" {
			t.Errorf("%s 9 prints %q", name, s)
		}
	}
}
