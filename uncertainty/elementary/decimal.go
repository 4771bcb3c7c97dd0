// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary

import (
	"math"
	"strconv"
	"strings"
)

// DecimalExponent returns the n with 10ⁿ ≤ |x| < 10ⁿ⁺¹: exactly, as the logarithm of a
// power of ten is not on every processor. It is 0 for 0, NaN and ±Inf.
func DecimalExponent(x float64) int {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	// The shortest decimal text has the exact exponent.
	_, digits, _ := strings.Cut(strconv.FormatFloat(x, 'e', -1, 64), "e")
	n, err := strconv.Atoi(digits)
	if err != nil {
		return 0
	}
	return n
}
