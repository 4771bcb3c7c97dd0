// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"fmt"
	"math"
	"sync"
	"sync/atomic"
)

// A chunk is what a worker takes at once: a number of blocks that does not depend on
// the number of workers, so that sums over chunks, taken in order, do not either.
const chunkBlocks = 32

const chunkSize = chunkBlocks * blockSize

// chunk is the place of some trials among all of them.
type chunk struct{ index, first, end int } // trials first to end−1

// A visitor takes in the outputs of one worker.
type visitor interface {
	visit(c chunk, block [][]float64) // the finite trials of a block
	leave(c chunk)                    // after the last block of a chunk
}

// sweep runs the trials from first to end−1 on all workers, in chunks of a size. Each
// worker has a visitor of its own.
func (r *run) sweep(ctx context.Context, first, end, size int, newVisitor func() visitor) error {
	var (
		stop    atomic.Bool
		next    atomic.Int64
		done    atomic.Int64
		reports sync.Mutex
		wait    sync.WaitGroup
		thrown  = make(chan any, r.Workers)
	)
	release := context.AfterFunc(ctx, func() { stop.Store(true) })
	defer release()
	if ctx.Err() != nil {
		return canceled(ctx)
	}
	chunks := (end - first + size - 1) / size
	labour := func() {
		defer func() {
			if v := recover(); v != nil {
				stop.Store(true)
				thrown <- v
			}
		}()
		w := r.worker(&stop, newVisitor())
		for !stop.Load() {
			i := int(next.Add(1)) - 1
			if i >= chunks {
				return
			}
			c := chunk{i, first + i*size, min(end, first+(i+1)*size)}
			w.chunk(c)
			if stop.Load() {
				return
			}
			done.Add(int64(c.end - c.first))
			if r.Progress != nil && !r.silent {
				r.report(&reports, &done)
			}
		}
	}
	for range min(r.Workers, chunks) - 1 {
		wait.Go(labour)
	}
	labour()
	wait.Wait()
	select {
	case v := <-thrown:
		panic(v)
	default:
	}
	if ctx.Err() != nil {
		return canceled(ctx)
	}
	return nil
}

func canceled(ctx context.Context) error {
	return &Error{Op: "MonteCarlo", Err: fmt.Errorf("stopped: %w", context.Cause(ctx))}
}

// report tells the progress, and may panic.
func (r *run) report(one *sync.Mutex, done *atomic.Int64) {
	one.Lock()
	defer one.Unlock()
	r.Progress(r.before+int(done.Load()), r.Trials)
}

// worker is a machine with room for the outputs of a block.
type worker struct {
	*machine
	visitor
	out   [][]float64 // registers, or constants
	block [][]float64 // the part in use
}

func (r *run) worker(stop *atomic.Bool, v visitor) *worker {
	w := &worker{machine: newMachine(r.tape, r.Seed, stop), visitor: v, block: make([][]float64, len(r.ys))}
	for _, o := range r.tape.outputs {
		var column []float64
		if o.isFixed() {
			column = make([]float64, blockSize)
			fillConstant(column, o.value)
		} else {
			column = w.regs[o.register]
		}
		w.out = append(w.out, column)
	}
	return w
}

// chunk runs the blocks of one chunk. Chunks begin at whole blocks.
func (w *worker) chunk(c chunk) {
	for t := c.first; t < c.end; t += blockSize {
		n := min(blockSize, c.end-t)
		w.run(t/blockSize, n)
		if w.stop.Load() {
			return
		}
		n = w.keepFinite(n)
		for i := range w.block {
			w.block[i] = w.out[i][:n]
		}
		w.visit(c, w.block)
	}
	w.leave(c)
}

// keepFinite moves the trials with finite results to the front and counts them.
func (w *worker) keepFinite(n int) int {
	finite := true
	for _, column := range w.out {
		finite = finite && allFinite(column[:n])
	}
	if finite {
		return n
	}
	kept := 0
	for i := range n {
		ok := true
		for _, column := range w.out {
			v := column[i]
			ok = ok && !math.IsNaN(v) && !math.IsInf(v, 0)
			column[kept] = v
		}
		if ok {
			kept++
		}
	}
	return kept
}

// allFinite adds v − v, which is 0 but for NaN and infinities.
func allFinite(a []float64) bool {
	var s0, s1, s2, s3 float64
	for ; len(a) >= 4; a = a[4:] {
		s0 += a[0] - a[0]
		s1 += a[1] - a[1]
		s2 += a[2] - a[2]
		s3 += a[3] - a[3]
	}
	for _, v := range a {
		s0 += v - v
	}
	return s0+s1+(s2+s3) == 0
}
