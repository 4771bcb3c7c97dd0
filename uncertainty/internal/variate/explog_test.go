// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestPortableExpAndLog(t *testing.T) {
	g := rand.New(rand.NewPCG(1, 2))
	for range 100_000 {
		x := 700 * (2*g.Float64() - 1)
		if got, want := portableExp(x), math.Exp(x); math.Abs(got-want) > 1e-15*want {
			t.Fatalf("portableExp(%v) = %v, want %v", x, got, want)
		}
		y := math.Exp(x)
		if got, want := portableLog(y), math.Log(y); math.Abs(got-want) > 5e-16*math.Abs(want)+1e-16 {
			t.Fatalf("portableLog(%v) = %v, want %v", y, got, want)
		}
		y = 1 + 1e-3*(g.Float64()-0.5)
		if got, want := portableLog(y), math.Log(y); math.Abs(got-want) > 5e-16*math.Abs(want) {
			t.Fatalf("portableLog(%v) = %v, want %v", y, got, want)
		}
	}
	if portableExp(-1000) != 0 || !math.IsInf(portableExp(1000), 1) || portableExp(0) != 1 || portableLog(1) != 0 {
		t.Error("special values of portableExp or portableLog")
	}
}
