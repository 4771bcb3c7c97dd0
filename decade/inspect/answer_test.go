// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

func testBox(t *testing.T, steps ...float64) *decade.Box {
	t.Helper()
	spec := decade.Spec{Name: "test box", Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005}
	for _, s := range steps {
		spec.Decades = append(spec.Decades, decade.Decade{Step: s, Tolerance: 0.001})
	}
	b, err := decade.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func testMeter() *verify.Meter {
	m := &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire, OffsetCompensated: true}
	for _, f := range []float64{10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9} {
		m.Ranges = append(m.Ranges,
			verify.Range{FullScale: f, OverRange: 1.2, OfReading: 5e-5, OfRange: 5e-6,
				Resolution: f * 1e-6})
	}
	for i := range m.Ranges {
		m.Ranges[i].Name = []string{"10 Ω", "100 Ω", "1 kΩ", "10 kΩ", "100 kΩ", "1 MΩ", "10 MΩ", "100 MΩ", "1 GΩ"}[i]
	}
	return m
}

// readBox reads settings of a box with faults, by prediction.
func readBox(t *testing.T, b *decade.Box, settings []decade.Setting, faults ...fault.Fault) []verify.Reading {
	t.Helper()
	var out []verify.Reading
	for _, s := range settings {
		v, err := fault.Predict(s, faults...)
		if err != nil {
			t.Fatal(err)
		}
		if v > 1e12 {
			out = append(out, verify.Reading{Setting: s, Overload: true})
			continue
		}
		out = append(out, verify.Reading{Setting: s, Values: []float64{v}})
	}
	return out
}

func inspected(t *testing.T, b *decade.Box, readings []verify.Reading) *Answer {
	t.Helper()
	r, err := verify.Evaluate(b, testMeter(), readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	a, err := New(t.Context(), r, fault.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func recommended(t *testing.T, b *decade.Box) []decade.Setting {
	t.Helper()
	p, err := verify.NewPlan(b, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	return p.Settings()
}

// section returns the text of a section; empty where there is none.
func section(a *Answer, title string) string {
	for _, s := range a.Sections() {
		if s.Title == title {
			return strings.Join(s.Texts, "\n")
		}
	}
	return ""
}

// A bridge between two dials of eight is one cause, and no text blames other parts.
func TestBridgeIsNotManyElements(t *testing.T) {
	b := testBox(t, 1e6, 1e5, 1e4, 1e3, 100, 10, 1, 0.1)
	bridge := fault.Fault{Kind: fault.KindDialBridge,
		A: fault.Place{Part: fault.PartTap, Dial: 2, Number: 4},
		B: fault.Place{Part: fault.PartTap, Dial: 3, Number: 6}, Value: 0.01}
	settings := recommended(t, b)
	x, err := b.Zero().With(2, 4)
	if err != nil {
		t.Fatal(err)
	}
	y, err := x.With(3, 6)
	if err != nil {
		t.Fatal(err)
	}
	a := inspected(t, b, readBox(t, b, append(settings, y), bridge))
	wrong := section(a, "What is wrong")
	if c := a.Diagnosis.Causes[0]; c.Kind != fault.KindDialBridge || len(c.Faults) != 1 ||
		!strings.Contains(wrong, "×10 kΩ") || !strings.Contains(wrong, "×1 kΩ") {
		t.Errorf("what is wrong: %s", wrong)
	}
	blamesOneCause(t, a)
}

// A leak across the terminals is one cause, not nine elements.
func TestLeakIsNotNineElements(t *testing.T) {
	b := testBox(t, 1e6, 1e5, 1e4)
	leak := fault.Fault{Kind: fault.KindTerminalLeak,
		A: fault.Place{Part: fault.PartTerminal, Number: 1},
		B: fault.Place{Part: fault.PartTerminal, Number: 2}, Value: 2e9}
	a := inspected(t, b, readBox(t, b, recommended(t, b), leak))
	if c := a.Diagnosis.Causes[0]; c.Kind != fault.KindTerminalLeak || len(c.Faults) != 1 {
		t.Errorf("%v", c)
	}
	blamesOneCause(t, a)
}

// blamesOneCause checks that facts name no part: elements and contacts stand in what is
// wrong and after it only.
func blamesOneCause(t *testing.T, a *Answer) {
	t.Helper()
	if a.Next.Act == fault.ActKnownResistor {
		t.Errorf("the meter is blamed: %v", a.Next)
	}
	facts := section(a, "What was found") + section(a, "Not plausible: verdicts withheld")
	for _, word := range []string{"element ", "contact at", "wiper", "look at"} {
		if strings.Contains(facts, word) {
			t.Errorf("the facts say %q: %s", word, facts)
		}
	}
	if n := strings.Count(a.String(), "Local codes and licensed practice come first."); n > 1 {
		t.Errorf("the caution stands %d times", n)
	}
}

// A healthy box of which all was read is finished, without cautions.
func TestHealthy(t *testing.T) {
	b := testBox(t, 100, 10)
	a := inspected(t, b, readBox(t, b, recommended(t, b)))
	if !a.Finished() || len(a.Cautions()) != 0 || section(a, "Repair") != "" || section(a, "Cautions") != "" {
		t.Errorf("%v", a)
	}
	if s := section(a, "What is wrong"); !strings.HasPrefix(s, "No fault:") || !strings.Contains(s, "more than 99 %") {
		t.Errorf("%q", s)
	}
	if s := a.Strongest(); !s.IsValid() {
		t.Error("no row with a budget")
	}
}

// What was not read is asked for, before a healthy box is called finished.
func TestNotRead(t *testing.T) {
	b := testBox(t, 100, 10)
	var settings []decade.Setting
	for p := range 11 {
		x, err := b.At(p, 0)
		if err != nil {
			t.Fatal(err)
		}
		settings = append(settings, x)
	}
	a := inspected(t, b, readBox(t, b, settings))
	if a.Next.Act != fault.ActDial || a.Next.Setting.Position(1) != 10 ||
		!strings.Contains(a.Next.Text, "×10 Ω") || len(a.Next.Cautions) == 0 {
		t.Errorf("%v", a.Next)
	}
}

// Readings that no fault explains are no finished inspection, and neither is a whole box that is
// off; one dialling that later ones have set right is, once every dial has been read.
func TestFinished(t *testing.T) {
	b := testBox(t, 100, 10)
	whole := inspected(t, b, readBox(t, b, recommended(t, b)))
	part := inspected(t, b, readBox(t, b, []decade.Setting{b.Zero(), whole.Report.Rows[1].Setting}))
	for _, c := range []struct {
		report   *verify.Report
		kind     fault.Kind
		finished bool
		act      fault.Act
		says     string
	}{
		{whole.Report, fault.KindUnexplained, false, fault.ActNothing, "Not finished: none of the faults"},
		{part.Report, fault.KindUnexplained, false, fault.ActNothing, "Not finished: none of the faults"},
		{whole.Report, fault.KindBoxDrift, false, fault.ActNothing, "Not finished: readings at"},
		{whole.Report, fault.KindDialling, true, fault.ActNothing, "one dialling differed"},
		{part.Report, fault.KindDialling, false, fault.ActDial, "Not finished: one more reading"},
	} {
		a, err := Assemble(c.report, &fault.Diagnosis{Causes: []fault.Cause{{
			Faults: []fault.Fault{{Kind: c.kind}}, Probability: 0.99}}})
		if err != nil {
			t.Fatal(err)
		}
		if a.Finished() != c.finished || a.Next.Act != c.act || !strings.HasPrefix(a.Reason(),
			"Finished: ") != !c.finished || !strings.Contains(a.Reason(), c.says) {
			t.Errorf("%v: finished %v, %v, %s; want %+v", c.kind, a.Finished(), a.Next, a.Reason(), c)
		}
	}
}

// A unit that was lost is read again before causes are believed.
func TestImplausibleFirst(t *testing.T) {
	b := testBox(t, 100, 10)
	rs := readBox(t, b, recommended(t, b))
	for i := range rs {
		if p := rs[i].Setting.Positions(); p[0] == 3 && p[1] == 0 {
			rs[i].Values[0] /= 1000
		}
	}
	a := inspected(t, b, rs)
	if a.Next.Act != fault.ActDialAgain || a.Next.Setting.Position(0) != 3 || !strings.Contains(a.Next.Text, "record") {
		t.Errorf("%v", a.Next)
	}
	if !strings.Contains(a.String(), "Not plausible") {
		t.Error("not said")
	}
}

// Too few readings, or none with a value: an answer that says so.
func TestTooFew(t *testing.T) {
	b := testBox(t, 100, 10)
	a := inspected(t, b, readBox(t, b, []decade.Setting{b.Zero()}))
	if a.Diagnosis != nil ||
		!strings.HasPrefix(section(a, "What is wrong"), "No cause can be named yet: ") ||
		a.Next.Act != fault.ActDial || a.Next.Setting.Position(0) != 10 {
		t.Errorf("%v", a)
	}
	var open []verify.Reading
	for _, s := range recommended(t, b) {
		open = append(open, verify.Reading{Setting: s, Overload: true})
	}
	a = inspected(t, b, open)
	if a.Diagnosis != nil || a.Next.Act != fault.ActOpen || len(a.Next.Cautions) == 0 {
		t.Errorf("%v", a.Next)
	}
}

// Each form says the same; the repair is told once it is known what is repaired.
func TestForms(t *testing.T) {
	b := testBox(t, 100, 10)
	drift := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 0, Number: 4}, Value: 0.7}
	a := inspected(t, b, readBox(t, b, recommended(t, b), drift))
	a.Budget = a.Strongest()
	var text, markdown, csv strings.Builder
	if err := errors.Join(a.WriteText(&text), a.WriteMarkdown(&markdown), a.WriteCSV(&csv)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"What is wrong", "Next step", "Repair", "Cautions", "Settings",
		"One budget in full"} {
		if !strings.Contains(text.String(), want) || !strings.Contains(markdown.String(), want) {
			t.Errorf("%q is missing", want)
		}
	}
	if order := []int{strings.Index(text.String(), "What was found"),
		strings.Index(text.String(), "What is wrong"),
		strings.Index(text.String(), "\nSettings")}; !slices.IsSorted(order) {
		t.Errorf("order %v", order)
	}
	raw, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Verdict   string
		Diagnosis *fault.Diagnosis
		Next      struct{ Act fault.Act }
		Cautions  []string
	}
	if err := json.Unmarshal(raw, &got); err != nil || got.Verdict != "does not conform" ||
		got.Diagnosis.Causes[0].Faults[0].A != drift.A || got.Next.Act != a.Next.Act ||
		!slices.Equal(got.Cautions, a.Cautions()) {
		t.Errorf("%v: %s", err, raw)
	}
	if !strings.Contains(csv.String(), "does not conform") {
		t.Error("the rows are missing")
	}
	var advice strings.Builder
	if err := a.WriteAdvice(&advice); err != nil || strings.Contains(advice.String(), "Settings") ||
		!strings.Contains(advice.String(), "What is wrong") {
		t.Errorf("%v: %s", err, advice.String())
	}
}

func TestRefuses(t *testing.T) {
	if _, err := New(t.Context(), nil, fault.Options{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("no report: %v", err)
	}
	if _, err := Assemble(nil, nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("nothing to assemble: %v", err)
	}
	b := testBox(t, 100)
	r, err := verify.Evaluate(b, testMeter(), readBox(t, b, recommended(t, b)), conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	// A program without a context is no reason why no cause can be named.
	var none context.Context
	if a, err := New(none, r, fault.Options{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil context: %v, %v", a, err)
	}
	if _, err := New(t.Context(), r, fault.Options{Faults: 7}); err == nil {
		t.Error("seven faults at once are accepted")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := New(ctx, r, fault.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("ended context: %v", err)
	}
}

// After a repair the answer is about the box as it is now, with what changed beside it.
func TestAsLeft(t *testing.T) {
	b := testBox(t, 100, 10)
	settings := recommended(t, b)
	rs := readBox(t, b, settings,
		fault.Fault{Kind: fault.KindDrift,
			A: fault.Place{Part: fault.PartElement, Dial: 0, Number: 4}, Value: 0.7})
	left := readBox(t, b, settings)
	for i := range left {
		left[i].Stage = verify.StageAsLeft
	}
	a := inspected(t, b, append(rs, left...))
	if !a.Diagnosis.Healthy || !a.Finished() ||
		!strings.Contains(section(a, "As found and as left"),
			"changed by more than the uncertainty") {
		t.Errorf("%v", a)
	}
	if !strings.Contains(a.String(), "Changes\nSetting") {
		t.Error("no table of changes")
	}
}

// What all readings have in common comes before any part; after a known resistor the
// answer is about the box.
func TestCommonFirst(t *testing.T) {
	b := testBox(t, 1000, 100, 10)
	rs := readBox(t, b, recommended(t, b))
	for i := range rs {
		rs[i].Values[0] *= 1.003
	}
	a := inspected(t, b, rs)
	if a.Next.Act != fault.ActKnownResistor || a.Next.Range == "" ||
		!strings.Contains(section(a, "Next step"), "known value on range ") {
		t.Errorf("%v: %s", a.Next, section(a, "What is wrong"))
	}
	for _, rg := range testMeter().Ranges {
		rs = append(rs, verify.Reading{Known: &verify.Known{Name: "standard " + rg.Name,
			Value: rg.FullScale, U: rg.FullScale * 1e-5}, Values: []float64{rg.FullScale * 1.003},
			Range: rg.Name})
	}
	a = inspected(t, b, rs)
	if a.Next.Act == fault.ActKnownResistor || !a.Diagnosis.Healthy {
		t.Errorf("after known resistors: %v: %s", a.Next, section(a, "What is wrong"))
	}
}

// failing refuses everything after the first n bytes.
type failing struct{ n int }

var errFull = errors.New("disk full")

func (w *failing) Write(p []byte) (int, error) {
	if len(p) > w.n {
		return 0, errFull
	}
	w.n -= len(p)
	return len(p), nil
}

// What cannot be written is said, wherever it stops.
func TestWritersReportFailure(t *testing.T) {
	b := testBox(t, 1000, 100)
	a := inspected(t, b, readBox(t, b, recommended(t, b)))
	a.Budget = a.Report.Rows[1].Setting
	for name, write := range map[string]func(w *failing) error{
		"text":     func(w *failing) error { return a.WriteText(w) },
		"Markdown": func(w *failing) error { return a.WriteMarkdown(w) },
		"CSV":      func(w *failing) error { return a.WriteCSV(w) },
	} {
		if err := write(&failing{}); !errors.Is(err, errFull) {
			t.Errorf("%s: %v; want the error of the writer", name, err)
		}
	}
}

// The zero Answer, and none, are written without a report and propose nothing.
func TestZeroAnswer(t *testing.T) {
	for name, a := range map[string]*Answer{"nil": nil, "zero": {}} {
		var s strings.Builder
		if err := a.WriteText(&s); err != nil {
			t.Errorf("%s: %v; want a text", name, err)
		}
		if x := a.Strongest(); x.IsValid() {
			t.Errorf("%s: strongest setting %v; want none", name, x)
		}
	}
}

// Temperatures that no room has are corrected in the record: no part of the box is opened for
// them, whether all readings rest on them or one.
func TestWrongTemperatures(t *testing.T) {
	b := testBox(t, 1000, 100, 10)
	for _, all := range []bool{true, false} {
		rs := readBox(t, b, recommended(t, b))
		for i := range rs {
			if all || i == 3 {
				rs[i].Temperature = new(210.0)
			}
		}
		a := inspected(t, b, rs)
		if next := a.Next; next.Act != fault.ActDialAgain ||
			!strings.HasPrefix(next.Text, "Correct the temperatures in the record (") {
			t.Errorf("all %v: %v", all, next)
		}
	}
}

// A box in good order whose contacts vary by 0.1 mΩ, which its file does not state, is called
// healthy: what good contacts do is no dirt.
func TestUnstatedContactsAreHealthy(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "unstated", Residual: 0.012, ResidualTolerance: 0.003,
		Decades: []decade.Decade{{Step: 10, Tolerance: 5e-4}, {Step: 1, Tolerance: 2e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	m := &verify.Meter{Name: "m", Wiring: verify.WiringFourWire, OffsetCompensated: true,
		Ranges: []verify.Range{{Name: "100 Ω", FullScale: 100, OverRange: 1.2, OfReading: 3e-5,
			OfRange: 1e-6, Resolution: 1e-5, Noise: 1e-5}}}
	random := rand.New(rand.NewPCG(3, 4))
	var readings []verify.Reading
	read := func(a, c int) {
		s, err := b.At(a, c)
		if err != nil {
			t.Fatal(err)
		}
		v := s.Nominal() + 0.0121 + 1.4e-4*random.NormFloat64()
		readings = append(readings, verify.Reading{Setting: s,
			Values: []float64{math.Round(v*1e5) / 1e5}})
	}
	read(0, 0)
	read(0, 0)
	for p := 1; p <= 10; p++ {
		read(p, 0)
		read(0, p)
	}
	read(10, 10)
	read(0, 0)
	r, err := verify.Evaluate(b, m, readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	a, err := New(t.Context(), r, fault.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if a.Diagnosis == nil || !a.Diagnosis.Healthy {
		t.Errorf("called faulty: %v", a.Causes())
	}
}
