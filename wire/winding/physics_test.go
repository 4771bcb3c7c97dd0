// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/wire/winding"
)

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

func TestMonotonicAndLimits(t *testing.T) {
	ok := must[float64](t)
	for _, c := range []struct {
		name        string
		f           func(float64) (float64, error)
		first, last float64 // values at 0 and far away
		rising      bool
	}{
		{"resistance ratio", winding.ResistanceRatio, 1, math.Inf(1), true},
		{"internal inductance", winding.InternalInductanceRatio, 1, 0, false},
		{"proximity", winding.ProximityFactor, 0, math.Inf(1), true},
		{"Nagaoka", winding.NagaokaCoefficient, 1, 0, false},
	} {
		last := ok(c.f(0))
		if last != c.first {
			t.Errorf("%s: %v at 0, want %v", c.name, last, c.first)
		}
		for x := 1e-3; x < 1e8; x *= 1.1 {
			v := ok(c.f(x))
			if c.rising && v < last || !c.rising && v > last || x > 0.1 && v == last {
				t.Errorf("%s: %v at %v after %v", c.name, v, x, last)
			}
			last = v
		}
		if math.IsInf(c.last, 1) != (last > 1e6) {
			t.Errorf("%s: %v at the end", c.name, last)
		}
	}
}

// Small and large arguments follow the first terms of the series: 1 + x⁴/192, x/(2√2) + 1/4 + 3√2/(32x).
func TestSkinEffectLimits(t *testing.T) {
	ok := must[float64](t)
	for _, x := range []float64{1e-6, 1e-3, 0.03} {
		if got := ok(winding.ResistanceIncrease(x)); !near(got, x*x*x*x/192, 1e-6) {
			t.Errorf("x = %v: increase %v", x, got)
		}
	}
	for _, x := range []float64{1e3, 1e6, 1e100, 1e300} {
		if got := ok(winding.ResistanceRatio(x)); !near(got, x/(2*math.Sqrt2)+0.25+3*math.Sqrt2/(32*x), 1e-9) {
			t.Errorf("x = %v: ratio %v", x, got)
		}
		if got := ok(winding.InternalInductanceRatio(x)); !near(got, 2*math.Sqrt2/x, 1e-12+1/x/x) {
			t.Errorf("x = %v: inductance ratio %v", x, got)
		}
		if got := ok(winding.ProximityFactor(x)); !near(got, (math.Sqrt2*x-1)/8, 1e-6) {
			t.Errorf("x = %v: G %v", x, got)
		}
	}
}

func TestDiameterForIncreaseRoundTrip(t *testing.T) {
	ok := must[float64](t)
	for _, fraction := range []float64{1e-12, 1e-6, 0.01, 1, 50, 1e4} {
		d := ok(winding.SkinEffect{Resistivity: 44e-8, Permeability: 1, Frequency: 1e5}.DiameterForIncrease(fraction))
		x := ok(winding.SkinEffect{Resistivity: 44e-8, Permeability: 1, Frequency: 1e5}.Parameter(d))
		if got := ok(winding.ResistanceIncrease(x)); !near(got, fraction, 1e-12) {
			t.Errorf("increase %v comes back as %v", fraction, got)
		}
		depth := ok(winding.SkinEffect{Resistivity: 44e-8, Permeability: 1, Frequency: 1e5}.Depth())
		if !near(x, math.Sqrt2*(d/2)/depth, 1e-14) {
			t.Errorf("x = %v, depth %v", x, depth)
		}
	}
}

// Wheeler's formula keeps its 1 % against the exact sheet from l = 0.8 a on.
func TestWheelerAgainstCurrentSheet(t *testing.T) {
	ok := must[float64](t)
	for u := 0.8; u < 100; u *= 1.05 {
		a, b := ok(winding.WheelerInductance(50, 0.01, 0.01*u)), ok(winding.CurrentSheetInductance(50, 0.01, 0.01*u))
		if !near(a, b, 0.01) {
			t.Errorf("l = %v a: %v against %v", u, a, b)
		}
	}
	if _, err := winding.WheelerInductance(50, 0.01, 0.0079); !errors.Is(err, winding.ErrDomain) {
		t.Errorf("short coil: %v", err)
	}
}

// One turn of the corrected current sheet is the circular loop, for a thin wire.
func TestOneTurnIsALoop(t *testing.T) {
	ok := must[float64](t)
	for _, pitch := range []float64{1e-3, 0.3e-3} {
		coil, loop := ok(winding.Solenoid{Turns: 1, Radius: 0.05, Pitch: pitch,
			Diameter: 0.2e-3}.Inductance()),
			ok(winding.LoopInductance(0.05, 0.2e-3, winding.LowFrequency))
		if !near(coil, loop, 1e-4) {
			t.Errorf("pitch %v: coil %v, loop %v", pitch, coil, loop)
		}
	}
}

// A fine close winding is the sheet; a fraction of a turn lies between its neighbours.
func TestSolenoidBetweenTurns(t *testing.T) {
	ok := must[float64](t)
	a, b, c := ok(winding.Solenoid{Turns: 10, Radius: 0.01, Pitch: 1e-3,
		Diameter: 1e-3}.Inductance()),
		ok(winding.Solenoid{Turns: 10.5, Radius: 0.01, Pitch: 1e-3, Diameter: 1e-3}.Inductance()),
		ok(winding.Solenoid{Turns: 11, Radius: 0.01, Pitch: 1e-3, Diameter: 1e-3}.Inductance())
	if a >= b || b >= c {
		t.Errorf("%v %v %v", a, b, c)
	}
}

// Long pairs go over into the value per metre, square loops are rectangles whichever side is named first,
// a long hairpin is a pair.
func TestLoopsAndPairs(t *testing.T) {
	ok := must[float64](t)
	perMetre := ok(winding.PairInductancePerMetre(2e-3, 1e-3, winding.LowFrequency))
	if l := ok(winding.Pair{Length: 1000, Spacing: 2e-3, Diameter: 1e-3,
		Internal: winding.LowFrequency}.Inductance()); !near(l, 1000*perMetre, 1e-5) {
		t.Errorf("long pair: %v, per metre %v", l, perMetre)
	}
	ab, ba := ok(winding.Rectangle{A: 0.3, B: 0.02, Diameter: 1e-3, Internal: 1}.Inductance()),
		ok(winding.Rectangle{A: 0.02, B: 0.3, Diameter: 1e-3, Internal: 1}.Inductance())
	if !near(ab, ba, 1e-14) {
		t.Errorf("sides exchanged: %v, %v", ab, ba)
	}
	if hairpin := ok(winding.Rectangle{A: 100, B: 2e-3, Diameter: 1e-3,
		Internal: 1}.Inductance()); !near(hairpin, 100*perMetre, 1e-4) {
		t.Errorf("hairpin: %v", hairpin)
	}
	if high := ok(winding.ClosePairInductancePerMetre(0.1, 1e-3)); !near(high,
		ok(winding.PairInductancePerMetre(0.1, 1e-3, winding.HighFrequency)), 1e-4) {
		t.Errorf("distant wires at high frequency: %v", high)
	}
	// Speed of light: L' C' = µ0 ε0 at high frequency.
	lc := ok(winding.ClosePairInductancePerMetre(3e-3, 1e-3)) * ok(
		winding.Pair{Length: 1, Spacing: 3e-3, Diameter: 1e-3}.Capacitance(1))
	if !near(1/math.Sqrt(lc), 299792458, 1e-9) {
		t.Errorf("1/√(LC) = %v m/s", 1/math.Sqrt(lc))
	}
	refined, plain := ok(winding.LoopInductanceRefined(0.1, 1e-4)), ok(winding.LoopInductance(0.1, 1e-4, 1))
	if !near(refined, plain, 1e-6) {
		t.Errorf("thin loop: %v, %v", refined, plain)
	}
}

// The impedance against the circuit written out.
func TestImpedanceOfCircuit(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 500 {
		e := winding.Equivalent{R: math.Pow(10, 6*r.Float64()), L: math.Pow(10, -9+4*r.Float64()),
			C: math.Pow(10, -13+3*r.Float64())}
		f := math.Pow(10, 2+4*r.Float64())
		jw := complex(0, 2*math.Pi*f)
		want := 1 / (1/(complex(e.R, 0)+jw*complex(e.L, 0)) + jw*complex(e.C, 0))
		z := must[winding.Impedance](t)(e.Impedance(f))
		if cmplx.Abs(z.Z-want) > 1e-12*cmplx.Abs(want) ||
			math.Abs(z.Phase-cmplx.Phase(want)) > 1e-12 ||
			math.Abs(z.Magnitude-(cmplx.Abs(want)/e.R-1)) > 1e-11*(1+cmplx.Abs(want)/e.R) {
			t.Errorf("%+v at %v Hz: %+v, want %v", e, f, z, want)
		}
		if math.Abs(z.Resistance-(real(want)/e.R-1)) > 1e-11 ||
			math.Abs(z.Reactance-imag(want)/e.R) > 1e-11*(1+math.Abs(z.Reactance)) {
			t.Errorf("%+v at %v Hz: parts %+v", e, f, z)
		}
	}
}

// The line against its formula, and against its lumped circuit at low frequency.
func TestImpedanceOfLine(t *testing.T) {
	l := winding.Line{R: 1000, L: 1e-6, C: 100e-12}
	for f := 1e3; f < 1e10; f *= 3 {
		jw := complex(0, 2*math.Pi*f)
		series, shunt := complex(l.R, 0)+jw*complex(l.L, 0), jw*complex(l.C, 0)
		want := cmplx.Sqrt(series/shunt) * cmplx.Tanh(cmplx.Sqrt(series*shunt))
		z := must[winding.Impedance](t)(l.Impedance(f))
		if cmplx.Abs(z.Z-want) > 1e-10*cmplx.Abs(want) {
			t.Errorf("%v Hz: %v, want %v", f, z.Z, want)
		}
	}
	tau := must[float64](t)(l.TimeConstant())
	if lumped := must[float64](t)(l.Lumped().TimeConstant()); !near(lumped, tau, 1e-14) {
		t.Errorf("τ = %v, lumped %v", tau, lumped)
	}
	if z := must[winding.Impedance](t)(l.Impedance(10)); !near(z.Phase, 2*math.Pi*10*tau, 1e-6) {
		t.Errorf("phase %v at 10 Hz", z.Phase)
	}
}

// The frequency found for an error has that error, and no lower one has.
func TestFrequencyForError(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		e := winding.Equivalent{R: math.Pow(10, 6*r.Float64()), L: math.Pow(10, -9+4*r.Float64()),
			C: math.Pow(10, -13+3*r.Float64())}
		limit := math.Pow(10, -5*r.Float64()) * 0.5
		magnitude := func(f float64) float64 { return math.Abs(must[winding.Impedance](t)(e.Impedance(f)).Magnitude) }
		phase := func(f float64) float64 { return math.Abs(must[winding.Impedance](t)(e.Impedance(f)).Phase) }
		for name, c := range map[string]struct {
			find func(float64) (float64, error)
			at   func(float64) float64
		}{"magnitude": {e.FrequencyForMagnitude, magnitude}, "phase": {e.FrequencyForPhase, phase}} {
			f, err := c.find(limit)
			if err != nil {
				t.Errorf("%s of %+v: %v", name, e, err)
				continue
			}
			if got := c.at(f); !near(got, limit, 1e-6) {
				t.Errorf("%s of %+v at %v Hz: %v, want %v", name, e, f, got, limit)
			}
			for _, x := range []float64{0.999, 0.9, 0.5, 0.1, 0.01} {
				if c.at(f*x) > limit*(1+1e-9) {
					t.Errorf("%s of %+v: %v already at %v of the frequency", name, e, c.at(f*x), x)
				}
			}
		}
	}
}

func TestFrequencyUnreachable(t *testing.T) {
	pure := winding.Equivalent{R: 100}
	for name, f := range map[string]func(float64) (float64,
		error){"magnitude": pure.FrequencyForMagnitude, "phase": pure.FrequencyForPhase} {
		if v, err := f(0.01); !errors.Is(err, winding.ErrUnreachable) || v != 0 {
			t.Errorf("%s: %v, %v", name, v, err)
		}
	}
	for _, e := range []winding.Equivalent{{R: 100, L: 1e-6}, {R: 100, C: 1e-12}} {
		must[float64](t)(e.FrequencyForMagnitude(0.01))
		f := must[float64](t)(e.FrequencyForPhase(0.01))
		tau := must[float64](t)(e.TimeConstant())
		if !near(2*math.Pi*f*math.Abs(tau), math.Tan(0.01), 1e-12) {
			t.Errorf("%+v: %v Hz", e, f)
		}
	}
}

func TestCompensation(t *testing.T) {
	ok := must[float64](t)
	e := winding.Equivalent{R: 1000, L: 2e-6}
	e.C = ok(e.CapacitanceForZeroTimeConstant())
	if tau := ok(e.TimeConstant()); tau != 0 {
		t.Errorf("τ = %v", tau)
	}
	e.C = ok(e.CapacitanceForFlatMagnitude())
	if z := must[winding.Impedance](t)(e.Impedance(1e5)); math.Abs(z.Magnitude) > 1e-10 {
		t.Errorf("|Z|/R − 1 = %v", z.Magnitude)
	}
	if tau := ok(e.TimeConstant()); !near(tau, -math.Sqrt2*2e-9, 1e-12) {
		t.Errorf("τ = %v", tau)
	}
}

func TestHeat(t *testing.T) {
	ok := must[float64](t)
	if rise := ok(winding.TemperatureRise(0.5, 50e-4, winding.StillAir)); !near(rise, 10, 1e-14) {
		t.Errorf("rise %v K", rise)
	}
	if p := ok(winding.PowerForRise(ok(winding.TemperatureRise(0.3, 2e-3, 12)), 2e-3, 12)); !near(p, 0.3, 1e-14) {
		t.Errorf("power %v W", p)
	}
	if w := ok(winding.Loading(0.5, 50e-4)); w != 100 {
		t.Errorf("loading %v W/m²", w)
	}
	if i := ok(winding.MaxCurrent(0.5, 10)); !near(i*i*10, 0.5, 1e-15) {
		t.Errorf("current %v A", i)
	}
}
