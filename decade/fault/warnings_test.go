// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"errors"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// What limits a diagnosis is among its warnings, each of them with its cause: a
// description that states no class, readings that no cause explains, readings that depend
// on the direction of the current.
func TestWarnings(t *testing.T) {
	box, err := decade.New(decade.Spec{Name: "box without a class", Residual: 0.01, Decades: []decade.Decade{{Step: 100, Positions: 5}}})
	if err != nil {
		t.Fatal(err)
	}
	meter := &verify.Meter{Wiring: verify.WiringFourWire, Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OfReading: 1e-5, OfRange: 1e-6, Resolution: 0.001}}}
	var readings []verify.Reading
	for p, ohms := range []float64{0.01, 93.4, 211.7, 288.8, 431.2, 490.6} {
		s, err := box.At(p)
		if err != nil {
			t.Fatal(err)
		}
		readings = append(readings, verify.Reading{Setting: s, Values: []float64{ohms}, Reversed: []float64{ohms + 0.5*float64(p)}})
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Simple())
	if err != nil {
		t.Fatal(err)
	}
	d, err := fault.Options{Faults: 1}.Diagnose(t.Context(), report)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []error{fault.ErrNotStated, fault.ErrUnexplained, fault.ErrContradiction} {
		found := false
		for _, w := range d.Warnings {
			if !errors.Is(w, want) {
				continue
			}
			found = true
			if own, ok := errors.AsType[*fault.Error](w); !ok || own.Op != "fault.Diagnose" || !strings.HasPrefix(w.Error(), "fault.Diagnose: ") {
				t.Errorf("%v is no *fault.Error of Diagnose: %v", want, w)
			}
		}
		if !found {
			t.Errorf("no warning is %q among %q", want, d.Warnings)
		}
	}
}
