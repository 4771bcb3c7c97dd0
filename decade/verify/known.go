// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Known is a resistor of known value that was read in the place of the box, on the same
// leads and in the same session: [Evaluate] corrects all readings by it, as
// [Report.Substitute] does. Any number of goroutines may read one at once.
type Known struct {
	Name  string  // "standard 100 Ω, serial 7"; readings of one name are of one resistor
	Value float64 // Ω, at its temperature then
	U     float64 // Ω, expanded uncertainty of Value
	K     float64 // coverage factor of U; 0: 2
}

// checkKnown refuses what is no resistor of known value.
func (k *Known) checkKnown() error {
	switch {
	case strings.TrimSpace(k.Name) == "":
		return unit.Errorf(ErrEmpty, "a known resistor without a name; expected one, such as "+
			"standard 100 Ω")
	case !finite(k.Value) || !finite(k.U) || !finite(k.K):
		return unit.Errorf(ErrNotFinite, "%s: value %v Ω, U %v Ω, k %v; expected finite numbers",
			k.Name, k.Value, k.U, k.K)
	case k.Value < 0 || k.U < 0:
		return unit.Errorf(ErrDomain, "%s: value %v Ω, U %v Ω; expected 0 or more", k.Name,
			k.Value, k.U)
	case k.K != 0 && k.K < 1:
		return unit.Errorf(ErrDomain, "%s: k = %v; expected 1 or more, or none for 2", k.Name, k.K)
	}
	return nil
}

// quantity is the value with its uncertainty.
func (k *Known) quantity() uncertainty.Quantity {
	src := uncertainty.Source{Name: k.Name, Unit: "Ω", Note: "certificate of the known resistor",
		Distribution: uncertainty.Certificate(k.Value, k.U, cmp.Or(k.K, 2))}
	// Exact, so that budgets have no row of nothing.
	if k.U == 0 {
		return uncertainty.Exact(k.Value)
	}
	return src.Input()
}

// splitReadings parts readings of the box from those of known resistors, one source for each name.
// Both keep their order; readings is returned as it is where it has no known resistor. The error
// names the reading whose resistor has no name or figures, or another value under one name.
func splitReadings(readings []Reading) (box []Reading, standards []Standard, err error) {
	if !slices.ContainsFunc(readings, func(rd Reading) bool { return rd.Known != nil }) {
		return readings, nil, nil
	}
	stated := make(map[string]*Known)
	made := make(map[string]uncertainty.Quantity)
	for i := range readings {
		rd := &readings[i]
		if rd.Known == nil {
			box = append(box, *rd)
			continue
		}
		refuse := func(cause error) error {
			return &Error{Op: "verify.Evaluate", Name: rd.place(), Err: cause}
		}
		if err := rd.Known.checkKnown(); err != nil {
			return nil, nil, refuse(err)
		}
		name := rd.Known.Name
		if before := stated[name]; before != nil && *before != *rd.Known {
			return nil, nil,
				refuse(unit.Errorf(ErrContradiction, "%s is %v Ω with U = %v Ω, and %v Ω with U "+
					"= %v Ω in another reading; expected one value for a name",
					name, rd.Known.Value, rd.Known.U, before.Value, before.U))
		}
		// One quantity for one name: its error is common to all that it corrects (GUM F.1.2.3).
		if stated[name] == nil {
			stated[name], made[name] = rd.Known, rd.Known.quantity()
		}
		s := Standard{Name: name, Value: made[name], Reading: *rd}
		s.Reading.Known = nil
		standards = append(standards, s)
	}
	return box, standards, nil
}

// MeterError is the error that the meter showed when it read a known resistor. Any number of
// goroutines may read one at once.
type MeterError struct {
	Standard string
	Range    string
	Session  string
	Reading  float64 // Ω, what the meter showed, leads subtracted
	Error    float64 // Ω, reading less value of the resistor
	U        float64 // Ω, expanded uncertainty (95 %) by the resistor, the display and the scatter
	Limit    float64 // Ω, ± limit of error of the range there
}

// Outside reports whether the meter is outside its limits by more than U.
func (m MeterError) Outside() bool { return math.Abs(m.Error)-m.U > m.Limit }

// String returns the error in a sentence.
func (m MeterError) String() string {
	how := "high"
	if m.Error < 0 {
		how = "low"
	}
	s := fmt.Sprintf("Range %s reads %s %s by %s at %s, U = %s, where its limits are ±%s", m.Range,
		m.Standard, how, wording.Ohms(math.Abs(m.Error)), wording.Ohms(m.Reading),
		wording.Ohms(m.U), wording.Ohms(m.Limit))
	if m.Session != "" {
		s += ", session " + m.Session
	}
	if m.Outside() {
		return s + ": outside its limits. The readings of the range are corrected by it."
	}
	return s + ". The readings of the range are corrected by it."
}

// normal95 is the coverage factor of a normal distribution for 95 % (JCGM 100, table G.2, ν = ∞).
const normal95 = 1.959963984540054

// meterError takes the errors of the meter out of the budget b of what it showed less the
// value of the standard, in Ω: they are what was found, not what it is uncertain by. The limit is
// that inside the temperature band, which is what the meter's maker promises.
func (e *evaluation) meterError(s *Standard, b *uncertainty.Budget) MeterError {
	out := MeterError{Standard: cmp.Or(s.Name, "standard"), Range: s.Reading.Range,
		Session: s.Reading.Session, Error: b.Estimate}
	if rg, err := e.meter.rangeFor(&s.Reading); err == nil {
		out.Range, out.Reading = rg.Name, s.Value.Estimate()+b.Estimate
		out.Limit = rg.Limit(out.Reading, 0)
	}
	// The limits of the meter predict the error; it was measured, and so they are no part of its
	// U.
	rest := 0.0
	for _, c := range b.Components {
		if familyOf(c.Name) != causeMeter {
			rest += square(c.Contribution)
		}
	}
	out.U = normal95 * math.Sqrt(rest)
	return out
}
