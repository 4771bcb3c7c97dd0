// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
)

// Bridges are screened in three steps: the shape of the effect for each pair of nodes; the
// best resistance, for the pairs that gain; all terms of the likelihood, for the best of
// these.
const (
	keepBridges  = 120  // pairs that reach the last step
	behindBridge = 60   // −2·ln of the likelihood behind the best pair
	mostOhms     = 1e13 // Ω, a bridge beyond it is none
)

// trial is a bridge with a resistance.
type trial struct {
	q    *pair
	r    float64
	gain float64
}

// bridges considers every pair of nodes.
func (s *search) bridges() {
	for _, t := range s.screen() {
		s.addBridge(t)
	}
}

// screen returns the best pairs with their best resistances.
func (s *search) screen() []trial {
	var out []trial
	best := 0.0
	var sig []float64
	for i := range s.m.pairs {
		q := &s.m.pairs[i]
		least := s.gate(q.kind)
		if len(q.setting) == 0 || math.IsInf(least, 1) {
			continue
		}
		sig = slices.Grow(sig[:0], len(q.setting))[:len(q.setting)]
		t := s.coarse(q, sig, max(least, likeBest*best))
		if t.gain >= least {
			best = max(best, t.gain)
			out = append(out, t)
		}
	}
	return s.refine(out)
}

// likeBest is the part of the best gain below which a pair is not looked at closely: the
// coarse gain is right to far better than that.
const likeBest = 0.4

// refine finds the best resistance of the best pairs. Leaks across an element, a dial or
// the terminals are kept in any case: there are few of them, with more weight.
func (s *search) refine(list []trial) []trial {
	slices.SortStableFunc(list, better)
	var out []trial
	for i, t := range list {
		if i < 2*keepBridges || t.leak() {
			s.golden(&t)
			out = append(out, t)
		}
	}
	slices.SortStableFunc(out, better)
	n := 0
	for i, t := range out {
		if i < keepBridges && t.gain > out[0].gain-behindBridge || t.leak() {
			out[n] = t
			n++
		}
	}
	return out[:n]
}

func (t trial) leak() bool {
	switch t.q.kind {
	case ElementLeak, DialLeak, TerminalLeak:
		return true
	}
	return false
}

func better(a, b trial) int {
	switch {
	case a.gain > b.gain:
		return -1
	case a.gain < b.gain:
		return 1
	}
	return 0
}

// coarse tries the shapes that the signature of a bridge has when its resistance is far
// below, near and far above that which it shorts, each with the factor that fits best: a
// factor stands for another resistance, nearly. The gain with a free factor is
// (sig·z)²/(sig·g·sig), which is at most (sig·z)²/max(sig²/c), c being the variances:
// where that is less than what is wanted the product is saved.
func (s *search) coarse(q *pair, sig []float64, atLeast float64) trial {
	t := trial{q: q, gain: math.Inf(-1)}
	middle := slices.Max(q.den)
	for _, r := range [...]float64{0, middle, 100 * middle} {
		half, floor := s.shape(q, sig, r)
		if half <= 0 || half*half < atLeast*floor {
			continue
		}
		norm := 2*half - s.gain(q, sig)
		factor := min(half/norm, (middle+r)/middle)
		if g := factor * (2*half - factor*norm); g > t.gain {
			t.gain, t.r = g, max(0, (middle+r)/factor-middle)
		}
	}
	return t
}

// shape sets sig, and returns sig·z and a floor of sig·g·sig.
func (s *search) shape(q *pair, sig []float64, r float64) (product, floor float64) {
	for i, k := range q.setting {
		v := 0.0
		if len(s.rows[k]) > 0 {
			v = -q.num[i] * q.num[i] / (q.den[i] + r)
		}
		sig[i] = v
		product += float64(v * s.zs[k])
		floor = max(floor, v*v/s.variance[k])
	}
	return product, floor
}

// gain is how much better than the healthy box a signature fits, 2·sig·z − sig·g·sig.
func (s *search) gain(q *pair, sig []float64) float64 {
	sum := 0.0
	for i, k := range q.setting {
		v := sig[i]
		row := s.gs[int(k)*s.s : (int(k)+1)*s.s]
		part := gathered(row, q.setting[:i], sig)
		sum += float64(v * (2*s.zs[k] - float64(v*row[k]) - 2*part))
	}
	return sum
}

// gathered is Σ by[j]·row[at[j]], in two sums that do not wait for each other.
func gathered(row []float64, at []int32, by []float64) float64 {
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

const goldenRatio = 0.6180339887498949

// golden improves the resistance of a trial, by a golden section in its logarithm.
func (s *search) golden(t *trial) {
	sig := make([]float64, len(t.q.setting))
	at := func(x float64) float64 {
		s.shape(t.q, sig, math.Exp(x))
		return s.gain(t.q, sig)
	}
	t.r = max(t.r, mere)
	lo, hi := math.Log(t.r)-2.5, math.Log(t.r)+2.5
	a, b := hi-goldenRatio*(hi-lo), lo+goldenRatio*(hi-lo)
	fa, fb := at(a), at(b)
	for range 14 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - goldenRatio*(hi-lo)
			fa = at(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + goldenRatio*(hi-lo)
			fb = at(b)
		}
	}
	t.gain, t.r = max(fa, fb), math.Exp((lo+hi)/2)
	// A touch is as good as any resistance far below what it shorts.
	if f := at(math.Log(mere)); f > t.gain-1 {
		t.gain, t.r = f, mere
	}
}

// mere is the resistance that the fit of a touch starts from, in Ω.
const mere = 1e-3

func (s *search) addBridge(t trial) {
	if t.r > mostOhms {
		return
	}
	sig := make([]float64, s.s)
	t.q.signature(sig, t.r)
	s.add(&hypothesis{faults: []Fault{s.m.fault(t.q, t.r)}, sig: sig, u: []float64{s.bridgeUncertainty(t.q, t.r)}})
}

// bridgeUncertainty is that of the resistance, from the change of the signature.
func (s *search) bridgeUncertainty(q *pair, r float64) float64 {
	slope := make([]float64, s.s)
	for i, k := range q.setting {
		x := q.num[i] / (q.den[i] + r)
		slope[k] = x * x
	}
	return 1 / math.Sqrt(s.norm(slope))
}
