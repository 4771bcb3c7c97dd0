// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// The steady state is where power, temperature and resistance agree.
func TestSteadyIsConsistent(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 3000 {
		e := Element{
			Resistance:        math.Exp(rng.Float64()*10 - 3),
			Law:               NewLaw(20, rng.NormFloat64()*1e-3, rng.NormFloat64()*1e-6),
			ThermalResistance: 10 + 100*rng.Float64(),
		}
		watts, ambient := 2*rng.Float64(), 10+30*rng.Float64()
		for _, d := range []Drive{Current(math.Sqrt(watts / e.Resistance)),
			Voltage(-math.Sqrt(watts * e.Resistance)), Power(watts)} {
			p, err := e.Steady(ambient, d)
			if errors.Is(err, ErrRunaway) {
				continue // checked by the oracle below
			}
			if err != nil {
				t.Fatal(err)
			}
			near(t, "rise", p.Rise, p.Power*e.ThermalResistance, 1e-11)
			near(t, "temperature", p.Temperature, ambient+p.Rise, 1e-15)
			near(t, "resistance", p.Resistance, e.Resistance*must(t, "")(e.Law.Ratio(p.Temperature)), 1e-14)
			switch d.kind {
			case currentDrive:
				near(t, "power", p.Power, d.value*d.value*p.Resistance, 1e-14)
			case voltageDrive:
				near(t, "power", p.Power, d.value*d.value/p.Resistance, 1e-14)
			}
		}
	}
}

// The oracle switches the drive on cold and follows the temperature with the
// heat balance C dx/dt = P(x) − x/Rth, in small steps (C = 1/Rth, time constant 1):
// it creeps to the first steady state or runs away.
func TestSteadyAgainstSimulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	found, ran := 0, 0
	for range 400 {
		s := feedback{k: 200 * rng.Float64(), a: rng.NormFloat64() * 5e-3,
			b: rng.NormFloat64() * 2e-5, exponent: float64(1 - 2*rng.IntN(2))}
		got := s.rise()
		x := 0.0
		for range 200000 {
			q := 1 + x*(s.a+s.b*x)
			if q <= 0 || x > 1e5 {
				x = math.NaN()
				break
			}
			step := 0.002 * (s.k*math.Pow(q, s.exponent) - x)
			if math.Abs(step) < 1e-9 {
				break
			}
			x += step
		}
		switch {
		case math.IsNaN(x) || x > 1e4:
			if got < 1e4 {
				t.Errorf("%+v: rise %v, simulation runs away", s, got)
			}
			ran++
		case math.IsNaN(got) || math.Abs(got-x) > 1e-3*max(1, x):
			t.Errorf("%+v: rise %v, simulation %v", s, got, x)
		default:
			found++
		}
	}
	if found < 100 || ran < 20 {
		t.Errorf("%d steady, %d runaway: too few to tell", found, ran)
	}
}

func TestRunaway(t *testing.T) {
	copper := Element{1, CopperConductor(), 100}
	// a·k = 1 is the edge: k = 254.45 K, 2.5445 W at ambient resistance.
	edge := math.Sqrt(1 / (CopperAlpha20 * 100))
	p, err := copper.Steady(20, Current(0.9*edge))
	if err != nil || p.Rise < 900 {
		t.Errorf("below the edge: %+v, %v", p, err)
	}
	for _, d := range []Drive{Current(edge * (1 + 1e-12)), Current(-2 * edge), Current(100 * edge)} {
		p, err := copper.Steady(20, d)
		refused(t, ErrRunaway, "drive")(p.Rise, err)
	}
	// A voltage cools itself down when the resistance rises …
	if _, err := copper.Steady(20, Voltage(100)); err != nil {
		t.Errorf("copper at a voltage: %v", err)
	}
	// … and runs away when it falls.
	falling := Element{1, NewLaw(20, -0.004, 0), 100}
	if _, err := falling.Steady(20, Voltage(0.7)); err != nil {
		t.Errorf("below the edge 0.79 V: %v", err)
	}
	p, err = falling.Steady(20, Voltage(0.8))
	refused(t, ErrRunaway, "drive")(p.Rise, err)
	// The simulated creep of the test above, at a bend: a warm state beyond a hill.
	s := feedback{k: 50, a: -0.02, b: 1.6e-4, exponent: -1}
	if got := s.rise(); math.IsNaN(got) || math.Abs(got*(1+got*(s.a+s.b*got))-50) > 1e-9 {
		t.Errorf("rise = %v", got)
	}
}

// Far past the slope of runaway the bend of the parabola holds the state; the
// solution keeps its digits there.
func TestSteadyHeldByTheBend(t *testing.T) {
	s := feedback{k: 1e4, a: 1, b: -1e-12, exponent: 1}
	x := s.rise()
	near(t, "balance", s.k*(1+x*(s.a+s.b*x)), x, 1e-11)
	near(t, "rise", x, 0.9999*1e12, 1e-9)
}

func TestSteadyRefusals(t *testing.T) {
	nan := math.NaN()
	good := Element{100, NewLaw(20, 1e-5, 0).Within(10, 60), 50}
	state := func(e Element, ambient float64, d Drive) (float64, error) {
		p, err := e.Steady(ambient, d)
		return p.Rise, err
	}
	refused(t, ErrDomain, "resistance")(state(Element{}, 20, Current(1)))
	refused(t, ErrNotFinite, "thermal resistance")(state(Element{1, Law{}, nan}, 20, Current(1)))
	refused(t, ErrDomain, "thermal resistance")(state(Element{1, Law{}, -1}, 20, Current(1)))
	refused(t, ErrNotFinite, "ambient")(state(good, nan, Current(0)))
	refused(t, ErrDomain, "ambient")(state(good, 5, Current(0)))
	refused(t, ErrNotFinite, "current")(state(good, 20, Current(nan)))
	refused(t, ErrNotFinite, "voltage")(state(good, 20, Voltage(math.Inf(1))))
	refused(t, ErrDomain, "power")(state(good, 20, Power(-1)))
	refused(t, ErrDomain, "temperature under load")(state(good, 20, Power(1))) // 70 °C
	refused(t, ErrNotFinite, "rise at ambient resistance")(state(good, 20, Current(1e200)))
	if p, err := good.Steady(20, Drive{}); err != nil || p.Power != 0 || p.Resistance != 100 {
		t.Errorf("zero Drive: %+v, %v", p, err)
	}
	refused(t, ErrDomain, "ambient")(good.LoadCoefficient(5))
	refused(t, ErrNotFinite, "rise")(good.CurrentForRise(20, nan))
	refused(t, ErrDomain, "rise")(good.CurrentForRise(20, -1))
	refused(t, ErrDomain, "temperature under load")(good.CurrentForRise(20, 50))
	refused(t, ErrDomain, "thermal resistance")(Element{1, Law{}, 0}.CurrentForRise(20, 1))
	refused(t, ErrDomain, "resistance")(Element{}.CurrentForRise(20, 1))
}

// A step of 1 kΩ with 60 K/W and 15 ppm/K at 0.1 W: 6 K, +90 ppm, +0.090 Ω, by hand.
func TestStepUnderLoad(t *testing.T) {
	e := Element{1000, NewLaw(20, 15e-6, 0), 60}
	p, err := e.Steady(20, Power(0.1))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rise", p.Rise, 6, 1e-14)
	near(t, "change", p.Resistance-1000, 0.090, 1e-9)
	near(t, "load coefficient", must(t, "")(e.LoadCoefficient(20)), 900e-6, 1e-14)
	// The current of a rise is the inverse of the rise of a current.
	i := must(t, "")(e.CurrentForRise(20, 6))
	p, _ = e.Steady(20, Current(i))
	near(t, "rise of that current", p.Rise, 6, 1e-12)
	_, err = Element{1, CopperConductorByZero(20), 10}.CurrentForRise(20, 1e6)
	if err != nil {
		t.Errorf("a straight law carries every rise: %v", err)
	}
	refused(t, ErrRunaway, "rise")(Element{1, NewLaw(20, 1e-3, 1e-4), 10}.CurrentForRise(20, 1000))
}

// Sensitivities of the self-consistent rise against finite differences.
func TestRiseOf(t *testing.T) {
	base := []float64{100, 80, 0.0039, -6e-7, 24, 0.06}
	at := func(x []float64) float64 {
		e := Element{x[0], NewLaw(20, x[2], x[3]), x[1]}
		p, err := e.Steady(x[4], Current(x[5]))
		if err != nil {
			t.Fatal(err)
		}
		return p.Rise
	}
	names := []string{"R", "Rth", "alpha", "beta", "ambient", "I"}
	q := make([]uncertainty.Quantity, len(base))
	for i, v := range base {
		q[i] = uncertainty.Input(names[i], uncertainty.Normal(v, 1e-4*math.Abs(v)))
	}
	e := UncertainElement{q[0], UncertainLaw{Reference: 20, Alpha: q[2], Beta: q[3]}, q[1]}
	b := evaluate(t, e.RiseOf(q[4], q[5]))
	near(t, "rise", b.Estimate, at(base), 1e-14)
	for i, name := range names {
		h := 1e-5 * math.Abs(base[i])
		x := append([]float64(nil), base...)
		x[i] = base[i] + h
		up := at(x)
		x[i] = base[i] - h
		want := (up - at(x)) / (2 * h)
		for _, c := range b.Components {
			if c.Name == name {
				near(t, "sensitivity to "+name, c.Sensitivity, want, 1e-6)
			}
		}
	}
	if len(b.Components) != len(names) {
		t.Errorf("%d components, want %d", len(b.Components), len(names))
	}
	none := UncertainElement{Resistance: q[0], ThermalResistance: q[1]}
	near(t, "without a law", none.RiseOf(q[4], q[5]).Estimate(), 80*0.06*0.06*100, 1e-14)
}

func TestRiseOfRefusals(t *testing.T) {
	one := uncertainty.Exact(1)
	copper := UncertainElement{one, ExactLaw(CopperConductor()), uncertainty.Exact(100)}
	refusedOf(t, ErrRunaway, copper.RiseOf(uncertainty.Exact(20), uncertainty.Exact(3)))
	refusedOf(t, uncertainty.ErrNoQuantity, UncertainElement{}.RiseOf(one, one))
	cause := errors.New("no ammeter")
	refusedOf(t, cause, copper.RiseOf(uncertainty.Exact(20), uncertainty.Fail(cause)))
}

func TestTwoCurrents(t *testing.T) {
	// Readings made by the model lead back to it; the extrapolation in I² leaves
	// the second order of the change, (k P)².
	e := Element{100, NewLaw(20, 20e-6, 0), 50}
	var r [2]float64
	for i, current := range []float64{0.01, 0.02} {
		p, err := e.Steady(20, Current(current))
		if err != nil {
			t.Fatal(err)
		}
		r[i] = p.Resistance
	}
	near(t, "R0", must(t, "")(ZeroPower(
		ResistanceAtCurrent{r[0], 0.01},
		ResistanceAtCurrent{r[1], 0.02},
	)), 100, 1e-8)
	near(t, "coefficient", must(t, "")(PowerCoefficient(
		ResistanceAtCurrent{r[0], 0.01},
		ResistanceAtCurrent{r[1], -0.02},
	)), 1e-3, 1e-4)
	q := uncertainty.Exact
	near(t, "R0", ZeroPowerOf(
		ResistanceAtCurrentOf{q(r[0]), q(0.01)},
		ResistanceAtCurrentOf{q(r[1]), q(0.02)},
	).Estimate(), 100, 1e-8)
	near(t, "coefficient", PowerCoefficientOf(
		ResistanceAtCurrentOf{q(r[0]), q(0.01)},
		ResistanceAtCurrentOf{q(r[1]), q(0.02)},
	).Estimate(), 1e-3, 1e-4)
	// √5 for I and √2 I.
	r1, r2 := uncertainty.Input("r1", uncertainty.Normal(100, 1e-4)),
		uncertainty.Input("r2", uncertainty.Normal(100, 1e-4))
	near(t, "u", evaluate(t, ZeroPowerOf(
		ResistanceAtCurrentOf{r1, q(1e-3)},
		ResistanceAtCurrentOf{r2, q(math.Sqrt2 * 1e-3)},
	)).StandardUncertainty, math.Sqrt(5)*1e-4, 1e-12)

	nan := math.NaN()
	refused(t, ErrDomain, "first.Resistance")(ZeroPower(
		ResistanceAtCurrent{0, 1},
		ResistanceAtCurrent{1, 2},
	))
	refused(t, ErrNotFinite, "first.Current")(ZeroPower(
		ResistanceAtCurrent{1, nan},
		ResistanceAtCurrent{1, 2},
	))
	refused(t, ErrDomain, "second.Resistance")(ZeroPower(
		ResistanceAtCurrent{1, 1},
		ResistanceAtCurrent{-1, 2},
	))
	refused(t, ErrNotFinite, "second.Current")(ZeroPower(
		ResistanceAtCurrent{1, 1},
		ResistanceAtCurrent{1, nan},
	))
	refused(t, ErrDomain, "second.Current")(ZeroPower(
		ResistanceAtCurrent{1, 1},
		ResistanceAtCurrent{1, -1},
	))
	refused(t, ErrDomain, "second.Current")(PowerCoefficient(
		ResistanceAtCurrent{1, 1},
		ResistanceAtCurrent{1, 1},
	))
	refused(t, ErrDomain, "resistance at zero power")(PowerCoefficient(
		ResistanceAtCurrent{1, 1},
		ResistanceAtCurrent{10, 1.1},
	))
	refused(t, ErrDomain, "power difference")(PowerCoefficient(
		ResistanceAtCurrent{4, 1},
		ResistanceAtCurrent{1, 2},
	))
	refusedOf(t, uncertainty.ErrDomain, ZeroPowerOf(
		ResistanceAtCurrentOf{r1, q(1)},
		ResistanceAtCurrentOf{r2, q(1)},
	))
	refusedOf(t, ErrDomain, ZeroPowerOf(
		ResistanceAtCurrentOf{r1.Neg(), q(1)},
		ResistanceAtCurrentOf{r2, q(2)},
	))
	refusedOf(t, ErrDomain, PowerCoefficientOf(
		ResistanceAtCurrentOf{q(1), q(1)},
		ResistanceAtCurrentOf{q(10), q(1.1)},
	))
}
