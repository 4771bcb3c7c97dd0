// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A diagnosis in a file is a record: it is kept with the readings and read years later, perhaps by
// another version of this package. So it has the sentences, steps and cautions as they were
// printed, beside the kinds, places and values from which a program works; reading it makes no
// new sentence, and no diagnosis. It has the description of its box, since a place without a box
// is a pair of numbers.
//
// What is left out is made again, or cannot be: Value of a cause follows from its first fault; a
// warning is its text, and of its cause in Go nothing stays for errors.Is.
//
// Absent keys are what does not apply: a place without a dial, a fault without a value. Zero says
// the same, but for numbers in places, where 0 is a number like others: "link" without "number" is
// link 0.
//
// A file may have been edited. What is read is held against the box of the file: places must
// exist, settings can be dialled, faults be ones that the box can have, probabilities be such. The
// first error that is found is returned, with the path of its key: "causes[0].faults[1].at.dial".
// Sentences are not compared with the faults that they are about.

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// The forms of a Diagnosis in JSON; examples/formats/README.md lists the keys. The fields of
// jsonRepair are those of Repair in their order, so that one converts to the other; jsonFault has
// the order that jsonFaults fills it in.
type (
	jsonDiagnosis struct {
		Box         *decade.Box `json:"box"`
		Healthy     bool        `json:"healthy"`
		Probability float64     `json:"probability"`
		Causes      []jsonCause `json:"causes"` // [] and not null where there are none
		Next        jsonStep    `json:"next"`
		ChiSquared  float64     `json:"chiSquared"`
		Readings    int         `json:"readings"`
		Weights     Weights     `json:"weights"`
		Warnings    []string    `json:"warnings,omitempty"`
	}
	jsonCause struct {
		Kind        Kind          `json:"kind"`
		Probability float64       `json:"probability"`
		Sentence    string        `json:"sentence"` // as it was printed
		Faults      []jsonFault   `json:"faults"`
		Equal       [][]jsonFault `json:"equal,omitempty"`
		Settings    []string      `json:"settings,omitempty"`
		Repair      jsonRepair    `json:"repair"`
	}
	jsonFault struct {
		Kind        Kind       `json:"kind"`
		A           *jsonPlace `json:"at,omitempty"`
		B           *jsonPlace `json:"and,omitempty"`
		Value       float64    `json:"value,omitempty"` // Ω, a fraction, or positions
		Uncertainty float64    `json:"standardUncertainty,omitempty"`
		Scatter     float64    `json:"scatter,omitempty"`
		Name        string     `json:"name,omitempty"`
		Wraps       bool       `json:"turnsRound,omitempty"`
		Stops       bool       `json:"stopsAtEnd,omitempty"`
	}
	jsonPlace struct {
		Part   Part `json:"part"`
		Dial   int  `json:"dial,omitempty"` // from 1; absent: the part is of no dial
		Number int  `json:"number,omitempty"`
	}
	jsonStep struct {
		Act      Act          `json:"act"`
		Setting  string       `json:"setting,omitempty"`
		Range    string       `json:"range,omitempty"`
		Places   []*jsonPlace `json:"places,omitempty"`
		Text     string       `json:"text"`
		Cautions []string     `json:"cautions,omitempty"`
	}
	jsonRepair struct {
		Steps    []string `json:"steps,omitempty"`
		After    string   `json:"after,omitempty"`
		Cautions []string `json:"cautions,omitempty"`
	}
)

// MarshalJSON writes the diagnosis with the description of its box, so that UnmarshalJSON
// can read it back. Probabilities, chi-squared and uncertainties have six significant
// digits, values as many as six digits of their uncertainty: what causes are weighed with
// comes from matrices near the singular, whose further digits depend on the processor.
// examples/formats/README.md lists the keys.
func (d *Diagnosis) MarshalJSON() ([]byte, error) {
	// A nil Diagnosis is written as an empty one, which UnmarshalJSON refuses for want of a box.
	d = cmp.Or(d, &Diagnosis{})
	out := jsonDiagnosis{
		Box: d.Box, Healthy: d.Healthy, Probability: wording.Rounded(d.Probability, writtenDigits),
		Causes: []jsonCause{}, Next: d.Next.json(),
		ChiSquared: wording.Rounded(d.ChiSquared, writtenDigits), Readings: d.Readings,
		Weights: d.Weights, Warnings: d.WarningTexts(),
	}
	for _, c := range d.Causes {
		j := jsonCause{Kind: c.Kind, Probability: wording.Rounded(c.Probability, writtenDigits),
			Sentence: c.Sentence, Faults: jsonFaults(c.Faults), Repair: jsonRepair(c.Repair)}
		for _, faults := range c.Equal {
			j.Equal = append(j.Equal, jsonFaults(faults))
		}
		for _, s := range c.Settings {
			j.Settings = append(j.Settings, s.String())
		}
		out.Causes = append(out.Causes, j)
	}
	return json.Marshal(out)
}

// WarningTexts returns the warnings as sentences, without the names of functions.
func (d *Diagnosis) WarningTexts() []string {
	var out []string
	// An Error prefixes its text with the function that says it, which is no help at the bench; its
	// Name is a setting or a key.
	for _, err := range cmp.Or(d, &Diagnosis{}).Warnings {
		text := err.Error()
		if e, ok := errors.AsType[*Error](err); ok {
			text = e.Err.Error()
			if e.Name != "" {
				text = e.Name + ": " + text
			}
		}
		out = append(out, strings.TrimSuffix(title(text), ".")+".")
	}
	return out
}

// jsonFaults are faults as they are written. The list is never nil: "faults" is always there.
func jsonFaults(list []Fault) []jsonFault {
	out := make([]jsonFault, len(list))
	for i, f := range list {
		out[i] = jsonFault{f.Kind, f.A.json(), f.B.json(), f.writtenValue(),
			wording.Rounded(f.Uncertainty, writtenDigits),
			wording.Rounded(f.Scatter, writtenDigits), f.Name, f.Wraps, f.Stops}
	}
	return out
}

// writtenDigits are those of a figure whose last ones differ between processors: more than six
// would make two files of one diagnosis differ, and no one weighs causes by them.
const writtenDigits = 6

// writtenValue has the digits of its uncertainty, one at least and twelve at most: of 12.3468… Ω
// with a standard uncertainty of 0.0335 Ω the ninth, which is the sixth of the uncertainty. A
// value that was not fitted has six. Writing what was read changes nothing.
func (f Fault) writtenValue() float64 {
	digits := writtenDigits
	// That of the uncertainty as written: what was read is then written the same.
	if u := wording.Rounded(f.Uncertainty, writtenDigits); f.Value != 0 && u > 0 {
		digits += elementary.DecimalExponent(f.Value) - elementary.DecimalExponent(u)
	}
	return wording.Rounded(f.Value, max(1, min(12, digits)))
}

// json counts dials from 1, as people do; 0 is no dial. It is nil for no place.
func (p Place) json() *jsonPlace {
	if p.Part == PartNone {
		return nil
	}
	out := &jsonPlace{Part: p.Part, Number: p.Number}
	if p.ofDial() {
		out.Dial = p.Dial + 1
	}
	return out
}

// MarshalJSON writes the step as it stands in a Diagnosis.
func (s Step) MarshalJSON() ([]byte, error) { return json.Marshal(s.json()) }

// json is the step as it is written. A setting is its text, as it is dialled, which the box of the
// diagnosis reads.
func (s Step) json() jsonStep {
	out := jsonStep{Act: s.Act, Range: s.Range, Text: s.Text, Cautions: s.Cautions}
	if s.Setting.IsValid() {
		out.Setting = s.Setting.String()
	}
	for _, p := range s.Places {
		out.Places = append(out.Places, p.json())
	}
	return out
}

// UnmarshalJSON reads what MarshalJSON writes. The settings are those of a new box made
// from the description; warnings are texts. Unknown keys, kinds and parts, and settings
// and places that the box does not have, are refused by name.
func (d *Diagnosis) UnmarshalJSON(text []byte) error {
	const op = "fault.Diagnosis"
	var in jsonDiagnosis
	if err := file.DecodePart(op, text, &in); err != nil {
		return err
	}
	if in.Box == nil || in.Box.NumDecades() == 0 {
		return refuse(op, "box", nil, ErrNotStated, "no box; expected the description of the box")
	}
	// DecodePart has checked the keys and types; from here on the box says what there can be.
	r := &diagnosisReader{op: op, box: in.Box, layout: newLayout(in.Box)}
	out := Diagnosis{
		Box: in.Box, Healthy: in.Healthy, Probability: in.Probability, ChiSquared: in.ChiSquared,
		Readings: in.Readings, Weights: in.Weights,
		Next: Step{Act: in.Next.Act, Range: in.Next.Range, Text: in.Next.Text,
			Cautions: in.Next.Cautions},
	}
	// Only weights with one of a healthy box are such: a file without them is refused as well.
	if err := out.Weights.checkWeights(op); err != nil {
		return err
	}
	for i, j := range in.Causes {
		out.Causes = append(out.Causes, r.cause(fmt.Sprintf("causes[%d]", i), j))
	}
	if in.Next.Setting != "" {
		out.Next.Setting = r.setting("next.setting", in.Next.Setting)
	}
	for i, j := range in.Next.Places {
		field := fmt.Sprintf("next.places[%d]", i)
		p := r.place(field, j)
		// A step names places without a fault, so that no check of a fault asks for them.
		if !r.layout.unchanged().exists(p) {
			r.fail(field, refuse(op, field, p.In(in.Box), ErrPlace,
				"%s; expected a place of the box", p.In(in.Box)))
		}
		out.Next.Places = append(out.Next.Places, p)
	}
	for _, w := range in.Warnings {
		out.Warnings = append(out.Warnings, errors.New(w))
	}
	r.probability("probability", in.Probability)
	if r.err != nil {
		return r.err
	}
	// Nothing is set before all is checked: a refused file leaves what was there.
	if d == nil {
		return &Error{Op: "fault.Diagnosis.UnmarshalJSON", Err: unit.Errorf(unit.ErrNotStated,
			"nil; expected the address of a Diagnosis")}
	}
	*d = out
	return nil
}

// diagnosisReader checks what a file says against its box, and keeps the first error. After it all
// methods go on and return what they can, so that the callers need no branch for each field; what
// they return is thrown away.
type diagnosisReader struct {
	op     string
	box    *decade.Box
	layout *layout // of the box, for places and faults
	err    error   // the first
}

// fail notes an error, nil or not, under the path of its key. Of an Error of this package its
// cause and value are kept, and the name by which Go knows the part goes: the path says it.
func (r *diagnosisReader) fail(field string, err error) {
	if r.err == nil && err != nil {
		cause := err
		var value any
		if e, ok := errors.AsType[*Error](err); ok {
			cause, value = e.Err, e.Value
		}
		r.err = &Error{Op: r.op, Name: field, Value: value, Err: cause}
	}
}

// probability refuses what is none, NaN included, which JSON cannot have and a caller may.
func (r *diagnosisReader) probability(field string, p float64) {
	if !(p >= 0 && p <= 1) {
		r.fail(field, refuse(r.op, field, p, ErrDomain, "%v; expected 0 to 1", p))
	}
}

// setting reads a setting of the box of the file; the zero Setting after an error.
func (r *diagnosisReader) setting(field, text string) decade.Setting {
	s, err := r.box.ParseSetting(text)
	r.fail(field, err)
	return s
}

// place reads a place; none where j is nil. It checks that the dial exists where the part is of
// one, and that none is named where it is not, so that a place can be named in a message; whether
// its number exists, those who know the kind of fault ask (checkFault, exists).
func (r *diagnosisReader) place(field string, j *jsonPlace) Place {
	if j == nil {
		return Place{}
	}
	p := Place{Part: j.Part, Number: j.Number}
	// An absent dial, 0, becomes −1 here and is refused.
	if p.ofDial() {
		p.Dial = j.Dial - 1
	}
	if j.Dial < 0 || p.ofDial() && (p.Dial < 0 || p.Dial >= len(r.layout.decades)) || !p.ofDial() &&
		j.Dial != 0 {
		r.fail(field+".dial", refuse(r.op, field, float64(j.Dial), ErrPlace,
			"dial %d of a box of %d; expected 1 to %d, for a part of a dial", j.Dial,
			len(r.layout.decades), len(r.layout.decades)))
	}
	return p
}

// faults reads what is wrong at once, one fault or two: no diagnosis finds more, and no sentence
// would say them.
func (r *diagnosisReader) faults(field string, list []jsonFault) []Fault {
	switch {
	case len(list) == 0:
		r.fail(field, refuse(r.op, field, nil, ErrEmpty, "no faults; expected one or two"))
	case len(list) > 2:
		r.fail(field, refuse(r.op, field, float64(len(list)), ErrDomain,
			"%d faults; expected one or two", len(list)))
	}
	var out []Fault
	for i, j := range list {
		at := fmt.Sprintf("%s[%d]", field, i)
		f := Fault{Kind: j.Kind, A: r.place(at+".at", j.A), B: r.place(at+".and", j.B),
			Value: j.Value, Uncertainty: j.Uncertainty, Scatter: j.Scatter, Name: j.Name,
			Wraps: j.Wraps, Stops: j.Stops}
		// A place that failed is the cause, and would only fail again. Each fault is held against
		// the sound box: that both can be there together the diagnosis has found.
		if r.err == nil {
			r.fail(at, r.layout.unchanged().checkFault(r.op, f))
		}
		out = append(out, f)
	}
	return out
}

// cause reads a cause. Its kind stands beside its faults for those who read the file without them,
// and must be that of the first.
func (r *diagnosisReader) cause(field string, j jsonCause) Cause {
	c := Cause{Kind: j.Kind, Probability: j.Probability, Sentence: j.Sentence,
		Repair: Repair(j.Repair), Faults: r.faults(field+".faults", j.Faults)}
	r.probability(field+".probability", j.Probability)
	for i, faults := range j.Equal {
		c.Equal = append(c.Equal, r.faults(fmt.Sprintf("%s.equal[%d]", field, i), faults))
	}
	for i, s := range j.Settings {
		c.Settings = append(c.Settings, r.setting(fmt.Sprintf("%s.settings[%d]", field, i), s))
	}
	if len(c.Faults) > 0 {
		if k := c.Faults[0].Kind; k != c.Kind {
			r.fail(field+".kind", refuse(r.op, field, c.Kind.String(), ErrContradiction,
				"%v; expected %v, the kind of its first fault", c.Kind, k))
		}
		// Not in the file: it follows from the fault and names its place in the box.
		c.Value = c.Faults[0].quantity(r.box)
	}
	return c
}
