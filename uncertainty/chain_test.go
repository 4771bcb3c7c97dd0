// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// FuzzModelChain takes a model through every evaluation and every file: nothing panics or
// is NaN beside no error, and a record that is read gives the same result again.
func FuzzModelChain(f *testing.F) {
	if text, err := os.ReadFile("testdata/substitution-10k.json"); err == nil {
		f.Add(string(text)) // a whole file
	}
	// No first order.
	f.Add(`{"formula":"a*b","inputs":[{"name":"a","distribution":"normal","estimate":0,"standardUncertainty":1},{"name":"b","distribution":"rectangular","estimate":0,"halfWidth":1}]}`)
	// A divisor near 0.
	f.Add(`{"formula":"exp(a)/b","inputs":[{"name":"a","distribution":"type A","observations":[1,2,4]},{"name":"b","distribution":"normal","estimate":1,"standardUncertainty":0.25}]}`)
	// A group.
	f.Add(`{"formula":"a","correlated":[{"names":["a"],"estimates":[1],"standardUncertainties":[1]}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		q, err := uncertainty.ReadModel(strings.NewReader(text))
		if err != nil {
			return
		}
		number := func(what string, v float64) {
			if math.IsNaN(v) {
				t.Errorf("%s is NaN", what)
			}
		}
		if b, err := uncertainty.Evaluate(q); err == nil {
			number("estimate", b.Estimate)
			number("standard uncertainty", b.StandardUncertainty)
			written(t, b)
			for _, p := range []float64{0.5, 0.95} {
				if i, err := b.BestInterval(p); err == nil {
					number("interval", i.Width())
				}
			}
			var out bytes.Buffer
			_ = b.WriteCSV(&out)
		}
		if s, err := uncertainty.SecondOrder(q); err == nil {
			written(t, s)
		}
		if s, err := (uncertainty.MonteCarlo{Trials: 2000, Seed: 3, Bins: 20}).Run(
			context.Background(), q); err == nil {
			written(t, s)
		}
		record, err := json.Marshal(uncertainty.Record{ID: "chain", Quantities: []uncertainty.Quantity{q}})
		if err != nil {
			return
		}
		var read uncertainty.Record
		if err := json.Unmarshal(record, &read); err != nil {
			t.Fatalf("%v: %s", err, record)
		}
		if got := read.Quantities[0]; got.String() != q.String() {
			t.Errorf("%v is written and read as %v", q, got)
		}
	})
}

// written is JSON that somebody can read.
func written(t *testing.T, v any) {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Errorf("%T: %v", v, err)
	}
	if !json.Valid(text) {
		t.Errorf("%T: no JSON: %s", v, text)
	}
}
