// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import "strconv"

// Counted returns the number n with the word that agrees with it, one for 1 and several for any
// other number: "1 row", "2 rows", or "1 conforms", "0 conform".
func Counted(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}
