// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"context"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// readDial is the report of a box with one dial of 100 Ω steps, read at 0, 1, 2 and so on
// to 10, and at 3 again.
func readDial(ohms ...float64) *verify.Report {
	box, err := decade.New(decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: []decade.Decade{{Step: 100, Tolerance: 0.0005}}})
	if err != nil {
		log.Fatal(err)
	}
	var readings []verify.Reading
	for p, v := range ohms {
		if p > 10 { // and position 3 again
			p = 3
		}
		s, _ := box.At(p)
		readings = append(readings, verify.Reading{Setting: s, Values: []float64{v}})
	}
	report, err := verify.Evaluate(box, exampleMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	return report
}

// sound are the readings of a sound dial, dirty those of one with a bad contact at 3.
func sound() *verify.Report {
	return readDial(0.02, 100.02, 200.03, 300.02, 400.02, 500.02, 600.03, 700.02, 800.03, 900.02, 1000.03)
}

func dirty() *verify.Report {
	return readDial(0.02, 100.02, 200.03, 300.52, 400.02, 500.02, 600.03, 700.02, 800.03, 900.02, 1000.03, 300.52)
}

// Read up to 3, and half an ohm too much there: contact or element? The next reading tells.
func ExampleDiagnosis() {
	d, err := fault.Diagnose(context.Background(), readDial(0.02, 100.02, 200.03, 300.52))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("healthy:", d.Healthy, "- settings read:", d.Readings)
	for _, place := range d.Causes[0].Places() {
		fmt.Println("perhaps", place.In(d.Box))
	}
	fmt.Println("next:", d.Next.Act, d.Next.Setting)
	// Output:
	// healthy: false - settings read: 4
	// perhaps row 4 of the readings
	// perhaps element 3 of ×100 Ω
	// perhaps position 3 of ×100 Ω
	// next: dial it again 3
}

// Half an ohm at one position only.
func ExampleCause() {
	d, err := fault.Diagnose(context.Background(), dirty())
	if err != nil {
		log.Fatal(err)
	}
	c := d.Causes[0]
	fmt.Println(c.Kind, "at", c.Faults[0].A.In(dirty().Box))
	fmt.Println(c.Sentence)
	// Output:
	// bad contact at position 3 of ×100 Ω
	// The contact at position 3 of ×100 Ω has 0.495 Ω (U = 41 mΩ) too much: suspect dirt before a resistor.
}

// Is it worth opening the box?
func ExampleCause_Odds() {
	d, err := fault.Diagnose(context.Background(), dirty())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("better than 100 to 1: %v\n", d.Causes[0].Odds() > 100)
	// Output:
	// better than 100 to 1: true
}

// At the highest position nothing follows that could tell the contact from the element.
func ExampleCause_Places() {
	report := readDial(0.02, 100.02, 200.03, 300.02, 400.02, 500.02, 600.03, 700.02, 800.03, 900.02, 1001.03)
	d, err := fault.Diagnose(context.Background(), report)
	if err != nil {
		log.Fatal(err)
	}
	for _, place := range d.Causes[0].Places() {
		fmt.Println(place.In(report.Box))
	}
	// Output:
	// element 10 of ×100 Ω
	// row 11 of the readings
	// position 10 of ×100 Ω
}

// Probability, as far as simulations bear it out, and sentence in one line.
func ExampleCause_String() {
	d, err := fault.Diagnose(context.Background(), dirty())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(d.Causes[0])
	// Output:
	// More than 99 %: The contact at position 3 of ×100 Ω has 0.495 Ω (U = 41 mΩ) too much: suspect dirt before a resistor.
}

// One fault at a time, and leakage to the case counts, which is joined to terminal 1.
func ExampleOptions() {
	d, err := fault.Options{Faults: 1, Strapped: 1}.Diagnose(context.Background(), dirty())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(d.Causes[0].Faults), "fault:", d.Causes[0].Kind)
	// Output:
	// 1 fault: bad contact
}

// With contacts left out of account, the same readings take two elements that are off by
// as much, one up and one down.
func ExampleOptions_Diagnose() {
	w := fault.DefaultWeights()
	w[fault.KindContact] = 0
	report := dirty()
	d, err := fault.Options{Weights: w}.Diagnose(context.Background(), report)
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range d.Causes[0].Faults {
		fmt.Printf("%s: %+.1f Ω\n", f.A.In(report.Box), f.Value)
	}
	// Output:
	// element 3 of ×100 Ω: +0.5 Ω
	// element 4 of ×100 Ω: -0.5 Ω
}

// A box that has carried too much current, by its owner's account: overloads before all.
func ExampleWeights() {
	w := fault.DefaultWeights()
	w[fault.KindOverloaded] = 10 * w[fault.KindContact]
	d, err := fault.Options{Weights: w}.Diagnose(context.Background(), sound())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("weight", d.Weights[fault.KindOverloaded], "- and still healthy by its readings:", d.Healthy)
	// Output:
	// weight 400 - and still healthy by its readings: true
}

func ExampleWeights_String() {
	fmt.Println(fault.Weights{fault.KindHealthy: 100, fault.KindContact: 40, fault.KindDrift: 20})
	// Output:
	// healthy 62.5 %, bad contact 25 %, drifted element 12.5 %
}

// A judgement on common practice: dirt is met more often than a resistor that has changed.
func ExampleDefaultWeights() {
	w := fault.DefaultWeights()
	fmt.Println("contacts to elements", w[fault.KindContact]/w[fault.KindDrift], "to 1")
	// Output:
	// contacts to elements 2 to 1
}

// Train on a box with a known fault: read it all, and see whether it is found.
func ExampleSpecimen() {
	box := sound().Box
	shorted := fault.Fault{Kind: fault.KindShorted, A: fault.Place{Part: fault.PartElement, Dial: 0, Number: 7}}
	specimen, err := fault.NewSpecimen(box, exampleMeter(), 17, shorted)
	if err != nil {
		log.Fatal(err)
	}
	var settings []decade.Setting
	for s := range box.Settings() {
		settings = append(settings, s)
	}
	readings, err := specimen.ReadAll(settings...)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, exampleMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	d, err := fault.Diagnose(context.Background(), report)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(d.Causes[0].Faults[0].In(box))
	// Output:
	// leak across an element, element 7 of ×100 Ω: 3.04 mΩ
}

// A bad contact reads differently each time it is dialled.
func ExampleSpecimen_Read() {
	box := sound().Box
	contact := fault.Fault{Kind: fault.KindContact, A: fault.Place{Part: fault.PartPosition, Dial: 0, Number: 3}, Value: 2, Scatter: 0.5}
	specimen, err := fault.NewSpecimen(box, exampleMeter(), 17, contact)
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(3)
	for range 3 {
		r, err := specimen.Read(s)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.1f Ω  ", r.Values[0])
	}
	fmt.Println()
	// Output:
	// 302.3 Ω  302.5 Ω  301.7 Ω
}

// The same setting twice is dialled twice, with a new contact each time.
func ExampleSpecimen_ReadAll() {
	box := sound().Box
	specimen, err := fault.NewSpecimen(box, exampleMeter(), 17)
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	readings, err := specimen.ReadAll(box.Zero(), s, box.Zero())
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range readings {
		fmt.Printf("%v: %.3f Ω\n", r.Setting, r.Values[0])
	}
	// Output:
	// 0: 0.029 Ω
	// 1: 100.050 Ω
	// 0: 0.028 Ω
}

// Options are checked before there are readings.
func ExampleOptions_Check() {
	fmt.Println(fault.Options{}.Check())
	fmt.Println(fault.Options{Faults: 3}.Check())
	// Output:
	// <nil>
	// fault.Diagnose: faults: 3; expected 1 or 2, or 0 for 2
}

// A technician reads on, and the diagnosis after each reading takes over the circuit.
func ExampleCircuit() {
	kept := fault.Options{Faults: 1, Circuit: new(fault.Circuit)}
	ohms := []float64{0.02, 100.02, 200.03, 300.52, 400.02, 500.02}
	for n := 4; n <= len(ohms); n++ {
		d, err := kept.Diagnose(context.Background(), readDial(ohms[:n]...))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(n, "readings:", d.Causes[0].Kind)
	}
	// Output:
	// 4 readings: one dialling differs
	// 5 readings: one dialling differs
	// 6 readings: one dialling differs
}
