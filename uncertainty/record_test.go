// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

func marshal(t testing.TB, r uncertainty.Record) []byte {
	t.Helper()
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func unmarshal(t testing.TB, text []byte) uncertainty.Record {
	t.Helper()
	var r uncertainty.Record
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// twoReadings is a meter gain that two readings share, a reading of its own kind for each,
// and two quantities observed together.
func twoReadings() (a, b uncertainty.Quantity) {
	gain := uncertainty.Source{Name: "gain", Unit: "1", Note: "certificate", Distribution: uncertainty.Rectangular(1, 1e-5), DOF: 50}.Input()
	zero := uncertainty.JointTypeA([]string{"zero", "lead"}, [][]float64{{1e-3, 3e-3, 2e-3, 2e-3}, {4e-3, 2e-3, 3e-3, 4e-3}}).Inputs()
	a = gain.Mul(uncertainty.Input("reading a", uncertainty.TypeA(100.01, 100.02, 100.015))).Sub(zero[0])
	b = gain.Mul(uncertainty.Input("reading b", uncertainty.StudentT(200, 0.002, 7))).Sub(zero[1])
	return a.Named("A"), b.Named("B")
}

func TestRecordRoundTrip(t *testing.T) {
	a, b := twoReadings()
	want := evaluate(t, a.Sub(b))
	text := marshal(t, uncertainty.Record{ID: "bench 7 2026-03-01", Quantities: []uncertainty.Quantity{a, b}})
	r := unmarshal(t, text)
	got := evaluate(t, r.Quantity("A").Sub(r.Quantity("B")))
	if got.Estimate != want.Estimate || !near(got.StandardUncertainty, want.StandardUncertainty, 1e-12) || !near(got.DOF, want.DOF, 1e-9) {
		t.Errorf("difference of the quantities read: %v, u %v, dof %v; want %v, u %v, dof %v", got.Estimate, got.StandardUncertainty, got.DOF, want.Estimate, want.StandardUncertainty, want.DOF)
	}
	for i, c := range want.Components {
		g := got.Components[i]
		if g.ID == "" || g.Name != c.Name || g.Unit != c.Unit || g.Note != c.Note || g.Distribution != c.Distribution || g.Type != c.Type ||
			g.DOF != c.DOF || g.StandardUncertainty != c.StandardUncertainty || !near(g.Contribution, c.Contribution, 1e-12) {
			t.Errorf("component read: %+v; want %+v with an ID", g, c)
		}
	}
	if again := marshal(t, r); string(again) != string(text) {
		t.Errorf("second writing differs:\n%s\n%s", again, text)
	}
}

// A record and its original, the same file read twice, and two records of one
// program share their sources (api decisions 2 and 3).
func TestRecordKeepsCorrelation(t *testing.T) {
	a, b := twoReadings()
	wantU := evaluate(t, a.Sub(b)).StandardUncertainty
	first := marshal(t, uncertainty.Record{ID: "first", Quantities: []uncertainty.Quantity{a}})
	second := marshal(t, uncertainty.Record{ID: "second", Quantities: []uncertainty.Quantity{b}})
	one, other, two := unmarshal(t, first).Quantities[0], unmarshal(t, first).Quantities[0], unmarshal(t, second).Quantities[0]
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		u    float64
	}{
		{"file read twice", one.Sub(other), 0},
		{"record and original", one.Sub(a), 0},
		{"two records of one program", one.Sub(two), wantU},
		{"record and the other original", one.Sub(b), wantU},
		{"original and the other record", a.Sub(two), wantU},
	} {
		got := evaluate(t, c.q)
		if math.Abs(got.StandardUncertainty-c.u) > 1e-12*c.u+1e-18 {
			t.Errorf("%s: u = %v; want %v", c.name, got.StandardUncertainty, c.u)
		}
		if c.u == 0 && got.Estimate != 0 {
			t.Errorf("%s: difference %v; want 0", c.name, got.Estimate)
		}
	}
}

// Writing must not change what Evaluate accepts: two sources of one name that state
// no ID stay refused, even under one record ID.
func TestRecordDoesNotRelaxNames(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(1, 0.1)).Named("x")
	y := uncertainty.Input("x", uncertainty.Normal(1, 0.1)).Named("x")
	marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x}})
	marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{y}})
	if _, err := uncertainty.Evaluate(x.Sub(y)); !errors.Is(err, uncertainty.ErrSameName) {
		t.Errorf("two sources of one name, both written: error %v; want ErrSameName", err)
	}
	if q := unmarshal(t, marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x}})).Quantities[0]; evaluate(t, q.Sub(x)).StandardUncertainty != 0 {
		t.Error("what was read is not its original")
	}
	// Read from two files they state different IDs, which relaxes the rule.
	p := unmarshal(t, marshal(t, uncertainty.Record{ID: "p", Quantities: []uncertainty.Quantity{uncertainty.Input("z", uncertainty.Normal(1, 0.1))}})).Quantities[0]
	q := unmarshal(t, marshal(t, uncertainty.Record{ID: "q", Quantities: []uncertainty.Quantity{uncertainty.Input("z", uncertainty.Normal(1, 0.1))}})).Quantities[0]
	if b := evaluate(t, p.Add(q)); !near(b.StandardUncertainty, 0.1*math.Sqrt2, 1e-12) || len(b.Warnings) != 1 || !errors.Is(b.Warnings[0], uncertainty.ErrSharedName) {
		t.Errorf("two files with one source name: u = %v, warnings %v; want 0.1414 and ErrSharedName", b.StandardUncertainty, b.Warnings)
	}
}

// Every law of the package, and a nonlinear model, come back; the first-order
// sensitivities are those at the estimates.
func TestRecordOfEveryLaw(t *testing.T) {
	for i, d := range []uncertainty.Distribution{
		uncertainty.Normal(2, 0.1), uncertainty.Certificate(2, 0.1, 2), uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 2, U: 0.1, P: 0.95, DOF: 9}), uncertainty.StudentT(2, 0.1, 3),
		uncertainty.Rectangular(2, 0.1), uncertainty.Triangular(2, 0.1), uncertainty.Arcsine(2, 0.1), uncertainty.Resolution(2, 0.1),
		uncertainty.Between(1, 2), uncertainty.TypeA(1, 2, 3), uncertainty.TypeAPooled(0.1, 20, 2), uncertainty.Normal(2, 0),
		uncertainty.Trapezoidal(2, 0.1, 0.5), uncertainty.CurvilinearTrapezoidal(2, 0.1, 0.01), uncertainty.Exponential(2), uncertainty.Counts(7),
	} {
		x := uncertainty.Source{Name: "x", Distribution: d, Unit: "Ω"}.Input()
		y := uncertainty.Sqrt(x).Named("y")
		r := unmarshal(t, marshal(t, uncertainty.Record{ID: fmt.Sprint(i), Quantities: []uncertainty.Quantity{y, x}}))
		if diff := cmp.Diff(evaluate(t, x).Expanded, evaluate(t, r.Quantity("x")).Expanded); diff != "" {
			t.Errorf("%v: expanded uncertainty (-want +got):\n%s", d, diff)
		}
		if b := evaluate(t, r.Quantity("y").Sub(y)); b.StandardUncertainty != 0 || b.Estimate != 0 {
			t.Errorf("%v: read less original: %v, u %v; want 0", d, b.Estimate, b.StandardUncertainty)
		}
	}
}

func TestRecordConcurrentWriters(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(1, 0.1))
	var group sync.WaitGroup
	texts := make([][]byte, 8)
	for i := range texts {
		group.Go(func() {
			texts[i], _ = json.Marshal(uncertainty.Record{ID: fmt.Sprint("record ", i), Quantities: []uncertainty.Quantity{x}})
		})
	}
	group.Wait()
	for _, text := range texts {
		if d := evaluate(t, unmarshal(t, text).Quantities[0].Sub(x)); d.StandardUncertainty != 0 {
			t.Fatalf("a record lost the source: u = %v\n%s", d.StandardUncertainty, text)
		}
	}
}

func TestRecordRefusesToWrite(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(1, 0.1))
	foreign := uncertainty.Input("foreign", distuv.Normal{Mu: 1, Sigma: 1})
	for _, c := range []struct {
		name string
		r    uncertainty.Record
		want error
		text string
	}{
		{"no ID", uncertainty.Record{Quantities: []uncertainty.Quantity{x}}, uncertainty.ErrDomain, "the id of the record is empty"},
		{"no name", uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x.Neg()}}, uncertainty.ErrDomain, "name of quantity 1 is empty"},
		{"one name twice", uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x, x.Neg().Named("x")}}, uncertainty.ErrSameName, "quantities with one name"},
		{"zero Quantity", uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{{}}}, uncertainty.ErrDomain, "quantity 1"},
		{"error below", uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x.Div(uncertainty.Exact(0)).Named("q")}}, uncertainty.ErrDomain, "Div"},
		{"foreign law", uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{foreign}}, uncertainty.ErrDomain, "distuv.Normal"},
		{"not UTF-8", uncertainty.Record{ID: "r\xff", Quantities: []uncertainty.Quantity{x}}, uncertainty.ErrDomain, "UTF-8"},
		{"source without a name", uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{uncertainty.Input("", uncertainty.Normal(1, 1)).Named("q")}}, uncertainty.ErrDomain, "name of a source"},
	} {
		_, err := json.Marshal(c.r)
		if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: error %v; want %v with %q", c.name, err, c.want, c.text)
		}
	}
	if q := (uncertainty.Record{ID: "r"}).Quantity("y"); !errors.Is(q.Err(), uncertainty.ErrUnknown) {
		t.Errorf("unknown quantity: %v", q.Err())
	}
	if r := unmarshal(t, marshal(t, uncertainty.Record{ID: "empty"})); r.ID != "empty" || len(r.Quantities) != 0 {
		t.Errorf("empty record: %+v", r)
	}
}

func TestRecordRefusesToRead(t *testing.T) {
	joint := uncertainty.Joint([]string{"v", "i"}, []float64{1, 2}, mat.NewSymDense(2, []float64{4, 1, 1, 9}))
	x := uncertainty.Input("x", uncertainty.Rectangular(1, 0.1))
	good := string(marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x.Add(joint[0]).Add(joint[1]).Named("y")}}))
	for _, c := range []struct{ name, old, new, text string }{
		{"not an object", good, `[]`, "expected a JSON object"},
		{"truncated", good, good[:len(good)-2], "end of JSON"},
		{"unknown key", `"quantities"`, `"colour":1,"quantities"`, "colour"},
		{"no ID", `"id":"r",`, ``, "the id of the record is empty"},
		{"unknown source", `"columns":[1],"c":[1]`, `"sensitivities":[{"source":"r/z","c":1}]`, `no source of ID "r/z"`},
		{"source twice", `"columns":[1],"c":[1]`, `"columns":[1],"c":[1],"sensitivities":[{"source":"r/x","c":1}]`, "two sensitivities"},
		{"unknown column", `"columns":[1],"c"`, `"columns":[2],"c"`, "no source of column 2"},
		{"column twice", `"columns":[1],"c":[1]`, `"columns":[1,1],"c":[1,1]`, "column 1 twice"},
		{"column zero", `"columns":[1],"c":[1]`, `"columns":[0],"c":[1]`, "less than 1"},
		{"figure too few", `"columns":[1],"c":[1]`, `"columns":[1]`, "1 column and 0 figures"},
		{"columns beyond the figures", `"columns":[1],"c":[1]`, `"columnsTo":2,"c":[1]`, "columns to 2 and 1 figure"},
		{"column in the run and the list", `"columns":[1],"c":[1]`, `"columnsTo":1,"columns":[1],"c":[1,1]`, "column 1 twice"},
		{"columns of a group", `"columns":[1,1]`, `"columns":[1]`, "1 column for 2 names"},
		{"no standard uncertainty", `"rectangular","estimate":1`, `"normal","estimate":1`, "no standard uncertainty of a normal"},
		{"unknown law", `"rectangular"`, `"round"`, "unknown kind"},
		{"widths that disagree", `"halfWidth":0.1`, `"standardUncertainty":0.1,"halfWidth":0.2`, "belong together"},
		{"negative width", `"halfWidth":0.1`, `"halfWidth":-0.1`, "0 or more"},
		{"tampered uncertainty", `"c":[1]`, `"c":[2]`, "by the sources"},
		{"tampered covariance", `[4,1]`, `[4,2]`, "mirror image at row 2, column 1;"},
		{"short row", `[4,1]`, `[4]`, "has 1 figure;"},
		{"short matrix", `[[4,1],[1,9]]`, `[[4,1]]`, "1 row of"},
		{"impossible covariance", `[[4,1],[1,9]]`, `[[4,8],[8,9]]`, "correlation"},
		{"degrees of freedom", `"degreesOfFreedom":"infinite"`, `"degreesOfFreedom":"many"`, `"infinite"`},
		{"negative degrees of freedom of a law", `"halfWidth"`, `"degreesOfFreedom":-1,"halfWidth"`, "degrees of freedom are -1"},
		{"negative degrees of freedom", `"degreesOfFreedom":"infinite"`, `"degreesOfFreedom":-1`, "degrees of freedom are -1"},
		{"ID twice", `"name":"x"`, `"id":"r/v/v"`, "that of another"},
		{"neither ID nor name", `"name":"x",`, ``, "without an id"},
		{"distribution that is not listed", `"distribution":{"kind":"rectangular","estimate":1,"halfWidth":0.1}`, `"distribution":1`, "distribution 1; the record lists 0 distributions"},
		{"distribution by no number", `"distribution":{"kind":"rectangular","estimate":1,"halfWidth":0.1}`, `"distribution":0`, "distribution 0; expected an object"},
		{"distribution by name", `"distribution":{"kind":"rectangular","estimate":1,"halfWidth":0.1}`, `"distribution":"rectangular"`, "expected an object, or the number"},
		{"key of a distribution", `"halfWidth":0.1`, `"halfWidth":0.1,"sigma":1`, "sigma"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		var r uncertainty.Record
		err := json.Unmarshal([]byte(bad), &r)
		if bad == good || err == nil || !strings.Contains(err.Error(), c.text) {
			t.Errorf("%s: error %v; want one with %q\n%s", c.name, err, c.text, bad)
		}
	}
}

// Records of earlier versions list the sensitivities by source, and state what is left out
// now; they are read as the same quantities.
func TestRecordOfEarlierVersions(t *testing.T) {
	const earlier = `{"id": "r",
	"sources": [
		{"id": "r/gain", "name": "gain", "unit": "1", "degreesOfFreedom": 50, "distribution":
			{"kind": "rectangular", "estimate": 1, "standardUncertainty": 0.05773502691896258, "halfWidth": 0.1, "degreesOfFreedom": "infinite"}},
		{"id": "r/a", "name": "a", "degreesOfFreedom": "infinite", "distribution":
			{"kind": "normal", "estimate": 2, "standardUncertainty": 0.5, "degreesOfFreedom": "infinite"}}],
	"groups": [{"id": "r/v", "names": ["v", "i"], "estimates": [1, 2], "covariance": [[4, 1], [1, 9]],
		"degreesOfFreedom": "infinite", "type": "B"}],
	"quantities": [{"name": "y", "estimate": 7, "standardUncertainty": 3.2072054960250424, "degreesOfFreedom": "infinite",
		"sensitivities": [{"source": "r/gain", "c": 2}, {"source": "r/a", "c": -1}, {"source": "r/v/i", "c": 1}]}]}`
	gain := uncertainty.Source{Name: "gain", Unit: "1", ID: "r/gain", Distribution: uncertainty.Rectangular(1, 0.1), DOF: 50}.Input()
	a := uncertainty.Source{Name: "a", ID: "r/a", Distribution: uncertainty.Normal(2, 0.5)}.Input()
	v := uncertainty.JointSource{Names: []string{"v", "i"}, Estimates: []float64{1, 2},
		Covariance: mat.NewSymDense(2, []float64{4, 1, 1, 9}), ID: "r/v"}.Inputs()
	want := gain.Scale(2).Sub(a).Add(v[1]).Add(uncertainty.Exact(5)).Named("y")
	old := strings.Replace(earlier, "3.2072054960250424", fmt.Sprint(evaluate(t, want).StandardUncertainty), 1)
	read := unmarshal(t, []byte(old)).Quantity("y")
	if d := evaluate(t, read.Sub(want)); d.Estimate != 0 || d.StandardUncertainty != 0 {
		t.Errorf("read less built: %v, u %v; want 0", d.Estimate, d.StandardUncertainty)
	}
	// The version between had columns, but every ID and every distribution with its source.
	const between = `{"id":"r","sources":[{"id":"r/gain","unit":"1","degreesOfFreedom":50,"distribution":` +
		`{"kind":"rectangular","estimate":1,"halfWidth":0.1},"column":1},` +
		`{"id":"r/a","distribution":{"kind":"normal","estimate":2,"standardUncertainty":0.5},"column":2}],` +
		`"groups":[{"id":"r/v","names":["v","i"],"estimates":[1,2],"covariance":[[4,1],[1,9]],"degreesOfFreedom":"infinite",` +
		`"type":"B","columns":[0,3]}],"quantities":[{"name":"y","estimate":7,"standardUncertainty":3.2072054960250424,` +
		`"columns":[1,2,3],"c":[2,-1,1]}]}`
	old = strings.Replace(between, "3.2072054960250424", fmt.Sprint(evaluate(t, want).StandardUncertainty), 1)
	if d := evaluate(t, unmarshal(t, []byte(old)).Quantity("y").Sub(want)); d.Estimate != 0 || d.StandardUncertainty != 0 {
		t.Errorf("read with columns less built: %v, u %v; want 0", d.Estimate, d.StandardUncertainty)
	}
	again := unmarshal(t, marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{read}})).Quantity("y")
	if diff := cmp.Diff(evaluate(t, read).Components, evaluate(t, again).Components); diff != "" {
		t.Errorf("written anew (-earlier +now):\n%s", diff)
	}
}

// Sources that reach every quantity alike share a column; those that do so in one only do not.
func TestRecordColumns(t *testing.T) {
	in := func(name string) uncertainty.Quantity { return uncertainty.Input(name, uncertainty.Normal(0, 1)) }
	zero, noise, own, gain := in("zero"), in("noise"), in("own"), in("gain")
	reading := zero.Add(noise).Add(gain.Scale(100))
	text := string(marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{
		reading.Scale(3).Named("a"), reading.Scale(0.5).Add(own).Named("b"),
	}}))
	for _, want := range []string{`"columns":[1,2],"c":[3,300]`, `"columns":[1,2,3],"c":[0.5,50,1]`} {
		if !strings.Contains(text, want) {
			t.Errorf("no %s in\n%s", want, text)
		}
	}
	if n := strings.Count(text, `"column":1}`); n != 2 {
		t.Errorf("%d sources of column 1; want zero and noise\n%s", n, text)
	}
}

// A note that many sources have stands once, and a row does not list the columns from the first on;
// both are read back as they were, and small records stay as they are.
func TestRecordOfManySources(t *testing.T) {
	for _, n := range []int{8, 9} {
		var sources []uncertainty.Quantity
		var c []float64
		for i := range n {
			sources = append(sources, uncertainty.Source{Name: fmt.Sprint("s", i),
				ID: fmt.Sprint("r/s", i), Note: "one note",
				Distribution: uncertainty.Normal(0, 1)}.Input())
			c = append(c, float64(i+2))
		}
		all := uncertainty.Linear(0, c, sources).Named("all")
		last := all.Sub(sources[0].Scale(2)).Add(uncertainty.Source{Name: "own", ID: "r/own",
			Note: "own note", Distribution: uncertainty.Normal(0, 1)}.Input()).Named("last")
		record := uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{all, last}}
		text := string(marshal(t, record))
		for _, part := range []string{`"notes":["one note"]`, `"note":1,`, `"columnsTo":9,"c":[2,`,
			`"columnsTo":10,"c":[0,`} {
			if strings.Contains(text, part) != (n == 9) {
				t.Errorf("%d sources: %s is there or not in\n%s", n, part, text)
			}
		}
		if !strings.Contains(text, `"note":"own note"`) {
			t.Errorf("a note of one source is not beside it:\n%s", text)
		}
		read := unmarshal(t, []byte(text))
		for i, q := range record.Quantities {
			diff := cmp.Diff(evaluate(t, q).Components, evaluate(t, read.Quantities[i]).Components)
			if diff != "" {
				t.Errorf("%d sources, read back (-written +read):\n%s", n, diff)
			}
		}
		if bad := strings.Replace(text, `"notes":["one note"]`, `"notes":[]`, 1); bad != text {
			err := json.Unmarshal([]byte(bad), new(uncertainty.Record))
			if err == nil || !strings.Contains(err.Error(), "note 1; the record lists 0 notes") {
				t.Errorf("a note that is not listed: %v", err)
			}
		}
		if bad := strings.Replace(text, `"note":1,`, `"note":0,`, 1); bad != text {
			err := json.Unmarshal([]byte(bad), new(uncertainty.Record))
			if err == nil || !strings.Contains(err.Error(), "expected a text, or the number") {
				t.Errorf("a note by no number: %v", err)
			}
		}
	}
}

// What sources have in common stands once in the file: the ID of the record before their names,
// and a distribution that several have. Read back, each has what it had.
func TestRecordStatesOnce(t *testing.T) {
	in := func(id, name string, u float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, ID: id, Distribution: uncertainty.Normal(0, u)}.Input()
	}
	sum := uncertainty.Sum(in("", "a/b", 1), in("", "c", 2), in("", "d", 1), in("meter 7/zero", "zero", 2),
		in("meter 7/gain, 2026", "gain", 3)).Named("sum")
	const want = `{"id":"r","distributions":[{"kind":"normal","estimate":0,"standardUncertainty":1},` +
		`{"kind":"normal","estimate":0,"standardUncertainty":2}],"sources":[` +
		`{"name":"a/b","distribution":1,"column":1},{"name":"c","distribution":2,"column":1},` +
		`{"name":"d","distribution":1,"column":1},{"id":"meter 7/zero","distribution":2,"column":1},` +
		`{"id":"meter 7/gain, 2026","name":"gain","distribution":{"kind":"normal","estimate":0,"standardUncertainty":3},"column":1}],`
	text := marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{sum}})
	if !strings.HasPrefix(string(text), want) {
		t.Errorf("record\n%s; want\n%s…", text, want)
	}
	read := unmarshal(t, text)
	if d := evaluate(t, read.Quantity("sum").Sub(sum)); d.StandardUncertainty != 0 {
		t.Errorf("read less original: u %v; want 0", d.StandardUncertainty)
	}
	// Under another ID the sources keep theirs.
	read.ID = "s"
	if again := string(marshal(t, read)); !strings.Contains(again, `{"id":"r/a/b","name":"a/b","distribution":1,`) ||
		!strings.Contains(again, `{"id":"r/c","distribution":2,`) {
		t.Errorf("under another ID:\n%s", again)
	}
}

// A law without bounds has no half-width in the file; older files that give u as one are
// read all the same, and a contradiction is not.
func TestRecordHalfWidth(t *testing.T) {
	for _, d := range []uncertainty.Distribution{
		uncertainty.Normal(1, 0.25), uncertainty.StudentT(1, 0.25, 4), uncertainty.Exponential(0.25), uncertainty.Counts(3),
	} {
		x := uncertainty.Input("x", d)
		text := string(marshal(t, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{x}}))
		if strings.Contains(text, "halfWidth") {
			t.Errorf("%v: %s", d, text)
		}
		if got := unmarshal(t, []byte(text)).Quantity("x"); got.String() != x.String() {
			t.Errorf("%v is read as %v; want %v", d, got, x)
		}
		u := fmt.Sprint(d.(interface{ Uncertainty() (u, dof float64) }).Uncertainty())
		u, _, _ = strings.Cut(u, " ")
		key := `"standardUncertainty":` + u
		var r uncertainty.Record
		if err := json.Unmarshal([]byte(strings.Replace(text, key, key+`,"halfWidth":`+u, 1)), &r); err != nil {
			t.Errorf("%v of an older file: %v", d, err)
		}
		if err := json.Unmarshal([]byte(strings.Replace(text, key, key+`,"halfWidth":0.125`, 1)), &r); !errors.Is(err, uncertainty.ErrSyntax) {
			t.Errorf("%v with half-width 0.125: %v", d, err)
		}
	}
}

func FuzzRecord(f *testing.F) {
	a, b := twoReadings()
	f.Add(marshal(f, uncertainty.Record{ID: "r", Quantities: []uncertainty.Quantity{a, b}})) // sources and a group
	f.Add([]byte(`{"id":"r","quantities":[{"name":"x","estimate":1}]}`))                     // exact
	f.Fuzz(func(t *testing.T, text []byte) {
		var r uncertainty.Record
		if json.Unmarshal(text, &r) != nil {
			return
		}
		again, err := json.Marshal(r)
		if err != nil {
			return // sources that cannot stand together
		}
		var s uncertainty.Record
		if err := json.Unmarshal(again, &s); err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, again)
		}
	})
}

func ExampleRecord() {
	standard := uncertainty.Input("standard", uncertainty.Certificate(10000.053, 0.005, 2))
	r1 := standard.Mul(uncertainty.Input("ratio 1", uncertainty.TypeA(1.0000104, 1.0000107, 1.0000106))).Named("R1")
	r2 := standard.Mul(uncertainty.Input("ratio 2", uncertainty.TypeA(0.9999981, 0.9999984, 0.9999982))).Named("R2")
	file, err := json.Marshal(uncertainty.Record{ID: "box 1234 2026-03-01", Quantities: []uncertainty.Quantity{r1, r2}})
	if err != nil {
		fmt.Println(err)
		return
	}

	var read uncertainty.Record // in another program
	if err := json.Unmarshal(file, &read); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(read.Quantity("R1"))
	fmt.Println(read.Quantity("R1").Sub(read.Quantity("R2")), "the standard cancels")
	// Output:
	// 10000.1587(27)
	// 0.1233(12) the standard cancels
}

// A stated ID that equals the name is no ID that a record gave: it comes back as it was, so that what
// is read stays correlated with the source of the program.
func TestRecordIDEqualToName(t *testing.T) {
	for _, id := range []string{"Rs", "lab/Rs", "box/Rs", "box/box/Rs", "Rs/Rs"} {
		source := uncertainty.Source{Name: "Rs", ID: id, Distribution: uncertainty.Normal(100, 0.01)}.Input()
		text, err := json.Marshal(uncertainty.Record{ID: "box",
			Quantities: []uncertainty.Quantity{source.Scale(2).Named("R1")}})
		if err != nil {
			t.Fatal(err)
		}
		var back uncertainty.Record
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		// R1 − 2·Rs is exact where both are made of one source.
		b, err := uncertainty.Evaluate(back.Quantity("R1").Sub(source.Scale(2)))
		if err != nil {
			t.Errorf("ID %q: %v", id, err)
		} else if b.StandardUncertainty > 1e-12 {
			t.Errorf("ID %q comes back as another source: u = %v in %s", id, b.StandardUncertainty, text)
		}
	}
}
