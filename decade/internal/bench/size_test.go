// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
)

func TestPlans(t *testing.T) {
	b := bare(t, decade.Decade{Step: 1, Code: decade.Code1225()}, decade.Decade{Step: 10, Positions: 9, Switch: "A"}, decade.Decade{Step: 100, Positions: 9, Switch: "A"})
	for _, c := range []struct {
		extent    Extent
		diallings int
		want      int
	}{
		{Minimal, 1, 1 + 4 + 9 + 9},             // zero, four elements, two ladders
		{Recommended, 1, 1 + 4 + 9 + 9 + 4 + 2}, // each range with the code at two pairs of positions, the highest, zero
		{Full, 1, 1 + 10 + 9 + 9 + 2},
		{Full, 3, 3 * 31},
	} {
		plan := Plan(b, c.extent, c.diallings)
		if len(plan) != c.want {
			t.Errorf("%v, %d times: %d settings; expected %d: %v", c.extent, c.diallings, len(plan), c.want, plan)
		}
		for _, p := range plan {
			if _, err := b.At(p...); err != nil {
				t.Error(err)
			}
		}
	}
	codes := bare(t, decade.Decade{Step: 1, Code: decade.Code1225()})
	minimal := Plan(codes, Minimal, 1)
	want := []int{0, 1, 2, 4, 5}
	for i, p := range want {
		if len(minimal) != len(want) || minimal[i][0] != p {
			t.Fatalf("minimal plan of 1-2-2-5: %v; expected positions %v", minimal, want)
		}
	}
}

// The size of one drift beyond the class, read with independent errors: (|d| − limit)/u with
// u from the reading with it and the zero reading.
func TestSizeOfADrift(t *testing.T) {
	m := Meter{Law: Independent, Ranges: []MeterRange{{Name: "all", FullScale: 1e3, OfRange: 1e-5, K: 1}}} // u = 0.01 Ω
	b := box(t, decade.Spec{Residual: 1, Decades: []decade.Decade{{Step: 100, Positions: 1, Tolerance: 0.001}}})
	for _, d := range []float64{0.5, -0.7} {
		x := set(t, b, m, 3, Options{}, Fault{Kind: Drift, A: elementPlace(0, 1), Value: d})
		off := x.Element(0, 1) + d - 100
		s := x.Size(x.ReadAll([][]int{{0}, {1}, {1}}, 1))
		// The residual has no tolerance here and is known; two readings with the element.
		want := (math.Abs(off) - 0.1) / (0.01 / math.Sqrt2)
		if !near(s.Beyond, want, 1e-3) {
			t.Errorf("drift of %v Ω: %v u beyond the class; expected %v", d, s.Beyond, want)
		}
		// Of the factor: u² = u²/2 + half²/3 over d².
		if wantU := math.Sqrt(0.01*0.01/2+0.01/3) / math.Abs(d); !near(s.U, wantU, 1e-6) {
			t.Errorf("u of the factor %v; expected %v", s.U, wantU)
		}
	}
	x := set(t, b, m, 3, Options{})
	if s := x.Size(x.ReadAll([][]int{{0}, {1}}, 1)); s.Beyond > 0.01 || !math.IsInf(s.U, 1) {
		t.Errorf("a healthy box: %+v", s)
	}
	open := set(t, b, m, 3, Options{}, Fault{Kind: OpenElement, A: elementPlace(0, 1)})
	if s := open.Size(open.ReadAll([][]int{{0}, {1}}, 1)); !math.IsInf(s.Beyond, 1) || s.U != 0 {
		t.Errorf("open: %+v", s)
	}
	if s := open.Size(nil); s.Beyond != 0 {
		t.Errorf("nothing read: %+v", s)
	}
}

// The distance from the nearest healthy box agrees with a slow projected descent.
func TestBeyondAgreesWithDescent(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for i := range 12 {
		c := Construction(i % int(NumConstructions))
		b, err := DrawBox(c, rng, 3, 3)
		if err != nil {
			t.Fatal(err)
		}
		f := Fault{Kind: Series, A: Place{Part: Link}, Value: 0.5}
		if i%2 == 0 {
			f = Fault{Kind: Drift, A: elementPlace(1, 2), Value: 0.003 * b.Decades()[1].Step}
		}
		x := set(t, b, Meters()[1], uint64(i), Options{}, f)
		rows := x.ReadAll(Plan(b, Full, 1), 1)
		if len(rows[len(rows)-2].Values) == 0 {
			continue // beyond the meter
		}
		g := x.leastSquares(rows)
		shift := make([]float64, len(rows))
		for k, r := range rows {
			shift[k] = r.Shift
		}
		if got, want := g.beyond(shift), descend(t, g, shift); math.Abs(got-want) > 0.02*want+0.01 {
			t.Errorf("box %d: %v u, by descent %v", i, got, want)
		}
	}
}

// descend minimises (d − C·x)ᵀ·V⁻¹·(d − C·x) one x at a time, each kept inside ±1.
func descend(t *testing.T, g *leastSquares, shift []float64) float64 {
	t.Helper()
	n, k := len(shift), len(g.col)
	inverse := invert(t, g, n)
	d := make([]float64, n)
	for i := range d {
		d[i] = shift[i] * g.scale[i]
		for j := range k {
			d[i] += g.truth[j] * g.col[j][i]
		}
	}
	times := func(v []float64) []float64 {
		out := make([]float64, n)
		for i := range out {
			for j := range n {
				out[i] += inverse[i][j] * v[j]
			}
		}
		return out
	}
	dot := func(a, b []float64) (s float64) {
		for i := range a {
			s += a[i] * b[i]
		}
		return s
	}
	weighted := make([][]float64, k)
	for j := range k {
		weighted[j] = times(g.col[j])
	}
	x := make([]float64, k)
	for range 6000 {
		for j := range k {
			step := dot(weighted[j], d) / dot(weighted[j], g.col[j])
			to := max(-1, min(1, x[j]+step))
			for i := range d {
				d[i] -= (to - x[j]) * g.col[j][i]
			}
			x[j] = to
		}
	}
	return math.Sqrt(dot(d, times(d)))
}

// invert inverts the correlation matrix by Gauss and Jordan.
func invert(t *testing.T, g *leastSquares, n int) [][]float64 {
	t.Helper()
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, 2*n)
		for j := range n {
			a[i][j] = g.cov.At(i, j)
		}
		a[i][n+i] = 1
	}
	for p := range n {
		best := p
		for i := p; i < n; i++ {
			if math.Abs(a[i][p]) > math.Abs(a[best][p]) {
				best = i
			}
		}
		a[p], a[best] = a[best], a[p]
		for i := range n {
			if i == p {
				continue
			}
			f := a[i][p] / a[p][p]
			for j := p; j < 2*n; j++ {
				a[i][j] -= f * a[p][j]
			}
		}
	}
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
		for j := range n {
			out[i][j] = a[i][n+j] / a[i][i]
		}
	}
	return out
}

// The covariance of readings is that of the errors as they are drawn.
func TestCovarianceIsThatOfTheDraws(t *testing.T) {
	m := Meters()[1]
	b := box(t, decade.Spec{Residual: 0.05, Contact: 0.002, Decades: []decade.Decade{{Step: 10, Tolerance: 0.001}}})
	plan := [][]int{{0}, {3}, {9}, {0}}
	const n = 4000
	sums := make([][]float64, len(plan))
	for i := range sums {
		sums[i] = make([]float64, len(plan))
	}
	var x *Bench
	var rows []Reading
	for k := range n {
		x = set(t, b, m, uint64(k), Options{})
		rows = x.ReadAll(plan, 1)
		for i := range rows {
			for j := range rows {
				e := func(r Reading) float64 { return r.Values[0] - x.Mean(r.Positions...) }
				sums[i][j] += e(rows[i]) * e(rows[j]) / n
			}
		}
	}
	for i := range rows {
		for j := range rows {
			want := x.covariance(&rows[i], &rows[j], i == j)
			unit := math.Sqrt(x.covariance(&rows[i], &rows[i], true) * x.covariance(&rows[j], &rows[j], true))
			if math.Abs(sums[i][j]-want) > 5*unit/math.Sqrt(n) {
				t.Errorf("covariance of %v and %v: %v drawn, %v computed", plan[i], plan[j], sums[i][j], want)
			}
		}
	}
}
