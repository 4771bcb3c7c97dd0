// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

//go:build race

package fault

// raceDetector reports whether the tests run under the race detector, which is some ten
// times slower: the simulations are shortened then.
const raceDetector = true
