// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// More limits of error by dial class and by two-number class: the textbook example from
// memory, the others computed outside this package by the rules named.
func TestPublishedClassForms(t *testing.T) {
	const (
		textbook = "electronic-instrumentation textbooks, limiting error of a four-dial decade box"
		perDial  = "class of each dial on its dialled value (IEC 60477-1) and the residual as allowance; " + computed
		twoClass = "GOST 23737-79, two-number class; rule from memory, example " + computed
	)
	dials := func(residual float64, classAndStep ...[2]float64) decade.Spec {
		s := decade.Spec{ResidualTolerance: residual}
		for _, d := range classAndStep {
			s.Decades = append(s.Decades, decade.Decade{Step: d[1], Tolerance: d[0]})
		}
		return s
	}
	row := func(name, source, place, printed string, got float64) {
		p := uncertaintytest.Published{Name: name, Source: source, Place: place, Printed: printed,
			Provenance: uncertaintytest.FromMemory}
		p.Run(t, got)
	}
	upper := func(s decade.Setting) float64 { return s.Limits().Upper - s.Nominal() }

	book := at(t, box(t, dials(0, [2]float64{0.001, 1000}, [2]float64{0.001, 100},
		[2]float64{0.005, 10}, [2]float64{0.01, 1})), 4, 6, 3, 9)
	row("four classes, ohms", textbook, "4639 Ω", "4.84", book.ClassLimit())
	row("four classes, per cent", textbook, "4639 Ω", "0.1043", 100*book.ClassLimit()/book.Nominal())

	low := at(t, box(t, dials(0.005, [2]float64{0.0001, 1000}, [2]float64{0.0002, 100},
		[2]float64{0.0005, 10}, [2]float64{0.001, 1})), 0, 0, 5, 7)
	row("two low dials and the residual", perDial, "57 Ω", "0.037", upper(low))
	high := at(t, box(t, dials(0.005, [2]float64{0.0001, 10000}, [2]float64{0.0001, 1000},
		[2]float64{0.0001, 100}, [2]float64{0.0005, 10}, [2]float64{0.001, 1})), 9, 8, 7, 6, 5)
	row("five dials and the residual", perDial, "98765 Ω", "9.910", upper(high))

	two := func(c, d, largest float64, s decade.Spec, positions ...int) float64 {
		tolerance, floor, err := decade.TwoNumberClass(c, d, largest)
		if err != nil {
			t.Fatal(err)
		}
		s.Tolerance, s.Floor = tolerance, floor
		set := at(t, box(t, s), positions...)
		return 100 * set.ClassLimit() / set.Nominal()
	}
	six := decade.Spec{Decades: steps(0, 10000, 1000, 100, 10, 1, 0.1)}
	row("class 0.02/2e-6, per cent", twoClass, "100 Ω of 111111.1 Ω", "0.02222022200",
		two(0.02, 2e-6, 111111.1, six, 0, 0, 1, 0, 0, 0))
	row("class 0.02/2e-6 at the top, per cent", twoClass, "111111 Ω of 111111 Ω", "0.02000000000",
		two(0.02, 2e-6, 111111, six, 10, 10, 10, 10, 10, 10))
	row("class 0.1/1e-5, per cent", twoClass, "5 Ω of 11111 Ω", "0.1222120000",
		two(0.1, 1e-5, 11111, six, 0, 0, 0, 0, 5, 0))
}
