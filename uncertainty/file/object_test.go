// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

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
	texts     []string
	lists     [][]int
	parts     []float64
}

func read(text string) (th thing, err error) {
	o, err := Read("file.Read", strings.NewReader(text), 1000)
	if err != nil {
		return th, err
	}
	o.Text("name", &th.name)
	o.Bool("on", &th.on)
	o.Whole("count", &th.count)
	o.Quantity("step", unit.Ohm, &th.step)
	o.Optional("reference", unit.Celsius, &th.reference)
	o.Wholes("list", &th.list)
	o.Texts("texts", &th.texts)
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

// Without a place to go the value is checked all the same.
func TestNowhere(t *testing.T) {
	for text, good := range map[string]bool{
		`{"on":true,"name":"a","count":3,"step":"5 Ω","reference":"20 °C","list":[1]}`: true,
		`{"on":1,"name":2,"count":"3","step":"5 K","reference":"x","list":1}`:          false,
	} {
		o, err := Read("file.Read", strings.NewReader(text), 1000)
		if err != nil {
			t.Fatal(err)
		}
		for i, ok := range []bool{o.Bool("on", nil), o.Text("name", nil), o.Whole("count", nil),
			o.Quantity("step", unit.Ohm, nil), o.Optional("reference", unit.Celsius, nil), o.Wholes("list", nil)} {
			if ok != good {
				t.Errorf("%s: value %d: %v", text, i, ok)
			}
		}
		if err := o.Close(); (err == nil) != good {
			t.Errorf("%s: %v", text, err)
		}
	}
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
		{"", "empty file", unit.ErrSyntax},
		{" \n", "empty file", unit.ErrSyntax},
		{"[1]", "expected a JSON object", unit.ErrSyntax},
		{"null", "expected a JSON object", unit.ErrSyntax},
		{"{\n  x}", "line 2, column 3", unit.ErrSyntax},
		{`{"name":"a"} 1`, "line 1", unit.ErrSyntax},
		{`{"name":"a"}{}`, "line 1", unit.ErrSyntax},
		{`{"name":"a","name":"b"}`, "line 1, column 13: name: key \"name\" twice", unit.ErrSyntax},
		{`{"Name":"a"}`, "line 1, column 2: Name: unknown key \"Name\"; did you mean \"name\"?", unit.ErrUnknown},
		{`{"colour":"a"}`, "unknown key \"colour\"; expected one of name, on", unit.ErrUnknown},
		{`{"parts":[{"xx":1}]}`, "line 1, column 12: parts[0].xx: unknown key \"xx\"; expected one of x", unit.ErrUnknown},
		{"{\"name\": \"µΩ\", \"stpe\":\n 1}", "line 1, column 16: stpe: unknown key \"stpe\"; did you mean \"step\"?", unit.ErrUnknown},
		{"{\n\"parts\": [\n  {\"x\": 1},\n  {\"x\": \"1 Ω\"}]}", "line 4, column 9: parts[1].x: \"1 Ω\": unit", unit.ErrUnitMismatch},
		{`{"old":1}`, `line 1, column 2: old: unknown key "old"`, unit.ErrUnknown},
		{`{"inner":{"nam":"a"}}`, "inner.nam: unknown key", unit.ErrUnknown},
		{`{"colour":"a"}`, "unknown key \"colour\"; expected one of name, on", unit.ErrUnknown},
		{`{"parts":[{"xx":1}]}`, "line 1, column 12: parts[0].xx: unknown key \"xx\"; expected one of x", unit.ErrUnknown},
		{"{\"name\": \"µΩ\", \"stpe\":\n 1}", "line 1, column 16: stpe: unknown key \"stpe\"; did you mean \"step\"?", unit.ErrUnknown},
		{"{\n\"parts\": [\n  {\"x\": 1},\n  {\"x\": \"1 Ω\"}]}", "line 4, column 9: parts[1].x: \"1 Ω\": unit", unit.ErrUnitMismatch},
		{`{"old":1}`, `line 1, column 2: old: unknown key "old"`, unit.ErrUnknown},
		{`{"inner":{"name":"a","name":"a"}}`, "line 1, column 22: inner.name: key", unit.ErrSyntax},
		{`{"inner":[]}`, "inner: []; expected a JSON object", unit.ErrSyntax},
		{`{"name":1}`, "name: 1; expected a string", unit.ErrSyntax},
		{`{"name":null}`, "name: null", unit.ErrSyntax},
		{`{"on":"yes"}`, "on:", unit.ErrSyntax},
		{`{"count":1.5}`, "count: 1.5; expected a whole number", unit.ErrSyntax},
		{`{"count":1e99}`, "count:", unit.ErrSyntax},
		{`{"step":true}`, "step: true; expected a number in SI", unit.ErrSyntax},
		{`{"step":"10"}`, "step: \"10\": no unit", unit.ErrUnit},
		{`{"step":"10 V"}`, "unit \"V\" is not one of resistance", unit.ErrUnitMismatch},
		{`{"step":1e999}`, "too large", unit.ErrRange},
		{`{"list":[1,"2"]}`, "list:", unit.ErrSyntax},
		{`{"parts":{}}`, "parts: {}; expected a list of objects", unit.ErrSyntax},
		{`{"parts":[{"x":1},{"x":1},{"x":1}]}`, "parts: 3 entries; expected at most 2", ErrSize},
		{`{"parts":[{"x":1},2]}`, "parts[1]: 2; expected a JSON object", unit.ErrSyntax},
		{`{"parts":[{"x":1},{}]}`, "parts[1].x: missing", unit.ErrNotStated},
		{`{"parts":[{"x":1,"y":2}]}`, "parts[0].y: unknown key", unit.ErrUnknown},
		{`{"name":"` + strings.Repeat("a", 1000) + `"}`, "more than 1000 bytes", ErrSize},
		{`{"` + strings.Repeat("a", 500) + `":1}`, "unknown key", unit.ErrUnknown},
	} {
		_, err := read(c.text)
		if !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("%.40s: error %v; want %v with %q", c.text, err, c.err, c.contains)
		}
		if err != nil && len(err.Error()) > 300 {
			t.Errorf("%.40s: error of %d bytes", c.text, len(err.Error()))
		}
	}
	if _, err := Read("file.Read", nil, 10); !errors.Is(err, unit.ErrNotStated) {
		t.Errorf("nil reader: %v", err)
	}
	if _, err := Read("file.Read", io.MultiReader(strings.NewReader("{"), broken{}),
		10); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("broken reader: %v", err)
	}
}

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, io.ErrClosedPipe }
