// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"testing"
	"testing/fstest"
)

func TestWording(t *testing.T) {
	const phrase = "tells" + " whether"
	tree := fstest.MapFS{
		"wire/a.go": {Data: []byte("// A reports whether.\n\n// B " + phrase +
			" it is so.\n// c tells\n\t// whether.\n")},
		"wire/testdata/x":   {Data: []byte(phrase)},
		"README.md":         {Data: []byte("It cannot tell whether.\nIt\n" + phrase + "\n")},
		".ci/run":           {Data: []byte("# it tells\n# whether\n")},
		".git/a.go":         {Data: []byte(phrase)},
		".ci/tools/h/m.go":  {Data: []byte("/*\n\n" + phrase + "*/")},
		"wire/winding/b.go": {Data: []byte("tells what, whether")},
	}
	const end = `: write "reports whether"`
	want := []string{
		".ci/run:1" + end, ".ci/tools/h/m.go:3" + end, "README.md:3" + end,
		"wire/a.go:3" + end, "wire/a.go:4" + end,
	}
	got, err := wording(tree)
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("findings %q, error %v; want %q", got, err, want)
	}
}
