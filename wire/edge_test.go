// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/wire"
)

// A wire on a limit keeps it, whichever limit it is; the next number beyond does not.
func TestChooseKeepsWhatIsOnTheLimit(t *testing.T) {
	m := find(t, "manganin")
	all := must[[]wire.Choice](t)(wire.Choose(m, 100, 20, wire.American, wire.Limits{Power: 0.5}))
	x := all[len(all)/2]
	up := func(v float64) float64 { return math.Nextafter(v, math.Inf(1)) }
	down := func(v float64) float64 { return math.Nextafter(v, 0) }
	d := x.Gauge.Diameter()
	for _, c := range []struct {
		name       string
		on, beyond wire.Limits
	}{
		{"MinLength", wire.Limits{Power: 0.5, MinLength: x.Length}, wire.Limits{Power: 0.5, MinLength: up(x.Length)}},
		{"MaxLength", wire.Limits{Power: 0.5, MaxLength: x.Length}, wire.Limits{Power: 0.5, MaxLength: down(x.Length)}},
		{"both lengths", wire.Limits{Power: 0.5, MinLength: x.Length, MaxLength: x.Length}, wire.Limits{Power: 0.5, MinLength: up(x.Length)}},
		{"MinDiameter", wire.Limits{Power: 0.5, MinDiameter: d}, wire.Limits{Power: 0.5, MinDiameter: up(d)}},
		{"MaxLoading", wire.Limits{Power: 0.5, MaxLoading: x.Loading}, wire.Limits{Power: 0.5, MaxLoading: down(x.Loading)}},
		{"MaxCurrentDensity", wire.Limits{Power: 0.5, MaxCurrentDensity: x.CurrentDensity}, wire.Limits{Power: 0.5, MaxCurrentDensity: down(x.CurrentDensity)}},
	} {
		has := func(l wire.Limits) bool {
			for _, y := range must[[]wire.Choice](t)(wire.Choose(m, 100, 20, wire.American, l)) {
				if y.Gauge == x.Gauge {
					return true
				}
			}
			return false
		}
		if !has(c.on) {
			t.Errorf("%s: %v is left out on the limit", c.name, x.Gauge)
		}
		if has(c.beyond) {
			t.Errorf("%s: %v is chosen beyond the limit", c.name, x.Gauge)
		}
	}
}

func TestEndsOfRanges(t *testing.T) {
	for _, d := range []float64{1e-9, 0.06} {
		if g, err := wire.Metric(d); err != nil || g.Diameter() != d {
			t.Errorf("Metric(%v) = %v, %v; want a size", d, g, err)
		}
	}
	for _, d := range []float64{math.Nextafter(1e-9, 0), math.Nextafter(0.06, 1), 0.2} {
		if g, err := wire.Metric(d); !errors.Is(err, wire.ErrDomain) {
			t.Errorf("Metric(%v) = %v, %v; want ErrDomain", d, g, err)
		}
	}
	c := wire.Conductor{Material: find(t, "copper"), Gauge: gauge(t, "1 mm")}
	if c.Gauge.Diameter() != 1e-3 {
		t.Fatalf("1 mm is %v m", c.Gauge.Diameter())
	}
}

// A slip is named as what it is: an unknown system, a constant in the place of a diameter.
func TestSlipsAreNamed(t *testing.T) {
	m, err := material.Find("manganin")
	if err != nil {
		t.Fatal(err)
	}
	_, system := wire.Choose(m, 10, 20, 99, wire.Limits{})
	_, swapped := wire.FusingCurrent(1e-3, wire.FusingCopper)
	_, covering := wire.ParseCovering("enamel")
	for want, err := range map[string]error{
		"wire.Choose: system":                        system,
		"diameter: 10244; expected at most 0.06 m":   swapped,
		"expected one of bare, enamel grade 1, enam": covering,
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want it with %q", err, want)
		}
	}
}
