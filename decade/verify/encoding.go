// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"io"
	"unicode/utf16"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/file"
)

// Tables come out of spreadsheets and shells in UTF-8 and in UTF-16 of either order, with a mark in
// front or without. The first eight bytes decide: in UTF-16 the letters of a header have a zero
// byte beside them, which no table in UTF-8 has, and a workbook or a picture has a signature of its
// own. Encodings of one byte a letter cannot be told from each other, and are refused where the
// first letter that is not ASCII stands (lines.go).

// plainText returns a reader of the text in UTF-8. UTF-16, which spreadsheets export as
// "Unicode text" and some shells write into files, is converted; what is no text at all, such
// as a workbook, is refused by name.
func plainText(r io.Reader) (*bufio.Reader, error) {
	const size = 64 << 10
	in := bufio.NewReaderSize(r, size)
	begin, _ := in.Peek(8) // a short file is no error here
	order, marked := utf16Order(begin)
	if order == nil {
		// Not UTF-16: text in UTF-8, or no text at all.
		return in, file.Foreign(begin)
	}
	if marked {
		if _, err := in.Discard(2); err != nil {
			return nil, err
		}
	}
	return bufio.NewReaderSize(&utf16Reader{r: in, order: order}, size), nil
}

// utf16Order returns the order of the bytes of a UTF-16 text, nil of another; marked reports
// whether a byte-order mark stands in front.
func utf16Order(begin []byte) (order binary.ByteOrder, marked bool) {
	switch {
	case bytes.HasPrefix(begin, []byte("\xff\xfe")):
		return binary.LittleEndian, true
	case bytes.HasPrefix(begin, []byte("\xfe\xff")):
		return binary.BigEndian, true
	case len(begin) < 4:
	// Without a mark: letters of the head of a table have a zero byte, at one side or the other.
	case begin[0] != 0 && begin[1] == 0 && begin[2] != 0 && begin[3] == 0:
		return binary.LittleEndian, false
	case begin[0] == 0 && begin[1] != 0 && begin[2] == 0 && begin[3] != 0:
		return binary.BigEndian, false
	}
	return nil, false
}

// utf16Reader reads UTF-16 as UTF-8. Half a character becomes U+FFFD, which the lines of a
// table refuse.
type utf16Reader struct {
	r       *bufio.Reader
	order   binary.ByteOrder
	waiting []byte // read, and not yet handed out
	ahead   rune   // a code unit that was read behind half a character, else 0
	err     error
}

func (u *utf16Reader) Read(p []byte) (int, error) {
	for len(u.waiting) < len(p) && u.err == nil {
		r := u.unit()
		if u.err != nil {
			break
		}
		if utf16.IsSurrogate(r) {
			// Characters beyond the first plane are two code units (RFC 2781, 2.2).
			second := u.unit()
			both := utf16.DecodeRune(r, second)
			if both == utf8.RuneError {
				u.ahead = second
			}
			r = both
		}
		u.waiting = utf8.AppendRune(u.waiting, r)
	}
	n := copy(p, u.waiting)
	u.waiting = append(u.waiting[:0], u.waiting[n:]...)
	if n > 0 {
		return n, nil
	}
	return 0, u.err
}

// unit returns the next code unit, 0 at the end.
func (u *utf16Reader) unit() rune {
	if r := u.ahead; r != 0 {
		u.ahead = 0
		return r
	}
	var two [2]byte
	n, err := io.ReadFull(u.r, two[:])
	switch {
	case err == io.ErrUnexpectedEOF && n == 1:
		return utf8.RuneError // the next read ends
	case err != nil:
		u.err = err
		return 0
	}
	return rune(u.order.Uint16(two[:]))
}
