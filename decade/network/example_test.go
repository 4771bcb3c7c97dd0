// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/network"
	"example.com/ohmwright/uncertainty"
)

// A resistor in a bridge whose adjustable arm is a box, balanced at 3154 Ω, with what the class
// of the box and the tolerances of the ratio arms leave.
func Example() {
	box, err := decade.New(decade.Spec{Name: "bench box", Decades: []decade.Decade{
		{Step: 1000, Tolerance: 0.0002}, {Step: 100, Tolerance: 0.0005},
		{Step: 10, Tolerance: 0.001}, {Step: 1, Tolerance: 0.005},
	}})
	if err != nil {
		log.Fatal(err)
	}
	balance, err := box.SettingFor(3154)
	if err != nil {
		log.Fatal(err)
	}
	x := network.BalanceOf(balance.Resistance(),
		uncertainty.Input("arm A", uncertainty.Rectangular(1000, 0.2)),
		uncertainty.Input("arm B", uncertainty.Rectangular(1000, 0.2)))
	budget, err := uncertainty.Evaluate(x)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(balance, budget.PlusMinus(2))
	// Output:
	// 3-1-5-4 (3154.0 ± 1.2) Ω
}

// Open textbook-companion collection, worked examples on bridges (book 2318, example 3.9):
// ratio arms of 1000 Ω, the adjusted arm at 3154 Ω with 0.1 %, the arms with 0.05 % each.
func ExampleBridge() {
	b := network.Bridge{A: 1000, B: 1000, LimitA: 0.0005, LimitB: 0.0005}
	x, err := b.Unknown(3154)
	if err != nil {
		log.Fatal(err)
	}
	e, err := b.LimitingError(0.001)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f Ω ± %.1f %%, that is ± %.3f Ω\n", x, 100*e, e*x)
	// Output:
	// 3154 Ω ± 0.2 %, that is ± 6.308 Ω
}

// The same collection, book 2096, example 1.45: three arms of 0.5 %.
func ExampleBridge_LimitingError() {
	e, err := network.Bridge{A: 500, B: 50, LimitA: 0.005, LimitB: 0.005}.LimitingError(0.005)
	fmt.Printf("%.1f %% of 4400 Ω is %.0f Ω, %v\n", 100*e, e*4400, err)
	// Output:
	// 1.5 % of 4400 Ω is 66 Ω, <nil>
}

// Without the approximation the limits of that example are not quite symmetric.
func ExampleBridge_Limits() {
	adjusted := uncertainty.Interval{Lower: 440 * 0.995, Upper: 440 * 1.005}
	x, err := network.Bridge{A: 500, B: 50, LimitA: 0.005, LimitB: 0.005}.Limits(adjusted)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("4400 Ω %+.1f Ω %+.1f Ω\n", x.Upper-4400, x.Lower-4400)
	// Output:
	// 4400 Ω +66.4 Ω -65.6 Ω
}

// What the detector sees of 10 ppm, at 2 V with all arms alike, and with a ratio arm of a
// tenth of the unknown.
func ExampleBridge_Sensitivity() {
	for _, b := range []network.Bridge{{A: 1000, B: 1000}, {A: 100, B: 100}} {
		v, err := b.Sensitivity(2, 1000)
		fmt.Printf("A = %v Ω: %.1f µV %v\n", b.A, 10*v, err) // V per unit is µV per ppm
	}
	// Output:
	// A = 1000 Ω: 5.0 µV <nil>
	// A = 100 Ω: 1.7 µV <nil>
}

// The same collection, book 2096, example 1.45: ratio 500 to 50, the box at 440 Ω.
func ExampleBridge_Unknown() {
	x, err := network.Bridge{A: 500, B: 50}.Unknown(440)
	fmt.Println(x, "Ω", err)
	// Output:
	// 4400 Ω <nil>
}

// The unknown with its uncertainty: a box at 440 Ω, ratio arms with certificates.
func ExampleBalanceOf() {
	s, _ := newBench().SettingFor(440)
	a := uncertainty.Input("A", uncertainty.Certificate(500, 0.05, 2))
	b := uncertainty.Input("B", uncertainty.Certificate(50, 0.005, 2))
	x, err := uncertainty.Evaluate(network.BalanceOf(s.Resistance(), a, b))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f Ω, standard uncertainty %.1f Ω\n", x.Estimate, x.StandardUncertainty)
	// Output:
	// 4400.2 Ω, standard uncertainty 2.3 Ω
}

// Balance of the box before and after it has changed places with the unknown: the ratio of
// the arms, 300 ppm off here, drops out.
func ExampleInterchange() {
	x, err := network.Interchange(1000.4, 999.8)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω\n", x)
	// Output:
	// 1000.100 Ω
}

// Each balance is read to 10 mΩ either way; the mean is known better by √2.
func ExampleInterchangeOf() {
	first := uncertainty.Input("before", uncertainty.Rectangular(1000.4, 0.01))
	second := uncertainty.Input("after", uncertainty.Rectangular(999.8, 0.01))
	x, err := uncertainty.Evaluate(network.InterchangeOf(first, second))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, standard uncertainty %.1f mΩ\n", x.Estimate, 1e3*x.StandardUncertainty)
	// Output:
	// 1000.100 Ω, standard uncertainty 4.1 mΩ
}

// Amateur science magazine, about 1905: 6 divisions to the left at 5.11 Ω, 12 to the right
// at 5.12 Ω.
func ExampleInterpolate() {
	r, err := network.Interpolate(
		network.Deflection{Resistance: 5.11, Detector: -6},
		network.Deflection{Resistance: 5.12, Detector: 12})
	fmt.Printf("%.3f Ω %v\n", r, err)
	// Output:
	// 5.113 Ω <nil>
}

// Fine trim: across 100 Ω, one ohm of a box at 10 kΩ acts as a tenth of a milliohm.
func ExampleParallel() {
	before, err := network.Parallel(100, 10000)
	if err != nil {
		log.Fatal(err)
	}
	after, err := network.Parallel(100, 10001)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω, one step more adds %.3f mΩ\n", before, 1e3*(after-before))
	// Output:
	// 99.0099 Ω, one step more adds 0.098 mΩ
}

// Two resistors of 200 kΩ and 0.01 %: independent, the pair is better by √2; bought as one
// lot with a common error, it is not (metrology forum, resistors in parallel: 0.007 %).
func ExampleParallelOf() {
	r1 := uncertainty.Input("R1", uncertainty.Normal(200e3, 20))
	r2 := uncertainty.Input("R2", uncertainty.Normal(200e3, 20))
	for _, second := range []uncertainty.Quantity{r2, r1} {
		b, err := uncertainty.Evaluate(network.ParallelOf(r1, second))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.0f kΩ, %.3f %%\n", b.Estimate/1e3, 100*b.StandardUncertainty/b.Estimate)
	}
	// Output:
	// 100 kΩ, 0.007 %
	// 100 kΩ, 0.010 %
}

// Ten resistors with certificates to 100 ppm, independent: each connection is known to
// 32 ppm, and the ratio of the two far better, since it is the same ten.
func ExampleSeriesParallelOf() {
	var r []uncertainty.Quantity
	for i := range 10 {
		r = append(r, uncertainty.Input(fmt.Sprintf("R%d", i+1), uncertainty.Normal(1000, 0.1)))
	}
	series, parallel := network.SeriesParallelOf(1, r...), network.SeriesParallelOf(10, r...)
	s, _ := uncertainty.Evaluate(series)
	ratio, err := uncertainty.Evaluate(series.Div(parallel))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("series: %.0f Ω, %.0f ppm\n", s.Estimate, 1e6*s.StandardUncertainty/s.Estimate)
	fmt.Printf("ratio: %.6f, %.3f ppm\n", ratio.Estimate, 1e6*ratio.StandardUncertainty/ratio.Estimate)
	// Output:
	// series: 10000 Ω, 32 ppm
	// ratio: 100.000000, 0.000 ppm
}

// Ten for one: all in series against a square of nine, with one comparison of the last
// resistor with the square, which was 20 ppm higher.
func ExampleTransfer_BuildUp() {
	t := network.Transfer{1000.1, 999.9, 1000.1, 999.9, 1000.1, 999.9, 1000.1, 999.9, 1000.0, 1000.0}
	ratio, err := t.BuildUp(1 + 20e-6)
	fmt.Printf("%.5f %v\n", ratio, err)
	// Output:
	// 10.00002 <nil>
}

// Common practice, worked by hand: the error of ten resistors at ±50 ppm is the mean
// square, 2.5 parts in 10⁹.
func ExampleTransfer_RatioError() {
	t := network.Transfer{1000.05, 999.95, 1000.05, 999.95, 1000.05, 999.95, 1000.05, 999.95, 1000.05, 999.95}
	e, err := t.RatioError(1, 10)
	fmt.Printf("%.2g %v\n", e, err)
	// Output:
	// 2.5e-09 <nil>
}

// Nine of 1 kΩ as a chain, as a square, and side by side.
func ExampleTransfer_Resistance() {
	t := network.Transfer{1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000}
	for _, parallel := range []int{1, 3, 9} {
		r, err := t.Resistance(parallel)
		fmt.Printf("%d in parallel: %.2f Ω %v\n", parallel, r, err)
	}
	// Output:
	// 1 in parallel: 9000.00 Ω <nil>
	// 3 in parallel: 1000.00 Ω <nil>
	// 9 in parallel: 111.11 Ω <nil>
}

// A box of conductances: 3 mS and 0.5 mS behind half an ohm of leads.
func ExampleConductanceBox() {
	box := network.ConductanceBox{Steps: []float64{1e-3, 1e-4}, Series: 0.5}
	g, err := box.Conductance(3, 5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f mS, or %.2f Ω\n", 1e3*g, 1/g)
	// Output:
	// 3.4939 mS, or 286.21 Ω
}

// Open at zero but for the insulation: 1 nS is 1 GΩ.
func ExampleConductanceBox_Conductance() {
	box := network.ConductanceBox{Steps: []float64{1e-6}, Leakage: 1e-9}
	for _, p := range []int{0, 1} {
		g, err := box.Conductance(p)
		fmt.Printf("%d: %.3f µS %v\n", p, 1e6*g, err)
	}
	// Output:
	// 0: 0.001 µS <nil>
	// 1: 1.001 µS <nil>
}

// Resistors within ±1 %: ten of them lie between 1/1.01 and 1/0.99 of their conductance.
func ExampleConductanceBox_Limits() {
	box := network.ConductanceBox{Steps: []float64{1e-4}, Tolerance: []float64{0.01}}
	limits, err := box.Limits(10)
	fmt.Printf("%.4f mS to %.4f mS %v\n", 1e3*limits.Lower, 1e3*limits.Upper, err)
	// Output:
	// 0.9901 mS to 1.0101 mS <nil>
}

// newBench is a box of five dials from 1 kΩ to 0.1 Ω.
func newBench() *decade.Box {
	box, err := decade.New(decade.Spec{
		Name: "bench box", Residual: 0.02, ResidualTolerance: 0.005,
		Decades: []decade.Decade{
			{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001}, {Step: 10, Tolerance: 0.001},
			{Step: 1, Tolerance: 0.005}, {Step: 0.1, Tolerance: 0.05},
		},
	})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// What is wrong with a ratio arm, as a value for a program.
func ExampleError() {
	_, err := network.Bridge{A: 1000, B: -50}.Unknown(440)
	if e, ok := errors.AsType[*network.Error](err); ok {
		fmt.Println("refused by", e.Op, "for", e.Name, "- given", e.Value)
	}
	fmt.Println("outside the domain:", errors.Is(err, network.ErrDomain))
	// Output:
	// refused by network.Bridge.Unknown for B - given -50
	// outside the domain: true
}

// Two settings of a box on either side of balance, and where it lies.
func ExampleDeflection() {
	low := network.Deflection{Resistance: 120.1, Detector: -3}
	high := network.Deflection{Resistance: 120.2, Detector: 1}
	r, err := network.Interpolate(low, high)
	fmt.Printf("%.3f Ω %v\n", r, err)
	// Output:
	// 120.175 Ω <nil>
}
