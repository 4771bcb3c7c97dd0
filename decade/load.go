// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// Supply is the source that a box is connected to: a voltage with a resistance in series. Any
// number of goroutines may read one at once.
type Supply struct {
	Voltage float64 // V without load, direct or RMS
	Series  float64 // Ω: internal resistance, fuse, leads and whatever else is in series
}

// Load is the effect of a supply on a box: the current V/(Series + R), and how close it comes to
// the ratings. Any number of goroutines may read one at once.
type Load struct {
	Resistance float64 // Ω at the terminals; +Inf where the circuit is open
	Current    float64 // A; +Inf where nothing limits it
	Voltage    float64 // V across the box
	Power      float64 // W in the box
	// Use is the power in the element that comes closest to its rating as a fraction of that
	// rating, (I/MaxCurrent)²; 0 where no element is in circuit. For a voltage limit it is the
	// square of the fraction.
	Use      float64
	Limiting string // that element or voltage; empty where no element is in circuit
}

// Overload reports whether an element or a dial is beyond its rating. Contacts and wiring are
// not considered.
func (l Load) Overload() bool { return l.Use > 1 }

// checkSupply refuses a supply that is not finite or has a negative resistance; the voltage may
// be of either sign.
func (v Supply) checkSupply(op string) error {
	if err := numbers.Finite(op, "voltage", v.Voltage); err != nil {
		return err
	}
	// Beyond it the current in a resistor might be infinite, which stands for a short circuit.
	if math.Abs(v.Voltage) > largestFigure {
		return &Error{Op: op, Name: "voltage", Value: v.Voltage, Err: unit.Errorf(ErrDomain,
			"%v V; expected at most ± %.0e V", v.Voltage, largestFigure)}
	}
	return numbers.NotNegative(op, "series", " Ω", v.Series)
}

// into is the load of a resistance whose ratings allow a largest current.
func (v Supply) into(resistance, largest float64) Load {
	l := Load{Resistance: resistance, Voltage: v.Voltage}
	// An open circuit leaves the whole voltage of the source across the box.
	if math.IsInf(resistance, 1) {
		return l
	}
	// Ohm's law for the loop; without a voltage there is no current, even where nothing is in
	// series.
	if v.Voltage != 0 {
		l.Current = v.Voltage / (v.Series + resistance)
	}
	if math.IsInf(l.Current, 0) {
		l.Voltage = 0 // short circuit of an ideal source
		return l
	}
	l.Voltage = l.Current * resistance
	l.Power = l.Current * l.Voltage
	// Heat goes with the square of the current.
	l.Use = l.Current / largest * (l.Current / largest)
	return l
}

// Under returns the load that a supply puts on the box at a setting. It returns an error under
// the conditions of [Setting.MaxCurrent], except that the zero setting has a load too, and that
// without a voltage no rating is needed.
//
// Caution: the result holds for this setting alone; see [Setting.Turn].
func (s Setting) Under(v Supply) (Load, error) {
	const op = "decade.Setting.Under"
	if s.box == nil {
		return Load{}, noSetting(op)
	}
	if err := v.checkSupply(op); err != nil {
		return Load{}, err
	}
	// No element is in circuit, or nothing flows: no rating can be exceeded, and none is asked
	// for.
	if s.AllZero() || v.Voltage == 0 {
		return v.into(s.Value(), math.Inf(1)), nil
	}
	largest, limiting, err := s.maxCurrent(op)
	if err != nil {
		return Load{}, err
	}
	l := v.into(s.Value(), largest)
	l.Limiting = limiting
	return l, nil
}
