// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"strings"

	"example.com/ohmwright/thermal"
)

// materialTable makes the table anew, so that no caller can change it for
// another. The temperature laws are those of package thermal, so that no
// number stands twice.
func materialTable() []Material {
	laws := map[string]thermal.Alloy{}
	for a := range thermal.Alloys() {
		laws[a.Name] = a
	}
	table := append(metals(), alloys()...)
	for i := range table {
		if a, ok := laws[lawName(table[i].Name)]; ok {
			table[i].follow(a)
		}
	}
	return table
}

// lawName is the name under which package thermal has the law of a material.
func lawName(material string) string {
	if material == "manganin 84/12/4" {
		return "manganin"
	}
	return material
}

// follow takes over what is known of temperature.
func (m *Material) follow(a thermal.Alloy) {
	m.Law, m.AlphaTolerance, m.BetaTolerance, m.MaxTemperature = a.Law, a.AlphaTolerance, a.BetaTolerance, a.MaxTemperature
	m.Source += "; temperature law: " + a.Source
	if a.Memory != "" && m.Memory != "everything" {
		m.Memory = strings.TrimPrefix(m.Memory+"; temperature law: "+a.Memory, "; ")
	}
}

// metals are the conductors and the pure metals.
//
// The ranges are those of the published values kept in published.csv. Where a
// property is not stated no document gave it.
func metals() []Material {
	return []Material{
		{
			Name: "copper", Composition: "Cu, annealed, 100 % IACS",
			ReferenceResistivity: IACSResistivity, ReferenceTemperature: 20, ResistivityLow: 1.678e-8, ResistivityHigh: IACSResistivity,
			Density: IACSDensity, Expansion: 17e-6, EMF: new(0.0),
			Source: "NBS Handbook 100 section 1 (resistivity, density); IEC 60028:1925 (expansion); range down to pure copper, CRC Handbook section 15",
			Memory: "expansion",
		},
		{
			Name: "copper, hard-drawn", Composition: "Cu, 97.5 % IACS",
			ReferenceResistivity: IACSResistivity / 0.975, ReferenceTemperature: 20,
			Density: IACSDensity, Expansion: 17e-6, EMF: new(0.0),
			Source: "NBS Handbook 100 section 1",
			Memory: "resistivity, density, expansion",
		},
		{
			Name: "copper, pure", Composition: "Cu",
			ReferenceResistivity: 1.678e-8, ReferenceTemperature: 20, ResistivityLow: 1.678e-8, ResistivityHigh: 1.68e-8,
			EMF:    new(0.0),
			Source: "CRC Handbook section 15",
		},
		{
			Name: "aluminium", Composition: "Al, 61 % IACS",
			ReferenceResistivity: 2.8264e-8, ReferenceTemperature: 20,
			Density: 2703, Expansion: 23e-6,
			Source: "NBS Handbook 109",
			Memory: "density, expansion",
		},
		{
			Name: "aluminium, pure", Composition: "Al",
			ReferenceResistivity: 2.650e-8, ReferenceTemperature: 20,
			Source: "CRC Handbook section 15",
		},
		{
			Name: "silver", Composition: "Ag",
			ReferenceResistivity: 1.587e-8, ReferenceTemperature: 20, ResistivityLow: 1.587e-8, ResistivityHigh: 1.59e-8,
			Density: 10490, Expansion: 18.9e-6, EMF: new(-0.3e-6),
			Source: "CRC Handbook section 15",
			Memory: "density, expansion, EMF",
		},
		{
			Name: "gold", Composition: "Au",
			ReferenceResistivity: 2.214e-8, ReferenceTemperature: 20, ResistivityLow: 2.214e-8, ResistivityHigh: 2.44e-8,
			Density: 19300, Expansion: 14.2e-6, EMF: new(0.1e-6),
			Source: "Lessons in Electric Circuits chapter 12; range up to OpenStax University Physics vol. 2",
			Memory: "density, expansion, EMF",
		},
		{
			Name: "platinum", Composition: "Pt",
			ReferenceResistivity: 1.05e-7, ReferenceTemperature: 20, ResistivityLow: 1.05e-7, ResistivityHigh: 1.060e-7,
			Density: 21450, Expansion: 8.9e-6, EMF: new(-7e-6),
			Source: "CRC Handbook section 15",
			Memory: "density, expansion, EMF",
		},
		{
			Name: "nickel", Composition: "Ni",
			ReferenceResistivity: 6.93e-8, ReferenceTemperature: 20, ResistivityLow: 6.85e-8, ResistivityHigh: 6.99e-8,
			Density: 8900, Expansion: 13.3e-6, EMF: new(-22e-6),
			Source: "Lessons in Electric Circuits chapter 12",
			Memory: "density, expansion, EMF",
		},
		{
			Name: "iron", Composition: "Fe",
			ReferenceResistivity: 9.61e-8, ReferenceTemperature: 20, ResistivityLow: 9.61e-8, ResistivityHigh: 9.71e-8,
			Density: 7870, Expansion: 11.8e-6, EMF: new(12e-6),
			Source: "Lessons in Electric Circuits chapter 12",
			Memory: "density, expansion, EMF",
		},
		{
			Name: "tungsten", Composition: "W",
			ReferenceResistivity: 5.28e-8, ReferenceTemperature: 20, ResistivityLow: 5.28e-8, ResistivityHigh: 5.60e-8,
			Density: 19300, Expansion: 4.5e-6,
			Source: "CRC Handbook section 15",
			Memory: "density, expansion",
		},
		{
			Name: "tin", Composition: "Sn",
			ReferenceResistivity: 1.09e-7, ReferenceTemperature: 20,
			Density: 7290, Expansion: 22e-6,
			Source: "Wikipedia, Electrical resistivity and conductivity",
			Memory: "density, expansion",
		},
		{
			Name: "lead", Composition: "Pb",
			ReferenceResistivity: 2.2e-7, ReferenceTemperature: 20, ResistivityLow: 2.06e-7, ResistivityHigh: 2.2e-7,
			Density: 11340, Expansion: 29e-6, EMF: new(-2.9e-6),
			Source: "OpenStax College Physics section 20.3",
			Memory: "density, expansion, EMF",
		},
		{
			Name: "mercury", Composition: "Hg, liquid",
			ReferenceResistivity: 9.6e-7, ReferenceTemperature: 20, ResistivityLow: 9.6e-7, ResistivityHigh: 9.84e-7,
			Density: 13546,
			Source:  "OpenStax College Physics section 20.3; poisonous, here for old resistance standards only",
			Memory:  "density",
		},
	}
}
