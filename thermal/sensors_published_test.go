// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// sensorTables says what each table of testdata/sensors.csv is about.
var sensorTables = map[string]string{
	"W90":    "ITS-90 reference function",
	"W90C":   "ITS-90 reference function",
	"W90D":   "slope of the ITS-90 reference function",
	"W90I":   "inverse of the ITS-90 reference function",
	"D90":    "ITS-90 deviation",
	"CVT":    "Callendar-Van Dusen coefficients",
	"PTC":    "alpha of a coefficient set",
	"P00390": "platinum 100 Ω, 0.00390", "P003911": "platinum 100 Ω, 0.003911", "P00392": "platinum 100 Ω, 0.00392",
	"GST":   "GOST 6651-2009",
	"NI500": "nickel of building controls",
	"NTB":   "beta of a thermistor",
	"NTS":   "Steinhart-Hart",
	"CTF":   "factor of a heating alloy",
	"SND":   "sender",
	"SGC":   "shunt calibration",
}

// TestPublishedSensors compares every printed number with what the package gives.
func TestPublishedSensors(t *testing.T) {
	for _, r := range readRows(t, "sensors.csv", 276) {
		if r.printed == "" {
			continue
		}
		p := r.published(r.printed)
		p.Name = sensorTables[r.table] + p.Name
		p.Run(t, computeSensor(t, r))
	}
}

// TestSensorsThirtyDigits compares with the formulas evaluated in 30-digit arithmetic,
// rounded to ten digits.
func TestSensorsThirtyDigits(t *testing.T) {
	rows := 0
	for _, r := range readRows(t, "sensors.csv", 276) {
		if r.reference == "" {
			continue
		}
		if ok, err := uncertaintytest.Agrees(computeSensor(t, r), r.reference); !ok || err != nil {
			t.Errorf("%s, %s: %v, with 30 digits %s (%v)", r.id, r.inputs, computeSensor(t, r), r.reference, err)
		}
		rows++
	}
	if rows < 200 {
		t.Errorf("%d rows", rows)
	}
}

// figures are the numbers of a text, in order, with the names before them.
func (r row) figures(t *testing.T) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, m := range namedNumber.FindAllStringSubmatch(r.inputs, -1) {
		v, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		out[m[1]] = v
	}
	return out
}

var namedNumber = regexp.MustCompile(`([A-Za-z_]\w*(?:\(0\.01\))?) ?=(-?\d+(?:\.\d+)?(?:e-?\d+)?)`)

func made(t *testing.T, id string) func(s Sensor, err error) Sensor {
	return func(s Sensor, err error) Sensor {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		return s
	}
}

func computeSensor(t *testing.T, r row) float64 {
	t.Helper()
	ok, sensor, in := must(t, r.id), made(t, r.id), r.figures(t)
	pure := ITS90{R001: 1, Low: hydrogenPoint, High: silverPoint}
	switch r.table {
	case "W90", "W90C":
		return ok(sensor(pure.Sensor()).Resistance(in["t"]))
	case "W90D":
		return ok(sensor(pure.Sensor()).Slope(in["t"] - 1e-13)) // at 0.01 °C the reference is that of the lower formula
	case "W90I":
		return ok(sensor(pure.Sensor()).Value(in["W_r"]))
	case "D90":
		one := ITS90{R001: 1, Below: Deviation{A: in["a4"], L: in["b4"]},
			Above: Deviation{A: in["a7"], B: in["b7"], C: in["c7"]}}
		if r0 := in["R(0.01)"]; r0 != 0 {
			one = ITS90{R001: r0, Above: Deviation{A: in["a8"], B: in["b8"]}}
			return ok(sensor(one.Sensor()).Value(in["R"]))
		}
		w := ok(sensor(one.Sensor()).Resistance(in["t"]))
		dw, _ := one.deviation(w).deltaW(w) // W − W_r, free of the rounding of the difference
		if pure := ok(sensor(pure.Sensor()).Resistance(in["t"])); math.Abs(w-pure-dw) > 1e-15 {
			t.Errorf("%s: W − W_r = %v, deviation %v", r.id, w-pure, dw)
		}
		return dw
	case "CVT", "PTC":
		return computeCoefficients(t, r, in)
	case "P00390":
		return ok(sensor(CallendarVanDusen{R0: 100, A: 3.96e-3, B: -5.93e-7, C: -4.3e-12}.Sensor()).Resistance(in["t"]))
	case "P003911":
		return ok(sensor(CallendarVanDusen{R0: 100, A: 3.9692e-3, B: -5.8495e-7,
			C: -4.2325e-12}.Sensor()).Resistance(in["t"]))
	case "P00392": // six digits of the same coefficients, which are printed with five as well
		return ok(sensor(CallendarVanDusen{R0: 100, A: 3.97869e-3, B: -5.86863e-7,
			C: -4.16696e-12}.Sensor()).Resistance(in["t"]))
	case "NI500":
		return ok(Nickel500(1000).Resistance(in["t"]))
	case "GST":
		return computeGOST(t, r, in)
	case "NTB":
		return computeBeta(t, r, in)
	case "NTS":
		return computeSteinhartHart(t, r, in)
	case "CTF":
		name, _, _ := strings.Cut(r.inputs, ";")
		if i := strings.Index(name, "("); i >= 0 && !strings.Contains(name, "class") {
			name = strings.Trim(name[i:], "()")
		}
		law, err := HeatingAlloy(strings.TrimSuffix(name, " (constantan class)"))
		if err != nil {
			t.Fatal(err)
		}
		return ok(law.Ratio(in["t"]))
	case "SND":
		return computeSender(t, r)
	case "SGC":
		return computeShunt(t, r, in)
	}
	t.Fatalf("%s: no test computes it", r.id)
	return 0
}

func computeCoefficients(t *testing.T, r row, in map[string]float64) float64 {
	t.Helper()
	set := CallendarVanDusen{R0: 100, A: in["A"], B: in["B"], C: in["C"]}
	if strings.HasPrefix(r.inputs, "IEC 60751 A, B, C") {
		set = CallendarVanDusen{R0: 100, A: platinumA, B: platinumB, C: platinumC}
	}
	if r.table == "PTC" {
		return set.Alpha()
	}
	back := set.AlphaDeltaBeta()
	forth := AlphaDeltaBeta{R0: 100, Alpha: in["alpha"], Delta: in["delta"], Beta: in["beta"]}.CallendarVanDusen()
	_, want, _ := strings.Cut(r.inputs, "-> ")
	switch letter, _, _ := strings.Cut(want, " "); letter {
	case "A":
		return forth.A
	case "B":
		return forth.B
	case "C":
		return forth.C
	case "R":
		return must(t, r.id)(made(t, r.id)(forth.Sensor()).Resistance(in["t"]))
	case "alpha":
		return back.Alpha
	case "beta":
		return back.Beta
	}
	return back.Delta
}

func computeGOST(t *testing.T, r row, in map[string]float64) float64 {
	t.Helper()
	ok := must(t, r.id)
	if strings.HasPrefix(r.inputs, "inverse") {
		th := Platinum(100)
		if strings.Contains(r.inputs, "0.00391") {
			th = Platinum391(100)
		}
		return ok(th.Value(in["R"]))
	}
	name, _, _ := strings.Cut(r.inputs, ",")
	element, alpha, _ := strings.Cut(name, " ")
	th, err := ParseSensor(element + text(in["R0"]) + " " + alpha)
	if err != nil {
		t.Fatal(err)
	}
	return ok(th.Resistance(in["t"]))
}

// at273 is a thermistor for which 0 °C was taken as 273 K.
func at273(r, at, beta float64) (Sensor, error) {
	return BetaThermistor{R: r, At: at - 0.15, Beta: beta, Low: -50, High: 150}.Sensor()
}

func computeBeta(t *testing.T, r row, in map[string]float64) float64 {
	t.Helper()
	ok, sensor := must(t, r.id), made(t, r.id)
	tipler := []ResistanceAtTemperature{{7360, 0}, {153, 100}}
	tiplerBeta := ok(BetaBetween(tipler[0], tipler[1]))
	// 100 °C as 373 K.
	figliola := sensor(BetaThermistor{R: 20000, At: 100 - 0.15, Beta: 3650, Low: 0, High: 400}.Sensor())
	switch r.id {
	case "NTB-01":
		return 1 / (1/298.15 - 1/358.15) // the factor alone, see NTB-03 to NTB-09 for its use
	case "NTB-03", "NTB-06", "NTB-07", "NTB-09":
		return ok(BetaBetween(ResistanceAtTemperature{in["R25"], 25}, ResistanceAtTemperature{in["R85"], 85}))
	case "NTB-04":
		return ok(BetaBetween(ResistanceAtTemperature{in["R25"], 25}, ResistanceAtTemperature{in["R50"], 50}))
	case "NTB-10":
		return ok(sensor(BetaThermistor{R: 1050, At: 20, Beta: 3100}.Sensor()).Value(2300))
	case "NTB-12":
		return ok(figliola.Value(500)) - absoluteZero
	case "NTB-13":
		return ok(figliola.Value(500)) + 0.15
	case "NTB-15":
		return 7360 * math.Exp(-tiplerBeta/273.15)
	case "NTB-16":
		return ok(sensor(BetaThermistor{R: 7360, At: 0, Beta: tiplerBeta}.Sensor()).Resistance(37))
	case "NTB-18":
		return ok(sensor(BetaThermistor{R: 7360, At: 0, Beta: tiplerBeta}.Sensor()).Slope(100))
	case "NTB-19":
		return ok(BetaBetween(ResistanceAtTemperature{7388, 0}, ResistanceAtTemperature{129, 100}))
	case "NTB-21":
		return ok(sensor(BetaThermistor{R: 10e3, At: 25, Beta: 3380}.Sensor()).Resistance(50))
	case "NTB-34":
		return ok(sensor(at273(7.465, 120, 4057)).Resistance(80 - 0.15))
	case "NTB-36":
		table := Table{Unit: "°C", Points: []TablePoint{{20, 12490}, {25, 10000}}}
		return ok(sensor(table.Sensor()).Resistance(23))
	}
	kohm, err := strconv.ParseFloat(regexp.MustCompile(`([\d.]+) kohm`).FindStringSubmatch(r.inputs)[1], 64)
	return ok(sensor(at273(ok(kohm, err), 0, in["B"])).Resistance(in["t"] - 0.15))
}

func computeSteinhartHart(t *testing.T, r row, in map[string]float64) float64 {
	t.Helper()
	ok, sensor := must(t, r.id), made(t, r.id)
	switch r.id {
	case "NTS-18", "NTS-19":
		s, err := SteinhartHartThrough(ResistanceAtTemperature{2045, -50},
			ResistanceAtTemperature{100, 25}, ResistanceAtTemperature{15, 100})
		if r.id == "NTS-18" {
			return ok(s.B, err)
		}
		return ok(s.C, err)
	case "NTS-28", "NTS-30":
		readout := Function{Unit: "°C", Low: -10, High: 100, Resistance: func(t float64) float64 {
			kelvin := t - absoluteZero
			return math.Exp(in["a"] + in["b"]/kelvin + in["c"]/(kelvin*kelvin*kelvin))
		}}
		return ok(sensor(readout.Sensor()).Resistance(in["t"]))
	}
	s := SteinhartHart{A: in["A"], B: in["B"], C: in["C"], Low: -60, High: 150}
	if in["a"] != 0 {
		s = SteinhartHart{A: in["a"], B: in["b"], D: in["c"], C: in["d"], Reference: 1, Low: -60, High: 150}
		return ok(sensor(s.Sensor()).Value(in["R25"]))
	}
	th := sensor(s.Sensor())
	if strings.HasSuffix(r.inputs, "-> t") {
		return ok(th.Value(in["R"]))
	}
	return ok(th.Resistance(in["t"]))
}

func computeSender(t *testing.T, r row) float64 {
	t.Helper()
	ok, sensor := must(t, r.id), made(t, r.id)
	s := sensor(ParseSensor("240 Ω at 0 %, 33 Ω at 100 %"))
	if strings.HasPrefix(r.inputs, "0 ohm") {
		s = sensor(ParseSensor("0 Ω at 0 %, 190 Ω at 100 %"))
	}
	switch {
	case strings.Contains(r.inputs, "1/4"):
		return ok(s.Resistance(25))
	case strings.Contains(r.inputs, "3/4"):
		return ok(s.Resistance(75))
	}
	return ok(s.Value(75)) / 100
}

func computeShunt(t *testing.T, r row, in map[string]float64) float64 {
	t.Helper()
	ok := must(t, r.id)
	switch r.id {
	case "SGC-43":
		return ok(made(t, r.id)(StrainGauge{R0: 350, Factor: 2.1}.Sensor()).Resistance(1000)) - 350
	case "SGC-45":
		return 1e-6 * ok(made(t, r.id)(StrainGauge{R0: 120, Factor: 2.4}.Sensor()).Value(120.1))
	case "SGC-46":
		return ok(made(t, r.id)(StrainGauge{R0: 120, Factor: 2}.Sensor()).Resistance(10)) - 120
	}
	if strings.HasPrefix(r.inputs, "logger") {
		return ok(StrainGauge{R0: in["Rb"], Factor: in["K"] * in["BF"]}.BridgeShuntStrain(in["Rs"]))
	}
	g := StrainGauge{R0: in["Rg"], Factor: in["K"]}
	bridge := strings.Contains(r.inputs, "bridge form")
	switch {
	case in["Rs"] != 0 && bridge:
		return ok(g.BridgeShuntStrain(in["Rs"]))
	case in["Rs"] != 0:
		return ok(g.ShuntStrain(in["Rs"]))
	case bridge:
		return ok(g.BridgeShunt(in["e"]))
	}
	return ok(g.Shunt(in["e"]))
}
