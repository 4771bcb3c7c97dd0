// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package determination

import "example.com/ohmwright/decade"

// Unknowns numbers what readings of a box determine: 0 is the residual, then come the
// elements dial by dial. A box of two tapped dials of ten has 21: the residual, 1 to 10 and 11 to
// 20. Number and order are those of the columns of a design and of a [Space]. An Unknowns may be
// shared between goroutines, which do not change it.
type Unknowns struct {
	N     int   // how many there are
	First []int // number of element 1 of each dial
	Dials []decade.Decade

	box *decade.Box
}

// New numbers the unknowns of a box.
func New(b *decade.Box) Unknowns {
	u := Unknowns{box: b, Dials: b.Decades(), N: 1}
	for _, d := range u.Dials {
		u.First = append(u.First, u.N)
		u.N += d.NumElements()
	}
	return u
}

// Of lists the unknowns that a reading of a setting adds up: the residual, and every element in
// circuit.
func (u Unknowns) Of(s decade.Setting) []int {
	out := []int{0}
	for d, e := range s.Elements() {
		out = append(out, u.First[d]+e-1)
	}
	return out
}

// place is the dial and the number of the element; dial −1 is the residual.
func (u Unknowns) place(j int) (dial, element int) {
	for d := len(u.First) - 1; d >= 0; d-- {
		if j >= u.First[d] {
			return d, j - u.First[d] + 1
		}
	}
	return -1, 0
}

// Name is how reports and records name an unknown.
func (u Unknowns) Name(j int) string {
	d, e := u.place(j)
	if d < 0 {
		return decade.ResidualName
	}
	return u.box.ElementName(d, e)
}

// Names are those of several unknowns.
func (u Unknowns) Names(js []int) []string {
	out := make([]string, len(js))
	for i, j := range js {
		out[i] = u.Name(j)
	}
	return out
}

// Nominal is the stated value of an unknown, in Ω: of an element its weight in steps times the
// step.
func (u Unknowns) Nominal(j int) float64 {
	d, e := u.place(j)
	if d < 0 {
		return u.box.Spec().Residual
	}
	return float64(u.Dials[d].Weight(e)) * u.Dials[d].Step
}

// Singles are the zero setting and every position of every dial with the others at
// zero. Their readings span those of all settings: any other one is the sum of its dials, each
// alone, less the zero setting for every dial but one.
func (u Unknowns) Singles() []decade.Setting {
	out := []decade.Setting{u.box.Zero()}
	for d := range u.Dials {
		for p := 1; p <= u.Dials[d].Positions; p++ {
			// Positions that the switch does not have are no settings.
			if s, err := u.box.Zero().With(d, p); err == nil {
				out = append(out, s)
			}
		}
	}
	return out
}
