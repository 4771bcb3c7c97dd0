// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Conditions are the temperature and the current at which a box is used, for
// [Setting.ResistanceAt]. A field that is left zero (no quantity) means reference conditions: the
// reference temperature, a current too small to warm. Any number of goroutines may read one at
// once.
type Conditions struct {
	Temperature uncertainty.Quantity // of the box, °C
	Current     uncertainty.Quantity // through the terminals, A, direct or RMS
}

// ResistanceAt returns the resistance at the terminals in ohms under conditions:
//
//	Resistance + TemperatureChangeOf(temperature) + SelfHeating(current) at that temperature
//
// The quantity carries an error ([ErrNotStated]) where the description lacks what is needed: a
// temperature law for a temperature, and for a current what [Setting.SelfHeating] needs.
func (s Setting) ResistanceAt(c Conditions) uncertainty.Quantity {
	const op = "decade.Setting.ResistanceAt"
	if s.box == nil {
		return uncertainty.Fail(noSetting(op))
	}
	r := s.Resistance()
	if !c.Temperature.IsZero() {
		if !s.box.hasLaw {
			return uncertainty.Fail(&Error{Op: op, Name: "temperature",
				Err: unit.Errorf(ErrNotStated,
					"no temperature law is stated for %s; expected one of a decade or of the "+
						"residual", s.box.title())})
		}
		r = r.Add(s.TemperatureChangeOf(c.Temperature))
	}
	if !c.Current.IsZero() {
		// The steady state starts from the air around the element, so that the current and the
		// temperature cannot be added up as two corrections of the reference value.
		ambient := c.Temperature
		if ambient.IsZero() {
			ambient = uncertainty.Exact(s.box.reference)
		}
		r = r.Add(s.heatingOf(op, c.Current, ambient))
	}
	return r
}

// SelfHeating returns in ohms by how much a current in amperes, direct or RMS, changes the
// resistance once the temperature is steady, at the reference temperature of the box:
//
//	Σ over elements in circuit R(T + P·Rth) − R(T), P the power of the element when warm
//
// with the temperature law of the dial and its ThermalResistance Rth, each element warming
// for itself ([thermal.Element]). Dials without a temperature law do not change.
//
// The error names every dial off zero that has a law and no ThermalResistance, and says so
// where no dial off zero has a law ([ErrNotStated]); a current at which an element finds no
// steady state is [thermal.ErrRunaway], one that warms an element by more than 300 K, which
// none of a box survives, [ErrDomain].
//
// Caution: neighbours warm each other and a closed case warms too, so that the real change is
// larger. The result estimates an error and does not say what is safe; see [Setting.MaxCurrent].
func (s Setting) SelfHeating(amperes float64) (ohms float64, err error) {
	const op = "decade.Setting.SelfHeating"
	if err := s.checkHeating(op); err != nil {
		return 0, err
	}
	if err := numbers.Finite(op, "amperes", amperes); err != nil {
		return 0, err
	}
	return s.heating(op, amperes, s.box.reference)
}

// checkHeating names the dials off zero whose self-heating cannot be computed. A dial without a
// law does not change, but where none has a law the answer 0 would be mistaken for a result.
func (s *Setting) checkHeating(op string) error {
	if s.box == nil {
		return noSetting(op)
	}
	// Wiring and contacts warm too, but no element is in circuit: the answer is 0.
	if s.positions == (positions{}) {
		return nil
	}
	lawless := true
	for i := range s.box.spec.Decades {
		lawless = lawless && (s.positions.at(i) == 0 || s.box.spec.Decades[i].Law.IsZero())
	}
	if lawless {
		return s.requireStated(op, "temperature", "a temperature law",
			func(d *Decade) bool { return !d.Law.IsZero() })
	}
	return s.requireStated(op, "thermalResistance", "the rise of an element in kelvins per watt",
		func(d *Decade) bool {
			return d.ThermalResistance > 0 || d.Law.IsZero()
		})
}

// mostRise is a rise in kelvins that no element of a box bears: covering, varnish and solder fail
// far below it (common practice), and the parabola of a law does not reach so far.
const mostRise = 300

// heating is the change at an ambient temperature, in ohms, element by element: those of one dial
// have other powers where their weights differ.
func (s *Setting) heating(op string, amperes, ambient float64) (float64, error) {
	total := 0.0
	for dial, element := range s.Elements() {
		d := &s.box.spec.Decades[dial]
		if d.Law.IsZero() {
			continue
		}
		// A law may have a reference of its own: its resistance there is not that of the box.
		base, err := d.Law.Ratio(s.box.reference)
		if err != nil {
			return 0, &Error{Op: op, Name: d.Name, Value: s.box.reference, Err: err}
		}
		e := thermal.Element{Resistance: s.box.elementValue(dial, element) / base, Law: d.Law,
			ThermalResistance: d.ThermalResistance}
		// Without a drive first, so that an ambient temperature outside the law is not blamed on
		// the current.
		if _, err := e.Steady(ambient, thermal.Drive{}); err != nil {
			return 0, &Error{Op: op, Name: d.Name, Value: ambient, Err: err}
		}
		warm, err := e.Steady(ambient, thermal.Current(amperes))
		if err != nil {
			return 0, &Error{Op: op, Name: d.Name, Value: amperes, Err: err}
		}
		if warm.Rise > mostRise {
			return 0, &Error{Op: op, Name: d.Name, Value: amperes,
				Err: unit.Errorf(ErrDomain, "%g A warm an element by %.3g K; expected a current "+
					"that warms it by %d K at most", amperes, warm.Rise, mostRise)}
		}
		// Not the difference of two resistances: at microamperes it would be rounding. With
		// R(T) = R·(1 + α·(T − T₀) + β·(T − T₀)²) and the rise Δ,
		// R(T + Δ) − R(T) = R·Δ·(α + β·(2·(T − T₀) + Δ)).
		slope := d.Law.Alpha() + float64(d.Law.Beta()*(2*(ambient-d.Law.Reference())+warm.Rise))
		total += float64(e.Resistance * float64(warm.Rise*slope))
	}
	return total, numbers.Finite(op, "change", total)
}

// heatingOf is the same of quantities: the sensitivities of a steady state, which has no formula,
// come from the function as it stands.
func (s Setting) heatingOf(op string, amperes, ambient uncertainty.Quantity) uncertainty.Quantity {
	if err := s.checkHeating(op); err != nil {
		return uncertainty.Fail(err)
	}
	amperes, ambient = amperes.InUnit("A"), ambient.InUnit("°C")
	// At the estimates the error has its words; inside the call below only NaN can be returned.
	// What carries an error, or is in another unit, says so first.
	for _, q := range []uncertainty.Quantity{amperes, ambient} {
		if _, _, err := uncertainty.Propagate(q); err != nil {
			return uncertainty.Fail(err)
		}
	}
	if _, err := s.heating(op, amperes.Estimate(), ambient.Estimate()); err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.Call("self-heating", func(x []float64) float64 {
		v, err := s.heating(op, x[0], x[1])
		if err != nil {
			return math.NaN()
		}
		return v
	}, amperes, ambient).InUnit("Ω")
}
