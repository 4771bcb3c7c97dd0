// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

// An Object is asked for its keys one by one, so that what is asked decides what is known: there
// is no second list of keys that could differ from the code. The price is that unknown keys are
// found at the end, by Close, when all questions have been asked.
//
// The first error wins and stops further reading, as in a bufio.Scanner: a reader of forty keys
// has no forty checks. A nil Object answers every question with "absent", so that a part that is
// missing or wrong needs no check either.

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// Object is one JSON object that is being read.
type Object struct {
	doc    *document        // the text, for places in it
	field  string           // "decades[2]"; empty: the whole file
	offset int              // in the file
	values map[string]value // of the keys that are there
	keys   []string         // in the order of the file
	known  []string         // asked for so far
	lacks  []string         // required and absent
	parts  []*Object        // opened from this one, closed with it
	err    error            // the first
}

// value is one entry of an object. Errors about the value name the place of the value, those about
// the key, unknown or doubled, that of the key.
type value struct {
	raw     json.RawMessage // as it stands in the file
	key, at int             // offsets of the key and of the value in the whole file
}

// Read reads exactly one JSON object of at most limit bytes. The errors of the object are
// those of the operation op: "decade.ReadBox". An error is a [*unit.Error]; its Name is line,
// column and field. Causes are [unit.ErrSyntax] (no JSON of the expected form, a doubled
// key), [unit.ErrUnknown] (a key), [unit.ErrNotStated], [ErrSize] and those of unit.Parse.
func Read(op string, r io.Reader, limit int64) (*Object, error) {
	d, err := whole(op, r, limit)
	if err != nil {
		return nil, err
	}
	return open(d, "", d.skipTo(0), d.data)
}

// Unmarshal is Read for the UnmarshalJSON of a type. Its text is a part of a file, so that
// errors name the field without line and column.
func Unmarshal(op string, text []byte) (*Object, error) {
	d, err := checked(op, text, false)
	if err != nil {
		return nil, err
	}
	return open(d, "", 0, d.data)
}

// open reads the object raw, which stands at an offset of the document, and keeps its values as
// they are: each is decoded when it is asked for, in the form that is asked for.
func open(doc *document, field string, offset int, raw json.RawMessage) (*Object, error) {
	o := &Object{doc: doc, field: field, offset: offset, values: make(map[string]value)}
	raw = bytes.TrimSpace(raw)
	d := json.NewDecoder(bytes.NewReader(raw))
	// Anything but an opening brace is no object.
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil, doc.refuse(offset, field,
			unit.Errorf(unit.ErrSyntax, "%s; expected a JSON object", unit.Shown(string(raw))))
	}
	// Pairs are read one by one: a map would keep the last of two equal keys.
	for d.More() {
		v := value{key: doc.skipTo(offset + int(d.InputOffset()))}
		t, err := d.Token()
		if err != nil {
			return nil, doc.refuse(v.key, field,
				unit.Errorf(unit.ErrSyntax, "%v; expected a JSON object", err))
		}
		key, _ := t.(string)
		v.at = doc.skipTo(offset + int(d.InputOffset()))
		if err := d.Decode(&v.raw); err != nil {
			return nil, doc.refuse(v.at, o.fieldName(key),
				unit.Errorf(unit.ErrSyntax, "%v; expected a JSON value", err))
		}
		if _, twice := o.values[key]; twice {
			return nil, doc.refuse(v.key, o.fieldName(key),
				unit.Errorf(unit.ErrSyntax, "key %s twice; expected once", unit.Quoted(key)))
		}
		o.values[key] = v
		o.keys = append(o.keys, key)
	}
	return o, nil
}

// fieldName is the name of a field in the whole file.
func (o *Object) fieldName(key string) string { return join(o.field, key) }

// Field returns the place of the object in the file, such as "decades[2]"; it is empty for the
// outermost object.
func (o *Object) Field() string { return cmp.Or(o, &Object{}).field }

// Fail records err as the error of the field key, unless the object has an error already.
// [Object.Close] returns it. An err that is a [*unit.Error] leaves its operation to that of the
// file.
func (o *Object) Fail(key string, err error) {
	o = cmp.Or(o, &Object{})
	// The first error is the one that explains the others.
	if o.err != nil || err == nil {
		return
	}
	offset := o.offset
	if v, ok := o.values[key]; ok {
		offset = v.at
	}
	o.err = o.doc.refuse(offset, o.fieldName(key), unit.Cause(err))
}

// Has reports whether the key is present.
func (o *Object) Has(key string) bool {
	o = cmp.Or(o, &Object{})
	_, ok := o.values[key]
	return ok
}

// Require makes [Object.Close] fail unless the key is present. The error names an unknown
// key instead where there is one, since that may be the required one, misspelled.
func (o *Object) Require(key string) {
	o = cmp.Or(o, &Object{})
	// A required key is not known yet: Close compares it with the unknown ones.
	if !o.Has(key) && !slices.Contains(o.lacks, key) {
		o.lacks = append(o.lacks, key)
	}
}

// take looks a key up and remembers that it is known. A null is refused. After an error it returns
// false for every key, so that values which nobody will use are not read, but keys still become
// known.
func (o *Object) take(key string) (json.RawMessage, bool) {
	// A key that was asked for is known, whether it is there or not.
	o = cmp.Or(o, &Object{})
	if !slices.Contains(o.known, key) {
		o.known = append(o.known, key)
	}
	v, ok := o.values[key]
	if !ok || o.err != nil {
		return nil, false
	}
	if string(v.raw) == "null" {
		o.Fail(key, unit.Errorf(unit.ErrSyntax, "null; expected a value, or leave the key out"))
		return nil, false
	}
	return v.raw, true
}

// IsText reports whether the value of a key is a string.
func (o *Object) IsText(key string) bool {
	o = cmp.Or(o, &Object{})
	raw := o.values[key].raw
	return len(raw) > 0 && raw[0] == '"'
}

// IsObject reports whether the value of a key is an object.
func (o *Object) IsObject(key string) bool {
	o = cmp.Or(o, &Object{})
	raw := o.values[key].raw
	return len(raw) > 0 && raw[0] == '{'
}

// Object opens the object under a key. It returns nil where the key is absent or its value is not
// an object. Closing the outer object closes this one too.
func (o *Object) Object(key string) *Object {
	raw, ok := o.take(key)
	if !ok {
		return nil
	}
	return o.part(key, o.values[key].at, raw)
}

// part opens an object inside this one; nil, with the error kept, where raw is none.
func (o *Object) part(name string, offset int, raw json.RawMessage) *Object {
	p, err := open(o.doc, o.fieldName(name), offset, raw)
	if err != nil {
		if o.err == nil {
			o.err = err
		}
		return nil
	}
	o.parts = append(o.parts, p)
	return p
}

// Objects opens the list of objects under a key. It returns nil where the key is absent or its
// value is no such list; more than most objects are an error ([ErrSize]).
func (o *Object) Objects(key string, most int) []*Object {
	var list []json.RawMessage
	if !scan(o, key, "a list of objects", &list) {
		return nil
	}
	if len(list) > most {
		o.Fail(key, unit.Errorf(ErrSize, "%d entries; expected at most %d", len(list), most))
		return nil
	}
	// Behind the opening bracket.
	offset := o.values[key].at + 1
	var parts []*Object
	for i, raw := range list {
		offset = o.doc.skipTo(offset)
		p := o.part(fmt.Sprintf("%s[%d]", key, i), offset, raw)
		if p == nil {
			return nil
		}
		parts = append(parts, p)
		// The entry itself has been passed; skipTo passes the comma.
		offset += len(raw)
	}
	return parts
}

// Close returns the first error of the object and of those opened from it: a wrong value,
// a key that nobody asked for, a required one that is absent.
func (o *Object) Close() error {
	o = cmp.Or(o, &Object{})
	if o.err != nil {
		return o.err
	}
	// In the order of the file.
	for _, key := range o.keys {
		if !slices.Contains(o.known, key) {
			return o.doc.refuse(o.values[key].key, o.fieldName(key),
				unknownKey(key, o.lacks, o.known))
		}
	}
	// After the unknown keys, one of which may be the missing one, misspelled.
	if len(o.lacks) > 0 {
		return o.doc.refuse(o.offset, o.fieldName(o.lacks[0]), unit.Errorf(unit.ErrNotStated,
			"missing; expected a value"))
	}
	for _, p := range o.parts {
		if err := p.Close(); err != nil {
			return err
		}
	}
	return nil
}

// unknownKey proposes a key that is required and absent before the others: with "stpe" given and
// "step" missing there is one mistake, not two.
func unknownKey(key string, lacks, known []string) error {
	if near := Near(key, lacks...); near != "" {
		return proposed("key", key, near)
	}
	return Unknown("key", key, known...)
}
