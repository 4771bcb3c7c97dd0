// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

const (
	mostInputs = 50
	mostText   = 4000 // letters of a field
)

// A kind is a distribution as the form asks for it: estimate, uncertainty and a third field
// are the keys of a model file that they stand for; empty: not used. The words say what goes
// into the fields.
type kind struct {
	Name, Estimate, Uncertainty, More string
	UncertaintyWord, MoreWord         string
}

const (
	jointReadings = "joint readings"
	halfWidth     = "half-width"
)

var kinds = []kind{
	{"normal", "estimate", "standardUncertainty", "", "standard uncertainty", ""},
	{"t", "estimate", "standardUncertainty", "degreesOfFreedom", "standard uncertainty",
		"degrees of freedom"},
	{"certificate", "estimate", "expandedUncertainty", "coverageFactor", "U", "k"},
	{"rectangular", "estimate", "halfWidth", "", halfWidth, ""},
	{"triangular", "estimate", "halfWidth", "", halfWidth, ""},
	{"trapezoidal", "estimate", "halfWidth", "topToBase", halfWidth, "top to base"},
	{"arcsine", "estimate", "halfWidth", "", halfWidth, ""},
	{"resolution", "estimate", "step", "", "step", ""},
	{"type A", "observations", "", "", "", ""},
	{jointReadings, "observations", "", "", "", ""},
	{"constant", "estimate", "", "", "", ""},
}

func kindOf(name string) (kind, bool) {
	i := slices.IndexFunc(kinds, func(k kind) bool { return k.Name == name })
	if i < 0 {
		return kind{}, false
	}
	return kinds[i], true
}

// An inputForm is one row of the form, as it was entered.
type inputForm struct {
	Name, Unit, Kind, Estimate, Uncertainty, More, Reliability, Note string

	Message string // what is wrong with it
}

// A modelForm is a model as it was entered.
type modelForm struct {
	Name, Unit, Formula, Coverage, Correlations string

	Inputs                                   []inputForm
	FormulaMessage, CoverageMessage, Message string
	CorrelationsMessage                      string
}

// readForm takes the fields of a request.
func readForm(r *http.Request) (*modelForm, error) {
	f := &modelForm{Name: r.PostForm.Get("name"), Unit: r.PostForm.Get("unit"),
		Formula:  r.PostForm.Get("formula"),
		Coverage: r.PostForm.Get("coverage"), Correlations: r.PostForm.Get("correlations")}
	columns := []string{"inputName", "inputUnit", "inputKind", "inputEstimate", "inputUncertainty",
		"inputMore", "inputReliability", "inputNote"}
	n := len(r.PostForm[columns[0]])
	if n > mostInputs+blankInputs {
		return nil, fmt.Errorf("%d inputs; expected at most %d", n, mostInputs)
	}
	for _, c := range columns {
		if len(r.PostForm[c]) != n {
			return nil, fmt.Errorf("field %s %d times; expected once for each of %d inputs", c,
				len(r.PostForm[c]), n)
		}
	}
	for _, values := range r.PostForm {
		for _, v := range values {
			if len(v) > mostText {
				return nil, fmt.Errorf("a field of %d bytes; expected at most %d", len(v), mostText)
			}
		}
	}
	for i := range n {
		at := func(column int) string { return strings.TrimSpace(r.PostForm[columns[column]][i]) }
		if in := (inputForm{Name: at(0), Unit: at(1), Kind: at(2), Estimate: at(3),
			Uncertainty: at(4),
			More:        at(5), Reliability: at(6), Note: at(7)}); in.Name != "" ||
			in.Estimate != "" {
			f.Inputs = append(f.Inputs, in)
		}
	}
	return f, nil
}

// blankInputs are the rows for inputs to add.
const blankInputs = 2

// Rows are the inputs and a few blank rows.
func (f *modelForm) Rows() []inputForm {
	return append(slices.Clone(f.Inputs), make([]inputForm, blankInputs)...)
}

// Words say what the chosen distribution has in the fields of uncertainty and third figure.
func (in inputForm) Words() kind {
	k, _ := kindOf(in.Kind)
	return k
}

// Kinds are the distributions to choose from.
func (f *modelForm) Kinds() []kind { return kinds }

// figure writes a number as a number and everything else as a text that carries its unit.
func figure(text string) any {
	if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) {
		return v
	}
	return text
}

// figures splits readings at semicolons or line ends, or else at blanks.
func figures(text string) (out []any) {
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' })
	if len(parts) == 1 {
		if words := strings.Fields(text); !slices.ContainsFunc(words,
			func(w string) bool { _, err := strconv.ParseFloat(w, 64); return err != nil }) {
			parts = words
		}
	}
	for _, p := range parts {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, figure(p))
		}
	}
	return out
}

type object = map[string]any

// file is the form as a model file; places says which input of the form is at which index.
func (f *modelForm) file() (text []byte, places []int, err error) {
	model := object{"formula": f.Formula}
	if f.Name != "" {
		model["name"] = f.Name
	}
	if f.Unit != "" {
		model["unit"] = f.Unit
	}
	pairs, together, err := f.pairs()
	if err != nil {
		return nil, nil, err
	}
	var inputs []object
	joint := object{"names": []string{}, "units": []string{}, "observations": [][]any{}}
	group := object{"names": []string{}, "units": []string{}, "estimates": []any{},
		"standardUncertainties": []any{}, "correlations": pairs}
	grow := func(o object, key string, v any) {
		switch list := o[key].(type) {
		case []string:
			o[key] = append(list, v.(string))
		case []any:
			o[key] = append(list, v)
		case [][]any:
			o[key] = append(list, v.([]any))
		}
	}
	for i := range f.Inputs {
		in := &f.Inputs[i]
		k, ok := kindOf(in.Kind)
		switch {
		case !ok:
			in.Message = fmt.Sprintf("distribution %q; expected one of the list", in.Kind)
			return nil, nil, errEntered
		case !in.complete(k):
			return nil, nil, errEntered
		case in.Reliability != "" &&
			(k.Name == jointReadings || slices.Contains(together, in.Name)):
			in.Message = fmt.Sprintf("reliability %q; expected an empty field: inputs that are "+
				"known together have none", in.Reliability)
			return nil, nil, errEntered
		case k.Name == jointReadings:
			grow(joint, "names", in.Name)
			grow(joint, "units", in.Unit)
			grow(joint, "observations", figures(in.Estimate))
		case slices.Contains(together, in.Name) && k.Name != "normal":
			in.Message = "correlated with another input; expected a normal distribution, or " +
				"joint readings"
			return nil, nil, errEntered
		case slices.Contains(together, in.Name):
			grow(group, "names", in.Name)
			grow(group, "units", in.Unit)
			grow(group, "estimates", figure(in.Estimate))
			grow(group, "standardUncertainties", figure(in.Uncertainty))
		default:
			inputs, places = append(inputs, in.file(k)), append(places, i)
		}
	}
	if inputs != nil {
		model["inputs"] = inputs
	}
	var groups []object
	for _, o := range []object{joint, group} {
		if len(o["names"].([]string)) > 0 {
			groups = append(groups, o)
		}
	}
	if groups != nil {
		model["correlated"] = groups
	}
	text, err = json.MarshalIndent(model, "", "  ")
	return text, places, err
}

// complete reports whether the fields are those that the distribution takes; the message says
// which one is missing, or would be passed over.
func (in *inputForm) complete(k kind) bool {
	estimate := "estimate"
	if k.Estimate == "observations" {
		estimate = "readings"
	}
	in.Message = cmp.Or(
		fieldSlip(in.Name, "name", "name", k),
		fieldSlip(in.Estimate, "estimate or readings", estimate, k),
		fieldSlip(in.Uncertainty, "uncertainty", k.UncertaintyWord, k),
		fieldSlip(in.More, "third figure", k.MoreWord, k),
	)
	return in.Message == ""
}

// fieldSlip says what is wrong with a field in which the distribution has what the word says:
// it is empty, or, where the distribution has no use for it, it is not.
func fieldSlip(given, field, word string, k kind) string {
	switch {
	case word != "" && given == "":
		return fmt.Sprintf("no %s; expected it in the field %q (distribution: %s)", word, field,
			k.Name)
	case word == "" && given != "":
		return fmt.Sprintf("%s %q; expected an empty field (distribution: %s)", field, given,
			k.Name)
	}
	return ""
}

func (in *inputForm) file(k kind) object {
	o := object{"name": in.Name, "distribution": k.Name}
	for key, text := range map[string]string{"unit": in.Unit, "note": in.Note} {
		if text != "" {
			o[key] = text
		}
	}
	if k.Estimate == "observations" {
		o["observations"] = figures(in.Estimate)
	} else if in.Estimate != "" {
		o[k.Estimate] = figure(in.Estimate)
	}
	for key, text := range map[string]string{k.Uncertainty: in.Uncertainty, k.More: in.More} {
		if key != "" && text != "" {
			o[key] = figure(text)
		}
	}
	if in.Reliability != "" {
		o["reliability"] = figure(in.Reliability)
		// The file has a number; who enters it may write 10 %.
		if v, err := unit.Parse(in.Reliability, unit.Fraction); err == nil {
			o["reliability"] = v
		}
	}
	return o
}

// errEntered: something was entered that does not do; its message stands beside its field.
var errEntered = errors.New("see the fields that are marked")

// pairs reads the correlations, a line for each: the two names and r, with commas between.
func (f *modelForm) pairs() (list []object, names []string, err error) {
	list = []object{}
	for line := range strings.SplitSeq(strings.TrimSpace(f.Correlations), "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		parts := strings.FieldsFunc(line,
			func(r rune) bool { return r == ',' || r == ';' || r == ' ' || r == '\t' })
		if len(parts) != 3 {
			f.CorrelationsMessage = fmt.Sprintf("%q; expected two names and a number from -1 to "+
				"1, such as: a, b, 0.5", line)
			return nil, nil, errEntered
		}
		for _, name := range parts[:2] {
			if !slices.ContainsFunc(f.Inputs, func(in inputForm) bool { return in.Name == name }) {
				f.CorrelationsMessage = fmt.Sprintf("%q is not the name of an input", name)
				return nil, nil, errEntered
			}
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		list = append(list, object{"a": parts[0], "b": parts[1], "r": figure(parts[2])})
	}
	return list, names, nil
}

var (
	inputPlace = regexp.MustCompile(`inputs\[(\d+)\][^:]*: `)
	groupPlace = regexp.MustCompile(`correlated\[\d+\][^:]*: `)
	linePlace  = regexp.MustCompile(`^(.*?uncertainty\.\w+: )+(line \d+, column \d+: )?`)
)

// quantity reads the model. What is wrong is put beside the field that it is about.
func (f *modelForm) quantity() (uncertainty.Quantity, error) {
	text, places, err := f.file()
	if err != nil {
		return uncertainty.Quantity{}, err
	}
	y, err := uncertainty.ReadModel(bytes.NewReader(text))
	if err == nil {
		return y, nil
	}
	// The reader knows files: its place in the file becomes a field, and is not shown.
	message := linePlace.ReplaceAllString(err.Error(), "")
	if m := inputPlace.FindStringSubmatch(message); m != nil {
		if i, bad := strconv.Atoi(m[1]); bad == nil && i < len(places) {
			f.Inputs[places[i]].Message = strings.Replace(message, m[0], "", 1)
			return y, errEntered
		}
	}
	if groupPlace.MatchString(message) {
		f.CorrelationsMessage = groupPlace.ReplaceAllString(message, "")
		return y, errEntered
	}
	f.FormulaMessage = message
	return y, errEntered
}

// loaded turns a model file into fields. A file with figures that have no field is refused.
func loaded(text []byte) (*modelForm, error) {
	if _, err := uncertainty.ReadModel(bytes.NewReader(text)); err != nil {
		return nil, err
	}
	var in struct {
		Name, Unit, Formula string
		Inputs              []map[string]json.RawMessage
		Correlated          []struct {
			Names, Units []string
			Estimates    []json.RawMessage
			U            []json.RawMessage `json:"standardUncertainties"`
			Correlations []struct {
				A, B string
				R    float64
			}
			Observations [][]json.RawMessage
			DOF          json.RawMessage `json:"degreesOfFreedom"`
		}
	}
	if err := json.Unmarshal(text, &in); err != nil {
		return nil, err
	}
	f := &modelForm{Name: in.Name, Unit: in.Unit, Formula: in.Formula, Coverage: "95 %"}
	for _, row := range in.Inputs {
		x, err := loadedInput(row)
		if err != nil {
			return nil, err
		}
		f.Inputs = append(f.Inputs, x)
	}
	for _, g := range in.Correlated {
		if g.DOF != nil {
			return nil, errors.New("degrees of freedom of correlated inputs have no field here; " +
				"use examples/budget -model")
		}
		for i, name := range g.Names {
			x := inputForm{Name: name, Kind: "normal"}
			if i < len(g.Units) {
				x.Unit = g.Units[i]
			}
			if g.Observations != nil {
				x.Kind, x.Estimate = jointReadings, plainList(g.Observations[i])
			} else {
				x.Estimate, x.Uncertainty = plain(g.Estimates[i]), plain(g.U[i])
			}
			f.Inputs = append(f.Inputs, x)
		}
		for _, c := range g.Correlations {
			f.Correlations += fmt.Sprintf("%s, %s, %v\n", c.A, c.B, c.R)
		}
	}
	if len(f.Inputs) > mostInputs {
		return nil, fmt.Errorf("%d inputs; expected at most %d", len(f.Inputs), mostInputs)
	}
	return f, nil
}

func loadedInput(row map[string]json.RawMessage) (inputForm, error) {
	x := inputForm{Name: plain(row["name"]), Unit: plain(row["unit"]),
		Kind: plain(row["distribution"]),
		Note: plain(row["note"]), Reliability: plain(row["reliability"])}
	k, ok := kindOf(x.Kind)
	if !ok {
		return x, fmt.Errorf("input %q: distribution %q has no field here; use examples/budget "+
			"-model", x.Name, x.Kind)
	}
	used := []string{"name", "unit", "distribution", "note", "reliability", "id", k.Estimate,
		k.Uncertainty, k.More}
	for key := range row {
		if !slices.Contains(used, key) {
			return x, fmt.Errorf("input %q: %q has no field here; use examples/budget -model",
				x.Name, key)
		}
	}
	x.Estimate, x.Uncertainty = plain(row[k.Estimate]), plain(row[k.Uncertainty])
	x.More = plain(row[k.More])
	if k.Estimate == "observations" {
		var list []json.RawMessage
		if err := json.Unmarshal(row[k.Estimate], &list); err != nil {
			return x, err
		}
		x.Estimate = plainList(list)
	}
	return x, nil
}

// plain is a number or a text of a file as it would be entered.
func plain(raw json.RawMessage) string {
	var text string
	if json.Unmarshal(raw, &text) == nil {
		return text
	}
	return string(raw)
}

func plainList(raw []json.RawMessage) string {
	var parts []string
	for _, r := range raw {
		parts = append(parts, plain(r))
	}
	return strings.Join(parts, "; ")
}
