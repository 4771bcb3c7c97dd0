// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"example.com/ohmwright/uncertainty/internal/tape"
)

// This file runs trials on several goroutines with the bits of one. Three things see to that:
//
//   - the random numbers of a block of 256 trials follow from the seed, the input and the number of
//     the block alone, so that it does not matter who draws it, and when;
//   - each worker has a machine of its own: columns, generators, room for the arguments of a call;
//   - what is added up is added within blocks, blocks within chunks and chunks within the run in
//     their order. Which chunk a worker takes is left to chance; where its sums go is not.
//
// A function of the user that panics stops all workers at their next block, and panics again in the
// goroutine of Run, where the user can recover it.

// A chunk is what a worker takes at once: a number of blocks that does not depend on
// the number of workers, so that sums over chunks, taken in order, do not either. With fewer blocks
// the workers would meet more often at the lock of the sums; with more, the last of them would work
// alone for longer, and a pilot of two chunks would be larger.
const chunkBlocks = 32

// chunkSize is the number of trials in a chunk: 8192.
const chunkSize = chunkBlocks * tape.BlockSize

// chunk is the place of some trials among all of them.
type chunk struct{ index, first, end int } // trials first to end−1

// A visitor takes in the outputs of one worker. The columns of a block are those of measurands and
// then twins, of one length, without invalid trials; they are valid during the call.
type visitor interface {
	visit(c chunk, block [][]float64) // the finite trials of a block
	leave(c chunk)                    // after the last block of a chunk
}

// A host gives each worker a visitor.
type host interface{ visitor() visitor }

// stopper tells workers to end early: because the context is done, or because one of
// them has panicked. All workers ask it, at every block and within slow calls.
type stopper struct {
	done   <-chan struct{} // of the context
	broken atomic.Bool
}

func (s *stopper) stopped() bool {
	select {
	case <-s.done:
		return true
	default:
		return s.broken.Load()
	}
}

// sweep is some trials under way: those of the pilot, of a batch, or all. A run has one at a time,
// in memory that the next one uses again.
type sweep struct {
	*run
	host       host
	first, end int // trials
	size       int // of a chunk

	next, trials atomic.Int64 // chunks taken, trials done
	wait         sync.WaitGroup
	one          sync.Mutex // guards what follows, and reports
	panicked     any        // by a function of the user
}

// sweep runs the trials from first to end−1 on all workers, in chunks of a size, and returns when
// the last of them is done. The error is that of the context.
func (r *run) sweep(ctx context.Context, first, end, size int, h host) error {
	if ctx.Err() != nil {
		return canceled(ctx)
	}
	s := &r.current
	s.run, s.host, s.first, s.end, s.size, s.panicked = r, h, first, end, size, nil
	s.next.Store(0)
	s.trials.Store(0)
	workers := max(1, min(r.Workers, s.chunks()))
	for len(r.team) < workers {
		r.team = append(r.team, nil)
	}
	// This goroutine is one of the workers: a run with one of them starts no other.
	for i := range workers - 1 {
		s.wait.Go(func() { s.work(i + 1) })
	}
	s.work(0)
	s.wait.Wait()
	if s.panicked != nil {
		panic(s.panicked)
	}
	if ctx.Err() != nil {
		return canceled(ctx)
	}
	return nil
}

func (s *sweep) chunks() int { return (s.end - s.first + s.size - 1) / s.size }

// work is what worker i does: chunk after chunk, until none is left.
func (s *sweep) work(i int) {
	defer s.keepPanic()
	if s.team[i] == nil {
		s.team[i] = s.worker()
	}
	// Machines outlive a sweep, visitors do not.
	w := s.team[i]
	w.visitor = s.host.visitor()
	for !s.stopped() {
		// Whoever is free takes the next: the sums are put in order later, not the work.
		k := int(s.next.Add(1)) - 1
		if k >= s.chunks() {
			return
		}
		c := chunk{k, s.first + k*s.size, min(s.end, s.first+(k+1)*s.size)}
		w.chunk(c)
		if s.stopped() {
			return
		}
		s.trials.Add(int64(c.end - c.first))
		if s.Progress != nil && !s.silent {
			s.report()
		}
	}
}

// keepPanic keeps a panic of a function of the user for the caller of Run. Of several the last
// counts: they are those of one function, as a rule.
func (s *sweep) keepPanic() {
	if v := recover(); v != nil {
		s.broken.Store(true)
		s.one.Lock()
		defer s.one.Unlock()
		s.panicked = v
	}
}

// canceled is the error of a run that the context ended; errors.Is finds the cause of the context.
func canceled(ctx context.Context) error {
	return &Error{Op: "uncertainty.MonteCarlo", Err: fmt.Errorf("stopped: %w", context.Cause(ctx))}
}

// report tells the progress, and may panic: Progress is a function of the user.
func (s *sweep) report() {
	s.one.Lock()
	defer s.one.Unlock()
	s.Progress(s.before+int(s.trials.Load()), s.Trials)
}

// worker is a machine with room for the outputs of a block. It serves all sweeps of a
// run.
type worker struct {
	tape.Machine
	*stopper
	visitor visitor     // of the sweep that is on
	out     [][]float64 // columns of the machine, by output and twin
	block   [][]float64 // the part in use
	ys      int         // columns that must be finite; twins come after them
}

// worker makes a machine for the tape of the run as it is now: another tape needs another team.
func (r *run) worker() *worker {
	outputs := len(r.tape.Outputs)
	headers := make([][]float64, 2*outputs)
	w := &worker{
		Machine: tape.NewMachine(r.tape, r.Seed, r.stopped), stopper: &r.stopper,
		out: headers[:outputs], block: headers[outputs:], ys: len(r.ys),
	}
	w.Outputs(w.out)
	return w
}

// chunk runs the blocks of one chunk. Chunks begin at whole blocks.
func (w *worker) chunk(c chunk) {
	for t := c.first; t < c.end; t += tape.BlockSize {
		n := min(tape.BlockSize, c.end-t)
		w.Run(t/tape.BlockSize, n)
		if w.stopped() {
			return
		}
		// Invalid trials are left out before anything is summed.
		n = w.keepFinite(n)
		for i := range w.block {
			w.block[i] = w.out[i][:n]
		}
		w.visitor.visit(c, w.block)
	}
	w.visitor.leave(c)
}

// keepFinite moves the trials with finite results to the front and counts them, of n. A trial is
// invalid for all outputs where one of them is not finite, so that the rows stay joint.
func (w *worker) keepFinite(n int) int {
	// Nearly all blocks are finite: that is found without a branch for each trial.
	finite := true
	for _, column := range w.out[:w.ys] {
		finite = finite && allFinite(column[:n])
	}
	if finite {
		return n
	}
	kept := 0
	for i := range n {
		ok := true
		for k, column := range w.out {
			v := column[i]
			// A twin of an invalid trial may be what it likes.
			ok = ok && (k >= w.ys || !math.IsNaN(v) && !math.IsInf(v, 0))
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
