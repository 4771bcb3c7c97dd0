// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package golden

import "testing"

func TestDifference(t *testing.T) {
	for _, c := range []struct {
		got, want string
		line      int
		g, w      string
	}{
		{"a\nb\n", "a\nb\n", 0, "", ""},
		{"a\nc\n", "a\nb\n", 2, "c", "b"},
		{"a\n", "a\nb\n", 2, "", "b"},
		{"a\nb", "a", 2, "b", "(end)"},
		{"a", "a\nb", 2, "(end)", "b"},
	} {
		if line, g, w := difference(c.got, c.want); line != c.line || g != c.g || w != c.w {
			t.Errorf("%q against %q: line %d, %q, %q", c.got, c.want, line, g, w)
		}
	}
}
