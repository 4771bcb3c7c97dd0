// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/unit"
)

// The guide stops where twice the standard deviation of an average of a few batches is
// within the tolerance (JCGM 101 7.9.4 h to j). Simulated, ends that were found so are
// within it in 80 to 91 of 100 runs only: a deviation from two or three batches is often
// small by chance. With ten batches, and two and a half deviations, more than 95 are.
const (
	fewestBatches = 10
	safety        = 2.5
)

// The procedure, in the letters of 7.9.4: batch after batch of M trials yields the figures
// z = (y, u, y_low, y_high) of each output. After h batches the average of one figure has the
// standard deviation
//
//	s_z̄ = √(Σ(z_r − z̄)²/(h(h − 1)))
//
// and the run ends where safety·s_z̄ ≤ δ for all figures of all outputs, δ being half a unit of
// the last wanted digit of u. With a control variate each batch is corrected by itself, so that its
// figures scatter less and fewer batches do; the end result is taken from all trials together.
//
// The time is that of the trials; the memory is 8 bytes for each trial of each output and twin,
// since 7.9.4 k) asks for the order of all of them.

// adaptive makes trials in batches until the figures of every output are stable to
// the wanted digits of u (JCGM 101 7.9.4). Several batches run at once; how many
// count is decided in their order, so that the result does not depend on the workers.
// Where the greatest number of trials comes first, the result holds what there is, and warns.
func (r *run) adaptive(ctx context.Context) (*Simulation, error) {
	batch := int(r.batchSize())
	most := r.Trials / batch // two at least, see withDefaults
	r.Trials = most * batch
	if err := r.chooseTwins(ctx); err != nil {
		return nil, err
	}
	// The batches that count, packed.
	all := &store{size: batch, values: make([][]float64, len(r.tape.Outputs))}
	tests := make([]stability, len(r.ys))
	settled := false
	var p pilot
	for done := 0; done < most && !settled; {
		// A sweep hands out whole batches: with as many of them as workers none of these waits.
		next := min(most, done+max(2, r.Workers))
		r.before = done * batch
		s, err := r.keep(ctx, done*batch, next*batch, batch)
		if err != nil {
			return nil, err
		}
		// The first trials say how the others are summed and counted: those of two batches, since
		// no sweep has fewer and more of them would show how many workers there are.
		if p == nil {
			first := s.filled[0] + s.filled[1]
			if first == 0 {
				return nil, r.checkInvalid(2*batch, 2*batch)
			}
			p = r.explore(&store{values: s.part(0, min(pilotSize, first))}, false)
		}
		used := 0 // trials of s
		for _, n := range s.filled {
			// The twin will not correct the end result, see finish: what it corrected so far does
			// not count.
			if n < batch && r.dropTwins(p) {
				tests = make([]stability, len(r.ys))
			}
			r.testBatch(tests, s.part(used, used+n), p)
			used += n
			done++
			all.invalid += batch - n
			if err := r.checkInvalid(done*batch, all.invalid); err != nil {
				return nil, err
			}
			// Batches behind the one that settles are thrown away, so that how many ran at once
			// does not show.
			if settled = r.settled(tests); settled {
				break
			}
		}
		for i, v := range s.values {
			all.values[i] = append(all.values[i], v[:used]...)
		}
		all.trials = done * batch
	}
	sim, err := r.stored(all, p)
	if err == nil && !settled {
		sim.Warnings = append(sim.Warnings, &Error{Op: "uncertainty.MonteCarlo",
			Value: float64(sim.Trials), Err: unit.Errorf(ErrNotSettled,
				"after %d trials the results are not yet stable to %d significant digits of the "+
					"standard uncertainty", sim.Trials, r.Digits)})
	}
	return sim, err
}

// batchSize is the number of trials in a batch of the adaptive procedure: whole blocks, since a
// block of random numbers is not divided. JCGM 101 7.9.4 b) asks for 100/(1 − p) and 10 000 at
// least; twice the first leaves leastTail trials beyond each end, so that every batch can be
// corrected by a twin. It is not whole as an int where p is so near to 1 that no run reaches it.
func (m MonteCarlo) batchSize() float64 {
	least := max(10_000, 2*leastTail/(1-m.Coverage))
	return math.Ceil(least/tape.BlockSize) * tape.BlockSize
}

// dropTwins takes the controls away, and reports whether there were any.
func (r *run) dropTwins(p pilot) bool {
	dropped := false
	for i := range p {
		if p[i].control != nil {
			p[i].control, r.twins[i].reason, dropped = nil, reasonInvalid, true
		}
	}
	return dropped
}

// part returns the trials from first to end−1, by output; the columns are shared with s.
func (s *store) part(first, end int) [][]float64 {
	out := make([][]float64, len(s.values))
	for i, v := range s.values {
		out[i] = v[first:end]
	}
	return out
}

// stability follows four figures of an output over the batches: estimate, u and both
// ends of the symmetric interval.
type stability struct {
	batches [][4]float64 // in the order of the batches
}

// testBatch adds a batch to the tests, one of which there is for each output: its figures are found
// as those of a run of their own are, twin included, and then forgotten but for the four. The cost
// is a sort of the batch. One with too few finite trials gives no figures: NaN, which is never
// stable.
func (r *run) testBatch(tests []stability, values [][]float64, p pilot) {
	n := len(values[0])
	if _, _, ok := orderstat.Ranks(n, r.Coverage); !ok || n < 2 {
		nan := math.NaN()
		for i := range tests {
			tests[i].batches = append(tests[i].batches, [4]float64{nan, nan, nan, nan})
		}
		return
	}
	total := newSums(p, r.Bins)
	// Blocks of the size of the stream, as in stored.
	for at := 0; at < n; at += tape.BlockSize {
		block := make([][]float64, len(values))
		for i, v := range values {
			block[i] = v[at:min(n, at+tape.BlockSize)]
		}
		total.add(block, p)
	}
	means, us, _ := total.moments(p)
	room := make([]float64, n)
	for i := range tests {
		sorted := slices.Clone(values[i])
		orderstat.Sort(sorted, room, nil)
		o := Output{Estimate: means[i], StandardUncertainty: us[i], by: p[i].scaling,
			powers: total.powersOf(i)}
		m := r.MonteCarlo
		m.Quantiles = nil // no part of the test
		o.order(orderstat.Trials{N: n, Low: sorted, High: sorted}, m)
		if c := p[i].control; c != nil {
			o.correct(c, &total.twins[i], n, m)
		}
		tests[i].batches = append(tests[i].batches, [4]float64{o.Estimate, o.StandardUncertainty,
			o.Symmetric.Lower, o.Symmetric.Upper})
	}
}

// settled reports whether the average of each figure of each output is within the numerical
// tolerance of u (7.9.4 h to j). What is known exactly always is.
func (r *run) settled(tests []stability) bool {
	for i := range tests {
		exact := r.twins[i].kind == TwinExact || r.tape.Outputs[i].IsFixed()
		if !exact && !tests[i].settled(r.Digits) {
			return false
		}
	}
	return true
}

// settled is the test of one output. What does not vary has s_z̄ = 0 ≤ δ = 0 and passes; a NaN
// among the figures fails every comparison.
func (s *stability) settled(digits int) bool {
	h := float64(len(s.batches))
	if h < fewestBatches {
		return false
	}
	var mean, dev [4]float64
	for _, b := range s.batches {
		for k, v := range b {
			mean[k] += v / h
		}
	}
	for _, b := range s.batches {
		for k, v := range b {
			dev[k] += float64((v - mean[k]) * (v - mean[k]))
		}
	}
	// The tolerance follows from u (JCGM 101 7.9.4 i), the test is that of 7.9.4 j.
	tolerance := numericalTolerance(mean[1], digits)
	for _, d := range dev {
		if !(safety*math.Sqrt(d/(h*(h-1))) <= tolerance) {
			return false
		}
	}
	return true
}

// numericalTolerance is half a unit of the last of the given significant digits of u
// (JCGM 101 7.9.2): 0.5 mΩ for u = 13.4 mΩ and two digits, 5 mΩ for one. It is 0 for u = 0.
func numericalTolerance(u float64, digits int) float64 {
	if !(u > 0) || math.IsInf(u, 0) {
		return 0
	}
	return 0.5 * math.Pow10(lastPlace(u, digits))
}
