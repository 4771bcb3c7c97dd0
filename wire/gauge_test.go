// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire"
)

const mil = 25.4e-6

func TestPublishedGauges(t *testing.T) {
	for _, row := range table(t, "gauges.csv") {
		if row["system"] == "SWG" {
			publishedSWG(t, row)
		} else {
			publishedAWG(t, row)
		}
	}
}

func publishedSWG(t *testing.T, row map[string]string) {
	g := must[wire.Gauge](t)(wire.ParseGauge(row["gauge"] + " SWG"))
	p := uncertaintytest.Published{
		Source: "Order in Council of 23 August 1883; BS 3737:1964", Place: "size " + row["gauge"],
		Provenance: uncertaintytest.Seen,
	}
	for _, c := range []struct {
		column, what string
		got          float64
	}{
		{"inch", "diameter, inch", g.Diameter() / 0.0254}, {"mm", "diameter, mm", g.Diameter() * 1e3},
	} {
		p.Name, p.Printed = row["gauge"]+" SWG, "+c.what, row[c.column]
		p.Run(t, c.got)
	}
}

func publishedAWG(t *testing.T, row map[string]string) {
	g := must[wire.Gauge](t)(wire.ParseGauge(row["gauge"] + " AWG"))
	rounded := must[wire.Gauge](t)(wire.ParseGauge(row["gauge"] + " AWG B258"))
	for _, c := range []struct {
		column, what, source string
		got                  float64
	}{
		{"mil", "diameter, mil", "Lessons in Electric Circuits vol. 1", g.Diameter() / mil},
		{"cmil", "section, circular mils", "Lessons in Electric Circuits vol. 1", g.CircularMils()},
		{"mil_rounded", "rounded diameter, mil", "ASTM B258", rounded.Diameter() / mil},
		{"cmil_rounded", "section of the rounded diameter, circular mils", "NFPA 70 Chapter 9 Table 8, as quoted", rounded.CircularMils()},
	} {
		if row[c.column] == "" {
			continue
		}
		p := uncertaintytest.Published{
			Name: row["gauge"] + " AWG, " + c.what, Source: c.source, Place: "size " + row["gauge"],
			Printed: row[c.column], Provenance: uncertaintytest.Seen,
		}
		if c.column == "mil_rounded" {
			if slices.Contains([]string{"22", "24", "26"}, row["gauge"]) {
				p.Source += ", as quoted"
			} else {
				p.Provenance = uncertaintytest.FromMemory
			}
		}
		if strings.HasPrefix(row["exception"], c.column+":") {
			p.Exception = row["exception"]
		}
		p.Run(t, c.got)
	}
}

// The columns exact_… were computed outside this project and are printed nowhere: the
// definition of the American sizes, the legal inch of the British ones.
func TestGaugesAgainstTheDefinition(t *testing.T) {
	compared := 0
	for _, row := range table(t, "gauges.csv") {
		g := must[wire.Gauge](t)(wire.ParseGauge(row["gauge"] + " " + row["system"]))
		for column, got := range map[string]float64{
			"exact_mm": g.Diameter() * 1e3, "exact_mil": g.Diameter() / mil, "exact_cmil": g.CircularMils(),
		} {
			if ok, err := uncertaintytest.Agrees(got, row[column]); !ok {
				t.Errorf("%s %s, %s: %v, want %s %v", row["gauge"], row["system"], column, got, row[column], err)
			}
			compared++
		}
	}
	if compared != 3*(36+57) {
		t.Errorf("%d compared", compared)
	}
}

func TestDefinition(t *testing.T) {
	for n, inch := range map[int]float64{-3: 0.46, 36: 0.005} {
		g := must[wire.Gauge](t)(wire.AWG(n))
		if !near(g.Diameter(), inch*0.0254, 1e-15) {
			t.Errorf("AWG(%d): %v m, want %v inch", n, g.Diameter(), inch)
		}
	}
}

func TestGaugesRunFromThickToFine(t *testing.T) {
	for s, count := range map[wire.System]int{
		wire.American: 66, wire.AmericanRounded: 66, wire.Imperial: 57, wire.MetricSizes: 49, wire.System(0): 0, wire.System(99): 0,
	} {
		all := slices.Collect(wire.Gauges(s))
		if len(all) != count {
			t.Errorf("system %v: %d sizes, want %d", s, len(all), count)
		}
		if !slices.IsSortedFunc(all, func(a, b wire.Gauge) int { return cmp.Compare(b.Diameter(), a.Diameter()) }) {
			t.Errorf("system %v: not sorted", s)
		}
		if s == wire.MetricSizes && (all[0].String() != "5 mm" || all[len(all)-1].String() != "0.02 mm") {
			t.Errorf("metric sizes from %v to %v", all[0], all[len(all)-1])
		}
		for _, g := range all {
			if g.System() != s {
				t.Errorf("%v says system %v", g, g.System())
			}
		}
		for _, g := range all {
			if s == wire.MetricSizes && len(g.String()) > len("0.0355 mm") {
				t.Errorf("preferred size %v is not the nearest to its decimal", g)
			}
		}
		for range wire.Gauges(s) {
			break // stops when told
		}
	}
}

func TestTextRoundTrip(t *testing.T) {
	var all []wire.Gauge
	for _, s := range []wire.System{wire.American, wire.AmericanRounded, wire.Imperial, wire.MetricSizes} {
		all = slices.AppendSeq(all, wire.Gauges(s))
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		all = append(all, must[wire.Gauge](t)(wire.Metric(math.Pow(10, -9+7.7*r.Float64()))))
	}
	all = append(all, must[wire.Gauge](t)(wire.Metric(0.06)), must[wire.Gauge](t)(wire.Metric(0.0123)))
	for _, g := range all {
		back, err := wire.ParseGauge(g.String())
		if err != nil || back != g {
			t.Errorf("%v reads back as %v, %v", g, back, err)
		}
		b, err := json.Marshal(g)
		var again wire.Gauge
		if err2 := json.Unmarshal(b, &again); err != nil || err2 != nil || again != g {
			t.Errorf("%v: JSON %s, %v, %v", g, b, err, err2)
		}
	}
}

func TestParseGauge(t *testing.T) {
	for text, want := range map[string]string{
		"24awg": "24 AWG", " AWG 24 ": "24 AWG", "0000 AWG": "4/0 AWG", "4/0AWG": "4/0 AWG", "1/0 awg": "0 AWG", "0 SWG": "0 SWG",
		"7/0 swg": "7/0 SWG", "22 awg b258": "22 AWG B258", "200 µm": "0.2 mm", "200um": "0.2 mm", "200 μm": "0.2 mm", "0.20mm": "0.2 mm",
		"12 mm": "12 mm", ".5 mm": "0.5 mm", "1 mm^2": "1.1283791670955124 mm",
	} {
		if g, err := wire.ParseGauge(text); err != nil || g.String() != want {
			t.Errorf("ParseGauge(%q) = %v, %v; want %v", text, g, err, want)
		}
	}
	for text, want := range map[string]error{
		"": wire.ErrSyntax, "24": wire.ErrSyntax, "AWG": wire.ErrSyntax, "-1 AWG": wire.ErrSyntax, "2.5 AWG": wire.ErrSyntax, "0/0 AWG": wire.ErrSyntax,
		"mm": wire.ErrSyntax, "0,2 mm": wire.ErrSyntax, "200 mm": wire.ErrDomain, "1e-3 mm": wire.ErrSyntax, "NaN mm": wire.ErrSyntax, "Inf mm": wire.ErrSyntax, "1.2.3 mm": wire.ErrSyntax, "-1 mm": wire.ErrSyntax,
		"61 AWG": wire.ErrNoGauge, "7/0 AWG": wire.ErrNoGauge, "51 SWG": wire.ErrNoGauge, "8/0 SWG": wire.ErrNoGauge, "99999999999999999999 AWG": wire.ErrSyntax,
		"0 mm": wire.ErrDomain, "2000 mm": wire.ErrDomain, "AWG 24 SWG": wire.ErrSyntax, "four AWG": wire.ErrSyntax,
	} {
		g, err := wire.ParseGauge(text)
		if !errors.Is(err, want) || g.IsValid() {
			t.Errorf("ParseGauge(%q) = %v, %v; want %v", text, g, err, want)
		}
		if e, ok := errors.AsType[*wire.Error](err); !ok || e.Name != "gauge" || e.Value != text ||
			!strings.Contains(err.Error(), "wire.ParseGauge: ") {
			t.Errorf("ParseGauge(%q): %v", text, err)
		}
	}
}

func FuzzParseGauge(f *testing.F) {
	for _, s := range []string{"24 AWG", "4/0 AWG B258", "20 SWG", "0.2 mm", "AWG", "/0 AWG", "00000000000 AWG"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		g, err := wire.ParseGauge(s)
		if err != nil {
			return
		}
		if back, err := wire.ParseGauge(g.String()); err != nil || back != g {
			t.Errorf("%q: %v reads back as %v, %v", s, g, back, err)
		}
	})
}

func TestZeroGauge(t *testing.T) {
	var g wire.Gauge
	if g.IsValid() || g.String() != "no wire" || g.Diameter() != 0 || g.System() != 0 || g.Number() != 0 {
		t.Errorf("zero gauge: %v", g)
	}
	if _, err := g.MarshalText(); !errors.Is(err, wire.ErrNoGauge) {
		t.Errorf("text of the zero gauge: %v", err)
	}
	if err := g.UnmarshalText([]byte("x")); !errors.Is(err, wire.ErrSyntax) {
		t.Errorf("UnmarshalText: %v", err)
	}
}

func TestBadGaugeNumbers(t *testing.T) {
	for _, n := range []int{-7, 61, math.MinInt32, math.MaxInt32} {
		for _, f := range []func(int) (wire.Gauge, error){wire.AWG, wire.RoundedAWG, wire.SWG} {
			if g, err := f(n); !errors.Is(err, wire.ErrNoGauge) || g.IsValid() {
				t.Errorf("size %d: %v, %v", n, g, err)
			}
		}
	}
	for _, d := range []float64{0, -1e-3, 2, 1e-12} {
		if _, err := wire.Metric(d); !errors.Is(err, wire.ErrDomain) {
			t.Errorf("Metric(%v): %v", d, err)
		}
	}
	for _, d := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := wire.Metric(d); !errors.Is(err, wire.ErrNotFinite) {
			t.Errorf("Metric(%v): %v", d, err)
		}
	}
}

// Every size is the nearest to itself, and so is anything within a fifth of a step.
func TestNearestFindsItself(t *testing.T) {
	for _, s := range []wire.System{wire.American, wire.AmericanRounded, wire.Imperial, wire.MetricSizes} {
		for g := range wire.Gauges(s) {
			for _, f := range []float64{0.995, 1, 1.005} {
				byDiameter := must[wire.Gauge](t)(wire.Nearest(s, g.Diameter()*f))
				byArea := must[wire.Gauge](t)(wire.NearestArea(s, g.Area()*f*f))
				if byDiameter.Diameter() != g.Diameter() || byArea.Diameter() != g.Diameter() {
					t.Errorf("near %v: %v by diameter, %v by area", g, byDiameter, byArea)
				}
			}
		}
	}
}

func TestNearestRefuses(t *testing.T) {
	for _, c := range []struct {
		s    wire.System
		d    float64
		want error
	}{
		{wire.American, 0, wire.ErrDomain}, {wire.American, math.NaN(), wire.ErrNotFinite}, {wire.American, 1, wire.ErrNoGauge},
		{wire.Imperial, 1e-6, wire.ErrNoGauge}, {0, 1e-3, wire.ErrDomain},
	} {
		if _, err := wire.Nearest(c.s, c.d); !errors.Is(err, c.want) {
			t.Errorf("Nearest(%v, %v): %v", c.s, c.d, err)
		}
		if _, err := wire.NearestArea(c.s, c.d); c.d != 1 && c.d != 1e-6 && !errors.Is(err, c.want) {
			t.Errorf("NearestArea(%v, %v): %v", c.s, c.d, err)
		}
	}
}

func TestCompare(t *testing.T) {
	a, b := must[wire.Gauge](t)(wire.AWG(24)), must[wire.Gauge](t)(wire.Metric(0.5e-3))
	if a.Compare(b) != +1 || b.Compare(a) != -1 || a.Compare(a) != 0 {
		t.Error("24 AWG is thicker than 0.5 mm")
	}
}

// The text of a gauge for the verbs of text, its diameter for those of numbers.
func TestGaugeVerbs(t *testing.T) {
	g, err := wire.ParseGauge("24 awg")
	if err != nil {
		t.Fatal(err)
	}
	for format, want := range map[string]string{
		"%v": "24 AWG", "%s": "24 AWG", "%q": `"24 AWG"`, "%8v|": "  24 AWG|", "%-8s|": "24 AWG  |",
		"%.4g": "0.0005106", "%.1e": "5.1e-04", "%d": "%!d(wire.Gauge=24 AWG)",
	} {
		if got := fmt.Sprintf(format, g); got != want {
			t.Errorf("%s: %q; expected %q", format, got, want)
		}
	}
}
