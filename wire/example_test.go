// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/wire"
)

// From a resistance to a length of wire: 10 Ω of manganin.
func Example() {
	manganin, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	gauge, err := wire.ParseGauge("0.2 mm")
	if err != nil {
		log.Fatal(err)
	}
	c := wire.Conductor{Material: manganin, Gauge: gauge}
	length, err := c.Length(10, 20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("10 Ω at 20 °C are %.3f m of %v\n", length, gauge)
	// Output: 10 Ω at 20 °C are 0.731 m of 0.2 mm
}

// A refusal says which argument it is about; a program can ask for the same.
func ExampleError() {
	_, err := wire.Metric(20) // millimetres by mistake
	if e, ok := errors.AsType[*wire.Error](err); ok {
		fmt.Println(e.Op, e.Name, e.Value, errors.Is(err, wire.ErrDomain))
	}
	fmt.Println(err)
	// Output:
	// wire.Metric diameter 20 true
	// wire.Metric: diameter: 20; expected 1e-9 m to 0.06 m; is it in millimetres?
}
