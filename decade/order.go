// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"math"
	"slices"
)

// TurnLeastLoaded is [Setting.Turn] in the best order of dials: each dial that changes is turned
// once, from position to position, in the order whose worst moment comes least close to a
// rating. Among orders with an equal worst moment it takes one with the smallest current. With
// the zero Supply all orders are equally good, and dial order is taken.
//
// The search visits every set of dials that may have been turned already, not every
// order: 2ⁿ sets of n dials instead of n! orders. It ends early with the error of the
// context. Other errors are those of Setting.Turn.
//
// Caution: the best order may still overload the box, see [Passage.Overloaded], and it
// holds for this supply and for a switch that does what [Switching] says. The caution of
// Setting.Turn applies: turn the supply down or disconnect it instead.
func (s Setting) TurnLeastLoaded(ctx context.Context, to Setting, v Supply,
	w Switching) (*Passage, error) {
	const op = "decade.Setting.TurnLeastLoaded"
	if ctx == nil {
		ctx = context.Background()
	}
	if err := s.checkTurn(op, to, v, w, nil); err != nil {
		return nil, err
	}
	dials := s.usualOrder(to)
	// Every order is as good: nothing flows, or there is only one.
	if v.Voltage == 0 || len(dials) < 2 {
		return s.Turn(to, v, w, dials...)
	}
	g := orderSearch{from: s, to: to, supply: v, switching: w, dials: dials}
	if err := g.measureTurns(ctx, op); err != nil {
		return nil, err
	}
	// First the least use that some order keeps below; then, of the turns that keep it,
	// those with the least current. One pass for both would not do: a set reached with
	// less use may have been reached with more current, and the use may come later anyway.
	use, _ := g.leastWorst(math.Inf(1), func(t turnLoad) float64 { return t.use })
	start, _ := s.Under(v) // is passed in any order; ratings and supply have been checked
	_, order := g.leastWorst(max(use, start.Use), func(t turnLoad) float64 { return t.current })
	return s.Turn(to, v, w, order...)
}

// turnLoad is the largest use and the largest current while one dial is turned. A short
// circuit of an ideal source, in which no element is loaded, counts as an infinite use.
type turnLoad struct {
	use, current float64
	blocked      bool // another range still has the switch
}

// orderSearch looks for an order of dials. A set of dials that have been turned is a word:
// bit k stands for dials[k].
type orderSearch struct {
	from, to  Setting
	supply    Supply
	switching Switching
	dials     []int
	passed    [][]dialMoment // by k, what dials[k] passes on its way
	rated     [maxDials]rest // by dial of the box
	loads     []turnLoad     // of dials[k] turned after the set, at index set·len(dials) + k
}

// rest holds the currents in A that the ratings of a dial allow before and after it is turned.
type rest struct{ from, to float64 }

// dialMoment is one moment of a dial while it is turned, by itself.
type dialMoment struct {
	position int     // at rest; −1 between two positions
	ohms     float64 // of its elements in circuit
	elements bool    // there are any
	current  float64 // A, what its ratings allow
}

// measureTurns fills the loads: n·2ⁿ⁻¹ turns, each by its own moments. What a turn meets depends on
// where the other dials stand, and not on the order in which they came there.
func (g *orderSearch) measureTurns(ctx context.Context, op string) error {
	n := len(g.dials)
	g.loads = make([]turnLoad, n<<n)
	for _, dial := range g.dials {
		g.passed = append(g.passed, g.momentsOf(dial))
	}
	for i := range g.from.box.spec.Decades {
		g.rated[i] = rest{g.from.box.rating(i, g.from.positions.at(i)).current,
			g.from.box.rating(i, g.to.positions.at(i)).current}
	}
	for set := range 1 << n {
		if err := ctx.Err(); err != nil {
			return &Error{Op: op, Name: "ctx", Err: err}
		}
		state := g.from
		for k, dial := range g.dials {
			if set&(1<<k) != 0 {
				state.positions.set(dial, g.to.positions.at(dial))
			}
		}
		for k := range g.dials {
			if set&(1<<k) == 0 {
				g.loads[set*n+k] = g.turnLoad(state, k)
			}
		}
	}
	return nil
}

// momentsOf lists what a dial passes, between two positions and at rest, without the open circuit,
// which loads nothing. It is made once, as the sets are many: of the other dials their sum and
// their least rating count.
func (g *orderSearch) momentsOf(dial int) []dialMoment {
	b, d := g.from.box, &g.from.box.spec.Decades[dial]
	var out []dialMoment
	for p, to := g.from.positions.at(dial), g.to.positions.at(dial); p != to; {
		q := d.nextPosition(p, to)
		elements, open := d.between(p, q, g.switching)
		if !open {
			out = append(out, dialMoment{-1, b.elementsValue(dial, elements), len(elements) > 0,
				b.ratingOf(dial, elements).current})
		}
		out = append(out, dialMoment{q, b.values.dials[dial][q], q > 0, b.rating(dial, q).current})
		p = q
	}
	// With less resistance more flows, whatever the others do: a moment that allows no less with
	// more resistance is never the worst. The margin leaves both of two that differ by rounding.
	return slices.DeleteFunc(slices.Clone(out), func(m dialMoment) bool {
		return slices.ContainsFunc(out, func(x dialMoment) bool {
			return x.ohms < m.ohms*(1-1e-9) && x.current <= m.current
		})
	})
}

// turnLoad is what dials[k] meets on its way when the others stand as in state.
func (g *orderSearch) turnLoad(state Setting, k int) turnLoad {
	b, dial := g.from.box, g.dials[k]
	others := state
	others.positions.set(dial, 0)
	state.positions.set(dial, g.to.positions.at(dial))
	// The knob of a range that is off zero cannot turn another range of its switch.
	if state.checkSwitches("") != nil {
		return turnLoad{blocked: true}
	}
	least := math.Inf(1)
	for i := range b.spec.Decades {
		switch r := g.rated[i]; others.positions.at(i) {
		case 0: // no element in circuit
		case g.to.positions.at(i):
			least = min(least, r.to)
		default:
			least = min(least, r.from)
		}
	}
	ohms := b.values.sumAt(&others)
	var worst turnLoad
	for _, m := range g.passed[k] {
		var resistance float64
		switch {
		case m.position >= 0:
			others.positions.set(dial, m.position)
			resistance = others.Value()
			others.positions.set(dial, 0)
		case m.elements && others.AllZero(): // elements of this dial alone
			resistance = b.values.off + m.ohms
		default:
			resistance = ohms + m.ohms
		}
		l := g.supply.into(resistance, min(least, m.current))
		worst.use = max(worst.use, l.Use)
		worst.current = max(worst.current, math.Abs(l.Current))
	}
	if math.IsInf(worst.current, 0) {
		worst.use = math.Inf(1)
	}
	return worst
}

// leastWorst returns the order in which the largest figure of all turns is least, and that
// figure, of the turns with no more use than that. The least worst of a set is that of the
// set without the dial that was turned last, or the figure of that turn.
func (g *orderSearch) leastWorst(use float64, figure func(turnLoad) float64) (float64, []int) {
	n := len(g.dials)
	least := make([]float64, 1<<n)
	last := make([]int, 1<<n) // dial turned last, −1: no order leads to this set
	for set := 1; set < 1<<n; set++ {
		least[set], last[set] = math.Inf(1), -1
		for k := range n {
			// Dynamic programming over sets (Held and Karp, J. SIAM 10, 1962), with the largest
			// figure of the way in place of its length: what comes after a set does not depend
			// on the order before.
			before := set &^ (1 << k)
			if before == set || last[before] < 0 {
				continue
			}
			load := g.loads[before*n+k]
			if load.blocked || load.use > use {
				continue
			}
			if worst := max(figure(load), least[before]); last[set] < 0 || worst < least[set] {
				least[set], last[set] = worst, k
			}
		}
	}
	// Back from the full set, dial by dial, last first.
	all := 1<<n - 1
	order := make([]int, n)
	for set, i := all, n-1; i >= 0; i-- {
		order[i] = g.dials[last[set]]
		set &^= 1 << last[set]
	}
	return least[all], order
}
