// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"testing"

	"gonum.org/v1/gonum/mathext"
)

// The nearest functions of the general library, to set the benchmarks of this package against.

func BenchmarkLibraryCompleteKE(b *testing.B) {
	m := 0.2
	for b.Loop() {
		_ = mathext.CompleteK(m)
		_ = mathext.CompleteE(m)
	}
}

func BenchmarkLibraryAiry(b *testing.B) {
	z := complex(3, 3)
	for b.Loop() {
		_ = mathext.AiryAi(z)
	}
}
