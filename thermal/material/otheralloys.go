// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

// factorAt100 is how the coefficients of heating alloys were worked out.
const factorAt100 = "from the printed resistance factor at 100 °C"

// nickelAlloys are the wires for heaters and for small resistors of many ohms.
func nickelAlloys() []Material {
	const standard = "the standard for such wire, in the middle of what is published"
	// With a factor f at 100 °C, α = (f − 1)/80 K for 20 °C: 75 ppm/K is 1.006, 137.5 ppm/K 1.011.
	factors := func(alpha, halfWidth, high float64) Law {
		return Law{
			Reference: 20, Alpha: derived("GB1234", alpha, factorAt100+"; the range covers its other factors and the wire tables").within(halfWidth),
			Range: holds(0, high, "GB1234", KnownSeen, "factors are printed that far"),
		}
	}
	return []Material{
		{
			Name: "nickel-chromium 80/20", Composition: "Ni 80 Cr 20",
			OtherNames:           []string{"nichrome", "nickel-chromium", "Ni-Cr", "NiCr 80/20", "nickel-chrome"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("GB1234", 1.09e-6).between(1.04e-6, 1.14e-6).because(standard),
			Law:     factors(75e-6, 55e-6, 300),
			EMF:     memory("B267", 0).within(6e-6).because("a limit without a sign"),
			Density: seen("GB1234", 8400), Expansion: seen("GB1234", 18e-6).because("20 to 1000 °C; to 100 °C less"),
			Permeability: nonmagnetic, MaxTemperature: seen("GB1234", 1200).because("the standard for such wire; others print 1100 to 1250 °C"),
		},
		{
			Name: "nickel-chromium 60/15", Composition: "Ni 60 Cr 15 Fe",
			OtherNames:           []string{"nickel-chromium-iron", "NiCr 60/15", "Ni-Cr-Fe"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("GB1234", 1.11e-6).between(1.06e-6, 1.16e-6).because(standard),
			Law:     factors(137.5e-6, 32.5e-6, 300),
			EMF:     memory("B267", 0).within(2e-6).because("a limit without a sign"),
			Density: seen("GB1234", 8200), Expansion: seen("GB1234", 17e-6),
			Permeability: nonmagnetic, MaxTemperature: seen("GB1234", 1150),
		},
		{
			Name: "nickel-chromium-aluminium-copper", Composition: "Ni 75 Cr 20 Al 2.5 Cu 2.5",
			OtherNames:           []string{"Ni-Cr-Al-Cu", "Ni-Cr-Al", "nickel-chromium-aluminum-copper"},
			ReferenceTemperature: 25, ReferenceResistivity: memory("B267", 1.33e-6).between(1.26e-6, 1.40e-6).because("the standard for resistor wire, ±5 %"),
			Law: Law{
				Reference: 25, Alpha: memory("B267", 0).within(20e-6).because("the wider class; the closer one has ±10 ppm/K"),
				Beta: Figure{Value: -0.04e-6, Source: Source{
					Known: KnownPractice, Reason: "−0.03 to −0.05 ppm/K², flatter than manganin",
				}}.within(0.01e-6),
				Range: holds(-55, 125, "B267", KnownMemory, ""),
			},
			EMF:     seen("VENDOR", 1e-6).between(0, 2e-6).because("seen, below +2 µV/K; ASTM B267 allows 3, from memory"),
			Density: memory("MEMO", 8100), Expansion: memory("MEMO", 13e-6), Permeability: nonmagnetic, MaxTemperature: memory("MEMO", 250),
		},
	}
}

// ironAlloys are magnetic at room temperature; no document gave how much.
func ironAlloys() []Material {
	return []Material{
		{
			Name: "iron-chromium-aluminium 25/5", Composition: "Fe, Cr 23 to 26, Al 4.5 to 6.5",
			OtherNames:           []string{"Fe-Cr-Al", "FeCrAl 25/5", "iron-chromium-aluminum 25/5"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("GB1234", 1.42e-6).between(1.35e-6, 1.49e-6).because("±0.07 µΩ·m"),
			Law: Law{
				// ±0.0005 of the printed factor over 80 K is 6.25 ppm/K.
				Reference: 20, Alpha: derived("GB1234", 25e-6, factorAt100).within(6.25e-6),
				Range: holds(0, 200, "GB1234", KnownSeen, "factors are printed that far"),
			},
			Density: seen("GB1234", 7100), Expansion: seen("GB1234", 16e-6), MaxTemperature: seen("GB1234", 1250),
		},
		{
			Name: "iron-chromium-aluminium 23/5", Composition: "Fe, Cr 20.0 to 23.5, Al 4.2 to 5.3",
			OtherNames:           []string{"FeCrAl 23/5", "iron-chromium-aluminum 23/5"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("GB1234", 1.35e-6).between(1.29e-6, 1.41e-6).because("±0.06 µΩ·m"),
			Density: seen("GB1234", 7250), Expansion: seen("GB1234", 15e-6), MaxTemperature: seen("GB1234", 1250),
		},
		{
			Name: "iron-chromium-aluminium 20/5", Composition: "Fe Cr 20 Al 5",
			OtherNames:           []string{"FeCrAl 20/5", "iron-chromium-aluminum 20/5"},
			ReferenceTemperature: 20, ReferenceResistivity: seen("ELG", 1.37e-6),
		},
	}
}

// joints are what else makes a thermal EMF in a circuit of copper.
func joints() []Material {
	magnitude := func(v float64) Figure {
		return seen("VOLTS", 0).within(v).because("a magnitude without a sign; the column is headed mV/°C, but only µV/°C is possible")
	}
	return []Material{
		{Name: "beryllium copper", Composition: "Cu-Be", OtherNames: []string{"Be-Cu", "copper-beryllium", "CuBe"}, EMF: magnitude(5e-6)},
		{
			Name: "tin-lead solder", Composition: "Sn-Pb", OtherNames: []string{"solder", "lead-tin solder"},
			EMF: magnitude(5e-6), Note: "lead is poisonous",
		},
		{
			Name: "cadmium-tin solder", Composition: "Cd-Sn", OtherNames: []string{"tin-cadmium solder"},
			EMF: magnitude(0.2e-6), Note: "cadmium is poisonous: for old instruments that have it",
		},
		{Name: "copper oxide", Composition: "CuO", EMF: magnitude(1000e-6)},
		{Name: "iron-nickel-cobalt sealing alloy", Composition: "Fe-Ni-Co", OtherNames: []string{"Fe-Ni-Co", "sealing alloy"}, EMF: magnitude(40e-6)},
		{Name: "silicon", Composition: "Si", OtherNames: []string{"Si", "silicium"}, EMF: magnitude(500e-6)},
	}
}
