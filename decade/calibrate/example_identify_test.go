// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
)

// plateless are invented readings of a box with two dials and no plate: six equal steps, and
// four positions of which the third is 30 mΩ high.
const plateless = `setting,value
0-0,0.0121
1-0,10.0145
2-0,20.0163
3-0,30.0171
4-0,40.0208
5-0,50.0221
6-0,60.0240
0-1,1.0124
0-2,2.0127
0-3,3.0431
0-4,4.0132
6-4,64.0251
`

// identify identifies them.
func identify() *calibrate.Identification {
	readings, err := verify.ReadUnidentified(strings.NewReader(plateless))
	if err != nil {
		log.Fatal(err)
	}
	meter, err := verify.ReadMeter(strings.NewReader(`{"name": "bench meter", "wiring": "four-wire", "offsetCompensated": true,
		"ranges": [{"name": "100 Ω", "fullScale": "100 Ω", "overRange": 1.2, "ofReading": "0.008 %", "ofRange": "0.004 %", "resolution": "0.1 mΩ"}]}`))
	if err != nil {
		log.Fatal(err)
	}
	id, err := calibrate.Identify(readings, meter)
	if err != nil {
		log.Fatal(err)
	}
	return id
}

// From readings to a box that has a step, a class and a residual.
func ExampleIdentify() {
	id := identify()
	fmt.Println(id)
	for _, d := range id.Box.Decades() {
		fmt.Printf("%v: 0 to %d, tolerance %v\n", d.Name, d.Positions, d.Tolerance)
	}
	// Output:
	// 2 dials (×10 Ω, ×1 Ω), residual 12.1 mΩ; 1 doubt
	// ×10 Ω: 0 to 6, tolerance 0.001
	// ×1 Ω: 0 to 4, tolerance 0.02
}

func ExampleIdentifiedDial() {
	for _, d := range identify().Dials {
		fmt.Printf("%s, %d positions read, %d off: %s Ω a step, %s\n", d.Name, d.Read, d.Off,
			fmt.Sprintf("%.4g", d.Shown), d.Code)
	}
	// Output:
	// ×10 Ω, 6 positions read, 0 off: 10 Ω a step, equal steps
	// ×1 Ω, 4 positions read, 0 off: 1 Ω a step, equal steps
}

func ExampleIdentification() {
	for _, doubt := range identify().Doubts {
		fmt.Println(doubt)
	}
	// Output:
	// The readings do not show for ×10 Ω, ×1 Ω whether the steps are equal or of a code with fewer resistors. Count the resistors before the box file is used for a diagnosis; limits and settings do not depend on it.
}

func ExampleIdentification_WriteText() {
	if err := identify().WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// Box            2 dials (×10 Ω, ×1 Ω), residual 12.1 mΩ; 1 doubt
	//
	// In doubt
	//   - The readings do not show for ×10 Ω, ×1 Ω whether the steps are equal or of a code with fewer
	//     resistors. Count the resistors before the box file is used for a diagnosis; limits and settings
	//     do not depend on it.
	//
	// What was found
	// Dial  Positions  Step  Added by a step  Code          Class met  Read  Off
	// 1     1 to 6     10 Ω  10 Ω             equal steps?  0.1 %      6     0
	// 2     1 to 4     1 Ω   1 Ω              equal steps?  2 %        4     0
	//
	// Residual
	//   - With all dials at zero 0.0121 Ω, U(95 %) = 0.0045 Ω.
}
