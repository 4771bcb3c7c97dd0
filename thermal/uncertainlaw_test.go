// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

func evaluate(t *testing.T, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func sampleLaw() UncertainLaw {
	return UncertainLaw{
		Reference: 23,
		Alpha:     uncertainty.Input("alpha", uncertainty.Normal(8e-6, 0.5e-6)),
		Beta:      uncertainty.Input("beta", uncertainty.Normal(-0.5e-6, 0.05e-6)),
	}
}

// A worked example of our own, figures by hand: 1000.012 Ω at 23 °C with +8 ppm/K and
// −0.5 ppm/K² has +21.875 ppm at 26.5 °C.
func TestCorrectWithItsBudget(t *testing.T) {
	law := sampleLaw()
	r := uncertainty.Input("R", uncertainty.Normal(1000.012, 0.002))
	at := uncertainty.Input("t", uncertainty.Normal(26.5, 0.1))
	b := evaluate(t, law.Correct(r, uncertainty.Exact(23), at))
	near(t, "estimate", b.Estimate, 1000.012*(1+21.875e-6), 1e-15)
	near(t, "to four decimals", math.Round(b.Estimate*1e4)/1e4, 1000.0339, 1e-15)
	// Contributions: u(R), R·3.5·u(α), R·3.5²·u(β), R·(α + 2β·3.5)·u(t).
	want := math.Sqrt(0.002*0.002 + math.Pow(1000*3.5*0.5e-6, 2) + math.Pow(1000*12.25*0.05e-6,
		2) + math.Pow(1000*4.5e-6*0.1, 2))
	near(t, "u", b.StandardUncertainty, want, 1e-4)
}

// The temperature of a box is one input for all its resistors: with equal laws
// the ratio of two does not depend on it.
func TestTemperatureIsShared(t *testing.T) {
	law := NewLaw(20, 10e-6, -0.5e-6)
	at := uncertainty.Input("t box", uncertainty.Rectangular(25, 1))
	a := uncertainty.Exact(100).Mul(law.RatioOf(at))
	b := uncertainty.Exact(1000).Mul(law.RatioOf(at))
	if u := evaluate(t, a.Div(b)).StandardUncertainty; u > 1e-18 {
		t.Errorf("u of the ratio = %v, want 0", u)
	}
	apart := uncertainty.Input("t other box", uncertainty.Rectangular(25, 1))
	c := uncertainty.Exact(1000).Mul(law.RatioOf(apart))
	if u := evaluate(t, a.Div(c)).StandardUncertainty; u < 1e-8 {
		t.Errorf("u of the ratio in two boxes = %v, want more than 0", u)
	}
}

func TestRatioOfEqualsRatio(t *testing.T) {
	l := NewLaw(25, 4.2e-6, -0.56e-6)
	for _, at := range []float64{15, 25, 28.75, 40} {
		want, _ := l.Ratio(at)
		if got := l.RatioOf(uncertainty.Exact(at)).Estimate(); got != want {
			t.Errorf("RatioOf(%v) = %v, want %v", at, got, want)
		}
		want, _ = l.Correct(100, 25, at)
		near(t, "CorrectOf", l.CorrectOf(uncertainty.Exact(100), uncertainty.Exact(25),
			uncertainty.Exact(at)).Estimate(), want, 1e-15)
	}
}

func TestUncertainRebase(t *testing.T) {
	law := sampleLaw()
	moved := law.Rebase(26.5)
	plain, err := law.Law()
	if err != nil {
		t.Fatal(err)
	}
	want, err := plain.Rebase(26.5)
	if err != nil {
		t.Fatal(err)
	}
	got, err := moved.Law()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "alpha", got.Alpha(), want.Alpha(), 1e-14)
	near(t, "beta", got.Beta(), want.Beta(), 1e-14)
	// One curve: R(40)/R(26.5) has one uncertainty from either reference.
	at, from := uncertainty.Exact(40), uncertainty.Exact(26.5)
	a := evaluate(t, law.Correct(uncertainty.Exact(1), from, at))
	b := evaluate(t, moved.RatioOf(at))
	near(t, "ratio", b.Estimate, a.Estimate, 1e-15)
	near(t, "its u", b.StandardUncertainty, a.StandardUncertainty, 1e-12)
	ohm := uncertainty.Exact(1).InUnit("Ω")
	if d := evaluate(t, law.Correct(ohm, from, at).Sub(moved.RatioOf(at).Mul(ohm))); d.StandardUncertainty > 1e-18 {
		t.Errorf("u of the difference = %v, want 0", d.StandardUncertainty)
	}
}

func TestZeroUncertainLaw(t *testing.T) {
	var law UncertainLaw
	if b := evaluate(t, law.RatioOf(
		uncertainty.Input("t", uncertainty.Normal(30, 1)))); b.Estimate != 1 ||
		b.StandardUncertainty != 0 {
		t.Errorf("ratio %v, u %v; want 1, 0", b.Estimate, b.StandardUncertainty)
	}
	if got := law.Rebase(30); got != law {
		t.Errorf("Rebase = %v, want the zero law", got)
	}
	linear := UncertainLaw{Reference: 20, Alpha: uncertainty.Exact(0.00393)}
	near(t, "linear", linear.RatioOf(uncertainty.Exact(30)).Estimate(), 1.0393, 1e-15)
}

func TestExactLawKeepsTheLaw(t *testing.T) {
	for _, l := range []Law{NewLaw(25, 4e-6, -5e-7), NewLaw(20, 1e-5, 0).Within(10, 30),
		NewLaw(20, 1e-5, 0).Within(0, 30)} {
		if got, err := ExactLaw(l).Law(); err != nil || got != l {
			t.Errorf("%v, %v; want %v", got, err, l)
		}
	}
}

func TestUncertainLawRefusals(t *testing.T) {
	law := ExactLaw(NewLaw(20, 1e-5, 0).Within(10, 30))
	refusedOf(t, ErrDomain, law.RatioOf(uncertainty.Exact(31)))
	refusedOf(t, ErrDomain, law.Correct(uncertainty.Exact(1), uncertainty.Exact(9), uncertainty.Exact(20)))
	refusedOf(t, uncertainty.ErrNoQuantity, law.RatioOf(uncertainty.Quantity{}))
	refusedOf(t, uncertainty.ErrNotFinite, ExactLaw(NewLaw(20, math.NaN(), 0)).RatioOf(uncertainty.Exact(20)))
	refusedOf(t, ErrDomain, NewLaw(20, 0.00393, 0).RatioOf(uncertainty.Exact(-260)))
	refusedOf(t, ErrDomain, law.Rebase(40).Alpha)
	cause := errors.New("broken sensor")
	refusedOf(t, cause, law.RatioOf(uncertainty.Fail(cause)))
	refusedOf(t, cause, law.Correct(uncertainty.Fail(cause), uncertainty.Exact(20), uncertainty.Exact(20)))
	for _, u := range []UncertainLaw{{Alpha: uncertainty.Fail(cause)}, {Beta: uncertainty.Fail(cause)}} {
		if _, err := u.Law(); !errors.Is(err, cause) {
			t.Errorf("Law: %v; want %v", err, cause)
		}
	}
}

func TestLimits(t *testing.T) {
	l := NewLaw(25, 0, -0.5e-6).Within(15, 35)
	if low, high, ok := l.Limits(); low != 15 || high != 35 || !ok {
		t.Errorf("Limits = %v, %v, %v", low, high, ok)
	}
	if _, _, ok := NewLaw(25, 0, 0).Limits(); ok {
		t.Error("a law of NewLaw has no limits")
	}
	for _, at := range []float64{15, 35} {
		if _, err := l.Ratio(at); err != nil {
			t.Errorf("Ratio(%v): %v; the ends belong to the range", at, err)
		}
	}
	refused(t, ErrDomain, "temperature")(l.Ratio(math.Nextafter(35, 36)))
	refused(t, ErrDomain, "temperature")(l.Ratio(math.Nextafter(15, 14)))
	refused(t, ErrDomain, "temperature")(l.Slope(36))
	refused(t, ErrDomain, "to")(l.Correct(1, 25, 36))
	refused(t, ErrDomain, "temperature")(NewLaw(20, 0.00393, 0).Within(0, 100).Temperature(1.5))
	refused(t, ErrDomain, "lower limit")(l.Within(35, 15).Ratio(25))
	refused(t, ErrNotFinite, "upper limit")(l.Within(15, math.Inf(1)).Ratio(25))
	refused(t, ErrDomain, "lower limit")(l.Within(-300, 15).Ratio(10))
	m, err := l.Rebase(20)
	if err != nil {
		t.Fatal(err)
	}
	if low, high, ok := m.Limits(); low != 15 || high != 35 || !ok {
		t.Error("Rebase must keep the limits")
	}
	if _, err := l.Rebase(40); !errors.Is(err, ErrDomain) {
		t.Errorf("Rebase(40): %v", err)
	}
}

func TestExtremes(t *testing.T) {
	l := NewLaw(25, 0, -0.5e-6)
	got, err := l.Extremes(20, 35)
	if err != nil || got.Lower != 1-50e-6 || got.Upper != 1 {
		t.Errorf("Extremes = %v, %v; want the peak 1 and 1 − 50e-6", got, err)
	}
	got, err = l.Extremes(30, 35) // peak outside
	if err != nil || got.Upper >= 1 {
		t.Errorf("Extremes = %v, %v", got, err)
	}
	near(t, "LargestChange", must(t, "")(l.LargestChange(20, 35)), 50e-6, 1e-10)
	near(t, "LargestChange", must(t, "")(NewLaw(20, -5e-6, 0).LargestChange(10, 40)), 100e-6, 1e-10)
	// Every temperature inside is inside.
	l = NewLaw(20, 7e-6, -0.4e-6)
	span, _ := l.Extremes(10, 50)
	for at := 10.0; at <= 50; at += 0.01 {
		if q, _ := l.Ratio(at); !span.Contains(q) {
			t.Fatalf("Ratio(%v) = %v outside %v", at, q, span)
		}
	}
	refused(t, ErrDomain, "low")(l.LargestChange(30, 20))
	refused(t, ErrNotFinite, "low")(l.LargestChange(math.NaN(), 20))
	refused(t, ErrNotFinite, "high")(l.LargestChange(20, math.Inf(1)))
	refused(t, ErrDomain, "extremum")(NewLaw(0, -0.03, 2e-4).LargestChange(0, 150))
}

func TestInferredZero(t *testing.T) {
	for _, c := range []struct {
		law  Law
		want float64
		ok   bool
	}{
		{CopperConductorByZero(20), -234.5, true},
		{LawFromZero(20, -228), -228, true},
		{Law{}, 0, false},
		{NewLaw(25, 1e-5, -1e-6), 0, false},
		{NewLaw(math.NaN(), 1e-5, 0), 0, false},
	} {
		got, ok := c.law.InferredZero()
		if math.Abs(got-c.want) > 1e-9 || ok != c.ok {
			t.Errorf("%v.InferredZero = %v, %v; want %v, %v", c.law, got, ok, c.want, c.ok)
		}
	}
	refused(t, ErrNotFinite, "alpha")(LawFromZero(20, 20).Ratio(20))
}

func TestCopperRules(t *testing.T) {
	// The coefficient 0.00393 and the zero at −234.5 °C differ by 2 in 10 000.
	a, b := CopperConductor().Alpha(), CopperConductorByZero(20).Alpha()
	if d := math.Abs(a/b - 1); d < 1e-4 || d > 3e-4 {
		t.Errorf("the rules differ by %v", d)
	}
	for _, c := range []struct {
		conductivity float64
		cause        error
	}{{math.NaN(), ErrNotFinite}, {0.5, ErrDomain}, {100, ErrDomain}} {
		l, err := CopperOfConductivity(c.conductivity)
		refused(t, c.cause, "conductivity")(l.Alpha(), err)
	}
}

// The change of quantities is that of numbers, keeps its digits beside the peak of the
// parabola, and refuses what the ratio refuses at either end.
func TestChangeOf(t *testing.T) {
	l := NewLaw(25, 4e-6, -5e-7).Within(0, 60)
	exact := uncertainty.Exact
	for _, at := range [][2]float64{{25, 29}, {29, 29 + 0x1p-20}, {23, 23}, {40, 10}} {
		want, err := l.Change(at[0], at[1])
		if err != nil {
			t.Fatal(err)
		}
		for name, q := range map[string]uncertainty.Quantity{
			"law": l.ChangeOf(exact(at[0]), exact(at[1])), "uncertain law": ExactLaw(l).ChangeOf(exact(at[0]), exact(at[1])),
		} {
			if got := q.Estimate(); math.Abs(got-want) > 1e-15*math.Abs(want) {
				t.Errorf("%s, %v °C: change %v; want %v", name, at, got, want)
			}
		}
	}
	for _, at := range [][2]float64{{-1, 20}, {20, 61}, {-300, 20}} {
		if err := l.ChangeOf(exact(at[0]), exact(at[1])).Err(); !errors.Is(err, ErrDomain) ||
			!strings.Contains(err.Error(), "thermal.Law.ChangeOf") {
			t.Errorf("from %v °C to %v °C: %v; want ErrDomain of ChangeOf", at[0], at[1], err)
		}
	}
	if err := l.ChangeOf(uncertainty.Quantity{}, exact(20)).Err(); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("no temperature: %v", err)
	}
}
