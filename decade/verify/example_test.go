// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"log"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// A box of two dials, a meter, readings as they come from the bench: what is wrong?
func Example() {
	box, err := decade.New(decade.Spec{Name: "two dials", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{
			{Name: "100 Ω", Step: 100, Positions: 4, Tolerance: 0.001},
			{Name: "10 Ω", Step: 10, Positions: 4, Tolerance: 0.001},
		}})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire,
		OffsetCompensated: true, Ranges: []verify.Range{
			{Name: "100 Ω", FullScale: 100, OverRange: 1.2, OfReading: 0.0001, OfRange: 0.00001, Resolution: 0.0001},
			{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 0.0001, OfRange: 0.00001, Resolution: 0.001},
		}}
	readings, err := verify.ReadReadings(strings.NewReader(`
setting; value (Ω)
0-0;     0,0210
1-0;   100,031
2-0;   202,440
3-0;   302,452
4-0;   402,460
0-1;    10,0222
0-2;    20,0241
0-3;    30,0239
0-4;    40,0250
`), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(report.Summary(verify.StageAsFound))
	for _, finding := range report.Findings {
		fmt.Println(finding)
	}
	for _, row := range report.Rows[:3] {
		fmt.Printf("%v: %s, limits ±%.3g Ω: %v\n", row.Setting, row.Budget().PlusMinus(2),
			row.Limits.Upper, row.Verdict)
	}
	// Output:
	// 9 settings: 6 conform, 3 do not conform
	// The step from position 1 to 2 of the 100 Ω dial is high by 2.41 Ω, 2.41 % of it, U = 36.4 mΩ; its class allows 0.1 Ω. Positions 2 to 4 show it. The range changes there, from 100 Ω to 1 kΩ: read both positions on one range.
	// 0-0: (0.0210 ± 0.0011) Ω, limits ±0.03 Ω: conforms
	// 1-0: (0.010 ± 0.012) Ω, limits ±0.1 Ω: conforms
	// 2-0: (2.419 ± 0.034) Ω, limits ±0.2 Ω: does not conform
}

// Readings as people write them: a head that names the columns, OL for above range.
func ExampleReadReadings() {
	box, err := decade.New(decade.Spec{Name: "one dial", Decades: []decade.Decade{{Step: 1000}}})
	if err != nil {
		log.Fatal(err)
	}
	readings, err := verify.ReadReadings(strings.NewReader(`
nominal, value 1 (kΩ), value 2 (kΩ), temperature (°C)
1 kΩ,    1.00012,      1.00013,      22.8
2 kΩ,    OL,           ,             22.8
`), box)
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range readings {
		fmt.Println(r.Setting, r.Values, r.Overload, *r.Temperature)
	}
	_, err = verify.ReadReadings(strings.NewReader("setting,value\n1,abc\n"), box)
	fmt.Println(err)
	// Output:
	// 1 [1000.12 1000.13] false 22.8
	// 2 [] true 22.8
	// verify.ReadReadings: line 2: column "value": "abc"; expected a number, or an empty cell where there is none
}

// What a maker's specification says, as a file.
func ExampleReadMeter() {
	meter, err := verify.ReadMeter(strings.NewReader(`{
		"name": "bench meter", "wiring": "two-wire",
		"leads": {"resistance": "0.31 Ω", "tolerance": "50 mΩ"},
		"ranges": [{"name": "1 kΩ", "fullScale": "1 kΩ", "ofReading": "0.01 %", "ofRange": "0.004 %", "resolution": "10 mΩ"}]
	}`))
	if err != nil {
		log.Fatal(err)
	}
	r := meter.Ranges[0]
	fmt.Printf("%s: ±%.3g Ω at 500 Ω\n", r.Name, r.Limit(500, 0))
	// Output:
	// 1 kΩ: ±0.09 Ω at 500 Ω
}
