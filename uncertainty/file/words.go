// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

import (
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// Words are the texts of an enumeration of type T. Its methods are what String,
// MarshalText and UnmarshalText of the type need, so that a type states its texts once and its
// files, messages and errors agree. It is meant for a package variable that does not change.
type Words[T ~uint8] struct {
	Type  string   // "decade.Level", for errors
	Texts []string // by value
	First T        // values below have a text for people and are neither written nor read
}

// Has reports whether the value has a text.
func (w Words[T]) Has(v T) bool { return int(v) < len(w.Texts) }

// String returns the text of a value, or the name of the type and the number.
func (w Words[T]) String(v T) string {
	// A value without a text shows its number: String must not fail.
	if int(v) < len(w.Texts) {
		return w.Texts[v]
	}
	return fmt.Sprintf("%s(%d)", w.Type[strings.LastIndexByte(w.Type, '.')+1:], uint8(v))
}

// Marshal returns the text of a value; one that has none is an error ([unit.ErrDomain]).
func (w Words[T]) Marshal(v T) ([]byte, error) {
	// Values below First are for people, such as "no score".
	if v < w.First || int(v) >= len(w.Texts) {
		return nil, &unit.Error{Op: w.Type + ".MarshalText", Value: float64(v),
			Err: unit.Errorf(unit.ErrDomain, "%d; expected %d to %d", uint8(v), uint8(w.First),
				len(w.Texts)-1)}
	}
	return []byte(w.Texts[v]), nil
}

// Unmarshal reads the text of a value. Another text leaves *to as it is; the error proposes the
// nearest spelling or lists all texts ([unit.ErrUnknown]).
func (w Words[T]) Unmarshal(text []byte, to *T) error {
	v, err := w.Find(string(text))
	if err != nil {
		return &unit.Error{Op: w.Type + ".UnmarshalText", Value: string(text), Err: err}
	}
	if to == nil {
		return &unit.Error{Op: w.Type + ".UnmarshalText", Value: string(text),
			Err: unit.Errorf(unit.ErrNotStated, "nil; expected the address of a value")}
	}
	keep(to, v)
	return nil
}

// Find returns the value of a text, or the cause of an error; the error about the place is the
// caller's. Capitals count: a file has one spelling, and a near one is proposed.
func (w Words[T]) Find(text string) (T, error) {
	// Below First nothing is read.
	known := w.Texts[min(int(w.First), len(w.Texts)):]
	if i := slices.Index(known, text); i >= 0 {
		return w.First + T(i), nil
	}
	if near := Near(text, known...); near != "" {
		return 0, unit.Errorf(unit.ErrUnknown, "%s; did you mean %q?", unit.Quoted(text), near)
	}
	return 0, unit.Errorf(unit.ErrUnknown, "%s; expected one of %s", unit.Quoted(text),
		strings.Join(known, ", "))
}

// Read reads the text under a key of an object; where the key is absent *to stays.
func (w Words[T]) Read(o *Object, key string, to *T) bool {
	var text string
	if !o.Text(key, &text) {
		return false
	}
	v, err := w.Find(text)
	if err != nil {
		o.Fail(key, err)
		return false
	}
	keep(to, v)
	return true
}
