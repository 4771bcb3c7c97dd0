// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// The box is perfect and the 100 Ω range reads 0.3 % high: the meter is among the causes of
// the first answer. A resistor of known value read on that range settles it: the box is
// healthy.
func TestMeterRange(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "box", Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005,
		Decades: []decade.Decade{{Step: 100, Tolerance: 0.0005}, {Step: 10, Tolerance: 0.0005}, {Step: 1, Tolerance: 0.005}}})
	if err != nil {
		t.Fatal(err)
	}
	meter := &verify.Meter{Wiring: verify.WiringFourWire, OffsetCompensated: true}
	for _, full := range []float64{10, 100, 1000} {
		meter.Ranges = append(meter.Ranges, verify.Range{Name: map[float64]string{10: "10 Ω", 100: "100 Ω", 1000: "1 kΩ"}[full],
			FullScale: full, OverRange: 1.2, OfReading: 1e-4, OfRange: 1e-5, Resolution: full * 1e-6})
	}
	var readings []verify.Reading
	for d := range 3 {
		for p := range 11 {
			s, err := box.Zero().With(d, p)
			if err != nil {
				t.Fatal(err)
			}
			v, name := s.Value(), "1 kΩ"
			switch {
			case v < 11:
				name = "10 Ω"
			case v < 110:
				v, name = v*1.003, "100 Ω"
			}
			if p > 0 || d == 0 {
				readings = append(readings, verify.Reading{Setting: s, Values: []float64{v}, Range: name})
			}
		}
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Simple())
	if err != nil {
		t.Fatal(err)
	}
	d, err := fault.Diagnose(t.Context(), report)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, faults := range append([][]fault.Fault{d.Causes[0].Faults}, d.Causes[0].Equal...) {
		found = found || len(faults) == 1 && faults[0].Kind == fault.KindMeterGain && faults[0].A.Number == 2
	}
	if d.Healthy || !found {
		t.Errorf("healthy %v, %v", d.Healthy, d.Causes[0])
	}
	known, err := report.Substitute(verify.Standard{Name: "known resistor", Value: uncertainty.Source{Name: "known resistor", Distribution: uncertainty.Normal(50, 0.0005), Unit: "Ω"}.Input(),
		Reading: verify.Reading{Values: []float64{50.15}, Range: "100 Ω"}})
	if err != nil {
		t.Fatal(err)
	}
	if d, err = fault.Diagnose(t.Context(), known); err != nil || !d.Healthy {
		t.Errorf("after a known resistor: %v, %v", d, err)
	}
}
