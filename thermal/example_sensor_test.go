// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"fmt"
	"log"
	"strings"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// A decade box in place of a sensor: what to dial for three temperatures, with
// the steps of 0.1 Ω that the box has.
func ExampleSensor() {
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
func ExampleSensor_Resistance() {
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
func ExampleSensor_Value() {
	sensor := thermal.Platinum(100)
	t, err := sensor.Value(119.40)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f °C\n", t)

	_, err = sensor.Value(400)
	fmt.Println(err != nil)
	// Output:
	// 50.007 °C
	// true
}

// How many kelvins the last step of a box is worth: 0.1 Ω at three temperatures.
func ExampleSensor_Slope() {
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
func ExampleSensor_ResistanceOf() {
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
func ExampleSensor_ValueOf() {
	box := uncertainty.Input("box", uncertainty.Rectangular(138.51, 0.1/100*138.51))
	b, err := uncertainty.Evaluate(thermal.Platinum(100).ValueOf(box))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f °C, u = %.2f K\n", b.Estimate, b.StandardUncertainty) // 0.1385 Ω/√3 over 0.379 Ω/K
	// Output: 100.01 °C, u = 0.21 K
}

// Keep a scale inside the curve before filling it.
func ExampleSensor_Range() {
	low, high := thermal.Nickel(100).Range()
	fmt.Printf("%g to %g °C\n", low, high)
	// Output: -60 to 250 °C
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
	b, err := uncertainty.Evaluate(pt100.ValueOf(dialled))
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
	t, err := sensor.Value(12.5)
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
	right, err := thermal.Nickel617(100).Value(161.72)
	if err != nil {
		log.Fatal(err)
	}
	other, err := thermal.Nickel(100).Value(161.72)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f °C, by the other curve %.2f °C\n", right, other)
	// Output: 100.00 °C, by the other curve 99.92 °C
}

// GOST 6651-2009 has a second platinum curve, of 0.00391 /K: 17.24 Ω at −200 °C.
func ExamplePlatinum391() {
	r, err := thermal.Platinum391(100).Resistance(-200)
	fmt.Printf("%.2f Ω %v\n", r, err)
	// Output: 17.24 Ω <nil>
}

func ExampleCopper426() {
	r, err := thermal.Copper426(50).Resistance(50)
	fmt.Printf("%.2f Ω %v\n", r, err)
	// Output: 60.65 Ω <nil>
}

// 1500 Ω at 100 °C: the nickel of building controls.
func ExampleNickel500() {
	for _, t := range []float64{20, 100} {
		r, err := thermal.Nickel500(1000).Resistance(t)
		fmt.Printf("%3g °C: %.0f Ω %v\n", t, r, err)
	}
	// Output:
	//  20 °C: 1091 Ω <nil>
	// 100 °C: 1500 Ω <nil>
}

// The nickel sensor of 120 Ω that motors and bearings have.
func ExampleNickel672() {
	r, err := thermal.Nickel672(120).Resistance(100)
	fmt.Printf("%.1f Ω %v\n", r, err)
	// Output: 200.6 Ω <nil>
}

// What a person types, in a file or after a flag.
func ExampleParseSensor() {
	for _, name := range []string{"Pt100", "NTC 10 kΩ 3977 K", "240 Ω at 0 %, 33 Ω at 100 %"} {
		s, err := thermal.ParseSensor(name)
		if err != nil {
			log.Fatal(err)
		}
		r, err := s.Resistance(25)
		fmt.Printf("%s: %.2f Ω at 25 %s %v\n", name, r, s.Unit(), err)
	}
	_, err := thermal.ParseSensor("NTC 10 kΩ 0 K")
	fmt.Println(err)
	// Output:
	// Pt100: 109.73 Ω at 25 °C <nil>
	// NTC 10 kΩ 3977 K: 10000.00 Ω at 25 °C <nil>
	// 240 Ω at 0 %, 33 Ω at 100 %: 188.25 Ω at 25 % <nil>
	// thermal.ParseSensor: sensor: "NTC 10 kΩ 0 K": Beta: 0; expected a number of kelvins above 0
}

// The forms, for the help of a program.
func ExampleSensorForms() {
	for what, example := range thermal.SensorForms() {
		fmt.Println(what+":", example)
	}
	// Output:
	// metal, Ω at 0 °C, and coefficient in 1/K where it is not the usual one: Pt100, Pt1000 0.00391, Ni120 0.00672, Cu50
	// NTC, resistance at 25 °C, beta: NTC 10 kΩ 3977 K
	// strain gauge: resistance and gauge factor: gauge 350 Ω 2.05
	// two or more points, straight between them: 240 Ω at 0 %, 33 Ω at 100 %
}

func ExampleSensor_Unit() {
	fmt.Println(thermal.Platinum(100).Unit())
	// Output: °C
}

// A difference of two temperatures is in kelvins.
func ExampleSensor_DifferenceUnit() {
	gauge, err := thermal.StrainGauge{R0: 350, Factor: 2}.Sensor()
	fmt.Println(thermal.Platinum(100).DifferenceUnit(), gauge.DifferenceUnit(), err)
	// Output: K µm/m <nil>
}

// A table that turns round serves forwards only.
func ExampleSensor_Monotone() {
	s, err := thermal.Table{Name: "protection thermistor", Unit: "°C", Points: []thermal.TablePoint{
		{Value: 0, Resistance: 120}, {Value: 40, Resistance: 90}, {Value: 80, Resistance: 250}, {Value: 120, Resistance: 4000},
	}}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(20)
	fmt.Println(s.Monotone(), r, err)
	_, err = s.Value(100)
	fmt.Println(errors.Is(err, thermal.ErrNotMonotone))
	// Output:
	// false 105 <nil>
	// true
}

// A slide wire with a load of ten times its resistance on the wiper is not straight.
func ExampleFunction() {
	loaded, err := thermal.Function{
		Name: "slide wire of 1 kΩ with 10 kΩ across", Unit: "mm", Low: 0, High: 100,
		Resistance: func(x float64) float64 { r := 10 * x; return r * 10e3 / (r + 10e3) },
	}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := loaded.Resistance(50)
	if err != nil {
		log.Fatal(err)
	}
	x, err := loaded.Value(500)
	fmt.Printf("%.1f Ω at 50 mm, 500 Ω is %.2f mm %v\n", r, x, err)
	// Output: 476.2 Ω at 50 mm, 500 Ω is 52.63 mm <nil>
}

// The sensor of a function takes part in budgets as any other.
func ExampleFunction_Sensor() {
	s, err := thermal.Function{Unit: "°C", Low: 0, High: 100,
		Resistance: func(t float64) float64 { return 50 + 2*t }}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(s.ValueOf(uncertainty.Input("box", uncertainty.Normal(90, 0.2))))
	fmt.Printf("%.1f °C, u = %.1f K %v\n", b.Estimate, b.StandardUncertainty, err)
	// Output: 20.0 °C, u = 0.1 K <nil>
}

// A calibration in a file.
func ExampleReadSensor() {
	s, err := thermal.ReadSensor(strings.NewReader(`{"name": "probe 7", "unit": "°C", "interpolation": "thermistor", "points": [
		{"value": 0, "resistance": "32.56 kΩ"}, {"value": 25, "resistance": "10 kΩ"}, {"value": 50, "resistance": 3606}]}`))
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(20)
	fmt.Printf("%v: %.0f Ω at 20 °C %v\n", s, r, err) // printed: 12 490 Ω
	// Output: probe 7: 12486 Ω at 20 °C <nil>
}

// The two ends of a level sender: a quarter full is 188 Ω.
func ExampleTable() {
	sender, err := thermal.Table{Name: "level sender", Unit: "%", Points: []thermal.TablePoint{
		{Value: 0, Resistance: 240}, {Value: 100, Resistance: 33},
	}}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := sender.Resistance(25)
	fmt.Printf("%.0f Ω %v\n", r, err)
	// Output: 188 Ω <nil>
}

// Printed thermistor tables are interpolated in ln R against 1/T: a straight line between
// rows 20 °C apart would be 2 K off.
func ExampleTable_Sensor() {
	points := []thermal.TablePoint{{Value: 0, Resistance: 32560}, {Value: 20, Resistance: 12490},
		{Value: 40, Resistance: 5330}, {Value: 60, Resistance: 2490}}
	for _, how := range []thermal.Interpolation{thermal.InterpolationLinear, thermal.InterpolationThermistor} {
		s, err := thermal.Table{Unit: "°C", Points: points, Interpolation: how}.Sensor()
		if err != nil {
			log.Fatal(err)
		}
		t, err := s.Value(8059) // printed at 30 °C
		fmt.Printf("%v: %.2f °C %v\n", how, t, err)
	}
	// Output:
	// linear: 32.38 °C <nil>
	// thermistor: 30.00 °C <nil>
}

func ExampleTablePoint() {
	_, err := thermal.Table{Unit: "%",
		Points: []thermal.TablePoint{{Value: 0, Resistance: 240},
			{Value: 0, Resistance: 33}}}.Sensor()
	fmt.Println(err)
	// Output: thermal.Table.Sensor: value: 0; expected one resistance for each; this one is given twice
}

func ExampleInterpolation() {
	var how thermal.Interpolation
	err := how.UnmarshalText([]byte("smooth"))
	fmt.Println(how, err)
	// Output: smooth <nil>
}
