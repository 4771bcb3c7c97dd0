// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package numbers

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
)

// Each check at its bound, on both sides of it, and beyond all bounds.
func TestBounds(t *testing.T) {
	below := math.Nextafter(1, 0)
	for _, c := range []struct {
		name  string
		check func(v float64) error
		pass  []float64
		fail  []float64
	}{
		{"finite", func(v float64) error { return Finite("p.F", "v", v) }, []float64{-math.MaxFloat64, 0, math.MaxFloat64}, nil},
		{"not negative", func(v float64) error { return NotNegative("p.F", "v", " Ω", v) }, []float64{0, math.Copysign(0, -1), 1}, []float64{-5e-324}},
		{"positive", func(v float64) error { return Positive("p.F", "v", " Ω", v) }, []float64{5e-324}, []float64{0, -1}},
		{"fraction", func(v float64) error { return Fraction("p.F", "v", v) }, []float64{0, below}, []float64{1, -5e-324}},
	} {
		for _, v := range c.pass {
			if err := c.check(v); err != nil {
				t.Errorf("%s: %v is refused: %v", c.name, v, err)
			}
		}
		for _, v := range c.fail {
			e, ok := errors.AsType[*unit.Error](c.check(v))
			if !ok || e.Op != "p.F" || e.Name != "v" || e.Value != v || !errors.Is(e, unit.ErrDomain) {
				t.Errorf("%s: %v gives %v; want a refusal of v outside its domain", c.name, v, e)
			}
		}
		for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			if err := c.check(v); !errors.Is(err, unit.ErrNotFinite) {
				t.Errorf("%s: %v gives %v; want ErrNotFinite", c.name, v, err)
			}
		}
	}
}
