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

// A standard resistor with a certificate for 25 °C stands in a bath at 23.4 °C.
func Example() {
	law := thermal.UncertainLaw{
		Reference: 25,
		Alpha:     uncertainty.Input("alpha", uncertainty.Normal(4.2e-6, 0.2e-6)),
		Beta:      uncertainty.Input("beta", uncertainty.Normal(-0.56e-6, 0.02e-6)),
	}
	r25 := uncertainty.Input("R25", uncertainty.Certificate(100.00215, 0.0001, 2))
	bath := uncertainty.Input("bath", uncertainty.Rectangular(23.4, 0.05))

	b, err := uncertainty.Evaluate(law.Correct(r25, uncertainty.Exact(25), bath))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f Ω, u = %.5f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 100.00133 Ω, u = 0.00006 Ω
}

func ExampleLaw_Correct() {
	law := thermal.NewLaw(23, 8e-6, -0.5e-6)
	r, err := law.Correct(1000.012, 23, 26.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω\n", r)
	// Output: 1000.0339 Ω
}

func ExampleLaw_Rebase() {
	// The coefficient 0.00428 at 0 °C of old copper tables, told from 20 °C.
	law, err := thermal.NewLaw(0, 0.00428, 0).Rebase(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.6f /K at %g °C\n", law.Alpha(), law.Reference())
	// Output: 0.003943 /K at 20 °C
}

func ExampleLaw_Extremum() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6)
	t, ok := law.Extremum()
	fmt.Printf("peak at %.2f °C, %v\n", t, ok)
	change, err := law.LargestChange(18, 28)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("at most %.1f ppm from 18 to 28 °C\n", change*1e6)
	// Output:
	// peak at 28.75 °C, true
	// at most 56.8 ppm from 18 to 28 °C
}

func ExampleLaw_Temperature() {
	// The mean temperature of a copper winding from its resistance, cold and warm.
	cold, warm := 50.0, 58.0
	t, err := thermal.CopperConductorByZero(20).Temperature(warm / cold)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f °C\n", t)
	// Output: 60.7 °C
}

func ExampleFitLaw() {
	t := []float64{18, 20.5, 23, 25.5, 28}
	r := []float64{9999.991, 10000.000, 10000.004, 10000.008, 10000.012}
	fit, err := thermal.FitLaw("box 4, 10 kΩ", 23, 2, t, r)
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(fit.Law.Alpha.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("alpha = %.2f ppm/K, u = %.2f ppm/K, %.0f degrees of freedom\n", b.Estimate, b.StandardUncertainty, b.DOF)
	// Output: alpha = 0.20 ppm/K, u = 0.02 ppm/K, 2 degrees of freedom
}

func ExampleBoxCoefficient() {
	c, err := thermal.BoxCoefficient(23, []float64{18, 23, 28}, []float64{9999.991, 10000.004, 10000.012})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ppm/K\n", c*1e6)
	// Output: 0.21 ppm/K
}

func ExampleFindAlloy() {
	a, err := thermal.FindAlloy("manganin")
	if err != nil {
		log.Fatal(err)
	}
	low, high, _ := a.Law.Limits()
	fmt.Printf("%s: %g ± %g ppm/K at %g °C, for %g to %g °C\n",
		a.Name, a.Law.Alpha()*1e6, a.AlphaTolerance*1e6, a.Law.Reference(), low, high)

	_, err = thermal.FindAlloy("manganine")
	fmt.Println(errors.Is(err, thermal.ErrUnknown), err)
	// Output:
	// manganin: 0 ± 15 ppm/K at 25 °C, for 0 to 100 °C
	// true thermal.FindAlloy: name: "manganine": unknown name; did you mean "manganin"?
}

func ExampleAlloy_UncertainLaw() {
	a, err := thermal.FindAlloy("manganin")
	if err != nil {
		log.Fatal(err)
	}
	spool := a.UncertainLaw("spool 3") // once for a spool
	room := uncertainty.Input("room", uncertainty.Rectangular(23, 2))
	b, err := uncertainty.Evaluate(spool.RatioOf(room))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm, u = %.0f ppm\n", (b.Estimate-1)*1e6, b.StandardUncertainty*1e6)
	// Output: -2 ppm, u = 17 ppm
}

func ExamplePublishedCoefficients() {
	for p := range thermal.PublishedCoefficients("nickel silver") {
		fmt.Printf("%s at %s °C: %s\n", p.Alpha, p.AlphaAt, p.Source)
	}
	// Output:
	// 0.000273 at 15 °C: Encyclopaedia Britannica, 11th ed., vol. 6 (1910), Conduction, Electric
	// 0.00029 at 20 °C: Cyclopedia of Telephony and Telegraphy vol. 1 (1911-12)
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

func ExampleToleranceClass_Tolerance() {
	for _, class := range []thermal.ToleranceClass{thermal.ClassAA, thermal.ClassA, thermal.ClassB} {
		k, err := class.Tolerance(100)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: ±%.2f K at 100 °C\n", class, k)
	}
	// Output:
	// AA: ±0.27 K at 100 °C
	// A: ±0.35 K at 100 °C
	// B: ±0.80 K at 100 °C
}

func ExampleElement_Steady() {
	step := thermal.Element{Resistance: 1000, Law: thermal.NewLaw(20, 15e-6, 0), ThermalResistance: 60}
	p, err := step.Steady(20, thermal.Current(0.010))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f K warmer, %+.0f ppm\n", p.Rise, (p.Resistance/1000-1)*1e6)

	wire := thermal.Element{Resistance: 1, Law: thermal.CopperConductor(), ThermalResistance: 100}
	_, err = wire.Steady(20, thermal.Current(2))
	fmt.Println(errors.Is(err, thermal.ErrRunaway))
	// Output:
	// 6.00 K warmer, +90 ppm
	// true
}

func ExampleUncertainElement_RiseOf() {
	step := thermal.UncertainElement{
		Resistance:        uncertainty.Exact(1000),
		Law:               thermal.ExactLaw(thermal.NewLaw(20, 15e-6, 0)),
		ThermalResistance: uncertainty.Input("K/W", uncertainty.Rectangular(60, 20)),
	}
	room := uncertainty.Exact(20)
	rise := step.RiseOf(room, uncertainty.Exact(0.010))
	warm := step.Resistance.Mul(step.Law.RatioOf(room.Add(rise)))
	b, err := uncertainty.Evaluate(warm)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, u = %.3f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 1000.090 Ω, u = 0.017 Ω
}

func ExampleZeroPower() {
	r0, err := thermal.ZeroPower(1.00000210, 0.1, 1.00000690, 0.2)
	if err != nil {
		log.Fatal(err)
	}
	k, err := thermal.PowerCoefficient(1.00000210, 0.1, 1.00000690, 0.2)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.8f Ω without power, %.0f ppm/W\n", r0, k*1e6)
	// Output: 1.00000050 Ω without power, 160 ppm/W
}

func ExampleTransient_SettlingTime() {
	// A step of 6 K at 15 ppm/K: 90 ppm, of which one third is slow.
	t := thermal.TwoTimeConstants(2./3, 40, 600)
	s, err := t.SettlingTime(90, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f min to within 1 ppm\n", s/60)
	// Output: 34 min to within 1 ppm
}

func ExampleDerating_Power() {
	d := thermal.Derating{Rated: 0.5, Full: 40, Zero: 120}
	p, err := d.Power(60)
	if err != nil {
		log.Fatal(err)
	}
	i, err := thermal.RatedCurrent(p, 100)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f W at 60 °C, %.1f mA in 100 Ω\n", p, i*1e3)
	// Output: 0.375 W at 60 °C, 61.2 mA in 100 Ω
}

func ExampleConstantanEMF() {
	// Terminals of a constantan resistor at 24 °C and 25 °C, read with 10 mA.
	warm, err := thermal.ConstantanEMF(25)
	if err != nil {
		log.Fatal(err)
	}
	cold, err := thermal.ConstantanEMF(24)
	if err != nil {
		log.Fatal(err)
	}
	e, err := thermal.EMFError(warm-cold, 0.010)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f µV, %.2f mΩ\n", (warm-cold)*1e6, e*1e3)
	// Output: 40.6 µV, 4.06 mΩ
}

func ExampleFindEMF() {
	e, err := thermal.FindEMF("brass")
	if err != nil {
		log.Fatal(err)
	}
	v, err := e.Largest(0.2) // posts that differ by 0.2 K
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("up to %.1f µV\n", v*1e6)
	// Output: up to 0.6 µV
}

func ExampleCurrentReversal() {
	r, emf, err := thermal.CurrentReversal(0.001, 0.100021, -0.099983, 0.100025)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, EMF %.1f µV\n", r, emf*1e6)
	// Output: 100.003 Ω, EMF 20.0 µV
}
