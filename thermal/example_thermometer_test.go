// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// A decade box in place of a sensor: what to dial for three temperatures, with
// the steps of 0.1 Ω that the box has.
func ExampleThermometer() {
	sensor := thermal.Platinum(1000)
	fmt.Println(sensor)
	for _, t := range []float64{-40, 0, 85} {
		r, err := sensor.Resistance(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: dial %.1f Ω\n", t, r)
	}
	// Output:
	// platinum IEC 60751, R0 = 1000 Ω
	// -40 °C: dial 842.7 Ω
	//   0 °C: dial 1000.0 Ω
	//  85 °C: dial 1328.0 Ω
}

// IEC 60751, table of the sensor of 100 Ω.
func ExampleThermometer_Resistance() {
	for _, t := range []float64{-200, -50, 100, 150} {
		r, err := thermal.Platinum(100).Resistance(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%4g °C: %.2f Ω\n", t, r)
	}
	// Output:
	// -200 °C: 18.52 Ω
	//  -50 °C: 80.31 Ω
	//  100 °C: 138.51 Ω
	//  150 °C: 157.33 Ω
}

// What a setting of the box stands for, and what a setting outside the curve does.
func ExampleThermometer_Temperature() {
	sensor := thermal.Platinum(100)
	t, err := sensor.Temperature(119.40)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f °C\n", t)

	_, err = sensor.Temperature(400)
	fmt.Println(err != nil)
	// Output:
	// 50.007 °C
	// true
}

// How many kelvins the last step of a box is worth: 0.1 Ω at three temperatures.
func ExampleThermometer_Slope() {
	for _, t := range []float64{0, 100, 600} {
		slope, err := thermal.Platinum(100).Slope(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: %.4f Ω/K, a step is %.2f K\n", t, slope, 0.1/slope)
	}
	// Output:
	//   0 °C: 0.3908 Ω/K, a step is 0.26 K
	// 100 °C: 0.3793 Ω/K, a step is 0.26 K
	// 600 °C: 0.3215 Ω/K, a step is 0.31 K
}

// A sensor in a bath of 50 °C known to 0.02 K: the resistance to expect of it.
func ExampleThermometer_ResistanceOf() {
	bath := uncertainty.Input("bath", uncertainty.Normal(50, 0.02))
	b, err := uncertainty.Evaluate(thermal.Platinum(100).ResistanceOf(bath))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, u = %.1f mΩ\n", b.Estimate, b.StandardUncertainty*1e3) // 0.385 Ω/K × 0.02 K
	// Output: 119.397 Ω, u = 7.7 mΩ
}

// A transmitter is tested with a box at 138.51 Ω ± 0.1 %: how well the
// temperature is known that it should show.
func ExampleThermometer_TemperatureOf() {
	box := uncertainty.Input("box", uncertainty.Rectangular(138.51, 0.1/100*138.51))
	b, err := uncertainty.Evaluate(thermal.Platinum(100).TemperatureOf(box))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f °C, u = %.2f K\n", b.Estimate, b.StandardUncertainty) // 0.1385 Ω/√3 over 0.379 Ω/K
	// Output: 100.01 °C, u = 0.21 K
}

// Keep a scale inside the curve before filling it.
func ExampleThermometer_Range() {
	low, high := thermal.Nickel(100).Range()
	fmt.Printf("%g to %g °C\n", low, high)
	// Output: -60 to 250 °C
}

// The resistance at 0 °C scales the curve: a sensor of 500 Ω has five times the
// slope of one of 100 Ω.
func ExampleThermometer_R0() {
	sensor := thermal.Platinum(500)
	slope, err := sensor.Slope(0)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%g Ω at 0 °C, %.3f Ω/K\n", sensor.R0(), slope)
	// Output: 500 Ω at 0 °C, 1.954 Ω/K
}

// The resistance to dial for a temperature, and the temperature that a setting
// stands for.
func ExamplePlatinum() {
	pt100 := thermal.Platinum(100)
	r, err := pt100.Resistance(37.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("37.5 °C is %.3f Ω\n", r)

	dialled := uncertainty.Input("box", uncertainty.Rectangular(114.6, 0.02))
	b, err := uncertainty.Evaluate(pt100.TemperatureOf(dialled))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("114.6 Ω is %.3f °C, u = %.3f K\n", b.Estimate, b.StandardUncertainty)
	// Output:
	// 37.5 °C is 114.575 Ω
	// 114.6 Ω is 37.565 °C, u = 0.030 K
}

// A table in print says 313.59 Ω at 600 °C: it is of IEC 60751:1983.
func ExamplePlatinumIPTS68() {
	older, err := thermal.PlatinumIPTS68(100).Resistance(600)
	if err != nil {
		log.Fatal(err)
	}
	present, err := thermal.Platinum(100).Resistance(600)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("IPTS-68 %.2f Ω, ITS-90 %.2f Ω\n", older, present)
	// Output: IPTS-68 313.59 Ω, ITS-90 313.71 Ω
}

// GOST 6651-2009: 142.80 Ω at 100 °C, and no straight line below 0 °C.
func ExampleCopper() {
	sensor := thermal.Copper(100)
	for _, t := range []float64{-180, 0, 100} {
		r, err := sensor.Resistance(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%4g °C: %.2f Ω\n", t, r)
	}
	// Output:
	// -180 °C: 20.53 Ω
	//    0 °C: 100.00 Ω
	//  100 °C: 142.80 Ω
}

// The copper sensor of motor windings, 10 Ω at 25 °C, is 9.035 Ω at 0 °C.
func ExampleCopperLinear() {
	sensor := thermal.CopperLinear(9.035, 0.00427)
	r, err := sensor.Resistance(25)
	if err != nil {
		log.Fatal(err)
	}
	t, err := sensor.Temperature(12.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω at 25 °C, 12.5 Ω is %.1f °C\n", r, t)
	// Output: 10.00 Ω at 25 °C, 12.5 Ω is 89.8 °C
}

// DIN 43760: the nickel sensor of 100 Ω has 69.5 Ω at −60 °C and 240.7 Ω at 200 °C.
func ExampleNickel() {
	for _, t := range []float64{-60, 20, 120, 200} {
		r, err := thermal.Nickel(100).Resistance(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: %.1f Ω\n", t, r)
	}
	// Output:
	// -60 °C: 69.5 Ω
	//  20 °C: 111.2 Ω
	// 120 °C: 176.0 Ω
	// 200 °C: 240.7 Ω
}

// GOST 6651-2009 (coefficients from memory): 161.72 Ω at 100 °C. What a controller
// that follows the other nickel curve shows instead.
func ExampleNickel617() {
	right, err := thermal.Nickel617(100).Temperature(161.72)
	if err != nil {
		log.Fatal(err)
	}
	other, err := thermal.Nickel(100).Temperature(161.72)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f °C, by the other curve %.2f °C\n", right, other)
	// Output: 100.00 °C, by the other curve 99.92 °C
}
