// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// How often a diagnosis finds the truth. An answer is a list of classes of causes, most probable
// first; the truth counts as found where its key is in the first class and that class has five
// members or fewer: what names a dozen places names none. Rates are counted by size, by sort, by
// what was read with what; and the probabilities that answers state are compared with how often
// they are right (calibration): of those stated with 90 to 99 % that many should be.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
)

// Class is one stated answer: causes that the readings are said not to separate. Members may
// have the same key; they count once.
type Class struct {
	Probability float64
	Members     [][]Fault // each one fault or two
	// Size is the number of members as the answer counts them; 0: of those with different keys.
	// A class of more than five is no answer. A diagnosis may count members otherwise than by
	// keys: what it lists as one, or leaves out.
	Size int
}

// Answer is what a diagnosis says, most probable first.
type Answer struct {
	Healthy     bool
	Probability float64 // of the healthy box
	Classes     []Class
	Err         error
	Text        string // for the list of what went wrong
}

// mostMembers is the largest class that is an answer.
const mostMembers = 5

// Outcome is what became of one trial. large notes that the truth is in the first class,
// whatever its size.
type Outcome struct {
	Case   *Case
	Answer Answer
	Rank   int // of the truth among the classes, from 1; 0: not there, or in one too large
	large  bool
}

// Right reports whether the first answer is the truth. An answer with an error is never right.
func (o Outcome) Right() bool {
	if len(o.Case.Faults) == 0 {
		return o.Answer.Err == nil && o.Answer.Healthy
	}
	return o.Answer.Err == nil && !o.Answer.Healthy && o.Rank == 1
}

// three reports whether the truth is among the first three classes. A healthy box is right or
// not.
func (o Outcome) three() bool {
	if len(o.Case.Faults) == 0 {
		return o.Right()
	}
	return o.Answer.Err == nil && o.Rank >= 1 && o.Rank <= 3
}

// judge finds the truth in an answer. The first class with the truth in it decides; large notes
// that it is the first one, whatever its size.
func judge(c *Case, a Answer) Outcome {
	o := Outcome{Case: c, Answer: a}
	// The kinds of truth and answer may differ where their key is one.
	truth := Key(c.Box, c.Faults)
	for i, class := range a.Classes {
		keys := make(map[string]bool)
		for _, m := range class.Members {
			keys[Key(c.Box, m)] = true
		}
		size := class.Size
		if size == 0 {
			// As many as there are places to go for.
			size = len(keys)
		}
		if keys[truth] {
			o.large = i == 0
			if size <= mostMembers {
				o.Rank = i + 1
			}
			break
		}
	}
	return o
}

// Rates are the outcomes of many trials. In the order of the trials.
type Rates struct{ Outcomes []Outcome }

// Run diagnoses trials 0 to n − 1 of a mix, workers at a time. diagnose must be safe for
// concurrent use. The error is that of a trial that could not be made, the first by index;
// errors of a diagnosis are outcomes.
func Run(m Mix, n, workers int, diagnose func(c *Case) Answer) (*Rates, error) {
	out := make([]Outcome, n)
	errs := make([]error, n)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			// Each worker has the trials of one remainder; an outcome has its place, so that
			// nothing depends on which is done first.
			for i := w; i < n; i += workers {
				c, err := m.Case(i)
				if err != nil {
					errs[i] = err
					continue
				}
				out[i] = judge(c, diagnose(c))
			}
		})
	}
	wg.Wait()
	if i := slices.IndexFunc(errs, func(err error) bool { return err != nil }); i >= 0 {
		return nil, errs[i]
	}
	return &Rates{out}, nil
}

// Tally counts trials with the truth first and among the first three, and those with the truth
// in the first class, however large that is. A trial is in First only if it is in Three and in
// Large as well.
type Tally struct{ N, First, Three, Large int }

func (t *Tally) add(o Outcome) {
	t.N++
	if o.Right() {
		t.First++
	}
	if o.three() {
		t.Three++
	}
	// A class too large to be an answer still has the truth in it: what it lacks is a reading.
	if o.Right() || o.large && o.Answer.Err == nil && !o.Answer.Healthy {
		t.Large++
	}
}

// FirstShare is the share of first answers that are right; NaN without trials.
func (t Tally) FirstShare() float64 { return float64(t.First) / float64(t.N) }

// ThreeShare is that of the first three answers. NaN without trials.
func (t Tally) ThreeShare() float64 { return float64(t.Three) / float64(t.N) }

// String returns "98.5 % first, 99.8 % in three, of 400", and how many more there are where
// a class of any size counts as first.
func (t Tally) String() string {
	if t.N == 0 {
		return "none"
	}
	s := fmt.Sprintf("%.1f %% first, %.1f %% in three, of %d", 100*t.FirstShare(),
		100*t.ThreeShare(), t.N)
	if t.Large > t.First {
		s += fmt.Sprintf(" (%.1f %% in a first class of any size)",
			100*float64(t.Large)/float64(t.N))
	}
	return s
}

// Count counts the outcomes that a condition holds for. The condition sees the trial, its answer
// and the rank of the truth.
func (r *Rates) Count(holds func(o Outcome) bool) Tally {
	var t Tally
	for _, o := range r.Outcomes {
		if holds(o) {
			t.add(o)
		}
	}
	return t
}

// Group counts the faults of one group ("single", "meter", "pair", "healthy"; "": all but the
// healthy ones) that are least u or more. The healthy ones have the size 0: ask for them with
// least 0.
func (r *Rates) Group(group string, least float64) Tally {
	return r.Count(func(o Outcome) bool {
		return (o.Case.Sort.Group == group || group == "" && o.Case.Sort.Group != "healthy") &&
			o.Case.Size >= least
	})
}

// Stated is how often what is stated with a probability is right. Low and High are
// probabilities, Low included.
type Stated struct {
	Low, High float64
	N, Right  int
}

// Share is that of the right ones; NaN where nothing was stated so.
func (s Stated) Share() float64 { return float64(s.Right) / float64(s.N) }

// Calibration counts first answers, "healthy" among them, by the probability that they state: 90
// to 99 %, 99 to 99.9 %, above. A fault of less than 3 u that is called healthy counts neither
// way. A fault below 3 u is one that the readings cannot show: to call such a box healthy is
// neither wrong nor a merit.
func (r *Rates) Calibration() []Stated {
	out := []Stated{{Low: 0.9, High: 0.99}, {Low: 0.99, High: 0.999},
		{Low: 0.999, High: math.Inf(1)}}
	for _, o := range r.Outcomes {
		p := o.Answer.Probability
		switch {
		case o.Answer.Err != nil, o.Answer.Healthy && len(o.Case.Faults) > 0 && o.Case.Size < 3:
			continue
		// p is that of the healthy box.
		case o.Answer.Healthy:
		case len(o.Answer.Classes) > 0:
			p = o.Answer.Classes[0].Probability
		}
		for i := range out {
			// Below 90 % nothing is counted: there an answer says itself that it does not know.
			if p >= out[i].Low && p < out[i].High {
				out[i].N++
				if o.Right() {
					out[i].Right++
				}
			}
		}
	}
	return out
}

// bins are the ends of the sizes of a table, in u: column i counts from bins[i] to bins[i+1].
var bins = []float64{0, 3, 5, 8, 16, 32, 100, math.Inf(1)}

var binNames = []string{"<3", "3–5", "5–8", "8–16", "16–32", "32–100", "≥100"}

// String is the table: by sort and size, by meter, plan and construction from 8 u on, and
// the calibration of what was stated.
//
// 8 u is the size from which rates are promised: with sixty elements, and all but one per cent
// of healthy boxes called healthy, a drift must be about 5.4 u large to be found 95 times in a
// hundred and a bridge among four thousand 6.4 u, which leaves 8 u a margin for what stands
// beside them. Sorts come in the order in which trials brought them.
func (r *Rates) String() string {
	var b strings.Builder
	// The columns are those of bins, with the trials after the stroke: 97/120.
	fmt.Fprintf(&b, "truth first in per cent / trials, by size in u beyond the class\n%-38s", "")
	for _, n := range binNames {
		fmt.Fprintf(&b, "%9s", n)
	}
	b.WriteString("     from 8 u on\n")
	r.rows(&b, func(o Outcome) string { return o.Case.Sort.Name }, true)
	b.WriteString("\nfaults from 8 u on, by meter, plan, construction\n")
	for _, of := range []func(o Outcome) string{
		func(o Outcome) string { return o.Case.Bench.Meter.Name },
		func(o Outcome) string {
			return fmt.Sprintf("%v plan, %d ×", o.Case.Extent,
				o.Case.Diallings)
		},
		func(o Outcome) string { return o.Case.Construction.String() },
	} {
		r.rows(&b, of, false)
	}
	fmt.Fprintf(&b, "\nhealthy called healthy: %v\n", r.Group("healthy", 0))
	for _, g := range []string{"single", "meter", "pair", ""} {
		if t := r.Group(g, 8); t.N > 0 {
			fmt.Fprintf(&b, "%s, 8 u and more: %v\n", cmp.Or(g, "all"), t)
		}
	}
	for _, s := range r.Calibration() {
		if s.N > 0 {
			fmt.Fprintf(&b, "stated %g to %g %%: right in %.1f %% of %d\n", 100*s.Low,
				100*min(1, s.High), 100*s.Share(), s.N)
		}
	}
	return b.String()
}

// rows prints a line for each value of a name, in order of appearance. all: a column for each
// size; else those of 8 u and more alone.
func (r *Rates) rows(b *strings.Builder, name func(o Outcome) string, all bool) {
	var names []string
	for _, o := range r.Outcomes {
		if len(o.Case.Faults) > 0 && !slices.Contains(names, name(o)) {
			names = append(names, name(o))
		}
	}
	// A fault that opens the circuit has the size +Inf and belongs to the last bin.
	sized := func(n string, low, high float64) Tally {
		return r.Count(func(o Outcome) bool {
			return len(o.Case.Faults) > 0 && name(o) == n && o.Case.Size >= low &&
				(o.Case.Size < high || math.IsInf(high, 1))
		})
	}
	for _, n := range names {
		fmt.Fprintf(b, "%-38s", n)
		if !all {
			fmt.Fprintf(b, " %v\n", sized(n, 8, math.Inf(1)))
			continue
		}
		for i, low := range bins[:len(binNames)] {
			t := sized(n, low, bins[i+1])
			cell := "–"
			if t.N > 0 {
				cell = fmt.Sprintf("%.0f/%d", 100*t.FirstShare(), t.N)
			}
			fmt.Fprintf(b, "%9s", cell)
		}
		fmt.Fprintf(b, "     %v\n", sized(n, 8, math.Inf(1)))
	}
}

// Wrong lists the outcomes that are not right from a size on, with the first answers. It says
// what one needs to make the trial again: its index is its seed.
func (r *Rates) Wrong(least float64) string {
	var b strings.Builder
	for _, o := range r.Outcomes {
		// A healthy box has no size and is always listed when it was called ill.
		if o.Right() || len(o.Case.Faults) > 0 && o.Case.Size < least {
			continue
		}
		c := o.Case
		fmt.Fprintf(&b, "trial %d: %s, %v, %s, %v plan, %.3g u, %d alternatives, rank %d: %v\n"+
			"    %s",
			c.Index, c.Bench.Box.Name(), c.Sort.Name, c.Bench.Meter.Name, c.Extent, c.Size,
			c.Alternatives, o.Rank, c.Faults, o.Answer.Text)
		if o.Answer.Err != nil {
			fmt.Fprintf(&b, "error: %v", o.Answer.Err)
		}
		b.WriteByte('\n')
	}
	return b.String()
}
