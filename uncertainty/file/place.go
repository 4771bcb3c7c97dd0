// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/unit"
)

// ErrSize is the cause of errors about files and lists that are too large.
var ErrSize = errors.New("too large")

// document is the text that is read, with what is needed to name places in it. It does not change.
// Offsets are bytes of data from 0; lines and columns are counted from them when an error is made.
type document struct {
	op    string // that reads, for errors
	data  []byte // one JSON value in UTF-8, without a byte-order mark
	lines bool   // whether the text is a whole file, so that its lines are those of the reader
}

// whole reads exactly one JSON value of at most limit bytes. The limit holds for what is read, so
// that a stream without end takes no more memory than a large file.
func whole(op string, r io.Reader, limit int64) (*document, error) {
	if r == nil {
		return nil, &unit.Error{Op: op, Err: unit.Errorf(unit.ErrNotStated, "no reader; expected "+
			"one of a JSON file")}
	}
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	switch {
	case err != nil:
		return nil, &unit.Error{Op: op, Err: err}
	case int64(len(data)) > limit:
		return nil, &unit.Error{Op: op, Err: unit.Errorf(ErrSize, "more than %d bytes; expected "+
			"a smaller file", limit)}
	}
	return checked(op, data, true)
}

// checked refuses what is no single JSON value. The whole text is parsed here once, so that all
// later readers know it to be well formed: their own errors are about keys and kinds of values.
func checked(op string, data []byte, lines bool) (*document, error) {
	if err := Foreign(data); err != nil {
		return nil, &unit.Error{Op: op, Err: err}
	}
	// The byte-order mark of some editors is no part of the text.
	d := &document{op, bytes.TrimPrefix(data, []byte("\ufeff")), lines}
	if len(bytes.TrimSpace(d.data)) == 0 {
		return nil, &unit.Error{Op: op, Err: unit.Errorf(unit.ErrSyntax, "empty file; expected a "+
			"JSON object")}
	}
	// The decoder would put the replacement character in its place, and say nothing.
	if !utf8.Valid(d.data) {
		at := 0
		for r, n := utf8.DecodeRune(d.data); r != utf8.RuneError || n > 1; {
			at += n
			r, n = utf8.DecodeRune(d.data[at:])
		}
		return nil, d.refuse(at, "", unit.Errorf(unit.ErrSyntax, "a byte %#02x that is not UTF-8; "+
			"expected UTF-8: save the file as UTF-8", d.data[at]))
	}
	var raw json.RawMessage
	err := json.Unmarshal(d.data, &raw)
	// The decoder counts the offset behind the character that it could not take.
	if at, ok := errors.AsType[*json.SyntaxError](err); ok {
		place, err := d.syntax(int(at.Offset)-1, err)
		return nil, d.refuse(place, "", err)
	}
	if err != nil {
		return nil, &unit.Error{Op: op, Err: unit.Errorf(unit.ErrSyntax, "%v; expected one JSON "+
			"object", err)}
	}
	return d, nil
}

// refuse makes the error about a field at an offset; a negative offset is none. Its Name is "line
// 3, column 14: decades[0].step", or the field alone where the text is part of a file; its Value
// is that of err.
func (d *document) refuse(offset int, field string, err error) error {
	if d == nil { // of an object that was not opened
		d = &document{}
	}
	name := field
	if d.lines && offset >= 0 {
		before := d.data[:min(offset, len(d.data))]
		begin := bytes.LastIndexByte(before, '\n') + 1
		name = fmt.Sprintf("line %d, column %d", bytes.Count(before, []byte("\n"))+1,
			// Columns count characters, as an editor does; Ω is one.
			utf8.RuneCount(before[begin:])+1)
		if field != "" {
			name += ": " + field
		}
	}
	e := &unit.Error{Op: d.op, Name: name, Err: err}
	if own, ok := errors.AsType[*unit.Error](err); ok {
		e.Value = own.Value
	}
	return e
}

// skipTo is the offset of the next text from offset that is no blank, comma or colon: a decoder
// stands behind the last token, and the text is known to be JSON, so that nothing else is between.
func (d *document) skipTo(offset int) int {
	for offset < len(d.data) && strings.IndexByte(" \t\r\n,:", d.data[offset]) >= 0 {
		offset++
	}
	return offset
}

// join is the name of a field within another, "decades[0].step"; outer is empty at the top.
func join(outer, key string) string {
	// A key of a thousand letters is no help in a message.
	key = unit.Shown(key)
	if outer == "" {
		return key
	}
	return outer + "." + key
}
