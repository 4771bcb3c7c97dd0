// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network_test

import (
	"testing"

	"example.com/ohmwright/decade/internal/concurrent"
	"example.com/ohmwright/decade/network"
)

// Several goroutines use one value of each type at once: for the race detector.
func TestConcurrentUse(t *testing.T) {
	divider, err := network.NewDivider(2, 1000)
	if err != nil {
		t.Fatal(err)
	}
	methods := concurrent.Methods(t, []any{
		network.Bridge{A: 1000, B: 100, LimitA: 1e-3, LimitB: 1e-3}, divider,
		network.ConductanceBox{Steps: []float64{1e-3, 1e-4}, Tolerance: []float64{1e-3, 1e-3}},
		network.Transfer{1000, 1000.1, 999.9, 1000, 1000, 1000, 1000, 1000, 1000, 1000},
	}, []int{3, 7})
	if methods < 14 {
		t.Errorf("%d methods were called; expected 14 or more", methods)
	}
}
