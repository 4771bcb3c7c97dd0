// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package exports

import (
	"fmt"
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const module = "example.com/ohmwright"

// listing is what the sources export, as the text of registry_test.go.
type listing struct {
	imports, entries []string
	generic          []string
}

// list reads the sources of all library packages under the root of the module.
func list(t *testing.T, root string) listing {
	t.Helper()
	var out listing
	err := filepath.WalkDir(root, func(dir string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		name := d.Name()
		if dir != root && (strings.HasPrefix(name, ".") ||
			slices.Contains([]string{"testdata", "internal", "examples", "uncertaintytest"},
				name)) {
			return filepath.SkipDir
		}
		p, err := build.ImportDir(dir, 0)
		if err != nil || p.Name == "main" {
			return nil // no package for this machine
		}
		relative, err := filepath.Rel(root, dir)
		if err != nil {
			return err
		}
		return out.add(p, path.Join(module, filepath.ToSlash(relative)))
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func (l *listing) add(p *build.Package, importPath string) error {
	l.imports = append(l.imports, fmt.Sprintf("%s %q", p.Name, importPath))
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil,
			parser.SkipObjectResolution|parser.ParseComments)
		if err != nil {
			return err
		}
		for _, d := range f.Decls {
			l.declaration(p.Name, d)
		}
	}
	return nil
}

func (l *listing) declaration(pkg string, d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if strings.Contains(d.Doc.Text(), "NaN") {
			l.entries = append(l.entries, fmt.Sprintf("documented[%q] = true", pkg+"."+receiver(d)+d.Name.Name))
		}
		if d.Recv == nil && d.Name.IsExported() {
			l.name(pkg, d.Name.Name, d.Type.TypeParams, "function")
		}
	case *ast.GenDecl:
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				l.fields(pkg, s)
				if s.Name.IsExported() {
					l.name(pkg, s.Name.Name, s.TypeParams, "type")
				}
			case *ast.ValueSpec:
				for _, n := range s.Names {
					if n.IsExported() && d.Tok == token.VAR {
						l.name(pkg, n.Name, nil, "value")
					}
				}
			}
		}
	}
}

// receiver is the type of a method with a point.
func receiver(d *ast.FuncDecl) string {
	if d.Recv == nil {
		return ""
	}
	t := d.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	if name, ok := t.(*ast.Ident); ok {
		return name.Name + "."
	}
	return ""
}

// fields lists those whose comment says when they are NaN.
func (l *listing) fields(pkg string, s *ast.TypeSpec) {
	t, ok := s.Type.(*ast.StructType)
	if !ok {
		return
	}
	for _, f := range t.Fields.List {
		if strings.Contains(f.Doc.Text()+f.Comment.Text(), "NaN") {
			for _, n := range f.Names {
				l.entries = append(l.entries, fmt.Sprintf("none[%q] = true", pkg+"."+s.Name.Name+"."+n.Name))
			}
		}
	}
}

func (l *listing) name(pkg, name string, parameters *ast.FieldList, kind string) {
	full := pkg + "." + name
	switch {
	case parameters != nil:
		l.generic = append(l.generic, full)
	case kind == "function":
		l.entries = append(l.entries, fmt.Sprintf("functions[%q] = reflect.ValueOf(%s)", full, full))
	case kind == "type":
		l.entries = append(l.entries, fmt.Sprintf("types[%q] = reflect.TypeFor[%s]()", full, full))
	case kind == "value":
		l.entries = append(l.entries, fmt.Sprintf("values[%q] = reflect.ValueOf(&%s).Elem()", full, full))
	}
}

// source is the file that registers everything.
func (l *listing) source() string {
	var b strings.Builder
	b.WriteString("package exports\n\nimport (\n\t\"reflect\"\n\n")
	for _, i := range l.imports {
		fmt.Fprintf(&b, "\t%s\n", i)
	}
	b.WriteString(")\n\nfunc init() {\n")
	for _, e := range l.entries {
		fmt.Fprintf(&b, "\t%s\n", e)
	}
	fmt.Fprintf(&b, "\tgeneric = %#v\n}\n", l.generic)
	return b.String()
}
