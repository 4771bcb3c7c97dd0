// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import "example.com/ohmwright/uncertainty/file"

// The texts of the enumerations, in files and in reports alike: element i of Texts is the text of
// value i. They are keys of the file format, so that a change of one makes files unreadable; what
// a person reads in other words is written where it is read.
var (
	kinds = file.Words[FindingKind]{Type: "verify.FindingKind", Texts: []string{
		"temperature", "contradiction", "unit lost", "swapped rows", "null", "negative",
		"open circuit", "step", "position", "scatter", "out of class",
	}}
	stages  = file.Words[Stage]{Type: "verify.Stage", Texts: []string{"as found", "as left"}}
	wirings = file.Words[Wiring]{Type: "verify.Wiring",
		Texts: []string{"not stated", "two-wire", "four-wire"}}
	nulls = file.Words[Null]{Type: "verify.Null",
		Texts: []string{"none", "leads joined", "box at zero"}}
	combinations = file.Words[Combination]{Type: "verify.Combination",
		Texts: []string{"one limit", "two limits", "independent"}}
	extents = file.Words[Extent]{Type: "verify.Extent",
		Texts: []string{"full", "minimal", "recommended"}}
)

// MarshalText returns the text of String.
func (k FindingKind) MarshalText() ([]byte, error) { return kinds.Marshal(k) }

// UnmarshalText reads what MarshalText writes.
func (k *FindingKind) UnmarshalText(text []byte) error {
	return kinds.Unmarshal(text, k)
}

// MarshalText returns the text of String.
func (s Stage) MarshalText() ([]byte, error) { return stages.Marshal(s) }

// UnmarshalText reads what MarshalText writes.
func (s *Stage) UnmarshalText(text []byte) error {
	return stages.Unmarshal(text, s)
}

// MarshalText returns the text of String.
func (w Wiring) MarshalText() ([]byte, error) { return wirings.Marshal(w) }

// UnmarshalText reads what MarshalText writes.
func (w *Wiring) UnmarshalText(text []byte) error {
	return wirings.Unmarshal(text, w)
}

// MarshalText returns the text of String.
func (n Null) MarshalText() ([]byte, error) { return nulls.Marshal(n) }

// UnmarshalText reads what MarshalText writes.
func (n *Null) UnmarshalText(text []byte) error { return nulls.Unmarshal(text, n) }

// MarshalText returns the text of String.
func (e Extent) MarshalText() ([]byte, error) { return extents.Marshal(e) }

// UnmarshalText reads what MarshalText writes.
func (e *Extent) UnmarshalText(text []byte) error {
	return extents.Unmarshal(text, e)
}

// MarshalText returns the text of String.
func (c Combination) MarshalText() ([]byte, error) { return combinations.Marshal(c) }

// UnmarshalText reads what MarshalText writes.
func (c *Combination) UnmarshalText(text []byte) error { return combinations.Unmarshal(text, c) }
