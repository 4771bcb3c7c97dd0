// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"go/constant"
	"go/types"
	"slices"
	"strconv"
	"strings"
)

// describe returns one line for each exported name of a package, each field and
// each method, in a fixed order. Names of parameters are left out: they bind
// nobody. Paths inside the module are shortened.
func describe(pkg *types.Package, module string) []string {
	d := &describer{pkg: pkg, module: module}
	for _, name := range pkg.Scope().Names() {
		if obj := pkg.Scope().Lookup(name); obj.Exported() {
			d.object(obj)
		}
	}
	slices.Sort(d.lines)
	return slices.Compact(d.lines)
}

type describer struct {
	pkg    *types.Package
	module string
	lines  []string
}

func (d *describer) add(format string, args ...any) {
	d.lines = append(d.lines, fmt.Sprintf(format, args...))
}

// text prints a type.
func (d *describer) text(t types.Type) string {
	return types.TypeString(nameless(t), func(p *types.Package) string {
		if p == d.pkg {
			return ""
		}
		return strings.TrimPrefix(p.Path(), d.module+"/")
	})
}

// signature prints a function type without the word func.
func (d *describer) signature(t types.Type) string {
	return strings.TrimPrefix(d.text(t), "func")
}

func (d *describer) object(obj types.Object) {
	switch obj := obj.(type) {
	case *types.Const:
		d.add("const %s %s = %s", obj.Name(), d.text(obj.Type()), value(obj.Val()))
	case *types.Var:
		d.add("var %s %s", obj.Name(), d.text(obj.Type()))
	case *types.Func:
		d.add("func %s%s", obj.Name(), d.signature(obj.Type()))
	case *types.TypeName:
		d.typeName(obj)
	}
}

// value prints a constant: numbers to the precision in which they are used.
func value(v constant.Value) string {
	if v.Kind() == constant.Float {
		f, _ := constant.Float64Val(v)
		return strconv.FormatFloat(f, 'g', -1, 64)
	}
	return v.ExactString()
}

func (d *describer) typeName(obj *types.TypeName) {
	named, ok := obj.Type().(*types.Named)
	if obj.IsAlias() || !ok {
		d.add("type %s = %s", obj.Name(), d.text(types.Unalias(obj.Type())))
		return
	}
	name := obj.Name() + d.parameters(named.TypeParams())
	switch u := named.Underlying().(type) {
	case *types.Struct:
		d.add("type %s struct", name)
		if types.Comparable(u) {
			d.add("type %s comparable", name)
		}
		d.fields(obj.Name(), u)
		d.methods(obj.Name(), named)
	case *types.Interface:
		d.iface(obj.Name(), name, u)
	default:
		d.add("type %s %s", name, d.text(u))
		d.methods(obj.Name(), named)
	}
}

func (d *describer) parameters(list *types.TypeParamList) string {
	var words []string
	for p := range list.TypeParams() {
		words = append(words, p.Obj().Name()+" "+d.text(p.Constraint()))
	}
	if words == nil {
		return ""
	}
	return "[" + strings.Join(words, ", ") + "]"
}

// fields describes the fields that can be selected on owner, including those of
// an embedded type that is not exported itself.
func (d *describer) fields(owner string, s *types.Struct) {
	for f := range s.Fields() {
		if f.Exported() {
			d.add("field %s.%s %s", owner, f.Name(), d.text(f.Type()))
			continue
		}
		if inner, ok := pointee(f.Type()).Underlying().(*types.Struct); ok && f.Embedded() {
			d.fields(owner, inner)
		}
	}
}

func pointee(t types.Type) types.Type {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		return p.Elem()
	}
	return t
}

// methods describes the methods of a type, promoted ones included.
func (d *describer) methods(owner string, t types.Type) {
	onValue := types.NewMethodSet(t)
	for sel := range types.NewMethodSet(types.NewPointer(t)).Methods() {
		m := sel.Obj()
		if !m.Exported() {
			continue
		}
		star := "*"
		if onValue.Lookup(m.Pkg(), m.Name()) != nil {
			star = ""
		}
		d.add("method (%s%s).%s%s", star, owner, m.Name(), d.signature(m.Type()))
	}
}

// iface describes an interface. One that others can implement stands on a
// single line, since each new method breaks them; one with an unexported method
// may grow, a line a method.
func (d *describer) iface(owner, name string, i *types.Interface) {
	if !i.IsMethodSet() {
		d.add("type %s %s", name, d.text(i))
		return
	}
	var methods []string
	sealed := false
	for m := range i.Methods() {
		if !m.Exported() {
			sealed = true
			continue
		}
		methods = append(methods, m.Name()+d.signature(m.Type()))
	}
	if !sealed {
		slices.Sort(methods)
		d.add("type %s interface{ %s }", name, strings.Join(methods, "; "))
		return
	}
	d.add("type %s interface, for this package to implement", name)
	for _, m := range methods {
		d.add("method (%s).%s", owner, m)
	}
}

// nameless returns a function type without the names of its parameters, down
// to parameters that are functions themselves; other types as they are.
func nameless(t types.Type) types.Type {
	s, ok := t.(*types.Signature)
	if !ok || s.TypeParams() != nil {
		return t
	}
	return types.NewSignatureType(nil, nil, nil, tuple(s.Params()), tuple(s.Results()),
		s.Variadic())
}

func tuple(list *types.Tuple) *types.Tuple {
	var vars []*types.Var
	for v := range list.Variables() {
		vars = append(vars, types.NewParam(v.Pos(), v.Pkg(), "", nameless(v.Type())))
	}
	return types.NewTuple(vars...)
}
