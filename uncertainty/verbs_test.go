// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// Every verb that somebody would write prints numbers, never the fields of a struct.
func TestVerbs(t *testing.T) {
	i := uncertainty.Interval{Lower: 1233.44, Upper: 1235.6}
	e := uncertainty.Expanded{P: 0.95, K: 1.959964, U: 0.016332, Interval: i}
	q := uncertainty.Source{Name: "Rs", Unit: "Ω", Distribution: uncertainty.Normal(10000.1783, 0.00833)}.Input()
	var none uncertainty.Quantity
	for _, c := range []struct {
		format string
		value  any
		want   string
	}{
		{"%v", i, "[1233.44, 1235.6]"},
		{"%s", i, "[1233.44, 1235.6]"},
		{"%.1f", i, "[1233.4, 1235.6]"},
		{"%8.1f", i, "[  1233.4,   1235.6]"},
		{"%+.3g", i, "[+1.23e+03, +1.24e+03]"},
		{"%d", i, "%!d(uncertainty.Interval=[1233.44, 1235.6])"},
		{"%#v", i, "uncertainty.Interval{Lower:1233.44, Upper:1235.6}"},
		{"%#v", e, "uncertainty.Expanded{P:0.95, K:1.959964, U:0.016332, Interval:uncertainty.Interval{Lower:1233.44, Upper:1235.6}}"},
		{"%#v", q, `uncertainty.Quantity("10000.1783(83) Ω")`},
		{"%v", &i, "[1233.44, 1235.6]"},
		{"%v", e, "U = 0.016332 (k = 1.96, 95 %)"},
		{"%s", e, "U = 0.016332 (k = 1.96, 95 %)"},
		{"%.2g", e, "U = 0.016 (k = 1.96, 95 %)"},
		{"%x", e, "%!x(uncertainty.Expanded=U = 0.016332 (k = 1.96, 95 %))"},
		{"%v", q, "10000.1783(83) Ω"},
		{"%s", q, "10000.1783(83) Ω"},
		{"%q", q, "\"10000.1783(83) Ω\""},
		{"%.1v", q, "10000.178(8) Ω"},
		{"%18v|", q, "  10000.1783(83) Ω|"},
		{"%-18v|", q, "10000.1783(83) Ω  |"},
		{"%.2f Ω", q, "10000.18 Ω"},
		{"%12.3f", q, "   10000.178"},
		{"%.3g", q, "1e+04"},
		{"%t", q, "%!t(uncertainty.Quantity=10000.1783(83) Ω)"},
		{"%.3g", none, none.String()},
		{"%v", none, none.String()},
	} {
		if got := fmt.Sprintf(c.format, c.value); got != c.want {
			t.Errorf("%s: %q; expected %q", c.format, got, c.want)
		}
	}
	if i.String() != fmt.Sprint(i) || e.String() != fmt.Sprint(e) || q.String() != fmt.Sprint(q) {
		t.Errorf("String differs from %%v: %s, %s, %s", i, e, q)
	}
}
