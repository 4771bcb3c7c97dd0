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

// adaptive makes trials in batches until the figures of every output are stable to
// the wanted digits of u (JCGM 101 7.9.4). Several batches run at once; how many
// count is decided in their order, so that the result does not depend on the workers.
func (r *run) adaptive(ctx context.Context) (*Simulation, error) {
	batch := max(10_000, int(math.Ceil(100/(1-r.Coverage)))) // 7.9.4 b)
	batch = (batch + tape.BlockSize - 1) / tape.BlockSize * tape.BlockSize
	most := max(2, r.Trials/batch)
	r.Trials = most * batch
	all := &store{size: batch, values: make([][]float64, len(r.ys))}
	tests := make([]stability, len(r.ys))
	settled := false
	for done := 0; done < most && !settled; {
		next := min(most, done+max(2, r.Workers))
		r.before = done * batch
		s, err := r.keep(ctx, done*batch, next*batch, batch)
		if err != nil {
			return nil, err
		}
		used := 0 // trials of s
		for _, n := range s.filled {
			for i, v := range s.values {
				tests[i].take(v[used:used+n], r.Coverage)
			}
			used += n
			done++
			all.invalid += batch - n
			if settled = r.settled(tests); settled {
				break
			}
		}
		for i, v := range s.values {
			all.values[i] = append(all.values[i], v[:used]...)
		}
		all.trials = done * batch
		if err := r.checkInvalid(all.trials, all.invalid); err != nil {
			return nil, err
		}
	}
	head := store{values: make([][]float64, len(r.ys))}
	for i, v := range all.values {
		head.values[i] = v[:min(len(v), pilotSize)]
	}
	p := r.explore(&head, false)
	sim, err := r.stored(all, p)
	if err == nil && !settled {
		sim.Warnings = append(sim.Warnings, &Error{Op: "uncertainty.MonteCarlo", Value: float64(sim.Trials), Err: unit.Errorf(ErrNotSettled, "after %d trials the results are not yet stable to %d significant digits of the standard uncertainty", sim.Trials, r.Digits)})
	}
	return sim, err
}

// stability follows four figures of an output over the batches: estimate, u and both
// ends of the symmetric interval.
type stability struct {
	batches [][4]float64
}

// take adds a batch. One with too few finite trials gives no figures: NaN, which is
// never stable.
func (s *stability) take(v []float64, p float64) {
	nan := math.NaN()
	f := [4]float64{nan, nan, nan, nan}
	if _, _, ok := orderstat.Ranks(len(v), p); ok && len(v) >= 2 {
		sorted := slices.Clone(v)
		orderstat.Sort(sorted, make([]float64, len(v)), nil)
		i := orderstat.Trials{N: len(v), Low: sorted, High: sorted}.Symmetric(p)
		by := newScaling(sorted)
		first, second, _ := powers(v, by)
		n := float64(len(v))
		u := math.Sqrt(max(0, second-float64(first*first)/n)/(n-1)) / by.scale
		f = [4]float64{by.shift + first/n/by.scale, u, i.Lower, i.Upper}
	}
	s.batches = append(s.batches, f)
}

// settled reports whether twice the standard deviation of each average is within the
// numerical tolerance of u (7.9.4 h to j).
func (r *run) settled(tests []stability) bool {
	for i := range tests {
		if !tests[i].settled(r.Digits) {
			return false
		}
	}
	return true
}

func (s *stability) settled(digits int) bool {
	h := float64(len(s.batches))
	if h < 2 {
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
	tolerance := numericalTolerance(mean[1], digits)
	for _, d := range dev {
		if !(2*math.Sqrt(d/(h*(h-1))) <= tolerance) {
			return false
		}
	}
	return true
}

// numericalTolerance is half a unit of the last of the given significant digits of u
// (JCGM 101 7.9.2); it is 0 for u = 0.
func numericalTolerance(u float64, digits int) float64 {
	if !(u > 0) || math.IsInf(u, 0) {
		return 0
	}
	return 0.5 * math.Pow10(lastPlace(u, digits))
}
