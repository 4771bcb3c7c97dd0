// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"
	"testing/fstest"
)

func TestFloorTable(t *testing.T) {
	const begin, end = "# p\n\n| `wire` | elsewhere |\n\n## Packages\n\n| package | what |\n|---|---|\n", "\n## Next\n\n| `thermal` | elsewhere |\n"
	row := func(names ...string) string {
		var rows strings.Builder
		for _, n := range names {
			rows.WriteString("| `" + n + "` | `code` |\n")
		}
		return begin + rows.String() + end
	}
	for name, c := range map[string]struct {
		page  string
		clean bool
	}{
		"same":        {row("uncertainty", "wire", "examples/<task>"), true},
		"for tests":   {row("uncertainty", "uncertainty/uncertaintytest", "wire"), true},
		"missing":     {row("uncertainty"), false},
		"not there":   {row("uncertainty", "thermal", "wire"), false},
		"other order": {row("wire", "uncertainty"), false},
		"no section":  {"# p\n", false},
	} {
		findings, err := floorTable(fstest.MapFS{"wire/a.go": {}, "uncertainty/a.go": {},
			"thermal/testdata/a.go": {}, "README.md": {Data: []byte(c.page)}})
		if err != nil || (len(findings) == 0) != c.clean {
			t.Errorf("%s: findings %q, error %v; clean %v expected", name, findings, err, c.clean)
		}
	}
	if findings, err := floorTable(fstest.MapFS{}); len(findings) > 0 || err != nil {
		t.Errorf("no pages: %q, %v", findings, err)
	}
}
