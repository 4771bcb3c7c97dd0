// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"fmt"
	"strings"
)

// refusals counts which limits stood in the way, for the error of [Choose].
type refusals struct {
	sizes, tooShort, tooLong, tooThin, tooHot, tooDense int
}

// pass reports whether c keeps the limits, and counts those that it breaks.
func (r *refusals) pass(c Choice, l Limits) bool {
	r.sizes++
	ok := true
	// A size may break several limits, each of which is counted.
	count := func(broken bool, n *int) {
		if broken {
			*n++
			ok = false
		}
	}
	count(c.Length < l.MinLength, &r.tooShort)
	count(l.MaxLength > 0 && c.Length > l.MaxLength, &r.tooLong)
	count(c.Gauge.Diameter() < l.MinDiameter, &r.tooThin)
	count(l.MaxLoading > 0 && c.Loading > l.MaxLoading, &r.tooHot)
	count(l.MaxCurrentDensity > 0 && c.CurrentDensity > l.MaxCurrentDensity, &r.tooDense)
	return ok
}

// text says which limits stood in the way of how many sizes.
func (r *refusals) text() string {
	// An unknown system has no sizes.
	if r.sizes == 0 {
		return "expected a gauge system: American, AmericanRounded, Imperial or MetricSizes"
	}
	var parts []string
	for _, p := range []struct {
		n    int
		what string
	}{
		{r.tooShort, "shorter than MinLength"}, {r.tooLong, "longer than MaxLength"}, {r.tooThin,
			"thinner than MinDiameter"},
		{r.tooHot, "above MaxLoading"}, {r.tooDense, "above MaxCurrentDensity"},
	} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.what))
		}
	}
	return fmt.Sprintf("expected limits that a size keeps; of %d sizes %s", r.sizes,
		strings.Join(parts, ", "))
}
