// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package numbers refuses numbers that make no sense as an argument or in a file, in one
// wording for all packages of boxes. op is package and function, name the argument or the
// place in the file, symbol the unit behind the number in a message, with its blank.
//
// The first of several faults is reported: NaN is no negative number, and a negative one is not
// called a percentage.
package numbers
