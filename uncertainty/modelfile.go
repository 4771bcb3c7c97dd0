// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file reads a model from JSON. Keys and places of errors are the matter of package file; the
// formula is that of formula.go. What is left is to make inputs, in three steps for each:
//
//	convert  brings figures to one unit (modelfigure.go)
//	fields   compares the set of figures that are there with the sets that the distribution takes
//	law      calls the constructor, which refuses numbers that mean nothing
//
// The second step is a table: a distribution has one or more forms, sets of keys, and the keys in
// the file must be exactly one of them. So nothing is read that has no effect, such as a half-width
// beside two limits, and nothing is taken for 0 because it is missing.

import (
	"errors"
	"fmt"
	"go/token"
	"io"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// ReadModel reads a measurement from a JSON file: its inputs, and the formula that
// makes the result of them (see [Formula]).
//
//	{
//	  "name": "R", "unit": "Ω", "formula": "V / I - lead",
//	  "inputs": [
//	    {"name": "V", "unit": "V", "distribution": "type A",
//	     "observations": [1.2501, 1.2502, 1.2500]},
//	    {"name": "I", "unit": "A", "distribution": "certificate", "estimate": "10.001 mA",
//	     "expandedUncertainty": "2 µA", "coverageFactor": 2},
//	    {"name": "lead", "unit": "Ω", "distribution": "rectangular", "estimate": "12 mΩ",
//	     "halfWidth": "2 mΩ", "note": "joined leads"}
//	  ],
//	  "correlated": [
//	    {"names": ["a", "b"], "units": ["V", "V"], "estimates": [1, 2],
//	     "standardUncertainties": [0.1, 0.1], "correlations": [{"a": "a", "b": "b", "r": 0.5}],
//	     "degreesOfFreedom": 9},
//	    {"names": ["c", "d"],
//	     "observations": [["5.007 V", "4.994 V"], ["19.663 mA", "19.639 mA"]]}
//	  ]
//	}
//
// A number is in the unit of its input, in coherent SI units if that states none; a
// string carries its own unit and is converted. The distributions, by their
// constructors, and what each is given:
//
//	constant                 estimate
//	normal                   estimate, standardUncertainty
//	t                        estimate, standardUncertainty, degreesOfFreedom
//	certificate              estimate, expandedUncertainty, and coverageFactor or
//	                         coverageProbability with degreesOfFreedom
//	rectangular              estimate, halfWidth; or lower, upper
//	triangular, arcsine      estimate, halfWidth
//	trapezoidal              estimate, halfWidth, topToBase
//	curvilinear trapezoidal  estimate, halfWidth, inexactness
//	resolution               estimate, step
//	exponential              estimate
//	counts                   count
//	type A                   observations, and, if pooled, pooledStandardDeviation with
//	                         degreesOfFreedom
//	draws                    draws, a list
//	histogram                edges, and one count fewer in counts
//
// Inputs known together are a group with estimates, standard uncertainties and correlations,
// of evaluation type "B" or "A", or with the observations that were made together, a list
// for each name. Any input may have a unit, a note, an id (see [Source]) and a reliability (see
// [Reliability]). It refuses keys that are not known, figures that the distribution
// does not use or that it lacks, units that do not fit, text after the value, and
// whatever Formula refuses. examples/formats/README.md has the file as a table of its keys.
func ReadModel(r io.Reader) (Quantity, error) {
	// With places, so that a refusal names line and column.
	var in modelFile
	places, err := file.DecodePlaces("uncertainty.ReadModel", r, largestModel, &in)
	if err != nil {
		return Quantity{}, err
	}
	var inputs []Quantity
	named := make(map[string]bool)
	for i, row := range in.Inputs {
		err := checkInputName(row.Name, named)
		var q Quantity
		if err == nil {
			q, err = row.quantity()
		}
		if err != nil {
			// Where in the file: inputs counts from 0, as the path of JSON does, and the error has
			// the line and column of the input.
			return Quantity{}, places.Refuse(fmt.Sprintf("inputs[%d]", i),
				inputError(row.Name, err))
		}
		inputs = append(inputs, q)
	}
	for i, j := range in.Correlated {
		group, err := j.inputs(named)
		if err != nil {
			return Quantity{}, places.Refuse(fmt.Sprintf("correlated[%d]", i), err)
		}
		inputs = append(inputs, group...)
	}
	// The formula checks names and uses of all inputs.
	q, err := Formula(in.Formula, inputs...)
	if err != nil {
		// The formula is a text of the file: what is wrong with it is said without an operation.
		return Quantity{}, places.Refuse("formula", &Error{Err: err})
	}
	// The unit comes first: a name is only a label on what the formula made. A unit that the
	// formula cannot have is an error of the quantity, found when it is evaluated.
	if in.Unit != "" {
		q = q.InUnit(in.Unit)
	}
	if in.Name != "" {
		q = q.Named(in.Name)
	}
	return q, nil
}

// checkInputName refuses a name that cannot stand in a formula, or that another input has.
func checkInputName(name string, named map[string]bool) error {
	switch {
	case name == "":
		return unit.Errorf(ErrNotStated, "an input without a name; expected the key \"name\"")
	case !token.IsIdentifier(name):
		return unit.Errorf(ErrSyntax, "the name cannot stand in a formula; expected a letter, "+
			"then letters and digits, without blanks")
	case named[name]:
		return unit.Errorf(ErrSameName, "another input has this name; expected a name for each")
	}
	named[name] = true
	return nil
}

// modelFile is the whole file. ReadModel has it as a program sees it; examples/formats/README.md
// has it as a person does.
type modelFile struct {
	Name       string            `json:"name"`
	Unit       string            `json:"unit"`
	Formula    string            `json:"formula"`
	Inputs     []modelInput      `json:"inputs"`
	Correlated []modelCorrelated `json:"correlated"`
}

// modelInput is one of the inputs. Pointers and lists are nil where a key is missing, which given
// must know; a 0 that is stated is another matter than none.
type modelInput struct {
	Name                string       `json:"name"`
	Unit                string       `json:"unit"`
	Note                string       `json:"note"`
	ID                  string       `json:"id"`
	Distribution        string       `json:"distribution"`
	Reliability         *float64     `json:"reliability"`
	DOF                 *jsonDOF     `json:"degreesOfFreedom"`
	CoverageFactor      *float64     `json:"coverageFactor"`
	CoverageProbability *modelFigure `json:"coverageProbability"`
	TopToBase           *float64     `json:"topToBase"`
	Count               *int         `json:"count"`

	Estimate         *modelFigure  `json:"estimate"`
	U                *modelFigure  `json:"standardUncertainty"`
	Expanded         *modelFigure  `json:"expandedUncertainty"`
	HalfWidth        *modelFigure  `json:"halfWidth"`
	Lower            *modelFigure  `json:"lower"`
	Upper            *modelFigure  `json:"upper"`
	Inexactness      *modelFigure  `json:"inexactness"`
	Step             *modelFigure  `json:"step"`
	Pooled           *modelFigure  `json:"pooledStandardDeviation"`
	ObservationsList []modelFigure `json:"observations"`
	Draws            []modelFigure `json:"draws"`
	Edges            []modelFigure `json:"edges"`
	Counts           []float64     `json:"counts"`
}

// inputError puts the name of an input in front of what is wrong with it, and keeps the cause and
// the number. The operation is left out: "uncertainty.Normal" is no help to a person with a file.
func inputError(name string, err error) error {
	e := &Error{Err: unit.Cause(err)}
	if own, ok := errors.AsType[*Error](err); ok {
		e.Value = own.Value
	}
	if name != "" {
		e.Err = unit.Errorf(e.Err, "%s: %v", unit.Quoted(name), e.Err)
	}
	return e
}

// largestModel is the size of the largest file, in bytes: half a million draws in full precision.
const largestModel = 16 << 20

// quantity builds the input. Its errors have no place in the file; the caller knows it.
func (in modelInput) quantity() (Quantity, error) {
	// Units before figures: what the unit is may follow from a figure. in is a copy of the row.
	if err := in.convert(); err != nil {
		return Quantity{}, err
	}
	if err := in.fields(); err != nil {
		return Quantity{}, err
	}
	// A constant has no distribution and is no source: it makes no row in a budget.
	if in.Distribution == "constant" {
		q := Exact(in.Estimate.value)
		if in.Unit != "" {
			q = q.InUnit(in.Unit)
		}
		return q.Named(in.Name), nil
	}
	s := Source{Name: in.Name, Unit: in.Unit, Note: in.Note, ID: in.ID, Distribution: in.law()}
	if in.Reliability != nil {
		dof, err := Reliability(*in.Reliability)
		if err != nil {
			return Quantity{}, unit.Errorf(ErrDomain, "key \"reliability\": %v", unit.Cause(err))
		}
		s.DOF = dof
	}
	// Constructors refuse what their figures cannot mean.
	q := s.Input()
	return q, q.Err()
}

// law calls the constructor; the fields have been checked, so that no pointer is nil that is read.
// It is a list of cases, one for each name of modelForms and each of its forms, and long for that
// reason alone.
func (in modelInput) law() Distribution {
	// Most names are those of a printed budget, so that a budget says how to write a model.
	switch in.Distribution {
	case "normal":
		return Normal(in.Estimate.value, in.U.value)
	case "t":
		return StudentT(in.Estimate.value, in.U.value, float64(*in.DOF))
	case "certificate":
		if in.CoverageFactor != nil {
			return Certificate(in.Estimate.value, in.Expanded.value, *in.CoverageFactor)
		}
		return CertificateDOF(CertificateStatement{X: in.Estimate.value, U: in.Expanded.value,
			P: in.CoverageProbability.value, DOF: float64(*in.DOF)})
	case "rectangular":
		if in.Lower != nil {
			return Between(in.Lower.value, in.Upper.value)
		}
		return Rectangular(in.Estimate.value, in.HalfWidth.value)
	case "triangular":
		return Triangular(in.Estimate.value, in.HalfWidth.value)
	case "arcsine":
		return Arcsine(in.Estimate.value, in.HalfWidth.value)
	case "trapezoidal":
		return Trapezoidal(in.Estimate.value, in.HalfWidth.value, *in.TopToBase)
	case "curvilinear trapezoidal":
		return CurvilinearTrapezoidal(in.Estimate.value, in.HalfWidth.value, in.Inexactness.value)
	case "resolution":
		return Resolution(in.Estimate.value, in.Step.value)
	case "exponential":
		return Exponential(in.Estimate.value)
	case "counts":
		return Counts(*in.Count)
	}
	switch in.Distribution {
	case "draws":
		return madeOf(NewEmpirical(figureValues(in.Draws)))
	case "histogram":
		return madeOf(NewEmpiricalHistogram(figureValues(in.Edges), in.Counts))
	}
	values := figureValues(in.ObservationsList)
	if in.Pooled != nil {
		return TypeAPooled(in.Pooled.value, float64(*in.DOF), values...)
	}
	return TypeA(values...)
}

// madeOf is a distribution, or one that carries what is wrong with it, as the other constructors
// return it.
func madeOf(e *Empirical, err error) Distribution {
	if err != nil {
		return law{cause: err}
	}
	return e
}

// figureValues drops the units, which were converted before.
func figureValues(list []modelFigure) []float64 {
	values := make([]float64, len(list))
	for i, f := range list {
		values[i] = f.value
	}
	return values
}

// modelForms lists, for each distribution, the sets of figures that it can be given. What any
// input may have (unit, note, id, reliability) is in none of them.
var modelForms = map[string][][]string{
	"constant": {{"estimate"}}, "normal": {{"estimate", "standardUncertainty"}},
	"t": {{"estimate", "standardUncertainty", "degreesOfFreedom"}},
	"certificate": {{"estimate", "expandedUncertainty", "coverageFactor"},
		{"estimate", "expandedUncertainty", "coverageProbability", "degreesOfFreedom"}},
	"rectangular": {{"estimate", "halfWidth"}, {"lower", "upper"}},
	"triangular":  {{"estimate", "halfWidth"}}, "arcsine": {{"estimate", "halfWidth"}},
	"trapezoidal":             {{"estimate", "halfWidth", "topToBase"}},
	"curvilinear trapezoidal": {{"estimate", "halfWidth", "inexactness"}},
	"resolution":              {{"estimate", "step"}}, "exponential": {{"estimate"}},
	"counts": {{"count"}},
	"type A": {{"observations"}, {"observations", "pooledStandardDeviation", "degreesOfFreedom"}},
	"draws":  {{"draws"}}, "histogram": {{"edges", "counts"}},
}

// fields checks that the distribution has what it needs and no more: the keys that are given are
// those of one of its forms, in any order.
func (in modelInput) fields() error {
	forms, ok := modelForms[in.Distribution]
	if !ok {
		known := make([]string, 0, len(modelForms))
		for name := range modelForms {
			known = append(known, name)
		}
		slices.Sort(known)
		if near := file.Near(in.Distribution, known...); near != "" {
			return unit.Errorf(ErrSyntax, "distribution %s; expected %q, if that is meant",
				unit.Quoted(in.Distribution), near)
		}
		return unit.Errorf(ErrSyntax, "distribution %s; expected one of %s",
			unit.Quoted(in.Distribution), strings.Join(known, ", "))
	}
	if in.Distribution == "constant" && (in.Reliability != nil || in.ID != "") {
		return unit.Errorf(ErrSyntax, "a constant input is given a reliability or an id; "+
			"expected neither")
	}
	// The set of figures that are given decides which form is meant. Both lists are sorted, so that
	// sets are compared as texts.
	given := in.given()
	var wanted []string
	for _, form := range forms {
		sorted := slices.Sorted(slices.Values(form))
		if slices.Equal(sorted, given) {
			return nil
		}
		wanted = append(wanted, strings.Join(form, ", "))
	}
	have := strings.Join(given, ", ")
	if have == "" {
		have = "no figures"
	}
	return unit.Errorf(ErrSyntax, "a %s input is given %s; expected %s", in.Distribution, have,
		strings.Join(wanted, "; or "))
}

// given lists the figures that are there, sorted.
func (in modelInput) given() []string {
	// These are numbers without a unit, or lists. An empty list is given, and refused by what is
	// made of it: "0 draws" says more than a missing key.
	there := map[string]bool{
		"degreesOfFreedom": in.DOF != nil, "coverageFactor": in.CoverageFactor != nil,
		"coverageProbability": in.CoverageProbability != nil,
		"topToBase":           in.TopToBase != nil, "count": in.Count != nil,
		"observations": in.ObservationsList != nil,
		"draws":        in.Draws != nil, "edges": in.Edges != nil, "counts": in.Counts != nil,
	}
	for name, f := range in.figures() {
		there[name] = *f != nil
	}
	var given []string
	for name, is := range there {
		if is {
			given = append(given, name)
		}
	}
	// Sorted, to be compared with the forms and to be shown.
	slices.Sort(given)
	return given
}

// figures are those with the unit of the input, by their keys; the pointers let convert replace
// them.
func (in *modelInput) figures() map[string]**modelFigure {
	return map[string]**modelFigure{
		"estimate": &in.Estimate, "standardUncertainty": &in.U, "expandedUncertainty": &in.Expanded,
		"halfWidth": &in.HalfWidth,
		"lower":     &in.Lower, "upper": &in.Upper, "inexactness": &in.Inexactness,
		"step":                    &in.Step,
		"pooledStandardDeviation": &in.Pooled,
	}
}

// modelCorrelated is a group of inputs known together. Either Estimates and U are there, with
// Correlations, DOF and Type if need be, or Observations alone. Element i of each list belongs to
// Names[i].
type modelCorrelated struct {
	Names        []string        `json:"names"`
	Units        []string        `json:"units"`
	Estimates    []modelFigure   `json:"estimates"`
	U            []modelFigure   `json:"standardUncertainties"`
	Correlations []Correlation   `json:"correlations"`
	Observations [][]modelFigure `json:"observations"`
	DOF          *jsonDOF        `json:"degreesOfFreedom"`
	ID           string          `json:"id"`
	Type         EvaluationType  `json:"type"`
}

// inputs makes the quantities of the group.
func (j modelCorrelated) inputs(named map[string]bool) ([]Quantity, error) {
	for _, name := range j.Names {
		if err := checkInputName(name, named); err != nil {
			return nil, unit.Errorf(err, "%s: %v", unit.Quoted(name), err)
		}
	}
	source, err := j.source()
	if err != nil {
		return nil, err
	}
	group := source.Inputs()
	for _, q := range group {
		if err := q.Err(); err != nil {
			return nil, unit.Cause(err)
		}
	}
	return group, nil
}

// source makes the group, from stated figures or from observations.
func (j modelCorrelated) source() (JointSource, error) {
	// Each member has a unit of its own, which its figures may decide. A symbol that is no unit is
	// a label, as for a single input.
	units := make([]modelUnit, len(j.Names))
	for i := range units {
		if i < len(j.Units) {
			units[i].symbol = j.Units[i]
			units[i].Unit, _ = unit.ParseUnit(j.Units[i])
		}
	}
	if len(j.Units) != 0 && len(j.Units) != len(j.Names) {
		return JointSource{}, unit.Errorf(ErrSyntax, "%s for %s; expected as many, or none",
			unit.Counted(len(j.Units), "unit", "units"),
			unit.Counted(len(j.Names), "name", "names"))
	}
	form := j.known
	if j.Observations != nil {
		form = j.observed
	}
	out, err := form(units)
	if err != nil {
		return JointSource{}, err
	}
	// After the figures, which may have decided a unit.
	for _, u := range units {
		out.Units = append(out.Units, u.symbol)
	}
	out.ID = j.ID
	return out, nil
}

// figures converts one figure for each name, list[i] to units[i], which it may set. The key is for
// errors, and says whether figures are places on a scale.
func (j modelCorrelated) figures(key string, units []modelUnit,
	list []modelFigure) ([]float64, error) {
	out := make([]float64, len(list))
	for i, f := range list {
		converted, err := units[i].convert(key, f)
		if err != nil {
			return nil, unit.Errorf(err, "%s: %v", unit.Quoted(j.Names[i]), unit.Cause(err))
		}
		out[i] = converted.value
	}
	return out, nil
}

// known is a group of which estimates and covariances are stated: as many of each as names.
func (j modelCorrelated) known(units []modelUnit) (JointSource, error) {
	n := len(j.Names)
	if n == 0 || len(j.Estimates) != n || len(j.U) != n {
		return JointSource{},
			unit.Errorf(ErrSyntax, "%s, %s, %s; expected as many of each, and at least one, or "+
				"observations", unit.Counted(n, "name", "names"),
				unit.Counted(len(j.Estimates), "estimate", "estimates"),
				unit.Counted(len(j.U), "standard uncertainty", "standard uncertainties"))
	}
	estimates, err := j.figures("estimate", units, j.Estimates)
	if err != nil {
		return JointSource{}, err
	}
	us, err := j.figures("standardUncertainty", units, j.U)
	if err != nil {
		return JointSource{}, err
	}
	c, err := j.covariance(us)
	if err != nil {
		return JointSource{}, err
	}
	out := JointSource{Names: j.Names, Estimates: estimates, Covariance: c, Type: j.Type}
	if j.DOF != nil {
		out.DOF = float64(*j.DOF)
	}
	return out, nil
}

// covariance makes the matrix from standard uncertainties and stated correlations; those not
// stated are 0. It is in the products of the units that the figures were brought to. Whether it is
// positive semidefinite is found by checkCovariance, as for any group.
func (j modelCorrelated) covariance(us []float64) (*mat.SymDense, error) {
	c := mat.NewSymDense(len(us), nil)
	for i, u := range us {
		if err := width("standard uncertainty of "+unit.Shown(j.Names[i]), u); err != nil {
			return nil, err
		}
		c.SetSym(i, i, u*u)
	}
	listed := make(map[[2]int]bool)
	for _, r := range j.Correlations {
		a, b := slices.Index(j.Names, r.A), slices.Index(j.Names, r.B)
		pair := [2]int{min(a, b), max(a, b)}
		// A correlation that is listed twice, as a and b and as b and a, could differ from itself.
		if a < 0 || b < 0 || a == b || listed[pair] {
			return nil,
				unit.Errorf(ErrSyntax, "correlation of %s and %s; expected two different names "+
					"of the group, once", unit.Quoted(r.A), unit.Quoted(r.B))
		}
		listed[pair] = true
		c.SetSym(a, b, r.R*us[a]*us[b]) // u(a, b) = r·u(a)·u(b), GUM eq. 14
	}
	return c, nil
}

// observed is a group of quantities that were observed together, [JointTypeA] of the lists. What
// these decide is not to be stated beside them: means, standard uncertainties, correlations, ν.
func (j modelCorrelated) observed(units []modelUnit) (JointSource, error) {
	if j.Estimates != nil || j.U != nil || j.Correlations != nil || j.DOF != nil {
		return JointSource{},
			unit.Errorf(ErrSyntax, "observations stand beside estimates, standardUncertainties, "+
				"correlations or degreesOfFreedom; expected observations alone, which give all "+
				"of them")
	}
	if len(j.Observations) != len(j.Names) {
		return JointSource{},
			unit.Errorf(ErrSyntax, "%s of observations for %s; expected one list for each name",
				unit.Counted(len(j.Observations), "list", "lists"),
				unit.Counted(len(j.Names), "name", "names"))
	}
	series := make([][]float64, len(j.Names)) // by name
	for i, list := range j.Observations {
		// Each observation may carry a unit of its own, 998 mV beside 1.002 V.
		for _, f := range list {
			converted, err := units[i].convert("observations", f)
			if err != nil {
				return JointSource{}, unit.Errorf(err, "%s: %v", unit.Quoted(j.Names[i]),
					unit.Cause(err))
			}
			series[i] = append(series[i], converted.value)
		}
	}
	out := JointTypeA(j.Names, series)
	return out, out.cause
}
