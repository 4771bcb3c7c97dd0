// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// trapezoidCDF is the distribution function of the sum of two rectangles of half-widths a
// and b: the mean of the triangular ramp, from the second integral of the rectangles.
func trapezoidCDF(x, a, b float64) float64 {
	if b == 0 {
		return min(1, max(0, (x+a)/(2*a)))
	}
	ramp := func(v float64) float64 { return max(0, v) * max(0, v) / 2 }
	return (ramp(x+a+b) - ramp(x+a-b) - ramp(x-a+b) + ramp(x-a-b)) / (4 * a * b)
}

// widthCDF is the distribution function of a rectangle of half-width w, averaged over w
// uniform on a ± d by the midpoint rule.
func widthCDF(x, a, d float64) float64 {
	const n = 100
	sum := 0.0
	for i := range n {
		w := a + d*(2*(float64(i)+0.5)/n-1)
		sum += min(1, max(0, (x+w)/(2*w))) / n
	}
	return sum
}

// Every sampler against the distribution function that a general-purpose library or a
// formula of another kind gives: the probabilities of the draws are uniform, in the
// outermost thousandths too.
func TestSamplersAgainstGonum(t *testing.T) {
	const n, cells = 100_000, 100
	type law struct {
		s   Sampler
		cdf func(x float64) float64
	}
	gamma := distuv.Gamma{Alpha: 3, Beta: 2}
	laws := map[string]law{
		"rectangle":      {Rectangle(3, 2), distuv.Uniform{Min: 1, Max: 5}.CDF},
		"triangle":       {Triangle(3, 2), distuv.NewTriangle(1, 5, 3, nil).CDF},
		"normal":         {Normal(-1, 4), distuv.Normal{Mu: -1, Sigma: 4}.CDF},
		"exponential":    {Exponential(2.5), distuv.Exponential{Rate: 0.4}.CDF},
		"gamma 0.5":      {Gamma(0.5), distuv.Gamma{Alpha: 0.5, Beta: 1}.CDF},
		"gamma 8":        {Gamma(8), distuv.Gamma{Alpha: 8, Beta: 1}.CDF},
		"arcsine":        {Arcsine(1, 2), func(x float64) float64 { return distuv.Beta{Alpha: 0.5, Beta: 0.5}.CDF((x + 1) / 4) }},
		"two rectangles": {TwoRectangles(0, 2, 0.5), func(x float64) float64 { return trapezoidCDF(x, 2, 0.5) }},
		"one rectangle":  {TwoRectangles(0, 2, 0), func(x float64) float64 { return trapezoidCDF(x, 2, 0) }},
		"random width":   {RandomWidth(0, 2, 1), func(x float64) float64 { return widthCDF(x, 2, 1) }},
		"inversion":      {Inversion(gamma.Quantile, gamma.StdDev()), gamma.CDF},
	}
	for _, dof := range []float64{0.5, 1, 1.7, 4, 99, 1000, 1001} {
		laws[fmt.Sprint("t ", dof)] = law{StudentT(1, 0.5, dof), distuv.StudentsT{Mu: 1, Sigma: 0.5, Nu: dof}.CDF}
	}
	for name, l := range laws {
		column := make([]float64, blockSize)
		counts := make([]int, cells)
		low, high := 0, 0
		for block := range n / blockSize {
			g := BlockGenerator(43, 2, block)
			l.s.Fill(column, &g)
			for _, v := range column {
				p := l.cdf(v)
				counts[min(cells-1, max(0, int(p*cells)))]++
				if p < 1e-3 {
					low++
				}
				if p > 1-1e-3 {
					high++
				}
			}
		}
		if z := chiSquared(counts); math.Abs(z) > 4 {
			t.Errorf("%s: chi-squared off by %.1f standard deviations", name, z)
		}
		for side, c := range map[string]int{"lower": low, "upper": high} {
			if z := (float64(c) - n*1e-3) / math.Sqrt(n*1e-3); math.Abs(z) > 4.2 {
				t.Errorf("%s: %d draws in the %s thousandth of %d", name, c, side, n)
			}
		}
	}
}

// The covariance of joint draws is the scale matrix, times ν/(ν − 2) for a multivariate t.
func TestJointCovariance(t *testing.T) {
	const n = 200_000
	factor := [][]float64{{2, 0}, {1.5, 0.5}, {0, -1}}
	for _, dof := range []float64{math.Inf(1), 12} {
		j := NewJoint([]float64{1, -1, 5}, factor, dof)
		scale := 1.0
		if dof == 12 {
			scale = 12.0 / 10
		}
		if j.DOF() != dof {
			t.Errorf("degrees of freedom %v, want %v", j.DOF(), dof)
		}
		columns, z := make([][]float64, 3), make([]float64, blockSize)
		for i := range columns {
			columns[i] = make([]float64, blockSize)
		}
		var sum [3][3]float64
		var mean [3]float64
		total := 0.0
		for block := range n / blockSize {
			g := BlockGenerator(9, 1, block)
			j.Fill(columns, z, &g)
			for k := range z {
				total++
				for a := range 3 {
					mean[a] += columns[a][k]
					for b := range 3 {
						sum[a][b] += (columns[a][k] - j.x[a]) * (columns[b][k] - j.x[b])
					}
				}
			}
		}
		for a := range 3 {
			if d := mean[a]/total - j.x[a]; math.Abs(d) > 4*2*math.Sqrt(scale/total) {
				t.Errorf("dof %v: mean %d off by %v", dof, a, d)
			}
			for b := range 3 {
				want := 0.0
				for k := range factor[a] {
					want += scale * factor[a][k] * factor[b][k]
				}
				// A product of two has a variance of at most 3·(2·2)² here, heavier tails included.
				if got := sum[a][b] / total; math.Abs(got-want) > 4*8/math.Sqrt(total) {
					t.Errorf("dof %v: covariance %d, %d is %v, want %v", dof, a, b, got, want)
				}
			}
		}
	}
}

// gapQuantile is that of a law uniform on 0 to 1 and on 2 to 3: it jumps.
func gapQuantile(p float64) float64 {
	if p < 0.5 {
		return 2 * p
	}
	return 1 + 2*p
}

// A table reproduces the quantile; where the quantile jumps it asks again.
func TestTableReproducesQuantiles(t *testing.T) {
	g := rand.New(rand.NewPCG(3, 4))
	for name, l := range map[string]struct {
		quantile func(p float64) float64
		mean, u  float64
	}{
		"normal":    {distuv.Normal{Mu: 3, Sigma: 2}.Quantile, 3, 2},
		"gamma":     {distuv.Gamma{Alpha: 3, Beta: 2}.Quantile, 1.5, math.Sqrt(3) / 2},
		"lognormal": {distuv.LogNormal{Mu: 0, Sigma: 0.5}.Quantile, 1.13, 0.6},
		"beta":      {distuv.Beta{Alpha: 2, Beta: 0.5}.Quantile, 0.8, 0.21},
		"t":         {distuv.StudentsT{Mu: 1, Sigma: 0.5, Nu: 4}.Quantile, 1, 0.71},
		"uniform":   {distuv.Uniform{Min: 1, Max: 2}.Quantile, 1.5, 0.29},
		"gap":       {gapQuantile, 1.5, 1},
	} {
		table := newTable(l.quantile, l.u)
		for range 2000 {
			q := 0.5 * math.Exp2(-40*g.Float64())
			for half, want := range []float64{l.quantile(q), l.quantile(1 - q)} {
				if got := table.value(half, q); math.Abs(got-want) > 1e-5*l.u+math.Abs(want-l.mean)*0x1p-52/q {
					t.Fatalf("%s: half %d at %v: %v, want %v", name, half, q, got, want)
				}
			}
		}
	}
}

// Filling a column allocates nothing.
func TestFillAllocations(t *testing.T) {
	column := make([]float64, blockSize)
	for name, s := range map[string]Sampler{"rectangle": Rectangle(0, 1), "normal": Normal(0, 1),
		"t": StudentT(0, 1, 4), "gamma": Gamma(2), "arcsine": Arcsine(0, 1)} {
		g := BlockGenerator(1, 1, 1)
		if n := testing.AllocsPerRun(20, func() { s.Fill(column, &g) }); n != 0 {
			t.Errorf("%s: %v allocations, want none", name, n)
		}
	}
}

func BenchmarkFill(b *testing.B) {
	column := make([]float64, blockSize)
	for _, l := range []struct {
		name string
		s    Sampler
	}{{"rectangle", Rectangle(0, 1)}, {"triangle", Triangle(0, 1)}, {"normal", Normal(0, 1)}, {"t4", StudentT(0, 1, 4)}, {"gamma", Gamma(2)}} {
		b.Run("law="+l.name, func(b *testing.B) {
			g := BlockGenerator(1, 1, 1)
			for b.Loop() {
				l.s.Fill(column, &g)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/blockSize, "ns/draw")
		})
	}
}
