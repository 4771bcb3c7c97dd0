// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package concurrent calls the methods of values from several goroutines at once, for tests
// under the race detector.
package concurrent
