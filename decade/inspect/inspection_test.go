// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

func newInspection(t *testing.T, b *decade.Box, o fault.Options) *Inspection {
	t.Helper()
	in, err := NewInspection(b, testMeter(), conformity.Guarded(1), o)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// drifted is a box with element 3 of its second dial high, read by the recommended plan.
func drifted(t *testing.T) (*decade.Box, []verify.Reading) {
	t.Helper()
	b := testBox(t, 1000, 100, 10)
	f := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 1, Number: 3}, Value: 1.2}
	return b, readBox(t, b, recommended(t, b), f)
}

// sameJSON compares what two answers say, all of it.
func sameJSON(t *testing.T, got, want any) {
	t.Helper()
	a, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(b), string(a)); d != "" {
		t.Errorf("differs:\n%.2000s", d)
	}
}

// Readings one by one, many at once, and with some undone on the way give what New gives for
// the report of all.
func TestGrowsToTheBatch(t *testing.T) {
	b, readings := drifted(t)
	want := inspected(t, b, readings)
	single := newInspection(t, b, fault.Options{})
	for i, r := range readings {
		if err := single.Add(r); err != nil {
			t.Fatal(err)
		}
		if i%7 == 3 { // a slip, taken back
			r.Values = []float64{r.Values[0] + 7}
			if err := single.Add(r); err != nil {
				t.Fatal(err)
			}
			if last, ok := single.Undo(); !ok || last.Values[0] != r.Values[0] {
				t.Fatalf("took back %v, %v", last, ok)
			}
		}
		if i == len(readings)/2 {
			if _, err := single.Answer(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
	}
	many := newInspection(t, b, fault.Options{})
	if err := many.Add(readings[:5]...); err != nil {
		t.Fatal(err)
	}
	if err := many.Add(readings[5:]...); err != nil {
		t.Fatal(err)
	}
	for _, in := range []*Inspection{single, many} {
		if d := cmp.Diff(len(readings), len(in.Readings())); d != "" {
			t.Error(d)
		}
		early, err := in.Answer(t.Context())
		if err != nil || !early.Incomplete ||
			!strings.Contains(strings.Join(early.Causes(), " "),
				"The search has not covered two faults at once") || early.Finished() {
			t.Errorf("before two faults were looked for: incomplete %v, %v, %v", early.Incomplete, early.Causes(), err)
		}
		a, err := in.Complete(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		sameJSON(t, a, want)
		again, err := in.Answer(t.Context())
		if err != nil || again.Incomplete || again.Diagnosis != a.Diagnosis {
			t.Errorf("an answer after all was looked for: incomplete %v, %v", again.Incomplete, err)
		}
	}
}

// In whatever order readings come, with an answer after each of them, the last answer is that
// of the batch in this order.
func TestGrowsInAnyOrder(t *testing.T) {
	b, plan := drifted(t)
	plan = plan[:24]
	backwards, mixed := slices.Clone(plan), slices.Clone(plan)
	slices.Reverse(backwards)
	rand.New(rand.NewPCG(4, 16)).Shuffle(len(mixed), func(i, j int) {
		mixed[i], mixed[j] = mixed[j], mixed[i]
	})
	for _, readings := range [][]verify.Reading{plan, backwards, mixed} {
		in := newInspection(t, b, fault.Options{Faults: 1})
		for i, r := range readings {
			if err := in.Add(r); err != nil {
				t.Fatal(err)
			}
			if i%5 == 4 {
				if _, ok := in.Undo(); !ok {
					t.Fatal("nothing to take back")
				}
				if err := in.Add(r); err != nil {
					t.Fatal(err)
				}
			}
			a, err := in.Answer(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if i%8 == 7 {
				report, err := verify.Evaluate(b, testMeter(), readings[:i+1], conformity.Guarded(1))
				if err != nil {
					t.Fatal(err)
				}
				want, err := New(t.Context(), report, fault.Options{Faults: 1})
				if err != nil {
					t.Fatal(err)
				}
				sameJSON(t, a, want)
			}
		}
	}
}

// Before the first reading there is an answer, too: what to read.
func TestBeforeTheFirstReading(t *testing.T) {
	b := testBox(t, 100, 10)
	in := newInspection(t, b, fault.Options{})
	a, err := in.Complete(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if a.Next.Act != fault.ActDial || a.Next.Setting != b.Zero() || a.Finished() || a.Incomplete ||
		!strings.Contains(a.Reason(), "nothing has been read") {
		t.Errorf("%v, finished %v, %s", a.Next, a.Finished(), a.Reason())
	}
	if text := a.String(); !strings.Contains(text, "Set the dials to 0-0 and read") ||
		!strings.Contains(text, "nothing has been read") {
		t.Error(text)
	}
	if _, err := json.Marshal(a); err != nil {
		t.Error(err)
	}
	c := in.Coverage()
	if c.Readings != 0 || c.Settings != 0 || c.Done != 0 || c.Planned == 0 || len(c.Open) != c.Planned || c.Determined {
		t.Errorf("%+v", c)
	}
	if _, ok := in.Undo(); ok {
		t.Error("took back a reading where there is none")
	}
	if len(in.Report().Rows) != 0 || in.Report().Box != b {
		t.Error("the report before the first reading")
	}
}

// Readings that make no sense leave everything as it was.
func TestRefusedReadingsAreNotTaken(t *testing.T) {
	b, readings := drifted(t)
	in := newInspection(t, b, fault.Options{})
	if err := in.Add(readings[0]); err != nil {
		t.Fatal(err)
	}
	before := in.Report()
	other := testBox(t, 1)
	for name, bad := range map[string]verify.Reading{
		"none":            {},
		"another box":     {Setting: other.Zero(), Values: []float64{1}},
		"no value":        {Setting: b.Zero()},
		"an unknown name": {Setting: b.Zero(), Values: []float64{1}, Range: "7 Ω"},
		"one twice":       {Setting: readings[0].Setting, Dialling: 1, Values: []float64{0.02}},
	} {
		if err := in.Add(readings[1], bad); err == nil {
			t.Errorf("%s: taken", name)
		}
		if in.Report() != before || len(in.Readings()) != 1 {
			t.Errorf("%s: changed what was there", name)
		}
	}
	if err := in.Add(); err != nil || in.Report() != before {
		t.Errorf("no reading: %v", err)
	}
}

// A known resistor may be read before the box.
func TestKnownResistorFirst(t *testing.T) {
	b, readings := drifted(t)
	known := verify.Reading{Known: &verify.Known{Name: "standard", Value: 100, U: 0.002},
		Values: []float64{100.004}, Range: "100 Ω", Session: "2"}
	in := newInspection(t, b, fault.Options{Faults: 1})
	if err := in.Add(known); err != nil {
		t.Fatal(err)
	}
	if a, err := in.Answer(t.Context()); err != nil || len(a.Report.Rows) != 0 {
		t.Errorf("a known resistor alone: %v", err)
	}
	for _, r := range readings[:6] {
		r.Session = "1"
		if err := in.Add(r); err != nil {
			t.Fatal(err)
		}
	}
	if len(in.Report().Standards) != 0 {
		t.Error("a standard of another session is used")
	}
	r := readings[6]
	r.Session = "2"
	if err := in.Add(r); err != nil {
		t.Fatal(err)
	}
	if len(in.Report().Standards) != 1 {
		t.Error("the standard of the session is not used")
	}
}

func TestInspectionJSON(t *testing.T) {
	b, readings := drifted(t)
	at := 22.5
	readings[2].Temperature = &at
	readings = append(readings,
		verify.Reading{Known: &verify.Known{Name: "standard", Value: 100, U: 0.002, K: 2},
			Values: []float64{100.001}, Range: "100 Ω"})
	rule := conformity.Guarded(0.5)
	rule.Coverage, rule.Smallest = 0.99, 1e-4
	in, err := NewInspection(b, testMeter(), rule,
		fault.Options{Faults: 1, Distance: 4, Strapped: 2, Weights: fault.DefaultWeights()})
	if err != nil {
		t.Fatal(err)
	}
	if err := in.Add(readings...); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	back := new(Inspection)
	if err := json.Unmarshal(text, back); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(back)
	if err != nil || string(again) != string(text) {
		t.Errorf("written again: %v\n%s", err, cmp.Diff(string(text), string(again)))
	}
	one, err := in.Answer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	two, err := back.Answer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	sameJSON(t, two, one)
	if err := json.Unmarshal(text, back); err == nil {
		t.Error("read into an inspection that has begun")
	}
	for part, says := range map[string]string{
		`"readings":[{"setting":"0-0-0"`: "no value",
		`"readings":[{"seting":"0-0-0"`:  "seting",
		`"meter":{"name":"x"`:            "wiring",
		`"faultsAtOnce":7`:               "expected 1 or 2",
		`"kind":"luck"`:                  "luck",
	} {
		key, _, _ := strings.Cut(part, ":")
		bad := string(text)
		switch key {
		case `"readings"`:
			bad = bad[:strings.Index(bad, key)] + part + `,"stage":"as found"}]}`
		case `"meter"`:
			bad = strings.Replace(bad, `"meter":{`, `"meter":{"wring":"four-wire",`, 1)
			says = "wring"
		case `"faultsAtOnce"`:
			bad = strings.Replace(bad, `"faultsAtOnce":1`, part, 1)
		default:
			bad = strings.Replace(bad, `"kind":"guard band"`, part, 1)
		}
		if err := json.Unmarshal([]byte(bad), new(Inspection)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: error %v does not say %q", part, err, says)
		}
	}
	for _, bad := range []string{`{}`, `{"box":{"decades":[{"step":"1 Ω"}]}}`} {
		if err := json.Unmarshal([]byte(bad), new(Inspection)); err == nil {
			t.Errorf("%s is read", bad)
		}
	}
	prior, err := NewInspection(b, testMeter(),
		conformity.ByGlobalRisk(0.02, uncertainty.Normal(0, 0.5)), fault.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(prior); err == nil {
		t.Error("a rule with a prior is written without it")
	}
}

// The measured values of a box go with it.
func TestInspectionJSONCalibrated(t *testing.T) {
	b, readings := drifted(t)
	c := &decade.Calibration{Box: b.Name(), Values: uncertainty.Record{ID: "c"}}
	add := func(name string, v float64) {
		c.Values.Quantities = append(c.Values.Quantities,
			uncertainty.Source{Name: name, Unit: "Ω", ID: name,
				Distribution: uncertainty.Normal(v, 1e-5*v)}.Input())
	}
	add("residual", 0.021)
	for d, dec := range b.Decades() {
		for e := range dec.NumElements() {
			add(b.ElementName(d, e+1), dec.Step*1.0001)
		}
	}
	calibrated, err := b.With(c)
	if err != nil {
		t.Fatal(err)
	}
	s, err := readings[3].Setting.On(calibrated)
	if err != nil {
		t.Fatal(err)
	}
	in := newInspection(t, calibrated, fault.Options{})
	if err := in.Add(verify.Reading{Setting: s, Values: readings[3].Values}); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	back := new(Inspection)
	if err := json.Unmarshal(text, back); err != nil {
		t.Fatal(err)
	}
	if x, err := s.On(back.Box()); err != nil || x.Value() != s.Value() || back.Box().Calibration() == nil {
		t.Errorf("%v reads %v; expected %v, %v", x, x.Value(), s.Value(), err)
	}
}

// What is handed out and taken in shares no memory with what is kept.
func TestReadingsAreCopies(t *testing.T) {
	b, readings := drifted(t)
	in := newInspection(t, b, fault.Options{})
	if err := in.Add(readings[0]); err != nil {
		t.Fatal(err)
	}
	want := readings[0].Values[0]
	readings[0].Values[0] = 5
	in.Readings()[0].Values[0] = 6
	if got := in.Readings()[0].Values[0]; got != want {
		t.Errorf("%v; expected %v", got, want)
	}
}

func TestCoverage(t *testing.T) {
	b, readings := drifted(t)
	in := newInspection(t, b, fault.Options{})
	if err := in.Add(readings[:12]...); err != nil {
		t.Fatal(err)
	}
	c := in.Coverage()
	if c.Readings != 12 || c.Settings != 12 || c.Done != 12 || c.Planned != len(readings) ||
		len(c.Open) != len(readings)-12 || c.Open[0] != readings[12].Setting || c.Determined {
		t.Errorf("%+v", c)
	}
	if len(c.Dials) != 3 || c.Dials[0].Of != 10 ||
		len(c.Dials[0].Positions)+len(c.Dials[1].Positions)+len(c.Dials[2].Positions) != 11 {
		t.Errorf("%+v", c.Dials)
	}
	if text := c.String(); !strings.Contains(text, "12 readings of 12 settings, 12 of the ") ||
		!strings.Contains(text, "do not determine") {
		t.Error(text)
	}
	if err := in.Add(readings[12:]...); err != nil {
		t.Fatal(err)
	}
	if c := in.Coverage(); !c.Determined || len(c.Open) != 0 || c.Done != c.Planned {
		t.Errorf("%+v", c)
	}
	// As left counts again.
	left := readings[0]
	left.Stage = verify.StageAsLeft
	if err := in.Add(left); err != nil {
		t.Fatal(err)
	}
	if c := in.Coverage(); c.Stage != verify.StageAsLeft || c.Readings != 1 || c.Done != 1 {
		t.Errorf("%+v", c)
	}
	if (Coverage{}).String() != "No box." {
		t.Error("the zero Coverage")
	}
}

func TestInspectionRefuses(t *testing.T) {
	b := testBox(t, 100)
	bad := testMeter()
	bad.Ranges = nil
	var none context.Context
	for name, f := range map[string]func() error{
		"no box": func() error {
			_, err := NewInspection(nil, testMeter(), conformity.Simple(), fault.Options{})
			return err
		},
		"no meter": func() error { _, err := NewInspection(b, nil, conformity.Simple(), fault.Options{}); return err },
		"ranges":   func() error { _, err := NewInspection(b, bad, conformity.Simple(), fault.Options{}); return err },
		"rule": func() error {
			_, err := NewInspection(b, testMeter(), conformity.Rule{Multiple: -1}, fault.Options{})
			return err
		},
		"options": func() error {
			_, err := NewInspection(b, testMeter(), conformity.Simple(), fault.Options{Faults: 3})
			return err
		},
		"zero adds":      func() error { return new(Inspection).Add(verify.Reading{}) },
		"zero answers":   func() error { _, err := new(Inspection).Answer(t.Context()); return err },
		"zero completes": func() error { _, err := (*Inspection)(nil).Complete(t.Context()); return err },
		"zero writes":    func() error { _, err := new(Inspection).MarshalJSON(); return err },
		"nil reads":      func() error { return (*Inspection)(nil).UnmarshalJSON(nil) },
		"no context": func() error {
			_, err := newInspection(t, b, fault.Options{}).Answer(none)
			return err
		},
		"no context to complete": func() error {
			_, err := newInspection(t, b, fault.Options{}).Complete(none)
			return err
		},
	} {
		if err := f(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	zero := new(Inspection)
	if _, ok := zero.Undo(); ok || zero.Box() != nil || zero.Readings() != nil ||
		zero.Report() != nil || zero.Coverage().Planned != 0 {
		t.Error("the zero Inspection says something")
	}
}

// A context that ends, ends the search; what was asked for can be asked for again.
func TestCompleteEnds(t *testing.T) {
	b, readings := drifted(t)
	ctx, cancel := context.WithCancel(t.Context())
	var calls atomic.Int64
	in := newInspection(t, b, fault.Options{Progress: func(done, planned int) {
		if calls.Add(1) == 2 {
			cancel()
		}
	}})
	if err := in.Add(readings...); err != nil {
		t.Fatal(err)
	}
	if _, err := in.Complete(ctx); !errors.Is(err, context.Canceled) {
		t.Fatalf("an ended context: %v", err)
	}
	if a, err := in.Answer(t.Context()); err != nil || !a.Incomplete {
		t.Errorf("after a search that was ended: %v", err)
	}
	if a, err := in.Complete(t.Context()); err != nil || a.Incomplete {
		t.Errorf("again: %v", err)
	}
}

// A search begins again with readings that come in while it runs.
func TestCompleteFollowsReadings(t *testing.T) {
	b, readings := drifted(t)
	in := newInspection(t, b, fault.Options{})
	var once sync.Once
	in.faults.Progress = func(done, planned int) {
		once.Do(func() {
			if err := in.Add(readings[20:]...); err != nil {
				t.Error(err)
			}
		})
	}
	if err := in.Add(readings[:20]...); err != nil {
		t.Fatal(err)
	}
	a, err := in.Complete(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Report.Rows) != len(readings) || a.Incomplete {
		t.Errorf("an answer of %d readings; expected %d", len(a.Report.Rows), len(readings))
	}
}

// Everything at once, for the race detector: adding, undoing, asking, searching, writing.
func TestConcurrentInspection(t *testing.T) {
	b, readings := drifted(t)
	in := newInspection(t, b, fault.Options{})
	var wg sync.WaitGroup
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	for range 2 {
		wg.Go(func() {
			for ctx.Err() == nil {
				if _, err := in.Complete(ctx); err != nil && !errors.Is(err, context.Canceled) {
					t.Error(err)
				}
			}
		})
	}
	for _, ask := range []func() error{
		func() error { a, err := in.Answer(ctx); _ = a.String(); return err },
		func() error { _, err := json.Marshal(in); return err },
		func() error { _ = in.Coverage().String(); _ = in.Report().Verdict(); _ = in.Readings(); return nil },
	} {
		wg.Go(func() {
			for ctx.Err() == nil {
				if err := ask(); err != nil && !errors.Is(err, context.Canceled) {
					t.Error(err)
				}
			}
		})
	}
	var adders sync.WaitGroup
	for k := range 2 {
		adders.Go(func() {
			for i := k; i < 16; i += 2 {
				if err := in.Add(readings[i]); err != nil {
					t.Error(err)
				}
			}
		})
	}
	adders.Wait()
	if _, ok := in.Undo(); !ok {
		t.Error("nothing to take back")
	}
	cancel()
	wg.Wait()
	if n := len(in.Readings()); n != 15 {
		t.Errorf("%d readings; expected 15", n)
	}
}

// A dial is covered when every position that its switch has was read.
func TestCoverageOfMissingPosition(t *testing.T) {
	b, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Positions: 4,
		Missing: []int{2}, Tolerance: 0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	in := newInspection(t, b, fault.Options{})
	if got := in.Coverage().Dials[0].Of; got != 3 {
		t.Errorf("%d positions to read of 1, 3 and 4; want 3", got)
	}
}
