// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"testing"
)

// Sums in blocks are the sums turn by turn.
func TestSumsInBlocks(t *testing.T) {
	g := geometry{winding: Winding{Former: Cylinder(0.02, 1), Wire: Wire{Bare: 0.1e-3, Covered: 0.12e-3}},
		pitch: 0.24e-3, spacing: 0.12e-3}
	rows := []row{
		{first: 0, pitch: 0.24e-3, turns: 400, weight: 1},
		{first: 0.12e-3, pitch: 0.24e-3, turns: 400, weight: 1},
		{layer: 1, first: 0, pitch: 0.24e-3, turns: 250, weight: 1},
		{layer: 3, first: 30e-3, pitch: 0.24e-3, turns: 90, weight: 1},
		{layer: 1, first: 60e-3, pitch: 0.24e-3, turns: 1, weight: 0.25},
	}
	for i, a := range rows {
		m := g.mutual(a, a)
		want := float64(a.turns) * g.self(a)
		for k := 1; k < a.turns; k++ {
			want += 2 * float64(a.turns-k) * m(float64(k)*a.pitch)
		}
		if got := g.rowInductance(a); math.Abs(got/a.weight/want-1) > 3e-7 {
			t.Errorf("row %d: %v, turn by turn %v", i, got, want)
		}
		for j, b := range rows[:i] {
			m, want := g.mutual(a, b), 0.0
			for p := range a.turns {
				for q := range b.turns {
					want += m(math.Abs(a.place(p) - b.place(q)))
				}
			}
			want *= min(a.weight, b.weight)
			if got := g.between(a, b); math.Abs(got/want-1) > 3e-7 {
				t.Errorf("rows %d and %d: %v, turn by turn %v", i, j, got, want)
			}
		}
	}
}
