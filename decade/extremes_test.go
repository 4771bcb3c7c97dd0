// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// Extremes and shares against a look at every setting, on boxes of every kind.
func TestExtremesAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 0))
	for trial := range 300 {
		spec := randomSpec(r)
		spec.Residual, spec.ResidualIncluded, spec.Floor = 0.01*r.Float64(), r.IntN(2) == 0, 0.01*float64(r.IntN(2))
		for i := range spec.Decades {
			spec.Decades[i].Tolerance, spec.Decades[i].Floor = 0.001*(1+r.Float64()), 0.002*r.Float64()
		}
		b := measuredBox(t, spec, spread(r, 0.002))
		offset := b.Zero().Value()
		if spec.ResidualIncluded {
			offset = 0
		}
		low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
		inside := uint64(0)
		relative := func(s decade.Setting) [2]float64 {
			d := s.Value() - offset - s.Nominal()
			return [2]float64{d / s.Nominal(), d / s.ClassLimit()}
		}
		for s := range b.Settings() {
			if s.AllZero() {
				continue
			}
			for m, v := range relative(s) {
				low[m], high[m] = min(low[m], v), max(high[m], v)
			}
			if math.Abs(relative(s)[1]) <= 1 {
				inside++
			}
		}
		for m := range low {
			lowest, highest, err := b.Extremes(decade.Measure(m))
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(lowest.Relative-low[m]) > 1e-9*math.Abs(low[m])+1e-12 ||
				math.Abs(highest.Relative-high[m]) > 1e-9*math.Abs(high[m])+1e-12 {
				t.Fatalf("trial %d, measure %d: %v, %v; want %v, %v", trial, m, lowest, highest, low[m], high[m])
			}
			for _, e := range []decade.Extreme{lowest, highest} {
				if v := relative(e.Setting)[m]; math.Abs(v-e.Relative) > 1e-9*math.Abs(v)+1e-12 {
					t.Fatalf("trial %d: %v has %v; said %v", trial, e.Setting, v, e.Relative)
				}
			}
		}
		survey, err := b.Survey(context.Background())
		if err != nil || survey.Inside != inside || survey.Settings != b.NumSettings()-1 {
			t.Fatalf("trial %d: %v, %v; want %d inside", trial, survey, err, inside)
		}
	}
}

// Settings on their limit are within it, by the decimals of the values and not by their binary
// neighbours: every element is off by its tolerance, or two dials share out the limit of both.
func TestSurveyOnTheLimit(t *testing.T) {
	for _, c := range []struct {
		name       string
		spec       decade.Spec
		deviations [][]float64 // of the elements in Ω, by dial
		inside     uint64
	}{
		{"0.05 %", decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 3, Tolerance: 0.0005}, {Step: 0.1, Positions: 2, Tolerance: 0.0005}}},
			[][]float64{{0.005, 0.005, 0.005}, {0.00005, 0.00005}}, 11},
		{"low", decade.Spec{Decades: []decade.Decade{{Step: 100, Positions: 4, Tolerance: 0.001}}},
			[][]float64{{-0.1, -0.1, -0.1, -0.1}}, 4},
		// 0.1 + 0.2 Ω against two limits of 0.15 Ω: alone the first is inside and the second not.
		{"shared out", decade.Spec{Floor: 0, Decades: []decade.Decade{{Step: 15, Positions: 1, Tolerance: 0.01}, {Name: "second", Step: 15, Positions: 1, Tolerance: 0.01}}},
			[][]float64{{0.1}, {0.2}}, 2},
		{"one nanoohm beyond", decade.Spec{Decades: []decade.Decade{{Step: 100, Positions: 3, Tolerance: 0.001}}},
			[][]float64{{0.1, 0.100000001, 0.1}}, 1},
	} {
		b := box(t, c.spec)
		cal := &decade.Calibration{Values: uncertainty.Record{ID: "test"}}
		cal.Values.Quantities = append(cal.Values.Quantities, uncertainty.Exact(0).Named(decade.ResidualName).InUnit("Ω"))
		for i, d := range b.Decades() {
			for e, v := range c.deviations[i] {
				ohms, _ := new(big.Rat).Add(rat(1, d.Step), rat(1, v)).Float64()
				cal.Values.Quantities = append(cal.Values.Quantities,
					uncertainty.Exact(ohms).InUnit("Ω").Named(b.ElementName(i, e+1)))
			}
		}
		measured, err := b.With(cal)
		if err != nil {
			t.Fatal(err)
		}
		survey, err := measured.Survey(context.Background())
		if err != nil || survey.Inside != c.inside {
			t.Errorf("%s: %v, %v; want %d inside", c.name, survey, err, c.inside)
		}
		highest := max(survey.Highest.Relative, -survey.Lowest.Relative)
		if all := c.inside == survey.Settings; all && highest != 1 {
			t.Errorf("%s: the largest deviation is %v of the limit; want 1", c.name, highest)
		}
	}
}

func TestSurveyOfSixDecades(t *testing.T) {
	spec := decades(6, 0.1, 10)
	for i := range spec.Decades {
		spec.Decades[i].Tolerance = 0.001
	}
	b := measuredBox(t, spec, spread(rand.New(rand.NewPCG(12, 0)), 0.0005))
	s, err := b.Survey(context.Background())
	if err != nil || s.Inside != s.Settings || s.Settings != 1771560 || s.Highest.Relative > 0.5 {
		t.Errorf("%v, %v; want all within half of the class", s, err)
	}
	if text := s.String(); !strings.HasPrefix(text, "1771560 of 1771560 settings within class") {
		t.Error(text)
	}
}

func TestExtremesRefuse(t *testing.T) {
	deviation := func() float64 { return 1e-4 }
	large := decades(9, 1, 10)
	large.Tolerance = 0.001
	for name, c := range map[string]struct {
		err, want error
	}{
		"not calibrated": {second(box(t, bench()).Survey(context.Background())), decade.ErrCalibration},
		"nil":            {second((*decade.Box)(nil).Survey(context.Background())), decade.ErrNoBox},
		"no class":       {second(measuredBox(t, decades(3, 1, 10), deviation).Survey(context.Background())), decade.ErrNotStated},
		"large":          {second(measuredBox(t, large, deviation).Survey(context.Background())), decade.ErrSearch},
	} {
		if !errors.Is(c.err, c.want) {
			t.Errorf("%s: %v; want %v", name, c.err, c.want)
		}
	}
	if _, _, err := measuredBox(t, bench(), deviation).Extremes(7); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("measure 7: %v", err)
	}
	if low, high, err := measuredBox(t, large,
		deviation).Extremes(decade.MeasureOfClass); err != nil ||
		math.Abs(low.Relative-0.1) > 1e-6 || math.Abs(high.Relative-0.1) > 1e-6 {
		t.Errorf("nine dials, 0.01 %% high: %v, %v, %v", low, high, err)
	}
}

// surveyed is a box of n dials of 0 to 10, some of whose settings are outside their class.
func surveyed(tb testing.TB, n int) *decade.Box {
	spec := decades(n, 0.1, 10)
	spec.Tolerance = 0.001
	return measuredBox(tb, spec, spread(rand.New(rand.NewPCG(13, 0)), 0.002))
}

// turned counts the settings within class, zero included, one after the other, with the
// values of each summed again.
func turned(b *decade.Box, values [][]float64) uint64 {
	spec := b.Spec()
	n, p := uint64(0), make([]int, len(values))
	for {
		value, nominal := 0.0, 0.0
		for i, x := range p {
			value += values[i][x]
			nominal += spec.Decades[i].Step * float64(x)
		}
		if math.Abs(value-nominal) <= spec.Tolerance*nominal {
			n++
		}
		i := len(p) - 1
		for ; i >= 0 && p[i] == 10; i-- {
			p[i] = 0
		}
		if i < 0 {
			return n
		}
		p[i]++
	}
}

func TestSurveyAgainstTurning(t *testing.T) {
	for _, n := range []int{4, 6} {
		b := surveyed(t, n)
		s, err := b.Survey(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if want := turned(b, dialValues(b)); s.Inside != want-1 || s.Inside == s.Settings {
			t.Errorf("%d dials: %v; want %d within class, and some outside", n, s, want-1)
		}
	}
}

// All settings of a box of six dials: counted with a table of the last dials, and one after
// the other.
func BenchmarkSweep(b *testing.B) {
	box := surveyed(b, 6)
	perSetting := func(b *testing.B) {
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(box.NumSettings()), "ns/setting")
	}
	b.Run("impl=table", func(b *testing.B) {
		for b.Loop() {
			_, _ = box.Survey(context.Background())
		}
		perSetting(b)
	})
	b.Run("impl=odometer", func(b *testing.B) {
		values := dialValues(box)
		for b.Loop() {
			turned(box, values)
		}
		perSetting(b)
	})
}

func BenchmarkExtremes(b *testing.B) {
	for _, n := range []int{6, 8} {
		box := measuredBox(b, decades(n, 0.01, 10), spread(rand.New(rand.NewPCG(14, 0)), 0.001))
		b.Run(fmt.Sprintf("decades=%d", n), func(b *testing.B) {
			for b.Loop() {
				_, _, _ = box.Extremes(decade.MeasureOfNominal)
			}
		})
	}
}
