// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"strconv"
	"strings"
)

// otherNames lead from folded names of the trade to names of the table.
var otherNames = map[string]string{
	"cu": "copper", "annealedcopper": "copper", "iacs": "copper",
	"purecopper": "copper, pure", "harddrawncopper": "copper, hard-drawn",
	"al": "aluminium", "aluminum": "aluminium", "purealuminium": "aluminium, pure", "purealuminum": "aluminium, pure",
	"ag": "silver", "au": "gold", "pt": "platinum", "ni": "nickel", "fe": "iron", "w": "tungsten", "sn": "tin", "pb": "lead", "hg": "mercury",
	"brass":    "brass 70/30",
	"cumn12ni": "manganin", "manganin86": "manganin",
	"cuni44":       "constantan",
	"germansilver": "nickel silver", "nickelsilver18%": "nickel silver",
	"nichrome": "nickel-chromium 80/20", "nicr8020": "nickel-chromium 80/20", "nickelchromium": "nickel-chromium 80/20",
	"nicr6015": "nickel-chromium 60/15", "nickelchromiumiron": "nickel-chromium 60/15",
	"nicralcu": "nickel-chromium-aluminium-copper",
	"fecral":   "iron-chromium-aluminium 25/5", "fecral255": "iron-chromium-aluminium 25/5", "fecral235": "iron-chromium-aluminium 23/5",
	"cumnsn": "copper-manganese-tin", "aucr": "gold-chromium",
}

// fold removes what does not matter in a name.
func fold(name string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" -–_,/()\t", r) {
			return -1
		}
		return r
	}, strings.ToLower(name))
}

// suggestion names the material that begins with what was given, or all that
// do, and otherwise the one at the smallest edit distance.
func suggestion(want, best string) string {
	var names []string
	for m := range Materials() {
		if want != "" && strings.HasPrefix(fold(m.Name), want) {
			names = append(names, strconv.Quote(m.Name))
		}
	}
	if len(names) == 0 {
		names = []string{strconv.Quote(best)}
	}
	return "expected a name of the table; did you mean " + strings.Join(names, " or ") + "? Materials lists all"
}

// longestName bounds the work done for a text that is no name at all.
const longestName = 80

// editDistance counts the insertions, deletions and replacements of bytes that
// lead from a to b.
func editDistance(a, b string) int {
	a = a[:min(len(a), longestName)]
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
