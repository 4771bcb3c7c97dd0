// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// coarseMeter is no better than the box: 0.05 % of reading, but a display of seven
// digits.
func coarseMeter() *Meter {
	return &Meter{Name: "coarse", Serial: "C1", Wiring: WiringFourWire, OffsetCompensated: true, Ranges: []Range{
		{Name: "100 Ω", FullScale: 100, OverRange: 1.2, OfReading: 5e-4, Resolution: 1e-4},
		{Name: "10 kΩ", FullScale: 10e3, OverRange: 1.2, OfReading: 5e-4, Resolution: 1e-3},
	}}
}

// tensBox has two ladders, of 0.02 % and of 0.1 %.
func tensBox(t testing.TB) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "tens", Decades: []decade.Decade{
		{Name: "×10", Step: 10, Tolerance: 0.0002}, {Name: "×1", Step: 1, Tolerance: 0.001},
	}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func certificate(name string, ohms, U float64) uncertainty.Quantity {
	return uncertainty.Source{Name: name, Unit: "Ω", Distribution: uncertainty.Certificate(ohms, U, 2)}.Input()
}

// Substitution: the gain of the meter leaves, the standard comes in.
func TestSubstitute(t *testing.T) {
	box := tensBox(t)
	r := evaluated(t, box, coarseMeter(),
		read(t, box, map[string]float64{"0-0": 0, "10-0": 100.0351, "1-0": 10.0050}),
		conformity.Guarded(1))
	if v := row(t, r, "10-0").Verdict; v != conformity.VerdictUndecided {
		t.Fatalf("the meter alone: %v; want that it cannot be decided", v)
	}
	standard := Standard{Name: "standard 7", Value: certificate("standard 7", 100.0008, 0.0010),
		Reading: Reading{Values: []float64{100.0408}}}
	s, err := r.Substitute(standard)
	if err != nil {
		t.Fatal(err)
	}
	got := row(t, s, "10-0")
	// R_standard + 100.0351 − 100.0408, the meter's own errors being two displays.
	b := evaluatedQuantity(t, got.Measured)
	// The estimate of least variance lies 3e-4 of the correction (1 mΩ² in 58² mΩ²) short of it.
	if want := 99.9951; math.Abs(b.Estimate-want) > 2e-5 {
		t.Errorf("measured %v, want %v", b.Estimate, want)
	}
	if want := math.Sqrt(0.0005*0.0005 + 2*1e-4*1e-4/12); math.Abs(b.StandardUncertainty-want) > 1e-3*want {
		t.Errorf("u %v, want %v", b.StandardUncertainty, want)
	}
	if got.Verdict != conformity.VerdictConforms {
		t.Errorf("verdict %v with the standard; want conforms", got.Verdict)
	}
	// A tenth of it carries a tenth of the gain.
	tenth := evaluatedQuantity(t, row(t, s, "1-0").Measured)
	if want := 10.0050 - 0.1*0.0400; math.Abs(tenth.Estimate-want) > 2e-5 {
		t.Errorf("at 1-0 %v, want %v", tenth.Estimate, want)
	}
	if before := row(t, r, "10-0"); before.Verdict != conformity.VerdictUndecided ||
		len(s.Warnings) != 0 && errors.Is(s.Warnings[0], ErrInconsistent) {
		t.Errorf("the first report changed, or a warning: %v", s.Warnings)
	}
	if !strings.Contains(strings.Join(s.Notes(), " "), "standard 7") {
		t.Error("no note of the substitution")
	}
}

// The worked example of a substitution: a 10 kΩ resistor against a standard with a meter
// that is stable between the two readings, five ratios to the standard (the scatter is
// put into the readings of the unknown). Other influences are in the value of the standard.
func TestPublishedSubstitution(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "10 kΩ",
		Decades: []decade.Decade{{Name: "×10k", Step: 10e3, Positions: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	m := coarseMeter()
	m.Ranges[1].Resolution = 0
	unknown := Reading{Setting: settings(t, box, "1")[0],
		Values: []float64{10000.104, 10000.107, 10000.106, 10000.103, 10000.105}}
	r := evaluated(t, box, m, []Reading{unknown}, conformity.Guarded(1))
	value := certificate("standard", 10000.053, 0.005).
		Add(uncertainty.Input("drift", uncertainty.Rectangular(0.020, 0.010))).
		Add(uncertainty.Input("temperature of the standard", uncertainty.Rectangular(0, 0.00275))).
		Sub(uncertainty.Input("temperature of the unknown", uncertainty.Rectangular(0, 0.0055))).
		Mul(uncertainty.Input("parasitics", uncertainty.Triangular(1, 1e-6)))
	s, err := r.Substitute(Standard{Name: "standard 10 kΩ", Value: value,
		Reading: Reading{Values: []float64{10000, 10000, 10000, 10000, 10000}}})
	if err != nil {
		t.Fatal(err)
	}
	got := evaluatedQuantity(t, row(t, s, "1").Measured)
	for _, p := range []struct {
		name, printed string
		got           float64
	}{{"resistance", "10000.178", got.Estimate}, {"standard uncertainty", "8.33e-3", got.StandardUncertainty}} {
		uncertaintytest.Published{Name: p.name, Printed: p.printed, Source: "EA-4/02 M:2013",
			Place: "supplement S3", Provenance: uncertaintytest.FromMemory}.Run(t, p.got)
	}
}

// Substituted values cover the truth at their probability: independent boxes, meters with
// normal errors, a standard with a normal one.
func TestCoverageOfSubstitution(t *testing.T) {
	const boxes, p = 400, 0.95
	box, m := trialBox(t), labMeter()
	at := settings(t, box, "0-0", "4-0", "4-10", "1-0")
	covered := make([]int, len(at))
	var before, after float64
	for seed := range uint64(boxes) {
		w := newWorld(5000+seed, box, m)
		r := evaluated(t, box, m, w.readings(at), conformity.Guarded(1))
		truth := 50.01
		standard := Standard{
			Name:    "standard 50 Ω",
			Value:   uncertainty.Input("standard 50 Ω", uncertainty.Normal(truth+1e-4*w.rnd.NormFloat64(), 1e-4)),
			Reading: Reading{Values: []float64{w.shown(truth, m.Ranges[1])}, Range: "100 Ω"},
		}
		s, err := r.Substitute(standard)
		if err != nil {
			t.Fatal(err)
		}
		for i, set := range at {
			b := evaluatedQuantity(t, s.At(set)[0].Measured)
			if b.Expanded.Lower <= w.truth(set) && w.truth(set) <= b.Expanded.Upper {
				covered[i]++
			}
		}
		before += evaluatedQuantity(t, r.At(at[1])[0].Measured).StandardUncertainty
		after += evaluatedQuantity(t, s.At(at[1])[0].Measured).StandardUncertainty
	}
	bound := 3.5 * math.Sqrt(p*(1-p)/boxes)
	for i, n := range covered {
		if share := float64(n) / boxes; math.Abs(share-p) > bound {
			t.Errorf("%v: covered in %.1f %%, want %.0f ± %.1f %%", at[i], 100*share, 100*p, 100*bound)
		}
	}
	if after > 0.9*before {
		t.Errorf("u at %v falls from %v to %v only", at[1], before/boxes, after/boxes)
	}
}

func TestSubstituteWarns(t *testing.T) {
	box := tensBox(t)
	r := evaluated(t, box, coarseMeter(), read(t, box, map[string]float64{"10-0": 100.03}), conformity.Guarded(1))
	value := certificate("S", 100, 0.001)
	for _, c := range []struct {
		name string
		s    Standard
		want error
		text string
	}{
		{"meter far outside its limits", Standard{Value: value, Reading: Reading{Values: []float64{100.2}}}, ErrInconsistent, "error of the meter at standard: 0.2 Ω, more than U"},
		{"another range", Standard{Value: value, Reading: Reading{Values: []float64{100.03}, Range: "10 kΩ"}}, ErrNotStated, "it changes nothing"},
	} {
		s, err := r.Substitute(c.s)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(s.Warnings, func(err error) bool {
			return errors.Is(err, c.want) && strings.Contains(err.Error(), c.text)
		}) {
			t.Errorf("%s: warnings %v", c.name, s.Warnings)
		}
	}
	// Two readings of one standard on one range are two diallings of it.
	two := Standard{Name: "S", Value: value, Reading: Reading{Values: []float64{100.03}}}
	if _, err := r.Substitute(two, two); err != nil {
		t.Errorf("a standard read twice: %v", err)
	}
	if s := two.String(); !strings.HasPrefix(s, "S: 100.00000(50)") {
		t.Errorf("%v", s)
	}
}

func TestSubstituteRefuses(t *testing.T) {
	box := tensBox(t)
	rs := read(t, box, map[string]float64{"10-0": 100.03})
	r := evaluated(t, box, coarseMeter(), rs, conformity.Guarded(1))
	value := certificate("S", 100, 0.001)
	for _, c := range []struct {
		name string
		s    Standard
		want error
	}{
		{"no value", Standard{Reading: Reading{Values: []float64{100}}}, ErrEmpty},
		{"no reading", Standard{Value: value}, ErrEmpty},
		{"a setting", Standard{Value: value, Reading: rs[0]}, ErrContradiction},
		{"above range", Standard{Value: value, Reading: Reading{Overload: true}}, ErrNoRange},
		{"not finite", Standard{Value: value, Reading: Reading{Values: []float64{math.NaN()}}}, ErrNotFinite},
		{"temperature", Standard{Value: value, Reading: Reading{Values: []float64{100}, MeterTemperature: new(math.NaN())}}, ErrDomain},
		{"unknown range", Standard{Value: value, Reading: Reading{Values: []float64{100}, Range: "1 Ω"}}, ErrUnknown},
		{"another session", Standard{Value: value, Reading: Reading{Values: []float64{100}, Session: "tomorrow"}}, ErrUnknown},
		{"bad value", Standard{Value: uncertainty.Exact(math.Inf(1)), Reading: Reading{Values: []float64{100}}}, nil},
	} {
		if _, err := r.Substitute(c.s); err == nil || c.want != nil && !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := r.Substitute(); !errors.Is(err, ErrEmpty) {
		t.Errorf("no standard: %v", err)
	}
	if _, err := (&Report{}).Substitute(Standard{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("no evaluation: %v", err)
	}
}

// Ten steps of 1 Ω against one of 10 Ω, on a meter of 0.05 %: no single verdict, and a
// certain statement about the two.
func TestComparisons(t *testing.T) {
	box := tensBox(t)
	for _, c := range []struct {
		name           string
		ten, one       float64 // readings at 0-10 and 1-0
		notBoth, afoll bool
		text           string
	}{
		{"apart", 10.0140, 10.0010, true, false, "0-10 reads +13 mΩ against 1-0, U = 80.4 µΩ: more than both classes together allow (12 mΩ). At least one of the two is outside its class"},
		{"close", 10.0013, 10.0010, false, true, "if 1-0 is inside its class (2 mΩ), so is 0-10 (10 mΩ)"},
		{"between", 10.0100, 10.0010, false, false, "both may be inside their classes"},
	} {
		r := evaluated(t, box, coarseMeter(),
			read(t, box, map[string]float64{"0-0": 0, "0-10": c.ten, "1-0": c.one, "10-0": 100}),
			conformity.Guarded(1))
		if c.name == "apart" {
			for _, s := range []string{"0-10", "1-0"} {
				if v := row(t, r, s).Verdict; v == conformity.VerdictConforms {
					t.Errorf("%s: %v by itself", s, v)
				}
			}
		}
		got, err := r.Comparisons()
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != 1 || got[0].A.String() != "0-10" || got[0].B.String() != "1-0" {
			t.Fatalf("%s: %v", c.name, got)
		}
		if got[0].NotBoth != c.notBoth || got[0].AFollows != c.afoll || got[0].BFollows {
			t.Errorf("%s: %+v", c.name, got[0])
		}
		if s := got[0].String(); !strings.Contains(s, c.text) {
			t.Errorf("%s: %s", c.name, s)
		}
	}
}

// Settings read on different ranges, in different sessions or stages are not compared.
func TestComparisonsNeedOneBench(t *testing.T) {
	box := tensBox(t)
	rs := read(t, box, map[string]float64{"0-10": 10.001, "1-0": 10.002})
	for name, change := range map[string]func(*Reading){
		"range":   func(r *Reading) { r.Range = "10 kΩ" },
		"session": func(r *Reading) { r.Session = "b" },
		"stage":   func(r *Reading) { r.Stage = StageAsLeft },
	} {
		other := slices.Clone(rs)
		change(&other[1])
		got, err := evaluated(t, box, coarseMeter(), other, conformity.Guarded(1)).Comparisons()
		if err != nil || len(got) != 0 {
			t.Errorf("another %s: %v, %v", name, got, err)
		}
	}
}

// A null with the box at zero takes the residual out of the reading of a standard, too.
func TestSubstituteWithNullAtZero(t *testing.T) {
	box := newBox(t, decade.Decade{Name: "×100", Step: 100, Positions: 1})
	m := coarseMeter()
	m.Wiring, m.Leads.Null = WiringTwoWire, NullBoxAtZero
	r := evaluated(t, box, m, read(t, box, map[string]float64{"1": 100.03}), conformity.Guarded(1))
	// The standard reads 100.010 + 0.020 of the meter − 0.010 of the null.
	s, err := r.Substitute(Standard{Name: "S", Value: certificate("S", 100.010, 0.001),
		Reading: Reading{Values: []float64{100.020}}})
	if err != nil {
		t.Fatal(err)
	}
	deviation := row(t, s, "1").Deviation.Estimate()
	if math.Abs(deviation-0.010) > 1e-3 {
		t.Errorf("deviation %v above the zero setting, want 10 mΩ", deviation)
	}
}

func TestComparisonText(t *testing.T) {
	box := newBox(t, decade.Decade{Name: "×10", Step: 10, Positions: 1, Tolerance: 0.01},
		decade.Decade{Name: "×1", Step: 1, Tolerance: 0.0001})
	got, err := evaluated(t, box, coarseMeter(),
		read(t, box, map[string]float64{"0-10": 10.01, "1-0": 10.005}),
		conformity.Guarded(1)).Comparisons()
	if err != nil || len(got) != 1 || !got[0].BFollows {
		t.Fatalf("%v, %v", got, err)
	}
	if s := got[0].String(); !strings.HasSuffix(s, "if 0-10 is inside its class (1 mΩ), so is 1-0 (0.1 Ω).") {
		t.Error(s)
	}
	box = newBox(t, decade.Decade{Name: "×10", Step: 10, Positions: 1}, decade.Decade{Name: "×1", Step: 1})
	got, err = evaluated(t, box, coarseMeter(),
		read(t, box, map[string]float64{"0-10": 10.005, "1-0": 10.01}),
		conformity.Guarded(1)).Comparisons()
	if err != nil || len(got) != 1 {
		t.Fatalf("%v, %v", got, err)
	}
	if s := got[0].String(); s != "0-10 reads -5 mΩ against 1-0, U = 80.1 µΩ." {
		t.Error(s)
	}
}

func evaluatedQuantity(t testing.TB, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A value that is not plausible is compared with nothing: of a setting that was dialled again the
// next one is, and of another none.
func TestComparisonsWithoutSlips(t *testing.T) {
	b := sixDials(t)
	read := func(text string, v float64) Reading {
		return Reading{Setting: at(t, b, text), Values: []float64{v}, Range: "100 Ω"}
	}
	readings := []Reading{
		read("0-0-0-0-10-0", 10.012), read("0-0-0-1-0-0", 20.012), read("0-0-0-2-0-0", 10.012),
	}
	for _, more := range [][]Reading{nil, {read("0-0-0-1-0-0", 10.013)}} {
		r := judge(t, b, wideMeter(), append(slices.Clone(readings), more...))
		got, err := r.Comparisons()
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Implausible) != 1 || len(got) != len(more) {
			t.Fatalf("%v: %v; want %d comparisons", r.Implausible, got, len(more))
		}
		if len(got) > 0 && math.Abs(got[0].Budget.Estimate+0.001) > 1e-9 {
			t.Errorf("%v; want -1 mΩ", got[0])
		}
	}
}

// The values that standards correct are the regression on what the meter made of the standards,
// q − cov(q, y)·cov(y)⁻¹·y, found here by the covariances of all quantities with each other.
func TestSubstitutionAgainstCovariances(t *testing.T) {
	b, m := tensBox(t), coarseMeter()
	for i := range m.Ranges {
		m.Ranges[i].OfRange, m.Ranges[i].Noise = 1e-5, m.Ranges[i].Resolution
	}
	r := evaluated(t, b, m, read(t, b, map[string]float64{
		"0-0": 0.001, "1-0": 10.005, "0-5": 5.002, "10-0": 100.03, "10-10": 110.04}), conformity.Guarded(1))
	a := certificate("A", 100, 0.002)
	standards := []Standard{
		{Name: "A", Value: a, Reading: Reading{Values: []float64{100.03}}},
		{Name: "A", Value: a, Reading: Reading{Values: []float64{100.031}}},
		{Name: "B", Value: certificate("B", 10, 0.0003), Reading: Reading{Values: []float64{10.004}}},
		{Name: "C", Value: certificate("C", 1000, 0.01), Reading: Reading{Values: []float64{1000.2}, Range: "10 kΩ"}},
	}
	e := r.from.fork()
	y, groups, err := e.standardErrors(standards)
	if err != nil {
		t.Fatal(err)
	}
	n := len(y)
	var all []uncertainty.Quantity
	for _, x := range append(slices.Clone(y), e.values...) {
		all = append(all, x.quantity("x"))
	}
	known, err := uncertainty.EvaluateAll(all...)
	if err != nil {
		t.Fatal(err)
	}
	v, found := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	for j := range n {
		found.SetVec(j, known.Budgets[j].Estimate)
		for k := range n {
			v.Set(j, k, known.Covariance.At(j, k))
		}
	}
	if _, _, err := e.correctValues(y, groups); err != nil {
		t.Fatal(err)
	}
	for i := range e.values {
		c, gain := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		for j := range n {
			c.SetVec(j, known.Covariance.At(n+i, j))
		}
		if err := gain.SolveVec(v, c); err != nil {
			t.Fatal(err)
		}
		estimate := known.Budgets[n+i].Estimate - mat.Dot(gain, found)
		u := math.Sqrt(known.Covariance.At(n+i, n+i) - mat.Dot(gain, c))
		got, _, err := uncertainty.Propagate(e.values[i].quantity("x"))
		if err != nil {
			t.Fatal(err)
		}
		if at := e.values[i].estimate(); math.Abs(at-estimate) > 1e-6*u || math.Abs(got-u) > 1e-6*u {
			t.Errorf("%v: %v with u = %v, want %v with %v", e.readings[i].Setting, at, got, estimate, u)
		}
		if before := known.Budgets[n+i].StandardUncertainty; u > 0.95*before {
			t.Errorf("%v: u = %v, %v before: nothing is tried here", e.readings[i].Setting, u, before)
		}
	}
}
