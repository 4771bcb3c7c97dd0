// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"strings"

	"example.com/ohmwright/decade/verify"
)

// shiftedTable is of a sound dial, read with a meter that shows 0.3 % too much.
const shiftedTable = "setting, value\n0, 0.020\n1, 100.320\n2, 200.620\n3, 300.920"

// What all steps have in common comes before any of them. Here one dial was read on one
// range: the two cannot be told apart, and a known resistor can.
func ExampleCommon() {
	for _, c := range judged(shiftedTable).Common {
		if c.Rules {
			fmt.Println(c)
		}
	}
	// Output:
	// Readings on range 1 kΩ deviate by +0.3 % in common, U = 130 ppm. The meter can explain ±110 ppm, the temperature ±0, the class of the box ±0.1 %. The same readings are those of the ×100 dial. That is more than chance.
}

func ExampleCommonScope() {
	for _, c := range judged(soundTable).Common {
		fmt.Printf("%v: %d steps, %+.0f ppm ± %.0f ppm\n", c.Scope, c.Values, 1e6*c.Shift, 1e6*c.U)
	}
	// Output:
	// all: 3 steps, +38 ppm ± 125 ppm
	// range: 3 steps, +38 ppm ± 125 ppm
	// dial: 3 steps, +38 ppm ± 125 ppm
}

// A known resistor in the table of readings: the report says what the meter was off by, and
// the readings are corrected by it.
func ExampleKnown() {
	table := strings.ReplaceAll(shiftedTable, "\n", ",,,\n") + ",,,\n,200.600,standard 200 Ω,200.0004,0.0020"
	table = strings.Replace(table, "setting, value,,,", "setting, value, standard, standard value, standard U", 1)
	report := judged(table)
	fmt.Println(report.MeterErrors[0])
	for _, row := range report.Rows[1:] {
		fmt.Printf("%v: %s, %v\n", row.Setting, row.Budget().PlusMinus(2), row.Verdict)
	}
	// Output:
	// Range 1 kΩ reads standard 200 Ω high by 0.6 Ω at 201 Ω, U = 2.04 mΩ, where its limits are ±24.1 mΩ: outside its limits. The readings of the range are corrected by it.
	// 1: (-0.02 ± 0.24) Ω, cannot be decided
	// 2: (0.02 ± 0.19) Ω, cannot be decided
	// 3: (0.07 ± 0.27) Ω, cannot be decided
}

func ExampleMeterError() {
	m := verify.MeterError{Standard: "standard 1 kΩ", Range: "1 kΩ", Reading: 1000.02, Error: 0.02,
		U: 0.004, Limit: 0.038}
	fmt.Println(m)
	// Output:
	// Range 1 kΩ reads standard 1 kΩ high by 20 mΩ at 1 kΩ, U = 4 mΩ, where its limits are ±38 mΩ. The readings of the range are corrected by it.
}

func ExampleMeterError_Outside() {
	m := verify.MeterError{Error: 0.3, U: 0.001, Limit: 0.0025}
	fmt.Println(m.Outside())
	// Output:
	// true
}

// Two settings close to their limits are one piece of evidence where the gain of the meter
// rules both.
func ExampleSharedError() {
	s := verify.SharedError{Range: "100 Ω", Settings: []string{"8-0", "9-0"}, Correlation: 0.97}
	fmt.Println(s)
	// Output:
	// The results at 8-0, 9-0 share the errors of range 100 Ω (correlation 0.97): they are not independent evidence.
}

// Where a known resistor tells the meter from the rest.
func ExampleCommon_Ranges() {
	for _, c := range judged(shiftedTable).Common {
		if c.Rules {
			fmt.Println(c.Ranges())
		}
	}
	// Output:
	// [1 kΩ]
}
