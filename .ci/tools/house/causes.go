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

// causes checks that the errors of all packages are of one type, that of uncertainty/unit,
// and that a cause of one name is one value: errors.Is must not depend on which package
// refused.
func causes(tree fs.FS) ([]string, error) {
	var findings []string
	fset := token.NewFileSet()
	first := map[string]string{} // where a cause is made, by its name
	for _, dir := range floors {
		files, err := parsed(tree, fset, dir)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			for _, s := range specs(f) {
				p := fset.Position(s.Pos())
				at := fmt.Sprintf("%s:%d", p.Filename, p.Line)
				switch s := s.(type) {
				case *ast.TypeSpec:
					if s.Name.Name == "Error" && dir != "uncertainty/unit" &&
						!(s.Assign.IsValid() && refersTo(s.Type, "unit", "Error")) {
						findings = append(findings,
							at+": type Error is not that of uncertainty/unit: declare type Error "+
								"= unit.Error")
					}
				case *ast.ValueSpec:
					findings = append(findings, one(s, at, first)...)
				}
			}
		}
	}
	return findings, nil
}

// parsed are the files of a directory that are no tests, with their comments.
func parsed(tree fs.FS, fset *token.FileSet, dir string) (files []*ast.File, err error) {
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
		files = append(files, f)
	}
	return files, nil
}

// specs are the declarations of a file on its top level.
func specs(f *ast.File) []ast.Spec {
	var out []ast.Spec
	for _, d := range f.Decls {
		if g, ok := d.(*ast.GenDecl); ok {
			out = append(out, g.Specs...)
		}
	}
	return out
}

// one finds causes that another package has made under the same name, and those that go
// by another name here than where they were made.
func one(s *ast.ValueSpec, at string, first map[string]string) []string {
	var findings []string
	for i, id := range s.Names {
		if !strings.HasPrefix(id.Name, "Err") || i >= len(s.Values) {
			continue
		}
		if from, ok := s.Values[i].(*ast.SelectorExpr); ok {
			if from.Sel.Name != id.Name {
				findings = append(findings, fmt.Sprintf("%s: %s is %s elsewhere: expected one name",
					at, id.Name, from.Sel.Name))
			}
			continue
		}
		if where, ok := first[id.Name]; ok {
			findings = append(findings, fmt.Sprintf("%s: %s is made a second time, after %s: "+
				"expected the same value, or another name", at, id.Name, where))
			continue
		}
		first[id.Name] = at
	}
	return findings
}

// refersTo reports whether an expression is pkg.name.
func refersTo(e ast.Expr, pkg, name string) bool {
	s, ok := e.(*ast.SelectorExpr)
	if !ok || s.Sel.Name != name {
		return false
	}
	id, ok := s.X.(*ast.Ident)
	return ok && id.Name == pkg
}
