// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"fmt"
	"log"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// Values against complex arithmetic of Go, slopes against differences of it.
func TestComplexArithmetic(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 1))
	for range 200 {
		x := make([]float64, 4)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		in := make([]uncertainty.Quantity, 4)
		for i, name := range []string{"a", "b", "c", "d"} {
			in[i] = uncertainty.Input(name, uncertainty.Normal(x[i], 0.001))
		}
		z, w := uncertainty.Complex{Re: in[0], Im: in[1]}, uncertainty.Complex{Re: in[2], Im: in[3]}
		for name, c := range map[string]struct {
			ours uncertainty.Complex
			want func(z, w complex128) complex128
		}{
			"sum":        {z.Add(w), func(z, w complex128) complex128 { return z + w }},
			"difference": {z.Sub(w), func(z, w complex128) complex128 { return z - w }},
			"product":    {z.Mul(w), func(z, w complex128) complex128 { return z * w }},
			"quotient":   {z.Div(w), func(z, w complex128) complex128 { return z / w }},
			"negative":   {z.Neg(), func(z, _ complex128) complex128 { return -z }},
			"conjugate":  {z.Conj(), func(z, _ complex128) complex128 { return cmplx.Conj(z) }},
			"scaled":     {z.ScaleBy(in[2]), func(z, w complex128) complex128 { return z * complex(real(w), 0) }},
			"polar":      {uncertainty.Polar(z.Abs(), z.Phase()), func(z, _ complex128) complex128 { return z }},
			"constant":   {z.Mul(uncertainty.ExactComplex(2 - 3i)), func(z, _ complex128) complex128 { return z * (2 - 3i) }},
		} {
			want := c.want(complex(x[0], x[1]), complex(x[2], x[3]))
			if cmplx.Abs(c.ours.Estimate()-want) > 1e-13*max(1, cmplx.Abs(want)) {
				t.Errorf("%s: %v; want %v", name, c.ours.Estimate(), want)
			}
			m, err := c.ours.Evaluate()
			if err != nil {
				t.Fatal(name, err)
			}
			for _, part := range m.Budgets {
				for _, row := range part.Components {
					if math.IsNaN(row.Sensitivity) {
						t.Errorf("%s: no slope", name)
					}
				}
			}
		}
	}
}

func TestPublishedComplex(t *testing.T) {
	// A reflection coefficient near 0 and its return loss.
	x, y := uncertainty.Input("x", uncertainty.Normal(0.006, 0.01)),
		uncertainty.Input("y", uncertainty.Normal(0.008, 0.01))
	s := uncertainty.Complex{Re: x, Im: y}.Abs()
	alpha := uncertainty.Log10(s).Scale(-20)
	simulation, err := uncertainty.MonteCarlo{Trials: 400_000, Seed: 1}.Run(context.Background(), s, alpha)
	if err != nil {
		t.Fatal(err)
	}
	bs, ba := evaluate(t, s), evaluate(t, alpha)
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"magnitude", "0.0100", bs.Estimate}, {"u of the magnitude", "0.0100", bs.StandardUncertainty},
		{"return loss in dB", "40.0", ba.Estimate}, {"u of the return loss", "8.7", ba.StandardUncertainty},
		{"magnitude by Monte Carlo", "0.0155", simulation.Outputs[0].Estimate}, {"its u by Monte Carlo", "0.0078", simulation.Outputs[0].StandardUncertainty},
		{"return loss by Monte Carlo", "37.6", simulation.Outputs[1].Estimate}, {"its u by Monte Carlo", "5.4", simulation.Outputs[1].StandardUncertainty},
	} {
		uncertaintytest.Published{Name: "reflection, " + c.name, Source: "JCGM GUM-6:2020",
			Place: "8.3.4, table 2", Printed: c.printed,
			Provenance: uncertaintytest.Seen}.Run(t, c.got)
	}
	// GUM H.2 as a complex quotient.
	in := uncertainty.JointTypeA([]string{"V", "I", "phi"}, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	}).Inputs()
	z := uncertainty.Polar(in[0], in[2]).Div(uncertainty.Complex{Re: in[1], Im: uncertainty.Exact(0)})
	m, err := z.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	magnitude := evaluate(t, z.Abs())
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"R", "127.732", m.Budgets[0].Estimate}, {"u(R)", "0.071", m.Budgets[0].StandardUncertainty},
		{"X", "219.847", m.Budgets[1].Estimate}, {"r(R, X)", "-0.588", correlationOf(t, m, 0, 1)},
		{"Z", "254.260", magnitude.Estimate}, {"u(Z)", "0.236", magnitude.StandardUncertainty},
	} {
		uncertaintytest.Published{Name: c.name + " as a complex quotient", Source: "JCGM 100:2008",
			Place:   "H.2, tables H.3 and H.4",
			Printed: c.printed, Provenance: uncertaintytest.FromMemory}.Run(t, c.got)
	}
	// Three complex contributions with covariance matrices and few degrees of freedom.
	sum := uncertainty.ExactComplex(0)
	for _, c := range []struct {
		name string
		v    []float64
		dof  float64
	}{{"1", []float64{0.96, -0.34, -0.34, 0.27}, 5}, {"2", []float64{0.51, 0.33, 0.33, 0.31}, 3}, {"3", []float64{0.45, 0.28, 0.28, 1.65}, 6}} {
		q := uncertainty.JointSource{Names: []string{"re " + c.name, "im " + c.name}, Estimates: []float64{1, 0},
			Covariance: mat.NewSymDense(2, c.v), DOF: c.dof}.Inputs()
		sum = sum.Add(uncertainty.Complex{Re: q[0], Im: q[1]})
	}
	dof, err := sum.EffectiveDOF()
	if err != nil {
		t.Fatal(err)
	}
	uncertaintytest.Published{Name: "effective degrees of freedom of a complex sum",
		Source: "R. Willink, B. D. Hall, Metrologia 39 (2002) 361",
		Place:  "example, p. 365", Printed: "11.34", Provenance: uncertaintytest.FromMemory}.Run(t, dof)
	if dof, err := uncertainty.ExactComplex(1).EffectiveDOF(); err != nil || !math.IsInf(dof, 1) {
		t.Errorf("of a constant: %v, %v", dof, err)
	}
	if _, err := (uncertainty.Complex{}).EffectiveDOF(); err == nil {
		t.Error("of none: no error")
	}
	if _, err := uncertainty.ExactComplex(1).Div(uncertainty.ExactComplex(0)).Evaluate(); err == nil {
		t.Error("division by 0: no error")
	}
}

// The impedance of a coil with its resistance, and a region for both parts.
func ExampleComplex() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(10.02, 0.01)}.Input()
	l := uncertainty.Source{Name: "L", Unit: "H", Distribution: uncertainty.Normal(1e-3, 2e-6)}.Input()
	z := uncertainty.Complex{Re: r, Im: l.Scale(2 * math.Pi * 1000).InUnit("Ω")}
	m, err := z.Evaluate()
	if err != nil {
		log.Fatal(err)
	}
	magnitude, err := uncertainty.Evaluate(z.Abs())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(m.Budgets[0].Concise(2), m.Budgets[1].Concise(2), magnitude.Concise(2))
	// Output: 10.020(10) Ω 6.283(13) Ω 11.827(11) Ω
}

func ExamplePolar() {
	z := uncertainty.Polar(uncertainty.Exact(2), uncertainty.Exact(math.Pi/3))
	fmt.Printf("%.3f\n", z.Estimate())
	// Output: (1.000+1.732i)
}

func ExampleExactComplex() {
	z := uncertainty.ExactComplex(1 + 2i).Mul(uncertainty.ExactComplex(3 - 1i))
	fmt.Println(z.Estimate())
	// Output: (5+5i)
}

func ExampleComplex_EffectiveDOF() {
	re, im := uncertainty.Input("re", uncertainty.TypeA(1.01, 1.03, 1.02, 1.00)),
		uncertainty.Input("im", uncertainty.TypeA(0.52, 0.50, 0.49, 0.51))
	dof, err := uncertainty.Complex{Re: re, Im: im}.EffectiveDOF()
	fmt.Printf("%.2f %v\n", dof, err)
	// Output: 3.75 <nil>
}

// A voltage divider of two impedances.
func ExampleComplex_Div() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(1000, 1)}.Input()
	x := uncertainty.Source{Name: "X", Unit: "Ω", Distribution: uncertainty.Normal(-500, 1)}.Input()
	z := uncertainty.Complex{Re: uncertainty.Exact(0), Im: x}
	ratio := z.Div(z.Add(uncertainty.Complex{Re: r, Im: uncertainty.Exact(0)}))
	b, err := uncertainty.Evaluate(ratio.Abs())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f, magnitude %s\n", ratio.Estimate(), b.Concise(2))
	// Output: (0.20-0.40i), magnitude 0.44721(80)
}

// coil and leads are impedances at one frequency.
var (
	coil  = uncertainty.ExactComplex(10 + 6i)
	leads = uncertainty.ExactComplex(0.5 + 0.1i)
)

func ExampleComplex_Estimate() {
	fmt.Println(coil.Estimate())
	// Output: (10+6i)
}

func ExampleComplex_Add() {
	fmt.Println(coil.Add(leads).Estimate())
	// Output: (10.5+6.1i)
}

func ExampleComplex_Sub() {
	fmt.Println(coil.Sub(leads).Estimate())
	// Output: (9.5+5.9i)
}

func ExampleComplex_Mul() {
	fmt.Println(coil.Mul(coil).Estimate())
	// Output: (64+120i)
}

func ExampleComplex_Neg() {
	fmt.Println(coil.Neg().Estimate())
	// Output: (-10-6i)
}

func ExampleComplex_Conj() {
	fmt.Println(coil.Conj().Estimate())
	// Output: (10-6i)
}

func ExampleComplex_ScaleBy() {
	fmt.Println(coil.ScaleBy(uncertainty.Exact(2)).Estimate())
	// Output: (20+12i)
}

func ExampleComplex_Abs() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(3, 0.01)}.Input()
	x := uncertainty.Source{Name: "X", Unit: "Ω", Distribution: uncertainty.Normal(4, 0.02)}.Input()
	printed(uncertainty.Complex{Re: r, Im: x}.Abs())
	// Output: 5.000(17) Ω
}

func ExampleComplex_Phase() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(3, 0.01)}.Input()
	x := uncertainty.Source{Name: "X", Unit: "Ω", Distribution: uncertainty.Normal(4, 0.02)}.Input()
	printed(uncertainty.Complex{Re: r, Im: x}.Phase())
	// Output: 0.9273(29)
}

// Both parts share the voltage, and so they are correlated.
func ExampleComplex_Evaluate() {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(5, 0.01)}.Input()
	z := uncertainty.Polar(v, uncertainty.Input("phi", uncertainty.Normal(1, 0.0005)))
	m, err := z.Evaluate()
	if err != nil {
		log.Fatal(err)
	}
	r, err := m.Correlation(0, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s and %s, r = %.2f\n", m.Budgets[0].Concise(2), m.Budgets[1].Concise(2), r)
	// Output: 2.7015(58) V and 4.2074(85) V, r = 0.86
}
