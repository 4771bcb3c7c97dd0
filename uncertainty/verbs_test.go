// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
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
		{"%#v", i, "uncertainty.Interval{Lower:1233.44, Upper:1235.6, Unit:\"\"}"},
		{"%#v", e, "uncertainty.Expanded{P:0.95, K:1.959964, U:0.016332, Interval:uncertainty.Interval{Lower:1233.44, Upper:1235.6, Unit:\"\"}}"},
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

// An interval that an evaluation returns states the unit of the measurand, and is printed with it.
func TestIntervalsStateTheirUnit(t *testing.T) {
	x := uncertainty.Source{Name: "x", Unit: "V", Distribution: uncertainty.Rectangular(2, 0.1)}.Input()
	y := uncertainty.Source{Name: "y", Unit: "A", Distribution: uncertainty.Normal(1, 0.01)}.Input()
	z := uncertainty.Source{Name: "z", Unit: "1", Distribution: uncertainty.Normal(2, 0.1)}.Input()
	q := x.Div(y)
	b := evaluate(t, q)
	intervals := map[string]uncertainty.Interval{"Expanded": b.Expanded.Interval, "ExpandedAt": must(b.ExpandedAt(0.99)).Interval,
		"Convolution": must(b.Convolution(0.9)), "BestInterval": must(b.BestInterval(0.9)), "WithCoverage": must(b.AtCoverage(0.9)).Expanded.Interval,
		"of an exact": must(evaluate(t, uncertainty.Exact(1).InUnit("Ω")).Convolution(0.9))}
	for name, m := range map[string]uncertainty.MonteCarlo{
		"streamed": {Trials: 40_000}, "kept": {Trials: 20_000}, "regions": {Trials: 20_000, Regions: true}, "adaptive": {Trials: 110_000, Digits: 1}} {
		s := simulate(t, m, q, q.Mul(z))
		for i, o := range s.Outputs {
			intervals[fmt.Sprint(name, i, " symmetric")], intervals[fmt.Sprint(name, i, " shortest")] = o.Symmetric, o.Shortest
			if s.Rectangle != nil {
				intervals[fmt.Sprint("side ", i)] = s.Rectangle.Sides[i]
			}
		}
		if s.Smallest != nil {
			intervals["X"], intervals["Y"] = s.Smallest.X, s.Smallest.Y
		}
		c := must(uncertainty.Compare(b, &s.Outputs[0], 1))
		intervals["linear"], intervals["simulated"] = c.Linear, c.Simulated
		if text := c.String(); strings.Count(text, " Ω") != 2 {
			t.Errorf("comparison %q; want distances and tolerance in Ω", text)
		}
		if c, err := uncertainty.Compare(evaluate(t, uncertainty.Source{Unit: "mΩ", Distribution: uncertainty.Normal(2, 0.1)}.Input()), &s.Outputs[0], 1); !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("budget in mΩ against an output in Ω: %v, error %v; want ErrUnitMismatch", c, err)
		}
	}
	if len(intervals) < 20 {
		t.Errorf("%d intervals; expected 20 or more", len(intervals))
	}
	for name, i := range intervals {
		for _, verb := range []string{"%v", "%s", "%.3v"} {
			if text := fmt.Sprintf(verb, i); i.Unit != "Ω" || !strings.HasSuffix(text, "] Ω") {
				t.Errorf("%s: %s prints %q, unit %q; want Ω", name, verb, text, i.Unit)
			}
		}
	}
	var read uncertainty.Budget
	if err := json.Unmarshal(must(json.Marshal(b)), &read); err != nil || read.Expanded.Interval != b.Expanded.Interval {
		t.Errorf("read back %v, error %v; want %v", read.Expanded.Interval, err, b.Expanded.Interval)
	}
	if text := b.Expanded.String(); !strings.Contains(text, " Ω (k = ") {
		t.Errorf("expanded uncertainty %q; want it in Ω", text)
	}
	if text := fmt.Sprintf("%.3f", b.Expanded.Interval); strings.Contains(text, "Ω") {
		t.Errorf("%%.3f prints %q; want numbers alone", text)
	}
}
