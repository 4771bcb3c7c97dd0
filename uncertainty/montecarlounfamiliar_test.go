// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// unfamiliar is a model beside those of the guides, with a sampler of its own: another generator,
// and nothing of this library.
type unfamiliar struct {
	name string
	y    uncertainty.Quantity
	f    func(r *rand.Rand) float64
	p    float64
}

func drawT(r *rand.Rand, nu float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu, Src: r}.Rand()
}
func drawRectangle(r *rand.Rand, a float64) float64 { return a * (2*r.Float64() - 1) }

func called(f func(x []float64) float64, q ...uncertainty.Quantity) uncertainty.Quantity {
	return uncertainty.Call("f", f, q...)
}

func unfamiliarModels() []unfamiliar {
	N, R, T := uncertainty.Normal, uncertainty.Rectangular, uncertainty.StudentT
	c := mat.NewSymDense(2, []float64{0.04, -0.03, -0.03, 0.04})
	pair := uncertainty.Joint([]string{"p", "q"}, []float64{1, 2}, c)
	ch := func(r *rand.Rand) (float64, float64) {
		a, b := r.NormFloat64(), r.NormFloat64()
		return 1 + 0.2*a, 2 - 0.15*a + math.Sqrt(0.04-0.0225)*b
	}
	jt := uncertainty.JointSource{Names: []string{"p", "q"}, Estimates: []float64{1, 2}, Covariance: c, DOF: 5}.Inputs()
	many := []uncertainty.Quantity{}
	for i := range 200 {
		many = append(many, in(fmt.Sprint("m", i), R(0, 1+0.01*float64(i))))
	}
	x, y, z := in("x", N(0, 1)), in("y", R(0, 1)), in("z", N(1, 0.3))
	return []unfamiliar{
		{"t 1.5 + t 2 + t 3", in("a", T(0, 1, 1.5)).Add(in("b", T(0, 1, 2))).Add(in("c", T(0, 1, 3))), func(r *rand.Rand) float64 { return drawT(r, 1.5) + drawT(r, 2) + drawT(r, 3) }, 0.95},
		// Narrow, so that no trial of a hundred seeds has a square beyond float64.
		{"t2 exp", uncertainty.Exp(in("b", T(0, 0.01, 2))).Add(x.Scale(0.01)), func(r *rand.Rand) float64 { return math.Exp(0.01*drawT(r, 2)) + 0.01*r.NormFloat64() }, 0.9},
		{"arcsine*trapezoid", in("a", uncertainty.Arcsine(3, 1)).Mul(in("b", uncertainty.Trapezoidal(2, 0.5, 0.3))), func(r *rand.Rand) float64 {
			return (3 + math.Sin(2*math.Pi*r.Float64())) * (2 + drawRectangle(r, 0.325) + drawRectangle(r, 0.175))
		}, 0.95},
		{"product near 0", in("a", N(0.1, 1)).Mul(in("b", N(0.2, 1))), func(r *rand.Rand) float64 { return (0.1 + r.NormFloat64()) * (0.2 + r.NormFloat64()) }, 0.95},
		{"wide divisor", z.Div(in("d", R(1, 0.95))), func(r *rand.Rand) float64 { return (1 + 0.3*r.NormFloat64()) / (1 + drawRectangle(r, 0.95)) }, 0.95},
		{"|x|", called(func(v []float64) float64 { return math.Abs(v[0]) + v[1] }, in("x", N(0.2, 1)), in("y", R(0, 0.3))), func(r *rand.Rand) float64 { return math.Abs(0.2+r.NormFloat64()) + drawRectangle(r, 0.3) }, 0.95},
		{"max", called(func(v []float64) float64 { return max(v[0], v[1]) }, x, in("w", N(0.5, 1))), func(r *rand.Rand) float64 { return max(r.NormFloat64(), 0.5+r.NormFloat64()) }, 0.95},
		{"round", called(func(v []float64) float64 { return math.Round(4*v[0])/4 + v[1] }, x, in("w", N(0, 0.05))), func(r *rand.Rand) float64 { return math.Round(4*r.NormFloat64())/4 + 0.05*r.NormFloat64() }, 0.95},
		{"round alone", called(func(v []float64) float64 { return math.Round(4*v[0]) / 4 }, x), func(r *rand.Rand) float64 { return math.Round(4*r.NormFloat64()) / 4 }, 0.95},
		{"square + noise wide", in("x", N(0.5, 1)).Mul(in("x2", N(0.5, 1))).Add(y), func(r *rand.Rand) float64 { return (0.5+r.NormFloat64())*(0.5+r.NormFloat64()) + drawRectangle(r, 1) }, 0.99},
		{"correlated normals quotient", pair[0].Div(pair[1]), func(r *rand.Rand) float64 { a, b := ch(r); return a / b }, 0.95},
		{"joint t product", jt[0].Mul(jt[1]), func(r *rand.Rand) float64 {
			a, b := ch(r)
			w := math.Sqrt(5 / distuv.ChiSquared{K: 5, Src: r}.Rand())
			return (1 + (a-1)*w) * (2 + (b-2)*w)
		}, 0.95},
		{"exp alone", uncertainty.Exp(x), func(r *rand.Rand) float64 { return math.Exp(r.NormFloat64()) }, 0.95},
		{"square alone", x.Mul(x), func(r *rand.Rand) float64 { a := r.NormFloat64(); return a * a }, 0.95},
		{"sqrt rect", uncertainty.Sqrt(in("y", R(1, 1))), func(r *rand.Rand) float64 { return math.Sqrt(1 + drawRectangle(r, 1)) }, 0.5},
		{"200 inputs product", uncertainty.Sum(many...).Mul(z), func(r *rand.Rand) float64 {
			s := 0.0
			for i := range 200 {
				s += drawRectangle(r, 1+0.01*float64(i))
			}
			return s * (1 + 0.3*r.NormFloat64())
		}, 0.95},
		{"skew exp", in("e", distuv.Exponential{Rate: 1}).Mul(z), func(r *rand.Rand) float64 { return r.ExpFloat64() * (1 + 0.3*r.NormFloat64()) }, 0.9},
		{"gamma quotient", in("g", distuv.Gamma{Alpha: 4, Beta: 1}).Div(in("h", N(10, 0.5))), func(r *rand.Rand) float64 {
			return distuv.Gamma{Alpha: 4, Beta: 1, Src: r}.Rand() / (10 + 0.5*r.NormFloat64())
		}, 0.95},
		{"cos about top", uncertainty.Cos(in("x", N(0.1, 0.5))).Add(in("n", N(0, 0.02))), func(r *rand.Rand) float64 { return math.Cos(0.1+0.5*r.NormFloat64()) + 0.02*r.NormFloat64() }, 0.95},
		{"0.9999", z.Mul(in("k", N(5, 0.5))).Add(y), func(r *rand.Rand) float64 {
			return (1+0.3*r.NormFloat64())*(5+0.5*r.NormFloat64()) + drawRectangle(r, 1)
		}, 0.9999},
		{"0.5", z.Mul(in("k", N(5, 0.5))).Add(y), func(r *rand.Rand) float64 {
			return (1+0.3*r.NormFloat64())*(5+0.5*r.NormFloat64()) + drawRectangle(r, 1)
		}, 0.5},
		{"sin wide", uncertainty.Sin(in("x", N(0, 3))).Add(z), func(r *rand.Rand) float64 { return math.Sin(3*r.NormFloat64()) + 1 + 0.3*r.NormFloat64() }, 0.95},
		{"x³ - 3x", x.Mul(x).Mul(x).Sub(x.Scale(3)).Add(y), func(r *rand.Rand) float64 { v := r.NormFloat64(); return v*v*v - 3*v + drawRectangle(r, 1) }, 0.95},
		{"rare jump", called(func(v []float64) float64 {
			if v[0] > 1.9 {
				return v[1] + 3
			}
			return v[1]
		}, x, z), func(r *rand.Rand) float64 {
			v := 1 + 0.3*r.NormFloat64()
			if r.NormFloat64() > 1.9 {
				v += 3
			}
			return v
		}, 0.95},
	}
}

// Ends of the intervals against plain runs of the samplers, and what runs say of their ends
// against repetition, whether a twin helps, is off or is in doubt.
func TestUnfamiliarModelsAgainstSamplers(t *testing.T) {
	draws, seeds, trials := 60_000, 12, 8_000
	if uncertaintytest.Long() {
		draws, seeds, trials = 2_000_000, 100, 20_000
	}
	for k, c := range unfamiliarModels() {
		if c.p > 0.99 && !uncertaintytest.Long() {
			continue // takes a million trials
		}
		r := rand.New(rand.NewPCG(uint64(k), 77))
		sorted := make([]float64, draws)
		for i := range sorted {
			sorted[i] = c.f(r)
		}
		slices.Sort(sorted)
		quantile := func(p float64) (q, u float64) { // with its standard uncertainty, from neighbours
			at, d := p*float64(draws), math.Sqrt(float64(draws)*p*(1-p))
			low, high := int(max(0, at-d)), int(min(float64(draws-1), at+d))
			return sorted[int(at)], (sorted[high] - sorted[low]) / 2
		}
		var want, own [2]float64
		want[0], own[0] = quantile((1 - c.p) / 2)
		want[1], own[1] = quantile((1 + c.p) / 2)
		m := uncertainty.MonteCarlo{Trials: trials, Coverage: c.p}
		n := float64(seeds)
		if c.p > 0.99 {
			m.Trials, n = 1_100_000, 10
		}
		var off, square, said [2]float64
		var twin uncertainty.Twin
		for seed := range uint64(n) {
			m.Seed = seed
			o := simulate(t, m, c.y).Outputs[0]
			twin = o.Twin
			for i, d := range [2][2]float64{{o.Symmetric.Lower - want[0], o.Sampling.Lower},
				{o.Symmetric.Upper - want[1], o.Sampling.Upper}} {
				off[i] += d[0] / n
				square[i] += d[0] * d[0] / n
				said[i] += d[1] * d[1] / n
			}
		}
		for i, end := range []string{"lower", "upper"} {
			seen := math.Sqrt(max(0, square[i]-off[i]*off[i]) * n / (n - 1))
			// 5 standard deviations, and what lies between two trials of the sampler.
			if math.Abs(off[i]) > 5*math.Hypot(own[i], seen/math.Sqrt(n))+1e-9 {
				t.Errorf("%s, %s end: off by %.3g, sampler %.3g, scatter %.3g (%v)", c.name, end,
					off[i], own[i], seen, twin)
			}
			if seen > (1.2+4/math.Sqrt(2*n))*math.Sqrt(said[i])+1e-9 {
				t.Errorf("%s, %s end: seeds scatter by %.3g, said %.3g (%v)", c.name, end, seen,
					math.Sqrt(said[i]), twin)
			}
		}
		t.Logf("%s: %v", c.name, twin)
	}
}
