// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// MIL-STD-202G, method 304: the characteristic of a resistor, warm side and cold
// side, both referred to its resistance at 25 °C.
func ExampleMeanCoefficient() {
	warm, err := thermal.MeanCoefficient(
		thermal.ResistanceAtTemperature{Resistance: 1000.00, Temperature: 25},
		thermal.ResistanceAtTemperature{Resistance: 1000.90, Temperature: 125},
	)
	if err != nil {
		log.Fatal(err)
	}
	cold, err := thermal.MeanCoefficient(
		thermal.ResistanceAtTemperature{Resistance: 1000.00, Temperature: 25},
		thermal.ResistanceAtTemperature{Resistance: 999.71, Temperature: 0},
	)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ppm/K up to 125 °C, %.1f ppm/K down to 0 °C\n", warm*1e6, cold*1e6)
	// Output: 9.0 ppm/K up to 125 °C, 11.6 ppm/K down to 0 °C
}

// One meter reads both resistances. Its gain is ten times worse than its noise
// but drops out of the coefficient.
func ExampleMeanCoefficientOf() {
	gain := uncertainty.Input("gain", uncertainty.Normal(1, 20e-6))
	cold := gain.Mul(uncertainty.Input("noise 1", uncertainty.Normal(1000.00, 0.002)))
	warm := gain.Mul(uncertainty.Input("noise 2", uncertainty.Normal(1000.42, 0.002)))
	c := thermal.MeanCoefficientOf(
		thermal.ResistanceAtTemperatureOf{Resistance: cold, Temperature: uncertainty.Exact(25)},
		thermal.ResistanceAtTemperatureOf{Resistance: warm, Temperature: uncertainty.Exact(75)},
	)
	b, err := uncertainty.Evaluate(c.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ppm/K, u = %.2f ppm/K\n", b.Estimate, b.StandardUncertainty) // √2 × 2 ppm/50 K
	// Output: 8.40 ppm/K, u = 0.06 ppm/K
}

func ExampleBoxCoefficient() {
	c, err := thermal.BoxCoefficient(23, []float64{18, 23, 28}, []float64{9999.991, 10000.004, 10000.012})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ppm/K\n", c*1e6)
	// Output: 0.21 ppm/K
}

// From −55 °C to 125 °C: 1.60 Ω of height over 180 K of width.
func ExampleBoxCoefficientOf() {
	t := []uncertainty.Quantity{uncertainty.Exact(-55), uncertainty.Exact(25), uncertainty.Exact(125)}
	r := []uncertainty.Quantity{
		uncertainty.Input("cold", uncertainty.Normal(999.30, 0.02)),
		uncertainty.Input("room", uncertainty.Normal(1000.00, 0.02)),
		uncertainty.Input("hot", uncertainty.Normal(1000.90, 0.02)),
	}
	b, err := uncertainty.Evaluate(thermal.BoxCoefficientOf(25, t, r).Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ppm/K, u = %.2f ppm/K\n", b.Estimate, b.StandardUncertainty)
	// Output: 8.89 ppm/K, u = 0.16 ppm/K
}

// MIL-PRF-39005G, Table VI: what to reckon with where the wire is unknown.
func ExampleWireWoundLimit() {
	for _, ohms := range []float64{0.1, 1, 10, 100, 10e3} {
		limit, err := thermal.WireWoundLimit(ohms)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%5g Ω: ±%.0f ppm/K\n", ohms, limit*1e6)
	}
	// Output:
	//   0.1 Ω: ±90 ppm/K
	//     1 Ω: ±30 ppm/K
	//    10 Ω: ±15 ppm/K
	//   100 Ω: ±10 ppm/K
	// 10000 Ω: ±10 ppm/K
}

// A refusal says which argument it is about; a program can ask for the same.
func ExampleError() {
	_, err := thermal.MeanCoefficient(
		thermal.ResistanceAtTemperature{Resistance: 1000, Temperature: 25},
		thermal.ResistanceAtTemperature{Resistance: 1000.2, Temperature: 25},
	)
	if e, ok := errors.AsType[*thermal.Error](err); ok {
		fmt.Println(e.Op, e.Name, e.Value, errors.Is(err, thermal.ErrDomain))
	}
	fmt.Println(err)
	// Output:
	// thermal.MeanCoefficient second.Temperature 25 true
	// thermal.MeanCoefficient: second.Temperature: 25; expected a temperature other than the first
}
