// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

// A figure of the tables in this package is written as how it is known, the code of its source,
// its value in SI units, and what is added to it:
//
//	seen("WPM", 0.43e-6).between(0.387e-6, 0.473e-6).because("lower end of …")
//
// 0.43 µΩ·m was read in the source WPM of sources.go, 0.387 to 0.473 µΩ·m are published, and the
// reason says why that figure is followed. A magnitude that is known without its sign is 0 with
// the magnitude on both sides. What no document gives is left out, and asking for it is an error.

// figureFrom returns a figure by the code of its source.
func figureFrom(known Known, code string, v float64) Figure {
	return Figure{Value: v, Source: Source{Document: sources[code], Known: known}}
}

// seen, quoted and memory return a figure by how it is known.
func seen(code string, v float64) Figure   { return figureFrom(KnownSeen, code, v) }
func quoted(code string, v float64) Figure { return figureFrom(KnownQuoted, code, v) }
func memory(code string, v float64) Figure { return figureFrom(KnownMemory, code, v) }

// derived returns a figure that no line prints as it is, with the arithmetic on what is
// printed.
func derived(code string, v float64, how string) Figure {
	return figureFrom(KnownDerived, code, v).because(how)
}

// between adds the published range.
func (f Figure) between(low, high float64) Figure {
	f.Low, f.High = low, high
	return f
}

// within adds a published range on both sides.
func (f Figure) within(halfWidth float64) Figure {
	return f.between(f.Value-halfWidth, f.Value+halfWidth)
}

// because adds why the figure is followed.
func (f Figure) because(reason string) Figure {
	f.Reason = reason
	return f
}

// holds returns the range of a law, whose limits are known as source.
func holds(low, high float64, code string, known Known, reason string) Range {
	return Range{low, high, Source{sources[code], known, reason}}
}

// nonmagnetic is the permeability of copper alloys and of nickel-chromium.
var nonmagnetic = Figure{
	Value: 1, Source: Source{Known: KnownPractice, Reason: "not magnetic at room temperature; within 0.1 % of 1"},
}

// copperItself is the EMF of a pure copper against copper.
var copperItself = Figure{Source: Source{Known: KnownDerived, Reason: "0 by definition"}}

// conductors are the standardised metals of wire.
func conductors() []Material {
	return []Material{
		{
			Name: "copper", Composition: "Cu, annealed, 100 % IACS",
			OtherNames:           []string{"Cu", "annealed copper", "IACS", "E-Cu"},
			ReferenceTemperature: 20,
			ReferenceResistivity: quoted("HB100", IACSResistivity).between(1.678e-8, IACSResistivity).
				because("the international standard, 1/58 Ω·mm²/m by definition, on which wire tables rest; the range goes down to pure copper"),
			Law: Law{
				Reference: 20, Alpha: quoted("HB100", 0.00393).because("belongs to 100 % IACS; that of pure copper is larger"),
				Range: holds(-50, 200, "HB100", KnownMemory, "tables of factors run to 200 °C; the lower limit is from memory"),
			},
			EMF:          seen("VOLTS", 0).within(0.3e-6).because("0 by definition; joints of clean copper up to 0.3 µV/K"),
			Density:      quoted("HB100", IACSDensity).because("assigned by the standard"),
			Expansion:    memory("IEC60028", 17e-6),
			Permeability: seen("WMU", 0.999994),
		},
		{
			Name: "copper, hard-drawn", Composition: "Cu, 97.5 % IACS",
			OtherNames:           []string{"hard-drawn copper"},
			ReferenceTemperature: 20,
			ReferenceResistivity: memory("HB100", IACSResistivity/0.975).
				because("97.5 % of the standard's conductivity; the Encyclopaedia Britannica prints that of older wire, at 0 °C"),
			Law: Law{
				// Hard drawing and impurities add resistance, and leave its change per
				// kelvin as it is (Matthiessen's rule): α·ρ is that of annealed copper.
				Reference: 20, Alpha: memory("HB100", 0.00393*0.975).because("the coefficient is proportional to the conductivity"),
				Range: holds(-50, 200, "HB100", KnownMemory, "as annealed copper"),
			},
			EMF:          copperItself,
			Density:      memory("HB100", IACSDensity).because("as annealed copper; 8912 kg/m³ belongs to the older resistivity"),
			Expansion:    derived("IEC60028", 17e-6, "as annealed copper"),
			Permeability: derived("WMU", 0.999994, "as annealed copper"),
		},
		{
			Name: "aluminium", Composition: "Al, 61 % IACS",
			OtherNames:           []string{"Al", "aluminum", "EC aluminium"},
			ReferenceTemperature: 20,
			ReferenceResistivity: quoted("HB109", 2.8264e-8),
			Law: Law{
				Reference: 20, Alpha: quoted("HB109", 0.00403),
				Range: holds(-50, 150, "HB109", KnownMemory, ""),
			},
			EMF:          seen("SENSORS", -3.2e-6).because("a value with its sign that was seen; the multimeter manual has a magnitude of 5 µV/K, from memory"),
			Density:      memory("HB109", 2703),
			Expansion:    memory("HB109", 23e-6),
			Permeability: seen("WMU", 1.000022),
		},
	}
}

// metals are the purer metals of tables of elements. Their coefficients are means over
// about 0 to 100 °C and grow with purity: the ranges take in every published value that is
// not listed apart ([Published.Apart]), brought to the same reference.
func metals() []Material {
	const (
		purest      = "elements after the CRC Handbook, 78th edition; others are of less pure metal or brought from 0 °C"
		wireTable   = "the wire table of the CRC Handbook; others agree or are of less pure metal or for 0 °C"
		signed      = "the one of known sign; the multimeter manual has a magnitude, from memory"
		smallFields = "in small fields, as the currents of a resistor make them; it grows with field and treatment"
	)
	element := func(alpha, halfWidth float64) Law {
		return straight(seen("LEC", alpha).within(halfWidth).because(purest), "LEC")
	}
	return []Material{
		{
			Name: "copper, pure", Composition: "Cu", OtherNames: []string{"pure copper"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("CRCW", 1.678e-8).between(1.678e-8, 1.68e-8).because(wireTable),
			Law: element(0.004041, 161e-6), EMF: copperItself,
		},
		{
			Name: "aluminium, pure", Composition: "Al", OtherNames: []string{"pure aluminium", "pure aluminum", "aluminum, pure"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("CRCW", 2.650e-8).because(wireTable),
			Law: element(0.004308, 408e-6),
		},
		{
			Name: "silver", Composition: "Ag", OtherNames: []string{"Ag"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("CRCW", 1.587e-8).between(1.587e-8, 1.59e-8).because(wireTable),
			Law: element(0.003819, 116e-6), EMF: memory("MEMO", -0.3e-6).because(signed),
			Density: memory("MEMO", 10490), Expansion: memory("MEMO", 18.9e-6), Permeability: nonmagnetic,
		},
		{
			Name: "gold", Composition: "Au", OtherNames: []string{"Au"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("LEC", 2.214e-8).between(2.214e-8, 2.44e-8).because(purest),
			Law:     element(0.003715, 315e-6),
			EMF:     seen("SENSORS", 0.1e-6).because("a value with its sign; the multimeter manual has a magnitude of 0.5 µV/K"),
			Density: memory("MEMO", 19300), Expansion: memory("MEMO", 14.2e-6), Permeability: nonmagnetic,
		},
		{
			Name: "platinum", Composition: "Pt", OtherNames: []string{"Pt"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("CRCW", 1.05e-7).between(1.05e-7, 1.060e-7).because(wireTable),
			Law:     element(0.003729, 311e-6),
			EMF:     seen("SENSORS", -5.9e-6).because("seen; the other value, -7 µV/K, is from memory"),
			Density: memory("MEMO", 21450), Expansion: memory("MEMO", 8.9e-6), Permeability: nonmagnetic,
		},
		{
			Name: "nickel", Composition: "Ni", OtherNames: []string{"Ni"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("LEC", 6.93e-8).between(6.85e-8, 6.99e-8).because(purest),
			Law: element(0.005866, 367e-6), EMF: memory("MEMO", -22e-6),
			Density: memory("MEMO", 8900), Expansion: memory("MEMO", 13.3e-6),
			Permeability: seen("WMU", 100).between(100, 600).because(smallFields),
		},
		{
			Name: "iron", Composition: "Fe", OtherNames: []string{"Fe"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("LEC", 9.61e-8).between(9.61e-8, 9.71e-8).because(purest),
			Law: element(0.005671, 671e-6), EMF: seen("SENSORS", 13.4e-6).because("seen; the other value, +12 µV/K, is from memory"),
			Density: memory("MEMO", 7870), Expansion: memory("MEMO", 11.8e-6),
			Permeability: memory("SOFT", 150).between(150, 5000).because(smallFields + "; 5000 is the greatest"),
		},
		{
			Name: "tungsten", Composition: "W", OtherNames: []string{"W", "wolfram"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("CRCW", 5.28e-8).between(5.28e-8, 5.60e-8).because(wireTable),
			Law: element(0.004403, 97e-6), Density: memory("MEMO", 19300), Expansion: memory("MEMO", 4.5e-6), Permeability: nonmagnetic,
		},
		{
			Name: "tin", Composition: "Sn", OtherNames: []string{"Sn"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("WPR", 1.09e-7).because("the other is of pressed wire of 1893, at 0 °C"),
			Law:     straight(seen("WPR", 0.0045).within(457e-6).because("modern; the other is for 0 °C"), "WPR"),
			Density: memory("MEMO", 7290), Expansion: memory("MEMO", 22e-6), Permeability: nonmagnetic,
		},
		{
			Name: "lead", Composition: "Pb", OtherNames: []string{"Pb"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("OCP", 2.2e-7).between(2.06e-7, 2.2e-7).because("two textbooks agree on it"),
			Law: straight(seen("OCP", 0.0039).within(103e-6).because("for 20 °C; the other is for 0 °C"), "OCP"),
			EMF: memory("MEMO", -2.9e-6), Density: memory("MEMO", 11340), Expansion: memory("MEMO", 29e-6), Permeability: nonmagnetic,
			Note: "poisonous",
		},
		{
			Name: "mercury", Composition: "Hg, liquid", OtherNames: []string{"Hg"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("OCP", 9.6e-7).between(9.6e-7, 9.84e-7).because("nearest to the column of the international ohm"),
			Law:     straight(seen("OCP", 0.00089).within(170e-6).because("of the modern textbooks; one prints ten times as much by mistake"), "OCP"),
			Density: memory("MEMO", 13546), Permeability: nonmagnetic,
			Note: "poisonous; here for old resistance standards only",
		},
	}
}

// straight is the law of a coefficient for 20 °C that is a mean over 0 to 100 °C: a line, since one
// coefficient says nothing of a curvature.
func straight(alpha Figure, code string) Law {
	return Law{Reference: 20, Alpha: alpha, Range: holds(0, 100, code, KnownPractice, "means are taken between about 0 and 100 °C")}
}
