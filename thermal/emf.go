// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"iter"

	"example.com/ohmwright/uncertainty"
)

// EMF is what one source publishes about the thermal EMF of a material
// against copper near room temperature.
type EMF struct {
	Material string

	// Low and High bound the Seebeck coefficient against copper in V/K; negative: the
	// material is the negative wire. They are equal where one value is published;
	// a magnitude or an upper limit without a sign is ±.
	Low, High float64

	Source string // document
	Known  string // "seen", "quoted" (seen in a document that quotes the source), "memory" (not seen)
}

// EMFs returns the table, materials in order of the alphabet. Where
// sources disagree about a material its lines follow each other, the one that
// [FindEMF] follows first.
func EMFs() iter.Seq[EMF] {
	return func(yield func(EMF) bool) {
		for _, row := range emfTable {
			const perMicrovolt = 1e-6
			e := EMF{
				Material: row.material, Low: row.low * perMicrovolt, High: row.high * perMicrovolt,
				Source: sources[row.source], Known: row.known,
			}
			if !yield(e) {
				return
			}
		}
	}
}

// FindEMF returns the thermal EMF against copper of that material, with
// names as in [FindAlloy]. An unknown name is [ErrUnknown] with the nearest known
// ones. Sources that were seen go before values from memory.
func FindEMF(material string) (EMF, error) {
	want := key(material)
	var known []string
	for e := range EMFs() {
		if fold(e.Material) == want {
			return e, nil
		}
		known = append(known, e.Material)
	}
	return EMF{}, unknown("thermal.FindEMF", material, known)
}

// Coefficient returns the Seebeck coefficient against copper in V/K as an input
// quantity of that name, rectangular between Low and High. Call it once for one
// pair of materials in the circuit and share the result.
func (e EMF) Coefficient(name string) uncertainty.Quantity {
	if e.Low == e.High {
		return uncertainty.Exact(e.Low)
	}
	return uncertainty.Source{
		Name: name, Unit: "V/K", Distribution: uncertainty.Between(e.Low, e.High),
		Note: e.Material + " against copper",
	}.Input()
}

// Largest returns the largest magnitude in volts of the EMF that a difference of
// temperature in K between the two contacts with copper makes.
func (e EMF) Largest(difference float64) (float64, error) {
	const op = "thermal.EMF.Largest"
	if err := number(op, "temperature difference", difference); err != nil {
		return 0, err
	}
	return result(op, "EMF", max(e.Low*difference, -e.Low*difference, e.High*difference, -e.High*difference))
}

// emfRow is a line of the table in µV/K.
type emfRow struct {
	material  string
	low, high float64
	known     string
	source    string
}

// emfTable: the column of the multimeter manual is headed mV/°C; only µV/°C is
// possible, as its 500 for silicon shows.
var emfTable = []emfRow{
	{"aluminium", -3.2, -3.2, "seen", "SENSORS"},
	{"aluminium", -5, 5, "memory", "VOLTS"},
	{"beryllium copper", -5, 5, "seen", "VOLTS"},
	{"brass 70/30", -3, 3, "seen", "VOLTS"},
	{"cadmium-tin solder", -0.2, 0.2, "seen", "VOLTS"},
	{"constantan", -40.27, -40.27, "quoted", "NIST175"}, // slope of the reference function at 20 °C
	{"constantan", -39, -39, "seen", "GSE"},
	{"constantan", -38.748, -38.748, "quoted", "NIST175"}, // the same at 0 °C
	{"constantan", -43, -43, "memory", "B267"},
	{"constantan", -45, -45, "memory", "B267"},
	{"copper", -0.3, 0.3, "seen", "VOLTS"},
	{"copper oxide", -1000, 1000, "seen", "VOLTS"},
	{"copper-manganese-tin", -1.3, -1.3, "memory", "MEMO"},
	{"gold", 0.1, 0.1, "seen", "SENSORS"},
	{"gold", -0.5, 0.5, "seen", "VOLTS"},
	{"gold-chromium", -8, -7, "memory", "RP737"},
	{"iron", 13.4, 13.4, "seen", "SENSORS"},
	{"iron", 12, 12, "memory", "MEMO"},
	{"iron-nickel-cobalt sealing alloy", -40, 40, "seen", "VOLTS"},
	{"lead", -2.9, -2.9, "memory", "MEMO"},
	{"manganin", -1, 1, "seen", "GSE"},
	{"manganin", -2, -1, "memory", "MEMO"},
	{"manganin", -3, 3, "memory", "B267"},
	{"nickel", -22, -22, "memory", "MEMO"},
	{"nickel-chromium 60/15", -2, 2, "memory", "B267"},
	{"nickel-chromium 80/20", -6, 6, "memory", "B267"},
	{"nickel-chromium-aluminium-copper", 0, 2, "seen", "VENDOR"},
	{"nickel-chromium-aluminium-copper", 2, 2, "memory", "MEMO"},
	{"nickel-chromium-aluminium-copper", -3, 3, "memory", "B267"},
	{"platinum", -5.9, -5.9, "seen", "SENSORS"},
	{"platinum", -7, -7, "memory", "MEMO"},
	{"silicon", -500, 500, "seen", "VOLTS"},
	{"silver", -0.3, -0.3, "memory", "MEMO"},
	{"silver", -0.5, 0.5, "memory", "VOLTS"},
	{"tin-lead solder", -5, 5, "seen", "VOLTS"},
}
