// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// The metric work is the variance of the ends of the interval, in millionths of the square of
// the standard uncertainty, times the nanoseconds of a run: what a given number of digits
// costs. The gain is the work without a twin over that with it.
func BenchmarkMonteCarloTwin(b *testing.B) {
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
	}{
		{"mixed", laboratories()[0].y}, {"power", voltageSquared()}, {"quotient", quotient()}, {"product", product()},
	} {
		for _, impl := range []struct {
			name string
			mode uncertainty.TwinMode
		}{{"plain", uncertainty.TwinOff}, {"twin", uncertainty.TwinAuto}} {
			b.Run("model="+c.name+"/impl="+impl.name, func(b *testing.B) {
				m := uncertainty.MonteCarlo{Trials: benchTrials, Workers: 1, Twin: impl.mode}
				var ends scatterOfEnds
				run := func() {
					m.Seed++
					s, err := m.Run(b.Context(), c.y)
					if err != nil {
						b.Fatal(err)
					}
					ends.take(&s.Outputs[0])
				}
				for b.Loop() {
					run()
				}
				elapsed, runs := b.Elapsed().Seconds(), float64(b.N)
				const fewest = 25 // for a variance
				for ends.n < fewest {
					run()
				}
				b.ReportMetric(1e6*ends.variance()*1e9*elapsed/runs, "work")
			})
		}
	}
}

// scatterOfEnds adds up both ends of the intervals of several runs, in standard
// uncertainties from the first.
type scatterOfEnds struct {
	n           float64
	first       uncertainty.Interval
	sum, square [2]float64
}

func (s *scatterOfEnds) take(o *uncertainty.Output) {
	if s.n == 0 {
		s.first = o.Symmetric
	}
	s.n++
	for i, d := range []float64{o.Symmetric.Lower - s.first.Lower, o.Symmetric.Upper - s.first.Upper} {
		d /= o.StandardUncertainty
		s.sum[i] += d
		s.square[i] += d * d
	}
}

// variance is that of both ends together, over the runs.
func (s *scatterOfEnds) variance() float64 {
	v := 0.0
	for i := range s.sum {
		v += (s.square[i] - s.sum[i]*s.sum[i]/s.n) / (s.n - 1)
	}
	return v
}

// worked are twelve models, those of the guides among them.
func worked() []twinCase {
	one1, exact := uncertainty.Exact(1), uncertainty.Exact
	ls, dt := in("lS", uncertainty.Certificate(50_000_623, 75, 3)), in("dt", uncertainty.Rectangular(0, 0.05))
	d := in("d", uncertainty.Normal(215, 9.663576930362096))
	aS, da := in("aS", uncertainty.Rectangular(11.5e-6, 2e-6)), in("da", uncertainty.Rectangular(0, 1e-6))
	theta := in("theta", uncertainty.Normal(-0.1, math.Sqrt(0.165)))
	gauge := ls.Add(d).Sub(ls.Mul(da.Mul(theta).Add(aS.Mul(dt)))) // H.1.7, in nanometres

	names := []string{"V", "I", "phi"}
	observed := uncertainty.JointTypeA(names, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999}, {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}, {1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	})
	known := uncertainty.Joint(names, observed.Estimates, observed.Covariance)
	reactance := known[0].Div(known[1]).Mul(uncertainty.Sin(known[2])) // H.2, jointly normal

	r := uncertainty.Rectangular(0, math.Sqrt(3))
	rhoA, rhoW, rhoR := in("rhoA", uncertainty.Rectangular(1.2, 0.1)),
		in("rhoW", uncertainty.Rectangular(8000, 1000)),
		in("rhoR", uncertainty.Rectangular(8000, 50))
	mass := in("mR", uncertainty.Normal(100_000, 0.05)).Add(in("dmR", uncertainty.Normal(1.234, 0.02)))
	buoyancy := rhoA.Sub(exact(1.2)).Mul(one1.Div(rhoW).Sub(one1.Div(rhoR)))
	x1, x2 := in("X1", uncertainty.Normal(0.05, 0.005)), in("X2", uncertainty.Normal(0, 0.005))

	calibration := in("ls", uncertainty.StudentT(50_000_623, 25, 18)).Add(in("D", uncertainty.StudentT(215, 6, 24))).
		Add(in("d1", uncertainty.StudentT(0, 4, 5))).Add(in("d2", uncertainty.StudentT(0, 7, 8)))
	warm := in("theta0", uncertainty.Normal(-0.1, 0.2)).Add(in("Delta", uncertainty.Arcsine(0, 0.5)))
	expansion := in("alphaS", uncertainty.Rectangular(11.5e-6, 2e-6))
	odd := in("dalpha", uncertainty.CurvilinearTrapezoidal(0, 1e-6, 0.1e-6))
	shift := in("dtheta", uncertainty.CurvilinearTrapezoidal(0, 0.05, 0.025))
	block := calibration.Sub(exact(50_000_623).Mul(odd.Mul(warm).Add(expansion.Mul(shift))))

	return []twinCase{
		{"JCGM 100 H.1", gauge, uncertainty.TwinNone},
		{"JCGM 100 H.2, X", reactance, uncertainty.TwinNone},
		{"JCGM 101 9.2.3", sumOf(r, r, r, r), uncertainty.TwinNone},
		{"JCGM 101 9.3", mass.Mul(one1.Add(buoyancy)).Sub(exact(100_000)), uncertainty.TwinNone},
		{"JCGM 101 9.4, x1 = 0.050", x1.Mul(x1).Add(x2.Mul(x2)), uncertainty.TwinNone},
		{"JCGM 101 9.5", block, uncertainty.TwinNone},
		{"substitution", laboratories()[0].y, uncertainty.TwinNone},
		{"V²/R", voltageSquared(), uncertainty.TwinNone},
		{"V/R", quotient(), uncertainty.TwinNone},
		{"x² + n", squareAndNoise(), uncertainty.TwinNone},
		{"x·y about 0", product(), uncertainty.TwinNone},
		{"joint t", jointProduct(), uncertainty.TwinNone},
	}
}

// The table of twelve models, in the long run: ends, time of the fastest run, scatter of
// the ends over seeds and what runs say of it, gain, and gain over time. The short form runs each
// once.
func TestTwinTable(t *testing.T) {
	trials, seeds := 20_000, 2
	if uncertaintytest.Long() {
		trials, seeds = 100_000, 60
	}
	var table strings.Builder
	fmt.Fprintf(&table, "%d trials, %d seeds\n%-25s %-12s %9s %9s %24s %9s %9s %8s %8s\n", trials, seeds,
		"model", "twin", "plain/ms", "twin/ms", "95 % (twin)", "seen/u", "said/u", "gain", "work")
	for _, c := range worked() {
		var ends [2]scatterOfEnds
		var seconds [2]float64
		var last uncertainty.Output
		squares := 0.0                    // of what each run says of its ends: one run alone says it roughly
		for seed := range uint64(seeds) { // in turn: machines drift
			for i, mode := range []uncertainty.TwinMode{uncertainty.TwinOff, uncertainty.TwinAuto} {
				m := uncertainty.MonteCarlo{Trials: trials, Workers: 1, Twin: mode, Seed: seed}
				start := time.Now()
				s := simulate(t, m, c.y)
				if d := time.Since(start).Seconds(); seed == 0 || d < seconds[i] {
					seconds[i] = d // the fastest: others run on this machine
				}
				last = s.Outputs[0]
				ends[i].take(&last)
			}
			own := math.Hypot(last.Sampling.Lower, last.Sampling.Upper) / last.StandardUncertainty
			squares += own * own / float64(seeds)
		}
		seen, said := math.Sqrt(ends[1].variance()), math.Sqrt(squares)
		gain := ends[0].variance() / ends[1].variance()
		fmt.Fprintf(&table, "%-25s %-12v %9.2f %9.2f %11.6g %12.6g %9.2g %9.2g %8.3g %8.3g\n",
			c.name, last.Twin.Kind, 1e3*seconds[0], 1e3*seconds[1],
			last.Symmetric.Lower, last.Symmetric.Upper, seen, said, gain, gain*seconds[0]/seconds[1])
		if uncertaintytest.Long() && seen > 1.25*said {
			t.Errorf("%s: ends scatter by %.3g u, said %.3g u", c.name, seen, said)
		}
	}
	t.Log("\n" + table.String())
}

// The adaptive procedure keeps what it promises: both ends are within the tolerance of a
// reference ten times as fine in 95 of 100 repetitions, with a twentieth of the trials that
// plain runs need for as small an error.
func TestAdaptiveKeepsItsPromise(t *testing.T) {
	repetitions, digits, trials := 12, 2, 4_000_000
	if uncertaintytest.Long() {
		repetitions, digits, trials = 1000, 3, 40_000_000
	}
	for _, c := range []struct {
		name   string
		y      uncertainty.Quantity
		digits int
	}{
		{"mixed", laboratories()[0].y, digits}, {"power", voltageSquared(), digits}, {"square and noise", squareAndNoise(), digits},
		{"joint t", jointProduct(), 2}, {"product", product(), 1},
	} {
		about := simulate(t, uncertainty.MonteCarlo{Trials: trials, Seed: 999}, c.y).Outputs[0]
		held, most, needed := 0, 0, 0.0
		var delta float64
		for seed := range uint64(repetitions) {
			s, err := uncertainty.MonteCarlo{Digits: c.digits, Seed: seed}.Run(t.Context(), c.y)
			if err != nil || len(s.Warnings) > 0 {
				t.Fatalf("%s: %v, %v", c.name, s, err)
			}
			o := s.Outputs[0]
			compared, err := uncertainty.Compare(evaluate(t, c.y), &o, c.digits)
			if err != nil && !errors.Is(err, uncertainty.ErrDomain) {
				t.Fatal(err)
			}
			delta = compared.Tolerance
			if c.name == "square and noise" || c.name == "product" { // the linear budget has another u
				delta = 0.5 * math.Pow(10, math.Floor(math.Log10(about.StandardUncertainty))+1-float64(c.digits))
			}
			if math.Abs(o.Symmetric.Lower-about.Symmetric.Lower) <= delta &&
				math.Abs(o.Symmetric.Upper-about.Symmetric.Upper) <= delta {
				held++
			}
			most = max(most, s.Trials)
			// As the procedure asks of a plain run: 2.5 deviations of the worse end.
			plain := max(o.Sampling.Lower*math.Sqrt(max(1, o.Twin.Lower.Gain)),
				o.Sampling.Upper*math.Sqrt(max(1, o.Twin.Upper.Gain)))
			needed += float64(s.Trials) * math.Pow(2.5*plain/delta, 2) / float64(repetitions)
		}
		if fine := max(about.Sampling.Lower, about.Sampling.Upper); fine > delta/5 {
			t.Errorf("%s: the reference is good to %.2g only, tolerance %.2g", c.name, fine, delta)
		}
		t.Logf("%s: %d digits, at most %d trials, plain about %.3g, promise held in %d of %d",
			c.name, c.digits, most, needed, held, repetitions)
		allowed := 0.05*float64(repetitions) + 3*math.Sqrt(0.05*float64(repetitions)) // in the short form
		if uncertaintytest.Long() {
			allowed = 0.05 * float64(repetitions)
		}
		if float64(repetitions-held) > allowed {
			t.Errorf("%s: promise held in %d of %d", c.name, held, repetitions)
		}
		if uncertaintytest.Long() && c.name == "mixed" && 20*float64(most) > needed {
			t.Errorf("%s: %d trials, plain about %.0f; want a twentieth", c.name, most, needed)
		}
	}
}
