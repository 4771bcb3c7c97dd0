// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package network computes circuits that a decade box is part of, or that are built from
// decades in another way: a [Bridge] with the box as its adjustable arm, [Transfer] of a
// value by resistors in series and in parallel, a [Divider] made of decades, resistances in
// [Parallel] and a [ConductanceBox].
//
// Functions on numbers take and return ohms, volts and fractions; their twins on
// quantities, whose names end in Of, carry the uncertainty along.
//
// # Safety
//
// A bridge or divider heats its arms and the box: keep every arm within its rating (see
// [decade.Setting.MaxCurrent]), begin with the lowest supply, and disconnect it before
// you change the wiring. Local codes and licensed practice come first.
package network
