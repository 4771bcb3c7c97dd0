// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"context"
	"math"
	"math/big"
	"slices"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Which setting is nearest is decided in integers (finder.go, and descent.go for values that its
// integers do not hold), among the settings that meet the conditions. Preferences come
// afterwards: all settings that count as equally near are collected, and put in order in ohms.
//
// Three things are compared with the wanted resistance R, with p the positions:
//
//	nominal value               R − 0                 Σ step·p
//	total at the terminals      R − off               Σ dials(p), and the zero setting as it is
//	increment over zero         R − (off − zero)      Σ dials(p), and 0 for the zero setting
//
// What is taken off R once need not be added to each sum. Off is what the terminals show beside
// the dials, and zero what they show with all dials at zero, which a certificate may state as
// something else than off: then that one setting is compared apart (placeZero).

// Target is the resistance of a setting that a search compares with the wanted one. Any number of
// goroutines may use one at once.
type Target uint8

const (
	// TargetUsual is what a setting stands for: the nominal value, and on a calibrated box the
	// measured resistance at the terminals.
	TargetUsual Target = iota
	// TargetTotal is the resistance at the terminals, [Setting.Value].
	TargetTotal
	// TargetIncrement is the resistance over that of the zero setting: what is read after a null
	// with all dials at zero.
	TargetIncrement
)

// String returns "usual value", "total at the terminals" or "increment over zero".
func (t Target) String() string { return targets.String(t) }

// Preference orders settings that count as equally near. Any number of goroutines may use one
// at once.
type Preference uint8

const (
	// PreferHighestDials prefers the dial with the largest step as far as it goes, and so on.
	PreferHighestDials Preference = iota
	// PreferFewestMoves prefers the setting for which the fewest dials leave Search.From.
	PreferFewestMoves
	// PreferSmallestUncertainty prefers the smallest standard uncertainty of [Setting.Resistance].
	PreferSmallestUncertainty
)

// Search holds the conditions under which [Box.NearestN] and [Box.Choose] look for settings. The
// zero Search finds the one nearest setting. Any number of goroutines may read one at once.
type Search struct {
	N      int    // how many are wanted; 0: one
	Target Target // which resistance is compared

	From Setting // where the dials are; the zero Setting: all at zero
	Hold []int   // dials, numbered from 0, that stay where From has them

	// MinCurrent in amperes is what every element in circuit must bear by its rating; 0:
	// no condition.
	MinCurrent float64

	// Settings that are farther from the wanted resistance than the nearest one by no more
	// than Slack, in ohms, count as equally near: Prefer puts them in order.
	Slack  float64
	Prefer Preference
}

// mostEqual bounds the settings that a preference has to put in order: by uncertainty each takes a
// budget of its own, some microseconds.
const mostEqual = 1 << 14

// NearestN returns the settings nearest to a resistance in ohms among all that meet the
// conditions, best first; fewer than N where fewer meet the conditions. The search is exact: of
// nominal boxes by the decimals that are stated, of calibrated ones to 4e-18 of the largest
// resistance, or far below that where the smallest step asks for it. Among settings that are
// equally near, the one with the highest dials comes first unless Prefer says otherwise.
//
// It returns an error where the resistance is negative, not finite, or beyond what the settings
// that meet the conditions reach by more than the smallest step of the box ([ErrDomain]); where
// MinCurrent is asked of a dial without a rating ([ErrNotStated]); where the context is done;
// and where dials of odd or like steps leave too many combinations ([ErrSearch]): the work has a
// bound of about a second.
func (b *Box) NearestN(ctx context.Context, ohms float64, s Search) ([]Setting, error) {
	const op = "decade.Box.NearestN"
	h := nearestSearch{box: b, ctx: ctx, op: op, ohms: ohms, search: s}
	if err := h.prepare(); err != nil {
		return nil, err
	}
	return h.best()
}

// nearestSearch is a search among the settings that meet its conditions. It belongs to one call;
// finder and ladder may be those of the box, which all calls share.
type nearestSearch struct {
	box     *Box
	ctx     context.Context
	op      string
	ohms    float64
	search  Search
	finder  *finder
	ladder  *ladder // where the integers of the finder do not hold the values, else nil
	target  wide    // what the dials should add up to, in the integers of ladder or finder
	zeroOff bool    // the zero setting is not the sum of its dials: it is compared on its own
}

// prepare checks the arguments and completes the search, which has its first five fields.
// Conditions need a finder of their own; the box keeps one for all settings.
func (h *nearestSearch) prepare() error {
	b, s := h.box, &h.search
	if err := b.checkTarget(h.op, h.ohms); err != nil {
		return err
	}
	if err := b.checkSearch(h.op, s); err != nil {
		return err
	}
	if h.ctx == nil {
		h.ctx = context.Background()
	}
	h.finder, h.ladder = b.finder, b.ladder
	if len(s.Hold) > 0 || s.MinCurrent > 0 {
		h.finder = newFinder(b, s.allows(b))
		if h.ladder != nil {
			h.ladder = h.ladder.admitting(s.allows(b))
		}
	}
	h.setTarget()
	return h.checkRange()
}

// checkSearch refuses what makes no sense of a search and fills in its defaults.
func (b *Box) checkSearch(op string, s *Search) error {
	if s.N < 0 || s.N > mostEqual {
		return &Error{Op: op, Name: "N", Value: float64(s.N),
			Err: unit.Errorf(ErrDomain, "%d; expected 0 (for one) to %d", s.N, mostEqual)}
	}
	s.N = max(1, s.N)
	if !targets.Has(s.Target) {
		return &Error{Op: op, Name: "target", Value: float64(s.Target),
			Err: unit.Errorf(ErrDomain, "%d; expected TargetUsual, TargetTotal or TargetIncrement",
				s.Target)}
	}
	if s.Prefer > PreferSmallestUncertainty {
		return &Error{Op: op, Name: "prefer", Value: float64(s.Prefer),
			Err: unit.Errorf(ErrDomain, "%d; expected PreferHighestDials, PreferFewestMoves or "+
				"PreferSmallestUncertainty", s.Prefer)}
	}
	if s.MinCurrent != 0 || s.Slack != 0 { // NaN among them
		if err := checkAll(op, "", []stated{{"minCurrent", " A", s.MinCurrent},
			{"slack", " Ω", s.Slack}}); err != nil {
			return err
		}
	}
	if s.From.box == nil {
		s.From = b.Zero()
	}
	// A calibrated box and the box it was made from have the same positions.
	if s.From.box != b {
		from, err := s.From.On(b)
		if err != nil {
			return &Error{Op: op, Name: "from", Err: err}
		}
		s.From = from
	}
	for _, dial := range s.Hold {
		if err := b.checkPosition(op, dial, 0); err != nil {
			return err
		}
	}
	return s.checkRatings(op)
}

// checkRatings wants the rating of every dial that may be off zero.
func (s *Search) checkRatings(op string) error {
	if s.MinCurrent == 0 {
		return nil
	}
	used := s.From
	for i, d := range used.box.spec.Decades {
		// A dial that is not held may end anywhere, so its rating must be stated.
		if !slices.Contains(s.Hold, i) {
			used.positions.set(i, d.Positions)
		}
	}
	return used.requireStated(op, "elementPower",
		"the rating of an element in watts, as a current of "+text(s.MinCurrent)+" A is asked for",
		func(d *Decade) bool { return d.ElementPower > 0 })
}

// allows are the positions that meet the conditions, dial by dial: what an element bears does
// not depend on the other dials, as all carry one current.
func (s Search) allows(b *Box) func(dial, position int) bool {
	return func(dial, position int) bool {
		if slices.Contains(s.Hold, dial) && position != s.From.positions.at(dial) {
			return false
		}
		return s.MinCurrent == 0 || b.rating(dial, position).current >= s.MinCurrent
	}
}

// offset is what the terminals show beside the dials in Ω: ohms at any setting but the zero
// setting, and zero there.
func (h *nearestSearch) offset() (ohms float64, zero float64) {
	v := &h.box.values
	switch {
	case h.search.Target == TargetTotal, h.search.Target == TargetUsual && h.box.measured != nil:
		return v.off, v.zero
	case h.search.Target == TargetIncrement:
		// A null with all dials at zero takes the zero setting off every reading (VIM 4.28, zero
		// error).
		return v.off - v.zero, 0
	}
	return 0, 0
}

// setTarget turns the wanted resistance into the sum of dials that would meet it.
func (h *nearestSearch) setTarget() {
	b := h.box
	off, zero := h.offset()
	h.zeroOff = off != zero
	switch {
	case b.measured == nil && off == 0:
		h.target, _ = b.search.target(h.ohms)
	case b.measured == nil:
		// The difference of stated decimals is formed exactly: in float64 a half step could fall
		// to either side.
		h.target, _ = b.search.rationalTarget(product(minus(decimal(h.ohms), decimal(off)),
			b.search.unit))
	case h.ladder != nil:
		h.target = h.ladder.of(h.ohms).minus(h.ladder.of(off))
	default:
		h.target = wideOf(h.finder.scale.of(h.ohms) - h.finder.scale.of(off))
	}
}

// value is the resistance of a setting that is compared.
func (h *nearestSearch) value(s Setting) float64 {
	switch {
	case h.search.Target == TargetIncrement:
		return s.Value() - s.box.values.zero
	case h.search.Target == TargetUsual && h.box.measured == nil:
		return s.Nominal()
	}
	return s.Value()
}

// quantity is the same with its uncertainty.
func (h *nearestSearch) quantity(s Setting) uncertainty.Quantity {
	if h.search.Target == TargetIncrement {
		if s.AllZero() {
			return uncertainty.Exact(0)
		}
		return s.Resistance().Sub(s.box.Zero().Resistance())
	}
	return s.Resistance()
}

// distance is how far a setting is from the wanted resistance, in ohms.
func (h *nearestSearch) distance(s Setting) float64 { return math.Abs(h.value(s) - h.ohms) }

// exactDistance is the same of a nominal box by the decimals that are stated.
func (h *nearestSearch) exactDistance(s Setting) *big.Rat {
	off, zero := h.offset()
	total := decimal(zero)
	if !s.AllZero() {
		total = decimal(off)
		for i := range h.box.spec.Decades {
			step := decimal(h.box.spec.Decades[i].Step)
			total = plus(total, product(whole(s.positions.at(i)), step))
		}
	}
	return total.Abs(minus(total, decimal(h.ohms)))
}

// rounding is some fifty times that of a distance in float64, the difference of numbers that may
// be larger: nearer to a tie than this, exact figures are needed.
func (h *nearestSearch) rounding(distance float64) float64 {
	return 1e-14 * (h.ohms + distance + h.box.values.zero)
}

// compareDistance compares the distances of two settings for sorting. On a nominal box it does not
// depend on the rounding of distances: of 0.02 Ω and 0.1 Ω neither is nearer to 0.06 Ω.
func (h *nearestSearch) compareDistance(a, b Setting) int {
	x, y := h.distance(a), h.distance(b)
	if h.box.measured != nil || math.Abs(x-y) > h.rounding(max(x, y)) {
		return cmp.Compare(x, y)
	}
	return h.exactDistance(a).Cmp(h.exactDistance(b))
}

// checkRange refuses what the settings do not reach.
func (h *nearestSearch) checkRange() error {
	f := h.finder
	if f == h.box.finder && h.ladder == nil && !h.zeroOff {
		// Between the ends in integers nothing is to be said, and the ends in ohms are not needed.
		if t := h.target.narrow(); t >= f.low[0] && t <= f.high[0] {
			return nil
		}
	}
	for _, g := range f.groups {
		if len(g.totals) == 0 {
			return &Error{Op: h.op, Name: "conditions",
				Err: unit.Errorf(ErrNoSetting, "no setting meets them; expected dials held where "+
					"their rating allows the current")}
		}
	}
	// Up to one step beyond the end, the end is the nearest; farther away another box is meant.
	step := h.box.margin(h.ohms)
	low, high := h.value(h.end(0)), h.value(h.end(1))
	if h.zeroOff && h.end(0) == h.box.Zero() {
		// The zero setting may lie above others, whose nominal values include a residual.
		high = max(high, low)
		if next, ok := f.secondLowest(); ok {
			low = min(low, h.value(Setting{h.box, next}))
		}
	}
	if h.ohms >= low-step && h.ohms <= high+step {
		return nil
	}
	return h.box.errorOutOfReach(h.op, h.ohms, low, high)
}

// end is the setting with the smallest (0) or largest (1) sum among those that meet the conditions.
func (h *nearestSearch) end(which int) Setting { return Setting{h.box, h.finder.end(which)} }

// best returns the N best in order of preference.
func (h *nearestSearch) best() ([]Setting, error) {
	list, err := h.nearest(h.search.N)
	usual := h.search.Prefer == PreferHighestDials && h.search.Slack == 0
	if err != nil || len(list) == 0 || usual {
		return list, err
	}
	// A preference may choose among all that count as equally near, not only among the first N.
	equal, err := h.equallyNear(list[0])
	if err != nil {
		return nil, err
	}
	h.sortByPreference(equal)
	for _, s := range list {
		if !slices.Contains(equal, s) {
			equal = append(equal, s)
		}
	}
	return equal[:min(len(equal), h.search.N)], nil
}

// fewFound is how many settings are kept without an allocation.
const fewFound = 16

// nearest returns the n nearest settings, nearest first; fewer where fewer meet the conditions.
func (h *nearestSearch) nearest(n int) ([]Setting, error) {
	out, err := h.sums(n)
	if err != nil {
		return nil, err
	}
	// The zero setting has a residual of its own, so that its distance is not that of its sum.
	if h.zeroOff {
		out = h.placeZero(out)
	}
	return out[:min(n, len(out))], nil
}

// sums returns the n settings whose dials add up to what comes nearest.
func (h *nearestSearch) sums(n int) ([]Setting, error) {
	if h.ladder != nil {
		// One more than wanted, as the zero setting may have to be moved out of the way.
		list, done := h.ladder.nearest(h.ctx, h.target, n+1)
		if !done {
			return nil, unfinished(h.ctx, h.op, h.box)
		}
		return h.settingsOfMatches(list), nil
	}
	if n == 1 && h.box.measured == nil && h.finder == h.box.finder && !h.zeroOff {
		// Among many settings with one value, the highest dials are found without looking at all
		// of them.
		if best, _, done := h.box.search.ladder.first(h.target, either); done {
			return []Setting{{h.box, best.positions}}, nil
		}
	}
	var few [fewFound]match
	if h.zeroOff {
		n++ // placeZero may have to take it from among them
	}
	list := few[:0:min(n, fewFound)]
	if n > fewFound {
		list = make([]match, 0, n)
	}
	q := candidates{finder: h.finder, list: list, worst: math.MaxInt64, done: h.ctx.Done()}
	if err := h.find(&q); err != nil {
		return nil, err
	}
	return h.settingsFound(&q), nil
}

// find fills the candidates, or says why the search ended.
func (h *nearestSearch) find(q *candidates) error {
	if h.finder.find(h.target.narrow(), q) {
		return nil
	}
	return unfinished(h.ctx, h.op, h.box)
}

// settingsOfMatches makes settings of what the ladder found.
func (h *nearestSearch) settingsOfMatches(list []wideMatch) []Setting {
	out := make([]Setting, len(list))
	for i := range list {
		out[i] = Setting{h.box, list[i].positions}
	}
	return out
}

// settingsFound makes settings of what the finder found.
func (h *nearestSearch) settingsFound(q *candidates) []Setting {
	out := make([]Setting, len(q.list))
	for i := range q.list {
		out[i] = Setting{h.box, q.list[i].positions}
	}
	return out
}

// placeZero moves the zero setting, whose distance is not that of the sum of its dials, to its
// place in the list, which holds one setting more than was wanted.
func (h *nearestSearch) placeZero(list []Setting) []Setting {
	zero := h.box.Zero()
	if h.end(0) != zero {
		return list // it does not meet the conditions
	}
	list = slices.DeleteFunc(list, func(s Setting) bool { return s == zero })
	i := 0
	// Behind those that are as near: they have the higher dials.
	for i < len(list) && h.compareDistance(list[i], zero) <= 0 {
		i++
	}
	return slices.Insert(list, i, zero)
}

// equallyNear returns all settings that count as equally near as the nearest one.
func (h *nearestSearch) equallyNear(nearest Setting) ([]Setting, error) {
	// The distance of the nearest one is part of the bound: of measured values, what is equal in
	// decimals may differ in the last bits.
	distance := h.distance(nearest) + h.search.Slack
	bound := distance + float64(4e-16*(distance+h.ohms))
	beyond := func(s Setting) bool { return h.distance(s) > bound }
	var reach wide
	if h.box.measured != nil {
		reach = h.reach(bound)
	} else {
		exact := plus(h.exactDistance(nearest), decimal(h.search.Slack))
		beyond = func(s Setting) bool {
			if d := h.distance(s); math.Abs(d-distance) > h.rounding(max(d, distance)) {
				return d > distance
			}
			return h.exactDistance(s).Cmp(exact) > 0
		}
		reach, _ = h.box.search.rationalTarget(product(exact, h.box.search.unit))
	}
	out, full, err := h.sumsWithin(reach)
	if err != nil {
		return nil, err
	}
	if full {
		return nil, &Error{Op: h.op, Name: "slack", Value: h.search.Slack,
			Err: unit.Errorf(ErrSearch, "more than %d settings count as equally near; expected a "+
				"smaller slack or dials held", mostEqual)}
	}
	if h.zeroOff && h.end(0) == h.box.Zero() && !slices.Contains(out, h.box.Zero()) {
		out = append(out, h.box.Zero())
	}
	return slices.DeleteFunc(out, beyond), nil
}

// reach returns a distance in ohms between measured values as an integer of the search, rounded
// up. That between nominal values is a target of its own: a fraction of a unit has the same place
// among quarters, whether it is left below a sum or above.
func (h *nearestSearch) reach(ohms float64) wide {
	if h.ladder != nil {
		return h.ladder.of(ohms).plus(wideOf(1))
	}
	// Room for the rounding of the values to the grid; what is too far is sorted out in ohms.
	return wideOf(h.finder.scale.of(ohms) + 1024)
}

// sumsWithin returns the settings whose dials add up to what is not farther, in the integers of
// the search; full where there are more than can be put in order.
func (h *nearestSearch) sumsWithin(reach wide) (out []Setting, full bool, err error) {
	if h.ladder != nil {
		list, full, done := h.ladder.within(h.ctx, h.target, reach, mostEqual)
		if !done {
			return nil, false, unfinished(h.ctx, h.op, h.box)
		}
		return h.settingsOfMatches(list), full, nil
	}
	q := candidates{finder: h.finder, list: make([]match, 0, mostEqual), all: true,
		worst: reach.narrow(), done: h.ctx.Done()}
	if err := h.find(&q); err != nil {
		return nil, false, err
	}
	return h.settingsFound(&q), q.full, nil
}

// sortByPreference sorts settings that count as equally near: by the preference, then by
// distance, then by the highest dials. A rank is computed once for each setting and not in each
// comparison, since an uncertainty is a budget.
func (h *nearestSearch) sortByPreference(list []Setting) {
	rank := make(map[Setting]float64, len(list))
	for _, s := range list {
		switch h.search.Prefer {
		case PreferFewestMoves:
			rank[s] = float64(s.dialsMoved(h.search.From))
		case PreferSmallestUncertainty:
			// Without a budget a setting goes last; why there is none, its own evaluation says.
			rank[s] = math.Inf(1)
			if b, err := uncertainty.Evaluate(h.quantity(s)); err == nil {
				rank[s] = b.StandardUncertainty
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Setting) int {
		if c := cmp.Compare(rank[a], rank[b]); c != 0 {
			return c
		}
		// With a slack and the highest dials preferred, distance within the slack does not
		// count.
		if h.search.Prefer != PreferHighestDials {
			if c := h.compareDistance(a, b); c != 0 {
				return c
			}
		}
		return h.box.search.compare(a.positions, b.positions)
	})
}

// dialsMoved counts the dials on which two settings differ.
func (s Setting) dialsMoved(from Setting) int {
	n := 0
	for i := range s.box.NumDecades() {
		if s.positions.at(i) != from.positions.at(i) {
			n++
		}
	}
	return n
}
