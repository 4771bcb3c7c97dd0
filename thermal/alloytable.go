// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

// alloyTable makes the table anew, so that no caller can change it for another.
func alloyTable() []Alloy {
	return append(append(conductors(), metals()...), alloys()...)
}

// conductors are the standardised metals of wire.
func conductors() []Alloy {
	const handbook = "NBS Handbook 100 (1966) section 1; IEC 60228 annex B"
	return []Alloy{
		{
			Name: "copper", Composition: "Cu, annealed, 100 % IACS",
			Law:    CopperConductor().Within(-50, 200),
			Source: handbook + "; tables of factors run to 200 °C",
			Memory: "lower limit",
		},
		{
			Name: "copper, hard-drawn", Composition: "Cu, 97.5 % IACS",
			Law:    NewLaw(20, CopperAlpha20*0.975, 0).Within(-50, 200),
			Source: handbook + ": the coefficient is proportional to the conductivity",
			Memory: "conductivity of hard-drawn wire, lower limit",
		},
		{
			Name: "aluminium", Composition: "Al, 61 % IACS",
			Law:    NewLaw(20, 0.00403, 0).Within(-50, 150),
			Source: "NBS Handbook 109 (1972); IEC 60228 annex B",
			Memory: "limits",
		},
	}
}

// metals are the purer metals of tables of elements. Their coefficients are means
// over about 0 to 100 °C and grow with purity: the ranges take in every published
// value that is not listed apart (see [PublishedCoefficients]), brought to the
// same reference.
func metals() []Alloy {
	table := []Alloy{
		{Name: "copper, pure", Composition: "Cu", Law: NewLaw(20, 0.004041, 0), AlphaTolerance: 161e-6},
		{Name: "aluminium, pure", Composition: "Al", Law: NewLaw(20, 0.004308, 0), AlphaTolerance: 408e-6},
		{Name: "silver", Composition: "Ag", Law: NewLaw(20, 0.003819, 0), AlphaTolerance: 116e-6},
		{Name: "gold", Composition: "Au", Law: NewLaw(20, 0.003715, 0), AlphaTolerance: 315e-6},
		{Name: "platinum", Composition: "Pt", Law: NewLaw(20, 0.003729, 0), AlphaTolerance: 311e-6},
		{Name: "nickel", Composition: "Ni", Law: NewLaw(20, 0.005866, 0), AlphaTolerance: 367e-6},
		{Name: "iron", Composition: "Fe", Law: NewLaw(20, 0.005671, 0), AlphaTolerance: 671e-6},
		{Name: "tungsten", Composition: "W", Law: NewLaw(20, 0.004403, 0), AlphaTolerance: 97e-6},
	}
	for i := range table {
		table[i].Source = "Lessons in Electric Circuits vol. 1 chapter 12 (elements after the CRC Handbook, 78th edition)"
	}
	table = append(
		table,
		Alloy{
			Name: "tin", Composition: "Sn", Law: NewLaw(20, 0.0045, 0), AlphaTolerance: 457e-6,
			Source: "Wikipedia, Electrical resistivity and conductivity",
		},
		Alloy{
			Name: "lead", Composition: "Pb", Law: NewLaw(20, 0.0039, 0), AlphaTolerance: 103e-6,
			Source: "OpenStax College Physics section 20.3",
		},
		Alloy{
			Name: "mercury", Composition: "Hg, liquid", Law: NewLaw(20, 0.00089, 0), AlphaTolerance: 170e-6,
			Source: "OpenStax College Physics section 20.3; poisonous, here for old resistance standards only",
		},
	)
	for i := range table {
		table[i].Law = table[i].Law.Within(0, 100)
	}
	return table
}

func alloys() []Alloy { return append(copperAlloys(), nickelAlloys()...) }

func copperAlloys() []Alloy {
	return []Alloy{
		{
			// −10 to +20 ppm/K at 20 °C is 0 ± 15 ppm/K at 25 °C by the slope 2β.
			Name: "manganin", Composition: "Cu 84 to 86, Mn 12, Ni 2 to 4",
			Law: NewLaw(25, 0, -0.5e-6).Within(0, 100), AlphaTolerance: 15e-6, BetaTolerance: 0.1e-6, MaxTemperature: 140,
			Source: "Trans. AIME 1919 (peak near 25 °C); history of standard resistors (−10 to +20 ppm/K at 20 °C); Lessons in Electric Circuits vol. 1 chapter 12 (±15 ppm/K); J. Res. NBS 16 (1936) 149 and 36 (1946) 107 (beta −0.4 to −0.6 ppm/K²)",
			Memory: "beta, working temperature; keep standards below 60 °C",
		},
		{
			Name: "constantan", Composition: "Cu 55 to 60, Ni 40 to 45",
			Law: NewLaw(20, 10e-6, 0).Within(0, 100), AlphaTolerance: 84e-6, MaxTemperature: 500,
			Source: "Wikipedia (German), Konstantan; published values run from −74 to +40 ppm/K",
		},
		{
			Name: "constantan, stabilised", Composition: "Cu 55, Ni 45",
			Law: NewLaw(25, 0, 0).Within(-55, 125), AlphaTolerance: 20e-6,
			Source: "ASTM B267",
			Memory: "everything",
		},
		{
			Name: "copper-manganese-tin", Composition: "Cu 90.7 Mn 7 Sn 2.3",
			Law: NewLaw(20, 0, 0).Within(0, 60), AlphaTolerance: 10e-6, MaxTemperature: 140,
			Source: "handbook knowledge, no document seen",
			Memory: "everything",
		},
		{
			Name: "copper-manganese-aluminium", Composition: "Cu 85 Mn 9.5 Al 5.5",
			Law:    NewLaw(25, 0, 0).Within(15, 35),
			Source: "J. Res. NBS 16 (1936) 149, RP863: brought to zero at 25 °C by baking",
			Memory: "limits",
		},
		{
			Name: "gold-chromium", Composition: "Au 97.9 Cr 2.1",
			Law: NewLaw(25, 0, 0).Within(15, 35), BetaTolerance: 0.1e-6,
			Source: "J. Res. NBS 13 (1934) 681, RP737: brought to zero at 25 °C by baking",
			Memory: "everything",
		},
		{
			Name: "nickel silver", Composition: "Cu-Ni 18-Zn",
			Law: NewLaw(20, 0.00029, 0).Within(0, 100), AlphaTolerance: 18e-6,
			Source: "Cyclopedia of Telephony and Telegraphy vol. 1, Table VI (reference temperature not stated)",
			Memory: "limits",
		},
		{
			Name: "brass 70/30", Composition: "Cu 70 Zn 30",
			Law:    NewLaw(0, 0.00177, 0).Within(0, 100),
			Source: "CRC Handbook section 15: mean between 0 and 100 °C of its resistivities",
		},
	}
}

func nickelAlloys() []Alloy {
	const factors = "GB/T 1234, resistance factors to 300 °C; Lessons in Electric Circuits vol. 1 chapter 12 (upper end of the range)"
	return []Alloy{
		{
			Name: "nickel-chromium 80/20", Composition: "Ni 80 Cr 20",
			Law: NewLaw(20, 75e-6, 0).Within(0, 300), AlphaTolerance: 55e-6, MaxTemperature: 1200,
			Source: factors,
		},
		{
			Name: "nickel-chromium 60/15", Composition: "Ni 60 Cr 15 Fe",
			Law: NewLaw(20, 137.5e-6, 0).Within(0, 300), AlphaTolerance: 32.5e-6, MaxTemperature: 1150,
			Source: factors,
		},
		{
			Name: "nickel-chromium-aluminium-copper", Composition: "Ni 75 Cr 20 Al 2.5 Cu 2.5",
			Law: NewLaw(25, 0, -0.04e-6).Within(-55, 125), AlphaTolerance: 20e-6, BetaTolerance: 0.01e-6, MaxTemperature: 250,
			Source: "ASTM B267 (±20 ppm/K; the closer class has ±10); common practice (beta −0.03 to −0.05 ppm/K²)",
			Memory: "everything",
		},
		{
			// ±0.0005 of the printed factor over 80 K is 6.25 ppm/K.
			Name: "iron-chromium-aluminium 25/5", Composition: "Fe, Cr 23 to 26, Al 4.5 to 6.5",
			Law: NewLaw(20, 25e-6, 0).Within(0, 200), AlphaTolerance: 6.25e-6, MaxTemperature: 1250,
			Source: "GB/T 1234, resistance factors 1.002 at 100 °C and 1.005 at 200 °C",
		},
	}
}
