// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A bridge of r ohms between two nodes takes n²/(d + r) from a setting, with n and d of the pair
// at that setting (bridgeTerms). Six ladders of ten have 2,211 pairs of nodes, eight have 3,916,
// each with a resistance that has to be found; the likelihood with all its terms is asked for
// the best of them only.
//
// Screening uses the fall of χ² by f times an effect s under the linear account,
//
//	2·f·s·z − f²·s·G·s,   most with f = s·z/(s·G·s), and then (s·z)²/(s·G·s)
//
// With r far above every d the effect goes with 1/r, so that a factor is another resistance; far
// below it does not change at all, and in between its shape changes slowly. So the shapes at
// three resistances with a free factor stand for all (coarseFit). A search in ln r follows for
// those that gain (refineOhms), the likelihood for the best of these (addBridge), and the fit by
// the circuit for the best of all (refit).
//
// A pair costs three sums over the k settings that it changes, and k²/2 products where the sums
// do not settle it.

import (
	"math"
	"slices"
)

// Bridges are screened in three steps: the shape of the effect for each pair of nodes; the
// best resistance, for the pairs that gain; all terms of the likelihood, for the best of
// these.
const (
	keptBridges = 120 // pairs that reach the last step, beside those that are as good as the best
	// In χ² behind the best pair: farBehind, with room for weights and penalties, which the gain
	// leaves out.
	behindBridge = 60
	// Ω: across 10 MΩ it changes a millionth of the reading. What is larger is none.
	largestBridge = 1e13
)

// bridgeTrial is a bridge with a resistance in Ω, and by how much it lowers χ².
type bridgeTrial struct {
	pair *pair
	ohms float64
	gain float64
}

// addBridges considers every pair of nodes. Beside a first fault in its circuit the pairs are those
// of that circuit, with other n and d.
func (s *search) addBridges() {
	for _, t := range s.screenBridges() {
		s.addBridge(t)
	}
}

// screenBridges returns the best pairs with their best resistances, best first; nil where the work
// was stopped.
func (s *search) screenBridges() []bridgeTrial {
	var out []bridgeTrial
	best := 0.0
	var effect []float64
	for i := range s.model.pairs {
		q := &s.model.pairs[i]
		least := s.leastGain(q.kind)
		// It changes no setting, or its kind has no weight.
		if len(q.setting) == 0 || math.IsInf(least, 1) {
			continue
		}
		// One slice for all pairs: a trial keeps the resistance and not the effect.
		effect = slices.Grow(effect[:0], len(q.setting))[:len(q.setting)]
		if s.work.stopped() != nil || !s.work.spend(20*len(q.setting)) {
			return nil
		}
		t := s.coarseFit(q, effect, max(least, closeToBest*best))
		if t.gain >= least {
			best = max(best, t.gain)
			out = append(out, t)
		}
	}
	return s.refineBridges(out)
}

// closeToBest is the part of the best gain below which a pair is not looked at closely: the
// coarse gain is right to far better than that.
const closeToBest = 0.4

// refineBridges finds the best resistance of the best pairs. Leaks across an element, a dial or
// the terminals are kept in any case: there are few of them, with more weight.
func (s *search) refineBridges(list []bridgeTrial) []bridgeTrial {
	slices.SortStableFunc(list, byGain)
	var out []bridgeTrial
	for i, t := range list {
		if s.work.stopped() != nil {
			return nil
		}
		// Twice as many as are kept, since coarse gains are not in the order of the refined ones.
		if i < 2*keptBridges || t.isLeak() || t.gain > list[0].gain-s.classOfBridges() {
			s.refineOhms(&t)
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, byGain)
	n := 0 // of those kept, which move to the front; the best stays in its place
	for i, t := range out {
		if i < keptBridges && t.gain > out[0].gain-behindBridge || t.isLeak() ||
			t.gain > out[0].gain-s.classOfBridges() {
			out[n] = t
			n++
		}
	}
	return out[:n]
}

// classOfBridges is the gain behind the best within which every bridge is kept, however many
// there are: the readings may not tell it from the best. Four distances, since the fit by the
// circuit moves each by some.
func (s *search) classOfBridges() float64 { return 4 * s.options.Distance }

// isLeak reports whether the pair has a part of the box between its nodes, not two places of it.
func (t bridgeTrial) isLeak() bool {
	switch t.pair.kind {
	case KindElementLeak, KindDialLeak, KindTerminalLeak:
		return true
	}
	return false
}

// byGain sorts the largest first.
func byGain(a, b bridgeTrial) int { return compareScores(b.gain, a.gain) }

// coarseFit tries the shapes that the effect of a bridge has when its resistance is far
// below, near and far above that which it shorts, each with the factor that fits best: a
// factor stands for another resistance, nearly. The gain with a free factor is
// (s·z)²/(s·G·s), which is at most (s·z)²/max(s²/c), c being the variances:
// where that is less than what is wanted the product is saved.
//
// The bound is Cauchy and Schwarz: s_k = u_kᵀ·s with u_k a one at setting k, so that s_k² ≤
// (u_kᵀ·G⁻¹·u_k)·(sᵀ·G·s) = c_k·(sᵀ·G·s). The gain is −Inf where no shape gets past it.
//
// The resistance of a shape r with the factor f has the effect at the scale m of the bridge:
// f/(m + r) = 1/(m + ohms).
func (s *search) coarseFit(q *pair, effect []float64, atLeast float64) bridgeTrial {
	t := bridgeTrial{pair: q, gain: math.Inf(-1)}
	// The scale of the bridge: the largest resistance between its ends at any setting.
	middle := slices.Max(q.denominator)
	for _, r := range [...]float64{0, middle, 100 * middle} {
		half, floor := s.setBridgeEffect(q, effect, r)
		// Against the readings no bridge helps: it only takes ohms away.
		if half <= 0 || half*half < atLeast*floor {
			continue
		}
		s.work.spend(len(effect) * len(effect) / 2)
		// s·G·s, from 2·s·z − s·G·s.
		norm := 2*half - s.bridgeGain(q, effect)
		// No factor beyond that of 0 Ω: there is nothing below a touch.
		factor := min(half/norm, (middle+r)/middle)
		if g := factor * (2*half - factor*norm); g > t.gain {
			t.gain, t.ohms = g, max(0, (middle+r)/factor-middle)
		}
	}
	return t
}

// setBridgeEffect sets the effect s of a bridge of r ohms, one entry for each setting that the pair
// changes, and returns s·z and a floor of s·G·s. Where nothing was read s is 0.
func (s *search) setBridgeEffect(q *pair, effect []float64, r float64) (product, floor float64) {
	for i, k := range q.setting {
		v := 0.0
		if len(s.diallings[k]) > 0 {
			v = -q.numerator[i] * q.numerator[i] / (q.denominator[i] + r)
		}
		effect[i] = v
		product += float64(v * s.bySetting.weighted[k])
		floor = max(floor, v*v/s.bySetting.variance[k])
	}
	return product, floor
}

// bridgeGain is how much better than the healthy box an effect s fits, 2·s·z − s·G·s. G is
// symmetric: the products beside its diagonal are taken once and doubled.
func (s *search) bridgeGain(q *pair, effect []float64) float64 {
	sum := 0.0
	for i, k := range q.setting {
		v := effect[i]
		row := s.bySetting.inverse[int(k)*s.numSettings : (int(k)+1)*s.numSettings]
		part := sparseDot(row, q.setting[:i], effect)
		sum += float64(v * (2*s.bySetting.weighted[k] - float64(v*row[k]) - 2*part))
	}
	return sum
}

// sparseDot is Σ by[j]·row[at[j]], in two sums that do not wait for each other: an addition cannot
// begin before the one before it to the same sum has ended.
func sparseDot(row []float64, at []int32, by []float64) float64 {
	by = by[:len(at)]
	var even, odd float64
	for len(at) >= 2 && len(by) >= 2 {
		even += float64(by[0] * row[at[0]])
		odd += float64(by[1] * row[at[1]])
		at, by = at[2:], by[2:]
	}
	if len(at) > 0 {
		even += float64(by[0] * row[at[0]])
	}
	return even + odd
}

// goldenRatio is (√5 − 1)/2. Of its two points in an interval one is such a point of the part that
// is kept, too.
const goldenRatio = 0.6180339887498949

// refineOhms improves the resistance of a trial, by a golden section in its logarithm. The gain is
// taken to have one maximum in the interval.
func (s *search) refineOhms(t *bridgeTrial) {
	effect := make([]float64, len(t.pair.setting))
	gainAt := func(x float64) float64 {
		s.work.spend(len(effect)*len(effect)/2 + 10*len(effect))
		s.setBridgeEffect(t.pair, effect, math.Exp(x))
		return s.bridgeGain(t.pair, effect)
	}
	t.ohms = max(t.ohms, smallestBridge)
	// The coarse resistance is right within a factor of ten, half the distance of two shapes.
	lo, hi := math.Log(t.ohms)-2.5, math.Log(t.ohms)+2.5
	// J. Kiefer, Proc. Amer. Math. Soc. 4, 1953 (from memory): one solution for each step.
	a, b := hi-goldenRatio*(hi-lo), lo+goldenRatio*(hi-lo)
	fa, fb := gainAt(a), gainAt(b)
	// 5·0.618¹⁴ = 0.006: the middle is within 0.3 % of the best, from where the fit by the circuit
	// goes on.
	for range 14 {
		if s.work.stopped() != nil {
			return
		}
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - goldenRatio*(hi-lo)
			fa = gainAt(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + goldenRatio*(hi-lo)
			fb = gainAt(b)
		}
	}
	t.gain, t.ohms = max(fa, fb), math.Exp((lo+hi)/2)
	// A touch is as good as any resistance far below what it shorts. Less than 1 of χ² is no reason
	// for ohms: that is one standard uncertainty.
	if f := gainAt(math.Log(smallestBridge)); f > t.gain-1 {
		t.gain, t.ohms = f, smallestBridge
	}
}

// smallestBridge is the resistance that the fit of a touch starts from, in Ω: a logarithm has to
// start somewhere, and less than contacts have is not told from 0.
const smallestBridge = 1e-3

// addBridge hands a trial on with its effect by setting and the uncertainty of its ohms.
func (s *search) addBridge(t bridgeTrial) {
	if t.ohms > largestBridge {
		return
	}
	effect := make([]float64, s.numSettings)
	t.pair.setEffect(effect, t.ohms)
	s.addHypothesis(&hypothesis{faults: []Fault{s.model.fault(t.pair, t.ohms)}, effect: effect,
		uncertainty: []float64{s.bridgeUncertainty(t.pair, t.ohms)}})
}

// bridgeUncertainty is that of the resistance in Ω, from the change of the effect; +Inf where the
// readings do not see r, as of a touch beside megohms. The penalty for the value then is 0.
func (s *search) bridgeUncertainty(q *pair, r float64) float64 {
	slope := make([]float64, s.numSettings)
	for i, k := range q.setting {
		// d/dr of n²/(d + r) is −(n/(d + r))²: the sensitivity coefficient of GUM 5.1.3.
		x := q.numerator[i] / (q.denominator[i] + r)
		slope[k] = x * x
	}
	return 1 / math.Sqrt(s.squaredSize(slope))
}
