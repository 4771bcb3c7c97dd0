// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import "math"

// A Joint draws correlated quantities together: from the multivariate normal distribution
// (JCGM 101 6.4.8) or, with degrees of freedom, the multivariate t (JCGM 102 5.3.2).
type Joint struct {
	x      []float64
	factor [][]float64
	mixing *mixing
	normal *ziggurat
}

// NewJoint takes the estimates, a factor of the scale matrix, which is factor times
// transposed factor with a row for each quantity, and the degrees of freedom, +Inf for the
// normal distribution. It keeps both slices.
func NewJoint(x []float64, factor [][]float64, dof float64) *Joint {
	j := &Joint{x: x, factor: factor, normal: unitNormal()}
	// A normal vector needs no mixing.
	if !math.IsInf(dof, 1) {
		m := newMixing(dof)
		j.mixing = &m
	}
	return j
}

// DOF returns the degrees of freedom of the distribution that is drawn from.
func (s *Joint) DOF() float64 {
	if s.mixing == nil {
		return math.Inf(1)
	}
	return s.mixing.dof
}

// Fill makes one column for each member; z is room for a column.
func (s *Joint) Fill(dst [][]float64, z []float64, g *Generator) {
	for i := range s.x {
		clear(dst[i])
	}
	// x = Σ column·z, column by column: each has one normal variate in a trial.
	for k := range s.factor[0] {
		s.normal.fill(z, 0, 1, g)
		for i, row := range s.factor {
			c, d := row[k], dst[i][:len(z)]
			for j, v := range z {
				d[j] += float64(c * v)
			}
		}
	}
	// One mixing variate in a trial for all members: that is what makes it a multivariate t (JCGM
	// 102 5.3.2.4), and not t variates that are only correlated.
	if s.mixing != nil {
		for j := range z {
			z[j] = s.mixing.draw(g)
		}
	} else {
		for j := range z {
			z[j] = 1
		}
	}
	for i, x := range s.x {
		d := dst[i][:len(z)]
		for j, v := range z {
			d[j] = x + float64(v*d[j])
		}
	}
}
