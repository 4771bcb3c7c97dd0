// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"strconv"
	"strings"
)

// longestShown keeps long text out of messages, in bytes: a line of a terminal holds it twice.
const longestShown = 40

// Shown returns the text as a message shows it: cut behind 40 bytes, with … for what is left out.
func Shown(text string) string {
	head, rest := shown(text)
	return head + rest
}

// Quoted is [Shown] in quotes, with what is invisible in the text escaped.
func Quoted(text string) string {
	head, rest := shown(text)
	return strconv.Quote(head) + rest
}

// shown divides a text into what is shown of it and the mark of the rest. A cut inside a character
// drops the whole of it.
func shown(text string) (head, rest string) {
	if len(text) <= longestShown {
		return text, ""
	}
	return strings.ToValidUTF8(text[:longestShown], ""), "…"
}
