// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

func TestCandidates(t *testing.T) {
	list := []*hypothesis{{score: 1}, {score: 11}, {score: 11.5}}
	if got := likely(list); len(got) != 2 {
		t.Errorf("%d of %d leaders within 10", len(got), len(list))
	}
	if got := likely(slices.Repeat(list[:1], 30)); len(got) != 24 {
		t.Errorf("%d leaders; want 24", len(got))
	}
	s, read := separating(t)
	// Those read, and each dial alone at its end.
	if got := s.candidates(nil); len(got) != 5 || !slices.Equal(got[:3], read) {
		t.Errorf("candidates %v; want those read and 2 more", got)
	}
	// All positions of a dial that the leaders are about.
	about := []*hypothesis{{faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 0, 1}}}}}
	if got := s.candidates(about); len(got) != 6 {
		t.Errorf("candidates about one dial: %v; want 6", got)
	}
	// With the first dial at 1, 2 and 3 the second at 1 and 3, where two dials may touch.
	touch := []*hypothesis{{faults: []Fault{{Kind: KindDialBridge, A: Place{PartTap, 0, 1}, B: Place{PartTerminal, 0, 1}}}}}
	if got := s.candidates(touch); len(got) != 12 || len(unique(got)) != 12 {
		t.Errorf("candidates about two dials: %v; want 12", got)
	}
	// What was dialled twice and agrees, or three times, is not asked for again.
	s.evidence.observations = append(s.evidence.observations, observation{1, 2.1, 3})
	s.evidence.covariance = mat.NewSymDense(4, []float64{0.01, 0, 0, 0, 0, 0.04, 0, 0, 0, 0, 0.09, 0, 0, 0, 0, 0.04})
	if !s.exhausted(read[1]) || s.exhausted(read[2]) {
		t.Error("two agreeing diallings tell all; one does not")
	}
	s.evidence.observations[3].ohms = 4
	if s.exhausted(read[1]) {
		t.Error("two diallings that differ ask for a third")
	}
	s.evidence.overloads = append(s.evidence.overloads, overload{1, 12, 4})
	if !s.exhausted(read[1]) {
		t.Error("three diallings are enough")
	}
}

// The forecast is that of the joint normal distribution of elements and readings.
func TestForecastIsConditional(t *testing.T) {
	s, read := separating(t)
	x := at(t, s.model.layout.box, 1, 0)
	f := s.forecast(x)
	// Readings 0, 02, 20 and the new one 10: elements of 1 %, u = c/√3 each and as much
	// for the dial; the residual; the new reading has the errors of 20, 0.3 Ω.
	ten, one, res := 0.1/math.Sqrt(3), 0.01/math.Sqrt(3), s.model.classLimit[6]/math.Sqrt(3)
	joint := mat.NewSymDense(4, nil)
	dialTen, dialOne := []float64{0, 0, 2, 1}, []float64{0, 2, 0, 0}
	own := [][]float64{{0, 0, 1, 1}, {0, 0, 1, 0}, {0, 1, 0, 0}, {0, 1, 0, 0}}
	for i := range 4 {
		for j := i; j < 4; j++ {
			v := res*res + ten*ten*dialTen[i]*dialTen[j] + one*one*dialOne[i]*dialOne[j]
			for k, u := range []float64{ten, ten, one, one} {
				v += u * u * own[k][i] * own[k][j]
			}
			joint.SetSym(i, j, v)
		}
		joint.SetSym(i, i, joint.At(i, i)+[]float64{0.01, 0.04, 0.09, 0.09}[i])
	}
	var known mat.SymDense
	known.SubsetSym(joint, []int{0, 1, 2})
	var inverse mat.Dense
	if err := inverse.Inverse(&known); err != nil {
		t.Fatal(err)
	}
	with := mat.NewVecDense(3, []float64{joint.At(0, 3), joint.At(1, 3), joint.At(2, 3)})
	var weights mat.VecDense
	weights.MulVec(&inverse, with)
	variance := joint.At(3, 3) - mat.Dot(&weights, with)
	if relative(f.variance, variance) > 1e-9 {
		t.Errorf("variance %v; want %v", f.variance, variance)
	}
	for i, w := range f.weights {
		if math.Abs(w-weights.AtVec(i)) > 1e-9 {
			t.Errorf("weight %d: %v; want %v", i, w, weights.AtVec(i))
		}
	}
	_ = read
}

func TestExpectationsDiffer(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		a, b expectation
		want float64
	}{
		{expectation{2, 1}, expectation{2, 1}, 0},
		{expectation{2, 1}, expectation{4, 1}, 1 - math.Exp(-0.5)},
		{expectation{2, 1}, expectation{2, 9}, 1 - math.Sqrt(0.6)},
		{expectation{2, 1}, expectation{900, 1}, 1},
		{expectation{inf, 0}, expectation{inf, 0}, 0},
		{expectation{inf, 0}, expectation{2, 1}, 1},
		{expectation{2, 1}, expectation{inf, 0}, 1},
	} {
		if got := c.a.differs(c.b); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v and %v: %v; want %v", c.a, c.b, got, c.want)
		}
	}
}

// The next reading is where two leaders differ.
func TestNextSeparates(t *testing.T) {
	s, _ := separating(t)
	hyp := func(f Fault) *hypothesis {
		h := &hypothesis{faults: []Fault{f}, effect: make([]float64, s.numSettings)}
		if err := s.model.predictAll(newProbe(s.model.layout), h.faults, h.effect, nil); err != nil {
			t.Fatal(err)
		}
		for k := range h.effect {
			h.effect[k] -= s.model.nominal[k]
		}
		return h
	}
	// Elements 1 and 2 of the second dial: the settings read carry both or none.
	a, b := hyp(Fault{Kind: KindDrift, A: Place{PartElement, 1, 1}, Value: 0.9}), hyp(Fault{Kind: KindDrift, A: Place{PartElement, 1, 2}, Value: 0.9})
	if best, ok := s.bestReading(newProbe(s.model.layout), []*hypothesis{a, b}); !ok || best.Act != ActDial || !slices.Equal(best.Setting.Positions(), []int{0, 1}) {
		t.Errorf("next %v, %v; want position 1 of the second dial", best, ok)
	}
	if best, ok := s.bestReading(newProbe(s.model.layout), []*hypothesis{a}); ok {
		t.Errorf("one leader: %v", best)
	}
	if best, ok := s.bestReading(newProbe(s.model.layout), []*hypothesis{a, a}); ok {
		t.Errorf("twice the same: %v", best)
	}
}

// stepOf diagnoses a ladder of 10 Ω steps.
func stepOf(t *testing.T, ohms ...float64) *Diagnosis {
	t.Helper()
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 10)})
	return diagnosed(t, b, ladderReadings(t, b, ohms...))
}

// Each kind of state asks for the act that a technician would do, with its caution and no
// other.
func TestSteps(t *testing.T) {
	for _, c := range []struct {
		name string
		ohms []float64
		act  Act
		has  []string
		not  string
	}{
		{"healthy", []float64{0.02, 10.02, 20.02, 30.02, 40.02, 50.02, 60.02, 70.02, 80.02, 90.02, 100.02}, ActNothing, []string{"Nothing more to read"}, "Disconnect"},
		{"one position once", []float64{0.02, 10.02, 20.02, 30.52, 40.02, 50.02, 60.02, 70.02, 80.02, 90.02, 100.02}, ActDialAgain, []string{"back to 3 ", "discharge", "smallest dial", "Local codes"}, "insulation"},
		{"between two positions", []float64{0.02, 10.02, 20.02, 30.02, 40.52, 50.52, 60.52, 70.52, 80.52, 90.52, 100.52}, ActOpen, []string{"element 4 of ×10 Ω, between positions 3 and 4", "discharge it first", "asbestos", "Local codes"}, "smallest dial"},
		{"everything", []float64{0.02, 10.05, 20.08, 30.11, 40.14, 50.17, 60.20, 70.23, 80.26, 90.29, 100.32}, ActKnownResistor, []string{"known value", "on range 100 Ω"}, "asbestos"},
	} {
		d := stepOf(t, c.ohms...)
		if d.Next.Act != c.act {
			t.Errorf("%s: %v (%v); want %v", c.name, d.Next.Act, d.Next, c.act)
		}
		for _, want := range c.has {
			if !strings.Contains(d.Next.String(), want) {
				t.Errorf("%s: %q lacks %q", c.name, d.Next, want)
			}
		}
		if strings.Contains(d.Next.String(), c.not) {
			t.Errorf("%s: %q has %q", c.name, d.Next, c.not)
		}
	}
}

// A contact that differs from dialling to dialling is cleaned; after cleaning the box is
// opened.
func TestCleanThenOpen(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 10)})
	rs := ladderReadings(t, b, 0.02, 10.02, 20.02, 30.52, 40.02, 50.02, 60.02, 70.02, 80.02, 90.02, 100.02)
	rs = append(rs, verify.Reading{Setting: at(t, b, 3), Values: []float64{30.31}}, verify.Reading{Setting: at(t, b, 3), Values: []float64{30.82}})
	d := diagnosed(t, b, rs)
	if d.Next.Act != ActClean || !strings.Contains(d.Next.Text, "position 3 of ×10 Ω") || !strings.Contains(d.Next.String(), "Solvents are flammable") {
		t.Errorf("as found: %v: %v", d.Next.Act, d.Next)
	}
	for i := range rs {
		rs[i].Stage = verify.StageAsLeft
	}
	d = diagnosed(t, b, rs)
	if d.Next.Act != ActOpen || !strings.Contains(d.Next.Text, "position 3 of ×10 Ω") {
		t.Errorf("as left: %v: %v", d.Next.Act, d.Next)
	}
}

// A few milliohms in series of everything may be a thermal EMF, unless the meter deals
// with that or both polarities were read.
func TestReverseFirst(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.001, Contact: 0.0005, Decades: dials(0.001, 1)})
	meter := testMeter()
	meter.OffsetCompensated = false
	read := func() []verify.Reading {
		rs := ladderReadings(t, b, 0.05, 1.05, 2.05, 3.05, 4.05, 5.05, 6.05, 7.05, 8.05, 9.05, 10.05)
		return append(rs, ladderReadings(t, b, 0.05, 1.05, 2.05, 3.05, 4.05, 5.05, 6.05, 7.05, 8.05, 9.05, 10.05)...)
	}
	d := diagnosedWith(t, b, meter, read())
	if d.Causes[0].Kind != KindSeries || d.Next.Act != ActReverse || !strings.Contains(d.Next.Text, "polarity reversed") {
		t.Errorf("%v: %v", d.Causes[0], d.Next)
	}
	rs := read()
	for i := range rs {
		rs[i].Reversed = rs[i].Values
	}
	if d := diagnosedWith(t, b, meter, rs); d.Next.Act == ActReverse {
		t.Errorf("both polarities read: %v", d.Next)
	}
	if d := diagnosedWith(t, b, testMeter(), read()); d.Next.Act != ActKnownResistor || !strings.Contains(d.Next.Text, "Join the leads") {
		t.Errorf("with offset compensation: %v", d.Next)
	}
}

// Where no place is known, the dial is read closer before the box is opened: the middle of
// the widest gap, until it is known.
func TestHalfway(t *testing.T) {
	s, read := separating(t)
	s.byDialling.deviation = []float64{0, 5, 3} // position 2 of 3, 5 Ω of 20 mΩ against 3 Ω of 0.2 Ω
	if x, ok := s.halfway(); !ok || !slices.Equal(x.Positions(), []int{0, 1}) {
		t.Errorf("%v, %v; want position 1 of the second dial", x, ok)
	}
	s.evidence.dialled = map[decade.Setting]int{read[1]: 1, at(t, s.model.layout.box, 0, 1): 1, read[2]: 1}
	if x, ok := s.halfway(); ok {
		t.Errorf("no gap left: %v", x)
	}
}

// A range of the meter that is off: the same settings on the next range, where that is good
// enough to tell, else a known resistor.
func TestOtherRangeFirst(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: dials(0.001, 100, 10, 1)})
	read := func(by float64) []verify.Reading {
		var rs []verify.Reading
		for _, x := range plan(t, b) {
			v := x.Value()
			if v > 12 && v <= 120 {
				v *= 1 + by
			}
			rs = append(rs, verify.Reading{Setting: x, Values: []float64{v}})
		}
		return rs
	}
	rs := read(0.003)
	d := diagnosed(t, b, rs)
	if d.Next.Act != ActOtherRange || d.Next.Range != "1000 Ω" || !strings.Contains(d.Next.Text, "on range 1000 Ω") {
		t.Errorf("%v: %v", d.Causes[0], d.Next)
	}
	// Read there, it is the meter, and no part of the box.
	rs = append(rs, verify.Reading{Setting: d.Next.Setting, Range: "1000 Ω", Values: []float64{d.Next.Setting.Value()}})
	d = diagnosed(t, b, rs)
	if d.Causes[0].Kind != KindMeterGain || d.Next.Act != ActKnownResistor || d.Next.Range != "100 Ω" {
		t.Errorf("after the other range: %v: %v", d.Causes[0], d.Next)
	}
}

// What a touch does is known although its value is not: 1 mΩ and 2 mΩ across 10 Ω are a short. A
// leak of 40 Ω that may be 60 Ω is known as badly as its value.
func TestExpectationOfATouch(t *testing.T) {
	s, _ := separating(t)
	pr := newProbe(s.model.layout)
	x := at(t, s.model.layout.box, 1, 0)
	settings, f := []decade.Setting{x}, s.forecast(x)
	for _, c := range []struct{ ohms, u, want float64 }{
		{1e-3, 1e-3, 1e-3},
		{40, 20, 60*10/70.0 - 40*10/50.0},
	} {
		h := &hypothesis{
			faults:      []Fault{{Kind: KindElementLeak, A: Place{PartElement, 0, 1}, Value: c.ohms}},
			uncertainty: []float64{c.u}, effect: make([]float64, s.numSettings),
		}
		e := s.expect(pr, h, settings, []float64{pr.solve(pr.healthy, x)}, []forecast{f})
		if got := math.Sqrt(e[0].variance - f.variance); math.Abs(got-c.want) > 1e-3*max(1, c.want) {
			t.Errorf("%v ± %v Ω: the expectation is uncertain by %v Ω; want %v", c.ohms, c.u, got, c.want)
		}
	}
}

// Of a pair with a fault of the meter the known resistor is for the range that is suspected, and
// not for that of the setting which the other fault changes most; once, since a short tells of the
// zero what there is to tell.
func TestKnownResistorBesideAnotherFault(t *testing.T) {
	s, read := separating(t)
	s.model.meter = []meterRange{{name: "10 Ω", gain: true, zero: true}, {name: "100 Ω", gain: true, zero: true}}
	s.model.rangeOf = []int{0, 0, 1}
	h := &hypothesis{faults: []Fault{
		{Kind: KindDrift, A: Place{PartElement, 0, 2}, Value: 500},
		{Kind: KindMeterZero, A: Place{Part: PartRange, Number: 1}, Value: 0.5},
	}, effect: []float64{0.5, 0.5, 500}}
	step, ok := s.checkMeter([]*hypothesis{h})
	if !ok || step.Act != ActKnownResistor || step.Range != "10 Ω" || !slices.Contains(read[:2], step.Setting) {
		t.Errorf("%v, %v; want a known resistor on range 10 Ω", step, ok)
	}
	s.model.meter[0].gain = false // a resistor in the upper part of the range says little of its zero
	if _, ok := s.checkMeter([]*hypothesis{h}); !ok {
		t.Error("the zero of the range is still open")
	}
	s.model.meter[0].zero = false
	if step, ok := s.checkMeter([]*hypothesis{h}); ok {
		t.Errorf("%v; want nothing, since the leads were joined", step)
	}
}

// Beside another fault one dialling that differs is dialled again before the box is opened, until it
// was often enough; no row of the readings is looked at in the box.
func TestDiallingBesideAnotherFault(t *testing.T) {
	s, read := separating(t)
	s.model.row = []int{0, 1, 2}
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: 1}
	odd := Fault{Kind: KindDialling, A: Place{Part: PartReading, Number: 2}, Value: 0.7}
	h := &hypothesis{faults: []Fault{drift, odd}, effect: []float64{0, 0.7, 1}}
	if x, ok := s.diallingBeside(h); !ok || x != read[1] {
		t.Errorf("%v, %v; want %v", x, ok, read[1])
	}
	if x, ok := s.diallingBeside(&hypothesis{faults: []Fault{drift}}); ok {
		t.Errorf("%v beside no dialling", x)
	}
	s.evidence.dialled = map[decade.Setting]int{read[1]: mostDiallings}
	if x, ok := s.diallingBeside(h); ok {
		t.Errorf("%v was dialled often enough", x)
	}
	c := &Cause{Kind: KindDrift, Faults: h.faults}
	if step := s.lookInside(c, h); len(step.Places) != 1 || step.Places[0] != drift.A {
		t.Errorf("places %v; want element 1 alone", step.Places)
	}
}

// Beside another fault a dialling that reads high is not said to differ where it alone has a contact
// in its path: dirt there says as much. A low one is, since dirt never reads low.
func TestDiallingBesideItsOwnContact(t *testing.T) {
	for _, c := range []struct {
		own  bool
		off  float64
		want bool
	}{{true, 3, false}, {true, -3, true}, {false, 3, true}, {false, -3, true}} {
		s, _ := separating(t)
		s.evidence.observations[1].ohms += c.off
		p, err := newLinearAccount(s.model, s.evidence)
		if err != nil {
			t.Fatal(err)
		}
		s = newSearch(p, complete(t))
		s.model.row, s.model.ownContact = []int{absent, 1, absent}, []bool{false, c.own, false}
		s.work = newWork(t.Context(), nil)
		first := &hypothesis{
			faults: []Fault{{Kind: KindElementLeak, A: Place{PartElement, 0, 1}, Value: 90}}, effect: scaled(s.model.inCircuit[0], -1), uncertainty: []float64{20},
		}
		v := s.viewBeside(newProbe(s.model.layout), first)
		beside := newSearch(v.linearAccount, complete(t))
		beside.view, beside.work = v, s.work
		v.behind = -1000
		beside.addDiallings()
		if got := len(beside.found) == 1; got != c.want {
			t.Errorf("own contact %v, %+v Ω: a dialling that differs is found %v; want %v", c.own, c.off, got, c.want)
		}
	}
}
