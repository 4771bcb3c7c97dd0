// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
)

// WriteText writes the change of every element from the first calibration to the last
// and its rate, with expanded uncertainties (95 %). A star marks a change larger than
// its uncertainty.
func (d *Drift) WriteText(w io.Writer) error {
	if err := d.check("calibrate.Drift.WriteText", d.lastDate()); err != nil {
		return err
	}
	var s strings.Builder
	fmt.Fprintf(&s, "Drift of %q from %s to %s, %s; U with 95 %%\n\n", d.Box.Name(),
		d.Calibrations[0].Date.Format(time.DateOnly), d.last().Date.Format(time.DateOnly), wording.Plural(len(d.Calibrations), "calibration"))
	t := tabwriter.NewWriter(&s, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "Element\tNominal/Ω\tChange/mΩ\tU/mΩ\tChange/ppm\tRate/(ppm/year)\tU/(ppm/year)")
	for i := range d.Lines {
		if err := d.Lines[i].write(t); err != nil {
			return err
		}
	}
	t.Flush() // a strings.Builder takes everything
	s.WriteString("\n* larger than its uncertainty, as about one in twenty is by chance\n")
	for _, err := range d.Warnings {
		if e, ok := errors.AsType[*Error](err); ok {
			s.WriteString(wording.Wrap("", wording.Upper(e.Err.Error())))
		}
	}
	_, err := io.WriteString(w, s.String())
	return err
}

func (l *DriftLine) write(w io.Writer) error {
	m, err := uncertainty.EvaluateAll(l.Change, l.Rate)
	if err != nil {
		return &Error{Op: "calibrate.Drift.WriteText", Name: l.Name, Err: err}
	}
	change, rate := m.Budgets[0], m.Budgets[1]
	mark := ""
	if math.Abs(change.Estimate) > change.Expanded.U {
		mark = "*"
	}
	// The residual has no size to relate to.
	ppm, rateText, rateU := "", "", ""
	if l.Nominal > 0 && l.Name != decade.ResidualName {
		ppm, _ = wording.SignedPair(1e6*change.Estimate/l.Nominal, 1e6*change.Expanded.U/l.Nominal)
		rateText, rateU = wording.SignedPair(1e6*rate.Estimate/l.Nominal, 1e6*rate.Expanded.U/l.Nominal)
	}
	value, u := wording.SignedPair(1e3*change.Estimate, 1e3*change.Expanded.U)
	_, err = fmt.Fprintf(w, "%s\t%s\t%s%s\t%s\t%s\t%s\t%s\n", l.Name, wording.Number(l.Nominal), value, mark, u, ppm, rateText, rateU)
	return err
}
