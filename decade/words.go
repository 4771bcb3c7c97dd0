// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import "example.com/ohmwright/uncertainty/file"

// The texts of the enumerations, in files and in reports alike.
var (
	levels = file.Words[Level]{Type: "decade.Level",
		Texts: []string{"per decade", "per element", "per box"}}
	targets = file.Words[Target]{Type: "decade.Target",
		Texts: []string{"usual value", "total at the terminals", "increment over zero"}}
	switchings = file.Words[Switching]{Type: "decade.Switching",
		Texts: []string{"make before break", "break before make"}}
	preferences = file.Words[Preference]{Type: "decade.Preference",
		Texts: []string{"highest dials", "fewest moves", "smallest uncertainty"}}
	measures = file.Words[Measure]{Type: "decade.Measure",
		Texts: []string{"of nominal", "of class"}}
)

// String returns "highest dials", "fewest moves" or "smallest uncertainty".
func (p Preference) String() string { return preferences.String(p) }

// String returns "of nominal" or "of class".
func (m Measure) String() string { return measures.String(m) }

// MarshalText returns the text of String.
func (l Level) MarshalText() ([]byte, error) { return levels.Marshal(l) }

// UnmarshalText reads what MarshalText writes.
func (l *Level) UnmarshalText(text []byte) error {
	return levels.Unmarshal(text, l)
}

// MarshalText returns the text of String.
func (t Target) MarshalText() ([]byte, error) { return targets.Marshal(t) }

// UnmarshalText reads what MarshalText writes.
func (t *Target) UnmarshalText(text []byte) error {
	return targets.Unmarshal(text, t)
}

// MarshalText returns the text of String.
func (p Preference) MarshalText() ([]byte, error) {
	return preferences.Marshal(p)
}

// UnmarshalText reads what MarshalText writes.
func (p *Preference) UnmarshalText(text []byte) error {
	return preferences.Unmarshal(text, p)
}

// MarshalText returns the text of String.
func (m Measure) MarshalText() ([]byte, error) { return measures.Marshal(m) }

// UnmarshalText reads what MarshalText writes.
func (m *Measure) UnmarshalText(text []byte) error {
	return measures.Unmarshal(text, m)
}

// MarshalText returns the text of String.
func (w Switching) MarshalText() ([]byte, error) { return switchings.Marshal(w) }

// UnmarshalText reads what MarshalText writes.
func (w *Switching) UnmarshalText(text []byte) error {
	return switchings.Unmarshal(text, w)
}
