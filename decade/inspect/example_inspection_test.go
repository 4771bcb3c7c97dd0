// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// begin is the inspection of a box with one dial of 100 Ω steps, before the first reading.
func begin() *inspect.Inspection {
	r := exampleReport(0.02)
	in, err := inspect.NewInspection(r.Box, &r.Meter, conformity.Guarded(1), fault.Options{})
	if err != nil {
		log.Fatal(err)
	}
	return in
}

// read is what the meter showed at a position of the dial.
func read(b *decade.Box, position int, ohms float64) verify.Reading {
	s, err := b.At(position)
	if err != nil {
		log.Fatal(err)
	}
	return verify.Reading{Setting: s, Values: []float64{ohms}}
}

// Readings come from an instrument by a channel. Each is judged as it comes, and the answer says
// what to read next; two faults at once are looked for when the instrument rests.
func ExampleInspection() {
	in := begin()
	ctx := context.Background()
	readings := make(chan verify.Reading)
	go func() {
		defer close(readings)
		for p, ohms := range []float64{0.02, 100.02, 200.03, 300.02, 400.52, 500.52, 600.53, 700.52, 800.53, 900.52, 1000.53} {
			readings <- read(in.Box(), p, ohms)
		}
	}()
	for r := range readings {
		if err := in.Add(r); err != nil {
			log.Fatal(err)
		}
		answer, err := in.Answer(ctx)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %v; next: %v\n", r.Setting, answer.Report.Verdict(), answer.Next.Act)
	}
	answer, err := in.Complete(ctx)
	if err != nil {
		log.Fatal(err)
	}
	for _, cause := range answer.Causes() {
		fmt.Println(cause)
	}
	// Output:
	// 0: cannot be decided; next: dial a setting
	// 1: conforms; next: nothing
	// 2: conforms; next: nothing
	// 3: conforms; next: nothing
	// 4: does not conform; next: dial it again
	// 5: does not conform; next: open and look
	// 6: does not conform; next: open and look
	// 7: does not conform; next: open and look
	// 8: does not conform; next: open and look
	// 9: does not conform; next: open and look
	// 10: does not conform; next: open and look
	// More than 99 %: Element 4 of ×100 Ω, between positions 3 and 4, is high by 0.5 Ω (U = 8.7 mΩ), 0.5 % of it. It shows at 4, 5, 6, 7, 8, 9.
}

func ExampleNewInspection() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Tolerance: 0.001}}})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Wiring: verify.WiringFourWire, Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 5e-5}}}
	in, err := inspect.NewInspection(box, meter, conformity.Guarded(1), fault.Options{Faults: 1})
	if err != nil {
		log.Fatal(err)
	}
	answer, err := in.Answer(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(answer.Next.Text)
	// Output:
	// Set the dials to 0 and read: there are too few readings to look for causes.
}

func ExampleInspection_Add() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02), read(in.Box(), 1, 100.02)); err != nil {
		log.Fatal(err)
	}
	fmt.Println(in.Report().Summary(verify.StageAsFound))
	// A reading that makes no sense is not taken.
	fmt.Println(in.Add(verify.Reading{Setting: in.Box().Zero(), Range: "2 kΩ", Values: []float64{1}}) != nil, len(in.Readings()))
	// Output:
	// 2 settings: 2 conform, 0 do not conform
	// true 2
}

// A slip of recording is taken back.
func ExampleInspection_Undo() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02), read(in.Box(), 1, 1000.2)); err != nil {
		log.Fatal(err)
	}
	last, ok := in.Undo()
	fmt.Println(last.Setting, last.Values, ok, len(in.Readings()))
	// Output:
	// 1 [1000.2] true 1
}

func ExampleInspection_Readings() {
	in := begin()
	if err := in.Add(read(in.Box(), 3, 300.02)); err != nil {
		log.Fatal(err)
	}
	fmt.Println(in.Readings()[0].Setting, in.Readings()[0].Values)
	// Output:
	// 3 [300.02]
}

// Verdicts are there as soon as a reading is.
func ExampleInspection_Report() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02), read(in.Box(), 3, 300.9)); err != nil {
		log.Fatal(err)
	}
	fmt.Println(in.Report().Verdict())
	// Output:
	// does not conform
}

func ExampleInspection_Box() {
	fmt.Println(begin().Box().Name())
	// Output:
	// one dial
}

// While readings come in, an answer has single faults as causes.
func ExampleInspection_Answer() {
	in := begin()
	for p, ohms := range []float64{0.02, 100.02, 200.03, 300.52, 400.53, 500.52} {
		if err := in.Add(read(in.Box(), p, ohms)); err != nil {
			log.Fatal(err)
		}
	}
	answer, err := in.Answer(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(answer.Incomplete)
	fmt.Println(answer.Next.Text)
	// Output:
	// true
	// Open the box and look at element 3 of ×100 Ω, between positions 2 and 3: no further reading at the terminals can tell more.
}

// Everything is looked for, two faults at once as well.
func ExampleInspection_Complete() {
	in := begin()
	for p, ohms := range []float64{0.02, 100.02, 200.03, 300.52, 400.53, 500.52} {
		if err := in.Add(read(in.Box(), p, ohms)); err != nil {
			log.Fatal(err)
		}
	}
	answer, err := in.Complete(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(answer.Incomplete)
	fmt.Println(answer.Causes()[0])
	// Output:
	// false
	// More than 99 %: Element 3 of ×100 Ω, between positions 2 and 3, is high by 0.49 Ω (U = 8.8 mΩ), 0.49 % of it. It shows at 3, 4, 5.
}

func ExampleInspection_Coverage() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02), read(in.Box(), 1, 100.02)); err != nil {
		log.Fatal(err)
	}
	fmt.Println(in.Coverage())
	fmt.Println("next in the plan:", in.Coverage().Open[0])
	// Output:
	// 2 readings of 2 settings, 2 of the 14 of the recommended plan. They do not determine every element.
	// next in the plan: 2
}

func ExampleCoverage() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02), read(in.Box(), 4, 400.02)); err != nil {
		log.Fatal(err)
	}
	c := in.Coverage()
	fmt.Println(c.Settings, "settings;", c.Done, "of", c.Planned, "of the plan")
	// Output:
	// 2 settings; 2 of 14 of the plan
}

func ExampleDialCoverage() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02), read(in.Box(), 4, 400.02)); err != nil {
		log.Fatal(err)
	}
	for _, d := range in.Coverage().Dials {
		fmt.Printf("%s: %v of %d\n", d.Name, d.Positions, d.Of)
	}
	// Output:
	// ×100 Ω: [4] of 10
}

// An inspection is saved, and goes on later.
func ExampleInspection_MarshalJSON() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02)); err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(in)
	if err != nil {
		log.Fatal(err)
	}
	var saved struct{ Readings []json.RawMessage }
	if err := json.Unmarshal(text, &saved); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s\n", saved.Readings[0])
	// Output:
	// {"setting":"0","values":[0.02],"stage":"as found"}
}

func ExampleInspection_UnmarshalJSON() {
	in := begin()
	if err := in.Add(read(in.Box(), 0, 0.02)); err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(in)
	if err != nil {
		log.Fatal(err)
	}
	resumed := new(inspect.Inspection)
	if err := json.Unmarshal(text, resumed); err != nil {
		log.Fatal(err)
	}
	// The settings are those of the box that was read.
	if err := resumed.Add(read(resumed.Box(), 1, 100.02)); err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(resumed.Readings()))
	// Output:
	// 2
}

func ExampleAnswer_Reason() {
	answer, err := begin().Answer(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(answer.Reason())
	// Output:
	// Not finished: nothing has been read yet.
}
