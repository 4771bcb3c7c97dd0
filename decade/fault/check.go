// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"example.com/ohmwright/decade"
)

// checkOfBox refuses what is wrong elsewhere.
func checkOfBox(op string, f Fault) error {
	if f.Kind < numKinds && f.Kind > KindHealthy && !f.Kind.ofBox() {
		return refuse(op, f.Kind.String(), nil, ErrDomain, "%v; expected a fault of the box",
			f.Kind)
	}
	return nil
}

// checkFault refuses a fault that the box cannot have.
func (c *change) checkFault(op string, f Fault) error {
	if f.Kind == KindHealthy || f.Kind >= numKinds {
		return refuse(op, "fault", float64(f.Kind), ErrDomain, "%v; expected a kind of fault",
			f.Kind)
	}
	for _, v := range []float64{f.Value, f.Scatter} {
		if !finite(v) {
			return refuse(op, f.Kind.String(), v, ErrNotFinite, "%v; expected a finite number", v)
		}
	}
	if f.Scatter < 0 {
		return refuse(op, f.Kind.String()+": scatter", f.Scatter, ErrDomain,
			"%v Ω; expected 0 or more", f.Scatter)
	}
	if err := c.checkPlaces(op, f); err != nil {
		return err
	}
	return c.checkValue(op, f)
}

func (c *change) checkPlaces(op string, f Fault) error {
	ok := true
	switch f.Kind {
	case KindDrift, KindWrongPart, KindShorted, KindOpenElement, KindUnsteady, KindElementLeak:
		ok = c.isElement(f.A)
	case KindOverloaded:
		ok = c.isElement(f.A) && c.isElement(f.B) && f.A.Dial == f.B.Dial &&
			f.A.Number <= f.B.Number
	case KindElementsExchanged:
		ok = c.isElement(f.A) && c.isElement(f.B) && f.A != f.B
	case KindDialDrift, KindDialLeak, KindSlip:
		ok = c.isDial(f.A)
	case KindSeries, KindOpenPath:
		ok = c.isPath(f.A)
	case KindContact, KindOpenContact:
		ok = c.isPosition(f.A) || c.isElement(f.A) && !c.layout.decades[f.A.Dial].Tapped()
	case KindOverlap:
		ok = c.isPosition(f.A) && f.A.Number > 0 && c.layout.decades[f.A.Dial].Tapped()
	case KindTapsExchanged:
		ok = c.isPosition(f.A) && c.isPosition(f.B) && f.A.Dial == f.B.Dial && f.A != f.B &&
			c.layout.decades[f.A.Dial].Tapped()
	case KindMeterGain, KindMeterZero:
		ok = f.A.Part == PartRange && f.A.Number > 0
	case KindDialling:
		ok = f.A.Part == PartReading && f.A.Number > 0
	case KindBridge, KindDialBridge, KindCaseLeak:
		a, b := c.layout.nodeAt(f.A), c.layout.nodeAt(f.B)
		ok = a != absent && b != absent && a != b
	}
	if !ok {
		return refuse(op, f.Kind.String(), f.places(c.layout.box), ErrPlace, "%s; expected %s",
			f.places(c.layout.box), expectedPlaces(f.Kind))
	}
	return nil
}

// places says where a refused fault was to be: "at element 4 of ×100", "between tap 4 of
// ×100 and tap 6 of ×10", "nowhere".
func (f Fault) places(b *decade.Box) string {
	switch {
	case f.A.Part == PartNone && f.B.Part == PartNone:
		return "nowhere"
	case f.B.Part == PartNone:
		return "at " + f.A.In(b)
	case f.A.Part == PartNone:
		return "at " + f.B.In(b) + " as the second place, without a first"
	}
	return "at " + f.A.In(b) + " and " + f.B.In(b)
}

// expectedPlaces says what places a kind of fault can have.
func expectedPlaces(k Kind) string {
	switch k {
	case KindDrift, KindWrongPart, KindShorted, KindOpenElement, KindUnsteady, KindElementLeak:
		return "an element of the box"
	case KindOverloaded:
		return "the first and the last element of a run in one dial"
	case KindElementsExchanged:
		return "two elements of the box"
	case KindDialDrift, KindDialLeak, KindSlip:
		return "a dial of the box"
	case KindSeries, KindOpenPath:
		return "a wiper, dial, link or terminal of the box, or all of it"
	case KindContact, KindOpenContact:
		return "a position of a dial, or an element that a switch of its own puts in"
	case KindOverlap:
		return "a position above 0 of a dial whose wiper runs over taps"
	case KindTapsExchanged:
		return "two positions of one dial whose wiper runs over taps"
	case KindMeterGain, KindMeterZero:
		return "a range of the meter"
	case KindDialling:
		return "a row of the readings"
	}
	return "two different places of the box that can touch"
}

func (c *change) isDial(p Place) bool { return p.Dial >= 0 && p.Dial < len(c.layout.decades) }
func (c *change) isElement(p Place) bool {
	return p.Part == PartElement && c.layout.elementAt(p.Dial, p.Number) != absent
}
func (c *change) isPosition(p Place) bool {
	return p.Part == PartPosition && c.isDial(p) && c.layout.decades[p.Dial].HasPosition(p.Number)
}

func (c *change) isPath(p Place) bool {
	switch p.Part {
	case PartBox:
		return true
	case PartTerminal:
		return p.Number == 1 || p.Number == 2
	case PartLink:
		return p.Number >= 0 && p.Number < len(c.links)
	case PartWiper, PartDial:
		return c.isDial(p)
	}
	return false
}

func (c *change) checkValue(op string, f Fault) error {
	refuse := func(expected string) error {
		return refuse(op, f.Kind.String(), f.Value, ErrDomain, "%v; expected %s", f.Value, expected)
	}
	switch f.Kind {
	case KindDrift, KindUnsteady:
		// What earlier faults left of it counts. The negated comparison refuses NaN as well.
		if r := c.ohms[c.layout.elementAt(f.A.Dial, f.A.Number)]; !(r+f.Value > 0) {
			return refuse("more than minus the element, in ohms")
		}
	case KindWrongPart:
		if !(f.Value > 0) {
			return refuse("more than 0 Ω")
		}
	case KindContact, KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge,
		KindCaseLeak:
		if f.Value < 0 {
			return refuse("0 Ω or more")
		}
	case KindSeries:
		// Less than stated is a finding, less than nothing is none.
		if !(c.layout.contact+f.Value > 0) {
			return refuse("0 Ω or more")
		}
	case KindOverloaded, KindDialDrift, KindBoxDrift, KindAged, KindMeterGain:
		if !(f.Value > -1) {
			return refuse("a fraction above -1")
		}
	case KindSlip:
		if f.Value == 0 || f.Value != math.Trunc(f.Value) || math.Abs(f.Value) > 255 {
			return refuse("a whole number of positions other than 0")
		}
	}
	return nil
}
