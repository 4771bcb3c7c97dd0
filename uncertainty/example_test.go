// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

func ExampleEvaluate() {
	// Current through a resistor, from the voltage across it.
	v := uncertainty.Input("V", uncertainty.TypeA(1.0003, 1.0005, 1.0001, 1.0002, 1.0004))
	r := uncertainty.Input("R", uncertainty.Certificate(1000.02, 0.10, 2))
	b, err := uncertainty.Evaluate(v.Div(r))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("I = %.5f mA, u = %.0f nA, ν = %.1f\n", 1e3*b.Estimate, 1e9*b.StandardUncertainty, b.DOF)
	fmt.Printf("U = %.0f nA, k = %.2f\n", 1e9*b.Expanded.U, b.Expanded.K)
	// Output:
	// I = 1.00028 mA, u = 87 nA, ν = 9.0
	// U = 196 nA, k = 2.26
}

func ExampleFormula() {
	y, err := uncertainty.Formula("R0*(1 + alpha*(t - 20))",
		uncertainty.Input("R0", uncertainty.Normal(100, 0.01)),
		uncertainty.Input("alpha", uncertainty.Rectangular(3.93e-3, 0.02e-3)),
		uncertainty.Input("t", uncertainty.Rectangular(25, 0.5)))
	fmt.Println(y, err)

	_, err = uncertainty.Formula("R0^2", uncertainty.Input("R0", uncertainty.Normal(100, 0.01)))
	fmt.Println(err)
	// Output:
	// 101.96(11) <nil>
	// uncertainty.Formula: column 3: operator ^ is no power; expected pow(x, y)
}

// The same standard is in both results: it counts in their sum, not in their
// difference.
func ExampleEvaluateAll() {
	standard := uncertainty.Input("standard", uncertainty.Normal(100, 0.003))
	r1 := standard.Mul(uncertainty.Input("ratio 1", uncertainty.Normal(1.00002, 2e-6)))
	r2 := standard.Mul(uncertainty.Input("ratio 2", uncertainty.Normal(0.99997, 2e-6)))
	m, err := uncertainty.EvaluateAll(r1, r2, r1.Add(r2), r1.Sub(r2))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, b := range m.Budgets {
		fmt.Println(b.Concise(2))
	}
	r, err := m.Correlation(0, 1)
	fmt.Printf("r(1, 2) = %.3f %v\n", r, err)
	// Output:
	// 100.0020(30)
	// 99.9970(30)
	// 199.9990(60)
	// 0.00500(28)
	// r(1, 2) = 0.996 <nil>
}

func ExampleInput() {
	// Every call makes a source of its own: share the quantity, not its description.
	x := uncertainty.Input("x", uncertainty.Normal(10, 0.1))
	fmt.Println("shared: ", x.Add(x))
	twin := uncertainty.Input("x'", uncertainty.Normal(10, 0.1))
	fmt.Println("another:", x.Add(twin))
	// Output:
	// shared:  20.00(20)
	// another: 20.00(14)
}

// A source with an ID is the same quantity wherever it is built: here in two parts of
// a program that know nothing of each other.
func ExampleSource() {
	standard := func() uncertainty.Quantity {
		return uncertainty.Source{
			Name: "standard", ID: "R-100 no. 17, 2026-01-12", Unit: "Ω", Note: "certificate 17/2026",
			Distribution: uncertainty.Certificate(100.0012, 0.0008, 2),
		}.Input()
	}
	fmt.Println(standard().Sub(standard()))
	// Output:
	// 0 Ω
}

func ExampleTypeA() {
	readings := uncertainty.TypeA(10.03, 10.05, 10.02, 10.04)
	b, err := uncertainty.Evaluate(uncertainty.Input("reading", readings))
	fmt.Println(b.Concise(2), "with", b.DOF, "degrees of freedom", err)

	// Two readings, but s is known from 20 earlier ones.
	pooled := uncertainty.TypeAPooled(0.013, 19, 10.03, 10.05)
	b, err = uncertainty.Evaluate(uncertainty.Input("reading", pooled))
	fmt.Println(b.Concise(2), "with", b.DOF, "degrees of freedom", err)
	// Output:
	// 10.0350(65) with 3 degrees of freedom <nil>
	// 10.0400(92) with 19 degrees of freedom <nil>
}

func ExampleMeanStdDev() {
	mean, s, err := uncertainty.MeanStdDev([]float64{10000000.2, 10000000.1, 10000000.3})
	fmt.Printf("%.1f %.4f %v\n", mean, s, err)
	// Output:
	// 10000000.2 0.1000 <nil>
}

func ExampleJoint() {
	// A line y = a + b·x was fitted: intercept and slope are known together.
	q := uncertainty.Joint([]string{"a", "b"}, []float64{0.12, 1.003},
		mat.NewSymDense(2, []float64{4e-4, -1.4e-5, -1.4e-5, 6.25e-7}))
	at := uncertainty.Exact(20)
	fmt.Println(q[0].Add(q[1].Mul(at)))
	// Output:
	// 20.1800(95)
}

// Voltage and current are read together five times: what they have in common is in
// their covariance.
func ExampleJointTypeA() {
	q := uncertainty.JointTypeA([]string{"V", "I"}, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},
		{0.019663, 0.019639, 0.019640, 0.019685, 0.019678},
	}).Inputs()
	b, err := uncertainty.Evaluate(q[0].Div(q[1]))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.Concise(2))
	for _, c := range b.Correlations {
		fmt.Printf("r(%s, %s) = %.2f\n", c.A, c.B, c.R)
	}
	// Output:
	// 254.26(24)
	// r(V, I) = -0.36
}

// Any Go function can be a model.
func ExampleCall() {
	parallel := func(x []float64) float64 { return 1 / (1/x[0] + 1/x[1]) }
	r := uncertainty.Input("R", uncertainty.Rectangular(1000, 1))
	leak := uncertainty.Input("leakage", uncertainty.Rectangular(1e6, 2e5))
	fmt.Println(uncertainty.Call("parallel", parallel, r, leak))
	// Output:
	// 999.00(59)
}

func ExampleCallWithGradient() {
	y := uncertainty.CallWithGradient("hypotenuse",
		func(x []float64) float64 { return math.Hypot(x[0], x[1]) },
		func(dst, x []float64) {
			h := math.Hypot(x[0], x[1])
			dst[0], dst[1] = x[0]/h, x[1]/h
		},
		uncertainty.Input("R", uncertainty.Normal(30, 0.3)), uncertainty.Input("X", uncertainty.Normal(40, 0.1)))
	fmt.Println(y)
	// Output:
	// 50.00(20)
}

func ExampleLinear() {
	a := uncertainty.Input("a", uncertainty.Normal(1, 0.03))
	b := uncertainty.Input("b", uncertainty.Normal(2, 0.02))
	fmt.Println(uncertainty.Linear(10, []float64{1, -2}, []uncertainty.Quantity{a, b}))
	// Output:
	// 7.000(50)
}

// The coefficient of the temperature is in ohms per kelvin, which the result has to say.
func ExampleLinearInUnit() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(100, 0.03)}.Input()
	off := uncertainty.Source{Name: "off 20 °C", Unit: "K", Distribution: uncertainty.Normal(2, 0.1)}.Input()
	c, terms := []float64{1, 0.4}, []uncertainty.Quantity{r, off}
	fmt.Println(uncertainty.LinearInUnit("Ω", 0, c, terms))
	_, err := uncertainty.Evaluate(uncertainty.Linear(0, c, terms))
	fmt.Println(errors.Is(err, uncertainty.ErrUnitMismatch))
	// Output:
	// 100.800(50) Ω
	// true
}

// Where one rectangle dominates, k·u is wider than what is certain.
func ExampleBudget_Convolution() {
	limit := uncertainty.Input("limit of the meter", uncertainty.Rectangular(0.1, 0.05))
	standard := uncertainty.Input("standard", uncertainty.Certificate(0, 0.002, 2))
	b, err := uncertainty.Evaluate(limit.Sub(standard))
	if err != nil {
		fmt.Println(err)
		return
	}
	i, err := b.Convolution(0.95)
	fmt.Printf("k·u:         ±%.4f\n", b.Expanded.U)
	fmt.Printf("convolution: ±%.4f %v\n", i.Width()/2, err)
	fmt.Println(errors.Is(b.Warnings[0], uncertainty.ErrNotNormal))
	// Output:
	// k·u:         ±0.0566
	// convolution: ±0.0475 <nil>
	// true
}

func ExampleBudget_ExpandedAt() {
	b, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.StudentT(50, 0.1, 8)))
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := b.ExpandedAt(0.99)
	fmt.Printf("k = %.3f, U = %.3f, %.2f to %.2f %v\n", e.K, e.U, e.Lower, e.Upper, err)
	// Output:
	// k = 3.355, U = 0.336, 49.66 to 50.34 <nil>
}

func ExampleBudget_WriteMarkdown() {
	v := uncertainty.Source{Name: "reading", Unit: "Ω", Distribution: uncertainty.Resolution(47.2, 0.1)}.Input()
	z := uncertainty.Source{Name: "zero", Unit: "Ω", Distribution: uncertainty.Normal(0.2, 0.02)}.Input()
	b, err := uncertainty.Evaluate(v.Sub(z).Named("R"))
	if err != nil {
		fmt.Println(err)
		return
	}
	b.WriteMarkdown(os.Stdout)
	// Output:
	// | Quantity | Estimate | Standard uncertainty | Type | Distribution | Degrees of freedom | Sensitivity coefficient | Uncertainty contribution | Share of variance |
	// |---|--:|--:|:-:|---|--:|--:|--:|--:|
	// | reading | 47.200 Ω | 0.029 Ω | B | rectangular | ∞ | 1.000 | 0.029 Ω | 67.57 % |
	// | zero | 0.200 Ω | 0.020 Ω | B | normal | ∞ | -1.000 | -0.020 Ω | 32.43 % |
	// | **R** | 47.000 Ω | 0.035 Ω |  |  | ∞ |  |  |  |
	//
	// R = (47.000 ± 0.066) Ω, coverage probability 95 %, from the distributions of the inputs
	//
	// k·u = 0.069 Ω with k = 1.96 would hold for a normal distribution
	//
	// R = 47.000(35) Ω, standard uncertainty in parentheses
}

func ExampleBudget_MarshalJSON() {
	b, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.Normal(1.5, 0.25)).Named("y"))
	if err != nil {
		fmt.Println(err)
		return
	}
	b.Components = nil // for a short page
	text, err := json.MarshalIndent(b, "", "  ")
	fmt.Println(string(text), err)
	// Output:
	// {
	//   "name": "y",
	//   "estimate": 1.5,
	//   "standardUncertainty": 0.25,
	//   "degreesOfFreedom": "infinite",
	//   "expanded": {
	//     "coverageProbability": 0.95,
	//     "coverageFactor": 1.959963984540054,
	//     "expandedUncertainty": 0.4899909961350135,
	//     "lower": 1.0100090038649865,
	//     "upper": 1.9899909961350135
	//   },
	//   "components": []
	// } <nil>
}

func ExampleQuantity_Named() {
	sum := uncertainty.Input("element 1",
		uncertainty.Normal(100, 0.1)).Add(uncertainty.Input("element 2",
		uncertainty.Normal(100, 0.1)))
	y, err := uncertainty.Formula("2*dial", sum.Named("dial"))
	fmt.Println(y, err)
	// Output:
	// 400.00(28) <nil>
}

// Errors are carried along and come out together.
func ExampleQuantity_Err() {
	r := uncertainty.Input("R", uncertainty.Rectangular(100, -0.1))
	v := uncertainty.Input("V", uncertainty.TypeA(1.002))
	fmt.Println(v.Div(r).Err())
	// Output:
	// uncertainty.TypeA: V: 1 observation; expected 2 or more; uncertainty.Rectangular: R: half-width is -0.1; expected 0 or more
}

func ExampleDistribution() {
	// gonum's distributions are used as they are.
	b, err := uncertainty.Evaluate(uncertainty.Input("x", distuv.Gamma{Alpha: 4, Beta: 2}))
	fmt.Println(b.Estimate, b.StandardUncertainty, err)
	// Output:
	// 2 1 <nil>
}

func ExampleReliability() {
	// u is believed to within 25 %.
	fmt.Println(uncertainty.Reliability(0.25))
	_, err := uncertainty.Reliability(-0.25)
	fmt.Println(err)
	// Output:
	// 8 <nil>
	// uncertainty.Reliability: an uncertainty uncertain by the fraction -0.25 of itself; expected 0 to 1e9, such as 0.25 for a quarter
}

func ExampleCertificateStatement() {
	stated := uncertainty.CertificateStatement{X: 100, U: 0.02, P: 0.95, DOF: 10}
	fmt.Println(uncertainty.Input("x", uncertainty.CertificateDOF(stated)))
	// Output:
	// 100.0000(90)
}

func ExampleCertificateDOF() {
	d := uncertainty.Input("x",
		uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 100, U: 0.02, P: 0.95,
			DOF: 10}))
	b, err := uncertainty.Evaluate(d)
	fmt.Printf("u = %.5f %v\n", b.StandardUncertainty, err)
	// Output:
	// u = 0.00898 <nil>
}

func ExampleExact() {
	// Start a sum from Exact(0): the zero Quantity is not a quantity.
	total := uncertainty.Exact(0)
	for i := range 10 {
		total = total.Add(uncertainty.Input(fmt.Sprint("resistor ", i+1), uncertainty.Normal(100, 0.1)))
	}
	fmt.Println(total)
	// Output:
	// 1000.00(32)
}

func ExampleFail() {
	resistance := func(kelvin uncertainty.Quantity) uncertainty.Quantity {
		if kelvin.Estimate() < 0 {
			return uncertainty.Fail(errors.New("resistance: temperature below 0 K"))
		}
		return kelvin.Scale(0.4)
	}
	fmt.Println(resistance(uncertainty.Exact(-5)))
	// Output:
	// !(resistance: temperature below 0 K)
}
