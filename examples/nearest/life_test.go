// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io"
	"testing"

	"example.com/ohmwright/examples/internal/life"
)

// The steps of this program in the life of a box, as README shows them.
func TestLife(t *testing.T) {
	life.Check(t, "nearest", func(a []string, _ io.Reader, out io.Writer) error {
		return run(out, a)
	})
}
