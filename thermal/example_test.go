// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// A standard resistor with a certificate for 25 °C stands in a bath at 23.4 °C.
func Example() {
	law := thermal.UncertainLaw{
		Reference: 25,
		Alpha:     uncertainty.Input("alpha", uncertainty.Normal(4.2e-6, 0.2e-6)),
		Beta:      uncertainty.Input("beta", uncertainty.Normal(-0.56e-6, 0.02e-6)),
	}
	r25 := uncertainty.Input("R25", uncertainty.Certificate(100.00215, 0.0001, 2))
	bath := uncertainty.Input("bath", uncertainty.Rectangular(23.4, 0.05))

	b, err := uncertainty.Evaluate(law.Correct(r25, uncertainty.Exact(25), bath))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f Ω, u = %.5f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 100.00133 Ω, u = 0.00006 Ω
}
