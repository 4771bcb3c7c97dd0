// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/elementary"
)

// correct replaces the figures of an output by the controlled ones, n trials having been summed.
// The output has the plain ones, which stay where the trials of the pilot told too little (b = 0),
// where the corrected rank was not kept, or where the twin turns out not to follow its law.
//
// In the order of the figures: both ends of the symmetric interval, each by the count at its level;
// the shortest interval by the counts at many; estimate and u by the powers of the twin; the
// distribution function and other quantiles by the counts again.
func (o *Output) correct(c *control, s *twinSums, n int, m MonteCarlo) {
	below := s.below()
	if c.strays(below, n) {
		o.Twin = Twin{Reason: reasonStray}
		return
	}
	o.Twin.Kind = c.kind
	t := o.trials // in order
	plain := o.Symmetric
	ends := [2]struct {
		value, sampling *float64
		control         *Control
		level           int
	}{
		{&o.Symmetric.Lower, &o.Sampling.Lower, &o.Twin.Lower, c.lower},
		{&o.Symmetric.Upper, &o.Sampling.Upper, &o.Twin.Upper, c.upper},
	}
	for i, e := range ends {
		*e.control = Control{0, 1}
		rank := c.rank(e.level, n, below[e.level])
		q, ok := interpolated(t, rank)
		if !ok || c.b[e.level] == 0 {
			continue
		}
		p := c.levels[e.level]
		found := s.end(i, q, n, int(rank), below[e.level], c.windows[i])
		// In ranks; one more for what lies between two trials, since a correction that leaves
		// none in doubt still leaves that.
		left := float64(found.variance(c.b[e.level])*float64(n)) + 1
		gain := float64(n) * float64(p*(1-p)) / left
		*e.control = Control{c.b[e.level], gain}
		*e.value = q
		// Sampling.Lower has the density at the end in it, from neighbouring trials, and that of
		// the correction is the same: only the variance of the count changes.
		*e.sampling /= math.Sqrt(gain)
	}
	o.correctShortest(c, below, n, plain)
	o.correctMoments(c, s, n)
	o.miss = c.newMiss(below, n)
	for i, p := range m.Quantiles {
		k := c.level(p)
		if v, ok := interpolated(t, c.rank(k, n, below[k])); ok && c.b[k] > 0 {
			o.Quantiles[i] = v
		}
	}
}

// correctShortest finds the shortest interval among those whose lower tail is one of the
// levels, both ends corrected. The length is flat about its minimum, so that the place is
// left to chance; of those that are as short as chance can tell the symmetric one is taken,
// the most central. So a symmetric output gets one interval, not two that differ by noise.
func (o *Output) correctShortest(c *control, below []int, n int, plain Interval) {
	// By k, lower tail (1 − p)·k/tailLevels; place 0 is none.
	var lengths [tailLevels]float64
	var found [tailLevels]Interval
	best := 0
	tail := 1 - o.Coverage
	for k := 1; k < tailLevels; k++ {
		a := tail * float64(k) / tailLevels
		low, high := c.level(a), c.level(o.Coverage+a)
		x, ok := interpolated(o.trials, c.rank(low, n, below[low]))
		y, also := interpolated(o.trials, c.rank(high, n, below[high]))
		if !ok || !also || c.b[low] == 0 || c.b[high] == 0 {
			lengths[k] = math.Inf(1)
			continue
		}
		found[k], lengths[k] = Interval{Lower: x, Upper: y}, y-x
		if best == 0 || lengths[k] < lengths[best] {
			best = k
		}
	}
	o.Twin.Shortest = Control{0, 1}
	if best == 0 || !o.shortestAmong(tail/tailLevels, tail*(tailLevels-1)/tailLevels) {
		// Its lower or upper end is among the very last trials, where nothing is corrected.
		if o.Shortest.Width() > o.Symmetric.Width() {
			o.Shortest = o.Symmetric
		}
		return
	}
	o.Shortest = vertex(found, lengths, best)
	// Where the ends jump from level to level, as between two humps of the density, no parabola
	// fits: the interval would hold fewer trials than the shortest of the levels, which is right.
	if o.share(o.Shortest) < o.share(found[best])-0.02*tail {
		o.Shortest = found[best]
	}
	// Not shorter by more than a tenth of the sampling error of a length: as short as chance can
	// tell, since the lengths of neighbouring levels rest on nearly the same trials.
	if o.Symmetric.Width()-o.Shortest.Width() <= 0.1*elementary.Hypot(o.Sampling.Lower,
		o.Sampling.Upper) {
		o.Shortest = o.Symmetric
	}
	o.Twin.Shortest = Control{(o.Twin.Lower.B + o.Twin.Upper.B) / 2, o.gainOfLength()}
}

// share is that of the trials in an interval.
func (o *Output) share(i Interval) float64 {
	return o.below(i.Upper, true) - o.below(i.Lower, false)
}

// shortestAmong reports whether the lower tail of the shortest interval of the trials is
// between two probabilities. Of an exponential output it is 0: no level of the twin is there.
func (o *Output) shortestAmong(low, high float64) bool {
	at := float64(countUpTo(o.trials.Low, o.Shortest.Lower, true)) / float64(o.trials.N)
	return at >= low && at <= high
}

// vertex is the interval at the minimum of the parabola through the lengths at a level and
// at up to three neighbours on either side (least squares). Chance moves a single length by
// more than it changes from level to level.
//
// With x = −s … s the sums Σx and Σx³ vanish, and the normal equations of v = level + slope·x +
// bend·x² fall apart:
//
//	slope = Σxv/Σx²
//	bend  = (n·Σx²v − Σx²·Σv)/(n·Σx⁴ − (Σx²)²)
//	level = (Σv·Σx⁴ − Σx²v·Σx²)/(n·Σx⁴ − (Σx²)²)
//
// with the minimum at x = −slope/(2·bend). A bend that is not positive has none.
func vertex(found [tailLevels]Interval, lengths [tailLevels]float64, best int) Interval {
	side := min(3, best-1, tailLevels-1-best)
	var s2, s4, f0, f1, f2 float64 // Σx², Σx⁴, Σv, Σxv, Σx²v
	n := 0.0
	for d := -side; d <= side; d++ {
		v, x := lengths[best+d]-lengths[best], float64(d)
		if math.IsInf(v, 1) {
			return found[best]
		}
		n++
		s2, s4 = s2+float64(x*x), s4+float64(x*x*x*x)
		f0, f1, f2 = f0+v, f1+float64(v*x), f2+float64(v*x*x)
	}
	det := float64(n*s4) - float64(s2*s2)
	if side == 0 || det == 0 {
		return found[best]
	}
	bend := (float64(n*f2) - float64(s2*f0)) / det
	level := (float64(f0*s4) - float64(f2*s2)) / det
	slope := f1 / s2
	if bend <= 0 {
		return found[best]
	}
	at := max(float64(-side), min(float64(side), -slope/(2*bend)))
	length := lengths[best] + level + float64(at*(slope+float64(at*bend)))
	k := best + int(math.Floor(at))
	part := at - math.Floor(at)
	i := found[k]
	if part > 0 {
		i.Lower += float64(part * (found[k+1].Lower - i.Lower))
		i.Upper += float64(part * (found[k+1].Upper - i.Upper))
	}
	// The ends follow straight lines from level to level, their distance the parabola.
	over := (i.Width() - length) / 2
	return Interval{Lower: i.Lower + over, Upper: i.Upper - over}
}

// gainOfLength is that of the distance of two ends, which hardly depend on each other: the
// variances of both without the twin, gain times those with it, over the variances with it.
func (o *Output) gainOfLength() float64 {
	l, u := o.Sampling.Lower, o.Sampling.Upper
	with := float64(l*l) + float64(u*u)
	if with == 0 {
		return 1
	}
	without := float64(float64(l*l)*o.Twin.Lower.Gain) + float64(float64(u*u)*o.Twin.Upper.Gain)
	return without / with
}

// regression is a mean that was corrected.
type regression struct {
	value, rest float64 // corrected mean, and the variance of one trial that is left
	b1, b2      float64 // coefficients of the twin and of its square
	gain        float64 // variance before over rest
}

// controls are the means of the twin and of its square less 1, which should be 0, their
// variances and covariance, over the trials: m1 and m2, v1 and v2, v12. The twin is in standard
// deviations from its mean.
type controls struct{ m1, m2, v1, v2, v12 float64 }

// regress corrects the mean r of a variate of variance v, whose covariances with the twin
// and with its square are given, by the means of both, which should be 0 (least
// squares on two controls). The coefficients solve
//
//	v1·b1 + v12·b2 = with1
//	v12·b1 + v2·b2 = with2
//
// and leave v − b1·with1 − b2·with2 of the variance. The square of a twin of two values
// is linear in it, which makes the equations dependent: b1 alone is taken then.
func (c controls) regress(r, v, with1, with2 float64) regression {
	det := float64(c.v1*c.v2) - float64(c.v12*c.v12)
	b1, b2 := with1/c.v1, 0.0
	if det > 1e-9*float64(c.v1*c.v2) {
		b1 = (float64(with1*c.v2) - float64(with2*c.v12)) / det
		b2 = (float64(with2*c.v1) - float64(with1*c.v12)) / det
	}
	// Rounding leaves about 1e-16 of the variance; below 1e-12 nothing can be told from it.
	rest := max(v-float64(b1*with1)-float64(b2*with2), 1e-12*v)
	return regression{r - float64(b1*c.m1) - float64(b2*c.m2), rest, b1, b2, v / rest}
}

// correctMoments corrects estimate and standard uncertainty, where the twin has a variance. All is
// computed of distances d in units of the scaling, so of means y1 of d, y2 of d², y4 of d⁴; and
//
//	u² = E d² − (E d)²
//
// of the two corrected means. Their errors: √(rest/n) for the estimate; for u half of the relative
// error of u², of which that of E d² is nearly all, since E d is nearly 0 about the mean of the
// pilot.
func (o *Output) correctMoments(c *control, s *twinSums, n int) {
	o.Twin.Estimate, o.Twin.StandardUncertainty = Control{0, 1}, Control{0, 1}
	if c.scale == 0 || o.StandardUncertainty == 0 {
		return
	}
	k := float64(n)
	m1, m2 := s.z1/k, s.z2/k-1 // the variance of the twin is 1
	v1 := s.z2/k - float64(m1*m1)
	v2 := s.z4/k - float64((s.z2/k)*(s.z2/k))
	v12 := s.z3/k - float64(m1*s.z2/k)
	y1, y2, y4 := o.powers[0]/k, o.powers[1]/k, o.powers[2]/k
	if !(v1 > 0 && v2 >= 0) || math.IsInf(v2, 0) || math.IsInf(v1, 0) {
		return
	}
	twin := controls{m1, m2, v1, v2, v12}
	mean := twin.regress(y1, y2-float64(y1*y1),
		s.yz/k-float64(y1*m1), s.yzz/k-float64(y1*s.z2/k))
	square := twin.regress(y2, y4-float64(y2*y2),
		s.yyz/k-float64(y2*m1), s.yyzz/k-float64(y2*s.z2/k))
	variance := square.value - float64(mean.value*mean.value)
	if !(variance > 0) || math.IsInf(variance, 1) || !(mean.gain >= 1) || !(square.gain >= 1) {
		return
	}
	// Back into the unit of the output. The coefficients of regression are per unit of the twin:
	// of values for the estimate, of squares for u.
	by := o.by
	u := math.Sqrt(variance) / by.scale
	o.Estimate = by.shift + mean.value/by.scale
	o.Sampling.Estimate = math.Sqrt(mean.rest/k) / by.scale
	o.Sampling.StandardUncertainty = math.Sqrt(square.rest/k) / (2 * math.Sqrt(variance)) / by.scale
	o.StandardUncertainty = u
	slope := c.scale / by.scale
	o.Twin.Estimate = Control{float64(mean.b1 * slope), mean.gain}
	o.Twin.StandardUncertainty = Control{float64(square.b2*slope) * slope, square.gain}
}

// missed is by how much the distribution function of the trials is corrected: the share of the
// trials up to the value with probability level is level + miss, as the twin says. Both lists begin
// at probability 0 and end at 1, where nothing is missed.
type missed struct{ level, miss []float64 }

// newMiss takes the corrections at the levels, as parts of the trials.
func (c *control) newMiss(below []int, n int) *missed {
	m := &missed{level: []float64{0}, miss: []float64{0}}
	for k, p := range c.levels {
		m.level = append(m.level, p)
		m.miss = append(m.miss, c.miss(k, n, below[k])/float64(n))
	}
	m.level, m.miss = append(m.level, 1), append(m.miss, 0)
	return m
}

// correct takes a share of the trials to the probability, which rises with it: the share at
// a level is the level and what is missed there, and between levels the map is a straight line.
func (m *missed) correct(share float64) float64 {
	for k := 1; k < len(m.level); k++ {
		from, to := m.level[k-1]+m.miss[k-1], m.level[k]+m.miss[k]
		if share <= to && to > from {
			part := (share - from) / (to - from)
			return max(0, min(1, m.level[k-1]+float64(max(0, part)*(m.level[k]-m.level[k-1]))))
		}
	}
	return share
}

// exactly replaces the figures of an output of a linear model by those of the distribution
// of the sum, about y, the output at the estimates. Histogram, and moments that do not exist, stay
// those of the trials. The covariance with other outputs keeps the correlation of the trials.
func (o *Output) exactly(law twinLaw, y float64, m MonteCarlo) {
	o.Twin = Twin{Kind: TwinExact}
	o.law, o.origin = &law, y
	tail := (1 - m.Coverage) / 2
	at := func(p float64) float64 { return y + law.Quantile(p) }
	o.Symmetric = Interval{Lower: at(tail), Upper: at(1 - tail)}
	o.Shortest = law.shortest(m.Coverage)
	o.Shortest.Lower, o.Shortest.Upper = y+o.Shortest.Lower, y+o.Shortest.Upper
	if o.Shortest.Width() > o.Symmetric.Width()*(1-1e-9) { // of equal ones the most central
		o.Shortest = o.Symmetric
	}
	for i, p := range m.Quantiles {
		o.Quantiles[i] = at(p)
	}
	o.Sampling.Lower, o.Sampling.Upper = 0, 0
	if !math.IsInf(law.variance, 0) {
		o.Estimate, o.StandardUncertainty = y+law.mean, law.u
		o.Sampling = Sampling{}
	}
}

// shortest is the shortest interval of the probability p: the best of some lower tails, made
// better by golden sections. 64 parts find the right one of several minima, of a density with
// humps; 40 sections leave 4e-9 of two parts. The length is flat there: its error is of second
// order in that of the place.
func (l twinLaw) shortest(p float64) Interval {
	tail := 1 - p
	length := func(a float64) float64 { return l.Quantile(a+p) - l.Quantile(a) }
	const parts = 64
	best, least := 0.5, math.Inf(1)
	for k := 1; k < parts; k++ {
		if v := length(tail * float64(k) / parts); v < least {
			best, least = float64(k)/parts, v
		}
	}
	low, high := float64(tail*(best-1.0/parts)), float64(tail*(best+1.0/parts))
	low, high = max(low, float64(1e-9*tail)), min(high, float64(tail*(1-1e-9)))
	const ratio = 1 / math.Phi // 0.618…: one of the two inner points serves the next section again
	a, b := high-float64(ratio*(high-low)), low+float64(ratio*(high-low))
	for range 40 {
		if length(a) < length(b) {
			high, b = b, a
			a = high - float64(ratio*(high-low))
		} else {
			low, a = a, b
			b = low + float64(ratio*(high-low))
		}
	}
	at := low + (high-low)/2
	return Interval{Lower: l.Quantile(at), Upper: l.Quantile(at + p)}
}

// scaleCovariance keeps the correlations where standard uncertainties were corrected: V_ik times
// the ratios of corrected to plain u of both outputs, so that the diagonal is the square of the u
// stated.
func (s *Simulation) scaleCovariance() {
	n := len(s.Outputs)
	scaled := mat.NewSymDense(n, nil)
	ratio := func(i int) float64 {
		if u := math.Sqrt(s.Covariance.At(i, i)); u > 0 {
			return s.Outputs[i].StandardUncertainty / u
		}
		return 1
	}
	for i := range n {
		for k := range i + 1 {
			scaled.SetSym(i, k, float64(s.Covariance.At(i, k)*ratio(i))*ratio(k))
		}
	}
	s.Covariance = scaled
}
