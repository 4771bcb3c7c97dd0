// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"encoding/json"
	"fmt"
	"log"

	"example.com/ohmwright/decade/verify"
)

func ExampleReading_MarshalJSON() {
	setting, err := newDial().At(2)
	if err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(verify.Reading{Setting: setting, Values: []float64{200.031}, Range: "1 kΩ"})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s\n", text)
	// Output:
	// {"setting":"2","values":[200.031],"range":"1 kΩ","stage":"as found"}
}

// The box says what the positions mean.
func ExampleReading_UnmarshalJSON() {
	reading := verify.Reading{Setting: newDial().Zero()}
	if err := json.Unmarshal([]byte(`{"setting": "2", "values": [200.031], "stage": "as found"}`),
		&reading); err != nil {
		log.Fatal(err)
	}
	fmt.Println(reading.Setting.Nominal(), reading.Values)
	// Output:
	// 200 [200.031]
}
