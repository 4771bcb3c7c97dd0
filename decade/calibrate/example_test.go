// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"errors"
	"fmt"
	"log"
	"os"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// twoDials is a box of two dials with a reading of each setting that its minimal plan
// asks for, a closure setting, and zero again.
func twoDials() (*decade.Box, *verify.Report) {
	box, err := decade.New(decade.Spec{Name: "two dials", Serial: "8", Residual: 0.02,
		ResidualTolerance: 0.01, Decades: []decade.Decade{
			{Name: "×10", Step: 10, Positions: 2, Tolerance: 0.001},
			{Name: "×1", Step: 1, Positions: 10, Code: decade.Code1225(), Tolerance: 0.002},
		}})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Name: "bench meter", Serial: "M1", Wiring: verify.WiringFourWire,
		OffsetCompensated: true, Ranges: []verify.Range{
			{Name: "100 Ω", FullScale: 100, OfReading: 1e-4, OfRange: 5e-6, K: 2, Resolution: 1e-4},
		}}
	readings, err := verify.ReadReadings(strings.NewReader(`
setting, value (Ω), session, time
0-0,      0.0213,   2026,    2026-03-02
1-0,     10.0251,   2026,    2026-03-02
2-0,     20.0312,   2026,    2026-03-02
0-1,      1.0220,   2026,    2026-03-02
0-2,      2.0225,   2026,    2026-03-02
0-4,      4.0231,   2026,    2026-03-02
0-5,      5.0190,   2026,    2026-03-02
0-10,    10.0215,   2026,    2026-03-02
2-10,    30.0313,   2026,    2026-03-02
0-0,      0.0213,   2026,    2026-03-02
`), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	return box, report
}

// From readings to a box that answers with measured values.
func Example() {
	box, report := twoDials()
	calibration, err := calibrate.NewCalibration(report, "two dials 8, 2026-03-02")
	if err != nil {
		log.Fatal(err)
	}
	measured, err := box.With(calibration)
	if err != nil {
		log.Fatal(err)
	}
	s, err := measured.SettingFor(17)
	if err != nil {
		log.Fatal(err)
	}
	budget, err := uncertainty.Evaluate(s.Resistance())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(s, budget.PlusMinus(2))
	// Output:
	// 1-7 (17.0238 ± 0.0018) Ω
}

// The residual and the elements that the readings give together.
func ExampleNewCalibration() {
	_, report := twoDials()
	calibration, err := calibrate.NewCalibration(report, "two dials 8, 2026-03-02")
	if err != nil {
		log.Fatal(err)
	}
	for _, q := range calibration.Values.Quantities {
		fmt.Printf("%s %.4f Ω\n", q.Name(), q.Estimate())
	}
	// Output:
	// residual 0.0213 Ω
	// ×10 element 1 10.0037 Ω
	// ×10 element 2 10.0061 Ω
	// ×1 element 1 1.0007 Ω
	// ×1 element 2 2.0012 Ω
	// ×1 element 3 2.0006 Ω
	// ×1 element 4 4.9976 Ω
}

// How well the readings agree, and what an element measures.
func ExampleNewFit() {
	_, report := twoDials()
	fit, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(fit)
	budget, err := uncertainty.Evaluate(fit.Elements[1][3])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(fit.Elements[1][3].Name(), budget.PlusMinus(2))
	// Output:
	// 6 elements and the residual from 10 readings as found: chi-squared 0.228 with 3 degrees of freedom, probability 0.97
	// ×1 element 4 (4.99765 ± 0.00052) Ω
}

// The table of a certificate.
func ExampleDeviations() {
	box, report := twoDials()
	calibration, err := calibrate.NewCalibration(report, "two dials 8, 2026-03-02")
	if err != nil {
		log.Fatal(err)
	}
	measured, err := box.With(calibration)
	if err != nil {
		log.Fatal(err)
	}
	table, err := calibrate.Deviations(measured, 0.95)
	if err != nil {
		log.Fatal(err)
	}
	if err := table.WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// Box: two dials, serial 8
	// Record: two dials 8, 2026-03-02
	// Date: 2026-03-02
	// Residual, all dials at zero: 21.29 ± 0.49 mΩ
	// Values are above the zero setting: the residual is not in them. Deviation is measured minus nominal, at reference conditions, without switching variation.
	// U has a coverage probability of 95 %.
	//
	// Dial ×10
	// Position  Nominal/Ω  Value/Ω  Deviation/mΩ  U/mΩ  Deviation/ppm  U/ppm  Class/mΩ
	// 1         10         10.0037  +3.7          1.0   +370           100    ±10
	// 2         20         20.0098  +9.8          2.0   +490           100    ±20
	//
	// Dial ×1
	// Position  Nominal/Ω  Value/Ω  Deviation/mΩ  U/mΩ  Deviation/ppm  U/ppm  Class/mΩ
	// 1         1          1.00069  +0.69         0.15  +690           150    ±2
	// 2         2          2.00116  +1.16         0.26  +580           130    ±4
	// 3         3          3.00185  +1.85         0.36  +620           120    ±6
	// 4         4          4.00175  +1.75         0.42  +440           110    ±8
	// 5         5          4.99765  -2.35         0.52  -470           100    ±10
	// 6         6          5.99833  -1.67         0.62  -280           100    ±12
	// 7         7          6.99881  -1.19         0.74  -170           110    ±14
	// 8         8          7.99950  -0.50         0.84  -60            100    ±16
	// 9         9          8.99940  -0.60         0.92  -70            100    ±18
	// 10        10         10.0001  +0.1          1.0   +10            100    ±20
}

// Two calibrations of one box, and what they say about the future.
func ExampleNewDrift() {
	box, report := twoDials()
	first, err := calibrate.NewCalibration(report, "two dials 8, 2026-03-02")
	if err != nil {
		log.Fatal(err)
	}
	// Readings of the next year in another session of the meter: all 400 ppm higher.
	var readings []verify.Reading
	for _, row := range report.Rows {
		rd := row.Reading
		rd.Session, rd.Time = "2027", rd.Time.AddDate(1, 0, 0)
		rd.Values = []float64{rd.Values[0] * 1.0004}
		readings = append(readings, rd)
	}
	next, err := verify.Evaluate(box, &report.Meter, readings, report.Rule)
	if err != nil {
		log.Fatal(err)
	}
	second, err := calibrate.NewCalibration(next, "two dials 8, 2027-03-02")
	if err != nil {
		log.Fatal(err)
	}
	drift, err := calibrate.NewDrift(box, first, second)
	if err != nil {
		log.Fatal(err)
	}
	line := drift.Lines[1]
	rate, err := uncertainty.Evaluate(line.Rate)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(line.Name, "changes by", rate.PlusMinus(2))
	s, err := box.At(2, 0)
	if err != nil {
		log.Fatal(err)
	}
	due, ok, err := drift.Due(s, 0.95)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(s, "is inside its class with 95 % until", due.Format(time.DateOnly), ok)
	// Output:
	// ×10 element 1 changes by (0.0040 ± 0.0014) Ω/year
	// 2-0 is inside its class with 95 % until 2027-03-23 true
}

// What was refused, as values for a program.
func ExampleError() {
	_, report := twoDials()
	_, err := calibrate.NewFit(report, verify.StageAsLeft)
	if e, ok := errors.AsType[*calibrate.Error](err); ok {
		fmt.Println("refused by", e.Op, "for", e.Name)
	}
	fmt.Println("undetermined:", errors.Is(err, calibrate.ErrUndetermined))
	// Output:
	// refused by calibrate.NewFit for as left
	// undetermined: true
}
