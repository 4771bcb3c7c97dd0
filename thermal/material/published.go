// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	_ "embed"
	"encoding/csv"
	"iter"
	"math"
	"strconv"
	"strings"
	"sync"

	"example.com/ohmwright/thermal"
)

// Published is what one source prints about one material: the other values beside those
// that the table follows. Numbers are text, digit for digit as printed and converted to
// SI; an empty text means that the source does not say.
type Published struct {
	Name        string // the material, as for [Find]
	Material    string // what the source calls it, in plain words
	Composition string // mass per cent
	Source      string // document
	Known       Known

	Resistivity, ResistivityAt     string // Ω·m; °C
	Low, High                      string // Ω·m, published range
	Alpha, AlphaAt, AlphaTolerance string // 1/K, "a to b" for a range; °C; 1/K
	Beta, BetaAt                   string // 1/K²; °C
	Density                        string // kg/m³
	EMF                            string // µV/K against copper; "±3": without a sign
	Permeability                   string // relative
	Expansion, ExpansionRange      string // 1/K; °C
	MaxTemperature                 string // °C

	// Apart says why the coefficient is not inside the range that the table follows:
	// another grade, a slip of the source.
	Apart string
	Note  string
}

// PublishedValues returns every published line about the material of that name, in order
// of the sources, or about all materials if name is empty. An unknown name has none.
//
// Sources disagree: alloys differ by maker, copper has coefficients for 0 °C and for 20 °C,
// old books contain slips. The table keeps every figure apart and never averages.
func PublishedValues(name string) iter.Seq[Published] {
	want := foldName(name)
	if m, err := Find(name); err == nil {
		// Another name of the material finds the same lines.
		want = foldName(m.Name)
	}
	if want == foldName(otherManganin) {
		want = "manganin" // sources do not tell the two apart
	}
	return func(yield func(Published) bool) {
		for _, p := range publishedTable() {
			if (want == "" || foldName(p.Name) == want) && !yield(p) {
				return
			}
		}
	}
}

// ThermalEMF returns the thermal EMF against copper that the line prints, and false where
// it prints none. A magnitude without a sign is both.
func (p Published) ThermalEMF() (thermal.EMF, bool) {
	const microvolt = 1e-6
	low, high, stretch := strings.Cut(p.EMF, " to ")
	magnitude, isMagnitude := strings.CutPrefix(low, "±")
	a, err := strconv.ParseFloat(magnitude, 64)
	if err != nil || math.IsNaN(a) || math.IsInf(a, 0) {
		return thermal.EMF{}, false
	}
	b := a
	switch {
	// Without a sign the material may be either wire of the couple.
	case isMagnitude:
		a = -b
	case stretch:
		if b, err = strconv.ParseFloat(high, 64); err != nil {
			return thermal.EMF{}, false
		}
	}
	return thermal.EMF{Material: p.Name, Low: a * microvolt, High: b * microvolt}, true
}

//go:embed published.csv
var publishedCSV string

// publishedTable reads the embedded file once.
var publishedTable = sync.OnceValue(readPublished)

// publishedColumns are those of the head of the file, in the order of readPublished.
const publishedColumns = 22

// readPublished makes the lines of the embedded file.
func readPublished() []Published {
	r := csv.NewReader(strings.NewReader(publishedCSV))
	r.Comment = '#'
	r.FieldsPerRecord = publishedColumns
	records, err := r.ReadAll()
	if err != nil || len(records) == 0 {
		return nil // a test reads the whole file
	}
	table := make([]Published, 0, len(records))
	for _, f := range records[1:] {
		table = append(table, Published{
			Name: f[0], Material: f[1], Composition: f[2], Source: sources[f[3]],
			Known:       Known(f[4]),
			Resistivity: f[5], ResistivityAt: f[6], Low: f[7], High: f[8],
			Alpha: f[9], AlphaAt: f[10], AlphaTolerance: f[11], Beta: f[12], BetaAt: f[13],
			Density: f[14], EMF: f[15], Permeability: f[16], Expansion: f[17],
			ExpansionRange: f[18], MaxTemperature: f[19],
			Apart: f[20], Note: f[21],
		})
	}
	return table
}
