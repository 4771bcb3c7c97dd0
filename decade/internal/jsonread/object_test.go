// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package jsonread

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
)

type thing struct {
	name      string
	on        bool
	count     int
	step      float64
	reference *float64
	list      []int
	lists     [][]int
	parts     []float64
}

func read(text string) (th thing, err error) {
	o, err := Read(strings.NewReader(text), 1000)
	if err != nil {
		return th, err
	}
	o.Text("name", &th.name)
	o.Bool("on", &th.on)
	o.Whole("count", &th.count)
	o.Quantity("step", unit.Ohm, &th.step)
	o.Optional("reference", unit.Celsius, &th.reference)
	o.Wholes("list", &th.list)
	o.WholeLists("lists", &th.lists)
	for _, p := range o.Objects("parts", 2) {
		var v float64
		p.Require("x")
		p.Quantity("x", unit.Volt, &v)
		th.parts = append(th.parts, v)
	}
	if in := o.Object("inner"); in != nil {
		in.Text("name", &th.name)
	}
	return th, o.Close()
}

func TestRead(t *testing.T) {
	th, err := read("\ufeff" + `{"name":"a","on":true,"count":3,"step":"10 kΩ","reference":0,"list":[1,2],"lists":[[],[1]],
		"parts":[{"x":1},{"x":"5 mV"}]}`)
	if err != nil {
		t.Fatal(err)
	}
	got := fmt.Sprintln(th.name, th.on, th.count, th.step, *th.reference, th.list, th.lists, th.parts)
	if want := "a true 3 10000 0 [1 2] [[] [1]] [1 0.005]\n"; got != want {
		t.Errorf("got %s; want %s", got, want)
	}
}

func TestReadRefuses(t *testing.T) {
	for _, c := range []struct {
		text, contains string
		err            error
	}{
		{"", "empty file", ErrSyntax},
		{" \n", "empty file", ErrSyntax},
		{"[1]", "expected a JSON object", ErrSyntax},
		{"null", "expected a JSON object", ErrSyntax},
		{"{\n  x}", "line 2, column 3", ErrSyntax},
		{`{"name":"a"} 1`, "line 1", ErrSyntax},
		{`{"name":"a"}{}`, "line 1", ErrSyntax},
		{`{"name":"a","name":"b"}`, "name: key \"name\" twice", ErrKey},
		{`{"Name":"a"}`, "unknown key \"Name\"; expected one of name, on", ErrKey},
		{`{"inner":{"nam":"a"}}`, "inner.nam: unknown key", ErrKey},
		{`{"inner":{"name":"a","name":"a"}}`, "inner.name: key", ErrKey},
		{`{"inner":[]}`, "inner: []; expected a JSON object", ErrSyntax},
		{`{"name":1}`, "name: 1; expected a string", ErrSyntax},
		{`{"name":null}`, "name: null", ErrSyntax},
		{`{"on":"yes"}`, "on:", ErrSyntax},
		{`{"count":1.5}`, "count: 1.5; expected a whole number", ErrSyntax},
		{`{"count":1e99}`, "count:", ErrSyntax},
		{`{"step":true}`, "step: true; expected a number in SI", ErrSyntax},
		{`{"step":"10"}`, "step: \"10\": no unit", unit.ErrUnit},
		{`{"step":"10 V"}`, "unit \"V\" is not one of resistance", unit.ErrUnitMismatch},
		{`{"step":1e999}`, "too large", unit.ErrRange},
		{`{"list":[1,"2"]}`, "list:", ErrSyntax},
		{`{"parts":{}}`, "parts: {}; expected a list of objects", ErrSyntax},
		{`{"parts":[{"x":1},{"x":1},{"x":1}]}`, "parts: 3 entries; expected at most 2", ErrSize},
		{`{"parts":[{"x":1},2]}`, "parts[1]: 2; expected a JSON object", ErrSyntax},
		{`{"parts":[{"x":1},{}]}`, "parts[1].x: missing", ErrMissing},
		{`{"parts":[{"x":1,"y":2}]}`, "parts[0].y: unknown key", ErrKey},
		{`{"name":"` + strings.Repeat("a", 1000) + `"}`, "more than 1000 bytes", ErrSize},
		{`{"` + strings.Repeat("a", 500) + `":1}`, "unknown key", ErrKey},
	} {
		_, err := read(c.text)
		if !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("%.40s: error %v; want %v with %q", c.text, err, c.err, c.contains)
		}
		if err != nil && len(err.Error()) > 300 {
			t.Errorf("%.40s: error of %d bytes", c.text, len(err.Error()))
		}
	}
	if _, err := Read(nil, 10); !errors.Is(err, ErrMissing) {
		t.Errorf("nil reader: %v", err)
	}
	if _, err := Read(io.MultiReader(strings.NewReader("{"), broken{}), 10); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("broken reader: %v", err)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, io.ErrClosedPipe }
