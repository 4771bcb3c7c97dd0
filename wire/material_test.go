// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire"
)

// family is the name under which the published lines of a material stand.
func family(m wire.Material) string {
	if m.Name == "manganin 84/12/4" {
		return "manganin"
	}
	return m.Name
}

// derived are values that no line prints as they are, with the arithmetic on what is printed.
var derived = map[string]float64{
	"copper, hard-drawn alpha":           0.00393 * 0.975,
	"nickel-chromium 80/20 alpha":        (1.006 - 1) / 80, // resistance factor at 100 °C
	"nickel-chromium 60/15 alpha":        (1.011 - 1) / 80,
	"iron-chromium-aluminium 25/5 alpha": (1.002 - 1) / 80,
	"brass 70/30 alpha":                  0.00177, // mean of 5.87 and 6.91 at 0 and 100 °C
	"constantan EMF":                     -40.27,  // slope of the type T function at 20 °C
	"manganin EMF":                       -1,      // "<=1", negative wire
	"manganin 84/12/4 EMF":               -1,
	"copper, pure EMF":                   0, // by definition
	"copper EMF":                         0,
	"copper, hard-drawn EMF":             0,
	"copper, hard-drawn density":         8890,
	"copper, hard-drawn expansion":       17e-6,
	"gold-chromium EMF":                  -7.5, // "-7 to -8"
	"manganin expansion":                 18e-6,
}

// Every number of the table is printed by a published line of the material, or
// is derived from one above. A property printed only by lines from memory is
// named in Material.Memory.
func TestPublishedMaterials(t *testing.T) {
	for m := range wire.Materials() {
		for _, p := range properties(m) {
			t.Run(m.Name+" "+p.name, func(t *testing.T) {
				want, ok := derived[m.Name+" "+p.name]
				if ok {
					if !near(p.value, want, 1e-12) {
						t.Errorf("%v, want %v", p.value, want)
					}
					return
				}
				printedSomewhere(t, m, p.name, p.value, p.column)
			})
		}
	}
}

type property struct {
	name   string
	value  float64
	column func(wire.Published) []string
}

func properties(m wire.Material) []property {
	text := func(f func(wire.Published) string) func(wire.Published) []string {
		return func(p wire.Published) []string { return []string{f(p)} }
	}
	all := []property{{"resistivity", m.ReferenceResistivity, func(p wire.Published) []string { return []string{p.Resistivity, p.Low, p.High} }}}
	if !m.Law.IsZero() {
		all = append(all, property{"alpha", m.Law.Alpha(), text(func(p wire.Published) string { return p.Alpha })})
	}
	if m.Density != 0 {
		all = append(all, property{"density", m.Density, text(func(p wire.Published) string { return p.Density })})
	}
	if m.Expansion != 0 {
		all = append(all, property{"expansion", m.Expansion, text(func(p wire.Published) string { return p.Expansion })})
	}
	if m.EMF != nil {
		all = append(all, property{"EMF", *m.EMF * 1e6, func(p wire.Published) []string { return strings.Split(p.EMF, " ") }})
	}
	if m.MaxTemperature != 0 {
		all = append(all, property{"working temperature", m.MaxTemperature, text(func(p wire.Published) string { return p.MaxTemperature })})
	}
	return all
}

func printedSomewhere(t *testing.T, m wire.Material, name string, value float64, column func(wire.Published) []string) {
	best := ""
	for p := range wire.PublishedValues(family(m)) {
		for _, printed := range column(p) {
			ok, _ := uncertaintytest.Agrees(value, printed)
			if !ok || (name == "resistivity" && printed == p.Resistivity && p.ResistivityAt != strconv.FormatFloat(m.ReferenceTemperature, 'g', -1, 64)) {
				continue
			}
			if best == "" || best == "memory" {
				best = p.Known
			}
		}
	}
	fromMemory := m.Memory == "everything" || strings.HasPrefix(m.Memory, "everything but") || strings.Contains(m.Memory, name) ||
		name == "alpha" && strings.Contains(m.Memory, "coefficient")
	switch {
	case best == "":
		t.Errorf("no published line prints %v", value)
	case best == "memory" && !fromMemory:
		t.Errorf("%v is from memory only, Memory says %q", value, m.Memory)
	}
}

// Other sources differ; where by more than a third, the line is a known slip or another substance.
func TestOtherSourcesAreNear(t *testing.T) {
	count := 0
	for p := range wire.PublishedValues("") {
		count++
		if p.Source == "" || p.Name == "" || !slices.Contains([]string{"seen", "quoted", "memory"}, p.Known) {
			t.Errorf("incomplete line %+v", p)
		}
		m, err := wire.FindMaterial(p.Name)
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
	if count != 119 {
		t.Errorf("%d published lines", count)
	}
	for range wire.PublishedValues("") {
		break // stops when told
	}
	if lines := slices.Collect(wire.PublishedValues("no such")); len(lines) != 0 {
		t.Errorf("lines of an unknown material: %v", lines)
	}
}

// Lines that state one fact in two units.
func TestPublishedUnitsOfMaterials(t *testing.T) {
	ok := must[float64](t)
	mean := func(cold, hot float64) float64 { return (hot/cold - 1) / 100 }
	const crc, b267 = "CRC Handbook of Chemistry and Physics, section 15", "ASTM B267"
	run(t, []worked{
		{"manganin, 290 Ω·cmil/ft", lec, "4.821e-7", uncertaintytest.Seen, 290 * wire.OhmCircularMilPerFoot, ""},
		{"nickel-chromium, 650 Ω·cmil/ft", lec, "1.081e-6", uncertaintytest.Seen, 650 * wire.OhmCircularMilPerFoot, ""},
		{"nickel-chromium-iron, 675 Ω·cmil/ft", lec, "1.122e-6", uncertaintytest.Seen, 675 * wire.OhmCircularMilPerFoot, ""},
		{"constantan, 272.97 Ω·cmil/ft", lec, "4.538e-7", uncertaintytest.Seen, 272.97 * wire.OhmCircularMilPerFoot, ""},
		{"constantan, 294 Ω·cmil/ft", b267, "4.89e-7", uncertaintytest.FromMemory, 294 * wire.OhmCircularMilPerFoot, ""},
		{"Ni-Cr-Al-Cu, 800 Ω·cmil/ft", b267, "1.330e-6", uncertaintytest.FromMemory, 800 * wire.OhmCircularMilPerFoot, ""},
		{"nickel silver, 189.0 Ω·cmil/ft", cyc, "3.142e-7", uncertaintytest.Seen, 189.0 * wire.OhmCircularMilPerFoot, ""},
		{"phosphor bronze, 69.1 Ω·cmil/ft", "data sheets for UNS C51000", "1.15e-7", uncertaintytest.Seen, 69.1 * wire.OhmCircularMilPerFoot, ""},
		{"brass, 28 % IACS", "copper industry design guide", "6.158e-8", uncertaintytest.Seen, ok(wire.FromConductivity(0.28)), ""},
		{"copper, hard-drawn, 97.5 % IACS", hb, "1.7683e-8", uncertaintytest.FromMemory, ok(wire.FromConductivity(0.975)), ""},
		{"constantan, mean 0 to 100 °C", crc, "-7.0e-5", uncertaintytest.Seen, mean(45.43, 45.11), ""},
		{"nickel-chromium, mean 0 to 100 °C", crc, "9.3e-5", uncertaintytest.Seen, mean(107.3, 108.3), ""},
		{"brass, mean 0 to 100 °C", crc, "0.00177", uncertaintytest.Seen, mean(5.87, 6.91), ""},
		{"aluminium, 61 % IACS", "NBS Handbook 109, as quoted", "2.8264e-8", uncertaintytest.Seen, ok(wire.FromConductivity(0.61)), "1/58 over 0.61 is 2.82646e-8, and 1.7241e-8 over 0.61 is the printed 2.8264e-8"},
	})
}

func TestFindMaterial(t *testing.T) {
	for name, want := range map[string]string{
		"manganin": "manganin", "Manganin": "manganin", " COPPER ": "copper", "Nickel-Chromium 80/20": "nickel-chromium 80/20",
		"nichrome": "nickel-chromium 80/20", "German silver": "nickel silver", "aluminum": "aluminium", "hard-drawn copper": "copper, hard-drawn",
	} {
		if m := find(t, name); m.Name != want {
			t.Errorf("FindMaterial(%q) = %q, want %q", name, m.Name, want)
		}
	}
	for name, hint := range map[string]string{
		"mangannin": `"manganin"`, "constantin": `"constantan"`, "nickel-": "", "iron-chromium": `"iron-chromium-aluminium 25/5" or "iron-chromium-aluminium 23/5"`,
		"": "did you mean", strings.Repeat("x", 1000): "did you mean",
	} {
		m, err := wire.FindMaterial(name)
		if name == "nickel-" { // folds to nickel
			if m.Name != "nickel" {
				t.Errorf("FindMaterial(%q) = %q, %v", name, m.Name, err)
			}
			continue
		}
		if !errors.Is(err, wire.ErrUnknown) || !strings.Contains(err.Error(), hint) {
			t.Errorf("FindMaterial(%q): %v, want hint %s", name, err, hint)
		}
	}
}

// What a caller does to a material does not reach the table.
func TestTableCannotBeChanged(t *testing.T) {
	m := find(t, "constantan")
	*m.EMF = 1
	if again := find(t, "constantan"); *again.EMF == 1 {
		t.Error("the table was changed from outside")
	}
	for range wire.Materials() {
		break
	}
}

func TestMaterialTable(t *testing.T) {
	names := map[string]bool{}
	for m := range wire.Materials() {
		if names[m.Name] || m.Source == "" || m.Composition == "" {
			t.Errorf("%q: twice, or without source or composition", m.Name)
		}
		names[m.Name] = true
		if m.ResistivityLow > m.ReferenceResistivity || m.ResistivityHigh != 0 && m.ResistivityHigh < m.ReferenceResistivity {
			t.Errorf("%s: %v lies outside its range", m.Name, m.ReferenceResistivity)
		}
		if rho := must[float64](t)(m.Resistivity(m.ReferenceTemperature)); rho != m.ReferenceResistivity {
			t.Errorf("%s: %v at the reference temperature", m.Name, rho)
		}
	}
}

func TestUnstated(t *testing.T) {
	bronze := find(t, "phosphor bronze")
	none := wire.Material{ReferenceResistivity: 1e-7, ReferenceTemperature: 20, Law: thermal.NewLaw(20, 1e-3, 0)}
	g := gauge(t, "1 mm")
	for name, f := range map[string]func() (float64, error){
		"law":          func() (float64, error) { return bronze.Resistivity(30) },
		"expansion":    func() (float64, error) { return none.VolumeResistivity(30) },
		"density":      func() (float64, error) { return none.MassResistivity(20) },
		"mass":         func() (float64, error) { return wire.Conductor{Material: none, Gauge: g}.Mass(1) },
		"resistivity":  func() (float64, error) { return wire.Material{}.Resistivity(20) },
		"coefficients": func() (float64, error) { c, err := none.Coefficients(20); return c.Resistance, err },
		"bronze":       func() (float64, error) { c, err := bronze.Coefficients(20); return c.Resistance, err },
	} {
		if v, err := f(); !errors.Is(err, wire.ErrNotStated) || v != 0 {
			t.Errorf("%s: %v, %v", name, v, err)
		}
	}
	if rho := must[float64](t)(bronze.Resistivity(20)); rho != 0.115e-6 {
		t.Errorf("at its reference temperature: %v", rho)
	}
}

func TestMaterialRefuses(t *testing.T) {
	good := find(t, "copper")
	bad := func(change func(m *wire.Material)) wire.Material { m := good; change(&m); return m }
	for name, c := range map[string]struct {
		m    wire.Material
		t    float64
		want error
	}{
		"NaN temperature":      {good, math.NaN(), wire.ErrNotFinite},
		"Inf temperature":      {good, math.Inf(1), wire.ErrNotFinite},
		"negative resistivity": {bad(func(m *wire.Material) { m.ReferenceResistivity = -1 }), 20, wire.ErrDomain},
		"NaN resistivity":      {bad(func(m *wire.Material) { m.ReferenceResistivity = math.NaN() }), 20, wire.ErrNotFinite},
		"no resistance left":   {good, -250, thermal.ErrDomain},
		"NaN law":              {bad(func(m *wire.Material) { m.Law = thermal.NewLaw(20, math.NaN(), 0) }), 30, thermal.ErrNotFinite},
		"NaN reference":        {bad(func(m *wire.Material) { m.ReferenceTemperature = math.NaN() }), 20, wire.ErrNotFinite},
		"NaN expansion":        {bad(func(m *wire.Material) { m.Expansion = math.NaN() }), 30, wire.ErrNotFinite},
		"shrinking to nothing": {bad(func(m *wire.Material) { m.Expansion = -1 }), 30, wire.ErrDomain},
	} {
		for op, f := range map[string]func(float64) (float64, error){
			"Resistivity": c.m.Resistivity, "VolumeResistivity": c.m.VolumeResistivity, "MassResistivity": c.m.MassResistivity,
		} {
			if op == "Resistivity" && (name == "NaN expansion" || name == "shrinking to nothing") {
				continue
			}
			if v, err := f(c.t); !errors.Is(err, c.want) || v != 0 {
				t.Errorf("%s: %s = %v, %v", name, op, v, err)
			}
		}
		if _, err := c.m.Coefficients(c.t); err == nil {
			t.Errorf("%s: Coefficients: no error", name)
		}
	}
}

// The coefficients are the derivatives of what they belong to.
func TestCoefficientsAreDerivatives(t *testing.T) {
	ok := must[float64](t)
	const h = 0.01
	for _, name := range []string{"copper", "manganin", "aluminium", "brass 70/30"} {
		m := find(t, name)
		for _, at := range []float64{1, 20, 25, 80} {
			c := must[wire.Coefficients](t)(m.Coefficients(at))
			for _, p := range []struct {
				f    func(float64) (float64, error)
				want float64
			}{{m.Resistivity, c.Resistance}, {m.VolumeResistivity, c.VolumeResistivity}, {m.MassResistivity, c.MassResistivity}} {
				got := (ok(p.f(at+h)) - ok(p.f(at-h))) / (2 * h) / ok(p.f(at))
				if math.Abs(got-p.want) > 1e-9 {
					t.Errorf("%s at %v °C: derivative %v, coefficient %v", name, at, got, p.want)
				}
			}
		}
	}
}
