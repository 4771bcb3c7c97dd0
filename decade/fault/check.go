// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"example.com/ohmwright/decade"
)

// check refuses a fault that the box cannot have.
func (c *change) check(op string, f Fault) error {
	if f.Kind == Healthy || f.Kind >= numKinds {
		return refuse(op, "fault", float64(f.Kind), ErrDomain, "%v; expected a kind of fault", f.Kind)
	}
	for _, v := range []float64{f.Value, f.Scatter} {
		if !finite(v) {
			return refuse(op, f.Kind.String(), v, ErrNotFinite, "%v; expected a finite number", v)
		}
	}
	if f.Scatter < 0 {
		return refuse(op, f.Kind.String()+": scatter", f.Scatter, ErrDomain, "%v Ω; expected 0 or more", f.Scatter)
	}
	if err := c.checkPlaces(op, f); err != nil {
		return err
	}
	return c.checkValue(op, f)
}

func (c *change) checkPlaces(op string, f Fault) error {
	ok := true
	switch f.Kind {
	case Drift, WrongPart, Shorted, OpenElement, Unsteady, ElementLeak:
		ok = c.isElement(f.A)
	case Overloaded:
		ok = c.isElement(f.A) && c.isElement(f.B) && f.A.Dial == f.B.Dial && f.A.Number <= f.B.Number
	case ElementsExchanged:
		ok = c.isElement(f.A) && c.isElement(f.B) && f.A != f.B
	case DialDrift, DialLeak, Slip:
		ok = c.isDial(f.A)
	case Series, OpenPath:
		ok = c.isPath(f.A)
	case Contact, OpenContact:
		ok = c.isPosition(f.A) || c.isElement(f.A) && !c.l.decades[f.A.Dial].Tapped()
	case Overlap:
		ok = c.isPosition(f.A) && f.A.Number > 0 && c.l.decades[f.A.Dial].Tapped()
	case TapsExchanged:
		ok = c.isPosition(f.A) && c.isPosition(f.B) && f.A.Dial == f.B.Dial && f.A != f.B && c.l.decades[f.A.Dial].Tapped()
	case Bridge, DialBridge, CaseLeak:
		a, b := c.l.nodeAt(f.A), c.l.nodeAt(f.B)
		ok = a >= 0 && b >= 0 && a != b
	}
	if !ok {
		return refuse(op, f.Kind.String(), f.places(c.l.box), ErrPlace, "%s; expected %s", f.places(c.l.box), expectedPlaces(f.Kind))
	}
	return nil
}

// places says where a refused fault was to be: "at element 4 of ×100", "between tap 4 of
// ×100 and tap 6 of ×10", "nowhere".
func (f Fault) places(b *decade.Box) string {
	switch {
	case f.A.Part == NoPart && f.B.Part == NoPart:
		return "nowhere"
	case f.B.Part == NoPart:
		return "at " + f.A.In(b)
	case f.A.Part == NoPart:
		return "at " + f.B.In(b) + " as the second place, without a first"
	}
	return "at " + f.A.In(b) + " and " + f.B.In(b)
}

// expectedPlaces says what places a kind of fault can have.
func expectedPlaces(k Kind) string {
	switch k {
	case Drift, WrongPart, Shorted, OpenElement, Unsteady, ElementLeak:
		return "an element of the box"
	case Overloaded:
		return "the first and the last element of a run in one dial"
	case ElementsExchanged:
		return "two elements of the box"
	case DialDrift, DialLeak, Slip:
		return "a dial of the box"
	case Series, OpenPath:
		return "a wiper, dial, link or terminal of the box, or all of it"
	case Contact, OpenContact:
		return "a position of a dial, or an element that a switch of its own puts in"
	case Overlap:
		return "a position above 0 of a dial whose wiper runs over taps"
	case TapsExchanged:
		return "two positions of one dial whose wiper runs over taps"
	}
	return "two different places of the box that can touch"
}

func (c *change) isDial(p Place) bool { return p.Dial >= 0 && p.Dial < len(c.l.decades) }
func (c *change) isElement(p Place) bool {
	return p.Part == Element && c.l.elementAt(p.Dial, p.Number) >= 0
}
func (c *change) isPosition(p Place) bool {
	return p.Part == Position && c.isDial(p) && p.Number >= 0 && p.Number <= c.l.decades[p.Dial].Positions
}

func (c *change) isPath(p Place) bool {
	switch p.Part {
	case WholeBox:
		return true
	case Terminal:
		return p.Number == 1 || p.Number == 2
	case Link:
		return p.Number >= 0 && p.Number < len(c.links)
	case Wiper, WholeDial:
		return c.isDial(p)
	}
	return false
}

func (c *change) checkValue(op string, f Fault) error {
	refuse := func(expected string) error {
		return refuse(op, f.Kind.String(), f.Value, ErrDomain, "%v; expected %s", f.Value, expected)
	}
	switch f.Kind {
	case Drift, Unsteady:
		if r := c.ohms[c.l.elementAt(f.A.Dial, f.A.Number)]; !(r+f.Value > 0) {
			return refuse("more than minus the element, in ohms")
		}
	case WrongPart:
		if !(f.Value > 0) {
			return refuse("more than 0 Ω")
		}
	case Contact, ElementLeak, DialLeak, TerminalLeak, Bridge, DialBridge, CaseLeak:
		if f.Value < 0 {
			return refuse("0 Ω or more")
		}
	case Series:
		if !(c.l.contact+f.Value > 0) {
			return refuse("0 Ω or more")
		}
	case Overloaded, DialDrift, BoxDrift, Aged:
		if !(f.Value > -1) {
			return refuse("a fraction above -1")
		}
	case Slip:
		if f.Value == 0 || f.Value != math.Trunc(f.Value) || math.Abs(f.Value) > 255 {
			return refuse("a whole number of positions other than 0")
		}
	}
	return nil
}
