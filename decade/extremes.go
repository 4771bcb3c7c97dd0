// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/big"
	"sync"

	"example.com/ohmwright/uncertainty/unit"
)

// The deviation of a setting is a sum over its dials, and so is its limit. The worst setting of
// a box, and the number of settings within their class, follow from the sums without a sweep
// over millions of settings.
//
// The idea in one line: the largest quotient D/N of two sums, N > 0, is the q at which the largest
// D − q·N is 0; and that sum, unlike the quotient, is largest where each dial by itself makes its
// part largest. So a round costs one look at every position of every dial, and from the quotient
// found the next round begins. Six dials of ten: 60 looks a round instead of a million settings.

// Measure is what [Box.Extremes] compares the deviation of a setting with. Any number of
// goroutines may use one at once.
type Measure uint8

const (
	// MeasureOfNominal is the deviation as a fraction of the nominal value.
	MeasureOfNominal Measure = iota
	// MeasureOfClass is the deviation as a fraction of [Setting.ClassLimit]: beyond ±1 the
	// setting is outside its class.
	MeasureOfClass
)

// Extreme is the setting with the lowest or the highest deviation from nominal of all settings of
// a box but zero. Any number of goroutines may read one at once.
type Extreme struct {
	Setting  Setting
	Relative float64 // its deviation as a fraction, see Measure
}

// Extremes returns the settings with the lowest and the highest relative deviation of the
// measured from the nominal value among all but the zero setting. The deviation is that of
// the convention in which the box is stated: of the increment over zero, or where the
// nominal value includes the residual, of the total at the terminals. Uncertainty is not
// considered.
//
// No sweep over the settings is needed: deviation and reference are both sums over the dials,
// and the extreme of their quotient follows in a few rounds (fractional programming, W.
// Dinkelbach, Management Science 13, 1967).
//
// It returns an error where the box has no calibration ([ErrCalibration]), and with
// MeasureOfClass where no limit is stated for a dial ([ErrNotStated]).
func (b *Box) Extremes(m Measure) (lowest, highest Extreme, err error) {
	q, err := b.quotients("decade.Box.Extremes", m)
	if err != nil {
		return Extreme{}, Extreme{}, err
	}
	return q.extreme(b, -1), q.extreme(b, 1), nil
}

// quotients are two sums over the switches of a box, deviation and reference.
type quotients struct {
	list             []quotient        // of all switches, without their zero, which adds nothing
	first            [maxDials + 1]int // of each switch, where it begins
	n                int               // switches
	offset, constant float64           // Ω, of deviation and reference, off zero
}

// quotient is what a position adds, in Ω. reference is the nominal value or its limit, see Measure.
type quotient struct {
	deviation, reference float64
	dial, position       uint8
}

// positionsOf returns the positions of a switch.
func (q *quotients) positionsOf(k int) []quotient { return q.list[q.first[k]:q.first[k+1]] }

// quotients lists what every position adds to the two sums. The ranges of one switch stand
// together, since one of all their positions is dialled or none.
func (b *Box) quotients(op string, m Measure) (q quotients, err error) {
	switch {
	case b.none():
		return q, noBox(op)
	case m > MeasureOfClass:
		return q, &Error{Op: op, Name: "measure", Value: float64(m),
			Err: unit.Errorf(ErrDomain, "%d; expected MeasureOfNominal or MeasureOfClass", m)}
	case b.measured == nil:
		return q, &Error{Op: op, Name: "box",
			Err: unit.Errorf(ErrCalibration,
				"%s has no measured values; expected a box from Box.With", b.title())}
	}
	t := b.deviations.of(b)
	q.offset = t.whole.ohms.deviation
	if m == MeasureOfClass {
		q.constant = t.whole.ohms.limit
	}
	most := 0
	for _, dial := range t.dials {
		most += len(dial)
	}
	q.list = make([]quotient, 0, most)
	for i := range b.spec.Decades {
		if b.earlier[i] != 0 {
			continue // with the first dial of its switch
		}
		for j := i; j < len(b.spec.Decades); j++ {
			if j > i && b.earlier[j]&(1<<i) == 0 {
				continue
			}
			if err := q.addDial(b, j, m); err != nil {
				return q, &Error{Op: op, Name: "tolerance", Err: err}
			}
		}
		q.n++
		q.first[q.n] = len(q.list)
	}
	return q, nil
}

// addDial appends the positions of a dial.
func (q *quotients) addDial(b *Box, dial int, m Measure) error {
	d := &b.spec.Decades[dial]
	for p, t := range b.deviations.dials[dial] {
		if p == 0 || !d.HasPosition(p) {
			continue
		}
		x := quotient{t.ohms.deviation, float64(d.Step * float64(p)), uint8(dial), uint8(p)}
		if m == MeasureOfClass {
			x.reference = t.ohms.limit
			if x.reference+q.constant <= 0 {
				return unit.Errorf(ErrNotStated,
					"not stated for %s; expected a limit of the dial or of the box", d.Name)
			}
		}
		q.list = append(q.list, x)
	}
	return nil
}

// deviations are those of a calibrated box, by the decimals of its values: 10.005 Ω deviate from
// 10 Ω by 5 mΩ, and are on a limit of 0.05 % and not beyond it. They are made when they are first
// asked for; goroutines may share them.
type deviations struct {
	once  sync.Once
	dials [][]deviation // by dial and position
	whole deviation     // of the box, at every setting off zero
	exact bool          // units hold them, and their sums
}

// deviation is what a position adds to the deviation of a setting and to its limit: in Ω, each
// correctly rounded, and in units, a power of ten.
type deviation struct {
	ohms  pair[float64]
	units pair[int64]
}

// pair is a deviation and its limit, or sums of both.
type pair[T int64 | float64] struct{ deviation, limit T }

// exactDeviation is the same as it was stated, in Ω.
type exactDeviation struct{ deviation, limit *big.Rat }

// of makes the deviations of a box, once, and returns them.
func (t *deviations) of(b *Box) *deviations {
	t.once.Do(func() {
		whole := exactDeviation{new(big.Rat), decimal(b.spec.Floor)}
		// Where the nominal value includes the residual, the class limits the total at the
		// terminals; otherwise it limits the increment, from which the residual drops out.
		if b.spec.ResidualIncluded {
			whole.deviation = decimal(b.values.off)
		}
		terms := []*big.Rat{whole.deviation, whole.limit}
		largest := whole.size()
		dials := make([][]exactDeviation, b.NumDecades())
		for i := range dials {
			most := new(big.Rat)
			for p := range b.spec.Decades[i].Positions + 1 {
				x := b.exactDeviation(i, p)
				dials[i] = append(dials[i], x)
				terms = append(terms, x.deviation, x.limit)
				if size := x.size(); size.Cmp(most) > 0 {
					most = size
				}
			}
			largest = plus(largest, most)
		}
		// Measured values of very many digits have no such unit; their sums are float64.
		k, ok := scaleOf(terms)
		grid := powerOfTen(k)
		t.exact = ok && product(largest, grid).Cmp(new(big.Rat).SetInt64(1<<62)) < 0
		t.whole = whole.round(grid)
		for i := range dials {
			t.dials = append(t.dials, nil)
			for _, x := range dials[i] {
				t.dials[i] = append(t.dials[i], x.round(grid))
			}
		}
	})
	return t
}

// exactDeviation is that of a position: of the elements in circuit from their nominal value, and
// what the class of the dial and of the box allow.
func (b *Box) exactDeviation(dial, position int) exactDeviation {
	d := &b.spec.Decades[dial]
	nominal := product(whole(position), decimal(d.Step))
	if !d.HasPosition(position) {
		return exactDeviation{new(big.Rat), new(big.Rat)}
	}
	total := new(big.Rat)
	for e := range d.weights(position) {
		total = plus(total, decimal(b.measured.elements[dial][e-1].Estimate()))
	}
	x := exactDeviation{minus(total, nominal), new(big.Rat)}
	if position > 0 {
		// The limits of dial and box add: both are worst cases (VIM 4.26, maximum permissible
		// error).
		x.limit = plus(product(nominal, plus(decimal(d.Tolerance), decimal(b.spec.Tolerance))),
			decimal(d.Floor))
	}
	return x
}

// size bounds both of its numbers.
func (x exactDeviation) size() *big.Rat { return plus(new(big.Rat).Abs(x.deviation), x.limit) }

// round returns the numbers in Ω, and in units of which there are so many in an ohm.
func (x exactDeviation) round(grid *big.Rat) deviation {
	units := func(r *big.Rat) int64 {
		r = product(r, grid)
		return new(big.Int).Quo(r.Num(), r.Denom()).Int64() // used where they are whole
	}
	return deviation{pair[float64]{nearest(x.deviation), nearest(x.limit)},
		pair[int64]{units(x.deviation), units(x.limit)}}
}

// extreme finds the largest quotient (sign 1) or the smallest (sign −1), which is the largest of
// the negated deviation. Quotients grow from round to round, and each belongs to a setting, so
// that it ends, after few rounds, since convergence is faster than linear.
func (q *quotients) extreme(b *Box, sign float64) Extreme {
	best := Extreme{Relative: math.Inf(-1)}
	for at := 0.0; ; at = best.Relative {
		// Dinkelbach's iteration: a parameter below the best quotient always finds a better one,
		// so that the first round without gain has reached it.
		s, value := q.bestAt(b, sign, at)
		// Negated, so that NaN ends the loop.
		if !(value > best.Relative) {
			break
		}
		best = Extreme{s, value}
	}
	best.Relative *= sign
	return best
}

// bestAt maximises sign·deviation − at·reference and returns the setting and its quotient, with
// the sign of sign.
func (q *quotients) bestAt(b *Box, sign, at float64) (Setting, float64) {
	s := Setting{box: b}
	deviation, reference := q.offset, q.constant
	turn := func(x *quotient) {
		s.positions.set(int(x.dial), int(x.position))
		deviation += x.deviation
		reference += x.reference
	}
	for k := range q.n {
		// For a fixed parameter the sum splits into its switches: each is best by itself, and
		// leaves its zero only where that gains.
		if x, gain := largestGain(q.positionsOf(k), sign, at); gain > 0 {
			turn(x)
		}
	}
	if s.positions == (positions{}) { // not the zero setting: the one off zero that loses least
		x, _ := largestGain(q.list, sign, at)
		turn(x)
	}
	return s, sign * deviation / reference
}

// largestGain returns the position with the largest sign·deviation − at·reference.
func largestGain(list []quotient, sign, at float64) (*quotient, float64) {
	place, most := 0, math.Inf(-1)
	for i := range list {
		if gain := float64(sign*list[i].deviation) - float64(at*list[i].reference); gain > most {
			place, most = i, gain
		}
	}
	return &list[place], most
}

// Counting has no such short cut: whether a setting is inside depends on all dials together. The
// sums of the last dials are tabled once, and each setting of the others costs one pass over the
// table, two additions and a comparison a setting.

// Survey is the answer of [Box.Survey]: how many settings of a calibrated box lie within its
// class. Any number of goroutines may read one at once.
type Survey struct {
	Settings        uint64 // all but zero
	Inside          uint64 // those whose deviation is within ClassLimit
	Lowest, Highest Extreme
}

// mostSurveyed bounds the settings of a survey, a fraction of a second.
const mostSurveyed = 1 << 28

// Survey evaluates the deviation of every setting from nominal, in the convention of
// [Box.Extremes], and counts those within their class. A box with more than 2²⁸ settings is
// refused ([ErrSearch]); [Box.Extremes] has no such bound. A context that is done ends it with an
// error. Uncertainty is not considered: a share of 100 % is not a statement of conformity.
func (b *Box) Survey(ctx context.Context) (*Survey, error) {
	const op = "decade.Box.Survey"
	if ctx == nil {
		ctx = context.Background()
	}
	q, err := b.quotients(op, MeasureOfClass)
	if err != nil {
		return nil, err
	}
	if n := b.NumSettings(); n > mostSurveyed {
		return nil, &Error{Op: op, Name: "box", Value: float64(n),
			Err: unit.Errorf(ErrSearch, "%d settings; expected at most %d", n, mostSurveyed)}
	}
	s := &Survey{Settings: b.NumSettings() - 1, Lowest: q.extreme(b, -1), Highest: q.extreme(b, 1)}
	if b.deviations.exact {
		s.Inside = numInside(ctx, b, &q, func(d *deviation) pair[int64] { return d.units })
	} else {
		s.Inside = numInside(ctx, b, &q, func(d *deviation) pair[float64] { return d.ohms })
	}
	if ctx.Err() != nil {
		return nil, unfinished(ctx, op, b)
	}
	return s, nil
}

// String returns the shares and the extremes in one line.
func (s *Survey) String() string {
	s = cmp.Or(s, &Survey{})
	return fmt.Sprintf("%d of %d settings within class, from %+.2f of the limit at %v to %+.2f "+
		"at %v",
		s.Inside, s.Settings, s.Lowest.Relative, s.Lowest.Setting, s.Highest.Relative,
		s.Highest.Setting)
}

// classCount counts settings within their class.
type classCount[T int64 | float64] struct {
	switches [][]pair[T] // positions of each, without its zero
	// All sums of the last switches, from switch from on; the first is that of their zeros.
	from  int
	table []pair[T]
}

// largestTable keeps the table in the fastest part of memory.
const largestTable = 2048

// numInside counts the settings off zero within their class; of are the numbers that it adds.
func numInside[T int64 | float64](ctx context.Context, b *Box, q *quotients,
	of func(*deviation) pair[T]) uint64 {
	c := classCount[T]{from: q.n, table: make([]pair[T], 1)}
	for k := range q.n {
		var list []pair[T]
		for _, x := range q.positionsOf(k) {
			list = append(list, of(&b.deviations.dials[x.dial][x.position]))
		}
		c.switches = append(c.switches, list)
	}
	c.makeTable()
	whole := of(&b.deviations.whole)
	n := c.inside(ctx, 0, whole)
	// It starts with all switches at zero, which it counts like any other setting.
	if whole.isInside() && ctx.Err() == nil {
		n--
	}
	return n
}

// isInside reports whether a deviation is within its limit, on it included.
func (x pair[T]) isInside() bool { return x.deviation <= x.limit && -x.deviation <= x.limit }

// plus adds two pairs.
func (x pair[T]) plus(y pair[T]) pair[T] {
	return pair[T]{x.deviation + y.deviation, x.limit + y.limit}
}

// makeTable makes the table of the sums of the last switches, as many as fit.
func (c *classCount[T]) makeTable() {
	// One switch at least, however large: without a table the recursion would end in calls.
	for c.from > 0 {
		last := c.switches[c.from-1]
		if len(c.table)*(1+len(last)) > largestTable && c.from < len(c.switches) {
			break
		}
		c.from--
		n := len(c.table)
		for _, x := range last {
			for _, sum := range c.table[:n] {
				c.table = append(c.table, x.plus(sum))
			}
		}
	}
}

// inside counts the settings of the switches from k on within their class, with the sums of those
// before.
func (c *classCount[T]) inside(ctx context.Context, k int, before pair[T]) uint64 {
	n := uint64(0)
	if k < c.from {
		// Asked less often than the table is passed. The count is not used after it.
		if ctx.Err() != nil {
			return 0
		}
		n = c.inside(ctx, k+1, before)
		for _, x := range c.switches[k] {
			n += c.inside(ctx, k+1, before.plus(x))
		}
		return n
	}
	for _, sum := range c.table {
		if before.plus(sum).isInside() {
			n++
		}
	}
	return n
}
