// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// fourWireMeter is an ordinary bench meter of 0.01 %, on its ranges for this box.
func fourWireMeter() *verify.Meter {
	m := &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire, OffsetCompensated: true}
	for _, scale := range []float64{100, 1e3, 1e4, 1e5} {
		m.Ranges = append(m.Ranges, verify.Range{Name: fmt.Sprintf("%g Ω", scale), FullScale: scale, OverRange: 1.2, OfReading: 0.0001, OfRange: 0.00001, Resolution: scale / 1e6})
	}
	return m
}

// triage is what to read first: zero, each dial at its maximum alone, everything at maximum.
func triage(box *decade.Box) []decade.Setting {
	out := []decade.Setting{box.Zero()}
	for dial, d := range box.Decades() {
		if s, err := box.Zero().With(dial, d.Positions); err == nil {
			out = append(out, s)
		}
	}
	if s, err := box.Max(); err == nil {
		out = append(out, s)
	}
	return out
}
