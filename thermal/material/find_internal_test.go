// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"errors"
	"strings"
	"testing"
)

// What one of the two former tables knew, the one table knows.
func TestFindByOtherNames(t *testing.T) {
	for name, want := range map[string]string{
		"Nichrome": "nickel-chromium 80/20", "German silver": "nickel silver", "Aluminum": "aluminium", "Cu": "copper",
		"Ni-Cr 80/20": "nickel-chromium 80/20", "copper pure": "copper, pure", "  MANGANIN ": "manganin", "nicr": "nickel-chromium 80/20",
		"cuni": "constantan", "Cu-Mn-Ni": "manganin", "hard-drawn copper": "copper, hard-drawn", "phosphor bronze": "phosphor bronze",
		"manganin86": "manganin", "manganin 84/12/4": "manganin 84/12/4", "FeCrAl 23/5": "iron-chromium-aluminium 23/5",
		"becu": "beryllium copper", "nickel-": "nickel", "NICR80-20": "nickel-chromium 80/20", "Nickel silver 18%": "nickel silver",
	} {
		if m, err := Find(name); err != nil || m.Name != want {
			t.Errorf("Find(%q) = %q, %v; want %q", name, m.Name, err, want)
		}
	}
}

// A name leads to one material.
func TestNamesAreUnique(t *testing.T) {
	owner := map[string]string{}
	n := 0
	for m := range All() {
		n++
		for _, name := range append([]string{m.Name}, m.OtherNames...) {
			key := foldName(name)
			if other, taken := owner[key]; taken || key == "" {
				t.Errorf("%q of %s is also %s", name, m.Name, other)
			}
			owner[key] = m.Name
			if got, err := Find(strings.ToUpper(name)); err != nil || got.Name != m.Name {
				t.Errorf("Find(%q) = %q, %v", name, got.Name, err)
			}
		}
	}
	if n != 36 || len(builtin().index) != len(owner) {
		t.Errorf("%d materials, %d names in the index of %d", n, len(builtin().index), len(owner))
	}
}

// A suggestion is a near spelling, or there is none: never another metal.
func TestSuggestions(t *testing.T) {
	for name, want := range map[string]string{
		"manganine": "manganin", "mangannin": "manganin", "konstantan": "constantan", "constantin": "constantan", "alluminium": "aluminium",
		"maganin": "manganin", "coper": "copper", "silvr": "silver", "tungstn": "tungsten", "nichrom": "nichrome", "bras": "brass",
		"CuNi30Mn": "", "Zn": "", "Xx": "", "unobtainium": "", "": "", "Ω": "", strings.Repeat("x", 1e6): "", "\xff": "", "steel": "",
		"selenium": "", "chrome": "", "NiCr 70/30": "", "CuNi10": "", "CuSn6": "", "silicone": "silicon", "pt100": "",
	} {
		m, err := Find(name)
		if !errors.Is(err, ErrUnknown) || m.Name != "" || len(err.Error()) > 400 {
			t.Errorf("Find(%.20q) = %q, %v", name, m.Name, err)
			continue
		}
		_, suggestion, _ := strings.Cut(err.Error(), "did you mean ")
		if got := strings.Trim(suggestion, `"?`); got != want {
			t.Errorf("Find(%.20q) suggests %q; want %q: %v", name, got, want, err)
		}
	}
	whole, cut := strings.Repeat("x", longestName), strings.Repeat("x", longestName+1)
	if _, err := Find(whole); strings.Contains(err.Error(), "…") {
		t.Errorf("a name of %d letters: %v; want it whole", longestName, err)
	}
	if _, err := Find(cut); !strings.Contains(err.Error(), "…") {
		t.Errorf("a name of %d letters: %v; want it cut", longestName+1, err)
	}
}

// Any text is answered, with a material or with an error.
func FuzzFind(f *testing.F) {
	f.Add("manganin")      // a name of the table
	f.Add("Ni-Cr 80/20")   // another name, with signs
	f.Add("alluminium")    // one letter wrong
	f.Add("")              // nothing
	f.Add("\xff\u0130 /Ω") // no text, letters whose case is not ASCII
	f.Fuzz(func(t *testing.T, name string) {
		m, err := Find(name)
		if (m.Name == "") != (err != nil) || err != nil && !errors.Is(err, ErrUnknown) {
			t.Fatalf("%q: %+v, %v", name, m, err)
		}
	})
}

func BenchmarkFind(b *testing.B) {
	for b.Loop() {
		_, _ = Find("nickel-chromium 80/20")
	}
}

// A name that no table knows is held against all of them.
func BenchmarkFindUnknown(b *testing.B) {
	for b.Loop() {
		_, _ = Find("nickel-chromium-vanadium 70/30")
	}
}
