// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"log"
	"math"

	"example.com/ohmwright/uncertainty"
)

// Five readings show a standard deviation that is 6 % too small on average, and itself known
// to 36 %.
func ExampleC4() {
	c4, err := uncertainty.C4(5 - 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("c4 = %.4f\n", c4)
	// Output: c4 = 0.9400
}

// Ten readings say of their standard deviation less than most people think.
func ExampleStdDevUncertainty() {
	r, err := uncertainty.StdDevUncertainty(10 - 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("s is known to %.0f %%\n", 100*r)
	// Output: s is known to 24 %
}

// Three short series of one ohmmeter, in mΩ about their nominal values, give one standard
// deviation that serves for two readings of another resistor.
func ExamplePool() {
	pooled, err := uncertainty.Pool([]float64{12.1, 12.4, 11.9},
		[]float64{-3.2, -3.0, -3.3, -2.8}, []float64{55.0, 55.3})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("s = %.2f mΩ with %v degrees of freedom\n", pooled.StdDev, pooled.DOF)
	b, err := uncertainty.Evaluate(uncertainty.Input("x",
		uncertainty.TypeAPooled(pooled.StdDev, pooled.DOF, 7.4, 7.7)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(b.PlusMinus(2), "mΩ")
	// Output:
	// s = 0.23 mΩ with 6 degrees of freedom
	// 7.55 ± 0.40 mΩ
}

// Do the series scatter alike? Bartlett's test finds no reason against pooling them.
func ExamplePooledStdDev() {
	pooled, err := uncertainty.Pool([]float64{12.1, 12.4, 11.9},
		[]float64{-3.2, -3.0, -3.3, -2.8}, []float64{55.0, 55.3})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("χ² = %.2f, larger by chance with a probability of %.2f\n", pooled.ChiSquared,
		pooled.Probability)
	// Output: χ² = 0.04, larger by chance with a probability of 0.98
}

// The largest ratio of mean squares, of 9 and 40 degrees of freedom, that chance explains.
func ExampleFQuantile() {
	f, err := uncertainty.FQuantile(0.95, 9, 40)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f\n", f)
	// Output: 2.12
}

// Two operators (columns) dial three settings (rows) twice each; deviations in mΩ.
func crossed() *uncertainty.TwoWay {
	a, err := uncertainty.NewTwoWay([][][]float64{
		{{1.1, 1.3}, {1.6, 1.5}}, {{2.4, 2.2}, {2.9, 2.8}}, {{0.3, 0.4}, {0.9, 0.7}},
	})
	if err != nil {
		log.Fatal(err)
	}
	return a
}

func ExampleNewTwoWay() {
	a := crossed()
	f, p := a.Column.F(a.Interaction)
	fmt.Printf("operators differ: F = %.0f, by chance with a probability of %.4f\n", f, p)
	// Output: operators differ: F = 61, by chance with a probability of 0.0161
}

func ExampleTwoWay() {
	a := crossed()
	fmt.Println(a.Rows, "rows,", a.Columns, "columns,", a.Repeats, "repeats; degrees of freedom",
		a.Row.DOF, a.Column.DOF, a.Interaction.DOF, a.Within.DOF)
	// Output: 3 rows, 2 columns, 2 repeats; degrees of freedom 2 1 2 6
}

func ExampleTwoWay_Components() {
	c := crossed().Components()
	fmt.Printf("settings %.2f mΩ, operators %.2f mΩ, repeats %.2f mΩ\n", c.Row, c.Column, c.Within)
	// Output: settings 1.01 mΩ, operators 0.32 mΩ, repeats 0.11 mΩ
}

func ExampleTwoWayComponents() {
	c := uncertainty.TwoWayComponents{Row: 3, Column: 4}
	fmt.Println(math.Hypot(c.Row, c.Column))
	// Output: 5
}

// What is said of another operator at another setting rests on few of either.
func ExampleTwoWay_MeanOfAll() {
	b, err := uncertainty.Evaluate(uncertainty.Input("mean", crossed().MeanOfAll()))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, u = %.2f mΩ, %.1f degrees of freedom\n", b.Estimate,
		b.StandardUncertainty, b.DOF)
	// Output: 1.51 mΩ, u = 0.62 mΩ, 2.5 degrees of freedom
}

func ExampleSumOfSquares() {
	s := uncertainty.SumOfSquares{Sum: 12, DOF: 4}
	fmt.Println(s.MeanSquare())
	// Output: 3
}

func ExampleSumOfSquares_MeanSquare() {
	s := uncertainty.SumOfSquares{Sum: 12}
	fmt.Println(s.MeanSquare())
	// Output: NaN
}

func ExampleSumOfSquares_F() {
	f, p := uncertainty.SumOfSquares{Sum: 30, DOF: 3}.F(uncertainty.SumOfSquares{Sum: 24, DOF: 12})
	fmt.Printf("F = %v, probability %.3f\n", f, p)
	// Output: F = 5, probability 0.018
}

// Two readings of each of two diallings on each of three days, in mΩ.
func days() *uncertainty.Nested {
	a, err := uncertainty.NewNested([][]float64{{5.1, 5.2}, {5.9, 5.8}},
		[][]float64{{4.1, 4.1}, {4.6, 4.8}}, [][]float64{{6.0, 5.9}, {5.2, 5.2}})
	if err != nil {
		log.Fatal(err)
	}
	return a
}

func ExampleNewNested() {
	b, err := uncertainty.Evaluate(uncertainty.Input("contact", days().MeanOfGroups()))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, u = %.2f mΩ, %v degrees of freedom\n", b.Estimate, b.StandardUncertainty,
		b.DOF)
	// Output: 5.16 mΩ, u = 0.38 mΩ, 2 degrees of freedom
}

func ExampleNested() {
	a := days()
	f, p := a.Among.F(a.Within)
	fmt.Printf("diallings of one day differ: F = %.0f, by chance with a probability of %.0e\n", f,
		p)
	// Output: diallings of one day differ: F = 81, by chance with a probability of 3e-05
}

func ExampleNested_Components() {
	c := days().Components()
	fmt.Printf("days %.2f mΩ, diallings %.2f mΩ, readings %.2f mΩ\n", c.Between, c.Among, c.Within)
	// Output: days 0.56 mΩ, diallings 0.48 mΩ, readings 0.08 mΩ
}

func ExampleNestedComponents() {
	c := uncertainty.NestedComponents{Between: 0.6, Among: 0.5, Within: 0.1}
	fmt.Printf("one reading of one dialling on one day: u = %.2f\n",
		math.Sqrt(c.Between*c.Between+c.Among*c.Among+c.Within*c.Within))
	// Output: one reading of one dialling on one day: u = 0.79
}

func ExampleNested_MeanOfGroups() {
	fmt.Printf("%.2f\n", days().MeanOfGroups().Mean())
	// Output: 5.16
}

func ExampleOneWay_Reproducibility() {
	fmt.Printf("one reading of any dialling: %.2f mΩ\n", diallings().Reproducibility())
	// Output: one reading of any dialling: 0.96 mΩ
}

// spiked are readings in mΩ of which one was taken while somebody leaned on the bench.
var spiked = []float64{20.1, 20.3, 19.9, 20.2, 27.5, 20.0, 20.1, 20.4}

func ExampleAlgorithmA() {
	r, err := uncertainty.AlgorithmA(spiked...)
	if err != nil {
		log.Fatal(err)
	}
	mean, s, err := uncertainty.MeanStdDev(spiked)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, s = %.2f mΩ; all alike: %.2f mΩ, s = %.2f mΩ\n", r.Location, r.Scale,
		mean, s)
	// Output: 20.20 mΩ, s = 0.25 mΩ; all alike: 21.06 mΩ, s = 2.61 mΩ
}

func ExampleMedianMAD() {
	r, err := uncertainty.MedianMAD(spiked...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, u = %.2f mΩ\n", r.Location, r.StandardUncertainty())
	// Output: 20.15 mΩ, u = 0.10 mΩ
}

func ExampleQHampel() {
	r, err := uncertainty.QHampel(spiked...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, s = %.2f mΩ\n", r.Location, r.Scale)
	// Output: 20.14 mΩ, s = 0.29 mΩ
}

func ExampleNormalizedIQR() {
	s, err := uncertainty.NormalizedIQR(spiked...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("s = %.2f mΩ\n", s)
	// Output: s = 0.19 mΩ
}

func ExampleRobustMean() {
	r := uncertainty.RobustMean{Location: 20.1, Scale: 0.4, Observations: 25}
	fmt.Printf("%v ± %v\n", r.Location, 2*r.StandardUncertainty())
	// Output: 20.1 ± 0.2
}

func ExampleRobustMean_StandardUncertainty() {
	fmt.Println(uncertainty.RobustMean{Scale: 0.4, Observations: 25}.StandardUncertainty())
	// Output: 0.1
}

func ExampleRobustMean_Distribution() {
	r, err := uncertainty.AlgorithmA(spiked...)
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(uncertainty.Source{Name: "R", Unit: "mΩ",
		Distribution: r.Distribution()}.Input())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(b.PlusMinus(2))
	// Output: (20.20 ± 0.26) mΩ
}

// Two readings alone say next to nothing; with the experience of 20 earlier ones they do.
func ExampleTypeAWithPrior() {
	for _, d := range []uncertainty.Distribution{uncertainty.TypeA(7.4, 7.7),
		uncertainty.TypeAWithPrior(0.23, 19, 7.4, 7.7)} {
		b, err := uncertainty.Evaluate(uncertainty.Input("x", d))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s, %v degrees of freedom, standard deviation %.2f\n", b.PlusMinus(2), b.DOF,
			d.StdDev())
	}
	// Output:
	// 7.6 ± 1.9, 1 degrees of freedom, standard deviation +Inf
	// 7.55 ± 0.34, 20 degrees of freedom, standard deviation 0.17
}

// Where the ends are sharp, as with a rounded or cycling quantity, the range says more than
// the mean.
func ExampleTypeAUniform() {
	d := uncertainty.TypeAUniform(0.2, 0.9, 0.5, 0.1, 0.7, 0.4, 0.8, 0.3)
	fmt.Printf("%.2f, u = %.3f\n", d.Mean(), d.StdDev())
	// Output: 0.50, u = 0.103
}

// One wild reading in eight hardly counts.
func ExampleTypeALaplace() {
	d := uncertainty.TypeALaplace(spiked...)
	fmt.Printf("%.2f, u = %.2f\n", d.Mean(), d.StdDev())
	// Output: 20.21, u = 0.32
}
