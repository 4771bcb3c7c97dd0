// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

// Resistance alloys differ by maker and by melt. ASTM B267 allows ±5 % of the nominal
// resistivity for its classes 1 to 4 and ±10 % for classes 5 to 11; the wider one is taken
// for the copper alloys and for what has no published range.

// otherManganin is the grade of more nickel.
const otherManganin = "manganin 84/12/4"

// copperAlloys are manganin in its two grades, and what else is made of copper.
func copperAlloys() []Material {
	grade86 := manganin("manganin", "Cu 86 Mn 12 Ni 2", "copper-manganese-nickel", "Cu-Mn-Ni", "CuMn12Ni", "manganin 86", "manganin 86/12/2")
	grade86.ReferenceResistivity = seen("WPM", 0.43e-6).between(0.387e-6, 0.473e-6).
		because("lower end of 0.43 to 0.48 µΩ·m, the one of the grade with less nickel; ±10 % by ASTM B267")
	grade84 := manganin(otherManganin, "Cu 84 Mn 12 Ni 4", "manganin 84")
	grade84.ReferenceResistivity = seen("LEC", 290*OhmCircularMilPerFoot).between(0.434e-6, 0.5303e-6).
		because("290 Ω·cmil/ft, the usual figure of the grade with more nickel; ±10 % by ASTM B267")
	return append([]Material{grade86, grade84}, otherCopperAlloys()...)
}

// manganin is what the two grades have in common.
func manganin(name, composition string, otherNames ...string) Material {
	return Material{
		Name: name, Composition: composition, OtherNames: otherNames, ReferenceTemperature: 20,
		Law: Law{
			Reference: 25,
			// −10 to +20 ppm/K at 20 °C is 0 ± 15 ppm/K at 25 °C by the slope 2β.
			Alpha: seen("BASH", 0).within(15e-6).
				because("peak near 25 °C; the range is that of −10 to +20 ppm/K at 20 °C (history of standard resistors) and of ±15 ppm/K (wire tables)"),
			Beta: memory("MEMO", -0.5e-6).within(0.1e-6).
				because("−0.4 to −0.6 ppm/K² of standard resistors; an older wire table leads to half of it"),
			Range: holds(0, 60, "MEMO", KnownMemory,
				"60 °C is advised for standards; the local coefficient printed for 100 °C, −42 ppm/K, is far from the parabola's −75"),
		},
		EMF: seen("GSE", 0).within(1e-6).
			because("up to 1 µV/K was seen; by handbook knowledge manganin is the negative wire, −1 to −2 µV/K, and ASTM B267 allows 3"),
		Density: seen("WPM", 8400), Expansion: memory("MEMO", 18e-6).because("a round value within 14 to 19 ppm/K"),
		Permeability: nonmagnetic, MaxTemperature: memory("MEMO", 140),
	}
}

// otherCopperAlloys are in the order in which resistors use them.
func otherCopperAlloys() []Material {
	return []Material{
		{
			Name: "constantan", Composition: "Cu 55 Ni 44 Mn 1", OtherNames: []string{"copper-nickel", "Cu-Ni", "CuNi44"},
			ReferenceTemperature: 20,
			ReferenceResistivity: seen("WPK", 0.49e-6).between(0.441e-6, 0.539e-6).because("most sources agree on it; ±10 % by ASTM B267"),
			Law:                  straight(seen("WPK", 10e-6).between(-74e-6, 40e-6).because("in the middle of what is published, −74 to +40 ppm/K"), "WPK"),
			EMF: quoted("NIST175", -40.27e-6).
				because("slope of the reference function at 20 °C; wire of other composition has −39 to −45 µV/K"),
			Density:   seen("WPK", 8900).because("two of three sources"),
			Expansion: seen("WPK", 13.5e-6).because("from the source of composition and density"), Permeability: nonmagnetic, MaxTemperature: seen("EXPM", 500),
		},
		{
			Name: "constantan, stabilised", Composition: "Cu 55 Ni 45", OtherNames: []string{"stabilised constantan", "stabilized constantan"},
			ReferenceTemperature: 25, ReferenceResistivity: memory("B267", 0.489e-6).between(0.46455e-6, 0.51345e-6).because("±5 %"),
			Law: Law{
				Reference: 25, Alpha: memory("B267", 0).within(20e-6).because("the closer class; the wider has ±40 ppm/K"),
				Range: holds(-55, 125, "B267", KnownMemory, ""),
			},
			EMF:          derived("NIST175", -40.27e-6, "as constantan, which was seen; ASTM B267 has −45 µV/K, from memory"),
			Permeability: nonmagnetic,
		},
		{
			Name: "nickel silver", Composition: "Cu-Ni 18-Zn", OtherNames: []string{"German silver", "nickel silver 18 %"},
			ReferenceTemperature: 20,
			ReferenceResistivity: seen("CYC", 0.3142e-6).between(0.287e-6, 0.3142e-6).because("189.0 Ω·cmil/ft, seen; the modern alloy, from memory, is at the lower end"),
			Law:                  straight(seen("CYC", 0.00029).within(18e-6).because("from the source of the resistivity"), "CYC"),
			Density:              memory("MEMO", 8730), Expansion: memory("MEMO", 16.2e-6), Permeability: nonmagnetic,
		},
		{
			Name: "copper-manganese-tin", Composition: "Cu 90.7 Mn 7 Sn 2.3", OtherNames: []string{"Cu-Mn-Sn", "CuMn7Sn"},
			ReferenceTemperature: 20, ReferenceResistivity: memory("MEMO", 0.29e-6).between(0.261e-6, 0.319e-6).because("±10 % by ASTM B267"),
			Law: Law{
				Reference: 20, Alpha: memory("MEMO", 0).within(10e-6),
				Range: holds(20, 50, "MEMO", KnownMemory, "the coefficient is held there"),
			},
			EMF: memory("MEMO", -1.3e-6), Density: memory("MEMO", 8500), Expansion: memory("MEMO", 19e-6),
			Permeability: nonmagnetic, MaxTemperature: memory("MEMO", 140),
		},
		{
			Name: "copper-manganese-aluminium", Composition: "Cu 85 Mn 9.5 Al 5.5", OtherNames: []string{"Cu-Mn-Al", "copper-manganese-aluminum"},
			Law: Law{
				Reference: 25, Alpha: seen("RP863", 0).because("brought to zero at 25 °C by baking"),
				Range: holds(15, 35, "RP863", KnownMemory, ""),
			},
		},
		{
			Name: "gold-chromium", Composition: "Au 97.9 Cr 2.1", OtherNames: []string{"Au-Cr"},
			ReferenceTemperature: 20, ReferenceResistivity: memory("RP737", 0.33e-6).between(0.297e-6, 0.363e-6).because("±10 % by ASTM B267"),
			Law: Law{
				Reference: 25, Alpha: memory("RP737", 0).because("brought to zero at 25 °C by baking"),
				Beta:  memory("RP737", 0).within(0.1e-6),
				Range: holds(15, 35, "RP737", KnownMemory, ""),
			},
			EMF: memory("RP737", -7.5e-6).between(-8e-6, -7e-6), Permeability: nonmagnetic,
		},
		{
			Name: "brass 70/30", Composition: "Cu 70 Zn 30", OtherNames: []string{"brass", "CuZn30"},
			ReferenceTemperature: 20,
			ReferenceResistivity: seen("CRCW", 6.08e-8).between(6.08e-8, 6.16e-8).because("from the source of the coefficient"),
			Law: Law{
				// A mean from 0 °C on belongs to 0 °C: R(100 °C)/R(0 °C) = 1 + 100 K·α.
				Reference: 0, Alpha: seen("CRCW", 0.00177).because("mean between 0 and 100 °C of its resistivities; the other is of brass with more zinc"),
				Range: holds(0, 100, "CRCW", KnownSeen, "resistivities are printed for 0 to 100 °C"),
			},
			EMF:     seen("VOLTS", 0).within(3e-6).because("a magnitude without a sign"),
			Density: seen("SUP", 8530), Expansion: seen("SUP", 19.98e-6), Permeability: nonmagnetic,
		},
		{
			Name: "phosphor bronze", Composition: "Cu 95 Sn 5 P", OtherNames: []string{"CuSn5"},
			ReferenceTemperature: 20,
			ReferenceResistivity: seen("SUP", 0.115e-6).between(0.087e-6, 0.115e-6).because("annealed, 15 % IACS; others print 20 %"),
			Density:              seen("SUP", 8860), Expansion: seen("SUP", 17.82e-6), Permeability: nonmagnetic,
		},
	}
}
