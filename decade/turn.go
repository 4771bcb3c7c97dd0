// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// Between two positions a switch connects other elements than at rest, by its type and by the
// code of the dial. The moments between are where boxes are damaged: this file lists them, with
// the load that each carries.
//
// What is in circuit of the dial that moves from position p to q, by type of switch:
//
//	ladder, make before break    the elements of both: those up to the lower tap
//	ladder, break before make    open
//	code, make before break      the elements of both
//	code, break before make      the elements of one or the other; with contacts of its own, all
//
// A dial of the code 1-2-2-5 on its way from 4 (elements 2 and 3) to 5 (element 4) is at 0 for a
// moment where contacts make first, and at 9 where they break first. Where no
// other dial is off zero, the former is a short circuit.

// Switching is what a switch does between two positions. Any number of goroutines may use one at
// once.
type Switching uint8

const (
	// SwitchingMakeBeforeBreak (shorting): the next contact closes before the last one opens. In
	// a ladder the wiper lies on two taps and the lower of the two values holds. In a code that
	// shorts what is not in use, only elements that are in circuit at both positions remain: the
	// value can fall far below both.
	SwitchingMakeBeforeBreak Switching = iota
	// SwitchingBreakBeforeMake (non-shorting): the last contact opens first. In a ladder the
	// circuit is open, and an inductive load kicks. In a code that shorts what is not in use,
	// the elements of both positions are in circuit together.
	SwitchingBreakBeforeMake
)

// String returns "make before break" or "break before make".
func (w Switching) String() string { return switchings.String(w) }

// Moment is one state of a box while its dials are turned: at rest on a setting, or with
// one dial between two positions. Any number of goroutines may read one at once.
type Moment struct {
	Setting Setting // at rest; between two positions the one that is left
	Dial    int     // that is between two positions; −1 at rest
	Load
}

// Between reports whether a dial is between two positions.
func (m Moment) Between() bool { return m.Dial >= 0 }

// Open reports whether the circuit is open.
func (m Moment) Open() bool { return math.IsInf(m.Resistance, 1) }

// Passage is the way from one setting to another: every state of the box while its dials are
// turned, in order. Any number of goroutines may read one at once.
type Passage struct {
	Order   []int    // dials that change, numbered from 0, as they are turned
	Moments []Moment // from the first setting to the last, both included
	Worst   int      // index of the largest Use, the first of several
	Highest int      // index of the largest current, the first of several
}

// Overloaded returns the moments in which a rating is exceeded.
func (p *Passage) Overloaded() []Moment {
	p = cmp.Or(p, &Passage{})
	var out []Moment
	for _, m := range p.Moments {
		if m.Overload() {
			out = append(out, m)
		}
	}
	return out
}

// Turn returns every state that a box passes on the way from one setting to another with a
// supply connected, position by position. The dials are turned in the given order (numbered from
// 0, each dial that changes once), or in dial order where none is given. Where two ranges share
// a switch, the one that goes to zero must be turned first.
//
// The ratings at rest are those of [Setting.MaxCurrent]. Between two positions the elements in
// circuit are those that [Switching] says; a code with its own Contacts may connect elements in
// ways that the description does not state: the value is then a lower bound (make before break),
// or that of all elements (break before make). It returns an error ([ErrNotStated]) where a dial
// that leaves zero has no ElementPower; with the zero Supply, for the momentary resistances
// alone, no rating is needed.
//
// Caution: this is how most boxes are damaged. Turn the supply down or disconnect it before a
// dial is moved, and keep a fuse or a fixed resistor in series. An interrupted inductive circuit
// produces a voltage that no figure here contains. A box has no rating for mains and is not a
// current limiter; local codes and licensed practice come first.
func (s Setting) Turn(to Setting, v Supply, w Switching, order ...int) (*Passage, error) {
	const op = "decade.Setting.Turn"
	if err := s.checkTurn(op, to, v, w, order); err != nil {
		return nil, err
	}
	if len(order) == 0 {
		order = s.usualOrder(to)
	}
	t := turnRecorder{supply: v, switching: w, now: s}
	t.rest()
	for _, dial := range order {
		if err := t.turn(op, dial, to.positions.at(dial)); err != nil {
			return nil, err
		}
	}
	// The caller keeps his order, the passage a copy.
	p := &Passage{Order: slices.Clone(order), Moments: t.moments}
	for i, m := range p.Moments {
		if m.Use > p.Moments[p.Worst].Use {
			p.Worst = i
		}
		if math.Abs(m.Current) > math.Abs(p.Moments[p.Highest].Current) {
			p.Highest = i
		}
	}
	return p, nil
}

// checkTurn refuses a turn that cannot be made, or whose ratings are not stated. Whether a range
// finds its switch in use shows only on the way (turnRecorder.turn).
func (s Setting) checkTurn(op string, to Setting, v Supply, w Switching, order []int) error {
	if s.box == nil || to.box == nil {
		return noSetting(op)
	}
	if s.box != to.box {
		return &Error{Op: op, Name: "to",
			Err: unit.Errorf(ErrNoBox, "%v is a setting of another box; expected one of the same "+
				"(see Setting.On)", to)}
	}
	if err := v.checkSupply(op); err != nil {
		return err
	}
	if w > SwitchingBreakBeforeMake {
		return &Error{Op: op, Name: "switching", Value: float64(w),
			Err: unit.Errorf(ErrDomain,
				"%d; expected SwitchingMakeBeforeBreak or SwitchingBreakBeforeMake", w)}
	}
	if err := s.checkOrder(op, to, order); err != nil {
		return err
	}
	// Every dial passes only positions between its two ends, so that the ratings asked for are
	// those of the dials that are off zero at one of them.
	used := s // every dial that is off zero at one of the two
	for i := range s.box.spec.Decades {
		used.positions.set(i, max(s.positions.at(i), to.positions.at(i)))
	}
	if used.positions == (positions{}) || v.Voltage == 0 {
		return nil
	}
	return used.checkRatings(op)
}

// checkOrder wants every dial that changes, once. Others may be in it, too, and are not moved.
func (s Setting) checkOrder(op string, to Setting, order []int) error {
	if len(order) == 0 {
		return nil
	}
	for k, dial := range order {
		if err := s.box.checkPosition(op, dial, 0); err != nil {
			return err
		}
		if slices.Contains(order[:k], dial) {
			return &Error{Op: op, Name: "order", Value: float64(dial),
				Err: unit.Errorf(ErrDomain, "dial %d twice; expected every dial once", dial)}
		}
	}
	for i := range s.box.spec.Decades {
		if s.positions.at(i) != to.positions.at(i) && !slices.Contains(order, i) {
			return &Error{Op: op, Name: "order", Value: float64(i),
				Err: unit.Errorf(ErrDomain, "dial %d (%s) is not in it and goes from %d to %d; "+
					"expected every dial that changes",
					i, s.box.spec.Decades[i].Name, s.positions.at(i), to.positions.at(i))}
		}
	}
	return nil
}

// usualOrder is dial order, but a range that leaves its switch to another goes first: from
// ×100 Ω at 3 to ×10 Ω at 5 on one switch the knob passes its zero.
func (s Setting) usualOrder(to Setting) []int {
	var order []int
	d := s.box.spec.Decades
	for i := range d {
		for j := range d {
			if j > i && d[i].Switch != "" && d[j].Switch == d[i].Switch && to.positions.at(j) == 0 {
				order = append(order, j)
			}
		}
		order = append(order, i)
	}
	// A dial may have got into the list twice, and dials that stay are in it.
	out := order[:0:0] // a new array: order is read while out grows
	for _, i := range order {
		if !slices.Contains(out, i) && s.positions.at(i) != to.positions.at(i) {
			out = append(out, i)
		}
	}
	return out
}

// turnRecorder collects moments, at rest and between two positions in turn. now is the setting that
// has been reached. It belongs to one call.
type turnRecorder struct {
	supply    Supply
	switching Switching
	now       Setting
	moments   []Moment
}

// rest adds the setting that has been reached.
func (t *turnRecorder) rest() {
	l, _ := t.now.Under(t.supply) // ratings and supply have been checked
	t.moments = append(t.moments, Moment{t.now, -1, l})
}

// turn moves one dial position by position. The error is that of a range whose switch another range
// still has; moments up to there have been recorded.
func (t *turnRecorder) turn(op string, dial, target int) error {
	for t.now.positions.at(dial) != target {
		p := t.now.positions.at(dial)
		next := t.now
		next.positions.set(dial, t.now.box.spec.Decades[dial].nextPosition(p, target))
		if err := next.checkSwitches(op); err != nil {
			return err
		}
		t.moments = append(t.moments, t.between(dial, next.positions.at(dial)))
		t.now = next
		t.rest()
	}
	return nil
}

// nextPosition is where a dial goes from p on its way to another position: one at a time in that
// direction, since a rotary switch passes every contact on the way, but for those it does not have.
func (d *Decade) nextPosition(p, target int) int {
	q := p + cmp.Compare(target, p)
	for !d.HasPosition(q) {
		q += cmp.Compare(target, p)
	}
	return q
}

// between is the moment in which a dial has left its position and not reached the next. The other
// dials stand still, and their contacts count as at rest.
func (t *turnRecorder) between(dial, next int) Moment {
	b := t.now.box
	elements, open := b.spec.Decades[dial].between(t.now.positions.at(dial), next, t.switching)
	m := Moment{Setting: t.now, Dial: dial}
	if open {
		m.Load = t.supply.into(math.Inf(1), math.Inf(1))
		return m
	}
	others := t.now
	others.positions.set(dial, 0)
	resistance := b.values.sumAt(&others)
	// With every other dial at zero the table gives the zero setting; elements are in circuit,
	// and so the residual is the one off zero.
	if len(elements) > 0 && others.AllZero() {
		resistance = b.values.off
	}
	resistance += b.elementsValue(dial, elements)
	// Without a voltage nothing is warm, and no rating need be stated.
	least := rating{current: math.Inf(1)}
	if t.supply.Voltage != 0 {
		least = b.ratingOf(dial, elements)
		for i := range b.spec.Decades {
			if r := b.rating(i, others.positions.at(i)); r.current < least.current {
				least = r
			}
		}
	}
	m.Load = t.supply.into(resistance, least.current)
	if !math.IsInf(least.current, 1) {
		m.Limiting = b.limiting(least)
	}
	return m
}

// between returns the elements in circuit between two positions, or that it is open, as the table
// at the head of this file says. Elements are in ascending order of their numbers where contacts
// break first, else in that of position p.
func (d *Decade) between(p, q int, w Switching) (elements []int, open bool) {
	before, after := d.InCircuit(p), d.InCircuit(q)
	if w == SwitchingMakeBeforeBreak {
		for _, e := range before {
			if slices.Contains(after, e) {
				elements = append(elements, e)
			}
		}
		return elements, false
	}
	switch {
	case d.Tapped():
		return nil, true
	case d.Code.Contacts != nil:
		// Its own contacts may join elements in ways that the description does not tell; with
		// the last one open, the series circuit of all elements remains.
		for e := range d.NumElements() {
			elements = append(elements, e+1)
		}
		return elements, false
	}
	// An element is out of circuit only while its contact shorts it, and between two positions
	// the contacts of both are open.
	for e := range d.NumElements() {
		if slices.Contains(before, e+1) || slices.Contains(after, e+1) {
			elements = append(elements, e+1)
		}
	}
	return elements, false
}

// ratingOf is the largest current of elements of a dial, which may be fewer or more than those of a
// position: the voltage limit counts their steps.
func (b *Box) ratingOf(dial int, elements []int) rating {
	d := &b.spec.Decades[dial]
	steps := 0
	for _, e := range elements {
		steps += d.Weight(e)
	}
	return d.rating(dial, steps, func(yield func(int, int) bool) {
		for _, e := range elements {
			if !yield(e, d.Weight(e)) {
				return
			}
		}
	})
}

// elementsValue is the resistance of elements of a dial in series, in ohms.
func (b *Box) elementsValue(dial int, elements []int) float64 {
	total := 0.0
	for _, e := range elements {
		total += b.elementValue(dial, e)
	}
	return total
}

// elementValue is the resistance of an element in ohms: measured, or nominal.
func (b *Box) elementValue(dial, element int) float64 {
	if b.measured != nil {
		return b.measured.elements[dial][element-1].Estimate()
	}
	d := &b.spec.Decades[dial]
	return d.Step * float64(d.Weight(element))
}
