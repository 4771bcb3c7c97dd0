// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"
	"testing/fstest"
)

func TestReadme(t *testing.T) {
	const test = "package decade_test\n\nfunc Example_readme() {\n\tfmt.Println(1)\n\tf()\n\t// Output:\n\t// 1\n\t//\n\t// x  y\n}\n"
	page := func(program, output string) string {
		return "# name\n```go\npackage main\n\nfunc main() {\n" + program +
			"}\n```\nprints\n```text\n" + output + "```\n"
	}
	const program, output = "\tfmt.Println(1)\n\tf()\n", "1\n\nx  y\n"
	for name, c := range map[string]struct {
		page string
		says []string
	}{
		"equal":    {page(program, output), nil},
		"program":  {page("\tfmt.Println(2)\n\tf()\n", output), []string{"the program differs"}},
		"output":   {page(program, "1\n\nx y\n"), []string{"the output differs"}},
		"no block": {"# name\n", []string{"the program differs", "the output differs"}},
	} {
		findings, err := readme(fstest.MapFS{readmeFile: {Data: []byte(c.page)}, readmeExample: {Data: []byte(test)}})
		if err != nil || len(findings) != len(c.says) {
			t.Errorf("%s: findings %q, %v; want %d", name, findings, err, len(c.says))
			continue
		}
		for i, says := range c.says {
			if !strings.Contains(findings[i], says) {
				t.Errorf("%s: %q does not say %q", name, findings[i], says)
			}
		}
	}
	if findings, err := readme(fstest.MapFS{}); len(findings) > 0 || err != nil {
		t.Errorf("no README: %q, %v", findings, err)
	}
	if _, err := readme(fstest.MapFS{readmeFile: {Data: []byte("# name\n")}}); err == nil {
		t.Error("a README without its Example is accepted")
	}
}
