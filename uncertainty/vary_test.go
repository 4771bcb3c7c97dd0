// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"math"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// y = x² + n: where the input moves, the model is a square and its slope a line.
func TestVary(t *testing.T) {
	x := uncertainty.Source{Name: "x", Unit: "V", Distribution: uncertainty.Normal(3, 0.5)}.Input()
	n := uncertainty.Input("n", uncertainty.Rectangular(1, math.Sqrt(3)*4))
	y := x.Mul(x)
	v, err := uncertainty.Vary(y, "x")
	if err != nil {
		t.Fatal(err)
	}
	for i, steps := range []float64{-2, -1, 0, 1, 2} {
		at := 3 + steps*0.5
		if m := v.Moved[i]; m.Input != at || m.Result != at*at || math.Abs(m.Linear-(9+6*steps*0.5)) > 1e-12 {
			t.Errorf("%+v; want x = %v, y = %v, by the slope %v", m, at, at*at, 9+6*steps*0.5)
		}
	}
	sum, err := uncertainty.Vary(
		x.Scale(3).Add(uncertainty.Source{Name: "m", Unit: "V",
			Distribution: uncertainty.Normal(0, 2)}.Input()), "x")
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range []float64{0, 0.5, 1, 2} {
		want := math.Hypot(2, 1.5*f)
		if s := sum.Scaled[i]; s.Factor != f || math.Abs(s.StandardUncertainty-want) > 1e-12 {
			t.Errorf("%+v; want u = %v at %v", s, want, f)
		}
	}
	// A rectangle ends at √3 of its standard uncertainty.
	end, err := uncertainty.Vary(n, "n")
	if err != nil {
		t.Fatal(err)
	}
	if got := end.Moved[4].Input; math.Abs(got-(1+4*math.Sqrt(3))) > 1e-12 {
		t.Errorf("moved to %v; want the end of the rectangle, %v", got, 1+4*math.Sqrt(3))
	}
	// A difference of two correlated inputs: worse knowledge of one first helps.
	joint := uncertainty.Joint([]string{"a", "b"}, []float64{1, 1},
		mat.NewSymDense(2, []float64{1, 0.9, 0.9, 1}))
	both, err := uncertainty.Vary(joint[0].Sub(joint[1]), "a")
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range []float64{0, 0.5, 1, 2} {
		want := math.Sqrt(f*f + 1 - 2*0.9*f)
		if s := both.Scaled[i]; math.Abs(s.StandardUncertainty-want) > 1e-12 {
			t.Errorf("correlated: %+v; want u = %v", s, want)
		}
	}
}

func TestVaryRefuses(t *testing.T) {
	x := uncertainty.Input("voltage", uncertainty.Normal(3, 0.5))
	if _, err := uncertainty.Vary(x, "voltaje"); !errors.Is(err, uncertainty.ErrUnknown) ||
		!strings.Contains(err.Error(), `did you mean "voltage"`) {
		t.Errorf("%v; want the near name", err)
	}
	if _, err := uncertainty.Vary(uncertainty.Quantity{}, "x"); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("%v; want %v", err, uncertainty.ErrNoQuantity)
	}
	var none *uncertainty.Variation
	_ = none.String() // no panic
}

func ExampleVary() {
	a := uncertainty.Input("a", uncertainty.Normal(2, 0.3))
	b := uncertainty.Input("b", uncertainty.Normal(5, 0.4))
	v, err := uncertainty.Vary(a.Mul(b), "a")
	if err != nil {
		log.Fatal(err)
	}
	most := v.Moved[4]
	fmt.Printf("a = %.1f makes it %.1f\n", most.Input, most.Result)
	// Output: a = 2.6 makes it 13.0
}

// Would a better meter pay? Half its uncertainty makes that of the result 0.36 for 0.50.
func ExampleScaled() {
	meter := uncertainty.Input("meter", uncertainty.Normal(100, 0.4))
	lead := uncertainty.Input("lead", uncertainty.Normal(0.2, 0.3))
	v, err := uncertainty.Vary(meter.Sub(lead), "meter")
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range v.Scaled {
		fmt.Printf("%.1f: u = %.2f\n", s.Factor, s.StandardUncertainty)
	}
	// Output:
	// 0.0: u = 0.30
	// 0.5: u = 0.36
	// 1.0: u = 0.50
	// 2.0: u = 0.85
}

func ExampleVariation_WriteText() {
	voltage := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(10, 0.1)}.Input()
	resistance := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Between(70, 130)}.Input()
	v, err := uncertainty.Vary(voltage.Div(resistance), "R")
	if err != nil {
		log.Fatal(err)
	}
	if err := v.WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// R         result     by its sensitivity
	// 70.0 Ω    0.1429 A   0.1300 A
	// 82.7 Ω    0.1209 A   0.1173 A
	// 100.0 Ω   0.1000 A   0.1000 A
	// 117.3 Ω   0.0852 A   0.0827 A
	// 130.0 Ω   0.0769 A   0.0700 A
	//
	// uncertainty of R   uncertainty of the result
	// 0 Ω                0.0010 A
	// 8.7 Ω              0.0087 A
	// 17 Ω               0.017 A
	// 35 Ω               0.035 A
}

// A model has no value everywhere: JSON has null there.
func ExampleMoved_MarshalJSON() {
	v, err := uncertainty.Vary(uncertainty.Sqrt(uncertainty.Input("x", uncertainty.Normal(1, 0.6))), "x")
	if err != nil {
		log.Fatal(err)
	}
	text, err := json.Marshal(v.Moved[0])
	fmt.Println(string(text), err)
	// Output: {"input":-0.19999999999999996,"result":null,"linear":0.4} <nil>
}
