// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math/rand/v2"
	"reflect"
	"sync"
	"testing"

	"example.com/ohmwright/decade"
)

// sameDiagnosis compares all that two diagnoses say, to the last bit.
func sameDiagnosis(t *testing.T, what string, got, want *Diagnosis) {
	t.Helper()
	if got.ChiSquared != want.ChiSquared || got.Probability != want.Probability ||
		!reflect.DeepEqual(got.Next, want.Next) || len(got.Causes) != len(want.Causes) {
		t.Errorf("%s: χ² %v, healthy %v, %d causes, next %v; want %v, %v, %d, %v", what,
			got.ChiSquared, got.Probability, len(got.Causes), got.Next, want.ChiSquared,
			want.Probability, len(want.Causes), want.Next)
		return
	}
	for i, g := range got.Causes {
		w := want.Causes[i]
		if g.Probability != w.Probability || g.Sentence != w.Sentence ||
			!reflect.DeepEqual(g.Faults, w.Faults) || !reflect.DeepEqual(g.Equal, w.Equal) {
			t.Errorf("%s, cause %d: %v\n%+v, want %v\n%+v", what, i, g, g.Faults, w, w.Faults)
		}
	}
}

// keptCircuitBoxes are a ladder, a code and two ranges on one switch, with a fault each.
func keptCircuitBoxes(t *testing.T) map[*decade.Box][]Fault {
	t.Helper()
	code := dials(0.0005, 100, 10)
	code[0].Code = decade.Code1242()
	code[0].Positions = 0
	shared := dials(0.0005, 100, 10, 1)
	shared[0].Switch, shared[1].Switch = "A", "A"
	shared[0].Positions, shared[1].Positions = 9, 9
	spec := decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005}
	out := make(map[*decade.Box][]Fault)
	for i, d := range [][]decade.Decade{dials(0.0005, 1000, 100, 10), code, shared} {
		spec.Name, spec.Decades = []string{"ladders", "a code", "a shared switch"}[i], d
		out[box(t, spec)] = [][]Fault{
			{{Kind: KindBridge, A: Place{PartTap, 0, 2}, B: Place{PartTap, 0, 5}, Value: 2e4}},
			{{Kind: KindDrift, A: Place{PartElement, 1, 3}, Value: 0.4}},
			{{Kind: KindContact, A: Place{PartPosition, 2, 4}, Value: 0.3}},
		}[i]
	}
	return out
}

// A kept circuit changes no bit of any answer: whatever is read next, in whatever order, taken
// back, with the case strapped or not, of one box or another.
func TestKeptCircuitChangesNothing(t *testing.T) {
	kept := new(Circuit)
	for b, faults := range keptCircuitBoxes(t) {
		specimen, err := NewSpecimen(b, testMeter(), 3, faults...)
		if err != nil {
			t.Fatal(err)
		}
		readings, err := specimen.ReadAll(plan(t, b)...)
		if err != nil {
			t.Fatal(err)
		}
		r := rand.New(rand.NewPCG(1, 2))
		for order := range 3 {
			if order > 0 {
				r.Shuffle(len(readings), func(i, j int) {
					readings[i], readings[j] = readings[j], readings[i]
				})
			}
			n := len(readings)
			for _, count := range []int{6, 7, 7, 5, n} {
				report := evaluated(t, b, readings[:count])
				o := Options{Faults: 1, Strapped: order}
				if order == 1 && count == 7 {
					o.Faults = 2
				}
				want, err := o.Diagnose(t.Context(), report)
				if err != nil {
					t.Fatal(err)
				}
				o.Circuit = kept
				got, err := o.Diagnose(t.Context(), report)
				if err != nil {
					t.Fatal(err)
				}
				sameDiagnosis(t, b.Spec().Name, got, want)
			}
		}
	}
}

// Diagnoses that share a circuit at once, of different boxes, do not disturb each other.
func TestKeptCircuitAtOnce(t *testing.T) {
	kept := new(Circuit)
	var wg sync.WaitGroup
	for b, faults := range keptCircuitBoxes(t) {
		report := evaluated(t, b, noiseless(t, b, faults...))
		wg.Go(func() {
			want, err := Options{Faults: 1}.Diagnose(t.Context(), report)
			if err != nil {
				t.Error(err)
				return
			}
			for range 2 {
				got, err := Options{Faults: 1, Circuit: kept}.Diagnose(t.Context(), report)
				if err != nil {
					t.Error(err)
					return
				}
				sameDiagnosis(t, b.Spec().Name, got, want)
			}
		})
	}
	wg.Wait()
}

// What was computed of a setting is used again: only settings that are new cost anything.
func TestKeptCircuitIsUsed(t *testing.T) {
	kept := new(Circuit)
	b := box(t, decade.Spec{Residual: 0.02, Decades: dials(0.0005, 100, 10)})
	settings := unique(plan(t, b))
	first := kept.modelOf(nil, b, settings[:5], 0)
	known := kept.settings[settings[2]]
	second := kept.modelOf(nil, b, settings, 0)
	if kept.settings[settings[2]] != known || len(kept.settings) != len(settings) {
		t.Errorf("%d of %d settings kept; a known one anew: %v", len(kept.settings),
			len(settings), kept.settings[settings[2]] != known)
	}
	if first.layout != second.layout {
		t.Error("the circuit of the same box is made again")
	}
	if kept.modelOf(nil, b, settings[:3], 0); len(kept.settings) != 3 {
		t.Errorf("%d settings kept of 3", len(kept.settings))
	}
	if m := kept.modelOf(nil, b, settings[:3], 1); m.layout == first.layout {
		t.Error("kinds of bridges depend on the strap to the case")
	}
}
