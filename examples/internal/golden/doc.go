// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package golden serves the tests of the examples: the whole output of a program is
// compared with a file. It writes the file anew when the test is run with -update:
//
//	go test ./examples/budget -update
//
// Read the difference before you commit it; a number that moved wants a reason.
package golden
