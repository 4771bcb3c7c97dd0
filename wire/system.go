// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"slices"
	"strconv"
	"strings"
)

// systems are the names of the gauge systems as the trade writes them.
var systems = [...]string{"none", "AWG", "AWG B258", "SWG", "metric"}

// String returns "AWG", "AWG B258" (rounded diameters), "SWG" or "metric".
func (s System) String() string {
	if int(s) < len(systems) {
		return systems[s]
	}
	return "system " + strconv.Itoa(int(s))
}

// MarshalText returns the text of String; a system that is none is an error.
func (s System) MarshalText() ([]byte, error) {
	if s == 0 || int(s) >= len(systems) {
		return nil, refuse("wire.System.MarshalText", "system", float64(s), ErrNoGauge, "expected one of the gauge systems")
	}
	return []byte(systems[s]), nil
}

// UnmarshalText reads what MarshalText writes.
func (s *System) UnmarshalText(text []byte) error {
	i := slices.Index(systems[:], string(text))
	if i < 1 {
		return refuse("wire.System.UnmarshalText", "system", string(text), ErrSyntax, "expected one of "+strings.Join(systems[1:], ", "))
	}
	*s = System(i)
	return nil
}
