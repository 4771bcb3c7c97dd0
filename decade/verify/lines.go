// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bufio"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/unit"
)

// The bounds of a table of readings: 64 MB are a million lines of 60 bytes. encoding/csv reads a
// record that a quote left open to the end of the file; here a cell ends with its line, so that
// such a slip is found where it is.
const (
	longestLine = 1 << 20 // bytes
	mostLines   = 1 << 20
	mostBytes   = 64 << 20
)

// lines reads a text line by line within bounds, so that a file of the wrong kind
// cannot fill the memory.
type lines struct {
	r       *bufio.Reader
	n       int      // lines read
	size    int      // bytes read
	waiting []string // lines of a file that ends them with a carriage return alone
}

// next returns the next line that is neither blank nor a comment (#), without its
// end, or io.EOF. The number of the line in the file is l.n then.
func (l *lines) next() (string, error) {
	for {
		line, err := l.read()
		if err != nil {
			return "", err
		}
		text := strings.TrimSpace(line)
		if text != "" && (text[0] != '#' || damagedComment(text)) {
			return line, nil
		}
	}
}

// damagedComment reports whether a line that begins with # was no comment before a
// spreadsheet put an error into its first cell.
func damagedComment(text string) bool {
	end := strings.IndexAny(text, ",;\t")
	return end > 0 && spreadsheetErrors.MatchString(text[:end])
}

// read returns the next line as it is, without its end. It refuses, with the number of the line,
// what is too long in a line or in all, and bytes that are no text.
func (l *lines) read() (string, error) {
	if len(l.waiting) > 0 {
		line := l.waiting[0]
		l.waiting = l.waiting[1:]
		l.n++
		return line, nil
	}
	var line []byte
	for {
		part, err := l.r.ReadSlice('\n')
		line = append(line, part...)
		if len(line) > longestLine {
			return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n + 1),
				Value: float64(len(line)),
				Err: unit.Errorf(ErrTooLong, "more than %d bytes in one line; expected a table "+
					"of readings", longestLine)}
		}
		if err == nil || errors.Is(err, io.EOF) && len(line) > 0 {
			break
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return "", err
		}
	}
	l.n++
	l.size += len(line)
	if l.size > mostBytes {
		return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n), Value: float64(l.size),
			Err: unit.Errorf(ErrTooLong, "more than %d bytes; expected a table of readings",
				mostBytes)}
	}
	if l.n > mostLines {
		return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n), Value: float64(l.n),
			Err: unit.Errorf(ErrTooLong, "more than %d lines; expected a table of readings",
				mostLines)}
	}
	text := string(line)
	if l.n == 1 {
		// A byte-order mark is no part of the first head.
		text = strings.TrimPrefix(text, "\ufeff")
	}
	if !utf8.ValidString(text) {
		return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n),
			Err: unit.Errorf(ErrSyntax, "bytes that are not UTF-8; expected UTF-8 text: save "+
				"the file as CSV UTF-8")}
	}
	if strings.ContainsRune(text, utf8.RuneError) {
		return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n),
			Err: unit.Errorf(ErrSyntax, "a letter that was lost on its way (\ufffd); expected "+
				"UTF-8 text: save the file as CSV UTF-8")}
	}
	text = strings.TrimRight(text, "\r\n")
	// Old files end lines with a carriage return alone, which the reader of lines does not know.
	if strings.Contains(text, "\r") {
		l.waiting = strings.Split(text, "\r")
		text, l.waiting = l.waiting[0], l.waiting[1:]
	}
	return text, nil
}

// cells splits one line at a separator; quoted cells may contain it. Blanks around a cell are no
// part of it. Lines may have different numbers of cells: an empty one at the end is often left
// out.
func cells(line string, separator rune) ([]string, error) {
	c := csv.NewReader(strings.NewReader(line))
	c.Comma = separator
	// A blank before a quote would make the quote a part of the cell; a tab is the separator
	// itself.
	c.TrimLeadingSpace = separator != '\t'
	c.FieldsPerRecord = -1
	row, err := c.Read()
	if err != nil {
		if e, ok := errors.AsType[*csv.ParseError](err); ok {
			err = e.Err
		}
		return nil, unit.Errorf(ErrSyntax, "%v; expected cells separated by %q, each within one "+
			"line", err, separator)
	}
	for i, s := range row {
		row[i] = strings.TrimSpace(s)
	}
	return row, nil
}

// separator finds what separates the cells of the header: the most frequent of
// semicolon, tab and comma. Of two as frequent it is the one first named; of none the comma, for a
// table of one column. The header decides, since values may have commas as decimal marks.
func separator(header string) rune {
	best, most := ',', 0
	for _, s := range ";\t," {
		if n := strings.Count(header, string(s)); n > most {
			best, most = s, n
		}
	}
	return best
}
