// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"slices"

	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

// MarshalText returns the text of String.
func (k FindingKind) MarshalText() ([]byte, error) { return marshalWord("FindingKind", kinds[:], k) }

// UnmarshalText reads what MarshalText writes.
func (k *FindingKind) UnmarshalText(text []byte) error {
	return unmarshalWord("FindingKind", kinds[:], text, k)
}

// MarshalText returns the text of String.
func (s Stage) MarshalText() ([]byte, error) { return marshalWord("Stage", stages[:], s) }

// UnmarshalText reads what MarshalText writes.
func (s *Stage) UnmarshalText(text []byte) error {
	return unmarshalWord("Stage", stages[:], text, s)
}

// MarshalText returns the text of String.
func (w Wiring) MarshalText() ([]byte, error) { return marshalWord("Wiring", wirings[:], w) }

// UnmarshalText reads what MarshalText writes.
func (w *Wiring) UnmarshalText(text []byte) error {
	return unmarshalWord("Wiring", wirings[:], text, w)
}

// MarshalText returns the text of String.
func (n Null) MarshalText() ([]byte, error) { return marshalWord("Null", nulls[:], n) }

// UnmarshalText reads what MarshalText writes.
func (n *Null) UnmarshalText(text []byte) error { return unmarshalWord("Null", nulls[:], text, n) }

// MarshalText returns the text of String.
func (e Extent) MarshalText() ([]byte, error) { return marshalWord("Extent", extents[:], e) }

// UnmarshalText reads what MarshalText writes.
func (e *Extent) UnmarshalText(text []byte) error {
	return unmarshalWord("Extent", extents[:], text, e)
}

func marshalWord[T ~uint8](name string, words []string, v T) ([]byte, error) {
	if int(v) >= len(words) {
		return nil, &Error{Op: "verify." + name + ".MarshalText", Value: float64(v),
			Err: unit.Errorf(ErrDomain, "%d; expected 0 to %d", v, len(words)-1)}
	}
	return []byte(words[v]), nil
}

func unmarshalWord[T ~uint8](name string, words []string, text []byte, to *T) error {
	i := slices.Index(words, string(text))
	if i < 0 {
		return &Error{Op: "verify." + name + ".UnmarshalText",
			Err: unit.Errorf(ErrUnknown, "%.40q; expected one of: %s", text, wording.List(words))}
	}
	*to = T(i)
	return nil
}
