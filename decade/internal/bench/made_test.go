// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func box(t testing.TB, s decade.Spec) *decade.Box {
	t.Helper()
	b, err := decade.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// ideal is a meter without errors.
func ideal() Meter {
	return Meter{Name: "ideal", Ranges: []MeterRange{{Name: "all", FullScale: 1e12}}}
}

func set(t testing.TB, b *decade.Box, m Meter, seed uint64, o Options, faults ...Fault) *Bench {
	t.Helper()
	out, err := New(b, m, seed, o, faults...)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// bare is a box without residual and tolerance: nominal to the last digit.
func bare(t testing.TB, dials ...decade.Decade) *decade.Box {
	return box(t, decade.Spec{Decades: dials})
}

// computed is a value worked out by hand from the rules of common practice, with the
// digits that were kept.
func computed(name, place, printed string) uncertaintytest.Published {
	return uncertaintytest.Published{Name: name, Source: "common practice, computed by hand", Place: place, Printed: printed, Provenance: uncertaintytest.CommonPractice}
}

func dialPlace(d int) Place             { return Place{Part: Dial, Dial: d} }
func elementPlace(d, number int) Place  { return Place{Element, d, number} }
func positionPlace(d, number int) Place { return Place{Position, d, number} }
func tapPlace(d, number int) Place      { return Place{Tap, d, number} }

func TestPublishedTouchInADial(t *testing.T) {
	b := set(t, bare(t, decade.Decade{Step: 100}), ideal(), 1, Options{}, Fault{Kind: BridgeInDial, A: tapPlace(0, 3), B: tapPlace(0, 6)})
	for p, printed := range strings.Fields("0 100 200 300 366.667 366.667 300 400 500 600 700") {
		if p == 0 {
			continue // nothing to compare with half a digit of 0
		}
		// The touch is 0.1 mΩ here, 0 there.
		computed(fmt.Sprintf("taps 3 and 6 of ×100 touch, position %d", p), "example 18", printed).Run(t, math.Round(b.Mean(p)*1e3)/1e3)
	}
}

func TestPublishedTouchOfTwoDials(t *testing.T) {
	dials := bare(t, decade.Decade{Step: 100}, decade.Decade{Step: 10})
	b := set(t, dials, ideal(), 1, Options{}, Fault{Kind: BridgeDials, A: tapPlace(0, 4), B: tapPlace(1, 6)})
	for _, c := range []struct {
		a, b    int
		printed string
	}{{4, 6, "-60"}, {6, 6, "-260"}, {6, 0, "-153.8"}, {0, 3, "-2.0"}} {
		error := b.Mean(c.a, c.b) - float64(100*c.a+10*c.b)
		computed(fmt.Sprintf("taps 4 of ×100 and 6 of ×10 touch, at (%d, %d)", c.a, c.b), "example 30", c.printed).Run(t, math.Round(error*1e3)/1e3)
	}
}

func TestPublishedShortedStep(t *testing.T) {
	s := decade.Spec{Residual: 0.02, Decades: []decade.Decade{{Step: 100}}}
	b := set(t, box(t, s), ideal(), 1, Options{}, Fault{Kind: ShortElement, A: elementPlace(0, 4)})
	// The readings there scatter by ±0.01 Ω; positions without that part are listed.
	for p, printed := range map[int]string{0: "0.02", 1: "100.02", 3: "300.02", 5: "400.02", 6: "500.02", 8: "700.02", 10: "900.02"} {
		computed(fmt.Sprintf("step 4 of ×100 shorted, position %d", p), "example 27", printed).Run(t, b.Mean(p))
	}
}

func TestPublishedContactAtOnePosition(t *testing.T) {
	s := decade.Spec{Residual: 0.02, Decades: []decade.Decade{{Step: 1}}}
	b := set(t, box(t, s), ideal(), 1, Options{}, Fault{Kind: Contact, A: positionPlace(0, 3), Value: 0.39})
	for p, printed := range strings.Fields("0.02 1.02 2.02 3.41 4.02 5.02") {
		computed(fmt.Sprintf("contact at 3 of ×1, position %d", p), "example 28", printed).Run(t, b.Mean(p))
	}
}

func TestPublishedShortedTwoOfACode(t *testing.T) {
	b := set(t, bare(t, decade.Decade{Step: 1000, Code: decade.Code1225()}), ideal(), 1, Options{}, Fault{Kind: ShortElement, A: elementPlace(0, 3)})
	for p := 1; p <= 10; p++ {
		if low := float64(1000*p) - b.Mean(p); p == 4 || p == 9 || p == 10 {
			computed(fmt.Sprintf("the 2 not used at 2 is shorted, position %d, nominal minus reading", p), "example 29", "2000").Run(t, math.Round(low*1e3)/1e3)
		} else if math.Abs(low) > 1e-3 {
			t.Errorf("position %d: %v Ω low; expected none", p, low)
		}
	}
}

// Healthy boxes of every construction: the residual is the one drawn inside its limits, and
// what each dial adds at each position is inside its class.
func TestHealthyBoxesAreInsideTheirClass(t *testing.T) {
	rng := rand.New(rand.NewPCG(20260401, 2))
	for c := range NumConstructions {
		for i := range 4 {
			b, err := DrawBox(c, rng, 3, 10)
			if err != nil {
				t.Fatal(err)
			}
			x := set(t, b, ideal(), uint64(i), Options{})
			spec := b.Spec()
			zero := make([]int, len(spec.Decades))
			r0 := x.Mean(zero...)
			if !near(r0, x.Residual(), 1e-9) || math.Abs(r0-spec.Residual) > spec.ResidualTolerance {
				t.Errorf("%s: residual %v Ω, drawn %v, stated %v ± %v", b.Name(), r0, x.Residual(), spec.Residual, spec.ResidualTolerance)
			}
			for d, dec := range spec.Decades {
				for p := 1; p <= dec.Positions; p++ {
					adds, nominal := x.Mean(at1(zero, d, p)...)-r0, float64(p)*dec.Step
					if math.Abs(adds-nominal) > dec.Tolerance*nominal*(1+1e-9)+1e-9 {
						t.Errorf("%s, dial %d at %d adds %v Ω; expected %v ± %v", b.Name(), d, p, adds, nominal, dec.Tolerance*nominal)
					}
				}
			}
		}
	}
}

// The contacts that are closed are as many as the description counts in the path.
func TestClosedContacts(t *testing.T) {
	plug := decade.Decade{Step: 10, Code: decade.Code1332()}
	for _, dials := range [][]decade.Decade{
		{{Step: 100}, {Step: 10}}, {{Step: 100, Code: decade.Code1225()}, {Step: 10}}, {{Step: 10, Positions: 9, Switch: "A"}, {Step: 1, Positions: 9, Switch: "A"}}, {plug},
	} {
		b := bare(t, dials...)
		x := set(t, b, ideal(), 1, Options{})
		for s := range b.Settings() {
			if got := len(x.made.closed(x.made.healthy(), s.Positions())); got != s.Contacts() {
				t.Errorf("%v of %v: %d contacts closed; expected %d", s, b.Name(), got, s.Contacts())
			}
		}
	}
}

func TestVariation(t *testing.T) {
	b := bare(t, decade.Decade{Step: 100, Tolerance: 0.01})
	y := set(t, b, ideal(), 5, Options{})
	least, largest := math.Inf(1), math.Inf(-1)
	for e := 1; e <= 10; e++ {
		least, largest = min(least, y.Element(0, e)), max(largest, y.Element(0, e))
	}
	if s := largest - least; !(s > 0 && s < 2) {
		t.Errorf("a part of the dial and one of each: elements differ by %v Ω", s)
	}
	whole := bare(t, decade.Decade{Step: 100, Tolerance: 0.01, Spread: decade.LevelBox}, decade.Decade{Step: 10, Tolerance: 0.01, Spread: decade.LevelBox})
	x := set(t, whole, ideal(), 5, Options{})
	if a, c := x.Element(0, 1)/100, x.Element(1, 7)/10; !near(a, c, 1e-14) || a == 1 {
		t.Errorf("one error for the box: %v and %v of nominal", a, c)
	}
}

// Contacts vary from dialling to dialling by the stated standard deviation, every closed
// one for itself; repeats of a dialling do not.
func TestContactsVary(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.1, Contact: 0.001, Decades: []decade.Decade{{Step: 10}, {Step: 1}, {Step: 100, Code: decade.Code1225()}}})
	x := set(t, b, ideal(), 3, Options{})
	var s, ss float64
	const n = 4000
	for range n {
		r := x.Read(2, 0, 0, 0)
		if r.Values[0] != r.Values[1] || r.Values[0] != r.True || r.True != r.Sound || r.Shift != 0 {
			t.Fatalf("%+v: repeats or truth differ with an ideal meter and no fault", r)
		}
		d := r.True - x.Residual()
		s, ss = s+d, ss+d*d
	}
	// Six contacts: √6 mΩ, known to 1/√(2·4000) = 1.1 %.
	if got := math.Sqrt(ss / n); math.Abs(got/(0.001*math.Sqrt(6))-1) > 0.05 || math.Abs(s/n) > 1e-4 {
		t.Errorf("standard deviation %v Ω about a mean of %v; expected %v about 0", got, s/n, 0.001*math.Sqrt(6))
	}
	if d := x.Dial(3, 0, 0); math.Abs(d-30-x.Residual()) > 0.02 || d == x.Dial(3, 0, 0) {
		t.Errorf("a new dialling at 30 Ω is %v Ω, each time", d)
	}
}

func TestTemperatureAndLeak(t *testing.T) {
	law := thermal.NewLaw(20, 8e-6, -0.5e-6)
	copper := thermal.CopperConductor()
	b := box(t, decade.Spec{Residual: 0.1, ResidualLaw: copper, Decades: []decade.Decade{{Step: 1000, Law: law}}})
	x := set(t, b, ideal(), 1, Options{Temperature: 6.5, Thermometer: 0.2})
	// 1 + 8e-6·6.5 − 0.5e-6·6.5² = 1 + 30.875e-6; the residual 1 + 0.00393·6.5.
	want := 1000*(1+30.875e-6) + 0.1*(1+0.00393*6.5)
	r := x.Read(1, 1)
	if !near(r.True, want, 1e-12) || r.Recorded == nil || math.Abs(*r.Recorded-26.5) > 0.2 {
		t.Errorf("%v Ω at a recorded %v °C; expected %v at 26.5 ± 0.2", r.True, r.Recorded, want)
	}
	if m := x.Mean(1); !near(m, 1000.1, 1e-12) {
		t.Errorf("the mean at reference temperature is %v Ω; expected 1000.1", m)
	}
	spool := bare(t, decade.Decade{Step: 1000, Law: law, AlphaTolerance: 1e-5})
	a := set(t, spool, ideal(), 1, Options{Temperature: 10}).Read(1, 1).True
	c := set(t, spool, ideal(), 2, Options{Temperature: 10}).Read(1, 1).True
	if a == c || math.Abs(a-1000*(1+30e-6)) > 1000*1e-4 {
		t.Errorf("%v and %v Ω of two spools", a, c)
	}
	// 1 MΩ beside 10 GΩ: −99.99 Ω.
	leaky := set(t, bare(t, decade.Decade{Step: 1e6}), ideal(), 1, Options{Leak: 1e10})
	computed("1 MΩ, leak of 10 GΩ, change in Ω", "example 17", "-99.99").Run(t, leaky.Read(1, 1).True-1e6)
}

func bareSmall(t testing.TB) *decade.Box { return bare(t, decade.Decade{Step: 10}) }
