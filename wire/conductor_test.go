// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire"
)

const foot = 0.3048

// fromZero is R(to)/R(from) by the inferred temperature of zero resistance.
func fromZero(zero, from, to float64) (float64, error) {
	return thermal.LawFromZero(from, zero).Ratio(to)
}

func find(t testing.TB, name string) material.Material {
	t.Helper()
	m, err := material.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func gauge(t testing.TB, text string) wire.Gauge {
	t.Helper()
	g, err := wire.ParseGauge(text)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// own is a material without temperature dependence, of the given resistivity.
func own(rho float64) material.Material {
	return material.New("own", rho, 20, thermal.NewLaw(20, 0, 0))
}

func TestPublishedCopperTables(t *testing.T) {
	copper := find(t, "copper")
	matthiessen := own(10.3544 * material.OhmCircularMilPerFoot)
	for _, row := range table(t, "copper.csv") {
		c := wire.Conductor{Material: copper}
		switch row["table"] {
		case "exact":
			c.Gauge = gauge(t, row["size"]+" AWG")
		case "rounded":
			c.Gauge = gauge(t, row["size"]+" AWG B258")
		case "matthiessen":
			c.Material, c.Gauge = matthiessen, gauge(t, row["size"]+" AWG")
		case "iec60228":
			limitOfSection(t, copper, row)
			continue
		}
		perMetre := must[float64](t)(c.PerMetre(number(t, row["temperature"])))
		p := uncertaintytest.Published{
			Name: fmt.Sprintf("copper, %s table, size %s, %s at %s °C, printed %s", row["table"],
				row["size"], strings.ReplaceAll(row["quantity"], "_", " "), row["temperature"],
				row["printed"]),
			Source: quoted(row["source"], row["known"]), Place: "size " + row["size"],
			Printed: row["printed"], Provenance: provenance(row["known"]),
			Exception: row["exception"],
		}
		p.Run(t, tableUnit(t, row["quantity"], perMetre))
	}
}

// tableUnit converts Ω/m to the unit of a wire table.
func tableUnit(t *testing.T, quantity string, perMetre float64) float64 {
	switch quantity {
	case "ohm_per_1000ft":
		return perMetre * 1000 * foot
	case "ohm_per_km":
		return perMetre * 1000
	case "ohm_per_ft":
		return perMetre * foot
	case "ft_per_ohm":
		return 1 / (perMetre * foot)
	}
	t.Fatalf("unknown quantity %q", quantity)
	return 0
}

// limitOfSection checks that a conductor of full section and standard copper
// stays inside the limit of IEC 60228, by the 4 to 7 % that the standard leaves.
func limitOfSection(t *testing.T, copper material.Material, row map[string]string) {
	t.Run("iec60228 "+row["size"]+" mm²", func(t *testing.T) {
		side := math.Sqrt(number(t, row["size"]) * 1e-6)
		r := must[float64](t)(wire.Bar{Length: 1000, Width: side,
			Thickness: side}.Resistance(copper, number(t, row["temperature"])))
		if ok, err := uncertaintytest.Agrees(r, row["formula"]); !ok {
			t.Errorf("%v Ω/km, want %s, %v", r, row["formula"], err)
		}
		if limit := number(t, row["printed"]); r >= limit || r < 0.92*limit {
			t.Errorf("%v Ω/km is not just inside the limit %v", r, limit)
		}
	})
}

// IEC 60228 annex B (C5, C6 of the worked examples; seen in its adoption GOST
// 22483-2021) states the factor to 20 °C in two forms that are almost one:
// 254.5/(234.5+t) and 1/(1+0.00393(t−20)) for copper, 248/(228+t) and
// 1/(1+0.00403(t−20)) for aluminium.
func TestTwoFormsOfTheTemperatureFactor(t *testing.T) {
	ok := must[float64](t)
	for _, c := range []struct {
		material string
		zero     float64
		at       float64
		byZero   string // arithmetic on the printed forms
		byAlpha  string
	}{
		{"copper", material.CopperZero, 5, "1.06263", "1.06264"}, {"copper", material.CopperZero, 90, "0.78428", "0.78425"},
		{"aluminium", material.AluminiumZero, 5, "1.06438", "1.06434"}, {"aluminium", material.AluminiumZero, 90, "0.77987", "0.77997"},
	} {
		m := find(t, c.material)
		byZero := ok(fromZero(c.zero, c.at, 20))
		byAlpha := m.ReferenceResistivity.Value / ok(m.Resistivity(c.at))
		for printed, got := range map[string]float64{c.byZero: byZero, c.byAlpha: byAlpha} {
			if agrees, err := uncertaintytest.Agrees(got, printed); !agrees {
				t.Errorf("%s at %v °C: %v, want %s, %v", c.material, c.at, got, printed, err)
			}
		}
		if !near(byZero, byAlpha, 1.5e-4) {
			t.Errorf("%s at %v °C: %v and %v", c.material, c.at, byZero, byAlpha)
		}
	}
}

// a worked example: what it is about, the printed answer and ours.
type worked struct {
	name, source, printed string
	known                 uncertaintytest.Provenance
	got                   float64
	exception             string
}

const (
	oup  = "OpenStax University Physics vol. 2, Resistivity and Resistance"
	ocp  = "OpenStax College Physics, section 20.3"
	lec  = "Lessons in Electric Circuits vol. 1, chapter 12"
	tabc = "Treatise on Architecture and Building Construction vol. 3 (about 1899), arts. 10-11"
	cyc  = "Cyclopedia of Telephony and Telegraphy vol. 1 (1911-12)"
	gsc  = "General Science (1912), passage on copper wire"
	eb11 = "Encyclopaedia Britannica, 11th ed., vol. 6, Conduction, Electric"
	hb   = "NBS Handbook 100, section 1"
)

func run(t *testing.T, rows []worked) {
	for _, r := range rows {
		uncertaintytest.Published{
			Name: r.name, Source: r.source, Place: "worked example", Printed: r.printed,
			Provenance: r.known, Exception: r.exception,
		}.Run(t, r.got)
	}
}

func TestPublishedResistanceOfWires(t *testing.T) {
	ok := must[float64](t)
	resistance := func(rho float64, g wire.Gauge, length float64) float64 {
		return ok(wire.Conductor{Material: own(rho), Gauge: g}.Resistance(length, 20))
	}
	twelve := must[wire.Gauge](t)(wire.Metric(2.053e-3))
	// 14 AWG as the text prints it; the exact one has 4106.72 cmil.
	printed14 := must[wire.Gauge](t)(wire.Metric(math.Sqrt(4107) * mil))
	a1 := resistance(1.68e-8, twelve, 5)
	a4 := resistance(10.09*material.OhmCircularMilPerFoot, printed14, 2300*foot)
	no7 := wire.Conductor{Material: find(t, "copper"), Gauge: gauge(t, "7 AWG")}
	a8 := ok(no7.Resistance(6000*foot, 25))
	run(t, []worked{
		{"A1 cross-section of a 12-gauge wire, mm²", oup, "3.31", uncertaintytest.Seen, twelve.Area() * 1e6, ""},
		{"A1 resistance of 5 m of it, Ω", oup, "0.025", uncertaintytest.Seen, a1, ""},
		{"A1 current density at 10 mA, A/m²", oup, "3.02e3", uncertaintytest.Seen, 0.01 / twelve.Area(), ""},
		{"A1 electric field at 10 mA, V/m", oup, "5.07e-5", uncertaintytest.Seen, 0.01 * a1 / 5, "made from the rounded current density; 5.0751e-5 unrounded"},
		{"A2 resistance of 20 m of 12-gauge copper, Ω", ocp, "0.104", uncertaintytest.Seen, resistance(1.72e-8, twelve, 20), ""},
		{"A3 resistance of 20 m of 12-gauge copper, Ω", oup, "0.10", uncertaintytest.Seen, resistance(1.68e-8, twelve, 20), ""},
		{"A4 resistance of each of two wires of 2300 ft, Ω", lec, "5.651", uncertaintytest.Seen, a4, ""},
		{"A4 resistance of both wires, Ω", lec, "11.301", uncertaintytest.Seen, ok(wire.LeadResistance(wire.Conductor{Material: own(10.09 * material.OhmCircularMilPerFoot), Gauge: printed14}, 2300*foot, 20)), ""},
		{"A4 current at 230 V, A", lec, "20.352", uncertaintytest.Seen, 230 / (2 * a4), ""},
		{"A8 resistance of 6000 ft of 7-gauge copper at 25 °C, Ω", "NEETS module 4 (NAVEDTRA 14176), question 1-12", "3.05", uncertaintytest.Seen, a8, ""},
	})
	// A5, aluminium bar 4 cm × 3 cm × 125 cm: inputs seen (the same text), answer computed: 27.604 µΩ.
	if r := ok(wire.Bar{Length: 1.25, Width: 0.04, Thickness: 0.03}.Resistance(own(2.65e-8),
		20)); !near(r, 27.604e-6, 2e-5) {
		t.Errorf("A5: %v Ω", r)
	}
	// A9: 18 % German silver, ohms per foot of five gauges, all 189.0 Ω·cmil/ft within 0.1 %.
	for size, perFoot := range map[string]float64{"21": 0.2333, "24": 0.4678, "30": 1.879, "36": 7.560, "40": 19.11} {
		if r := resistance(189*material.OhmCircularMilPerFoot, gauge(t, size+" AWG"), foot); !near(r, perFoot, 1e-3) {
			t.Errorf("A9, %s AWG: %v Ω/ft, printed %v (%s, Table VI)", size, r, perFoot, cyc)
		}
	}
}

// Proportion alone: tables of older copper, whose temperature is not that of the standard.
func TestPublishedProportions(t *testing.T) {
	ok := must[float64](t)
	perThousandFeet := func(r float64) wire.Conductor {
		g := gauge(t, "4 AWG")
		return wire.Conductor{Material: own(r / (1000 * foot) * g.Area()), Gauge: g}
	}
	a7 := perThousandFeet(0.652)
	thrice := must[wire.Gauge](t)(wire.Metric(a7.Gauge.Diameter() * math.Sqrt(3)))
	run(t, []worked{
		{"A6 resistance of 1530 ft from that of 1000 ft, Ω", tabc, "0.396", uncertaintytest.Seen, ok(perThousandFeet(0.259).Resistance(1530*foot, 20)), ""},
		{"A7 resistance with three times the section, Ω", tabc, "0.217", uncertaintytest.Seen, ok(wire.Conductor{Material: a7.Material, Gauge: thrice}.Resistance(1000*foot, 20)), ""},
		{"B8, ohms per cubic inch wanted", cyc, "149.8", uncertaintytest.Seen, 7.489 * 1000 / 50, ""},
	})
}

func TestPublishedSizesAndLengths(t *testing.T) {
	ok := must[float64](t)
	tungsten := own(5.6e-8)
	b1 := ok(wire.SectionFor(tungsten, 0.350, 0.04, 20))
	b2 := ok(wire.Conductor{Material: tungsten, Gauge: gauge(t, "0.010 mm")}.Length(0.2, 20))
	b3 := ok(wire.SectionFor(own(10.09*material.OhmCircularMilPerFoot), 0.2, 2300*foot, 20)) / (math.Pi / 4 * mil * mil)
	copper, silver := find(t, "copper"), find(t, "nickel silver")
	feet := func(m material.Material, size string) float64 {
		return ok(wire.Conductor{Material: m, Gauge: gauge(t, size+" AWG")}.Length(1, 20)) / foot
	}
	const warm = "old copper near 27 °C; the annealed standard at 20 °C is meant here"
	run(t, []worked{
		{"B1 section of a tungsten filament of 0.350 Ω, m²", ocp, "6.40e-9", uncertaintytest.Seen, b1, ""},
		{"B1 diameter of the filament, m", ocp, "9.0e-5", uncertaintytest.Seen, math.Sqrt(b1 / (math.Pi / 4)), ""},
		{"B2 length of tungsten wire that has 0.2 Ω, m", ocp, "2.81e-4", uncertaintytest.Seen, b2, "the inputs give 2.8050e-4"},
		{"B3 section for 0.2 Ω in 2300 ft, circular mils", lec, "116035", uncertaintytest.Seen, b3, ""},
		{"B4 length of 30-gauge copper that has 1 Ω, inches", gsc, "113", uncertaintytest.Seen, feet(copper, "30") * 12, warm},
		{"B5 length of 24-gauge copper that has 1 Ω, feet", gsc, "39", uncertaintytest.Seen, feet(copper, "24"), ""},
		{"B6 length of 24-gauge nickel silver that has 1 Ω, feet", gsc, "2.2", uncertaintytest.Seen, feet(silver, "24"), "18 % alloy has 0.4678 Ω/ft, 2.14 ft"},
		{"B7 length of 22-gauge copper that has 1 Ω, feet", "Physics (about 1920), art. 267", "60.5", uncertaintytest.Seen, feet(copper, "22"), warm},
	})
	// B3: 1/0 AWG is too small, 2/0 is taken.
	if thin, thick := gauge(t, "1/0 AWG"), gauge(t, "2/0 AWG"); thin.CircularMils() > b3 || thick.CircularMils() < b3 {
		t.Error("B3: 116035 cmil does not lie between 1/0 and 2/0 AWG")
	}
}

func TestPublishedTemperature(t *testing.T) {
	ok := must[float64](t)
	law := func(alpha float64) material.Material {
		return material.New("", 1e-8, 20, thermal.NewLaw(20, alpha, 0))
	}
	at := func(m material.Material, r20, t20 float64) float64 {
		return r20 * ok(m.Resistivity(t20)) / m.ReferenceResistivity.Value
	}
	gold := must[wire.Gauge](t)(wire.Metric(0.1e-3))
	rho := 77.7 * gold.Area() / 25
	c3 := material.New("", 2.44e-8, 20, thermal.NewLaw(20, 0.0034, 0))
	line := at(law(0.004041), 15, 35)
	load := 12.5 / (0.75 / 15)
	run(t, []worked{
		{"C1 resistance of a filament at 2850 °C, Ω", oup, "4.8", uncertaintytest.Seen, at(law(4.5e-3), 0.350, 2850), ""},
		{"C3 resistivity of a wire of 77.7 Ω, Ω·m", oup, "2.44e-8", uncertaintytest.Seen, rho, ""},
		{"C3 resistance of it as gold at 150 °C, Ω", oup, "112", uncertaintytest.Seen, ok(wire.Conductor{Material: c3, Gauge: gold}.Resistance(25, 150)), ""},
		{"C4 voltage of the load with the line at 35 °C, V", lec, "12.42", uncertaintytest.Seen, 14 * load / (load + 2*line), ""},
		{"C4 voltage along each wire at 35 °C, V", lec, "0.79", uncertaintytest.Seen, 14 * line / (load + 2*line), ""},
		{"C8 winding of 0.2 Ω at 20 °C, hot at 32.75 °C, zero at −235 °C, Ω", "instrument handbook, example of the resistance method of IEC 60034, as quoted", "0.210", uncertaintytest.Seen, 0.2 * ok(fromZero(-235, 20, 32.75)), ""},
		{"C9 inferred zero of copper, °C", "instrument handbook, constant of copper from 3930 ppm/K, as quoted", "-234.5", uncertaintytest.Seen, 20 - 1/find(t, "copper").Law.Alpha.Value, ""},
		{"C13 copper of 50 Ω at 20 °C, hot at 100 °C, Ω", "textbook of circuit analysis, inferred zero", "65.72", uncertaintytest.FromMemory, 50 * ok(fromZero(material.CopperZero, 20, 100)), ""},
		{"C14 copper of 30 Ω at 0 °C, cold at −40 °C, Ω", "textbook of circuit analysis, inferred zero", "24.88", uncertaintytest.FromMemory, 30 * ok(fromZero(material.CopperZero, 0, -40)), ""},
	})
	// C2: the resistance of copper, coefficient 0.0039, doubles at a rise of 256.4 K (the same source as C1).
	if r := at(law(0.0039), 1, 276.4); math.Abs(r-2) > 0.0039*0.05 {
		t.Errorf("C2: ratio %v at 276.4 °C", r)
	}
	for temperature, printed := range map[float64]string{5: "1.064", 15: "1.020", 25: "0.980",
		35: "0.943", 50: "0.893", 70: "0.833", 80: "0.806"} {
		uncertaintytest.Published{
			Name:   fmt.Sprintf("C7 factor to 20 °C from %v °C, both metals", temperature),
			Source: "IEC 60228, as quoted on a cable trade page", Place: "annex A",
			Printed: printed, Provenance: uncertaintytest.Seen,
		}.Run(t, ok(fromZero(material.CableZero, temperature, 20)))
	}
}

func TestPublishedFusing(t *testing.T) {
	ok := must[float64](t)
	const preece = "Preece's table of fusing currents, as a technical page quotes it"
	// The table gives the diameter for a current; ours is checked at its edges.
	for _, r := range []struct {
		name      string
		constant  float64
		amperes   float64
		printed   string
		exception string
	}{
		{"copper 1 A", wire.FusingCopper, 1, "0.0021", ""}, {"copper 10 A", wire.FusingCopper, 10, "0.0098", ""},
		{"copper 100 A", wire.FusingCopper, 100, "0.0457", ""}, {"platinum 5 A", wire.FusingPlatinum, 5, "0.0098", ""},
		{"platinum 20 A", wire.FusingPlatinum, 20, "0.0246", ""},
		{"aluminium 250 A", wire.FusingAluminium, 250, "0.1208", "misprint, digits interchanged: 0.1028"},
	} {
		inch := math.Pow(r.amperes/r.constant, 2.0/3)
		if i := ok(wire.FusingCurrent(r.constant, inch*0.0254)); !near(i, r.amperes, 1e-12) {
			t.Errorf("%s: %v A", r.name, i)
		}
		uncertaintytest.Published{Name: r.name, Source: preece, Place: "diameter, inch",
			Printed: r.printed, Provenance: uncertaintytest.Seen, Exception: r.exception}.Run(t,
			inch)
	}
	if wire.FusingNickelSilver != 5230 || wire.FusingPlatinoid != 4750 {
		t.Error("constants of the table")
	}
}

// D6: R ohms, M grams, l centimetres: 10 000 M R/l² is the mass resistivity in Ω·g/m².
func TestMassResistivityIsResistanceTimesMassOverLengthSquared(t *testing.T) {
	ok := must[float64](t)
	c := wire.Conductor{Material: find(t, "copper"), Gauge: gauge(t, "1 mm")}
	const l = 3.5
	r, m := ok(c.Resistance(l, 20)), ok(c.Mass(l))
	if delta := ok(material.MassResistivity(material.IACSResistivity, material.IACSDensity)); !near(
		r*m/(l*l), delta, 1e-14) || !near(1e4*m*1e3*r/(l*100*l*100)*1e-3, delta, 1e-14) {
		t.Errorf("R m/l² = %v, ρ × density = %v", r*m/(l*l), delta)
	}
}

func TestFusingCurrentRefuses(t *testing.T) {
	for x, want := range map[float64]error{0: wire.ErrDomain, -1: wire.ErrDomain,
		math.Inf(1): wire.ErrNotFinite, math.NaN(): wire.ErrNotFinite} {
		_, constant := wire.FusingCurrent(x, 1)
		_, diameter := wire.FusingCurrent(wire.FusingCopper, x)
		if !errors.Is(constant, want) || !errors.Is(diameter, want) {
			t.Errorf("%v: %v and %v", x, constant, diameter)
		}
	}
}
