// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/examples/pictures/internal/report"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// ownFiles are the files that the user named.
type ownFiles struct {
	box, meter, readings, record, model, setting *string
	earlier                                      *[]string
}

func (o ownFiles) given() bool {
	return *o.box != "" || *o.meter != "" || *o.readings != "" || *o.record != "" ||
		*o.model != "" || len(*o.earlier) > 0
}

// gallery collects the drawings of one run, for their files and for the page.
type gallery struct {
	page    *report.Page
	names   []string
	figures []*chart.Figure
}

func (g *gallery) draw(name string, f *chart.Figure, err error) {
	g.page.AddPicture(name, f, err)
	if err == nil {
		g.names, g.figures = append(g.names, name), append(g.figures, f)
	}
}

// write draws what the files allow, and the page.
func (o ownFiles) write(ctx context.Context, p *files.Program, out io.Writer, to string,
	formats []string) error {
	g, err := o.gallery(ctx, p)
	if err != nil {
		return err
	}
	for i, f := range g.figures {
		if err := write(out, to, g.names[i], f, formats); err != nil {
			return fmt.Errorf("%s: %w", g.names[i], err)
		}
	}
	file := filepath.Join(to, "report.html")
	if err := files.Save(file, g.page.WriteHTML); err != nil {
		return err
	}
	fmt.Fprintln(out, file)
	for _, m := range g.page.Missing {
		fmt.Fprintln(out, "not drawn:", m)
	}
	return nil
}

func (o ownFiles) gallery(ctx context.Context, p *files.Program) (*gallery, error) {
	switch {
	case *o.model != "" && *o.box != "":
		return nil, errors.New("-model and -box; expected one of them")
	case *o.model != "":
		return o.ofModel(ctx, p)
	case *o.box == "":
		return nil, errors.New("no -box; expected the file that describes the box beside the " +
			"others")
	case (*o.meter == "") != (*o.readings == ""):
		return nil, errors.New("-meter or -readings alone; expected both or none")
	case *o.meter == "" && *o.record == "" && len(*o.earlier) == 0:
		return nil, errors.New("-box alone; expected -meter and -readings, or calibration " +
			"records with -record and -earlier")
	}
	return o.ofBox(ctx, p)
}

func (o ownFiles) ofModel(ctx context.Context, p *files.Program) (*gallery, error) {
	y, err := files.Open(p, *o.model, "", uncertainty.ReadModel)
	if err != nil {
		return nil, err
	}
	b, err := uncertainty.Evaluate(y)
	if err != nil {
		return nil, unit.Cause(err)
	}
	name := cmp.Or(b.Name, "result")
	g := &gallery{page: report.OfBudget("Uncertainty of "+name, b)}
	f, err := chart.Shares(b, "Shares of the budget of "+name, "")
	g.draw("budget", f, err)
	f, err = distribution(ctx, y, b, name)
	g.draw("distribution", f, err)
	return g, nil
}

// distribution simulates a result.
func distribution(ctx context.Context, y uncertainty.Quantity, b *uncertainty.Budget,
	name string) (*chart.Figure, error) {
	s, err := uncertainty.MonteCarlo{Seed: 1}.Run(ctx, y)
	if err != nil {
		return nil, unit.Cause(err)
	}
	note := fmt.Sprintf("Intervals of %g %% coverage: y ± U by JCGM 100, the others by JCGM 101, "+
		"%d trials.", 100*s.Outputs[0].Coverage, s.Trials)
	return chart.Distribution(b, &s.Outputs[0], name, "Distribution of "+name, note)
}

func (o ownFiles) ofBox(ctx context.Context, p *files.Program) (*gallery, error) {
	box, history, err := o.records(p)
	if err != nil {
		return nil, err
	}
	g := &gallery{page: &report.Page{Title: "Calibration records of " +
		cmp.Or(box.Name(), "a decade box")}}
	var s decade.Setting
	if *o.setting != "" {
		if s, err = box.ParseSetting(*o.setting); err != nil {
			return nil, fmt.Errorf("-setting: %w", unit.Cause(err))
		}
	}
	if *o.readings != "" {
		r, err := o.inspection(ctx, p, g, &s)
		if err != nil {
			return nil, err
		}
		if history, err = o.continued(g, history, r); err != nil {
			return nil, err
		}
	}
	if s.IsValid() && s.Nominal() == 0 && *o.setting == "" {
		// Of a sound box zero may speak most; it has no class limit that a drift could reach.
		s = decade.Setting{}
	}
	if len(history) > 0 {
		if err := o.history(ctx, g, box, history, s); err != nil {
			return nil, err
		}
	}
	f, err := impedanceOf(box)
	g.draw("impedance", f, err)
	return g, nil
}

// records reads the box and its calibrations, oldest first.
func (o ownFiles) records(p *files.Program) (*decade.Box, []*decade.Calibration, error) {
	box, err := files.Open(p, *o.box, "", decade.ReadBox)
	if err != nil {
		return nil, nil, err
	}
	names := *o.earlier
	if *o.record != "" {
		names = append(slices.Clone(names), *o.record)
	}
	history, err := files.OpenEarlier(p, names, box)
	slices.SortStableFunc(history,
		func(a, b *decade.Calibration) int { return a.Date.Compare(b.Date) })
	return box, history, err
}

// continued adds to earlier records that of the readings as found, unless it was given.
func (o ownFiles) continued(g *gallery, history []*decade.Calibration,
	r *verify.Report) ([]*decade.Calibration, error) {
	if *o.record != "" || len(history) == 0 {
		return history, nil
	}
	found, err := files.RecordAsFound(r)
	if err != nil {
		return nil, unit.Cause(err)
	}
	if found == nil {
		g.page.Missing = append(g.page.Missing,
			"drift to these readings: as found they do not give a value of every element")
		return history, nil
	}
	return append(history, found), nil
}

// inspection adds what the readings say: deviations, causes, and the budget of a setting.
func (o ownFiles) inspection(ctx context.Context, p *files.Program, g *gallery,
	s *decade.Setting) (*verify.Report, error) {
	r, err := files.OpenReport(p, *o.box, *o.meter, *o.readings, "")
	if err != nil {
		return nil, err
	}
	answer, err := inspect.New(ctx, r, fault.Options{})
	if err != nil {
		return nil, err
	}
	g.page = report.OfBox(answer)
	name := cmp.Or(r.Box.Name(), "the box")
	f, err := chart.Deviations(r, "Deviations of "+name+" from nominal, against its class",
		"Bars: expanded uncertainty, 95 %. At an edge: off the scale, with values.")
	g.draw("deviations", f, err)
	f, err = chart.Causes(answer.Diagnosis, "What may be wrong with "+name,
		"From the readings so far.")
	if answer.Diagnosis == nil {
		err = cmp.Or(answer.NoDiagnosis, err)
	}
	g.draw("causes", f, err)
	row := rowOf(r, *s, answer)
	if row == nil {
		g.page.Missing = append(g.page.Missing, "budget: no setting was read with a value")
		return r, nil
	}
	*s = row.Setting
	return r, drawResult(ctx, g, row.Deviation, "deviation of "+row.Setting.String())
}

// rowOf is the last row of the setting, or of the one that speaks most.
func rowOf(r *verify.Report, s decade.Setting, answer *inspect.Answer) *verify.Row {
	text := ""
	if s.IsValid() {
		text = s.String()
	} else if s := answer.Strongest(); s.IsValid() {
		text = s.String()
	}
	for i := range slices.Backward(r.Rows) {
		if row := &r.Rows[i]; !row.Overload && row.Setting.String() == text {
			return row
		}
	}
	return nil
}

// drawResult adds the budget of a result, its shares and its distribution.
func drawResult(ctx context.Context, g *gallery, y uncertainty.Quantity, name string) error {
	b, err := uncertainty.Evaluate(y)
	if err != nil {
		return unit.Cause(err)
	}
	g.page.AddBudget("Uncertainty budget: "+name, b)
	f, err := chart.Shares(b, "Shares of the budget: "+name, "")
	g.draw("budget", f, err)
	f, err = distribution(ctx, y, b, name)
	g.draw("distribution", f, err)
	return nil
}

// history adds the drift over the records, or the budget of the only one.
func (o ownFiles) history(ctx context.Context, g *gallery, box *decade.Box,
	history []*decade.Calibration, s decade.Setting) error {
	last := history[len(history)-1]
	if len(history) < 2 {
		if *o.readings != "" {
			g.page.Missing = append(g.page.Missing,
				"drift: one calibration record; expected an earlier one too, with -earlier")
			return nil
		}
		measured, err := box.With(last)
		if err != nil {
			return err
		}
		if s, err = settingOf(measured, s); err != nil {
			return err
		}
		return drawResult(ctx, g, s.Resistance(), "resistance of "+s.String())
	}
	d, err := calibrate.NewDrift(box, history...)
	if err != nil {
		return unit.Cause(err)
	}
	if len(g.page.Verdict) == 0 {
		g.page.Verdict = []string{fmt.Sprintf("%d calibrations from %s to %s.", len(history),
			history[0].Date.Format(time.DateOnly), last.Date.Format(time.DateOnly))}
	}
	s, due, err := firstDue(d, box, s)
	if err != nil {
		g.draw("drift", nil, err)
		return nil
	}
	note := "Inside its class with a probability of at least 97.5 % for the next twenty years."
	switch {
	case due.IsZero():
	case !due.After(last.Date):
		note = "Inside its class with a probability below 97.5 % already at the last calibration."
	default:
		note = "Due in " + due.Format("January 2006") +
			": until then inside its class with a probability of at least 97.5 %."
	}
	f, err := chart.Drift(d, history, s, due, "Drift of setting "+s.String()+" with its prediction",
		note)
	g.draw("drift", f, err)
	return nil
}

// settingOf is the setting on the box, or the largest dial at 1.
func settingOf(box *decade.Box, s decade.Setting) (decade.Setting, error) {
	if s.IsValid() {
		return s.On(box)
	}
	return box.Zero().With(0, 1)
}

// firstDue is the setting, or of each dial at 1 the one that is first to leave its class.
func firstDue(d *calibrate.Drift, box *decade.Box,
	s decade.Setting) (decade.Setting, time.Time, error) {
	candidates := []decade.Setting{s}
	if !s.IsValid() {
		candidates = nil
		for dial := range box.Decades() {
			if c, err := box.Zero().With(dial, 1); err == nil {
				candidates = append(candidates, c)
			}
		}
	}
	var best decade.Setting
	var first time.Time
	var failed error
	for _, c := range candidates {
		due, leaves, err := d.Due(c, 0.975)
		switch {
		case err != nil:
			failed = unit.Cause(err)
		case !best.IsValid(), leaves && (first.IsZero() || due.Before(first)):
			best = c
			if first = (time.Time{}); leaves {
				first = due
			}
		}
	}
	if !best.IsValid() {
		return best, first, failed
	}
	return best, first, nil
}

// impedanceOf shows each dial at 1, from the largest.
func impedanceOf(box *decade.Box) (*chart.Figure, error) {
	var settings []decade.Setting
	for dial := range box.Decades() {
		if s, err := box.Zero().With(dial, 1); err == nil && len(settings) < 5 {
			settings = append(settings, s)
		}
	}
	return chart.Impedance(settings, "Impedance error of "+cmp.Or(box.Name(),
		"the box")+" against frequency",
		"Dotted: 0.1 %, with the frequency at which each setting reaches it.")
}
