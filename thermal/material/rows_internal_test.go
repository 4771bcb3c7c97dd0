// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// row is a line of the published values of package thermal; those about metals and alloys
// are compared with the table here.
type row struct {
	id, table, inputs, printed string
	known, source, place       string
}

func readRows(t *testing.T) (rows []row) {
	t.Helper()
	f, err := os.Open("../testdata/thermal.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range records[1:] {
		if slices.Contains([]string{"MNG", "MNGR", "EMF"}, c[1]) {
			rows = append(rows, row{id: c[0], table: c[1], inputs: c[2], printed: c[3], known: c[6],
				source: c[7], place: c[8]})
		}
	}
	if len(rows) != 26 {
		t.Fatalf("%d rows, want 26", len(rows))
	}
	return rows
}

func (r row) published(printed string) uncertaintytest.Published {
	about := map[string]string{"MNGR": "published range of manganin", "EMF": "EMF against copper"}
	return uncertaintytest.Published{
		Name: about[r.table] + ", " + r.inputs + " (" + r.id + ")", Source: r.source, Place: r.place, Printed: printed,
		Provenance: uncertaintytest.Provenance(r.known),
	}
}

var numbers = regexp.MustCompile(`-?\d+(\.\d+)?(e-?\d+)?`)

func parse(s string) (float64, error) { return strconv.ParseFloat(s, 64) }

// must returns a function that unwraps results which must not fail.
func must(t *testing.T, id string) func(v float64, err error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		return v
	}
}

func named(t *testing.T, name string) Material {
	t.Helper()
	m, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func evaluate(t *testing.T, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
