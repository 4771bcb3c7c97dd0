// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// Factors for 95 %: few degrees of freedom, the effective number of an ordinary
// budget, and the normal distribution (JCGM 100:2008, Table G.2, prints 12.71, 2.12
// for 16, and 1.960).
func ExampleCoverageFactor() {
	for _, dof := range []float64{1, 16.7, math.Inf(1)} {
		k, err := uncertainty.CoverageFactor(0.95, dof)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.3f\n", k)
	}
	// Output:
	// 12.706
	// 2.113
	// 1.960
}
