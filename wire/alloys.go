// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

// alloys are the brasses and the resistance alloys.
//
// Resistance alloys differ by maker and by melt. ASTM B267 allows ±5 % of the
// nominal resistivity for its classes 1 to 4 and ±10 % for classes 5 to 11;
// the wider one is taken for the copper alloys and for what has no published
// range.
func alloys() []Material {
	return append(copperAlloys(), nickelAlloys()...)
}

func copperAlloys() []Material {
	return []Material{
		{
			Name: "manganin", Composition: "Cu 86 Mn 12 Ni 2",
			ReferenceResistivity: 0.43e-6, ReferenceTemperature: 20, ResistivityLow: 0.387e-6, ResistivityHigh: 0.473e-6,
			Density: 8400, Expansion: 18e-6, EMF: new(-1e-6),
			Source: "Wikipedia, Manganin: 0.43 to 0.48 µΩ·m, lower end (resistivity, density); Great Soviet Encyclopedia (EMF up to 1 µV/K); ASTM B267 (±10 %)",
			Memory: "expansion, sign of the EMF",
		},
		{
			Name: "manganin 84/12/4", Composition: "Cu 84 Mn 12 Ni 4",
			ReferenceResistivity: 290 * OhmCircularMilPerFoot, ReferenceTemperature: 20, ResistivityLow: 0.434e-6, ResistivityHigh: 0.5303e-6,
			Density: 8400, Expansion: 18e-6, EMF: new(-1e-6),
			Source: "Lessons in Electric Circuits chapter 12 (290 Ω·cmil/ft); ASTM B267 (±10 %); else as manganin",
			Memory: "composition, expansion, sign of the EMF",
		},
		{
			Name: "constantan", Composition: "Cu 55 Ni 44 Mn 1",
			ReferenceResistivity: 0.49e-6, ReferenceTemperature: 20, ResistivityLow: 0.441e-6, ResistivityHigh: 0.539e-6,
			Density: 8900, Expansion: 13.5e-6, EMF: new(-40.27e-6),
			Source: "Wikipedia (German), Konstantan (resistivity, density, expansion); NIST Monograph 175 (EMF at 20 °C, from the type T function); ASTM B267 (±10 %)",
		},
		{
			Name: "nickel silver", Composition: "Cu-Ni 18-Zn",
			ReferenceResistivity: 0.3142e-6, ReferenceTemperature: 20, ResistivityLow: 0.287e-6, ResistivityHigh: 0.3142e-6,
			Density: 8730, Expansion: 16.2e-6,
			Source: "Cyclopedia of Telephony and Telegraphy vol. 1, Table VI (189.0 Ω·cmil/ft)",
			Memory: "lower end of the range, density, expansion",
		},
		{
			Name: "copper-manganese-tin", Composition: "Cu 90.7 Mn 7 Sn 2.3",
			ReferenceResistivity: 0.29e-6, ReferenceTemperature: 20, ResistivityLow: 0.261e-6, ResistivityHigh: 0.319e-6,
			Density: 8500, Expansion: 19e-6, EMF: new(-1.3e-6),
			Source: "handbook knowledge, no document seen",
			Memory: "everything",
		},
		{
			Name: "gold-chromium", Composition: "Au 97.9 Cr 2.1",
			ReferenceResistivity: 0.33e-6, ReferenceTemperature: 20, ResistivityLow: 0.297e-6, ResistivityHigh: 0.363e-6,
			EMF:    new(-7.5e-6),
			Source: "J. Res. NBS 13 (1934) 681, RP737",
			Memory: "everything",
		},
		{
			Name: "brass 70/30", Composition: "Cu 70 Zn 30",
			ReferenceResistivity: 6.08e-8, ReferenceTemperature: 20, ResistivityLow: 6.08e-8, ResistivityHigh: 6.16e-8,
			Density: 8530, Expansion: 19.98e-6,
			Source: "CRC Handbook section 15 (resistivity); data sheets for UNS C26000 (density, expansion)",
		},
		{
			Name: "phosphor bronze", Composition: "Cu 95 Sn 5 P",
			ReferenceResistivity: 0.115e-6, ReferenceTemperature: 20, ResistivityLow: 0.087e-6, ResistivityHigh: 0.115e-6,
			Density: 8860, Expansion: 17.82e-6,
			Source: "data sheets for UNS C51000, annealed, 15 % IACS (others print 20 %)",
		},
	}
}

func nickelAlloys() []Material {
	return []Material{
		{
			Name: "nickel-chromium 80/20", Composition: "Ni 80 Cr 20",
			ReferenceResistivity: 1.09e-6, ReferenceTemperature: 20, ResistivityLow: 1.04e-6, ResistivityHigh: 1.14e-6,
			Density: 8400, Expansion: 18e-6,
			Source: "GB/T 1234 (resistivity ±0.05 µΩ·m, density, expansion 20 to 1000 °C)",
		},
		{
			Name: "nickel-chromium 60/15", Composition: "Ni 60 Cr 15 Fe",
			ReferenceResistivity: 1.11e-6, ReferenceTemperature: 20, ResistivityLow: 1.06e-6, ResistivityHigh: 1.16e-6,
			Density: 8200, Expansion: 17e-6,
			Source: "GB/T 1234 (resistivity ±0.05 µΩ·m, density, expansion 20 to 1000 °C)",
		},
		{
			Name: "nickel-chromium-aluminium-copper", Composition: "Ni 75 Cr 20 Al 2.5 Cu 2.5",
			ReferenceResistivity: 1.33e-6, ReferenceTemperature: 25, ResistivityLow: 1.26e-6, ResistivityHigh: 1.40e-6,
			Density: 8100, Expansion: 13e-6, EMF: new(2e-6),
			Source: "ASTM B267 (±5 % of resistivity)",
			Memory: "everything",
		},
		{
			Name: "iron-chromium-aluminium 25/5", Composition: "Fe, Cr 23 to 26, Al 4.5 to 6.5",
			ReferenceResistivity: 1.42e-6, ReferenceTemperature: 20, ResistivityLow: 1.35e-6, ResistivityHigh: 1.49e-6,
			Density: 7100, Expansion: 16e-6,
			Source: "GB/T 1234 (resistivity ±0.07 µΩ·m)",
		},
		{
			Name: "iron-chromium-aluminium 23/5", Composition: "Fe, Cr 20.0 to 23.5, Al 4.2 to 5.3",
			ReferenceResistivity: 1.35e-6, ReferenceTemperature: 20, ResistivityLow: 1.29e-6, ResistivityHigh: 1.41e-6,
			Density: 7250, Expansion: 15e-6,
			Source: "GB/T 1234 (resistivity ±0.06 µΩ·m)",
		},
	}
}
