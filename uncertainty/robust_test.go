// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// The Q scale by its definition, step by step, on values with and without ties.
func TestQScaleAgainstDefinition(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for n := range 60 {
		x := make([]float64, 4+n%9)
		for i := range x {
			x[i] = math.Round(r.NormFloat64() * float64(1+n%5) * 4)
		}
		if slices.Min(x) == slices.Max(x) {
			continue
		}
		got := must(uncertainty.QHampel(x...)).Scale
		if want := qByDefinition(x); !near(got, want, 1e-12) {
			t.Errorf("%v: scale %v, want %v", x, got, want)
		}
	}
}

// qByDefinition writes out H1, its points of discontinuity and the polygon G1.
func qByDefinition(x []float64) float64 {
	h := func(limit float64) float64 {
		var count, pairs float64
		for i, v := range x {
			for _, w := range x[:i] {
				pairs++
				if math.Abs(v-w) <= limit {
					count++
				}
			}
		}
		return count / pairs
	}
	var steps []float64
	for i, v := range x {
		for _, w := range x[:i] {
			if d := math.Abs(v - w); !slices.Contains(steps, d) {
				steps = append(steps, d)
			}
		}
	}
	slices.Sort(steps)
	g := func(i int) float64 {
		switch {
		case i == 0 && steps[0] > 0:
			return h(steps[0]) / 2
		case i == 0:
			return 0 // G1(0) = 0 whatever is tied
		}
		return (h(steps[i]) + h(steps[i-1])) / 2
	}
	wanted := 0.25 + 0.75*h(0)
	lastX, lastG := 0.0, 0.0
	for i := range steps {
		if g(i) >= wanted {
			lastX += (steps[i] - lastX) * (wanted - lastG) / (g(i) - lastG)
			break
		}
		lastX, lastG = steps[i], g(i)
	}
	normal := uncertainty.Normal(0, 1)
	return lastX / (math.Sqrt2 * normal.Quantile(0.625+0.375*h(0)))
}

func TestRobustMeansHold(t *testing.T) {
	good := []float64{9.98, 10.01, 10.00, 9.99, 10.02, 10.00, 9.97, 10.03, 10.01}
	for name, f := range map[string]func(...float64) (uncertainty.RobustMean, error){
		"median": uncertainty.MedianMAD, "algorithm A": uncertainty.AlgorithmA, "Q and Hampel": uncertainty.QHampel,
	} {
		clean := must(f(good...))
		far, farther := must(f(append(good, 25)...)), must(f(append(good, 1e9)...))
		if math.Abs(far.Location-clean.Location) > 0.02 || far.Scale > 2.2*clean.Scale {
			t.Errorf("%s: %+v with one blunder, %+v without", name, far, clean)
		}
		if !near(far.Location, farther.Location, 1e-9) || !near(far.Scale, farther.Scale, 1e-6) {
			t.Errorf("%s: the size of a blunder counts: %+v, %+v", name, far, farther)
		}
		same := must(f(4, 4, 4))
		if same.Location != 4 || same.Scale != 0 {
			t.Errorf("%s: equal observations: %+v", name, same)
		}
		for _, x := range [][]float64{nil, {1, 2}, {1, 2, math.NaN()}, {1, 2, math.Inf(1)}} {
			want := uncertainty.ErrObservations
			if len(x) > 2 {
				want = uncertainty.ErrNotFinite
			}
			if _, err := f(x...); !errors.Is(err, want) {
				t.Errorf("%s of %v: %v, want %v", name, x, err, want)
			}
		}
	}
	for _, f := range []func(...float64) (uncertainty.RobustMean, error){uncertainty.MedianMAD,
		uncertainty.AlgorithmA} {
		if _, err := f(1, 1, 1, 5); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("most are equal: %v", err)
		}
	}
	if _, err := uncertainty.QHampel(make([]float64, 10_001)...); !errors.Is(err,
		uncertainty.ErrDomain) {
		t.Errorf("too many pairs: %v", err)
	}
	if _, err := uncertainty.NormalizedIQR(1, 2); !errors.Is(err, uncertainty.ErrObservations) {
		t.Errorf("two observations: %v", err)
	}
	// A blunder among ties: the location stays with the good ones, and so does the scale.
	if r := must(uncertainty.QHampel(1, 1, 2, 2, 3, 3, 100)); math.Abs(r.Location-2) > 0.3 ||
		!(r.Scale > 0 && r.Scale < 3) {
		t.Errorf("ties and a blunder: %+v", r)
	}
	if b := evaluate(t,
		source(must(uncertainty.AlgorithmA(good...)).Distribution())); b.DOF != 8 ||
		b.Components[0].Type != uncertainty.EvaluationA {
		t.Errorf("%v degrees of freedom, type %v", b.DOF, b.Components[0].Type)
	}
	if err := source(uncertainty.RobustMean{Observations: 1}.Distribution()).Err(); !errors.Is(err,
		uncertainty.ErrObservations) {
		t.Errorf("one observation: %v", err)
	}
	if err := source(uncertainty.RobustMean{Scale: -1,
		Observations: 5}.Distribution()).Err(); !errors.Is(err, uncertainty.ErrDomain) {
		t.Errorf("negative scale: %v", err)
	}
	if !math.IsNaN(uncertainty.RobustMean{}.StandardUncertainty()) {
		t.Error("no observations have an uncertainty")
	}
}

// posterior integrates a density about the observations, in a variable that brings infinity
// to ±1, and returns mean, standard deviation and quantiles.
func posterior(density func(mu float64) float64, middle, width float64, ps ...float64) (mean,
	s float64, quantiles []float64) {
	const n = 100_000
	place := func(i int) (mu, weight float64) {
		t := (2*float64(i) + 1 - n) / n
		mu = middle + width*t/(1-t*t)
		return mu, density(mu) * (1 + t*t) / ((1 - t*t) * (1 - t*t))
	}
	var sum, first, second float64
	for i := range n {
		mu, w := place(i)
		sum += w
		first += w * mu
		second += w * mu * mu
	}
	mean = first / sum
	var below float64
	for i := range n {
		mu, w := place(i)
		if below += w; len(quantiles) < len(ps) && below >= ps[len(quantiles)]*sum {
			quantiles = append(quantiles, mu)
		}
	}
	return mean, math.Sqrt(second/sum - mean*mean), quantiles
}

func TestLikelihoodsAgainstQuadrature(t *testing.T) {
	for _, x := range [][]float64{{1, 2, 2.5, 4, 4.2, 9, 3, 2.2}, {0, 1, 1, 3, 3.5, 4, 4.1},
		{-1, 0.5, 0.6, 0.7, 2, 3}} {
		n := float64(len(x))
		low, high := slices.Min(x), slices.Max(x)
		for name, c := range map[string]struct {
			d       uncertainty.Distribution
			density func(mu float64) float64
		}{
			"uniform": {uncertainty.TypeAUniform(x...), func(mu float64) float64 {
				return math.Pow(max(mu-low, high-mu), -n)
			}},
			"Laplace": {uncertainty.TypeALaplace(x...), func(mu float64) float64 {
				var sum float64
				for _, v := range x {
					sum += math.Abs(v - mu)
				}
				return math.Pow(sum, -n)
			}},
		} {
			ps := []float64{0.001, 0.025, 0.3, 0.5, 0.8, 0.975}
			mean, s, quantiles := posterior(c.density, (low+high)/2, high-low, ps...)
			if !near(c.d.Mean(), mean, 1e-7) || !near(c.d.StdDev(), s, 1e-7) {
				t.Errorf("%s of %v: %v, %v; want %v, %v", name, x, c.d.Mean(), c.d.StdDev(), mean,
					s)
			}
			for i, p := range ps {
				if got := c.d.Quantile(p); math.Abs(got-quantiles[i]) > 1e-4*(high-low) {
					t.Errorf("%s of %v: quantile %v is %v, want %v", name, x, p, got, quantiles[i])
				}
			}
			if uncertaintyOf(t, c.d) != c.d.StdDev() {
				t.Errorf("%s: the standard uncertainty is not the standard deviation", name)
			}
			if q := c.d.Quantile(math.NaN()); !math.IsNaN(q) {
				t.Errorf("%s: quantile of NaN is %v", name, q)
			}
		}
	}
	for _, f := range []func(...float64) uncertainty.Distribution{uncertainty.TypeAUniform,
		uncertainty.TypeALaplace} {
		for _, c := range []struct {
			x    []float64
			want error
		}{{[]float64{1, 2, 3}, uncertainty.ErrObservations}, {[]float64{1, 2, 3, math.NaN()},
			uncertainty.ErrNotFinite}, {[]float64{2, 2, 2, 2}, uncertainty.ErrDomain}} {
			if err := source(f(c.x...)).Err(); !errors.Is(err, c.want) {
				t.Errorf("%v: %v, want %v", c.x, err, c.want)
			}
		}
	}
}

func uncertaintyOf(t *testing.T, d uncertainty.Distribution) float64 {
	t.Helper()
	b := evaluate(t, source(d))
	if b.Components[0].Type != uncertainty.EvaluationA {
		t.Errorf("evaluation of type %v", b.Components[0].Type)
	}
	return b.StandardUncertainty
}

// The posterior of the mean by integration over the standard deviation: prior of σ² as
// scaled inverse χ², normal likelihood.
func TestPriorOfStdDevAgainstQuadrature(t *testing.T) {
	const s0, dof0 = 0.3, 6.0
	x := []float64{4.9, 5.2, 5.0}
	density := func(mu float64) float64 {
		var sum float64
		for k := range 400 { // σ from 0.01 to 100, in equal ratios
			sigma := math.Pow(10, -2+4*float64(k)/400)
			v := -dof0*math.Log(sigma) - dof0*s0*s0/(2*sigma*sigma) // times dσ/σ
			for _, y := range x {
				v -= math.Log(sigma) + (y-mu)*(y-mu)/(2*sigma*sigma)
			}
			sum += math.Exp(v)
		}
		return sum
	}
	d := uncertainty.TypeAWithPrior(s0, dof0, x...)
	const cells = 4000
	var sum, second float64
	mean := 15.1 / 3
	for i := range cells {
		mu := mean - 3 + 6*(float64(i)+0.5)/cells
		w := density(mu)
		sum += w
		second += w * (mu - mean) * (mu - mean)
	}
	if want := math.Sqrt(second / sum); !near(d.StdDev(), want, 1e-3) ||
		!near(d.Mean(), mean, 1e-14) {
		t.Errorf("%v, %v; want %v, %v", d.Mean(), d.StdDev(), mean, want)
	}
}

func TestPriorOfStdDevLimits(t *testing.T) {
	read := func(d uncertainty.Distribution) (u, dof float64) {
		return d.(interface{ Uncertainty() (float64, float64) }).Uncertainty()
	}
	x := []float64{4.9, 5.2, 5.0}
	u, dof := read(uncertainty.TypeAWithPrior(7, 1e-12, x...))
	if want, _ := read(uncertainty.TypeA(x...)); !near(u, want, 1e-9) || !near(dof, 2, 1e-9) {
		t.Errorf("no experience: u = %v, %v degrees of freedom, want %v, 2", u, dof, want)
	}
	u, dof = read(uncertainty.TypeAWithPrior(0.3, math.Inf(1), x...))
	if !near(u, 0.3/math.Sqrt(3), 1e-14) || !math.IsInf(dof, 1) {
		t.Errorf("known σ: u = %v, %v degrees of freedom", u, dof)
	}
	// The same as pooling all series.
	earlier := []float64{1, 1.4, 0.9, 1.1}
	before := must(uncertainty.Pool(earlier))
	all := must(uncertainty.Pool(earlier, x))
	u, dof = read(uncertainty.TypeAWithPrior(before.StdDev, before.DOF, x...))
	if want := all.StdDev / math.Sqrt(3); !near(u, want, 1e-14) || dof != all.DOF {
		t.Errorf("u = %v with %v degrees of freedom, pooled %v with %v", u, dof, want, all.DOF)
	}
	if u, dof = read(uncertainty.TypeAWithPrior(0.2, 9, 5)); u != 0.2 || dof != 9 {
		t.Errorf("one observation: u = %v, %v degrees of freedom", u, dof)
	}
	for _, c := range []struct {
		d    uncertainty.Distribution
		want error
	}{
		{uncertainty.TypeAWithPrior(-1, 9, 5),
			uncertainty.ErrDomain}, {uncertainty.TypeAWithPrior(1, 0, 5), uncertainty.ErrDomain},
		{uncertainty.TypeAWithPrior(1, 9),
			uncertainty.ErrObservations}, {uncertainty.TypeAWithPrior(1, 9,
			math.NaN()), uncertainty.ErrNotFinite},
		{uncertainty.TypeAWithPrior(math.Inf(1), 9, 1), uncertainty.ErrNotFinite},
	} {
		if err := source(c.d).Err(); !errors.Is(err, c.want) {
			t.Errorf("%v, want %v", err, c.want)
		}
	}
}
