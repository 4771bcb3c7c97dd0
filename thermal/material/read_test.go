// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/unit"
	"github.com/google/go-cmp/cmp"
)

const ownFile = `{"materials": [
  {"name": "spool 3", "otherNames": ["CuMn12Ni 2026"], "composition": "Cu 86 Mn 12 Ni 2",
   "resistivity": {"value": "0.434 µΩ·m", "low": "0.430 µΩ·m", "high": "0.438 µΩ·m", "source": "certificate 2291", "known": "seen", "reason": "measured"},
   "referenceTemperature": "20 °C",
   "law": {"reference": "25 °C", "alpha": {"value": "2 ppm/K", "low": "-3 ppm/K", "high": "7 ppm/K"}, "beta": "-0.55 ppm/K²",
           "range": {"low": "10 °C", "high": "50 °C", "source": "certificate 2291"}},
   "emf": "-0.8 µV/K", "density": "8.4 g/cm³", "expansion": "18 ppm/K", "permeability": 1, "maxTemperature": "60 °C", "note": "enamelled"},
  {"name": "Copper", "resistivity": 1.75e-8, "referenceTemperature": 20, "emf": 0}
]}`

// What a file says is what comes back, in SI units; the table of the package stays.
func TestReadOwnMaterials(t *testing.T) {
	own := must[material.Table](t)(material.Read(strings.NewReader(ownFile)))
	m := must[material.Material](t)(own.Find("cumn12ni2026"))
	stated := material.Source{Known: material.KnownStated}
	want := material.Material{
		Name: "spool 3", OtherNames: []string{"CuMn12Ni 2026"}, Composition: "Cu 86 Mn 12 Ni 2",
		ReferenceResistivity: material.Figure{
			Value: 0.434e-6, Low: 0.430e-6, High: 0.438e-6,
			Source: material.Source{Document: "certificate 2291", Known: material.KnownSeen, Reason: "measured"},
		},
		ReferenceTemperature: 20,
		Law: material.Law{
			Reference: 25, Alpha: material.Figure{Value: 2e-6, Low: -3e-6, High: 7e-6, Source: stated},
			Beta: material.Figure{Value: -0.55e-6, Source: stated},
			Range: material.Range{Low: 10, High: 50,
				Source: material.Source{Document: "certificate 2291", Known: material.KnownStated}},
		},
		EMF: material.Figure{Value: -0.8e-6, Source: stated}, Density: material.Figure{Value: 8400, Source: stated},
		Expansion:      material.Figure{Value: 18e-6, Source: stated},
		Permeability:   material.Figure{Value: 1, Source: stated},
		MaxTemperature: material.Figure{Value: 60, Source: stated}, Note: "enamelled",
	}
	if diff := cmp.Diff(want, m); diff != "" {
		t.Error(diff)
	}
	copper := must[material.Material](t)(own.Find("COPPER"))
	if copper.ReferenceResistivity.Value != 1.75e-8 || !copper.EMF.Stated() || copper.Law.Stated() {
		t.Errorf("own copper: %+v", copper)
	}
	if again := find(t, "copper"); again.ReferenceResistivity.Value != material.IACSResistivity {
		t.Errorf("the table was changed by reading: %v", again.ReferenceResistivity.Value)
	}
	if _, err := material.Find("spool 3"); !errors.Is(err, material.ErrUnknown) {
		t.Errorf("a material of a file is in the table: %v", err)
	}
	if _, err := own.Find("spol 3"); err == nil || !strings.Contains(err.Error(), `did you mean "spool 3"?`) {
		t.Errorf("spol 3: %v", err)
	}
	names := map[string]int{}
	for m := range own.All() {
		names[strings.ToLower(m.Name)]++
	}
	for range own.All() {
		break // stops when told
	}
	if builtin := len(slices.Collect(material.All())); len(names) != builtin+1 ||
		names["copper"] != 1 || names["spool 3"] != 1 {
		t.Errorf("%d names, copper %d times; want %d, once", len(names), names["copper"], builtin+1)
	}
}

// Each refusal names the place and what was expected.
func TestReadRefuses(t *testing.T) {
	one := func(rest string) string { return `{"materials": [{"name": "own", ` + rest + `}]}` }
	for text, c := range map[string]struct {
		cause error
		says  string
	}{
		``:                               {material.ErrSyntax, ""},
		`{}`:                             {material.ErrNotStated, "materials"},
		`{"material": []}`:               {material.ErrUnknown, `did you mean "materials"?`},
		`{"materials": [{}]}`:            {material.ErrNotStated, "materials[0].name"},
		`{"materials": [{"name": "?"}]}`: {material.ErrSyntax, "letters or digits"},
		one(`"otherNames": ["-"]`):       {material.ErrSyntax, "otherNames"},
		one(`"resistivity": "1 µΩ·m"`):   {material.ErrNotStated, "referenceTemperature"},
		one(`"resistivity": "1 Ω", "referenceTemperature": 20`):                       {unit.ErrUnitMismatch, "resistivity"},
		one(`"resistivity": "0 Ω·m", "referenceTemperature": 20`):                     {material.ErrDomain, "more than 0"},
		one(`"density": "-1 g/cm³"`):                                                  {material.ErrDomain, "density"},
		one(`"density": {"low": 1, "high": 2}`):                                       {material.ErrNotStated, "density.value"},
		one(`"density": {"value": 3, "low": 1}`):                                      {material.ErrNotStated, "density.high"},
		one(`"density": {"value": 3, "low": 1, "high": 2}`):                           {material.ErrDomain, "from low to high"},
		one(`"density": {"value": 3, "known": "sen"}`):                                {material.ErrUnknown, `did you mean "seen"?`},
		one(`"density": {"value": 3, "sorce": "x"}`):                                  {material.ErrUnknown, `did you mean "source"?`},
		one(`"density": [1]`):                                                         {material.ErrSyntax, "density"},
		one(`"desity": 1`):                                                            {material.ErrUnknown, `did you mean "density"?`},
		one(`"law": {"alpha": 1e-6}`):                                                 {material.ErrNotStated, "law.reference"},
		one(`"law": {"reference": 20}`):                                               {material.ErrNotStated, "law.alpha"},
		one(`"law": {"reference": 20, "alpha": 0, "range": {"low": 30}}`):             {material.ErrNotStated, "law.range.high"},
		one(`"law": {"reference": 20, "alpha": 0, "range": {"low": 30, "high": 0}}`):  {material.ErrDomain, "expected low below high"},
		one(`"law": {"reference": 20, "alpha": 0, "range": {"low": 30, "high": 40}}`): {material.ErrDomain, "law.reference"},
		one(`"law": {"reference": "20 K", "alpha": 0}`):                               {unit.ErrUnitMismatch, "law.reference"},
		one(`"resistivity": 1e-6, "referenceTemperature": 90, "law": {"reference": 20, "alpha": 0, "range": {"low": 0, "high": 60}}`): {material.ErrDomain, "referenceTemperature"},
		`{"materials": [{"name": "a b"}, {"name": "A-B"}]}`:                                                                           {material.ErrDomain, `a name of "a b" already`},
		`{"materials": [{"name": "a", "otherNames": ["b"]}, {"name": "b"}]}`:                                                          {material.ErrDomain, "materials[1].name"},
		`{"materials": []} x`: {material.ErrSyntax, ""},
	} {
		own, err := material.Read(strings.NewReader(text))
		if !errors.Is(err, c.cause) || !strings.Contains(err.Error(), c.says) ||
			!strings.HasPrefix(err.Error(), "material.Read: ") {
			t.Errorf("%s: %v; want %v naming %s", text, err, c.cause, c.says)
		}
		if n := len(slices.Collect(own.All())); n != len(slices.Collect(material.All())) {
			t.Errorf("%s: %d materials beside the error", text, n)
		}
	}
}

// Whatever the text is, there is a table or an error.
func FuzzRead(f *testing.F) {
	f.Add(ownFile)                      // all keys
	f.Add(`{"materials": []}`)          // none
	f.Add(`{"materials": [{"name":1}]`) // broken off
	f.Fuzz(func(t *testing.T, text string) {
		own, err := material.Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for m := range own.All() {
			if got, err := own.Find(m.Name); err != nil || got.Name != m.Name {
				t.Fatalf("%q is found as %q, %v", m.Name, got.Name, err)
			}
		}
	})
}
