// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package quantity turns a function of numbers that may refuse its arguments
// into a function of uncertain quantities, for the XOf twins of packages wire
// and winding.
package quantity
