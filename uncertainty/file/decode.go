// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

// Decode checks a document twice. A walker goes through the text token by token beside the type
// that it is decoded to: it knows where every key stands, which encoding/json does not tell, and
// refuses what that would let pass. Then encoding/json fills in the value. The walker refuses
//
//	{"stp": 1}             an unknown key, with the near spelling
//	{"Step": 1}            the key step in other letters
//	{"step": 1, "step": 2} a key twice, of which the second would count
//	{"step": null}         null, which would leave the field as it is
//	{"step": "1"}          a value of another kind, in words that name no Go type
//
// So each value is parsed several times. Files that people write are small, and a message that says
// what is wrong is worth more.

import (
	"bytes"
	"encoding"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strings"
	"time"

	"example.com/ohmwright/uncertainty/unit"
)

// Decode reads exactly one JSON value of at most limit bytes into v, as package
// encoding/json does with the tags of its fields, but as strictly as [Read], with the
// same errors. A null is taken for lists and maps only.
func Decode(op string, r io.Reader, limit int64, v any) error {
	_, err := DecodePlaces(op, r, limit, v)
	return err
}

// DecodePlaces is Decode for readers that check more: the places make errors with line and
// column of their own.
func DecodePlaces(op string, r io.Reader, limit int64, v any) (*Places, error) {
	d, err := whole(op, r, limit)
	if err == nil {
		err = d.decode(v)
	}
	if err != nil {
		return nil, err
	}
	return &Places{d}, nil
}

// Places holds the line and column of every field of a file. It keeps the text, not the places:
// they are found when an error asks for one.
type Places struct{ doc *document }

// Refuse returns the error about a field, "inputs[2].unit", with its line and column. What
// it wraps is err, or the cause of it where err is a [*unit.Error].
func (p *Places) Refuse(field string, err error) error {
	if p == nil || p.doc == nil {
		// A nil Places has no text to search.
		return (*document)(nil).refuse(-1, field, unit.Cause(err))
	}
	// The text is read once more up to the field: only errors need its place.
	w := walker{p.doc, json.NewDecoder(bytes.NewReader(p.doc.data))}
	return p.doc.refuse(w.offsetOf("", field), field, unit.Cause(err))
}

// offsetOf returns the offset of a field, "inputs[2].unit", within the next value, −1 where it is
// not there; at is the name of that value, empty for the whole. Every value before the field is
// passed over token by token.
func (w walker) offsetOf(at, field string) int {
	// A value ends here, or the field is found.
	offset := w.doc.skipTo(int(w.in.InputOffset()))
	token, err := w.in.Token()
	if err != nil || at == field {
		return offset
	}
	delim, ok := token.(json.Delim)
	if !ok {
		return -1
	}
	// Entries count from 0, as the path of a field does.
	for i := 0; w.in.More(); i++ {
		name := fmt.Sprintf("%s[%d]", at, i)
		if delim == '{' {
			key, err := w.in.Token()
			if err != nil {
				return -1
			}
			name = join(at, fmt.Sprint(key))
		}
		if found := w.offsetOf(name, field); found >= 0 {
			return found
		}
	}
	_, _ = w.in.Token() // the bracket
	return -1
}

// DecodePart is Decode for the UnmarshalJSON of a type. Its text is a part of a file, so
// that errors name the field without line and column.
func DecodePart(op string, text []byte, v any) error {
	d, err := checked(op, text, false)
	if err != nil {
		return err
	}
	return d.decode(v)
}

// decode checks keys and values, then lets encoding/json fill in what v points to. An error of the
// walker, as nearly all are, leaves *v as it was.
func (d *document) decode(v any) error {
	t := reflect.TypeOf(v)
	if t == nil || t.Kind() != reflect.Pointer || reflect.ValueOf(v).IsNil() {
		return &unit.Error{Op: d.op, Err: unit.Errorf(unit.ErrDomain, "%T to decode to; expected "+
			"a pointer", v)}
	}
	w := walker{d, json.NewDecoder(bytes.NewReader(d.data))}
	// Own checks first: encoding/json would accept unknown and doubled keys, and capitals for
	// small letters.
	if err := w.value("", t.Elem(), true); err != nil {
		return err
	}
	if err := json.Unmarshal(d.data, v); err != nil {
		return &unit.Error{Op: d.op, Err: unit.Errorf(unit.ErrSyntax, "%v; expected the keys of "+
			"the documentation", unit.WithoutOp(err))}
	}
	return nil
}

// walker checks the keys and values of a document against a type. The decoder stands before the
// value that is next; its offset, which may be before a comma or blanks, is the place in the text.
type walker struct {
	doc *document
	in  *json.Decoder // of doc.data, from its beginning
}

// Types that read themselves decide what they accept. A time does, too; its errors name a Go
// layout, for which plain has words of its own.
var (
	readsJSON = reflect.TypeFor[json.Unmarshaler]()
	readsText = reflect.TypeFor[encoding.TextUnmarshaler]()
	timeType  = reflect.TypeFor[time.Time]()
)

// value checks the next value, called field in errors, against type t. What the type reads itself
// is read on trial, except at the top, where the type may be what calls: an UnmarshalJSON that
// uses [DecodePart] would call itself without end.
func (w walker) value(field string, t reflect.Type, top bool) error {
	// A pointer marks what may be absent; its value is checked as that of its target.
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	at := w.doc.skipTo(int(w.in.InputOffset()))
	own := !top && (reflect.PointerTo(t).Implements(readsJSON) ||
		reflect.PointerTo(t).Implements(readsText))
	begin := byte(0)
	if at < len(w.doc.data) {
		begin = w.doc.data[at]
	}
	switch {
	case begin == '{' && !own && (t.Kind() == reflect.Struct || t.Kind() == reflect.Map):
		return w.object(field, t)
	case begin == '[' && !own && (t.Kind() == reflect.Slice || t.Kind() == reflect.Array):
		return w.list(field, t.Elem())
	}
	return w.plain(at, field, t, top, own)
}

// plain checks a value that is no struct, map or list to go into, or one that the type reads
// itself (own). It is read on trial into a new value, of which only the error is of interest. At
// is the offset of the value. A list where t is a struct comes here too, and is refused.
func (w walker) plain(at int, field string, t reflect.Type, top, own bool) error {
	refuse := func(format string, args ...any) error {
		return w.doc.refuse(at, field, unit.Errorf(unit.ErrSyntax, format, args...))
	}
	var raw json.RawMessage
	if err := w.in.Decode(&raw); err != nil {
		return refuse("%v; expected a JSON value", err)
	}
	// encoding/json takes null for "leave as it is", and would hide a missing figure.
	if string(raw) == "null" && (top || !nullable(t)) {
		if own {
			return refuse("null; expected a value")
		}
		return refuse("null; expected %s", expected(t))
	}
	// The standard library's own words for these two name types of Go.
	switch {
	case own && !reflect.PointerTo(t).Implements(readsJSON) && raw[0] != '"':
		return refuse("%s; expected a text", unit.Shown(string(raw)))
	case t == timeType && json.Unmarshal(raw, new(time.Time)) != nil:
		return refuse("%s; expected a time such as \"2026-03-02T14:06:00Z\"",
			unit.Shown(string(raw)))
	}
	err := json.Unmarshal(raw, reflect.New(t).Interface())
	switch {
	case err == nil:
		return nil
	case own:
		return w.doc.refuse(at, field, unit.Cause(err))
	}
	return refuse("%s; expected %s", unit.Shown(string(raw)), expected(t))
}

// nullable reports whether null has a meaning for a type: an empty list or map. Of a number or a
// text it would leave the value that was there before, most likely 0 or nothing.
func nullable(t reflect.Type) bool {
	return t.Kind() == reflect.Slice || t.Kind() == reflect.Map || t.Kind() == reflect.Interface
}

// expected says in words what JSON a type takes, for "…; expected a whole number". Structs, and
// whatever else is left, are objects.
func expected(t reflect.Type) string {
	switch k := t.Kind(); {
	case k == reflect.String:
		return "a string"
	case k == reflect.Bool:
		return "true or false"
	case k >= reflect.Int && k <= reflect.Uint64:
		return "a whole number"
	case k == reflect.Float64, k == reflect.Float32:
		return "a number"
	case k == reflect.Slice, k == reflect.Array:
		return "a list"
	}
	return "a JSON object"
}

// list checks the entries of a list, each against t. The opening bracket is the next token.
func (w walker) list(field string, t reflect.Type) error {
	begin := w.doc.skipTo(int(w.in.InputOffset()))
	if _, err := w.in.Token(); err != nil {
		return w.doc.refuse(-1, field, err)
	}
	for i := 0; w.in.More(); i++ {
		if err := w.value(fmt.Sprintf("%s[%d]", field, i), t, false); err != nil {
			return err
		}
	}
	if _, err := w.in.Token(); err != nil {
		return err
	}
	return w.doc.decimalCommas(t, begin, int(w.in.InputOffset()), field)
}

// object checks the keys of an object and their values: those of a struct must be fields of it,
// those of a map may be any. The opening brace is the next token.
func (w walker) object(field string, t reflect.Type) error {
	if _, err := w.in.Token(); err != nil {
		return w.doc.refuse(-1, field, err)
	}
	var fields map[string]reflect.Type
	if t.Kind() == reflect.Struct {
		fields = fieldsOf(t)
	}
	seen := make(map[string]bool)
	// In the order of the file, so that the first mistake is reported.
	for w.in.More() {
		at := w.doc.skipTo(int(w.in.InputOffset()))
		token, err := w.in.Token()
		if err != nil {
			return w.doc.refuse(at, field, err)
		}
		// The decoder delivers nothing but strings as keys.
		key, _ := token.(string)
		of, ok := fields[key]
		switch {
		case seen[key]:
			return w.doc.refuse(at, join(field, key),
				unit.Errorf(unit.ErrSyntax, "key %s twice; expected once", unit.Quoted(key)))
		case fields == nil:
			of = t.Elem()
		case !ok:
			return w.doc.refuse(at, join(field, key),
				unknownKey(key, nil, slices.Sorted(maps.Keys(fields))))
		}
		seen[key] = true
		if err := w.value(join(field, key), of, false); err != nil {
			return err
		}
	}
	_, err := w.in.Token()
	return err
}

// fieldsOf lists the keys of a struct with the types of their values, by the rules of
// encoding/json: the name in the tag, or that of the field; "-" and unexported fields are none.
func fieldsOf(t reflect.Type) map[string]reflect.Type {
	fields := make(map[string]reflect.Type)
	// Fields of embedded structs are keys of the outer object.
	for _, f := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "", !f.IsExported(), f.Tag.Get("json") == "-":
		case name == "":
			fields[f.Name] = f.Type
		default:
			fields[name] = f.Type
		}
	}
	return fields
}
