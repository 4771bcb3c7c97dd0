// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"slices"
	"strconv"

	"example.com/ohmwright/examples/internal/models"
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/examples/pictures/internal/report"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// trials of a simulation: enough for two digits of an interval, and done at once.
const trials = 50_000

// budgetPage is what the template "budgetPage" shows.
type budgetPage struct {
	Models []models.Model
	Chosen string
	File   string // a model file that was pasted
	Form   *modelForm
	Result *budgetResult
	Error  string
}

// budgetResult is the answer to a model.
type budgetResult struct {
	Statement string
	Budget    report.Budget
	Pictures  []report.Picture
	Verdict   string // whether the law of propagation stands
	Intervals [][2]string
	Halved    []halved
	Missing   []string
}

// halved is what changes if the uncertainty of one input were halved.
type halved struct {
	Input, U, Change string
}

// budget shows a model: one of the list, a pasted file, or what the fields say.
func (s *server) budget(w http.ResponseWriter, r *http.Request) {
	page := &budgetPage{Models: models.All, Chosen: cmp.Or(r.Form.Get("model"), models.All[0].Name)}
	status := http.StatusOK
	fail := func(err error) {
		status, page.Error = http.StatusUnprocessableEntity, unit.Cause(err).Error()
	}
	var err error
	switch {
	case r.PostForm.Has("formula"):
		if page.Form, err = readForm(r); err != nil {
			s.refuse(w, http.StatusBadRequest, err)
			return
		}
		page.Chosen = ""
	case r.PostForm.Has("file"):
		page.File, page.Chosen = r.PostForm.Get("file"), ""
		page.Form, err = loaded([]byte(page.File))
	default:
		var text []byte
		if text, err = models.Text(page.Chosen); err == nil {
			page.Form, err = loaded(text)
		}
	}
	if err != nil {
		fail(err)
		page.Form = cmp.Or(page.Form, &modelForm{Coverage: "95 %"})
	} else if page.Result, err = evaluate(r.Context(), page.Form); r.Context().Err() != nil {
		s.refuse(w, http.StatusServiceUnavailable, errTooMuch)
		return
	} else if err != nil {
		fail(err)
	}
	s.show(w, status, "budgetPage", page)
}

// coverage reads the coverage probability.
func (f *modelForm) coverage() (float64, error) {
	if f.Coverage == "" {
		return 0.95, nil
	}
	// A number alone is a fraction, as in the files; 95 is none, and may have lost its sign.
	p, err := unit.ParseNumber(f.Coverage)
	if err != nil {
		p, err = unit.Parse(f.Coverage, unit.Fraction)
	}
	if err == nil && !(p > 0 && p < 1) {
		err = fmt.Errorf("%s; expected more than 0 %% and less than 100 %%, such as 95 %%",
			f.Coverage)
	}
	if err != nil {
		f.CoverageMessage = unit.Cause(err).Error()
		return 0, errEntered
	}
	return p, nil
}

func evaluate(ctx context.Context, f *modelForm) (*budgetResult, error) {
	p, err := f.coverage()
	if err != nil {
		return nil, err
	}
	y, err := f.quantity()
	if err != nil {
		return nil, err
	}
	b, err := uncertainty.Evaluate(y)
	if err != nil {
		f.FormulaMessage = unit.Cause(err).Error()
		return nil, errEntered
	}
	if b, err = b.AtCoverage(p); err != nil {
		return nil, err
	}
	head, rows, hidden := b.Table()
	out := &budgetResult{Statement: b.Statement()[0],
		Budget: report.Budget{Title: "Budget", Head: head, Rows: rows, Hidden: hidden,
			Statement: b.Statement(), Warnings: b.WarningTexts()}}
	name := cmp.Or(b.Name, "result")
	out.draw(chart.Shares(b, "Shares of the variance of "+name, ""))
	if err := out.simulate(ctx, y, b, name, p); err != nil {
		return nil, err
	}
	return out, out.vary(y, b)
}

func (out *budgetResult) draw(f *chart.Figure, err error) {
	if err == nil {
		var picture report.Picture
		if picture, err = report.NewPicture(f); err == nil {
			out.Pictures = append(out.Pictures, picture)
		}
	}
	if err != nil {
		out.Missing = append(out.Missing, err.Error())
	}
}

// simulate adds the distribution, the intervals and the verdict of clause 8.
func (out *budgetResult) simulate(ctx context.Context, y uncertainty.Quantity,
	b *uncertainty.Budget, name string, p float64) error {
	sim, err := uncertainty.MonteCarlo{Seed: 1, Trials: trials, Coverage: p}.Run(ctx, y)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		out.Missing = append(out.Missing, "Monte Carlo: "+unit.Cause(err).Error())
		return nil
	}
	o := &sim.Outputs[0]
	note := fmt.Sprintf("Intervals of %.4g %% coverage: y ± U by JCGM 100, the others by JCGM "+
		"101, %d trials.", 100*p, sim.Trials)
	out.draw(chart.Distribution(b, o, name, "Distribution of "+name, note))
	interval := func(i uncertainty.Interval) string {
		middle, half := (i.Lower+i.Upper)/2, i.Width()/2
		return between(middle-half, middle+half, half, b.Unit)
	}
	out.Intervals = [][2]string{
		{"y ± U, law of propagation (JCGM 100)", interval(b.Expanded.Interval)},
		{"equal tails, Monte Carlo (JCGM 101)", interval(o.Symmetric)},
		{"shortest, Monte Carlo (JCGM 101)", interval(o.Shortest)},
	}
	if best, err := b.BestInterval(p); err == nil {
		out.Intervals = slices.Insert(out.Intervals, 1, [2]string{"by the laws of the inputs",
			interval(best)})
	}
	c, err := uncertainty.Compare(b, o, 1)
	if err != nil {
		return err
	}
	out.Verdict = "By clause 8 of JCGM 101, " + c.String() + "."
	if !c.Stands {
		out.Verdict += " Report an interval of the simulation, such as " +
			interval(o.Symmetric) + "."
	}
	return nil
}

// between rounds two ends to the digits that half the width allows.
func between(low, high, half float64, symbol string) string {
	end := func(v float64) string {
		text := uncertainty.FormatPlusMinus(v, half, 2)
		for i, r := range text {
			if r == ' ' {
				return text[:i]
			}
		}
		return text
	}
	if symbol != "" && symbol != "1" {
		symbol = " " + symbol
	} else {
		symbol = ""
	}
	return end(low) + " to " + end(high) + symbol
}

// vary asks of each input what half its uncertainty would do.
func (out *budgetResult) vary(y uncertainty.Quantity, b *uncertainty.Budget) error {
	for _, c := range b.Components {
		v, err := uncertainty.Vary(y, c.Name)
		if err != nil {
			return err
		}
		for _, s := range v.Scaled {
			if s.Factor != 0.5 || b.StandardUncertainty == 0 {
				continue
			}
			change := 100 * (s.StandardUncertainty/b.StandardUncertainty - 1)
			out.Halved = append(out.Halved,
				halved{c.Name, strconv.FormatFloat(s.StandardUncertainty, 'g', 2, 64),
					fmt.Sprintf("%+.0f %%", math.Round(change)+0)})
		}
	}
	return nil
}

// export sends the budget or the model as a file.
func (s *server) export(w http.ResponseWriter, r *http.Request) {
	f, err := readForm(r)
	if err != nil {
		s.refuse(w, http.StatusBadRequest, err)
		return
	}
	format := r.PostForm.Get("format")
	text, name, kind, err := exported(f, format)
	if err != nil {
		page := &budgetPage{Models: models.All, Form: f, Error: unit.Cause(err).Error()}
		s.show(w, http.StatusUnprocessableEntity, "budgetPage", page)
		return
	}
	download(w, name, kind, text)
}

func exported(f *modelForm, format string) (text []byte, name, kind string, err error) {
	if format == "model" {
		if _, err = f.quantity(); err != nil {
			return nil, "", "", err
		}
		text, _, err = f.file()
		return text, "model.json", "application/json", err
	}
	p, err := f.coverage()
	if err != nil {
		return nil, "", "", err
	}
	y, err := f.quantity()
	if err != nil {
		return nil, "", "", err
	}
	b, err := uncertainty.Evaluate(y)
	if err == nil {
		b, err = b.AtCoverage(p)
	}
	if err != nil {
		return nil, "", "", err
	}
	var out bytes.Buffer
	write, found := map[string]func(io.Writer) error{
		"markdown": b.WriteMarkdown, "csv": b.WriteCSV, "latex": b.WriteLaTeX,
		"json": func(w io.Writer) error {
			text, err := b.MarshalJSON()
			if err == nil {
				_, err = w.Write(text)
			}
			return err
		},
	}[format]
	if !found {
		return nil, "", "", errors.New("expected markdown, csv, json, latex or model as the format")
	}
	names := map[string][2]string{"markdown": {"budget.md", "text/markdown"},
		"csv":   {"budget.csv", "text/csv"},
		"latex": {"budget.tex", "text/plain"}, "json": {"budget.json", "application/json"}}
	err = write(&out)
	return out.Bytes(), names[format][0], names[format][1], err
}
