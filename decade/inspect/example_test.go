// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// exampleReport is that of a box with one dial of 100 Ω steps, read at 0, 1, 2 and so on.
func exampleReport(ohms ...float64) *verify.Report {
	box, err := decade.New(decade.Spec{Name: "one dial", Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: []decade.Decade{{Step: 100, Tolerance: 0.001}}})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire, OffsetCompensated: true, Ranges: []verify.Range{
		{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 5e-5, OfRange: 5e-6, Resolution: 0.001},
	}}
	var readings []verify.Reading
	for p, v := range ohms {
		s, err := box.At(p)
		if err != nil {
			log.Fatal(err)
		}
		readings = append(readings, verify.Reading{Setting: s, Values: []float64{v}})
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	return report
}

// highStep is a dial whose fourth step is half an ohm high.
func highStep() *verify.Report {
	return exampleReport(0.02, 100.02, 200.03, 300.02, 400.52, 500.52, 600.53, 700.52, 800.53, 900.52, 1000.53)
}

func answer(r *verify.Report) *inspect.Answer {
	a, err := inspect.New(context.Background(), r, fault.Options{})
	if err != nil {
		log.Fatal(err)
	}
	return a
}

// Facts from the report, causes, one next step.
func ExampleNew() {
	a, err := inspect.New(context.Background(), exampleReport(0.02, 100.02, 200.03, 300.52), fault.Options{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(a.Report.Verdict())
	fmt.Println(a.Next.Act, a.Next.Setting)
	// Output:
	// does not conform
	// dial it again 3
}

// A diagnosis that is there already.
func ExampleAssemble() {
	report := highStep()
	diagnosis, err := fault.Options{Faults: 1}.Diagnose(context.Background(), report)
	if err != nil {
		log.Fatal(err)
	}
	a, err := inspect.Assemble(report, diagnosis)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(a.Next.Act)
	// Output:
	// open and look
}

// Too little was read to look for causes: the answer says what to read first.
func ExampleAnswer() {
	a := answer(exampleReport(0.02))
	fmt.Println(a.NoDiagnosis != nil)
	fmt.Println(a.Next.Text)
	// Output:
	// true
	// Set the dials to 10 and read: there are too few readings to look for causes.
}

func ExampleAnswer_Causes() {
	for _, cause := range answer(highStep()).Causes() {
		fmt.Println(cause)
	}
	// Output:
	// More than 99 %: Element 4 of ×100 Ω, between positions 3 and 4, is high by 0.5 Ω (U = 8.7 mΩ), 0.5 % of it. It shows at 4, 5, 6, 7, 8, 9.
}

// The cautions belong to what is advised, here to opening the box and soldering.
func ExampleAnswer_Cautions() {
	for _, caution := range answer(highStep()).Cautions() {
		fmt.Println("-", caution)
	}
	// Output:
	// - Disconnect the box from everything and discharge it first.
	// - Leave asbestos boards in old boxes alone, and do not grind contacts: they may contain cadmium or beryllium.
	// - Soldering is hot and its fumes are harmful: fresh air, eye protection; old joints may contain lead or cadmium.
	// - Local codes and licensed practice come first.
}

func ExampleAnswer_Finished() {
	sound := answer(exampleReport(0.02, 100.02, 200.03, 300.02, 400.02, 500.02, 600.03, 700.02, 800.03, 900.02, 1000.03))
	fmt.Println(sound.Finished(), answer(highStep()).Finished())
	// Output:
	// true false
}

func ExampleAnswer_Heading() {
	for _, line := range answer(highStep()).Heading() {
		fmt.Println(line[0])
	}
	// Output:
	// Box
	// Class
	// Meter
	// Meter limits
	// Decision rule
}

func ExampleAnswer_Sections() {
	for _, s := range answer(highStep()).Sections() {
		fmt.Println(s.Title)
	}
	// Output:
	// What was found
	// What is wrong
	// Next step
	// Repair
	// Cautions
	// Settings
	// Common deviations
	// Class still met
	// How the results were obtained
	// Warnings
}

// Where the uncertainty of the reading that speaks most for the cause comes from.
func ExampleAnswer_Strongest() {
	a := answer(highStep())
	a.Budget = a.Strongest()
	fmt.Println(a.Budget)
	// Output:
	// 4
}

func ExampleAnswer_WriteAdvice() {
	if err := answer(highStep()).WriteAdvice(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// What is wrong
	//   - More than 99 %: Element 4 of ×100 Ω, between positions 3 and 4, is high by 0.5 Ω (U = 8.7 mΩ),
	//     0.5 % of it. It shows at 4, 5, 6, 7, 8, 9.
	//
	// Next step
	//   - Open the box and look at element 4 of ×100 Ω, between positions 3 and 4: no further reading at
	//     the terminals can tell more.
	//
	// Repair
	//   1. Look at element 4 of ×100 Ω, between positions 3 and 4, and at its joints; resolder a dull or
	//      cracked one (heat clip between joint and body, less than 3 s), and read again when it is cold.
	//   2. A trimming resistor of about 20 kΩ that came off it would read like this: look for a loose
	//      wire. If there never was one, 20 kΩ in parallel brings the element back to its value.
	//   3. Otherwise replace it: 100 Ω, within 0.1 % (its class), rated as the old one, with the
	//      temperature coefficient of its neighbours (same material); age and trim it before it goes in,
	//      and note on the box what differs.
	//   4. Afterwards read, as left, positions 3, 4 and 10 of ×100 Ω and all dials at their highest
	//      positions, cold after an hour, and again after a day if anything was soldered.
	//
	// Cautions
	//   - Disconnect the box from everything and discharge it first.
	//   - Leave asbestos boards in old boxes alone, and do not grind contacts: they may contain cadmium
	//     or beryllium.
	//   - Soldering is hot and its fumes are harmful: fresh air, eye protection; old joints may contain
	//     lead or cadmium.
	//   - Local codes and licensed practice come first.
}

func ExampleAnswer_WriteText() {
	var text strings.Builder
	if err := answer(exampleReport(0.02, 100.02, 200.03, 300.52)).WriteText(&text); err != nil {
		log.Fatal(err)
	}
	_, after, _ := strings.Cut(text.String(), "What is wrong")
	advice, _, _ := strings.Cut(after, "\nSettings")
	fmt.Println("What is wrong" + advice)
	// Output:
	// What is wrong
	//   - More than 99 %: One dialling reads high by 0.49 Ω (U = 0.13 Ω) against all others (setting 3,
	//     row 4 of the readings): a knob between two detents, a contact, or a recording error. These
	//     readings cannot tell it apart from: element 3 of ×100 Ω off; dirt on the contact at position 3
	//     of ×100 Ω. It shows at 3.
	//
	// Next step
	//   - Turn every dial away and back to 3 and read it again: a second dialling separates a resistor
	//     from a contact and from a recording error.
	//
	// Cautions
	//   - Disconnect the box from everything and discharge it first.
	//   - Keep the test current within the rating of the smallest dial in use.
	//   - Local codes and licensed practice come first.
}

func ExampleAnswer_WriteMarkdown() {
	var text strings.Builder
	if err := answer(exampleReport(0.02)).WriteMarkdown(&text); err != nil {
		log.Fatal(err)
	}
	for line := range strings.Lines(text.String()) {
		if strings.HasPrefix(line, "#") {
			fmt.Print(line)
		}
	}
	// Output:
	// ## What was found
	// ## What is wrong
	// ## Next step
	// ## Cautions
	// ## Settings
	// ## How the results were obtained
}

// The rows, for a spreadsheet.
func ExampleAnswer_WriteCSV() {
	var text strings.Builder
	if err := answer(exampleReport(0.02)).WriteCSV(&text); err != nil {
		log.Fatal(err)
	}
	fmt.Println(strings.Count(text.String(), "\n"), "lines")
	// Output:
	// 2 lines
}

// For another program: the keys of the report, and those of the answer.
func ExampleAnswer_MarshalJSON() {
	text, err := json.Marshal(answer(highStep()))
	if err != nil {
		log.Fatal(err)
	}
	var got struct {
		Verdict string
		Next    struct{ Act fault.Act }
	}
	if err := json.Unmarshal(text, &got); err != nil {
		log.Fatal(err)
	}
	fmt.Println(got.Verdict, "-", got.Next.Act)
	// Output:
	// does not conform - open and look
}

func ExampleError() {
	_, err := inspect.New(context.Background(), nil, fault.Options{})
	if e, ok := errors.AsType[*inspect.Error](err); ok {
		fmt.Println(e.Op, "-", e.Name)
	}
	// Output:
	// inspect.New - report
}
