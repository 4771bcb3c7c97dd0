// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
)

// permutations calls visit with every order of the dials.
func permutations(dials []int, k int, visit func([]int)) {
	if k == len(dials) {
		visit(dials)
	}
	for i := k; i < len(dials); i++ {
		dials[k], dials[i] = dials[i], dials[k]
		permutations(dials, k+1, visit)
		dials[k], dials[i] = dials[i], dials[k]
	}
}

// worst of a passage, as TurnLeastLoaded compares: a short circuit is beyond every rating.
func worst(p *decade.Passage) (use, current float64) {
	use, current = p.Moments[p.Worst].Use, math.Abs(p.Moments[p.Highest].Current)
	if math.IsInf(current, 0) {
		use = math.Inf(1)
	}
	return use, current
}

// The order found is as good as the best of all orders, tried one by one.
func TestTurnLeastLoadedAgainstAllOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	box, err := decade.New(decade.Spec{Residual: 0.02, Decades: []decade.Decade{
		{Step: 1000, ElementPower: 0.5}, {Step: 100, ElementPower: 0.5, Code: decade.Code1242()},
		{Step: 10, ElementPower: 0.25}, {Step: 1, ElementPower: 1}, {Step: 0.1, ElementPower: 1},
	}})
	if err != nil {
		t.Fatal(err)
	}
	for range 60 {
		var from, to [5]int
		for i := range 5 {
			from[i], to[i] = rng.IntN(10), rng.IntN(10)
		}
		a, err := box.At(from[:]...)
		if err != nil {
			t.Fatal(err)
		}
		b, err := box.At(to[:]...)
		if err != nil {
			t.Fatal(err)
		}
		v := decade.Supply{Voltage: 5, Series: float64(rng.IntN(3)) * 20}
		w := decade.Switching(rng.IntN(2))
		found, err := a.TurnLeastLoaded(context.Background(), b, v, w)
		if err != nil {
			t.Fatal(err)
		}
		use, current := worst(found)
		leastUse, leastCurrent := math.Inf(1), math.Inf(1)
		permutations([]int{0, 1, 2, 3, 4}, 0, func(order []int) {
			p, err := a.Turn(b, v, w, order...)
			if err != nil {
				t.Fatal(err)
			}
			u, c := worst(p)
			if u < leastUse || u == leastUse && c < leastCurrent {
				leastUse, leastCurrent = u, c
			}
		})
		if use != leastUse || current != leastCurrent {
			t.Errorf("%v to %v, %v, %v: use %v, %v A; of all orders %v, %v A",
				a, b, v, w, use, current, leastUse, leastCurrent)
		}
	}
}

// Of two ranges on one switch the one that goes to zero is turned first in any case.
func TestTurnLeastLoadedSharedSwitch(t *testing.T) {
	box, err := decade.New(decade.Spec{Residual: 0.02, Decades: []decade.Decade{
		{Step: 100, ElementPower: 0.5, Switch: "A"}, {Step: 10, ElementPower: 0.5, Switch: "A"}, {Step: 1, ElementPower: 0.5},
	}})
	if err != nil {
		t.Fatal(err)
	}
	from, err := box.At(0, 5, 1)
	if err != nil {
		t.Fatal(err)
	}
	to, err := box.At(1, 0, 9)
	if err != nil {
		t.Fatal(err)
	}
	p, err := from.TurnLeastLoaded(context.Background(), to, decade.Supply{Voltage: 1, Series: 10},
		decade.SwitchingMakeBeforeBreak)
	if err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(p.Order) != "[2 1 0]" {
		t.Errorf("order %v; want the ones up first, then ×10 Ω off, then ×100 Ω on", p.Order)
	}
}

func TestTurnLeastLoadedRefuses(t *testing.T) {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 10, ElementPower: 0.5},
		{Step: 1, ElementPower: 0.5}}})
	if err != nil {
		t.Fatal(err)
	}
	from, err := box.At(1, 1)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	v := decade.Supply{Voltage: 1}
	if _, err := from.TurnLeastLoaded(ctx, box.Zero(), v,
		decade.SwitchingMakeBeforeBreak); !errors.Is(err, context.Canceled) {
		t.Errorf("%v; want %v", err, context.Canceled)
	}
	//lint:ignore SA1012 a nil context is none, as in other searches
	p, err := from.TurnLeastLoaded(nil, box.Zero(), v, decade.SwitchingMakeBeforeBreak)
	if err != nil || len(p.Order) != 2 {
		t.Errorf("without a context %v, %v; want both dials", p, err)
	}
	ctx = context.Background()
	if _, err := from.TurnLeastLoaded(ctx, decade.Setting{}, v,
		decade.SwitchingMakeBeforeBreak); !errors.Is(err, decade.ErrNoBox) {
		t.Errorf("%v; want %v", err, decade.ErrNoBox)
	}
	if _, err := from.TurnLeastLoaded(ctx, box.Zero(), decade.Supply{Voltage: math.NaN()},
		decade.SwitchingMakeBeforeBreak); !errors.Is(err, decade.ErrNotFinite) {
		t.Errorf("%v; want %v", err, decade.ErrNotFinite)
	}
	if _, err := from.TurnLeastLoaded(ctx, box.Zero(), v, 7); !errors.Is(err, decade.ErrDomain) {
		t.Errorf("%v; want %v", err, decade.ErrDomain)
	}
}

func ExampleSetting_TurnLeastLoaded() {
	box, err := decade.New(decade.Spec{Residual: 0.02, Decades: []decade.Decade{
		{Step: 1000, ElementPower: 0.5}, {Step: 100, ElementPower: 0.5}, {Step: 10, ElementPower: 0.5},
	}})
	if err != nil {
		log.Fatal(err)
	}
	from, err := box.SettingFor(1000)
	if err != nil {
		log.Fatal(err)
	}
	to, err := box.SettingFor(990)
	if err != nil {
		log.Fatal(err)
	}
	supply := decade.Supply{Voltage: 12, Series: 10}
	p, err := from.TurnLeastLoaded(context.Background(), to, supply, decade.SwitchingMakeBeforeBreak)
	if err != nil {
		log.Fatal(err)
	}
	worst := p.Moments[p.Worst]
	fmt.Printf("dials %v: at most %.0f %% of the rating of %s\n", p.Order, 100*worst.Use, worst.Limiting)
	// Output:
	// dials [2 1 0]: at most 28 % of the rating of ×1 kΩ element 1
}
