// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package wire is the handbook of wire as code: gauges, and the resistance, length
// and mass of a wire.
//
// A [Gauge] is a size of round wire, American, British or metric, and reads
// and writes as the trade writes it ("24 AWG", "4/0 AWG", "20 SWG", "0.2 mm").
// With a material of package thermal/material it is a [Conductor]:
//
//	m, err := material.Find("manganin")
//	g, err := wire.ParseGauge("0.2 mm")
//	c := wire.Conductor{Material: m, Gauge: g}
//	l, err := c.Length(10, 20) // metres that have 10 Ω at 20 °C
//
// [Covering] is what insulates it, in grades of IEC 60317 and NEMA MW 1000, silk and cotton;
// [Stranded] and [CableSection] are leads and cables. [Choose] goes the other way, from a
// resistance and a power to the sizes that fit. A [Spool] is one particular wire whose
// diameter and resistivity are uncertain: lengths and resistances come out as quantities of
// package uncertainty, for a budget. Package winding makes resistors of the wire.
//
// # What is followed
//
// [AWG] is the exact geometric series; tables since 1966 round its diameters,
// and [RoundedAWG] has those. What is followed of a material, and why, stands in
// its record.
//
// # Units and errors
//
// Values are float64 in SI: metres, square metres, ohms, ohm metres,
// kilograms; temperatures in °C; fractions, not per cent. A bad argument is an
// [Error] that says what was given and what was expected; NaN and infinities
// are refused.
//
// # Caution
//
// Nothing here is a safe working current. What a wire may carry depends on how
// its heat gets away, on its insulation and on what is near it; for wiring
// local codes and licensed practice decide.
package wire
