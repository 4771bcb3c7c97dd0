// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
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
		names, err := fs.Glob(tree, path.Join(dir, "*.go"))
		if err != nil {
			return nil, err
		}
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			src, err := fs.ReadFile(tree, name)
			if err != nil {
				return nil, err
			}
			f, err := parser.ParseFile(fset, name, src,
				parser.ParseComments|parser.SkipObjectResolution)
			if err != nil {
				return nil, err
			}
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
						findings = append(findings,
							fmt.Sprintf("%s:%d: the comment of %s does not say whether several "+
								"goroutines may use one at once",
								name, fset.Position(t.Pos()).Line, t.Name.Name))
					}
				}
			}
		}
	}
	return findings, nil
}
