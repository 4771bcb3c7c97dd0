// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"iter"
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// SettingFor returns the setting whose nominal value is exactly this resistance in ohms,
// by the decimals that are stated: 0.3 finds three steps of 0.1 Ω. Where several have it,
// it is the one with the highest dials: the dial with the largest step as far as it goes,
// and so on. Where none has it, the error ([ErrNoSetting]) names the nearest below and
// above. The nominal value does not contain the residual unless the box is stated so.
func (b *Box) SettingFor(ohms float64) (Setting, error) {
	const op = "decade.Box.SettingFor"
	if err := b.checkTarget(op, ohms); err != nil {
		return Setting{}, err
	}
	for s := range b.spellings(ohms) {
		return s, nil
	}
	return Setting{}, &Error{Op: op, Name: "ohms", Value: ohms,
		Err: unit.Errorf(ErrNoSetting, "%v Ω; expected the nominal value of a setting, such as %s", ohms, b.neighbours(ohms))}
}

// neighbours names the nearest settings below and above.
func (b *Box) neighbours(ohms float64) string {
	target, _ := b.search.target(ohms)
	text := ""
	for _, side := range []side{below, above} {
		s, ok := b.nearest(target, side)
		if !ok {
			continue
		}
		if text != "" {
			text += " or "
		}
		text += textOf(s)
	}
	return text
}

func textOf(s Setting) string { return text(s.Nominal()) + " Ω (" + s.String() + ")" }

func (b *Box) checkTarget(op string, ohms float64) error {
	if b == nil {
		return noBox(op)
	}
	return numbers.NotNegative(op, "ohms", " Ω", ohms)
}

// SettingsFor yields every setting whose nominal value is exactly this resistance in
// ohms, in the order of [Box.SettingFor]. Dials that reach 10 or more spell a value in
// several ways, with different errors and power limits. A resistance that is negative or
// not finite has no setting.
func (b *Box) SettingsFor(ohms float64) iter.Seq[Setting] {
	if b.checkTarget("decade.Box.SettingsFor", ohms) != nil {
		return func(func(Setting) bool) {}
	}
	return b.spellings(ohms)
}

// spellings yields the settings of a nominal value that passed checkTarget.
func (b *Box) spellings(ohms float64) iter.Seq[Setting] {
	return func(yield func(Setting) bool) {
		target, isWhole := b.search.target(ohms)
		if b.search.exact && !isWhole || ohms > b.search.total {
			return
		}
		sp := speller{box: b, search: &b.search, ohms: ohms, slack: b.search.slack(ohms), yield: yield}
		sp.dial(0, target, 0)
	}
}

// speller tries the positions of each dial in turn, highest first.
type speller struct {
	box       *Box
	search    *search
	ohms      float64
	slack     int64 // a remainder up to it is none, if the nominal value agrees
	yield     func(Setting) bool
	positions [maxDials]uint8
	tried     int
	dead      map[state]struct{} // states without a spelling; only for boxes with odd steps
}

// state is all that decides whether the dials from k on can make up a remainder.
type state struct {
	k, off    uint16
	remainder int64
}

const (
	manyTries = 1 << 10 // from where states are remembered
	mostDead  = 1 << 20 // states that are remembered
)

// dial spells the remainder with the dials from k on; off has the dials that left zero.
// It returns whether a spelling was found, and whether to go on.
func (sp *speller) dial(k int, remainder int64, off uint16) (found, more bool) {
	f := sp.search
	if remainder < -sp.slack || remainder > f.rest[k]+sp.slack {
		return false, true
	}
	if k == f.n {
		s := f.setting(sp.box, &sp.positions)
		if f.exact || s.Nominal() == sp.ohms {
			return true, sp.yield(s)
		}
		return false, true
	}
	if f.exact && remainder%f.common[k] != 0 {
		return false, true
	}
	at := state{uint16(k), off, remainder}
	if sp.known(at) {
		return false, true
	}
	highest := min(f.most[k], (remainder+sp.slack)/f.step[k])
	if !f.free(k, off) {
		highest = 0
	}
	lowest := (remainder - sp.slack - f.rest[k+1] + f.step[k] - 1) / f.step[k] // below it the others do not reach
	for p := highest; p >= max(0, lowest); p-- {
		next := off
		if p > 0 {
			next |= 1 << k
		}
		sp.positions[k] = uint8(p)
		one, goOn := sp.dial(k+1, remainder-p*f.step[k], next)
		found = found || one
		if !goOn {
			return found, false
		}
	}
	sp.positions[k] = 0
	if !found {
		sp.remember(at)
	}
	return found, true
}

func (sp *speller) known(at state) bool {
	sp.tried++
	_, ok := sp.dead[at]
	return ok
}

func (sp *speller) remember(at state) {
	if sp.tried < manyTries || len(sp.dead) >= mostDead {
		return
	}
	if sp.dead == nil {
		sp.dead = make(map[state]struct{})
	}
	sp.dead[at] = struct{}{}
}

// Nearest returns the setting nearest to a resistance in ohms: by its nominal value, on a
// calibrated box by its measured value at the terminals. Of several equally near it is the
// one with the highest dials. A resistance that is negative, not finite, or beyond the
// largest setting by more than the smallest step is an error. For conditions, more than
// one answer and other targets see [Box.NearestN].
func (b *Box) Nearest(ohms float64) (Setting, error) {
	const op = "decade.Box.Nearest"
	if err := b.checkTarget(op, ohms); err != nil {
		return Setting{}, err
	}
	if b.measured != nil {
		return b.nearestMeasured(op, ohms)
	}
	if largest := (Setting{b, b.finder.end(1)}).Nominal(); ohms > largest+b.margin(ohms) {
		return Setting{}, b.beyond(op, ohms, 0, largest)
	}
	target, _ := b.search.target(ohms)
	s, _ := b.nearest(target, either)
	return s, nil
}

// margin is how far beyond the settings a resistance may lie: the smallest step, and room
// for rounding.
func (b *Box) margin(ohms float64) float64 {
	step := math.Inf(1)
	for i := range b.spec.Decades {
		step = min(step, b.spec.Decades[i].Step)
	}
	return step + 1e-12*ohms
}

// beyond is the error for a resistance that no setting comes near.
func (b *Box) beyond(op string, ohms, low, high float64) error {
	return &Error{Op: op, Name: "ohms", Value: ohms,
		Err: unit.Errorf(ErrDomain, "%v Ω; expected a resistance within reach of the settings, %.10g Ω to %.10g Ω", ohms, low, high)}
}

// nearestMeasured is the search by measured values, without allocation.
func (b *Box) nearestMeasured(op string, ohms float64) (Setting, error) {
	f := b.finder
	target := f.scale.of(ohms) - f.scale.of(b.values.off)
	step := f.scale.of(b.margin(ohms))
	if target > f.high[0]+step || target < f.low[0]-step {
		off := b.values.off
		return Setting{}, b.beyond(op, ohms, off+f.scale.ohms(f.low[0]), off+f.scale.ohms(f.high[0]))
	}
	var one [1]found
	q := keeper{finder: f, list: one[:0], worst: math.MaxInt64}
	if !f.find(target, &q) {
		return Setting{}, tooLarge(op, b)
	}
	return Setting{b, q.list[0].positions}, nil
}

// side restricts a search to sums at or below, or at or above the target.
type side uint8

const (
	either side = iota
	below
	above
)

// nearest finds the setting nearest to a target in quarter units; false where there is
// none on that side.
func (b *Box) nearest(target int64, on side) (Setting, bool) {
	n := seeker{search: &b.search, side: on, least: math.MaxInt64}
	n.dial(0, target, 0)
	return b.search.setting(b, &n.best), n.least != math.MaxInt64
}

// seeker is a branch-and-bound search, highest dials first.
type seeker struct {
	search          *search
	side            side
	positions, best [maxDials]uint8
	least           int64 // distance of best
}

// bound is a distance that no choice of the dials from k on can beat: their sums are
// multiples of a common divisor between 0 and rest.
func (n *seeker) bound(k int, remainder int64) int64 {
	rest, step := n.search.rest[k], n.search.common[k]
	lower, upper := int64(math.MaxInt64), int64(math.MaxInt64) // distances of sums below and above
	switch {
	case remainder < 0:
		upper = -remainder
	case remainder >= rest:
		lower = remainder - rest
		if lower == 0 {
			upper = 0
		}
	case step == 0:
		return math.MaxInt64
	default:
		lower = remainder % step
		upper = (step - lower) % step
	}
	switch n.side {
	case below:
		return lower
	case above:
		return upper
	}
	return min(lower, upper)
}

func (n *seeker) dial(k int, remainder int64, off uint16) {
	f := n.search
	if n.bound(k, remainder) >= n.least {
		return
	}
	if k == f.n {
		n.least, n.best = max(remainder, -remainder), n.positions
		return
	}
	highest := min(f.most[k], max(0, remainder)/f.step[k]+1)
	if !f.free(k, off) {
		highest = 0
	}
	for p := highest; p >= 0 && n.least > 0; p-- {
		next := off
		if p > 0 {
			next |= 1 << k
		}
		n.positions[k] = uint8(p)
		n.dial(k+1, remainder-p*f.step[k], next)
	}
	n.positions[k] = 0
}
