// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/ohmwright/uncertainty"
)

// emf is what an earlier simulation found of a thermal EMF, in µV.
const emf = `lower,upper,count
-0.3,-0.1,112
-0.1,0,391
0,0.1,347
0.1,0.3,130
0.3,0.6,20
`

// A histogram from a file is an input like any other.
func ExampleReadEmpirical() {
	d, err := uncertainty.ReadEmpirical(strings.NewReader(emf))
	if err != nil {
		log.Fatal(err)
	}
	v := uncertainty.Source{Name: "EMF", Unit: "µV", Distribution: d}.Input()
	reading := uncertainty.Source{Name: "reading", Unit: "µV", Distribution: uncertainty.Normal(52.3, 0.1)}.Input()
	b, err := uncertainty.Evaluate(reading.Sub(v).Named("voltage"))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(b.Concise(2))
	// Output: 52.29(16) µV
}

// The result of one simulation goes into a file, and from there into the next.
func ExampleOutput_Empirical() {
	x := uncertainty.Input("x", uncertainty.Rectangular(1, 0.5))
	s, err := uncertainty.MonteCarlo{Seed: 1}.Run(context.Background(), x.Mul(x))
	if err != nil {
		log.Fatal(err)
	}
	e, err := s.Outputs[0].Empirical(1000)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f, 95 %% between %.2f and %.2f\n", e.Mean(), e.Quantile(0.025), e.Quantile(0.975))
	// Output: 1.08, 95 % between 0.28 and 2.18
}

func ExampleNewEmpirical() {
	e, err := uncertainty.NewEmpirical([]float64{4, 1, 2})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.Quantile(0.5))
	// Output: 2
}

func ExampleNewEmpiricalHistogram() {
	e, err := uncertainty.NewEmpiricalHistogram([]float64{0, 1, 3}, []float64{50, 50})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.Mean(), e.Quantile(0.75))
	// Output: 1.25 2
}

func ExampleNewEmpiricalTable() {
	e, err := uncertainty.NewEmpiricalTable([]float64{0, 0.5, 1}, []float64{0, 1, 5})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.CDF(3))
	// Output: 0.75
}

func ExampleEmpirical() {
	e, err := uncertainty.NewEmpirical([]float64{4, 1, 2})
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(uncertainty.Input("x", e))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(b.Components[0].Distribution)
	// Output: draws
}

func ExampleEmpirical_Mean() {
	e, err := uncertainty.NewEmpirical([]float64{4, 1, 1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.Mean())
	// Output: 2
}

func ExampleEmpirical_StdDev() {
	e, err := uncertainty.NewEmpiricalHistogram([]float64{0, 6}, []float64{1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f\n", e.StdDev())
	// Output: 1.732
}

func ExampleEmpirical_Quantile() {
	e, err := uncertainty.NewEmpiricalHistogram([]float64{0, 6}, []float64{1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.Quantile(0.25))
	// Output: 1.5
}

func ExampleEmpirical_CDF() {
	e, err := uncertainty.NewEmpiricalHistogram([]float64{0, 6}, []float64{1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.CDF(1.5))
	// Output: 0.25
}

func ExampleEmpirical_Survival() {
	e, err := uncertainty.NewEmpiricalHistogram([]float64{0, 6}, []float64{1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.Survival(1.5))
	// Output: 0.75
}

func ExampleEmpirical_Points() {
	e, err := uncertainty.NewEmpirical([]float64{4, 1})
	if err != nil {
		log.Fatal(err)
	}
	for value, probability := range e.Points() {
		fmt.Println(value, probability)
	}
	// Output:
	// 1 0.25
	// 4 0.75
}

func ExampleEmpirical_WriteCSV() {
	e, err := uncertainty.NewEmpiricalHistogram([]float64{0, 1, 3}, []float64{50, 50})
	if err != nil {
		log.Fatal(err)
	}
	if err := e.WriteCSV(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// probability,value
	// 0,0
	// 0.5,1
	// 0.5,1
	// 1,3
}
