// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

// The sorts of faults, each with the law of its places and values. Places are even among those
// that the box has: elements, dials, contacts, links. Values are even in the logarithm over what
// workshops meet (common practice), since a contact has 10 mΩ as often as 100 mΩ and 1 Ω; where
// a size is asked for (Mix), they are where adjusting begins.
//
//   element    ±0.1 to 30 % of it; another part of a common series; trims of 100 ppm to 1 %
//   joint      50 mΩ to 5 Ω, new at each dialling
//   contact    10 mΩ to 10 Ω          series   20 mΩ to 5 Ω
//   bridge     a touch, or 1 Ω to 10 MΩ
//   leak       1 kΩ to 10 GΩ across a dial, 10 kΩ to 100 GΩ across the terminals
//   dial       ±0.1 to 20 %           aged     +0.1 to 20 %
//   meter      gain ±0.01 to 1 %, zero ±10 mΩ to 1 Ω

import (
	"math"
	"math/rand/v2"
)

// What is one sort of trial: the faults that it draws, and their name. draw is not exported:
// sorts are made here.
type What struct {
	Name  string
	Group string // "healthy", "single", "meter", "pair"
	// asDrawn: the values are not brought to a size. A bridge beside an open element would
	// else be so large that it is nothing but another value of the element.
	asDrawn bool
	// draw returns faults of a box, false where this box cannot have them.
	draw func(x *drawing) ([]Fault, bool)
}

// drawing is what faults are drawn for. The circuit is that of the box of the trial.
type drawing struct {
	*circuit
	rng  *rand.Rand
	used []int // ranges that a reading of the plan uses, by reading
}

// HealthyBoxes lists the sort without a fault.
func HealthyBoxes() []What {
	return []What{{Name: "healthy", Group: "healthy", draw: func(*drawing) ([]Fault, bool) {
		return nil, true
	}}}
}

// one makes a sort of one fault. Where the box cannot have it, the fault that comes with false
// is not asked.
func one(name, group string, draw func(x *drawing) (Fault, bool)) What {
	return What{Name: name, Group: group, draw: func(x *drawing) ([]Fault, bool) {
		f, ok := draw(x)
		return []Fault{f}, ok
	}}
}

// Singles lists one fault of each kind inside a box. A plain list, in the order of the kinds.
func Singles() []What {
	single := func(name string, draw func(x *drawing) (Fault, bool)) What {
		return one(name, "single", draw)
	}
	return []What{
		single("element drift", (*drawing).drift),
		single("wrong part", func(x *drawing) (Fault, bool) {
			e, r := x.element()
			// Ratios of common values (of the E24 series of IEC 60063, from memory) to the right
			// one: a part of another decade, or the next of the drawer.
			near := []float64{0.1, 0.22, 0.47, 0.68, 0.82, 0.91, 1.1, 1.2, 1.5, 2.2, 4.7, 10}
			return Fault{Kind: WrongPart, A: e, Value: r * near[x.rng.IntN(len(near))]}, true
		}),
		single("open element", func(x *drawing) (Fault, bool) {
			e, _ := x.element()
			return Fault{Kind: OpenElement, A: e}, true
		}),
		single("shorted step", func(x *drawing) (Fault, bool) {
			e, _ := x.element()
			return Fault{Kind: ShortElement, A: e}, true
		}),
		// A trim in parallel takes 100 ppm to 1 % off its element; without it that comes back.
		single("lifted trim", func(x *drawing) (Fault, bool) {
			e, _ := x.element()
			return Fault{Kind: TrimLifted, A: e, Value: math.Pow(10, -4+2*x.rng.Float64())}, true
		}),
		single("cracked joint", func(x *drawing) (Fault, bool) {
			e, _ := x.element()
			// A crack scatters: a constant one is a drift.
			return Fault{Kind: CrackedJoint, A: e, Value: x.between(0.05, 5), Fresh: true}, true
		}),
		single("dirty contact, constant", (*drawing).dirt),
		single("dirty contact, new each time", func(x *drawing) (Fault, bool) {
			f, ok := x.dirt()
			f.Fresh = true
			return f, ok
		}),
		single("open contact", func(x *drawing) (Fault, bool) {
			// Of a code an open contact brings its element into circuit; of a ladder it opens
			// the path.
			return Fault{Kind: OpenContact, A: x.contact(-1)}, true
		}),
		// Constant: a lead, a joint or a link that is bad since the box was put together.
		single("series, constant", func(x *drawing) (Fault, bool) {
			return Fault{Kind: Series, A: x.path(), Value: x.between(0.02, 5)}, true
		}),
		single("series, new each time", func(x *drawing) (Fault, bool) {
			return Fault{Kind: Series, A: x.path(), Value: x.between(0.1, 1), Fresh: true}, true
		}),
		single("open path",
			func(x *drawing) (Fault, bool) { return Fault{Kind: OpenPath, A: x.path()}, true }),
		// A touch has no value to adjust: its size is what the taps make of it.
		single("bridge in a dial, touch", func(x *drawing) (Fault, bool) { return x.bridge(0) }),
		single("bridge in a dial, resistive",
			func(x *drawing) (Fault, bool) { return x.bridge(x.between(1, 1e7)) }),
		single("bridge of two dials, touch",
			func(x *drawing) (Fault, bool) { return x.bridgeDials(0) }),
		single("bridge of two dials, resistive",
			func(x *drawing) (Fault, bool) { return x.bridgeDials(x.between(1, 1e7)) }),
		// Only where the case is strapped does it show; the strap goes to either terminal (Mix).
		single("leak to the strapped case", func(x *drawing) (Fault, bool) {
			return Fault{Kind: LeakCase, A: x.tap(x.dial()), Value: x.between(1e4, 1e10)}, true
		}),
		single("leak across terminals", func(x *drawing) (Fault, bool) {
			return Fault{Kind: LeakTerminals, Value: x.between(1e4, 1e11)}, true
		}),
		single("leak across a dial", func(x *drawing) (Fault, bool) {
			return Fault{Kind: LeakDial, A: Place{Part: Dial, Dial: x.dial()},
				Value: x.between(1e3, 1e10)}, true
		}),
		// By one position: the rest of the dial shows more of a larger slip, and the one is what
		// happens.
		single("slipped knob, stops",
			func(x *drawing) (Fault, bool) { return x.slip(SlipStops), true }),
		single("slipped knob, turns round",
			func(x *drawing) (Fault, bool) { return x.slip(SlipTurns), true }),
		single("wiper overlap", func(x *drawing) (Fault, bool) {
			d := x.dial()
			// Position 0 has no tap below.
			return Fault{Kind: Overlap, A: Place{Position, d, 1 + x.rng.IntN(x.positions(d))}},
				x.ladder(d)
		}),
		single("exchange in a weighted dial", func(x *drawing) (Fault, bool) {
			a, ra := x.element()
			// Elements of a ladder are equal: exchanged they read the same.
			n := x.first[a.Dial+1] - x.first[a.Dial]
			b := Place{Element, a.Dial, 1 + x.rng.IntN(n)}
			rb := x.circuit.elements[x.circuit.element(b.Dial, b.Number)].nominal
			return Fault{Kind: Exchanged, A: a, B: b}, !x.ladder(a.Dial) && ra != rb
		}),
		single("exchange of two dials", func(x *drawing) (Fault, bool) {
			a, ra := x.element()
			b, rb := x.element()
			// As when one dial was assembled with a part of another.
			return Fault{Kind: Exchanged, A: a, B: b}, a.Dial != b.Dial && ra != rb
		}),
		// Neighbours: a wire goes to the next lug and its neighbour to this one.
		single("exchanged taps", func(x *drawing) (Fault, bool) {
			d := x.dial()
			p := x.rng.IntN(x.positions(d))
			return Fault{Kind: Taps, A: Place{Position, d, p}, B: Place{Position, d, p + 1}},
				x.ladder(d)
		}),
		single("whole dial off", (*drawing).dialOff),
		single("overloaded", func(x *drawing) (Fault, bool) {
			e, _ := x.element()
			n := x.first[e.Dial+1] - x.first[e.Dial]
			// One element is a drift, all of them are the dial.
			e.Number = 2 + x.rng.IntN(max(1, n-2))
			return Fault{Kind: Overloaded, A: e, Value: x.sign() * x.between(1e-3, 0.1)},
				x.ladder(e.Dial)
		}),
		single("aged throughout", func(x *drawing) (Fault, bool) {
			// Moisture and corrosion make resistors larger, so it has no sign.
			return Fault{Kind: Aged, Value: x.between(1e-3, 0.2)}, true
		}),
	}
}

// MeterFaults lists gain and zero of one range. Only of ranges that the plan uses: nobody could
// find another.
func MeterFaults() []What {
	return []What{
		one("gain of a range", "meter", func(x *drawing) (Fault, bool) {
			r, ok := x.usedRange()
			return Fault{Kind: MeterGain, A: r, Value: x.sign() * x.between(1e-4, 1e-2)}, ok
		}),
		one("zero of a range", "meter", func(x *drawing) (Fault, bool) {
			r, ok := x.usedRange()
			return Fault{Kind: MeterZero, A: r, Value: x.sign() * x.between(0.01, 1)}, ok
		}),
	}
}

// Pairs lists two faults at once. They are such as hide each other: in one dial, in one reading,
// or by their signs.
func Pairs() []What {
	pair := func(name string, draw func(x *drawing) ([]Fault, bool)) What {
		return What{Name: name, Group: "pair", draw: draw}
	}
	both := func(name string, a, b func(x *drawing) (Fault, bool)) What {
		return pair(name, func(x *drawing) ([]Fault, bool) {
			f, ok := a(x)
			g, okay := b(x)
			return []Fault{f, g}, ok && okay && f.A != g.A
		})
	}
	return []What{
		// As drawn: brought to a size, the bridge would be so large that there is nothing but an
		// element of another value.
		{Name: "open element and a wider bridge", Group: "pair", asDrawn: true,
			draw: func(x *drawing) ([]Fault, bool) {
				e, r := x.element()
				n := x.first[e.Dial+1] - x.first[e.Dial]
				a, b := x.rng.IntN(e.Number), e.Number+x.rng.IntN(n-e.Number+1)
				bridge := Fault{Kind: BridgeInDial, A: Place{Tap, e.Dial, a},
					B:     Place{Tap, e.Dial, b},
					Value: r * x.between(0.01, 10)}
				return []Fault{{Kind: OpenElement, A: e}, bridge}, b > a+1
			}},
		pair("dial off and a strong leak", func(x *drawing) ([]Fault, bool) {
			f, _ := x.dialOff()
			// A leak of 3 to 300 times the largest dial: what the leak takes there, the dial may
			// have too much.
			top := x.spec.Decades[x.bySteps()[0]].Step * 10
			return []Fault{f, {Kind: LeakTerminals, Value: top * x.between(3, 300)}}, true
		}),
		pair("drift and a dirty contact of one dial", func(x *drawing) ([]Fault, bool) {
			f, _ := x.drift()
			return []Fault{f, {Kind: Contact, A: x.contact(f.A.Dial),
				Value: x.between(0.01, 5)}}, true
		}),
		pair(cancels, func(x *drawing) ([]Fault, bool) {
			f, _ := x.drift()
			g := f
			n := x.first[f.A.Dial+1] - x.first[f.A.Dial]
			// In one dial, so that its top reads right and only positions between show anything.
			g.A.Number = 1 + x.rng.IntN(n)
			g.Value = -f.Value
			return []Fault{f, g}, f.A != g.A
		}),
		both("two drifts", (*drawing).drift, (*drawing).drift),
		both("dirty contact and drift", (*drawing).dirt, (*drawing).drift),
		both("drift and series", (*drawing).drift, func(x *drawing) (Fault, bool) {
			return Fault{Kind: Series, A: x.path(), Value: x.between(0.02, 5)}, true
		}),
		both("drift and gain of a range", (*drawing).drift, MeterFaults()[0].first),
	}
}

// first is the first fault of a sort.
func (w What) first(x *drawing) (Fault, bool) {
	list, ok := w.draw(x)
	return list[0], ok
}

func (x *drawing) dial() int           { return x.rng.IntN(len(x.of)) }
func (x *drawing) positions(d int) int { return x.spec.Decades[d].Positions }
func (x *drawing) ladder(d int) bool   { return x.spec.Decades[d].Tapped() }
func (x *drawing) sign() float64       { return float64(2*x.rng.IntN(2) - 1) }

func (x *drawing) tap(d int) Place {
	return Place{Tap, d, x.rng.IntN(x.first[d+1] - x.first[d] + 1)}
}

func (x *drawing) slip(end int) Fault {
	return Fault{Kind: Slip, A: Place{Part: Dial, Dial: x.dial()}, B: Place{Number: end},
		Value: x.sign()}
}

// between is even in the logarithm. Where low and high are ohms, so is the result.
func (x *drawing) between(low, high float64) float64 {
	return low * math.Pow(high/low, x.rng.Float64())
}

// It returns the place and the nominal value in ohms.
func (x *drawing) element() (Place, float64) {
	e := x.circuit.elements[x.rng.IntN(len(x.circuit.elements))]
	return Place{Element, e.dial, e.number}, e.nominal
}

// The sign is even: wire ages either way.
func (x *drawing) drift() (Fault, bool) {
	e, r := x.element()
	return Fault{Kind: Drift, A: e, Value: x.sign() * r * x.between(1e-3, 0.3)}, true
}

// All elements of a dial together, as of one wrong batch.
func (x *drawing) dialOff() (Fault, bool) {
	return Fault{Kind: DialDrift, A: Place{Part: Dial, Dial: x.dial()},
		Value: x.sign() * x.between(1e-3, 0.2)}, true
}

// It never is below 0.
func (x *drawing) dirt() (Fault, bool) {
	return Fault{Kind: Contact, A: x.contact(-1), Value: x.between(0.01, 10)}, true
}

// contact is one of a dial, or of any with −1. Contacts are even over the box; with a dial, over
// those of its switch.
func (x *drawing) contact(dial int) Place {
	for {
		// Drawn until one fits: a switch has several contacts, and there are few switches.
		k := x.contacts[x.rng.IntN(len(x.contacts))]
		if dial >= 0 && k.dial != dial && x.of[k.dial] != x.of[dial] {
			continue
		}
		if w := x.switches[x.of[k.dial]]; w.code && !w.runs {
			return Place{Element, k.dial, k.number}
		}
		return Place{Position, k.dial, k.number}
	}
}

// path is a place in series with everything. A wiper half of the time where the dial drawn has
// one, else a link.
func (x *drawing) path() Place {
	if d := x.dial(); x.ladder(d) && x.rng.IntN(2) == 0 {
		return Place{Part: Wiper, Dial: d}
	}
	return Place{Part: Link, Number: x.rng.IntN(len(x.switches) + 1)}
}

// Taps beside each other are joined by an element already: a bridge there is a leak across it.
func (x *drawing) bridge(ohms float64) (Fault, bool) {
	d := x.dial()
	a, b := x.tap(d), x.tap(d)
	return Fault{Kind: BridgeInDial, A: a, B: b, Value: ohms}, a.Number < b.Number-1
}

// Nodes that a link joins are one.
func (x *drawing) bridgeDials(ohms float64) (Fault, bool) {
	a, b := x.tap(x.dial()), x.tap(x.dial())
	same := x.joined()
	return Fault{Kind: BridgeDials, A: a, B: b, Value: ohms}, a.Dial < b.Dial &&
		same[x.nodeOf(a)] != same[x.nodeOf(b)]
}

// A range is drawn as often as it was read on.
func (x *drawing) usedRange() (Place, bool) {
	if len(x.used) == 0 {
		return Place{}, false
	}
	return Place{Part: Range, Number: x.used[x.rng.IntN(len(x.used))]}, true
}
