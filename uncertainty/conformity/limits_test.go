// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// The limits of a box are printed in milliohms, the result is in ohms.
func ExampleLimitsIn() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(0.1002, 0.0001)}.Input()
	b, err := uncertainty.Evaluate(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	limits, err := conformity.LimitsIn(uncertainty.Interval{Lower: 99, Upper: 101}, "mΩ", b)
	if err != nil {
		fmt.Println(err)
		return
	}
	verdict, err := conformity.Guarded(1).Decide(limits, b)
	fmt.Println(limits, verdict, err)
	// Output:
	// [0.099, 0.101] conforms <nil>
}

// The factors between the units are those of the SI prefixes; limits are never compared with a
// result of another unit as numbers.
func TestLimitsIn(t *testing.T) {
	result := func(symbol string) *uncertainty.Budget {
		b, err := uncertainty.Evaluate(uncertainty.Source{Name: "x", Unit: symbol,
			Distribution: uncertainty.Normal(1, 0.1)}.Input())
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	inf := math.Inf(1)
	for _, c := range []struct {
		symbol, of string
		in, want   uncertainty.Interval
	}{
		{"mΩ", "Ω", uncertainty.Interval{Lower: 99, Upper: 101}, uncertainty.Interval{Lower: 0.099, Upper: 0.101}},
		{"Ω", "kΩ", uncertainty.Interval{Lower: -inf, Upper: 12.1}, uncertainty.Interval{Lower: -inf, Upper: 0.0121}},
		{"ohm", "Ω", uncertainty.Interval{Lower: 99, Upper: 101}, uncertainty.Interval{Lower: 99, Upper: 101}},
		{"°C", "°C", uncertainty.Interval{Lower: 22, Upper: 24}, uncertainty.Interval{Lower: 22, Upper: 24}},
		{"shade", "shade", uncertainty.Interval{Lower: 2, Upper: 3}, uncertainty.Interval{Lower: 2, Upper: 3}},
	} {
		if got, err := conformity.LimitsIn(c.in, c.symbol, result(c.of)); err != nil || got != c.want {
			t.Errorf("%v %s in %s: %v, error %v; want %v", c.in, c.symbol, c.of, got, err, c.want)
		}
	}
	for _, c := range [][2]string{{"V", "Ω"}, {"°C", "K"}, {"K", "°C"}, {"shade", "Ω"},
		{"Ω", "shade"}, {"", "Ω"}, {"Ω", ""}} {
		got, err := conformity.LimitsIn(uncertainty.Interval{Lower: 1, Upper: 2}, c[0], result(c[1]))
		if !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("limits in %q of a result in %q: %v, error %v", c[0], c[1], got, err)
		}
	}
	if _, err := conformity.LimitsIn(uncertainty.Interval{Lower: 2, Upper: 1}, "mΩ", result("Ω")); err == nil {
		t.Error("limits the wrong way round: no error")
	}
	if _, err := conformity.LimitsIn(uncertainty.Interval{Lower: 1, Upper: 2}, "mΩ",
		nil); !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("no budget: %v", err)
	}
}
