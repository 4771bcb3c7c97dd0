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

var presets = map[string]func() decade.Code{
	"1-1-2-5": decade.Code1125, "1-2-2-5": decade.Code1225, "1-2-3-4": decade.Code1234, "1-2-4-2": decade.Code1242,
	"1-2-3-6": decade.Code1236, "1-2-4-8": decade.Code1248, "1-2-2-2-2": decade.Code12222, "2-2-2-2-2-1": decade.Code222221,
	"1-3-3-2": decade.Code1332,
}

// The combinations of the codes in the trade, as weights in circuit at each position.
// Source: common practice, and for 1-3-3-2 an electricians' guide of 1914; the sums are
// the check.
func TestPublishedCodes(t *testing.T) {
	for name, positions := range map[string]string{
		"1-1-2-5":     "1 2 1+2 1+1+2 5 1+5 2+5 1+2+5 1+1+2+5",
		"1-2-2-5":     "1 2 1+2 2+2 5 1+5 2+5 1+2+5 2+2+5 1+2+2+5",
		"1-2-3-4":     "1 2 3 4 1+4 2+4 3+4 1+3+4 2+3+4 1+2+3+4",
		"1-2-4-2":     "1 2 1+2 4 1+4 2+4 1+2+4 2+4+2 1+2+4+2",
		"1-2-3-6":     "1 2 3 1+3 2+3 6 1+6 2+6 3+6 1+3+6 2+3+6 1+2+3+6",
		"1-2-4-8":     "1 2 1+2 4 1+4 2+4 1+2+4 8 1+8 2+8 1+2+8 4+8 1+4+8 2+4+8 1+2+4+8",
		"1-2-2-2-2":   "1 2 1+2 2+2 1+2+2 2+2+2 1+2+2+2 2+2+2+2 1+2+2+2+2",
		"2-2-2-2-2-1": "1 2 2+1 2+2 2+2+1 2+2+2 2+2+2+1 2+2+2+2 2+2+2+2+1 2+2+2+2+2 2+2+2+2+2+1",
		"1-3-3-2":     "1 2 1+2 1+3 3+2 1+3+2 1+3+3 3+3+2 1+3+3+2",
	} {
		t.Run(name, func(t *testing.T) {
			code := presets[name]()
			b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1, Code: code}}})
			d := b.Decades()[0]
			want := strings.Fields(positions)
			if d.Positions != len(want) {
				t.Fatalf("%d positions; want %d", d.Positions, len(want))
			}
			for p := 1; p <= d.Positions; p++ {
				var weights []string
				for _, e := range d.InCircuit(p) {
					weights = append(weights, fmt.Sprint(d.Weight(e)))
				}
				if got := strings.Join(weights, "+"); got != want[p-1] {
					t.Errorf("position %d: %s; want %s", p, got, want[p-1])
				}
			}
		})
	}
}

// Position n of an equal-step decade is n identical resistors in series (common practice).
func TestPublishedLadder(t *testing.T) {
	d := decade.Decade{Step: 10}
	if got := d.InCircuit(4); !slices.Equal(got, []int{1, 2, 3, 4}) {
		t.Errorf("position 4: %v", got)
	}
	for _, p := range []int{-1, 0, 11, 256, 1 << 30} {
		if got := d.InCircuit(p); len(got) != 0 {
			t.Errorf("position %d: %v; want none", p, got)
		}
	}
	if d.Weight(0) != 0 || d.Weight(11) != 0 || d.Weight(10) != 1 {
		t.Error("weights of a ladder")
	}
	huge := decade.Decade{Positions: 1 << 30}
	if huge.NumElements() != 255 {
		t.Error("a description that is not checked makes as many elements as it likes")
	}
	short := decade.Decade{Positions: 9, Code: decade.Code{Weights: []int{1}, InCircuit: [][]int{nil, {1}}}}
	if got := short.InCircuit(5); got != nil {
		t.Errorf("position beyond the code: %v", got)
	}
}

func TestCodeRefuses(t *testing.T) {
	for _, c := range []struct {
		contains string
		code     decade.Code
	}{
		{"weights without positions", decade.Code{Weights: []int{1}}},
		{"weights without positions", decade.Code{InCircuit: [][]int{nil}}},
		{"weights without positions", decade.Code{Contacts: []int{1}}},
		{"weight of element 2 is 0", decade.Code{Weights: []int{1, 0}, InCircuit: [][]int{nil, {1}}}},
		{"256 elements", decade.Code{Weights: make([]int, 256), InCircuit: [][]int{nil, {1}}}},
		{"1 position with 0", decade.Code{Weights: []int{1}, InCircuit: [][]int{nil}}},
		{"position 0: the weights of its elements add up to 1; expected 0", decade.Code{Weights: []int{1}, InCircuit: [][]int{{1}, {1}}}},
		{"position 1: element 2; expected 1 to 1", decade.Code{Weights: []int{1}, InCircuit: [][]int{nil, {2}}}},
		{"position 2: element 1 twice", decade.Code{Weights: []int{1}, InCircuit: [][]int{nil, {1}, {1, 1}}}},
		{"position 2: the weights of its elements add up to 3; expected 2", decade.Code{Weights: []int{1, 2}, InCircuit: [][]int{nil, {1}, {1, 2}}}},
		{"contacts for 1 position; expected 2", decade.Code{Weights: []int{1}, InCircuit: [][]int{nil, {1}}, Contacts: []int{1}}},
		{"position 1: -1 contacts", decade.Code{Weights: []int{1}, InCircuit: [][]int{nil, {1}}, Contacts: []int{1, -1}}},
	} {
		_, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1, Code: c.code}}})
		if !errors.Is(err, decade.ErrCode) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("%v: error %v; want %q", c.code, err, c.contains)
		}
	}
	_, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1, Positions: 10, Code: decade.Code1125()}}})
	if !errors.Is(err, decade.ErrCode) {
		t.Errorf("positions beside those of the code: %v", err)
	}
}

func TestContacts(t *testing.T) {
	coded := func(c decade.Code) *decade.Box {
		return box(t, decade.Spec{Decades: []decade.Decade{{Step: 10}, {Step: 1, Code: c}}})
	}
	shared := box(t, school())
	for _, c := range []struct {
		box       *decade.Box
		positions []int
		want      int
	}{
		{box(t, bench()), []int{0, 0, 0, 0, 0}, 5}, // one for each switch, at zero too
		{box(t, bench()), []int{9, 1, 0, 10, 3}, 5},
		{shared, []int{0, 0, 0, 0, 0}, 4}, // two ranges, one switch
		{shared, []int{3, 0, 0, 0, 0}, 4},
		{shared, []int{0, 3, 0, 0, 0}, 4},
		{coded(decade.Code1225()), []int{0, 0}, 5}, // every element is shorted by a contact
		{coded(decade.Code1225()), []int{0, 10}, 1},
		{coded(decade.Code1225()), []int{0, 4}, 3},
		{coded(decade.Code1332()), []int{0, 0}, 2}, // one plug, whichever pair it joins
		{coded(decade.Code1332()), []int{0, 6}, 2},
		{coded(decade.Code1332()), []int{0, 9}, 1},
	} {
		if got := at(t, c.box, c.positions...).Contacts(); got != c.want {
			t.Errorf("%v: %d contacts; want %d", c.positions, got, c.want)
		}
	}
}
