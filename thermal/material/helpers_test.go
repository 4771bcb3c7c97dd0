// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"math"
	"strconv"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

const (
	lec  = "Lessons in Electric Circuits vol. 1, chapter 12"
	cyc  = "Cyclopedia of Telephony and Telegraphy vol. 1 (1911-12)"
	eb11 = "Encyclopaedia Britannica, 11th ed., vol. 6, Conduction, Electric"
	hb   = "NBS Handbook 100, section 1"
)

// a worked example: what it is about, the printed answer and ours.
type worked struct {
	name, source, printed string
	known                 uncertaintytest.Provenance
	got                   float64
	exception             string
}

func run(t *testing.T, rows []worked) {
	for _, r := range rows {
		uncertaintytest.Published{
			Name: r.name, Source: r.source, Place: "worked example", Printed: r.printed,
			Provenance: r.known, Exception: r.exception,
		}.Run(t, r.got)
	}
}

func find(t testing.TB, name string) material.Material {
	t.Helper()
	m, err := material.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// must returns a function that unwraps a result or stops the test.
func must[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}
