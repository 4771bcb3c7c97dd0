// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
)

// jointSampler draws correlated inputs together: multivariate normal (JCGM 101
// 6.4.8) or, with degrees of freedom, multivariate t (JCGM 102 5.3.2).
type jointSampler struct {
	x      []float64
	factor [][]float64 // covariance = factor · transposed factor; a row for each input
	mixing *mixing
	normal *ziggurat
}

// newJoint makes the sampler of the given members of a group. Where the group was
// observed n times, n − N degrees of freedom are left for N quantities and the scale
// matrix grows accordingly (JCGM 102 5.3.2.2); a covariance matrix that was stated
// with degrees of freedom is itself the scale matrix.
func newJoint(members []*source) (*jointSampler, error) {
	g := members[0].group
	s := &jointSampler{normal: unitNormal()}
	scale, dof := 1.0, g.dof
	if members[0].typ == EvaluationA {
		dof = g.dof - float64(len(g.names)-1)
		if dof < 1 {
			return nil, &Error{Op: "MonteCarlo", Value: g.dof + 1, Err: because(ErrObservations, fmt.Sprintf("%v joint observations of %d quantities; a multivariate t-distribution expects more observations than quantities", g.dof+1, len(g.names)))}
		}
		scale = g.dof / dof
	}
	if !math.IsInf(dof, 1) {
		m := newMixing(dof)
		s.mixing = &m
	}
	c := make([][]float64, len(members))
	for i, a := range members {
		s.x = append(s.x, a.x)
		c[i] = make([]float64, len(members))
		for k, b := range members {
			c[i][k] = g.cov.At(a.index, b.index)
		}
	}
	s.factor = semidefiniteFactor(c)
	for _, row := range s.factor {
		for k := range row {
			row[k] *= math.Sqrt(scale)
		}
	}
	return s, nil
}

// dof of the distribution that is drawn from.
func (s *jointSampler) dof() float64 {
	if s.mixing == nil {
		return math.Inf(1)
	}
	return s.mixing.dof
}

// fill makes one column for each member; z is room for a column.
func (s *jointSampler) fill(dst [][]float64, z []float64, g *generator) {
	for i := range s.x {
		clear(dst[i])
	}
	for k := range s.factor[0] {
		s.normal.fill(z, 0, 1, g)
		for i, row := range s.factor {
			c, d := row[k], dst[i][:len(z)]
			for j, v := range z {
				d[j] += float64(c * v)
			}
		}
	}
	if s.mixing != nil {
		for j := range z {
			z[j] = s.mixing.draw(g)
		}
	} else {
		fillConstant(z, 1)
	}
	for i, x := range s.x {
		d := dst[i][:len(z)]
		for j, v := range z {
			d[j] = x + float64(v*d[j])
		}
	}
}

// semidefiniteFactor returns L with L·Lᵀ = c, for a covariance matrix that may be
// singular (r = ±1) or, from rounded correlations, indefinite by a little: the
// largest pivot is taken first, no element exceeds what its pivot allows, and the
// variances are kept exactly. One row for each quantity, one column for each pivot.
func semidefiniteFactor(c [][]float64) [][]float64 {
	n := len(c)
	rest := make([]float64, n) // of the correlation matrix
	u := make([]float64, n)
	for i := range n {
		u[i], rest[i] = math.Sqrt(c[i][i]), 1
		if u[i] == 0 {
			rest[i] = 0
		}
	}
	l := make([][]float64, n)
	used := make([]bool, n)
	for range n {
		p := -1
		for i := range n {
			if !used[i] && (p < 0 || rest[i] > rest[p]) {
				p = i
			}
		}
		used[p] = true
		if rest[p] < 1e-12 {
			break
		}
		root := math.Sqrt(rest[p])
		column := make([]float64, n)
		column[p] = root
		for i := range n {
			if used[i] || u[i] == 0 {
				continue
			}
			v := c[i][p] / (u[i] * u[p])
			for k := range l[i] {
				v -= float64(l[i][k] * l[p][k])
			}
			limit := math.Sqrt(max(0, rest[i]))
			column[i] = max(-limit, min(limit, v/root))
		}
		for i := range n {
			l[i] = append(l[i], column[i])
			rest[i] -= float64(column[i] * column[i])
		}
	}
	for i := range n {
		var square float64
		for _, v := range l[i] {
			square += float64(v * v)
		}
		for k := range l[i] {
			if square > 0 {
				l[i][k] *= u[i] / math.Sqrt(square)
			}
		}
	}
	return l
}

func fillConstant(dst []float64, v float64) {
	for i := range dst {
		dst[i] = v
	}
}
