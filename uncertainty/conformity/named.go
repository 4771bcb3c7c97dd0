// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"iter"
	"strings"

	"example.com/ohmwright/uncertainty/file"
)

// namedRules are those of ILAC-G8:09/2019, table 1.
var namedRules = []struct {
	name string
	rule Rule
}{
	{"6 sigma", Guarded(3)},
	{"3 sigma", Guarded(1.5)},
	{"ILAC G8:2009", Guarded(1)},
	{"ISO 14253-1:2017", Guarded(0.83)},
	{"simple acceptance", Simple()},
	{"uncritical", GuardedRejection(1)},
}

// NamedRules returns the decision rules of ILAC-G8:09/2019, table 1, with the names that
// they have there, from the strictest: guard bands of 3 U, 1.5 U, U and 0.83 U, simple
// acceptance, and uncritical acceptance up to U beyond a limit. U is at 95 %.
func NamedRules() iter.Seq2[string, Rule] {
	return func(yield func(string, Rule) bool) {
		for _, n := range namedRules {
			if !yield(n.name, n.rule) {
				return
			}
		}
	}
}

// RuleNamed returns the decision rule of a name of [NamedRules]; letters may be of either
// case. An unknown name is refused.
func RuleNamed(name string) (Rule, error) {
	known := make([]string, len(namedRules))
	for i, n := range namedRules {
		if strings.EqualFold(n.name, strings.TrimSpace(name)) {
			return n.rule, nil
		}
		known[i] = n.name
	}
	return Rule{}, &Error{Op: "conformity.RuleNamed", Name: "name", Value: name,
		Err: file.Unknown("rule", name, known...)}
}
