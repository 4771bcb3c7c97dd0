// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

import (
	"bytes"

	"example.com/ohmwright/uncertainty/unit"
)

// Foreign returns an error that names the format of a file which begins with these bytes and is
// not UTF-8 text, and says what to do about it: UTF-16, a packed or an old workbook, rich text,
// PDF, compressed data. It returns nil where the bytes may be the beginning of a text. The cause
// is [unit.ErrSyntax].
func Foreign(begin []byte) error {
	for _, f := range []struct{ begins, text string }{
		{"\xff\xfe", "UTF-16 text; expected UTF-8: save the file as UTF-8"},
		{"\xfe\xff", "UTF-16 text; expected UTF-8: save the file as UTF-8"},
		{"PK\x03\x04", "a workbook or another packed file; expected plain text: export it as CSV " +
			"UTF-8"},
		{"\xd0\xcf\x11\xe0", "a workbook or another packed file; expected plain text: export it " +
			"as CSV UTF-8"},
		{"{\\rtf", "rich text; expected plain text: save it as plain text, UTF-8"},
		{"%PDF", "a PDF document; expected plain text"},
		{"\x1f\x8b", "compressed data; expected plain text: unpack it"},
	} {
		if bytes.HasPrefix(begin, []byte(f.begins)) {
			return unit.Errorf(unit.ErrSyntax, "%s", f.text)
		}
	}
	// Latin letters in UTF-16 without a byte-order mark have a zero in every other byte, "{" is 7b
	// 00 or 00 7b. A text has no zero bytes at all in UTF-8. Four bytes, so that a single zero in
	// something else is not taken for it.
	zero := func(i int) bool { return begin[i] == 0 }
	if len(begin) >= 4 && zero(0) != zero(1) && zero(0) == zero(2) && zero(1) == zero(3) {
		return unit.Errorf(unit.ErrSyntax, "UTF-16 text; expected UTF-8: save the file as UTF-8")
	}
	return nil
}
