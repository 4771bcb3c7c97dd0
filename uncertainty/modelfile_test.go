// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func readModel(t testing.TB, text string) uncertainty.Quantity {
	t.Helper()
	q, err := uncertainty.ReadModel(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// A 10 kΩ resistor measured by substitution, from the example file.
func TestPublishedSubstitutionFile(t *testing.T) {
	text, err := os.ReadFile("testdata/substitution-10k.json")
	if err != nil {
		t.Fatal(err)
	}
	b := evaluate(t, readModel(t, string(text)))
	for _, row := range []struct {
		name, printed string
		got           float64
	}{
		{"RX", "10000.178", b.Estimate}, {"u", "8.33e-3", b.StandardUncertainty}, {"U, k = 2", "17e-3", 2 * b.StandardUncertainty},
		{"u of dRD", "5.8e-3", row(t, b, "dRD").StandardUncertainty}, {"u of dRTX", "3.2e-3", row(t, b, "dRTX").StandardUncertainty},
		{"u of rC", "0.41e-6", row(t, b, "rC").StandardUncertainty}, {"u of r", "0.0707e-6", row(t, b, "r").StandardUncertainty},
	} {
		uncertaintytest.Published{Name: row.name, Source: "EA-4/02 M", Place: "supplement S3",
			Printed: row.printed, Provenance: uncertaintytest.FromMemory}.Run(t, row.got)
	}
	if b.Name != "RX" || b.Unit != "Ω" || row(t, b, "dRD").Unit != "Ω" || row(t, b, "dRD").Note == "" {
		t.Errorf("name %q, unit %q, row %+v; want RX, Ω and a note", b.Name, b.Unit, row(t, b, "dRD"))
	}
}

// Every distribution of the file is that of its constructor.
func TestModelDistributions(t *testing.T) {
	for text, want := range map[string]uncertainty.Distribution{
		`"normal", "estimate": 2, "standardUncertainty": 0.1`:                                                                   uncertainty.Normal(2, 0.1),
		`"t", "estimate": 2, "standardUncertainty": 0.1, "degreesOfFreedom": 5`:                                                 uncertainty.StudentT(2, 0.1, 5),
		`"certificate", "estimate": 2, "expandedUncertainty": 0.1, "coverageFactor": 2`:                                         uncertainty.Certificate(2, 0.1, 2),
		`"certificate", "estimate": 2, "expandedUncertainty": 0.1, "coverageProbability": "95 %", "degreesOfFreedom": 9`:        uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 2, U: 0.1, P: 0.95, DOF: 9}),
		`"certificate", "estimate": 2, "expandedUncertainty": 0.1, "coverageProbability": 0.95, "degreesOfFreedom": "infinite"`: uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 2, U: 0.1, P: 0.95, DOF: math.Inf(1)}),
		`"rectangular", "estimate": 2, "halfWidth": 0.1`:                                                                        uncertainty.Rectangular(2, 0.1),
		`"rectangular", "lower": 1, "upper": 3`:                                                                                 uncertainty.Between(1, 3),
		`"triangular", "estimate": 2, "halfWidth": 0.1`:                                                                         uncertainty.Triangular(2, 0.1),
		`"arcsine", "estimate": 2, "halfWidth": 0.1`:                                                                            uncertainty.Arcsine(2, 0.1),
		`"trapezoidal", "estimate": 2, "halfWidth": 0.1, "topToBase": 0.3`:                                                      uncertainty.Trapezoidal(2, 0.1, 0.3),
		`"curvilinear trapezoidal", "estimate": 2, "halfWidth": 0.1, "inexactness": 0.01`:                                       uncertainty.CurvilinearTrapezoidal(2, 0.1, 0.01),
		`"resolution", "estimate": 2, "step": 0.1`:                                                                              uncertainty.Resolution(2, 0.1),
		`"exponential", "estimate": 2`:                                                                                          uncertainty.Exponential(2),
		`"counts", "count": 7`:                                                                                                  uncertainty.Counts(7),
		`"type A", "observations": [1, 2, 4]`:                                                                                   uncertainty.TypeA(1, 2, 4),
		`"type A", "observations": ["1", 2], "pooledStandardDeviation": 0.5, "degreesOfFreedom": 20`:                            uncertainty.TypeAPooled(0.5, 20, 1, 2),
	} {
		file := `{"formula": "x", "inputs": [{"name": "x", "id": "x 1", "distribution": ` + text + `}]}`
		got := readModel(t, file)
		// Sources of one ID must be stated alike, or the evaluation refuses them.
		same := uncertainty.Source{Name: "x", ID: "x 1", Distribution: want}.Input()
		if b, err := uncertainty.Evaluate(got.Sub(same)); err != nil || b.StandardUncertainty != 0 {
			t.Errorf("%s: %v, %v; want %v", text, b, err, want)
		}
	}
}

func TestModelFigures(t *testing.T) {
	for _, c := range []struct {
		input      string
		x, u       float64
		dof        float64
		unit, what string
	}{
		{`"unit": "Ω", "distribution": "normal", "estimate": "10 kΩ", "standardUncertainty": "20 mΩ"`, 10000, 0.02, math.Inf(1), "Ω", "prefixes"},
		{`"distribution": "normal", "estimate": "10 kΩ", "standardUncertainty": 0.5`, 10000, 0.5, math.Inf(1), "Ω", "number in SI"},
		{`"unit": "mV", "distribution": "normal", "estimate": "1.5 V", "standardUncertainty": 2`, 1500, 2, math.Inf(1), "mV", "number in the unit of the input"},
		{`"distribution": "normal", "estimate": "-20 ppm", "standardUncertainty": "1e-4 %"`, -20e-6, 1e-6, math.Inf(1), "1", "fractions"},
		{`"distribution": "normal", "estimate": "23.5 °C", "standardUncertainty": "100 mK"`, 23.5, 0.1, math.Inf(1), "°C", "temperature"},
		{`"unit": "1/K", "distribution": "normal", "estimate": "20 ppm/K", "standardUncertainty": "1 ppm/°C"`, 20e-6, 1e-6, math.Inf(1), "1/K", "quotient"},
		{`"distribution": "normal", "estimate": 7, "standardUncertainty": 1, "reliability": 0.25`, 7, 1, 8, "", "no unit, reliability"},
		{`"unit": "division", "distribution": "normal", "estimate": "7 division", "standardUncertainty": 1`, 7, 1, math.Inf(1), "division", "unit that is not known"},
		{`"unit": "V", "distribution": "type A", "observations": ["1.0001 V", "1000.2 mV", 1.0003]`, 1.0002, 1e-4 / math.Sqrt(3), 2, "V", "observations"},
		{`"unit": "Ω", "distribution": "constant", "estimate": "1 kΩ"`, 1000, 0, math.Inf(1), "Ω", "constant"},
	} {
		b := evaluate(t, readModel(t, `{"formula": "x", "inputs": [{"name": "x", `+c.input+`}]}`))
		if !near(b.Estimate, c.x, 1e-15) || !near(b.StandardUncertainty, c.u, 1e-9) ||
			b.DOF != c.dof || b.Unit != c.unit {
			t.Errorf("%s: %v, u %v, dof %v, unit %q; want %v, %v, %v, %q", c.what, b.Estimate,
				b.StandardUncertainty, b.DOF, b.Unit, c.x, c.u, c.dof, c.unit)
		}
	}
	b := evaluate(t, readModel(t, `{"formula": "a + b", "correlated": [{"names": ["a", "b"], "units": ["V", "V"], "estimates": [1, 2],
		"standardUncertainties": [3, 4], "correlations": [{"a": "b", "b": "a", "r": 0.5}], "degreesOfFreedom": 9, "id": "pair"}]}`))
	if !near(b.StandardUncertainty, math.Sqrt(9+16+12), 1e-12) || !near(b.DOF, 9, 1e-12) || b.Unit != "V" {
		t.Errorf("correlated inputs: u %v, dof %v, unit %q; want 6.08, 9, V", b.StandardUncertainty, b.DOF, b.Unit)
	}
}

// Figures of a correlated group carry units as all others do.
func TestModelCorrelatedUnits(t *testing.T) {
	b := evaluate(t, readModel(t, `{"formula": "a / b", "correlated": [{"names": ["a", "b"], "units": ["V", ""], "estimates": ["1500 mV", "20 mA"],
		"standardUncertainties": ["3 mV", "40 µA"], "degreesOfFreedom": 9, "type": "A"}]}`))
	if !near(b.Estimate, 75, 1e-15) ||
		!near(b.StandardUncertainty, 75*math.Hypot(0.002, 0.002), 1e-12) || b.Unit != "Ω" ||
		b.Components[1].Unit != "A" || b.Components[0].Type != uncertainty.EvaluationA {
		t.Errorf("%v ± %v %s: %+v", b.Estimate, b.StandardUncertainty, b.Unit, b.Components)
	}
}

// Resistance of an element from joint observations of voltage, current and phase, as a
// file.
func TestPublishedJointObservationsFile(t *testing.T) {
	for formula, printed := range map[string][2]string{
		"V / I * cos(phi)": {"127.732", "0.071"},
		"V / I * sin(phi)": {"219.847", "0.295"},
		"V / I + 0 * phi":  {"254.260", "0.236"},
	} {
		b := evaluate(t, readModel(t, `{"formula": "`+formula+`", "unit": "Ω", "correlated": [{"names": ["V", "I", "phi"], "units": ["V", "A", "rad"],
			"observations": [[5.007, 4.994, 5.005, 4.990, 4.999],
			["19.663 mA", "19.639 mA", "19.640 mA", "19.685 mA", "19.678 mA"],
			[1.0456, 1.0438, 1.0468, 1.0428, 1.0433]]}]}`))
		row := uncertaintytest.Published{Source: "JCGM 100:2008", Place: "H.2, table H.4",
			Provenance: uncertaintytest.Seen}
		row.Name, row.Printed = formula, printed[0]
		row.Run(t, b.Estimate)
		row.Name, row.Printed = formula+", u", printed[1]
		if printed[1] == "0.295" {
			row.Exception = "unrounded 0.29558 Ω rounds to 0.296; the second approach of the guide gives 0.29549"
		}
		row.Run(t, b.StandardUncertainty)
		if b.DOF != 4 {
			t.Errorf("%s: %v degrees of freedom; want 4", formula, b.DOF)
		}
	}
}

// A line break in a name does not break the table, and −0 has no sign.
func TestTextKeepsItsLines(t *testing.T) {
	b := evaluate(t, uncertainty.Input("two\nlines\tand | more", uncertainty.Normal(math.Copysign(0, -1), 0.5)))
	plain := evaluate(t, uncertainty.Input("two lines and | more", uncertainty.Normal(0, 0.5)))
	for name, write := range map[string]func(b *uncertainty.Budget, w *strings.Builder) error{
		"text":     func(b *uncertainty.Budget, w *strings.Builder) error { return b.WriteText(w) },
		"Markdown": func(b *uncertainty.Budget, w *strings.Builder) error { return b.WriteMarkdown(w) },
	} {
		var got, want strings.Builder
		if write(b, &got) != nil || write(plain, &want) != nil || got.String() != want.String() ||
			strings.Contains(got.String(), "-0") {
			t.Errorf("%s:\n%s", name, got.String())
		}
	}
}

func TestModelRefused(t *testing.T) {
	x := func(input string) string {
		return `{"formula": "x", "inputs": [{"name": "x", ` + input + `}]}`
	}
	group := func(g string) string { return `{"formula": "a", "correlated": [` + g + `]}` }
	for _, c := range []struct {
		name, file, text string
		want             error
	}{
		{"empty", ``, "", uncertainty.ErrSyntax},
		{"joint observations of another length", group(`{"names": ["a", "b"], "observations": [[1, 2], [1]]}`), "equally many", uncertainty.ErrObservations},
		{"joint observations of another number", group(`{"names": ["a", "b"], "observations": [[1, 2]]}`), "1 list of observations for 2 names", uncertainty.ErrSyntax},
		{"joint observations and estimates", group(`{"names": ["a"], "observations": [[1, 2]], "estimates": [1]}`), "expected observations alone", uncertainty.ErrSyntax},
		{"a unit that does not fit in a group", group(`{"names": ["a"], "units": ["V"], "estimates": ["1 A"], "standardUncertainties": [1]}`), `"a": estimate is given in A; expected the unit of the input, V`, uncertainty.ErrUnitMismatch},
		{"units of a group", group(`{"names": ["a"], "units": ["V", "V"], "estimates": [1], "standardUncertainties": [1]}`), "2 units for 1 name", uncertainty.ErrSyntax},
		{"an unknown evaluation type", group(`{"names": ["a"], "estimates": [1], "standardUncertainties": [1], "type": "C"}`), "C", uncertainty.ErrUnknown},
		{"truncated", `{"formula": "x"`, "unexpected end", uncertainty.ErrSyntax},
		{"no JSON", `formula = x`, "formula; expected one JSON object, which begins with {", uncertainty.ErrSyntax},
		{"no name", `{"formula": "x", "inputs": [{"distribution": "exponential", "estimate": 1}]}`, "inputs[0]: an input without a name", uncertainty.ErrNotStated},
		{"a name of two words", `{"formula": "x", "inputs": [{"name": "x 1", "distribution": "exponential", "estimate": 1}]}`, `inputs[0]: "x 1": the name cannot stand in a formula`, uncertainty.ErrSyntax},
		{"one name for two", `{"formula": "x", "inputs": [{"name": "x", "distribution": "exponential", "estimate": 1}, {"name": "x", "distribution": "exponential", "estimate": 1}]}`, `inputs[1]: "x": another input has this name`, uncertainty.ErrSameName},
		{"one name for a group and another", `{"formula": "x", "inputs": [{"name": "x", "distribution": "exponential", "estimate": 1}], "correlated": [{"names": ["x"], "estimates": [1], "standardUncertainties": [1]}]}`, `correlated[0]: "x": another input has this name`, uncertainty.ErrSameName},
		{"correlation of 2, its place", group(`{"names": ["a", "b"], "estimates": [1, 1], "standardUncertainties": [1, 1], "correlations": [{"a": "a", "b": "b", "r": 2}]}`), "correlated[0]: correlation of a and b is 2", uncertainty.ErrCovariance},
		{"one estimate for two", group(`{"names": ["a", "b"], "estimates": [1], "standardUncertainties": [1, 1]}`), "2 names, 1 estimate, 2 standard uncertainties", uncertainty.ErrSyntax},
		{"a distribution misspelt", x(`"distribution": "Rectanglar", "estimate": 1, "halfWidth": 1`), `distribution "Rectanglar"; expected "rectangular", if that is meant`, uncertainty.ErrSyntax},
		{"expected a JSON object", `[]`, "expected a JSON object", uncertainty.ErrSyntax},
		{"unknown key", `{"formul": "x"}`, `line 1, column 2: formul: unknown key "formul"; did you mean "formula"?`, uncertainty.ErrUnknown},
		{"unknown key of an input", x(`"distribution": "normal", "estimate": 1, "standardUncertainty": 1, "colour": 2`), "colour", uncertainty.ErrUnknown},
		{"trailing data", `{"formula": "1"} {}`, "line 1, column 18", uncertainty.ErrSyntax},
		{"key twice", `{"formula": "1", "formula": "2"}`, `line 1, column 18: formula: key "formula" twice`, uncertainty.ErrSyntax},
		{"line of an input", "{\"formula\": \"x\",\n \"inputs\": [\n  {\"name\": \"x\", \"distribution\": \"normal\"}]}", `line 3, column 3: inputs[0]: "x": a normal input`, uncertainty.ErrSyntax},
		{"decimal comma", x(`"distribution": "exponential", "estimate": "0,1 Ω"`), "a decimal comma", uncertainty.ErrSyntax},
		{"no formula", `{}`, "", uncertainty.ErrSyntax},
		{"bad formula", `{"name": "R", "formula": "1 +"}`, "R", uncertainty.ErrSyntax},
		{"unused input", `{"formula": "1", "inputs": [{"name": "x", "distribution": "normal", "estimate": 1, "standardUncertainty": 1}]}`, "x", uncertainty.ErrUnused},
		{"no distribution", x(`"estimate": 1`), `distribution ""; expected one of arcsine`, uncertainty.ErrSyntax},
		{"unknown distribution", x(`"distribution": "uniform"`), "expected one of", uncertainty.ErrSyntax},
		{"missing figure", x(`"distribution": "normal", "estimate": 1`), `expected estimate, standardUncertainty`, uncertainty.ErrSyntax},
		{"figure too many", x(`"distribution": "normal", "estimate": 1, "standardUncertainty": 1, "halfWidth": 2`), "halfWidth", uncertainty.ErrSyntax},
		{"two forms at once", x(`"distribution": "rectangular", "estimate": 1, "halfWidth": 1, "lower": 0`), "; or lower, upper", uncertainty.ErrSyntax},
		{"negative width", x(`"distribution": "rectangular", "estimate": 1, "halfWidth": -1`), "0 or more", uncertainty.ErrDomain},
		{"one observation", x(`"distribution": "type A", "observations": [1]`), "2 or more", uncertainty.ErrObservations},
		{"not a number", x(`"distribution": "exponential", "estimate": true`), "expected a number", uncertainty.ErrSyntax},
		{"not a number either", x(`"distribution": "exponential", "estimate": "about 3"`), "such as", uncertainty.ErrSyntax},
		{"null observation", x(`"distribution": "type A", "observations": [1, null]`), "null", uncertainty.ErrSyntax},
		{"volts for ohms", x(`"unit": "Ω", "distribution": "exponential", "estimate": "3 V"`), "estimate is given in V; expected the unit of the input, Ω", uncertainty.ErrUnitMismatch},
		{"units that differ", x(`"distribution": "rectangular", "estimate": "3 V", "halfWidth": "1 mA"`), "given in mA", uncertainty.ErrUnitMismatch},
		{"unknown unit", x(`"distribution": "exponential", "estimate": "3 fathoms"`), `unknown unit "fathoms"; expected a unit that is known`, uncertainty.ErrUnit},
		{"unit without a name", x(`"distribution": "exponential", "estimate": "3 V²"`), "a unit of the input", uncertainty.ErrUnitMismatch},
		{"kelvins for degrees", x(`"unit": "°C", "distribution": "exponential", "estimate": "296 K"`), "not converted", uncertainty.ErrUnitMismatch},
		{"reliability of nothing", x(`"distribution": "normal", "estimate": 1, "standardUncertainty": 1, "reliability": -1`), "expected 0 to 1e9", uncertainty.ErrDomain},
		{"constant with reliability", x(`"distribution": "constant", "estimate": 1, "reliability": 0.1`), "neither", uncertainty.ErrSyntax},
		{"unit of the result", `{"unit": "V", "formula": "x", "inputs": [{"name": "x", "unit": "Ω", "distribution": "exponential", "estimate": 1}]}`, "stated in V", uncertainty.ErrUnitMismatch},
		{"empty group", group(`{}`), "0 names", uncertainty.ErrSyntax},
		{"unknown correlation", group(`{"names": ["a"], "estimates": [1], "standardUncertainties": [1], "correlations": [{"a": "a", "b": "z", "r": 0}]}`), `"z"`, uncertainty.ErrSyntax},
		{"correlation listed twice, first 0", group(`{"names": ["a", "b"], "estimates": [1, 1], "standardUncertainties": [1, 1], "correlations": [{"a": "a", "b": "b", "r": 0}, {"a": "b", "b": "a", "r": 0.5}]}`), "once", uncertainty.ErrSyntax},
		{"correlation of 2", group(`{"names": ["a", "b"], "estimates": [1, 1], "standardUncertainties": [1, 1], "correlations": [{"a": "a", "b": "b", "r": 2}]}`), "-1 to 1", uncertainty.ErrCovariance},
		{"negative uncertainty", group(`{"names": ["a"], "estimates": [1], "standardUncertainties": [-1]}`), "0 or more", uncertainty.ErrDomain},
	} {
		q, err := uncertainty.ReadModel(strings.NewReader(c.file))
		if err == nil {
			_, err = uncertainty.Evaluate(q)
		}
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: error %v; want %v with %q", c.name, err, c.want, c.text)
		}
	}
	if _, err := uncertainty.ReadModel(nil); !errors.Is(err, uncertainty.ErrNotStated) {
		t.Errorf("nil reader: %v", err)
	}
}

func FuzzReadModel(f *testing.F) {
	if text, err := os.ReadFile("testdata/substitution-10k.json"); err == nil {
		f.Add(string(text)) // a whole file
	}
	f.Add(`{"formula":"a","correlated":[{"names":["a"],"estimates":[1],"standardUncertainties":[1]}]}`) // a group
	f.Fuzz(func(t *testing.T, text string) {
		if q, err := uncertainty.ReadModel(strings.NewReader(text)); err == nil {
			_, _ = uncertainty.Evaluate(q) // must not panic
		}
	})
}

func ExampleReadModel() {
	q, err := uncertainty.ReadModel(strings.NewReader(`{
		"name": "R", "unit": "Ω", "formula": "V / I - lead",
		"inputs": [
			{"name": "V", "unit": "V", "distribution": "type A", "observations": [1.2501, 1.2502, 1.2500, 1.2501]},
			{"name": "I", "unit": "A", "distribution": "certificate", "estimate": "10.001 mA", "expandedUncertainty": "2 µA", "coverageFactor": 2},
			{"name": "lead", "unit": "Ω", "distribution": "rectangular", "estimate": "12 mΩ", "halfWidth": "2 mΩ", "note": "joined leads"}
		]
	}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(q)
	fmt.Println(q.Expression())
	// Output:
	// 124.986(13) Ω
	// V / I - lead
}
