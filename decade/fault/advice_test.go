// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/internal/bench"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// triage is what is read first: zero, each dial alone at its highest position, all dials
// at their highest.
func triage(c *bench.Case) [][]int {
	zero := make([]int, c.Box.NumDecades())
	out := [][]int{zero}
	for d, dec := range c.Box.Decades() {
		at := slices.Clone(zero)
		at[d] = dec.Positions
		out = append(out, at)
	}
	if most, err := c.Box.Max(); err == nil {
		out = append(out, most.Positions())
	}
	return out
}

// advised is how following the advice went.
type advised struct {
	asked    int  // readings after triage
	sharp    int  // of them until one cause had 90 % and three members or fewer; absent: never
	right    bool // the truth was in the first class then
	repeated int  // how often one setting was read at most
	healthy  bool // triage shows nothing
	last     fault.Act
	text     string
}

const (
	never     = -1
	mostAsked = 25 // readings: more are a loop
)

// follow reads what triage reads, and then what the advice asks for.
func follow(c *bench.Case) (advised, error) {
	out := advised{sharp: never}
	b, err := bench.New(c.Box, c.Bench.Meter, uint64(c.Index)+77, c.Options, c.Faults...)
	if err != nil {
		return out, err
	}
	meter, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(c.Bench.Meter)))
	if err != nil {
		return out, err
	}
	var readings []bench.Reading
	for _, p := range triage(c) {
		readings = append(readings, b.Read(1, p...))
	}
	count := make(map[string]int)
	for out.asked = 0; out.asked < mostAsked; out.asked++ {
		c.Readings = readings
		d, err := diagnoseReadings(c, meter)
		if errors.Is(err, fault.ErrOpen) {
			out.last = fault.ActOpen
			return out, nil
		}
		if err != nil {
			return out, err
		}
		out.last = d.Next.Act
		out.healthy = out.healthy || out.asked == 0 && d.Healthy
		if out.sharp == never && sharp(c, d) {
			out.sharp = out.asked
			out.right = slices.Contains(keysOf(c, d), bench.Key(c.Box, c.Faults))
		}
		out.text += fmt.Sprintf("\n    %v; next %v %v", first(d), d.Next.Act, d.Next.Setting)
		if d.Next.Act != fault.ActDial && d.Next.Act != fault.ActDialAgain {
			return out, nil
		}
		count[d.Next.Setting.String()]++
		out.repeated = max(out.repeated, count[d.Next.Setting.String()])
		readings = append(readings, b.Read(1, d.Next.Setting.Positions()...))
	}
	return out, nil
}

func first(d *fault.Diagnosis) string {
	if d.Healthy || len(d.Causes) == 0 {
		return fmt.Sprintf("healthy %.3f", d.Probability)
	}
	return fmt.Sprintf("%.90s (%d)", d.Causes[0].String(), 1+len(d.Causes[0].Equal))
}

func diagnoseReadings(c *bench.Case, meter *verify.Meter) (*fault.Diagnosis, error) {
	rs, err := verify.ReadReadings(strings.NewReader(bench.ReadingsCSV(c.Readings)), c.Box)
	if err != nil {
		return nil, err
	}
	report, err := verify.Evaluate(c.Box, meter, rs, conformity.Guarded(1))
	if err != nil {
		return nil, err
	}
	return fault.Options{Strapped: c.Strapped}.Diagnose(context.Background(), report)
}

// keysOf lists the members of the first cause, those that are repaired alike once.
func keysOf(c *bench.Case, d *fault.Diagnosis) []string {
	var keys []string
	for _, faults := range slices.Concat([][]fault.Fault{d.Causes[0].Faults}, d.Causes[0].Equal) {
		var list []bench.Fault
		for _, f := range faults {
			list = append(list, benchFault(c, f))
		}
		if k := bench.Key(c.Box, list); !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	return keys
}

// sharp reports whether one cause has 90 % and three members or fewer.
func sharp(c *bench.Case, d *fault.Diagnosis) bool {
	return !d.Healthy && len(d.Causes) > 0 && d.Causes[0].Probability >= 0.9 && len(keysOf(c, d)) <= 3
}

// TestAdvice follows the advice from triage on at simulated benches that share nothing with
// this package: single faults that triage shows are found in a median of three readings or
// fewer, and nothing is asked without end: what did not change not thrice (exhausted).
func TestAdvice(t *testing.T) {
	n := 8
	if uncertaintytest.Long() {
		n = 40
	}
	if uncertaintytest.Whole() {
		n = 400
	}
	m := bench.Mix{Seed: seedOr(5), Sorts: bench.Singles(), Fewest: 4, Most: 7, Least: 8, Alternatives: 3}
	var counts []int
	shown, found, right, loops := 0, 0, 0, 0
	acts := make(map[fault.Act]int)
	var table adviceTable
	for i := range n {
		c, err := m.Case(i)
		if err != nil {
			continue // no such fault that so few causes are mistaken for
		}
		a, err := follow(c)
		if err != nil {
			t.Errorf("trial %d, %s: %v", i, c.Sort.Name, err)
			continue
		}
		if a.repeated > 3 || a.asked >= mostAsked {
			loops++
			t.Errorf("trial %d, %s: %d readings, one setting asked for %d times%s", i,
				c.Sort.Name, a.asked, a.repeated, a.text)
		}
		if a.healthy || a.asked == 0 && a.last == fault.ActOpen && a.sharp == never {
			continue
		}
		table.addTrial(c, a)
		shown++
		acts[a.last]++
		if a.sharp == never {
			counts = append(counts, 99)
			t.Logf("trial %d, %s, %v, %s, %.3g u: not sharp after %d%s", i, c.Sort.Name,
				c.Faults, c.Box.Name(), c.Size, a.asked, a.text)
			continue
		}
		found++
		counts = append(counts, a.sharp)
		if a.right {
			right++
		} else {
			t.Logf("trial %d, %s, %v, %s, %.3g u: wrong after %d%s", i, c.Sort.Name, c.Faults,
				c.Box.Name(), c.Size, a.sharp, a.text)
		}
	}
	if len(counts) == 0 {
		t.Fatal("triage shows no fault")
	}
	slices.Sort(counts)
	median := counts[len(counts)/2]
	t.Logf("of %d faults triage shows %d; one cause of three members or fewer with 90 %% in "+
		"%d, right in %d; readings: median %d, 90 %% in %d; last acts %v; loops %d",
		n, shown, found, right, median, counts[len(counts)*9/10], acts, loops)
	t.Log(table.String())
	if median > 3 {
		t.Errorf("median of %d readings; expected 3 or fewer", median)
	}
}

// adviceTable counts trials by what they have in common.
type adviceTable struct {
	names []string
	rows  map[string]*adviceRow
}

type adviceRow struct {
	n, sharp, right int
	readings        []int // until sharp
}

func (y *adviceTable) addTrial(c *bench.Case, a advised) {
	size := "size 100 u and more"
	switch {
	case c.Size < 16:
		size = "size 8 to 16 u"
	case c.Size < 32:
		size = "size 16 to 32 u"
	case c.Size < 100:
		size = "size 32 to 100 u"
	}
	if y.rows == nil {
		y.rows = make(map[string]*adviceRow)
	}
	for _, name := range []string{"kind " + c.Sort.Name, "meter " + c.Bench.Meter.Name,
		"box " + c.Construction.String(), fmt.Sprintf("dials %d", c.Box.NumDecades()), size} {
		if y.rows[name] == nil {
			y.names, y.rows[name] = append(y.names, name), &adviceRow{}
		}
		r := y.rows[name]
		r.n++
		if a.sharp != never {
			r.sharp++
			r.readings = append(r.readings, a.sharp)
			if a.right {
				r.right++
			}
		}
	}
}

// String is a line for each name: trials, sharp, right of them, median of readings.
func (y *adviceTable) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n%-40s%8s%8s%8s%8s\n", "shown by triage", "trials", "sharp", "right",
		"median")
	slices.Sort(y.names)
	for _, name := range y.names {
		r := y.rows[name]
		slices.Sort(r.readings)
		median := "–"
		if len(r.readings) > 0 {
			median = fmt.Sprint(r.readings[len(r.readings)/2])
		}
		fmt.Fprintf(&b, "%-40s%8d%8d%8d%8s\n", name, r.n, r.sharp, r.right, median)
	}
	return b.String()
}
