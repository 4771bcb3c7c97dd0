// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest

import "os"

// Long reports whether the environment variable OHMWRIGHT_LONG is set: then tests that
// simulate run in full and print their tables, which takes minutes. Without it they run
// in a short form that still fails when the code is wrong.
func Long() bool { return os.Getenv("OHMWRIGHT_LONG") != "" }

// Whole reports whether OHMWRIGHT_LONG is "whole": then the largest simulations, which the
// gates cut short, take all their trials, which can take hours.
func Whole() bool { return os.Getenv("OHMWRIGHT_LONG") == "whole" }
