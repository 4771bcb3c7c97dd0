// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"testing"
)

func TestCauses(t *testing.T) {
	const unit = "package unit\nvar ErrDomain = errors.New(\"domain\")\ntype Error struct{}\n"
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"shared", "package wire\ntype Error = unit.Error\nvar ErrDomain = unit.ErrDomain\nvar ErrWire = errors.New(\"wire\")\n", nil},
		{"made twice", "package wire\nvar (\n\tErrDomain = errors.New(\"outside\")\n)\n",
			[]string{"wire/a.go:6: ErrDomain is made a second time, after uncertainty/unit/a.go:5: expected the same value, or another name"}},
		{"another name", "package wire\nvar ErrLimit = unit.ErrDomain\n",
			[]string{"wire/a.go:5: ErrLimit is ErrDomain elsewhere: expected one name"}},
		{"own type", "package wire\ntype Error struct{ Op string }\n",
			[]string{"wire/a.go:5: type Error is not that of uncertainty/unit: declare type Error = unit.Error"}},
		{"defined from it", "package wire\ntype Error unit.Error\n",
			[]string{"wire/a.go:5: type Error is not that of uncertainty/unit: declare type Error = unit.Error"}},
		{"not a cause", "package wire\nvar a, ErrB = f()\nvar c, d = 1, 2\n", nil},
	} {
		got, err := causes(files(map[string]string{"uncertainty/unit/a.go": unit, "wire/a.go": c.text}))
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q; want %q", c.name, got, c.want)
		}
	}
}
