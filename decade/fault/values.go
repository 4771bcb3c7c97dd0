// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A hypothesis is weighed with one question, whether the readings look like it, and stated with
// another, how much. For the first the class of an element that drifted belongs to the
// uncertainty, or the drift inside the class that every healthy element has would be fitted
// away; for the second it does not: a step that reads 12.3 Ω high is 12.3 Ω high, whatever class
// it has left. So the value is fitted once more, by one step without that class:
//
//	(Jᵀ·C⁻¹·J)·step = Jᵀ·C⁻¹·rest,   U² = (Jᵀ·C⁻¹·J)⁻¹,
//
// with J the derivatives of the settings by the values, C the covariance of their estimates with
// the class of all other elements, and rest what the fit leaves: GUM H.3 with covariances. One
// step is enough, since the fit before has brought the circuit to where it is linear.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// stated returns the faults with the values that the readings give them, and the uncertainties
// of these. A hypothesis was weighed with the class of an element that is off in its
// uncertainty, since what lies inside the class is no fault; how far the element is off is
// another question, which the readings answer alone: one further step of the fit, all values
// together, without the class of that element. A whole dial keeps the class of its elements
// about what they have in common. What scatters is part of the uncertainty of each dialling
// that has it in its path. Where no probe is given, the values are as they were fitted.
//
// pr is nil for causes of which nobody reads the digits (leastStated, mostStated).
func (s *search) stated(pr *probe, h *hypothesis) []Fault {
	out := h.withUncertainty()
	var at []int
	for i, f := range out {
		if f.fitted() && f.Value != 0 {
			at = append(at, i)
		}
	}
	if pr == nil || len(at) == 0 || h.firstKind() == KindUnexplained || s.readEstimates() != nil {
		return out.settled()
	}
	by, u := s.stepOfValues(pr, h, at)
	if by == nil {
		return out.settled()
	}
	moved := slices.Clone(out)
	for j, i := range at {
		f := &moved[i]
		f.Uncertainty = u[j]
		if f.byLogarithm() {
			f.Uncertainty *= f.Value
		}
		fitted := math.Abs(out[i].Uncertainty)
		if f.byLogarithm() {
			fitted /= math.Abs(f.Value)
		}
		// A step beyond both bounds comes of a direction that the readings do not see: it is
		// then no correction but a walk.
		if math.Abs(by[j]) < max(mostCorrected*u[j], mostOfFitted*fitted) {
			f.step(by[j])
		}
	}
	if !s.model.layout.possible(moved) {
		return out.settled()
	}
	return moved.settled()
}

// How far a value is corrected, in its uncertainty and in that of the fit, which has the class in
// it: beyond that the fit was no minimum there, and its value stays.
const (
	mostCorrected = 20
	mostOfFitted  = 3
)

// stepOfValues is the step of Gauss and Newton of the values at the fit, or of their logarithms,
// and their standard uncertainties; nil where there is none. at lists the faults with a value;
// by and u have an entry for each, in Ω or fractions, or of the logarithm where a fit moves
// that. The system is at most two by two; the cost is the solution of each setting for each
// value, and a factorisation.
func (s *search) stepOfValues(pr *probe, h *hypothesis, at []int) (by, u []float64) {
	c, err := s.estimatesWithDraws(h)
	if err != nil {
		return nil, nil
	}
	n := len(c.read)
	rows := make([][]float64, s.numSettings)
	for k := range rows {
		rows[k] = make([]float64, s.numParts)
	}
	f := &circuitFit{value: make([]float64, s.numSettings)}
	s.work.spend(2*s.numSettings*workOfSolve(s.model) + n*n*(n/6+s.numParts))
	if s.model.predictAll(pr, h.faults, f.value, rows) != nil {
		return nil, nil
	}
	slope := s.valueSlopes(pr, h.faults, at, f)
	if slope == nil {
		return nil, nil
	}
	f.setRemainder(c)
	var factor factor
	if !factor.factorize(s.covarianceOfValues(h, c, f, rows)) {
		return nil, nil
	}
	var normal, variance mat.Dense
	var right, step mat.VecDense
	normal.Mul(slope.T(), factor.solve(slope))
	right.MulVec(slope.T(), factor.solveVec(f.remainder))
	if variance.Inverse(&normal) != nil || step.SolveVec(&normal, &right) != nil {
		return nil, nil
	}
	for j := range at {
		v := variance.At(j, j)
		// Two values that the readings cannot tell apart have a singular system: the fit is kept
		// for both.
		if !(v > 0) || !finite(v) || !finite(step.AtVec(j)) {
			return nil, nil
		}
		by, u = append(by, step.AtVec(j)), append(u, math.Sqrt(v))
	}
	return by, u
}

// covarianceOfValues is that of the estimates of the settings with the class of all elements but
// those whose deviation is fitted; rows are the sensitivities of the settings to the elements.
func (s *search) covarianceOfValues(h *hypothesis, c *settingEstimates, f *circuitFit,
	rows [][]float64) *mat.SymDense {
	n := len(c.read)
	a := mat.NewDense(n, s.numParts, nil)
	for i, k := range c.read {
		if !math.IsInf(f.value[k], 1) {
			a.SetRow(i, rows[k])
		}
	}
	for _, x := range h.faults {
		if x.Kind == KindDrift || x.Kind == KindWrongPart {
			// This element is off by what is fitted, and not by its class as well.
			a.SetCol(s.model.layout.elementAt(x.A.Dial, x.A.Number), make([]float64, n))
		}
	}
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(c.covariance)
	s.model.addClass(cov, a)
	if len(h.free) > 0 {
		cov.SymRankK(cov, 1, spreads(a, h))
	}
	return cov
}

// estimatesWithDraws are the estimates of the settings where each dialling that a hypothesis has
// a draw for is as uncertain as that. The error is that of readings whose covariance has no
// inverse.
func (s *search) estimatesWithDraws(h *hypothesis) (*settingEstimates, error) {
	if h.drawSD == 0 {
		return s.estimates, nil
	}
	n := s.numReadings
	s.work.spend(n * n * n / 2)
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(s.evidence.covariance)
	for _, i := range h.drawn {
		// Each dialling has a draw of its own, so that only the diagonal grows.
		cov.SetSym(i, i, cov.At(i, i)+h.drawSD*h.drawSD)
	}
	return newSettingEstimates(s.linearAccount, cov)
}

// statedFaults are the faults of a cause.
type statedFaults []Fault

// settled returns the faults with bridges that may be nothing settled: what the readings leave
// of such a one lies anywhere between 0 and its upper end, so that its value is the middle and
// its uncertainty that of a rectangle. A touch of 0.3 Ω with a standard uncertainty of 0.4 Ω is
// anything up to 1.1 Ω: it is stated as 0.55 Ω with 0.32 Ω.
func (list statedFaults) settled() []Fault {
	for i := range list {
		f := &list[i]
		if f.logarithmic() && f.Value < 2*f.Uncertainty {
			upper := f.Value + 2*f.Uncertainty
			// GUM 4.3.7: a rectangle from 0 to upper has the standard uncertainty upper/√12.
			f.Value, f.Uncertainty = upper/2, upper/math.Sqrt(12)
		}
	}
	return list
}
