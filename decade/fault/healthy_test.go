// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
)

// TestHealthyRate measures how often a healthy box, elements anywhere inside class, is
// called healthy.
func TestHealthyRate(t *testing.T) {
	n := numTrials(500, 50, 30)
	wrong, failed := 0, 0
	for _, r := range trials(t, constructions(t), n, func(c *construction, _ *rand.Rand, i int) (trialResult, bool) {
		d, err := c.run(uint64(i)+1e6, Options{}, nil)
		if err != nil {
			return trialResult{text: err.Error()}, true
		}
		r := trialResult{healthy: d.Healthy}
		if !d.Healthy {
			r.text = c.name + ": " + d.Causes[0].String()
		}
		return r, true
	}) {
		if !r.healthy {
			wrong++
			t.Log(r.text)
		}
		if r.text != "" && r.healthy {
			failed++
		}
	}
	t.Logf("%.2f %% of %d healthy boxes called healthy", 100-100*float64(wrong)/float64(n), n)
	if float64(wrong) > 0.01*float64(n) || failed > 0 {
		t.Errorf("%d of %d healthy boxes called faulty, %d failed; expected 1 %% or fewer", wrong, n, failed)
	}
}

// TestPairRate measures two faults at once, each of 16 u or more: true pair, or its class.
// Pairs of which one hides the other (an open element under an open contact, two ohms in
// one path) are among them, so that the rate is lower than that of single faults.
func TestPairRate(t *testing.T) {
	n := numTrials(30, 6, 4)
	first, part, total := 0, 0, 0
	for _, r := range trials(t, constructions(t), n, func(c *construction, rng *rand.Rand, i int) (trialResult, bool) {
		draw := func() (Fault, bool) {
			f, real, ok := c.drawFault(rng, simulated[rng.IntN(len(simulated))], 16*math.Exp(rng.Float64()*math.Log(10)))
			return f, ok && real >= 16
		}
		a, ok := draw()
		b, ok2 := draw()
		if !ok || !ok2 || c.key(a) == c.key(b) {
			return trialResult{}, false
		}
		d, err := c.run(uint64(i)+2e6, Options{}, []Fault{a, b})
		if err != nil {
			return trialResult{}, false // such as open everywhere
		}
		r := trialResult{size: 1, rank: c.rank(d, []Fault{a, b})}
		if r.rank == 0 {
			r.healthy = !d.Healthy && (c.names(d, a) || c.names(d, b))
			r.text = c.name + ": " + a.In(c.box) + " with " + b.In(c.box) + "\n        " + d.Causes[0].String()
		}
		return r, true
	}) {
		if r.size == 0 {
			continue
		}
		total++
		switch {
		case r.rank == 1:
			first++
		case r.rank == 0 && r.healthy:
			part++
			t.Logf("one of two: %.300s", r.text)
		default:
			t.Logf("rank %d: %.300s", r.rank, r.text)
		}
	}
	t.Logf("two faults at once: both in %d, one of them in %d of %d", first, part, total)
	// Where a leak of next to nothing hides what stands beside it, none can be found: 80 % and
	// 90 % are asked for.
	const least, leastOne = 80, 90
	if first < total*least/100 || first+part < total*leastOne/100 {
		t.Errorf("both faults found in %d and one in %d of %d; expected %d %% and %d %% in all", first, part, total, least, leastOne)
	}
}

// names reports whether the leading cause has a fault among its own.
func (c *construction) names(d *Diagnosis, f Fault) bool {
	for _, faults := range append([][]Fault{d.Causes[0].Faults}, d.Causes[0].Equal...) {
		for _, x := range faults {
			if c.key(x) == c.key(f) {
				return true
			}
		}
	}
	return false
}

// A box whose elements all read high without a pattern, but inside their class, is healthy.
func TestAgedInsideClassIsHealthy(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005,
		Decades: dials(0.001, 1000, 100, 10)})
	r := rand.New(rand.NewPCG(5, 6))
	var faults []Fault
	for d, step := range []float64{1000, 100, 10} {
		for n := 1; n <= 10; n++ {
			faults = append(faults, Fault{Kind: KindDrift, A: Place{PartElement, d, n},
				Value: 0.0003 * step * (1 + 0.4*(2*r.Float64()-1))})
		}
	}
	s := searchOf(t, b, faults...)
	s.addAged()
	if len(s.found) != 0 {
		t.Errorf("%v", s.found[0].faults)
	}
	for i := range faults { // three times the class: aged
		faults[i].Value *= 10
	}
	s = searchOf(t, b, faults...)
	if s.addAged(); len(s.found) == 0 {
		t.Error("three times the class is not aged")
	}
}
