// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

import (
	"encoding/json"

	"example.com/ohmwright/uncertainty/unit"
)

// scan reads a value of type T; expected is what the message says in its place. It reports whether
// the key was there and right, as all readers of a value do.
func scan[T any](o *Object, key, expected string, to *T) bool {
	raw, ok := o.take(key)
	if !ok {
		return false
	}
	// A wrong value leaves *to as it was.
	var v T
	if json.Unmarshal(raw, &v) != nil {
		o.Fail(key, unit.Errorf(unit.ErrSyntax, "%s; expected %s", unit.Shown(string(raw)),
			expected))
		return false
	}
	keep(to, v)
	return true
}

// keep stores what was read, unless a nil to asks only whether it is right.
func keep[T any](to *T, v T) {
	if to != nil {
		*to = v
	}
}

// Text reads a string. Like every method that stores a value in *to, it reports whether the key
// was present and its value right; otherwise *to keeps its value. With a nil to the value is
// checked and dropped.
func (o *Object) Text(key string, to *string) bool { return scan(o, key, "a string", to) }

// Texts reads a list of strings.
func (o *Object) Texts(key string, to *[]string) bool {
	return scan(o, key, "a list of strings", to)
}

// Bool reads true or false.
func (o *Object) Bool(key string, to *bool) bool { return scan(o, key, "true or false", to) }

// Whole reads a whole number.
func (o *Object) Whole(key string, to *int) bool {
	// 32 bits, so that a file means the same on every machine.
	var v int32
	ok := scan(o, key, "a whole number", &v)
	if ok {
		keep(to, int(v))
	}
	return ok
}

// Wholes reads a list of whole numbers.
func (o *Object) Wholes(key string, to *[]int) bool {
	return scan(o, key, "a list of whole numbers", to)
}

// WholeLists reads a list of lists of whole numbers.
func (o *Object) WholeLists(key string, to *[][]int) bool {
	return scan(o, key, "a list of lists of whole numbers", to)
}

// Quantity reads a number in the coherent unit, or a string with a unit.
func (o *Object) Quantity(key string, d unit.Dimension, to *float64) bool {
	raw, ok := o.take(key)
	if !ok {
		return false
	}
	v, err := number(raw, d)
	if err != nil {
		o.Fail(key, err)
		return false
	}
	keep(to, v)
	return true
}

// Optional reads a quantity that is a nil pointer where the key is absent.
func (o *Object) Optional(key string, d unit.Dimension, to **float64) bool {
	var v float64
	ok := o.Quantity(key, d, &v)
	if ok {
		keep(to, &v)
	}
	return ok
}

// number reads a number in the coherent unit, or a text with a unit of the dimension: 0.02 and
// "20 mΩ" are one resistance. Both are converted from their decimal digits and rounded once.
func number(raw json.RawMessage, d unit.Dimension) (float64, error) {
	switch {
	// A string may carry a unit.
	case len(raw) > 0 && raw[0] == '"':
		var text string
		if err := json.Unmarshal(raw, &text); err != nil {
			return 0, unit.Errorf(unit.ErrSyntax, "%s; expected a string", unit.Shown(string(raw)))
		}
		return unit.Parse(text, d)
	// From the text: what people wrote is rounded once.
	case len(raw) > 0 && (raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9'):
		return unit.ParseNumber(string(raw))
	}
	return 0, unit.Errorf(unit.ErrSyntax, "%s; expected a number in SI units, or a string with a "+
		"unit: %s", unit.Shown(string(raw)), d.Expected())
}
