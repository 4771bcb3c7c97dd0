// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

// This file finds the known name that a misspelled one was meant to be. The measure is the number
// of single changes between the two (optimal string alignment: a letter left out, added or
// replaced, or two neighbours exchanged, no part changed twice), by the usual table of prefixes
//
//	d[i][j] = least of d[i-1][j] + 1, d[i][j-1] + 1, d[i-1][j-1] + (a_i ≠ b_j),
//	          and d[i-2][j-2] + 1 where a_(i-1)a_i = b_j·b_(j-1),
//
// of which three rows are kept. That costs the product of the lengths for each known name; two
// tests that need no table, of lengths and of letters, reject most of them first. All arrays are of
// fixed length, so that nothing is allocated.

import (
	"math/bits"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/unit"
)

const (
	longestName = 64 // letters of a name for which a near one is looked for
	mostListed  = 30 // names that an error lists
)

// Near returns the known name that is spelled nearly like the given one, or an empty string where
// there is none: at most one letter in four may be left out, added, replaced or exchanged with
// its neighbour, one in a name of three, and never more than three. Capitals count as small
// letters. Where two names are equally near, the result is empty.
func Near(given string, known ...string) string {
	var want, have spelling
	if !want.set(given, longestName) || want.n == 0 {
		return ""
	}
	// One letter in four, but in a short name not so many that another word would do.
	most := min(max(1, want.n/4), (want.n-1)/2, 3)
	best, tie := "", false
	for _, name := range known {
		// The cheap tests first: lengths, then which letters there are.
		if len(name) < want.n-most || !have.set(name, min(want.n+most, longestName)) ||
			!want.may(&have, most) {
			continue
		}
		d := distance(want.letters[:want.n], have.letters[:have.n], most)
		switch {
		case d == 0:
			return name
		// A nearer name takes the place of others; from now on only as near ones count.
		case d < most || d == most && best == "":
			best, most, tie = name, d, false
		case d == most && name != best:
			tie = true
		}
	}
	if tie {
		return ""
	}
	return best
}

// spelling is a name in small letters, and which letters there are, by their last six bits: "a" to
// "z" have 26 different ones, other letters share them.
type spelling struct {
	letters [longestName]rune
	n       int    // of them
	set64   uint64 // a bit for each letter that occurs
}

// set takes a name over, and reports whether it has no more letters than most.
func (s *spelling) set(name string, most int) bool {
	s.n, s.set64 = 0, 0
	for _, r := range name {
		if s.n == most {
			return false
		}
		// Nearly all names are ASCII, for which ToLower would be slow.
		if r >= 'A' && r <= 'Z' {
			r += 'a' - 'A'
		} else if r >= utf8.RuneSelf {
			r = unicode.ToLower(r)
		}
		s.letters[s.n] = r
		s.n++
		// One bit for each letter; two letters on one bit only let a name pass to the exact
		// count.
		s.set64 |= 1 << (r & 63)
	}
	return true
}

// may reports whether so few changes could do: each takes at most one letter away from one
// of the names, so that more letters than that in one name and not in the other are too many.
// "tolerance" has o, l, n and c, which "temperature" has not: four changes at least.
func (s *spelling) may(t *spelling, most int) bool {
	return s.n-t.n <= most && bits.OnesCount64(s.set64&^t.set64) <= most &&
		bits.OnesCount64(t.set64&^s.set64) <= most
}

// distance counts the letters of a and b that are left out, added, replaced or exchanged
// with their neighbour (optimal string alignment); above most it may be any larger number. Neither
// has more than longestName letters. Before, last and row are d[i-1], d[i] and d[i+1] where the
// loop is at letter i, from 0, of a.
func distance(a, b []rune, most int) int {
	if max(len(a)-len(b), len(b)-len(a)) > most {
		return most + 1
	}
	var rows [3][longestName + 1]int
	before, last, row := &rows[0], &rows[1], &rows[2]
	// From nothing to the first j letters: j added.
	for j := range len(b) + 1 {
		last[j] = j
	}
	for i, x := range a {
		row[0] = i + 1
		least := row[0]
		for j, y := range b {
			d := last[j]
			if x != y {
				d++
			}
			d = min(d, last[j+1]+1, row[j]+1)
			// Two neighbours exchanged count once.
			if i > 0 && j > 0 && x == b[j-1] && a[i-1] == y {
				d = min(d, before[j-1]+1)
			}
			row[j+1] = d
			least = min(least, d)
		}
		// No later row falls below this least by a letter, nor by an exchange, which starts from
		// the row before: a letter left out costs 1, so that the least there is one less at most,
		// and an exchange costs 1 too.
		if least > most {
			return most + 1
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// Unknown returns the cause of an error about a name that is not known. It wraps
// [unit.ErrUnknown], and proposes the nearest spelling or else lists the known names if they are
// few. what is the kind of thing that is named: "key", "material".
func Unknown(what, given string, known ...string) error {
	if near := Near(given, known...); near != "" {
		return proposed(what, given, near)
	}
	// A list of many names helps nobody.
	if len(known) == 0 || len(known) > mostListed {
		return unit.Errorf(unit.ErrUnknown, "unknown %s %s; expected a known one", what,
			unit.Quoted(given))
	}
	list := strings.Join(slices.DeleteFunc(slices.Clone(known),
		func(s string) bool { return s == "" }), ", ")
	return unit.Errorf(unit.ErrUnknown, "unknown %s %s; expected one of %s", what,
		unit.Quoted(given), list)
}

// proposed is the refusal of what was given as a key, a material and so on, with a near spelling.
func proposed(what, given, near string) error {
	return unit.Errorf(unit.ErrUnknown, "unknown %s %s; did you mean %q?", what, unit.Quoted(given),
		near)
}
