// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire/winding"
)

// Magnetic steel beside copper and aluminium, depths in millimetres.
func TestPublishedSkinDepthOfSteel(t *testing.T) {
	for _, r := range []struct {
		metal                                string
		resistivity, permeability, frequency float64
		printed, exception                   string
	}{
		{"3 % Si steel, 300 K", 5e-7, 700, 1, "13", ""},
		{"3 % Si steel, 300 K", 5e-7, 700, 400, "0.67", ""},
		{"3 % Si steel, 300 K", 5e-7, 700, 1000, "0.43", ""},
		{"3 % Si steel, 300 K", 5e-7, 700, 20000, "0.95", "the print slips the decimal point: 0.095"},
		{"3 % Si steel, 300 K", 5e-7, 700, 200000, "0.030", ""},
		{"3 % Si steel, 600 K", 7e-7, 300, 60, "3.1", ""},
		{"3 % Si steel, 600 K", 7e-7, 300, 400, "1.2", ""},
		{"3 % Si steel, 600 K", 7e-7, 300, 5000, "0.34", ""},
		{"3 % Si steel, 600 K", 7e-7, 300, 20000, "0.17", ""},
		{"copper, 600 K", 3.8e-8, 1, 1, "98", ""},
		{"copper, 600 K", 3.8e-8, 1, 60, "13", ""},
		{"copper, 600 K", 3.8e-8, 1, 1000, "3.1", ""},
		{"copper, 600 K", 3.8e-8, 1, 5000, "1.4", ""},
		{"copper, 600 K", 3.8e-8, 1, 200000, "0.22", ""},
		{"aluminium, 300 K", 2.8e-8, 1, 1, "84", ""},
		{"aluminium, 300 K", 2.8e-8, 1, 1000, "2.7", ""},
		{"aluminium, 300 K", 2.8e-8, 1, 5000, "1.2", ""},
		{"aluminium, 300 K", 2.8e-8, 1, 200000, "0.19", ""},
	} {
		depth := must[float64](t)(winding.SkinEffect{Resistivity: r.resistivity,
			Permeability: r.permeability, Frequency: r.frequency}.Depth())
		uncertaintytest.Published{
			Name:   fmt.Sprintf("%s, %g Hz", r.metal, r.frequency),
			Source: "technical page on skin depth in steel, copper and aluminium", Place: "table of depths",
			Printed: r.printed, Provenance: uncertaintytest.Seen, Exception: r.exception,
		}.Run(t, depth*1e3)
	}
}
