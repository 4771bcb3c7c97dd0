// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/fit"
)

// One degree of freedom is no plural, whether it is few or too large a chi-squared.
func TestOneDegreeOfFreedom(t *testing.T) {
	var x, exact, uncertain []uncertainty.Quantity
	for i, y := range []float64{1, 2, 4} {
		x = append(x, uncertainty.Exact(float64(i)))
		exact = append(exact, uncertainty.Exact(y))
		uncertain = append(uncertain, uncertainty.Input(fmt.Sprint("y", i), uncertainty.Normal(y, 0.01)))
	}
	for name, y := range map[string][]uncertainty.Quantity{"exact": exact, "uncertain": uncertain} {
		f, err := fit.Line(x, y)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if said := fmt.Sprint(f.Warnings); !strings.Contains(said, "1 degree of freedom") {
			t.Errorf("%s: %s", name, said)
		}
	}
}
