// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import "strconv"

// Percent returns a probability in per cent, without the sign, to four significant digits, or to
// as many as keep one below 1 from 100: "95", "95.45", "99.9999". It is for coverage
// probabilities; those that are small keep their digits anyway.
func Percent(p float64) string {
	for digits := 4; digits < 17; digits++ {
		if text := strconv.FormatFloat(100*p, 'g', digits, 64); text != "100" || p == 1 {
			return text
		}
	}
	return strconv.FormatFloat(100*p, 'g', -1, 64)
}
