// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest_test

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// The normal distribution keeps 95.45 % within two standard deviations
// (JCGM 100:2008, Table G.1).
func ExampleAgrees() {
	percent := 100 * math.Erf(2/math.Sqrt2)
	for _, printed := range []string{"95", "95.45", "95.46", "about 95"} {
		ok, err := uncertaintytest.Agrees(percent, printed)
		fmt.Println(printed, ok, err != nil)
	}
	// Output:
	// 95 true false
	// 95.45 true false
	// 95.46 false false
	// about 95 false true
}
