// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"io/fs"
	"strings"
)

// goroutines checks that each exported type of decade and the packages under it says in its
// comment whether several goroutines may use it at once: a server keeps boxes and reports.
func goroutines(tree fs.FS) ([]string, error) {
	var findings []string
	fset := token.NewFileSet()
	for _, dir := range floors {
		if dir != "decade" && !strings.HasPrefix(dir, "decade/") {
			continue
		}
		files, err := parsed(tree, fset, dir)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			for _, d := range f.Decls {
				g, ok := d.(*ast.GenDecl)
				if !ok || g.Tok != token.TYPE {
					continue
				}
				for _, s := range g.Specs {
					t := s.(*ast.TypeSpec)
					text := g.Doc.Text() + t.Doc.Text()
					said := strings.Contains(text, "goroutine") ||
						strings.Contains(text, "concurrent")
					if t.Name.IsExported() && !said {
						p := fset.Position(t.Pos())
						findings = append(findings,
							fmt.Sprintf("%s:%d: the comment of %s does not say whether several "+
								"goroutines may use one at once", p.Filename, p.Line, t.Name.Name))
					}
				}
			}
		}
	}
	return findings, nil
}
