// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// No step of a search takes more than some milliseconds, but there are thousands. Work counts
// arithmetic between two looks at the context, not time: a clock would make the number of looks,
// and with it the calls of Progress, differ from run to run.

import "context"

// work watches over a search: it asks whether to go on, and tells how far it is, whenever a
// certain amount of arithmetic has been done. The nil work asks and tells nothing.
type work struct {
	ctx           context.Context
	progress      func(done, planned int)
	done, planned int
	err           error // why the search stops
	since         int   // multiplications since the last look, about
	looked        func(since int)
}

// betweenLooks is the work after which the context is asked, in multiplications: a few
// milliseconds. What is done in one piece is smaller than as much again.
const betweenLooks = 2_000_000

// progress may be nil. One step is planned at first: the single faults.
func newWork(ctx context.Context, progress func(done, planned int)) *work {
	return &work{ctx: ctx, progress: progress, planned: 1}
}

// spend adds to the work done, and reports whether to go on. It is asked before the arithmetic,
// so that a stopped loop begins no further round. The amount is a guess; no result depends on
// it.
func (w *work) spend(multiplications int) bool {
	if w == nil {
		return true
	}
	w.since += multiplications
	if w.since >= betweenLooks {
		w.askContext()
	}
	return w.err == nil
}

// askContext asks the context, and tells the progress. An error of the context stays, and every
// loop sees it.
func (w *work) askContext() {
	if w.looked != nil {
		w.looked(w.since)
	}
	w.since = 0
	if w.err != nil {
		return
	}
	if w.err = w.ctx.Err(); w.err == nil && w.progress != nil {
		w.progress(w.done, w.planned)
	}
}

// step says that a step is done, of so many that are planned now, and reports whether to go on.
// It looks whatever was spent, so that Progress hears of every step.
func (w *work) step(done, planned int) bool {
	if w == nil {
		return true
	}
	w.done, w.planned = done, planned
	w.askContext()
	return w.err == nil
}

// stopped is why the search stops; nil while it goes on. Whoever ends a loop by spend asks it
// afterwards, since what was found is not complete.
func (w *work) stopped() error {
	if w == nil {
		return nil
	}
	return w.err
}

// workOfSolve is the work of one setting by the network, about: each node is eliminated into
// the few that follow it.
func workOfSolve(m *model) int { return 40 * len(m.layout.nodes) }
