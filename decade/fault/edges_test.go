// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
)

// Two exchanged elements are looked at where they gain what is wanted, 2·s'z − s'gs, and no
// less.
func TestExchangedGain(t *testing.T) {
	s := repeated(t).s
	weight := s.weight(KindElementsExchanged)
	looked := 0
	for i, a := range s.model.layout.elements {
		for j, b := range s.model.layout.elements[:i] {
			if a.dial == b.dial {
				continue
			}
			sig := make([]float64, s.numSettings)
			for k := range sig {
				sig[k] = (b.ohms - a.ohms) * (s.model.inCircuit[i][k] - s.model.inCircuit[j][k])
			}
			// Readings of this exchange, and a little less of it.
			for _, part := range []float64{1, 0.8, 0.55} {
				for k := range s.bySetting.weighted {
					s.bySetting.weighted[k] = part * dot(s.bySetting.inverse[k*s.numSettings:(k+1)*s.numSettings], sig)
				}
				for k := range s.ofElements.weighted {
					s.ofElements.weighted[k] = dot(s.model.inCircuit[k], s.bySetting.weighted)
				}
				gain := 2*dot(sig, s.bySetting.weighted) - s.squaredSize(sig)
				for n, over := range []float64{-0.5, 0.5, -0.5, 0.5} {
					s.found = nil
					s.healthyOutside = weight - gateMargin - gain - over
					if n < 2 {
						s.addExchange(i, j)
					} else {
						s.addExchange(j, i)
					}
					if (len(s.found) == 1) != (over < 0) {
						t.Errorf("elements %d and %d, gain %v, %v wanted over it: %d found", i, j, gain, over, len(s.found))
						continue
					}
					if over < 0 {
						looked++
						h := s.found[0] // the smaller is i, and may be off by the class of the larger
						if !slices.Equal(h.effect, sig) || h.free[0] != i || relative(h.freeSD[0], s.model.classLimit[j]/math.Sqrt(3)) > 1e-12 {
							t.Errorf("elements %d and %d: %v, free %v ± %v", i, j, h.effect, h.free, h.freeSD)
						}
					}
				}
			}
		}
	}
	if looked != 36 {
		t.Errorf("%d exchanges looked at; want 36", looked)
	}
}

// Networks of more nodes than a word has bits, against gonum's nodal analysis.
func TestLargeNetworkAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for _, n := range []int{63, 64, 65, 66, 100, 128, 129, 150} {
		edges := random(rng, n)
		for i := range edges {
			edges[i].siemens = 1 / (1 + 9*rng.Float64())
		}
		if got, want := solved(n, edges), cholesky(n, edges); relative(got, want) > 1e-11 {
			t.Errorf("%d nodes: %v, gonum %v", n, got, want)
		}
	}
}

// A dialling stands apart from its setting beyond four standard uncertainties of the
// difference, here 1 Ω.
func TestSeparateOdd(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 10)})
	for _, c := range []struct {
		ohms    []float64
		setting []int
	}{
		{[]float64{0, 4}, []int{0, 0}}, {[]float64{0, 4.01}, []int{0, 1}}, {[]float64{4.01, 0}, []int{0, 1}},
		{[]float64{0, 0.5, 5}, []int{0, 0, 1}}, {[]float64{0, 5, 5.5}, []int{1, 0, 0}}, {[]float64{7}, []int{0}},
	} {
		n := len(c.ohms)
		e := &evidence{settings: []decade.Setting{b.Zero()}, rangeOf: []int{absent}, covariance: mat.NewSymDense(n, nil)}
		for i, v := range c.ohms {
			e.observations = append(e.observations, observation{0, v, i})
			for j := range i {
				e.covariance.SetSym(i, j, 0.25)
			}
			e.covariance.SetSym(i, i, 0.75)
		}
		e.separateOdd()
		for i, want := range c.setting {
			if got := e.observations[i].setting; got != want {
				t.Errorf("%v: dialling %d in %d; want %d", c.ohms, i, got, want)
			}
		}
		if last := len(e.settings) - 1; last > 0 && e.row[last] < 0 || n == 1 && e.row[0] != 0 || n > 1 && last == 0 && e.row[0] != absent {
			t.Errorf("%v: rows %v", c.ohms, e.row)
		}
	}
}

// One step of a fit: of a resistance that joins two places at most a factor of e², inside
// what a bridge may be; of other values as it comes.
func TestStepOfFit(t *testing.T) {
	element, position := Place{PartElement, 0, 1}, Place{PartPosition, 0, 1}
	for _, c := range []struct {
		f        Fault
		by, want float64
	}{
		{Fault{Kind: KindDrift, Value: 3}, 0.5, 3.5},
		{Fault{Kind: KindDrift, Value: 3}, -5, -2},
		{Fault{Kind: KindContact, A: position, Value: 3}, 0.5, 3.5},
		{Fault{Kind: KindContact, A: element, Value: 3}, 0.5, 3 * math.Exp(0.5)},
		{Fault{Kind: KindBridge, Value: 3}, 0.5, 3 * math.Exp(0.5)},
		{Fault{Kind: KindBridge, Value: 3}, 5, 3 * math.Exp(2)},
		{Fault{Kind: KindBridge, Value: 3}, -5, 3 * math.Exp(-2)},
		{Fault{Kind: KindBridge, Value: 0.9 * largestBridge}, 1, largestBridge},
		{Fault{Kind: KindBridge, Value: 1.1 * shortOhms}, -1, shortOhms},
	} {
		f := c.f
		f.step(c.by)
		if relative(f.Value, c.want) > 1e-14 {
			t.Errorf("%v of %v by %v: %v; want %v", c.f.Kind, c.f.Value, c.by, f.Value, c.want)
		}
	}
}

// A resistance that may be nothing is a rectangle from 0.
func TestValueOfTouch(t *testing.T) {
	s := repeated(t).s
	for _, c := range []struct {
		kind                  Kind
		value, u, estimate, s float64
	}{
		{KindElementLeak, 4, 2, 4, 2},
		{KindElementLeak, 3.9, 2, 3.95, 7.9 / math.Sqrt(12)},
		{KindDrift, 3.9, 2, 3.9, 2},
	} {
		f := statedFaults{{Kind: c.kind, A: Place{PartElement, 0, 1}, Value: c.value, Uncertainty: c.u}}.settled()[0]
		q := f.quantity(s.model.layout.box)
		u, err := evaluateQuantity(q)
		if err != nil || relative(q.Estimate(), c.estimate) > 1e-12 || relative(f.Value, c.estimate) > 1e-12 || relative(u, c.s) > 1e-9 {
			t.Errorf("%v of %v ± %v: %v ± %v, %v", c.kind, c.value, c.u, q.Estimate(), u, err)
		}
	}
}

// The residual is shared out to links and contacts: 20 mΩ to three links and two contacts.
func TestSharedResidual(t *testing.T) {
	for residual, want := range map[float64]float64{0.02: 0.004, 0: smallestContact, 0.0004: smallestContact} {
		b := box(t, decade.Spec{Residual: residual, Decades: dials(0.001, 100, 10)})
		if got := newLayout(b).contact; relative(got, want) > 1e-15 {
			t.Errorf("residual %v: contact %v; want %v", residual, got, want)
		}
	}
	// A contact that would have no resistance left is refused.
	b := box(t, decade.Spec{Residual: 0.02, Decades: dials(0.001, 100, 10)})
	for by, ok := range map[float64]bool{-newLayout(b).contact: false, 0.001: true} {
		_, err := Predict(at(t, b, 3, 0), Fault{Kind: KindContact, A: Place{PartPosition, 0, 3}, Value: by})
		if (err == nil) != ok || !ok && !errors.Is(err, ErrDomain) {
			t.Errorf("contact changed by %v: %v", by, err)
		}
	}
}

// What leaders predict, at settings read and others: the value with the faults.
func TestPredictionsOfLeaders(t *testing.T) {
	s, settings := separating(t)
	b := settings[0].Box()
	other := at(t, b, 3, 1)
	pr := newProbe(s.model.layout)
	h := &hypothesis{faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 0, 3}, Value: 0.7}}, effect: []float64{0, 0, 0.25}}
	none := forecast{weights: make([]float64, 3), variance: 0.04}
	got := s.expect(pr, h, []decade.Setting{settings[2], other}, []float64{0, pr.solve(pr.healthy, other)}, []forecast{none, none})
	if math.Abs(got[0].mean-0.25) > 1e-12 || math.Abs(got[1].mean-0.7) > 1e-9 || got[1].variance != 0.04 {
		t.Errorf("expected %v; want 0.25 and 0.7 above nominal", got)
	}
	// Half of the value uncertain, a draw of its own, and a reading that counts half.
	h.uncertainty, h.drawSD = []float64{0.35}, 0.3
	half := forecast{weights: []float64{0, 0, 0.5}, variance: 0.04}
	s.byDialling.deviation[2] = 1
	got = s.expect(pr, h, []decade.Setting{other}, []float64{pr.solve(pr.healthy, other)}, []forecast{half})
	if math.Abs(got[0].mean-1.075) > 1e-9 || math.Abs(got[0].variance-(0.04+0.1225+0.09)) > 1e-9 {
		t.Errorf("expected %v; want 0.7 Ω + half of 0.75 Ω", got[0])
	}
}

// Settings that speak alike stay in the order they were read in.
func TestSpeakAlike(t *testing.T) {
	s, at := separating(t)
	s.evidence.covariance = mat.NewSymDense(3, []float64{0.25, 0, 0, 0, 0.25, 0, 0, 0, 0.25})
	if got := s.affectedSettings(&hypothesis{effect: []float64{2, 2, 2}}); !slices.Equal(got, at) {
		t.Errorf("alike: %v; want %v", got, at)
	}
	// What a setting is changed by must be more than two standard uncertainties, here of 0.5 Ω.
	got := s.affectedSettings(&hypothesis{effect: []float64{1, 1.01, -1}})
	if !slices.Equal(got, at[1:2]) {
		t.Errorf("2, 2.02 and 2 standard uncertainties: %v; want the second", got)
	}
	if got := s.affectedSettings(&hypothesis{effect: []float64{2, 3, -4}}); !slices.Equal(got, []decade.Setting{at[2], at[1], at[0]}) {
		t.Errorf("strongest first: %v", got)
	}
}

// The warning of polarity gives the difference of the means.
func TestPolarityByHand(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: dials(0.001, 100)})
	rs := ladderReadings(t, b, 0.02, 100.02)
	for _, c := range []struct {
		plus, minus []float64
		want        float64
		text        string
	}{
		{[]float64{100.12, 100.14}, []float64{99.92}, 0.21, "0.21 Ω"},
		{[]float64{99.92}, []float64{100.12, 100.14}, -0.21, "0.21 Ω"},
		{[]float64{100.02}, []float64{100.02}, 0, ""},
	} {
		rs[1].Values, rs[1].Reversed = c.plus, c.minus
		d := &Diagnosis{}
		if d.polarity(evaluated(t, b, rs)); (len(d.Warnings) == 1) != (c.want != 0) {
			t.Errorf("%v and %v: warnings %v", c.plus, c.minus, d.Warnings)
			continue
		}
		if c.want == 0 {
			continue
		}
		if e, ok := errors.AsType[*Error](d.Warnings[0]); !ok || math.Abs(e.Value.(float64)-c.want) > 1e-9 || !strings.Contains(e.Error(), c.text) {
			t.Errorf("%v and %v: %v; want %v", c.plus, c.minus, d.Warnings[0], c.want)
		}
	}
}
