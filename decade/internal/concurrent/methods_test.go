// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package concurrent

import (
	"context"
	"io"
	"sync"
	"testing"
)

// calls counts how often each method of called was called.
type calls struct {
	mu sync.Mutex
	n  map[string]int
}

func (c *calls) called(method string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.n[method]++
}

type called struct{ *calls }

func (c called) Plain(context.Context, io.Writer)     { c.called("Plain") }
func (c called) Number(x float64, k int)              { c.called("Number") }
func (c called) At(positions ...int)                  { c.called("At") }
func (c called) Options(options ...func())            { c.called("Options") }
func (c called) Other(map[string]int)                 { c.called("Other") }
func (c called) LeftOut()                             { c.called("LeftOut") }
func (c called) Positions(x float64, positions []int) { c.called("Positions") }

// Every method is called once by each goroutine, but for those left out and those that take
// what cannot be made.
func TestMethods(t *testing.T) {
	c := &calls{n: make(map[string]int)}
	if n := Methods(t, []any{called{c}}, []int{1, 2}, "LeftOut"); n != 4 {
		t.Errorf("%d methods; expected 4", n)
	}
	for method, want := range map[string]int{"Plain": workers, "Number": workers, "At": workers,
		"Options": workers, "Other": 0, "LeftOut": 0, "Positions": 0} {
		if c.n[method] != want {
			t.Errorf("%s called %d times; expected %d", method, c.n[method], want)
		}
	}
}
