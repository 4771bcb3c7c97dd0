// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire/winding"
)

const (
	rosaGrover = "Rosa and Grover, Bulletin of the Bureau of Standards 8 (1912) 1"
	circular74 = "NBS Circular 74, Radio instruments and measurements, 2nd ed. (1924)"
	maxwell    = "Maxwell, A treatise on electricity and magnetism, vol. 2"
	openText   = "school textbook exercise on mutual inductance, published answer"
)

func TestPublishedCircles(t *testing.T) {
	m := func(a, b, d float64) float64 {
		return must[float64](t)(winding.Circles{Radius1: a, Radius2: b, Distance: d}.MutualInductance())
	}
	row := func(name, source, place, printed string, p uncertaintytest.Provenance, exception string, got float64) {
		uncertaintytest.Published{Name: name, Source: source, Place: place, Printed: printed,
			Provenance: p, Exception: exception}.Run(t, got)
	}
	row("A 25 cm, a 20 cm, 10 cm apart, cm", rosaGrover, "circles of the worked examples", "248.787",
		uncertaintytest.FromMemory, "", m(0.25, 0.20, 0.10)*1e9)
	// γ = 60° with equal circles: k = sin γ; the table has the logarithm plus 1
	d := 2 / math.Tan(math.Pi/3)
	row("log M/4π√(Aa) at 60°, + 1", maxwell, "appendix to chapter XIV, first line", "0.4994783",
		uncertaintytest.FromMemory, "", 1+math.Log10(m(1, 1, d)*1e7/(4*math.Pi)))
	for _, r := range []struct {
		ratio              float64
		printed, exception string
	}{
		{0.010, "0.05016", ""},
		{0.10, "0.02147", "last digit: 0.021478"},
		{0.20, "0.01328", ""},
		{0.50, "0.003969", ""},
		{0.70, "0.001480", "last digit: 0.0014807"},
	} {
		// equal circles of radius 1 cm: shortest over longest distance d/√(4 + d²)
		d := 2 * r.ratio / math.Sqrt(1-r.ratio*r.ratio) * 0.01
		row(fmt.Sprintf("F at r2/r1 = %g, µH/cm", r.ratio), circular74, "table of F for coaxial circles", r.printed,
			uncertaintytest.FromMemory, r.exception, m(0.01, 0.01, d)*1e6)
	}
	// the exercise takes the field on the axis for that in the small circle
	small := m(0.20, 0.003, 0.15)
	row("20 cm and 0.3 cm, 15 cm apart, pH", openText, "mutual inductance", "45.5",
		uncertaintytest.Seen, "", small*1e12)
	row("flux of 2 A, pWb", openText, "flux", "91", uncertaintytest.Seen, "", 2*small*1e12)
}

// The sum of 600 loops, freed from the shape of the wire by Rosa's corrections, has
// Nagaoka's coefficient. What a few digits more would show is the neglected term of the
// curvature of the wire.
func TestPublishedNagaokaBySums(t *testing.T) {
	for _, r := range []struct {
		ratio   float64
		printed string
		known   uncertaintytest.Provenance
		source  string
		place   string
	}{
		{0.25, "0.9016", uncertaintytest.FromMemory, circular74, "table 10"},
		{0.5, "0.8181", uncertaintytest.FromMemory, circular74, "table 10"},
		{1, "0.6884", uncertaintytest.FromMemory, circular74, "table 10"},
		{2, "0.5255", uncertaintytest.FromMemory, circular74, "table 10"},
		{2.5, "0.47186", uncertaintytest.Seen, "Nagaoka, J. Coll. Sci. Imp. Univ. Tokyo 27 (1909) art. 6", "table, p. 31, in a transcription; its sixth digit left out"},
	} {
		const turns, radius = 600.0, 0.05
		pitch := 2 * radius / r.ratio / turns
		w := winding.Winding{
			Former: winding.Cylinder(2*radius-pitch, turns*pitch), Turns: turns, Ohms: 1,
			Wire: winding.Wire{Bare: 0.9 * pitch, Covered: pitch},
		}
		l := must[winding.Residuals](t)(w.Residuals()).L
		l -= winding.MagneticConstant * axialTube(turns*pitch, radius) // Nagaoka's coil has no ends
		corrections := must[float64](t)(winding.WireCorrection(0.9)) + must[float64](t)(winding.TurnsCorrection(turns))
		k := (l/winding.MagneticConstant + radius*turns*corrections) * turns * pitch / (turns * turns * math.Pi * radius * radius)
		uncertaintytest.Published{
			Name: fmt.Sprintf("K at D/l = %g", r.ratio), Source: r.source, Place: r.place,
			Printed: r.printed, Provenance: r.known,
		}.Run(t, k)
	}
}

// axialTube is what the way along the former adds, over µ0.
func axialTube(l, a float64) float64 {
	return (l*math.Asinh(l/a) - math.Hypot(l, a) + a) / (2 * math.Pi)
}

// Grover, Inductance calculations: two equal parallel filaments, as the closed form for
// a long pair, ln(2l/d) − 1 + d/l − d²/4l².
func TestFilamentsFarApartAndNear(t *testing.T) {
	for _, c := range []struct{ l, d float64 }{{1, 1e-3}, {1, 0.02}, {0.3, 0.001}} {
		got := must[float64](t)(winding.Filaments{Length1: c.l, Length2: c.l, Distance: c.d}.MutualInductance())
		y := c.d / c.l
		if want := 2e-7 * c.l * (math.Log(2/y) - 1 + y - y*y/4); !near(got, want, 1e-6) {
			t.Errorf("%+v: %v H, want %v", c, got, want)
		}
	}
	// far apart as two elements of current: µ0 l m/4πd
	got := must[float64](t)(winding.Filaments{Length1: 0.01, Length2: 0.02, Distance: 10}.MutualInductance())
	if want := 1e-7 * 0.01 * 0.02 / 10; !near(got, want, 1e-5) {
		t.Errorf("far apart %v H, want %v", got, want)
	}
}

// What is said of real Ayrton–Perry resistors are bounds and typical values, not figures
// of one winding: 500 Ω with less than 1 µH (a maker's note, seen), and decade units with
// 0.11 µH at 10 Ω and 0.29 µH at 100 Ω for each step (data of the 1950s, from memory), of
// a size and a wire that nobody states. The model has to come near.
func TestAyrtonPerryAgainstReality(t *testing.T) {
	for _, c := range []struct {
		ohms        float64
		material    string
		former      winding.Former
		least, most float64 // H
	}{
		{500, "nickel-chromium 80/20", winding.Cylinder(8e-3, 25e-3), 0, 1e-6},
		{500, "constantan", winding.Cylinder(8e-3, 25e-3), 0, 1e-6},
		{10, "manganin", winding.Card(25e-3, 0.8e-3, 40e-3), 0.11e-6 / 3, 0.11e-6 * 3},
		{100, "manganin", winding.Card(25e-3, 0.8e-3, 40e-3), 0.29e-6 / 3, 0.29e-6 * 3},
	} {
		plans := must[[]winding.Plan](t)(winding.Requirement{
			Ohms: c.ohms, Former: c.former, Power: 0.25, MaxRise: 60,
			Materials:     []material.Material{found(c.material)},
			Constructions: []winding.Construction{winding.AyrtonPerryWinding},
		}.Plans())
		if l := plans[0].L; l < c.least || l > c.most {
			t.Errorf("%v: %.2f µH, reported %.2f µH to %.2f µH", plans[0], l*1e6, c.least*1e6, c.most*1e6)
		}
	}
}
