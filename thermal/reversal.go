// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "example.com/ohmwright/uncertainty"

// EMFError returns in ohms the error that an EMF in volts in the circuit makes in
// a resistance reading taken at that current in amperes, emf/current. The sign
// of the current counts: reversed, the error has the other sign.
func EMFError(emf, current float64) (float64, error) {
	const op = "thermal.EMFError"
	if err := checkNumber(op, "EMF", emf); err != nil {
		return 0, err
	}
	if err := checkNonzero(op, "current", current, "amperes"); err != nil {
		return 0, err
	}
	return finiteResult(op, "error", emf/current)
}

// EMFErrorOf is [EMFError] of quantities.
func EMFErrorOf(emf, current uncertainty.Quantity) uncertainty.Quantity {
	return emf.Div(current).DefaultUnit("Ω")
}

// checkNonzero refuses 0, which no quotient can be formed with.
func checkNonzero(op, name string, v float64, unit string) error {
	if err := checkNumber(op, name, v); err != nil {
		return err
	}
	if v == 0 {
		return domainError(op, name, v, "expected a number of "+unit+" other than 0")
	}
	return nil
}

// maxReversals bounds the readings of one evaluation; the weights of more are
// all but 0 at the ends.
const maxReversals = 32

// CurrentReversal returns the resistance in ohms and the EMF in volts from
// voltages in volts read at equal intervals with the current in amperes
// reversed before each reading but the first: +, −, +, − … From two,
//
//	R = (V₁ − V₂)/(2I)    EMF = (V₁ + V₂)/2
//
// and from n with the binomial weights, (V₁ − 2V₂ + V₃)/(4I) for three. The
// EMF is the one at the middle of the sequence, for three and more by
// neighbouring pairs.
//
// What it removes from the resistance: an EMF that stays the same, from n = 2 on;
// one that drifts in a straight line with time, from n = 3; a drift of degree
// n − 2. The zero error of the voltmeter goes with it. What it does not remove:
// an EMF that the current makes itself (Peltier), which turns its sign with the
// current; self-heating, which is the same for both signs; leakage; a gain that
// differs between the polarities.
func CurrentReversal(current float64, voltages ...float64) (resistance, emf float64, err error) {
	const op = "thermal.CurrentReversal"
	if err := checkNonzero(op, "current", current, "amperes"); err != nil {
		return 0, 0, err
	}
	signed, plain, err := reversalWeights(op, len(voltages))
	if err != nil {
		return 0, 0, err
	}
	for i, v := range voltages {
		if err := checkNumber(op, "voltage", v); err != nil {
			return 0, 0, err
		}
		// The weights are those of the highest difference: they take off every EMF that is a
		// polynomial of degree n − 2 in time.
		resistance += float64(signed[i] * v)
		emf += float64(plain[i] * v)
	}
	if resistance, err = finiteResult(op, "resistance", resistance/current); err != nil {
		return 0, 0, err
	}
	if emf, err = finiteResult(op, "EMF", emf); err != nil {
		return 0, 0, err
	}
	return resistance, emf, nil
}

// CurrentReversalOf returns the resistance of [CurrentReversal] from quantities.
// A source that all voltages share, such as the EMF or the voltmeter's zero,
// drops out of its budget.
func CurrentReversalOf(current uncertainty.Quantity,
	voltages ...uncertainty.Quantity) uncertainty.Quantity {
	signed, _, err := reversalWeights("thermal.CurrentReversalOf", len(voltages))
	if err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.Linear(0, signed, voltages).Div(current).DefaultUnit("Ω")
}

// reversalWeights returns C(n−1, i)/2^(n−1) with alternating and with equal sign.
func reversalWeights(op string, n int) (signed, plain []float64, err error) {
	if n < 2 || n > maxReversals {
		return nil, nil, refuse(op, "voltages", float64(n), ErrObservations,
			"expected 2 to 32 of alternating sign")
	}
	signed, plain = make([]float64, n), make([]float64, n)
	// 2^(1−n) by halving, exactly, then each binomial coefficient from the one before.
	w := 1.0
	for range n - 1 {
		w /= 2
	}
	for i := range n {
		plain[i], signed[i] = w, w
		if i%2 == 1 {
			signed[i] = -w
		}
		w *= float64(n-1-i) / float64(i+1)
	}
	return signed, plain, nil
}

// VoltageAtCurrent is a voltage in V and the current in A at which it was read.
type VoltageAtCurrent struct{ Voltage, Current float64 }

// VoltageAtCurrentOf is [VoltageAtCurrent] of quantities.
type VoltageAtCurrentOf struct{ Voltage, Current uncertainty.Quantity }

// OffsetCompensated returns the resistance in ohms from the voltages at two different
// currents, (v2 − v1)/(i2 − i1), known as offset compensation where one current is 0. An EMF
// that stays the same drops out; the power differs between the readings, so a change by
// self-heating does not.
func OffsetCompensated(first, second VoltageAtCurrent) (float64, error) {
	const op = "thermal.OffsetCompensated"
	v1, i1, v2, i2 := first.Voltage, first.Current, second.Voltage, second.Current
	for _, a := range []struct {
		name string
		v    float64
	}{
		{"first.Voltage", v1}, {"first.Current", i1},
		{"second.Voltage", v2}, {"second.Current", i2},
	} {
		if err := checkNumber(op, a.name, a.v); err != nil {
			return 0, err
		}
	}
	if i1 == i2 {
		return 0, domainError(op, "second.Current", i2, "expected a current other than the first")
	}
	return finiteResult(op, "resistance", (v2-v1)/(i2-i1))
}

// OffsetCompensatedOf is [OffsetCompensated] of quantities.
func OffsetCompensatedOf(first, second VoltageAtCurrentOf) uncertainty.Quantity {
	volts, amperes := second.Voltage.Sub(first.Voltage), second.Current.Sub(first.Current)
	return volts.Div(amperes).DefaultUnit("Ω")
}
