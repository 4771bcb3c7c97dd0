// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// warming are readings of a resistor in mΩ above cold, each minute after the current is on.
func warming() (minutes, readings []uncertainty.Quantity) {
	for i, v := range []float64{0, 3.9, 6.4, 7.7, 8.7, 9.1, 9.5} {
		minutes = append(minutes, uncertainty.Exact(float64(i)))
		readings = append(readings, uncertainty.Exact(v))
	}
	return minutes, readings
}

// approach is the law of a body that warms: rise·(1 − exp(−t/τ)).
func approach(t uncertainty.Quantity, b []uncertainty.Quantity) uncertainty.Quantity {
	return b[0].Mul(uncertainty.Exact(1).Sub(uncertainty.Exp(t.Div(b[1]).Neg())))
}

// The final rise is known before it is reached.
func ExampleNonlinear() {
	minutes, readings := warming()
	f, err := fit.Nonlinear(approach, minutes, readings, 8, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("rise %v mΩ, time constant %v min\n", f.Parameters[0], f.Parameters[1])
	hour, err := uncertainty.Evaluate(f.At(uncertainty.Exact(60)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("after an hour", hour.Concise(2), "mΩ")
	// Output:
	// rise 9.961(72) mΩ, time constant 1.984(40) min
	// after an hour 9.961(72) mΩ
}

// A name tells the sources of this fit from those of others.
func ExampleSettings_Nonlinear() {
	minutes, readings := warming()
	f, err := fit.Settings{Name: "warming"}.Nonlinear(approach, minutes, readings, 8, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("s = %.2f mΩ with %d degrees of freedom\n", f.StandardDeviation, f.DOF)
	// Output: s = 0.06 mΩ with 5 degrees of freedom
}

func ExampleModel() {
	var m fit.Model = approach
	y := m(uncertainty.Exact(2), []uncertainty.Quantity{uncertainty.Exact(10), uncertainty.Exact(2)})
	fmt.Printf("%.3f\n", y.Estimate())
	// Output: 6.321
}
