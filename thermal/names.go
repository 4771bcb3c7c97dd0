// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// fold keeps of a name what matters for finding it: letters, digits and the
// slash between percentages, in lower case.
func fold(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r), r == '/':
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// alsoKnown leads from other names in use, folded, to names of the tables.
var alsoKnown = map[string]string{
	"cu": "copper", "annealedcopper": "copper", "iacs": "copper", "purecopper": "copper, pure",
	"al": "aluminium", "aluminum": "aluminium", "aluminumpure": "aluminium, pure", "purealuminium": "aluminium, pure",
	"purealuminum": "aluminium, pure",
	"ag":           "silver", "au": "gold", "pt": "platinum", "ni": "nickel", "fe": "iron", "w": "tungsten", "sn": "tin",
	"pb": "lead", "hg": "mercury", "brass": "brass 70/30",
	"coppermanganesenickel": "manganin", "cumnni": "manganin", "cumn12ni": "manganin", "manganin84/12/4": "manganin", "manganin86/12/2": "manganin",
	"coppernickel": "constantan", "cuni": "constantan", "cuni44": "constantan",
	"germansilver": "nickel silver",
	"nichrome":     "nickel-chromium 80/20", "nickelchromium": "nickel-chromium 80/20", "nicr": "nickel-chromium 80/20",
	"nicr80/20": "nickel-chromium 80/20", "nicr8020": "nickel-chromium 80/20",
	"nickelchromiumiron": "nickel-chromium 60/15", "nicr60/15": "nickel-chromium 60/15", "nicr6015": "nickel-chromium 60/15",
	"nicralcu": "nickel-chromium-aluminium-copper", "nicral": "nickel-chromium-aluminium-copper",
	"nickelchromiumaluminumcopper": "nickel-chromium-aluminium-copper",
	"fecral":                       "iron-chromium-aluminium 25/5", "fecral25/5": "iron-chromium-aluminium 25/5",
	"ironchromiumaluminum25/5": "iron-chromium-aluminium 25/5",
	"cumnsn":                   "copper-manganese-tin", "aucr": "gold-chromium", "cumnal": "copper-manganese-aluminium",
	"coppermanganesealuminum": "copper-manganese-aluminium",
	"solder":                  "tin-lead solder", "leadtinsolder": "tin-lead solder", "tincadmiumsolder": "cadmium-tin solder",
	"silicium": "silicon", "becu": "beryllium copper",
}

// key is the folded name of the tables that name stands for.
func key(name string) string {
	k := fold(name)
	if other, ok := alsoKnown[k]; ok {
		return fold(other)
	}
	return k
}

// unknown refuses a name and suggests the known ones nearest to it.
func unknown(op, name string, known []string) error {
	return refuse(op, "name", name, ErrUnknown, "expected a name of the table; did you mean "+strings.Join(nearest(name, known), " or ")+"?")
}

// longestName bounds the work and the error text for what is no name at all.
const longestName = 60

func shorten(name string) string {
	if r := []rune(name); len(r) > longestName {
		return string(r[:longestName]) + "…"
	}
	return name
}

// nearest returns up to three of the known names, nearest first, quoted: those
// that contain the name, else those at the smallest edit distance or one more.
func nearest(name string, known []string) []string {
	const suggestions = 3
	want := fold(shorten(name))
	distance := func(k string) int {
		if strings.Contains(fold(k), want) {
			return 0
		}
		return editDistance(want, fold(k))
	}
	names := slices.Compact(slices.Clone(known))
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(distance(a), distance(b)) })
	names = names[:min(suggestions, len(names))]
	for i := range names {
		if distance(names[i]) > distance(names[0])+1 {
			names = names[:i]
			break
		}
	}
	for i := range names {
		names[i] = strconv.Quote(names[i])
	}
	return names
}

// editDistance counts the insertions, deletions and replacements of letters that
// lead from a to b.
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		diagonal := row[0]
		row[0] = i + 1
		for j := range y {
			change := diagonal
			if x[i] != y[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(y)]
}
