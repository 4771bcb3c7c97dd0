// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wording

import (
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func TestPublishedOnePerCentPoint(t *testing.T) {
	for dof, printed := range map[int]string{5: "0.554", 10: "2.558", 20: "8.260", 50: "29.707"} {
		uncertaintytest.Published{
			Name: fmt.Sprint("lower 1 % point, ", dof), Source: "NIST/SEMATECH e-Handbook of Statistical Methods",
			Place: "1.3.6.7.4, critical values of the chi-square distribution", Printed: printed,
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, onePerCentPoint(dof))
	}
}

func TestAgreeTooWell(t *testing.T) {
	for _, c := range []struct {
		chi  float64
		dof  int
		want bool
	}{{0.55, 5, true}, {0.56, 5, false}, {0.01, 4, false}, {0, 6, true}, {math.NaN(), 6, false}, {-1, 6, false}} {
		if got := AgreeTooWell(c.chi, c.dof); got != c.want {
			t.Errorf("chi-squared %v, %d degrees of freedom: %v, want %v", c.chi, c.dof, got, c.want)
		}
	}
	const want = "the readings agree better than their uncertainties: chi-squared 0.5 with 5 " +
		"degrees of freedom, below its 1 % point. Limits, noise or contact are stated too large, " +
		"or readings are not independent."
	if got := TooWell("the readings", 0.5, 5); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
