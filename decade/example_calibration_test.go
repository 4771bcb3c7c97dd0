// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"encoding/json"
	"fmt"
	"log"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// newMeasured is a box of two dials with two steps each, and what its certificate says.
func newMeasured() *decade.Box {
	box, err := decade.New(decade.Spec{Name: "two dials", Serial: "8", Residual: 0.01,
		ResidualTolerance: 0.005, Decades: []decade.Decade{
			{Name: "×10", Step: 10, Positions: 2, Tolerance: 0.001}, {Name: "×1", Step: 1, Positions: 2, Tolerance: 0.002},
		}})
	if err != nil {
		log.Fatal(err)
	}
	values := uncertainty.Record{ID: "two dials 8, 2026-03-02"}
	for _, v := range []struct {
		name string
		ohms float64
	}{{"residual", 0.012}, {"×10 element 1", 10.004}, {"×10 element 2", 9.998}, {"×1 element 1", 1.0006}, {"×1 element 2", 0.9990}} {
		q := uncertainty.Source{Name: v.name, Unit: "Ω",
			Distribution: uncertainty.Certificate(v.ohms, 0.0002, 2)}.Input()
		values.Quantities = append(values.Quantities, q)
	}
	measured, err := box.With(&decade.Calibration{
		Box: "two dials", Serial: "8", Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), Values: values,
	})
	if err != nil {
		log.Fatal(err)
	}
	return measured
}

// The values of a certificate for a box with one step, U with k = 2.
func ExampleCalibration() {
	box, err := decade.New(decade.Spec{Name: "one step",
		Decades: []decade.Decade{{Name: "×10", Step: 10, Positions: 1}}})
	if err != nil {
		log.Fatal(err)
	}
	values := uncertainty.Record{ID: "certificate 2026", Quantities: []uncertainty.Quantity{
		uncertainty.Input(decade.ResidualName, uncertainty.Certificate(0.012, 0.001, 2)),
		uncertainty.Input(box.ElementName(0, 1), uncertainty.Certificate(10.003, 0.0006, 2)),
	}}
	measured, err := box.With(&decade.Calibration{Box: "one step",
		Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC), Values: values})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := measured.At(1)
	fmt.Printf("%v Ω nominal, %.3f Ω measured\n", s.Nominal(), s.Value())
	// Output:
	// 10 Ω nominal, 10.015 Ω measured
}

// A calibration is kept as JSON and read for the box that it belongs to.
func ExampleReadCalibration() {
	file, err := json.Marshal(newMeasured().Calibration())
	if err != nil {
		log.Fatal(err)
	}
	c, err := decade.ReadCalibration(strings.NewReader(string(file)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(c.Box, c.Serial, c.Date.Format(time.DateOnly), len(c.Values.Quantities), "values")
	_, err = newBench().With(c)
	fmt.Println(err)
	// Output:
	// two dials 8 2026-03-02 5 values
	// decade.Box.With: calibration: of box "two dials", serial "8"; expected one of box "bench box"
}

// Keys that are not known, such as a misspelt one, are refused.
func ExampleCalibration_UnmarshalJSON() {
	var c decade.Calibration
	err := json.Unmarshal([]byte(`{"box": "one step", "dated": "2026-03-02T00:00:00Z"}`), &c)
	fmt.Println(err)
	// Output:
	// decade.Calibration: dated: unknown key "dated"; did you mean "date"?
}

// Where the values of a box come from; a nominal box has no calibration.
func ExampleBox_Calibration() {
	c := newMeasured().Calibration()
	fmt.Println(c.Values.ID, "- bench box:", newBench().Calibration() == nil)
	// Output:
	// two dials 8, 2026-03-02 - bench box: true
}

// The settings that are farthest off in parts of their nominal value.
func ExampleBox_Extremes() {
	lowest, highest, err := newMeasured().Extremes(decade.MeasureOfNominal)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: %+.0f ppm, %v: %+.0f ppm\n", lowest.Setting, 1e6*lowest.Relative,
		highest.Setting, 1e6*highest.Relative)
	// Output:
	// 0-2: -200 ppm, 0-1: +600 ppm
}

// The one setting to check first: the farthest off in parts of what its class allows.
func ExampleExtreme() {
	_, highest, err := newMeasured().Extremes(decade.MeasureOfClass)
	if err != nil {
		log.Fatal(err)
	}
	s := highest.Setting
	fmt.Printf("%v: %.0f %% of ±%v Ω\n", s, 100*highest.Relative, s.ClassLimit())
	// Output:
	// 1-0: 40 % of ±0.01 Ω
}

// Off by most of its value is not off by most of its class: the class of the ×1 dial is
// wider.
func ExampleMeasure() {
	box := newMeasured()
	for _, m := range []decade.Measure{decade.MeasureOfNominal, decade.MeasureOfClass} {
		_, highest, err := box.Extremes(m)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %v at %+.2g\n", m, highest.Setting, highest.Relative)
	}
	// Output:
	// of nominal: 0-1 at +0.0006
	// of class: 1-0 at +0.4
}

func ExampleBox_Survey() {
	survey, err := newMeasured().Survey(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(survey)
	// Output:
	// 8 of 8 settings within class, from -0.10 of the limit at 0-2 to +0.40 at 1-0
}

// How much of the class a box uses up.
func ExampleSurvey() {
	survey, err := newMeasured().Survey(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	used := max(-survey.Lowest.Relative, survey.Highest.Relative)
	fmt.Printf("%.0f %% of the class used, %d settings outside\n", 100*used, survey.Settings-survey.Inside)
	// Output:
	// 40 % of the class used, 0 settings outside
}
