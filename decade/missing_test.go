// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

// gapped is a box of two dials; the switch of the first has no position 7.
func gapped(t testing.TB) *decade.Box {
	t.Helper()
	return box(t, decade.Spec{Residual: 0.01, Decades: []decade.Decade{
		{Step: 100, Missing: []int{7}, Tolerance: 0.001, ElementPower: 1}, {Step: 10, Tolerance: 0.001, ElementPower: 1},
	}})
}

// Between the taps that a missing position leaves lies one element of two steps.
func TestMissingPosition(t *testing.T) {
	b := gapped(t)
	d := b.Decades()[0]
	if n := d.NumElements(); n != 9 {
		t.Errorf("%d elements; want 9", n)
	}
	for element, want := range map[int][3]int{0: {}, 1: {1, 0, 1}, 6: {1, 5, 6}, 7: {2, 6, 8},
		8: {1, 8, 9}, 9: {1, 9, 10}, 10: {}} {
		low, high := d.Taps(element)
		if got := [3]int{d.Weight(element), low, high}; got != want {
			t.Errorf("element %d: weight and taps %v; want %v", element, got, want)
		}
	}
	if got := d.InCircuit(8); !slices.Equal(got, []int{1, 2, 3, 4, 5, 6, 7}) || d.InCircuit(7) != nil {
		t.Errorf("in circuit at 8: %v, at 7: %v; want 1 to 7, none", got, d.InCircuit(7))
	}
	if b.NumSettings() != 10*11 || b.NumElements() != 9+10 {
		t.Errorf("%d settings, %d elements; want 110 and 19", b.NumSettings(), b.NumElements())
	}
	for _, p := range []int{-1, 7, 11} {
		_, err := b.At(p, 0)
		if !errors.Is(err, decade.ErrPosition) || !strings.Contains(err.Error(), "expected 0 to 6, 8 to 10") {
			t.Errorf("position %d: %v; want ErrPosition with the positions there are", p, err)
		}
	}
	if _, err := b.ParseSetting("7-0"); !errors.Is(err, decade.ErrPosition) {
		t.Errorf("7-0: %v; want ErrPosition", err)
	}
	if s, err := b.SettingFor(700); err != nil || s.String() != "6-10" {
		t.Errorf("700 Ω: %v, %v; want 6-10", s, err)
	}
	if s, err := b.Nearest(1760); err != nil || s.String() != "10-10" {
		if !errors.Is(err, decade.ErrDomain) {
			t.Errorf("1760 Ω: %v, %v", s, err)
		}
	}
	// The element of two steps bears the same power at less current.
	at6, _, err6 := at(t, b, 6, 0).MaxCurrent()
	at8, limiting, err8 := at(t, b, 8, 0).MaxCurrent()
	if err6 != nil || err8 != nil || at6 != 0.1 || fmt.Sprintf("%.4f", at8) != "0.0707" ||
		limiting != "×100 Ω element 7" {
		t.Errorf("at 6 %v A (%v), at 8 %v A by %s (%v); want 0.1 A, 0.0707 A by element 7", at6,
			err6, at8, limiting, err8)
	}
}

// A dial is turned past a missing position without a stop.
func TestTurnPastMissingPosition(t *testing.T) {
	b := gapped(t)
	passage, err := at(t, b, 5, 0).Turn(at(t, b, 9, 0), decade.Supply{Voltage: 1}, decade.SwitchingMakeBeforeBreak)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range passage.Moments {
		if !m.Between() {
			got = append(got, m.Setting.String())
		}
	}
	if want := []string{"5-0", "6-0", "8-0", "9-0"}; !slices.Equal(got, want) {
		t.Errorf("turned by %v; want %v", got, want)
	}
}

func TestMissingPositionRefuses(t *testing.T) {
	code := decade.Code1225()
	for _, c := range []struct {
		dial decade.Decade
		says string
	}{
		{decade.Decade{Step: 1, Missing: []int{0}}, "position 0; expected positions between 0 and 10, the highest"},
		{decade.Decade{Step: 1, Missing: []int{10}}, "position 10; expected positions between 0 and 10"},
		{decade.Decade{Step: 1, Missing: []int{-1}}, "position -1"},
		{decade.Decade{Step: 1, Missing: []int{7, 3, 7}}, "position 7; expected each position once"},
		{decade.Decade{Step: 1, Code: code, Missing: []int{7}}, "position 7; expected none that the code puts elements in circuit for"},
	} {
		if _, err := decade.New(decade.Spec{Decades: []decade.Decade{c.dial}}); err == nil ||
			!strings.Contains(err.Error(), c.says) {
			t.Errorf("missing %v: %v; want %q", c.dial.Missing, err, c.says)
		}
	}
	b, err := decade.ReadBox(strings.NewReader(`{"decades": [{"step": "1 Ω", "missing": [8, 7]}]}`))
	if err != nil || !slices.Equal(b.Decades()[0].Missing, []int{7, 8}) {
		t.Errorf("missing 8 and 7: %v, %v; want them in order", b.Decades(), err)
	}
	if got := (decade.Decade{Positions: 300, Missing: []int{1}}).NumElements(); got != 254 {
		t.Errorf("%d elements of a dial that was not checked; want 254", got)
	}
}
