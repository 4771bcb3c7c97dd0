// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"errors"
	"fmt"
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
//
// Where sums have more digits than a float64, and none is this resistance exactly, a
// setting counts whose nominal value rounds to it ([Setting.Nominal]).
//
// The work has a bound, a fraction of a second: dials of odd steps may leave too many
// combinations to find one or to prove that there is none ([ErrSearch]).
func (b *Box) SettingFor(ohms float64) (Setting, error) {
	const op = "decade.Box.SettingFor"
	for s, err := range b.settingsOf(context.Background(), op, ohms, true) {
		// The search by dials met its bound. Pairs of sums decide the same question for dials of
		// odd steps; with more than 15 digits they could miss a sum that only rounds to the
		// value.
		if errors.Is(err, ErrSearch) && b.search.exact {
			target, _ := b.search.target(ohms)
			var fits bool
			if s, fits, err = b.nearestByPairs(op, target); err == nil && !fits {
				break
			}
		}
		return s, err
	}
	return Setting{}, &Error{Op: op, Name: "ohms", Value: ohms,
		Err: unit.Errorf(ErrNoSetting, "%v Ω; expected the nominal value of a setting%s", ohms,
			b.neighbours(ohms))}
}

// neighbours names the nearest settings below and above, as far as they are found: a search that
// meets its bound leaves its side out of the message.
func (b *Box) neighbours(ohms float64) string {
	target, _ := b.search.target(ohms)
	text := ""
	for _, side := range []side{below, above} {
		best, ok, done := b.search.ladder.first(target, side)
		if !ok || !done {
			continue
		}
		if text == "" {
			text = ", such as "
		} else {
			text += " or "
		}
		text += textOf(Setting{b, best.positions})
	}
	return text
}

// textOf is a setting in a message: its nominal value and its positions.
func textOf(s Setting) string { return text(s.Nominal()) + " Ω (" + s.String() + ")" }

// checkTarget refuses a resistance that no search can start from.
func (b *Box) checkTarget(op string, ohms float64) error {
	if b.none() {
		return noBox(op)
	}
	return numbers.NotNegative(op, "ohms", " Ω", ohms)
}

// SettingsFor yields every setting whose nominal value is this resistance in ohms, in the order
// and the sense of [Box.SettingFor]. Where dials reach 10 or more, several settings have one
// value, with different errors and power limits. An error ends the sequence: a resistance that is
// negative or not finite, a context that is done, or [ErrSearch] where the work between two
// settings meets its bound.
func (b *Box) SettingsFor(ctx context.Context, ohms float64) iter.Seq2[Setting, error] {
	return b.settingsOf(ctx, "decade.Box.SettingsFor", ohms, false)
}

// settingsOf yields the settings of a nominal value, or the first of them alone.
func (b *Box) settingsOf(ctx context.Context, op string, ohms float64,
	first bool) iter.Seq2[Setting, error] {
	return func(yield func(Setting, error) bool) {
		if err := b.checkTarget(op, ohms); err != nil {
			yield(Setting{}, err)
			return
		}
		sp := nominalSearch{box: b, ctx: ctx, op: op, ohms: ohms, first: first, yield: yield}
		sp.run()
	}
}

// nominalSearch yields the settings of a nominal value. It belongs to one range over the sequence:
// what was yielded, and whether the caller wants more, decides how it goes on.
type nominalSearch struct {
	box     *Box
	ctx     context.Context
	op      string
	ohms    float64
	first   bool // one is enough
	yield   func(Setting, error) bool
	yielded bool
	ended   bool // by the caller
}

// run makes one search, or two where sums have more digits than a float64.
func (sp *nominalSearch) run() {
	f := sp.box.search
	target, isWhole := f.target(sp.ohms)
	// The exact value first: a setting that is exactly the value comes before one that rounds to
	// it.
	if isWhole && !sp.find(target, wideOf(1), func(Setting) bool { return true }) {
		return
	}
	if f.exact || sp.yielded || sp.ended || sp.ohms > f.total {
		return
	}
	// A sum of more than 15 digits may be stated by its float64 alone: then all sums count that
	// round to it. Beyond the largest sum there is none; where a setting is exactly the value,
	// that was meant.
	sp.find(target, f.slack(sp.ohms), func(s Setting) bool { return s.Nominal() == sp.ohms })
}

// find yields what counts of the settings nearer than a limit; false where the search did
// not come to its end.
func (sp *nominalSearch) find(target, limit wide, counts func(Setting) bool) bool {
	d := descent{ladder: &sp.box.search.ladder, ctx: sp.ctx, limit: limit, budget: mostSteps}
	d.found = func(x wideMatch) (bool, bool) {
		s := Setting{sp.box, x.positions}
		if !counts(s) {
			return false, true
		}
		// The bound is on the work between two settings, so that a long list is not cut off.
		d.work, sp.yielded = 0, true
		sp.ended = !sp.yield(s, nil) || sp.first
		return true, !sp.ended
	}
	if !d.run(target) {
		sp.yield(Setting{}, unfinished(sp.ctx, sp.op, sp.box))
		return false
	}
	return true
}

// unfinished is the error of a search that was ended.
func unfinished(ctx context.Context, op string, b *Box) error {
	if ctx != nil && ctx.Err() != nil {
		return &Error{Op: op, Err: fmt.Errorf("stopped: %w", context.Cause(ctx))}
	}
	return &Error{Op: op, Name: "box", Value: float64(b.NumDecades()),
		Err: unit.Errorf(ErrSearch, "its %d dials have too many combinations to search; "+
			"expected decades, or some of the dials held (NearestN)", b.NumDecades())}
}

// Nearest returns the setting nearest to a resistance in ohms: by its nominal value, on a
// calibrated box by its measured value at the terminals. Among settings that are equally near it
// is the one with the highest dials. A resistance that is negative, not finite, or beyond the
// largest setting by more than the smallest step is an error. For conditions, more than one
// answer and other targets see [Box.NearestN].
func (b *Box) Nearest(ohms float64) (Setting, error) {
	const op = "decade.Box.Nearest"
	if err := b.checkTarget(op, ohms); err != nil {
		return Setting{}, err
	}
	switch {
	case b.measured == nil:
		return b.nearestNominal(op, ohms)
	case b.ladder == nil:
		return b.nearestMeasured(op, ohms)
	}
	// Measured values that the integers of the finder do not hold: the search of NearestN, which
	// allocates.
	h := nearestSearch{box: b, ctx: context.Background(), op: op, ohms: ohms}
	if err := h.prepare(); err != nil {
		return Setting{}, err
	}
	list, err := h.best()
	if err != nil {
		return Setting{}, err
	}
	return list[0], nil
}

// nearestNominal is the search by nominal values: by dials, and where that meets its bound by
// pairs of sums.
func (b *Box) nearestNominal(op string, ohms float64) (Setting, error) {
	if largest := (Setting{b, b.finder.end(1)}).Nominal(); ohms > largest+b.margin(ohms) {
		return Setting{}, b.errorOutOfReach(op, ohms, 0, largest)
	}
	target, _ := b.search.target(ohms)
	if best, _, done := b.search.ladder.first(target, either); done {
		return Setting{b, best.positions}, nil
	}
	s, _, err := b.nearestByPairs(op, target)
	return s, err
}

// nearestByPairs is the search among nominal values by pairs of sums (see pairs.go), for
// dials of odd steps; fits where the value is the target.
func (b *Box) nearestByPairs(op string, target wide) (s Setting, fits bool, err error) {
	// An array of one, so that the list needs no allocation.
	var one [1]match
	q := candidates{finder: b.finder, list: one[:0], worst: math.MaxInt64}
	if !b.search.small || !b.finder.find(target.narrow(), &q) {
		return Setting{}, false, unfinished(context.Background(), op, b)
	}
	return Setting{b, q.list[0].positions}, q.list[0].distance == 0, nil
}

// margin is how far beyond the settings a resistance may lie: the smallest step, and room
// for rounding. A box to 1 MΩ in steps of 0.1 Ω answers for 1 000 000.05 Ω with its last setting,
// and refuses 2 MΩ.
func (b *Box) margin(ohms float64) float64 {
	// Some thousand times the rounding of a float64.
	return b.smallestStep() + float64(1e-12*ohms)
}

// errorOutOfReach is the error for a resistance that no setting comes near.
func (b *Box) errorOutOfReach(op string, ohms, low, high float64) error {
	return &Error{Op: op, Name: "ohms", Value: ohms,
		Err: unit.Errorf(ErrDomain, "%v Ω; expected a resistance within reach of the settings, "+
			"%.10g Ω to %.10g Ω", ohms, low, high)}
}

// nearestMeasured is the search by measured values, without allocation.
func (b *Box) nearestMeasured(op string, ohms float64) (Setting, error) {
	f := b.finder
	// The residual is in series with every setting off zero: the dials make the rest.
	target := f.scale.of(ohms) - f.scale.of(b.values.off)
	step := f.scale.of(b.margin(ohms))
	if target > f.high[0]+step || target < f.low[0]-step {
		off := b.values.off
		return Setting{}, b.errorOutOfReach(op, ohms, off+f.scale.ohms(f.low[0]),
			off+f.scale.ohms(f.high[0]))
	}
	var one [1]match
	q := candidates{finder: f, list: one[:0], worst: math.MaxInt64}
	if !f.find(target, &q) {
		return Setting{}, unfinished(context.Background(), op, b)
	}
	return Setting{b, q.list[0].positions}, nil
}
