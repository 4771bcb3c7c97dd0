// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

// values is what the positions of the dials add to the resistance at the terminals, in
// ohms: nominal, or measured where the box has a calibration. Searches and everything
// that walks over many settings run on it.
type values struct {
	zero  float64     // of the zero setting
	off   float64     // off zero without the dials: the residual, unless nominal values include it
	dials [][]float64 // by dial and position; 0 at position 0
}

// nominalValues is the table of a box as it is described.
func (s *Spec) nominalValues() values {
	v := values{zero: s.Residual, dials: make([][]float64, len(s.Decades))}
	if !s.ResidualIncluded {
		v.off = s.Residual
	}
	for i, d := range s.Decades {
		v.dials[i] = make([]float64, d.Positions+1)
		step := decimal(d.Step)
		for p := range v.dials[i] {
			// Each position is rounded once from the stated step: p additions of 0.1 would add p
			// roundings.
			v.dials[i][p] = nearest(product(whole(p), step))
		}
	}
	return v
}

// sumAt is the sum over the dials.
func (v *values) sumAt(s *Setting) float64 {
	if s.AllZero() {
		return v.zero
	}
	total := v.off
	for i, dial := range v.dials {
		total += dial[s.positions.at(i)]
	}
	return total
}
