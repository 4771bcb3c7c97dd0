// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
)

func ExampleShown() {
	fmt.Println(unit.Shown("12 mΩ"))
	fmt.Println(unit.Shown(strings.Repeat("long ", 1000)))
	// Output:
	// 12 mΩ
	// long long long long long long long long …
}

func ExampleQuoted() {
	fmt.Println(unit.Quoted("12\tmΩ"))
	fmt.Println(unit.Quoted(strings.Repeat("long ", 1000)))
	// Output:
	// "12\tmΩ"
	// "long long long long long long long long "…
}

// A text of 40 bytes is whole; behind that the cut is between characters.
func TestShownAtTheCut(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{strings.Repeat("a", 40), strings.Repeat("a", 40)},
		{strings.Repeat("a", 41), strings.Repeat("a", 40) + "…"},
		{strings.Repeat("a", 39) + "Ω", strings.Repeat("a", 39) + "…"},
		{strings.Repeat("a", 38) + "Ωa", strings.Repeat("a", 38) + "Ω…"},
	} {
		if got := unit.Shown(c.text); got != c.want {
			t.Errorf("Shown(%q) = %q; want %q", c.text, got, c.want)
		}
	}
}
