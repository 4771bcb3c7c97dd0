// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
	"time"

	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// A meter as its specification and its certificate describe it.
func ExampleMeter() {
	meter := &verify.Meter{
		Name: "bench meter", Serial: "M-1", Specification: "1 year, 23 °C ± 5 °C",
		Wiring: verify.WiringFourWire, OffsetCompensated: true,
		Ranges: []verify.Range{
			{Name: "100 Ω", FullScale: 100, OverRange: 1.2, OfReading: 1e-4, OfRange: 4e-5, Resolution: 1e-4},
			{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 1e-4, OfRange: 1e-5, Resolution: 1e-3},
		},
	}
	if err := meter.Check(); err != nil {
		log.Fatal(err)
	}
	for _, r := range meter.Ranges {
		fmt.Printf("100 Ω on %s: ±%.0f mΩ\n", r.Name, 1e3*r.Limit(100, 0))
	}
	// Output:
	// 100 Ω on 100 Ω: ±14 mΩ
	// 100 Ω on 1 kΩ: ±20 mΩ
}

// Per cent that were taken for a fraction are found before anything is measured.
func ExampleMeter_Check() {
	meter := newMeter()
	meter.Ranges[0].OfReading = 1.5
	fmt.Println(meter.Check())
	// Output:
	// verify.Meter: ranges[0] "1 kΩ": limit of error of 1.5, that is 150 %; expected a fraction of at most 0.2 (write "0.01 %" or 0.0001)
}

func ExampleMeter_MarshalJSON() {
	text, err := json.MarshalIndent(newMeter(), "", "  ")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(string(text))
	// Output:
	// {
	//   "name": "bench meter",
	//   "wiring": "four-wire",
	//   "offsetCompensated": true,
	//   "ranges": [
	//     {
	//       "name": "1 kΩ",
	//       "fullScale": "1 kΩ",
	//       "ofReading": "0.01 %",
	//       "ofRange": "4 ppm",
	//       "resolution": "1 mΩ"
	//     }
	//   ]
	// }
}

// A 6½-digit meter outside its band: 3 K too warm adds a fifth.
func ExampleRange() {
	r := verify.Range{Name: "10 kΩ", FullScale: 10e3, OfReading: 50e-6, OfRange: 10e-6,
		OfReadingPerKelvin: 3e-6, OfRangePerKelvin: 1e-6}
	fmt.Printf("±%.2f Ω in the band, ±%.2f Ω 3 K outside\n", r.Limit(10e3, 0), r.Limit(10e3, 3))
	// Output:
	// ±0.60 Ω in the band, ±0.72 Ω 3 K outside
}

// JCGM 100:2008, 4.3.7, example 2: ±(14·10⁻⁶ of reading + 2·10⁻⁶ of range), here of a
// reading of 0.928 571 on a range of 1.
func ExampleRange_Limit() {
	r := verify.Range{FullScale: 1, OfReading: 14e-6, OfRange: 2e-6}
	fmt.Printf("±%.0fe-6\n", 1e6*r.Limit(0.928571, 0))
	// Output:
	// ±15e-6
}

// Of the range part of 8 mΩ a quarter is taken for what is another at every value, since
// the specification does not say.
func ExampleRange_LinearityLimit() {
	r := verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 3e-5, OfRange: 8e-6, Resolution: 1e-3}
	e, assumed := r.LinearityLimit()
	fmt.Println(r)
	fmt.Printf("±%.0f mΩ, assumed: %v\n", 1e3*e, assumed)
	r.Linearity = 1e-3
	e, assumed = r.LinearityLimit()
	fmt.Printf("±%.0f mΩ, assumed: %v\n", 1e3*e, assumed)
	// Output:
	// ±(30 ppm of reading + 8 ppm of range), one limit
	// ±2 mΩ, assumed: true
	// ±1 mΩ, assumed: false
}

func ExampleRange_RangePart() {
	r := verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 3e-5, Digits: 3, Resolution: 1e-3}
	fmt.Printf("±%.0f mΩ\n", 1e3*r.RangePart())
	// Output:
	// ±3 mΩ
}

func ExampleRange_String() {
	fmt.Println(verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 3e-5, OfRange: 8e-6, K: 2,
		Combine: verify.CombineTwoLimits})
	// Output:
	// ±(30 ppm of reading + 8 ppm of range), k = 2, two limits
}

// How the parts of a limit combine decides what cancels between readings, not what one
// reading is worth.
func ExampleCombination() {
	box := newDial()
	s, _ := box.At(1)
	readings := []verify.Reading{{Setting: s, Values: []float64{100.026}}, {Setting: s, Values: []float64{100.026}}}
	for c := verify.CombineOneLimit; c <= verify.CombineIndependent; c++ {
		meter := newMeter()
		meter.Ranges[0].Combine = c
		report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
		if err != nil {
			log.Fatal(err)
		}
		one, _ := uncertainty.Evaluate(report.Rows[0].Measured)
		difference, _ := uncertainty.Evaluate(report.Rows[0].Measured.Sub(report.Rows[1].Measured))
		fmt.Printf("%-11v  u of one %.1f mΩ, of the difference of two %.1f mΩ\n", c,
			1e3*one.StandardUncertainty, 1e3*difference.StandardUncertainty)
	}
	// Output:
	// one limit    u of one 8.1 mΩ, of the difference of two 0.4 mΩ
	// two limits   u of one 6.2 mΩ, of the difference of two 0.4 mΩ
	// independent  u of one 8.1 mΩ, of the difference of two 11.4 mΩ
}

func ExampleCombination_String() {
	fmt.Println(verify.CombineOneLimit, "·", verify.CombineTwoLimits, "·", verify.CombineIndependent)
	// Output:
	// one limit · two limits · independent
}

func ExampleCombination_MarshalText() {
	text, err := verify.CombineTwoLimits.MarshalText()
	fmt.Println(string(text), err)
	// Output:
	// two limits <nil>
}

func ExampleCombination_UnmarshalText() {
	var c verify.Combination
	err := c.UnmarshalText([]byte("independent"))
	fmt.Println(c, err)
	// Output:
	// independent <nil>
}

// What a specification says of 24 hours belongs to one session; the rest of the year's
// limits is common to the sessions under one certificate.
func ExampleLimits() {
	r := verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 3e-5, OfRange: 8e-6,
		Resolution: 1e-3, ShortTerm: &verify.Limits{OfReading: 1e-5, Digits: 2}}
	meter := &verify.Meter{Wiring: verify.WiringFourWire, Ranges: []verify.Range{r}}
	fmt.Println(*r.ShortTerm, meter.Check())
	// Output:
	// ±(10 ppm of reading + 2 digits) <nil>
}

func ExampleLimits_String() {
	fmt.Println(verify.Limits{OfReading: 1e-4})
	fmt.Println(verify.Limits{OfReading: 1e-4, OfRange: 5e-6, Digits: 1})
	fmt.Println(verify.Limits{})
	// Output:
	// ±0.01 % of reading
	// ±(0.01 % of reading + 5 ppm of range + 1 digit)
	// no limit
}

func ExampleLimits_IsZero() {
	fmt.Println(verify.Limits{}.IsZero(), verify.Limits{Digits: 1}.IsZero())
	// Output:
	// true false
}

// A range whose certificate says what it was off by: readings between the points are
// corrected, and on the day of the certificate its uncertainty takes the place of the
// limits.
func ExampleRangeCalibration() {
	box := newDial()
	s, _ := box.At(1)
	day := time.Date(2026, 3, 17, 0, 0, 0, 0, time.UTC)
	meter := newMeter()
	meter.Ranges[0].Calibration = &verify.RangeCalibration{Date: day,
		Stability: &verify.Limits{OfReading: 2e-5}, Points: []verify.CalibrationPoint{
			{Reading: 0, Error: 0.001, U: 0.001},
			{Reading: 100, Error: 0.004, U: 0.002},
			{Reading: 1000, Error: 0.030, U: 0.015},
		}}
	for _, at := range []time.Time{day, day.AddDate(0, 3, 0)} {
		readings := []verify.Reading{{Setting: s, Values: []float64{100.026}, Time: at}}
		report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
		if err != nil {
			log.Fatal(err)
		}
		b, _ := uncertainty.Evaluate(report.Rows[0].Measured)
		fmt.Printf("%s: %s\n", at.Format(time.DateOnly), b.PlusMinus(2))
	}
	// Output:
	// 2026-03-17: (100.0220 ± 0.0020) Ω
	// 2026-06-17: (100.0220 ± 0.0030) Ω
}

func ExampleCalibrationPoint() {
	p := verify.CalibrationPoint{Reading: 100, Error: 0.004, U: 0.002}
	fmt.Printf("reads %.0f mΩ high at %v Ω\n", 1e3*p.Error, p.Reading)
	// Output:
	// reads 4 mΩ high at 100 Ω
}

func ExampleRange_Reach() {
	for _, r := range []verify.Range{{FullScale: 1000}, {FullScale: 1000, OverRange: 1.2}} {
		fmt.Println(r.Reach(), "Ω")
	}
	// Output:
	// 1000 Ω
	// 1200 Ω
}

// Two wires: the resistance of the leads is subtracted, its tolerance is in the result.
func ExampleLeads() {
	box := newDial()
	s, _ := box.At(1)
	meter := newMeter()
	meter.Wiring, meter.Leads = verify.WiringTwoWire, verify.Leads{Resistance: 0.31, Tolerance: 0.05}
	report, err := verify.Evaluate(box, meter,
		[]verify.Reading{{Setting: s, Values: []float64{100.335}}}, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω at the terminals\n", report.Rows[0].Measured.Estimate())
	// Output:
	// 100.025 Ω at the terminals
}

// A null with the box at zero takes the residual out with the leads.
func ExampleNull() {
	box := newDial()
	s, _ := box.At(1)
	for _, null := range []verify.Null{verify.NullLeadsJoined, verify.NullBoxAtZero} {
		meter := newMeter()
		meter.Wiring, meter.Leads = verify.WiringTwoWire, verify.Leads{Null: null, NullTolerance: 0.002}
		report, err := verify.Evaluate(box, meter,
			[]verify.Reading{{Setting: s, Values: []float64{100.025}}}, conformity.Guarded(1))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: deviation %+.3f Ω\n", null, report.Rows[0].Deviation.Estimate())
	}
	// Output:
	// leads joined: deviation +0.005 Ω
	// box at zero: deviation +0.025 Ω
}

// How the meter is connected decides whether its leads count.
func ExampleWiring() {
	for _, w := range []verify.Wiring{verify.WiringNotStated, verify.WiringTwoWire, verify.WiringFourWire} {
		fmt.Println(w)
	}
	// Output:
	// not stated
	// two-wire
	// four-wire
}

// Three values of one dialling, and the same with the current reversed: their mean is
// free of thermal EMFs.
func ExampleReading() {
	box := newDial()
	s, _ := box.At(1)
	reading := verify.Reading{Setting: s, Values: []float64{100.031, 100.032, 100.030},
		Reversed: []float64{100.020, 100.021, 100.019}}
	report, err := verify.Evaluate(box, newMeter(), []verify.Reading{reading}, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: %.4f Ω\n", s, report.Rows[0].Measured.Estimate())
	// Output:
	// 1: 100.0255 Ω
}

// Readings taken by a program, as the table that Read reads.
func ExampleWriteReadings() {
	box := newDial()
	s, _ := box.At(1)
	err := verify.WriteReadings(os.Stdout, []verify.Reading{
		{Setting: box.Zero(), Values: []float64{0.021, 0.022}},
		{Setting: s, Values: []float64{100.026, 100.026}},
	})
	if err != nil {
		log.Fatal(err)
	}
	// Output:
	// setting,dialling,value 1 (Ω),value 2 (Ω)
	// 0,1,0.021,0.022
	// 1,1,100.026,100.026
}

// The name of a dialling in budgets and messages.
func ExampleReading_Label() {
	s, err := newDial().At(2)
	if err != nil {
		log.Fatal(err)
	}
	reading := verify.Reading{Setting: s, Dialling: 2, Stage: verify.StageAsLeft}
	fmt.Println(reading.Label())
	// Output:
	// 2 (dialling 2) as left
}
