// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package bits has a test alone: what the library promises to compute to the last bit on
// every processor is compared with testdata/bits.txt, which one processor wrote. The gates
// run it, and that of the file formats, on several. After a change that is meant:
//
//	go test ./examples/internal/bits -update
package bits
