// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest_test

import (
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// normalFactor is the coverage factor of the normal distribution.
func normalFactor(p float64) float64 { return math.Sqrt2 * math.Erfinv(p) }

// printer stands for the testing.T of a test here: it prints what a test would report.
type printer struct{ testing.TB }

func (printer) Helper()                           {}
func (printer) Errorf(format string, args ...any) { fmt.Printf(format+"\n", args...) }

// A figure that cannot be met stays in the table with its cause: a test that meets it
// fails, and so does one that leaves the cause out.
func ExamplePublished() {
	row := uncertaintytest.Published{
		Name: "multiplier for two thirds", Source: "JCGM 100:2008", Place: "4.3.5",
		Printed: "1.033", Provenance: uncertaintytest.Seen, Exception: "1/0.96742 is 1.0337, which the guide cuts off",
	}
	row.Check(printer{}, 1/normalFactor(2.0/3))
	row.Exception = ""
	row.Check(printer{}, math.Round(1e4/normalFactor(2.0/3))/1e4)
	// Output: multiplier for two thirds = 1.0337, published 1.033 (JCGM 100:2008, 4.3.5, seen)
}

// The factor for 99 % to four printed digits; three computed ones are not enough.
func ExamplePublished_Check() {
	row := uncertaintytest.Published{
		Name: "k, normal, 99 %", Source: "JCGM 100:2008", Place: "table G.1",
		Printed: "2.576", Provenance: uncertaintytest.Seen,
	}
	row.Check(printer{}, normalFactor(0.99))
	row.Check(printer{}, 2.58)
	// Output: k, normal, 99 % = 2.58, published 2.576 (JCGM 100:2008, table G.1, seen)
}

// A test with a subtest for each row. In a file of tests it is a function of its own,
// func TestPublishedFactors(t *testing.T).
func ExamplePublished_Run() {
	rows := []struct {
		p       float64
		printed string
	}{{0.90, "1.645"}, {0.95, "1.960"}, {0.99, "2.576"}}
	testPublishedFactors := func(t *testing.T) {
		for _, row := range rows {
			uncertaintytest.Published{
				Name: fmt.Sprint("k, normal, ", row.p), Source: "JCGM 100:2008", Place: "table G.1",
				Printed: row.printed, Provenance: uncertaintytest.Seen,
			}.Run(t, normalFactor(row.p))
		}
	}
	fmt.Printf("%d rows in a %T\n", len(rows), testPublishedFactors)
	// Output: 3 rows in a func(*testing.T)
}

// How a figure came here is said in every row, and never promoted.
func ExampleProvenance() {
	fmt.Println(uncertaintytest.Seen, "-", uncertaintytest.FromMemory, "-", uncertaintytest.CommonPractice)
	row := uncertaintytest.Published{Name: "k", Source: "JCGM 100:2008", Place: "table G.1",
		Printed: "1.960", Provenance: "heard of"}
	row.Check(printer{}, normalFactor(0.95))
	// Output:
	// seen - from memory - common practice
	// published value "k": no provenance; expected source, place and provenance in each row
}
