// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// property is one figure of a material with the columns of the published lines that could
// print it.
type property struct {
	name    string
	figure  material.Figure
	per     float64 // the unit of the lines
	columns func(material.Published) []string
}

func properties(m material.Material) []property {
	one := func(f func(material.Published) string) func(material.Published) []string {
		return func(p material.Published) []string { return []string{f(p)} }
	}
	at := strconv.FormatFloat(m.ReferenceTemperature, 'g', -1, 64)
	all := []property{
		{"resistivity", m.ReferenceResistivity, 1, func(p material.Published) []string {
			if p.ResistivityAt == at {
				return []string{p.Resistivity, p.Low, p.High}
			}
			return []string{p.Low, p.High}
		}},
		{"alpha", m.Law.Alpha, 1, one(func(p material.Published) string { return p.Alpha })},
		{"beta", m.Law.Beta, 1, one(func(p material.Published) string { return p.Beta })},
		{"EMF", m.EMF, 1e-6, one(func(p material.Published) string { return p.EMF })},
		{"density", m.Density, 1, one(func(p material.Published) string { return p.Density })},
		{"expansion", m.Expansion, 1, one(func(p material.Published) string { return p.Expansion })},
		{"permeability", m.Permeability, 1, one(func(p material.Published) string { return p.Permeability })},
		{"working temperature", m.MaxTemperature, 1, one(func(p material.Published) string { return p.MaxTemperature })},
	}
	return slices.DeleteFunc(all, func(p property) bool { return !p.figure.Stated() })
}

// derived are the figures that no line prints as they are, with the arithmetic on what is
// printed.
var derived = map[string]float64{
	"nickel-chromium 80/20 alpha":        (1.006 - 1) / 80, // resistance factor at 100 °C
	"nickel-chromium 60/15 alpha":        (1.011 - 1) / 80,
	"iron-chromium-aluminium 25/5 alpha": (1.002 - 1) / 80,
	"constantan, stabilised EMF":         -40.27e-6, // slope of the type T function at 20 °C
	"copper, pure EMF":                   0,         // by definition
	"copper, hard-drawn EMF":             0,
	"copper, hard-drawn expansion":       17e-6, // as annealed copper
	"copper, hard-drawn permeability":    0.999994,
}

// ranges are figures in the middle of a printed range or below a printed limit.
var ranges = map[string]string{
	"gold-chromium EMF": "-8 to -7", "nickel-chromium-aluminium-copper EMF": "0 to 2", "manganin EMF": "±1", "manganin 84/12/4 EMF": "±1",
	"copper EMF": "±0.3", "brass 70/30 EMF": "±3", "nickel-chromium 80/20 EMF": "±6", "nickel-chromium 60/15 EMF": "±2",
	"beryllium copper EMF": "±5", "tin-lead solder EMF": "±5", "cadmium-tin solder EMF": "±0.2", "copper oxide EMF": "±1000",
	"iron-nickel-cobalt sealing alloy EMF": "±40", "silicon EMF": "±500", "nickel permeability": "100 to 600", "iron permeability": "150 to 5000",
	"gold-chromium beta": "-1e-7 to +1e-7",
}

// Every figure of the table is printed by a published line about the material, of the
// document and with the knowledge that the figure states; or it is derived from one above,
// or a fact of the trade. Where lines differ from it, it says why it is followed.
func TestPublishedMaterials(t *testing.T) {
	for m := range material.All() {
		for _, p := range properties(m) {
			t.Run(m.Name+" "+p.name, func(t *testing.T) {
				if _, ok := derived[m.Name+" "+p.name]; ok != (p.figure.Known == material.KnownDerived) {
					t.Errorf("derived here %v, in the table it is %s", ok, p.figure.Known)
				}
				p.check(t, m)
			})
		}
	}
}

func (p property) check(t *testing.T, m material.Material) {
	printed, others := false, 0
	for line := range material.PublishedValues(m.Name) {
		for _, text := range p.columns(line) {
			agrees, _ := uncertaintytest.Agrees(p.figure.Value/p.per, text)
			agrees = agrees || text != "" && text == ranges[m.Name+" "+p.name]
			printed = printed || agrees && line.Source == p.figure.Document && line.Known == p.figure.Known
			if text != "" && !agrees {
				others++
			}
		}
	}
	switch want, ok := derived[m.Name+" "+p.name]; {
	case p.figure.Known == material.KnownPractice:
		if p.figure.Reason == "" {
			t.Error("a fact of the trade without words")
		}
	case ok:
		if !near(p.figure.Value, want, 1e-12) || p.figure.Reason == "" {
			t.Errorf("%v, want %v, derived with a reason: %q", p.figure.Value, want, p.figure.Reason)
		}
	case !printed:
		t.Errorf("no line of %q, %s, prints %v", p.figure.Document, p.figure.Known, p.figure.Value/p.per)
	}
	if others > 0 && p.figure.Reason == "" {
		t.Errorf("%d lines print something else than %v, and the table does not say why it is "+
			"followed", others, p.figure.Value/p.per)
	}
}

// Other sources differ; where by more than a third, the line is a known slip or another substance.
func TestOtherSourcesAreNear(t *testing.T) {
	count := 0
	for p := range material.PublishedValues("") {
		count++
		if p.Source == "" || p.Name == "" || !slices.Contains([]material.Known{"seen", "quoted", "memory"}, p.Known) {
			t.Errorf("incomplete line %+v", p)
		}
		m, err := material.Find(p.Name)
		if err != nil || p.Resistivity == "" {
			continue
		}
		at, err := strconv.ParseFloat(p.ResistivityAt, 64)
		if err != nil {
			continue
		}
		rho, err := m.Resistivity(at)
		if err != nil {
			t.Errorf("%s at %v °C: %v", p.Name, at, err)
			continue
		}
		oldTin := p.Name == "tin" && p.ResistivityAt == "0" // pressed wire of 1893, 31 % above
		if ratio := number(t, p.Resistivity) / rho; !oldTin && (ratio < 0.88 || ratio > 1.25) {
			t.Errorf("%s, %s: %s is %.3f of the value followed", p.Name, p.Source, p.Resistivity, ratio)
		}
	}
	if count != 149 {
		t.Errorf("%d published lines", count)
	}
	for range material.PublishedValues("") {
		break // stops when told
	}
	if lines := slices.Collect(material.PublishedValues("no such")); len(lines) != 0 {
		t.Errorf("lines of an unknown material: %v", lines)
	}
}

// Lines that state one fact in two units.
func TestPublishedUnitsOfMaterials(t *testing.T) {
	ok := must[float64](t)
	mean := func(cold, hot float64) float64 { return (hot/cold - 1) / 100 }
	const crc, b267 = "CRC Handbook of Chemistry and Physics, section 15", "ASTM B267"
	run(t, []worked{
		{"manganin, 290 Ω·cmil/ft", lec, "4.821e-7", uncertaintytest.Seen, 290 * material.OhmCircularMilPerFoot, ""},
		{"nickel-chromium, 650 Ω·cmil/ft", lec, "1.081e-6", uncertaintytest.Seen, 650 * material.OhmCircularMilPerFoot, ""},
		{"nickel-chromium-iron, 675 Ω·cmil/ft", lec, "1.122e-6", uncertaintytest.Seen, 675 * material.OhmCircularMilPerFoot, ""},
		{"constantan, 272.97 Ω·cmil/ft", lec, "4.538e-7", uncertaintytest.Seen, 272.97 * material.OhmCircularMilPerFoot, ""},
		{"constantan, 294 Ω·cmil/ft", b267, "4.89e-7", uncertaintytest.FromMemory, 294 * material.OhmCircularMilPerFoot, ""},
		{"Ni-Cr-Al-Cu, 800 Ω·cmil/ft", b267, "1.330e-6", uncertaintytest.FromMemory, 800 * material.OhmCircularMilPerFoot, ""},
		{"nickel silver, 189.0 Ω·cmil/ft", cyc, "3.142e-7", uncertaintytest.Seen, 189.0 * material.OhmCircularMilPerFoot, ""},
		{"phosphor bronze, 69.1 Ω·cmil/ft", "data sheets for UNS C51000", "1.15e-7", uncertaintytest.Seen, 69.1 * material.OhmCircularMilPerFoot, ""},
		{"brass, 28 % IACS", "copper industry design guide", "6.158e-8", uncertaintytest.Seen, ok(material.FromConductivity(0.28)), ""},
		{"copper, hard-drawn, 97.5 % IACS", hb, "1.7683e-8", uncertaintytest.FromMemory, ok(material.FromConductivity(0.975)), ""},
		{"constantan, mean 0 to 100 °C", crc, "-7.0e-5", uncertaintytest.Seen, mean(45.43, 45.11), ""},
		{"nickel-chromium, mean 0 to 100 °C", crc, "9.3e-5", uncertaintytest.Seen, mean(107.3, 108.3), ""},
		{"brass, mean 0 to 100 °C", crc, "0.00177", uncertaintytest.Seen, mean(5.87, 6.91), ""},
		{"aluminium, 61 % IACS", "NBS Handbook 109, as quoted", "2.8264e-8", uncertaintytest.Seen, ok(material.FromConductivity(0.61)), "1/58 over 0.61 is 2.82646e-8, and 1.7241e-8 over 0.61 is the printed 2.8264e-8"},
	})
}

// What a caller does to a material does not reach the table.
func TestTableCannotBeChanged(t *testing.T) {
	m := find(t, "constantan")
	m.EMF.Value, m.OtherNames[0] = 1, "changed"
	if again := find(t, "constantan"); again.EMF.Value == 1 || again.OtherNames[0] == "changed" {
		t.Error("the table was changed from outside")
	}
	for range material.All() {
		break // stops when told
	}
}

func TestMaterialTable(t *testing.T) {
	for m := range material.All() {
		if m.Composition == "" {
			t.Errorf("%s: no composition", m.Name)
		}
		for _, p := range properties(m) {
			f := p.figure
			if f.Low > f.Value && f.Low != 0 || f.High < f.Value && f.High != 0 {
				t.Errorf("%s: %s %v lies outside its range", m.Name, p.name, f.Value)
			}
			if f.Known == "" || f.Document == "" && f.Known != material.KnownPractice &&
				f.Known != material.KnownDerived {
				t.Errorf("%s: %s without source", m.Name, p.name)
			}
		}
		if m.ReferenceResistivity.Stated() {
			if rho := must[float64](t)(m.Resistivity(m.ReferenceTemperature)); rho != m.ReferenceResistivity.Value {
				t.Errorf("%s: %v at the reference temperature", m.Name, rho)
			}
		}
		if !m.Law.Stated() {
			continue
		}
		low, high, ok := m.Law.Exact().Limits()
		if !ok || low > 20 || high < 25 || m.Law.Range.Document == "" {
			t.Errorf("%s: law from %v to %v °C by %q; expected a range with its source around "+
				"the laboratory", m.Name, low, high, m.Law.Range.Document)
		}
		if m.MaxTemperature.Stated() && m.MaxTemperature.Value < high {
			t.Errorf("%s: law to %v °C, metal to %v °C", m.Name, high, m.MaxTemperature.Value)
		}
		if _, err := m.Law.Exact().Extremes(low, high); err != nil {
			t.Errorf("%s: %v", m.Name, err)
		}
		if n := len(slices.Collect(material.PublishedValues(m.Name))); n == 0 {
			t.Errorf("%s has no published line", m.Name)
		}
	}
}

// The list of names in the comment of the package is that of the table.
func TestNamesOfTheComment(t *testing.T) {
	text, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	_, list, _ := strings.Cut(string(text), "# Names")
	list, _, _ = strings.Cut(list, "# Units")
	list = strings.Join(strings.Fields(strings.NewReplacer("//", " ", ",", " ").Replace(list)), " ")
	for m := range material.All() {
		name := strings.ReplaceAll(m.Name, ",", "")
		// The alloys of one family stand together.
		if rest, ok := strings.CutPrefix(name, "iron-chromium-aluminium "); ok {
			name = rest
		}
		if !strings.Contains(list, name) {
			t.Errorf("%s is not in the comment", m.Name)
		}
	}
	for name := range strings.SplitSeq("copper hard-drawn, copper pure, aluminium pure, constantan stabilised", ", ") {
		if _, err := material.Find(name); err != nil {
			t.Error(err)
		}
	}
}
