// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
)

// newBox makes a box of dials, each named by its step.
func newBox(t testing.TB, dials ...decade.Decade) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "test box", Serial: "T1", Residual: 0.01,
		ResidualTolerance: 0.005, Decades: dials})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func settings(t testing.TB, b *decade.Box, texts ...string) []decade.Setting {
	t.Helper()
	var out []decade.Setting
	for _, text := range texts {
		s, err := b.ParseSetting(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, s)
	}
	return out
}

// Four resistors of weights 1, 2, 2 and 5 are known from the positions where each of
// them comes in, and zero (common practice).
func TestCode1225FromFourPositions(t *testing.T) {
	b := newBox(t, decade.Decade{Name: "×1", Step: 1, Code: decade.Code1225()})
	d, err := Determine(b, settings(t, b, "0", "1", "2", "5", "10")...)
	if err != nil {
		t.Fatal(err)
	}
	if !d.Complete() || d.Rank != 5 || d.Unknowns != 5 {
		t.Errorf("%+v; want all four elements and the residual", d)
	}
}

// rank is by elimination in rational numbers, as in a textbook.
func rank(rows [][]int) int {
	m := make([][]*big.Rat, len(rows))
	for i, r := range rows {
		for _, v := range r {
			m[i] = append(m[i], big.NewRat(int64(v), 1))
		}
	}
	at := 0
	for col := 0; len(m) > 0 && col < len(m[0]); col++ {
		p := slices.IndexFunc(m[at:], func(r []*big.Rat) bool { return r[col].Sign() != 0 })
		if p < 0 {
			continue
		}
		m[at], m[at+p] = m[at+p], m[at]
		for i := at + 1; i < len(m); i++ {
			f := new(big.Rat).Quo(m[i][col], m[at][col])
			for j := range m[i] {
				m[i][j] = new(big.Rat).Sub(m[i][j], new(big.Rat).Mul(f, m[at][j]))
			}
		}
		if at++; at == len(m) {
			break
		}
	}
	return at
}

func dense(u determination.Unknowns, s decade.Setting) []int {
	row := make([]int, u.N)
	for _, j := range u.Of(s) {
		row[j] = 1
	}
	return row
}

func smallBoxes(t testing.TB) []*decade.Box {
	return []*decade.Box{
		newBox(t, decade.Decade{Name: "a", Step: 10, Positions: 3}, decade.Decade{Name: "b", Step: 1, Positions: 2}),
		newBox(t, decade.Decade{Name: "a", Step: 1, Code: decade.Code1225()}, decade.Decade{Name: "b", Step: 0.1, Positions: 2}),
		newBox(t, decade.Decade{Name: "a", Step: 10, Positions: 3, Switch: "s"}, decade.Decade{Name: "b", Step: 1, Positions: 2, Switch: "s"}),
		// Elements 2 and 3 are always in circuit together.
		newBox(t, decade.Decade{Name: "a", Step: 1, Code: decade.Code{Weights: []int{1, 1, 1}, InCircuit: [][]int{{}, {1}, {2, 3}, {1, 2, 3}}}}),
		newBox(t, decade.Decade{Name: "a", Step: 1, Code: decade.Code12222()}),
	}
}

// An unknown is determined when adding the equation "this unknown is known" raises no
// rank: brute force, with rational numbers, over sets of settings.
func TestDetermineAgainstRank(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for _, b := range smallBoxes(t) {
		all := slices.Collect(b.Settings())
		u := determination.New(b)
		for range 300 {
			var set []decade.Setting
			for range 1 + rnd.IntN(u.N+2) {
				set = append(set, all[rnd.IntN(len(all))])
			}
			var rows [][]int
			for _, s := range set {
				rows = append(rows, dense(u, s))
			}
			r := rank(rows)
			var want []string
			for j := range u.N {
				unit := make([]int, u.N)
				unit[j] = 1
				if rank(append(slices.Clone(rows), unit)) > r {
					want = append(want, u.Name(j))
				}
			}
			got, err := Determine(b, set...)
			if err != nil {
				t.Fatal(err)
			}
			if got.Rank != r || !slices.Equal(got.Undetermined, want) {
				t.Fatalf("%v: rank %d, undetermined %v; want %d, %v", set, got.Rank, got.Undetermined, r, want)
			}
			checkAdd(t, b, set, got)
		}
	}
}

// checkAdd: with the advised settings, only what can never be told apart is left, and
// every undetermined unknown is in one group or missing.
func checkAdd(t *testing.T, b *decade.Box, set []decade.Setting, d *Determination) {
	t.Helper()
	var named []string
	for _, g := range d.Together {
		named = append(named, g...)
	}
	named = append(named, d.Missing...)
	slices.Sort(named)
	open := slices.Sorted(slices.Values(d.Undetermined))
	if !slices.Equal(named, open) {
		t.Errorf("%v: groups and missing %v, undetermined %v", set, named, open)
	}
	after, err := Determine(b, slices.Concat(set, d.Add)...)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(after.Undetermined, d.Never) {
		t.Errorf("%v and %v: undetermined %v, never %v", set, d.Add, after.Undetermined, d.Never)
	}
}

// No set of settings determines more than the zero setting and every position.
func TestNeverByBruteForce(t *testing.T) {
	for _, b := range smallBoxes(t) {
		got, err := Determine(b, slices.Collect(b.Settings())...)
		if err != nil {
			t.Fatal(err)
		}
		none, err := Determine(b)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got.Undetermined, none.Never) {
			t.Errorf("all settings leave %v, never %v", got.Undetermined, none.Never)
		}
	}
}

func TestDetermineNames(t *testing.T) {
	b := newBox(t, decade.Decade{Name: "×100", Step: 100, Positions: 4},
		decade.Decade{Name: "×10", Step: 10, Positions: 2})
	got, err := Determine(b, settings(t, b, "0-0", "1-0", "2-0", "4-0", "0-1")...)
	if err != nil {
		t.Fatal(err)
	}
	want := &Determination{
		Unknowns: 7, Rank: 5,
		Undetermined: []string{"×100 element 3", "×100 element 4", "×10 element 2"},
		Together:     [][]string{{"×100 element 3", "×100 element 4"}},
		Missing:      []string{"×10 element 2"},
		Add:          settings(t, b, "3-0", "0-2"),
		Never:        []string{},
	}
	if d := cmp.Diff(want, got, cmp.Comparer(func(a, b decade.Setting) bool { return a == b })); d != "" {
		t.Error(d)
	}
	const text = "3 of 7 elements and residual are undetermined; not in any reading: ×10 element " +
		"2; only together: ×100 element 3, ×100 element 4; to be read as well: 3-0, 0-2"
	if got.String() != text {
		t.Errorf("%v", got)
	}
}

func TestDetermineRefuses(t *testing.T) {
	b, other := newBox(t, decade.Decade{Step: 1}), newBox(t, decade.Decade{Step: 1})
	if _, err := Determine(nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil box: %v", err)
	}
	if _, err := Determine(b, other.Zero()); !errors.Is(err, ErrContradiction) ||
		!strings.Contains(err.Error(), "settings[0]") {
		t.Errorf("setting of another box: %v", err)
	}
	if _, err := Determine(b, decade.Setting{}); !errors.Is(err, ErrContradiction) {
		t.Errorf("no setting: %v", err)
	}
}

func TestPlans(t *testing.T) {
	ladder := newBox(t, decade.Decade{Step: 100}, decade.Decade{Step: 10}, decade.Decade{Step: 1})
	coded := newBox(t, decade.Decade{Step: 10, Code: decade.Code1225()},
		decade.Decade{Step: 1, Code: decade.Code1225()})
	shared := newBox(t, decade.Decade{Step: 100, Positions: 9, Switch: "A"},
		decade.Decade{Step: 10, Positions: 9, Switch: "A"}, decade.Decade{Step: 1})
	ranges := newBox(t, decade.Decade{Step: 100, Positions: 2, Switch: "A"},
		decade.Decade{Step: 10, Positions: 2, Switch: "A"})
	single := newBox(t, decade.Decade{Step: 1, Positions: 4})
	one := newBox(t, decade.Decade{Step: 1, Positions: 1})
	for _, c := range []struct {
		name                   string
		box                    *decade.Box
		full, minimal, between int
		freedom                int // of the recommended plan
	}{
		{"ladders", ladder, 1 + 30 + 1, 1 + 30, 31 + 4 + 1 + 1, 6},
		{"codes", coded, 1 + 20 + 1, 1 + 8, 9 + 6 + 1, 7},
		{"shared switch", shared, 1 + 28 + 1, 1 + 28, 29 + 4 + 1, 5},
		{"two ranges alone", ranges, 1 + 4 + 1, 1 + 4, 5 + 4 + 1, 5},
		{"one dial", single, 1 + 4 + 1, 1 + 4, 5 + 2 + 1, 3},
		{"one step", one, 1 + 1 + 1, 1 + 1, 2 + 1 + 1, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			for e, n := range map[Extent]int{ExtentFull: c.full, ExtentMinimal: c.minimal,
				ExtentRecommended: c.between} {
				p, err := NewPlan(c.box, e)
				if err != nil {
					t.Fatal(err)
				}
				d, err := p.Determination()
				if err != nil || !d.Complete() {
					t.Errorf("%v: %v, %v", p, d, err)
				}
				if len(p.Steps) != n {
					t.Errorf("%v: want %d readings\n%v", p, n, p.Settings())
				}
				if f := p.DegreesOfFreedom(); e == ExtentMinimal && f != 0 || e == ExtentRecommended && f != c.freedom {
					t.Errorf("%v: %d degrees of freedom", p, f)
				}
			}
		})
	}
}

// Every reading of the minimal plan is needed, and the recommended plan dials zero at
// both ends.
func TestMinimalPlanIsMinimal(t *testing.T) {
	for _, b := range smallBoxes(t) {
		p, err := NewPlan(b, ExtentMinimal)
		if err != nil {
			t.Fatal(err)
		}
		all, err := p.Determination()
		if err != nil {
			t.Fatal(err)
		}
		for i := range p.Steps {
			d, err := Determine(b, slices.Delete(p.Settings(), i, i+1)...)
			if err != nil || d.Rank != all.Rank-1 {
				t.Errorf("without %v: %v, %v", p.Steps[i].Setting, d, err)
			}
		}
		r, err := NewPlan(b, ExtentRecommended)
		if err != nil {
			t.Fatal(err)
		}
		last := r.Steps[len(r.Steps)-1]
		if !r.Steps[0].Setting.AllZero() || !last.Setting.AllZero() || last.Dialling != 2 {
			t.Errorf("recommended plan %v; want zero at both ends", r.Settings())
		}
	}
}

func TestPlanRefuses(t *testing.T) {
	b := newBox(t, decade.Decade{Step: 1})
	if _, err := NewPlan(nil, ExtentFull); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil box: %v", err)
	}
	if _, err := NewPlan(b, 9); !errors.Is(err, ErrUnknown) {
		t.Errorf("extent 9: %v", err)
	}
	p, err := NewPlan(b, ExtentMinimal)
	if err != nil {
		t.Fatal(err)
	}
	for _, pace := range []Pace{{Turn: -1}, {Settle: 1 << 62}, {Repeats: -1}, {Repeats: 1e6}} {
		if _, err := p.Duration(pace); !errors.Is(err, ErrDomain) {
			t.Errorf("%+v: %v", pace, err)
		}
	}
	for _, n := range []int{-1, 0, 1e6} {
		if err := p.WriteCSV(&strings.Builder{}, n); !errors.Is(err, ErrDomain) {
			t.Errorf("%d repeats: %v", n, err)
		}
	}
}

func TestPlanDuration(t *testing.T) {
	p, err := NewPlan(newBox(t, decade.Decade{Step: 1, Positions: 2}), ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	// 0, 1, 2, 1, 2, 0: six diallings, 0+1+1+1+1+2 positions passed.
	got, err := p.Duration(Pace{Prepare: time.Minute, Turn: time.Second, Settle: 10 * time.Second,
		Read: 2 * time.Second, Repeats: 5})
	if want := time.Minute + 6*time.Second + 6*20*time.Second; err != nil || got != want {
		t.Errorf("%v, %v; want %v", got, err, want)
	}
}

// A plan that takes longer than a Duration can say is refused, not turned negative.
func TestPlanDurationOverflows(t *testing.T) {
	p, err := NewPlan(threeDials(t), ExtentFull)
	if err != nil {
		t.Fatal(err)
	}
	const week = 7 * 24 * time.Hour
	if got, err := p.Duration(Pace{Read: week, Repeats: 1000}); !errors.Is(err, ErrDomain) {
		t.Errorf("%d diallings of 1000 weeks: %v, %v; expected an error", len(p.Steps), got, err)
	}
	if got, err := p.Duration(Pace{Read: week, Repeats: 100}); err != nil ||
		got < time.Duration(100*len(p.Steps))*week {
		t.Errorf("%d diallings of 100 weeks: %v, %v", len(p.Steps), got, err)
	}
}

// The table of a plan, filled in, is a file of readings.
func TestPlanTableIsRead(t *testing.T) {
	b := newBox(t, decade.Decade{Step: 1, Positions: 2})
	p, err := NewPlan(b, ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	var s strings.Builder
	if err := p.WriteCSV(&s, 2); err != nil {
		t.Fatal(err)
	}
	rs, err := ReadReadings(strings.NewReader(strings.ReplaceAll(s.String(), ",,,,", ",,,1.5,2.5")), b)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rs {
		if r.Setting != p.Steps[i].Setting || r.Dialling != p.Steps[i].Dialling ||
			!slices.Equal(r.Values, []float64{1.5, 2.5}) {
			t.Errorf("reading %d: %+v, planned %+v", i, r, p.Steps[i])
		}
	}
	if _, err := ReadReadings(strings.NewReader(s.String()), b); !errors.Is(err, ErrEmpty) {
		t.Errorf("empty table: %v; want the line without a value", err)
	}
}

func TestPlanText(t *testing.T) {
	p, err := NewPlan(newBox(t, decade.Decade{Name: "×1", Step: 1, Positions: 2}), ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	var s strings.Builder
	if err := p.WriteText(&s); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"recommended plan of \"test box\": 6 readings, 3 degrees of freedom\nAbout 1h3m0s at the bench.", "discharge it", "Local codes",
		"\n0        0          residual\n", "\n1 #2     1          closure\n", "\n0 #2     0          residual again\n",
	} {
		if !strings.Contains(s.String(), want) {
			t.Errorf("no %q in\n%s", want, s.String())
		}
	}
}

// Pairs follow the steps, whatever the order of the dials.
func TestPlanOfDialsInAnyOrder(t *testing.T) {
	b := newBox(t, decade.Decade{Name: "×1", Step: 1, Positions: 2},
		decade.Decade{Name: "×100", Step: 100, Positions: 2},
		decade.Decade{Name: "×10", Step: 10, Positions: 2})
	var closures []decade.Setting
	for _, s := range recommended(t, b).Steps {
		if s.Purpose == forClosure {
			closures = append(closures, s.Setting)
		}
	}
	if want := settings(t, b, "0-1-1", "0-2-2", "1-0-1", "2-0-2", "2-2-2"); !slices.Equal(closures, want) {
		t.Errorf("closures %v, want %v", closures, want)
	}
}

func TestDetermineText(t *testing.T) {
	ladder := newBox(t, decade.Decade{Name: "a", Step: 1, Positions: 20})
	d, err := Determine(ladder, settings(t, ladder, "0", "3", "6", "9", "12", "15")...)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"not in any reading: a element 16, a element 17",
		"and 2 more groups", "only together: a element 1, a element 2, a element 3",
		"1, 2, 4, 5, 7, 8, 10, 8 more"} {
		if !strings.Contains(d.String(), want) {
			t.Errorf("no %q in %v", want, d)
		}
	}
	never := smallBoxes(t)[3]
	if d, err = Determine(never, slices.Collect(never.Settings())...); err != nil ||
		!strings.Contains(d.String(),
			"inseparable at any setting of this box: a element 2, a element 3") {
		t.Errorf("%v, %v", d, err)
	}
	all, err := Determine(ladder, slices.Collect(ladder.Settings())...)
	if err != nil || all.String() != "the readings determine the residual and all 20 elements" {
		t.Errorf("%v, %v", all, err)
	}
}
