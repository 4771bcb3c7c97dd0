// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

// [1,25, 1,26] is a list of four numbers to JSON, and of two to somebody who writes decimal commas.
// Nobody can tell the two apart in general, but most people put a blank behind the commas between
// entries, and none inside a number: where both kinds stand in one list, those without a blank are
// most likely decimal commas, and the list is refused.

import (
	"reflect"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// decimalCommas refuses a list of numbers, whose text is that of the document from begin to end,
// that has commas of both kinds so that those without a blank may be decimal commas: between
// digits, one to a number, and either all numbers are such pairs, or one has a decimal point. t is
// the type of an entry: lists of whole numbers have no decimals.
func (d *document) decimalCommas(t reflect.Type, begin, end int, field string) error {
	if k := t.Kind(); k != reflect.Float64 && !reflect.PointerTo(t).Implements(readsJSON) {
		return nil
	}
	text := string(d.data[begin:end])
	if strings.ContainsAny(text[1:], "\"[{") {
		return nil // no plain numbers
	}
	entries := strings.Split(text[1:len(text)-1], ",")
	tight := func(i int) bool { // whether entry i follows its comma without a blank
		return i > 0 && i < len(entries) && strings.IndexAny(entries[i], " \t\r\n") != 0
	}
	first, pairs := -1, 0
	at := begin
	for i, entry := range entries {
		if tight(i) {
			if !digits(entries[i-1]) || !digits(entry) || entry[0] == '-' || tight(i-1) ||
				tight(i+1) {
				return nil // 1,2,3 or 1.5,2: commas without blanks by habit
			}
			if pairs++; first < 0 {
				first = at
			}
		}
		at += len(entry) + 1
	}
	both := pairs > 0 && pairs < len(entries)-1
	if !both || 2*pairs < len(entries) && !strings.Contains(text, ".") {
		return nil
	}
	return d.refuse(first, field, unit.Errorf(unit.ErrSyntax, "a comma without a blank behind it, "+
		"beside others with one, which may be a decimal comma; expected a decimal point, 1.5, or "+
		"a blank behind each comma"))
}

// digits reports whether an entry is a whole number, without an exponent.
func digits(entry string) bool {
	number := strings.TrimPrefix(strings.TrimSpace(entry), "-")
	return number != "" && strings.Trim(number, "0123456789") == ""
}
