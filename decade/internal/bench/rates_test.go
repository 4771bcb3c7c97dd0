// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"

	"gonum.org/v1/gonum/stat/distuv"
)

func allSorts() []What {
	return slices.Concat(HealthyBoxes(), Singles(), MeterFaults(), Pairs())
}

// Every sort can be drawn, its size is in reach of what is asked for, and a case comes out
// the same whenever it is made.
func TestCases(t *testing.T) {
	m := Mix{Seed: 1, Sorts: allSorts(), Most: 5, Least: 8, Largest: 40}
	rounds := 1
	if uncertaintytest.Long() {
		rounds = 20
	}
	for i := range rounds * len(m.Sorts) {
		c, err := m.Case(i)
		if err != nil {
			t.Error(err)
			continue
		}
		if len(c.Faults) > 0 && !(c.Size >= 8) || len(c.Faults) == 0 && c.Size != 0 {
			t.Errorf("%s: %v u; expected 8 or more, 0 of a healthy box", c.Sort.Name, c.Size)
		}
		if n := len(c.Faults); n != map[string]int{"healthy": 0, "pair": 2}[c.Sort.Group] && n != 1 {
			t.Errorf("%s: %v", c.Sort.Name, c.Faults)
		}
		if i%4 != 0 {
			continue
		}
		again, err := m.Case(i)
		if err != nil || again.Size != c.Size || ReadingsCSV(again.Readings) != ReadingsCSV(c.Readings) {
			t.Errorf("%s: another case the second time: %v", c.Sort.Name, err)
		}
	}
}

// The faults leave all other draws as they are.
func TestFaultsLeaveOtherDraws(t *testing.T) {
	b, err := MakeBox(Ladders, 0, 4, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	plan := Plan(b, Full, 1)
	sound := set(t, b, Meters()[1], 7, Options{}).ReadAll(plan, 2)
	faulty := set(t, b, Meters()[1], 7, Options{}, Fault{Kind: Drift, A: elementPlace(0, 8), Value: 1}).ReadAll(plan, 2)
	for i := range plan {
		if off := plan[i][0] >= 8; off == (sound[i].Values[1] == faulty[i].Values[1]) || sound[i].Sound != faulty[i].Sound {
			t.Errorf("%v: %v and with a drift of element 8 %v", plan[i], sound[i].Values, faulty[i].Values)
		}
	}
}

func TestBoxes(t *testing.T) {
	for c := range NumConstructions {
		b, err := MakeBox(c, lowestStep, highestStep-lowestStep+1, 0.0002)
		if err != nil {
			t.Fatal(err)
		}
		d := b.Decades()
		if len(d) != 10 || d[0].Step != 1e7 || d[9].Step != 0.01 || !strings.Contains(b.Name(), c.String()) {
			t.Errorf("%v: %d dials from %v to %v Ω", c, len(d), d[0].Step, d[len(d)-1].Step)
		}
	}
	if n := NumConstructions; n != 7 {
		t.Errorf("%d constructions; expected seven", n)
	}
}

// Rates count what a diagnosis that knows the truth, hides it, or drowns it is worth.
func TestRates(t *testing.T) {
	m := Mix{Seed: 2, Sorts: []What{HealthyBoxes()[0], Singles()[0], Singles()[9], MeterFaults()[0]}, Most: 3, Least: 8}
	const n = 16
	run := func(diagnose func(c *Case) Answer) *Rates {
		r, err := Run(m, n, 2, diagnose)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	other := []Fault{{Kind: OpenPath, A: Place{Part: Link}}}
	knows := run(func(c *Case) Answer {
		if len(c.Faults) == 0 {
			return Answer{Healthy: true, Probability: 0.95}
		}
		return Answer{Classes: []Class{{Probability: 0.9995, Members: [][]Fault{other, c.Faults}}}}
	})
	if a, h := knows.Group("", 8), knows.Group("healthy", 0); a != (Tally{12, 12, 12, 12}) || h != (Tally{4, 4, 4, 4}) || a.FirstShare() != 1 || a.ThreeShare() != 1 {
		t.Errorf("a diagnosis that knows: %v, healthy %v", a, h)
	}
	if s := knows.Calibration(); s[0].N != 4 || s[0].Right != 4 || s[2].N != 12 || s[2].Share() != 1 {
		t.Errorf("calibration %+v", s)
	}
	second := run(func(c *Case) Answer {
		return Answer{Text: "second", Classes: []Class{{Probability: 0.95, Members: [][]Fault{other}}, {Members: [][]Fault{c.Faults}}}}
	})
	if a := second.Group("single", 8); a != (Tally{8, 0, 8, 0}) || second.Group("healthy", 0).First != 0 || second.Group("meter", 8).N != 4 {
		t.Errorf("second place: %v", a)
	}
	if s := second.Calibration(); s[0].N != 16 || s[0].Right != 0 {
		t.Errorf("calibration %+v", s)
	}
	drowned := run(func(c *Case) Answer {
		members := [][]Fault{c.Faults}
		for p := range 5 {
			members = append(members, []Fault{{Kind: Overlap, A: positionPlace(0, p+1)}})
		}
		return Answer{Classes: []Class{{Members: members}}}
	})
	counted := run(func(c *Case) Answer {
		return Answer{Classes: []Class{{Members: [][]Fault{c.Faults}, Size: 6}}}
	})
	failed := run(func(c *Case) Answer {
		return Answer{Err: errors.New("no answer"), Classes: []Class{{Members: [][]Fault{c.Faults}}}}
	})
	for name, r := range map[string]*Rates{"six members": drowned, "six as counted": counted, "an error": failed} {
		a := r.Group("", 8)
		if a.First != 0 || a.Three != 0 || a.N != 12 {
			t.Errorf("%s: %v", name, a)
		}
		if large := strings.Contains(a.String(), "any size"); large != (name != "an error") {
			t.Errorf("%s: %v; the truth is in a class that is too large", name, a)
		}
	}
	text := knows.String() + second.Wrong(8) + failed.Wrong(8)
	for _, part := range []string{"element drift", "100.0 % first, 100.0 % in three, of 12", "healthy called healthy: 100.0 %", "stated 99.9 to 100 %: right in 100.0 % of 12", "second", "no answer", "6½ digits"} {
		if !strings.Contains(text, part) {
			t.Errorf("the table lacks %q:\n%s", part, text)
		}
	}
	if (Tally{}).String() != "none" {
		t.Error("an empty tally prints a share")
	}
	impossible := Mix{Sorts: []What{{Name: "none", Group: "single", draw: func(*drawing) ([]Fault, bool) { return nil, false }}}, Most: 3}
	if _, err := Run(impossible, 1, 1, nil); err == nil || !strings.Contains(err.Error(), "none") {
		t.Errorf("a sort that cannot be drawn: %v", err)
	}
}

// Intervals of a normal law hold as often as they say; narrower ones do not.
func TestCover(t *testing.T) {
	z := distuv.UnitNormal.Quantile(0.975)
	m := Meter{Law: Independent, Ranges: []MeterRange{{Name: "all", FullScale: 100, OfRange: 1e-4, K: 2}}} // u = 5 mΩ
	b := set(t, bareSmall(t), m, 1, Options{}).Box
	c, err := Cover(2000, 2, func(i int, report func(name string, lower, upper, truth float64)) error {
		r := set(t, b, m, uint64(i), Options{}).Read(1, 3)
		report("95 %", r.Values[0]-z*0.005, r.Values[0]+z*0.005, r.True)
		report("k = 1", r.Values[0]-0.005, r.Values[0]+0.005, r.True)
		report("everything", math.Inf(-1), math.Inf(1), r.True)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	s := c.Share("95 %")
	if low, high := s.Band(0.95, 1e-4); s.N != 2000 || s.Of() < low || s.Of() > high {
		t.Errorf("%+v; expected %v to %v", s, low, high)
	}
	if k := c.Share("k = 1"); math.Abs(k.Of()-0.6827) > 0.045 {
		t.Errorf("k = 1 holds %v; expected 0.68", k.Of())
	}
	if c.Share("everything").Held != 0 || c.Share("nothing").N != 0 {
		t.Error("an interval without ends held, or one that was not reported counts")
	}
	if text := c.String(); !strings.Contains(text, "95 %") || !strings.Contains(text, "2000") {
		t.Error(text)
	}
	_, err = Cover(3, 2, func(i int, _ func(string, float64, float64, float64)) error {
		if i == 1 {
			return errors.New("refused")
		}
		return nil
	})
	if err == nil || err.Error() != "bench: trial 1: refused" {
		t.Error(err)
	}
}

// The band of 3,000 trials at 95 %: 93.5 to 97 % is left by chance once in some thousand.
func TestBand(t *testing.T) {
	low, high := Share{N: 3000}.Band(0.95, 1e-4)
	// Normal: 0.95 ± 3.89·√(0.95·0.05/3000) = 0.9345 to 0.9655.
	if math.Abs(low-0.9345) > 0.0015 || math.Abs(high-0.9655) > 0.0015 {
		t.Errorf("%v to %v", low, high)
	}
	if l, h := (Share{N: 1}).Band(0.5, 0.2); l != 0 || h != 1 {
		t.Errorf("one trial at 50 %%: %v to %v", l, h)
	}
}

func ExampleMix_Case() {
	c, err := Mix{Seed: 3, Sorts: Singles()[:1], Most: 3}.Case(0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Sort.Name, len(c.Readings) > 10, c.Size > 3)
	// Output: element drift true true
}

// What the readings of a minimal plan leave together.
func TestAlternatives(t *testing.T) {
	two, err := MakeBox(Ladders, 1, 2, 0.0002)
	if err != nil {
		t.Fatal(err)
	}
	code, err := MakeBox(Codes1225, 1, 2, 0.0002)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		box   *decade.Box
		fault Fault
		e     Extent
		want  []string
	}{
		{"the last element and the contact at the last tap", two, Fault{Kind: Drift, A: elementPlace(0, 10), Value: 1}, Minimal, []string{"element 0.10", "dirty contact 4 0.10", "one dialling off 0.10"}},
		{"an element in the middle", two, Fault{Kind: Drift, A: elementPlace(0, 5), Value: 1}, Minimal, []string{"element 0.5"}},
		{"a link", two, Fault{Kind: Series, A: Place{Part: Link}, Value: 1}, Minimal, []string{"series"}},
		// Single elements alone: the contact beside one opens only while it is in circuit.
		{"a contact of a code", code, Fault{Kind: Contact, A: elementPlace(1, 1), Value: 1}, Full, []string{"dirty contact 1 1.1"}},
	} {
		b := set(t, c.box, Meters()[2], 3, Options{}, c.fault)
		got := b.Alternatives(b.ReadAll(Plan(c.box, c.e, 1), 1))
		slices.Sort(got)
		slices.Sort(c.want)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q; expected %q", c.name, got, c.want)
		}
	}
	open := set(t, two, Meters()[2], 3, Options{}, Fault{Kind: OpenElement, A: elementPlace(0, 5)})
	if got := open.Alternatives(open.ReadAll(Plan(two, Minimal, 1), 1)); got != nil || open.Alternatives(nil) != nil {
		t.Errorf("open: %q", got)
	}
	c, err := Mix{Seed: 4, Sorts: Singles()[:1], Most: 3, Alternatives: 1, Constructions: []Construction{Ladders}}.Case(0)
	if err != nil || c.Alternatives != 1 {
		t.Errorf("a drift without alternatives: %v, %v", c, err)
	}
}
