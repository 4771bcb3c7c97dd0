// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"testing"
	"testing/fstest"
)

// files makes a tree in which every file has the licence header.
func files(texts map[string]string) fstest.MapFS {
	tree := fstest.MapFS{}
	for name, text := range texts {
		tree[name] = &fstest.MapFile{Data: []byte(header + text)}
	}
	return tree
}

func TestCheck(t *testing.T) {
	const doc = "// Package p is p.\npackage p\n"
	tests := []struct {
		name string
		tree fstest.MapFS
		want []string
	}{
		{"clean", files(map[string]string{
			"thermal/doc.go": doc,
			"thermal/a.go":   "package p\nimport _ \"example.com/ohmwright/uncertainty\"\n// A is a.\nconst A = 1\n",
		}), nil},
		{"header", fstest.MapFS{"wire/doc.go": {Data: []byte(doc)}},
			[]string{"wire/doc.go:1: no licence header, or no blank line after it"}},
		{"doc.go", files(map[string]string{"wire/a.go": doc}),
			[]string{"wire: no doc.go with the package comment"}},
		{"function", files(map[string]string{"wire/doc.go": doc + "func F() {}\nfunc f() {}\n"}),
			[]string{"wire/doc.go:6: F has no comment"}},
		{"method", files(map[string]string{"wire/doc.go": doc + "type t int\nfunc (t) F() {}\n// T is t.\ntype T[P any] int\nfunc (*T[P]) G() {}\nfunc (*T[P]) Error() string { return \"\" }\n"}),
			[]string{"wire/doc.go:10: G has no comment"}},
		{"values", files(map[string]string{"wire/doc.go": doc + "const A = 1\n// Some.\nconst (\nB = 2\n)\nvar (\nC = 3 // C is 3\nD = 4\n)\n"}),
			[]string{"wire/doc.go:6: A has no comment", "wire/doc.go:13: D has no comment"}},
		{"floor", files(map[string]string{"uncertainty/doc.go": doc + "import _ \"example.com/ohmwright/uncertainty/fit\"\n"}),
			[]string{"uncertainty/doc.go:6: package uncertainty must not import uncertainty/fit, which stands below it"}},
		{"floor of internal", files(map[string]string{"decade/doc.go": doc + "import _ \"example.com/ohmwright/decade/internal/sum\"\n"}), nil},
		{"no floor", files(map[string]string{"util/doc.go": doc}),
			[]string{"util/doc.go:5: package util stands on no floor: add it to the list"}},
		{"tests only", files(map[string]string{
			"wire/doc.go":    doc + "import _ \"golang.org/x/exp/stats\"\n",
			"wire/a_test.go": "package p\nimport _ \"golang.org/x/exp/stats\"\n",
		}), []string{"wire/doc.go:6: golang.org/x/exp/stats is for tests only"}},
		{"example", files(map[string]string{"examples/a/main.go": "// A is a.\npackage main\nimport _ \"example.com/ohmwright/decade/fault\"\nfunc main() {}\n"}), nil},
		{"left out", files(map[string]string{"wire/testdata/a.go": "package a\nfunc F() {}\n", ".ci/b.go": "package b\nfunc F() {}\n"}), nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := check(test.tree)
			if err != nil || !slices.Equal(got, test.want) {
				t.Errorf("findings %q, error %v; want %q", got, err, test.want)
			}
		})
	}
}

func TestCheckRefusesBrokenSyntax(t *testing.T) {
	if _, err := check(files(map[string]string{"wire/a.go": "package"})); err == nil {
		t.Error("no error for a file that does not parse")
	}
}
