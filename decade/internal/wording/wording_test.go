// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wording

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// Six settings are named, of more the first six.
func TestNamesOfManySettings(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "one dial", Decades: []decade.Decade{{Step: 100, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	all := slices.Collect(box.Settings())[1:]
	for n, want := range map[int]string{
		0: "", 1: "1", 6: "1, 2, 3, 4, 5, 6",
		7: "1, 2, 3, 4, 5, 6 and 1 more setting", 8: "1, 2, 3, 4, 5, 6 and 2 more settings",
	} {
		if got := Settings(all[:n]); got != want {
			t.Errorf("%d settings: %q; want %q", n, got, want)
		}
	}
}

// Eight words are listed, of more the first seven.
func TestShort(t *testing.T) {
	words := strings.Fields("a b c d e f g h i j")
	for n, want := range map[int]string{2: "a, b", 8: "a, b, c, d, e, f, g, h",
		9: "a, b, c, d, e, f, g, 2 more", 10: "a, b, c, d, e, f, g, 3 more"} {
		if got := Short(words[:n]); got != want {
			t.Errorf("%d words: %q; want %q", n, got, want)
		}
	}
}

func TestCounts(t *testing.T) {
	for got, want := range map[string]string{
		Plural(0, "row"): "0 rows", Plural(1, "row"): "1 row", Plural(2, "row"): "2 rows",
		Freedom(1): "1 degree of freedom", Freedom(5): "5 degrees of freedom", Upper("as left"): "As left", Upper(""): "", Upper("×100 high"): "×100 high", Upper("écart"): "Écart",
	} {
		if got != want {
			t.Errorf("%q; want %q", got, want)
		}
	}
}

func TestNumbers(t *testing.T) {
	for got, want := range map[string]string{
		Number(1e-7): "0.0000001", Number(1e21): "1000000000000000000000", Ohms(0.0123456): "12.3 mΩ", Ohms(-1999.6): "-2 kΩ",
		Percent(0.0005): "0.05 %", Limits(uncertainty.Interval{}): "", Limits(uncertainty.Interval{Lower: -0.5, Upper: 0.5}): "±0.5",
		Limits(uncertainty.Interval{Lower: -1, Upper: 0.5}): "-1 to 0.5", Number(Rounded(0, 2)): "0", Number(Rounded(math.Inf(1), 2)): "+Inf",
		Number(Rounded(-123.5, 2)): "-120",
	} {
		if got != want {
			t.Errorf("%q; want %q", got, want)
		}
	}
	for x, want := range map[float64]string{0.0123: "+0.0123", -0.0123: "-0.0123", 1e-6: "0.0000",
		-1e-6: "0.0000", 0: "0.0000"} {
		if e, u := SignedPair(x, 0.0045); e != want || u != "0.0045" {
			t.Errorf("%v: %q, %q; want %q", x, e, u, want)
		}
	}
}

// Lines of at most 100 columns, later ones under the first, and no word lost.
func TestWrap(t *testing.T) {
	text := strings.Repeat("resistance ", 30)
	lines := strings.Split(strings.TrimSuffix(Wrap("  - ", text), "\n"), "\n")
	for i, line := range lines {
		if n := len([]rune(line)); n > 100 || i < len(lines)-1 && n < 85 {
			t.Errorf("line %d has %d columns: %q", i+1, n, line)
		}
		if first := i == 0; first != strings.HasPrefix(line, "  - ") || !first && !strings.HasPrefix(line, "    r") {
			t.Errorf("line %d begins %q", i+1, line[:5])
		}
	}
	if n := strings.Count(strings.Join(lines, " "), "resistance"); n != 30 || len(lines) != 4 {
		t.Errorf("%d words on %d lines; want 30 on 4", n, len(lines))
	}
	var s strings.Builder
	Bullets(&s, []string{"one", "two"})
	if s.String() != "  - one\n  - two\n" {
		t.Errorf("%q", s.String())
	}
}
