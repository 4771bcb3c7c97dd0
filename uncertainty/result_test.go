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
)

// The distribution of a rectangle, of two equal ones (a triangle) and of a normal law, by
// their own formulas.
func TestDistributionOfABudget(t *testing.T) {
	r := func(name string) uncertainty.Quantity { return uncertainty.Input(name, uncertainty.Rectangular(0, 1)) }
	normal := uncertainty.Input("n", uncertainty.Normal(3, 0.5))
	clamp := func(x float64) float64 { return max(0, min(1, x)) }
	for _, c := range []struct {
		name  string
		y     uncertainty.Quantity
		cdf   func(x float64) float64
		error float64
	}{
		{"rectangle", r("a").Scale(-2), func(x float64) float64 { return clamp((x + 2) / 4) }, 1e-15},
		{"triangle", r("a").Add(r("b")), func(x float64) float64 {
			if x < 0 {
				return math.Pow(max(0, 2+x), 2) / 8
			}
			return 1 - math.Pow(max(0, 2-x), 2)/8
		}, 1e-15},
		{"normal", normal.Scale(2), distuv.Normal{Mu: 6, Sigma: 1}.CDF, 1e-15},
	} {
		b := evaluate(t, c.y)
		d, known := b.Distribution()
		if !known {
			t.Fatalf("%s: not known", c.name)
		}
		for x := b.Estimate - 5; x <= b.Estimate+5; x += 0.125 {
			got, above, want := d.CDF(x), d.Survival(x), c.cdf(x)
			if math.Abs(got-want) > c.error || math.Abs(got+above-1) > 1e-12 {
				t.Errorf("%s: CDF(%v) = %v, above %v; want %v", c.name, x, got, above, want)
			}
		}
		if !math.IsNaN(d.CDF(math.NaN())) || d.CDF(math.Inf(1)) != 1 || d.CDF(math.Inf(-1)) != 0 {
			t.Errorf("%s: at the ends %v, %v", c.name, d.CDF(math.Inf(-1)), d.CDF(math.Inf(1)))
		}
	}
	for name, y := range map[string]uncertainty.Quantity{
		"readings":     uncertainty.Input("x", uncertainty.TypeA(1, 2, 3, 4)),
		"a square":     r("a").Mul(r("b")),
		"nothing":      uncertainty.Exact(3),
		"somebody's":   uncertainty.Input("x", distuv.Gamma{Alpha: 3, Beta: 1}),
		"with a doubt": uncertainty.Source{Name: "x", Distribution: uncertainty.Rectangular(0, 1), DOF: 8}.Input(),
	} {
		b := evaluate(t, y)
		if _, known := b.Distribution(); known {
			t.Errorf("%s: known", name)
		}
		i, err := b.BestInterval(0.95)
		if err != nil || i != b.Expanded.Interval {
			t.Errorf("%s: best interval %v, %v; want that of k·u", name, i, err)
		}
	}
	var none *uncertainty.Budget
	if _, err := none.BestInterval(0.95); err == nil {
		t.Error("no budget: no error")
	}
}

// The Cauchy distribution of two readings, between limits that hold a half of it (quartiles
// at ±1), and beyond all that a simulation has seen.
func TestDistributionOfAnOutput(t *testing.T) {
	for name, m := range map[string]uncertainty.MonteCarlo{
		"ends kept": {Trials: 400_000, Seed: 5, Twin: uncertainty.TwinOff},
		"all kept":  {Trials: 100_000, Seed: 5, Quantiles: []float64{0.5}, Twin: uncertainty.TwinOff},
		"few":       {Trials: 10_000, Seed: 5, Twin: uncertainty.TwinOff},
		"exact":     {Trials: 1e6, Seed: 5},
	} {
		o := simulate(t, m, uncertainty.Input("x", uncertainty.StudentT(0, 1, 1))).Outputs[0]
		for x, want := range map[float64]float64{-1: 0.25, 0: 0.5, 1: 0.75, 12.706: 0.975,
			-12.706: 0.025, 63.657: 0.995} {
			// Sampling, of all trials at the ends and of the pilot between.
			if got, above := o.CDF(x), o.Survival(x); math.Abs(got-want) > 0.02 || math.Abs(got+above-1) > 1e-12 {
				t.Errorf("%s: CDF(%v) = %v, above %v; want %v", name, x, got, above, want)
			}
		}
		if o.CDF(math.Inf(1)) != 1 || o.CDF(math.Inf(-1)) != 0 || o.Survival(1e30) != 0 ||
			o.CDF(1e30) != 1 || !math.IsNaN(o.CDF(math.NaN())) {
			t.Errorf("%s: at the ends %v, %v, %v", name, o.CDF(math.Inf(-1)), o.CDF(math.Inf(1)), o.Survival(1e30))
		}
		if got := o.CDF(o.Symmetric.Lower); math.Abs(got-0.025) > 2/float64(m.Trials) {
			t.Errorf("%s: CDF at the lower end %v; want 0.025", name, got)
		}
		last := 0.0
		for x := -30.0; x <= 30; x += 0.01 {
			p := o.CDF(x)
			if p < last {
				t.Fatalf("%s: CDF falls at %v", name, x)
			}
			last = p
		}
	}
	if p := (uncertainty.Output{}).CDF(0); !math.IsNaN(p) {
		t.Errorf("no trials: %v", p)
	}
}

func TestAtCoverage(t *testing.T) {
	b := evaluate(t, uncertainty.Input("x", uncertainty.Rectangular(100, 1)))
	for _, p := range []float64{uncertainty.P2, 0.5, 0.999} {
		at, err := b.AtCoverage(p)
		if err != nil {
			t.Fatal(err)
		}
		want, err := b.ExpandedAt(p)
		if err != nil || at.Expanded != want || b.Expanded.P != 0.95 {
			t.Errorf("p = %v: %v, error %v; want %v", p, at.Expanded, err, want)
		}
		if exceeds := want.U > 1; exceeds != warned(at, uncertainty.ErrExceedsBounds) {
			t.Errorf("p = %v: warnings %v", p, at.Warnings)
		}
	}
	if _, err := b.AtCoverage(2); err == nil {
		t.Error("a probability of 2 is taken")
	}
}

// The covariance of correlated inputs is a share of its own, negative ones are drawn so.
func TestSharesOfCorrelatedInputs(t *testing.T) {
	q := uncertainty.Joint([]string{"a", "b"}, []float64{1, 2}, mat.NewSymDense(2, []float64{1, -0.5, -0.5, 1}))
	b := evaluate(t, q[0].Add(q[1])) // variance 1 + 1 − 1
	if b.Components[0].Share != 1 || b.Components[1].Share != 1 || math.Abs(b.Correlations[0].Share+1) > 1e-15 {
		t.Errorf("shares %v, %v, covariance %v; want 1, 1, -1", b.Components[0].Share,
			b.Components[1].Share, b.Correlations[0].Share)
	}
	text := b.String()
	if !strings.Contains(text, "covariance of a and b  -100.00 %  ░░░░") {
		t.Errorf("the shares are drawn\n%s", text)
	}
	file, err := json.Marshal(b)
	if err != nil || !strings.Contains(string(file), `"shareOfVariance":-1}`) {
		t.Errorf("%s, %v", file, err)
	}
}

func ExampleBudget_AtCoverage() {
	x := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Certificate(100, 0.02, 2)}.Input()
	budget, err := uncertainty.Evaluate(x)
	if err != nil {
		fmt.Println(err)
		return
	}
	two, err := budget.AtCoverage(uncertainty.P2) // k = 2
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(two.PlusMinus(2), two.Expanded)
	// Output: (100.000 ± 0.020) Ω U = 0.02 Ω (k = 2, 95.45 %)
}

func ExampleBudget_BestInterval() {
	x := uncertainty.Input("reading", uncertainty.Rectangular(47.2, 0.05))
	budget, err := uncertainty.Evaluate(x)
	if err != nil {
		fmt.Println(err)
		return
	}
	best, err := budget.BestInterval(0.95)
	fmt.Printf("%.4f %v\n", best, err)
	fmt.Printf("%.4f by k·u\n", budget.Expanded.Interval)
	// Output:
	// [47.1525, 47.2475] <nil>
	// [47.1434, 47.2566] by k·u
}

func ExampleBudget_Distribution() {
	x := uncertainty.Input("reading", uncertainty.Rectangular(100, 1))
	budget, err := uncertainty.Evaluate(x)
	if err != nil {
		fmt.Println(err)
		return
	}
	d, known := budget.Distribution()
	fmt.Println(known, d.CDF(99.5), d.Survival(101))
	// Output: true 0.25 0
}

func ExampleResultDistribution() {
	a := uncertainty.Input("a", uncertainty.Rectangular(0, 1))
	b := uncertainty.Input("b", uncertainty.Rectangular(0, 1))
	budget, err := uncertainty.Evaluate(a.Add(b))
	if err != nil {
		fmt.Println(err)
		return
	}
	if triangle, known := budget.Distribution(); known {
		fmt.Printf("%.4f\n", triangle.CDF(-1))
	}
	// Output: 0.1250
}

func ExampleResultDistribution_Unit() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(10, 2)}.Input()
	budget, err := uncertainty.Evaluate(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	d, _ := budget.Distribution()
	fmt.Println(d.Unit())
	// Output: Ω
}

func ExampleResultDistribution_CDF() {
	budget, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.Normal(10, 2)))
	if err != nil {
		fmt.Println(err)
		return
	}
	d, _ := budget.Distribution()
	fmt.Printf("%.4f\n", d.CDF(12))
	// Output: 0.8413
}

func ExampleResultDistribution_Survival() {
	budget, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.Normal(10, 2)))
	if err != nil {
		fmt.Println(err)
		return
	}
	d, _ := budget.Distribution()
	fmt.Printf("%.3g\n", d.Survival(22)) // six standard deviations
	// Output: 9.87e-10
}

func ExampleOutput_CDF() {
	x := uncertainty.Input("x", uncertainty.Normal(10, 2))
	simulation, err := uncertainty.MonteCarlo{Trials: 100_000, Seed: 1}.Run(context.Background(), x)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f\n", simulation.Outputs[0].CDF(12))
	// Output: 0.84
}

func ExampleOutput_Survival() {
	x := uncertainty.Input("x", uncertainty.Normal(10, 2))
	simulation, err := uncertainty.MonteCarlo{Trials: 100_000, Seed: 1}.Run(context.Background(), x)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f\n", simulation.Outputs[0].Survival(14))
	// Output: 0.023
}
