// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/unit"
)

type inner struct {
	X float64 `json:"x"`
}

// odd reads itself and accepts odd numbers.
type odd int

func (o *odd) UnmarshalJSON(text []byte) error {
	var n int
	if err := json.Unmarshal(text, &n); err != nil || n%2 == 0 {
		return &unit.Error{Op: "odd", Err: unit.Errorf(unit.ErrDomain, "%s; expected an odd number", text)}
	}
	*o = odd(n)
	return nil
}

type embedded struct {
	Serial string `json:"serial"`
}

type shape struct {
	embedded
	Name   string             `json:"name"`
	Count  int                `json:"count"`
	On     bool               `json:"on"`
	Inner  *inner             `json:"inner"`
	List   []inner            `json:"list"`
	Map    map[string]float64 `json:"map"`
	Odd    *odd               `json:"odd"`
	Plain  float64
	hidden int
	Out    int `json:"-"`
}

func TestDecode(t *testing.T) {
	var s shape
	const text = "\ufeff" + `{"name":"a","count":3,"on":true,"inner":{"x":1e-3},"list":[{"x":1},{"x":2}],"map":{"p":1,"q":2},"odd":3,"Plain":4,"serial":"17"}`
	if err := Decode("op", strings.NewReader(text), 1000, &s); err != nil {
		t.Fatal(err)
	}
	if s.Name != "a" || s.Count != 3 || !s.On || s.Inner.X != 1e-3 || len(s.List) != 2 || s.List[1].X != 2 || s.Map["q"] != 2 || *s.Odd != 3 || s.Plain != 4 || s.Serial != "17" || s.hidden != 0 {
		t.Errorf("read %+v", s)
	}
	if err := Decode("op", strings.NewReader(`{"list":null,"map":null}`), 1000, &s); err != nil {
		t.Errorf("null for a list: %v", err)
	}
}

func TestDecodeRefuses(t *testing.T) {
	for _, c := range []struct {
		text, contains string
		err            error
	}{
		{"", "op: empty file", unit.ErrSyntax},
		{"{", "op: line 1, column 1: unexpected end", unit.ErrSyntax},
		{"{} 1", "line 1, column 4", unit.ErrSyntax},
		{"[]", "op: line 1, column 1: []; expected a JSON object", unit.ErrSyntax},
		{"null", "null; expected a JSON object", unit.ErrSyntax},
		{`{"nam":"a"}`, `op: line 1, column 2: nam: unknown key "nam"; did you mean "name"?`, unit.ErrUnknown},
		{`{"Name":"a"}`, `Name: unknown key "Name"; did you mean "name"?`, unit.ErrUnknown},
		{`{"colour":"a"}`, `unknown key "colour"; expected one of Plain, count, inner`, unit.ErrUnknown},
		{`{"hidden":1}`, "unknown key", unit.ErrUnknown},
		{`{"Out":1}`, "unknown key", unit.ErrUnknown},
		{`{"name":"a","name":"b"}`, "line 1, column 13: name: key \"name\" twice", unit.ErrSyntax},
		{`{"map":{"p":1,"p":2}}`, "line 1, column 15: map.p: key \"p\" twice", unit.ErrSyntax},
		{`{"map":{"p":"1"}}`, "line 1, column 13: map.p: \"1\"; expected a number", unit.ErrSyntax},
		{"{\"list\":[{\"x\":1},\n {\"y\":1}]}", "line 2, column 3: list[1].y: unknown key \"y\"; expected one of x", unit.ErrUnknown},
		{`{"name":1}`, "line 1, column 9: name: 1; expected a string", unit.ErrSyntax},
		{`{"name":null}`, "name: null; expected a string", unit.ErrSyntax},
		{`{"count":1.5}`, "count: 1.5; expected a whole number", unit.ErrSyntax},
		{`{"on":1}`, "on: 1; expected true or false", unit.ErrSyntax},
		{`{"list":1}`, "list: 1; expected a list", unit.ErrSyntax},
		{`{"inner":[]}`, "inner: []; expected a JSON object", unit.ErrSyntax},
		// What JSON has not: in the words of a person with a file, never those of the decoder.
		{`{"count":.5}`, "line 1, column 10: .5; expected a number such as 0.5", unit.ErrSyntax},
		{`{"count":+5}`, "line 1, column 10: +5; expected a number", unit.ErrSyntax},
		{`{"count":05}`, "line 1, column 10: 05; expected a number", unit.ErrSyntax},
		{`{"count":5.}`, "line 1, column 10: 5.; expected a number", unit.ErrSyntax},
		{`{"count":5e}`, "line 1, column 10: 5e; expected a number", unit.ErrSyntax},
		{`{"count":NaN}`, "line 1, column 10: NaN without quotes; expected a number", unit.ErrSyntax},
		{`{"count":nil}`, "line 1, column 10: nil without quotes", unit.ErrSyntax},
		{`{"on":True}`, "line 1, column 7: True without quotes", unit.ErrSyntax},
		{`{"count":12 mΩ}`, "line 1, column 13: mΩ after another entry; expected a comma between the two, or quotes around a number and its unit", unit.ErrSyntax},
		{`{count:1}`, "line 1, column 2: count without quotes", unit.ErrSyntax},
		{"count: 1", "line 1, column 1: count; expected one JSON object, which begins with {", unit.ErrSyntax},
		{"{} x", "line 1, column 4: 'x' after the end of the object", unit.ErrSyntax},
		{"{\"name\":\"a\tb\"}", "line 1, column 11: a tab or another control character", unit.ErrSyntax},
		{`{"name":"C:\data"}`, "line 1, column 13: a backslash before 'd'", unit.ErrSyntax},
		{"{\"name\":\"5 \xd9\"}", "line 1, column 12: a byte 0xd9 that is not UTF-8; expected UTF-8: save the file as UTF-8", unit.ErrSyntax},
		{strings.Repeat("0", 900), "…; expected a number such as", unit.ErrSyntax}, // cut where it is long
		{`{“name”:1}`, "line 1, column 2: typographic quotes (“)", unit.ErrSyntax},
		{`{"name":"a”}`, "line 1, column 11: typographic quotes (”)", unit.ErrSyntax},
		{"{\"name\":\"a”,\n\"on\":true}", "line 1, column 11: typographic quotes (”)", unit.ErrSyntax},
		{"{\"name\":\"a\n}", "line 1, column 11: text without a closing quote", unit.ErrSyntax},
		{`{'name':1}`, "line 1, column 2: single quotes", unit.ErrSyntax},
		{"{\u00a0\"on\":true}", "line 1, column 2: an invisible character (U+00A0", unit.ErrSyntax},
		{`{"on":true,}`, "line 1, column 11: a comma before '}'", unit.ErrSyntax},
		{`{"list":[{"x":1},]}`, "line 1, column 17: a comma before ']'", unit.ErrSyntax},
		{`{"count":1,5}`, "line 1, column 11: a comma within a number; expected a decimal point", unit.ErrSyntax},
		{`{"on":true} // on`, "line 1, column 13: '/' begins no value", unit.ErrSyntax},
		{`{"on":true "name":"a"}`, "line 1, column 12: '\"' after another entry; expected a comma", unit.ErrSyntax},
		{`{"odd":2}`, "op: line 1, column 8: odd: 2; expected an odd number", unit.ErrDomain},
		{`{"name":"` + strings.Repeat("a", 1000) + `"}`, "more than 1000 bytes", ErrSize},
	} {
		err := Decode("op", strings.NewReader(c.text), 1000, new(shape))
		if !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("%.40s: %v; want %v with %q", c.text, err, c.err, c.contains)
		}
	}
	if err := Decode("op", nil, 10, new(shape)); !errors.Is(err, unit.ErrNotStated) {
		t.Errorf("nil reader: %v", err)
	}
	for _, v := range []any{nil, shape{}, (*shape)(nil)} {
		if err := Decode("op", strings.NewReader("{}"), 10, v); !errors.Is(err, unit.ErrDomain) {
			t.Errorf("%T: %v", v, err)
		}
	}
}

// What Decode takes, encoding/json takes with the same result, and no key stands twice.
func FuzzDecode(f *testing.F) {
	f.Add(`{"name":"a","inner":{"x":1},"list":[{"x":2}],"odd":3}`) // all shapes
	f.Add(`{"name":"a","NAME":"b"}`)                               // one key to encoding/json
	f.Add(`{"list":[null],"map":{"":1}}`)                          // null in a list, empty key
	f.Add("{\"name\":\n\t\"\\u00b5\"}")                            // escapes and lines
	f.Fuzz(func(t *testing.T, text string) {
		var ours, theirs shape
		if err := Decode("op", strings.NewReader(text), 10000, &ours); err != nil {
			if len(err.Error()) > 1000 {
				t.Errorf("an error of %d bytes", len(err.Error()))
			}
			return
		}
		if err := json.Unmarshal([]byte(strings.TrimPrefix(text, "\ufeff")), &theirs); err != nil {
			t.Fatal(err)
		}
		if ours.Name != theirs.Name || len(ours.List) != len(theirs.List) {
			t.Errorf("%q: %+v; want %+v", text, ours, theirs)
		}
	})
}

// FuzzRead checks that no text breaks the reader of objects, and that errors are short.
func FuzzRead(f *testing.F) {
	f.Add(`{"name":"a","step":"10 kΩ","parts":[{"x":1},{"x":"5 mV"}]}`) // all kinds of values
	f.Add(`{"parts":[{"x":1 } , {"y":2}]}`)                             // blanks between the parts
	f.Add("{\"stpe\"\t:\n1}")                                           // an unknown key
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := read(text); err != nil && len(err.Error()) > 1000 {
			t.Errorf("an error of %d bytes", len(err.Error()))
		}
	})
}

// Near against a search through all names by the plain recursion.
func TestNearAgainstRecursion(t *testing.T) {
	var plain func(a, b []rune) int
	plain = func(a, b []rune) int {
		if len(a) == 0 || len(b) == 0 {
			return len(a) + len(b)
		}
		d := plain(a[1:], b[1:])
		if a[0] != b[0] {
			d++
		}
		d = min(d, plain(a[1:], b)+1, plain(a, b[1:])+1)
		if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
			d = min(d, plain(a[2:], b[2:])+1)
		}
		return d
	}
	words := []string{"step", "steps", "stp", "tesp", "name", "nmae", "unit", "tin", "zinc", "copper", "cooper", "opcper", "", "µΩ", "Ωµ"}
	for _, a := range words {
		for _, b := range words {
			want := plain([]rune(a), []rune(b))
			if got := distance([]rune(a), []rune(b), 20); got != want {
				t.Errorf("distance of %q and %q: %d; want %d", a, b, got, want)
			}
			if got := distance([]rune(a), []rune(b), want-1); got < want {
				t.Errorf("bounded distance of %q and %q: %d; want more than %d", a, b, got, want-1)
			}
		}
	}
}

func TestNear(t *testing.T) {
	known := []string{"step", "manganin", "tin", "constantan", "nickel", "AWG", "SWG", "tin"}
	for given, want := range map[string]string{
		"stp": "step", "STEP": "step", "setp": "step", "tn": "", "cwg": "", "awg": "AWG", "ti": "", "tim": "tin", "nickle": "nickel", "cuni": "", "nicr": "", "magnanin": "manganin",
		"manganin86": "manganin", "konstantan": "constantan", "": "", "x": "", "nikel": "nickel", strings.Repeat("x", 65): "", strings.Repeat("x", 10000): "",
	} {
		if got := Near(given, known...); got != want {
			t.Errorf("Near(%q) = %q; want %q", given, got, want)
		}
	}
	if got := Unknown("unit", "x", slices.Repeat(known, 10)...); strings.Contains(got.Error(), "tin") {
		t.Errorf("a list of 60 names: %v", got)
	}
}

func BenchmarkNear(b *testing.B) {
	known := slices.Repeat([]string{"copper, hard-drawn", "manganin", "constantan", "phosphor bronze", "nickel-chromium 80/20"}, 80)
	for _, given := range []string{"unobtainium wire", "wood"} {
		b.Run(given, func(b *testing.B) {
			for b.Loop() {
				Near(given, known...)
			}
		})
	}
}

// Commas of both kinds in one list of numbers are a finding where those without a blank may be
// decimal commas.
func TestDecodeDecimalCommas(t *testing.T) {
	for _, c := range []struct {
		list string
		want string // place of the refusal, empty where there is none
	}{
		{"[1,25, 1,26]", "line 1, column 9"}, {"[1,25, 1,26, 1,27]", "line 1, column 9"}, {"[-1,25, 10,3]", "line 1, column 10"},
		{"[1,25,\n 1,26]", "line 1, column 9"}, {"[1.25, 1,26, 1.27]", "line 1, column 15"}, {"[ 1.25, 1, 1,26 ]", "line 1, column 19"},
		{"[1,2,1,5]", ""}, {"[1, 25, 1, 26]", ""}, {"[1,25]", ""}, {"[1,2,3, 4,5,6]", ""}, {"[1.5,2, 3.5,4]", ""}, {"[1,-2, 3,-4]", ""},
		{"[1, 2,3, 4]", ""}, {"[1,2e3, 2,3e3]", ""}, {"[]", ""}, {"[1]", ""}, {"[1,25, 7, 1,26]", ""},
	} {
		var v struct {
			A []float64 `json:"a"`
		}
		err := Decode("op", strings.NewReader(`{"a": `+c.list+`}`), 1000, &v)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !errors.Is(err, unit.ErrSyntax) || !strings.Contains(err.Error(), c.want+": a: a comma without a blank")) {
			t.Errorf("%s: %v; want %q", c.list, err, c.want)
		}
	}
	// Whole numbers have no decimals, texts and lists are no numbers.
	var v struct {
		N []int       `json:"n"`
		S []string    `json:"s"`
		L [][]float64 `json:"l"`
	}
	if err := Decode("op", strings.NewReader(`{"n": [1,25, 1,26], "s": ["1","2", "3","4"], "l": [[1],[2], [3],[4]]}`), 1000, &v); err != nil {
		t.Error(err)
	}
}
