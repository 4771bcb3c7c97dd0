// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/decade/internal/document"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// number reads digits that Sprintf wrote: the float64 nearest to a decimal number, where a product
// of powers of ten would be one beside it (3·0.1 is not 0.3).
func number(text string) float64 {
	v, _ := strconv.ParseFloat(text, 64)
	return v
}

// ohms prints a resistance in a sentence, with four digits and a prefix: "1.023 kΩ".
func ohms(v float64) string { return unit.Format(wording.Rounded(v, 4), unit.Ohm) }

// result says what is doubtful, and describes the box with the class that it meets.
func (id *identifyRun) result() (*Identification, error) {
	// From here on the residual is that of package verify, with zero error and leads taken into
	// account. The first one was a mean of what the meter showed.
	if err := id.zeroUncertainty(id.report); err != nil {
		return nil, err
	}
	for k := range id.dials {
		id.doubtsOf(&id.dials[k])
	}
	id.doubtSums()
	id.doubtSwitches()
	if err := id.describe(0); err != nil {
		return nil, err
	}
	if err := id.compare(); err != nil {
		return nil, err
	}
	out := &Identification{Box: id.box, Residual: id.residual, ResidualU: id.residualU,
		Readings: id.converted, Doubts: id.doubts, Report: id.report}
	for _, x := range id.dials {
		x.Step, x.Off = x.step, len(x.off)
		out.Dials = append(out.Dials, x.IdentifiedDial)
	}
	return out, nil
}

// doubtsOf says what is doubtful of a dial: its step, positions that do not fit it or were not
// read, its class. What one sentence explains, no other one repeats: a dial without a step has
// only the first.
func (id *identifyRun) doubtsOf(x *foundDial) {
	if x.step == 0 {
		if len(x.values) > 0 {
			id.addDoubt("The positions of dial %d do not rise by equal steps: are the settings "+
				"noted in the order of the dials?", x.Switch+1)
		}
		return
	}
	// A step that is no power of ten is its own explanation of what it is off from one; only a
	// power of ten can have been meant and missed.
	if ten := number(fmt.Sprintf("1e%d", elementary.DecimalExponent(x.step))); x.step != ten {
		id.addDoubt("The step of %s is no power of ten: its positions add %s each.", x.Name,
			ohms(x.Shown))
	} else if off := x.Shown/x.step - 1; math.Abs(off) > 0.01 { // up to 1 % the class says it
		id.addDoubt("All of %s is off by %+.2g %% of %s: every step drifted, or the box was meant "+
			"so.", x.Name, 100*off, ohms(x.step))
	}
	var list []string
	for _, p := range sortedKeys(x.off) {
		list = append(list, fmt.Sprintf("%d (%s)", p, ohms(x.values[p])))
	}
	if len(list) > 0 {
		id.addDoubt("%s does not fit its step at %s; its class is met without these. A check of "+
			"all readings against the box file says what is wrong inside.",
			x.Name, wording.Short(list))
	}
	// The last position is there by definition: it is the highest that occurs in a reading.
	var unread []string
	for p := 1; p < x.numPositions(); p++ {
		if !slices.ContainsFunc(sortedKeys(id.seen[x.Switch]),
			func(q int) bool { return x.position(q) == p }) {
			unread = append(unread, strconv.Itoa(p))
		}
	}
	if len(unread) > 0 {
		id.addDoubt("%s was not read at %s: if the switch does not have it, say so with the key "+
			"missing.", x.Name, wording.Short(unread))
	}
	if x.Class == 0 {
		id.addDoubt("%s meets no class up to 10 %%, or none that this meter can show.", x.Name)
	}
}

// doubtSums compares settings of several dials with the sum of the dials alone. Only the worst is
// named: whatever joins two dials or leaks shows in most settings that have both.
func (id *identifyRun) doubtSums() {
	// By dial and position, in Ω: what it adds alone, and its expanded uncertainty.
	single := make(map[[2]int]float64)
	limit := make(map[[2]int]float64)
	for i := range id.report.Rows {
		row := &id.report.Rows[i]
		if d, p := onlyDial(row.Setting); d >= 0 && !row.Overload && !row.Measured.IsZero() {
			alone := [2]int{d, p}
			single[alone], limit[alone] = row.Measured.Estimate()-id.residual, row.Expanded.U
		}
	}
	worst, where := 0.0, ""
	for i := range id.report.Rows {
		row := &id.report.Rows[i]
		if row.Overload || row.Measured.IsZero() {
			continue
		}
		// Two contacts more than a single dial, each taken at twice its scatter, and the U of
		// every part.
		sum, allowed, dials := id.residual, 4*assumedContact+2*row.Expanded.U, 0
		complete := true
		for d, p := range row.Setting.Positions() {
			if p == 0 {
				continue
			}
			v, ok := single[[2]int{d, p}]
			complete = complete && ok
			sum, allowed, dials = sum+v, allowed+2*limit[[2]int{d, p}], dials+1
		}
		if off := row.Measured.Estimate() - sum; complete && dials > 1 &&
			math.Abs(off)/allowed > max(1, worst) {
			worst, where = math.Abs(off)/allowed, fmt.Sprintf("%v by %s", row.Setting, ohms(off))
		}
	}
	if where != "" {
		id.addDoubt("Settings of several dials are not the sum of the dials alone (%s): two dials "+
			"touch, something leaks, or they are not in series.", where)
	}
}

// doubtSwitches names dials that were never off zero together, if others were. Two dials on one
// switch cannot be; that readings were not taken is no sign of it where others were not, either.
func (id *identifyRun) doubtSwitches() {
	together := make(map[int]bool)
	for pair := range id.both {
		together[pair[0]], together[pair[1]] = true, true
	}
	for b := range id.highest {
		for a := range b {
			if together[a] && together[b] && !id.both[[2]int{a, b}] && id.highest[a] > 0 &&
				id.highest[b] > 0 && id.neverTogether(a, b) {
				// Their switch is not guessed: a wrong label would forbid settings that exist.
				id.addDoubt(
					"Dials %d and %d were never off zero together: if one knob turns both, "+
						"give them one label with the key switch.", a+1, b+1)
			}
		}
	}
}

// neverTogether reports whether two dials were off zero with every other dial, but not with each
// other.
func (id *identifyRun) neverTogether(a, b int) bool {
	for c := range id.highest {
		if c == a || c == b {
			continue
		}
		if !id.both[[2]int{min(a, c), max(a, c)}] || !id.both[[2]int{min(b, c), max(b, c)}] {
			return false
		}
	}
	return len(id.highest) > 2
}

// String says in a line what was found.
func (x *Identification) String() string {
	x = cmp.Or(x, &Identification{})
	var steps []string
	for _, d := range x.Dials {
		steps = append(steps, d.Name)
	}
	return fmt.Sprintf("%s (%s), residual %s; %s", wording.Plural(len(x.Dials), "dial"),
		strings.Join(steps, ", "), wording.Ohms(x.Residual),
		wording.Plural(len(x.Doubts), "doubt"))
}

// WriteText writes what was found for a screen: the dials in a table, the residual, and the
// doubts, which come first where there are any.
func (x *Identification) WriteText(w io.Writer) error {
	x = cmp.Or(x, &Identification{})
	rows := [][]string{}
	for _, d := range x.Dials {
		rows = append(rows, d.cells())
	}
	// A residual has no sign to speak of: it loses its plus below.
	r, u := wording.SignedPair(x.Residual, x.ResidualU)
	sections := []document.Section{
		{Title: "What was found", Rows: rows, Head: []string{"Dial", "Positions", "Step",
			"Added by a step", "Code", "Class met", "Read", "Off"}},
		{Title: "Residual", Texts: []string{fmt.Sprintf(
			"With all dials at zero %s Ω, U(95 %%) = %s Ω.", strings.TrimPrefix(r, "+"), u)}},
	}
	if len(x.Doubts) > 0 {
		sections = slices.Insert(sections, 0, document.Section{Title: "In doubt", Texts: x.Doubts})
	}
	return document.Text(w, [][2]string{{"Box", x.String()}}, sections)
}

// cells are the row of a dial, in the order of the head in WriteText. A code that is not certain
// has a question mark in place of its probability.
func (d *IdentifiedDial) cells() []string {
	class, code := "none", d.Code
	if d.Class > 0 {
		class = wording.Percent(d.Class)
	}
	switch {
	case code == "":
	case d.Probability < certainCode:
		code += "?"
	default:
		code += fmt.Sprintf(" (%s)", wording.Probability(d.Probability))
	}
	return []string{
		strconv.Itoa(d.Switch + 1), fmt.Sprintf("%d to %d", d.First, d.Last), ohms(d.Step),
		ohms(d.Shown), code, class, strconv.Itoa(d.Read), strconv.Itoa(d.Off),
	}
}
