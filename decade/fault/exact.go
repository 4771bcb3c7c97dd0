// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// settingEstimates holds the readings as one estimate for each setting that was read, with the
// covariance that meter and contacts give them: what is left when the class is taken out
// again, so that it can be put in as another circuit would show it.
type settingEstimates struct {
	read       []int // settings
	ohms       []float64
	covariance *mat.SymDense
	logDet     float64 // with the class of the healthy circuit
	constant   float64 // what the diallings add to the fit of any hypothesis
}

func newSettingEstimates(p *linearAccount) (*settingEstimates, error) {
	c := &settingEstimates{}
	for k := range p.numSettings {
		if len(p.diallings[k]) > 0 {
			c.read = append(c.read, k)
		}
	}
	n := len(c.read)
	g := mat.NewSymDense(n, nil)
	z := mat.NewVecDense(n, nil)
	a := mat.NewDense(n, p.numParts, nil)
	for i, k := range c.read {
		z.SetVec(i, p.bySetting.referenceWeighted[k])
		for j, o := range c.read[:i+1] {
			g.SetSym(i, j, p.bySetting.inverse[k*p.numSettings+o])
		}
		for j := range p.numParts {
			a.Set(i, j, p.model.inCircuit[j][k])
		}
	}
	var f factor
	if !f.factorize(g) {
		return nil, singular()
	}
	e := f.solveVec(z)
	c.logDet = -f.logDet()
	c.constant = p.bySetting.referenceChi - mat.Dot(z, e)
	for i, k := range c.read {
		c.ohms = append(c.ohms, p.model.nominal[k]+p.bySetting.reference[k]+e.AtVec(i))
	}
	total := f.inverse()
	healthy := mat.NewSymDense(n, nil)
	p.model.addPrior(healthy, a)
	healthy.ScaleSym(-1, healthy)
	total.AddSym(total, healthy)
	c.covariance = total
	return c, nil
}

// needsCircuit reports whether a fault changes which elements carry how much of the
// current, so that the linear account of the class is not exact.
func (f Fault) needsCircuit() bool {
	switch f.Kind {
	case KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge, KindCaseLeak, KindSlip, KindTapsExchanged, KindOverlap,
		KindMeterGain:
		return true
	case KindContact, KindOpenContact:
		return f.A.Part == PartElement
	}
	return false
}

// logarithmic reports whether the value is fitted as a logarithm.
func (f Fault) logarithmic() bool {
	switch f.Kind {
	case KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge, KindCaseLeak:
		return true
	}
	return false
}

// fitted reports whether there is a value to fit.
func (f Fault) fitted() bool { return f.Kind.valueUnit() != "" }

// fitCircuit fits a hypothesis again with the circuit that it stands for: readings and
// sensitivities to the elements by the network, the likelihood with all its terms.
func (s *search) fitCircuit(pr *probe, h *hypothesis) error {
	c := s.estimates
	if c == nil {
		var err error
		if c, err = newSettingEstimates(s.linearAccount); err != nil {
			return err
		}
		s.estimates = c
	}
	const rounds = 8
	for i := range rounds {
		f := s.solveFit(pr, h.faults)
		if f == nil {
			return nil // not soluble: the linear account stands
		}
		h.fit, h.effect = f.fit, f.effect
		h.chiSquared = f.chiSquared
		h.setScore()
		if i == rounds-1 || !s.stepValues(pr, h, f) {
			return nil
		}
	}
	return nil
}

// circuitFit is a hypothesis under its own circuit.
type circuitFit struct {
	fit        float64
	chiSquared float64
	effect     []float64
	value      []float64
	whitened   *mat.VecDense // whitened remainder
	factor     *factor
	remainder  *mat.VecDense // remainder
}

func (s *search) solveFit(pr *probe, faults []Fault) *circuitFit {
	c := s.estimates
	n := len(c.read)
	rows := make([][]float64, s.numSettings)
	for k := range rows {
		rows[k] = make([]float64, s.numParts)
	}
	f := &circuitFit{value: make([]float64, s.numSettings), effect: make([]float64, s.numSettings)}
	if s.model.predictAll(pr, faults, f.value, rows) != nil {
		return nil
	}
	a := mat.NewDense(n, s.numParts, nil)
	f.remainder = mat.NewVecDense(n, nil)
	for k := range f.effect {
		f.effect[k] = f.value[k] - s.model.nominal[k]
	}
	for i, k := range c.read {
		if !math.IsInf(f.value[k], 1) {
			f.remainder.SetVec(i, c.ohms[i]-f.value[k])
			a.SetRow(i, rows[k])
		}
	}
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(c.covariance)
	ap := s.model.addPrior(cov, a)
	f.factor = &factor{}
	if !f.factor.factorize(cov) {
		return nil
	}
	f.whitened = f.factor.solveVec(f.remainder)
	gap := f.factor.solve(ap)
	f.chiSquared = c.constant + mat.Dot(f.remainder, f.whitened) + s.contradiction(f.effect)
	sd := s.model.elementSD(ap, gap)
	outside := s.model.outsideClass(sd, transposed(ap), f.whitened.RawVector().Data, s.ofElements.independence, nil)
	f.fit = f.chiSquared + f.factor.logDet() - c.logDet + outside
	return f
}

// negligibleStep is the change of a value, relative to its uncertainty, that is not worth
// another solution.
const negligibleStep = 0.02

// stepValues moves the values of the faults to where the fit is best, by one step of Gauss and
// Newton; false where they are there.
func (s *search) stepValues(pr *probe, h *hypothesis, f *circuitFit) bool {
	var at []int
	for i, x := range h.faults {
		if x.fitted() && x.Value != 0 {
			at = append(at, i)
		}
	}
	k, n := len(at), f.remainder.Len()
	if k == 0 {
		return false
	}
	slope := mat.NewDense(n, k, nil)
	for j, i := range at {
		if !s.valueSlope(pr, h, i, f, func(row int, v float64) { slope.Set(row, j, v) }) {
			return false
		}
	}
	var normal mat.Dense
	var right, by mat.VecDense
	normal.Mul(slope.T(), f.factor.solve(slope))
	right.MulVec(slope.T(), f.whitened)
	if by.SolveVec(&normal, &right) != nil {
		return false
	}
	moved := false
	for j, i := range at {
		u := 1 / math.Sqrt(normal.At(j, j))
		moved = s.moveValue(h, i, by.AtVec(j), u) || moved
	}
	return moved
}

// relativeStep is the change of a value for a derivative, as a fraction.
const relativeStep = 1e-4

// valueSlope sets the derivatives of the settings with respect to the logarithm of a value.
func (s *search) valueSlope(pr *probe, h *hypothesis, i int, f *circuitFit, set func(int, float64)) bool {
	faults := slices.Clone(h.faults)
	faults[i].Value *= 1 + relativeStep
	value := make([]float64, s.numSettings)
	if s.model.predictAll(pr, faults, value, nil) != nil {
		return false
	}
	for row, k := range s.estimates.read {
		if d := value[k] - f.value[k]; finite(d) {
			set(row, d/relativeStep)
		}
	}
	return true
}

// moveValue changes the logarithm of a value, and notes its uncertainty.
func (s *search) moveValue(h *hypothesis, i int, by, u float64) bool {
	f := &h.faults[i]
	if finite(u) {
		h.uncertainty[i] = u * math.Abs(f.Value)
	}
	const most = 2
	if !finite(by) || math.Abs(by) < negligibleStep*u || math.Abs(by) < 1e-9 {
		return false
	}
	v := f.Value * math.Exp(max(-most, min(most, by)))
	if f.logarithmic() && (v < shortOhms || v > largestBridge) {
		return false
	}
	f.Value = v
	return true
}
