// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// condensed holds the readings as one estimate for each setting that was read, with the
// covariance that meter and contacts give them: what is left when the class is taken out
// again, so that it can be put in as another circuit would show it.
type condensed struct {
	read     []int // settings
	y        []float64
	cov      *mat.SymDense
	logDet   float64 // with the class of the healthy circuit
	constant float64 // what the diallings add to the fit of any hypothesis
}

func newCondensed(p *posterior) (*condensed, error) {
	c := &condensed{}
	for k := range p.s {
		if len(p.rows[k]) > 0 {
			c.read = append(c.read, k)
		}
	}
	n := len(c.read)
	g := mat.NewSymDense(n, nil)
	z := mat.NewVecDense(n, nil)
	a := mat.NewDense(n, p.q, nil)
	for i, k := range c.read {
		z.SetVec(i, p.ws[k])
		for j, o := range c.read[:i+1] {
			g.SetSym(i, j, p.gs[k*p.s+o])
		}
		for j := range p.q {
			a.Set(i, j, p.m.column[j][k])
		}
	}
	var chol mat.Cholesky
	var e mat.VecDense
	if !chol.Factorize(g) {
		return nil, singular()
	}
	if err := chol.SolveVecTo(&e, z); err != nil {
		return nil, singular()
	}
	c.logDet = -chol.LogDet()
	c.constant = p.w0 - mat.Dot(z, &e)
	for i, k := range c.read {
		c.y = append(c.y, p.m.base[k]+p.ref[k]+e.AtVec(i))
	}
	total := mat.NewSymDense(n, nil)
	if err := chol.InverseTo(total); err != nil {
		return nil, singular()
	}
	healthy := mat.NewSymDense(n, nil)
	p.m.spread(healthy, a)
	healthy.ScaleSym(-1, healthy)
	total.AddSym(total, healthy)
	c.cov = total
	return c, nil
}

// needsCircuit tells whether a fault changes which elements carry how much of the
// current, so that the linear account of the class is not exact.
func (f Fault) needsCircuit() bool {
	switch f.Kind {
	case ElementLeak, DialLeak, TerminalLeak, Bridge, DialBridge, CaseLeak, Slip, TapsExchanged, Overlap:
		return true
	case Contact, OpenContact:
		return f.A.Part == Element
	}
	return false
}

// logarithmic tells whether the value is fitted as a logarithm.
func (f Fault) logarithmic() bool {
	switch f.Kind {
	case ElementLeak, DialLeak, TerminalLeak, Bridge, DialBridge, CaseLeak:
		return true
	}
	return false
}

// fitted tells whether there is a value to fit.
func (f Fault) fitted() bool { return f.Kind.valueUnit() != "" }

// circuit fits a hypothesis again with the circuit that it stands for: readings and
// sensitivities to the elements by the network, the likelihood with all its terms.
func (s *search) circuit(pr *probe, h *hypothesis) error {
	c := s.condensed
	if c == nil {
		var err error
		if c, err = newCondensed(s.posterior); err != nil {
			return err
		}
		s.condensed = c
	}
	const rounds = 8
	for i := range rounds {
		f := s.network(pr, h.faults)
		if f == nil {
			return nil // not soluble: the linear account stands
		}
		h.fit, h.sig = f.fit, f.sig
		h.chi = f.chi
		h.settle()
		if i == rounds-1 || !s.step(pr, h, f) {
			return nil
		}
	}
	return nil
}

// networkFit is a hypothesis under its own circuit.
type networkFit struct {
	fit   float64
	chi   float64
	sig   []float64
	value []float64
	rest  *mat.VecDense // whitened remainder
	chol  *mat.Cholesky
	r     *mat.VecDense // remainder
}

func (s *search) network(pr *probe, faults []Fault) *networkFit {
	c := s.condensed
	n := len(c.read)
	rows := make([][]float64, s.s)
	for k := range rows {
		rows[k] = make([]float64, s.q)
	}
	f := &networkFit{value: make([]float64, s.s), sig: make([]float64, s.s)}
	if s.m.exact(pr, faults, f.value, rows) != nil {
		return nil
	}
	a := mat.NewDense(n, s.q, nil)
	f.r = mat.NewVecDense(n, nil)
	for k := range f.sig {
		f.sig[k] = f.value[k] - s.m.base[k]
	}
	for i, k := range c.read {
		if !math.IsInf(f.value[k], 1) {
			f.r.SetVec(i, c.y[i]-f.value[k])
			a.SetRow(i, rows[k])
		}
	}
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(c.cov)
	ap := s.m.spread(cov, a)
	f.chol, f.rest = &mat.Cholesky{}, &mat.VecDense{}
	var gap mat.Dense
	if !f.chol.Factorize(cov) || f.chol.SolveVecTo(f.rest, f.r) != nil || f.chol.SolveTo(&gap, ap) != nil {
		return nil
	}
	f.chi = c.constant + mat.Dot(f.r, f.rest) + s.contradicts(f.sig)
	f.fit = f.chi + f.chol.LogDet() - c.logDet + s.m.outside(s.m.left(ap, &gap), transposed(ap), f.rest.RawVector().Data, s.share, nil)
	return f
}

// smallStep is the change of a value, relative to its uncertainty, that is not worth
// another solution.
const smallStep = 0.02

// step moves the values of the faults to where the fit is best, by one step of Gauss and
// Newton; false where they are there.
func (s *search) step(pr *probe, h *hypothesis, f *networkFit) bool {
	var at []int
	for i, x := range h.faults {
		if x.fitted() && x.Value != 0 {
			at = append(at, i)
		}
	}
	k, n := len(at), f.r.Len()
	if k == 0 {
		return false
	}
	slope := mat.NewDense(n, k, nil)
	for j, i := range at {
		if !s.slope(pr, h, i, f, func(row int, v float64) { slope.Set(row, j, v) }) {
			return false
		}
	}
	var gs, normal mat.Dense
	var right, by mat.VecDense
	if f.chol.SolveTo(&gs, slope) != nil {
		return false
	}
	normal.Mul(slope.T(), &gs)
	right.MulVec(slope.T(), f.rest)
	if by.SolveVec(&normal, &right) != nil {
		return false
	}
	moved := false
	for j, i := range at {
		u := 1 / math.Sqrt(normal.At(j, j))
		moved = s.move(h, i, by.AtVec(j), u) || moved
	}
	return moved
}

// nudge is the change of a value for a derivative, as a fraction.
const nudge = 1e-4

// slope sets the derivatives of the settings with respect to the logarithm of a value.
func (s *search) slope(pr *probe, h *hypothesis, i int, f *networkFit, set func(int, float64)) bool {
	faults := slices.Clone(h.faults)
	faults[i].Value *= 1 + nudge
	value := make([]float64, s.s)
	if s.m.exact(pr, faults, value, nil) != nil {
		return false
	}
	for row, k := range s.condensed.read {
		if d := value[k] - f.value[k]; finite(d) {
			set(row, d/nudge)
		}
	}
	return true
}

// move changes the logarithm of a value, and notes its uncertainty.
func (s *search) move(h *hypothesis, i int, by, u float64) bool {
	f := &h.faults[i]
	if finite(u) {
		h.u[i] = u * math.Abs(f.Value)
	}
	const most = 2
	if !finite(by) || math.Abs(by) < smallStep*u || math.Abs(by) < 1e-9 {
		return false
	}
	v := f.Value * math.Exp(max(-most, min(most, by)))
	if f.logarithmic() && (v < touch || v > mostOhms) {
		return false
	}
	f.Value = v
	return true
}
