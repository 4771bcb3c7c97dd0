// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// settled are the methods that need no Example: the standard library says what they do,
// and the Example of their type shows what they print.
var settled = []string{
	"Error", "Is", "As", "Unwrap", "String", "Format", "AppendText", "MarshalText", "UnmarshalText",
	"MarshalJSON", "UnmarshalJSON",
}

// examples returns the exported functions, types and methods of the library packages that
// have no runnable Example: one with an output comment, which go test runs.
func examples(tree fs.FS) ([]string, error) {
	var findings []string
	for _, dir := range floors {
		if dir == "examples" {
			continue
		}
		missing, err := lacking(tree, dir)
		if err != nil {
			return nil, err
		}
		findings = append(findings, missing...)
	}
	return findings, nil
}

// lacking looks at the package in one directory; none is no finding.
func lacking(tree fs.FS, dir string) ([]string, error) {
	names, err := fs.Glob(tree, path.Join(dir, "*.go"))
	if err != nil || len(names) == 0 {
		return nil, err
	}
	fset := token.NewFileSet()
	var files []*ast.File
	for _, name := range names {
		src, err := fs.ReadFile(tree, name)
		if err != nil {
			return nil, err
		}
		f, err := parser.ParseFile(fset, name, src, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	p, err := doc.NewFromFiles(fset, files, module+"/"+dir)
	if err != nil {
		return nil, err
	}
	l := lister{fset: fset}
	for _, f := range p.Funcs {
		l.see(f.Name, f.Decl, f.Examples)
	}
	for _, t := range p.Types {
		l.see(t.Name, t.Decl, append(t.Examples, methodExamples(t)...))
		for _, f := range t.Funcs {
			l.see(f.Name, f.Decl, f.Examples)
		}
		for _, m := range t.Methods {
			if m.Level == 0 && !slices.Contains(settled, m.Name) {
				l.see(t.Name+"."+m.Name, m.Decl, m.Examples)
			}
		}
	}
	return l.lines(), nil
}

// methodExamples are those of the methods of a type: who shows a method shows how its
// type is made.
func methodExamples(t *doc.Type) (all []*doc.Example) {
	for _, m := range t.Methods {
		if m.Level == 0 {
			all = append(all, m.Examples...)
		}
	}
	return all
}

// lister collects the names without an Example.
type lister struct {
	fset    *token.FileSet
	missing []missing
}

type missing struct {
	at   token.Pos
	name string
}

// see looks for an Example that runs among those of a name.
func (l *lister) see(name string, at ast.Node, examples []*doc.Example) {
	runs := func(e *doc.Example) bool { return e.Output != "" || e.EmptyOutput }
	if slices.ContainsFunc(examples, runs) {
		return
	}
	l.missing = append(l.missing, missing{at.Pos(), name})
}

// lines are the findings in the order of the source.
func (l *lister) lines() (out []string) {
	slices.SortFunc(l.missing, func(a, b missing) int { return cmp.Compare(a.at, b.at) })
	for _, m := range l.missing {
		p := l.fset.Position(m.at)
		out = append(out, fmt.Sprintf("%s:%d: %s has no runnable Example (Example%s with // "+
			"Output:)", p.Filename, p.Line, m.name, strings.ReplaceAll(m.name, ".", "_")))
	}
	return out
}
