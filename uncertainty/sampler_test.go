// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/internal/variate"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// everyLaw has each kind of distribution, with the parameters that take another path
// in the sampler.
func everyLaw() map[string]Distribution {
	d := map[string]Distribution{
		"normal": Normal(3, 2), "rectangular": Rectangular(-1, 4), "triangular": Triangular(100, 4), "arcsine": Arcsine(0, 0.5),
		"trapezoidal": Trapezoidal(3, 3, 1.0/3), "trapezoidal, narrow top": Trapezoidal(0, 1, 0), "trapezoidal, rectangle": Trapezoidal(0, 1, 1),
		"curvilinear": CurvilinearTrapezoidal(0, 1, 0.5), "curvilinear, widest": CurvilinearTrapezoidal(5, 1, 1), "curvilinear, rectangle": CurvilinearTrapezoidal(5, 1, 0),
		"exponential": Exponential(2.5), "counts 0": Counts(0), "counts 7": Counts(7), "counts 1000": Counts(1000),
		"type A": TypeA(1, 2, 4, 5, 7), "foreign gamma": distuv.Gamma{Alpha: 3, Beta: 2}, "foreign lognormal": distuv.LogNormal{Mu: 0, Sigma: 0.5},
		"foreign beta": distuv.Beta{Alpha: 2, Beta: 0.5}, "foreign uniform": distuv.Uniform{Min: 1, Max: 2},
		"foreign with a gap": gap{},
	}
	for _, dof := range []float64{0.5, 1, 1.7, 2, 4, 25, 99, 1000, 1001, 1e6} {
		d[fmt.Sprintf("t %v", dof)] = StudentT(1, 0.5, dof)
	}
	return d
}

// gap is uniform on 0 to 1 and on 2 to 3: its quantile jumps.
type gap struct{}

func (gap) Mean() float64   { return 1.5 }
func (gap) StdDev() float64 { return math.Sqrt(13.0 / 12) }
func (gap) Quantile(p float64) float64 {
	if p < 0.5 {
		return 2 * p
	}
	return 1 + 2*p
}

// lawDraws is the number of draws by which a law is tested.
func lawDraws() int {
	if uncertaintytest.Long() {
		return 200_000
	}
	return 50_000
}

func draws(t testing.TB, name string, d Distribution, n int) []float64 {
	t.Helper()
	s := &source{name: name, dist: d}
	if err := s.read(0); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return fillAll(samplerOf(s), n)
}

func fillAll(s variate.Sampler, n int) []float64 {
	out := make([]float64, n)
	for at, block := 0, 0; at < n; at, block = at+tape.BlockSize, block+1 {
		g := variate.BlockGenerator(42, 3, block)
		s.Fill(out[at:min(n, at+tape.BlockSize)], &g)
	}
	return out
}

// Each sampler against the quantiles of its distribution, which it does not use (but
// for foreign ones): equal shares between them, and in the outermost thousandths.
func TestSamplersFollowTheirQuantiles(t *testing.T) {
	const cells = 200
	n := lawDraws()
	for name, d := range everyLaw() {
		edges := make([]float64, cells-1)
		for i := range edges {
			edges[i] = d.Quantile(float64(i+1) / cells)
		}
		counts := make([]int, cells)
		low, high := 0, 0
		below, above := d.Quantile(1e-3), d.Quantile(1-1e-3)
		for _, v := range draws(t, name, d, n) {
			counts[sort.SearchFloat64s(edges, v)]++
			if v < below {
				low++
			}
			if v > above {
				high++
			}
		}
		if z := chiSquared(counts); math.Abs(z) > 4 {
			t.Errorf("%s: chi-squared off by %.1f standard deviations", name, z)
		}
		for side, c := range map[string]int{"lower": low, "upper": high} {
			if z := (float64(c) - float64(n)*1e-3) / math.Sqrt(float64(n)*1e-3); math.Abs(z) > 4 {
				t.Errorf("%s: %d draws in the %s thousandth of %d", name, c, side, n)
			}
		}
	}
}

// Mean and variance against the closed forms of the distribution.
func TestSamplersHaveTheirMoments(t *testing.T) {
	n := lawDraws()
	for name, d := range everyLaw() {
		want := d.StdDev()
		if l, ok := d.(law); ok && l.kind == student && l.dof <= 4 {
			continue // the variance of the variance does not exist
		}
		v := draws(t, name, d, n)
		var mean, square, fourth float64
		for _, x := range v {
			mean += x / float64(n)
		}
		for _, x := range v {
			e := (x - mean) * (x - mean)
			square += e / float64(n)
			fourth += e * e / float64(n)
		}
		if z := (mean - d.Mean()) / (want / math.Sqrt(float64(n))); math.Abs(z) > 4 {
			t.Errorf("%s: mean %v, want %v", name, mean, d.Mean())
		}
		if z := (square - want*want) / math.Sqrt((fourth-square*square)/float64(n)); math.Abs(z) > 4 {
			t.Errorf("%s: standard deviation %v, want %v", name, math.Sqrt(square), want)
		}
	}
}

// The support of a bounded law is never left.
func TestSamplersStayInside(t *testing.T) {
	for name, d := range everyLaw() {
		l, ok := d.(law)
		if !ok {
			continue
		}
		low, high := l.x-l.reach(), l.x+l.reach()
		if l.kind == exponential || l.kind == gamma {
			low = 0
		}
		for _, v := range draws(t, name, d, 100_000) {
			if !(v >= low && v <= high) {
				t.Errorf("%s: draw %v outside %v to %v", name, v, low, high)
				break
			}
		}
	}
}

// chiSquared tests counts against equal expectations and returns the number of
// standard deviations by which the statistic is too large or too small, by the cube
// root that is nearly normal (Wilson and Hilferty 1931).
func chiSquared(counts []int) float64 {
	total := 0
	for _, c := range counts {
		total += c
	}
	e := float64(total) / float64(len(counts))
	x := 0.0
	for _, c := range counts {
		x += (float64(c) - e) * (float64(c) - e) / e
	}
	k := float64(len(counts) - 1)
	return (math.Cbrt(x/k) - (1 - 2/(9*k))) / math.Sqrt(2/(9*k))
}
