// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/wire/winding"
)

// 10 Ω of wire close-wound on a rod of 10 mm: up to what frequency it is 10 Ω
// within 0.1 %.
func Example() {
	w, err := winding.Winding{
		Former: winding.Cylinder(0.010, 0.040), Wire: winding.Wire{Bare: 0.32e-3, Covered: 0.36e-3}, Ohms: 10,
	}.WithWire(1.88)
	if err != nil {
		log.Fatal(err)
	}
	coil, err := w.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	f, err := coil.FrequencyForMagnitude(0.001)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f turns, %.1f µH, good to %.1f kHz\n", coil.Turns, coil.L*1e6, f/1e3)
	// Output: 57.8 turns, 13.6 µH, good to 5.2 kHz
}

// A refusal says which argument it is about; a program can ask for the same.
func ExampleError() {
	_, err := winding.Solenoid{Turns: 100, Radius: 0.01, Pitch: 0.3e-3, Diameter: 0.4e-3}.Inductance()
	if e, ok := errors.AsType[*winding.Error](err); ok {
		fmt.Println(e.Op, e.Name, e.Value, errors.Is(err, winding.ErrDomain))
	}
	fmt.Println(err)
	// Output:
	// winding.Solenoid.Inductance diameter 0.0004 true
	// winding.Solenoid.Inductance: diameter: 0.0004; expected the pitch at most
}
