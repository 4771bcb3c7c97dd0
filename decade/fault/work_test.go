// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"errors"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// largestPiece is the work that is done between two looks at most, in multiplications. At
// several nanoseconds each this is below 20 ms.
const largestPiece = 4 * betweenLooks

// From the first circuit to the last pair the search asks whether to go on, and tells how far
// it is, after a bounded amount of work; and when it is told to stop, wherever that is, it does
// not do as much again. Work is counted, not time.
func TestLooks(t *testing.T) {
	d, stops := dials(0.0005, 1e5, 1e4, 1e3, 100, 10, 1), 4
	if !uncertaintytest.Long() {
		d, stops = d[:5], 2 // still more looks than are asked for
	}
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d})
	// Neither alone explains the readings, and both change the circuit.
	rs := noiseless(t, b,
		Fault{Kind: KindBridge, A: Place{PartTap, 1, 2}, B: Place{PartTap, 1, 7}, Value: 3e5},
		Fault{Kind: KindDialBridge, A: Place{PartTap, 2, 4}, B: Place{PartTap, 4, 6}, Value: 2e4})
	ev, err := gather(evaluated(t, b, rs))
	if err != nil {
		t.Fatal(err)
	}
	o := complete(t)
	run := func(stopAt int) (looks, most int, err error) {
		ctx, stop := context.WithCancel(t.Context())
		defer stop()
		told := 0
		w := newWork(ctx, func(int, int) { told++ })
		w.looked = func(since int) {
			looks++
			most = max(most, since)
			if looks == stopAt {
				stop()
			}
		}
		m := new(Circuit).modelOf(w, b, ev.settings, 0)
		_, err = o.diagnose(w, m, ev)
		if stopAt == 0 && told != looks {
			t.Errorf("%d looks, progress told %d times", looks, told)
		}
		return looks, max(most, w.since), err
	}
	looks, most, err := run(0)
	if err != nil || looks < 50 || most > largestPiece {
		t.Errorf("%d looks, %d multiplications between two of them, %v; want no more than %d", looks, most, err, largestPiece)
	}
	t.Logf("%d looks, largest piece %.2g of what is allowed", looks, float64(most)/largestPiece)
	for at := 1; at < looks; at += 1 + looks/stops {
		n, most, err := run(at)
		if !errors.Is(err, context.Canceled) || n > at+1 || most > largestPiece {
			t.Errorf("stopped at look %d: %v, %d looks, %d multiplications after it", at, err, n, most)
		}
	}
}
