// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// twinCase is a model with the kind of twin that it should get.
type twinCase struct {
	name string
	y    uncertainty.Quantity
	kind uncertainty.TwinKind
}

func in(name string, d uncertainty.Distribution) uncertainty.Quantity {
	return uncertainty.Input(name, d)
}

// voltageSquared is V²/R with V known to 1 %, quotient V/R with R between 70 Ω and 130 Ω; product
// is that of two quantities about 0, where no twin can help.
func voltageSquared() uncertainty.Quantity {
	v := in("V", uncertainty.Normal(10, 0.1))
	return v.Mul(v).Div(in("R", uncertainty.Rectangular(100, 1)))
}

func quotient() uncertainty.Quantity {
	return in("V", uncertainty.Normal(10, 0.01)).Div(in("R", uncertainty.Between(70, 130)))
}

func product() uncertainty.Quantity {
	return in("a", uncertainty.Normal(0, 1)).Mul(in("b", uncertainty.Normal(0, 1)))
}

func squareAndNoise() uncertainty.Quantity {
	x := in("x", uncertainty.Normal(0, 1))
	return x.Mul(x).Add(in("n", uncertainty.Normal(0, 0.5)))
}

func jointProduct() uncertainty.Quantity {
	c := mat.NewSymDense(2, []float64{0.01, 0.006, 0.006, 0.01})
	q := uncertainty.JointSource{Names: []string{"c", "d"}, Estimates: []float64{1, 2}, Covariance: c, DOF: 9}.Inputs()
	return q[0].Mul(q[1])
}

func twinCases() []twinCase {
	return []twinCase{
		{"mixed", laboratories()[0].y, uncertainty.TwinLinear},
		{"power", voltageSquared(), uncertainty.TwinLogarithmic},
		{"quotient", quotient(), uncertainty.TwinLogarithmic},
		{"square and noise", squareAndNoise(), uncertainty.TwinMainEffects},
		{"joint t", jointProduct(), uncertainty.TwinLinear},
		{"negative", voltageSquared().Neg(), uncertainty.TwinLogarithmic},
	}
}

// repeated is what other seeds do to the figures of an output: lower and upper end, estimate,
// standard uncertainty.
type repeated struct{ off, scatter, said [4]float64 }

func repeat(t testing.TB, m uncertainty.MonteCarlo, y uncertainty.Quantity, seeds int,
	about *uncertainty.Output) (r repeated) {
	t.Helper()
	values := func(o *uncertainty.Output) [4]float64 {
		return [4]float64{o.Symmetric.Lower, o.Symmetric.Upper, o.Estimate, o.StandardUncertainty}
	}
	want := values(about)
	n := float64(seeds)
	for seed := range uint64(seeds) {
		m.Seed = seed
		o := &simulate(t, m, y).Outputs[0]
		s := o.Sampling
		said := [4]float64{s.Lower, s.Upper, s.Estimate, s.StandardUncertainty}
		for k, v := range values(o) {
			r.off[k] += (v - want[k]) / n
			r.scatter[k] += (v - want[k]) * (v - want[k]) / n
			r.said[k] += said[k] * said[k] / n
		}
	}
	for k := range r.said {
		r.scatter[k], r.said[k] = math.Sqrt(r.scatter[k]), math.Sqrt(r.said[k])
	}
	return r
}

// Runs with a twin scatter about those of many more trials by what they say, without a bias,
// and by much less than plain ones.
func TestTwinsHelpAsTheySay(t *testing.T) {
	seeds, trials, reference := 25, 8_000, 200_000
	if uncertaintytest.Long() {
		seeds, trials, reference = 150, 20_000, 4_000_000
	}
	for _, c := range twinCases() {
		about := &simulate(t, uncertainty.MonteCarlo{Trials: reference, Seed: 999}, c.y).Outputs[0]
		if about.Twin.Kind != c.kind {
			t.Errorf("%s: %v, %q; want %v", c.name, about.Twin.Kind, about.Twin, c.kind)
			continue
		}
		plain := repeat(t, uncertainty.MonteCarlo{Trials: trials, Twin: uncertainty.TwinOff}, c.y, seeds, about)
		twin := repeat(t, uncertainty.MonteCarlo{Trials: trials}, c.y, seeds, about)
		for k, figure := range []string{"lower", "upper", "estimate", "u"} {
			gain := math.Pow(plain.scatter[k]/twin.scatter[k], 2)
			t.Logf("%s, %s: scatter %.2g, said %.2g, gain %.0f", c.name, figure, twin.scatter[k], twin.said[k], gain)
			noise := 5 / math.Sqrt(2*float64(seeds)) // of a scatter over so many seeds
			if r := (twin.scatter[k] - 1e-12*about.StandardUncertainty) / twin.said[k]; r > 1.1+noise || k < 2 && r < 0.5-noise/2 {
				t.Errorf("%s, %s: seeds scatter by %.3g, said %.3g", c.name, figure, twin.scatter[k], twin.said[k])
			}
			rounding := 1e-12 * about.StandardUncertainty
			if math.Abs(twin.off[k]) > 5*twin.scatter[k]/math.Sqrt(float64(seeds))+rounding {
				t.Errorf("%s, %s: off by %.3g on average, scatter %.3g", c.name, figure, twin.off[k], twin.scatter[k])
			}
			if least := 10.0; gain < least {
				t.Errorf("%s, %s: gain %.1f; want %v", c.name, figure, gain, least)
			}
		}
	}
}

// A model that is not monotone in what dominates, and others that the twin understands
// badly: no figure is worse than without, and the errors that are stated still hold.
func TestTwinsThatMislead(t *testing.T) {
	x, y := in("x", uncertainty.Normal(0.3, 1)), in("y", uncertainty.Rectangular(1, 0.9))
	seeds, trials := 25, 6_000
	if uncertaintytest.Long() {
		seeds, trials = 200, 20_000
	}
	for name, q := range map[string]uncertainty.Quantity{
		"cosine":              uncertainty.Cos(x).Add(y.Scale(0.1)),
		"square times factor": x.Mul(x).Mul(y),
		"product with mean":   x.Mul(in("z", uncertainty.Normal(0.3, 1))),
		"sine of a sum":       uncertainty.Sin(x.Add(y).Scale(2)),
		"t, 3 readings":       in("r", uncertainty.TypeA(1, 2, 2.4)).Mul(y),
	} {
		about := &simulate(t, uncertainty.MonteCarlo{Trials: 40 * trials, Seed: 999}, q).Outputs[0]
		plain := repeat(t, uncertainty.MonteCarlo{Trials: trials, Twin: uncertainty.TwinOff}, q, seeds, about)
		twin := repeat(t, uncertainty.MonteCarlo{Trials: trials}, q, seeds, about)
		for k, figure := range []string{"lower", "upper", "estimate", "u"} {
			if name == "t, 3 readings" && k >= 2 {
				continue // has no standard deviation
			}
			noise := 5 / math.Sqrt(2*float64(seeds))
			if r := twin.scatter[k] / plain.scatter[k]; r > 1.05+noise/2 {
				t.Errorf("%s, %s: scatter %.3g with a twin (%v), %.3g without", name, figure,
					twin.scatter[k], about.Twin, plain.scatter[k])
			}
			if r := twin.scatter[k] / twin.said[k]; r > 1.2+noise {
				t.Errorf("%s, %s: scatter %.3g, said %.3g (%v)", name, figure, twin.scatter[k],
					twin.said[k], about.Twin)
			}
		}
		t.Logf("%s: %v", name, about.Twin)
	}
}

// A hump of its own above the upper end: the ends jump from one hump to the other, and the
// shortest interval still has its probability, which is that of two normal laws.
func TestShortestOfTwoHumps(t *testing.T) {
	step := uncertainty.Call("step", func(v []float64) float64 {
		if v[0] > 1.9 {
			return v[1] + 3
		}
		return v[1]
	}, in("x", uncertainty.Normal(0, 1)), in("z", uncertainty.Normal(1, 0.3)))
	above := distuv.UnitNormal.Survival(1.9)
	cdf := func(y float64) float64 {
		return (1-above)*distuv.UnitNormal.CDF((y-1)/0.3) + above*distuv.UnitNormal.CDF((y-4)/0.3)
	}
	const seeds = 12
	inside := 0.0
	for seed := range uint64(seeds) {
		o := simulate(t, uncertainty.MonteCarlo{Trials: 20_000, Seed: seed}, step).Outputs[0]
		if o.Twin.Kind == uncertainty.TwinNone {
			t.Errorf("seed %d: %v", seed, o.Twin)
		}
		inside += (cdf(o.Shortest.Upper) - cdf(o.Shortest.Lower)) / seeds
	}
	// A plain run misses by √(0.95·0.05/20 000) = 0.0015; the shortest by chance a little more.
	if math.Abs(inside-0.95) > 0.0015 {
		t.Errorf("the shortest intervals hold %.5f", inside)
	}
	t.Logf("%.5f", inside)
}

// A twin that tells of the upper end alone corrects no shortest interval, which needs both ends:
// the low values are of another input, and only where the twin is not low.
func TestTwinOfOneEndCorrectsNoShortest(t *testing.T) {
	y := uncertainty.Call("one end", func(v []float64) float64 {
		switch {
		case v[0] < -1.7:
			return 0
		case v[1] > 1.4 && v[0] < 0.5:
			return -1.7 - (v[1] - 1.4)
		}
		return v[0]
	}, in("x", uncertainty.Normal(0, 1)), in("z", uncertainty.Normal(0, 1)))
	o := simulate(t, uncertainty.MonteCarlo{Trials: 50_000, Seed: 1}, y).Outputs[0]
	if o.Twin.Lower.B != 0 || !(o.Twin.Upper.B > 0.5) {
		t.Fatalf("%+v; want a twin of the upper end alone", o.Twin)
	}
	if want := (uncertainty.Control{B: 0, Gain: 1}); o.Twin.Shortest != want {
		t.Errorf("shortest %+v; want %+v", o.Twin.Shortest, want)
	}
}

// The result of a linear model is the convolution: closed forms, at once, with trials for
// the histogram only.
func TestLinearModelsAreConvolved(t *testing.T) {
	r := uncertainty.Rectangular(0, math.Sqrt(3))
	mean := in("m", uncertainty.TypeA(1, 2, 4, 3, 5))
	gamma := in("g", distuv.Gamma{Alpha: 3, Beta: 1})
	c := mat.NewSymDense(2, []float64{1, 0.5, 0.5, 1})
	joint := uncertainty.JointSource{Names: []string{"p", "q"}, Estimates: []float64{1, 2},
		Covariance: c, DOF: 7}.Inputs()
	k := func(p, dof float64) float64 { return factor(t, p, dof) }
	for _, c := range []struct {
		name                string
		y                   uncertainty.Quantity
		estimate, u         float64
		lower, upper, width float64 // of the 95 % intervals
	}{
		{"normal", in("x", uncertainty.Normal(5, 2)).Scale(-3), -15, 6, -15 - 6*k(0.95, math.Inf(1)), -15 + 6*k(0.95, math.Inf(1)), 12 * k(0.95, math.Inf(1))},
		// JCGM 101 9.2.3.3: the end points of the sum of four rectangles in closed form.
		{"four rectangles", sumOf(r, r, r, r), 0, 2, -2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25)), 2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25)), 4 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25))},
		{"five readings", mean, 3, math.Sqrt(0.5 * 2), 3 - math.Sqrt(0.5)*k(0.95, 4), 3 + math.Sqrt(0.5)*k(0.95, 4), 2 * math.Sqrt(0.5) * k(0.95, 4)},
		{"gamma", gamma, 3, math.Sqrt(3), distuv.Gamma{Alpha: 3, Beta: 1}.Quantile(0.025), distuv.Gamma{Alpha: 3, Beta: 1}.Quantile(0.975), 6.2},
		{"difference of joint t", joint[0].Sub(joint[1]), -1, math.Sqrt(7.0 / 5), -1 - k(0.95, 7), -1 + k(0.95, 7), 2 * k(0.95, 7)},
	} {
		s := simulate(t, uncertainty.MonteCarlo{}, c.y)
		o := s.Outputs[0]
		if o.Twin.Kind != uncertainty.TwinExact || s.Trials > 20_000 || o.Sampling != (uncertainty.Sampling{}) {
			t.Errorf("%s: %v, %d trials, sampling %+v", c.name, o.Twin, s.Trials, o.Sampling)
		}
		for _, f := range [][2]float64{{o.Estimate, c.estimate}, {o.StandardUncertainty, c.u},
			{o.Symmetric.Lower, c.lower}, {o.Symmetric.Upper, c.upper}} {
			if math.Abs(f[0]-f[1]) > 2e-8*c.u {
				t.Errorf("%s: %v; want %v", c.name, f[0], f[1])
			}
		}
		if w := o.Shortest.Width(); c.name != "gamma" && o.Shortest != o.Symmetric ||
			w > o.Symmetric.Width() ||
			c.name == "gamma" && math.Abs(
				o.CDF(o.Shortest.Upper)-o.CDF(o.Shortest.Lower)-0.95) > 1e-9 {
			t.Errorf("%s: shortest %v, symmetric %v", c.name, o.Shortest, o.Symmetric)
		}
		if math.Abs(o.CDF(c.lower)-0.025) > 2e-9 || math.Abs(o.Survival(c.upper)-0.025) > 2e-9 {
			t.Errorf("%s: %v below, %v above", c.name, o.CDF(c.lower), o.Survival(c.upper))
		}
	}
	// Beside a model that bends all trials are made.
	s := simulate(t, uncertainty.MonteCarlo{Trials: 30_000}, mean, voltageSquared())
	if s.Trials != 30_000 || s.Outputs[0].Twin.Kind != uncertainty.TwinExact ||
		s.Outputs[1].Twin.Kind != uncertainty.TwinLogarithmic {
		t.Errorf("%d trials, %v and %v", s.Trials, s.Outputs[0].Twin, s.Outputs[1].Twin)
	}
}

// Where there is no twin the output says why, and is that of a plain run.
func TestTwinsTurnThemselvesOff(t *testing.T) {
	invalid := uncertainty.Sqrt(in("x", uncertainty.Normal(2, 0.9)))
	for _, c := range []struct {
		name string
		m    uncertainty.MonteCarlo
		y    uncertainty.Quantity
		want string
	}{
		{"product", uncertainty.MonteCarlo{Trials: 20_000}, product(), "no input moves the output by itself"},
		{"few", uncertainty.MonteCarlo{Trials: 2_000}, voltageSquared(), "too few trials"},
		{"far ends", uncertainty.MonteCarlo{Trials: 50_000, Coverage: 0.999}, voltageSquared(), "too few trials"},
		{"invalid", uncertainty.MonteCarlo{Trials: 20_000, MaxInvalid: 0.1}, invalid, "trials without a finite result"},
		{"no gain", uncertainty.MonteCarlo{Trials: 20_000}, product().Add(in("c", uncertainty.Normal(0, 0.05))), "the first trials show no gain"},
		{"hard", uncertainty.MonteCarlo{Trials: 20_000}, uncertainty.Cos(in("x", uncertainty.Normal(0.3, 1))).Add(in("y", uncertainty.Rectangular(1, 0.09))), "distribution of the twin not known to 1e-9"},
		{"off", uncertainty.MonteCarlo{Trials: 20_000, Twin: uncertainty.TwinOff}, voltageSquared(), "turned off"},
	} {
		o := simulate(t, c.m, c.y).Outputs[0]
		c.m.Twin = uncertainty.TwinOff
		plain := simulate(t, c.m, c.y).Outputs[0]
		if o.Twin.Kind != uncertainty.TwinNone || o.Twin.Reason != c.want ||
			o.Symmetric != plain.Symmetric || o.Shortest != plain.Shortest ||
			o.Sampling != plain.Sampling || o.Estimate != plain.Estimate {
			t.Errorf("%s: %+v, %v and %v", c.name, o.Twin, o, plain)
		}
		if !strings.HasSuffix(o.String(), "(no twin: "+c.want+")") {
			t.Errorf("%s: %v", c.name, o)
		}
	}
	if _, err := (uncertainty.MonteCarlo{Twin: 7}).Run(t.Context(), voltageSquared()); err == nil {
		t.Error("mode 7 is taken")
	}
}

// Kept trials and streamed ones give one result, with quantiles beside.
func TestTwinsOfKeptTrials(t *testing.T) {
	for _, c := range twinCases() {
		streamed := simulate(t, uncertainty.MonteCarlo{Trials: 40_000, Seed: 5}, c.y).Outputs[0]
		kept := simulate(t, uncertainty.MonteCarlo{Trials: 40_000, Seed: 5,
			Quantiles: []float64{0.025, 0.5}}, c.y).Outputs[0]
		if streamed.Symmetric != kept.Symmetric || streamed.Shortest != kept.Shortest ||
			!near(streamed.Estimate, kept.Estimate, 1e-12) ||
			!near(streamed.StandardUncertainty, kept.StandardUncertainty, 1e-9) {
			t.Errorf("%s: streamed %v, kept %v", c.name, streamed, kept)
		}
		if kept.Quantiles[0] != kept.Symmetric.Lower {
			t.Errorf("%s: quantile %v, lower end %v", c.name, kept.Quantiles[0], kept.Symmetric.Lower)
		}
		if p := streamed.CDF(streamed.Symmetric.Upper); math.Abs(p-0.975) > 1e-4 {
			t.Errorf("%s: %v below the upper end", c.name, p)
		}
		if p := streamed.CDF(kept.Quantiles[1]); math.Abs(p-0.5) > 0.005 {
			t.Errorf("%s: %v below the median", c.name, p)
		}
	}
}

// With a twin the comparison of clause 8 of JCGM 101 is settled by a few thousand trials,
// where plain ones leave it open.
func TestCompareIsSettledSooner(t *testing.T) {
	y := voltageSquared()
	for mode, want := range map[uncertainty.TwinMode]bool{uncertainty.TwinAuto: true, uncertainty.TwinOff: false} {
		o := simulate(t, uncertainty.MonteCarlo{Trials: 20_000, Twin: mode}, y).Outputs[0]
		c, err := uncertainty.Compare(evaluate(t, y), &o, 2)
		if err != nil || c.Settled != want {
			t.Errorf("twin %v: %+v, %v", mode, c, err)
		}
	}
}

// Chunks add no allocations with a twin either, beyond the growth of short lists.
func TestAllocationsWithATwin(t *testing.T) {
	allocations := func(trials int) float64 {
		return testing.AllocsPerRun(3, func() {
			simulate(t, uncertainty.MonteCarlo{Trials: trials, Workers: 1}, voltageSquared())
		})
	}
	few, many := allocations(20_000), allocations(300_000)
	if many > few+60 {
		t.Errorf("%v allocations for 20 000 trials, %v for 300 000", few, many)
	}
	t.Logf("%v and %v", few, many)
}

func TestTwinText(t *testing.T) {
	for kind := uncertainty.TwinNone; kind <= uncertainty.TwinExact; kind++ {
		text, err := kind.MarshalText()
		var back uncertainty.TwinKind
		if err != nil || back.UnmarshalText(text) != nil || back != kind || string(text) != kind.String() {
			t.Errorf("%v: %q, %v", kind, text, err)
		}
	}
	for _, mode := range []uncertainty.TwinMode{uncertainty.TwinAuto, uncertainty.TwinOff} {
		text, err := mode.MarshalText()
		var back uncertainty.TwinMode
		if err != nil || back.UnmarshalText(text) != nil || back != mode || string(text) != mode.String() {
			t.Errorf("%v: %q, %v", mode, text, err)
		}
	}
	if text := (uncertainty.Twin{}).String(); text != "" {
		t.Errorf("no twin: %q", text)
	}
}

// The power of 10 V, known to 1 %, in a resistor of 100 Ω ± 1 %: the model is the product
// of a square and a quotient, and its logarithm adds up.
func ExampleTwin() {
	v, r := in("V", uncertainty.Normal(10, 0.1)), in("R", uncertainty.Rectangular(100, 1))
	s, err := uncertainty.MonteCarlo{Trials: 20_000}.Run(context.Background(), v.Mul(v).Div(r))
	if err != nil {
		fmt.Println(err)
		return
	}
	twin := s.Outputs[0].Twin
	fmt.Println(twin.Kind, twin.Lower.Gain > 100)
	// Output: logarithmic true
}

// What the correction of the estimate was worth: as many trials more would have done it.
func ExampleControl() {
	v, r := in("V", uncertainty.Normal(10, 0.01)), in("R", uncertainty.Between(70, 130))
	s, err := uncertainty.MonteCarlo{Trials: 20_000}.Run(context.Background(), v.Div(r))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Outputs[0].Twin.Estimate.Gain > 1000)
	// Output: true
}

// A product of two quantities about 0: neither moves it while the other is 0.
func ExampleTwinKind() {
	a, b := in("a", uncertainty.Normal(0, 1)), in("b", uncertainty.Normal(0, 1))
	s, err := uncertainty.MonteCarlo{Trials: 20_000}.Run(context.Background(), a.Mul(b))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Outputs[0].Twin.Kind)
	fmt.Println(s.Outputs[0].Twin)
	// Output:
	// none
	// no twin: no input moves the output by itself
}

// The trials alone, as JCGM 101 has them.
func ExampleTwinMode() {
	x := in("x", uncertainty.Normal(10, 1))
	for _, mode := range []uncertainty.TwinMode{uncertainty.TwinAuto, uncertainty.TwinOff} {
		s, err := uncertainty.MonteCarlo{Trials: 10_000, Twin: mode}.Run(context.Background(), x)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v: u = %.3f ± %.3f\n", mode, s.Outputs[0].StandardUncertainty,
			s.Outputs[0].Sampling.StandardUncertainty)
	}
	// Output:
	// auto: u = 1.000 ± 0.000
	// off: u = 0.990 ± 0.007
}

// JSON holds what the twin did, and nothing where there was nothing to say.
func TestTwinJSON(t *testing.T) {
	o := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, voltageSquared()).Outputs[0]
	text, err := json.Marshal(o)
	var back struct{ Twin uncertainty.Twin }
	if err != nil || json.Unmarshal(text, &back) != nil || back.Twin != o.Twin {
		t.Errorf("%s: %v", text, err)
	}
	if text, _ := json.Marshal(simulate(t, uncertainty.MonteCarlo{Trials: 1000},
		uncertainty.Exact(1)).Outputs[0]); strings.Contains(string(text), "twin") {
		t.Errorf("%s", text)
	}
}
