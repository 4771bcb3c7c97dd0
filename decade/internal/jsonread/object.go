// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package jsonread

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// The causes of a refusal, for errors.Is; those of package si come on top.
var (
	ErrSyntax  = errors.New("not JSON of the expected form")
	ErrKey     = errors.New("unknown or doubled key")
	ErrMissing = errors.New("missing")
	ErrSize    = errors.New("too large")
)

// Error names the field and what is wrong with it.
type Error struct {
	Field string // "decades[2].step"; empty: the whole file
	Err   error
}

func (e *Error) Error() string {
	if e.Field == "" {
		return e.Err.Error()
	}
	return e.Field + ": " + e.Err.Error()
}

func (e *Error) Unwrap() error { return e.Err }

type cause struct {
	sentinel error
	text     string
}

func (c *cause) Error() string { return c.text }
func (c *cause) Unwrap() error { return c.sentinel }

func because(sentinel error, format string, args ...any) error {
	return &cause{sentinel, fmt.Sprintf(format, args...)}
}

// Object is one JSON object that is being read.
type Object struct {
	field  string
	values map[string]json.RawMessage
	keys   []string // in the order of the file
	known  []string // asked for so far
	parts  []*Object
	err    error
}

// Read reads exactly one JSON object of at most limit bytes.
func Read(r io.Reader, limit int64) (*Object, error) {
	if r == nil {
		return nil, &Error{"", because(ErrMissing, "no reader; expected a JSON object")}
	}
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	switch {
	case err != nil:
		return nil, &Error{"", err}
	case int64(len(data)) > limit:
		return nil, &Error{"", because(ErrSize, "more than %d bytes; expected a smaller file", limit)}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, &Error{"", because(ErrSyntax, "empty file; expected a JSON object")}
	}
	var whole json.RawMessage
	if err := json.Unmarshal(data, &whole); err != nil {
		return nil, &Error{"", because(ErrSyntax, "%s%v; expected one JSON object", place(data, err), err)}
	}
	return open("", whole)
}

// place gives line and column of a syntax error.
func place(data []byte, err error) string {
	at, ok := errors.AsType[*json.SyntaxError](err)
	if !ok {
		return ""
	}
	before := data[:max(0, min(int(at.Offset)-1, len(data)))]
	line := bytes.Count(before, []byte("\n"))
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return fmt.Sprintf("line %d, column %d: ", line+1, column)
}

func open(field string, raw json.RawMessage) (*Object, error) {
	o := &Object{field: field, values: make(map[string]json.RawMessage)}
	d := json.NewDecoder(bytes.NewReader(raw))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil, &Error{field, because(ErrSyntax, "%s; expected a JSON object", shown(raw))}
	}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return nil, &Error{field, because(ErrSyntax, "%v; expected a JSON object", err)}
		}
		key, _ := t.(string)
		var v json.RawMessage
		if err := d.Decode(&v); err != nil {
			return nil, &Error{o.at(key), because(ErrSyntax, "%v; expected a JSON value", err)}
		}
		if _, twice := o.values[key]; twice {
			return nil, &Error{o.at(key), because(ErrKey, "key %s twice; expected it once", quoted(key))}
		}
		o.values[key] = v
		o.keys = append(o.keys, key)
	}
	return o, nil
}

// quoted keeps long text out of messages.
func quoted(s string) string {
	if len(s) > 40 {
		return strconv.Quote(strings.ToValidUTF8(s[:40], "")) + "…"
	}
	return strconv.Quote(s)
}

func shown(raw json.RawMessage) string {
	if len(raw) > 40 {
		return strings.ToValidUTF8(string(raw[:40]), "") + "…"
	}
	return string(raw)
}

func (o *Object) at(key string) string {
	if len(key) > 40 {
		key = strings.ToValidUTF8(key[:40], "") + "…"
	}
	if o.field == "" {
		return key
	}
	return o.field + "." + key
}

// Field is the place of the object in the file, empty for the whole.
func (o *Object) Field() string { return o.field }

// Fail records err as that of a field, if it is the first.
func (o *Object) Fail(key string, err error) {
	if o.err == nil && err != nil {
		o.err = &Error{o.at(key), err}
	}
}

// Has tells whether the key is present.
func (o *Object) Has(key string) bool {
	_, ok := o.values[key]
	return ok
}

// take looks a key up and remembers that it is known. A null is refused.
func (o *Object) take(key string) (json.RawMessage, bool) {
	o.known = append(o.known, key)
	raw, ok := o.values[key]
	if !ok || o.err != nil {
		return nil, false
	}
	if string(raw) == "null" {
		o.Fail(key, because(ErrSyntax, "null; expected a value, or leave the key out"))
		return nil, false
	}
	return raw, true
}

// Require fails unless the key is present.
func (o *Object) Require(key string) {
	if !o.Has(key) {
		o.Fail(key, because(ErrMissing, "missing; expected a value"))
	}
}

func scan[T any](o *Object, key, expected string, to *T) bool {
	raw, ok := o.take(key)
	if !ok {
		return false
	}
	var v T
	if json.Unmarshal(raw, &v) != nil {
		o.Fail(key, because(ErrSyntax, "%s; expected %s", shown(raw), expected))
		return false
	}
	*to = v
	return true
}

// Text reads a string; where the key is absent *to stays, as with all methods below.
func (o *Object) Text(key string, to *string) bool { return scan(o, key, "a string", to) }

// Bool reads true or false.
func (o *Object) Bool(key string, to *bool) bool { return scan(o, key, "true or false", to) }

// Whole reads a whole number.
func (o *Object) Whole(key string, to *int) bool {
	var v int32
	ok := scan(o, key, "a whole number", &v)
	if ok {
		*to = int(v)
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
	*to = v
	return true
}

// Optional reads a quantity that is a nil pointer where the key is absent.
func (o *Object) Optional(key string, d unit.Dimension, to **float64) bool {
	var v float64
	ok := o.Quantity(key, d, &v)
	if ok {
		*to = &v
	}
	return ok
}

func number(raw json.RawMessage, d unit.Dimension) (float64, error) {
	switch {
	case len(raw) > 0 && raw[0] == '"':
		var text string
		if err := json.Unmarshal(raw, &text); err != nil {
			return 0, because(ErrSyntax, "%s; expected a string", shown(raw))
		}
		v, err := unit.Parse(text, d)
		return v, unit.Cause(err)
	case len(raw) > 0 && (raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9'):
		v, err := unit.ParseNumber(string(raw))
		return v, unit.Cause(err)
	}
	return 0, because(ErrSyntax, "%s; expected a number in SI units, or a string with a unit: %s", shown(raw), d.Expected())
}

// IsText tells whether the value of a key is a string.
func (o *Object) IsText(key string) bool {
	raw := o.values[key]
	return len(raw) > 0 && raw[0] == '"'
}

// Object opens the object under a key; nil where the key is absent or wrong. Close of
// the outer object closes it too.
func (o *Object) Object(key string) *Object {
	raw, ok := o.take(key)
	if !ok {
		return nil
	}
	return o.part(key, raw)
}

func (o *Object) part(key string, raw json.RawMessage) *Object {
	p, err := open(o.at(key), raw)
	if err != nil {
		if o.err == nil {
			o.err = err
		}
		return nil
	}
	o.parts = append(o.parts, p)
	return p
}

// Objects opens the list of at most so many objects under a key.
func (o *Object) Objects(key string, most int) []*Object {
	var list []json.RawMessage
	if !scan(o, key, "a list of objects", &list) {
		return nil
	}
	if len(list) > most {
		o.Fail(key, because(ErrSize, "%d entries; expected at most %d", len(list), most))
		return nil
	}
	var parts []*Object
	for i, raw := range list {
		p := o.part(fmt.Sprintf("%s[%d]", key, i), raw)
		if p == nil {
			return nil
		}
		parts = append(parts, p)
	}
	return parts
}

// Close returns the first error of the object and of those opened from it, or one that
// names the first key that nobody asked for.
func (o *Object) Close() error {
	if o.err != nil {
		return o.err
	}
	for _, key := range o.keys {
		if !slices.Contains(o.known, key) {
			return &Error{o.at(key), because(ErrKey, "unknown key %s; expected one of %s", quoted(key), strings.Join(o.known, ", "))}
		}
	}
	for _, p := range o.parts {
		if err := p.Close(); err != nil {
			return err
		}
	}
	return nil
}
