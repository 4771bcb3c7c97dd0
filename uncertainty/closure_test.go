// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"strconv"
	"testing"

	"example.com/ohmwright/uncertainty/elementary"
)

// closure is a formula as a tree of functions: what one writes in an afternoon, and
// what the tape and the backward pass are compared with.
type closure func(x []float64) float64

// newClosure reads a formula whose names stand for x[0], x[1], …
func newClosure(t testing.TB, text string, names []string) closure {
	t.Helper()
	tree, err := parser.ParseExpr(text)
	if err != nil {
		t.Fatal(err)
	}
	place := make(map[string]int)
	for i, name := range names {
		place[name] = i
	}
	return closureOf(t, tree, place)
}

func closureOf(t testing.TB, e ast.Expr, place map[string]int) closure {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return closureOf(t, e.X, place)
	case *ast.BasicLit:
		v, err := strconv.ParseFloat(e.Value, 64)
		if err != nil {
			t.Fatal(err)
		}
		return func([]float64) float64 { return v }
	case *ast.Ident:
		i := place[e.Name]
		return func(x []float64) float64 { return x[i] }
	case *ast.CallExpr:
		a := closureOf(t, e.Args[0], place)
		if e.Fun.(*ast.Ident).Name == "exp" {
			return func(x []float64) float64 { return elementary.Exp(a(x)) }
		}
		return func(x []float64) float64 { return math.Sqrt(a(x)) }
	case *ast.BinaryExpr:
		a, b := closureOf(t, e.X, place), closureOf(t, e.Y, place)
		switch e.Op {
		case token.ADD:
			return func(x []float64) float64 { return a(x) + b(x) }
		case token.SUB:
			return func(x []float64) float64 { return a(x) - b(x) }
		case token.MUL:
			return func(x []float64) float64 { return a(x) * b(x) }
		case token.QUO:
			return func(x []float64) float64 { return a(x) / b(x) }
		}
	}
	t.Fatalf("no closure for %T", e)
	return nil
}
