// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
)

func TestConstantanTemperatureInverts(t *testing.T) {
	worst := 0.0
	for at := -270.0; at <= 400; at += 0.173 {
		got := must(t, "")(ConstantanTemperature(must(t, "")(ConstantanEMF(at))))
		worst = max(worst, math.Abs(got-at))
	}
	// Near −270 °C terms of 9 V add up to 6 mV with a slope of 1 µV/K: no float64
	// arithmetic on this polynomial does better.
	if worst > 1e-7 {
		t.Errorf("round trip off by %v K", worst)
	}
	for _, at := range []float64{-270, 0, 400} {
		if got := must(t, "")(ConstantanTemperature(must(t, "")(ConstantanEMF(at)))); math.Abs(got-at) > 1e-7 {
			t.Errorf("%v → %v", at, got)
		}
	}
}

func TestConstantanOf(t *testing.T) {
	hot := uncertainty.Input("hot", uncertainty.Normal(25, 0.1))
	cold := uncertainty.Input("cold", uncertainty.Normal(24, 0.1))
	b := evaluate(t, ConstantanEMFOf(hot).Sub(ConstantanEMFOf(cold)))
	near(t, "EMF of 1 K", b.Estimate, 40.6e-6, 0.01)
	near(t, "u", b.StandardUncertainty, math.Sqrt2*0.1*40.6e-6, 0.01)
	refusedOf(t, ErrDomain, ConstantanEMFOf(uncertainty.Exact(401)))
	cause := errors.New("no sensor")
	refusedOf(t, cause, ConstantanEMFOf(uncertainty.Fail(cause)))
}

func TestEMFRefusals(t *testing.T) {
	nan := math.NaN()
	refused(t, ErrDomain, "temperature")(ConstantanEMF(-271))
	refused(t, ErrNotFinite, "temperature")(ConstantanSeebeck(nan))
	refused(t, ErrDomain, "EMF")(ConstantanTemperature(1))
	refused(t, ErrNotFinite, "EMF")(ConstantanTemperature(nan))
	refused(t, ErrNotFinite, "EMF")(EMFError(nan, 1))
	refused(t, ErrDomain, "current")(EMFError(1, 0))
	refused(t, ErrNotFinite, "error")(EMFError(1e300, 1e-300))
	refusedOf(t, uncertainty.ErrDomain, EMFErrorOf(uncertainty.Exact(1), uncertainty.Exact(0)))
}

// n readings with a drift of degree n − 2 give the resistance without error.
func TestReversalRemovesDrift(t *testing.T) {
	const current, ohms = 0.01, 25.0
	for n := 2; n <= 6; n++ {
		v := make([]float64, n)
		for k := range v {
			x := float64(k)
			drift := 3e-6 * math.Pow(x, float64(n-2)) // a constant for n = 2
			v[k] = math.Pow(-1, x)*current*ohms + 5e-6 + drift
		}
		r, _, err := CurrentReversal(current, v...)
		if err != nil || math.Abs(r-ohms) > 1e-12 {
			t.Errorf("%d readings: %v, %v; want %v", n, r, err, ohms)
		}
	}
	// One degree more is left: two readings and a straight drift of 3 µV a step.
	r, emf, err := CurrentReversal(current, 0.25+5e-6, -0.25+8e-6)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "what is left", r-ohms, -3e-6/2/current, 1e-9)
	near(t, "EMF", emf, 6.5e-6, 1e-9)
	_, emf, _ = CurrentReversal(-current, -0.25+5e-6, 0.25+8e-6, -0.25+11e-6)
	near(t, "EMF in the middle", emf, 8e-6, 1e-9)
}

func TestReversalOf(t *testing.T) {
	emf := uncertainty.Input("EMF", uncertainty.Normal(4e-6, 1e-6))
	plus, minus := uncertainty.Exact(0.25).Add(emf), uncertainty.Exact(-0.25).Add(emf)
	b := evaluate(t, CurrentReversalOf(uncertainty.Exact(0.01), plus, minus))
	near(t, "R", b.Estimate, 25, 1e-15)
	if b.StandardUncertainty > 1e-18 {
		t.Errorf("u = %v: the common EMF must drop out", b.StandardUncertainty)
	}
	single := evaluate(t, EMFErrorOf(emf, uncertainty.Exact(0.01)))
	near(t, "without reversal", single.StandardUncertainty, 1e-4, 1e-12)
	refusedOf(t, ErrObservations, CurrentReversalOf(uncertainty.Exact(1), plus))
}

func TestReversalRefusals(t *testing.T) {
	check := func(cause error, name string, current float64, v ...float64) {
		t.Helper()
		r, e, err := CurrentReversal(current, v...)
		refused(t, cause, name)(r, err)
		if e != 0 {
			t.Errorf("EMF %v beside the error", e)
		}
	}
	check(ErrDomain, "current", 0, 1, -1)
	check(ErrObservations, "voltages", 1, 1)
	check(ErrObservations, "voltages", 1, make([]float64, 33)...)
	check(ErrNotFinite, "voltage", 1, 1, math.NaN())
	check(ErrNotFinite, "resistance", 1e-300, 1e10, -1e10)
	if _, _, err := CurrentReversal(1, make([]float64, 32)...); err != nil {
		t.Error(err)
	}
}

func TestOffsetCompensated(t *testing.T) {
	near(t, "R", must(t, "")(OffsetCompensated(
		VoltageAtCurrent{5e-6, 0},
		VoltageAtCurrent{0.1 + 5e-6, 0.001},
	)), 100, 1e-12)
	emf := uncertainty.Input("EMF", uncertainty.Normal(5e-6, 1e-6))
	b := evaluate(t, OffsetCompensatedOf(
		VoltageAtCurrentOf{emf, uncertainty.Exact(0)},
		VoltageAtCurrentOf{emf.Add(uncertainty.Exact(0.1)), uncertainty.Exact(0.001)},
	))
	if b.StandardUncertainty > 1e-15 {
		t.Errorf("u = %v", b.StandardUncertainty)
	}
	refused(t, ErrDomain, "second.Current")(OffsetCompensated(
		VoltageAtCurrent{1, 1},
		VoltageAtCurrent{2, 1},
	))
	refused(t, ErrNotFinite, "second.Voltage")(OffsetCompensated(
		VoltageAtCurrent{1, 1},
		VoltageAtCurrent{math.NaN(), 2},
	))
}

// The EMF of a joint as an input, and its largest magnitude; one value is exact.
func TestEMFCoefficient(t *testing.T) {
	manganin := EMF{Material: "manganin", Low: -1e-6, High: 1e-6}
	b := evaluate(t, manganin.Coefficient("manganin joints").Mul(uncertainty.Exact(0.1)))
	near(t, "u of 0.1 K", b.StandardUncertainty, 1e-7/math.Sqrt(3), 1e-12)
	near(t, "largest", must(t, "")(manganin.Largest(-0.1)), 1e-7, 1e-12)
	constantan := EMF{Low: -40.27e-6, High: -40.27e-6}
	if b := evaluate(t, constantan.Coefficient("c")); b.Estimate != -40.27e-6 || b.StandardUncertainty != 0 {
		t.Errorf("%v, u %v", b.Estimate, b.StandardUncertainty)
	}
	refused(t, ErrNotFinite, "temperature difference")(manganin.Largest(math.NaN()))
}
