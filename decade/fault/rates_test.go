// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// size is that of a signature in u: its effect on the readings of the plan, each dialled
// once, over the uncertainty with which they determine it, class included. +Inf: open.
func (c *construction) size(sig []float64) float64 {
	for _, v := range sig {
		if math.IsInf(v, 0) {
			return math.Inf(1)
		}
	}
	return math.Sqrt(c.account.squaredSize(sig))
}

// signature is the exact change of the settings by a fault.
func (c *construction) signature(f Fault) []float64 {
	value := make([]float64, len(c.model.settings))
	if c.model.predictAll(newProbe(c.model.layout), []Fault{f}, value, nil) != nil {
		return nil
	}
	for k := range value {
		value[k] -= c.model.nominal[k]
	}
	return value
}

// drawFault makes a fault of a kind at a random place, of about the size wanted where its
// value can be chosen; ok is false where the box has none such.
func (c *construction) drawFault(rng *rand.Rand, k Kind, size float64) (f Fault, real float64, ok bool) {
	l := c.model.layout
	e := rng.IntN(len(l.elements))
	at := Place{PartElement, l.elements[e].dial, l.elements[e].number}
	dial := rng.IntN(len(l.decades))
	whole := Place{PartDial, dial, 0}
	f = Fault{Kind: k, A: at}
	sign := float64(2*rng.IntN(2) - 1)
	switch k {
	case KindDrift:
		f.Value = sign
	case KindUnsteady:
		f.Value = 1
	case KindWrongPart:
		f.Value = e24[rng.IntN(len(e24))] * l.elements[e].ohms * math.Pow(10, float64(rng.IntN(3)-1)) * (1 + 0.005*rng.NormFloat64())
	case KindOverloaded:
		if !l.decades[dial].Tapped() {
			return f, 0, false
		}
		f.A, f.B = Place{PartElement, dial, 1}, Place{PartElement, dial, 2 + rng.IntN(l.decades[dial].NumElements()-2)}
		f.Value = 0.001
	case KindDialDrift:
		f.A, f.Value = whole, 0.001*sign
	case KindBoxDrift:
		f.A, f.Value = Place{Part: PartBox}, 0.001*sign
	case KindSeries:
		f.A, f.Value = Place{Part: PartBox}, 1
	case KindContact, KindOpenContact:
		list := c.model.listContacts()
		f.A = list[rng.IntN(len(list))]
		if k == KindContact {
			f.Value = 1
		}
	case KindOverlap:
		f.A = Place{PartPosition, dial, 1 + rng.IntN(l.decades[dial].Positions)}
	case KindSlip:
		f.A, f.Wraps = whole, rng.IntN(2) == 1
		f.Value = sign * float64(1+rng.IntN(3))
		if u, w := l.sectionOf(dial); w > 0 {
			f.A.Dial = u.dials[0]
		}
	case KindTapsExchanged:
		p := rng.IntN(l.decades[dial].Positions)
		f.A, f.B = Place{PartPosition, dial, p}, Place{PartPosition, dial, p + 1}
	case KindElementsExchanged:
		o := rng.IntN(len(l.elements))
		if l.elements[o].dial == l.elements[e].dial || l.elements[o].ohms == l.elements[e].ohms {
			return f, 0, false
		}
		f.B = Place{PartElement, l.elements[o].dial, l.elements[o].number}
	case KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge:
		return c.drawBridge(rng, k, size)
	}
	if l.unchanged().checkFault("draw", f) != nil {
		return f, 0, false
	}
	sig := c.signature(f)
	real = c.size(sig)
	if v := f.Value; v != 0 && k != KindWrongPart && k != KindSlip {
		if !(real > 0) || math.IsInf(real, 1) {
			return f, 0, false
		}
		f.Value *= size / real
		if k == KindDrift && f.Value < -0.95*l.elements[e].ohms || k == KindContact && f.A.Part == PartElement && f.Value > 0.5*l.elements[l.elementAt(f.A.Dial, f.A.Number)].ohms {
			return f, 0, false
		}
		if k == KindContact || k == KindUnsteady || k == KindSeries && rng.IntN(2) == 0 {
			f.Scatter = 0.5 * f.Value
		}
		real = size
		if math.Abs(f.Value) > 0.9 && f.Kind.valueUnit() == "1" {
			return f, 0, false
		}
	}
	return f, real, real > 0
}

// drawBridge finds the resistance of a bridge between random nodes that has the size.
func (c *construction) drawBridge(rng *rand.Rand, k Kind, size float64) (f Fault, real float64, ok bool) {
	var list []*pair
	for i := range c.model.pairs {
		if q := &c.model.pairs[i]; q.kind == k && len(q.setting) > 0 {
			list = append(list, q)
		}
	}
	if len(list) == 0 {
		return f, 0, false
	}
	q := list[rng.IntN(len(list))]
	sig := make([]float64, len(c.model.settings))
	at := func(r float64) float64 {
		q.setEffect(sig, r)
		return c.size(sig)
	}
	if rng.IntN(4) == 0 { // a touch, of whatever size that has
		return c.model.fault(q, 0.001), at(0.001), true
	}
	lo, hi := math.Log(1e-3), math.Log(1e13)
	if at(1e-3) < size {
		return f, 0, false
	}
	for range 40 {
		mid := (lo + hi) / 2
		if at(math.Exp(mid)) > size {
			lo = mid
		} else {
			hi = mid
		}
	}
	r := math.Exp(lo)
	return c.model.fault(q, r), at(r), true
}

var simulated = []Kind{KindDrift, KindWrongPart, KindShorted, KindOpenElement, KindUnsteady, KindOverloaded, KindDialDrift, KindBoxDrift, KindSeries, KindContact, KindOpenContact, KindOverlap, KindSlip,
	KindTapsExchanged, KindElementsExchanged, KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge}

// numTrials is how many boxes a test simulates: in the long run, in every run, and under
// the race detector. Every run draws the same boxes, so that the few of the short form
// either pass or fail on any machine.
func numTrials(long, short, race int) int {
	switch {
	case raceDetector:
		return race
	case uncertaintytest.Long():
		return long
	}
	return short
}

// trials runs n trials in turn of the constructions, shared by two workers.
func trials(t *testing.T, list []*construction, n int, one func(c *construction, rng *rand.Rand, i int) (trialResult, bool)) []trialResult {
	t.Helper()
	out := make([]trialResult, n)
	var wg sync.WaitGroup
	const workers = 2
	for w := range workers {
		wg.Go(func() {
			for i := w; i < n; i += workers {
				for try := range 50 {
					rng := rand.New(rand.NewPCG(uint64(i), uint64(try)))
					r, ok := one(list[(i+try/10)%len(list)], rng, i)
					if ok {
						out[i] = r
						break
					}
				}
			}
		})
	}
	wg.Wait()
	return out
}

var bins = []float64{3, 5, 8, 16, 32, 100, math.Inf(1)}

func bin(size float64) int {
	for i := 1; i < len(bins); i++ {
		if size < bins[i] {
			return i - 1
		}
	}
	return len(bins) - 2
}

type tally struct{ n, first, three int }

func (y *tally) addResult(r trialResult) {
	y.n++
	if r.rank == 1 && !r.healthy {
		y.first++
	}
	if r.rank >= 1 && r.rank <= 3 {
		y.three++
	}
}

func (y tally) String() string {
	if y.n == 0 {
		return "       –"
	}
	return fmt.Sprintf("%3.0f/%-4d", 100*float64(y.first)/float64(y.n), y.n)
}

// TestRates measures how often the true cause, or its class, is found: simulated boxes of
// five constructions, elements anywhere inside class, a 0.01 % meter, every kind of fault.
func TestRates(t *testing.T) {
	n := numTrials(600, 100, 40)
	if uncertaintytest.Whole() {
		n = 2000
	}
	short := !uncertaintytest.Long() && !raceDetector
	results := trials(t, constructions(t), n, func(c *construction, rng *rand.Rand, i int) (trialResult, bool) {
		if short && i%2 == 1 { // every kind, every construction, not all of both
			return trialResult{}, true
		}
		k := simulated[(i/5)%len(simulated)]
		size := 3 * math.Exp(rng.Float64()*math.Log(300/3))
		f, real, ok := c.drawFault(rng, k, size)
		if !ok || real < 3 {
			return trialResult{}, false
		}
		d, err := c.run(uint64(i), Options{}, []Fault{f})
		if err != nil {
			return trialResult{kind: k, size: real, text: err.Error()}, true
		}
		r := trialResult{kind: k, size: real, rank: c.rank(d, []Fault{f}), healthy: d.Healthy}
		if r.rank != 1 || d.Healthy {
			r.text = fmt.Sprintf("%s, %.3g u, seed %d: %s (%d)\n", c.name, real, i, f.In(c.box), r.rank)
			for j, x := range d.Causes[:min(2, len(d.Causes))] {
				r.text += fmt.Sprintf("        %d: %.90s %v\n", j+1, x, d.Healthy)
			}
		}
		return r, true
	})
	report(t, results)
}

func report(t *testing.T, results []trialResult) {
	t.Helper()
	var table strings.Builder
	var total tally
	byBin := make([]tally, len(bins))
	kinds := make(map[Kind][]tally)
	for _, r := range results {
		if r.size == 0 {
			continue
		}
		if kinds[r.kind] == nil {
			kinds[r.kind] = make([]tally, len(bins))
		}
		kinds[r.kind][bin(r.size)].addResult(r)
		byBin[bin(r.size)].addResult(r)
		if r.size >= 8 {
			total.addResult(r)
		}
		if r.text != "" && r.size >= 8 {
			t.Log(r.text)
		}
	}
	fmt.Fprintf(&table, "\nfirst in per cent / trials, by size in u\n%-28s%8s%8s%8s%8s%8s%8s\n", "kind", "3–5", "5–8", "8–16", "16–32", "32–100", "≥100")
	for _, k := range simulated {
		fmt.Fprintf(&table, "%-28v", k)
		found, large := 0, 0
		if row := kinds[k]; row != nil {
			for i, y := range row[:len(bins)-1] {
				fmt.Fprint(&table, y)
				if bins[i] >= 8 {
					found, large = found+y.first, large+y.n
				}
			}
		}
		if large > 0 && found == 0 {
			t.Errorf("%v is never the first cause, of %d of 8 u or more", k, large)
		}
		table.WriteByte('\n')
	}
	fmt.Fprintf(&table, "%-28v", "all")
	for _, y := range byBin[:len(bins)-1] {
		fmt.Fprint(&table, y)
	}
	first, three := 100*float64(total.first)/float64(total.n), 100*float64(total.three)/float64(total.n)
	fmt.Fprintf(&table, "\nfrom 8 u: first %.1f %%, in the first three %.1f %% of %d\n", first, three, total.n)
	t.Log(table.String())
	const least, leastInThree = 98.0, 99.5
	if first < least {
		t.Errorf("the true cause is first in %.1f %%; expected %g %% or more", first, least)
	}
	if three < leastInThree {
		t.Errorf("the true cause is in the first three in %.1f %%; expected %g %% or more", three, leastInThree)
	}
}
