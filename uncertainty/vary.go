// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"example.com/ohmwright/uncertainty/file"
)

// A Variation shows the effect of one input on a measurand while the others keep their values.
type Variation struct {
	Input               string  `json:"input"`
	Unit                string  `json:"unit,omitempty"` // of the input
	Estimate            float64 `json:"estimate"`
	StandardUncertainty float64 `json:"standardUncertainty"`
	ResultUnit          string  `json:"resultUnit,omitempty"` // of the measurand

	// Moved is the measurand with the input moved off its estimate by −2, −1, 0, 1 and 2
	// standard uncertainties, less far where the distribution of the input ends before.
	Moved []Moved `json:"moved"`
	// Scaled is the uncertainty of the measurand, to first order, with that of the input
	// multiplied by 0, 1/2, 1 and 2, its correlations with others kept.
	Scaled []Scaled `json:"scaled"`
}

// Moved holds the value of the measurand for one value of an input, the others at their
// estimates.
type Moved struct {
	Input  float64
	Result float64 // of the model itself; NaN where it has no value
	Linear float64 // by the sensitivity coefficient
}

// MarshalJSON writes null for a result that does not exist.
func (m Moved) MarshalJSON() ([]byte, error) {
	var result *float64
	if !math.IsNaN(m.Result) && !math.IsInf(m.Result, 0) {
		result = &m.Result
	}
	return json.Marshal(struct {
		Input  float64  `json:"input"`
		Result *float64 `json:"result"`
		Linear float64  `json:"linear"`
	}{m.Input, result, m.Linear})
}

// Scaled holds the standard uncertainty of the measurand, that of one input being multiplied by a
// factor.
type Scaled struct {
	Factor              float64 `json:"factor"`
	StandardUncertainty float64 `json:"standardUncertainty"`
}

// Vary evaluates y with the named input at other values and with other uncertainties: it shows
// how linear the model is in this input, and what a smaller or larger uncertainty of it would
// change. An input that y does not have is an error ([ErrUnknown]), and so is whatever [Evaluate]
// refuses.
func Vary(y Quantity, input string) (*Variation, error) {
	const op = "uncertainty.Vary"
	root := y.operand("Vary").n
	if root.bad {
		return nil, errorsBelow([]*node{root})
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(root); err != nil {
		return nil, err
	}
	c, reached := m.backward(root)
	b, err := m.budget(y, c, reached)
	if err != nil {
		return nil, err
	}
	// The names that y has, for a message about one that it does not have.
	var names []string
	for i, s := range m.inputs {
		if !reached[i] {
			continue
		}
		if s.name == input {
			return m.vary(b, i, m.place(root)), nil
		}
		names = append(names, s.name)
	}
	return nil, &Error{Op: op, Name: "input", Value: input, Err: file.Unknown("input", input,
		names...)}
}

// vary displaces one input of the model that was evaluated: the one of a slot, under the measurand
// at the place top. Moved costs five evaluations of the model; Scaled none, since the law of
// propagation says how the variance depends on u of the input. With f in place of 1 for that u,
//
//	u²(y) = f²·c²u² + f·2·Σ c·c_k·cov(x, x_k) + the rest
//
// whose parts are, over u² at f = 1, the share of the input, those of its covariances, and what is
// left up to 1.
func (m *model) vary(b *Budget, slot, top int) *Variation {
	s := m.inputs[slot]
	v := &Variation{Input: s.name, Unit: s.unit, Estimate: s.x, StandardUncertainty: s.u,
		ResultUnit: b.Unit}
	c := m.sensitivities[slot]
	least, most := 0.0, 0.0 // standard uncertainties; an exact input stays where it is
	// A law with bounds is not left: there the model need not exist.
	if s.u > 0 {
		least, most = s.ends()
	}
	m.displaced = cleared(m.displaced, len(m.inputs))
	for i, other := range m.inputs {
		m.displaced[i] = other.x
	}
	// At 0 the two columns agree, which shows a reader what the others are compared with.
	for _, steps := range [...]float64{-2, -1, 0, 1, 2} {
		by := max(least, min(most, steps)) * s.u
		m.displaced[slot] = s.x + by
		v.Moved = append(v.Moved, Moved{s.x + by, m.valueAt(top), b.Estimate + float64(c*by)})
	}
	own, shared := 0.0, 0.0 // parts of the variance
	for _, row := range b.Components {
		if row.Name == s.name {
			own += row.Share
		}
	}
	for _, r := range b.Correlations {
		if r.A == s.name || r.B == s.name {
			shared += r.Share
		}
	}
	// f² of its own part and f of what it shares; the rest stays as it is.
	for _, f := range [...]float64{0, 0.5, 1, 2} {
		// The variance has a square of the input's uncertainty and products with it.
		// Rounding, of shares that cancel, may leave a little less than 0.
		part := 1 + float64((f*f-1)*own) + float64((f-1)*shared)
		v.Scaled = append(v.Scaled, Scaled{f, b.StandardUncertainty * math.Sqrt(max(part, 0))})
	}
	return v
}

// String returns the variation as [Variation.WriteText] writes it.
func (v *Variation) String() string {
	var s strings.Builder
	cmp.Or(v, &Variation{}).WriteText(&s) // a strings.Builder takes everything
	return s.String()
}

// WriteText writes two small tables: what the measurand does when the input moves, and
// when its uncertainty changes.
func (v *Variation) WriteText(w io.Writer) error {
	v = cmp.Or(v, &Variation{})
	t := tabwriter.NewWriter(w, 0, 0, 3, ' ', 0)
	// The results get the digits that their own uncertainty leaves: that of the row for factor 1.
	u := 0.0
	for _, s := range v.Scaled {
		if s.Factor == 1 {
			u = s.StandardUncertainty
		}
	}
	fmt.Fprintf(t, "%s\tresult\tby its sensitivity\n", v.Input)
	for _, m := range v.Moved {
		result := "none"
		if !math.IsNaN(m.Result) && !math.IsInf(m.Result, 0) {
			result = withUnit(digitsOf(m.Result, u), v.ResultUnit)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\n", withUnit(digitsOf(m.Input, v.StandardUncertainty), v.Unit),
			result, withUnit(digitsOf(m.Linear, u), v.ResultUnit))
	}
	fmt.Fprintf(t, "\nuncertainty of %s\tuncertainty of the result\n", v.Input)
	for _, s := range v.Scaled {
		fmt.Fprintf(t, "%s\t%s\n", withUnit(significant(s.Factor*v.StandardUncertainty, 2), v.Unit),
			withUnit(significant(s.StandardUncertainty, 2), v.ResultUnit))
	}
	return t.Flush()
}

// digitsOf rounds v to a digit beyond those that its uncertainty leaves: one more than a budget
// prints, since the difference of two columns, the bend of the model, is what the table is for. v
// without uncertainty has all its digits.
func digitsOf(v, u float64) string {
	text, _, _ := strings.Cut(FormatPlusMinus(v, u, 3), " ± ")
	return text
}
