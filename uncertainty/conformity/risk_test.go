// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance*math.Abs(want) }

// Figures of the same examples that were recomputed with 40 digits (normal distribution
// function and adaptive quadrature of arbitrary precision).
func TestGlobalRiskAgainstLongArithmetic(t *testing.T) {
	normal, gamma := uncertainty.Normal(1500, 0.12), distuv.Gamma{Alpha: 4, Beta: 4}
	third := uncertainty.Normal(0, 1.0/6)
	for _, c := range []struct {
		name                  string
		tolerance, acceptance uncertainty.Interval
		prior                 uncertainty.Distribution
		u                     float64
		consumer, producer    float64
	}{
		{"resistors", interval(1499.8, 1500.2), interval(1499.82, 1500.18), normal, 0.04, 0.009878291521772293, 0.06902651046152138},
		{"resistors, simple", interval(1499.8, 1500.2), interval(1499.8, 1500.2), normal, 0.04, 0.018942206717029116, 0.03720780017805775},
		{"bearings, r = 0.65", interval(0, 2), interval(0, 1.675), gamma, 0.25, 0.0010265361325108896, math.NaN()},
		{"bearings, one limit", interval(0, 2), interval(nothing, 1.675), gamma, 0.25, math.NaN(), 0.07464969402681617},
		{"bearings, r = -1", interval(0, 2), interval(0, 2.5), gamma, 0.25, 0.029436022778152005, math.NaN()},
		{"bearings, r = 1", interval(0, 2), interval(0, 1.5), gamma, 0.25, 0.00019932788234241, math.NaN()},
		{"Cm = 2", interval(-0.5, 0.5), interval(-0.5, 0.5), third, 0.125, 0.0009815809234891003, 0.01467685670942117},
		{"Cm = 2, w = U", interval(-0.5, 0.5), interval(-0.25, 0.25), third, 0.125, 3.0829910200051757e-05, 0.2274703742903564},
		{"Cm = 2, w = U/2", interval(-0.5, 0.5), interval(-0.375, 0.375), third, 0.125, 0.00025776500810105164, 0.06941860717069247},
	} {
		g := globalRisk(t, c.tolerance, c.acceptance, c.prior, c.u)
		if !math.IsNaN(c.consumer) && !near(g.Consumer, c.consumer, 1e-9) {
			t.Errorf("%s: consumer's risk %v; want %v", c.name, g.Consumer, c.consumer)
		}
		if !math.IsNaN(c.producer) && !near(g.Producer, c.producer, 1e-9) {
			t.Errorf("%s: producer's risk %v; want %v", c.name, g.Producer, c.producer)
		}
	}
}

// Other priors against plain simulation.
func TestGlobalRiskAgainstSimulation(t *testing.T) {
	if testing.Short() {
		t.Skip("simulation")
	}
	const n, seed = 100_000, 11
	random := rand.New(rand.NewPCG(seed, 0))
	tolerance, acceptance := interval(-1, 1), interval(-0.9, 0.8)
	for name, prior := range map[string]uncertainty.Distribution{
		"rectangular": uncertainty.Rectangular(0.2, 1.5), "arcsine": uncertainty.Arcsine(0, 1.2), "triangular": uncertainty.Triangular(-0.5, 2),
		"t": uncertainty.StudentT(0, 0.5, 3), "exponential": distuv.Exponential{Rate: 1},
	} {
		const u = 0.1
		var consumer, producer, conforming int
		for range n {
			x := prior.Quantile(random.Float64()*(1-1e-12) + 1e-13)
			accepted := acceptance.Contains(x + u*random.NormFloat64())
			switch inside := tolerance.Contains(x); {
			case inside && !accepted:
				producer++
			case !inside && accepted:
				consumer++
			}
			if tolerance.Contains(x) {
				conforming++
			}
		}
		g := globalRisk(t, tolerance, acceptance, prior, u)
		for _, c := range []struct {
			what  string
			count int
			want  float64
		}{{"consumer's risk", consumer, g.Consumer}, {"producer's risk", producer, g.Producer}, {"conforming", conforming, g.Conforming}} {
			if got := float64(c.count) / n; math.Abs(got-c.want) > 4*math.Sqrt(c.want*(1-c.want)/n)+1e-9 {
				t.Errorf("%s, %s: %v; simulated %v (seed %d)", name, c.what, c.want, got, seed)
			}
		}
	}
}

// A perfect meter makes no mistakes but those of the acceptance interval; items all
// alike have the risk of the one item.
func TestGlobalRiskAtTheEnds(t *testing.T) {
	tolerance := interval(-1, 1)
	g := globalRisk(t, tolerance, tolerance, uncertainty.Normal(0, 0.8), 0)
	if g.Consumer != 0 || g.Producer > 1e-14 || !near(g.Conforming, math.Erf(1.25/math.Sqrt2), 1e-12) {
		t.Errorf("perfect meter: %+v; want no risk and 0.7887 conforming", g)
	}
	g = globalRisk(t, tolerance, interval(-0.5, 0.5), uncertainty.Rectangular(0, 2), 0)
	if !near(g.Producer, 0.25, 1e-12) || g.Consumer != 0 || !near(g.Accepted, 0.25, 1e-12) {
		t.Errorf("perfect meter with a guard band: %+v; want a producer's risk of 0.25", g)
	}
	g = globalRisk(t, tolerance, tolerance, uncertainty.Normal(1.2, 0), 0.1)
	if want := math.Erfc(2/math.Sqrt2) / 2; !near(g.Consumer, want, 1e-12) || g.Producer != 0 || g.Conforming != 0 {
		t.Errorf("items all alike: %+v; want a consumer's risk of %v", g, want)
	}
	g = globalRisk(t, tolerance, tolerance, uncertainty.Normal(1, 0), 0.1)
	if g.Consumer != 0 || !near(g.Producer, 0.5, 1e-12) || g.Conforming != 1 {
		t.Errorf("items all on the limit: %+v; want a producer's risk of 0.5", g)
	}
}

// Normal prior and normal measurement (JCGM 106 A.4.4, eqs. A.10, A.13, A.14): of the
// accepted items with one measured value, the share that does not conform is the
// specific risk with prior and measurement combined. Weighing them by hand must give
// the risk of a narrow acceptance interval.
func TestSpecificRiskIsGlobalRiskOfOneValue(t *testing.T) {
	const y0, u0, ym, um = 1500, 0.12, 1500.17, 0.04
	w0, wm := 1/(u0*u0), 1/(um*um)
	y, u := (w0*y0+wm*ym)/(w0+wm), 1/math.Sqrt(w0+wm)
	tolerance := interval(1499.8, 1500.2)
	want := specificRisk(t, tolerance, known(t, y, u))
	g := globalRisk(t, tolerance, interval(ym-1e-5, ym+1e-5), uncertainty.Normal(y0, u0), um)
	if got := g.Consumer / g.Accepted; !near(got, want, 1e-6) {
		t.Errorf("share of nonconforming items at %v: %v; want %v", ym, got, want)
	}
}

func TestGuardForSpecificRisk(t *testing.T) {
	for _, c := range []struct {
		tolerance    uncertainty.Interval
		u, dof, risk float64
	}{
		{interval(0, 10), 1, inf, 0.025}, {interval(0, 10), 2, 5, 0.06}, {interval(0, 4), 1, inf, 0.05}, {interval(0, 4.1), 1, 30, 0.06},
		{interval(nothing, 3), 0.5, 4, 0.01}, {interval(3, inf), 0.5, 1e7, 0.001},
	} {
		g, err := conformity.GuardForSpecificRisk(c.tolerance, c.u, c.dof, c.risk)
		if err != nil {
			t.Errorf("%+v: %v", c, err)
			continue
		}
		limit := g.Acceptance.Upper
		if math.IsInf(limit, 1) {
			limit = g.Acceptance.Lower
		}
		b, err := uncertainty.Evaluate(uncertainty.Input("y", uncertainty.StudentT(limit, c.u, c.dof)))
		if err != nil {
			t.Fatal(err)
		}
		d, err := conformity.FromBudget(b)
		if err != nil {
			t.Fatal(err)
		}
		if got := specificRisk(t, c.tolerance, d); !near(got, c.risk, 1e-9) {
			t.Errorf("%+v: risk at the limit of acceptance %v is %v", c, limit, got)
		}
	}
	if g := specificGuard(t, interval(0, 1), 0.1, 0.5); g.Width > 1e-12 {
		t.Errorf("risk of 0.5: w = %v; want 0", g.Width)
	}
	if g := specificGuard(t, interval(0, 1), 0, 0.01); g.Width != 0 {
		t.Errorf("no uncertainty: w = %v; want 0", g.Width)
	}
	if _, err := conformity.GuardForSpecificRisk(interval(0, 1), 1, inf, 0.05); !errors.Is(err,
		conformity.ErrInterval) {
		t.Errorf("uncertainty as wide as the tolerance: %v; want ErrInterval", err)
	}
}

func TestGuardForGlobalRisk(t *testing.T) {
	prior := uncertainty.Normal(0, 0.6)
	g, risk, err := conformity.GuardForGlobalRisk(interval(-1, 1), prior, 0.125, 0.005)
	if err != nil || !near(risk.Consumer, 0.005, 1e-8) || g.Acceptance.Upper != 1-g.Width || g.Width <= 0 {
		t.Errorf("guard %+v, risk %+v, error %v; want a consumer's risk of 0.005", g, risk, err)
	}
	g, risk, err = conformity.GuardForGlobalRisk(interval(-1, 1), prior, 0.125, 0.2)
	if err != nil || g.Width != 0 || risk.Consumer > 0.2 {
		t.Errorf("simple acceptance is enough: %+v, %+v, %v", g, risk, err)
	}
}

// At a ratio of 4 the specific risk on the limit of acceptance is near 40 %, whatever
// small global risk is quoted with the rule.
func TestRootDifference(t *testing.T) {
	g, err := conformity.RootDifference(interval(-4, 4), 1)
	if err != nil || !near(g.Acceptance.Upper, math.Sqrt(15), 1e-14) || !near(g.Width, 4-math.Sqrt(15), 1e-12) {
		t.Errorf("%+v, %v; want A = √15", g, err)
	}
	if risk := specificRisk(t, interval(-4, 4), known(t, g.Acceptance.Upper, 0.5)); risk < 0.39 || risk > 0.41 {
		t.Errorf("specific risk at the limit of acceptance %v; want about 0.4", risk)
	}
	if risk := globalRisk(t, interval(-4, 4), g.Acceptance, uncertainty.Normal(0, 2.3), 0.5); risk.Consumer > 0.02 {
		t.Errorf("global risk %v; want a small one beside the specific one", risk.Consumer)
	}
}

// The t-distribution against coverage factors, and against gonum where that is exact.
func TestProbabilityOfStudentT(t *testing.T) {
	for _, dof := range []float64{0.7, 1, 2, 3.5, 9, 49, 700, 4e3, 6e3, 9e5, 1e9, inf} {
		b := &uncertainty.Budget{Estimate: 3, StandardUncertainty: 0.5, DOF: dof}
		d, err := conformity.FromBudget(b)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []float64{1e-3, 0.1, 0.5, 0.9, 0.95, 0.9999} {
			k, err := uncertainty.CoverageFactor(p, dof)
			if err != nil {
				t.Fatal(err)
			}
			if got := probability(t, interval(3-k*0.5, 3+k*0.5), d); !near(got, p, 2e-12) {
				t.Errorf("dof %v: probability within t(%v) is %v", dof, p, got)
			}
			if got := specificRisk(t, interval(nothing, 3+k*0.5), d); !near(got, (1-p)/2, 1e-9) {
				t.Errorf("dof %v: tail beyond t(%v) is %v", dof, p, got)
			}
		}
		if got := d.CDF(3); got != 0.5 {
			t.Errorf("dof %v: median %v", dof, got)
		}
	}
	far := known(t, 0, 1)
	if got, want := specificRisk(t, interval(nothing, 10), far), math.Erfc(10/math.Sqrt2)/2; !near(got, want, 1e-12) {
		t.Errorf("small risk %v; want %v", got, want)
	}
	if got, want := specificRisk(t, interval(nothing, 3), distuv.UnitNormal),
		math.Erfc(3/math.Sqrt2)/2; !near(got, want, 1e-12) {
		t.Errorf("small risk of gonum's normal %v; want %v", got, want)
	}
}

func TestSamplesAndOutputs(t *testing.T) {
	s, err := conformity.NewSamples([]float64{3, 1, 2, 2})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		tolerance uncertainty.Interval
		want      float64
	}{{interval(2, 3), 0.75}, {interval(1, 2), 0.75}, {interval(2, 2), 0.5}, {interval(nothing, 1), 0.25}, {interval(3.5, inf), 0}} {
		if got := probability(t, c.tolerance, s); got != c.want {
			t.Errorf("samples within %v: %v; want %v", c.tolerance, got, c.want)
		}
	}
	if got := s.CDF(2); got != 0.75 {
		t.Errorf("CDF(2) = %v; want 0.75", got)
	}
	exact := known(t, 5, 0)
	for x, want := range map[float64]float64{4.999: 0, 5: 1, 5.001: 1} {
		if got := exact.CDF(x); got != want {
			t.Errorf("exact result: CDF(%v) = %v; want %v", x, got, want)
		}
	}
	if got := probability(t, interval(5, 6), exact); got != 1 {
		t.Errorf("exact result on the limit: %v; want 1", got)
	}

	x := uncertainty.Input("x", uncertainty.Rectangular(1, 0.5))
	sim, err := uncertainty.MonteCarlo{Trials: 200_000, Seed: 3}.Run(context.Background(), x)
	if err != nil {
		t.Fatal(err)
	}
	d, err := conformity.FromOutput(&sim.Outputs[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ low, high, want float64 }{{0.75, 1.25, 0.5}, {0, 2, 1}, {1.4, 3, 0.1}, {2, 3, 0}, {nothing, 0.6, 0.1}} {
		if got := probability(t, interval(c.low, c.high), d); math.Abs(got-c.want) > 0.005 {
			t.Errorf("simulated within [%v, %v]: %v; want %v", c.low, c.high, got, c.want)
		}
	}
}

func TestStatements(t *testing.T) {
	tolerance := interval(nothing, 10)
	rule := conformity.Rule{Multiple: 1, Coverage: uncertainty.P2}
	for y, want := range map[float64]conformity.Statement{
		8.5: conformity.StatementPass, 9: conformity.StatementPass, 9.5: conformity.StatementConditionalPass, 10: conformity.StatementConditionalPass,
		10.5: conformity.StatementConditionalFail, 11: conformity.StatementConditionalFail, 11.5: conformity.StatementFail,
	} {
		got, err := rule.Statement(tolerance, budget(t, y, 0.5*1.0000000001))
		if y == 9 { // the limit of acceptance is 10 - 2u, computed
			got, err = rule.Statement(tolerance, budget(t, y, 0.5*0.9999999999))
		}
		if err != nil || got != want {
			t.Errorf("%v: %v, %v; want %v", y, got, err, want)
		}
		var back conformity.Statement
		text, _ := got.MarshalText()
		if err := back.UnmarshalText(text); err != nil || back != got {
			t.Errorf("%q is read as %v, %v", text, back, err)
		}
	}
	if s, err := rule.Statement(interval(1, 0), budget(t, 0, 1)); s != conformity.StatementNone ||
		!errors.Is(err, conformity.ErrInterval) {
		t.Errorf("reversed limits: %v, %v", s, err)
	}
	var s conformity.Statement
	if err := s.UnmarshalText([]byte("maybe")); !errors.Is(err, unit.ErrUnknown) ||
		conformity.Statement(9).String() != "Statement(9)" {
		t.Errorf("unknown statement: %v, %v", err, conformity.Statement(9))
	}
}

type brokenCDF float64

func (b brokenCDF) CDF(float64) float64 { return float64(b) }

func TestRiskRefuses(t *testing.T) {
	nan := math.NaN()
	good, prior := interval(-1, 1), uncertainty.Normal(0, 1)
	d := known(t, 0, 1)
	for _, c := range []struct {
		name string
		f    func() error
		want error
		text string
	}{
		{"nil distribution", func() error { _, err := conformity.Probability(good, nil); return err }, conformity.ErrDomain, "nil"},
		{"NaN limit", func() error { _, err := conformity.SpecificRisk(interval(nan, 1), d); return err }, conformity.ErrNotFinite, "tolerance"},
		{"no limits", func() error { _, err := conformity.SpecificRisk(interval(nothing, inf), d); return err }, conformity.ErrInterval, "finite limit"},
		{"probability 2", func() error { _, err := conformity.Probability(good, brokenCDF(2)); return err }, conformity.ErrDomain, "0 to 1"},
		{"probability NaN", func() error { _, err := conformity.Probability(good, brokenCDF(nan)); return err }, conformity.ErrDomain, "0 to 1"},
		{"panicking distribution", func() error { _, err := conformity.Probability(good, distuv.StudentsT{Nu: -1, Sigma: 1}); return err }, conformity.ErrDomain, ""},
		{"zero Samples", func() error { _, err := conformity.Probability(good, conformity.Samples{}); return err }, conformity.ErrDomain, "0 to 1"},
		{"no values", func() error { _, err := conformity.NewSamples(nil); return err }, conformity.ErrDomain, "at least 1"},
		{"NaN value", func() error { _, err := conformity.NewSamples([]float64{1, nan}); return err }, conformity.ErrNotFinite, "value 2"},
		{"nil budget", func() error { _, err := conformity.FromBudget(nil); return err }, conformity.ErrDomain, "nil"},
		{"zero budget", func() error { _, err := conformity.FromBudget(&uncertainty.Budget{}); return err }, conformity.ErrDomain, "degrees"},
		{"NaN estimate", func() error { _, err := conformity.FromBudget(&uncertainty.Budget{Estimate: nan, DOF: 1}); return err }, conformity.ErrNotFinite, "estimate"},
		{"negative u in a budget", func() error {
			_, err := conformity.FromBudget(&uncertainty.Budget{StandardUncertainty: -1, DOF: 1})
			return err
		}, conformity.ErrDomain, "standard uncertainty"},
		{"nil output", func() error { _, err := conformity.FromOutput(nil); return err }, conformity.ErrDomain, "nil"},
		{"zero output", func() error { _, err := conformity.FromOutput(&uncertainty.Output{}); return err }, conformity.ErrDomain, "histogram"},
		{"empty histogram", func() error {
			_, err := conformity.FromOutput(&uncertainty.Output{Histogram: uncertainty.Histogram{Width: 1, Counts: []int{0}}})
			return err
		}, conformity.ErrDomain, "trials"},
		{"no prior", func() error { _, err := conformity.GlobalRisk(good, good, nil, 1); return err }, conformity.ErrDomain, "prior"},
		{"broken prior", func() error { _, err := conformity.GlobalRisk(good, good, uncertainty.Normal(0, -1), 1); return err }, conformity.ErrDomain, "prior"},
		{"panicking prior", func() error {
			_, err := conformity.GlobalRisk(good, good, distuv.StudentsT{Nu: -1, Sigma: 1}, 1)
			return err
		}, conformity.ErrDomain, "prior"},
		{"negative u", func() error { _, err := conformity.GlobalRisk(good, good, prior, -1); return err }, conformity.ErrDomain, "u"},
		{"reversed acceptance", func() error { _, err := conformity.GlobalRisk(good, interval(1, -1), prior, 1); return err }, conformity.ErrInterval, "acceptance"},
		{"reversed tolerance", func() error { _, err := conformity.GlobalRisk(interval(1, -1), good, prior, 1); return err }, conformity.ErrInterval, ""},
		{"risk 0", func() error { _, _, err := conformity.GuardForGlobalRisk(good, prior, 1, 0); return err }, conformity.ErrDomain, "risk"},
		{"no prior for a guard", func() error { _, _, err := conformity.GuardForGlobalRisk(good, nil, 1, 0.1); return err }, conformity.ErrDomain, "prior"},
		{"guard of no interval", func() error { _, _, err := conformity.GuardForGlobalRisk(interval(2, 1), prior, 1, 0.1); return err }, conformity.ErrInterval, ""},
		{"risk above one half", func() error { _, err := conformity.GuardForSpecificRisk(good, 1, inf, 0.6); return err }, conformity.ErrDomain, "risk"},
		{"dof 0", func() error { _, err := conformity.GuardForSpecificRisk(good, 1, 0, 0.1); return err }, conformity.ErrDomain, "degrees"},
		{"u NaN", func() error { _, err := conformity.GuardForSpecificRisk(good, nan, 1, 0.1); return err }, conformity.ErrNotFinite, "u"},
		{"guard, reversed", func() error { _, err := conformity.GuardForSpecificRisk(interval(2, 1), 1, 1, 0.1); return err }, conformity.ErrInterval, ""},
		{"beyond float64", func() error { _, err := conformity.GuardForSpecificRisk(good, 1, 0.001, 1e-9); return err }, conformity.ErrDomain, "risk"},
		{"root of less than nothing", func() error { _, err := conformity.RootDifference(good, 1.1); return err }, conformity.ErrInterval, "half-width"},
		{"root, one limit", func() error { _, err := conformity.RootDifference(interval(0, inf), 1); return err }, conformity.ErrInterval, "one-sided"},
		{"root, U negative", func() error { _, err := conformity.RootDifference(good, -1); return err }, conformity.ErrDomain, "U"},
		{"index, one limit", func() error { _, err := conformity.CapabilityIndex(interval(nothing, 0), 1); return err }, conformity.ErrInterval, "one-sided"},
		{"index, u infinite", func() error { _, err := conformity.CapabilityIndex(good, inf); return err }, conformity.ErrNotFinite, "u"},
	} {
		err := c.f()
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: error %v; want %v with %q", c.name, err, c.want, c.text)
		}
		if _, ok := errors.AsType[*conformity.Error](err); !ok {
			t.Errorf("%s: %T is no *conformity.Error", c.name, err)
		}
	}
	if c, err := conformity.CapabilityIndex(good, 0); err != nil || !math.IsInf(c, 1) {
		t.Errorf("index without uncertainty: %v, %v; want infinite", c, err)
	}
}

// A rectangle inside the limits is inside with certainty, whatever k·u says; half of it
// outside is a half.
func TestProbabilityByTheLawsOfTheInputs(t *testing.T) {
	b, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.Rectangular(100, 1)))
	if err != nil {
		t.Fatal(err)
	}
	d, err := conformity.FromBudget(b)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ lower, upper, want float64 }{{99, 101, 1}, {99, 100, 0.5}, {100.5, 103, 0.25}} {
		p, err := conformity.Probability(interval(c.lower, c.upper), d)
		if err != nil || math.Abs(p-c.want) > 1e-15 {
			t.Errorf("%v to %v: %v, error %v; want %v", c.lower, c.upper, p, err, c.want)
		}
	}
}

// The t-distribution of one degree of freedom lies between ±1 with probability 1/2; what
// no trial reached is no risk at all.
func TestRiskOfAnOutput(t *testing.T) {
	sim, err := uncertainty.MonteCarlo{Trials: 200_000, Seed: 3,
		Twin: uncertainty.TwinOff}.Run(context.Background(),
		uncertainty.Input("x", uncertainty.StudentT(0, 1, 1)))
	if err != nil {
		t.Fatal(err)
	}
	d, err := conformity.FromOutput(&sim.Outputs[0])
	if err != nil {
		t.Fatal(err)
	}
	p, err := conformity.Probability(interval(-1, 1), d)
	if err != nil || math.Abs(p-0.5) > 0.02 {
		t.Errorf("between ±1: %v, error %v; want 0.5", p, err)
	}
	for limit, want := range map[float64]float64{1e9: 0, 12.706: 0.05, 63.657: 0.01} {
		r, err := conformity.SpecificRisk(interval(-limit, limit), d)
		if err != nil || math.Abs(r-want) > 4*math.Sqrt(want/200_000) {
			t.Errorf("beyond ±%v: %v, error %v; want %v", limit, r, err, want)
		}
	}
}

// Absurd priors and uncertainties give probabilities or an error, never NaN.
func TestAbsurdPriors(t *testing.T) {
	for _, prior := range []uncertainty.Distribution{
		uncertainty.Normal(0, 1e300), uncertainty.Normal(1e300, 1e-300), uncertainty.Rectangular(0, 1e308), uncertainty.Normal(0, 0),
		uncertainty.StudentT(0, 1, 0.01), uncertainty.Exponential(1e-300),
	} {
		for _, u := range []float64{0, 1e-300, 1, 1e300} {
			g, err := conformity.GlobalRisk(interval(-1, 1), interval(-0.5, 0.5), prior, u)
			for _, p := range []float64{g.Consumer, g.Producer, g.Conforming, g.Accepted} {
				if !(p >= -1e-9 && p <= 1+1e-9) {
					t.Errorf("prior %v, u = %v: %+v, error %v", prior, u, g, err)
				}
			}
		}
	}
}

// lostTail is a prior of somebody else's that has no quantiles far out.
type lostTail struct{ distuv.Normal }

func (l lostTail) Quantile(p float64) float64 {
	if p < 1e-3 || p > 1-1e-3 {
		return math.NaN()
	}
	return l.Normal.Quantile(p)
}

func TestPriorWithoutTails(t *testing.T) {
	g, err := conformity.GlobalRisk(interval(-1, 1), interval(-0.5, 0.5), lostTail{distuv.UnitNormal}, 0.1)
	if err == nil && math.IsNaN(g.Consumer+g.Producer+g.Conforming+g.Accepted) ||
		err != nil && !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("%+v, error %v; want no NaN beside nil", g, err)
	}
}
