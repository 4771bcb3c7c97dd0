// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network_test

import (
	"errors"
	"testing"

	"example.com/ohmwright/decade/network"
	"example.com/ohmwright/uncertainty"
)

// Every twin of quantities states the unit of its result, whether its arguments state
// theirs or not, and refuses arguments whose units make another kind of quantity.
func TestUnitsOfResults(t *testing.T) {
	for _, stated := range []bool{false, true} {
		in := func(name string, x float64, unit string) uncertainty.Quantity {
			if !stated {
				unit = ""
			}
			return uncertainty.Source{Name: name, Unit: unit, Distribution: uncertainty.Normal(x, 1e-6)}.Input()
		}
		r, s := in("r", 100, "Ω"), in("s", 110, "Ω")
		for _, c := range []struct {
			name string
			q    uncertainty.Quantity
			unit string
		}{
			{"BalanceOf", network.BalanceOf(r, s, uncertainty.Exact(10)), "Ω"},
			{"InterchangeOf", network.InterchangeOf(r, s), "Ω"},
			{"ParallelOf", network.ParallelOf(r, uncertainty.Exact(100)), "Ω"},
			{"SeriesParallelOf", network.SeriesParallelOf(2, r, s, in("t", 105, "Ω"), in("u", 104, "Ω")), "Ω"},
		} {
			b, err := uncertainty.Evaluate(c.q)
			if err != nil || b.Unit != c.unit {
				t.Errorf("%s, units stated: %v: %+v, error %v; want the unit %s", c.name, stated, b, err, c.unit)
			}
		}
	}
	v := uncertainty.Source{Name: "v", Unit: "V", Distribution: uncertainty.Normal(1, 0.1)}.Input()
	if _, err := uncertainty.Evaluate(network.ParallelOf(v, uncertainty.Exact(1))); !errors.Is(err,
		uncertainty.ErrUnitMismatch) {
		t.Errorf("volts in parallel: %v", err)
	}
}
