// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// stray is one dial with these stray reactances of a step.
func stray(t testing.TB, ohms, henries, farads float64) decade.Setting {
	t.Helper()
	return at(t, box(t, decade.Spec{Decades: []decade.Decade{{Step: ohms, Inductance: henries,
		Capacitance: farads}}}), 1)
}

func TestPublishedImpedance(t *testing.T) {
	s := stray(t, 100, 0.3e-6, 8e-12)
	tau, err := s.TimeConstant()
	if err != nil {
		t.Fatal(err)
	}
	z, err := s.Impedance(100e3)
	if err != nil {
		t.Fatal(err)
	}
	common("100 Ω, 0.3 µH, 8 pF: τ", "L/R − R·C, in ns", "2.2").Run(t, 1e9*tau)
	common("100 Ω, 0.3 µH, 8 pF: phase", "at 100 kHz, ω·τ, in mrad", "1.382").Run(t, 1e3*cmplx.Phase(z))
	common("100 Ω, 0.3 µH, 8 pF: magnitude", "at 100 kHz, (ω²/2)(L²/R² + 2LC − R²C²), in ppm",
		"2.6").Run(t, 1e6*(cmplx.Abs(z)/100-1))
	f, err := stray(t, 100e3, 0, 8e-12).UpperFrequency(0.001)
	if err != nil {
		t.Fatal(err)
	}
	common("100 kΩ, 8 pF: −0.1 %", "|Z| = R/√(1 + (ωRC)²), in kHz", "8.904").Run(t, f/1000)

	// The uncertainty of a time constant from that of a capacitance: R·C.
	tau, err = stray(t, 10e3, 0, 0.02e-12).TimeConstant()
	if err != nil {
		t.Fatal(err)
	}
	uncertaintytest.Published{Name: "10 kΩ, 0.02 pF",
		Source: "Wang et al., Rev. Sci. Instrum. 95 (2023), new method for the time constant of " +
			"resistors",
		Place: "abstract: 0.02 pF is 0.2 ns", Printed: "0.2", Provenance: uncertaintytest.Seen}.Run(t, -1e9*tau)
}

// The textbook form of R and L in series with C across them.
func TestImpedanceOfOneStep(t *testing.T) {
	const r, l, c = 1000, 3e-6, 10e-12
	s := stray(t, r, l, c)
	for _, f := range []float64{0, 50, 1e3, 1e5, 1e6, 1e8} {
		w := 2 * math.Pi * f
		d := (1-w*w*l*c)*(1-w*w*l*c) + w*c*r*w*c*r
		want := complex(r/d, w*(l*(1-w*w*l*c)-r*r*c)/d)
		if got, err := s.Impedance(f); err != nil || cmplx.Abs(got-want) > 1e-12*cmplx.Abs(want) {
			t.Errorf("%v Hz: %v, %v; want %v", f, got, err, want)
		}
	}
	// Flattest where L = (√2 − 1)R²C: what is left at ω is of fourth order.
	flat := stray(t, r, (math.Sqrt2-1)*r*r*c, c)
	z, err := flat.Impedance(1e5)
	if tau := 2 * math.Pi * 1e5 * r * c; err != nil || math.Abs(cmplx.Abs(z)/r-1) > math.Pow(tau, 4) {
		t.Errorf("flattest: |Z|/R − 1 = %v, %v", cmplx.Abs(z)/r-1, err)
	}
}

// Elements, dials, wiring and case together, by adding admittances and impedances by hand,
// and the time constant as the slope of the phase.
func TestImpedanceOfBox(t *testing.T) {
	spec := decade.Spec{Residual: 0.05, Capacitance: 30e-12, Decades: []decade.Decade{
		{Step: 1000, Inductance: 3e-6, Capacitance: 2e-12, DialInductance: 0.1e-6, DialCapacitance: 7e-12},
		{Step: 100, Code: decade.Code1225(), Inductance: 0.3e-6, Capacitance: 1e-12, DialInductance: 0.05e-6},
	}}
	s := at(t, box(t, spec), 3, 7) // 3 × 1 kΩ; elements 2 and 4 of the code: 200 Ω and 500 Ω
	const f = 2e5
	w := complex(0, 2*math.Pi*f)
	across := func(z complex128, c float64) complex128 { return 1 / (1/z + w*complex(c, 0)) }
	thousands := across(3*across(1000+w*3e-6, 2e-12), 7e-12) + w*0.1e-6
	hundreds := across(200+w*0.6e-6, 1e-12) + across(500+w*1.5e-6, 1e-12) + w*0.05e-6
	want := across(0.05+thousands+hundreds, 30e-12)
	got, err := s.Impedance(f)
	if err != nil || cmplx.Abs(got-want) > 1e-12*cmplx.Abs(want) {
		t.Errorf("%v, %v; want %v", got, err, want)
	}
	tau, err := s.TimeConstant()
	z, _ := s.Impedance(1)
	if slope := cmplx.Phase(z) / (2 * math.Pi); err != nil || math.Abs(tau/slope-1) > 1e-6 {
		t.Errorf("τ = %v, %v; slope of the phase %v", tau, err, slope)
	}
	zero, err := s.Box().Zero().Impedance(f)
	if wired := across(0.05+w*0.15e-6, 30e-12); err != nil || cmplx.Abs(zero-wired) > 1e-12*cmplx.Abs(wired) {
		t.Errorf("all at zero: %v, %v; want %v", zero, err, wired)
	}
	for name, upper := range map[string]func(float64) (float64,
		error){"magnitude": s.UpperFrequency, "phase": s.UpperPhaseFrequency} {
		limit, err := upper(0.01)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range []float64{limit / 10, limit * (1 - 1e-9), limit * (1 + 1e-9)} {
			z, _ := s.Impedance(f)
			d := math.Abs(cmplx.Abs(z)/3700.05 - 1)
			if name == "phase" {
				d = math.Abs(cmplx.Phase(z))
			}
			if inside := d <= 0.01; inside != (i < 2) {
				t.Errorf("%s: deviation %v at %v Hz, limit %v Hz", name, d, f, limit)
			}
		}
	}
}

// A box whose stated resistance includes the residual has none beside its elements off
// zero, and all of it at zero: the circuit, its uncertain twin and the time constant.
func TestImpedanceOfIncludedResidual(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.05, ResidualIncluded: true, Capacitance: 30e-12,
		Decades: []decade.Decade{{Step: 100, Inductance: 0.3e-6, DialInductance: 0.1e-6}}})
	const f = 2e5
	w := complex(0, 2*math.Pi*f)
	for position, ohms := range []float64{0.05, 100, 200} {
		s := at(t, b, position)
		henries := 0.1e-6 + 0.3e-6*float64(position)
		series := complex(ohms, 0) + w*complex(henries, 0)
		want := 1 / (1/series + w*30e-12)
		got, err := s.Impedance(f)
		if err != nil || cmplx.Abs(got-want) > 1e-12*cmplx.Abs(want) {
			t.Errorf("position %d: %v, %v; want %v", position, got, err, want)
		}
		of := s.ImpedanceOf(uncertainty.Exact(f))
		twin := complex(of.Re.Estimate(), of.Im.Estimate())
		if of.Re.Err() != nil || cmplx.Abs(twin-want) > 1e-12*cmplx.Abs(want) {
			t.Errorf("position %d, ImpedanceOf: %v, %v; want %v", position, twin, of.Re.Err(), want)
		}
		tau := henries/ohms - ohms*30e-12
		if got, err := s.TimeConstant(); err != nil || math.Abs(got-tau) > 1e-12*math.Abs(tau) {
			t.Errorf("position %d: τ = %v, %v; want %v", position, got, err, tau)
		}
	}
}

// No step is too large for the square of it: a box beyond 1e18 Ω is refused when it is
// made and when it is read, and one of 1e18 Ω has a finite time constant.
func TestTimeConstantOfLargestStep(t *testing.T) {
	for _, step := range []float64{1e19, 1e154, 2e154, 1e200, math.MaxFloat64} {
		spec := decade.Spec{Decades: []decade.Decade{{Step: step, Positions: 1, Capacitance: 1e-12}}}
		if _, err := decade.New(spec); !errors.Is(err, decade.ErrDomain) {
			t.Errorf("step of %v Ω: %v; want ErrDomain", step, err)
		}
		file := fmt.Sprintf(`{"decades": [{"step": %g, "positions": 1, "capacitance": 1e-12}]}`, step)
		var b decade.Box
		if err := json.Unmarshal([]byte(file), &b); !errors.Is(err, decade.ErrDomain) {
			t.Errorf("file with a step of %v Ω: %v; want ErrDomain", step, err)
		}
	}
	tau, err := stray(t, 1e18, 0, 1e-12).TimeConstant()
	if err != nil || math.Abs(tau+1e6) > 1e-6 {
		t.Errorf("1e18 Ω, 1 pF: τ = %v, %v; want −R·C = -1e6 s", tau, err)
	}
}

func TestImpedanceRefuses(t *testing.T) {
	bare, s := at(t, box(t, bench()), 1, 0, 0, 0, 0), stray(t, 100, 1e-6, 0)
	ideal := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1, DialInductance: 1e-6}}}).Zero()
	z := func(s decade.Setting, f float64) error { return second(s.Impedance(f)) }
	for name, c := range map[string]struct {
		err, want error
		contains  string
	}{
		"not stated":      {z(bare, 1), decade.ErrNotStated, "not stated for ×1 kΩ"},
		"time constant":   {second(bare.TimeConstant()), decade.ErrNotStated, "Setting.TimeConstant"},
		"frequency limit": {second(bare.UpperFrequency(0.1)), decade.ErrNotStated, "Setting.UpperFrequency"},
		"negative":        {z(s, -1), decade.ErrDomain, "-1 Hz"},
		"NaN":             {z(s, math.NaN()), decade.ErrNotFinite, "NaN"},
		"overflow":        {z(s, math.MaxFloat64), decade.ErrDomain, "overflows"},
		"fraction":        {second(s.UpperFrequency(0)), decade.ErrDomain, "expected more than 0 and less than 1"},
		"fraction above":  {second(s.UpperFrequency(1)), decade.ErrDomain, "fraction: 1"},
		"phase":           {second(s.UpperPhaseFrequency(2)), decade.ErrDomain, "radians: 2"},
		"fraction NaN":    {second(s.UpperFrequency(math.NaN())), decade.ErrNotFinite, "NaN"},
		"no resistance":   {second(ideal.TimeConstant()), decade.ErrDomain, "resistance: 0"},
		"no resistance f": {second(ideal.UpperFrequency(0.1)), decade.ErrDomain, "resistance: 0"},
		"zero":            {z(bare.Box().Zero(), 1), decade.ErrNotStated, "all dials at zero"},
		"no setting":      {z(decade.Setting{}, 1), decade.ErrNoBox, "zero Setting"},
	} {
		if !errors.Is(c.err, c.want) || !strings.Contains(c.err.Error(), c.contains) {
			t.Errorf("%s: %v; want %v with %q", name, c.err, c.want, c.contains)
		}
	}
}

// Everything that a file can say about ratings, heat and reactances comes back.
func TestUseFieldsInFiles(t *testing.T) {
	const file = `{"capacitance": "30 pF", "decades": [{"step": "1 kΩ", "elementPower": "0.5 W", "maxVoltage": "200 V",
		"thermalResistance": "60 K/W", "inductance": "3 µH", "capacitance": "2 pF", "dialInductance": "0.1 µH", "dialCapacitance": "7 pF"}]}`
	b, err := decade.ReadBox(strings.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	want := decade.Decade{Name: "×1 kΩ", Step: 1000, Positions: 10, ElementPower: 0.5, MaxVoltage: 200,
		ThermalResistance: 60, Inductance: 3e-6, Capacitance: 2e-12, DialInductance: 0.1e-6, DialCapacitance: 7e-12}
	text, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	again, err := decade.ReadBox(strings.NewReader(string(text)))
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range []*decade.Box{b, again} {
		got := b.Decades()[0]
		if fmt.Sprintf("%+v", got) != fmt.Sprintf("%+v", want) || b.Spec().Capacitance != 30e-12 {
			t.Errorf("%+v, %v F; want %+v", got, b.Spec().Capacitance, want)
		}
	}
}

// How far up a setting can be used: capacitance rules at 10 kΩ, inductance at 1 Ω.
func ExampleSetting_UpperFrequency() {
	box, err := decade.New(decade.Spec{Residual: 0.02, Capacitance: 30e-12, Decades: []decade.Decade{
		{Step: 10000, Inductance: 10e-6, Capacitance: 1e-12, DialInductance: 0.1e-6, DialCapacitance: 8e-12},
		{Step: 1, Inductance: 0.05e-6, DialInductance: 0.1e-6},
	}})
	if err != nil {
		log.Fatal(err)
	}
	for _, positions := range [][]int{{1, 0}, {0, 1}} {
		s, err := box.At(positions...)
		if err != nil {
			log.Fatal(err)
		}
		tau, err := s.TimeConstant()
		if err != nil {
			log.Fatal(err)
		}
		f, err := s.UpperFrequency(0.001)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.5g Ω: time constant %+.0f ns, 0.1 %% up to %.0f kHz\n", s.Value(), 1e9*tau, f/1000)
	}
	// Output:
	// 10000 Ω: time constant -389 ns, 0.1 % up to 18 kHz
	// 1.02 Ω: time constant +245 ns, 0.1 % up to 29 kHz
}

// acBox has every stray reactance, each within 30 %.
func acBox(t testing.TB) *decade.Box {
	t.Helper()
	spec := decade.Spec{Name: "AC box", Serial: "7", Residual: 0.02, ResidualTolerance: 0.005,
		Capacitance: 20e-12, StrayTolerance: 0.3}
	for _, step := range []float64{10e3, 1e3, 100, 10} {
		spec.Decades = append(spec.Decades, decade.Decade{Step: step, Tolerance: 0.001, Inductance: step*2e-9 + 20e-9,
			Capacitance: 5e-12, DialInductance: 30e-9, DialCapacitance: 10e-12})
	}
	return box(t, spec)
}

// Both parts are those of Impedance, and without frequency the resistance with its budget.
func TestImpedanceOf(t *testing.T) {
	b := acBox(t)
	for _, positions := range [][]int{{1, 0, 0, 0}, {0, 0, 0, 3}, {10, 10, 10, 10}, {2, 7, 1, 8}, {0, 0, 0, 0}} {
		s := at(t, b, positions...)
		for _, hertz := range []float64{0, 50, 1e3, 1e5} {
			want, err := s.Impedance(hertz)
			if err != nil {
				t.Fatal(err)
			}
			z := s.ImpedanceOf(uncertainty.Exact(hertz))
			if cmplx.Abs(z.Estimate()-want) > 1e-12*cmplx.Abs(want) {
				t.Errorf("%v at %v Hz: %v; want %v", s, hertz, z.Estimate(), want)
			}
			m, err := z.Evaluate()
			if err != nil {
				t.Fatal(err)
			}
			if re, im := m.Budgets[0], m.Budgets[1]; re.Unit != "Ω" || im.Unit != "Ω" ||
				hertz == 0 && im.StandardUncertainty != 0 {
				t.Errorf("%v at %v Hz: %v, %v", s, hertz, re, im)
			}
			if u := evaluate(t, s.Resistance()).StandardUncertainty; hertz == 0 &&
				math.Abs(m.Budgets[0].StandardUncertainty/u-1) > 1e-12 {
				t.Errorf("%v at 0 Hz: u = %v; want that of the resistance, %v", s, m.Budgets[0].StandardUncertainty, u)
			}
		}
	}
	// The limits of a stray inductance are those of the reactance of a low setting.
	s := at(t, box(t, decade.Spec{StrayTolerance: 0.5, Decades: []decade.Decade{{Step: 1, Inductance: 1e-6}}}), 1)
	x := evaluate(t, s.ImpedanceOf(uncertainty.Exact(1000)).Im)
	if want := 2 * math.Pi * 1000 * 0.5e-6 / math.Sqrt(3); math.Abs(x.StandardUncertainty/want-1) > 1e-12 {
		t.Errorf("u of the reactance %v; want %v", x.StandardUncertainty, want)
	}
	// An uncertain frequency makes an uncertain reactance.
	f := uncertainty.Source{Name: "f", Unit: "Hz", Distribution: uncertainty.Normal(1000, 10)}.Input()
	if got := row(t, evaluate(t, s.ImpedanceOf(f).Im), "f").Sensitivity; math.Abs(got/(2*math.Pi*1e-6)-1) > 1e-12 {
		t.Errorf("slope by the frequency %v; want %v", got, 2*math.Pi*1e-6)
	}
	// What two settings share makes their reactances correlated.
	m, err := uncertainty.EvaluateAll(at(t, b, 0, 0, 3, 0).ImpedanceOf(f).Im, at(t, b, 0, 0, 4, 0).ImpedanceOf(f).Im)
	if err != nil {
		t.Fatal(err)
	}
	if r, err := m.Correlation(0, 1); err != nil || r < 0.9 {
		t.Errorf("correlation of two settings of a dial: %v, %v", r, err)
	}
}

func row(t testing.TB, b *uncertainty.Budget, name string) uncertainty.Component {
	t.Helper()
	for _, c := range b.Components {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no row %q", name)
	return uncertainty.Component{}
}

func TestImpedanceOfRefuses(t *testing.T) {
	b := acBox(t)
	s := at(t, b, 1, 0, 0, 0)
	ideal := at(t, box(t, decade.Spec{Decades: []decade.Decade{{Step: 1}}}), 1)
	for name, c := range map[string]struct {
		z    uncertainty.Complex
		want error
	}{
		"negative frequency": {s.ImpedanceOf(uncertainty.Exact(-1)), decade.ErrDomain},
		"no frequency":       {s.ImpedanceOf(uncertainty.Quantity{}), uncertainty.ErrNoQuantity},
		"nothing stated":     {ideal.ImpedanceOf(uncertainty.Exact(1)), decade.ErrNotStated},
		"no setting":         {decade.Setting{}.ImpedanceOf(uncertainty.Exact(1)), decade.ErrNoBox},
	} {
		if _, err := c.z.Evaluate(); !errors.Is(err, c.want) {
			t.Errorf("%s: %v; want %v", name, err, c.want)
		}
	}
	for _, tolerance := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := decade.New(decade.Spec{StrayTolerance: tolerance,
			Decades: []decade.Decade{{Step: 1}}}); err == nil {
			t.Errorf("stray tolerance %v is taken", tolerance)
		}
	}
	text, err := json.Marshal(b)
	if err != nil || !strings.Contains(string(text), `"strayTolerance":"30 %"`) {
		t.Errorf("%s, %v", text, err)
	}
	again, err := decade.ReadBox(strings.NewReader(string(text)))
	if err != nil || again.Spec().StrayTolerance != 0.3 {
		t.Errorf("%v, %v", again, err)
	}
}

// A low setting at 100 kHz: its reactance is known as badly as its inductance, its
// magnitude hardly feels it.
func ExampleSetting_ImpedanceOf() {
	box, err := decade.New(decade.Spec{StrayTolerance: 0.3,
		Decades: []decade.Decade{{Step: 100, Tolerance: 0.001, Inductance: 0.3e-6,
			Capacitance: 8e-12}}})
	if err != nil {
		log.Fatal(err)
	}
	s, err := box.At(1)
	if err != nil {
		log.Fatal(err)
	}
	z := s.ImpedanceOf(uncertainty.Exact(100e3))
	for _, q := range []uncertainty.Quantity{z.Re, z.Im, z.Abs()} {
		b, err := uncertainty.Evaluate(q)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(b.Concise(2))
	}
	// Output:
	// 100.000(58) Ω
	// 0.138(34) Ω
	// 100.000(58) Ω
}
