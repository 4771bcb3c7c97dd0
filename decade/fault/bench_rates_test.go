// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/internal/bench"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// benchKinds translates kinds; what the bench has no kind for goes by what one who repairs
// the box would go for.
var benchKinds = map[fault.Kind]bench.Kind{
	fault.KindDrift: bench.Drift, fault.KindWrongPart: bench.WrongPart, fault.KindOpenElement: bench.OpenElement,
	fault.KindShorted: bench.ShortElement, fault.KindUnsteady: bench.CrackedJoint, fault.KindElementLeak: bench.Drift,
	fault.KindOverloaded: bench.Overloaded, fault.KindDialDrift: bench.DialDrift, fault.KindBoxDrift: bench.BoxDrift,
	fault.KindAged: bench.Aged, fault.KindContact: bench.Contact, fault.KindOpenContact: bench.OpenContact,
	fault.KindSeries: bench.Series, fault.KindOpenPath: bench.OpenPath, fault.KindOverlap: bench.Overlap,
	fault.KindSlip: bench.Slip, fault.KindTapsExchanged: bench.Taps, fault.KindElementsExchanged: bench.Exchanged,
	fault.KindBridge: bench.BridgeInDial, fault.KindDialBridge: bench.BridgeDials, fault.KindTerminalLeak: bench.LeakTerminals,
	fault.KindDialLeak: bench.LeakDial, fault.KindCaseLeak: bench.LeakCase,
	fault.KindMeterGain: bench.MeterGain, fault.KindMeterZero: bench.MeterZero, fault.KindDialling: bench.OneSlip,
}

var benchParts = map[fault.Part]bench.Part{
	fault.PartElement: bench.Element, fault.PartTap: bench.Tap, fault.PartWiper: bench.Wiper, fault.PartPosition: bench.Position,
	fault.PartDial: bench.Dial, fault.PartLink: bench.Link, fault.PartTerminal: bench.Terminal,
}

func benchPlace(p fault.Place) bench.Place {
	if p.Part == fault.PartRange {
		return bench.Place{Part: bench.Range, Number: p.Number - 1}
	}
	return bench.Place{Part: benchParts[p.Part], Dial: p.Dial, Number: p.Number}
}

// benchFault translates a stated fault.
func benchFault(c *bench.Case, f fault.Fault) bench.Fault {
	out := bench.Fault{Kind: benchKinds[f.Kind], A: benchPlace(f.A), B: benchPlace(f.B), Value: f.Value, Fresh: f.Scatter > 0}
	switch f.Kind {
	case fault.KindOverloaded:
		out.A = out.B
	case fault.KindCaseLeak: // the bench names the node that leaks, not the strapped end
		if isTerminal(c, f.A) {
			out.A = out.B
		}
	case fault.KindDialling:
		out.A = bench.Place{Part: bench.Position}
		for d, p := range c.Readings[f.A.Number-1].Positions {
			if p != 0 {
				out.A.Dial, out.A.Number = d, p
			}
		}
	}
	return out
}

// isTerminal reports whether a node is joined to the terminal that the case is strapped to.
func isTerminal(c *bench.Case, p fault.Place) bool {
	dials := c.Box.Decades()
	last := len(dials) - 1 // the first dial of the last switch
	for i, d := range dials {
		if d.Switch != "" && d.Switch == dials[last].Switch {
			last = i
			break
		}
	}
	switch d := dials[last]; {
	case p.Part == fault.PartTerminal:
		return p.Number == c.Strapped
	case c.Strapped == 1 && dials[0].WiperFirst:
		return p == fault.Place{Part: fault.PartWiper}
	case c.Strapped == 1:
		return p == fault.Place{Part: fault.PartTap}
	case !d.Tapped():
		return p == fault.Place{Part: fault.PartTap, Dial: last, Number: d.NumElements()}
	case d.WiperFirst:
		return p == fault.Place{Part: fault.PartTap, Dial: last}
	default:
		return p == fault.Place{Part: fault.PartWiper, Dial: last}
	}
}

// diagnoseCase is what a diagnosis says of a case: all they share is the text of the readings
// and of the meter.
func diagnoseCase(c *bench.Case) bench.Answer {
	meter, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(c.Bench.Meter)))
	if err != nil {
		return bench.Answer{Err: err}
	}
	rs, err := verify.ReadReadings(strings.NewReader(bench.ReadingsCSV(c.Readings)), c.Box)
	if err != nil {
		return bench.Answer{Err: err}
	}
	report, err := verify.Evaluate(c.Box, meter, rs, conformity.Guarded(1))
	if err != nil {
		return bench.Answer{Err: err}
	}
	d, err := fault.Options{Strapped: c.Strapped}.Diagnose(context.Background(), report)
	if errors.Is(err, fault.ErrOpen) {
		return bench.Answer{Classes: []bench.Class{{Probability: 1, Members: [][]bench.Fault{{{Kind: bench.OpenPath}}}}}}
	}
	if err != nil {
		return bench.Answer{Err: err}
	}
	a := bench.Answer{Healthy: d.Healthy, Probability: d.Probability}
	for i, x := range d.Causes {
		class := bench.Class{Probability: x.Probability}
		if x.Kind == fault.KindUnexplained { // no cause is stated
			class.Probability = 0
		}
		for _, faults := range slices.Concat([][]fault.Fault{x.Faults}, x.Equal) {
			var list []bench.Fault
			for _, f := range faults {
				list = append(list, benchFault(c, f))
			}
			class.Members = append(class.Members, list)
		}
		if i < 3 {
			a.Text += fmt.Sprintf("\n      %.4f (of %d)", x.Probability, len(class.Members))
			for j, faults := range slices.Concat([][]fault.Fault{x.Faults}, x.Equal) {
				if j < 4 {
					a.Text += " | "
					for _, f := range faults {
						a.Text += f.In(c.Box) + "; "
					}
				}
			}
		}
		a.Classes = append(a.Classes, class)
	}
	a.Text += fmt.Sprintf("\n      healthy %v %.3g, χ² %.4g of %d", d.Healthy, d.Probability, d.ChiSquared, d.Readings)
	return a
}

// diagnoses runs trials of a mix, and keeps how long each diagnosis took.
func diagnoses(t *testing.T, m bench.Mix, n int) (*bench.Rates, []time.Duration) {
	t.Helper()
	var lock sync.Mutex
	var took []time.Duration
	rates, err := bench.Run(m, n, 2, func(c *bench.Case) bench.Answer {
		start := time.Now()
		a := diagnoseCase(c)
		d := time.Since(start)
		lock.Lock()
		took = append(took, d)
		lock.Unlock()
		return a
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(took)
	return rates, took
}

// TestBenchRates measures how often the cause is found at the benches of another simulator,
// which shares no code with this package: seven constructions, three meters, three plans,
// faults of 8 u and more of every kind, of the meter, and two at once, as far as the readings
// leave no more than five causes together. The long run prints the tables.
func TestBenchRates(t *testing.T) {
	sorts := namedSorts(os.Getenv("FAULT_SORTS"))
	n, most := len(sorts), 3 // one of each
	if uncertaintytest.Long() {
		n, most = 234, 6
	}
	if uncertaintytest.Whole() {
		n, most = 1560, 8
	}
	// FAULT_TRIALS and FAULT_SORTS make it another number, of sorts or groups of these names.
	if v, err := strconv.Atoi(os.Getenv("FAULT_TRIALS")); err == nil {
		n = v
	}
	m := bench.Mix{Seed: seedOr(6), Most: most, Least: 8, Alternatives: 5, Sorts: sorts}
	rates, took := diagnoses(t, m, n)
	t.Logf("\n%v\ndiagnosis: median %v, 95 %% within %v, all within %v\n%s", rates, took[n/2], took[n*95/100], took[n-1], rates.Wrong(8))
	single, all := rates.Group("single", 8), rates.Group("", 8)
	if single.FirstShare() < 0.98 || all.FirstShare() < 0.95 {
		t.Errorf("first: single faults %v, all %v; expected 98 %% and 95 %%", single, all)
	}
	// One of so few may be wrong.
	if s := rates.Calibration()[2]; float64(s.N-s.Right) > 1+0.005*float64(s.N) {
		t.Errorf("stated above 99.9 %%: right in %.1f %% of %d; expected 99.5 %% or more", 100*s.Share(), s.N)
	}
}

// seedOr is the seed of a population: FAULT_SEED where it is set, for boxes that no test has
// seen yet.
func seedOr(seed uint64) uint64 {
	if v, err := strconv.ParseUint(os.Getenv("FAULT_SEED"), 10, 64); err == nil {
		return v
	}
	return seed
}

// TestBenchHealthy measures how often a healthy box is called healthy.
func TestBenchHealthy(t *testing.T) {
	n, most := 12, 5
	if uncertaintytest.Long() {
		n, most = 300, 6
	}
	if uncertaintytest.Whole() {
		n, most = 2000, 8
	}
	m := bench.Mix{Seed: seedOr(7), Most: most, Sorts: bench.HealthyBoxes()}
	rates, _ := diagnoses(t, m, n)
	tally := rates.Group("healthy", 0)
	t.Log(tally)
	t.Log(healthyTable(rates))
	t.Log(rates.Wrong(0))
	if tally.FirstShare() < 0.998 {
		t.Errorf("healthy called healthy: %v; expected 99.8 %% or more", tally)
	}
}

// healthyTable is how often healthy boxes are called healthy by meter, plan, construction and
// number of dials.
func healthyTable(rates *bench.Rates) string {
	var names []string
	count := make(map[string]*bench.Tally)
	for _, o := range rates.Outcomes {
		for _, name := range []string{"meter " + o.Case.Bench.Meter.Name,
			fmt.Sprintf("plan %v", o.Case.Extent), "box " + o.Case.Construction.String(),
			fmt.Sprintf("dials %2d", o.Case.Box.NumDecades())} {
			if count[name] == nil {
				names, count[name] = append(names, name), &bench.Tally{}
			}
			count[name].N++
			if o.Right() {
				count[name].First++
			}
		}
	}
	slices.Sort(names)
	var b strings.Builder
	for _, name := range names {
		fmt.Fprintf(&b, "\n%-32s%5d of %d", name, count[name].First, count[name].N)
	}
	return b.String()
}

// namedSorts lists the sorts whose group is, or whose name begins with, one of the names
// between commas; all without.
func namedSorts(names string) []bench.What {
	all := slices.Concat(bench.HealthyBoxes(), bench.Singles(), bench.MeterFaults(), bench.Pairs())
	if names == "" {
		return all
	}
	return slices.DeleteFunc(all, func(w bench.What) bool {
		return !slices.ContainsFunc(strings.Split(names, ","), func(x string) bool { return w.Group == x || strings.HasPrefix(w.Name, x) })
	})
}
