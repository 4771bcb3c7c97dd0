// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"errors"
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

// Whatever the seed, the lesson ends at the element that was put in.
func TestDemonstration(t *testing.T) {
	for seed := range uint64(5) {
		var out strings.Builder
		if err := run(t.Context(), seed, &out); err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"Element 7 of ×100 Ω, between positions 6 and 7, is high by 1.", "It shows at", "Open the box and look at element 7", "What was put in: drifted element, element 7 of ×100 Ω"} {
			if !strings.Contains(strings.Join(strings.Fields(out.String()), " "), want) {
				t.Errorf("seed %d does not say %q:\n%s", seed, want, out.String())
			}
		}
		if n := strings.Count(out.String(), ", nominal"); n > 12 {
			t.Errorf("seed %d: %d readings; expected 12 or fewer", seed, n)
		}
	}
}

// The output of one seed in full.
func TestOutput(t *testing.T) {
	var out strings.Builder
	if err := run(t.Context(), 1, &out); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
}

func TestEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := run(ctx, 1, new(strings.Builder)); !errors.Is(err, context.Canceled) {
		t.Errorf("ended context: %v", err)
	}
}
