// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"math"
	"slices"
	"sync"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
)

// The end points of coverage intervals are order statistics near the ends. A pilot of
// the first trials says beyond which values they lie, with a margin of six standard
// deviations; then all trials run, and only the values out there are kept. That the
// wanted ranks are among them is checked at the end, so that the result is that of a
// full sort; else the run is repeated with all trials kept.
//
// With n of M trials in the pilot, k = n(1 − p) + 6·√(n·p(1 − p)) of them lie beyond each limit:
// both tails in full, since the shortest interval may have either of them. At p = 0.95 and n =
// 16384 that is 6 % at each end, so that a million trials keep 120 000 numbers instead of a
// million, and sort these. Below p = 0.53 the two ends would meet: newStream then declines.
//
// What cannot wait for the end is summed while the trials pass: moments, histogram, twins. All sums
// are taken by chunk and joined in the order of the chunks, whichever was done first.

// pilotSize is the number of trials of the pilot: whole chunks, which the stream makes again with
// the same bits. At 95 % the 819 trials beyond a limit scatter by 28, six times which is the
// margin; twice as many would keep a twentieth fewer trials later.
const pilotSize = 2 * chunkSize

// fixed runs the number of trials that was asked for: twins, pilot, then one of three ways.
//
//	linear models alone            16 384 trials, for the histogram
//	few trials, Quantiles, Regions all are kept and sorted
//	else                           a stream; where its limits fail, all over again and kept
func (r *run) fixed(ctx context.Context) (*Simulation, error) {
	if err := r.chooseTwins(ctx); err != nil {
		return nil, err
	}
	// A region is made of trials, even of linear models.
	if r.allExact() && !r.Regions {
		r.Trials = min(r.Trials, pilotSize) // they draw the histogram only
	}
	// The pilot is a part of the run that is made twice: it reports nothing.
	r.silent = r.Trials > pilotSize
	first, err := r.keep(ctx, 0, min(r.Trials, pilotSize), chunkSize)
	r.silent = false
	if err != nil {
		return nil, err
	}
	if len(first.values[0]) == 0 {
		return nil, r.checkInvalid(first.trials, first.invalid)
	}
	p := r.explore(first, r.Trials > pilotSize)
	if r.Trials <= pilotSize {
		return r.stored(first, p)
	}
	if s := r.newStream(p); s != nil {
		sim, err := s.finish(ctx)
		if sim != nil || err != nil {
			return sim, err
		}
	}
	all, err := r.keep(ctx, 0, r.Trials, chunkSize)
	if err != nil {
		return nil, err
	}
	return r.stored(all, p)
}

// stream is a run that keeps the ends of its outputs. The workers share it; ends takes from all of
// them by atomic additions.
type stream struct {
	*run
	pilot
	ends []orderstat.Ends // by output

	order   sync.Mutex // guards what follows
	total   sums       // of the chunks before next
	next    int        // chunk to join
	waiting []early    // chunks that came too early: few, unless one of them is slow
	spare   []*sums    // that were joined, to be used again
}

// early is the sums of a chunk that was done before those in front of it.
type early struct {
	index int
	sums  *sums
}

// newStream sets the limits; it is nil where all trials must be kept: for what asks for more than
// the ends, and for coverage probabilities so small that the ends would meet.
func (r *run) newStream(p pilot) *stream {
	// Regions need all trials, other quantiles those between the ends.
	if r.Regions || len(r.Quantiles) > 0 {
		return nil
	}
	s := &stream{run: r, pilot: p, ends: make([]orderstat.Ends, len(r.ys))}
	for i, view := range p {
		rank, ok := orderstat.PilotRank(len(view.sorted), r.Coverage)
		if !ok {
			return nil
		}
		s.ends[i].Begin(view.sorted, rank, r.Trials)
	}
	s.total = makeSums(p, r.Bins)
	return s
}

// finish runs all trials. It is nil without an error where the limits did not hold.
func (s *stream) finish(ctx context.Context) (*Simulation, error) {
	if err := s.sweep(ctx, 0, s.Trials, chunkSize, s); err != nil {
		return nil, err
	}
	if err := s.checkInvalid(s.Trials, s.Trials-s.total.n); err != nil {
		return nil, err
	}
	// Shortest looks at the M − q lowest and highest trials, Spread one binomial standard
	// deviation, at most √(M − q), farther in.
	q, _, _ := orderstat.Ranks(s.total.n, s.Coverage)
	wanted := s.total.n - q
	wanted += int(math.Sqrt(float64(wanted))) + 2
	sim, err := s.simulation(s.Trials, &s.total, s.pilot)
	if err != nil {
		return nil, err
	}
	var room []float64
	for i := range s.ends {
		trials, ok := s.ends[i].Trials(s.total.n)
		// The pilot was misled, by six standard deviations or by trials that are not alike.
		if !ok || !trials.Reaches(wanted) {
			return nil, nil
		}
		if need := max(len(trials.Low), len(trials.High)); need > len(room) {
			room = make([]float64, need)
		}
		orderstat.Sort(trials.Low, room, nil)
		orderstat.Sort(trials.High, room, nil)
		sim.Outputs[i].order(trials, s.MonteCarlo)
		sim.Outputs[i].pilot = s.pilot[i].sorted
	}
	s.run.finish(sim, &s.total, s.pilot)
	return sim, nil
}

// streamVisitor is what a worker of a stream gathers from a chunk. It belongs to that worker alone
// until leave hands the sums over.
type streamVisitor struct {
	*stream
	sums    *sums              // of the chunk so far
	buffers []orderstat.Buffer // by output: values on their way to the ends
}

// visitor is asked by each worker, several at a time.
func (s *stream) visitor() visitor {
	n := len(s.ends)
	return &streamVisitor{stream: s, sums: newSums(s.pilot, s.Bins),
		buffers: orderstat.NewBuffers(n, tape.BlockSize)}
}

func (v *streamVisitor) visit(_ chunk, block [][]float64) {
	v.sums.add(block, v.pilot)
	for i := range v.ends {
		v.ends[i].Collect(block[i], &v.buffers[i])
	}
}

func (v *streamVisitor) leave(c chunk) {
	for i := range v.ends {
		v.ends[i].Flush(&v.buffers[i])
	}
	v.sums = v.join(c.index, v.sums)
}

// join adds the chunks to the total in their order, and returns empty sums for the next
// chunk: those that were given, or others while these wait.
func (s *stream) join(index int, t *sums) *sums {
	s.order.Lock()
	defer s.order.Unlock()
	// Sums round differently in another order: each waits for those in front of it. A worker
	// that is ahead goes on with other sums, and never waits itself.
	if index != s.next {
		s.waiting = append(s.waiting, early{index, t})
		return s.empty()
	}
	s.total.join(t)
	s.next++
	for {
		i := slices.IndexFunc(s.waiting, func(e early) bool { return e.index == s.next })
		if i < 0 {
			t.reset()
			return t
		}
		s.total.join(s.waiting[i].sums)
		s.spare = append(s.spare, s.waiting[i].sums)
		s.waiting = slices.Delete(s.waiting, i, i+1)
		s.next++
	}
}

// empty returns sums that were joined before, or new ones. The caller holds the lock.
func (s *stream) empty() *sums {
	k := len(s.spare)
	if k == 0 {
		return newSums(s.pilot, s.Bins)
	}
	t := s.spare[k-1]
	s.spare = s.spare[:k-1]
	t.reset()
	return t
}
