// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package orderstat

import (
	"math"
	"sync/atomic"
)

// Ends keeps the trials of one output that lie at or beyond two limits, from several
// goroutines at once. It begins with [Ends.Begin].
type Ends struct{ low, high end }

// end collects the values beyond a limit.
type end struct {
	limit  float64
	values []float64
	used   atomic.Int64 // may run past the room that there is
}

// PilotRank returns the rank in a pilot of n trials that lies inside the ends of all
// coverage intervals for the probability p, with a margin of six standard deviations. It
// is false where the two ends would meet: all trials must be kept then.
func PilotRank(n int, p float64) (rank int, ok bool) {
	// The rank of a quantile in n trials scatters by √(n·p·(1 − p)); six of these are never left.
	m, t := float64(n), 1-p
	k := math.Ceil(float64(m*t)+float64(6*math.Sqrt(m*t*(1-t)))) + 6
	return int(k), 2*k < m
}

// Begin sets the limits to the values of a rank, counted from either end, of a pilot in
// rising order, and makes room for what so many trials will put beyond them.
func (e *Ends) Begin(pilot []float64, rank, trials int) {
	// The share beyond a limit is known to 1/√rank; five times that is enough, and Trials says if
	// not.
	k := float64(rank)
	room := int(float64(trials)*k/float64(len(pilot))*(1+5/math.Sqrt(k))) + 100
	e.low.limit = pilot[rank-1]
	e.high.limit = pilot[len(pilot)-rank]
	// One slice for both ends.
	values := make([]float64, 2*room)
	e.low.values, e.high.values = values[:room], values[room:]
}

// Trials returns what was kept, in no order, of n trials. It is false where there was too
// little room.
func (e *Ends) Trials(n int) (Trials, bool) {
	low, ok := e.low.kept()
	high, also := e.high.kept()
	return Trials{n, low, high}, ok && also
}

// kept returns the values, if there was room for all.
func (e *end) kept() ([]float64, bool) {
	n := int(e.used.Load())
	if n > len(e.values) {
		return nil, false
	}
	return e.values[:n], true
}

// take empties a queue of more values than most; their order does not matter.
func (e *end) take(q *queue, most int) {
	if q.n <= most {
		return
	}
	// One atomic addition reserves room for the whole queue.
	last := int(e.used.Add(int64(q.n)))
	// Without room the values are lost, and kept reports it by the count.
	if last <= len(e.values) {
		copy(e.values[last-q.n:], q.values[:q.n])
	}
	q.n = 0
}

// A Buffer holds the values of one goroutine on their way to the ends of one output.
type Buffer struct {
	low, high queue
	block     int
}

// queue has room for at least a block of values at any time.
type queue struct {
	values []float64
	n      int
}

// NewBuffers returns buffers for so many outputs, whose columns hold at most a block of
// values.
func NewBuffers(outputs, block int) []Buffer {
	// Room for one block more than take leaves behind, four times over, so that few atomic
	// additions are needed.
	size := 4 * block
	buffers := make([]Buffer, outputs)
	room := make([]float64, 2*outputs*size)
	for i := range buffers {
		b := &buffers[i]
		b.block = block
		b.low.values, room = room[:size], room[size:]
		b.high.values, room = room[:size], room[size:]
	}
	return buffers
}

// Collect takes a column of trials.
func (e *Ends) Collect(column []float64, b *Buffer) {
	low, high := &b.low, &b.high
	l, h := outside(column, e.low.limit, e.high.limit, low.values[low.n:], high.values[high.n:])
	low.n += l
	high.n += h
	// There must be room for a whole block on the next call.
	most := len(low.values) - b.block
	e.low.take(low, most)
	e.high.take(high, most)
}

// Flush empties the buffer.
func (e *Ends) Flush(b *Buffer) {
	e.low.take(&b.low, 0)
	e.high.take(&b.high, 0)
}

// outside copies what lies at or beyond the limits and returns how much that is. Each
// value is copied, and kept by counting it: a branch would often be guessed wrong. So
// low and high have room for all values.
func outside(column []float64, below, above float64, low, high []float64) (l, h int) {
	for _, v := range column {
		low[l], high[h] = v, v
		l += oneIf(v <= below)
		h += oneIf(v >= above)
	}
	return l, h
}

// oneIf is 1 for true, without a branch.
func oneIf(b bool) int {
	if b {
		return 1
	}
	return 0
}
