// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"strconv"
	"strings"
)

const header = `// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

`

// A checker collects findings over the files of one tree.
type checker struct {
	fset     *token.FileSet
	findings []string
	// library and documented record, for each directory, that it holds a
	// package other than main, and that it holds a doc.go.
	library, documented map[string]bool
}

// check returns the findings in the tree, in the order of its files.
func check(tree fs.FS) ([]string, error) {
	c := &checker{
		fset:       token.NewFileSet(),
		library:    map[string]bool{},
		documented: map[string]bool{},
	}
	if err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != "." && ignored(d.Name()):
			return fs.SkipDir
		case d.IsDir() || path.Ext(name) != ".go":
			return nil
		}
		return c.file(tree, name)
	}); err != nil {
		return nil, err
	}
	c.packages(tree)
	return c.findings, nil
}

// ignored reports the directories that the go command leaves out of ./...
func ignored(dir string) bool {
	return dir == "testdata" || strings.HasPrefix(dir, ".") || strings.HasPrefix(dir, "_")
}

// file checks one Go file.
func (c *checker) file(tree fs.FS, name string) error {
	src, err := fs.ReadFile(tree, name)
	if err != nil {
		return err
	}
	if !bytes.HasPrefix(src, []byte(header)) {
		c.findings = append(c.findings, name+":1: no licence header, or no blank line after it")
	}
	f, err := parser.ParseFile(c.fset, name, src, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	if strings.HasSuffix(name, "_test.go") {
		return nil
	}
	c.imports(f, path.Dir(name))
	if f.Name.Name == "main" {
		return nil
	}
	c.library[path.Dir(name)] = true
	if path.Base(name) == "doc.go" {
		c.documented[path.Dir(name)] = true
	}
	for _, d := range f.Decls {
		c.comments(d)
	}
	return nil
}

// packages reports library packages without doc.go.
func (c *checker) packages(tree fs.FS) {
	// The walk only visits what the tree holds; its errors were met before.
	_ = fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && c.library[name] && !c.documented[name] {
			c.findings = append(c.findings, name+": no doc.go with the package comment")
		}
		return err
	})
}

// imports checks the imports of one file of the package in dir.
func (c *checker) imports(f *ast.File, dir string) {
	floor, ok := floorOf(dir)
	if !ok {
		c.report(f, "package %s stands on no floor: add it to the list", dir)
		return
	}
	for _, spec := range f.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue // the parser has refused it before
		}
		if testOnly(imported) {
			c.report(spec, "%s is for tests only", imported)
		}
		own, found := strings.CutPrefix(imported, module+"/")
		if !found {
			continue
		}
		if above, ok := floorOf(own); !ok || above > floor {
			c.report(spec, "package %s must not import %s, which stands below it", dir, own)
		}
	}
}

// comments reports exported names of one declaration that carry no comment. In
// a group, the comment of the group serves its constants and variables.
func (c *checker) comments(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		// What Error and Unwrap do is settled by the standard library.
		settled := d.Recv != nil && (d.Name.Name == "Error" || d.Name.Name == "Unwrap")
		if d.Name.IsExported() && receiverExported(d) && d.Doc == nil && !settled {
			c.report(d, "%s has no comment", d.Name.Name)
		}
	case *ast.GenDecl:
		for _, s := range d.Specs {
			c.spec(s, d.Doc != nil)
		}
	}
}

func (c *checker) spec(s ast.Spec, group bool) {
	switch s := s.(type) {
	case *ast.TypeSpec:
		if s.Name.IsExported() && s.Doc == nil && !group {
			c.report(s, "%s has no comment", s.Name.Name)
		}
	case *ast.ValueSpec:
		for _, n := range s.Names {
			if n.IsExported() && s.Doc == nil && s.Comment == nil && !group {
				c.report(n, "%s has no comment", n.Name)
			}
		}
	}
}

// receiverExported reports whether d is a function, or a method of an exported type.
func receiverExported(d *ast.FuncDecl) bool {
	if d.Recv == nil {
		return true
	}
	t := d.Recv.List[0].Type
	for {
		switch x := t.(type) {
		case *ast.StarExpr:
			t = x.X
		case *ast.IndexExpr:
			t = x.X
		case *ast.IndexListExpr:
			t = x.X
		case *ast.Ident:
			return x.IsExported()
		default:
			return false
		}
	}
}

func (c *checker) report(n ast.Node, format string, args ...any) {
	p := c.fset.Position(n.Pos())
	c.findings = append(c.findings, fmt.Sprintf("%s:%d: ", p.Filename, p.Line)+fmt.Sprintf(format,
		args...))
}
