// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log"

	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// What to do next comes with the caution of the act.
func ExampleStep() {
	d, err := fault.Diagnose(context.Background(), readDial(0.02, 100.02, 200.03, 300.52))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(d.Next.Text)
	for _, caution := range d.Next.Cautions {
		fmt.Println("-", caution)
	}
	// Output:
	// Turn every dial away and back to 3 and read it again: a second dialling separates a resistor from a contact and from a recording error.
	// - Disconnect the box from everything and discharge it first.
	// - Keep the test current within the rating of the smallest dial in use.
	// - Local codes and licensed practice come first.
}

// Text and cautions together.
func ExampleStep_String() {
	step := fault.Step{Text: "Read a known resistor.", Cautions: []string{"Local codes and licensed practice come first."}}
	fmt.Println(step)
	// Output:
	// Read a known resistor. Local codes and licensed practice come first.
}

// An automatic switch can do what ends in a reading; a person does the rest.
func ExampleAct() {
	d, err := fault.Diagnose(context.Background(), readDial(0.02, 100.02, 200.03, 300.52))
	if err != nil {
		log.Fatal(err)
	}
	switch d.Next.Act {
	case fault.ActDial, fault.ActDialAgain:
		fmt.Println("set the dials to", d.Next.Setting)
	default:
		fmt.Println("call somebody:", d.Next.Text)
	}
	// Output:
	// set the dials to 3
}

func ExampleAct_IsReading() {
	for _, act := range []fault.Act{fault.ActNothing, fault.ActDialAgain, fault.ActKnownResistor, fault.ActOpen} {
		fmt.Println(act, act.IsReading())
	}
	// Output:
	// nothing false
	// dial it again true
	// read a known resistor true
	// open and look false
}

// A step that reads high by half a per cent.
func ExampleRepair() {
	d, err := fault.Diagnose(context.Background(), readDial(0.02, 100.02, 200.03, 300.02, 400.52, 500.52, 600.53, 700.52, 800.53, 900.52, 1000.53))
	if err != nil {
		log.Fatal(err)
	}
	repair := d.Causes[0].Repair
	for _, step := range repair.Steps {
		fmt.Println("-", step)
	}
	fmt.Println(repair.After)
	// Output:
	// - Look at element 4 of ×100 Ω, between positions 3 and 4, and at its joints; resolder a dull or cracked one (heat clip between joint and body, less than 3 s), and read again when it is cold.
	// - A trimming resistor of about 20 kΩ that came off it would read like this: look for a loose wire. If there never was one, 20 kΩ in parallel brings the element back to its value.
	// - Otherwise replace it: 100 Ω, within 0.05 % (its class), rated as the old one, with the temperature coefficient of its neighbours (same material); age and trim it before it goes in, and note on the box what differs.
	// Afterwards read, as left, positions 3, 4 and 10 of ×100 Ω and all dials at their highest positions, cold after an hour, and again after a day if anything was soldered.
}

func ExampleRepair_String() {
	repair := fault.Repair{Steps: []string{"Loosen the knob.", "Turn it back."}, After: "Read zero.", Cautions: []string{"Disconnect the box first."}}
	fmt.Println(repair)
	// Output:
	// 1. Loosen the knob. 2. Turn it back. Read zero. Disconnect the box first.
}

// A diagnosis is kept beside the readings, and read back by another program.
func ExampleDiagnosis_MarshalJSON() {
	d, err := fault.Diagnose(context.Background(), dirty())
	if err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(d)
	if err != nil {
		log.Fatal(err)
	}
	var keys map[string]any
	if err := json.Unmarshal(text, &keys); err != nil {
		log.Fatal(err)
	}
	fmt.Println(keys["healthy"], keys["next"].(map[string]any)["act"])
	// Output:
	// false clean and exercise
}

func ExampleDiagnosis_UnmarshalJSON() {
	d, err := fault.Diagnose(context.Background(), dirty())
	if err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(d)
	if err != nil {
		log.Fatal(err)
	}
	var again fault.Diagnosis
	if err := json.Unmarshal(text, &again); err != nil {
		log.Fatal(err)
	}
	fmt.Println(again.Causes[0].Faults[0].A.In(again.Box))
	// Output:
	// position 3 of ×100 Ω
}

// What a dialling twice differs by 6 Ω said: both polarities differ, which is no fault of
// the box.
func ExampleDiagnosis_WarningTexts() {
	report := sound()
	readings := make([]verify.Reading, len(report.Rows))
	for i, row := range report.Rows {
		readings[i] = row.Reading
	}
	readings[2].Reversed = []float64{200.93}
	report, err := verify.Evaluate(report.Box, exampleMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	d, err := fault.Diagnose(context.Background(), report)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range d.WarningTexts() {
		fmt.Println(w)
	}
	// Output:
	// Setting 2: readings of both polarities differ by -0.9 Ω: a thermal EMF or a galvanic film, not a resistor; their mean is used.
}

// A step of one's own plan, with the cautions of a reading.
func ExampleReading() {
	step := fault.Reading(fault.ActDial, sound().Box.Zero(), "Read zero once more at the end.")
	fmt.Println(step)
	// Output:
	// Read zero once more at the end. Disconnect the box from everything and discharge it first. Keep the test current within the rating of the smallest dial in use. Local codes and licensed practice come first.
}
