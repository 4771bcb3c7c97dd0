// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

func evaluated(t testing.TB, b *decade.Box, rs []verify.Reading) *verify.Report {
	t.Helper()
	r, err := verify.Evaluate(b, testMeter(), rs, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func diagnosed(t testing.TB, b *decade.Box, rs []verify.Reading) *Diagnosis {
	t.Helper()
	return diagnosedWith(t, b, testMeter(), rs)
}

func diagnosedWith(t testing.TB, b *decade.Box, meter *verify.Meter, rs []verify.Reading) *Diagnosis {
	t.Helper()
	r, err := verify.Evaluate(b, meter, rs, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	d, err := Diagnose(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func ladderReadings(t testing.TB, b *decade.Box, values ...float64) []verify.Reading {
	t.Helper()
	var rs []verify.Reading
	for p, v := range values {
		rs = append(rs, verify.Reading{Setting: at(t, b, p), Values: []float64{v}})
	}
	return rs
}

// A ladder of ×100 whose step 4 is shorted: readings of the worked case 27 of the working
// notes.
func TestCaseShortedStep(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: []decade.Decade{{Step: 100, Tolerance: 0.0005}}})
	d := diagnosed(t, b, ladderReadings(t, b, 0.02, 100.02, 200.03, 300.02, 300.03, 400.02, 500.02, 600.03, 700.02, 800.03, 900.02))
	if d.Healthy || len(d.Causes) == 0 {
		t.Fatalf("healthy, or no cause: %+v", d)
	}
	c := d.Causes[0]
	want := Place{PartElement, 0, 4}
	if c.Faults[0].A != want || !strings.Contains(c.Sentence, "lement 4 of ×100") || c.Probability < 0.9 {
		t.Errorf("%v", c)
	}
	if len(c.Settings) != 7 || c.Settings[0].Position(0) < 4 {
		t.Errorf("settings that speak for it: %v; expected positions 4 to 10", c.Settings)
	}
}

// A dirty contact at 3: worked case 28. The second dialling differs, and position 4 does
// not carry it.
func TestCaseDirtyContact(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: []decade.Decade{{Step: 1, Tolerance: 0.005}}})
	rs := ladderReadings(t, b, 0.02, 1.02, 2.02, 3.41, 4.02, 5.02, 6.02, 7.02, 8.02, 9.02, 10.02)
	rs = append(rs, verify.Reading{Setting: at(t, b, 3), Values: []float64{3.07}})
	d := diagnosed(t, b, rs)
	c := d.Causes[0]
	want := Place{PartPosition, 0, 3}
	if d.Healthy || c.Kind != KindContact || c.Faults[0].A != want || c.Probability < 0.9 {
		t.Fatalf("%v", c)
	}
	if v := c.Value.Estimate(); v < 0.05 || v > 0.39 || c.Faults[0].Scatter < 0.05 {
		t.Errorf("value %v, scatter %v", c.Value, c.Faults[0].Scatter)
	}
}

// The second 2 of a code 1-2-2-5 shorted: worked case 29.
func TestCaseShortedWeight(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: []decade.Decade{{Step: 1000, Code: decade.Code1225(), Tolerance: 0.0005}}})
	var rs []verify.Reading
	for p := range 11 {
		v := 1000*float64(p) + 0.02
		if p == 4 || p == 9 || p == 10 {
			v -= 2000
		}
		rs = append(rs, verify.Reading{Setting: at(t, b, p), Values: []float64{v}})
	}
	d := diagnosed(t, b, rs)
	want := Place{PartElement, 0, 3}
	if d.Healthy || d.Causes[0].Faults[0].A != want {
		t.Errorf("%v", d.Causes[0])
	}
}

// Tap 4 of ×100 and tap 6 of ×10 touch: worked case 30, found from readings of each dial
// alone and of the printed settings.
func TestCaseTouchBetweenDials(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 100, 10)})
	touch := Fault{Kind: KindDialBridge, A: Place{PartTap, 0, 4}, B: Place{PartTap, 1, 6}}
	var rs []verify.Reading
	settings := append(unique(plan(t, b)), at(t, b, 4, 6), at(t, b, 6, 6), at(t, b, 6, 0), at(t, b, 0, 3))
	for _, s := range unique(settings) {
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{predicted(t, s, touch)}})
	}
	d := diagnosed(t, b, rs)
	c := d.Causes[0]
	if got := c.Faults[0]; d.Healthy || got.Kind != KindDialBridge || len(c.Faults) != 1 ||
		!(got.A == touch.A && got.B == touch.B || got.A == touch.B && got.B == touch.A) {
		t.Errorf("%v", c)
	}
}

// The evidence of the simulation is that of a report.
func TestQuickEvidence(t *testing.T) {
	c := construct(t, "ladders", decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 1000, 100, 10)})
	sp, err := newSpecimen("test", c.model, testMeter(), 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	rs, err := sp.ReadAll(append(c.model.settings, c.model.settings[3])...)
	if err != nil {
		t.Fatal(err)
	}
	a, b := quick(c.model, testMeter(), rs), &evidence{}
	if b, err = gather(evaluated(t, c.box, rs)); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a.observations, b.observations) || !reflect.DeepEqual(a.settings, b.settings) {
		t.Fatal("observations differ")
	}
	for i := range a.observations {
		for j := range a.observations {
			x, y := a.covariance.At(i, j), b.covariance.At(i, j)
			if math.Abs(x-y) > 1e-9*math.Sqrt(a.covariance.At(i, i)*a.covariance.At(j, j)) {
				t.Fatalf("covariance of %d and %d: %v, by the report %v", i, j, x, y)
			}
		}
	}
}

// The condensed account of the readings is that of all diallings.
func TestCircuitOfHealthyBox(t *testing.T) {
	c := construct(t, "ladders", decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 1000, 100, 10)})
	sp, err := newSpecimen("test", c.model, testMeter(), 5, nil)
	if err != nil {
		t.Fatal(err)
	}
	rs, err := sp.ReadAll(append(c.model.settings, c.model.settings[2:9]...)...)
	if err != nil {
		t.Fatal(err)
	}
	p, err := newLinearAccount(c.model, quick(c.model, testMeter(), rs))
	if err != nil {
		t.Fatal(err)
	}
	o, err := Options{}.complete()
	if err != nil {
		t.Fatal(err)
	}
	s := newSearch(p, o)
	a, b := &hypothesis{effect: make([]float64, s.numSettings)}, &hypothesis{}
	s.evaluate(a)
	if err := s.fitCircuit(newProbe(c.model.layout), b); err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.fit-b.fit) > 0.01 || math.Abs(a.chiSquared-b.chiSquared) > 0.01 {
		t.Errorf("fit %v and %v, χ² %v and %v", a.fit, b.fit, a.chiSquared, b.chiSquared)
	}
}

func TestDiagnoseRefuses(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, Decades: []decade.Decade{{Step: 100}}})
	one := []verify.Reading{{Setting: at(t, b, 3), Values: []float64{300}}}
	open := []verify.Reading{{Setting: b.Zero(), Overload: true}, {Setting: at(t, b, 3), Overload: true}}
	good := ladderReadings(t, b, 0.02, 100.02)
	for _, x := range []struct {
		name   string
		r      *verify.Report
		search Options
		err    error
	}{
		{"nil report", nil, Options{}, ErrEmpty},
		{"empty report", &verify.Report{}, Options{}, ErrEmpty},
		{"no rows", &verify.Report{Box: b}, Options{}, ErrEmpty},
		{"one setting", evaluated(t, b, one), Options{}, ErrUndetermined},
		{"open everywhere", evaluated(t, b, open), Options{}, ErrOpen},
		{"three faults", evaluated(t, b, good), Options{Faults: 3}, ErrDomain},
		{"negative distance", evaluated(t, b, good), Options{Distance: -1}, ErrDomain},
		{"distance NaN", evaluated(t, b, good), Options{Distance: math.NaN()}, ErrNotFinite},
		{"no such terminal", evaluated(t, b, good), Options{Strapped: 3}, ErrDomain},
		{"weights without a healthy box", evaluated(t, b, good), Options{Weights: Weights{KindDrift: 1}}, ErrDomain},
		{"negative weight", evaluated(t, b, good), Options{Weights: Weights{KindHealthy: 1, KindDrift: -1}}, ErrDomain},
		{"infinite weight", evaluated(t, b, good), Options{Weights: Weights{KindHealthy: math.Inf(1)}}, ErrNotFinite},
		{"unknown kind", evaluated(t, b, good), Options{Weights: Weights{KindHealthy: 1, 99: 1}}, ErrDomain},
	} {
		_, err := x.search.Diagnose(t.Context(), x.r)
		if !errors.Is(err, x.err) {
			t.Errorf("%s: %v; want %v", x.name, err, x.err)
		}
		if err != nil && !strings.Contains(err.Error(), "expected") {
			t.Errorf("%s: %q does not say what was expected", x.name, err)
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Diagnose(ctx, evaluated(t, b, good)); !errors.Is(err, context.Canceled) {
		t.Errorf("ended context: %v", err)
	}
	var none context.Context
	if _, err := Diagnose(none, evaluated(t, b, good)); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil context: %v", err)
	}
}

// Readings that leave causes open get a next reading, with the cautions.
func TestNextReading(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 100, 10)})
	f := Fault{Kind: KindDrift, A: Place{PartElement, 0, 4}, Value: 5}
	var rs []verify.Reading
	for _, s := range []decade.Setting{b.Zero(), at(t, b, 10, 0), at(t, b, 0, 10), at(t, b, 5, 0), at(t, b, 2, 0)} {
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{predicted(t, s, f)}})
	}
	d := diagnosed(t, b, rs)
	if d.Healthy || !d.Next.Setting.IsValid() {
		t.Fatalf("healthy %v, next %v", d.Healthy, d.Next)
	}
	if p := d.Next.Setting.Position(0); p != 3 && p != 4 {
		t.Errorf("next %v; expected position 3 or 4 of ×100, between those read", d.Next)
	}
	rs = append(rs, verify.Reading{Setting: at(t, b, 3, 0), Values: []float64{predicted(t, at(t, b, 3, 0), f)}}, verify.Reading{Setting: at(t, b, 4, 0), Values: []float64{predicted(t, at(t, b, 4, 0), f)}})
	d = diagnosed(t, b, rs)
	if d.Causes[0].Faults[0].A != f.A {
		t.Errorf("after the reading: %v", d.Causes[0])
	}
}

// What the readings cannot tell apart is one cause: the contact at the last tap, dialled
// once, and the last element.
func TestEqualCauses(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 100)})
	f := Fault{Kind: KindDrift, A: Place{PartElement, 0, 10}, Value: 5}
	var rs []verify.Reading
	for p := range 11 {
		s := at(t, b, p)
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{predicted(t, s, f)}})
	}
	c := diagnosed(t, b, rs).Causes[0]
	places := c.Places()
	for _, want := range []Place{{PartElement, 0, 10}, {PartPosition, 0, 10}} {
		if !slices.Contains(places, want) {
			t.Errorf("%v lacks %v", places, want)
		}
	}
	if c.Probability < 0.9 || c.Odds() < 9 {
		t.Errorf("probability %v, odds %v", c.Probability, c.Odds())
	}
}

// A kind without weight is not considered, and more weight makes a kind more probable.
func TestWeights(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 100)})
	f := Fault{Kind: KindDrift, A: Place{PartElement, 0, 10}, Value: 5}
	var rs []verify.Reading
	for p := range 11 {
		s := at(t, b, p)
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{predicted(t, s, f)}})
	}
	r := evaluated(t, b, rs)
	for _, x := range []struct {
		w    Weights
		want Kind
	}{{Weights{KindHealthy: 100, KindDrift: 20, KindContact: 1e-3}, KindDrift}, {Weights{KindHealthy: 100, KindDrift: 1e-3, KindContact: 20}, KindContact}, {Weights{KindHealthy: 100, KindDrift: 1}, KindDrift}} {
		d, err := Options{Weights: x.w}.Diagnose(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		if d.Causes[0].Kind != x.want {
			t.Errorf("%v: %v, want %v", x.w, d.Causes[0].Kind, x.want)
		}
		if x.w[KindContact] == 0 && len(d.Causes[0].Equal) > 0 {
			t.Errorf("%v: %v considered", x.w, d.Causes[0].Equal)
		}
	}
	if got, want := (Weights{KindHealthy: 3, KindDrift: 1}).String(), "healthy 75 %, drifted element 25 %"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Leakage to the case shows only where the case is strapped to a terminal.
func TestCaseLeak(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 1000, 100)})
	f := Fault{Kind: KindCaseLeak, A: Place{PartTap, 0, 6}, B: Place{PartTerminal, 0, 2}, Value: 1e5}
	var rs []verify.Reading
	for _, s := range unique(plan(t, b)) {
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{predicted(t, s, f)}})
	}
	d, err := Options{Strapped: 2}.Diagnose(t.Context(), evaluated(t, b, rs))
	if err != nil {
		t.Fatal(err)
	}
	if c := d.Causes[0]; c.Kind != KindCaseLeak || math.Abs(c.Faults[0].Value/1e5-1) > 0.05 || !strings.Contains(c.Sentence, "case") {
		t.Errorf("%v", c)
	}
}

// The value comes with an uncertainty that covers the truth.
func TestValueOfBridge(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 1000, 100, 10)})
	inside, n := 0, numTrials(40, 20, 20)
	for seed := range uint64(n) {
		f := Fault{Kind: KindBridge, A: Place{PartTap, 0, 2}, B: Place{PartTap, 0, 7}, Value: 2e4}
		sp, err := NewSpecimen(b, testMeter(), seed, f)
		if err != nil {
			t.Fatal(err)
		}
		rs, err := sp.ReadAll(unique(plan(t, b))...)
		if err != nil {
			t.Fatal(err)
		}
		m := newModel(b, unique(plan(t, b)), 0)
		o, err := Options{Faults: 1}.complete()
		if err != nil {
			t.Fatal(err)
		}
		d, err := o.diagnose(newWork(t.Context(), nil), m, quick(m, testMeter(), rs))
		if err != nil {
			t.Fatal(err)
		}
		v := d.Causes[0].Value
		budget, err := evaluateQuantity(v)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(v.Estimate()-f.Value) < 2*budget {
			inside++
		}
	}
	if inside < n*85/100 {
		t.Errorf("%d of %d within two standard uncertainties", inside, n)
	}
}

func TestSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 1000, 100, 10)})
	settings := unique(plan(t, b))
	read := func(seed uint64, faults ...Fault) []verify.Reading {
		sp, err := NewSpecimen(b, testMeter(), seed, faults...)
		if err != nil {
			t.Fatal(err)
		}
		rs, err := sp.ReadAll(settings...)
		if err != nil {
			t.Fatal(err)
		}
		return rs
	}
	if !reflect.DeepEqual(read(1), read(1)) {
		t.Error("the same seed gives different readings")
	}
	if reflect.DeepEqual(read(1), read(2)) {
		t.Error("different seeds give the same readings")
	}
	outside := 0
	for seed := range uint64(20) {
		for _, r := range read(seed) {
			l := r.Setting.Limits()
			m := 2e-4*r.Values[0] + 0.01 // meter
			if r.Values[0] < l.Lower-m || r.Values[0] > l.Upper+m {
				outside++
			}
		}
	}
	if outside > 0 {
		t.Errorf("%d readings of healthy specimens outside class and meter limits", outside)
	}
	open := read(1, Fault{Kind: KindOpenPath, A: Place{PartLink, 0, 0}})
	for _, r := range open {
		if !r.Overload {
			t.Fatalf("a value %v from an open box", r.Values)
		}
	}
	other := box(t, decade.Spec{Decades: dials(0.001, 10)})
	sp, err := NewSpecimen(b, testMeter(), 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sp.Read(other.Zero()); !errors.Is(err, ErrPlace) {
		t.Errorf("setting of another box: %v", err)
	}
	if _, err := NewSpecimen(nil, testMeter(), 1); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil box: %v", err)
	}
	if _, err := NewSpecimen(b, nil, 1); !errors.Is(err, verify.ErrEmpty) {
		t.Errorf("nil meter: %v", err)
	}
	if _, err := NewSpecimen(b, testMeter(), 1, Fault{Kind: KindDrift}); !errors.Is(err, ErrPlace) {
		t.Errorf("fault without a place: %v", err)
	}
}

// Two runs give the same bits.
func TestDeterministic(t *testing.T) {
	c := construct(t, "ladders", decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 1000, 100, 10)})
	f := []Fault{{Kind: KindBridge, A: Place{PartTap, 0, 3}, B: Place{PartTap, 0, 7}, Value: 1e4}}
	a, err := c.run(1, Options{}, f)
	if err != nil {
		t.Fatal(err)
	}
	b, err := c.run(1, Options{}, f)
	if err != nil {
		t.Fatal(err)
	}
	if a.Causes[0].Probability != b.Causes[0].Probability || !reflect.DeepEqual(a.Causes[0].Faults, b.Causes[0].Faults) {
		t.Errorf("%v, then %v", a.Causes[0], b.Causes[0])
	}
}

// Pruned against full: on a box small enough, every single fault is tried as the first of
// two, and the best pair is the same.
func TestPrunedPairs(t *testing.T) {
	d := dials(0.001, 100, 10)
	d[0].Positions, d[1].Positions = 4, 4
	c := construct(t, "small", decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d})
	rng := rand.New(rand.NewPCG(7, 8))
	compared, equal, wanted := 0, 0, numTrials(20, 8, 8)
	for seed := uint64(0); compared < wanted && seed < 200; seed++ {
		a, _, ok1 := c.drawFault(rng, simulated[rng.IntN(len(simulated))], 20+100*rng.Float64())
		b, _, ok2 := c.drawFault(rng, simulated[rng.IntN(len(simulated))], 20+100*rng.Float64())
		if !ok1 || !ok2 || c.key(a) == c.key(b) || math.IsInf(c.size(c.signature(a)), 1) || math.IsInf(c.size(c.signature(b)), 1) {
			continue
		}
		sp, err := newSpecimen("test", c.model, testMeter(), seed, []Fault{a, b})
		if err != nil {
			continue
		}
		rs, err := sp.ReadAll(append(c.model.settings, c.model.settings...)...)
		if err != nil {
			t.Fatal(err)
		}
		p, err := newLinearAccount(c.model, quick(c.model, testMeter(), rs))
		if err != nil {
			t.Fatal(err)
		}
		pruned, full := bestOf(t, p, firstFaults), bestOf(t, p, 1<<30)
		compared++
		if pruned.score < full.score+5 {
			equal++
		} else {
			t.Logf("%s with %s: pruned %.4g (%s), full %.4g (%s)", a.In(c.box), b.In(c.box), pruned.score, c.describe(pruned), full.score, c.describe(full))
		}
	}
	t.Logf("%d of %d pairs as good as by the full search", equal, compared)
	if equal < compared*9/10 {
		t.Errorf("the pruned search finds a pair as good as the full one in %d of %d", equal, compared)
	}
}

func (c *construction) describe(h *hypothesis) string {
	var words []string
	for _, f := range h.faults {
		words = append(words, f.In(c.box))
	}
	return fmt.Sprintf("%s: χ² %.4g", strings.Join(words, " with "), h.chiSquared)
}

func bestOf(t *testing.T, p *linearAccount, firsts int) *hypothesis {
	t.Helper()
	o, err := Options{}.complete()
	if err != nil {
		t.Fatal(err)
	}
	s := newSearch(p, o)
	s.firsts = firsts
	list, err := s.rankAll(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return list[0]
}

func evaluateQuantity(q uncertainty.Quantity) (u float64, err error) {
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		return 0, err
	}
	return b.StandardUncertainty, nil
}

// Causes are those of every package, and an error has a value only where one was given.
func TestErrorsOfTheModule(t *testing.T) {
	if ErrDomain != verify.ErrDomain || ErrEmpty != uncertainty.ErrEmpty || ErrNotStated != unit.ErrNotStated {
		t.Error("a shared cause is a value of its own")
	}
	_, err := Diagnose(t.Context(), nil)
	e, ok := errors.AsType[*verify.Error](err)
	if !ok || e.Value != nil || e.Op != "fault.Diagnose" {
		t.Errorf("without a report: %#v; expected no value", err)
	}
	_, err = Options{Distance: -1}.Diagnose(t.Context(), nil)
	if e, ok := errors.AsType[*Error](err); !ok || e.Value != -1.0 {
		t.Errorf("distance -1: %#v; expected the value -1", err)
	}
}
