// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/examples/pictures/internal/report"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

const mostReadings = 2000

// boxPage is what the template "boxPage" shows.
type boxPage struct {
	Box, Meter, Readings string // files as they were pasted
	State                string // the inspection as JSON: what is carried from page to page
	Setting, Values      string // of the next reading, if it was refused
	Rows                 []string
	Row                  string // whose budget is shown
	Page                 *report.Page
	Next                 string
	Error, BoxError      string
	MeterError           string
	ReadingsError        string
	NextError            string
}

var errFiles = errors.New("see the fields that are marked")

// box begins an inspection, adds a reading, takes one back, or resumes.
func (s *server) box(w http.ResponseWriter, r *http.Request) {
	page := &boxPage{}
	if r.Method == http.MethodGet {
		s.show(w, http.StatusOK, "boxPage", page)
		return
	}
	err := page.fill(r)
	if err == nil {
		var in *inspect.Inspection
		if in, err = page.inspection(r); err == nil {
			err = page.answer(r.Context(), in)
		}
	}
	status := http.StatusOK
	if err != nil {
		page.Error, status = unit.WithoutOp(err).Error(), http.StatusUnprocessableEntity
	}
	s.show(w, status, "boxPage", page)
}

// fill takes files or pasted text, the file where there are both.
func (p *boxPage) fill(r *http.Request) error {
	for name, to := range map[string]*string{"box": &p.Box, "meter": &p.Meter,
		"readings": &p.Readings, "state": &p.State} {
		*to = r.PostForm.Get(name)
		f, _, err := r.FormFile(name + "File")
		if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
			continue
		}
		if err != nil {
			return err
		}
		text, err := io.ReadAll(f)
		if err := errors.Join(err, f.Close()); err != nil {
			return err
		}
		if len(text) > 0 {
			*to = string(text)
		}
	}
	p.Setting, p.Values = r.PostForm.Get("setting"), r.PostForm.Get("values")
	p.Row = r.PostForm.Get("row")
	return nil
}

// inspection is the one that the page carries, with what the button asks for, or a new one.
func (p *boxPage) inspection(r *http.Request) (*inspect.Inspection, error) {
	if strings.TrimSpace(p.State) == "" {
		return p.begin()
	}
	in := new(inspect.Inspection)
	if err := json.Unmarshal([]byte(p.State), in); err != nil {
		return nil, fmt.Errorf("saved inspection: %w", unit.WithoutOp(err))
	}
	switch r.PostForm.Get("act") {
	case "add":
		readings, err := typed(in, p.Setting, p.Values)
		if err == nil && len(in.Readings())+len(readings) > mostReadings {
			err = fmt.Errorf("%d readings; expected at most %d", len(in.Readings())+1, mostReadings)
		}
		if err == nil {
			err = in.Add(readings...)
		}
		if err != nil {
			// The reader of files counts lines and columns, which are not on the page.
			p.NextError = strings.TrimPrefix(unit.WithoutOp(err).Error(), "line 2: column ")
			break
		}
		p.Setting, p.Values = "", ""
	case "undo":
		in.Undo()
	}
	return in, nil
}

// begin reads the three files; each refusal stands beside its field.
func (p *boxPage) begin() (*inspect.Inspection, error) {
	box, err := decade.ReadBox(strings.NewReader(p.Box))
	if err != nil {
		p.BoxError = unit.WithoutOp(err).Error()
		return nil, errFiles
	}
	meter, err := verify.ReadMeter(strings.NewReader(p.Meter))
	if err != nil {
		p.MeterError = unit.WithoutOp(err).Error()
		return nil, errFiles
	}
	var readings []verify.Reading
	if strings.TrimSpace(p.Readings) != "" {
		if readings, err = verify.ReadReadings(strings.NewReader(p.Readings), box); err != nil {
			p.ReadingsError = unit.WithoutOp(err).Error()
			return nil, errFiles
		}
	}
	if len(readings) > mostReadings {
		p.ReadingsError = fmt.Sprintf("%d readings; expected at most %d", len(readings),
			mostReadings)
		return nil, errFiles
	}
	in, err := inspect.NewInspection(box, meter, conformity.Guarded(1), fault.Options{})
	if err != nil {
		return nil, err
	}
	if err := in.Add(readings...); err != nil {
		p.ReadingsError = unit.WithoutOp(err).Error()
		return nil, errFiles
	}
	return in, nil
}

// typed reads one dialling with the reader of files: a setting, and what the meter showed.
func typed(in *inspect.Inspection, setting, values string) ([]verify.Reading, error) {
	s, err := in.Box().ParseSetting(setting)
	if err != nil {
		return nil, err
	}
	head, row := []string{"setting"}, []string{s.String()}
	for _, v := range strings.FieldsFunc(values,
		func(r rune) bool { return r == ';' || r == '\n' }) {
		if v = strings.TrimSpace(v); v != "" {
			head = append(head, fmt.Sprintf("value %d", len(row)))
			row = append(row, v)
		}
	}
	if len(row) == 1 {
		return nil, errors.New("no value; expected what the meter showed, or OL for overload")
	}
	var text strings.Builder
	w := csv.NewWriter(&text)
	w.Comma = '\t' // a decimal comma stays in its cell
	if err := w.WriteAll([][]string{head, row}); err != nil {
		return nil, err
	}
	readings, err := verify.ReadReadings(strings.NewReader(text.String()), in.Box())
	for i := range readings {
		readings[i].Dialling, readings[i].Line = 0, 0 // counted by the inspection
	}
	return readings, err
}

// answer fills the page with what the inspection says.
func (p *boxPage) answer(ctx context.Context, in *inspect.Inspection) error {
	text, err := json.Marshal(in)
	if err != nil {
		return err
	}
	p.State = string(text)
	if len(in.Readings()) == 0 {
		p.Next = in.Coverage().String()
		return nil
	}
	a, err := in.Complete(ctx)
	if err != nil && ctx.Err() != nil {
		return errors.New("the search for causes took too long; read fewer settings at once")
	}
	if err != nil {
		return err
	}
	p.Page, p.Next = report.OfBox(a), a.Next.Text
	f, err := chart.Deviations(a.Report, "Deviations from nominal, against the class",
		"Bars: expanded uncertainty, 95 %. At an edge: off the scale, with values.")
	p.Page.AddPicture("deviations", f, err)
	if a.Diagnosis != nil {
		f, err = chart.Causes(a.Diagnosis, "What may be wrong", "From the readings so far.")
		p.Page.AddPicture("causes", f, err)
	}
	return p.budgetOf(a)
}

// budgetOf adds the budget of the chosen row.
func (p *boxPage) budgetOf(a *inspect.Answer) error {
	for _, row := range a.Report.Rows {
		if name := row.Setting.String(); !row.Overload && !slices.Contains(p.Rows, name) {
			p.Rows = append(p.Rows, name)
		}
	}
	if p.Row == "" || !slices.Contains(p.Rows, p.Row) {
		if s := a.Strongest(); s.IsValid() {
			p.Row = s.String()
		}
	}
	for _, row := range slices.Backward(a.Report.Rows) {
		if row.Overload || row.Setting.String() != p.Row {
			continue
		}
		b, err := uncertainty.Evaluate(row.Deviation)
		if err != nil {
			return err
		}
		p.Page.AddBudget("Uncertainty budget of "+p.Row, b)
		return nil
	}
	return nil
}

// save sends the inspection as a file to resume from.
func (s *server) save(w http.ResponseWriter, r *http.Request) {
	in := new(inspect.Inspection)
	err := json.Unmarshal([]byte(r.PostForm.Get("state")), in)
	if err != nil {
		s.refuse(w, http.StatusUnprocessableEntity, fmt.Errorf("saved inspection: %w",
			unit.WithoutOp(err)))
		return
	}
	text, err := json.MarshalIndent(in, "", "  ")
	if err != nil {
		s.refuse(w, http.StatusUnprocessableEntity, unit.Cause(err))
		return
	}
	download(w, "inspection.json", "application/json", text)
}
