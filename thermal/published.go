// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	_ "embed"
	"encoding/csv"
	"iter"
	"strings"
	"sync"
)

// PublishedCoefficient is what one source prints about the temperature
// coefficient of one metal or alloy. Numbers are text, digit for digit as
// printed; an empty text means that the source does not say.
type PublishedCoefficient struct {
	Name        string // as for [FindAlloy]
	Material    string // what the source calls it, in plain words
	Composition string // mass per cent
	Source      string // document
	Known       string // "seen", "quoted" (seen in a document that quotes the source), "memory" (not seen)

	Alpha, AlphaAt string // 1/K, "a to b" for a range; °C
	AlphaTolerance string // 1/K
	Beta, BetaAt   string // 1/K²; °C
	MaxTemperature string // °C

	// Apart says why the value is not inside the range that [Alloys] follows:
	// another grade, a slip of the source.
	Apart string
	Note  string
}

// PublishedCoefficients returns every published line about the metal or alloy of
// that name, or about all of them if name is empty. An unknown name has none.
//
// Sources disagree: alloys differ by maker, coefficients are printed for 0 °C
// and for 20 °C, some books carry slips. The table keeps every figure apart and
// never averages. Lines about the other properties are in package wire.
func PublishedCoefficients(name string) iter.Seq[PublishedCoefficient] {
	want := key(name)
	return func(yield func(PublishedCoefficient) bool) {
		for _, p := range coefficientTable() {
			if (want == "" || fold(p.Name) == want) && !yield(p) {
				return
			}
		}
	}
}

//go:embed coefficients.csv
var coefficientsCSV string

var coefficientTable = sync.OnceValue(readCoefficients)

const coefficientColumns = 13

func readCoefficients() []PublishedCoefficient {
	r := csv.NewReader(strings.NewReader(coefficientsCSV))
	r.Comment = '#'
	r.FieldsPerRecord = coefficientColumns
	records, err := r.ReadAll()
	if err != nil || len(records) == 0 {
		return nil // a test reads the whole file
	}
	table := make([]PublishedCoefficient, 0, len(records))
	for _, f := range records[1:] {
		table = append(table, PublishedCoefficient{
			Name: f[0], Material: f[1], Composition: f[2], Source: sources[f[3]], Known: f[4],
			Alpha: f[5], AlphaAt: f[6], AlphaTolerance: f[7], Beta: f[8], BetaAt: f[9],
			MaxTemperature: f[10], Apart: f[11], Note: f[12],
		})
	}
	return table
}
