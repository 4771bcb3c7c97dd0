// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

// This file explains JSON that is none. The decoder of the standard library knows the first
// character that it could not take and a text about its state; whoever wrote the file knows a
// document. Between the two are the mistakes that people make, and where they are:
//
//	{"a": “x”}        typographic quotes: at the character
//	{"a": "x”, "b"    the text goes on to the next straight quote: before the character
//	{"a": 1,5}        a decimal comma: before the character
//	{"a": 1,}         a comma too many: before the character
//	{"a": 1 "b": 2}   a comma too few: at the character
//	{'a': 1}          single quotes: at the character
//	{"a": 1} // ohm   a comment: at the character
//
//	{"a": .5}         a number that JSON writes otherwise: at the character, +5 and 05 too
//	{"a": 12 mΩ}      a unit without quotes: at the character
//	{"a": yes}        a word without quotes: at the word
//
// What is none of these keeps the words of the decoder.

import (
	"bytes"
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/unit"
)

// typographic are the quotes that word processors and phones put in the place of straight ones.
const typographic = "“”„‟‘’‚«»"

// invisible are the blanks that JSON does not have: no-break, figure, thin, narrow and zero-width
// ones, and the byte-order mark. They come with text that was copied from a page.
const invisible = "\u00a0\u2007\u2009\u202f\u200b\ufeff"

// syntax says, in the words of a person with a file, what is wrong at an offset, and where. The
// offset that it gets is that of the character that the decoder could not take, err what it says;
// the one that it returns is that of the slip, which often is before it.
func (d *document) syntax(offset int, err error) (int, error) {
	offset = max(0, min(offset, len(d.data)))
	line := d.lineBefore(offset)
	r, _ := utf8.DecodeRune(d.data[offset:])
	switch {
	case strings.HasPrefix(err.Error(), "unexpected end"):
		// The last text of the file began with a straight quote and was to end with this one.
		if i := bytes.LastIndexAny(d.data, typographic); i > bytes.LastIndexByte(d.data, '"') {
			q, _ := utf8.DecodeRune(d.data[i:])
			return i, typographicQuotes(q)
		}
		return offset, unit.Errorf(unit.ErrSyntax, "unexpected end of the file; expected one "+
			"JSON object, with a } or ] for each that is open")
	// At the end, or in the middle of a character, nothing more is known.
	case offset == len(d.data) || r == utf8.RuneError:
	case strings.ContainsRune(typographic, r):
		return offset, typographicQuotes(r)
	// The line ended inside a text: was its closing quote a typographic one?
	case r == '\n' && strings.Contains(err.Error(), "string literal"):
		if i := bytes.LastIndexAny(line, typographic); i >= 0 {
			at := offset - len(line) + i
			q, _ := utf8.DecodeRune(d.data[at:])
			return at, typographicQuotes(q)
		}
		return offset, unit.Errorf(unit.ErrSyntax, "text without a closing quote; expected \" "+
			"before the end of the line")
	default:
		if place, slip := d.slip(offset, r, err); slip != nil {
			return place, slip
		}
	}
	// A text that begins with a straight quote and ends with a typographic one goes on to the
	// next straight quote, behind which the decoder stops.
	if i := bytes.LastIndexAny(line, "“”„‟"); i >= 0 && entryFollows(err) {
		at := offset - len(line) + i
		q, _ := utf8.DecodeRune(d.data[at:])
		return at, typographicQuotes(q)
	}
	if place, slip := d.wordOrNumber(offset, r, err.Error()); slip != nil {
		return place, slip
	}
	return offset, unit.Errorf(unit.ErrSyntax, "%v; expected one JSON object", err)
}

// wordOrNumber knows words without quotes, numbers that JSON writes otherwise, and what cannot
// stand in a text, by the character r at the offset and what the decoder says; nil where it is none
// of these.
func (d *document) wordOrNumber(offset int, r rune, says string) (int, error) {
	refuse := func(at int, format string, args ...any) (int, error) {
		return at, unit.Errorf(unit.ErrSyntax, format, args...)
	}
	// The word or number that the offset is part of.
	isPart := func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("_-+.%°", r)
	}
	before := d.data[:offset]
	start := offset - (len(before) - len(bytes.TrimRightFunc(before, isPart)))
	part := d.data[start:]
	word := unit.Shown(string(part[:len(part)-len(bytes.TrimLeftFunc(part, isPart))]))
	ended := strings.Contains(says, "top-level")
	switch {
	case strings.Contains(says, "string literal") && r < ' ':
		return refuse(offset, "a tab or another control character in a text; expected a blank")
	case strings.Contains(says, "string escape"):
		return refuse(offset, "a backslash before %q in a text; expected two backslashes, or none",
			r)
	case ended && start == offset:
		return refuse(offset, "%q after the end of the object; expected one JSON object "+
			"alone", r)
	case strings.Contains(says, "numeric literal") || strings.Contains(says, "exponent of"),
		r == '.' || r == '+', isDigit(r) && bytes.HasSuffix(before, []byte("0")):
		return refuse(start, "%s; expected a number such as 0.5, 12 or 1e-3, with a digit on both "+
			"sides of the point and no zeros or + in front", word)
	case ended, len(word) > 0 && !bytes.ContainsAny(before, "{["):
		return refuse(start, "%s; expected one JSON object, which begins with {", word)
	case entryFollows(errors.New(says)) && len(word) > 0:
		return refuse(offset, "%s after another entry; expected a comma between the two, or "+
			"quotes around a number and its unit: \"12 mΩ\"", word)
	case len(word) > 0:
		return refuse(start, "%s without quotes; expected a number, or a text in double quotes",
			word)
	}
	return offset, nil
}

// slip knows what people write otherwise than JSON wants it, by the character r at the offset and
// what stands before it; nil where it is none of these.
func (d *document) slip(offset int, r rune, err error) (int, error) {
	// What stands before the offset, without blanks: a comma there explains a bracket here.
	before := bytes.TrimRight(d.data[:offset], " \t\r\n")
	comma := bytes.HasSuffix(before, []byte(","))
	switch {
	case r == '\'':
		return offset, unit.Errorf(unit.ErrSyntax, "single quotes ('); expected double ones: \"")
	case strings.ContainsRune(invisible, r):
		return offset, unit.Errorf(unit.ErrSyntax, "an invisible character (%U, not a plain "+
			"blank); expected a blank", r)
	case (r == '}' || r == ']') && comma:
		return len(before) - 1, unit.Errorf(unit.ErrSyntax, "a comma before %q; expected none "+
			"after the last entry", r)
	// 1,5: the decoder took 1 for the number and stopped at the 5.
	case isDigit(r) && comma && endsInDigit(before[:len(before)-1]):
		return len(before) - 1, unit.Errorf(unit.ErrSyntax, "a comma within a number; expected "+
			"a decimal point")
	case r == '/' || r == '#':
		return offset, unit.Errorf(unit.ErrSyntax, "%q begins no value; expected JSON, which "+
			"has no comments", r)
	case (r == '"' || r == '{' || r == '[') && entryFollows(err):
		return offset, unit.Errorf(unit.ErrSyntax, "%q after another entry; expected a comma "+
			"between the two", r)
	}
	return offset, nil
}

// typographicQuotes is the refusal of one of them.
func typographicQuotes(q rune) error {
	return unit.Errorf(unit.ErrSyntax, "typographic quotes (%c); expected straight ones: \"", q)
}

// entryFollows reports whether the decoder says that an entry should have ended: "invalid character
// 'b' after object key:value pair", "after array element" and so on.
func entryFollows(err error) bool { return strings.Contains(err.Error(), " after ") }

// isDigit reports whether r is a decimal digit of ASCII, as JSON has them.
func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// endsInDigit reports whether a number may end where the text ends.
func endsInDigit(text []byte) bool {
	return len(text) > 0 && isDigit(rune(text[len(text)-1]))
}

// lineBefore is the text from the begin of the line to an offset.
func (d *document) lineBefore(offset int) []byte {
	before := d.data[:offset]
	return before[bytes.LastIndexByte(before, '\n')+1:]
}
