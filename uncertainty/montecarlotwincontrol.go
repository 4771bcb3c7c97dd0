// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/orderstat"
)

// The counting of a control variate. Y is the output, Z its twin, z_p the value that Z does not
// exceed with probability p, q an end of the interval of Y. Each trial contributes two counts, [Y ≤
// q] and [Z ≤ z_p], the second of which has the known expectation p. The corrected share of the
// trials,
//
//	F = mean [Y ≤ q] − b·(mean [Z ≤ z_p] − p)
//
// has the expectation P(Y ≤ q) for any b, and with b = Cov/Var, both of the counts, the least
// variance, (1 − r²) of that without the twin. Solved for q: the order statistic at rank
// n·p + b·(count − n·p). The variance, from which gain and sampling error follow, needs how often
// both are 1, for a q that is known only afterwards: so trials near the expected q are kept
// (window), and those below are counted.

// control is what a run knows of the twin of an output before the trials: at which values
// its trials are counted, how many of them should be found below, and how much of what is
// found to be missing is to be taken off. newControl makes it, tune completes it from the pilot;
// then it does not change, and serves all workers.
type control struct {
	kind   TwinKind
	column int // of the twin in a block
	law    twinLaw
	scale  float64 // of the distances from its mean: 1/√variance; 0 where it has no variance

	levels       []float64 // probabilities p, rising, each once
	edges        []float64 // by level: values z_p of the twin
	cells        []int     // by cell: first edge that a value in it may be at or below
	low, inverse float64   // where the cells begin, and cells per unit of the twin
	lower, upper int       // levels of the ends of the symmetric interval
	b            []float64 // by level, 0 to 1; 0 where too few trials of the pilot tell
	windows      [2]window // about the ends
}

// window is a narrow part of the output about an end of the symmetric interval, in which every
// trial whose twin is up to its own end is kept: those up to both can be counted afterwards.
type window struct{ low, high float64 } // values of the output

const (
	// tailLevels are the parts of the probability outside the interval: 15 lower tails among which
	// the shortest interval is looked for, from 0.3 to 4.7 % of 5 %.
	tailLevels = 16
	// middleLevels are the parts of the rest, at which [Output.CDF] is corrected between the ends.
	middleLevels = 16
	// edgeCells of a table over the edges, of which there are about 50: most cells hold none.
	edgeCells = 512

	// leastTail is n·min(p, 1 − p) below which nothing is corrected: fewer trials tell
	// little of how output and twin go together.
	leastTail = 100
)

// newControl prepares the counting, for a coverage probability and other probabilities that
// are wanted. The quantiles of the law are the costly part: one for each level.
func newControl(t twinModel, column int, law twinLaw, p float64, others []float64) *control {
	c := &control{kind: t.kind, column: column, law: law}
	if u := law.u; u > leastNormal && !math.IsInf(u, 0) {
		c.scale = 1 / u
	}
	// Levels for the shortest interval, whose lower tail is any part of the whole: each with the
	// other end, p farther. The middle one of these pairs is the symmetric interval.
	tail := 1 - p
	for k := 1; k < tailLevels; k++ {
		a := tail * float64(k) / tailLevels
		c.levels = append(c.levels, a, p+a)
	}
	for k := range middleLevels + 1 {
		c.levels = append(c.levels, tail+float64((p-tail)*float64(k))/middleLevels)
	}
	c.levels = append(c.levels, others...)
	c.levels = slices.DeleteFunc(c.levels, func(a float64) bool { return !(a > 0 && a < 1) })
	slices.Sort(c.levels)
	c.levels = slices.Compact(c.levels)
	for _, a := range c.levels {
		c.edges = append(c.edges, law.Quantile(a))
	}
	c.lower = c.level(tail / 2)
	c.upper = c.level(p + tail/2)
	first, last := c.edges[0], c.edges[len(c.edges)-1]
	c.low = first
	if last > first {
		c.inverse = edgeCells / (last - first)
	}
	// A little less than the beginning of the cell, so that the rounding of a place in cells never
	// skips an edge: place goes on from there.
	for i := range edgeCells {
		value := first + float64(i)/c.inverse
		k, _ := slices.BinarySearch(c.edges, value-float64(1e-9*(last-first)))
		c.cells = append(c.cells, k)
	}
	return c
}

// level returns the level that is a probability, or the nearest.
func (c *control) level(p float64) int {
	best := 0
	for i, a := range c.levels {
		if math.Abs(a-p) < math.Abs(c.levels[best]-p) {
			best = i
		}
	}
	return best
}

// place returns the number of edges below z, so that z counts as up to the levels from there on.
// The table answers at once but for a step or two, where a binary search would take six.
func (c *control) place(z float64) int {
	x := float64((z - c.low) * c.inverse)
	k := 0
	switch {
	case x >= edgeCells:
		k = len(c.edges) - 1
	case x > 0:
		k = c.cells[int(x)]
	}
	for k < len(c.edges) && z > c.edges[k] {
		k++
	}
	return k
}

// tune finds the coefficients from trials of output and twin, and the windows. The outputs
// in rising order are those of the same trials. Of n trials let m = n·p have a twin up to the
// level, y_m be the m-th output, and j trials be up to both. Then
//
//	b = Cov/Var = (j/n − p²)/(p(1 − p))
//
// That the same trials give b and are corrected by it would be a bias of the order 1/n; those of
// the pilot are a small part of most runs, and b enters the variance in second order only.
func (c *control) tune(y, z, sorted []float64) {
	n := len(y)
	below := make([]int, len(c.levels)+1) // trials of the twin up to each level
	for _, v := range z {
		below[c.place(v)]++
	}
	for k := 1; k < len(below); k++ {
		below[k] += below[k-1]
	}
	below = below[:len(c.levels)]
	// As many trials of the output lie up to these values: then the coefficient of
	// regression of one count on the other depends on the trials in which they differ only.
	values := make([]float64, len(c.levels))
	for k, m := range below {
		values[k] = math.Inf(-1)
		if m > 0 {
			values[k] = sorted[m-1]
		}
	}
	// A trial is up to both ends at all levels from the larger of its two places on.
	both := make([]int, len(c.levels)+1)
	for i, v := range z {
		k, _ := slices.BinarySearch(values, y[i])
		both[max(k, c.place(v))]++
	}
	for k := 1; k < len(both); k++ {
		both[k] += both[k-1]
	}
	c.b = make([]float64, len(c.levels))
	for k := range c.b {
		j := c.counted(k, n)
		if j < 0 {
			continue
		}
		// Between 0, a twin that tells nothing, and 1, one that tells all: beyond is chance.
		p := float64(below[j]) / float64(n)
		if variance := float64(p * (1 - p)); variance > 0 {
			c.b[k] = max(0, min(1, (float64(both[j])/float64(n)-float64(p*p))/variance))
		}
	}
	for i, k := range [...]int{c.lower, c.upper} {
		found := count{n: n, below: below[k], both: both[k], output: below[k]}
		rank := c.rank(k, n, below[k])
		// Eight standard deviations of the rank after the correction, one more for what lies
		// between two trials (see correct), and four ranks for a pilot of few trials.
		room := float64(8*math.Sqrt(float64(found.variance(c.b[k])*float64(n))+1)) + 4
		c.windows[i] = window{
			sorted[max(0, min(n-1, int(rank-room)))],
			sorted[max(0, min(n-1, int(rank+room)))],
		}
	}
}

// counted returns the level itself, or the next one towards the middle at which so many
// trials tell enough; −1 where there is none.
func (c *control) counted(k, n int) int {
	step := 1
	if c.levels[k] > 0.5 {
		step = -1
	}
	for ; k >= 0 && k < len(c.levels); k += step {
		if p := c.levels[k]; float64(n)*min(p, 1-p) >= leastTail {
			return k
		}
	}
	return -1
}

// rank is that of the quantile of the output at a level, after n trials of which so many of
// the twin are up to it: the order statistic at p + b·(mean [Z ≤ z_p] − p) (J. C. Hsu and
// B. L. Nelson, Management Science 36, 1990, 835; T. C. Hesterberg and B. L. Nelson,
// Management Science 44, 1998, 1295). The half puts it between the two trials that have it
// between them.
func (c *control) rank(k, n, below int) float64 {
	expected := float64(c.levels[k] * float64(n))
	return expected + c.miss(k, n, below) + 0.5
}

// miss is the correction of a rank: how many trials of the twin too many lie up to the level, of
// which b times as many are taken to be too many of the output.
//
// Example: p = 0.025, n = 10⁶, 25 120 twins up to z_p and b = 0.98: the end is the trial of rank
// 25 000 + 117.6, not that of rank 25 000, for this run has drawn a little too much from below.
func (c *control) miss(k, n, below int) float64 {
	p := c.levels[k]
	// Uncorrected, as a plain run has it.
	if float64(n)*min(p, 1-p) < leastTail {
		return 0
	}
	return float64(c.b[k] * (float64(below) - float64(p*float64(n))))
}

// count is what is known of the trials at an end.
type count struct {
	n      int // trials in all
	output int // trials of the output up to the end
	below  int // of the twin up to its own
	both   int // of both
}

// variance is that of [Y ≤ q] − b·[Z ≤ z] over the trials. Where the two always agree and b = 1 it
// is 0; with b = 0 it is p(1 − p), that of a count alone.
func (t count) variance(b float64) float64 {
	n := float64(t.n)
	p, q, j := float64(t.output)/n, float64(t.below)/n, float64(t.both)/n
	// E(d²) − (E d)² of d = [Y ≤ q] − b·[Z ≤ z], whose squares are those of the counts.
	m := p - float64(b*q)
	return max(0, p+float64(float64(b*b)*q)-2*float64(b*j)-float64(m*m))
}

// twinSums are the sums over trials of one output and its twin: a part of [sums], joined in the
// same order. They grow with the trials in the windows only, some thousand of a million.
type twinSums struct {
	counts []int        // trials of the twin by place: one more than there are levels
	both   [2]int       // by end: trials below the window whose twin is up to its own end
	near   [2][]float64 // by end: outputs in the windows whose twin is up to its own end
	// Sums of powers: of the distances y of the output, as sums takes them, and z of the
	// twin from its mean, in standard deviations.
	z1, z2, z3, z4     float64
	yz, yzz, yyz, yyzz float64
}

func (c *control) newSums() twinSums { return twinSums{counts: make([]int, len(c.edges)+1)} }

// add takes in a block of the output and its twin.
func (s *twinSums) add(y, z []float64, by scaling, c *control) {
	z = z[:len(y)]
	for _, v := range z {
		s.counts[c.place(v)]++
	}
	for i := range c.windows {
		k := c.lower
		if i == 1 {
			k = c.upper
		}
		s.window(i, y, z, c.windows[i], c.edges[k])
	}
	if c.scale == 0 {
		return
	}
	// Summed by block first, as sums does: fewer roundings of large totals.
	var z1, z2, z3, z4, yz, yzz, yyz, yyzz float64
	for i, v := range y {
		d, e := by.at(v), float64((z[i]-c.law.mean)*c.scale)
		dd, ee, de := float64(d*d), float64(e*e), float64(d*e)
		z1, z2, z3, z4 = z1+e, z2+ee, z3+float64(ee*e), z4+float64(ee*ee)
		yz, yzz, yyz, yyzz = yz+de, yzz+float64(de*e), yyz+float64(dd*e), yyzz+float64(dd*ee)
	}
	s.z1, s.z2, s.z3, s.z4 = s.z1+z1, s.z2+z2, s.z3+z3, s.z4+z4
	s.yz, s.yzz, s.yyz, s.yyzz = s.yz+yz, s.yzz+yzz, s.yyz+yyz, s.yyzz+yyzz
}

// window counts the trials below a window whose twin is up to its end, and keeps those
// inside. Of the trials above the window none is up to an end inside it. edge is z_p.
func (s *twinSums) window(i int, y, z []float64, w window, edge float64) {
	n := 0
	for k, v := range y {
		if v > w.high {
			continue
		}
		switch up := z[k] <= edge; {
		case v < w.low:
			n += oneIf(up)
		case up:
			s.near[i] = append(s.near[i], v)
		}
	}
	s.both[i] += n
}

// oneIf is 1 for true, without a branch.
func oneIf(b bool) int {
	if b {
		return 1
	}
	return 0
}

// reset empties the sums and keeps their memory.
func (s *twinSums) reset() {
	clear(s.counts)
	for i := range s.near {
		s.near[i] = s.near[i][:0]
	}
	*s = twinSums{counts: s.counts, near: s.near}
}

// join adds the sums of a later part.
func (s *twinSums) join(t *twinSums) {
	for i, n := range t.counts {
		s.counts[i] += n
	}
	for i := range s.near {
		s.both[i] += t.both[i]
		s.near[i] = append(s.near[i], t.near[i]...)
	}
	s.z1, s.z2, s.z3, s.z4 = s.z1+t.z1, s.z2+t.z2, s.z3+t.z3, s.z4+t.z4
	s.yz, s.yzz, s.yyz, s.yyzz = s.yz+t.yz, s.yzz+t.yzz, s.yyz+t.yyz, s.yyzz+t.yyzz
}

// end returns the counts at an end of the symmetric interval, 0 the lower and 1 the upper: q is the
// value that was found, output of n trials of the output are up to it, below of the twin up to z_p.
func (s *twinSums) end(i int, q float64, n, output, below int, w window) count {
	t := count{n: n, output: output, below: below, both: s.both[i]}
	for _, v := range s.near[i] {
		t.both += oneIf(v <= q)
	}
	if q < w.low || q > w.high {
		// Not counted there: as if the two were independent, which is the worst.
		t.both = int(float64(output) * float64(below) / float64(n))
	}
	return t
}

// below are the trials of the twin up to each level: the counts, added up.
func (s *twinSums) below() []int {
	out := make([]int, len(s.counts)-1)
	sum := 0
	for k := range out {
		sum += s.counts[k]
		out[k] = sum
	}
	return out
}

// strays reports whether the trials of the twin miss its distribution by more than chance
// does, once in a thousand million runs: then it is not what was convolved. 7.5 standard deviations
// of a count are 6e-14 of a normal one; of the few trials beyond an outer level, which scatter as
// Poisson's law, they are some 1e-11, and there are 50 levels.
func (c *control) strays(below []int, n int) bool {
	for k, m := range below {
		p := c.levels[k]
		expected := float64(float64(n) * p)
		chance := math.Sqrt(expected * (1 - p))
		if math.Abs(float64(m)-expected) > float64(7.5*chance)+1 {
			return true
		}
	}
	return false
}

// interpolated is the order statistic of a rank that is not whole, on the line between the two
// trials about it. It is false where these were not kept.
func interpolated(t orderstat.Trials, rank float64) (float64, bool) {
	k := math.Floor(rank)
	a, ok := t.Value(int(k))
	b, also := t.Value(int(k) + 1)
	return a + float64((b-a)*(rank-k)), ok && also
}
