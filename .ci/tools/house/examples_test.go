// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"testing"
)

func TestExamples(t *testing.T) {
	const (
		doc  = "// Package wire is wire.\npackage wire\n"
		test = "package wire_test\n"
	)
	tests := []struct {
		name string
		tree map[string]string
		want []string
	}{
		{"nothing exported", map[string]string{"wire/doc.go": doc + "func f() {}\ntype t int\nfunc (t) M() {}\n"}, nil},
		{"all there", map[string]string{
			"wire/doc.go": doc + "// F is f.\nfunc F() {}\n\n// T is t.\ntype T int\n\n// M is m.\nfunc (T) M() {}\n\n// NewT makes.\nfunc NewT() T { return 0 }\n",
			"wire/example_test.go": test + "func ExampleF() {\n// Output:\n// 1\n}\n\nfunc ExampleT() {\n// Output: 1\n}\n\n" +
				"func ExampleT_M_second() {\n// Unordered output:\n// 1\n}\n\nfunc ExampleNewT() {\n// Output:\n}\n",
		}, nil},
		{"type shown by its method", map[string]string{
			"wire/doc.go":          doc + "// T is t.\ntype T int\n\n// M is m.\nfunc (T) M() {}\n",
			"wire/example_test.go": test + "func ExampleT_M() {\n// Output: 1\n}\n",
		}, nil},
		{"settled", map[string]string{
			"wire/doc.go":          doc + "// E is e.\ntype E struct{}\n\nfunc (*E) Error() string { return \"\" }\n\n// String is s.\nfunc (E) String() string { return \"\" }\n",
			"wire/example_test.go": test + "func ExampleE() {\n// Output: e\n}\n",
		}, nil},
		{"missing", map[string]string{
			"wire/doc.go":          doc + "// F is f.\nfunc F() {}\n\n// T is t.\ntype T int\n\n// M is m.\nfunc (T) M() {}\n\n// G is g.\nfunc G() {}\n",
			"wire/example_test.go": test + "func ExampleG() {\n}\n",
		}, []string{
			"wire/doc.go:7: F has no runnable Example (ExampleF with // Output:)",
			"wire/doc.go:10: T has no runnable Example (ExampleT with // Output:)",
			"wire/doc.go:13: T.M has no runnable Example (ExampleT_M with // Output:)",
			"wire/doc.go:16: G has no runnable Example (ExampleG with // Output:)",
		}},
		{"other packages", map[string]string{
			"wire/internal/a/a.go": "package a\n// F is f.\nfunc F() {}\n", "examples/a/main.go": "package main\n// F is f.\nfunc F() {}\n",
			"uncertainty/uncertaintytest/a.go": "package uncertaintytest\n// F is f.\nfunc F() {}\n",
		}, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := examples(files(test.tree))
			if err != nil || !slices.Equal(got, test.want) {
				t.Errorf("findings %q, error %v; want %q", got, err, test.want)
			}
		})
	}
}
