// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"slices"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
)

// store keeps every trial of every output, in the order of the trials. It is the visitor of all
// workers at once, without a lock: each chunk has a place of its own in the columns, size trials
// wide, which only the worker of that chunk writes.
//
//	values[i]   |c0 c0 c0 ..|c1 c1 c1 c1|c2 c2 ....|     size 4; filled 3, 4, 2
//
// Invalid trials leave gaps at the ends of the places, which pack closes.
type store struct {
	size    int         // of a chunk, in trials
	offset  int         // number of the first trial, of all trials of the run
	values  [][]float64 // by output and twin: the columns
	filled  []int       // finite trials of each chunk
	trials  int         // that were made
	invalid int         // of them; set by pack
}

func newStore(outputs, first, end, size int) *store {
	s := &store{size: size, offset: first, trials: end - first, values: make([][]float64, outputs)}
	for i := range s.values {
		s.values[i] = make([]float64, s.trials)
	}
	s.filled = make([]int, (s.trials+size-1)/size)
	return s
}

// visit copies a block behind those of the same chunk: the columns of the block are overwritten by
// the next one.
func (s *store) visit(c chunk, block [][]float64) {
	at := c.first - s.offset + s.filled[c.index]
	for i, column := range block {
		copy(s.values[i][at:], column)
	}
	s.filled[c.index] += len(block[0])
}

func (s *store) leave(chunk) {} // nothing waits for the end of a chunk

func (s *store) visitor() visitor { return s }

// pack closes the gaps that invalid trials left, and keeps the order of the trials, on which the
// bits of all sums rest. Each piece moves down or stays, so that none is overwritten before it has
// moved.
func (s *store) pack() {
	n := 0
	for c, filled := range s.filled {
		for _, v := range s.values {
			copy(v[n:], v[c*s.size:c*s.size+filled])
		}
		n += filled
	}
	for i := range s.values {
		s.values[i] = s.values[i][:n]
	}
	s.invalid = s.trials - n
}

// keep runs the trials from first to end−1, in chunks of so many, and keeps them all.
func (r *run) keep(ctx context.Context, first, end, size int) (*store, error) {
	s := newStore(len(r.tape.Outputs), first, end, size)
	if err := r.sweep(ctx, first, end, size, s); err != nil {
		return nil, err
	}
	s.pack()
	return s, nil
}

// stored makes the simulation from trials that were all kept. The figures are those of a stream
// over the same trials, bit for bit: sums in the same blocks, ranks in the same order. It sorts
// the columns of the outputs, not those of the twins, which are counted only.
func (r *run) stored(s *store, p pilot) (*Simulation, error) {
	if err := r.checkInvalid(s.trials, s.invalid); err != nil {
		return nil, err
	}
	total := newSums(p, r.Bins)
	n := len(s.values[0])
	block := make([][]float64, len(s.values))
	for at := 0; at < n && !r.stopped(); at += tape.BlockSize {
		// In blocks of the size of the stream, so that sums are rounded alike.
		for i, v := range s.values {
			block[i] = v[at:min(n, at+tape.BlockSize)]
		}
		total.add(block, p)
	}
	sim, err := r.simulation(s.trials, total, p)
	if err != nil {
		return nil, err
	}
	room := make([]float64, n)
	if r.Regions { // before the columns are sorted, each by itself: trials are points here
		if err := sim.regions(s.values[:len(r.ys)], r.Coverage, room, r.stopped); err != nil {
			return nil, err
		}
	}
	for i, v := range s.values[:len(r.ys)] {
		orderstat.Sort(v, room, r.stopped)
		if r.stopped() {
			return sim, nil // Run says so
		}
		sim.Outputs[i].order(orderstat.Trials{N: n, Low: v, High: v}, r.MonteCarlo)
	}
	r.finish(sim, total, p)
	return sim, nil
}

// pilot is what a few trials tell about the outputs, an element for each. It is made once, before
// the trials that are summed, and read by all workers.
type pilot []struct {
	scaling           // of the moments
	grid              // of the histogram
	sorted  []float64 // trials in rising order: where the ends lie, and the shape inside a bin
	control *control  // of the twin, with coefficients from these trials, or nil
}

// explore makes the pilot from kept trials, which it copies. Where it may spoil them, the sort
// takes their memory for its second half; not where a twin needs output and twin trial by trial.
func (r *run) explore(s *store, spoil bool) pilot {
	p := make(pilot, len(r.ys))
	for i := range p {
		v := s.values[i]
		c := r.twins[i].control
		// Where the trials may be spoiled their memory is the second half of the sort.
		sorted, room := slices.Clone(v), v
		if !spoil || c != nil {
			room = make([]float64, len(v))
		}
		orderstat.Sort(sorted, room, nil)
		p[i].scaling, p[i].grid, p[i].sorted = newScaling(sorted), gridFor(sorted, r.Bins), sorted
		if c != nil {
			c.tune(v, s.values[c.column], sorted)
			p[i].control = c
		}
	}
	return p
}

// gridFor spans the trials but for the outermost two in a thousand, and a quarter of
// that range more on each side, but not beyond the pilot's own range by much.
//
// A normal output has its inner 998 in 1000 within ± 3.1 u and gets bins to ± 4.1 u or so, just
// beyond the farthest of 16 000 trials. A rectangle ends with them, but for 1/50 of its width. Of
// heavy tails the grid takes the middle, and counts the rest as below and above: with bins to the
// farthest trial all others would lie in one.
func gridFor(sorted []float64, bins int) grid {
	n := len(sorted)
	low, high := sorted[n/1000], sorted[n-1-n/1000]
	// A quarter of the range is about 1.5 u of a normal output.
	margin := (high - low) / 4
	first, last := sorted[0], sorted[n-1]
	// No farther than 2 % beyond what the pilot has seen.
	edge := (last - first) / 50
	low, high = max(low-margin, first-edge), min(high+margin, last+edge)
	return grid{low, (high - low) / float64(bins), bins}
}
