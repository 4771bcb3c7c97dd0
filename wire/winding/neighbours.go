// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/elementary"
)

// A section is the cut through wires that lie side by side, all of one kind: metal of
// radius metal inside a covering of radius outside, in a medium. Its capacitances follow
// from the field of two dimensions, which holds near a wire because neighbours lie much
// nearer than the wire bends.
type section struct {
	metal, outside   float64      // m
	covering, medium float64      // relative permittivities
	centres          []complex128 // m
	// mirrored: the wires above the real axis stand for an image below it too, of the
	// same potential.
	mirrored bool
}

// capacitances returns the capacitance per metre, in F/m, between wire number from and
// each of the others, all of which are at one potential, the charges adding up to zero.
//
// The potential outside the coverings is that of a line charge and of multipoles in each
// wire. In the coordinates ζ about a wire the others make the field Re Σ A(k) (ζ/b)^k;
// the wire answers it with Re Σ B(k) (b/ζ)^k, B(k) = R(k) A(k)*, where R(k) follows from
// the conditions at the metal and at the surface of the covering (the two-dimensional
// counterpart of Rayleigh, Phil. Mag. 34 (1892) 481).
func (s section) capacitances(from int) ([]float64, error) {
	// Of each wire: its charge and its multipoles.
	terms := s.terms()
	unknowns, index := 1, make([]int, len(s.centres)) // unknown 0 is the potential far away
	for i, z := range s.centres {
		index[i] = unknowns
		unknowns += 1 + terms*s.parts(z)
	}
	a := mat.NewDense(unknowns, unknowns, nil)
	b := mat.NewVecDense(unknowns, nil)
	for j := range s.centres {
		s.equations(a, j, index, terms)
	}
	b.SetVec(index[from], 1)
	// The charges add up to zero, which determines the potential far away.
	for i, z := range s.centres { // no charge in all
		a.Set(0, index[i], s.copies(z))
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return nil, err
	}
	out := make([]float64, len(s.centres))
	for i := range out {
		// The charge on a wire at the common potential, with the first at 1.
		out[i] = -2 * math.Pi * ElectricConstant * s.medium * x.AtVec(index[i])
	}
	return out, nil
}

// terms is the number of multipoles: those of two wires fall off as e^(−kη) with
// cosh η = spacing over metal diameter.
func (s section) terms() int {
	nearest := math.Inf(1)
	for _, z := range s.centres[1:] {
		nearest = min(nearest, cmplx.Abs(z-s.centres[0]))
	}
	eta := elementary.Acosh(max(nearest/(2*s.metal), 1+1e-6))
	most := 24
	if s.plane() > 0 {
		most = 14
	}
	// Some five natural units of decay, at least four terms.
	return int(min(max(math.Ceil(5/eta), 4), float64(most)))
}

// plane is how many wires lie off the real axis.
func (s section) plane() (n int) {
	for _, z := range s.centres {
		if imag(z) != 0 {
			n++
		}
	}
	return n
}

// parts is 1 where symmetry leaves the multipoles of a wire real, else 2.
// On the axis the field is symmetric, and multipoles are real.
func (s section) parts(z complex128) int {
	if s.plane() == 0 || s.mirrored && imag(z) == 0 {
		return 1
	}
	return 2
}

// copies is for how many wires a wire stands.
func (s section) copies(z complex128) float64 {
	if s.mirrored && imag(z) != 0 {
		return 2
	}
	return 1
}

// equations writes the potential of wire j, row index[j], and its answers to the field
// of the others, the rows after it.
func (s section) equations(a *mat.Dense, j int, index []int, terms int) {
	row := index[j]
	parts := s.parts(s.centres[j])
	a.Set(row, 0, 1)
	// The potential of a charge across the covering of its own wire.
	a.Set(row, row, s.medium/s.covering*elementary.Log(s.outside/s.metal))
	for k := range terms * parts {
		a.Set(row+1+k, row+1+k, 1)
	}
	for i, z := range s.centres {
		if i != j {
			s.influence(a, j, i, s.centres[j]-z, false, index, terms)
		}
		if s.copies(z) == 2 {
			s.influence(a, j, i, s.centres[j]-cmplx.Conj(z), true, index, terms)
		}
	}
}

// influence adds what wire i, or its image, at the displacement x makes of the field at
// wire j.
func (s section) influence(a *mat.Dense, j, i int, x complex128, image bool, index []int,
	terms int) {
	row, column := index[j], index[i]
	pj, pi := s.parts(s.centres[j]), s.parts(s.centres[i])
	// b/x, by which each multipole has fallen off at the other wire.
	u := complex(s.outside, 0) / x
	add := func(r, c int, v float64) { a.Set(r, c, a.At(r, c)+v) }
	// a multipole of i: its real part, and its imaginary part, which the image has
	// reversed
	add(row, column, elementary.Log(cmplx.Abs(u)))
	powers := make([]complex128, 2*terms+1)
	powers[0] = 1
	for k := 1; k < len(powers); k++ {
		powers[k] = powers[k-1] * u
	}
	turned := complex(0, 1)
	if image {
		turned = -turned
	}
	for m := 1; m <= terms; m++ {
		c := column + 1 + (m-1)*pi
		// The potential at the middle of wire j.
		add(row, c, real(powers[m]))
		if pi == 2 {
			add(row, c+1, real(turned*powers[m]))
		}
	}
	for k := 1; k <= terms; k++ {
		// (−1)^k of the expansion about another centre.
		sign, answer := 1.0, s.answer(k)
		if k%2 == 1 {
			sign = -1
		}
		put := func(c int, field complex128) { // B = R A*, written as B − R A* = 0
			r := row + 1 + (k-1)*pj
			add(r, c, -answer*sign*real(field))
			if pj == 2 {
				add(r+1, c, answer*sign*imag(field))
			}
		}
		put(column, powers[k]/complex(float64(k), 0))
		choose := 1.0 // binomial(m+k−1, k)
		for m := 1; m <= terms; m++ {
			if m > 1 {
				// binomial(m + k − 1, k) from that of m − 1.
				choose *= float64(m+k-1) / float64(m-1)
			}
			c := column + 1 + (m-1)*pi
			field := complex(choose, 0) * powers[m+k]
			put(c, field)
			if pi == 2 {
				put(c+1, turned*field)
			}
		}
	}
}

// answer is R(k).
func (s section) answer(k int) float64 {
	// The covering answers between the metal, which is a conductor, and the medium.
	q := elementary.Pow(s.metal/s.outside, float64(2*k))
	kappa := s.covering / s.medium
	return ((1 - q) - float64(kappa*(1+q))) / ((1 - q) + float64(kappa*(1+q)))
}
