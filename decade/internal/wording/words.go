// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wording

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// Plural counts things in words, of which an s makes the plural: "1 setting", "2 settings".
func Plural(n int, thing string) string { return unit.Counted(n, thing, thing+"s") }

// Freedom counts degrees of freedom in words.
func Freedom(n int) string { return unit.Counted(n, "degree of freedom", "degrees of freedom") }

// List joins words.
func List(words []string) string { return strings.Join(words, ", ") }

// Short joins words, leaving out what would not be read: of more than eight the first seven and how
// many more there are, so that a line never stands for one word alone.
func Short(words []string) string {
	const most = 8
	if len(words) <= most {
		return List(words)
	}
	return List(slices.Concat(words[:most-1], []string{fmt.Sprintf("%d more", len(words)-most+1)}))
}

// Settings joins settings, leaving out what would not be read: six of a box with six
// dials fill a line.
func Settings(settings []decade.Setting) string {
	const most = 6
	words := make([]string, 0, most)
	for i, s := range settings {
		if i == most {
			return List(words) + " and " +
				unit.Counted(len(settings)-most, "more setting", "more settings")
		}
		words = append(words, s.String())
	}
	return List(words)
}

// Upper makes the first letter a capital; what begins with a sign, "×100", stays as it is.
func Upper(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[n:]
}

// Bullets writes a list of sentences for a screen.
func Bullets(s *strings.Builder, texts []string) {
	for _, text := range texts {
		s.WriteString(Wrap("  - ", text))
	}
}

// Wrap breaks a sentence into lines for a screen; later ones are indented under the
// first, which begins with the text given. A word longer than a line has one of its own, since a
// file name or a setting must stay whole. The result ends with a line break.
func Wrap(first, text string) string {
	const width = 100
	var lines []string
	var words []string   // of the current line
	length := len(first) // bytes for characters: what begins a line is ASCII
	for word := range strings.FieldsSeq(text) {
		n := 1 + len([]rune(word))
		if len(words) > 0 && length+n > width {
			lines = append(lines, strings.Join(words, " "))
			words, length = nil, len(first)
		}
		words = append(words, word)
		length += n
	}
	lines = append(lines, strings.Join(words, " "))
	return first + strings.Join(lines, "\n"+strings.Repeat(" ", len(first))) + "\n"
}
