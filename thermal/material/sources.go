// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

// sources are the documents behind the codes of published.csv and of the table.
var sources = map[string]string{
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
	"BASH": "Trans. AIME, January 1919, manufacture and electrical properties of manganin " +
		"(abstract)",
	"NIST175": "NIST Monograph 175 (1993), type T reference function, Table 9.3.1",
	"RP863": "J. Res. NBS 16 (1936) 149, RP863, resistance alloys of copper, manganese and " +
		"aluminium (abstract)",
	"RP737":   "J. Res. NBS 13 (1934) 681, RP737, gold-chromium resistance alloys",
	"MEMO":    "general handbook knowledge, no document seen",
	"HIST":    "history of measuring technique, standard resistors (web page)",
	"RP1692":  "J. Res. NBS 36 (1946) 107, RP1692, and J. Res. NBS 16 (1936) 149, RP863",
	"VOLTS":   "table of thermoelectric voltages in a multimeter manual, which prints mV for µV",
	"SENSORS": "Handbook of Modern Sensors, Table A.11, p. 567",
	"VENDOR":  "data page of a nickel-chromium-aluminium resistance alloy, 1 to 100 °C",
	"WMU":     "Wikipedia, Permeability (electromagnetism) (copy)",
	"SOFT":    "handbook table of soft magnetic materials",
	"IND":     "public course text on inductors",
}
