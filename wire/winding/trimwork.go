// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"fmt"
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/unit"
)

// TrimWork is a wound resistor that has to be brought to its value.
type TrimWork struct {
	Reading  float64 // Ω, as wound, at the reference temperature
	Target   float64 // Ω
	PerMetre float64 // Ω/m of its wire
	// Ageing is by what fraction the resistance may still fall in annealing: 0.01 for
	// manganin that was wound and not yet baked (common practice), 0 after that.
	Ageing float64
	Within float64 // fraction of the target that is near enough
	Power  float64 // W, that the resistor has to dissipate; 0: not stated
	Series Series  // of pads at hand; 0: E96
}

// TrimOperation is one kind of work on a resistor.
type TrimOperation uint8

// The operations, in the order of the work: what disturbs most comes first, and nothing
// is soldered or baked after the fine trim.
const (
	TrimCoarse TrimOperation = iota // take off or add wire
	TrimAnneal                      // bake, cool, and measure again
	TrimFine                        // put a pad across it
	TrimDone                        // nothing
)

var trimOperations = [...]string{"coarse", "anneal", "fine", "done"}

// String returns "coarse", "anneal", "fine" or "done".
func (o TrimOperation) String() string {
	if int(o) < len(trimOperations) {
		return trimOperations[o]
	}
	return fmt.Sprintf("operation %d", uint8(o))
}

// TrimStep is one step of the work.
type TrimStep struct {
	Operation TrimOperation
	From, Aim float64 // Ω, before and after the step
	Wire      float64 // m to add, negative: to take off
	Pad       Trim    // the pad to put across it, in a fine step
	PadPower  float64 // W in the pad at Power
	Text      string  // what to do
}

const (
	padReach = 0.005 // a pad corrects up to this; more is coarse work
	padLeast = 3     // tolerances of the result that the coarse aim stays above the target
)

// Steps returns the work in its order: coarse by wire, to a value that stays high through
// all that annealing may take away; anneal; fine by a pad, which only lowers. Each step
// is computed from what the one before should leave, so measure after each, at the
// reference temperature, and compute again from the reading.
//
// Caution: soldering heats the joint and the wire near by: let it cool before reading.
// Bake in a vented oven away from solvents, below what covering and alloy stand; follow
// the maker of the varnish.
func (w TrimWork) Steps() ([]TrimStep, error) {
	const op = "winding.TrimWork.Steps"
	if err := w.checkWork(op); err != nil {
		return nil, err
	}
	if w.Series == 0 {
		w.Series = E96
	}
	var steps []TrimStep
	r := w.Reading
	if w.needsWire() {
		coarse := w.coarse()
		steps, r = append(steps, coarse), coarse.Aim
	}
	if w.Ageing > 0 {
		after := r * (1 - w.Ageing/2) // half of what it may fall
		steps = append(steps, TrimStep{Operation: TrimAnneal, From: r, Aim: after,
			Text: fmt.Sprintf("bake, cool, measure: it may fall by up to %.2g %%; if it is then "+
				"more than %.2g %% high, take off wire again", w.Ageing*100, padReach*100)})
		r = after
	}
	if math.Abs(r/w.Target-1) <= w.Within {
		return append(steps, TrimStep{Operation: TrimDone, From: r, Aim: r,
			Text: "leave it: it is near enough"}), nil
	}
	fine, err := w.fine(r)
	if err != nil {
		return nil, err
	}
	return append(steps, fine), nil
}

// checkWork refuses what is no work on a resistor.
func (w TrimWork) checkWork(op string) error {
	if err := positive(op, arg{"Reading", w.Reading, "Ω"}, arg{"Target", w.Target, "Ω"},
		arg{"PerMetre", w.PerMetre, "Ω/m"}, arg{"Within", w.Within, ""}); err != nil {
		return err
	}
	if err := notNegative(op, arg{"Ageing", w.Ageing, ""}, arg{"Power", w.Power, "W"}); err != nil {
		return err
	}
	for _, a := range []arg{{"Ageing", w.Ageing, ""}, {"Within", w.Within, ""}} {
		if a.value > 0.1 {
			return domain(op, a, "expected 0.1 at most; a fraction, not per cent")
		}
	}
	return nil
}

// needsWire reports whether the reading is out of reach of a pad: below what the pad can lower
// after all ageing, or too far above. One that is near enough already is left alone.
func (w TrimWork) needsWire() bool {
	if w.Ageing == 0 && math.Abs(w.Reading/w.Target-1) <= w.Within {
		return false
	}
	return w.Reading < w.Target*(1+w.Ageing) || w.Reading > w.Target*(1+w.Ageing+padReach)
}

// coarse is the step by wire, to a value that stays above the target through all ageing, by a
// few tolerances or half the reach of the pad.
func (w TrimWork) coarse() TrimStep {
	aim := w.Target * (1 + min(padLeast*w.Within, padReach/2))
	if w.Ageing > 0 {
		aim *= 1 + w.Ageing
	}
	change := (aim - w.Reading) / w.PerMetre
	do := "take off " + wireText(-change)
	if change > 0 {
		do = "add " + wireText(change)
	}
	return TrimStep{Operation: TrimCoarse, From: w.Reading, Aim: aim, Wire: change, Text: do}
}

// wireText writes a length of wire.
func wireText(m float64) string {
	if m < 1 {
		return fmt.Sprintf("%.1f mm of wire", m*1e3)
	}
	return fmt.Sprintf("%.2f m of wire", m)
}

// ohms writes a resistance to four digits.
func ohms(v float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 3, 64), 64)
	if err != nil {
		rounded = v
	}
	return unit.Format(rounded, unit.Ohm)
}

// fine is the step that puts a pad across the resistor.
func (w TrimWork) fine(r float64) (TrimStep, error) {
	pads, err := Pads(r, w.Target, w.Series)
	if err != nil {
		return TrimStep{}, err
	}
	p := pads[0]
	within, err := PadRange(r, w.Target, w.Within)
	if err != nil {
		return TrimStep{}, err
	}
	s := TrimStep{Operation: TrimFine, From: r, Aim: p.Value, Pad: p}
	do := ohms(within.Lower) + " and more"
	if !math.IsInf(within.Upper, 1) {
		do = ohms(within.Lower) + " to " + ohms(within.Upper)
	}
	if off := p.Value/w.Target - 1; math.Abs(off) <= w.Within {
		s.Text = fmt.Sprintf("put %s across it; %s would do", ohms(p.Added), do)
	} else {
		s.Text = fmt.Sprintf("put %s across it, the nearest of %v, and be %+.0f ppm off, or make "+
			"up %s", ohms(p.Added), w.Series, off*1e6, do)
	}
	if w.Power > 0 {
		if _, s.PadPower, err = p.Power(w.Power); err != nil {
			return TrimStep{}, err
		}
		s.Text += fmt.Sprintf("; it must take %.2g mW at %.3g V", s.PadPower*1e3,
			math.Sqrt(w.Power*p.Value))
	}
	return s, nil
}
