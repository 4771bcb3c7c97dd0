// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import "strconv"

// Counted says how many there are of a thing, "1 row", "2 rows", or what so many do,
// "1 conforms", "0 conform".
func Counted(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}
