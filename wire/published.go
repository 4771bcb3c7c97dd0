// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	_ "embed"
	"encoding/csv"
	"iter"
	"strings"
	"sync"
)

// Published is what one source prints about one material: the other values
// beside those that [FindMaterial] follows. Numbers are text, digit for digit
// as printed and converted to SI; an empty text means that the source does not
// say.
type Published struct {
	Name        string // the material of this package, as for [FindMaterial], or the family
	Material    string // what the source calls it, in plain words
	Composition string // mass per cent
	Source      string // document
	Known       string // "seen", "quoted" (seen in a document that quotes the source) or "memory" (not seen)

	Resistivity, ResistivityAt     string // Ω·m; °C
	Low, High                      string // Ω·m, published range
	Alpha, AlphaAt, AlphaTolerance string // 1/K; °C; 1/K
	Beta, BetaAt                   string // 1/K²; °C
	Density                        string // kg/m³
	EMF                            string // µV/K against copper
	Expansion, ExpansionRange      string // 1/K; °C
	MaxTemperature                 string // °C
	Note                           string
}

// PublishedValues returns every published line about the material of that
// name, in order of the sources, or about all materials if name is empty. An
// unknown name has none.
//
// Sources disagree: alloys differ by maker, copper has coefficients for 0 °C
// and for 20 °C, old books carry slips. The table keeps every figure apart and
// never averages.
func PublishedValues(name string) iter.Seq[Published] {
	want := fold(name)
	return func(yield func(Published) bool) {
		for _, p := range publishedTable() {
			if (want == "" || fold(p.Name) == want) && !yield(p) {
				return
			}
		}
	}
}

//go:embed published.csv
var publishedCSV string

var publishedTable = sync.OnceValue(readPublished)

func readPublished() []Published {
	r := csv.NewReader(strings.NewReader(publishedCSV))
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil || len(records) == 0 {
		return nil // a test reads the whole file
	}
	table := make([]Published, 0, len(records))
	for _, f := range records[1:] {
		table = append(table, Published{
			Name: f[0], Material: f[1], Composition: f[2], Source: publishedSources[f[3]], Known: f[4],
			Resistivity: f[5], ResistivityAt: f[6], Low: f[7], High: f[8],
			Alpha: f[9], AlphaAt: f[10], AlphaTolerance: f[11], Beta: f[12], BetaAt: f[13],
			Density: f[14], EMF: f[15], Expansion: f[16], ExpansionRange: f[17], MaxTemperature: f[18], Note: f[19],
		})
	}
	return table
}

// publishedSources are the documents behind the codes of published.csv.
var publishedSources = map[string]string{
	"HB100":    "NBS Handbook 100, Copper Wire Tables (1966), section 1",
	"HB109":    "NBS Handbook 109, Aluminum Wire Tables (1972)",
	"IEC60228": "IEC 60228 annex B, as adopted in GOST 22483-2021",
	"IEC60028": "IEC 60028 (1925), International standard of resistance for copper",
	"IEC60751": "IEC 60751, industrial platinum resistance thermometers",
	"GOST6651": "GOST 6651-2009, resistance thermometers",
	"DIN43760": "DIN 43760, nickel resistance thermometers",
	"CRCW":     "CRC Handbook of Chemistry and Physics, section 15, wire tables",
	"CRCM":     "CRC Handbook of Chemistry and Physics, older edition, wire table of manganin",
	"LEC":      "Lessons in Electric Circuits vol. 1, chapter 12 (open text)",
	"OUP":      "OpenStax University Physics vol. 2, Resistivity and Resistance",
	"OCP":      "OpenStax College Physics, section 20.3",
	"EB11":     "Encyclopaedia Britannica, 11th ed., vol. 6 (1910), Conduction, Electric",
	"CYC":      "Cyclopedia of Telephony and Telegraphy vol. 1 (1911-12)",
	"GSE":      "Great Soviet Encyclopedia, 3rd ed.",
	"NCERT":    "NCERT Physics, class XII part 1 (2018-19), Table 3.1, p. 102",
	"WPR":      "Wikipedia, Electrical resistivity and conductivity (copy)",
	"WPM":      "Wikipedia, Manganin (copy)",
	"WPK":      "Wikipedia (German), Konstantan (copy)",
	"WPF":      "Wikipedia (French), Constantan (copy)",
	"WPN":      "Wikipedia, Nichrome (copy)",
	"SCR":      "resistivity table of an engineering reference page, public copy",
	"ELG":      "course table of an Austrian technical school",
	"ETN":      "engineering web page, overview of nickel-chromium (2014)",
	"EXPM":     "study web page, special resistor materials",
	"CDA":      "copper industry design guide, alloy designations",
	"SUP":      "data sheets of metal suppliers for UNS alloys (ASTM B36, ASTM B103/B139)",
	"GB1234":   "GB/T 1234, high-resistance electrical heating alloys",
	"TU3225":   "TU 14-1-3225-81",
	"STL":      "steel-grade database, Kh20N80-N",
	"B267":     "ASTM B267, wire for use in wire-wound resistors",
	"BASH":     "Trans. AIME, January 1919, manufacture and electrical properties of manganin (abstract)",
	"NIST175":  "NIST Monograph 175 (1993), type T reference function, Table 9.3.1",
	"RP863":    "J. Res. NBS 16 (1936) 149, RP863, resistance alloys of copper, manganese and aluminium (abstract)",
	"THOMAS34": "J. Res. NBS 13 (1934) 681, RP737, gold-chromium resistance alloys",
	"MEMO":     "general handbook knowledge, no document seen",
}
