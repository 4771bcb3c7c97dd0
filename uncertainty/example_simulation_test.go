// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// The modulus of a small complex quantity, which cannot be negative: JCGM 102:2011, 9.3
// and table 6 print 0.001 and u = 0.010 by the law of propagation, 0.013 and u = 0.007
// by Monte Carlo.
func ExampleSimulation() {
	re := uncertainty.Input("re", uncertainty.Normal(0.001, 0.01))
	im := uncertainty.Input("im", uncertainty.Normal(0, 0.01))
	modulus := uncertainty.Sqrt(re.Mul(re).Add(im.Mul(im)))
	b, err := uncertainty.Evaluate(modulus)
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := uncertainty.MonteCarlo{Trials: 100_000, Seed: 1}.Run(context.Background(), modulus)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("linear:      %.3f, u %.3f\n", b.Estimate, b.StandardUncertainty)
	fmt.Printf("Monte Carlo: %.3f, u %.3f\n", s.Outputs[0].Estimate, s.Outputs[0].StandardUncertainty)
	// Output:
	// linear:      0.001, u 0.010
	// Monte Carlo: 0.013, u 0.007
}

// A run that may take too long is given a context that ends.
func ExampleMonteCarlo_Run() {
	ctx, cancel := context.WithCancel(context.Background())
	cancel() // or context.WithTimeout
	_, err := uncertainty.MonteCarlo{}.Run(ctx, uncertainty.Input("R", uncertainty.Normal(100, 0.01)))
	fmt.Println(errors.Is(err, context.Canceled))
	// Output: true
}

// Two resistors that were compared with one standard (JCGM 102:2011, 9.2.2: r = 0.500).
func ExampleSimulation_Correlation() {
	s, err := uncertainty.MonteCarlo{Trials: 50_000}.Run(context.Background(), compared()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	r, err := s.Correlation(0, 1)
	fmt.Printf("r = %.1f %v\n", r, err)
	// Output: r = 0.5 <nil>
}

// A simulation in a file, and what another program reads of it.
func ExampleSimulation_MarshalJSON() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Rectangular(100, 0.1)}.Input()
	s, err := uncertainty.MonteCarlo{Trials: 10_000}.Run(context.Background(), r)
	if err != nil {
		fmt.Println(err)
		return
	}
	file, err := json.Marshal(s)
	if err != nil {
		fmt.Println(err)
		return
	}
	var read struct {
		Trials  int
		Outputs []struct {
			Name, Unit                    string
			Estimate, StandardUncertainty float64
		}
	}
	err = json.Unmarshal(file, &read)
	o := read.Outputs[0]
	fmt.Printf("%s = %.1f %s, u = %.3f %s from %d trials %v\n", o.Name, o.Estimate, o.Unit,
		o.StandardUncertainty, o.Unit, read.Trials, err)
	// Output: R = 100.0 Ω, u = 0.058 Ω from 10000 trials <nil>
}

// A loss that grows with the square of a mismatch, in units of 1e-4: JCGM 101:2008, 9.4.3
// and table 8 print 1.50, u = 1.12 and the shortest interval from 0 to 3.67. The
// symmetric one leaves out the values about 0 and is wider.
func ExampleOutput() {
	x1 := uncertainty.Input("X1", uncertainty.Normal(0.010, 0.005))
	x2 := uncertainty.Input("X2", uncertainty.Normal(0, 0.005))
	loss := x1.Mul(x1).Add(x2.Mul(x2)).Scale(1e4)
	s, err := uncertainty.MonteCarlo{Trials: 200_000, Seed: 1}.Run(context.Background(), loss)
	if err != nil {
		fmt.Println(err)
		return
	}
	o := s.Outputs[0]
	fmt.Printf("%.1f, u %.1f\n", o.Estimate, o.StandardUncertainty)
	fmt.Printf("symmetric from %.1f, shortest from %.1f\n", o.Symmetric.Lower, o.Shortest.Lower)
	fmt.Printf("%.1f times as wide\n", o.Shortest.Width()/o.Symmetric.Width())
	// Output:
	// 1.5, u 1.1
	// symmetric from 0.1, shortest from 0.0
	// 0.9 times as wide
}

// A sum in which one rectangle dominates, about 1000: JCGM 101:2008, 9.2.4 and table 4
// print u = 10.1 and ±17.0.
func ExampleOutput_String() {
	y := uncertainty.Input("large", uncertainty.Rectangular(1000, 10*math.Sqrt(3)))
	for _, name := range []string{"a", "b", "c"} {
		y = y.Add(uncertainty.Input(name, uncertainty.Rectangular(0, math.Sqrt(3))))
	}
	s, err := uncertainty.MonteCarlo{Trials: 100_000}.Run(context.Background(), y.Named("y"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Outputs[0])
	// Output: y = 1000(10), 95 %: 983 to 1017 (linear model: convolution, no sampling)
}

// How far another seed would move the figures: of a normal distribution by u/√M and
// u/√(2M). The trials of so simple a model are not needed, unless they are asked for.
func ExampleSampling() {
	r := uncertainty.Input("R", uncertainty.Normal(100, 1))
	s, err := uncertainty.MonteCarlo{Trials: 10_000, Twin: uncertainty.TwinOff}.Run(context.Background(), r)
	if err != nil {
		fmt.Println(err)
		return
	}
	o := s.Outputs[0].Sampling
	fmt.Printf("estimate ±%.3f, standard uncertainty ±%.3f\n", o.Estimate, o.StandardUncertainty)
	// Output: estimate ±0.010, standard uncertainty ±0.007
}

// The sum of two equal rectangles is a triangle; every trial is in a bin.
func ExampleHistogram() {
	y := uncertainty.Input("a",
		uncertainty.Rectangular(0, 1)).Add(uncertainty.Input("b", uncertainty.Rectangular(0, 1)))
	s, err := uncertainty.MonteCarlo{Trials: 10_000, Bins: 4}.Run(context.Background(), y)
	if err != nil {
		fmt.Println(err)
		return
	}
	h := s.Outputs[0].Histogram
	total := h.Below + h.Above
	for _, n := range h.Counts {
		total += n
	}
	fmt.Printf("%d bins of width %.1f, %d trials\n", len(h.Counts), h.Width, total)
	// Output: 4 bins of width 1.0, 10000 trials
}

// The same triangle as a density: 0.125 and 0.375 in quarters of its width.
func ExampleHistogram_Bins() {
	y := uncertainty.Input("a",
		uncertainty.Rectangular(0, 1)).Add(uncertainty.Input("b", uncertainty.Rectangular(0, 1)))
	s, err := uncertainty.MonteCarlo{Trials: 10_000, Bins: 4}.Run(context.Background(), y)
	if err != nil {
		fmt.Println(err)
		return
	}
	var inBins float64
	for bin, density := range s.Outputs[0].Histogram.Bins() {
		fmt.Printf("%.1f ", density)
		inBins += density * bin.Width()
	}
	fmt.Printf("and the probability of all bins is %.2f\n", inBins)
	// Output: 0.1 0.4 0.4 0.1 and the probability of all bins is 1.00
}
