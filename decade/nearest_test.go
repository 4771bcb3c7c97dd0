// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// measuredBox is a box whose elements were measured at these deviations from nominal, as
// fractions, with a standard uncertainty of 1 ppm.
func measuredBox(t testing.TB, s decade.Spec, deviation func() float64) *decade.Box {
	t.Helper()
	b := box(t, s)
	c := &decade.Calibration{Box: b.Name(), Serial: b.Serial(), Date: time.Unix(0, 0),
		Values: uncertainty.Record{ID: "test"}}
	add := func(name string, ohms float64) {
		q := uncertainty.Input(name, uncertainty.Normal(ohms, 1e-6*ohms+1e-9))
		c.Values.Quantities = append(c.Values.Quantities, q.Named(name))
	}
	add(decade.ResidualName, s.Residual)
	for i, d := range b.Decades() {
		for e := 1; e <= d.NumElements(); e++ {
			add(b.ElementName(i, e), d.Step*float64(d.Weight(e))*(1+deviation()))
		}
	}
	out, err := b.With(c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func spread(r *rand.Rand, size float64) func() float64 {
	return func() float64 { return size * (2*r.Float64() - 1) }
}

// decades makes n dials of 0 to 10, the steps in this ratio from the lowest up.
func decades(n int, lowest, ratio float64) decade.Spec {
	var s decade.Spec
	for i := range n {
		d := decade.Decade{Name: fmt.Sprintf("dial %d", i+1), Step: lowest * math.Pow(ratio, float64(n-1-i))}
		s.Decades = append(s.Decades, d)
	}
	return s
}

// compared is the resistance that a target compares.
func compared(s decade.Setting, target decade.Target) float64 {
	switch {
	case target == decade.TargetIncrement:
		return s.Value() - s.Box().Zero().Value()
	case target == decade.TargetUsual && s.Box().Calibration() == nil:
		return s.Nominal()
	}
	return s.Value()
}

// brute returns the distances of all settings that meet a condition, ascending.
func brute(b *decade.Box, ohms float64, target decade.Target, meets func(decade.Setting) bool) []float64 {
	var out []float64
	for s := range b.Settings() {
		if meets(s) {
			out = append(out, math.Abs(compared(s, target)-ohms))
		}
	}
	slices.Sort(out)
	return out
}

// The n best by search against a look at every setting: nominal and measured boxes, all
// targets, held dials, currents, shared switches, both conventions of the residual.
func TestNearestNAgainstAll(t *testing.T) {
	const seed = 4
	r := rand.New(rand.NewPCG(seed, 0))
	for trial := range 400 {
		spec := randomSpec(r)
		spec.Residual, spec.ResidualIncluded = r.Float64()/4, r.IntN(2) == 0
		for i := range spec.Decades {
			spec.Decades[i].ElementPower = 0.1 + r.Float64()
		}
		b := box(t, spec)
		if r.IntN(2) == 0 {
			b = measuredBox(t, spec, spread(r, 0.05))
		}
		all := slices.Collect(b.Settings())
		from := all[r.IntN(len(all))]
		s := decade.Search{N: 1 + r.IntN(12), Target: decade.Target(r.IntN(3)), From: from}
		for i := range spec.Decades {
			if r.IntN(4) == 0 {
				s.Hold = append(s.Hold, i)
			}
		}
		if r.IntN(3) == 0 {
			s.MinCurrent = math.Sqrt(0.5 / spec.Decades[r.IntN(len(spec.Decades))].Step)
		}
		meets := func(x decade.Setting) bool {
			for _, i := range s.Hold {
				if x.Position(i) != from.Position(i) {
					return false
				}
			}
			if s.MinCurrent > 0 && !x.AllZero() {
				i, _, err := x.MaxCurrent()
				return err == nil && i >= s.MinCurrent
			}
			return true
		}
		wanted := all[r.IntN(len(all))].Value() * (1 + 0.02*r.NormFloat64())
		want := brute(b, math.Abs(wanted), s.Target, meets)
		got, err := b.NearestN(context.Background(), math.Abs(wanted), s)
		if err != nil {
			if len(want) > 0 && want[0] == 0 ||
				!errors.Is(err, decade.ErrDomain) && !errors.Is(err, decade.ErrNoSetting) {
				t.Fatalf("trial %d: %v; the nearest is %v Ω off", trial, err, want[:min(len(want), 1)])
			}
			continue
		}
		if len(got) != min(s.N, len(want)) {
			t.Fatalf("trial %d: %d settings; want %d", trial, len(got), min(s.N, len(want)))
		}
		for i, x := range got {
			d := math.Abs(compared(x, s.Target) - math.Abs(wanted))
			if !meets(x) || math.Abs(d-want[i]) > 1e-14*(1+wanted) || slices.Contains(got[:i], x) {
				t.Fatalf("trial %d, %+v: number %d is %v, %v Ω off; want %v Ω", trial, s, i, x, d, want[i])
			}
		}
	}
}

// Ties of a nominal box are in the order of the dials, to the last of many.
func TestNearestNTies(t *testing.T) {
	b := box(t, bench())
	for _, ohms := range []float64{1000, 10.05, 114.575, 0.05, 11111, 3333.3, 1111} {
		exact := func(s decade.Setting) *big.Rat {
			d := rat(-1, ohms)
			for i, dec := range b.Decades() {
				d.Add(d, rat(s.Position(i), dec.Step))
			}
			return d.Abs(d)
		}
		var near []decade.Setting // at least the twelve that are compared
		for s := range b.Settings() {
			if math.Abs(s.Nominal()-ohms) <= 1 {
				near = append(near, s)
			}
		}
		slices.SortStableFunc(near, func(x, y decade.Setting) int {
			if c := exact(x).Cmp(exact(y)); c != 0 {
				return c
			}
			return higher(x, y)
		})
		got, err := b.NearestN(context.Background(), ohms, decade.Search{N: 12})
		if err != nil || !slices.Equal(got, near[:12]) {
			t.Errorf("%v Ω: %v, %v; want %v", ohms, got, err, near[:12])
		}
		if one, err := b.Nearest(ohms); err != nil || one != got[0] {
			t.Errorf("Nearest(%v) = %v, %v; NearestN says %v", ohms, one, err, got[0])
		}
	}
}

// Nearest on a calibrated box, eight dials: branch and bound against a second algorithm,
// all sums of the upper four dials with the best partner among sorted sums of the lower.
func TestNearestMeasured(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 0))
	for name, spec := range map[string]decade.Spec{
		"decades": decades(8, 0.01, 10), "like steps": decades(8, 1, 1), "ratio 3": decades(8, 0.5, 3), "five": decades(5, 1, 10),
	} {
		b := measuredBox(t, spec, spread(r, 0.001))
		highest, err := b.Max()
		if err != nil {
			t.Fatal(err)
		}
		split := len(spec.Decades) / 2
		upper, lower := halfSums(b, 0, split), halfSums(b, split, len(spec.Decades))
		for range 60 {
			ohms := highest.Value() * r.Float64()
			least := math.Inf(1)
			for _, u := range upper {
				i, _ := slices.BinarySearch(lower, ohms-u)
				for j := max(0, i-1); j < min(len(lower), i+1); j++ {
					least = min(least, math.Abs(ohms-u-lower[j]))
				}
			}
			s, err := b.Nearest(ohms)
			if got := math.Abs(s.Value() - ohms); err != nil || math.Abs(got-least) > 1e-14*highest.Value() {
				t.Errorf("%s, %v Ω: %v is %v Ω off, %v; want %v Ω", name, ohms, s, got, err, least)
			}
			ten, err := b.NearestN(context.Background(), ohms, decade.Search{N: 10})
			if err != nil || len(ten) != 10 || math.Abs(ten[0].Value()-ohms) != math.Abs(s.Value()-ohms) {
				t.Errorf("%s, %v Ω: ten best begin with %v, %v; one best is %v", name, ohms, ten, err, s)
			}
		}
	}
}

// halfSums are all values that some dials alone can have, ascending.
func halfSums(b *decade.Box, from, to int) []float64 {
	sums := []float64{0}
	for i := from; i < to; i++ {
		var next []float64
		for p := range b.Decades()[i].Positions + 1 {
			s, _ := b.Zero().With(i, p)
			for _, x := range sums {
				next = append(next, x+s.Value()-b.Zero().Value())
			}
		}
		sums = next
	}
	slices.Sort(sums)
	return sums
}

// Dials of like steps without end are refused, not answered by a guess; with some held
// there is an answer.
func TestNearestTooLarge(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second to give up")
	}
	b := measuredBox(t, decades(14, 1, 1), spread(rand.New(rand.NewPCG(6, 0)), 0.01))
	if s, err := b.Nearest(61.2345); !errors.Is(err, decade.ErrSearch) {
		t.Errorf("14 dials of 1 Ω: %v, %v; want ErrSearch", s, err)
	}
	if _, err := b.NearestN(context.Background(), 61.2345,
		decade.Search{From: at(t, b, 5, 5, 5, 5, 5, 5, 0, 0, 0, 0, 0, 0, 0, 0),
			Hold: []int{0, 1, 2, 3, 4, 5}}); err != nil {
		t.Errorf("six of them held: %v", err)
	}
}

func TestPreferences(t *testing.T) {
	b := box(t, bench())
	for _, c := range []struct {
		name string
		ohms float64
		s    decade.Search
		want string
	}{
		{"highest dials", 1000, decade.Search{From: at(t, b, 0, 10, 0, 0, 1)}, "1-0-0-0-0"},
		{"fewest moves", 1000, decade.Search{From: at(t, b, 0, 10, 0, 0, 1), Prefer: decade.PreferFewestMoves}, "0-10-0-0-0"},
		{"fewest moves with slack", 1000, decade.Search{From: at(t, b, 0, 10, 0, 0, 1), Prefer: decade.PreferFewestMoves, Slack: 0.1}, "0-10-0-0-1"},
		{"too little slack", 1000, decade.Search{From: at(t, b, 0, 10, 0, 0, 1), Prefer: decade.PreferFewestMoves, Slack: 0.0999}, "0-10-0-0-0"},
		// Ten steps of 1 Ω at 0.5 % against one of 10 Ω at 0.1 %.
		{"smallest uncertainty", 10, decade.Search{From: at(t, b, 0, 0, 0, 10, 0), Prefer: decade.PreferSmallestUncertainty}, "0-0-1-0-0"},
		// Several dials share the error out: 900 + 100 has less than 1000.
		{"smallest uncertainty, several dials", 1000, decade.Search{Prefer: decade.PreferSmallestUncertainty}, "0-9-10-0-0"},
	} {
		got, err := b.NearestN(context.Background(), c.ohms, c.s)
		if err != nil || got[0].String() != c.want {
			t.Errorf("%s: %v, %v; want %s", c.name, got, err, c.want)
		}
	}
	// More than count as equal: the rest follows by distance.
	got, err := b.NearestN(context.Background(), 1000,
		decade.Search{N: 8, Prefer: decade.PreferFewestMoves, From: at(t, b, 0, 10, 0, 0, 0)})
	if err != nil || len(got) != 8 || got[0].String() != "0-10-0-0-0" || got[7].Nominal() == 1000 {
		t.Errorf("eight of five: %v, %v", got, err)
	}
	if _, err := b.NearestN(context.Background(), 5000, decade.Search{Slack: 2000}); !errors.Is(err, decade.ErrSearch) {
		t.Errorf("endless slack: %v", err)
	}
}

// The preference for small uncertainty against an evaluation of every setting within the slack.
func TestPreferSmallestUncertainty(t *testing.T) {
	b := measuredBox(t, decade.Spec{Decades: []decade.Decade{{Step: 100, Positions: 3}, {Step: 10},
		{Step: 1}}}, spread(rand.New(rand.NewPCG(7, 0)), 0.001))
	const wanted, slack = 234.5, 1.0
	nearest, err := b.Nearest(wanted)
	if err != nil {
		t.Fatal(err)
	}
	least, want := math.Inf(1), decade.Setting{}
	for s := range b.Settings() {
		if math.Abs(s.Value()-wanted) <= math.Abs(nearest.Value()-wanted)+slack {
			if u := evaluate(t, s.Resistance()).StandardUncertainty; u < least {
				least, want = u, s
			}
		}
	}
	got, err := b.NearestN(context.Background(), wanted,
		decade.Search{Slack: slack, Prefer: decade.PreferSmallestUncertainty})
	if err != nil || got[0] != want {
		t.Errorf("%v, %v; want %v with u = %v", got, err, want, least)
	}
}

func TestChoose(t *testing.T) {
	b := box(t, bench())
	c, err := b.Choose(context.Background(), 114.575, decade.Search{N: 2})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Best) != 2 || c.Best[0].Setting.String() != "0-1-1-4-6" || math.Abs(c.Best[0].Deviation-0.025) > 1e-12 {
		t.Errorf("best %+v", c.Best)
	}
	if c.Best[0].Indistinguishable || !c.Best[1].Indistinguishable {
		t.Errorf("best %+v; want the second marked as within %v Ω of the first", c.Best, c.U)
	}
	if far, err := b.Choose(context.Background(), 0.4, decade.Search{N: 2}); err != nil ||
		far.Best[1].Indistinguishable {
		t.Errorf("0.4 Ω: %+v, %v; want the second, 0.1 Ω away, told from the first by U = %v Ω", far.Best, err, far.U)
	}
	// By the laws of the inputs, mostly rectangular: k·u would be too wide.
	budget := evaluate(t, c.Best[0].Setting.Resistance())
	if i, err := budget.BestInterval(0.95); err != nil || c.U != i.Width()/2 || c.U > 0.95*budget.Expanded.U {
		t.Errorf("U = %v; want half of %v, less than %v (%v)", c.U, i, budget.Expanded.U, err)
	}
	// All within U of the best, and nothing else.
	n := 0
	for s := range b.Settings() {
		if math.Abs(s.Nominal()-114.575) <= 0.025+c.U+1e-12 {
			n++
		}
	}
	if len(c.Within) != n-2 || c.More {
		t.Errorf("%d within U and more %v; want %d", len(c.Within), c.More, n-2)
	}
	if c, err = b.Choose(context.Background(), 9000, decade.Search{}); err != nil || len(c.Within) != 100 || !c.More {
		t.Errorf("9 kΩ ± %v: %d within, more %v, %v", c.U, len(c.Within), c.More, err)
	}
	if c, err = b.Choose(context.Background(), 0.02,
		decade.Search{Target: decade.TargetTotal}); err != nil || !c.Best[0].Setting.AllZero() {
		t.Errorf("the residual: %+v, %v", c, err)
	}
	if c, err = b.Choose(context.Background(), 0,
		decade.Search{Target: decade.TargetIncrement}); err != nil || c.U != 0 ||
		!c.Best[0].Setting.AllZero() {
		t.Errorf("no increment: %+v, %v", c, err)
	}
	if c, err = b.Choose(context.Background(), 100,
		decade.Search{Target: decade.TargetIncrement}); err != nil ||
		math.Abs(c.Best[0].Deviation) > 1e-12 {
		t.Errorf("increment: %+v, %v", c, err)
	}
}

func TestNearestRefuses(t *testing.T) {
	nan := math.NaN()
	b := box(t, bench())
	other := box(t, decades(3, 1, 10))
	measured := measuredBox(t, bench(), func() float64 { return 1e-4 })
	for _, c := range []struct {
		name     string
		box      *decade.Box
		ohms     float64
		s        decade.Search
		contains string
		err      error
	}{
		{"nil box", nil, 1, decade.Search{}, "box is nil", decade.ErrNoBox},
		{"NaN", b, nan, decade.Search{}, "NaN", decade.ErrNotFinite},
		{"negative", b, -1, decade.Search{}, "-1 Ω; expected 0 or more", decade.ErrDomain},
		{"beyond", b, 2e4, decade.Search{}, "20000 Ω; expected a resistance within reach of the settings, 0 Ω to 11111 Ω", decade.ErrDomain},
		{"beyond, measured", measured, 2e4, decade.Search{}, "0.02 Ω to 11112.1", decade.ErrDomain},
		{"beyond what is held", b, 100, decade.Search{From: at(t, b, 5, 0, 0, 0, 0), Hold: []int{0}}, "5000 Ω to 6111 Ω", decade.ErrDomain},
		{"N", b, 1, decade.Search{N: -1}, "N: -1", decade.ErrDomain},
		{"target", b, 1, decade.Search{Target: 9}, "expected TargetUsual, TargetTotal or TargetIncrement", decade.ErrDomain},
		{"prefer", b, 1, decade.Search{Prefer: 9}, "prefer: 9", decade.ErrDomain},
		{"slack", b, 1, decade.Search{Slack: nan}, "slack: NaN", decade.ErrNotFinite},
		{"current", b, 1, decade.Search{MinCurrent: -1}, "minCurrent: -1 A", decade.ErrDomain},
		{"rating", b, 1, decade.Search{MinCurrent: 0.1}, "elementPower: not stated for ×1 kΩ, ×100 Ω, ×10 Ω, ×1 Ω, ×0.1 Ω", decade.ErrNotStated},
		{"held dial", b, 1, decade.Search{Hold: []int{7}}, "dial 7", decade.ErrPosition},
		{"from another box", b, 1, decade.Search{From: other.Zero()}, "from: ", decade.ErrPosition},
		{"held against its rating", box(t, rated()), 1000, decade.Search{From: at(t, b, 1, 0, 0, 0, 0), Hold: []int{0}, MinCurrent: 1}, "no setting meets them", decade.ErrNoSetting},
	} {
		_, err := c.box.NearestN(context.Background(), c.ohms, c.s)
		if !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("NearestN, %s: %v; want %v with %q", c.name, err, c.err, c.contains)
		}
		if _, err := c.box.Choose(context.Background(), c.ohms, c.s); !errors.Is(err, c.err) {
			t.Errorf("Choose, %s: %v", c.name, err)
		}
	}
	if _, err := measured.Nearest(2e4); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("Nearest beyond a measured box: %v", err)
	}
}

// A residual of many times what the dials reach: the nearest of all settings, by every target.
func TestNearestMeasuredLargeResidual(t *testing.T) {
	r := rand.New(rand.NewPCG(22, 0))
	for _, residual := range []float64{0.1, 1, 100, 1e6} {
		spec := decades(2, 1e-3, 10)
		spec.Residual = residual
		b := measuredBox(t, spec, spread(r, 0.01))
		for s := range b.Settings() {
			one, err := b.Nearest(s.Value())
			if err != nil || one.Value() != s.Value() {
				t.Fatalf("%v Ω: Nearest of %v, %v Ω, is %v, %v Ω, %v", residual, s, s.Value(), one, one.Value(), err)
			}
			over := s.Value() - b.Zero().Value()
			list, err := b.NearestN(context.Background(), over, decade.Search{N: 2, Target: decade.TargetIncrement})
			if err != nil || list[0].Value() != s.Value() {
				t.Fatalf("%v Ω: NearestN of %v, %v Ω over zero, is %v, %v", residual, s, over, list, err)
			}
		}
	}
}

func TestNearestAllocations(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 0))
	b := measuredBox(t, decades(8, 0.01, 10), spread(r, 0.001))
	if n := testing.AllocsPerRun(200, func() { _, _ = b.Nearest(1e6 * r.Float64()) }); n != 0 {
		t.Errorf("Nearest on a calibrated box: %v allocations; want 0", n)
	}
	ten := decade.Search{N: 10}
	if n := testing.AllocsPerRun(200, func() { _, _ = b.NearestN(context.Background(), 1e6*r.Float64(), ten) }); n > 1 {
		t.Errorf("the ten best: %v allocations; want none but the answer", n)
	}
}

func TestTargetString(t *testing.T) {
	if decade.TargetUsual.String() != "usual value" ||
		decade.TargetIncrement.String() != "increment over zero" ||
		decade.Target(9).String() != "Target(9)" {
		t.Error("names of targets")
	}
}

// Which setting for 500 Ω, if 40 mA have to be borne and the tens are not to be touched?
func ExampleBox_NearestN() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, ElementPower: 0.5}, {Step: 100, ElementPower: 0.5}, {Step: 10, ElementPower: 0.5}, {Step: 1, ElementPower: 0.5},
	}})
	if err != nil {
		log.Fatal(err)
	}
	now, err := box.At(1, 0, 2, 0)
	if err != nil {
		log.Fatal(err)
	}
	settings, err := box.NearestN(context.Background(), 505.4,
		decade.Search{N: 3, From: now, Hold: []int{2}, MinCurrent: 0.04})
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range settings {
		fmt.Println(s, s.Nominal())
	}
	// Output:
	// 0-5-2-0 520
	// 0-5-2-1 521
	// 0-5-2-2 522
}

// The best setting, and those which the tolerance of the box does not tell from it.
func ExampleBox_Choose() {
	c, err := newBench().Choose(context.Background(), 42.34, decade.Search{})
	if err != nil {
		log.Fatal(err)
	}
	best := c.Best[0]
	fmt.Printf("%v: %+.2f Ω, U %.2f Ω\n", best.Setting, best.Deviation, c.U)
	for _, w := range c.Within {
		fmt.Printf("%v: %+.2f Ω\n", w.Setting, w.Deviation)
	}
	// Output:
	// 0-0-4-2-3: -0.04 Ω, U 0.05 Ω
	// 0-0-4-2-4: +0.06 Ω
}
