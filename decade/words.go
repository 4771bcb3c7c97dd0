// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

var (
	switchings  = [...]string{"make before break", "break before make"}
	preferences = [...]string{"highest dials", "fewest moves", "smallest uncertainty"}
	measures    = [...]string{"of nominal", "of class"}
)

// String returns "highest dials", "fewest moves" or "smallest uncertainty".
func (p Preference) String() string { return wordOf(preferences[:], p, "unknown preference") }

// String returns "of nominal" or "of class".
func (m Measure) String() string { return wordOf(measures[:], m, "unknown measure") }

// MarshalText returns the text of String.
func (l Level) MarshalText() ([]byte, error) { return marshalWord("Level", levels[:], l) }

// UnmarshalText reads what MarshalText writes.
func (l *Level) UnmarshalText(text []byte) error {
	return unmarshalWord("Level", levels[:], text, l)
}

// MarshalText returns the text of String.
func (t Target) MarshalText() ([]byte, error) { return marshalWord("Target", targets[:], t) }

// UnmarshalText reads what MarshalText writes.
func (t *Target) UnmarshalText(text []byte) error {
	return unmarshalWord("Target", targets[:], text, t)
}

// MarshalText returns the text of String.
func (p Preference) MarshalText() ([]byte, error) {
	return marshalWord("Preference", preferences[:], p)
}

// UnmarshalText reads what MarshalText writes.
func (p *Preference) UnmarshalText(text []byte) error {
	return unmarshalWord("Preference", preferences[:], text, p)
}

// MarshalText returns the text of String.
func (m Measure) MarshalText() ([]byte, error) { return marshalWord("Measure", measures[:], m) }

// UnmarshalText reads what MarshalText writes.
func (m *Measure) UnmarshalText(text []byte) error {
	return unmarshalWord("Measure", measures[:], text, m)
}

// MarshalText returns the text of String.
func (w Switching) MarshalText() ([]byte, error) { return marshalWord("Switching", switchings[:], w) }

// UnmarshalText reads what MarshalText writes.
func (w *Switching) UnmarshalText(text []byte) error {
	return unmarshalWord("Switching", switchings[:], text, w)
}

func wordOf[T ~uint8](words []string, v T, unknown string) string {
	if int(v) < len(words) {
		return words[v]
	}
	return unknown
}

func marshalWord[T ~uint8](name string, words []string, v T) ([]byte, error) {
	if int(v) >= len(words) {
		return nil, &Error{Op: "decade." + name + ".MarshalText", Value: float64(v),
			Err: unit.Errorf(ErrDomain, "%d; expected 0 to %d", v, len(words)-1)}
	}
	return []byte(words[v]), nil
}

func unmarshalWord[T ~uint8](name string, words []string, text []byte, to *T) error {
	i := slices.Index(words, string(text))
	if i < 0 {
		return &Error{Op: "decade." + name + ".UnmarshalText",
			Err: unit.Errorf(ErrSyntax, "%s; expected one of %s", shortened(string(text)), strings.Join(words, ", "))}
	}
	*to = T(i)
	return nil
}
