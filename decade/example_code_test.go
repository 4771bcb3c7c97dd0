// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// A dial of your own: three resistors for the positions 0 to 5.
func ExampleCode() {
	code := decade.Code{
		Weights:   []int{1, 2, 2},
		InCircuit: [][]int{{}, {1}, {2}, {1, 2}, {2, 3}, {1, 2, 3}},
	}
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 10, Code: code}}})
	if err != nil {
		log.Fatal(err)
	}
	d := box.Decades()[0]
	fmt.Println(d.Name, "0 to", d.Positions, "from", d.NumElements(), "resistors")
	fmt.Println("position 4 uses elements", d.InCircuit(4))
	// Output:
	// ×10 Ω 0 to 5 from 3 resistors
	// position 4 uses elements [2 3]
}

// The zero Code is the ladder, which most dials are.
func ExampleCode_IsZero() {
	fmt.Println("ladder:", decade.Code{}.IsZero(), "1-2-2-5:", decade.Code1225().IsZero())
	// Output:
	// ladder: true 1-2-2-5: false
}

// Four resistors do for the positions 0 to 9, where a ladder has nine.
func ExampleCode1125() {
	weighted := decade.Decade{Step: 100, Code: decade.Code1125()}
	ladder := decade.Decade{Step: 100, Positions: 9}
	fmt.Println(weighted.NumElements(), "or", ladder.NumElements(), "resistors")
	fmt.Println("900 Ω takes", weighted.InCircuit(9))
	// Output:
	// 4 or 9 resistors
	// 900 Ω takes [1 2 3 4]
}

// The 1 is in circuit at odd positions and nowhere else.
func ExampleCode12222() {
	d := decade.Decade{Step: 1, Code: decade.Code12222()}
	for p := 6; p <= 9; p++ {
		fmt.Println(p, d.InCircuit(p))
	}
	// Output:
	// 6 [2 3 4]
	// 7 [1 2 3 4]
	// 8 [2 3 4 5]
	// 9 [1 2 3 4 5]
}

// Of resistors with one rating the largest in circuit bears the least current: at 3 the
// 300 Ω, at 4 the 400 Ω, at 5 the 400 Ω and the 100 Ω.
func ExampleCode1234() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Code: decade.Code1234(),
		ElementPower: 0.5}}})
	if err != nil {
		log.Fatal(err)
	}
	for p := 3; p <= 5; p++ {
		s, _ := box.At(p)
		i, limiting, _ := s.MaxCurrent()
		fmt.Printf("%v Ω: %.1f mA by %s\n", s.Nominal(), 1e3*i, limiting)
	}
	// Output:
	// 300 Ω: 40.8 mA by ×100 Ω element 3
	// 400 Ω: 35.4 mA by ×100 Ω element 4
	// 500 Ω: 35.4 mA by ×100 Ω element 4
}

// The code reaches 12, so that two dials overlap by two steps.
func ExampleCode1236() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1000}, {Step: 100, Code: decade.Code1236()}}})
	if err != nil {
		log.Fatal(err)
	}
	for s, err := range box.SettingsFor(context.Background(), 2200) {
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(s)
	}
	// Output:
	// 2-2
	// 1-12
}

// From 7 to 8 the 1 leaves the circuit and the second 2 comes in.
func ExampleCode1242() {
	d := decade.Decade{Step: 10, Code: decade.Code1242()}
	fmt.Println("70 Ω:", d.InCircuit(7), "80 Ω:", d.InCircuit(8))
	// Output:
	// 70 Ω: [1 2 3] 80 Ω: [2 3 4]
}

// Binary weights: the elements in circuit are the ones of the position in binary.
func ExampleCode1248() {
	d := decade.Decade{Step: 1, Code: decade.Code1248()}
	fmt.Printf("%d is %b: elements %v\n", 11, 11, d.InCircuit(11))
	// Output:
	// 11 is 1011: elements [1 2 4]
}

// A plug box: one plug for a dial, whichever two nodes it joins, and none at 9.
func ExampleCode1332() {
	code := decade.Code1332()
	fmt.Println("coils", code.Weights, "in steps")
	fmt.Println("plugs", code.Contacts, "at 0 to 9")
	// Output:
	// coils [1 3 3 2] in steps
	// plugs [1 1 1 1 1 1 1 1 1 0] at 0 to 9
}

// The fives are made of two twos and the 1; the dial goes up to 11.
func ExampleCode222221() {
	d := decade.Decade{Step: 1000, Code: decade.Code222221()}
	total := 0
	for e := range d.NumElements() {
		total += d.Weight(e + 1)
	}
	fmt.Println("5 kΩ from elements", d.InCircuit(5), "and at most", total, "kΩ")
	// Output:
	// 5 kΩ from elements [1 2 6] and at most 11 kΩ
}

// One dial with its class and the rating of its elements; the rest is filled in.
func ExampleDecade() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 100, Tolerance: 0.0005, ElementPower: 0.5},
	}})
	if err != nil {
		log.Fatal(err)
	}
	d := box.Decades()[0]
	fmt.Printf("%s, 0 to %d, ±%v %% of the dialled value, %v W an element\n", d.Name, d.Positions,
		100*d.Tolerance, d.ElementPower)
	// Output:
	// ×100 Ω, 0 to 10, ±0.05 % of the dialled value, 0.5 W an element
}

func ExampleDecade_InCircuit() {
	fmt.Println("ladder:", decade.Decade{Step: 10}.InCircuit(4))
	fmt.Println("1-2-2-5:", decade.Decade{Step: 10, Code: decade.Code1225()}.InCircuit(4))
	// Output:
	// ladder: [1 2 3 4]
	// 1-2-2-5: [2 3]
}

// How many resistors a box takes in different patterns.
func ExampleDecade_NumElements() {
	for _, code := range []decade.Code{{}, decade.Code222221(), decade.Code1225()} {
		d := decade.Decade{Step: 1, Code: code}
		fmt.Println("six dials:", 6*d.NumElements(), "resistors")
	}
	// Output:
	// six dials: 60 resistors
	// six dials: 36 resistors
	// six dials: 24 resistors
}

// In a ladder an element that is off shows at its position and all above, in a code here
// and there.
func ExampleDecade_Tapped() {
	for _, code := range []decade.Code{{}, decade.Code1225()} {
		d := decade.Decade{Step: 10, Positions: 10, Code: code}
		var contain []int
		for p := range d.Positions + 1 {
			for _, e := range d.InCircuit(p) {
				if e == 1 {
					contain = append(contain, p)
				}
			}
		}
		fmt.Println("tapped:", d.Tapped(), "- element 1 shows at", contain)
	}
	// Output:
	// tapped: true - element 1 shows at [1 2 3 4 5 6 7 8 9 10]
	// tapped: false - element 1 shows at [1 3 6 8 10]
}

// The resistors to be bought for one dial.
func ExampleDecade_Weight() {
	d := decade.Decade{Step: 100, Code: decade.Code1225()}
	for e := range d.NumElements() {
		fmt.Print(d.Step*float64(d.Weight(e+1)), " Ω  ")
	}
	fmt.Println()
	// Output:
	// 100 Ω  200 Ω  200 Ω  500 Ω
}

// 0.1 % of two dials at 4-4, that is 400 Ω and 40 Ω: whose error is it?
func ExampleLevel() {
	for _, level := range []decade.Level{decade.LevelDecade, decade.LevelElement, decade.LevelBox} {
		box, err := decade.New(decade.Spec{Decades: []decade.Decade{
			{Step: 100, Tolerance: 0.001, Spread: level}, {Step: 10, Tolerance: 0.001, Spread: level},
		}})
		if err != nil {
			log.Fatal(err)
		}
		s, _ := box.At(4, 4)
		budget, _ := uncertainty.Evaluate(s.Resistance())
		fmt.Printf("%-11v  u %.3f Ω, worst case ±%.2f Ω\n", level, budget.StandardUncertainty, s.ClassLimit())
	}
	// Output:
	// per decade   u 0.232 Ω, worst case ±0.44 Ω
	// per element  u 0.116 Ω, worst case ±0.44 Ω
	// per box      u 0.254 Ω, worst case ±0.44 Ω
}

// A switch from 0 to 6 and from 8 to 10: one element of two steps lies between taps 6 and 8.
func ExampleDecade_HasPosition() {
	d := decade.Decade{Step: 100, Missing: []int{7}}
	fmt.Println(d.HasPosition(6), d.HasPosition(7), d.NumElements(), d.InCircuit(8))
	// Output: true false 9 [1 2 3 4 5 6 7]
}

func ExampleDecade_Taps() {
	d := decade.Decade{Step: 100, Missing: []int{7}}
	for _, element := range []int{6, 7, 8} {
		low, high := d.Taps(element)
		fmt.Printf("element %d, of %d steps, lies between %d and %d\n", element, d.Weight(element), low, high)
	}
	// Output:
	// element 6, of 1 steps, lies between 5 and 6
	// element 7, of 2 steps, lies between 6 and 8
	// element 8, of 1 steps, lies between 8 and 9
}
