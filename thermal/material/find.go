// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"iter"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"example.com/ohmwright/uncertainty/unit"
)

// Table is a set of materials: a user's own, from [Read], before those of this package.
// The zero Table has the latter alone.
type Table struct {
	own   []Material
	index map[string]int // of own, by folded name
	names []spelling
}

// spelling is a name with what of it counts for finding it.
type spelling struct {
	name    string
	letters []rune
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
func Find(name string) (Material, error) { return Table{}.find("material.Find", name) }

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
			if _, replaced := t.index[fold(m.Name)]; !replaced && !yield(m.clone()) {
				return
			}
		}
	}
}

// Find returns the material of that name as [Find] does, the user's own first.
func (t Table) Find(name string) (Material, error) { return t.find("material.Table.Find", name) }

func (t Table) find(op, name string) (Material, error) {
	key := fold(name)
	if i, ok := t.index[key]; ok {
		return t.own[i].clone(), nil
	}
	if i, ok := builtin().index[key]; ok {
		return builtin().own[i].clone(), nil
	}
	want := "expected a name of the table"
	if near := t.near(key); near != "" {
		want += "; did you mean " + strconv.Quote(near) + "?"
	}
	name = shorten(name)
	return Material{}, &Error{Op: op, Name: "name", Value: name, Err: unit.Errorf(ErrUnknown, "%q; %s", name, want)}
}

// add appends materials and indexes all their names; a name that another material has
// already is reported with its owner.
func (t *Table) add(materials []Material) (name, owner string) {
	if t.index == nil {
		t.index = make(map[string]int)
	}
	for _, m := range materials {
		for _, n := range append([]string{m.Name}, m.OtherNames...) {
			if i, taken := t.index[fold(n)]; taken && i != len(t.own) {
				return n, t.own[i].Name
			}
			key := fold(n)
			t.index[key] = len(t.own)
			t.names = append(t.names, spelling{n, []rune(key)})
		}
		t.own = append(t.own, m)
	}
	return "", ""
}

// builtin is the table of this package, which nobody changes: callers get clones.
var builtin = sync.OnceValue(func() *Table {
	t := &Table{}
	t.add(slices.Concat(conductors(), metals(), copperAlloys(), nickelAlloys(), ironAlloys(), joints()))
	return t
})

// fold keeps of a name what matters for finding it: letters and digits in lower case.
func fold(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, shorten(name))
}

// longestName bounds the work and the error about a text that is no name at all.
const longestName = 60

func shorten(name string) string {
	if len(name) <= longestName { // bytes: no more letters than that
		return name
	}
	if r := []rune(name[:min(len(name), 4*longestName)]); len(r) > longestName {
		return string(r[:longestName]) + "…"
	}
	return name
}

// near returns the name of the table that is spelt nearly as key, or nothing: at most one
// letter in four may differ, so that no formula leads to another metal ("CuNi30Mn" is not
// tungsten).
func (t Table) near(key string) string {
	letters := []rune(key)
	best, least := "", len(letters)/4+1
	for _, table := range []*Table{&t, builtin()} {
		for _, n := range table.names {
			if d := editDistance(letters, n.letters, least); d < least {
				best, least = n.name, d
			}
		}
	}
	return best
}

// editDistance counts the insertions, deletions and replacements of letters that lead
// from a to b, or returns limit where there are that many or more.
func editDistance(a, b []rune, limit int) int {
	if d := len(a) - len(b); d >= limit || -d >= limit {
		return limit
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		diagonal := row[0]
		row[0] = i + 1
		least := row[0]
		for j := range b {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
			least = min(least, row[j+1])
		}
		if least >= limit {
			return limit
		}
	}
	return min(row[len(b)], limit)
}
