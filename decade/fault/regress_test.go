// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the diagnoses anew")

// Diagnoses of simulated boxes as they were. That they are right is what TestRates and the bench
// show; here a change in any of them is seen, in a probability, a value, a sentence or the next
// step. With -update the file is written anew: read the difference, each line of it wants a
// reason.
func TestDiagnosesAsTheyWere(t *testing.T) {
	if raceDetector {
		t.Skip("nothing runs at the same time")
	}
	list := shortConstructions(t) // the same in the long run
	var out strings.Builder
	for i := range 2*len(simulated) + 5 {
		c, rng := list[i%len(list)], rand.New(rand.NewPCG(uint64(i), 20261129))
		var faults []Fault
		f, _, ok := c.drawFault(rng, simulated[i%len(simulated)], 4+20*rng.Float64())
		if !ok {
			continue
		}
		faults = append(faults, f)
		if i%3 == 2 {
			if g, _, ok := c.drawFault(rng, simulated[rng.IntN(len(simulated))], 20); ok {
				faults = append(faults, g)
			}
		}
		d, err := c.run(uint64(i), Options{}, faults)
		if err != nil {
			fmt.Fprintf(&out, "%d %s: %v\n", i, c.name, err)
			continue
		}
		if flat(d) {
			continue
		}
		fmt.Fprintf(&out, "%d %s: %s\n", i, c.name, (&hypothesis{faults: faults}).in(c))
		writeDiagnosis(&out, c, d)
	}
	file := filepath.Join("testdata", "diagnoses.txt")
	if *update {
		if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	was, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got, want := strings.Split(out.String(), "\n"), strings.Split(string(was), "\n")
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("%s, line %d: now\n%s", file, i+1, strings.Join(got[min(i, len(got)):min(i+1, len(got))], ""))
		}
	}
}

// flat reports whether a cause has a touch, which may have any value below what the readings see:
// where the search stops there is not the same on every processor.
func flat(d *Diagnosis) bool {
	return slices.ContainsFunc(d.Causes, func(c Cause) bool {
		return c.Probability > 1e-4 && slices.ContainsFunc(c.Faults, func(f Fault) bool {
			return f.logarithmic() && f.Value < 3*f.Uncertainty
		})
	})
}

// writeDiagnosis writes what is stated to digits that other processors give as well.
func writeDiagnosis(out *strings.Builder, c *construction, d *Diagnosis) {
	fmt.Fprintf(out, "\thealthy %v\n", d.Healthy)
	for _, x := range d.Causes[:min(4, len(d.Causes))] {
		if x.Probability < 1e-3 {
			break
		}
		fmt.Fprintf(out, "\t%.3f %s\n", x.Probability, x.Sentence)
		for _, f := range x.Faults {
			fmt.Fprintf(out, "\t\t%s: %.3g, U %.2g, scatter %.2g\n", f.In(c.box), f.Value, f.Uncertainty, f.Scatter)
		}
		fmt.Fprintf(out, "\t\t%d equal, %d settings\n", len(x.Equal), len(x.Settings))
	}
	fmt.Fprintf(out, "\tnext %v %v: %s\n", d.Next.Act, d.Next.Setting, d.Next.Text)
	for _, w := range d.Warnings {
		fmt.Fprintf(out, "\twarning %v\n", w)
	}
}

// in names the faults of a hypothesis.
func (h *hypothesis) in(c *construction) string {
	var words []string
	for _, f := range h.faults {
		words = append(words, f.In(c.box))
	}
	return strings.Join(words, " with ")
}
