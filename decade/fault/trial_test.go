// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// testMeter is a meter of 0.01 %. Its ranges reach 1.2 times a decade, so that no step of a box
// is as large as the part of a range that has one linearity: noise would have it on either side.
func testMeter() *verify.Meter {
	m := &verify.Meter{Name: "0.01 % meter", Serial: "1", Wiring: verify.WiringFourWire, OffsetCompensated: true}
	for _, f := range []float64{10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8} {
		m.Ranges = append(m.Ranges, verify.Range{Name: fmt.Sprintf("%g Ω", f), FullScale: 1.2 * f, OverRange: 1, OfReading: 1e-4, OfRange: 1e-5, Resolution: f * 1e-6})
	}
	return m
}

// construction is a box with what serves all trials of it.
type construction struct {
	name    string
	box     *decade.Box
	model   *model
	plan    []decade.Setting
	account *linearAccount // of the healthy box, each setting of the plan dialled once
}

// plan is the recommended plan of verify: what determines every element, closure settings
// of two dials, zero again.
func plan(t testing.TB, b *decade.Box) []decade.Setting {
	t.Helper()
	p, err := verify.NewPlan(b, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	return p.Settings()
}

func construct(t testing.TB, name string, s decade.Spec) *construction {
	t.Helper()
	s.Name = name
	b, err := decade.New(s)
	if err != nil {
		t.Fatal(err)
	}
	c := &construction{name: name, box: b, plan: plan(t, b)}
	settings := unique(c.plan)
	c.model = newModel(b, settings, 0)
	var rs []verify.Reading
	for _, x := range settings {
		rs = append(rs, verify.Reading{Setting: x, Values: []float64{x.Value()}})
	}
	ev := quick(c.model, testMeter(), rs)
	if c.account, err = newLinearAccount(c.model, ev); err != nil {
		t.Fatal(err)
	}
	return c
}

// settingIndex returns the index of a setting, which is added where it is new.
func (e *evidence) settingIndex(s decade.Setting) int {
	i := slices.Index(e.settings, s)
	if i < 0 {
		i = len(e.settings)
		e.settings = append(e.settings, s)
	}
	return i
}

func unique(list []decade.Setting) []decade.Setting {
	var e evidence
	for _, s := range list {
		e.settingIndex(s)
	}
	return e.settings
}

// quick makes the evidence that gather makes of a report, without the report: the split
// of the meter's limits is that of verify (compared in TestQuickEvidence).
func quick(m *model, meter *verify.Meter, rs []verify.Reading) *evidence {
	e := &evidence{settings: m.settings}
	shared := make(map[string][]contribution)
	values := make(map[string][]float64) // read so far, of each range
	var own []float64
	for i, r := range rs {
		k := e.settingIndex(r.Setting)
		if r.Overload {
			e.overloads = append(e.overloads, overload{k, meter.Ranges[len(meter.Ranges)-1].Reach(), i})
			continue
		}
		v := r.Values[0]
		at := len(e.observations)
		e.observations = append(e.observations, observation{k, v, i})
		rg := &meter.Ranges[0]
		for j := range meter.Ranges {
			if r.Range == meter.Ranges[j].Name || r.Range == "" && math.Abs(v) <= meter.Ranges[j].Reach() {
				rg = &meter.Ranges[j]
				break
			}
		}
		d := math.Sqrt(3)
		part := rg.OfRange * rg.FullScale
		line := max(part/4, rg.Resolution)
		q := rg.Resolution / math.Sqrt(12)
		c := m.layout.box.Spec().Contact * math.Sqrt(float64(r.Setting.Contacts()))
		own = append(own, q*q+c*c+smallestVariance(v))
		near := slices.IndexFunc(values[rg.Name], func(x float64) bool { return math.Abs(x-v) <= rg.FullScale/1000 })
		if near < 0 {
			near = len(values[rg.Name])
			values[rg.Name] = append(values[rg.Name], v)
		}
		for _, x := range []struct {
			name string
			ohms float64
		}{
			{"gain ", rg.OfReading * v}, {"zero ", math.Sqrt(part*part - line*line)},
			{"cross ", math.Sqrt(2 * rg.OfReading * part * math.Abs(v))}, {fmt.Sprint("line ", near, " "), line},
		} {
			shared[x.name+rg.Name] = append(shared[x.name+rg.Name], contribution{at, -x.ohms / d})
		}
	}
	e.covariance = covariance(own, shared)
	return e
}

func dials(tolerance float64, steps ...float64) []decade.Decade {
	out := make([]decade.Decade, len(steps))
	for i, s := range steps {
		out[i] = decade.Decade{Step: s, Tolerance: tolerance}
	}
	return out
}

func coded(tolerance float64, code decade.Code, steps ...float64) []decade.Decade {
	out := dials(tolerance, steps...)
	for i := range out {
		out[i].Code = code
	}
	return out
}

// constructions are the five boxes of the simulations. Nine dials cost twenty times what four
// do: outside the long run every second one spans the same decades.
func constructions(t testing.TB) []*construction {
	if uncertaintytest.Long() {
		return fiveConstructions(t, "nine dials", 1e6, 1e5, 1e4, 1e3, 100, 10, 1, 0.1, 0.01)
	}
	return shortConstructions(t)
}

// shortConstructions are the boxes of constructions outside the long run, the same in every run.
func shortConstructions(t testing.TB) []*construction {
	return fiveConstructions(t, "five dials", 1e6, 1e4, 100, 1, 0.01)
}

// fiveConstructions are four boxes of four dials and one with the steps given.
func fiveConstructions(t testing.TB, name string, steps ...float64) []*construction {
	common := decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005}
	with := func(d []decade.Decade) decade.Spec {
		s := common
		s.Decades = d
		return s
	}
	shared := dials(0.001, 1000, 100, 10, 1)
	for i := range shared {
		shared[i].Positions = 9
	}
	shared[0].Switch, shared[1].Switch = "A", "A"
	return []*construction{
		construct(t, "tapped ladders", with(dials(0.001, 1000, 100, 10, 1))),
		construct(t, "code 1-2-2-5", with(coded(0.001, decade.Code1225(), 10000, 1000, 100, 10))),
		construct(t, "code 1-2-4-2", with(coded(0.0005, decade.Code1242(), 1000, 100, 10, 1))),
		construct(t, "two ranges on a switch", with(shared)),
		construct(t, name, with(dials(0.0005, steps...))),
	}
}

// trialResult is what became of one trial.
type trialResult struct {
	kind    Kind
	size    float64 // in u
	rank    int     // of the true cause, from 1; 0: not found
	healthy bool    // called healthy
	text    string
}

// run simulates a box with faults and diagnoses it: the plan, with each suspicious setting
// dialled twice.
func (c *construction) run(seed uint64, o Options, faults []Fault) (*Diagnosis, error) {
	sp, err := newSpecimen("trial", c.model, testMeter(), seed, faults)
	if err != nil {
		return nil, err
	}
	rs, err := sp.ReadAll(c.plan...)
	if err != nil {
		return nil, err
	}
	for _, x := range suspicious(c, rs) {
		r, err := sp.Read(x)
		if err != nil {
			return nil, err
		}
		rs = append(rs, r)
	}
	o, err = o.complete()
	if err != nil {
		return nil, err
	}
	return o.diagnose(newWork(context.Background(), o.Progress), c.model, quick(c.model, testMeter(), rs))
}

// suspicious lists the settings with a reading outside the limits.
func suspicious(c *construction, rs []verify.Reading) []decade.Setting {
	var out []decade.Setting
	for _, r := range rs {
		limits := r.Setting.Limits()
		if r.Overload || r.Values[0] < limits.Lower || r.Values[0] > limits.Upper {
			out = append(out, r.Setting)
		}
	}
	return unique(out)
}

// key is equal for faults of one class that readings cannot separate (metrology of the
// trade: one increment off; two faults of one contact).
func (c *construction) key(f Fault) string {
	l := c.model.layout
	switch f.Kind {
	case KindDrift, KindWrongPart, KindShorted, KindUnsteady, KindElementLeak:
		return fmt.Sprint("increment ", f.A)
	case KindOverloaded:
		return fmt.Sprint("overload ", f.A, f.B)
	case KindDialLeak:
		u, w := l.sectionOf(f.A.Dial)
		return bridgeKey(l.joined[u.taps[w][0]], l.joined[u.taps[w][len(u.taps[w])-1]])
	case KindTerminalLeak:
		n := len(l.nodes)
		return bridgeKey(l.joined[n-2], l.joined[n-1])
	case KindBridge, KindDialBridge, KindCaseLeak:
		a, b := l.joined[l.nodeAt(f.A)], l.joined[l.nodeAt(f.B)]
		if e := c.model.elementBetween(a, b); e != absent {
			return fmt.Sprint("increment ", Place{PartElement, l.elements[e].dial, l.elements[e].number})
		}
		return bridgeKey(a, b)
	case KindSeries:
		return "series"
	case KindSlip:
		return fmt.Sprint("slip ", f.A.Dial, f.Value)
	case KindElementsExchanged, KindTapsExchanged:
		return fmt.Sprint(f.Kind, min(f.A.Dial, f.B.Dial), max(f.A.Dial, f.B.Dial), f.A.Number+f.B.Number, f.A.Number*f.B.Number)
	}
	return fmt.Sprint(f.Kind, f.A)
}

func bridgeKey(a, b int) string { return fmt.Sprint("bridge ", min(a, b), max(a, b)) }

// rank finds the true faults among the causes.
func (c *construction) rank(d *Diagnosis, truth []Fault) int {
	want := c.keys(truth)
	for i, cause := range d.Causes {
		for _, faults := range append([][]Fault{cause.Faults}, cause.Equal...) {
			if c.keys(faults) == want {
				return i + 1
			}
		}
	}
	return 0
}

func (c *construction) keys(faults []Fault) string {
	s := ""
	for i, f := range faults {
		k := c.key(f)
		if i > 0 && k < s {
			s = k + " & " + s
			continue
		}
		if i > 0 {
			s += " & "
		}
		s += k
	}
	return s
}
