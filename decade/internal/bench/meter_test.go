// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"

	"gonum.org/v1/gonum/stat"
)

// errorsAt reads resistors on many meters of one description: a row for each.
func errorsAt(t testing.TB, m Meter, n int, ohms ...float64) [][]float64 {
	t.Helper()
	b := bare(t, decade.Decade{Step: 1})
	out := make([][]float64, len(ohms))
	for i := range n {
		x := set(t, b, m, uint64(i), Options{})
		for k, r := range ohms {
			v, _ := x.Resistor(r, "", 1)
			out[k] = append(out[k], v[0]-r)
		}
	}
	return out
}

func oneRange(law Law, shape Shape, k float64) Meter {
	return Meter{Law: law, Shape: shape, Ranges: []MeterRange{{Name: "10 kΩ", FullScale: 1e4, OverRange: 1.2, OfReading: 3e-5, OfRange: 6e-6, K: k}}}
}

// spread compares a standard deviation of n draws with what is expected, to 4 standard
// errors of a normal one.
func spread(t testing.TB, what string, got []float64, want float64) {
	t.Helper()
	s := stat.StdDev(got, nil)
	if math.Abs(s-want) > 4*want/math.Sqrt(2*float64(len(got)))+1e-15 {
		t.Errorf("%s: standard deviation %v; expected %v", what, s, want)
	}
}

// u of a single reading is (a·R + b·V)/√3 under one limit, √(a²R² + b²V²)/√3 under two.
func TestErrorsOfASingleReading(t *testing.T) {
	const n = 3000
	for _, r := range []float64{0, 2000, 10000} {
		limit := 3e-5*r + 0.06
		two := math.Hypot(3e-5*r, 0.06)
		spread(t, "one limit", errorsAt(t, oneRange(OneLimit, Sum, 0), n, r)[0], limit/math.Sqrt(3))
		spread(t, "two limits", errorsAt(t, oneRange(TwoLimits, Sum, 0), n, r)[0], two/math.Sqrt(3))
		spread(t, "independent", errorsAt(t, oneRange(Independent, Sum, 0), n, r)[0], limit/math.Sqrt(3))
		spread(t, "one limit, k = 2", errorsAt(t, oneRange(OneLimit, Sum, 2), n, r)[0], limit/2)
		spread(t, "independent, k = 2", errorsAt(t, oneRange(Independent, Sum, 2), n, r)[0], limit/2)
	}
	uncertaintytest.Published{
		Name: "u of 100 Ω on 100 Ω, 0.01 % of reading and 0.004 % of range, in mΩ", Source: "common practice, computed by hand", Place: "example 23",
		Printed: "8.08", Provenance: uncertaintytest.CommonPractice,
	}.Run(t, 1000*(1e-4*100+4e-5*100)/MeterRange{}.divisor())
}

// Parts drawn by themselves add up to more than the limit now and then, as the standard
// uncertainties of a budget allow.
func TestSumOfParts(t *testing.T) {
	limit := 3e-5*5000 + 0.06
	var beyond int
	for _, x := range errorsAt(t, oneRange(OneLimit, Sum, 0), 4000, 5000)[0] {
		if math.Abs(x) > limit {
			beyond++
		}
	}
	if beyond == 0 {
		t.Error("no sum of parts exceeds the limit; expected some")
	}
}

// Errors on the sphere are even between the limits at every reading, but for the linearity, and
// the difference of two readings is even too: by one limit with the root of the sum of squares
// of what is left of gain and cross term.
func TestErrorsOnSpheres(t *testing.T) {
	m := oneRange(OneLimit, Sphere, 0)
	m.Ranges[0].Linearity = 1e-9
	const n = 4000
	const r1, r2 = 5000.0, 1000.0
	e := errorsAt(t, m, n, r1, r2)
	cross := math.Sqrt(2*3e-5*0.06) * (math.Sqrt(r1) - math.Sqrt(r2))
	difference := make([]float64, n)
	for i := range difference {
		difference[i] = e[0][i] - e[1][i]
	}
	for _, c := range []struct {
		name   string
		errors []float64
		limit  float64
	}{
		{"5 kΩ", e[0], 3e-5*r1 + 0.06}, {"1 kΩ", e[1], 3e-5*r2 + 0.06},
		{"difference", difference, math.Hypot(3e-5*(r1-r2), cross)},
	} {
		for _, part := range []float64{0.25, 0.5, 0.95, 1 + 1e-6} {
			inside := 0
			for _, x := range c.errors {
				if math.Abs(x) <= part*c.limit {
					inside++
				}
			}
			want := min(1, part)
			if share := float64(inside) / n; math.Abs(share-want) > 4*math.Sqrt(want*(1-want)/n)+1e-12 {
				t.Errorf("%s: %v of the errors within %v of the limit; expected %v", c.name, share, part, want)
			}
		}
	}
}

// What readings have in common: equal ones cancel but for noise, a difference keeps gain and
// cross term, a zero reading tells nothing of the gain.
func TestWhatReadingsShare(t *testing.T) {
	const n, r1, r2 = 4000, 10000.0, 1000.0
	m := oneRange(OneLimit, Sum, 0)
	e := errorsAt(t, m, n, r1, r1, r2, 0)
	difference := make([]float64, n)
	for i := range difference {
		if e[0][i] != e[1][i] {
			t.Fatalf("two readings of one resistor differ by %v Ω without noise", e[0][i]-e[1][i])
		}
		difference[i] = e[0][i] - e[2][i]
	}
	cross := math.Sqrt(2*3e-5*0.06) * (math.Sqrt(r1) - math.Sqrt(r2))
	line := 0.06 / 4 * math.Sqrt2
	spread(t, "a difference", difference, math.Sqrt(math.Pow(3e-5*(r1-r2), 2)+cross*cross+line*line)/math.Sqrt(3))

	// Correlation of zero and 10 kΩ: z_0 alone, (b²V² − e²)/(b·V·L).
	bV, lin, limit := 0.06, 0.015, 3e-5*r1+0.06
	if got, want := stat.Correlation(e[0], e[3], nil), (bV*bV-lin*lin)/(bV*limit); math.Abs(got-want) > 4/math.Sqrt(n) {
		t.Errorf("correlation of zero and 10 kΩ %v; expected %v", got, want)
	}
	independent := errorsAt(t, oneRange(Independent, Sum, 0), n, r1, r1)
	if got := stat.Correlation(independent[0], independent[1], nil); math.Abs(got) > 4/math.Sqrt(n) {
		t.Errorf("independent readings are correlated by %v", got)
	}
}

// Half of each variance is of the certificate, half of the session; linearity is the
// same whatever the session.
func TestSessions(t *testing.T) {
	const n = 4000
	b := bare(t, decade.Decade{Step: 1})
	sum := oneRange(TwoLimits, Sum, 0)
	sum.Ranges[0].OfRange, sum.Ranges[0].Resolution = 0, 0
	var one, two []float64
	for i := range n {
		x := set(t, b, sum, uint64(i), Options{})
		v, _ := x.Resistor(1e4, "", 1)
		x.NewSession()
		w, _ := x.Resistor(1e4, "", 1)
		one, two = append(one, v[0]-1e4), append(two, w[0]-1e4)
	}
	if got := stat.Correlation(one, two, nil); math.Abs(got-0.5) > 0.05 {
		t.Errorf("two sessions are correlated by %v; expected 0.5", got)
	}
	m := Meter{Law: TwoLimits, Ranges: []MeterRange{{Name: "r", FullScale: 1e4, OfRange: 1e-5, Linearity: 0.1}}}
	x := set(t, b, m, 1, Options{})
	at := func(r float64) float64 { v, _ := x.Resistor(r, "", 1); return v[0] - r }
	first := at(5000)
	x.NewSession()
	if again := at(5005); first == 0 || math.Abs(again-first) > 1e-9 {
		t.Errorf("linearity alone: %v Ω, in another session and 0.05 %% of the range away %v", first, again)
	}
	if other := at(5020); math.Abs(other-first) < 1e-9 {
		t.Errorf("linearity 0.2 %% of the range away is the same, %v Ω", other)
	}
}

// Ranges of one reference share the gain at the smallest a.
func TestSharedReference(t *testing.T) {
	const n = 4000
	m := Meter{Law: TwoLimits, Ranges: []MeterRange{
		{Name: "1", FullScale: 1, OfReading: 1e-4, Reference: "A"}, {Name: "10", FullScale: 10, OfReading: 2e-4, Reference: "A"}, {Name: "100", FullScale: 100, OfReading: 1e-4},
	}}
	e := errorsAt(t, m, n, 0.9, 9, 90)
	spread(t, "gain with an own part", e[1], 9*2e-4/math.Sqrt(3))
	if got := stat.Correlation(e[0], e[1], nil); math.Abs(got-0.5) > 0.05 {
		t.Errorf("correlation %v; expected 1e-4/2e-4", got)
	}
	if got := stat.Correlation(e[0], e[2], nil); math.Abs(got) > 0.07 {
		t.Errorf("correlation with a range of its own %v; expected 0", got)
	}
}

func TestNoiseResolutionAndRange(t *testing.T) {
	m := Meter{Ranges: []MeterRange{{Name: "big", FullScale: 1e3, Noise: 0.01}, {Name: "small", FullScale: 10, OverRange: 1.2, Resolution: 0.5}}}
	b := set(t, bare(t, decade.Decade{Step: 1}), m, 1, Options{})
	for _, c := range []struct {
		ohms       float64
		name, used string
	}{{3, "", "small"}, {11.9, "", "small"}, {12, "", "big"}, {3, "big", "big"}, {1e4, "", ""}, {13, "small", ""}} {
		if v, used := b.Resistor(c.ohms, c.name, 2); used != c.used || (len(v) == 2) != (used != "") {
			t.Errorf("%v Ω on %q: %v on %q; expected %q", c.ohms, c.name, v, used, c.used)
		}
	}
	v, _ := b.Resistor(3.3, "small", 1)
	if v[0] != 3.5 {
		t.Errorf("3.3 Ω in steps of 0.5: %v", v[0])
	}
	v, _ = b.Resistor(100, "", 4000)
	spread(t, "noise", v, 0.01)
}

func TestLeads(t *testing.T) {
	m := ideal()
	m.TwoWire, m.Leads, m.LeadsTolerance = true, 0.3, 0.05
	e := errorsAt(t, m, 500, 10)[0]
	if mean := stat.Mean(e, nil); math.Abs(mean-0.3) > 0.01 {
		t.Errorf("leads of %v Ω; expected 0.3", mean)
	}
	spread(t, "leads", e, 0.05/math.Sqrt(3))
	m.Nulled, m.NullTolerance = true, 0.01
	e = errorsAt(t, m, 500, 10)[0]
	spread(t, "a null", e, 0.01/math.Sqrt(3))
}

func TestMeterFaults(t *testing.T) {
	m := Meter{Ranges: []MeterRange{{Name: "10", FullScale: 10}, {Name: "1000", FullScale: 1000}}}
	b := set(t, bare(t, decade.Decade{Step: 100}, decade.Decade{Step: 1, Positions: 9}), m, 1, Options{},
		Fault{Kind: MeterGain, A: Place{Range, 0, 1}, Value: 0.003}, Fault{Kind: MeterZero, A: Place{Range, 0, 0}, Value: 0.2})
	for _, c := range []struct {
		at   []int
		want float64
	}{{[]int{3, 0}, 300.9}, {[]int{0, 3}, 3.2}} {
		if r := b.Read(1, c.at...); !near(r.Values[0], c.want, 1e-12) || !near(r.Sound+r.Shift, c.want, 1e-12) {
			t.Errorf("%v: %+v; expected %v", c.at, r, c.want)
		}
	}
}

func TestMetersAreChecked(t *testing.T) {
	for _, m := range []Meter{
		{}, {Ranges: []MeterRange{{}}}, {Ranges: []MeterRange{{FullScale: math.NaN()}}}, {Ranges: []MeterRange{{FullScale: 1, OfReading: -1}}},
		{Ranges: []MeterRange{{FullScale: 1, OfRange: 1e-5, Linearity: 1e-4}}}, {Ranges: []MeterRange{{FullScale: math.Inf(1)}}},
	} {
		if _, err := New(bare(t, decade.Decade{Step: 1}), m, 1, Options{}); err == nil || !strings.Contains(err.Error(), "expected") {
			t.Errorf("%+v: error %v", m, err)
		}
	}
	for _, m := range Meters() {
		if err := m.Check(); err != nil {
			t.Error(err)
		}
	}
	for l := range Independent + 1 {
		if l.String() == "" {
			t.Error("a law without a name")
		}
	}
}
