// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func simulate(t testing.TB, m uncertainty.MonteCarlo, ys ...uncertainty.Quantity) *uncertainty.Simulation {
	t.Helper()
	s, err := m.Run(t.Context(), ys...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A resistance from voltage and current, the current known to ±40 % only. The linear
// result misses the skew: Monte Carlo does not, and Compare says so.
func ExampleMonteCarlo() {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1, 0.2)}.Input()
	i := uncertainty.Source{Name: "I", Unit: "A", Distribution: uncertainty.Rectangular(0.01, 0.004)}.Input()
	r := v.Div(i).Named("R")

	budget, err := uncertainty.Evaluate(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	simulation, err := uncertainty.MonteCarlo{Seed: 1}.Run(context.Background(), r)
	if err != nil {
		fmt.Println(err)
		return
	}
	out := &simulation.Outputs[0]
	comparison, err := uncertainty.Compare(budget, out, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("linear:      %.0f, u %.0f, %.0f to %.0f\n", budget.Estimate,
		budget.StandardUncertainty, budget.Expanded.Lower, budget.Expanded.Upper)
	fmt.Printf("Monte Carlo: %.0f, u %.0f, %.0f to %.0f\n", out.Estimate, out.StandardUncertainty,
		out.Symmetric.Lower, out.Symmetric.Upper)
	fmt.Println("linear result stands:", comparison.Stands)
	// Output:
	// linear:      100, u 31, 40 to 160
	// Monte Carlo: 106, u 34, 54 to 185
	// linear result stands: false
}

// Readings of a display with steps of 1 mΩ that scatter little: the rectangle of the
// resolution dominates.
func ExampleMonteCarlo_adaptive() {
	reading := uncertainty.Input("reading", uncertainty.Normal(100.012, 0.0001))
	step := uncertainty.Input("step", uncertainty.Resolution(0, 0.001))
	s, err := uncertainty.MonteCarlo{Digits: 2}.Run(context.Background(), reading.Add(step).Named("R"))
	if err != nil {
		fmt.Println(err)
		return
	}
	o := s.Outputs[0] // the last digits are noise: see Sampling
	fmt.Printf("R = %.3f, u = %.1g, 95 %%: %.4f to %.4f\n", o.Estimate, o.StandardUncertainty,
		o.Symmetric.Lower, o.Symmetric.Upper)
	// Output:
	// R = 100.012, u = 0.0003, 95 %: 100.0115 to 100.0125
}

func mixture() []uncertainty.Quantity {
	a := uncertainty.Input("a", uncertainty.TypeA(1, 2, 3, 2.5, 1.5, 2.2))
	b := uncertainty.Input("b", uncertainty.Trapezoidal(5, 1, 0.3))
	q := uncertainty.JointSource{Names: []string{"c", "d"}, Estimates: []float64{1, 2},
		Covariance: mat.NewSymDense(2, []float64{0.01, 0.006, 0.006, 0.01}), DOF: 9}.Inputs()
	e := uncertainty.Input("e", distuv.Gamma{Alpha: 4, Beta: 2})
	y := a.Mul(b).Add(uncertainty.Exp(q[0])).Sub(q[1].Div(b))
	z := uncertainty.Call("hypot", func(x []float64) float64 { return math.Hypot(x[0], x[1]) }, y, e)
	return []uncertainty.Quantity{y, z}
}

// The number of workers changes nothing, in no figure and in no way of running.
func TestSameBitsForAnyNumberOfWorkers(t *testing.T) {
	numbers := []int{1, 3}
	if uncertaintytest.Long() {
		numbers = []int{1, 2, 3, 8}
	}
	for name, m := range map[string]uncertainty.MonteCarlo{
		"streamed": {Trials: 40_000}, "kept": {Trials: 30_000, Quantiles: []float64{0.1, 0.5}, Regions: true}, "small": {Trials: 3_000},
		"adaptive": {Digits: 1, Trials: 110_000}, "plain": {Trials: 40_000, Twin: uncertainty.TwinOff}, "invalid": {Trials: 20_000, MaxInvalid: 1},
	} {
		var want *uncertainty.Simulation
		for _, workers := range numbers {
			m.Seed, m.Workers = 4, workers
			ys := mixture()
			if name == "invalid" {
				ys = append(ys, uncertainty.Log(ys[0].Sub(uncertainty.Exact(5))))
			}
			got := simulate(t, m, ys...)
			if want == nil {
				want = got
				continue
			}
			if !reflect.DeepEqual(got.Outputs, want.Outputs) ||
				!mat.Equal(got.Covariance, want.Covariance) || got.Trials != want.Trials ||
				got.Invalid != want.Invalid {
				t.Errorf("%s: %d workers differ from one:\n%v\n%v", name, workers, got.Outputs, want.Outputs)
			}
			if got.Ellipse != nil &&
				(got.Ellipse.K != want.Ellipse.K ||
					!reflect.DeepEqual(got.Rectangle, want.Rectangle) ||
					!reflect.DeepEqual(got.Smallest, want.Smallest)) {
				t.Errorf("%s: regions of %d workers differ", name, workers)
			}
		}
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := simulate(t, uncertainty.MonteCarlo{Trials: 30_000}, mixture()...)
	runtime.GOMAXPROCS(4)
	if four := simulate(t, uncertainty.MonteCarlo{Trials: 30_000},
		mixture()...); !reflect.DeepEqual(one.Outputs, four.Outputs) {
		t.Error("GOMAXPROCS changes the result")
	}
}

func TestSeedsGiveOtherTrials(t *testing.T) {
	y := mixture()[0]
	a, b := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, y),
		simulate(t, uncertainty.MonteCarlo{Trials: 20_000, Seed: 1}, y)
	if a.Outputs[0].Estimate == b.Outputs[0].Estimate {
		t.Error("seeds 0 and 1 give the same estimate")
	}
	if d := a.Outputs[0].Estimate - b.Outputs[0].Estimate; math.Abs(d) > 5*math.Sqrt2*a.Outputs[0].Sampling.Estimate {
		t.Errorf("estimates differ by %v", d)
	}
}

// randomLinear is a linear model of inputs with more than 4 degrees of freedom, some
// of them shared, some correlated.
func randomLinear(g *rand.Rand) []uncertainty.Quantity {
	var in []uncertainty.Quantity
	for i := range 3 + g.IntN(5) {
		u := math.Exp(g.NormFloat64())
		d := []uncertainty.Distribution{
			uncertainty.Normal(g.NormFloat64(), u), uncertainty.Rectangular(1, u), uncertainty.Triangular(-1, u), uncertainty.Arcsine(0, u),
			uncertainty.Trapezoidal(2, u, g.Float64()), uncertainty.CurvilinearTrapezoidal(0, u, u*g.Float64()), uncertainty.Exponential(u), uncertainty.Counts(i),
			distuv.Laplace{Mu: 1, Scale: u},
		}[g.IntN(9)]
		in = append(in, uncertainty.Input(fmt.Sprint("x", i), d))
	}
	r := 2*g.Float64() - 1
	in = append(in, uncertainty.Joint([]string{"p", "q"}, []float64{1, 2},
		mat.NewSymDense(2, []float64{1, 2 * r, 2 * r, 4}))...)
	var ys []uncertainty.Quantity
	for range 2 {
		y := uncertainty.Exact(g.NormFloat64())
		for _, q := range in {
			y = y.Add(q.Scale(g.NormFloat64()))
		}
		ys = append(ys, y, uncertainty.Sum(in...).Sub(y.Scale(0.5)))
	}
	return ys
}

// For linear models the law of propagation is exact: estimate, u and covariance of
// the trials must agree with it within the noise of the sample.
func TestLinearModelsAgreeWithPropagation(t *testing.T) {
	g := rand.New(rand.NewPCG(21, 22))
	for range 25 {
		ys := randomLinear(g)
		m, err := uncertainty.EvaluateAll(ys...)
		if err != nil {
			t.Fatal(err)
		}
		const trials = 40_000
		s := simulate(t, uncertainty.MonteCarlo{Trials: trials, Seed: g.Uint64(), Twin: uncertainty.TwinOff}, ys...)
		for i, o := range s.Outputs {
			b := m.Budgets[i]
			if z := (o.Estimate - b.Estimate) / o.Sampling.Estimate; math.Abs(z) > 4.5 {
				t.Errorf("estimate %v, linear %v: %.1f standard deviations", o.Estimate, b.Estimate, z)
			}
			if z := (o.StandardUncertainty - b.StandardUncertainty) / o.Sampling.StandardUncertainty; math.Abs(z) > 4.5 {
				t.Errorf("u %v, linear %v: %.1f standard deviations", o.StandardUncertainty, b.StandardUncertainty, z)
			}
			for k := range i {
				r := correlationOf(t, m, i, k)
				noise := (1 - r*r + 0.01) / math.Sqrt(trials) * 2 // twice that of normal outputs
				if math.Abs(correlationOf(t, s, i, k)-r) > 4.5*noise {
					t.Errorf("correlation %v, linear %v", correlationOf(t, s, i, k), r)
				}
			}
		}
	}
}

func TestSimulatedIntervalsNest(t *testing.T) {
	y := mixture()[0]
	var inner, innerShort uncertainty.Interval
	for i, p := range []float64{0.5, 0.7, 0.9, 0.95, 0.99, 0.999} {
		o := simulate(t, uncertainty.MonteCarlo{Trials: 50_000, Coverage: p}, y).Outputs[0]
		if i > 0 && (o.Symmetric.Lower > inner.Lower || o.Symmetric.Upper < inner.Upper) {
			t.Errorf("p = %v: %v does not hold %v", p, o.Symmetric, inner)
		}
		if o.Shortest.Width() > o.Symmetric.Width() {
			t.Errorf("p = %v: the shortest interval %v is longer than %v", p, o.Shortest, o.Symmetric)
		}
		if i > 0 && o.Shortest.Width() < innerShort.Width() {
			t.Errorf("p = %v: shortest interval %v shorter than that of the lower p", p, o.Shortest)
		}
		inner, innerShort = o.Symmetric, o.Shortest
	}
}

// The sampling figures say how far other seeds go.
func TestSamplingFiguresAreTrue(t *testing.T) {
	y := mixture()[0]
	const seeds, trials = 60, 10_000
	var sum, square [4]float64
	var said [4]float64
	for seed := range uint64(seeds) {
		o := simulate(t, uncertainty.MonteCarlo{Trials: trials, Seed: seed}, y).Outputs[0]
		for k, v := range []float64{o.Estimate, o.StandardUncertainty, o.Symmetric.Lower, o.Symmetric.Upper} {
			sum[k] += v
			square[k] += v * v
		}
		for k, v := range []float64{o.Sampling.Estimate, o.Sampling.StandardUncertainty,
			o.Sampling.Lower, o.Sampling.Upper} {
			said[k] += v / seeds
		}
	}
	for k, name := range []string{"estimate", "u", "lower", "upper"} {
		seen := math.Sqrt((square[k] - sum[k]*sum[k]/seeds) / (seeds - 1))
		if ratio := seen / said[k]; ratio < 0.65 || ratio > 1.5 { // 60 seeds: ±9 %
			t.Errorf("%s: seeds scatter by %v, said %v", name, seen, said[k])
		}
	}
}

func TestHistogramHoldsAllTrials(t *testing.T) {
	for name, y := range map[string]uncertainty.Quantity{
		"mixture": mixture()[0], "heavy": uncertainty.Input("t", uncertainty.StudentT(0, 1, 1.2)),
		"exact": uncertainty.Exact(3), "bounded": uncertainty.Input("r", uncertainty.Rectangular(0, 1)),
	} {
		for _, trials := range []int{10_000, 50_000} {
			o := simulate(t, uncertainty.MonteCarlo{Trials: trials, Bins: 40, Twin: uncertainty.TwinOff}, y).Outputs[0]
			total, area := o.Histogram.Below+o.Histogram.Above, 0.0
			for _, c := range o.Histogram.Counts {
				total += c
			}
			for bin, density := range o.Histogram.Bins() {
				area += bin.Width() * density
			}
			if total != trials || len(o.Histogram.Counts) != 40 {
				t.Errorf("%s: %d trials in %d bins", name, total, len(o.Histogram.Counts))
			}
			if name != "exact" && (area < 0.99 || area > 1+1e-9) {
				t.Errorf("%s: area %v", name, area)
			}
		}
	}
	for range (uncertainty.Histogram{Counts: []int{1, 2}, Width: 1}).Bins() {
		break
	}
}

func TestQuantiles(t *testing.T) {
	p := []float64{0.001, 0.25, 0.5, 0.75, 0.999}
	for _, trials := range []int{10_000, 100_000} {
		o := simulate(t, uncertainty.MonteCarlo{Trials: trials, Quantiles: p},
			uncertainty.Input("x", uncertainty.Normal(0, 1))).Outputs[0]
		for i, v := range o.Quantiles {
			want := distuv.UnitNormal.Quantile(p[i])
			noise := math.Sqrt(p[i]*(1-p[i])/float64(trials)) / distuv.UnitNormal.Prob(want)
			if math.Abs(v-want) > 4*noise {
				t.Errorf("%d trials: quantile %v is %v, want %v", trials, p[i], v, want)
			}
		}
	}
}

// The share of 95 % intervals of a simulated t-distribution that hold the true value,
// over independent series of readings, is 95 % (JCGM 101 6.4.9, frequentist check).
func TestTypeAIsSampledAsStudentT(t *testing.T) {
	d := uncertainty.TypeA(1, 2, 4, 3, 5)
	u, dof := d.(interface{ Uncertainty() (u, dof float64) }).Uncertainty()
	o := simulate(t, uncertainty.MonteCarlo{Trials: 200_000}, uncertainty.Input("x", d)).Outputs[0]
	k := factor(t, 0.95, dof)
	if want := k * u; math.Abs(o.Symmetric.Width()/2-want) > 4*o.Sampling.Upper+1e-9*want {
		t.Errorf("half-width %v, want %v", o.Symmetric.Width()/2, want)
	}
	// DOF of a Source enters the coverage factor, never the sampling.
	s := uncertainty.Source{Name: "x", Distribution: uncertainty.Normal(0, 1), DOF: 2}.Input()
	o = simulate(t, uncertainty.MonteCarlo{Trials: 50_000}, s).Outputs[0]
	if math.Abs(o.StandardUncertainty-1) > 5*o.Sampling.StandardUncertainty {
		t.Errorf("u = %v of a normal source with stated degrees of freedom", o.StandardUncertainty)
	}
}

func TestEqualSourcesAreDrawnOnce(t *testing.T) {
	build := func() uncertainty.Quantity {
		return uncertainty.Source{Name: "x", ID: "x/1", Distribution: uncertainty.Normal(1, 0.1)}.Input()
	}
	o := simulate(t, uncertainty.MonteCarlo{Trials: 1000}, build().Sub(build())).Outputs[0]
	if o.StandardUncertainty != 0 || o.Estimate != 0 {
		t.Errorf("difference of a source with itself: %v", o)
	}
	c := mat.NewSymDense(2, []float64{1, 2, 2, 4}) // r = 1
	q := uncertainty.Joint([]string{"a", "b"}, []float64{1, 2}, c)
	o = simulate(t, uncertainty.MonteCarlo{Trials: 1000}, q[0].Scale(2).Sub(q[1])).Outputs[0]
	if o.StandardUncertainty > 1e-14 {
		t.Errorf("u = %v of fully correlated inputs that cancel", o.StandardUncertainty)
	}
}

func TestInvalidTrials(t *testing.T) {
	// One in about forty-four lies below 0, where there is no root.
	y := uncertainty.Sqrt(uncertainty.Input("x", uncertainty.Normal(2, 1)))
	for _, trials := range []int{10_000, 100_000} {
		_, err := uncertainty.MonteCarlo{Trials: trials}.Run(t.Context(), y)
		if !errors.Is(err, uncertainty.ErrInvalid) {
			t.Errorf("error %v, want ErrInvalid", err)
		}
		s := simulate(t, uncertainty.MonteCarlo{Trials: trials, MaxInvalid: 0.03}, y)
		share := float64(s.Invalid) / float64(trials)
		if want := distuv.UnitNormal.CDF(-2); math.Abs(share-want) > 4*math.Sqrt(want/float64(trials)) {
			t.Errorf("share of invalid trials %v, want %v", share, want)
		}
		if len(s.Warnings) != 1 || !errors.Is(s.Warnings[0], uncertainty.ErrInvalid) {
			t.Errorf("warnings %v", s.Warnings)
		}
		if s.Outputs[0].Symmetric.Lower < 0 {
			t.Errorf("interval %v", s.Outputs[0].Symmetric)
		}
	}
	// Infinities count too; all invalid is an error however large the share allowed.
	for _, bad := range []float64{math.NaN(), math.Inf(1)} {
		never := uncertainty.CallWithGradient("never", func(x []float64) float64 {
			if x[0] == 1 {
				return 1
			}
			return bad
		}, func(dst, _ []float64) { dst[0] = 1 }, uncertainty.Input("x", uncertainty.Normal(1, 1)))
		for _, m := range []uncertainty.MonteCarlo{{Trials: 1000, MaxInvalid: 1},
			{Trials: 100_000, MaxInvalid: 1}, {Digits: 1, MaxInvalid: 1}} {
			if s, err := m.Run(t.Context(), never); s != nil || !errors.Is(err, uncertainty.ErrInvalid) {
				t.Errorf("%v: %v, %v", bad, s, err)
			}
		}
	}
}

func TestUserPanicReachesTheCaller(t *testing.T) {
	var calls atomic.Int64
	y := uncertainty.CallWithGradient("f", func(x []float64) float64 {
		if calls.Add(1) > 5000 {
			panic("the user's own panic")
		}
		return x[0]
	}, func(dst, _ []float64) { dst[0] = 1 }, uncertainty.Input("x", uncertainty.Normal(0, 1)))
	for _, workers := range []int{1, 4} {
		calls.Store(0)
		func() {
			defer func() {
				if r := recover(); r != "the user's own panic" {
					t.Errorf("%d workers: recovered %v", workers, r)
				}
			}()
			_, err := uncertainty.MonteCarlo{Workers: workers, Trials: 100_000}.Run(t.Context(), y)
			t.Errorf("no panic, error %v", err)
		}()
	}
	defer func() {
		if r := recover(); r != "progress" {
			t.Errorf("recovered %v", r)
		}
	}()
	m := uncertainty.MonteCarlo{Trials: 100_000, Progress: func(int, int) { panic("progress") }}
	m.Run(t.Context(), uncertainty.Input("x", uncertainty.Normal(0, 1)))
}

func TestCancel(t *testing.T) {
	cause := errors.New("the bench is needed")
	slow := uncertainty.CallWithGradient("slow", func(x []float64) float64 {
		time.Sleep(100 * time.Microsecond)
		return x[0]
	},
		func(dst, _ []float64) { dst[0] = 1 }, uncertainty.Input("x", uncertainty.Normal(0, 1)))
	fast := mixture()[0]
	for name, c := range map[string]struct {
		m uncertainty.MonteCarlo
		y uncertainty.Quantity
	}{
		"slow model": {uncertainty.MonteCarlo{Workers: 2}, slow}, "fast model": {uncertainty.MonteCarlo{Trials: 200_000_000}, fast},
		"adaptive": {uncertainty.MonteCarlo{Trials: 50_000_000, Digits: 9}, fast},
	} {
		ctx, cancel := context.WithCancelCause(t.Context())
		time.AfterFunc(20*time.Millisecond, func() { cancel(cause) })
		s, err := c.m.Run(ctx, c.y)
		if s != nil || !errors.Is(err, cause) {
			t.Errorf("%s: %v, %v; want the cause of the context", name, s, err)
		}
	}
	// After the last trial, while the results are put in order.
	for _, m := range []uncertainty.MonteCarlo{{Trials: 50_000},
		{Trials: 50_000, Regions: true, Quantiles: []float64{0.5}}} {
		ctx, cancel := context.WithCancelCause(t.Context())
		m.Progress = func(done, planned int) {
			if done == planned {
				cancel(cause)
			}
		}
		if s, err := m.Run(ctx, correlated(0.5, 0)...); s != nil || !errors.Is(err, cause) {
			t.Errorf("%v, %v; want the cause of the context", s, err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := (uncertainty.MonteCarlo{}).Run(ctx, fast); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	var none context.Context // no reason to panic
	if _, err := (uncertainty.MonteCarlo{Trials: 1000}).Run(none, fast); err != nil {
		t.Error(err)
	}
}

func TestProgress(t *testing.T) {
	for name, m := range map[string]uncertainty.MonteCarlo{"fixed": {Trials: 100_000},
		"small": {Trials: 1000}, "adaptive": {Digits: 1, Trials: 200_000}} {
		last, calls, planned := 0, 0, 0
		m.Progress = func(done, of int) {
			if done < last {
				t.Errorf("%s: progress falls from %d to %d", name, last, done)
			}
			last, planned = done, of
			calls++
		}
		s := simulate(t, m, mixture()[0])
		if calls == 0 || last < s.Trials || planned < s.Trials {
			t.Errorf("%s: %d calls, last %d of %d; %d trials", name, calls, last, planned, s.Trials)
		}
	}
}

// The adaptive procedure stops where the figures are stable, and its results are
// those of a fixed run of that many trials.
func TestAdaptive(t *testing.T) {
	y := mixture()[0]
	s := simulate(t, uncertainty.MonteCarlo{Digits: 2, Seed: 2}, y)
	if len(s.Warnings) != 0 || s.Trials < 100_000 || s.Trials >= 10_000_000 {
		t.Errorf("%d trials, warnings %v", s.Trials, s.Warnings)
	}
	o := s.Outputs[0]
	tolerance := 0.5 * math.Pow10(int(math.Floor(math.Log10(o.StandardUncertainty)))-1)
	tolerance *= 2 // the guide's own test rests on few batches
	if o.Sampling.Lower > tolerance || o.Sampling.Upper > tolerance || o.Sampling.Estimate > tolerance {
		t.Errorf("sampling %+v, tolerance %v", o.Sampling, tolerance)
	}
	fixed := simulate(t, uncertainty.MonteCarlo{Trials: s.Trials, Seed: 2}, y).Outputs[0]
	if fixed.Symmetric != o.Symmetric || fixed.Shortest != o.Shortest || !near(fixed.Estimate, o.Estimate, 1e-12) {
		t.Errorf("adaptive %v, fixed %v", o, fixed)
	}
	short := simulate(t, uncertainty.MonteCarlo{Digits: 4, Trials: 50_000}, y)
	if len(short.Warnings) != 1 || !errors.Is(short.Warnings[0], uncertainty.ErrNotSettled) {
		t.Errorf("warnings %v", short.Warnings)
	}
	if exact := simulate(t, uncertainty.MonteCarlo{Digits: 2},
		uncertainty.Exact(1)); exact.Outputs[0].StandardUncertainty != 0 ||
		len(exact.Warnings) != 0 {
		t.Errorf("exact: %v, %v", exact.Outputs[0], exact.Warnings)
	}
}

func TestMonteCarloWarns(t *testing.T) {
	has := func(s *uncertainty.Simulation, want error) bool {
		for _, w := range s.Warnings {
			if errors.Is(w, want) {
				return true
			}
		}
		return false
	}
	x := uncertainty.Input("x", uncertainty.TypeA(1, 2, 3))
	if s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, x); !has(s, uncertainty.ErrNoMoments) {
		t.Errorf("two degrees of freedom: %v", s.Warnings)
	}
	joint := uncertainty.JointTypeA([]string{"a", "b"}, [][]float64{{1, 2, 3.5}, {2, 4, 5}})
	if s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, joint.Inputs()[0]); !has(s, uncertainty.ErrNoMoments) {
		t.Errorf("one degree of freedom: %v", s.Warnings)
	}
	if s := simulate(t, uncertainty.MonteCarlo{Trials: 100},
		uncertainty.Input("x", uncertainty.Normal(0, 1))); !has(s, uncertainty.ErrTrials) {
		t.Errorf("100 trials: %v", s.Warnings)
	}
}

func TestMonteCarloRefuses(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 1))
	nan := math.NaN()
	for name, c := range map[string]struct {
		m    uncertainty.MonteCarlo
		ys   []uncertainty.Quantity
		want error
	}{
		"no measurand":      {uncertainty.MonteCarlo{}, nil, uncertainty.ErrNoQuantity},
		"zero quantity":     {uncertainty.MonteCarlo{}, []uncertainty.Quantity{{}}, uncertainty.ErrNoQuantity},
		"bad input":         {uncertainty.MonteCarlo{}, []uncertainty.Quantity{uncertainty.Input("x", uncertainty.Normal(0, -1))}, uncertainty.ErrDomain},
		"same name":         {uncertainty.MonteCarlo{}, []uncertainty.Quantity{x.Add(uncertainty.Input("x", uncertainty.Normal(0, 1)))}, uncertainty.ErrSameName},
		"negative trials":   {uncertainty.MonteCarlo{Trials: -1}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"too many trials":   {uncertainty.MonteCarlo{Trials: math.MaxInt}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"too many kept":     {uncertainty.MonteCarlo{Trials: math.MaxInt, Digits: 2}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"few trials":        {uncertainty.MonteCarlo{Trials: 5}, []uncertainty.Quantity{x}, uncertainty.ErrTrials},
		"coverage 1":        {uncertainty.MonteCarlo{Coverage: 1}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"coverage NaN":      {uncertainty.MonteCarlo{Coverage: nan}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"coverage too near": {uncertainty.MonteCarlo{Coverage: 1 - 1e-12}, []uncertainty.Quantity{x}, uncertainty.ErrTrials},
		"workers":           {uncertainty.MonteCarlo{Workers: -2}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"digits":            {uncertainty.MonteCarlo{Digits: -2}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"bins":              {uncertainty.MonteCarlo{Bins: -2}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"share":             {uncertainty.MonteCarlo{MaxInvalid: nan}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"quantile":          {uncertainty.MonteCarlo{Quantiles: []float64{0}}, []uncertainty.Quantity{x}, uncertainty.ErrDomain},
		"observations":      {uncertainty.MonteCarlo{}, uncertainty.JointTypeA([]string{"a", "b"}, [][]float64{{1, 2}, {2, 1}}).Inputs(), uncertainty.ErrObservations},
		"singular region":   {uncertainty.MonteCarlo{Trials: 1000, Regions: true}, []uncertainty.Quantity{x, x.Scale(2)}, uncertainty.ErrCovariance},
	} {
		s, err := c.m.Run(t.Context(), c.ys...)
		if s != nil || !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
			continue
		}
		if text := err.Error(); !strings.HasPrefix(text, "uncertainty") {
			t.Errorf("%s: %q", name, text)
		}
	}
}

// Moments neither overflow nor vanish where the values do not.
func TestMomentsOfExtremeValues(t *testing.T) {
	for _, scale := range []float64{1e-300, 1e-170, 1, 1e100, 1e152} {
		for _, trials := range []int{5_000, 40_000} {
			y := uncertainty.Call("scaled", func(x []float64) float64 { return scale * x[0] },
				uncertainty.Input("x", uncertainty.Normal(2, 0.5)))
			o := simulate(t, uncertainty.MonteCarlo{Trials: trials, Twin: uncertainty.TwinOff}, y).Outputs[0]
			if z := (o.StandardUncertainty/scale - 0.5) / (0.5 / math.Sqrt(2*float64(trials))); math.Abs(z) > 4 ||
				math.Abs(o.Estimate/scale-2) > 4*0.5/math.Sqrt(float64(trials)) {
				t.Errorf("scale %v: %v, u %v", scale, o.Estimate, o.StandardUncertainty)
			}
			if r := o.Sampling.StandardUncertainty / o.StandardUncertainty * math.Sqrt(
				2*float64(trials)); r < 0.9 || r > 1.1 {
				t.Errorf("scale %v: sampling of u off by %v", scale, r)
			}
		}
	}
	huge := uncertainty.Input("x", uncertainty.StudentT(0, 1e150, 0.5))
	if _, err := (uncertainty.MonteCarlo{Trials: 50_000}).Run(t.Context(), huge); !errors.Is(err,
		uncertainty.ErrNotFinite) {
		t.Errorf("overflow of the variance: %v", err)
	}
}

// Whatever the parameters, a run ends with a result or an error.
func FuzzMonteCarlo(f *testing.F) {
	f.Add(uint8(0), 1.0, 2.0, 3.0)
	f.Add(uint8(3), 0.0, 1e-300, 0.1)      // t, hardly any degrees of freedom
	f.Add(uint8(3), 1e308, 1e300, 999.999) // at the end of float64
	f.Add(uint8(5), 1.0, 1.0, 1.0)         // limits as inexact as they are wide
	f.Add(uint8(6), 1e-320, 0.0, 0.0)      // subnormal
	f.Add(uint8(9), 1.0, 1e6, 1e-9)        // foreign, extreme shape
	f.Fuzz(func(t *testing.T, kind uint8, x, a, b float64) {
		d := []uncertainty.Distribution{
			uncertainty.Normal(x, a), uncertainty.Rectangular(x, a), uncertainty.Arcsine(x, a), uncertainty.StudentT(x, a, b),
			uncertainty.Trapezoidal(x, a, b), uncertainty.CurvilinearTrapezoidal(x, a, b), uncertainty.Exponential(x), uncertainty.Counts(int(kind)),
			uncertainty.TypeA(x, a, b), distuv.LogNormal{Mu: a, Sigma: b},
		}[int(kind)%10]
		q := uncertainty.Input("x", d)
		s, err := uncertainty.MonteCarlo{Trials: 300, MaxInvalid: 0.5}.Run(t.Context(), q.Mul(q), uncertainty.Exp(q))
		if (s == nil) == (err == nil) {
			t.Fatalf("simulation %v, error %v", s, err)
		}
		if err != nil {
			return
		}
		for _, o := range s.Outputs {
			if math.IsNaN(o.Estimate) || math.IsNaN(o.StandardUncertainty) ||
				!(o.Symmetric.Lower <= o.Symmetric.Upper) ||
				!(o.Shortest.Width() <= o.Symmetric.Width()) {
				t.Fatalf("%+v", o)
			}
		}
	})
}

func TestExactMeasurand(t *testing.T) {
	for _, trials := range []int{1000, 100_000} {
		s := simulate(t, uncertainty.MonteCarlo{Trials: trials}, uncertainty.Exact(7),
			uncertainty.Input("x", uncertainty.Rectangular(3, 0)),
			uncertainty.Input("y", uncertainty.Normal(1, 1)))
		for i, want := range []float64{7, 3} {
			o := s.Outputs[i]
			if o.Estimate != want || o.StandardUncertainty != 0 ||
				o.Symmetric != (uncertainty.Interval{Lower: want, Upper: want}) ||
				o.Shortest != o.Symmetric {
				t.Errorf("%d trials: exact %v: %+v", trials, want, o)
			}
		}
		if correlationOf(t, s, 0, 2) != 0 || correlationOf(t, s, 2, 2) != 1 {
			t.Error("correlations")
		}
		if r, err := s.Correlation(0, 3); !errors.Is(err, uncertainty.ErrRange) || r != 0 {
			t.Errorf("correlation of the fourth of three outputs: %v, %v; want ErrRange", r, err)
		}
	}
}

func TestMonteCarloKeepsNamesAndUnits(t *testing.T) {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1, 0.01)}.Input()
	o := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, v.Scale(2).Named("twice")).Outputs[0]
	if o.Name != "twice" || o.Unit != "V" || o.Coverage != 0.95 {
		t.Errorf("%+v", o)
	}
	if text := o.String(); !strings.HasPrefix(text, "twice = ") || !strings.Contains(text, " V (") {
		t.Error(text)
	}
}

// sameOutputs compares what files hold.
func sameOutputs(t *testing.T, a, b []uncertainty.Output) bool {
	t.Helper()
	first, err1 := json.Marshal(a)
	second, err2 := json.Marshal(b)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	return bytes.Equal(first, second)
}

func TestSimulationJSON(t *testing.T) {
	ys := correlated(0.5, 0)
	s := simulate(t, uncertainty.MonteCarlo{Trials: 5000, Regions: true, Quantiles: []float64{0.5}, Bins: 3}, ys...)
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back struct {
		Trials        int
		Outputs       []uncertainty.Output
		Covariance    [][]float64
		EllipseFactor float64
		Warnings      []string
	}
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if back.Trials != 5000 || !sameOutputs(t, back.Outputs, s.Outputs) ||
		back.Covariance[1][0] != s.Covariance.At(0, 1) || back.EllipseFactor != s.Ellipse.K ||
		len(back.Warnings) != 1 {
		t.Errorf("read back %+v", back)
	}
}
