// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"testing"
	"testing/fstest"
)

func TestTopLevel(t *testing.T) {
	whole := func(change func(fstest.MapFS)) fstest.MapFS {
		tree := fstest.MapFS{".ci/run": {}, ".gitignore": {}}
		for _, name := range visible {
			if slices.Contains([]string{"decade", "uncertainty", "wire", "thermal", "examples"}, name) {
				name += "/doc.go"
			}
			tree[name] = &fstest.MapFile{}
		}
		change(tree)
		return tree
	}
	for name, c := range map[string]struct {
		change func(fstest.MapFS)
		want   []string
	}{
		"whole":     {func(fstest.MapFS) {}, nil},
		"worktree":  {func(tree fstest.MapFS) { tree[".git"] = &fstest.MapFile{} }, nil},
		"page":      {func(tree fstest.MapFS) { tree["NOTES.md"] = &fstest.MapFile{} }, []string{"NOTES.md: does not belong at the top level"}},
		"directory": {func(tree fstest.MapFS) { tree["cmd/a/main.go"] = &fstest.MapFile{} }, []string{"cmd: does not belong at the top level"}},
		"hidden":    {func(tree fstest.MapFS) { tree[".x/a"] = &fstest.MapFile{} }, []string{".x: does not belong at the top level"}},
		"missing":   {func(tree fstest.MapFS) { delete(tree, "LICENSE") }, []string{"LICENSE: is missing from the top level"}},
	} {
		got, err := toplevel(whole(c.change))
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: findings %q, error %v; want %q", name, got, err, c.want)
		}
	}
}
