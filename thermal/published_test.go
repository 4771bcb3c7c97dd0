// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// row is a line of testdata/thermal.csv.
type row struct {
	id, table, inputs, printed, unit, reference string
	known, source, place, exception             string
}

// readRows reads a file of testdata, which has so many rows.
func readRows(t *testing.T, file string, want int) []row {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, c := range records[1:] {
		rows = append(rows, row{c[0], c[1], c[2], c[3], c[4], c[5], c[6], c[7], c[8], c[9]})
	}
	if len(rows) != want {
		t.Fatalf("%d rows, want %d", len(rows), want)
	}
	return rows
}

func thermalRows(t *testing.T) []row { return readRows(t, "thermal.csv", 298) }

func (r row) published(printed string) uncertaintytest.Published {
	return uncertaintytest.Published{
		Name: tableNames[r.table] + ", " + r.inputs + " (" + r.id + ")", Source: r.source,
		Place: r.place, Printed: printed,
		Provenance: uncertaintytest.Provenance(r.known), Exception: r.exception,
	}
}

// tableNames says what each table of the file is about.
var tableNames = map[string]string{
	"PT":    "platinum 100 Ω, resistance",
	"PTX":   "platinum 100 Ω, older tables",
	"PTI":   "platinum, temperature",
	"PTTOL": "platinum, tolerance",
	"CU28":  "copper thermometer 100 Ω",
	"CU27":  "copper thermometer 10 Ω at 25 °C",
	"NI":    "nickel thermometer 100 Ω",
	"NI17":  "nickel thermometer 100 Ω, ratio 1.617",
	"NBSA":  "coefficient of copper",
	"NBST":  "inferred zero of copper",
	"CUF":   "factor of copper from 25 °C",
	"CURHO": "resistivity of copper",
	"MNG":   "slope of manganin",
	"MNGR":  "published range of manganin",
	"PARA":  "parabola",
	"TW":    "worked example",
	"TCR":   "mean or box coefficient",
	"TCRL":  "limit of the coefficient",
	"TC":    "EMF of copper against constantan",
	"TCS":   "Seebeck coefficient of copper against constantan",
	"EMF":   "EMF against copper",
	"OHME":  "error by an EMF",
	"SH":    "self-heating",
	"PW":    "rated current or voltage",
}

// facts are the tables without a formula; they have tests of their own.
var facts = map[string]bool{"MNGR": true, "EMF": true}

// TestPublished compares every printed number with what the package gives.
func TestPublished(t *testing.T) {
	for _, r := range thermalRows(t) {
		if facts[r.table] || r.printed == "" || r.table == "MNG" || r.id == "CU28-30" {
			continue
		}
		r.published(r.printed).Run(t, compute(t, r))
	}
}

// TestThirtyDigits compares with the formulas evaluated in 30-digit arithmetic,
// rounded to ten digits.
func TestThirtyDigits(t *testing.T) {
	rows := 0
	for _, r := range thermalRows(t) {
		if r.reference == "" {
			continue
		}
		got := compute(t, r)
		if ok, err := uncertaintytest.Agrees(got, r.reference); !ok || err != nil {
			t.Errorf("%s, %s: %v, with 30 digits %s (%v)", r.id, r.inputs, got, r.reference, err)
		}
		rows++
	}
	if rows < 250 {
		t.Errorf("%d rows", rows)
	}
}

// must returns a function that unwraps results which must not fail.
func must(t *testing.T, id string) func(v float64, err error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		return v
	}
}

var numbers = regexp.MustCompile(`-?\d+(\.\d+)?(e-?\d+)?`)

// input returns the number after "name=" in the inputs.
func (r row) input(t *testing.T, name string) float64 {
	t.Helper()
	i := strings.Index(" "+r.inputs, " "+name+"=")
	if i < 0 {
		t.Fatalf("%s: no %s in %q", r.id, name, r.inputs)
	}
	v, err := strconv.ParseFloat(numbers.FindString(r.inputs[i+len(name)+1:]), 64)
	if err != nil {
		t.Fatalf("%s: %v", r.id, err)
	}
	return v
}

// compute evaluates the row with the package.
func compute(t *testing.T, r row) float64 {
	t.Helper()
	ok := must(t, r.id)
	in := func(name string) float64 { return r.input(t, name) }
	switch r.table {
	case "PT", "PTX":
		return ok(Platinum(100).Resistance(in("t")))
	case "PTI":
		return ok(Platinum(in("R0")).Value(in("R")))
	case "PTTOL":
		return computeTolerance(t, r)
	case "CU28":
		return ok(Copper(100).Resistance(in("t")))
	case "CU27":
		return ok(CopperLinear(9.035, 0.00427).Resistance(in("t")))
	case "NI":
		return ok(Nickel(100).Resistance(in("t")))
	case "NI17":
		return ok(Nickel617(100).Resistance(in("t")))
	case "NBSA", "NBST":
		law, err := CopperOfConductivity(in("conductivity") / 100)
		if err != nil {
			t.Fatal(err)
		}
		if r.table == "NBST" {
			zero, _ := law.InferredZero()
			return -zero
		}
		law, err = law.Rebase(in("t1"))
		return ok(law.Alpha(), err)
	case "CUF":
		return ok(CopperConductorByZero(25).Ratio(in("t")))
	case "CURHO":
		return 100. / 58 * ok(CopperConductor().Ratio(in("t"))) // 1/58 Ω·mm²/m at 20 °C
	case "MNG":
		return ok(NewLaw(25, 0, -0.28e-6).Slope(in("t")))
	case "TCRL":
		limit := map[string]float64{"R<1 ohm": 0.99, "1<=R<10 ohm": 1, "10<=R<100 ohm": 10, "R>=100 ohm": 100}
		return 1e6 * ok(WireWoundLimit(limit[r.inputs]))
	case "TC":
		return computeEMF(t, r)
	case "TCS":
		return 1e6 * ok(ConstantanSeebeck(in("t")))
	}
	f, found := single[r.id]
	if !found {
		t.Fatalf("%s: no test computes it", r.id)
	}
	return f(ok)
}

func computeTolerance(t *testing.T, r row) float64 {
	t.Helper()
	ok := must(t, r.id)
	name, _, _ := strings.Cut(strings.TrimPrefix(r.inputs, "class="), ";")
	class := map[string]ToleranceClass{"AA": ClassAA, "A": ClassA, "B": ClassB, "C": ClassC}[name]
	if r.unit == "ohm" {
		return ok(class.ToleranceResistance(Platinum(100), r.input(t, "t")))
	}
	return ok(class.Tolerance(r.input(t, "t")))
}

// computeEMF reads "t=…" and "E(22)-E(…)", in mV.
func computeEMF(t *testing.T, r row) float64 {
	t.Helper()
	ok := must(t, r.id)
	if rest, found := strings.CutPrefix(r.inputs, "E(22)-E("); found {
		cold, err := strconv.ParseFloat(strings.TrimSuffix(rest, ")"), 64)
		return 1e3 * (ok(ConstantanEMF(22)) - ok(ConstantanEMF(ok(cold, err))))
	}
	return 1e3 * ok(ConstantanEMF(r.input(t, "t")))
}

type okFunc = func(float64, error) float64

// rebased and steady shorten the rows below.
func rebased(l Law, to float64) Law {
	l, err := l.Rebase(to)
	if err != nil {
		return NewLaw(math.NaN(), 0, 0)
	}
	return l
}

func steady(e Element, d Drive) OperatingPoint {
	p, err := e.Steady(20, d)
	if err != nil {
		return OperatingPoint{Rise: math.NaN()}
	}
	return p
}

// warm is an element of 1 Ω at 20 °C.
func warm(rth, alpha float64) Element { return Element{1, NewLaw(20, alpha, 0), rth} }

// single computes the rows whose inputs are words.
var single = map[string]func(ok okFunc) float64{
	"PARA-01": func(ok okFunc) float64 { return ok(NewLaw(25, 1.5e-6, -0.50e-6).Correct(1.0000123, 25, 20)) },
	"PARA-03": func(ok okFunc) float64 { return ok(NewLaw(25, 1.5e-6, -0.50e-6).Correct(1.0000123, 25, 28.7)) },
	"PARA-04": func(ok okFunc) float64 { return ok(NewLaw(25, -0.85e-6, -0.033e-6).Correct(9999.9872, 25, 20)) },
	"PARA-06": func(ok okFunc) float64 { return ok(NewLaw(25, 4.2e-6, -0.56e-6).Correct(100.00215, 25, 18.35)) },
	"PARA-07": func(ok okFunc) float64 { return ok(NewLaw(25, 4.2e-6, -0.56e-6).Correct(100.00215, 25, 31.2)) },
	"PARA-09": func(ok okFunc) float64 { return ok(NewLaw(25, -2.1e-6, -0.58e-6).Correct(1000.0044, 25, 25)) },
	"PARA-10": func(okFunc) float64 { t, _ := NewLaw(25, 1.5e-6, -0.50e-6).Extremum(); return t },
	"PARA-12": func(okFunc) float64 { t, _ := NewLaw(25, 4.2e-6, -0.56e-6).Extremum(); return t },
	"PARA-13": func(okFunc) float64 { return rebased(NewLaw(25, 4.2e-6, -0.56e-6), 20).Alpha() },
	"PARA-15": func(okFunc) float64 { return rebased(NewLaw(25, -2.1e-6, -0.58e-6), 20).Alpha() },

	"TW-03": func(ok okFunc) float64 { return ok(NewLaw(5, 1e-5, 0).Correct(100, 15, 5)) },
	"TW-04": func(ok okFunc) float64 { return ok(NewLaw(5, 2e-5, 0).Correct(12.2, 5, 220)) },
	"TW-06": func(ok okFunc) float64 { return ok(NewLaw(20, 4.3e-3, 0).Temperature(58. / 50)) },
	"TW-07": func(ok okFunc) float64 { return ok(NewLaw(22, 4.28e-3, 0).Correct(108, 22, 80)) },
	"TW-09": func(ok okFunc) float64 {
		return ok(MeanCoefficient(ResistanceAtTemperature{108, 0}, ResistanceAtTemperature{109, 51}))
	},
	"TW-10": func(ok okFunc) float64 {
		return rebased(NewLaw(20, ok(MeanCoefficient(
			ResistanceAtTemperature{400, 20},
			ResistanceAtTemperature{503.2, 75},
		)), 0), 0).Alpha()
	},
	"TW-12": func(ok okFunc) float64 { return ok(rebased(NewLaw(0, 0.00425, 0), 15).Temperature(60. / 50)) },
	"TW-13": func(ok okFunc) float64 { return ok(NewLaw(20, 4.5e-3, 0).Correct(0.350, 20, 2850)) },
	"TW-15": func(ok okFunc) float64 { l, err := CopperOfConductivity(0.93); return ok(l.Alpha(), err) },
	"TW-16": func(ok okFunc) float64 { return ok(EMFError(100e-6, 1e-3)) / ok(Platinum(100).Slope(0)) },

	"TCR-01": func(ok okFunc) float64 {
		return 1e6 * ok(MeanCoefficient(
			ResistanceAtTemperature{1000, 25},
			ResistanceAtTemperature{1000.90, 125},
		))
	},
	"TCR-03": func(ok okFunc) float64 {
		return 1e6 * ok(MeanCoefficient(
			ResistanceAtTemperature{1000, 25},
			ResistanceAtTemperature{1000.42, 75},
		))
	},
	"TCR-04": func(ok okFunc) float64 {
		return 1e6 * ok(MeanCoefficient(ResistanceAtTemperature{1000, 25}, ResistanceAtTemperature{999.71, 0}))
	},
	"TCR-06": func(ok okFunc) float64 {
		return 1e6 * ok(MeanCoefficient(
			ResistanceAtTemperature{1000, 25},
			ResistanceAtTemperature{1000.13, 50},
		))
	},
	"TCR-07": func(ok okFunc) float64 {
		return 1e6 * ok(BoxCoefficient(25, []float64{-55, 25, 125}, []float64{999.30, 1000, 1000.90}))
	},
	"TCR-09": func(ok okFunc) float64 {
		return 1e6 * ok(BoxCoefficient(23, []float64{18, 23, 28}, []float64{9999.991, 10000.004, 10000.012}))
	},

	"OHME-01": func(ok okFunc) float64 { return ok(EMFError(10e-6, 1e-3)) },
	"OHME-03": func(ok okFunc) float64 { return ok(EMFError(40.7e-6, 10e-3)) },
	"OHME-04": func(ok okFunc) float64 { return ok(EMFError(0.2e-6, 1)) },
	"OHME-06": func(ok okFunc) float64 { return ok(EMFError(3e-6, 10e-3)) },
	"OHME-07": func(ok okFunc) float64 { r, _, err := CurrentReversal(0.1, 1.0000032, -0.9999968); return ok(r, err) },
	"OHME-09": func(ok okFunc) float64 { r, _, err := CurrentReversal(0.001, 0.100021, -0.099983); return ok(r, err) },

	"SH-01": func(okFunc) float64 { return steady(Element{Resistance: 100}, Current(1e-3)).Power },
	"SH-02": func(okFunc) float64 { return steady(Element{100, Law{}, 20}, Current(1e-3)).Rise },
	"SH-04": func(okFunc) float64 { return steady(Element{Resistance: 100}, Current(1e-3)).Power },
	"SH-05": func(okFunc) float64 { return steady(Element{Resistance: 100}, Current(1e-3)).Power },
	"SH-06": func(ok okFunc) float64 {
		return ok(ZeroPower(
			ResistanceAtCurrent{100.00412, 1e-3},
			ResistanceAtCurrent{100.00466, 1e-3 * math.Sqrt2},
		))
	},
	"SH-07": func(ok okFunc) float64 {
		return ok(ZeroPower(ResistanceAtCurrent{1.00000210, 0.1}, ResistanceAtCurrent{1.00000690, 0.2}))
	},
	"SH-09": func(okFunc) float64 { return steady(warm(30, 5e-6), Current(math.Sqrt(0.5))).Rise },
	"SH-10": func(okFunc) float64 { return steady(warm(30, 5e-6), Voltage(math.Sqrt(0.5))).Rise },
	"SH-13": func(okFunc) float64 { return steady(warm(120, -80e-6), Current(math.Sqrt(0.1))).Rise },
	"SH-14": func(okFunc) float64 { return steady(warm(120, -80e-6), Voltage(math.Sqrt(0.1))).Rise },
	"SH-15": func(ok okFunc) float64 { return ok(FirstOrder(120).Fraction(60)) },
	"SH-16": func(ok okFunc) float64 { return ok(FirstOrder(120).Fraction(120)) },
	"SH-18": func(ok okFunc) float64 { return 1e6 * 0.5 * ok(warm(100, 0.001e-6).LoadCoefficient(20)) },
	"SH-19": func(ok okFunc) float64 { return 1e6 * 0.05 * ok(warm(100, 0.02e-6).LoadCoefficient(20)) },

	"PW-06": func(ok okFunc) float64 { return ok(RatedCurrent(0.5, 1)) },
	"PW-07": func(ok okFunc) float64 { return ok(RatedCurrent(0.5, 10)) },
	"PW-09": func(ok okFunc) float64 { return ok(RatedCurrent(0.5, 1000)) },
	"PW-10": func(ok okFunc) float64 { return ok(RatedCurrent(0.5, 10000)) },
	"PW-12": func(ok okFunc) float64 { return ok(RatedCurrent(1, 100)) },
	"PW-13": func(ok okFunc) float64 { return ok(RatedCurrent(0.05, 100000)) },
	"PW-15": func(ok okFunc) float64 { return ok(RatedVoltage(0.25, 1000000)) },
	"PW-16": func(ok okFunc) float64 { return ok(RatedVoltage(0.5, 1000)) },
}

// The rows that the present curve cannot give come from the one before it: all of
// the condensed table does, and of the handbook page the one at 100 °C.
func TestPublishedOlderPlatinum(t *testing.T) {
	const mixed = "the handbook page mixes scales; on neither does it give this"
	for _, r := range thermalRows(t) {
		if r.table != "PTX" {
			continue
		}
		r.exception = ""
		if strings.HasPrefix(r.source, "resistance table of a general handbook") && r.id != "PTX-05" {
			r.exception = mixed
		}
		got := must(t, r.id)(PlatinumIPTS68(100).Resistance(r.input(t, "t")))
		r.published(r.printed).Run(t, got)
	}
}

// The coefficients of the older scale, evaluated in 30-digit arithmetic.
func TestOlderPlatinumThirtyDigits(t *testing.T) {
	for at, want := range map[float64]string{
		-200: "18.49316", -60: "76.32824", 200: "175.8396", 300: "212.0188", 600: "313.594", 750: "360.4652",
	} {
		got := must(t, "IPTS-68")(PlatinumIPTS68(100).Resistance(at))
		if ok, err := uncertaintytest.Agrees(got, want); !ok || err != nil {
			t.Errorf("at %v °C: %v, want %s (%v)", at, got, want, err)
		}
	}
}

// Another table of the same scale, seen with these digits.
func TestPublishedRoomTemperatures(t *testing.T) {
	for _, c := range []struct {
		at      float64
		printed string
	}{{-200, "18.52"}, {15, "105.85"}, {20, "107.79"}, {35, "113.61"}} {
		uncertaintytest.Published{
			Name: "Pt100 at " + text(c.at), Source: "Pt100 quick-reference points after IEC 60751",
			Place: "row of the temperature", Printed: c.printed, Provenance: uncertaintytest.Seen,
		}.Run(t, must(t, "Pt100")(Platinum(100).Resistance(c.at)))
	}
}

// One row of the older copper table is colder than the edition of 2009 goes.
func TestRowOutsideTheRange(t *testing.T) {
	for _, r := range thermalRows(t) {
		if r.id == "CU28-30" {
			refused(t, ErrDomain, "temperature")(Copper(100).Resistance(r.input(t, "t")))
			return
		}
	}
	t.Error("no row CU28-30")
}

// The coefficients B and C of the copper thermometer are from memory. The older
// table, which was seen, is of another edition, but no more than 0.09 Ω away.
func TestCopperIsNearTheOlderTable(t *testing.T) {
	rows := 0
	for _, r := range thermalRows(t) {
		if r.table != "CU28" || r.id == "CU28-30" {
			continue
		}
		got, want := compute(t, r), must(t, r.id)(strconv.ParseFloat(r.printed, 64))
		if math.Abs(got-want) > 0.09 {
			t.Errorf("%s: %v, older table %v", r.inputs, got, want)
		}
		rows++
	}
	if rows < 15 {
		t.Errorf("%d rows", rows)
	}
}

// Resistivities of one handbook at 0 and 100 °C, and the mean coefficients that
// follow from them.
func TestPublishedMeanCoefficients(t *testing.T) {
	for _, c := range []struct {
		metal    string
		at0, hot float64 // 1e-8 Ω·m
		printed  string
	}{
		{"constantan", 45.43, 45.11, "-7.0e-5"},
		{"nickel-chromium 79/21", 107.3, 108.3, "9.3e-5"},
		{"brass 70/30", 5.87, 6.91, "0.00177"},
	} {
		uncertaintytest.Published{
			Name: c.metal, Source: "CRC Handbook of Chemistry and Physics",
			Place:   "section 15, wire tables, 0 and 100 °C",
			Printed: c.printed, Provenance: uncertaintytest.Seen,
		}.Run(t, must(t, c.metal)(MeanCoefficient(
			ResistanceAtTemperature{c.at0, 0},
			ResistanceAtTemperature{c.hot, 100},
		)))
	}
}
