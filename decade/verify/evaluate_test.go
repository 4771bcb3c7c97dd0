// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// fourWire is a meter of one range of 1 kΩ that shows 12 kΩ.
func fourWire() *Meter {
	return &Meter{
		Name: "test meter", Serial: "M1", Wiring: WiringFourWire, OffsetCompensated: true,
		Ranges: []Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 12, OfReading: 1e-4,
			OfRange: 1e-6, Resolution: 1e-4}},
	}
}

// read makes readings of settings, one value each.
func read(t testing.TB, box *decade.Box, values map[string]float64) []Reading {
	t.Helper()
	var out []Reading
	for text, v := range values {
		s, err := box.ParseSetting(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Reading{Setting: s, Values: []float64{v}})
	}
	slices.SortFunc(out, func(a, b Reading) int { return strings.Compare(a.Setting.String(), b.Setting.String()) })
	return out
}

func evaluated(t testing.TB, box *decade.Box, m *Meter, rs []Reading, rule conformity.Rule) *Report {
	t.Helper()
	r, err := Evaluate(box, m, rs, rule)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func row(t testing.TB, r *Report, text string) Row {
	t.Helper()
	s, err := r.Box.ParseSetting(text)
	if err != nil {
		t.Fatal(err)
	}
	rows := r.At(s)
	if len(rows) == 0 {
		t.Fatalf("no row of %s", text)
	}
	return rows[0]
}

func TestPublishedMeterLimit(t *testing.T) {
	gum := Range{FullScale: 1, OfReading: 14e-6, OfRange: 2e-6}
	for _, p := range []struct {
		uncertaintytest.Published
		got float64
	}{
		{uncertaintytest.Published{Name: "limit of a voltmeter", Source: "JCGM 100:2008", Place: "4.3.7 example 2", Printed: "15e-6", Provenance: uncertaintytest.Seen}, gum.Limit(0.928571, 0)},
		{uncertaintytest.Published{Name: "its standard uncertainty", Source: "JCGM 100:2008", Place: "4.3.7 example 2", Printed: "8.7e-6", Provenance: uncertaintytest.Seen}, gum.Limit(0.928571, 0) / gum.divisor()},
	} {
		p.Run(t, p.got)
	}
}

// Whole budget of one reading: the meter part is the one limit, resolution comes on
// top.
func TestUncertaintyOfOneReading(t *testing.T) {
	box := threeDials(t)
	r := evaluated(t, box, fourWire(), read(t, box, map[string]float64{"5-0-0": 500.01}), conformity.Guarded(1))
	got := row(t, r, "5-0-0")
	limit := 1e-4*500.01 + 1e-6*1000
	want := math.Hypot(limit/math.Sqrt(3), 1e-4/math.Sqrt(12))
	b, err := uncertainty.Evaluate(got.Measured)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.StandardUncertainty-want) > 1e-12*want {
		t.Errorf("u %v, want %v", b.StandardUncertainty, want)
	}
}

// Readings of one range share its gain error: in a difference only the step keeps it.
func TestSharedGain(t *testing.T) {
	box := threeDials(t)
	m := fourWire()
	m.Ranges[0].OfRange, m.Ranges[0].Resolution = 0, 0
	r := evaluated(t, box, m, read(t, box, map[string]float64{"5-0-0": 500, "4-0-0": 400}), conformity.Guarded(1))
	b, err := uncertainty.Evaluate(row(t, r, "5-0-0").Measured.Sub(row(t, r, "4-0-0").Measured))
	if err != nil {
		t.Fatal(err)
	}
	if want := 100 * 1e-4 / math.Sqrt(3); math.Abs(b.StandardUncertainty-want) > 1e-12 {
		t.Errorf("u of the step %v, want %v", b.StandardUncertainty, want)
	}
	if n := len(b.Components); n != 1 {
		t.Errorf("%d components, want the gain alone: %v", n, b)
	}
}

// The same readings evaluated twice are one set of sources where serial and session
// say so.
func TestReadTwiceStaysCorrelated(t *testing.T) {
	box := threeDials(t)
	rs := read(t, box, map[string]float64{"5-0-0": 500.01})
	rs[0].Session = "2026-03-01"
	a := row(t, evaluated(t, box, fourWire(), rs, conformity.Guarded(1)), "5-0-0")
	b := row(t, evaluated(t, box, fourWire(), rs, conformity.Guarded(1)), "5-0-0")
	d, err := uncertainty.Evaluate(a.Measured.Sub(b.Measured))
	if err != nil {
		t.Fatal(err)
	}
	if d.StandardUncertainty > 1e-15 {
		t.Errorf("u of the difference %v, want 0", d.StandardUncertainty)
	}
}

// A deviation that stands on a limit in decimals is on it, whatever binary says:
// 7002.60 − 7000 against 2.6.
func TestOnTheLimit(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "one dial", ResidualIncluded: true,
		Decades: []decade.Decade{{Step: 1000, Tolerance: 0.0002, Floor: 1.2}}})
	if err != nil {
		t.Fatal(err)
	}
	m := fourWire()
	for value, want := range map[float64]conformity.Verdict{
		7002.60: conformity.VerdictConforms, 6997.40: conformity.VerdictConforms, 7002.601: conformity.VerdictDoesNotConform, 6997.399: conformity.VerdictDoesNotConform,
	} {
		r := evaluated(t, box, m, read(t, box, map[string]float64{"7": value}), conformity.Simple())
		got := row(t, r, "7")
		if got.Verdict != want {
			t.Errorf("%v against %v: %v, want %v (deviation %v)", value, got.Limits, got.Verdict,
				want, got.Budget().Estimate)
		}
	}
	if v, nominal, limit := 7002.60, 7000.0, 2.6; v-nominal == limit {
		t.Error("binary arithmetic agrees: the test shows nothing")
	}
}

func TestVerdicts(t *testing.T) {
	box := threeDials(t) // 100 Ω per step within 0.1 %
	m := fourWire()      // U about 12 mΩ at 100 Ω
	r := evaluated(t, box, m, read(t, box, map[string]float64{
		"0-0-0": 0, "1-0-0": 100.05, "2-0-0": 200.21, "3-0-0": 300.7, "4-0-0": 399.2,
	}), conformity.Guarded(1))
	for text, want := range map[string]conformity.Verdict{
		"1-0-0": conformity.VerdictConforms, "2-0-0": conformity.VerdictUndecided, "3-0-0": conformity.VerdictDoesNotConform, "4-0-0": conformity.VerdictDoesNotConform,
	} {
		if got := row(t, r, text); got.Verdict != want {
			t.Errorf("%s: %v, want %v (deviation %v, U %v)", text, got.Verdict, want,
				got.Budget().Estimate, got.Expanded.U)
		}
	}
	if got := row(t, r, "1-0-0"); math.Abs(got.UncertaintyRatio-0.1/got.Expanded.U) > 1e-12 {
		t.Errorf("test uncertainty ratio %v, want %v", got.UncertaintyRatio, 0.1/got.Expanded.U)
	}
	zero := row(t, r, "0-0-0")
	if zero.Judged || !math.IsNaN(zero.UncertaintyRatio) {
		t.Errorf("zero setting without limits: judged %v, ratio %v", zero.Judged, zero.UncertaintyRatio)
	}
	if got, want := r.Summary(StageAsFound),
		(Summary{Settings: 5, Conform: 1, DoNotConform: 2, Undecided: 1,
			NotJudged: 1}); got != want {
		t.Errorf("summary %+v, want %+v", got, want)
	}
	if r.Conforms() || r.Verdict() != conformity.VerdictDoesNotConform {
		t.Errorf("verdict %v", r.Verdict())
	}
	if !slices.ContainsFunc(r.Warnings, func(err error) bool { return errors.Is(err, ErrAsFound) }) {
		t.Errorf("no warning of the as-found failure in %v", r.Warnings)
	}
}

// The two conventions: included, the terminals count; excluded, what lies above the
// measured zero, or above the stated residual.
func TestResidual(t *testing.T) {
	for _, test := range []struct {
		name     string
		included bool
		zero     bool
		null     Null
		want     float64
	}{
		{"included", true, true, NullNone, 0.05},
		{"above the measured zero", false, true, NullNone, 0.05 - 0.03},
		{"above the stated residual", false, false, NullNone, 0.05 - 0.02},
		{"null with the leads joined", false, false, NullLeadsJoined, 0.05 - 0.02},
		{"null with the box at zero", false, false, NullBoxAtZero, 0.05},
		{"null with the box at zero, residual included", true, false, NullBoxAtZero, 0.05 + 0.02},
	} {
		t.Run(test.name, func(t *testing.T) {
			box, err := decade.New(decade.Spec{Name: "b", Residual: 0.02, ResidualTolerance: 0.004,
				ResidualIncluded: test.included,
				Decades:          []decade.Decade{{Step: 100, Tolerance: 0.001}}})
			if err != nil {
				t.Fatal(err)
			}
			m := fourWire()
			if test.null != NullNone {
				m.Wiring = WiringTwoWire
			}
			m.Leads.Null = test.null
			values := map[string]float64{"1": 100.05}
			if test.zero {
				values["0"] = 0.03
			}
			r := evaluated(t, box, m, read(t, box, values), conformity.Guarded(1))
			if got := row(t, r, "1").Deviation.Estimate(); math.Abs(got-test.want) > 1e-12 {
				t.Errorf("deviation %v, want %v", got, test.want)
			}
		})
	}
}

func TestZeroSettingIsJudgedByItsOwnLimit(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "b", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{{Step: 100, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	for value, want := range map[float64]conformity.Verdict{0.02: conformity.VerdictConforms,
		0.0301: conformity.VerdictUndecided, 0.05: conformity.VerdictDoesNotConform} {
		r := evaluated(t, box, fourWire(), read(t, box, map[string]float64{"0": value}), conformity.Guarded(1))
		if got := row(t, r, "0"); got.Verdict != want || !got.Judged {
			t.Errorf("residual %v: %v, want %v", value, got.Verdict, want)
		}
	}
}

func TestLeads(t *testing.T) {
	box := threeDials(t)
	m := fourWire()
	m.Wiring = WiringTwoWire
	m.Leads = Leads{Resistance: 0.3, Tolerance: 0.05}
	r := evaluated(t, box, m, read(t, box, map[string]float64{"1-0-0": 100.3}), conformity.Guarded(1))
	got := row(t, r, "1-0-0")
	if e := got.Measured.Estimate(); e != 100 {
		t.Errorf("measured %v, want 100", e)
	}
	if !hasComponent(got.Budget(), "leads", 0.05/math.Sqrt(3)) {
		t.Errorf("no component of the leads in\n%v", got.Budget())
	}
}

func hasComponent(b *uncertainty.Budget, name string, contribution float64) bool {
	return slices.ContainsFunc(b.Components, func(c uncertainty.Component) bool {
		return strings.HasPrefix(c.Name, name) && math.Abs(math.Abs(c.Contribution)-contribution) < 1e-9*contribution
	})
}

// Contact variation is drawn once for each dialling; repeats do not reduce it.
func TestContactIsDrawnPerDialling(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "b", Contact: 0.001,
		Decades: []decade.Decade{{Step: 100}, {Step: 10}, {Step: 1}, {Step: 0.1}}})
	if err != nil {
		t.Fatal(err)
	}
	s, err := box.ParseSetting("1-0-0-0")
	if err != nil {
		t.Fatal(err)
	}
	rs := []Reading{{Setting: s, Values: []float64{100, 100, 100, 100, 100}}, {Setting: s, Values: []float64{100}}}
	r := evaluated(t, box, fourWire(), rs, conformity.Guarded(1))
	for _, got := range r.At(s) {
		// One contact for each of the four dials, those at zero included.
		if !hasComponent(got.Budget(), "contacts at 1-0-0-0", 0.001*2) {
			t.Errorf("dialling %d: contact variation is not one draw in\n%v", got.Reading.Dialling, got.Budget())
		}
	}
	b, err := uncertainty.Evaluate(r.Rows[0].Measured.Sub(r.Rows[1].Measured))
	if err != nil {
		t.Fatal(err)
	}
	if b.StandardUncertainty < 0.002*math.Sqrt2 {
		t.Errorf("u of the difference of two diallings %v, want at least %v", b.StandardUncertainty, 0.002*math.Sqrt2)
	}
}

func TestRepeatability(t *testing.T) {
	box := threeDials(t)
	m := fourWire()
	m.Ranges[0].Resolution = 0
	s, _ := box.ParseSetting("1-0-0")
	z, _ := box.ParseSetting("0-0-1")
	four := []float64{100.001, 100.002, 100.003, 100.004}
	two := []float64{1.000, 1.002}
	r := evaluated(t, box, m, []Reading{{Setting: s, Values: four}, {Setting: z, Values: two}}, conformity.Guarded(1))
	// Four have their own standard deviation, sqrt(5/3) mΩ.
	if !hasComponent(r.Rows[0].Budget(), "repeatability at 1-0-0", 1e-3*math.Sqrt(5.0/3)/2) {
		t.Errorf("own standard deviation:\n%v", r.Rows[0].Budget())
	}
	// Two take the pooled one: (5 + 2)/(3 + 1) mΩ².
	if !hasComponent(r.Rows[1].Budget(), "repeatability at 0-0-1", 1e-3*math.Sqrt(7.0/4)/math.Sqrt2) {
		t.Errorf("pooled standard deviation:\n%v", r.Rows[1].Budget())
	}
	for _, c := range r.Rows[1].Budget().Components {
		if strings.HasPrefix(c.Name, "repeatability") && (c.DOF != 4 || c.Type != uncertainty.EvaluationA) {
			t.Errorf("pooled component %+v, want type A with 4 degrees of freedom", c)
		}
	}
}

// A mean of both polarities removes a thermal EMF; one polarity has its limit in the
// budget.
func TestPolarity(t *testing.T) {
	box := threeDials(t)
	m := fourWire()
	m.OffsetCompensated, m.ThermalEMF, m.Ranges[0].Current = false, 1e-6, 1e-3
	s, _ := box.ParseSetting("0-0-1")
	r := evaluated(t, box, m,
		[]Reading{{Setting: s, Values: []float64{1.001}, Reversed: []float64{0.999}},
			{Setting: s, Values: []float64{1.001}}}, conformity.Guarded(1))
	if got := r.Rows[0].Measured.Estimate(); got != 1 {
		t.Errorf("mean of the polarities %v, want 1", got)
	}
	// 1 µV at 1 mA is 1 mΩ.
	if hasComponent(r.Rows[0].Budget(), "thermal EMF", 1e-3/math.Sqrt(3)) {
		t.Error("thermal EMF in the budget of both polarities")
	}
	if !hasComponent(r.Rows[1].Budget(), "thermal EMF", 1e-3/math.Sqrt(3)) {
		t.Errorf("no thermal EMF in the budget of one polarity:\n%v", r.Rows[1].Budget())
	}
}

// 1 MΩ with a leak of 10 GΩ reads 100 ppm low at the most: the correction is half of
// it, u = R²/(√12·X).
func TestInsulation(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true,
		Decades: []decade.Decade{{Step: 1e6, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	m := fourWire()
	m.Ranges[0].FullScale, m.Insulation = 1e6, 1e10
	r := evaluated(t, box, m, read(t, box, map[string]float64{"1": 1e6}), conformity.Guarded(1))
	if got := r.Rows[0].Deviation.Estimate(); math.Abs(got-50) > 1e-6 {
		t.Errorf("correction %v Ω, want 50", got)
	}
	if !hasComponent(r.Rows[0].Budget(), "leakage", 100/math.Sqrt(12)) {
		t.Errorf("leakage:\n%v", r.Rows[0].Budget())
	}
}

func TestTemperatureCorrection(t *testing.T) {
	reference := 23.0
	box, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true,
		ReferenceTemperature: &reference, Decades: []decade.Decade{
			{Step: 1000, Tolerance: 0.001, Law: thermal.NewLaw(23, 8e-6, -0.5e-6)}}})
	if err != nil {
		t.Fatal(err)
	}
	m := fourWire()
	m.Thermometer = 0.3
	rs := read(t, box, map[string]float64{"1": 1000.0339})
	rs[0].Temperature = new(26.5)
	r := evaluated(t, box, m, rs, conformity.Guarded(1))
	// +21.875 ppm at 26.5 °C (8·3.5 − 0.5·3.5², by hand).
	if got, want := r.Rows[0].Measured.Estimate(), 1000.0339-0.021875; math.Abs(got-want) > 1e-9 {
		t.Errorf("at reference temperature %v, want %v", got, want)
	}
	if !hasComponent(r.Rows[0].Budget(), "thermometer", 1000*(8e-6-1e-6*3.5)*0.3/math.Sqrt(3)) {
		t.Errorf("thermometer:\n%v", r.Rows[0].Budget())
	}
}

func TestOverload(t *testing.T) {
	box := threeDials(t)
	m := fourWire()
	m.Ideal, m.Ranges = true,
		[]Range{{Name: "100 Ω", FullScale: 100, OverRange: 1.2},
			{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2}}
	one, _ := box.ParseSetting("5-0-0")
	r := evaluated(t, box, m,
		[]Reading{{Setting: one, Overload: true}, {Setting: one, Overload: true, Range: "100 Ω"}},
		conformity.Guarded(1))
	if got := r.Rows[0]; !got.Open || got.Verdict != conformity.VerdictDoesNotConform ||
		got.Budget() != nil || !got.Measured.IsZero() {
		t.Errorf("above the largest range: %+v", got)
	}
	if got := r.Rows[1]; got.Open || got.Judged {
		t.Errorf("above a range that does not reach the setting: %+v", got)
	}
	if len(r.Findings) != 1 || r.Findings[0].Kind != FindingOpen {
		t.Errorf("findings %v", r.Findings)
	}
}

// simulate reads every position of a one-dial box whose elements are given.
func simulate(t testing.TB, box *decade.Box, elements []float64, contact map[int]float64) []Reading {
	t.Helper()
	values := map[string]float64{}
	sum := 0.01
	for p := range len(elements) + 1 {
		if p > 0 {
			sum += elements[p-1]
		}
		values[fmt.Sprint(p)] = math.Round(1e5*(sum+contact[p])) / 1e5
	}
	return read(t, box, values)
}

func oneDial(t testing.TB) *decade.Box {
	t.Helper()
	box, err := decade.New(decade.Spec{Name: "one dial", Residual: 0.01, ResidualTolerance: 0.005,
		Decades: []decade.Decade{{Name: "100 Ω", Step: 100, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	return box
}

func elements(changed map[int]float64) []float64 {
	out := make([]float64, 10)
	for i := range out {
		out[i] = 100
		if v, ok := changed[i+1]; ok {
			out[i] = v
		}
	}
	return out
}

// Facts of the trade, common practice: the signatures of simple faults of a tapped dial
// read position by position.
func TestPublishedSignatures(t *testing.T) {
	box := oneDial(t)
	for _, test := range []struct {
		name     string
		elements []float64
		contact  map[int]float64
		kind     FindingKind
		first    string // first setting that shows it
		settings int
		says     string
	}{
		{"a shorted first element makes positions 0 and 1 alike and every later one a step low", elements(map[int]float64{1: 0}), nil, FindingStep, "1", 10, "from position 0 to 1"},
		{"a drifted element is carried by all positions from its own up", elements(map[int]float64{4: 101}), nil, FindingStep, "4", 7, "from position 3 to 4"},
		{"a dirty contact is at its position only", elements(nil), map[int]float64{3: 2.5}, FindingPosition, "3", 1, "Position 3"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := evaluated(t, box, fourWire(), simulate(t, box, test.elements, test.contact), conformity.Guarded(1))
			if len(r.Findings) != 1 {
				t.Fatalf("findings %v, want one", r.Findings)
			}
			f := r.Findings[0]
			if f.Kind != test.kind || len(f.Settings) != test.settings ||
				f.Settings[0].String() != test.first || !strings.Contains(f.String(), test.says) {
				t.Errorf("finding %v %v: %s", f.Kind, f.Settings, f)
			}
		})
	}
	t.Run("a shorted first element, by numbers", func(t *testing.T) {
		r := evaluated(t, box, fourWire(), simulate(t, box, elements(map[int]float64{1: 0}), nil),
			conformity.Guarded(1))
		if d := row(t, r, "1").Measured.Estimate() - row(t, r, "0").Measured.Estimate(); d != 0 {
			t.Errorf("positions 0 and 1 differ by %v", d)
		}
		for p := 1; p <= 10; p++ {
			if d := row(t, r, fmt.Sprint(p)).Deviation.Estimate(); math.Abs(d+100) > 1e-9 {
				t.Errorf("position %d deviates by %v, want -100", p, d)
			}
		}
	})
}

// A step is carried by the positions that were not read alone, too, and by those behind them: a
// sheet that is filled in by half has one fact and not one for each gap. What another step behind
// a gap adds is not covered.
func TestStepBeforeAGap(t *testing.T) {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Tolerance: 0.001},
		{Step: 10, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	values := map[string]float64{"0-0": 0, "2-0": 200, "3-0": 300, "4-0": 401, "5-7": 571,
		"8-0": 801, "9-0": 901, "0-7": 70}
	r := evaluated(t, box, fourWire(), read(t, box, values), conformity.Guarded(1))
	if len(r.Findings) != 1 || !strings.Contains(r.Findings[0].String(),
		"Positions 4, 8 to 9 show it.") || r.Findings[0].Kind != FindingStep {
		t.Errorf("findings %v; want the step from 3 to 4 alone", r.Findings)
	}
	values["8-0"], values["9-0"] = 803, 903
	r = evaluated(t, box, fourWire(), read(t, box, values), conformity.Guarded(1))
	if len(r.Findings) != 2 || r.Findings[1].Kind != FindingOutOfClass ||
		len(r.Findings[1].Settings) != 2 {
		t.Errorf("findings %v; want 8-0 and 9-0 beside the step from 3 to 4", r.Findings)
	}
}

// Relative figures change to per cent where their digits end, and not in an exponent.
func TestRelativeText(t *testing.T) {
	for f, want := range map[float64]string{0: "0", 9.94e-4: "+990 ppm", -9.96e-4: "-0.0996 %",
		0.001 - 1e-18: "+0.1 %", 0.00123: "+0.123 %"} {
		if got := relativeText(f); got != want {
			t.Errorf("%v is %q; want %q", f, got, want)
		}
	}
}

func TestHealthyBoxHasNoFindings(t *testing.T) {
	box := oneDial(t)
	r := evaluated(t, box, fourWire(),
		simulate(t, box, elements(map[int]float64{2: 100.03, 7: 99.96}), nil),
		conformity.Guarded(1))
	if len(r.Findings) != 0 || !r.Conforms() {
		t.Errorf("verdict %v, findings %v", r.Verdict(), r.Findings)
	}
	if len(r.Increments) != 10 {
		t.Errorf("%d increments, want 10", len(r.Increments))
	}
}

// Two diallings that differ are data: a contact, not a contradiction.
func TestDiallingsThatDiffer(t *testing.T) {
	box := oneDial(t)
	rs := simulate(t, box, elements(nil), map[int]float64{6: 0.35})
	s, _ := box.ParseSetting("6")
	rs = append(rs, Reading{Setting: s, Values: []float64{600.14}})
	r := evaluated(t, box, fourWire(), rs, conformity.Guarded(1))
	if len(r.Findings) != 1 || r.Findings[0].Kind != FindingScatter ||
		r.Findings[0].Position != 6 || math.Abs(r.Findings[0].Value-0.22) > 0.01 {
		t.Errorf("findings %v", r.Findings)
	}
}

// A meter that cannot decide is a finding about the meter, said once.
func TestTooCoarse(t *testing.T) {
	box := oneDial(t)
	m := fourWire()
	m.Ranges[0].OfReading = 0.01
	r := evaluated(t, box, m, simulate(t, box, elements(nil), nil), conformity.Guarded(1))
	n := 0
	for _, w := range r.Warnings {
		if errors.Is(w, ErrTooCoarse) {
			n++
		}
	}
	if n != 1 {
		t.Errorf("%d warnings of the meter, want one: %v", n, r.Warnings)
	}
}

func TestSmallestUncertainty(t *testing.T) {
	box := oneDial(t)
	r := evaluated(t, box, fourWire(), simulate(t, box, elements(nil), nil), conformity.Rule{Multiple: 1, Smallest: 5})
	for _, row := range r.Rows {
		if row.Expanded.U < 5 {
			t.Errorf("%v: U %v below the floor", row.Setting, row.Expanded.U)
		}
	}
}

func TestEvaluateRefuses(t *testing.T) {
	box := threeDials(t)
	other := threeDials(t)
	s, _ := box.ParseSetting("1-0-0")
	foreign, _ := other.ParseSetting("1-0-0")
	good := []Reading{{Setting: s, Values: []float64{100}}}
	meter := func(change func(*Meter)) *Meter {
		m := fourWire()
		change(m)
		return m
	}
	for _, test := range []struct {
		name     string
		box      *decade.Box
		meter    *Meter
		readings []Reading
		rule     conformity.Rule
		cause    error
	}{
		{"no box", nil, fourWire(), good, conformity.Rule{}, ErrEmpty},
		{"no meter", box, nil, good, conformity.Rule{}, ErrEmpty},
		{"no readings", box, fourWire(), nil, conformity.Rule{}, ErrEmpty},
		{"rule", box, fourWire(), good, conformity.Rule{Multiple: -1}, conformity.ErrDomain},
		{"coverage", box, fourWire(), good, conformity.Rule{Coverage: 95}, conformity.ErrDomain},
		{"no setting", box, fourWire(), []Reading{{Values: []float64{1}}}, conformity.Rule{}, ErrEmpty},
		{"setting of another box", box, fourWire(), []Reading{{Setting: foreign, Values: []float64{1}}}, conformity.Rule{}, ErrContradiction},
		{"no value", box, fourWire(), []Reading{{Setting: s}}, conformity.Rule{}, ErrEmpty},
		{"NaN", box, fourWire(), []Reading{{Setting: s, Values: []float64{math.NaN()}}}, conformity.Rule{}, ErrNotFinite},
		{"infinite, reversed", box, fourWire(), []Reading{{Setting: s, Reversed: []float64{math.Inf(1)}}}, conformity.Rule{}, ErrNotFinite},
		{"above range and a value", box, fourWire(), []Reading{{Setting: s, Values: []float64{1}, Overload: true}}, conformity.Rule{}, ErrContradiction},
		{"unknown range", box, fourWire(), []Reading{{Setting: s, Values: []float64{1}, Range: "5 Ω"}}, conformity.Rule{}, ErrUnknown},
		{"no range shows it", box, fourWire(), []Reading{{Setting: s, Values: []float64{13000}}}, conformity.Rule{}, ErrNoRange},
		{"its range does not show it", box, fourWire(), []Reading{{Setting: s, Values: []float64{13000}, Range: "1 kΩ"}}, conformity.Rule{}, ErrNoRange},
		{"temperature", box, fourWire(), []Reading{{Setting: s, Values: []float64{1}, Temperature: new(-300.0)}}, conformity.Rule{}, ErrDomain},
		{"one dialling twice", box, fourWire(), []Reading{{Setting: s, Values: []float64{1}, Dialling: 1}, {Setting: s, Values: []float64{2}, Dialling: 1}}, conformity.Rule{}, ErrContradiction},
		{"wiring", box, meter(func(m *Meter) { m.Wiring = WiringNotStated }), good, conformity.Rule{}, ErrNotStated},
		{"no ranges", box, meter(func(m *Meter) { m.Ranges = nil }), good, conformity.Rule{}, ErrEmpty},
		{"range without name", box, meter(func(m *Meter) { m.Ranges[0].Name = "" }), good, conformity.Rule{}, ErrEmpty},
		{"two ranges of one name", box, meter(func(m *Meter) { m.Ranges = append(m.Ranges, m.Ranges[0]) }), good, conformity.Rule{}, ErrContradiction},
		{"full scale 0", box, meter(func(m *Meter) { m.Ranges[0].FullScale = 0 }), good, conformity.Rule{}, ErrDomain},
		{"negative resolution", box, meter(func(m *Meter) { m.Ranges[0].Resolution = -1 }), good, conformity.Rule{}, ErrDomain},
		{"limit of NaN", box, meter(func(m *Meter) { m.Ranges[0].OfReading = math.NaN() }), good, conformity.Rule{}, ErrNotFinite},
		{"per cent written as a number", box, meter(func(m *Meter) { m.Ranges[0].OfReading = 0.5 }), good, conformity.Rule{}, ErrDomain},
		{"over-range below 1", box, meter(func(m *Meter) { m.Ranges[0].OverRange = 0.5 }), good, conformity.Rule{}, ErrDomain},
		{"linearity above the range part", box, meter(func(m *Meter) { m.Ranges[0].Linearity = 0.0011 }), good, conformity.Rule{}, ErrContradiction},
		{"digits without a resolution", box, meter(func(m *Meter) { m.Ranges[0].Digits, m.Ranges[0].Resolution = 3, 0 }), good, conformity.Rule{}, ErrNotStated},
		{"no limits", box, meter(func(m *Meter) { m.Ranges[0].OfReading, m.Ranges[0].OfRange = 0, 0 }), good, conformity.Rule{}, ErrNotStated},
		{"an unknown combination", box, meter(func(m *Meter) { m.Ranges[0].Combine = 3 }), good, conformity.Rule{}, ErrUnknown},
		{"short term above the limits", box, meter(func(m *Meter) { m.Ranges[0].ShortTerm = &Limits{OfReading: 2e-4} }), good, conformity.Rule{}, ErrContradiction},
		{"calibration without points", box, meter(func(m *Meter) { m.Ranges[0].Calibration = &RangeCalibration{} }), good, conformity.Rule{}, ErrEmpty},
		{"leads in four-wire", box, meter(func(m *Meter) { m.Leads.Resistance = 1 }), good, conformity.Rule{}, ErrContradiction},
		{"leads and null", box, meter(func(m *Meter) { m.Wiring = WiringTwoWire; m.Leads = Leads{Resistance: 1, Null: NullLeadsJoined} }), good, conformity.Rule{}, ErrContradiction},
		{"middle of the band", box, meter(func(m *Meter) { m.Temperature = new(math.Inf(1)) }), good, conformity.Rule{}, ErrNotFinite},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := Evaluate(test.box, test.meter, test.readings, test.rule)
			if !errors.Is(err, test.cause) {
				t.Errorf("error %v, want %v", err, test.cause)
			}
		})
	}
}

func TestReportForms(t *testing.T) {
	box := oneDial(t)
	rs := simulate(t, box, elements(map[int]float64{4: 101}), nil)
	s, _ := box.ParseSetting("10")
	rs = append(rs, Reading{Setting: s, Overload: true, Range: "1 kΩ"})
	r := evaluated(t, box, fourWire(), rs, conformity.Guarded(1))
	var text, markdown, csv strings.Builder
	for _, err := range []error{r.WriteText(&text), r.WriteMarkdown(&markdown), r.WriteCSV(&csv)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, form := range map[string]string{"text": text.String(), "markdown": markdown.String(),
		"String": r.String()} {
		for _, want := range []string{"one dial", "test meter", "guard band", "to 4",
			"does not conform", "TUR", "±0.1"} {
			if !strings.Contains(form, want) {
				t.Errorf("%s does not say %q", name, want)
			}
		}
	}
	if n := strings.Count(csv.String(), "\n"); n != len(r.Rows)+1 {
		t.Errorf("%d lines of CSV for %d rows", n, len(r.Rows))
	}
	out, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var back struct {
		Verdict  string
		Findings []struct{ Kind, Text string }
		Rows     []struct {
			Setting   string
			Verdict   string
			Deviation *uncertainty.Budget
		}
	}
	if err := json.Unmarshal(out, &back); err != nil {
		t.Fatal(err)
	}
	if len(back.Rows) != len(r.Rows) || back.Verdict != "does not conform" || len(back.Findings) == 0 {
		t.Errorf("read back %+v", back)
	}
	if got, want := back.Rows[1].Deviation.StandardUncertainty, r.Rows[1].Budget().StandardUncertainty; got != want {
		t.Errorf("u read back %v, want %v", got, want)
	}
}

func TestStages(t *testing.T) {
	box := oneDial(t)
	rs := simulate(t, box, elements(map[int]float64{1: 102}), nil)
	for _, rd := range simulate(t, box, elements(nil), nil) {
		rd.Stage = StageAsLeft
		rs = append(rs, rd)
	}
	r := evaluated(t, box, fourWire(), rs, conformity.Guarded(1))
	if got := r.Summary(StageAsFound).DoNotConform; got != 10 {
		t.Errorf("%d do not conform as found, want 10", got)
	}
	if !r.Conforms() {
		t.Errorf("verdict as left %v", r.Verdict())
	}
	if len(r.Stages()) != 2 || !strings.Contains(r.String(), "As found, 11 of 11 settings judged: ") {
		t.Errorf("report does not keep the stages apart:\n%v", r)
	}
}

// Three values that are all the same, the only ones of their range, are a display that stands still:
// no noise of an infinite uncertainty, and no refusal when the setting is dialled again.
func TestIdenticalRepeats(t *testing.T) {
	b := newBox(t, decade.Decade{Name: "×100", Step: 100, Positions: 2, Tolerance: 1e-3})
	m := coarseMeter()
	var rs []Reading
	for range 2 {
		rs = append(rs, Reading{Setting: settings(t, b, "1")[0], Values: []float64{100.01, 100.01, 100.01}})
	}
	for _, list := range [][]Reading{rs[:1], rs} {
		for _, row := range evaluated(t, b, m, list, conformity.Guarded(1)).Rows {
			if !(row.Expanded.U > 0 && row.Expanded.U < 0.1) {
				t.Errorf("%d readings: U %v, want that of the meter, 50 mΩ", len(list), row.Expanded.U)
			}
		}
	}
}
