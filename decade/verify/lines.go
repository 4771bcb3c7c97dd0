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

const (
	longestLine = 1 << 20 // bytes
	mostLines   = 1 << 20
)

// lines reads a text line by line within bounds, so that a file of the wrong kind
// cannot fill the memory.
type lines struct {
	r *bufio.Reader
	n int // lines read
}

// next returns the next line that is neither blank nor a comment (#), without its
// end, or io.EOF.
func (l *lines) next() (string, error) {
	for {
		line, err := l.read()
		if err != nil {
			return "", err
		}
		text := strings.TrimSpace(line)
		if text != "" && !strings.HasPrefix(text, "#") {
			return line, nil
		}
	}
}

func (l *lines) read() (string, error) {
	var line []byte
	for {
		part, err := l.r.ReadSlice('\n')
		line = append(line, part...)
		if len(line) > longestLine {
			return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n + 1), Value: float64(len(line)),
				Err: unit.Errorf(ErrTooLong, "more than %d bytes in one line; expected a table of readings", longestLine)}
		}
		if err == nil || errors.Is(err, io.EOF) && len(line) > 0 {
			break
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return "", err
		}
	}
	l.n++
	if l.n > mostLines {
		return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n), Value: float64(l.n),
			Err: unit.Errorf(ErrTooLong, "more than %d lines; expected a table of readings", mostLines)}
	}
	text := string(line)
	if l.n == 1 {
		if strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") {
			return "", &Error{Op: "verify.ReadReadings", Name: lineName(1),
				Err: unit.Errorf(ErrSyntax, "UTF-16 text; expected UTF-8: save the file as CSV UTF-8")}
		}
		text = strings.TrimPrefix(text, "\ufeff")
	}
	if !utf8.ValidString(text) {
		return "", &Error{Op: "verify.ReadReadings", Name: lineName(l.n),
			Err: unit.Errorf(ErrSyntax, "bytes that are not UTF-8; expected UTF-8 text: save the file as CSV UTF-8")}
	}
	return strings.TrimRight(text, "\r\n"), nil
}

// cells splits one line at a separator; quoted cells may contain it.
func cells(line string, separator rune) ([]string, error) {
	c := csv.NewReader(strings.NewReader(line))
	c.Comma = separator
	c.TrimLeadingSpace = separator != '\t'
	c.FieldsPerRecord = -1
	row, err := c.Read()
	if err != nil {
		if e, ok := errors.AsType[*csv.ParseError](err); ok {
			err = e.Err
		}
		return nil, unit.Errorf(ErrSyntax, "%v; expected cells separated by %q", err, separator)
	}
	for i, s := range row {
		row[i] = strings.TrimSpace(s)
	}
	return row, nil
}

// separator finds what separates the cells of the header: the most frequent of
// semicolon, tab and comma.
func separator(header string) rune {
	best, most := ',', 0
	for _, s := range ";\t," {
		if n := strings.Count(header, string(s)); n > most {
			best, most = s, n
		}
	}
	return best
}
