// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// example is one worked example of testdata/published.json: figures as printed.
type example struct {
	ID, Title, Source, Place string
	Provenance               uncertaintytest.Provenance
	Published                []struct{ Name, Printed, Unit, Exception string }
}

// checkPublished compares each figure that the example prints with the one that
// was computed, one subtest a figure; a figure that only one of the two has fails.
func checkPublished(t *testing.T, id string, computed map[string]float64) {
	t.Helper()
	e := findExample(t, id)
	for _, row := range e.Published {
		got, ok := computed[row.Name]
		if !ok {
			t.Errorf("%s: %s is published and not computed", id, row.Name)
			continue
		}
		delete(computed, row.Name)
		uncertaintytest.Published{
			Name: e.Title + ": " + row.Name, Source: e.Source, Place: e.Place, Provenance: e.Provenance,
			Printed: row.Printed, Exception: row.Exception,
		}.Run(t, got)
	}
	for name := range computed {
		t.Errorf("%s: %s is computed and not published", id, name)
	}
}

func findExample(t *testing.T, id string) example {
	t.Helper()
	for _, e := range readExamples(t) {
		if e.ID == id {
			return e
		}
	}
	t.Fatalf("no example %q in testdata/published.json", id)
	return example{}
}

func readExamples(t *testing.T) []example {
	t.Helper()
	text, err := os.ReadFile("testdata/published.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Examples []example }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	return file.Examples
}

// evaluate fails the test on an error.
func evaluate(t testing.TB, y uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(y)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// row finds a component by name.
func row(t testing.TB, b *uncertainty.Budget, name string) uncertainty.Component {
	t.Helper()
	for _, c := range b.Components {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no component %q", name)
	return uncertainty.Component{}
}

func factor(t testing.TB, p, dof float64) float64 {
	t.Helper()
	k, err := uncertainty.CoverageFactor(p, dof)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func expanded(t testing.TB, b *uncertainty.Budget, p float64) float64 {
	t.Helper()
	e, err := b.ExpandedAt(p)
	if err != nil {
		t.Fatal(err)
	}
	return e.U
}

// half is the half-width of the interval of the linear model.
func half(t testing.TB, b *uncertainty.Budget, p float64) float64 {
	t.Helper()
	i, err := b.Convolution(p)
	if err != nil {
		t.Fatal(err)
	}
	return i.Width() / 2
}

// probability inverts a coverage factor that rises with p.
func probability(k float64, factor func(p float64) float64) float64 {
	low, high := 0.0, 1.0
	for range 60 {
		p := (low + high) / 2
		if p >= 1-1e-15 || factor(p) > k {
			high = p
		} else {
			low = p
		}
	}
	return low
}

// near compares with a relative tolerance; want 0 with an absolute one.
func near(got, want, tolerance float64) bool {
	if math.IsNaN(got) || math.IsNaN(want) {
		return false
	}
	return got == want || math.Abs(got-want) <= tolerance*max(math.Abs(want),
		math.SmallestNonzeroFloat64) || want == 0 && math.Abs(got) <= tolerance
}
