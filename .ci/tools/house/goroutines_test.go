// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"testing"
)

func TestGoroutines(t *testing.T) {
	got, err := goroutines(files(map[string]string{
		"decade/a.go":       "package decade\n// A is a. Any number of goroutines may read one at once.\ntype A int\n// b is b.\ntype b int\n",
		"decade/fault/a.go": "package fault\n// C is c.\ntype C int\ntype (\n\t// D is not safe for concurrent use.\n\tD int\n\t// E is e.\n\tE int\n)\n",
		"wire/a.go":         "package wire\n// F is f.\ntype F int\n",
	}))
	if err != nil {
		t.Fatal(err)
	}
	const end = " does not say whether several goroutines may use one at once"
	if want := []string{"decade/fault/a.go:6: the comment of C" + end,
		"decade/fault/a.go:11: the comment of E" + end}; !slices.Equal(got, want) {
		t.Errorf("%q; want %q", got, want)
	}
}
