// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"example.com/ohmwright/uncertainty/file"
)

// systems are the names of the gauge systems as the trade writes them.
var systems = file.Words[System]{Type: "wire.System", Texts: []string{"none", "AWG", "AWG B258",
	"SWG", "metric"}, First: 1}

// String returns "AWG", "AWG B258" (rounded diameters), "SWG" or "metric".
func (s System) String() string { return systems.String(s) }

// MarshalText returns the text of String; a value that is no system is an error.
func (s System) MarshalText() ([]byte, error) { return systems.Marshal(s) }

// UnmarshalText reads what MarshalText writes.
func (s *System) UnmarshalText(text []byte) error { return systems.Unmarshal(text, s) }
