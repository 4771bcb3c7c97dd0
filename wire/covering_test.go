// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire"
)

const (
	enamelStandard = "IEC 60317-0-1, in GOST R IEC 60317-0-1-2022"
	enamelMaker    = "a maker's tables of winding wire to IEC 60317"
	filmStandard   = "NEMA MW 1000, in a maker's leaflet"
	fibreBook      = "Cyclopedia of Telephony and Telegraphy vol. 1 (1911)"
	cableStandard  = "IEC 60228"
)

// millimetres of the outside diameter, least and greatest, by grade.
func TestPublishedEnamel(t *testing.T) {
	for _, r := range []struct {
		nominal  string
		least    [3]string // least increase
		greatest [3]string
		known    uncertaintytest.Provenance
	}{
		{"0.315 mm", [3]string{"0.019", "0.035", "0.053"}, [3]string{"0.349", "0.367", "0.384"}, uncertaintytest.Seen},
		{"0.355 mm", [3]string{"0.020", "0.038", "0.057"}, [3]string{"0.392", "0.411", "0.428"}, uncertaintytest.Seen},
		{"0.450 mm", [3]string{"0.022", "0.042", "0.064"}, [3]string{"0.491", "0.513", "0.533"}, uncertaintytest.Seen},
		{"0.500 mm", [3]string{"0.024", "0.045", "0.067"}, [3]string{"0.544", "0.566", "0.587"}, uncertaintytest.Seen},
		{"0.630 mm", [3]string{"0.027", "0.050", "0.075"}, [3]string{"0.679", "0.704", "0.728"}, uncertaintytest.Seen},
		{"0.710 mm", [3]string{"0.028", "0.053", "0.080"}, [3]string{"0.762", "0.789", "0.814"}, uncertaintytest.Seen},
		{"0.900 mm", [3]string{"0.032", "0.060", "0.090"}, [3]string{"0.959", "0.989", "1.018"}, uncertaintytest.Seen},
		{"1.000 mm", [3]string{"0.034", "0.063", "0.095"}, [3]string{"1.062", "1.094", "1.124"}, uncertaintytest.Seen},
		{"1.250 mm", [3]string{"0.035", "0.067", "0.100"}, [3]string{"1.316", "1.349", "1.381"}, uncertaintytest.Seen},
		{"1.400 mm", [3]string{"0.036", "0.069", "0.103"}, [3]string{"1.468", "1.502", "1.535"}, uncertaintytest.Seen},
		{"1.800 mm", [3]string{"0.039", "0.073", "0.110"}, [3]string{"1.872", "1.909", "1.944"}, uncertaintytest.Seen},
		{"2.000 mm", [3]string{"0.040", "0.075", "0.113"}, [3]string{"2.074", "2.112", "2.148"}, uncertaintytest.Seen},
		{"2.500 mm", [3]string{"0.042", "0.079", "0.119"}, [3]string{"2.578", "2.618", "2.656"}, uncertaintytest.Seen},
		{"2.800 mm", [3]string{"0.043", "0.081", "0.123"}, [3]string{"2.880", "2.922", "2.961"}, uncertaintytest.Seen},
		{"3.550 mm", [3]string{"0.046", "0.086", "0.130"}, [3]string{"3.635", "3.679", "3.721"}, uncertaintytest.Seen},
		{"4.000 mm", [3]string{"0.047", "0.089", "0.134"}, [3]string{"4.088", "4.133", "4.176"}, uncertaintytest.Seen},
		{"5.000 mm", [3]string{"0.050", "0.094", "0.142"}, [3]string{"5.093", "5.141", "5.186"}, uncertaintytest.Seen},
		{"0.125 mm", [3]string{"0.010", "0.019", "0.028"}, [3]string{"0.144", "0.154", "0.163"}, uncertaintytest.FromMemory},
		{"0.160 mm", [3]string{"0.012", "0.023", "0.033"}, [3]string{"0.182", "0.194", "0.205"}, uncertaintytest.FromMemory},
		{"0.180 mm", [3]string{"0.013", "0.025", "0.036"}, [3]string{"0.204", "0.217", "0.229"}, uncertaintytest.FromMemory},
		{"0.224 mm", [3]string{"0.015", "0.029", "0.043"}, [3]string{"0.252", "0.266", "0.280"}, uncertaintytest.FromMemory},
		{"0.250 mm", [3]string{"0.017", "0.032", "0.048"}, [3]string{"0.281", "0.297", "0.312"}, uncertaintytest.FromMemory},
	} {
		g := gauge(t, r.nominal)
		for i, c := range []wire.Covering{wire.CoveringGrade1, wire.CoveringGrade2, wire.CoveringGrade3} {
			d := must[wire.Covered](t)(c.Diameter(g))
			name := fmt.Sprintf("%s, grade %d", r.nominal, i+1)
			uncertaintytest.Published{Name: name + ", least increase", Source: enamelStandard,
				Place: "table 1", Printed: r.least[i], Provenance: r.known}.Run(t,
				(d.Least-g.Diameter())*1e3)
			uncertaintytest.Published{Name: name + ", greatest", Source: enamelStandard,
				Place: "table 1", Printed: r.greatest[i], Provenance: r.known}.Run(t,
				d.Greatest*1e3)
			if d.Interpolated {
				t.Errorf("%s is interpolated", name)
			}
		}
	}
	for _, r := range []struct {
		nominal                      string
		least1, most1, least2, most2 string
	}{
		{"0.03 mm", "0.033", "0.037", "0.038", "0.041"},
		{"0.04 mm", "0.044", "0.049", "0.05", "0.054"},
		{"0.045 mm", "0.05", "0.055", "0.056", "0.061"},
		{"0.053 mm", "0.058", "0.064", "0.065", "0.07"},
		{"0.056 mm", "0.062", "0.067", "0.068", "0.074"},
		{"0.063 mm", "0.069", "0.076", "0.077", "0.083"},
		{"0.071 mm", "0.078", "0.084", "0.085", "0.091"},
		{"0.09 mm", "0.098", "0.105", "0.106", "0.113"},
		{"0.1 mm", "0.108", "0.117", "0.118", "0.125"},
		{"0.118 mm", "0.128", "0.136", "0.137", "0.145"},
	} {
		g := gauge(t, r.nominal)
		one, two := must[wire.Covered](t)(wire.CoveringGrade1.Diameter(g)),
			must[wire.Covered](t)(wire.CoveringGrade2.Diameter(g))
		for _, c := range []struct {
			name, printed string
			got           float64
		}{
			{"grade 1, least", r.least1, one.Least}, {"grade 1, greatest", r.most1, one.Greatest},
			{"grade 2, least", r.least2, two.Least}, {"grade 2, greatest", r.most2, two.Greatest},
		} {
			uncertaintytest.Published{Name: r.nominal + ", " + c.name, Source: enamelMaker,
				Place: "outside diameters", Printed: c.printed,
				Provenance: uncertaintytest.Seen}.Run(t, c.got*1e3)
		}
	}
}

// mil of film-insulated wire.
func TestPublishedFilm(t *testing.T) {
	for _, r := range []struct {
		number             int
		film               wire.Covering
		increase, greatest string
		known              uncertaintytest.Provenance // of the greatest diameter
	}{
		{6, wire.CoveringHeavyFilm, "3.5", "167.1", uncertaintytest.Seen},
		{8, wire.CoveringHeavyFilm, "3.3", "133.2", uncertaintytest.Seen},
		{9, wire.CoveringHeavyFilm, "3.2", "118.9", uncertaintytest.Seen},
		{14, wire.CoveringSingleFilm, "1.6", "66.6", uncertaintytest.Seen},
		{14, wire.CoveringHeavyFilm, "3.2", "68.2", uncertaintytest.FromMemory},
		{15, wire.CoveringSingleFilm, "1.5", "59.4", uncertaintytest.Seen},
		{17, wire.CoveringSingleFilm, "1.4", "47.5", uncertaintytest.Seen},
		{18, wire.CoveringSingleFilm, "1.3", "42.4", uncertaintytest.Seen},
		{18, wire.CoveringHeavyFilm, "2.6", "43.9", uncertaintytest.FromMemory},
		{20, wire.CoveringSingleFilm, "1.2", "33.9", uncertaintytest.Seen},
		{20, wire.CoveringHeavyFilm, "2.3", "35.3", uncertaintytest.FromMemory},
		{21, wire.CoveringSingleFilm, "1.1", "30.3", uncertaintytest.Seen},
		{23, wire.CoveringSingleFilm, "1.0", "24.3", uncertaintytest.Seen},
		{24, wire.CoveringSingleFilm, "1.0", "21.7", uncertaintytest.Seen},
		{24, wire.CoveringHeavyFilm, "1.9", "22.7", uncertaintytest.FromMemory},
		{26, wire.CoveringSingleFilm, "0.9", "17.3", uncertaintytest.Seen},
		{26, wire.CoveringHeavyFilm, "1.7", "18.2", uncertaintytest.FromMemory},
		{27, wire.CoveringSingleFilm, "0.8", "15.6", uncertaintytest.Seen},
		{29, wire.CoveringSingleFilm, "0.7", "12.6", uncertaintytest.Seen},
		{30, wire.CoveringSingleFilm, "0.7", "11.2", uncertaintytest.Seen},
		{30, wire.CoveringHeavyFilm, "1.4", "11.9", uncertaintytest.FromMemory},
		{32, wire.CoveringSingleFilm, "0.6", "9.1", uncertaintytest.Seen},
		{32, wire.CoveringHeavyFilm, "1.2", "9.8", uncertaintytest.FromMemory},
		{33, wire.CoveringSingleFilm, "0.5", "8.1", uncertaintytest.Seen},
		{35, wire.CoveringSingleFilm, "0.4", "6.4", uncertaintytest.Seen},
		{36, wire.CoveringSingleFilm, "0.4", "5.8", uncertaintytest.Seen},
		{36, wire.CoveringHeavyFilm, "0.8", "6.3", uncertaintytest.FromMemory},
		{38, wire.CoveringSingleFilm, "0.3", "4.7", uncertaintytest.Seen},
		{38, wire.CoveringHeavyFilm, "0.7", "5.1", uncertaintytest.FromMemory},
		{39, wire.CoveringSingleFilm, "0.2", "4.1", uncertaintytest.Seen},
	} {
		g := must[wire.Gauge](t)(wire.RoundedAWG(r.number))
		d := must[wire.Covered](t)(r.film.Diameter(g))
		name := fmt.Sprintf("%d AWG, %v", r.number, r.film)
		uncertaintytest.Published{Name: name + ", least increase", Source: filmStandard,
			Place: "dimensions", Printed: r.increase, Provenance: uncertaintytest.Seen}.Run(t,
			(d.Least-g.Diameter())/25.4e-6)
		uncertaintytest.Published{Name: name + ", greatest", Source: filmStandard,
			Place: "dimensions", Printed: r.greatest, Provenance: r.known}.Run(t,
			d.Greatest/25.4e-6)
	}
}

func TestPublishedSilkAndCotton(t *testing.T) {
	for _, r := range []struct {
		number   int
		covering wire.Covering
		printed  string
	}{
		{20, wire.CoveringSingleCotton, "37.861"},
		{22, wire.CoveringSingleCotton, "31.247"},
		{23, wire.CoveringSingleCotton, "28.471"},
		{25, wire.CoveringSingleCotton, "23.800"},
		{26, wire.CoveringSingleCotton, "21.840"},
		{20, wire.CoveringDoubleCotton, "42.161"},
		{22, wire.CoveringDoubleCotton, "35.547"},
		{23, wire.CoveringDoubleCotton, "32.771"},
		{25, wire.CoveringDoubleCotton, "28.100"},
		{26, wire.CoveringDoubleCotton, "26.140"},
		{20, wire.CoveringSingleSilk, "34.261"},
		{22, wire.CoveringSingleSilk, "27.647"},
		{23, wire.CoveringSingleSilk, "24.871"},
		{25, wire.CoveringSingleSilk, "20.200"},
		{26, wire.CoveringSingleSilk, "18.240"},
		{20, wire.CoveringDoubleSilk, "36.161"},
		{22, wire.CoveringDoubleSilk, "29.547"},
		{23, wire.CoveringDoubleSilk, "26.771"},
		{25, wire.CoveringDoubleSilk, "22.100"},
	} {
		d := must[wire.Covered](t)(r.covering.Diameter(must[wire.Gauge](t)(wire.AWG(r.number))))
		uncertaintytest.Published{
			Name: fmt.Sprintf("%d B&S, %v", r.number, r.covering), Source: fibreBook, Place: "table IV",
			Printed: r.printed, Provenance: uncertaintytest.Seen,
			Exception: fibreExceptions[r.number],
		}.Run(t, d.Middle()/25.4e-6)
	}
}

// The book rounds the bare diameter in its last digit.
var fibreExceptions = map[int]string{23: "bare 22.571 in the book, 22.5718 by the series",
	26: "bare 15.940 in the book, 15.9406 by the series"}

func TestPublishedCableSections(t *testing.T) {
	for _, r := range []struct {
		section float64 // mm²
		class   wire.ConductorClass
		metal   wire.ConductorMetal
		printed string
		known   uncertaintytest.Provenance
	}{
		{0.5, wire.ClassSolid, wire.MetalCopper, "36.0", uncertaintytest.Seen},
		{1.5, wire.ClassStranded, wire.MetalCopper, "12.1", uncertaintytest.Seen},
		{10, wire.ClassStranded, wire.MetalCopper, "1.83", uncertaintytest.Seen},
		{35, wire.ClassSolid, wire.MetalCopper, "0.524", uncertaintytest.Seen},
		{400, wire.ClassSolid, wire.MetalCopper, "0.0465", uncertaintytest.Seen},
		{400, wire.ClassStranded, wire.MetalCopper, "0.0470", uncertaintytest.FromMemory},
		{500, wire.ClassSolid, wire.MetalAluminium, "0.0605", uncertaintytest.Seen},
		{630, wire.ClassSolid, wire.MetalAluminium, "0.0469", uncertaintytest.Seen},
		{1000, wire.ClassSolid, wire.MetalAluminium, "0.0291", uncertaintytest.Seen},
		{1200, wire.ClassSolid, wire.MetalAluminium, "0.0247", uncertaintytest.Seen},
		{1.5, wire.ClassFlexible, wire.MetalCopper, "13.3", uncertaintytest.FromMemory},
		{1, wire.ClassVeryFlexible, wire.MetalTinnedCopper, "20.0", uncertaintytest.FromMemory},
		{2.5, wire.ClassStranded, wire.MetalTinnedCopper, "7.56", uncertaintytest.FromMemory},
	} {
		got := must[float64](t)(wire.CableSection{Section: r.section * 1e-6, Class: r.class,
			Metal: r.metal}.MaxResistance())
		uncertaintytest.Published{
			Name:   fmt.Sprintf("%g mm², class %d, %v, Ω/km", r.section, r.class, r.metal),
			Source: cableStandard, Place: "tables 1 to 4",
			Printed: r.printed, Provenance: r.known,
		}.Run(t, got*1e3)
	}
}

// The limit leaves a conductor of full section 2 to 20 % in every line, and falls with the
// section; a slip of a digit would show.
func TestCableTableIsRegular(t *testing.T) {
	for _, class := range []wire.ConductorClass{wire.ClassSolid, wire.ClassStranded,
		wire.ClassFlexible, wire.ClassVeryFlexible} {
		for metal, rho := range map[wire.ConductorMetal]float64{wire.MetalCopper: 1.7241e-8,
			wire.MetalTinnedCopper: 1.7241e-8, wire.MetalAluminium: 2.8264e-8} {
			last := 0.0
			for a := range wire.CableSections(class, metal) {
				r := must[float64](t)(wire.CableSection{Section: a, Class: class, Metal: metal}.MaxResistance())
				if margin := r * a / rho; margin < 0.98 || margin > 1.20 {
					t.Errorf("class %d, %v, %g mm²: %.3f of full section", class, metal, a*1e6, margin)
				}
				if last > 0 && r >= last {
					t.Errorf("class %d, %v, %g mm²: %v Ω/m after %v", class, metal, a*1e6, r, last)
				}
				last = r
			}
		}
	}
}

// Facts of the trade: usual stranding of class 5 has the metal of its name within 2 %.
func TestPublishedStranding(t *testing.T) {
	for _, r := range []struct {
		strands int
		wire    string
		printed string // mm²
	}{
		{16, "0.20 mm", "0.5027"}, {32, "0.20 mm", "1.005"}, {30, "0.25 mm", "1.473"}, {56, "0.30 mm", "3.958"},
		{84, "0.30 mm", "5.938"}, {128, "0.40 mm", "16.08"}, {200, "0.40 mm", "25.13"},
	} {
		a := must[float64](t)(wire.Stranded{Wire: wire.Conductor{Gauge: gauge(t, r.wire)}, Strands: r.strands}.Area())
		uncertaintytest.Published{
			Name:    fmt.Sprintf("%d × %s, mm²", r.strands, r.wire),
			Source:  "usual stranding of class 5 to IEC 60228, a cable maker's page",
			Place:   "metal area, computed from it",
			Printed: r.printed, Provenance: uncertaintytest.CommonPractice,
		}.Run(t, a*1e6)
	}
}

func TestStranded(t *testing.T) {
	s := wire.Stranded{Wire: wire.Conductor{Material: own(1.7241e-8), Gauge: gauge(t, "0.2 mm")}, Strands: 32}
	plain := must[float64](t)(s.PerMetre(20))
	one := must[float64](t)(s.Wire.PerMetre(20))
	if !near(plain, one/32, 1e-14) {
		t.Errorf("%v Ω/m, one wire %v", plain, one)
	}
	s.Lay, s.Tin = 0.02, 1e-6
	core := 0.198 / 0.2
	if want := plain * 1.02 / (core*core + (1-core*core)/6.3); !near(must[float64](t)(s.PerMetre(20)), want, 1e-12) {
		t.Errorf("tinned and laid: want %v", want)
	}
	for n, want := range map[int]float64{1: 0.2, 7: 0.6, 19: 1.0, 37: 1.4, 12: 0.8} {
		if d := must[float64](t)(wire.Stranded{Wire: s.Wire, Strands: n}.Diameter()); !near(d, want*1e-3, 1e-12) {
			t.Errorf("%d wires: %v m", n, d)
		}
	}
	for want, bad := range map[string]wire.Stranded{
		"Strands: 0; expected 1 to 1e6": {Wire: s.Wire},
		"Lay: 2; expected 0.5 at most":  {Wire: s.Wire, Strands: 7, Lay: 2},
		"Lay: -1; expected 0":           {Wire: s.Wire, Strands: 7, Lay: -1},
		"Tin: 1; expected less than":    {Wire: s.Wire, Strands: 7, Tin: 1},
		"Tin: -1; expected 0 m":         {Wire: s.Wire, Strands: 7, Tin: -1},
		"expected a gauge":              {Strands: 7},
	} {
		if _, err := bad.PerMetre(20); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

// Sizes between those of a table lie between their neighbours; outside it nothing is
// guessed.
func TestCoveringBetweenSizes(t *testing.T) {
	d := must[wire.Covered](t)(wire.CoveringGrade2.Diameter(gauge(t, "0.335 mm")))
	if !d.Interpolated || d.Least-0.335e-3 < 0.035e-3 || d.Least-0.335e-3 > 0.038e-3 ||
		d.Greatest-0.335e-3 < 0.052e-3 || d.Greatest-0.335e-3 > 0.056e-3 {
		t.Errorf("%+v", d)
	}
	if m := d.Middle(); m <= d.Least || m >= d.Greatest {
		t.Errorf("middle %v of %+v", m, d)
	}
	for _, c := range []struct {
		covering wire.Covering
		size     string
	}{{wire.CoveringGrade1, "0.01 mm"}, {wire.CoveringGrade3, "0.1 mm"}, {wire.CoveringSingleFilm, "4 AWG"}, {wire.CoveringGrade2, "6 mm"}} {
		if _, err := c.covering.Diameter(gauge(t, c.size)); !errors.Is(err, wire.ErrNoGauge) {
			t.Errorf("%v on %s: %v", c.covering, c.size, err)
		}
	}
	for i := range 10 {
		c := wire.Covering(i)
		if back, err := wire.ParseCovering(c.String()); err != nil || back != c {
			t.Errorf("%v read as %v, %v", c, back, err)
		}
	}
	if _, err := wire.ParseCovering("paper"); !errors.Is(err, wire.ErrUnknown) {
		t.Error(err)
	}
	if _, err := wire.Covering(99).Diameter(gauge(t, "1 mm")); !errors.Is(err, wire.ErrUnknown) {
		t.Error(err)
	}
}

func TestParseGaugeOfOtherUnits(t *testing.T) {
	for text, mm := range map[string]float64{
		"36 B&S": 0.127, "B&S 36": 0.127, "b.&s. 36": 0.127, "8 mil": 0.2032, "2 mils": 0.0508, "0.008 in": 0.2032, "0.1 inch": 2.54,
		"0.5 mm²": 0.797884560802865, "0.5mm2": 0.797884560802865,
	} {
		g := gauge(t, text)
		if !near(g.Diameter(), mm*1e-3, 1e-14) {
			t.Errorf("%s: %v m", text, g.Diameter())
		}
		if g.System() == wire.MetricSizes && g != gauge(t, g.String()) {
			t.Errorf("%s writes %s", text, g)
		}
	}
	for _, text := range []string{"mil", "-8 mil", "0 mm²", "B&S", "99 B&S", "1e9 in"} {
		if g, err := wire.ParseGauge(text); err == nil {
			t.Errorf("%s read as %v", text, g)
		}
	}
}

func TestWindow(t *testing.T) {
	w := wire.Window{Width: 10e-3, Height: 5e-3}
	f := must[wire.Fill](t)(w.Fill(0.4e-3, 0.5e-3))
	if f.Turns != 200 || f.Layers != 10 || !near(f.Metal, 200*0.125664e-6/50e-6, 1e-5) {
		t.Errorf("%+v", f)
	}
	r := must[float64](t)(wire.ResistancePerVolume(0.43e-6, 0.1e-3, 0.12e-3))
	if want := 0.43e-6 / 7.853982e-9 / 1.44e-8; !near(r, want, 1e-6) {
		t.Errorf("%v Ω/m³, want %v", r, want)
	}
	second := func(_ wire.Fill, err error) error { return err }
	for name, err := range map[string]error{
		"no width": second(wire.Window{Height: 1}.Fill(1, 1)), "covered below bare": second(w.Fill(2e-4, 1e-4)), "too thick": second(w.Fill(6e-3, 6e-3)),
	} {
		if !errors.Is(err, wire.ErrDomain) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := (wire.Window{Width: 1e308, Height: 5e-5}).Fill(1e-50, 1e-3); !errors.Is(err, wire.ErrDomain) {
		t.Errorf("a window lower than the wire: %v", err)
	}
	if _, err := (wire.Window{Width: 1e308, Height: 1e308}).Fill(1e-50, 1e-50); !errors.Is(err, wire.ErrNotFinite) {
		t.Errorf("turns without number: %v", err)
	}
	for _, x := range [][3]float64{{0, 1, 1}, {1, 0, 1}, {1, 1, 0}, {1, 2, 1}} {
		if _, err := wire.ResistancePerVolume(x[0], x[1], x[2]); !errors.Is(err, wire.ErrDomain) {
			t.Errorf("%v: %v", x, err)
		}
	}
}

// A class that the standard does not have is not blamed on the section.
func TestCableClassIsNamed(t *testing.T) {
	_, err := wire.CableSection{Section: 2.5e-6, Class: 3}.MaxResistance()
	if e, ok := errors.AsType[*wire.Error](err); !ok || e.Name != "Class" ||
		!strings.Contains(err.Error(), "expected 1, 2, 5 or 6") {
		t.Errorf("class 3: %v", err)
	}
}
