// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// mixedBudget has everything that a budget can print: types, units, notes, an ID, a
// correlation, infinite degrees of freedom, a warning.
func mixedBudget(t testing.TB) *uncertainty.Budget {
	t.Helper()
	q := uncertainty.JointSource{
		Names: []string{"a", "b"}, Units: []string{"Ω", "Ω"}, Estimates: []float64{10, 20},
		Covariance: mat.NewSymDense(2, []float64{9e-4, -6e-4, -6e-4, 16e-4}), DOF: 9,
	}.Inputs()
	s := uncertainty.Source{Name: "lead, one|two", Unit: "Ω", ID: "L-3", Note: `cable "3"`,
		Distribution: uncertainty.Rectangular(0.01, 0.05)}.Input()
	r := uncertainty.Source{Name: "reading", Unit: "Ω", Distribution: uncertainty.TypeA(1.01, 1.03, 1.02)}.Input()
	return evaluate(t, uncertainty.Sum(q[0], q[1], s, r).Named("R"))
}

func TestBudgetJSON(t *testing.T) {
	want := mixedBudget(t)
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(text, []byte(`"degreesOfFreedom":"infinite"`)) || !bytes.Contains(text, []byte(`"type":"A"`)) {
		t.Errorf("JSON without infinite degrees of freedom or types: %s", text)
	}
	var got uncertainty.Budget
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	warnings := cmp.Comparer(func(a, b error) bool { return a.Error() == b.Error() })
	if diff := cmp.Diff(want, &got, cmpopts.IgnoreUnexported(uncertainty.Budget{}), warnings); diff != "" {
		t.Errorf("budget after a round trip (-want +got):\n%s", diff)
	}
	// As a value in somebody else's struct, and read in place.
	type report struct{ Result uncertainty.Budget }
	again, err := json.Marshal(report{got})
	if err != nil || !bytes.Contains(again, text) {
		t.Errorf("budget by value: %s, %v", again, err)
	}
	// A record can be expanded; the shapes of its inputs are gone.
	if u, v := expanded(t, &got, 0.99), expanded(t, want, 0.99); u != v {
		t.Errorf("U of the record %v; want %v", u, v)
	}
	if h := half(t, &got, 0.95); !near(h, 1.959964*got.StandardUncertainty, 1e-5) {
		t.Errorf("convolution of the record: half-width %v", h)
	}
	for _, bad := range []string{`{"degreesOfFreedom":"many"}`, `{"degreesOfFreedom":[1]}`,
		`{"components":[{"type":"C"}]}`, `[]`, `{`} {
		if err := json.Unmarshal([]byte(bad), &got); err == nil {
			t.Errorf("%s is accepted", bad)
		}
	}
	if err := json.Unmarshal([]byte(`{"degreesOfFreedom":"many"}`), &got); !errors.Is(err, uncertainty.ErrDomain) {
		t.Errorf("degrees of freedom in words: %v", err)
	}
}

func TestQuantityIsNotWritten(t *testing.T) {
	if text, err := json.Marshal(uncertainty.Exact(1)); err == nil {
		t.Errorf("a Quantity became %s; want an error", text)
	}
}

func TestWriteCSV(t *testing.T) {
	b := mixedBudget(t)
	var out bytes.Buffer
	if err := b.WriteCSV(&out); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) != len(b.Components)+2 {
		t.Fatalf("%d rows, error %v; want head, %d components and the result", len(rows), err, len(b.Components))
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for i, c := range b.Components {
		text := rows[i+1]
		for name, want := range map[string]float64{
			"Estimate": c.Estimate, "Standard uncertainty": c.StandardUncertainty, "Sensitivity coefficient": c.Sensitivity,
			"Uncertainty contribution": c.Contribution,
		} {
			if got, err := strconv.ParseFloat(text[column[name]], 64); err != nil || got != want {
				t.Errorf("%s: %s is %q; want %v", c.Name, name, text[column[name]], want)
			}
		}
		if got, want := text[column["Share of variance"]], strconv.FormatFloat(c.Share, 'g', 6, 64); got != want {
			t.Errorf("%s: share of variance is %q; want %q", c.Name, got, want)
		}
		want := []string{c.Name, c.Type.String(), c.Distribution, c.Unit, c.ID, c.Note}
		var got []string
		for _, name := range []string{"Quantity", "Type", "Distribution", "Unit", "ID", "Note"} {
			got = append(got, text[column[name]])
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.Name, diff)
		}
		if dof := text[column["Degrees of freedom"]]; math.IsInf(c.DOF, 1) != (dof == "infinite") {
			t.Errorf("%s: degrees of freedom %q; want %v", c.Name, dof, c.DOF)
		}
	}
	if last := rows[len(rows)-1]; last[0] != "R" ||
		last[column["Estimate"]] != strconv.FormatFloat(b.Estimate, 'g', -1, 64) {
		t.Errorf("last row %q; want the result", last)
	}
}

func TestWriteMarkdown(t *testing.T) {
	var out strings.Builder
	if err := mixedBudget(t).WriteMarkdown(&out); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(out.String(), "\n")
	cells := func(line string) int { return strings.Count(strings.ReplaceAll(line, `\|`, ""), "|") }
	for _, line := range lines[:7] { // head, rule, four components, result
		if cells(line) != 10 {
			t.Errorf("%d bars in %q; want 10", cells(line), line)
		}
	}
	for _, want := range []string{`lead, one\|two`, "**R**", "\nR = (31.030 ± 0.096) Ω", "k = ",
		"coverage probability 95 %", "r(a, b) = -0.5", "\nWarning: ", "∞"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("no %q in\n%s", want, out.String())
		}
	}
}

func TestTextFoldsSmallRows(t *testing.T) {
	var in []uncertainty.Quantity
	for i := range 20 {
		u := 1e-4
		if i < 3 {
			u = 1
		}
		in = append(in, uncertainty.Input(fmt.Sprint("x", i), uncertainty.Normal(0, u)))
	}
	b := evaluate(t, uncertainty.Sum(in...))
	if text := b.String(); !strings.Contains(text, "and 17 more, together ") ||
		strings.Contains(text, "x3") || !strings.Contains(text, "result") {
		t.Errorf("small rows are not folded:\n%s", text)
	}
	var out strings.Builder
	if err := b.WriteCSV(&out); err != nil || strings.Count(out.String(), "\n") != 22 {
		t.Errorf("%d lines of CSV; want all 22", strings.Count(out.String(), "\n"))
	}
	if b := evaluate(t, uncertainty.Sum(in[:12]...)); strings.Contains(b.String(), "more") {
		t.Errorf("a short budget is folded:\n%s", b)
	}
}

func TestRoundingIsShown(t *testing.T) {
	in := func(unit string, x, u, dof float64) uncertainty.Quantity {
		return uncertainty.Source{Name: "q", Unit: unit, Distribution: uncertainty.Normal(x, u), DOF: dof}.Input()
	}
	for _, c := range []struct {
		q                       uncertainty.Quantity
		concise, plusMinus, row string
	}{
		{in("Ω", 10000.17800, 0.00833, 0), "10000.1780(83) Ω", "(10000.178 ± 0.016) Ω", "10000.1780 Ω  0.0083 Ω"},
		{in("", 127.732, 1.23, 0), "127.7(1.2)", "127.7 ± 2.4", "127.7  1.2"},
		{in("1", 1.0000105, 7.07e-8, 0), "1.000010500(71)", "1.00001050 ± 0.00000014", "1.000010500  7.1e-8"},
		{in("Ω", 0, 0.0016, 0), "0.0000(16) Ω", "(0.0000 ± 0.0031) Ω", "0 Ω  0.0016 Ω"},
		{in("K", 1.652e-5, 2.3e-7, 999.9), "1.652(23)e-5 K", "(1.652e-5 ± 0.045e-5) K", "1.652e-5 K  2.3e-7 K"},
		{uncertainty.Exact(5), "5", "5 ± 0", ""},
	} {
		b := evaluate(t, c.q)
		if got := b.Concise(2); got != c.concise {
			t.Errorf("Concise: %q; want %q", got, c.concise)
		}
		if got := b.PlusMinus(2); got != c.plusMinus {
			t.Errorf("PlusMinus: %q; want %q", got, c.plusMinus)
		}
		if got := strings.Join(strings.Fields(b.String()), " "); !strings.Contains(got,
			strings.Join(strings.Fields(c.row), " ")) {
			t.Errorf("no %q in\n%s", c.row, b)
		}
		if strings.Contains(b.String(), "e+") {
			t.Errorf("exponent with a sign in\n%s", b)
		}
	}
}

type failingWriter struct{ after int }

func (w *failingWriter) Write(p []byte) (int, error) {
	if w.after -= len(p); w.after < 0 {
		return 0, errors.ErrUnsupported
	}
	return len(p), nil
}

func TestWriteErrors(t *testing.T) {
	b := mixedBudget(t)
	for name, write := range map[string]func(w *failingWriter) error{
		"text":     func(w *failingWriter) error { return b.WriteText(w) },
		"Markdown": func(w *failingWriter) error { return b.WriteMarkdown(w) },
		"CSV":      func(w *failingWriter) error { return b.WriteCSV(w) },
	} {
		for after := 0; after < len(b.String()); after += 50 {
			if err := write(&failingWriter{after}); name == "text" &&
				!errors.Is(err, errors.ErrUnsupported) || after == 0 && err == nil {
				t.Errorf("%s, writer full after %d bytes: %v", name, after, err)
			}
		}
	}
}

// What is less than half of a unit of the place is 0, what is more is rounded up to one.
func TestRoundedNearZero(t *testing.T) {
	for _, c := range []struct {
		x    float64
		want string
	}{{0.008, "0.01"}, {-0.008, "-0.01"}, {0.005, "0"}, {0.004, "0"}, {0.0051, "0.01"}} {
		b, err := uncertainty.Evaluate(uncertainty.Input("x", uncertainty.Normal(c.x, 0.5)))
		if err != nil {
			t.Fatal(err)
		}
		_, rows, _ := b.Table()
		if rows[0][1] != c.want {
			t.Errorf("estimate %v with u = 0.5: %q; want %q", c.x, rows[0][1], c.want)
		}
	}
}
