// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"testing"
)

// lines describes a package given by its source, which imports nothing.
func lines(t *testing.T, src string) []string {
	t.Helper()
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "p.go", "package p\n"+src, 0)
	if err != nil {
		t.Fatal(err)
	}
	pkg, err := new(types.Config).Check("example.com/m/p", fset, []*ast.File{f}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return describe(pkg, "example.com/m")
}

func TestDescribe(t *testing.T) {
	const src = `
const A, b = 0.1, 2
const S = "a"
type Kind int
const K Kind = 3
var V, v []Kind
func F(x, y float64, f func(z int) error, more ...string) (r *T, err error) { return }
func G[P any](p P) {}
type inner struct{ Deep, hidden int }
func (inner) Promoted() {}
type T struct { inner; Field map[string]Kind; f func() }
func (T) M(a int) {}
func (*T) N() {}
func (*T) n() {}
type C struct { x int }
type I interface { B(x int); A() }
type Sealed interface { A(); a() }
type Number interface { ~int | ~float64 }
type Of[P Number] struct { V P }
type Alias = []T
`
	want := []string{
		"const A untyped float = 0.1",
		"const K Kind = 3",
		`const S untyped string = "a"`,
		"field Of.V P",
		"field T.Deep int",
		"field T.Field map[string]Kind",
		"func F(float64, float64, func(int) error, ...string) (*T, error)",
		"func G[P any](p P)",
		"method (*T).N()",
		"method (Sealed).A()",
		"method (T).M(int)",
		"method (T).Promoted()",
		"type Alias = []T",
		"type C comparable",
		"type C struct",
		"type I interface{ A(); B(int) }",
		"type Kind int",
		"type Number interface{~int | ~float64}",
		"type Of[P Number] comparable",
		"type Of[P Number] struct",
		"type Sealed interface, for this package to implement",
		"type T struct",
		"var V []Kind",
	}
	if got := lines(t, src); !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestIncompatible(t *testing.T) {
	tests := []struct {
		name, old, now string
		want           []string
	}{
		{"same", "func F(x int) {}", "func F(y int) {}", nil},
		{"new names", "type T struct{ A int }", "type T struct{ A, B int }\nfunc F() {}\nfunc (T) M() {}", nil},
		{"parameter", "func F(int) {}", "func F(int, int) {}", []string{"\t- func F(int)", "\t+ func F(int, int)"}},
		{"gone", "func F() {}", "func Fine() {}", []string{"\t- func F()"}},
		{"value of a constant", "const A = 1", "const A = 2", []string{"\t- const A untyped int = 1", "\t+ const A untyped int = 2"}},
		{"field", "type T struct{ A int }", "type T struct{ A string }", []string{"\t- field T.A int", "\t+ field T.A string"}},
		{"comparable no more", "type T struct{ a int }", "type T struct{ a []int }", []string{"\t- type T comparable"}},
		{"kind", "type T struct{}", "type T int", []string{"\t- type T comparable", "\t+ type T int", "\t- type T struct", "\t+ type T int"}},
		{"pointer to value", "type T int\nfunc (*T) M() {}", "type T int\nfunc (T) M() {}", nil},
		{"value to pointer", "type T int\nfunc (T) M() {}", "type T int\nfunc (*T) M() {}", []string{"\t- method (T).M()", "\t+ method (*T).M()"}},
		{"interface grows", "type I interface{ A() }", "type I interface{ A(); B() }", []string{"\t- type I interface{ A() }", "\t+ type I interface{ A(); B() }"}},
		{"sealed interface grows", "type I interface{ A(); x() }", "type I interface{ A(); B(); x() }", nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := incompatible(lines(t, test.old), lines(t, test.now)); !slices.Equal(got, test.want) {
				t.Errorf("got %q, want %q", got, test.want)
			}
		})
	}
}

func TestCompare(t *testing.T) {
	old := map[string][]string{"a": {"func F()"}, "b/c": {"func F()"}, "d": {""}}
	now := map[string][]string{"a": {"func F(int)"}, "new": {"func F()"}, "d": {"func F()"}}
	want := []string{"package a", "\t- func F()", "\t+ func F(int)", "package b/c is gone"}
	if got := compare(old, now); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestSaved(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "api")
	if got, err := saved(dir); len(got) != 0 || err != nil {
		t.Errorf("no directory: got %v, %v", got, err)
	}
	all := map[string][]string{"a": {"func F()", "func G()"}, "a/b": {"var V int"}, "empty": nil}
	for range 2 {
		if err := save(dir, all); err != nil {
			t.Fatal(err)
		}
		got, err := saved(dir)
		if err != nil || len(got) != 3 || len(compare(all, got)) != 0 || len(compare(got, all)) != 0 {
			t.Errorf("got %q, %v; want %q", got, err, all)
		}
	}
}
