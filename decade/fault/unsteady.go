// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A bad contact, a dirty wiper or a cracked joint has another resistance at each dialling: N
// readings with the part in their path have N unknown draws b_i ≥ 0. They are not fitted each,
// which would take up N readings without a word; they have a common law, of which only the mean
// μ and the standard deviation τ are fitted:
//
//	b ~ N(μ·1, τ²·1), truncated at 0; the readings have estimates of b with the covariance V;
//	−2·ln L(μ, τ) = (b − μ)ᵀ·(V + τ²)⁻¹·(b − μ) + ln det(V + τ²)
//		− 2·Σ ln(P(b_i > 0 | read)/P(b_i > 0)).
//
// For each τ the mean follows by generalised least squares; τ is looked for on a scale of
// factors, since its prior is even in the logarithm and a likelihood of a few draws is flat. A
// variance component in the sense of GUM H.5, with the between-group part unknown.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// addUnsteady adds a fault whose resistance is drawn again at each dialling, with a mean and
// a standard deviation to be fitted: a bad contact, a dirty wiper, a cracked joint. It is
// inferred from all diallings that have the part in their path, of whatever settings.
//
// With b the estimates of the draws and V their covariance, the likelihood of the mean μ and the
// standard deviation τ is that of b ~ N(μ, V + τ²), of draws that are not below 0. f has no
// value yet; perUnit is 1 at the settings that have the part in their path.
func (s *search) addUnsteady(f Fault, perUnit []float64) {
	var rows []int
	for k, v := range perUnit {
		if v != 0 {
			rows = append(rows, s.diallings[k]...)
		}
	}
	// One draw is a value, not a scatter.
	if len(rows) < 2 || math.IsInf(s.weight(f.Kind), 1) {
		return
	}
	if s.work.stopped() != nil || !s.work.spend(5*len(rows)*len(rows)*(len(rows)+20)) {
		return
	}
	b, v, ok := s.estimateDraws(rows)
	if !ok {
		return
	}
	// Draws that are quite free take no more than this from χ². bᵀ·z over the draws: V⁻¹·b = z,
	// so this is what χ² falls by when each reading has a draw of its own, and no law of draws
	// can take more.
	gain := 0.0
	for i, a := range rows {
		gain += float64(b[i] * s.byDialling.weighted[a])
	}
	if gain < s.leastGain(f.Kind) {
		return
	}
	mean, sd := moments(b, v)
	// Dirt adds resistance: a part whose mean is below 0 is none.
	if sd == 0 || mean <= 0 {
		return
	}
	if best := s.bestDraws(f, perUnit, rows, b, v); best != nil {
		s.setContactOhms(best)
		s.keepHypothesis(best)
	}
}

// How the standard deviation of draws is looked for: up or down from that of the draws weighted
// by what is known of them, by this factor and so many steps, as long as the fit gets better.
const (
	// A standard deviation from n = 4 draws is known to 42 % (GUM E.4.3, table E.1): steps finer
	// than 1.6 tell nothing.
	scatterStep  = 1.6
	scatterSteps = 6
)

// bestDraws fits draws with the standard deviation that suits them best. That of the draws
// weighted by what is known of each is where to begin, no more: a few draws known to a milliohm
// may lie close together by chance. Where all do, the smallest scatter that makes them new at
// each dialling stands for it, if they differ at all. It is nil where no scatter suits: the
// draws are below 0 in the mean, or alike.
func (s *search) bestDraws(f Fault, perUnit []float64, rows []int, b []float64,
	v *mat.SymDense) *hypothesis {
	mean, start := moments(b, v)
	least := 1.001 * smallestScatter * mean
	if start < least {
		if start*scatterStep < least && !differ(b, v) {
			return nil
		}
		start = least
	}
	best := s.fitDraws(f, perUnit, rows, b, v, start)
	// Up first, down only where up is no better: the likelihood in ln τ is taken to have one
	// maximum.
	for _, factor := range [...]float64{scatterStep, 1 / scatterStep} {
		tau, moved := start, false
		for range scatterSteps {
			if tau *= factor; tau < least || s.work.stopped() != nil {
				break
			}
			h := s.fitDraws(f, perUnit, rows, b, v, tau)
			if h == nil && best == nil {
				continue // towards scatters that the mean allows
			}
			if h == nil || best != nil && h.score >= best.score {
				break
			}
			best, moved = h, true
		}
		if moved {
			break
		}
	}
	return best
}

// differ reports whether draws differ by more than they are uncertain by: χ² of their scatter
// about the best mean, beyond chance. b are the draws, v their covariance.
func differ(b []float64, v *mat.SymDense) bool {
	var f factor
	if !f.factorize(v) {
		return false
	}
	k := len(b)
	x, ones := mat.NewVecDense(k, slices.Clone(b)), mat.NewVecDense(k, nil)
	for i := range k {
		ones.SetVec(i, 1)
	}
	w := f.solveVec(x)
	along := mat.Dot(ones, w)
	// χ² about the weighted mean, the consistency test of R. T. Birge, Phys. Rev. 40, 1932 (from
	// memory), with covariances.
	chi := mat.Dot(x, w) - along*along/mat.Dot(ones, f.solveVec(ones))
	return chi > (distuv.ChiSquared{K: float64(k - 1)}).Quantile(1-byChance)
}

// byChance is the probability beyond which draws that are alike do not differ. One contact in
// ten thousand is taken for unsteady by chance: a box of six dials has some sixty.
const byChance = 1e-4

// largestScatter is that of what is never less than 0, as a multiple of its mean. An exponential
// law has 1; 1.5 is room for few draws.
const largestScatter = 1.5

// smallestScatter is the part of its mean by which what is new at each dialling differs at
// least: what differs by less is steady. Steady resistance in a contact is a fault of its own
// (KindContact without a scatter).
const smallestScatter = 0.1

// moments are the mean and the standard deviation of draws, weighted by how well each is known.
// It needs a mean and a scatter to begin with; covariances are left to fitDraws.
func moments(b []float64, v *mat.SymDense) (mean, sd float64) {
	total := 0.0
	for i, x := range b {
		// Weights of known variances, as for a weighted mean.
		w := 1 / v.At(i, i)
		total += w
		mean += w * x
	}
	mean /= total
	for i, x := range b {
		sd += (x - mean) * (x - mean) / v.At(i, i) / total
	}
	return mean, math.Sqrt(sd)
}

// estimateDraws estimates what each of these observations has more than the rest of the readings
// say, with the covariance of the estimates.
//
// rows are observations. With e = b + noise at the rows and noise alone elsewhere, the estimate
// of b is H⁻¹·z with H the rows and columns of G that belong to them and z their weighted
// deviations, and its covariance is H⁻¹: what the other readings say of meter and elements is in
// it by the inverse. ok is false where rounding leaves H no inverse.
func (p *linearAccount) estimateDraws(rows []int) (b []float64, v *mat.SymDense, ok bool) {
	k := len(rows)
	h := mat.NewSymDense(k, nil)
	z := mat.NewVecDense(k, nil)
	for i, a := range rows {
		z.SetVec(i, p.byDialling.weighted[a])
		for j, c := range rows[:i+1] {
			h.SetSym(i, j, p.byDialling.inverse[a*p.numReadings+c])
		}
	}
	var f factor
	if !f.factorize(h) {
		return nil, nil, false
	}
	return f.solveVec(z).RawVector().Data, f.inverse(), true
}

// fitDraws fits the mean for a standard deviation: that of b ~ N(μ, V + τ²) by generalised least
// squares. With H = V⁻¹, which is a part of G, (V + τ²)⁻¹·1 is (H + 1/τ²)⁻¹·H·1/τ²: the matrix
// is the one that the likelihood wants, too, and nothing is subtracted. It is nil where the mean
// is not above 0 or the scatter is no scatter of that mean.
func (s *search) fitDraws(f Fault, perUnit []float64, rows []int, b []float64, v *mat.SymDense,
	tau float64) *hypothesis {
	inner := s.factorOfDraws(rows, tau)
	if inner == nil {
		return nil
	}
	k := len(rows)
	known := mat.NewVecDense(k, nil)
	for i, a := range rows {
		sum := 0.0
		for _, c := range rows {
			sum += s.byDialling.inverse[a*s.numReadings+c]
		}
		// H·1/τ², the right side of the formula above.
		known.SetVec(i, sum/(tau*tau))
	}
	x := inner.solveVec(known)
	den := mat.Sum(x)
	mean := mat.Dot(mat.NewVecDense(k, b), x) / den
	if !(den > 0) || !(mean > 0) || tau > largestScatter*mean || tau < smallestScatter*mean {
		return nil
	}
	f.Value, f.Scatter = mean, tau
	h := &hypothesis{faults: []Fault{f}, effect: scaled(perUnit, mean),
		uncertainty: []float64{1 / math.Sqrt(den)}, drawn: rows, drawSD: tau, drawFactor: inner}
	h.drawLaw = neverBelow(b, v, mean, tau)
	h.prior = s.weight(f.Kind)
	s.evaluate(h)
	h.drawFactor = nil
	h.setScore()
	if !finite(h.score) {
		return nil
	}
	return h
}

// neverBelow is what it adds to −2·ln of the likelihood of draws, N(mean, tau²) without it, that a
// resistance is never less than nothing: of each the probability given what was read of it,
// over that beforehand.
//
// b are the estimates of the draws. P(b_i > 0 | read) is that of the normal distribution with
// the precision-weighted mean (b_i/v + μ/τ²)/(1/v + 1/τ²), and P(b_i > 0) that of N(μ, τ²); with
// μ = τ the latter is 84 %.
func neverBelow(b []float64, v *mat.SymDense, mean, tau float64) float64 {
	sum := 0.0
	// P(draw > 0) of the scatter alone, which every draw is divided by: truncated distributions.
	before := logInside(mean/tau, math.Inf(1))
	for i, x := range b {
		w, p := 1/v.At(i, i), 1/(tau*tau)
		// The product of two normal densities is normal: its mean over its standard deviation.
		after := (x*w + mean*p) / math.Sqrt(w+p)
		sum -= 2 * (logInside(after, math.Inf(1)) - before)
	}
	return sum
}
