// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func parse(s string) (float64, error) { return strconv.ParseFloat(s, 64) }

func TestAlloyTable(t *testing.T) {
	seen := map[string]bool{}
	for a := range Alloys() {
		if seen[fold(a.Name)] {
			t.Errorf("%s twice", a.Name)
		}
		seen[fold(a.Name)] = true
		low, high, ok := a.Law.Limits()
		if a.Source == "" || a.Composition == "" || !ok || a.AlphaTolerance < 0 || a.BetaTolerance < 0 {
			t.Errorf("%+v", a)
		}
		if a.MaxTemperature != 0 && a.MaxTemperature < high {
			t.Errorf("%s: law to %v °C, metal to %v °C", a.Name, high, a.MaxTemperature)
		}
		if _, err := a.Law.Extremes(low, high); err != nil {
			t.Errorf("%s: %v", a.Name, err)
		}
		if low > 20 || high < 25 {
			t.Errorf("%s: %v to %v °C leaves out the laboratory", a.Name, low, high)
		}
		got, err := FindAlloy(strings.ToUpper(a.Name))
		if err != nil || got != a {
			t.Errorf("FindAlloy(%q) = %+v, %v", a.Name, got, err)
		}
		if n := len(slices.Collect(PublishedCoefficients(a.Name))); n == 0 {
			t.Errorf("%s has no published line", a.Name)
		}
	}
	if len(seen) != 26 {
		t.Errorf("%d alloys, want 26", len(seen))
	}
	for range Alloys() {
		break // stops when told to
	}
}

func TestFindAlloyByOtherNames(t *testing.T) {
	for other, want := range alsoKnown {
		_, inAlloys := FindAlloy(other)
		_, inEMFs := FindEMF(other)
		if inAlloys != nil && inEMFs != nil {
			t.Errorf("%q leads to %q, which no table has", other, want)
		}
	}
	for name, want := range map[string]string{
		"Nichrome": "nickel-chromium 80/20", "German silver": "nickel silver", "Aluminum": "aluminium", "Cu": "copper",
		"Ni-Cr 80/20": "nickel-chromium 80/20", "copper pure": "copper, pure", "  MANGANIN ": "manganin",
	} {
		if a, err := FindAlloy(name); err != nil || a.Name != want {
			t.Errorf("FindAlloy(%q) = %q, %v; want %q", name, a.Name, err, want)
		}
	}
}

func TestUnknownNamesAreHelped(t *testing.T) {
	for name, want := range map[string]string{
		"manganine": `"manganin"`, "konstantan": `"constantan"`, "nickel-chrom": `"nickel-chromium 80/20"`, "alluminium": `"aluminium"`,
		"": `"copper"`, "Ω": `"`, strings.Repeat("x", 1e6): `…`, "\xff": `"`,
	} {
		a, err := FindAlloy(name)
		refused(t, ErrUnknown, "name")(a.MaxTemperature, err)
		if !strings.Contains(err.Error(), want) || len(err.Error()) > 400 {
			t.Errorf("FindAlloy(%.20q): %v; want it to name %s", name, err, want)
		}
	}
}

func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"constantan", "konstantan", 1}, {"ab", "ba", 2}} {
		if got := editDistance(c.a, c.b); got != c.want {
			t.Errorf("editDistance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestAlloyUncertainLaw(t *testing.T) {
	a, err := FindAlloy("manganin")
	if err != nil {
		t.Fatal(err)
	}
	law := a.UncertainLaw("spool 3")
	at := uncertainty.Exact(35)
	b := evaluate(t, law.RatioOf(at))
	near(t, "ratio", b.Estimate, 1-50e-6, 1e-15)
	near(t, "u", b.StandardUncertainty, math.Hypot(10*15e-6, 100*0.1e-6)/math.Sqrt(3), 1e-12)
	if len(b.Components) != 2 || b.Components[0].Name != "spool 3 alpha" || b.Components[1].Name != "spool 3 beta" {
		t.Errorf("%+v", b.Components)
	}
	refusedOf(t, ErrDomain, law.RatioOf(uncertainty.Exact(150)))
	// Resistors of one spool share it, those of two do not.
	same := evaluate(t, law.RatioOf(at).Div(law.RatioOf(at)))
	other := evaluate(t, law.RatioOf(at).Div(a.UncertainLaw("spool 4").RatioOf(at)))
	if same.StandardUncertainty != 0 || other.StandardUncertainty < b.StandardUncertainty {
		t.Errorf("u %v and %v", same.StandardUncertainty, other.StandardUncertainty)
	}
	copper, _ := FindAlloy("copper")
	if b := evaluate(t, copper.UncertainLaw("w").RatioOf(uncertainty.Exact(75))); len(b.Components) != 0 {
		t.Errorf("no published range, no input: %+v", b.Components)
	}
}

func TestCoefficientTable(t *testing.T) {
	all := slices.Collect(PublishedCoefficients(""))
	if len(all) != 92 {
		t.Fatalf("%d lines, want 92", len(all))
	}
	for _, p := range all {
		if p.Source == "" || p.Name == "" || (p.Known != "seen" && p.Known != "quoted" && p.Known != "memory") {
			t.Errorf("%+v", p)
		}
		if _, err := FindAlloy(p.Name); err != nil {
			t.Errorf("%s: %v", p.Material, err)
		}
		if p.Alpha == "" && p.Beta == "" && p.Note == "" {
			t.Errorf("%+v says nothing", p)
		}
	}
	if n := len(slices.Collect(PublishedCoefficients("unobtainium"))); n != 0 {
		t.Errorf("%d lines about an unknown metal", n)
	}
	for range PublishedCoefficients("copper") {
		break // stops when told to
	}
}

// at is the temperature of a published coefficient; a stretch counts by its middle.
func (p PublishedCoefficient) at() (float64, bool) {
	low, high, stretch := strings.Cut(p.AlphaAt, " to ")
	a, err := parse(low)
	if !stretch || err != nil {
		return a, err == nil
	}
	b, err := parse(high)
	return (a + b) / 2, err == nil
}

// Every published coefficient lies in the range of the table, or says why not: the
// coefficient is moved to the law's reference along the law's own bend.
func TestRangesCoverPublishedValues(t *testing.T) {
	for p := range PublishedCoefficients("") {
		a, err := FindAlloy(p.Name)
		if err != nil {
			t.Fatal(err)
		}
		alpha, err := parse(p.Alpha)
		at, ok := p.at()
		if err != nil || !ok {
			if p.Alpha != "" && p.Apart == "" && !strings.Contains(p.Alpha, " to ") {
				t.Errorf("%s, %s: alpha %q at %q", p.Name, p.Source, p.Alpha, p.AlphaAt)
			}
			continue
		}
		there, err := NewLaw(at, alpha, a.Law.beta).Rebase(a.Law.reference)
		if err != nil {
			t.Fatal(err)
		}
		inside := math.Abs(there.alpha-a.Law.alpha) <= a.AlphaTolerance*(1+1e-9)
		printed, _ := uncertaintytest.Agrees(a.Law.alpha, p.Alpha) // but for the rounding of the print
		if !inside && !printed && p.Apart == "" {
			t.Errorf("%s, %s: %s at %s is %.7g at %v °C, outside %v ± %v",
				p.Name, p.Source, p.Alpha, p.AlphaAt, there.alpha, a.Law.reference, a.Law.alpha, a.AlphaTolerance)
		}
	}
}

// The local coefficients of a wire table are kept as printed.
func TestLocalCoefficientsAreKept(t *testing.T) {
	for _, r := range readRows(t) {
		if r.table != "MNG" {
			continue
		}
		at := text(r.input(t, "t"))
		found := false
		for p := range PublishedCoefficients("manganin") {
			found = found || (p.AlphaAt == at && p.Alpha == r.printed)
		}
		if !found {
			t.Errorf("%s: %s at %s °C is not in the table", r.id, r.printed, at)
		}
	}
}

// The ranges published of manganin, against the row of the table.
func TestPublishedManganin(t *testing.T) {
	a, err := FindAlloy("manganin")
	if err != nil {
		t.Fatal(err)
	}
	emf, err := FindEMF("manganin")
	if err != nil {
		t.Fatal(err)
	}
	peak, _ := a.Law.Extremum()
	slope := must(t, "")(a.Law.Slope(20))
	got := map[string][]float64{
		"MNGR-01": {slope - a.AlphaTolerance, slope + a.AlphaTolerance},
		"MNGR-05": {emf.High * 1e6},
		"MNGR-07": {peak},
		"MNGR-10": {a.Law.Beta() + a.BetaTolerance, a.Law.Beta() - a.BetaTolerance},
	}
	for _, r := range readRows(t) {
		for i, v := range got[r.id] {
			p := r.published(strings.Split(r.printed, " to ")[i])
			p.Name += [2]string{"", ", other end"}[i]
			p.Run(t, v)
		}
		switch r.id {
		case "MNGR-03", "MNGR-06", "MNGR-09": // values inside the range
			largest := must(t, r.id)(parse(r.printed[strings.LastIndex(r.printed, " ")+1:]))
			if largest > a.AlphaTolerance {
				t.Errorf("%s: %v is outside ±%v", r.id, largest, a.AlphaTolerance)
			}
		}
	}
}

// Resistance factors R(t)/R(20 °C) of the heating alloys.
func TestPublishedResistanceFactors(t *testing.T) {
	const straight = "a straight law through the factor at 100 °C; the alloy bends"
	for _, c := range []struct {
		name      string
		at        float64
		printed   string
		exception string
	}{
		{"nickel-chromium 80/20", 100, "1.006", ""},
		{"nickel-chromium 80/20", 200, "1.012", straight},
		{"nickel-chromium 80/20", 300, "1.018", straight},
		{"nickel-chromium 60/15", 100, "1.011", ""},
		{"nickel-chromium 60/15", 200, "1.024", straight},
		{"nickel-chromium 60/15", 300, "1.038", ""},
		{"iron-chromium-aluminium 25/5", 100, "1.002", ""},
		{"iron-chromium-aluminium 25/5", 200, "1.005", straight + ": 1.0045"},
	} {
		a, err := FindAlloy(c.name)
		if err != nil {
			t.Fatal(err)
		}
		got := must(t, c.name)(a.Law.Ratio(c.at))
		uncertaintytest.Published{
			Name: c.name + " at " + text(c.at) + " °C", Source: "GB/T 1234, high-resistance electrical heating alloys, as quoted",
			Place: "table of resistance factors", Printed: c.printed, Provenance: uncertaintytest.Seen, Exception: c.exception,
		}.Run(t, got)
		// The published range of the coefficient covers every factor.
		want := must(t, c.name)(parse(c.printed))
		if reach := a.AlphaTolerance * (c.at - 20); math.Abs(got-want) > reach+0.0005 {
			t.Errorf("%s at %v °C: %v ± %v does not cover %v", c.name, c.at, got, reach, want)
		}
	}
}

// Coefficients that the table follows, as printed.
func TestPublishedFollowed(t *testing.T) {
	for _, c := range []struct{ name, source, place, printed string }{
		{"copper", "NBS Handbook 100 (1966), as quoted", "section 1, at 20 °C", "0.00393"},
		{"aluminium", "NBS Handbook 109 (1972), as quoted", "at 20 °C", "0.00403"},
		{"copper, pure", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.004041"},
		{"aluminium, pure", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.004308"},
		{"silver", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.003819"},
		{"gold", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.003715"},
		{"platinum", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.003729"},
		{"nickel", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.005866"},
		{"iron", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.005671"},
		{"tungsten", "Lessons in Electric Circuits vol. 1", "chapter 12, at 20 °C", "0.004403"},
		{"lead", "OpenStax College Physics", "section 20.3, at 20 °C", "0.0039"},
		{"mercury", "OpenStax College Physics", "section 20.3, at 20 °C", "0.00089"},
		{"constantan", "Wikipedia (German), Konstantan", "at 20 °C", "0.00001"},
		{"nickel silver", "Cyclopedia of Telephony and Telegraphy vol. 1", "Table VI", "0.00029"},
	} {
		a, err := FindAlloy(c.name)
		if err != nil {
			t.Fatal(err)
		}
		uncertaintytest.Published{
			Name: c.name, Source: c.source, Place: c.place, Printed: c.printed, Provenance: uncertaintytest.Seen,
		}.Run(t, a.Law.Alpha())
	}
	// IEC 60228 annex B: aluminium by 228 + t.
	uncertaintytest.Published{
		Name: "aluminium by its zero", Source: "IEC 60228 annex B", Place: "248/(228 + t)", Printed: "0.00403", Provenance: uncertaintytest.Seen,
	}.Run(t, LawFromZero(20, -228).Alpha())
}

// Any text is answered, with an alloy or with suggestions.
func FuzzFindAlloy(f *testing.F) {
	f.Add("manganin")      // a name of the table
	f.Add("Ni-Cr 80/20")   // another name, with signs
	f.Add("alluminium")    // one letter wrong
	f.Add("")              // nothing
	f.Add("\xff\u0130 /Ω") // no text, letters whose case is not ASCII
	f.Fuzz(func(t *testing.T, name string) {
		a, err := FindAlloy(name)
		if (a.Name == "") != (err != nil) {
			t.Fatalf("%q: %+v, %v", name, a, err)
		}
		if err != nil && !strings.Contains(err.Error(), "did you mean \"") {
			t.Fatalf("%q: %v suggests nothing", name, err)
		}
	})
}
