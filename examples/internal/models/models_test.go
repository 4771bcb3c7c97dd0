// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package models_test

import (
	"bytes"
	"testing"

	"example.com/ohmwright/examples/internal/models"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func evaluated(t *testing.T, name string) *uncertainty.Budget {
	t.Helper()
	text, err := models.Text(name)
	if err != nil {
		t.Fatal(err)
	}
	y, err := uncertainty.ReadModel(bytes.NewReader(text))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	b, err := uncertainty.Evaluate(y)
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
}
