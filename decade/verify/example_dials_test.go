// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"log"
	"slices"
	"strings"
	"time"

	"example.com/ohmwright/decade"
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
2-10,    30.0310,   2026,    2026-03-02
0-0,      0.0214,   2026,    2026-03-02
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

// What has to be read, and how long it takes.
func ExampleNewPlan() {
	box, _ := twoDials()
	for _, extent := range []verify.Extent{verify.ExtentFull, verify.ExtentMinimal, verify.ExtentRecommended} {
		plan, err := verify.NewPlan(box, extent)
		if err != nil {
			log.Fatal(err)
		}
		atBench, err := plan.Duration(verify.Pace{Prepare: 30 * time.Minute})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v, %v\n%v\n", plan, atBench.Round(time.Minute), plan.Settings())
	}
	// Output:
	// full plan of "two dials": 14 readings, 7 degrees of freedom, 36m0s
	// [0-0 1-0 2-0 0-1 0-2 0-3 0-4 0-5 0-6 0-7 0-8 0-9 0-10 2-10]
	// minimal plan of "two dials": 7 readings, 0 degrees of freedom, 33m0s
	// [0-0 1-0 2-0 0-1 0-2 0-4 0-5]
	// recommended plan of "two dials": 14 readings, 7 degrees of freedom, 36m0s
	// [0-0 1-0 2-0 0-1 0-2 0-4 0-5 1-3 2-6 1-7 2-8 1-9 2-10 0-0]
}

// Which elements do readings at these settings tell?
func ExampleDetermine() {
	box, _ := twoDials()
	var settings []decade.Setting
	for _, text := range []string{"0-0", "1-0", "2-0", "0-1", "0-2", "0-9"} {
		s, err := box.ParseSetting(text)
		if err != nil {
			log.Fatal(err)
		}
		settings = append(settings, s)
	}
	d, err := verify.Determine(box, settings...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(d)
	// Output:
	// 2 of 7 elements and residual are undetermined; only together: ×1 element 3, ×1 element 4; to be read as well: 0-4
}

// A meter that is no better than the box, and one good resistor.
func ExampleReport_Substitute() {
	box, report := twoDials()
	meter := report.Meter
	meter.Ranges = slices.Clone(meter.Ranges)
	meter.Ranges[0].OfReading = 0.001 // 0.1 %, as the class of the box
	readings := []verify.Reading{report.Rows[0].Reading, report.Rows[1].Reading}
	report, err := verify.Evaluate(box, &meter, readings, report.Rule)
	if err != nil {
		log.Fatal(err)
	}
	standard := verify.Standard{
		Name: "standard 10 Ω",
		Value: uncertainty.Source{Name: "standard 10 Ω", Unit: "Ω", Note: "certificate",
			Distribution: uncertainty.Certificate(10.00012, 0.00005, 2)}.Input(),
		Reading: verify.Reading{Values: []float64{10.0031}},
	}
	corrected, err := report.Substitute(standard)
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range []*verify.Report{report, corrected} {
		fmt.Println(r.Rows[1].Setting, r.Rows[1].Budget().PlusMinus(2), r.Rows[1].Verdict)
	}
	// Output:
	// 1-0 (0.004 ± 0.010) Ω cannot be decided
	// 1-0 (0.00084 ± 0.00052) Ω conforms
}

// Ten steps of one dial against one of the next: the meter's gain cancels.
func ExampleReport_Comparisons() {
	_, report := twoDials()
	comparisons, err := report.Comparisons()
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range comparisons {
		fmt.Println(c)
	}
	// Output:
	// 1-0 reads +3.6 mΩ against 0-10, U = 520 µΩ: if 1-0 is inside its class (10 mΩ), so is 0-10 (20 mΩ).
}
