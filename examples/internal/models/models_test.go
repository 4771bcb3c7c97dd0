// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package models_test

import (
	"bytes"
	"context"
	"testing"

	"example.com/ohmwright/examples/internal/models"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func evaluated(t *testing.T, name string) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(model(t, name))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return b
}

func TestAllEvaluate(t *testing.T) {
	for _, m := range models.All {
		if b := evaluated(t, m.Name); !(b.StandardUncertainty > 0) || b.Unit == "" || m.Title == "" {
			t.Errorf("%s: %v", m.Name, b)
		}
	}
	if _, err := models.Text("../models"); err == nil {
		t.Error("a file outside is read")
	}
}

// The files of the worked examples give the printed figures, so that they can be handed out.
func TestPublished(t *testing.T) {
	const gum = "JCGM 100:2008"
	length, r, x := evaluated(t, "gum-h1"), evaluated(t, "gum-h2-resistance"), evaluated(t, "gum-h2-reactance")
	for _, c := range []struct {
		name, place, printed string
		got                  float64
	}{
		{"gauge block, length in mm", "H.1.5", "50.000838", length.Estimate * 1e3},
		{"gauge block, combined standard uncertainty in nm", "H.1.4", "32", length.StandardUncertainty * 1e9},
		{"resistance", "H.2, table H.3", "127.732", r.Estimate},
		{"resistance, standard uncertainty", "H.2, table H.3", "0.071", r.StandardUncertainty},
		{"reactance", "H.2, table H.3", "219.847", x.Estimate},
	} {
		uncertaintytest.Published{Name: c.name, Source: gum, Place: c.place, Printed: c.printed,
			Provenance: uncertaintytest.FromMemory}.Run(t, c.got)
	}
	days := evaluated(t, "gum-h5")
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"voltage of ten days", "10.000097", days.Estimate}, {"its standard uncertainty in µV", "18", days.StandardUncertainty * 1e6},
		{"its degrees of freedom", "9", days.DOF},
	} {
		uncertaintytest.Published{Name: c.name, Source: gum, Place: "H.5.2.5", Printed: c.printed,
			Provenance: uncertaintytest.FromMemory}.Run(t, c.got)
	}
	const supplement1, supplement2 = "JCGM 101:2008", "JCGM 102:2011"
	for _, file := range []struct {
		name, place, u string
	}{{"jcgm101-9-4", "9.4, table 8", "112"}, {"jcgm101-9-4-correlated", "9.4, table 9", "121"}} {
		linear, second, o := evaluated(t, file.name), second(t, file.name), simulated(t, file.name)
		for _, c := range []struct {
			name, printed string
			got           float64
		}{
			{"estimate by the law of propagation", "100", linear.Estimate}, {"u to first order", "100", linear.StandardUncertainty},
			{"interval to first order, lower", "-96", linear.Expanded.Lower}, {"interval to first order, upper", "296", linear.Expanded.Upper},
			{"u to second order", file.u, second.StandardUncertainty}, {"estimate by Monte Carlo", "150", o.Estimate},
		} {
			uncertaintytest.Published{Name: file.name + ", x1 = 0.010, " + c.name + ", in 1e-6",
				Source: supplement1, Place: file.place,
				Printed: c.printed, Provenance: uncertaintytest.Seen}.Run(t, c.got*1e6)
		}
	}
	linear, o := evaluated(t, "jcgm102-9-3"), simulated(t, "jcgm102-9-3")
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"magnitude, law of propagation", "0.010", linear.Estimate}, {"its u", "0.010", linear.StandardUncertainty},
		{"magnitude, Monte Carlo", "0.015", o.Estimate}, {"its u by Monte Carlo", "0.008", o.StandardUncertainty},
	} {
		uncertaintytest.Published{Name: c.name, Source: supplement2,
			Place: "9.3, table 6, x1 = 0.010", Printed: c.printed,
			Provenance: uncertaintytest.Seen}.Run(t, c.got)
	}
}

func model(t *testing.T, name string) uncertainty.Quantity {
	t.Helper()
	text, err := models.Text(name)
	if err != nil {
		t.Fatal(err)
	}
	y, err := uncertainty.ReadModel(bytes.NewReader(text))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return y
}

func second(t *testing.T, name string) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.SecondOrder(model(t, name))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return b
}

func simulated(t *testing.T, name string) uncertainty.Output {
	t.Helper()
	s, err := uncertainty.MonteCarlo{Trials: 400_000, Seed: 1}.Run(context.Background(), model(t, name))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return s.Outputs[0]
}
