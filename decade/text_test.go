// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

func TestSettingText(t *testing.T) {
	b := box(t, bench())
	for _, c := range []struct{ text, want string }{
		{"1-2-3-4-5", "1-2-3-4-5"}, {"10-0-0-0-10", "10-0-0-0-10"}, {" 0-0-0-0-0\t", "0-0-0-0-0"},
		{"1 – 2 – 3 – 4 – 10", "1-2-3-4-10"}, {"1\u20112\u22123\u20144\u20125", "1-2-3-4-5"}, {"1 2\u00a03  4 5", "1-2-3-4-5"},
	} {
		s, err := b.ParseSetting(c.text)
		if err != nil || s.String() != c.want {
			t.Errorf("ParseSetting(%q) = %v, %v; want %s", c.text, s, err, c.want)
		}
		text, err := s.MarshalText()
		if err != nil || string(text) != c.want {
			t.Errorf("MarshalText of %v: %q, %v", s, text, err)
		}
	}
}

func TestParseSettingRefuses(t *testing.T) {
	b := box(t, school())
	for _, c := range []struct {
		text, contains string
		err            error
	}{
		{"", `"": 0 positions; expected 5 joined by "-", such as 0-0-0-0-0`, decade.ErrSyntax},
		{"1-2-3", "3 positions; expected 5", decade.ErrSyntax},
		{"1-2-3-4-5-6", "6 positions", decade.ErrSyntax},
		{"0-0-0-0-", `dial ×0.1 Ω: ""; expected a whole number from 0 to 10`, decade.ErrSyntax},
		{"0-0-0-0-x", `dial ×0.1 Ω: "x"`, decade.ErrSyntax},
		{"0-0-0-0-01", `"01"`, decade.ErrSyntax},
		{"0-0-0-0-+1", `"+1"`, decade.ErrSyntax},
		{"0-0-0 0-0-1", `"0 0"`, decade.ErrSyntax},
		{"1 0-0-0-1", "4 positions", decade.ErrSyntax},
		{"0-0-0-0-11", "dial ×0.1 Ω: position 11; expected 0 to 10", decade.ErrPosition},
		{"0-0-0-0-99999999999999999999", "position 999999999; expected 0 to 10", decade.ErrPosition},
		{"1-1-0-0-0", "both on switch", decade.ErrSharedDials},
		{strings.Repeat("1", 5000), "1 position", decade.ErrSyntax},
	} {
		s, err := b.ParseSetting(c.text)
		if s.IsValid() || !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) || len(err.Error()) > 300 {
			t.Errorf("ParseSetting(%.40q) = %v, %v; want %v with %q", c.text, s, err, c.err, c.contains)
		}
	}
}

// A setting in JSON is its text; reading needs a setting of the box.
func TestSettingJSON(t *testing.T) {
	b := box(t, bench())
	type record struct{ Setting decade.Setting }
	data, err := json.Marshal(record{at(t, b, 1, 2, 3, 4, 5)})
	if err != nil || string(data) != `{"Setting":"1-2-3-4-5"}` {
		t.Fatalf("%s, %v", data, err)
	}
	r := record{b.Zero()}
	if err := json.Unmarshal(data, &r); err != nil || r.Setting != at(t, b, 1, 2, 3, 4, 5) {
		t.Errorf("%v, %v", r, err)
	}
	if err := json.Unmarshal(data, &record{}); !errors.Is(err, decade.ErrNoBox) || !strings.Contains(err.Error(), "Box.ParseSetting") {
		t.Errorf("without a box: %v", err)
	}
	if err := json.Unmarshal([]byte(`{"Setting":"1-2"}`), &r); !errors.Is(err, decade.ErrSyntax) || r.Setting != at(t, b, 1, 2, 3, 4, 5) {
		t.Errorf("bad text: %v, %v", r.Setting, err)
	}
	if _, err := json.Marshal(record{}); err == nil {
		t.Error("the zero Setting became JSON")
	}
}

// FuzzParseSetting checks that what is read is written the same and is a setting.
func FuzzParseSetting(f *testing.F) {
	f.Add("1-0-3-4-5")       // plain
	f.Add("0-9-10-10-0")     // above 9
	f.Add("1-1-0-0-0")       // both ranges of a switch
	f.Add("0-0-0-0-01")      // leading zero
	f.Add("1 – 0–3 – 4 – 5") // en dashes
	f.Add("1 0 3 4 5")       // blanks
	b := box(f, school())
	f.Fuzz(func(t *testing.T, text string) {
		s, err := b.ParseSetting(text)
		if err != nil {
			return
		}
		if again, err := b.ParseSetting(s.String()); err != nil || again != s {
			t.Errorf("%q is read as %v, and that as %v, %v", text, s, again, err)
		}
		if digits := func(s string) string {
			return strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r < '0' || r > '9' }), "-")
		}; digits(text) != s.String() {
			t.Errorf("%q is read as %v", text, s)
		}
		if again, err := b.At(s.Positions()...); err != nil || again != s {
			t.Errorf("%v is no setting of the box: %v", s, err)
		}
		if spelling, err := b.SettingFor(s.Nominal()); err != nil || spelling.Nominal() != s.Nominal() {
			t.Errorf("%v: SettingFor(%v) = %v, %v", s, s.Nominal(), spelling, err)
		}
	})
}

// The text of a setting for the verbs of text, its nominal value for those of numbers.
func TestSettingVerbs(t *testing.T) {
	s, err := box(t, bench()).SettingFor(1234)
	if err != nil {
		t.Fatal(err)
	}
	text := s.String()
	for format, want := range map[string]string{
		"%v": text, "%s": text, "%q": strconv.Quote(text), "%-20v|": fmt.Sprintf("%-20s|", text), "%20s": fmt.Sprintf("%20s", text),
		"%g": "1234", "%.3g": "1.23e+03", "%10.1f": "    1234.0", "%d": "%!d(decade.Setting=" + text + ")",
	} {
		if got := fmt.Sprintf(format, s); got != want {
			t.Errorf("%s: %q; expected %q", format, got, want)
		}
	}
	if got := fmt.Sprintf("%v %.1f", decade.Setting{}, decade.Setting{}); got != "no setting no setting" {
		t.Errorf("no setting prints %q", got)
	}
}
