// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package exports tests every exported function and method of the library with hostile
// arguments: numbers at the ends of float64, NaN, infinities, zero and nil values, texts
// that are none, and values that other functions returned. None of them may panic, return
// NaN beside a nil error, or take longer than ten seconds.
//
// The test reads the sources for what is exported, writes the list into a temporary file
// and runs itself with it; so a new function is among them without anybody's doing.
package exports
