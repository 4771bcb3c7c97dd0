// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file writes a budget as JSON and reads it back. The keys are words of the guides, written
// out, in the unit of the quantity and without rounding: a float64 is written in the fewest digits
// that read back as the same bits. A figure that JSON has no number for occurs in one place,
// infinite degrees of freedom, and is a word there.
//
// What is not in the file: the laws of the inputs (a Distribution may be anybody's type) and the
// causes of warnings (errors.Is finds none in what was read). A [Record] keeps sources with their
// laws.

import (
	"encoding/json"
	"errors"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// jsonDOF writes infinite degrees of freedom, for which JSON has no number, as the
// word "infinite". A null or a very large number in their place would be read by others as unknown,
// or printed as it is.
type jsonDOF float64

// MarshalJSON writes a number, or the word. NaN and −Inf, which no budget has, are errors of
// encoding/json.
func (d jsonDOF) MarshalJSON() ([]byte, error) {
	if math.IsInf(float64(d), 1) {
		return []byte(`"` + infinite + `"`), nil
	}
	return json.Marshal(float64(d))
}

// UnmarshalJSON reads a number or the word.
func (d *jsonDOF) UnmarshalJSON(text []byte) error {
	if string(text) == `"`+infinite+`"` {
		*d = jsonDOF(math.Inf(1))
		return nil
	}
	var v float64
	if err := json.Unmarshal(text, &v); err != nil {
		return &Error{Op: "uncertainty.UnmarshalJSON", Name: "degreesOfFreedom",
			Err: unit.Errorf(ErrDomain, "%s; expected a number or %q", text, infinite)}
	}
	*d = jsonDOF(v)
	return nil
}

// jsonBudget is the file. Its fields are those of Budget, in the order in which a reader wants
// them; the types below are its parts. A key may be added, none may change its meaning.
type jsonBudget struct {
	Name                string          `json:"name,omitempty"`
	Unit                string          `json:"unit,omitempty"`
	Estimate            float64         `json:"estimate"`
	StandardUncertainty float64         `json:"standardUncertainty"`
	DOF                 jsonDOF         `json:"degreesOfFreedom"`
	Expanded            jsonExpanded    `json:"expanded"`
	Components          []jsonComponent `json:"components"`
	Correlations        []Correlation   `json:"correlations,omitempty"`
	Higher              *HigherOrder    `json:"secondOrder,omitempty"`
	Warnings            []string        `json:"warnings,omitempty"`
}

// jsonExpanded has the interval beside P, K and U, where Expanded embeds it.
type jsonExpanded struct {
	P     float64 `json:"coverageProbability"`
	K     float64 `json:"coverageFactor"`
	U     float64 `json:"expandedUncertainty"`
	Lower float64 `json:"lower"`
	Upper float64 `json:"upper"`
}

// jsonComponent is a row, in the order of a printed one: estimate, u(x), type and distribution, ν,
// c, c·u(x).
type jsonComponent struct {
	Name                string         `json:"name"`
	ID                  string         `json:"id,omitempty"`
	Unit                string         `json:"unit,omitempty"`
	Note                string         `json:"note,omitempty"`
	Estimate            float64        `json:"estimate"`
	StandardUncertainty float64        `json:"standardUncertainty"`
	Type                EvaluationType `json:"type"`
	Distribution        string         `json:"distribution"`
	DOF                 jsonDOF        `json:"degreesOfFreedom"`
	Sensitivity         float64        `json:"sensitivityCoefficient"`
	Contribution        float64        `json:"uncertaintyContribution"`
	Share               float64        `json:"shareOfVariance"`
	Joint               bool           `json:"joint,omitempty"`
	Pool                string         `json:"pool,omitempty"`
}

// MarshalJSON writes every figure of the budget in full precision. Infinite degrees
// of freedom are the word "infinite".
func (b Budget) MarshalJSON() ([]byte, error) {
	e := b.Expanded
	out := jsonBudget{
		Name: b.Name, Unit: b.Unit, Estimate: b.Estimate,
		StandardUncertainty: b.StandardUncertainty, DOF: jsonDOF(b.DOF),
		Expanded:     jsonExpanded{e.P, e.K, e.U, e.Lower, e.Upper},
		Components:   make([]jsonComponent, 0, len(b.Components)),
		Correlations: b.Correlations, Higher: b.Higher,
	}
	// Unkeyed, so that a new field cannot be forgotten here: the compiler wants all of them.
	for _, c := range b.Components {
		out.Components = append(out.Components, jsonComponent{
			c.Name, c.ID, c.Unit, c.Note, c.Estimate, c.StandardUncertainty, c.Type,
			c.Distribution, jsonDOF(c.DOF), c.Sensitivity, c.Contribution, c.Share, c.Joint, c.Pool,
		})
	}
	out.Warnings = texts(b.Warnings)
	return json.Marshal(out)
}

// texts are those of the warnings that there are; nil elements, which a caller may have put there,
// are passed over.
func texts(warnings []error) (out []string) {
	for _, w := range warnings {
		if w != nil {
			out = append(out, w.Error())
		}
	}
	return out
}

// UnmarshalJSON reads what MarshalJSON writes. A budget that was read is a record:
// the laws of its inputs are not in it, so that Convolution takes all of them as
// normal, and its warnings are texts.
func (b *Budget) UnmarshalJSON(text []byte) error {
	var in jsonBudget
	// Into a budget of its own: what cannot be read leaves *b as it was.
	if err := json.Unmarshal(text, &in); err != nil {
		refusal := &Error{Op: "uncertainty.Budget", Err: unit.WithoutOp(err)}
		// The words of the standard library name types of Go; its Field is the path in the file.
		if e, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
			refusal.Name = e.Field
			refusal.Err = unit.Errorf(ErrSyntax, "%s; expected a value as a budget writes it",
				e.Value)
		}
		return refusal
	}
	if b == nil {
		return &Error{Op: "uncertainty.Budget.UnmarshalJSON", Err: unit.Errorf(unit.ErrNotStated,
			"nil; expected the address of a Budget")}
	}
	e := in.Expanded
	*b = Budget{
		Name: in.Name, Unit: in.Unit, Estimate: in.Estimate,
		StandardUncertainty: in.StandardUncertainty, DOF: float64(in.DOF),
		Expanded:     Expanded{e.P, e.K, e.U, Interval{e.Lower, e.Upper, in.Unit}},
		Correlations: in.Correlations, Higher: in.Higher,
	}
	for _, c := range in.Components {
		// Unkeyed as above.
		b.Components = append(b.Components, Component{
			c.Name, c.ID, c.Unit, c.Note, c.Distribution, c.Type, c.Estimate,
			c.StandardUncertainty, float64(c.DOF), c.Sensitivity, c.Contribution, c.Share, c.Joint,
			c.Pool,
		})
	}
	// Causes are not in the file: what was read is compared by its text, and written as it was.
	for _, w := range in.Warnings {
		b.Warnings = append(b.Warnings, errors.New(w))
	}
	return nil
}

// MarshalJSON is an error: a quantity is a model with shared sources, which a value
// in a file would lose. Without the method encoding/json would write {} for every quantity, since
// no field is exported.
func (q Quantity) MarshalJSON() ([]byte, error) {
	return nil, &Error{Op: "uncertainty.MarshalJSON", Name: q.Name(),
		Err: unit.Errorf(ErrDomain, "a Quantity cannot be written by itself; expected a Budget, "+
			"or a Record that holds it")}
}

// String returns estimate and standard uncertainty in the form y(u) unit, or
// "!(error)", on one line.
func (q Quantity) String() string { return q.concise(2) }
