// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const stream = `
{"Action":"start","Package":"example.com/ohmwright/wire"}
{"Action":"run","Package":"example.com/ohmwright/wire","Test":"TestPublishedA"}
{"Action":"attr","Package":"example.com/ohmwright/wire","Test":"TestPublishedA/one","Key":"published","Value":"seen; Book 1, 1999"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedA/one"}
{"Action":"attr","Package":"example.com/ohmwright/wire","Test":"TestPublishedA/two","Key":"published","Value":"from memory; Book 2"}
{"Action":"attr","Package":"example.com/ohmwright/wire","Test":"TestPublishedA/two","Key":"exception","Value":"a slip"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedA/two"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedA"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedB/1/a"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedB/1/b"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedB/1"}
{"Action":"pass","Package":"example.com/ohmwright/wire","Test":"TestPublishedB"}
{"Action":"attr","Package":"example.com/ohmwright/thermal","Test":"TestPublishedC","Key":"published","Value":"seen; Book 1, 1999"}
{"Action":"attr","Package":"example.com/ohmwright/thermal","Test":"TestPublishedC","Key":"published","Value":"common practice; the trade"}
{"Action":"fail","Package":"example.com/ohmwright/thermal","Test":"TestPublishedC"}
{"Action":"pass","Package":"example.com/ohmwright/wire"}
`

func TestCount(t *testing.T) {
	found, err := read(strings.NewReader(stream))
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	found.table(&out)
	found.list(&out)
	const want = `| package | checks | sources | from memory | common practice | exceptions | tests without rows |
|---|--:|--:|--:|--:|--:|--:|
| thermal | 2 | 2 | 0 | 1 | 0 | 0 |
| wire | 2 | 2 | 1 | 0 | 1 | 2 |
| all | 4 | 3 | 1 | 1 | 1 | 2 |

- Book 1, 1999: 2
- Book 2: 1
- the trade: 1
`
	if out.String() != want {
		t.Errorf("got\n%s\nexpected\n%s", out.String(), want)
	}
	if len(found.failed) != 1 || found.failed[0] != "example.com/ohmwright/thermal TestPublishedC" {
		t.Errorf("failed %v", found.failed)
	}
	replaced, err := found.replace("before\n" + begin + "old\n" + end + "after\n")
	if table, _, _ := strings.Cut(want, "\n\n"); err != nil || replaced != "before\n"+begin+table+"\n"+end+"after\n" {
		t.Errorf("replaced to %q, %v", replaced, err)
	}
	for last, refused := range map[string]bool{
		"| all | 4 | 3 | 1 | 1 | 1 | 2 |\n":  false,
		"| all | 3 | 3 | 1 | 1 | 1 | 3 |\n":  false, // one has got rows
		"| all | 5 | 3 | 1 | 1 | 1 | 1 |\n":  true,
		"| all | 4 | 3 | 1 | 1 | 1 | 3 |\n":  true,
		"| all | 2 | 9 | 9 | 9 | 9 | 2 |\n":  false,
		"| wire | 9 | 3 | 1 | 1 | 1 | 9 |\n": false,
	} {
		if _, err := found.replace(begin + last + end); (err != nil) != refused {
			t.Errorf("in place of %q: %v; refused %v expected", last, err, refused)
		}
	}
	file := filepath.Join(t.TempDir(), "page.md")
	for _, page := range []struct {
		text    string
		correct bool
	}{{replaced, true}, {"before\n" + begin + "| all | 4 | 3 | 1 | 1 | 1 | 2 |\n" + end, false}, {"before\n", false}} {
		if err := os.WriteFile(file, []byte(page.text), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := found.check(file); (err == nil) != page.correct {
			t.Errorf("check of %q: %v; correct %v expected", page.text, err, page.correct)
		}
	}
	if _, err := found.replace("before\n"); err == nil {
		t.Error("a text without a place for the table is accepted")
	}
	if _, err := read(strings.NewReader("ok\n")); err == nil {
		t.Error("text is taken for events")
	}
}
