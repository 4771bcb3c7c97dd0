// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"errors"
	"fmt"
	"log"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// rated is the bench box with half a watt for every element.
func rated() decade.Spec {
	s := bench()
	for i := range s.Decades {
		s.Decades[i].ElementPower = 0.5
	}
	return s
}

// common is a row of which the formula is common practice and the figure follows by hand.
func common(name, place, printed string) uncertaintytest.Published {
	return uncertaintytest.Published{Name: name, Source: "common practice, computed by hand", Place: place,
		Printed: printed, Provenance: uncertaintytest.CommonPractice}
}

// Half a watt a step: the currents of single dials, and current, voltage and power of
// 1234.5 Ω, from I = √(P/r) and P = I²R.
func TestPublishedRatings(t *testing.T) {
	without := rated()
	without.Residual, without.ResidualTolerance = 0, 0
	b := box(t, without)
	for dial, c := range []struct{ step, printed string }{{"1 kΩ", "0.022"}, {"100 Ω", "0.071"}, {"10 Ω", "0.22"}, {"1 Ω", "0.71"}, {"0.1 Ω", "2.2"}} {
		s, err := b.Zero().With(dial, 7)
		if err != nil {
			t.Fatal(err)
		}
		i, _, err := s.MaxCurrent()
		if err != nil {
			t.Fatal(err)
		}
		common("0.5 W at "+c.step, "largest current of a dial, √(P/r), in A", c.printed).Run(t, i)
	}
	s := at(t, b, 1, 2, 3, 4, 5)
	i, _, _ := s.MaxCurrent()
	v, _, _ := s.MaxVoltage()
	p, _, err := s.MaxPower()
	if err != nil {
		t.Fatal(err)
	}
	common("1234.5 Ω current", "smallest √(P/r) of the dials off zero, in mA", "22.36").Run(t, 1e3*i)
	common("1234.5 Ω voltage", "I·R, in V", "27.6").Run(t, v)
	common("1234.5 Ω power", "I²·R, in W", "0.617").Run(t, p)
}

func TestMaxCurrentLimiting(t *testing.T) {
	s := rated()
	s.Decades[0].MaxVoltage = 100
	s.Decades[1].ElementPower = 0.1
	weighted := decade.Spec{Decades: []decade.Decade{{Step: 100, Code: decade.Code1225(), ElementPower: 1}}}
	for _, c := range []struct {
		spec      decade.Spec
		positions []int
		current   float64
		limiting  string
	}{
		{s, []int{1, 0, 0, 0, 0}, math.Sqrt(0.5 / 1000), "×1 kΩ element 1"},
		{s, []int{9, 0, 0, 0, 0}, 100.0 / 9000, "×1 kΩ voltage"},
		{s, []int{0, 3, 0, 0, 0}, math.Sqrt(0.1 / 100), "×100 Ω element 1"},
		{s, []int{0, 0, 0, 0, 10}, math.Sqrt(0.5 / 0.1), "×0.1 Ω element 1"},
		{weighted, []int{4}, math.Sqrt(1.0 / 200), "×100 Ω element 2"},
		{weighted, []int{6}, math.Sqrt(1.0 / 500), "×100 Ω element 4"},
	} {
		set := at(t, box(t, c.spec), c.positions...)
		i, limiting, err := set.MaxCurrent()
		if err != nil || math.Abs(i/c.current-1) > 1e-15 || limiting != c.limiting {
			t.Errorf("%v: %v A, %q, %v; want %v A, %q", set, i, limiting, err, c.current, c.limiting)
		}
	}
}

func TestRatingsMissing(t *testing.T) {
	s := rated()
	s.Decades[0].ElementPower, s.Decades[3].ElementPower = 0, 0
	b := box(t, s)
	for _, c := range []struct {
		setting  decade.Setting
		contains string
		err      error
	}{
		{at(t, b, 1, 1, 1, 1, 1), "elementPower: not stated for ×1 kΩ, ×1 Ω; expected", decade.ErrNotStated},
		{b.Zero(), "all dials at zero", decade.ErrNotStated},
		{decade.Setting{}, "zero Setting", decade.ErrNoBox},
	} {
		for name, f := range map[string]func() (float64, string, error){
			"MaxCurrent": c.setting.MaxCurrent, "MaxVoltage": c.setting.MaxVoltage, "MaxPower": c.setting.MaxPower,
		} {
			v, limiting, err := f()
			if !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) ||
				!strings.Contains(err.Error(), "Setting."+name) || v != 0 || limiting != "" {
				t.Errorf("%s of %v: %v, %q, %v; want an error with %q", name, c.setting, v, limiting, err, c.contains)
			}
		}
	}
	if _, _, err := at(t, b, 0, 1, 1, 0, 0).MaxCurrent(); err != nil {
		t.Errorf("dials at zero need no rating: %v", err)
	}
}

func TestUnder(t *testing.T) {
	b := box(t, rated())
	s := at(t, b, 0, 1, 0, 0, 0)
	l, err := s.Under(decade.Supply{Voltage: 10, Series: 49.98})
	if err != nil {
		t.Fatal(err)
	}
	// 10 V across 150 Ω: 66.7 mA, the element 0.444 W of 0.5 W.
	if math.Abs(l.Current-10.0/150) > 1e-15 || math.Abs(l.Use-100.0/225/0.5) > 1e-12 ||
		l.Overload() || l.Limiting != "×100 Ω element 1" {
		t.Errorf("load %+v", l)
	}
	if math.Abs(l.Voltage-l.Current*100.02) > 1e-12 || math.Abs(l.Power-l.Voltage*l.Current) > 1e-12 {
		t.Errorf("voltage %v, power %v", l.Voltage, l.Power)
	}
	if l, err = b.Zero().Under(decade.Supply{Voltage: 1}); err != nil || l.Current != 50 ||
		l.Use != 0 || l.Limiting != "" {
		t.Errorf("at zero: %+v, %v", l, err)
	}
	ideal := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1, ElementPower: 1}}}).Zero()
	if l, err = ideal.Under(decade.Supply{Voltage: 1}); err != nil || !math.IsInf(l.Current, 1) || math.IsNaN(l.Power) {
		t.Errorf("short circuit of an ideal source: %+v, %v", l, err)
	}
	for _, v := range []decade.Supply{{math.NaN(), 0}, {math.Inf(1), 0}, {1, -1}, {1, math.NaN()}} {
		if _, err := s.Under(v); err == nil {
			t.Errorf("supply %+v: want an error", v)
		}
	}
}

// resistances prints the moments of a passage.
func resistances(p *decade.Passage) string {
	var out []string
	for _, m := range p.Moments {
		text := fmt.Sprintf("%.4g", m.Resistance)
		if m.Between() {
			text = "(" + text + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

func TestTurn(t *testing.T) {
	ladder := decade.Spec{Residual: 0.5,
		Decades: []decade.Decade{{Step: 100, Positions: 9, ElementPower: 1},
			{Step: 10, Positions: 9, ElementPower: 1}}}
	coded := decade.Spec{Decades: []decade.Decade{{Step: 1, Code: decade.Code1225(), ElementPower: 1}}}
	plugs := decade.Spec{Decades: []decade.Decade{{Step: 1, Code: decade.Code1332(), ElementPower: 1}}}
	for _, c := range []struct {
		name     string
		spec     decade.Spec
		from, to []int
		how      decade.Switching
		order    []int
		want     string
	}{
		{"ladder shorting", ladder, []int{2, 0}, []int{1, 2}, decade.SwitchingMakeBeforeBreak, nil, "200.5 (100.5) 100.5 (100.5) 110.5 (110.5) 120.5"},
		{"ladder, other order", ladder, []int{2, 0}, []int{1, 2}, decade.SwitchingMakeBeforeBreak, []int{1, 0}, "200.5 (200.5) 210.5 (210.5) 220.5 (120.5) 120.5"},
		{"ladder open", ladder, []int{1, 0}, []int{0, 0}, decade.SwitchingBreakBeforeMake, nil, "100.5 (+Inf) 0.5"},
		{"nothing to do", ladder, []int{1, 0}, []int{1, 0}, decade.SwitchingBreakBeforeMake, nil, "100.5"},
		{"from zero", ladder, []int{0, 0}, []int{0, 1}, decade.SwitchingMakeBeforeBreak, nil, "0.5 (0.5) 10.5"},
		// 4 is 2+2 and 5 is the 5: shorting passes zero, the other way both are in circuit.
		{"code shorting", coded, []int{4}, []int{5}, decade.SwitchingMakeBeforeBreak, nil, "4 (0) 5"},
		{"code opening", coded, []int{4}, []int{5}, decade.SwitchingBreakBeforeMake, nil, "4 (9) 5"},
		{"code opening upwards", coded, []int{1}, []int{3}, decade.SwitchingBreakBeforeMake, nil, "1 (3) 2 (3) 3"},
		{"plug pulled", plugs, []int{1}, []int{2}, decade.SwitchingBreakBeforeMake, nil, "1 (9) 2"},
	} {
		b := box(t, c.spec)
		p, err := at(t, b, c.from...).Turn(at(t, b, c.to...), decade.Supply{Voltage: 1, Series: 1}, c.how, c.order...)
		if err != nil || resistances(p) != c.want {
			t.Errorf("%s: %v, %v; want %v", c.name, p, err, c.want)
		}
	}
}

// Two ranges of one switch: the one that goes to zero is turned first.
func TestTurnSharedSwitch(t *testing.T) {
	spec := school()
	for i := range spec.Decades {
		spec.Decades[i].ElementPower = 1
	}
	b := box(t, spec)
	v := decade.Supply{Voltage: 1, Series: 1}
	for _, c := range []struct{ from, to []int }{
		{[]int{2, 0, 1, 0, 0}, []int{0, 2, 0, 0, 0}}, {[]int{0, 2, 0, 0, 0}, []int{2, 0, 0, 1, 0}},
	} {
		p, err := at(t, b, c.from...).Turn(at(t, b, c.to...), v, decade.SwitchingMakeBeforeBreak)
		if err != nil {
			t.Fatal(err)
		}
		last := p.Moments[len(p.Moments)-1]
		if !slices.Equal(last.Setting.Positions(), c.to) || last.Between() {
			t.Errorf("ends at %v; want %v", last.Setting, c.to)
		}
		for _, m := range p.Moments {
			if m.Setting.Position(0) != 0 && m.Setting.Position(1) != 0 {
				t.Errorf("passes %v", m.Setting)
			}
		}
	}
	_, err := at(t, b, 2, 0, 0, 0, 0).Turn(at(t, b, 0, 2, 0, 0, 0), v, decade.SwitchingMakeBeforeBreak, 1, 0)
	if !errors.Is(err, decade.ErrSharedDials) {
		t.Errorf("wrong order: %v", err)
	}
}

// The worst moment lies on the way: 1 kΩ to 999 Ω passes 0 in between, if the thousands
// are turned first.
func TestTurnFindsTheWorst(t *testing.T) {
	b := box(t, rated())
	v := decade.Supply{Voltage: 10}
	from, to := at(t, b, 1, 0, 0, 0, 0), at(t, b, 0, 9, 9, 9, 0)
	p, err := from.Turn(to, v, decade.SwitchingMakeBeforeBreak)
	if err != nil {
		t.Fatal(err)
	}
	if m := p.Moments[p.Highest]; m.Setting != b.Zero() && m.Resistance != 0.02 {
		t.Errorf("highest current %+v", m)
	}
	// The first position of the hundreds carries 10 V on 100 Ω: 1 W on an element for 0.5 W.
	worst := p.Moments[p.Worst]
	if math.Abs(worst.Use-2) > 1e-3 || worst.Setting != at(t, b, 0, 1, 0, 0, 0) || !worst.Overload() {
		t.Errorf("worst %+v", worst)
	}
	if over := p.Overloaded(); len(over) != 2 || !over[1].Between() || over[1].Open() {
		t.Errorf("overloaded %v", over) // at rest on 100 Ω, and on the way from there to 200 Ω
	}
	p, err = from.Turn(to, v, decade.SwitchingMakeBeforeBreak, 3, 2, 1, 0)
	if err != nil || len(p.Overloaded()) != 0 {
		t.Errorf("thousands last: %v, %v; want no overload", p.Overloaded(), err)
	}
}

func TestTurnRefuses(t *testing.T) {
	b, other := box(t, rated()), box(t, rated())
	bare := box(t, bench())
	v := decade.Supply{Voltage: 1}
	a := at(t, b, 1, 0, 0, 0, 0)
	for name, err := range map[string]error{
		"other box":  second(a.Turn(other.Zero(), v, decade.SwitchingMakeBeforeBreak)),
		"no setting": second(a.Turn(decade.Setting{}, v, decade.SwitchingMakeBeforeBreak)),
		"switching":  second(a.Turn(b.Zero(), v, 7)),
		"twice":      second(a.Turn(b.Zero(), v, 0, 0, 0)),
		"left out":   second(a.Turn(b.Zero(), v, 0, 1)),
		"no dial":    second(a.Turn(b.Zero(), v, 0, 5)),
		"negative":   second(a.Turn(b.Zero(), v, 0, -1)),
		"supply":     second(a.Turn(b.Zero(), decade.Supply{Voltage: math.NaN()}, 0)),
		"infinite":   second(a.Turn(b.Zero(), decade.Supply{Voltage: 1, Series: math.Inf(1)}, 0)),
		"rating":     second(bare.Zero().Turn(at(t, bare, 1, 0, 0, 0, 0), v, 0)),
	} {
		if _, ok := errors.AsType[*decade.Error](err); !ok {
			t.Errorf("%s: %v; want a *decade.Error", name, err)
		}
	}
}

// The momentary values alone need no ratings.
func TestTurnWithoutSupply(t *testing.T) {
	b := box(t, bench())
	p, err := at(t, b, 0, 0, 2, 0, 0).Turn(at(t, b, 0, 0, 1, 1, 0), decade.Supply{}, decade.SwitchingBreakBeforeMake)
	if err != nil || resistances(p) != "20.02 (+Inf) 10.02 (+Inf) 11.02" ||
		len(p.Overloaded()) != 0 || p.Moments[0].Limiting != "" {
		t.Errorf("%v, %v", p, err)
	}
}

func second[T any](_ T, err error) error { return err }

func TestSwitchingString(t *testing.T) {
	if decade.SwitchingMakeBeforeBreak.String() != "make before break" ||
		decade.SwitchingBreakBeforeMake.String() != "break before make" ||
		decade.Switching(9).String() != "Switching(9)" {
		t.Error("names of the kinds of switching")
	}
}

// What a setting bears: the dial with the largest steps in use decides.
func ExampleSetting_MaxCurrent() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, ElementPower: 0.5}, {Step: 100, ElementPower: 0.5}, {Step: 10},
	}})
	if err != nil {
		log.Fatal(err)
	}
	s, err := box.SettingFor(1200)
	if err != nil {
		log.Fatal(err)
	}
	i, limiting, err := s.MaxCurrent()
	fmt.Printf("%v: %.1f mA, limited by %s, %v\n", s, 1e3*i, limiting, err)
	s, err = box.SettingFor(1210)
	if err != nil {
		log.Fatal(err)
	}
	_, _, err = s.MaxCurrent()
	fmt.Println(err)
	// Output:
	// 1-2-0: 22.4 mA, limited by ×1 kΩ element 1, <nil>
	// decade.Setting.MaxCurrent: elementPower: not stated for ×10 Ω; expected the rating of an element in watts
}

// The usual accident: both ends of the way are harmless, what lies between is not.
func ExampleSetting_Turn() {
	box, err := decade.New(decade.Spec{Residual: 0.02, Decades: []decade.Decade{
		{Step: 100, ElementPower: 0.5}, {Step: 10, ElementPower: 0.5},
	}})
	if err != nil {
		log.Fatal(err)
	}
	from, err := box.SettingFor(100)
	if err != nil {
		log.Fatal(err)
	}
	to, err := box.SettingFor(90)
	if err != nil {
		log.Fatal(err)
	}
	supply := decade.Supply{Voltage: 5, Series: 1}
	for _, order := range [][]int{{0, 1}, {1, 0}} {
		p, err := from.Turn(to, supply, decade.SwitchingMakeBeforeBreak, order...)
		if err != nil {
			log.Fatal(err)
		}
		worst := p.Moments[p.Worst]
		fmt.Printf("dials %v: up to %.2f A; at %v %.0f %% of the rating of %s\n", order,
			p.Moments[p.Highest].Current, worst.Setting, 100*worst.Use, worst.Limiting)
	}
	// Output:
	// dials [0 1]: up to 4.90 A; at 0-1 412 % of the rating of ×10 Ω element 1
	// dials [1 0]: up to 0.05 A; at 1-0 49 % of the rating of ×100 Ω element 1
}
