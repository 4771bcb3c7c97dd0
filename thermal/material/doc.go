// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package material knows what conductors and resistance alloys are made of: one table with a
// record for each material, and for each figure its source, how it is known, and why it is the
// one followed where others are published.
//
//	m, err := material.Find("manganin")
//	rho, err := m.Resistivity(25)         // Ω·m
//	law := m.Law.Exact()                  // thermal.Law, within the range it holds for
//	spool := m.Law.Uncertain("spool 3")   // the published ranges as inputs
//	e, err := m.ThermalEMF()              // against copper
//
// A [Material] has resistivity, temperature law, thermal EMF against copper, density,
// expansion, relative permeability and largest working temperature, as far as they are
// published, each a [Figure] with its range. [PublishedValues] has every line behind them,
// digit for digit; nothing is averaged. Alloys differ by maker: a certificate or a
// measurement of your own wire is better than any table ([New]).
//
// The conversions of the old tables are here too: conductivity in per cent of the annealed
// copper standard ([FromConductivity]), mass resistivity, Ω·cmil/ft and µΩ·in.
//
// # Names
//
// [Find] knows, beside other names of each (Cu, nichrome, German silver, CuNi44):
//
//	conductors       copper, copper hard-drawn, copper pure, aluminium, aluminium pure, silver,
//	                 gold, platinum, nickel, iron, tungsten, tin, lead, mercury
//	resistors        manganin, manganin 84/12/4, constantan, constantan stabilised,
//	                 nickel silver, copper-manganese-tin, copper-manganese-aluminium,
//	                 gold-chromium, nickel-chromium-aluminium-copper
//	heating          nickel-chromium 80/20, nickel-chromium 60/15,
//	                 iron-chromium-aluminium 25/5, 23/5 and 20/5
//	contacts, posts  brass 70/30, phosphor bronze, beryllium copper
//	EMF alone        tin-lead solder, cadmium-tin solder, copper oxide, silicon,
//	                 iron-nickel-cobalt sealing alloy
//
// Trade names of makers are not among them: look for the composition. The usual alloy of
// precision resistors with four metals and about 1.33 µΩ·m is
// nickel-chromium-aluminium-copper.
//
// # Units and errors
//
// Values are float64 in SI: Ω·m, kg/m³, V/K, 1/K; temperatures in °C. A bad argument is an
// [Error] that says what was given and what was expected, a property that the material does
// not state is [ErrNotStated]; NaN and infinities are refused.
//
// # Caution
//
// Lead, mercury, cadmium and beryllium are poisonous; so are the dust of their alloys and the
// fumes of their solders. They are here for old instruments that have them.
package material
