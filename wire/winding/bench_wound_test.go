// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"testing"

	"example.com/ohmwright/wire/winding"
)

// Choosing asks for many windings: 100 turns of each kind.
func BenchmarkResiduals(b *testing.B) {
	for c := winding.PlainWinding; c <= winding.WovenWinding; c++ {
		f := winding.Cylinder(0.02, 0.2)
		if c == winding.WovenWinding {
			f = winding.Card(0.03, 1e-3, 0.2)
		}
		w := winding.Winding{Construction: c, Former: f, Wire: enamelled, Turns: 100, Ohms: 10}
		b.Run(c.String(), func(b *testing.B) {
			for b.Loop() {
				if _, err := w.Residuals(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	layers := winding.Winding{Former: winding.Cylinder(0.02, 0.01), Wire: enamelled, Turns: 100, Ohms: 10}
	b.Run("four layers", func(b *testing.B) {
		for b.Loop() {
			if _, err := layers.Residuals(); err != nil {
				b.Fatal(err)
			}
		}
	})
}
