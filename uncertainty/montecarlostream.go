// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"
)

// The end points of coverage intervals are order statistics near the ends. A pilot of
// the first trials says beyond which values they lie, with a margin of six standard
// deviations; then all trials run, and only the values out there are kept. That the
// wanted ranks are among them is checked at the end, so that the result is that of a
// full sort; else the run is repeated with all trials kept.

const pilotSize = 2 * chunkSize

// fixed runs the number of trials that was asked for.
func (r *run) fixed(ctx context.Context) (*Simulation, error) {
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

// stream is a run that keeps the tails.
type stream struct {
	*run
	pilot
	low, high []tail

	order   sync.Mutex // guards what follows
	total   sums
	next    int     // chunk to join
	waiting []early // chunks that came too early
	spare   []*sums
}

// tail collects the values of one output beyond a limit.
type tail struct {
	limit  float64
	values []float64
	used   atomic.Int64 // may run past the room that there is
}

type early struct {
	index int
	sums  *sums
}

// newStream sets the limits; it is nil where all trials must be kept.
func (r *run) newStream(p pilot) *stream {
	if r.Regions || len(r.Quantiles) > 0 {
		return nil
	}
	tails := make([]tail, 2*len(r.ys))
	s := &stream{run: r, pilot: p, low: tails[:len(r.ys)], high: tails[len(r.ys):]}
	for i, view := range p {
		sorted := view.sorted
		n := float64(len(sorted))
		t := 1 - r.Coverage
		k := math.Ceil(n*t+6*math.Sqrt(n*t*(1-t))) + 6
		if 2*k >= n {
			return nil
		}
		// The share beyond the limit is known to 1/√k.
		room := int(float64(r.Trials)*k/n*(1+5/math.Sqrt(k))) + 100
		rank := int(k)
		s.low[i].limit = sorted[rank-1]
		s.high[i].limit = sorted[len(sorted)-rank]
		values := make([]float64, 2*room)
		s.low[i].values, s.high[i].values = values[:room], values[room:]
	}
	s.total = makeSums(len(r.ys), r.Bins)
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
	q, _, _ := ranks(s.total.n, s.Coverage)
	wanted := s.total.n - q
	wanted += int(math.Sqrt(float64(wanted))) + 2 // for the sampling error of the ends
	sim, err := s.simulation(s.Trials, &s.total, s.pilot)
	if err != nil {
		return nil, err
	}
	var room []float64
	for i := range s.low {
		low, ok1 := s.low[i].kept()
		high, ok2 := s.high[i].kept()
		o := ordered{s.total.n, low, high}
		if !ok1 || !ok2 || !o.reaches(wanted) {
			return nil, nil
		}
		if need := max(len(low), len(high)); need > len(room) {
			room = make([]float64, need)
		}
		sortFloats(low, room, nil)
		sortFloats(high, room, nil)
		sim.Outputs[i].order(o, s.MonteCarlo)
	}
	return sim, nil
}

// kept returns the values, and false where there was too little room.
func (t *tail) kept() ([]float64, bool) {
	n := int(t.used.Load())
	if n > len(t.values) {
		return nil, false
	}
	return t.values[:n], true
}

// take empties a catch of more values than limit; their order does not matter.
func (t *tail) take(c *catch, limit int) {
	if c.n <= limit {
		return
	}
	end := int(t.used.Add(int64(c.n)))
	if end <= len(t.values) {
		copy(t.values[end-c.n:], c.values[:c.n])
	}
	c.n = 0
}

// trawl is what a worker of a stream gathers from a chunk.
type trawl struct {
	*stream
	sums      *sums
	low, high []catch
}

// catch is values on their way to a tail, at least a block of them fits in at any time.
type catch struct {
	values []float64
	n      int
}

const catchSize = 4 * blockSize

func (s *stream) visitor() visitor {
	n := len(s.low)
	catches := make([]catch, 2*n)
	t := &trawl{stream: s, sums: newSums(n, s.Bins), low: catches[:n], high: catches[n:]}
	room := make([]float64, 2*n*catchSize)
	for i := range t.low {
		t.low[i].values, room = room[:catchSize], room[catchSize:]
		t.high[i].values, room = room[:catchSize], room[catchSize:]
	}
	return t
}

func (t *trawl) visit(_ chunk, block [][]float64) {
	t.sums.add(block, t.pilot)
	for i, column := range block {
		low, high := &t.low[i], &t.high[i]
		l, h := outside(column, t.stream.low[i].limit, t.stream.high[i].limit, low.values[low.n:], high.values[high.n:])
		low.n += l
		high.n += h
		t.stream.low[i].take(low, catchSize-blockSize)
		t.stream.high[i].take(high, catchSize-blockSize)
	}
}

// outside copies what lies at or beyond the limits and returns how much that is. Each
// value is copied, and kept by counting it: a branch would often be guessed wrong. So
// low and high have room for all values.
func outside(column []float64, below, above float64, low, high []float64) (l, h int) {
	for _, v := range column {
		low[l], high[h] = v, v
		l += count(v <= below)
		h += count(v >= above)
	}
	return l, h
}

// count is 1 for true, without a branch.
func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (t *trawl) leave(c chunk) {
	for i := range t.low {
		t.stream.low[i].take(&t.low[i], 0)
		t.stream.high[i].take(&t.high[i], 0)
	}
	t.sums = t.join(c.index, t.sums)
}

// join adds the chunks to the total in their order, and returns empty sums for the next
// chunk: those that were given, or others while these wait.
func (s *stream) join(index int, t *sums) *sums {
	s.order.Lock()
	defer s.order.Unlock()
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

// empty returns sums that were joined before, or new ones.
func (s *stream) empty() *sums {
	k := len(s.spare)
	if k == 0 {
		return newSums(len(s.ys), s.Bins)
	}
	t := s.spare[k-1]
	s.spare = s.spare[:k-1]
	t.reset()
	return t
}
