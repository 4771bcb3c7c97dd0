// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"

	"example.com/ohmwright/uncertainty"
)

// What stands in the file: the sources, and each result with its sensitivities.
func ExampleRecord_MarshalJSON() {
	standard := uncertainty.Source{Name: "standard", Unit: "Ω", Distribution: uncertainty.Normal(100, 0.5)}.Input()
	text, err := json.MarshalIndent(uncertainty.Record{ID: "box 17, 2026-03-01",
		Quantities: []uncertainty.Quantity{standard.Scale(2).Named("R")}}, "", "  ")
	fmt.Println(string(text), err)
	// Output:
	// {
	//   "id": "box 17, 2026-03-01",
	//   "sources": [
	//     {
	//       "name": "standard",
	//       "unit": "Ω",
	//       "distribution": {
	//         "kind": "normal",
	//         "estimate": 100,
	//         "standardUncertainty": 0.5
	//       },
	//       "column": 1
	//     }
	//   ],
	//   "quantities": [
	//     {
	//       "name": "R",
	//       "unit": "Ω",
	//       "estimate": 200,
	//       "standardUncertainty": 1,
	//       "columns": [
	//         1
	//       ],
	//       "c": [
	//         2
	//       ]
	//     }
	//   ]
	// } <nil>
}

// Two files that were written on different days with one standard: the ID of the source
// makes it one again, and it cancels in the drift.
func ExampleRecord_UnmarshalJSON() {
	standard := uncertainty.Source{Name: "standard", ID: "R-100 no. 17, 2026-01-12",
		Distribution: uncertainty.Normal(100, 0.004)}.Input()
	write := func(id string, ratio float64) []byte {
		r := standard.Mul(uncertainty.Input("ratio", uncertainty.Normal(ratio, 1e-6))).Named("R")
		text, err := json.Marshal(uncertainty.Record{ID: id, Quantities: []uncertainty.Quantity{r}})
		if err != nil {
			fmt.Println(err)
		}
		return text
	}
	var spring, autumn uncertainty.Record
	err := json.Unmarshal(write("box 17, 2026-03-01", 1.00012), &spring)
	fmt.Println(spring.Quantity("R"), err)
	err = json.Unmarshal(write("box 17, 2026-10-01", 1.00015), &autumn)
	fmt.Println(autumn.Quantity("R").Sub(spring.Quantity("R")), err)
	// Output:
	// 100.0120(40) <nil>
	// 0.00300(14) <nil>
}

// A name that is not in the record gives no number.
func ExampleRecord_Quantity() {
	r := uncertainty.Record{ID: "box 17, 2026-03-01", Quantities: []uncertainty.Quantity{
		uncertainty.Input("x100 at 3", uncertainty.Normal(300.012, 0.004)),
	}}
	fmt.Println(r.Quantity("x100 at 3"), "Ω")
	err := r.Quantity("x100 at 4").Err()
	fmt.Println(errors.Is(err, uncertainty.ErrUnknown))
	// Output:
	// 300.0120(40) Ω
	// true
}
