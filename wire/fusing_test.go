// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire"
)

func TestPublishedFusingDiameter(t *testing.T) {
	for _, r := range []struct {
		metal             string
		constant, current float64
		printed           string // inch
	}{
		{"copper", wire.FusingCopper, 2, "0.0034"},
		{"copper", wire.FusingCopper, 20, "0.0156"},
		{"copper", wire.FusingCopper, 25, "0.0181"},
		{"copper", wire.FusingCopper, 200, "0.0725"},
		{"copper", wire.FusingCopper, 300, "0.095"},
		{"aluminium", wire.FusingAluminium, 10, "0.012"},
		{"aluminium", wire.FusingAluminium, 30, "0.025"},
		{"platinum", wire.FusingPlatinum, 1, "0.0033"},
		{"platinum", wire.FusingPlatinum, 10, "0.0155"},
		{"platinum", wire.FusingPlatinum, 100, "0.072"},
		{"German silver", wire.FusingNickelSilver, 1, "0.0033"},
		{"German silver", wire.FusingNickelSilver, 20, "0.0245"},
		{"German silver", wire.FusingNickelSilver, 200, "0.1135"},
		{"platinoid", wire.FusingPlatinoid, 10, "0.0164"},
		{"platinoid", wire.FusingPlatinoid, 100, "0.0762"},
		{"iron", wire.FusingIron, 2, "0.0074"},
		{"iron", wire.FusingIron, 5, "0.0136"},
		{"iron", wire.FusingIron, 15, "0.0283"},
		{"tin", wire.FusingTin, 1, "0.0072"},
		{"tin-lead", wire.FusingTinLead, 1, "0.0083"},
		{"tin-lead", wire.FusingTinLead, 10, "0.0386"},
		{"lead", wire.FusingLead, 5, "0.0236"},
		{"lead", wire.FusingLead, 10, "0.0375"},
	} {
		d := must[float64](t)(wire.FusingDiameter(r.constant, r.current))
		uncertaintytest.Published{
			Name:   fmt.Sprintf("%s, %g A, inch", r.metal, r.current),
			Source: "technical page on fuses that quotes Preece's table", Place: "diameters",
			Printed: r.printed, Provenance: uncertaintytest.Seen,
		}.Run(t, d/0.0254)
		if back := must[float64](t)(wire.FusingCurrent(r.constant, d)); !near(back, r.current, 1e-12) {
			t.Errorf("%s: %v A, want %v", r.metal, back, r.current)
		}
	}
	for _, x := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}} {
		if _, err := wire.FusingDiameter(x[0], x[1]); !errors.Is(err, wire.ErrDomain) {
			t.Errorf("%v: %v", x, err)
		}
	}
}
