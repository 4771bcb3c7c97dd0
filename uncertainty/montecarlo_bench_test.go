// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// The comparison of a 10 kΩ resistor with a standard, seven inputs, by the library
// and as one would write it with a general-purpose library: a draw per input, the
// model, append, sort.

type laboratory struct {
	name string
	y    uncertainty.Quantity
	rand []distuv.Rander // Rs dRd dRts dRtx rc r dr
	f    func(x []float64) float64
}

func comparison(x []float64) float64 { return (x[0]+x[1]+x[2])*x[4]*(x[5]+x[6]) - x[3] }

// closures is the same formula as an interpreter of text would evaluate it: a tree of
// functions.
func closures() func(x []float64) float64 {
	type node = func(x []float64) float64
	input := func(i int) node { return func(x []float64) float64 { return x[i] } }
	add := func(a, b node) node { return func(x []float64) float64 { return a(x) + b(x) } }
	sub := func(a, b node) node { return func(x []float64) float64 { return a(x) - b(x) } }
	mul := func(a, b node) node { return func(x []float64) float64 { return a(x) * b(x) } }
	rs := add(add(input(0), input(1)), input(2))
	return sub(mul(mul(rs, input(4)), add(input(5), input(6))), input(3))
}

func laboratories() []laboratory {
	build := func(d ...uncertainty.Distribution) uncertainty.Quantity {
		var q []uncertainty.Quantity
		for i, name := range []string{"Rs", "dRd", "dRts", "dRtx", "rc", "r", "dr"} {
			q = append(q, uncertainty.Input(name, d[i]))
		}
		return q[0].Add(q[1]).Add(q[2]).Mul(q[4]).Mul(q[5].Add(q[6])).Sub(q[3])
	}
	src := rand.NewPCG(1, 2)
	mixed := laboratory{
		name: "mixed",
		y: build(uncertainty.Normal(10000.053, 0.0025), uncertainty.Rectangular(0.020, 0.010),
			uncertainty.Rectangular(0, 0.00275),
			uncertainty.Rectangular(0, 0.0055), uncertainty.Triangular(1, 1e-6),
			uncertainty.StudentT(1.0000105, 0.7e-7, 4), uncertainty.Normal(0, 1e-8)),
		rand: []distuv.Rander{
			distuv.Normal{Mu: 10000.053, Sigma: 0.0025, Src: src}, distuv.Uniform{Min: 0.010, Max: 0.030, Src: src}, distuv.Uniform{Min: -0.00275, Max: 0.00275, Src: src},
			distuv.Uniform{Min: -0.0055, Max: 0.0055, Src: src}, distuv.NewTriangle(1-1e-6, 1+1e-6, 1, src), distuv.StudentsT{Mu: 1.0000105, Sigma: 0.7e-7, Nu: 4, Src: src}, distuv.Normal{Mu: 0, Sigma: 1e-8, Src: src},
		},
	}
	normal := laboratory{name: "normal"}
	var d []uncertainty.Distribution
	for i, x := range []float64{10000.053, 0.020, 0, 0, 1, 1.0000105, 0} {
		u := []float64{0.0025, 0.006, 0.0016, 0.003, 4e-7, 1e-7, 1e-8}[i]
		d = append(d, uncertainty.Normal(x, u))
		normal.rand = append(normal.rand, distuv.Normal{Mu: x, Sigma: u, Src: src})
	}
	normal.y = build(d...)
	mixed.f, normal.f = comparison, comparison
	text := mixed
	text.name, text.f = "text", closures()
	return []laboratory{mixed, normal, text}
}

const benchTrials = 1_000_000

// naive returns mean, standard deviation and symmetric 95 % interval.
func naive(d []distuv.Rander, f func(x []float64) float64, trials int) (mean, u float64, i uncertainty.Interval) {
	var y []float64
	x := make([]float64, len(d))
	for range trials {
		for i, r := range d {
			x[i] = r.Rand()
		}
		y = append(y, f(x))
	}
	mean, u = stat.MeanStdDev(y, nil)
	sort.Float64s(y)
	q := int(0.95*float64(trials) + 0.5)
	r := (trials - q + 1) / 2
	return mean, u, uncertainty.Interval{Lower: y[r-1], Upper: y[r+q-1]}
}

func TestMonteCarloAgreesWithNaiveLoop(t *testing.T) {
	const trials = 200_000
	for _, l := range laboratories() {
		sim, err := uncertainty.MonteCarlo{Trials: trials, Seed: 3, Twin: uncertainty.TwinOff}.Run(t.Context(), l.y)
		if err != nil {
			t.Fatal(err)
		}
		o := sim.Outputs[0]
		mean, u, i := naive(l.rand, l.f, trials)
		// Both are samples: their difference has √2 of the noise of one.
		for _, c := range []struct {
			what             string
			got, want, noise float64
		}{
			{"mean", o.Estimate, mean, o.Sampling.Estimate}, {"u", o.StandardUncertainty, u, o.Sampling.StandardUncertainty},
			{"lower", o.Symmetric.Lower, i.Lower, o.Sampling.Lower}, {"upper", o.Symmetric.Upper, i.Upper, o.Sampling.Upper},
		} {
			if math.Abs(c.got-c.want) > 4*math.Sqrt2*c.noise {
				t.Errorf("%s: %s %v, naive %v, noise %.2g", l.name, c.what, c.got, c.want, c.noise)
			}
		}
	}
}

func BenchmarkMonteCarlo(b *testing.B) {
	for _, l := range laboratories() {
		report := func(b *testing.B) {
			b.ReportAllocs()
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchTrials, "ns/trial")
		}
		b.Run("model="+l.name+"/impl=graph/workers=1", func(b *testing.B) {
			for b.Loop() {
				if _, err := (uncertainty.MonteCarlo{Trials: benchTrials, Workers: 1,
					Twin: uncertainty.TwinOff}).Run(b.Context(), l.y); err != nil {
					b.Fatal(err)
				}
			}
			report(b)
		})
		b.Run("model="+l.name+"/impl=graph/workers=2", func(b *testing.B) {
			for b.Loop() {
				if _, err := (uncertainty.MonteCarlo{Trials: benchTrials, Workers: 2,
					Twin: uncertainty.TwinOff}).Run(b.Context(), l.y); err != nil {
					b.Fatal(err)
				}
			}
			report(b)
		})
		b.Run("model="+l.name+"/impl=naive", func(b *testing.B) {
			for b.Loop() {
				naive(l.rand, l.f, benchTrials)
			}
			report(b)
		})
	}
}
