// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"iter"
	"slices"
	"strings"
	"sync"
	"unicode"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// Table is a set of materials: a user's own, from [Read], before those of this package.
// The zero Table has the latter alone.
type Table struct {
	own    []Material
	index  map[string]int // of own, by folded name
	names  []string       // folded
	whole  []string       // the same names as they are written
	counts []letters      // of the letters in them
}

// All returns the materials of this package: copper and aluminium first, then the other
// metals, then the alloys, then solders and what else makes an EMF in a circuit.
func All() iter.Seq[Material] { return Table{}.All() }

// Find returns the material of that name. Letter case, spaces, hyphens and other signs do
// not matter, and the usual other names are known ("nichrome", "German silver",
// "aluminum", "Cu"). An unknown name is [ErrUnknown], with one that is spelt nearly so, if
// there is one.
//
// Where sources disagree the table follows one and says why ([Source]);
// [PublishedValues] has the others.
func Find(name string) (Material, error) { return Table{}.findNamed("material.Find", name) }

// All returns the user's own materials in the order of the file, then those of this
// package that they do not replace by their name.
func (t Table) All() iter.Seq[Material] {
	return func(yield func(Material) bool) {
		for _, m := range t.own {
			if !yield(m.clone()) {
				return
			}
		}
		for _, m := range builtin().own {
			// The user's own material of a name stands for the one of the table.
			if _, replaced := t.index[foldName(m.Name)]; !replaced && !yield(m.clone()) {
				return
			}
		}
	}
}

// Find returns the material of that name as [Find] does, the user's own first.
func (t Table) Find(name string) (Material, error) {
	return t.findNamed("material.Table.Find", name)
}

func (t Table) findNamed(op, name string) (Material, error) {
	key := foldName(name)
	if i, ok := t.index[key]; ok {
		return t.own[i].clone(), nil
	}
	if i, ok := builtin().index[key]; ok {
		return builtin().own[i].clone(), nil
	}
	// What was given may be a whole file by mistake: the message keeps the beginning.
	name = shorten(name)
	cause := unit.Errorf(ErrUnknown, "unknown material %q; expected a name of the table, such as "+
		"manganin or nickel-chromium 80/20; trade names are not in it", name)
	if near := t.nearName(key); near != "" {
		cause = unit.Errorf(ErrUnknown, "unknown material %q; did you mean %q?", name, near)
	}
	return Material{}, &Error{Op: op, Name: "name", Value: name, Err: cause}
}

// addMaterials appends materials and indexes all their names; a name that another material has
// already is reported with its owner.
func (t *Table) addMaterials(materials []Material) (name, owner string) {
	if t.index == nil {
		t.index = make(map[string]int)
	}
	for _, m := range materials {
		for _, n := range append([]string{m.Name}, m.OtherNames...) {
			// Two of its own names may fold to one, as "Ni-Cr" and "NiCr" do.
			if i, taken := t.index[foldName(n)]; taken && i != len(t.own) {
				return n, t.own[i].Name
			}
			key := foldName(n)
			t.index[key] = len(t.own)
			t.names, t.whole = append(t.names, key), append(t.whole, n)
			t.counts = append(t.counts, countLetters(key))
		}
		t.own = append(t.own, m)
	}
	return "", ""
}

// builtin is the table of this package, which nobody changes: callers get clones.
var builtin = sync.OnceValue(func() *Table {
	t := &Table{}
	t.addMaterials(slices.Concat(
		conductors(), metals(), copperAlloys(), nickelAlloys(), ironAlloys(),
		joints()))
	return t
})

// foldName keeps of a name what matters for finding it: letters and digits in lower case.
func foldName(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, shorten(name))
}

// longestName bounds the work and the error about a text that is no name at all.
const longestName = 60

// shorten cuts a text that is too long for a name.
func shorten(name string) string {
	if len(name) <= longestName { // bytes: no more letters than that
		return name
	}
	// A rune has at most four bytes, so that the cut leaves enough of them.
	if r := []rune(name[:min(len(name), 4*longestName)]); len(r) > longestName {
		return string(r[:longestName]) + "…"
	}
	return name
}

// nearName returns the name of the table that is spelled nearly as key, or nothing. Elements
// and alloys have names that are close to each other: at most one letter may be missing,
// added or another, and the digits are those of an alloy, so that "selenium" is not taken
// for silicium nor "NiCr 70/30" for NiCr 80/20.
func (t Table) nearName(key string) string {
	given := countLetters(key)
	for _, table := range []*Table{&t, builtin()} {
		var alike []string
		for i, name := range table.names {
			// Counting letters is cheap and leaves few names for the comparison.
			if given.differByOne(table.counts[i]) {
				alike = append(alike, name)
			}
		}
		if near := file.Near(key, alike...); near != "" {
			return table.whole[slices.Index(table.names, near)]
		}
	}
	return ""
}

// letters says how often a folded name has each letter and digit; what is not ASCII counts
// as one.
type letters [otherLetter + 1]int8

// Places in letters: 26 letters, ten digits, the rest.
const firstDigit, otherLetter = 26, 36

// countLetters counts the letters of a folded name.
func countLetters(name string) (n letters) {
	for _, r := range name {
		switch {
		case r >= 'a' && r <= 'z':
			n[r-'a']++
		case r >= '0' && r <= '9':
			n[firstDigit+r-'0']++
		default:
			n[otherLetter]++
		}
	}
	return n
}

// differByOne reports whether one letter can make the difference.
func (n letters) differByOne(m letters) bool {
	more, less := 0, 0
	for i := range n {
		d := int(n[i]) - int(m[i])
		// A digit belongs to the alloy: 80/20 and 70/30 are different metals.
		if d != 0 && i >= firstDigit && i < otherLetter {
			return false
		}
		more, less = more+max(d, 0), less+max(-d, 0)
	}
	return more <= 1 && less <= 1
}
