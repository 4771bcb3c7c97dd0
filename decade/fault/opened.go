// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Two pairs are out of reach of the search beside a first fault, since neither of their faults
// looks like anything alone: an element that is open with a bridge around more than it, and
// something open beside a leak that carries what current is left. In the healthy circuit the
// first fault alone opens the path at every setting that has it, and explains no value that was
// read there; the bridge alone in a sound ladder lowers readings that are high. So both are
// tried together, and directly:
//
//   from 0   1 kΩ steps, element 5 open, 2.2 kΩ from tap 2 to tap 7
//   4        4 kΩ            the ladder below the break, without a current in the bridge
//   5        2 + 2.2 + 2     to tap 2, through the bridge to tap 7, back down to tap 5
//   9        2 + 2.2 + 2     to tap 7, and on up to tap 9
//
// so that one number, the ohms of the bridge, stands in every reading at or beyond the element,
// and is their weighted mean. The search is over element, lower and upper tap: n³/6 of a dial
// with n elements, 210 of a ladder of ten.

import (
	"math"
	"slices"
)

// How many open elements with a bridge are fitted with their circuit, and how many of them in
// any case: without it a large one is misjudged by more than what a scatter leaves that takes
// up anything.
const (
	keptOpened = 24
	bestOpened = 4
)

// opened is an open element with a bridge around it and more of its dial, from tap a to tap b,
// which are numbered as elements are. The healthy circuit shows neither of the two by itself:
// all that the element carried goes through the bridge.
type opened struct {
	dial, element, a, b int
	ohms                float64
	gain                float64 // of what the readings are off, squares in standard uncertainties
}

// value is the resistance of the dial at a position, and whether the bridge carries all of the
// current. ohms is the resistance of the bridge, in Ω; o.ohms is not asked, so that 0 gives what
// the rest of the dial has.
func (o opened) value(m *model, position int, ohms float64) (r float64, carries bool) {
	d := &m.layout.decades[o.dial]
	if d.Tapped() {
		_, behind := d.Taps(o.element)
		// Of a ladder the wiper is below the break: the bridge hangs on one side only, and no
		// current flows in it.
		if position < behind {
			return float64(position) * d.Step, false
		}
		_, a := d.Taps(o.a) // 0 for the tap before the first element
		_, b := d.Taps(o.b)
		// The bridge is the way to its far tap; from there the current goes on or comes back.
		return ohms + float64(a+max(b-position, position-b))*d.Step, true
	}
	outside, inside := 0, 0
	for _, e := range d.InCircuit(position) {
		w := d.Weight(e)
		if e > o.a && e <= o.b {
			inside += w
		} else {
			outside += w
		}
		carries = carries || e == o.element
	}
	// Of a code, elements are in circuit by their contacts: those outside the bridge carry in
	// any case, those under it share the current with the bridge, unless the open one is among
	// them.
	r = float64(outside) * d.Step
	switch in := float64(inside) * d.Step; {
	case carries:
		return r + ohms, true
	case in > 0:
		// Elements under the bridge, with the open one not among them: both carry.
		return r + in*ohms/(in+ohms), false
	}
	return r, false
}

// openedWithBridge looks for an open element of each dial with a bridge around more than it, from
// any tap to any other. The resistance of the bridge stands in every reading that the element
// would carry: those that disagree about it are left out at once.
// What is far behind the best single fault is not fitted with its circuit.
//
// best is the score of the best single fault; an error is that of the context.
func (s *search) openedWithBridge(pr *probe, best float64) ([]*hypothesis, error) {
	var list []opened
	for d := range s.model.layout.decades {
		n := s.model.layout.decades[d].NumElements()
		for e := 1; e <= n; e++ {
			for a := range e {
				for b := e; b <= n; b++ {
					// A bridge around the element alone is a leak across it, and the pair reads
					// like one element of another value.
					if b-a < 2 {
						continue
					}
					if !s.work.spend(20 * s.numSettings) {
						return nil, s.work.stopped()
					}
					o := opened{dial: d, element: e, a: a, b: b}
					if s.fitOpened(&o) {
						list = append(list, o)
					}
				}
			}
		}
	}
	slices.SortStableFunc(list, func(a, b opened) int { return compareScores(b.gain, a.gain) })
	var out []*hypothesis
	for i, o := range list[:min(keptOpened, len(list))] {
		if err := s.work.stopped(); err != nil {
			return nil, err
		}
		// By the lines of the table above first, and only then by the circuit.
		h := s.hypothesisOfOpened(o)
		if h == nil || i >= bestOpened && h.score > best+s.errorOfLines(h) {
			continue
		}
		if err := s.fitCircuit(pr, h); err != nil {
			return nil, err
		}
		if finite(h.score) {
			out = append(out, h)
		}
	}
	return out, s.work.stopped()
}

// fitOpened finds the resistance, and reports whether the readings may be so. It sets o.ohms and
// o.gain. Only settings of the dial count, the others by what the linear account says of them; a
// setting that was dialled more than once counts by the mean of its diallings.
func (s *search) fitOpened(o *opened) bool {
	step := s.model.layout.decades[o.dial].Step
	sum, weight := 0.0, 0.0
	each := func(look func(k, position int)) {
		for k, x := range s.model.settings {
			if p := x.Position(o.dial); p > 0 && len(s.diallings[k]) > 0 {
				look(k, p)
			}
		}
	}
	each(func(k, p int) {
		if base, carries := o.value(s.model, p, 0); carries {
			// The mean weighted with the variances; covariances are left to the fit.
			w := 1 / s.bySetting.variance[k]
			sum += w * (s.bySetting.reference[k] - (base - float64(p)*step))
			weight += w
		}
	})
	if !(weight > 0) || !(sum > 0) {
		return false
	}
	o.ohms = sum / weight
	misfit := 0.0
	each(func(k, p int) {
		v, _ := o.value(s.model, p, o.ohms)
		off := s.bySetting.reference[k]
		left := math.Abs(off - (v - float64(p)*step))
		// A part of a large step is not known better than the class of what it goes through.
		u := math.Sqrt(s.bySetting.variance[k]) + 0.002*math.Abs(off)
		misfit = max(misfit, left/u)
		// χ² without covariances: it sorts the candidates, and is not what they are judged by.
		o.gain += (off*off - left*left) / (u * u)
	})
	return misfit < mostMisfit && o.gain > s.weight(KindOpenElement)
}

// mostMisfit is the largest deviation of a reading from what an open element with a bridge
// leaves, in standard uncertainties, at which it is fitted. The table above leaves out contacts,
// which shift a reading by milliohms where u may be microohms.
const mostMisfit = 12

// It is nil where the two nodes are one (a bridge between joined links), or where either kind is
// not considered. The effect is that of the table, 0 at settings without the dial.
func (s *search) hypothesisOfOpened(o opened) *hypothesis {
	l := s.model.layout
	u, w := l.sectionOf(o.dial)
	c, d := l.joined[u.taps[w][l.tapNumber(o.dial, o.a)]], l.joined[u.taps[w][l.tapNumber(o.dial,
		o.b)]]
	i := slices.IndexFunc(s.model.pairs,
		func(q pair) bool { return q.from == c && q.to == d || q.from == d && q.to == c })
	if i < 0 || math.IsInf(s.weight(s.model.pairs[i].kind)+s.weight(KindOpenElement), 1) {
		return nil
	}
	q := &s.model.pairs[i]
	h := &hypothesis{
		faults: []Fault{{Kind: KindOpenElement, A: Place{PartElement, o.dial, o.element}},
			s.model.fault(q, max(o.ohms, smallestBridge))},
		uncertainty: []float64{0, o.ohms}, effect: make([]float64, s.numSettings),
		prior: s.weight(KindOpenElement) + s.weight(q.kind),
	}
	for k, x := range s.model.settings {
		if p := x.Position(o.dial); p > 0 {
			v, _ := o.value(s.model, p, o.ohms)
			h.effect[k] = v - float64(p)*s.model.layout.decades[o.dial].Step
		}
	}
	s.evaluate(h)
	h.setScore()
	return h
}

// mostBesideLeak is how many single faults are taken for something open beside a leak.
const mostBesideLeak = 6

// openedBesideLeak looks for an open contact or element beside a leak across the terminals or its
// dial, which carries what current there is: where a single fault is far more than the whole
// box has, it reads the leak. Neither of the two looks like that alone.
//
// A contact of 1 MΩ in a box of 11 kΩ reads like one that is open beside 1 MΩ of dirt, and each
// reading is fitted as well by one as by the other. singles are sorted, best first; an error is
// that of the context.
func (s *search) openedBesideLeak(pr *probe, singles []*hypothesis) ([]*hypothesis, error) {
	most := 0.0
	for d := range s.model.layout.decades {
		most += s.model.layout.dialOhms(d)
	}
	n := len(s.model.layout.nodes)
	terminals := Fault{Kind: KindTerminalLeak, A: s.model.layout.nodes[n-2],
		B: s.model.layout.nodes[n-1]}
	var out []*hypothesis
	for _, h := range singles[:min(mostBesideLeak, len(singles))] {
		if len(h.faults) != 1 || !(h.faults[0].Value > asGoodAsOpen*most) || h.drawSD > 0 {
			continue
		}
		open := Fault{A: h.faults[0].A}
		switch h.firstKind() {
		case KindContact:
			open.Kind = KindOpenContact
		case KindDrift:
			open.Kind = KindOpenElement
		default:
			continue
		}
		for _, leak := range []Fault{terminals,
			{Kind: KindDialLeak, A: Place{PartDial, open.A.Dial, 0}}} {
			// What the single fault has is what the leak has, but for the box in series with it;
			// the fit moves it on.
			leak.Value = min(h.faults[0].Value, largestBridge)
			x := &hypothesis{
				faults: []Fault{open, leak}, uncertainty: []float64{0, leak.Value},
				effect: make([]float64, s.numSettings),
				prior:  s.weight(open.Kind) + s.weight(leak.Kind),
			}
			if math.IsInf(x.prior, 1) {
				continue
			}
			if err := s.fitCircuit(pr, x); err != nil {
				return nil, err
			}
			if finite(x.score) {
				out = append(out, x)
			}
		}
	}
	return out, s.work.stopped()
}
