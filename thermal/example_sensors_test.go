// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// The coefficients of a certificate, and the alpha to compare with what it states.
func ExampleCallendarVanDusen() {
	c := thermal.CallendarVanDusen{R0: 100.012, A: 3.9079e-3, B: -5.772e-7, C: -4.18e-12}
	s, err := c.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(100)
	fmt.Printf("alpha %.6f /K, %.3f Ω at 100 °C %v\n", c.Alpha(), r, err)
	// Output: alpha 0.003850 /K, 138.518 Ω at 100 °C <nil>
}

// Copied sets are worth a look: A of one line beside B of another.
func ExampleCallendarVanDusen_Alpha() {
	fmt.Printf("%.6f /K\n", thermal.CallendarVanDusen{A: 3.9848e-3, B: -5.8019e-7}.Alpha())
	// Output: 0.003927 /K
}

// IEC 60751 in the older form.
func ExampleCallendarVanDusen_AlphaDeltaBeta() {
	c := thermal.CallendarVanDusen{R0: 100, A: 3.9083e-3, B: -5.775e-7, C: -4.183e-12}.AlphaDeltaBeta()
	fmt.Printf("α %.8f /K, δ %.4f °C, β %.4f °C\n", c.Alpha, c.Delta, c.Beta)
	// Output: α 0.00385055 /K, δ 1.4998 °C, β 0.1086 °C
}

// Below 0 °C the third coefficient is needed.
func ExampleCallendarVanDusen_Sensor() {
	_, err := thermal.CallendarVanDusen{R0: 100, A: 3.9083e-3, B: -5.775e-7, Low: -50, High: 200}.Sensor()
	fmt.Println(err)
	// Output: thermal.CallendarVanDusen.Sensor: C: 0; expected the third coefficient, about -4.2e-12, for temperatures below 0 °C
}

func ExampleAlphaDeltaBeta() {
	s, err := thermal.AlphaDeltaBeta{R0: 100, Alpha: 0.003850, Delta: 1.4999,
		Beta: 0.10863}.CallendarVanDusen().Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(100)
	fmt.Printf("%.3f Ω %v\n", r, err) // alpha fixes R(100 °C)
	// Output: 138.500 Ω <nil>
}

func ExampleAlphaDeltaBeta_CallendarVanDusen() {
	c := thermal.AlphaDeltaBeta{R0: 100, Alpha: 0.00385055, Delta: 1.49978574, Beta: 0.10863383}.CallendarVanDusen()
	fmt.Printf("A %.5g, B %.5g, C %.5g\n", c.A, c.B, c.C)
	// Output: A 0.0039083, B -5.775e-07, C -4.183e-12
}

// A standard thermometer with the certificate of its range from water to zinc: at
// 65.039218 Ω it is at the zinc point.
func ExampleITS90() {
	s, err := thermal.ITS90{
		R001: 25.319871, Above: thermal.Deviation{A: -1.2134e-4, B: -9.9190e-6},
		Low: 0.01, High: 419.527,
	}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	t, err := s.Value(65.0392)
	fmt.Printf("%.3f °C %v\n", t, err)
	// Output: 419.527 °C <nil>
}

// Without deviations it is the reference function: W_r of the gallium point.
func ExampleITS90_Sensor() {
	s, err := thermal.ITS90{R001: 1}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	w, err := s.Resistance(29.7646)
	fmt.Printf("%.8f %v\n", w, err)
	// Output: 1.11813889 <nil>
}

func ExampleITS90_Qualifies() {
	fmt.Println(thermal.ITS90{R001: 25.5, Above: thermal.Deviation{A: -1.2e-4},
		Below: thermal.Deviation{A: -1.2e-4}}.Qualifies())
	fmt.Println(thermal.ITS90{R001: 100, Above: thermal.Deviation{A: -0.015},
		Below: thermal.Deviation{A: -0.015}}.Qualifies())
	// Output:
	// true <nil>
	// false <nil>
}

// Coefficients of the range from argon to the triple point of water: a4 and b4.
func ExampleDeviation() {
	s, err := thermal.ITS90{R001: 25.5, Below: thermal.Deviation{A: -1.258e-4, L: 1.07e-5},
		Low: -189.3442, High: 0.01}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(-100)
	fmt.Printf("%.5f Ω %v\n", r, err)
	// Output: 15.16215 Ω <nil>
}

// Ten kilohms at 25 °C and a beta of 3977 K.
func ExampleBetaThermistor() {
	s, err := thermal.BetaThermistor{R: 10e3, At: 25, Beta: 3977}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(85)
	fmt.Printf("%.0f Ω at 85 °C %v\n", r, err)
	// Output: 1070 Ω at 85 °C <nil>
}

func ExampleBetaThermistor_Sensor() {
	_, err := thermal.BetaThermistor{R: 10e3, At: 25}.Sensor()
	fmt.Println(err)
	// Output: thermal.BetaThermistor.Sensor: Beta: 0; expected a number of kelvins above 0
}

func ExampleBetaBetween() {
	beta, err := thermal.BetaBetween(
		thermal.ResistanceAtTemperature{Resistance: 10000, Temperature: 25},
		thermal.ResistanceAtTemperature{Resistance: 1066.1, Temperature: 85},
	)
	fmt.Printf("B25/85 = %.0f K %v\n", beta, err)
	// Output: B25/85 = 3984 K <nil>
}

func ExampleSteinhartHart() {
	s, err := thermal.SteinhartHart{A: 1.129241e-3, B: 2.341077e-4, C: 8.775468e-8}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	t, err := s.Value(32650.9) // printed at 0 °C
	fmt.Printf("%.3f °C %v\n", t, err)
	// Output: -0.001 °C <nil>
}

// Coefficients that make no thermistor are refused.
func ExampleSteinhartHart_Sensor() {
	_, err := thermal.SteinhartHart{A: 1.13e-3}.Sensor()
	fmt.Println(err != nil)
	// Output: true
}

// Three rows of a printed table, and a fourth to see how well they do.
func ExampleSteinhartHartThrough() {
	set, err := thermal.SteinhartHartThrough(
		thermal.ResistanceAtTemperature{Resistance: 32560, Temperature: 0},
		thermal.ResistanceAtTemperature{Resistance: 10000, Temperature: 25},
		thermal.ResistanceAtTemperature{Resistance: 1070, Temperature: 85},
	)
	if err != nil {
		log.Fatal(err)
	}
	s, err := set.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	t, err := s.Value(3606) // printed at 50 °C
	fmt.Printf("%.2f °C %v\n", t, err)
	// Output: 49.98 °C <nil>
}

// A box in place of a gauge needs steps of some mΩ: 1000 µm/m are 0.735 Ω.
func ExampleStrainGauge() {
	s, err := thermal.StrainGauge{R0: 350, Factor: 2.1}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	r, err := s.Resistance(1000)
	fmt.Printf("%.3f Ω %v\n", r, err)
	// Output: 350.735 Ω <nil>
}

func ExampleStrainGauge_Sensor() {
	s, err := thermal.StrainGauge{R0: 120, Factor: 2.4}.Sensor()
	if err != nil {
		log.Fatal(err)
	}
	strain, err := s.Value(120.1)
	fmt.Printf("%.0f %s %v\n", strain, s.Unit(), err)
	// Output: 347 µm/m <nil>
}

// A box across the gauge: what to dial for 1000 µm/m.
func ExampleStrainGauge_Shunt() {
	r, err := thermal.StrainGauge{R0: 350, Factor: 2}.Shunt(1000)
	fmt.Printf("%.0f Ω %v\n", r, err)
	// Output: 174650 Ω <nil>
}

func ExampleStrainGauge_ShuntStrain() {
	strain, err := thermal.StrainGauge{R0: 120, Factor: 2}.ShuntStrain(60e3)
	fmt.Printf("%.0f µm/m %v\n", strain, err)
	// Output: 998 µm/m <nil>
}

func ExampleStrainGauge_BridgeShunt() {
	r, err := thermal.StrainGauge{R0: 350, Factor: 2}.BridgeShunt(1000)
	fmt.Printf("%.0f Ω %v\n", r, err)
	// Output: 174825 Ω <nil>
}

func ExampleStrainGauge_BridgeShuntStrain() {
	strain, err := thermal.StrainGauge{R0: 120, Factor: 2}.BridgeShuntStrain(30e3)
	fmt.Printf("%.0f µm/m %v\n", strain, err)
	// Output: 1996 µm/m <nil>
}

// A heating element of 20.0 Ω cold.
func ExampleHeatingAlloy() {
	law, err := thermal.HeatingAlloy("Cr20Ni80")
	if err != nil {
		log.Fatal(err)
	}
	for _, t := range []float64{400, 800, 1100} {
		r, err := law.Correct(20, 20, t)
		fmt.Printf("%4g °C: %.2f Ω %v\n", t, r, err)
	}
	// Output:
	//  400 °C: 20.50 Ω <nil>
	//  800 °C: 20.16 Ω <nil>
	// 1100 °C: 20.42 Ω <nil>
}

func ExampleHeatingAlloys() {
	for name := range thermal.HeatingAlloys() {
		fmt.Println(name)
		break
	}
	// Output: Cr20Ni80
}

func ExampleTableLaw() {
	law, err := thermal.NewTableLaw([]thermal.RatioAtTemperature{{Ratio: 1, Temperature: 20},
		{Ratio: 1.021, Temperature: 500}, {Ratio: 1.042, Temperature: 900}},
		thermal.InterpolationSmooth)
	if err != nil {
		log.Fatal(err)
	}
	q, err := law.Ratio(700)
	fmt.Printf("%.3f %v\n", q, err)
	// Output: 1.031 <nil>
}

// newElement is the law of an invented alloy.
func newElement() thermal.TableLaw {
	law, err := thermal.NewTableLaw([]thermal.RatioAtTemperature{
		{Ratio: 1, Temperature: 20}, {Ratio: 1.02, Temperature: 420}, {Ratio: 1.05, Temperature: 820},
	}, thermal.InterpolationLinear)
	if err != nil {
		log.Fatal(err)
	}
	return law
}

func ExampleNewTableLaw() {
	_, err := thermal.NewTableLaw([]thermal.RatioAtTemperature{{Ratio: 1, Temperature: 20}},
		thermal.InterpolationLinear)
	fmt.Println(err)
	// Output: thermal.NewTableLaw: points: 1; expected 2 to 100000
}

func ExampleRatioAtTemperature() {
	_, err := thermal.NewTableLaw([]thermal.RatioAtTemperature{{Ratio: 1, Temperature: 20},
		{Ratio: 0, Temperature: 100}}, thermal.InterpolationLinear)
	fmt.Println(err)
	// Output: thermal.NewTableLaw: ratio: 0; expected a number of R(t)/R(ref) above 0
}

func ExampleTableLaw_Range() {
	fmt.Println(newElement().Range())
	// Output: 20 820
}

func ExampleTableLaw_Monotone() {
	chromium, err := thermal.HeatingAlloy("Cr20Ni80")
	fmt.Println(newElement().Monotone(), chromium.Monotone(), err)
	// Output: true false <nil>
}

func ExampleTableLaw_Ratio() {
	q, err := newElement().Ratio(220)
	fmt.Printf("%.3f %v\n", q, err)
	// Output: 1.010 <nil>
}

func ExampleTableLaw_Slope() {
	s, err := newElement().Slope(220)
	fmt.Printf("%.0f ppm/K %v\n", 1e6*s, err)
	// Output: 50 ppm/K <nil>
}

func ExampleTableLaw_Correct() {
	cold, err := newElement().Correct(10.5, 820, 20)
	fmt.Printf("%.2f Ω %v\n", cold, err)
	// Output: 10.00 Ω <nil>
}

// How hot is an element that went from 10.00 Ω at 20 °C to 10.35 Ω?
func ExampleTableLaw_Temperature() {
	t, err := newElement().Temperature(10.35 / 10.00)
	fmt.Printf("%.0f °C %v\n", t, err)
	// Output: 620 °C <nil>
}

func ExampleTableLaw_Extremes() {
	law, err := thermal.HeatingAlloy("Cr20Ni80")
	if err != nil {
		log.Fatal(err)
	}
	span, err := law.Extremes(20, 900)
	fmt.Printf("%.3f to %.3f %v\n", span.Lower, span.Upper, err)
	// Output: 1.000 to 1.026 <nil>
}

func ExampleTableLaw_RatioOf() {
	b, err := uncertainty.Evaluate(newElement().RatioOf(uncertainty.Input("t", uncertainty.Normal(620, 20))))
	fmt.Printf("%.3f, u = %.4f %v\n", b.Estimate, b.StandardUncertainty, err)
	// Output: 1.035, u = 0.0015 <nil>
}

func ExampleTableLaw_CorrectOf() {
	hot := uncertainty.Input("element", uncertainty.Normal(10.35, 0.01))
	b, err := uncertainty.Evaluate(newElement().CorrectOf(hot, uncertainty.Exact(620), uncertainty.Exact(20)))
	fmt.Printf("%.2f Ω, u = %.3f Ω %v\n", b.Estimate, b.StandardUncertainty, err)
	// Output: 10.00 Ω, u = 0.010 Ω <nil>
}
