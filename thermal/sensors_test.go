// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// ownSensors are sensors of every kind by the user's own figures.
func ownSensors(t *testing.T) map[string]Sensor {
	t.Helper()
	ok := made(t, "own sensor")
	points := []TablePoint{{0, 32560}, {10, 19870}, {20, 12490}, {30, 8059}, {45, 4372}, {60, 2490}}
	return map[string]Sensor{
		"Callendar-Van Dusen": ok(CallendarVanDusen{R0: 100, A: platinumA, B: platinumB, C: platinumC}.Sensor()),
		"ITS-90": ok(ITS90{
			R001: 25.5, Below: Deviation{A: -1.258e-4, L: 1.068e-5}, Above: Deviation{A: -1.646e-4, B: -8.46e-6, C: 1.89e-6},
		}.Sensor()),
		"mercury to gallium": ok(ITS90{R001: 25.5, Below: Deviation{A: -2.8e-4, B: 1e-5}, Above: Deviation{A: -2.8e-4, B: 1e-5}, Low: -38.8344, High: 29.7646}.Sensor()),
		"beta":               ok(BetaThermistor{R: 10e3, At: 25, Beta: 3977}.Sensor()),
		"Steinhart-Hart":     ok(SteinhartHart{A: 1.129241e-3, B: 2.341077e-4, C: 8.775468e-8}.Sensor()),
		"four coefficients":  ok(SteinhartHart{A: 3.3539438e-3, B: 2.5646095e-4, D: 2.5158166e-6, C: 1.0503069e-7, Reference: 10e3}.Sensor()),
		"gauge":              ok(StrainGauge{R0: 350, Factor: 2.05}.Sensor()),
		"linear table":       ok(Table{Unit: "°C", Points: points}.Sensor()),
		"smooth table":       ok(Table{Unit: "°C", Points: points, Interpolation: InterpolationSmooth}.Sensor()),
		"thermistor table":   ok(Table{Unit: "°C", Points: points, Interpolation: InterpolationThermistor}.Sensor()),
		"two points":         ok(Table{Unit: "%", Points: []TablePoint{{100, 33}, {0, 240}}}.Sensor()),
		"from nothing":       ok(Table{Points: []TablePoint{{0, 0}, {1, 190}}, Interpolation: InterpolationSmooth}.Sensor()),
		"function":           ok(Function{Unit: "mm", Low: -5, High: 5, Resistance: func(x float64) float64 { return 1000 - 50*math.Sinh(x/3) }}.Sensor()),
	}
}

// There and back to 1e-11 of the range, at the ends and in between, and the slope is the
// derivative.
func TestOwnSensorsBothWays(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 4))
	for name, s := range ownSensors(t) {
		low, high := s.Range()
		at := []float64{low, high, 0.5 * (low + high)}
		for range 300 {
			at = append(at, low+(high-low)*rng.Float64())
		}
		for _, x := range at {
			r := must(t, name)(s.Resistance(x))
			if back := must(t, name)(s.Value(r)); math.Abs(back-x) > 1e-11*(high-low) || back < low || back > high {
				t.Errorf("%s: %v Ω is %v; want %v", name, r, back, x)
			}
			h := 1e-6 * (high - low)
			slope := must(t, name)(s.Slope(x))
			up, errUp := s.Resistance(x + h)
			down, errDown := s.Resistance(x - h)
			if errUp != nil || errDown != nil || strings.Contains(name, "table") || name == "from nothing" {
				continue
			}
			if want := (up - down) / (2 * h); math.Abs(slope-want) > 1e-4*math.Abs(want) {
				t.Errorf("%s: slope at %v = %v; want %v", name, x, slope, want)
			}
		}
	}
}

// Budgets through sensors: there and back is the same quantity.
func TestOwnSensorsOfQuantities(t *testing.T) {
	for name, s := range ownSensors(t) {
		low, high := s.Range()
		x := low + 0.37*(high-low)
		in := uncertainty.Input("x", uncertainty.Normal(x, 1e-4*(high-low)))
		r := s.ResistanceOf(in)
		b := evaluate(t, r)
		near(t, name, b.StandardUncertainty, 1e-4*(high-low)*math.Abs(must(t, name)(s.Slope(x))), 1e-9)
		d := evaluate(t, s.ValueOf(r).Sub(in))
		if math.Abs(d.Estimate) > 1e-11*(high-low) || d.StandardUncertainty > 1e-8*(high-low) {
			t.Errorf("%s: there and back %v, u %v", name, d.Estimate, d.StandardUncertainty)
		}
	}
}

// IEC 60751 by its own coefficients is Platinum, and so is its older form.
func TestCallendarVanDusenIsPlatinum(t *testing.T) {
	set := CallendarVanDusen{R0: 100, A: platinumA, B: platinumB, C: platinumC}
	a, b := made(t, "ABC")(set.Sensor()),
		made(t, "alpha, delta, beta")(set.AlphaDeltaBeta().CallendarVanDusen().Sensor())
	for x := -200.0; x <= 850; x += 7 {
		want := must(t, "Pt")(Platinum(100).Resistance(x))
		near(t, "ABC", must(t, "ABC")(a.Resistance(x)), want, 1e-15)
		near(t, "αδβ", must(t, "αδβ")(b.Resistance(x)), want, 1e-14)
	}
	warm := made(t, "without C")(CallendarVanDusen{R0: 100, A: platinumA, B: platinumB}.Sensor())
	if low, high := warm.Range(); low != 0 || high != 850 {
		t.Errorf("range %v to %v", low, high)
	}
}

// The deviation is a function of W: R/R(0.01) solves the equation of the scale.
func TestITS90SolvesItsEquation(t *testing.T) {
	s := ITS90{R001: 25.5, Below: Deviation{A: -1.3e-3, L: 2e-4}, Above: Deviation{A: -1.6e-3, B: -8e-4, C: 2e-4}}
	th := made(t, "ITS-90")(s.Sensor())
	for x := -189.0; x < 660; x += 3.1 {
		w := must(t, "R")(th.Resistance(x)) / 25.5
		d := w - 1
		dw := -1.6e-3*d - 8e-4*d*d + 2e-4*d*d*d
		if x < 0.01 {
			dw = -1.3e-3*d + 2e-4*d*math.Log(w)
		}
		if reference, _ := its90Reference(x); math.Abs(w-dw-reference) > 1e-14 {
			t.Errorf("at %v °C: W − ΔW = %.16f, W_r = %.16f", x, w-dw, reference)
		}
	}
}

// The approximating inverses of the scale, within what it states: 0.1 mK and 0.13 mK
// (coefficients B and D from memory).
func TestITS90AgainstItsInverses(t *testing.T) {
	b := polynomial{0.183324722, 0.240975303, 0.209108771, 0.190439972, 0.142648498, 0.077993465,
		0.012475611, -0.032267127, -0.075291522, -0.056470670, 0.076201285, 0.123893204,
		-0.029201193, -0.091173542, 0.001317696, 0.026025526}
	d := polynomial{439.932854, 472.418020, 37.684494, 7.472018, 2.920828, 0.005184, -0.963864,
		-0.188732, 0.191203, 0.049025}
	th := made(t, "ITS-90")(ITS90{R001: 1, Low: hydrogenPoint, High: silverPoint}.Sensor())
	for w := 0.0013; w < 4.28; w *= 1.02 {
		v, _ := d.evaluate((w - 2.64) / 1.64)
		if w < 1 {
			v, _ = b.evaluate((math.Pow(w, 1./6) - 0.65) / 0.35)
			v = 273.16*v + absoluteZero
		}
		if got := must(t, "t")(th.Value(w)); math.Abs(got-v) > 0.14e-3 {
			t.Errorf("W = %v: %v °C, by the inverse of the scale %v", w, got, v)
		}
	}
}

// Rows of printed tables that were left out of the points: what each interpolation is off
// by, in kelvins. Table of a 10 kΩ thermistor of B25/85 = 3977 K, as in sensors.csv R25.
func TestTableBetweenItsPoints(t *testing.T) {
	points := []TablePoint{{-40, 332100}, {-30, 175200}, {-15, 72500}, {0, 32560}, {15, 15700},
		{30, 8059}, {45, 4372}, {60, 2490}, {75, 1481}, {90, 915}, {105, 586}, {120, 387}}
	between := []TablePoint{{-25, 129300}, {-10, 55050}, {5, 25340}, {20, 12490}, {35, 6536},
		{50, 3606}, {65, 2084}, {80, 1256}, {95, 786}, {110, 508}}
	for how, most := range map[Interpolation]float64{InterpolationLinear: 1.8,
		InterpolationSmooth: 0.3, InterpolationThermistor: 0.05} {
		s := made(t, how.String())(Table{Unit: "°C", Points: points, Interpolation: how}.Sensor())
		worst := 0.0
		for _, p := range between {
			worst = max(worst, math.Abs(must(t, how.String())(s.Value(p.Resistance))-p.Value))
		}
		if worst > most || worst < most/4 {
			t.Errorf("%v: off by %.3f K; expected about %v K", how, worst, most)
		}
	}
}

// The curve through three points goes through them.
func TestSteinhartHartThrough(t *testing.T) {
	points := []ResistanceAtTemperature{{32560, 0}, {10000, 25}, {1070, 85}}
	for _, order := range [][3]int{{0, 1, 2}, {2, 0, 1}, {1, 2, 0}} {
		set, err := SteinhartHartThrough(points[order[0]], points[order[1]], points[order[2]])
		if err != nil {
			t.Fatal(err)
		}
		s := made(t, "through")(set.Sensor())
		for _, p := range points {
			near(t, "R", must(t, "R")(s.Resistance(p.Temperature)), p.Resistance, 1e-10)
		}
	}
}

func TestPotentiometer(t *testing.T) {
	s := ownSensors(t)["two points"]
	if r, err := s.Resistance(50); r != 136.5 || err != nil {
		t.Errorf("half: %v, %v", r, err)
	}
	refused(t, ErrDomain, "value")(s.Resistance(100.1))
	refused(t, ErrDomain, "resistance")(s.Value(241))
	if s.Unit() != "%" || s.DifferenceUnit() != "%" || !s.Monotone() || s.String() != "table of 2 points" {
		t.Errorf("%q, %q, %v, %v", s.Unit(), s.DifferenceUnit(), s.Monotone(), s)
	}
}

func TestSensorsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	cvd := CallendarVanDusen{R0: 100, A: platinumA, B: platinumB, C: platinumC}
	with := func(change func(c *CallendarVanDusen)) CallendarVanDusen {
		c := cvd
		change(&c)
		return c
	}
	one := func(x float64) float64 { return 100 + x }
	type sensor interface{ Sensor() (Sensor, error) }
	for name, c := range map[string]struct {
		s        sensor
		cause    error
		argument string
	}{
		"R0":                  {with(func(c *CallendarVanDusen) { c.R0 = 0 }), ErrDomain, "R0"},
		"A of per cent":       {with(func(c *CallendarVanDusen) { c.A = 0.39 }), ErrDomain, "A"},
		"B not a number":      {with(func(c *CallendarVanDusen) { c.B = nan }), ErrNotFinite, "B"},
		"no C":                {with(func(c *CallendarVanDusen) { c.C, c.Low = 0, -10 }), ErrDomain, "C"},
		"falls":               {with(func(c *CallendarVanDusen) { c.B = -5e-6 }), ErrDomain, "temperature"},
		"range upside down":   {with(func(c *CallendarVanDusen) { c.Low, c.High = 100, 0 }), ErrDomain, "low"},
		"too cold":            {with(func(c *CallendarVanDusen) { c.Low, c.High = -250, 0 }), ErrDomain, "low"},
		"too hot":             {with(func(c *CallendarVanDusen) { c.Low, c.High = 0, 2000 }), ErrDomain, "high"},
		"R001":                {ITS90{R001: -1}, ErrDomain, "R001"},
		"deviation":           {ITS90{R001: 25, Above: Deviation{B: 0.1}}, ErrDomain, "Above"},
		"deviation NaN":       {ITS90{R001: 25, Below: Deviation{L: nan}}, ErrNotFinite, "Below"},
		"logarithm above":     {ITS90{R001: 25, Above: Deviation{L: 1e-5}}, ErrDomain, "Above"},
		"beyond aluminium":    {ITS90{R001: 25, Above: Deviation{A: 1e-5}, High: 900}, ErrDomain, "high"},
		"below argon":         {ITS90{R001: 25, Below: Deviation{A: 1e-5}, Low: -250}, ErrDomain, "low"},
		"beta 0":              {BetaThermistor{R: 10e3, At: 25}, ErrDomain, "Beta"},
		"beta large":          {BetaThermistor{R: 10e3, At: 25, Beta: 1e6}, ErrDomain, "Beta"},
		"beta negative":       {BetaThermistor{R: 10e3, At: 25, Beta: -3977}, ErrDomain, "Beta"},
		"no R":                {BetaThermistor{At: 25, Beta: 3977}, ErrDomain, "R"},
		"At":                  {BetaThermistor{R: 10e3, At: -300, Beta: 3977}, ErrDomain, "At"},
		"from absolute zero":  {BetaThermistor{R: 10e3, At: 25, Beta: 3977, Low: absoluteZero, High: 0}, ErrDomain, "low"},
		"beyond float64":      {BetaThermistor{R: 10e3, At: 25, Beta: 20e3, Low: -270, High: 0}, ErrNotFinite, "resistance at -270 °C"},
		"nothing":             {SteinhartHart{}, ErrDomain, "B"},
		"constant":            {SteinhartHart{A: 3.3e-3}, ErrDomain, "B"},
		"rises":               {SteinhartHart{A: 5e-3, B: -2e-4}, ErrDomain, "B"},
		"C not finite":        {SteinhartHart{A: 1e-3, B: 2e-4, C: inf}, ErrNotFinite, "C"},
		"reference":           {SteinhartHart{A: 1e-3, B: 2e-4, Reference: -1}, ErrDomain, "Reference"},
		"gauge factor":        {StrainGauge{R0: 350}, ErrDomain, "gauge factor"},
		"gauge R0":            {StrainGauge{Factor: 2}, ErrDomain, "R0"},
		"gauge limit":         {StrainGauge{R0: 350, Factor: 2, Limit: -5}, ErrDomain, "limit"},
		"gauge to nothing":    {StrainGauge{R0: 350, Factor: 200, Limit: 1e4}, ErrDomain, "resistance at -10000 µm/m"},
		"no points":           {Table{}, ErrObservations, "points"},
		"one point":           {Table{Points: []TablePoint{{1, 1}}}, ErrObservations, "points"},
		"one value twice":     {Table{Points: []TablePoint{{1, 1}, {2, 3}, {1, 2}}}, ErrDomain, "value"},
		"negative ohms":       {Table{Points: []TablePoint{{1, 1}, {2, -3}}}, ErrDomain, "resistance"},
		"ohms not finite":     {Table{Points: []TablePoint{{1, 1}, {2, nan}}}, ErrNotFinite, "resistance"},
		"value not finite":    {Table{Points: []TablePoint{{1, 1}, {inf, 2}}}, ErrNotFinite, "value"},
		"unit":                {Table{Unit: "furlong", Points: []TablePoint{{1, 1}, {2, 2}}}, ErrUnknown, "unit"},
		"interpolation":       {Table{Points: []TablePoint{{1, 1}, {2, 2}}, Interpolation: 9}, ErrUnknown, "interpolation"},
		"thermistor of mm":    {Table{Unit: "mm", Points: []TablePoint{{1, 1}, {2, 2}}, Interpolation: InterpolationThermistor}, ErrDomain, "unit"},
		"thermistor at 0 °C":  {Table{Unit: "°C", Points: []TablePoint{{0, 5}, {1e-300, 1}, {20, 2}}, Interpolation: InterpolationThermistor}, ErrDomain, "value"},
		"thermistor, one 1/T": {Table{Unit: "°C", Points: []TablePoint{{20, 5}, {math.Nextafter(20, 21), 1}, {30, 2}}, Interpolation: InterpolationThermistor}, ErrDomain, "value"},
		"thermistor of 0 Ω":   {Table{Unit: "°C", Points: []TablePoint{{1, 1}, {2, 0}}, Interpolation: InterpolationThermistor}, ErrDomain, "resistance"},
		"below absolute zero": {Table{Unit: "°C", Points: []TablePoint{{-300, 1}, {2, 2}}}, ErrDomain, "low"},
		"no function":         {Function{Low: 0, High: 1}, ErrUnknown, "Resistance"},
		"no range":            {Function{Resistance: one}, ErrDomain, "low"},
		"function of NaN":     {Function{Low: -1, High: 1, Resistance: math.Sqrt}, ErrNotFinite, "resistance at -1"},
		"function negative":   {Function{Unit: "mm", Low: -200, High: 1, Resistance: one}, ErrDomain, "resistance at -200 mm"},
		"slope NaN":           {Function{Low: 0, High: 1, Resistance: one, Slope: func(float64) float64 { return nan }}, ErrNotFinite, "slope at 0"},
	} {
		s, err := c.s.Sensor()
		e, ok := errors.AsType[*Error](err)
		if !ok || !errors.Is(err, c.cause) || e.Name != c.argument || s != (Sensor{}) ||
			!strings.HasPrefix(e.Op, "thermal.") {
			t.Errorf("%s: %v; want %v about %s", name, err, c.cause, c.argument)
		}
	}
	g := StrainGauge{R0: 350, Factor: 2}
	refused(t, ErrDomain, "strain")(g.Shunt(0))
	refused(t, ErrDomain, "strain")(g.Shunt(600e3))
	refused(t, ErrDomain, "strain")(g.BridgeShunt(-5))
	refused(t, ErrDomain, "shunt")(g.ShuntStrain(0))
	refused(t, ErrNotFinite, "shunt")(g.BridgeShuntStrain(nan))
	refused(t, ErrDomain, "R0")(StrainGauge{Factor: 2}.Shunt(100))
	p := ResistanceAtTemperature{10e3, 25}
	refused(t, ErrDomain, "temperature")(BetaBetween(p, p))
	refused(t, ErrDomain, "resistance")(BetaBetween(p, ResistanceAtTemperature{0, 85}))
	refused(t, ErrDomain, "temperature")(BetaBetween(p, ResistanceAtTemperature{1000, absoluteZero}))
	through := func(a, b, c ResistanceAtTemperature) (float64, error) {
		s, err := SteinhartHartThrough(a, b, c)
		return s.B, err
	}
	refused(t, ErrDomain, "temperature")(through(p, ResistanceAtTemperature{1070, 85}, p))
	refused(t, ErrDomain, "resistance")(through(p, ResistanceAtTemperature{10e3, 85}, ResistanceAtTemperature{3, 99}))
	_, err := ITS90{R001: 0}.Qualifies()
	refused(t, ErrDomain, "R001")(0, err)
}

// A curve that turns answers forwards, and refuses by name to be asked backwards.
func TestNotMonotone(t *testing.T) {
	table := made(t, "table")(Table{Unit: "°C", Points: []TablePoint{{0, 120}, {40, 90}, {80, 250}}}.Sensor())
	function := made(t, "function")(Function{Low: -1, High: 1,
		Resistance: func(x float64) float64 { return 1 + x*x }}.Sensor())
	flat := made(t, "flat")(Table{Points: []TablePoint{{0, 10}, {1, 10}}}.Sensor())
	for _, s := range []Sensor{table, function, flat} {
		if s.Monotone() {
			t.Errorf("%v is not monotone", s)
		}
		refused(t, ErrNotMonotone, "resistance")(s.Value(s.c.ends[0]))
		refusedOf(t, ErrNotMonotone, s.ValueOf(uncertainty.Exact(s.c.ends[0])))
	}
	if r, err := table.Resistance(60); r != 170 || err != nil {
		t.Errorf("60 °C: %v, %v", r, err)
	}
	law := func(l TableLaw, err error) TableLaw {
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	refused(t, ErrNotMonotone, "ratio")(law(HeatingAlloy("Cr20Ni80")).Temperature(1.01))
	falling := law(HeatingAlloy("0Cr27Al7Mo2"))
	if x, err := falling.Temperature(0.981); err != nil || math.Abs(x-300) > 1e-9 {
		t.Errorf("falling law: %v, %v", x, err)
	}
	refused(t, ErrDomain, "ratio")(falling.Temperature(1.1))
	refused(t, ErrDomain, "ratio")(falling.Temperature(-1))
}

func TestTableLawRefuses(t *testing.T) {
	nan := math.NaN()
	zero := TableLaw{}
	refused(t, ErrUnknown, "law")(zero.Ratio(20))
	refused(t, ErrUnknown, "law")(zero.Temperature(1))
	refusedOf(t, ErrUnknown, zero.RatioOf(uncertainty.Exact(20)))
	if low, high := zero.Range(); low != 0 || high != 0 || zero.Monotone() {
		t.Error("zero law")
	}
	l, err := HeatingAlloy("Cr20Ni80")
	if err != nil {
		t.Fatal(err)
	}
	refused(t, ErrDomain, "temperature")(l.Ratio(1300))
	refused(t, ErrNotFinite, "temperature")(l.Slope(nan))
	refused(t, ErrDomain, "to")(l.Correct(10, 20, 1300))
	refused(t, ErrDomain, "from")(l.Correct(10, 10, 100))
	refused(t, ErrNotFinite, "resistance")(l.Correct(nan, 20, 100))
	_, err = l.Extremes(500, 100)
	refused(t, ErrDomain, "low")(0, err)
	_, err = l.Extremes(500, 5000)
	refused(t, ErrDomain, "high")(0, err)
	for name, points := range map[string][]RatioAtTemperature{
		"points": {{1, 20}}, "ratio": {{1, 20}, {-1, 30}}, "temperature": {{1, 20}, {1.1, 20}},
	} {
		_, err := NewTableLaw(points, InterpolationSmooth)
		if e, ok := errors.AsType[*Error](err); !ok || e.Name != name {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err = NewTableLaw([]RatioAtTemperature{{1, -300}, {2, 20}}, InterpolationLinear)
	refused(t, ErrDomain, "temperature")(0, err)
	_, err = NewTableLaw([]RatioAtTemperature{{1, 0}, {2, 20}}, InterpolationThermistor)
	refused(t, ErrUnknown, "interpolation")(0, err)
	if _, err = HeatingAlloy("Cr20Ni8"); !errors.Is(err, ErrUnknown) || !strings.Contains(err.Error(), "Cr20Ni80") {
		t.Errorf("near name: %v", err)
	}
	names := 0
	for name := range HeatingAlloys() {
		l, err := HeatingAlloy(name)
		if low, high := l.Range(); err != nil || low != 20 || high < 500 {
			t.Errorf("%s: %v to %v, %v", name, low, high, err)
		}
		names++
	}
	if names != 11 {
		t.Errorf("%d alloys", names)
	}
}

// The points given are not shared with the law, and their order does not matter.
func TestTableLawCopies(t *testing.T) {
	points := []RatioAtTemperature{{1.1, 100}, {1, 20}}
	l, err := NewTableLaw(points, InterpolationLinear)
	points[0].Ratio = 7
	if q := must(t, "ratio")(l.Ratio(60)); err != nil || math.Abs(q-1.05) > 1e-15 {
		t.Errorf("%v, %v", q, err)
	}
}

// What a person may type, and may mistype.
func TestParseSensor(t *testing.T) {
	for name, want := range map[string]struct {
		text string
		at   float64
		ohms float64
	}{
		"Pt100":                       {"platinum IEC 60751, R0 = 100 Ω", 0, 100},
		"Pt 100 0.003850":             {"platinum IEC 60751, R0 = 100 Ω", 0, 100},
		"Pt500 0.00391":               {"platinum GOST 6651-2009 (W100 = 1.391), R0 = 500 Ω", 0, 500},
		"Cu50":                        {"copper GOST 6651-2009 (W100 = 1.428), R0 = 50 Ω", 100, 71.4},
		"Cu9.035 0.00427":             {"copper, α = 0.00427 /K at 0 °C, R0 = 9.035 Ω", 0, 9.035},
		"Cu10 0.00428":                {"copper GOST 6651-2009 (W100 = 1.428), R0 = 10 Ω", 0, 10},
		"Ni100":                       {"nickel DIN 43760 (W100 = 1.618), R0 = 100 Ω", 0, 100},
		"Ni120 0.00618":               {"nickel DIN 43760 (W100 = 1.618), R0 = 120 Ω", 0, 120},
		"PT100":                       {"platinum IEC 60751, R0 = 100 Ω", 0, 100},
		"pt 1000":                     {"platinum IEC 60751, R0 = 1000 Ω", 0, 1000},
		"ntc 10 kΩ 3977 K":            {"thermistor 10000 Ω at 25 °C, β = 3977 K", 25, 10000},
		"Ni1000 0.005":                {"nickel of building controls (W100 = 1.500), R0 = 1000 Ω", 0, 1000},
		"NTC 2252 Ω 3891 K":           {"thermistor 2252 Ω at 25 °C, β = 3891 K", 25, 2252},
		"NTC 10kΩ 3977K":              {"thermistor 10000 Ω at 25 °C, β = 3977 K", 25, 10000},
		"gauge 120 Ω 2":               {"strain gauge 120 Ω, K = 2", 0, 120},
		"0 Ω at 0 mm, 5 kΩ at 250 mm": {"sensor of 0 Ω at 0 mm, 5 kΩ at 250 mm", 50, 1000},
	} {
		s := made(t, name)(ParseSensor(name))
		if r := must(t, name)(s.Resistance(want.at)); s.String() != want.text || math.Abs(r-want.ohms) > 1e-9 {
			t.Errorf("%s: %v, %v Ω; want %s, %v Ω", name, s, r, want.text, want.ohms)
		}
	}
	for name, want := range map[string]string{
		"":                         "expected a sensor such as Pt100",
		"Pt":                       "such as Pt100",
		"Pt0":                      "ohms above 0",
		"Pt100 0.0039":             "0.00385, 0.00391",
		"Cu50 copper":              "0.00428, 0.00427, 0.00426",
		"Ni120":                    "Ni120 0.00672 mostly, Ni120 0.00618 by DIN 43760",
		"Cu10":                     "expected Cu9.035 0.00427 for the usual sensor, which has 10 Ω at 25 °C",
		"CU10 0.00427":             "Cu10 0.00428 for 10 Ω at 0 °C",
		"NTC":                      "expected",
		"NTC 10 kΩ":                "beta in kelvins",
		"NTC 10 kΩ 3977":           "beta in kelvins",
		"NTC 10 kΩ 0 K":            "Beta: 0",
		"gauge 350 Ω":              "gauge factor",
		"gauge 350 Ω 0":            "gauge factor: 0",
		"gauge 2 m 2":              "expected",
		"5 Ω at 1 %":               "points: 1; expected 2",
		"5 Ω at 1 %, 6":            "expected points such as",
		"5 Ω at 1 %, 6 Ω at 2 mm":  "in one unit",
		"5 Ω at x %, 6 Ω at 2 %":   "x",
		"5 V at 1 %, 6 Ω at 2 %":   "V",
		"5 Ω at 1 xx, 6 Ω at 2 xx": "unit",
	} {
		s, err := ParseSensor(name)
		if e, ok := errors.AsType[*Error](err); !ok || e.Op != "thermal.ParseSensor" ||
			!strings.Contains(err.Error(), want) || s != (Sensor{}) {
			t.Errorf("%q: %v; want %q", name, err, want)
		}
	}
}

// A text of a stranger never panics, and what is read answers over its whole range.
func FuzzParseSensor(f *testing.F) {
	for _, seed := range []string{
		"Pt100", "Pt1000 0.00391", "NTC 10 kΩ 3977 K", "gauge 350 Ω 2.05", "240 Ω at 0 %, 33 Ω at 100 %", // good
		"NTC 1e300 Ω 1e300 K", "Pt1e308", "5 Ω at at 3", "Pt NaN", "1 Ω at -1e308 %, 2 Ω at 1e308 %", // awkward
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, name string) {
		s, err := ParseSensor(name)
		if err != nil {
			return
		}
		low, high := s.Range()
		for _, x := range []float64{low, high} {
			if r, err := s.Resistance(x); err == nil && (math.IsNaN(r) || r < 0) {
				t.Errorf("%q: %v Ω at %v", name, r, x)
			}
		}
	})
}

// The thirteen rows that the polynomial was fitted to (table of a transmitter's manual, seen),
// and three that a fit to such rows has to leave smooth: no second difference changes sign.
func TestNickel672(t *testing.T) {
	for at, printed := range map[float64]float64{
		-50: 86.17, -30: 99.41, -20: 106.15, 0: 120, 10: 127.17, 30: 142.06, 40: 149.79, 60: 165.90, 70: 174.25,
		90: 191.64, 100: 200.64, 200: 303.46, 250: 366.53,
	} {
		if r := must(t, "R")(Nickel672(120).Resistance(at)); math.Abs(r-printed) > 0.0125 {
			t.Errorf("at %v °C: %.4f Ω; printed %v", at, r, printed)
		}
	}
	before := 0.0
	for x := -50.0; x <= 250; x += 5 {
		s := must(t, "slope")(Nickel672(120).Slope(x))
		if s <= before {
			t.Errorf("slope %v at %v °C falls", s, x)
		}
		before = s
	}
}

func TestQualifies(t *testing.T) {
	if ok, err := (ITS90{R001: 100, Above: Deviation{A: -0.0165},
		Below: Deviation{A: -0.0165}}).Qualifies(); ok || err != nil {
		t.Errorf("an industrial sensor qualifies: %v", err)
	}
	if ok, err := (ITS90{R001: 25.5}).Qualifies(); !ok || err != nil {
		t.Errorf("the reference function does not qualify: %v", err)
	}
}

// Ends of a curve are computed; a message has them without the rounding of the last digits.
func TestEndsOfACurveInAMessage(t *testing.T) {
	for _, r := range []float64{18.5, 390.5} {
		_, err := Platinum(100).Value(r)
		if err == nil || !strings.Contains(err.Error(), "expected 18.52008 to 390.481125 Ω") {
			t.Errorf("%v Ω: %v", r, err)
		}
	}
}

// A beta in thousands of kelvins and a resistance in the place of a temperature are refused.
func TestSlipsOfThermistors(t *testing.T) {
	_, beta := BetaThermistor{R: 10e3, At: 25, Beta: 3.977}.Sensor()
	_, at := BetaThermistor{R: 25, At: 10e3, Beta: 3977}.Sensor()
	_, swapped := BetaBetween(ResistanceAtTemperature{25, 10000}, ResistanceAtTemperature{85, 1070})
	for want, err := range map[string]error{"Beta: 3.977; expected at least 200 K": beta,
		"At: 10000; expected at most 1000 °C":          at,
		"temperature: 10000; expected at most 1000 °C": swapped} {
		if !errors.Is(err, ErrDomain) || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
}
