// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// answer is what is printed; resistances are in ohms.
type answer struct {
	Box        string                `json:"box"`
	Calibrated string                `json:"calibrated,omitempty"` // date; empty: nominal values
	Wanted     float64               `json:"wanted"`
	Target     decade.Target         `json:"target"`
	Best       []choice              `json:"best"`
	U          float64               `json:"u95"` // of the best, coverage probability 95 %
	AsGood     []choice              `json:"asGood,omitempty"`
	More       bool                  `json:"more,omitempty"`
	Limits     *uncertainty.Interval `json:"limits"`
	Rating     *rating               `json:"rating,omitempty"`
	Way        *turning              `json:"way,omitempty"`
	NoWay      string                `json:"noWay,omitempty"` // why the way was not judged

	Temperature *float64            `json:"temperature,omitempty"` // °C
	Budget      *uncertainty.Budget `json:"budget"`

	setting decade.Setting
	rows    int // of the budget that are written as text
}

type choice struct {
	Setting   decade.Setting `json:"setting"`
	Value     float64        `json:"value"`
	Deviation float64        `json:"deviation"`
	AsGood    bool           `json:"asGood"` // not told from the first by what is known
}

type rating struct {
	Current  float64 `json:"current"` // A
	Limiting string  `json:"limiting"`
}

// turning is the order in which dials are turned, and what is passed.
type turning struct {
	From       decade.Setting   `json:"from"`
	Order      []step           `json:"order"`
	Voltage    float64          `json:"voltage"`
	Series     float64          `json:"series"`
	Switching  decade.Switching `json:"switching"`
	Highest    float64          `json:"highestCurrent"` // A
	Use        float64          `json:"use"`            // of the rating, in power
	Limiting   string           `json:"limiting"`
	Overloaded bool             `json:"overloaded"`
	Opens      bool             `json:"opens"`
}

type step struct {
	Dial string `json:"dial"`
	To   int    `json:"to"`
}

func (a *answer) writeText(w io.Writer) error {
	var b strings.Builder
	known := "by its plate; no calibration record was given"
	if a.Calibrated != "" {
		known = "as calibrated on " + a.Calibrated
	}
	name := a.Box
	if name == "" {
		name = "The box"
	}
	at := ""
	if a.Temperature != nil {
		at = fmt.Sprintf(" at %g °C", *a.Temperature)
	}
	fmt.Fprintf(&b, "%s, %s. Wanted: %s%s, %v.\n\n", name, known,
		unit.Format(a.Wanted, unit.Ohm), at, a.Target)
	list(&b, a.Best, a.U, ", as good")
	// Values are those at the terminals; where the residual is not compared, the two columns
	// differ by it.
	if off := a.Best[0].Value - a.Wanted - a.Best[0].Deviation; math.Abs(off) > 1e-9*a.Wanted {
		fmt.Fprintf(&b, "\nValues are those at the terminals; the residual in them, %s, is left "+
			"out of the comparison.\nTo compare with it: -target %q.\n",
			files.Ohms(off, 3), decade.TargetTotal)
	}
	fmt.Fprintf(&b, "\nThe best is known to ±%.2g Ω (95 %%).", a.U)
	marked := slices.ContainsFunc(a.Best, func(c choice) bool { return c.AsGood })
	switch n := len(a.AsGood); {
	case n > 0:
		these := "These"
		if marked {
			these = "Those marked and these"
		}
		fmt.Fprintf(&b, " %s are as good, for what is known of the box:\n\n", these)
		list(&b, a.AsGood[:min(n, 10)], a.U, "")
		if n > 10 || a.More {
			fmt.Fprintf(&b, "  and more\n")
		}
	case marked:
		fmt.Fprintf(&b, " Those marked are as good, for what is known of the box.\n")
	default:
		fmt.Fprintf(&b, " No other setting comes within that of it.\n")
	}
	fmt.Fprintf(&b, "\nWith the dials at %v:\n", a.setting)
	fmt.Fprintf(&b, "  limits at the terminals by the class: %.9g Ω to %.9g Ω\n", a.Limits.Lower,
		a.Limits.Upper)
	if a.Rating != nil {
		fmt.Fprintf(&b, "  current at most %s, by %s\n",
			unit.Format(files.Rounded(a.Rating.Current, 3), unit.Ampere), a.Rating.Limiting)
	} else if !a.setting.AllZero() {
		fmt.Fprintf(&b, "  no rating is stated for every dial in use: keep the current small\n")
	}
	if a.Way != nil {
		a.Way.writeText(&b)
	}
	if a.NoWay != "" {
		fmt.Fprintf(&b, "\nTurning with the source connected cannot be judged: %s.\nDisconnect "+
			"it first.\n", a.NoWay)
	}
	conditions := "at its reference conditions"
	if a.Temperature != nil {
		conditions = fmt.Sprintf("at %g °C", *a.Temperature)
	}
	fmt.Fprintf(&b, "\nIts resistance %s:\n\n", conditions)
	if err := a.Budget.WriteLargest(&b, a.rows); err != nil {
		return err
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// list writes settings to the third digit of U, one more than is known of them, so that rows
// near each other differ; after those as good as the best stands the mark.
func list(b *strings.Builder, choices []choice, u float64, asGood string) {
	t := tabwriter.NewWriter(b, 0, 0, 3, ' ', 0)
	places := min(max(2-elementary.DecimalExponent(u), 0), 9)
	for _, c := range choices {
		mark := ""
		if c.AsGood {
			mark = asGood
		}
		fmt.Fprintf(t, "  %v\t%.*f Ω\t%+.*f Ω from wanted%s\n", c.Setting, places, c.Value, places,
			c.Deviation, mark)
	}
	t.Flush()
}

func (t *turning) writeText(b *strings.Builder) {
	fmt.Fprintf(b, "\nTurning from %v with %s through %s connected, %v:\n", t.From,
		unit.Format(t.Voltage, unit.Volt), unit.Format(t.Series, unit.Ohm), t.Switching)
	var steps []string
	for _, s := range t.Order {
		steps = append(steps, fmt.Sprintf("%s to %d", s.Dial, s.To))
	}
	if len(steps) == 0 {
		steps = []string{"the dials are there already"}
	}
	fmt.Fprintf(b, "  the order that loads the box least is %s\n", strings.Join(steps, ", then "))
	switch {
	case math.IsInf(t.Highest, 0):
		fmt.Fprint(b, "  on the way the source is short-circuited: turn it off first\n")
	case t.Limiting != "":
		fmt.Fprintf(b, "  on the way at most %s; %s reaches %.0f %% of its rated power\n",
			unit.Format(files.Rounded(t.Highest, 3), unit.Ampere), t.Limiting, 100*t.Use)
	default:
		fmt.Fprintf(b, "  on the way at most %s\n",
			unit.Format(files.Rounded(t.Highest, 3), unit.Ampere))
	}
	if t.Overloaded {
		fmt.Fprint(b, "  No order stays inside the rating: disconnect the source, then turn.\n")
	}
	if t.Opens {
		fmt.Fprint(b, "  The circuit opens on the way: anything inductive in it produces a high "+
			"voltage.\n")
	}
	fmt.Fprint(b, "  Caution: turn the source down or disconnect it first. Never mains; local "+
		"codes\n"+
		"  and licensed practice come first.\n")
}

// writeCSV writes the settings, best first.
func (a *answer) writeCSV(w io.Writer) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"setting", "value_ohm", "deviation_ohm", "as_good"}}
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }
	for _, x := range a.all() {
		rows = append(rows, []string{x.Setting.String(), number(x.Value), number(x.Deviation),
			strconv.FormatBool(x.AsGood)})
	}
	return c.WriteAll(rows)
}

// all are the settings wanted and those as good, each once.
func (a *answer) all() []choice {
	out := slices.Clone(a.Best)
	for _, x := range a.AsGood {
		if !slices.ContainsFunc(a.Best, func(y choice) bool { return y.Setting == x.Setting }) {
			out = append(out, x)
		}
	}
	return out
}
