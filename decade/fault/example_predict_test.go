// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
)

// Common practice, worked by hand: taps 3 and 6 of a dial touch. Between them two paths of
// 100 Ω and 200 Ω are in parallel, and from 6 up 300 Ω are missing.
func ExampleFault() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100}}})
	if err != nil {
		log.Fatal(err)
	}
	touch := fault.Fault{
		Kind: fault.KindBridge,
		A:    fault.Place{Part: fault.PartTap, Number: 3},
		B:    fault.Place{Part: fault.PartTap, Number: 6},
	}
	for p := 3; p <= 7; p++ {
		s, _ := box.At(p)
		ohms, err := fault.Predict(s, touch)
		fmt.Printf("%d: %.1f Ω %v\n", p, ohms, err)
	}
	// Output:
	// 3: 300.0 Ω <nil>
	// 4: 366.7 Ω <nil>
	// 5: 366.7 Ω <nil>
	// 6: 300.0 Ω <nil>
	// 7: 400.0 Ω <nil>
}

func ExampleFault_In() {
	leak := fault.Fault{
		Kind:  fault.KindDialBridge,
		A:     fault.Place{Part: fault.PartTap, Dial: 0, Number: 4},
		B:     fault.Place{Part: fault.PartTap, Dial: 1, Number: 6},
		Value: 120,
	}
	fmt.Println(leak.In(exampleBox()))
	// Output:
	// bridge between dials, tap 4 of ×100 Ω and tap 6 of ×10 Ω: 120 Ω
}

// Common practice: what is off at position 4 of a ladder when something is wrong there, and
// whether position 5 carries it.
func ExampleKind() {
	box := exampleBox()
	element := fault.Place{Part: fault.PartElement, Dial: 0, Number: 4}
	position := fault.Place{Part: fault.PartPosition, Dial: 0, Number: 4}
	for _, f := range []fault.Fault{
		{Kind: fault.KindDrift, A: element, Value: 0.3},
		{Kind: fault.KindShorted, A: element},
		{Kind: fault.KindContact, A: position, Value: 0.5},
		{Kind: fault.KindOverlap, A: position},
	} {
		fmt.Printf("%-16v", f.Kind)
		for _, p := range []int{3, 4, 5} {
			s, _ := box.At(p, 0)
			ohms, _ := fault.Predict(s, f)
			fmt.Printf(" %+7.1f Ω", ohms-s.Value())
		}
		fmt.Println()
	}
	// Output:
	// drifted element     +0.0 Ω    +0.3 Ω    +0.3 Ω
	// shorted element     +0.0 Ω  -100.0 Ω  -100.0 Ω
	// bad contact         +0.0 Ω    +0.5 Ω    +0.0 Ω
	// wiper overlap       +0.0 Ω  -100.0 Ω    +0.0 Ω
}

// The parts that a fault can be at, in the words of the box.
func ExamplePart() {
	box := exampleBox()
	for _, p := range []fault.Place{
		{Part: fault.PartElement, Dial: 1, Number: 3}, {Part: fault.PartTap, Dial: 1, Number: 3}, {Part: fault.PartPosition, Dial: 1, Number: 3},
		{Part: fault.PartWiper, Dial: 0}, {Part: fault.PartDial, Dial: 0}, {Part: fault.PartLink, Number: 1}, {Part: fault.PartTerminal, Number: 2},
	} {
		fmt.Println(p.In(box))
	}
	// Output:
	// element 3 of ×10 Ω
	// tap 3 of ×10 Ω
	// position 3 of ×10 Ω
	// wiper of ×100 Ω
	// ×100 Ω
	// link 1
	// terminal 2
}

// Dials are numbered from 0, elements from 1: the third element of the second dial.
func ExamplePlace() {
	box := exampleBox()
	open := fault.Fault{Kind: fault.KindOpenElement, A: fault.Place{Part: fault.PartElement, Dial: 1, Number: 3}}
	for _, p := range []int{2, 3} {
		s, _ := box.At(0, p)
		ohms, err := fault.Predict(s, open)
		fmt.Printf("%v: %.2f Ω %v\n", s, ohms, err)
	}
	// Output:
	// 0-2: 20.02 Ω <nil>
	// 0-3: +Inf Ω <nil>
}

func ExamplePlace_In() {
	fmt.Println(fault.Place{Part: fault.PartElement, Dial: 0, Number: 4}.In(exampleBox()))
	// Output:
	// element 4 of ×100 Ω
}

// Errors are of one type; the cause can be asked for.
func ExampleError() {
	_, err := fault.Predict(exampleBox().Zero(), fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartWiper, Dial: 0}, Value: 1})
	e, ok := errors.AsType[*fault.Error](err)
	fmt.Println(ok, e.Op, errors.Is(err, fault.ErrPlace))
	fmt.Println(err)
	// Output:
	// true fault.Predict true
	// fault.Predict: drifted element: at wiper of ×100 Ω; expected an element of the box
}
