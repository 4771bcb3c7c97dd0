// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// What JCGM 101 concludes of its own examples in clause 9.
func TestCompareReachesThePublishedConclusions(t *testing.T) {
	r := uncertainty.Rectangular(0, math.Sqrt(3))
	n := uncertainty.Normal(0, 1)
	x1, x2 := uncertainty.Input("X1", uncertainty.Normal(0.01, 0.005)),
		uncertainty.Input("X2", uncertainty.Normal(0, 0.005))
	for _, c := range []struct {
		name   string
		y      uncertainty.Quantity
		digits int
		want   bool
	}{
		{"four normal inputs (9.2.2)", sumOf(n, n, n, n), 1, true},
		{"four equal rectangles (9.2.3), one digit", sumOf(r, r, r, r), 1, true},
		{"four equal rectangles (9.2.3), three digits", sumOf(r, r, r, r), 3, false},
		{"dominant rectangle (9.2.4)", sumOf(r, r, r, uncertainty.Rectangular(0, 10*math.Sqrt(3))), 2, false},
		{"comparison loss at 0.010 (9.4)", x1.Mul(x1).Add(x2.Mul(x2)), 1, false},
	} {
		o := simulate(t, uncertainty.MonteCarlo{Trials: 400_000, Seed: 1}, c.y).Outputs[0]
		got, err := uncertainty.Compare(evaluate(t, c.y), &o, c.digits)
		if err != nil {
			t.Fatal(err)
		}
		if got.Stands != c.want || got.Stands != (got.Holds >= c.digits) ||
			!strings.Contains(got.String(), "linear result") {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
}

// The numerical tolerance: examples in the manner of JCGM 101 7.9.2.
func TestCompareTolerance(t *testing.T) {
	for _, c := range []struct {
		u      float64
		digits int
		want   float64
	}{{0.00035, 2, 0.000005}, {2, 1, 0.5}, {2, 2, 0.05}, {0.996, 2, 0.05}, {0.994, 2, 0.005}} {
		y := uncertainty.Input("x", uncertainty.Normal(1, c.u))
		o := simulate(t, uncertainty.MonteCarlo{Trials: 1000, Twin: uncertainty.TwinOff}, y).Outputs[0]
		got, err := uncertainty.Compare(evaluate(t, y), &o, c.digits)
		if err != nil {
			t.Fatal(err)
		}
		if !near(got.Tolerance, c.want, 1e-12) {
			t.Errorf("u = %v, %d digits: tolerance %v, want %v", c.u, c.digits, got.Tolerance, c.want)
		}
		if got.Settled && c.digits == 2 {
			t.Errorf("u = %v: 1000 trials settle two digits", c.u)
		}
	}
}

func TestCompareOfNothing(t *testing.T) {
	y := uncertainty.Exact(3)
	o := simulate(t, uncertainty.MonteCarlo{Trials: 1000}, y).Outputs[0]
	got, err := uncertainty.Compare(evaluate(t, y), &o, 2)
	if err != nil || !got.Stands || got.Holds != 9 || !got.Settled {
		t.Errorf("exact: %+v, %v", got, err)
	}
	b := evaluate(t, y)
	other := o
	other.Name = "other"
	named := *b
	named.Name = "y"
	bad := o
	bad.Symmetric.Lower = math.NaN()
	for name, f := range map[string]func() (uncertainty.Comparison, error){
		"nil budget":   func() (uncertainty.Comparison, error) { return uncertainty.Compare(nil, &o, 2) },
		"nil output":   func() (uncertainty.Comparison, error) { return uncertainty.Compare(b, nil, 2) },
		"digits":       func() (uncertainty.Comparison, error) { return uncertainty.Compare(b, &o, 0) },
		"zero output":  func() (uncertainty.Comparison, error) { return uncertainty.Compare(b, &uncertainty.Output{}, 2) },
		"other names":  func() (uncertainty.Comparison, error) { return uncertainty.Compare(&named, &other, 2) },
		"not a number": func() (uncertainty.Comparison, error) { return uncertainty.Compare(b, &bad, 2) },
	} {
		_, err := f()
		var e *uncertainty.Error
		if !errors.As(err, &e) || e.Op != "uncertainty.Compare" {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// Four equal rectangles (JCGM 101 9.2.3): the factor 1.96 of the normal distribution
// puts the ends of the interval 0.04 too far out, which two digits of u = 2.0 allow.
func ExampleCompare() {
	var x []uncertainty.Quantity
	for _, name := range []string{"X1", "X2", "X3", "X4"} {
		x = append(x, uncertainty.Input(name, uncertainty.Rectangular(0, math.Sqrt(3))))
	}
	y := uncertainty.Sum(x...)
	budget, err := uncertainty.Evaluate(y)
	if err != nil {
		fmt.Println(err)
		return
	}
	simulation, err := uncertainty.MonteCarlo{}.Run(context.Background(), y)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := uncertainty.Compare(budget, &simulation.Outputs[0], 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("stands: %v, to %d digits\n", c.Stands, c.Holds)
	// Output:
	// stands: true, to 2 digits
}
