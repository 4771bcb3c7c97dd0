// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
)

// singles considers every single fault but bridges.
func (s *search) singles() {
	s.add(&hypothesis{sig: make([]float64, s.s)})
	for i := range s.m.l.elements {
		s.element(i)
	}
	for d := range s.m.l.decades {
		s.dial(d)
	}
	s.box()
	for _, c := range s.m.contacts() {
		s.contact(c)
	}
	for _, v := range s.m.moves {
		if s.affects(v.sig) {
			s.add(&hypothesis{faults: []Fault{v.fault}, sig: v.sig})
		}
	}
	s.exchanged()
}

// affects tells whether a signature changes a reading.
func (p *posterior) affects(sig []float64) bool {
	for k, v := range sig {
		if v != 0 && (len(p.rows[k]) > 0 || len(p.ev.open) > 0) {
			return true
		}
	}
	return false
}

// amplitude adds a fault whose effect is proportional to its value.
func (s *search) amplitude(f Fault, perUnit []float64, allowed func(float64) bool) *hypothesis {
	v, u := s.linear(perUnit)
	if math.IsInf(u, 1) || !allowed(v) {
		return nil
	}
	f.Value = v
	h := &hypothesis{faults: []Fault{f}, sig: scaled(perUnit, v), u: []float64{u}}
	s.add(h)
	return h
}

func anyValue(float64) bool     { return true }
func aboveMinus(v float64) bool { return v > -0.999 }

func (s *search) element(i int) {
	e := s.m.l.elements[i]
	perUnit := s.m.column[i]
	if !s.affects(perUnit) {
		return
	}
	at := Place{Element, e.dial, e.number}
	h := s.amplitude(Fault{Kind: Drift, A: at}, perUnit, func(v float64) bool { return v > -0.999*e.ohms })
	if h != nil {
		s.standard(h, e)
	}
	s.add(&hypothesis{faults: []Fault{{Kind: Shorted, A: at}}, sig: scaled(perUnit, -e.ohms)})
	open := make([]float64, s.s)
	for k, v := range perUnit {
		if v != 0 {
			open[k] = math.Inf(1)
		}
	}
	s.add(&hypothesis{faults: []Fault{{Kind: OpenElement, A: at}}, sig: open})
	s.unsteady(Fault{Kind: Unsteady, A: at}, perUnit)
}

// partTolerance is that of the standard values of replacements, as a fraction, and u.
const partTolerance = 0.01

// standard considers that a drifted element was replaced by a part of the E24 series
// (IEC 60063).
func (s *search) standard(h *hypothesis, e element) {
	value := e.ohms + h.faults[0].Value
	near := nearestE24(value)
	u := math.Hypot(partTolerance*near/math.Sqrt(3), h.u[0])
	if math.Abs(near-e.ohms) <= 2*partTolerance*e.ohms || math.Abs(value-near) > 3*u {
		return
	}
	w := &hypothesis{faults: []Fault{{Kind: WrongPart, A: h.faults[0].A, Value: value}}, sig: h.sig, u: h.u}
	s.add(w)
}

var e24 = [...]float64{1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1, 10}

// nearestE24 returns the value of the E24 series nearest to a positive resistance, in
// ratio.
func nearestE24(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	scale := math.Pow(10, math.Floor(math.Log10(v)))
	best, gap := 0.0, math.Inf(1)
	for _, x := range e24 {
		if g := math.Abs(math.Log(v / (x * scale))); g < gap {
			best, gap = x*scale, g
		}
	}
	return best
}

func (s *search) dial(d int) {
	l := s.m.l
	whole := make([]float64, s.s)
	n := l.decades[d].NumElements()
	for j := 1; j <= n; j++ {
		i := l.first[d] + j - 1
		for k, v := range s.m.column[i] {
			whole[k] += v * l.elements[i].ohms
		}
		if l.decades[d].Tapped() && j > 1 && j < n {
			s.overloaded(d, j, slices.Clone(whole))
		}
	}
	s.amplitude(Fault{Kind: DialDrift, A: Place{WholeDial, d, 0}}, whole, aboveMinus)
}

// Elements that were overloaded together drift alike to one of these parts of their drift.
var alike = [...]float64{0.02, 0.1, 0.3}

func (s *search) overloaded(d, j int, perUnit []float64) {
	v, u := s.linear(perUnit)
	if math.IsInf(u, 1) || !aboveMinus(v) {
		return
	}
	f := Fault{Kind: Overloaded, A: Place{Element, d, 1}, B: Place{Element, d, j}, Value: v}
	for _, part := range alike {
		h := &hypothesis{faults: []Fault{f}, sig: scaled(perUnit, v), u: []float64{u}}
		for i := range j {
			at := s.m.l.first[d] + i
			h.elements = append(h.elements, at)
			h.spread = append(h.spread, part*math.Abs(v)*s.m.l.elements[at].ohms)
		}
		s.add(h)
	}
}

// box considers what changes all readings.
func (s *search) box() {
	s.amplitude(Fault{Kind: BoxDrift, A: Place{Part: WholeBox}}, s.m.base, aboveMinus)
	ones := s.m.column[s.q-1]
	s.amplitude(Fault{Kind: Series, A: Place{Part: WholeBox}}, ones, anyValue)
	s.unsteady(Fault{Kind: Series, A: Place{Part: WholeBox}}, ones)
	for _, spread := range []float64{0.01, 0.03, 0.1} {
		h := &hypothesis{faults: []Fault{{Kind: Aged, A: Place{Part: WholeBox}}}}
		v, u := s.linear(s.m.base)
		h.faults[0].Value, h.u, h.sig = v, []float64{u}, scaled(s.m.base, v)
		for i, e := range s.m.l.elements {
			h.elements = append(h.elements, i)
			h.spread = append(h.spread, spread*e.ohms)
		}
		if finite(u) && v > 0 {
			s.add(h)
		}
	}
}
